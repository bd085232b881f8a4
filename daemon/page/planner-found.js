// What is found in a plan, said for who fills in a form: in the words of the page, by the code of the finding, with the label of
// the field that it is about. What the daemon says of it is meant for who writes the file; its values are taken from there.

import { mayBeThousands } from "./figures.js";
import { items, pathOf, plan } from "./planner-draft.js";
import { isFigure } from "./planner-fields.js";
import { english } from "./planner-screen.js";
import { valueSaid } from "./said.js";
import { t } from "./tongue.js";
import { capital, sourceSaid } from "./words.js";

const FIGURES = ["target", "lower", "upper"];

export const itemPath = (at) => /^(stage\.\d+(\.(fastener|check)\.\d+)?|(part|due)\.\d+)/.exec(at || "")?.[0];

export function findItem(at) {
  const [list, s, kind, number] = (at || "").split(".");
  if (list === "part" || list === "due") return plan.draft[list][s];
  const stage = list === "stage" && plan.draft.stage[s];
  return stage && ["fastener", "check"].includes(kind) ? stage[kind][number] : stage;
}

// What a path leads to: the source of `stage.0.fastener.2.sources.1`.
export const findPart = (at) => (at || "").split(".").reduce((part, name) => part?.[name], plan.draft);

// ---------------------------------------------------------------------------------------------------- where

const ABOUT_FIGURES = ["plan/no-limits", "plan/conflicting-sources", "plan/unusual-torque", "plan/upper-only", "plan/out-of-range", "plan/not-a-torque", "plan/not-a-value", "plan/mixed-quantities",
  "plan/past-proof-load", "plan/near-proof-load", "plan/thread-strips", "plan/thread-may-strip", "plan/outside-tool-range", "plan/tool-too-coarse"];

// The field that a finding belongs to: the daemon names the nearest thing that the text has.
export function fieldOf({ at, word, what, nth = 0 }) {
  if (!at) return null;
  if (word === "plan/empty" && at === "title") return "stages";
  if (word === "plan/no-edition") return "edition";
  if (word === "plan/no-title" || word === "plan/same-title") return at.replace(/\.id$/, ".title");
  if (word === "plan/no-prep") return `${at}.prep`;
  if (word === "plan/bad-thread" && at.endsWith(".thread")) return `${at}.${/friction/.test(what) ? "friction" : /engagement/.test(what) ? "engagement" : "size"}`;
  if (word === "plan/bad-adapter" && at.endsWith(".adapter")) return `${at}.${/no title/.test(what) ? "title" : /angle is/.test(what) ? "angle" : "length"}`;
  if (word === "plan/not-a-torque" || word === "plan/not-a-value") return wrongFigure(at, nth) || (at.endsWith(".id") ? at.replace(/\.id$/, ".figures") : at);
  if (ABOUT_FIGURES.includes(word) && at.endsWith(".id")) return at.replace(/\.id$/, ".figures");
  return at.replace(/^((part|due)\.\d+\.fasteners)\..*$/, "$1");
}

// Of the figures at a place, the one that is none, or the next of them; those of a decision where the place is the whole item.
function wrongFigure(at, nth) {
  const place = at.endsWith(".id") ? at.replace(/id$/, "settled") : at;
  const stated = findPart(place) || {};
  const wrong = FIGURES.filter((name) => stated[name] && !isFigure(stated[name], at.includes(".fastener.")));
  return wrong.length > 0 ? `${place}.${wrong[Math.min(nth, wrong.length - 1)]}` : null;
}

// The daemon names a place as often as it has figures that are none.
function counted(findings) {
  const seen = new Map();
  return findings.map((finding) => {
    const key = `${finding.word} ${finding.at}`;
    seen.set(key, (seen.get(key) ?? -1) + 1);
    return { ...finding, nth: seen.get(key) };
  });
}

const LABELS = {
  title: "planner-title", id: "planner-id", kind: "planner-kind", note: "planner-sentence", adapter: "planner-adapter", thread: "planner-thread", size: "planner-thread-size",
  engagement: "planner-engagement", friction: "planner-friction", angle: "planner-adapter-angle", length: "planner-adapter-length", joint: "planner-joint", spec: "planner-own",
  at: "planner-place", figures: "planner-figures", sources: "planner-figures", settled: "planner-settle", where: "planner-where", target: "planner-aim", lower: "planner-least", upper: "planner-most",
  passes: "planner-passes", readings: "planner-readings", formula: "planner-formula", prep: "planner-prep", edition: "planner-edition-field", tolerance: "planner-tolerance",
};
const OF_LISTS = { "part.kind": "planner-part-kind", "part.fasteners": "planner-part-what", "due.fasteners": "planner-due-what" };

// A label without its examples.
const short = (label) => label.split(/[\s\u00a0]?[,;:(]/)[0];

function labelOf(at) {
  if (at === "title") return short(t("planner-for"));
  const names = at.split(".").filter((name) => !/^\d+$/.test(name));
  const id = OF_LISTS[`${names[0]}.${names.at(-1)}`] || (names.length > 1 || LABELS[at] ? LABELS[names.at(-1)] : null);
  return id && !["fastener", "check"].includes(names.at(-1)) ? short(t(id)) : null;
}

// What it is about: the title of the thing, and the label of the field as the editor shows it.
export function whereSaid(finding) {
  const at = fieldOf(finding);
  if (!at || at === "stages") return "";
  const item = findItem(itemPath(at));
  return [item && (item.title?.trim() || item.id || t("planner-untitled")), labelOf(at)].filter(Boolean).join(t("planner-field-of"));
}

// ---------------------------------------------------------------------------------------------------- what

const settle = () => short(t("planner-settle"));
const value = (text) => valueSaid(text.trim());

// "marking on the clamp: 5 N·m + 10 %": a place, a figure, and what the tolerance makes of it.
function placed(text) {
  const [, place, stated, rest] = /^(.*): (.+?)( [+-] \d+ %)?$/.exec(text) || [];
  if (!place) return text;
  return t("planner-placed", { place: place === "plan" ? t("planner-own") : sourceSaid(place), value: value(stated) + (rest || "") });
}

const OVERLOADED = /: (?<torque>.+?) (?:cannot be right: even at the highest plausible friction of (?<highest>\S+)|is likely too much: at a friction of (?<middle>[\d.]+)).* it makes a preload of (?<preload>[\d.]+ kN), and .*?(?:bears|strips at about) (?<load>[\d.]+ kN) \((?:proof load, )?(?<standard>[^()]*)/;
const overloaded = (id) => [OVERLOADED, (g) => [id, { torque: value(g.torque), friction: g.highest || g.middle, preload: g.preload, load: g.load, standard: g.standard, settle: settle() }]];
const quoted = (id) => [/"(?<name>(?:[^"\\]|\\.)*)"/, (g) => [id, { value: g.name }]];
const plain = (id, more = () => ({})) => [/^/, () => [id, more()]];
const fields = () => ({ aim: t("planner-aim"), least: t("planner-least"), most: t("planner-most") });

// By the code: how the daemon says it, and the message for it with its values. The first that fits.
const SAID = {
  "too-large": [plain("found-too-large")],
  empty: [[/the plan has/, () => ["found-empty-plan"]], plain("found-empty-stage")],
  "duplicate-id": [quoted("found-duplicate-id")],
  "bad-id": [quoted("found-bad-id")],
  "unknown-fastener": [quoted("found-unknown-fastener")],
  "not-a-torque": [[/^/, (g, at) => [findPart(at) ? "found-not-a-torque" : "found-no-torque", { value: findPart(at) }]]],
  "not-a-value": [[/states a torque, (?<stated>.+)$/, (g) => ["found-torque-at-check", { value: value(g.stated) }]], [/^/, (g, at) => [typeof findPart(at) === "string" ? "found-not-a-value" : "found-no-value", { value: findPart(at) }]]],
  "out-of-range": [[/^(?<stated>.+) is not a torque for/, (g) => ["found-out-of-range", { value: value(g.stated) }]], [/: (?<stated>.+) cannot be measured here/, (g) => ["found-not-measured", { value: value(g.stated) }]]],
  "no-limits": [[/neither a target/, () => ["found-no-limits", fields()]], plain("found-no-limit-check", fields)],
  "conflicting-sources": [[/these cannot both hold: (?<first>.+?); (?<second>.+)$/, (g) => ["found-conflict", { first: placed(g.first), second: placed(g.second), settle: settle() }]], plain("found-settled-unsigned")],
  "bad-passes": [plain("found-bad-passes")],
  "bad-tolerance": [quoted("found-bad-tolerance")],
  "bad-kind": [quoted("found-bad-kind")],
  "bad-note": [plain("found-bad-note")],
  "bad-adapter": [[/no title/, () => ["found-adapter-title"]], [/angle is (?<angle>\d+)/, (g) => ["found-adapter-angle", { value: g.angle }]], [/an angle and no length/, () => ["found-adapter-no-length"]], plain("found-adapter-length")],
  "bad-thread": [[/engagement/, () => ["found-engagement"]], [/friction/, () => ["found-friction"]], [/: "(?<name>.*)" is no thread/, (g) => ["found-no-thread", { value: g.name }]]],
  "upper-only": [plain("found-upper-only", fields)],
  "carbon-without-paste": [plain("found-carbon-without-paste")],
  "no-prep": [plain("found-no-prep")],
  "past-proof-load": [overloaded("found-past-proof-load")],
  "near-proof-load": [overloaded("found-near-proof-load")],
  "thread-strips": [overloaded("found-thread-strips")],
  "thread-may-strip": [overloaded("found-thread-may-strip")],
  "no-estimate": [[/property class "(?<name>[^"]*)"/, (g) => ["found-class", { value: g.name }]], plain("found-pitch")],
  "unusual-torque": [[/allows (?<stated>.+?): .+ commonly gets (?<low>.+?) to (?<high>.+?) \(/, (g) => ["found-unusual-torque", { value: value(g.stated), low: value(g.low), high: value(g.high), settle: settle() }]]],
  "outside-tool-range": [[/wants (?<stated>.+?), and no tool/, (g) => ["found-outside-tool-range", { value: value(g.stated) }]]],
  "unreachable-pass": [[/^pass (?<pass>\d+) at (?<percent>\d+) % wants (?<stated>.+?) on /, (g) => ["found-unreachable-pass", { pass: g.pass, percent: g.percent, value: value(g.stated) }]]],
  "tool-too-coarse": [[/leaves (?<room>.+?) around (?<stated>.+?), and/, (g) => ["found-tool-too-coarse", { room: value(g.room), value: value(g.stated) }]], [/wants (?<stated>.+), and no tool tells/, (g) => ["found-check-too-coarse", { value: value(g.stated) }]]],
  "unknown-place": [quoted("found-unknown-place")],
  "mixed-quantities": [plain("found-mixed-quantities")],
  "bad-readings": [[/computed and wants/, () => ["found-readings-computed"]], [/wants (?<n>\d+) readings/, (g) => ["found-bad-readings", { n: g.n }]]],
  "bad-formula": [[/no check "(?<name>[^"]*)" in/, (g) => ["found-formula-unknown", { value: g.name }]], plain("found-bad-formula")],
  "never-due": [[/not clear/, () => ["found-due-unclear"]], plain("found-never-due")],
  "no-title": [plain("found-no-title")],
  "no-edition": [plain("found-no-edition")],
  "same-title": [[/: "(?<name>(?:[^"\\]|\\.)*)"$/, (g) => ["found-same-title", { value: g.name }]]],
};

// A finding in words. One that has none here is the daemon's own, in English.
export function foundSaid(finding) {
  if (finding.isOurs) return finding.said;
  const code = finding.word?.replace("plan/", "") || finding.code;
  for (const [pattern, said] of SAID[code] || []) {
    const met = pattern.exec(finding.what);
    if (!met) continue;
    const [id, args] = said(met.groups || {}, fieldOf({ ...finding, word: `plan/${code}` }));
    return t(id, args);
  }
  return null;
}

// Beside its field a finding has no label, but of three figures it says which.
export function labelBeside(finding) {
  const at = fieldOf(finding);
  return FIGURES.some((name) => at?.endsWith(`.${name}`)) ? `${labelOf(at)}${t("planner-field-of")}` : "";
}

export const foundWords = (finding) => foundSaid(finding) || english(`${capital(finding.what)}. ${capital(finding.advice)}`);

// ---------------------------------------------------------------------------------------------------- what the form finds by itself

const hasFigure = (of) => FIGURES.some((name) => of[name]);

// A figure that says nowhere where it is written: a plan file may have one, a form should not. And one that is two figures.
function ofItem(item) {
  const at = pathOf(item);
  const ours = (path, severity, said) => ({ at: path, severity, said, isOurs: true });
  const found = [];
  item.sources.forEach((source, number) => {
    if (!source.where.trim() && hasFigure(source)) found.push(ours(`${at}.sources.${number}.where`, "warning", t("found-no-place")));
  });
  if (item.spec && hasFigure(item.spec) && !item.settled && !item.sources.some((source) => source.where.trim())) found.push(ours(`${at}.spec`, "warning", t("found-own-no-place", { source: t("planner-another-source") })));
  for (const [path, of] of [["spec", item.spec], ["settled", item.settled], ...item.sources.map((source, number) => [`sources.${number}`, source])]) {
    for (const name of FIGURES) if (of?.[name] && mayBeThousands(of[name])) found.push(ours(`${at}.${path}.${name}`, "error", t("found-thousands", { value: of[name] })));
  }
  return found;
}

// Everything that was found. What may be thousands is told of once.
export function allFindings() {
  const own = items().flatMap(ofItem);
  const isTold = (finding) => own.some((one) => one.severity === "error" && one.at === fieldOf(finding));
  return [...counted(plan.view?.findings || []).filter((finding) => !isTold(finding)), ...own];
}

// How many errors keep it from being kept.
export const errorCount = () => Math.max(plan.view?.errors ?? 0, allFindings().filter((finding) => finding.severity === "error").length);
