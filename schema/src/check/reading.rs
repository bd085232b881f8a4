//! A reading of a check, where it went, and what was decided about it.

use super::{CheckVerdict, CheckWorth, SmallUnit};
use crate::entry::Confirmed;
use crate::quantity::{Decimal, Rounding, Stated};
use crate::reading::{Displayed, Flag, Origin};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// One value of another quantity than torque, from one tool.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckReading {
    /// Which tool.
    pub tool: String,
    /// Measured or attested.
    pub origin: Origin,
    /// As displayed; none where the tool was past its range.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub displayed: Option<Displayed>,
    /// What its value is counted in.
    pub unit: SmallUnit,
    /// As it is judged: converted, and corrected where the certificate says how. None where the tool was past its range.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub value: Option<i64>,
    /// What the number is worth; none where nothing states how good the tool is.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub worth: Option<CheckWorth>,
    /// The tool's own count of readings, where it has one.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub counter: Option<u64>,
    /// What the tool said along with it.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub flags: Vec<Flag>,
}

impl CheckReading {
    /// What was shown, in whole small units, rounded up; nothing where the tool was past its range, or showed another
    /// quantity.
    pub fn shown(&self) -> Option<i64> {
        let stated = self.displayed.as_ref()?.stated()?;
        self.unit.value_of(stated, Rounding::Up).ok()
    }

    /// The step of the last digit that was shown, in whole small units, rounded up.
    pub fn step(&self) -> Option<i64> {
        let Stated { value, unit } = self.displayed.as_ref()?.stated()?;
        unit.step_to_small_units(Decimal::new(1, value.scale())?, Rounding::Up)
    }

    /// Whether the tool was past its range.
    pub fn is_over_range(&self) -> bool {
        self.flags.contains(&Flag::OverRange)
    }
}

/// A check and one of the readings that it wants, counted from 0.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(deny_unknown_fields)]
pub struct CheckPlace {
    /// The check's id.
    pub check: String,
    /// Which of its readings.
    pub number: u16,
}

/// Why a reading waits for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CheckHeldBecause {
    /// No check is clearly the right one.
    Unclear,
    /// The tool serves no build.
    NoBuild,
    /// The plan has no check of this quantity.
    NoSuchCheck,
    /// Every check of this quantity is done.
    NothingOpen,
    /// The value cannot be right for any check of this quantity.
    Implausible,
    /// The value had not settled when it was taken.
    Unsteady,
}

impl fmt::Display for CheckHeldBecause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Unclear => "no check is clearly the right one",
            Self::NoBuild => "the tool serves no build",
            Self::NoSuchCheck => "the plan has no check of this quantity",
            Self::NothingOpen => "every check of this quantity is done",
            Self::Implausible => "the value cannot be right here: look at the display and its unit",
            Self::Unsteady => "the value had not settled",
        })
    }
}

/// One check that a reading may belong to, the likeliest first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckCandidate {
    /// Where.
    pub place: CheckPlace,
    /// The unit that the number would have to be in to fit there, where it does not fit in its own.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub fits_in: Option<String>,
}

/// Where a reading went.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum CheckPlacement {
    /// By the plan: one check was clearly the best.
    ByPlan {
        /// Where.
        place: CheckPlace,
    },
    /// A person chose the place, before or after.
    ByChoice {
        /// Where.
        place: CheckPlace,
        /// Who chose.
        by: String,
    },
    /// A person says that it belongs to no check.
    Nowhere {
        /// Who says so.
        by: String,
        /// Why.
        reason: String,
    },
    /// It waits for a person.
    Held {
        /// Why.
        because: CheckHeldBecause,
        /// What it may be, the likeliest first.
        candidates: Vec<CheckCandidate>,
    },
}

impl CheckPlacement {
    /// The check, where there is one.
    pub const fn place(&self) -> Option<&CheckPlace> {
        match self {
            Self::ByPlan { place } | Self::ByChoice { place, .. } => Some(place),
            Self::Nowhere { .. } | Self::Held { .. } => None,
        }
    }

    /// Whether a person still has to say.
    pub const fn is_held(&self) -> bool {
        matches!(self, Self::Held { .. })
    }
}

/// An over alarm of a check that can hurt a part.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckAlarm {
    /// What it is measured against.
    pub place: CheckPlace,
    /// What the limit is counted in.
    pub unit: SmallUnit,
    /// The upper limit that was passed.
    pub upper: i64,
}

/// A reading and what was decided about it at once.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckMeasured {
    /// What the tool said.
    pub reading: CheckReading,
    /// Which build the tool serves.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub build: Option<String>,
    /// Where it went.
    pub placement: CheckPlacement,
    /// The verdict, where it was placed.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub verdict: Option<CheckVerdict>,
    /// The over alarm; it comes before any question of where the reading belongs.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub alarm: Option<CheckAlarm>,
}

/// A person said where an earlier reading belongs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckPlaced {
    /// The sequence number of the reading's entry.
    pub reading: u64,
    /// Which build.
    pub build: String,
    /// Where: by choice, or nowhere.
    pub placement: CheckPlacement,
    /// The verdict there.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub verdict: Option<CheckVerdict>,
    /// An over alarm that only this placement raises.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub alarm: Option<CheckAlarm>,
    /// How the person showed that it is them, where a reading was taken away from where it had gone over.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub confirmed: Option<Confirmed>,
}

/// A reading that another edition of the plan judges by other limits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckJudgedAnew {
    /// The sequence number of the reading's entry.
    pub reading: u64,
    /// The verdict under the new edition.
    pub verdict: CheckVerdict,
    /// An over alarm that only the new edition raises.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub alarm: Option<CheckAlarm>,
}
