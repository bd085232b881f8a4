// The PIN pad. It comes up where an act needs the PIN of who does it: a record is signed, or it is decided what follows from
// something that went over. What is typed is kept here until it is sent, and nowhere else.

import { button, draw, h } from "./elements.js";
import { confirmed } from "./live.js";
import { redraw, state } from "./state.js";
import { t } from "./tongue.js";

const MOST = 12; // digits of the longest PIN
const LEAST = 4;
const FOR = { seal: t("pin-for-seal"), amend: t("pin-for-amend"), dispose: t("pin-for-dispose"), place: t("pin-for-place") };

let digits = "";

// Asks for the PIN and sends the act with it. The pad stays until the PIN is right, or somebody gives up.
export function askPin(body, options) {
  digits = "";
  state.pin = { body, options, said: "", busy: false };
  redraw();
  document.querySelector("#pin .pad")?.focus();
}

function giveUp() {
  digits = "";
  state.pin = null;
  redraw();
}

function type(key) {
  if (!state.pin || state.pin.busy) return;
  if (key === "Backspace") digits = digits.slice(0, -1);
  else if (digits.length < MOST) digits += key;
  state.pin.said = "";
  redraw();
}

async function send() {
  const { pin } = state;
  if (!pin || pin.busy) return;
  if (digits.length < LEAST) { pin.said = t("pin-too-short"); redraw(); return; }
  const typed = digits;
  digits = "";
  pin.busy = true;
  redraw();
  const problem = await confirmed(pin.body, typed, pin.options);
  if (state.pin !== pin) return;
  pin.busy = false;
  if (problem) Object.assign(pin, { said: problem, isRefused: true }); else state.pin = null;
  redraw();
}

document.addEventListener("keydown", (event) => {
  if (!state.pin || event.ctrlKey || event.altKey || event.metaKey || document.getElementById("pin").inert) return;
  if (/^[0-9]$/.test(event.key) || event.key === "Backspace") { event.preventDefault(); type(event.key); }
  else if (event.key === "Escape") { event.stopPropagation(); giveUp(); }
  else if (event.key === "Enter" && document.activeElement?.tagName !== "BUTTON") send();
}, true);

export function drawPin() {
  const { pin } = state;
  draw("pin", pin && [pin.body.by, pin.body.act, digits.length, pin.said, pin.busy, pin.isRefused], () => h("div", { class: "pin-ground" },
    h("div", { class: "pad", role: "dialog", "aria-modal": "true", "aria-labelledby": "pin-title", tabindex: -1, "data-key": "pad" },
      h("h2", { id: "pin-title" }, t("pin-of", { name: pin.body.by })),
      h("p", {}, FOR[pin.body.act] || ""),
      h("p", { class: "pin-dots", role: "status" }, h("span", { "aria-hidden": "true" }, "●".repeat(digits.length) || "–"),
        h("span", { class: "unseen" }, t("pin-typed", { n: digits.length }))),
      h("p", { class: "pin-said", role: "alert" }, pin.busy ? t("one-moment") : pin.said),
      pin.isRefused && h("p", { class: "quiet" }, t("pin-forgotten")),
      h("div", { class: "pin-keys" }, ["1", "2", "3", "4", "5", "6", "7", "8", "9"].map((key) => button(`pin ${key}`, "plain", () => type(key), key)),
        button("pin back", "plain", () => type("Backspace"), t("pin-delete")),
        button("pin 0", "plain", () => type("0"), "0"),
        button("pin send", "main", send, t("ok"))),
      button("pin cancel", "plain wide", giveUp, t("give-up")))));
}
