//! The ledger on disk: what is written stays, and whoever changes it is found out.

mod projections;

use super::{CheckError, LEDGER, Ledger, Lock, PROJECTIONS, Prepared, Reader, StoreError, check};
use crate::run::{Heart, RunError};
use crate::testing::{BUILD, MARA, PLAN, Running, settings};
use pullmark_schema::api::Act;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Entry, Event};
use pullmark_schema::tree::leaf_hash;
use rusqlite::Connection;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// The entries of [`day`], in their order.
const STARTED: i64 = 0;
const BUILD_STARTED: i64 = 3;
const FIRST_PULL: i64 = 5;

/// A ledger with a build that was finished and sealed, closed; and how many entries it has.
fn day() -> (TempDir, u64) {
    let folder = tempfile::tempdir().unwrap();
    let running = Running::with(folder.path(), PLAN);
    running.pull(5_000);
    let rest: Vec<String> = running.look(|heart| {
        heart.bench.builds[BUILD]
            .plan
            .fasteners()
            .skip(1)
            .map(|(_, f)| f.id.clone())
            .collect()
    });
    for fastener in rest {
        let (build, by, reason) = (
            BUILD.to_owned(),
            MARA.to_owned(),
            "comes next week".to_owned(),
        );
        running.must(Act::Defer {
            build,
            fastener,
            by,
            reason,
            waits_for: None,
        });
    }
    running.must(Act::Finish {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        sure: Some("counted twice".to_owned()),
    });
    running.must(Act::Seal {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
    });
    let size = running.look(|heart| heart.head().0);
    running.close().unwrap();
    (folder, size)
}

/// A connection that knows nothing of ledgers.
fn raw(folder: &Path) -> Connection {
    Connection::open(folder.join(LEDGER)).unwrap()
}

/// Does what the triggers refuse.
fn meddle(folder: &Path, sql: &str) {
    let connection = raw(folder);
    let triggers = "DROP TRIGGER entry_is_never_changed; DROP TRIGGER entry_is_never_deleted; DROP TRIGGER entry_comes_next;";
    connection.execute_batch(triggers).unwrap();
    assert!(
        connection.execute(sql, []).unwrap() > 0,
        "{sql} changed nothing"
    );
}

fn all(folder: &Path) -> Vec<(u64, Vec<u8>)> {
    Reader::open(folder)
        .unwrap()
        .bodies_after(None, u32::MAX)
        .unwrap()
}

fn open(folder: &Path) -> Result<Heart, RunError> {
    Heart::open(settings(folder))
}

/// Every file of a folder with its bytes.
fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .map(|path| {
            (
                path.file_name().unwrap().to_string_lossy().into_owned(),
                // The keys lie in a folder of their own.
                fs::read(&path).unwrap_or_default(),
            )
        })
        .collect();
    files.sort();
    files
}

#[test]
fn what_is_written_is_read_again() {
    let (folder, size) = day();
    let before = all(folder.path());
    assert_eq!(before.len() as u64, size);
    let checked = check(folder.path()).unwrap();
    assert_eq!((checked.entries, checked.checkpoints), (size, 3));
    assert_eq!(
        checked.attachments, 3,
        "the plan, the bytes of the pull, the record"
    );
    let mut told = Vec::new();
    let ledger = Ledger::open(folder.path(), |stored| {
        told.push((stored.entry.sequence, stored.body));
        Ok(())
    });
    let ledger = ledger.unwrap();
    assert_eq!((ledger.size(), ledger.root()), (size, checked.root));
    assert_eq!(told, before);
    drop(ledger);
    // a new start adds its own entry and nothing else
    let heart = open(folder.path()).unwrap();
    assert_eq!(heart.head().0, size + 1);
    assert_eq!(all(folder.path())[..before.len()], before);
}

#[test]
fn the_same_bench_comes_out_of_the_same_entries() {
    let folder = tempfile::tempdir().unwrap();
    let running = Running::with(folder.path(), PLAN);
    for small in [5_000, 3_600, 6_000, 9_000] {
        running.pull(small);
    }
    let mut before = running.look(|heart| heart.bench.clone());
    running.close().unwrap();
    let after = open(folder.path()).unwrap().bench;
    assert_eq!(after.next_sequence, before.next_sequence + 1);
    before.next_sequence += 1;
    before.last_now = after.last_now;
    assert_eq!(after, before);
}

#[test]
fn an_entry_is_never_changed_nor_deleted() {
    let (folder, _) = day();
    let before = all(folder.path());
    let connection = raw(folder.path());
    for sql in [
        "UPDATE entry SET body = x'00' WHERE sequence = 0",
        "UPDATE OR REPLACE entry SET sequence = 1 WHERE sequence = 0",
        "UPDATE entry SET attached = NULL",
        "DELETE FROM entry WHERE sequence = 0",
        "DELETE FROM entry",
        "INSERT OR REPLACE INTO entry SELECT 0, body, leaf, attached FROM entry WHERE sequence = 1",
        "INSERT INTO entry SELECT 1000, body, leaf, attached FROM entry WHERE sequence = 1",
        "INSERT INTO entry SELECT NULL, body, leaf, attached FROM entry WHERE sequence = 1",
        "INSERT INTO entry SELECT -1, body, leaf, attached FROM entry WHERE sequence = 1",
    ] {
        let error = connection.execute(sql, []).unwrap_err();
        assert!(
            error.to_string().contains("a ledger entry"),
            "{sql}: {error}"
        );
    }
    assert_eq!(all(folder.path()), before);
}

#[test]
fn the_writer_takes_only_what_comes_next() {
    let (folder, size) = day();
    let mut ledger = Ledger::open(folder.path(), |_| Ok(())).unwrap();
    let root = ledger.root();
    let entry = |sequence| Prepared {
        sequence,
        body: b"{}".to_vec(),
        leaf: leaf_hash(b"{}"),
        attached: None,
    };
    assert!(ledger.append(&[entry(size + 1)]).is_err());
    assert!(ledger.append(&[entry(size), entry(size)]).is_err());
    assert_eq!((ledger.size(), ledger.root()), (size, root));
    assert_eq!(all(folder.path()).len() as u64, size, "all or none");
}

/// Flips a bit of a column's byte in the middle, or of its first one.
fn flip(folder: &Path, column: &str, sequence: i64) {
    let connection = raw(folder);
    let sql = format!("SELECT {column} FROM entry WHERE sequence = ?1");
    let mut bytes: Vec<u8> = connection
        .query_row(&sql, [sequence], |row| row.get(0))
        .unwrap();
    drop(connection);
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    meddle(
        folder,
        &format!(
            "UPDATE entry SET {column} = x'{}' WHERE sequence = {sequence}",
            hex::encode(bytes)
        ),
    );
}

#[test]
fn a_changed_byte_is_found_and_its_entry_named() {
    for (column, sequence) in [
        ("body", STARTED),
        ("body", FIRST_PULL),
        ("leaf", STARTED),
        ("leaf", FIRST_PULL),
    ] {
        let (folder, _) = day();
        flip(folder.path(), column, sequence);
        let wanted = format!("entry {sequence}");
        let error = check(folder.path()).unwrap_err();
        assert!(
            matches!(&error, CheckError::Store(StoreError::Damaged { .. })),
            "{column} {sequence}: {error}"
        );
        assert!(error.to_string().contains(&wanted), "{error}");
        let error = open(folder.path()).unwrap_err();
        assert!(
            matches!(&error, RunError::Store(StoreError::Damaged { .. })),
            "{column} {sequence}: {error}"
        );
        assert!(error.to_string().contains(&wanted), "{error}");
    }
}

#[test]
fn changed_bytes_beside_an_entry_are_found_and_the_entry_named() {
    let (_, size) = day();
    let sealed = i64::try_from(size).unwrap() - 3;
    for sequence in [BUILD_STARTED, FIRST_PULL, sealed] {
        let (folder, _) = day();
        flip(folder.path(), "attached", sequence);
        let error = check(folder.path()).unwrap_err();
        assert!(
            matches!(error, CheckError::Attachment(found) if i64::try_from(found) == Ok(sequence)),
            "{error}"
        );
        assert!(error.to_string().contains(&format!("entry {sequence}")));
        let (folder, _) = day();
        meddle(
            folder.path(),
            &format!("UPDATE entry SET attached = NULL WHERE sequence = {sequence}"),
        );
        assert!(matches!(
            check(folder.path()),
            Err(CheckError::Attachment(_))
        ));
    }
}

#[test]
fn a_changed_plan_opens_no_bench() {
    // a space more is still a plan, and not the one that the build was begun with
    for sql in [
        "UPDATE entry SET attached = CAST(attached || x'20' AS BLOB) WHERE sequence = 3",
        "UPDATE entry SET attached = x'5B' WHERE sequence = 3",
        "UPDATE entry SET attached = NULL WHERE sequence = 3",
    ] {
        let (folder, _) = day();
        meddle(folder.path(), sql);
        let error = open(folder.path()).unwrap_err();
        assert!(
            matches!(
                &error,
                RunError::Store(StoreError::Damaged { sequence: 3, .. })
            ),
            "{sql}: {error}"
        );
    }
}

#[test]
fn a_missing_or_moved_entry_is_found() {
    let (folder, _) = day();
    meddle(folder.path(), "DELETE FROM entry WHERE sequence = 3");
    assert!(matches!(
        check(folder.path()),
        Err(CheckError::Store(StoreError::Damaged { sequence: 3, .. }))
    ));
    assert!(matches!(
        open(folder.path()),
        Err(RunError::Store(StoreError::Damaged { sequence: 3, .. }))
    ));
    let (folder, _) = day();
    meddle(
        folder.path(),
        "UPDATE entry SET sequence = CASE sequence WHEN 3 THEN -3 WHEN 4 THEN 3 END WHERE sequence IN (3, 4)",
    );
    raw(folder.path())
        .execute("UPDATE entry SET sequence = 4 WHERE sequence = -3", [])
        .unwrap();
    assert!(matches!(
        check(folder.path()),
        Err(CheckError::Store(StoreError::Damaged { sequence: 3, .. }))
    ));
    assert!(matches!(
        open(folder.path()),
        Err(RunError::Store(StoreError::Damaged { sequence: 3, .. }))
    ));
}

/// Puts another body in the last entry's place, with a leaf hash that fits.
fn forge_last(folder: &Path, change: impl FnOnce(Entry) -> Vec<u8>) -> u64 {
    let (sequence, body) = all(folder).pop().unwrap();
    let body = change(serde_json::from_slice(&body).unwrap());
    let (leaf, body) = (leaf_hash(&body).to_string(), hex::encode(body));
    meddle(
        folder,
        &format!("UPDATE entry SET body = x'{body}', leaf = x'{leaf}' WHERE sequence = {sequence}"),
    );
    sequence
}

fn canonical(entry: &Entry) -> Vec<u8> {
    pullmark_schema::canonical::to_canonical_of(entry).unwrap()
}

#[test]
fn an_entry_in_another_form_is_found() {
    let (folder, _) = day();
    let last = forge_last(folder.path(), |entry| {
        [canonical(&entry), b" ".to_vec()].concat()
    });
    assert!(matches!(check(folder.path()), Err(CheckError::Form(found)) if found == last));
}

#[test]
fn a_tree_head_that_does_not_fit_is_found() {
    let (other, _) = day();
    let foreign = match serde_json::from_slice::<Entry>(&all(other.path()).pop().unwrap().1)
        .unwrap()
        .event
    {
        Event::HeadSigned(head) => head.checkpoint,
        event => panic!("{event:?}"),
    };
    let (folder, _) = day();
    let last = forge_last(folder.path(), |mut entry| {
        let Event::HeadSigned(head) = &mut entry.event else {
            panic!("no head")
        };
        head.checkpoint.clone_from(&foreign);
        canonical(&entry)
    });
    assert!(matches!(check(folder.path()), Err(CheckError::Checkpoint(found)) if found == last));
}

#[test]
fn an_entry_that_names_another_before_it_is_found() {
    let (folder, _) = day();
    let last = forge_last(folder.path(), |mut entry| {
        entry.previous = Digest32::of(b"another");
        canonical(&entry)
    });
    let error = check(folder.path()).unwrap_err();
    assert!(
        matches!(&error, CheckError::Store(StoreError::Damaged { sequence, .. }) if *sequence == last),
        "{error}"
    );
}

#[test]
fn a_newer_ledger_is_refused_and_nothing_is_changed() {
    let (folder, _) = day();
    raw(folder.path())
        .pragma_update(None, "user_version", 99)
        .unwrap();
    let tables = Connection::open(folder.path().join(PROJECTIONS)).unwrap();
    tables.pragma_update(None, "user_version", 77).unwrap();
    drop(tables);
    let before = files(folder.path());
    let error = open(folder.path()).unwrap_err();
    assert!(
        matches!(
            &error,
            RunError::Store(StoreError::Newer {
                found: 99,
                known: 1,
                ..
            })
        ),
        "{error}"
    );
    assert!(
        error.to_string().contains("use a newer Pullmark"),
        "{error}"
    );
    let names = |files: &[(String, Vec<u8>)]| {
        files
            .iter()
            .map(|(name, _)| name.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(names(&files(folder.path())), names(&before));
    assert!(
        files(folder.path()) == before,
        "the bytes of some file were changed"
    );
}

#[test]
fn a_file_of_another_program_is_refused_and_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    raw(folder.path())
        .execute_batch("CREATE TABLE recipe (name TEXT); INSERT INTO recipe VALUES ('soup');")
        .unwrap();
    let before = files(folder.path());
    let error = Ledger::open(folder.path(), |_| Ok(())).unwrap_err();
    assert!(matches!(error, StoreError::NotALedger { .. }), "{error}");
    assert!(matches!(
        Reader::open(folder.path()),
        Err(StoreError::NotALedger { .. })
    ));
    assert!(files(folder.path()) == before);

    let folder = tempfile::tempdir().unwrap();
    raw(folder.path())
        .pragma_update(None, "application_id", 7)
        .unwrap();
    assert!(matches!(
        Ledger::open(folder.path(), |_| Ok(())),
        Err(StoreError::NotALedger { .. })
    ));

    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join(LEDGER),
        "a shopping list, and no database at all\n".repeat(40),
    )
    .unwrap();
    let before = files(folder.path());
    let error = Ledger::open(folder.path(), |_| Ok(())).unwrap_err();
    assert!(matches!(error, StoreError::NotALedger { .. }), "{error}");
    assert!(files(folder.path()) == before);
}

#[test]
fn a_folder_serves_one_daemon() {
    let folder = tempfile::tempdir().unwrap();
    let running = Running::open(folder.path());
    let error = open(folder.path()).unwrap_err();
    assert!(
        matches!(&error, RunError::Store(StoreError::Locked { .. })),
        "{error}"
    );
    assert!(
        error.to_string().contains("another daemon is running"),
        "{error}"
    );
    running.close().unwrap();
    drop(open(folder.path()).unwrap());
    assert!(Lock::take(folder.path()).is_ok());
}

#[test]
fn a_folder_that_cannot_be_written_is_a_clear_error() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().unwrap();
    let path = if rustix::process::geteuid().is_root() {
        println!(
            "run by root, who may write everywhere: a folder below a regular file is tried instead"
        );
        let file = folder.path().join("file");
        fs::write(&file, "").unwrap();
        file.join("data")
    } else {
        fs::set_permissions(folder.path(), fs::Permissions::from_mode(0o500)).unwrap();
        folder.path().join("data")
    };
    let error = open(&path).unwrap_err();
    assert!(
        matches!(&error, RunError::Store(StoreError::Folder { .. })),
        "{error}"
    );
    assert!(
        error.to_string().contains(&path.display().to_string()),
        "{error}"
    );
}

#[test]
fn a_backup_of_a_ledger_in_use_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let running = Running::with(folder.path(), PLAN);
    running.pull(5_000);
    let copy = tempfile::tempdir().unwrap();
    // the pull is on disk before a later act is answered
    running.must(Act::PointAt {
        build: BUILD.to_owned(),
        fastener: "stem.1".to_owned(),
        by: MARA.to_owned(),
    });
    Reader::open(folder.path())
        .unwrap()
        .backup(&copy.path().join(LEDGER))
        .unwrap();
    let checked = check(copy.path()).unwrap();
    assert_eq!(checked, check(folder.path()).unwrap());
    running.pull(5_000);
    running.close().unwrap();
    assert_eq!(
        all(copy.path())[..],
        all(folder.path())[..all(copy.path()).len()]
    );
    // with the key beside it, it is a bench again
    fs::copy(
        folder.path().join("keys/bench.key"),
        copy.path().join("bench.key"),
    )
    .unwrap();
    assert_eq!(open(copy.path()).unwrap().head().0, checked.entries + 1);
}

#[test]
fn the_bytes_beside_an_entry_are_given_out() {
    let (folder, size) = day();
    let reader = Reader::open(folder.path()).unwrap();
    assert_eq!(
        reader.attached(3).unwrap().as_deref(),
        Some(PLAN.as_bytes())
    );
    assert_eq!(reader.attached(0).unwrap(), None);
    assert_eq!(reader.attached(u64::MAX).unwrap(), None);
    let numbers = |after, most| -> Vec<u64> {
        reader
            .bodies_after(after, most)
            .unwrap()
            .into_iter()
            .map(|(sequence, _)| sequence)
            .collect()
    };
    assert_eq!(numbers(None, 3), [0, 1, 2]);
    assert_eq!(numbers(Some(1), 2), [2, 3]);
    assert!(numbers(Some(size - 1), 5).is_empty() && numbers(Some(u64::MAX), 5).is_empty());
}

/// The short way and the long way to read an entry say the same, of whole entries and of changed ones.
#[test]
fn the_short_way_to_read_an_entry_says_what_the_long_way_says() {
    use super::form::{read, read_any};
    let (folder, _) = day();
    let mut pulled = 0;
    for (_, body) in all(folder.path()) {
        let look = read(&body).unwrap();
        assert!(look.is_canonical);
        assert_eq!(look, read_any(&body).unwrap());
        if look.event.is_some() {
            continue;
        }
        pulled += 1;
        let mut changes: Vec<Vec<u8>> = (0..body.len())
            .flat_map(|at| {
                [b' ', b'0', b'"', b'}'].map(|other| {
                    let mut changed = body.clone();
                    changed[at] = other;
                    changed
                })
            })
            .collect();
        changes.extend((0..body.len()).map(|at| {
            let mut longer = body.clone();
            longer.insert(at, b' ');
            longer
        }));
        for changed in changes {
            match (read(&changed), read_any(&changed)) {
                (Ok(short), Ok(long)) => assert_eq!(short, long),
                (Err(_), Err(_)) => {}
                (short, long) => {
                    panic!("{}: {short:?}, {long:?}", String::from_utf8_lossy(&changed))
                }
            }
        }
    }
    assert!(pulled > 0);
}
