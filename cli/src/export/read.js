// Reads what a person gives: which kind of file it is, and JSON that can be understood in one way only.

export const text = new TextEncoder();
export const hex = (bytes) => [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
export const unhex = (digits) => Uint8Array.from(digits.match(/../g) || [], (pair) => parseInt(pair, 16));
export const join = (...parts) => {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) { all.set(part, at); at += part.length; }
  return all;
};
export const equal = (a, b) => a.length === b.length && a.every((byte, at) => byte === b[at]);
export const unbase64 = (letters) => {
  // Blanks and left out padding are taken by browsers, and are a second way to write the same.
  if (typeof letters !== "string" || !/^(?:[A-Za-z0-9+/]{4})*(?:[A-Za-z0-9+/]{2}==|[A-Za-z0-9+/]{3}=)?$/.test(letters)) throw new Error("a text is not base64");
  return Uint8Array.from(atob(letters), (letter) => letter.charCodeAt(0));
};
export const sha256 = async (bytes) => new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
export const isObject = (value) => Boolean(value) && typeof value === "object" && !Array.isArray(value);

const CANNOT = "the file cannot be read as a record";

// JSON.parse keeps the last of two members of one name, and takes fractions.
export function readStrict(source) {
  let at = 0;
  const fail = (why) => { throw new Error(`${CANNOT}: ${why} (at character ${at + 1})`); };
  const space = () => { while (at < source.length && " \t\r\n".includes(source[at])) at += 1; };
  const string = () => {
    const match = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y;
    match.lastIndex = at;
    const found = match.exec(source);
    if (!found) fail("the document is not JSON: a text does not end, or holds what it may not");
    at = match.lastIndex;
    const value = JSON.parse(found[0]);
    if (/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/.test(value)) fail("the document is not JSON: a text is not valid Unicode");
    return value;
  };
  const items = (end, one) => {
    at += 1;
    space();
    if (source[at] === end) { at += 1; return; }
    for (;;) {
      one();
      space();
      if (source[at] === ",") { at += 1; continue; }
      if (source[at] !== end) fail(`the document is not JSON: ${end === "}" ? "an object" : "a list"} does not end`);
      at += 1;
      return;
    }
  };
  const value = (depth) => {
    space();
    const first = source[at];
    if ((first === "{" || first === "[") && depth >= RULES.most_depth) fail(`the document is nested more than ${RULES.most_depth} deep`);
    if (first === "{") {
      const object = Object.create(null);
      items("}", () => {
        space();
        const name = string();
        if (name in object) fail(`the name ${JSON.stringify(name)} is there twice; two readers could see two different values`);
        space();
        if (source[at] !== ":") fail("the document is not JSON: a colon is missing");
        at += 1;
        object[name] = value(depth + 1);
      });
      return object;
    }
    if (first === "[") {
      const list = [];
      items("]", () => { list.push(value(depth + 1)); });
      return list;
    }
    if (first === '"') return string();
    const word = /true|false|null|-?(?:0|[1-9][0-9]*)(?![0-9.eE])/y;
    word.lastIndex = at;
    const found = word.exec(source);
    if (!found) fail(/[-0-9]/.test(first || "") ? "a number is not a whole one in plain digits" : "the document is not JSON");
    at = word.lastIndex;
    if (found[0] === "true" || found[0] === "false") return found[0] === "true";
    if (found[0] === "null") return null;
    const number = Number(found[0]);
    if (!Number.isSafeInteger(number) || found[0] === "-0") fail(`the number ${found[0].slice(0, 40)} is not a whole number that every reader keeps`);
    return number;
  };
  const all = value(0);
  space();
  if (at !== source.length) fail("there is more text behind the end of the document");
  return all;
}

// The canonical form (RFC 8785); names sort by their UTF-16 units, which is how JavaScript sorts.
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (isObject(value)) return `{${Object.keys(value).sort().map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join(",")}}`;
  return JSON.stringify(value ?? null);
}
export const same = (one, other) => canonical(one) === canonical(other);
export const hashOf = (value) => sha256(text.encode(canonical(value)));

const begins = (bytes, ...start) => start.every((byte, at) => bytes[at] === byte);

// What somebody gives who means the record and has another file in hand.
function notText(bytes) {
  const start = String.fromCharCode(...bytes.slice(0, 1024));
  if (start.includes("%PDF-")) return "it is a PDF; save record.json, which is attached to it, and give that";
  if (begins(bytes, 0x50, 0x4b, 3, 4)) return "it is an archive; unpack it, and give the record.json in it";
  if (begins(bytes, 0x1f, 0x8b)) return "it is compressed (gzip); unpack it, and give the record.json in it";
  if (begins(bytes, 0x89, 0x50, 0x4e, 0x47) || begins(bytes, 0xff, 0xd8, 0xff)) return "it is a picture; give the record.json that came with it";
  if (/^\s*<(?:!doctype|html|\?xml|svg|head)/i.test(start.replace(/^\xef\xbb\xbf/, ""))) return "it is a page: opened in a browser it checks itself; here give the record.json that came with it";
  return null;
}

// The text of a file, in the words in which the command line refuses one.
export function readText(bytes) {
  if (bytes.length > RULES.most_bytes) throw new Error(`${CANNOT}: the document is too long: ${bytes.length} bytes, at most ${RULES.most_bytes} are read`);
  if (bytes.length === 0) throw new Error(`${CANNOT}: the file is empty`);
  const other = notText(bytes);
  if (other) throw Object.assign(new Error(`${CANNOT} file: ${other}`), { isOtherFile: true });
  if (begins(bytes, 0xef, 0xbb, 0xbf)) throw new Error(`${CANNOT} file: it begins with a byte order mark, which an editor put there; save it as UTF-8 without one`);
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new Error(`${CANNOT}: the document is not UTF-8 text`);
  }
}

const HEAD = "pullmark.invalid/bench/";

// Which of the files that the check takes this is, and what is in it.
export function readGiven(bytes) {
  const source = readText(bytes);
  if (source.startsWith(HEAD)) return { kind: "head", value: source };
  const value = readStrict(source);
  if (Array.isArray(value) && value.length && value.every((link) => isObject(link) && "next" in link)) return { kind: "keys", value };
  if (!isObject(value)) throw new Error(`the file holds ${value === null ? "null, which is nothing" : Array.isArray(value) ? "a list" : "a single value"}; only a JSON object can be signed`);
  if (!("format" in value) && "keys" in value) return { kind: "keys", value: value.keys };
  if (!("format" in value) && "hashes" in value && "checkpoint" in value) return { kind: "consistency", value };
  return { kind: "record", value };
}
