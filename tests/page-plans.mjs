// Plans on the page, by touch at the width of a phone and by keyboard at a PC, against the real daemon: somebody who has never
// seen a plan file makes a plan of templates and builds a bike after it; every finding that a form can bring about is shown while
// somebody types; tables; what two people change at once. It (tests/try-page) prints what it checked, and ends with 1 if anything
// did not hold.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { MECHANIC, address, axe, benchView, check, faults, folder, isNoWider, openPage, plug, pullmark, read, run, send, settle, tooSmall, until } from "./page-bench.mjs";

const PRACTICE = "common practice, check the part maker's figure";
const plans = join(folder, "bench", "plans");
const phone = await openPage("phone", { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
const desk = await openPage("desk", { viewport: { width: 1440, height: 900 } });

const key = (page, name) => page.locator(`#planner [data-key=${JSON.stringify(name)}]`);
const tap = (name) => key(phone, name).tap();
const press = (name) => key(desk, name).click();
const fill = async (page, name, words) => { await key(page, name).fill(words); };
const file = (name) => readFileSync(join(plans, name), "utf8");
const bar = (page) => read(page, "#planner .plan-bar");
const postCheck = async (body) => (await fetch(`${address}v1/plans/check`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) })).json();

let [measured, looked] = [0, 0];
// A screen as it stands: nothing serious, nothing too small, nothing too wide, light and dark.
async function lookAt(what, page = phone) {
  const { count, small } = await tooSmall(page);
  measured += count;
  assert.deepEqual(small, [], what);
  assert.ok(await isNoWider(page), `${what} is too wide`);
  for (const colorScheme of ["dark", "light"]) {
    await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
    looked += await axe(`${colorScheme}, ${what}`, page, "#planner");
  }
}

// ---------------------------------------------------------------------------------------------------- a first plan

const TEMPLATES = ["crank-pinch", "seat-clamp", "stem-faceplate", "calliper-flat", "bottle-cage", "pedals"]; // 2 + 1 + 4 + 4 + 2 + 2
const FASTENERS = 15;

async function firstPlan() {
  await check("nothing of the editor is loaded before somebody opens the plans", async () => {
    const names = await phone.evaluate(() => performance.getEntriesByType("resource").map((entry) => new URL(entry.name).pathname));
    assert.ok(names.includes("/plans.js"), names.join());
    assert.deepEqual(names.filter((name) => /^\/(words\/)?planner/.test(name)), []);
  });
  await check("an empty bench leads to the plans, and from there to a new one", async () => {
    await phone.locator("[data-key='plans-empty']").tap();
    await until("the list", async () => /No plan yet/.test(await read(phone, "#planner")));
    await lookAt("the empty list");
    await tap("plan new");
    await key(phone, "starter road-bike").waitFor();
    assert.match(await read(phone, "#planner"), /start for the form and not for a wrench/);
    await lookAt("what a plan can be made of");
  });
  await check(`a plan of ${FASTENERS} fasteners is made of ${TEMPLATES.length} templates by touch; every figure says that it is common practice`, async () => {
    for (const name of TEMPLATES) await key(phone, `template ${name}`).check();
    assert.match(await read(phone, "#planner [data-key='templates take']"), /Make a plan of 6 templates/);
    await tap("templates take");
    await until("a title is asked for", async () => /1 error: it cannot be kept yet/.test(await bar(phone)) && /What the plan is for ?It is empty/.test(await read(phone, "#plan-found")));
    await fill(phone, "title", "Ferry commuter");
    await fill(phone, "edition", "first");
    await until("it was looked at", async () => new RegExp(`${FASTENERS} fasteners, 21 pulls`).test(await bar(phone)));
    assert.match(await read(phone, "#plan-found"), new RegExp(`${FASTENERS} figures are common practice`));
    const stages = await phone.locator("#planner .plan-stage").evaluateAll((all) => all.map((one) => one.getAttribute("aria-label")));
    assert.deepEqual(stages, ["Cranks", "Brakes", "Saddle and seat post", "Stem faceplate", "Bottle cage", "Pedals", "Parts whose serial numbers are kept", "Due after handing over"]);
    await lookAt("the editor");
  });
  await check("every row of figures that are common practice says so; begun with is in sight all the time", async () => {
    assert.equal(await phone.locator("#planner .plan-stage .practice:not([hidden])").count(), FASTENERS);
    assert.match(await read(phone, "#planner [data-key='open stage.2.fastener.0']"), new RegExp(PRACTICE));
    const { height } = await phone.locator("#planner .plan-bar").boundingBox();
    assert.ok(height <= 190, `the foot of the editor takes ${height} of 844 pixels`);
    assert.equal(await phone.locator("#planner .plan-head h2").textContent(), "Ferry commuter");
  });
  await check("a figure of the leaflet takes the place of common practice: a bare number with a comma is enough, and the text of the file follows", async () => {
    await tap("open stage.2.fastener.0");
    await lookAt("the form of a fastener");
    await fill(phone, "stage.2.fastener.0.sources.0.where", "seat post leaflet, page 4");
    await fill(phone, "stage.2.fastener.0.sources.0.lower", "4,5");
    await fill(phone, "stage.2.fastener.0.sources.0.upper", "5.5");
    await key(phone, "stage.2.fastener.0.sources.0.upper").blur();
    assert.equal(await key(phone, "stage.2.fastener.0.sources.0.upper").inputValue(), "5.5 N·m");
    await until("the text", async () => (await phone.locator("#planner .plan-text-file code").textContent()).includes(`sources = [{ where = "seat post leaflet, page 4", lower = "4.5 N·m", upper = "5.5 N·m" }]`));
    await until("one less", async () => /14 figures are common practice/.test(await read(phone, "#plan-found")));
    assert.match(await read(phone, "#planner [data-key='open stage.2.fastener.0']"), /4\.5 to 5\.5 N·m/);
  });
  await check("it is kept under a name made of its title, as a file that a person might have written", async () => {
    assert.equal(await phone.locator("#plan-name").inputValue(), "ferry-commuter.toml");
    await tap("plan keep");
    await until("it is kept", () => key(phone, "plan start").isEnabled());
    const text = file("ferry-commuter.toml");
    assert.ok(text.startsWith("title = \"Ferry commuter\"\nedition = \"first\"\n\n[[stage]]\nid = \"crank\"\n"), text.slice(0, 200));
    assert.equal(text.split(PRACTICE).length - 1, 14);
    assert.match(pullmark("plan", "check", join(plans, "ferry-commuter.toml")), /15 fasteners, 21 pulls; 0 warnings/);
    await lookAt("the editor after keeping");
  });
}

const PULLS = { crank: "13.2", seat: "5.0", faceplate: "5.0", brakes: "7.0", cage: "3.0", pedals: "42" };

async function firstBuild() {
  const pull = await plug("w1", "Click wrench", "W-1", 'lowest = "1 N·m"\nhighest = "60 N·m"\n');
  await check("a build begins after it by touch, and its first fastener says that its limits are common practice", async () => {
    await tap("plan start");
    await fill(phone, "build-frame", "FC-1");
    await fill(phone, "build-label", "Ferry 1");
    await phone.locator("#plan-by").fill(MECHANIC);
    await lookAt("a build begins");
    await tap("build send");
    await phone.locator("#planner").waitFor({ state: "hidden" });
    await until("the build is shown", async () => /Left crank, front pinch bolt/.test(await read(phone, "#next")));
    assert.match(await read(phone, "#next"), new RegExp(PRACTICE));
    const { builds: [build] } = await benchView();
    assert.deepEqual([build.plan, build.bike.frame, build.in_hands], ["Ferry commuter", "FC-1", MECHANIC]);
  });
  await check(`the bike is built: pull by pull in the order of the plan, ${FASTENERS} fasteners within`, async () => {
    // Twenty-one pulls are planned. One that came too close to the one before may be taken for a repeat click, and is pulled again.
    for (let count = 0; count < 30; count += 1) {
      const { builds: [build] } = await benchView();
      const { next } = build;
      if (!next) break;
      const full = PULLS[next.fastener.split(".")[0]];
      await send({ act: "point-at", build: build.id, fastener: next.fastener, by: MECHANIC });
      pull((Number(full) * next.percent / 100).toFixed(2));
      await until(`pull ${count + 1}`, async () => {
        const now = (await benchView()).builds[0];
        return now.last && now.last.sequence !== build.last?.sequence;
      });
      const held = (await benchView()).builds[0].held[0];
      // The first pass of one joint may feel like another: the page asks, and somebody says.
      if (held) await send({ act: "place", reading: held.sequence, fastener: next.fastener, pass: next.pass, by: MECHANIC });
    }
    const { builds: [build] } = await benchView();
    assert.equal(build.summary.within, FASTENERS, JSON.stringify(build.summary));
    await until("the page shows it", async () => /15 of 15 within/.test(await read(phone, "#list")));
  });
  await check("where the limits come from stands on the fastener's sheet, at the prompt, in the record and in each view of it", async () => {
    await settle(phone);
    await phone.locator("[data-key='fastener pedals.left']").tap();
    assert.match(await read(phone, ".sheet"), new RegExp(`Limits from: ${PRACTICE}`));
    await phone.locator(".sheet [data-key=close]").tap();
    assert.match(pullmark("plan", "show", join(plans, "ferry-commuter.toml")), new RegExp(`limits from: ${PRACTICE}`));
    const { builds: [{ id }] } = await benchView();
    pullmark("build", "finish", id, "--by", MECHANIC);
    const out = join(folder, "out");
    pullmark("record", "seal", id, "--by", MECHANIC);
    pullmark("record", "export", id, "--out", out);
    for (const view of ["record.json", "record.html", "readings.csv"]) assert.ok(readFileSync(join(out, view), "utf8").includes(PRACTICE), view);
    // What the typesetter sets is compressed: a reader of its text says what stands there.
    const paper = spawnSync("pdftotext", ["-raw", join(out, "record.pdf"), "-"], { encoding: "utf8" });
    if (paper.error) console.log("      no pdftotext on this machine: the text of the PDF was not read");
    else assert.ok(paper.stdout.replace(/\s+/g, " ").includes(PRACTICE.slice(0, 15)), "record.pdf");
    const shown = await openPage("record", {});
    await shown.goto(`file://${join(out, "record.html")}`);
    await until("the record's page says so", async () => (await shown.locator("body").textContent()).includes(`limits: ${PRACTICE}`));
    await shown.close();
  });
}

// ---------------------------------------------------------------------------------------------------- findings

const found = (page) => page.evaluate(() => [...document.querySelectorAll("#planner .plan-finding")].map((element) => element.textContent.replaceAll("\u00a0", " ")));
async function isFound(pattern, at) {
  await until(`${pattern} is found`, async () => (await found(desk)).some((words) => pattern.test(words)));
  const lines = await desk.locator("#planner .plan-finding").evaluateAll((all, source) => all.findIndex((one) => new RegExp(source).test(one.textContent.replaceAll("\u00a0", " "))), pattern.source);
  await press(`finding ${lines}`);
  const focus = await desk.evaluate(() => document.activeElement.dataset.key);
  assert.ok(focus.includes(at), `${pattern} led to ${focus}, not to ${at}`);
  // beside the field, too
  assert.ok(await desk.locator("#planner .found li").evaluateAll((all, source) => all.some((one) => new RegExp(source).test(one.textContent.replaceAll("\u00a0", " "))), pattern.source.replace(/^(Clamp bolt: )?(Aim|Short name|Kind of fastener|Look at the clamp|What the plan is for|Edition|Title|Size)/, "")), `${pattern} stands at no field`);
}
async function isGone(pattern) { await until(`${pattern} is no longer found`, async () => !(await found(desk)).some((words) => pattern.test(words))); }

// Opens the "More" of what is open, writes into a field, looks, and puts back what was there.
async function brings(name, words, pattern, at = name) {
  const field = key(desk, name);
  const before = await field.inputValue();
  const isSelect = await field.evaluate((element) => element.tagName === "SELECT");
  if (isSelect) await field.selectOption(words); else await field.fill(words);
  await isFound(pattern, at);
  if (isSelect) await field.selectOption(before); else await field.fill(before);
  await isGone(pattern);
}
const more = async (name) => { const element = key(desk, `${name} more`); if (!await element.evaluate((summary) => summary.parentElement.open)) await element.click(); };

async function everyFinding() {
  await check("by keyboard at a PC: an empty plan, a stage and a fastener; an empty plan and an empty stage are found", async () => {
    await desk.locator("[data-key=plans]").click();
    await press("plan new");
    await press("templates take");
    await isFound(/The plan has no stage/, "");
    await press("stage add");
    await desk.keyboard.type("Seat");
    await isFound(/The stage has no fastener/, "stage.0");
    await fill(desk, "title", "Everything that can be wrong");
    await press("fastener stage.0");
    await desk.keyboard.type("Clamp bolt");
    await isFound(/“Aim” and “At most” are empty/, "stage.0.fastener.0");
    assert.match(await bar(desk), /error.*cannot be kept yet/);
    assert.ok(await key(desk, "plan start").isDisabled());
    await until("the id follows the title", async () => (await desk.locator("#planner .plan-text-file code").textContent()).includes("id = \"seat.clamp-bolt\""));
  });
  const at = "stage.0.fastener.0";
  const source = `${at}.sources.0`;
  await check("a figure without a word where it is written; figures that cannot hold; a maximum alone; no prep", async () => {
    await fill(desk, `${source}.target`, "5");
    await isFound(/says nowhere where it is written/, `${source}.where`);
    await fill(desk, `${source}.where`, "marking on the clamp");
    await isGone(/says nowhere/);
    await isFound(/Nothing is said about what goes on first/, `${at}.prep`);
    await fill(desk, `${at}.prep`, "dry");
    await isGone(/Nothing is said about what goes on first/);
    await brings(`${source}.target`, "5 kPa", /Aim“5 kPa” is no torque/, source);
    await brings(`${source}.target`, "0 N·m", /0 N·m is no torque for a fastener/, source);
    await brings(`${source}.upper`, "4 N·m", /cannot both hold/, source);
    await fill(desk, `${source}.target`, "");
    await fill(desk, `${source}.upper`, "6");
    await isFound(/Only “At most” is stated: nothing says when it is tight enough/, source);
    await fill(desk, `${source}.target`, "5");
  });
  await check("what may be thousands is refused in words, and 1.1000 is a fraction", async () => {
    await brings(`${source}.target`, "1,100", /Clamp bolt: Aim1,100 may be a number of thousands/, `${source}.target`);
    await fill(desk, `${source}.target`, "1,100 N·m");
    await isFound(/may be a number of thousands/, `${source}.target`);
    assert.ok(!(await found(desk)).some((words) => /is no torque/.test(words)), "told of twice");
    await until("it cannot be kept", async () => /cannot be kept yet/.test(await bar(desk)));
    await fill(desk, `${source}.target`, "5,1000");
    await isGone(/thousands/);
    await fill(desk, `${source}.target`, "5");
    assert.deepEqual((await found(desk)).filter((words) => /\{|\[\[|spec =|settled =/.test(words)), []);
  });
  await check("the plan's own figures without a word where they are written; a title and an edition that are empty; a title twice; a thread that is none", async () => {
    await press(`${at} spec`);
    await fill(desk, `${at}.spec.target`, "5");
    await fill(desk, `${source}.where`, "");
    await fill(desk, `${source}.target`, "");
    await isFound(/plan's own figures say nowhere where they are written/, `${at}.spec`);
    await fill(desk, `${source}.where`, "marking on the clamp");
    await fill(desk, `${source}.target`, "5");
    await isGone(/own figures say nowhere/);
    await press(`${at}.spec out`);
    await brings("title", "", /What the plan is forIt is empty/, "title");
    await brings("edition", " ", /EditionIt is empty/, "edition");
    await brings(`${at}.title`, "", /TitleIt is empty/, `${at}.title`);
    await press(`twice ${at}`);
    await isFound(/“Clamp bolt” stands twice in this stage/, "stage.0.fastener.1.title");
    await press("plan undo");
    await isGone(/stands twice in this stage/);
    await press(`open ${at}`);
    await more(at);
    await brings(`${at}.thread.size`, "M99x", /Clamp bolt: Size“M99x” is no thread/, `${at}.thread.size`);
  });
  await more(at);
  await check("thread, kind, note, adapter, place, short name and joint: each that is wrong is shown at its field", async () => {
    await brings(`${at}.id`, "Bad Id", /Short name“Bad Id” cannot be used/, `${at}.id`);
    await brings(`${at}.id`, "seat", /stands twice/, `${at}.id`);
    await brings(`${at}.kind`, "Seat Clamp", /Kind of fastener“Seat Clamp” cannot be used/, `${at}.kind`);
    await brings(`${at}.kind`, "pedal", /commonly gets/, source);
    await brings(`${at}.note`, "x".repeat(260), /This is no sentence/, `${at}.note`);
    await brings(`${at}.adapter.angle`, "200", /The adapter has no name/, `${at}.adapter`);
    await brings(`${at}.thread.engagement`, "8", /no length of engagement/, `${at}.thread`);
    await brings(`${at}.thread.friction`, "9", /coefficients of friction/, `${at}.thread`);
    await brings(`${at}.thread.size`, "M5x20", /no preload is estimated/, `${at}.thread`);
    await brings(`${at}.joint`, "carbon", /no assembly paste goes on/, `${at}.joint`);
    await key(desk, `${at}.at`).selectOption("fork-left");
    await fill(desk, `${at}.thread.size`, "");
    await key(desk, "frame").selectOption("four-wheel");
    await isFound(/has no place “fork-left”/, `${at}.at`);
    await key(desk, "frame").selectOption("");
    await isGone(/has no place/);
  });
  await check("a bolt that is stretched or a thread that is stripped, for certain and in all likelihood", async () => {
    await fill(desk, `${source}.upper`, "");
    await fill(desk, `${at}.thread.size`, "M5");
    await fill(desk, `${at}.thread.property_class`, "8.8");
    await brings(`${source}.target`, "30 N·m", /cannot be right.*proof load/, source);
    await brings(`${source}.target`, "15 N·m", /likely too much.*proof load/, source);
    await fill(desk, `${at}.thread.property_class`, "");
    await key(desk, `${at}.thread.engages`).selectOption("aluminium");
    await fill(desk, `${at}.thread.engagement`, "2 mm");
    await brings(`${source}.target`, "30 N·m", /cannot be right.*strips/, source);
    await brings(`${source}.target`, "8 N·m", /likely too much.*strips/, source);
    await fill(desk, `${at}.thread.engagement`, "");
    await key(desk, `${at}.thread.engages`).selectOption("");
    await fill(desk, `${at}.thread.size`, "");
  });
  await check("tolerance and passes", async () => {
    await press("plan more");
    await brings("tolerance", "much", /“much” is no percentage/, "tolerance");
    await press("open stage.0");
    await brings("stage.0.passes", "60 50", /do not rise to 100/, "stage.0.passes");
    await brings("stage.0.passes", "all", /do not rise to 100/, "stage.0.passes");
  });
  await check("what the tools of the bench cannot do: out of reach, an early pass, too coarse", async () => {
    await press("open stage.0.fastener.0");
    await brings(`${source}.target`, "80 N·m", /no tool/, source);
    await brings(`${source}.lower`, "4.95 N·m", /no tool has a certificate that says it can tell/, source);
    await fill(desk, `${source}.target`, "2 N·m");
    await press("open stage.0");
    await brings("stage.0.passes", "10 100", /pass/, "stage.0.passes");
    await press("open stage.0.fastener.0");
    await fill(desk, `${source}.target`, "5 N·m");
  });
  await check("a check: no limit, no value, mixed quantities, readings, a formula; and a part that names what is gone", async () => {
    await press("check stage.0");
    await desk.keyboard.type("Depth");
    const of = "stage.0.check.0";
    await isFound(/There is no limit/, of);
    await fill(desk, `${of}.sources.0.where`, "mark on the post");
    await fill(desk, `${of}.sources.0.lower`, "80");
    await isGone(/There is no limit/);
    await brings(`${of}.sources.0.lower`, "80 potatoes", /potatoes/, `${of}.sources.0`);
    await brings(`${of}.sources.0.upper`, "5 bar", /several quantities/, `${of}.sources.0`);
    await brings(`${of}.readings`, "99", /No check wants 99 readings/, `${of}.readings`);
    await more(of);
    await brings(`${of}.formula`, "nothing + 1", /There is no check “nothing”|This formula cannot/, `${of}.formula`);
    await press("part add");
    await desk.keyboard.type("Seat post");
    await key(desk, "part.0.fasteners seat.clamp-bolt").check();
    await key(desk, "part.0.fasteners seat.depth").check();
    await press("open stage.0.check.0");
    await press("out stage.0.check.0");
    await isFound(/“seat\.depth” is not in the plan any more/, "part.0.fasteners");
    await press("plan undo");
    await isGone(/not in the plan any more/);
  });
  await check("what is due after handing over, and that nothing says when", async () => {
    await press("due add");
    await desk.keyboard.type("Look at the clamp");
    await isFound(/Look at the clampNothing says when it is due/, "due.0");
    await fill(desk, "due.0.days", "30");
    await isGone(/Nothing says when it/);
    await until("the text", async () => (await desk.locator("#planner .plan-text-file code").textContent()).includes("[[due]]\nid = \"look-at-the-clamp\""));
  });
  await check("an id retyped by way of another's takes along what names it and nothing else, in parts and in formulas", async () => {
    await press("fastener stage.0");
    await desk.keyboard.type("Pinch bolt");
    await press("open part.0");
    await key(desk, "part.0.fasteners seat.pinch-bolt").check();
    const retype = async (at, ...parts) => {
      if (await key(desk, `${at} more`).count() === 0) await press(`open ${at}`);
      await more(at);
      await key(desk, `${at}.id`).fill("");
      for (const part of parts) await key(desk, `${at}.id`).pressSequentially(part);
      await key(desk, `${at}.id`).blur();
    };
    const draft = () => desk.evaluate(() => JSON.parse(localStorage.getItem("pullmark.plan-drafts")).at(-1).draft);
    await retype("stage.0.fastener.1", "seat.clamp-bolt", "-10");
    assert.deepEqual((await draft()).part[0].fasteners, ["seat.clamp-bolt", "seat.depth", "seat.clamp-bolt-10"]);
    // Left at another's id it still is the one that was named.
    await retype("stage.0.fastener.1", "seat.clamp-bolt");
    await isFound(/stands twice/, "stage.0");
    await retype("stage.0.fastener.1", "seat.lower");
    assert.deepEqual((await draft()).part[0].fasteners, ["seat.clamp-bolt", "seat.depth", "seat.lower"]);
    await press("check stage.0");
    await desk.keyboard.type("Twice the depth");
    await more("stage.0.check.1");
    await fill(desk, "stage.0.check.1.formula", "seat.depth + {seat.depth} - seat.depths");
    await retype("stage.0.check.0", "seat.dip-1");
    const { part, stage } = await draft();
    assert.deepEqual(part[0].fasteners, ["seat.clamp-bolt", "seat.dip-1", "seat.lower"]);
    assert.equal(stage[0].check[1].formula, "{seat.dip-1} + {seat.dip-1} - seat.depths");
  });
  await check("what no form can bring about is found at the check endpoint: no TOML, a misspelt key, too large", async () => {
    const { findings } = await postCheck({ text: "title = \nedition" });
    assert.deepEqual([findings[0].word, findings[0].at], ["plan/not-readable", null]);
    assert.equal((await postCheck({ text: "title = \"x\"\nedition = \"1\"\ncolour = \"red\"" })).findings[0].word, "plan/not-readable");
    assert.equal((await postCheck({ text: `# ${"x".repeat(1 << 20)}` })).findings[0].word, "plan/too-large");
  });
  await lookAt("the editor at a PC", desk);
}

// ---------------------------------------------------------------------------------------------------- what else can be done

async function moved() {
  await check("rows are moved, doubled, taken out and put back by keyboard alone; the focus goes along", async () => {
    await press("plans back");
    await desk.locator(`[data-key='plan ferry-commuter.toml']`).click();
    await until("it is open", async () => /15 fasteners/.test(await bar(desk)));
    const titles = () => desk.locator("#planner [data-title^='stage.4.fastener']").allTextContents();
    assert.deepEqual(await titles(), ["Bottle cage, upper bolt", "Bottle cage, lower bolt"]);
    await key(desk, "open stage.4.fastener.1").focus();
    await desk.keyboard.press("Enter");
    await key(desk, "up stage.4.fastener.1").focus();
    await desk.keyboard.press("Enter");
    assert.deepEqual(await titles(), ["Bottle cage, lower bolt", "Bottle cage, upper bolt"]);
    assert.match(await desk.evaluate(() => document.activeElement.dataset.key), /stage\.4\.fastener\.0$/);
    await key(desk, "twice stage.4.fastener.0").focus();
    await desk.keyboard.press("Enter");
    assert.equal((await titles()).length, 3);
    await until("it has an id of its own", async () => (await desk.locator("#planner .plan-text-file code").textContent()).includes("cage.lower-2"));
    await press("plan undo");
    await press("plan undo");
    assert.deepEqual(await titles(), ["Bottle cage, upper bolt", "Bottle cage, lower bolt"]);
  });
  await check("a template joins the plan where it belongs in the order of a build", async () => {
    await press("templates");
    await key(desk, "template rack").check();
    await press("templates add");
    await until("it is there", async () => /19 fasteners/.test(await bar(desk)));
    const stages = await desk.locator("#planner .plan-stage").evaluateAll((all) => all.map((one) => one.getAttribute("aria-label")));
    assert.deepEqual(stages.slice(3, 6), ["Stem faceplate", "Luggage rack", "Bottle cage"]);
  });
}

async function together() {
  await check("a file that somebody changed meanwhile is not written over: the page says so, and mine is kept under another name", async () => {
    const theirs = `# Tore was here\n${file("ferry-commuter.toml").replace("edition = \"first\"", "edition = \"second\"")}`;
    writeFileSync(join(plans, "ferry-commuter.toml"), theirs);
    await press("plan keep");
    await until("it is said", async () => /was changed by somebody else since it was opened/.test(await bar(desk)));
    assert.equal(file("ferry-commuter.toml"), theirs);
    await press("meanwhile mine");
    assert.equal(await desk.locator("#plan-name").inputValue(), "ferry-commuter-2.toml");
    await press("plan keep");
    await until("it is kept", () => key(desk, "plan start").isEnabled());
    assert.ok(readdirSync(plans).includes("ferry-commuter-2.toml"));
    assert.equal(file("ferry-commuter.toml"), theirs);
  });
  await check("a comment stays where nothing was changed", async () => {
    await press("plans back");
    await desk.locator(`[data-key='plan ferry-commuter.toml']`).click();
    await press("open stage.5.fastener.0");
    await fill(desk, "stage.5.fastener.0.drive", "open 15");
    await press("plan keep");
    await until("it is written", () => /drive = "open 15"/.test(file("ferry-commuter.toml")));
    assert.ok(file("ferry-commuter.toml").startsWith("# Tore was here\n"));
  });
  await check("what was typed and not kept is there again after the page was closed", async () => {
    await fill(desk, "stage.5.fastener.0.drive", "hex 8");
    await desk.reload();
    await desk.locator("[data-key=plans]").click();
    await key(desk, "draft ferry-commuter.toml").click();
    await until("it is open", async () => /not kept yet/.test(await bar(desk)));
    await press("open stage.5.fastener.0");
    assert.equal(await key(desk, "stage.5.fastener.0.drive").inputValue(), "hex 8");
    await press("plan keep");
    await until("it is written", () => /drive = "hex 8"/.test(file("ferry-commuter.toml")));
  });
  await check("Open goes on with the draft of a file; a draft is neither written over nor pushed out by another", async () => {
    const at = "stage.5.fastener.0.drive";
    const kept = () => desk.evaluate(() => JSON.parse(localStorage.getItem("pullmark.plan-drafts")));
    await fill(desk, at, "hex 7");
    await press("plans back");
    await press("plan ferry-commuter.toml");
    await press("open stage.5.fastener.0");
    assert.equal(await key(desk, at).inputValue(), "hex 7");
    await press("plans back");
    const before = await kept();
    const full = [...before, ...Array.from({ length: 20 - before.length }, (_, number) => ({ ...before[0], key: `more ${number}`, name: null }))];
    const put = (all) => desk.evaluate((text) => localStorage.setItem("pullmark.plan-drafts", text), JSON.stringify(all));
    await put(full);
    await press("copy ferry-commuter.toml");
    await until("it is said", async () => /no draft of it in this browser/.test(await bar(desk)));
    assert.deepEqual(await kept(), full);
    await put(before);
    await press("plans back");
    await press("plan ferry-commuter.toml");
    await press("open stage.5.fastener.0");
    await press("plan keep");
    await until("it is written", () => /drive = "hex 7"/.test(file("ferry-commuter.toml")));
    await until("it is kept", () => key(desk, "plan start").isEnabled());
  });
  await check("two tabs that write at one plan have a draft each: the page says so, and nothing is lost", async () => {
    const at = "stage.5.fastener.0.drive";
    const other = await desk.context().newPage();
    await other.goto(address);
    await other.locator("[data-key=plans]").click();
    await key(other, "plan ferry-commuter.toml").click();
    await key(other, "open stage.5.fastener.0").click();
    await fill(desk, at, "hex 9");
    await until("the other tab says so", async () => /another tab has a draft of this plan, too/.test(await bar(other)));
    await fill(other, at, "hex 10");
    await fill(desk, at, "hex 11");
    await until("both are there", async () => {
      const drafts = await desk.evaluate(() => JSON.parse(localStorage.getItem("pullmark.plan-drafts")).filter((kept) => kept.name === "ferry-commuter.toml").map((kept) => kept.draft.stage[5].fastener[0].drive));
      return String(drafts.sort()) === "hex 10,hex 11";
    });
    await other.close();
    await desk.evaluate((name) => localStorage.setItem("pullmark.by", name), MECHANIC);
    await desk.reload();
    await desk.locator("[data-key=plans]").click();
    await desk.locator("#planner [data-key^='draft ferry']").first().waitFor();
    assert.equal(await desk.locator("#planner [data-key^='draft ferry']").count(), 2);
    for (let left = 2; left > 0; left -= 1) { const out = desk.locator("#planner [data-key^='discard ferry']").first(); await out.click(); await out.click(); }
    await press("plan ferry-commuter.toml");
    await press("open stage.5.fastener.0");
  });
  await check("in another unit a row says both, figures stay as they are stated, and a bare number is meant in the unit of the page", async () => {
    const inches = await openPage("inches", { viewport: { width: 1440, height: 900 } });
    await inches.evaluate(() => localStorage.setItem("pullmark.unit", "[lbf_av].[in_i]"));
    await inches.reload();
    await inches.locator("[data-key=plans]").click();
    await key(inches, "plan new").click();
    await key(inches, "template seat-clamp").check();
    await key(inches, "templates take").click();
    await key(inches, "open stage.0.fastener.0").click();
    const from = await key(inches, "stage.0.fastener.0.sources.0.lower").inputValue();
    assert.match(from, /N·m$/);
    assert.match(await read(inches, "#planner [data-key='open stage.0.fastener.0']"), /lbf·in \(.* N·m\)/);
    assert.match(await read(inches, "#planner [data-shown='stage.0.fastener.0.sources.0']"), /In the unit of this page: .*lbf·in/);
    await key(inches, "stage.0.fastener.0.sources.0.upper").fill("70");
    await key(inches, "stage.0.fastener.0.sources.0.upper").blur();
    assert.equal(await key(inches, "stage.0.fastener.0.sources.0.upper").inputValue(), "70 lbf·in");
    await inches.close();
  });
  await check("what is typed while the plan is being kept stays a draft, and is kept the next time", async () => {
    const at = "stage.5.fastener.0.drive";
    let go = () => {};
    await desk.route("**/v1/plans/ferry-commuter.toml", async (route) => { await new Promise((done) => { go = done; }); await route.continue(); }, { times: 1 });
    await fill(desk, at, "hex 6");
    const coming = desk.waitForRequest((request) => request.method() === "PUT");
    await press("plan keep");
    assert.equal((await coming).postDataJSON().by, MECHANIC);
    await fill(desk, at, "hex 5");
    go();
    await until("the first is written", () => /drive = "hex 6"/.test(file("ferry-commuter.toml")));
    await until("the page knows", async () => (await desk.evaluate(() => JSON.parse(localStorage.getItem("pullmark.plan-drafts")).find((kept) => kept.key === "ferry-commuter.toml").base)).includes("hex 6"));
    assert.equal(await key(desk, at).inputValue(), "hex 5");
    assert.match(await bar(desk), /not kept yet/);
    await press("plan keep");
    await until("it is written", () => /drive = "hex 5"/.test(file("ferry-commuter.toml")));
    await until("it is kept", () => key(desk, "plan start").isEnabled());
  });
}

const MARKUP = "<img src=x onerror='window.hurt = true'><script>window.hurt = true</script>";

async function asText() {
  await check("markup in a plan's title, a fastener's and a finding is shown as text", async () => {
    writeFileSync(join(plans, "markup.toml"), `title = "${MARKUP}"\nedition = "1"\n[[stage]]\nid = "s"\ntitle = "${MARKUP}"\n[[stage.fastener]]\nid = "a"\ntitle = "${MARKUP}"\nspec = { target = "5 <b>N</b>" }\n`);
    await press("plans back");
    await until("it is listed", async () => (await read(desk, "#planner")).includes(MARKUP));
    await desk.locator(`[data-key='plan markup.toml']`).click();
    await until("it is open", async () => (await found(desk)).some((words) => words.includes("<b>N</b>")));
    assert.equal(await desk.locator("#planner img, #planner script, #plan-found b b").count(), 0);
    assert.equal(await desk.evaluate(() => window.hurt), undefined);
  });
}

async function tables() {
  await check("a table of a spreadsheet with semicolons and decimal commas becomes a plan; a bad one is told of with line and column", async () => {
    await tapTable("bad.csv", "title;stage;lower;upper;unit;source\nSeat clamp;Seat;4;5;;marking\nPedal;Pedals;much;50;N·m;leaflet\n");
    await until("it is said", async () => /bad\.csv was not taken.*Line 2, column lower.*has no unit.*Line 3, column lower/.test(await read(phone, "#planner [role=alert]")));
    await lookAt("a table that was not taken");
    await tapTable("quay.csv", "\ufeff# title: Quay bike\r\ntitle;stage;lower;upper;unit;source;prep\r\nSeat clamp;Seat;4,5;5,5;N·m;marking on the clamp;grease\r\nLeft pedal;Pedals;35;50;N·m;crank leaflet;grease\r\n");
    await until("it is open", async () => /2 fasteners, 2 pulls/.test(await bar(phone)));
    assert.equal(await key(phone, "title").inputValue(), "Quay bike");
  });
  await check("a plan goes out as a table", async () => {
    const coming = phone.waitForEvent("download");
    await tap("plan table");
    const path = await (await coming).path();
    assert.match(readFileSync(path, "utf8"), /^# title: Quay bike\r\n# edition: 1\r\nid,title,stage,stage_title,what,lower,upper,source,prep\r\nseat-clamp,Seat clamp,seat,Seat,fastener,4\.5 N·m,5\.5 N·m,marking on the clamp,grease\r\n/);
  });
}

async function tapTable(name, text) {
  const path = join(folder, name);
  writeFileSync(path, text);
  if (await key(phone, "table choose").count() === 0) {
    if (await phone.locator("#planner").isHidden()) await phone.locator("[data-key=plans]").tap();
    await tap("plan new");
    await key(phone, "table choose").waitFor();
  }
  const coming = phone.waitForEvent("filechooser");
  await tap("table choose");
  await (await coming).setFiles(path);
}

async function starters() {
  await check("every starter set opens without an error and without anything to look at", async () => {
    await tap("plans back");
    await tap("plan new");
    const names = await phone.locator("#planner [data-key^='starter ']").evaluateAll((all) => all.map((one) => one.dataset.key));
    assert.ok(names.length >= 4);
    for (const name of names) {
      await tap(name);
      await until(`${name} was looked at`, async () => /\d+ fasteners, (\d+ checks?, )?\d+ pullsnot kept/.test(await bar(phone)));
      await tap("plans back");
      await tap("plan new");
    }
  });
}

await run(async () => {
  await firstPlan();
  await firstBuild();
  await everyFinding();
  await moved();
  await together();
  await asText();
  await tables();
  await starters();
  await check("nothing went wrong on the page, and it asked nobody but the daemon", () => assert.deepEqual(faults.filter((fault) => !fault.startsWith("record: asked file:")), []));
  console.log(`      ${measured} things to touch measured, none smaller than 64 pixels; axe: ${looked} lesser findings`);
}, desk);
