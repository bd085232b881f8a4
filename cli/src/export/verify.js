// Checks a record file in a browser, with nothing but what the browser brings. The format it goes by is daemon/record.md, and
// the rules are those of the reference check. It gives what was found out, or throws what does not hold; it never says a bare
// "valid", because a page that came with the record can prove little.

import { contradicts, needsAgreement } from "./agree.js";
import { missingChecks, needsChecks } from "./checks.js";
import { needsForm } from "./form.js";
import { inTheLedger, lean } from "./ledger.js";
import { hashOf, hex, isObject, join, same, sha256, text, unbase64, unhex } from "./read.js";
import { continues, keyHistory, momentOf, openHead, readHead, signedBy } from "./signed.js";

const isHidden = (name) => /^sha256:[0-9a-f]{64}$/.test(name);

// A copy in which every name has become what `of` makes of it: texts under `by`, and under `to` beside `handed`.
function withNames(value, of) {
  if (Array.isArray(value)) return value.map((item) => withNames(item, of));
  if (!isObject(value)) return value;
  const copy = Object.create(null);
  for (const [member, inside] of Object.entries(value)) {
    const isName = typeof inside === "string" && (member === "by" || (member === "to" && "handed" in value));
    copy[member] = isName ? of(inside) : withNames(inside, of);
  }
  return copy;
}

async function shownNames(record, disclosed) {
  const names = new Map();
  for (const { salt, name } of disclosed) {
    if (!/^[0-9a-f]{32}$/.test(salt)) throw new Error("a name beside the record is none of those that were signed");
    names.set(`sha256:${hex(await sha256(join(unhex(salt), text.encode(name))))}`, name);
  }
  const [used, hidden] = [new Set(), new Set()];
  const shown = withNames(record, (name) => {
    if (names.has(name)) used.add(name);
    else if (isHidden(name)) hidden.add(name);
    return names.get(name) ?? name;
  });
  if (used.size !== disclosed.length) throw new Error("a name beside the record is none of those that were signed");
  return { shown, hidden: hidden.size };
}

function needsRecordForm(record) {
  const says = "the document is signed and is not a record that this page knows";
  needsForm(record, "record", says);
  const subject = record.credentialSubject;
  if (!same(record["@context"], RULES.contexts) || !same(record.type, RULES.types) || ![1, 2].includes(subject.record_version)) throw new Error(`${says}: its contexts, types or version are others`);
  let isAsItIs = false;
  withNames(record, (name) => { isAsItIs ||= !isHidden(name); return name; });
  if (subject.record_version === 2 && isAsItIs) throw new Error(`${says}: a name stands in it as it is, and records of this version hold hashes of names`);
  if (!same(subject.cautions, RULES.cautions)) contradicts("cautions", "they are not the ones that every record carries");
}

// Which of two histories of one bench knows more; an error where they part.
function longer(one, other) {
  const [long, short] = one.length >= other.length ? [one, other] : [other, one];
  if (!same(long.slice(0, short.length), short)) throw new Error("the key history that was given is not this bench's, or one of the two was rewritten");
  return long;
}

const NOT_LAST = "the key that signed is not the latest of the bench's key history";

function revokedOf(known, key, created) {
  const span = known.spans.find((one) => one.key === key);
  if (!span) throw new Error(NOT_LAST);
  if (span.revoked && momentOf(created) >= momentOf(span.revoked.from)) {
    throw new Error(`the key that signed was revoked from ${span.revoked.from} on (${span.revoked.reason}), and the record was signed after that`);
  }
  return span.revoked;
}

// Whose record it is: the bench's identity and keys, and how the key that signed stands.
async function judgeKeys(subject, { key, created }, beside, given) {
  const own = subject.keys || [];
  const links = [beside, given.keys || []].filter((more) => more.length).reduce(longer, own);
  const plain = subject.key_history || [];
  if (own.length) {
    const carried = await keyHistory(own);
    if (carried.spans.at(-1).key !== key || plain.length) throw new Error(NOT_LAST);
    const known = links.length === own.length ? carried : await keyHistory(links);
    return { identity: known.identity, earlier: known.earlier, keys: known.spans.map((span) => span.key), revoked: revokedOf(known, key, created) };
  }
  if (!plain.length || plain.some((entry, at) => entry.sequence !== at) || plain.at(-1).key !== key) throw new Error(NOT_LAST);
  const identity = hex(await hashOf(plain[0]));
  if (!links.length) return { identity, earlier: null, keys: plain.map((entry) => entry.key), revoked: null };
  const known = await keyHistory(links);
  if (known.earlier !== identity) throw new Error("the key history that was given is not this bench's, or one of the two was rewritten");
  return { identity, earlier: known.identity, keys: known.spans.map((span) => span.key), revoked: revokedOf(known, key, created) };
}

// The token of a time authority is not looked into; what is none at all is refused.
function needsToken(token) {
  let bytes = [];
  try { bytes = unbase64(token); } catch { /* said below */ }
  const long = bytes[1] & 127;
  const length = bytes[1] < 128 ? bytes[1] + 2 : bytes.slice(2, 2 + long).reduce((sum, byte) => sum * 256 + byte, 0) + 2 + long;
  if (bytes[0] !== 0x30 || length !== bytes.length || bytes.length > 64 * 1024) throw new Error("its time stamp does not hold: the time stamp cannot be read");
}

// Later signed heads: whether each continues the record's, or that this is not known.
async function laterHeads(found, { heads = [], proofs = [] }) {
  const list = [];
  for (const note of new Set([...heads, ...proofs.map((proof) => proof.checkpoint)])) {
    if (!found.inLedger) throw new Error("the history beside the record does not hold: the file brings no signed head that a later one could continue");
    const head = await openHead(note, found.keys);
    const from = found.inLedger.size;
    const proof = proofs.find((one) => one.from === from && one.to === head.size);
    const isKnown = head.size === from || (head.size > from && Boolean(proof));
    if (isKnown) await continues(found.inLedger, head, head.size > from ? proof.hashes : []);
    list.push({ size: head.size, from, isKnown });
  }
  return list;
}

// Everything that can be found out from a record file. `value` is what was read strictly; `given` is what the reader knows from
// elsewhere: the bench's newest key history, its identity, later signed heads and proofs that they continue the record's.
export async function check(value, given = {}) {
  const isFile = isObject(value) && "format" in value;
  if (isFile && value.format !== RULES.format) throw new Error(`the file cannot be read as a record file: its format is ${JSON.stringify(value.format)}, and this page knows ${JSON.stringify(RULES.format)}`);
  if (isFile) needsForm(value, "file", "the file cannot be read as a record file");
  const file = isFile ? value : { record: value };
  if (file.for_customer?.signed) throw new Error("the file cannot be read as a record file: words for the customer say that they are signed, and they are not");
  if (!globalThis.crypto?.subtle) throw new Error("this browser gives no cryptography to this page");
  const signed = await signedBy(file.record);
  needsRecordForm(file.record);
  // What counts is one moment: a proof from before a theft on a record from after it would be neither.
  if (signed.created !== file.record.validFrom) contradicts("validFrom", "it is another moment than the one at which the proof was made");
  const bare = lean(file.record);
  const judged = await judgeKeys(file.record.credentialSubject, signed, file.keys || [], given);
  if (given.pin && ![judged.identity, judged.earlier].includes(given.pin)) throw new Error(`it was signed by the bench ${judged.identity}, not by ${given.pin}`);
  needsAgreement(bare.credentialSubject, needsChecks, missingChecks);
  const { shown, hidden } = await shownNames(file.record, file.names || []);
  const inLedger = file.history ? await inTheLedger(file, lean(shown), judged.keys) : null;
  if (file.history?.timestamp) needsToken(file.history.timestamp);
  const found = {
    record: shown, ...signed, ...judged, inLedger, hidden, sha256: hex(await hashOf(file.record)),
    isStamped: Boolean(file.history?.timestamp), isPinned: Boolean(given.pin), customer: file.for_customer?.text,
  };
  return { ...found, later: await laterHeads(found, given) };
}

// Members of a subject that always differ, or speak of the record and not of the bike.
const ABOUT_THE_RECORD = ["amends", "key_history", "keys", "ledger", "record_version", "fasteners"];

// What is different between two records of one build. Who did something is not looked at: a name's hash is another in every one.
function changed(before, after) {
  const nameless = (value) => {
    if (Array.isArray(value)) return value.map(nameless);
    if (!isObject(value)) return value;
    return Object.fromEntries(Object.entries(value).filter(([name, inside]) => !(typeof inside === "string" && (name === "by" || (name === "to" && "handed" in value)))).map(([name, inside]) => [name, nameless(inside)]));
  };
  const differing = (one, other) => [...new Set([...Object.keys(one), ...Object.keys(other)])].sort()
    .filter((name) => (name in one) !== (name in other) || !same(nameless(one[name]), nameless(other[name])));
  const ofTheBike = differing(before, after).filter((name) => !ABOUT_THE_RECORD.includes(name));
  const by = (subject) => new Map(subject.fasteners.map((fastener) => [fastener.id, fastener]));
  const [old, fresh] = [by(before), by(after)];
  const ids = [...fresh.keys(), ...[...old.keys()].filter((id) => !fresh.has(id))];
  const ofFasteners = ids.map((id) => ({ fastener: id, members: differing(old.get(id) || {}, fresh.get(id) || {}) }));
  return [{ members: ofTheBike }, ...ofFasteners].filter((one) => one.members.length);
}

// Whether `later` names `earlier` as the record whose place it takes: nothing where it does not, and whether what it says of the
// difference is so.
export function takesThePlace(later, earlier) {
  const amends = later.record.credentialSubject.amends;
  if (!amends || amends.record !== earlier.sha256) return null;
  const [before, after] = [lean(earlier.record.credentialSubject), lean(later.record.credentialSubject)];
  return amends.id === earlier.record.id && amends.sealed === earlier.record.validFrom && before.build === after.build
    && later.identity === earlier.identity && same(lean(amends.changed), changed(before, after));
}

// Checks a key history that was given by itself; what it says of the bench.
export const checkKeys = async (links) => { needsForm({ keys: links }, "keys", "this is no key history"); return keyHistory(links); };
export const checkProof = (proof) => { needsForm(proof, "consistency", "this is no consistency proof"); return proof; };
export const checkHead = (note) => readHead(note);
export const longest = (histories) => histories.reduce(longer, []);
