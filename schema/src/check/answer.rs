//! A value of a check compared with its limits after the plan's decision rule.

use super::{CheckLimits, CheckWorth};
use crate::measure::decision::probabilities;
pub use crate::verdict::Answer as CheckAnswer;
use crate::verdict::{Outside, Rule};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// What a person should know beside the answer.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum CheckCaution {
    /// The tool has no certificate on file: its stated accuracy stands in.
    AccuracyStandsIn,
    /// Nothing states how good the tool is.
    NothingStated,
    /// The tool is past the date its certificate is due.
    CertificatePast,
    /// The value lies below the tool's range.
    BelowToolRange,
    /// The value lies above the tool's range.
    AboveToolRange,
    /// The tool showed no value: more than it can tell.
    PastToolRange,
    /// The battery is nearly empty.
    BatteryLow,
    /// A person says so; nothing sent it.
    Attested,
    /// The value had not settled.
    Unsteady,
    /// The uncertainty is too large for these limits: no value could be shown to be within.
    ToolNotFit,
}

impl fmt::Display for CheckCaution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::AccuracyStandsIn => {
                "no certificate on file: the tool's stated accuracy stands in"
            }
            Self::NothingStated => "nothing states how good the tool is",
            Self::CertificatePast => "the tool is past its calibration date",
            Self::BelowToolRange => "below the tool's range",
            Self::AboveToolRange => "above the tool's range",
            Self::PastToolRange => "more than the tool can show",
            Self::BatteryLow => "battery nearly empty",
            Self::Attested => "attested by a person, not sent by a tool",
            Self::Unsteady => "the value had not settled",
            Self::ToolNotFit => "the tool's uncertainty is too large for these limits",
        })
    }
}

/// A value compared with limits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckVerdict {
    /// The answer.
    pub answer: CheckAnswer,
    /// What the value was compared with.
    pub limits: CheckLimits,
    /// How.
    pub rule: Rule,
    /// The expanded uncertainty that went into the answer, in whole small units, rounded up.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub expanded: Option<i64>,
    /// How likely the truth lies outside, where the uncertainty is known.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub outside: Option<Outside>,
    /// What a person should know beside it.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub cautions: Vec<CheckCaution>,
}

impl CheckVerdict {
    /// Whether it is undecided at the upper limit.
    pub fn may_be_over(&self, value: Option<i64>) -> bool {
        self.answer == CheckAnswer::Undecided
            && value.is_none_or(|value| {
                guarded_upper(&self.limits, self.expanded).is_some_and(|upper| value > upper)
            })
    }
}

/// Compares a value with bare limits. No value is more than the tool can tell.
pub fn compare(value: Option<i64>, limits: &CheckLimits) -> CheckAnswer {
    match value {
        None => CheckAnswer::Over,
        Some(value) if limits.upper.is_some_and(|upper| value > upper) => CheckAnswer::Over,
        Some(value) if limits.lower.is_some_and(|lower| value < lower) => CheckAnswer::Under,
        Some(_) => CheckAnswer::Within,
    }
}

/// Compares a value with limits after a decision rule, as a torque is. Without an uncertainty a guarded rule shows nothing
/// to be within.
pub fn decide(
    value: Option<i64>,
    limits: &CheckLimits,
    rule: Rule,
    expanded: Option<i64>,
) -> CheckAnswer {
    let bare = compare(value, limits);
    let (CheckAnswer::Within, Some(value)) = (bare, value) else {
        return bare;
    };
    let below_upper = guarded_upper(limits, expanded).is_none_or(|upper| value <= upper);
    let above_lower = guarded_lower(limits, expanded).is_none_or(|lower| value >= lower);
    let is_shown = match rule {
        Rule::Simple => true,
        Rule::Guarded => below_upper && above_lower,
        Rule::GuardedUpper => below_upper,
    };
    if is_shown {
        CheckAnswer::Within
    } else {
        CheckAnswer::Undecided
    }
}

/// How likely the truth lies outside the limits (JCGM 106:2012, clause 7).
#[expect(clippy::cast_precision_loss, reason = "bounded when it was read")]
pub fn outside(value: i64, worth: &CheckWorth, limits: &CheckLimits) -> Outside {
    Outside::of(probabilities(
        value as f64,
        worth.standard_thousandths as f64 / 1_000.0,
        None,
        limits.lower.map(|lower| lower as f64),
        limits.upper.map_or(f64::INFINITY, |upper| upper as f64),
    ))
}

/// Whether a rule leaves any value that could be shown to be within.
pub fn is_fit(limits: &CheckLimits, rule: Rule, expanded: Option<i64>) -> bool {
    let lower = match rule {
        Rule::Simple => return true,
        Rule::Guarded => guarded_lower(limits, expanded),
        Rule::GuardedUpper => limits.lower,
    };
    match (lower, guarded_upper(limits, expanded)) {
        (Some(lower), Some(upper)) => lower <= upper,
        _ => true,
    }
}

/// The upper limit moved inwards, where there is one. An unknown uncertainty moves it to where nothing is.
fn guarded_upper(limits: &CheckLimits, expanded: Option<i64>) -> Option<i64> {
    let upper = limits.upper?;
    Some(expanded.map_or(i64::MIN, |expanded| upper.saturating_sub(expanded)))
}

fn guarded_lower(limits: &CheckLimits, expanded: Option<i64>) -> Option<i64> {
    let lower = limits.lower?;
    Some(expanded.map_or(i64::MAX, |expanded| lower.saturating_add(expanded)))
}
