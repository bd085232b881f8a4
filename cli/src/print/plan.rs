//! A plan as a list of pulls.

use super::{Ink, limits, line, padded};
use pullmark_schema::plan::{Fastener, Plan, Stage};
use pullmark_schema::verdict::Rule;

/// The order of pulls of a plan, with what a mechanic should know before the first pull of a fastener.
pub(crate) fn plan(plan: &Plan, ink: Ink) {
    line(&ink.strong(&format!("{}, edition {}", plan.title, plan.edition)));
    line(&ink.faint(&format!("SHA-256 {}", plan.sha256)));
    let mut stage = None;
    for (number, step) in (1..).zip(plan.steps()) {
        checks_before(plan, &mut stage, Some(step.stage));
        let range = step.fastener.spec.limits.of_pass(step.percent);
        let pass = if step.stage.passes.len() > 1 {
            format!(", pass {} at {} %", u16::from(step.pass) + 1, step.percent)
        } else {
            String::new()
        };
        let title = padded(&format!("{}{pass}", step.fastener.title), 44);
        line(&format!(
            "{number:>4}  {title}  aim {}  {}",
            range.aim(),
            ink.faint(&limits(&range.limits))
        ));
        if step.pass == 0 {
            for detail in details(step.fastener) {
                line(&ink.faint(&format!("      {detail}")));
            }
        }
    }
    checks_before(plan, &mut stage, None);
}

/// The checks of the stages that end before this one; those of the last one at the end.
fn checks_before(plan: &Plan, shown: &mut Option<usize>, now: Option<&Stage>) {
    let here = now.map_or(plan.stages.len(), |now| {
        let mut stages = plan.stages.iter();
        let at = stages.position(|stage| std::ptr::eq(stage, now));
        at.unwrap_or(0)
    });
    let from = shown.unwrap_or(0);
    for stage in plan.stages.iter().take(here).skip(from) {
        for text in super::checks::planned(stage) {
            line(&text);
        }
    }
    *shown = Some(here.max(from));
}

/// What a plan says of a fastener beside its torque.
fn details(fastener: &Fastener) -> Vec<String> {
    let rule = match fastener.rule {
        Rule::Simple => None,
        Rule::Guarded => {
            Some("rule guarded: both limits moved in by the tool's uncertainty".to_owned())
        }
        Rule::GuardedUpper => Some(
            "rule guarded-upper: the upper limit moved in by the tool's uncertainty".to_owned(),
        ),
    };
    let kind = fastener.kind.as_ref().map(|kind| format!("kind {kind}"));
    let adapter = fastener
        .adapter
        .as_ref()
        .map(|adapter| format!("adapter {adapter}"));
    let note = fastener.note.as_ref().map(|note| format!("note: {note}"));
    let places = fastener.spec.places();
    let sources = (!places.is_empty()).then(|| format!("limits from: {}", places.join("; ")));
    [sources, kind, rule, adapter, note]
        .into_iter()
        .flatten()
        .collect()
}
