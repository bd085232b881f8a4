//! The loop: what was acknowledged is on disk, what is not on disk is shown to nobody.

use super::{Heart, Message, RunError, Settings, clock_moved};
use crate::core::Refusal;
use crate::edge::clock::Clock;
use crate::edge::keys::{FILE, FOLDER, KeyError};
use crate::edge::store::{Reader, StoreError, check, rebuild};
use crate::testing::{
    BUILD, MARA, PLAN, WRENCH, from_wrench, moment, settings, shows, start_build, wait, wrench,
};
use pullmark_schema::api::{Act, Done};
use pullmark_schema::entry::{Entry, Event, Now};
use pullmark_schema::record;
use std::fs;
use std::path::Path;
use std::sync::mpsc::channel;
use tokio::sync::broadcast::error::TryRecvError;
use tokio::sync::mpsc::unbounded_channel;
use tokio::sync::oneshot;

fn must(heart: &mut Heart, act: Act) -> Done {
    let (answer, mut answered) = oneshot::channel();
    wait(heart.act(act, None, answer)).unwrap();
    answered.try_recv().unwrap().unwrap()
}

fn with_build(folder: &Path) -> Heart {
    let mut heart = Heart::open(settings(folder)).unwrap();
    must(
        &mut heart,
        Act::AddTool {
            by: None,
            tool: Box::new(wrench(WRENCH)),
        },
    );
    must(&mut heart, start_build(BUILD, PLAN));
    heart
}

fn bodies(folder: &Path) -> Vec<(u64, Vec<u8>)> {
    Reader::open(folder)
        .unwrap()
        .bodies_after(None, u32::MAX)
        .unwrap()
}

fn finish(heart: &mut Heart) {
    let open: Vec<String> = heart.bench.builds[BUILD]
        .plan
        .fasteners()
        .map(|(_, f)| f.id.clone())
        .collect();
    for fastener in open {
        let (build, by, reason) = (
            BUILD.to_owned(),
            MARA.to_owned(),
            "comes next week".to_owned(),
        );
        must(
            heart,
            Act::Defer {
                build,
                fastener,
                by,
                reason,
                waits_for: None,
            },
        );
    }
    must(
        heart,
        Act::Finish {
            build: BUILD.to_owned(),
            by: MARA.to_owned(),
            sure: None,
        },
    );
}

#[test]
fn a_clock_that_was_moved_is_seen() {
    let at = |wall_ms: i64, since_boot_ms: u64| Now {
        wall: moment(0).wall + chrono::TimeDelta::milliseconds(wall_ms),
        since_boot_ms,
    };
    let last = at(0, 10_000);
    for (now, moved) in [
        (at(0, 10_000), None),
        (at(5_000, 15_000), None),
        (at(86_400_000, 86_410_000), None),
        (at(7_000, 15_000), None),
        (at(7_001, 15_000), Some(2_001)),
        (at(3_000, 15_000), None),
        (at(2_999, 15_000), Some(-2_001)),
        (at(3_605_000, 15_000), Some(3_600_000)),
        (at(-3_595_000, 15_000), Some(-3_600_000)),
    ] {
        assert_eq!(clock_moved(last, now), moved, "{now:?}");
    }
}

#[test]
fn a_change_of_the_time_zone_moves_no_clock() {
    let last = moment(10_000);
    let mut now = moment(15_000);
    now.wall = now
        .wall
        .with_timezone(&chrono::FixedOffset::east_opt(0).unwrap());
    assert_eq!(clock_moved(last, now), None);
}

#[test]
fn a_moved_clock_is_an_entry_of_its_own() {
    let folder = tempfile::tempdir().unwrap();
    let mut heart = with_build(folder.path());
    let mut last = heart.clock.now();
    last.wall -= chrono::TimeDelta::hours(1);
    heart.last_now = Some(last);
    let (sequence, _) = heart.head();
    wait(heart.tool(from_wrench(shows(5_000)))).unwrap();
    let kinds: Vec<String> = bodies(folder.path())
        .into_iter()
        .filter(|(number, _)| *number >= sequence)
        .map(|(_, body)| {
            serde_json::from_slice::<Entry>(&body)
                .unwrap()
                .event
                .kind()
                .to_owned()
        })
        .collect();
    assert_eq!(kinds, ["clock-changed", "pulled"]);
}

#[test]
fn practice_is_marked_for_good() {
    let folder = tempfile::tempdir().unwrap();
    let practice = Settings {
        clock: Clock::practice(60),
        ..settings(folder.path())
    };
    let heart = Heart::open(practice).unwrap();
    assert!(heart.bench.practice);
    let first: Entry = serde_json::from_slice(&bodies(folder.path())[0].1).unwrap();
    assert!(matches!(
        first.event,
        Event::Started {
            practice_speed: Some(60),
            ..
        }
    ));
    drop(heart);
    let mut heart = with_build(folder.path());
    assert!(
        heart.bench.practice,
        "a ledger that saw practice stays marked"
    );
    finish(&mut heart);
    let sealed = must(
        &mut heart,
        Act::Seal {
            build: BUILD.to_owned(),
            by: MARA.to_owned(),
        },
    );
    let bytes = Reader::open(folder.path())
        .unwrap()
        .attached(sealed.entries[0])
        .unwrap()
        .unwrap();
    assert!(record::verify(&bytes).unwrap().record.subject.practice);
    let other = tempfile::tempdir().unwrap();
    assert!(!with_build(other.path()).bench.practice);
}

/// The power goes right after the seal, or between the two heads that follow it.
#[test]
fn heads_that_are_missing_after_a_seal_are_signed_when_the_bench_comes_up() {
    for heads in 0..=2 {
        let folder = tempfile::tempdir().unwrap();
        let mut heart = with_build(folder.path());
        finish(&mut heart);
        let now = heart.tick().unwrap();
        let sealed = heart.seal(BUILD, MARA.to_owned(), None, now).unwrap();
        heart.commit(sealed, now).unwrap();
        let record = heart.bench.head.as_ref().unwrap().sealed_since;
        for names in [record, None].into_iter().take(heads) {
            heart.sign_present_head(names).unwrap();
        }
        drop(heart);
        drop(Heart::open(settings(folder.path())).unwrap());
        let named: Vec<bool> = bodies(folder.path())
            .iter()
            .filter_map(
                |(_, body)| match serde_json::from_slice::<Entry>(body).unwrap().event {
                    Event::HeadSigned(head) => Some(head.record.is_some()),
                    _ => None,
                },
            )
            .collect();
        assert_eq!(named, [true, false], "{heads} heads before");
        check(folder.path()).unwrap();
    }
}

#[test]
fn a_practice_clock_runs_faster() {
    let clock = Clock::practice(10_000);
    let (before, start) = (clock.now(), std::time::Instant::now());
    while clock.now().since_boot_ms < before.since_boot_ms + 60_000 {
        assert!(
            start.elapsed().as_secs() < 10,
            "a minute of practice takes some milliseconds"
        );
        std::thread::yield_now();
    }
    let after = clock.now();
    assert_eq!(
        clock_moved(before, after),
        None,
        "both of its clocks run alike"
    );
    assert_eq!(
        (clock.practice_speed(), Clock::system().practice_speed()),
        (Some(10_000), None)
    );
}

#[test]
fn the_bench_signs_with_its_own_key_alone() {
    let folder = tempfile::tempdir().unwrap();
    drop(with_build(folder.path()));
    let path = folder.path().join(FOLDER).join(FILE);
    let own = fs::read(&path).unwrap();
    let before = bodies(folder.path());
    let open = || Heart::open(settings(folder.path()));

    fs::write(&path, "cd".repeat(32)).unwrap();
    assert!(matches!(open(), Err(RunError::Key(KeyError::Other))));
    fs::write(&path, "no key").unwrap();
    assert!(matches!(
        open(),
        Err(RunError::Key(KeyError::Damaged { .. }))
    ));
    fs::remove_file(&path).unwrap();
    assert!(matches!(
        open(),
        Err(RunError::Key(KeyError::Missing { .. }))
    ));
    assert!(!path.exists(), "no new key is made");
    assert_eq!(bodies(folder.path()), before, "nothing was written");

    fs::write(&path, &own).unwrap();
    assert!(
        matches!(open(), Err(RunError::Key(KeyError::Open { .. }))),
        "a file made anew can be read by others"
    );
    {
        use std::os::unix::fs::PermissionsExt as _;
        fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
    }
    let heart = open().unwrap();
    assert_eq!(
        heart.bench.key_history.len(),
        1,
        "a start with the same key adds none"
    );
}

#[test]
fn what_is_refused_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut heart = with_build(folder.path());
    let head = heart.head();
    let mut listener = heart.listen();
    let (answer, mut answered) = oneshot::channel();
    wait(heart.act(start_build(BUILD, PLAN), None, answer)).unwrap();
    assert_eq!(
        answered.try_recv().unwrap(),
        Err(Refusal::BuildTaken(BUILD.to_owned()))
    );
    assert_eq!(heart.head(), head);
    assert!(matches!(listener.try_recv(), Err(TryRecvError::Empty)));
}

#[test]
fn what_is_heard_is_what_is_on_disk() {
    let folder = tempfile::tempdir().unwrap();
    let mut heart = with_build(folder.path());
    let mut listener = heart.listen();
    wait(heart.tool(from_wrench(shows(5_000)))).unwrap();
    let entry = listener.try_recv().unwrap();
    assert_eq!((entry.sequence, entry.kind), (5, "pulled"));
    assert_eq!(
        bodies(folder.path()).pop().unwrap(),
        (5, entry.body.clone())
    );
    assert!(matches!(listener.try_recv(), Err(TryRecvError::Empty)));
    assert!(
        heart.projections.next_sequence().unwrap() < 6,
        "the tables come last"
    );
    heart.project().unwrap();
    assert_eq!(heart.projections.next_sequence().unwrap(), 6);
}

#[test]
fn tables_that_were_not_written_any_more_are_caught_up() {
    let folder = tempfile::tempdir().unwrap();
    let mut heart = with_build(folder.path());
    for small in [5_000, 3_600, 9_000] {
        wait(heart.tool(from_wrench(shows(small)))).unwrap();
    }
    assert!(heart.projections.next_sequence().unwrap() < 7);
    // as after a crash: what waited for the tables is gone with the memory
    drop(heart);
    let heart = Heart::open(settings(folder.path())).unwrap();
    assert_eq!(heart.projections.next_sequence().unwrap(), heart.head().0);
    let caught_up = heart.projections.dump().unwrap();
    drop(heart);
    rebuild(folder.path()).unwrap();
    assert_eq!(
        crate::edge::store::Projections::open(folder.path())
            .unwrap()
            .dump()
            .unwrap(),
        caught_up
    );
}

/// Makes the ledger refuse an entry by a trigger of a connection beside the daemon's.
fn refuse(folder: &Path, sequence: u64, how: &str) {
    let sql = format!(
        "CREATE TRIGGER broken BEFORE INSERT ON entry WHEN NEW.sequence = {sequence}
         BEGIN SELECT RAISE({how}, 'the disk is broken'); END"
    );
    rusqlite::Connection::open(folder.join("ledger.sqlite"))
        .unwrap()
        .execute_batch(&sql)
        .unwrap();
}

/// A plan that needs some hundred pages more.
fn large_plan() -> String {
    format!("{PLAN}\n# {}", "x".repeat(900_000))
}

fn tighten(heart: &Heart) {
    let connection = heart.ledger.connection();
    let pages: i64 = connection
        .pragma_query_value(None, "page_count", |row| row.get(0))
        .unwrap();
    let set: i64 = connection
        .query_row(
            &format!("PRAGMA max_page_count = {}", pages + 1),
            [],
            |row| row.get(0),
        )
        .unwrap();
    assert_eq!(set, pages + 1);
}

fn forbid(heart: &Heart) {
    let connection = heart.ledger.connection();
    connection.pragma_update(None, "query_only", true).unwrap();
}

/// Something that makes the next commit of a bench in a folder fail.
type Break = Box<dyn Fn(&Heart, &Path)>;

#[test]
fn a_commit_that_fails_ends_the_loop_and_is_shown_to_nobody() {
    // The second build has two entries, 5 and 6: the build and its tool.
    let refused_at = |sequence: u64, how: &'static str| -> Break {
        Box::new(move |_, folder| refuse(folder, sequence, how))
    };
    let table: [(&str, Break); 6] = [
        ("the first of two entries", refused_at(5, "ABORT")),
        ("the second of two entries", refused_at(6, "ABORT")),
        ("the second, the first half done", refused_at(6, "FAIL")),
        ("the second, all undone", refused_at(6, "ROLLBACK")),
        ("the disk is full", Box::new(|heart, _| tighten(heart))),
        (
            "the file may only be read",
            Box::new(|heart, _| forbid(heart)),
        ),
    ];
    for (what, break_it) in table {
        let folder = tempfile::tempdir().unwrap();
        let heart = with_build(folder.path());
        let before = bodies(folder.path());
        assert_eq!(before.len(), 5);
        break_it(&heart, folder.path());
        let mut listener = heart.listen();
        let (messages, receiver) = unbounded_channel();
        let (answer, mut answered) = oneshot::channel();
        let (later, mut never) = oneshot::channel();
        let point = Act::PointAt {
            build: BUILD.to_owned(),
            fastener: "crank.left".to_owned(),
            by: MARA.to_owned(),
        };
        messages
            .send(Message::Act(
                Box::new(start_build("second", &large_plan())),
                answer,
            ))
            .unwrap();
        messages.send(Message::Act(Box::new(point), later)).unwrap();
        let ended = wait(heart.run(receiver));
        assert!(
            matches!(ended, Err(RunError::Store(StoreError::Database(_)))),
            "{what}: {ended:?}"
        );
        drop(messages);
        assert!(
            matches!(
                answered.try_recv(),
                Err(oneshot::error::TryRecvError::Closed)
            ),
            "{what}: it was acknowledged"
        );
        assert!(
            matches!(never.try_recv(), Err(oneshot::error::TryRecvError::Closed)),
            "{what}: the loop went on"
        );
        assert!(
            matches!(listener.try_recv(), Err(TryRecvError::Closed)),
            "{what}: it was shown"
        );

        assert_eq!(bodies(folder.path()), before, "{what}: all or nothing");
        rusqlite::Connection::open(folder.path().join("ledger.sqlite"))
            .unwrap()
            .execute_batch("DROP TRIGGER IF EXISTS broken")
            .unwrap();
        let mut heart = Heart::open(settings(folder.path())).unwrap();
        assert_eq!(bodies(folder.path())[..5], before, "{what}");
        assert!(!heart.bench.builds.contains_key("second"));
        must(&mut heart, start_build("second", PLAN));
        drop(heart);
        assert_eq!(check(folder.path()).unwrap().entries, 8, "{what}");
    }
}

#[test]
fn a_reading_that_cannot_be_written_ends_the_loop_too() {
    let folder = tempfile::tempdir().unwrap();
    let heart = with_build(folder.path());
    let mut listener = heart.listen();
    refuse(folder.path(), 6, "ABORT");
    let (messages, receiver) = unbounded_channel();
    let (looked, seen) = channel();
    messages
        .send(Message::Tool(from_wrench(shows(5_000))))
        .unwrap();
    messages
        .send(Message::Tool(from_wrench(shows(3_600))))
        .unwrap();
    let look = Box::new(move |heart: &Heart| looked.send(heart.bench.next_sequence).unwrap());
    messages.send(Message::Look(look)).unwrap();
    assert!(matches!(wait(heart.run(receiver)), Err(RunError::Store(_))));
    assert_eq!(
        listener.try_recv().unwrap().sequence,
        5,
        "the first is on disk and was shown"
    );
    assert!(matches!(listener.try_recv(), Err(TryRecvError::Closed)));
    assert!(
        seen.recv().is_err(),
        "nobody looks at a bench that can no longer be trusted"
    );
    assert_eq!(bodies(folder.path()).len(), 6);
}

#[test]
fn the_loop_ends_when_it_is_told_to() {
    let folder = tempfile::tempdir().unwrap();
    let heart = with_build(folder.path());
    let (messages, receiver) = unbounded_channel();
    messages
        .send(Message::Tool(from_wrench(shows(5_000))))
        .unwrap();
    messages.send(Message::Stop).unwrap();
    messages
        .send(Message::Tool(from_wrench(shows(5_000))))
        .unwrap();
    wait(heart.run(receiver)).unwrap();
    assert_eq!(
        bodies(folder.path()).len(),
        6,
        "what came before is written, what comes after is not"
    );
}
