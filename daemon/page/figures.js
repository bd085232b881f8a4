// Figures as people read them: the unit of torque and the decimal mark that were chosen, per cent, and what is typed.
// Everywhere else a torque is a whole number of mN·m.

import { remembered } from "./kept.js";
import { shop, units } from "./shop.js";
import { language } from "./tongue.js";

const usual = new Intl.NumberFormat(language).formatToParts(1.5).find(({ type }) => type === "decimal").value;
export const MARKS = [".", ","];
export const decimalMark = [remembered("decimal"), shop.decimal].find((mark) => MARKS.includes(mark)) || usual;

// A unit with as many decimals as it takes for one step to be no more than 1 mN·m. Rounded to the nearest step, figures keep
// the order of what they stand for: two that differ never look the same, and what is over its limit never looks within.
function unitOf({ ucum, symbol, spellings, milli }) {
  const [numerator, denominator] = milli.map(BigInt);
  let decimals = 0;
  while (numerator > denominator * 10n ** BigInt(decimals)) decimals += 1;
  return { ucum, symbol, spellings, numerator, denominator, decimals };
}

const UNITS = units.map(unitOf);
const named = (name) => UNITS.find((known) => known.ucum === name);
const chosen = named(remembered("unit")) || named(shop.torque_unit);

export const torqueUnits = UNITS.map(({ ucum, symbol }) => [ucum, symbol]);
// How else a unit may be written, in small letters.
export const torqueSpellings = UNITS.flatMap(({ ucum, spellings }) => [ucum, ...spellings].map((spelling) => spelling.toLowerCase()));
export const unit = chosen || UNITS[0];
export const newtonMetre = named("N.m");
// Where nobody has chosen, what a tool displayed is shown as the tool displayed it.
const isChosen = Boolean(chosen);

// A figure and its unit stay on one line.
export const unbroken = (text) => text.replaceAll(" ", "\u00a0");

// Decimal points of a text that is a value, as the mark that was chosen.
export const marked = (text) => (decimalMark === "." ? text : text.replace(/(\d)\.(?=\d)/g, `$1${decimalMark}`));

const size = (value) => (value < 0n ? -value : value);

// Halves go away from nothing.
const nearest = (value, by) => (value < 0n ? -1n : 1n) * ((2n * size(value) + by) / (2n * by));

function written(steps, decimals) {
  const digits = String(size(steps)).padStart(decimals + 1, "0");
  const [whole, rest] = [digits.slice(0, digits.length - decimals), digits.slice(digits.length - decimals).replace(/0+$/, "")];
  return `${steps < 0n ? "\u2212" : ""}${whole}${rest ? `${decimalMark}${rest}` : ""}`;
}

const steps = (milli, { numerator, denominator, decimals }) => nearest(BigInt(milli) * denominator * 10n ** BigInt(decimals), numerator);

// mN·m as a figure in the unit that is shown.
export const figure = (milli, into = unit) => (milli === null || milli === undefined ? "" : written(steps(milli, into), into.decimals));
export const torque = (milli, into = unit) => unbroken(`${figure(milli, into)} ${into.symbol}`);

// For places on plots.
export const inUnit = (milli) => milli * Number(unit.denominator) / Number(unit.numerator);

// µN·m, which references state; in N·m to the last digit.
export const microFigure = (micro) => (unit.ucum === "N.m" ? written(BigInt(micro), 6)
  : written(nearest(BigInt(micro) * unit.denominator * 10n ** BigInt(unit.decimals), unit.numerator * 1000n), unit.decimals));

// µm as mm.
export const thousandths = (count) => written(BigInt(count), 3);

// An uncertainty has two digits that mean something, and is rounded up (JCGM 100:2008, 7.2.6).
export function uncertainty(milli) {
  const scaled = BigInt(milli) * unit.denominator * 10n ** BigInt(unit.decimals);
  const all = (scaled + unit.numerator - 1n) / unit.numerator;
  const step = 10n ** BigInt(Math.max(String(all).length - 2, 0));
  return written((all + step - 1n) / step * step, unit.decimals);
}

// A whole number of steps of a tool's display, as a figure; an end of a range is moved inwards by `round`.
export const onSteps = (milli, resolution, round = Math.round) => round(milli / resolution) * resolution;

// What goes to the daemon is never in the page's unit or with its mark.
export const sent = (milli) => `${milli < 0 ? "-" : ""}${Math.trunc(Math.abs(milli) / 1000)}.${String(Math.abs(milli) % 1000).padStart(3, "0")} N·m`.replace(/\.?0+(?= )/, "");

// A text such as "44.3 lbf·in" as mN·m and its unit; nothing for any other.
export function stated(text) {
  const [, sign, digits, rest, symbol] = /^([+\u2212-]?)(\d+)(?:\.(\d+))? (\S+)$/.exec(text || "") || [];
  const of = UNITS.find((known) => known.symbol === symbol || known.ucum === symbol);
  if (!of) return null;
  const [top, bottom] = [BigInt(digits + (rest || "")) * of.numerator, of.denominator * 10n ** BigInt((rest || "").length)];
  const milli = Number((top + bottom - 1n) / bottom); // a reading is rounded up, as the daemon does it
  return { milli: ["-", "\u2212"].includes(sign) ? -milli : milli, unit: of };
}

// What a tool displayed: in the unit that is shown, and as it was where that is another one.
export function shown(text) {
  const value = stated(text);
  if (!value || !isChosen || value.unit === unit) return { text: unbroken(marked(text)), original: null, milli: value?.unit === unit ? value.milli : null };
  return { text: torque(value.milli), original: unbroken(marked(text)), milli: value.milli };
}

// Three digits after a mark, and one to three before it that are no nought: a fraction, or thousands. Neither is guessed, as in
// tables (plan/table/read/cell.rs). A point that the page itself would write is a decimal mark.
export function mayBeThousands(text) {
  const [, whole, mark, rest] = /^[-+]?(\d{1,3})([.,])\d{3}(?!\d)\s*(.*)$/s.exec(text.trim()) || [];
  return Boolean(whole) && !whole.startsWith("0") && (mark === "," || (decimalMark === "," && !rest));
}

// What is typed: a decimal comma is a point, and a number alone is meant in the unit that is shown.
export const pointed = (text) => text.trim().replace(/^([-+]?\d+),(\d+)/, "$1.$2");
export function withUnit(text) {
  const value = pointed(text);
  return /^\d+(\.\d+)?$/.test(value) ? `${value} ${unit.symbol}` : value;
}

export const decimals = (value, count) => marked(value.toFixed(count));

// A figure in per cent with its sign, to the decimals that steps of this size need.
export function signed(value, step) {
  const count = step >= 1 ? 0 : Math.min(Math.ceil(-Math.log10(step || 0.01) - 1e-9), 3);
  const text = Math.abs(value).toFixed(count);
  if (Number(text) === 0) return "0";
  return `${value < 0 ? "\u2212" : "+"}${marked(text)}`;
}
export const percent = (ppm) => unbroken(marked(`${Number((ppm / 1e4).toFixed(2))} %`));
