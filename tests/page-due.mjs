// After handing over, by touch on a phone: what is due is shown with its day and its distance, a bike comes by, a service begins and does
// it; the calendar file comes. It (tests/try-page) prints what it checked, and ends with 1 if anything did not hold.
import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { MECHANIC, address, axe, benchView, check, faults, folder, isNoWider, openPage, pullmark, read, run, send, tooSmall, until } from "./page-bench.mjs";

const phone = await openPage("phone", { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
const PLAN = `title = "Towpath tourer"
edition = "one"
[[stage]]
id = "stem"
title = "Stem"
[[stage.fastener]]
id = "stem.1"
title = "Stem, upper"
spec = { target = "5 N·m" }
[[stage.fastener]]
id = "stem.2"
title = "Stem, lower"
spec = { target = "5 N·m" }
[[due]]
id = "first-rides"
title = "After the first rides"
days = 30
kilometres = 150
fasteners = ["stem.1"]
source = "common practice, no source"
[[due]]
id = "season"
title = "After a season"
months = 12
`;

const tap = (key) => phone.locator(`#sheet [data-key='${key}']`).tap();
const due = async () => (await fetch(`${address}v1/due`)).json();
const open = async () => { await phone.locator("#foot [data-key=due]").tap(); await phone.locator("#sheet .parts li").first().waitFor(); };
const rows = () => phone.locator("#sheet .parts li").allTextContents().then((all) => all.map((text) => text.replaceAll("\u00a0", " ").replace(/\s+/g, " ")));
const row = (text) => until(`a row says ${text}`, async () => (await rows()).some((found) => text.test(found)));
const daysAfter = (days) => new Date(Date.now() + days * 86_400_000).toLocaleDateString("sv-SE");

async function finish(build, ...fasteners) {
  for (const fastener of fasteners) await send({ act: "defer", build, fastener, by: MECHANIC, reason: "the owner does it" });
  await send({ act: "finish", build, by: MECHANIC });
}

async function listed() {
  await check("what is due is listed with its day, its distance, what is looked at and who says so", async () => {
    await open();
    await row(new RegExp(`^Waiting: After the first rides ?Towpath, on ${daysAfter(30)}, in 30 days, or after 150 km, whichever comes first ?Stem, upper \\(common practice, no source\\)`));
    await row(/^Waiting: After a season ?Towpath, on .* the whole bike|^Waiting: After a season/);
    assert.deepEqual((await tooSmall(phone)).small, []);
    assert.ok(await isNoWider(phone));
    for (const colorScheme of ["dark", "light"]) { await phone.emulateMedia({ colorScheme, reducedMotion: "reduce" }); await axe(`${colorScheme}, what is due`, phone, ".sheet"); }
  });
  await check("the calendar file comes, with an event a day", async () => {
    const [download] = await Promise.all([phone.waitForEvent("download"), tap("calendar")]);
    assert.equal(download.suggestedFilename(), "due.ics");
    const text = await (await fetch(`${address}v1/due.ics`)).text();
    assert.equal(text.match(/BEGIN:VEVENT/g).length, 2);
  });
}

async function cameBy() {
  await check("a bike comes by: it has gone far, so it is due; it is done, and that is taken back", async () => {
    await tap("due ridden tow first-rides");
    await phone.locator("#sheet input[inputmode=numeric]").fill("far");
    await phone.locator("#sheet button[type=submit]").tap();
    await until("it asks for a number", async () => /Write whole kilometres/.test(await read(phone, "#refusal")));
    await phone.locator("#refusal button").tap();
    await phone.locator("#sheet input[inputmode=numeric]").fill("162");
    await phone.locator("#sheet button[type=submit]").tap();
    await row(/^Due: After the first rides.*162 km so far/);
    await tap("due done tow first-rides");
    await phone.locator("#sheet textarea").fill("all tight");
    await phone.locator("#sheet button[type=submit]").tap();
    await row(new RegExp(`^Done: After the first rides ?Towpath, by ${MECHANIC}`));
    await tap("due undo tow first-rides");
    await phone.locator("#sheet textarea").fill("another bike");
    await phone.locator("#sheet button[type=submit]").tap();
    await row(/^Due: After the first rides/);
  });
}

async function service() {
  await check("a service begins with what is due, and does it", async () => {
    await tap("due service tow first-rides");
    await phone.locator(".sheet").waitFor({ state: "detached" });
    const found = (await benchView()).builds.find((build) => build.follows === "tow");
    assert.deepEqual(found.stages.flatMap((stage) => stage.fasteners).map(({ id }) => id), ["stem.1"]);
    await until("it is shown", async () => /Stem, upper/.test(await read(phone, "#list")));
    await finish(found.id, "stem.1");
    const [first] = (await due()).filter(({ id }) => id === "first-rides");
    assert.deepEqual([first.standing, first.in_build], ["done", found.id]);
    await open();
    await row(new RegExp(`^Done: After the first rides ?Towpath, in ${found.id}`));
  });
}

async function theDay() {
  writeFileSync(join(folder, "tow.toml"), PLAN);
  pullmark("build", "start", join(folder, "tow.toml"), "--frame", "TW-1", "--build", "tow", "--label", "Towpath", "--by", MECHANIC);
  await finish("tow", "stem.1", "stem.2");
  await phone.locator("#foot [data-key=due]").waitFor();
  await phone.locator("#by").fill(MECHANIC);
  await listed();
  await cameBy();
  await service();
  await check("no page had a fault", () => assert.deepEqual(faults, []));
}

await run(theDay, phone);
