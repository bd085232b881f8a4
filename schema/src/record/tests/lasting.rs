//! What makes a record last: its key history, its names, its place in the ledger, and the record that amends it.

use super::bench::{TIME, day, document, every_byte_as_three_others, key};
use super::ledger::{Ledger, Seal, bench_key, checked, not_shown};
use crate::SigningKey;
use crate::build::tests::log::BUILD;
use crate::canonical::Digest32;
use crate::entry::{Event, Reopened};
use crate::keys::{KeyReason, NewKey, hash_of};
use crate::multikey::DidKey;
use crate::record::amend::{Amends, changed, follows};
use crate::record::file::RecordFile;
use crate::record::later::{continues, unanswered};
use crate::record::names::{self, Disclosure};
use crate::record::{
    Given, KeyStanding, Record, Seen, Verified, VerifyError, not_known, verify, verify_with,
};
use crate::{proof, tree};
use chrono::DateTime;
use serde_json::{Value, json};

fn events() -> Vec<Event> {
    day().entries.into_iter().map(|entry| entry.event).collect()
}

fn sealed() -> (Ledger, Seal) {
    let mut ledger = Ledger::of(&bench_key(), &events());
    let seal = ledger.seal(BUILD, None, |_| {});
    (ledger, seal)
}

#[test]
fn a_record_file_shows_its_record_in_the_ledger() {
    let (ledger, seal) = sealed();
    let file = ledger.file(&seal);
    let found = checked(&file).unwrap();
    let shown = found.in_ledger.clone().unwrap();
    assert!(shown.refolded && shown.numbered);
    assert_eq!((shown.size, shown.root), ledger.head());
    assert_eq!(found.record, seal.shown, "with its names");
    assert_eq!((found.sha256, found.hidden_names), (seal.hash, 0));
    assert_eq!(found.fingerprint, ledger.links[0].hash());
    let pretty = serde_json::to_vec_pretty(&file).unwrap();
    assert_eq!(verify(&pretty).unwrap(), found, "layout is not signed");
    // the record alone holds too, without its names and its place
    let alone = verify(&serde_json::to_vec(&file.record).unwrap()).unwrap();
    assert_eq!(alone.sha256, found.sha256);
    assert!(alone.in_ledger.is_none() && alone.hidden_names > 0);
}

/// The holder of the key edits what the record says, and signs and seals that.
#[track_caller]
fn resealed(what: &str, edit: impl FnOnce(&mut Record)) {
    let mut ledger = Ledger::of(&bench_key(), &events());
    let seal = ledger.seal(BUILD, None, edit);
    let record = serde_json::to_vec(&seal.signed).unwrap();
    assert!(
        verify(&record).is_ok(),
        "the record alone does not show it: {:?}",
        verify(&record).err()
    );
    not_shown(&ledger.file(&seal), what);
}

#[test]
fn a_record_that_was_edited_and_signed_anew_is_not_what_its_entries_give() {
    resealed("/fasteners/1/readings", |record| {
        // A second, harmless pull disappears.
        let fastener = &mut record.subject.fasteners[1];
        let last = fastener.readings.pop().unwrap();
        let over = &mut fastener.readings[1];
        assert!(over.verdict.is_some() && last.counts);
    });
    resealed("/elsewhere", |record| record.subject.elsewhere.clear());
    resealed("/elsewhere", |record| {
        let mut more = record.subject.elsewhere[0].clone();
        more.sequence = 16;
        record.subject.elsewhere.push(more);
    });
    resealed("/tools/0/certificate", |record| {
        let certificate = record.subject.tools[0].certificate.as_mut().unwrap();
        certificate.laboratory = "Another".to_owned();
    });
    resealed("/bike/frame", |record| {
        record.subject.bike.frame = "other".to_owned();
    });
}

#[test]
fn practice_cannot_be_passed_off_as_work() {
    let sealed = |is_said: bool| {
        let mut ledger = Ledger::new(&bench_key());
        ledger.practice = true;
        let mut ledger = ledger.with(&events());
        let seal = ledger.seal(BUILD, None, |record| record.subject.practice = is_said);
        ledger.file(&seal)
    };
    assert!(checked(&sealed(true)).unwrap().record.subject.practice);
    not_shown(
        &sealed(false),
        "is practice, and the record does not say so",
    );
}

#[test]
fn the_proof_is_from_the_moment_that_the_record_names() {
    let day = day();
    let document = document(&day);
    assert!(
        verify(&serde_json::to_vec(&proof::sign(&document, &key(), TIME).unwrap()).unwrap())
            .is_ok()
    );
    let early = proof::sign(&document, &key(), "2026-03-15T17:00:00.000+01:00").unwrap();
    let error = verify(&serde_json::to_vec(&early).unwrap()).unwrap_err();
    assert!(error.to_string().contains("another moment"), "{error}");
}

#[test]
fn another_of_the_files_is_told_apart() {
    let (ledger, seal) = sealed();
    let record = ledger.file(&seal).bytes().unwrap();
    for (begin, what) in [
        (&b"%PDF-1.7"[..], "attached"),
        (b"PK\x03\x04", "unpack"),
        (b"<!DOCTYPE html>", "browser"),
        (b"\xEF\xBB\xBF", "byte order mark"),
    ] {
        let error = verify(&[begin, &record].concat()).unwrap_err().to_string();
        assert!(error.contains(what), "{error}");
    }
    let null = verify(b"null").unwrap_err().to_string();
    assert!(null.contains("proof"), "{null}");
}

#[test]
fn times_that_do_not_follow_on_one_another_are_said_and_condemn_nothing() {
    let (ledger, seal) = sealed();
    let verified = checked(&ledger.file(&seal)).unwrap();
    let said = |verified: &Verified, now: Option<&str>| {
        let now = now.map(|now| DateTime::parse_from_rfc3339(now).unwrap());
        let seen = Seen {
            now,
            ..Seen::default()
        };
        not_known(verified, seen).join("\n")
    };
    let plain = said(&verified, None);
    assert!(
        !plain.contains("follow on one another") && !plain.contains("ahead"),
        "{plain}"
    );
    assert!(
        said(&verified, Some("2001-01-01T00:00:00Z"))
            .contains("lies ahead of this machine's clock")
    );
    assert_eq!(said(&verified, Some("2101-01-01T00:00:00Z")), plain);
    let mut practice = verified.clone();
    practice.record.subject.practice = true;
    assert_eq!(said(&practice, Some("2001-01-01T00:00:00Z")), plain);
    let mut back = verified;
    back.record.subject.finished.time = "2031-01-01T00:00:00.000+01:00".to_owned();
    assert!(said(&back, None).contains("do not follow on one another"));
}

/// The holder of the key leaves entries out of the file, or changes them.
#[track_caller]
fn with_entries(what: &str, edit: impl FnOnce(&Ledger, &mut Vec<u64>)) {
    let (ledger, seal) = sealed();
    let mut wanted: Vec<u64> = ledger
        .file(&seal)
        .history
        .unwrap()
        .entries
        .iter()
        .map(|entry| entry["sequence"].as_u64().unwrap())
        .collect();
    edit(&ledger, &mut wanted);
    not_shown(&ledger.file_of(&seal, wanted), what);
}

#[test]
fn an_entry_that_is_left_out_is_missed() {
    let without = |sequence: u64| {
        move |_: &Ledger, wanted: &mut Vec<u64>| wanted.retain(|known| *known != sequence)
    };
    with_entries("an entry of the build is missing", without(7));
    with_entries("an entry of the build is missing", without(3));
    with_entries("another key history", without(1));
    with_entries("/tools", without(2));
    // the last one before the seal
    with_entries("an entry of the build is missing", |ledger, wanted| {
        let last = ledger.entries.len() as u64 - 4;
        assert_eq!(
            ledger.entries[usize::try_from(last).unwrap()].event.kind(),
            "build-finished"
        );
        wanted.retain(|known| *known != last);
    });
    with_entries("none of the entries says", |ledger, wanted| {
        let seal = ledger.entries.len() as u64 - 3;
        wanted.retain(|known| *known != seal);
    });
}

/// A reading is dropped from the ledger itself, everything is numbered anew and signed: then the head is another one.
#[test]
fn a_ledger_that_was_rewritten_does_not_continue_an_earlier_head() {
    let (ledger, seal) = sealed();
    let found = checked(&ledger.file(&seal)).unwrap();
    let mut later = ledger.clone();
    later.add(Event::ClockChanged { by_ms: 5_000 });
    let hashes = |ledger: &Ledger| -> Vec<String> {
        let size = found.in_ledger.as_ref().unwrap().size;
        let hashes = tree::consistency_proof(&ledger.leaves, size).unwrap();
        hashes.iter().map(tree::hash_text).collect()
    };
    let size = later.head().0;
    let why = unanswered(&found, &later.checkpoint(), false).unwrap();
    assert!(why.contains(&format!("covers {size} entries")), "{why}");
    assert_eq!(unanswered(&found, &later.checkpoint(), true), None);
    assert_eq!(unanswered(&found, &ledger.checkpoint(), false), None);
    let head = continues(&found, &later.checkpoint(), &hashes(&later)).unwrap();
    assert_eq!((head.size, head.root), later.head());
    assert!(
        continues(&found, &ledger.checkpoint(), &[]).is_ok(),
        "itself"
    );

    let mut others = events();
    others.remove(4);
    let mut rewritten = Ledger::of(&bench_key(), &others);
    rewritten.seal(BUILD, None, |_| {});
    for _ in 0..3 {
        rewritten.add(Event::ClockChanged { by_ms: 5_000 });
    }
    let why = continues(&found, &rewritten.checkpoint(), &hashes(&rewritten)).unwrap_err();
    assert!(why.to_string().contains("rewritten"), "{why}");
    let stranger = Ledger::of(&SigningKey::from_bytes(&[66; 32]), &events());
    assert!(continues(&found, &stranger.checkpoint(), &[]).is_err());
    let mut shorter = ledger;
    shorter.leaves.pop();
    let why = continues(&found, &shorter.checkpoint(), &[]).unwrap_err();
    assert!(why.to_string().contains("fewer"), "{why}");
}

#[test]
fn what_lies_beside_the_record_cannot_be_changed_either() {
    let (ledger, seal) = sealed();
    let good = serde_json::to_value(ledger.file(&seal)).unwrap();
    let edits: [fn(&mut Value); 15] = [
        |f| f["history"]["entries"][5]["body"]["placement"] = json!(null),
        |f| f["history"]["entries"].as_array_mut().unwrap().swap(4, 5),
        |f| {
            let double = f["history"]["entries"][4].clone();
            f["history"]["entries"]
                .as_array_mut()
                .unwrap()
                .insert(5, double);
        },
        |f| f["history"]["entries"][5]["time"] = json!("2026-03-14T10:00:09.000+01:00"),
        |f| f["history"]["entries"][5]["colour"] = json!("red"),
        |f| f["history"]["hashes"][0] = json!("AAAA"),
        |f| f["history"]["hashes"].as_array_mut().unwrap().reverse(),
        |f| {
            let text = f["history"]["checkpoint"]
                .as_str()
                .unwrap()
                .replace("north", "south");
            f["history"]["checkpoint"] = json!(text + "x");
        },
        |f| f["plans"] = json!([f["plans"][0].as_str().unwrap().replace("5 N·m", "6 N·m")]),
        |f| f["names"][0]["name"] = json!("Somebody Else"),
        |f| f["names"][0]["salt"] = json!("00"),
        |f| f["keys"] = json!([]),
        |f| f["keys"][0]["valid_from"] = json!("2020-01-01T00:00:00Z"),
        |f| f["colour"] = json!("red"),
        |f| f["format"] = json!("pullmark.invalid/record-file/2"),
    ];
    for (number, edit) in edits.into_iter().enumerate() {
        let mut changed = good.clone();
        edit(&mut changed);
        let found = verify(&serde_json::to_vec(&changed).unwrap());
        // Without the newer history the record's own one is enough.
        assert_eq!(found.is_ok(), number == 11, "{number}: {found:?}");
    }
    let mut words = good.clone();
    words["for_customer"] = json!({ "text": "Thank you", "signed": false });
    let found = verify(&serde_json::to_vec(&words).unwrap()).unwrap();
    assert_eq!(found.for_customer.as_deref(), Some("Thank you"));
    words["for_customer"]["signed"] = json!(true);
    assert!(verify(&serde_json::to_vec(&words).unwrap()).is_err());
}

#[test]
fn names_can_be_left_out_and_the_signature_still_holds() {
    let (ledger, seal) = sealed();
    let text = String::from_utf8(ledger.file(&seal).bytes().unwrap()).unwrap();
    assert!(text.contains("I. Berg") && text.contains("M. Oduya"));
    let mut file = ledger.file_of(&seal, vec![seal.sequence + 1]);
    file.names.clear();
    file.plans.clear();
    let bytes = file.bytes().unwrap();
    let text = String::from_utf8(bytes.clone()).unwrap();
    assert!(!text.contains("Berg") && !text.contains("Oduya"));
    let found = verify(&bytes).unwrap();
    assert_eq!(found.sha256, seal.hash);
    assert_eq!(found.hidden_names, 2, "as many people as there were");
    let shown = found.in_ledger.unwrap();
    assert!(
        !shown.refolded,
        "it is in the ledger, its readings are not shown"
    );
    // one of the two may be told
    file.names = vec![seal.names[0].clone()];
    assert_eq!(checked(&file).unwrap().hidden_names, 1);
    // a name that nobody signed
    file.names.push(Disclosure {
        salt: "ab".repeat(16),
        name: "S. Tranger".to_owned(),
    });
    assert_eq!(checked(&file).unwrap_err(), VerifyError::Names);
}

#[test]
fn a_name_cannot_be_guessed_without_its_salt_and_differs_in_every_record() {
    let (_, seal) = sealed();
    let (_, other) = names::hide(&seal.shown, &[4; 32]).unwrap();
    assert_eq!(other.len(), seal.names.len());
    for (one, other) in seal.names.iter().zip(&other) {
        assert_eq!(one.name, other.name);
        assert_ne!(one.hidden(), other.hidden());
        assert_ne!(
            one.hidden().unwrap(),
            format!("sha256:{}", Digest32::of(one.name.as_bytes()))
        );
    }
}

fn new_key<'a>(key: &SigningKey, next: u8, recovery: u8, valid_from: &'a str) -> NewKey<'a> {
    let did = |seed: u8| DidKey::of(&SigningKey::from_bytes(&[seed; 32]));
    NewKey {
        key: DidKey::of(key),
        next: hash_of(&did(next)),
        recovery: hash_of(&did(recovery)),
        valid_from,
    }
}

#[test]
fn a_newer_history_says_what_became_of_the_key() {
    let (ledger, seal) = sealed();
    let bytes = ledger.file(&seal).bytes().unwrap();
    let found = verify(&bytes).unwrap();
    assert_eq!(found.key_standing, KeyStanding::Present);
    let recovery = SigningKey::from_bytes(&[200; 32]);
    let fresh = SigningKey::from_bytes(&[50; 32]);
    let later = "2026-06-01T09:00:00.000+02:00";
    let follow = |from: &str| {
        let new = new_key(&fresh, 51, 201, later);
        let link = ledger.links[0].follow(&new, &recovery, KeyReason::Theft, from);
        Given {
            keys: vec![ledger.links[0].clone(), link.unwrap()],
            pin: None,
        }
    };
    // stolen after the record was signed on 15 March
    let found = verify_with(&bytes, &follow("2026-05-01T00:00:00.000+02:00")).unwrap();
    assert!(matches!(
        found.key_standing,
        KeyStanding::RevokedSince {
            reason: KeyReason::Theft,
            ..
        }
    ));
    // stolen before
    let found = verify_with(&bytes, &follow("2026-03-10T00:00:00.000+01:00"));
    assert!(
        matches!(found, Err(VerifyError::Revoked { .. })),
        "{found:?}"
    );
    // the history of another bench
    let stranger = Ledger::new(&SigningKey::from_bytes(&[66; 32]));
    let given = Given {
        keys: stranger.links,
        pin: None,
    };
    assert_eq!(
        verify_with(&bytes, &given).unwrap_err(),
        VerifyError::OtherHistory
    );
}

#[test]
fn a_pin_holds_over_a_change_of_keys_and_for_no_other_bench() {
    let mut ledger = Ledger::of(&bench_key(), &events());
    let pin = ledger.links[0].hash();
    // The promised key of these tests is 101.
    let next = SigningKey::from_bytes(&[101; 32]);
    let new = new_key(&next, 102, 200, "2026-03-14T10:00:00.000+01:00");
    let link = ledger.links[0]
        .follow(&new, &bench_key(), KeyReason::Rotation, new.valid_from)
        .unwrap();
    ledger.links.push(link.clone());
    ledger.add(Event::KeyLinked(Box::new(link)));
    ledger.key = next;
    let seal = ledger.seal(BUILD, None, |_| {});
    let bytes = ledger.file(&seal).bytes().unwrap();
    let given = |pin| Given {
        keys: Vec::new(),
        pin: Some(pin),
    };
    let found = verify_with(&bytes, &given(pin)).unwrap();
    assert_eq!(found.fingerprint, pin);
    assert!(found.in_ledger.unwrap().refolded);
    let other = given(Digest32::new([1; 32]));
    assert!(matches!(
        verify_with(&bytes, &other),
        Err(VerifyError::OtherBench { .. })
    ));
    // Another shop signs the same readings with its own key: nothing is wrong but whose it is.
    let mut stranger = Ledger::of(&SigningKey::from_bytes(&[66; 32]), &events());
    let seal = stranger.seal(BUILD, None, |_| {});
    let bytes = stranger.file(&seal).bytes().unwrap();
    assert!(verify(&bytes).is_ok());
    assert!(matches!(
        verify_with(&bytes, &given(pin)),
        Err(VerifyError::OtherBench { .. })
    ));
}

fn amends_of(seal: &Seal, after: &Record) -> Amends {
    Amends {
        record: seal.hash,
        id: seal.shown.id.clone(),
        sealed: seal.shown.valid_from.clone(),
        reason: "service".to_owned(),
        changed: changed(&seal.shown.subject, &after.subject),
    }
}

#[test]
fn a_record_that_amends_another_names_it_and_what_is_different() {
    let (mut ledger, first) = sealed();
    ledger.add(Event::Reopened(Reopened {
        build: BUILD.into(),
        by: "I. Berg".into(),
        reason: "service".into(),
    }));
    ledger.add(Event::Loosened(crate::entry::OnFastener {
        build: BUILD.into(),
        fastener: "a".into(),
        by: "I. Berg".into(),
        reason: Some("new bar".into()),
    }));
    ledger.add(Event::Deferred(crate::entry::Deferral {
        build: BUILD.into(),
        fastener: "a".into(),
        by: "I. Berg".into(),
        reason: Some("bar is on its way".into()),
        waits_for: None,
    }));
    ledger.add(Event::BuildFinished {
        build: BUILD.into(),
        by: "I. Berg".into(),
        sure: None,
    });
    let draft = ledger.clone().seal(BUILD, None, |_| {}).shown;
    let amends = amends_of(&first, &draft);
    let fasteners: Vec<_> = amends
        .changed
        .iter()
        .map(|changed| changed.fastener.as_deref().unwrap_or("-"))
        .collect();
    assert_eq!(fasteners, ["-", "a"]);
    assert!(amends.changed[1].members.contains(&"standing".to_owned()));
    let second = ledger.seal(BUILD, Some(amends.clone()), |_| {});
    let found = checked(&ledger.file(&second)).unwrap();
    let before = checked(&ledger.file(&first)).unwrap();
    assert_eq!(
        follows(&found.record, &before.record, &before.sha256),
        Some(true)
    );
    assert_eq!(follows(&before.record, &found.record, &found.sha256), None);
    // names left out do not change what is different
    let alone = |seal: &Seal| verify(&serde_json::to_vec(&seal.signed).unwrap()).unwrap();
    assert_eq!(
        follows(&alone(&second).record, &alone(&first).record, &first.hash),
        Some(true)
    );

    // a record that hides that it amends another
    let mut hiding = ledger.clone();
    let hidden = hiding.seal(BUILD, None, |_| {});
    not_shown(&hiding.file(&hidden), "does not name the record before it");
    // a record that tells the difference wrong
    let lying = Amends {
        changed: Vec::new(),
        record: second.hash,
        id: second.shown.id.clone(),
        sealed: second.shown.valid_from.clone(),
        reason: "service".to_owned(),
    };
    let mut lied = ledger.clone();
    let third = lied.seal(BUILD, Some(lying), |record| {
        record.subject.bike.label = Some("another".to_owned());
    });
    assert_eq!(
        follows(&third.shown, &found.record, &found.sha256),
        Some(false)
    );
}

/// A file of a build with one fastener that waits, as small as a file gets.
fn small_file() -> RecordFile {
    let text = "title=\"t\"\nedition=\"1\"\n[[stage]]\nid=\"s\"\ntitle=\"S\"\nfastener=[{id=\"f\",title=\"F\",spec={upper=\"6 N·m\"}}]";
    let plan = crate::plan::read(text).plan.unwrap();
    let by = "I. Berg".to_owned();
    let build = BUILD.to_owned();
    let started = Event::BuildStarted {
        build: build.clone(),
        bike: crate::entry::Bike {
            frame: "FG54-0117".into(),
            label: None,
        },
        plan: crate::entry::PlanPin {
            title: plan.title,
            edition: plan.edition,
            sha256: plan.sha256,
        },
        by: by.clone(),
        follows: None,
    };
    let deferred = Event::Deferred(crate::entry::Deferral {
        build: build.clone(),
        fastener: "f".into(),
        by: by.clone(),
        reason: None,
        waits_for: None,
    });
    let finished = Event::BuildFinished {
        build,
        by,
        sure: None,
    };
    let mut ledger = Ledger::of(&bench_key(), &[started, deferred, finished]);
    text.clone_into(&mut ledger.plan);
    let seal = ledger.seal(BUILD, None, |_| {});
    // Nothing was pulled, so no tool has to be told.
    let wanted = [1, 3, 4, 5, seal.sequence];
    let mut file = ledger.file_of(&seal, wanted.to_vec());
    // The history in the record is the same one.
    file.keys.clear();
    file
}

/// Every byte, as three others: the file does not hold, or still says the very same.
#[test]
fn no_single_byte_of_a_record_file_can_be_changed() {
    let bytes = small_file().bytes().unwrap();
    let whole = verify(&bytes).unwrap();
    assert!(whole.in_ledger.as_ref().is_some_and(|found| found.refolded));
    every_byte_as_three_others(&bytes, |changed| {
        verify(changed).is_ok_and(|found| found != whole)
    });
    for cut in [1, 2, bytes.len() / 2] {
        assert!(verify(&bytes[..bytes.len() - cut]).is_err());
    }
}
