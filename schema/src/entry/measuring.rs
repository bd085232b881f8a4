//! What entries say about a tool's error: checks against a reference, and recalls.

use super::Bike;
use crate::certificate::Certificate;
use crate::placement::Place;
use crate::plan::{JointFile, Limits};
use crate::quantity::{MicroTorque, Torque};
use crate::verdict::{Answer, Outside};
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One pull of a tool against a reference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckPull {
    /// The sequence number of the reading, where it came from the tool itself.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub reading: Option<u64>,
    /// What the tool showed, or was set to.
    #[serde(rename = "indicated_micronewton_metre")]
    pub indicated: MicroTorque,
    /// What the reference showed.
    #[serde(rename = "reference_micronewton_metre")]
    pub reference: MicroTorque,
}

/// A tool was pulled a few times against a reference.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ToolCheck {
    /// Which tool.
    pub tool: String,
    /// What it was pulled against: the reference device and its own certificate.
    pub against: String,
    /// The pulls.
    pub pulls: Vec<CheckPull>,
    /// Who.
    pub by: String,
}

impl ToolCheck {
    /// The relative deviation of each pull, (indicated − reference) / reference.
    pub fn deviations(&self) -> Vec<f64> {
        let pulls = self.pulls.iter();
        pulls
            .map(|pull| {
                (
                    pull.indicated.newton_metres(),
                    pull.reference.newton_metres(),
                )
            })
            .filter(|(_, reference)| *reference > 0.0)
            .map(|(indicated, reference)| (indicated - reference) / reference)
            .collect()
    }

    /// The mean of what the tool showed, in N·m.
    pub fn mean_indicated(&self) -> Option<f64> {
        let shown: Vec<f64> = self
            .pulls
            .iter()
            .map(|pull| pull.indicated.newton_metres())
            .collect();
        crate::measure::statistics::mean(&shown)
    }
}

/// How a tool's error is taken to have grown between its last good calibration and the one that found it out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum DriftModel {
    /// Evenly with time.
    #[default]
    Linear,
    /// All of it from the day of the last good calibration on: the worst case after a knock or an overload.
    AtOnce,
}

impl std::fmt::Display for DriftModel {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Linear => "evenly with time since the last good calibration",
            Self::AtOnce => "all at once, on the day of the last good calibration",
        })
    }
}

/// A new calibration found a tool changed, and every reading since its last good one was judged again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Recalled {
    /// Which tool.
    pub tool: String,
    /// Its serial number.
    pub serial: String,
    /// What was found, before any adjustment.
    pub found: Certificate,
    /// The number of the last good certificate; none where there was none.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub last_good: Option<String>,
    /// The day of the last good certificate; readings from then on were looked at.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    #[schemars(with = "Option<String>")]
    pub since: Option<NaiveDate>,
    /// How the error is taken to have grown.
    pub drift: DriftModel,
    /// How many readings were judged again.
    pub examined: u64,
    /// How many of them are out of their limits now.
    pub out: u64,
    /// How many more are no longer surely within.
    pub doubtful: u64,
    /// Who asked for it.
    pub by: String,
}

/// A reading that a recall judged again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AffectedReading {
    /// The sequence number of its entry.
    pub reading: u64,
    /// Where it was placed.
    pub place: Place,
    /// The fastener's title.
    pub title: String,
    /// What the joint is made of, where it matters.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub joint: Option<JointFile>,
    /// Whether it still counted at its fastener when the recall was made.
    pub counts: bool,
    /// The torque as it was judged.
    #[serde(rename = "before_millinewton_metre")]
    pub before: Torque,
    /// The answer then.
    pub answer_before: Answer,
    /// The torque as it has to be judged now.
    #[serde(rename = "now_millinewton_metre")]
    pub now: Torque,
    /// Its expanded uncertainty now.
    #[serde(rename = "expanded_millinewton_metre")]
    pub expanded: Torque,
    /// The limits.
    pub limits: Limits,
    /// The answer now, after the same rule.
    pub answer_now: Answer,
    /// How likely the truth lies outside the limits now.
    pub outside: Outside,
}

/// What a recall found on one bike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Affected {
    /// The sequence number of the recall's entry.
    pub recall: u64,
    /// Which build.
    pub build: String,
    /// The bike.
    pub bike: Bike,
    /// Which tool.
    pub tool: String,
    /// The readings, those of the highest risk first.
    pub readings: Vec<AffectedReading>,
}
