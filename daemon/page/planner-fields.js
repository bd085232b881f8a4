// What the forms of a plan are made of: fields that write into the draft while somebody types, each with a place below it for
// what is found there.

import { button, h } from "./elements.js";
import { changed } from "./planner-draft.js";
import { marked, mayBeThousands, shown, torqueSpellings, torqueUnits, unit as shownUnit } from "./figures.js";
import { option } from "./planner-screen.js";
import { t } from "./tongue.js";
import { COMMON_PRACTICE } from "./words.js";

const id = (at) => `plan ${at}`;

// Where a finding about this member is shown.
export const spot = (at) => h("ul", { class: "found", "data-spot": at, hidden: true });

const framed = (at, label, control, more, below) => h("div", { class: "plan-field", "data-at": at }, h("label", { class: "label", for: id(at) }, label), more, control, below);

// A line or several of text. `write` is given what was typed; an empty text is given as null where it may be left out.
export function text(at, label, value, write, { rows, quick, list, isOptional = true, isLines = Boolean(rows), tidy, isSpotBelow = true, ...more } = {}) {
  const control = h(rows ? "textarea" : "input", { id: id(at), "data-key": at, autocomplete: "off", spellcheck: "false", maxlength: 300, rows, list, ...more });
  control.value = value ?? "";
  control.addEventListener("input", () => { write(isOptional && control.value.trim() === "" ? null : control.value); changed(); });
  if (tidy) control.addEventListener("change", () => { control.value = tidy() ?? ""; });
  return framed(at, label, control, quick && quickWords(at, control, quick, isLines), isSpotBelow && spot(at));
}

// Words for a field, or rows of such words and how they are said: a touch writes them into it, into a list as a further line.
function quickWords(at, control, words, isList) {
  return h("div", { class: "quick", "data-arrows": true }, words.map((row) => [row].flat()).map(([word, said = word]) => button(`${at} ${word}`, "plain", () => {
    control.value = isList && control.value.trim() ? `${control.value.trimEnd()}\n${word}` : word;
    control.dispatchEvent(new Event("input"));
    control.focus();
  }, said)));
}

// One of several; `choices` are rows of value and word, and "" stands for none.
export function select(at, label, value, choices, write, then = changed) {
  const control = h("select", { id: id(at), "data-key": at, on: { change: (event) => { write(event.target.value || null); changed(); then(); } } },
    choices.map(([of, word]) => option(of, word, value ?? "")));
  return framed(at, label, control, null, spot(at));
}

export function tick(at, label, isOn, write) {
  const box = h("input", { type: "checkbox", "data-key": at });
  box.checked = isOn;
  box.addEventListener("change", () => { write(box.checked); changed(); });
  return h("div", { class: "plan-field", "data-at": at }, h("label", { class: "choice" }, box, h("span", {}, label)), spot(at));
}

// A number without fraction. What is none is 0, which the daemon refuses and says why.
export function whole(at, label, value, write, most = 4) {
  return text(at, label, value === null || value === undefined ? "" : String(value), (typed) => write(typed === null ? null : Math.max(0, Math.trunc(Number(typed))) || 0), { inputmode: "numeric", maxlength: most });
}

// Numbers with a space between them; what is none is 0.
export function numbers(at, label, value, write, more) {
  return text(at, label, value ? value.join(" ") : "", (typed) => write(typed === null ? null : typed.replace(/%/g, "").split(/[\s;]+/).filter(Boolean).map((part) => Number(part.replace(",", ".")) || 0)), { maxlength: 40, ...more });
}

// ---------------------------------------------------------------------------------------------------- figures

const units = new WeakMap(); // the unit that a bare number gets, by fastener or check

const stated = (item) => [item.spec, ...item.sources, item.settled].filter(Boolean).flatMap((of) => [of.target, of.lower, of.upper]).filter(Boolean);
const unitIn = (figure) => /[^\d.,+\-\u2212\s\u00a0].*$/.exec(figure)?.[0];

const TORQUE = torqueUnits.map(([, symbol]) => symbol);
export const USUAL_TORQUE = shownUnit.symbol;
export const OTHER = ["mm", "bar", "N", "g", "kg", "°C", "psi", "kPa", "in", "kgf"];
const unitsLike = (usual) => (TORQUE.includes(usual) ? TORQUE : OTHER);

// What somebody chose. A bare torque is meant in the unit of the page, whatever unit a source states; another value in that of a
// figure which is there.
const unitOf = (item, usual) => units.get(item) || (TORQUE.includes(usual) ? usual : stated(item).map(unitIn).find((unit) => OTHER.includes(unit)) || usual);

export function unitField(at, item, usual) {
  return select(`${at}.unit`, t("planner-bare-unit"), unitOf(item, usual), unitsLike(usual).map((unit) => [unit, unit]), (unit) => units.set(item, unit));
}

// Whether a text is a figure with its unit, a torque where one is wanted.
export const isFigure = (text, isTorque) => /^[-+\u2212]?\d+(\.\d+)?\s*[^\d.,\s]/.test(text) && (isTorque ? Boolean(torqueOf(text)) : OTHER.includes(unitIn(text)));
const torqueOf = (text) => TORQUE.includes(unitIn(text)) || torqueSpellings.includes(unitIn(text)?.toLowerCase());

// A bare number gets the unit; a decimal comma becomes a point. What may be thousands, and anything else, stays as typed.
function withUnit(typed, unit) {
  const trimmed = typed.trim();
  if (mayBeThousands(trimmed)) return trimmed;
  if (/^[+-]?\d+([.,]\d+)?$/.test(trimmed)) return `${trimmed.replace(",", ".")} ${unit}`;
  return trimmed.replace(/^([+-]?\d+),(\d+)(?=\s*\D)/, "$1.$2");
}

// What one place states: to aim at, at least, at most.
export function figures(at, of, item, usual) {
  const figure = (name, label) => text(`${at}.${name}`, label, of[name], (typed) => { of[name] = typed === null ? null : withUnit(typed, unitOf(item, usual)); }, { maxlength: 40, tidy: () => of[name], isSpotBelow: false });
  return [h("div", { class: "plan-figures" }, figure("target", t("planner-aim")), figure("lower", t("planner-least")), figure("upper", t("planner-most"))),
    ["target", "lower", "upper"].map((name) => spot(`${at}.${name}`)),
    h("p", { class: "quiet", "data-shown": at, hidden: !otherUnit(of) }, otherUnit(of))];
}

// The figures of one place in the unit of the page, where it states them in another one: they stay as they are written there.
export function otherUnit(of) {
  const all = [of.target, of.lower, of.upper].filter(Boolean);
  return all.some((text) => valueShown(text).original) ? t("planner-in-unit", { value: shortOf(of, true) }) : "";
}

// "2,300 lbf" has no unit of torque, "5 N·m" has; a file may write a space or not.
const valueShown = (text) => shown(text.trim().replace(/^([-+]?\d+(?:\.\d+)?)\s*(\D.*)$/, "$1 $2"));

// Whether what a row shows is nobody's figure.
export const isOnPractice = (item) => { const of = leading(item); return Boolean(of) && of.where === COMMON_PRACTICE; };

// A decision first, then the plan's own, then a source.
const leading = (item) => [item.settled, item.spec, ...item.sources].find((one) => one && (one.target || one.lower || one.upper));

// The figures of a fastener or check in short, as its row shows them: in the unit of the page, and as stated where that is another.
export function inShort(item) {
  const of = leading(item);
  if (!of) return t("planner-no-figure");
  const words = shortOf(of, true);
  return otherUnit(of) ? t("planner-and-stated", { value: words, stated: shortOf(of, false) }) : words;
}

// "4 to 5.5 N·m", "at most 6 N·m"; `isShown` in the unit of the page.
function shortOf(of, isShown) {
  const said = (text) => (isShown ? valueShown(text).text : marked(text)).replaceAll(" ", "\u00a0");
  const bare = (text) => said(text).replace(/[\s\u00a0]*[^\d.,+\-\u2212\s\u00a0].*$/, "");
  if (of.target) return said(of.target);
  if (!of.lower) return t("check-limits-most", { value: said(of.upper) });
  if (!of.upper) return t("check-limits-least", { value: said(of.lower) });
  return t("check-limits-range", { lower: unitIn(said(of.lower)) === unitIn(said(of.upper)) ? bare(of.lower) : said(of.lower), upper: said(of.upper) });
}
