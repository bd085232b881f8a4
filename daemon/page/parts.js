// Parts that more than one place of the page shows.

import { button, h } from "./elements.js";
import { redraw, remember, state } from "./state.js";
import { sentenceSaid } from "./said.js";
import { t } from "./tongue.js";
import { NOWHERE, displayedInWords, listed } from "./words.js";

// Who acts: one touch where the shop keeps people, a field else.
export function nameField(id) {
  const people = state.view?.people || [];
  if (people.length > 0) return h("div", { class: "names", role: "group", "aria-label": t("who-are-you") }, people.map(({ name }, index) => nameButton(id, name, index)));
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
  if (!tool.tool.connection) return tool.tool.kind === "setting" ? t("tool-set-by-hand") : t("tool-by-hand");
  const battery = Number.isInteger(tool.battery_percent) && tool.battery_percent <= 20 && t("tool-battery", { battery: tool.battery_percent });
  const other = tool.other_serial && t("tool-other-serial", { serial: tool.other_serial });
  const now = tool.connected ? [t("tool-connected"), battery, other].filter(Boolean).join(", ") : tool.gone ? t("tool-gone-why", { why: sentenceSaid(tool.gone) }) : t("tool-gone");
  return tool.cut_off ? t("tool-cut-off", { now }) : now;
}

export function placeAct(held, candidate) {
  return candidate.fastener
    ? { act: "place", reading: held.sequence, fastener: candidate.fastener, ...(Number.isInteger(candidate.pass) ? { pass: candidate.pass } : {}), by: state.who }
    : { act: "place", reading: held.sequence, fastener: null, by: state.who, reason: (NOWHERE[candidate.kind] || NOWHERE.test).reason };
}

export const heldQuestion = (held) => (held.displayed ? t("where-belongs", { value: displayedInWords(held.displayed) }) : t("where-belongs-past"));

export function fastenerNotes(stage, fastener) {
  const notes = [];
  const passes = stage.passes_percent.length;
  if (passes > 1 && fastener.passes_done > 0 && fastener.passes_done < passes) notes.push(t("passes-done", { done: fastener.passes_done, passes }));
  if (fastener.deferred) notes.push(t("note-deferred", { reason: fastener.deferred }));
  if (fastener.waits_for) notes.push(t("note-waits-for", { what: fastener.waits_for }));
  if (fastener.second_look) notes.push(fastener.looked ? t("look-done") : t("look-open"));
  if (fastener.notes > 0) notes.push(notesInWords(fastener));
  return notes;
}

// How many notes there are, as a line of a fastener.
export function notesInWords({ notes, photos: pictures }) {
  const plain = notes - pictures;
  return [plain > 0 && t("notes-count", { n: plain }), pictures > 0 && t("photos-count", { n: pictures })].filter(Boolean).join(", ");
}

// Why something was not done, and what it waits for.
const waiting = (id, { title, deferred, waits_for: what }) => listed([
  [t("known-row", { title, what: t(id) }), deferred].filter(Boolean).join(", "), what && t("known-waits-for", { what })]);

// What was not done is said as loudly as what was.
export function notDone(build) {
  const all = build.stages.flatMap((stage) => stage.fasteners);
  const lines = [
    ...all.filter((f) => f.standing === "deferred").map((f) => waiting("known-deferred", f)),
    ...all.filter((f) => f.standing === "over-kept").map((f) => t("known-row", { title: f.title, what: t("standing-over-kept") })),
    ...all.filter((f) => f.standing === "undecided-kept").map((f) => t("known-row", { title: f.title, what: t("standing-undecided-kept") })),
    ...all.filter((f) => f.second_look && !f.looked).map((f) => t("known-row", { title: f.title, what: t("known-no-look") })),
    ...all.filter((f) => f.prep.length > 0 && !f.prepared && f.standing !== "deferred").map((f) => t("known-row", { title: f.title, what: t("known-no-prep") })),
  ];
  const checks = build.stages.flatMap((stage) => stage.checks);
  lines.push(...checks.filter((check) => check.standing === "deferred").map((check) => waiting("known-not-measured", check)),
    ...checks.filter((check) => check.standing === "kept").map((check) => t("known-row", { title: check.title, what: t("check-standing-kept") })));
  return lines.length > 0 && [h("p", { class: "label" }, t("to-be-known")), h("ul", { class: "plain-list strong" }, lines.map((line) => h("li", {}, line)))];
}
