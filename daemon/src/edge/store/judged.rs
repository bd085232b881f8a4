//! The table that a recall and the process figures read: every judged reading with all that judging it again needs, kept
//! together by tool, so that what a recall costs grows with the tool's readings and not with the ledger.

use super::StoreError;
use crate::core::Bench;
use crate::core::stats::Pull;
use chrono::{Datelike as _, NaiveDate};
use pullmark_schema::build::Build;
use pullmark_schema::entry::{Entry, Event, Placed, Pulled};
use pullmark_schema::placement::{Place, Placement};
use pullmark_schema::plan::{Hand, Limits};
use pullmark_schema::quantity::Torque;
use pullmark_schema::recall::Judged;
use pullmark_schema::verdict::Verdict;
use rusqlite::{Connection, OptionalExtension as _, Row, params};
use serde::Serialize;
use serde::de::DeserializeOwned;

pub(super) const TABLE: &str = "
    CREATE TABLE judged (
        tool TEXT NOT NULL, sequence INTEGER NOT NULL, day INTEGER NOT NULL, shown INTEGER, fitted TEXT, applied INTEGER,
        expanded INTEGER, build TEXT, fastener TEXT, pass INTEGER, last_pass INTEGER, hand TEXT, lower INTEGER,
        target INTEGER, upper INTEGER, rule TEXT, answer TEXT, joint TEXT, counts INTEGER NOT NULL, kind TEXT, mechanic TEXT,
        reached INTEGER,
        PRIMARY KEY (tool, sequence)
    ) STRICT, WITHOUT ROWID;
    CREATE INDEX judged_by_fastener ON judged (build, fastener);
";

/// Takes in one entry.
pub(super) fn project(tables: &Connection, entry: &Entry, bench: &Bench) -> Result<(), StoreError> {
    match &entry.event {
        Event::Pulled(pulled) => came(tables, entry, pulled, bench),
        Event::Placed(placed) => moved(tables, placed, bench),
        Event::Loosened(on) => undone(tables, &on.build, &on.fastener, entry.sequence),
        Event::Disposed {
            build,
            fastener,
            decision,
            ..
        } if decision.loosens() => undone(tables, build, fastener, entry.sequence),
        Event::PartSwapped(swapped) => {
            for fastener in &swapped.fasteners {
                undone(tables, &swapped.build, fastener, entry.sequence)?;
            }
            Ok(())
        }
        Event::Withdrawn(_) | Event::PlanChanged(_) => all_anew(tables, entry, bench),
        _ => Ok(()),
    }
}

fn number(sequence: u64) -> i64 {
    i64::try_from(sequence).unwrap_or(i64::MAX)
}

/// A word as serde writes it.
fn word(value: &impl Serialize) -> Option<String> {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(word)) => Some(word),
        _ => None,
    }
}

fn came(
    tables: &Connection,
    entry: &Entry,
    pulled: &Pulled,
    bench: &Bench,
) -> Result<(), StoreError> {
    let reading = &pulled.reading;
    let day = entry
        .now()
        .map_or(0, |now| now.wall.date_naive().num_days_from_ce());
    let fitted = reading.adapter.as_ref().map(serde_json::to_string);
    let fitted = fitted.transpose().unwrap_or_default();
    let sql = "INSERT INTO judged (tool, sequence, day, shown, fitted, applied, reached, counts)
               VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, 0)";
    tables.prepare_cached(sql)?.execute(params![
        reading.tool,
        number(entry.sequence),
        day,
        reading.shown().map(Torque::small_units),
        fitted,
        reading.applied.map(Torque::small_units),
        reading
            .trace
            .as_ref()
            .map(|trace| trace.reached.small_units()),
    ])?;
    let build = pulled.build.as_ref().and_then(|id| bench.builds.get(id));
    let at = (reading.tool.as_str(), entry.sequence);
    place(
        tables,
        at,
        &pulled.placement,
        pulled.verdict.as_ref(),
        build,
    )
}

fn moved(tables: &Connection, placed: &Placed, bench: &Bench) -> Result<(), StoreError> {
    let sql = "SELECT tool FROM reading WHERE sequence = ?1";
    let tool: Option<String> = tables
        .prepare_cached(sql)?
        .query_row([number(placed.reading)], |row| row.get(0))
        .optional()?;
    let Some(tool) = tool else {
        return Ok(());
    };
    let build = bench.builds.get(&placed.build);
    let at = (tool.as_str(), placed.reading);
    place(
        tables,
        at,
        &placed.placement,
        placed.verdict.as_ref(),
        build,
    )
}

/// Writes every reading of a build as it stands: other verdicts, and what counts, may be others.
fn all_anew(tables: &Connection, entry: &Entry, bench: &Bench) -> Result<(), StoreError> {
    let build = entry.event.build().and_then(|id| bench.builds.get(id));
    let readings = build.into_iter().flat_map(|build| build.readings.values());
    for known in readings.filter(|known| known.sequence < entry.sequence) {
        let at = (known.reading.tool.as_str(), known.sequence);
        place(tables, at, &known.placement, known.verdict.as_ref(), build)?;
    }
    Ok(())
}

fn place(
    tables: &Connection,
    (tool, sequence): (&str, u64),
    placement: &Placement,
    verdict: Option<&Verdict>,
    build: Option<&Build>,
) -> Result<(), StoreError> {
    let place = placement.place();
    let planned = place.and_then(|place| build?.ever_planned(&place.fastener));
    let limits = verdict.map(|verdict| verdict.limits);
    let counts = build
        .and_then(|build| Some((build, build.readings.get(&sequence)?)))
        .is_some_and(|(build, reading)| build.counts(reading));
    let sql = "UPDATE judged SET expanded = ?3, build = ?4, fastener = ?5, pass = ?6, last_pass = ?7, hand = ?8, lower = ?9,
               target = ?10, upper = ?11, rule = ?12, answer = ?13, joint = ?14, counts = ?15, kind = ?16, mechanic = ?17
               WHERE tool = ?1 AND sequence = ?2";
    let is_last = planned
        .zip(place)
        .map(|((stage, _), place)| usize::from(place.pass) + 1 == stage.passes.len());
    let fastener = planned.map(|(_, fastener)| fastener);
    tables.prepare_cached(sql)?.execute(params![
        tool,
        number(sequence),
        verdict
            .and_then(|verdict| verdict.expanded_uncertainty)
            .map(Torque::small_units),
        build.map(|build| &build.id),
        place.map(|place| &place.fastener),
        place.map(|place| place.pass),
        is_last,
        fastener.and_then(|fastener| word(&fastener.hand)),
        limits
            .and_then(|limits| limits.lower)
            .map(Torque::small_units),
        limits
            .and_then(|limits| limits.target)
            .map(Torque::small_units),
        limits.map(|limits| limits.upper.small_units()),
        verdict.and_then(|verdict| word(&verdict.rule)),
        verdict.and_then(|verdict| word(&verdict.answer)),
        fastener.and_then(|fastener| word(&fastener.joint?)),
        counts,
        fastener.and_then(|fastener| fastener.kind.as_ref()),
        build.map(|build| &build.started.by),
    ])?;
    Ok(())
}

fn undone(
    tables: &Connection,
    build: &str,
    fastener: &str,
    sequence: u64,
) -> Result<(), StoreError> {
    let sql = "UPDATE judged SET counts = 0 WHERE build = ?1 AND fastener = ?2 AND sequence < ?3";
    tables
        .prepare_cached(sql)?
        .execute(params![build, fastener, number(sequence)])?;
    Ok(())
}

/// Every reading of a tool that is placed and showed a value, in its order.
pub(super) fn of_tool(tables: &Connection, tool: &str) -> Result<Vec<Judged>, StoreError> {
    let sql = "SELECT sequence, day, shown, fitted, applied, expanded, build, fastener, pass, last_pass, hand, lower, target,
               upper, rule, answer, joint, counts, reached FROM judged
               WHERE tool = ?1 AND fastener IS NOT NULL AND shown IS NOT NULL AND applied IS NOT NULL AND upper IS NOT NULL
               ORDER BY sequence";
    let mut statement = tables.prepare_cached(sql)?;
    let rows = statement.query_map([tool], judged)?;
    Ok(rows.collect::<Result<_, _>>()?)
}

fn judged(row: &Row<'_>) -> rusqlite::Result<Judged> {
    let torque = |index| row.get(index).map(Torque::from_small_units);
    let maybe = |index| {
        let small: Option<i64> = row.get(index)?;
        Ok::<_, rusqlite::Error>(small.map(Torque::from_small_units))
    };
    let fitted: Option<String> = row.get(3)?;
    Ok(Judged {
        reading: u64::try_from(row.get::<_, i64>(0)?).unwrap_or(0),
        day: NaiveDate::from_num_days_from_ce_opt(row.get(1)?).unwrap_or_default(),
        shown: torque(2)?,
        fitted: fitted.and_then(|text| serde_json::from_str(&text).ok()),
        applied: torque(4)?,
        expanded: maybe(5)?,
        build: row.get(6)?,
        place: Place {
            fastener: row.get(7)?,
            pass: row.get(8)?,
        },
        is_last_pass: row.get(9)?,
        hand: from_word(row, 10)?.unwrap_or(Hand::Right),
        limits: Limits {
            lower: maybe(11)?,
            target: maybe(12)?,
            upper: torque(13)?,
        },
        rule: from_word(row, 14)?.unwrap_or_default(),
        answer: from_word(row, 15)?.unwrap_or(pullmark_schema::verdict::Answer::Undecided),
        joint: from_word(row, 16)?,
        counts: row.get(17)?,
        reached: maybe(18)?,
    })
}

/// What serde reads from a word; nothing where there is none. The words were written by this program.
fn from_word<T: DeserializeOwned>(row: &Row<'_>, index: usize) -> rusqlite::Result<Option<T>> {
    let reference = row.get_ref(index)?.as_str_or_null()?;
    let reader = reference.map(serde::de::value::StrDeserializer::<serde::de::value::Error>::new);
    Ok(reader.and_then(|reader| T::deserialize(reader).ok()))
}

/// What process figures are grouped by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// The kind of fastener.
    #[default]
    Kind,
    /// The tool.
    Tool,
    /// The mechanic who began the build.
    Mechanic,
}

impl Group {
    /// The word, which is the column's name too.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Kind => "kind",
            Self::Tool => "tool",
            Self::Mechanic => "mechanic",
        }
    }
}

/// The highest pull that counts of every fastener with two limits.
pub(super) fn pulls(tables: &Connection, group: Group) -> Result<Vec<Pull>, StoreError> {
    let column = group.word();
    let sql = format!(
        "SELECT coalesce({column}, 'no kind stated'), build, max(abs(applied)), lower, upper FROM judged
         WHERE counts = 1 AND last_pass = 1 AND lower IS NOT NULL AND upper > lower AND applied IS NOT NULL
         GROUP BY build, fastener ORDER BY 1, 2, fastener"
    );
    let mut statement = tables.prepare_cached(&sql)?;
    let rows = statement.query_map([], |row| {
        let (applied, lower, upper): (i64, i64, i64) = (row.get(2)?, row.get(3)?, row.get(4)?);
        Ok(Pull {
            group: row.get(0)?,
            build: row.get(1)?,
            place: share(applied - lower, upper - lower),
        })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

#[expect(
    clippy::cast_precision_loss,
    reason = "whole mN·m of a hand tool are far below 2^53"
)]
fn share(part: i64, whole: i64) -> f64 {
    part as f64 / whole as f64
}
