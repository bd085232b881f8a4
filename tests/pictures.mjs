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
title = "Bench wrench, 1 to 25 N·m"
serial = "SIM-2207"
lowest = "1 N·m"
highest = "25 N·m"
[certificate]
number = "TM-0418 (invented)"
laboratory = "Tarn Metrology (invented)"
date = "2026-05-04"
due = "2027-05-04"
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
await pull("6.92");
await shot("alarm-phone", 390, 844);
await shot("alarm-tablet", 820, 1180);

// Acknowledged, it still waits to be told where it belongs.
pullmark("alarm", "acknowledge", String(view().alarms[0].sequence), "--by", "Ines Falk");
await page.waitForTimeout(400);
await shot("held-tablet", 820, 1180);

// A record, and what checking it says: as a terminal shows it.
const demo = join(folder, "demo");
spawnSync(program("pullmark"), ["demo", "--fast", "--out", demo]);
const checked = spawnSync(program("pullmark"), ["record", "verify", join(demo, "record.json")], { encoding: "utf8" }).stdout;
const record = await browser.newPage({ viewport: { width: 900, height: 310 } });
await record.setContent("<meta charset=utf-8><body style='margin:0;background:#14181c;color:#e6e8ea;font:14px/1.55 monospace'><pre style='margin:24px;white-space:pre-wrap'></pre>");
await record.locator("pre").evaluate((place, text) => { place.textContent = text; }, `$ pullmark record verify record.json\n${checked}`);
await record.screenshot({ path: join(out, "record.png") });

await browser.close();
wrench.kill();
daemon.kill();
rmSync(folder, { recursive: true });
