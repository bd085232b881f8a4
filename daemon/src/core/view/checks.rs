//! The checks of a build, made ready for the eye.

use pullmark_schema::api::{
    CheckAlarmView, CheckCandidateView, HeldCheckView, LastCheckView, PlannedCheckView,
};
use pullmark_schema::build::{Build, BuildCheckReading, RaisedCheckAlarm};
use pullmark_schema::check::{
    Check, CheckCandidate, CheckLimits, CheckPlacement, CheckReading, SmallUnit,
};

fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

pub(in crate::core) fn title(build: &Build, id: &str) -> Option<String> {
    let (_, check) = build.ever_checked(id)?;
    Some(check.title.clone())
}

fn displayed(reading: &CheckReading) -> Option<String> {
    reading.displayed.as_ref().map(ToString::to_string)
}

fn value_text(reading: &CheckReading) -> Option<String> {
    reading.value.map(|value| reading.unit.text(value))
}

/// A check of the plan.
pub(super) fn planned(build: &Build, check: &Check) -> PlannedCheckView {
    let state = build.checks.state(&check.id);
    let counting = build.check_counting(&check.id);
    let derived = build.derived(check);
    let (notes, photos) = build.noted(Some(&check.id));
    let unit = check.unit();
    let newest = counting.iter().max_by_key(|known| known.sequence);
    let expanded = match &derived {
        Some(derived) => derived.verdict.expanded,
        None => counting
            .iter()
            .filter_map(|known| known.verdict.as_ref()?.expanded)
            .max(),
    };
    let pointed = build.checks.pointed.as_ref();
    PlannedCheckView {
        id: check.id.clone(),
        title: check.title.clone(),
        at: check.at.clone(),
        quantity: unit.kind(),
        standing: build.check_standing(&check.id),
        needs_decision: build.check_needs_decision(&check.id),
        may_be_decided: build.check_may_be_decided(&check.id),
        limits: check.spec.limits,
        limits_text: check.spec.limits.text(),
        sources: check.spec.places(),
        value_text: match derived {
            Some(derived) => Some(difference_text(unit, derived.value)),
            None => values(unit, &counting),
        },
        expanded_text: expanded.map(|expanded| unit.step_text(expanded)),
        displayed: match counting.as_slice() {
            [known] => displayed(&known.reading),
            _ => None,
        },
        readings: check.readings,
        readings_done: u16::try_from(counting.len()).unwrap_or(u16::MAX),
        formula: check.formula.as_ref().map(|formula| formula.text.clone()),
        rule: check.rule,
        cautions: newest
            .and_then(|known| known.verdict.as_ref())
            .map(|verdict| verdict.cautions.clone())
            .unwrap_or_default(),
        note: check.note.clone(),
        pointed: pointed.is_some_and(|(id, _)| *id == check.id),
        deferred: state
            .and_then(|state| state.deferred.as_ref())
            .and_then(|act| act.reason.clone()),
        waits_for: state.and_then(|state| state.waits_for.clone()),
        notes: count(notes),
        photos: count(photos),
    }
}

/// A difference of temperatures is no temperature.
fn difference_text(unit: SmallUnit, value: i64) -> String {
    if unit == SmallUnit::Millikelvin {
        unit.step_text(value).replace(unit.symbol(), "K")
    } else {
        unit.text(value)
    }
}

fn values(unit: SmallUnit, counting: &[&BuildCheckReading]) -> Option<String> {
    if counting.iter().any(|known| known.reading.value.is_none()) {
        return Some("past the tool's range".to_owned());
    }
    let all = || counting.iter().filter_map(|known| known.reading.value);
    let (least, most) = (all().min()?, all().max()?);
    if least == most {
        return Some(unit.text(least));
    }
    let bare = unit.text(least);
    let bare = bare.trim_end_matches(unit.symbol()).trim_end();
    Some(format!("{bare} to {}", unit.text(most)))
}

/// The last reading of a check.
pub(super) fn last(build: &Build, known: &BuildCheckReading) -> LastCheckView {
    let verdict = known.verdict.as_ref();
    let place = known.placement.place();
    LastCheckView {
        sequence: known.sequence,
        time: known.time.clone(),
        tool: known.reading.tool.clone(),
        displayed: displayed(&known.reading),
        value_text: value_text(&known.reading),
        check: place.map(|place| place.check.clone()),
        title: place.and_then(|place| title(build, &place.check)),
        answer: verdict.map(|verdict| verdict.answer),
        limits_text: verdict.map(|verdict| verdict.limits.text()),
        expanded_text: verdict
            .and_then(|verdict| verdict.expanded)
            .map(|expanded| known.reading.unit.step_text(expanded)),
        cautions: verdict
            .map(|verdict| verdict.cautions.clone())
            .unwrap_or_default(),
    }
}

/// A reading that waits.
pub(super) fn held(build: &Build, known: &BuildCheckReading) -> Option<HeldCheckView> {
    let CheckPlacement::Held {
        because,
        candidates,
    } = &known.placement
    else {
        return None;
    };
    Some(HeldCheckView {
        sequence: known.sequence,
        time: known.time.clone(),
        tool: known.reading.tool.clone(),
        displayed: displayed(&known.reading),
        quantity: known.reading.unit.kind(),
        because: *because,
        because_text: because.to_string(),
        candidates: candidates
            .iter()
            .map(|candidate| candidate_view(build, candidate))
            .collect(),
    })
}

fn candidate_view(build: &Build, candidate: &CheckCandidate) -> CheckCandidateView {
    let place = &candidate.place;
    let planned = build.ever_checked(&place.check).map(|(_, check)| check);
    let title = planned.map_or_else(|| place.check.clone(), |check| check.title.clone());
    let is_several = planned.is_some_and(|check| check.readings > 1);
    CheckCandidateView {
        check: place.check.clone(),
        title: if is_several {
            format!("{title}, reading {}", place.number + 1)
        } else {
            title
        },
        number: place.number,
        limits_text: planned.map_or_else(String::new, |check| {
            CheckLimits {
                target: None,
                ..check.spec.limits
            }
            .text()
        }),
        fits_in: candidate.fits_in.clone(),
    }
}

/// An alarm that nobody has acknowledged.
pub(super) fn alarm(build: &Build, raised: &RaisedCheckAlarm) -> CheckAlarmView {
    let id = &raised.alarm.place.check;
    let reading = build.checks.readings.get(&raised.reading);
    CheckAlarmView {
        sequence: raised.sequence,
        check: id.clone(),
        title: title(build, id).unwrap_or_else(|| id.clone()),
        displayed: reading.and_then(|known| displayed(&known.reading)),
        value_text: reading.and_then(|known| value_text(&known.reading)),
        upper_text: raised.alarm.unit.text(raised.alarm.upper),
    }
}
