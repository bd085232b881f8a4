//! What a record says of the life of a build, and whether it can be bent.

use super::bench::{clean_up, document, sealed};
use super::ledger::{Ledger, Seal, bench_key, checked, not_shown};
use super::{Verified, VerifyError, verify};
use crate::build::Standing;
use crate::build::tests::log::{BUILD, Log, PLAN, place};
use crate::entry::{Decision, Event};
use crate::record::Record;
use serde_json::{Value, json};

fn with_parts() -> String {
    format!("{PLAN}\n[[part]]\nid = \"bar\"\ntitle = \"Handlebar\"\nfasteners = [\"a\", \"b\"]\n")
}

/// The edition without the cap and with less room at the pedal.
fn narrower() -> String {
    let edition = with_parts().replace("upper = \"40 N·m\"", "upper = \"37 N·m\"");
    let (front, back) = edition
        .split_once("[[stage.fastener]]\nid = \"cap\"")
        .unwrap();
    let parts = back.split_once("[[part]]").unwrap().1;
    format!("{front}[[part]]{parts}")
}

/// A part swapped, a loosening taken back, another edition without the cap and with less room at the pedal, two mechanics.
fn life() -> Log {
    let mut log = Log::after(&with_parts());
    log.fit("bar", "HB-1");
    log.pull("a", 0, 3_000);
    log.pull("a", 1, 5_000);
    log.swap("bar", "HB-2");
    log.pull("a", 0, 3_000);
    log.pull("a", 1, 5_000);
    let mistaken = log.loosen("a");
    log.withdraw(mistaken);
    let over = log.pull("cap", 0, 2_500);
    log.acknowledge(over);
    log.dispose("cap", Decision::TightenedAgain);
    log.pull("cap", 0, 1_500);
    log.pull("pedal", 0, 38_000);
    log.hand_over("M. Oduya");
    log.lay_aside();
    log.resume();
    log.note(Some("a"), "a mark under the clamp");
    log.change_plan(&narrower());
    clean_up(&mut log);
    log.finish();
    log
}

fn edited(edit: impl FnOnce(&mut Value)) -> Result<Verified, VerifyError> {
    let mut document = document(&life());
    edit(&mut document["credentialSubject"]);
    verify(&serde_json::to_vec(&sealed(&document)).unwrap())
}

/// What somebody does to the subject of a record.
type Bend = fn(&mut Value);

#[test]
fn it_is_all_there() {
    let verified = edited(|_| {}).unwrap();
    let subject = &verified.record.subject;
    assert_eq!(subject.parts[0].serial, "HB-2");
    assert_eq!(subject.parts[0].swaps[0].out.as_deref(), Some("HB-1"));
    assert_eq!(subject.hands[0].to, "M. Oduya");
    assert!(subject.laid_aside[0].resumed.is_some());
    assert_eq!(subject.withdrawn[0].kind, "loosened");
    assert_eq!(
        subject.notes[0].text.as_deref(),
        Some("a mark under the clamp")
    );
    assert_ne!(subject.plan_changes[0].before.sha256, subject.plan.sha256);
    assert_eq!(subject.removed[0].id, "cap");
    assert_eq!(subject.removed[0].readings.len(), 2);
    let pedal = &subject.fasteners[4];
    assert_eq!(pedal.standing.to_string(), "over, inspected and kept");
    assert_eq!(pedal.readings[0].earlier_verdicts.len(), 1);
    assert_eq!(subject.alarms.len(), 2);
}

#[test]
fn a_reading_of_a_fastener_with_a_new_name_is_placed_there() {
    let mut log = Log::new();
    let pulled = log.pull("cap", 0, 1_500);
    log.change_plan(&PLAN.replace("id = \"cap\"", "id = \"top-cap\""));
    log.place(pulled, Some(place("top-cap", 0)));
    assert_eq!(log.build.standing("top-cap"), Standing::Within);
    clean_up(&mut log);
    log.finish();
    let signed = serde_json::to_vec(&sealed(&document(&log))).unwrap();
    let record = verify(&signed).unwrap().record;
    assert!(record.subject.removed[0].readings.is_empty());
}

#[test]
fn it_cannot_be_bent() {
    let bent: [(&str, Bend); 9] = [
        ("the earlier verdict is left out, and the decision", |s| {
            s["fasteners"][4]["dispositions"] = json!([]);
        }),
        ("the earlier edition allowed more", |s| {
            s["fasteners"][4]["earlier"][0]["spec"]["limits"]["upper_millinewton_metre"] =
                json!(50_000);
        }),
        ("it ended where nothing was changed", |s| {
            s["fasteners"][4]["earlier"][0]["until"] = json!(5);
        }),
        ("the change of plan is hidden", |s| {
            s["plan_changes"] = json!([]);
        }),
        ("the decision about the removed one is hidden", |s| {
            s["removed"][0]["dispositions"] = json!([]);
        }),
        ("a reading of the removed one counts", |s| {
            s["removed"][0]["readings"][1]["counts"] = json!(true);
        }),
        ("another serial number left with the bike", |s| {
            s["parts"][0]["serial"] = json!("HB-1");
        }),
        ("the swap undid nothing", |s| {
            s["fasteners"][1]["loosened"] = json!([]);
        }),
        ("what was taken back counts all the same", |s| {
            let act = s["withdrawn"][0]["act"].clone();
            s["fasteners"][2]["prepared"]
                .as_array_mut()
                .unwrap()
                .push(act);
        }),
    ];
    for (what, bend) in bent {
        let checked = edited(bend).map(|_| ());
        assert!(
            matches!(checked, Err(VerifyError::Contradiction { .. })),
            "{what}: {checked:?}"
        );
    }
}

/// The same life in a ledger, sealed after a change to the record.
fn sealed_life(edit: impl FnOnce(&mut Record)) -> (Ledger, Seal) {
    let events: Vec<Event> = life().entries.into_iter().map(|one| one.event).collect();
    let mut ledger = Ledger::of(&bench_key(), &[]);
    ledger.plan = with_parts();
    ledger.editions = vec![narrower()];
    for event in events {
        ledger.add(event);
    }
    let seal = ledger.seal(BUILD, None, edit);
    (ledger, seal)
}

#[test]
fn a_life_is_made_again_from_its_entries() {
    let (ledger, seal) = sealed_life(|_| {});
    let found = checked(&ledger.file(&seal)).unwrap();
    assert!(found.in_ledger.is_some_and(|found| found.refolded));
    assert_eq!(found.record.subject.withdrawn.len(), 1);
    assert_eq!(found.record.subject.plan_changes.len(), 1);
}

/// What somebody who holds the key does to a record before it is signed.
type Edit = fn(&mut Record);

/// Each of these agrees with itself, so that only the entries show it.
#[test]
fn what_was_taken_back_and_what_the_plan_was_cannot_be_told_otherwise() {
    let edits: [(&str, Edit); 8] = [
        ("/withdrawn", |record| record.subject.withdrawn.clear()),
        ("/withdrawn/0/kind", |record| {
            record.subject.withdrawn[0].kind = "deferred".to_owned();
        }),
        ("/withdrawn/0/withdrawn/by", |record| {
            record.subject.withdrawn[0].withdrawn.by = "I. Berg".to_owned();
        }),
        ("/plan_changes/0/before/edition", |record| {
            record.subject.plan_changes[0].before.edition = "another".to_owned();
        }),
        ("/plan_changes/0/changed", |record| {
            record.subject.plan_changes[0].changed.reason = Some("the rider asked".to_owned());
        }),
        ("/notes", |record| record.subject.notes.clear()),
        ("/parts/0/swaps/0/out", |record| {
            record.subject.parts[0].swaps[0].out = Some("HB-0".to_owned());
        }),
        ("/laid_aside", |record| record.subject.laid_aside.clear()),
    ];
    for (at, edit) in edits {
        let (ledger, seal) = sealed_life(edit);
        let alone = verify(&serde_json::to_vec(&seal.signed).unwrap());
        assert!(alone.is_ok(), "{at}: {alone:?}");
        not_shown(&ledger.file(&seal), at);
    }
}

#[test]
fn an_entry_of_a_life_that_is_left_out_is_missed() {
    let (ledger, seal) = sealed_life(|_| {});
    let kinds = [
        "withdrawn",
        "plan-changed",
        "loosened",
        "part-swapped",
        "handed-over",
    ];
    for kind in kinds {
        let mut hidden = ledger.entries.iter().filter(|one| one.event.kind() == kind);
        let hidden = hidden.next().unwrap_or_else(|| panic!("{kind}")).sequence;
        let file = ledger.file(&seal);
        let entries = file.history.unwrap().entries;
        let wanted = entries.iter().map(|one| one["sequence"].as_u64().unwrap());
        let wanted = wanted.filter(|sequence| *sequence != hidden).collect();
        not_shown(
            &ledger.file_of(&seal, wanted),
            "an entry of the build is missing",
        );
    }
}

#[test]
fn every_edition_is_there_as_it_was_pinned_and_no_other() {
    let (ledger, seal) = sealed_life(|_| {});
    let with = |edit: fn(&mut Vec<String>)| {
        let mut file = ledger.file(&seal);
        edit(&mut file.plans);
        file
    };
    not_shown(&with(|plans| drop(plans.remove(0))), "the plan is missing");
    not_shown(&with(|plans| drop(plans.pop())), "the plan is missing");
    not_shown(&with(|plans| plans[1].push('\n')), "none that was pinned");
    not_shown(
        &with(|plans| plans[1] = plans[1].replace("37 N·m", "44 N·m")),
        "none that was pinned",
    );
    not_shown(
        &with(|plans| plans.push(PLAN.to_owned())),
        "none that was pinned",
    );
    // The order of the texts says nothing.
    assert!(checked(&with(|plans| plans.reverse())).is_ok());
}

#[test]
fn a_part_that_is_put_on_after_a_swap_is_the_last_one() {
    let mut log = Log::after(&with_parts());
    log.swap("bar", "HB-1");
    log.fit("bar", "HB-2");
    clean_up(&mut log);
    log.finish();
    let bent = |edit: fn(&mut Value)| {
        let mut document = document(&log);
        edit(&mut document["credentialSubject"]["parts"][0]);
        verify(&serde_json::to_vec(&sealed(&document)).unwrap())
    };
    assert_eq!(bent(|_| {}).unwrap().record.subject.parts[0].serial, "HB-2");
    // As if nothing had been put on after the swap.
    let hidden = bent(|part| drop(part.as_object_mut().unwrap().remove("fitted")));
    assert!(matches!(hidden, Err(VerifyError::Contradiction { .. })));
}
