//! What a record says of the life of a build beside its pulls.

use super::Signature;
use crate::entry::{Photo, PlanPin};
use crate::plan::{Hand, Spec};
use crate::verdict::Rule;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The build went over to another edition of its plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanChangeRecord {
    /// Who, when and why.
    pub changed: Signature,
    /// The edition that held until then, pinned by its hash.
    pub before: PlanPin,
}

/// What an earlier edition of the plan said about a fastener.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EarlierSpec {
    /// The entry that changed it.
    pub until: u64,
    /// The stage's passes in percent of the target.
    pub passes_percent: Vec<u8>,
    /// What it was tightened to, and who said so.
    pub spec: Spec,
    /// How readings were decided.
    pub rule: Rule,
    /// Which way the thread turned.
    pub hand: Hand,
}

/// A part of the plan that was fitted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartRecord {
    /// Its id in the plan.
    pub id: String,
    /// Its title in the plan; its id where the plan no longer has it.
    pub title: String,
    /// What kind of part it is.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub kind: Option<String>,
    /// The serial number of the one that left with the bike.
    pub serial: String,
    /// Who put the first one on, and when; none where only a swap was entered.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub fitted: Option<Signature>,
    /// Each time it was replaced, the oldest first.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub swaps: Vec<SwapRecord>,
}

/// A part went out and a spare went in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SwapRecord {
    /// Who, when and why.
    pub swapped: Signature,
    /// The serial number of the one that went out, where it was known.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub out: Option<String>,
    /// The serial number of the one that went in.
    pub serial: String,
    /// The fasteners that were undone for it.
    pub fasteners: Vec<String>,
}

/// The build went from one mechanic to another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HandRecord {
    /// By whom, when, and what the other had to know.
    pub handed: Signature,
    /// To whom.
    pub to: String,
}

/// A time in which the build waited as a whole.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AsideRecord {
    /// Who laid it aside, when and why.
    pub laid: Signature,
    /// Who went on with it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub resumed: Option<Signature>,
}

/// A note or a photograph.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NoteRecord {
    /// Who and when.
    pub noted: Signature,
    /// About which fastener; none for the whole build.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub fastener: Option<String>,
    /// What.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub text: Option<String>,
    /// The photograph: its hash, not its bytes.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub photo: Option<Photo>,
}

/// An act that was taken back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WithdrawnRecord {
    /// The word of its kind.
    pub kind: String,
    /// The fasteners that it was about; none where it was about the whole build.
    pub fasteners: Vec<String>,
    /// Who had done it, and when.
    pub act: Signature,
    /// Who took it back, when and why.
    pub withdrawn: Signature,
}
