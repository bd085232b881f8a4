// The sheet of one build: what can happen to it beside its pulls.

import { editionPart, shownOfEdition } from "./edition.js";
import { button, h } from "./elements.js";
import { form, line, lines, personField, typed } from "./forms.js";
import { act } from "./live.js";
import { mark } from "./marks.js";
import { chosenPhotos, noteForm, notesList, notesOf } from "./notes.js";
import { byRow, closeSheet, openSheet } from "./sheet.js";
import { findCheck, findFastener, refuse, state } from "./state.js";
import { storyOf, storyPart, takeBackForm } from "./story.js";
import { bikeName, clock, count, day } from "./words.js";

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
    h("h2", { id: "sheet-title" }, made ? bikeName(build) : `This build: ${bikeName(build)}`),
    build.laid_aside && !made && h("p", { class: "aside-line" }, mark("apart"), h("span", {}, asideInWords(build))),
    !build.finished && sheet.form !== "hand" && byRow(), // who hands over is who has it
    made ? made(sheet, build) : menu(sheet, build),
  ];
}

export const asideInWords = ({ laid_aside: aside }) => `Laid aside by ${aside.by} on ${day(aside.time)} at ${clock(aside.time)}${aside.reason ? `: ${aside.reason}` : ""}`;

const to = (sheet, formName, more = {}) => () => openSheet({ kind: "build", build: sheet.build, form: formName, ...more });
const menuOf = (sheet) => () => openSheet({ kind: "build", build: sheet.build });

export const goOn = (build, done) => act({ act: "resume", build: build.id, by: state.who }, { then: done });

function menu(sheet, build) {
  const entry = (key, word, meaning, onTouch) => button(key, "candidate", onTouch, h("span", {}, h("b", {}, word), h("span", {}, meaning)));
  const isOpen = !build.finished;
  return [
    h("div", { class: "actions", "data-arrows": true },
      isOpen && (build.laid_aside
        ? entry("resume", "Go on with it", "it no longer waits for another day", () => goOn(build, closeSheet))
        : entry("lay aside", "Lay it aside…", "it waits for another day", to(sheet, "aside"))),
      isOpen && entry("hand over", "Hand it to another mechanic…", `it is in the hands of ${build.in_hands}`, to(sheet, "hand")),
      isOpen && counting(fastenersOf(build)).length > 0
        && entry("dry fit", "All of this was a dry fit…", "every fastener is open again; the readings stay", to(sheet, "dry")),
      isOpen && entry("note", "Note or photograph…", "about the bike as a whole", to(sheet, "note")),
      isOpen && entry("plan", "Another edition of the plan…", "what it would mean is shown first", to(sheet, "plan")),
      entry("history", "Whole history", isOpen ? "and what can be taken back" : "entry after entry", to(sheet, "history"))),
    build.parts.length > 0 && partsPart(sheet, build),
    notesOf(build).length > 0 && h("section", { class: "part", "aria-label": "Notes" }, h("h3", {}, "Notes and photographs"),
      notesList(notesOf(build), (fastener) => findFastener(build, fastener)?.title || fastener)),
  ];
}

// ---------------------------------------------------------------------------------------------------- undone

function loosenForm(build, key, fasteners, title, words, body) {
  const send = () => {
    const reason = typed(key);
    if (!reason) return refuse("Write why it was loosened: the readings stay, and no longer count.");
    return act({ act: "loosen", build: build.id, ...body, by: state.who, reason }, { forget: [key], then: closeSheet });
  };
  return [
    h("h3", {}, title),
    looseAfter(fasteners),
    form(key, words, send, () => openSheet({ kind: "build", build: build.id }),
      lines(key, "Why? (needed)", { quick: ["dry fit", "part exchanged", "adjustment"] })),
  ];
}

function looseAfter(fasteners, checks = []) {
  const loose = counting(fasteners);
  const unmeasured = checks.filter((check) => check.readings_done > 0);
  return loose.length + unmeasured.length === 0 ? h("p", {}, "Nothing counts there: nothing is undone by it.") : h("section", { class: "undone", "aria-label": "What is undone" },
    undone(loose, `${count(loose.length, "fastener has", "fasteners have")} to be tightened again, prep and second look too`),
    undone(unmeasured, `${count(unmeasured.length, "check has", "checks have")} to be measured again`));
}

function undone(all, words) {
  return all.length > 0 && [h("p", {}, `${words}. The readings stay and no longer count:`),
    h("ul", { class: "plain-list" }, all.map((one) => h("li", {}, one.title)))];
}

function dryFitForm(sheet, build) {
  return loosenForm(build, `dry ${build.id}`, fastenersOf(build), "All of this was a dry fit", "All of it is loosened", { all: true });
}

function stageForm(sheet, build) {
  const stage = build.stages.find((known) => known.id === sheet.stage);
  return loosenForm(build, `stage ${build.id} ${sheet.stage}`, stage?.fasteners || [], `Loosen this stage: ${stage?.title || sheet.stage}`, "The stage is loosened", { stage: sheet.stage });
}

// ---------------------------------------------------------------------------------------------------- who and when

function asideForm(sheet, build) {
  const key = `aside ${build.id}`;
  const send = () => {
    const reason = typed(key);
    if (!reason) return refuse("Write why it is laid aside: whoever goes on reads it.");
    return act({ act: "lay-aside", build: build.id, by: state.who, reason }, { forget: [key], then: closeSheet });
  };
  return [h("h3", {}, "Lay it aside for another day"), h("p", {}, "Whoever works at it next goes on with it. A pull still counts."),
    form(key, "Lay it aside", send, menuOf(sheet), lines(key, "Why, and what does it wait for? (needed)", { quick: ["a part on back order", "the customer decides", "end of the day"] }))];
}

function handForm(sheet, build) {
  const key = `hand ${build.id}`;
  const keys = [`${key} to`, `${key} note`];
  const send = () => {
    const [name, note] = keys.map(typed);
    if (!name) return refuse("Write the name of the mechanic who gets it.");
    return act({ act: "hand-over", build: build.id, from: build.in_hands, to: name, ...(note ? { note } : {}) }, { forget: keys, then: closeSheet });
  };
  return [h("h3", {}, "Hand it to another mechanic"),
    h("p", {}, `It is in the hands of ${build.in_hands}. From here on the pulls are those of the other. Whoever goes on at this page says who they are at the top.`),
    form(key, "Hand it over", send, menuOf(sheet), h("label", { class: "label", for: keys[0] }, "Who gets it?"), personField(keys[0], [build.in_hands]), lines(keys[1], "What does the other have to know? (may be left empty)"))];
}

// ---------------------------------------------------------------------------------------------------- parts

function partsPart(sheet, build) {
  return h("section", { class: "part", "aria-label": "Parts" }, h("h3", {}, "Parts"),
    h("ul", { class: "parts" }, build.parts.map((part) => h("li", {},
      h("div", { class: "story-text" }, h("p", {}, h("b", {}, part.title)),
        h("p", { class: "quiet" }, [part.kind, part.serial ? `serial ${part.serial}` : "none entered yet", part.swaps > 0 && `replaced ${count(part.swaps, "time", "times")}`].filter(Boolean).join(", "))),
      !build.finished && !part.serial && button(`fit ${part.id}`, "plain", to(sheet, "fit", { part: part.id }), "It goes on…"),
      !build.finished && button(`swap ${part.id}`, "plain", to(sheet, "swap", { part: part.id }), "A spare goes in…")))));
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
    if (!serial) return refuse("Write the part's serial number, or what else it can be known by.");
    return act({ act: "fit-part", build: build.id, part: part.id, serial, ...(kind ? { kind } : {}), by: state.who }, { forget: keys, then: menuOf(sheet) });
  };
  return [h("h3", {}, `${part.title} goes on`),
    form(key, "It is on", send, menuOf(sheet), line(keys[0], "Serial number, or what else it can be known by"), kindLine(keys[1], part))];
}

const kindLine = (key, part) => line(key, `Another kind of part than ${part.kind || "the plan says"}? Which? (may be left empty)`);

function swapForm(sheet, build) {
  const part = build.parts.find((known) => known.id === sheet.part);
  const key = `swap ${build.id} ${sheet.part}`;
  const keys = [`${key} serial`, `${key} out`, `${key} kind`, `${key} reason`];
  const send = () => {
    const [serial, out, kind, reason] = keys.map(typed);
    if (!serial) return refuse("Write the serial number of the spare, or what else it can be known by.");
    if (!reason) return refuse("Write why the part was replaced: it stands in the record.");
    return act({ act: "swap-part", build: build.id, part: part.id, serial, ...(out ? { out } : {}), ...(kind ? { kind } : {}), by: state.who, reason }, { forget: keys, then: menuOf(sheet) });
  };
  return [h("h3", {}, `A spare for ${part.title}`),
    looseAfter(heldBy(build, part), measuredAt(build, part)),
    form(key, "The spare is in", send, menuOf(sheet),
      line(keys[0], "Serial number of the spare"),
      part.serial ? h("p", {}, "Goes out: ", h("b", {}, part.serial)) : line(keys[1], "Serial number of the one that goes out (may be left empty)"),
      kindLine(keys[2], part),
      lines(keys[3], "Why? (needed)"))];
}

// ---------------------------------------------------------------------------------------------------- said, planned, happened

function buildNote(sheet, build) {
  return [h("h3", {}, "Note or photograph"), noteForm(build, undefined, menuOf(sheet))];
}

function planForm(sheet, build) {
  return editionPart(build, menuOf(sheet), closeSheet);
}

function historyForm(sheet, build) {
  return [storyPart(sheet, build), button("back", "plain wide", menuOf(sheet), "Back")];
}
