// Plans: the ones of the shop, new ones, and which of their screens is shown. Everything is drawn from what the daemon says
// of the plan folder and from the draft that is being written; what is wrong with a draft is said by the daemon alone.

import { button, h } from "./elements.js";
import { chooseFile } from "./forms.js";
import { act, ask } from "./live.js";
import { nameField } from "./parts.js";
import { adopted, begun, discard, drafts, duplicate, openFile, plan } from "./planner-draft.js";
import { editScreen, startedFrom } from "./planner-edit.js";
import { newScreen } from "./planner-new.js";
import { redrawPlanner, screen, show } from "./planner-screen.js";
import { closePlans } from "./plans.js";
import { choose, drafts as typed, refuse, state } from "./state.js";
import { count } from "./words.js";

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
  shelf = answer?.ok ? answer.body : null;
  if (!shelf) refuse(answer?.body?.detail || "No answer from the daemon.");
  if (screen() === "list") show("list");
}

startedFrom({ list: () => { show("list"); refresh(); }, start: () => show("start") });

// ---------------------------------------------------------------------------------------------------- the list

function listScreen() {
  const kept = drafts();
  return [
    h("div", { class: "plan-head" }, h("h2", { tabindex: -1, "data-key": "plans title" }, "Plans"),
      h("div", { class: "plan-acts" }, button("plan new", "main", () => show("new"), "New plan"), button("plans close", "plain", closePlans, "To the bench"))),
    kept.length > 0 && h("section", { "aria-label": "Drafts" }, h("h3", {}, "Drafts in this browser, not kept yet"), h("ul", { class: "plan-rows" }, kept.map(draftRow))),
    !shelf && h("p", {}, "Asking the daemon…"),
    shelf && h("section", { "aria-label": "Plans of the shop" },
      shelf.plans.length === 0
        ? h("p", {}, "No plan yet. A new one is made of templates in a few minutes; the figures are then yours to fill in.")
        : h("ul", { class: "plan-rows" }, shelf.plans.map(planRow)),
      shelf.not_used.length > 0 && h("section", { class: "part", "aria-label": "Not used" }, h("h3", {}, "Files that are not used"),
        h("ul", { class: "plain-list" }, shelf.not_used.map((file) => h("li", {}, h("b", {}, `${file.name}: `), file.why)))),
      h("p", { class: "quiet" }, `The files lie in ${shelf.folder}`)),
  ];
}

function draftRow(kept) {
  return h("li", { class: "plan-row" },
    h("div", { class: "plan-text" }, h("b", {}, kept.draft.title || "Without a title"), h("span", {}, kept.name || "no file yet"),
      h("span", { class: "quiet" }, new Date(kept.at).toLocaleString("sv-SE").slice(0, 16))),
    h("div", { class: "plan-acts" },
      button(`draft ${kept.key}`, "main", () => { adopted(kept); show("edit"); }, "Go on"),
      button(`discard ${kept.key}`, "plain", (element) => {
        // The second touch means it.
        if (element.dataset.sure) { discard(kept.key); show("list"); } else { element.dataset.sure = "yes"; element.textContent = "Touch again: gone for good"; }
      }, "Throw away")));
}

export const sumInWords = (sum) => [count(sum.fasteners, "fastener", "fasteners"), sum.checks > 0 && count(sum.checks, "check", "checks"),
  sum.pulls !== null && count(sum.pulls, "pull", "pulls")].filter(Boolean).join(", ");

function planRow(row) {
  return h("li", { class: "plan-row" },
    h("div", { class: "plan-text" }, h("b", {}, row.title), h("span", {}, [row.edition && `edition ${row.edition}`, sumInWords(row)].filter(Boolean).join("; ")),
      !row.is_sound && h("span", { class: "plan-flag" }, `${count(row.errors, "error", "errors")}: no build can follow it`),
      row.on_common_practice > 0 && h("span", {}, `${count(row.on_common_practice, "figure is", "figures are")} common practice`),
      h("span", { class: "quiet" }, row.name)),
    h("div", { class: "plan-acts" },
      button(`plan ${row.name}`, "main", () => edit(row.name), "Open"),
      row.is_sound && button(`start ${row.name}`, "plain", () => edit(row.name, "start"), "Start a build"),
      button(`copy ${row.name}`, "plain", async () => { if (await opened(row.name)) { duplicate(); show("edit"); } }, "Duplicate")));
}

async function opened(name) {
  const wrong = await openFile(name);
  if (wrong) refuse(wrong);
  return !wrong;
}

async function edit(name, then = "edit") {
  if (await opened(name)) show(then);
}

// ---------------------------------------------------------------------------------------------------- from a table

let faults = null; // {name, faults}: what is wrong with the table that was chosen

function fromTable() {
  return h("section", { class: "part", "aria-label": "From a table" }, h("h3", {}, "From a table"),
    h("p", {}, "A table of a spreadsheet, saved as CSV: a row a fastener. The first row names the columns; title, stage, target, lower, upper, unit and source are the most wanted. Semicolons and decimal commas are understood."),
    button("table choose", "plain", () => chooseFile(".csv,.tsv,.txt,text/csv", null, readTable), "Choose the table"),
    faults && h("div", { class: "part", role: "alert" }, h("p", { class: "caution" }, `${faults.name} was not taken: ${count(faults.faults.length, "thing is", "things are")} wrong with it.`),
      h("ul", { class: "plain-list" }, faults.faults.map((fault) => h("li", {}, h("b", {}, `Line ${fault.line}${fault.column ? `, column ${fault.column}` : ""}: `), `${fault.what}. ${fault.advice}`)))));
}

async function readTable(file) {
  faults = null;
  if (file.size > LARGEST_FILE) return refuse(`${file.name} is too large for a table of a plan.`);
  const answer = await ask("/v1/plans/from-table", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ table: await file.text() }) }).catch(() => null);
  if (!answer?.ok) return refuse(answer?.body?.detail || "No answer from the daemon.");
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
    if (!frame) return refuse("Write the serial number that is on the frame.");
    const bike = label ? { frame, label } : { frame };
    return act({ act: "start-build", bike, plan: plan.base, by: state.who },
      { forget: ["build-frame", "build-label"], then: (done) => { closePlans(); if (done?.build) choose(done.build); } });
  };
  return [
    h("div", { class: "plan-head" }, h("h2", { tabindex: -1, "data-key": "plans title" }, "Start a build")),
    h("p", {}, `After ${plan.draft.title}, edition ${plan.draft.edition}. The build is held to the plan as it is now, whatever becomes of the file.`),
    h("form", { class: "plan-form", novalidate: true, on: { submit: send } },
      field("build-frame", "Serial number on the frame (needed)"),
      field("build-label", "What the shop calls the bike"),
      h("label", { class: "label", for: "plan-by" }, "Your name (needed)"), nameField("plan-by"),
      h("button", { type: "submit", class: "main", "data-key": "build send" }, "Start the build"),
      button("build back", "plain wide", () => show("list"), "Back")),
  ];
}
