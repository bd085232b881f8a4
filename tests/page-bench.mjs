// What the tries of the bench page share: a daemon of their own, wrenches on pseudo-terminals, a browser, and the list of what held.
import AxeBuilder from "@axe-core/playwright";
import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { chromium } from "playwright-core";

export const root = process.argv[2];
const program = (name) => join(root, "target/debug", name);
export const folder = mkdtempSync(join(tmpdir(), "pullmark-page-"));
const data = join(folder, "bench");
export const MECHANIC = "Ines Falk";

const running = [];
async function start(port) {
  const daemon = spawn(program("pullmarkd"), ["--data", data, "--port", String(port), "--lan", "127.0.0.1:0", "--bench", "harrow-lane", "--practice-speed", "20"]);
  running.push(daemon);
  const address = await new Promise((found, failed) => {
    const said = [];
    daemon.on("exit", () => failed(new Error(`the daemon did not start:\n${said.join("\n")}`)));
    createInterface({ input: daemon.stderr }).on("line", (line) => {
      said.push(line);
      const at = line.match(/http:\/\/127\.0\.0\.1:\d+\//);
      if (at) found(at[0]);
    });
  });
  return { daemon, address };
}
let bench = await start(0);
export const { address } = bench;

export async function killDaemon() {
  const gone = new Promise((done) => bench.daemon.once("exit", done));
  bench.daemon.kill("SIGKILL");
  await gone;
}
export async function startAgain() { bench = await start(new URL(address).port); }

export const pullmark = (...words) => {
  const run = spawnSync(program("pullmark"), ["--data", data, ...words], { encoding: "utf8" });
  if (run.status !== 0) throw new Error(`pullmark ${words.join(" ")}: ${run.stderr}`);
  return run.stdout;
};
export const benchView = async () => (await fetch(`${address}v1/bench`)).json();

export async function until(what, holds, patience = 10_000) {
  const end = Date.now() + patience;
  let last;
  while (Date.now() < end) {
    try { if (await holds()) return; } catch (error) { last = error; }
    await new Promise((again) => setTimeout(again, 40));
  }
  throw new Error(`it did not come to this: ${what}${last ? ` (${last.message})` : ""}`);
}

// A wrench on a pseudo-terminal, and its tool made known. `more` goes into its file before the connection.
export async function plug(id, title, serial, more = 'lowest = "1 N·m"\nhighest = "25 N·m"\n') {
  const link = join(folder, id);
  const wrench = spawn(program("pullmark-sim"), ["--link", link, "--serial", serial], { stdio: ["pipe", "ignore", "inherit"] });
  running.push(wrench);
  writeFileSync(join(folder, `${id}.toml`), `id = "${id}"\ntitle = "${title}"\nserial = "${serial}"\n${more}[connection]\nport = "${link}"\nprofile = "pullmark-line"\n`);
  pullmark("tool", "add", join(folder, `${id}.toml`));
  await until(`${id} is connected`, async () => (await benchView()).tools.find((tool) => tool.tool.id === id)?.connected);
  return (value) => wrench.stdin.write(`${value}\n`);
}

// A wrench that streams, from which line profile: it is told what to pull, and gives back when its last byte was written.
export async function plugStream(id, title, profile = "trace-line") {
  const link = join(folder, id);
  const wrench = spawn("python3", [join(root, "tests/stream_wrench.py"), link], { stdio: ["pipe", "pipe", "inherit"] });
  running.push(wrench);
  const times = [];
  const waiting = [];
  createInterface({ input: wrench.stdout }).on("line", (line) => (waiting.length ? waiting.shift()(Number(line)) : times.push(Number(line))));
  writeFileSync(join(folder, `${id}.toml`), `id = "${id}"\ntitle = "${title}"\nserial = "ST-${id}"\nlowest = "1 N·m"\nhighest = "60 N·m"\nclass = "I-C"\n[connection]\nport = "${link}"\nprofile = "${profile}"\n`);
  pullmark("tool", "add", join(folder, `${id}.toml`));
  await until(`${id} is connected`, async () => (await benchView()).tools.find((tool) => tool.tool.id === id)?.connected);
  return (text) => { wrench.stdin.write(`${text}\n`); return new Promise((told) => (times.length ? told(times.shift()) : waiting.push(told))); };
}

const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking", "--disable-component-update", "--disable-sync"] });
export const faults = [];
export async function openPage(name, options, at = address) {
  const page = await (await browser.newContext({ acceptDownloads: true, ...options })).newPage();
  page.on("pageerror", (error) => faults.push(`${name}: ${error.message}`));
  page.on("console", (said) => { if (/Content Security|Refused to|<svg> attribute/.test(said.text())) faults.push(`${name}: ${said.text()}`); });
  page.on("requestfinished", (request) => { if (new URL(request.url()).origin !== new URL(at).origin && !request.url().startsWith("data:")) faults.push(`${name}: asked ${request.url()}`); });
  page.setDefaultTimeout(8000);
  await page.goto(at);
  await page.evaluate(() => { window.notReloaded = true; });
  return page;
}

// Acts as a program does it, where the try is about something else.
export async function send(body) {
  const answer = await fetch(`${address}v1/acts`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
  if (!answer.ok) throw new Error(await answer.text());
}

export const median = (all) => [...all].sort((a, b) => a - b)[Math.floor(all.length / 2)];

export const words = (text) => text.replaceAll("\u00a0", " ").replace(/\s+/g, " ").trim();
export const read = async (page, where) => words((await page.locator(where).allTextContents()).join(" "));
export const isNoWider = (page) => page.evaluate(() => {
  const sheet = document.querySelector(".sheet");
  return document.documentElement.scrollWidth <= window.innerWidth && (!sheet || sheet.scrollWidth <= sheet.clientWidth);
});

// How many lesser findings axe has; a serious one is a fault.
export async function axe(what, page, part = "html") {
  const { violations } = await new AxeBuilder({ page }).include(part).analyze();
  const grave = violations.filter((one) => ["serious", "critical"].includes(one.impact));
  assert.deepEqual(grave.map((one) => [what, one.id, one.nodes.slice(0, 3).map((node) => [node.target.join(" "), node.any[0]?.message || node.all[0]?.message])]), []);
  return violations.length;
}

// Everything that is touched and is smaller than 64 pixels.
export const tooSmall = (page) => page.evaluate(() => {
  const shown = (element) => element.offsetParent !== null || getComputedStyle(element).position === "fixed";
  const hit = (element) => (element.matches("input[type=radio], input[type=checkbox]") ? element.closest("label") : element);
  const all = [...document.querySelectorAll("button, select, a[href], input, textarea, summary")].filter(shown).filter((element) => !element.closest("[inert]"));
  const boxes = all.map(hit).map((element) => [element.dataset.key || element.textContent, element.getBoundingClientRect()]);
  return { count: boxes.length, small: boxes.filter(([, box]) => box.width > 0 && (box.height < 63.5 || box.width < 63.5)).map(([key, box]) => `${key}: ${box.width.toFixed(0)}×${box.height.toFixed(0)}`) };
});

// A finger waits until what has just appeared may be touched: the page takes no touch sooner than 0.7 s.
export const settle = (page) => page.waitForTimeout(750);

let checks = 0;
export async function check(what, hold) {
  await hold();
  checks += 1;
  console.log(`ok    ${what}`);
}

// Runs the day, says what held, and leaves nothing behind. `shown` is the page that is photographed where something did not.
export async function run(theDay, shown) {
  let failed = false;
  try {
    await theDay();
    if (checks > 0) console.log(`${checks} checks hold`);
  } catch (error) {
    failed = true;
    console.log(`FAIL  after ${checks} checks: ${error.stack}`);
    const shot = join(root, "target/pictures/page-failed.png");
    await shown.screenshot({ path: shot, fullPage: true }).then(() => console.log(`      the page at that time: ${shot}`), () => {});
  } finally {
    await browser.close();
    for (const child of running) child.kill("SIGKILL");
    rmSync(folder, { recursive: true, force: true });
  }
  process.exitCode = failed ? 1 : 0;
}
