// What a new plan is made of: a starter set, templates, a table, or nothing; and the templates that join a plan.

import { button, h } from "./elements.js";
import { begun, changed, compose, plan, snapshot } from "./planner-draft.js";
import { fetchLibrary, library } from "./planner-forms.js";
import { draw, show } from "./planner-screen.js";
import { refuse } from "./state.js";
import { count } from "./words.js";

const EMPTY = { title: "", edition: "1", frame: null, tolerance: null, rule: null, stage: [], part: [], due: [] };

let chosen = []; // templates, as they were touched

const practice = () => h("p", { class: "plan-caution" }, h("b", {}, "The figures are a start for the form and not for a wrench. "), `Each one says “${library.known.source}” until you write down what the part or its leaflet says.`);

export function newScreen(fromTable) {
  fetchLibrary();
  return [
    h("div", { class: "plan-head" }, h("h2", { tabindex: -1, "data-key": "plans title" }, "New plan"), button("plans back", "plain", () => show("list"), "Back")),
    !library.known && h("p", {}, "Asking the daemon…"),
    library.known && [practice(),
      h("section", { class: "part", "aria-label": "Starter sets" }, h("h3", {}, "Begin with a whole bike"),
        h("div", { class: "plan-choices", "data-arrows": true }, library.known.starters.map((starter) => button(`starter ${starter.id}`, "plan-choice", () => begin({ starter: starter.id }),
          h("b", {}, starter.title), h("span", { class: "quiet" }, count(fastenersOf(starter.templates), "fastener", "fasteners")))))),
      h("section", { class: "part", "aria-label": "Templates" }, h("h3", {}, "Or choose joint by joint"), picker(),
        button("templates take", "main", () => begin({ draft: EMPTY, templates: chosen }), chosen.length === 0 ? "Begin with an empty plan" : `Make a plan of ${count(chosen.length, "template", "templates")}`)),
      fromTable()],
  ];
}

const fastenersOf = (ids) => ids.reduce((sum, id) => sum + (library.known.templates.find((template) => template.id === id)?.stage.fastener.length || 0), 0);

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
  return [[...groups].map(([group, templates]) => h("fieldset", { class: "plan-templates" }, h("legend", {}, group), templates.map(templateChoice))),
    library.known.not_used.length > 0 && h("ul", { class: "plain-list" }, library.known.not_used.map((file) => h("li", {}, h("b", {}, `${file.name} is not used: `), file.why)))];
}

function templateChoice(template) {
  const box = h("input", { type: "checkbox", "data-key": `template ${template.id}` });
  box.checked = chosen.includes(template.id);
  box.addEventListener("change", () => { chosen = box.checked ? [...chosen, template.id] : chosen.filter((id) => id !== template.id); draw(); });
  const { fastener, check } = template.stage;
  const what = [fastener.length > 0 && count(fastener.length, "fastener", "fasteners"), check.length > 0 && count(check.length, "check", "checks"), template.about].filter(Boolean).join("; ");
  return h("label", { class: "choice" }, box, h("span", {}, h("b", {}, template.title), h("span", { class: "quiet" }, what)));
}

// The same below a plan that is being written.
export function addPart(close) {
  fetchLibrary();
  if (!library.known) return h("p", {}, "Asking the daemon…");
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
  return h("section", { class: "part", "aria-label": "Templates" }, h("h3", {}, "Templates"), practice(), picker(),
    h("div", { class: "plan-acts" }, button("templates add", "main", add, chosen.length === 0 ? "Choose what to add" : `Add ${count(chosen.length, "template", "templates")}`),
      button("templates close", "plain", () => { chosen = []; close(); draw(); }, "Add nothing")));
}
