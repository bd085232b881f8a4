// The bench page. It draws what GET /v1/bench answers, follows GET /v1/events, and sends acts to POST /v1/acts.
// It decides nothing: no verdict, no placement and no acknowledgement is shown that the daemon has not given out, and
// the daemon gives them out only when they are on disk. The one thing shown straight from an event is the over alarm,
// because it may not wait for another request; its event, too, comes after the commit.

const CARBON_CAUTION = "After an over reading on carbon the part is not to be ridden until a competent person has looked at it.";
const FETCH_TIMEOUT_MS = 6000;
const POLL_MS = 15000; // a connection that died in silence is found by asking
const RETRY_MS = 2000;
const LISTEN_AGAIN_MS = 1000;
const STRAY_TOUCH_MS = 700; // a touch meant for what was there before must not answer what has just appeared

// The kinds of entries, schema/src/entry.rs. EventSource hands out named events by name only.
const KINDS = [
  "started", "clock-changed", "tool-added", "tool-connected", "tool-gone", "build-started", "tool-assigned",
  "pointed-at", "pulled", "unreadable", "placed", "acknowledged", "loosened", "deferred", "taken-up", "prepared",
  "looked", "disposed", "build-finished", "record-sealed",
];

const STANDING = {
  open: "open", "part-way": "part way", under: "under", within: "within", over: "over",
  "over-kept": "over, inspected and kept", deferred: "deferred",
};
const CAUTION = {
  "no-certificate": "no calibration certificate on file",
  "certificate-past": "the tool is past its calibration date",
  "below-tool-range": "below the tool's usable range",
  "above-tool-range": "above the tool's usable range",
  "past-tool-range": "more torque than the tool can show",
  "battery-low": "battery nearly empty",
  "no-lower-limit": "only a maximum is stated",
  attested: "attested by a person, not measured",
};
const HELD = {
  unclear: "no fastener is clearly the right one",
  "no-build": "the tool serves no build",
  "nothing-planned": "nothing is open in the build",
  "wrong-way": "it turned against the thread",
  "pass-skipped": "the whole torque in an early pass",
  "earlier-held": "an earlier reading still waits",
};
const PULL = {
  next: "next of the plan", repeat: "the same fastener once more", "out-of-order": "out of order",
  again: "a tight fastener once more", test: "no fastener",
};
const DECISION = [
  ["part-replaced", "Part replaced", "The fastener starts anew."],
  ["inspected-and-kept", "Inspected and kept", "A competent person inspected the part and kept it."],
  ["tightened-again", "Undone and tightened again", "The fastener starts anew, with the same part."],
];
const UCUM = {
  "N.m": "N·m", "dN.m": "dN·m", "cN.m": "cN·m", "mN.m": "mN·m", "[lbf_av].[in_i]": "lbf·in", "[lbf_av].[ft_i]": "lbf·ft",
  "[oz_av].[g].[in_i]": "ozf·in", "kgf.cm": "kgf·cm", "kgf.m": "kgf·m",
};

// ---------------------------------------------------------------------------------------------------- state

const state = {
  view: null, // the last answer of GET /v1/bench
  chosen: remembered("build"),
  live: null, // the event stream is open; null until it was tried
  reachable: true, // the last request was answered
  lostSince: null,
  trouble: null, // what the daemon said instead of the bench
  sheet: null, // {kind, build, fastener, form}
  eventAlarms: new Map(), // over alarms that are newer than the view
  acknowledged: new Set(), // alarms for which the daemon answered Done
  refusal: null,
};
const drafts = new Map(); // what a person has typed and not sent
const joints = new Map(); // joint by build and fastener, as far as the answers have named it

function remembered(key) {
  try { return localStorage.getItem(`pullmark.${key}`) || ""; } catch { return ""; }
}
function remember(key, value) {
  try { localStorage.setItem(`pullmark.${key}`, value); } catch { /* private window: kept until it is closed */ }
}
let who = remembered("by");

// ---------------------------------------------------------------------------------------------------- words

// A figure and its unit stay on one line.
const unbroken = (text) => text.replaceAll(" ", "\u00a0");

function newtonMetres(milli) {
  if (milli === null || milli === undefined) return "";
  const size = Math.abs(milli);
  const rest = String(size % 1000).padStart(3, "0").replace(/0+$/, "");
  return `${milli < 0 ? "−" : ""}${Math.trunc(size / 1000)}${rest ? `.${rest}` : ""}`;
}
const torque = (milli) => unbroken(`${newtonMetres(milli)} N·m`);

function limitsInWords(limits) {
  const lower = limits.lower_millinewton_metre;
  const upper = newtonMetres(limits.upper_millinewton_metre);
  return lower === undefined || lower === null
    ? `at most ${upper}\u00a0N·m, no lower limit stated`
    : `${newtonMetres(lower)} to ${upper}\u00a0N·m`;
}
const hasLower = (limits) => limits.lower_millinewton_metre !== undefined && limits.lower_millinewton_metre !== null;
const passInWords = (pass, passes, percent) => passes > 1 ? `pass ${pass + 1} of ${passes}, ${percent}\u00a0%` : "one pass";
const clock = (time) => /T(\d\d:\d\d:\d\d)/.exec(time || "")?.[1] || "";
const day = (time) => String(time || "").slice(0, 10);
const bikeName = (build) => build.bike.label || `Frame ${build.bike.frame}`;
const count = (n, one, many) => `${n} ${n === 1 ? one : many}`;
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// The judged torque is said beside the displayed value only where the two differ.
function judgedInWords(last) {
  const applied = last.applied_millinewton_metre;
  if (applied === null || applied === undefined || !last.displayed) return "";
  const shown = /^([+-]?[\d.]+) N·m$/.exec(last.displayed);
  return shown && Math.round(Number(shown[1]) * 1000) === applied ? "" : `judged as ${torque(applied)}`;
}

function summaryInWords(summary) {
  const parts = [`${summary.within} of ${summary.fasteners} within`];
  if (summary.over_kept) parts.push(`${summary.over_kept} over, inspected and kept`);
  if (summary.over) parts.push(`${summary.over} over`);
  if (summary.deferred) parts.push(`${summary.deferred} deferred`);
  if (summary.open) parts.push(`${summary.open} open`);
  return parts.join("; ");
}

// ---------------------------------------------------------------------------------------------------- elements

// Makes an element. Text is only ever set as text, so nothing from a plan or a tool can become markup.
function h(name, props, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(props || {})) {
    if (value === undefined || value === null || value === false) continue;
    if (key === "class") element.className = value;
    else if (key === "on") for (const [event, heard] of Object.entries(value)) element.addEventListener(event, heard);
    else if (key === "draft") keepDraft(element, value);
    else if (value === true) element.setAttribute(key, "");
    else element.setAttribute(key, String(value));
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false && child !== ""));
  return element;
}

function keepDraft(element, key) {
  element.dataset.key = key;
  if (element.type === "radio") return;
  element.value = drafts.get(key) || "";
  element.addEventListener("input", () => drafts.set(key, element.value));
}

function button(key, className, onTouch, ...children) {
  const element = h("button", { type: "button", class: className, "data-key": key }, ...children);
  element.addEventListener("click", () => onTouch(element));
  return element;
}

const SVG = "http://www.w3.org/2000/svg";
function shape(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

// Our own marks: a band between two limits on a line of rising torque, and where the pull came to lie. Solid band:
// it lies inside. Disc on the left: below. Torn wall and a lozenge beyond it: above. The shape says it without colour.
function mark(name, lower = true) {
  const line = (d, extra = {}) => shape("path", { d, class: "line", ...extra });
  const solid = (d) => shape("path", { d, class: "solid", "fill-rule": "evenodd" });
  const disc = (x, y, r) => `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`;
  const band = lower ? "M22 5H42V27H22z" : "M20 5H42V27H20"; // without a lower limit it has no left wall
  const ends = "M2 16H20M44 16H62";
  const torn = `${lower ? "M42 10V5H22V27H42V22" : "M42 10V5H20M20 27H42V22"}`;
  const parts = {
    within: [solid(`M22 5H42V27H22z${disc(32, 16, 5)}`), line(ends)],
    under: [line(band), solid(disc(9, 16, 7)), line("M16 16H20M44 16H62")],
    over: [line(torn), line("M2 16H20"), solid("M27 13H44V19H27z"), solid("M52 5L63 16L52 27L41 16z")],
    undecided: [line("M42 5H22V27H42M42 5V8M42 24V27"), line("M2 16H20M50 16H62"), line(disc(42, 16, 7)), solid("M42 9a7 7 0 0 0 0 14z")],
    held: [line("M22 15V29H42V15", { class: "line broken" }), line("M2 22H18M46 22H62"), line(disc(32, 7, 5))],
    open: [line(band), line(ends)],
    "part-way": [line(band), line(ends), solid("M22 5H32V27H22z")],
    deferred: [line(band, { class: "line broken" }), line("M28 16H36")],
    "over-kept": [line("M38 5H22V27H38"), line("M2 16H20"), line("M43 6H62V26H43z"), solid("M52.5 9L59.5 16L52.5 23L45.5 16z"), line("M28 16H42")],
    test: [line("M2 16H25M39 16H62"), line(disc(32, 16, 7))],
    joined: [solid("M14 8H30V24H14z"), solid("M34 8H50V24H34z"), line("M2 16H62")],
    hand: [solid("M24 8H40V24H24z")],
    apart: [line("M6 8H22V24H6z"), line("M42 8H58V24H42z")],
  }[name] || [line(ends)];
  const svg = shape("svg", { viewBox: "0 0 64 32", class: `mark mark-${name}`, "aria-hidden": "true", focusable: "false" });
  svg.append(...parts);
  return svg;
}

const drawn = new Map();

// Draws one part anew if what it shows has changed. Focus and caret stay where they were.
function draw(id, shown, make) {
  const fingerprint = JSON.stringify(shown);
  if (drawn.get(id) === fingerprint) return;
  drawn.set(id, fingerprint);
  const place = document.getElementById(id);
  const focus = place.contains(document.activeElement) ? document.activeElement : null;
  const caret = focus && "selectionStart" in focus ? [focus.selectionStart, focus.selectionEnd] : null;
  const key = focus?.dataset.key;
  const made = shown === null ? [] : [make(shown)].flat(Infinity).filter(Boolean);
  place.replaceChildren(...made);
  place.hidden = made.length === 0;
  if (!key) return;
  const again = [...place.querySelectorAll("[data-key]")].find((element) => element.dataset.key === key);
  again?.focus({ preventScroll: true });
  if (again && caret && caret[0] !== null) again.setSelectionRange(...caret);
}

// A key that is held down answers once.
document.addEventListener("keydown", (event) => {
  if (event.repeat && event.target.tagName === "BUTTON" && (event.key === "Enter" || event.key === " ")) event.preventDefault();
});

// Arrow keys go from button to button within a group.
document.addEventListener("keydown", (event) => {
  const step = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[event.key];
  const group = step && event.target.closest?.("[data-arrows]");
  if (!group || event.target.tagName !== "BUTTON") return;
  const buttons = [...group.querySelectorAll("button:not(:disabled)")];
  const at = buttons.indexOf(event.target) + step;
  if (at >= 0 && at < buttons.length) { event.preventDefault(); buttons[at].focus(); }
});

// ---------------------------------------------------------------------------------------------------- daemon

async function ask(path, options = {}) {
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), FETCH_TIMEOUT_MS);
  try {
    const answer = await fetch(path, { cache: "no-store", signal: abort.signal, ...options });
    return { ok: answer.ok, body: await answer.json().catch(() => null), status: answer.status };
  } finally {
    clearTimeout(timer);
  }
}

let underWay = false;
let queued = false;
let retry = null;

// At most one request is under way and one waits.
async function refetch() {
  if (underWay) { queued = true; return; }
  underWay = true;
  do {
    queued = false;
    await fetchBench();
  } while (queued);
  underWay = false;
}

async function fetchBench() {
  clearTimeout(retry);
  try {
    const answer = await ask("/v1/bench");
    state.reachable = true;
    state.trouble = answer.ok && answer.body ? null : answer.body?.detail || `The daemon answered with status ${answer.status}.`;
    if (!state.trouble) adopt(answer.body);
  } catch {
    state.reachable = false;
  }
  if (!state.reachable || state.trouble) retry = setTimeout(refetch, RETRY_MS);
  render();
}

function adopt(view) {
  const before = state.view;
  state.view = view;
  for (const sequence of [...state.eventAlarms.keys()]) if (sequence <= view.sequence) state.eventAlarms.delete(sequence);
  for (const build of view.builds) {
    if (build.next?.joint) joints.set(`${build.id} ${build.next.fastener}`, build.next.joint);
    for (const alarm of build.alarms) if (alarm.joint) joints.set(`${build.id} ${alarm.fastener}`, alarm.joint);
  }
  if (before) speak(before, view); else listen(view.sequence);
}

// Says a new verdict to those who hear the page. What was there when the page was opened is not news.
function speak(before, view) {
  for (const build of view.builds) {
    const old = before.builds.find((b) => b.id === build.id)?.last;
    const last = build.last;
    if (!last || (old && old.sequence === last.sequence && old.answer === last.answer && old.title === last.title)) continue;
    const [, word] = lastState(build);
    document.getElementById("spoken").textContent = `${word}. ${last.displayed || "More than the tool can show"}. ${last.title || ""}`;
  }
}

let source = null;
let lastEvent = 0;

function listen(after) {
  lastEvent = after;
  source = new EventSource(`/v1/events?after=${after}`);
  source.onopen = () => { state.live = true; refetch(); };
  // A browser waits some seconds before it tries again, which is long for an alarm: ask at once, and listen again soon.
  source.onerror = () => {
    source.close();
    state.live = false;
    refetch();
    setTimeout(() => listen(lastEvent), LISTEN_AGAIN_MS);
  };
  for (const kind of KINDS) source.addEventListener(kind, heard);
}

function heard(event) {
  let entry;
  try { entry = JSON.parse(event.data); } catch { refetch(); return; }
  if (Number.isInteger(entry.sequence)) lastEvent = Math.max(lastEvent, entry.sequence);
  if (entry.body?.alarm && (entry.kind === "pulled" || entry.kind === "placed")) {
    raise(entry);
    render();
  }
  refetch();
}

// An over alarm as its event tells it; titles come from what the page already knows.
function raise(entry) {
  if (entry.sequence <= (state.view?.sequence ?? -1)) return;
  const { alarm, build: id, reading } = entry.body;
  const build = state.view?.builds.find((b) => b.id === id);
  const fastener = build && findFastener(build, alarm.place.fastener);
  let displayed = null;
  if (entry.kind === "placed") {
    displayed = build?.held.find((held) => held.sequence === reading)?.displayed
      ?? (build?.last?.sequence === reading ? build.last.displayed : null);
  } else if (reading.displayed) {
    displayed = `${reading.displayed.value} ${UCUM[reading.displayed.unit] || reading.displayed.unit}`;
  }
  state.eventAlarms.set(entry.sequence, {
    sequence: entry.sequence, build: id, fastener: alarm.place.fastener, title: fastener?.title || alarm.place.fastener,
    displayed, unseen: entry.kind === "placed" && displayed === null, upper_millinewton_metre: alarm.upper_millinewton_metre,
    joint: joints.get(`${id} ${alarm.place.fastener}`) || null,
  });
}

function alarms() {
  const known = (state.view?.builds || []).flatMap((build) => build.alarms.map((alarm) => ({ ...alarm, build: build.id })));
  return [...known, ...state.eventAlarms.values()]
    .filter((alarm) => !state.acknowledged.has(alarm.sequence))
    .sort((a, b) => a.sequence - b.sequence);
}

let acting = false;

// Sends one act. What was done is shown when the daemon has said so; a refusal is shown in its words.
async function act(body, options = {}) {
  if (acting) return false;
  if ("by" in body && !body.by) { refuse("Write your name first: every act is kept with the name of who did it."); focusName(); return false; }
  acting = true;
  document.body.classList.add("acting");
  let done = false;
  try {
    const answer = await ask("/v1/acts", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
    done = answer.ok;
    if (!done) refuse(answer.body?.detail || `The daemon answered with status ${answer.status}.`);
  } catch {
    refuse("No answer from the daemon. It may have been done or not: look at the list before you try again.");
  }
  acting = false;
  document.body.classList.remove("acting");
  if (done) {
    state.refusal = null;
    for (const key of options.forget || []) drafts.delete(key);
    options.then?.();
  }
  render();
  refetch();
  return done;
}

function refuse(text) {
  state.refusal = text;
  render();
}

function focusName() {
  const fields = [...document.querySelectorAll(".name-field")];
  (fields.find((field) => field.closest("#alarm")) || fields.find((field) => field.closest("#sheet")) || fields[0])?.focus();
}

// ---------------------------------------------------------------------------------------------------- sound

let audio = null;
let ringing = null;

const soundIsOn = () => audio?.state === "running";

function switchSoundOn() {
  const Context = window.AudioContext || window.webkitAudioContext;
  if (!Context) return;
  if (!audio) { audio = new Context(); audio.onstatechange = render; }
  if (!soundIsOn()) audio.resume().then(render, () => {});
}
// Browsers let a page make sound only after a touch or a key.
for (const event of ["pointerdown", "keydown"]) document.addEventListener(event, switchSoundOn, { passive: true });

function tone(frequency, start, length) {
  const oscillator = audio.createOscillator();
  const gain = audio.createGain();
  oscillator.type = "square";
  oscillator.frequency.value = frequency;
  gain.gain.setValueAtTime(0, start);
  gain.gain.linearRampToValueAtTime(0.35, start + 0.01);
  gain.gain.setValueAtTime(0.35, start + length - 0.02);
  gain.gain.linearRampToValueAtTime(0, start + length);
  oscillator.connect(gain).connect(audio.destination);
  oscillator.start(start);
  oscillator.stop(start + length);
}

function ring() {
  if (!soundIsOn()) return;
  tone(988, audio.currentTime, 0.3);
  tone(659, audio.currentTime + 0.32, 0.3);
}

function soundAlarm(wanted) {
  if (wanted && !ringing) { ring(); ringing = setInterval(ring, 750); if (soundIsOn()) navigator.vibrate?.([400, 150, 400]); }
  if (!wanted && ringing) { clearInterval(ringing); ringing = null; }
}

// ---------------------------------------------------------------------------------------------------- parts

function nameField(id) {
  const field = h("input", { id, class: "name-field", "data-key": id, autocomplete: "off", autocapitalize: "words", spellcheck: "false", maxlength: 64 });
  field.value = who;
  field.addEventListener("input", () => {
    who = field.value.trim();
    remember("by", who);
    for (const other of document.querySelectorAll(".name-field")) if (other !== field) other.value = who;
  });
  return field;
}

const findFastener = (build, id) => build.stages.flatMap((stage) => stage.fasteners).find((fastener) => fastener.id === id);
const stageOf = (build, id) => build.stages.find((stage) => stage.fasteners.some((fastener) => fastener.id === id));
const serving = (build) => state.view.tools.filter((tool) => tool.serves === build.id);
const serves = (tool) => state.view.builds.find((build) => build.id === tool.serves);

function shownBuild() {
  const builds = state.view?.builds || [];
  const finished = builds.filter((build) => build.finished);
  return builds.find((build) => build.id === state.chosen) || builds.find((build) => !build.finished) || finished.at(-1) || null;
}

function choose(id) {
  state.chosen = id;
  remember("build", id);
  render();
}

// The state of the last reading: which mark, and the word.
function lastState(build) {
  const last = build.last;
  if (last.answer) return [last.answer, capital(last.answer)];
  if (build.held.some((held) => held.sequence === last.sequence)) return ["held", "Held"];
  return ["test", last.kind === "test" ? "Test pull" : "No fastener"];
}

function toolInWords(tool) {
  if (!tool.tool.connection) return tool.tool.kind === "setting" ? "set and entered by hand" : "entered by hand";
  return tool.connected ? "connected" : `gone${tool.gone ? `: ${tool.gone}` : ""}`;
}
const isGone = (tool) => Boolean(tool.tool.connection) && !tool.connected;

function drawTop() {
  const { view } = state;
  document.getElementById("bench").textContent = view?.bench || "Bench";
  draw("tools", view && [view.tools, view.builds.map((build) => [build.id, build.bike])], () => [...view.tools].sort((a, b) => isGone(b) - isGone(a)).map((tool) => {
    const of = serves(tool);
    return h("li", {}, button(`tool ${tool.tool.id}`, isGone(tool) ? "tool gone" : "tool", () => openSheet({ kind: "tool", tool: tool.tool.id }),
      mark(isGone(tool) ? "apart" : tool.tool.connection ? "joined" : "hand"),
      h("span", { class: "tool-text" }, h("b", {}, tool.tool.title), h("span", {}, toolInWords(tool)),
        view.builds.length > 1 && h("span", { class: "quiet" }, of ? `serves ${bikeName(of)}` : "serves no build"))));
  }));
  draw("sound", { on: soundIsOn() }, ({ on }) => on
    ? h("p", { class: "quiet" }, "Sound is on")
    : button("sound", "plain warn", switchSoundOn, "Sound is off: touch to switch it on"));
  draw("who", {}, () => [h("label", { for: "by" }, "Your name"), nameField("by")]);
}

function drawConnection() {
  const whole = state.reachable && state.live !== false && !state.trouble;
  if (whole) state.lostSince = null;
  else state.lostSince ||= new Date().toTimeString().slice(0, 8);
  document.body.classList.toggle("lost", !whole);
  draw("connection", whole ? null : [state.trouble, state.lostSince, Boolean(state.view)], ([trouble, since, seen]) => [
    h("b", {}, trouble && state.reachable ? `The daemon cannot show the bench: ${trouble}` : "No connection to the daemon"
      + (seen ? ": what you see may be old." : ".")),
    h("span", {}, `Since ${since}. The page keeps trying.`),
  ]);
}

function drawBuilds(chosen) {
  const builds = state.view?.builds || [];
  const open = builds.filter((build) => !build.finished);
  const finished = builds.filter((build) => build.finished);
  const isShown = builds.length > 1;
  draw("builds", isShown ? [chosen.id, builds.map((b) => [b.id, b.bike, b.summary, b.finished, b.sealed, b.held.length, b.last?.answer])] : null, () => [
    h("div", { class: "board", "data-arrows": true }, open.map((build) => boardCard(build, chosen))),
    finished.length > 0 && finishedSelect(finished, chosen),
  ]);
}

function boardCard(build, chosen) {
  const flags = [];
  if (build.summary.over) flags.push(`${build.summary.over} over`);
  if (build.held.length) flags.push(`${build.held.length} held`);
  const card = button(`build ${build.id}`, "card", () => choose(build.id),
    h("b", {}, bikeName(build)),
    h("span", {}, `${build.summary.within + build.summary.over_kept} of ${build.summary.fasteners} done`),
    flags.length > 0 && h("span", { class: build.summary.over ? "flag over" : "flag held" }, mark(build.summary.over ? "over" : "held"), flags.join(", ")));
  card.setAttribute("aria-pressed", String(build.id === chosen.id));
  return card;
}

function finishedSelect(finished, chosen) {
  const select = h("select", { id: "finished", "data-key": "finished", on: { change: (event) => event.target.value && choose(event.target.value) } },
    h("option", { value: "" }, count(finished.length, "finished build", "finished builds")),
    [...finished].reverse().map((build) => h("option", { value: build.id }, `${bikeName(build)}, ${day(build.finished)}${build.sealed ? "" : ", not sealed"}`)));
  select.value = chosen.finished ? chosen.id : "";
  return h("label", { class: "finished-builds" }, h("span", { class: "unseen" }, "Finished builds"), select);
}

// ---------------------------------------------------------------------------------------------------- next and last

function drawNext(build) {
  const tools = build && serving(build);
  draw("next", build && !build.finished ? [build.id, build.next, build.summary, build.held.length, tools] : null, () => {
    if (!build.next) return nothingNext(build);
    const next = build.next;
    const aim = newtonMetres(next.aim_millinewton_metre);
    return [
      h("p", { class: "label" }, "Next"),
      h("h2", { class: next.title.length > 26 ? "next-title long" : "next-title" }, next.title),
      h("p", { class: "next-stage" }, `${next.stage}, ${passInWords(next.pass, next.passes, next.percent)}`),
      h("div", { class: "next-body" },
        h("div", { class: "next-figure" },
          h("p", { class: `aim aim-${aim.length > 4 ? "long" : aim.length > 2 ? "middle" : "short"}` }, h("b", {}, aim), h("span", {}, "N·m")),
          h("p", { class: "limits" }, mark("open", hasLower(next.limits)), h("span", {}, limitsInWords(next.limits)))),
        nextDetails(build, next)),
      toolNotices(build, tools),
    ];
  });
}

function nextDetails(build, next) {
  return h("div", { class: "details" },
    next.left_hand && h("p", { class: "notice" }, h("b", {}, "Left-hand thread"), h("span", {}, "tighten anticlockwise")),
    next.joint === "carbon" && h("p", { class: "notice" }, h("b", {}, "Carbon joint"), h("span", {}, "an over reading here needs a disposition")),
    next.drive && h("p", {}, h("span", { class: "label" }, "Drive"), h("b", {}, next.drive)),
    next.prep.length > 0 ? prepRow(build, next) : h("p", {}, h("span", { class: "label" }, "Prep"), h("b", {}, "none stated")));
}

function nothingNext(build) {
  const waits = build.summary.over ? "An over reading waits for a disposition."
    : build.summary.open ? `${count(build.summary.open, "fastener is", "fasteners are")} still open: point at one in the list.`
      : build.summary.deferred ? `${count(build.summary.deferred, "fastener is", "fasteners are")} deferred; the rest is done.` : "Every fastener of the plan is done.";
  return [h("p", { class: "label" }, "Next"), h("h2", { class: "next-title" }, "Nothing is next"), h("p", { class: "next-stage" }, waits)];
}

function prepRow(build, next) {
  return h("div", { class: next.prepared ? "prep on" : "prep" },
    h("p", {}, h("span", { class: "label" }, "Prep"), h("b", {}, next.prep.join(", "))),
    next.prepared
      ? h("p", { class: "prep-state" }, mark("joined"), "prep is on")
      : button("prep", "main", () => act({ act: "prepare", build: build.id, fastener: next.fastener, by: who }), "Prep is on"));
}

function toolNotices(build, tools) {
  if (tools.length === 0) {
    return h("div", { class: "tool-notice" }, h("p", {}, "No tool serves this build."),
      state.view.tools.map((tool) => button(`assign ${tool.tool.id}`, "plain",
        () => act({ act: "assign-tool", tool: tool.tool.id, build: build.id }), `Let ${tool.tool.title} serve it`)));
  }
  return tools.filter(isGone).map((tool) => h("div", { class: "tool-notice gone" }, mark("apart"),
    h("p", {}, h("b", {}, `${tool.tool.title} is gone`), tool.gone ? `: ${tool.gone}` : "", ". A pull now is not received.")));
}

function drawLast(build) {
  draw("last", build ? [build.id, build.last, build.held.map((held) => held.sequence)] : null, () => {
    const last = build.last;
    if (!last) return h("p", { class: "last-none" }, "No reading yet");
    const [name, word] = lastState(build);
    const judged = judgedInWords(last);
    const kind = last.kind && last.kind !== "next" && last.answer ? PULL[last.kind] : "";
    return h("div", { class: `last-card is-${name}` },
      mark(name),
      h("p", { class: "last-word" }, h("span", { class: "unseen" }, "Last reading: "), word),
      h("p", { class: "last-value" }, last.displayed ? unbroken(last.displayed) : "more than the tool can show"),
      h("p", { class: "last-title" }, [last.title || (name === "held" ? "waits for a person to say where it belongs" : "no fastener"), kind, judged].filter(Boolean).join(", ")),
      last.cautions.length > 0 && h("p", { class: "last-cautions" }, capital(last.cautions.map((caution) => CAUTION[caution] || caution).join("; "))),
      h("p", { class: "last-time" }, clock(last.time), h("span", {}, ` ${state.view.tools.find((t) => t.tool.id === last.tool)?.tool.title || last.tool}`)));
  });
}

// ---------------------------------------------------------------------------------------------------- decisions

// Held readings and over readings come before everything else.
function drawDecide(build) {
  const over = build ? build.stages.flatMap((stage) => stage.fasteners).filter((fastener) => fastener.standing === "over") : [];
  const isNeeded = build && !build.finished && (build.held.length > 0 || over.length > 0);
  draw("decide", isNeeded ? [build.id, build.held, over] : null, () => {
    const shownAt = performance.now();
    const settled = (then) => (element) => performance.now() - shownAt > STRAY_TOUCH_MS && then(element);
    return [build.held.length > 0 && heldPanel(build, settled), over.map((fastener) => overPanel(build, fastener))];
  });
}

function placeAct(held, candidate) {
  return candidate.fastener
    ? { act: "place", reading: held.sequence, fastener: candidate.fastener, ...(Number.isInteger(candidate.pass) ? { pass: candidate.pass } : {}), by: who }
    : { act: "place", reading: held.sequence, fastener: null, by: who, reason: "test pull" };
}

const heldQuestion = (held) => `Where does ${held.displayed ? unbroken(held.displayed) : "the reading past the tool's range"} belong?`;

function heldPanel(build, settled) {
  const held = build.held[0];
  const candidates = held.candidates.some((c) => !c.fastener) ? held.candidates
    : [...held.candidates, { fastener: null, title: "test pull", pass: null, kind: "test", percent: null }];
  return h("section", { class: "held-panel", "aria-label": "Held reading" },
    h("p", { class: "label" }, mark("held"), build.held.length > 1 ? `Held, 1 of ${build.held.length}` : "Held"),
    h("h2", {}, heldQuestion(held)),
    h("p", {}, `${clock(held.time)}: ${HELD[held.because] || held.because}.`),
    h("div", { class: "candidates", "data-arrows": true },
      candidates.map((candidate, index) => candidateButton(build, held, candidate, index, settled)),
      button("held other", "candidate other", settled(() => openSheet({ kind: "place", build: build.id, reading: held.sequence })), h("b", {}, "Another fastener…"))));
}

function candidateButton(build, held, candidate, index, settled) {
  const passes = candidate.fastener ? stageOf(build, candidate.fastener)?.passes_percent || [] : [];
  const pass = candidate.fastener && Number.isInteger(candidate.pass) && passes.length > 1
    ? `${passInWords(candidate.pass, passes.length, passes[candidate.pass])}; ` : "";
  return button(`held ${index}`, "candidate", settled(() => act(placeAct(held, candidate))),
    h("span", {}, h("b", {}, candidate.fastener ? candidate.title : "Test pull"), h("span", {}, pass + PULL[candidate.kind])),
    candidate.percent !== null && h("span", { class: "percent" }, `${candidate.percent} %`));
}

function overPanel(build, fastener) {
  const key = `dispose ${build.id} ${fastener.id}`;
  const joint = joints.get(`${build.id} ${fastener.id}`);
  const highest = fastener.highest_millinewton_metre;
  const send = (event) => {
    event.preventDefault();
    const decision = drafts.get(`${key} decision`);
    const reason = (drafts.get(`${key} reason`) || "").trim();
    if (!decision) return refuse("Choose what was decided: part replaced, inspected and kept, or undone and tightened again.");
    if (!reason) return refuse("Write the reason: it stands in the record beside the decision.");
    return act({ act: "dispose", build: build.id, fastener: fastener.id, decision, by: who, reason }, { forget: [`${key} decision`, `${key} reason`] });
  };
  return h("section", { class: "over-panel", "aria-label": `Disposition: ${fastener.title}` },
    h("p", { class: "label" }, mark("over", hasLower(fastener.limits)), "Over, a disposition is needed"),
    h("h2", {}, fastener.title),
    h("p", { class: "over-figures" }, h("b", {}, highest === null ? "more than the tool can show" : torque(highest)),
      ` the limit is ${torque(fastener.limits.upper_millinewton_metre)}`),
    joint !== "metal" && h("p", { class: "caution" }, CARBON_CAUTION),
    h("form", { on: { submit: send }, novalidate: true },
      h("fieldset", {}, h("legend", { class: "label" }, "What was decided?"), DECISION.map(([value, word, meaning]) => decisionRadio(key, value, word, meaning))),
      h("label", { class: "label", for: `${key} reason` }, "Reason (needed)"),
      h("textarea", { id: `${key} reason`, rows: 2, draft: `${key} reason`, required: true, maxlength: 500 }),
      h("button", { type: "submit", class: "main", "data-key": `${key} send` }, "Keep this decision")));
}

function decisionRadio(key, value, word, meaning) {
  const radio = h("input", { type: "radio", name: key, value, draft: `${key} ${value}` });
  radio.checked = drafts.get(`${key} decision`) === value;
  radio.addEventListener("change", () => drafts.set(`${key} decision`, value));
  return h("label", { class: "choice" }, radio, h("span", {}, h("b", {}, word), h("span", {}, meaning)));
}

// ---------------------------------------------------------------------------------------------------- list

function drawList(build) {
  draw("list", build ? [build.id, build.bike, build.plan, build.edition, build.by, build.started, build.summary, build.stages, build.next, build.finished] : null, () => [
    h("h2", {}, bikeName(build)),
    h("p", { class: "quiet" }, `Frame ${build.bike.frame}. Plan ${build.plan}, edition ${build.edition}. Begun by ${build.by} on ${day(build.started)}.`),
    h("p", { class: "summary" }, summaryInWords(build.summary)),
    h("div", { "data-arrows": true }, build.stages.map((stage) => [
      h("h3", {}, stage.title, h("span", {}, stage.passes_percent.length > 1 ? `passes ${stage.passes_percent.map((p) => `${p} %`).join(", ")}` : "")),
      h("ul", { class: "fasteners" }, stage.fasteners.map((fastener) => h("li", {}, fastenerRow(build, stage, fastener)))),
    ])),
  ]);
}

function fastenerRow(build, stage, fastener) {
  const notes = fastenerNotes(stage, fastener);
  const isNext = build.next?.fastener === fastener.id && !build.finished;
  return button(`fastener ${fastener.id}`, `fastener is-${fastener.standing}${isNext ? " is-next" : ""}`,
    () => openSheet({ kind: "fastener", build: build.id, fastener: fastener.id }),
    mark(fastener.standing, hasLower(fastener.limits)),
    h("span", { class: "fastener-text" },
      h("b", {}, fastener.title),
      h("span", { class: "quiet" }, limitsInWords(fastener.limits)),
      notes.map((note) => h("span", { class: "note" }, note))),
    h("span", { class: "fastener-state" },
      h("span", { class: "word" }, STANDING[fastener.standing] || fastener.standing),
      fastener.highest_millinewton_metre !== null && h("span", { class: "figure" }, torque(fastener.highest_millinewton_metre)),
      isNext && h("span", { class: "next-flag" }, "next")));
}

function fastenerNotes(stage, fastener) {
  const notes = [];
  const passes = stage.passes_percent.length;
  if (passes > 1 && fastener.passes_done > 0 && fastener.passes_done < passes) notes.push(`pass ${fastener.passes_done} of ${passes} done`);
  if (fastener.deferred) notes.push(`waits for: ${fastener.deferred}`);
  if (fastener.second_look) notes.push(fastener.looked ? "second look done" : "second look open");
  return notes;
}

// ---------------------------------------------------------------------------------------------------- hand-over

function hindrances(build) {
  const all = [];
  const { summary } = build;
  if (build.alarms.length) all.push(`${count(build.alarms.length, "over alarm is", "over alarms are")} not acknowledged`);
  if (build.held.length) all.push(`${count(build.held.length, "reading is", "readings are")} held`);
  if (summary.over) all.push(`${count(summary.over, "over reading waits", "over readings wait")} for a disposition`);
  if (summary.open) all.push(`${count(summary.open, "fastener is", "fasteners are")} open: tighten or defer`);
  return all;
}

function drawHandover(build) {
  draw("handover", build ? [build.id, build.finished, build.sealed, build.summary, build.held.length, build.alarms.length, build.stages] : null, () => {
    if (build.finished) return finishedPart(build);
    const waiting = hindrances(build);
    return [
      h("h2", {}, "Hand-over"),
      waiting.length > 0
        ? [h("p", {}, "Before this build can be finished:"), h("ul", { class: "plain-list" }, waiting.map((text) => h("li", {}, text)))]
        : button("finish", "main", () => openSheet({ kind: "finish", build: build.id }), "Finish build"),
    ];
  });
}

const href = (build, what) => `/v1/builds/${encodeURIComponent(build.id)}/${what}`;

function finishedPart(build) {
  return [
    h("h2", {}, "Hand-over"),
    h("p", {}, build.sealed ? "The record is sealed." : "The build is finished. Its record is not sealed yet."),
    build.sealed
      ? h("p", { class: "links" }, h("a", { href: href(build, "record"), "data-key": "record" }, "Record"), h("a", { href: href(build, "readings.csv"), "data-key": "csv" }, "Readings as CSV"))
      : button("seal", "main", () => act({ act: "seal", build: build.id, by: who }), "Seal record"),
  ];
}

// What a finished build shows in the place of what comes next.
function drawFinished(build) {
  if (!build?.finished) return;
  draw("next", [build.id, build.finished, build.summary, build.sealed], () => [
    h("p", { class: "label" }, bikeName(build)),
    h("h2", { class: "next-title" }, "Build finished"),
    h("p", { class: "next-stage" }, `on ${day(build.finished)} at ${clock(build.finished)}`),
    h("p", { class: "summary" }, capital(summaryInWords(build.summary))),
    notDone(build),
    h("p", { class: "quiet" }, "A torque within spec is not proof of a sound joint."),
  ]);
}

// What was not done is said as loudly as what was.
function notDone(build) {
  const all = build.stages.flatMap((stage) => stage.fasteners);
  const lines = [
    ...all.filter((f) => f.standing === "deferred").map((f) => `${f.title}: deferred, waits for ${f.deferred || "a part"}`),
    ...all.filter((f) => f.standing === "over-kept").map((f) => `${f.title}: over, inspected and kept`),
    ...all.filter((f) => f.second_look && !f.looked).map((f) => `${f.title}: no second look`),
    ...all.filter((f) => f.prep.length > 0 && !f.prepared && f.standing !== "deferred").map((f) => `${f.title}: prep not confirmed`),
  ];
  return lines.length > 0 && [h("p", { class: "label" }, "To be known"), h("ul", { class: "plain-list strong" }, lines.map((line) => h("li", {}, line)))];
}

// ---------------------------------------------------------------------------------------------------- sheets

let cameFrom = null;

function openSheet(sheet) {
  if (!state.sheet) cameFrom = document.activeElement?.dataset.key;
  state.sheet = sheet;
  render();
  document.querySelector("#sheet .sheet")?.focus();
}

function closeSheet() {
  state.sheet = null;
  render();
  [...document.querySelectorAll("#app [data-key]")].find((element) => element.dataset.key === cameFrom)?.focus();
}

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && state.sheet && alarms().length === 0) closeSheet();
});

function drawSheet() {
  const { sheet } = state;
  const build = sheet && state.view?.builds.find((b) => b.id === sheet.build);
  const made = sheet && { fastener: fastenerSheet, place: placeSheet, tool: toolSheet, finish: finishSheet }[sheet.kind];
  const shown = sheet && shownInSheet(sheet, build);
  if (sheet && !shown) { state.sheet = null; }
  draw("sheet", shown || null, () => {
    const box = h("div", { class: "sheet", role: "dialog", "aria-modal": "true", "aria-labelledby": "sheet-title", tabindex: -1 },
      made(sheet, build), button("close", "plain wide", closeSheet, "Close"));
    return h("div", { class: "sheet-ground", on: { click: (event) => event.target === event.currentTarget && closeSheet() } }, box);
  });
}

// What a sheet depends on; nothing if what it is about has gone.
function shownInSheet(sheet, build) {
  if (sheet.kind === "tool") return [sheet, state.view.tools.find((t) => t.tool.id === sheet.tool), state.view.builds.map((b) => [b.id, b.bike, b.finished])];
  if (!build) return null;
  if (sheet.kind === "place") return build.held.some((held) => held.sequence === sheet.reading) ? [sheet, build.stages] : null;
  if (sheet.kind === "finish") return build.finished ? null : [sheet, build.summary, build.stages];
  const fastener = findFastener(build, sheet.fastener);
  return fastener ? [sheet, fastener, build.finished, build.next?.fastener, serving(build)] : null;
}

const byRow = () => h("p", { class: "by-row" }, h("label", { class: "label", for: "sheet-by" }, "By"), nameField("sheet-by"));

function fastenerSheet(sheet, build) {
  const fastener = findFastener(build, sheet.fastener);
  const stage = stageOf(build, sheet.fastener);
  const lines = [limitsInWords(fastener.limits), ...fastenerNotes(stage, fastener)];
  if (fastener.prep.length) lines.push(`prep: ${fastener.prep.join(", ")}${fastener.prepared ? " (is on)" : " (not confirmed)"}`);
  const highest = fastener.highest_millinewton_metre;
  return [
    h("div", { class: `sheet-top is-${fastener.standing}` }, mark(fastener.standing, hasLower(fastener.limits)),
      h("div", {}, h("h2", { id: "sheet-title" }, fastener.title),
        h("p", { class: "word" }, STANDING[fastener.standing] + (highest === null ? "" : `, highest ${torque(highest)}`)))),
    h("ul", { class: "plain-list" }, lines.map((line) => h("li", {}, capital(line)))),
    !build.finished && sheet.form !== "look" && byRow(), // a second look has a name of its own
    build.finished ? h("p", {}, "The build is finished.") : sheet.form ? reasonForm(sheet, build, fastener) : fastenerActions(sheet, build, fastener),
  ];
}

function fastenerActions(sheet, build, fastener) {
  const { standing } = fastener;
  const isTurned = fastener.passes_done > 0 || fastener.highest_millinewton_metre !== null;
  const target = { build: build.id, fastener: fastener.id };
  const touch = (key, word, body) => button(key, "main", () => act({ ...body, ...target, by: who }, { then: closeSheet }), word);
  const ask = (form, word) => button(form, "plain", () => openSheet({ ...sheet, form }), word);
  const isOpen = ["open", "part-way", "under"].includes(standing);
  return h("div", { class: "actions", "data-arrows": true },
    isOpen && build.next?.fastener !== fastener.id && touch("point-at", "Comes next", { act: "point-at" }),
    standing === "deferred" && touch("take-up", "Take up again", { act: "take-up" }),
    fastener.prep.length > 0 && !fastener.prepared && touch("prepare", "Prep is on", { act: "prepare" }),
    fastener.second_look && !fastener.looked && ask("look", "Second look…"),
    isTurned && standing !== "over" && ask("loosen", "Loosened…"),
    isOpen && ask("defer", "Defer…"),
    standing !== "over" && serving(build).length > 0 && ask("enter", "Enter a reading by hand…"),
    standing === "over" && h("p", {}, "An over reading waits for a disposition: close this and decide at the top of the page."));
}

const FORMS = {
  loosen: { label: "Why was it loosened?", send: "Loosened", needs: "Write why it was loosened: its readings stay, and no longer count.", quick: ["trial fit", "part exchanged", "found loose", "adjustment"] },
  defer: { label: "What does it wait for?", send: "Defer", needs: "Write what it waits for.", quick: ["part on back order", "another part goes on first", "customer decides"] },
  look: { label: "What was seen? (may be left empty)", send: "I have looked", quick: [] },
  enter: { label: "What was the tool set to, or what did it show?", send: "Enter reading", needs: "Write the torque with its unit, for example 5 N·m.", quick: [] },
};

function reasonForm(sheet, build, fastener) {
  const form = FORMS[sheet.form];
  const key = `${sheet.form} ${build.id} ${fastener.id}`;
  const isLine = sheet.form === "enter";
  const field = h(isLine ? "input" : "textarea", { id: key, draft: key, maxlength: 500, ...(isLine ? { autocomplete: "off" } : { rows: 2 }) });
  const looker = sheet.form === "look" && h("input", { id: `${key} by`, draft: `${key} by`, autocomplete: "off", maxlength: 64 });
  const tools = isLine ? h("select", { id: `${key} tool`, "data-key": `${key} tool` }, serving(build).map((t) => h("option", { value: t.tool.id }, t.tool.title))) : null;
  const send = (event) => {
    event.preventDefault();
    const text = field.value.trim();
    if (form.needs && !text) return refuse(form.needs);
    if (looker && !looker.value.trim()) return refuse("Write the name of the other person who looked.");
    return act(formAct(sheet, build, fastener, text, { looker, tools }), { forget: [key, `${key} by`], then: closeSheet });
  };
  return h("form", { on: { submit: send }, novalidate: true },
    looker && [h("label", { class: "label", for: `${key} by` }, "Who looked? Another person than the one who tightened"), looker],
    tools && [h("label", { class: "label", for: `${key} tool` }, "Tool"), tools],
    h("label", { class: "label", for: key }, form.label),
    form.quick.length > 0 && h("div", { class: "quick", "data-arrows": true }, form.quick.map((word) => button(`${key} ${word}`, "plain", () => { field.value = word; drafts.set(key, word); field.focus(); }, word))),
    field,
    h("button", { type: "submit", class: "main", "data-key": `${key} send` }, form.send),
    button("back", "plain wide", () => openSheet({ ...sheet, form: undefined }), "Back"));
}

function formAct(sheet, build, fastener, text, { looker, tools }) {
  const target = { build: build.id, fastener: fastener.id };
  switch (sheet.form) {
    case "loosen": return { act: "loosen", build: build.id, fasteners: [fastener.id], by: who, reason: text };
    case "defer": return { act: "defer", ...target, by: who, reason: text };
    case "look": return { act: "look", ...target, by: looker.value.trim(), ...(text ? { reason: text } : {}) };
    default: return { act: "enter-reading", tool: tools.value, value: /^[\d.]+$/.test(text) ? `${text} N·m` : text, by: who, fastener: fastener.id };
  }
}

function placeSheet(sheet, build) {
  const held = build.held.find((h) => h.sequence === sheet.reading);
  return [
    h("h2", { id: "sheet-title" }, heldQuestion(held)),
    byRow(),
    h("div", { class: "actions", "data-arrows": true }, build.stages.map((stage) => [
      h("h3", {}, stage.title),
      stage.fasteners.map((fastener) => button(`place ${fastener.id}`, "candidate", () => act(placeAct(held, { fastener: fastener.id }), { then: closeSheet }),
        h("span", {}, h("b", {}, fastener.title), h("span", {}, `${limitsInWords(fastener.limits)}; ${STANDING[fastener.standing]}`)))),
    ])),
  ];
}

function toolSheet(sheet) {
  const view = state.view.tools.find((t) => t.tool.id === sheet.tool);
  const { tool } = view;
  const of = serves(view);
  const range = tool.lowest_millinewton_metre !== undefined && tool.highest_millinewton_metre !== undefined
    ? `Range ${newtonMetres(tool.lowest_millinewton_metre)} to ${torque(tool.highest_millinewton_metre)}` : "No range stated";
  const certificate = tool.certificate
    ? `Certificate ${tool.certificate.number}, ${tool.certificate.laboratory}, ${tool.certificate.date}, due ${tool.certificate.due}` : "No calibration certificate on file";
  const open = state.view.builds.filter((build) => !build.finished && build.id !== view.serves);
  return [
    h("h2", { id: "sheet-title" }, tool.title),
    h("ul", { class: "plain-list" }, [capital(toolInWords(view)), `Serial number ${tool.serial}`, range, certificate, of ? `Serves ${bikeName(of)}` : "Serves no build"].map((line) => h("li", {}, line))),
    h("div", { class: "actions", "data-arrows": true }, open.map((build) => button(`serve ${build.id}`, "main",
      () => act({ act: "assign-tool", tool: tool.id, build: build.id }, { then: closeSheet }), `Let it serve ${bikeName(build)}`))),
  ];
}

function finishSheet(sheet, build) {
  return [
    h("h2", { id: "sheet-title" }, `Finish ${bikeName(build)}?`),
    h("p", { class: "summary" }, capital(summaryInWords(build.summary))),
    notDone(build),
    byRow(),
    h("div", { class: "actions" }, button("finish now", "main", () => act({ act: "finish", build: build.id, by: who }, { then: closeSheet }), "Finish build")),
  ];
}

// ---------------------------------------------------------------------------------------------------- alarm

function drawAlarm() {
  const all = alarms();
  const alarm = all[0] || null;
  soundAlarm(Boolean(alarm));
  document.title = alarm ? `OVER: ${alarm.title}` : `${state.view?.bench || "Bench"} · Pullmark`;
  document.getElementById("app").inert = Boolean(alarm || state.sheet);
  document.getElementById("sheet").inert = Boolean(alarm);
  const before = drawn.get("alarm");
  draw("alarm", alarm && [alarm.sequence, alarm.title, alarm.displayed, alarm.joint, all.length, soundIsOn()], () => alarmBox(alarm, all.length));
  if (alarm && (!before || before === "null" || JSON.parse(before)[0] !== alarm.sequence)) {
    alarmShownAt = performance.now();
    document.querySelector("#alarm .alarm").focus();
  }
}

let alarmShownAt = 0;

function alarmBox(alarm, waiting) {
  const build = state.view?.builds.find((b) => b.id === alarm.build);
  const openBuilds = (state.view?.builds || []).filter((b) => !b.finished).length;
  return h("div", { class: "alarm", role: "alertdialog", "aria-modal": "true", "aria-labelledby": "alarm-word", "aria-describedby": "alarm-what", tabindex: -1 },
    h("div", { class: "alarm-head" }, mark("over"), h("h2", { id: "alarm-word" }, "OVER")),
    h("div", { id: "alarm-what" },
      h("p", { class: "alarm-title" }, alarm.title),
      openBuilds > 1 && build && h("p", { class: "alarm-build" }, bikeName(build)),
      h("p", { class: "alarm-figure" }, (alarm.displayed && unbroken(alarm.displayed)) || (alarm.unseen ? "above the limit" : "more than the tool can show")),
      h("p", { class: "alarm-limit" }, `The limit is ${torque(alarm.upper_millinewton_metre)}.`),
      alarm.joint === "carbon" && h("p", { class: "alarm-carbon" }, "Carbon: the part is not to be ridden until a competent person has looked at it.")),
    h("div", { class: "alarm-foot" },
      !soundIsOn() && button("alarm sound", "alarm-sound", switchSoundOn, "Sound is off: touch to switch it on"),
      h("p", { class: "alarm-by" }, h("label", { for: "alarm-by" }, "By"), nameField("alarm-by")),
      button("acknowledge", "acknowledge", () => acknowledge(alarm), "Acknowledge"),
      waiting > 1 && h("p", { class: "alarm-more" }, `${count(waiting - 1, "more over alarm waits", "more over alarms wait")} after this one.`)));
}

function acknowledge(alarm) {
  if (performance.now() - alarmShownAt < STRAY_TOUCH_MS) return;
  act({ act: "acknowledge", alarm: alarm.sequence, by: who }, { then: () => state.acknowledged.add(alarm.sequence) });
}

// ---------------------------------------------------------------------------------------------------- the whole

function drawRefusal() {
  draw("refusal", state.refusal, (text) => h("div", { class: "refusal" }, h("p", {}, h("b", {}, "Not done. "), text),
    button("refusal", "plain", () => { state.refusal = null; render(); }, "Close")));
}

function drawEmpty(build) {
  draw("empty", state.view && !build ? [state.view.bench] : null, () => [
    h("h2", {}, "No build yet"),
    h("p", {}, "A build is one bike that is put together after one plan. Start it at a prompt on the bench's machine:"),
    h("pre", {}, h("code", {}, "pullmark build start PLAN.toml --frame SERIAL --by NAME")),
    h("ul", { class: "plain-list" },
      h("li", {}, h("b", {}, "PLAN.toml"), " is the plan: stages, fasteners, limits and who states them."),
      h("li", {}, h("b", {}, "SERIAL"), " is the serial number on the frame."),
      h("li", {}, h("b", {}, "NAME"), " is who begins the build.")),
    h("p", {}, "This page shows the build as soon as it has begun."),
  ]);
}

function drawFoot() {
  draw("foot", state.view ? state.view.cautions : null, (cautions) => h("ul", {}, cautions.map((caution) => h("li", {}, caution))));
}

function render() {
  const build = shownBuild();
  document.body.classList.toggle("no-build", !build);
  document.body.classList.toggle("finished", Boolean(build?.finished));
  drawTop();
  drawConnection();
  drawBuilds(build);
  drawDecide(build);
  drawLast(build);
  if (build?.finished) drawFinished(build); else drawNext(build);
  drawList(build);
  drawHandover(build);
  drawEmpty(build);
  drawFoot();
  drawSheet();
  drawAlarm();
  drawRefusal();
}

render();
refetch();
setInterval(refetch, POLL_MS);
document.addEventListener("visibilitychange", () => { if (!document.hidden) refetch(); });
