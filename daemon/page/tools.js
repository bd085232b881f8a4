// The sheet of one tool: what it serves, what is on it, its certificate, its checks against a reference.

import { certificatePlot, pointInWords } from "./charts.js";
import { checkForm, checkingPart, checksPart } from "./checks.js";
import { BOLD, button, h } from "./elements.js";
import { figure, percent, thousandths, torque } from "./figures.js";
import { act } from "./live.js";
import { mark } from "./marks.js";
import { toolInWords } from "./parts.js";
import { byRow, closeSheet } from "./sheet.js";
import { byWhom, isPastDue, serves, state } from "./state.js";
import { rich, t } from "./tongue.js";
import { bikeName, capital, day, listed } from "./words.js";

const findTool = (id) => state.view.tools.find((tool) => tool.tool.id === id);

// What the sheet depends on; nothing if the tool has gone.
export const shownOfTool = (sheet) => findTool(sheet.tool) && [sheet, findTool(sheet.tool), state.view.builds.map((b) => [b.id, b.bike, b.finished])];

export function toolSheet(sheet) {
  const view = findTool(sheet.tool);
  const { tool } = view;
  if (sheet.form === "check") return [h("h2", { id: "sheet-title" }, t("tool-check", { tool: tool.title })), byRow(), checkForm(view)];
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
    view.tool.connection && (Number.isInteger(battery) ? battery <= BATTERY_LOW ? ["under", t("battery-low", { battery })] : ["within", t("battery", { battery })] : ["open", t("battery-unsaid")]),
    view.tool.measures ? measuringHealth(view)
      : !view.tool.certificate ? ["doubt", t("certificate-none")] : isPastDue(view) ? ["over", t("certificate-past", { day: day(due) })]
      : due ? isSoon ? ["undecided", t("certificate-soon", { day: day(due) })] : ["within", t("certificate-due", { day: day(due) })] : ["open", t("certificate-no-date")],
    view.tool.measures ? null : !last ? ["doubt", t("never-checked")]
      : [{ quiet: "within", warns: "undecided", beyond: "over" }[view.check_state], t(`last-check-${view.check_state}`, { day: day(last.time) })],
  ].filter(Boolean);
}

// A tool that measures no torque: what its numbers rest on.
function measuringHealth({ tool, certificate_past: isPast }) {
  const { certificate, accuracy, accuracy_ppm: part } = tool.measures;
  if (certificate) return isPast ? ["over", t("certificate-past", { day: day(certificate.due) })] : ["within", certificate.due ? t("certificate-number-due", { number: certificate.number, day: day(certificate.due) }) : t("certificate-number", { number: certificate.number })];
  return accuracy || part ? ["undecided", t("accuracy-stands-in")] : ["doubt", t("nothing-stated")];
}

function warnings(view) {
  return [
    isPastDue(view) && t("past-due-calibrate", { day: day((view.tool.measures || view.tool).certificate.due) }),
    view.check_state === "beyond" && t("last-check-do-not-use"),
  ].filter(Boolean);
}

const QUANTITY = { um: "length", mg: "mass", mN: "force", Pa: "pressure", mK: "temperature" };

function facts(view) {
  const { tool } = view;
  const of = serves(view);
  const serving = of ? t("tool-serves", { bike: bikeName(of) }) : t("tool-serves-none");
  if (tool.measures) return [capital(toolInWords(view)), t("serial-number", { serial: tool.serial }), t(`tool-measures-${QUANTITY[tool.measures.unit]}`), serving];
  return [
    capital(toolInWords(view)),
    t("serial-number", { serial: tool.serial }),
    tool.lowest_millinewton_metre !== undefined && tool.highest_millinewton_metre !== undefined
      ? t("tool-range", { lowest: figure(tool.lowest_millinewton_metre), highest: torque(tool.highest_millinewton_metre) }) : t("tool-range-none"),
    tool.class ? t("tool-class", { class: tool.class, percent: percent(view.class_ppm) }) : t("tool-class-none", { percent: percent(view.class_ppm) }),
    tool.lever_micrometre ? t("tool-lever", { length: thousandths(tool.lever_micrometre) }) : t("tool-lever-none"),
    serving,
  ];
}

function servePart(view) {
  const open = state.view.builds.filter((build) => !build.finished && build.id !== view.serves);
  return open.length > 0 && h("div", { class: "actions", "data-arrows": true }, open.map((build) => button(`serve ${build.id}`, "main",
    () => act({ act: "assign-tool", tool: view.tool.id, build: build.id, ...byWhom() }, { then: closeSheet }), t("let-it-serve", { bike: bikeName(build) }))));
}

function fittedPart(view) {
  return h("section", { class: "part", "aria-label": t("adapter") },
    h("h3", {}, t("adapter-now")),
    h("p", {}, view.fitted.is_offset ? t("fitted-offset", { adapter: capital(view.fitted.text) }) : t("fitted-in-line", { adapter: capital(view.fitted.text) })),
    button(`take off ${view.tool.id}`, "plain", () => act({ act: "fit-adapter", tool: view.tool.id, adapter: null, by: state.who }), t("adapter-off-again")));
}

function certificatePart(view) {
  const { certificate } = view.tool;
  if (!certificate) {
    return h("section", { class: "part" }, h("h3", {}, t("certificate")),
      h("p", { class: "caution" }, t("certificate-class-limit", { percent: percent(view.class_ppm) })));
  }
  const isPast = isPastDue(view);
  const { points } = certificate;
  return h("section", { class: "part", "aria-label": t("certificate") },
    h("h3", {}, t("certificate-number", { number: certificate.number })),
    h("p", {}, rich(isPast ? "certificate-was-due" : "certificate-of", { laboratory: certificate.laboratory, date: day(certificate.date), due: day(certificate.due) }, BOLD)),
    h("p", { class: "quiet" }, listed([certificate.method, certificate.conditions, certificate.state, certificate.direction])),
    points?.length > 0
      ? [certificatePlot(certificate, view.class_ppm), pointsTable(points)]
      : h("p", { class: "caution" }, t("certificate-no-points", { percent: percent(view.class_ppm) })));
}

function pointsTable(points) {
  const row = (cell, words) => h("tr", {}, words.map((word) => h(cell, cell === "th" ? { scope: "col" } : {}, word)));
  return h("details", { class: "points" }, h("summary", { "data-key": "points" }, t("certificate-points")),
    h("table", {}, h("thead", {}, row("th", [t("point-reference"), t("point-display"), t("point-uncertainty")])), h("tbody", {}, points.map((point) => row("td", pointInWords(point))))));
}
