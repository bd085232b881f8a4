// Words: what stands in an answer as a key, said as people say it. The messages lie in words/*.ftl (tongue.js), figures in figures.js.

import { decimals, figure, marked, shown, torque, unbroken, uncertainty, unit } from "./figures.js";
import { isSaid, language, t } from "./tongue.js";

export const CARBON_CAUTION = t("carbon-caution");
export const CARBON_JOINT = t("carbon-joint");
export const CARBON_MAYBE = t("carbon-maybe");

// The word of a code; one that is not known yet is shown as it came.
export const coded = (family, code) => (isSaid(`${family}-${code}`) ? t(`${family}-${code}`) : code);

export const standingWord = (standing) => coded("standing", standing);
export const checkStandingWord = (standing) => coded("check-standing", standing);
export const cautionWord = (caution) => coded("caution", caution);
export const checkCautionWord = (caution) => coded("check-caution", caution);
export const answerWord = (answer) => coded("answer", answer);
export const checkAnswerWord = (answer) => coded("check-answer", answer);
export const heldBecause = (code) => coded("held-because", code);
export const pullWord = (kind) => (isSaid(`pull-${kind}`) ? t(`pull-${kind}`) : "");

// Rows of value, word and meaning.
export const DECISION = [
  ["part-replaced", t("decision-part-replaced"), t("decision-part-replaced-meaning")],
  ["inspected-and-kept", t("decision-inspected-and-kept"), t("decision-inspected-and-kept-meaning")],
  ["tightened-again", t("decision-tightened-again"), t("decision-tightened-again-meaning")],
];
export const CHECK_DECISION = [
  ["part-replaced", t("decision-part-replaced"), t("decision-measured-anew")],
  ["inspected-and-kept", t("decision-inspected-and-kept"), t("decision-inspected-and-kept-meaning")],
  ["set-right", t("decision-set-right"), t("decision-set-right-meaning")],
];
// Answers that name no fastener: what is touched, and the reason that is kept. What the page writes by itself is English, as
// records are.
export const NOWHERE = {
  test: { word: t("nowhere-test"), reason: "test pull" },
  "other-build": { word: t("nowhere-other-build"), reason: "pulled on another bike" },
  "other-unit": { word: t("nowhere-other-unit"), reason: "display in another unit" },
};
export const UCUM = {
  "N.m": "N·m", "dN.m": "dN·m", "cN.m": "cN·m", "mN.m": "mN·m", "[lbf_av].[in_i]": "lbf·in", "[lbf_av].[ft_i]": "lbf·ft",
  "[oz_av].[g].[in_i]": "ozf·in", "kgf.cm": "kgf·cm", "kgf.m": "kgf·m", um: "µm", "[in_i]": "in", "[ft_i]": "ft", "[lb_av]": "lb", "[lbf_av]": "lbf",
  "[psi]": "psi", Cel: "°C", "[degF]": "°F",
};

// A share in millionths as percent; small ones with a decimal, so that none reads as nothing.
export function percentOf(millionths) {
  if (millionths >= 10000) return unbroken(`${Math.round(millionths / 10000)} %`);
  return unbroken(millionths >= 1000 ? `${decimals(millionths / 10000, 1)} %` : t("percent-tiny", { percent: marked("0.1 %") }));
}

export const limitsInWords = (limits) => (hasLower(limits)
  ? t("limits-range", { lower: figure(limits.lower_millinewton_metre), upper: torque(limits.upper_millinewton_metre) })
  : t("limits-most", { upper: torque(limits.upper_millinewton_metre) }));
export const hasLower = (limits) => limits.lower_millinewton_metre !== undefined && limits.lower_millinewton_metre !== null;
export const passInWords = (pass, passes, percent) => (passes > 1 ? t("pass-of", { pass: pass + 1, passes, percent }) : t("pass-one"));

// What a tool displayed, beside it the same as the tool showed it where that is in another unit.
export function displayedInWords(displayed) {
  const { text, original } = shown(displayed);
  return original ? t("shown-and-original", { value: text, original }) : text;
}

// The clock of the bench's own place stands in the text; the browser's place does not matter. English keeps the form that
// nobody takes for another day.
function at(time, options) {
  const local = time.length < 19 ? time.slice(0, 10) : `${time.slice(0, 19)}Z`; // a day alone is midnight UTC
  return new Intl.DateTimeFormat(language, { timeZone: "UTC", ...options }).format(new Date(local));
}
const ISO_DAY = /^\d{4}-\d\d-\d\d/;
export const clock = (time) => {
  const plain = /T(\d\d:\d\d:\d\d)/.exec(time || "")?.[1] || "";
  return language === "en" || !plain ? plain : at(time, { timeStyle: "medium" });
};
export const shortClock = (time) => (language === "en" ? clock(time).slice(0, 5) : clock(time) && at(time, { timeStyle: "short" }));
export const day = (time) => (language === "en" || !ISO_DAY.test(time || "") ? String(time || "").slice(0, 10) : at(time, { day: "2-digit", month: "2-digit", year: "numeric" }));
export const moment = (time) => `${day(time)} ${clock(time)}`;
export const bikeName = (build) => build.bike.label || t("frame", { frame: build.bike.frame });
// What a template's figures name as their source (schema/src/practice.rs), in the words of the page.
export const COMMON_PRACTICE = "common practice, check the part maker's figure";
export const isPractice = (item) => Boolean(item?.sources?.includes(COMMON_PRACTICE));
export const sourceSaid = (source) => (source === COMMON_PRACTICE ? t("common-practice") : source);

// What is told one after the other in one line.
export const listed = (parts) => parts.filter(Boolean).join(t("between"));

export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// What the verdict was made from: the torque at the fastener, corrected by the certificate, and how sure it is.
export function judgedInWords(last) {
  const applied = last.applied_millinewton_metre;
  if (applied === null || applied === undefined) return "";
  const expanded = last.expanded_millinewton_metre;
  if (expanded) return t("judged", { value: unbroken(`${figure(applied)} ± ${uncertainty(expanded)} ${unit.symbol}`) });
  return shown(last.displayed).milli === applied ? "" : t("judged", { value: torque(applied) });
}

const WORTH_SAYING = 10000; // one per cent

// How likely the truth lies outside the limits, where that is worth saying.
export function outsideInWords(last) {
  if (!last.outside || !["within", "undecided"].includes(last.answer)) return "";
  const { under_millionths: under, over_millionths: over } = last.outside;
  return [over >= WORTH_SAYING && t("outside-over", { percent: percentOf(over) }), under >= WORTH_SAYING && t("outside-under", { percent: percentOf(under) })]
    .filter(Boolean).join(", ");
}

export const ruleWords = (rule) => (isSaid(`rule-${rule}`) ? [coded("rule-name", rule), t(`rule-${rule}`)] : null);

export function recalledInWords(build) {
  return t("recalled", { n: build.recalled.reduce((all, recalled) => all + recalled.out + recalled.doubtful, 0) });
}

export function summaryInWords(summary) {
  return listed([
    t("summary-within", { within: summary.within, all: summary.fasteners }),
    summary.over_kept && t("summary-over-kept", { n: summary.over_kept }),
    summary.over && t("summary-over", { n: summary.over }),
    summary.undecided_kept && t("summary-undecided-kept", { n: summary.undecided_kept }),
    summary.undecided && t("summary-undecided", { n: summary.undecided }),
    summary.deferred && t("summary-deferred", { n: summary.deferred }),
    summary.open && t("summary-open", { n: summary.open }),
  ]);
}
