// Whether a record agrees with itself: that its verdicts follow from its figures, its standings from its verdicts, its counts
// and the list of what was not done from its standings. The same rules as the reference check, in the same order.

import { departsFrom, mayBeOver, needsConversion } from "./judge.js";
import { same } from "./read.js";

export const contradicts = (at, what) => { throw new Error(`${at}: ${what}`); };
export const everyFastener = (subject) => [...subject.fasteners, ...(subject.removed || [])];
export const everyReading = (subject) => [...everyFastener(subject).flatMap((fastener) => fastener.readings), ...subject.elsewhere];
export const placeOf = (placement) => Object.values(placement)[0].place;
export const isRising = (numbers) => numbers.every((number, at) => at === 0 || numbers[at - 1] < number);
const changesOf = (subject) => (subject.plan_changes || []).map((change) => change.changed.sequence);
// Decisions after which the fastener is loose, or the check open again.
export const loosens = (decision) => ["part-replaced", "tightened-again", "set-right"].includes(decision);
const DONE = ["within", "over-kept", "undecided-kept"];

function needsReadings(subject) {
  const seen = new Set();
  for (const known of everyReading(subject)) {
    const at = `reading ${known.sequence}`;
    if (seen.has(known.sequence)) contradicts(at, "it stands in the record twice");
    seen.add(known.sequence);
    const tool = subject.tools.find((one) => one.id === known.reading.tool);
    if (!tool) contradicts(at, "its tool is not among the tools of the record");
    if (known.sequence < subject.ledger.first || known.sequence > subject.ledger.last) contradicts(at, "it lies outside the entries that the record covers");
    needsConversion(at, known);
    const number = known.reading.worth?.basis.certificate?.number;
    const certificates = [tool.certificate, ...(tool.earlier_certificates || [])].filter(Boolean);
    if (number !== undefined && !certificates.some((one) => one.number === number)) contradicts(at, `the certificate ${number} that it stands on is not in the record`);
  }
}

const SUMMARY = { within: "within", "over-kept": "over_kept", over: "over", "undecided-kept": "undecided_kept", undecided: "undecided", deferred: "deferred" };
function needsSummary(subject) {
  const counted = { fasteners: subject.fasteners.length, within: 0, over_kept: 0, over: 0, undecided_kept: 0, undecided: 0, deferred: 0, open: 0 };
  for (const fastener of subject.fasteners) counted[SUMMARY[fastener.standing] || "open"] += 1;
  if (Object.entries(counted).some(([name, count]) => (subject.summary[name] ?? 0) !== count)) contradicts("summary", "it does not count the fasteners of the record");
}

const verdictsOf = (known) => [...(known.earlier_verdicts || []).map((earlier) => earlier.verdict), ...(known.verdict ? [known.verdict] : [])];

function needsVerdicts(fastener, known) {
  const at = `${fastener.id}, reading ${known.sequence}`;
  const place = placeOf(known.placement);
  if (!known.verdict || place?.fastener !== fastener.id) contradicts(at, "it has no verdict, or belongs to another fastener");
  const editions = fastener.earlier || [];
  for (const earlier of known.earlier_verdicts || []) {
    const edition = editions.find((one) => one.until === earlier.until);
    if (!edition) contradicts(at, "it names an edition of the plan that the fastener does not have");
    const why = departsFrom(known, place.pass, earlier.verdict, edition);
    if (why) contradicts(at, why);
  }
  const why = departsFrom(known, place.pass, known.verdict, fastener);
  // What no longer counts was not judged again.
  if (why && (known.counts || !editions.some((edition) => !departsFrom(known, place.pass, known.verdict, edition)))) contradicts(at, why);
}

function needsReadingsOf(fastener) {
  if (!isRising(fastener.readings.map((known) => known.sequence))) contradicts(fastener.id, "its readings are not in their order");
  for (const known of fastener.readings) {
    needsVerdicts(fastener, known);
    if (known.counts !== fastener.loosened.every((undone) => undone.sequence < known.sequence)) {
      contradicts(`${fastener.id}, reading ${known.sequence}`, "whether it counts disagrees with when the fastener was undone");
    }
  }
}

// Since when a reading's answer is what it is, and since when it is over. An edition that allows more does not take an over
// away; one that allows less makes it over anew. `answer` and `upper` say how a verdict is read.
export function sinceWhen(known, answer, upper) {
  const from = [known.sequence, ...(known.earlier_verdicts || []).map((earlier) => earlier.until)];
  const since = { answer: known.sequence, over: null };
  let before = null;
  for (const [number, verdict] of verdictsOf(known).entries()) {
    const isNew = !before || answer(before) !== answer(verdict);
    const isLower = before && upper(verdict) < upper(before);
    if (isNew || (isLower && answer(verdict) === "undecided")) since.answer = from[number];
    if (answer(verdict) === "over" && (isNew || isLower)) since.over = from[number];
    before = verdict;
  }
  return since;
}

const sizeOf = (known) => { const torque = known.reading.applied_millinewton_metre; return torque === undefined ? undefined : Math.abs(torque); };
const standsSince = (known) => sinceWhen(known, (verdict) => verdict.answer, (verdict) => verdict.limits.upper_millinewton_metre);
const completes = (known) => ["within", "over"].includes(known.verdict.answer) || mayBeOver(sizeOf(known), known.verdict);

// How a fastener stands, from nothing but its readings and decisions; nothing where a finished build could not leave it so.
function standingOf(fastener) {
  const counting = fastener.readings.filter((known) => known.counts);
  const isSettled = (known, since) => fastener.dispositions.some((done) => done.sequence > since && (!known.counts || !loosens(done.decision)));
  const over = (known) => standsSince(known).over;
  if (fastener.readings.some((known) => over(known) !== null && !isSettled(known, over(known)))) return "over";
  if (counting.some((known) => over(known) !== null)) return "over-kept";
  const perhaps = counting.filter((known) => mayBeOver(sizeOf(known), known.verdict));
  if (perhaps.some((known) => !isSettled(known, standsSince(known).answer))) return "undecided";
  if (fastener.deferred) return "deferred";
  const done = Math.max(0, ...counting.filter(completes).map((known) => placeOf(known.placement).pass + 1));
  if (done < fastener.passes_percent.length) return null;
  return perhaps.length ? "undecided-kept" : "within";
}

function needsStanding(fastener) {
  needsReadingsOf(fastener);
  if (standingOf(fastener) !== fastener.standing) contradicts(fastener.id, `it is said to be ${fastener.standing}, and its readings say otherwise`);
}

function needsRemoved(fastener) {
  needsReadingsOf(fastener);
  if (fastener.readings.some((known) => known.counts) || fastener.standing !== "open" || standingOf(fastener) === "over") {
    contradicts(fastener.id, "the plan no longer has it, and something of it counts or was not decided about");
  }
}

// Editions that ended where the plan was changed, of fasteners or of checks; `undone` names the acts that took one out.
export function needsEditions(subject, now, removed, undone) {
  const numbers = changesOf(subject);
  for (const one of [...now, ...removed]) {
    const untils = (one.earlier || []).map((edition) => edition.until);
    if (!isRising(untils) || untils.some((until) => !numbers.includes(until))) contradicts(one.id, "an earlier edition is said to have ended where the plan was not changed");
  }
  for (const one of removed) {
    if (now.some((known) => known.id === one.id) || !undone(one).some((act) => numbers.includes(act.sequence))) contradicts(one.id, "it is said to be out of the plan, and nothing took it out");
  }
}

function needsLife(subject) {
  const changes = subject.plan_changes || [];
  if (!isRising(changesOf(subject)) || changes.at(-1)?.before.sha256 === subject.plan.sha256) contradicts("plan_changes", "the editions of the plan do not follow one another");
  needsEditions(subject, subject.fasteners, subject.removed || [], (fastener) => fastener.loosened);
  (subject.removed || []).forEach(needsRemoved);
  const checks = [...(subject.checks || []), ...(subject.removed_checks || [])];
  for (const part of subject.parts || []) {
    const last = (part.swaps || []).at(-1);
    const isLast = last ? part.fitted?.sequence > last.swapped.sequence || last.serial === part.serial : Boolean(part.fitted);
    if (!isLast) contradicts(part.id, "its serial number is not the one that was put on last");
    for (const swap of part.swaps || []) {
      const isIn = (acts) => (acts || []).some((act) => act.sequence === swap.swapped.sequence);
      const missing = swap.fasteners.find((id) => !everyFastener(subject).some((fastener) => fastener.id === id && isIn(fastener.loosened))
        && !checks.some((check) => check.id === id && isIn(check.opened)));
      if (missing !== undefined) contradicts(part.id, `${missing} was undone for it, and is not said to have been`);
    }
  }
  const said = new Set([
    ...everyFastener(subject).flatMap((fastener) => [...fastener.prepared, ...fastener.loosened, ...fastener.looked, ...fastener.dispositions, fastener.deferred]),
    ...checks.flatMap((check) => [...(check.opened || []), ...(check.dispositions || []), check.deferred]),
    ...(subject.parts || []).flatMap((part) => [part.fitted, ...(part.swaps || []).map((swap) => swap.swapped)]),
    ...(subject.notes || []).map((note) => note.noted), ...(subject.hands || []).map((hand) => hand.handed),
  ].filter(Boolean).map((act) => act.sequence));
  for (const { act, withdrawn } of subject.withdrawn || []) {
    if (withdrawn.sequence <= act.sequence || said.has(act.sequence)) contradicts(`entry ${act.sequence}`, "it was taken back, and counts all the same");
  }
}

// In whose hands the build was at each reading that counts: those who may not be the second to look.
function tightenedBy(subject, fastener) {
  const hands = [...(subject.hands || [])].reverse();
  return fastener.readings.filter((known) => known.counts).map((known) => hands.find((hand) => hand.handed.sequence < known.sequence)?.to ?? subject.started.by);
}

function missingAt(subject, fastener) {
  const item = (what, more = {}) => ({ fastener: fastener.id, what, ...more });
  if (!DONE.includes(fastener.standing)) {
    return [item("torque", { ...(fastener.deferred?.reason !== undefined && { reason: fastener.deferred.reason }), ...(fastener.waits_for !== undefined && { waits_for: fastener.waits_for }) })];
  }
  const latest = (acts) => Math.max(-1, ...acts.map((act) => act.sequence));
  const last = latest(fastener.readings.filter((known) => known.counts));
  const others = tightenedBy(subject, fastener);
  const isLookedAt = fastener.looked.some((look) => look.sequence > last && !others.includes(look.by));
  const isPrepared = fastener.prepared.some((act) => act.sequence > latest(fastener.loosened));
  return [fastener.prep.length && !isPrepared && item("prep"), fastener.second_look && !isLookedAt && item("second-look")].filter(Boolean);
}

function needsNotDone(subject, ofChecks) {
  const expected = [...subject.fasteners.flatMap((fastener) => missingAt(subject, fastener)), ...ofChecks];
  const listed = subject.not_done;
  const isIn = (list, one) => list.some((other) => same(other, one));
  const differs = expected.find((one) => !isIn(listed, one)) || listed.find((one) => !isIn(expected, one));
  if (differs) contradicts(differs.fastener, "its part of the list of what was not done disagrees with the rest");
  if (expected.length !== listed.length) contradicts("not_done", "something stands twice in the list of what was not done");
}

// A reading that belongs to a fastener or a check cannot hide among those that belong to none.
export function needsElsewhere(readings, what) {
  for (const known of readings) {
    if (placeOf(known.placement) || known.verdict || known.counts) contradicts(`reading ${known.sequence}`, `it belongs to a ${what} and is listed apart`);
  }
}

function needsAlarms(subject) {
  const readings = everyReading(subject);
  for (const known of readings) {
    if (verdictsOf(known).some((verdict) => verdict.answer === "over") && !subject.alarms.some((alarm) => alarm.reading === known.sequence)) {
      contradicts(`reading ${known.sequence}`, "it is over and raised no alarm");
    }
  }
  for (const alarm of subject.alarms) {
    const at = `alarm ${alarm.sequence}`;
    if (!readings.some((known) => known.sequence === alarm.reading)) contradicts(at, "its reading is not in the record");
    const specs = everyFastener(subject).filter((fastener) => fastener.id === alarm.place.fastener).flatMap((fastener) => [...(fastener.earlier || []), fastener]);
    if (!specs.some(({ spec }) => spec.limits.upper_millinewton_metre === alarm.upper_millinewton_metre)) contradicts(at, "it names no fastener of the record, or another limit than the fastener has");
  }
}

// An error where the record contradicts itself. What concerns checks comes in from their module.
export function needsAgreement(subject, needsChecks, missingChecks) {
  needsReadings(subject);
  needsSummary(subject);
  subject.fasteners.forEach(needsStanding);
  needsLife(subject);
  needsChecks(subject);
  needsNotDone(subject, missingChecks(subject));
  needsElsewhere(subject.elsewhere, "fastener");
  needsAlarms(subject);
}
