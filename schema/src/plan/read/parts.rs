//! The parts of a plan: each with the fasteners that are undone when it is replaced.

use super::Reader;
use crate::plan::file::PartFile;
use crate::plan::finding::PlanCode;
use crate::plan::{Part, Stage};
use std::collections::BTreeSet;
use toml::Spanned;

impl Reader<'_> {
    pub(super) fn parts(&mut self, parts: Vec<Spanned<PartFile>>, stages: &[Stage]) -> Vec<Part> {
        let mut seen = BTreeSet::new();
        parts
            .into_iter()
            .map(Spanned::into_inner)
            .map(|part| {
                self.is_an_id(&part.id);
                if !seen.insert(part.id.get_ref().clone()) {
                    let what = format!("the part {:?} stands twice", part.id.get_ref());
                    let advice = "give one of them another name";
                    self.error(part.id.span(), PlanCode::DuplicateId, what, advice);
                }
                Part {
                    id: part.id.into_inner(),
                    title: part.title,
                    kind: part.kind.and_then(|kind| self.kind(kind)),
                    fasteners: self.known_fasteners(part.fasteners, stages),
                }
            })
            .collect()
    }

    /// The fasteners and checks that a list names; those that the plan does not have are found.
    pub(super) fn known_fasteners(
        &mut self,
        fasteners: Vec<Spanned<String>>,
        stages: &[Stage],
    ) -> Vec<String> {
        let known: BTreeSet<&str> = stages
            .iter()
            .flat_map(|stage| {
                let fasteners = stage.fasteners.iter().map(|fastener| fastener.id.as_str());
                let checks = stage.checks.iter().map(|check| check.id.as_str());
                fasteners.chain(checks)
            })
            .collect();
        for fastener in &fasteners {
            if !known.contains(fastener.get_ref().as_str()) {
                let what = format!(
                    "the plan has no fastener and no check {:?}",
                    fastener.get_ref()
                );
                let advice = "name a fastener or a check by its id, or take it out of the list";
                self.error(fastener.span(), PlanCode::UnknownFastener, what, advice);
            }
        }
        fasteners.into_iter().map(Spanned::into_inner).collect()
    }
}
