// What the page knows, and what follows from it without asking the daemon.

import { remember, remembered } from "./kept.js";
import { t } from "./tongue.js";
import { answerWord, capital } from "./words.js";

export { remember, remembered };

export const state = {
  view: null, // the last answer of GET /v1/bench
  chosen: remembered("build"),
  live: null, // the event stream is open; null until it was tried
  reachable: true, // the last request was answered
  lostSince: null,
  trouble: null, // what the daemon said instead of the bench
  fan: null, // a place of the bike map whose fasteners are shown: build and name
  mapLarge: false, // the map is large on a small screen
  board: location.hash === "#board", // the board of all builds is shown
  planner: false, // the plans are shown
  sheet: null, // {kind, build, fastener, form}
  eventAlarms: new Map(), // over alarms that are newer than the view
  acknowledged: new Set(), // alarms for which the daemon answered Done
  pin: null, // the act that waits for a PIN
  refusal: null,
  said: null, // what follows from the last act, in the daemon's words
  stats: null, // the last answer of GET /v1/stats, and for which group
  quietUntil: new Map(), // held reading -> until when it waits for the next pull before the page asks
  alarmed: new Set(), // readings that raised an over alarm
  who: remembered("by"), // the name that goes with every act
};

let redrawing = () => {};

// Names what draws the whole page. Whoever changes the state asks for it with `redraw`.
export function redrawWith(render) { redrawing = render; }
export const redraw = () => redrawing();

// A held reading may be cleared up by the next pull: for this long the page does not ask.
export const QUIET_MS = 5000;

// A touch meant for what was there before must not answer what has just appeared.
export const STRAY_TOUCH_MS = 700;

export const drafts = new Map(); // what a person has typed and not sent

export const findFastener = (build, id) => build.stages.flatMap((stage) => stage.fasteners).find((fastener) => fastener.id === id);
export const findCheck = (build, id) => build.stages.flatMap((stage) => stage.checks).find((check) => check.id === id);
export const stageOf = (build, id) => build.stages.find((stage) => stage.fasteners.some((fastener) => fastener.id === id));
export const serving = (build) => state.view.tools.filter((tool) => tool.serves === build.id);
export const toolTitle = (id) => state.view.tools.find((tool) => tool.tool.id === id)?.tool.title || id;
export const serves = (tool) => state.view.builds.find((build) => build.id === tool.serves);

export function shownBuild() {
  const builds = state.view?.builds || [];
  const finished = builds.filter((build) => build.finished);
  return builds.find((build) => build.id === state.chosen) || builds.find((build) => !build.finished) || finished.at(-1) || null;
}

export function choose(id) {
  state.chosen = id;
  remember("build", id);
  redraw();
}

// A held reading that the next pull may clear up by itself: it is shown, and not asked about yet. Another reading of the
// build, an alarm, a touch or the time ends that.
const MAY_BECOME_CLEAR = ["unclear", "earlier-held"];
export function waitsForNextPull(build) {
  const [held] = build.held;
  return build.held.length === 1 && MAY_BECOME_CLEAR.includes(held.because) && build.last?.sequence === held.sequence
    && !state.alarmed.has(held.sequence) && performance.now() < (state.quietUntil.get(held.sequence) ?? 0);
}

// Nothing is left to do but what may have been missed.
export const isAllDone = (build) => !build.finished && !build.summary.open && !build.summary.over && !build.summary.undecided && build.held.length === 0;
export const doubtsShown = (build) => (isAllDone(build) ? build.doubts : []);

// What comes next. A fastener that is done comes next only where somebody pointed at it: one more pull.
export function nextOf(build) {
  if (!build.next || build.finished) return null;
  const { standing } = findFastener(build, build.next.fastener) || {};
  return { ...build.next, isOnceMore: ["within", "over-kept", "undecided-kept"].includes(standing) };
}

// The state of the last reading: which mark, and the word.
export function lastState(build) {
  const last = build.last;
  if (last.answer) return [last.answer === "undecided" && !last.may_be_over ? "undecided-low" : last.answer, capital(answerWord(last.answer))];
  if (build.held.some((held) => held.sequence === last.sequence)) return ["held", t("held")];
  return ["test", t("no-fastener")];
}
// The daemon goes by the day of its last entry; a bench at rest goes by the day of who looks.
export function isPastDue(tool) {
  const due = (tool.tool.measures || tool.tool).certificate?.due;
  return Boolean(tool.certificate_past || (due && due < new Date().toLocaleDateString("sv-SE")));
}

export const recalledOf = (build) => build.recalled || [];

export const isGone = (tool) => Boolean(tool.tool.connection) && !tool.connected;

export function alarms() {
  const known = (state.view?.builds || []).flatMap((build) => [...build.alarms, ...build.check_alarms].map((alarm) => ({ ...alarm, build: build.id })));
  return [...known, ...state.eventAlarms.values()]
    .filter((alarm) => !state.acknowledged.has(alarm.sequence))
    .sort((a, b) => a.sequence - b.sequence);
}

export function refuse(text) {
  state.refusal = text;
  redraw();
}

// Who does what needs a name only where the shop keeps people.
export const byWhom = () => (state.who || state.view?.people?.length > 0 ? { by: state.who } : {});

export function focusName() {
  const fields = [...document.querySelectorAll(".name-field")];
  (fields.find((field) => field.closest("#alarm")) || fields.find((field) => field.closest("#sheet")) || fields[0])?.focus();
}
