// What the page says about measuring, against the real daemon: the figure to read or to set, adapters, undecided readings, the
// certificate, checks against a reference, process figures and recalls. Worked by touch on a phone's screen while a PC in the
// dark watches. It (tests/try-page) prints what it checked, and ends with 1 if anything did not hold.
import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { MECHANIC, address, benchView, check, faults, folder, isNoWider, openPage, plug, pullmark, read, run, settle, until, words } from "./page-bench.mjs";

const phone = await openPage("phone", { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
const pc = await openPage("pc", { viewport: { width: 1440, height: 900 }, colorScheme: "dark" });
const both = [phone, pc];

const day = (days) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);
// Invented, like every figure here: torque shown, reference, expanded uncertainty.
const POINTS = [[4, 4.02, 0.04], [12, 12.05, 0.09], [24, 24.02, 0.16], [40, 39.8, 0.3]];
const certificate = (number, date, due, points) => `number = "${number}"\nlaboratory = "Tarn Metrology"\ndate = "${date}"\ndue = "${due}"\nserial = "SIM-2207"\n`
  + points(([shown, reference, expanded]) => [`indicated = "${shown} N·m"`, `reference = "${reference} N·m"`, `expanded = "${expanded} N·m"`, "coverage_factor = 2", ""].join("\n"));
const WRENCH = `lowest = "2 N·m"\nhighest = "60 N·m"\nresolution = "0.01 N·m"\nclass = "I-C"\nlever = "280 mm"\n[certificate]\n${certificate("TM-0418", day(-200), day(165), (point) => POINTS.map((p) => `[[certificate.point]]\n${point(p)}`).join(""))}`;
const CLICK = `id = "c1"\ntitle = "Click wrench"\nserial = "CK-77"\nkind = "setting"\nlowest = "5 N·m"\nhighest = "60 N·m"\nresolution = "0.2 N·m"\nclass = "II-A"\nlever = "300 mm"\n
[certificate]\nnumber = "TM-0077"\nlaboratory = "Tarn Metrology"\ndate = "2024-03-01"\ndue = "2025-03-01"\n`;
const fastener = (id, title, target, lower, upper, more = "") => `[[stage.fastener]]\nid = "${id}"\ntitle = "${title}"\nkind = "${id.split(".")[1]}"\nprep = ["dry"]\nspec = { target = "${target} N·m", lower = "${lower} N·m", upper = "${upper} N·m" }\n${more}\n`;
const PLAN = `title = "Tandem"\nedition = "test 1"\n[[stage]]\nid = "a"\ntitle = "Front end"\n${[
  fastener("a.post", "Seat post clamp", 5, 4.5, 5.5),
  fastener("a.bar", "Handlebar clamp", 6, 5.4, 6.6, 'rule = "guarded"\nnote = "both gaps the same width"'),
  fastener("a.mount", "Brake mount bolt", 8, 7, 9, 'adapter = { title = "extension, 100 mm" }'),
  fastener("a.pedal", "Pedal, left", 40, 36, 44, 'adapter = { title = "crow-foot, 15 mm", length = "46.7 mm" }'),
  fastener("a.crank", "Crank bolt", 48, 44, 52),
].join("")}`;

const buildView = async () => (await benchView()).builds.find((build) => build.id === "tandem");
const toolView = async (id) => (await benchView()).tools.find((tool) => tool.tool.id === id);
const settingOf = async (id) => (await buildView()).next.settings.find((setting) => setting.tool === id);
const hundredths = (milli) => String(Number((Math.round(milli / 10) / 100).toFixed(2)));

async function pull(say, value) {
  const before = (await buildView()).last?.sequence ?? -1;
  await phone.waitForTimeout(350); // seven seconds of the practice clock
  say(value);
  await until(`${value} came in`, async () => ((await buildView()).last?.sequence ?? -1) > before);
  await until("the page shows it", async () => await read(phone, "#last .last-value") === (await buildView()).last.displayed);
  return buildView();
}
const comesNext = async (title) => { for (const page of both) await until(`${title} is next`, async () => await read(page, "#next .next-title") === title); };
const says = async (where, what) => { for (const page of both) await until(`${where} says ${what}`, async () => what.test(await read(page, where))); };

// ---------------------------------------------------------------------------------------------------- readings

async function corrected(say) {
  await comesNext("Seat post clamp");
  await check("a wrench that shows less than there is: its own figure and what is within on it stand below the torque", async () => {
    const setting = await settingOf("w1");
    assert.ok(setting.set_millinewton_metre < 5000, `${setting.set_millinewton_metre}`);
    await says("#next .setting-quiet", new RegExp(`shows ${hundredths(setting.set_millinewton_metre)} N·m there\\. Within from 4\\.\\d+ to 5\\.\\d+ N·m`));
    assert.equal(await read(phone, "#next .aim b"), "5");
  });
  const { last } = await pull(say, "5.02");
  await check("the last reading shows what was displayed and, beside it, what was judged and how sure that is", async () => {
    assert.ok(last.expanded_millinewton_metre > 0 && last.applied_millinewton_metre !== 5020);
    await says("#last .last-judged", new RegExp(`judged ${last.applied_millinewton_metre / 1000} ± 0\\.\\d{1,3} N·m`));
  });
}

async function mayBeOver(say) {
  await comesNext("Handlebar clamp");
  await check("a plan's note and a rule that is not the simple one are said", () => says("#next .details", /Both gaps the same width.*Rule\s?guarded\s?both limits are moved in/));
  const build = await pull(say, "6.55");
  await check("undecided at the upper limit: said in a word and with its probability, and a disposition is asked for", async () => {
    assert.deepEqual([build.last.answer, build.last.may_be_over, build.alarms.length], ["undecided", true, 0]);
    await says("#last", /Undecided.*only a person can settle it.*over with a probability of \d+ %/);
    await says(".over-panel.may-be-over", /May be over, a disposition is needed.*Handlebar clamp.*Another pull cannot settle it/);
    await says("#handover", /1 reading may be over and waits for a disposition/);
    assert.equal(await phone.locator("#list .is-undecided .mark-undecided").count(), 1);
  });
  await check("undone and tightened again settles it", async () => {
    await phone.locator(".may-be-over .choice", { hasText: "Undone" }).tap();
    await phone.locator(".may-be-over textarea").fill("a turn back and again");
    await phone.locator(".may-be-over button.main").tap();
    for (const page of both) await page.locator(".over-panel").waitFor({ state: "detached" });
  });
}

async function mayBeUnder(say) {
  pullmark("fastener", "next", "tandem", "a.bar", "--by", MECHANIC);
  const build = await pull(say, "5.41");
  await check("undecided at the lower limit: nothing is asked, another pull settles it", async () => {
    assert.deepEqual([build.last.answer, build.last.may_be_over], ["undecided", false]);
    await says("#last", /Undecided.*straddles the lower limit: pull again/);
    assert.equal(await phone.locator(".over-panel").count(), 0);
    assert.equal(await phone.locator("#list .is-undecided .mark-undecided-low").count(), 1);
    await pull(say, "5.97");
    await says("#last", /Within/);
  });
}

// ---------------------------------------------------------------------------------------------------- adapters and settings

async function adapters(say) {
  await comesNext("Brake mount bolt");
  await check("a straight extension is said to change nothing", () => says("#next .details", /extension, 100 mm\s?the torque stays the same/));
  await pull(say, "7.96");
  await comesNext("Pedal, left");
  await check("an adapter that changes the torque is asked for before the figure, and put on by one touch", async () => {
    await says("#next .adapter-row", /Put on Bench wrench: crow-foot, 15 mm/);
    await settle(phone);
    await phone.locator("[data-key='fit w1']").tap();
    await until("it is on", async () => (await toolView("w1")).fitted?.is_offset === true);
  });
  await check("with it on, the page says large what to read on the wrench for 40 N·m at the fastener", async () => {
    const { set_millinewton_metre: set } = await settingOf("w1");
    assert.ok(Math.abs(set / 1000 - 40 * 280 / 326.7) < 0.3, `${set}`); // the lever rule; the rest is the certificate's correction
    await says("#next .setting", new RegExp(`Read ${hundredths(set)} N·m on Bench wrench ?for 40 N·m at the fastener, with crow-foot, 15 mm`));
    const sizes = await phone.evaluate(() => [".setting-figure b", ".aim b"].map((part) => document.querySelector(`#next ${part}`).getBoundingClientRect().height));
    assert.ok(sizes[0] > sizes[1], `${sizes}`);
    assert.ok(await isNoWider(phone));
  });
  await overWithAdapter(say);
  const { last } = await pull(say, "34.38");
  await check("the reading is judged at the fastener", async () => {
    assert.equal(last.answer, "within");
    assert.ok(Math.abs(last.applied_millinewton_metre - 40_000) < 300, `${last.applied_millinewton_metre}`);
    await says("#last", /34\.38 N·m.*judged.*(39|40)\.\d+ ± .*Pulled with an offset adapter/);
  });
  await comesNext("Crank bolt");
  await check("where the plan asks for none it is asked to be taken off, by one touch", async () => {
    await says("#next .adapter-row", /Take off Bench wrench: crow-foot/);
    await phone.locator("[data-key='take off w1']").tap();
    await until("it is off", async () => (await toolView("w1")).fitted === null);
    for (const page of both) await page.locator("#next .adapter-row").waitFor({ state: "detached" });
  });
}

// Less than the limit on the display, and more at the fastener.
async function overWithAdapter(say) {
  await phone.waitForTimeout(350);
  say("38.50");
  await check("an over reading with an adapter: the alarm shows what was displayed and what it is at the fastener", async () => {
    for (const page of both) await page.locator(".alarm").waitFor();
    await says(".alarm", /Pedal, left.*38\.50 N·m.*Judged 44\.\d+ N·m, at the fastener\. ?The limit is 44 N·m/);
    assert.ok(await isNoWider(phone));
    await settle(phone);
    await phone.locator(".acknowledge").tap();
    for (const page of both) await page.locator(".alarm").waitFor({ state: "detached" });
    await settle(phone);
    await phone.locator(".held-panel .candidate", { hasText: "Pedal, left" }).first().tap();
    await phone.locator(".over-panel .choice", { hasText: "Undone" }).tap();
    await phone.locator(".over-panel textarea").fill("crow-foot forgotten");
    await phone.locator(".over-panel button.main").tap();
    await phone.locator(".over-panel").waitFor({ state: "detached" });
  });
  pullmark("fastener", "next", "tandem", "a.pedal", "--by", MECHANIC);
  await comesNext("Pedal, left");
}

async function clickWrench() {
  writeFileSync(join(folder, "c1.toml"), CLICK);
  pullmark("tool", "add", join(folder, "c1.toml"));
  await phone.locator("[data-key='tool c1']").tap();
  await phone.locator("[data-key='serve tandem']").tap();
  await check("a click wrench is told what to be set to, and its certificate is said to be past due", async () => {
    await says("#next .setting", /Set Click wrench to 48 N·m/);
    await says("[data-key='tool c1'] .tool-flag", /past due/);
    await phone.locator("[data-key='tool c1']").tap();
    assert.match(await read(phone, ".sheet .loud"), /Past due since 2025-03-01: have it calibrated/);
  });
  await check("a check of it is typed, both figures of every pull; a row without its other figure is refused", async () => {
    await phone.locator("[data-key='check c1']").tap();
    const type = (key, value) => phone.locator(`[data-key='check c1 ${key}']`).fill(value);
    for (const [index, reference] of ["20.1", "20,2"].entries()) { await type(`shown ${index}`, "20"); await type(`reference ${index}`, reference); }
    await type("shown 2", "20");
    await type("against", "reference RF-1, certificate TM-0502");
    await phone.locator("[data-key='check c1 send']").tap();
    await until("it is refused", async () => /what the reference showed at pull 3/.test(await read(phone, "#refusal")));
    await phone.locator("#refusal button").tap();
    await phone.locator("[data-key='check c1 more']").tap();
    assert.equal(await phone.locator(".check-row").count(), 6);
    assert.equal(await phone.locator("[data-key='check c1 reference 1']").inputValue(), "20,2");
    await type("shown 2", "");
    await phone.locator("[data-key='check c1 send']").tap();
    await until("it is kept", async () => (await toolView("c1")).checks.length === 1);
    assert.deepEqual((await toolView("c1")).checks[0].pulls, 2);
    await phone.locator(".sheet .plot-checks").waitFor();
    await phone.locator("[data-key=close]").tap();
  });
}

// ---------------------------------------------------------------------------------------------------- the tool's sheet

async function certificateShown() {
  await phone.locator("[data-key='tool w1']").tap();
  await check("the certificate's points are drawn to scale between the class limits, and told in words", async () => {
    const plot = await phone.locator(".plot-certificate").evaluate((svg) => ({
      points: [...svg.querySelectorAll(".point")].map((point) => [Number(point.getAttribute("cx")), Number(point.getAttribute("cy"))]),
      limits: [...svg.querySelectorAll(".limit")].map((line) => Number(/^M\S+ (\S+)H/.exec(line.getAttribute("d"))[1])),
      named: svg.getAttribute("aria-labelledby").split(" ").map((id) => document.getElementById(id).textContent),
    }));
    const { class_ppm: classPpm } = await toolView("w1");
    assert.equal(plot.points.length, POINTS.length);
    const [upper, lower] = [Math.min(...plot.limits), Math.max(...plot.limits)];
    POINTS.forEach(([shown, reference], index) => {
      const percent = (shown / reference - 1) * 100;
      const drawn = ((lower + upper) / 2 - plot.points[index][1]) / ((lower - upper) / 2) * classPpm / 1e4;
      assert.ok(Math.abs(drawn - percent) < 0.02, `${drawn} for ${percent} %`);
    });
    assert.match(words(plot.named.join(" ")), /TM-0418.*at 4\.02 N·m −0\.50 %, plus or minus 1\.00 %.*class limit is 4 %/);
    assert.match(await read(phone, ".sheet"), /Certificate TM-0418.*Tarn Metrology, .*; due /);
    assert.ok(await isNoWider(phone));
  });
}

async function checked(say, shown, reference) {
  await phone.locator("[data-key='check w1']").tap();
  await phone.locator(".checking").waitFor();
  for (const [index, value] of shown.entries()) {
    await phone.waitForTimeout(350);
    say(value);
    await phone.locator(`[data-key='checking w1 ${index}']`).waitFor();
    await phone.locator(`[data-key='checking w1 ${index}']`).fill(reference);
  }
  await phone.locator("[data-key='checking w1 against']").fill("reference RF-1, certificate TM-0502");
}

async function checkAgainstReference(say) {
  const before = await buildView();
  await check("a check by touch: its pulls appear as they come and count for no fastener; what is typed stays", async () => {
    await checked(say, ["10.00", "10.02", "9.99"], "10.04");
    await says("#next .tool-notice", /Bench wrench is being checked against a reference/);
    assert.deepEqual(await phone.locator(".check-row b").allTextContents(), ["10", "10.02", "9.99"]);
    assert.equal(await phone.locator("[data-key='checking w1 0']").inputValue(), "10.04");
    assert.equal((await buildView()).last.sequence, before.last.sequence);
    assert.ok(await isNoWider(phone));
    await phone.locator("[data-key='checking w1 send']").tap();
    await phone.locator(".plot-checks").waitFor();
    assert.equal((await toolView("w1")).check_state, "quiet");
    assert.match(await read(phone, ".check-state"), /Well inside its limit/);
    assert.equal(await phone.locator(".plot-checks circle.point").count(), 1);
  });
  await check("a check can be given up", async () => {
    await phone.locator("[data-key='check w1']").tap();
    await phone.locator("[data-key='give up w1']").tap();
    await phone.locator(".checking").waitFor({ state: "detached" });
    assert.equal((await toolView("w1")).checks.length, 1);
  });
  await check("a check beyond the limit is drawn as such and said loudly, on the tool's chip too", async () => {
    await checked(say, ["10.00", "10.01"], "9.2");
    await phone.locator("[data-key='checking w1 send']").tap();
    await phone.locator(".sheet .loud").waitFor();
    assert.equal(await phone.locator(".plot-checks .point.beyond").count(), 1);
    assert.match(await read(phone, ".sheet .loud"), /beyond its limit: do not use it/);
    await says("[data-key='tool w1'] .tool-flag", /check beyond limit/);
    assert.ok(await isNoWider(phone));
    await phone.locator("[data-key=close]").tap();
  });
}

// ---------------------------------------------------------------------------------------------------- figures and recalls

async function processFigures() {
  await check("process figures by kind, tool and mechanic: what is drawn is what the daemon answers, and too few is said", async () => {
    await phone.locator("[data-key=stats]").tap();
    for (const group of ["kind", "tool", "mechanic"]) {
      await phone.locator(`[data-key='stats ${group}']`).tap();
      const { groups } = await (await fetch(`${address}v1/stats?group=${group}`)).json();
      assert.ok(groups.length > 0, group);
      await until(`${group} is drawn`, async () => await phone.locator(".stats-group").count() === groups.length);
      await phone.locator(`[data-key='stats ${group}'][aria-pressed=true]`).waitFor();
      await until(`${group} is told`, async () => (await phone.locator(".stats-group desc").allTextContents()).every((told, i) => told.includes(groups[i].counts.join(", "))));
      for (const [i, { too_few: tooFew, counts }] of groups.entries()) {
        const part = phone.locator(".stats-group").nth(i);
        assert.equal(await part.locator(".plot-places .bar").count(), counts.filter((n) => n > 0).length);
        assert.equal(await part.locator(".too-few").count(), tooFew ? 1 : 0);
        if (!tooFew) assert.match(words(await part.textContent()), /[CP]pk? -?\d+\.\d\d.*95 % confidence/);
      }
      assert.ok(await isNoWider(phone));
    }
    await phone.keyboard.press("Escape");
    await phone.locator(".sheet").waitFor({ state: "detached" });
  });
}

async function recalled(say) {
  await comesNext("Crank bolt");
  await pull(say, "48.02");
  await phone.locator("[data-key=finish]").tap();
  const sure = phone.locator(".sheet textarea");
  if (await sure.count() > 0) await sure.fill("each of them was looked at");
  await phone.locator("[data-key='finish now']").tap();
  await phone.locator("[data-key=seal]").tap();
  await phone.locator("a[data-key=record]").waitFor();
  const today = (await buildView()).last.time.slice(0, 10);
  const text = certificate("TM-0555", today, day(365), (point) => POINTS.map(([shown, reference, expanded]) => `[[point]]\n${point([shown, Number((reference * 1.12).toFixed(3)), expanded])}`).join(""));
  const asked = { act: "recall", serial: "SIM-2207", format: "toml", text, drift: "at-once", by: MECHANIC };
  const answer = await fetch(`${address}v1/acts`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(asked) });
  assert.ok(answer.ok, await answer.text());
  await check("a recall appears on both pages by itself: how many readings, and what each fastener is now", async () => {
    const [recall] = (await buildView()).recalled;
    assert.ok(recall.out > 0, JSON.stringify(recall));
    await says("#next .loud", new RegExp(`Recalled: ${recall.out + recall.doubtful} readings? to look at again; the record has to be amended`));
    await says("#handover .recalled", /Bench wrench was found changed.*Seat post clamp: 5\.\d+ ± 0\.\d+ N·m, over now/);
    assert.ok(await isNoWider(phone));
  });
  await check("the amended record is sealed by touch, and nothing waits any more", async () => {
    await phone.locator("[data-key=amend]").tap();
    for (const page of both) await page.locator(".recalled").waitFor({ state: "detached" });
    assert.deepEqual((await buildView()).recalled, []);
  });
}

async function theDay() {
  const say = await plug("w1", "Bench wrench", "SIM-2207", WRENCH);
  writeFileSync(join(folder, "plan.toml"), PLAN);
  pullmark("build", "start", join(folder, "plan.toml"), "--frame", "TN-1", "--label", "Tandem", "--tool", "w1", "--by", MECHANIC);
  await phone.locator("#by").fill(MECHANIC);
  await phone.mouse.click(4, 4);
  await corrected(say);
  await mayBeOver(say);
  await mayBeUnder(say);
  await adapters(say);
  await clickWrench();
  await certificateShown();
  await checkAgainstReference(say);
  await processFigures();
  await recalled(say);
  await check("nothing is wider than the phone, and no page had a fault", async () => {
    assert.ok(await isNoWider(phone));
    assert.deepEqual(faults, []);
  });
}

await run(theDay, phone);
