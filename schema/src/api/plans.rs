//! What crosses the wire while plans are written: the plan folder, drafts and what is found in them, templates, tables.

use crate::canonical::Digest32;
use crate::plan::template::Library;
use crate::plan::{Finding, Plan, PlanDraft, Severity, check, locate};
use crate::practice::{COMMON_PRACTICE, RANGES};
use crate::tool::Tool;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The plans of the shop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlanShelfView {
    /// The folder that they lie in.
    pub folder: String,
    /// The plans, by the names of their files.
    pub plans: Vec<PlanRowView>,
    /// Files that are not used, each with why.
    pub not_used: Vec<NotUsedView>,
}

/// A plan of the shop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlanRowView {
    /// The file's name.
    pub name: String,
    /// What it is for; the file's name where it is no plan.
    pub title: String,
    /// Its edition.
    pub edition: String,
    /// What is in it and what was found.
    #[serde(flatten)]
    pub sum: PlanSumView,
}

/// What a plan comes to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PlanSumView {
    /// A build can be held to it.
    pub is_sound: bool,
    /// How many fasteners it has.
    pub fasteners: usize,
    /// How many checks.
    pub checks: usize,
    /// How many pulls; none where there are errors.
    pub pulls: Option<usize>,
    /// How many findings are errors.
    pub errors: usize,
    /// How many are warnings.
    pub warnings: usize,
    /// How many fasteners and checks rest on nothing but common practice.
    pub on_common_practice: usize,
}

/// A file that is not used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct NotUsedView {
    /// The file's name.
    pub name: String,
    /// Why, and what to do.
    pub why: String,
}

/// One plan file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlanFileView {
    /// The file's name.
    pub name: String,
    /// SHA-256 of its bytes; it has to be named when the file is written again.
    pub sha256: Digest32,
    /// Its text.
    pub text: String,
    /// What it says; none where it is no plan file.
    pub draft: Option<PlanDraft>,
}

/// A plan that is asked about: as a draft, or as the text of a file.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanQuestion {
    /// The draft.
    #[serde(default)]
    pub draft: Option<PlanDraft>,
    /// The text, where there is no draft.
    #[serde(default)]
    pub text: Option<String>,
    /// The text of the file that the draft was made from: what it says still stays as it stands there.
    #[serde(default)]
    pub base: Option<String>,
}

/// What is found in a plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlanCheckView {
    /// The text of its file.
    pub text: String,
    /// What it comes to.
    #[serde(flatten)]
    pub sum: PlanSumView,
    /// Everything found, in the order of the text.
    pub findings: Vec<PlacedFindingView>,
    /// How many lines with a comment the file had and has no longer.
    pub comments_lost: usize,
}

/// A finding, and the member of the plan that it speaks of.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlacedFindingView {
    /// The member, as `stage.0.fastener.2.spec`; none where the text is no plan file.
    pub at: Option<String>,
    /// Its stable word, for example `plan/no-limits`.
    pub word: String,
    /// What was found.
    #[serde(flatten)]
    pub finding: Finding,
}

/// A plan to be kept in the plan folder.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanToKeep {
    /// The draft.
    pub draft: PlanDraft,
    /// SHA-256 of the file as it was opened; none for a new file.
    #[serde(default)]
    pub before: Option<Digest32>,
    /// Who writes it; it goes to the log.
    #[serde(default)]
    pub by: Option<String>,
}

/// What a new plan is made of.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanWish {
    /// A starter set to begin with.
    #[serde(default)]
    pub starter: Option<String>,
    /// A draft to begin with, where there is no starter set.
    #[serde(default)]
    pub draft: Option<PlanDraft>,
    /// Templates to add.
    #[serde(default)]
    pub templates: Vec<String>,
}

/// A plan as a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanTable {
    /// The text of the table.
    pub table: String,
}

/// Everything that a plan can be made of.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LibraryView {
    /// Templates and starter sets.
    #[serde(flatten)]
    pub library: Library,
    /// The source that figures of templates name.
    pub source: String,
    /// The kinds of fasteners whose torques are looked at.
    pub kinds: Vec<KindView>,
    /// Files of templates that are not used, each with why.
    pub not_used: Vec<NotUsedView>,
}

/// A kind of fastener.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct KindView {
    /// Its word in a plan.
    pub kind: String,
    /// For people.
    pub title: String,
}

impl LibraryView {
    /// Of the templates at hand.
    pub fn of(library: Library, not_used: Vec<NotUsedView>) -> Self {
        let kinds = RANGES.iter().map(|range| KindView {
            kind: range.kind.to_owned(),
            title: range.title.to_owned(),
        });
        Self {
            library,
            source: COMMON_PRACTICE.to_owned(),
            kinds: kinds.collect(),
            not_used,
        }
    }
}

impl PlanQuestion {
    /// The text of the file, and how many comments it loses.
    pub fn text(self) -> (String, usize) {
        match (self.draft, self.base) {
            (Some(draft), Some(base)) => {
                let written = draft.to_toml_over(&base);
                (written.text, written.comments_lost)
            }
            (Some(draft), None) => (draft.to_toml(), 0),
            (None, _) => (self.text.unwrap_or_default(), 0),
        }
    }
}

impl PlanCheckView {
    /// What is found in the text of a plan with these tools at hand.
    pub fn of(text: String, tools: &[Tool], comments_lost: usize) -> Self {
        let draft = PlanDraft::of_toml(&text).unwrap_or_default();
        let (findings, sum) = looked_at(&text, &draft, tools);
        let members = locate(&text, &findings);
        let placed = findings
            .into_iter()
            .zip(members)
            .map(|(finding, at)| PlacedFindingView {
                at,
                word: finding.code.to_string(),
                finding,
            });
        Self {
            findings: placed.collect(),
            text,
            sum,
            comments_lost,
        }
    }
}

impl PlanFileView {
    /// Of a file with this text.
    pub fn of(name: String, text: String) -> Self {
        Self {
            name,
            sha256: Digest32::of(text.as_bytes()),
            draft: PlanDraft::of_toml(&text),
            text,
        }
    }
}

impl PlanRowView {
    /// Of a file of the plan folder.
    pub fn of(name: String, text: &str) -> Self {
        let draft = PlanDraft::of_toml(text).unwrap_or_default();
        let (_, sum) = looked_at(text, &draft, &[]);
        Self {
            title: Some(draft.title)
                .filter(|title| !title.trim().is_empty())
                .unwrap_or_else(|| name.clone()),
            edition: draft.edition,
            name,
            sum,
        }
    }
}

fn looked_at(text: &str, draft: &PlanDraft, tools: &[Tool]) -> (Vec<Finding>, PlanSumView) {
    let reading = check(text, tools);
    let count = |severity| {
        let of = reading.findings.iter();
        of.filter(|finding| finding.severity == severity).count()
    };
    let sum = PlanSumView {
        is_sound: reading.plan.is_some(),
        fasteners: draft.stage.iter().map(|stage| stage.fastener.len()).sum(),
        checks: draft.stage.iter().map(|stage| stage.check.len()).sum(),
        pulls: reading.plan.as_ref().map(Plan::step_count),
        errors: count(Severity::Error),
        warnings: count(Severity::Warning),
        on_common_practice: draft.on_common_practice(),
    };
    (reading.findings, sum)
}
