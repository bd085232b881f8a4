// The page of a record, opened from disk in a browser with no network: it checks itself, shows the record, and says in words
// that a changed one is not valid.

import { chromium } from "playwright-core";
import { MECHANIC, plugStream, pullmark as ask, send, until, benchView, folder as shop, run } from "./page-bench.mjs";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const root = process.argv[2];
const folder = mkdtempSync(join(tmpdir(), "pullmark-record-"));
const out = join(folder, "out");
const pullmark = join(root, "target/debug/pullmark");
execFileSync(pullmark, ["demo", "--fast", "--out", out], { stdio: "ignore" });
const checkPage = join(folder, "check.html");
writeFileSync(checkPage, execFileSync(pullmark, ["record", "checker"]));

let failed = 0;
const holds = (name, is, what = "") => { console.log(`${is ? "holds" : "FAILS"}  ${name}${what ? `: ${what}` : ""}`); if (!is) failed += 1; };

const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"] });

async function open(file, viewport = { width: 1280, height: 900 }) {
  const context = await browser.newContext({ viewport, offline: true });
  const page = await context.newPage();
  const asked = [];
  page.on("request", (request) => { if (!request.url().startsWith("file:") && !request.url().startsWith("data:")) asked.push(request.url()); });
  const errors = [];
  page.on("pageerror", (error) => errors.push(error.message));
  page.on("console", (message) => { if (message.type() === "error") errors.push(message.text()); });
  await page.goto(pathToFileURL(file).href);
  return { page, asked, errors, close: () => context.close() };
}
const answer = (page) => page.waitForFunction(() => document.body.dataset.answer, null, { timeout: 15000 }).then((handle) => handle.jsonValue());

const html = readFileSync(join(out, "record.html"), "utf8");
const json = readFileSync(join(out, "record.json"), "utf8");
const whole = JSON.parse(json);
const subject = (whole.record || whole).credentialSubject;

const own = await open(join(out, "record.html"));
holds("a record's page says that its signature fits", await answer(own.page) === "fits", await own.page.locator("#answer").innerText().then((text) => text.split("\n")[0]));
const shown = await own.page.locator("#record").innerText();
holds("it shows every fastener", subject.fasteners.every((fastener) => shown.includes(fastener.title)));
holds("what was not done stands before what was", shown.indexOf("What was not done") < shown.indexOf("What was done") && shown.indexOf("What was not done") > 0);
const said = await own.page.locator("#answer").innerText();
holds("it says what it cannot prove", said.includes("can change the page too") && said.includes("compare the fingerprint"));
holds("the map has a spot for every fastener with a place", await own.page.locator(".map .spot").count() === subject.fasteners.filter((fastener) => fastener.at).length, `${await own.page.locator(".map .spot").count()} spots`);
holds("nothing was fetched, nothing went wrong", own.asked.length === 0 && own.errors.length === 0, [...own.asked, ...own.errors].join(" "));
await own.page.screenshot({ path: join(root, "target/pictures/record-page.png"), fullPage: true });
await own.close();
const phone = await open(join(out, "record.html"), { width: 390, height: 844 });
await answer(phone.page);
holds("on a phone nothing but the table scrolls sideways", await phone.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
await phone.page.screenshot({ path: join(root, "target/pictures/record-page-phone.png") });
await phone.close();

async function tampered(name, change) {
  const changed = change(html);
  holds(`the change is one: ${name}`, changed !== html);
  const file = join(folder, "changed.html");
  writeFileSync(file, changed);
  const other = await open(file);
  const word = await answer(other.page);
  const text = await other.page.locator("#answer").innerText();
  holds(`${name}: it says "Not valid" and why`, word === "not-valid" && text.startsWith("Not valid"), text.split("\n").filter(Boolean)[1]);
  holds(`${name}: nothing of the record is shown`, (await other.page.locator("#record").innerText()).trim() === "");
  await other.close();
}
await tampered("a torque", (text) => text.replace(/"applied_millinewton_metre":(\d)/, (_, digit) => `"applied_millinewton_metre":${(Number(digit) % 9) + 1}`));
await tampered("the frame's number", (text) => text.replaceAll(subject.bike.frame, `${subject.bike.frame}X`));
await tampered("a doubled name", (text) => text.replace('"credentialSubject":{', '"credentialSubject":{"bench":"other",'));
await tampered("the kind of signature", (text) => text.replaceAll('"cryptosuite":"eddsa-jcs-2022"', '"cryptosuite":"eddsa-jcs-2021"'));
if (whole.names?.length) await tampered("a person's name beside the record", (text) => text.replace(`"name":"${whole.names[0].name}"`, '"name":"Somebody Else"'));

const checker = await open(checkPage);
const anew = async () => { await checker.page.click("#anew"); await checker.page.waitForFunction(() => document.getElementById("files").children.length === 0 && !document.body.dataset.answer); };
await checker.page.setInputFiles("#choose", join(out, "record.json"));
holds("the checking page takes a record file", await answer(checker.page) === "fits");
const pretty = join(folder, "pretty.json");
writeFileSync(pretty, JSON.stringify(whole, null, 2));
await anew();
await checker.page.setInputFiles("#choose", pretty);
holds("laid out anew it is the same record", await answer(checker.page) === "fits");
const bad = join(folder, "bad.json");
writeFileSync(bad, json.replace(subject.bike.frame, "ANOTHER"));
await anew();
await checker.page.setInputFiles("#choose", bad);
holds("a changed one is not valid", await answer(checker.page) === "not-valid");
await checker.close();

// A bike with two fasteners that a streaming wrench pulled: its traces lie beside the record and are drawn.
const plan = (id) => `[[stage.fastener]]\nid = "${id}"\ntitle = "Bolt ${id}"\nspec = { target = "5 N·m", lower = "4.5 N·m", upper = "5.5 N·m" }\n`;
writeFileSync(join(shop, "two.toml"), `title = "Two bolts"\nedition = "1"\n[[stage]]\nid = "only"\ntitle = "Only"\n${plan("one")}${plan("two")}`);
const pull = await plugStream("st", "Streaming wrench");
ask("build", "start", join(shop, "two.toml"), "--frame", "TB-1", "--tool", "st", "--by", MECHANIC);
const build = (await benchView()).builds[0].id;
for (const id of ["one", "two"]) {
  await send({ act: "point-at", build, fastener: id, by: MECHANIC });
  await pull("5.0 0.6");
  await until(`${id} is within`, async () => (await benchView()).builds[0].stages[0].fasteners.find((fastener) => fastener.id === id).standing === "within");
}
ask("build", "finish", build, "--by", MECHANIC, "--sure", "pulled twice");
ask("record", "seal", build, "--by", MECHANIC);
ask("record", "export", build, "--out", join(shop, "out"));
const streamed = await open(join(shop, "out/record.html"));
holds("a streamed record's page says that its signature fits", await answer(streamed.page) === "fits");
holds("its traces are drawn", await streamed.page.locator("figure svg polyline").count() === 2, `${await streamed.page.locator("figure").count()} figures`);
await streamed.page.screenshot({ path: join(root, "target/pictures/record-page-traces.png"), fullPage: true });
await streamed.close();
const beside = readFileSync(join(shop, "out/record.html"), "utf8");
const forged = join(shop, "forged.html");
writeFileSync(forged, beside.replace(/("traces":\{"\d+":")([^"]{40})([^"]{8})/, (_, before, kept) => `${before}${kept}AAAAAAAA`));
const other = await open(forged);
await answer(other.page);
holds("samples that are not the signed ones are not drawn, and it is said", (await other.page.locator("#record").innerText()).includes("not the ones that were signed"));
await other.close();

await browser.close();
console.log(failed ? `${failed} do not hold` : "all hold");
await run(async () => { if (failed) throw new Error(`${failed} do not hold`); });
