// The sheet of one tool: what it serves, what is on it, its certificate, its checks against a reference.

import { certificatePlot, pointInWords } from "./charts.js";
import { CHECK_STATE, checkForm, checkingPart, checksPart } from "./checks.js";
import { button, h } from "./elements.js";
import { act } from "./live.js";
import { mark } from "./marks.js";
import { toolInWords } from "./parts.js";
import { byRow, closeSheet } from "./sheet.js";
import { byWhom, isPastDue, serves, state } from "./state.js";
import { bikeName, capital, day, newtonMetres, percent, torque } from "./words.js";

const findTool = (id) => state.view.tools.find((tool) => tool.tool.id === id);

// What the sheet depends on; nothing if the tool has gone.
export const shownOfTool = (sheet) => findTool(sheet.tool) && [sheet, findTool(sheet.tool), state.view.builds.map((b) => [b.id, b.bike, b.finished])];

export function toolSheet(sheet) {
  const view = findTool(sheet.tool);
  const { tool } = view;
  if (sheet.form === "check") return [h("h2", { id: "sheet-title" }, `Check ${tool.title}`), byRow(), checkForm(view)];
  return [
    h("h2", { id: "sheet-title" }, tool.title),
    warnings(view).map((words) => h("p", { class: "loud" }, mark("over"), h("span", {}, words))),
    h("ul", { class: "health" }, health(view).map(([name, words]) => h("li", { class: `is-${name}` }, mark(name), h("span", {}, words)))),
    h("ul", { class: "plain-list" }, facts(view).map((line) => h("li", {}, line))),
    byRow(),
    view.checking && checkingPart(view),
    servePart(view),
    !view.tool.measures && [view.fitted && fittedPart(view), certificatePart(view), checksPart(view)],
  ];
}

const SOON_DAYS = 30;
const BATTERY_LOW = 20;

// Battery, certificate and last check: how they stand by mark and word.
function health(view) {
  const battery = view.battery_percent;
  const due = view.tool.certificate?.due;
  const last = view.checks.at(-1);
  const isSoon = due && (Date.parse(due) - Date.now()) / 86_400_000 < SOON_DAYS;
  return [
    view.tool.connection && (Number.isInteger(battery) ? [battery <= BATTERY_LOW ? "under" : "within", `Battery ${battery}\u00a0%${battery <= BATTERY_LOW ? ": nearly empty" : ""}`] : ["open", "Battery: it does not say"]),
    view.tool.measures ? measuringHealth(view)
      : !view.tool.certificate ? ["doubt", "No certificate on file"] : isPastDue(view) ? ["over", `Certificate past due since ${due}`]
      : due ? [isSoon ? "undecided" : "within", `Certificate due ${due}${isSoon ? ": soon" : ""}`] : ["open", "Certificate: no due date stated"],
    view.tool.measures ? null : !last ? ["doubt", "Never checked against a reference"]
      : [{ quiet: "within", warns: "undecided", beyond: "over" }[view.check_state], `Last check ${day(last.time)}: ${{ quiet: "well inside its limit", warns: "drifting", beyond: "beyond its limit" }[view.check_state]}`],
  ].filter(Boolean);
}

// A tool that measures no torque: what its numbers rest on.
function measuringHealth({ tool, certificate_past: isPast }) {
  const { certificate, accuracy, accuracy_ppm: part } = tool.measures;
  if (certificate) return isPast ? ["over", `Certificate past due since ${certificate.due}`] : ["within", `Certificate ${certificate.number}${certificate.due ? `, due ${certificate.due}` : ""}`];
  return accuracy || part ? ["undecided", "No certificate on file: its stated accuracy stands in"] : ["doubt", "Nothing states how good it is"];
}

function warnings(view) {
  return [
    isPastDue(view) && `Past due since ${(view.tool.measures || view.tool).certificate.due}: have it calibrated`,
    view.check_state === "beyond" && `The last check: ${lowered(CHECK_STATE.beyond[1])}`,
  ].filter(Boolean);
}
const lowered = (text) => text.charAt(0).toLowerCase() + text.slice(1);

const QUANTITY = { um: "lengths", mg: "masses", mN: "forces", Pa: "pressures", mK: "temperatures" };

function facts(view) {
  const { tool } = view;
  const of = serves(view);
  const serving = of ? `Serves ${bikeName(of)}` : "Serves no build";
  if (tool.measures) return [capital(toolInWords(view)), `Serial number ${tool.serial}`, `Measures ${QUANTITY[tool.measures.unit]}`, serving];
  return [
    capital(toolInWords(view)),
    `Serial number ${tool.serial}`,
    tool.lowest_millinewton_metre !== undefined && tool.highest_millinewton_metre !== undefined
      ? `Range ${newtonMetres(tool.lowest_millinewton_metre)} to ${torque(tool.highest_millinewton_metre)}` : "No range stated",
    `${tool.class ? `Class ${tool.class}` : "Class not stated"}: may be off by ${percent(view.class_ppm)}`,
    tool.lever_micrometre ? `Lever ${newtonMetres(tool.lever_micrometre)}\u00a0mm, from the drive to the hand` : "Lever not on file: offset adapters cannot be reckoned with",
    serving,
  ];
}

function servePart(view) {
  const open = state.view.builds.filter((build) => !build.finished && build.id !== view.serves);
  return open.length > 0 && h("div", { class: "actions", "data-arrows": true }, open.map((build) => button(`serve ${build.id}`, "main",
    () => act({ act: "assign-tool", tool: view.tool.id, build: build.id, ...byWhom() }, { then: closeSheet }), `Let it serve ${bikeName(build)}`)));
}

function fittedPart(view) {
  return h("section", { class: "part", "aria-label": "Adapter" },
    h("h3", {}, "On it now"),
    h("p", {}, capital(view.fitted.text), view.fitted.is_offset ? ". It changes the torque, and every reading is converted." : ". It is in line, and changes nothing."),
    button(`take off ${view.tool.id}`, "plain", () => act({ act: "fit-adapter", tool: view.tool.id, adapter: null, by: state.who }), "It is off again"));
}

function certificatePart(view) {
  const { certificate } = view.tool;
  if (!certificate) {
    return h("section", { class: "part" }, h("h3", {}, "Certificate"),
      h("p", { class: "caution" }, `No calibration certificate on file: the class limit, ${percent(view.class_ppm)}, stands in.`));
  }
  const isPast = isPastDue(view);
  const { points } = certificate;
  return h("section", { class: "part", "aria-label": "Certificate" },
    h("h3", {}, `Certificate ${certificate.number}`),
    h("p", {}, `${certificate.laboratory}, ${certificate.date}; `, isPast ? h("b", {}, `was due ${certificate.due}`) : `due ${certificate.due}`),
    h("p", { class: "quiet" }, [certificate.method, certificate.conditions, certificate.state, certificate.direction].filter(Boolean).join("; ")),
    points?.length > 0
      ? [certificatePlot(certificate, view.class_ppm), pointsTable(points)]
      : h("p", { class: "caution" }, `Its points are not on file: the class limit, ${percent(view.class_ppm)}, stands in.`));
}

function pointsTable(points) {
  const row = (cell, words) => h("tr", {}, words.map((word) => h(cell, cell === "th" ? { scope: "col" } : {}, word)));
  return h("details", { class: "points" }, h("summary", { "data-key": "points" }, "Its points in figures"),
    h("table", {}, h("thead", {}, row("th", ["Reference", "Display", "Expanded uncertainty"])), h("tbody", {}, points.map((point) => row("td", pointInWords(point))))));
}
