// People and devices by touch: mechanics are entered on the bench's own page, a phone is let in with the code, sealing asks for the
// PIN, a device that is shut out is out at once. It (tests/try-page) prints what it checked, and ends with 1 if anything did not hold.
import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { MECHANIC, address, axe, benchView, check, folder, isNoWider, openPage, pullmark, read, run, send, tooSmall, until } from "./page-bench.mjs";

const SECOND = "Tore Lund";
const PIN = "482916";
const devices = async () => (await fetch(`${address}v1/devices`)).json();
const { addresses: [lan], fingerprint } = await devices();

const bench = await openPage("bench", { viewport: { width: 1280, height: 900 }, hasTouch: true });
const small = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, ignoreHTTPSErrors: true };
const phone = await openPage("phone", small, lan);

const tap = (page, key) => page.locator(`#sheet [data-key='${key}']`).tap();
async function people(page) { await page.locator("#foot [data-key=people]").tap(); await page.locator("#sheet .part").first().waitFor(); }
async function fill(page, fields) { for (const [key, text] of Object.entries(fields)) await page.locator(`#sheet [data-key='${key}']`).fill(text); }
const close = async (page) => { await tap(page, "close"); await page.locator(".sheet").waitFor({ state: "detached" }); };
async function looksGood(page, what, part) {
  const { small: tooLittle } = await tooSmall(page);
  assert.deepEqual(tooLittle, [], what);
  assert.ok(await isNoWider(page), `${what} is too wide`);
  for (const colorScheme of ["dark", "light"]) { await page.emulateMedia({ colorScheme, reducedMotion: "reduce" }); await axe(`${colorScheme}, ${what}`, page, part); }
}

async function unpaired() {
  await check("a phone that is not paired sees a field for the code and nothing of the bench, and is refused in words", async () => {
    assert.match(await read(phone, "h1"), /^Type the code$/);
    assert.ok(await phone.locator("button").evaluate((element) => parseFloat(getComputedStyle(element).fontSize)) > 20, "the words of the button are small");
    const shown = (await phone.content()).toLowerCase();
    for (const secret of ["pullmark", "harrow-lane", MECHANIC.toLowerCase()]) assert.ok(!shown.includes(secret), secret);
    const statuses = await phone.evaluate(async () => Promise.all(["/v1/bench", "/v1/events", "/page.js", "/metrics"].map(async (path) => (await fetch(path)).status)));
    assert.deepEqual(statuses, [401, 401, 401, 401]);
    await looksGood(phone, "the page for the code", "html");
    await phone.locator("button").tap();
    assert.match(await read(phone, "#said"), /Type the code that the bench shows/);
    await phone.locator("#code").fill("AAAA-AAAA");
    await phone.locator("button").tap();
    await until("it is refused", async () => /Not paired: this code does not let a device in/.test(await read(phone, "#said")));
  });
}

async function peopleEntered() {
  await check("mechanics are entered on the bench's own page; from then on a touch says who acts", async () => {
    await people(bench);
    assert.match(await read(bench, "#sheet"), /Nobody is entered/);
    await looksGood(bench, "people and devices", ".sheet");
    await tap(bench, "enter person");
    await fill(bench, { "person name": MECHANIC, "pin-new": PIN, "pin-again": "482917" });
    await tap(bench, "person send");
    await until("it is said", async () => /The two PINs differ/.test(await read(bench, "#refusal")));
    await bench.locator("#refusal button").tap();
    await fill(bench, { "pin-again": PIN });
    await tap(bench, "person send");
    await until("she is listed", async () => (await read(bench, "#sheet .parts")).includes(MECHANIC));
    await bench.locator("#said button").tap();
    await tap(bench, "enter person");
    await bench.locator("#sheet button.name", { hasText: MECHANIC }).tap();
    await fill(bench, { "person name": SECOND, "pin-new": "739150", "pin-again": "739150" });
    await tap(bench, "person send");
    await until("he is listed", async () => (await read(bench, "#sheet .parts")).includes(SECOND));
    await bench.locator("#said button").tap();
    await close(bench);
    assert.deepEqual(await bench.locator("#who button.name").allTextContents(), [MECHANIC, SECOND]);
    assert.equal(await bench.locator("#who button[aria-pressed=true]").textContent(), MECHANIC);
  });
}

async function phonePaired() {
  await check("the bench shows a code and the fingerprint; the phone types it and sees the bench", async () => {
    await people(bench);
    assert.ok((await read(bench, "#sheet")).includes(fingerprint));
    await tap(bench, "pair");
    await fill(bench, { "device name": "phone at stand 1" });
    await tap(bench, "device send");
    await bench.locator(".pairing-code").waitFor();
    await looksGood(bench, "the code", ".sheet");
    const code = await bench.locator(".pairing-code").textContent();
    await phone.locator("#code").fill(code.toLowerCase());
    await phone.locator("button").tap();
    await phone.locator("#who button.name").first().waitFor();
    assert.ok((await read(phone, "#bench")).includes("harrow-lane"));
    await tap(bench, "back");
    await until("it is listed", async () => (await read(bench, "#sheet")).includes("phone at stand 1"));
    await close(bench);
  });
}

const MARKUP = "<img src=x onerror=alert(1)> bolt";

async function buildMade() {
  const plan = `title = "<b>Towpath</b>"\nedition = "1"\n[[stage]]\nid = "s"\ntitle = "Seat"\n[[stage.fastener]]\nid = "f"\ntitle = "${MARKUP}"\nspec = { target = "5 N·m", lower = "4.5 N·m", upper = "5.5 N·m" }\n[[stage.check]]\nid = "tyre"\ntitle = "Tyre"\nspec = { lower = "4 bar", upper = "6 bar" }\n`;
  writeFileSync(join(folder, "plan.toml"), plan);
  writeFileSync(join(folder, "click.toml"), 'id = "click"\ntitle = "Click wrench"\nserial = "C-1"\nkind = "setting"\nlowest = "1 N·m"\nhighest = "25 N·m"\nclass = "II-A"\n');
  writeFileSync(join(folder, "gauge.toml"), 'id = "gauge"\ntitle = "Gauge"\nserial = "G-1"\nquantity = "pressure"\naccuracy = "1 %"\n');
  for (const tool of ["click.toml", "gauge.toml"]) pullmark("tool", "add", join(folder, tool), "--by", MECHANIC);
  pullmark("build", "start", join(folder, "plan.toml"), "--frame", "F-1", "--build", "tow", "--by", MECHANIC);
}

async function markupIsText() {
  await check("a title that is markup is shown as text on the page", async () => {
    await phone.locator("#list .fastener").first().waitFor();
    assert.ok((await read(phone, "#list")).includes(MARKUP));
    assert.equal(await phone.locator("#app img[src=x]").count(), 0);
  });
}

async function chooseMechanic() {
  await phone.locator("#refusal button").tap();
  await phone.locator("#who button.name", { hasText: MECHANIC }).tap();
}

async function renamed() {
  await check("a person is shown by another name and acts on under it", async () => {
    const show = async (from, to) => {
      const [{ person }] = (await (await fetch(`${address}v1/people`)).json()).filter(({ name }) => name === from);
      await people(bench);
      await tap(bench, `rename ${person}`);
      await fill(bench, { "person rename": to });
      await tap(bench, "rename send");
      await until("it is listed", async () => (await read(bench, "#sheet .parts")).includes(to));
      await close(bench);
      await until("it is touched", async () => await bench.locator("#who button[aria-pressed=true]").textContent() === to);
    };
    await show(MECHANIC, "Mara Ek");
    await show("Mara Ek", MECHANIC);
  });
}

async function decided() {
  await check("what follows from an over reading of a check is decided with the PIN", async () => {
    await send({ act: "enter-reading", tool: "gauge", value: "8 bar", by: MECHANIC, fastener: "tyre" });
    await phone.locator(".alarm").waitFor();
    const [{ sequence }] = (await benchView()).builds[0].check_alarms;
    await send({ act: "acknowledge", alarm: sequence, by: MECHANIC });
    await phone.locator(".alarm").waitFor({ state: "detached" });
    const decide = async () => {
      await phone.locator(".over-panel .choice", { hasText: "Inspected" }).tap();
      await phone.locator(".over-panel textarea").fill("rim and tyre without a mark");
      await phone.locator(".over-panel button.main").tap();
    };
    await decide();
    await until("a name is asked for", async () => /Touch your name first/.test(await read(phone, "#refusal")));
    await chooseMechanic();
    await phone.locator(".over-panel button.main").tap();
    await phone.locator(".pad").waitFor();
    assert.match(await read(phone, ".pad"), /The decision is kept with it/);
    await phone.locator("[data-key='pin cancel']").tap();
    await phone.locator(".pad").waitFor({ state: "detached" });
    assert.equal((await benchView()).builds[0].stages[0].checks[0].standing, "over", "nothing was decided without it");
    await phone.locator(".over-panel button.main").tap();
    await phone.locator(".pad").waitFor();
    await press(PIN);
    await phone.locator("[data-key='pin send']").tap();
    await phone.locator(".over-panel").waitFor({ state: "detached" });
    const history = await (await fetch(`${address}v1/builds/tow/history`)).json();
    assert.ok(history.some((row) => row.kind === "disposed" && /confirmed by PIN/.test(row.text)), JSON.stringify(history));
  });
}

async function press(digits) { for (const digit of digits) await phone.locator(`[data-key='pin ${digit}']`).tap(); }

async function sealed() {
  await check("sealing asks for the PIN; a wrong one is said in words, the right one seals", async () => {
    await send({ act: "enter-reading", tool: "click", value: "5 N·m", by: MECHANIC, fastener: "f" });
    await send({ act: "finish", build: "tow", by: MECHANIC, sure: "one bolt" });
    await phone.locator("[data-key=seal]").tap();
    await phone.locator(".pad").waitFor();
    assert.match(await read(phone, ".pad h2"), new RegExp(`PIN of ${MECHANIC}`));
    await looksGood(phone, "the PIN pad", ".pad");
    await press("12");
    await phone.locator("[data-key='pin send']").tap();
    await until("too short", async () => /at least four digits/.test(await read(phone, ".pin-said")));
    await press("3456");
    await phone.locator("[data-key='pin send']").tap();
    await until("it is refused", async () => new RegExp(`This is not the PIN of ${MECHANIC}`).test(await read(phone, ".pin-said")));
    assert.match(await read(phone, ".pad"), /A PIN that was forgotten is set anew .*pullmark people reset-pin/);
    assert.equal((await benchView()).builds[0].sealed, false);
    await press(PIN);
    await phone.locator("[data-key='pin send']").tap();
    await phone.locator(".pad").waitFor({ state: "detached" });
    await until("it is sealed", async () => (await benchView()).builds[0].sealed);
    const history = await (await fetch(`${address}v1/builds/tow/history`)).json();
    assert.ok(history.some((row) => row.kind === "record-sealed" && /confirmed by PIN/.test(row.text)), JSON.stringify(history));
    const kept = await phone.evaluate(() => JSON.stringify([{ ...localStorage }, { ...sessionStorage }, document.cookie]));
    assert.ok(!kept.includes(PIN) && !kept.includes("device"), kept);
  });
}

async function shutOut() {
  await check("a phone that is shut out on the bench's page is out at once, and shows nothing of the bench", async () => {
    await people(bench);
    const [{ device }] = (await devices()).devices;
    await tap(bench, `revoke ${device}`);
    await tap(bench, `revoke ${device} reason send`);
    await until("the phone asks for a code", async () => /^Type the code$/.test(await read(phone, "h1")));
    assert.ok(!(await phone.content()).includes("harrow-lane"));
    assert.equal(await phone.evaluate(async () => (await fetch("/v1/bench")).status), 401);
  });
}

await run(async () => {
  await unpaired();
  await peopleEntered();
  await phonePaired();
  await buildMade();
  await markupIsText();
  await renamed();
  await decided();
  await sealed();
  await shutOut();
}, phone);
