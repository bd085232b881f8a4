// The draft that is being written, where it came from, and what the daemon says of it. A draft that is not kept yet lies in
// the browser, so that nothing typed is lost with the page.

import { ask } from "./live.js";
import { problemSaid } from "./said.js";
import { byWhom } from "./state.js";
import { t } from "./tongue.js";

const CHECK_AFTER_MS = 300; // the daemon is asked when somebody pauses
export const MOST_DRAFTS = 20;
const MOST_UNDONE = 50;
const STORE = "pullmark.plan-drafts";

export const plan = {
  key: null, // what it is called in the browser
  name: null, // the file; none for a new plan
  before: null, // the hash of the file as it was opened
  base: null, // its text
  draft: null,
  view: null, // the last answer of POST /v1/plans/check
  isKept: true, // what is shown is what the file says
  isStored: true, // the browser keeps drafts
  written: null, // the draft in the browser as this tab wrote or read it last
  elsewhere: false, // another tab has a draft of the same plan
  undo: [],
  opened: 0, // a number for every time that a plan was opened
};

let heard = () => {};
// Who is told when the daemon has said something new of the draft.
export function whenChecked(tell) { heard = tell; }

// What the daemon refused, or that it did not answer.
export const refusalSaid = (answer, unanswered = t("no-answer")) => (answer ? problemSaid(answer) : unanswered);

const asJson = (body, method = "POST") => ({ method, headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });

// ---------------------------------------------------------------------------------------------------- in the browser

export function drafts() {
  try { return JSON.parse(localStorage.getItem(STORE) || "[]"); } catch { return []; }
}

// No draft makes way for another.
function store(all) {
  if (all.length > MOST_DRAFTS && all.length > drafts().length) return false;
  try { localStorage.setItem(STORE, JSON.stringify(all)); return true; } catch { return false; }
}

export const discard = (key) => store(drafts().filter((kept) => kept.key !== key));

// Two tabs may have opened one draft. Who types second has one of their own from then on, and neither writes over the other.
function remember() {
  const there = drafts().find((kept) => kept.key === plan.key);
  if (there && there.written !== plan.written) { plan.key = `${plan.key} ${Date.now()}`; plan.elsewhere = true; }
  plan.written = `${Date.now()} ${Math.random()}`;
  const { key, name, before, base, draft, written } = plan;
  plan.isStored = store([...drafts().filter((kept) => kept.key !== key), { key, name, before, base, draft, written, at: Date.now() }]);
}

// Another tab has written the draft that is open here: it is said at once.
window.addEventListener("storage", ({ key }) => {
  if (key !== STORE || !plan.draft) return;
  const there = drafts().find((kept) => kept.key === plan.key);
  plan.elsewhere ||= Boolean(there) && there.written !== plan.written;
  heard();
});

// ---------------------------------------------------------------------------------------------------- where a draft comes from

function take(part) {
  Object.assign(plan, { key: null, name: null, before: null, base: null, draft: null, view: null, isKept: true, isStored: true, written: null, elsewhere: false, undo: [], opened: plan.opened + 1, ...part });
  checkNow();
}

// A new draft, not yet a file.
export function begun(draft) {
  take({ key: `new ${Date.now()}`, draft, isKept: false });
  remember();
}

export const adopted = ({ key, name, before, base, draft, written }) => take({ key, name, before, base, draft, written, isKept: false });

// What a file is called in the browser. A draft of it that lies there keeps its place.
const keyOf = (name) => (drafts().some((kept) => kept.key === name) ? `${name} ${Date.now()}` : name);

// Goes on with the last draft of a file where there is one; else opens the file.
export async function goOn(name) {
  const kept = drafts().findLast((draft) => draft.name === name);
  if (!kept) return openFile(name);
  adopted(kept);
  return null;
}

// Opens a file of the shop as it is; says what is wrong where it cannot be opened.
export async function openFile(name) {
  const answer = await ask(`/v1/plans/${encodeURIComponent(name)}`).catch(() => null);
  if (!answer?.ok) return refusalSaid(answer);
  const { sha256: before, text: base, draft } = answer.body;
  if (!draft) return t("planner-no-form", { file: name });
  take({ key: keyOf(name), name, before, base, draft });
  return null;
}

// The plan that is open as a new one.
export function duplicate() {
  begun({ ...plan.draft, title: t("planner-copy-of", { title: plan.draft.title }) });
}

// ---------------------------------------------------------------------------------------------------- changes

// Something was typed.
export function changed() {
  plan.isKept = false;
  remember();
  checkSoon();
}

// Before something is added, moved or taken out: it can be undone.
export function snapshot() {
  plan.undo = [...plan.undo, JSON.stringify(plan.draft)].slice(-MOST_UNDONE);
}

export function undo() {
  const last = plan.undo.pop();
  if (!last) return;
  plan.draft = JSON.parse(last);
  changed();
}

// Where something stands in the draft, as `stage.0.fastener.2`.
export function pathOf(item) {
  for (const [s, stage] of plan.draft.stage.entries()) {
    if (stage === item) return `stage.${s}`;
    for (const kind of ["fastener", "check"]) if (stage[kind].includes(item)) return `stage.${s}.${kind}.${stage[kind].indexOf(item)}`;
  }
  const list = ["part", "due"].find((name) => plan.draft[name].includes(item));
  return list ? `${list}.${plan.draft[list].indexOf(item)}` : null;
}

export const items = () => plan.draft.stage.flatMap((stage) => [...stage.fastener, ...stage.check]);

export const slug = (text) => text.toLowerCase().normalize("NFKD").replace(/[\u0300-\u036f]/g, "").replaceAll("ß", "ss").replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 40);

// An id like this one that nothing else has.
export function free(wanted, own = null) {
  const taken = new Set([...plan.draft.stage, ...items()].filter((item) => item !== own).map((item) => item.id));
  let id = wanted;
  for (let number = 2; taken.has(id); number += 1) id = `${wanted}-${number}`;
  return id;
}

// A formula with another id in it. An id stands in braces or bare; a dash in it may be a minus, and then the longest id that
// is known counts, as the daemon reads it.
function inFormula(formula, from, to, known) {
  return formula.replace(/\{([^{}]*)\}|[\d.][\w.]*|[a-z_][\w.-]*(?![\w.-]|\s*\()/gi, (word, braced) => {
    if (braced !== undefined) return braced === from ? `{${to}}` : word;
    if (/^[\d.]/.test(word)) return word;
    const dashes = [...word.matchAll(/-/g)].map(({ index }) => index);
    const end = [word.length, ...dashes.reverse()].find((at) => known.has(word.slice(0, at)));
    if (end === undefined) return word;
    const [id, rest] = [word.slice(0, end), word.slice(end)];
    const named = id !== from ? id : rest === "" && /^[a-z_][a-z0-9_.]*$/.test(to) ? to : `{${to}}`;
    return named + (rest && inFormula(rest, from, to, known));
  });
}

// What named a fastener or check by its old id names it by this one. What is of another with the same id stays as it is.
function follow(item, from, to) {
  const all = items();
  if (from === to || !all.includes(item) || all.some((other) => other !== item && other.id === from)) return;
  for (const part of [...plan.draft.part, ...plan.draft.due]) part.fasteners = part.fasteners.map((named) => (named === from ? to : named));
  const checks = plan.draft.stage.flatMap((stage) => stage.check);
  if (!checks.includes(item)) return;
  const known = new Set([from, ...checks.filter((check) => check !== item).map((check) => check.id)]);
  for (const check of checks) if (check.formula) check.formula = inFormula(check.formula, from, to, known);
}

// Another id at once: what names the old one names the new one.
export function rename(item, id) {
  follow(item, item.id, id);
  item.id = id;
}

// An id that is being typed may be that of another on its way. What names this one follows when the typing has come to an id
// that is its own alone.
const beforeTyping = new WeakMap();

export function typeId(item, id) {
  if (!beforeTyping.has(item)) beforeTyping.set(item, item.id);
  item.id = id;
}

export function typedId(item) {
  if (!beforeTyping.has(item) || !item.id || items().some((other) => other !== item && other.id === item.id)) return;
  follow(item, beforeTyping.get(item), item.id);
  beforeTyping.delete(item);
  changed();
}

// ---------------------------------------------------------------------------------------------------- what the daemon says

let timer = null;
let asked = 0;

function checkSoon() {
  clearTimeout(timer);
  timer = setTimeout(checkNow, CHECK_AFTER_MS);
}

// What is sent: rows for a source that nobody has begun to fill are no sources yet.
export function sent() {
  const isEmpty = (source) => !source.where && !source.target && !source.lower && !source.upper;
  const filled = (item) => {
    const sources = [...item.sources];
    while (sources.length > 0 && isEmpty(sources.at(-1))) sources.pop();
    return { ...item, sources };
  };
  return { ...plan.draft, stage: plan.draft.stage.map((stage) => ({ ...stage, fastener: stage.fastener.map(filled), check: stage.check.map(filled) })) };
}

export async function checkNow() {
  clearTimeout(timer);
  const number = ++asked;
  const answer = await ask("/v1/plans/check", asJson({ draft: sent(), base: plan.base })).catch(() => null);
  if (number !== asked) return;
  plan.view = answer?.ok ? answer.body : null;
  plan.trouble = answer?.ok ? null : refusalSaid(answer, t("planner-not-looked-at"));
  heard();
}

// Adds templates, or begins with a starter set. Says what is wrong where it was not done.
export async function compose(wish) {
  const answer = await ask("/v1/plans/compose", asJson(wish)).catch(() => null);
  return answer?.ok ? { draft: answer.body } : { wrong: refusalSaid(answer) };
}

// Keeps the draft as a file of the shop. Meanwhile somebody may type on, or open another plan.
export async function keep(name) {
  const { key, opened } = plan;
  const written = JSON.stringify(plan.draft);
  const isSame = name === plan.name;
  const answer = await ask(`/v1/plans/${encodeURIComponent(name)}`, asJson({ draft: sent(), before: isSame ? plan.before : null, ...byWhom() }, "PUT")).catch(() => null);
  if (!answer?.ok) return { ...answer?.body, detail: refusalSaid(answer, t("planner-maybe-kept")) };
  const file = { name, before: answer.body.sha256, base: answer.body.text };
  const isStill = (draft) => JSON.stringify(draft) === written;
  const isHere = plan.opened === opened;
  const isOurs = (kept) => (isHere ? kept.key === plan.key && kept.written === plan.written : kept.key === key);
  store(drafts().filter((kept) => !isOurs(kept) || !isStill(kept.draft)).map((kept) => (isOurs(kept) ? { ...kept, ...file } : kept)));
  if (!isHere) return null;
  Object.assign(plan, file, { isKept: isStill(plan.draft) });
  if (plan.isKept) Object.assign(plan, { key: keyOf(name), written: null, elsewhere: false });
  await checkNow();
  return null;
}

// The plan as a table, for a spreadsheet.
export async function table() {
  const answer = await fetch("/v1/plans/to-table", { cache: "no-store", ...asJson({ draft: sent() }) }).catch(() => null);
  return answer?.ok ? answer.text() : null;
}
