//! What people call things by: a plan whose titles are missing, or tell nothing apart, is no help at the bench.

use super::super::file::{PlanFile, StageFile};
use super::super::finding::{PlanCode, Severity};
use super::{Questions, Reader};
use std::collections::BTreeMap;
use toml::Spanned;

impl Reader<'_> {
    /// Looks at the titles. A plan that a build pins already keeps those that it has.
    pub(super) fn titles(&mut self, file: &PlanFile) {
        let Questions::All { .. } = self.questions else {
            return;
        };
        let span = file.title.span();
        if is_empty(file.title.get_ref()) {
            let advice = "say what it is for: lists and the record name it so";
            self.error(
                span.clone(),
                PlanCode::NoTitle,
                "the plan has no title",
                advice,
            );
        }
        if is_empty(&file.edition) {
            let advice = "name it, for example by its date: the record tells editions apart by it";
            self.error(span, PlanCode::NoEdition, "the plan has no edition", advice);
        }
        for stage in &file.stage {
            let stage = stage.get_ref();
            self.title(&stage.id, &stage.title);
            self.titles_of(stage);
        }
        for part in &file.part {
            self.title(&part.get_ref().id, &part.get_ref().title);
        }
        for due in &file.due {
            self.title(&due.get_ref().id, &due.get_ref().title);
        }
    }

    fn title(&mut self, id: &Spanned<String>, title: &str) {
        if is_empty(title) {
            let what = format!("{:?} has no title", id.get_ref());
            let advice = "write what a mechanic calls it: the page, the sheet and the record do";
            self.error(id.span(), PlanCode::NoTitle, what, advice);
        }
    }

    /// The titles in one stage: each is there, and no two are the same.
    fn titles_of(&mut self, stage: &StageFile) {
        let fasteners = stage.fastener.iter().map(Spanned::get_ref);
        let checks = stage.check.iter().map(Spanned::get_ref);
        let all = fasteners
            .map(|fastener| (&fastener.id, fastener.title.trim()))
            .chain(checks.map(|check| (&check.id, check.title.trim())));
        let mut seen = BTreeMap::new();
        for (id, title) in all {
            self.title(id, title);
            let first = *seen.entry(title).or_insert(id.get_ref());
            if first == id.get_ref() || title.is_empty() {
                continue;
            }
            let what = format!(
                "{:?} has the same title as {first:?}: {title:?}",
                id.get_ref()
            );
            let advice =
                "give one of them a title that tells it from the other, such as left and right";
            let kind = (Severity::Warning, PlanCode::SameTitle);
            self.say(id.span(), kind, what, advice);
        }
    }
}

fn is_empty(title: &str) -> bool {
    title.trim().is_empty()
}
