// The life of a build by touch at the width of a phone, while a second page watches: dry fits, a part swapped, a deferral, notes
// and photographs, laid aside and gone on with, handed over, taken back, another edition of the plan. It (tests/try-page) prints
// what it checked, and ends with 1 if anything did not hold.
import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { MECHANIC, address, axe, benchView, check, faults, folder, isNoWider, openPage, pullmark, read, run, send, tooSmall, until, words } from "./page-bench.mjs";

const SECOND = "Tore Lund";
const phone = await openPage("phone", { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
const tablet = await openPage("tablet", { viewport: { width: 820, height: 1180 }, hasTouch: true });

const bolt = (id, title, target, upper = target * 1.1) => `[[stage.fastener]]\nid = "${id}"\ntitle = "${title}"\nspec = { target = "${target} N·m", lower = "${(target * 0.9).toFixed(1)} N·m", upper = "${upper.toFixed(1)} N·m" }\n`;
const stage = (id, title, ...bolts) => `[[stage]]\nid = "${id}"\ntitle = "${title}"\n${bolts.join("")}`;
const PARTS = `[[part]]\nid = "arm"\ntitle = "Left crank arm"\nkind = "crank-arm"\nfasteners = ["arm.front", "arm.rear"]\n`;
const plan = (edition, cageUpper, ...more) => [`title = "Towpath tourer"\nedition = "${edition}"\n`,
  stage("arm", "Left crank", bolt("arm.front", "Front pinch bolt", 13), bolt("arm.rear", "Rear pinch bolt", 13)),
  stage("cockpit", "Cockpit", bolt("stem.clamp", "Steerer clamp", 6)),
  stage("cage", "Bottle cage", bolt("cage.upper", "Cage bolt, upper", 3, cageUpper), ...more), PARTS].join("\n");
const PULLS = { "arm.front": "13.1", "arm.rear": "12.9", "stem.clamp": "6.05", "cage.upper": "3.2" };

// Eight by eight, the red of a paint mark.
const PNG = Buffer.from("iVBORw0KGgoAAAANSUhEUgAAAAgAAAAICAIAAABLbSncAAAAEUlEQVR42mM4oKCAFTEMLQkAKj9AAQUJSn0AAAAASUVORK5CYII=", "base64");

const buildView = async () => (await benchView()).builds.find((build) => build.id === "tow");
const fastenerView = async (id) => (await buildView()).stages.flatMap((known) => known.fasteners).find((fastener) => fastener.id === id);
const standings = async () => (await buildView()).stages.flatMap((known) => known.fasteners).map((fastener) => `${fastener.id} ${fastener.standing}`);
const history = async () => (await fetch(`${address}v1/builds/tow/history`)).json();

async function tighten() {
  for (const [id, value] of Object.entries(PULLS)) {
    if (!["open", "under"].includes((await fastenerView(id)).standing)) continue;
    await send({ act: "point-at", build: "tow", fastener: id, by: MECHANIC });
    await send({ act: "enter-reading", tool: "click", value: `${value} N·m`, by: MECHANIC, fastener: id });
  }
  assert.deepEqual(await standings(), Object.keys(PULLS).map((id) => `${id} within`));
}

// Both pages show the same, and the standings are the daemon's.
async function bothTellTheTruth() {
  const wanted = await standings();
  await until("both pages show it", async () => {
    for (const page of [phone, tablet]) {
      const shown = await page.locator("#list .fastener").evaluateAll((rows) => rows.map((row) => `${row.dataset.key.slice("fastener ".length)} ${row.querySelector(".word").textContent}`));
      assert.deepEqual(shown, wanted);
    }
    for (const part of ["#aside", "#next", "#list", "#handover"]) assert.equal(await read(phone, part), await read(tablet, part));
    return true;
  });
}

const tap = (key) => phone.locator(`.sheet [data-key='${key}']`).tap();
async function openBuild(...keys) {
  await phone.locator("[data-key='this build']").tap();
  for (const key of keys) await tap(key);
}
const close = async () => { await tap("close"); await phone.locator(".sheet").waitFor({ state: "detached" }); };
const sheetIsGone = () => phone.locator(".sheet").waitFor({ state: "detached" });
async function openFastener(id) { await phone.locator(`[data-key='fastener ${id}']`).tap(); await phone.locator(".sheet .story").waitFor(); }
async function isSaid(pattern) {
  await until(`${pattern} is said`, async () => pattern.test(await read(phone, "#said")));
  await phone.locator("[data-key=said]").tap();
}
async function isRefused(pattern) {
  await until(`${pattern} is said`, async () => pattern.test(await read(phone, "#refusal")));
  await phone.locator("#refusal button").tap();
}

let measured = 0;
let looked = 0;
// A sheet as it stands: nothing serious, nothing too small, nothing too wide, light and dark.
async function lookAt(what) {
  const { count, small } = await tooSmall(phone);
  measured += count;
  assert.deepEqual(small, [], what);
  assert.ok(await isNoWider(phone), `${what} is too wide`);
  const part = await phone.locator(".sheet").count() > 0 ? ".sheet" : "html";
  for (const colorScheme of ["dark", "light"]) {
    await phone.emulateMedia({ colorScheme, reducedMotion: "reduce" });
    looked += await axe(`${colorScheme}, ${what}`, phone, part);
  }
}

// ---------------------------------------------------------------------------------------------------- the steps

async function stageUndone() {
  await check("a stage is loosened by touch: what is undone is said before, a reason is asked for, and the rest still counts", async () => {
    await phone.locator("[data-key='stage arm']").tap();
    assert.match(await read(phone, ".sheet .undone"), /^2 fasteners have to be tightened again.*Front pinch bolt.*Rear pinch bolt$/);
    await lookAt("the stage's sheet");
    await tap("stage tow arm send");
    await isRefused(/Write why it was loosened/);
    await tap("stage tow arm dry fit");
    await tap("stage tow arm send");
    await sheetIsGone();
    await isSaid(/Done\..*Front pinch bolt.*no longer count/);
    assert.deepEqual(await standings(), ["arm.front open", "arm.rear open", "stem.clamp within", "cage.upper within"]);
    await bothTellTheTruth();
    assert.equal(await phone.locator("[data-key='stage arm']").count(), 0);
  });
}

async function loosenedTakenBack() {
  await check("a loosening is taken back on the fastener's sheet: the reading counts again, and the history says who, when and why", async () => {
    await openFastener("arm.front");
    const loosened = (await history()).findLast((row) => row.kind === "loosened" && /Front/.test(row.text)).sequence;
    await lookAt("the fastener's sheet");
    await tap(`take back ${loosened}`);
    assert.match(await read(phone, ".sheet .quoted"), /Front pinch bolt loosened: dry fit/);
    await lookAt("the form that takes back");
    await tap(`take back tow ${loosened} send`);
    await isRefused(/Write why it is taken back/);
    await phone.locator(".sheet textarea").fill("that one stayed tight");
    await tap(`take back tow ${loosened} send`);
    await until("it is struck through", async () => /loosened: dry fit/.test(await read(phone, ".sheet .story s")));
    assert.match(await read(phone, ".sheet .taken-back"), new RegExp(`^Taken back by ${MECHANIC}, \\d{4}-\\d\\d-\\d\\d \\d\\d:\\d\\d:\\d\\d: that one stayed tight$`));
    assert.equal(await phone.locator(`.sheet [data-key='take back ${loosened}']`).count(), 0);
    await close();
    await isSaid(/Front pinch bolt is within/);
    assert.deepEqual((await standings()).slice(0, 2), ["arm.front within", "arm.rear open"]);
    await bothTellTheTruth();
  });
}

async function dryFitOfAll() {
  await check("all of it was a dry fit: every fastener is open again, on both pages", async () => {
    await phone.locator("[data-key='this build']").tap();
    await lookAt("the build's sheet");
    await tap("dry fit");
    assert.equal(await phone.locator(".sheet .undone li").count(), 3);
    await lookAt("the dry fit");
    await tap("dry tow dry fit");
    await tap("dry tow send");
    await sheetIsGone();
    await isSaid(/Cage bolt, upper/);
    assert.ok((await standings()).every((line) => line.endsWith(" open")), (await standings()).join());
    await bothTellTheTruth();
  });
}

async function deferred() {
  await check("a fastener is deferred, and what it waits for stands beside it on both pages", async () => {
    await openFastener("cage.upper");
    await tap("defer");
    await lookAt("the deferral");
    await tap("defer tow cage.upper part on back order");
    await phone.locator("[id='defer tow cage.upper waits']").fill("a longer bolt, M5 by 16");
    await tap("defer tow cage.upper send");
    await sheetIsGone();
    const { deferred: why, waits_for: what } = await fastenerView("cage.upper");
    assert.deepEqual([why, what], ["part on back order", "a longer bolt, M5 by 16"]);
    await bothTellTheTruth();
    for (const page of [phone, tablet]) assert.match(await read(page, "[data-key='fastener cage.upper']"), /deferred: part on back order.*waits for: a longer bolt, M5 by 16/);
    await openFastener("cage.upper");
    await tap("take-up");
    await sheetIsGone();
  });
}

async function partSwapped() {
  await check("a part goes on with its serial number", async () => {
    await openBuild("fit arm");
    await lookAt("a part goes on");
    await phone.locator("[id='fit tow arm serial']").fill("CA-104");
    await tap("fit tow arm send");
    await until("the sheet says so", async () => /Left crank arm.*serial CA-104/.test(await read(phone, ".sheet .parts")));
  });
  await check("a spare goes in: which fasteners are undone is said before, and they are open after it", async () => {
    await tap("swap arm");
    assert.match(await read(phone, ".sheet"), /2 fasteners have to be tightened again.*Front pinch bolt.*Rear pinch bolt.*Goes out: CA-104/);
    assert.doesNotMatch(await read(phone, ".sheet .undone"), /Steerer/);
    await lookAt("a spare goes in");
    await phone.locator("[id='swap tow arm serial']").fill("CA-233");
    await phone.locator("[id='swap tow arm reason']").fill("a crack at the bore");
    await tap("swap tow arm send");
    await until("the sheet says so", async () => /serial CA-233, replaced 1 time/.test(await read(phone, ".sheet .parts")));
    await isSaid(/Front pinch bolt is loose/);
    await close();
    assert.deepEqual(await standings(), ["arm.front open", "arm.rear open", "stem.clamp within", "cage.upper within"]);
    await bothTellTheTruth();
  });
}

async function noted() {
  const file = join(folder, "paint mark.png");
  writeFileSync(file, PNG);
  writeFileSync(join(folder, "letter.txt"), "no picture");
  const choose = async (key, path) => { const coming = phone.waitForEvent("filechooser"); await tap(key); await (await coming).setFiles(path); };
  await check("a photograph is kept at a fastener and shown there; what is no picture is not taken", async () => {
    await openFastener("stem.clamp");
    await tap("note");
    await choose("note tow stem.clamp file", join(folder, "letter.txt"));
    await isRefused(/letter\.txt is no JPEG, PNG or WebP/);
    await phone.locator(".sheet textarea").fill("paint mark on the clamp");
    await choose("note tow stem.clamp camera", file);
    await until("it is chosen", async () => /^paint mark\.png/.test(await read(phone, ".sheet .chosen")));
    assert.equal(await phone.locator(".sheet textarea").inputValue(), "paint mark on the clamp");
    await lookAt("the note");
    await tap("note tow stem.clamp send");
    await phone.locator(".sheet .notes .thumb").waitFor();
    await until("the picture is drawn", () => phone.locator(".sheet .notes .thumb img").evaluate((picture) => picture.naturalWidth === 8));
    assert.match(await read(phone, ".sheet .notes"), new RegExp(`paint mark on the clamp.*${MECHANIC}`));
    await lookAt("the fastener's sheet with a photograph");
    await close();
    for (const page of [phone, tablet]) await until("the list says so", async () => /1 photograph/.test(await read(page, "[data-key='fastener stem.clamp']")));
    const [note] = (await buildView()).notes;
    const kept = await (await fetch(`${address}v1/photos/${note.photo.sha256}`)).arrayBuffer();
    assert.deepEqual(Buffer.from(kept), PNG);
  });
  await check("a note about the whole bike is shown on the second page's sheet too", async () => {
    await openBuild("note");
    await tap("note tow  send");
    await isRefused(/Write a note, or add a photograph/);
    await phone.locator(".sheet textarea").fill("customer comes at five");
    await tap("note tow  send");
    await phone.locator(".sheet .notes").waitFor();
    await close();
    await tablet.locator("[data-key='this build']").tap();
    assert.match(await read(tablet, ".sheet .notes"), /customer comes at five.*paint mark on the clamp.*Steerer clamp/);
    await tablet.locator(".sheet [data-key=close]").tap();
  });
}

async function laidAside() {
  await check("a build is laid aside: the top of both pages and the board say so with who and why", async () => {
    await openBuild("lay aside");
    await lookAt("laid aside");
    await phone.locator(".sheet textarea").fill("the crank arm comes on Monday");
    await tap("aside tow send");
    await sheetIsGone();
    for (const page of [phone, tablet]) await until("it is said", async () => new RegExp(`Laid aside by ${MECHANIC} on .*: the crank arm comes on Monday`).test(await read(page, "#aside")));
    await lookAt("the bench with a build laid aside");
    await tablet.locator("[data-key='board foot']").tap();
    assert.match(await read(tablet, "[data-key='board tow']"), /laid aside/);
    await tablet.locator("[data-key='board close']").tap();
  });
  await check("one touch goes on with it", async () => {
    await phone.locator("[data-key='go on']").tap();
    for (const page of [phone, tablet]) await page.locator("#aside .aside-panel").waitFor({ state: "detached" });
    assert.equal((await buildView()).laid_aside, null);
  });
}

async function handedOver() {
  await check("a build is handed to another mechanic, with a word for the other", async () => {
    await openBuild("hand over");
    await lookAt("the hand-over");
    await tap("hand tow send");
    await isRefused(/name of the mechanic who gets it/);
    await phone.locator("[id='hand tow to']").fill(SECOND);
    await phone.locator("[id='hand tow note']").fill("both pinch bolts are open");
    const coming = phone.waitForRequest((request) => request.method() === "POST");
    await tap("hand tow send");
    assert.equal((await coming).postDataJSON().by, MECHANIC);
    await sheetIsGone();
    assert.equal((await buildView()).in_hands, SECOND);
    for (const page of [phone, tablet]) await until("it is shown", async () => (await read(page, "#list")).includes(`in the hands of ${SECOND} now`));
  });
}

async function planChanged() {
  const file = join(folder, "edition two.toml");
  const choose = async () => { const coming = phone.waitForEvent("filechooser"); await tap("choose plan"); await (await coming).setFiles(file); };
  await check("a plan that cannot be read is refused with its line, and nothing is changed", async () => {
    await openBuild("plan");
    writeFileSync(file, plan("two", 3.1).replace("13 N·m", "13 N"));
    await choose();
    await until("it is said", async () => /Line \d+: /.test(await read(phone, ".sheet")));
    assert.equal(await phone.locator("[data-key='edition tow send']").count(), 0);
    await lookAt("a plan that is refused");
  });
  await check("another edition: what it would mean is shown first, and only said", async () => {
    writeFileSync(file, plan("two", 3.1, bolt("cage.lower", "Cage bolt, lower", 3)));
    await choose();
    await until("it is shown", async () => /edition two/.test(await read(phone, ".sheet .difference")));
    const text = await read(phone, ".sheet .difference");
    assert.match(text, /1 reading is over after it: it raises the over alarm.*What is different.*Cage bolt, upper: 2\.7 N·m to 3\.1 N·m.*instead of 2\.7 N·m to 3\.3 N·m.*Cage bolt, lower: new in the plan.*Judged again ?Cage bolt, upper: within before, over now, raises the over alarm/);
    const { edition, plan_changes: changes } = await buildView();
    assert.deepEqual([edition, changes], ["one", 0]);
    await lookAt("what another edition would mean");
  });
  await check("gone over with a reason: the over reading raises the alarm on both pages, and the new fastener is open", async () => {
    await tap("edition tow send");
    await isRefused(/Write why the plan is changed/);
    await phone.locator(".sheet textarea").fill("the cage's maker allows less");
    await tap("edition tow send");
    for (const page of [phone, tablet]) await page.locator(".alarm").waitFor();
    const { edition, plan_changes: changes, alarms } = await buildView();
    assert.deepEqual([edition, changes, alarms.length], ["two", 1, 1]);
    for (const alarm of alarms) await send({ act: "acknowledge", alarm: alarm.sequence, by: MECHANIC });
    for (const page of [phone, tablet]) await page.locator(".alarm").waitFor({ state: "detached" });
    assert.deepEqual((await standings()).slice(3), ["cage.upper over", "cage.lower open"]);
    if (await phone.locator("[data-key=said]").count() > 0) await phone.locator("[data-key=said]").tap();
    await bothTellTheTruth();
  });
}

async function wholeHistory() {
  await check("the whole history tells all of it, the newest first, with what was taken back struck through", async () => {
    await openBuild("history");
    await phone.locator(".sheet .story li").first().waitFor();
    const rows = await history();
    await until("every row is there", async () => await phone.locator(".sheet .story li").count() === rows.length);
    const shown = (await phone.locator(".sheet .story li .story-text > p:first-child").allTextContents()).map(words);
    const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
    assert.deepEqual(shown, rows.map((row) => words(capital(row.text))).reverse());
    assert.equal(await phone.locator(".sheet .story s").count(), rows.filter((row) => row.withdrawn).length);
    assert.equal(await phone.locator(".sheet .story button").count(), rows.filter((row) => row.withdrawable).length);
    await lookAt("the whole history");
    console.log(`      ${rows.length} rows; ${rows.filter((row) => row.withdrawable).length} can be taken back`);
    await close();
  });
}

async function theDay() {
  writeFileSync(join(folder, "tow.toml"), plan("one", 3.3));
  writeFileSync(join(folder, "click.toml"), 'id = "click"\ntitle = "Click wrench"\nserial = "CW-9"\nkind = "setting"\nlowest = "1 N·m"\nhighest = "25 N·m"\n');
  pullmark("tool", "add", join(folder, "click.toml"));
  pullmark("build", "start", join(folder, "tow.toml"), "--frame", "TW-1", "--build", "tow", "--label", "Towpath tourer", "--tool", "click", "--by", MECHANIC);
  for (const page of [phone, tablet]) { await page.locator("[data-key='this build']").waitFor(); await page.locator("#by").fill(MECHANIC); }
  await tighten();
  await stageUndone();
  await loosenedTakenBack();
  await dryFitOfAll();
  await deferred();
  await tighten();
  await partSwapped();
  await noted();
  await laidAside();
  await handedOver();
  await planChanged();
  await wholeHistory();
  await check("nothing is wider than the phone, and no page had a fault", async () => {
    assert.ok(await isNoWider(phone));
    assert.deepEqual(faults, []);
  });
  console.log(`      ${measured} things to touch measured; lesser findings of axe in all: ${looked}`);
}

await run(theDay, phone);
