// Elements and how they are drawn anew: only what has changed, with focus and caret where they were.

import { drafts } from "./state.js";

// Makes an element. Text is only ever set as text, so nothing from a plan or a tool can become markup.
export function h(name, props, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(props || {})) {
    if (value === undefined || value === null || value === false) continue;
    if (key === "class") element.className = value;
    else if (key === "on") for (const [event, heard] of Object.entries(value)) element.addEventListener(event, heard);
    else if (key === "draft") keepDraft(element, value);
    else if (value === true) element.setAttribute(key, "");
    else element.setAttribute(key, String(value));
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false && child !== ""));
  return element;
}

function keepDraft(element, key) {
  element.dataset.key = key;
  if (element.type === "radio") return;
  element.value = drafts.get(key) || "";
  element.addEventListener("input", () => drafts.set(key, element.value));
}

export function button(key, className, onTouch, ...children) {
  const element = h("button", { type: "button", class: className, "data-key": key }, ...children);
  element.addEventListener("click", () => onTouch(element));
  return element;
}

// What `<b>` in a message becomes.
export const BOLD = { b: (inner) => h("b", {}, inner) };

export const drawn = new Map();

// Draws one part anew if what it shows has changed. Focus and caret stay where they were.
export function draw(id, shown, make) {
  const fingerprint = JSON.stringify(shown);
  if (drawn.get(id) === fingerprint) return;
  drawn.set(id, fingerprint);
  const place = document.getElementById(id);
  const focus = place.contains(document.activeElement) ? document.activeElement : null;
  const caret = focus && "selectionStart" in focus ? [focus.selectionStart, focus.selectionEnd] : null;
  const key = focus?.dataset.key;
  const made = shown === null ? [] : [make(shown)].flat(Infinity).filter(Boolean);
  place.replaceChildren(...made);
  place.hidden = made.length === 0;
  if (!key) return;
  const again = [...place.querySelectorAll("[data-key]")].find((element) => element.dataset.key === key);
  again?.focus({ preventScroll: true });
  if (again && caret && caret[0] !== null) again.setSelectionRange(...caret);
}

// A key that is held down answers once.
document.addEventListener("keydown", (event) => {
  if (event.repeat && event.target.tagName === "BUTTON" && (event.key === "Enter" || event.key === " ")) event.preventDefault();
});

// Arrow keys go from button to button within a group.
document.addEventListener("keydown", (event) => {
  const step = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[event.key];
  const group = step && event.target.closest?.("[data-arrows]");
  if (!group || event.target.tagName !== "BUTTON") return;
  const buttons = [...group.querySelectorAll("button:not(:disabled)")];
  const at = buttons.indexOf(event.target) + step;
  if (at >= 0 && at < buttons.length) { event.preventDefault(); buttons[at].focus(); }
});
