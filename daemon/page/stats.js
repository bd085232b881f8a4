// Process figures: how the torques of a group lie between their limits, and how wide they spread.

import { placesPlot } from "./charts.js";
import { button, h } from "./elements.js";
import { ask } from "./live.js";
import { openSheet } from "./sheet.js";
import { redraw, state, toolTitle } from "./state.js";
import { capital, count, signed } from "./words.js";

const GROUPS = [["kind", "By kind of fastener"], ["tool", "By tool"], ["mechanic", "By mechanic"]];

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
    state.stats = answer.ok ? { group, groups: answer.body.groups } : { group, trouble: answer.body?.detail || `The daemon answered with status ${answer.status}.` };
    redraw();
  }, () => {
    if (asked !== question) return;
    asked = null;
    state.stats = { group, trouble: "No answer from the daemon." };
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
    h("h2", { id: "sheet-title" }, "Process figures"),
    h("p", {}, "Each torque is taken as its place between its own limits: 0 % is the lower limit, 100 % the upper one. The highest pull that counts of every fastener is taken."),
    h("div", { class: "quick tabs", "data-arrows": true }, GROUPS.map(([group, word]) => {
      const tab = button(`stats ${group}`, "plain", () => openStats(group), word);
      tab.setAttribute("aria-pressed", String(group === sheet.group));
      return tab;
    })),
    known?.trouble && h("p", { class: "caution" }, known.trouble),
    !known && h("p", {}, "Asking the daemon …"),
    known?.groups?.length === 0 && h("p", {}, "Nothing to count yet: no fastener with two limits was tightened."),
    known?.groups?.map((group) => groupPart(sheet.group, group)),
  ];
}

const thousandths = (value) => (value / 1000).toFixed(2);
const place = (value) => `${signed(value / 10, 1).replace("+", "")}\u00a0%`;

const groupName = (by, name) => (by === "kind" ? capital(name.replaceAll("-", " ")) : by === "tool" ? toolTitle(name) : name);

function groupPart(by, group) {
  const name = groupName(by, group.name);
  return h("section", { class: "part stats-group", "aria-label": name },
    h("h3", {}, name, h("span", { class: "quiet" }, count(group.readings, "fastener", "fasteners"))),
    placesPlot(group, name),
    group.too_few
      ? h("p", { class: "too-few" }, h("b", {}, "Too few for figures. "), capital(group.too_few))
      : h("ul", { class: "plain-list" },
        h("li", {}, `Mean at ${place(group.mean_thousandths)}, standard deviation ${place(group.deviation_thousandths)} of the tolerance`),
        group.cp && h("li", {}, indexName(group.cp), indexWords(group.cp, spreadOf(group.cp), "between the limits, if it lay in the middle")),
        group.cpk && h("li", {}, indexName(group.cpk), indexWords(group.cpk, `${spreadOf(group.cpk)}, where it lies,`, "inside the nearer limit"))));
}

const indexName = (index) => h("b", {}, `${index.name} ${thousandths(index.value_thousandths)}`);
const spreadOf = (index) => (index.name.startsWith("C") ? "the spread within a bike" : "the whole spread");

// One is where three standard deviations to both sides just fit. Only what the whole interval says is said for sure.
function indexWords({ from_thousandths: from, to_thousandths: to }, what, where) {
  const said = from >= 1000 ? `${what} fits ${where}` : to < 1000 ? `${what} does not fit ${where}` : `it is not shown whether ${what} fits ${where}`;
  return `: with 95 % confidence between ${thousandths(from)} and ${thousandths(to)}, so ${said} (1 is the least that fits)`;
}
