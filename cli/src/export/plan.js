// Reads the text of a plan that the ledger pins: what was to be tightened and measured, under which limits. Whoever signs a
// record anew cannot give a fastener another name or limit than the plan has.

import { smallUnits, kindOf } from "./judge.js";

// TOML 1.0, without dates, which a plan does not have. An error for what cannot be read.
export function readToml(source) {
  let at = 0;
  const fail = (what) => { throw new Error(`${what} at character ${at + 1}`); };
  const rest = (pattern) => { pattern.lastIndex = at; const found = pattern.exec(source); if (found) at = pattern.lastIndex; return found; };
  const blank = () => { rest(/[ \t]*/y); };
  const lines = () => { rest(/(?:[ \t]|\r?\n|#[^\n]*)*/y); };
  const escape = (text) => text.replace(/\\(?:u([0-9a-fA-F]{4})|U([0-9a-fA-F]{8})|(.))/gs, (_, four, eight, sign) => {
    if (four || eight) return String.fromCodePoint(parseInt(four || eight, 16));
    const known = { b: "\b", t: "\t", n: "\n", f: "\f", r: "\r", '"': '"', "\\": "\\" }[sign];
    return known === undefined ? fail("an escape that is none") : known;
  });
  const string = () => {
    let found = rest(/"""(?:\r?\n)?((?:[^\\]|\\[^])*?"{0,2})"""(?!")/y);
    if (found) return escape(found[1].replace(/\\[ \t]*\r?\n\s*/g, ""));
    found = rest(/'''(?:\r?\n)?([^]*?'{0,2})'''(?!')/y);
    if (found) return found[1];
    found = rest(/"((?:[^"\\\n]|\\.)*)"/y);
    if (found) return escape(found[1]);
    found = rest(/'([^'\n]*)'/y);
    return found ? found[1] : fail("a text that is none");
  };
  const keys = () => {
    const path = [];
    do {
      blank();
      path.push(source[at] === '"' || source[at] === "'" ? string() : (rest(/[A-Za-z0-9_-]+/y) || fail("a name is missing"))[0]);
      blank();
    } while (rest(/\./y));
    return path;
  };
  const into = (table, name) => {
    if (!Object.hasOwn(table, name)) table[name] = {};
    const next = Array.isArray(table[name]) ? table[name].at(-1) : table[name];
    return next && typeof next === "object" ? next : fail("a name stands twice");
  };
  const put = (table, path, value) => {
    const holds = path.slice(0, -1).reduce(into, table);
    if (Object.hasOwn(holds, path.at(-1))) fail("a name stands twice");
    holds[path.at(-1)] = value;
  };
  const pair = (table) => { const path = keys(); if (!rest(/=/y)) fail("a sign = is missing"); blank(); put(table, path, value()); blank(); };
  const value = () => {
    if (source[at] === '"' || source[at] === "'") return string();
    if (rest(/\[/y)) {
      const list = [];
      for (lines(); !rest(/\]/y); lines()) {
        list.push(value());
        lines();
        if (!rest(/,/y) && source[at] !== "]") fail("a list does not end");
      }
      return list;
    }
    if (rest(/\{/y)) {
      const table = {};
      blank();
      if (rest(/\}/y)) return table;
      do pair(table); while (rest(/,/y));
      return rest(/\}/y) ? table : fail("a table does not end");
    }
    const word = rest(/true|false/y);
    if (word) return word[0] === "true";
    const number = rest(/[+-]?\d[\d_]*(?:\.\d[\d_]*)?(?:[eE][+-]?\d+)?(?![\w:.-])/y);
    return number ? Number(number[0].replaceAll("_", "")) : fail("a value that is none");
  };
  const root = {};
  let table = root;
  for (lines(); at < source.length; lines()) {
    const head = rest(/\[\[?/y);
    if (head) {
      const path = keys();
      if (!rest(head[0] === "[[" ? /\]\]/y : /\]/y)) fail("a table's name does not end");
      const holds = path.slice(0, -1).reduce(into, root);
      if (head[0] === "[[") {
        if (!Object.hasOwn(holds, path.at(-1))) holds[path.at(-1)] = [];
        if (!Array.isArray(holds[path.at(-1)])) fail("a name stands twice");
        table = {};
        holds[path.at(-1)].push(table);
      } else {
        table = into(holds, path.at(-1));
      }
    } else {
      pair(table);
    }
    blank();
    if (at < source.length && !rest(/#[^\n]*|\r?\n/y)) fail("something more stands in a line");
  }
  return root;
}

const ROUNDING = { target: "nearest", lower: "down", upper: "up" };

// What a place states: the number with its unit, "5 N·m".
function stated(text) {
  const [, number, unit] = /^([\d.+,-]*)(.*)$/s.exec(text.trim());
  return { number, unit: unit.trim() };
}

// Every figure that counts, and every place as it states them. What a person settled stands alone.
function figuresOf(file) {
  const places = [...(file.spec ? [{ where: "plan", ...file.spec }] : []), ...(file.sources || [])];
  const settled = file.settled && ["target", "lower", "upper"].some((role) => file.settled[role] !== undefined) ? { ...file.settled, where: `settled by ${file.settled.by}` } : null;
  const sources = [...places, ...(settled ? [settled] : [])].map(({ where, target, lower, upper }) => ({ place: where, target, lower, upper }));
  const counting = settled ? [settled] : places;
  const of = (role) => counting.filter((place) => place[role] !== undefined).map((place) => stated(place[role]));
  return { sources, of };
}

function specOf(file, tolerance, kind) {
  const { sources, of } = figuresOf(file);
  const values = (role) => of(role).map(({ number, unit }) => {
    const value = kindOf(unit) === kind ? smallUnits(number, unit, ROUNDING[role]) : undefined;
    if (value === undefined) throw new Error("a limit cannot be read");
    return value;
  });
  const [target] = values("target");
  const least = (list) => (list.length ? Math.min(...list) : undefined);
  const most = (list) => (list.length ? Math.max(...list) : undefined);
  let [lower, upper, byTolerance] = [most(values("lower")), least(values("upper")), undefined];
  const room = (rounding) => Number(rounding((BigInt(Math.abs(target)) * BigInt(tolerance))));
  const isTorque = kind === "torque";
  if (target !== undefined && (isTorque ? lower === undefined || upper === undefined : lower === undefined && upper === undefined)) {
    // Torques: a part of the target, an upper limit rounded up and a lower one down. Others: the same room either way.
    const up = room((part) => (part + 99n) / 100n);
    lower ??= target - up;
    upper ??= target + up;
    byTolerance = tolerance;
  }
  const settled = file.settled ? { by: file.settled.by, reason: file.settled.reason } : undefined;
  return { values: { lower, target, upper }, rest: { sources, tolerance_percent: byTolerance, settled } };
}

const UNITS_OF = { length: "um", mass: "mg", force: "mN", pressure: "Pa", temperature: "mK" };

function fastenerOf(file, stage, plan) {
  const { values, rest } = specOf(file, plan.tolerance, "torque");
  const limits = { lower_millinewton_metre: values.lower, target_millinewton_metre: values.target, upper_millinewton_metre: values.upper };
  const adapter = file.adapter && {
    title: file.adapter.title, angle_degrees: file.adapter.angle ?? 0,
    length_micrometre: file.adapter.length === undefined ? undefined : smallUnits(stated(file.adapter.length).number, stated(file.adapter.length).unit, "nearest"),
  };
  return {
    id: file.id, title: file.title, stage: stage.title, spec: { limits, ...rest }, rule: file.rule ?? plan.rule ?? (file.joint === "carbon" ? "guarded-upper" : "simple"),
    kind: file.kind, at: file.at, adapter, passes_percent: stage.passes, hand: file.thread?.hand ?? "right", joint: file.joint, prep: file.prep || [], second_look: file.second_look ?? false,
  };
}

function checkOf(file, stage, plan) {
  const { of } = figuresOf(file);
  const first = [...of("target"), ...of("lower"), ...of("upper")][0];
  const kind = first && kindOf(first.unit);
  const { values, rest } = specOf(file, plan.tolerance, kind);
  return {
    id: file.id, title: file.title, stage: stage.title, spec: { limits: { unit: UNITS_OF[kind], ...values }, ...rest }, rule: file.rule ?? plan.rule ?? "simple",
    readings_wanted: file.readings ?? 1, formula: file.formula, at: file.at,
  };
}

// A plan as a build is held to it. An error where it cannot be read here.
export function readPlan(source) {
  const file = readToml(source);
  const plan = { tolerance: file.tolerance === undefined ? 10 : Number(/(\d+)\s*%/.exec(file.tolerance)[1]), rule: file.rule };
  const stages = file.stage.map((stage) => ({ ...stage, passes: (stage.passes || [1]).map((part) => Math.round(part * 100)) }));
  return {
    title: file.title, edition: file.edition, frame: file.frame ?? "road", parts: file.part || [], due: file.due || [],
    fasteners: stages.flatMap((stage) => (stage.fastener || []).map((one) => fastenerOf(one, stage, plan))),
    checks: stages.flatMap((stage) => (stage.check || []).map((one) => checkOf(one, stage, plan))),
  };
}

// The day on which something is due, counted from the day of handing over; a month after the 31st is the last of a shorter one.
export function dueOn(due, time) {
  const [year, month, day] = time.slice(0, 10).split("-").map(Number);
  const text = (date) => date.toISOString().slice(0, 10);
  if (due.days !== undefined) return text(new Date(Date.UTC(year, month - 1, day + due.days)));
  if (due.months === undefined) return undefined;
  const last = new Date(Date.UTC(year, month - 1 + due.months + 1, 0)).getUTCDate();
  return text(new Date(Date.UTC(year, month - 1 + due.months, Math.min(day, last))));
}
