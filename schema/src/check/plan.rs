//! A check as the plan has it.

use super::{Formula, SmallUnit};
use crate::plan::{Settlement, Source};
use crate::verdict::Rule;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The most readings that one check wants: more than any wheel has spokes on a side.
pub const MOST_READINGS: u16 = 64;

/// What a check's value is compared with, in whole small units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckLimits {
    /// What they are counted in.
    pub unit: SmallUnit,
    /// The least that is allowed; none where nothing is too little.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub lower: Option<i64>,
    /// What to aim at.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub target: Option<i64>,
    /// The most that is allowed; none where nothing is too much.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub upper: Option<i64>,
}

impl CheckLimits {
    /// In words: "70 mm to 110 mm", "at least 70 mm", "at most 6.5 bar".
    pub fn text(&self) -> String {
        let text = |value| self.unit.text(value);
        let range = match (self.lower, self.upper) {
            (Some(lower), Some(upper)) => {
                let lower = text(lower);
                let bare = lower.trim_end_matches(self.unit.symbol()).trim_end();
                format!("{bare} to {}", text(upper))
            }
            (Some(lower), None) => format!("at least {}", text(lower)),
            (None, Some(upper)) => format!("at most {}", text(upper)),
            (None, None) => "no limits".to_owned(),
        };
        match self.target {
            Some(target) => format!("{range}, aim {}", text(target)),
            None => range,
        }
    }
}

/// The effective limits of a check, and everything they follow from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckSpec {
    /// What a reading is compared with.
    pub limits: CheckLimits,
    /// The plan's own figures first, then every source, as stated.
    pub sources: Vec<Source>,
    /// A tolerance that stood in for limits that nobody states, in percent of the target.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub tolerance_percent: Option<u8>,
    /// Where sources disagreed.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub settled: Option<Settlement>,
}

impl CheckSpec {
    /// Where its figures are written; the plan's own figures name no place.
    pub fn places(&self) -> Vec<String> {
        crate::plan::places(&self.sources)
    }
}

/// A planned measurement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Check {
    /// Unique in the plan, among the fasteners too.
    pub id: String,
    /// For people.
    pub title: String,
    /// What it has to come to, and who says so.
    pub spec: CheckSpec,
    /// How a value is decided.
    pub rule: Rule,
    /// How many readings it wants: one for each spoke, say.
    pub readings: u16,
    /// How it is computed from other checks, where nothing measures it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub formula: Option<Formula>,
    /// A sentence for the mechanic.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub note: Option<String>,
    /// The place on the bike map.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub at: Option<String>,
}

impl Check {
    /// What its values are counted in.
    pub const fn unit(&self) -> SmallUnit {
        self.spec.limits.unit
    }

    /// Whether it is computed and not measured.
    pub const fn is_derived(&self) -> bool {
        self.formula.is_some()
    }

    /// Whether a value above the upper limit can have hurt a part. What is computed hurts nothing: its inputs may.
    pub const fn can_harm(&self) -> bool {
        self.unit().can_harm() && !self.is_derived()
    }
}
