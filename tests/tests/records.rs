//! Records over years: keys that change and get lost, bikes that come back, names that are left out, a past that cannot
//! be rewritten.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::Act;
use pullmark_schema::multikey::{from_base58btc, to_base58btc};
use pullmark_tests::programs::program;
use pullmark_tests::python::{published, python};
use pullmark_tests::{Command, MECHANIC, Said, Stand, ledger, plans};
use serde_json::Value;
use std::os::unix::fs::PermissionsExt as _;
use std::path::{Path, PathBuf};

/// A bike that was built and whose record is sealed.
fn sealed() -> Stand {
    let mut stand = Stand::begin(plans::SMALL);
    stand.work_to_the_end();
    stand.finish();
    stand
}

fn export(stand: &Stand, name: &str, more: &[&str]) -> PathBuf {
    stand.export(name, more).join("record.json")
}

fn verify(stand: &Stand, files: &[&Path], more: &[&str]) -> Said {
    let files: Vec<&str> = files.iter().map(|file| file.to_str().unwrap()).collect();
    let words = ["record", "verify", "--json"];
    stand.shop.pullmark([&words[..], &files, more].concat())
}

/// The program that was written from the documents alone.
fn theirs(stand: &Stand, file: &Path) -> Said {
    Command::new(python(), stand.shop.folder())
        .arg(published("verify_record.py"))
        .arg(file)
        .arg("--json")
        .run()
}

/// The small program for others: alone in an empty folder, with nothing in its environment.
fn small(files: &[&Path], more: &[&str]) -> Said {
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("check");
    std::fs::copy(program("pullmark-verify"), &copy).unwrap();
    Command::new("env", folder.path())
        .args(["-i", copy.to_str().unwrap()])
        .args(files)
        .args(more)
        .current_dir(folder.path())
        .run()
}

fn mode(path: &Path) -> u32 {
    std::fs::metadata(path).unwrap().permissions().mode() & 0o777
}

fn read(file: &Path) -> String {
    std::fs::read_to_string(file).unwrap()
}

#[test]
fn names_are_left_out_and_both_programs_say_that_it_holds() {
    let stand = sealed();
    let whole = export(
        &stand,
        "whole",
        &["--for-customer", "Retighten after 100 km"],
    );
    let found = verify(&stand, &[&whole], &[]).ok().json();
    assert_eq!(found["ledger"]["refolded"], true);
    assert_eq!(found["ledger"]["numbered"], true);
    assert!(read(&whole).contains(MECHANIC) && read(&whole).contains("100 km"));

    let redacted = export(&stand, "redacted", &["--redact"]);
    // The views are made from the file, so they know no names either.
    for view in ["readings.csv", "record.html"] {
        let view = read(&redacted.with_file_name(view));
        assert!(!view.contains(MECHANIC), "{view}");
    }
    let text = read(&redacted);
    assert!(!text.contains(MECHANIC), "{text}");
    let found_redacted = verify(&stand, &[&redacted], &[]).ok().json();
    assert_eq!(
        found["sha256"], found_redacted["sha256"],
        "it is the same record"
    );
    assert_eq!(found_redacted["ledger"]["refolded"], false);
    assert!(found_redacted["hidden_names"].as_u64().unwrap() > 0);
    for file in [&whole, &redacted] {
        assert_eq!(theirs(&stand, file).ok().json()["sha256"], found["sha256"]);
    }
}

#[test]
fn a_bike_that_comes_back_gets_a_record_that_amends_the_first() {
    let mut stand = sealed();
    let first = export(&stand, "first", &[]);
    let say =
        |stand: &Stand, words: &[&str]| stand.shop.pullmark([words, &["--by", "Mara"]].concat());
    say(&stand, &["build", "reopen", "ferry", "--reason", "service"])
        .ok()
        .says(&["taken up again [ferry]"]);
    say(&stand, &["build", "reopen", "ferry", "--reason", "service"]).status(1);
    let loosen = [
        "fastener",
        "loosen",
        "ferry",
        "rack.left",
        "--reason",
        "new rack",
    ];
    say(&stand, &loosen).ok();
    stand.work_to_the_end();
    say(&stand, &["build", "finish", "ferry", "--sure", "counted"]).ok();
    say(&stand, &["record", "seal", "ferry"])
        .status(1)
        .says(&["amend it"]);
    say(&stand, &["record", "amend", "ferry", "--reason", "service"]).ok();
    let second = export(&stand, "second", &[]);
    let found = verify(&stand, &[&second, &first], &[]).ok().json();
    let (after, before) = (&found["records"][0], &found["records"][1]);
    assert_eq!(after["amends"]["record"], before["sha256"]);
    assert_eq!(after["amends"]["reason"], "service");
    let changed = after["amends"]["changed"].as_array().unwrap();
    let changed: Vec<&str> = changed
        .iter()
        .filter_map(|changed| changed["fastener"].as_str())
        .collect();
    assert_eq!(changed, ["rack.left"]);
    assert_eq!(after["ledger"]["refolded"], true);
    assert_eq!(
        before["superseded_by"],
        second.to_str().unwrap(),
        "the first one is told to be out of date"
    );
    assert_eq!(after["superseded_by"], Value::Null);
    let words = [
        "record",
        "verify",
        first.to_str().unwrap(),
        second.to_str().unwrap(),
    ];
    stand
        .shop
        .pullmark(words)
        .ok()
        .says(&["superseded", "takes its place"]);
    theirs(&stand, &second).ok();
}

#[test]
fn the_small_program_checks_records_alone() {
    let stand = sealed();
    let first = export(&stand, "first", &[]);
    let identity = verify(&stand, &[&first], &[]).ok().json()["fingerprint"].clone();
    let identity = identity.as_str().unwrap();
    // It holds, and what cannot be known is told.
    let found = small(&[&first], &["--json"]).ok().json();
    assert_eq!(
        (&found["valid"], &found["refolded"]),
        (&true.into(), &true.into())
    );
    assert_eq!(found["fingerprint"], identity);
    let unknown = found["not_known"].as_array().unwrap().len();
    let pinned = small(&[&first], &["--pin", identity, "--json"]).ok().json();
    assert!(pinned["not_known"].as_array().unwrap().len() < unknown);
    small(&[&first], &[])
        .ok()
        .says(&[": valid", "identity", "not known:"]);
    // Another bench's identity.
    let other = format!("{}{}", &identity[1..], &identity[..1]);
    let wrong = small(&[&first], &["--pin", &other]);
    wrong
        .status(1)
        .says(&["NOT VALID", "was signed by the bench", &other]);
    // Another frame in the signed record.
    let mut other_bike: Value = serde_json::from_str(&read(&first)).unwrap();
    other_bike["record"]["credentialSubject"]["bike"]["frame"] = "another".into();
    let changed = stand.shop.write("changed.json", &other_bike.to_string());
    let why = small(&[&changed], &["--json"]).status(1).json();
    assert_eq!(why["valid"], false);
    assert!(why["why"].as_str().unwrap().contains("proof"), "{why}");
    // Several: the later one takes the place of the first, and one that does not hold is enough for a no.
    stand.shop.act(&Act::Amend {
        build: stand.build.clone(),
        by: MECHANIC.to_owned(),
        reason: "the customer's name was wrong".to_owned(),
    });
    let second = export(&stand, "second", &[]);
    small(&[&first, &second], &[])
        .ok()
        .says(&["SUPERSEDED", second.to_str().unwrap()]);
    let both = small(&[&second, &changed], &[]);
    both.status(1)
        .says(&["second/record.json: valid", "changed.json: NOT VALID"]);
    // What is no question at all is neither a yes nor a no.
    small(&[], &[]).status(2);
    small(&[&first.with_file_name("nothing.json")], &[]).status(2);
    small(&[&first], &["--pin", "12"]).status(2);
    // A proof of a later head that nobody named would have been checked by nobody.
    let proof = stand
        .shop
        .write("proof.json", "{\"from\":1,\"to\":2,\"hashes\":[]}");
    let alone = ["--consistency", proof.to_str().unwrap()];
    small(&[&first], &alone).status(2).says(&["--checkpoint"]);
    verify(&stand, &[&first], &alone)
        .status(2)
        .says(&["--checkpoint"]);
}

#[test]
fn a_later_head_shows_that_the_past_is_as_it_was() {
    let mut stand = sealed();
    let record = export(&stand, "out", &[]);
    let size = verify(&stand, &[&record], &[]).ok().json()["ledger"]["size"].clone();
    stand.shop.act(&Act::Reopen {
        build: stand.build.clone(),
        by: MECHANIC.to_owned(),
        reason: "service".to_owned(),
    });
    let finish = || {
        stand.shop.act(&Act::Finish {
            build: stand.build.clone(),
            by: MECHANIC.to_owned(),
            sure: Some("counted".to_owned()),
        });
        stand.shop.act(&Act::Amend {
            build: stand.build.clone(),
            by: MECHANIC.to_owned(),
            reason: "service".to_owned(),
        });
    };
    finish();
    let head = stand.shop.folder().join("later.checkpoint");
    let proof = stand.shop.folder().join("proof.json");
    let (head_text, proof_text) = (head.to_str().unwrap(), proof.to_str().unwrap());
    stand
        .shop
        .pullmark(["ledger", "checkpoint", "--out", head_text])
        .ok();
    let from = size.to_string();
    let words = [
        "ledger",
        "consistency",
        "--from",
        &from,
        "--out",
        proof_text,
    ];
    stand.shop.pullmark(words).ok();
    let with_file = ["--checkpoint", head_text, "--consistency", proof_text];
    let found = verify(&stand, &[&record], &with_file).ok().json();
    assert!(found["later"]["size"].as_u64() > size.as_u64());
    verify(&stand, &[&record], &["--checkpoint", head_text, "--ledger"]).ok();
    verify(&stand, &[&record], &["--checkpoint", head_text])
        .status(2)
        .says(&["the proof that the one continues the other", "\"error\""]);
    small(&[&record], &["--checkpoint", head_text])
        .status(2)
        .says(&["the proof that the one continues the other"]);
    let mut broken: Value = serde_json::from_str(&read(&proof)).unwrap();
    broken["hashes"].as_array_mut().unwrap().reverse();
    std::fs::write(&proof, broken.to_string()).unwrap();
    let why = verify(&stand, &[&record], &with_file);
    assert_eq!(why.status(1).json()["valid"], false);
    // The past is rewritten: the ledger no longer leads from one head to the other.
    assert_eq!(stand.shop.terminate(), Some(0));
    ledger::tamper(
        &stand.shop.data(),
        "UPDATE entry SET leaf = zeroblob(32) WHERE sequence = 4",
    );
    let rewritten = verify(&stand, &[&record], &["--checkpoint", head_text, "--ledger"]);
    rewritten.status(1).says(&["rewritten"]);
}

#[test]
fn keys_are_changed_and_old_records_still_hold_under_the_same_identity() {
    let mut stand = sealed();
    let keys = stand.shop.data().join("keys");
    assert_eq!((mode(&keys), mode(&keys.join("bench.key"))), (0o700, 0o600));
    let first = export(&stand, "first", &[]);
    let shown = stand.shop.pullmark(["key", "show", "--json"]).ok().json();
    let identity = shown["identity"].as_str().unwrap().to_owned();
    let pin = ["--pin", identity.as_str()];
    assert_eq!(
        verify(&stand, &[&first], &pin).ok().json()["fingerprint"],
        identity
    );
    stand
        .shop
        .pullmark(["key", "rotate"])
        .status(2)
        .says(&["another daemon is running"]);
    assert_eq!(stand.shop.terminate(), Some(0));
    let link = stand.shop.pullmark(["key", "rotate", "--json"]).ok().json();
    assert_eq!(link["reason"], "rotation");
    assert_ne!(link["key"], shown["key"]);
    assert!(
        !keys.join("bench.key").exists(),
        "the key before is forgotten"
    );
    stand.shop.pullmark(["ledger", "check"]).ok();
    stand.shop.start();
    stand.shop.act(&Act::Amend {
        build: stand.build.clone(),
        by: MECHANIC.to_owned(),
        reason: "signed by the new key".to_owned(),
    });
    let second = export(&stand, "second", &[]);
    let found = verify(&stand, &[&second, &first], &pin).ok().json();
    assert_ne!(found["records"][0]["key"], found["records"][1]["key"]);
    assert_eq!(found["records"][0]["ledger"]["refolded"], true);
    theirs(&stand, &second).ok();
    // With the newer history the first record's key is seen to be an old one.
    let history = stand.shop.folder().join("keys.json");
    let words = ["key", "history", "--out", history.to_str().unwrap()];
    stand.shop.pullmark(words).ok().says(&["rotation"]);
    let given = verify(&stand, &[&first], &["--keys", history.to_str().unwrap()]);
    assert_eq!(given.ok().json()["revoked"]["reason"], "rotation");
}

#[test]
fn a_lost_key_is_replaced_with_the_paper_from_the_safe() {
    let mut stand = sealed();
    let record = export(&stand, "out", &[]);
    let keys = stand.shop.data().join("keys");
    let sheets = stand.shop.folder().join("sheets");
    let sheets_text = sheets.to_str().unwrap();
    let identity = stand.shop.pullmark(["key", "show", "--json"]).ok().json()["identity"]
        .as_str()
        .unwrap()
        .to_owned();
    stand
        .shop
        .pullmark(["key", "sheet", "--out", sheets_text])
        .ok()
        .says(&["recovery-sheet.txt"]);
    let paper = sheets.join("recovery-sheet.txt");
    assert_eq!(mode(&paper), 0o600);
    assert!(read(&sheets.join("key-sheet.txt")).contains(&identity));
    let html = read(&sheets.join("key-sheet.html"));
    assert!(html.contains("<svg") && !html.contains("src=") && !html.contains("href="));
    stand.shop.pullmark(["key", "sheet", "--printed"]).ok();
    assert!(!keys.join("recovery.secret").exists());
    stand
        .shop
        .pullmark(["key", "sheet", "--out", sheets_text])
        .ok();

    assert_eq!(stand.shop.terminate(), Some(0));
    std::fs::remove_dir_all(&keys).unwrap();
    stand
        .shop
        .try_start()
        .unwrap_err()
        .says(2, &["pullmark key recover"]);
    let recover = |sheet: &Path, more: &[&str]| {
        let words = [
            "key",
            "recover",
            "--sheet",
            sheet.to_str().unwrap(),
            "--reason",
            "theft",
        ];
        stand.shop.pullmark([&words[..], more].concat())
    };
    let wrong = stand.shop.write(
        "wrong.txt",
        &read(&paper).replace("RECOVERY KEY: ", "RECOVERY KEY: 0"),
    );
    recover(&wrong, &[]).status(2);
    recover(&paper, &["--from", "2026-01-01T00:00:00+01:00", "--json"]).ok();
    stand.shop.pullmark(["ledger", "check"]).ok();
    stand.shop.start();
    let shown = stand.shop.pullmark(["key", "show", "--json"]).ok().json();
    assert_eq!(shown["identity"], identity.as_str());
    assert_eq!(
        shown["recovery_waits_to_be_printed"], true,
        "the old one is used up"
    );
    // What the thief may have signed since January no longer holds once the history is known.
    verify(&stand, &[&record], &[]).ok();
    let history = stand.shop.folder().join("keys.json");
    stand
        .shop
        .pullmark(["key", "history", "--out", history.to_str().unwrap()])
        .ok();
    verify(&stand, &[&record], &["--keys", history.to_str().unwrap()])
        .status(1)
        .says(&["was revoked from 2026-01-01", "theft"]);
}

/// A record file with its record changed, as `record verify` and the program that was written from the documents see it: both
/// refuse it. Gives back why.
#[track_caller]
fn refused(stand: &Stand, file: &Value, edit: impl FnOnce(&mut Value)) -> String {
    let mut file = file.clone();
    edit(&mut file["record"]);
    let path = stand.shop.write("forged.json", &file.to_string());
    theirs(stand, &path).status(1);
    let found = verify(stand, &[&path], &[]).status(1).json();
    assert_eq!(found["valid"], false);
    found["why"].as_str().unwrap().to_owned()
}

/// The order of the base point (RFC 8032, section 5.1), the lowest byte first.
const ORDER: [u8; 32] = [
    0xed, 0xd3, 0xf5, 0x5c, 0x1a, 0x63, 0x12, 0x58, 0xd6, 0x9c, 0xf7, 0xa2, 0xde, 0xf9, 0xde, 0x14,
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0x10,
];

/// Points of small order: the neutral one, that of order 2, and the neutral one written in a second way.
fn weak_points() -> [[u8; 32]; 3] {
    let mut neutral = [0; 32];
    neutral[0] = 1;
    let mut of_order_two = [0xff; 32];
    (of_order_two[0], of_order_two[31]) = (0xec, 0x7f);
    let mut again = of_order_two;
    again[0] = 0xee;
    [neutral, of_order_two, again]
}

#[test]
fn signatures_that_a_careless_verifier_takes_are_refused() {
    let stand = sealed();
    let file: Value = serde_json::from_str(&read(&export(&stand, "out", &[]))).unwrap();
    let good = from_base58btc(file["record"]["proof"]["proofValue"].as_str().unwrap()).unwrap();
    let value = |bytes: &[u8]| Value::from(to_base58btc(bytes));

    // S and the order of the base point: the same number to whoever does not look whether it is reduced.
    let mut larger = good.clone();
    let mut carry = 0;
    for (byte, more) in larger[32..].iter_mut().zip(ORDER) {
        let sum = u16::from(*byte) + u16::from(more) + carry;
        *byte = u8::try_from(sum & 0xff).unwrap();
        carry = sum >> 8;
    }
    assert_eq!(carry, 0, "it still has 32 bytes");
    let why = refused(&stand, &file, |record| {
        record["proof"]["proofValue"] = value(&larger);
    });
    assert!(why.contains("signature"), "{why}");

    // With a key of small order, this R and an S of zero fit any text: whoever takes such a key takes everything.
    for point in weak_points() {
        let forged = [point, [0; 32]].concat();
        let key = to_base58btc(&[&[0xed, 0x01][..], &point].concat());
        let why = refused(&stand, &file, |record| {
            record["issuer"] = format!("did:key:{key}").into();
            record["proof"]["verificationMethod"] = format!("did:key:{key}#{key}").into();
            record["proof"]["proofValue"] = value(&forged);
        });
        assert!(
            why.contains("weak") || why.contains("one proper form"),
            "{why}"
        );
        // The bench's own key, and such a point as R.
        let with_r = [&point[..], &good[32..]].concat();
        refused(&stand, &file, |record| {
            record["proof"]["proofValue"] = value(&with_r);
        });
    }
    for bytes in [&good[..63], &[&good[..], &[0]].concat(), &[0; 64][..]] {
        refused(&stand, &file, |record| {
            record["proof"]["proofValue"] = value(bytes);
        });
    }
}

#[test]
fn no_weaker_suite_version_or_proof_can_be_put_in_its_place() {
    let stand = sealed();
    let path = export(&stand, "out", &[]);
    let file: Value = serde_json::from_str(&read(&path)).unwrap();
    for (member, other) in [
        ("cryptosuite", "eddsa-rdfc-2022"),
        ("cryptosuite", "ecdsa-jcs-2019"),
        ("cryptosuite", "EDDSA-JCS-2022"),
        ("cryptosuite", "none"),
        ("type", "Ed25519Signature2020"),
        ("proofPurpose", "authentication"),
    ] {
        let why = refused(&stand, &file, |record| {
            record["proof"][member] = other.into();
        });
        assert!(why.contains(member) && why.contains(other), "{why}");
    }
    for member in ["cryptosuite", "type", "proofPurpose", "proofValue"] {
        refused(&stand, &file, |record| {
            record["proof"].as_object_mut().unwrap().remove(member);
        });
    }
    // No proof, an empty list, and the good proof beside one of another kind.
    refused(&stand, &file, |record| {
        record.as_object_mut().unwrap().remove("proof");
    });
    refused(&stand, &file, |record| {
        record["proof"] = Value::Array(Vec::new());
    });
    refused(&stand, &file, |record| {
        let mut weaker = record["proof"].clone();
        weaker["cryptosuite"] = "none".into();
        record["proof"] = vec![weaker, record["proof"].clone()].into();
    });
    // The first version of the record, for which the entries were not folded again.
    refused(&stand, &file, |record| {
        record["credentialSubject"]["record_version"] = 1.into();
    });

    // Without its history the record still holds, and it is said what is not known then.
    let whole = verify(&stand, &[&path], &[]).ok().json();
    let mut bare = file;
    bare.as_object_mut().unwrap().remove("history");
    let bare = stand.shop.write("bare.json", &bare.to_string());
    let found = verify(&stand, &[&bare], &[]).ok().json();
    assert_eq!(found["ledger"], Value::Null);
    let unknown = |found: &Value| found["not_known"].as_array().unwrap().len();
    assert!(unknown(&found) > unknown(&whole), "{found}");
}
