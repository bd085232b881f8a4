//! Templates of joints: what a plan is put together from before the figures of the parts at hand are known.
//!
//! A template is a stage with its fasteners and checks, written as in a plan. Where it names no source, its figures come
//! from common practice, and say so in the plan ([`COMMON_PRACTICE`]) until somebody writes down a better source. A starter
//! set is a bike made of templates. Both are data: the ones of the program, and files of a shop's own.

mod compose;

use super::draft::{FastenerDraft, PlanDraft, StageDraft};
use super::file::{SourceFile, SpecFile};
use super::finding::Severity;
use super::{CheckDraft, is_id, read};
use crate::map::FrameKind;
use crate::practice::COMMON_PRACTICE;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The files of the program, each with its name.
const BUILT_IN: [(&str, &str); 7] = [
    ("cockpit.toml", include_str!("../../templates/cockpit.toml")),
    ("seat.toml", include_str!("../../templates/seat.toml")),
    ("brakes.toml", include_str!("../../templates/brakes.toml")),
    ("drive.toml", include_str!("../../templates/drive.toml")),
    ("wheels.toml", include_str!("../../templates/wheels.toml")),
    ("carry.toml", include_str!("../../templates/carry.toml")),
    (
        "starters.toml",
        include_str!("../../templates/starters.toml"),
    ),
];

/// One joint, or a few that belong together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Template {
    /// A short name, unique among the templates.
    pub id: String,
    /// For people.
    pub title: String,
    /// The heading that it is listed under.
    pub group: String,
    /// Where it stands in the order of a build: stages with a smaller number come first.
    pub order: u16,
    /// What a mechanic should know before it is chosen.
    #[serde(default)]
    pub about: Option<String>,
    /// What it puts into the plan.
    pub stage: StageDraft,
}

/// A bike made of templates.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Starter {
    /// A short name, unique among the starter sets.
    pub id: String,
    /// For people.
    pub title: String,
    /// Which kind of frame the bike has.
    #[serde(default)]
    pub frame: Option<FrameKind>,
    /// The templates by their ids.
    pub templates: Vec<String>,
}

/// All templates and starter sets at hand.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Library {
    /// The templates, as listed.
    pub templates: Vec<Template>,
    /// The starter sets, as listed.
    pub starters: Vec<Starter>,
}

/// A file of templates.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    template: Vec<Template>,
    #[serde(default)]
    starter: Vec<Starter>,
}

/// Why a file of templates cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TemplateError {
    /// It is no file of templates.
    #[error("{0}")]
    NotReadable(String),
    /// A name that stands twice in one file.
    #[error("the name {0:?} stands twice; give one of them another")]
    Twice(String),
    /// A name with letters that a name cannot have.
    #[error(
        "the name {0:?} cannot be used: write 1 to 64 small letters a to z, digits, dots and dashes"
    )]
    BadName(String),
    /// A check that is computed: its formula names ids, and those change when a template is used twice.
    #[error("the template {0:?} has a check with a formula; write formulas in the plan")]
    Formula(String),
    /// A plan of this template alone cannot be built after.
    #[error("the template {template:?} makes no plan: {what}. {advice}")]
    NotSound {
        /// Which template.
        template: String,
        /// What is so.
        what: String,
        /// What to do about it.
        advice: String,
    },
    /// A template that there is not.
    #[error("there is no template {0:?}; `pullmark plan templates` lists them")]
    NoTemplate(String),
    /// A starter set that there is not.
    #[error("there is no starter set {0:?}; `pullmark plan templates` lists them")]
    NoStarter(String),
}

impl Library {
    /// The templates of the program.
    pub fn built_in() -> Result<Self, TemplateError> {
        let mut library = Self::default();
        for (name, text) in BUILT_IN {
            library.add(text).map_err(|error| match error {
                TemplateError::NotReadable(what) => {
                    TemplateError::NotReadable(format!("{name}: {what}"))
                }
                other => other,
            })?;
        }
        Ok(library)
    }

    /// Takes in a file of templates, all of it or nothing. One with the name of a known template takes its place.
    pub fn add(&mut self, text: &str) -> Result<(), TemplateError> {
        let file: File = toml::from_str(text)
            .map_err(|error| TemplateError::NotReadable(error.to_string().trim_end().to_owned()))?;
        let names = file.template.iter().map(|template| &template.id);
        once(names)?;
        once(file.starter.iter().map(|starter| &starter.id))?;
        let mut all = self.clone();
        for template in file.template {
            let template = sound(with_sources(template))?;
            put(&mut all.templates, template, |known| &known.id);
        }
        for starter in file.starter {
            for name in &starter.templates {
                all.template(name)?;
            }
            put(&mut all.starters, starter, |known| &known.id);
        }
        *self = all;
        Ok(())
    }

    /// A template by its name.
    pub fn template(&self, id: &str) -> Result<&Template, TemplateError> {
        let mut known = self.templates.iter();
        known
            .find(|template| template.id == id)
            .ok_or_else(|| TemplateError::NoTemplate(id.to_owned()))
    }

    /// A starter set by its name.
    pub fn starter(&self, id: &str) -> Result<&Starter, TemplateError> {
        let mut known = self.starters.iter();
        known
            .find(|starter| starter.id == id)
            .ok_or_else(|| TemplateError::NoStarter(id.to_owned()))
    }
}

fn once<'a>(names: impl Iterator<Item = &'a String>) -> Result<(), TemplateError> {
    let mut seen = std::collections::BTreeSet::new();
    for name in names {
        if !is_id(name) {
            return Err(TemplateError::BadName(name.clone()));
        }
        if !seen.insert(name) {
            return Err(TemplateError::Twice(name.clone()));
        }
    }
    Ok(())
}

fn put<T>(all: &mut Vec<T>, one: T, id: impl Fn(&T) -> &String) {
    match all.iter_mut().find(|known| id(known) == id(&one)) {
        Some(known) => *known = one,
        None => all.push(one),
    }
}

/// Every figure gets a source. A template's own figures are common practice, whatever file they stand in, unless it names
/// where they are written.
fn with_sources(mut template: Template) -> Template {
    let from_practice = |spec: &mut Option<SpecFile>, sources: &mut Vec<SourceFile>| {
        if !sources.is_empty() {
            return;
        }
        if let Some(figures) = spec.take() {
            sources.push(SourceFile {
                place: COMMON_PRACTICE.to_owned(),
                target: figures.target,
                lower: figures.lower,
                upper: figures.upper,
            });
        }
    };
    for FastenerDraft { spec, sources, .. } in &mut template.stage.fastener {
        from_practice(spec, sources);
    }
    for CheckDraft { spec, sources, .. } in &mut template.stage.check {
        from_practice(spec, sources);
    }
    template
}

/// A template makes a plan by itself, or it is none.
fn sound(template: Template) -> Result<Template, TemplateError> {
    if template
        .stage
        .check
        .iter()
        .any(|check| check.formula.is_some())
    {
        return Err(TemplateError::Formula(template.id));
    }
    let alone = PlanDraft {
        title: template.title.clone(),
        edition: "1".to_owned(),
        stage: vec![template.stage.clone()],
        ..PlanDraft::default()
    };
    let findings = read(&alone.to_toml()).findings;
    let worst = findings
        .into_iter()
        .find(|finding| finding.severity == Severity::Error);
    match worst {
        None => Ok(template),
        Some(finding) => Err(TemplateError::NotSound {
            template: template.id,
            what: finding.what,
            advice: finding.advice,
        }),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
