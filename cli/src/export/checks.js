// Whether the checks of a record - planned measurements that are no torque - follow from their readings, and computed ones from
// their formulas. The same rules as the reference check.

import { contradicts, everyReading, isRising, loosens, needsEditions, needsElsewhere, placeOf, sinceWhen } from "./agree.js";
import { canHarm, checkAnswer, decide, follows, isConverted, mayBeOver } from "./judge.js";
import { same } from "./read.js";

export const everyCheck = (subject) => [...(subject.checks || []), ...(subject.removed_checks || [])];
export const everyCheckReading = (subject) => [...everyCheck(subject).flatMap((check) => check.readings), ...(subject.checks_elsewhere || [])];

const COUNT = { within: "within", kept: "kept", under: "out", over: "out", undecided: "out", deferred: "deferred", open: "open", "part-way": "open" };
function needsCheckSummary(subject) {
  const checks = subject.checks || [];
  const counted = { checks: checks.length, within: 0, kept: 0, out: 0, deferred: 0, open: 0 };
  for (const check of checks) counted[COUNT[check.standing]] += 1;
  const said = subject.check_summary || {};
  if (Object.entries(counted).some(([name, count]) => (said[name] ?? 0) !== count)) contradicts("check_summary", "it does not count the checks of the record");
}

function needsCheckReadings(subject) {
  const seen = new Set(everyReading(subject).map((known) => known.sequence));
  for (const known of everyCheckReading(subject)) {
    const at = `reading ${known.sequence}`;
    if (seen.has(known.sequence)) contradicts(at, "it stands in the record twice");
    seen.add(known.sequence);
    if (!subject.tools.some((tool) => tool.id === known.reading.tool)) contradicts(at, "its tool is not among the tools of the record");
    if (known.sequence < subject.ledger.first || known.sequence > subject.ledger.last) contradicts(at, "it lies outside the entries that the record covers");
    if (!isConverted(known.reading)) contradicts(at, "what was judged does not follow from what was displayed");
  }
  needsElsewhere(subject.checks_elsewhere || [], "check");
}

const ownPlace = (check, known) => { const place = placeOf(known.placement); return place?.check === check.id ? place : undefined; };

// The readings that count: the newest at each place since the check was last open, in the order of the places.
function countingOf(check) {
  const opened = (check.opened || []).at(-1)?.sequence ?? -1;
  const newest = new Map();
  for (const known of check.readings) {
    const place = ownPlace(check, known);
    if (place && known.sequence > opened && place.number < check.readings_wanted && known.reading.unit === check.spec.limits.unit && !check.formula) newest.set(place.number, known);
  }
  return [...newest.entries()].sort(([one], [other]) => one - other).map(([, known]) => known);
}

const isUnder = (verdict, { spec, rule }) => verdict.rule === rule && same(verdict.limits, spec.limits);

function needsVerdictsOf(check, known) {
  const at = `${check.id}, reading ${known.sequence}`;
  if (!known.verdict || !ownPlace(check, known)) contradicts(at, "it has no verdict, or belongs to another check");
  for (const earlier of known.earlier_verdicts || []) {
    const edition = (check.earlier || []).find((one) => one.until === earlier.until);
    if (!edition || !follows(known.reading, earlier.verdict) || !isUnder(earlier.verdict, edition)) contradicts(at, "an earlier verdict does not follow from an earlier edition of the plan");
  }
  if (!follows(known.reading, known.verdict)) contradicts(at, `the verdict ${known.verdict.answer} does not follow from its figures`);
  // What no longer counts was not judged again.
  const isThen = !known.counts && (check.earlier || []).some((edition) => isUnder(known.verdict, edition));
  if (!isUnder(known.verdict, check) && !isThen) contradicts(at, "it was judged by other limits, or another rule, than its check's");
}

function needsOne(check) {
  if (!isRising(check.readings.map((known) => known.sequence))) contradicts(check.id, "its readings are not in their order");
  const counting = countingOf(check);
  for (const known of check.readings) {
    needsVerdictsOf(check, known);
    if (known.counts !== counting.includes(known)) contradicts(`${check.id}, reading ${known.sequence}`, "whether it counts disagrees with which reading is the newest at its place");
  }
}

const GATHER = {
  min: (values) => Math.min(...values), max: (values) => Math.max(...values),
  mean: (values) => values.reduce((sum, value) => sum + value, 0) / values.length, spread: (values) => Math.max(...values) - Math.min(...values),
};

// A formula with every check in braces; `values` gives the list of values of one. Nothing where it is none.
function evaluate(formula, values) {
  const tokens = formula.match(/\{[^}]*\}|[a-z]+|\d+(?:\.\d+)?|[-+*/(),]|\S/g) || [];
  let at = 0;
  const take = (token) => (tokens[at] === token ? (at += 1, true) : false);
  const needs = (token) => { if (!take(token)) throw new Error("it is no formula"); };
  const check = () => {
    const id = /^\{([^}]*)\}$/.exec(tokens[at] || "")?.[1];
    if (id === undefined) throw new Error("it is no formula");
    at += 1;
    return values(id);
  };
  const operand = () => {
    const token = tokens[at] || "";
    if (take("(")) { const inside = sum(); needs(")"); return inside; }
    if (token === "abs") { at += 1; needs("("); const inside = sum(); needs(")"); return Math.abs(inside); }
    if (Object.hasOwn(GATHER, token)) {
      at += 1;
      needs("(");
      const all = check();
      while (take(",")) all.push(...check());
      needs(")");
      return GATHER[token](all);
    }
    if (/^\d/.test(token)) { at += 1; return Number(token); }
    return check().at(-1);
  };
  const product = () => {
    let value = operand();
    for (;;) {
      if (take("*")) value *= operand();
      else if (take("/")) value /= operand();
      else return value;
    }
  };
  const sum = () => {
    let value = take("-") ? -product() : (take("+"), product());
    for (;;) {
      if (take("+")) value += product();
      else if (take("-")) value -= product();
      else return value;
    }
  };
  const result = sum();
  if (at !== tokens.length) throw new Error("it is no formula");
  return Number.isFinite(result) ? result : undefined;
}

// The standard uncertainty of a result, in thousandths, by finite differences, and whether readings share one certificate's
// error (JCGM 100:2008, 5.1.2 and 5.2.2). Nothing where an input's is not known.
function uncertainty(inputs, result) {
  const shared = new Map();
  let squares = 0;
  for (const [number, { reading }] of inputs.entries()) {
    if (!reading.worth) return null;
    const moved = (by) => result(inputs.map((input, at) => input.reading.value + (at === number ? by : 0)));
    const moves = (thousandths) => (moved(thousandths / 1000) - moved(-thousandths / 1000)) / 2;
    squares += moves(reading.worth.resolution_thousandths) ** 2;
    const certificate = reading.worth.basis.certificate?.number;
    const key = JSON.stringify([reading.tool, certificate ?? null]);
    if (!shared.has(key)) shared.set(key, { certificate, all: [] });
    shared.get(key).all.push(moves(reading.worth.tool_thousandths));
  }
  let isShared = false;
  for (const { certificate, all } of shared.values()) {
    const together = all.reduce((sum, one) => sum + one, 0) ** 2;
    const apart = all.reduce((sum, one) => sum + one * one, 0);
    squares += certificate === undefined ? Math.max(together, apart) : together;
    isShared ||= certificate !== undefined && all.length > 1;
  }
  const standard = Math.max(0, Math.ceil(Math.sqrt(squares) * 1000 - 1e-6));
  return Number.isFinite(standard) ? { standard, isShared } : null;
}

// What a computed check comes to from the readings that count; nothing while one is missing.
function derive(subject, check) {
  const inputs = [];
  for (const id of check.formula.inputs) {
    const of = (subject.checks || []).find((known) => known.id === id);
    const counting = of ? countingOf(of) : [];
    if (!of || counting.length < of.readings_wanted || counting.length === 0 || counting.some((known) => known.reading.value === undefined)) return null;
    inputs.push(...counting.map((known) => ({ id, sequence: known.sequence, reading: known.reading })));
  }
  const result = (moved) => evaluate(check.formula.text, (id) => {
    if (!check.formula.inputs.includes(id)) throw new Error("it is no formula");
    return inputs.map((input, at) => [input.id, moved[at]]).filter(([of]) => of === id).map(([, value]) => value);
  });
  const value = result(inputs.map((input) => input.reading.value));
  if (value === undefined) return null;
  const size = Math.max(0, Math.ceil(Math.abs(value) - 1e-6));
  return { value: value < 0 ? -size : size, budget: uncertainty(inputs, result), inputs: inputs.map((input) => input.sequence).sort((one, other) => one - other) };
}

// A computed check is computed again: the result within one small unit, its uncertainty within two thousandths of one.
function needsDerived(subject, check) {
  const said = check.derived;
  let again = null;
  try { again = check.formula ? derive(subject, check) : null; } catch { /* it is no formula: nothing follows from it */ }
  const near = (one, other, most) => (one === undefined || other === undefined ? one === other : Math.abs(one - other) <= most);
  const verdict = said?.verdict;
  const isSo = Boolean(said) === Boolean(again) && (!said || (same(said.inputs, again.inputs)
    && (said.shares_a_certificate ?? false) === (again.budget?.isShared ?? false) && near(said.value, again.value, 1)
    && near(said.standard_thousandths, again.budget?.standard, 2) && near(verdict.expanded, again.budget ? Math.ceil((2 * again.budget.standard) / 1000) : undefined, 1)
    && isUnder(verdict, check) && verdict.outside === undefined && decide(said.value, verdict.limits, verdict.rule, verdict.expanded) === verdict.answer));
  if (!isSo) contradicts(check.id, "what its formula comes to does not follow from the readings that count");
}

// How a check stands, from nothing but its readings and decisions in the record.
function checkStanding(check) {
  const facts = check.readings.map((known) => {
    const { value, unit } = known.reading;
    const since = sinceWhen(known, (verdict) => checkAnswer(value, verdict), (verdict) => verdict.limits.upper ?? Infinity);
    return { since, answer: checkAnswer(value, known.verdict), counts: known.counts, harms: canHarm(unit), mayHarm: canHarm(unit) && mayBeOver(value, known.verdict) };
  });
  const isSettled = (counts, since) => (check.dispositions || []).some((done) => done.sequence > since && (!counts || !loosens(done.decision)));
  if (facts.some((fact) => fact.harms && fact.since.over !== null && !isSettled(fact.counts, fact.since.over))) return "over";
  if (facts.some((fact) => fact.counts && fact.mayHarm && !isSettled(true, fact.since.answer))) return "undecided";
  if (check.deferred) return "deferred";
  if (check.formula) {
    if (!check.derived) return "open";
    const { answer } = check.derived.verdict;
    const newest = Math.max(check.derived.inputs.at(-1) ?? 0, (check.earlier || []).at(-1)?.until ?? 0);
    return answer === "within" ? "within" : isSettled(true, newest) ? "kept" : answer;
  }
  const counting = facts.filter((fact) => fact.counts);
  const open = ["over", "under", "undecided"].find((answer) => counting.some((fact) => fact.answer === answer && !isSettled(true, fact.since.answer)));
  if (open) return open;
  if (counting.length < check.readings_wanted) return counting.length ? "part-way" : "open";
  return counting.every((fact) => fact.answer === "within") ? "within" : "kept";
}

function needsCheckAlarms(subject) {
  const readings = everyCheckReading(subject);
  for (const known of readings) {
    const verdicts = [...(known.earlier_verdicts || []).map((earlier) => earlier.verdict), ...(known.verdict ? [known.verdict] : [])];
    const isOver = canHarm(known.reading.unit) && verdicts.some((verdict) => checkAnswer(known.reading.value, verdict) === "over");
    if (isOver && !(subject.check_alarms || []).some((alarm) => alarm.reading === known.sequence)) contradicts(`reading ${known.sequence}`, "it is over and raised no alarm");
  }
  for (const alarm of subject.check_alarms || []) {
    const at = `alarm ${alarm.sequence}`;
    if (!readings.some((known) => known.sequence === alarm.reading)) contradicts(at, "its reading is not in the record");
    const specs = everyCheck(subject).filter((check) => check.id === alarm.place.check).flatMap((check) => [...(check.earlier || []), check]);
    if (!specs.some(({ spec: { limits } }) => limits.upper === alarm.upper && limits.unit === alarm.unit)) contradicts(at, "it names no check of the record, or another limit than the check has");
  }
}

// An error where the checks of a record do not follow from its readings.
export function needsChecks(subject) {
  needsCheckSummary(subject);
  needsCheckReadings(subject);
  for (const check of subject.checks || []) {
    needsOne(check);
    needsDerived(subject, check);
    const standing = checkStanding(check);
    if (standing !== check.standing) contradicts(check.id, `it is said to be ${check.standing}, and its readings say otherwise`);
    if (standing === "open" || standing === "part-way") contradicts(check.id, "the build is finished, and it is neither measured nor deferred");
  }
  for (const check of subject.removed_checks || []) {
    needsOne(check);
    if (check.readings.some((known) => known.counts) || checkStanding(check) === "over" || check.standing !== "open") {
      contradicts(check.id, "the plan no longer has it, and something of it counts or was not decided about");
    }
  }
  needsEditions(subject, subject.checks || [], subject.removed_checks || [], (check) => check.opened || []);
  needsCheckAlarms(subject);
}

// What is missing among the checks.
export const missingChecks = (subject) => (subject.checks || []).filter((check) => !["within", "kept"].includes(check.standing)).map((check) => ({
  fastener: check.id, what: "measurement", ...(check.deferred?.reason !== undefined && { reason: check.deferred.reason }), ...(check.waits_for !== undefined && { waits_for: check.waits_for }),
}));
