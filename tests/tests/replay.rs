//! Every dialect has a capture: what came from a port, byte for byte and with its times, and beside it what it means.
//!
//! A capture is read through the real intake. `UPDATE=1` writes the expected readings anew; the commit then says why they
//! changed. A capture without expected readings is a failure, and so is a built-in profile without a capture.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_daemon::intake::What;
use pullmark_daemon::intake::capture::{Capture, Replayed};
use pullmark_daemon::intake::profiles::Profiles;
use pullmark_tests::programs::workspace;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::PathBuf;

fn captures() -> Vec<PathBuf> {
    let folder = workspace().join("tests/captures");
    let mut all: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "capture"))
        .collect();
    all.sort();
    all
}

/// What comes out; of rising samples, only how many there were.
fn told(capture: &Capture, profiles: &Profiles) -> String {
    let profile = capture
        .profile
        .as_deref()
        .expect("a capture names its profile");
    let dialect = profiles.find(profile).expect("and it is a built-in one");
    let (mut text, mut rising) = (String::new(), 0_usize);
    capture.replay(dialect, |at, what| {
        if matches!(&what, Replayed::Received(received) if matches!(received.what, What::Rising(_)))
        {
            rising += 1;
            return;
        }
        if rising > 0 {
            // writing to a string cannot fail
            let _ = writeln!(text, "          rose {rising} times");
            rising = 0;
        }
        let _ = writeln!(text, "{}.{:06} {what}", at / 1_000_000, at % 1_000_000);
    });
    text
}

#[test]
fn captures_give_what_is_beside_them() {
    let profiles = Profiles::built_in().unwrap();
    let mut wrong = Vec::new();
    for path in captures() {
        let text = std::fs::read_to_string(&path).unwrap();
        let capture =
            Capture::read(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        let found = told(&capture, &profiles);
        let expect = path.with_extension("expect");
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(&expect, &found).unwrap();
        }
        let expected = std::fs::read_to_string(&expect).unwrap_or_default();
        if found.is_empty() || found != expected {
            wrong.push(format!(
                "{}\n--- expected\n{expected}--- found\n{found}",
                path.display()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_dialect_has_a_capture() {
    let profiles = Profiles::built_in().unwrap();
    let captured: BTreeSet<String> = captures()
        .iter()
        .filter_map(|path| {
            Capture::read(&std::fs::read_to_string(path).unwrap())
                .unwrap()
                .profile
        })
        .collect();
    let without: Vec<&str> = profiles
        .names()
        // What is adopted has no bytes of a stream; daemon/src/intake/gatt/tests.rs has its values.
        .filter(|name| !profiles.find(name).unwrap().is_adopted())
        .filter(|name| !captured.contains(*name))
        .collect();
    assert!(without.is_empty(), "no capture for {}", without.join(", "));
}

#[test]
fn a_capture_gives_the_same_however_it_is_cut() {
    let profiles = Profiles::built_in().unwrap();
    for path in captures() {
        let capture = Capture::read(&std::fs::read_to_string(&path).unwrap()).unwrap();
        let dialect = profiles.find(capture.profile.as_deref().unwrap()).unwrap();
        let whole = told(&capture, &profiles);
        if dialect.profile().frame.silence_ms.is_some() {
            continue;
        }
        // A byte at a time, all at the same moment.
        let mut single = capture.clone();
        single.events = capture
            .events
            .iter()
            .flat_map(|(at, happened)| match happened {
                pullmark_daemon::intake::capture::Happened::Bytes(bytes) => bytes
                    .iter()
                    .map(|byte| {
                        (
                            *at,
                            pullmark_daemon::intake::capture::Happened::Bytes(vec![*byte]),
                        )
                    })
                    .collect::<Vec<_>>(),
                other => vec![(*at, other.clone())],
            })
            .collect();
        assert_eq!(told(&single, &profiles), whole, "{}", path.display());
    }
}
