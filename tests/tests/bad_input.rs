//! Whatever comes in wrong: lines, plugs, plans, files, folders, keys. Nothing of it may panic, count as a reading, or
//! leave the mechanic without a word about what to do.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::Act;
use pullmark_schema::entry::{Event, Unreadable};
use pullmark_schema::tool::Tool;
use pullmark_tests::programs::program;
use pullmark_tests::stand::WRENCH;
use pullmark_tests::{Command, Said, Shop, Stand, ledger, plans};
use rusqlite::Connection;
use std::fs;
use std::net::TcpListener;
use std::os::unix::fs::{OpenOptionsExt as _, PermissionsExt as _};
use std::path::Path;

/// A line of the simulated wrench's format with any content and the right checksum.
fn summed(content: &str) -> Vec<u8> {
    let sum = content.bytes().fold(0, |sum, byte| sum ^ byte);
    format!("${content}*{sum:02X}\r\n").into_bytes()
}

fn without_end(line: &[u8]) -> &[u8] {
    line.strip_suffix(b"\r\n").unwrap_or(line)
}

fn daemon(home: &Path, data: &Path, more: &[&str]) -> Said {
    Command::new(program("pullmarkd"), home)
        .arg("--data")
        .arg(data)
        .args(["--port", "0"])
        .args(more)
        .run()
}

#[test]
fn lines_that_are_no_readings_never_count_and_their_bytes_are_kept() {
    let mut stand = Stand::begin(plans::SMALL);
    let next = stand.look().next.unwrap();
    let long = [b"$PULL,".as_slice(), &[b'7'; 5_000], b"\r\n"].concat();
    for (line, expected) in [
        (summed("PULL,1,5.08,kp.m"), Unreadable::UnknownUnit),
        (summed("PULL,1,5.08,Furlong"), Unreadable::UnknownUnit),
        (summed("PULL,1,1.2.3,N.m"), Unreadable::BadNumber),
        (summed("PULL,1,.,N.m"), Unreadable::BadNumber),
        (
            summed("PULL,1,99999999999999999999999999,N.m"),
            Unreadable::BadNumber,
        ),
        (summed("PULL,1,99999999,N.m"), Unreadable::NotSane),
        (summed("PULL,1,-99999999,N.m"), Unreadable::NotSane),
        (summed("PULL,1,5.08,N.m,XX"), Unreadable::NoMatch),
        (summed("PULL,1,5,08,N.m"), Unreadable::NoMatch),
        (b"$PULL,1,5.08,N.m*FF\r\n".to_vec(), Unreadable::Checksum),
        (b"$PULL,1,5.08,N.m*\r\n".to_vec(), Unreadable::NoMatch),
        (b"\x00\xff\xfe\x80\x1b[2J\r\n".to_vec(), Unreadable::NoMatch),
        (
            "$PULL,1,\u{665}.\u{660},N.m*00\r\n".as_bytes().to_vec(),
            Unreadable::NoMatch,
        ),
    ] {
        stand.wrench.port().write(&line).unwrap();
        let heard = stand.events.wait_for_kind("unreadable");
        let Event::Unreadable { why, .. } = heard.entry().event else {
            unreachable!()
        };
        let shown = String::from_utf8_lossy(&line).into_owned();
        assert_eq!(why, expected, "{shown:?}");
        let kept = stand
            .shop
            .http()
            .get(&format!("/v1/entries/{}/attached", heard.sequence))
            .body;
        assert_eq!(kept, without_end(&line), "{shown:?}");
    }
    stand.wrench.port().write(&long).unwrap();
    let heard = stand.events.wait_for_kind("unreadable");
    assert!(matches!(
        heard.entry().event,
        Event::Unreadable {
            why: Unreadable::TooLong,
            ..
        }
    ));
    let kept = stand
        .shop
        .http()
        .get(&format!("/v1/entries/{}/attached", heard.sequence))
        .body;
    assert!(
        long.starts_with(&kept) && kept.len() < 1_000,
        "the beginning is kept: {} bytes",
        kept.len()
    );
    let entry = stand.do_next(&next);
    assert_eq!(
        stand.look().next.map(|after| after.stage),
        Some("Left crank arm".to_owned()),
        "{entry:?}"
    );
    assert_eq!(
        ledger::fold(&ledger::rows(&stand.shop.data()), &stand.build)
            .readings
            .len(),
        1
    );
}

#[test]
fn noise_on_the_line_costs_at_most_the_line_it_touches() {
    let mut stand = Stand::begin(&plans::long(3));
    for seed in 0..5 {
        let next = stand.look().next.unwrap();
        stand.prepare(&next);
        stand.wrench.garbage(300, seed).unwrap();
        stand.wrench.port().write(b"\r\n").unwrap();
        stand.wrench.half_line().unwrap();
        stand.wrench.noise_line().unwrap();
        let entry = stand.pull(pullmark_tests::stand::aim(&next)).entry();
        stand.settle(&entry, &next.fastener);
        let after = stand.look().next.unwrap();
        assert_ne!(
            (&after.fastener, after.pass),
            (&next.fastener, next.pass),
            "{entry:?}"
        );
    }
    let build = ledger::fold(&ledger::rows(&stand.shop.data()), &stand.build);
    assert_eq!(
        build.readings.len(),
        5,
        "a reading for each good line and none beside them"
    );
    stand.shop.pullmark(["ledger", "check"]).ok();
}

#[test]
fn an_unplug_in_the_middle_of_a_line_keeps_the_part_and_counts_nothing() {
    let mut stand = Stand::begin(plans::SMALL);
    let next = stand.look().next.unwrap();
    let half = stand.wrench.half_line().unwrap().bytes;
    assert!(
        stand.wrench.unplug().unwrap(),
        "the daemon reads what is there"
    );
    let gone = stand.events.wait_for_kind("tool-gone");
    let Event::ToolGone { why, partial, .. } = gone.entry().event else {
        unreachable!()
    };
    assert!(
        why.contains("unplugged") || why.contains("hung up"),
        "{why}"
    );
    assert!(partial.is_some(), "the part of the line is named");
    let kept = stand
        .shop
        .http()
        .get(&format!("/v1/entries/{}/attached", gone.sequence))
        .body;
    assert_eq!(kept, half);
    let shown = stand.shop.pullmark(["tool", "list"]);
    shown.ok().says(&["gone:"]);

    stand.wrench.replug().unwrap();
    stand.events.wait_for_kind("tool-connected");
    stand
        .shop
        .pullmark(["tool", "list"])
        .ok()
        .says(&["connected at"]);
    let entry = stand.do_next(&next);
    let rows = ledger::rows(&stand.shop.data());
    let readings = ledger::fold(&rows, &stand.build).readings;
    assert_eq!(
        readings.keys().copied().collect::<Vec<_>>(),
        [entry.sequence]
    );
    let gap = |event: &Event| {
        matches!(
            event,
            Event::Unreadable {
                why: Unreadable::CountGap,
                ..
            }
        )
    };
    assert!(
        !rows.iter().any(|row| gap(&row.entry().event)),
        "nothing was counted before the half line"
    );
}

#[test]
fn a_tool_that_is_not_there_says_so_once_and_is_taken_when_it_comes() {
    let shop = Shop::open();
    let mut events = shop.http().events(None).unwrap();
    let link = shop.folder().join("wrench");
    let tool = plans::wrench(WRENCH, "SIM-1", &link, "pullmark-line");
    shop.act(&Act::AddTool {
        by: None,
        tool: Box::new(Tool::read(&tool).unwrap()),
    });
    let gone = events.wait_for_kind("tool-gone").entry();
    let Event::ToolGone { why, .. } = gone.event else {
        unreachable!()
    };
    assert!(why.contains("is not there: plug the tool in"), "{why}");
    let _wrench = shop.plug("wrench", "SIM-1");
    let between = events.wait_for(|heard| heard.kind == "tool-connected");
    assert_eq!(between.len(), 1, "the same is not said twice: {between:?}");
}

#[test]
fn a_port_that_another_program_holds_is_named_and_taken_when_it_is_free() {
    let shop = Shop::open();
    let mut events = shop.http().events(None).unwrap();
    let wrench = shop.plug("wrench", "SIM-1");
    let no_terminal = i32::try_from(rustix::fs::OFlags::NOCTTY.bits()).unwrap();
    let other = fs::File::options()
        .read(true)
        .write(true)
        .custom_flags(no_terminal)
        .open(wrench.port().link())
        .unwrap();
    other.try_lock().unwrap();
    let tool = plans::wrench(WRENCH, "SIM-1", wrench.port().link(), "pullmark-line");
    shop.act(&Act::AddTool {
        by: None,
        tool: Box::new(Tool::read(&tool).unwrap()),
    });
    let gone = events.wait_for_kind("tool-gone").entry();
    let Event::ToolGone { why, .. } = gone.event else {
        unreachable!()
    };
    assert!(
        why.contains("is in use by another program: close that one"),
        "{why}"
    );
    drop(other);
    events.wait_for_kind("tool-connected");
}

#[test]
fn a_line_profile_that_does_not_exist_is_answered_with_those_that_do() {
    let shop = Shop::open();
    let mut events = shop.http().events(None).unwrap();
    let wrench = shop.plug("wrench", "SIM-1");
    let tool = plans::wrench(WRENCH, "SIM-1", wrench.port().link(), "no-such-profile");
    shop.act(&Act::AddTool {
        by: None,
        tool: Box::new(Tool::read(&tool).unwrap()),
    });
    let Event::ToolGone { why, .. } = events.wait_for_kind("tool-gone").entry().event else {
        unreachable!()
    };
    assert!(
        why.contains("no-such-profile")
            && why.contains("pullmark-line")
            && why.contains("plain-line"),
        "{why}"
    );
}

#[test]
fn a_second_daemon_on_the_same_folder_is_refused() {
    let shop = Shop::open();
    let second = daemon(shop.folder(), &shop.data(), &[]);
    second.status(2).says(&[
        "another daemon is running on the data folder",
        "stop it first",
    ]);
    shop.pullmark(["build", "list"]).ok();
    assert_eq!(ledger::rows(&shop.data()).len(), 2);
}

#[test]
fn a_folder_that_cannot_be_written_is_refused() {
    let home = tempfile::tempdir().unwrap();
    fs::write(home.path().join("file"), "").unwrap();
    daemon(home.path(), &home.path().join("file/data"), &[])
        .status(2)
        .says(&["file/data", "Check that it exists"]);
    daemon(home.path(), Path::new("/proc/pullmark"), &[])
        .status(2)
        .says(&["/proc/pullmark", "Check that it exists"]);
    let locked = home.path().join("locked");
    fs::create_dir(&locked).unwrap();
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o555)).unwrap();
    // Root may write everywhere; then the two cases above have to do.
    if fs::write(locked.join("probe"), "").is_err() {
        daemon(home.path(), &locked, &[])
            .status(2)
            .says(&["locked", "that it is yours"]);
    }
}

#[test]
fn a_port_that_is_taken_is_named() {
    let home = tempfile::tempdir().unwrap();
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let data = home.path().join("data");
    let said = Command::new(program("pullmarkd"), home.path())
        .arg("--data")
        .arg(&data)
        .args(["--port", &port])
        .run();
    said.status(2).says(&[
        &format!("127.0.0.1:{port}"),
        "Name another port",
        "0 for a free one",
    ]);
    daemon(home.path(), &data, &["--bench"])
        .status(2)
        .says(&["--bench"]);
}

#[test]
fn settings_that_cannot_be_read_are_refused_with_their_place() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("pullmarkd.toml");
    fs::write(&file, "port = 0\ncolour = \"red\"\n").unwrap();
    let data = home.path().join("data");
    let config = file.to_str().unwrap();
    daemon(home.path(), &data, &["--config", config])
        .status(2)
        .says(&["pullmarkd.toml", "line 2, column 1", "colour"]);
    daemon(home.path(), &data, &["--config", "/no/such.toml"])
        .status(2)
        .says(&["/no/such.toml"]);
    assert!(!data.exists(), "nothing was made");
}

/// A ledger with a few entries whose daemon has ended.
fn closed_ledger() -> Stand {
    let mut stand = Stand::begin(plans::SMALL);
    let next = stand.look().next.unwrap();
    stand.do_next(&next);
    assert_eq!(stand.shop.terminate(), Some(0));
    stand
}

#[test]
fn a_ledger_of_a_newer_program_is_refused_and_left_as_it_is() {
    let mut stand = closed_ledger();
    let file = stand.shop.data().join("ledger.sqlite");
    Connection::open(&file)
        .unwrap()
        .pragma_update(None, "user_version", 99)
        .unwrap();
    let before = fs::read(&file).unwrap();
    let refused = stand.shop.try_start().unwrap_err();
    refused.says(
        2,
        &[
            "has format 99",
            "use a newer Pullmark",
            "Nothing was changed",
        ],
    );
    assert!(fs::read(&file).unwrap() == before, "the file was changed");
}

#[test]
fn a_file_of_another_program_is_refused_and_left_as_it_is() {
    let mut shop = Shop::closed(&[]);
    fs::create_dir(shop.data()).unwrap();
    let file = shop.data().join("ledger.sqlite");
    Connection::open(&file)
        .unwrap()
        .execute_batch("CREATE TABLE song (title TEXT)")
        .unwrap();
    let before = fs::read(&file).unwrap();
    shop.try_start()
        .unwrap_err()
        .says(2, &["is not a Pullmark ledger"]);
    shop.pullmark(["ledger", "check"])
        .status(2)
        .says(&["is not a Pullmark ledger"]);
    assert!(fs::read(&file).unwrap() == before, "the file was changed");

    fs::write(
        &file,
        "a letter, not a database; longer than the head of a database, which has a hundred bytes. "
            .repeat(9),
    )
    .unwrap();
    let before = fs::read(&file).unwrap();
    shop.try_start()
        .unwrap_err()
        .says(2, &["ledger.sqlite is not a Pullmark ledger"]);
    shop.pullmark(["ledger", "check"])
        .status(2)
        .says(&["there is no ledger to check in"]);
    assert!(fs::read(&file).unwrap() == before, "the file was changed");
}

#[test]
fn a_damaged_ledger_is_refused_by_the_daemon_and_found_by_the_check() {
    for (sql, says) in [
        (
            "UPDATE entry SET body = CAST(replace(CAST(body AS TEXT), 'Mara', 'Nara') AS BLOB) WHERE sequence = 4",
            "entry 4",
        ),
        (
            "UPDATE entry SET leaf = zeroblob(32) WHERE sequence = 2",
            "entry 2",
        ),
        ("DELETE FROM entry WHERE sequence = 4", "entry 4"),
        (
            "UPDATE entry SET body = CAST('nothing' AS BLOB) WHERE sequence = 5",
            "entry 5",
        ),
    ] {
        let mut stand = closed_ledger();
        ledger::tamper(&stand.shop.data(), sql);
        stand
            .shop
            .pullmark(["ledger", "check"])
            .status(1)
            .says(&["does not hold", says]);
        let refused = stand.shop.try_start().unwrap_err();
        refused.says(2, &["damaged at", says, "restore a backup"]);
    }
}

#[test]
fn bytes_of_a_reading_that_were_changed_are_found() {
    let stand = closed_ledger();
    let pulled = ledger::entries(&stand.shop.data())
        .iter()
        .find(|e| matches!(e.event, Event::Pulled(_)))
        .unwrap()
        .sequence;
    ledger::tamper(
        &stand.shop.data(),
        &format!("UPDATE entry SET attached = x'00' WHERE sequence = {pulled}"),
    );
    let says = format!("entry {pulled}: the bytes it names are missing or were changed");
    stand
        .shop
        .pullmark(["ledger", "check"])
        .status(1)
        .says(&[&says]);
}

#[test]
fn a_key_that_is_missing_damaged_or_open_to_others_is_refused() {
    let mut stand = closed_ledger();
    let key = stand.shop.data().join("keys/bench.key");
    let good = fs::read(&key).unwrap();
    assert_eq!(key.metadata().unwrap().permissions().mode() & 0o777, 0o600);

    fs::set_permissions(&key, fs::Permissions::from_mode(0o644)).unwrap();
    stand
        .shop
        .try_start()
        .unwrap_err()
        .says(2, &["can be read by others", "chmod 600"]);
    fs::set_permissions(&key, fs::Permissions::from_mode(0o600)).unwrap();

    fs::write(&key, "my key\n").unwrap();
    stand.shop.try_start().unwrap_err().says(
        2,
        &[
            "is damaged",
            "64 hexadecimal digits",
            "Put your copy of it back",
        ],
    );

    fs::write(&key, "11".repeat(32)).unwrap();
    stand.shop.try_start().unwrap_err().says(
        2,
        &["is not the one of this ledger", "put the right one back"],
    );

    fs::remove_file(&key).unwrap();
    stand
        .shop
        .try_start()
        .unwrap_err()
        .says(2, &["bench.key is not", "put your copy of it back"]);
    assert!(!key.exists(), "no new identity was made");

    fs::write(&key, good).unwrap();
    fs::set_permissions(&key, fs::Permissions::from_mode(0o600)).unwrap();
    stand.shop.start();
    let said = stand.shop.log();
    for line in said.lines() {
        assert!(
            !line.contains(&"11".repeat(32)),
            "a key is in the log: {line}"
        );
    }
}

#[test]
fn a_socket_that_is_gone_is_said_and_made_again_at_the_next_start() {
    let mut shop = Shop::open();
    fs::remove_file(shop.data().join("pullmark.sock")).unwrap();
    shop.pullmark(["build", "list"]).status(2).says(&[
        "no daemon answers at",
        "pullmark.sock",
        "start it with",
    ]);
    assert_eq!(shop.terminate(), Some(0));
    shop.pullmark(["build", "list"])
        .status(2)
        .says(&["no daemon answers at"]);
    shop.start();
    shop.pullmark(["build", "list"]).ok();
    let mode = shop
        .data()
        .join("pullmark.sock")
        .metadata()
        .unwrap()
        .permissions()
        .mode();
    assert_eq!(mode & 0o777, 0o600, "only its owner may use the socket");
    // A socket that a killed daemon left behind is replaced.
    shop.kill();
    assert!(shop.data().join("pullmark.sock").exists());
    shop.pullmark(["build", "list"])
        .status(2)
        .says(&["no daemon answers at"]);
    shop.start();
    shop.pullmark(["build", "list"]).ok();
}

#[test]
fn a_folder_too_deep_for_a_socket_is_refused_in_words() {
    let home = tempfile::tempdir().unwrap();
    let deep = home.path().join("d".repeat(60)).join("d".repeat(60));
    daemon(home.path(), &deep, &[])
        .status(2)
        .says(&["the socket", "pullmark.sock"]);
}
