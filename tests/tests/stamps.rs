//! Time stamps of an outside authority (RFC 3161), which openssl plays: kept, carried by records, checked by us and by
//! openssl from the record file alone.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use pullmark_stamp::{StampError, certificates, read, request, token_of};
use pullmark_tests::programs::program;
use pullmark_tests::python::{published, python};
use pullmark_tests::{Authority, Command, Said, Shop, Stand, plans};
use serde_json::Value;
use std::path::{Path, PathBuf};

const DATA: &[u8] = b"the head of a ledger";

fn token(authority: &Authority, data: &[u8]) -> Vec<u8> {
    token_of(&authority.answer(&request(data, Some(7)).unwrap())).unwrap()
}

fn trusted(authority: &Authority) -> Vec<pullmark_stamp::CertificateDer<'static>> {
    certificates(&std::fs::read(authority.root()).unwrap()).unwrap()
}

#[test]
fn a_stamp_of_openssl_holds_for_who_trusts_its_authority_and_for_nobody_else() {
    for authority in [Authority::new(), Authority::rsa()] {
        let token = token(&authority, DATA);
        let stamp = read(&token, DATA).unwrap();
        assert_eq!(stamp.nonce, Some(7));
        assert!(stamp.authority.contains("Invented time authority"));
        let age = chrono::Utc::now() - stamp.time;
        assert!((0..120).contains(&age.num_seconds()), "{age}");
        assert_eq!(stamp.trusted(&trusted(&authority)), Ok(()));
        for others in [trusted(&Authority::new()), Vec::new()] {
            let refused = stamp.trusted(&others);
            assert!(
                matches!(refused, Err(StampError::NotTrusted(_))),
                "{refused:?}"
            );
        }
        assert_eq!(
            read(&token, b"another head").unwrap_err(),
            StampError::OtherData
        );
    }
}

#[test]
fn a_certificate_that_had_ended_when_it_stamped_is_not_trusted() {
    let authority = Authority::expired();
    let stamp = read(&token(&authority, DATA), DATA).unwrap();
    let refused = stamp.trusted(&trusted(&authority));
    assert!(
        matches!(refused, Err(StampError::NotTrusted(_))),
        "{refused:?}"
    );
}

#[test]
fn no_byte_of_a_token_can_be_changed() {
    let authority = Authority::new();
    let (token, trusted) = (token(&authority, DATA), trusted(&authority));
    for at in 0..token.len() {
        for change in [1, 0x20, 0xFF] {
            let mut changed = token.clone();
            changed[at] ^= change;
            let holds = read(&changed, DATA).and_then(|stamp| stamp.trusted(&trusted));
            assert!(holds.is_err(), "byte {at} of {}, ^ {change}", token.len());
        }
    }
    for length in 0..token.len() {
        assert!(read(&token[..length], DATA).is_err(), "{length} bytes");
    }
}

#[test]
fn what_is_no_stamp_is_refused_in_words() {
    let authority = Authority::new();
    let refused = authority.answer(b"not a question");
    let error = token_of(&refused).unwrap_err();
    assert!(
        matches!(error, StampError::Refused { status: 2, .. }),
        "{error}"
    );
    assert_eq!(token_of(b"<html>"), Err(StampError::NoToken));
    let long = vec![0x30; 70_000];
    assert_eq!(token_of(&long), Err(StampError::TooLong { bytes: 70_000 }));
    assert_eq!(certificates(b"nothing"), Err(StampError::NoCertificates));
}

/// A shop that has its heads stamped, with a bike that was handed over.
fn stamped(authority: &Authority) -> Stand {
    let mut shop = Shop::closed(&[]);
    let text = format!("time_authority = \"http://{}/stamp\"\n", authority.serve());
    let settings = shop.write("pullmarkd.toml", &text);
    shop.with_variable("PULLMARK_CONFIG", settings.to_str().unwrap());
    shop.start();
    let mut stand = Stand::begin_in(shop, plans::SMALL);
    stand.work_to_the_end();
    stand.finish();
    stand.events.wait_for_kind("record-sealed");
    stand.events.wait_for_kind("head-timestamped");
    stand
}

fn export(stand: &Stand, name: &str, more: &[&str]) -> PathBuf {
    stand
        .export(name, &[more, &["--replace"]].concat())
        .join("record.json")
}

fn verify(stand: &Stand, file: &Path, authority: Option<&Authority>) -> Said {
    let mut words = vec!["record".to_owned(), "verify".into(), "--json".into()];
    words.push(file.to_str().unwrap().to_owned());
    if let Some(authority) = authority {
        words.extend([
            "--authority".into(),
            authority.root().to_str().unwrap().to_owned(),
        ]);
    }
    stand.shop.pullmark(words)
}

fn json(file: &Path) -> Value {
    serde_json::from_slice(&std::fs::read(file).unwrap()).unwrap()
}

#[test]
fn a_record_carries_the_stamp_of_a_head_that_covers_it() {
    let authority = Authority::new();
    let stand = stamped(&authority);
    for more in [&[][..], &["--redact"]] {
        let file = export(&stand, "out", more);
        let plain = verify(&stand, &file, None).ok().json();
        assert_eq!(plain["time_stamp"]["trusted"], false);
        assert!(plain["not_known"].to_string().contains("--authority"));
        let with = verify(&stand, &file, Some(&authority)).ok().json();
        assert_eq!(with["time_stamp"]["trusted"], true);
        assert!(!with["not_known"].to_string().contains("--authority"));
        verify(&stand, &file, Some(&Authority::new())).status(1);
        // openssl, with nothing but the file
        let history = json(&file)["history"].clone();
        let text = |member: &str| history[member].as_str().unwrap().to_owned();
        let (head, token) = (
            stand.shop.folder().join("head"),
            stand.shop.folder().join("token"),
        );
        std::fs::write(&head, text("checkpoint")).unwrap();
        std::fs::write(&token, STANDARD.decode(text("timestamp")).unwrap()).unwrap();
        assert!(authority.says(&token, &head));
        assert!(!authority.says(&token, &file));
    }
    stand.shop.pullmark(["ledger", "check"]).ok();
}

#[test]
fn other_programs_take_a_record_with_a_stamp_and_one_that_was_tampered_with_is_refused() {
    let authority = Authority::new();
    let stand = stamped(&authority);
    let file = export(&stand, "out", &[]);
    Command::new(python(), stand.shop.folder())
        .arg(published("verify_record.py"))
        .arg(&file)
        .run()
        .ok();
    Command::new(program("pullmark-verify"), stand.shop.folder())
        .arg(&file)
        .run()
        .ok()
        .says(&["time stamp"]);
    let whole = json(&file);
    let good = whole["history"]["timestamp"].as_str().unwrap().to_owned();
    let mut bent = STANDARD.decode(&good).unwrap();
    let middle = bent.len() / 2;
    bent[middle] ^= 1;
    let of_something_else = STANDARD.encode(token(&authority, DATA));
    for stamp in [
        STANDARD.encode(bent),
        of_something_else,
        "!".to_owned(),
        String::new(),
    ] {
        let mut changed = whole.clone();
        changed["history"]["timestamp"] = stamp.into();
        let other = stand.shop.write("changed.json", &changed.to_string());
        verify(&stand, &other, None).status(1);
    }
    // Left out, nothing is known of it; whoever asked for it is told.
    let mut without = whole;
    without["history"]
        .as_object_mut()
        .unwrap()
        .remove("timestamp");
    let other = stand.shop.write("without.json", &without.to_string());
    verify(&stand, &other, None).ok();
    verify(&stand, &other, Some(&authority)).status(1);
}

#[test]
fn an_authority_that_another_program_asks_is_kept_too_and_once_only() {
    let authority = Authority::new();
    let mut stand = Stand::begin(plans::SMALL);
    stand.work_to_the_end();
    stand.finish();
    let folder = stand.shop.folder().to_owned();
    let (question, answer) = (folder.join("question"), folder.join("answer"));
    let words = |option: &str, file: &Path| {
        ["ledger", "timestamp", option, file.to_str().unwrap()].map(str::to_owned)
    };
    let keep = |bytes: &[u8]| {
        std::fs::write(&answer, bytes).unwrap();
        stand.shop.pullmark(words("--response", &answer))
    };
    stand.shop.pullmark(words("--request", &question)).ok();
    let good = authority.answer(&std::fs::read(&question).unwrap());
    keep(&authority.answer(&request(DATA, None).unwrap()))
        .status(1)
        .says(&["no signed head of this ledger"]);
    keep(&authority.answer(b"nonsense"))
        .status(1)
        .says(&["made no time stamp"]);
    keep(b"<html>").status(1);
    keep(&good).ok();
    keep(&good).status(1).says(&["has one already"]);
    let file = export(&stand, "out", &[]);
    verify(&stand, &file, Some(&authority)).ok();
    // The token lies in the ledger under its hash.
    stand.shop.pullmark(["ledger", "check"]).ok();
}

#[test]
fn an_authority_that_is_named_wrongly_is_said_at_the_start() {
    let mut shop = Shop::closed(&[]);
    let settings = shop.write(
        "pullmarkd.toml",
        "time_authority = \"https://time.example\"\n",
    );
    shop.with_variable("PULLMARK_CONFIG", settings.to_str().unwrap());
    let refused = shop.try_start().unwrap_err();
    assert!(
        refused.said.contains("http://host/path"),
        "{}",
        refused.said
    );
}
