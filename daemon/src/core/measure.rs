//! Readings of checks: what a value of another quantity than torque is worth, where it belongs, and what follows.
//!
//! The alarm comes first here too: a pressure or a force above the upper limit of the check that is expected sounds at once,
//! wherever the reading is placed, and also while it is held.

mod place;

pub(super) use place::{Last, expected};

use super::bench::Bench;
use chrono::NaiveDate;
use pullmark_schema::build::Build;
use pullmark_schema::check::{
    Check, CheckAlarm, CheckAnswer, CheckCaution, CheckHeldBecause, CheckMeasured, CheckPlace,
    CheckPlacement, CheckReading, CheckVerdict, CheckWorth, MeasuringTool, SmallUnit, compare,
    decide, is_fit, outside, weigh,
};
use pullmark_schema::entry::Now;
use pullmark_schema::quantity::{Kind, Unit};
use pullmark_schema::reading::{Displayed, Flag, Origin};

/// What a value is counted in, where it is no torque: by its own unit, else by what the tool is known to measure.
pub(super) fn unit_of(
    bench: &Bench,
    tool: &str,
    displayed: Option<&Displayed>,
) -> Option<SmallUnit> {
    let kind = match displayed {
        Some(displayed) => Unit::find(&displayed.unit).ok()?.kind,
        None => bench
            .tools
            .get(tool)
            .map_or(Kind::Torque, pullmark_schema::tool::Tool::quantity),
    };
    SmallUnit::of(kind)
}

/// What is known of a tool for values of a quantity.
fn known<'b>(bench: &'b Bench, reading: &CheckReading) -> Option<&'b MeasuringTool> {
    let measures = bench.tools.get(&reading.tool)?.measures.as_ref()?;
    (measures.unit == reading.unit).then_some(measures)
}

/// Weighs a reading before it is placed: from what was shown to what is judged, and its uncertainty.
fn weighed(bench: &Bench, mut reading: CheckReading) -> CheckReading {
    let (Some(shown), Some(step)) = (reading.shown(), reading.step()) else {
        return reading;
    };
    let (value, worth) = weigh(known(bench, &reading), shown, step);
    reading.value = Some(value);
    reading.worth = worth;
    reading
}

/// Judges a weighed reading at a check.
pub(super) fn judge(
    bench: &Bench,
    reading: &CheckReading,
    check: &Check,
    today: NaiveDate,
) -> CheckVerdict {
    let limits = check.spec.limits;
    let worth = reading.worth.as_ref();
    let expanded = worth.map(CheckWorth::guard);
    let mut cautions = cautions(bench, reading, today);
    if expanded.is_some() && !is_fit(&limits, check.rule, expanded) {
        cautions.push(CheckCaution::ToolNotFit);
    }
    CheckVerdict {
        answer: decide(reading.value, &limits, check.rule, expanded),
        limits,
        rule: check.rule,
        expanded,
        outside: reading
            .value
            .zip(worth)
            .map(|(value, worth)| outside(value, worth, &limits)),
        cautions,
    }
}

fn cautions(bench: &Bench, reading: &CheckReading, today: NaiveDate) -> Vec<CheckCaution> {
    let tool = known(bench, reading);
    let certificate = reading.worth.as_ref().map(|worth| worth.basis.number());
    let shown = reading.shown();
    let past = |limit: Option<i64>, is_past: fn(i64, i64) -> bool| {
        shown
            .zip(limit)
            .is_some_and(|(shown, limit)| is_past(shown, limit))
    };
    let all = [
        (certificate == Some(None), CheckCaution::AccuracyStandsIn),
        (
            certificate.is_none() && shown.is_some(),
            CheckCaution::NothingStated,
        ),
        (
            tool.is_some_and(|tool| tool.is_past(today)),
            CheckCaution::CertificatePast,
        ),
        (
            past(tool.and_then(|tool| tool.lowest), |shown, limit| {
                shown < limit
            }),
            CheckCaution::BelowToolRange,
        ),
        (
            past(tool.and_then(|tool| tool.highest), |shown, limit| {
                shown > limit
            }),
            CheckCaution::AboveToolRange,
        ),
        (reading.is_over_range(), CheckCaution::PastToolRange),
        (
            reading.flags.contains(&Flag::BatteryLow),
            CheckCaution::BatteryLow,
        ),
        (
            matches!(reading.origin, Origin::Attested { .. }),
            CheckCaution::Attested,
        ),
        (
            reading.flags.contains(&Flag::Unsteady),
            CheckCaution::Unsteady,
        ),
    ];
    all.into_iter()
        .filter_map(|(holds, caution)| holds.then_some(caution))
        .collect()
}

/// The alarm of a check that can hurt a part, where a reading is above its upper limit.
pub(super) fn alarm_at(
    build: &Build,
    reading: &CheckReading,
    at: &CheckPlace,
) -> Option<CheckAlarm> {
    let (_, check) = build.plan.check(&at.check)?;
    let limits = check.spec.limits;
    let is_over = check.can_harm()
        && limits.unit == reading.unit
        && compare(reading.value, &limits) == CheckAnswer::Over;
    Some(CheckAlarm {
        place: at.clone(),
        unit: limits.unit,
        upper: limits.upper.filter(|_| is_over)?,
    })
}

/// The alarm that a reading raises: at what is expected, whatever the placement says, but not where the tool measured a moment
/// ago and the value is right; else at where it was placed or most likely belongs; and where nothing is expected and it is
/// held, at any check of the quantity, those that are done and those that wait too.
fn alarm(
    build: &Build,
    reading: &CheckReading,
    placement: &CheckPlacement,
    expected: Option<&CheckPlace>,
    last: Option<&Last>,
) -> Option<CheckAlarm> {
    let likeliest = match placement {
        CheckPlacement::Held { candidates, .. } => {
            candidates.first().map(|candidate| &candidate.place)
        }
        placed => placed.place(),
    };
    // Where a person said where it belongs, that is where it belongs.
    let expected = expected.filter(|_| !matches!(placement, CheckPlacement::ByChoice { .. }));
    let is_again = last.is_some_and(|last| last.is_again_at(placement.place()));
    let is_right = is_again
        && likeliest.is_some_and(|place| {
            let planned = build.plan.check(&place.check);
            planned.is_some_and(|(_, check)| {
                compare(reading.value, &check.spec.limits) == CheckAnswer::Within
            })
        });
    let is_held = matches!(placement, CheckPlacement::Held { .. });
    let any = build
        .plan
        .checks()
        .filter(|_| is_held && expected.is_none());
    let any = any.map(|(_, check)| CheckPlace {
        check: check.id.clone(),
        number: 0,
    });
    expected
        .filter(|_| !is_right)
        .into_iter()
        .chain(likeliest)
        .cloned()
        .chain(any)
        .find_map(|place| alarm_at(build, reading, &place))
}

/// Places and judges a reading. `chosen` is the check that a person named along with it, and who.
pub(super) fn measured(
    bench: &Bench,
    reading: CheckReading,
    chosen: Option<(CheckPlace, String)>,
    now: Now,
) -> CheckMeasured {
    let reading = weighed(bench, reading);
    let Some(build) = bench.served_by(&reading.tool) else {
        return CheckMeasured {
            reading,
            build: None,
            placement: CheckPlacement::Held {
                because: CheckHeldBecause::NoBuild,
                candidates: Vec::new(),
            },
            verdict: None,
            alarm: None,
        };
    };
    let last = bench.last_measured(&reading.tool, now);
    let placement = match chosen {
        Some((place, by)) => CheckPlacement::ByChoice { place, by },
        None => place::place(build, &reading, last.clone()),
    };
    let expected = expected(build, reading.unit);
    let alarm = alarm(
        build,
        &reading,
        &placement,
        expected.as_ref(),
        last.as_ref(),
    );
    let planned = placement
        .place()
        .and_then(|place| build.plan.check(&place.check));
    let verdict = planned.map(|(_, check)| judge(bench, &reading, check, now.wall.date_naive()));
    CheckMeasured {
        build: Some(build.id.clone()),
        placement,
        verdict,
        alarm,
        reading,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
