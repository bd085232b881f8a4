//! What is shown of the life of a build beside its pulls.

use crate::entry::{Photo, PlanPin};
use crate::verdict::Answer;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Who laid a build aside.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct AsideView {
    /// Who.
    pub by: String,
    /// When.
    pub time: String,
    /// Why.
    pub reason: Option<String>,
}

/// A part of the plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PartView {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// What kind of part it is.
    pub kind: Option<String>,
    /// The fasteners that hold it.
    pub fasteners: Vec<String>,
    /// The serial number of the one that is on; none while nothing was entered.
    pub serial: Option<String>,
    /// How often it was replaced.
    pub swaps: u32,
}

/// A note or a photograph.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct NoteView {
    /// Its entry.
    pub sequence: u64,
    /// When.
    pub time: String,
    /// Who.
    pub by: String,
    /// About which fastener; none for the whole build.
    pub fastener: Option<String>,
    /// What.
    pub text: Option<String>,
    /// The photograph; its bytes are at `/v1/photos/` and its hash.
    pub photo: Option<Photo>,
}

/// One entry of a history, in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct HistoryRow {
    /// Its sequence number.
    pub sequence: u64,
    /// When.
    pub time: String,
    /// The word of its kind.
    pub kind: String,
    /// Who, where a person did it.
    pub by: Option<String>,
    /// What happened.
    pub text: String,
    /// Whether it can be taken back now.
    pub withdrawable: bool,
    /// Who took it back.
    pub withdrawn: Option<WithdrawnView>,
    /// The hash of its photograph.
    pub photo: Option<String>,
}

/// Who took an act back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct WithdrawnView {
    /// The entry that did it.
    pub sequence: u64,
    /// When.
    pub time: String,
    /// Who.
    pub by: String,
    /// Why.
    pub reason: Option<String>,
}

/// What another edition of the plan would mean for a build.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PlanDifferenceView {
    /// The edition that holds now.
    pub before: PlanPin,
    /// The new one.
    pub now: PlanPin,
    /// What is different.
    pub differences: Vec<DifferenceView>,
    /// The readings that count and are judged by other limits.
    pub judged: Vec<JudgedView>,
    /// The titles of the fasteners that have to be pulled again.
    pub again: Vec<String>,
    /// The titles of the fasteners whose readings stay and no longer count, because the plan no longer has them.
    pub dropped: Vec<String>,
}

/// One thing that is different.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct DifferenceView {
    /// Which fastener; none for a stage or the plan as a whole.
    pub fastener: Option<String>,
    /// What, in words.
    pub text: String,
}

/// A reading that is judged by other limits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct JudgedView {
    /// The sequence number of its entry.
    pub reading: u64,
    /// Which fastener.
    pub fastener: String,
    /// Its title.
    pub title: String,
    /// The answer before.
    pub before: Option<Answer>,
    /// The answer now.
    pub now: Answer,
    /// Whether it raises an over alarm.
    pub alarm: bool,
}
