// The language of the page. Messages lie in words/*.ftl, in the syntax of Project Fluent; only those of the language that is
// shown are fetched. Another language is another start of the page.

import { remembered } from "./kept.js";
import { shop } from "./shop.js";
import { FluentBundle, FluentNumber, FluentResource } from "./vendor/fluent.js";

export const LANGUAGES = [["en", "English"], ["de", "Deutsch"], ["fr", "Français"]];
const FIRST = "en";
const AGAIN_MS = 1000;

export const language = [remembered("language"), shop.language].find((wanted) => LANGUAGES.some(([known]) => known === wanted)) || FIRST;

let bundle = null;

const words = (name) => fetch(`words/${name}.ftl`).then((answer) => (answer.ok ? answer.text() : null), () => null);
const parts = new Set(); // what was learnt besides

// Nothing that has words is loaded before this is done (page.js). Where one file does not come, English is better than nothing.
// A part of the page that is loaded when somebody wants it has words of its own, `part`; they join the others.
export async function learn(part = null) {
  if (part) return learnMore(part);
  for (const wanted of [language, FIRST]) {
    const text = await words(wanted);
    if (text === null) continue;
    // Marks of direction around what is put in would stand in every label; nothing here is written from right to left.
    const learnt = new FluentBundle(wanted, { useIsolating: false });
    learnt.addResource(new FluentResource(text));
    bundle = learnt;
    return;
  }
  await new Promise((again) => setTimeout(again, AGAIN_MS));
  return learn();
}

async function learnMore(part) {
  for (const wanted of parts.has(part) ? [] : [language, FIRST]) {
    const text = await words(`${part}-${wanted}`);
    if (text === null) continue;
    bundle.addResource(new FluentResource(text));
    parts.add(part);
    return;
  }
  if (!parts.has(part)) throw new Error(part);
}

// Whole numbers are counts and names of entries: never grouped. Figures with a decimal mark come as texts (figures.js).
const put = (value) => (typeof value === "number" ? new FluentNumber(value, { useGrouping: false }) : value ?? "");

export const isSaid = (id) => Boolean(bundle.getMessage(id)?.value);

// A message in words; what is put into it stands in `args`.
export function t(id, args = {}) {
  const message = bundle.getMessage(id);
  if (!message?.value) return id;
  const given = Object.fromEntries(Object.entries(args).map(([name, value]) => [name, put(value)]));
  return bundle.formatPattern(message.value, given, []);
}

const [OPEN, CLOSE, ELEMENT] = ["\ue000", "\ue001", "\ue002"];

// A message with elements in it: `<b>…</b>` goes to what `tags` makes of it, and an element that is put in stays one. What is
// put in as text stays text, whatever it looks like.
export function rich(id, args, tags = {}) {
  const elements = [];
  const text = (value) => (typeof value === "string" ? value.replaceAll("<", OPEN).replaceAll(">", CLOSE) : value);
  const given = Object.fromEntries(Object.entries(args || {}).map(([name, value]) => {
    if (!(value instanceof Node)) return [name, text(value)];
    elements.push(value);
    return [name, `${ELEMENT}${elements.length - 1}${ELEMENT}`];
  }));
  const plain = (part) => part.split(/\ue002(\d+)\ue002/).map((piece, index) => (index % 2 ? elements[piece] : piece.replaceAll(OPEN, "<").replaceAll(CLOSE, ">"))).filter((piece) => piece !== "");
  return t(id, given).split(/(<\w+>.*?<\/\w+>)/s).flatMap((part) => {
    const [, tag, inner] = /^<(\w+)>(.*)<\/\w+>$/s.exec(part) || [];
    return tag && tags[tag] ? [tags[tag](plain(inner))] : plain(part);
  });
}
