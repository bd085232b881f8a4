// Another edition of the plan: what it would mean is shown first, then it is asked why.

import { BOLD, button, h } from "./elements.js";
import { chooseFile, form, lines, typed } from "./forms.js";
import { act, ask } from "./live.js";
import { mark } from "./marks.js";
import { problemSaid, sentenceSaid } from "./said.js";
import { redraw, refuse, state } from "./state.js";
import { buildPath } from "./story.js";
import { rich, t } from "./tongue.js";
import { answerWord, capital } from "./words.js";

const LARGEST_PLAN = 1024 * 1024;

let edition = null; // {build, name, text, about, view, problem}: the file that was chosen, and what the daemon says of it

// What the sheet depends on. What is said holds for the bench as it was when it was asked.
export function shownOfEdition(build) {
  if (edition?.build !== build.id) return null;
  const about = String(state.view.sequence);
  if (edition.about !== about) {
    const mine = Object.assign(edition, { about });
    ask(`${buildPath(build.id)}/plan/difference`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ plan: mine.text }) })
      .then((answer) => { mine.view = answer.ok ? answer.body : null; mine.problem = answer.ok ? null : { findings: answer.body?.findings, detail: problemSaid(answer) }; },
        () => { mine.problem = { detail: t("no-answer") }; })
      .then(() => { if (edition === mine) redraw(); });
  }
  return [edition.name, edition.view, edition.problem];
}

export function editionPart(build, back, done) {
  const choose = () => chooseFile(".toml,application/toml,text/plain", null, async (file) => {
    if (file.size > LARGEST_PLAN) return refuse(t("plan-too-large", { file: file.name }));
    edition = { build: build.id, name: file.name, text: await file.text(), about: null, view: null, problem: null };
    return redraw();
  });
  const chosen = edition?.build === build.id ? edition : null;
  return [
    h("h3", {}, t("edition-title")),
    h("p", {}, t("edition-what", { plan: build.plan, edition: build.edition })),
    button("choose plan", chosen ? "plain" : "main", choose, chosen ? t("edition-choose-other") : t("edition-choose")),
    chosen?.problem && problemPart(chosen),
    chosen?.view ? [differencePart(chosen), changeForm(build, back, done)] : button("back", "plain wide", back, t("back")),
  ];
}

function problemPart({ name, problem }) {
  return h("section", { class: "part", "aria-label": t("edition-against") },
    h("p", { class: "caution" }, rich("edition-problem", { file: name, problem: problem.detail }, BOLD)),
    h("ul", { class: "plain-list" }, (problem.findings || []).map((finding) => h("li", {}, t("finding-line", { line: finding.line, what: finding.what, advice: finding.advice })))));
}

function differencePart({ name, view }) {
  const { before, now, differences, judged, again, dropped } = view;
  const alarms = judged.filter((row) => row.alarm).length;
  return h("section", { class: "part difference", "aria-label": t("edition-mean") },
    h("h3", {}, t("edition-name", { file: name, plan: now.title, edition: now.edition })),
    h("p", {}, t("edition-before", { edition: before.edition })),
    alarms > 0 && h("p", { class: "loud" }, mark("over"), h("span", {}, t("edition-alarms", { n: alarms }))),
    listed(t("edition-different"), differences, (row) => capital(sentenceSaid(row.text)), t("edition-same")),
    listed(t("edition-judged"), judged, (row) => rich(row.alarm ? "edition-judged-alarm" : "edition-judged-row", { title: row.title, before: row.before ? answerWord(row.before) : t("not-judged"), now: answerWord(row.now) }, BOLD)),
    listed(t("edition-again"), again, (title) => title),
    listed(t("edition-dropped"), dropped, (title) => title));
}

function listed(title, rows, words, none) {
  if (rows.length === 0 && !none) return null;
  return [h("p", { class: "label" }, title), rows.length === 0 ? h("p", {}, none) : h("ul", { class: "plain-list" }, rows.map((row) => h("li", {}, words(row))))];
}

function changeForm(build, back, done) {
  const key = `edition ${build.id}`;
  const send = () => {
    const reason = typed(key);
    if (!reason) return refuse(t("edition-write-why"));
    return act({ act: "change-plan", build: build.id, plan: edition.text, by: state.who, reason }, { forget: [key], then: () => { edition = null; done(); } });
  };
  return form(key, t("edition-change"), send, back, lines(key, t("why-needed")));
}
