// Plans: the ones of the shop, new ones, and which of their screens is shown. Everything is drawn from what the daemon says
// of the plan folder and from the draft that is being written; what is wrong with a draft is said by the daemon alone.

import { BOLD, button, h } from "./elements.js";
import { chooseFile } from "./forms.js";
import { act, ask } from "./live.js";
import { nameField } from "./parts.js";
import { adopted, begun, discard, drafts, duplicate, goOn, openFile, plan, refusalSaid } from "./planner-draft.js";
import { editScreen, startedFrom } from "./planner-edit.js";
import { newScreen } from "./planner-new.js";
import { english, redrawPlanner, screen, show, sumInWords } from "./planner-screen.js";
import { closePlans } from "./plans.js";
import { choose, drafts as typed, refuse, state } from "./state.js";
import { rich, t } from "./tongue.js";
import { capital, day, listed, shortClock } from "./words.js";

const LARGEST_FILE = 1024 * 1024;

let shelf = null; // the last answer of GET /v1/plans

// The rules of these screens come with them.
const sheet = h("link", { rel: "stylesheet", href: "planner.css" });
const styled = new Promise((done) => { sheet.addEventListener("load", done); sheet.addEventListener("error", done); });
document.head.append(sheet);

redrawPlanner({ list: listScreen, new: () => newScreen(fromTable), edit: editScreen, start: startScreen });

export async function showPlans() {
  await styled;
  show("list");
  await refresh();
}

async function refresh() {
  const answer = await ask("/v1/plans").catch(() => null);
  if (answer?.ok) shelf = answer.body;
  else refuse(refusalSaid(answer));
  if (screen() === "list") show("list");
}

startedFrom({ list: () => { show("list"); refresh(); }, start: () => show("start") });

// ---------------------------------------------------------------------------------------------------- the list

function listScreen() {
  const kept = drafts();
  return [
    h("div", { class: "plan-head" }, h("h2", { tabindex: -1, "data-key": "plans title" }, t("plans")),
      h("div", { class: "plan-acts" }, button("plan new", "main", () => show("new"), t("planner-new")), button("plans close", "plain", closePlans, t("board-close")))),
    kept.length > 0 && h("section", { "aria-label": t("planner-drafts") }, h("h3", {}, t("planner-drafts-here")), h("ul", { class: "plan-rows" }, kept.map(draftRow))),
    !shelf && h("p", {}, t("planner-asking"), " ", button("plans again", "plain", refresh, t("planner-ask-again"))),
    shelf && h("section", { "aria-label": t("planner-shops") },
      shelf.plans.length === 0
        ? h("p", {}, t("planner-none-yet"))
        : h("ul", { class: "plan-rows" }, shelf.plans.map(planRow)),
      shelf.not_used.length > 0 && h("section", { class: "part", "aria-label": t("planner-not-used") }, h("h3", {}, t("planner-files-not-used")),
        h("ul", { class: "plain-list" }, shelf.not_used.map((file) => h("li", {}, rich("edition-problem", { file: file.name, problem: english(file.why) }, BOLD))))),
      h("p", { class: "quiet" }, t("planner-folder", { folder: shelf.folder }))),
  ];
}

// The clock of this device, where the draft lies.
const here = (at) => new Date(at - new Date(at).getTimezoneOffset() * 60000).toISOString();

function draftRow(kept) {
  return h("li", { class: "plan-row" },
    h("div", { class: "plan-text" }, h("b", {}, kept.draft.title || t("planner-untitled")), h("span", {}, kept.name || t("planner-no-file")),
      h("span", { class: "quiet" }, `${day(here(kept.at))} ${shortClock(here(kept.at))}`)),
    h("div", { class: "plan-acts" },
      button(`draft ${kept.key}`, "main", () => { adopted(kept); show("edit"); }, t("planner-go-on")),
      button(`discard ${kept.key}`, "plain", (element) => {
        // The second touch means it.
        if (element.dataset.sure) { discard(kept.key); show("list"); } else { element.dataset.sure = "yes"; element.textContent = t("planner-discard-sure"); }
      }, t("planner-discard"))));
}

function planRow(row) {
  return h("li", { class: "plan-row" },
    h("div", { class: "plan-text" }, h("b", {}, row.title), h("span", {}, listed([row.edition && t("planner-edition", { edition: row.edition }), sumInWords(row)])),
      !row.is_sound && h("span", { class: "plan-flag" }, t("planner-row-errors", { n: row.errors })),
      row.on_common_practice > 0 && h("span", {}, t("planner-row-practice", { n: row.on_common_practice })),
      h("span", { class: "quiet" }, row.name)),
    h("div", { class: "plan-acts" },
      button(`plan ${row.name}`, "main", () => edit(row.name), t("planner-open")),
      row.is_sound && button(`start ${row.name}`, "plain", () => start(row.name), t("planner-start")),
      button(`copy ${row.name}`, "plain", async () => { if (await opened(row.name)) { duplicate(); show("edit"); } }, t("planner-duplicate"))));
}

async function opened(name, open = openFile) {
  const wrong = await open(name);
  if (wrong) refuse(wrong);
  return !wrong;
}

// A build begins after the file as it is.
const edit = async (name) => { if (await opened(name, goOn)) show("edit"); };
const start = async (name) => { if (await opened(name)) show("start"); };

// ---------------------------------------------------------------------------------------------------- from a table

let faults = null; // {name, faults}: what is wrong with the table that was chosen

function fromTable() {
  return h("section", { class: "part", "aria-label": t("planner-from-table") }, h("h3", {}, t("planner-from-table")),
    h("p", {}, t("planner-table-what", { columns: "title, stage, target, lower, upper, unit", last: "source" })),
    button("table choose", "plain", () => chooseFile(".csv,.tsv,.txt,text/csv", null, readTable), t("planner-table-choose")),
    faults && h("div", { class: "part", role: "alert" }, h("p", { class: "caution" }, t("planner-table-refused", { file: faults.name, n: faults.faults.length })),
      h("ul", { class: "plain-list" }, faults.faults.map((fault) => h("li", {}, h("b", {}, fault.column ? t("planner-line-column", { line: fault.line, column: fault.column }) : t("planner-line", { line: fault.line })), " ", english(`${capital(fault.what)}. ${capital(fault.advice)}`))))));
}

async function readTable(file) {
  faults = null;
  if (file.size > LARGEST_FILE) return refuse(t("planner-table-large", { file: file.name }));
  const answer = await ask("/v1/plans/from-table", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ table: await file.text() }) }).catch(() => null);
  if (!answer?.ok) return refuse(refusalSaid(answer));
  if (!answer.body.draft) {
    faults = { name: file.name, faults: answer.body.faults };
    return show("new");
  }
  const { draft } = answer.body;
  draft.title ||= file.name.replace(/\.[^.]*$/, "");
  begun(draft);
  return show("edit");
}

// ---------------------------------------------------------------------------------------------------- a build begins

function startScreen() {
  const field = (key, label, more) => {
    const input = h("input", { id: key, draft: key, autocomplete: "off", maxlength: 64, ...more });
    return [h("label", { class: "label", for: key }, label), input];
  };
  const send = async (event) => {
    event.preventDefault();
    const [frame, label] = ["build-frame", "build-label"].map((key) => (typed.get(key) || "").trim());
    if (!frame) return refuse(t("planner-write-frame"));
    const bike = label ? { frame, label } : { frame };
    return act({ act: "start-build", bike, plan: plan.base, by: state.who },
      { forget: ["build-frame", "build-label"], then: (done) => { closePlans(); if (done?.build) choose(done.build); } });
  };
  return [
    h("div", { class: "plan-head" }, h("h2", { tabindex: -1, "data-key": "plans title" }, t("planner-start"))),
    h("p", {}, t("planner-start-what", { plan: plan.draft.title, edition: plan.draft.edition })),
    h("form", { class: "plan-form", novalidate: true, on: { submit: send } },
      field("build-frame", t("planner-frame-serial")),
      field("build-label", t("planner-bike-label")),
      h("label", { class: "label", for: "plan-by" }, t("planner-your-name")), nameField("plan-by"),
      h("button", { type: "submit", class: "main", "data-key": "build send" }, t("planner-start-send")),
      button("build back", "plain wide", () => show("list"), t("back"))),
  ];
}
