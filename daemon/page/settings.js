// What a wrench has to show, or to be set to, for the torque wanted at the fastener; and what has to be on it for that.

import { BOLD, button, h } from "./elements.js";
import { act } from "./live.js";
import { mark } from "./marks.js";
import { state } from "./state.js";
import { figure, newtonMetre, onSteps, sent, torque, unit } from "./figures.js";
import { rich, t } from "./tongue.js";
import { capital, cautionWord, listed, ruleWords } from "./words.js";

// From a hundredth on, a wrench pulled to the fastener's torque may be out of spec: then its own figure comes first.
const LOUD = 100;

const isOff = (setting, next) => Math.abs(setting.set_millinewton_metre - next.aim_millinewton_metre) * LOUD >= next.aim_millinewton_metre;

// Whether a tool's own figure has to be read or set in the place of the fastener's.
const isLoud = (setting, next) => setting.is_set || isOff(setting, next);

// Whether the tools' part comes before the torque at the fastener: who follows that figure with the wrong thing on the
// wrench, or reads it on a wrench that has to show another, is out of spec.
export const comesFirst = (next) => next.settings.some((setting) => isLoud(setting, next) || !setting.is_as_planned);

const asksForOffset = (next) => Boolean(next.adapter?.is_offset);

// A torque to the steps in which the tool shows it; an end of a range is moved inwards.
function onTool(setting, milli, round) {
  const resolution = state.view.tools.find((tool) => tool.tool.id === setting.tool)?.tool.resolution_millinewton_metre || 10;
  return onSteps(milli, resolution, round);
}

const fittedTitle = (setting) => state.view.tools.find((tool) => tool.tool.id === setting.tool)?.fitted?.adapter.title;

function withinInWords(setting) {
  const { from_millinewton_metre: from, to_millinewton_metre: to } = setting;
  if (to === null) return t("setting-never-within");
  const high = torque(onTool(setting, to, Math.floor));
  return from === null ? t("setting-within-up-to", { high }) : t("setting-within-from", { low: figure(onTool(setting, from, Math.ceil)), high });
}

export function settingsPart(next) {
  return next.settings.map((setting) => [
    !setting.is_as_planned && adapterNotice(setting, next),
    isLoud(setting, next) ? loudSetting(setting, next) : setting.is_as_planned && h("p", { class: "setting-quiet" }, quietWords(setting, next)),
    setting.is_as_planned && adapterNotice(setting, next),
    setting.cautions.length > 0 && h("p", { class: "setting-caution" }, mark("doubt"), h("span", {}, t("setting-cautions", { tool: setting.title, cautions: listed(setting.cautions.map(cautionWord)) }))),
  ]);
}

function quietWords(setting, next) {
  const set = onTool(setting, setting.set_millinewton_metre);
  const within = withinInWords(setting);
  return set === next.aim_millinewton_metre
    ? t("setting-same", { tool: setting.title, within: within.charAt(0).toLowerCase() + within.slice(1) })
    : t("setting-shows", { tool: setting.title, value: torque(set), within });
}

function loudSetting(setting, next) {
  const set = onTool(setting, setting.set_millinewton_metre);
  const value = h("span", { class: figure(set).length > 5 ? "setting-figure is-long" : "setting-figure" }, h("b", {}, figure(set)), h("span", {}, `\u00a0${unit.symbol}`));
  const fitted = fittedTitle(setting);
  const aim = torque(next.aim_millinewton_metre);
  return h("div", { class: "setting", role: "group", "aria-label": t(setting.is_set ? "setting-has-to-be-set" : "setting-has-to-show", { tool: setting.title }) },
    h("p", { class: "setting-words" }, rich(setting.is_set ? "setting-set" : "setting-read", { tool: setting.title, value })),
    h("p", {}, fitted ? t("setting-for-with", { aim, fitted }) : t("setting-for", { aim })),
    unit.ucum !== "N.m" && h("p", {}, t("setting-own-scale", { value: torque(set, newtonMetre) })),
    h("p", { class: "quiet" }, withinInWords(setting)),
    setting.is_set && setting.is_as_planned && clickedButton(setting, next));
}

// A click tool has no electronics: one touch says what it was set to and that it clicked. It is kept as attested.
function clickedButton(setting, next) {
  const set = onTool(setting, setting.set_millinewton_metre);
  const value = sent(set);
  return button(`clicked ${setting.tool}`, "main", () => act({ act: "enter-reading", tool: setting.tool, value, by: state.who, fastener: next.fastener }),
    t("setting-clicked", { value: torque(set).replace("\u00a0", " ") }));
}

// What has to be put on or taken off, and the touch that says it was done.
function adapterNotice(setting, next) {
  const fit = (adapter) => act({ act: "fit-adapter", tool: setting.tool, adapter, by: state.who });
  if (setting.is_as_planned) {
    return setting.fitted && asksForOffset(next) && h("div", { class: "adapter-row on" }, h("p", {}, mark("joined"), h("span", {}, t("adapter-on", { tool: setting.title, adapter: setting.fitted }))),
      button(`take off ${setting.tool}`, "plain", () => fit(null), t("adapter-off-again")));
  }
  const offers = [
    asksForOffset(next) && button(`fit ${setting.tool}`, "main", () => fit(next.adapter.adapter), t("adapter-is-on")),
    setting.fitted && button(`take off ${setting.tool}`, asksForOffset(next) ? "plain" : "main", () => fit(null), t("adapter-is-off")),
  ];
  return h("div", { class: "adapter-row", role: "group", "aria-label": t("adapter-of", { tool: setting.title }) },
    h("p", {}, mark("apart"), h("span", {}, asksForOffset(next)
      ? rich(setting.fitted ? "adapter-put-on-instead" : "adapter-put-on", { tool: setting.title, adapter: next.adapter.text, fitted: setting.fitted || "" }, BOLD)
      : rich("adapter-take-off", { tool: setting.title, adapter: setting.fitted }, BOLD))),
    h("div", { class: "quick" }, offers));
}

// What the plan says about the adapter, the rule and anything else: beside drive and prep.
export function planDetails(next) {
  const rule = ruleWords(next.rule);
  return [
    next.note && h("p", { class: "notice" }, h("b", {}, capital(next.note))),
    next.adapter && (!next.adapter.is_offset || next.settings.length === 0) && h("p", {}, h("span", { class: "label" }, t("adapter")), h("b", {}, next.adapter.text),
      h("span", {}, next.adapter.is_offset ? t("adapter-changes") : t("adapter-keeps"))),
    rule && h("p", {}, h("span", { class: "label" }, t("rule")), h("b", {}, rule[0]), h("span", {}, rule[1])),
  ];
}
