// The forms of a fastener, a check, a stage, a part and of the plan as a whole: a field for everything that a plan file can say.

import { button, h } from "./elements.js";
import { ask } from "./live.js";
import { changed, free, plan, rename, slug, snapshot } from "./planner-draft.js";
import { OTHER, TORQUE, figures, numbers, select, spot, text, tick, unitField, whole } from "./planner-fields.js";
import { draw } from "./planner-screen.js";

const PLACES = ["marking on the part", "part maker's leaflet", "our own shop's figure"];
const PREPS = ["grease on the thread", "threadlock, medium", "carbon paste where it clamps", "dry"];
const DRIVES = ["hex 3", "hex 4", "hex 5", "hex 6", "hex 8", "6-lobe T25", "6-lobe T30", "open 15", "cassette tool", "cup tool"];
const RULES = [["", "as the plan, or the usual one"], ["simple", "simple: against the limits as stated"], ["guarded", "guarded: both limits moved in by the uncertainty"], ["guarded-upper", "guarded above: the upper limit moved in"]];
const PATTERNS = [["in-order", "as listed"], ["alternate", "from side to side"], ["cross", "crosswise"]];
const FRAMES = [["", "road (usual)"], ["road", "road"], ["flat-bar", "flat bar"], ["cargo", "cargo"], ["tandem", "tandem"], ["four-wheel", "four wheels"]];
const JOINTS = [["", "not stated"], ["metal", "metal"], ["carbon", "carbon"]];
const ENGAGED = [["", "not stated"], ["steel", "steel"], ["aluminium", "aluminium"], ["brass", "brass"], ["titanium", "titanium"], ["magnesium", "magnesium"], ["insert", "an insert"]];

export const library = { known: null }; // the last answer of GET /v1/plans/templates
const maps = new Map(); // the places of the bike map, by frame

export async function fetchLibrary() {
  if (library.known) return;
  const answer = await ask("/v1/plans/templates").catch(() => null);
  if (answer?.ok) { library.known = answer.body; draw(); }
}

function placesOf(frame) {
  if (!maps.has(frame)) {
    maps.set(frame, []);
    ask(`/v1/map/${frame}`).then(({ ok, body }) => { if (ok) { maps.set(frame, body.places); draw(); } }, () => maps.delete(frame));
  }
  return maps.get(frame);
}

// What is open under "More", so that it stays open when the form is drawn anew.
const opened = new WeakMap();
export function openMore(item) { opened.set(item, true); }

function more(at, item, summary, ...fields) {
  const details = h("details", { class: "plan-more", open: Boolean(opened.get(item)) }, h("summary", { "data-key": `${at} more` }, summary), fields);
  details.addEventListener("toggle", () => opened.set(item, details.open));
  return details;
}

// An id made from the title, as long as nobody has written another.
const ownIds = new WeakSet();
export const byItsTitle = (item) => { ownIds.add(item); return item; };

function titleField(at, item, prefix) {
  return text(`${at}.title`, "Title", item.title, (typed) => {
    item.title = typed;
    if (ownIds.has(item) && slug(typed)) rename(item, free(`${prefix}${slug(typed)}`, item));
    const field = document.getElementById(`plan ${at}.id`);
    if (field) field.value = item.id;
  }, { isOptional: false, maxlength: 120, spellcheck: "true" });
}

const idField = (at, item) => text(`${at}.id`, "Short name, once in the plan", item.id, (typed) => { ownIds.delete(item); rename(item, typed); }, { isOptional: false, maxlength: 64, autocapitalize: "none" });

function placeField(at, item) {
  const places = placesOf(plan.draft.frame || "road");
  const known = places.map(({ name, title }) => [name, title]);
  const now = item.at && !places.some(({ name }) => name === item.at) ? [[item.at, `${item.at} (not on this map)`]] : [];
  return select(`${at}.at`, "Place on the bike map", item.at, [["", "none: listed beside the map"], ...now, ...known], (value) => { item.at = value; });
}

const noteField = (at, item) => text(`${at}.note`, "A sentence for the mechanic", item.note, (typed) => { item.note = typed; }, { rows: 2, maxlength: 300, spellcheck: "true" });
const ruleField = (at, item) => select(`${at}.rule`, "How readings are decided", item.rule, RULES, (value) => { item.rule = value; });

// ---------------------------------------------------------------------------------------------------- where a figure is written

export const newSource = () => ({ where: "", target: null, lower: null, upper: null });

// Something is added or taken out: it can be undone, and the form is drawn anew.
function change(run) {
  snapshot();
  run();
  changed();
  draw();
}

function figuresPart(at, item, usual) {
  const isPractice = (source) => source.where === library.known?.source;
  return h("fieldset", { class: "plan-figures-part", "data-at": `${at}.figures` }, h("legend", { class: "label" }, "Figures, and where they are written"),
    item.sources.map((source, number) => h("div", { class: `plan-source${isPractice(source) ? " is-practice" : ""}`, "data-at": `${at}.sources.${number}` },
      text(`${at}.sources.${number}.where`, "Where it is written", source.where, (typed) => { source.where = typed; }, { isOptional: false, maxlength: 160, quick: !source.where || isPractice(source) ? PLACES : null }),
      isPractice(source) && h("p", { class: "quiet" }, "Nobody's figure: put in what the part or its leaflet says, and say where."),
      figures(`${at}.sources.${number}`, source, item, usual), spot(`${at}.sources.${number}`),
      button(`${at}.sources.${number} out`, "plain", () => change(() => item.sources.splice(number, 1)), "Take this source out"))),
    item.spec && h("div", { class: "plan-source", "data-at": `${at}.spec` }, h("p", { class: "label" }, "The plan's own figures"), figures(`${at}.spec`, item.spec, item, usual), spot(`${at}.spec`),
      button(`${at}.spec out`, "plain", () => change(() => { item.spec = null; }), "Take the plan's own figures out")),
    item.settled && settledPart(at, item, usual),
    unitField(at, item, usual),
    spot(`${at}.figures`),
    h("div", { class: "quick", "data-arrows": true },
      button(`${at} source`, "plain", () => change(() => item.sources.push(newSource())), "Another source"),
      !item.spec && button(`${at} spec`, "plain", () => change(() => { item.spec = { target: null, lower: null, upper: null }; }), "The plan's own figures"),
      !item.settled && button(`${at} settle`, "plain", () => change(() => { item.settled = { by: "", reason: "", target: null, lower: null, upper: null }; }), "Settle it: sources disagree, or a figure looks wrong and is not")));
}

function settledPart(at, item, usual) {
  const { settled } = item;
  return h("div", { class: "plan-source", "data-at": `${at}.settled` }, h("p", { class: "label" }, "What was decided; figures here stand alone, without any the stated ones are confirmed"),
    text(`${at}.settled.by`, "Who decided", settled.by, (typed) => { settled.by = typed; }, { isOptional: false, maxlength: 64 }),
    text(`${at}.settled.reason`, "Why", settled.reason, (typed) => { settled.reason = typed; }, { isOptional: false, rows: 2, spellcheck: "true" }),
    figures(`${at}.settled`, settled, item, usual),
    button(`${at}.settled out`, "plain", () => change(() => { item.settled = null; }), "Take the decision out"));
}

// ---------------------------------------------------------------------------------------------------- a fastener, a check

export function fastenerForm(at, item, prefix) {
  return [
    titleField(at, item, prefix),
    figuresPart(at, item, TORQUE[0]),
    text(`${at}.prep`, "What goes on first, a line each", item.prep.join("\n"), (typed) => { item.prep = (typed || "").split("\n").map((line) => line.trim()).filter(Boolean); }, { rows: 2, quick: PREPS }),
    text(`${at}.drive`, "What the tool has to fit", item.drive, (typed) => { item.drive = typed; }, { list: "plan-drives", maxlength: 40 }),
    select(`${at}.joint`, "What the joint is made of", item.joint, JOINTS, (value) => { item.joint = value; }),
    tick(`${at}.second_look`, "Another person confirms it: second look", item.second_look, (isOn) => { item.second_look = isOn; }),
    noteField(at, item),
    more(at, item, "More: thread, kind, place on the map, adapter, rule, short name", threadPart(at, item),
      text(`${at}.kind`, "Kind of fastener, for statistics and what is plausible", item.kind, (typed) => { item.kind = typed; }, { list: "plan-kinds", maxlength: 64, autocapitalize: "none" }),
      placeField(at, item), adapterPart(at, item), ruleField(at, item), idField(at, item)),
  ];
}

// The thread is there as soon as anything is said of it.
function threadPart(at, item) {
  const write = (name) => (value) => {
    item.thread = { ...{ size: "", property_class: null, engages: null, engagement: null, friction: null, hand: "right" }, ...item.thread, [name]: value ?? (name === "size" ? "" : null) };
    const { size, property_class: of, engages, engagement, friction, hand } = item.thread;
    if (!size && !of && !engages && !engagement && !friction && hand === "right") item.thread = null;
  };
  const { size, property_class: of, engages, engagement, friction, hand } = item.thread || {};
  return h("fieldset", { class: "plan-figures-part", "data-at": `${at}.thread` }, h("legend", { class: "label" }, "Thread"),
    text(`${at}.thread.size`, "Size, for example M5x0.8", size, write("size"), { maxlength: 40 }),
    text(`${at}.thread.property_class`, "Class of the bolt, for example 8.8 or A2-70", of, write("property_class"), { maxlength: 20 }),
    select(`${at}.thread.engages`, "What it is cut into", engages, ENGAGED, write("engages")),
    text(`${at}.thread.engagement`, "How deep it engages, for example 8 mm", engagement, write("engagement"), { maxlength: 20 }),
    numbers(`${at}.thread.friction`, "Friction, least and greatest, for example 0.10 0.16", friction, write("friction")),
    tick(`${at}.thread.hand`, "Left-hand thread: tightened anticlockwise", hand === "left", (isOn) => write("hand")(isOn ? "left" : "right")),
    spot(`${at}.thread`));
}

function adapterPart(at, item) {
  const write = (name) => (value) => {
    item.adapter = { ...{ title: "", length: null, angle: 0 }, ...item.adapter, [name]: value ?? { title: "", length: null, angle: 0 }[name] };
    if (!item.adapter.title && !item.adapter.length && !item.adapter.angle) item.adapter = null;
  };
  const { title, length, angle } = item.adapter || {};
  return h("fieldset", { class: "plan-figures-part", "data-at": `${at}.adapter` }, h("legend", { class: "label" }, "Adapter between wrench and fastener"),
    text(`${at}.adapter.title`, "What it is called, for example crow-foot, 15 mm", title, write("title"), { maxlength: 80 }),
    text(`${at}.adapter.length`, "From drive to fastener, for example 32 mm; empty for a straight extension", length, write("length"), { maxlength: 20 }),
    whole(`${at}.adapter.angle`, "Angle to the handle in degrees", angle || null, write("angle")),
    spot(`${at}.adapter`));
}

export function checkForm(at, item, prefix) {
  return [
    titleField(at, item, prefix),
    figuresPart(at, item, OTHER[0]),
    whole(`${at}.readings`, "How many readings it wants; one if left empty", item.readings, (value) => { item.readings = value; }),
    noteField(at, item),
    more(at, item, "More: formula, place on the map, rule, short name",
      text(`${at}.formula`, "Computed from other checks by their short names, for example tyres.rear - tyres.front", item.formula, (typed) => { item.formula = typed; }, { maxlength: 240, autocapitalize: "none" }),
      placeField(at, item), ruleField(at, item), idField(at, item)),
  ];
}

// ---------------------------------------------------------------------------------------------------- stage, part, plan

export function stageForm(at, stage) {
  return [
    titleField(at, stage, ""),
    select(`${at}.pattern`, "The way from bolt to bolt", stage.pattern, PATTERNS, (value) => { stage.pattern = value || "in-order"; }),
    numbers(`${at}.passes`, "Passes in per cent of the torque, for example 60 100; one full pass if left empty", stage.passes?.map((part) => Number((part * 100).toFixed(6))), (typed) => { stage.passes = typed && typed.map((percent) => percent / 100); }),
    more(at, stage, "More: short name", idField(at, stage)),
  ];
}

// Which fasteners and checks it is about.
function aboutPart(at, part, legend) {
  const all = plan.draft.stage.flatMap((stage) => [...stage.fastener, ...stage.check]);
  const lost = part.fasteners.filter((id) => !all.some((item) => item.id === id));
  const toggle = (id) => (isOn) => { part.fasteners = isOn ? [...part.fasteners, id] : part.fasteners.filter((known) => known !== id); };
  return h("fieldset", { class: "plan-figures-part", "data-at": `${at}.fasteners` }, h("legend", { class: "label" }, legend),
      all.map((item) => tick(`${at}.fasteners ${item.id}`, item.title || item.id, part.fasteners.includes(item.id), toggle(item.id))),
      lost.map((id) => tick(`${at}.fasteners ${id}`, `${id} (not in the plan any more)`, true, toggle(id))), spot(`${at}.fasteners`));
}

export function dueForm(at, due) {
  return [
    titleField(at, due, ""),
    h("div", { class: "plan-figures" },
      whole(`${at}.days`, "After days", due.days, (value) => { due.days = value; }),
      whole(`${at}.months`, "or months", due.months, (value) => { due.months = value; }),
      whole(`${at}.kilometres`, "After kilometres", due.kilometres, (value) => { due.kilometres = value; }, 6)),
    text(`${at}.source`, "Where that is written", due.source, (typed) => { due.source = typed; }, { maxlength: 160 }),
    aboutPart(at, due, "What is looked at; the whole bike if nothing is ticked"),
    more(at, due, "More: short name", idField(at, due)),
  ];
}

export function partForm(at, part) {
  return [
    titleField(at, part, ""),
    aboutPart(at, part, "What is undone or measured again when it is replaced"),
    more(at, part, "More: kind, short name",
      text(`${at}.kind`, "Kind of part, for example seat-post", part.kind, (typed) => { part.kind = typed; }, { maxlength: 64, autocapitalize: "none" }), idField(at, part)),
  ];
}

export function planForm() {
  const { draft } = plan;
  return [
    text("title", "What the plan is for", draft.title, (typed) => { draft.title = typed; }, { isOptional: false, maxlength: 120, spellcheck: "true" }),
    text("edition", "Edition, for example a date", draft.edition, (typed) => { draft.edition = typed; }, { isOptional: false, maxlength: 60 }),
    select("frame", "Kind of frame, for the bike map", draft.frame, FRAMES, (value) => { draft.frame = value; }, draw),
    more("plan", draft, "More: tolerance, rule",
      text("tolerance", "Stands in where only a target is stated, for example 8 %; 10 % if left empty", draft.tolerance, (typed) => { draft.tolerance = typed; }, { maxlength: 10 }),
      select("rule", "How readings are decided", draft.rule, [["", "guarded above on carbon, else simple (usual)"], ...RULES.slice(1)], (value) => { draft.rule = value; })),
  ];
}

// Words that fields offer.
export const wordLists = () => [
  h("datalist", { id: "plan-drives" }, DRIVES.map((value) => h("option", { value }))),
  h("datalist", { id: "plan-kinds" }, (library.known?.kinds || []).map(({ kind, title }) => h("option", { value: kind }, title))),
];
