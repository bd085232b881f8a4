//! Tables for queries, made from the ledger's entries and from nothing else.
//!
//! They live in a file of their own that may be thrown away: it is written after a verdict is out, so that a question
//! never makes an answer wait, and caught up at the next start.

use super::checks;
use super::judged::{self, Group};
use super::{PROJECTIONS, StoreError};
use crate::core::stats::Pull;
use crate::core::{Bench, displayed};
use pullmark_schema::api::ReadingRow;
use pullmark_schema::build::Build;
use pullmark_schema::entry::{Alarm, Entry, Event};
use pullmark_schema::placement::Placement;
use pullmark_schema::quantity::Torque;
use pullmark_schema::recall::Judged;
use pullmark_schema::verdict::Verdict;
use rusqlite::{Connection, params};
use std::collections::BTreeSet;
use std::path::Path;

/// The version of these tables; another one is thrown away and made again.
const VERSION: i64 = 5;

/// How many entries are taken in at once when the tables are made anew.
const BATCH: usize = 1_000;

const TABLES: &str = "
    CREATE TABLE reading (
        sequence INTEGER PRIMARY KEY, time TEXT NOT NULL, tool TEXT NOT NULL, build TEXT, fastener TEXT, pass INTEGER,
        displayed TEXT, applied_millinewton_metre INTEGER, value_text TEXT, answer TEXT, placed TEXT NOT NULL,
        alarm INTEGER NOT NULL
    ) STRICT;
    CREATE INDEX reading_by_tool ON reading (tool, sequence);
    CREATE INDEX reading_by_build ON reading (build, sequence);
    CREATE TABLE build (
        id TEXT PRIMARY KEY, frame TEXT NOT NULL, label TEXT, plan TEXT NOT NULL, edition TEXT NOT NULL,
        started TEXT NOT NULL, finished TEXT, sealed TEXT
    ) STRICT;
    CREATE TABLE fastener (
        build TEXT NOT NULL, id TEXT NOT NULL, standing TEXT NOT NULL, passes_done INTEGER NOT NULL,
        highest_millinewton_metre INTEGER, PRIMARY KEY (build, id)
    ) STRICT;
    CREATE TABLE planned_check (
        build TEXT NOT NULL, id TEXT NOT NULL, standing TEXT NOT NULL, readings INTEGER NOT NULL, value INTEGER,
        unit TEXT NOT NULL, PRIMARY KEY (build, id)
    ) STRICT;
    CREATE TABLE reached (one INTEGER PRIMARY KEY CHECK (one = 1), next_sequence INTEGER NOT NULL) STRICT;
    INSERT INTO reached VALUES (1, 0);
";

/// The tables.
#[derive(Debug)]
pub struct Projections(Connection);

/// Which readings to list.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Deserialize, schemars::JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Query {
    /// Of one build.
    pub build: Option<String>,
    /// Of one tool.
    pub tool: Option<String>,
    /// At most so many, the newest; 200 unless said.
    pub most: Option<u32>,
}

impl Projections {
    /// Opens the tables of a folder; damaged or outdated ones are made anew and come back empty.
    pub fn open(folder: &Path) -> Result<Self, StoreError> {
        if let Ok(Some(tables)) = Self::try_open(folder) {
            return Ok(tables);
        }
        remove(folder);
        Self::try_open(folder)?.ok_or(StoreError::Database(rusqlite::Error::InvalidQuery))
    }

    /// Nothing if the file is of another version.
    fn try_open(folder: &Path) -> Result<Option<Self>, StoreError> {
        let connection = Connection::open(folder.join(PROJECTIONS))?;
        connection.pragma_update(None, "journal_mode", "WAL")?;
        // Nothing here is lost with the file; the ledger has it all.
        connection.pragma_update(None, "synchronous", "NORMAL")?;
        match connection.pragma_query_value(None, "user_version", |row| row.get(0))? {
            VERSION => {
                let tables = Self(connection);
                Ok(tables.is_whole()?.then_some(tables))
            }
            0 => {
                let judged = judged::TABLE;
                connection.execute_batch(&format!(
                    "BEGIN; {TABLES} {judged} PRAGMA user_version = {VERSION}; COMMIT;"
                ))?;
                Ok(Some(Self(connection)))
            }
            _ => Ok(None),
        }
    }

    /// Whether the file can be read to its end and has the tables.
    fn is_whole(&self) -> Result<bool, StoreError> {
        self.next_sequence()?;
        let found: String = self
            .0
            .pragma_query_value(None, "quick_check", |row| row.get(0))?;
        Ok(found == "ok")
    }

    /// The sequence number of the first entry that is not in the tables yet.
    pub fn next_sequence(&self) -> Result<u64, StoreError> {
        let next: i64 = self
            .0
            .query_row("SELECT next_sequence FROM reached", [], |row| row.get(0))?;
        Ok(u64::try_from(next).unwrap_or(0))
    }

    /// Takes in entries that `bench` has taken in already; those that are in the tables change nothing.
    pub fn apply(&mut self, entries: &[Entry], bench: &Bench) -> Result<(), StoreError> {
        let next = self.next_sequence()?;
        let fresh: Vec<&Entry> = entries
            .iter()
            .filter(|entry| entry.sequence >= next)
            .collect();
        let Some(last) = fresh.last() else {
            return Ok(());
        };
        let transaction = self.0.transaction()?;
        for entry in &fresh {
            project(&transaction, entry)?;
            judged::project(&transaction, entry, bench)?;
        }
        let touched: BTreeSet<&str> = fresh
            .iter()
            .filter_map(|entry| entry.event.build())
            .collect();
        for build in touched.into_iter().filter_map(|id| bench.builds.get(id)) {
            fasteners(&transaction, build)?;
            checks::standings(&transaction, build)?;
        }
        let reached = i64::try_from(last.sequence + 1).unwrap_or(i64::MAX);
        transaction
            .prepare_cached("UPDATE reached SET next_sequence = ?1")?
            .execute([reached])?;
        Ok(transaction.commit()?)
    }

    /// Lists readings, the oldest first.
    pub fn readings(&self, query: &Query) -> Result<Vec<ReadingRow>, StoreError> {
        let sql = "SELECT * FROM (SELECT * FROM reading WHERE (?1 IS NULL OR build = ?1) AND (?2 IS NULL OR tool = ?2)
                   ORDER BY sequence DESC LIMIT ?3) ORDER BY sequence";
        let mut statement = self.0.prepare_cached(sql)?;
        let rows = statement.query_map(
            params![query.build, query.tool, query.most.unwrap_or(200)],
            reading_row,
        )?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Every reading of a tool that is placed and showed a value, with all that judging it again needs.
    pub fn judged(&self, tool: &str) -> Result<Vec<Judged>, StoreError> {
        judged::of_tool(&self.0, tool)
    }

    /// The highest pull that counts of every fastener with two limits, by what it is grouped by.
    pub fn pulls(&self, group: Group) -> Result<Vec<Pull>, StoreError> {
        judged::pulls(&self.0, group)
    }

    /// Every row of every table as text, for comparing two files.
    pub fn dump(&self) -> Result<Vec<String>, StoreError> {
        let mut lines = Vec::new();
        for table in [
            "reading",
            "judged",
            "build",
            "fastener",
            "planned_check",
            "reached",
        ] {
            let mut statement = self
                .0
                .prepare(&format!("SELECT * FROM {table} ORDER BY 1, 2"))?;
            let columns = statement.column_count();
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                let cells = (0..columns).map(|column| Ok(format!("{:?}", row.get_ref(column)?)));
                lines.push(format!(
                    "{table}: {}",
                    cells
                        .collect::<Result<Vec<_>, rusqlite::Error>>()?
                        .join(" ")
                ));
            }
        }
        Ok(lines)
    }
}

fn remove(folder: &Path) {
    for ending in ["", "-wal", "-shm"] {
        // What is not there need not be removed; what cannot be removed shows when it is opened.
        let _ = std::fs::remove_file(folder.join(format!("{PROJECTIONS}{ending}")));
    }
}

/// Throws the tables of a folder away and makes them again from the ledger. The folder has to be locked.
pub fn rebuild(folder: &Path) -> Result<u64, StoreError> {
    remove(folder);
    let mut tables = Projections::open(folder)?;
    let reader = super::Reader::open(folder)?;
    let mut bench = Bench::default();
    let mut batch = Vec::new();
    reader.each(0, |stored| {
        let plan = crate::run::plan_of(&reader, &stored.entry)?;
        bench.apply(&stored.entry, plan.as_ref());
        batch.push(stored.entry);
        if batch.len() == BATCH {
            tables.apply(&batch, &bench)?;
            batch.clear();
        }
        Ok(())
    })?;
    tables.apply(&batch, &bench)?;
    Ok(bench.next_sequence)
}

fn reading_row(row: &rusqlite::Row<'_>) -> rusqlite::Result<ReadingRow> {
    Ok(ReadingRow {
        sequence: u64::try_from(row.get::<_, i64>("sequence")?).unwrap_or(0),
        time: row.get("time")?,
        tool: row.get("tool")?,
        build: row.get("build")?,
        fastener: row.get("fastener")?,
        pass: row.get("pass")?,
        displayed: row.get("displayed")?,
        applied_millinewton_metre: row.get("applied_millinewton_metre")?,
        value_text: row.get("value_text")?,
        answer: row.get("answer")?,
        placed: row.get("placed")?,
        alarm: row.get("alarm")?,
    })
}

fn project(tables: &Connection, entry: &Entry) -> Result<(), StoreError> {
    let sequence = i64::try_from(entry.sequence).unwrap_or(i64::MAX);
    match &entry.event {
        Event::Pulled(pulled) => {
            let sql = "INSERT INTO reading (sequence, time, tool, build, displayed, applied_millinewton_metre, placed, alarm)
                       VALUES (?1, ?2, ?3, ?4, ?5, ?6, '', ?7)";
            let applied = pulled.reading.applied.map(Torque::small_units);
            let shown = displayed(&pulled.reading);
            let alarm = pulled.alarm.is_some();
            tables.prepare_cached(sql)?.execute(params![
                sequence,
                entry.time,
                pulled.reading.tool,
                pulled.build,
                shown,
                applied,
                alarm
            ])?;
            place(
                tables,
                sequence,
                &pulled.placement,
                pulled.verdict.as_ref(),
                pulled.alarm.as_ref(),
            )?;
        }
        Event::Placed(placed) => {
            let reading = i64::try_from(placed.reading).unwrap_or(i64::MAX);
            place(
                tables,
                reading,
                &placed.placement,
                placed.verdict.as_ref(),
                placed.alarm.as_ref(),
            )?;
        }
        Event::CheckMeasured(measured) => checks::measured(tables, entry, measured)?,
        Event::CheckPlaced(placed) => checks::placed(tables, placed)?,
        Event::BuildStarted {
            build, bike, plan, ..
        } => {
            let sql = "INSERT INTO build (id, frame, label, plan, edition, started) VALUES (?1, ?2, ?3, ?4, ?5, ?6)";
            let row = params![
                build,
                bike.frame,
                bike.label,
                plan.title,
                plan.edition,
                entry.time
            ];
            tables.prepare_cached(sql)?.execute(row)?;
        }
        Event::PlanChanged(changed) => {
            tables.execute(
                "UPDATE build SET plan = ?2, edition = ?3 WHERE id = ?1",
                params![changed.build, changed.plan.title, changed.plan.edition],
            )?;
            let sql = "UPDATE reading SET answer = ?2, alarm = alarm OR ?3 WHERE sequence = ?1";
            for judged in &changed.judged {
                let reading = i64::try_from(judged.reading).unwrap_or(i64::MAX);
                let answer = judged.verdict.answer.to_string();
                tables.prepare_cached(sql)?.execute(params![
                    reading,
                    answer,
                    judged.alarm.is_some()
                ])?;
            }
            for judged in &changed.judged_checks {
                let reading = i64::try_from(judged.reading).unwrap_or(i64::MAX);
                let answer = judged.verdict.answer.to_string();
                let alarm = judged.alarm.is_some();
                tables
                    .prepare_cached(sql)?
                    .execute(params![reading, answer, alarm])?;
            }
        }
        Event::Reopened(reopened) => {
            tables.execute(
                "UPDATE build SET finished = NULL WHERE id = ?1",
                params![reopened.build],
            )?;
        }
        Event::BuildFinished { build, .. } => {
            tables.execute(
                "UPDATE build SET finished = ?2 WHERE id = ?1",
                params![build, entry.time],
            )?;
        }
        Event::RecordSealed { build, .. } => {
            tables.execute(
                "UPDATE build SET sealed = ?2 WHERE id = ?1",
                params![build, entry.time],
            )?;
        }
        _ => {}
    }
    Ok(())
}

fn place(
    tables: &Connection,
    reading: i64,
    placement: &Placement,
    verdict: Option<&Verdict>,
    alarm: Option<&Alarm>,
) -> Result<(), StoreError> {
    let word = match placement {
        Placement::ByOrder { .. } => "by order",
        Placement::ByChoice { .. } => "by choice",
        Placement::Nowhere { .. } => "nowhere",
        Placement::Held { .. } => "held",
    };
    let place = placement.place();
    let sql = "UPDATE reading SET fastener = ?2, pass = ?3, answer = ?4, placed = ?5, alarm = alarm OR ?6 WHERE sequence = ?1";
    tables.prepare_cached(sql)?.execute(params![
        reading,
        place.map(|place| &place.fastener),
        place.map(|place| place.pass),
        verdict.map(|verdict| verdict.answer.to_string()),
        word,
        alarm.is_some()
    ])?;
    Ok(())
}

/// Writes how each fastener of a build stands now. A later entry of the same build writes it again, so that rows made
/// at once and rows made in one go at a later start are the same in the end.
fn fasteners(tables: &Connection, build: &Build) -> Result<(), StoreError> {
    let sql =
        "INSERT INTO fastener VALUES (?1, ?2, ?3, ?4, ?5) ON CONFLICT (build, id) DO UPDATE SET
               standing = excluded.standing, passes_done = excluded.passes_done,
               highest_millinewton_metre = excluded.highest_millinewton_metre";
    for id in build.removed.keys() {
        tables
            .prepare_cached("DELETE FROM fastener WHERE build = ?1 AND id = ?2")?
            .execute(params![build.id, id])?;
    }
    let mut statement = tables.prepare_cached(sql)?;
    for (_, fastener) in build.plan.fasteners() {
        let standing = build.standing(&fastener.id).to_string();
        let highest = build.highest(&fastener.id).map(Torque::small_units);
        statement.execute(params![
            build.id,
            fastener.id,
            standing,
            build.passes_done(&fastener.id),
            highest
        ])?;
    }
    Ok(())
}
