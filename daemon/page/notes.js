// Notes and photographs: about a build, or about one fastener of it.

import { button, h } from "./elements.js";
import { chooseFile, form, lines, typed } from "./forms.js";
import { act, sendPhoto } from "./live.js";
import { redraw, refuse, state } from "./state.js";
import { thumbnail } from "./story.js";
import { clock, day } from "./words.js";

const LONGEST_NOTE = 2000;
const LARGEST_PHOTO = 8 * 1024 * 1024;
const KINDS = "image/jpeg,image/png,image/webp";

const photos = new Map(); // the photograph that was chosen and not sent, by form

export const notesOf = (build, fastener) => build.notes.filter((note) => !fastener || note.fastener === fastener);

// What a note form depends on.
export const chosenPhotos = () => [...photos].map(([key, file]) => [key, file.name, file.size]);

export function notesList(notes, titleOf) {
  return h("ul", { class: "notes" }, [...notes].reverse().map((note) => h("li", {},
    note.photo && thumbnail(note.photo.sha256, note.text || note.photo.name),
    h("div", { class: "story-text" },
      note.text && h("p", {}, note.text),
      h("p", { class: "quiet" }, [titleOf && note.fastener && titleOf(note.fastener), note.by, `${day(note.time)} ${clock(note.time)}`].filter(Boolean).join(", "))))));
}

export function noteForm(build, fastener, back) {
  const key = `note ${build.id} ${fastener || ""}`;
  const photo = photos.get(key);
  const choose = (capture) => chooseFile(KINDS, capture, (file) => {
    if (!KINDS.split(",").includes(file.type)) return refuse(`${file.name} is no JPEG, PNG or WebP: other pictures cannot be kept.`);
    if (file.size > LARGEST_PHOTO) return refuse(`${file.name} has more than 8 MiB: make it smaller.`);
    photos.set(key, file);
    return redraw();
  });
  const done = () => { photos.delete(key); back(); };
  const send = () => {
    const text = typed(key);
    const about = { build: build.id, ...(fastener ? { fastener } : {}), by: state.who };
    if (photo) return sendPhoto({ ...about, ...(text ? { text } : {}), name: photo.name }, photo, { forget: [key], then: done });
    if (!text) return refuse("Write a note, or add a photograph.");
    return act({ act: "note", ...about, text }, { forget: [key], then: done });
  };
  return form(key, photo ? "Keep the photograph" : "Keep the note", send, back,
    lines(key, photo ? "What does it show? (may be left empty)" : "Note", { maxlength: LONGEST_NOTE, rows: 3 }),
    photo ? h("p", { class: "chosen" }, h("b", {}, photo.name), ` ${sizeInWords(photo.size)}`) : h("p", { class: "quiet" }, "A photograph stays in the ledger for good: look who and what can be seen on it."),
    h("div", { class: "quick" },
      matchMedia("(pointer: coarse)").matches && button(`${key} camera`, "plain", () => choose("environment"), "Take a photograph"),
      button(`${key} file`, "plain", () => choose(null), photo ? "Choose another picture" : "Choose a picture"),
      photo && button(`${key} none`, "plain", () => { photos.delete(key); redraw(); }, "Without a picture")));
}

const sizeInWords = (bytes) => (bytes < 1_000_000 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1e6).toFixed(1)} MB`);
