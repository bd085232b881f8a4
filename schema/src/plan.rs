//! The plan of a build: stages, fasteners, the order of pulls, and the effective limits of each fastener.
//!
//! A plan is a TOML file written by people. [`read`] turns its text into a [`Plan`] and a list of [`Finding`]s; a plan
//! with errors among its findings is not given out, so whoever holds a `Plan` holds one whose limits are settled.

pub mod difference;
mod draft;
mod file;
mod finding;
mod locate;
mod order;
mod read;
mod service;
mod spec;
pub mod table;
pub mod template;
mod write;

pub use draft::{CheckDraft, DueDraft, FastenerDraft, PartDraft, PlanDraft, StageDraft};
pub use file::{
    AdapterFile, CheckFile, DueFile, Engaged, FastenerFile, Hand, JointFile, PartFile, Pattern,
    PlanFile, SettledFile, SourceFile, SpecFile, StageFile, ThreadFile,
};
pub use finding::{Finding, PlanCode, Severity};
pub use locate::locate;
pub use order::Step;
pub use read::{PlanReading, check, read, read_pinned};
pub use service::service;
pub(crate) use spec::places;
pub use spec::{DEFAULT_TOLERANCE_PERCENT, Limits, PassLimits, Settlement, Source, Spec};
pub use write::Written;

use crate::adapter::Adapter;
use crate::canonical::Digest32;
use crate::check::Check;
use crate::joint::Friction;
use crate::map::FrameKind;
use crate::quantity::Length;
use crate::verdict::Rule;
use serde::{Deserialize, Serialize};

/// The largest plan file that is read, in bytes.
pub const LARGEST_FILE: usize = 1 << 20;

/// The longest id of a plan, in bytes.
const LONGEST_ID: usize = 64;

/// Whether a text can be an id in a plan.
pub(crate) fn is_id(text: &str) -> bool {
    let is_legal = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b"._-".contains(&b);
    !text.is_empty() && text.len() <= LONGEST_ID && text.bytes().all(is_legal)
}

/// A plan that can be built after: names are unique, limits are settled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Plan {
    /// What the plan is for.
    pub title: String,
    /// Which edition of the plan this is, in the shop's own words.
    pub edition: String,
    /// Which kind of frame the bike has.
    #[serde(skip_serializing_if = "FrameKind::is_default", default)]
    pub frame: FrameKind,
    /// SHA-256 of the file's bytes; a build pins it.
    pub sha256: Digest32,
    /// In the order in which they are worked.
    pub stages: Vec<Stage>,
    /// Parts whose serial numbers are kept.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub parts: Vec<Part>,
    /// What is looked at again after the bike was handed over.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub due: Vec<Due>,
}

/// Something that is looked at again after the bike was handed over: after a time, after a distance, or whichever comes first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Due {
    /// Unique among what is due.
    pub id: String,
    /// For people.
    pub title: String,
    /// So many days after handing over.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub days: Option<u16>,
    /// So many months after it; not together with days.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub months: Option<u16>,
    /// After so many kilometres.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub kilometres: Option<u32>,
    /// The fasteners and checks that are looked at, by their ids; the whole bike if there are none.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub fasteners: Vec<String>,
    /// Who says so.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub source: Option<String>,
}

/// A part of the bike that may be replaced by another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Part {
    /// Unique among the plan's parts.
    pub id: String,
    /// For people.
    pub title: String,
    /// What kind of part it is.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub kind: Option<String>,
    /// The fasteners that hold it.
    pub fasteners: Vec<String>,
}

/// Fasteners that are tightened together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stage {
    /// Unique in the plan.
    pub id: String,
    /// For people.
    pub title: String,
    /// The way from fastener to fastener.
    pub pattern: Pattern,
    /// Whole percentages of the target, rising; the last is 100.
    pub passes: Vec<u8>,
    /// As listed.
    pub fasteners: Vec<Fastener>,
    /// Measurements that are no torque, as listed.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub checks: Vec<Check>,
}

/// One bolt, nut, cup or lockring.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fastener {
    /// Unique in the plan.
    pub id: String,
    /// For people.
    pub title: String,
    /// What it is tightened to, and who says so.
    pub spec: Spec,
    /// How readings are decided: the fastener's own rule, else the plan's, else [`Rule::GuardedUpper`] on carbon and
    /// [`Rule::Simple`] elsewhere.
    #[serde(default)]
    pub rule: Rule,
    /// What kind of fastener it is, for statistics and for what is plausible: `seat-clamp`, `stem-faceplate`.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub kind: Option<String>,
    /// A sentence for the mechanic.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub note: Option<String>,
    /// What stands between the wrench and the fastener.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub adapter: Option<Adapter>,
    /// The thread, as far as it is known.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub thread: Option<Thread>,
    /// Where the thread turns the other way.
    pub hand: Hand,
    /// What the joint is made of, where it matters.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub joint: Option<JointFile>,
    /// What goes on thread or interface first.
    pub prep: Vec<String>,
    /// What the tool has to fit, for example `hex 4`.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub drive: Option<String>,
    /// The place on the bike map.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub at: Option<String>,
    /// Another person confirms it.
    pub second_look: bool,
}

/// A thread as the plan states it; which way it turns stands at the fastener.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Thread {
    /// As written: "M5", "M5x0.8", "BSA 1.37-24".
    pub size: String,
    /// As written: "8.8", "A2-70".
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub property_class: Option<String>,
    /// What it is cut into.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub engages: Option<Engaged>,
    /// The length over which bolt and thread engage.
    #[serde(
        rename = "engagement_micrometre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub engagement: Option<Length>,
    /// Friction in the thread and under the head, where the plan knows better than the prep tells.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub friction: Option<Friction>,
}

impl Plan {
    /// Every fastener with its stage, as listed.
    pub fn fasteners(&self) -> impl Iterator<Item = (&Stage, &Fastener)> {
        self.stages.iter().flat_map(|stage| {
            stage
                .fasteners
                .iter()
                .map(move |fastener| (stage, fastener))
        })
    }

    /// Every check with its stage, as listed.
    pub fn checks(&self) -> impl Iterator<Item = (&Stage, &Check)> {
        let stages = self.stages.iter();
        stages.flat_map(|stage| stage.checks.iter().map(move |check| (stage, check)))
    }

    /// A check and its stage by the check's id.
    pub fn check(&self, id: &str) -> Option<(&Stage, &Check)> {
        self.checks().find(|(_, check)| check.id == id)
    }

    /// A part by its id.
    pub fn part(&self, id: &str) -> Option<&Part> {
        self.parts.iter().find(|part| part.id == id)
    }

    /// Something due by its id.
    pub fn due(&self, id: &str) -> Option<&Due> {
        self.due.iter().find(|due| due.id == id)
    }

    /// A fastener and its stage by the fastener's id.
    pub fn fastener(&self, id: &str) -> Option<(&Stage, &Fastener)> {
        self.fasteners().find(|(_, fastener)| fastener.id == id)
    }
}

impl Fastener {
    /// Whether an over reading here can have hurt a part that breaks without a warning.
    pub fn is_carbon(&self) -> bool {
        self.joint == Some(JointFile::Carbon)
    }
}

#[cfg(test)]
mod testing;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
