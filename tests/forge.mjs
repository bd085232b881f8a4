// Forges records as somebody could who holds the bench's own key: signed anew, sealed anew in a ledger of their own making, or
// handed over without any ledger. For tries of what checks a record.

import { execFileSync } from "node:child_process";
import { createHash, createPrivateKey, createPublicKey, sign } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";

const ALPHABET = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz";
const sha = (...parts) => createHash("sha256").update(Buffer.concat(parts.map((part) => Buffer.from(part)))).digest();

export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value && typeof value === "object") return `{${Object.keys(value).sort().map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join(",")}}`;
  return JSON.stringify(value);
}
export const copy = (value) => JSON.parse(JSON.stringify(value));
export const hashOf = (value) => sha(canonical(value)).toString("hex");

function base58(bytes) {
  let [number, text] = [BigInt(`0x${bytes.toString("hex")}`), ""];
  for (; number > 0n; number /= 58n) text = ALPHABET[Number(number % 58n)] + text;
  for (const byte of bytes) { if (byte) break; text = `1${text}`; }
  return `z${text}`;
}

// The key that a bench signs with: a file with 32 bytes in hexadecimal digits.
function keyOf(file) {
  const seed = Buffer.from(readFileSync(file, "utf8").trim(), "hex");
  const secret = createPrivateKey({ key: Buffer.concat([Buffer.from("302e020100300506032b657004220420", "hex"), seed]), format: "der", type: "pkcs8" });
  const open = createPublicKey(secret).export({ format: "der", type: "spki" }).subarray(-32);
  return { secret, open, name: base58(Buffer.concat([Buffer.from([0xed, 1]), open])) };
}

const leaf = (entry) => sha([0], canonical(entry));
const cut = (size) => { let left = 1; while (left * 2 < size) left *= 2; return left; };
const rootOf = (leaves) => (leaves.length === 1 ? leaves[0] : sha([1], rootOf(leaves.slice(0, cut(leaves.length))), rootOf(leaves.slice(cut(leaves.length)))));

// The hashes of what is cut off a tree where only some leaves are shown.
function wayTo(leaves, shown, first = 0) {
  if (!shown.some((number) => number >= first && number < first + leaves.length)) return [rootOf(leaves).toString("base64")];
  if (leaves.length === 1) return [];
  const left = cut(leaves.length);
  return [...wayTo(leaves.slice(0, left), shown, first), ...wayTo(leaves.slice(left), shown, first + left)];
}

// That a tree of the first leaves is the beginning of the whole one (RFC 6962, section 2.1.2).
function continuation(first, leaves, isOwn = true) {
  if (first === leaves.length) return isOwn ? [] : [rootOf(leaves).toString("base64")];
  const left = cut(leaves.length);
  const [one, other] = [leaves.slice(0, left), leaves.slice(left)];
  return first <= left ? [...continuation(first, one, isOwn), rootOf(other).toString("base64")] : [...continuation(first - left, other, false), rootOf(one).toString("base64")];
}

const chained = (entries) => {
  let previous = "0".repeat(64);
  return entries.map((entry, sequence) => {
    const next = { ...entry, sequence, previous };
    previous = leaf(next).toString("hex");
    return next;
  });
};

// What a bench's folder and an exported record file give to a forger.
export class Forger {
  constructor(bench, file) {
    this.key = keyOf(join(bench, "keys/bench.key"));
    this.nextKey = keyOf(join(bench, "keys/bench-2.key"));
    const rows = "import json, sqlite3, sys\nprint(json.dumps([row[0] if isinstance(row[0], str) else row[0].decode() for row in sqlite3.connect(sys.argv[1]).execute('select body from entry order by sequence')]))";
    this.entries = JSON.parse(execFileSync("python3", ["-c", rows, join(bench, "ledger.sqlite")], { encoding: "utf8" })).map((body) => JSON.parse(body));
    this.file = file;
    const hash = hashOf(file.record);
    this.seal = this.entries.find((entry) => entry.kind === "record-sealed" && entry.body.record === hash);
    this.build = file.record.credentialSubject.build;
  }

  signed(record) {
    const { proof: { proofValue: _, ...options }, ...bare } = record;
    const message = Buffer.concat([sha(canonical(options)), sha(canonical(bare))]);
    return { ...bare, proof: { ...options, proofValue: base58(sign(null, message, this.key.secret)) } };
  }

  // The bench's key history with one link more, which revokes the present key from a moment on.
  keysRevoked(from, reason = "theft") {
    const { keys } = this.file.record.credentialSubject;
    const last = keys.at(-1);
    const [issuer, valid] = [`did:key:${this.key.name}`, "2099-01-01T00:00:00.000+00:00"];
    const link = { issuer, sequence: keys.length, previous: hashOf(last), key: this.nextKey.name, next: "0".repeat(64), recovery: last.recovery, valid_from: valid, reason, revoked: { key: last.key, from } };
    return { keys: [...keys, this.signed({ ...link, proof: { ...last.proof, created: valid, verificationMethod: `${issuer}#${this.key.name}` } })] };
  }

  // The ledger after some entries more: its signed head, and the proof that it continues the one of the record.
  later(more, change = (entries) => entries) {
    const extra = Array.from({ length: more }, () => ({ ...this.entries[0], in_build: undefined })).map(copy);
    const leaves = chained(change(copy([...this.entries, ...extra]))).map(leaf);
    const from = Number(this.file.history.checkpoint.split("\n")[1]);
    return { from, to: leaves.length, hashes: continuation(from, leaves), checkpoint: this.note(leaves) };
  }

  note(leaves) {
    const origin = `pullmark.invalid/bench/${this.file.record.credentialSubject.keys[0].key}`;
    const body = `${origin}\n${leaves.length}\n${rootOf(leaves).toString("base64")}\n`;
    const id = sha(`${origin}\n`, [1], this.key.open).subarray(0, 4);
    return `${body}\n\u2014 ${origin} ${Buffer.concat([id, sign(null, Buffer.from(body), this.key.secret)]).toString("base64")}\n`;
  }

  // The file of a record that was signed anew, without any ledger.
  bare(change) {
    const record = copy(this.file.record);
    change(record.credentialSubject, record);
    const isNamed = ({ salt, name }) => JSON.stringify(record).includes(sha(Buffer.from(salt, "hex"), name).toString("hex"));
    return { format: this.file.format, record: this.signed(record), names: this.file.names.filter(isNamed) };
  }

  // The same with a ledger in which it was sealed. `change` may change the entries too; those in `hidden` lie in the ledger, and
  // are not shown.
  sealed(change, { hidden = [], drop = [], entries: changeEntries = (all) => all } = {}) {
    const record = copy(this.file.record);
    change(record.credentialSubject, record);
    const before = chained(changeEntries(copy(this.entries.slice(0, this.seal.sequence))).filter((entry) => !drop.includes(entry.sequence)));
    const leaves = before.map(leaf);
    record.credentialSubject.ledger = { ...record.credentialSubject.ledger, size: before.length, root: rootOf(leaves).toString("hex") };
    const signed = this.signed(record);
    const [seal] = changeEntries([copy(this.seal)]);
    Object.assign(seal.body, { record: hashOf(signed), checkpoint: this.note(leaves) });
    const all = chained([...before, { ...seal, time: record.validFrom }]);
    const isShown = (entry) => ["key-linked", "tool-added", "tool-certified"].includes(entry.kind) || entry.body.build === this.build;
    const shown = all.filter((entry) => isShown(entry) && !hidden.includes(entry.sequence));
    const numbers = shown.map((entry) => entry.sequence);
    return { ...this.file, record: signed, history: { checkpoint: this.note(all.map(leaf)), entries: shown, hashes: wayTo(all.map(leaf), numbers) } };
  }
}
