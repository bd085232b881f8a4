// Pictures for the README: a daemon with a simulated wrench is brought to the states that are shown, and photographed.
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { chromium } from "playwright-core";

const root = process.argv[2];
const program = (name) => join(root, "target/debug", name);
const folder = mkdtempSync(join(tmpdir(), "pullmark-pictures-"));
const data = join(folder, "bench");
const out = join(root, "tests/pictures");

const pullmark = (...words) => {
  const run = spawnSync(program("pullmark"), ["--data", data, ...words], { encoding: "utf8" });
  if (run.status === 2) throw new Error(run.stderr);
  return run.stdout;
};
const view = () => JSON.parse(pullmark("build", "show", "mossgreen-allroad", "--json"));

const daemon = spawn(program("pullmarkd"), ["--data", data, "--port", "0", "--bench", "harrow-lane", "--practice-speed", "20"]);
const address = await new Promise((found) => {
  createInterface({ input: daemon.stderr }).on("line", (line) => {
    // the log may be coloured
    const at = line.match(/http:\/\/127\.0\.0\.1:\d+\//);
    if (at) found(at[0]);
  });
});
const link = join(folder, "wrench");
const wrench = spawn(program("pullmark-sim"), ["--link", link, "--serial", "SIM-2207"], { stdio: ["pipe", "ignore", "inherit"] });
const say = (text) => wrench.stdin.write(`${text}\n`);
const until = async (holds) => {
  for (let tries = 0; tries < 200; tries += 1) {
    if (holds()) return;
    await new Promise((again) => setTimeout(again, 50));
  }
  throw new Error("the bench did not come to the state for the picture");
};

writeFileSync(join(folder, "tool.toml"), `id = "w1"
title = "Bench wrench"
serial = "SIM-2207"
lowest = "1 N·m"
highest = "60 N·m"
resolution = "0.01 N·m"
class = "I-C"
lever = "280 mm"
[certificate]
number = "TM-0418 (invented)"
laboratory = "Tarn Metrology (invented)"
date = "2026-05-04"
due = "2027-05-04"
serial = "SIM-2207"
${[[4, 4.02, 0.04], [12, 12.05, 0.09], [24, 24.02, 0.16], [40, 39.8, 0.3]].map(([shown, reference, expanded]) =>
    `[[certificate.point]]\nindicated = "${shown} N·m"\nreference = "${reference} N·m"\nexpanded = "${expanded} N·m"\ncoverage_factor = 2\n`).join("")}
[connection]
port = "${link}"
profile = "pullmark-line"
`);
pullmark("tool", "add", join(folder, "tool.toml"));
await until(() => JSON.parse(pullmark("tool", "list", "--json"))[0].connected);
pullmark("build", "start", join(root, "cli/src/demo/plan.toml"), "--frame", "HL-2611-07", "--label", "Mossgreen allroad", "--by", "Ines Falk");

const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking", "--disable-component-update", "--disable-sync"] });
const page = await browser.newPage();
await page.addInitScript(() => localStorage.setItem("pullmark.by", "Ines Falk"));
const shot = async (name, width, height) => {
  await page.setViewportSize({ width, height });
  await page.evaluate(() => window.scrollTo(0, 0));
  await page.waitForTimeout(400);
  await page.screenshot({ path: join(out, `${name}.png`) });
};

const pull = async (text, pause = 350) => {
  const before = view().last?.sequence ?? -1;
  await new Promise((step) => setTimeout(step, pause));
  say(text);
  await until(() => (view().last?.sequence ?? -1) > before);
};
const prepare = () => {
  const { next } = view();
  if (next && !next.prepared) pullmark("fastener", "prepare", "mossgreen-allroad", next.fastener, "--by", "Ines Falk");
};
for (const value of ["7.83", "7.75", "13.12", "12.96", "9.04", "9.15"]) {
  prepare();
  await pull(value);
}
await page.goto(address);
await page.waitForTimeout(500);
await page.mouse.click(4, 4); // a browser lets a page make sound only after a touch
for (const [name, width, height] of [["bench-phone", 390, 844], ["bench-tablet", 820, 1180], ["bench-pc", 1440, 900]]) await shot(name, width, height);
await page.emulateMedia({ colorScheme: "dark" });
await shot("bench-pc-dark", 1440, 900);
await page.emulateMedia({ colorScheme: "light" });

// The bike map, and one of its places fanned out.
const part = async (name, width, height, where) => {
  await page.setViewportSize({ width, height });
  await page.waitForTimeout(400);
  await page.locator(where).screenshot({ path: join(out, `${name}.png`) });
};
await page.setViewportSize({ width: 820, height: 1180 });
await page.waitForTimeout(300);
await page.locator("[data-key='map stem-front']").click();
await part("map-tablet", 820, 1180, "#map");
await page.locator("[data-key='fan close']").click();
await part("map-phone", 390, 844, "#map");

// The pulls on one fastener.
await page.locator("#list .fastener").nth(1).click();
await shot("fastener-phone", 390, 844);
await page.locator(".sheet [data-key=close]").click();
await pull("6.92");
await shot("alarm-phone", 390, 844);
await shot("alarm-tablet", 820, 1180);

// Acknowledged, it still waits to be told where it belongs.
pullmark("alarm", "acknowledge", String(view().alarms[0].sequence), "--by", "Ines Falk");
await page.waitForTimeout(400);
await shot("held-tablet", 820, 1180);

// The tool's sheet: its certificate, and checks in which it creeps away.
for (const shown of ["10.02", "10.04", "10.03", "10.06", "10.05", "10.08", "10.11", "10.10", "10.14", "10.16"]) {
  pullmark("tool", "check", "w1", "--against", "reference RF-1, certificate TM-0502 (invented)", "--shown", `${shown} N·m`, "--reference", "10.06 N·m", "--by", "Ines Falk");
}
await page.locator("[data-key='tool w1']").click();
await page.setViewportSize({ width: 820, height: 1180 });
await page.locator(".sheet").evaluate((sheet) => sheet.scrollTo(0, sheet.scrollHeight));
await shot("tool-tablet", 820, 1180);
await page.locator("[data-key=close]").click();

// A crow-foot changes the lever: what is read on the wrench is not what is at the fastener.
writeFileSync(join(folder, "pedals.toml"), `title = "Pedals"\nedition = "picture 1"\n[[stage]]\nid = "pedals"\ntitle = "Pedals"
[[stage.fastener]]\nid = "pedals.left"\ntitle = "Pedal, left"\nprep = ["grease on the thread"]\nspec = { target = "40 N·m", lower = "36 N·m", upper = "44 N·m" }\nadapter = { title = "crow-foot, 15 mm", length = "46.7 mm" }\n`);
pullmark("build", "start", join(folder, "pedals.toml"), "--frame", "HL-2611-09", "--label", "Fellwind", "--tool", "w1", "--by", "Ines Falk");
await page.locator("[data-key='build fellwind']").click();
await page.locator("[data-key='fit w1']").click();
await page.locator("#next .setting").waitFor();
await shot("setting-phone", 390, 844);

// A tool that streams: what it shows during the pull.
const streamLink = join(folder, "stream");
const stream = spawn("python3", [join(root, "tests/stream_wrench.py"), streamLink], { stdio: ["pipe", "ignore", "inherit"] });
writeFileSync(join(folder, "stream.toml"), `id = "w2"\ntitle = "Streaming wrench"\nserial = "ST-2"\nlowest = "1 N·m"\nhighest = "60 N·m"\nclass = "I-C"\n[connection]\nport = "${streamLink}"\nprofile = "trace-line"\n`);
pullmark("tool", "add", join(folder, "stream.toml"));
await until(() => JSON.parse(pullmark("tool", "list", "--json")).every((tool) => tool.connected));
writeFileSync(join(folder, "stem.toml"), `title = "Stem"\nedition = "picture 1"\nframe = "flat-bar"\n[[stage]]\nid = "stem"\ntitle = "Stem"
[[stage.fastener]]\nid = "stem.upper"\ntitle = "Steerer clamp, upper bolt"\nprep = ["dry"]\nat = "stem-rear"\nspec = { target = "5 N·m", lower = "4.5 N·m", upper = "5.5 N·m" }
[[stage.fastener]]\nid = "stem.bar"\ntitle = "Handlebar clamp"\nprep = ["dry"]\nat = "stem-front"\nspec = { target = "6 N·m", lower = "5.4 N·m", upper = "6.6 N·m" }\n`);
pullmark("build", "start", join(folder, "stem.toml"), "--frame", "HL-2611-12", "--label", "Quayside city", "--tool", "w2", "--by", "Tore Lund");
await page.locator("[data-key='build quayside-city']").click();
await page.setViewportSize({ width: 820, height: 1180 });
stream.stdin.write("5.02 5\n");
await page.locator("#pull .pull").waitFor();
await page.waitForTimeout(2000);
await page.screenshot({ path: join(out, "pull-tablet.png") });
await page.locator("#pull .pull").waitFor({ state: "detached" });

// The board.
await page.locator("[data-key=board]").click();
await shot("board-pc", 1440, 900);

// Checks: what is measured and is no torque. One is next, one is done, one is computed of both.
writeFileSync(join(folder, "gauge.toml"), `id = "g1"\ntitle = "Tyre gauge"\nserial = "TG-1"\nquantity = "pressure"\nlowest = "0.5 bar"\nhighest = "11 bar"\nresolution = "0.01 bar"\naccuracy = "1 % + 0.02 bar"\n`);
pullmark("tool", "add", join(folder, "gauge.toml"));
writeFileSync(join(folder, "tyres.toml"), `title = "Wheels"\nedition = "picture 1"\n[[stage]]\nid = "tyres"\ntitle = "Tyres"
[[stage.check]]\nid = "tyres.front"\ntitle = "Front tyre pressure"\nspec = { target = "58 psi", lower = "54 psi", upper = "62 psi" }\nat = "hub-front"
sources = [{ where = "tyre wall", lower = "45 psi", upper = "80 psi" }, { where = "rim leaflet", upper = "65 psi" }]
[[stage.check]]\nid = "tyres.rear"\ntitle = "Rear tyre pressure"\nspec = { target = "63 psi", lower = "59 psi", upper = "65 psi" }\nat = "hub-rear"
sources = [{ where = "tyre wall", lower = "45 psi", upper = "80 psi" }, { where = "rim leaflet", upper = "65 psi" }]
[[stage.check]]\nid = "tyres.apart"\ntitle = "Rear above front"\nspec = { lower = "0 psi", upper = "8 psi" }\nformula = "tyres.rear - tyres.front"\n`);
pullmark("build", "start", join(folder, "tyres.toml"), "--frame", "HL-2611-15", "--label", "Saltmarsh tourer", "--tool", "g1", "--by", "Ines Falk");
pullmark("reading", "enter", "3.98 bar", "--tool", "g1", "--by", "Ines Falk");
await page.goto(address);
await page.locator("[data-key='build saltmarsh-tourer']").click();
await page.waitForTimeout(400);
await part("checks-tablet", 820, 1180, "#list");

// What is due on a bike that was handed over.
writeFileSync(join(folder, "due.toml"), `title = "Light build"\nedition = "picture 1"\n[[stage]]\nid = "stem"\ntitle = "Stem"
[[stage.fastener]]\nid = "stem.upper"\ntitle = "Steerer clamp, upper bolt"\nspec = { target = "5 N·m", lower = "4.5 N·m", upper = "5.5 N·m" }
[[due]]\nid = "first-rides"\ntitle = "After the first rides"\ndays = 30\nkilometres = 150\nfasteners = ["stem.upper"]\nsource = "common practice, no source"
[[due]]\nid = "season"\ntitle = "After a season"\nmonths = 12\n`);
pullmark("build", "start", join(folder, "due.toml"), "--frame", "HL-2610-31", "--label", "Heron gravel", "--tool", "w1", "--by", "Tore Lund");
pullmark("fastener", "prepare", "heron-gravel", "stem.upper", "--by", "Tore Lund");
say("4.27"); // with the crow-foot that is still on it
await until(() => JSON.parse(pullmark("build", "show", "heron-gravel", "--json")).last);
pullmark("build", "finish", "heron-gravel", "--by", "Tore Lund");
await page.locator("#foot [data-key=due]").click();
await page.locator("#sheet .parts li").first().waitFor();
await shot("due-phone", 390, 844);
await page.locator("[data-key=close]").click();

// A plan that begins as templates.
await page.setViewportSize({ width: 1440, height: 900 });
await page.locator("[data-key=plans]").click();
await page.locator("#planner [data-key='plan new']").click();
await page.locator("#planner [data-key='starter road-bike']").click();
await page.locator("#planner [data-key='open stage.0.fastener.0']").click();
await page.locator("#planner [data-key='plan text']").click();
await page.waitForTimeout(800);
await page.locator("#planner .plan-stage").first().evaluate((stage) => stage.scrollIntoView());
await page.waitForTimeout(400);
await page.screenshot({ path: join(out, "planner-pc.png") });
stream.kill();

await browser.close();
wrench.kill();
daemon.kill();
rmSync(folder, { recursive: true });
