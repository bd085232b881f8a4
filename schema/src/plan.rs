//! The plan of a build: stages, fasteners, the order of pulls, and the effective limits of each fastener.
//!
//! A plan is a TOML file written by people. [`read`] turns its text into a [`Plan`] and a list of [`Finding`]s; a plan
//! with errors among its findings is not given out, so whoever holds a `Plan` holds one whose limits are settled.

mod file;
mod finding;
mod order;
mod read;
mod spec;

pub use file::{
    Engaged, FastenerFile, Hand, JointFile, Pattern, PlanFile, SettledFile, SourceFile, SpecFile,
    StageFile, ThreadFile,
};
pub use finding::{Finding, PlanCode, Severity};
pub use order::Step;
pub use read::{PlanReading, read};
pub use spec::{DEFAULT_TOLERANCE_PERCENT, Limits, Settlement, Source, Spec};

use crate::canonical::Digest32;
use serde::{Deserialize, Serialize};

/// The largest plan file that is read, in bytes.
pub const LARGEST_FILE: usize = 1 << 20;

/// A plan that can be built after: names are unique, limits are settled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Plan {
    /// What the plan is for.
    pub title: String,
    /// Which edition of the plan this is, in the shop's own words.
    pub edition: String,
    /// SHA-256 of the file's bytes; a build pins it.
    pub sha256: Digest32,
    /// In the order in which they are worked.
    pub stages: Vec<Stage>,
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
#[allow(clippy::unwrap_used)]
mod tests;
