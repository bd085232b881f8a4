// Compares a record with the entries of the ledger that lie beside it. They are folded again into what the build was, and that
// has to be what was signed: a reading that was dropped, added, doubled or moved shows, also where the shop's own key signed
// anew. The same rules as the reference check.

import { loosens, placeOf } from "./agree.js";
import { needsEntry } from "./form.js";
import { dueOn, readPlan } from "./plan.js";
import { equal, hashOf, hex, isObject, sha256, same, text } from "./read.js";
import { openHead, rootOf } from "./signed.js";

const wrong = (what) => { throw new Error(`the history beside the record does not hold: ${what}`); };

// A copy without what is not there: members that are null, and lists with nothing in them.
export function lean(value) {
  if (Array.isArray(value)) return value.map(lean);
  if (!isObject(value)) return value;
  const copy = Object.create(null);
  for (const [name, inside] of Object.entries(value)) {
    if (inside !== null && inside !== undefined) copy[name] = lean(inside);
  }
  return copy;
}

const act = (entry, by, reason) => ({ sequence: entry.sequence, time: entry.time, by, reason });

// Acts that can be taken back: who did them, why, and on which fasteners.
const WITHDRAWABLE = {
  "pointed-at": (body) => [body.by, undefined, [body.fastener]], loosened: (body) => [body.by, body.reason, [body.fastener]],
  "taken-up": (body) => [body.by, body.reason, [body.fastener]], prepared: (body) => [body.by, body.reason, [body.fastener]],
  looked: (body) => [body.by, body.reason, [body.fastener]], deferred: (body) => [body.by, body.reason, [body.fastener]],
  disposed: (body) => [body.by, body.reason, [body.fastener]], "part-fitted": (body) => [body.by, undefined, []],
  "part-swapped": (body) => [body.by, body.reason, body.fasteners], noted: (body) => [body.by, body.text, body.fastener === undefined ? [] : [body.fastener]],
  "handed-over": (body) => [body.by ?? body.from, body.note, []],
};

const freshFastener = (planned) => ({ planned, prepared: [], loosened: [], looked: [], dispositions: [], earlier: [] });
const freshCheck = (planned) => ({ planned, opened: [], dispositions: [], earlier: [] });

// What a build was, as its entries tell it.
class Fold {
  constructor(entry, plan) {
    const { bike, plan: pin, by, follows } = entry.body;
    Object.assign(this, { bike, pin, follows, plan, started: act(entry, by), readings: new Map(), checkReadings: new Map(), alarms: [], checkAlarms: [], recalls: [] });
    Object.assign(this, { reopened: [], hands: [], asides: [], notes: [], parts: [], withdrawn: [], editions: [], removed: new Map(), removedChecks: new Map() });
    this.fasteners = new Map(plan.fasteners.map((planned) => [planned.id, freshFastener(planned)]));
    this.checks = new Map(plan.checks.map((planned) => [planned.id, freshCheck(planned)]));
  }

  on(id, ofFastener, ofCheck = () => {}) {
    if (this.fasteners.has(id)) ofFastener(this.fasteners.get(id));
    if (this.checks.has(id)) ofCheck(this.checks.get(id));
  }

  raise(entry, reading, alarm, list) {
    if (alarm) list.push({ sequence: entry.sequence, reading, ...alarm });
  }

  came(entry, readings, alarms) {
    const { reading, placement, verdict, alarm } = entry.body;
    this.raise(entry, entry.sequence, alarm, alarms);
    readings.set(entry.sequence, { sequence: entry.sequence, time: entry.time, reading, placement, verdict, earlier_placements: [], earlier_verdicts: [] });
  }

  placed(entry, readings, alarms) {
    const { reading, placement, verdict, alarm } = entry.body;
    this.raise(entry, reading, alarm, alarms);
    const known = readings.get(reading);
    if (known) Object.assign(known, { earlier_placements: [...known.earlier_placements, known.placement], placement, verdict, earlier_verdicts: [] });
  }

  judgeAnew(entry, list, readings, alarms) {
    for (const { reading, verdict, alarm } of list || []) {
      const known = readings.get(reading);
      if (known?.verdict) known.earlier_verdicts.push({ until: entry.sequence, verdict: known.verdict });
      if (known) known.verdict = verdict;
      this.raise(entry, reading, alarm, alarms);
    }
  }

  // The states under another edition of the plan. What it no longer has counts no longer, and stays.
  edition(states, removed, planned, { fresh, isOther, earlier, undone }) {
    const next = new Map();
    for (const now of planned) {
      const state = states.get(now.id) || removed.get(now.id) || fresh(now);
      states.delete(now.id);
      removed.delete(now.id);
      if (state.planned !== now && isOther(state.planned, now)) state.earlier.push(earlier(state.planned));
      if (now.prep && !same(state.planned.prep, now.prep)) state.prepared = [];
      state.planned = now;
      next.set(now.id, state);
    }
    for (const [id, state] of states) {
      undone(state);
      removed.set(id, state);
    }
    return next;
  }

  changePlan(entry, plan) {
    const { body } = entry;
    const done = act(entry, body.by, body.reason);
    const until = entry.sequence;
    this.checks = this.edition(this.checks, this.removedChecks, plan.checks, {
      fresh: freshCheck, undone: (state) => state.opened.push(done),
      isOther: (old, now) => !same(old.spec.limits, now.spec.limits) || old.rule !== now.rule || old.readings_wanted !== now.readings_wanted || old.formula !== now.formula,
      earlier: (old) => ({ until, spec: old.spec, rule: old.rule, readings_wanted: old.readings_wanted, formula: old.formula }),
    });
    this.fasteners = this.edition(this.fasteners, this.removed, plan.fasteners, {
      fresh: freshFastener, undone: (state) => state.loosened.push(done),
      isOther: (old, now) => !same(old.spec.limits, now.spec.limits) || old.rule !== now.rule || old.hand !== now.hand || !same(old.passes_percent, now.passes_percent),
      earlier: (old) => ({ until, passes_percent: old.passes_percent, spec: old.spec, rule: old.rule, hand: old.hand }),
    });
    this.judgeAnew(entry, body.judged_checks, this.checkReadings, this.checkAlarms);
    this.judgeAnew(entry, body.judged, this.readings, this.alarms);
    for (const id of body.again || []) this.on(id, (state) => state.loosened.push(done), (state) => state.opened.push(done));
    this.editions.push({ changed: done, before: this.pin });
    Object.assign(this, { pin: body.plan, plan });
  }

  take(entry, planOf) {
    const { kind, body } = entry;
    const said = (by = body.by, reason = body.reason) => act(entry, by, reason);
    const list = (name) => this.on(body.fastener, (state) => state[name].push(said()));
    switch (kind) {
      case "pulled": return this.came(entry, this.readings, this.alarms);
      case "placed": return this.placed(entry, this.readings, this.alarms);
      case "check-measured": return this.came(entry, this.checkReadings, this.checkAlarms);
      case "check-placed": return this.placed(entry, this.checkReadings, this.checkAlarms);
      case "acknowledged": return [...this.alarms, ...this.checkAlarms].filter((alarm) => alarm.sequence === body.alarm).forEach((alarm) => { alarm.acknowledged ||= act(entry, body.by); });
      case "disposed": {
        const decided = { ...said(), decision: body.decision };
        const isLoose = loosens(body.decision);
        return this.on(body.fastener, (state) => { if (isLoose) state.loosened.push(said()); state.dispositions.push(decided); }, (state) => { if (isLoose) state.opened.push(said()); state.dispositions.push(decided); });
      }
      case "affected": return this.recalls.push(body);
      case "build-finished": this.finished = said(body.by, body.sure); return undefined;
      case "reopened": this.finished = undefined; return this.reopened.push(said());
      case "loosened": return list("loosened");
      case "prepared": return list("prepared");
      case "looked": return list("looked");
      case "deferred": {
        const waits = (state) => Object.assign(state, { deferred: said(), waits_for: body.waits_for });
        return this.on(body.fastener, waits, waits);
      }
      case "taken-up": {
        const goes = (state) => Object.assign(state, { deferred: undefined, waits_for: undefined });
        return this.on(body.fastener, goes, goes);
      }
      case "part-fitted": return this.parts.push({ ...body, act: act(entry, body.by) });
      case "part-swapped":
        for (const id of body.fasteners) this.on(id, (state) => state.loosened.push(said()), (state) => state.opened.push(said()));
        return this.parts.push({ ...body, isSwap: true, act: said() });
      case "laid-aside": return this.asides.push({ laid: said() });
      case "resumed": { const last = this.asides.at(-1); if (last) last.resumed ||= said(); return undefined; }
      case "noted": return this.notes.push({ noted: act(entry, body.by), fastener: body.fastener, text: body.text, photo: body.photo });
      case "handed-over": return this.hands.push({ handed: act(entry, body.by ?? body.from, body.note), to: body.to });
      case "plan-changed": return this.changePlan(entry, planOf(entry));
      default: return undefined;
    }
  }
}

function foldOf(entries, planOf) {
  const [first, ...later] = entries;
  if (first.kind !== "build-started") wrong("the entry that began the build is missing");
  const fold = new Fold(first, planOf(first));
  const gone = new Set(entries.filter((entry) => entry.kind === "withdrawn").map((entry) => entry.body.entry));
  for (const entry of later) {
    if (gone.has(entry.sequence)) continue;
    if (entry.kind !== "withdrawn") { fold.take(entry, planOf); continue; }
    const of = entries.find((one) => one.sequence === entry.body.entry);
    const back = of && WITHDRAWABLE[of.kind]?.(of.body);
    if (back) fold.withdrawn.push({ kind: of.kind, fasteners: back[2], act: act(of, back[0], back[1]), withdrawn: act(entry, entry.body.by, entry.body.reason) });
  }
  return fold;
}

function partsOf(fold) {
  const list = [];
  for (const done of fold.parts) {
    let known = list.find((part) => part.id === done.part);
    if (!known) {
      const planned = fold.plan.parts.find((part) => part.id === done.part);
      known = { id: done.part, title: planned?.title ?? done.part, kind: planned?.kind, swaps: [] };
      list.push(known);
    }
    known.serial = done.serial;
    known.kind = done.kind ?? known.kind;
    if (done.isSwap) known.swaps.push({ swapped: done.act, out: done.out, serial: done.serial, fasteners: done.fasteners });
    else known.fitted = done.act;
  }
  return list;
}

// The tools that readings name, as the ledger knew them, and the certificates before the present one that readings stand on.
function toolsOf(entries, fold) {
  const tools = new Map();
  const earlier = new Map();
  const replace = (id, certificate) => earlier.set(id, [...(earlier.get(id) || []), certificate]);
  for (const { kind, body } of entries) {
    if (kind === "tool-added") {
      const tool = { ...body.tool };
      const before = tools.get(tool.id);
      const known = before?.serial === tool.serial ? before.certificate : undefined;
      if (tool.certificate && known && !same(known, tool.certificate)) replace(tool.id, known);
      tool.certificate ??= known;
      tools.set(tool.id, tool);
    } else if (kind === "tool-certified" && tools.has(body.tool)) {
      const tool = tools.get(body.tool);
      if (tool.certificate) replace(body.tool, tool.certificate);
      tools.set(body.tool, { ...tool, certificate: body.certificate });
    }
  }
  const readings = [...fold.readings.values()];
  const named = new Set([...readings, ...fold.checkReadings.values()].map((known) => known.reading.tool));
  return [...named].sort((one, other) => (one < other ? -1 : 1)).filter((id) => tools.has(id)).map((id) => {
    const { title, serial, class: of, measures, certificate } = tools.get(id);
    const stands = (one) => readings.some((known) => known.reading.tool === id && known.reading.worth?.basis.certificate?.number === one.number);
    return { id, title, serial, class: of, measures, certificate, earlier_certificates: (earlier.get(id) || []).filter((one) => one.number !== certificate?.number && stands(one)) };
  });
}

// A record's subject as the entries give it. Standings, counts and what was not done follow from the rest and are checked there.
function subjectOf(fold, entries, all, bench) {
  const at = (readings, name) => (id) => [...readings.values()].filter((known) => placeOf(known.placement)?.[name] === id);
  const [pulled, measured] = [at(fold.readings, "fastener"), at(fold.checkReadings, "check")];
  const fastener = ({ planned, ...state }) => ({ ...planned, ...state, readings: pulled(planned.id) });
  const check = ({ planned, ...state }) => ({ ...planned, ...state, readings: measured(planned.id) });
  const byId = (map) => [...map.keys()].sort((one, other) => (one < other ? -1 : 1)).map((id) => map.get(id));
  const none = (readings) => [...readings.values()].filter((known) => !placeOf(known.placement));
  return {
    bench, bike: fold.bike, plan: fold.pin, frame: fold.plan.frame === "road" ? undefined : fold.plan.frame, build: entries[0].body.build, started: fold.started, finished: fold.finished,
    reopened: fold.reopened, follows: fold.follows,
    due: fold.plan.due.map((due) => ({ id: due.id, title: due.title, on: dueOn(due, fold.finished.time), kilometres: due.kilometres, fasteners: due.fasteners, source: due.source })),
    fasteners: [...fold.fasteners.values()].map(fastener), elsewhere: none(fold.readings), alarms: fold.alarms, checks: [...fold.checks.values()].map(check),
    removed_checks: byId(fold.removedChecks).map(check), checks_elsewhere: none(fold.checkReadings), check_alarms: fold.checkAlarms, recalls: fold.recalls, plan_changes: fold.editions,
    removed: byId(fold.removed).map(fastener), parts: partsOf(fold), hands: fold.hands, laid_aside: fold.asides, notes: fold.notes, withdrawn: fold.withdrawn, tools: toolsOf(all, fold),
    ledger: { first: entries[0].sequence, last: entries.at(-1).sequence },
  };
}

// What follows from the rest of a record and is checked there, and what no entry of the build tells: by where it stands.
const FOLLOWS = [
  [/^\/credentialSubject$/, ["summary", "not_done", "check_summary", "cautions", "keys", "key_history", "amends", "record_version", "practice"]],
  [/\/(?:fasteners|removed|checks|removed_checks)\/\d+$/, ["standing", "derived"]],
  [/\/(?:readings|elsewhere|checks_elsewhere)\/\d+$/, ["counts"]],
  [/^\/credentialSubject\/ledger$/, ["size", "root"]],
];
const isCompared = (at, name) => !FOLLOWS.some(([where, names]) => names.includes(name) && where.test(at) && !at.includes("/recalls/"));

// Where two documents differ first, as a JSON pointer. A list with nothing in it is as good as none; a formula is the same in
// braces and without.
function difference(one, other, at) {
  const isNothing = (value) => value === undefined || value === null || (Array.isArray(value) && value.length === 0);
  if (isNothing(one) && isNothing(other)) return null;
  if (at.endsWith("/formula")) {
    const plain = (formula) => (isObject(formula) ? formula.text : formula ?? "").replace(/[{}\s]/g, "");
    return plain(one) === plain(other) ? null : at;
  }
  if (Array.isArray(one) && Array.isArray(other)) {
    for (let number = 0; number < Math.min(one.length, other.length); number += 1) {
      const found = difference(one[number], other[number], `${at}/${number}`);
      if (found) return found;
    }
    return one.length === other.length ? null : `${at}/${Math.min(one.length, other.length)}`;
  }
  if (isObject(one) && isObject(other)) {
    const names = [...new Set([...Object.keys(one), ...Object.keys(other)])].filter((name) => isCompared(at, name)).sort();
    for (const name of names) {
      const found = difference(one[name], other[name], `${at}/${name}`);
      if (found) return found;
    }
    return null;
  }
  return one === other ? null : at;
}

// Whether the entries of the build count themselves; an error where one is missing.
function numberedOf(entries) {
  if (entries.every((entry) => entry.in_build === undefined)) return false;
  let counting = false;
  for (const [number, entry] of entries.entries()) {
    if (entry.in_build === number) counting = true;
    else if (entry.in_build !== undefined || counting) wrong(`an entry of the build is missing before entry ${entry.sequence}`);
  }
  return entries[0].in_build !== undefined;
}

async function needsSeal(seal, record, keys) {
  const { credentialSubject: { ledger, build } } = record;
  const head = await openHead(seal.body.checkpoint, keys).catch((error) => wrong(error.message));
  const fits = seal.body.build === build && seal.time === record.validFrom && ledger.size === seal.sequence && head.size === ledger.size && hex(head.root) === ledger.root;
  if (!fits) wrong("the entry of the seal speaks of another record");
}

// The plans that the entries pin, read; nothing for one that this page cannot read.
async function plansOf(texts, entries) {
  const pins = entries.filter((entry) => ["build-started", "plan-changed"].includes(entry.kind)).map((entry) => entry.body.plan.sha256);
  const plans = new Map();
  for (const source of texts) {
    const hash = hex(await sha256(text.encode(source)));
    if (!pins.includes(hash)) wrong("a plan in the file is none that was pinned");
    try { plans.set(hash, readPlan(source)); } catch { plans.set(hash, null); }
  }
  if (pins.some((pin) => !plans.has(pin))) wrong("the plan is missing, or another than the one that was pinned");
  return plans;
}

// What a record's readings say without any plan: those of the ledger, each as it was, no more and no fewer.
function needsReadingsAlike(subject, entries) {
  const lists = [["pulled", [...subject.fasteners, ...(subject.removed || [])], subject.elsewhere], ["check-measured", [...(subject.checks || []), ...(subject.removed_checks || [])], subject.checks_elsewhere || []]];
  for (const [kind, places, elsewhere] of lists) {
    const known = new Map(entries.filter((entry) => entry.kind === kind).map((entry) => [entry.sequence, entry]));
    const readings = [...places.flatMap((place) => place.readings), ...elsewhere];
    const isSo = readings.length === known.size && readings.every((reading) => {
      const entry = known.get(reading.sequence);
      return entry && entry.time === reading.time && !difference(reading.reading, entry.body.reading, "");
    });
    if (!isSo) wrong("the record's readings are not those of its entries");
  }
}

async function refold(file, record, entries, seal) {
  const subject = record.credentialSubject;
  // A bench that once practised says so for good; so a record may call real work practice, and never the other way round.
  const practised = entries.find((entry) => entry.practice);
  if (practised && !subject.practice) wrong(`entry ${practised.sequence} is practice, and the record does not say so`);
  const before = entries.filter((entry) => entry.sequence < seal.sequence);
  const ofBuild = before.filter((entry) => entry.body.build === subject.build);
  const isNumbered = numberedOf([...ofBuild, seal]);
  if (!ofBuild.length) wrong("the entry that began the build is missing");
  const plans = await plansOf(file.plans || [], ofBuild);
  const last = ofBuild.filter((entry) => entry.kind === "record-sealed").at(-1)?.body.record;
  if (last !== subject.amends?.record) wrong("it does not name the record before it as the one that it amends");
  if (!same(before.filter((entry) => entry.kind === "key-linked").map((entry) => entry.body), lean(subject.keys || []))) wrong("the ledger has another key history than the record");
  needsReadingsAlike(subject, ofBuild);
  if ([...plans.values()].includes(null)) return { isNumbered, isFolded: false };
  const fold = foldOf(ofBuild, (entry) => plans.get(entry.body.plan.sha256));
  if (!fold.finished) wrong("the entries do not end with a finished build");
  const at = difference(subject, lean(subjectOf(fold, ofBuild, before, seal.bench)), "/credentialSubject");
  if (at) wrong(`the record is not what its entries give: they disagree at ${at}`);
  return { isNumbered, isFolded: true };
}

// What the file's history shows of a record. `record` has its names, `keys` are all that are known of the bench.
export async function inTheLedger(file, record, keys) {
  const { history } = file;
  const head = await openHead(history.checkpoint, keys).catch((error) => wrong(error.message));
  history.entries.forEach((entry) => { try { needsEntry(entry); } catch (error) { wrong(error.message); } });
  const numbers = history.entries.map((entry) => entry.sequence);
  if (!numbers.length || numbers.some((number, at) => number >= head.size || (at > 0 && numbers[at - 1] >= number))) wrong("the entries are not in their order, or past the signed head");
  const root = await rootOf(history.entries, history.hashes, head.size).catch((error) => wrong(error.message));
  if (!equal(root, head.root)) wrong("the entries do not lead to the signed root");
  const entries = history.entries.map(lean);
  const hash = hex(await hashOf(file.record));
  const found = { size: head.size, root: head.root, entries: entries.length };
  const seal = entries.find((entry) => entry.kind === "record-sealed" && entry.body.record === hash);
  if (seal) {
    await needsSeal(seal, record, keys);
    // Records of the first version are shown to be in the ledger, and not made again.
    if (record.credentialSubject.record_version === 1) return { ...found, isNumbered: false, isFolded: false };
    return { ...found, hasEntries: true, ...await refold(file, record, entries, seal) };
  }
  if (!entries.some((entry) => entry.kind === "head-signed" && entry.body.record === hash)) wrong("none of the entries says that this record was sealed");
  return { ...found, isNumbered: false, isFolded: false };
}
