// The frame of the page: header, connection, builds, and what is said when there is nothing to show.

import { soundIsOn, switchSoundOn } from "./alarm.js";
import { heldToAsk, mayBeOver } from "./board.js";
import { BOLD, button, draw, h } from "./elements.js";
import { act } from "./live.js";
import { mark } from "./marks.js";
import { progressOf } from "./measures.js";
import { nameField, toolInWords } from "./parts.js";
import { plansButton } from "./plans.js";
import { cautionsSaid, sentenceSaid } from "./said.js";
import { openSheet } from "./sheet.js";
import { earlierInWords } from "./due.js";
import { byWhom, choose, isGone, isPastDue, recalledOf, redraw, serves, state } from "./state.js";
import { openStats } from "./stats.js";
import { rich, t } from "./tongue.js";
import { ADD_TOOL } from "./work.js";
import { bikeName, capital, clock, day, displayedInWords, listed, recalledInWords } from "./words.js";

export function drawTop() {
  const { view } = state;
  document.getElementById("bench").textContent = view?.bench || t("bench");
  draw("tools", view && [view.tools, view.builds.map((build) => [build.id, build.bike])], () => [...view.tools].sort((a, b) => urgency(b) - urgency(a)).map((tool) => {
    const of = serves(tool);
    return h("li", {}, button(`tool ${tool.tool.id}`, isGone(tool) ? "tool gone" : "tool", () => openSheet({ kind: "tool", tool: tool.tool.id }),
      mark(isGone(tool) ? "apart" : tool.tool.connection ? "joined" : "hand"),
      h("span", { class: "tool-text" }, h("b", {}, tool.tool.title), h("span", {}, toolInWords(tool)),
        toolFlags(tool).map(([name, word]) => h("span", { class: "tool-flag" }, mark(name), word)),
        view.builds.length > 1 && h("span", { class: "quiet" }, of ? t("tool-serves-small", { bike: bikeName(of) }) : t("tool-serves-none-small")))));
  }));
  draw("sound", { on: soundIsOn() }, ({ on }) => on
    ? h("p", { class: "quiet" }, t("sound-on"))
    : button("sound", "plain warn", switchSoundOn, t("sound-off")));
  draw("who", view?.people || [], (people) => [people.length > 0 ? h("p", { class: "label" }, t("who-are-you")) : h("label", { for: "by" }, t("your-name")), nameField("by")]);
}

// What is wrong with a tool is wanted in sight first.
const urgency = (tool) => 2 * isGone(tool) + (isPastDue(tool) || tool.check_state !== "quiet");

// What speaks against using a tool, or says what it is used for just now.
function toolFlags(tool) {
  return [
    tool.checking && ["held", t("tool-flag-checking")],
    isPastDue(tool) && ["over", t("tool-flag-past-due")],
    tool.check_state === "beyond" && ["over", t("tool-flag-beyond")],
    tool.check_state === "warns" && ["undecided", t("tool-flag-drift")],
    tool.fitted && ["joined", tool.fitted.adapter.title],
  ].filter(Boolean);
}

export function drawConnection() {
  const whole = state.reachable && state.live !== false && !state.trouble;
  if (whole) state.lostSince = null;
  else state.lostSince ||= new Date().toTimeString().slice(0, 8);
  document.body.classList.toggle("lost", !whole);
  draw("connection", whole ? null : [state.trouble, state.lostSince, Boolean(state.view)], ([trouble, since, seen]) => [
    h("b", {}, trouble && state.reachable ? t("bench-trouble", { trouble }) : t(seen ? "no-connection-old" : "no-connection")),
    h("span", {}, t("keeps-trying", { since })),
  ]);
}

export function drawBuilds(chosen) {
  const builds = state.view?.builds || [];
  const open = builds.filter((build) => !build.finished);
  const finished = builds.filter((build) => build.finished);
  const isShown = builds.length > 1;
  // A recalled bike that has left the bench is not left among the finished ones.
  const board = [...open, ...finished.filter((build) => recalledOf(build).length > 0)];
  draw("builds", isShown ? [chosen.id, builds.map((b) => [b.id, b.bike, b.summary, b.check_summary, b.follows, b.finished, b.sealed, heldToAsk(b), b.laid_aside, b.last?.answer, mayBeOver(b), recalledOf(b)])] : null, () => [
    h("div", { class: "build-row", "data-arrows": true }, board.map((build) => boardCard(build, chosen)),
      open.length > 1 && button("board", "card", () => { state.board = true; redraw(); }, h("b", {}, t("board")), h("span", {}, t("board-what")))),
    finished.length > 0 && finishedSelect(finished, chosen),
  ]);
}

function cardDone(build) {
  const { of, done, all } = progressOf(build);
  return t(`card-done-${of}`, { done, all });
}

function boardCard(build, chosen) {
  const flags = [];
  if (build.summary.over) flags.push(t("summary-over", { n: build.summary.over }));
  if (mayBeOver(build)) flags.push(t("card-may-be-over", { n: mayBeOver(build) }));
  if (heldToAsk(build)) flags.push(t("flag-held", { n: heldToAsk(build) }));
  const flag = build.summary.over ? "over" : mayBeOver(build) ? "undecided" : "held";
  const card = button(`build ${build.id}`, "card", () => choose(build.id),
    h("b", {}, bikeName(build)),
    h("span", {}, build.finished ? t("card-finished", { day: day(build.finished) }) : cardDone(build)),
    recalledOf(build).length > 0 && h("span", { class: "flag recalled-flag" }, mark("doubt"), recalledInWords(build)),
    build.laid_aside && h("span", { class: "flag" }, mark("apart"), t("laid-aside")),
    flags.length > 0 && h("span", { class: `flag ${flag}` }, mark(flag), flags.join(", ")));
  card.setAttribute("aria-pressed", String(build.id === chosen.id));
  return card;
}

function finishedSelect(finished, chosen) {
  const select = h("select", { id: "finished", "data-key": "finished", on: { change: (event) => event.target.value && choose(event.target.value) } },
    h("option", { value: "" }, t("finished-count", { n: finished.length })),
    [...finished].reverse().map((build) => h("option", { value: build.id }, listed([t(build.sealed ? "finished-row" : "finished-row-unsealed", { bike: bikeName(build), day: day(build.finished) }), earlierInWords(build)]))));
  select.value = chosen.finished ? chosen.id : "";
  return h("label", { class: "finished-builds" }, h("span", { class: "unseen" }, t("finished-builds")), select);
}

// What the daemon says begins small; a name of a file stays as it is.
const asSentence = (text) => (/^\S*[._\d]/.test(text) ? text : capital(text));

export function drawRefusal() {
  draw("refusal", state.refusal, (text) => h("div", { class: "refusal" }, h("p", {}, h("b", {}, `${t("not-done")} `), asSentence(text)),
    button("refusal", "plain", () => { state.refusal = null; redraw(); }, t("close"))));
}

// What follows from the last act, where that does not go without saying.
export function drawSaid() {
  draw("said", state.said, (lines) => h("div", { class: "said" }, h("div", {}, h("p", {}, h("b", {}, t("done"))), h("ul", { class: "plain-list" }, lines.map((line) => h("li", {}, sentenceSaid(line))))),
    button("said", "plain", () => { state.said = null; redraw(); }, t("close"))));
}

// The first start: a wrench, people, a plan. What is there already is said to be.
export function drawEmpty(build) {
  draw("empty", state.view && !build ? [state.view.tools.map(({ tool }) => tool.title), state.view.people] : null, () => {
    const tools = state.view.tools.map(({ tool }) => tool.title);
    const people = (state.view.people || []).map(({ name }) => name);
    return [
      h("h2", {}, t("empty-title")),
      h("p", {}, t("empty-what")),
      h("ol", { class: "first-steps" },
        firstStep(t("first-tool"), t("first-tool-what"), tools, h("pre", {}, h("code", { lang: "en" }, ADD_TOOL))),
        firstStep(t("first-people"), t("first-people-what"), people, button("people-empty", "plain", () => openSheet({ kind: "people" }), t("people"))),
        firstStep(t("first-plan"), t("first-plan-what"), [], plansButton("plans-empty", "main", t("make-a-plan")))),
      h("p", { class: "quiet" }, t("or-at-a-prompt"), " ", h("code", { lang: "en" }, START_BUILD)),
      h("p", { class: "quiet" }, t("empty-then")),
    ];
  });
}

const START_BUILD = "pullmark build start PLAN.toml --frame SERIAL --by NAME";

function firstStep(title, what, there, way) {
  return h("li", {}, h("div", {}, h("h3", {}, title), h("p", {}, what),
    there.length > 0 && h("p", { class: "first-there" }, mark("joined"), h("span", {}, t("first-there", { names: there.join(", ") })))), h("div", {}, way));
}

export function drawFoot() {
  draw("foot", state.view ? state.view.cautions : null, (cautions) => [
    button("stats", "plain", () => openStats(), t("stats")), " ",
    button("keys", "plain", () => openSheet({ kind: "keys" }), t("keys")), " ",
    button("due", "plain", () => openSheet({ kind: "due" }), t("due")), " ",
    button("people", "plain", () => openSheet({ kind: "people" }), t("people")), " ",
    button("board foot", "plain", () => { state.board = true; redraw(); }, t("board")), " ",
    plansButton("plans", "plain"), " ",
    button("shown as", "plain", () => openSheet({ kind: "display" }), t("display")),
    h("ul", {}, cautionsSaid(cautions).map((caution) => h("li", {}, caution))),
  ]);
}

// Readings of tools that serve no build: they lie in the ledger and belong to no bike. The newest of each tool.
function unclaimed(view) {
  const newest = new Map();
  for (const reading of view.unclaimed) {
    const tool = view.tools.find((known) => known.tool.id === reading.tool);
    const served = tool && serves(tool);
    if (served && !served.finished) continue;
    if (served && Date.parse(reading.time) <= Date.parse(served.finished)) continue; // the tool has served a build since
    newest.set(reading.tool, { ...reading, title: tool?.tool.title || "", times: (newest.get(reading.tool)?.times || 0) + 1 });
  }
  return [...newest.values()];
}

export function drawUnclaimed() {
  const { view } = state;
  const readings = view ? unclaimed(view) : [];
  const open = view ? view.builds.filter((build) => !build.finished) : [];
  draw("unclaimed", readings.length > 0 ? [readings, open.map((build) => [build.id, build.bike])] : null, () => readings.map((reading) =>
    h("section", { class: "unclaimed-panel", "aria-label": t("unclaimed-label", { tool: reading.tool }) },
      h("div", {},
        h("p", {}, h("b", {}, reading.displayed ? t("unclaimed", { tool: reading.tool, value: displayedInWords(reading.displayed) }) : t("unclaimed-past", { tool: reading.tool }))),
        h("p", { class: "quiet" }, listed([clock(reading.time), reading.title, reading.times > 1 && t("unclaimed-times", { n: reading.times }), t("unclaimed-kept"),
          open.length === 0 && t("unclaimed-none-open")]))),
      open.length > 0 && h("div", { class: "quick", "data-arrows": true }, open.map((build) => button(`claim ${reading.tool} ${build.id}`, "main",
        () => act({ act: "assign-tool", tool: reading.tool, build: build.id, ...byWhom() }), t("let-it-serve", { bike: bikeName(build) })))))));
}
