// What forms are made of: fields that keep what was typed, words to touch, and how they are sent.

import { button, h } from "./elements.js";
import { act } from "./live.js";
import { drafts, refuse, state } from "./state.js";
import { language, t } from "./tongue.js";

const LONGEST = 500; // what the daemon takes as a reason

export const typed = (key) => (drafts.get(key) || "").trim();

export const line = (key, label, more = {}) => [
  h("label", { class: "label", for: key }, label),
  h("input", { id: key, draft: key, autocomplete: "off", maxlength: 64, ...more })];

// Another person: one of the people where the shop keeps them, a name else.
export function personField(key, but = []) {
  const people = (state.view?.people || []).map(({ name }) => name);
  if (people.length === 0) return h("input", { id: key, draft: key, autocomplete: "off", maxlength: 64 });
  const select = h("select", { id: key, "data-key": key, on: { change: () => drafts.set(key, select.value) } },
    h("option", { value: "" }, t("who")), people.filter((name) => !but.includes(name)).map((name) => h("option", { value: name }, name)));
  select.value = drafts.get(key) || "";
  return select;
}

export const lines = (key, label, { quick, ...more } = {}) => [
  h("label", { class: "label", for: key }, label),
  quick && quickWords(key, quick),
  h("textarea", { id: key, draft: key, rows: 2, maxlength: LONGEST, ...more })];

// Words for a field: a touch writes them into it.
function quickWords(key, words) {
  return h("div", { class: "quick", "data-arrows": true }, words.map((word) => button(`${key} ${word}`, "plain", () => {
    const field = document.getElementById(key);
    field.value = word;
    drafts.set(key, word);
    field.focus();
  }, word)));
}

export function form(key, word, send, back, ...fields) {
  const sent = (event) => { event.preventDefault(); send(); };
  return h("form", { on: { submit: sent }, novalidate: true }, fields,
    h("button", { type: "submit", class: "main", "data-key": `${key} send` }, word),
    back && button("back", "plain wide", back, t("back")));
}

// What was decided about a fastener or a check that was over, and why. `choices` are rows of value, word and meaning.
export function decisionForm(build, id, choices, back, then) {
  const key = `dispose ${build.id} ${id}`;
  const keys = { decision: `${key} decision`, reason: `${key} reason` };
  const send = () => {
    const decision = drafts.get(keys.decision);
    const reason = typed(keys.reason);
    if (!decision) return refuse(t("choose-decision", { choices: oneOf(choices.map(([, word]) => (language === "de" ? `„${word}“` : word.toLowerCase()))) }));
    if (!reason) return refuse(t("write-reason"));
    return act({ act: "dispose", build: build.id, fastener: id, decision, by: state.who, reason }, { forget: Object.values(keys), then });
  };
  return form(key, t("keep-decision"), send, back,
    h("fieldset", {}, h("legend", { class: "label" }, t("what-decided")), choices.map((choice) => decisionRadio(key, keys.decision, choice))),
    lines(keys.reason, t("reason-needed"), { required: true }));
}

const oneOf = (words) => t("one-of", { first: words.slice(0, -1).join(", "), last: words.at(-1) });

function decisionRadio(key, kept, [value, word, meaning]) {
  const radio = h("input", { type: "radio", name: key, value, draft: `${key} ${value}` });
  radio.checked = drafts.get(kept) === value;
  radio.addEventListener("change", () => drafts.set(kept, value));
  return h("label", { class: "choice" }, radio, h("span", {}, h("b", {}, word), h("span", {}, meaning)));
}

// A file from this machine. The field itself is not drawn: a drawn one would lose its file when it is drawn anew.
export function chooseFile(accept, capture, chosen) {
  document.getElementById("chosen-file")?.remove();
  const field = h("input", { id: "chosen-file", type: "file", accept, capture, hidden: true, "aria-label": t("file") });
  field.addEventListener("change", () => { if (field.files[0]) chosen(field.files[0]); field.remove(); });
  document.body.append(field);
  field.click();
}
