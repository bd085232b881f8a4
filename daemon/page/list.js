// The whole build: every fastener, and the hand-over.

import { earlierInWords } from "./due.js";
import { BOLD, button, draw, h } from "./elements.js";
import { figure, torque, unbroken, uncertainty, unit } from "./figures.js";
import { act } from "./live.js";
import { checkHindrances, checkRow, wholeSummary } from "./measures.js";
import { mark, practiceMark, standingMark } from "./marks.js";
import { fastenerNotes, notDone } from "./parts.js";
import { openSheet } from "./sheet.js";
import { doubtsShown, nextOf, recalledOf, state, toolTitle } from "./state.js";
import { rich, t } from "./tongue.js";
import { bikeName, capital, clock, coded, day, limitsInWords, recalledInWords, standingWord } from "./words.js";

export function drawList(build) {
  draw("list", build ? [build.id, build.bike, build.plan, build.edition, build.by, build.in_hands, build.laid_aside, build.notes.length, build.started, build.summary, build.check_summary, build.stages, nextOf(build), build.finished, doubtsShown(build)] : null, () => [
    h("h2", {}, bikeName(build)),
    h("p", { class: "quiet" }, t("build-facts", { frame: build.bike.frame, plan: build.plan, edition: build.edition, by: build.by, day: day(build.started), hands: build.in_hands || "", moved: build.in_hands && build.in_hands !== build.by ? "yes" : "no" })),
    build.follows && h("p", { class: "quiet" }, capital(earlierInWords(build))),
    h("p", { class: "summary" }, wholeSummary(build)),
    button("this build", "plain this-build", () => openSheet({ kind: "build", build: build.id }), t("this-build")),
    h("div", { "data-arrows": true }, build.stages.map((stage) => [
      h("div", { class: "stage-head" },
        h("h3", {}, stage.title, h("span", {}, stage.passes_percent.length > 1 ? t("stage-passes", { passes: stage.passes_percent.map((p) => `${p} %`).join(", ") }) : "")),
        !build.finished && stage.fasteners.some((fastener) => fastener.counts)
          && button(`stage ${stage.id}`, "plain", () => openSheet({ kind: "build", build: build.id, form: "stage", stage: stage.id }), t("stage-loosen"))),
      h("ul", { class: "fasteners" }, stage.fasteners.map((fastener) => h("li", {}, fastenerRow(build, stage, fastener))), stage.checks.map((check) => h("li", {}, checkRow(build, check)))),
    ])),
  ]);
}

function fastenerRow(build, stage, fastener) {
  const notes = fastenerNotes(stage, fastener);
  const isNext = nextOf(build)?.fastener === fastener.id && !build.finished;
  const isDoubted = doubtsShown(build).some((doubt) => doubt.fastener === fastener.id);
  return button(`fastener ${fastener.id}`, `fastener is-${fastener.standing}${isNext ? " is-next" : ""}`,
    () => openSheet({ kind: "fastener", build: build.id, fastener: fastener.id }),
    standingMark(fastener),
    h("span", { class: "fastener-text" },
      h("b", {}, fastener.title),
      h("span", { class: "quiet" }, limitsInWords(fastener.limits)), practiceMark(fastener),
      notes.map((note) => h("span", { class: "note" }, note)),
      isDoubted && h("span", { class: "note doubt" }, mark("doubt"), t("may-be-missed"))),
    h("span", { class: "fastener-state" },
      h("span", { class: "word" }, standingWord(fastener.standing)),
      fastener.highest_millinewton_metre !== null && h("span", { class: "figure" }, torque(fastener.highest_millinewton_metre)),
      isNext && h("span", { class: "next-flag" }, t("next-flag"))));
}

function hindrances(build) {
  const all = [];
  const { summary } = build;
  if (build.alarms.length) all.push(t("before-alarms", { n: build.alarms.length }));
  if (build.held.length) all.push(t("before-held", { n: build.held.length }));
  if (summary.over) all.push(t("before-over", { n: summary.over }));
  const undecided = build.stages.flatMap((stage) => stage.fasteners).filter((fastener) => fastener.standing === "undecided");
  const mayBeOver = undecided.filter((fastener) => fastener.needs_decision).length;
  if (mayBeOver) all.push(t("before-may-be-over", { n: mayBeOver }));
  if (undecided.length > mayBeOver) all.push(t("before-undecided", { n: undecided.length - mayBeOver }));
  if (summary.open) all.push(t("before-open", { n: summary.open }));
  all.push(...checkHindrances(build));
  return all;
}

export function drawHandover(build) {
  draw("handover", build ? [build.id, build.finished, build.sealed, build.summary, build.held.length, build.alarms.length, build.check_summary, build.held_checks.length, build.check_alarms.length, build.stages, build.doubts.length, recalledOf(build)] : null, () => {
    if (build.finished) return [finishedPart(build), recalledPart(build)];
    const waiting = hindrances(build);
    return [
      h("h2", {}, t("handover")),
      waiting.length > 0
        ? [h("p", {}, t("before-finish")), h("ul", { class: "plain-list" }, waiting.map((text) => h("li", {}, text)))]
        : [build.doubts.length > 0 && h("p", {}, t("doubts-first", { n: build.doubts.length })),
          button("finish", "main", () => openSheet({ kind: "finish", build: build.id }), t("finish-build"))],
      recalledPart(build),
    ];
  });
}

// What a recall found on this bike: a tool was found changed, and its readings were judged again.
function recalledPart(build) {
  return recalledOf(build).map((recalled) => h("section", { class: "part recalled", "aria-label": t("recalled-title") },
    h("h3", {}, mark("doubt"), t("recalled-on", { day: day(recalled.time) })),
    h("p", {}, t("recalled-what", { tool: toolTitle(recalled.tool), out: recalled.out, doubtful: recalled.doubtful })),
    h("ul", { class: "plain-list" }, recalled.fasteners.map((fastener) => h("li", {}, rich("recalled-row", { title: fastener.title, finding: findingInWords(fastener) }, BOLD)))),
    build.sealed && button("amend", "main", () => act({ act: "amend", build: build.id, by: state.who, reason: "a recall judged its readings again" }), t("seal-amended"))));
}

function findingInWords({ answer, now_millinewton_metre: now, expanded_millinewton_metre: expanded, counts }) {
  const value = unbroken(`${figure(now)} ± ${uncertainty(expanded)} ${unit.symbol}`);
  return t(counts ? "finding" : "finding-uncounted", { value, answer: coded("now", answer) });
}

const href = (build, what) => `/v1/builds/${encodeURIComponent(build.id)}/${what}`;

function finishedPart(build) {
  return [
    h("h2", {}, t("handover")),
    h("p", {}, build.sealed ? t("record-is-sealed") : t("record-not-sealed")),
    build.sealed
      ? h("p", { class: "links" }, h("a", { href: href(build, "record-file"), download: `record-${build.id}.json`, "data-key": "record" }, t("record")), h("a", { href: href(build, "readings.csv"), "data-key": "csv" }, t("readings-csv")))
      : button("seal", "main", () => act({ act: "seal", build: build.id, by: state.who }), t("seal-record")),
  ];
}

// What a finished build shows in the place of what comes next.
export function drawFinished(build) {
  if (!build?.finished) return;
  draw("next", [build.id, build.finished, build.summary, build.check_summary, build.sealed, recalledOf(build)], () => [
    h("p", { class: "label" }, bikeName(build)),
    h("h2", { class: "next-title" }, t("build-finished")),
    h("p", { class: "next-stage" }, t("on-at", { day: day(build.finished), clock: clock(build.finished) })),
    h("p", { class: "summary" }, wholeSummary(build)),
    recalledOf(build).length > 0 && h("p", { class: "loud" }, mark("doubt"), h("span", {}, t("recalled-amend", { recalled: recalledInWords(build) }))),
    notDone(build),
    h("p", { class: "quiet" }, t("no-proof")),
  ]);
}
