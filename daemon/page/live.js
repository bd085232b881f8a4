// The daemon: what it is asked, what it tells by itself, and the acts it is sent.

import { heldQuestion } from "./parts.js";
import { askPin } from "./pin.js";
import { dropAll, heardLive } from "./pull.js";
import { problemSaid } from "./said.js";
import { QUIET_MS, drafts, findCheck, findFastener, focusName, lastState, redraw, refuse, state, waitsForNextPull } from "./state.js";
import { t } from "./tongue.js";
import { UCUM, capital, checkAnswerWord, displayedInWords } from "./words.js";

const FETCH_TIMEOUT_MS = 6000;
const PHOTO_TIMEOUT_MS = 60000;
const RETRY_MS = 2000;
const LISTEN_AGAIN_MS = 1000;

// The kinds of entries, schema/src/entry.rs. EventSource hands out named events by name only.
const KINDS = [
  "started", "clock-changed", "tool-added", "tool-connected", "tool-gone", "tool-said", "over-now", "build-started", "tool-assigned",
  "pointed-at", "pulled", "unreadable", "placed", "acknowledged", "loosened", "deferred", "taken-up", "prepared",
  "looked", "disposed", "build-finished", "record-sealed", "tool-certified", "tool-fitted", "check-begun", "check-given-up",
  "tool-checked", "recalled", "affected", "withdrawn", "part-fitted", "part-swapped", "laid-aside", "resumed",
  "plan-changed", "noted", "check-measured", "check-placed", "handed-over", "head-signed", "head-timestamped", "key-linked", "reopened",
  "person-added", "person-renamed", "pin-changed", "person-left", "pin-locked", "device-paired", "device-revoked", "due-told", "ridden",
];

export async function ask(path, options = {}) {
  const { patience = FETCH_TIMEOUT_MS, ...request } = options;
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), patience);
  try {
    const answer = await fetch(path, { cache: "no-store", signal: abort.signal, ...request });
    // This device was shut out: what it shows has to go.
    if (answer.status === 401) location.reload();
    return { ok: answer.ok, body: await answer.json().catch(() => null), status: answer.status };
  } finally {
    clearTimeout(timer);
  }
}

let underWay = false;
let queued = false;
let retry = null;

// At most one request is under way and one waits.
export async function refetch() {
  if (underWay) { queued = true; return; }
  underWay = true;
  do {
    queued = false;
    await fetchBench();
  } while (queued);
  underWay = false;
}

async function fetchBench() {
  clearTimeout(retry);
  try {
    const answer = await ask("/v1/bench");
    state.reachable = true;
    state.trouble = answer.ok && answer.body ? null : problemSaid(answer);
    if (!state.trouble) adopt(answer.body);
  } catch {
    state.reachable = false;
  }
  if (!state.reachable || state.trouble) retry = setTimeout(refetch, RETRY_MS);
  redraw();
}

function adopt(view) {
  const before = state.view;
  state.view = view;
  // Only one of the people can act; a name from before there were any is nobody's.
  if (view.people?.length > 0 && !view.people.some(({ name }) => name === state.who)) state.who = "";
  if (before && newestOf(view) !== newestOf(before)) state.said = null; // a new reading is worth more than what an act came to
  for (const sequence of [...state.eventAlarms.keys()]) if (sequence <= view.sequence) state.eventAlarms.delete(sequence);
  noteHeld(before, view);
  if (before) speak(before, view); else listen(view.sequence);
}

const newestOf = (view) => Math.max(...view.builds.map((build) => Math.max(build.last?.sequence ?? 0, build.last_check?.sequence ?? 0)));

// A reading that has just been held waits a moment for the next pull. What was there when the page was opened has waited.
function noteHeld(before, view) {
  for (const build of view.builds) {
    for (const alarm of build.alarms) state.alarmed.add(alarm.sequence);
    for (const held of build.held) {
      if (state.quietUntil.has(held.sequence)) continue;
      const isNew = before && build.held.length === 1;
      state.quietUntil.set(held.sequence, isNew ? performance.now() + QUIET_MS : 0);
      if (isNew && waitsForNextPull(build)) setTimeout(() => askNow(held), QUIET_MS + 20);
    }
  }
}

function askNow(held) {
  const isWaiting = state.view.builds.some((build) => build.held.some((other) => other.sequence === held.sequence));
  if (isWaiting && state.quietUntil.get(held.sequence) > 0) say(heldQuestion(held));
  redraw();
}

const say = (text) => { document.getElementById("spoken").textContent = text; };

// Says a new verdict to those who hear the page. What was there when the page was opened is not news.
function speak(before, view) {
  for (const build of view.builds) {
    const old = before.builds.find((b) => b.id === build.id)?.last_check;
    const last = build.last_check;
    if (!last || (old && old.sequence === last.sequence && old.answer === last.answer && old.title === last.title)) continue;
    say(t("spoken", { word: last.answer ? checkAnswerWord(last.answer) : t("held"), value: displayedOf(last), where: last.title || "" }));
  }
  for (const build of view.builds) {
    const old = before.builds.find((b) => b.id === build.id)?.last;
    const last = build.last;
    if (!last || (old && old.sequence === last.sequence && old.answer === last.answer && old.title === last.title)) continue;
    const [, word] = lastState(build);
    say(t("spoken", { word, value: displayedOf(last), where: waitsForNextPull(build) ? t("spoken-waits") : last.title || "" }));
  }
}

const displayedOf = (last) => (last.displayed ? displayedInWords(last.displayed) : capital(t("more-than-shown")));

let source = null;
let lastEvent = 0;

function listen(after) {
  lastEvent = after;
  source = new EventSource(`/v1/events?after=${after}&live=true`);
  source.onopen = () => { state.live = true; refetch(); };
  // A browser waits some seconds before it tries again, which is long for an alarm: ask at once, and listen again soon.
  source.onerror = () => {
    source.close();
    dropAll();
    state.live = false;
    refetch();
    setTimeout(() => listen(lastEvent), LISTEN_AGAIN_MS);
  };
  source.addEventListener("live", heardLive);
  for (const kind of KINDS) source.addEventListener(kind, heard);
}

function heard(event) {
  let entry;
  try { entry = JSON.parse(event.data); } catch { refetch(); return; }
  if (Number.isInteger(entry.sequence)) lastEvent = Math.max(lastEvent, entry.sequence);
  if (entry.body?.alarm && ["check-measured", "check-placed"].includes(entry.kind)) {
    raiseCheck(entry);
    redraw();
  }
  if (entry.body?.alarm && ["pulled", "placed", "over-now"].includes(entry.kind)) {
    raise(entry);
    redraw();
  }
  refetch();
}

// An over alarm as its event tells it; titles come from what the page already knows.
function raise(entry) {
  if (entry.kind === "pulled") {
    state.alarmed.add(entry.sequence);
    for (const [sequence, early] of state.eventAlarms) if (early.tool === entry.body.reading.tool) state.eventAlarms.delete(sequence);
  }
  if (entry.sequence <= (state.view?.sequence ?? -1)) return;
  const { alarm, build: id, reading } = entry.body;
  const build = state.view?.builds.find((b) => b.id === id);
  const fastener = build && findFastener(build, alarm.place.fastener);
  let displayed = null;
  let applied = (entry.kind === "over-now" ? entry.body : reading)?.applied_millinewton_metre ?? null;
  if (entry.kind === "placed") {
    displayed = build?.held.find((held) => held.sequence === reading)?.displayed
      ?? (build?.last?.sequence === reading ? build.last.displayed : null);
    applied = build?.last?.sequence === reading ? build.last.applied_millinewton_metre : null;
  } else if (entry.kind === "over-now") {
    displayed = entry.body.displayed ? `${entry.body.displayed.value} ${UCUM[entry.body.displayed.unit] || entry.body.displayed.unit}` : null;
  } else if (reading.displayed) {
    displayed = `${reading.displayed.value} ${UCUM[reading.displayed.unit] || reading.displayed.unit}`;
  }
  state.eventAlarms.set(entry.sequence, {
    sequence: entry.sequence, tool: entry.kind === "over-now" ? entry.body.tool : undefined, build: id, fastener: alarm.place.fastener, title: fastener?.title || alarm.place.fastener,
    displayed, applied_millinewton_metre: applied, unseen: entry.kind === "placed" && displayed === null, upper_millinewton_metre: alarm.upper_millinewton_metre,
    joint: fastener?.joint ?? null,
  });
}

// The upper limit out of limits in words, as the daemon writes them.
const upperOf = (limits) => /(?:^at most | to )(.+?)(?:, aim .*)?$/.exec(limits || "")?.[1];

// The same of a check; what the limit is in words stands in the view.
function raiseCheck(entry) {
  if (entry.sequence <= (state.view?.sequence ?? -1)) return;
  const { alarm, build: id, reading } = entry.body;
  const build = state.view?.builds.find((b) => b.id === id);
  const check = build && findCheck(build, alarm.place.check);
  const shown = entry.kind === "check-measured" ? reading.displayed : null;
  state.eventAlarms.set(entry.sequence, {
    sequence: entry.sequence, build: id, check: alarm.place.check, title: check?.title || alarm.place.check,
    displayed: shown ? `${shown.value} ${UCUM[shown.unit] || shown.unit}` : null, unseen: entry.kind === "check-placed",
    upper_text: upperOf(check?.limits_text) || `${alarm.upper} ${alarm.unit}`,
  });
}

const acting = new Set();

const posted = (body) => ({ method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });

// Where the shop keeps people, these need the PIN of who does them. The daemon insists on it; the page asks before.
const WITH_PIN = ["seal", "amend", "dispose"];

// Sends one act. What was done is shown when the daemon has said so; a refusal is shown in its words.
export function act(body, options) {
  const needsPin = WITH_PIN.includes(body.act) && state.view?.people?.length > 0;
  if (needsPin && body.by) { askPin(body, options); return false; }
  // Whether a reading that is taken away from a place had gone over there is better known to the daemon.
  const refused = (problem) => {
    if (problem?.type !== "person/needs-pin") return false;
    askPin(body, options);
    return true;
  };
  return perform("/v1/acts", body, posted(body), { ...options, refused });
}

// Sends something that is no act on a build.
export const sendTo = (path, body, options) => perform(path, body, posted(body), options);

const PIN_REFUSED = ["person/wrong-pin", "person/locked", "person/no-pin"];

// Sends an act with a PIN. What was wrong about the PIN comes back in words; every other refusal is shown as always.
export async function confirmed(body, pin, options) {
  let wrong = null;
  await perform("/v1/acts/confirmed", body, posted({ act: body, pin }), { ...options, refused: (problem) => {
    if (!PIN_REFUSED.includes(problem?.type)) return false;
    wrong = capital(problemSaid({ body: problem }));
    return true;
  } });
  return wrong;
}

// Sends one photograph; what it is about goes into the address.
export const sendPhoto = (about, file, options) => perform(`/v1/photos?${new URLSearchParams(about)}`, about,
  { method: "POST", headers: { "Content-Type": file.type }, body: file, patience: PHOTO_TIMEOUT_MS }, options);

async function perform(path, named, request, options = {}) {
  // One act at a time, and one photograph: a long upload holds no acknowledgement up.
  const kind = path.split("?")[0];
  if (acting.has(kind)) return false;
  if ("by" in named && !named.by) { refuse(state.view?.people?.length > 0 ? t("touch-name-first") : t("write-name-first")); focusName(); return false; }
  acting.add(kind);
  document.body.classList.add("acting");
  let done = false;
  let given = null;
  try {
    const answer = await ask(path, request);
    done = answer.ok;
    if (done) state.said = answer.body?.said?.length > 0 ? answer.body.said : null;
    given = answer.body;
    if (!done && !options.refused?.(answer.body)) refuse(problemSaid(answer));
  } catch {
    refuse(t("no-answer-maybe-done"));
  }
  acting.delete(kind);
  document.body.classList.toggle("acting", acting.size > 0);
  if (done) {
    state.refusal = null;
    for (const key of options.forget || []) drafts.delete(key);
    options.then?.(given);
  }
  redraw();
  refetch();
  return done;
}
