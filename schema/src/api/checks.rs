//! What is shown of checks: planned measurements that are no torque.

use crate::build::CheckStanding;
use crate::check::{CheckCaution, CheckHeldBecause, CheckLimits};
use crate::quantity::Kind;
use crate::verdict::{Answer, Rule};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A check of the plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PlannedCheckView {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Its place on the bike map.
    pub at: Option<String>,
    /// What it measures.
    pub quantity: Kind,
    /// How it stands.
    pub standing: CheckStanding,
    /// Whether only a person can say what follows: too much can have hurt a part.
    pub needs_decision: bool,
    /// Whether a person may decide about it: it is not within its limits.
    pub may_be_decided: bool,
    /// What it has to come to.
    pub limits: CheckLimits,
    /// The same in words, with the unit.
    pub limits_text: String,
    /// Where its figures are written.
    #[serde(default)]
    pub sources: Vec<String>,
    /// What counts now, in words, with the unit: one value, the least and the most of several, or what was computed.
    pub value_text: Option<String>,
    /// Its expanded uncertainty, with the unit.
    pub expanded_text: Option<String>,
    /// As displayed, where one reading counts.
    pub displayed: Option<String>,
    /// How many readings it wants.
    pub readings: u16,
    /// How many of them are there.
    pub readings_done: u16,
    /// How it is computed, where it is.
    pub formula: Option<String>,
    /// How limits and uncertainty make a verdict here.
    pub rule: Rule,
    /// What a person should know beside what counts.
    pub cautions: Vec<CheckCaution>,
    /// A sentence for the mechanic.
    pub note: Option<String>,
    /// Whether it was pointed at: the next value of its quantity belongs here.
    pub pointed: bool,
    /// Why it waits, if it does.
    pub deferred: Option<String>,
    /// What it waits for.
    pub waits_for: Option<String>,
    /// How many notes there are about it, photographs among them.
    pub notes: u32,
    /// How many of them are photographs.
    pub photos: u32,
}

/// A reading of a check that waits for a person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct HeldCheckView {
    /// The sequence number of its entry.
    pub sequence: u64,
    /// When it came.
    pub time: String,
    /// Which tool.
    pub tool: String,
    /// As displayed, with its unit; none where the tool was past its range.
    pub displayed: Option<String>,
    /// What it measures.
    pub quantity: Kind,
    /// Why it waits.
    pub because: CheckHeldBecause,
    /// The same in words.
    pub because_text: String,
    /// What it may be, the likeliest first.
    pub candidates: Vec<CheckCandidateView>,
}

/// One answer to "where does it belong?".
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CheckCandidateView {
    /// The check.
    pub check: String,
    /// Its title; of several readings with the number.
    pub title: String,
    /// Which of its readings, counted from 0.
    pub number: u16,
    /// What it has to come to.
    pub limits_text: String,
    /// The unit that the number would have to be in to fit there.
    pub fits_in: Option<String>,
}

/// The last reading of a check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LastCheckView {
    /// The sequence number of its entry.
    pub sequence: u64,
    /// When it came.
    pub time: String,
    /// Which tool.
    pub tool: String,
    /// As displayed, with its unit; none where the tool was past its range.
    pub displayed: Option<String>,
    /// As judged, with the unit.
    pub value_text: Option<String>,
    /// The check, where it is placed.
    pub check: Option<String>,
    /// Its title.
    pub title: Option<String>,
    /// The verdict's answer; none while it is held.
    pub answer: Option<Answer>,
    /// What it was compared with.
    pub limits_text: Option<String>,
    /// Its expanded uncertainty, with the unit.
    pub expanded_text: Option<String>,
    /// What a person should know beside it.
    pub cautions: Vec<CheckCaution>,
}

/// An over alarm of a check that nobody has acknowledged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CheckAlarmView {
    /// The sequence number of the entry that raised it.
    pub sequence: u64,
    /// The check.
    pub check: String,
    /// Its title.
    pub title: String,
    /// As displayed; none where the tool was past its range.
    pub displayed: Option<String>,
    /// As judged, with the unit.
    pub value_text: Option<String>,
    /// The limit that was passed, with the unit.
    pub upper_text: String,
}
