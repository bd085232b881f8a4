//! Checks in a record: what was measured cannot be changed, dropped, moved or added, also where the record is signed anew.

use super::bench::{document, sealed};
use super::ledger::{Ledger, bench_key, checked, not_shown};
use crate::build::CheckStanding;
use crate::build::tests::checks::{PLAN, day};
use crate::build::tests::log::BUILD;
use crate::entry::Event;
use crate::record::{Record, verify};
use serde_json::{Value, json};

fn ledger() -> Ledger {
    let mut log = day();
    log.finish();
    let events: Vec<Event> = log.entries.into_iter().map(|entry| entry.event).collect();
    let mut ledger = Ledger::of(&bench_key(), &events);
    ledger.plan = PLAN.to_owned();
    ledger
}

#[test]
fn a_record_with_checks_is_made_again_from_its_entries() {
    let mut ledger = ledger();
    let seal = ledger.seal(BUILD, None, |_| {});
    let found = checked(&ledger.file(&seal)).unwrap();
    assert!(found.in_ledger.unwrap().refolded);
    assert_eq!(found.record.subject.checks.len(), 4);
}

/// The record alone does not hold after the change: it contradicts itself.
#[track_caller]
fn contradicts(edit: impl FnOnce(&mut Value)) -> String {
    let mut log = day();
    log.finish();
    let mut document = document(&log);
    edit(&mut document["credentialSubject"]);
    let error = verify(&serde_json::to_vec(&sealed(&document)).unwrap()).unwrap_err();
    error.to_string()
}

#[test]
fn a_record_that_contradicts_itself_about_a_check_does_not_hold() {
    let depth = "/checks/0";
    let cases: [(&str, &str, Value, &str); 19] = [
        (
            depth,
            "/readings/1/reading/value",
            json!(80_000),
            "displayed",
        ),
        (
            depth,
            "/readings/1/reading/displayed/value",
            json!("3.81"),
            "displayed",
        ),
        (
            depth,
            "/readings/1/reading/worth/standard_thousandths",
            json!(1),
            "displayed",
        ),
        (
            depth,
            "/readings/1/reading/worth/step",
            json!(0),
            "displayed",
        ),
        (
            depth,
            "/readings/0/verdict/answer",
            json!("within"),
            "figures",
        ),
        (depth, "/readings/1/verdict/expanded", json!(1), "figures"),
        (
            depth,
            "/readings/1/verdict/outside/under_millionths",
            json!(500_000),
            "figures",
        ),
        (
            depth,
            "/readings/1/verdict/rule",
            json!("guarded"),
            "another rule",
        ),
        (
            depth,
            "/readings/1/verdict/limits/lower",
            json!(60_000),
            "other limits",
        ),
        (depth, "/readings/1/counts", json!(false), "newest"),
        (depth, "/readings/0/counts", json!(true), "newest"),
        (depth, "/standing", json!("kept"), "readings say otherwise"),
        (depth, "/spec/limits/lower", json!(60_000), "other limits"),
        (
            "/checks/1",
            "/dispositions",
            json!([]),
            "readings say otherwise",
        ),
        (
            "/checks/2",
            "/readings_wanted",
            json!(4),
            "readings say otherwise",
        ),
        (
            "/checks/3",
            "/derived/value",
            json!(100_000),
            "formula comes to",
        ),
        (
            "/checks/3",
            "/derived/standard_thousandths",
            json!(1),
            "formula comes to",
        ),
        (
            "/checks/3",
            "/derived/inputs",
            json!([17, 18]),
            "formula comes to",
        ),
        ("", "/check_alarms", json!([]), "raised no alarm"),
    ];
    for (at, pointer, to, says) in cases {
        let pointer = format!("{at}{pointer}");
        let error = contradicts(|subject| {
            let place = subject.pointer_mut(&pointer);
            *place.unwrap_or_else(|| panic!("{pointer}")) = to.clone();
            // what only counts standings follows
            if pointer.ends_with("/standing") {
                subject["check_summary"]["within"] = json!(3);
                subject["check_summary"]["kept"] = json!(1);
            }
        });
        assert!(error.contains(says), "{pointer} as {to}: {error}");
    }
}

#[test]
fn readings_of_a_check_in_another_order_twice_or_miscounted_do_not_hold() {
    let swapped = contradicts(|subject| {
        let readings = subject["checks"][2]["readings"].as_array_mut().unwrap();
        readings.swap(0, 1);
    });
    assert!(swapped.contains("not in their order"), "{swapped}");
    let doubled = contradicts(|subject| {
        let reading = subject["checks_elsewhere"][0].clone();
        let all = subject["checks_elsewhere"].as_array_mut().unwrap();
        all.push(reading);
    });
    assert!(doubled.contains("twice"), "{doubled}");
    let miscounted = contradicts(|subject| subject["check_summary"]["within"] = json!(3));
    assert!(miscounted.contains("check_summary"), "{miscounted}");
}

/// The holder of the key edits what the record says and signs and seals that: the record alone holds, its entries do not give
/// it.
#[track_caller]
fn resealed(what: &str, edit: impl FnOnce(&mut Record)) {
    let mut ledger = ledger();
    let seal = ledger.seal(BUILD, None, edit);
    let alone = verify(&serde_json::to_vec(&seal.signed).unwrap());
    assert!(alone.is_ok(), "{what}: {:?}", alone.err());
    not_shown(&ledger.file(&seal), what);
}

#[test]
fn a_check_reading_that_was_dropped_added_or_moved_is_found() {
    resealed("/checks/0/readings", |record| {
        // The first depth was too little; nobody is to know.
        record.subject.checks[0].readings.remove(0);
    });
    resealed("/checks_elsewhere", |record| {
        record.subject.checks_elsewhere.clear();
    });
    resealed("/check_alarms", |record| {
        let subject = &mut record.subject;
        subject.checks[1].readings.remove(0);
        subject.checks[1].dispositions.clear();
        subject.check_alarms.clear();
    });
    resealed("/checks/2/readings/0/placement", |record| {
        // Two spokes change their places; each is judged alike.
        let readings = &mut record.subject.checks[2].readings;
        let (first, second) = (readings[0].placement.clone(), readings[1].placement.clone());
        (readings[0].placement, readings[1].placement) = (second, first);
    });
    resealed("/check_summary", |record| {
        // The check that shows the spread is gone.
        let subject = &mut record.subject;
        subject.checks.pop();
        subject.check_summary.checks -= 1;
        subject.check_summary.within -= 1;
    });
    resealed("/checks/0/title", |record| {
        record.subject.checks[0].title = "Something else".into();
    });
}

#[test]
fn what_was_not_measured_is_said_before_what_was() {
    let mut log = day();
    log.defer("depth");
    log.withdraw(log.build.last_sequence);
    log.dispose("depth", crate::entry::Decision::SetRight);
    log.defer("depth");
    log.finish();
    let record = super::bench::composed(&log).unwrap();
    let subject = &record.subject;
    assert_eq!(subject.checks[0].standing, CheckStanding::Deferred);
    assert_eq!(subject.not_done[0].fastener, "depth");
    let sheet = crate::sheet::sheet(&record, "ab", "cd");
    assert!(sheet.not_done[0].says.starts_with("not measured"));
    assert_eq!(sheet.not_done[0].what, "Post in the frame");
    assert!(
        sheet
            .summary
            .contains("4 checks: 3 within limits, 1 deferred."),
        "{}",
        sheet.summary
    );
    assert!(sheet.due.is_empty(), "{:?}", sheet.due);
    assert_eq!(sheet.checks[0].limits, "at least 70 mm");
    let tyre = &sheet.checks[1];
    assert_eq!(
        (tyre.value.as_str(), tyre.limits.as_str()),
        ("6 bar", "5.5 to 6.5 bar")
    );
    assert_eq!(sheet.checks[2].value, "950 to 1078.732 N");
    assert!(
        sheet.attention.iter().any(|item| item
            .says
            .starts_with("over alarm: 6.55 bar where the limit is 6.5 bar")),
        "{:?}",
        sheet.attention
    );
    let signed = sealed(&document(&log));
    verify(&serde_json::to_vec(&signed).unwrap()).unwrap();
}
