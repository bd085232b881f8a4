// Signatures, keys, and signed heads of the ledger, with nothing but what the browser brings (WebCrypto).

import { canonical, equal, hashOf, hex, isObject, join, sha256, text, unbase64 } from "./read.js";

const ORIGIN = "pullmark.invalid/bench/";
const ALPHABET = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz";
// The 14 encodings of the eight points of small order on edwards25519, canonical and not: a key among them fits almost any
// message, and browsers let it pass. Published in many places, for example with "Taming the many EdDSAs".
const SMALL_ORDER = new Set([
  "0100000000000000000000000000000000000000000000000000000000000000", "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
  "0000000000000000000000000000000000000000000000000000000000000080", "0000000000000000000000000000000000000000000000000000000000000000",
  "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a", "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
  "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05", "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc85",
  "0100000000000000000000000000000000000000000000000000000000000080", "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
  "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f", "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
  "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f", "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
]);

function unbase58(letters, length) {
  if (typeof letters !== "string" || letters[0] !== "z" || letters.length > 128) throw new Error("a key or signature is not \"z\" and base58 letters");
  let number = 0n;
  const digits = letters.slice(1);
  for (const letter of digits) {
    const digit = ALPHABET.indexOf(letter);
    if (digit < 0) throw new Error("a key or signature is not \"z\" and base58 letters");
    number = number * 58n + BigInt(digit);
  }
  const bytes = [];
  for (; number > 0n; number >>= 8n) bytes.unshift(Number(number & 255n));
  for (const letter of digits) { if (letter !== "1") break; bytes.unshift(0); }
  if (bytes.length !== length) throw new Error(`a key or signature has ${bytes.length} bytes, not ${length}`);
  return Uint8Array.from(bytes);
}

function keyBytes(multibase) {
  const bytes = unbase58(multibase, 34);
  if (bytes[0] !== 0xed || bytes[1] !== 1) throw new Error("the key is none for Ed25519");
  const key = bytes.slice(2);
  if (SMALL_ORDER.has(hex(key))) throw new Error("the key is one of the weak ones that let almost any signature pass");
  return key;
}

async function verifies(key, signature, message) {
  if (signature.length !== 64 || SMALL_ORDER.has(hex(signature.slice(0, 32)))) return false;
  const known = await crypto.subtle.importKey("raw", key, { name: "Ed25519" }, false, ["verify"]);
  return crypto.subtle.verify({ name: "Ed25519" }, known, signature, message);
}

// Milliseconds of a time as RFC 3339 has it, with its offset; an error for anything else.
export function momentOf(time) {
  const is = typeof time === "string" && /^\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d:\d\d(\.\d+)?([Zz]|[+-]\d\d:\d\d)$/.test(time);
  const moment = is ? Date.parse(time.replace(" ", "T").toUpperCase().replace(/(\.\d{3})\d+/, "$1")) : NaN;
  if (Number.isNaN(moment)) throw new Error(`${JSON.stringify(time ?? null)} is no time with an offset`);
  return moment;
}

const MEMBERS = ["type", "cryptosuite", "created", "verificationMethod", "proofPurpose", "@context", "proofValue"];

// A document with one eddsa-jcs-2022 proof: the key that signed it, as multibase text, and when it says so.
export async function signedBy(document) {
  if (!isObject(document)) throw new Error("only a JSON object can be signed");
  if (!("proof" in document)) throw new Error("the document is not signed: it has no \"proof\"");
  const { proof, ...bare } = document;
  if (!isObject(proof)) throw new Error("\"proof\" is not one object; exactly one proof is read");
  const { proofValue, ...options } = proof;
  const more = Object.keys(proof).find((name) => !MEMBERS.includes(name));
  if (more !== undefined) throw new Error(`the proof holds the unknown member ${JSON.stringify(more)}`);
  if (options.type !== "DataIntegrityProof" || options.cryptosuite !== "eddsa-jcs-2022" || options.proofPurpose !== "assertionMethod") {
    throw new Error("the signature is of another kind than eddsa-jcs-2022");
  }
  const context = (of) => ("@context" in of ? canonical(of["@context"]) : "none");
  if (context(options) !== context(bare)) throw new Error("the signature's context is another one: the document was changed after signing");
  const key = /^did:key:(z[1-9A-HJ-NP-Za-km-z]+)#\1$/.exec(options.verificationMethod)?.[1];
  if (!key) throw new Error("the signature names no key");
  momentOf(options.created);
  if (bare.issuer !== `did:key:${key}`) throw new Error("the key that signed is not the issuer's");
  const signature = unbase58(proofValue, 64);
  const message = join(await hashOf(options), await hashOf(bare));
  if (!await verifies(keyBytes(key), signature, message)) throw new Error("the signature does not fit: something was changed after it was signed, or another key signed it");
  return { key, created: options.created };
}

const MOST_LINKS = 1000;

// The key history: each link is signed by the key before it, or by the recovery key. For every key from when on it no longer
// counts, and why.
export async function keyHistory(links) {
  if (!Array.isArray(links) || links.length === 0 || links.length > MOST_LINKS) throw new Error(`a key history has 1 to ${MOST_LINKS} links`);
  const spans = [];
  let before = null;
  for (const [number, link] of links.entries()) {
    const wrong = (what) => { throw new Error(`link ${number} of the key history: ${what}`); };
    const { key: signer, created } = await signedBy(link).catch((error) => wrong(error.message));
    const asText = async (key) => hex(await sha256(text.encode(key)));
    try { keyBytes(link.key); } catch { wrong("its key is none"); }
    if (link.sequence !== number) wrong("it has another number, so one is missing");
    if (created !== link.valid_from) wrong("it was not signed when it begins to hold");
    if (spans.some((span) => span.key === link.key)) wrong("its key was there before");
    if (!before) {
      if (signer !== link.key) wrong("the first key did not sign it");
      if (link.previous !== "0".repeat(64) || link.reason !== "first" || link.revoked) wrong("it is not the first of a history");
      if (link.before && link.before.key !== link.key) wrong("the plain list before it began with another key");
    } else {
      if (link.previous !== hex(await hashOf(before))) wrong("it follows on another link than the one before it");
      if (link.reason === "first" || link.before) wrong("it says that it is the first");
      const byRecovery = await asText(signer) === before.recovery;
      if (!byRecovery && signer !== before.key) wrong("neither the key before nor the recovery key signed it");
      if (!byRecovery && await asText(link.key) !== before.next) wrong("its key is not the one that was promised");
      if (!byRecovery && link.recovery !== before.recovery) wrong("only the recovery key may name another recovery key");
      if (!link.revoked) wrong("it leaves the key before valid");
      if (link.revoked.key !== before.key) wrong("it revokes another key than the one before");
      if (momentOf(link.revoked.from) > momentOf(created)) wrong("it revokes the key before from a later time on");
      // After a theft or a loss no earlier key counts either: a stolen one may be found out after it was changed.
      const revoked = { from: link.revoked.from, reason: link.reason };
      spans.at(-1).revoked = revoked;
      if (["theft", "loss"].includes(link.reason)) {
        for (const span of spans.slice(0, -1)) if (!span.revoked || momentOf(revoked.from) < momentOf(span.revoked.from)) span.revoked = revoked;
      }
    }
    spans.push({ key: link.key, revoked: null });
    before = link;
  }
  const plain = links[0].before;
  return { spans, identity: hex(await hashOf(links[0])), earlier: plain ? hex(await hashOf(plain)) : null };
}

const leaf = (entry) => sha256(join(Uint8Array.of(0), text.encode(canonical(entry))));
const node = (left, right) => sha256(join(Uint8Array.of(1), left, right));

export function hash32(letters) {
  let bytes = [];
  try { bytes = unbase64(letters); } catch { /* said below */ }
  if (bytes.length !== 32) throw new Error("a hash is not the base64 text of 32 bytes");
  return bytes;
}

// The root of the tree of `size` leaves of which `entries` are known, rising; the hashes are those of what is cut off.
export async function rootOf(entries, given, size) {
  const hashes = given.map(hash32);
  const next = () => {
    if (!hashes.length) throw new Error("a hash on the way to the ledger's head is missing");
    return hashes.shift();
  };
  // `from` and `to` are the known entries that lie in this part.
  const walk = async (first, count, from, to) => {
    if (from === to) return next();
    if (count === 1) return leaf(entries[from]);
    let left = 1;
    while (left * 2 < count) left *= 2;
    let middle = from;
    while (middle < to && entries[middle].sequence < first + left) middle += 1;
    const one = await walk(first, left, from, middle);
    return node(one, await walk(first + left, count - left, middle, to));
  };
  const root = await walk(0, size, 0, entries.length);
  if (hashes.length) throw new Error("a hash on the way to the ledger's head is left over");
  return root;
}

// The text of a signed head (C2SP checkpoint), before any signature is looked at.
export function readHead(note) {
  const at = typeof note === "string" ? note.lastIndexOf("\n\n") : -1;
  const lines = at < 0 ? [] : note.slice(0, at).split("\n");
  if (lines.length !== 3 || !/^(?:0|[1-9][0-9]{0,15})$/.test(lines[1])) throw new Error("what stands as the ledger's signed head is none");
  return { body: note.slice(0, at + 1), signatures: note.slice(at + 2), origin: lines[0], size: Number(lines[1]), root: hash32(lines[2]) };
}

// A head that one of the keys signed: its size and root. The log is named by the first key.
export async function openHead(note, keys) {
  const head = readHead(note);
  if (head.origin !== ORIGIN + keys[0]) throw new Error("the signed head is that of another ledger");
  for (const line of head.signatures.split("\n").filter(Boolean)) {
    const [, name, encoded] = /^\u2014 (\S+) (\S+)$/.exec(line) || [];
    if (name !== head.origin) continue;
    const bytes = unbase64(encoded);
    for (const multibase of keys) {
      const key = keyBytes(multibase);
      const id = (await sha256(join(text.encode(`${name}\n`), Uint8Array.of(1), key))).slice(0, 4);
      if (equal(id, bytes.slice(0, 4)) && await verifies(key, bytes.slice(4), text.encode(head.body))) return head;
    }
  }
  throw new Error("the ledger's signed head is not signed by a key of this bench");
}

// That a later head continues an earlier one: RFC 6962, section 2.1.2, as RFC 9162, section 2.1.4.2 walks it.
export async function continues(earlier, later, given) {
  const proof = given.map(hash32);
  if (later.size === earlier.size) {
    if (!equal(earlier.root, later.root)) throw new Error("two signed heads of one size differ: the ledger was rewritten");
    if (proof.length) throw new Error("the proof has too many hashes");
    return;
  }
  if (!proof.length) throw new Error("the proof is missing");
  let [at, last] = [earlier.size - 1, later.size - 1];
  const up = () => { at = Math.floor(at / 2); last = Math.floor(last / 2); };
  while (at % 2 === 1) up();
  const isWhole = Number.isInteger(Math.log2(earlier.size));
  let old = isWhole ? earlier.root : proof.shift();
  let fresh = old;
  for (const hash of proof) {
    if (last === 0) throw new Error("the proof has too many hashes");
    if (at % 2 === 1 || at === last) {
      old = await node(hash, old);
      fresh = await node(hash, fresh);
      while (at % 2 === 0 && at !== 0) up();
    } else {
      fresh = await node(fresh, hash);
    }
    up();
  }
  if (last !== 0) throw new Error("the proof has too few hashes");
  if (!equal(old, earlier.root) || !equal(fresh, later.root)) throw new Error("the later head does not continue the record's: the ledger was rewritten, or the proof is of other heads");
}
