// The board: every open build, to be read from two metres.

import { BOLD, button, draw, h } from "./elements.js";
import { torque } from "./figures.js";
import { mark, practiceMark } from "./marks.js";
import { checksInWords, checksNext, progressOf } from "./measures.js";
import { plansButton } from "./plans.js";
import { choose, findFastener, isGone, nextOf, recalledOf, redraw, serving, state, waitsForNextPull } from "./state.js";
import { rich, t } from "./tongue.js";
import { bikeName, passInWords, recalledInWords } from "./words.js";

// Undecided at the upper limit: only a person can say what follows.
export const mayBeOver = (build) => build.stages.flatMap((stage) => stage.fasteners).filter((fastener) => fastener.needs_decision && fastener.standing === "undecided").length;
export const heldToAsk = (build) => (waitsForNextPull(build) ? 0 : build.held.length);

// What somebody has to know of a build before anything else, the worst first: mark and words.
function flagsOf(build) {
  const { summary, alarms, held } = build;
  return [
    alarms.length > 0 && ["over", t("flag-alarms", { n: alarms.length })],
    build.check_alarms.length > 0 && ["over", t("flag-check-alarms", { n: build.check_alarms.length })],
    summary.over > 0 && ["over", t("flag-over", { n: summary.over })],
    mayBeOver(build) > 0 && ["undecided", t("flag-may-be-over", { n: mayBeOver(build) })],
    held.length > 0 && ["held", t("flag-held", { n: held.length })],
    build.held_checks.length > 0 && ["held", t("flag-held-checks", { n: build.held_checks.length })],
    build.check_summary.out > 0 && ["under", t("flag-checks-out", { n: build.check_summary.out })],
    summary.deferred > 0 && ["deferred", t("summary-deferred", { n: summary.deferred })],
    build.laid_aside && ["apart", t("laid-aside")],
    recalledOf(build).length > 0 && ["doubt", recalledInWords(build)],
  ].filter(Boolean);
}

export function drawBoard() {
  const isOpen = state.board && state.view;
  document.body.classList.toggle("on-board", Boolean(isOpen));
  const builds = (state.view?.builds || []).filter((build) => !build.finished || recalledOf(build).length > 0);
  draw("board", isOpen ? [builds, state.view.tools] : null, () => [
    h("div", { class: "board-head" }, h("h2", {}, t("board-title", { n: builds.length })),
      plansButton("plans-board", "plain"),
      button("board close", "main", () => { state.board = false; redraw(); }, t("board-close"))),
    builds.length === 0 && h("p", {}, t("board-empty")),
    h("div", { class: "board-cards", "data-arrows": true }, builds.map(card)),
  ]);
}

function card(build) {
  const next = nextOf(build);
  const { of, done, all } = progressOf(build);
  const flags = flagsOf(build);
  const bar = h("div", { class: "progress", role: "img", "aria-label": t(`board-progress-${of}`, { done, all }) }, h("span", {}));
  bar.firstChild.style.width = `${all ? done / all * 100 : 0}%`;
  return button(`board ${build.id}`, `board-card${flags.some(([name]) => name === "over") ? " is-loud" : ""}`, () => { state.board = false; choose(build.id); },
    h("span", { class: "board-bike" }, bikeName(build)),
    h("span", { class: "quiet" }, t("frame", { frame: build.bike.frame })),
    h("span", { class: "board-done" }, rich(`board-done-${of}`, { done, all }, BOLD)), bar,
    of === "fasteners" && checksInWords(build.check_summary) && h("span", { class: "quiet" }, checksInWords(build.check_summary)),
    build.finished ? h("span", { class: "board-next" }, t("board-finished"))
      : h("span", { class: "board-next" }, next ? [h("span", { class: "next-flag" }, t("next-flag")), ` ${next.title}, ${torque(next.aim_millinewton_metre)}`, next.passes > 1 && `, ${passInWords(next.pass, next.passes, next.percent)}`, practiceMark(findFastener(build, next.fastener))] : checksNext(build) || t("next-nothing")),
    flags.map(([name, words]) => h("span", { class: `board-flag is-${name}` }, mark(name), words)),
    h("span", { class: "board-tools" }, serving(build).map((tool) => h("span", { class: isGone(tool) ? "gone" : "" }, mark(isGone(tool) ? "apart" : tool.tool.connection ? "joined" : "hand"), isGone(tool) ? t("board-gone", { tool: tool.tool.title }) : tool.tool.title)),
      serving(build).length === 0 && t("board-no-tool")),
    h("span", { class: "board-by" }, t("in-hands", { name: build.in_hands })));
}
