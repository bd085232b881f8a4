//! The checks of a build as its record has them.

use super::{signature, signatures};
use crate::build::{
    Build, BuildCheckReading, CheckStanding, CheckState, Disposition, EarlierCheck, RemovedCheck,
};
use crate::check::Check;
use crate::record::{
    CheckAlarmRecord, CheckReadingRecord, CheckRecord, DispositionRecord, EarlierCheckSpec,
    Missing, NotDone,
};

pub(super) fn checks(build: &Build) -> Vec<CheckRecord> {
    let planned = build.plan.checks();
    planned
        .map(|(stage, check)| {
            let state = build.checks.state(&check.id).cloned().unwrap_or_default();
            let standing = build.check_standing(&check.id);
            let derived = build.derived(check);
            CheckRecord {
                derived,
                ..record_of(build, (&stage.title, check), &state, standing)
            }
        })
        .collect()
}

pub(super) fn removed(build: &Build) -> Vec<CheckRecord> {
    let removed = build.checks.removed.values();
    removed
        .map(
            |RemovedCheck {
                 stage,
                 check,
                 state,
             }| record_of(build, (stage, check), state, CheckStanding::Open),
        )
        .collect()
}

fn record_of(
    build: &Build,
    (stage, check): (&str, &Check),
    known: &CheckState,
    standing: CheckStanding,
) -> CheckRecord {
    let placed = known.placed.iter();
    CheckRecord {
        id: check.id.clone(),
        title: check.title.clone(),
        stage: stage.to_owned(),
        spec: check.spec.clone(),
        rule: check.rule,
        readings_wanted: check.readings,
        formula: check.formula.clone(),
        at: check.at.clone(),
        standing,
        readings: placed
            .filter_map(|sequence| build.checks.readings.get(sequence))
            .map(|reading| reading_record(build, reading))
            .collect(),
        derived: None,
        opened: signatures(&known.opened),
        dispositions: known.dispositions.iter().map(disposition).collect(),
        deferred: known.deferred.as_ref().map(signature),
        waits_for: known.waits_for.clone(),
        earlier: known.earlier.iter().map(earlier).collect(),
    }
}

fn disposition(known: &Disposition) -> DispositionRecord {
    DispositionRecord {
        sequence: known.act.sequence,
        decision: known.decision,
        time: known.act.time.clone(),
        by: known.act.by.clone(),
        reason: known.act.reason.clone().unwrap_or_default(),
    }
}

fn earlier(known: &EarlierCheck) -> EarlierCheckSpec {
    EarlierCheckSpec {
        until: known.until,
        spec: known.spec.clone(),
        rule: known.rule,
        readings_wanted: known.readings,
        formula: known.formula.clone(),
    }
}

fn reading_record(build: &Build, known: &BuildCheckReading) -> CheckReadingRecord {
    CheckReadingRecord {
        sequence: known.sequence,
        time: known.time.clone(),
        reading: known.reading.clone(),
        placement: known.placement.clone(),
        earlier_placements: known.earlier.clone(),
        verdict: known.verdict.clone(),
        earlier_verdicts: known.earlier_verdicts.clone(),
        counts: build.check_counts(known),
    }
}

/// Readings that belong to no check.
pub(super) fn elsewhere(build: &Build) -> Vec<CheckReadingRecord> {
    let readings = build.checks.readings.values();
    readings
        .filter(|known| known.placement.place().is_none())
        .map(|known| reading_record(build, known))
        .collect()
}

pub(super) fn alarms(build: &Build) -> Vec<CheckAlarmRecord> {
    let raised = build.checks.alarms.iter();
    raised
        .map(|raised| CheckAlarmRecord {
            sequence: raised.sequence,
            reading: raised.reading,
            place: raised.alarm.place.clone(),
            unit: raised.alarm.unit,
            upper: raised.alarm.upper,
            acknowledged: raised.acknowledged.as_ref().map(signature),
        })
        .collect()
}

pub(super) fn not_done(build: &Build) -> impl Iterator<Item = NotDone> {
    let planned = build.plan.checks();
    planned
        .filter(|(_, check)| !build.check_standing(&check.id).is_done())
        .map(|(_, check)| {
            let state = build.checks.state(&check.id);
            let deferred = state.and_then(|state| state.deferred.as_ref());
            NotDone {
                fastener: check.id.clone(),
                what: Missing::Measurement,
                reason: deferred.and_then(|act| act.reason.clone()),
                waits_for: state.and_then(|state| state.waits_for.clone()),
            }
        })
}
