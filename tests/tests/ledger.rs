//! The ledger seen from outside: the bytes that went in are in it, its tables can be made anew, its copy is whole.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::Act;
use pullmark_schema::entry::{Decision, Event, Unreadable};
use pullmark_schema::reading::Origin;
use pullmark_tests::{MECHANIC, Stand, ledger, plans, stand};
use rusqlite::Connection;
use std::fs;

/// A day with everything in it that makes rows: passes, a value that is held, a correction, an over reading, a
/// loosened fastener, a resend, noise, an unplugged wrench, a restart of the daemon.
fn eventful_day() -> Stand {
    let mut day = Stand::begin(plans::SMALL);
    let first = day.look().next.unwrap();
    day.do_next(&first);
    day.wrench_sends(|wrench| wrench.resend_last().unwrap().bytes);
    day.events.wait_for_kind("unreadable");
    day.wrench_sends(|wrench| wrench.noise_line().unwrap().bytes);
    day.events.wait_for_kind("unreadable");
    let second = day.look().next.unwrap();
    let entry = day.do_next(&second);
    let (reading, by) = (entry.sequence, MECHANIC.to_owned());
    let reason = Some("test pull".to_owned());
    day.shop.act(&Act::Place {
        reading,
        fastener: None,
        pass: None,
        by: by.clone(),
        reason,
    });
    day.shop.act(&Act::Place {
        reading,
        fastener: Some(second.fastener),
        pass: None,
        by,
        reason: None,
    });
    assert!(day.wrench.unplug().unwrap());
    day.events.wait_for_kind("tool-gone");
    day.wrench.replug().unwrap();
    day.sent.push(day.wrench.wrench.frame_ready());
    day.events.wait_for_kind("tool-connected");
    over_and_replaced(&mut day);
    assert_eq!(day.shop.terminate(), Some(0));
    day.shop.start();
    day.events = day.shop.http().events(Some(0)).unwrap();
    let started = ledger::entries(&day.shop.data())
        .iter()
        .filter(|e| matches!(e.event, Event::Started { .. }))
        .count();
    assert_eq!(started, 2);
    let restart = day
        .events
        .wait_for(|heard| heard.kind == "started")
        .pop()
        .unwrap();
    day.events
        .wait_for(|heard| heard.kind == "tool-connected" && heard.sequence > restart.sequence);
    day.work_to_the_end();
    day.finish();
    day
}

fn over_and_replaced(day: &mut Stand) {
    let next = day.look().next.unwrap();
    day.prepare(&next);
    let over = day.pull(1.4 * stand::aim(&next) + 6.0).entry();
    let Event::Pulled(pulled) = &over.event else {
        unreachable!()
    };
    assert!(pulled.alarm.is_some(), "{pulled:?}");
    day.settle(&over, &next.fastener);
    let (build, fastener, by) = (day.build.clone(), next.fastener, MECHANIC.to_owned());
    day.shop.act(&Act::Acknowledge {
        alarm: over.sequence,
        by: by.clone(),
    });
    let (decision, reason) = (Decision::PartReplaced, "new bolt from stock".to_owned());
    day.shop.act(&Act::Dispose {
        build: build.clone(),
        fastener,
        decision,
        by: by.clone(),
        reason,
    });
    let (fasteners, reason) = (
        vec!["rack.left".to_owned()],
        "the rack sat askew".to_owned(),
    );
    day.shop.act(&Act::Loosen {
        build,
        fasteners,
        by,
        reason,
        stage: None,
        all: false,
    });
}

#[test]
fn the_bytes_of_every_reading_are_in_the_ledger_as_they_were_sent() {
    let day = eventful_day();
    let is_kept = |line: &&Vec<u8>| line.starts_with(b"$PULL");
    let mut sent = day
        .sent
        .iter()
        .filter(is_kept)
        .map(|line| line.strip_suffix(b"\r\n").unwrap().to_vec());
    let mut readings = 0;
    for row in ledger::rows(&day.shop.data()) {
        match row.entry().event {
            Event::Pulled(pulled) => {
                assert_eq!(row.attached, sent.next(), "entry {}", row.sequence);
                assert!(matches!(pulled.reading.origin, Origin::Measured { .. }));
                readings += 1;
            }
            // The line after a gap in the count is kept beside the gap, too.
            Event::Unreadable {
                why: Unreadable::CountGap,
                ..
            } => {}
            Event::Unreadable { .. } => {
                assert_eq!(row.attached, sent.next(), "entry {}", row.sequence);
            }
            _ => {}
        }
    }
    assert_eq!(sent.next(), None, "everything that was sent is there");
    assert!(readings >= 8, "only {readings} readings");
}

#[test]
fn the_tables_made_anew_are_the_same_row_for_row() {
    let mut day = eventful_day();
    day.shop
        .pullmark(["ledger", "rebuild"])
        .status(2)
        .says(&["another daemon is running", "stop it first"]);
    assert_eq!(day.shop.terminate(), Some(0));
    let before = ledger::projections(&day.shop.data());
    assert!(before.len() >= 14, "only {} rows", before.len());
    day.shop
        .pullmark(["ledger", "rebuild"])
        .ok()
        .says(&["the tables were made anew from"]);
    assert_eq!(before, ledger::projections(&day.shop.data()));
    fs::remove_file(day.shop.data().join("projections.sqlite")).unwrap();
    day.shop.start();
    assert_eq!(day.shop.terminate(), Some(0));
    let again = ledger::projections(&day.shop.data());
    let without = |rows: Vec<String>| {
        rows.into_iter()
            .filter(|row| !row.starts_with("reached"))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        without(before),
        without(again),
        "a missing file is made at the next start"
    );
}

#[test]
fn a_copy_made_while_the_daemon_runs_is_whole() {
    let mut day = eventful_day();
    let copy = day.shop.folder().join("copy");
    fs::create_dir(&copy).unwrap();
    let file = copy.join("ledger.sqlite");
    day.shop
        .pullmark(["ledger", "backup", file.to_str().unwrap()])
        .ok()
        .says(&["keys"]);
    let checked = |data: &std::path::Path| {
        let check = pullmark_tests::Command::pullmark(day.shop.folder());
        check
            .args(["ledger", "check", "--json", "--data"])
            .arg(data)
            .run()
            .ok()
            .json()
    };
    assert_eq!(checked(&copy), checked(&day.shop.data()));
    assert_eq!(ledger::rows_of(&file), ledger::rows(&day.shop.data()));
    let again = day
        .shop
        .pullmark(["ledger", "backup", file.to_str().unwrap()]);
    again
        .status(2)
        .says(&["is there already", "Name another place"]);

    // The copy and the key are all that a new machine needs.
    assert_eq!(day.shop.terminate(), Some(0));
    fs::copy(
        day.shop.data().join("keys/bench.key"),
        copy.join("bench.key"),
    )
    .unwrap();
    fs::remove_dir_all(day.shop.data()).unwrap();
    fs::rename(&copy, day.shop.data()).unwrap();
    day.shop.start();
    assert!(
        day.shop.http().get("/v1/bench").json()["builds"][0]["sealed"]
            .as_bool()
            .unwrap()
    );
}

#[test]
fn the_file_itself_refuses_to_change() {
    let day = eventful_day();
    let file = Connection::open(day.shop.data().join("ledger.sqlite")).unwrap();
    for sql in [
        "UPDATE entry SET body = x'00' WHERE sequence = 1",
        "DELETE FROM entry WHERE sequence = 1",
        "DELETE FROM entry",
        "INSERT INTO entry VALUES (0, x'00', zeroblob(32), NULL)",
        "INSERT INTO entry VALUES (100000, x'00', zeroblob(32), NULL)",
    ] {
        let refused = file.execute(sql, []).unwrap_err().to_string();
        assert!(refused.contains("a ledger entry"), "{sql}: {refused}");
    }
    day.shop.pullmark(["ledger", "check"]).ok();
}
