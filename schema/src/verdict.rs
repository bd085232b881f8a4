//! A verdict: a reading compared with limits after a decision rule.

use crate::measure::decision::Probabilities;
use crate::plan::Limits;
use crate::quantity::Torque;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// The answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// Between the limits, or on one of them.
    Within,
    /// Below the lower limit: pull again.
    Under,
    /// Above the upper limit.
    Over,
    /// The uncertainty straddles a limit.
    Undecided,
}

impl fmt::Display for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Within => "within",
            Self::Under => "under",
            Self::Over => "over",
            Self::Undecided => "undecided",
        })
    }
}

/// How limits and uncertainty make an answer. Where two laboratories disagree about a decision, it is mostly about this:
/// the rule is part of the verdict, and the record names it (ISO/IEC 17025:2017, 7.8.6).
///
/// Under every rule a value above the upper limit is over: a guard band makes an answer stricter and never milder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Rule {
    /// A limit is a limit (simple acceptance, ILAC-G8:09/2019, 4.2.1). A value right on a limit is as likely outside.
    #[default]
    Simple,
    /// Both limits are moved in by the expanded uncertainty, k = 2 (guard band w = U, ILAC-G8:09/2019, 4.2.2; the same
    /// as proving conformity in ISO 14253-1:1998). What lies between a limit and where it was moved to is undecided.
    Guarded,
    /// Only the upper limit is moved in by the expanded uncertainty. For joints where too much cannot be undone and too
    /// little can be pulled again: the choice for carbon where a plan says nothing. Our own combination of the two.
    GuardedUpper,
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Simple => "simple",
            Self::Guarded => "guarded",
            Self::GuardedUpper => "guarded-upper",
        })
    }
}

/// What a person should know beside the answer.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Caution {
    /// The tool has no calibration certificate on file.
    NoCertificate,
    /// The tool is past the date its certificate is due.
    CertificatePast,
    /// The value lies below the tool's usable range.
    BelowToolRange,
    /// The value lies above the tool's usable range.
    AboveToolRange,
    /// The tool showed no value: more torque than it can tell.
    PastToolRange,
    /// The battery is nearly empty.
    BatteryLow,
    /// The spec has only an upper limit: nothing says that the fastener is tight enough.
    NoLowerLimit,
    /// A person says so; nothing measured it.
    Attested,
    /// The value lies outside the points of the certificate: the class limit stands in.
    OutsideCertificate,
    /// The certificate on file has no points: the class limit stands in.
    NoPoints,
    /// An offset adapter is fitted, and the tool was calibrated without one.
    WithAdapter,
    /// The plan asks for another adapter than the one that is fitted.
    OtherAdapter,
    /// The adapter changes the torque, and the tool's lever is not on file: nothing was converted.
    LeverNotKnown,
    /// The tool's checks against a reference drift towards the limit of its class.
    CheckWarns,
    /// The tool's last check against a reference was beyond its limit.
    CheckBeyond,
    /// The uncertainty is too large for these limits: no value could be shown to be within.
    ToolNotFit,
    /// The tool showed where it gave way, and not what was reached after it.
    FirstPeakOnly,
}

impl fmt::Display for Caution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoCertificate => "no calibration certificate on file",
            Self::CertificatePast => "the tool is past its calibration date",
            Self::BelowToolRange => "below the tool's usable range",
            Self::AboveToolRange => "above the tool's usable range",
            Self::PastToolRange => "more torque than the tool can show",
            Self::BatteryLow => "battery nearly empty",
            Self::NoLowerLimit => "only a maximum is stated",
            Self::Attested => "attested by a person, not measured",
            Self::OutsideCertificate => {
                "outside the certificate's points: the class limit stands in"
            }
            Self::NoPoints => "the certificate's points are not on file: the class limit stands in",
            Self::WithAdapter => "pulled with an offset adapter",
            Self::OtherAdapter => "the plan asks for another adapter than the one fitted",
            Self::LeverNotKnown => {
                "the tool's lever is not on file: the adapter's effect is not converted"
            }
            Self::CheckWarns => "the tool's checks drift towards the limit of its class",
            Self::CheckBeyond => "the tool's last check was beyond its limit",
            Self::ToolNotFit => "the tool's uncertainty is too large for these limits",
            Self::FirstPeakOnly => "the tool showed where it gave way, not the highest of the pull",
        })
    }
}

/// How likely the true torque lies outside the limits (JCGM 106:2012, clause 7), in millionths. What is left is within.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Outside {
    /// Below the lower limit.
    pub under_millionths: u32,
    /// Above the upper limit.
    pub over_millionths: u32,
}

impl Outside {
    /// In whole millionths.
    pub fn of(found: Probabilities) -> Self {
        Self {
            under_millionths: millionths(found.under),
            over_millionths: millionths(found.over),
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 0 and a million"
)]
fn millionths(probability: f64) -> u32 {
    (probability * 1e6).round().clamp(0.0, 1e6) as u32
}

/// A reading compared with limits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Verdict {
    /// The answer.
    pub answer: Answer,
    /// What the reading was compared with.
    pub limits: Limits,
    /// How.
    pub rule: Rule,
    /// The expanded uncertainty that went into the answer, where a budget was made.
    #[serde(
        rename = "expanded_uncertainty_millinewton_metre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub expanded_uncertainty: Option<Torque>,
    /// How likely the truth lies outside, where a budget was made.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub outside: Option<Outside>,
    /// What a person should know beside it.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub cautions: Vec<Caution>,
}

impl Verdict {
    /// Whether it is undecided at the upper limit: one more pull cannot settle it, a person has to.
    pub fn may_be_over(&self, applied: Option<Torque>) -> bool {
        self.answer == Answer::Undecided
            && applied.is_none_or(|applied| {
                guarded_upper(&self.limits, self.expanded_uncertainty) < applied.magnitude()
            })
    }
}

/// Compares a torque with bare limits. No torque means that the tool was past its range, which is over.
pub fn compare(applied: Option<Torque>, limits: &Limits) -> Answer {
    match applied {
        None => Answer::Over,
        Some(torque) if torque > limits.upper => Answer::Over,
        Some(torque) if limits.lower.is_some_and(|lower| torque < lower) => Answer::Under,
        Some(_) => Answer::Within,
    }
}

/// Compares a torque with limits after a decision rule. Without an uncertainty a guarded rule shows nothing to be within.
pub fn decide(
    applied: Option<Torque>,
    limits: &Limits,
    rule: Rule,
    expanded: Option<Torque>,
) -> Answer {
    let bare = compare(applied, limits);
    let (Answer::Within, Some(torque)) = (bare, applied) else {
        return bare;
    };
    let is_shown = match rule {
        Rule::Simple => true,
        Rule::Guarded => {
            torque <= guarded_upper(limits, expanded)
                && guarded_lower(limits, expanded).is_none_or(|lower| torque >= lower)
        }
        Rule::GuardedUpper => torque <= guarded_upper(limits, expanded),
    };
    if is_shown {
        Answer::Within
    } else {
        Answer::Undecided
    }
}

/// Whether a rule leaves any value that could be shown to be within.
pub fn is_fit(limits: &Limits, rule: Rule, expanded: Option<Torque>) -> bool {
    let upper = guarded_upper(limits, expanded);
    match rule {
        Rule::Simple => true,
        Rule::Guarded => {
            guarded_lower(limits, expanded).unwrap_or(Torque::from_small_units(0)) <= upper
        }
        Rule::GuardedUpper => limits.lower.unwrap_or(Torque::from_small_units(0)) <= upper,
    }
}

/// The upper limit moved inwards. An unknown uncertainty moves it to where nothing is.
fn guarded_upper(limits: &Limits, expanded: Option<Torque>) -> Torque {
    let moved = expanded.map(|expanded| {
        limits
            .upper
            .small_units()
            .saturating_sub(expanded.small_units())
    });
    Torque::from_small_units(moved.unwrap_or(i64::MIN))
}

fn guarded_lower(limits: &Limits, expanded: Option<Torque>) -> Option<Torque> {
    let lower = limits.lower?;
    let moved = expanded.map(|expanded| lower.small_units().saturating_add(expanded.small_units()));
    Some(Torque::from_small_units(moved.unwrap_or(i64::MAX)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn torque(small: i64) -> Torque {
        Torque::from_small_units(small)
    }

    #[test]
    fn a_limit_belongs_to_the_inside() {
        let limits = Limits {
            lower: Some(torque(4_500)),
            target: Some(torque(5_000)),
            upper: torque(5_500),
        };
        for (applied, answer) in [
            (4_499, Answer::Under),
            (4_500, Answer::Within),
            (5_500, Answer::Within),
            (5_501, Answer::Over),
            (-5_000, Answer::Under),
        ] {
            assert_eq!(
                compare(Some(torque(applied)), &limits),
                answer,
                "{applied} mN·m"
            );
        }
        assert_eq!(compare(None, &limits), Answer::Over);
    }

    #[test]
    fn without_a_lower_limit_nothing_is_under() {
        let limits = Limits {
            lower: None,
            target: None,
            upper: torque(6_000),
        };
        assert_eq!(compare(Some(torque(10)), &limits), Answer::Within);
    }

    const LIMITS: Limits = Limits {
        lower: Some(torque(4_500)),
        target: Some(torque(5_000)),
        upper: torque(5_500),
    };

    /// 5 ± 0.5 N·m with U = 0.2: a guard band of U accepts 4.70 … 5.30 (computed from the definition, ISO 14253-1).
    #[test]
    fn a_guard_band_moves_the_limits_inwards() {
        use Answer::{Over, Undecided, Under, Within};
        let expanded = Some(torque(200));
        let answers = |applied| {
            [Rule::Simple, Rule::GuardedUpper, Rule::Guarded]
                .map(|rule| decide(Some(torque(applied)), &LIMITS, rule, expanded))
        };
        assert_eq!(answers(4_499), [Under; 3]);
        assert_eq!(answers(4_500), [Within, Within, Undecided]);
        assert_eq!(answers(4_699), [Within, Within, Undecided]);
        assert_eq!(answers(4_700), [Within; 3]);
        assert_eq!(answers(5_300), [Within; 3]);
        assert_eq!(answers(5_301), [Within, Undecided, Undecided]);
        assert_eq!(answers(5_500), [Within, Undecided, Undecided]);
        assert_eq!(answers(5_501), [Over; 3]);
    }

    #[test]
    fn an_empty_zone_is_the_tools_fault() {
        // 5 ± 0.5 N·m with U = 0.6
        let wide = Some(torque(600));
        assert!(is_fit(&LIMITS, Rule::Simple, wide));
        assert!(is_fit(&LIMITS, Rule::GuardedUpper, wide));
        assert!(!is_fit(&LIMITS, Rule::Guarded, wide));
        assert!(!is_fit(&LIMITS, Rule::GuardedUpper, Some(torque(1_001))));
        assert_eq!(
            decide(Some(torque(5_000)), &LIMITS, Rule::Guarded, wide),
            Answer::Undecided
        );
    }

    #[test]
    fn without_an_uncertainty_a_guarded_rule_shows_nothing() {
        for rule in [Rule::Guarded, Rule::GuardedUpper] {
            let answer = |applied| decide(applied, &LIMITS, rule, None);
            assert_eq!(answer(Some(torque(5_000))), Answer::Undecided);
            assert_eq!(answer(Some(torque(5_501))), Answer::Over);
            assert_eq!(answer(None), Answer::Over);
        }
    }
}
