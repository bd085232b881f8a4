// Which screen of the plans is shown, and how it is drawn anew: focus and caret stay where they were.

import { h } from "./elements.js";
import { state } from "./state.js";
import { t } from "./tongue.js";

let screens = {};
let shown = "list";
let after = () => {};

// Names the screens.
export function redrawPlanner(known) { screens = known; }
// What has to be done when a screen has been drawn.
export function afterDrawing(run) { after = run; }
export const screen = () => shown;

// Another screen begins at its top, with the focus on its title.
export function show(name) {
  const isOther = shown !== name;
  shown = name;
  draw();
  if (!isOther || !state.planner) return;
  document.querySelector("#planner [data-key='plans title']")?.focus({ preventScroll: true });
  window.scrollTo(0, 0);
}

// Plans that were closed while the daemon was asked stay closed.
export function draw() {
  if (!state.planner) return;
  const place = document.getElementById("planner");
  const focus = place.contains(document.activeElement) ? document.activeElement : null;
  const key = focus?.dataset.key;
  const caret = focus && "selectionStart" in focus ? [focus.selectionStart, focus.selectionEnd] : null;
  place.hidden = false;
  place.replaceChildren(...[screens[shown]()].flat(Infinity).filter((child) => child instanceof Node));
  after();
  if (!key) return;
  const again = [...place.querySelectorAll("[data-key]")].find((element) => element.dataset.key === key);
  again?.focus({ preventScroll: true });
  if (again && caret && caret[0] !== null && "setSelectionRange" in again) again.setSelectionRange(...caret);
}

// What the daemon and its templates say is English, in every language of the page.
export const english = (text) => h("span", { lang: "en" }, text);

// What is in a plan. Nothing is said of fasteners where none is planned.
export const sumInWords = ({ fasteners = 0, checks = 0, pulls = null }) => [fasteners > 0 && t("planner-fasteners", { n: fasteners }), checks > 0 && t("planner-checks", { n: checks }),
  fasteners > 0 && pulls !== null && t("planner-pulls", { n: pulls })].filter(Boolean).join(", ") || t("planner-nothing-in-it");

export const option = (value, word, chosen) => h("option", { value, selected: value === chosen }, word);
