// Forged records, signed with the bench's own key: the page in a browser says of each what the command line says, and never says
// that it checked what it did not. Files that are no records are refused in words. Several files at once: amendments, a key
// history, a later head and its proof, an identity.

import { chromium } from "playwright-core";
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { Forger, copy } from "./forge.mjs";

const root = process.argv[2];
const pullmark = join(root, "target/debug/pullmark");
const folder = mkdtempSync(join(tmpdir(), "pullmark-forged-"));
const out = join(folder, "out");
execFileSync(pullmark, ["demo", "--fast", "--out", out], { stdio: "ignore" });
const json = readFileSync(join(out, "record.json"), "utf8");
const html = readFileSync(join(out, "record.html"), "utf8");
const honest = JSON.parse(json);
const forger = new Forger(join(out, "bench"), honest);
const checkPage = join(folder, "check.html");
writeFileSync(checkPage, execFileSync(pullmark, ["record", "checker"]));

let failed = 0;
const holds = (name, is, what = "") => { console.log(`${is ? "holds" : "FAILS"}  ${name}${what ? `: ${what}` : ""}`); if (!is) failed += 1; };

const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"] });
const context = await browser.newContext({ offline: true });
const troubles = [];
async function open(file) {
  const page = await context.newPage();
  page.on("request", (request) => { if (!/^(file|data):/.test(request.url())) troubles.push(request.url()); });
  page.on("pageerror", (error) => troubles.push(error.message));
  page.on("console", (message) => { if (message.type() === "error") troubles.push(message.text()); });
  await page.goto(pathToFileURL(file).href);
  return page;
}
const answered = (page) => page.waitForFunction(() => document.body.dataset.answer, null, { timeout: 60000 }).then((handle) => handle.jsonValue());
const text = (page, place) => page.locator(place).innerText();
const checker = await open(checkPage);

let count = 0;
const write = (content, ending = "json") => { count += 1; const file = join(folder, `${count}.${ending}`); writeFileSync(file, typeof content === "string" || Buffer.isBuffer(content) ? content : JSON.stringify(content)); return file; };
// What the checking page says of files, given together with an identity.
async function says(files, pin = "") {
  if (await checker.locator("#anew").isVisible()) await checker.click("#anew");
  await checker.waitForFunction(() => document.getElementById("files").children.length === 0);
  await checker.fill("#pin", pin);
  await checker.evaluate(() => { delete document.body.dataset.answer; document.getElementById("choose").value = ""; });
  await checker.setInputFiles("#choose", files);
  const word = await answered(checker);
  return { word, answer: await text(checker, "#answer"), record: await checker.locator("#record").textContent() };
}
const verdicts = (files, ...more) => {
  const said = spawnSync(pullmark, ["record", "verify", "--json", ...more, ...files], { encoding: "utf8", maxBuffer: 1 << 28 });
  const found = JSON.parse(said.stdout);
  return found.records || [found];
};
const NOT_KNOWN = "could not read the plan's text";
const ledgersOwn = "Its readings are those of the shop's ledger";

// One forged record: the command line's verdict and the page's, the same; and what the page has to say.
async function forged(name, file, { isValid = false, has = [], lacks = [] } = {}) {
  const at = write(file);
  const [cli] = verdicts([at]);
  const page = await says([at]);
  holds(`${name}: browser and command line agree`, cli.valid === (page.word === "fits") && cli.valid === isValid, `${cli.valid ? "valid" : cli.why} | ${page.answer.split("\n").filter(Boolean)[1]}`);
  if (!isValid) holds(`${name}: nothing of it is shown`, page.record === "");
  for (const words of has) holds(`${name}: it says "${words}"`, page.answer.includes(words));
  for (const words of lacks) holds(`${name}: it does not say "${words}"`, !page.answer.includes(words));
  return at;
}

// An over reading with its alarm and its decision, as the demo has one.
const alarm = honest.record.credentialSubject.alarms[0];
const over = alarm.reading;
const decided = honest.record.credentialSubject.fasteners.find((fastener) => fastener.id === alarm.place.fastener).dispositions[0].sequence;
const hide = (subject) => {
  const fastener = subject.fasteners.find((one) => one.id === alarm.place.fastener);
  fastener.readings = fastener.readings.filter((known) => known.sequence !== over);
  Object.assign(fastener, { dispositions: [], loosened: [] });
  subject.alarms = [];
};
const hidden = forger.entries.filter((entry) => entry.sequence >= over && entry.sequence <= decided).map((entry) => entry.sequence);

const counted = (subject) => subject.fasteners.flatMap((fastener) => fastener.readings).find((known) => known.counts);
await forged("sealed anew as it is", forger.sealed(() => {}), { isValid: true, has: [ledgersOwn, "none of the build's is missing", "What this page did not check", "pullmark record verify"] });
const hiddenOver = await forged("an over reading hidden behind hashes of the tree", forger.sealed(hide, { hidden }), { has: ["an entry of the build is missing"], lacks: [ledgersOwn] });
await forged("an over reading hidden, its entries shown", forger.sealed(hide), { has: ["not those of its entries"] });
const unnumbered = (all) => all.map(({ in_build: _, ...entry }) => entry);
await forged("hidden in a ledger whose entries do not count", forger.sealed(hide, { hidden, entries: unnumbered }), { isValid: true, has: ["Whether an entry was left out"], lacks: [ledgersOwn] });
await forged("hidden, and no ledger beside it", forger.bare(hide), { isValid: true, has: ["Whether it is in the shop's ledger"], lacks: [ledgersOwn] });
await forged("an act left out", forger.sealed((subject) => { subject.fasteners.find((one) => one.id === alarm.place.fastener).prepared.shift(); }), { has: ["not what its entries give"] });
await forged("a chance that is not so", forger.bare((subject) => { counted(subject).verdict.outside.over_millionths += 1000; }), { has: ["how likely"] });

await forged("99 N·m called within", forger.bare((subject) => { counted(subject).reading.applied_millinewton_metre = 99_000; }), { has: ["another torque judged"] });
await forged("99 N·m displayed, and called within", forger.bare((subject) => { const { reading } = counted(subject); Object.assign(reading, { applied_millinewton_metre: 99_000, displayed: { value: "99.00", unit: "N.m" } }); delete reading.worth; }));
await forged("nothing left out, beside a fastener that waits", forger.bare((subject) => { subject.not_done = []; }), { has: ["what was not done"] });
await forged("a count that does not count", forger.bare((subject) => { subject.summary.within += 1; subject.summary.deferred -= 1; }), { has: ["does not count the fasteners"] });
await forged("an unknown member", forger.bare((subject) => { subject.extra = "x"; }), { has: ["unknown member"] });
await forged("an unknown member deep inside", forger.bare((subject) => { counted(subject).reading.extra = 1; }), { has: ["unknown member"] });
await forged("another type", forger.bare((_, record) => { record.type.push("X"); }));
await forged("a date of ending", forger.bare((_, record) => { record.validUntil = "2001-01-01T00:00:00Z"; }), { has: ["unknown member"] });
await forged("another context", forger.bare((_, record) => { record["@context"].push("https://example.org/x"); record.proof["@context"] = record["@context"]; }));
await forged("another label of the bike", forger.sealed((subject) => { subject.bike.label = "Another"; }), { has: ["/bike/label"] });
await forged("another title of a fastener", forger.sealed((subject) => { subject.fasteners[0].title = subject.fasteners[1].title; }), { has: ["/title"] });
await forged("another limit, with its verdicts", forger.sealed((subject) => {
  const fastener = subject.fasteners.find((one) => one.deferred);
  fastener.spec.limits.upper_millinewton_metre += 1;
}), { has: ["/limits"] });
await forged("a fastener of the plan left out", forger.sealed((subject) => {
  const at = subject.fasteners.findIndex((one) => one.deferred);
  subject.not_done = subject.not_done.filter((one) => one.fastener !== subject.fasteners[at].id);
  subject.fasteners.splice(at, 1);
  Object.assign(subject.summary, { fasteners: subject.summary.fasteners - 1, deferred: subject.summary.deferred - 1 });
}), { has: ["not what its entries give"] });
await forged("another serial number of a tool", forger.sealed((subject) => { subject.tools[0].serial = "X"; }), { has: ["/tools/0/serial"] });
await forged("a computed check that comes to something else", forger.bare((subject) => { subject.checks.find((check) => check.formula).derived.value += 500; }));
await forged("no cautions", forger.bare((subject) => { subject.cautions = []; }));
await forged("practice that is signed away", forger.sealed((subject) => { subject.practice = false; }), { has: ["is practice, and the record does not say so"] });
await forged("a proof from another moment than the record", forger.bare((_, record) => { record.proof.created = "2001-01-01T00:00:00.000+00:00"; }), { has: ["another moment"] });
await forged("times that do not follow on one another", forger.bare((subject) => { subject.finished.time = "2001-01-01T00:00:00.000+00:00"; }), { isValid: true, has: ["do not follow on one another"] });
await forged("a label that would turn what follows", forger.bare((subject) => { subject.bike.label = "Ferry\u202e bike"; }), { isValid: true });
await forged("a time that the seal does not have", (() => { const file = forger.sealed((_, record) => { record.validFrom = "2099-01-01T00:00:00.000+00:00"; record.proof.created = record.validFrom; }); file.history.entries.at(-1).time = honest.record.validFrom; return file; })());

// The page that carries its record says the same.
const embed = (content) => html.replace(/(<script type="application\/json" id="file">)[^]*?(<\/script>)/, (_, before, after) => before + content.replaceAll("<", "\\u003c") + after);
const own = await open(write(embed(readFileSync(hiddenOver, "utf8")), "html"));
holds("its own page refuses the hidden over reading too", await answered(own) === "not-valid" && await text(own, "#record") === "" && (await text(own, "#answer")).includes("an entry of the build is missing"));
await own.close();

// Any change of a record that is signed and sealed anew: both say the same, whatever it was. The same changes every time.
let seed = 20261127;
const random = (below) => { seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0; return Math.floor((seed / 4294967296) * below); };
const texts = [...new Set(json.match(/"[a-z][a-z.-]{2,}"/g))].map((quoted) => quoted.slice(1, -1));
function change(subject) {
  const places = [];
  const walk = (value) => { for (const name of Object.keys(value)) { places.push([value, name]); if (value[name] && typeof value[name] === "object") walk(value[name]); } };
  for (const [name, value] of Object.entries(subject)) if (!["keys", "ledger"].includes(name)) { places.push([subject, name]); if (value && typeof value === "object") walk(value); }
  const [holder, name] = places[random(places.length)];
  const value = holder[name];
  const how = random(8);
  if (how === 0) { if (Array.isArray(holder)) holder.splice(name, 1); else delete holder[name]; }
  else if (how === 1 && Array.isArray(holder)) holder.push(copy(value));
  else if (how === 2 && value && typeof value === "object" && !Array.isArray(value)) value.more = 1;
  else if (typeof value === "number") holder[name] = value + [1, -1, 1000, -5000][random(4)];
  else if (typeof value === "boolean") holder[name] = !value;
  else if (typeof value === "string") holder[name] = random(2) ? texts[random(texts.length)] : `${value}x`;
  else if (Array.isArray(value)) value.reverse();
  else if (Array.isArray(holder)) holder.splice(name, 1); else delete holder[name];
}
const any = Array.from({ length: 160 }, (_, number) => write((number % 2 ? forger.bare : forger.sealed).call(forger, change)));
const said = verdicts(any);
const differ = [];
let refused = 0;
for (const [number, file] of any.entries()) {
  const page = await says([file]);
  const isSame = said[number].valid === (page.word === "fits") || (page.word === "fits" && page.answer.includes(NOT_KNOWN));
  refused += page.word === "fits" ? 0 : 1;
  if (!isSame) differ.push(`${file}: ${said[number].why || "valid"} | ${page.answer.split("\n").filter(Boolean)[1]}`);
}
holds(`${any.length} changes at random: browser and command line agree`, differ.length === 0 && refused > any.length / 2, differ.join("\n") || `${refused} refused by both`);

// The page reads plans by itself: what comes out is what the command line reads.
const modules = join(folder, "modules");
mkdirSync(modules);
writeFileSync(join(modules, "package.json"), '{"type":"module"}');
const sources = join(root, "cli/src/export");
for (const name of readdirSync(sources).filter((name) => name.endsWith(".js"))) copyFileSync(join(sources, name), join(modules, name));
for (const [, name, value] of readFileSync(checkPage, "utf8").matchAll(/^const (FACTORS|RULES|FORMS) = (.*);$/gm)) globalThis[name] = JSON.parse(value);
const { readPlan } = await import(pathToFileURL(join(modules, "plan.js")).href);
const tricky = `# Every way of writing that a plan may use.
title = "A \\"plan\\" \\u00e9"
"edition" = '1\\n'
tolerance = "±8 %"
rule = "guarded" # for all
frame = "cargo"

[[stage]]
id = "one"
title = """
Two
lines \\
   joined"""
pattern = "cross"
passes = [
  0.6, # round once
  1.0,
]
[[stage.fastener]]
id = "a"
title = "A"
spec = { target = "5 N·m" }
joint = "carbon"
[[stage.fastener]]
id = "b"
title = "B"
thread = { size = "M6", hand = "left", friction = [0.10, 0.16] }
adapter = { title = "crow-foot", length = "1.25 in", angle = 30 }
sources = [{ where = "mark", upper = "48 lbf·in" }, { where = "leaflet", lower = "40 in-lb", target = "5.1 Nm" }, { where = "book", lower = "4 N·m" }]
second_look = true
prep = ["dry"]
[[stage.fastener]]
id = "c"
title = "C"
spec.target = "32 N·m"
rule = "simple"
sources = [{ where = "mark", lower = "30 N·m" }, { where = "leaflet", upper = "28 N·m" }]
settled = { by = "R. Aalto", reason = "asked", target = "32 N·m" }
[[stage.fastener]]
id = "d"
title = "D"
[stage.fastener.spec]
upper = "6 N·m"
[[stage.check]]
id = "p"
title = "P"
spec = { target = "58.3 psi" }
readings = 3
[[stage.check]]
id = "q"
title = "Q"
sources = [{ where = "frame", lower = "70 °F" }, { where = "other", lower = "21.3 °C", upper = "330 K" }]
[[stage.check]]
id = "r"
title = "R"
spec = { upper = "0.4 bar" }
formula = "spread( p ) * 2 - max(p)"
[[part]]
id = "bar"
title = "Bar"
kind = "handlebar"
fasteners = ["a"]
[[due]]
id = "later"
title = "Later"
months = 1
kilometres = 150
`;
const lists = (value) => (Array.isArray(value) && !value.length ? undefined : value);
for (const [name, plan] of [...readdirSync(join(root, "tests/plans")).map((name) => [name, readFileSync(join(root, "tests/plans", name), "utf8")]), ["the demo's", honest.plans[0]], ["every way of writing", tricky]]) {
  const shown = spawnSync(pullmark, ["plan", "show", write(plan, "toml"), "--json"], { encoding: "utf8" });
  let why = shown.stderr;
  try {
    const theirs = JSON.parse(shown.stdout);
    const ours = readPlan(plan);
    const of = (stage, one, names) => Object.fromEntries([["stage", stage.title], ...names.map((name) => [name, lists(one[name])])]);
    const flat = (what, names) => theirs.stages.flatMap((stage) => (stage[what] || []).map((one) => ({ ...of(stage, one, names), ...(what === "fasteners" ? { passes_percent: stage.passes } : { readings_wanted: one.readings }) })));
    const plain = (list, names, more) => list.map((one) => ({ ...of({ title: one.stage }, one, names), [more]: one[more] }));
    const [F, C] = [["id", "title", "spec", "rule", "kind", "at", "adapter", "hand", "joint", "prep", "second_look"], ["id", "title", "spec", "rule", "at"]];
    const formulas = (list) => list.map((check) => (check.formula?.text ?? check.formula ?? "").replace(/[{}\s]/g, ""));
    assert.deepEqual(copy(plain(ours.fasteners, F, "passes_percent")), copy(flat("fasteners", F)));
    assert.deepEqual(copy(plain(ours.checks, C, "readings_wanted")), copy(flat("checks", C)));
    assert.deepEqual(formulas(ours.checks), formulas(theirs.stages.flatMap((stage) => stage.checks || [])));
    assert.deepEqual([ours.title, ours.edition, ours.frame], [theirs.title, theirs.edition, theirs.frame ?? "road"]);
    assert.deepEqual([copy(ours.parts).map((part) => part.title), copy(ours.due)], [(theirs.parts || []).map((part) => part.title), theirs.due || []]);
    why = "";
  } catch (error) { why = why || error.message; }
  holds(`a plan is read as the command line reads it: ${name}`, !why, why.slice(0, 900));
}

// Files that are no records, and records written in a way that two readers could read differently.
for (const [name, content, words] of [
  ["a byte order mark", `\ufeff${json}`, "byte order mark"],
  ["17 MiB", `${json.slice(0, -1)}${" ".repeat(17 << 20)}}`, "the document is too long: "],
  ["UTF-16", Buffer.from(json, "utf16le"), null],
  ["null", "null", "holds null"], ["a list", "[]", "holds a list"], ["a number", "5", "holds a single value"], ["nothing", "", "the file is empty"],
  ["a PDF", readFileSync(join(out, "record.pdf")), "save record.json, which is attached to it"], ["an archive", readFileSync(join(out, "record.zip")), "unpack it"],
  ["a page", html, "opened in a browser it checks itself"], ["a table", readFileSync(join(out, "readings.csv")), "not JSON"],
  ["65 lists in one another", "[".repeat(65) + "]".repeat(65), "nested more than 64 deep"], ["two documents", json + json, "more text behind the end"],
  ["half a surrogate pair", json.replace(honest.record.credentialSubject.bike.label, "\\ud800"), "not valid Unicode"],
]) {
  const file = write(content);
  const page = await says([file]);
  holds(`${name} is refused by both, in words`, page.word !== "fits" && !verdicts([file])[0].valid && page.record === "" && (!words || page.answer.includes(words)) && !/undefined|operator|TypeError/.test(page.answer), page.answer.split("\n").filter(Boolean)[1]);
}

// Several files at once. A bench goes on: its head is signed later, its key changes, its record is amended.
const identity = verdicts([join(out, "record.json")])[0].fingerprint;
const mine = await says([join(out, "record.json")], identity.toUpperCase().match(/.{4}/g).join(" "));
holds("the identity from elsewhere is compared", mine.word === "fits" && mine.answer.includes("that of the shop whose identity you gave") && !mine.answer.includes("Whose key it is"));
holds("another identity is not this shop's", (await says([join(out, "record.json")], "0".repeat(64))).answer.includes("not by 0000"));
holds("half an identity is not compared, and that is said", (await says([join(out, "record.json")], "abc")).word === "no-pin");
for (const more of [1, 2, 7, 62]) {
  const proof = forger.later(more);
  const [head, proved] = [write(proof.checkpoint, "txt"), write(proof)];
  const both = await says([join(out, "record.json"), head, proved]);
  const cli = verdicts([join(out, "record.json")], "--checkpoint", head, "--consistency", proved)[0].valid;
  holds(`a later head of ${more} entries more and its proof are taken together, as on the command line`, cli && both.word === "fits" && both.answer.includes("The ledger only grew since"));
  const alone = await says([join(out, "record.json"), head]);
  holds(`without the proof that is not known: ${more}`, alone.word === "fits" && alone.answer.includes("the proof is missing") && !alone.answer.includes("only grew"));
}
const rewritten = forger.later(7, (entries) => { entries[decided].body.reason = "another one"; return entries; });
const cliSays = verdicts([join(out, "record.json")], "--checkpoint", write(rewritten.checkpoint, "txt"), "--consistency", write(rewritten))[0];
const pageSays = await says([join(out, "record.json"), write(rewritten)]);
holds("a head of a ledger that was rewritten is refused, as on the command line", pageSays.word === "not-valid" && !cliSays.valid && pageSays.answer.includes("the ledger was rewritten"), cliSays.why);

const sealedAt = honest.record.proof.created;
for (const [name, from, words, isValid] of [
  ["a history that revokes the key from before the record", "2000-01-01T00:00:00.000+00:00", "was revoked from", false],
  ["a history that revokes it later", "2098-01-01T00:00:00.000+00:00", "Whether it was signed before the key was revoked", true],
]) {
  const keys = write(forger.keysRevoked(from));
  const page = await says([join(out, "record.json"), keys]);
  holds(`${name}: said, as on the command line`, (page.word === "fits") === isValid && page.answer.includes(words) && verdicts([join(out, "record.json")], "--keys", keys)[0].valid === isValid, `${sealedAt}, ${page.answer.split("\n").find((line) => line.includes("revoked"))}`);
}
const two = await says([join(out, "record.json"), write(forger.keysRevoked("2098-01-01T00:00:00.000+00:00")), write(forger.keysRevoked("2098-01-01T00:00:00.000+00:00", "loss"))]);
holds("two histories that part are refused", two.word === "not-valid" && two.answer.includes("one of the two was rewritten"));
const alone = await says([write({ keys: honest.keys })]);
holds("a key history alone asks for a record and names its bench", alone.word === "no-record" && alone.answer.replace(/\s/g, "").includes(identity));

const amending = forger.sealed((subject, record) => {
  record.id = "urn:uuid:00000000-0000-4000-8000-000000000001";
  subject.bike.label = "Another";
  subject.amends = { record: verdicts([join(out, "record.json")])[0].sha256, id: honest.record.id, sealed: honest.record.validFrom, reason: "the label was wrong", changed: [{ members: ["bike"] }] };
});
const { history: _history, plans: _plans, ...amendment } = amending;
const later = await says([join(out, "record.json"), write(amendment)]);
holds("which record takes the place of which is said", later.word === "fits" && later.answer.includes("Its place is taken by a later record") && later.answer.includes("It takes the place of"), later.answer.split("\n").find((line) => line.includes("place")));
holds("that it takes another's place stands in it, why, and what is different", later.record.includes("This record takes the place of an earlier one") && later.record.includes("the label was wrong") && later.record.includes("The bike as a whole: the bike"));
amendment.record = forger.signed({ ...amendment.record, credentialSubject: { ...amendment.record.credentialSubject, amends: { ...amendment.record.credentialSubject.amends, changed: [] } } });
const lying = write(amendment);
holds("one that does not tell the difference takes nobody's place, as on the command line", (await says([join(out, "record.json"), lying])).word === "not-valid" && verdicts([join(out, "record.json"), lying]).some((one) => !one.valid));

// What is shown near the top: taken up again, readings that belong to nothing, checks without any fastener.
const { by } = honest.record.credentialSubject.finished;
const shows = async (change) => (await says([write(forger.bare(change))])).record;
const reopened = await shows((subject) => { subject.reopened = [{ sequence: subject.ledger.last, time: subject.finished.time, by, reason: "the saddle slipped" }]; });
holds("that a build was taken up again stands before what was done", reopened.indexOf("the saddle slipped") > 0 && reopened.indexOf("the saddle slipped") < reopened.indexOf("What was done"));
const apart = await shows((subject) => {
  const fastener = subject.fasteners.find((one) => one.readings.filter((known) => known.counts).length > one.passes_percent.length);
  const { verdict: _, ...reading } = fastener.readings.pop();
  subject.elsewhere.push({ ...reading, counts: false, placement: { nowhere: { by, reason: "a test pull" } } });
});
holds("a reading that belongs to nothing stands before what was done", apart.indexOf("nowhere: a test pull") > 0 && apart.indexOf("nowhere: a test pull") < apart.indexOf("What was done"));
const checksAlone = await shows((subject) => {
  subject.not_done = subject.not_done.filter((one) => subject.checks.some((check) => check.id === one.fastener));
  Object.assign(subject, { fasteners: [], alarms: [] });
  for (const name of Object.keys(subject.summary)) subject.summary[name] = 0;
});
holds("a build of checks alone is counted as one", checksAlone.includes("The plan has no fasteners") && /4 checks: 4 within limits/.test(checksAlone) && !checksAlone.includes("0 fasteners"));
const computed = honest.record.credentialSubject.checks.find((check) => check.formula);
const inputs = computed.formula.inputs.map((id) => honest.record.credentialSubject.checks.find((check) => check.id === id).title);
holds("a computed check shows titles and no ids", inputs.every((title) => checksAlone.includes(`“${title}”`)) && !checksAlone.includes("computed: {"), inputs.join(", "));

for (const [name, width] of [["pc", 1280], ["phone", 390]]) {
  await checker.setViewportSize({ width, height: 900 });
  await says([join(out, "record.json"), write(amending)]);
  holds(`nothing but tables scrolls sideways: ${name}`, await checker.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
  await checker.screenshot({ path: join(root, `target/pictures/record-checker-${name}.png`), fullPage: true });
}

holds("nothing was fetched, nothing went wrong", troubles.length === 0, troubles.join(" "));
await browser.close();
rmSync(folder, { recursive: true, force: true });
console.log(failed ? `${failed} do not hold` : "all hold");
process.exitCode = failed ? 1 : 0;
