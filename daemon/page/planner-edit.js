// The editor: the plan, its stages and parts as rows that open into forms; what the daemon finds while somebody types; the
// text of the file; keeping it.

import { BOLD, button, h } from "./elements.js";
import { MOST_DRAFTS, changed, free, items, keep, openFile, pathOf, plan, slug, snapshot, table, undo, whenChecked } from "./planner-draft.js";
import { inShort, isOnPractice, otherUnit, spot } from "./planner-fields.js";
import { allFindings, errorCount, fieldOf, findItem, findPart, foundSaid, foundWords, itemPath, labelBeside, whereSaid } from "./planner-found.js";
import { addPart } from "./planner-new.js";
import { byItsTitle, checkForm, dueForm, fastenerForm, fetchLibrary, library, newSource, openMore, partForm, planForm, stageForm, wordLists } from "./planner-forms.js";
import { afterDrawing, draw, screen, sumInWords } from "./planner-screen.js";
import { refuse, state } from "./state.js";
import { rich, t } from "./tongue.js";
import { capital, listed } from "./words.js";

let open = null; // the fastener, check, stage or part whose form is shown
let isAdding = false; // the templates are shown
let changedMeanwhile = null; // what the daemon said when the file was not what it was
let fileName = null; // what was typed as the name of a new file
let leads = { list: () => {}, start: () => {} };

export function startedFrom(known) { leads = known; }

const SEVERITY = { error: t("planner-error"), warning: t("planner-look"), note: t("planner-note") };

export function editScreen() {
  fetchLibrary();
  const { draft } = plan;
  return [
    h("div", { class: "plan-head" }, h("div", { class: "plan-name" }, h("h2", { tabindex: -1, "data-key": "plans title" }, headWords()), h("p", { class: "quiet" }, plan.name || t("planner-no-file"))),
      h("div", { class: "plan-acts" }, button("plans back", "plain", leave, t("planner-to-list")))),
    h("div", { class: "plan-columns" },
      h("div", { class: "plan-form" },
        planForm(), !plan.name && nameField(), spot("stages"),
        draft.stage.map(stagePart),
        h("div", { class: "plan-acts" }, button("stage add", "plain", addStage, t("planner-another-stage")), button("templates", "plain", () => { isAdding = true; draw(); goTo("templates add"); }, t("planner-add-templates"))),
        isAdding && addPart(() => { isAdding = false; }),
        partsPart()),
      h("div", { class: "plan-side" },
        h("section", { "aria-label": t("planner-found"), id: "plan-found" }),
        h("details", { class: "plan-more" }, h("summary", { "data-key": "plan text" }, t("planner-file-text")), h("pre", { class: "plan-text-file", tabindex: 0, "aria-label": t("planner-file-text") }, h("code", { lang: "en" }))),
        h("div", { class: "plan-acts" }, button("plan table", "plain", saveTable, t("planner-as-table"))))),
    wordLists(),
    bar(),
  ];
}

// A plan is called by its title, a new one by what it is until it has one.
const headWords = () => plan.draft.title.trim() || (plan.name ? t("planner-untitled") : t("planner-new"));

function leave() {
  open = null;
  isAdding = false;
  changedMeanwhile = null;
  fileName = null;
  leads.list();
}

const keyed = (key) => [...document.querySelectorAll("#planner [data-key]")].find((element) => element.dataset.key === key);
function goTo(key) {
  const element = keyed(key);
  element?.focus({ preventScroll: true });
  element?.scrollIntoView({ block: "center" });
}

// Opens the form of an item, or closes it.
function toggle(item) {
  open = open === item ? null : item;
  draw();
}

// Something is added, moved or taken out.
function change(run) {
  snapshot();
  run();
  changed();
  draw();
}

// ---------------------------------------------------------------------------------------------------- rows

function rowHead(at, item, title, more) {
  const head = button(`open ${at}`, "plan-item", () => toggle(item), h("span", { class: "plan-item-text" }, h("b", { "data-title": at }, title), h("span", { class: "quiet", "data-found": at })), more);
  head.setAttribute("aria-expanded", String(open === item));
  return head;
}

// Up, down, twice, out. `list` is where it stands.
function moves(at, list, item, word, more) {
  const number = list.indexOf(item);
  const move = (by) => { change(() => { list.splice(number, 1); list.splice(number + by, 0, item); }); };
  const act = (name, label, run, isOff) => { const made = button(`${name} ${at}`, "plain", run, label); made.disabled = isOff; return made; };
  return h("div", { class: "plan-acts plan-moves", role: "group", "aria-label": t("planner-move", { title: word }) },
    act("up", t("planner-up"), () => { move(-1); refocus("up", list, item); }, number === 0), act("down", t("planner-down"), () => { move(1); refocus("down", list, item); }, number === list.length - 1), more,
    act("out", t("planner-take-out"), () => { change(() => list.splice(number, 1)); open = null; draw(); goTo("plan undo"); }, false));
}

// The focus goes along with what was moved.
function refocus(name, list, item) {
  const path = pathOf(item);
  if (path) goTo(keyed(`${name} ${path}`)?.disabled ? `open ${path}` : `${name} ${path}`);
}

// The figures of a row, and that they are common practice where they are nobody's.
function figureCell(at, item) {
  return h("span", { class: "plan-figure" }, h("span", { "data-figure": at }, inShort(item)), h("span", { class: "practice", "data-practice": at, hidden: !isOnPractice(item) }, t("common-practice")));
}

function stagePart(stage, s) {
  const at = `stage.${s}`;
  const row = (kind, form) => (item, number) => {
    const here = `${at}.${kind}.${number}`;
    return h("li", { class: open === item ? "is-open" : "" }, rowHead(here, item, item.title || t("planner-untitled"), figureCell(here, item)),
      open === item && h("div", { class: "plan-form plan-inner" }, form(here, item, `${stage.id}.`), toStage(here, kind, stage, item), moves(here, stage[kind], item, item.title, twin(here, stage[kind], item))), spot(here));
  };
  return h("section", { class: "plan-stage", "aria-label": stage.title || t("planner-stage") },
    rowHead(at, stage, stage.title || t("planner-stage-untitled"), h("span", { class: "quiet" }, t("planner-rows", { n: stage.fastener.length + stage.check.length }))),
    open === stage && h("div", { class: "plan-form plan-inner" }, stageForm(at, stage), moves(at, plan.draft.stage, stage, stage.title)),
    spot(at),
    h("ul", { class: "plan-items" }, stage.fastener.map(row("fastener", fastenerForm)), stage.check.map(row("check", checkForm))),
    h("div", { class: "plan-acts" },
      button(`fastener ${at}`, "plain", () => addItem(stage, "fastener"), t("planner-another-fastener")), button(`check ${at}`, "plain", () => addItem(stage, "check"), t("planner-another-check"))));
}

// Into another stage.
function toStage(at, kind, stage, item) {
  if (plan.draft.stage.length < 2) return null;
  const select = h("select", { id: `to ${at}`, "data-key": `to ${at}` }, plan.draft.stage.map((known, number) => h("option", { value: number, selected: known === stage }, known.title || known.id)));
  select.addEventListener("change", () => { change(() => { stage[kind].splice(stage[kind].indexOf(item), 1); plan.draft.stage[Number(select.value)][kind].push(item); }); goTo(`open ${pathOf(item)}`); });
  return h("div", { class: "plan-field" }, h("label", { class: "label", for: `to ${at}` }, t("planner-stage")), select);
}

const twin = (at, list, item) => button(`twice ${at}`, "plain", () => {
  const copy = JSON.parse(JSON.stringify(item));
  copy.id = free(item.id);
  change(() => { list.splice(list.indexOf(item) + 1, 0, copy); open = copy; });
  goTo(`${pathOf(copy)}.title`);
}, t("planner-duplicate"));

function addItem(stage, kind) {
  const common = { id: free(`${stage.id}.${kind}`), title: "", sources: [newSource()], spec: null, settled: null, rule: null, note: null, at: null };
  const item = byItsTitle(kind === "check" ? { ...common, readings: null, formula: null }
    : { ...common, kind: null, adapter: null, thread: null, joint: null, prep: [], drive: null, second_look: false });
  change(() => { stage[kind].push(item); open = item; });
  goTo(`${pathOf(item)}.title`);
}

function addStage() {
  const stage = byItsTitle({ id: free("stage"), title: "", pattern: "in-order", passes: null, fastener: [], check: [] });
  change(() => { plan.draft.stage.push(stage); open = stage; });
  goTo(`${pathOf(stage)}.title`);
}

// Parts, and what is due: rows below the stages.
function listPart(list, title, word, made, form, inWords) {
  const all = plan.draft[list];
  const add = () => {
    const one = byItsTitle({ id: `${list}-${all.length + 1}`, title: "", fasteners: [], ...made });
    change(() => { plan.draft[list].push(one); open = one; });
    goTo(`${pathOf(one)}.title`);
  };
  return h("section", { class: "plan-stage", "aria-label": title }, h("h3", {}, title),
    h("ul", { class: "plan-items" }, all.map((one, number) => {
      const at = `${list}.${number}`;
      return h("li", { class: open === one ? "is-open" : "" }, rowHead(at, one, one.title || t("planner-untitled"), h("span", { class: "quiet" }, inWords(one))),
        open === one && h("div", { class: "plan-form plan-inner" }, form(at, one), moves(at, all, one, one.title)), spot(at));
    })),
    h("div", { class: "plan-acts" }, button(`${list} add`, "plain", add, word)));
}

const partsPart = () => [
  listPart("part", t("planner-parts"), t("planner-another-part"), { kind: null }, partForm, (part) => t("planner-to-undo", { n: part.fasteners.length })),
  listPart("due", t("planner-due"), t("planner-another-due"), { days: null, months: null, kilometres: null, source: null }, dueForm,
    ({ days, months, kilometres }) => [days && t("planner-days", { n: days }), months && t("planner-months", { n: months }), kilometres && `${kilometres} km`].filter(Boolean).reduce((first, second) => (first ? t("planner-or", { first, second }) : second), "") || t("planner-no-time")),
];

// ---------------------------------------------------------------------------------------------------- what was found

const foundLine = (finding) => h("li", { class: `is-${finding.severity}` }, h("b", {}, t("planner-severity", { severity: SEVERITY[finding.severity] })), " ", labelBeside(finding), foundWords(finding));

// Shows what was found at its field or, where that is not shown, at its row.
function patch() {
  if (screen() !== "edit" || !plan.draft) return;
  const spots = new Map([...document.querySelectorAll("#planner [data-spot]")].map((element) => [element.dataset.spot, element]));
  for (const element of spots.values()) { element.replaceChildren(); element.hidden = true; }
  const counts = new Map();
  for (const finding of allFindings()) {
    let at = fieldOf(finding);
    const item = itemPath(at);
    if (item) counts.set(item, [...(counts.get(item) || []), finding]);
    const isShown = !item || findItem(item) === open;
    while (at && !spots.has(at)) at = at.includes(".") ? at.slice(0, at.lastIndexOf(".")) : null;
    if (!at || !isShown) continue;
    spots.get(at).append(foundLine(finding));
    spots.get(at).hidden = false;
  }
  for (const element of document.querySelectorAll("#planner [data-found]")) {
    const of = counts.get(element.dataset.found) || [];
    const [errors, warnings] = ["error", "warning"].map((severity) => of.filter((finding) => finding.severity === severity).length);
    element.textContent = [errors > 0 && t("planner-errors", { n: errors }), warnings > 0 && t("planner-to-look-at", { n: warnings })].filter(Boolean).join(", ");
    element.closest("button").classList.toggle("has-error", errors > 0);
  }
  for (const element of document.querySelectorAll("#planner [data-title]")) { const item = findItem(element.dataset.title); if (item) element.textContent = item.title || t("planner-untitled"); }
  for (const element of document.querySelectorAll("#planner [data-figure]")) { const item = findItem(element.dataset.figure); if (item) element.textContent = inShort(item); }
  for (const element of document.querySelectorAll("#planner [data-shown]")) { const of = findPart(element.dataset.shown); element.textContent = of ? otherUnit(of) : ""; element.hidden = !element.textContent; }
  for (const element of document.querySelectorAll("#planner [data-practice]")) { const item = findItem(element.dataset.practice); if (item) element.hidden = !isOnPractice(item); }
  document.querySelector("#planner .plan-text-file code").textContent = plan.view?.text || "";
  document.querySelector("#planner .plan-name h2").textContent = headWords();
  const name = document.getElementById("plan-name");
  if (name && document.activeElement !== name) name.value = nameOfFile();
  foundPart();
  barAnew();
}

function barAnew() {
  const old = document.querySelector("#planner .plan-bar");
  const key = old.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  old.replaceWith(bar());
  if (key) keyed(key)?.focus({ preventScroll: true });
}

whenChecked(patch);
afterDrawing(patch);

// Everything that was found, the worst first; a touch leads to the field.
function foundPart() {
  const place = document.getElementById("plan-found");
  const worst = ["error", "warning", "note"];
  const all = allFindings().sort((a, b) => worst.indexOf(a.severity) - worst.indexOf(b.severity));
  const focus = place.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  place.replaceChildren(...[
    h("h3", {}, t("planner-found-count", { n: all.length })),
    plan.trouble && h("p", { class: "caution" }, plan.trouble),
    plan.view?.comments_lost > 0 && h("p", {}, t("planner-comments-lost", { n: plan.view.comments_lost })),
    practiceLine(),
    all.length > 0 && h("ul", { class: "plan-findings" }, all.map((finding, number) => h("li", {}, button(`finding ${number}`, `plan-finding is-${finding.severity}`, () => lead(finding), h("b", {}, SEVERITY[finding.severity]), h("span", { class: "plan-where" }, whereSaid(finding)), h("span", {}, foundWords(finding)))))),
  ].filter(Boolean));
  if (focus) keyed(focus)?.focus({ preventScroll: true });
}

function practiceLine() {
  const number = items().filter((item) => !item.spec && item.sources.length > 0 && item.sources.every((source) => source.where === library.known?.source)).length;
  return number > 0 && h("p", { class: "plan-caution" }, rich("planner-on-practice", { n: number }, BOLD));
}

function lead(finding) {
  const at = fieldOf(finding);
  // What is missing is led to where it is added.
  if (finding.word === "plan/empty") return goTo(at === "stages" ? "stage add" : `fastener ${at}`);
  const item = findItem(itemPath(at));
  if (item && open !== item) { open = item; draw(); }
  let path = at;
  let field = null;
  while (path && !field) {
    field = [...document.querySelectorAll("#planner [data-at]")].find((element) => element.dataset.at === path);
    path = path.includes(".") ? path.slice(0, path.lastIndexOf(".")) : null;
  }
  if (!field) return goTo(item ? `open ${itemPath(at)}` : "plan text");
  const details = field.closest("details");
  if (details && !details.open) { openMore(item || plan.draft); details.open = true; }
  const control = field.querySelector(".plan-figures input") || field.querySelector("input, textarea, select, button");
  control.focus({ preventScroll: true });
  return control.scrollIntoView({ block: "center" });
}

// ---------------------------------------------------------------------------------------------------- keeping it

// What the plan comes to.
function soundSum(view) {
  return listed([sumInWords(view), view.warnings > 0 && t("planner-to-look-at", { n: view.warnings })]);
}

function bar() {
  const { view } = plan;
  const errors = errorCount();
  const sum = !view ? t("planner-not-yet-looked") : errors > 0 ? t("planner-not-yet-kept", { n: errors }) : soundSum(view);
  const kept = plan.elsewhere ? t("planner-other-tab") : plan.isKept ? t("planner-kept") : plan.isStored ? t("planner-draft-here") : t("planner-no-drafts", { n: MOST_DRAFTS });
  const undoing = button("plan undo", "plain", () => { undo(); open = null; draw(); }, t("planner-undo"));
  undoing.disabled = plan.undo.length === 0;
  const starting = button("plan start", "plain", () => leads.start(), t("planner-start"));
  starting.disabled = !plan.isKept || !view?.is_sound;
  const keeping = button("plan keep", "main", save, t("planner-keep"));
  keeping.disabled = plan.isKept || errors > (view?.errors ?? 0); // what the daemon finds it refuses itself
  return h("div", { class: `plan-bar${errors > 0 ? " has-error" : ""}` },
    button("plan found", "plan-sum", () => { const place = document.getElementById("plan-found"); place.scrollIntoView({ block: "center" }); (place.querySelector("button") || keyed("plan found")).focus({ preventScroll: true }); },
      h("span", { role: "status" }, h("b", {}, sum), h("span", { class: "quiet" }, kept))),
    changedMeanwhile && meanwhile(), h("div", { class: "plan-acts" }, undoing, starting, keeping));
}

const nameOfFile = () => fileName ?? `${slug(plan.draft.title) || "plan"}.toml`;

// The name of a new file, made of the title until somebody writes another.
function nameField() {
  const field = h("input", { id: "plan-name", "data-key": "plan name", autocomplete: "off", autocapitalize: "none", spellcheck: "false", maxlength: 80, on: { input: (event) => { fileName = event.target.value; } } });
  field.value = nameOfFile();
  return h("div", { class: "plan-field" }, h("label", { class: "label", for: "plan-name" }, t("planner-file-name")), field);
}

async function save() {
  if (state.view?.people?.length > 0 && !state.who) return refuse(t("touch-name-first"));
  const isNew = !plan.name;
  const typed = (document.getElementById("plan-name")?.value || plan.name || "").trim();
  const name = typed.endsWith(".toml") ? typed : `${typed}.toml`;
  const { opened } = plan;
  const wrong = await keep(name);
  const isHere = plan.opened === opened && screen() === "edit";
  const isAsked = isHere && wrong?.type === "plans/changed-meanwhile";
  if (isHere) changedMeanwhile = isAsked ? wrong.detail : null;
  if (wrong && !isAsked) refuse([wrong.detail, ...(wrong.findings || []).filter((finding) => finding.severity === "error").map((finding) => foundSaid(finding) || finding.what)].join(" "));
  if (!wrong) { state.refusal = null; if (isNew && isHere) fileName = null; }
  draw();
  if (!wrong && isHere && plan.isKept) goTo("plan start");
}

function meanwhile() {
  return h("div", { class: "plan-meanwhile", role: "alert" }, h("p", {}, h("b", {}, t("planner-not-kept")), " ", capital(changedMeanwhile)),
    h("div", { class: "plan-acts" },
      button("meanwhile mine", "plain", () => { Object.assign(plan, { name: null, before: null, base: null }); fileName = `${slug(plan.draft.title) || "plan"}-2.toml`; changedMeanwhile = null; changed(); draw(); goTo("plan name"); }, t("planner-keep-mine")),
      button("meanwhile theirs", "plain", async () => { const wrong = await openFile(plan.name); if (wrong) return refuse(wrong); changedMeanwhile = null; open = null; return draw(); }, t("planner-open-theirs"))));
}

async function saveTable() {
  const made = await table();
  if (made === null) return refuse(t("planner-no-table"));
  const link = h("a", { href: URL.createObjectURL(new Blob([made], { type: "text/csv" })), download: `${slug(plan.draft.title) || "plan"}.csv` });
  document.body.append(link);
  link.click();
  link.remove();
  return setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}
