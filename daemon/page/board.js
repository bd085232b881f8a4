// The board: every open build, to be read from two metres.

import { button, draw, h } from "./elements.js";
import { mark } from "./marks.js";
import { checksInWords } from "./measures.js";
import { plansButton } from "./plans.js";
import { choose, isGone, nextOf, recalledOf, redraw, serving, state, waitsForNextPull } from "./state.js";
import { bikeName, count, passInWords, recalledInWords, torque } from "./words.js";

const doneOf = ({ summary }) => summary.within + summary.over_kept + summary.undecided_kept;

// Undecided at the upper limit: only a person can say what follows.
export const mayBeOver = (build) => build.stages.flatMap((stage) => stage.fasteners).filter((fastener) => fastener.needs_decision && fastener.standing === "undecided").length;
export const heldToAsk = (build) => (waitsForNextPull(build) ? 0 : build.held.length);

// What somebody has to know of a build before anything else, the worst first: mark and words.
function flagsOf(build) {
  const { summary, alarms, held } = build;
  return [
    alarms.length > 0 && ["over", `${count(alarms.length, "over alarm", "over alarms")} not acknowledged`],
    build.check_alarms.length > 0 && ["over", `${count(build.check_alarms.length, "over alarm of a check", "over alarms of checks")} not acknowledged`],
    summary.over > 0 && ["over", `${summary.over} over: decide`],
    mayBeOver(build) > 0 && ["undecided", `${mayBeOver(build)} may be over: decide`],
    held.length > 0 && ["held", `${held.length} held`],
    build.held_checks.length > 0 && ["held", `${count(build.held_checks.length, "measurement", "measurements")} held`],
    build.check_summary.out > 0 && ["under", `${count(build.check_summary.out, "check", "checks")} out of limits`],
    summary.deferred > 0 && ["deferred", `${summary.deferred} deferred`],
    build.laid_aside && ["apart", "laid aside"],
    recalledOf(build).length > 0 && ["doubt", recalledInWords(build)],
  ].filter(Boolean);
}

export function drawBoard() {
  const isOpen = state.board && state.view;
  document.body.classList.toggle("on-board", Boolean(isOpen));
  const builds = (state.view?.builds || []).filter((build) => !build.finished || recalledOf(build).length > 0);
  draw("board", isOpen ? [builds, state.view.tools] : null, () => [
    h("div", { class: "board-head" }, h("h2", {}, count(builds.length, "build on the bench", "builds on the bench")),
      plansButton("plans board", "plain"),
      button("board close", "main", () => { state.board = false; redraw(); }, "To the bench")),
    builds.length === 0 && h("p", {}, "No build is open."),
    h("div", { class: "board-cards", "data-arrows": true }, builds.map(card)),
  ]);
}

function card(build) {
  const next = nextOf(build);
  const done = doneOf(build);
  const all = build.summary.fasteners;
  const flags = flagsOf(build);
  const bar = h("div", { class: "progress", role: "img", "aria-label": `${done} of ${all} fasteners done` }, h("span", {}));
  bar.firstChild.style.width = `${all ? done / all * 100 : 0}%`;
  return button(`board ${build.id}`, `board-card${flags.some(([name]) => name === "over") ? " is-loud" : ""}`, () => { state.board = false; choose(build.id); },
    h("span", { class: "board-bike" }, bikeName(build)),
    h("span", { class: "quiet" }, `Frame ${build.bike.frame}`),
    h("span", { class: "board-done" }, h("b", {}, `${done} of ${all}`), " done"), bar,
    checksInWords(build.check_summary) && h("span", { class: "quiet" }, checksInWords(build.check_summary)),
    build.finished ? h("span", { class: "board-next" }, "Finished")
      : h("span", { class: "board-next" }, next ? [h("span", { class: "next-flag" }, "next"), ` ${next.title}, ${torque(next.aim_millinewton_metre)}`, next.passes > 1 && `, ${passInWords(next.pass, next.passes, next.percent)}`] : "Nothing is next"),
    flags.map(([name, words]) => h("span", { class: `board-flag is-${name}` }, mark(name), words)),
    h("span", { class: "board-tools" }, serving(build).map((tool) => h("span", { class: isGone(tool) ? "gone" : "" }, mark(isGone(tool) ? "apart" : tool.tool.connection ? "joined" : "hand"), tool.tool.title, isGone(tool) && ": gone")),
      serving(build).length === 0 && "No tool serves it"),
    h("span", { class: "board-by" }, `In the hands of ${build.in_hands}`));
}
