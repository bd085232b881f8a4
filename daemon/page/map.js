// The bike map: every fastener at its place on a drawing of the bike, told by mark and word. The drawing and its places come
// from the daemon (GET /v1/map/...), which keeps them once for everybody.

import { button, draw, h } from "./elements.js";
import { torque } from "./figures.js";
import { ask } from "./live.js";
import { mark, practiceMark, shape, standingMark } from "./marks.js";
import { checkMark } from "./measures.js";
import { limitsSaid, placeSaid, valueSaid } from "./said.js";
import { openSheet } from "./sheet.js";
import { doubtsShown, nextOf, redraw, state } from "./state.js";
import { isSaid, language, t } from "./tongue.js";
import { checkStandingWord, limitsInWords, standingWord } from "./words.js";

// In pixels: what is touched is 64 or more. English words are the shortest.
const NODE = language === "en" ? { width: 98, height: 76, gap: 6 } : { width: 112, height: 92, gap: 6 };
const NARROW = 620; // below this the map is an overview, and a touch makes it large
const LARGE = 900;
const MOST_BIKE = 720; // the bike itself is drawn no wider
const FLAG = 16; // room for the flag of what is next

const maps = new Map(); // frame -> the drawing; null while it is asked for

function drawingOf(frame) {
  if (!maps.has(frame)) {
    maps.set(frame, null);
    ask(`/v1/map/${encodeURIComponent(frame)}`).then(({ ok, body }) => {
      if (!ok) { maps.delete(frame); return; }
      maps.set(frame, body);
      redraw();
    }, () => maps.delete(frame));
  }
  return maps.get(frame);
}

// The most urgent first; a place shows that of its fasteners.
const URGENCY = ["over", "undecided", "under", "part-way", "open", "deferred", "over-kept", "undecided-kept", "kept", "within"];
const DONE = ["within", "over-kept", "undecided-kept", "kept"];
// The boxes are narrow: some standings have a shorter word there.
const wordFor = (item) => (isSaid(`short-${item.standing}`) ? t(`short-${item.standing}`) : item.isCheck ? checkStandingWord(item.standing) : standingWord(item.standing));
const markFor = (item) => (item.isCheck ? checkMark(item) : standingMark(item));
// A check that is computed is measured nowhere.
const itemsOf = (build) => build.stages.flatMap((stage) => [...stage.fasteners, ...stage.checks.filter((check) => !check.formula).map((check) => ({ ...check, isCheck: true }))]);
const openItem = (build, item) => openSheet(item.isCheck ? { kind: "check", build: build.id, check: item.id } : { kind: "fastener", build: build.id, fastener: item.id });
const mostUrgent = (fasteners) => [...fasteners].sort((a, b) => URGENCY.indexOf(a.standing) - URGENCY.indexOf(b.standing))[0];

function placesOf(build, drawing) {
  const groups = new Map();
  const beside = [];
  for (const fastener of itemsOf(build)) {
    const place = drawing.places.find((known) => known.name === fastener.at);
    if (!place) { beside.push(fastener); continue; }
    if (!groups.has(place.name)) groups.set(place.name, { place, fasteners: [] });
    groups.get(place.name).fasteners.push(fastener);
  }
  return { groups: [...groups.values()], beside };
}

function wordOf({ fasteners }) {
  const worst = mostUrgent(fasteners);
  if (fasteners.length === 1 || ["over", "undecided"].includes(worst.standing)) return wordFor(worst);
  const done = fasteners.filter((fastener) => DONE.includes(fastener.standing)).length;
  return t("done-of", { done, all: fasteners.length });
}

// Lays boxes out in rows above and below the bike, each as near to its place as its neighbours let it be. Rows are laid like
// bricks, so that a line from an outer row runs between two boxes of the row before it.
function rows(boxes, width) {
  const pitch = NODE.width + NODE.gap;
  const count = Math.max(1, Math.ceil(boxes.length * pitch / width));
  const step = pitch / count;
  const [from, to] = [NODE.width / 2 + 2, width - NODE.width / 2 - 2];
  const laid = [...boxes].sort((a, b) => a.ax - b.ax).map((box, index) => ({ ...box, x: Math.min(Math.max(box.ax, from), to), row: index % count }));
  laid.forEach((box, index) => { if (index) box.x = Math.max(box.x, laid[index - 1].x + step); });
  for (let index = laid.length - 1; index >= 0; index -= 1) laid[index].x = Math.min(laid[index].x, index === laid.length - 1 ? to : laid[index + 1].x - step);
  return { laid, count };
}

// Where everything lies: the bike in the middle, the upper half of the places above it, the others below.
function layOut(drawing, groups, width) {
  const scale = Math.min(width, MOST_BIKE) / drawing.width;
  const crop = Math.min(...drawing.places.map((known) => known.y)) - 45;
  const across = (width - drawing.width * scale) / 2;
  const boxes = groups.map((group) => ({ group, ax: group.place.x * scale + across, ay: (group.place.y - crop) * scale })).sort((a, b) => a.ay - b.ay);
  const middle = Math.ceil(boxes.length / 2);
  const [above, below] = [rows(boxes.slice(0, middle), width), rows(boxes.slice(middle), width)];
  const pitch = NODE.height + NODE.gap;
  const lift = above.count * pitch + FLAG;
  const bottom = lift + (drawing.height - crop) * scale;
  const height = bottom + (boxes.length > middle ? below.count * pitch + FLAG : 0);
  const placed = [
    ...above.laid.map((box) => ({ ...box, ay: box.ay + lift, y: FLAG + NODE.height / 2 + (above.count - 1 - box.row) * pitch })),
    ...below.laid.map((box) => ({ ...box, ay: box.ay + lift, y: bottom + FLAG + NODE.height / 2 + box.row * pitch })),
  ];
  return { placed, height, transform: `translate(${across.toFixed(1)} ${(lift - crop * scale).toFixed(1)}) scale(${scale.toFixed(4)})` };
}

export function drawMap(build) {
  const drawing = build && drawingOf(build.frame);
  const next = build && nextOf(build)?.fastener;
  const room = document.querySelector(".work").clientWidth - 34;
  if (room <= 0) return; // the plans or the board are shown in its place
  const shown = drawing && [build.id, build.frame, build.stages, next, doubtsShown(build), state.fan, state.mapLarge, room];
  draw("map", shown || null, () => {
    const { groups, beside } = placesOf(build, drawing);
    if (groups.length === 0) return null;
    const isOverview = room < NARROW && !state.mapLarge;
    const width = isOverview ? room : Math.max(room, NARROW, state.mapLarge ? LARGE : 0);
    return [
      h("div", { class: "map-head" }, h("h2", {}, t("bike-map")),
        room < NARROW && button("map size", "plain", () => { state.mapLarge = !state.mapLarge; state.fan = null; redraw(); }, isOverview ? t("larger") : t("smaller"))),
      isOverview ? overview(drawing, groups, next, width) : h("div", { class: "map-scroll" }, large(build, drawing, groups, next, width)),
      isOverview && nextPlace(groups, next),
      beside.length > 0 && besidePart(build, beside, next),
    ];
  });
  bringNextIntoSight();
}

// A large map on a small screen is moved by hand; at first it shows what is next.
function bringNextIntoSight() {
  const box = document.querySelector("#map .map-scroll");
  if (!box || box.scrollWidth <= box.clientWidth || box.scrollLeft > 0) return;
  const node = box.querySelector(".fan") || box.querySelector(".node.is-next");
  if (node) box.scrollLeft = node.offsetLeft + node.offsetWidth / 2 - box.clientWidth / 2;
}

function place(element, { x, y, width, height }) {
  Object.assign(element.style, { left: `${x.toFixed(1)}px`, top: `${y.toFixed(1)}px`, width: width && `${width}px`, height: height && `${height}px` });
  return element;
}

function bike(drawing, width, height, transform) {
  const svg = shape("svg", { viewBox: `0 0 ${width.toFixed(1)} ${height.toFixed(1)}`, class: "bike", "aria-hidden": "true", focusable: "false" });
  const lines = shape("g", { transform });
  lines.append(...drawing.lines.map((line) => shape("path", { d: line.path, class: `bike-${line.what}` })));
  svg.append(lines);
  return svg;
}

const isNextGroup = (group, next) => group.fasteners.some((fastener) => fastener.id === next);

// Small: where things are, by mark alone; what is next has a ring. The words stand in the list below it.
function overview(drawing, groups, next, width) {
  const scale = width / drawing.width;
  const height = drawing.height * scale;
  const svg = bike(drawing, width, height, `scale(${scale.toFixed(4)})`);
  for (const group of groups) {
    const [x, y] = [group.place.x * scale, group.place.y * scale];
    if (isNextGroup(group, next)) svg.append(shape("circle", { cx: x.toFixed(1), cy: y.toFixed(1), r: 20, class: "next-ring" }));
    const worst = mostUrgent(group.fasteners);
    const small = markFor(worst);
    small.setAttribute("class", `${small.getAttribute("class")} is-${worst.standing}`);
    for (const [key, value] of Object.entries({ x: x - 12, y: y - 6, width: 24, height: 12 })) small.setAttribute(key, value.toFixed(1));
    svg.append(small);
  }
  const box = button("map overview", "map-overview", () => { state.mapLarge = true; redraw(); }, svg, h("span", { class: "unseen" }, t("map-make-larger")));
  box.style.height = `${height.toFixed(0)}px`;
  return box;
}

function nextPlace(groups, next) {
  const group = groups.find((known) => isNextGroup(known, next));
  return group && h("p", { class: "map-next" }, h("span", { class: "next-flag" }, t("next-flag")), ` ${placeSaid(group.place)}`);
}

// Large: every place is touched, and a line leads to where it is.
function large(build, drawing, groups, next, width) {
  const { placed, height, transform } = layOut(drawing, groups, width);
  const svg = bike(drawing, width, height, transform);
  for (const { group, ax, ay, x, y } of placed) {
    const isNext = isNextGroup(group, next);
    svg.append(shape("path", { d: `M${ax.toFixed(1)} ${ay.toFixed(1)}L${x.toFixed(1)} ${y.toFixed(1)}`, class: isNext ? "lead is-next" : "lead" }),
      shape("circle", { cx: ax.toFixed(1), cy: ay.toFixed(1), r: isNext ? 10 : 6, class: "lead-end" }));
  }
  const fan = placed.find((box) => state.fan === `${build.id} ${box.group.place.name}`);
  const box = h("div", { class: "map-box", "data-arrows": true }, svg, placed.map((at) => node(build, at, next)), fan && fanOut(build, fan, next, width));
  box.style.width = `${width.toFixed(0)}px`;
  box.style.height = `${height.toFixed(0)}px`;
  return box;
}

function node(build, { group, x, y }, next) {
  const { place: at, fasteners } = group;
  const worst = mostUrgent(fasteners);
  const isNext = isNextGroup(group, next);
  const key = `${build.id} ${at.name}`;
  const several = fasteners.length > 1;
  const title = placeSaid(at);
  const touched = () => {
    if (!several) return openItem(build, fasteners[0]);
    state.fan = state.fan === key ? null : key;
    redraw();
    return document.querySelector("#map .fan button")?.focus({ preventScroll: true });
  };
  const doubted = doubtsShown(build).some((doubt) => fasteners.some((fastener) => fastener.id === doubt.fastener));
  const element = button(`map ${at.name}`, `node is-${worst.standing}${isNext ? " is-next" : ""}${several ? " is-several" : ""}`, touched,
    h("span", { class: "node-place" }, title),
    h("span", { class: "node-state" }, doubted ? mark("doubt") : markFor(worst), h("span", { class: "word" }, wordOf(group))), isNext && h("span", { class: "next-flag" }, t("next-flag")));
  element.setAttribute("aria-label", [t("map-node", { title: several ? t("map-several", { title, n: fasteners.length }) : fasteners[0].title, word: wordOf(group) }), doubted && t("may-be-missed"), isNext && t("next-flag")].filter(Boolean).join(", "));
  if (several) element.setAttribute("aria-expanded", String(state.fan === key));
  return place(element, { x: x - NODE.width / 2, y: y - NODE.height / 2, width: NODE.width, height: NODE.height });
}

// Several at one place: each of them, beside the place.
function fanOut(build, { group, x, y }, next, width) {
  const wide = Math.min(340, width - 16);
  const isRight = x + NODE.width / 2 + wide + 16 < width;
  const panel = h("div", { class: "fan", role: "group", "aria-label": placeSaid(group.place) },
    h("h3", {}, placeSaid(group.place)),
    group.fasteners.map((fastener) => fastenerButton(build, fastener, next, "fan")),
    button("fan close", "plain", () => { state.fan = null; redraw(); }, t("close")));
  const left = isRight ? x + NODE.width / 2 + 8 : Math.max(8, x - NODE.width / 2 - 8 - wide);
  return place(panel, { x: left, y: Math.max(4, y - NODE.height / 2 - 40), width: wide });
}

function fastenerButton(build, fastener, next, where) {
  return button(`${where} ${fastener.id}`, `fan-row is-${fastener.standing}`, () => openItem(build, fastener),
    markFor(fastener),
    h("span", {}, h("b", {}, fastener.title), h("span", { class: "quiet" }, fastener.isCheck ? limitsSaid(fastener.limits_text) : limitsInWords(fastener.limits)), practiceMark(fastener)),
    h("span", { class: "fan-state" }, h("span", { class: "word" }, wordFor(fastener)),
      fastener.isCheck ? fastener.value_text && h("span", {}, valueSaid(fastener.value_text)) : fastener.highest_millinewton_metre !== null && h("span", {}, torque(fastener.highest_millinewton_metre)),
      fastener.id === next && h("span", { class: "next-flag" }, t("next-flag"))));
}

function besidePart(build, beside, next) {
  return h("section", { class: "beside", "aria-label": t("map-beside") },
    h("h3", {}, t("map-beside")),
    h("div", { class: "beside-rows", "data-arrows": true }, beside.map((fastener) => fastenerButton(build, fastener, next, "beside"))));
}

document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || !state.fan || state.sheet) return;
  const key = `map ${state.fan.split(" ")[1]}`;
  state.fan = null;
  redraw();
  [...document.querySelectorAll("#map [data-key]")].find((element) => element.dataset.key === key)?.focus();
});

// The width decides how the map is laid out. Where this column is higher than the screen, it stays with its end in sight
// while the list beside it is scrolled.
const work = document.querySelector(".work");
let seenRoom = 0;
new ResizeObserver(([entry]) => {
  const room = Math.round(entry.contentRect.width);
  work.style.top = `${Math.min(24, window.innerHeight - work.offsetHeight - 24)}px`;
  if (room !== seenRoom) { seenRoom = room; redraw(); }
}).observe(work);
