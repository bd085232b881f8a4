//! `pullmark demo`, as a newcomer runs it, and the record it leaves.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_tests::{Command, Said};
use std::path::Path;
use std::time::Duration;

fn demo(home: &Path, out: &Path) -> Said {
    let demo = Command::pullmark(home)
        .args(["demo", "--fast", "--out"])
        .arg(out);
    demo.within(Duration::from_mins(1)).run()
}

fn verify(home: &Path, record: &Path, more: &[&str]) -> Said {
    Command::pullmark(home)
        .args(["record", "verify"])
        .arg(record)
        .args(more)
        .run()
}

/// The lines by which the demo shows a verdict.
fn verdicts(said: &Said, answer: &str) -> usize {
    let is_verdict =
        |line: &&str| line.contains(" N·m  ") && line.contains(&format!("  {answer} "));
    said.out.lines().filter(is_verdict).count()
}

#[test]
fn the_demo_tells_every_verdict_and_its_record_holds() {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("out");
    let said = demo(home.path(), &out);
    said.ok().says(&[
        "OVER  Seat post clamp: 6.92 N·m, at most 5.5 N·m. Stop and look at the part.",
        "part replaced",
    ]);
    assert_eq!(verdicts(&said, "under"), 1, "{said}");
    assert_eq!(verdicts(&said, "over"), 1, "{said}");

    let record: serde_json::Value =
        serde_json::from_slice(&std::fs::read(out.join("record.json")).unwrap()).unwrap();
    let fasteners = record["record"]["credentialSubject"]["fasteners"]
        .as_array()
        .unwrap();
    let readings: Vec<_> = fasteners
        .iter()
        .flat_map(|fastener| fastener["readings"].as_array().unwrap())
        .collect();
    let within = readings
        .iter()
        .filter(|reading| reading["verdict"]["answer"] == "within")
        .count();
    assert_eq!(verdicts(&said, "within"), within, "{said}");
    assert!(within >= 15, "only {within} readings are within");

    let table = std::fs::read_to_string(out.join("readings.csv")).unwrap();
    let checks = record["record"]["credentialSubject"]["checks"]
        .as_array()
        .unwrap();
    let measured: usize = checks
        .iter()
        .map(|check| check["readings"].as_array().unwrap().len())
        .sum();
    assert_eq!((checks.len(), measured), (4, 3), "one is computed: {said}");
    assert_eq!(
        table.lines().count(),
        1 + readings.len() + measured,
        "one row a reading below the heading:\n{table}"
    );

    let held = verify(home.path(), &out.join("record.json"), &[]);
    held.ok().says(&[
        "valid: the signature holds",
        "1 deferred",
        "Tail light bracket, not tightened",
        "fingerprint",
    ]);
    let checked = Command::pullmark(home.path())
        .args(["ledger", "check", "--data"])
        .arg(out.join("bench"))
        .run();
    checked.ok().says(&["the ledger holds"]);
}

#[test]
fn a_second_run_in_the_same_folder_works_too() {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("out");
    demo(home.path(), &out).ok();
    let first = verify(home.path(), &out.join("record.json"), &["--json"])
        .ok()
        .json();
    demo(home.path(), &out).ok();
    let second = verify(home.path(), &out.join("record.json"), &["--json"])
        .ok()
        .json();
    assert_eq!(
        first["fingerprint"], second["fingerprint"],
        "it is the same bench"
    );
    assert_ne!(first["sha256"], second["sha256"], "it is another record");
}

#[test]
fn a_changed_byte_is_found_and_named() {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("out");
    demo(home.path(), &out).ok();
    let file: serde_json::Value =
        serde_json::from_slice(&std::fs::read(out.join("record.json")).unwrap()).unwrap();
    let record = file["record"].to_string();
    let changed = home.path().join("changed.json");
    for (from, to, says) in [
        (
            "\"value\":\"6.92\"",
            "\"value\":\"5.92\"",
            "the document was changed",
        ),
        ("HL-2611-07", "HL-2611-08", "the document was changed"),
        (
            "\"practice\":true",
            "\"practice\":false",
            "the document was changed",
        ),
        ("eddsa-jcs-2022", "eddsa-jcs-2023", "cryptosuite"),
        ("\"proofValue\":\"z", "\"proofValue\":\"Z", "proofValue"),
        (
            "\"type\":\"DataIntegrityProof\"",
            "\"type\":\"DataIntegrityProog\"",
            "DataIntegrityProog",
        ),
        ("{", "[", "not JSON"),
    ] {
        // The record's own proof is the last one in it: the key history has others.
        let at = record
            .rfind(from)
            .unwrap_or_else(|| panic!("{from:?} is not in the record"));
        let text = format!("{}{to}{}", &record[..at], &record[at + from.len()..]);
        assert_ne!(text, record, "{from:?} is not in the record");
        std::fs::write(&changed, &text).unwrap();
        verify(home.path(), &changed, &[])
            .status(1)
            .says(&["not valid", says]);
        let told = verify(home.path(), &changed, &["--json"]).status(1).json();
        assert_eq!(told["valid"], false);
        assert!(told["why"].as_str().unwrap().contains(says), "{told}");
    }
}

#[test]
fn the_fingerprint_tells_whose_record_it_is() {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("out");
    demo(home.path(), &out).ok();
    let record = out.join("record.json");
    let told = verify(home.path(), &record, &["--json"]).ok().json();
    let fingerprint = told["fingerprint"].as_str().unwrap();
    let right = verify(home.path(), &record, &["--fingerprint", fingerprint]);
    right.ok().says(&["valid"]);
    assert!(!right.out.contains("whose key it is"), "{right}");
    let other = "0".repeat(64);
    verify(home.path(), &record, &["--fingerprint", &other])
        .status(1)
        .says(&["not valid", fingerprint]);
    verify(home.path(), &record, &["--fingerprint", "12"])
        .status(2)
        .says(&["64"]);
    verify(home.path(), &home.path().join("nothing.json"), &[])
        .status(2)
        .says(&["nothing.json"]);
}

#[test]
fn a_folder_that_cannot_be_made_is_said_plainly() {
    let home = tempfile::tempdir().unwrap();
    std::fs::write(home.path().join("file"), "").unwrap();
    demo(home.path(), &home.path().join("file/out"))
        .status(2)
        .says(&["file/out cannot be made"]);
}
