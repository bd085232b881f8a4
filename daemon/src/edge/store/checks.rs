//! Readings of checks, and how each check stands, in the tables for queries.

use super::StoreError;
use pullmark_schema::build::Build;
use pullmark_schema::check::{
    CheckAlarm, CheckMeasured, CheckPlaced, CheckPlacement, CheckVerdict,
};
use pullmark_schema::entry::Entry;
use rusqlite::{Connection, params};

pub(super) fn measured(
    tables: &Connection,
    entry: &Entry,
    measured: &CheckMeasured,
) -> Result<(), StoreError> {
    let reading = &measured.reading;
    let sequence = i64::try_from(entry.sequence).unwrap_or(i64::MAX);
    let sql =
        "INSERT INTO reading (sequence, time, tool, build, displayed, value_text, placed, alarm)
               VALUES (?1, ?2, ?3, ?4, ?5, ?6, '', 0)";
    tables.prepare_cached(sql)?.execute(params![
        sequence,
        entry.time,
        reading.tool,
        measured.build,
        reading.displayed.as_ref().map(ToString::to_string),
        reading.value.map(|value| reading.unit.text(value))
    ])?;
    place(
        tables,
        sequence,
        &measured.placement,
        measured.verdict.as_ref(),
        measured.alarm.as_ref(),
    )
}

pub(super) fn placed(tables: &Connection, placed: &CheckPlaced) -> Result<(), StoreError> {
    place(
        tables,
        i64::try_from(placed.reading).unwrap_or(i64::MAX),
        &placed.placement,
        placed.verdict.as_ref(),
        placed.alarm.as_ref(),
    )
}

fn place(
    tables: &Connection,
    reading: i64,
    placement: &CheckPlacement,
    verdict: Option<&CheckVerdict>,
    alarm: Option<&CheckAlarm>,
) -> Result<(), StoreError> {
    let word = match placement {
        CheckPlacement::ByPlan { .. } => "by plan",
        CheckPlacement::ByChoice { .. } => "by choice",
        CheckPlacement::Nowhere { .. } => "nowhere",
        CheckPlacement::Held { .. } => "held",
    };
    let place = placement.place();
    let sql = "UPDATE reading SET fastener = ?2, pass = ?3, answer = ?4, placed = ?5, alarm = alarm OR ?6 WHERE sequence = ?1";
    tables.prepare_cached(sql)?.execute(params![
        reading,
        place.map(|place| &place.check),
        place.map(|place| place.number),
        verdict.map(|verdict| verdict.answer.to_string()),
        word,
        alarm.is_some()
    ])?;
    Ok(())
}

/// Writes how each check of a build stands now. A later entry of the same build writes it again.
pub(super) fn standings(tables: &Connection, build: &Build) -> Result<(), StoreError> {
    for id in build.checks.removed.keys() {
        tables
            .prepare_cached("DELETE FROM planned_check WHERE build = ?1 AND id = ?2")?
            .execute(params![build.id, id])?;
    }
    let sql = "INSERT INTO planned_check VALUES (?1, ?2, ?3, ?4, ?5, ?6) ON CONFLICT (build, id) DO UPDATE SET
               standing = excluded.standing, readings = excluded.readings, value = excluded.value, unit = excluded.unit";
    let mut statement = tables.prepare_cached(sql)?;
    for (_, check) in build.plan.checks() {
        let counting = build.check_counting(&check.id);
        let value = match build.derived(check) {
            Some(derived) => Some(derived.value),
            None => counting.last().and_then(|known| known.reading.value),
        };
        let readings = i64::try_from(counting.len()).unwrap_or(i64::MAX);
        statement.execute(params![
            build.id,
            check.id,
            build.check_standing(&check.id).to_string(),
            readings,
            value,
            check.unit().ucum()
        ])?;
    }
    Ok(())
}
