// What is looked at again after a bike was handed over: what is due now, what waits, what is done; and the service that does it.

import { button, h } from "./elements.js";
import { form, line, lines, typed } from "./forms.js";
import { act, ask } from "./live.js";
import { mark } from "./marks.js";
import { byRow, openSheet } from "./sheet.js";
import { choose, redraw, refuse, state } from "./state.js";
import { t } from "./tongue.js";
import { bikeName, day } from "./words.js";

const known = { about: null, list: null, failed: false };
const MARKS = { due: "held", waiting: "open", done: "within" };

// What the sheet depends on: asked anew when something has happened.
export function shownOfDue(sheet) {
  const about = String(state.view.sequence);
  if (known.about !== about) {
    known.about = about;
    ask("/v1/due").then(({ ok, body }) => answered(about, ok ? body : null), () => answered(about, null));
  }
  return [sheet, known.list, known.failed];
}

function answered(about, list) {
  if (known.about !== about) return;
  known.failed = list === null;
  if (list) known.list = list;
  redraw();
}

const find = ({ build, due }) => known.list?.find((one) => one.build === build && one.id === due);
const to = (form, one) => () => openSheet({ kind: "due", form, ...(one && { build: one.build, due: one.id }) });
const menu = to();

export function dueSheet(sheet) {
  const one = sheet.form && find(sheet);
  const made = { done: doneForm, undo: undoForm, ridden: riddenForm }[sheet.form];
  return [
    h("h2", { id: "sheet-title" }, t("due")),
    made && one ? [byRow(), made(one)] : list(),
  ];
}

function list() {
  return [
    h("p", {}, t("due-what")),
    known.failed && h("p", { class: "caution" }, t("no-answer")),
    !known.list && !known.failed && h("p", {}, t("asking")),
    known.list?.length === 0 && h("p", {}, t("due-nothing")),
    known.list?.length > 0 && byRow(),
    h("ul", { class: "parts" }, (known.list || []).map(row)),
    known.list?.some((one) => one.on && one.standing !== "done") && h("p", { class: "links" }, h("a", { href: "/v1/due.ics", download: "due.ics", "data-key": "calendar" }, t("due-calendar"))),
  ];
}

function row(one) {
  const key = `${one.build} ${one.id}`;
  const isDone = one.standing === "done";
  const service = one.in_build && !isDone;
  return h("li", {},
    mark(MARKS[one.standing]),
    h("div", { class: "story-text" },
      h("p", {}, h("b", {}, t("due-row", { standing: t(`due-${one.standing}`), title: one.title }))),
      h("p", {}, [bikeName(one), isDone ? doneInWords(one) : whenInWords(one)].join(", ")),
      h("p", { class: "quiet" }, one.fasteners.map(({ title }) => title).join(", ") || t("due-whole"), one.source && ` (${one.source})`),
      service && h("p", {}, t("due-in-service", { build: one.in_build }))),
    isDone
      ? one.done_by && button(`due undo ${key}`, "plain", to("undo", one), t("due-undo-ask"))
      : h("div", { class: "actions", "data-arrows": true },
        button(`due done ${key}`, "plain", to("done", one), t("due-done-ask")),
        one.kilometres && button(`due ridden ${key}`, "plain", to("ridden", one), t("due-ridden-ask")),
        !service && button(`due service ${key}`, "plain", () => begin(one), t("due-service-ask"))));
}

const doneInWords = (one) => (one.done_by ? t("due-done-by", { name: one.done_by }) : t("due-done-in", { build: one.in_build }));

function whenInWords(one) {
  const left = one.days_left;
  const on = one.on && (left === 0 ? t("due-today") : left > 0 ? t("due-on", { day: day(one.on), n: left }) : t("due-since", { day: day(one.on), n: -left }));
  const far = one.kilometres && (one.ridden === null ? t("due-far", { far: one.kilometres }) : t("due-far-gone", { far: one.kilometres, gone: one.ridden }));
  return on && far ? t("due-or", { on, far }) : on || far;
}

function doneForm(one) {
  const key = `due-found ${one.build} ${one.id}`;
  const send = () => act({ act: "tell-due", build: one.build, due: one.id, done: true, by: state.who, reason: typed(key) || null }, { forget: [key], then: menu });
  return form(key, t("due-done-send"), send, menu, h("h3", {}, one.title), lines(key, t("due-found")));
}

function undoForm(one) {
  const key = `due-undone ${one.build} ${one.id}`;
  const send = () => {
    if (!typed(key)) return refuse(t("write-reason"));
    return act({ act: "tell-due", build: one.build, due: one.id, done: false, by: state.who, reason: typed(key) }, { forget: [key], then: menu });
  };
  return form(key, t("due-undo-send"), send, menu, h("h3", {}, one.title), lines(key, t("reason-needed"), { required: true }));
}

function riddenForm(one) {
  const key = `due-gone ${one.build}`;
  const send = () => {
    const text = typed(key);
    if (!/^\d{1,6}$/.test(text)) return refuse(t("due-ridden-number"));
    return act({ act: "tell-ridden", build: one.build, kilometres: Number(text), by: state.who }, { forget: [key], then: menu });
  };
  return form(key, t("due-ridden-send"), send, menu, h("h3", {}, bikeName(one)), line(key, t("due-ridden-label"), { inputmode: "numeric", maxlength: 6 }));
}

// Which build a service goes on from: by the day on which that was handed over, where the bench still shows it.
export function earlierInWords({ follows }) {
  if (!follows) return "";
  const earlier = state.view.builds.find((build) => build.id === follows);
  return earlier?.finished ? t("service-after", { day: day(earlier.finished), build: follows }) : t("service-after-build", { build: follows });
}

const begin = (one) => beginService(one.build, one.bike, [one.id]);

// A service goes on from the earlier build: its plan is what is due of the earlier one's; all of it where nothing is named.
export async function beginService(build, bike, due) {
  const path = `/v1/builds/${encodeURIComponent(build)}/service-plan${due.length > 0 ? `?due=${due.map(encodeURIComponent).join(",")}` : ""}`;
  const plan = await fetch(path, { cache: "no-store" }).then((answer) => (answer.ok ? answer.text() : null), () => null);
  if (plan === null) { refuse(t("no-answer")); redraw(); return; }
  await act({ act: "start-build", bike, plan, by: state.who, follows: build, due }, { then: (done) => {
    state.sheet = null;
    if (done?.build) choose(done.build);
  } });
}
