// Draws a checked record. Everything shown comes out of the signed document that verify.js has read; nothing is shown of a
// record that does not hold, but why it does not.

import { everyFastener } from "./agree.js";
import { everyCheck } from "./checks.js";
import { hex, sha256 } from "./read.js";

// Signs that nobody sees and that turn the order of what follows: a label may have come with a stranger's record.
const harmless = (text) => text.replace(/[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/g, (sign) => `\\u{${sign.codePointAt(0).toString(16)}}`);

export const h = (name, attributes = {}, ...children) => {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false).map((child) => (typeof child === "string" ? harmless(child) : child)));
  return element;
};
const svg = (name, attributes, ...children) => {
  const element = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children.flat(Infinity));
  return element;
};

const MISSING = { torque: "not tightened", prep: "prep not confirmed", "second-look": "no second look", measurement: "not measured" };
const DECISION = { "part-replaced": "part replaced", "inspected-and-kept": "inspected and kept", "tightened-again": "undone and tightened again", "set-right": "set right and measured again" };
const LBF_IN_MILLINEWTON_METRE = 112.9848290276167; // one lbf·in, NIST SP 811 (2008), appendix B.8, and its definition

const SMALL = { um: [1000, "mm", 3], mg: [1000, "g", 3], mN: [1000, "N", 3], Pa: [100000, "bar", 3], mK: [1000, "°C", 3] };
// A value of a check as people read it. A difference of temperatures is no temperature.
const quantity = (unit, value, isStep = false) => {
  const [factor, symbol, decimals] = SMALL[unit];
  const zero = unit === "mK" && !isStep ? 273150 : 0;
  return `${Number(((value - zero) / factor).toFixed(decimals))} ${unit === "mK" && isStep ? "K" : symbol}`;
};

const torque = (milli) => String(milli / 1000);
const both = (milli) => `${torque(milli)} N·m (${(milli / LBF_IN_MILLINEWTON_METRE).toFixed(1)} lbf·in)`;
const limits = ({ lower_millinewton_metre: lower, upper_millinewton_metre: upper }) =>
  lower === undefined ? `at most ${torque(upper)}` : `${torque(lower)} to ${torque(upper)}`;
export const moment = (time) => time.replace(/^(\d{4}-\d\d-\d\d)T(\d\d:\d\d)[^+-]*?(Z|[+-]\d\d:\d\d)$/, "$1 $2 $3");
export const groups = (digits) => digits.match(/.{1,4}/g).join(" ");
const person = (by) => (/^sha256:[0-9a-f]{64}$/.test(by) ? "a name left out" : by);
const tail = (act) => `${act.reason ? `. ${act.reason}` : ""}. ${person(act.by)}, ${moment(act.time)}`;
export const item = (what, says) => h("li", {}, h("b", {}, what), `: ${says}`);
export const list = (items) => h("ul", {}, items);

// A mark a standing: its form tells it, and the word is always beside it.
function mark(standing) {
  const line = { fill: "none", stroke: "currentColor", "stroke-width": 1.6 };
  const shape = {
    within: () => svg("circle", { cx: 8, cy: 8, r: 6, fill: "currentColor" }),
    over: () => svg("path", { d: "M8 1L15 15H1z", fill: "currentColor" }),
    kept: () => svg("path", { d: "M8 2L14 14H2z", ...line }),
    "over-kept": () => svg("path", { d: "M8 2L14 14H2z", ...line }),
    undecided: () => svg("path", { d: "M8 1L15 8L8 15L1 8z", fill: "currentColor" }),
    "undecided-kept": () => svg("path", { d: "M8 2L14 8L8 14L2 8z", ...line }),
    deferred: () => svg("rect", { x: 2, y: 2, width: 12, height: 12, ...line, "stroke-dasharray": "2.4 1.8" }),
  }[standing] || (() => svg("circle", { cx: 8, cy: 8, r: 6, ...line }));
  return svg("svg", { viewBox: "0 0 16 16", class: `mark ${standing}`, "aria-hidden": "true" }, shape());
}

const size = (reading) => (reading.reading.applied_millinewton_metre === undefined ? Infinity : Math.abs(reading.reading.applied_millinewton_metre));
const counting = (fastener) => fastener.readings.filter((reading) => reading.counts).sort((a, b) => size(b) - size(a))[0];

// Limits that no part and no leaflet states are not shown without that word, COMMON_PRACTICE.
const practice = (spec) => ((spec.sources || []).some((source) => source.place === COMMON_PRACTICE) ? [`limits: ${COMMON_PRACTICE}`] : []);

function remarks(fastener, reading) {
  const said = [];
  if (reading?.reading.origin.attested) said.push(`attested by ${person(reading.reading.origin.attested.by)}, not measured`);
  const displayed = reading?.reading.displayed;
  if (displayed && (displayed.unit !== "N.m" || Number(displayed.value) * 1000 !== size(reading))) {
    said.push(`shown ${displayed.value} ${UCUM[displayed.unit] || displayed.unit}`);
  }
  for (const caution of reading?.verdict?.cautions || []) if (caution !== "attested") said.push(CAUTION[caution] || caution);
  said.push(...practice(fastener.spec));
  const early = fastener.readings.filter((other) => !other.counts).length;
  if (early) said.push(`${early} earlier ${early === 1 ? "reading no longer counts" : "readings no longer count"}`);
  const prepared = fastener.prepared.at(-1);
  if (prepared) said.push(`${fastener.prep.join(", ") || "prep"}: ${person(prepared.by)}`);
  const looked = fastener.looked.at(-1);
  if (looked) said.push(`second look: ${person(looked.by)}`);
  if (fastener.deferred) said.push(`deferred: ${fastener.deferred.reason || ""}`);
  return said.join("; ");
}

// How many figures a tool measured, and how many somebody only says.
function measured(shown, [one, several]) {
  const attested = shown.filter((reading) => reading.reading.origin.attested).length;
  const count = shown.length - attested;
  if (!shown.length) return `No ${one} was measured, and none attested.`;
  const first = `${count || "No"} ${count === 0 || count === 1 ? `${one} was` : `${several} were`} measured by a tool`;
  return attested ? `${first}; ${attested} ${attested === 1 ? "was" : "were"} attested by a person and not measured.` : `${first}; none was only attested.`;
}

function row(fastener, number) {
  const reading = counting(fastener);
  const applied = reading && reading.reading.applied_millinewton_metre;
  const expanded = reading?.verdict?.expanded_uncertainty_millinewton_metre;
  const said = remarks(fastener, reading);
  return h("tr", {},
    h("td", { class: "number" }, String(number)),
    h("th", { scope: "row" }, fastener.title, said && h("small", {}, said)),
    h("td", { class: "figure" }, limits(fastener.spec.limits)),
    h("td", { class: "figure" }, h("b", {}, reading ? (applied === undefined ? "past its range" : torque(Math.abs(applied))) : "–")),
    h("td", { class: "figure" }, expanded === undefined ? "–" : torque(expanded)),
    h("td", { class: "figure" }, applied === undefined ? "–" : (Math.abs(applied) / LBF_IN_MILLINEWTON_METRE).toFixed(1)),
    h("td", { class: `stands ${fastener.standing}` }, mark(fastener.standing), STANDING[fastener.standing] || fastener.standing),
    h("td", {}, h("small", {}, reading ? `${reading.reading.tool}, ${moment(reading.time)}` : "")));
}

function table(subject) {
  const body = h("tbody");
  let stage = null;
  subject.fasteners.forEach((fastener, at) => {
    if (fastener.stage !== stage) {
      stage = fastener.stage;
      body.append(h("tr", { class: "stage" }, h("th", { colspan: 8, scope: "colgroup" }, stage)));
    }
    body.append(row(fastener, at + 1));
  });
  const heads = ["No.", "Fastener", "Limits N·m", "Torque N·m", "± N·m", "lbf·in", "Stands", "Tool, time"];
  return h("div", { class: "wide" }, h("table", {}, h("thead", {}, h("tr", {}, heads.map((head) => h("th", { scope: "col" }, head)))), body));
}

const checkLimits = ({ unit, lower, upper }) => {
  const text = (value) => quantity(unit, value);
  if (lower === undefined) return `at most ${text(upper)}`;
  return upper === undefined ? `at least ${text(lower)}` : `${text(lower)} to ${text(upper)}`;
};
const CHECK = { ...STANDING, kept: "out of limits, inspected and kept" };

function checkRow(subject, check) {
  const { unit } = check.spec.limits;
  const counted = check.readings.filter((reading) => reading.counts);
  const values = counted.map((reading) => reading.reading.value).filter((value) => value !== undefined);
  const value = check.derived ? quantity(unit, check.derived.value, unit === "mK")
    : values.length === 0 ? (counted.length ? "past its range" : "–") : [...new Set([Math.min(...values), Math.max(...values)])].map((each) => quantity(unit, each)).join(" to ");
  const expanded = check.derived ? check.derived.verdict.expanded : Math.max(0, ...counted.map((reading) => reading.verdict?.expanded ?? 0));
  const newest = counted.at(-1);
  const attested = counted.filter((reading) => reading.reading.origin.attested).map((reading) => `attested by ${person(reading.reading.origin.attested.by)}`);
  const cautions = counted.flatMap((reading) => reading.verdict?.cautions || []).filter((caution) => caution !== "attested").map((caution) => CHECK_CAUTION[caution] || caution);
  const displayed = counted.length === 1 && newest.reading.displayed;
  const early = check.readings.length - counted.length;
  const said = [...new Set([...practice(check.spec), check.formula && `computed: ${check.formula.text.replace(/\{([^}]*)\}/g, (_, id) => `“${titleOf(subject, id)}”`)}`,
    check.readings_wanted > 1 && `${counted.length} of ${check.readings_wanted} readings`, ...attested, displayed && `shown ${displayed.value} ${UCUM[displayed.unit] || displayed.unit}`, ...cautions,
    early > 0 && `${early} earlier ${early === 1 ? "reading no longer counts" : "readings no longer count"}`, check.deferred && `deferred: ${check.deferred.reason || ""}`].filter(Boolean))].join("; ");
  return h("tr", {},
    h("th", { scope: "row" }, check.title, said && h("small", {}, said)),
    h("td", { class: "figure" }, checkLimits(check.spec.limits)),
    h("td", { class: "figure" }, h("b", {}, value)),
    h("td", { class: "figure" }, expanded ? quantity(unit, expanded, true) : "–"),
    h("td", { class: `stands ${check.standing === "kept" ? "over-kept" : check.standing}` }, mark(check.standing), CHECK[check.standing] || check.standing),
    h("td", {}, h("small", {}, newest ? `${newest.reading.tool}, ${moment(newest.time)}` : "")));
}

function checkTable(subject) {
  const heads = ["Check", "Limits", "Value", "±", "Stands", "Tool, time"];
  return h("div", { class: "wide" }, h("table", {}, h("thead", {}, h("tr", {}, heads.map((head) => h("th", { scope: "col" }, head)))),
    h("tbody", {}, subject.checks.map((check) => checkRow(subject, check)))));
}

// What was decided about fasteners or checks, a line each.
const decided = (all) => all.flatMap((one) => (one.dispositions || []).map((decision) =>
  item(one.title, `${DECISION[decision.decision] || decision.decision}: ${decision.reason}. ${person(decision.by)}, ${moment(decision.time)}`)));

function checkAttention(subject) {
  const readings = everyCheck(subject).flatMap((check) => check.readings).concat(subject.checks_elsewhere || []);
  const alarms = (subject.check_alarms || []).map((alarm) => {
    const value = readings.find((reading) => reading.sequence === alarm.reading)?.reading.value;
    return item(titleOf(subject, alarm.place.check), `over alarm: ${value === undefined ? "more than the tool can show" : quantity(alarm.unit, value)} where the limit is ${quantity(alarm.unit, alarm.upper)}; ${alarm.acknowledged ? `acknowledged by ${person(alarm.acknowledged.by)}` : "not acknowledged"}`);
  });
  return [...alarms, ...decided(everyCheck(subject))];
}

const titleOf = (subject, id) => [...everyFastener(subject), ...everyCheck(subject)].find((known) => known.id === id)?.title || id;

function attention(subject) {
  const all = everyFastener(subject).flatMap((fastener) => fastener.readings).concat(subject.elsewhere);
  const pulled = (sequence) => all.find((reading) => reading.sequence === sequence)?.reading.applied_millinewton_metre;
  const alarms = subject.alarms.map((alarm) => item(titleOf(subject, alarm.place.fastener),
    `over alarm: ${pulled(alarm.reading) === undefined ? "more than the tool can show" : both(Math.abs(pulled(alarm.reading)))} where the limit is ${both(alarm.upper_millinewton_metre)}; ${alarm.acknowledged ? `acknowledged by ${person(alarm.acknowledged.by)}` : "not acknowledged"}`));
  const recalls = (subject.recalls || []).flatMap((recall) => recall.readings.map((reading) =>
    item(reading.title || titleOf(subject, reading.place.fastener), `recall of ${recall.tool}: judged ${torque(reading.before_millinewton_metre)} N·m then, ${torque(reading.now_millinewton_metre)} N·m now, which is ${reading.answer_now}`)));
  return [...alarms, ...decided(everyFastener(subject)), ...checkAttention(subject), ...recalls];
}

function history(subject) {
  return [
    (subject.parts || []).map((part) => item(part.title, `serial number ${part.serial}${(part.swaps || []).map((swap) => `; ${swap.out || "one not stated"} replaced by ${swap.serial}${tail(swap.swapped)}`).join("")}`)),
    (subject.plan_changes || []).map((change) => item("Plan", `until then ${change.before.title}, edition ${change.before.edition}${tail(change.changed)}`)),
    (subject.hands || []).map((hand) => item("Handed to", `${person(hand.to)}${tail(hand.handed)}`)),
    (subject.laid_aside || []).map((aside) => item("Laid aside", `${tail(aside.laid).replace(/^\. /, "")}${aside.resumed ? `; resumed ${moment(aside.resumed.time)} by ${person(aside.resumed.by)}` : ""}`)),
    (subject.notes || []).map((note) => item(note.fastener ? titleOf(subject, note.fastener) : "Note", `${note.text || ""}${note.photo ? ` [photograph, SHA-256 ${note.photo.sha256}]` : ""}${tail(note.noted)}`)),
    (subject.withdrawn || []).map((back) => item("Taken back", `${back.kind} of ${moment(back.act.time)}${tail(back.withdrawn)}`)),
  ].flat();
}

// What is looked at again: when, what of the bike, and who says so.
const again = (subject, due) => item(due.title, `${[due.on && `on ${due.on}`, due.kilometres && `after ${due.kilometres} km`].filter(Boolean).join(" or ")}${due.on && due.kilometres ? ", whichever comes first" : ""}: ${
  (due.fasteners || []).map((id) => titleOf(subject, id)).join(", ") || "the whole bike"}${due.source ? ` (${due.source})` : ""}`);

function tools(subject) {
  if (!subject.tools.length) return h("p", {}, "No reading names a tool.");
  return list(subject.tools.map((tool) => {
    if (tool.measures) {
      const { certificate: own, accuracy, accuracy_ppm: part } = tool.measures;
      return item(`${tool.title}, serial number ${tool.serial}`, own
        ? `certificate ${own.number}${own.laboratory ? ` of ${own.laboratory}` : ""}, ${own.date}${own.due ? `; due ${own.due}` : ""}${own.due && own.due < subject.finished.time.slice(0, 10) ? ", past its date" : ""}`
        : accuracy || part ? "no calibration certificate on file: its stated accuracy stands in" : "nothing states how good it is");
    }
    const known = tool.certificate;
    const past = known && known.due < subject.finished.time.slice(0, 10);
    return item(`${tool.title}, serial number ${tool.serial}`, known
      ? `certificate ${known.number} of ${known.laboratory}, ${known.date}; due ${known.due}${past ? ", past its date" : ""}`
      : "no calibration certificate on file: the limit of its class stands in");
  }));
}

// The samples of a pull lie beside the record; each has to have the hash that is signed.
function unpack(bytes) {
  if (String.fromCharCode(...bytes.slice(0, 4)) !== "PMT1") return null;
  let at = 4;
  const take = () => { let value = 0n; for (let shift = 0n; ; shift += 7n) { const byte = bytes[at]; at += 1; if (byte === undefined) return 0n; value |= BigInt(byte & 127) << shift; if (!(byte & 128)) return value; } };
  const signed = () => { const value = take(); return value & 1n ? -((value >> 1n) + 1n) : value >> 1n; };
  const count = Number(take());
  let [time, step, raw] = [0n, 0n, 0n];
  const samples = [];
  for (let number = 0; number < count && at < bytes.length; number += 1) {
    step += signed(); time += step; raw += signed();
    samples.push([Number(time), Math.abs(Number(raw)) / 1000]);
  }
  return samples;
}

function plot(samples, bounds, title) {
  const [width, height, left, bottom, above] = [560, 196, 46, 26, 26];
  const begin = samples[0][0];
  const span = Math.max(1, samples.at(-1)[0] - begin);
  const top = Math.max(...samples.map(([, value]) => value), bounds.upper_millinewton_metre || 0) * 1.06;
  const x = (time) => left + (width - left - 8) * (time - begin) / span;
  const y = (value) => height - bottom - (height - bottom - above) * value / top;
  const level = (value, word) => [svg("line", { x1: left, x2: width - 8, y1: y(value), y2: y(value), class: "limit" }),
    svg("text", { x: left - 4, y: y(value) + 4, "text-anchor": "end" }, torque(value)),
    svg("text", { x: width - 10, y: y(value) - 3, "text-anchor": "end", class: "word" }, word)];
  return h("figure", {}, svg("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": `torque over time: ${title}` },
    svg("path", { d: `M${left} 18V${height - bottom}H${width - 8}`, class: "axis" }),
    bounds.lower_millinewton_metre === undefined ? [] : level(bounds.lower_millinewton_metre, "lower limit"),
    level(bounds.upper_millinewton_metre, "upper limit"),
    svg("polyline", { points: samples.map(([time, value]) => `${x(time).toFixed(1)},${y(value).toFixed(1)}`).join(" "), class: "pull" }),
    svg("text", { x: left, y: height - 8 }, "0 s"), svg("text", { x: width - 8, y: height - 8, "text-anchor": "end" }, `${(span / 1e6).toFixed(2)} s`),
    svg("text", { x: 2, y: 12 }, "N·m")), h("figcaption", {}, title));
}

async function traces(subject, kept) {
  const drawn = [];
  for (const fastener of everyFastener(subject)) {
    for (const reading of fastener.readings) {
      const encoded = reading.reading.trace && kept[reading.sequence];
      if (!encoded || !reading.verdict) continue;
      const bytes = Uint8Array.from(atob(encoded), (letter) => letter.charCodeAt(0));
      const name = `${fastener.title}, ${moment(reading.time)}`;
      if (hex(await sha256(bytes)) !== reading.reading.origin.measured?.raw) { drawn.push(h("p", { class: "bad" }, `${name}: these samples are not the ones that were signed`)); continue; }
      const samples = unpack(bytes);
      if (samples?.length > 1) drawn.push(plot(samples, reading.verdict.limits, name));
    }
  }
  return drawn;
}

function map(subject, drawing) {
  if (!drawing) return null;
  const places = new Map();
  subject.fasteners.forEach((fastener, at) => { if (fastener.at) places.set(fastener.at, [...(places.get(fastener.at) || []), [at + 1, fastener]]); });
  if (!drawing.places.some((place) => places.has(place.name))) return null;
  const picture = svg("svg", { viewBox: `0 0 ${drawing.width} ${drawing.height}`, role: "img", "aria-label": drawing.title, class: "map" },
    drawing.lines.map((line) => svg("path", { d: line.path, class: line.what })));
  for (const place of drawing.places) {
    (places.get(place.name) || []).forEach(([number, fastener], turn) => {
      const [x, y] = [place.x + (turn % 3) * 34, place.y + Math.floor(turn / 3) * 34];
      picture.append(svg("g", { class: `spot ${fastener.standing}` }, svg("title", {}, `${number} ${fastener.title}: ${STANDING[fastener.standing]}`),
        svg("circle", { cx: x, cy: y, r: 16 }), svg("text", { x, y: y + 6, "text-anchor": "middle" }, String(number))));
    });
  }
  return picture;
}

// What differs from the record before, in words.
const MEMBER = {
  standing: "how it stands", readings: "readings", dispositions: "decisions", prepared: "prep", loosened: "when it was undone", looked: "second look", deferred: "whether it waits",
  waits_for: "what it waits for", spec: "limits", rule: "how limits are applied", earlier: "earlier limits", summary: "the counts", not_done: "what was not done", elsewhere: "readings that belong nowhere",
  alarms: "over alarms", checks: "checks", check_summary: "the counts of checks", check_alarms: "over alarms of checks", checks_elsewhere: "measurements that belong nowhere", recalls: "recalls",
  plan: "the plan", plan_changes: "changes of the plan", finished: "handing over", reopened: "taken up again", parts: "parts", hands: "who had it in hand", laid_aside: "when it was laid aside",
  notes: "notes", withdrawn: "what was taken back", tools: "tools", due: "what is due", bike: "the bike", removed: "what the plan no longer has", follows: "the build before",
};
const inWords = (members) => members.map((member) => MEMBER[member] || member.replaceAll("_", " ")).join(", ");

// That it takes the place of another record, why, and what is different; and that the build was taken up again.
function amended(subject) {
  const { amends, reopened = [] } = subject;
  if (!amends && !reopened.length) return null;
  const again = reopened.map((act) => item("Taken up again after it had been handed over", tail(act).replace(/^\. /, "")));
  if (!amends) return h("section", { class: "open" }, h("h2", {}, "Taken up again"), list(again));
  return h("section", { class: "open", id: "amends" }, h("h2", {}, "This record takes the place of an earlier one"),
    list([item("The earlier one", `sealed ${moment(amends.sealed)}; SHA-256 ${groups(amends.record)}. Where you have it, this one counts.`), item("Why", amends.reason), ...again]),
    h("p", {}, "What is different:"),
    amends.changed.length ? list(amends.changed.map((change) => item(change.fastener === undefined ? "The bike as a whole" : titleOf(subject, change.fastener), inWords(change.members))))
      : h("p", {}, "It names nothing."));
}

const HELD = "it still waited for somebody to say where it belongs";
const where = (subject, placement) => {
  const [how, said] = Object.entries(placement)[0];
  if (said.place) return titleOf(subject, said.place.fastener ?? said.place.check);
  return how === "nowhere" ? `nowhere: ${said.reason} (${person(said.by)})` : HELD;
};

// Readings that belong to nothing on this bike, and those that a person moved from where they were.
function elsewhere(subject) {
  const shown = ({ reading }) => reading.unit ? (reading.value === undefined ? "past its range" : quantity(reading.unit, reading.value))
    : reading.applied_millinewton_metre === undefined ? "past its range" : both(Math.abs(reading.applied_millinewton_metre));
  const line = (known, says) => item(`${shown(known)}, ${moment(known.time)}`, says);
  const none = [...subject.elsewhere, ...(subject.checks_elsewhere || [])].map((known) => line(known, `belongs ${where(subject, known.placement)}`.replace(`belongs ${HELD}`, HELD)));
  const all = [...everyFastener(subject), ...everyCheck(subject)].flatMap((one) => one.readings);
  const moved = all.filter((known) => (known.earlier_placements || []).some((before) => where(subject, before) !== where(subject, known.placement) && where(subject, before) !== HELD))
    .map((known) => line(known, `first ${[...new Set(known.earlier_placements.map((before) => where(subject, before)))].filter((before) => before !== HELD).join(", then ")}; then placed at ${where(subject, known.placement)}${
      known.placement["by-choice"] ? ` by ${person(known.placement["by-choice"].by)}` : ""}`));
  return [...none, ...moved];
}

const counts = (pairs) => pairs.filter(([count]) => count).map(([count, word]) => `${count} ${word}`).join(", ");

function counted(subject) {
  const s = subject.summary;
  const c = subject.check_summary;
  const figures = (places) => places.flatMap((place) => place.readings.filter((known) => known.counts));
  return [
    s.fasteners ? h("p", {}, `${s.fasteners} ${s.fasteners === 1 ? "fastener" : "fasteners"}: ${counts([[s.within, "within limits"], [s.over, "over and not settled"], [s.over_kept, "over, inspected and kept"], [s.undecided, "undecided"],
      [s.undecided_kept, "undecided, inspected and kept"], [s.open, "not tightened"], [s.deferred, "deferred"]])}. ${measured(subject.fasteners.map(counting).filter(Boolean), ["torque", "torques"])}`)
      : h("p", {}, "The plan has no fasteners: nothing was to be tightened."),
    c?.checks ? h("p", { id: "checks" }, `${c.checks} ${c.checks === 1 ? "check" : "checks"}: ${counts([[c.within, "within limits"], [c.kept, "out of limits, inspected and kept"], [c.out, "out of limits and not settled"],
      [c.deferred, "deferred"], [c.open, "not measured"]])}. ${measured(figures(subject.checks || []), ["value", "values"])}`) : null,
  ];
}

// A record that was checked, as elements.
export async function drawn(found, beside) {
  const { record } = found;
  const subject = record.credentialSubject;
  const name = nameOf(found);
  const facts = [["Frame", subject.bike.frame], ["Plan", `${subject.plan.title}, edition ${subject.plan.edition}`],
    ["Begun", `${moment(subject.started.time)} by ${person(subject.started.by)}`], ["Handed over", `${moment(subject.finished.time)} by ${person(subject.finished.by)}`],
    ["Sealed", moment(record.validFrom)], ["Bench", subject.bench], subject.follows && ["Goes on from", `${subject.follows.build}${subject.follows.record ? `, record ${groups(subject.follows.record)}` : ""}`]].filter(Boolean);
  const over = attention(subject);
  const apart = elsewhere(subject);
  const rest = history(subject);
  const pulls = await traces(subject, beside.traces || {});
  return [
    h("h1", {}, `Torque record: ${name}`),
    subject.practice && h("p", { class: "bad" }, "Practice: the clock ran faster than time. This speaks of no real bike."),
    found.customer && h("p", {}, `For ${found.customer} (added by the shop, not signed)`),
    h("dl", {}, facts.map(([label, value]) => [h("dt", {}, label), h("dd", {}, value)])),
    amended(subject),
    h("section", { class: subject.not_done.length ? "open" : "done" }, h("h2", {}, "What was not done"),
      subject.not_done.length ? list(subject.not_done.map((missing) => item(titleOf(subject, missing.fastener),
        [MISSING[missing.what] || missing.what, missing.reason, missing.waits_for && `waits for ${missing.waits_for}`].filter(Boolean).join(": ")))) : h("p", {}, "Nothing that the plan asks for was left out.")),
    over.length > 0 && h("section", { class: "open" }, h("h2", {}, "Over readings and what was decided"), list(over)),
    apart.length > 0 && h("section", { class: "open", id: "elsewhere" }, h("h2", {}, "Readings that were moved, or belong to nothing here"), list(apart)),
    h("h2", {}, "What was done"), counted(subject), map(subject, beside.map), subject.fasteners.length > 0 && table(subject),
    subject.checks?.length > 0 && [h("h2", {}, "What was measured besides"), checkTable(subject)],
    pulls.length > 0 && [h("h2", {}, "Pulls that were streamed"), pulls],
    rest.length > 0 && [h("h2", {}, "Parts, changes and notes"), list(rest)],
    subject.due?.length > 0 && [h("h2", {}, "Due next"), list(subject.due.map((due) => again(subject, due)))],
    h("h2", {}, "Tools and calibration"), tools(subject),
    h("h2", {}, "Cautions"), list(subject.cautions.map((caution) => h("li", {}, caution))),
  ].flat(Infinity).filter(Boolean);
}

export const nameOf = ({ record: { credentialSubject: { bike } } }) => bike.label || `Frame ${bike.frame}`;
