// Judges a reading again from its figures: what was displayed, what that is worth, and the limits. Whole numbers, as the
// reference check has them; what goes through a budget of uncertainty is reckoned as it reckons.

import { isLikely } from "./likely.js";
import { same } from "./read.js";

const UNIT = new Map(FACTORS.flatMap(([names, kind, exact]) => names.map((name) => [name, { kind, factor: exact.map(BigInt) }])));
const SMALL_KIND = { um: "length", mg: "mass", mN: "force", Pa: "pressure", mK: "temperature" };
export const canHarm = (unit) => unit === "mN" || unit === "Pa";

const floor = (above, below) => { const whole = above / below; return above % below < 0n ? whole - 1n : whole; };
// Divides by a positive number; `up` is away from zero, `down` towards it.
function divide(above, below, rounding) {
  const least = floor(above, below);
  const rest = above - least * below;
  const up = rounding === "up" ? above > 0n && rest > 0n : rounding === "down" ? above < 0n && rest > 0n : above < 0n ? rest * 2n > below : rest * 2n >= below;
  return least + (up ? 1n : 0n);
}

function decimal(text) {
  const found = /^([+-]?)(\d*)(?:\.(\d*))?$/.exec(text);
  const digits = found ? found[2] + (found[3] || "") : "";
  if (!digits || digits.length > 15) return null;
  return { mantissa: BigInt(digits) * (found[1] === "-" ? -1n : 1n), scale: (found[3] || "").length };
}

export const kindOf = (unit) => UNIT.get(unit)?.kind;

// A number with its unit in whole small units; nothing where either cannot be read.
export function smallUnits(number, unit, rounding) {
  const known = UNIT.get(unit);
  const value = decimal(number);
  if (!known || !value) return undefined;
  const [above, below, zero] = known.factor;
  const scale = 10n ** BigInt(value.scale);
  return Number(divide(value.mantissa * above + zero * scale, below * scale, rounding));
}

// What a display showed, rounded up; nothing where it is of another quantity.
export const shownAs = (displayed, kind) => (displayed && kindOf(displayed.unit) === kind ? smallUnits(displayed.value, displayed.unit, "up") : undefined);

// The step of the last digit that a display showed, rounded up.
function stepOf(displayed) {
  const unit = UNIT.get(displayed.unit);
  const value = decimal(displayed.value);
  return Number(divide(unit.factor[0], unit.factor[1] * 10n ** BigInt(value.scale), "up"));
}

// An adapter's lever: by what the torque at the drive is multiplied; 1 where nothing can be converted.
function leverage(fitted) {
  const { adapter, lever_micrometre: lever } = fitted || {};
  const angle = adapter?.angle_degrees ?? 0;
  if (!adapter || adapter.length_micrometre === undefined || adapter.length_micrometre === null || angle === 90 || lever === undefined) return 1;
  const [wrench, offset] = [lever / 1000, adapter.length_micrometre / 1000];
  const cosine = angle > 90 ? -Math.cos((180 - angle) * (Math.PI / 180)) : Math.cos(angle * (Math.PI / 180));
  const effective = wrench + offset * cosine;
  return wrench > 0 && offset > 0 && angle <= 180 && effective > 0 ? effective / wrench : 1;
}

// The torque at the fastener: corrected, and with the adapter's lever.
function applied(shown, reading) {
  const factor = leverage(reading.adapter);
  const deviation = reading.worth?.deviation_ppm ?? 0;
  if (deviation === 0 && Math.abs(factor - 1) < Number.EPSILON) return shown;
  const size = Math.ceil((Math.abs(shown) / 1000 / (1 + deviation / 1e6)) * factor * 1000 - 1e-6);
  return shown < 0 ? -size : size;
}

const LINES = ["certificate", "class", "interpolation", "drift", "resolution", "repeatability", "reproducibility", "adapter"];
const rss = (values) => Math.sqrt(values.reduce((sum, value) => sum + value * value, 0));

// Whether the lines of a budget add up, within what rounding allows.
function addsUp(worth) {
  const lines = LINES.map((name) => worth.standard_micronewton_metre_of[name]).filter((line) => line !== undefined && line !== null).map((line) => line / 1e6);
  const standard = worth.standard_micronewton_metre / 1e6;
  const factor = worth.coverage_thousandths / 1000;
  const expanded = worth.expanded_micronewton_metre / 1e6;
  return Math.abs(rss(lines) - standard) <= 1e-6 * (lines.length + 2)
    && expanded >= factor * (standard - 1e-6) - 1e-6 && expanded <= (factor + 0.001) * standard + 2e-6;
}

const wholeUp = (thousandths) => Math.ceil(thousandths / 1000);
// The guard band of a torque: its expanded uncertainty in whole mN·m, rounded up.
export const guard = (worth) => (worth ? wholeUp(worth.expanded_micronewton_metre) : undefined);

// What was judged has to follow from what was displayed: in another unit, corrected, with the adapter's lever.
export function needsConversion(at, { reading }) {
  const wrong = (what) => { throw new Error(`${at}: ${what}`); };
  if (!reading.displayed) {
    if (reading.applied_millinewton_metre !== undefined || !(reading.flags || []).includes("over-range")) wrong("nothing was displayed and something was judged");
    return;
  }
  if (reading.worth && !addsUp(reading.worth)) wrong("its uncertainty is not the sum of its lines");
  const shown = shownAs(reading.displayed, "torque");
  if (shown === undefined || applied(shown, reading) !== reading.applied_millinewton_metre) wrong(`${reading.displayed.value} ${reading.displayed.unit} was displayed and another torque judged`);
}

// A value against limits after a decision rule. No value is more than the tool can tell. Without an uncertainty a guarded rule
// shows nothing to be within.
export function decide(value, { lower, upper }, rule, expanded) {
  if (value === undefined || (upper !== undefined && value > upper)) return "over";
  if (lower !== undefined && value < lower) return "under";
  const band = expanded ?? Infinity;
  const below = upper === undefined || value <= upper - band;
  const above = lower === undefined || value >= lower + band;
  return rule === "simple" || (below && (rule === "guarded-upper" || above)) ? "within" : "undecided";
}
const bounds = (limits) => ({ lower: limits.lower_millinewton_metre ?? undefined, upper: limits.upper_millinewton_metre });
const tightening = (hand, torque) => (torque === undefined ? undefined : hand === "left" ? Math.abs(torque) : torque);

// A reading's peak against the upper limit, and what was reached against the lower one.
function answerOf(reading, hand, limits, rule) {
  const expanded = guard(reading.worth);
  const byPeak = decide(tightening(hand, reading.applied_millinewton_metre), bounds(limits), rule, expanded);
  if (!reading.trace || byPeak === "over") return byPeak;
  const reached = decide(tightening(hand, applied(reading.trace.reached_millinewton_metre, reading)), bounds(limits), rule, expanded);
  return reached === "within" ? byPeak : reached;
}

// The limits of a pass at a part of the target.
function ofPass(limits, percent) {
  const part = (value, rounding) => Number(divide(BigInt(value) * BigInt(percent), 100n, rounding));
  const found = { upper_millinewton_metre: limits.upper_millinewton_metre };
  if (limits.lower_millinewton_metre !== undefined) found.lower_millinewton_metre = part(limits.lower_millinewton_metre, "down");
  if (limits.target_millinewton_metre !== undefined) found.target_millinewton_metre = part(limits.target_millinewton_metre, "nearest");
  return found;
}

// Why a verdict does not follow from its figures and from what it was held against; nothing where it does.
export function departsFrom(known, pass, verdict, { passes_percent: passes, spec, rule, hand }) {
  const percent = passes[pass];
  if (percent === undefined) return "it has no verdict, or belongs to another fastener";
  if (!same(verdict.limits, ofPass(spec.limits, percent))) return "it was judged by other limits than those of its fastener and pass";
  if (verdict.rule !== rule) return "it was judged by another rule than its fastener's";
  if ((verdict.expanded_uncertainty_millinewton_metre ?? undefined) !== guard(known.reading.worth)) return "its verdict names another uncertainty than the reading";
  const micro = known.reading.worth?.standard_micronewton_metre;
  const value = tightening(hand, known.reading.applied_millinewton_metre);
  const { lower, upper } = bounds(verdict.limits);
  const inMicro = { lower: lower === undefined ? undefined : lower * 1000, upper: upper * 1000 };
  if (!isLikely(verdict.outside, value === undefined ? undefined : value * 1000, micro, known.reading.worth?.freedom, inMicro)) return "how likely it lies outside does not follow from its uncertainty";
  if (verdict.answer !== answerOf(known.reading, hand, verdict.limits, rule)) return `the verdict ${verdict.answer} does not follow from its figures`;
  return null;
}

export const mayBeOver = (value, verdict) => {
  const upper = verdict.limits.upper_millinewton_metre ?? verdict.limits.upper;
  const expanded = verdict.expanded_uncertainty_millinewton_metre ?? verdict.expanded;
  return verdict.answer === "undecided" && (value === undefined || (upper !== undefined && (expanded === undefined || upper - expanded < value)));
};

// The rest judges checks: planned measurements that are no torque, in whole small units.

const thousandths = (value) => Math.max(0, Math.ceil(value - 1e-6));

function worthOf(worth, shown) {
  const { certificate, accuracy } = worth.basis;
  const display = thousandths((worth.step / 2 / Math.sqrt(3)) * 1000);
  const own = certificate ? (certificate.expanded * 1000) / certificate.coverage_thousandths
    : ((accuracy.accuracy ?? 0) + ((accuracy.accuracy_ppm ?? 0) / 1e6) * Math.abs(shown)) / Math.sqrt(3);
  const tool = thousandths(own * 1000);
  const standard = thousandths(rss([display, tool]));
  return [display, tool, standard, 2 * standard];
}

export const checkGuard = (worth) => (worth ? wholeUp(worth.expanded_thousandths) : undefined);

// What was judged has to follow from what was displayed: in another unit, and corrected.
export function isConverted(reading) {
  const { displayed, worth } = reading;
  if (!displayed) return reading.value === undefined && !worth && (reading.flags || []).includes("over-range");
  const shown = shownAs(displayed, SMALL_KIND[reading.unit]);
  if (shown === undefined) return false;
  if (!worth) return reading.value === shown;
  const { certificate, accuracy } = worth.basis;
  const isUsable = certificate ? certificate.coverage_thousandths > 0 && certificate.expanded >= 0 : (accuracy.accuracy ?? 0) >= 0;
  const stated = ["resolution", "tool", "standard", "expanded"].map((name) => worth[`${name}_thousandths`]);
  return isUsable && same(worthOf(worth, shown), stated)
    && worth.step >= stepOf(displayed) && reading.value === shown - (certificate?.deviation ?? 0);
}

export const isOver = (value, { upper }) => value === undefined || (upper !== undefined && value > upper);
// The answer of a verdict; above its upper limit a value is over in any case.
export const checkAnswer = (value, verdict) => (isOver(value, verdict.limits) ? "over" : verdict.answer);
export const follows = (reading, verdict) => decide(reading.value, verdict.limits, verdict.rule, verdict.expanded) === verdict.answer
  && (verdict.expanded ?? undefined) === checkGuard(reading.worth) && verdict.limits.unit === reading.unit
  && isLikely(verdict.outside, reading.value, reading.worth && reading.worth.standard_thousandths / 1000, undefined, verdict.limits);
