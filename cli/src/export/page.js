// What the page says of the files that it was given: first what was checked and what was not, then the records themselves. Of a
// record that does not hold nothing is shown but why it does not.

import { hashOf, hex, readGiven, readStrict } from "./read.js";
import { drawn, groups, h, item, list, moment, nameOf } from "./show.js";
import { check, checkHead, checkKeys, checkProof, longest, takesThePlace } from "./verify.js";

const place = (id) => document.getElementById(id);
const isChecker = Boolean(place("choose"));

// What the ledger's entries beside a record show, and what they leave open.
function ofLedger({ inLedger }) {
  if (!inLedger) return [[], ["Whether it is in the shop's ledger: the file does not bring the ledger's entries. A reading may be missing from it, an over one too."]];
  if (!inLedger.hasEntries) return [["The shop's ledger names this record."], ["Whether every reading of the ledger is in it: the file brings no entries of readings. One may be missing, an over one too."]];
  const missing = "Whether an entry was left out, that of an over reading too: the entries of this build do not count themselves.";
  const led = `the ${inLedger.entries} entries beside it lead to the ledger's signed head${inLedger.isNumbered ? ", and none of the build's is missing" : ""}`;
  if (!inLedger.isFolded) return [[`Its readings are those of the entries beside it: ${led}.`], [...(inLedger.isNumbered ? [] : [missing]), "Whether titles, limits, alarms and decisions are those of the ledger: this page could not read the plan's text."]];
  return inLedger.isNumbered ? [[`Its readings are those of the shop's ledger, and so are its limits, alarms and decisions: ${led}. Put together again they give this record.`], []]
    : [[`Its readings, limits, alarms and decisions are those of the entries beside it: ${led}.`], [missing]];
}

// Clocks are set, forwards and back, so times that do not fit make no record wrong; whoever reads it has to know. A practice clock
// runs ahead of any other.
function times({ record: { credentialSubject: { started, finished, practice } }, created }) {
  const [begun, done, signed] = [started.time, finished.time, created].map((time) => Date.parse(time));
  return [
    (begun > done || done > signed) && `Which of its times is right: begun ${moment(started.time)}, handed over ${moment(finished.time)}, signed ${moment(created)} do not follow on one another, so the bench's clock was set in between, or a time is made up.`,
    !practice && signed > Date.now() && `When it was signed: ${moment(created)} lies ahead of this machine's clock; one of the two clocks is wrong.`,
  ];
}

function said(found, given) {
  const [shows, open] = ofLedger(found);
  const later = found.later.map(({ size, from, isKnown }) => (isKnown ? [`The ledger only grew since: the later signed head of ${size} entries continues the record's.`, null]
    : [null, size < from ? `Whether the ledger only grew: the head that you gave covers ${size} entries, and the record's own ${from}. If you had it before the record, it says nothing about it; if you got it later, ask the shop why its ledger became shorter.`
      : `Whether the later signed head of ${size} entries continues the record's: not known, the proof is missing. The shop makes it with pullmark ledger consistency --from ${from}.`]));
  const checked = [
    "What this page shows was read out of the signed document and agrees with its signature.",
    "Every verdict, how each fastener and check stands, the counts and the list of what was not done follow from its readings.",
    ...shows,
    found.isPinned && "The key is that of the shop whose identity you gave.",
    given.keys?.length && (found.revoked ? null : "The key history that you gave is this shop's, and does not revoke the key."),
    ...later.map(([known]) => known),
  ];
  const not = [
    isChecker ? "Whether this page itself is the shop's or ours: get it from somebody else than the record. The full check is a program from elsewhere: pullmark record verify."
      : "Whether this page tells the truth: whoever forges a record can change the page too. The full check is a program from elsewhere: pullmark record verify.",
    !found.isPinned && `Whose key it is: compare the fingerprint below, group by group, with the one on the shop's wall, invoice or site${isChecker ? ", or give it above" : ""}.`,
    ...open,
    ...later.map(([, unknown]) => unknown),
    found.revoked ? `Whether it was signed before the key was revoked from ${moment(found.revoked.from)} on (${found.revoked.reason}): that time is the signer's own word.`
      : !given.keys?.length && "Whether the key was revoked since: that stands in a newer key history of the shop.",
    "Whether a later record takes this one's place, and when it was signed: the time is the shop's claim.",
    found.isStamped && "The outside authority's time stamp that the file brings: pullmark record verify --authority looks into it, and so does openssl ts -verify.",
    ...times(found),
    found.hidden > 0 && `${found.hidden} ${found.hidden === 1 ? "name is" : "names are"} left out of the file.`,
  ];
  return { checked: checked.filter(Boolean), not: not.filter(Boolean) };
}

function answer(word, isGood, ...more) {
  return [h("h2", { class: isGood ? "good" : "bad" }, word), ...more];
}
const lines = (all) => list(all.map((line) => h("li", {}, line)));

const cannot = (error) => error.name === "NotSupportedError" || /no cryptography/.test(error.message);
function refusal(error) {
  const nothing = "Nothing of the record is shown, because nothing in it can be relied on.";
  return cannot(error) ? answer("This browser cannot check it", false, lines(["It does not know Ed25519 signatures. Open the file in a newer browser, or check the record with a program.", nothing]))
    : answer("Not valid", false, lines([`${error.message}.`, nothing]));
}

const keysOf = (found) => h("dl", {}, h("dt", {}, "Key fingerprint"), h("dd", { class: "digits" }, groups(found.identity)),
  h("dt", {}, "Record, SHA-256"), h("dd", { class: "digits" }, groups(found.sha256)), h("dt", {}, "Signed by"), h("dd", { class: "digits" }, found.key), h("dt", {}, "Signed at (the shop's claim)"), h("dd", {}, moment(found.created)));

// Which of the records takes the place of which. One that only claims to come later takes nobody's place, and does not hold.
function follow(looked) {
  const known = looked.filter((one) => one.found);
  for (const later of known) {
    for (const earlier of known) {
      const isSo = later === earlier ? null : takesThePlace(later.found, earlier.found);
      if (isSo === true) {
        earlier.relation = `Its place is taken by a later record, ${later.name}: that one counts.`;
        later.relation ||= `It takes the place of ${earlier.name}, and what it says is different is so.`;
      } else if (isSo === false) {
        later.error = new Error("amends: what it says about the record that it amends is not so");
      }
    }
  }
}

async function look(records, given) {
  const looked = [];
  for (const { name, value } of records) {
    try { looked.push({ name, found: await check(value, given) }); } catch (error) { looked.push({ name, error }); }
  }
  follow(looked);
  return looked;
}

// What is said of each record; what was checked of none of them stands once, at the end.
function told(looked, given) {
  const all = looked.map((one) => ({ ...one, ...(one.found && said(one.found, given)) }));
  const fit = all.filter((one) => one.found && !one.error);
  const common = fit.length > 1 ? fit[0].not.filter((line) => fit.every((one) => one.not.includes(line))) : [];
  const open = (title, not) => (not.length ? [h("h3", {}, title), lines(not)] : []);
  const each = all.map((one) => {
    const title = looked.length === 1 ? [] : [h("p", { class: "file" }, one.error ? one.name : `${one.name}: ${nameOf(one.found)}, sealed ${moment(one.found.record.validFrom)}`)];
    if (one.error) return [title, refusal(one.error)];
    return [title, answer("The signature fits", true, one.relation ? h("p", {}, h("b", {}, one.relation)) : [], lines(one.checked)), open("What this page did not check", one.not.filter((line) => !common.includes(line)))];
  });
  return [...each, common.length ? h("div", { class: "file" }) : [], open("What this page checked of none of them", common)].flat(Infinity);
}

// Says of all records what holds, and shows those that do.
async function show(records, given, beside) {
  const looked = await look(records, given);
  const isAlone = looked.length === 1;
  place("answer").replaceChildren(...told(looked, given));
  const shown = looked.filter((one) => !one.error);
  const pages = [];
  for (const one of shown) {
    const parts = await drawn(one.found, beside);
    pages.push(...(isAlone ? parts : [h("details", { class: "one" }, h("summary", {}, `${nameOf(one.found)}, sealed ${moment(one.found.record.validFrom)}: ${one.name}`), parts, keysOf(one.found))]));
  }
  place("record").replaceChildren(...pages);
  place("keys").replaceChildren(...(isAlone && shown.length ? [keysOf(shown[0].found)] : []));
  if (isAlone && shown.length) document.title = `Torque record: ${nameOf(shown[0].found)}`;
  const bad = looked.find((one) => one.error);
  document.body.dataset.answer = !bad ? "fits" : cannot(bad.error) ? "cannot" : "not-valid";
}

const clear = () => { for (const id of ["record", "keys"]) place(id).replaceChildren(); };

// The files that were chosen: their names, what each is, and the same file only once.
const files = new Map();
const SAYS = { record: () => "a record", keys: ({ value }) => `a key history of ${value.length} ${value.length === 1 ? "key" : "keys"}`,
  head: ({ value }) => `a signed head of ${checkHead(value).size} entries`, consistency: ({ value }) => `a proof that a head of ${value.to} entries continues one of ${value.from}` };

async function read(file) {
  const { name } = file;
  try {
    if (file.size > RULES.most_bytes) return [name, { file: name, error: new Error(`the file cannot be read as a record: the document is too long: ${file.size} bytes, at most ${RULES.most_bytes} are read`) }];
    const known = { file: name, ...readGiven(new Uint8Array(await file.arrayBuffer())) };
    const hash = hex(await hashOf(known.value));
    if (known.kind === "keys") known.identity = (await checkKeys(known.value)).identity;
    if (known.kind === "consistency") checkProof(known.value);
    return [hash, { ...known, says: SAYS[known.kind](known) }];
  } catch (error) {
    return [name, { file: name, error }];
  }
}

function pinOf() {
  const typed = place("pin").value.replace(/[\s:]/g, "").toLowerCase();
  const isWhole = /^[0-9a-f]{64}$/.test(typed);
  place("pin").setAttribute("aria-invalid", String(typed !== "" && !isWhole));
  place("pinned").textContent = typed === "" ? "64 digits 0 to 9 and a to f; blanks do not matter. Without it this page cannot say whose record it is."
    : isWhole ? "It is compared with the record's." : `It is not compared: these are ${typed.length} signs, and an identity has 64 digits 0 to 9 and a to f.`;
  return { typed, pin: isWhole ? typed : undefined };
}

// Checks everything that was given so far together.
async function together() {
  delete document.body.dataset.answer;
  const all = [...files.values()];
  // Records mostly are called alike: they are numbered then.
  for (const file of all) {
    const alike = all.filter((other) => other.file === file.file);
    file.name = alike.length > 1 ? `${file.file} (${alike.indexOf(file) + 1})` : file.file;
  }
  place("anew").hidden = all.length === 0;
  place("files").replaceChildren(...all.map((file) => (file.error ? h("li", { class: "bad" }, h("b", {}, file.name), `: ${file.error.message}`) : item(file.name, file.says))));
  clear();
  const of = (kind) => all.filter((file) => file.kind === kind);
  const { typed, pin } = pinOf();
  const wrong = all.find((file) => file.error);
  if (wrong) {
    const isOther = wrong.error.isOtherFile;
    place("answer").replaceChildren(...(cannot(wrong.error) ? refusal(wrong.error) : answer(isOther ? "Not checked: this is another file" : "Not valid", false, lines([`${wrong.name}: ${wrong.error.message}.`,
      all.length > 1 ? "Nothing is shown: with a file that cannot be used the others are not checked. Begin anew without it." : "Nothing is shown."]))));
    document.body.dataset.answer = cannot(wrong.error) ? "cannot" : isOther ? "other-file" : "not-valid";
    return;
  }
  if (!all.length) { place("answer").replaceChildren(h("p", {}, "Nothing is checked yet.")); return; }
  if (!of("record").length) {
    const benches = of("keys").map((file) => h("li", {}, `${file.name} is the key history of the bench `, h("span", { class: "digits" }, groups(file.identity)), pin ? (pin === file.identity ? ": the identity that you gave." : ": not the identity that you gave.") : "."));
    place("answer").replaceChildren(h("h2", {}, "A record is missing"), list(benches), h("p", {}, "Choose the file record.json as well."));
    document.body.dataset.answer = "no-record";
    return;
  }
  if (typed && !pin) {
    place("answer").replaceChildren(...answer("Not checked yet", false, h("p", {}, place("pinned").textContent)));
    document.body.dataset.answer = "no-pin";
    return;
  }
  let keys;
  try { keys = longest(of("keys").map((file) => file.value)); } catch (error) {
    place("answer").replaceChildren(...refusal(error));
    document.body.dataset.answer = "not-valid";
    return;
  }
  await show(of("record"), { keys, pin, heads: of("head").map((file) => file.value), proofs: of("consistency").map((file) => file.value) }, {});
}

// One after the other: what is chosen while a check goes on is checked after it.
let turn = Promise.resolve();
const next = (what) => { turn = turn.then(what); return turn; };
const take = (chosen) => next(async () => {
  for (const file of chosen) { const [key, known] = await read(file); files.set(key, known); }
  await together();
});

if (isChecker) {
  place("answer").replaceChildren(h("p", {}, "Nothing is checked yet."));
  place("choose").addEventListener("change", (event) => { take([...event.target.files]); });
  place("pin").addEventListener("input", () => { next(together); });
  place("given").addEventListener("submit", (event) => event.preventDefault());
  place("given").addEventListener("reset", () => { files.clear(); setTimeout(() => next(together)); });
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => { event.preventDefault(); take([...event.dataTransfer.files]); });
} else {
  const beside = JSON.parse(place("beside").textContent);
  const name = "record.json";
  try {
    await show([{ name, value: readStrict(place("file").textContent.trim()) }], {}, beside);
  } catch (error) {
    clear();
    place("answer").replaceChildren(...refusal(error));
    document.body.dataset.answer = cannot(error) ? "cannot" : "not-valid";
  }
}
