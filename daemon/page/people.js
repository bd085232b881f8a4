// People and devices: who works here, PINs, and on the bench's own machine the devices that may reach the bench.

import { button, h } from "./elements.js";
import { form, line, typed } from "./forms.js";
import { ask, sendTo } from "./live.js";
import { mark } from "./marks.js";
import { byRow, openSheet } from "./sheet.js";
import { redraw, refuse, remember, state } from "./state.js";
import { count, day } from "./words.js";

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
  return [sheet, known.people, known.network, code];
}

export function peopleSheet(sheet) {
  const forms = { person: personForm, rename: renameForm, pin: pinForm, reset: resetForm, leave: leaveForm, pair: pairForm, revoke: revokeForm };
  return [h("h2", { id: "sheet-title" }, "People and devices"), sheet.form ? forms[sheet.form](sheet) : [peoplePart(), isAtBench ? devicesPart() : elsewhere()]];
}

const elsewhere = () => h("p", { class: "quiet" }, "People are entered and devices are let in on the bench's own machine.");

function pinState(person) {
  if (!person.has_pin) return "no PIN yet";
  return person.locked_seconds > 0 ? `PIN locked for ${count(Math.ceil(person.locked_seconds / 60), "minute", "minutes")} after wrong ones` : "has a PIN";
}

function peoplePart() {
  const { people } = known;
  return h("section", { class: "part", "aria-label": "People" }, h("h3", {}, "People"),
    people.length === 0 && h("p", {}, "Nobody is entered: every name is taken as it is given. From the first person on, every act carries one of the people, and signing and deciding need their PIN."),
    h("ul", { class: "parts" }, people.map((person) => h("li", {},
      h("div", { class: "story-text" }, h("p", {}, h("b", {}, person.name)), h("p", { class: "quiet" }, pinState(person))),
      person.has_pin && button(`pin of ${person.person}`, "plain", to("pin", { person }), "Change PIN…"),
      isAtBench && button(`rename ${person.person}`, "plain", to("rename", { person }), "Another name…"),
      isAtBench && button(`reset ${person.person}`, "plain", to("reset", { person }), "Set PIN anew…"),
      isAtBench && button(`leave ${person.person}`, "plain", to("leave", { person }), "Left…")))),
    isAtBench && button("enter person", "main", to("person"), "Enter a person…"));
}

function devicesPart() {
  const { network } = known;
  const devices = network?.devices.filter((device) => !device.revoked) || [];
  return h("section", { class: "part", "aria-label": "Devices" }, h("h3", {}, "Devices"),
    network && !network.fingerprint && h("p", {}, "The bench is on this machine alone. With ", h("code", {}, 'lan = "0.0.0.0:8461"'), " in the settings, tablets and phones can be let in."),
    network?.fingerprint && [h("p", {}, "On the network at ", h("b", {}, network.addresses.join(", "))), fingerprintPart(network)],
    h("ul", { class: "parts" }, devices.map((device) => h("li", {},
      h("div", { class: "story-text" }, h("p", {}, h("b", {}, device.name)), h("p", { class: "quiet" }, `let in by ${device.by} on ${day(device.paired)}`)),
      button(`revoke ${device.device}`, "plain", to("revoke", { device }), "Shut out…")))),
    network?.fingerprint && button("pair", "main", to("pair"), "Let a device in…"));
}

const fingerprintPart = ({ fingerprint, good_until: until }) => [h("p", { class: "label" }, "The certificate's fingerprint, SHA-256"), h("p", { class: "fingerprint" }, fingerprint),
  until && h("p", { class: "quiet" }, `good until ${day(until)}, made anew 30 days before`)];

// A field for a PIN. What is typed is not kept as a draft.
const secret = (id, label) => [h("label", { class: "label", for: id }, label),
  h("input", { id, type: "password", inputmode: "numeric", autocomplete: "off", maxlength: 12, "data-key": id })];
const value = (id) => document.getElementById(id)?.value || "";

// A new PIN, typed twice; nothing where the two differ.
const newPin = () => [secret("pin-new", "New PIN: 4 to 12 digits, six or more are better"), secret("pin-again", "Once more")];
function readNewPin() {
  if (value("pin-new") === value("pin-again")) return value("pin-new");
  refuse("The two PINs differ.");
  return null;
}

function personForm() {
  const key = "person name";
  const isFirst = state.view.people === undefined || state.view.people.length === 0;
  const send = () => {
    const name = typed(key);
    const pin = readNewPin();
    if (pin === null) return undefined;
    if (!name) return refuse("Write the name as it is to be shown.");
    return sendTo("/v1/people", { name, pin, ...(isFirst ? {} : { by: state.who }) }, { forget: [key], then: menu });
  };
  return [h("h3", {}, "Enter a person"), !isFirst && byRow(), form("person", "Enter", send, menu, line(key, "Name as it is to be shown"), newPin())];
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
    if (!name) return refuse("Write the name as it is to be shown.");
    return sendTo(ofPerson(person, "name"), { name, by: state.who }, { forget: [key], then: () => { if (state.who === person.name) actAs(name); menu(); } });
  };
  return [h("h3", {}, `Another name for ${person.name}`), h("p", {}, "It stays the same person. Records that are signed keep the name that they were signed with."), byRow(),
    form("rename", "Show this name", send, menu, line(key, "Name as it is to be shown"))];
}

function pinForm({ person }) {
  const send = () => {
    const pin = readNewPin();
    return pin === null ? undefined : sendTo(ofPerson(person, "pin"), { pin, before: value("pin-before") }, { then: menu });
  };
  return [h("h3", {}, `Another PIN for ${person.name}`), form("pin", "Change", send, menu, secret("pin-before", "PIN before"), newPin())];
}

function resetForm({ person }) {
  const send = () => {
    const pin = readNewPin();
    return pin === null ? undefined : sendTo(ofPerson(person, "pin"), { pin, by: state.who }, { then: menu });
  };
  return [h("h3", {}, `Set the PIN of ${person.name} anew`), h("p", {}, "The ledger keeps that it was set anew, when and by whom."), byRow(), form("reset", "Set anew", send, menu, newPin())];
}

function leaveForm({ person }) {
  const send = () => sendTo(ofPerson(person, "leave"), { by: state.who }, { then: menu });
  return [h("h3", {}, `${person.name} works here no longer?`), h("p", {}, "What they did stays theirs. Their PIN is forgotten."), byRow(), form("leave", "Left", send, menu)];
}

function pairForm() {
  const key = "device name";
  if (code) {
    return [h("h3", {}, "Type this on the device"), h("p", { class: "pairing-code" }, code.code),
      h("p", {}, `Open ${code.addresses.join(" or ")} in its browser. The code is good for ${code.seconds / 60} minutes and for one device; three wrong ones make it void.`),
      h("p", {}, "The browser does not know the certificate and says so. Let it through only where it shows this fingerprint:"), fingerprintPart(code),
      button("back", "plain wide", menu, "Back")];
  }
  const send = () => {
    const name = typed(key);
    if (!name) return refuse("Write what the shop calls the device.");
    return sendTo("/v1/devices/pairing", { name, by: state.who }, { forget: [key], then: (view) => { code = view; redraw(); } });
  };
  return [h("h3", {}, "Let a device in"), byRow(), form("device", "Show a code", send, menu, line(key, "What is it called? For example: tablet at stand 2"))];
}

function revokeForm({ device }) {
  const key = `revoke ${device.device} reason`;
  const send = () => sendTo(`/v1/devices/${encodeURIComponent(device.device)}/revoke`, { by: state.who, ...(typed(key) ? { reason: typed(key) } : {}) }, { forget: [key], then: menu });
  return [h("h3", {}, mark("apart"), `Shut ${device.name} out?`), h("p", {}, "At once, with everything that it has open. It can be let in again with a new code."), byRow(),
    form(key, "Shut out", send, menu, line(key, "Why? (may be left empty)", { maxlength: 200 }))];
}
