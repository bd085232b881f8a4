// Parts that more than one place of the page shows.

import { button, h } from "./elements.js";
import { redraw, remember, state } from "./state.js";
import { NOWHERE, count, unbroken } from "./words.js";

// Who acts: one touch where the shop keeps people, a field else.
export function nameField(id) {
  const people = state.view?.people || [];
  if (people.length > 0) return h("div", { class: "names", role: "group", "aria-label": "Who are you?" }, people.map(({ name }, index) => nameButton(id, name, index)));
  return freeName(id);
}

function nameButton(id, name, index) {
  const key = index === 0 ? id : `${id} ${index}`;
  const touched = button(key, index === 0 ? "name name-field" : "name", () => {
    state.who = name;
    remember("by", name);
    for (const other of document.querySelectorAll("button.name")) other.setAttribute("aria-pressed", String(other.textContent === name));
    redraw();
  }, name);
  if (index === 0) touched.id = id;
  touched.setAttribute("aria-pressed", String(state.who === name));
  return touched;
}

function freeName(id) {
  const field = h("input", { id, class: "name-field", "data-key": id, autocomplete: "off", autocapitalize: "words", spellcheck: "false", maxlength: 64 });
  field.value = state.who;
  field.addEventListener("input", () => {
    state.who = field.value.trim();
    remember("by", state.who);
    for (const other of document.querySelectorAll(".name-field")) if (other !== field) other.value = state.who;
  });
  return field;
}

export function toolInWords(tool) {
  if (!tool.tool.connection) return tool.tool.kind === "setting" ? "set and entered by hand" : "entered by hand";
  const battery = Number.isInteger(tool.battery_percent) && tool.battery_percent <= 20 ? `, battery at ${tool.battery_percent} %` : "";
  const other = tool.other_serial ? `, says that its serial number is ${tool.other_serial}` : "";
  const cut = tool.cut_off ? "; it went in the middle of a reading, which does not count: pull again" : "";
  return tool.connected ? `connected${battery}${other}${cut}` : `gone${tool.gone ? `: ${tool.gone}` : ""}${cut}`;
}

export function placeAct(held, candidate) {
  return candidate.fastener
    ? { act: "place", reading: held.sequence, fastener: candidate.fastener, ...(Number.isInteger(candidate.pass) ? { pass: candidate.pass } : {}), by: state.who }
    : { act: "place", reading: held.sequence, fastener: null, by: state.who, reason: (NOWHERE[candidate.kind] || NOWHERE.test).reason };
}

export const heldQuestion = (held) => `Where does ${held.displayed ? unbroken(held.displayed) : "the reading past the tool's range"} belong?`;

export function fastenerNotes(stage, fastener) {
  const notes = [];
  const passes = stage.passes_percent.length;
  if (passes > 1 && fastener.passes_done > 0 && fastener.passes_done < passes) notes.push(`pass ${fastener.passes_done} of ${passes} done`);
  if (fastener.deferred) notes.push(`deferred: ${fastener.deferred}`);
  if (fastener.waits_for) notes.push(`waits for: ${fastener.waits_for}`);
  if (fastener.second_look) notes.push(fastener.looked ? "second look done" : "second look open");
  if (fastener.notes > 0) notes.push(notesInWords(fastener));
  return notes;
}

// How many notes there are, as a line of a fastener.
export function notesInWords({ notes, photos: pictures }) {
  const plain = notes - pictures;
  return [plain > 0 && count(plain, "note", "notes"), pictures > 0 && count(pictures, "photograph", "photographs")].filter(Boolean).join(", ");
}

// What was not done is said as loudly as what was.
export function notDone(build) {
  const all = build.stages.flatMap((stage) => stage.fasteners);
  const lines = [
    ...all.filter((f) => f.standing === "deferred").map((f) => `${f.title}: deferred${f.deferred ? `, ${f.deferred}` : ""}${f.waits_for ? `; waits for ${f.waits_for}` : ""}`),
    ...all.filter((f) => f.standing === "over-kept").map((f) => `${f.title}: over, inspected and kept`),
    ...all.filter((f) => f.standing === "undecided-kept").map((f) => `${f.title}: undecided, inspected and kept`),
    ...all.filter((f) => f.second_look && !f.looked).map((f) => `${f.title}: no second look`),
    ...all.filter((f) => f.prep.length > 0 && !f.prepared && f.standing !== "deferred").map((f) => `${f.title}: prep not confirmed`),
  ];
  const checks = build.stages.flatMap((stage) => stage.checks);
  lines.push(...checks.filter((check) => check.standing === "deferred").map((check) => `${check.title}: not measured${check.deferred ? `, ${check.deferred}` : ""}${check.waits_for ? `; waits for ${check.waits_for}` : ""}`),
    ...checks.filter((check) => check.standing === "kept").map((check) => `${check.title}: out of limits, inspected and kept`));
  return lines.length > 0 && [h("p", { class: "label" }, "To be known"), h("ul", { class: "plain-list strong" }, lines.map((line) => h("li", {}, line)))];
}
