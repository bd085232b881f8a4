// Words and figures: what stands in an answer as a key or in millinewton metres, said as people say it.

export const CARBON_CAUTION = "After an over reading on carbon the part is not to be ridden until a competent person has looked at it.";

export const CARBON_JOINT = "Carbon: the part is not to be ridden until a competent person has looked at it.";

export const CARBON_MAYBE = "Carbon: it may have been over. The part is not to be ridden until a competent person has looked at it.";

export const STANDING = {
  open: "open", "part-way": "part way", under: "under", within: "within", over: "over",
  "over-kept": "over, inspected and kept", undecided: "undecided", "undecided-kept": "undecided, inspected and kept", deferred: "deferred",
};
export const CAUTION = {
  "no-certificate": "no calibration certificate on file",
  "certificate-past": "the tool is past its calibration date",
  "below-tool-range": "below the tool's usable range",
  "above-tool-range": "above the tool's usable range",
  "past-tool-range": "more torque than the tool can show",
  "battery-low": "battery nearly empty",
  "no-lower-limit": "only a maximum is stated",
  attested: "attested by a person, not measured",
  "outside-certificate": "outside the certificate's points: the class limit stands in",
  "no-points": "the certificate's points are not on file: the class limit stands in",
  "with-adapter": "pulled with an offset adapter",
  "other-adapter": "the plan asks for another adapter than the one fitted",
  "lever-not-known": "the tool's lever is not on file: the adapter's effect is not converted",
  "check-warns": "the tool's checks drift towards the limit of its class",
  "check-beyond": "the tool's last check was beyond its limit",
  "tool-not-fit": "the tool's uncertainty is too large for these limits",
  "first-peak-only": "the tool showed where it gave way, not the highest of the pull",
};
export const CHECK_STANDING = {
  open: "open", "part-way": "part way", within: "within", under: "under", over: "over", undecided: "undecided",
  kept: "out of limits, inspected and kept", deferred: "deferred",
};
export const CHECK_CAUTION = {
  "accuracy-stands-in": "no certificate on file: the tool's stated accuracy stands in",
  "nothing-stated": "nothing states how good the tool is",
  "certificate-past": "the tool is past its calibration date",
  "below-tool-range": "below the tool's range",
  "above-tool-range": "above the tool's range",
  "past-tool-range": "more than the tool can show",
  "battery-low": "battery nearly empty",
  attested: "attested by a person, not sent by a tool",
  unsteady: "the value had not settled",
  "tool-not-fit": "the tool's uncertainty is too large for these limits",
};
export const CHECK_DECISION = [
  ["part-replaced", "Part replaced", "It is measured anew."],
  ["inspected-and-kept", "Inspected and kept", "A competent person inspected the part and kept it."],
  ["set-right", "Set right", "It is measured anew, with the same part."],
];
export const HELD = {
  unclear: "no fastener is clearly the right one",
  "no-build": "the tool serves no build",
  "nothing-planned": "nothing is open in the build",
  "wrong-way": "it turned against the thread",
  "pass-skipped": "the whole torque in an early pass",
  "earlier-held": "where it belongs depends on an earlier answer",
  "other-unit": "the numbers fit only in another unit",
};
export const PULL = {
  next: "next of the plan", repeat: "the same fastener once more", "out-of-order": "out of order",
  again: "a tight fastener once more", test: "no fastener", "other-build": "not on this one",
};
// Answers that name no fastener: what is touched, and the reason that is kept.
export const NOWHERE = {
  test: { word: "Test pull", reason: "test pull" },
  "other-build": { word: "Another bike", reason: "pulled on another bike" },
  "other-unit": { word: "No fastener: display in another unit", reason: "display in another unit" },
};
export const DECISION = [
  ["part-replaced", "Part replaced", "The fastener starts anew."],
  ["inspected-and-kept", "Inspected and kept", "A competent person inspected the part and kept it."],
  ["tightened-again", "Undone and tightened again", "The fastener starts anew, with the same part."],
];
export const UCUM = {
  "N.m": "N·m", "dN.m": "dN·m", "cN.m": "cN·m", "mN.m": "mN·m", "[lbf_av].[in_i]": "lbf·in", "[lbf_av].[ft_i]": "lbf·ft",
  "[oz_av].[g].[in_i]": "ozf·in", "kgf.cm": "kgf·cm", "kgf.m": "kgf·m", um: "µm", "[in_i]": "in", "[ft_i]": "ft", "[lb_av]": "lb", "[lbf_av]": "lbf",
  "[psi]": "psi", Cel: "°C", "[degF]": "°F",
};

// A share in millionths as percent; small ones with a decimal, so that none reads as nothing.
export function percentOf(millionths) {
  if (millionths >= 10000) return unbroken(`${Math.round(millionths / 10000)} %`);
  return unbroken(millionths >= 1000 ? `${(millionths / 10000).toFixed(1)} %` : "less than 0.1 %");
}

// A figure and its unit stay on one line.
export const unbroken = (text) => text.replaceAll(" ", "\u00a0");

export function newtonMetres(milli) {
  if (milli === null || milli === undefined) return "";
  const size = Math.abs(milli);
  const rest = String(size % 1000).padStart(3, "0").replace(/0+$/, "");
  return `${milli < 0 ? "−" : ""}${Math.trunc(size / 1000)}${rest ? `.${rest}` : ""}`;
}
export const torque = (milli) => unbroken(`${newtonMetres(milli)} N·m`);

export function limitsInWords(limits) {
  const lower = limits.lower_millinewton_metre;
  const upper = newtonMetres(limits.upper_millinewton_metre);
  return lower === undefined || lower === null
    ? `at most ${upper}\u00a0N·m, no lower limit stated`
    : `${newtonMetres(lower)} to ${upper}\u00a0N·m`;
}
export const hasLower = (limits) => limits.lower_millinewton_metre !== undefined && limits.lower_millinewton_metre !== null;
export const passInWords = (pass, passes, percent) => passes > 1 ? `pass ${pass + 1} of ${passes}, ${percent}\u00a0%` : "one pass";
export const clock = (time) => /T(\d\d:\d\d:\d\d)/.exec(time || "")?.[1] || "";
export const day = (time) => String(time || "").slice(0, 10);
export const bikeName = (build) => build.bike.label || `Frame ${build.bike.frame}`;
export const count = (n, one, many) => `${n} ${n === 1 ? one : many}`;
// What a template's figures name as their source (schema/src/practice.rs).
export const COMMON_PRACTICE = "common practice, check the part maker's figure";

export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// A figure in per cent with its sign, to the decimals that steps of this size need.
export function signed(value, step) {
  const decimals = step >= 1 ? 0 : Math.min(Math.ceil(-Math.log10(step || 0.01) - 1e-9), 3);
  const size = Math.abs(value).toFixed(decimals);
  if (Number(size) === 0) return "0";
  return `${value < 0 ? "\u2212" : "+"}${size}`;
}
export const percent = (ppm) => unbroken(`${Number((ppm / 1e4).toFixed(2))} %`);

// An uncertainty has two digits that mean something, and is rounded up (JCGM 100:2008, 7.2.6).
export function uncertainty(milli) {
  const step = 10 ** Math.max(Math.floor(Math.log10(Math.max(milli, 1))) - 1, 0);
  return newtonMetres(Math.ceil(milli / step) * step);
}

// What the verdict was made from: the torque at the fastener, corrected by the certificate, and how sure it is.
export function judgedInWords(last) {
  const applied = last.applied_millinewton_metre;
  if (applied === null || applied === undefined) return "";
  const expanded = last.expanded_millinewton_metre;
  if (expanded) return `judged ${unbroken(`${newtonMetres(applied)} ± ${uncertainty(expanded)} N·m`)}`;
  const shown = /^([+-]?[\d.]+) N·m$/.exec(last.displayed || "");
  return shown && Math.round(Number(shown[1]) * 1000) === applied ? "" : `judged ${torque(applied)}`;
}

const WORTH_SAYING = 10000; // one per cent

// How likely the truth lies outside the limits, where that is worth saying.
export function outsideInWords(last) {
  if (!last.outside || !["within", "undecided"].includes(last.answer)) return "";
  const { under_millionths: under, over_millionths: over } = last.outside;
  return [over >= WORTH_SAYING && `over with a probability of ${percentOf(over)}`, under >= WORTH_SAYING && `under with a probability of ${percentOf(under)}`]
    .filter(Boolean).join(", ");
}

export const RULE = {
  guarded: "both limits are moved in by the tool's uncertainty",
  "guarded-upper": "the upper limit is moved in by the tool's uncertainty",
};

// A number without a unit is meant in N·m; a decimal comma is a point.
export function withUnit(text) {
  const trimmed = text.trim();
  return /^\d+([.,]\d+)?$/.test(trimmed) ? `${trimmed.replace(",", ".")} N·m` : trimmed;
}

export function recalledInWords(build) {
  const readings = build.recalled.reduce((all, recalled) => all + recalled.out + recalled.doubtful, 0);
  return `Recalled: ${count(readings, "reading", "readings")} to look at again`;
}

export function summaryInWords(summary) {
  const parts = [`${summary.within} of ${summary.fasteners} within`];
  if (summary.over_kept) parts.push(`${summary.over_kept} over, inspected and kept`);
  if (summary.over) parts.push(`${summary.over} over`);
  if (summary.undecided_kept) parts.push(`${summary.undecided_kept} undecided, inspected and kept`);
  if (summary.undecided) parts.push(`${summary.undecided} undecided`);
  if (summary.deferred) parts.push(`${summary.deferred} deferred`);
  if (summary.open) parts.push(`${summary.open} open`);
  return parts.join("; ");
}
