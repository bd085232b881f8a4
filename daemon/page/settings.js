// What a wrench has to show, or to be set to, for the torque wanted at the fastener; and what has to be on it for that.

import { button, h } from "./elements.js";
import { act } from "./live.js";
import { mark } from "./marks.js";
import { state } from "./state.js";
import { CAUTION, RULE, capital, newtonMetres, torque } from "./words.js";

// From a hundredth on, a wrench pulled to the fastener's torque may be out of spec: then its own figure comes first.
const LOUD = 100;

const isOff = (setting, next) => Math.abs(setting.set_millinewton_metre - next.aim_millinewton_metre) * LOUD >= next.aim_millinewton_metre;

// Whether a tool's own figure has to be read or set in the place of the fastener's.
const isLoud = (setting, next) => setting.is_set || isOff(setting, next);

// Whether the tools' part comes before the torque at the fastener: who follows that figure with the wrong thing on the
// wrench, or reads it on a wrench that has to show another, is out of spec.
export const comesFirst = (next) => next.settings.some((setting) => isLoud(setting, next) || !setting.is_as_planned);

const asksForOffset = (next) => Boolean(next.adapter?.is_offset);

// A figure to the steps in which the tool shows it; an end of a range is moved inwards.
function onTool(setting, milli, round = Math.round) {
  const resolution = state.view.tools.find((tool) => tool.tool.id === setting.tool)?.tool.resolution_millinewton_metre || 10;
  return newtonMetres(round(milli / resolution) * resolution);
}

const fittedTitle = (setting) => state.view.tools.find((tool) => tool.tool.id === setting.tool)?.fitted?.adapter.title;

function withinInWords(setting) {
  const { from_millinewton_metre: from, to_millinewton_metre: to } = setting;
  if (to === null) return "No value can be shown to be within.";
  const high = onTool(setting, to, Math.floor);
  return from === null ? `Within up to ${high}\u00a0N·m on it.` : `Within from ${onTool(setting, from, Math.ceil)} to ${high}\u00a0N·m on it.`;
}

export function settingsPart(next) {
  return next.settings.map((setting) => [
    !setting.is_as_planned && adapterNotice(setting, next),
    isLoud(setting, next) ? loudSetting(setting, next) : setting.is_as_planned && h("p", { class: "setting-quiet" }, quietWords(setting, next)),
    setting.is_as_planned && adapterNotice(setting, next),
    setting.cautions.length > 0 && h("p", { class: "setting-caution" }, mark("doubt"), h("span", {}, `${setting.title}: ${setting.cautions.map((caution) => CAUTION[caution] || caution).join("; ")}`)),
  ]);
}

function quietWords(setting, next) {
  const isSame = onTool(setting, setting.set_millinewton_metre) === newtonMetres(next.aim_millinewton_metre);
  return `${isSame ? `${setting.title}: ` : `${setting.title} shows ${onTool(setting, setting.set_millinewton_metre)}\u00a0N·m there. `}${isSame ? withinInWords(setting).replace("Within", "within") : withinInWords(setting)}`;
}

function loudSetting(setting, next) {
  const figure = h("span", { class: "setting-figure" }, h("b", {}, onTool(setting, setting.set_millinewton_metre)), h("span", {}, "\u00a0N·m"));
  return h("div", { class: "setting", role: "group", "aria-label": `What ${setting.title} has to ${setting.is_set ? "be set to" : "show"}` },
    h("p", { class: "setting-words" }, setting.is_set ? [`Set ${setting.title} to `, figure] : ["Read ", figure, ` on ${setting.title}`]),
    h("p", {}, `for ${torque(next.aim_millinewton_metre)} at the fastener${fittedTitle(setting) ? `, with ${fittedTitle(setting)}` : ""}`),
    h("p", { class: "quiet" }, withinInWords(setting)),
    setting.is_set && setting.is_as_planned && clickedButton(setting, next));
}

// A click tool has no electronics: one touch says what it was set to and that it clicked. It is kept as attested.
function clickedButton(setting, next) {
  const value = `${onTool(setting, setting.set_millinewton_metre)} N·m`;
  return button(`clicked ${setting.tool}`, "main", () => act({ act: "enter-reading", tool: setting.tool, value, by: state.who, fastener: next.fastener }),
    `Set to ${value}, clicked`);
}

// What has to be put on or taken off, and the touch that says it was done.
function adapterNotice(setting, next) {
  const fit = (adapter) => act({ act: "fit-adapter", tool: setting.tool, adapter, by: state.who });
  if (setting.is_as_planned) {
    return setting.fitted && asksForOffset(next) && h("div", { class: "adapter-row on" }, h("p", {}, mark("joined"), h("span", {}, `On ${setting.title}: ${setting.fitted}`)),
      button(`take off ${setting.tool}`, "plain", () => fit(null), "It is off again"));
  }
  const offers = [
    asksForOffset(next) && button(`fit ${setting.tool}`, "main", () => fit(next.adapter.adapter), "It is on"),
    setting.fitted && button(`take off ${setting.tool}`, asksForOffset(next) ? "plain" : "main", () => fit(null), "It is off"),
  ];
  return h("div", { class: "adapter-row", role: "group", "aria-label": `Adapter of ${setting.title}` },
    h("p", {}, mark("apart"), h("span", {}, asksForOffset(next)
      ? [h("b", {}, `Put on ${setting.title}: `), next.adapter.text, setting.fitted ? `. On it now: ${setting.fitted}` : ""]
      : [h("b", {}, `Take off ${setting.title}: `), setting.fitted])),
    h("div", { class: "quick" }, offers));
}

// What the plan says about the adapter, the rule and anything else: beside drive and prep.
export function planDetails(next) {
  return [
    next.note && h("p", { class: "notice" }, h("b", {}, capital(next.note))),
    next.adapter && (!next.adapter.is_offset || next.settings.length === 0) && h("p", {}, h("span", { class: "label" }, "Adapter"), h("b", {}, next.adapter.text),
      h("span", {}, next.adapter.is_offset ? "it changes the torque" : "the torque stays the same: set and read as without it")),
    RULE[next.rule] && h("p", {}, h("span", { class: "label" }, "Rule"), h("b", {}, next.rule), h("span", {}, RULE[next.rule])),
  ];
}
