//! Which member of a plan a finding speaks of, as a path that an editor can go to: `stage.0.fastener.2.spec`.

use super::file::{CheckFile, DueFile, FastenerFile, PartFile, PlanFile, StageFile};
use super::finding::Finding;
use std::ops::Range;
use toml::Spanned;

/// The places of findings in the text they were found in, each in the order of `findings`. A finding in a text that is no
/// plan file at all has none.
pub fn locate(text: &str, findings: &[Finding]) -> Vec<Option<String>> {
    let Ok(file) = toml::from_str::<PlanFile>(text) else {
        return vec![None; findings.len()];
    };
    let places = places(&file);
    findings
        .iter()
        .map(|finding| place_of(&places, finding.span.0))
        .collect()
}

type Place = (String, Range<usize>);

/// The smallest of those that hold the byte.
fn place_of(places: &[Place], at: usize) -> Option<String> {
    places
        .iter()
        .filter(|(_, span)| span.contains(&at) || span.start == at)
        .min_by_key(|(path, span)| (span.len(), std::cmp::Reverse(path.len())))
        .map(|(path, _)| path.clone())
}

fn places(file: &PlanFile) -> Vec<Place> {
    let mut all = Places::default();
    all.add("title", Some(&file.title));
    all.add("tolerance", file.tolerance.as_ref());
    for (at, stage) in file.stage.iter().enumerate() {
        all.stage(&format!("stage.{at}"), stage);
    }
    for (at, part) in file.part.iter().enumerate() {
        all.part(&format!("part.{at}"), part);
    }
    for (at, due) in file.due.iter().enumerate() {
        all.due(&format!("due.{at}"), due);
    }
    all.0
}

#[derive(Default)]
struct Places(Vec<Place>);

impl Places {
    fn add<T>(&mut self, path: impl Into<String>, of: Option<&Spanned<T>>) {
        if let Some(of) = of {
            self.0.push((path.into(), of.span()));
        }
    }

    fn stage(&mut self, path: &str, stage: &Spanned<StageFile>) {
        self.add(path, Some(stage));
        let file = stage.get_ref();
        self.add(format!("{path}.id"), Some(&file.id));
        self.add(format!("{path}.passes"), file.passes.as_ref());
        for (at, fastener) in file.fastener.iter().enumerate() {
            self.fastener(&format!("{path}.fastener.{at}"), fastener);
        }
        for (at, check) in file.check.iter().enumerate() {
            self.check(&format!("{path}.check.{at}"), check);
        }
    }

    fn fastener(&mut self, path: &str, fastener: &Spanned<FastenerFile>) {
        self.add(path, Some(fastener));
        let file = fastener.get_ref();
        self.add(format!("{path}.id"), Some(&file.id));
        self.add(format!("{path}.kind"), file.kind.as_ref());
        self.add(format!("{path}.note"), file.note.as_ref());
        self.add(format!("{path}.adapter"), file.adapter.as_ref());
        self.add(format!("{path}.thread"), file.thread.as_ref());
        self.add(format!("{path}.joint"), file.joint.as_ref());
        self.add(format!("{path}.spec"), file.spec.as_ref());
        self.add(format!("{path}.at"), file.at.as_ref());
        for (at, source) in file.sources.iter().enumerate() {
            self.add(format!("{path}.sources.{at}"), Some(source));
        }
    }

    fn check(&mut self, path: &str, check: &Spanned<CheckFile>) {
        self.add(path, Some(check));
        let file = check.get_ref();
        self.add(format!("{path}.id"), Some(&file.id));
        self.add(format!("{path}.spec"), file.spec.as_ref());
        self.add(format!("{path}.readings"), file.readings.as_ref());
        self.add(format!("{path}.formula"), file.formula.as_ref());
        self.add(format!("{path}.note"), file.note.as_ref());
        self.add(format!("{path}.at"), file.at.as_ref());
        for (at, source) in file.sources.iter().enumerate() {
            self.add(format!("{path}.sources.{at}"), Some(source));
        }
    }

    fn due(&mut self, path: &str, due: &Spanned<DueFile>) {
        self.add(path, Some(due));
        let file = due.get_ref();
        self.add(format!("{path}.id"), Some(&file.id));
        for (at, fastener) in file.fasteners.iter().enumerate() {
            self.add(format!("{path}.fasteners.{at}"), Some(fastener));
        }
    }

    fn part(&mut self, path: &str, part: &Spanned<PartFile>) {
        self.add(path, Some(part));
        let file = part.get_ref();
        self.add(format!("{path}.id"), Some(&file.id));
        self.add(format!("{path}.kind"), file.kind.as_ref());
        for (at, fastener) in file.fasteners.iter().enumerate() {
            self.add(format!("{path}.fasteners.{at}"), Some(fastener));
        }
    }
}
