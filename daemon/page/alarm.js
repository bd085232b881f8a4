// The over alarm: it covers the page and sounds until the daemon has kept who acknowledged it.

import { button, draw, drawn, h } from "./elements.js";
import { torque } from "./figures.js";
import { act } from "./live.js";
import { mark, practiceMark } from "./marks.js";
import { nameField } from "./parts.js";
import { valueSaid } from "./said.js";
import { STRAY_TOUCH_MS, alarms, findCheck, findFastener, redraw, state } from "./state.js";
import { t } from "./tongue.js";
import { CARBON_JOINT, bikeName, capital, displayedInWords, isPractice, judgedInWords } from "./words.js";

let audio = null;
let ringing = null;

export const soundIsOn = () => audio?.state === "running";

export function switchSoundOn() {
  const Context = window.AudioContext || window.webkitAudioContext;
  if (!Context) return;
  if (!audio) { audio = new Context(); audio.onstatechange = redraw; }
  if (!soundIsOn()) audio.resume().then(redraw, () => {});
}
// Browsers let a page make sound only after a touch or a key. Not as early as "pointerdown": the row about the sound goes
// away when the sound is on, and the touch would come down on what has moved up in its place.
for (const event of ["click", "keydown"]) document.addEventListener(event, switchSoundOn, { passive: true });

function tone(frequency, start, length) {
  const oscillator = audio.createOscillator();
  const gain = audio.createGain();
  oscillator.type = "square";
  oscillator.frequency.value = frequency;
  gain.gain.setValueAtTime(0, start);
  gain.gain.linearRampToValueAtTime(0.35, start + 0.01);
  gain.gain.setValueAtTime(0.35, start + length - 0.02);
  gain.gain.linearRampToValueAtTime(0, start + length);
  oscillator.connect(gain).connect(audio.destination);
  oscillator.start(start);
  oscillator.stop(start + length);
}

function ring() {
  if (!soundIsOn()) return;
  tone(988, audio.currentTime, 0.3);
  tone(659, audio.currentTime + 0.32, 0.3);
}

function soundAlarm(wanted) {
  if (wanted && !ringing) { ring(); ringing = setInterval(ring, 750); if (soundIsOn()) navigator.vibrate?.([400, 150, 400]); }
  if (!wanted && ringing) { clearInterval(ringing); ringing = null; }
}

export function drawAlarm() {
  const all = alarms();
  const alarm = all[0] || null;
  soundAlarm(Boolean(alarm));
  document.title = alarm ? t("alarm-page-title", { title: alarm.title }) : t("page-title", { bench: state.view?.bench || t("bench") });
  document.getElementById("app").inert = Boolean(alarm || state.sheet || state.pin);
  document.getElementById("sheet").inert = Boolean(alarm || state.pin);
  document.getElementById("pin").inert = Boolean(alarm);
  const before = drawn.get("alarm");
  // One entry that changed the plan may have raised several: they are shown together, and acknowledged together.
  const together = all.filter((other) => other.sequence === alarm.sequence);
  const waiting = new Set(all.map((other) => other.sequence)).size - 1;
  draw("alarm", alarm && [alarm.sequence, together, waiting, soundIsOn(), together.map((each) => isPractice(itemOf(each)))], () => alarmBox(alarm, together, waiting));
  if (alarm && (!before || before === "null" || JSON.parse(before)[0] !== alarm.sequence)) {
    alarmShownAt = performance.now();
    document.querySelector("#alarm .alarm").focus();
  }
}

let alarmShownAt = 0;

const LONG_WORD = 5; // letters that fit a phone at the largest size

// What the alarm is about; an alarm that is newer than the view may be about something that the page does not know yet.
function itemOf({ build: id, fastener, check }) {
  const build = state.view?.builds.find((known) => known.id === id);
  return build && (check ? findCheck(build, check) : findFastener(build, fastener));
}

function alarmWords(alarm) {
  return [
    h("p", { class: "alarm-figure" }, (alarm.displayed && displayedInWords(alarm.displayed)) || (alarm.unseen ? t("alarm-above") : t("more-than-shown"))),
    alarm.value_text && alarm.value_text !== alarm.displayed && h("p", { class: "alarm-limit" }, t("alarm-judged", { value: valueSaid(alarm.value_text) })),
    !alarm.check && judgedInWords(alarm) && h("p", { class: "alarm-limit" }, t("alarm-judged-at", { judged: capital(judgedInWords(alarm)) })),
    h("p", { class: "alarm-limit" }, t("alarm-limit", { limit: alarm.upper_text ? valueSaid(alarm.upper_text) : torque(alarm.upper_millinewton_metre) }), practiceMark(itemOf(alarm))),
    alarm.joint === "carbon" && h("p", { class: "alarm-carbon" }, CARBON_JOINT),
  ];
}

function alarmBox(alarm, together, waiting) {
  const build = state.view?.builds.find((b) => b.id === alarm.build);
  const word = together.every((each) => each.check) ? t("check-alarm") : t("pull-over");
  const openBuilds = (state.view?.builds || []).filter((b) => !b.finished).length;
  return h("div", { class: "alarm", role: "alertdialog", "aria-modal": "true", "aria-labelledby": "alarm-word", "aria-describedby": "alarm-what", tabindex: -1 },
    h("div", { class: word.length > LONG_WORD ? "alarm-head is-long" : "alarm-head" }, mark("over"), h("h2", { id: "alarm-word" }, word)),
    h("div", { id: "alarm-what" }, together.map((each) => [
      h("p", { class: "alarm-title" }, each.title),
      openBuilds > 1 && build && h("p", { class: "alarm-build" }, bikeName(build)),
      alarmWords(each)])),
    h("div", { class: "alarm-foot" },
      !soundIsOn() && button("alarm sound", "alarm-sound", switchSoundOn, t("sound-off")),
      h("div", { class: "alarm-by" }, h(state.view?.people?.length > 0 ? "span" : "label", { for: "alarm-by" }, t("by")), nameField("alarm-by")),
      button("acknowledge", "acknowledge", () => acknowledge(alarm), t("acknowledge")),
      waiting > 0 && h("p", { class: "alarm-more" }, t("alarm-more", { n: waiting }))));
}

function acknowledge(alarm) {
  if (performance.now() - alarmShownAt < STRAY_TOUCH_MS) return;
  act({ act: "acknowledge", alarm: alarm.sequence, by: state.who }, { then: () => state.acknowledged.add(alarm.sequence) });
}
