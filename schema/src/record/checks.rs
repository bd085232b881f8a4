//! What a record says of checks: planned measurements that are no torque.

use super::{DispositionRecord, Signature};
use crate::build::{CheckStanding, EarlierCheckVerdict};
use crate::check::{
    CheckPlace, CheckPlacement, CheckReading, CheckSpec, CheckVerdict, Derived, Formula, SmallUnit,
};
use crate::verdict::Rule;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One check: what was planned, what was measured or computed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckRecord {
    /// Its id in the plan.
    pub id: String,
    /// Its title in the plan.
    pub title: String,
    /// Its stage's title.
    pub stage: String,
    /// What it has to come to, and who says so.
    pub spec: CheckSpec,
    /// How limits and uncertainty make a verdict here.
    pub rule: Rule,
    /// How many readings it wants.
    pub readings_wanted: u16,
    /// How it is computed from other checks, where nothing measures it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub formula: Option<Formula>,
    /// Its place on the bike map.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub at: Option<String>,
    /// How it stands.
    pub standing: CheckStanding,
    /// Every reading, the oldest first; also those that no longer count.
    pub readings: Vec<CheckReadingRecord>,
    /// What the formula comes to, and the readings that went in.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub derived: Option<Derived>,
    /// Each time it had to be measured again.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub opened: Vec<Signature>,
    /// Decisions about it.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub dispositions: Vec<DispositionRecord>,
    /// Who lets it wait, and why.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub deferred: Option<Signature>,
    /// What it waits for.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub waits_for: Option<String>,
    /// What earlier editions of the plan said, where that makes another verdict; the oldest first.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub earlier: Vec<EarlierCheckSpec>,
}

/// One reading of a check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckReadingRecord {
    /// Its entry's sequence number.
    pub sequence: u64,
    /// When it came.
    pub time: String,
    /// What the tool said.
    pub reading: CheckReading,
    /// Where it is placed, and how that came about.
    pub placement: CheckPlacement,
    /// Where it was placed before.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub earlier_placements: Vec<CheckPlacement>,
    /// The verdict.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub verdict: Option<CheckVerdict>,
    /// What earlier editions of the plan said about it, the oldest first.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub earlier_verdicts: Vec<EarlierCheckVerdict>,
    /// Whether it counts: it is the newest at its place since the check was last set right.
    pub counts: bool,
}

/// What an earlier edition of the plan said about a check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EarlierCheckSpec {
    /// The entry that changed it.
    pub until: u64,
    /// What it had to come to, and who said so.
    pub spec: CheckSpec,
    /// How values were decided.
    pub rule: Rule,
    /// How many readings it wanted.
    pub readings_wanted: u16,
    /// How it was computed, where it was.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub formula: Option<Formula>,
}

/// An over alarm of a check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckAlarmRecord {
    /// The sequence number of the entry that raised it.
    pub sequence: u64,
    /// The reading's sequence number.
    pub reading: u64,
    /// What was passed.
    pub place: CheckPlace,
    /// What the limit is counted in.
    pub unit: SmallUnit,
    /// The upper limit that was passed.
    pub upper: i64,
    /// Who acknowledged it.
    pub acknowledged: Option<Signature>,
}
