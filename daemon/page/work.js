// What the person at the bench looks at: the question that waits, the last reading, the next pull.

import { button, draw, h } from "./elements.js";
import { decisionForm } from "./forms.js";
import { asideInWords, goOn } from "./life.js";
import { act } from "./live.js";
import { mark, markToScale, standingMark } from "./marks.js";
import { checkDecisionPanel, heldCheckPanel } from "./measures.js";
import { heldQuestion, placeAct } from "./parts.js";
import { comesFirst, planDetails, settingsPart } from "./settings.js";
import { openSheet } from "./sheet.js";
import { STRAY_TOUCH_MS, byWhom, doubtsShown, findFastener, isGone, lastState, nextOf, redraw, serving, stageOf, state, toolTitle, waitsForNextPull } from "./state.js";
import { CARBON_CAUTION, CARBON_JOINT, CARBON_MAYBE, CAUTION, COMMON_PRACTICE, DECISION, HELD, NOWHERE, PULL, capital, clock, count, hasLower, judgedInWords, limitsInWords, newtonMetres, outsideInWords, passInWords, torque, unbroken } from "./words.js";

// A build that waits for another day: said before everything else.
export function drawAside(build) {
  draw("aside", build?.laid_aside && !build.finished ? [build.id, build.laid_aside] : null, () => h("section", { class: "aside-panel", "aria-label": "Laid aside" },
    h("p", { class: "aside-line" }, mark("apart"), h("span", {}, asideInWords(build))),
    button("go on", "main", () => goOn(build), "Go on with it")));
}

export function drawNext(build) {
  const tools = build && serving(build);
  const next = build && nextOf(build);
  draw("next", build && !build.finished ? [build.id, next, build.summary, build.check_summary, build.held.length, tools, doubtsShown(build).length] : null, () => {
    if (!next) return nothingNext(build);
    const aim = newtonMetres(next.aim_millinewton_metre);
    const isAtFastener = comesFirst(next);
    return [
      h("p", { class: "label" }, next.isOnceMore ? "Next: one more pull" : "Next"),
      h("h2", { class: next.title.length > 26 ? "next-title long" : "next-title" }, next.title),
      h("p", { class: "next-stage" }, `${next.stage}, ${passInWords(next.pass, next.passes, next.percent)}`),
      isAtFastener && settingsPart(next),
      h("div", { class: "next-body" },
        h("div", { class: "next-figure" },
          isAtFastener && h("p", { class: "label at-fastener" }, "At the fastener"),
          h("p", { class: `aim aim-${isAtFastener ? "apart" : aim.length > 4 ? "long" : aim.length > 2 ? "middle" : "short"}` }, h("b", {}, aim), h("span", {}, "N·m")),
          h("p", { class: "limits" }, mark("open", hasLower(next.limits)), h("span", {}, limitsInWords(next.limits))),
          !isAtFastener && settingsPart(next)),
        nextDetails(build, next)),
      toolNotices(build, tools),
    ];
  });
}

function nextDetails(build, next) {
  return h("div", { class: "details" },
    next.left_hand && h("p", { class: "notice" }, h("b", {}, "Left-hand thread"), h("span", {}, "tighten anticlockwise")),
    next.joint === "carbon" && h("p", { class: "notice" }, h("b", {}, "Carbon joint"), h("span", {}, "an over reading here needs a disposition")),
    findFastener(build, next.fastener)?.sources?.includes(COMMON_PRACTICE) && h("p", { class: "notice" }, h("b", {}, "Limits"), h("span", {}, COMMON_PRACTICE)),
    planDetails(next),
    next.drive && h("p", {}, h("span", { class: "label" }, "Drive"), h("b", {}, next.drive)),
    !next.isOnceMore && (next.prep.length > 0 ? prepRow(build, next) : h("p", {}, h("span", { class: "label" }, "Prep"), h("b", {}, "none stated"))));
}

function nothingNext(build) {
  const waits = build.summary.over ? "An over reading waits for a disposition."
    : build.summary.undecided ? "An undecided reading waits."
    : build.summary.open ? `${count(build.summary.open, "fastener is", "fasteners are")} still open: point at one in the list.`
      : build.summary.deferred ? `${count(build.summary.deferred, "fastener is", "fasteners are")} deferred; the rest is done.` : build.check_summary.open || build.check_summary.out ? "Every fastener of the plan is done; checks are still open." : "Every fastener of the plan is done.";
  const doubts = doubtsShown(build).length;
  return [h("p", { class: "label" }, "Next"), h("h2", { class: "next-title" }, "Nothing is next"), h("p", { class: "next-stage" }, waits),
    doubts > 0 && [h("p", { class: "next-stage" }, `${count(doubts, "fastener", "fasteners")} may have been missed.`),
      button("doubts", "main next-doubts", () => openSheet({ kind: "finish", build: build.id }), "One more pull…")]];
}

function prepRow(build, next) {
  return h("div", { class: next.prepared ? "prep on" : "prep" },
    h("p", {}, h("span", { class: "label" }, "Prep"), h("b", {}, next.prep.join(", "))),
    next.prepared
      ? h("p", { class: "prep-state" }, mark("joined"), "prep is on")
      : button("prep", "main", () => act({ act: "prepare", build: build.id, fastener: next.fastener, by: state.who }), "Prep is on"));
}

function toolNotices(build, tools) {
  if (tools.length === 0) {
    return h("div", { class: "tool-notice" }, h("p", {}, "No tool serves this build."),
      state.view.tools.map((tool) => button(`assign ${tool.tool.id}`, "plain",
        () => act({ act: "assign-tool", tool: tool.tool.id, build: build.id, ...byWhom() }), `Let ${tool.tool.title} serve it`)));
  }
  const checked = tools.filter((tool) => tool.checking).map((tool) => h("div", { class: "tool-notice" }, mark("held"),
    h("p", {}, h("b", {}, `${tool.tool.title} is being checked against a reference`), ". Its pulls count for no fastener."),
    button(`checking ${tool.tool.id}`, "plain", () => openSheet({ kind: "tool", tool: tool.tool.id }), "To the check")));
  const gone = tools.filter(isGone).map((tool) => h("div", { class: "tool-notice gone" }, mark("apart"),
    h("p", {}, h("b", {}, `${tool.tool.title} is gone`), tool.gone ? `: ${tool.gone}` : "", ". A pull now is not received.")));
  return [checked, gone];
}

export function drawLast(build) {
  const passes = build?.last?.fastener ? stageOf(build, build.last.fastener)?.passes_percent || [] : [];
  const waits = Boolean(build) && waitsForNextPull(build);
  draw("last", build ? [build.id, build.last, build.held.map((held) => held.sequence), passes, waits] : null, () => {
    const last = build.last;
    if (!last) return h("p", { class: "last-none" }, "No reading yet");
    const [name, word] = lastState(build);
    const kind = last.kind && last.kind !== "next" && last.answer ? PULL[last.kind] : "";
    return h("div", { class: `last-card is-${waits ? "waiting" : name}` },
      last.limits && last.answer ? markToScale(last) : mark(name),
      h("p", { class: "last-word" }, h("span", { class: "unseen" }, "Last reading: "), word),
      h("div", { class: "last-figures" },
        h("p", { class: "last-value" }, last.displayed ? unbroken(last.displayed) : "more than the tool can show"),
        last.displayed && judgedInWords(last) && h("p", { class: "last-judged" }, h("span", { class: "unseen" }, "shown, "), judgedInWords(last))),
      last.traced && h("img", { class: "last-trace", src: `/v1/entries/${last.sequence}/trace.svg`, alt: "Torque over time" }),
      h("div", { class: "last-title" },
        h("p", {}, [last.title || placeless(name, waits), kind].filter(Boolean).join(", ")),
        last.limits && h("p", {}, h("b", {}, limitsInWords(last.limits)), passes.length > 1 && Number.isInteger(last.pass) ? `, ${passInWords(last.pass, passes.length, passes[last.pass])}` : ""),
        undecidedInWords(last) && h("p", {}, h("b", {}, undecidedInWords(last))),
        outsideInWords(last) && h("p", {}, outsideInWords(last))),
      last.cautions.length > 0 && h("p", { class: "last-cautions" }, capital(last.cautions.map((caution) => CAUTION[caution] || caution).join("; "))),
      waits && button(`say ${last.sequence}`, "plain last-ask", () => askAtOnce(last.sequence), "Say now where it belongs"),
      h("p", { class: "last-time" }, clock(last.time), h("span", {}, ` ${toolTitle(last.tool)}`)));
  });
}

function undecidedInWords(last) {
  if (last.answer !== "undecided") return "";
  return last.may_be_over ? "The uncertainty straddles the upper limit: only a person can settle it" : "The uncertainty straddles the lower limit: pull again";
}

function placeless(name, waits) {
  if (name !== "held") return "counts for no fastener of this build";
  return waits ? "waits for the next pull" : "waits for a person to say where it belongs";
}

// A person need not wait for the next pull.
function askAtOnce(sequence) {
  state.quietUntil.set(sequence, 0);
  redraw();
  document.querySelector(".held-panel .candidate")?.focus();
}

// ---------------------------------------------------------------------------------------------------- decisions

// Held readings and over readings come before everything else.
export function drawDecide(build) {
  const over = build ? build.stages.flatMap((stage) => stage.fasteners).filter((fastener) => fastener.needs_decision) : [];
  const isAsked = build && build.held.length > 0 && !waitsForNextPull(build);
  const checks = build ? build.stages.flatMap((stage) => stage.checks).filter((check) => check.needs_decision) : [];
  const isCheckAsked = build && build.held_checks.length > 0;
  const isNeeded = build && !build.finished && (isAsked || isCheckAsked || over.length > 0 || checks.length > 0);
  draw("decide", isNeeded ? [build.id, isAsked && build.held, build.held_checks, over, checks] : null, () => {
    const shownAt = performance.now();
    const settled = (then) => (element) => performance.now() - shownAt > STRAY_TOUCH_MS && then(element);
    return [isAsked && heldPanel(build, settled), isCheckAsked && heldCheckPanel(build, settled),
      over.map((fastener) => overPanel(build, fastener)), checks.map((check) => checkDecisionPanel(build, check))];
  });
}

function heldPanel(build, settled) {
  const held = build.held[0];
  const isUnit = build.held.some((any) => any.because === "other-unit"); // the first of the run may have been held as unclear
  const nowhere = (kind) => ({ fastener: null, pass: null, kind, percent: null });
  const candidates = held.candidates.some((c) => c.kind === "test") ? held.candidates : [...held.candidates, nowhere("test")];
  return h("section", { class: "held-panel", "aria-label": "Held reading" },
    h("p", { class: "label" }, mark("held"), build.held.length > 1 ? `Held, 1 of ${build.held.length}` : "Held"),
    h("h2", {}, isUnit ? "Look at the display: which unit?" : heldQuestion(held)),
    isUnit ? unitSteps(held, candidateButton(build, held, nowhere("other-unit"), "unit", settled)) : h("p", {}, `${clock(held.time)}: ${HELD[held.because] || held.because}.`),
    h("div", { class: "candidates", "data-arrows": true },
      candidates.map((candidate, index) => candidateButton(build, held, candidate, index, settled)),
      button("held other", "candidate other", settled(() => openSheet({ kind: "place", build: build.id, reading: held.sequence })), h("b", {}, "Another fastener…"))));
}

// The unit that the bench takes the tool's numbers for stands in the reading.
function unitSteps(held, answer) {
  const unit = / (\S+)$/.exec(held.displayed || "")?.[1] || "N·m";
  return [
    h("p", {}, `${clock(held.time)}: this came as ${unbroken(held.displayed || "more than the tool can show")}. The last readings fit the plan only when their numbers are read in another unit.`),
    h("ol", { class: "steps" },
      h("li", {}, `If it is not ${unit}, set it to ${unit}.`),
      h("li", {}, "Touch “No fastener: display in another unit”."),
      h("li", {}, "Pull again.")),
    answer,
    h("p", {}, `If it is ${unit}: where does the reading belong?`),
  ];
}

function candidateButton(build, held, candidate, index, settled) {
  const passes = candidate.fastener ? stageOf(build, candidate.fastener)?.passes_percent || [] : [];
  const pass = candidate.fastener && Number.isInteger(candidate.pass) && passes.length > 1
    ? `${passInWords(candidate.pass, passes.length, passes[candidate.pass])}; ` : "";
  return button(`held ${index}`, "candidate", settled(() => act(placeAct(held, candidate))),
    h("span", {}, h("b", {}, candidate.fastener ? candidate.title : (NOWHERE[candidate.kind] || NOWHERE.test).word),
      h("span", {}, pass + (PULL[candidate.kind] || "then pull again"))),
    candidate.percent !== null && h("span", { class: candidate.percent ? "percent" : "percent tiny" }, candidate.percent ? `${candidate.percent} %` : "under 1 %"));
}

function overPanel(build, fastener) {
  const highest = fastener.highest_millinewton_metre;
  const isOver = fastener.standing === "over";
  const limit = torque(fastener.limits.upper_millinewton_metre);
  return h("section", { class: isOver ? "over-panel" : "over-panel may-be-over", "aria-label": `Disposition: ${fastener.title}` },
    h("p", { class: "label" }, standingMark(fastener), isOver ? "Over, a disposition is needed" : "May be over, a disposition is needed"),
    h("h2", {}, fastener.title),
    h("p", { class: "over-figures" }, h("b", {}, highest === null ? "more than the tool can show" : torque(highest)),
      isOver ? ` the limit is ${limit}` : ` is so near the limit, ${limit}, that the tool's uncertainty straddles it. Another pull cannot settle it.`),
    fastener.joint === "carbon" && h("p", { class: "caution" }, isOver ? CARBON_JOINT : CARBON_MAYBE),
    !fastener.joint && isOver && h("p", { class: "caution" }, CARBON_CAUTION), // the plan does not say what the joint is made of
    decisionForm(build, fastener.id, DECISION));
}
