// The bench page in every language, on a phone's, a tablet's and a PC's screen, against the real daemon: nothing is cut off,
// nothing is missing, nothing English is left in German or French, and the units and decimal marks are those that were
// chosen. It (tests/try-page) prints what it checked, keeps a picture of every state in target/pictures, and ends with 1 if
// anything did not hold. With `plans` after the project's folder it looks at the plans alone.
import assert from "node:assert/strict";
import { mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const settings = join(mkdtempSync(join(tmpdir(), "pullmark-tongues-")), "pullmarkd.toml");
writeFileSync(settings, '[shop]\nlanguage = "de"\n');
process.env.PULLMARK_CONFIG = settings; // before the daemon is started
const { MECHANIC, address, benchView, check, faults, folder, openPage, plug, pullmark, root, run, send, settle, until, words } = await import("./page-bench.mjs");

const SIZES = { phone: [390, 844], tablet: [820, 1180], pc: [1440, 900] };
const LANGUAGES = ["de", "fr", "en"];
const pictures = join(root, "target/pictures/tongues");
mkdirSync(pictures, { recursive: true });

// What a plan and a person write is the shop's own and is not English here, so that what is English is the page's.
const fastener = (id, title, target, more = "") => `[[stage.fastener]]\nid = "${id}"\ntitle = "${title}"\nspec = { target = "${target} N·m", lower = "${(target * 0.9).toFixed(2)} N·m", upper = "${(target * 1.1).toFixed(2)} N·m" }\n${more}\n`;
const PLAN = `title = "Tourenrad Kastanie"\nedition = "2026-11"\n
[[part]]\nid = "sattel"\ntitle = "Sattel"\nkind = "sattel"\nfasteners = ["s.1"]\n[[due]]\nid = "fahrten"\ntitle = "Erste Fahrten"\ndays = 30\nkilometres = 150\nfasteners = ["s.1"]\nsource = "Werkstatt"\n[[due]]\nid = "saison"\ntitle = "Saison"\nmonths = 12\n
[[stage]]\nid = "s"\ntitle = "Sattel"\n
${fastener("s.1", "Klemmschraube Sattel", 5, 'joint = "carbon"\nat = "seat-clamp"\nprep = ["Carbonpaste"]\nsecond_look = true\ndrive = "T25"')}
${fastener("s.2", "Klemmschraube Stütze", 8, 'at = "seat-post"\nprep = ["Fett"]')}
[[stage]]\nid = "v"\ntitle = "Vorbau"\npasses = [0.6, 1.0]\n
${fastener("v.1", "Schraube A", 6, 'at = "stem-front"\nprep = ["Fett"]')}
${fastener("v.2", "Schraube B", 6, 'at = "stem-front"\nprep = ["Fett"]')}
[[stage]]\nid = "k"\ntitle = "Kurbel"\n
${fastener("k.1", "Pedal L", 35, 'at = "pedal-left"\nthread = { size = "9/16-20", hand = "left" }\nprep = ["Fett"]')}
${fastener("k.2", "Achse", 12.5, 'at = "hub-rear"\nprep = ["Fett"]')}
[[stage.check]]\nid = "k.luft"\ntitle = "Luft, Rad A"\nspec = { target = "6 bar", lower = "5.5 bar", upper = "6.5 bar" }\n`;
const BUILD = "tourenrad";
const buildView = async () => (await benchView()).builds.find((build) => build.id === BUILD);

// ---------------------------------------------------------------------------------------------------- messages

const messages = Object.fromEntries(LANGUAGES.map((language) => [language, new Map([...[language, `planner-${language}`].map((name) => readFileSync(join(root, `daemon/page/words/${name}.ftl`), "utf8")).join("\n").matchAll(/^([a-z][a-z0-9-]*) = (.*(?:\n +.*)*)/gm)].map(([, id, text]) => [id, text]))]));
const ids = [...messages.de.keys()].filter((id) => id.includes("-"));
// Whole English messages that another language does not have the same.
const english = (language) => [...messages.en].filter(([id, text]) => !text.includes("{") && text.length > 4 && messages[language].get(id) !== text && ![...messages[language].values()].includes(text)).map(([, text]) => text.replace(/<\/?b>/g, ""));
// Words that only English has: one of them in a text is a sentence that was not translated.
const ENGLISH = /\b(the|of|and|is|are|with|fasteners?|readings?|torque|within|under|over|held|next|tools?|builds?|checks?|your|has|have|from|until|entry|record|loosened|deferred|wrench|pulls?|stated|none|kind|which|what|when|where|who|this|that|than|it|its|be|been|no|may|any)\b/i;
// The commands and files of the program keep their names, and so do names of people, tools and languages.
const OWN = /pullmark [a-z ]+|PLAN\.toml|--\w+|build start|English/g;

// What templates bring into a plan is data, and English: their titles, notes and kinds.
const { templates, starters, kinds } = await (await fetch(`${address}v1/plans/templates`)).json();
const rows = templates.flatMap(({ stage }) => [stage, ...stage.fastener, ...stage.check]);
const DATA = [...starters, ...templates, ...rows, ...kinds].flatMap((one) => [one.title, one.about, one.note, one.group]).filter(Boolean).sort((a, b) => b.length - a.length);
const withoutData = (text) => DATA.reduce((rest, data) => rest.replaceAll(data, ""), text);

// ---------------------------------------------------------------------------------------------------- looking

// Every text that is shown, also those only heard, and what of it is cut off.
const looked = (page) => page.evaluate(() => {
  const shown = (element) => { const box = element.getBoundingClientRect(); return box.width > 0 && box.height > 0 && getComputedStyle(element).visibility !== "hidden"; };
  const texts = [document.title];
  const cut = [];
  const name = (element) => `${element.tagName.toLowerCase()}.${element.getAttribute("class") || ""}`;
  for (const element of document.querySelectorAll("body *")) {
    // What is marked as English comes from the daemon as it is; a fingerprint is no word.
    if (element.closest("body [lang=en], .fingerprint")) continue;
    for (const label of ["aria-label", "alt", "placeholder", "title"]) if (element.hasAttribute(label)) texts.push(element.getAttribute(label));
    if (["SCRIPT", "NOSCRIPT", "STYLE"].includes(element.tagName) || element.closest("noscript")) continue;
    const own = [...element.childNodes].filter((node) => node.nodeType === 3 && node.textContent.trim());
    if (own.length === 0) continue;
    const text = own.map((node) => node.textContent).join(" ");
    texts.push(text);
    if (!shown(element) || element.closest(".unseen, svg, option, select, [aria-hidden=true]")) continue;
    const style = getComputedStyle(element);
    if (style.overflowX !== "visible" && element.scrollWidth > element.clientWidth + 1) cut.push(`${name(element)} holds more than it shows: ${text}`);
    // What a box holds stays in the box: words that are longer than a button run out of it.
    const box = element.closest("button, .node, .card, .panel, .choice, td, th, summary, .last-card, .over-panel, .held-panel, #next, .sheet, .alarm");
    if (!box || box.closest(".tools")) continue;
    const outer = box.getBoundingClientRect();
    for (const node of own) {
      const range = document.createRange();
      range.selectNodeContents(node);
      const inner = range.getBoundingClientRect();
      if (!box.closest(".map-scroll") && inner.right > innerWidth + 1) cut.push(`${name(element)} runs out of the screen: ${text}`);
      if (inner.right > outer.right + 1 || inner.left < outer.left - 1 || inner.bottom > outer.bottom + 2 && !box.matches(".sheet, .alarm")) cut.push(`${name(element)} runs out of ${name(box)}: ${text}`);
    }
  }
  const sheet = document.querySelector(".sheet");
  if (document.documentElement.scrollWidth > innerWidth) cut.push(`the page is ${document.documentElement.scrollWidth} wide`);
  if (sheet && sheet.scrollWidth > sheet.clientWidth) cut.push(`the sheet is ${sheet.scrollWidth} wide`);
  return { texts, cut };
});

function judge(language, texts) {
  const wrong = [];
  const plain = texts.map(words).filter(Boolean);
  for (const text of plain) {
    if (ids.includes(text)) wrong.push(`this is the name of a message: ${text}`);
    if (/\{ ?\$|\{[a-z]+\}/.test(text)) wrong.push(`something is not put in: ${text}`);
    if (language === "en") continue;
    const rest = withoutData(text).replace(OWN, "");
    if (ENGLISH.test(rest)) wrong.push(`this is English: ${text}`);
  }
  if (language !== "en") for (const text of english(language)) if (plain.includes(text)) wrong.push(`this is English: ${text}`);
  return [...new Set(wrong)];
}

const pages = {};
for (const language of LANGUAGES) {
  pages[language] = await openPage(language, { viewport: { width: 390, height: 844 }, hasTouch: true });
  await pages[language].addInitScript((wanted) => { localStorage.setItem("pullmark.language", wanted); localStorage.setItem("pullmark.by", "Ines Falk"); }, language);
}
const found = [];
let seen = 0;

// One state in every language and size: what `open` does to the page stays until `close`.
async function state(name, open = async () => {}, close = async () => {}, where = null) {
  for (const language of LANGUAGES) {
    const page = pages[language];
    await page.setViewportSize({ width: SIZES.phone[0], height: SIZES.phone[1] });
    await open(page);
    for (const [size, [width, height]] of Object.entries(SIZES)) {
      await page.setViewportSize({ width, height });
      await page.waitForTimeout(150);
      const { texts, cut } = await looked(page);
      found.push(...judge(language, texts).map((what) => `${name}, ${language}: ${what}`), ...cut.map((what) => `${name}, ${language}, ${size}: ${words(what)}`));
      // They are for the eye, and take longer than everything else.
      if (process.env.PULLMARK_PICTURES) await page.screenshot({ path: join(pictures, `${name}-${language}-${size}.png`), fullPage: !where });
      seen += 1;
    }
    await close(page);
  }
  await check(`${name}: nothing is cut off, missing or left in English, in ${LANGUAGES.length} languages on ${Object.keys(SIZES).length} screens`, () => assert.deepEqual([...new Set(found)], []));
}

const key = (page, name) => page.locator(`[data-key="${name}"]`);
const touch = async (page, name) => { await key(page, name).first().tap(); await page.locator(".sheet").waitFor(); };
const closeSheet = async (page) => { await key(page, "close").first().tap(); await page.locator(".sheet").waitFor({ state: "detached" }); };
const sheet = (name, open) => state(name, open, closeSheet, ".sheet");

async function pull(say, value) {
  const before = (await buildView()).last?.sequence ?? -1;
  await pages.de.waitForTimeout(350); // seven seconds of the practice clock
  say(value);
  await until(`${value} came in`, async () => ((await buildView()).last?.sequence ?? -1) > before);
  const { last } = await buildView();
  for (const page of Object.values(pages)) await until("the page shows it", async () => (await page.locator("#last .last-value").count()) > 0 && page.evaluate((shown) => document.querySelector("#last .last-value").textContent.replace(/[,]/g, ".").replaceAll("\u00a0", " ").includes(shown), last.displayed.split(" ")[0]));
  return buildView();
}

const by = { by: MECHANIC };
const at = (id, more = {}) => ({ build: BUILD, fastener: id, ...more, ...by });

async function openAll() {
  // Where the device has chosen nothing, the shop's language is shown.
  await check("a device that has chosen nothing speaks the shop's language", async () => {
    await until("it is German", () => pages.en.evaluate(() => document.documentElement.lang === "de"));
    await until("it has words", async () => /Noch kein Aufbau/.test(await pages.en.locator("#empty").textContent()));
  });
  for (const page of Object.values(pages)) { await page.reload(); await page.locator("#foot button").first().waitFor(); }
}

async function figuresInUnits() {
  const page = pages.de;
  const aim = async () => words(await page.locator("#next .aim").first().textContent());
  const choose = async (unit, decimal) => {
    await touch(page, "shown as");
    await page.locator("[id='display unit']").selectOption(unit);
    await page.locator("[id='display decimal']").selectOption(decimal);
    await page.locator("[data-key='display send']").tap();
    await page.locator("#next .aim").waitFor();
  };
  await page.setViewportSize({ width: 390, height: 844 });
  await check("in German figures have a comma; in another unit the same torque stands in it, with the original beside it", async () => {
    assert.match(words(await page.locator("#next .limits").textContent()), /^31,5 bis 38,5 N·m$/);
    await choose("[lbf_av].[in_i]", "");
    assert.match(await aim(), /^309,776 ?lbf·in$/);
    assert.match(words(await page.locator("#next .limits").textContent()), /^278,798 bis 340,754 lbf·in$/);
    assert.match(words(await page.locator("#last .last-value").textContent()), /lbf·in \(.* N·m angezeigt\)/);
    for (const text of await page.locator("#list .fastener .quiet").allTextContents()) assert.ok(/lbf·in|bar/.test(text), text);
    await page.screenshot({ path: join(pictures, "unit-de-phone.png"), fullPage: true });
    const { cut } = await looked(page);
    assert.deepEqual(cut, []);
    await choose("[lbf_av].[ft_i]", ".");
    assert.match(await aim(), /^25\.8147 ?lbf·ft$/);
    await choose("", "");
    assert.match(await aim(), /^35 ?N·m$/);
  });
}

async function typedWithComma() {
  const page = pages.de;
  await check("a decimal comma is taken in what is typed, and a number alone is meant in the unit of the page", async () => {
    await touch(page, "fastener k.2");
    await page.locator(".sheet [data-key=enter]").tap();
    await page.locator(".sheet input[id^='enter ']").fill("12,5");
    await page.locator(".sheet button[type=submit]").tap();
    await page.locator(".sheet").waitFor({ state: "detached" });
    await until("it is kept", async () => (await buildView()).stages[2].fasteners[1].highest_millinewton_metre === 12500);
  });
}

// ---------------------------------------------------------------------------------------------------- plans

// One has only an upper limit, one no prep, and a figure that says nowhere where it is written.
const SHOPS = `title = "Kastanie, Serie B"\nedition = "2026-11"\n[[stage]]\nid = "s"\ntitle = "Sattel"\n
[[stage.fastener]]\nid = "s.1"\ntitle = "Klemmschraube Sattel"\nprep = ["Fett"]\nsources = [{ where = "Blatt 4", upper = "6.5 N·m" }]\n
[[stage.fastener]]\nid = "s.2"\ntitle = "Klemmschraube Stütze"\nsources = [{ where = "", lower = "4.5 N·m", upper = "5.5 N·m" }]\n
[[part]]\nid = "sattel"\ntitle = "Sattel"\nfasteners = ["s.1"]\n[[due]]\nid = "fahrten"\ntitle = "Fahrten"\ndays = 30\nkilometres = 150\nfasteners = ["s.1"]\n`;

async function thePlans() {
  const into = join(folder, "bench", "plans");
  mkdirSync(into, { recursive: true });
  writeFileSync(join(into, "kastanie.toml"), SHOPS);
  writeFileSync(join(into, "leer.toml"), 'title = "Leer"\nedition = "1"\n');
  const tapped = (page, name) => page.locator(`#planner [data-key="${name}"]`).tap();
  const list = async (page) => { await page.locator("[data-key=plans]").tap(); await page.locator("#planner .plan-row").first().waitFor(); };
  const bench = (page) => tapped(page, "plans close");
  const back = async (page) => { await tapped(page, "plans back"); await bench(page); };
  const start = async (page) => { await list(page); await tapped(page, "plan new"); await page.locator('#planner [data-key="starter road-bike"]').waitFor(); };
  const looked = (page) => page.locator("#planner .plan-text-file code").filter({ hasText: "title" }).waitFor({ state: "attached" });
  await state("plans-list", list, bench);
  await state("plans-new", start, back);
  await state("plans-starter", async (page) => { await start(page); await tapped(page, "starter road-bike"); await looked(page); }, back);
  await state("plans-finding", async (page) => {
    await list(page);
    await tapped(page, "plan kastanie.toml");
    await looked(page);
    await page.locator("#planner .plan-finding").first().waitFor();
    await tapped(page, "open stage.0.fastener.1");
    await tapped(page, "stage.0.fastener.1 more");
    await page.locator("#planner .found li").first().waitFor({ state: "attached" });
  }, back);
  for (const page of Object.values(pages)) await page.evaluate(() => localStorage.removeItem("pullmark.plan-drafts"));
}

async function theDay() {
  await openAll();
  await state("empty");
  await thePlans();
  if (process.argv[3] === "plans") return;
  const say = await plug("w1", "Schlüssel 1", "SIM-2207");
  writeFileSync(join(folder, "c1.toml"), 'id = "c1"\ntitle = "Schlüssel 2"\nserial = "CK-77"\nkind = "setting"\nlowest = "2 N·m"\nhighest = "60 N·m"\nresolution = "0.2 N·m"\nclass = "II-A"\nlever = "300 mm"\n[certificate]\nnumber = "TM-0077"\nlaboratory = "Tarn"\ndate = "2024-03-01"\ndue = "2025-03-01"\n');
  pullmark("tool", "add", join(folder, "c1.toml"));
  writeFileSync(join(folder, "luft.toml"), 'id = "g1"\ntitle = "Manometer"\nserial = "MA-3"\nquantity = "pressure"\nresolution = "0.1 bar"\naccuracy = "0.1 bar"\n');
  pullmark("tool", "add", join(folder, "luft.toml"));
  writeFileSync(join(folder, "plan.toml"), PLAN);
  pullmark("build", "start", join(folder, "plan.toml"), "--build", BUILD, "--frame", "KA-5521", "--by", MECHANIC, "--label", "Kastanie 5521");
  for (const tool of ["w1", "c1", "g1"]) await send({ act: "assign-tool", tool, build: BUILD });
  for (const page of Object.values(pages)) await until("the build is shown", async () => (await page.locator("#next .aim").count()) > 0);
  await state("begun");
  await send({ act: "prepare", ...at("s.1") });
  await pull(say, "5.02");
  await send({ act: "look", ...at("s.1"), by: "Tore Lund", reason: "" }).catch(() => {});
  await state("within");
  await pull(say, "9.4");
  for (const page of Object.values(pages)) await page.locator(".alarm").waitFor();
  await state("alarm", undefined, undefined, ".alarm");
  await send({ act: "acknowledge", alarm: (await buildView()).alarms[0].sequence, ...by });
  for (const page of Object.values(pages)) await page.locator(".alarm").waitFor({ state: "detached" });
  for (const held of (await buildView()).held) await send({ act: "place", reading: held.sequence, fastener: "s.2", ...by });
  await state("decision");
  await send({ act: "dispose", ...at("s.2"), decision: "part-replaced", reason: "neue Stütze" });
  await pull(say, "8.0");
  await pull(say, "6.0");
  for (const page of Object.values(pages)) await until("the question is there", async () => (await page.locator(".held-panel, #last .last-ask").count()) > 0);
  for (const page of Object.values(pages)) if (await page.locator("#last .last-ask").count() > 0) await page.locator("#last .last-ask").tap();
  await state("held");
  for (const held of (await buildView()).held) await send({ act: "place", reading: held.sequence, fastener: null, ...by, reason: "Probe" });
  await send({ act: "defer", ...at("v.1"), reason: "Teil fehlt", waits_for: "Schraube M5" });
  await send({ act: "defer", ...at("v.2"), reason: "Teil fehlt" });
  await send({ act: "note", ...at("s.1"), text: "Kratzer am Rohr" });
  await send({ act: "loosen", build: BUILD, fasteners: ["s.1"], ...by, reason: "Probe" });
  await send({ act: "enter-reading", tool: "g1", value: "7.2 bar", ...by, fastener: "k.luft" });
  for (const page of Object.values(pages)) await page.locator(".alarm").waitFor();
  await state("check-alarm", undefined, undefined, ".alarm");
  await send({ act: "acknowledge", alarm: (await buildView()).check_alarms[0].sequence, ...by });
  for (const page of Object.values(pages)) await page.locator(".over-panel").waitFor();
  await state("check-decision");
  await send({ act: "dispose", ...at("k.luft"), decision: "set-right", reason: "Luft abgelassen" });
  await send({ act: "enter-reading", tool: "g1", value: "6.1 bar", ...by, fastener: "k.luft" });
  await state("working");
  await sheet("sheet-fastener", (page) => touch(page, "fastener s.2"));
  await sheet("sheet-enter", async (page) => { await touch(page, "fastener k.2"); await key(page, "enter").tap(); });
  await sheet("sheet-defer", async (page) => { await touch(page, "fastener k.2"); await key(page, "defer").tap(); });
  await sheet("sheet-check", (page) => touch(page, "check k.luft"));
  await sheet("sheet-build", (page) => touch(page, "this build"));
  for (const [name, button] of [["aside", "lay aside"], ["hand", "hand over"], ["dry", "dry fit"], ["note", "note"], ["plan", "plan"], ["history", "history"]]) {
    await sheet(`sheet-${name}`, async (page) => { await touch(page, "this build"); await page.locator(`.sheet [data-key="${button}"]`).tap(); });
  }
  await sheet("sheet-take-back", async (page) => { await touch(page, "this build"); await page.locator('.sheet [data-key="history"]').tap(); await page.locator('.sheet [data-key^="take back"]').first().tap(); });
  for (const [name, button] of [["fit", "fit sattel"], ["swap", "swap sattel"]]) await sheet(`sheet-${name}`, async (page) => { await touch(page, "this build"); await page.locator(`.sheet [data-key="${button}"]`).tap(); });
  await sheet("sheet-stage", (page) => touch(page, "stage s"));
  for (const form of ["loosen", "note"]) await sheet(`sheet-${form}-one`, async (page) => { await touch(page, "fastener s.2"); await page.locator(`.sheet [data-key="${form}"]`).tap(); });
  await sheet("sheet-tool", (page) => touch(page, "tool w1"));
  await send({ act: "begin-check", tool: "w1", ...by });
  await until("the check is under way", async () => Boolean((await benchView()).tools.find((tool) => tool.tool.id === "w1").checking));
  await sheet("sheet-reference", (page) => touch(page, "tool w1"));
  await send({ act: "give-up-check", tool: "w1", ...by });
  await sheet("sheet-click", (page) => touch(page, "tool c1"));
  await sheet("sheet-click-check", async (page) => { await touch(page, "tool c1"); await key(page, "check c1").tap(); });
  await sheet("sheet-gauge", (page) => touch(page, "tool g1"));
  await sheet("sheet-keys", (page) => touch(page, "keys"));
  await sheet("sheet-people", (page) => touch(page, "people"));
  await sheet("sheet-stats", async (page) => { await touch(page, "stats"); await page.locator(".stats-group, .sheet p").nth(1).waitFor(); await page.waitForTimeout(300); });
  await sheet("sheet-display", (page) => touch(page, "shown as"));
  await state("refused", async (page) => { await touch(page, "fastener k.2"); await key(page, "defer").tap(); await page.locator(".sheet button[type=submit]").tap(); await page.locator("#refusal .refusal").waitFor(); },
    async (page) => { await page.locator("#refusal button").tap(); await closeSheet(page); }, ".sheet");
  await state("board", async (page) => { await key(page, "board foot").tap(); await page.locator("#board .board-card").waitFor(); }, async (page) => { await key(page, "board close").tap(); });
  await send({ act: "prepare", ...at("s.1") });
  await pull(say, "5.0");
  await figuresInUnits();
  await typedWithComma();
  await send({ act: "defer", ...at("k.1"), reason: "Teil fehlt" });
  await sheet("sheet-finish", async (page) => { await until("it can be finished", async () => await key(page, "finish").count() > 0); await touch(page, "finish"); });
  await send({ act: "finish", build: BUILD, ...by, sure: "alles gezählt" });
  for (const page of Object.values(pages)) await until("it is finished", async () => (await key(page, "seal").count()) > 0);
  await state("finished");
  await send({ act: "tell-ridden", build: BUILD, kilometres: 160, ...by });
  const dueShown = async (page) => { await touch(page, "due"); await page.locator(".sheet .parts li").first().waitFor(); };
  await sheet("sheet-due", dueShown);
  await sheet("sheet-due-done", async (page) => { await dueShown(page); await page.locator('.sheet [data-key^="due done"]').first().tap(); });
  await fetch(`${address}v1/people`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ name: MECHANIC, pin: "481902" }) });
  await until("the shop keeps people", async () => (await benchView()).people?.length === 1);
  for (const page of Object.values(pages)) { await page.reload(); await key(page, "seal").waitFor(); }
  await state("pin", async (page) => { await key(page, "by").first().tap(); await key(page, "seal").tap(); await page.locator(".pad").waitFor(); await key(page, "pin send").tap(); }, async (page) => { await key(page, "pin cancel").tap(); }, ".pad");
  await sheet("sheet-person", async (page) => { await touch(page, "people"); await page.locator('.sheet [data-key="enter person"]').tap(); });
  await check("no page had a fault", () => assert.deepEqual(faults, []));
  console.log(`      ${seen} states looked at; PULLMARK_PICTURES=1 keeps pictures of them in ${pictures}`);
}

await run(theDay, pages.de);
