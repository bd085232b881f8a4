// Plots: axes with units, limits as lines, and the same in words for those who do not see it. What a point means is said by
// its shape, what a line means by how it is broken; colour only repeats it.

import { h } from "./elements.js";
import { decimals, figure as torqueFigure, inUnit, marked, percent, signed, torque, unbroken, unit } from "./figures.js";
import { shape } from "./marks.js";
import { t } from "./tongue.js";
import { answerWord, day, limitsInWords, listed, shortClock } from "./words.js";

const WIDTH = 360;
const EDGE = { left: 46, right: 10, bottom: 46 };

const torqueAxis = t("plot-torque", { unit: unit.symbol });
const plain = (value) => marked(String(Number(value.toFixed(2))));

let plots = 0;

// Round steps of 1, 2 or 5: at most `most` of them between two ends.
export function ticks(from, to, most) {
  const rough = Math.max((to - from) / most, 1e-9);
  const ten = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((n) => n * ten).find((size) => size >= rough * 0.999);
  const first = Math.ceil(from / step - 1e-6);
  const last = Math.floor(to / step + 1e-6);
  return { step, at: Array.from({ length: last - first + 1 }, (_, i) => (first + i) * step) };
}

function text(x, y, word, extra = {}) {
  const element = shape("text", { x: x.toFixed(1), y: y.toFixed(1), ...extra });
  element.textContent = word;
  return element;
}

const path = (d, name) => shape("path", { d, class: name });

// A plot with its axes; `x` and `y` are {from, to, label, at, word}. Gives where a value lies, for what is drawn into it.
function plot({ name, title, told, x, y, height = 240, top = 14 }) {
  plots += 1;
  const names = [`plot-title-${plots}`, `plot-told-${plots}`];
  const svg = shape("svg", { viewBox: `0 0 ${WIDTH} ${height}`, class: `plot plot-${name}`, role: "img", "aria-labelledby": names.join(" ") });
  const said = (kind, id, words) => { const element = shape(kind, { id }); element.textContent = words; return element; };
  const bottom = height - EDGE.bottom;
  const right = WIDTH - EDGE.right;
  const px = (value) => EDGE.left + (value - x.from) * (right - EDGE.left) / (x.to - x.from);
  const py = (value) => bottom - (value - y.from) * (bottom - top) / (y.to - y.from);
  svg.append(said("title", names[0], title), said("desc", names[1], told));
  for (const value of y.at) svg.append(path(`M${EDGE.left} ${py(value).toFixed(1)}H${right}`, "grid"), text(EDGE.left - 6, py(value) + 5, y.word(value), { "text-anchor": "end" }));
  for (const value of x.at) svg.append(path(`M${px(value).toFixed(1)} ${bottom}v5`, "axis"), text(px(value), bottom + 19, x.word(value), { "text-anchor": "middle" }));
  svg.append(path(`M${EDGE.left} ${top}V${bottom}H${right}`, "axis"),
    text((EDGE.left + right) / 2, height - 6, x.label, { "text-anchor": "middle", class: "axis-name" }),
    text(0, 0, y.label, { "text-anchor": "middle", class: "axis-name", transform: `translate(12 ${((top + bottom) / 2).toFixed(1)}) rotate(-90)` }));
  return { svg, px, py, top, bottom, right };
}

const level = (place, value, name) => path(`M${EDGE.left} ${place.py(value).toFixed(1)}H${place.right}`, name);
const disc = (x, y) => shape("circle", { cx: x.toFixed(1), cy: y.toFixed(1), r: 5, class: "point" });
const lozenge = (x, y) => path(`M${(x - 8).toFixed(1)} ${y.toFixed(1)}l8 -9l8 9l-8 9z`, "point beyond");
const wedge = (x, y) => path(`M${(x - 7).toFixed(1)} ${(y + 6).toFixed(1)}l7 -13l7 13z`, "point warns");
const POINT = { quiet: disc, warns: wedge, beyond: lozenge };

// What a line or a point means, as a row below the plot.
function legend(rows) {
  return h("ul", { class: "legend" }, rows.filter(Boolean).map(([draw, words]) => {
    const svg = shape("svg", { viewBox: "0 0 40 20", class: "plot swatch", "aria-hidden": "true" });
    svg.append(...[draw].flat());
    return h("li", {}, svg, h("span", {}, words));
  }));
}
const line = (name) => path("M2 10H38", name);

const figure = (place, rows) => h("figure", { class: "figure-plot" }, place.svg, legend(rows));

// Per cent to both sides of nothing.
function deviations(most, label) {
  const end = Math.max(most, 0.1) * 1.12;
  const { at, step } = ticks(-end, end, 6);
  return { from: -end, to: end, at, label, word: (value) => signed(value, step) };
}

// What a certificate says: how far the display is off over the torque, with the laboratory's uncertainty.
export function certificatePlot(certificate, classPpm) {
  const points = certificate.points.map((point) => ({
    torque: inUnit(point.reference_micronewton_metre / 1e3),
    off: (point.indicated_micronewton_metre / point.reference_micronewton_metre - 1) * 100,
    expanded: point.expanded_micronewton_metre / point.reference_micronewton_metre * 100,
  })).sort((a, b) => a.torque - b.torque);
  const limit = classPpm / 1e4;
  const to = Math.max(...points.map((point) => point.torque)) * 1.06;
  const place = plot({
    name: "certificate", title: t("plot-certificate", { number: certificate.number }),
    told: t("plot-certificate-told", {
      points: listed(points.map((point) => t("plot-certificate-point", { torque: `${decimals(point.torque, 2)} ${unit.symbol}`, off: signed(point.off, 0.01), expanded: decimals(point.expanded, 2) }))),
      limit: percent(classPpm),
    }),
    x: { from: 0, to, at: ticks(0, to, 6).at, label: torqueAxis, word: plain },
    y: deviations(Math.max(limit, ...points.map((point) => Math.abs(point.off) + point.expanded)), t("plot-deviation")),
  });
  const { svg, px, py } = place;
  svg.append(level(place, 0, "zero"), level(place, limit, "limit"), level(place, -limit, "limit"));
  svg.append(path(`M${points.map((point) => `${px(point.torque).toFixed(1)} ${py(point.off).toFixed(1)}`).join("L")}`, "curve"));
  for (const { torque, off, expanded } of points) {
    const [x, high, low] = [px(torque), py(off + expanded), py(off - expanded)].map((value) => value.toFixed(1));
    svg.append(path(`M${x} ${high}V${low}M${(x - 5).toFixed(1)} ${high}h10M${(x - 5).toFixed(1)} ${low}h10`, "whisker"), disc(px(torque), py(off)));
  }
  return figure(place, [
    [[path("M20 2V18M15 2h10M15 18h10", "whisker"), disc(20, 10)], t("plot-certificate-legend")],
    [line("limit"), t("plot-class-limit", { percent: percent(classPpm) })],
  ]);
}

// The control chart of a tool's checks against a reference.
export function checksPlot(checks, classPpm) {
  const limit = classPpm / 1e4;
  const of = (ppm) => ppm / 1e4;
  const most = Math.max(limit, ...checks.flatMap((check) => [check.deviation_ppm, check.average_ppm, check.warning_ppm].map((ppm) => Math.abs(of(ppm)))));
  const to = Math.max(checks.length, 5) + 0.5;
  const last = checks.at(-1);
  const place = plot({
    name: "checks", title: t("plot-checks"),
    told: t("plot-checks-told", {
      n: checks.length, first: day(checks[0].time), last: day(last.time), deviation: signed(of(last.deviation_ppm), 0.01), average: signed(of(last.average_ppm), 0.01),
      warning: percent(last.warning_ppm), limit: percent(classPpm),
    }),
    x: { from: 0.5, to, at: ticks(1, to, 7).at.filter((value) => value >= 1 && Number.isInteger(value)), label: t("plot-check"), word: String },
    y: deviations(most, t("plot-deviation")),
  });
  const { svg, px, py } = place;
  const steps = (sign) => checks.map((check, i) => `${i ? "L" : "M"}${px(i + 0.5).toFixed(1)} ${py(sign * of(check.warning_ppm)).toFixed(1)}L${px(i + 1.5).toFixed(1)} ${py(sign * of(check.warning_ppm)).toFixed(1)}`).join("");
  svg.append(level(place, 0, "zero"), level(place, limit, "limit"), level(place, -limit, "limit"), path(steps(1), "warning"), path(steps(-1), "warning"));
  svg.append(path(`M${checks.map((check, i) => `${px(i + 1).toFixed(1)} ${py(of(check.average_ppm)).toFixed(1)}`).join("L")}`, "curve"));
  checks.forEach((check, i) => svg.append(POINT[check.state](px(i + 1), py(of(check.deviation_ppm)))));
  return figure(place, [
    [disc(20, 10), t("plot-check-point")],
    checks.some((check) => check.state === "warns") && [wedge(20, 10), t("plot-check-warns")],
    checks.some((check) => check.state === "beyond") && [lozenge(20, 10), t("plot-check-beyond")],
    [line("curve"), t("plot-weighted")],
    [line("warning"), t("plot-warning", { percent: percent(last.warning_ppm) })],
    [line("limit"), t("plot-class-limit", { percent: percent(classPpm) })],
  ]);
}

const ANSWER = { within: disc, under: (x, y) => wedge(x, y), over: lozenge, undecided: (x, y) => shape("rect", { x: (x - 5).toFixed(1), y: (y - 5).toFixed(1), width: 10, height: 10, class: "point" }) };

// The pulls on one fastener in their order, against the limits of its last pass.
export function historyPlot(rows, fastener) {
  const { lower_millinewton_metre: lower, upper_millinewton_metre: upper } = fastener.limits;
  const shown = rows.map((row, index) => ({ number: index + 1, torque: row.applied_millinewton_metre, answer: row.answer })).filter((row) => row.torque !== null);
  const top = inUnit(Math.max(upper, ...shown.map((row) => row.torque))) * 1.12;
  const to = Math.max(rows.length, 4) + 0.5;
  const place = plot({
    name: "history", title: t("plot-pulls", { title: fastener.title }),
    told: listed(shown.map((row) => t("plot-pull-told", { number: row.number, torque: `${torqueFigure(row.torque)} ${unit.symbol}`, answer: answerWord(row.answer || "held") }))),
    x: { from: 0.5, to, at: ticks(1, to, 8).at.filter((value) => value >= 1 && Number.isInteger(value)), label: t("plot-pull"), word: String },
    y: { from: 0, to: top, at: ticks(0, top, 5).at, label: torqueAxis, word: plain },
  });
  const { svg, px, py } = place;
  svg.append(level(place, inUnit(upper), "limit"));
  if (lower !== undefined && lower !== null) svg.append(level(place, inUnit(lower), "limit"));
  for (const row of shown) svg.append((ANSWER[row.answer] || disc)(px(row.number), py(inUnit(row.torque))));
  const has = (answer) => shown.some((row) => row.answer === answer);
  return figure(place, [
    ...["within", "under", "over"].map((answer) => has(answer) && [ANSWER[answer](20, 10), answerWord(answer)]),
    has("undecided") && [ANSWER.undecided(20, 10), answerWord("undecided")],
    [line("limit"), limitsInWords(fastener.limits)],
  ]);
}

const BINS = 20;
const TENTH = 0.1;

// Where the torques of a group lie between their limits, with mean and spread.
export function placesPlot(group, groupName) {
  const most = Math.max(...group.counts, 1);
  const spread = group.too_few ? null : [group.mean_thousandths, 3 * group.deviation_thousandths].map((value) => value / 1000);
  const place = plot({
    name: "places", title: t("plot-places", { group: groupName }), height: 262, top: 62,
    told: t("plot-places-told", { n: group.readings, counts: group.counts.join(", ") }),
    x: { from: -0.5, to: 1.5, at: [-0.5, 0, 0.5, 1, 1.5], label: t("plot-place"), word: (value) => signed(value * 100, 1).replace("+", "") },
    y: { from: 0, to: most, at: ticks(0, most, 4).at.filter(Number.isInteger), label: t("plot-fasteners"), word: String },
  });
  const { svg, px, py, bottom, top } = place;
  group.counts.slice(0, BINS).forEach((n, i) => {
    const from = -0.5 + i * TENTH;
    const isOut = i < 5 || i >= 15;
    if (n > 0) svg.append(shape("rect", { x: (px(from) + 1).toFixed(1), y: py(n).toFixed(1), width: (px(from + TENTH) - px(from) - 2).toFixed(1), height: (bottom - py(n)).toFixed(1), class: isOut ? "bar out" : "bar" }));
  });
  for (const [value, word, anchor] of [[0, t("plot-lower"), "middle"], [1, t("plot-upper"), "middle"]]) {
    svg.append(path(`M${px(value).toFixed(1)} 20V${bottom}`, "limit"), text(px(value), 14, word, { "text-anchor": anchor, class: "limit-name" }));
  }
  if (spread) svg.append(...bracket(px, top, spread));
  return figure(place, [
    [shape("rect", { x: 12, y: 2, width: 16, height: 16, class: "bar" }), t("pull-between")],
    group.counts.some((n, i) => n > 0 && (i < 5 || i >= 15)) && [shape("rect", { x: 12, y: 2, width: 16, height: 16, class: "bar out" }), t("plot-outside")],
    spread && [[path("M3 10H37M3 5v10M37 5v10", "spread"), disc(20, 10)], t("plot-spread")],
  ]);
}

// Mean and ± 3 s; an end that lies outside of the plot has no wall.
function bracket(px, top, [mean, three]) {
  const y = top - 20;
  const inside = (value) => Math.min(Math.max(value, -0.5), 1.5);
  const [from, to] = [mean - three, mean + three];
  const wall = (value) => (inside(value) === value ? `M${px(value).toFixed(1)} ${y - 7}v14` : "");
  const parts = [path(`M${px(inside(from)).toFixed(1)} ${y}H${px(inside(to)).toFixed(1)}${wall(from)}${wall(to)}`, "spread")];
  if (inside(mean) === mean) parts.push(disc(px(mean), y));
  return parts;
}

export const pointInWords = (point) => [
  torque(Math.round(point.reference_micronewton_metre / 1000)),
  torque(Math.round(point.indicated_micronewton_metre / 1000)),
  unbroken(`± ${torque(Math.round(point.expanded_micronewton_metre / 1000))}`),
];
export const checkInWords = (check) => t("check-in-words", {
  day: day(check.time), clock: shortClock(check.time), n: check.pulls, against: check.against, deviation: unbroken(`${signed(check.deviation_ppm / 1e4, 0.01)} %`),
});
