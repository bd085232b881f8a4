// People and devices: who works here, PINs, and on the bench's own machine the devices that may reach the bench.

import { BOLD, button, h } from "./elements.js";
import { form, line, typed } from "./forms.js";
import { ask, sendTo } from "./live.js";
import { mark } from "./marks.js";
import { byRow, openSheet } from "./sheet.js";
import { redraw, refuse, remember, state } from "./state.js";
import { rich, t } from "./tongue.js";
import { day } from "./words.js";

// The page is served without TLS on loopback alone.
const isAtBench = location.protocol === "http:";

let known = { about: null, people: [], network: null };
let code = null; // the code that is open, as the daemon gave it out

const SHEET = { kind: "people" };
const to = (form, more = {}) => () => openSheet({ ...SHEET, form, ...more });
const menu = () => { code = null; openSheet(SHEET); };

// What the sheet depends on: asked anew when something has happened.
export function shownOfPeople(sheet) {
  const about = String(state.view.sequence);
  if (known.about !== about) {
    known.about = about;
    const asked = [ask("/v1/people"), isAtBench ? ask("/v1/devices") : { body: null }];
    Promise.all(asked).then(([people, network]) => {
      if (known.about === about) { Object.assign(known, { people: people.body || [], network: network.body }); redraw(); }
    }, () => {});
  }
  // A form holds a PIN that nobody keeps a copy of: it is drawn anew only when other people are here to choose from.
  if (sheet.form) return [sheet, (state.view.people || []).map(({ name }) => name), code];
  return [sheet, known.people, known.network, code];
}

export function peopleSheet(sheet) {
  const forms = { person: personForm, rename: renameForm, pin: pinForm, leave: leaveForm, pair: pairForm, revoke: revokeForm };
  return [h("h2", { id: "sheet-title" }, t("people")), sheet.form ? forms[sheet.form](sheet) : [peoplePart(), isAtBench ? devicesPart() : elsewhere()]];
}

const elsewhere = () => h("p", { class: "quiet" }, t("people-elsewhere"));

function pinState(person) {
  if (!person.has_pin) return t("pin-none");
  return person.locked_seconds > 0 ? t("pin-locked", { n: Math.ceil(person.locked_seconds / 60) }) : t("pin-has");
}

function peoplePart() {
  const { people } = known;
  return h("section", { class: "part", "aria-label": t("people-title") }, h("h3", {}, t("people-title")),
    people.length === 0 && h("p", {}, t("people-nobody")),
    h("ul", { class: "parts" }, people.map((person) => h("li", {},
      h("div", { class: "story-text" }, h("p", {}, h("b", {}, person.name)), h("p", { class: "quiet" }, pinState(person))),
      person.has_pin && button(`pin of ${person.person}`, "plain", to("pin", { person }), t("pin-change-ask")),
      isAtBench && button(`rename ${person.person}`, "plain", to("rename", { person }), t("rename-ask")),
      isAtBench && button(`leave ${person.person}`, "plain", to("leave", { person }), t("leave-ask"))))),
    people.length > 0 && h("p", { class: "quiet" }, t("pin-forgotten")),
    isAtBench && button("enter person", "main", to("person"), t("person-ask")));
}

function devicesPart() {
  const { network } = known;
  const devices = network?.devices.filter((device) => !device.revoked) || [];
  return h("section", { class: "part", "aria-label": t("devices") }, h("h3", {}, t("devices")),
    network && !network.fingerprint && h("p", {}, rich("devices-none", { setting: h("code", {}, 'lan = "0.0.0.0:8461"') })),
    network?.fingerprint && [h("p", {}, rich("devices-at", { addresses: network.addresses.join(", ") }, BOLD)), fingerprintPart(network)],
    h("ul", { class: "parts" }, devices.map((device) => h("li", {},
      h("div", { class: "story-text" }, h("p", {}, h("b", {}, device.name)), h("p", { class: "quiet" }, t("device-let-in", { by: device.by, day: day(device.paired) }))),
      button(`revoke ${device.device}`, "plain", to("revoke", { device }), t("revoke-ask"))))),
    network?.fingerprint && button("pair", "main", to("pair"), t("pair-ask")));
}

const fingerprintPart = ({ fingerprint, good_until: until }) => [h("p", { class: "label" }, t("fingerprint")), h("p", { class: "fingerprint" }, fingerprint.split(":").map((byte, index) => [index > 0 && [":", h("wbr", {})], byte])),
  until && h("p", { class: "quiet" }, t("fingerprint-until", { day: day(until) }))];

// A field for a PIN. What is typed is not kept as a draft.
const secret = (id, label) => [h("label", { class: "label", for: id }, label),
  h("input", { id, type: "password", inputmode: "numeric", autocomplete: "off", maxlength: 12, "data-key": id })];
const value = (id) => document.getElementById(id)?.value || "";

// A new PIN, typed twice; nothing where the two differ.
const newPin = () => [secret("pin-new", t("pin-new")), secret("pin-again", t("pin-again"))];
function readNewPin() {
  if (value("pin-new") === value("pin-again")) return value("pin-new");
  refuse(t("pins-differ"));
  return null;
}

function personForm() {
  const key = "person name";
  const isFirst = state.view.people === undefined || state.view.people.length === 0;
  const send = () => {
    const name = typed(key);
    const pin = readNewPin();
    if (pin === null) return undefined;
    if (!name) return refuse(t("person-write-name"));
    return sendTo("/v1/people", { name, pin, ...(isFirst ? {} : { by: state.who }) }, { forget: [key], then: menu });
  };
  return [h("h3", {}, t("person-title")), !isFirst && byRow(), form("person", t("person-send"), send, menu, line(key, t("person-name")), newPin())];
}

const ofPerson = (person, what) => `/v1/people/${encodeURIComponent(person.person)}/${what}`;

function actAs(name) {
  state.who = name;
  remember("by", name);
}

function renameForm({ person }) {
  const key = "person rename";
  const send = () => {
    const name = typed(key);
    if (!name) return refuse(t("person-write-name"));
    return sendTo(ofPerson(person, "name"), { name, by: state.who }, { forget: [key], then: () => { if (state.who === person.name) actAs(name); menu(); } });
  };
  return [h("h3", {}, t("rename-title", { name: person.name })), h("p", {}, t("rename-what")), byRow(),
    form("rename", t("rename-send"), send, menu, line(key, t("person-name")))];
}

function pinForm({ person }) {
  const send = () => {
    const pin = readNewPin();
    return pin === null ? undefined : sendTo(ofPerson(person, "pin"), { pin, before: value("pin-before") }, { then: menu });
  };
  return [h("h3", {}, t("pin-change-title", { name: person.name })), form("pin", t("pin-change-send"), send, menu, secret("pin-before", t("pin-before")), newPin())];
}

function leaveForm({ person }) {
  const send = () => sendTo(ofPerson(person, "leave"), { by: state.who }, { then: menu });
  return [h("h3", {}, t("leave-title", { name: person.name })), h("p", {}, t("leave-what")), byRow(), form("leave", t("leave-send"), send, menu)];
}

function pairForm() {
  const key = "device name";
  if (code) {
    return [h("h3", {}, t("pair-type")), h("p", { class: "pairing-code" }, code.code),
      h("p", {}, t("pair-open", { addresses: code.addresses.join(t("pair-or")), n: code.seconds / 60 })),
      h("p", {}, t("pair-fingerprint")), fingerprintPart(code),
      button("back", "plain wide", menu, t("back"))];
  }
  const send = () => {
    const name = typed(key);
    if (!name) return refuse(t("pair-write-name"));
    return sendTo("/v1/devices/pairing", { name, by: state.who }, { forget: [key], then: (view) => { code = view; redraw(); } });
  };
  return [h("h3", {}, t("pair-title")), byRow(), form("device", t("pair-send"), send, menu, line(key, t("pair-name")))];
}

function revokeForm({ device }) {
  const key = `revoke ${device.device} reason`;
  const send = () => sendTo(`/v1/devices/${encodeURIComponent(device.device)}/revoke`, { by: state.who, ...(typed(key) ? { reason: typed(key) } : {}) }, { forget: [key], then: menu });
  return [h("h3", {}, mark("apart"), t("revoke-title", { device: device.name })), h("p", {}, t("revoke-what")), byRow(),
    form(key, t("revoke-send"), send, menu, line(key, t("why-optional"), { maxlength: 200 }))];
}
