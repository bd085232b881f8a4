// The frame of a sheet: how it is opened and closed, and where the focus goes.

import { h } from "./elements.js";
import { nameField } from "./parts.js";
import { alarms, redraw, state } from "./state.js";
import { t } from "./tongue.js";

let cameFrom = null;

export function openSheet(sheet) {
  if (!state.sheet) cameFrom = document.activeElement?.dataset.key;
  state.sheet = sheet;
  redraw();
  document.querySelector("#sheet .sheet")?.focus();
}

export function closeSheet() {
  state.sheet = null;
  redraw();
  [...document.querySelectorAll("#app [data-key]")].find((element) => element.dataset.key === cameFrom)?.focus();
}

// What comes next is wanted in sight, wherever the sheet was opened from.
export function closeAndShowNext() {
  state.sheet = null;
  redraw();
  const next = document.getElementById("next");
  next.tabIndex = -1;
  next.focus({ preventScroll: true });
  next.scrollIntoView({ block: "nearest" });
}

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && state.sheet && !state.pin && alarms().length === 0) closeSheet();
});

export const byRow = () => h("div", { class: "by-row" }, h(state.view?.people?.length > 0 ? "span" : "label", { class: "label", for: "sheet-by" }, t("by")), nameField("sheet-by"));
