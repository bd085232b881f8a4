// The sheet of one build: what can happen to it beside its pulls.

import { beginService } from "./due.js";
import { editionPart, shownOfEdition } from "./edition.js";
import { BOLD, button, h } from "./elements.js";
import { form, line, lines, personField, typed } from "./forms.js";
import { act } from "./live.js";
import { mark } from "./marks.js";
import { chosenPhotos, noteForm, notesList, notesOf } from "./notes.js";
import { byRow, closeSheet, openSheet } from "./sheet.js";
import { byWhom, findCheck, findFastener, refuse, state } from "./state.js";
import { storyOf, storyPart, takeBackForm } from "./story.js";
import { rich, t } from "./tongue.js";
import { bikeName, clock, day } from "./words.js";

const fastenersOf = (build) => build.stages.flatMap((stage) => stage.fasteners);
const counting = (fasteners) => fasteners.filter((fastener) => fastener.counts);

const FORMS = { dry: dryFitForm, stage: stageForm, aside: asideForm, hand: handForm, fit: fitForm, swap: swapForm, note: buildNote, plan: planForm, history: historyForm, "take-back": takeBackForm };

export function shownOfBuild(sheet, build) {
  const about = { plan: () => shownOfEdition(build), history: () => storyOf(build.id), "take-back": () => storyOf(build.id), note: chosenPhotos }[sheet.form];
  return [sheet, build.finished, build.bike, build.plan, build.edition, build.in_hands, build.laid_aside, build.parts, build.notes, build.stages, about?.()];
}

export function buildSheet(sheet, build) {
  const made = FORMS[sheet.form];
  return [
    h("h2", { id: "sheet-title" }, made ? bikeName(build) : t("this-build-title", { bike: bikeName(build) })),
    build.laid_aside && !made && h("p", { class: "aside-line" }, mark("apart"), h("span", {}, asideInWords(build))),
    (!build.finished || !made) && sheet.form !== "hand" && byRow(), // who hands over is who has it
    made ? made(sheet, build) : menu(sheet, build),
  ];
}

export const asideInWords = ({ laid_aside: aside }) => t(aside.reason ? "laid-aside-because" : "laid-aside-by", { by: aside.by, day: day(aside.time), clock: clock(aside.time), reason: aside.reason || "" });

const to = (sheet, formName, more = {}) => () => openSheet({ kind: "build", build: sheet.build, form: formName, ...more });
const menuOf = (sheet) => () => openSheet({ kind: "build", build: sheet.build });

export const goOn = (build, done) => act({ act: "resume", build: build.id, by: state.who }, { then: done });

function menu(sheet, build) {
  const entry = (key, word, meaning, onTouch) => button(key, "candidate", onTouch, h("span", {}, h("b", {}, word), h("span", {}, meaning)));
  const isOpen = !build.finished;
  return [
    h("div", { class: "actions", "data-arrows": true },
      isOpen && (build.laid_aside
        ? entry("resume", t("go-on"), t("go-on-what"), () => goOn(build, closeSheet))
        : entry("lay aside", t("lay-aside-ask"), t("lay-aside-what"), to(sheet, "aside"))),
      isOpen && entry("hand over", t("hand-ask"), t("hand-what", { name: build.in_hands }), to(sheet, "hand")),
      !isOpen && entry("service", t("service-ask"), t("service-what"), () => beginService(build.id, build.bike, [])),
      isOpen && counting(fastenersOf(build)).length > 0
        && entry("dry fit", t("dry-fit-ask"), t("dry-fit-what"), to(sheet, "dry")),
      isOpen && entry("note", t("note-ask"), t("note-build-what"), to(sheet, "note")),
      isOpen && entry("plan", t("edition-ask"), t("edition-ask-what"), to(sheet, "plan")),
      entry("history", t("whole-history"), isOpen ? t("whole-history-open") : t("whole-history-finished"), to(sheet, "history"))),
    build.parts.length > 0 && partsPart(sheet, build),
    notesOf(build).length > 0 && h("section", { class: "part", "aria-label": t("notes") }, h("h3", {}, t("notes-and-photos")),
      notesList(notesOf(build), (fastener) => findFastener(build, fastener)?.title || fastener)),
  ];
}

// ---------------------------------------------------------------------------------------------------- undone

function loosenForm(build, key, fasteners, title, words, body) {
  const send = () => {
    const reason = typed(key);
    if (!reason) return refuse(t("write-why-loosened"));
    return act({ act: "loosen", build: build.id, ...body, by: state.who, reason }, { forget: [key], then: closeSheet });
  };
  return [
    h("h3", {}, title),
    looseAfter(fasteners),
    form(key, words, send, () => openSheet({ kind: "build", build: build.id }),
      lines(key, t("why-needed"), { quick: [t("quick-dry-fit"), t("quick-part"), t("quick-adjustment")] })),
  ];
}

function looseAfter(fasteners, checks = []) {
  const loose = counting(fasteners);
  const unmeasured = checks.filter((check) => check.readings_done > 0);
  return loose.length + unmeasured.length === 0 ? h("p", {}, t("undone-nothing")) : h("section", { class: "undone", "aria-label": t("undone-title") },
    undone(loose, "undone-fasteners"),
    undone(unmeasured, "undone-checks"));
}

function undone(all, id) {
  return all.length > 0 && [h("p", {}, t(id, { n: all.length })),
    h("ul", { class: "plain-list" }, all.map((one) => h("li", {}, one.title)))];
}

function dryFitForm(sheet, build) {
  return loosenForm(build, `dry ${build.id}`, fastenersOf(build), t("dry-fit-title"), t("dry-fit-send"), { all: true });
}

function stageForm(sheet, build) {
  const stage = build.stages.find((known) => known.id === sheet.stage);
  return loosenForm(build, `stage ${build.id} ${sheet.stage}`, stage?.fasteners || [], t("loosen-stage-title", { stage: stage?.title || sheet.stage }), t("loosen-stage-send"), { stage: sheet.stage });
}

// ---------------------------------------------------------------------------------------------------- who and when

function asideForm(sheet, build) {
  const key = `aside ${build.id}`;
  const send = () => {
    const reason = typed(key);
    if (!reason) return refuse(t("write-why-aside"));
    return act({ act: "lay-aside", build: build.id, by: state.who, reason }, { forget: [key], then: closeSheet });
  };
  return [h("h3", {}, t("lay-aside-title")), h("p", {}, t("lay-aside-note")),
    form(key, t("lay-aside-send"), send, menuOf(sheet), lines(key, t("lay-aside-why"), { quick: [t("quick-a-back-order"), t("quick-the-customer"), t("quick-end-of-day")] }))];
}

function handForm(sheet, build) {
  const key = `hand ${build.id}`;
  const keys = [`${key} to`, `${key} note`];
  const send = () => {
    const [name, note] = keys.map(typed);
    if (!name) return refuse(t("hand-write-name"));
    return act({ act: "hand-over", build: build.id, from: build.in_hands, to: name, ...byWhom(), ...(note ? { note } : {}) }, { forget: keys, then: closeSheet });
  };
  return [h("h3", {}, t("hand-title")),
    h("p", {}, t("hand-note", { name: build.in_hands })),
    form(key, t("hand-send"), send, menuOf(sheet), h("label", { class: "label", for: keys[0] }, t("hand-who")), personField(keys[0], [build.in_hands]), lines(keys[1], t("hand-tell")))];
}

// ---------------------------------------------------------------------------------------------------- parts

function partsPart(sheet, build) {
  return h("section", { class: "part", "aria-label": t("parts") }, h("h3", {}, t("parts")),
    h("ul", { class: "parts" }, build.parts.map((part) => h("li", {},
      h("div", { class: "story-text" }, h("p", {}, h("b", {}, part.title)),
        h("p", { class: "quiet" }, [part.kind, part.serial ? t("part-serial", { serial: part.serial }) : t("part-none-entered"), part.swaps > 0 && t("part-replaced-times", { n: part.swaps })].filter(Boolean).join(", "))),
      !build.finished && !part.serial && button(`fit ${part.id}`, "plain", to(sheet, "fit", { part: part.id }), t("part-fit-ask")),
      !build.finished && button(`swap ${part.id}`, "plain", to(sheet, "swap", { part: part.id }), t("part-swap-ask"))))));
}

// A part may be held by fasteners, and checks may have been measured at it; the plan names both in one list.
const heldBy = (build, part) => part.fasteners.map((id) => findFastener(build, id)).filter(Boolean);
const measuredAt = (build, part) => part.fasteners.map((id) => findCheck(build, id)).filter(Boolean);

function fitForm(sheet, build) {
  const part = build.parts.find((known) => known.id === sheet.part);
  const key = `fit ${build.id} ${sheet.part}`;
  const keys = [`${key} serial`, `${key} kind`];
  const send = () => {
    const [serial, kind] = keys.map(typed);
    if (!serial) return refuse(t("part-write-serial"));
    return act({ act: "fit-part", build: build.id, part: part.id, serial, ...(kind ? { kind } : {}), by: state.who }, { forget: keys, then: menuOf(sheet) });
  };
  return [h("h3", {}, t("part-fit-title", { part: part.title })),
    form(key, t("part-fit-send"), send, menuOf(sheet), line(keys[0], t("part-serial-label")), kindLine(keys[1], part))];
}

const kindLine = (key, part) => line(key, part.kind ? t("part-kind-label", { kind: part.kind }) : t("part-kind-label-plan"));

function swapForm(sheet, build) {
  const part = build.parts.find((known) => known.id === sheet.part);
  const key = `swap ${build.id} ${sheet.part}`;
  const keys = [`${key} serial`, `${key} out`, `${key} kind`, `${key} reason`];
  const send = () => {
    const [serial, out, kind, reason] = keys.map(typed);
    if (!serial) return refuse(t("part-write-spare"));
    if (!reason) return refuse(t("part-write-why"));
    return act({ act: "swap-part", build: build.id, part: part.id, serial, ...(out ? { out } : {}), ...(kind ? { kind } : {}), by: state.who, reason }, { forget: keys, then: menuOf(sheet) });
  };
  return [h("h3", {}, t("part-swap-title", { part: part.title })),
    looseAfter(heldBy(build, part), measuredAt(build, part)),
    form(key, t("part-swap-send"), send, menuOf(sheet),
      line(keys[0], t("part-spare-label")),
      part.serial ? h("p", {}, rich("part-goes-out", { serial: part.serial }, BOLD)) : line(keys[1], t("part-out-label")),
      kindLine(keys[2], part),
      lines(keys[3], t("why-needed")))];
}

// ---------------------------------------------------------------------------------------------------- said, planned, happened

function buildNote(sheet, build) {
  return [h("h3", {}, t("note-title")), noteForm(build, undefined, menuOf(sheet))];
}

function planForm(sheet, build) {
  return editionPart(build, menuOf(sheet), closeSheet);
}

function historyForm(sheet, build) {
  return [storyPart(sheet, build), button("back", "plain wide", menuOf(sheet), t("back"))];
}
