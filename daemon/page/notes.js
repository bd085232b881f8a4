// Notes and photographs: about a build, or about one fastener of it.

import { button, h } from "./elements.js";
import { decimals } from "./figures.js";
import { chooseFile, form, lines, typed } from "./forms.js";
import { act, sendPhoto } from "./live.js";
import { redraw, refuse, state } from "./state.js";
import { thumbnail } from "./story.js";
import { t } from "./tongue.js";
import { moment } from "./words.js";

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
      h("p", { class: "quiet" }, [titleOf && note.fastener && titleOf(note.fastener), note.by, moment(note.time)].filter(Boolean).join(", "))))));
}

export function noteForm(build, fastener, back) {
  const key = `note ${build.id} ${fastener || ""}`;
  const photo = photos.get(key);
  const choose = (capture) => chooseFile(KINDS, capture, (file) => {
    if (!KINDS.split(",").includes(file.type)) return refuse(t("photo-other-kind", { file: file.name }));
    if (file.size > LARGEST_PHOTO) return refuse(t("photo-too-large", { file: file.name }));
    photos.set(key, file);
    return redraw();
  });
  const done = () => { photos.delete(key); back(); };
  const send = () => {
    const text = typed(key);
    const about = { build: build.id, ...(fastener ? { fastener } : {}), by: state.who };
    if (photo) return sendPhoto({ ...about, ...(text ? { text } : {}), name: photo.name }, photo, { forget: [key], then: done });
    if (!text) return refuse(t("note-needed"));
    return act({ act: "note", ...about, text }, { forget: [key], then: done });
  };
  return form(key, photo ? t("photo-keep") : t("note-keep"), send, back,
    lines(key, photo ? t("photo-shows") : t("note"), { maxlength: LONGEST_NOTE, rows: 3 }),
    photo ? h("p", { class: "chosen" }, h("b", {}, photo.name), ` ${sizeInWords(photo.size)}`) : h("p", { class: "quiet" }, t("photo-stays")),
    h("div", { class: "quick" },
      matchMedia("(pointer: coarse)").matches && button(`${key} camera`, "plain", () => choose("environment"), t("photo-take")),
      button(`${key} file`, "plain", () => choose(null), photo ? t("photo-choose-other") : t("photo-choose")),
      photo && button(`${key} none`, "plain", () => { photos.delete(key); redraw(); }, t("photo-none"))));
}

const sizeInWords = (bytes) => (bytes < 1_000_000 ? `${Math.ceil(bytes / 1000)} kB` : `${decimals(bytes / 1e6, 1)} MB`);
