// What happened to a build or at one fastener, entry after entry, and how an act is taken back.

import { button, h } from "./elements.js";
import { form, lines, typed } from "./forms.js";
import { act, ask } from "./live.js";
import { openSheet } from "./sheet.js";
import { redraw, refuse, state } from "./state.js";
import { capital, clock, day } from "./words.js";

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
    ask(path).then(({ ok, body, status }) => {
      if (ok) mine.rows = body; else mine.trouble = body?.detail || `The daemon answered with status ${status}.`;
    }, () => { mine.trouble = "No answer from the daemon."; }).then(() => { if (asked === mine) redraw(); });
  }
  return [asked.rows, asked.trouble];
}

export function storyPart(sheet, build, fastener) {
  const [rows, trouble] = storyOf(build.id, fastener);
  return h("section", { class: "part", "aria-label": "What happened" },
    h("h3", {}, "What happened, the newest first"),
    trouble && h("p", { class: "caution" }, trouble),
    rows?.length === 0 && h("p", { class: "quiet" }, "Nothing yet."),
    rows && h("ol", { class: "story" }, [...rows].reverse().map((row) => h("li", {}, storyRow(sheet, row)))));
}

function storyRow(sheet, row) {
  const { withdrawn } = row;
  return [
    h("div", { class: "story-text" },
      withdrawn ? h("p", {}, h("s", {}, capital(row.text))) : h("p", {}, capital(row.text)),
      h("p", { class: "quiet" }, [`${day(row.time)} ${clock(row.time)}`, row.by, `entry ${row.sequence}`].filter(Boolean).join(", ")),
      withdrawn && h("p", { class: "taken-back" }, h("b", {}, `Taken back by ${withdrawn.by}`), `, ${day(withdrawn.time)} ${clock(withdrawn.time)}`, withdrawn.reason && `: ${withdrawn.reason}`)),
    row.photo && !withdrawn && thumbnail(row.photo, row.text),
    row.withdrawable && button(`take back ${row.sequence}`, "plain", () => openSheet({ ...sheet, form: "take-back", entry: row.sequence, from: sheet.form }), "Take back…"),
  ];
}

export const thumbnail = (sha256, words) => h("a", { class: "thumb", href: `/v1/photos/${sha256}`, target: "_blank", rel: "noopener", "data-key": `photo ${sha256}`, "aria-label": `Photograph: ${words || "no words"}. Opens in a new tab` },
  h("img", { src: `/v1/photos/${sha256}`, alt: "", loading: "lazy" }));

// What follows from taking it back, where that is not plain.
const AFTER = {
  loosened: "What it undid counts again, an over reading too.",
  "part-swapped": "The part from before is the one that is on, and what the swap undid counts again, an over reading too.",
  disposed: "The over reading asks for a decision again.",
  noted: "It is no longer shown among the notes; the bytes of a photograph stay with their entry.",
};

// The form that takes an act back, and where it leads when it is done.
export function takeBackForm(sheet, build, fastener) {
  const back = () => openSheet({ ...sheet, form: sheet.from, entry: undefined, from: undefined });
  const row = storyOf(build.id, fastener)[0]?.find((known) => known.sequence === sheet.entry);
  const key = `take back ${build.id} ${sheet.entry}`;
  const send = () => {
    const reason = typed(key);
    if (!reason) return refuse("Write why it is taken back: it stays in the history, and the reason beside it.");
    return act({ act: "withdraw", build: build.id, entry: sheet.entry, by: state.who, reason }, { forget: [key], then: back });
  };
  return [
    h("h3", {}, "Take this back?"),
    row && h("p", { class: "quoted" }, h("b", {}, capital(row.text)), h("span", { class: "quiet" }, [row.by, `${day(row.time)} ${clock(row.time)}`].filter(Boolean).join(", "))),
    h("p", {}, `It stays in the history, struck through. ${AFTER[row?.kind] || ""}`),
    form(key, "Take it back", send, back,
      lines(key, "Why? (needed)", { quick: ["wrong fastener", "wrong build", "touched by mistake"] })),
  ];
}
