// Checks: planned measurements that are no torque. Their rows among the fasteners, the questions about readings that wait, and
// what can be done with one. The checks of a tool against a reference are another thing (checks.js).

import { BOLD, button, draw, h } from "./elements.js";
import { marked, mayBeThousands, pointed } from "./figures.js";
import { decisionForm, form, line, lines, typed } from "./forms.js";
import { act } from "./live.js";
import { mark, practiceMark } from "./marks.js";
import { noteForm, notesList, notesOf } from "./notes.js";
import { notesInWords } from "./parts.js";
import { limitsSaid, quantityWord, valueSaid } from "./said.js";
import { byRow, closeSheet, openSheet } from "./sheet.js";
import { findCheck, refuse, serving, state, toolTitle } from "./state.js";
import { storyOf, storyPart, takeBackForm } from "./story.js";
import { rich, t } from "./tongue.js";
import { CHECK_DECISION, capital, checkAnswerWord, checkCautionWord, checkStandingWord, clock, coded, displayedInWords, isPractice, listed, sourceSaid, summaryInWords } from "./words.js";

const hasWall = (check) => check.limits.lower !== undefined && check.limits.lower !== null;

// The same marks as for a fastener: what was kept is drawn as what was kept there.
export const checkMark = (check) => mark({ kept: "over-kept", undecided: check.needs_decision ? "undecided" : "undecided-low" }[check.standing] || check.standing, hasWall(check));

const several = (check) => (check.readings > 1 ? t("check-readings", { done: check.readings_done, all: check.readings }) : "");

// A formula with the titles of the checks in the place of their short names. A short name stands in braces or bare; a dash in a
// bare one may be a minus, and then the longest that is known counts, as the daemon reads it.
export function formulaInWords(formula, titles) {
  const named = (id) => t("check-in-formula", { title: titles.get(id) });
  return formula.replace(/\{([^{}]*)\}|[\d.][\w.]*|[a-z_][\w.-]*(?![\w.-]|\s*\()/gi, (word, braced) => {
    if (braced !== undefined) return titles.has(braced) ? named(braced) : word;
    const ends = [word.length, ...[...word.matchAll(/-/g)].map(({ index }) => index).reverse()];
    const end = /^[\d.]/.test(word) ? undefined : ends.find((at) => titles.has(word.slice(0, at)));
    return end === undefined ? marked(word) : named(word.slice(0, end)) + (end < word.length ? formulaInWords(word.slice(end), titles) : "");
  });
}

const titlesOf = (build) => new Map(build.stages.flatMap((stage) => stage.checks).map((check) => [check.id, check.title]));

export function checkNotes(build, check) {
  return [
    check.formula && t("check-computed", { formula: formulaInWords(check.formula, titlesOf(build)) }),
    several(check),
    check.note,
    check.deferred && t("note-deferred", { reason: check.deferred }),
    check.waits_for && t("note-waits-for", { what: check.waits_for }),
    check.notes > 0 && notesInWords(check),
  ].filter(Boolean);
}

export function checkRow(build, check) {
  const isNext = check.pointed && !build.finished;
  return button(`check ${check.id}`, `fastener is-check is-${check.standing}${isNext ? " is-next" : ""}`,
    () => openSheet({ kind: "check", build: build.id, check: check.id }),
    checkMark(check),
    h("span", { class: "fastener-text" },
      h("b", {}, check.title),
      h("span", { class: "quiet" }, `${capital(quantityWord(check.quantity))}, ${limitsSaid(check.limits_text)}`), practiceMark(check),
      checkNotes(build, check).map((note) => h("span", { class: "note" }, note))),
    h("span", { class: "fastener-state" },
      h("span", { class: "word" }, checkStandingWord(check.standing)),
      check.value_text && h("span", { class: "figure" }, valueSaid(check.value_text)),
      isNext && h("span", { class: "next-flag" }, t("next-flag"))));
}

export function checksInWords(summary) {
  if (!summary || !summary.checks) return "";
  const parts = [t("checks-within", { within: summary.within, all: summary.checks })];
  if (summary.kept) parts.push(t("checks-kept", { n: summary.kept }));
  if (summary.out) parts.push(t("checks-out", { n: summary.out }));
  if (summary.deferred) parts.push(t("checks-deferred", { n: summary.deferred }));
  if (summary.open) parts.push(t("checks-open", { n: summary.open }));
  return listed(parts);
}

// How a build stands: its fasteners, then its checks. Where none is planned nothing is said of them.
export const wholeSummary = (build) => capital([build.summary.fasteners > 0 && summaryInWords(build.summary), checksInWords(build.check_summary)].filter(Boolean).join(". "));

// What is done of what: of the fasteners; of the checks where the plan has nothing else.
export function progressOf({ summary, check_summary: checks }) {
  return summary.fasteners > 0 ? { of: "fasteners", done: summary.within + summary.over_kept + summary.undecided_kept, all: summary.fasteners }
    : { of: "checks", done: checks.within + checks.kept, all: checks.checks };
}

const openChecks = (build) => build.stages.flatMap((stage) => stage.checks).filter((check) => !check.formula && !["within", "kept", "deferred"].includes(check.standing));

// What is measured next, where no fastener is: checks come in any order.
export function checksNext(build) {
  const { out } = build.check_summary;
  const open = openChecks(build).length; // one that is computed is measured nowhere
  return out > 0 ? t("checks-next-out", { n: out }) : open > 0 ? t("checks-next", { n: open }) : "";
}

export const checksToMeasure = (build) => h("ul", { class: "next-checks" }, openChecks(build).map((check) => h("li", {}, checkMark(check),
  h("span", {}, h("b", {}, check.title), h("span", {}, limitsSaid(check.limits_text)), practiceMark(check)))));

// What keeps a build from being finished.
export function checkHindrances(build) {
  const { check_summary: summary, held_checks: held, check_alarms: alarms } = build;
  const all = [];
  if (alarms.length) all.push(t("before-check-alarms", { n: alarms.length }));
  if (held.length) all.push(t("before-check-held", { n: held.length }));
  if (summary.out) all.push(t("before-checks-out", { n: summary.out }));
  if (summary.open) all.push(t("before-checks-open", { n: summary.open }));
  return all;
}

// ---------------------------------------------------------------------------------------------------- the last reading

export function drawLastCheck(build) {
  const last = build?.last_check;
  draw("last-check", last && !build.finished ? [build.id, last, build.held_checks.length, last.check && isPractice(findCheck(build, last.check))] : null, () => {
    const isHeld = build.held_checks.some((held) => held.sequence === last.sequence);
    const word = last.answer ? capital(checkAnswerWord(last.answer)) : isHeld ? t("held") : t("no-check");
    const name = last.answer || (isHeld ? "held" : "test");
    const judged = last.value_text && last.value_text !== last.displayed ? valueSaid(last.value_text) : "";
    const expanded = last.expanded_text && valueSaid(last.expanded_text);
    return h("div", { class: `last-card last-check is-${name}` }, mark(name),
      h("p", { class: "last-word" }, h("span", { class: "unseen" }, `${t("last-measurement")}: `), word),
      h("div", { class: "last-figures" },
        h("p", { class: "last-value" }, last.displayed ? displayedInWords(last.displayed) : t("more-than-shown")),
        judged && h("p", { class: "last-judged" }, t("judged", { value: expanded ? `${judged} ± ${expanded}` : judged }))),
      h("div", { class: "last-title" },
        h("p", {}, last.title || (isHeld ? t("waits-for-person") : t("belongs-to-no-check"))),
        last.limits_text && h("p", {}, h("b", {}, limitsSaid(last.limits_text))),
        last.limits_text && last.check && practiceMark(findCheck(build, last.check))),
      last.cautions.length > 0 && h("p", { class: "last-cautions" }, capital(listed(last.cautions.map(checkCautionWord)))),
      h("p", { class: "last-time" }, clock(last.time), h("span", {}, ` ${toolTitle(last.tool)}`)));
  });
}

// ---------------------------------------------------------------------------------------------------- questions

export const heldCheckQuestion = (held) => (held.displayed ? t("which-check", { value: displayedInWords(held.displayed) }) : t("which-check-past"));

const placeCheck = (held, place, reason) => ({
  act: "place", reading: held.sequence, fastener: place ? place.check : null,
  ...(place ? { pass: place.number } : { reason }), by: state.who,
});

export function heldCheckPanel(build, settled) {
  const held = build.held_checks[0];
  const fits = held.because === "implausible" && held.candidates.find((candidate) => candidate.fits_in);
  const unit = / (\S+)$/.exec(held.displayed || "")?.[1] || "";
  return h("section", { class: "held-panel", "aria-label": t("held-measurement") },
    h("p", { class: "label" }, mark("held"), build.held_checks.length > 1 ? t("held-first-of", { n: build.held_checks.length }) : t("held")),
    h("h2", {}, fits ? t("which-unit") : heldCheckQuestion(held)),
    h("p", {}, t("check-held-why", { clock: clock(held.time), tool: toolTitle(held.tool), why: coded("check-held", held.because) })),
    fits && h("p", { class: "caution" }, t("check-other-unit", { value: displayedInWords(held.displayed), title: fits.title, limits: limitsSaid(fits.limits_text), fits: fits.fits_in, unit })),
    h("div", { class: "candidates", "data-arrows": true },
      held.candidates.map((candidate, index) => button(`held check ${index}`, "candidate", settled(() => act(placeCheck(held, candidate))),
        h("span", {}, h("b", {}, candidate.title),
          h("span", {}, listed([candidate.limits_text && limitsSaid(candidate.limits_text), candidate.fits_in && t("would-fit-in", { unit: candidate.fits_in })])), practiceMark(findCheck(build, candidate.check))))),
      button("held check none", "candidate", settled(() => act(placeCheck(held, null, "measured again"))), h("span", {}, h("b", {}, t("no-check")), h("span", {}, t("then-measure-again")))),
      button("held check other", "candidate other", settled(() => openSheet({ kind: "place-check", build: build.id, reading: held.sequence })), h("b", {}, t("another-check")))));
}

export function placeCheckSheet(sheet, build) {
  const held = build.held_checks.find((known) => known.sequence === sheet.reading);
  const fitting = build.stages.map((stage) => [stage, stage.checks.filter((check) => check.quantity === held.quantity && !check.formula)]);
  return [
    h("h2", { id: "sheet-title" }, heldCheckQuestion(held)),
    byRow(),
    h("div", { class: "actions", "data-arrows": true }, fitting.filter(([, checks]) => checks.length > 0).map(([stage, checks]) => [
      h("h3", {}, stage.title),
      checks.flatMap((check) => Array.from({ length: check.readings }, (_, number) => button(`place ${check.id} ${number}`, "candidate",
        () => act(placeCheck(held, { check: check.id, number }), { then: closeSheet }),
        h("span", {}, h("b", {}, check.readings > 1 ? t("check-reading-number", { title: check.title, number: number + 1 }) : check.title),
          h("span", {}, listed([limitsSaid(check.limits_text), checkStandingWord(check.standing)])), practiceMark(check))))),
    ])),
  ];
}

// ---------------------------------------------------------------------------------------------------- decisions

export function checkDecisionPanel(build, check) {
  return h("section", { class: "over-panel", "aria-label": t("disposition-of", { title: check.title }) },
    h("p", { class: "label" }, checkMark(check), check.standing === "over" ? t("check-over-decide") : t("check-may-be-over-decide")),
    h("h2", {}, check.title),
    h("p", { class: "over-figures" }, rich(check.value_text ? "check-counts-now" : "check-none-counts", { value: check.value_text ? valueSaid(check.value_text) : "", limits: limitsSaid(check.limits_text) }, BOLD), practiceMark(check)),
    decisionForm(build, check.id, CHECK_DECISION));
}

// ---------------------------------------------------------------------------------------------------- the sheet of one check

export function shownOfCheck(sheet, build) {
  const check = findCheck(build, sheet.check);
  return check ? [sheet, check, build.finished, serving(build), storyOf(build.id, check.id), notesOf(build, check.id)] : null;
}

function countsNow({ value_text: value, expanded_text: expanded, displayed }) {
  const text = expanded ? `${valueSaid(value)} ± ${valueSaid(expanded)}` : valueSaid(value);
  return displayed && displayed !== value ? t("counts-now-shown", { value: text, shown: displayedInWords(displayed) }) : t("counts-now", { value: text });
}

export function checkSheet(sheet, build) {
  const check = findCheck(build, sheet.check);
  const facts = [
    t("check-limits", { quantity: quantityWord(check.quantity), limits: limitsSaid(check.limits_text) }),
    check.value_text && countsNow(check),
    check.sources?.length > 0 && t("limits-from", { sources: listed(check.sources.map(sourceSaid)) }),
    ...check.cautions.map(checkCautionWord),
    ...checkNotes(build, check),
  ].filter(Boolean);
  const notes = notesOf(build, check.id);
  return [
    h("div", { class: `sheet-top is-${check.standing}` }, checkMark(check),
      h("div", {}, h("h2", { id: "sheet-title" }, check.title), h("p", { class: "word" }, checkStandingWord(check.standing)))),
    h("ul", { class: "plain-list" }, facts.map((fact) => h("li", {}, capital(fact)))),
    !build.finished && byRow(),
    build.finished ? h("p", {}, t("build-is-finished")) : sheet.form ? checkForm(sheet, build, check) : checkActions(sheet, build, check),
    !sheet.form && [notes.length > 0 && h("section", { class: "part", "aria-label": t("notes") }, h("h3", {}, t("notes-and-photos")), notesList(notes)),
      storyPart(sheet, build, check.id)],
  ];
}

function checkActions(sheet, build, check) {
  const touch = (key, word, body) => button(key, "main", () => act({ ...body, build: build.id, fastener: check.id, by: state.who }, { then: closeSheet }), word);
  const ask = (name, word) => button(name, "plain", () => openSheet({ ...sheet, form: name }), word);
  const isDone = ["within", "kept"].includes(check.standing);
  const isMeasured = !check.formula;
  return h("div", { class: "actions", "data-arrows": true },
    isMeasured && check.standing !== "deferred" && !check.pointed && touch("point-at", t("next-measurement-here"), { act: "point-at" }),
    check.standing === "deferred" && touch("take-up", t("take-up"), { act: "take-up" }),
    isMeasured && check.standing !== "deferred" && serving(build).length > 0 && ask("enter", t("enter-by-hand")),
    !isDone && check.standing !== "deferred" && !check.needs_decision && ask("defer", t("defer-ask")),
    (check.may_be_decided || (isMeasured && check.readings_done > 0)) && !check.needs_decision && ask("decide", check.may_be_decided ? t("decide-about") : t("measure-anew")),
    ask("note", t("note-ask")),
    check.needs_decision && h("p", {}, t("check-decide-at-top")));
}

function checkForm(sheet, build, check) {
  const back = () => openSheet({ ...sheet, form: undefined });
  if (sheet.form === "take-back") return takeBackForm(sheet, build, check.id);
  if (sheet.form === "note") return noteForm(build, check.id, back);
  if (sheet.form === "decide") return decisionForm(build, check.id, CHECK_DECISION, back, closeSheet);
  return sheet.form === "enter" ? enterForm(build, check, back) : deferForm(build, check, back);
}

const EXAMPLE = { length: "71 mm", pressure: "6.2 bar", force: "1000 N", mass: "8.2 kg", temperature: "21 °C" };
const exampleOf = (check) => valueSaid(EXAMPLE[check.quantity]);

function enterForm(build, check, back) {
  const key = `enter ${build.id} ${check.id}`;
  const known = serving(build).filter((tool) => (tool.tool.measures ? tool.tool.measures.unit === check.limits.unit : false));
  if (known.length === 0) return [h("p", {}, t("no-tool-measures", { quantity: quantityWord(check.quantity), code: check.quantity })), button("back", "plain wide", back, t("back"))];
  const tools = h("select", { id: `${key} tool`, "data-key": `${key} tool` }, known.map((tool) => h("option", { value: tool.tool.id }, tool.tool.title)));
  const send = () => {
    if (mayBeThousands(typed(key))) return refuse(t("may-be-thousands", { value: typed(key) }));
    const value = pointed(typed(key));
    if (!/^[-+]?[\d.]+\s*\D/.test(value)) return refuse(t("write-value-with-unit", { example: exampleOf(check) }));
    return act({ act: "enter-reading", tool: tools.value, value, by: state.who, fastener: check.id }, { forget: [key], then: closeSheet });
  };
  return form(key, t("enter-reading"), send, back,
    h("label", { class: "label", for: `${key} tool` }, t("tool")), tools,
    line(key, t("what-did-it-show", { example: exampleOf(check) })));
}

function deferForm(build, check, back) {
  const key = `defer ${build.id} ${check.id}`;
  const send = () => {
    const reason = typed(key);
    const waits = typed(`${key} waits`);
    if (!reason) return refuse(t("write-why-deferred"));
    return act({ act: "defer", build: build.id, fastener: check.id, by: state.who, reason, ...(waits ? { waits_for: waits } : {}) }, { forget: [key, `${key} waits`], then: closeSheet });
  };
  return form(key, t("defer"), send, back,
    lines(key, t("why-deferred"), { quick: [t("quick-no-tool"), t("quick-back-order"), t("quick-customer")] }),
    line(`${key} waits`, t("waits-for-what"), { maxlength: 200 }));
}
