//! What people do about checks: enter a value, say where one belongs, decide, let wait.

use super::{name, open_build, reason_text};
use crate::core::bench::Bench;
use crate::core::decide::Decided;
use crate::core::measure::{alarm_at, judge, measured};
use crate::core::refusal::Refusal;
use pullmark_schema::build::{Build, BuildCheckReading, CheckStanding};
use pullmark_schema::check::{
    CheckAlarm, CheckJudgedAnew, CheckPlace, CheckPlaced, CheckPlacement, CheckReading, SmallUnit,
    compare,
};
use pullmark_schema::entry::{Decision, Event, Now};
use pullmark_schema::plan::Plan;
use pullmark_schema::quantity::{Rounding, Stated};
use pullmark_schema::reading::{Displayed, Origin};
use pullmark_schema::verdict::Answer;

/// A person says what a ruler or a display showed.
pub(super) fn enter(
    bench: &Bench,
    tool: String,
    (stated, unit): (Stated, SmallUnit),
    by: String,
    check: Option<String>,
    now: Now,
) -> Result<Vec<Decided>, Refusal> {
    unit.value_of(stated, Rounding::Up)
        .map_err(|error| Refusal::BadValue(error.to_string()))?;
    if let Some(build) = bench.served_by(&tool)
        && !build.plan.checks().any(|(_, check)| check.unit() == unit)
    {
        return Err(Refusal::BadValue(format!(
            "{stated} is a {unit}, and the plan of {} has no check of that; for a torque write N·m, lbf·in or another of its units",
            build.id
        )));
    }
    let chosen = match check {
        None => None,
        Some(check) => {
            let build = bench
                .served_by(&tool)
                .ok_or_else(|| Refusal::BadValue(format!("{tool} serves no open build")))?;
            Some((place_at(build, check, None, unit)?, by.clone()))
        }
    };
    let reading = CheckReading {
        tool,
        origin: Origin::Attested { by },
        displayed: Some(Displayed {
            value: stated.value.to_string(),
            unit: stated.unit.ucum.to_owned(),
        }),
        unit,
        value: None,
        worth: None,
        counter: None,
        flags: Vec::new(),
    };
    let measured = measured(bench, reading, chosen, now);
    Ok(vec![Event::CheckMeasured(Box::new(measured)).into()])
}

/// The place that is asked for, else the first that waits for a reading, else the first.
fn place_at(
    build: &Build,
    check: String,
    number: Option<u16>,
    unit: SmallUnit,
) -> Result<CheckPlace, Refusal> {
    let Some((_, planned)) = build.plan.check(&check) else {
        return Err(match build.plan.fastener(&check) {
            Some(_) => Refusal::NoCheckThere(check),
            None => Refusal::FastenerNotKnown(check),
        });
    };
    if planned.is_derived() {
        return Err(Refusal::CheckComputed(check));
    }
    if planned.unit() != unit {
        return Err(Refusal::OtherQuantity {
            check,
            wanted: planned.unit().kind(),
            found: unit.kind(),
        });
    }
    match number {
        Some(number) if number >= planned.readings => Err(Refusal::PassNotKnown {
            fastener: check,
            pass: u8::try_from(number).unwrap_or(u8::MAX),
            passes: usize::from(planned.readings),
        }),
        Some(number) => Ok(CheckPlace { check, number }),
        None => Ok(build
            .check_open_place(planned)
            .unwrap_or(CheckPlace { check, number: 0 })),
    }
}

/// A person says where a reading of a check belongs.
pub(super) fn place(
    bench: &Bench,
    build: &Build,
    known: &BuildCheckReading,
    (check, number): (Option<String>, Option<u16>),
    by: String,
    reason: Option<&str>,
    now: Now,
) -> Result<Vec<Decided>, Refusal> {
    open_build(bench, &build.id)?;
    over_before_edition(build, known, check.as_deref())?;
    let by = name(by)?;
    let placement = match check {
        Some(check) => {
            let same = known
                .placement
                .place()
                .filter(|place| place.check == check)
                .map(|place| place.number);
            let place = place_at(build, check, number.or(same), known.reading.unit)?;
            CheckPlacement::ByChoice { place, by }
        }
        None => CheckPlacement::Nowhere {
            by,
            reason: reason_text(reason.unwrap_or("not a check"))?,
        },
    };
    let planned = placement
        .place()
        .and_then(|place| build.plan.check(&place.check));
    let verdict =
        planned.map(|(_, check)| judge(bench, &known.reading, check, now.wall.date_naive()));
    // An alarm at another check is none here.
    let was_raised = |alarm: &CheckAlarm| {
        let mut alarms = build.checks.alarms.iter();
        alarms.any(|raised| {
            raised.reading == known.sequence && raised.alarm.place.check == alarm.place.check
        })
    };
    let alarm = placement
        .place()
        .and_then(|place| alarm_at(build, &known.reading, place))
        .filter(|alarm| !was_raised(alarm));
    let placed = CheckPlaced {
        reading: known.sequence,
        build: build.id.clone(),
        placement,
        verdict,
        alarm,
        confirmed: None,
    };
    Ok(vec![Event::CheckPlaced(Box::new(placed)).into()])
}

/// A reading that went over where it was placed, or is to be placed now, under an edition of the plan that holds no longer stays
/// what it is until somebody has decided:
/// placed anew it would be judged by the present edition alone, which may allow more.
fn over_before_edition(
    build: &Build,
    known: &BuildCheckReading,
    to: Option<&str>,
) -> Result<(), Refusal> {
    let Some(changed) = build.plan_changed() else {
        return Ok(());
    };
    let is_there = |check: &str| {
        let mut ever = std::iter::once(&known.placement).chain(&known.earlier);
        ever.any(|placement| placement.place().is_some_and(|place| place.check == check))
            || to == Some(check)
    };
    let mut alarms = build.checks.alarms.iter();
    let is_open = alarms.any(|raised| {
        let state = build.checks.ever(&raised.alarm.place.check);
        let mut decided = state.into_iter().flat_map(|state| &state.dispositions);
        raised.reading == known.sequence
            && raised.sequence < changed
            && is_there(&raised.alarm.place.check)
            && !decided.any(|decision| decision.act.sequence > raised.sequence)
    });
    if is_open {
        return Err(Refusal::OverBeforeEdition {
            reading: known.sequence,
            changed,
        });
    }
    Ok(())
}

/// Whether a person may decide so about a check.
pub(super) fn may_dispose(build: &Build, check: &str, decision: Decision) -> Result<(), Refusal> {
    if decision == Decision::TightenedAgain {
        return Err(Refusal::NotOfACheck(check.to_owned()));
    }
    let state = build.checks.state(check);
    let has_readings = state.is_some_and(|state| !state.placed.is_empty());
    // What is within can be measured anew without a word; a part that was replaced is another matter.
    let may = build.check_may_be_decided(check) || (decision.loosens() && has_readings);
    if may {
        Ok(())
    } else {
        Err(Refusal::NothingToDecide(check.to_owned()))
    }
}

/// Whether a check can wait.
pub(super) fn may_defer(build: &Build, check: &str) -> Result<(), Refusal> {
    let standing = build.check_standing(check);
    if standing.is_done() || build.check_needs_decision(check) {
        return Err(Refusal::DoneAlready(check.to_owned()));
    }
    Ok(())
}

/// What keeps a build from being finished.
pub(super) fn still_open(build: &Build) -> Vec<String> {
    let checks = build.plan.checks().map(|(_, check)| check);
    let mut open: Vec<String> = checks
        .map(|check| (check, build.check_standing(&check.id)))
        .filter(|(_, standing)| !standing.is_done() && *standing != CheckStanding::Deferred)
        .map(|(check, standing)| {
            let title = &check.title;
            if build.check_needs_decision(&check.id) {
                return format!("{title} is {standing} and needs a decision");
            }
            match standing {
                CheckStanding::Open if check.is_derived() => {
                    format!("{title} is open: the checks that it is computed from are missing")
                }
                CheckStanding::Open | CheckStanding::PartWay => {
                    format!("{title} is {standing}: measure it, or defer it with the reason")
                }
                _ => format!(
                    "{title} is {standing}: set it right and measure again, or decide about it"
                ),
            }
        })
        .collect();
    open.extend(
        build
            .checks
            .held()
            .map(|held| format!("the reading of entry {} waits to be placed", held.sequence)),
    );
    let alarms = build.checks.open_alarms();
    open.extend(
        alarms.map(|alarm| format!("the alarm of entry {} is not acknowledged", alarm.sequence)),
    );
    open
}

/// Checks that a new edition drops, and that wait for a decision; by their titles.
pub(super) fn drops_undecided(build: &Build, plan: &Plan) -> Vec<String> {
    let gone = build
        .plan
        .checks()
        .filter(|(_, old)| plan.check(&old.id).is_none());
    gone.filter(|(_, old)| build.check_needs_decision(&old.id))
        .map(|(_, old)| old.title.clone())
        .collect()
}

/// A reading that counts under a new edition.
pub(super) fn judged_under(
    bench: &Bench,
    build: &Build,
    plan: &Plan,
    sequence: u64,
    now: Now,
) -> Option<CheckJudgedAnew> {
    let known = build.checks.readings.get(&sequence)?;
    let place = known.placement.place()?;
    let (_, check) = plan.check(&place.check)?;
    let verdict = judge(bench, &known.reading, check, now.wall.date_naive());
    let limits = &check.spec.limits;
    let is_over = check.can_harm() && compare(known.reading.value, limits) == Answer::Over;
    let before = known.verdict.as_ref().map(|verdict| verdict.limits.upper);
    let is_lower = before.is_some_and(|before| {
        let most = |upper: Option<i64>| upper.unwrap_or(i64::MAX);
        most(limits.upper) < most(before)
    });
    // It was over before, or is it only by this edition: an edition that allows less raises it anew.
    let is_new = known.answer() != Some(Answer::Over) || is_lower;
    let upper = limits.upper.filter(|_| is_over && is_new);
    let alarm = upper.map(|upper| CheckAlarm {
        place: place.clone(),
        unit: limits.unit,
        upper,
    });
    Some(CheckJudgedAnew {
        reading: sequence,
        verdict,
        alarm,
    })
}
