//! A verdict: a reading compared with limits after a decision rule.

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
        })
    }
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
    /// What a person should know beside it.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub cautions: Vec<Caution>,
}

/// Compares a torque with the bare limits. No torque means that the tool was past its range, which is over.
///
/// Without an uncertainty there is nothing to move a limit by, so every rule gives the same answer here.
pub fn compare(applied: Option<Torque>, limits: &Limits, rule: Rule) -> Answer {
    let (Rule::Simple | Rule::Guarded | Rule::GuardedUpper) = rule;
    match applied {
        None => Answer::Over,
        Some(torque) if torque > limits.upper => Answer::Over,
        Some(torque) if limits.lower.is_some_and(|lower| torque < lower) => Answer::Under,
        Some(_) => Answer::Within,
    }
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
                compare(Some(torque(applied)), &limits, Rule::Simple),
                answer,
                "{applied} mN·m"
            );
        }
        assert_eq!(compare(None, &limits, Rule::Simple), Answer::Over);
    }

    #[test]
    fn without_a_lower_limit_nothing_is_under() {
        let limits = Limits {
            lower: None,
            target: None,
            upper: torque(6_000),
        };
        assert_eq!(
            compare(Some(torque(10)), &limits, Rule::Simple),
            Answer::Within
        );
    }
}
