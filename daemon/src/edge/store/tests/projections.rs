//! The tables for queries: made at once or made anew, they are the same.

use super::super::{PROJECTIONS, Projections, Query, Reader, rebuild};
use crate::testing::{
    BUILD, MARA, PLAN, Running, WRENCH, from_wrench, moves, past_its_range, plans,
};
use proptest::prelude::*;
use pullmark_schema::api::Act;
use rusqlite::Connection;
use std::fs;
use std::path::Path;

fn dump(folder: &Path) -> Vec<String> {
    Projections::open(folder).unwrap().dump().unwrap()
}

/// A short day, closed.
fn day() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let running = Running::with(folder.path(), PLAN);
    for small in [5_000, 3_600, 6_000, 9_000] {
        running.pull(small);
    }
    running.must(Act::Acknowledge {
        alarm: 8,
        by: MARA.to_owned(),
    });
    running.close().unwrap();
    folder
}

/// Breaks the tables of a closed day, and expects the next start to make them as a rebuild does.
#[track_caller]
fn made_anew(break_them: impl FnOnce(&Path)) {
    let folder = day();
    break_them(&folder.path().join(PROJECTIONS));
    let running = Running::open(folder.path());
    let live = running.dump();
    assert_eq!(
        running.query(|tables| tables.next_sequence().unwrap()),
        running.look(|heart| heart.head().0)
    );
    running.close().unwrap();
    rebuild(folder.path()).unwrap();
    assert_eq!(live, dump(folder.path()));
    assert!(
        live.iter()
            .filter(|line| line.starts_with("reading:"))
            .count()
            == 4,
        "{live:#?}"
    );
}

fn execute(path: &Path, sql: &str) {
    Connection::open(path).unwrap().execute_batch(sql).unwrap();
}

#[test]
fn whole_tables_are_gone_on_with() {
    made_anew(|_| ());
}

#[test]
fn dropped_tables_are_made_anew() {
    made_anew(|path| fs::remove_file(path).unwrap());
    made_anew(|path| fs::write(path, "").unwrap());
}

#[test]
fn damaged_tables_are_made_anew() {
    made_anew(|path| fs::write(path, "no database at all".repeat(500)).unwrap());
    // the head is whole and the rest is not
    made_anew(|path| {
        let mut bytes = fs::read(path).unwrap();
        for byte in bytes.iter_mut().skip(4096) {
            *byte ^= 0xA5;
        }
        fs::write(path, bytes).unwrap();
    });
    made_anew(|path| {
        let bytes = fs::read(path).unwrap();
        fs::write(path, &bytes[..bytes.len() / 2]).unwrap();
    });
}

#[test]
fn tables_of_another_version_are_made_anew() {
    made_anew(|path| execute(path, "PRAGMA user_version = 99"));
    made_anew(|path| execute(path, "PRAGMA user_version = -1"));
    made_anew(|path| execute(path, "DROP TABLE reached"));
}

#[test]
fn tables_that_are_ahead_of_the_ledger_are_made_anew() {
    // an older copy of the ledger was put back, and what came after it is no more
    let folder = day();
    let copy = tempfile::tempdir().unwrap();
    Reader::open(folder.path())
        .unwrap()
        .backup(&copy.path().join(super::LEDGER))
        .unwrap();
    let running = Running::open(folder.path());
    for small in [3_600, 3_600, 3_600] {
        running.pull(small);
    }
    running.close().unwrap();
    fs::copy(
        copy.path().join(super::LEDGER),
        folder.path().join(super::LEDGER),
    )
    .unwrap();
    let running = Running::open(folder.path());
    let live = running.dump();
    running.close().unwrap();
    rebuild(folder.path()).unwrap();
    assert_eq!(live, dump(folder.path()));
}

#[test]
fn entries_that_are_in_the_tables_change_nothing() {
    let folder = day();
    let mut bench = crate::core::Bench::default();
    let mut entries = Vec::new();
    let reader = Reader::open(folder.path()).unwrap();
    reader
        .each(0, |stored| {
            let plan = crate::run::plan_of(&reader, &stored.entry)?;
            bench.apply(&stored.entry, plan.as_ref());
            entries.push(stored.entry);
            Ok(())
        })
        .unwrap();
    let before = dump(folder.path());
    let mut tables = Projections::open(folder.path()).unwrap();
    tables.apply(&entries, &bench).unwrap();
    assert_eq!(tables.dump().unwrap(), before);
}

#[test]
fn readings_are_listed_with_where_they_went() {
    let folder = tempfile::tempdir().unwrap();
    let running = Running::with(folder.path(), PLAN);
    running.pull(5_000);
    running.tool(from_wrench(past_its_range()));
    running.must(Act::Place {
        reading: 6,
        fastener: None,
        pass: None,
        by: MARA.to_owned(),
        reason: None,
    });
    let listed = |query: Query| running.query(move |tables| tables.readings(&query).unwrap());
    let rows = listed(Query::default());
    assert_eq!(
        rows.iter().map(|row| row.sequence).collect::<Vec<_>>(),
        [5, 6]
    );
    let first = &rows[0];
    assert_eq!(first.displayed.as_deref(), Some("5.000 N·m"));
    assert_eq!(
        (first.applied_millinewton_metre, first.pass),
        (Some(5_000), Some(0))
    );
    assert_eq!(
        (first.fastener.as_deref(), first.answer.as_deref()),
        (Some("seat.clamp"), Some("within"))
    );
    assert_eq!((first.placed.as_str(), first.alarm), ("by order", false));
    let second = &rows[1];
    assert_eq!(
        (
            second.displayed.as_deref(),
            second.applied_millinewton_metre
        ),
        (None, None)
    );
    assert_eq!(
        (second.placed.as_str(), second.alarm),
        ("nowhere", true),
        "placed nowhere, and the alarm stays"
    );
    assert_eq!(
        listed(Query {
            most: Some(1),
            ..Query::default()
        }),
        rows[1..],
        "the newest"
    );
    assert_eq!(
        listed(Query {
            tool: Some(WRENCH.to_owned()),
            build: Some(BUILD.to_owned()),
            most: None
        }),
        rows
    );
    assert!(
        listed(Query {
            tool: Some("w2".to_owned()),
            ..Query::default()
        })
        .is_empty()
    );
    assert!(
        listed(Query {
            build: Some("b' OR 1=1 --".to_owned()),
            ..Query::default()
        })
        .is_empty()
    );
    running.close().unwrap();
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, max_shrink_iters: 64, ..ProptestConfig::with_cases(8) })]

    #[test]
    fn a_rebuild_gives_the_same_rows_for_any_day(plan in plans(), history in moves(40)) {
        let folder = tempfile::tempdir().unwrap();
        let running = Running::with(folder.path(), &plan);
        for step in &history {
            running.make(step);
        }
        let live = running.dump();
        let head = running.look(crate::run::Heart::head);
        running.close().unwrap();
        prop_assert_eq!(&live, &dump(folder.path()));
        prop_assert_eq!(rebuild(folder.path()).unwrap(), head.0);
        prop_assert_eq!(&live, &dump(folder.path()));
        let checked = super::check(folder.path()).unwrap();
        prop_assert_eq!((checked.entries, checked.root), head);
    }
}
