// Process figures: how the torques of a group lie between their limits, and how wide they spread.

import { placesPlot } from "./charts.js";
import { BOLD, button, h } from "./elements.js";
import { decimals, signed } from "./figures.js";
import { ask } from "./live.js";
import { placeSaid, problemSaid, tooFewSaid } from "./said.js";
import { openSheet } from "./sheet.js";
import { redraw, state, toolTitle } from "./state.js";
import { rich, t } from "./tongue.js";
import { capital } from "./words.js";

const GROUPS = [["kind", t("stats-by-kind")], ["tool", t("stats-by-tool")], ["mechanic", t("stats-by-mechanic")]];

let asked = null; // what was asked last: for which group, after which entry

export function openStats(group = "kind") {
  asked = null;
  state.stats = null;
  // From one group to another the focus stays on the button.
  if (state.sheet?.kind === "stats") { state.sheet = { kind: "stats", group }; redraw(); return; }
  openSheet({ kind: "stats", group });
}

// Asks again when the ledger has gone on. An answer that came too late for its question is left aside.
function refresh(group) {
  const question = `${group} ${state.view?.sequence}`;
  if (asked === question) return;
  asked = question;
  ask(`/v1/stats?group=${group}`).then((answer) => {
    if (asked !== question) return;
    state.stats = answer.ok ? { group, groups: answer.body.groups } : { group, trouble: problemSaid(answer) };
    redraw();
  }, () => {
    if (asked !== question) return;
    asked = null;
    state.stats = { group, trouble: t("no-answer") };
    redraw();
  });
}

export function shownOfStats(sheet) {
  if (state.stats?.trouble === undefined || asked !== null) refresh(sheet.group);
  return [sheet, state.stats];
}

export function statsSheet(sheet) {
  const known = state.stats?.group === sheet.group ? state.stats : null;
  return [
    h("h2", { id: "sheet-title" }, t("stats")),
    h("p", {}, t("stats-what")),
    h("div", { class: "quick tabs", "data-arrows": true }, GROUPS.map(([group, word]) => {
      const tab = button(`stats ${group}`, "plain", () => openStats(group), word);
      tab.setAttribute("aria-pressed", String(group === sheet.group));
      return tab;
    })),
    known?.trouble && h("p", { class: "caution" }, known.trouble),
    !known && h("p", {}, t("asking")),
    known?.groups?.length === 0 && h("p", {}, t("stats-nothing")),
    known?.groups?.map((group) => groupPart(sheet.group, group)),
  ];
}

const hundredths = (value) => decimals(value / 1000, 2);
const place = (value) => `${signed(value / 10, 1).replace("+", "")}\u00a0%`;

const groupName = (by, name) => (by === "kind" ? capital(placeSaid({ name: name.replaceAll(" ", "-"), title: name.replaceAll("-", " ") })) : by === "tool" ? toolTitle(name) : name);

function groupPart(by, group) {
  const name = groupName(by, group.name);
  return h("section", { class: "part stats-group", "aria-label": name },
    h("h3", {}, name, h("span", { class: "quiet" }, t("fasteners", { n: group.readings }))),
    placesPlot(group, name),
    group.too_few
      ? h("p", { class: "too-few" }, rich("stats-too-few", { why: capital(tooFewSaid(group.too_few)) }, BOLD))
      : h("ul", { class: "plain-list" },
        h("li", {}, t("stats-mean", { mean: place(group.mean_thousandths), deviation: place(group.deviation_thousandths) })),
        group.cp && h("li", {}, indexWords(group.cp, "middle")),
        group.cpk && h("li", {}, indexWords(group.cpk, "nearer"))));
}


// One is where three standard deviations to both sides just fit. Only what the whole interval says is said for sure.
function indexWords({ name, value_thousandths: value, from_thousandths: from, to_thousandths: to }, where) {
  const fits = from >= 1000 ? "yes" : to < 1000 ? "no" : "open";
  const spread = name.startsWith("C") ? "within" : "whole";
  return rich("stats-index", { index: `${name} ${hundredths(value)}`, from: hundredths(from), to: hundredths(to), said: t(`stats-fits-${where}`, { fits, spread: t(`stats-spread-${spread}`) }) }, BOLD);
}
