// The marks beside a verdict and a standing.

import { h } from "./elements.js";
import { t } from "./tongue.js";
import { hasLower, isPractice } from "./words.js";

// Beside limits and aims that no maker states: a broken line, and the words.
export const practiceMark = (item) => isPractice(item) && practiceWords();
export const practiceWords = () => h("span", { class: "practice" }, t("common-practice"));

const SVG = "http://www.w3.org/2000/svg";
export function shape(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

const line = (d, extra = {}) => shape("path", { d, class: "line", ...extra });
const solid = (d) => shape("path", { d, class: "solid", "fill-rule": "evenodd" });
const disc = (x, y, r) => `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`;

function picture(name, parts) {
  const svg = shape("svg", { viewBox: "0 0 64 32", class: `mark mark-${name}`, "aria-hidden": "true", focusable: "false" });
  svg.append(...parts);
  return svg;
}

// Our own marks: a band between two limits on a line of rising torque, and where the pull came to lie. Solid band:
// it lies inside. Disc on the left: below. Torn wall and a lozenge beyond it: above. The shape says it without colour.
export function mark(name, lower = true) {
  const band = lower ? "M22 5H42V27H22z" : "M20 5H42V27H20"; // without a lower limit it has no left wall
  const ends = "M2 16H20M44 16H62";
  const torn = `${lower ? "M42 10V5H22V27H42V22" : "M42 10V5H20M20 27H42V22"}`;
  const parts = {
    within: [solid(`M22 5H42V27H22z${disc(32, 16, 5)}`), line(ends)],
    under: [line(band), solid(disc(9, 16, 7)), line("M16 16H20M44 16H62")],
    over: [line(torn), line("M2 16H20"), solid("M27 13H44V19H27z"), solid("M52 5L63 16L52 27L41 16z")],
    undecided: [line("M42 5H22V27H42M42 5V8M42 24V27"), line("M2 16H20M50 16H62"), line(disc(42, 16, 7)), solid("M42 9a7 7 0 0 0 0 14z")],
    "undecided-low": [line("M22 5H42V27H22M22 5V8M22 24V27"), line("M44 16H62M2 16H14"), line(disc(22, 16, 7)), solid("M22 9a7 7 0 0 0 0 14z")],
    "undecided-kept": [line("M38 5H22V27H38"), line("M2 16H20"), line("M43 6H62V26H43z"), line(disc(52.5, 16, 5)), solid("M52.5 11a5 5 0 0 0 0 10z"), line("M28 16H42")],
    held: [line("M22 15V29H42V15", { class: "line broken" }), line("M2 22H18M46 22H62"), line(disc(32, 7, 5))],
    open: [line(band), line(ends)],
    "part-way": [line(band), line(ends), solid("M22 5H32V27H22z")],
    deferred: [line(band, { class: "line broken" }), line("M28 16H36")],
    "over-kept": [line("M38 5H22V27H38"), line("M2 16H20"), line("M43 6H62V26H43z"), solid("M52.5 9L59.5 16L52.5 23L45.5 16z"), line("M28 16H42")],
    doubt: [line(band, { class: "line broken" }), line(disc(32, 16, 4)), line(ends)],
    test: [line("M2 16H25M39 16H62"), line(disc(32, 16, 7))],
    joined: [solid("M14 8H30V24H14z"), solid("M34 8H50V24H34z"), line("M2 16H62")],
    hand: [solid("M24 8H40V24H24z")],
    apart: [line("M6 8H22V24H6z"), line("M42 8H58V24H42z")],
  }[name] || [line(ends)];
  return picture(name, parts);
}

// How a fastener stands. Near the lower limit the truth straddles the other wall.
export const standingMark = (fastener) => mark(fastener.standing === "undecided" && !fastener.needs_decision ? "undecided-low" : fastener.standing, hasLower(fastener.limits));

const LEFT = 3;
const RIGHT = 61;
const LEAST_BAND = 9; // a band narrower than this is no longer seen: then the line is broken, and not to scale beyond

// Where the limits and the pull lie between LEFT and RIGHT. The band shrinks so that the pull stays in the picture.
function scale(limits, applied) {
  const upper = limits.upper_millinewton_metre;
  const lower = limits.lower_millinewton_metre ?? 0;
  const width = Math.max(upper - lower, 1);
  const first = Math.min(lower - width / 2, applied - width / 4);
  const last = Math.max(upper + width / 2, applied + width / 4);
  const most = width * (RIGHT - LEFT) / LEAST_BAND;
  if (last - first <= most) {
    const at = (milli) => LEFT + (milli - first) * (RIGHT - LEFT) / (last - first);
    return { lower: at(lower), upper: at(upper), applied: at(applied), isBroken: false };
  }
  return applied > upper
    ? { lower: LEFT + 8, upper: LEFT + 8 + LEAST_BAND, applied: RIGHT - 7, isBroken: true }
    : { lower: RIGHT - 8 - LEAST_BAND, upper: RIGHT - 8, applied: LEFT + 7, isBroken: true };
}

// A verdict's mark with the limits and the pull drawn to scale. A pull past the tool's range has no place on it.
export function markToScale({ answer, limits, applied_millinewton_metre: applied, may_be_over: mayBeOver }) {
  if (applied === null || applied === undefined || !["within", "under", "over"].includes(answer)) return mark(answer === "undecided" && !mayBeOver ? "undecided-low" : answer, hasLower(limits));
  const places = scale(limits, applied);
  const to = (x) => x.toFixed(2);
  const [l, u, a] = [places.lower, places.upper, places.applied].map(to);
  const wall = hasLower(limits) ? `H${l}V27H${u}` : `H${l}M${l} 27H${u}`; // without a lower limit it has no left wall
  const band = line(`M${u} 5${wall}${answer === "over" ? `V22M${u} 5V10` : hasLower(limits) ? "V5z" : "V5"}`);
  const before = hasLower(limits) ? `M1 16H${l}` : ""; // the band starts at no torque at all
  const axis = line(`${before}M${u} 16H63`);
  const parts = {
    within: () => [solid(`M${l} 5H${u}V27H${l}z`), axis, within(places, shape("path", { d: disc(places.applied, 16, 5), class: "hole" }))],
    under: () => [band, line(`M${u} 16H63M1 16H${to(Math.max(1, places.applied - 5))}M${a} 16H${l}`), left(places, solid(disc(places.applied, 16, 6)))],
    over: () => [band, line(before), solid(`M${to((places.lower + places.upper) / 2)} 13H${a}V19H${to((places.lower + places.upper) / 2)}z`),
      solid(`M${to(places.applied - 7)} 16L${a} 6L${to(places.applied + 7)} 16L${a} 26z`)],
  }[answer]();
  if (places.isBroken) parts.push(breakAt((places.applied > places.upper ? places.upper + places.applied - 7 : places.applied + 6 + places.lower) / 2));
  return picture(`${answer} to-scale`, parts);
}

// The pull does not cross a wall that it has not passed: what is drawn of it ends there.
function cut(x, width, part) {
  const window = shape("svg", { x, y: 0, width: Math.max(width, 0), height: 32, viewBox: `${x} 0 ${Math.max(width, 0.01)} 32` });
  window.append(part);
  return window;
}
const within = (places, part) => cut(places.lower + 1.5, places.upper - places.lower - 3, part);
const left = (places, part) => cut(0, places.lower - 1.25, part);
const breakAt = (x) => shape("path", { d: `M${x - 3.5} 22L${x - 0.5} 10M${x + 0.5} 22L${x + 3.5} 10`, class: "line" });
