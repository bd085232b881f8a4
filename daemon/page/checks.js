// Checks of a tool against a reference: the control chart, and the form that enters a new one.

import { checkInWords, checksPlot } from "./charts.js";
import { button, h } from "./elements.js";
import { act } from "./live.js";
import { mark } from "./marks.js";
import { openSheet } from "./sheet.js";
import { drafts, redraw, refuse, state } from "./state.js";
import { count, newtonMetres, withUnit } from "./words.js";

// What the checks say, as a mark and in words.
export const CHECK_STATE = {
  quiet: ["within", "Well inside its limit"],
  warns: ["undecided", "Drifting towards its limit: have it calibrated soon"],
  beyond: ["over", "Beyond its limit: do not use it until it is calibrated"],
};
const PULLS = 5; // what is offered; a check may have fewer or more
const MOST_PULLS = 50;

export function checksPart(view) {
  const { checks } = view;
  const [name, words] = CHECK_STATE[view.check_state];
  const last = checks.at(-1);
  return h("section", { class: "part", "aria-label": "Checks against a reference" },
    h("h3", {}, "Checks against a reference"),
    checks.length > 0
      ? [h("p", { class: `check-state is-${view.check_state}` }, mark(name), h("span", {}, words)), checksPlot(checks, view.class_ppm), h("p", { class: "quiet" }, `Last: ${checkInWords(last)}`)]
      : h("p", {}, "Never checked here. A few pulls against a reference now and then show a wrench that drifts before its next calibration."),
    !view.checking && beginButton(view));
}

function beginButton(view) {
  const { id } = view.tool;
  if (!view.tool.connection) return button(`check ${id}`, "main", () => openSheet({ kind: "tool", tool: id, form: "check" }), "Enter a check…");
  return [button(`check ${id}`, "main", () => act({ act: "begin-check", tool: id, by: state.who }, { then: toTop }), "Begin check"),
    h("p", { class: "quiet" }, "From then on its pulls are taken for pulls against the reference, and count for no fastener, until the check is entered or given up.")];
}

const toTop = () => { document.querySelector("#sheet .sheet")?.scrollTo(0, 0); };

const field = (key, extra = {}) => h("input", { id: key, draft: key, autocomplete: "off", maxlength: 40, inputmode: "decimal", ...extra });

function againstField(key) {
  return [h("label", { class: "label", for: `${key} against` }, "Reference: which device, and its certificate"),
    field(`${key} against`, { maxlength: 200, inputmode: "text" })];
}

// A check under way: its pulls come from the tool; a person says what the reference showed.
export function checkingPart(view) {
  const { id } = view.tool;
  const key = `checking ${id}`;
  const shown = view.checking.shown_micronewton_metre;
  const rows = shown.map((micro, index) => h("li", { class: "check-row" },
    h("span", { class: "pull-number" }, `${index + 1}`),
    h("span", {}, h("span", { class: "label" }, "shown, N·m"), h("b", {}, micros(micro))),
    h("span", {}, h("label", { class: "label", for: `${key} ${index}` }, "reference, N·m"), field(`${key} ${index}`))));
  const keys = shown.map((_, index) => `${key} ${index}`);
  const send = (event) => {
    event.preventDefault();
    const reference = read(keys, "what the reference showed");
    return reference && sendCheck(key, keys, { act: "check-tool", tool: id, reference });
  };
  return h("section", { class: "part checking", "aria-label": "Check under way" },
    h("h3", {}, mark("held"), `Check under way, begun by ${view.checking.by}`),
    h("p", {}, shown.length === 0 ? "Pull the tool against the reference, five times or so. Each pull appears here." : `${count(shown.length, "pull", "pulls")} so far. Write beside each what the reference showed.`),
    h("form", { on: { submit: send }, novalidate: true },
      rows.length > 0 && [h("ol", { class: "check-rows" }, rows), againstField(key), h("button", { type: "submit", class: "main", "data-key": `${key} send` }, "Enter check")]),
    button(`give up ${id}`, "plain wide", () => act({ act: "give-up-check", tool: id, by: state.who }, { forget: [...keys, `${key} against`] }), "Give the check up"));
}

// A click wrench has no wire: both figures of every pull are written by hand. A row left empty was no pull.
export function checkForm(view) {
  const { id } = view.tool;
  const key = `check ${id}`;
  const rowsShown = Number(drafts.get(`${key} rows`) || PULLS);
  const pair = (index) => [`${key} shown ${index}`, `${key} reference ${index}`];
  const numbers = Array.from({ length: rowsShown }, (_, index) => index);
  const forget = [...numbers.flatMap(pair), `${key} rows`, `${key} against`];
  const send = (event) => {
    event.preventDefault();
    const used = numbers.map(pair).filter((both) => both.some((one) => (drafts.get(one) || "").trim()));
    if (used.length === 0) return refuse("Write at least one pull: what the tool was set to, and what the reference showed.");
    const indicated = read(used.map(([shown]) => shown), "what the tool was set to");
    const reference = indicated && read(used.map(([, reference]) => reference), "what the reference showed");
    return reference && sendCheck(key, forget, { act: "check-tool", tool: id, indicated, reference }, () => openSheet({ kind: "tool", tool: id }));
  };
  return h("form", { on: { submit: send }, novalidate: true },
    h("p", {}, "Pull against the reference, five times or so, and write both figures of each pull. Rows that stay empty are no pulls."),
    h("ol", { class: "check-rows" }, numbers.map((index) => h("li", { class: "check-row" },
      h("span", { class: "pull-number" }, `${index + 1}`),
      h("span", {}, h("label", { class: "label", for: pair(index)[0] }, "set to, N·m"), field(pair(index)[0])),
      h("span", {}, h("label", { class: "label", for: pair(index)[1] }, "reference, N·m"), field(pair(index)[1]))))),
    rowsShown < MOST_PULLS && button(`${key} more`, "plain", () => { drafts.set(`${key} rows`, String(rowsShown + 1)); state.sheet = { ...state.sheet, rows: rowsShown + 1 }; redraw(); }, "One more pull"),
    againstField(key),
    h("button", { type: "submit", class: "main", "data-key": `${key} send` }, "Enter check"),
    button("back", "plain wide", () => openSheet({ kind: "tool", tool: id }), "Back"));
}

// The fields as a list; nothing, and a word about it, where one is empty.
function read(keys, what) {
  const values = keys.map((key) => (drafts.get(key) || "").trim());
  const empty = values.findIndex((value) => !value);
  if (empty < 0) return values.map(withUnit);
  refuse(`Write ${what} at pull ${empty + 1}.`);
  [...document.querySelectorAll("#sheet input")].find((input) => input.dataset.key === keys[empty])?.focus();
  return null;
}

function sendCheck(key, forget, body, then) {
  const against = (drafts.get(`${key} against`) || "").trim();
  if (!against) return refuse("Write which reference it was pulled against, and its certificate.");
  return act({ ...body, against, by: state.who }, { forget, then: then || redraw });
}

function micros(micro) {
  const milli = newtonMetres(Math.trunc(micro / 1000));
  const rest = String(Math.abs(micro) % 1000).padStart(3, "0").replace(/0+$/, "");
  if (!rest) return milli;
  const [whole, part = ""] = milli.split(".");
  return `${whole}.${part.padEnd(3, "0")}${rest}`;
}
