// Words and figures: what stands in an answer as a key or in millinewton metres, said as people say it.

export const CARBON_CAUTION = "After an over reading on carbon the part is not to be ridden until a competent person has looked at it.";

export const CARBON_JOINT = "Carbon: the part is not to be ridden until a competent person has looked at it.";

export const STANDING = {
  open: "open", "part-way": "part way", under: "under", within: "within", over: "over",
  "over-kept": "over, inspected and kept", deferred: "deferred",
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
};
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
  "[oz_av].[g].[in_i]": "ozf·in", "kgf.cm": "kgf·cm", "kgf.m": "kgf·m",
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
export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// The judged torque is said beside the displayed value only where the two differ.
export function judgedInWords(last) {
  const applied = last.applied_millinewton_metre;
  if (applied === null || applied === undefined || !last.displayed) return "";
  const shown = /^([+-]?[\d.]+) N·m$/.exec(last.displayed);
  return shown && Math.round(Number(shown[1]) * 1000) === applied ? "" : `judged as ${torque(applied)}`;
}

export function summaryInWords(summary) {
  const parts = [`${summary.within} of ${summary.fasteners} within`];
  if (summary.over_kept) parts.push(`${summary.over_kept} over, inspected and kept`);
  if (summary.over) parts.push(`${summary.over} over`);
  if (summary.deferred) parts.push(`${summary.deferred} deferred`);
  if (summary.open) parts.push(`${summary.open} open`);
  return parts.join("; ");
}
