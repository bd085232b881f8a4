// Another edition of the plan: what it would mean is shown first, then it is asked why.

import { button, h } from "./elements.js";
import { chooseFile, form, lines, typed } from "./forms.js";
import { act, ask } from "./live.js";
import { mark } from "./marks.js";
import { redraw, refuse, state } from "./state.js";
import { buildPath } from "./story.js";
import { capital, count } from "./words.js";

const LARGEST_PLAN = 1024 * 1024;

let edition = null; // {build, name, text, about, view, problem}: the file that was chosen, and what the daemon says of it

// What the sheet depends on. What is said holds for the bench as it was when it was asked.
export function shownOfEdition(build) {
  if (edition?.build !== build.id) return null;
  const about = String(state.view.sequence);
  if (edition.about !== about) {
    const mine = Object.assign(edition, { about });
    ask(`${buildPath(build.id)}/plan/difference`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ plan: mine.text }) })
      .then(({ ok, body, status }) => { mine.view = ok ? body : null; mine.problem = ok ? null : body || { detail: `The daemon answered with status ${status}.` }; },
        () => { mine.problem = { detail: "No answer from the daemon." }; })
      .then(() => { if (edition === mine) redraw(); });
  }
  return [edition.name, edition.view, edition.problem];
}

export function editionPart(build, back, done) {
  const choose = () => chooseFile(".toml,application/toml,text/plain", null, async (file) => {
    if (file.size > LARGEST_PLAN) return refuse(`${file.name} is too large for a plan.`);
    edition = { build: build.id, name: file.name, text: await file.text(), about: null, view: null, problem: null };
    return redraw();
  });
  const chosen = edition?.build === build.id ? edition : null;
  return [
    h("h3", {}, "Another edition of the plan"),
    h("p", {}, `Held to ${build.plan}, edition ${build.edition}. Choose the file of the other edition: what it would mean is shown first, and nothing is changed.`),
    button("choose plan", chosen ? "plain" : "main", choose, chosen ? "Choose another file" : "Choose the plan file"),
    chosen?.problem && problemPart(chosen),
    chosen?.view ? [differencePart(chosen), changeForm(build, back, done)] : button("back", "plain wide", back, "Back"),
  ];
}

function problemPart({ name, problem }) {
  return h("section", { class: "part", "aria-label": "What speaks against it" },
    h("p", { class: "caution" }, h("b", {}, `${name}: `), problem.detail),
    h("ul", { class: "plain-list" }, (problem.findings || []).map((finding) => h("li", {}, `Line ${finding.line}: ${finding.what}. ${finding.advice}`))));
}

function differencePart({ name, view }) {
  const { before, now, differences, judged, again, dropped } = view;
  const alarms = judged.filter((row) => row.alarm).length;
  return h("section", { class: "part difference", "aria-label": "What it would mean" },
    h("h3", {}, `${name}: ${now.title}, edition ${now.edition}`),
    h("p", {}, `In the place of edition ${before.edition}.`),
    alarms > 0 && h("p", { class: "loud" }, mark("over"), h("span", {}, `${count(alarms, "reading is", "readings are")} over after it: ${alarms === 1 ? "it raises" : "they raise"} the over alarm.`)),
    listed("What is different", differences, (row) => capital(row.text), "Nothing that the page shows."),
    listed("Judged again", judged, (row) => [h("b", {}, `${row.title}: `), `${row.before || "not judged"} before, ${row.now} now${row.alarm ? ", raises the over alarm" : ""}`]),
    listed("Has to be done again", again, (title) => title),
    listed("No longer in the plan; its readings stay and no longer count", dropped, (title) => title));
}

function listed(title, rows, words, none) {
  if (rows.length === 0 && !none) return null;
  return [h("p", { class: "label" }, title), rows.length === 0 ? h("p", {}, none) : h("ul", { class: "plain-list" }, rows.map((row) => h("li", {}, words(row))))];
}

function changeForm(build, back, done) {
  const key = `edition ${build.id}`;
  const send = () => {
    const reason = typed(key);
    if (!reason) return refuse("Write why the plan is changed: it stands in the record.");
    return act({ act: "change-plan", build: build.id, plan: edition.text, by: state.who, reason }, { forget: [key], then: () => { edition = null; done(); } });
  };
  return form(key, "Change to this edition", send, back, lines(key, "Why? (needed)"));
}
