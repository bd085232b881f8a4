// Checks: planned measurements that are no torque. Their rows among the fasteners, the questions about readings that wait, and
// what can be done with one. The checks of a tool against a reference are another thing (checks.js).

import { button, draw, h } from "./elements.js";
import { decisionForm, form, line, lines, typed } from "./forms.js";
import { act } from "./live.js";
import { mark } from "./marks.js";
import { noteForm, notesList, notesOf } from "./notes.js";
import { notesInWords } from "./parts.js";
import { byRow, closeSheet, openSheet } from "./sheet.js";
import { findCheck, refuse, serving, state, toolTitle } from "./state.js";
import { storyOf, storyPart, takeBackForm } from "./story.js";
import { CHECK_CAUTION, CHECK_DECISION, CHECK_STANDING, capital, clock, count, summaryInWords, unbroken } from "./words.js";

const hasWall = (check) => check.limits.lower !== undefined && check.limits.lower !== null;

// The same marks as for a fastener: what was kept is drawn as what was kept there.
export const checkMark = (check) => mark({ kept: "over-kept", undecided: check.needs_decision ? "undecided" : "undecided-low" }[check.standing] || check.standing, hasWall(check));

const several = (check) => (check.readings > 1 ? `${check.readings_done} of ${check.readings} readings` : "");

export function checkNotes(check) {
  return [
    check.formula && `computed: ${check.formula}`,
    several(check),
    check.note,
    check.deferred && `deferred: ${check.deferred}`,
    check.waits_for && `waits for: ${check.waits_for}`,
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
      h("span", { class: "quiet" }, `${capital(check.quantity)}, ${unbroken(check.limits_text)}`),
      checkNotes(check).map((note) => h("span", { class: "note" }, note))),
    h("span", { class: "fastener-state" },
      h("span", { class: "word" }, CHECK_STANDING[check.standing] || check.standing),
      check.value_text && h("span", { class: "figure" }, unbroken(check.value_text)),
      isNext && h("span", { class: "next-flag" }, "next")));
}

export function checksInWords(summary) {
  if (!summary || !summary.checks) return "";
  const parts = [`${summary.within} of ${summary.checks} ${summary.checks === 1 ? "check" : "checks"} within`];
  if (summary.kept) parts.push(`${summary.kept} inspected and kept`);
  if (summary.out) parts.push(`${summary.out} out of limits`);
  if (summary.deferred) parts.push(`${summary.deferred} deferred`);
  if (summary.open) parts.push(`${summary.open} to be measured`);
  return parts.join("; ");
}

// How a build stands: its fasteners, then its checks.
export const wholeSummary = (build) => capital([summaryInWords(build.summary), checksInWords(build.check_summary)].filter(Boolean).join(". "));

// What keeps a build from being finished.
export function checkHindrances(build) {
  const { check_summary: summary, held_checks: held, check_alarms: alarms } = build;
  const all = [];
  if (alarms.length) all.push(`${count(alarms.length, "over alarm of a check is", "over alarms of checks are")} not acknowledged`);
  if (held.length) all.push(`${count(held.length, "reading of a check is", "readings of checks are")} held`);
  if (summary.out) all.push(`${count(summary.out, "check is", "checks are")} out of limits: set right and measure again, or decide`);
  if (summary.open) all.push(`${count(summary.open, "check is", "checks are")} open: measure or defer`);
  return all;
}

// ---------------------------------------------------------------------------------------------------- the last reading

export function drawLastCheck(build) {
  const last = build?.last_check;
  draw("last-check", last && !build.finished ? [build.id, last, build.held_checks.length] : null, () => {
    const isHeld = build.held_checks.some((held) => held.sequence === last.sequence);
    const word = last.answer ? capital(last.answer) : isHeld ? "Held" : "No check";
    const name = last.answer || (isHeld ? "held" : "test");
    const judged = last.value_text && last.value_text !== last.displayed ? `judged ${unbroken(last.value_text)}` : "";
    return h("div", { class: `last-card last-check is-${name}` }, mark(name),
      h("p", { class: "last-word" }, h("span", { class: "unseen" }, "Last measurement: "), word),
      h("div", { class: "last-figures" },
        h("p", { class: "last-value" }, last.displayed ? unbroken(last.displayed) : "more than the tool can show"),
        judged && h("p", { class: "last-judged" }, `${judged}${last.expanded_text ? ` ± ${unbroken(last.expanded_text)}` : ""}`)),
      h("div", { class: "last-title" },
        h("p", {}, last.title || (isHeld ? "waits for a person to say where it belongs" : "belongs to no check of this build")),
        last.limits_text && h("p", {}, h("b", {}, last.limits_text))),
      last.cautions.length > 0 && h("p", { class: "last-cautions" }, capital(last.cautions.map((caution) => CHECK_CAUTION[caution] || caution).join("; "))),
      h("p", { class: "last-time" }, clock(last.time), h("span", {}, ` ${toolTitle(last.tool)}`)));
  });
}

// ---------------------------------------------------------------------------------------------------- questions

export const heldCheckQuestion = (held) => `Which check is ${held.displayed ? unbroken(held.displayed) : "the reading past the tool's range"}?`;

const placeCheck = (held, place, reason) => ({
  act: "place", reading: held.sequence, fastener: place ? place.check : null,
  ...(place ? { pass: place.number } : { reason }), by: state.who,
});

export function heldCheckPanel(build, settled) {
  const held = build.held_checks[0];
  const fits = held.because === "implausible" && held.candidates.find((candidate) => candidate.fits_in);
  const unit = / (\S+)$/.exec(held.displayed || "")?.[1] || "";
  return h("section", { class: "held-panel", "aria-label": "Held measurement" },
    h("p", { class: "label" }, mark("held"), build.held_checks.length > 1 ? `Held, 1 of ${build.held_checks.length}` : "Held"),
    h("h2", {}, fits ? "Look at the display: which unit?" : heldCheckQuestion(held)),
    h("p", {}, `${clock(held.time)}, ${toolTitle(held.tool)}: ${held.because_text}.`),
    fits && h("p", { class: "caution" }, `It came as ${unbroken(held.displayed)}. The number would fit ${fits.title} (${unbroken(fits.limits_text)}) if it were in ${fits.fits_in}, not ${unit}: set the display right, touch “No check”, and measure again.`),
    h("div", { class: "candidates", "data-arrows": true },
      held.candidates.map((candidate, index) => button(`held check ${index}`, "candidate", settled(() => act(placeCheck(held, candidate))),
        h("span", {}, h("b", {}, candidate.title),
          h("span", {}, [candidate.limits_text, candidate.fits_in && `it would fit in ${candidate.fits_in}`].filter(Boolean).join("; "))))),
      button("held check none", "candidate", settled(() => act(placeCheck(held, null, "measured again"))), h("span", {}, h("b", {}, "No check"), h("span", {}, "then measure again"))),
      button("held check other", "candidate other", settled(() => openSheet({ kind: "place-check", build: build.id, reading: held.sequence })), h("b", {}, "Another check…"))));
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
        h("span", {}, h("b", {}, check.readings > 1 ? `${check.title}, reading ${number + 1}` : check.title),
          h("span", {}, `${unbroken(check.limits_text)}; ${CHECK_STANDING[check.standing]}`))))),
    ])),
  ];
}

// ---------------------------------------------------------------------------------------------------- decisions

export function checkDecisionPanel(build, check) {
  return h("section", { class: "over-panel", "aria-label": `Disposition: ${check.title}` },
    h("p", { class: "label" }, checkMark(check), check.standing === "over" ? "Over, a disposition is needed" : "May be over, a disposition is needed"),
    h("h2", {}, check.title),
    h("p", { class: "over-figures" }, check.value_text ? [h("b", {}, unbroken(check.value_text)), " counts now"] : "No reading counts now", `; the limits are ${unbroken(check.limits_text)}. A lower reading does not settle what was above them.`),
    decisionForm(build, check.id, CHECK_DECISION));
}

// ---------------------------------------------------------------------------------------------------- the sheet of one check

export function shownOfCheck(sheet, build) {
  const check = findCheck(build, sheet.check);
  return check ? [sheet, check, build.finished, serving(build), storyOf(build.id, check.id), notesOf(build, check.id)] : null;
}

export function checkSheet(sheet, build) {
  const check = findCheck(build, sheet.check);
  const facts = [
    `${check.quantity}: ${check.limits_text}`,
    check.value_text && `counts now: ${check.value_text}${check.expanded_text ? ` ± ${check.expanded_text}` : ""}${check.displayed && check.displayed !== check.value_text ? `, shown ${check.displayed}` : ""}`,
    check.sources?.length > 0 && `limits from: ${check.sources.join("; ")}`,
    ...check.cautions.map((caution) => CHECK_CAUTION[caution] || caution),
    ...checkNotes(check),
  ].filter(Boolean);
  const notes = notesOf(build, check.id);
  return [
    h("div", { class: `sheet-top is-${check.standing}` }, checkMark(check),
      h("div", {}, h("h2", { id: "sheet-title" }, check.title), h("p", { class: "word" }, CHECK_STANDING[check.standing] || check.standing))),
    h("ul", { class: "plain-list" }, facts.map((fact) => h("li", {}, capital(fact)))),
    !build.finished && byRow(),
    build.finished ? h("p", {}, "The build is finished.") : sheet.form ? checkForm(sheet, build, check) : checkActions(sheet, build, check),
    !sheet.form && [notes.length > 0 && h("section", { class: "part", "aria-label": "Notes" }, h("h3", {}, "Notes and photographs"), notesList(notes)),
      storyPart(sheet, build, check.id)],
  ];
}

function checkActions(sheet, build, check) {
  const touch = (key, word, body) => button(key, "main", () => act({ ...body, build: build.id, fastener: check.id, by: state.who }, { then: closeSheet }), word);
  const ask = (name, word) => button(name, "plain", () => openSheet({ ...sheet, form: name }), word);
  const isDone = ["within", "kept"].includes(check.standing);
  const isMeasured = !check.formula;
  return h("div", { class: "actions", "data-arrows": true },
    isMeasured && check.standing !== "deferred" && !check.pointed && touch("point-at", "The next measurement belongs here", { act: "point-at" }),
    check.standing === "deferred" && touch("take-up", "Take up again", { act: "take-up" }),
    isMeasured && check.standing !== "deferred" && serving(build).length > 0 && ask("enter", "Enter a reading by hand…"),
    !isDone && check.standing !== "deferred" && !check.needs_decision && ask("defer", "Defer…"),
    (check.may_be_decided || (isMeasured && check.readings_done > 0)) && !check.needs_decision && ask("decide", check.may_be_decided ? "Decide about it…" : "Measure it anew…"),
    ask("note", "Note or photograph…"),
    check.needs_decision && h("p", {}, "It was over and waits for a disposition: close this and decide at the top of the page."));
}

function checkForm(sheet, build, check) {
  const back = () => openSheet({ ...sheet, form: undefined });
  if (sheet.form === "take-back") return takeBackForm(sheet, build, check.id);
  if (sheet.form === "note") return noteForm(build, check.id, back);
  if (sheet.form === "decide") return decisionForm(build, check.id, CHECK_DECISION, back, closeSheet);
  return sheet.form === "enter" ? enterForm(build, check, back) : deferForm(build, check, back);
}

const EXAMPLE = { length: "71 mm", pressure: "6.2 bar", force: "1000 N", mass: "8.2 kg", temperature: "21 °C" };

function enterForm(build, check, back) {
  const key = `enter ${build.id} ${check.id}`;
  const known = serving(build).filter((tool) => (tool.tool.measures ? tool.tool.measures.unit === check.limits.unit : false));
  if (known.length === 0) return [h("p", {}, `No tool that serves this build measures a ${check.quantity}. Make a ruler or gauge known with “pullmark tool add”: its file says quantity = "${check.quantity}".`), button("back", "plain wide", back, "Back")];
  const tools = h("select", { id: `${key} tool`, "data-key": `${key} tool` }, known.map((tool) => h("option", { value: tool.tool.id }, tool.tool.title)));
  const send = () => {
    const value = typed(key).replace(",", ".");
    if (!/^[-+]?[\d.]+\s*\D/.test(value)) return refuse(`Write the value with its unit, for example ${EXAMPLE[check.quantity]}.`);
    return act({ act: "enter-reading", tool: tools.value, value, by: state.who, fastener: check.id }, { forget: [key], then: closeSheet });
  };
  return form(key, "Enter reading", send, back,
    h("label", { class: "label", for: `${key} tool` }, "Tool"), tools,
    line(key, `What did it show? With its unit, for example ${EXAMPLE[check.quantity]}`));
}

function deferForm(build, check, back) {
  const key = `defer ${build.id} ${check.id}`;
  const send = () => {
    const reason = typed(key);
    const waits = typed(`${key} waits`);
    if (!reason) return refuse("Write why it is deferred.");
    return act({ act: "defer", build: build.id, fastener: check.id, by: state.who, reason, ...(waits ? { waits_for: waits } : {}) }, { forget: [key, `${key} waits`], then: closeSheet });
  };
  return form(key, "Defer", send, back,
    lines(key, "Why is it deferred?", { quick: ["tool not at hand", "part on back order", "customer decides"] }),
    line(`${key} waits`, "What does it wait for: a part, a tool, an answer? (may be left empty)", { maxlength: 200 }));
}
