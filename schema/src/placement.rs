//! A placement: which fastener and pass a reading belongs to, how sure that is, and why.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A fastener and one of its stage's passes, counted from 0.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// The fastener's id.
    pub fastener: String,
    /// The pass.
    pub pass: u8,
}

/// What kind of pull a candidate takes the reading for.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum PullKind {
    /// The next one of the plan.
    Next,
    /// The same fastener once more.
    Repeat,
    /// Another open fastener, out of order.
    OutOfOrder,
    /// A fastener that is already tight, once more.
    Again,
    /// No fastener: a test pull.
    Test,
    /// A fastener of another bike that is open at the bench.
    OtherBuild,
}

impl fmt::Display for PullKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Next => "next of the plan",
            Self::Repeat => "the same fastener once more",
            Self::OutOfOrder => "out of order",
            Self::Again => "a tight fastener once more",
            Self::Test => "test pull",
            Self::OtherBuild => "another bike",
        })
    }
}

/// What makes up a candidate's probability: it is the product of the three, divided by the sum of all products. Natural
/// logarithms, in thousandths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Why {
    /// How often such a pull happens, given all that came before.
    pub order: i32,
    /// How well the time since the tool's last pull fits, per second.
    pub time: i32,
    /// How well the value fits, per N·m.
    pub value: i32,
}

/// One thing a reading may be.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Candidate {
    /// What kind of pull.
    pub kind: PullKind,
    /// Where; none for a test pull.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub place: Option<Place>,
    /// How likely, in millionths.
    pub probability_millionths: u32,
    /// How that came about.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub why: Option<Why>,
}

/// Why a reading waits for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HeldBecause {
    /// No candidate is clearly the best.
    Unclear,
    /// The tool serves no build.
    NoBuild,
    /// Nothing is open in the build.
    NothingPlanned,
    /// It turned against the thread.
    WrongWay,
    /// In an early pass the value already reaches the whole torque.
    PassSkipped,
    /// Another reading of this tool is still waiting, and where this one belongs depends on it.
    EarlierHeld,
    /// A run of readings fits the plan only when its numbers are read in another unit.
    OtherUnit,
}

impl HeldBecause {
    /// Whether a later pull, or an answer about another reading, may clear it up without a word from a person.
    pub const fn may_become_clear(self) -> bool {
        matches!(self, Self::Unclear | Self::EarlierHeld)
    }
}

impl fmt::Display for HeldBecause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Unclear => "no fastener is clearly the right one",
            Self::NoBuild => "the tool serves no build",
            Self::NothingPlanned => "nothing is open in the build",
            Self::WrongWay => "it turned against the thread",
            Self::PassSkipped => "the whole torque in an early pass",
            Self::EarlierHeld => "an earlier reading still waits",
            Self::OtherUnit => "the numbers fit only in another unit: look at the display",
        })
    }
}

/// Where a reading went.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Placement {
    /// By itself: one candidate was clearly the best.
    ByOrder {
        /// Where.
        place: Place,
        /// What kind of pull.
        kind: PullKind,
        /// How likely, in millionths.
        probability_millionths: u32,
        /// How that came about.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        why: Option<Why>,
        /// What else it might have been, the likeliest first.
        #[serde(skip_serializing_if = "Vec::is_empty", default)]
        others: Vec<Candidate>,
    },
    /// A person chose the place, before or after the pull.
    ByChoice {
        /// Where.
        place: Place,
        /// Who chose.
        by: String,
    },
    /// A person says that it belongs to no fastener.
    Nowhere {
        /// Who says so.
        by: String,
        /// Why, for example "test pull".
        reason: String,
    },
    /// It waits for a person.
    Held {
        /// Why.
        because: HeldBecause,
        /// What it may be, the likeliest first.
        candidates: Vec<Candidate>,
    },
}

impl Placement {
    /// Whether a person said so.
    pub const fn is_by_a_person(&self) -> bool {
        matches!(self, Self::ByChoice { .. } | Self::Nowhere { .. })
    }

    /// The fastener and pass, where there is one.
    pub const fn place(&self) -> Option<&Place> {
        match self {
            Self::ByOrder { place, .. } | Self::ByChoice { place, .. } => Some(place),
            Self::Nowhere { .. } | Self::Held { .. } => None,
        }
    }

    /// Whether a person still has to say.
    pub const fn is_held(&self) -> bool {
        matches!(self, Self::Held { .. })
    }
}
