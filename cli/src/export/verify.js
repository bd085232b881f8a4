// Checks a record file in a browser, with nothing but what the browser brings (WebCrypto). The format it goes by is
// daemon/record.md. It gives what was found out, or throws what does not hold; it never says a bare "valid", because a page
// that came with the record can prove little.

const text = new TextEncoder();
const FORMAT = "pullmark.invalid/record-file/1";
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

export const hex = (bytes) => [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
const join = (...parts) => {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) { all.set(part, at); at += part.length; }
  return all;
};
export const sha256 = async (bytes) => new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
const equal = (a, b) => a.length === b.length && a.every((byte, at) => byte === b[at]);
const unhex = (digits) => Uint8Array.from(digits.match(/../g) || [], (pair) => parseInt(pair, 16));
const unbase64 = (letters) => Uint8Array.from(atob(letters), (letter) => letter.charCodeAt(0));

// JSON that can be read in one way only: no name twice, whole numbers in plain digits. JSON.parse keeps the last of two.
function readStrict(source) {
  let at = 0;
  const fail = (why) => { throw new Error(`${why} (at character ${at})`); };
  const space = () => { while (" \t\r\n".includes(source[at]) && at < source.length) at += 1; };
  const string = () => {
    const match = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y;
    match.lastIndex = at;
    const found = match.exec(source);
    if (!found) fail("a text does not end, or holds what it may not");
    at = match.lastIndex;
    const value = JSON.parse(found[0]);
    if (!value.isWellFormed?.() && value.isWellFormed) fail("a text is not valid Unicode");
    return value;
  };
  const value = (depth) => {
    if (depth > 64) fail("it is nested too deep");
    space();
    const first = source[at];
    if (first === "{") {
      at += 1;
      const object = Object.create(null);
      space();
      if (source[at] === "}") { at += 1; return object; }
      for (;;) {
        space();
        const name = string();
        if (name in object) fail(`the name ${JSON.stringify(name)} stands twice`);
        space();
        if (source[at] !== ":") fail("a colon is missing");
        at += 1;
        object[name] = value(depth + 1);
        space();
        if (source[at] === ",") { at += 1; continue; }
        if (source[at] === "}") { at += 1; return object; }
        fail("an object does not end");
      }
    }
    if (first === "[") {
      at += 1;
      const list = [];
      space();
      if (source[at] === "]") { at += 1; return list; }
      for (;;) {
        list.push(value(depth + 1));
        space();
        if (source[at] === ",") { at += 1; continue; }
        if (source[at] === "]") { at += 1; return list; }
        fail("a list does not end");
      }
    }
    if (first === '"') return string();
    const word = /true|false|null|-?(?:0|[1-9][0-9]*)(?![0-9.eE])/y;
    word.lastIndex = at;
    const found = word.exec(source);
    if (!found) fail("a value is none that a record can hold");
    at = word.lastIndex;
    if (found[0] === "true" || found[0] === "false") return found[0] === "true";
    if (found[0] === "null") return null;
    const number = Number(found[0]);
    if (!Number.isSafeInteger(number) || found[0] === "-0") fail("a number is too large to be read alike everywhere");
    return number;
  };
  const all = value(0);
  space();
  if (at !== source.length) fail("something follows the end");
  return all;
}

// The canonical form (RFC 8785); names sort by their UTF-16 units, which is how JavaScript sorts.
function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value && typeof value === "object") {
    return `{${Object.keys(value).sort().map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join(",")}}`;
  }
  return JSON.stringify(value);
}
const hashOf = (value) => sha256(text.encode(canonical(value)));

function unbase58(letters) {
  let number = 0n;
  for (const letter of letters) {
    const digit = ALPHABET.indexOf(letter);
    if (digit < 0) throw new Error("it is not base58");
    number = number * 58n + BigInt(digit);
  }
  const bytes = [];
  for (; number > 0n; number >>= 8n) bytes.unshift(Number(number & 255n));
  for (const letter of letters) { if (letter !== "1") break; bytes.unshift(0); }
  return Uint8Array.from(bytes);
}

function keyBytes(multibase) {
  const bytes = typeof multibase === "string" && multibase[0] === "z" ? unbase58(multibase.slice(1)) : [];
  if (bytes.length !== 34 || bytes[0] !== 0xed || bytes[1] !== 1) throw new Error("the key is none for Ed25519");
  const key = bytes.slice(2);
  if (SMALL_ORDER.has(hex(key))) throw new Error("the key is one that fits almost any message");
  return key;
}

async function verifies(key, signature, message) {
  if (signature.length !== 64 || SMALL_ORDER.has(hex(signature.slice(0, 32)))) return false;
  const known = await crypto.subtle.importKey("raw", key, { name: "Ed25519" }, false, ["verify"]);
  return crypto.subtle.verify({ name: "Ed25519" }, known, signature, message);
}

// A document with one eddsa-jcs-2022 proof; the key that signed it, as multibase text.
async function signedBy(document) {
  const { proof, ...bare } = document;
  if (!proof || typeof proof !== "object" || Array.isArray(proof)) throw new Error("it has no signature");
  const { proofValue, ...options } = proof;
  const allowed = new Set(["type", "cryptosuite", "created", "verificationMethod", "proofPurpose", "@context"]);
  if (Object.keys(options).some((name) => !allowed.has(name))) throw new Error("the signature says more than it may");
  if (options.type !== "DataIntegrityProof" || options.cryptosuite !== "eddsa-jcs-2022" || options.proofPurpose !== "assertionMethod") {
    throw new Error("the signature is of another kind than eddsa-jcs-2022");
  }
  if (canonical(options["@context"] ?? null) !== canonical(bare["@context"] ?? null)) throw new Error("the signature's context is another one");
  const key = /^did:key:(z[1-9A-HJ-NP-Za-km-z]+)#\1$/.exec(options.verificationMethod)?.[1];
  if (!key) throw new Error("the signature names no key");
  const issuer = bare.issuer;
  if (issuer !== `did:key:${key}`) throw new Error("the key that signed is not the issuer's");
  if (typeof proofValue !== "string" || proofValue[0] !== "z") throw new Error("the signature cannot be read");
  const message = join(await hashOf(options), await hashOf(bare));
  if (!await verifies(keyBytes(key), unbase58(proofValue.slice(1)), message)) throw new Error("the signature does not fit: something was changed after it was signed");
  return { key, created: options.created };
}

// The key history: each link is signed by the key before it, or by the recovery key.
async function keyHistory(links) {
  let before = null;
  const keys = [];
  for (const [number, link] of links.entries()) {
    const { key: signer } = await signedBy(link);
    const hash = before ? hex(await hashOf(before)) : "0".repeat(64);
    if (link.sequence !== number || link.previous !== hash) throw new Error("a link of the key history is missing or out of place");
    const asText = async (key) => hex(await sha256(text.encode(key)));
    const byBefore = before && signer === before.key && await asText(link.key) === before.next && link.recovery === before.recovery;
    const byRecovery = before && await asText(signer) === before.recovery;
    if (!before ? signer !== link.key : !(byBefore || byRecovery)) throw new Error("a link of the key history is signed by a key that may not");
    if (keys.includes(link.key)) throw new Error("a key comes twice in the key history");
    keys.push(link.key);
    before = link;
  }
  return keys;
}

async function shownNames(file) {
  const names = new Map();
  for (const { salt, name } of file.names || []) {
    names.set(`sha256:${hex(await sha256(join(unhex(salt), text.encode(name))))}`, name);
  }
  const used = new Set();
  const put = (value) => {
    if (Array.isArray(value)) return value.map(put);
    if (!value || typeof value !== "object") return value;
    const copy = Object.create(null);
    for (const [member, inside] of Object.entries(value)) {
      const isName = member === "by" || (member === "to" && "handed" in value);
      if (isName && typeof inside === "string" && names.has(inside)) { used.add(inside); copy[member] = names.get(inside); }
      else copy[member] = put(inside);
    }
    return copy;
  };
  const shown = put(file.record);
  if (used.size !== names.size) throw new Error("a name beside the record is not the one that was signed");
  return shown;
}

const leaf = (entry) => sha256(join(Uint8Array.of(0), text.encode(canonical(entry))));
const node = (left, right) => sha256(join(Uint8Array.of(1), left, right));

async function rootOf(history, size) {
  const entries = history.entries;
  const hashes = [...history.hashes];
  const next = () => {
    const hash = hashes.shift();
    if (hash === undefined) throw new Error("a hash on the way to the ledger's head is missing");
    const bytes = unbase64(hash);
    if (bytes.length !== 32) throw new Error("a hash on the way to the ledger's head is none");
    return bytes;
  };
  const walk = async (first, count) => {
    const inside = entries.find((entry) => entry.sequence >= first && entry.sequence < first + count);
    if (!inside) return next();
    if (count === 1) return leaf(inside);
    let left = 1;
    while (left * 2 < count) left *= 2;
    const one = await walk(first, left);
    return node(one, await walk(first + left, count - left));
  };
  const root = await walk(0, size);
  if (hashes.length) throw new Error("a hash on the way to the ledger's head is left over");
  return root;
}

// A signed head (C2SP checkpoint): its size and root, if one of the keys signed it.
async function head(note, keys) {
  const [body, signatures] = note.split("\n\n");
  const [origin, size, root] = `${body}\n`.split("\n");
  if (origin !== ORIGIN + keys[0]) throw new Error("the head is that of another ledger");
  for (const line of (signatures || "").split("\n").filter(Boolean)) {
    const [, name, encoded] = /^\u2014 (\S+) (\S+)$/.exec(line) || [];
    if (name !== origin) continue;
    const bytes = unbase64(encoded);
    for (const multibase of keys) {
      const key = keyBytes(multibase);
      const id = (await sha256(join(text.encode(`${name}\n`), Uint8Array.of(1), key))).slice(0, 4);
      if (equal(id, bytes.slice(0, 4)) && await verifies(key, bytes.slice(4), text.encode(`${body}\n`))) {
        return { size: Number(size), root: unbase64(root) };
      }
    }
  }
  throw new Error("the ledger's head is not signed by a key of this bench");
}

async function inTheLedger(file, record, keys) {
  const { history } = file;
  const sorted = history.entries.every((entry, at, all) => at === 0 || all[at - 1].sequence < entry.sequence);
  if (!sorted) throw new Error("the ledger's entries are not in their order");
  const signed = await head(history.checkpoint, keys);
  if (!equal(await rootOf(history, signed.size), signed.root)) throw new Error("the ledger's entries do not lead to its signed head");
  const hash = hex(await hashOf(file.record));
  const isSeal = (entry) => entry.body?.record === hash && ["record-sealed", "head-signed"].includes(entry.kind);
  if (!history.entries.some(isSeal)) throw new Error("no entry of the ledger names this record");
  const pulled = history.entries.filter((entry) => entry.kind === "pulled" && entry.body.build === record.credentialSubject.build);
  if (pulled.length === 0) return false;
  const subject = record.credentialSubject;
  const readings = [...subject.fasteners, ...(subject.removed || [])].flatMap((fastener) => fastener.readings).concat(subject.elsewhere);
  const known = new Map(pulled.map((entry) => [entry.sequence, entry]));
  const plain = (reading) => canonical(reading).replace(/"by":"[^"]*"/g, '"by":""');
  const agree = readings.length === known.size && readings.every((reading) => {
    const entry = known.get(reading.sequence);
    return entry && entry.time === reading.time && plain(entry.body.reading) === plain(reading.reading);
  });
  if (!agree) throw new Error("the record's readings are not those of the ledger");
  const measured = history.entries.filter((entry) => entry.kind === "check-measured" && entry.body.build === subject.build);
  const ofChecks = [...(subject.checks || []), ...(subject.removed_checks || [])].flatMap((check) => check.readings).concat(subject.checks_elsewhere || []);
  const told = new Map(measured.map((entry) => [entry.sequence, entry]));
  const alike = ofChecks.length === told.size && ofChecks.every((reading) => {
    const entry = told.get(reading.sequence);
    return entry && entry.time === reading.time && plain(entry.body.reading) === plain(reading.reading);
  });
  if (!alike) throw new Error("the record's readings of checks are not those of the ledger");
  return true;
}

// Everything that can be found out from a record file alone.
export async function check(source) {
  const file = readStrict(source);
  if ("format" in file && file.format !== FORMAT) throw new Error(`it is of a format that this page does not know: ${file.format}`);
  const whole = "format" in file ? file : { record: file };
  if (!globalThis.crypto?.subtle) throw new Error("this browser gives no cryptography to this page");
  const { key, created } = await signedBy(whole.record);
  const subject = whole.record.credentialSubject;
  let keys = [];
  let identity;
  if (subject.keys) {
    keys = await keyHistory(subject.keys);
    const longer = await keyHistory(whole.keys?.length ? whole.keys : subject.keys);
    if (!keys.every((known, at) => longer[at] === known)) throw new Error("two key histories do not go together: one was rewritten");
    identity = hex(await hashOf(subject.keys[0]));
    if (keys.at(-1) !== key) throw new Error("the key that signed is not the last of its history");
    const revoked = (whole.keys || []).find((link, at) => at >= keys.length && link.revoked)?.revoked;
    if (revoked && Date.parse(created) >= Date.parse(revoked.from)) throw new Error("the key had been revoked when this was signed");
    keys = longer;
  } else {
    keys = subject.key_history.map((entry) => entry.key);
    identity = hex(await hashOf(subject.key_history[0]));
    if (keys.at(-1) !== key) throw new Error("the key that signed is not the last of its history");
  }
  const shown = await shownNames(whole);
  const inLedger = whole.history ? await inTheLedger(whole, whole.record, keys) : null;
  return { record: shown, key, created, identity, sha256: hex(await hashOf(whole.record)), inLedger, isStamped: Boolean(whole.history?.timestamp), customer: whole.for_customer?.text };
}
