// The words of the bench page, without a browser: every message is there in every language and is used, with the same things
// put into it; every one is read and said without an error; no module says anything but through messages; and figures in
// every unit keep the order of what they stand for. tests/try-page and `cargo test` run it with the project's folder.
import assert from "node:assert/strict";
import { cpSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const root = process.argv[2];
const page = join(root, "daemon/page");
const LANGUAGES = ["en", "de", "fr"];
// The words of a language lie in these files: those of the page, and those of the parts that are loaded when somebody opens them.
const files = (language) => [`${language}.ftl`, `planner-${language}.ftl`];

// What the daemon says in English by itself has words in the other languages alone.
const DAEMONS = /^(refusal|place|daemon|foot-caution)-/;

const modules = readdirSync(page).filter((name) => name.endsWith(".js")).map((name) => [name, readFileSync(join(page, name), "utf8")]);
const html = readFileSync(join(page, "index.html"), "utf8");
const faults = [];
const fault = (text) => faults.push(text);

// ---------------------------------------------------------------------------------------------------- messages

const { FluentBundle, FluentNumber, FluentResource } = await import(pathToFileURL(join(page, "vendor/fluent.js")));

// What a message puts in: the names after `$`, whether shown or chosen by.
const put = (text) => [...new Set([...text.matchAll(/\$([a-z]+)/g)].map(([, name]) => name))].sort();
const tags = (text) => [...text.matchAll(/<\/?\w+>/g)].map(([tag]) => tag).sort();

const ofFile = new Map(); // the files that a message is in, without their language
function read(language) {
  const messages = new Map();
  const bundle = new FluentBundle(language, { useIsolating: false });
  for (const file of files(language)) {
    const text = readFileSync(join(page, "words", file), "utf8");
    for (const part of text.split(/^(?=[a-z])/m).filter((part) => /^[a-z]/.test(part))) {
      const [, id] = /^([a-z][a-z0-9-]*) =/.exec(part) || [];
      if (!id) { fault(`${file}: this is no message: ${part.slice(0, 60)}`); continue; }
      if (messages.has(id)) fault(`${file}: ${id} is there twice`);
      messages.set(id, part.replace(/^#.*$/gm, "").trim());
      ofFile.set(id, [...(ofFile.get(id) || []), file.replace(language, "")]);
    }
    for (const error of bundle.addResource(new FluentResource(text))) fault(`${file}: ${error.message}`);
  }
  return { messages, bundle };
}
const words = Object.fromEntries(LANGUAGES.map((language) => [language, read(language)]));

for (const language of LANGUAGES) {
  const { messages, bundle } = words[language];
  for (const [id, text] of messages) {
    const message = bundle.getMessage(id);
    if (!message?.value) { fault(`${language}.ftl: ${id} cannot be read`); continue; }
    for (const n of [0, 1, 2, 5, 12345]) {
      for (const word of ["yes", "no", "open"]) {
        const errors = [];
        const given = Object.fromEntries(put(text).map((name) => [name, ["fits", "moved"].includes(name) ? word : new FluentNumber(n, { useGrouping: false })]));
        const said = bundle.formatPattern(message.value, given, errors);
        if (errors.length > 0 || said.includes("{") || said.trim() === "") fault(`${language}.ftl: ${id} says ${JSON.stringify(said)}: ${errors.map((error) => error.message)}`);
      }
    }
    if (language === "en") { if (DAEMONS.test(id)) fault(`en.ftl: ${id} is the daemon's own in English`); continue; }
    const first = words.en.messages.get(id);
    if (!first && !DAEMONS.test(id)) { fault(`${language}.ftl: ${id} is not in en.ftl`); continue; }
    const other = first || words[LANGUAGES.find((one) => one !== language && one !== "en")].messages.get(id);
    if (!other) { fault(`${language}.ftl: ${id} is in no other language`); continue; }
    const extra = put(text).filter((name) => !put(other).includes(name));
    const missing = put(other).filter((name) => !put(text).includes(name));
    if (extra.length + missing.length > 0) fault(`${language}.ftl: ${id} puts in ${put(text)} and not ${put(other)}`);
    if (String(tags(text)) !== String(tags(other))) fault(`${language}.ftl: ${id} has the tags ${tags(text)} and not ${tags(other)}`);
  }
  for (const id of words.en.messages.keys()) if (!messages.has(id)) fault(`${language}.ftl: ${id} is missing`);
}

// A message is in the same file in every language: else one of them would not have it when it is wanted.
for (const [id, of] of ofFile) if (new Set(of).size > 1) fault(`${id} is in other files in other languages`);

// A refusal that no daemon gives out any more would wait for ever.
const given = ["tests/golden/codes.snap", "daemon/src/core/refusal.rs"].map((path) => readFileSync(join(root, path), "utf8")).join("\n");
const codes = [...new Set([...given.matchAll(/^(?:.*")?([a-z]+\/[a-z-]+)(?:".*)?$/gm)].map(([, code]) => `refusal-${code.replace("/", "-")}`))];
for (const id of words.de.messages.keys()) if (id.startsWith("refusal-") && !codes.includes(id)) fault(`${id} is no code of a refusal`);

// ---------------------------------------------------------------------------------------------------- uses

const used = new Set([...html.matchAll(/data-label="([^"]+)"/g)].map(([, id]) => id));
const families = new Set();
const known = (id) => LANGUAGES.some((language) => words[language].messages.has(id));
for (const [, text] of modules) {
  // A text of a module that is the id of a message is taken for a use of it: ids also stand in tables and in choices.
  for (const [, id] of text.matchAll(/"([a-z][a-z0-9-]*)"/g)) if (known(id)) used.add(id);
  for (const [, family] of text.matchAll(/`([a-z][a-z0-9-]*-)\$\{/g)) families.add(family);
  for (const [, family] of text.matchAll(/\b(?:coded|because|placedBy)\("([a-z-]+)"/g)) families.add(`${family}-`);
}
for (const [name, text] of modules) {
  // What comes with the page may not speak in words that are not there yet.
  if (!name.startsWith("planner")) for (const [, id] of text.matchAll(/\b(?:t|rich)\("([^"]+)"/g)) if (ofFile.get(id)?.[0].startsWith("planner")) fault(`${name}: ${id} is not fetched at the start`);
  for (const [, id] of text.matchAll(/\b(?:t|rich)\((?:[\w.?! ]+ \? )?"([^"]+)"/g)) if (!known(id)) fault(`${name}: there is no message ${id}`);
  for (const [, id] of text.matchAll(/\b(?:t|rich)\([\w.?! ]+ \? "[^"]+" : "([^"]+)"/g)) if (!known(id)) fault(`${name}: there is no message ${id}`);
}
for (const id of words.de.messages.keys()) {
  if (!used.has(id) && ![...families].some((family) => id.startsWith(family))) fault(`${id} is used by no module`);
}

// ---------------------------------------------------------------------------------------------------- literals

// What may stand in a module as it is: names, units, formats, and what the page writes to the ledger by itself.
const ALLOWED = new Set([
  "Pullmark", "pullmark.", "Esc", "N·m", "dN·m", "cN·m", "mN·m", "lbf·in", "lbf·ft", "ozf·in", "kgf·cm", "kgf·m", "µm", "kB", "MB",
  "test pull", "pulled on another bike", "display in another unit", "measured again", "a recall judged its readings again",
  "English", "Deutsch", "Français", "71 mm", "6.2 bar", "1000 N", "8.2 kg", "21 °C", 'lan = "0.0.0.0:8461"', "dN.m", "cN.m", "mN.m", "[degF]",
  "pullmark build start PLAN.toml --frame SERIAL --by NAME", "pullmark tool add WRENCH.toml",
  // Commands of HTTP, a form of Unicode, columns of a table that a plan is made of.
  "PUT", "NFKD", "title, stage, target, lower, upper, unit",
  // Data: the source that a template's figures name (words.js knows it by these words and says it in the page's), and what is
  // written to a plan as prep, which the daemon reads in English.
  "common practice, check the part maker's figure", "grease on the thread", "threadlock, medium", "carbon paste where it clamps",
  // Keys and classes.
  "stage add", "plan text", "plan undo", "plan name", "plan start", "templates add",
  "point beyond", "point warns", "pedal places", "lay aside", "hand over", "dry fit", "name name-field", "person name", "person rename", "device name", "take back",
]);
// It knows the daemon's English sentences by their shape.
const READS_ENGLISH = "said.js";
// Texts that are no words for anybody: keys, classes, paths, attributes, patterns. A word has a capital or a space in it.
const isTechnical = (text) => ALLOWED.has(text) || !/\p{L}{2}/u.test(text) || /^[a-z0-9_.:/#?&=+*@$%^|()[\]{}<>'~,;!\\-]*$/u.test(text) || /^[a-z]+[A-Z]\w*$/.test(text)
  || /^(Content-Type|POST|GET|Arrow\w+|Enter|Escape|Backspace|Shift|Control|Alt|Meta|Tab|BUTTON|UTC|Content Security)/.test(text) || /^[MHVLAZa-z0-9 .-]+$/.test(text) && /^M[\d-]/.test(text);
// A first argument that is a key, a class or a place to look, and attributes that nobody reads.
const SILENT = [
  /\bbutton\(\s*(`[^`]*`|"[^"]*"),\s*(\S+ \? )?(`(?:[^`$]|\$\{[^}]*\})*`|"[^"]*")( : "[^"]*")?/g, /\bclass: (`(?:[^`$]|\$\{(?:[^{}`]|`[^`]*`)*\})*`|"[^"]*"|[^,}]*? \? "[^"]*" : "[^"]*")/g, /"data-key": (`[^`]*`|"[^"]*")/g,
  /\b(id|draft|for|name|href|src|rel|d|viewBox|type|accept|autocomplete|autocapitalize|inputmode|role|transform|"aria-labelledby"|"aria-describedby"|"text-anchor"|about): (`(?:[^`$]|\$\{(?:[^{}`]|`[^`]*`)*\})*`|"[^"]*")/g,
  /\b(querySelector|querySelectorAll|getElementById|first|matches|matchMedia|closest|replaceAll|test|includes|startsWith|endsWith|setAttribute|remembered|remember|keyed|drawn\.get|toLocaleDateString|line|solid|path|shape|text|draw|level|fetch|ask|choose)\(\s*(`(?:[^`$]|\$\{(?:[^{}`]|`[^`]*`)*\})*`|"[^"]*")/g,
  /\bimport .* from "[^"]*";/g, /\/\/.*$/gm, /\/(?:[^/\\\n]|\\.)+\/[gimsuy]*(?=[.,)\]])/g,
];
for (const [name, text] of modules.filter(([name]) => name !== READS_ENGLISH)) {
  let rest = text;
  for (const silent of SILENT) rest = rest.replace(silent, "");
  for (const [, plain, template] of rest.matchAll(/"((?:[^"\\\n]|\\.)*)"|`((?:[^`\\]|\\.)*)`/g)) {
    // Of a template, the words between what is put in.
    const parts = plain !== undefined ? [plain] : template.replace(/\$\{(?:[^{}]|\{[^{}]*\}|`[^`]*`)*\}/g, "\n").split("\n");
    for (const part of parts) {
      const said = part.replaceAll("\\u00a0", " ").trim();
      if (!isTechnical(said) && /[A-Z\p{Lu}]|\p{L} \p{L}/u.test(said)) fault(`${name}: this is said past the messages: ${said.slice(0, 70)}`);
    }
  }
}
for (const [, text] of html.replace(/<!--[^]*?-->|<noscript>[^]*<\/noscript>/g, "").matchAll(/(?:aria-label|title|placeholder)="([^"]*)"/g)) fault(`index.html: this is said past the messages: ${text}`);

// ---------------------------------------------------------------------------------------------------- figures

const folder = mkdtempSync(join(tmpdir(), "pullmark-words-"));
const TORQUES = [["N.m", "N·m", "1000", "1"], ["cN.m", "cN·m", "10", "1"], ["mN.m", "mN·m", "1", "1"], ["[lbf_av].[in_i]", "lbf·in", "1129848290276167", "10000000000000"],
  ["[lbf_av].[ft_i]", "lbf·ft", "13558179483314004", "10000000000000"], ["[oz_av].[g].[in_i]", "ozf·in", "706155181422604375", "100000000000000000"],
  ["kgf.cm", "kgf·cm", "980665", "10000"], ["kgf.m", "kgf·m", "980665", "100"]];
let compared = 0;

// The page's own modules with a shop of our choice.
async function figuresOf(ucum, mark) {
  const into = join(folder, `${compared}-${ucum.replace(/\W/g, "_")}-${mark === "," ? "comma" : "point"}`);
  cpSync(page, into, { recursive: true });
  writeFileSync(join(into, "package.json"), '{"type":"module"}');
  const units = TORQUES.map(([code, symbol, ...milli]) => ({ ucum: code, symbol, spellings: [], milli }));
  writeFileSync(join(into, "shop.js"), `export const shop = ${JSON.stringify({ language: "en", torque_unit: ucum, decimal: mark })};\nexport const units = ${JSON.stringify(units)};\n`);

  return import(pathToFileURL(join(into, "figures.js")));
}

// Whole numbers that look random, the same every time.
let seed = 20261127n;
const random = (below) => { seed = (seed * 6364136223846793005n + 1442695040888963407n) % (1n << 64n); return Number((seed >> 33n) % BigInt(below)); };

const number = (text) => Number(text.replace(",", ".").replace("\u2212", "-"));
for (const [ucum, symbol] of TORQUES) {
  for (const mark of [".", ","]) {
    const { figure, torque, sent, stated, shown, uncertainty, withUnit } = await figuresOf(ucum, mark);
    for (let round = 0; round < 4000; round += 1) {
      const limit = random(300_000);
      const value = limit + (round % 2 ? random(4) : random(60_000));
      const [low, high] = [number(figure(limit)), number(figure(value))];
      assert.equal(low < high, limit < value, `${limit} and ${value} mN·m in ${symbol}: ${figure(limit)} and ${figure(value)}`);
      assert.equal(low === high, limit === value, `${limit} and ${value} mN·m in ${symbol}`);
      assert.ok(!figure(value).includes(mark === "," ? "." : ","), figure(value));
      assert.equal(stated(sent(value)).milli, value, sent(value));
      assert.ok(number(uncertainty(value + 1)) > 0 && number(uncertainty(value + 1)) >= number(figure(value + 1)) - 1e-9, `${value + 1}: ${uncertainty(value + 1)}`);
      compared += 1;
    }
    assert.ok(torque(5000).endsWith(`\u00a0${symbol}`));
    assert.equal(withUnit(" 5,5 "), `5.5 ${symbol}`);
    assert.equal(withUnit("5,5 N·m"), "5.5 N·m");
    assert.equal(figure(-5500), `\u2212${figure(5500)}`);
    // What a tool displayed in another unit is never lost.
    const other = symbol === "N·m" ? "44.3 lbf·in" : "5.5 N·m";
    assert.equal(shown(other).original, other.replace(" ", "\u00a0").replace(".", mark));
    assert.equal(shown("5 bar").original, null);
  }
}
{
  const { figure, uncertainty, microFigure, sent } = await figuresOf("N.m", ".");
  assert.deepEqual([5000, 5500, 50, 5001, 0].map((milli) => figure(milli)), ["5", "5.5", "0.05", "5.001", "0"]);
  assert.deepEqual([1, 99, 101, 1010].map(uncertainty), ["0.001", "0.099", "0.11", "1.1"]);
  assert.deepEqual([5000000, 5123456].map(microFigure), ["5", "5.123456"]);
  assert.deepEqual([5000, 12050, 100].map(sent), ["5 N·m", "12.05 N·m", "0.1 N·m"]);
  const inches = await figuresOf("[lbf_av].[in_i]", ",");
  assert.deepEqual([5000, 5001].map((milli) => inches.figure(milli)), ["44,254", "44,263"]);
}

// ---------------------------------------------------------------------------------------------------- the daemon's sentences

// One of every kind (core/history.rs, plan/difference.rs, edge/wire.rs); titles are no English.
const SENTENCES = `begun after Plan A, 2026-11
begun after Plan A, 2026-11, going on from b1
5.02 N·m: within on Klemme, pass 2
9.4 N·m: over on Klemme, over alarm
past its range: on no fastener yet
7.2 bar: over at Luft, reading 2, over alarm
6.1 bar: at no check yet
the reading of entry 12: over on Klemme (confirmed by PIN)
over during the pull on Klemme
the alarm of entry 3 acknowledged
Klemme comes next
Klemme loosened: Probe
Klemme deferred: fehlt, waits for M5
Klemme taken up again
prep of Klemme confirmed
Klemme looked at
Klemme: part replaced: neu (confirmed by PIN)
Luft: set right and measured again: neu
entry 4 taken back: falsch
Sattel fitted, serial 77
Sattel swapped, one without a serial number on file out, 88 in: Riss
laid aside: Feierabend
gone on with
it was laid aside, and is gone on with
held to the plan P, 2 from here on: neu
note on Klemme: Kratzer
photograph
handed to Tore: Obacht
finished: sicher
record sealed (confirmed by PIN)
a recall of w1 found 2 reading(s) to look at again
1200 km since it was handed over
Service: not done after all: Rost
Klemme: its readings no longer count
Klemme is loose, and has to be tightened again
Klemme has to be pulled again
Luft has to be measured again
Klemme: the reading of entry 9 is over now, and raises an over alarm
Klemme is over, inspected and kept
Luft is out of limits, inspected and kept
Klemme: new in the plan
Klemme: no longer in the plan
Klemme: 4.5 N·m to 5.5 N·m, aim 5 N·m instead of at most 6 N·m
Luft: 3 readings instead of 1
Luft: computed as a - b now
Klemme: decided by the rule guarded instead of guarded-upper
Klemme: a left-hand thread now
Klemme: passes at 60 %, 100 % instead of 100 %
Klemme: the order of pulls is another
Klemme: in the stage Vorbau now
Klemme: no prep any more
Klemme: prep is Fett now
Klemme: another person has to look now
Klemme: nobody else has to look any more
Klemme: the same limits, from other sources
Klemme: words, drive, adapter or place only
Klemme: the list of parts is another
/dev/ttyUSB0 was unplugged, or the tool was switched off
the tool on /dev/ttyUSB0 hung up
the broker does not answer`.split("\n");
const LEFT = /\b(the|is|has|of|at|by|over|within|on|to|from|instead|now|again|entry|reading|record|note|alarm)\b/i;
for (const language of ["de", "fr"]) {
  const into = join(folder, `said-${language}`);
  cpSync(page, into, { recursive: true });
  writeFileSync(join(into, "package.json"), '{"type":"module"}');
  writeFileSync(join(into, "shop.js"), `export const shop = ${JSON.stringify({ language })};\nexport const units = [{ ucum: "N.m", symbol: "N·m", spellings: [], milli: ["1000", "1"] }];\n`);
  globalThis.fetch = async (path) => ({ ok: true, text: async () => readFileSync(join(into, path), "utf8") });
  await (await import(pathToFileURL(join(into, "tongue.js")))).learn();
  const { sentenceSaid, limitsSaid, problemSaid } = await import(pathToFileURL(join(into, "said.js")));
  for (const sentence of SENTENCES) {
    const said = sentenceSaid(sentence).replace(/\b(entrée|alarme|note|on)\b/gi, "").replace(language === "de" ? /\balarm\b/gi : /^$/, "");
    if (said === sentence || LEFT.test(said)) fault(`${language}: of the daemon's "${sentence}" the page makes "${said}"`);
    // What was over is said to be over.
    if (/\bover on|over during|is over/.test(sentence) && !/zu fest|trop serré/.test(said)) fault(`${language}: an over reading is not one any more: ${said}`);
  }
  // A reason can be any words, also those of another sentence.
  for (const begun of ["note on Klemme: ", "entry 4 taken back: ", "laid aside: ", "Klemme loosened: ", "Klemme: part replaced: "]) {
    assert.equal(sentenceSaid(`${begun}Kette: done`), sentenceSaid(`${begun}Kratzer`).replace("Kratzer", "Kette: done"), begun);
  }
  assert.match(limitsSaid("5.5 to 6.5 bar, aim 6 bar"), /^5,5 (bis|à) 6,5\u00a0bar, (Ziel|viser) 6\u00a0bar$/);
  assert.match(problemSaid({ body: { type: "build/finished", detail: 'the build "b1" is finished: …' } }), /b1/);
  assert.equal(problemSaid({ body: { type: "http/too-large", detail: "it is too large" } }), "it is too large");
}
rmSync(folder, { recursive: true, force: true });

if (faults.length > 0) {
  console.log(faults.join("\n"));
  console.log(`FAIL  ${faults.length} faults in the words of the page`);
  process.exitCode = 1;
} else {
  console.log(`ok    ${words.en.messages.size} messages in ${LANGUAGES.length} languages, ${words.de.messages.size - words.en.messages.size} more for what the daemon says; ${compared} pairs of figures keep their order in ${TORQUES.length} units; ${SENTENCES.length} sentences of the daemon`);
}
