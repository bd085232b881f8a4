// What the person at the bench looks at: the question that waits, the last reading, the next pull.

import { BOLD, button, draw, h } from "./elements.js";
import { figure, torque, unit } from "./figures.js";
import { decisionForm } from "./forms.js";
import { asideInWords, goOn } from "./life.js";
import { act } from "./live.js";
import { mark, markToScale, practiceMark, standingMark } from "./marks.js";
import { checkDecisionPanel, checksNext, checksToMeasure, heldCheckPanel } from "./measures.js";
import { heldQuestion, placeAct } from "./parts.js";
import { sentenceSaid } from "./said.js";
import { comesFirst, planDetails, settingsPart } from "./settings.js";
import { openSheet } from "./sheet.js";
import { STRAY_TOUCH_MS, byWhom, doubtsShown, findFastener, isGone, lastState, nextOf, redraw, serving, stageOf, state, toolTitle, waitsForNextPull } from "./state.js";
import { rich, t } from "./tongue.js";
import { CARBON_CAUTION, CARBON_JOINT, CARBON_MAYBE, DECISION, NOWHERE, capital, cautionWord, clock, displayedInWords, hasLower, heldBecause, isPractice, judgedInWords, limitsInWords, listed, outsideInWords, passInWords, pullWord } from "./words.js";

// A build that waits for another day: said before everything else.
export function drawAside(build) {
  draw("aside", build?.laid_aside && !build.finished ? [build.id, build.laid_aside] : null, () => h("section", { class: "aside-panel", "aria-label": t("laid-aside-title") },
    h("p", { class: "aside-line" }, mark("apart"), h("span", {}, asideInWords(build))),
    button("go on", "main", () => goOn(build), t("go-on"))));
}

export function drawNext(build) {
  const tools = build && serving(build);
  const next = build && nextOf(build);
  draw("next", build && !build.finished ? [build.id, next, build.summary, build.check_summary, build.stages, build.held.length, tools, doubtsShown(build).length] : null, () => {
    if (!next) return nothingNext(build, tools);
    const aim = figure(next.aim_millinewton_metre);
    const isAtFastener = comesFirst(next);
    return [
      h("p", { class: "label" }, next.isOnceMore ? t("next-once-more") : t("next")),
      h("h2", { class: next.title.length > 26 ? "next-title long" : "next-title" }, next.title),
      h("p", { class: "next-stage" }, t("next-stage", { stage: next.stage, pass: passInWords(next.pass, next.passes, next.percent) })),
      isAtFastener && settingsPart(next),
      h("div", { class: "next-body" },
        h("div", { class: "next-figure" },
          isAtFastener && h("p", { class: "label at-fastener" }, t("at-the-fastener")),
          h("p", { class: `aim aim-${isAtFastener ? "apart" : aim.length > 6 ? "longest" : aim.length > 4 ? "long" : aim.length > 2 ? "middle" : "short"}` }, h("b", {}, aim), h("span", {}, unit.symbol)),
          h("p", { class: "limits" }, mark("open", hasLower(next.limits)), h("span", {}, limitsInWords(next.limits))),
          !isAtFastener && settingsPart(next)),
        nextDetails(build, next)),
      toolNotices(build, tools),
    ];
  });
}

function nextDetails(build, next) {
  return h("div", { class: "details" },
    next.left_hand && h("p", { class: "notice" }, h("b", {}, t("left-hand")), h("span", {}, t("left-hand-what"))),
    next.joint === "carbon" && h("p", { class: "notice" }, h("b", {}, t("carbon-here")), h("span", {}, t("carbon-here-what"))),
    isPractice(findFastener(build, next.fastener)) && h("p", { class: "notice" }, h("b", {}, t("limits")), h("span", {}, t("common-practice"))),
    planDetails(next),
    next.drive && h("p", {}, h("span", { class: "label" }, t("drive")), h("b", {}, next.drive)),
    !next.isOnceMore && (next.prep.length > 0 ? prepRow(build, next) : h("p", {}, h("span", { class: "label" }, t("prep")), h("b", {}, t("prep-none")))));
}

// No fastener comes next: what waits is said, and what is to be measured is listed.
function nothingNext(build, tools) {
  const { summary, check_summary: checks } = build;
  const isMeasured = checks.open > 0 || checks.out > 0;
  const waits = summary.over ? t("nothing-next-over")
    : summary.undecided ? t("nothing-next-undecided")
      : summary.open ? t("nothing-next-open", { n: summary.open })
        : isMeasured ? checksNext(build)
          : summary.deferred ? t("nothing-next-deferred", { n: summary.deferred })
            : checks.deferred ? t("nothing-next-checks-deferred", { n: checks.deferred })
              : t(summary.fasteners > 0 ? "nothing-next-done" : "nothing-next-checks-done");
  const isChecks = isMeasured && !summary.over && !summary.undecided && !summary.open;
  const doubts = doubtsShown(build).length;
  return [h("p", { class: "label" }, t("next")), h("h2", { class: "next-title" }, t(isChecks ? "next-measure" : "next-nothing")), h("p", { class: "next-stage" }, waits),
    isChecks && [checksToMeasure(build), toolNotices(build, tools)],
    doubts > 0 && [h("p", { class: "next-stage" }, t("doubts-may-be", { n: doubts })),
      button("doubts", "main next-doubts", () => openSheet({ kind: "finish", build: build.id }), t("one-more-pull-ask"))]];
}

function prepRow(build, next) {
  return h("div", { class: next.prepared ? "prep on" : "prep" },
    h("p", {}, h("span", { class: "label" }, t("prep")), h("b", {}, next.prep.join(", "))),
    next.prepared
      ? h("p", { class: "prep-state" }, mark("joined"), t("prep-on-state"))
      : button("prep", "main", () => act({ act: "prepare", build: build.id, fastener: next.fastener, by: state.who }), t("prep-is-on")));
}

// Typed on the bench's own machine, with the file of the tool.
export const ADD_TOOL = "pullmark tool add WRENCH.toml";

function toolNotices(build, tools) {
  if (tools.length === 0) {
    return h("div", { class: "tool-notice" }, h("p", {}, t("no-tool-serves"), state.view.tools.length === 0 && [" ", t("no-tool-known"), " ", h("code", { lang: "en" }, ADD_TOOL)]),
      state.view.tools.map((tool) => button(`assign ${tool.tool.id}`, "plain",
        () => act({ act: "assign-tool", tool: tool.tool.id, build: build.id, ...byWhom() }), t("let-tool-serve", { tool: tool.tool.title }))));
  }
  const checked = tools.filter((tool) => tool.checking).map((tool) => h("div", { class: "tool-notice" }, mark("held"),
    h("p", {}, rich("tool-checked-now", { tool: tool.tool.title }, BOLD)),
    button(`checking ${tool.tool.id}`, "plain", () => openSheet({ kind: "tool", tool: tool.tool.id }), t("to-the-check"))));
  const gone = tools.filter(isGone).map((tool) => h("div", { class: "tool-notice gone" }, mark("apart"),
    h("p", {}, rich(tool.gone ? "tool-gone-because" : "tool-gone-now", { tool: tool.tool.title, why: tool.gone ? sentenceSaid(tool.gone) : "" }, BOLD))));
  return [checked, gone];
}

export function drawLast(build) {
  const of = build?.last?.fastener && findFastener(build, build.last.fastener);
  const passes = build?.last?.fastener ? stageOf(build, build.last.fastener)?.passes_percent || [] : [];
  const waits = Boolean(build) && waitsForNextPull(build);
  draw("last", build ? [build.id, build.last, build.held.map((held) => held.sequence), passes, waits, isPractice(of)] : null, () => {
    const last = build.last;
    if (!last) return h("p", { class: "last-none" }, t("no-reading-yet"));
    const [name, word] = lastState(build);
    const kind = last.kind && last.kind !== "next" && last.answer ? pullWord(last.kind) : "";
    return h("div", { class: `last-card is-${waits ? "waiting" : name}` },
      last.limits && last.answer ? markToScale(last) : mark(name),
      h("p", { class: "last-word" }, h("span", { class: "unseen" }, `${t("last-reading")}: `), word),
      h("div", { class: "last-figures" },
        h("p", { class: "last-value" }, last.displayed ? displayedInWords(last.displayed) : t("more-than-shown")),
        last.displayed && judgedInWords(last) && h("p", { class: "last-judged" }, h("span", { class: "unseen" }, `${t("shown")}, `), judgedInWords(last))),
      last.traced && h("img", { class: "last-trace", src: `/v1/entries/${last.sequence}/trace.svg`, alt: t("trace") }),
      h("div", { class: "last-title" },
        h("p", {}, [last.title || placeless(name, waits), kind].filter(Boolean).join(", ")),
        last.limits && h("p", {}, h("b", {}, limitsInWords(last.limits)), passes.length > 1 && Number.isInteger(last.pass) ? `, ${passInWords(last.pass, passes.length, passes[last.pass])}` : ""),
        last.limits && practiceMark(of),
        undecidedInWords(last) && h("p", {}, h("b", {}, undecidedInWords(last))),
        outsideInWords(last) && h("p", {}, outsideInWords(last))),
      last.cautions.length > 0 && h("p", { class: "last-cautions" }, capital(listed(last.cautions.map(cautionWord)))),
      waits && button(`say ${last.sequence}`, "plain last-ask", () => askAtOnce(last.sequence), t("say-now")),
      h("p", { class: "last-time" }, clock(last.time), h("span", {}, ` ${toolTitle(last.tool)}`)));
  });
}

function undecidedInWords(last) {
  if (last.answer !== "undecided") return "";
  return last.may_be_over ? t("undecided-high") : t("undecided-low");
}

function placeless(name, waits) {
  if (name !== "held") return t("counts-for-none");
  return waits ? t("waits-for-pull") : t("waits-for-person");
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
  return h("section", { class: "held-panel", "aria-label": t("held-reading") },
    h("p", { class: "label" }, mark("held"), build.held.length > 1 ? t("held-first-of", { n: build.held.length }) : t("held")),
    h("h2", {}, isUnit ? t("which-unit") : heldQuestion(held)),
    isUnit ? unitSteps(held, candidateButton(build, held, nowhere("other-unit"), "unit", settled)) : h("p", {}, t("held-why", { clock: clock(held.time), why: heldBecause(held.because) })),
    h("div", { class: "candidates", "data-arrows": true },
      candidates.map((candidate, index) => candidateButton(build, held, candidate, index, settled)),
      button("held other", "candidate other", settled(() => openSheet({ kind: "place", build: build.id, reading: held.sequence })), h("b", {}, t("another-fastener")))));
}

// The unit that the bench takes the tool's numbers for stands in the reading.
function unitSteps(held, answer) {
  const itsUnit = / (\S+)$/.exec(held.displayed || "")?.[1] || "N·m";
  return [
    h("p", {}, t("unit-came-as", { clock: clock(held.time), value: held.displayed ? displayedInWords(held.displayed) : t("more-than-shown") })),
    h("ol", { class: "steps" },
      h("li", {}, t("unit-set", { unit: itsUnit })),
      h("li", {}, t("unit-touch")),
      h("li", {}, t("unit-pull-again"))),
    answer,
    h("p", {}, t("unit-is-right", { unit: itsUnit })),
  ];
}

function candidateButton(build, held, candidate, index, settled) {
  const passes = candidate.fastener ? stageOf(build, candidate.fastener)?.passes_percent || [] : [];
  const pass = candidate.fastener && Number.isInteger(candidate.pass) && passes.length > 1
    ? passInWords(candidate.pass, passes.length, passes[candidate.pass]) : "";
  return button(`held ${index}`, "candidate", settled(() => act(placeAct(held, candidate))),
    h("span", {}, h("b", {}, candidate.fastener ? candidate.title : (NOWHERE[candidate.kind] || NOWHERE.test).word),
      h("span", {}, listed([pass, pullWord(candidate.kind) || t("then-pull-again")]))),
    candidate.percent !== null && h("span", { class: candidate.percent ? "percent" : "percent tiny" }, candidate.percent ? `${candidate.percent} %` : t("under-one-percent")));
}

function overPanel(build, fastener) {
  const highest = fastener.highest_millinewton_metre;
  const isOver = fastener.standing === "over";
  const limit = torque(fastener.limits.upper_millinewton_metre);
  return h("section", { class: isOver ? "over-panel" : "over-panel may-be-over", "aria-label": t("disposition-of", { title: fastener.title }) },
    h("p", { class: "label" }, standingMark(fastener), isOver ? t("over-decide") : t("may-be-over-decide")),
    h("h2", {}, fastener.title),
    h("p", { class: "over-figures" }, rich(isOver ? "over-figures" : "may-be-over-figures", { value: highest === null ? t("more-than-shown") : torque(highest), limit }, BOLD), practiceMark(fastener)),
    fastener.joint === "carbon" && h("p", { class: "caution" }, isOver ? CARBON_JOINT : CARBON_MAYBE),
    !fastener.joint && isOver && h("p", { class: "caution" }, CARBON_CAUTION), // the plan does not say what the joint is made of
    decisionForm(build, fastener.id, DECISION));
}
