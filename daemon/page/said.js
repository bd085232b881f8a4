// What the daemon says ready-made, which is in English: said in the language of the page. Values and limits are read by their
// shape, refusals by their code, sentences by how the daemon makes them. What has no words here is shown as it came.

import { marked, shown as shownIn } from "./figures.js";
import { isSaid, language, t } from "./tongue.js";
import { answerWord, checkAnswerWord, checkStandingWord, coded, displayedInWords, standingWord } from "./words.js";

const plain = (text) => shownIn(text).text;

// ---------------------------------------------------------------------------------------------------- values

export const quantityWord = (quantity) => coded("quantity", quantity);

export function valueSaid(text) {
  if (text === "past the tool's range") return t("past-tools-range");
  const [, lower, upper] = /^(.+?) to (.+)$/.exec(text) || [];
  return upper ? t("check-limits-range", { lower: plain(lower), upper: plain(upper) }) : displayedInWords(text);
}

export function limitsSaid(text) {
  const [limits, aim] = text.split(", aim ");
  const [, most] = /^at most (.+)$/.exec(limits) || [];
  const [, least] = /^at least (.+)$/.exec(limits) || [];
  const said = limits === "no limits" ? t("check-limits-none")
    : most ? t("check-limits-most", { value: plain(most) })
      : least ? t("check-limits-least", { value: plain(least) }) : valueSaid(limits);
  return aim ? t("check-limits-aim", { limits: said, aim: plain(aim) }) : said;
}

// ---------------------------------------------------------------------------------------------------- places, cautions, refusals

export const placeSaid = ({ name, title }) => (isSaid(`place-${name}`) ? t(`place-${name}`) : title);

// The cautions at the foot of the page, in the daemon's order.
export const cautionsSaid = (cautions) => cautions.map((caution, index) => (isSaid(`foot-caution-${index + 1}`) ? t(`foot-caution-${index + 1}`) : caution));

// A refusal in words: those of its code, else the daemon's own. What it names in quotation marks is put in.
export function problemSaid({ body, status }) {
  if (!body?.detail) return t("answered-with-status", { status });
  const id = `refusal-${String(body.type).replaceAll("/", "-")}`;
  if (!isSaid(id)) return body.detail;
  const names = [...body.detail.matchAll(/"((?:[^"\\]|\\.)*)"/g)].map(([, name]) => name);
  return t(id, { name: names[0] || "", other: names[1] || "", detail: body.detail });
}

export function tooFewSaid(text) {
  const [, have, least] = /^(\d+) readings say nothing about capability: (\d+) are the least/.exec(text) || [];
  if (have) return isSaid("daemon-too-few") ? t("daemon-too-few", { n: Number(have), least }) : text;
  return text.startsWith("all readings are the same") && isSaid("daemon-no-scatter") ? t("daemon-no-scatter") : text;
}

// ---------------------------------------------------------------------------------------------------- sentences

const shown = (value) => (value === "past its range" ? t("pull-past-range") : displayedInWords(value));
const because = (id, groups) => (groups.why ? t("daemon-because", { what: t(id, groups), why: groups.why }) : t(id, groups));

// Where a reading went, and what came of it.
function placed(text) {
  if (text === "on no fastener yet") return t("daemon-on-none");
  if (text === "at no check yet") return t("daemon-at-none");
  const [, answer, joint, title, kind, number] = /^(within|under|over|undecided) (on|at) (.+?)(?:, (pass|reading) (\d+))?$/.exec(text) || [];
  if (!answer) return null;
  const where = t("daemon-placed", { answer: joint === "on" ? answerWord(answer) : checkAnswerWord(answer), title });
  return number ? `${where}, ${kind === "pass" ? t("pass-number", { pass: number }) : t("daemon-reading", { number })}` : where;
}

function placedBy(id, { about, place, alarm, how }) {
  const where = placed(place);
  if (!where) return null;
  return [t(id, { about, place: where }), alarm && t("daemon-over-alarm")].filter(Boolean).join(", ") + (how ? ` (${coded("daemon-how", how.toLowerCase().replaceAll(" ", "-"))})` : "");
}

const DECISION = { "part replaced": "part-replaced", "inspected and kept": "inspected-and-kept", "undone and tightened again": "tightened-again", "set right and measured again": "set-right" };
const STANDING = ["open", "part way", "under", "within", "over", "undecided", "deferred"];
const standing = (text) => (STANDING.includes(text) ? standingWord(text.replace(" ", "-"))
  : { "over, inspected and kept": standingWord("over-kept"), "undecided, inspected and kept": standingWord("undecided-kept"), "out of limits, inspected and kept": checkStandingWord("kept") }[text]);

// How the daemon makes its sentences (core/history.rs, plan/difference.rs), and what is said for each. The first that fits.
const SENTENCES = [
  [/^the reading of entry (?<about>\d+): (?<place>.+?)(?: \((?<how>[^()]+)\))?$/, (g) => placedBy("daemon-moved", g)],
  [/^(?<about>past its range|[-\u2212+]?[\d.]+ \S+): (?<place>.+?)(?<alarm>, over alarm)?$/, (g) => placedBy("daemon-pulled", { ...g, about: shown(g.about) })],
  [/^begun after (?<plan>.+?), (?<edition>[^,]+)(?:, going on from (?<build>.+))?$/, (g) => [t("daemon-begun", g), g.build && t("daemon-goes-on-from", g)].filter(Boolean).join(", ")],
  [/^(?<kilometres>\d+) km since it was handed over$/, (g) => t("daemon-ridden", g)],
  [/^over during the pull on (?<title>.+)$/, (g) => t("daemon-over-now", g)],
  [/^the alarm of entry (?<entry>\d+) acknowledged$/, (g) => t("daemon-acknowledged", g)],
  [/^entry (?<entry>\d+) taken back: (?<why>.+)$/s, (g) => because("daemon-taken-back", g)],
  [/^laid aside(?:: (?<why>.+))?$/s, (g) => because("laid-aside", g)],
  [/^gone on with$/, () => t("daemon-resumed")],
  [/^it was laid aside, and is gone on with$/, () => t("daemon-resumed-by-it")],
  [/^held to the plan (?<plan>.+), (?<edition>.+) from here on: (?<why>.+)$/s, (g) => because("daemon-plan", g)],
  [/^(?<kind>note|photograph)(?: on (?<title>[^:]+))?(?:: (?<why>.+))?$/s, (g) => because(`daemon-${g.kind}${g.title ? "-on" : ""}`, g)],
  [/^handed to (?<name>[^:]+)(?:: (?<why>.+))?$/s, (g) => because("daemon-handed", g)],
  [/^finished(?:: (?<why>.+))?$/s, (g) => because("daemon-finished", g)],
  [/^record sealed(?: \((?<how>[^()]+)\))?$/, (g) => t("daemon-sealed") + (g.how ? ` (${coded("daemon-how", g.how.toLowerCase().replaceAll(" ", "-"))})` : "")],
  [/^a recall of (?<tool>.+) found (?<n>\d+) reading\(s\) to look at again$/, (g) => t("daemon-recall", { ...g, n: Number(g.n) })],
  [/^prep of (?<title>.+) confirmed$/, (g) => t("daemon-prepared", g)],
  [/^(?<title>.+): (?<decision>part replaced|inspected and kept|undone and tightened again|set right and measured again): (?<why>.+?)(?: \((?<how>[^()]+)\))?$/s,
    (g) => t("daemon-decided", { title: g.title, decision: coded("decision", DECISION[g.decision]), why: g.why }) + (g.how ? ` (${coded("daemon-how", g.how.toLowerCase().replaceAll(" ", "-"))})` : "")],
  [/^(?<title>.+): its readings no longer count$/, (g) => t("daemon-no-longer-counts", g)],
  [/^(?<title>.+): the reading of entry (?<entry>\d+) is (?<answer>within|under|over|undecided) now(?<alarm>, and raises an over alarm)?$/,
    (g) => [t("daemon-judged-now", { ...g, answer: answerWord(g.answer) }), g.alarm && t("daemon-raises-alarm")].filter(Boolean).join(", ")],
  [/^(?<title>.+) is loose, and has to be tightened again$/, (g) => t("daemon-loose", g)],
  [/^(?<title>.+) has to be measured again$/, (g) => t("daemon-measure-again", g)],
  [/^(?<title>.+) has to be pulled again$/, (g) => t("daemon-pull-again", g)],
  [/^(?<title>.+?) comes next$/, (g) => t("daemon-next", g)],
  [/^(?<title>.+?) loosened(?:: (?<why>.+))?$/s, (g) => because("daemon-loosened", g)],
  [/^(?<title>.+?) deferred(?:: (?<why>.+?))?(?:, waits for (?<what>.+))?$/s, (g) => [because("daemon-deferred", g), g.what && t("known-waits-for", g)].filter(Boolean).join(", ")],
  [/^(?<title>.+?) taken up again$/, (g) => t("daemon-taken-up", g)],
  [/^(?<title>.+?) looked at(?:: (?<why>.+))?$/s, (g) => because("daemon-looked", g)],
  [/^(?<part>.+) fitted, serial (?<serial>.+)$/, (g) => t("daemon-fitted", g)],
  [/^(?<part>.+) swapped, (?<out>.+) out, (?<serial>.+) in: (?<why>.+)$/s,
    (g) => because("daemon-swapped", { ...g, out: g.out === "one without a serial number on file" ? t("daemon-no-serial") : g.out })],
  [/^(?<title>.+?): (?<done>done|not done after all)(?:: (?<why>.+))?$/s, (g) => because(g.done === "done" ? "daemon-due-done" : "daemon-due-open", g)],
  // What another edition of the plan changes.
  [/^(?<title>.+): new in the plan$/, (g) => t("daemon-plan-new", g)],
  [/^(?<title>.+): no longer in the plan$/, (g) => t("daemon-plan-gone", g)],
  [/^(?<title>.+): passes at (?<now>.+) instead of (?<before>.+)$/, (g) => t("daemon-plan-passes", g)],
  [/^(?<title>.+): (?<now>\d+) readings instead of (?<before>\d+)$/, (g) => t("daemon-plan-readings", g)],
  [/^(?<title>.+): computed as (?<now>.+) now$/, (g) => t("daemon-plan-computed", g)],
  [/^(?<title>.+): measured and not computed now$/, (g) => t("daemon-plan-measured", g)],
  [/^(?<title>.+): decided by the rule (?<now>\S+) instead of (?<before>\S+)$/, (g) => t("daemon-plan-rule", { title: g.title, now: coded("rule-name", g.now), before: coded("rule-name", g.before) })],
  [/^(?<title>.+): a (?<hand>left|right)-hand thread now$/, (g) => t(`daemon-plan-${g.hand}`, g)],
  [/^(?<title>.+): the order of pulls is another$/, (g) => t("daemon-plan-order", g)],
  [/^(?<title>.+): in the stage (?<now>.+) now$/, (g) => t("daemon-plan-stage", g)],
  [/^(?<title>.+): no prep any more$/, (g) => t("daemon-plan-no-prep", g)],
  [/^(?<title>.+): prep is (?<now>.+) now$/, (g) => t("daemon-plan-prep", g)],
  [/^(?<title>.+): another person has to look now$/, (g) => t("daemon-plan-look", g)],
  [/^(?<title>.+): nobody else has to look any more$/, (g) => t("daemon-plan-no-look", g)],
  [/^(?<title>.+): the same limits, from other sources$/, (g) => t("daemon-plan-sources", g)],
  [/^(?<title>.+): words, drive, adapter or place only$/, (g) => t("daemon-plan-words", g)],
  [/^(?<title>.+): the list of parts is another$/, (g) => t("daemon-plan-parts", g)],
  [/^(?<title>.+): (?<now>.+) instead of (?<before>.+)$/, (g) => t("daemon-plan-limits", { title: g.title, now: limitsSaid(g.now), before: limitsSaid(g.before) })],
  // Why a tool has gone.
  [/^the tool on (?<port>\S+) hung up$/, (g) => t("daemon-gone-hung-up", g)],
  [/^the connection to (?<port>.+?) is lost(?:: (?<why>.+))?$/, (g) => because("daemon-gone-lost", g)],
  [/^the broker does not answer$/, () => t("daemon-gone-broker")],
  [/^(?<port>\S+) was unplugged, or the tool was switched off$/, (g) => t("daemon-gone-unplugged", g)],
  [/^(?<port>\S+) has closed the connection$/, (g) => t("daemon-gone-closed", g)],
  [/^(?<port>\S+) has lost the link: it is out of reach, or was switched off$/, (g) => t("daemon-gone-link", g)],
  [/^(?<port>\S+) is not heard: switch the tool on, and bring it near$/, (g) => t("daemon-gone-not-heard", g)],
  // How a fastener stands after something was taken back. Last, because a title can be any words.
  [/^(?<title>.+) is (?<now>open|part way|under|within|over|undecided|deferred|(?:over|undecided|out of limits), inspected and kept)$/, (g) => t("daemon-is", { title: g.title, now: standing(g.now) })],
];

// Values of a sentence that has no words here still take the decimal mark.
const kept = (text) => text.replace(/\d+\.\d+(?= (?:d|c|m)?N·m|\u00a0| lbf| ozf| kgf| mm| bar| kg| N\b)/g, marked);

// A sentence of the daemon. English is the daemon's own.
export function sentenceSaid(text) {
  if (language === "en") return kept(text);
  for (const [pattern, said] of SENTENCES) {
    const found = pattern.exec(text);
    const words = found && said({ ...found.groups });
    if (words) return words;
  }
  return kept(text);
}
