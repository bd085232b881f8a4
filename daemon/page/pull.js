// What a tool shows while a pull lasts: large, beside the target and the limits. It is no reading and no verdict: those come
// as entries when the pull is over, and then this vanishes.

import { h } from "./elements.js";
import { decimals, figure as torqueFigure, inUnit, torque, unit } from "./figures.js";
import { mark, practiceMark, shape } from "./marks.js";
import { findFastener, nextOf, serves, state } from "./state.js";
import { t } from "./tongue.js";
import { bikeName, limitsInWords } from "./words.js";

const WIDTH = 1000;
const SILENT_MS = 3000; // a pull whose values stop coming is no longer shown

const pulls = new Map(); // tool -> {value, parts, heard}

// One value of the event stream. Drawn by itself, not with the whole page: there are 60 of them a second.
export function heardLive(event) {
  let value;
  try { value = JSON.parse(event.data); } catch { return; }
  if (!value.pulling) { drop(value.tool); return; }
  let pull = pulls.get(value.tool);
  if (!pull || pull.about !== about(value)) {
    drop(value.tool);
    pull = { about: about(value), parts: panel(value) };
    pulls.set(value.tool, pull);
    const place = document.getElementById("pull");
    place.append(pull.parts.box);
    place.hidden = false;
  }
  clearTimeout(pull.end);
  pull.end = setTimeout(() => drop(value.tool), SILENT_MS);
  show(pull.parts, value);
}

const about = (value) => [value.build, value.fastener, JSON.stringify(value.limits)].join(" ");

function drop(tool) {
  const pull = pulls.get(tool);
  if (!pull) return;
  clearTimeout(pull.end);
  pull.parts.box.remove();
  pulls.delete(tool);
  document.getElementById("pull").hidden = pulls.size === 0;
}

// Without the daemon nothing is known of the pull any more.
export function dropAll() {
  for (const tool of [...pulls.keys()]) drop(tool);
}

function panel(value) {
  const build = state.view?.builds.find((known) => known.id === value.build);
  const tool = state.view?.tools.find((known) => known.tool.id === value.tool);
  const next = build && nextOf(build);
  const figure = h("b", {}, "");
  const word = h("p", { class: "pull-word" });
  const open = (state.view?.builds || []).filter((known) => !known.finished).length;
  const parts = { figure, word, box: null, arrow: null, limits: value.limits, top: 0, said: null };
  const aim = next?.fastener === value.fastener ? next.aim_millinewton_metre : null;
  const bar = value.limits && barOf(parts, value.limits, aim);
  parts.box = h("section", { class: "pull", "aria-label": t("pull-of", { tool: tool?.tool.title || value.tool }) },
    h("div", { class: "pull-text" },
      h("p", { class: "label" }, tool?.tool.title || value.tool, tool && serves(tool) && open > 1 ? `, ${bikeName(serves(tool))}` : ""),
      h("p", { class: "pull-title" }, value.title || t("pull-nothing-expected")),
      value.limits && h("p", { class: "pull-limits" }, aim ? t("pull-aim", { aim: torque(aim), limits: limitsInWords(value.limits) }) : limitsInWords(value.limits), build && practiceMark(findFastener(build, value.fastener))),
      word),
    h("p", { class: "pull-figure" }, figure, h("span", {}, unit.symbol)),
    bar);
  return parts;
}

// Torque from nothing to somewhat above the upper limit: a band between the limits, a tick at the target, a wedge at the value.
function barOf(parts, limits, aim) {
  const upper = limits.upper_millinewton_metre;
  const lower = limits.lower_millinewton_metre ?? 0;
  parts.top = Math.max(upper * 1.3, upper + (upper - lower));
  const x = (milli) => 10 + Math.min(Math.max(milli, 0), parts.top) * (WIDTH - 20) / parts.top;
  parts.x = x;
  const svg = shape("svg", { viewBox: `0 0 ${WIDTH} 150`, class: "pull-bar", "aria-hidden": "true" });
  const word = (at, y, text, anchor) => { const element = shape("text", { x: at.toFixed(1), y, "text-anchor": anchor }); element.textContent = text; return element; };
  const fill = shape("path", { d: "", class: "pull-fill" });
  parts.fill = fill;
  parts.arrow = shape("path", { d: "M-22 0L0 38L22 0z", class: "pull-arrow" });
  svg.append(shape("path", { d: `M10 56H${WIDTH - 10}V96H10z`, class: "pull-ground" }),
    shape("path", { d: `M${x(lower)} 56H${x(upper)}V96H${x(lower)}z`, class: "pull-band" }), fill,
    shape("path", { d: `M${x(upper)} 44V108`, class: "pull-limit" }), word(x(upper), 138, torqueFigure(upper), "middle"));
  if (lower > 0) svg.append(shape("path", { d: `M${x(lower)} 44V108`, class: "pull-limit" }), word(x(lower), 138, torqueFigure(lower), x(upper) - x(lower) < 110 ? "end" : "middle"));
  if (aim) svg.append(shape("path", { d: `M${x(aim)} 56V108`, class: "pull-aim" }));
  svg.append(parts.arrow);
  return svg;
}

function show(parts, value) {
  const applied = value.applied_millinewton_metre;
  const figure = value.past_range ? PAST : running(applied);
  parts.figure.textContent = figure;
  parts.box.dataset.number = value.number;
  parts.box.classList.toggle("is-over", value.over);
  if (parts.arrow && applied !== null) {
    parts.arrow.setAttribute("transform", `translate(${parts.x(applied).toFixed(1)} 14)`);
    parts.fill.setAttribute("d", `M10 68H${parts.x(applied).toFixed(1)}V84H10z`);
  }
  const [name, word] = stand(value);
  if (parts.said === word) return;
  parts.said = word;
  parts.word.replaceChildren(mark(name), h("span", {}, word));
}

// While it runs the figure has the same length all the time; the verdict has every digit. It goes to the side of more.
const DIGITS = Math.max(unit.decimals - 1, 0);
const running = (milli) => decimals(Math.ceil(inUnit(milli) * 10 ** DIGITS - 1e-6) / 10 ** DIGITS, DIGITS);

// Said 60 times a second: looked up once.
const PAST = t("pull-past-range");
const STAND = {
  over: ["over", t("pull-over")], none: ["open", t("pull-no-limits")], above: ["over", t("pull-above")],
  below: ["under", t("pull-below")], between: ["part-way", t("pull-between")],
};

function stand(value) {
  if (value.over) return STAND.over;
  if (!value.limits) return STAND.none;
  if (value.applied_millinewton_metre > value.limits.upper_millinewton_metre) return STAND.above;
  const lower = value.limits.lower_millinewton_metre ?? 0;
  return value.applied_millinewton_metre < lower ? STAND.below : STAND.between;
}
