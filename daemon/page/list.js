// The whole build: every fastener, and the hand-over.

import { button, draw, h } from "./elements.js";
import { act } from "./live.js";
import { checkHindrances, checkRow, wholeSummary } from "./measures.js";
import { mark, standingMark } from "./marks.js";
import { fastenerNotes, notDone } from "./parts.js";
import { openSheet } from "./sheet.js";
import { doubtsShown, nextOf, recalledOf, state, toolTitle } from "./state.js";
import { STANDING, bikeName, clock, count, day, limitsInWords, newtonMetres, recalledInWords, torque, uncertainty, unbroken } from "./words.js";

export function drawList(build) {
  draw("list", build ? [build.id, build.bike, build.plan, build.edition, build.by, build.in_hands, build.laid_aside, build.notes.length, build.started, build.summary, build.check_summary, build.stages, nextOf(build), build.finished, doubtsShown(build)] : null, () => [
    h("h2", {}, bikeName(build)),
    h("p", { class: "quiet" }, `Frame ${build.bike.frame}. Plan ${build.plan}, edition ${build.edition}. Begun by ${build.by} on ${day(build.started)}${build.in_hands && build.in_hands !== build.by ? `, in the hands of ${build.in_hands} now` : ""}.`),
    h("p", { class: "summary" }, wholeSummary(build)),
    button("this build", "plain this-build", () => openSheet({ kind: "build", build: build.id }), "This build…"),
    h("div", { "data-arrows": true }, build.stages.map((stage) => [
      h("div", { class: "stage-head" },
        h("h3", {}, stage.title, h("span", {}, stage.passes_percent.length > 1 ? `passes ${stage.passes_percent.map((p) => `${p} %`).join(", ")}` : "")),
        !build.finished && stage.fasteners.some((fastener) => fastener.counts)
          && button(`stage ${stage.id}`, "plain", () => openSheet({ kind: "build", build: build.id, form: "stage", stage: stage.id }), "Loosen this stage…")),
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
      h("span", { class: "quiet" }, limitsInWords(fastener.limits)),
      notes.map((note) => h("span", { class: "note" }, note)),
      isDoubted && h("span", { class: "note doubt" }, mark("doubt"), "may have been missed")),
    h("span", { class: "fastener-state" },
      h("span", { class: "word" }, STANDING[fastener.standing] || fastener.standing),
      fastener.highest_millinewton_metre !== null && h("span", { class: "figure" }, torque(fastener.highest_millinewton_metre)),
      isNext && h("span", { class: "next-flag" }, "next")));
}

function hindrances(build) {
  const all = [];
  const { summary } = build;
  if (build.alarms.length) all.push(`${count(build.alarms.length, "over alarm is", "over alarms are")} not acknowledged`);
  if (build.held.length) all.push(`${count(build.held.length, "reading is", "readings are")} held`);
  if (summary.over) all.push(`${count(summary.over, "over reading waits", "over readings wait")} for a disposition`);
  const undecided = build.stages.flatMap((stage) => stage.fasteners).filter((fastener) => fastener.standing === "undecided");
  const mayBeOver = undecided.filter((fastener) => fastener.needs_decision).length;
  if (mayBeOver) all.push(`${count(mayBeOver, "reading may be over and waits", "readings may be over and wait")} for a disposition`);
  if (undecided.length > mayBeOver) all.push(`${count(undecided.length - mayBeOver, "fastener is", "fasteners are")} undecided near the lower limit: pull again`);
  if (summary.open) all.push(`${count(summary.open, "fastener is", "fasteners are")} open: tighten or defer`);
  all.push(...checkHindrances(build));
  return all;
}

export function drawHandover(build) {
  draw("handover", build ? [build.id, build.finished, build.sealed, build.summary, build.held.length, build.alarms.length, build.check_summary, build.held_checks.length, build.check_alarms.length, build.stages, build.doubts.length, recalledOf(build)] : null, () => {
    if (build.finished) return [finishedPart(build), recalledPart(build)];
    const waiting = hindrances(build);
    return [
      h("h2", {}, "Hand-over"),
      waiting.length > 0
        ? [h("p", {}, "Before this build can be finished:"), h("ul", { class: "plain-list" }, waiting.map((text) => h("li", {}, text)))]
        : [build.doubts.length > 0 && h("p", {}, `${count(build.doubts.length, "fastener", "fasteners")} may have been missed: one more pull is asked for first.`),
          button("finish", "main", () => openSheet({ kind: "finish", build: build.id }), "Finish build")],
      recalledPart(build),
    ];
  });
}

// What a recall found on this bike: a tool was found changed, and its readings were judged again.
function recalledPart(build) {
  return recalledOf(build).map((recalled) => h("section", { class: "part recalled", "aria-label": "Recalled" },
    h("h3", {}, mark("doubt"), `Recalled on ${day(recalled.time)}`),
    h("p", {}, `${toolTitle(recalled.tool)} was found changed. ${count(recalled.out, "reading is", "readings are")} out of the limits now, ${recalled.doubtful} more no longer surely within. The record has to be amended.`),
    h("ul", { class: "plain-list" }, recalled.fasteners.map((fastener) => h("li", {}, h("b", {}, fastener.title), `: ${findingInWords(fastener)}`))),
    build.sealed && button("amend", "main", () => act({ act: "amend", build: build.id, by: state.who, reason: "a recall judged its readings again" }), "Seal the amended record")));
}

const NOW = { within: "no longer surely within", undecided: "undecided now", under: "under now", over: "over now" };
function findingInWords({ answer, now_millinewton_metre: now, expanded_millinewton_metre: expanded, counts }) {
  return `${unbroken(`${newtonMetres(now)} ± ${uncertainty(expanded)} N·m`)}, ${NOW[answer] || answer}${counts ? "" : "; that reading no longer counts"}`;
}

const href = (build, what) => `/v1/builds/${encodeURIComponent(build.id)}/${what}`;

function finishedPart(build) {
  return [
    h("h2", {}, "Hand-over"),
    h("p", {}, build.sealed ? "The record is sealed." : "The build is finished. Its record is not sealed yet."),
    build.sealed
      ? h("p", { class: "links" }, h("a", { href: href(build, "record-file"), download: `record-${build.id}.json`, "data-key": "record" }, "Record"), h("a", { href: href(build, "readings.csv"), "data-key": "csv" }, "Readings as CSV"))
      : button("seal", "main", () => act({ act: "seal", build: build.id, by: state.who }), "Seal record"),
  ];
}

// What a finished build shows in the place of what comes next.
export function drawFinished(build) {
  if (!build?.finished) return;
  draw("next", [build.id, build.finished, build.summary, build.check_summary, build.sealed, recalledOf(build)], () => [
    h("p", { class: "label" }, bikeName(build)),
    h("h2", { class: "next-title" }, "Build finished"),
    h("p", { class: "next-stage" }, `on ${day(build.finished)} at ${clock(build.finished)}`),
    h("p", { class: "summary" }, wholeSummary(build)),
    recalledOf(build).length > 0 && h("p", { class: "loud" }, mark("doubt"), h("span", {}, `${recalledInWords(build)}; the record has to be amended`)),
    notDone(build),
    h("p", { class: "quiet" }, "A torque within spec is not proof of a sound joint."),
  ]);
}
