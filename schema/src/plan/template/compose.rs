//! From templates to a plan: stages in the order of a build, every id once.

use super::{Library, Template, TemplateError};
use crate::plan::draft::{PlanDraft, StageDraft};
use crate::plan::file::Pattern;
use std::collections::BTreeSet;

impl Library {
    /// A new plan after a starter set.
    pub fn start(&self, starter: &str) -> Result<PlanDraft, TemplateError> {
        let starter = self.starter(starter)?;
        let plan = PlanDraft {
            title: starter.title.clone(),
            edition: "1".to_owned(),
            frame: starter.frame,
            ..PlanDraft::default()
        };
        self.extend(plan, &starter.templates)
    }

    /// A plan with these templates added to it. A stage that is there takes in what belongs to it; another one comes to
    /// where it stands in the order of a build.
    pub fn extend(
        &self,
        mut plan: PlanDraft,
        templates: &[String],
    ) -> Result<PlanDraft, TemplateError> {
        for name in templates {
            self.add_to(&mut plan, self.template(name)?);
        }
        Ok(plan)
    }

    fn add_to(&self, plan: &mut PlanDraft, template: &Template) {
        let mut stage = template.stage.clone();
        let home = plan
            .stage
            .iter()
            .position(|known| known.id == stage.id && goes_together(known, &stage));
        let mut taken = ids(plan);
        if home.is_none() {
            stage.id = free(&mut taken, &stage.id, &mut stage.title);
        }
        for fastener in &mut stage.fastener {
            fastener.id = free(&mut taken, &fastener.id, &mut fastener.title);
        }
        for check in &mut stage.check {
            check.id = free(&mut taken, &check.id, &mut check.title);
        }
        if let Some(known) = home.and_then(|at| plan.stage.get_mut(at)) {
            known.fastener.extend(stage.fastener);
            known.check.extend(stage.check);
        } else {
            let at = self.place_of(plan, template.order);
            plan.stage.insert(at, stage);
        }
    }

    /// Before the first stage that is known to come later.
    fn place_of(&self, plan: &PlanDraft, order: u16) -> usize {
        let order_of = |stage: &StageDraft| {
            let of = self.templates.iter();
            let of = of.filter(|template| is_id_of(&template.stage.id, &stage.id));
            of.map(|template| template.order).min()
        };
        let later = |stage: &StageDraft| order_of(stage).is_some_and(|known| known > order);
        plan.stage
            .iter()
            .position(later)
            .unwrap_or(plan.stage.len())
    }
}

/// Bolts that go round in a pattern or in passes are a joint of their own.
fn goes_together(known: &StageDraft, other: &StageDraft) -> bool {
    let is_plain = |stage: &StageDraft| stage.pattern == Pattern::InOrder && stage.passes.is_none();
    is_plain(known) && is_plain(other)
}

/// The id itself, or with the number it was given.
fn is_id_of(base: &str, id: &str) -> bool {
    let number = id.strip_prefix(base);
    number.is_some_and(|rest| {
        rest.is_empty()
            || rest
                .strip_prefix('-')
                .is_some_and(|digits| digits.bytes().all(|b| b.is_ascii_digit()))
    })
}

fn ids(plan: &PlanDraft) -> BTreeSet<String> {
    let of = |stage: &StageDraft| {
        let fasteners = stage.fastener.iter().map(|fastener| fastener.id.clone());
        let checks = stage.check.iter().map(|check| check.id.clone());
        let all: Vec<String> = [stage.id.clone()]
            .into_iter()
            .chain(fasteners)
            .chain(checks)
            .collect();
        all
    };
    plan.stage.iter().flat_map(of).collect()
}

/// An id that is not taken; the title gets the same number.
fn free(taken: &mut BTreeSet<String>, id: &str, title: &mut String) -> String {
    if taken.insert(id.to_owned()) {
        return id.to_owned();
    }
    let most = u32::try_from(taken.len()).unwrap_or(u32::MAX);
    for number in 2..=most.saturating_add(2) {
        let fresh = format!("{id}-{number}");
        if taken.insert(fresh.clone()) {
            *title = format!("{title} ({number})");
            return fresh;
        }
    }
    id.to_owned() // one of so many numbers was free
}
