// What a new plan is made of: a starter set, templates, a table, or nothing; and the templates that join a plan.

import { BOLD, button, h } from "./elements.js";
import { begun, changed, compose, plan, snapshot } from "./planner-draft.js";
import { fetchLibrary, library } from "./planner-forms.js";
import { draw, english, show, sumInWords } from "./planner-screen.js";
import { refuse } from "./state.js";
import { rich, t } from "./tongue.js";
import { sourceSaid } from "./words.js";

const EMPTY = { title: "", edition: "1", frame: null, tolerance: null, rule: null, stage: [], part: [], due: [] };

let chosen = []; // templates, as they were touched

const practice = () => h("p", { class: "plan-caution" }, rich("planner-practice", { source: sourceSaid(library.known.source) }, BOLD));

export function newScreen(fromTable) {
  fetchLibrary();
  return [
    h("div", { class: "plan-head" }, h("h2", { tabindex: -1, "data-key": "plans title" }, t("planner-new")), button("plans back", "plain", () => show("list"), t("back"))),
    !library.known && h("p", {}, t("planner-asking")),
    library.known && [practice(),
      h("section", { class: "part", "aria-label": t("planner-starters") }, h("h3", {}, t("planner-begin-whole")),
        h("div", { class: "plan-choices", "data-arrows": true }, library.known.starters.map((starter) => button(`starter ${starter.id}`, "plan-choice", () => begin({ starter: starter.id }),
          h("b", { lang: "en" }, starter.title), h("span", { class: "quiet" }, sumInWords(sumOf(starter.templates))))))),
      h("section", { class: "part", "aria-label": t("planner-templates") }, h("h3", {}, t("planner-by-joint")), picker(),
        h("div", { class: "plan-take" }, button("templates take", "main", () => begin({ draft: EMPTY, templates: chosen }), chosen.length === 0 ? t("planner-begin-empty") : t("planner-make-of", { n: chosen.length })))),
      fromTable()],
  ];
}

function sumOf(ids) {
  const stages = library.known.templates.filter(({ id }) => ids.includes(id)).map(({ stage }) => stage);
  return { fasteners: stages.flatMap(({ fastener }) => fastener).length, checks: stages.flatMap(({ check }) => check).length };
}

async function begin(wish) {
  const { draft, wrong } = await compose(wish);
  if (wrong) return refuse(wrong);
  chosen = [];
  begun(draft);
  return show("edit");
}

// Templates to be chosen, by their headings.
function picker() {
  const groups = new Map();
  for (const template of library.known.templates) groups.set(template.group, [...(groups.get(template.group) || []), template]);
  return [[...groups].map(([group, templates]) => h("fieldset", { class: "plan-templates" }, h("legend", { lang: "en" }, group), templates.map(templateChoice))),
    library.known.not_used.length > 0 && h("ul", { class: "plain-list" }, library.known.not_used.map((file) => h("li", {}, rich("planner-not-used-file", { file: file.name, why: english(file.why) }, BOLD))))];
}

function templateChoice(template) {
  const box = h("input", { type: "checkbox", "data-key": `template ${template.id}` });
  box.checked = chosen.includes(template.id);
  box.addEventListener("change", () => { chosen = box.checked ? [...chosen, template.id] : chosen.filter((id) => id !== template.id); draw(); });
  const { fastener, check } = template.stage;
  const what = sumInWords({ fasteners: fastener.length, checks: check.length });
  return h("label", { class: "choice" }, box, h("span", {}, h("b", { lang: "en" }, template.title), h("span", { class: "quiet" }, what, template.about && [t("between"), english(template.about)])));
}

// The same below a plan that is being written.
export function addPart(close) {
  fetchLibrary();
  if (!library.known) return h("p", {}, t("planner-asking"));
  const add = async () => {
    const { draft, wrong } = await compose({ draft: plan.draft, templates: chosen });
    if (wrong) return refuse(wrong);
    snapshot();
    plan.draft = draft;
    chosen = [];
    close();
    changed();
    return draw();
  };
  return h("section", { class: "part", "aria-label": t("planner-templates") }, h("h3", {}, t("planner-templates")), practice(), picker(),
    h("div", { class: "plan-acts" }, button("templates add", "main", add, chosen.length === 0 ? t("planner-choose-what") : t("planner-add", { n: chosen.length })),
      button("templates close", "plain", () => { chosen = []; close(); draw(); }, t("planner-add-nothing"))));
}
