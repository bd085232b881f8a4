//! A composed and signed record holds; one that contradicts itself does not, even if it was signed anew.

pub(crate) mod bench;
mod checks;
mod lasting;
pub(crate) mod ledger;
mod life;

use super::*;
use crate::build::tests::log::{Log, place};
use crate::canonical;
use crate::entry::Decision::{InspectedAndKept, PartReplaced, TightenedAgain};
use bench::{
    clean_up, composed, day, document, edited, every_byte_as_three_others, key, sealed, small,
};
use proptest::prelude::*;
use serde_json::{Value, json};

#[test]
fn only_a_finished_build_has_a_record() {
    let mut log = Log::new();
    assert!(composed(&log).is_none());
    clean_up(&mut log);
    log.finish();
    assert!(composed(&log).is_some());
}

#[test]
fn a_sealed_record_holds_and_says_whose_it_is() {
    let log = day();
    let signed = sealed(&document(&log));
    let bytes = canonical::to_canonical(&signed).unwrap();
    let verified = verify(&bytes).unwrap();
    assert_eq!(verified.record, composed(&log).unwrap());
    assert_eq!(verified.key, crate::multikey::DidKey::of(&key()));
    assert_eq!(verified.sha256, Digest32::of(&bytes));
    let first = &verified.record.subject.key_history[0];
    assert_eq!(
        verified.fingerprint,
        Digest32::of(&canonical::to_canonical_of(first).unwrap())
    );
    // layout is not signed
    let pretty = serde_json::to_vec_pretty(&signed).unwrap();
    assert_ne!(pretty, bytes);
    assert_eq!(verify(&pretty).unwrap(), verified);
}

#[test]
fn it_says_what_was_done_and_what_was_not() {
    let record = composed(&day()).unwrap();
    let subject = &record.subject;
    let standing: Vec<String> = subject
        .fasteners
        .iter()
        .map(|f| format!("{} {}", f.id, f.standing))
        .collect();
    assert_eq!(
        standing,
        [
            "a within",
            "b over, inspected and kept",
            "c within",
            "d within",
            "pedal deferred",
            "cap within"
        ]
    );
    let not_done: Vec<String> = subject
        .not_done
        .iter()
        .map(|n| format!("{} {:?} {:?}", n.fastener, n.what, n.reason))
        .collect();
    assert_eq!(
        not_done,
        [
            "pedal Torque Some(\"bolt is on back order\")",
            "cap Prep None"
        ]
    );
    assert_eq!(
        subject.summary,
        Summary {
            fasteners: 6,
            within: 4,
            over_kept: 1,
            deferred: 1,
            ..Summary::default()
        }
    );
    let counts: Vec<bool> = subject.fasteners[2]
        .readings
        .iter()
        .map(|reading| reading.counts)
        .collect();
    assert_eq!(
        counts,
        [false, true, true],
        "what was undone stays and no longer counts"
    );
    assert_eq!(
        (
            subject.elsewhere.len(),
            subject.alarms.len(),
            subject.tools.len()
        ),
        (1, 1, 1)
    );
    assert!(subject.alarms[0].acknowledged.is_some());
    assert_eq!(
        record.id, "urn:uuid:07070707-0707-4707-8707-070707070707",
        "version and variant of RFC 9562"
    );
    assert_eq!(
        (subject.ledger.first, subject.ledger.last),
        (3, day().build.last_sequence)
    );
}

#[test]
fn a_second_look_counts_from_another_person_after_the_last_pull() {
    let missing = |by: &str, before: bool| {
        let mut log = Log::new();
        if before {
            log.look("d", by);
        }
        log.pull("d", 0, 3_000);
        log.pull("d", 1, 5_000);
        if !before {
            log.look("d", by);
        }
        clean_up(&mut log);
        log.finish();
        assert!(verify(&serde_json::to_vec(&sealed(&document(&log))).unwrap()).is_ok());
        composed(&log)
            .unwrap()
            .subject
            .not_done
            .iter()
            .any(|item| item.what == Missing::SecondLook)
    };
    assert!(!missing("M. Oduya", false));
    assert!(
        missing("I. Berg", false),
        "who built it cannot be the second pair of eyes"
    );
    assert!(
        missing("M. Oduya", true),
        "nobody looked at what was pulled after"
    );
}

/// The document is edited and signed anew with the same key; the check has to find it all the same.
#[track_caller]
fn contradicts(at: &str, what: &str, edit: impl FnOnce(&mut Value)) {
    match edited(edit) {
        Err(VerifyError::Contradiction {
            at: found_at,
            what: found,
        }) => {
            assert!(
                found_at == at && found.contains(what),
                "{found_at}: {found}"
            );
        }
        other => panic!("{at}, {what}: {other:?}"),
    }
}

/// The fasteners by their place: 0 a, 1 b, 2 c, 3 d, 4 pedal, 5 cap.
fn of(document: &mut Value, fastener: usize) -> &mut Value {
    &mut document["credentialSubject"]["fasteners"][fastener]
}

fn list<'a>(document: &'a mut Value, name: &str) -> &'a mut Vec<Value> {
    document["credentialSubject"][name].as_array_mut().unwrap()
}

fn readings(document: &mut Value, fastener: usize) -> &mut Vec<Value> {
    of(document, fastener)["readings"].as_array_mut().unwrap()
}

#[test]
fn a_changed_verdict_is_found() {
    contradicts("b, reading 7", "the verdict within does not follow", |d| {
        readings(d, 1)[1]["verdict"]["answer"] = json!("within");
    });
    contradicts("b, reading 7", "by other limits", |d| {
        readings(d, 1)[1]["verdict"]["limits"]["upper_millinewton_metre"] = json!(9_000);
    });
    contradicts("b, reading 6", "by other limits", |d| {
        of(d, 1)["spec"]["limits"]["upper_millinewton_metre"] = json!(9_000);
    });
    contradicts("a, reading 4", "by other limits", |d| {
        of(d, 0)["passes_percent"] = json!([80, 100]);
    });
    contradicts("a, reading 4", "no verdict, or belongs to another", |d| {
        readings(d, 0)[0].as_object_mut().unwrap().remove("verdict");
    });
    contradicts("a, reading 4", "no verdict, or belongs to another", |d| {
        readings(d, 0)[0]["placement"]["by-order"]["place"]["fastener"] = json!("b");
    });
    contradicts("a, reading 4", "no verdict, or belongs to another", |d| {
        readings(d, 0)[0]["placement"]["by-order"]["place"]["pass"] = json!(9);
    });
}

#[test]
fn a_changed_standing_is_found() {
    contradicts("summary", "does not count", |d| {
        of(d, 1)["standing"] = json!("within");
    });
    contradicts("summary", "does not count", |d| {
        d["credentialSubject"]["summary"]["within"] = json!(6);
    });
    let looks_within = |d: &mut Value| {
        of(d, 1)["standing"] = json!("within");
        d["credentialSubject"]["summary"]["within"] = json!(5);
        d["credentialSubject"]["summary"]["over_kept"] = json!(0);
    };
    contradicts("b", "said to be within", looks_within);
    contradicts("b, reading 7", "whether it counts", |d| {
        looks_within(d);
        readings(d, 1)[1]["counts"] = json!(false);
    });
    contradicts("c, reading 9", "whether it counts", |d| {
        readings(d, 2)[0]["counts"] = json!(true);
    });
    // a decision from before the over reading does not cover it
    contradicts("b", "said to be over, inspected and kept", |d| {
        of(d, 1)["dispositions"][0]["sequence"] = json!(6);
    });
    contradicts("b", "said to be over, inspected and kept", |d| {
        of(d, 1)["dispositions"] = json!([]);
    });
    contradicts("b", "said to be over, inspected and kept", |d| {
        of(d, 1)["dispositions"][0]["decision"] = json!("part-replaced");
    });
    contradicts("pedal", "said to be deferred", |d| {
        of(d, 4).as_object_mut().unwrap().remove("deferred");
    });
}

#[test]
fn a_changed_list_of_readings_is_found() {
    contradicts("a", "said to be within", |d| {
        readings(d, 0).pop();
    });
    contradicts("alarm 7", "its reading is not in the record", |d| {
        readings(d, 1).remove(1);
        of(d, 1)["standing"] = json!("within");
        of(d, 1)["dispositions"] = json!([]);
        d["credentialSubject"]["summary"]["within"] = json!(5);
        d["credentialSubject"]["summary"]["over_kept"] = json!(0);
    });
    contradicts("reading 4", "in the record twice", |d| {
        let double = readings(d, 0)[0].clone();
        readings(d, 0).push(double);
    });
    contradicts("a", "not in their order", |d| readings(d, 0).reverse());
    contradicts("reading 4", "outside the entries", |d| {
        d["credentialSubject"]["ledger"]["first"] = json!(5);
    });
    contradicts("reading 17", "outside the entries", |d| {
        d["credentialSubject"]["ledger"]["last"] = json!(14);
    });
    contradicts("reading 7", "listed apart", |d| {
        let over = readings(d, 1).remove(1);
        list(d, "elsewhere").push(over);
        of(d, 1)["standing"] = json!("within");
        of(d, 1)["dispositions"] = json!([]);
        d["credentialSubject"]["summary"]["within"] = json!(5);
        d["credentialSubject"]["summary"]["over_kept"] = json!(0);
    });
}

#[test]
fn a_changed_torque_or_tool_is_found() {
    contradicts("reading 7", "another torque judged", |d| {
        readings(d, 1)[1]["reading"]["applied_millinewton_metre"] = json!(5_400);
    });
    contradicts("reading 7", "another torque judged", |d| {
        readings(d, 1)[1]["reading"]["displayed"]["value"] = json!("5400");
    });
    contradicts("reading 7", "another torque judged", |d| {
        readings(d, 1)[1]["reading"]["displayed"]["unit"] = json!("mm");
    });
    contradicts("reading 7", "nothing was displayed", |d| {
        readings(d, 1)[1]["reading"]
            .as_object_mut()
            .unwrap()
            .remove("displayed");
    });
    contradicts("reading 4", "not among the tools", |d| {
        list(d, "tools").clear();
    });
    contradicts("reading 4", "not among the tools", |d| {
        readings(d, 0)[0]["reading"]["tool"] = json!("w9");
    });
}

#[test]
fn a_changed_list_of_what_was_not_done_is_found() {
    let differs = "what was not done disagrees";
    contradicts("pedal", differs, |d| list(d, "not_done").clear());
    contradicts("cap", differs, |d| {
        list(d, "not_done").pop();
    });
    contradicts("a", differs, |d| {
        list(d, "not_done").push(json!({"fastener": "a", "what": "torque"}));
    });
    contradicts("pedal", differs, |d| {
        list(d, "not_done")[0]["reason"] = json!("customer's wish");
    });
    contradicts("not_done", "stands twice", |d| {
        let double = list(d, "not_done")[0].clone();
        list(d, "not_done").push(double);
    });
    contradicts("a", differs, |d| of(d, 0)["prepared"] = json!([]));
    contradicts("d", differs, |d| of(d, 3)["looked"] = json!([]));
    contradicts("d", differs, |d| {
        of(d, 3)["looked"][0]["by"] = json!("I. Berg");
    });
    contradicts("d", differs, |d| {
        of(d, 3)["looked"][0]["sequence"] = json!(4);
    });
}

#[test]
fn a_changed_list_of_alarms_is_found() {
    contradicts("reading 7", "over and raised no alarm", |d| {
        list(d, "alarms").clear();
    });
    contradicts("reading 7", "over and raised no alarm", |d| {
        list(d, "alarms")[0]["reading"] = json!(6);
    });
    contradicts("alarm 7", "another limit", |d| {
        list(d, "alarms")[0]["upper_millinewton_metre"] = json!(5_900);
    });
    contradicts("alarm 7", "names no fastener", |d| {
        list(d, "alarms")[0]["place"]["fastener"] = json!("z");
    });
}

#[test]
fn other_cautions_are_found() {
    contradicts("cautions", "not the ones", |d| {
        list(d, "cautions").truncate(3);
    });
    contradicts("cautions", "not the ones", |d| {
        list(d, "cautions")[1] = json!("A torque within its limits is a sound joint.");
    });
}

#[test]
fn another_key_history_is_found() {
    let edits: [fn(&mut Value); 4] = [
        |d| list(d, "key_history").clear(),
        |d| {
            list(d, "key_history").pop();
        },
        |d| list(d, "key_history").reverse(),
        |d| list(d, "key_history")[1]["sequence"] = json!(2),
    ];
    for edit in edits {
        assert_eq!(edited(edit), Err(VerifyError::KeyHistory));
    }
    // Another first key cannot be found from the record alone: it gives another identity, which the reader compares.
    let other =
        edited(|d| list(d, "key_history")[0]["valid_from"] = json!("2020-01-01T00:00:00.000Z"))
            .unwrap();
    assert_ne!(other.fingerprint, edited(|_| {}).unwrap().fingerprint);
}

#[test]
fn another_form_is_refused() {
    let edits: [fn(&mut Value); 9] = [
        |d| d["note"] = json!("x"),
        |d| d["credentialSubject"]["note"] = json!("x"),
        |d| of(d, 0)["note"] = json!("x"),
        |d| readings(d, 0)[0]["reading"]["note"] = json!("x"),
        |d| readings(d, 0)[0]["placement"]["by-order"]["note"] = json!("x"),
        |d| {
            d["credentialSubject"]
                .as_object_mut()
                .unwrap()
                .remove("cautions");
        },
        |d| d["@context"] = json!(["https://www.w3.org/ns/credentials/v2"]),
        |d| d["type"] = json!(["VerifiableCredential", "BikeTorqueRecord", "x"]),
        |d| d["credentialSubject"]["record_version"] = json!(2),
    ];
    for (number, edit) in edits.into_iter().enumerate() {
        let found = edited(edit);
        assert!(
            matches!(found, Err(VerifyError::Form(_))),
            "{number}: {found:?}"
        );
    }
    let unsigned = serde_json::to_vec(&document(&day())).unwrap();
    assert!(matches!(verify(&unsigned), Err(VerifyError::Proof(_))));
    assert!(matches!(verify(b"{"), Err(VerifyError::Text(_))));
    assert!(matches!(verify(&[0xff]), Err(VerifyError::Text(_))));
}

#[test]
fn no_single_byte_can_be_changed() {
    let bytes = canonical::to_canonical(&sealed(&small())).unwrap();
    assert!(verify(&bytes).is_ok());
    every_byte_as_three_others(&bytes, |changed| verify(changed).is_ok());
    for cut in [1, 2, bytes.len() / 2] {
        assert!(verify(&bytes[..bytes.len() - cut]).is_err());
    }
}

/// One thing that a mechanic does.
fn step(log: &mut Log, (what, fastener, small): (u8, usize, i64)) {
    let fastener = ["a", "b", "c", "d", "pedal", "cap"][fastener];
    let pass = u8::from(!matches!(fastener, "pedal" | "cap")) * (what % 2);
    match what {
        0..=5 => log.pull(
            fastener,
            pass,
            if fastener == "pedal" {
                -8 * small
            } else {
                small
            },
        ),
        6 => log.pull_past_range(fastener, pass),
        7 => log.loosen(fastener),
        8 if log.build.standing(fastener) == Standing::Over => log.dispose(
            fastener,
            [PartReplaced, InspectedAndKept, TightenedAgain][usize::from(small % 3 == 0)],
        ),
        9 => log.prepare(fastener),
        10 => log.look(fastener, "M. Oduya"),
        11 => log.defer(fastener),
        12 => log.take_up(fastener),
        _ => {
            let held = log.hold(small);
            log.place(held, (small % 2 == 0).then(|| place(fastener, pass)))
        }
    };
}

proptest! {
    // Signatures are slow without optimization.
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_a_mechanic_does_gives_a_record_that_holds(
        steps in prop::collection::vec((0..14_u8, 0..6_usize, 500_i64..6_500), 0..60)
    ) {
        let mut log = Log::new();
        for what in steps {
            step(&mut log, what);
        }
        clean_up(&mut log);
        log.finish();
        let found = verify(&serde_json::to_vec(&sealed(&document(&log))).unwrap());
        prop_assert!(found.is_ok(), "{:?}", found.unwrap_err());
    }
}
