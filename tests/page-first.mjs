// What a shop meets first, and what it meets seldom: an empty bench that says what to do, a plan of checks alone, figures that are
// common practice beside every limit, a service after a bike that was handed over. Against the real daemon; it (tests/try-page)
// prints what it checked, and ends with 1 if anything did not hold.
import assert from "node:assert/strict";
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { MECHANIC, axe, benchView, check, faults, folder, isNoWider, openPage, plug, read, run, send, settle, tooSmall, until } from "./page-bench.mjs";

const PRACTICE = "common practice, check the part maker's figure";
const phone = await openPage("phone", { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
const desk = await openPage("desk", { viewport: { width: 1440, height: 900 } });
const key = (page, name) => page.locator(`[data-key=${JSON.stringify(name)}]`);

async function looksGood(what, page, part) {
  assert.deepEqual((await tooSmall(page)).small, [], what);
  assert.ok(await isNoWider(page), `${what} is too wide`);
  for (const colorScheme of ["dark", "light"]) { await page.emulateMedia({ colorScheme, reducedMotion: "reduce" }); await axe(`${colorScheme}, ${what}`, page, part); }
}

const CHECKS = `
title = "Wheels and tyres"
edition = "1"
[[stage]]
id = "wheels"
title = "Wheels"
[[stage.check]]
id = "tyre-front"
title = "Front tyre"
sources = [{ where = "${PRACTICE}", lower = "5 bar", upper = "6 bar" }]
[[stage.check]]
id = "tyre-rear"
title = "Rear tyre"
spec = { lower = "5.5 bar", upper = "6.5 bar" }
[[stage.check]]
id = "difference"
title = "Difference of the tyres"
formula = "abs({tyre-front} - {tyre-rear})"
spec = { upper = "1.5 bar" }
`;

async function firstStart() {
  await check("an empty bench says three steps, each with its command or its button", async () => {
    await phone.locator("#empty .first-steps li").first().waitFor();
    assert.equal(await phone.locator("#empty .first-steps li").count(), 3);
    assert.match(await read(phone, "#empty"), /pullmark tool add WRENCH\.toml/);
    await looksGood("the empty bench", phone, "#empty");
    await looksGood("the empty bench", desk, "#empty");
    await key(phone, "people-empty").tap();
    assert.match(await read(phone, ".sheet h2"), /People and devices/);
    await key(phone, "close").tap();
    assert.equal(await key(phone, "plans-empty").count(), 1);
  });
}

const start = (plan, build, frame, label) => send({ act: "start-build", build, bike: { frame, label }, plan, by: MECHANIC });

async function checksAlone() {
  await check("a plan of checks alone: heading, list and what is next are told in checks, and nothing is said of fasteners", async () => {
    await start(CHECKS, "tyres", "T-1", "Tyres");
    await until("it is shown", async () => /Measure/.test(await read(phone, "#next h2")));
    const next = await read(phone, "#next");
    assert.match(next, /2 checks are open/);
    assert.match(next, /Front tyre ?5 to 6 bar ?common practice/);
    assert.match(next, /No tool serves this build\. None is known yet.*pullmark tool add/);
    assert.doesNotMatch(`${next} ${await read(phone, "#list")}`, /0 of 0|fastener/i);
    assert.match(await read(phone, "#list .summary"), /^0 of 3 checks within/);
    await looksGood("what is measured next", phone, "#next");
  });
  await check("a formula says titles, in the list and on the sheet", async () => {
    const words = /computed: abs\(“Front tyre” - “Rear tyre”\)/i;
    assert.match(await read(phone, "[data-key='check difference']"), words);
    await settle(phone);
    await key(phone, "check difference").tap();
    assert.match(await read(phone, ".sheet"), words);
    await key(phone, "close").tap();
  });
  await check("the list of plans and the editor count checks", async () => {
    mkdirSync(join(folder, "bench", "plans"), { recursive: true });
    writeFileSync(join(folder, "bench", "plans", "tyres.toml"), CHECKS);
    await key(desk, "plans").click();
    await until("it is listed", async () => /edition 1; 3 checks(?!,)/.test(await read(desk, "#planner")));
    await key(desk, "plan tyres.toml").click();
    await until("it is open", async () => /^3 checks/.test(await read(desk, "#planner .plan-bar")));
    assert.equal(await desk.locator("#planner h2").first().textContent(), "Wheels and tyres");
    await key(desk, "plans back").click();
    await key(desk, "plans close").click();
  });
}

const TORQUE = `
title = "Seat"
edition = "1"
[[stage]]
id = "seat"
title = "Seat"
[[stage.fastener]]
id = "clamp"
title = "Seat clamp"
joint = "metal"
prep = ["dry"]
sources = [{ where = "${PRACTICE}", lower = "4 N·m", upper = "6 N·m" }]
[[stage.fastener]]
id = "rail"
title = "Rail"
prep = ["dry"]
spec = { target = "12 N·m" }
`;
const says = (where) => until(`${where} says that it is common practice`, async () => (await read(phone, where)).includes(PRACTICE));

async function practice() {
  await check("limits that no maker states say so in the list, at the next pull, on the board, in the alarm, at the decision and at the last reading", async () => {
    const pull = await plug("w1", "Click wrench", "W-1");
    await start(TORQUE, "seat", "S-1", "Seat bike");
    await until("it is there", async () => (await benchView()).builds.length === 2);
    await send({ act: "assign-tool", tool: "w1", build: "seat", by: MECHANIC });
    await key(phone, "build seat").tap();
    await says("#next");
    await says("[data-key='fastener clamp']");
    assert.doesNotMatch(await read(phone, "[data-key='fastener rail']"), /practice/);
    await key(phone, "board").tap();
    await says("[data-key='board seat']");
    assert.match(await read(phone, "[data-key='board tyres']"), /0 of 3 checks done.*2 checks are open/);
    await looksGood("the board", phone, "#board");
    await key(phone, "board close").tap();
    assert.match(await read(phone, "[data-key='build tyres']"), /0 of 3 checks done/);
    await send({ act: "point-at", build: "seat", fastener: "clamp", by: MECHANIC });
    pull("6.80");
    await phone.locator("#alarm .alarm").waitFor();
    await until("the alarm says it", async () => (await read(phone, ".alarm")).includes(PRACTICE));
    await looksGood("the alarm", phone, "#alarm");
    await settle(phone);
    await phone.locator("#alarm .name-field").fill(MECHANIC);
    await key(phone, "acknowledge").tap();
    await phone.locator("#alarm .alarm").waitFor({ state: "hidden" });
    await says("#decide .over-panel");
    await says("#last");
    await looksGood("the decision", phone, "#decide");
  });
}

async function service() {
  await check("a service is begun from a finished build without anything due, and the finished list names the earlier build", async () => {
    await send({ act: "dispose", build: "seat", fastener: "clamp", decision: "part-replaced", by: MECHANIC, reason: "cracked" });
    for (const fastener of ["clamp", "rail"]) await send({ act: "defer", build: "seat", fastener, by: MECHANIC, reason: "the owner does it" });
    await send({ act: "finish", build: "seat", by: MECHANIC });
    await until("it is finished", async () => /Build finished/.test(await read(phone, "#next")));
    await settle(phone);
    await key(phone, "this build").tap();
    await looksGood("the sheet of a finished build", phone, ".sheet");
    await key(phone, "service").tap();
    await until("it is begun", async () => (await benchView()).builds.some((build) => build.follows === "seat"));
    const { id } = (await benchView()).builds.find((build) => build.follows === "seat");
    await until("the page says what it goes on from", async () => /Service after .*\(seat\)/.test(await read(phone, "#list")));
    for (const fastener of ["clamp", "rail"]) await send({ act: "defer", build: id, fastener, by: MECHANIC, reason: "the owner does it" });
    await send({ act: "finish", build: id, by: MECHANIC });
    await until("the list names it", async () => /Seat bike, [\d-]+, not sealed; service after [\d-]+ \(seat\)/.test(await read(phone, "#finished")));
  });
}

await run(async () => {
  await firstStart();
  await checksAlone();
  await practice();
  await service();
  await check("nothing went wrong on the page, and it asked nobody but the daemon", () => assert.deepEqual(faults, []));
}, phone);
