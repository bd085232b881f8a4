//! A plan while it is written: the plan file's tables as an editor changes them, whether they are sound or not.
//!
//! A draft is written out as TOML ([`PlanDraft::to_toml`]) and then read like any plan; what is wrong is found there and
//! nowhere else. The members are those of the plan file ([`PlanFile`](super::PlanFile)).

use super::file::{AdapterFile, JointFile, Pattern, SettledFile, SourceFile, SpecFile, ThreadFile};
use crate::map::FrameKind;
use crate::practice::COMMON_PRACTICE;
use crate::verdict::Rule;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A plan file's content.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanDraft {
    /// What the plan is for.
    pub title: String,
    /// Which edition of the plan this is.
    pub edition: String,
    /// Which kind of frame the bike has.
    #[serde(default)]
    pub frame: Option<FrameKind>,
    /// Stands in where a fastener states a target and no limits.
    #[serde(default)]
    pub tolerance: Option<String>,
    /// How readings are decided.
    #[serde(default)]
    pub rule: Option<Rule>,
    /// The stages.
    #[serde(default)]
    pub stage: Vec<StageDraft>,
    /// Parts whose serial numbers are kept.
    #[serde(default)]
    pub part: Vec<PartDraft>,
    /// What is looked at again after the bike was handed over.
    #[serde(default)]
    pub due: Vec<DueDraft>,
}

/// The content of something that is looked at again.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DueDraft {
    /// A short name, unique among what is due.
    pub id: String,
    /// For people.
    pub title: String,
    /// So many days after handing over.
    #[serde(default)]
    pub days: Option<u16>,
    /// So many months after it.
    #[serde(default)]
    pub months: Option<u16>,
    /// After so many kilometres.
    #[serde(default)]
    pub kilometres: Option<u32>,
    /// What is looked at.
    #[serde(default)]
    pub fasteners: Vec<String>,
    /// Where that is written.
    #[serde(default)]
    pub source: Option<String>,
}

/// A stage's content.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StageDraft {
    /// A short name, unique in the plan.
    pub id: String,
    /// For people.
    pub title: String,
    /// The way from fastener to fastener.
    #[serde(default)]
    pub pattern: Pattern,
    /// Parts of the target.
    #[serde(default)]
    pub passes: Option<Vec<f64>>,
    /// The fasteners.
    #[serde(default)]
    pub fastener: Vec<FastenerDraft>,
    /// The checks.
    #[serde(default)]
    pub check: Vec<CheckDraft>,
}

/// A fastener's content.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FastenerDraft {
    /// A short name, unique in the plan.
    pub id: String,
    /// For people.
    pub title: String,
    /// What kind of fastener it is.
    #[serde(default)]
    pub kind: Option<String>,
    /// How readings are decided here.
    #[serde(default)]
    pub rule: Option<Rule>,
    /// A sentence that the mechanic is shown.
    #[serde(default)]
    pub note: Option<String>,
    /// What stands between the wrench and the fastener.
    #[serde(default)]
    pub adapter: Option<AdapterFile>,
    /// The thread.
    #[serde(default)]
    pub thread: Option<ThreadFile>,
    /// What the joint is made of.
    #[serde(default)]
    pub joint: Option<JointFile>,
    /// The plan's own figures.
    #[serde(default)]
    pub spec: Option<SpecFile>,
    /// Where figures are written.
    #[serde(default)]
    pub sources: Vec<SourceFile>,
    /// What a person decided.
    #[serde(default)]
    pub settled: Option<SettledFile>,
    /// What goes on thread or interface first.
    #[serde(default)]
    pub prep: Vec<String>,
    /// What the tool has to fit.
    #[serde(default)]
    pub drive: Option<String>,
    /// Where it sits on the bike map.
    #[serde(default)]
    pub at: Option<String>,
    /// Another person confirms it.
    #[serde(default)]
    pub second_look: bool,
}

/// A check's content.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckDraft {
    /// A short name, unique in the plan.
    pub id: String,
    /// For people.
    pub title: String,
    /// The plan's own figures.
    #[serde(default)]
    pub spec: Option<SpecFile>,
    /// Where figures are written.
    #[serde(default)]
    pub sources: Vec<SourceFile>,
    /// What a person decided.
    #[serde(default)]
    pub settled: Option<SettledFile>,
    /// How readings are decided here.
    #[serde(default)]
    pub rule: Option<Rule>,
    /// How many readings it wants.
    #[serde(default)]
    pub readings: Option<u16>,
    /// How it is computed from other checks.
    #[serde(default)]
    pub formula: Option<String>,
    /// A sentence that the mechanic is shown.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it is taken on the bike map.
    #[serde(default)]
    pub at: Option<String>,
}

/// A part's content.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartDraft {
    /// A short name, unique among the parts.
    pub id: String,
    /// For people.
    pub title: String,
    /// What kind of part it is.
    #[serde(default)]
    pub kind: Option<String>,
    /// The fasteners that hold it.
    #[serde(default)]
    pub fasteners: Vec<String>,
}

impl PlanDraft {
    /// Takes a plan file apart. What is no plan file at all is the reader's to explain: [`read`](super::read).
    pub fn of_toml(text: &str) -> Option<Self> {
        if text.len() > super::LARGEST_FILE {
            return None;
        }
        toml::from_str(text).ok()
    }

    /// How many fasteners and checks rest on nothing but common practice.
    pub fn on_common_practice(&self) -> usize {
        let rests = |spec: Option<&SpecFile>, sources: &[SourceFile]| {
            spec.is_none()
                && !sources.is_empty()
                && sources.iter().all(|source| source.place == COMMON_PRACTICE)
        };
        let fasteners = self.stage.iter().flat_map(|stage| &stage.fastener);
        let checks = self.stage.iter().flat_map(|stage| &stage.check);
        fasteners
            .map(|fastener| rests(fastener.spec.as_ref(), &fastener.sources))
            .chain(checks.map(|check| rests(check.spec.as_ref(), &check.sources)))
            .filter(|rests| *rests)
            .count()
    }
}
