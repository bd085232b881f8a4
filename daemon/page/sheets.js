// Sheets: what can be done with one fastener, one reading, one build; and which sheet is open.

import { displaySheet, shownOfDisplay } from "./display.js";
import { dueSheet, shownOfDue } from "./due.js";
import { button, draw, h } from "./elements.js";
import { mayBeThousands, torque, withUnit } from "./figures.js";
import { line, personField, typed } from "./forms.js";
import { historyOf, historyPart } from "./history.js";
import { keysSheet, shownOfKeys } from "./keys.js";
import { buildSheet, shownOfBuild } from "./life.js";
import { act } from "./live.js";
import { mark, practiceMark, standingMark } from "./marks.js";
import { checkSheet, placeCheckSheet, shownOfCheck, wholeSummary } from "./measures.js";
import { chosenPhotos, noteForm, notesList, notesOf } from "./notes.js";
import { fastenerNotes, heldQuestion, notDone, placeAct } from "./parts.js";
import { peopleSheet, shownOfPeople } from "./people.js";
import { byRow, closeAndShowNext, closeSheet, openSheet } from "./sheet.js";
import { doubtsShown, drafts, findFastener, nextOf, refuse, serving, stageOf, state } from "./state.js";
import { shownOfStats, statsSheet } from "./stats.js";
import { shownOfTool, toolSheet } from "./tools.js";
import { storyOf, storyPart, takeBackForm } from "./story.js";
import { t } from "./tongue.js";
import { bikeName, capital, limitsInWords, listed, percentOf, sourceSaid, standingWord } from "./words.js";

let shownAbout = null;

export function drawSheet() {
  const { sheet } = state;
  const build = sheet && state.view?.builds.find((b) => b.id === sheet.build);
  const made = sheet && { fastener: fastenerSheet, place: placeSheet, check: checkSheet, "place-check": placeCheckSheet, tool: toolSheet, finish: finishSheet, build: buildSheet, stats: statsSheet, keys: keysSheet, people: peopleSheet, display: displaySheet, due: dueSheet }[sheet.kind];
  const shown = sheet && shownInSheet(sheet, build);
  if (sheet && !shown) { state.sheet = null; }
  const scrolled = document.querySelector("#sheet .sheet")?.scrollTop || 0;
  draw("sheet", shown || null, () => {
    const box = h("div", { class: "sheet", role: "dialog", "aria-modal": "true", "aria-labelledby": "sheet-title", tabindex: -1 },
      made(sheet, build), button("close", "plain wide", closeSheet, t("close")));
    return h("div", { class: "sheet-ground", on: { click: (event) => event.target === event.currentTarget && closeSheet() } }, box);
  });
  // Drawn anew, it stays where it was; another one begins at its top.
  const about = sheet && JSON.stringify([sheet.kind, sheet.form, sheet.fastener, sheet.check, sheet.tool, sheet.entry, sheet.part]);
  if (shown && about === shownAbout) document.querySelector("#sheet .sheet").scrollTop = scrolled;
  shownAbout = about;
}

// What a sheet depends on; nothing if what it is about has gone.
function shownInSheet(sheet, build) {
  if (sheet.kind === "tool") return shownOfTool(sheet);
  if (sheet.kind === "stats") return shownOfStats(sheet);
  if (sheet.kind === "keys") return shownOfKeys(sheet);
  if (sheet.kind === "people") return shownOfPeople(sheet);
  if (sheet.kind === "display") return shownOfDisplay(sheet);
  if (sheet.kind === "due") return shownOfDue(sheet);
  if (!build) return null;
  if (sheet.kind === "place") return build.held.some((held) => held.sequence === sheet.reading) ? [sheet, build.stages] : null;
  if (sheet.kind === "check") return shownOfCheck(sheet, build);
  if (sheet.kind === "place-check") return build.held_checks.some((held) => held.sequence === sheet.reading) ? [sheet, build.stages] : null;
  if (sheet.kind === "finish") return build.finished ? null : [sheet, build.summary, build.stages, build.doubts];
  if (sheet.kind === "build") return shownOfBuild(sheet, build);
  const fastener = findFastener(build, sheet.fastener);
  return fastener ? [sheet, fastener, build.finished, nextOf(build)?.fastener, serving(build), doubtsShown(build), historyOf(build, fastener),
    storyOf(build.id, fastener.id), notesOf(build, fastener.id), sheet.form === "note" && chosenPhotos()] : null;
}

function fastenerSheet(sheet, build) {
  const fastener = findFastener(build, sheet.fastener);
  const stage = stageOf(build, sheet.fastener);
  const lines = [limitsInWords(fastener.limits), ...fastenerNotes(stage, fastener)];
  if (fastener.prep.length) lines.push(t(fastener.prepared ? "sheet-prep-on" : "sheet-prep-open", { prep: fastener.prep.join(", ") }));
  if (fastener.sources?.length) lines.push(t("limits-from", { sources: listed(fastener.sources.map(sourceSaid)) }));
  const highest = fastener.highest_millinewton_metre;
  return [
    h("div", { class: `sheet-top is-${fastener.standing}` }, standingMark(fastener),
      h("div", {}, h("h2", { id: "sheet-title" }, fastener.title),
        h("p", { class: "word" }, [standingWord(fastener.standing), highest !== null && t("sheet-highest", { value: torque(highest) })].filter(Boolean).join(", ")))),
    h("ul", { class: "plain-list" }, lines.map((line) => h("li", {}, capital(line)))),
    !build.finished && sheet.form !== "look" && byRow(), // a second look has a name of its own
    build.finished ? h("p", {}, t("build-is-finished")) : sheet.form ? fastenerForm(sheet, build, fastener) : fastenerActions(sheet, build, fastener),
    !sheet.form && [notesPart(build, fastener), historyPart(build, stage, fastener), storyPart(sheet, build, fastener.id)],
  ];
}

// A gauge measures no torque.
const wrenches = (build) => serving(build).filter((tool) => !tool.tool.measures);

function notesPart(build, fastener) {
  const notes = notesOf(build, fastener.id);
  return notes.length > 0 && h("section", { class: "part", "aria-label": t("notes") }, h("h3", {}, t("notes-and-photos")), notesList(notes));
}

function fastenerForm(sheet, build, fastener) {
  if (sheet.form === "take-back") return takeBackForm(sheet, build, fastener.id);
  if (sheet.form === "note") return noteForm(build, fastener.id, () => openSheet({ ...sheet, form: undefined }));
  return reasonForm(sheet, build, fastener);
}

function fastenerActions(sheet, build, fastener) {
  const { standing } = fastener;
  const target = { build: build.id, fastener: fastener.id };
  const touch = (key, word, body) => button(key, "main", () => act({ ...body, ...target, by: state.who }, { then: closeSheet }), word);
  const ask = (form, word) => button(form, "plain", () => openSheet({ ...sheet, form }), word);
  const isOpen = ["open", "part-way", "under", "undecided"].includes(standing) && !fastener.needs_decision;
  return h("div", { class: "actions", "data-arrows": true },
    isOpen && build.next?.fastener !== fastener.id && touch("point-at", t("comes-next"), { act: "point-at" }),
    doubtsShown(build).some((doubt) => doubt.fastener === fastener.id) && nextOf(build)?.fastener !== fastener.id
      && touch("point-at", t("comes-next-once-more"), { act: "point-at" }),
    standing === "deferred" && touch("take-up", t("take-up"), { act: "take-up" }),
    fastener.prep.length > 0 && !fastener.prepared && touch("prepare", t("prep-is-on"), { act: "prepare" }),
    fastener.second_look && !fastener.looked && ask("look", t("look-ask")),
    fastener.counts && standing !== "over" && ask("loosen", t("loosened-ask")),
    isOpen && ask("defer", t("defer-ask")),
    standing !== "over" && wrenches(build).length > 0 && ask("enter", t("enter-by-hand")),
    ask("note", t("note-ask")),
    fastener.needs_decision && h("p", {}, t(standing === "over" ? "decide-at-top" : "decide-at-top-maybe")));
}

const FORMS = {
  loosen: { label: t("why-loosened"), send: t("loosened"), needs: t("write-why-its-loosened"), quick: [t("quick-dry-fit"), t("quick-part"), t("quick-found-loose"), t("quick-adjustment")] },
  defer: { label: t("why-deferred"), send: t("defer"), needs: t("write-why-deferred"), quick: [t("quick-back-order"), t("quick-other-first"), t("quick-customer")] },
  look: { label: t("look-seen"), send: t("look-send"), quick: [] },
  enter: { label: t("enter-label"), send: t("enter-reading"), needs: t("enter-needs", { example: torque(5000) }), quick: [] },
};

function reasonForm(sheet, build, fastener) {
  const form = FORMS[sheet.form];
  const key = `${sheet.form} ${build.id} ${fastener.id}`;
  const isLine = sheet.form === "enter";
  const field = h(isLine ? "input" : "textarea", { id: key, draft: key, maxlength: 500, ...(isLine ? { autocomplete: "off" } : { rows: 2 }) });
  const looker = sheet.form === "look" && personField(`${key} by`, [state.who]);
  const waits = sheet.form === "defer" && line(`${key} waits`, t("waits-for-what"), { maxlength: 200 });
  const tools = isLine ? h("select", { id: `${key} tool`, "data-key": `${key} tool` }, wrenches(build).map((view) => h("option", { value: view.tool.id }, view.tool.title))) : null;
  const send = (event) => {
    event.preventDefault();
    const text = field.value.trim();
    if (form.needs && !text) return refuse(form.needs);
    if (isLine && mayBeThousands(text)) return refuse(t("may-be-thousands", { value: text }));
    if (looker && !looker.value.trim()) return refuse(t("look-write-name"));
    return act(formAct(sheet, build, fastener, text, { looker, tools }), { forget: [key, `${key} by`, `${key} waits`], then: closeSheet });
  };
  return h("form", { on: { submit: send }, novalidate: true },
    looker && [h("label", { class: "label", for: `${key} by` }, t("look-who")), looker],
    tools && [h("label", { class: "label", for: `${key} tool` }, t("tool")), tools],
    h("label", { class: "label", for: key }, form.label),
    form.quick.length > 0 && h("div", { class: "quick", "data-arrows": true }, form.quick.map((word) => button(`${key} ${word}`, "plain", () => { field.value = word; drafts.set(key, word); field.focus(); }, word))),
    field,
    waits,
    h("button", { type: "submit", class: "main", "data-key": `${key} send` }, form.send),
    button("back", "plain wide", () => openSheet({ ...sheet, form: undefined }), t("back")));
}

function waitsFor(build, fastener) {
  const what = typed(`defer ${build.id} ${fastener.id} waits`);
  return what ? { waits_for: what } : {};
}

function formAct(sheet, build, fastener, text, { looker, tools }) {
  const target = { build: build.id, fastener: fastener.id };
  switch (sheet.form) {
    case "loosen": return { act: "loosen", build: build.id, fasteners: [fastener.id], by: state.who, reason: text };
    case "defer": return { act: "defer", ...target, by: state.who, reason: text, ...waitsFor(build, fastener) };
    case "look": return { act: "look", ...target, by: looker.value.trim(), ...(text ? { reason: text } : {}) };
    default: return { act: "enter-reading", tool: tools.value, value: withUnit(text), by: state.who, fastener: fastener.id };
  }
}

function placeSheet(sheet, build) {
  const held = build.held.find((h) => h.sequence === sheet.reading);
  return [
    h("h2", { id: "sheet-title" }, heldQuestion(held)),
    byRow(),
    h("div", { class: "actions", "data-arrows": true }, build.stages.map((stage) => [
      h("h3", {}, stage.title),
      stage.fasteners.map((fastener) => button(`place ${fastener.id}`, "candidate", () => act(placeAct(held, { fastener: fastener.id }), { then: closeSheet }),
        h("span", {}, h("b", {}, fastener.title), h("span", {}, listed([limitsInWords(fastener.limits), standingWord(fastener.standing)])), practiceMark(fastener)))),
    ])),
  ];
}

function finishSheet(sheet, build) {
  return [
    h("h2", { id: "sheet-title" }, t("finish-title", { bike: bikeName(build) })),
    h("p", { class: "summary" }, wholeSummary(build)),
    notDone(build),
    build.doubts.length > 0 && doubtsPart(build),
    byRow(),
    finishForm(build),
  ];
}

function doubtsPart(build) {
  const stages = [...new Set(build.doubts.map((doubt) => doubt.stage))];
  return h("section", { class: "doubts", "aria-labelledby": "doubts-title" },
    h("h3", { id: "doubts-title" }, t("doubts-title", { n: build.doubts.length })),
    h("p", {}, t("doubts-what", { n: build.doubts.length })),
    h("div", { class: "actions", "data-arrows": true }, stages.map((stage) => [
      h("p", { class: "label" }, stage),
      build.doubts.filter((doubt) => doubt.stage === stage).map((doubt) => button(`doubt ${doubt.fastener}`, "candidate",
        () => act({ act: "point-at", build: build.id, fastener: doubt.fastener, by: state.who }, { then: closeAndShowNext }),
        mark("doubt"), h("span", {}, h("b", {}, doubt.title), h("span", {}, t("doubt-probability", { percent: percentOf(doubt.missed_millionths) }))))),
    ])));
}

function finishForm(build) {
  const key = `sure ${build.id}`;
  const isDoubted = build.doubts.length > 0;
  const field = isDoubted && h("textarea", { id: key, draft: key, rows: 2, maxlength: 500 });
  const send = (event) => {
    event.preventDefault();
    const sure = field ? field.value.trim() : "";
    if (isDoubted && !sure) return refuse(t("sure-needed"));
    return act({ act: "finish", build: build.id, by: state.who, ...(sure ? { sure } : {}) }, { forget: [key], then: closeSheet });
  };
  return h("form", { on: { submit: send }, novalidate: true },
    isDoubted && [h("label", { class: "label", for: key }, t("sure-label")), field],
    h("button", { type: "submit", class: "main", "data-key": "finish now" }, t("finish-build")));
}
