// What happened to a build or at one fastener, entry after entry, and how an act is taken back.

import { BOLD, button, h } from "./elements.js";
import { form, lines, typed } from "./forms.js";
import { act, ask } from "./live.js";
import { problemSaid, sentenceSaid } from "./said.js";
import { openSheet } from "./sheet.js";
import { redraw, refuse, state } from "./state.js";
import { rich, t } from "./tongue.js";
import { capital, moment } from "./words.js";

let asked = null; // {about, path, rows, trouble}: what was asked for last

export const buildPath = (build) => `/v1/builds/${encodeURIComponent(build)}`;
const pathOf = (build, fastener) => `${buildPath(build)}${fastener ? `/fasteners/${encodeURIComponent(fastener)}` : ""}/history`;

// The rows; while they are asked for, those from before.
export function storyOf(build, fastener) {
  const path = pathOf(build, fastener);
  const about = `${path} ${state.view.sequence}`;
  if (asked?.about !== about) {
    const mine = { about, path, rows: asked?.path === path ? asked.rows : null, trouble: null };
    asked = mine;
    ask(path).then((answer) => {
      if (answer.ok) mine.rows = answer.body; else mine.trouble = problemSaid(answer);
    }, () => { mine.trouble = t("no-answer"); }).then(() => { if (asked === mine) redraw(); });
  }
  return [asked.rows, asked.trouble];
}

export function storyPart(sheet, build, fastener) {
  const [rows, trouble] = storyOf(build.id, fastener);
  return h("section", { class: "part", "aria-label": t("what-happened") },
    h("h3", {}, t("what-happened-newest")),
    trouble && h("p", { class: "caution" }, trouble),
    rows?.length === 0 && h("p", { class: "quiet" }, t("nothing-yet")),
    rows && h("ol", { class: "story" }, [...rows].reverse().map((row) => h("li", {}, storyRow(sheet, row)))));
}

function storyRow(sheet, row) {
  const { withdrawn } = row;
  const text = capital(sentenceSaid(row.text));
  return [
    h("div", { class: "story-text" },
      withdrawn ? h("p", {}, h("s", {}, text)) : h("p", {}, text),
      h("p", { class: "quiet" }, [moment(row.time), row.by, t("entry", { entry: row.sequence })].filter(Boolean).join(", ")),
      withdrawn && h("p", { class: "taken-back" }, rich(withdrawn.reason ? "taken-back-because" : "taken-back", { by: withdrawn.by, moment: moment(withdrawn.time), reason: withdrawn.reason || "" }, BOLD))),
    row.photo && !withdrawn && thumbnail(row.photo, sentenceSaid(row.text)),
    row.withdrawable && button(`take back ${row.sequence}`, "plain", () => openSheet({ ...sheet, form: "take-back", entry: row.sequence, from: sheet.form }), t("take-back-ask")),
  ];
}

export const thumbnail = (sha256, words) => h("a", { class: "thumb", href: `/v1/photos/${sha256}`, target: "_blank", rel: "noopener", "data-key": `photo ${sha256}`, "aria-label": t("photo-label", { words: words || t("photo-no-words") }) },
  h("img", { src: `/v1/photos/${sha256}`, alt: "", loading: "lazy" }));

// What follows from taking it back, where that is not plain.
const AFTER = { loosened: t("after-loosened"), "part-swapped": t("after-part-swapped"), disposed: t("after-disposed"), noted: t("after-noted") };

// The form that takes an act back, and where it leads when it is done.
export function takeBackForm(sheet, build, fastener) {
  const back = () => openSheet({ ...sheet, form: sheet.from, entry: undefined, from: undefined });
  const row = storyOf(build.id, fastener)[0]?.find((known) => known.sequence === sheet.entry);
  const key = `take back ${build.id} ${sheet.entry}`;
  const send = () => {
    const reason = typed(key);
    if (!reason) return refuse(t("take-back-write-why"));
    return act({ act: "withdraw", build: build.id, entry: sheet.entry, by: state.who, reason }, { forget: [key], then: back });
  };
  return [
    h("h3", {}, t("take-back-title")),
    row && h("p", { class: "quoted" }, h("b", {}, capital(sentenceSaid(row.text))), h("span", { class: "quiet" }, [row.by, moment(row.time)].filter(Boolean).join(", "))),
    h("p", {}, t("take-back-stays", { after: AFTER[row?.kind] || "" })),
    form(key, t("take-back"), send, back,
      lines(key, t("why-needed"), { quick: [t("quick-wrong-fastener"), t("quick-wrong-build"), t("quick-mistake")] })),
  ];
}
