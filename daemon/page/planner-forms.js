// The forms of a fastener, a check, a stage, a part and of the plan as a whole: a field for everything that a plan file can say.

import { button, h } from "./elements.js";
import { ask } from "./live.js";
import { changed, free, plan, rename, slug, snapshot, typeId, typedId } from "./planner-draft.js";
import { OTHER, USUAL_TORQUE, figures, numbers, select, spot, text, tick, unitField, whole } from "./planner-fields.js";
import { draw } from "./planner-screen.js";
import { placeSaid } from "./said.js";
import { t } from "./tongue.js";

const PLACES = [t("planner-place-marking"), t("planner-place-leaflet"), t("planner-place-shop")];
// What is written is English: the friction of a thread and the paste of a carbon joint are read from it (schema/src/joint/friction.rs).
const PREPS = [["grease on the thread", t("planner-prep-grease")], ["threadlock, medium", t("planner-prep-threadlock")], ["carbon paste where it clamps", t("planner-prep-paste")], ["dry", t("planner-prep-dry")]];
const DRIVES = [...[3, 4, 5, 6, 8].map((size) => t("planner-drive-hex", { size })), ...["T25", "T30"].map((size) => t("planner-drive-lobe", { size })), t("planner-drive-open", { size: 15 }), t("planner-drive-cassette"), t("planner-drive-cup")];
const RULES = [["", t("planner-rule-usual")], ["simple", t("planner-rule-simple")], ["guarded", t("planner-rule-guarded")], ["guarded-upper", t("planner-rule-upper")]];
const PATTERNS = [["in-order", t("planner-way-listed")], ["alternate", t("planner-way-sides")], ["cross", t("planner-way-cross")]];
const FRAMES = [["", t("planner-frame-usual")], ["road", t("planner-frame-road")], ["flat-bar", t("planner-frame-flat")], ["cargo", t("planner-frame-cargo")], ["tandem", t("planner-frame-tandem")], ["four-wheel", t("planner-frame-four")]];
const JOINTS = [["", t("planner-not-stated")], ["metal", t("planner-metal")], ["carbon", t("planner-carbon")]];
const ENGAGED = [["", t("planner-not-stated")], ["steel", t("planner-steel")], ["aluminium", t("planner-aluminium")], ["brass", t("planner-brass")], ["titanium", t("planner-titanium")], ["magnesium", t("planner-magnesium")], ["insert", t("planner-insert")]];

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
  return text(`${at}.title`, t("planner-title"), item.title, (typed) => {
    item.title = typed;
    if (ownIds.has(item) && slug(typed)) rename(item, free(`${prefix}${slug(typed)}`, item));
    const field = document.getElementById(`plan ${at}.id`);
    if (field) field.value = item.id;
  }, { isOptional: false, maxlength: 120, spellcheck: "true" });
}

function idField(at, item) {
  const field = text(`${at}.id`, t("planner-id"), item.id, (typed) => { ownIds.delete(item); typeId(item, typed); }, { isOptional: false, maxlength: 64, autocapitalize: "none" });
  const control = field.querySelector("input");
  // A form that is drawn anew while somebody types has another field: it is left, and may never change.
  for (const end of ["change", "blur"]) control.addEventListener(end, () => typedId(item));
  return field;
}

function placeField(at, item) {
  const places = placesOf(plan.draft.frame || "road");
  const known = places.map((place) => [place.name, placeSaid(place)]);
  const now = item.at && !places.some(({ name }) => name === item.at) ? [[item.at, t("planner-off-map", { place: item.at })]] : [];
  return select(`${at}.at`, t("planner-place"), item.at, [["", t("planner-place-none")], ...now, ...known], (value) => { item.at = value; });
}

const noteField = (at, item) => text(`${at}.note`, t("planner-sentence"), item.note, (typed) => { item.note = typed; }, { rows: 2, maxlength: 300, spellcheck: "true" });
const ruleField = (at, item) => select(`${at}.rule`, t("planner-rule"), item.rule, RULES, (value) => { item.rule = value; });

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
  return h("fieldset", { class: "plan-figures-part", "data-at": `${at}.figures` }, h("legend", { class: "label" }, t("planner-figures")),
    item.sources.map((source, number) => h("div", { class: `plan-source${isPractice(source) ? " is-practice" : ""}`, "data-at": `${at}.sources.${number}` },
      text(`${at}.sources.${number}.where`, t("planner-where"), source.where, (typed) => { source.where = typed.replace(/\s*\n\s*/g, " "); }, { isOptional: false, rows: 2, maxlength: 160, isLines: false, quick: !source.where || isPractice(source) ? PLACES : null }),
      isPractice(source) && h("p", { class: "quiet" }, t("planner-nobodys")),
      figures(`${at}.sources.${number}`, source, item, usual), spot(`${at}.sources.${number}`),
      button(`${at}.sources.${number} out`, "plain", () => change(() => item.sources.splice(number, 1)), t("planner-source-out")))),
    item.spec && h("div", { class: "plan-source", "data-at": `${at}.spec` }, h("p", { class: "label" }, t("planner-own")), figures(`${at}.spec`, item.spec, item, usual), spot(`${at}.spec`),
      button(`${at}.spec out`, "plain", () => change(() => { item.spec = null; }), t("planner-own-out"))),
    item.settled && settledPart(at, item, usual),
    unitField(at, item, usual),
    spot(`${at}.figures`),
    h("div", { class: "quick", "data-arrows": true },
      button(`${at} source`, "plain", () => change(() => item.sources.push(newSource())), t("planner-another-source")),
      !item.spec && button(`${at} spec`, "plain", () => change(() => { item.spec = { target: null, lower: null, upper: null }; }), t("planner-own")),
      !item.settled && button(`${at} settle`, "plain", () => change(() => { item.settled = { by: "", reason: "", target: null, lower: null, upper: null }; }), t("planner-settle"))));
}

function settledPart(at, item, usual) {
  const { settled } = item;
  return h("div", { class: "plan-source", "data-at": `${at}.settled` }, h("p", { class: "label" }, t("planner-settled")),
    text(`${at}.settled.by`, t("planner-settled-by"), settled.by, (typed) => { settled.by = typed; }, { isOptional: false, maxlength: 64 }),
    text(`${at}.settled.reason`, t("planner-settled-why"), settled.reason, (typed) => { settled.reason = typed; }, { isOptional: false, rows: 2, spellcheck: "true" }),
    figures(`${at}.settled`, settled, item, usual),
    button(`${at}.settled out`, "plain", () => change(() => { item.settled = null; }), t("planner-settled-out")));
}

// ---------------------------------------------------------------------------------------------------- a fastener, a check

export function fastenerForm(at, item, prefix) {
  return [
    titleField(at, item, prefix),
    figuresPart(at, item, USUAL_TORQUE),
    text(`${at}.prep`, t("planner-prep"), item.prep.join("\n"), (typed) => { item.prep = (typed || "").split("\n").map((line) => line.trim()).filter(Boolean); }, { rows: 2, quick: PREPS }),
    text(`${at}.drive`, t("planner-drive"), item.drive, (typed) => { item.drive = typed; }, { list: "plan-drives", maxlength: 40 }),
    select(`${at}.joint`, t("planner-joint"), item.joint, JOINTS, (value) => { item.joint = value; }),
    tick(`${at}.second_look`, t("planner-second-look"), item.second_look, (isOn) => { item.second_look = isOn; }),
    noteField(at, item),
    more(at, item, t("planner-more-fastener"), threadPart(at, item),
      text(`${at}.kind`, t("planner-kind"), item.kind, (typed) => { item.kind = typed; }, { list: "plan-kinds", maxlength: 64, autocapitalize: "none" }),
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
  return h("fieldset", { class: "plan-figures-part", "data-at": `${at}.thread` }, h("legend", { class: "label" }, t("planner-thread")),
    text(`${at}.thread.size`, t("planner-thread-size"), size, write("size"), { maxlength: 40 }),
    text(`${at}.thread.property_class`, t("planner-bolt-class"), of, write("property_class"), { maxlength: 20 }),
    select(`${at}.thread.engages`, t("planner-cut-into"), engages, ENGAGED, write("engages")),
    text(`${at}.thread.engagement`, t("planner-engagement"), engagement, write("engagement"), { maxlength: 20 }),
    numbers(`${at}.thread.friction`, t("planner-friction"), friction, write("friction")),
    tick(`${at}.thread.hand`, t("planner-left-hand"), hand === "left", (isOn) => write("hand")(isOn ? "left" : "right")),
    spot(`${at}.thread`));
}

function adapterPart(at, item) {
  const write = (name) => (value) => {
    item.adapter = { ...{ title: "", length: null, angle: 0 }, ...item.adapter, [name]: value ?? { title: "", length: null, angle: 0 }[name] };
    if (!item.adapter.title && !item.adapter.length && !item.adapter.angle) item.adapter = null;
  };
  const { title, length, angle } = item.adapter || {};
  return h("fieldset", { class: "plan-figures-part", "data-at": `${at}.adapter` }, h("legend", { class: "label" }, t("planner-adapter")),
    text(`${at}.adapter.title`, t("planner-adapter-title"), title, write("title"), { maxlength: 80 }),
    text(`${at}.adapter.length`, t("planner-adapter-length"), length, write("length"), { maxlength: 20 }),
    whole(`${at}.adapter.angle`, t("planner-adapter-angle"), angle || null, write("angle")),
    spot(`${at}.adapter`));
}

export function checkForm(at, item, prefix) {
  return [
    titleField(at, item, prefix),
    figuresPart(at, item, OTHER[0]),
    whole(`${at}.readings`, t("planner-readings"), item.readings, (value) => { item.readings = value; }),
    noteField(at, item),
    more(at, item, t("planner-more-check"),
      text(`${at}.formula`, t("planner-formula"), item.formula, (typed) => { item.formula = typed; }, { maxlength: 240, autocapitalize: "none" }),
      placeField(at, item), ruleField(at, item), idField(at, item)),
  ];
}

// ---------------------------------------------------------------------------------------------------- stage, part, plan

export function stageForm(at, stage) {
  return [
    titleField(at, stage, ""),
    select(`${at}.pattern`, t("planner-way"), stage.pattern, PATTERNS, (value) => { stage.pattern = value || "in-order"; }),
    numbers(`${at}.passes`, t("planner-passes"), stage.passes?.map((part) => Number((part * 100).toFixed(6))), (typed) => { stage.passes = typed && typed.map((percent) => percent / 100); }),
    more(at, stage, t("planner-more-id"), idField(at, stage)),
  ];
}

// Which fasteners and checks it is about.
function aboutPart(at, part, legend) {
  const all = plan.draft.stage.flatMap((stage) => [...stage.fastener, ...stage.check]);
  const lost = part.fasteners.filter((id) => !all.some((item) => item.id === id));
  const toggle = (id) => (isOn) => { part.fasteners = isOn ? [...part.fasteners, id] : part.fasteners.filter((known) => known !== id); };
  return h("fieldset", { class: "plan-figures-part", "data-at": `${at}.fasteners` }, h("legend", { class: "label" }, legend),
      all.map((item) => tick(`${at}.fasteners ${item.id}`, item.title || item.id, part.fasteners.includes(item.id), toggle(item.id))),
      lost.map((id) => tick(`${at}.fasteners ${id}`, t("planner-gone", { id }), true, toggle(id))), spot(`${at}.fasteners`));
}

export function dueForm(at, due) {
  return [
    titleField(at, due, ""),
    h("div", { class: "plan-figures" },
      whole(`${at}.days`, t("planner-after-days"), due.days, (value) => { due.days = value; }),
      whole(`${at}.months`, t("planner-or-months"), due.months, (value) => { due.months = value; }),
      whole(`${at}.kilometres`, t("planner-after-km"), due.kilometres, (value) => { due.kilometres = value; }, 6)),
    text(`${at}.source`, t("planner-due-source"), due.source, (typed) => { due.source = typed; }, { maxlength: 160 }),
    aboutPart(at, due, t("planner-due-what")),
    more(at, due, t("planner-more-id"), idField(at, due)),
  ];
}

export function partForm(at, part) {
  return [
    titleField(at, part, ""),
    aboutPart(at, part, t("planner-part-what")),
    more(at, part, t("planner-more-part"),
      text(`${at}.kind`, t("planner-part-kind"), part.kind, (typed) => { part.kind = typed; }, { maxlength: 64, autocapitalize: "none" }), idField(at, part)),
  ];
}

export function planForm() {
  const { draft } = plan;
  return [
    text("title", t("planner-for"), draft.title, (typed) => { draft.title = typed; }, { isOptional: false, maxlength: 120, spellcheck: "true" }),
    text("edition", t("planner-edition-field"), draft.edition, (typed) => { draft.edition = typed; }, { isOptional: false, maxlength: 60 }),
    select("frame", t("planner-frame"), draft.frame, FRAMES, (value) => { draft.frame = value; }, draw),
    more("plan", draft, t("planner-more-plan"),
      text("tolerance", t("planner-tolerance"), draft.tolerance, (typed) => { draft.tolerance = typed; }, { maxlength: 10 }),
      select("rule", t("planner-rule"), draft.rule, [["", t("planner-rule-default")], ...RULES.slice(1)], (value) => { draft.rule = value; })),
  ];
}

// Words that fields offer.
export const wordLists = () => [
  h("datalist", { id: "plan-drives" }, DRIVES.map((value) => h("option", { value }))),
  h("datalist", { id: "plan-kinds" }, (library.known?.kinds || []).map(({ kind, title }) => h("option", { value: kind, lang: "en" }, title))),
];
