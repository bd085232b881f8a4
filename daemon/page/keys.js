// The whole page by keyboard, and one key as a foot pedal. A pedal is a keyboard of one key; which one it is, is taught by
// pressing it. It does the one thing that waits and says before what that is. It never acknowledges an over alarm, and it
// chooses where a reading belongs only where somebody has allowed it, and the question on the screen says so.

import { button, draw, h } from "./elements.js";
import { act } from "./live.js";
import { heldQuestion, placeAct } from "./parts.js";
import { closeSheet, openSheet } from "./sheet.js";
import { STRAY_TOUCH_MS, alarms, choose, nextOf, redraw, remember, remembered, shownBuild, state, waitsForNextPull } from "./state.js";
import { t } from "./tongue.js";

const TEACHING = "teaching";

const letters = () => remembered("letters") !== "off";
export const pedal = () => remembered("pedal");
const pedalMayPlace = () => remembered("pedal-places") === "on";

const keyed = (key) => [...document.querySelectorAll("[data-key]")].find((element) => element.dataset.key === key && element.offsetParent !== null);
const first = (where) => [...document.querySelectorAll(where)].find((element) => element.offsetParent !== null && !element.disabled);

function goTo(element) {
  if (!element) return;
  element.focus();
  element.scrollIntoView({ block: "nearest" });
}
const goAndPress = (element) => { goTo(element); element?.click(); };

// A key, what it does in words, and how. What answers a question or ends something is only gone to: Enter presses it.
const SHORTCUTS = [
  ["p", t("prep-is-on"), () => goAndPress(keyed("prep"))],
  ["n", t("key-next-sheet"), () => openNext()],
  ["m", t("key-map"), () => goTo(first("#map .node.is-next") || first("#map .node, #map button"))],
  ["l", t("key-list"), () => goTo(first("#list .fastener.is-next") || first("#list .fastener"))],
  ["d", t("key-decide"), () => goTo(first("#decide button, #decide input"))],
  ["w", t("key-say-now"), () => goAndPress(first("#last .last-ask"))],
  [t("key-digits"), t("key-answers"), null],
  ["o", t("key-board"), () => { state.board = !state.board; state.sheet = null; redraw(); goTo(first("#board button")); }],
  ["b", t("key-next-build"), () => nextBuild()],
  ["h", t("key-this-build"), () => goAndPress(keyed("this build"))],
  ["t", t("key-tools"), () => goTo(first("#tools button"))],
  ["y", t("key-name"), () => goTo(document.getElementById("by"))],
  ["f", t("key-handover"), () => goTo(first("#handover button, #handover a"))],
  ["s", t("key-sound"), () => keyed("sound")?.click()],
  ["?", t("key-keys"), () => openSheet({ kind: "keys" })],
  [t("key-tab"), t("key-tab-what"), null],
  [t("key-enter"), t("key-enter-what"), null],
  ["Esc", t("close"), null],
];

function openNext() {
  const build = shownBuild();
  const next = build && nextOf(build);
  if (next) openSheet({ kind: "fastener", build: build.id, fastener: next.fastener });
}

function nextBuild() {
  const open = (state.view?.builds || []).filter((build) => !build.finished);
  const at = open.findIndex((build) => build.id === shownBuild()?.id);
  if (open.length > 1) choose(open[(at + 1) % open.length].id);
}

const isTyping = (element) => element?.matches?.("textarea, select, input:not([type=radio]):not([type=checkbox])");
const nameOf = (event) => (event.key === " " ? "space" : event.key);

document.addEventListener("keydown", (event) => {
  if (state.pin || event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
  if (state.sheet?.kind === "keys" && state.sheet.form === TEACHING) { teach(event); return; }
  if (nameOf(event) === pedal() && !isTyping(event.target)) { event.preventDefault(); if (!event.repeat) press(); return; }
  if (state.planner || event.repeat || isTyping(event.target) || alarms().length > 0 || !letters()) return;
  if (state.sheet) { if (event.key === "?" && state.sheet.kind === "keys") closeSheet(); return; }
  const digit = /^[1-9]$/.test(event.key) && document.querySelectorAll("#decide .held-panel .candidate:not(.other)")[Number(event.key) - 1];
  const shortcut = SHORTCUTS.find(([key, , run]) => run && key === event.key);
  if (!digit && !shortcut) return;
  event.preventDefault();
  if (digit) goAndPress(digit); else shortcut[2]();
}, true);

// ---------------------------------------------------------------------------------------------------- the pedal

// Keys that the page cannot do without.
const KEPT = ["Tab", "Enter", "Escape", "Shift", "Control", "Alt", "Meta", "ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"];

function teach(event) {
  event.preventDefault();
  event.stopPropagation();
  if (event.repeat) return;
  if (event.key === "Escape") { openSheet({ kind: "keys" }); return; }
  if (KEPT.includes(event.key)) { state.refusal = t("pedal-kept", { key: nameOf(event) }); redraw(); return; }
  remember("pedal", nameOf(event));
  state.refusal = null;
  openSheet({ kind: "keys" });
}

// What the pedal does next: the words, and how; nothing where nothing waits that a pedal may answer.
function pedalNext() {
  const build = shownBuild();
  if (alarms().length > 0 || state.sheet || state.pin || state.planner || !build || build.finished) return null;
  const [held] = build.held;
  if (held) {
    if (waitsForNextPull(build) || !pedalMayPlace()) return null;
    const likeliest = held.candidates.find((candidate) => candidate.fastener);
    return likeliest && held.because !== "other-unit" ? { words: t("pedal-answers", { question: heldQuestion(held), title: likeliest.title }), run: () => act(placeAct(held, likeliest)) } : null;
  }
  const next = nextOf(build);
  if (!next || next.isOnceMore || next.prepared || next.prep.length === 0) return null;
  return { words: t("pedal-confirms", { title: next.title, prep: next.prep.join(", ") }), run: () => act({ act: "prepare", build: build.id, fastener: next.fastener, by: state.who }) };
}

const idleWords = () => {
  const build = shownBuild();
  if (build?.held.length && !waitsForNextPull(build)) return t("pedal-idle-held");
  return t("pedal-idle");
};

let saidSince = 0;
let said = "";

function press() {
  const next = pedalNext();
  // What has just come up is not answered by a foot that was already on its way.
  if (next && next.words === said && performance.now() - saidSince > STRAY_TOUCH_MS) next.run();
}

export function drawPedal() {
  const next = pedal() ? pedalNext() : null;
  const words = next?.words || idleWords();
  if (words !== said) { said = words; saidSince = performance.now(); }
  draw("pedal", pedal() && state.view ? [words, Boolean(next)] : null, () => h("p", { class: next ? "pedal waits" : "pedal" }, h("b", {}, `${t("pedal")} `), words));
}

// ---------------------------------------------------------------------------------------------------- the sheet

export const shownOfKeys = (sheet) => [sheet, pedal(), letters(), pedalMayPlace()];

export function keysSheet(sheet) {
  if (sheet.form === TEACHING) {
    return [
      h("h2", { id: "sheet-title" }, t("pedal-press")),
      h("p", {}, t("pedal-press-what")),
      button("teach back", "plain wide", () => openSheet({ kind: "keys" }), t("back")),
    ];
  }
  return [
    h("h2", { id: "sheet-title" }, t("keys")),
    h("dl", { class: "keys" }, SHORTCUTS.map(([key, words]) => [h("dt", {}, h("kbd", {}, key)), h("dd", {}, words)])),
    tick("letters", letters(), t("keys-letters"), () => remember("letters", letters() ? "off" : "on")),
    h("section", { class: "part", "aria-label": t("foot-pedal") },
      h("h3", {}, t("foot-pedal")),
      h("p", {}, pedal() ? t("pedal-is", { key: pedal() }) : t("pedal-none")),
      tick("pedal places", pedalMayPlace(), t("pedal-may-place"), () => remember("pedal-places", pedalMayPlace() ? "off" : "on")),
      h("div", { class: "quick" },
        button("teach", "main", () => openSheet({ kind: "keys", form: TEACHING }), pedal() ? t("pedal-teach-other") : t("pedal-teach")),
        pedal() && button("forget pedal", "plain", () => { remember("pedal", ""); redraw(); }, t("pedal-forget")))),
  ];
}

function tick(key, isOn, words, change) {
  const box = h("input", { type: "checkbox", "data-key": key });
  box.checked = isOn;
  box.addEventListener("change", () => { change(); redraw(); });
  return h("label", { class: "choice" }, box, h("span", {}, words));
}
