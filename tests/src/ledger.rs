//! Reads a ledger's file with SQL alone, and folds builds from it; the daemon and its store have no part in it.

use pullmark_schema::build::Build;
use pullmark_schema::entry::{Entry, Event};
use pullmark_schema::plan;
use rusqlite::{Connection, OpenFlags};
use std::path::Path;

/// A row of the ledger.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The entry's sequence number.
    pub sequence: u64,
    /// Its canonical JSON.
    pub body: Vec<u8>,
    /// Its leaf hash.
    pub leaf: Vec<u8>,
    /// The bytes it names.
    pub attached: Option<Vec<u8>>,
}

impl Row {
    /// What it says.
    pub fn entry(&self) -> Entry {
        serde_json::from_slice(&self.body).expect("a row holds an entry")
    }
}

/// Every row of the ledger of a data folder.
pub fn rows(data: &Path) -> Vec<Row> {
    rows_of(&data.join("ledger.sqlite"))
}

/// Every row of a ledger file.
pub fn rows_of(file: &Path) -> Vec<Row> {
    let ledger = Connection::open_with_flags(file, OpenFlags::SQLITE_OPEN_READ_ONLY)
        .expect("the ledger opens");
    let sql = "SELECT sequence, body, leaf, attached FROM entry ORDER BY sequence";
    let mut query = ledger.prepare(sql).expect("the ledger has its table");
    let rows = query.query_map([], |row| {
        let sequence = u64::try_from(row.get::<_, i64>(0)?).unwrap_or(u64::MAX);
        Ok(Row {
            sequence,
            body: row.get(1)?,
            leaf: row.get(2)?,
            attached: row.get(3)?,
        })
    });
    rows.expect("the ledger answers")
        .collect::<Result<_, _>>()
        .expect("the ledger reads")
}

/// Every entry of the ledger of a data folder.
pub fn entries(data: &Path) -> Vec<Entry> {
    rows(data).iter().map(Row::entry).collect()
}

/// A build as the rows tell it.
pub fn fold(rows: &[Row], build: &str) -> Build {
    let mut folded: Option<Build> = None;
    for row in rows {
        let entry = row.entry();
        match &entry.event {
            Event::BuildStarted { build: name, .. } if name == build => {
                let text = row
                    .attached
                    .clone()
                    .expect("the plan is kept beside the entry");
                let text = String::from_utf8(text).expect("a plan is text");
                let plan = plan::read(&text).plan.expect("a build has a sound plan");
                folded = Build::begin(&entry, plan);
            }
            _ => {
                if let Some(folded) = &mut folded {
                    folded.apply(&entry);
                }
            }
        }
    }
    folded.expect("the build is in the ledger")
}

/// Every cell of every table of the projections, as text.
pub fn projections(data: &Path) -> Vec<String> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY;
    let tables = Connection::open_with_flags(data.join("projections.sqlite"), flags)
        .expect("the tables open");
    let mut names = tables
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")
        .unwrap();
    let names: Vec<String> = names
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    let mut lines = Vec::new();
    for name in names {
        let mut all = tables
            .prepare(&format!("SELECT * FROM {name} ORDER BY 1, 2"))
            .unwrap();
        let columns = all.column_count();
        let mut rows = all.query([]).unwrap();
        while let Some(row) = rows.next().unwrap() {
            let cells: Vec<String> = (0..columns)
                .map(|at| format!("{:?}", row.get_ref(at).unwrap()))
                .collect();
            lines.push(format!("{name}: {}", cells.join(" | ")));
        }
    }
    lines
}

/// Changes a ledger's file behind everybody's back: the triggers that forbid it are taken away first.
pub fn tamper(data: &Path, sql: &str) {
    let ledger = Connection::open(data.join("ledger.sqlite")).expect("the ledger opens");
    let triggers = "SELECT name FROM sqlite_schema WHERE type = 'trigger'";
    let names: Vec<String> = {
        let mut query = ledger.prepare(triggers).unwrap();
        query
            .query_map([], |row| row.get(0))
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap()
    };
    assert!(!names.is_empty(), "the ledger has lost its triggers");
    for name in names {
        ledger
            .execute_batch(&format!("DROP TRIGGER {name}"))
            .unwrap();
    }
    ledger.execute_batch(sql).unwrap();
}
