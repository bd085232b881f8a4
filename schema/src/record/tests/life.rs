//! What a record says of the life of a build, and whether it can be bent.

use super::bench::{clean_up, document, sealed};
use super::{Verified, VerifyError, verify};
use crate::build::tests::log::{Log, PLAN};
use crate::entry::Decision;
use serde_json::{Value, json};

fn with_parts() -> String {
    format!("{PLAN}\n[[part]]\nid = \"bar\"\ntitle = \"Handlebar\"\nfasteners = [\"a\", \"b\"]\n")
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
    let edition = with_parts().replace("upper = \"40 N·m\"", "upper = \"37 N·m\"");
    let (front, back) = edition
        .split_once("[[stage.fastener]]\nid = \"cap\"")
        .unwrap();
    let parts = back.split_once("[[part]]").unwrap().1;
    log.change_plan(&format!("{front}[[part]]{parts}"));
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
