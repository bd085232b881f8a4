// Holds a document against its form: the schemas (JSON Schema, the part of it that they use) that are made from the same types
// as the reference check. What a form does not name is refused, at every level.

import { isObject, same } from "./read.js";

const TYPES = {
  object: isObject, array: Array.isArray, string: (value) => typeof value === "string", boolean: (value) => typeof value === "boolean",
  null: (value) => value === null, integer: (value) => Number.isInteger(value), number: (value) => typeof value === "number",
};
const short = (value) => { const said = JSON.stringify(value) ?? "nothing"; return said.length > 60 ? `${said.slice(0, 60)}…` : said; };
const patterns = new Map();
const matches = (pattern, value) => {
  if (!patterns.has(pattern)) patterns.set(pattern, new RegExp(pattern, "u"));
  return patterns.get(pattern).test(value);
};

// Where a value does not have a form: nothing, or the place and what is wrong there. `open` says that others name members too.
function departs(value, form, at, open = false) {
  if (form === true) return null;
  if (form === false) return { at, what: "it may not be there" };
  if (form.$ref !== undefined) {
    const below = departs(value, FORMS.shared[form.$ref], at, open);
    if (below) return below;
  }
  const wrong = (what) => ({ at, what });
  if ("const" in form && value !== form.const) return wrong(`${short(value)} is not known there`);
  if (form.enum && !form.enum.some((one) => same(one, value))) return wrong(`${short(value)} is not known there`);
  if (form.type && ![form.type].flat().some((type) => TYPES[type]?.(value))) return wrong(`${short(value)} is no ${[form.type].flat().join(" or ")}`);
  if (typeof value === "number" && (value < form.minimum || value > form.maximum)) return wrong(`${value} is out of its range`);
  if (typeof value === "string" && form.pattern && !matches(form.pattern, value)) return wrong(`${short(value)} is not written as it has to be`);
  return (isObject(value) && ofObject(value, form, at, open)) || (Array.isArray(value) && ofList(value, form, at)) || ofSeveral(value, form, at, open);
}

function ofObject(value, form, at, open) {
  for (const name of form.required || []) if (!(name in value)) return { at, what: `the member ${JSON.stringify(name)} is missing` };
  if (!form.properties) return null;
  for (const name of Object.keys(value)) {
    const known = Object.hasOwn(form.properties, name);
    if (!known && isObject(form.additionalProperties)) {
      const below = departs(value[name], form.additionalProperties, `${at}/${name}`);
      if (below) return below;
    } else if (!known && !open) {
      return { at, what: `unknown member ${short(name)}` };
    }
    const below = known && departs(value[name], form.properties[name], `${at}/${name}`);
    if (below) return below;
  }
  return null;
}

function ofList(value, form, at) {
  for (const [number, item] of value.entries()) {
    const below = form.items !== undefined && departs(item, form.items, `${at}/${number}`);
    if (below) return below;
  }
  if (form.uniqueItems && value.some((item, number) => value.slice(0, number).some((before) => same(before, item)))) return { at, what: "something stands twice in a list" };
  return null;
}

// Of several forms one has to fit. What is told is how the one departs that fits furthest.
function ofSeveral(value, form, at, open) {
  const several = form.oneOf || form.anyOf;
  if (!several) return null;
  let furthest = null;
  for (const one of several) {
    const found = departs(value, one, at, open);
    if (!found) return null;
    if (!furthest || found.at.length > furthest.at.length || (found.at.length === furthest.at.length && /^unknown/.test(found.what))) furthest = found;
  }
  return furthest;
}

// An error where a document does not have the form of that name.
export function needsForm(value, name, says) {
  const found = departs(value, FORMS.roots[name], "");
  if (found) throw new Error(`${says}: ${found.what}${found.at ? ` (at ${found.at})` : ""}`);
}

// An entry says its kind beside what every entry says: the two together name its members.
export function needsEntry(entry) {
  const root = FORMS.roots.entry;
  const found = departs(entry, root, "", true) || Object.keys(isObject(entry) ? entry : {}).filter((name) => !(name in root.properties) && name !== "kind" && name !== "body")
    .map((name) => ({ at: "", what: `unknown member ${short(name)}` }))[0];
  if (found) throw new Error(`an entry cannot be read: ${found.what}${found.at ? ` (at ${found.at} of entry ${entry?.sequence})` : ""}`);
}
