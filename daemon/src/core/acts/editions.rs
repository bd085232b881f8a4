//! Another edition of the plan in the middle of a build.
//!
//! What stays valid stays. Where limits, rule or hand are others, each reading that counts is judged again within the same
//! entry; where the passes are others, the fastener is pulled again; what the plan no longer has counts no longer. An over
//! reading is not settled by an edition that allows more, and a fastener that waits for a decision cannot be dropped.

use super::{measure, name, needs_a_decision, open_build, reason_text};
use crate::core::bench::Bench;
use crate::core::decide::Decided;
use crate::core::judge::judge;
use crate::core::refusal::Refusal;
use pullmark_schema::api::{DifferenceView, JudgedView, PlanDifferenceView};
use pullmark_schema::build::{Build, EarlierVerdict, Since};
use pullmark_schema::check::CheckJudgedAnew;
use pullmark_schema::entry::{Alarm, Event, JudgedAnew, Now, PlanChanged, PlanPin};
use pullmark_schema::plan::difference::difference;
use pullmark_schema::plan::{self, Plan, Severity};
use pullmark_schema::verdict::{Answer, compare};

pub(super) fn pin(plan: &Plan) -> PlanPin {
    PlanPin {
        title: plan.title.clone(),
        edition: plan.edition.clone(),
        sha256: plan.sha256,
    }
}

/// A plan that can be built after, or its errors.
pub(super) fn read(text: &str) -> Result<Plan, Refusal> {
    let reading = plan::read(text);
    reading.plan.ok_or_else(|| {
        let findings = reading.findings.into_iter();
        let errors = findings.filter(|finding| finding.severity == Severity::Error);
        Refusal::BadPlan(errors.collect())
    })
}

/// The new plan, what is judged again and what is pulled again.
struct Change {
    plan: Plan,
    judged: Vec<JudgedAnew>,
    judged_checks: Vec<CheckJudgedAnew>,
    again: Vec<String>,
}

fn change_of(bench: &Bench, build: &Build, text: &str, now: Now) -> Result<Change, Refusal> {
    let plan = read(text)?;
    if plan.sha256 == build.pin.sha256 {
        return Err(Refusal::SameEdition(build.id.clone()));
    }
    let gone = build
        .plan
        .fasteners()
        .filter(|(_, old)| plan.fastener(&old.id).is_none());
    let mut undecided: Vec<String> = gone
        .filter(|(_, old)| needs_a_decision(build, &old.id))
        .map(|(_, old)| old.title.clone())
        .collect();
    undecided.extend(measure::drops_undecided(build, &plan));
    if !undecided.is_empty() {
        return Err(Refusal::DropsUndecided(undecided.join(", ")));
    }
    let (readings, mut again) = build.under(&plan);
    let hidden = over_in_other_passes(build, &plan, &again);
    if !hidden.is_empty() {
        return Err(Refusal::OverInOtherPasses(hidden.join(", ")));
    }
    let judged = readings
        .into_iter()
        .filter_map(|reading| judged_under(bench, build, &plan, reading, now))
        .collect();
    let (checks, measured_again) = build.checks_under(&plan);
    again.extend(measured_again);
    let judged_checks = checks
        .into_iter()
        .filter_map(|reading| measure::judged_under(bench, build, &plan, reading, now))
        .collect();
    Ok(Change {
        plan,
        judged,
        judged_checks,
        again,
    })
}

/// Fasteners that are to be pulled again in other passes, and were pulled to more than the new edition allows: what is
/// pulled again is not judged again, so nobody would hear of it.
fn over_in_other_passes(build: &Build, plan: &Plan, again: &[String]) -> Vec<String> {
    let planned = again.iter().filter_map(|id| plan.fastener(id));
    planned
        .filter(|(_, fastener)| {
            build.counting(&fastener.id).any(|known| {
                let applied = fastener.hand.tightening(known.reading.applied);
                let is_over = compare(applied, &fastener.spec.limits) == Answer::Over;
                is_over && known.since().over.is_none()
            })
        })
        .map(|(_, fastener)| fastener.title.clone())
        .collect()
}

fn judged_under(
    bench: &Bench,
    build: &Build,
    plan: &Plan,
    sequence: u64,
    now: Now,
) -> Option<JudgedAnew> {
    let known = build.readings.get(&sequence)?;
    let place = known.placement.place()?;
    let step = plan.steps().find(|step| step.place() == *place)?;
    let verdict = judge(bench, &known.reading, &step, now.wall.date_naive());
    let mut earlier = known.earlier_verdicts.clone();
    earlier.extend(known.verdict.clone().map(|verdict| EarlierVerdict {
        until: bench.next_sequence,
        verdict,
    }));
    let since = Since::of(sequence, &earlier, Some(&verdict)).over;
    let is_newly_over = since.is_some() && since != known.since().over;
    let alarm = is_newly_over.then(|| Alarm {
        place: place.clone(),
        upper: step.fastener.spec.limits.upper,
    });
    Some(JudgedAnew {
        reading: sequence,
        verdict,
        alarm,
    })
}

pub(super) fn change(
    bench: &Bench,
    build: String,
    text: &str,
    by: String,
    reason: &str,
    now: Now,
) -> Result<Vec<Decided>, Refusal> {
    let known = open_build(bench, &build)?;
    let Change {
        plan,
        judged,
        judged_checks,
        again,
    } = change_of(bench, known, text, now)?;
    let changed = PlanChanged {
        build,
        plan: pin(&plan),
        by: name(by)?,
        reason: reason_text(reason)?,
        judged,
        judged_checks,
        again,
    };
    Ok(vec![Decided {
        event: Event::PlanChanged(Box::new(changed)),
        attached: Some(text.as_bytes().to_vec()),
    }])
}

/// What another edition would mean; nothing is written.
pub fn would_change(
    bench: &Bench,
    build: &str,
    text: &str,
    now: Now,
) -> Result<PlanDifferenceView, Refusal> {
    let known = open_build(bench, build)?;
    let Change {
        plan,
        judged,
        judged_checks,
        again,
    } = change_of(bench, known, text, now)?;
    let title = |id: &str| {
        let fastener = plan.fastener(id).map(|(_, fastener)| &fastener.title);
        let check = || plan.check(id).map(|(_, check)| &check.title);
        let title = fastener.or_else(check);
        title.map_or_else(|| id.to_owned(), String::clone)
    };
    let differences = difference(&known.plan, &plan).into_iter();
    let judged = judged.into_iter().filter_map(|judged| {
        let reading = known.readings.get(&judged.reading)?;
        let fastener = reading.placement.place()?.fastener.clone();
        Some(JudgedView {
            reading: judged.reading,
            title: title(&fastener),
            fastener,
            before: reading.verdict.as_ref().map(|verdict| verdict.answer),
            now: judged.verdict.answer,
            alarm: judged.alarm.is_some(),
        })
    });
    let judged_checks = judged_checks.into_iter().filter_map(|judged| {
        let reading = known.checks.readings.get(&judged.reading)?;
        let check = reading.placement.place()?.check.clone();
        Some(JudgedView {
            reading: judged.reading,
            title: title(&check),
            fastener: check,
            before: reading.verdict.as_ref().map(|verdict| verdict.answer),
            now: judged.verdict.answer,
            alarm: judged.alarm.is_some(),
        })
    });
    let dropped_checks = known.plan.checks().filter(|(_, old)| {
        plan.check(&old.id).is_none() && !known.check_counting(&old.id).is_empty()
    });
    let dropped = known.plan.fasteners().filter(|(_, old)| {
        plan.fastener(&old.id).is_none() && known.counting(&old.id).next().is_some()
    });
    Ok(PlanDifferenceView {
        before: known.pin.clone(),
        now: pin(&plan),
        differences: differences
            .map(|difference| DifferenceView {
                text: difference.to_string(),
                fastener: difference.fastener,
            })
            .collect(),
        judged: judged.chain(judged_checks).collect(),
        again: again.iter().map(|id| title(id)).collect(),
        dropped: dropped
            .map(|(_, old)| old.title.clone())
            .chain(dropped_checks.map(|(_, old)| old.title.clone()))
            .collect(),
    })
}
