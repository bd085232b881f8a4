// Checks of a tool against a reference: the control chart, and the form that enters a new one.

import { checkInWords, checksPlot } from "./charts.js";
import { button, h } from "./elements.js";
import { mayBeThousands, microFigure, unit, withUnit } from "./figures.js";
import { act } from "./live.js";
import { mark } from "./marks.js";
import { openSheet } from "./sheet.js";
import { drafts, redraw, refuse, state } from "./state.js";
import { t } from "./tongue.js";

// What the checks say, as a mark and in words.
const CHECK_STATE = {
  quiet: ["within", t("check-state-quiet")],
  warns: ["undecided", t("check-state-warns")],
  beyond: ["over", t("check-state-beyond")],
};
const PULLS = 5; // what is offered; a check may have fewer or more
const MOST_PULLS = 50;

export function checksPart(view) {
  const { checks } = view;
  const [name, words] = CHECK_STATE[view.check_state];
  const last = checks.at(-1);
  return h("section", { class: "part", "aria-label": t("reference-checks") },
    h("h3", {}, t("reference-checks")),
    checks.length > 0
      ? [h("p", { class: `check-state is-${view.check_state}` }, mark(name), h("span", {}, words)), checksPlot(checks, view.class_ppm), h("p", { class: "quiet" }, t("reference-last", { check: checkInWords(last) }))]
      : h("p", {}, t("reference-never")),
    !view.checking && beginButton(view));
}

function beginButton(view) {
  const { id } = view.tool;
  if (!view.tool.connection) return button(`check ${id}`, "main", () => openSheet({ kind: "tool", tool: id, form: "check" }), t("reference-enter"));
  return [button(`check ${id}`, "main", () => act({ act: "begin-check", tool: id, by: state.who }, { then: toTop }), t("reference-begin")),
    h("p", { class: "quiet" }, t("reference-begin-what"))];
}

const toTop = () => { document.querySelector("#sheet .sheet")?.scrollTo(0, 0); };

const field = (key, extra = {}) => h("input", { id: key, draft: key, autocomplete: "off", maxlength: 40, inputmode: "decimal", ...extra });

function againstField(key) {
  return [h("label", { class: "label", for: `${key} against` }, t("reference-which")),
    field(`${key} against`, { maxlength: 200, inputmode: "text" })];
}

// A check under way: its pulls come from the tool; a person says what the reference showed.
export function checkingPart(view) {
  const { id } = view.tool;
  const key = `checking ${id}`;
  const shown = view.checking.shown_micronewton_metre;
  const rows = shown.map((micro, index) => h("li", { class: "check-row" },
    h("span", { class: "pull-number" }, `${index + 1}`),
    h("span", {}, h("span", { class: "label" }, t("reference-shown", { unit: unit.symbol })), h("b", {}, microFigure(micro))),
    h("span", {}, h("label", { class: "label", for: `${key} ${index}` }, t("reference-value", { unit: unit.symbol })), field(`${key} ${index}`))));
  const keys = shown.map((_, index) => `${key} ${index}`);
  const send = (event) => {
    event.preventDefault();
    const reference = read(keys, "reference-write-reference");
    return reference && sendCheck(key, keys, { act: "check-tool", tool: id, reference });
  };
  return h("section", { class: "part checking", "aria-label": t("reference-under-way") },
    h("h3", {}, mark("held"), t("reference-begun-by", { name: view.checking.by })),
    h("p", {}, shown.length === 0 ? t("reference-pull") : t("reference-so-far", { n: shown.length })),
    h("form", { on: { submit: send }, novalidate: true },
      rows.length > 0 && [h("ol", { class: "check-rows" }, rows), againstField(key), h("button", { type: "submit", class: "main", "data-key": `${key} send` }, t("reference-send"))]),
    button(`give up ${id}`, "plain wide", () => act({ act: "give-up-check", tool: id, by: state.who }, { forget: [...keys, `${key} against`] }), t("reference-give-up")));
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
    if (used.length === 0) return refuse(t("reference-write-one"));
    const indicated = read(used.map(([shown]) => shown), "reference-write-set");
    const reference = indicated && read(used.map(([, reference]) => reference), "reference-write-reference");
    return reference && sendCheck(key, forget, { act: "check-tool", tool: id, indicated, reference }, () => openSheet({ kind: "tool", tool: id }));
  };
  return h("form", { on: { submit: send }, novalidate: true },
    h("p", {}, t("reference-pairs")),
    h("ol", { class: "check-rows" }, numbers.map((index) => h("li", { class: "check-row" },
      h("span", { class: "pull-number" }, `${index + 1}`),
      h("span", {}, h("label", { class: "label", for: pair(index)[0] }, t("reference-set", { unit: unit.symbol })), field(pair(index)[0])),
      h("span", {}, h("label", { class: "label", for: pair(index)[1] }, t("reference-value", { unit: unit.symbol })), field(pair(index)[1]))))),
    rowsShown < MOST_PULLS && button(`${key} more`, "plain", () => { drafts.set(`${key} rows`, String(rowsShown + 1)); state.sheet = { ...state.sheet, rows: rowsShown + 1 }; redraw(); }, t("reference-more")),
    againstField(key),
    h("button", { type: "submit", class: "main", "data-key": `${key} send` }, t("reference-send")),
    button("back", "plain wide", () => openSheet({ kind: "tool", tool: id }), t("back")));
}

// The fields as a list; nothing, and a word about it, where one is empty.
function read(keys, needed) {
  const values = keys.map((key) => (drafts.get(key) || "").trim());
  const empty = values.findIndex((value) => !value || mayBeThousands(value));
  if (empty < 0) return values.map(withUnit);
  refuse(values[empty] ? t("may-be-thousands", { value: values[empty] }) : t(needed, { pull: empty + 1 }));
  [...document.querySelectorAll("#sheet input")].find((input) => input.dataset.key === keys[empty])?.focus();
  return null;
}

function sendCheck(key, forget, body, then) {
  const against = (drafts.get(`${key} against`) || "").trim();
  if (!against) return refuse(t("reference-write-which"));
  return act({ ...body, against, by: state.who }, { forget, then: then || redraw });
}
