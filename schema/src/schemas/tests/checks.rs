//! Samples of what the schemas are tried with: checks that are no torque.

use super::{changed, from_toml, refuses, takes, validator};
use crate::api::{
    CheckAlarmView, CheckCandidateView, HeldCheckView, LastCheckView, PlannedCheckView,
};
use crate::build::CheckStanding;
use crate::build::tests::checks::{PLAN, day};
use crate::check::{CheckCaution, CheckHeldBecause, CheckLimits, SmallUnit};
use crate::entry::Event;
use crate::plan;
use crate::quantity::Kind;
use crate::record::tests::bench::{document, sealed};
use crate::tool::Tool;
use crate::verdict::{Answer, Rule};
use serde_json::{Value, json};

/// One entry of every kind that speaks of a check's reading.
pub(super) fn check_entries() -> Vec<Event> {
    let mut log = day();
    log.hold_check(SmallUnit::Millinewton, "OL");
    let events = log.entries.into_iter().map(|entry| entry.event);
    events
        .filter(|event| matches!(event, Event::CheckMeasured(_) | Event::CheckPlaced(_)))
        .collect()
}

/// A check as it is shown.
pub(super) fn planned_view() -> PlannedCheckView {
    let limits = CheckLimits {
        unit: SmallUnit::Pascal,
        lower: Some(372_000),
        target: None,
        upper: Some(428_000),
    };
    PlannedCheckView {
        id: "tyres.front".into(),
        title: "Front tyre".into(),
        at: Some("hub-front".into()),
        quantity: Kind::Pressure,
        standing: CheckStanding::Within,
        needs_decision: false,
        may_be_decided: true,
        limits,
        sources: vec!["mark on the post".to_owned()],
        limits_text: limits.text(),
        value_text: Some("4.02 bar".into()),
        expanded_text: Some("0.08 bar".into()),
        displayed: Some("58.3 psi".into()),
        readings: 1,
        readings_done: 1,
        formula: None,
        rule: Rule::Simple,
        cautions: vec![CheckCaution::AccuracyStandsIn],
        note: Some("cold".into()),
        pointed: true,
        deferred: Some("no valve".into()),
        waits_for: Some("a valve".into()),
        notes: 1,
        photos: 2,
    }
}

/// A reading that waits for a person.
pub(super) fn held_view() -> HeldCheckView {
    HeldCheckView {
        sequence: 11,
        time: "2026-05-06T10:00:00.000Z".into(),
        tool: "g1".into(),
        displayed: Some("58.3 bar".into()),
        quantity: Kind::Pressure,
        because: CheckHeldBecause::Implausible,
        because_text: CheckHeldBecause::Implausible.to_string(),
        candidates: vec![CheckCandidateView {
            check: "tyres.front".into(),
            title: "Front tyre".into(),
            number: 0,
            limits_text: planned_view().limits_text,
            fits_in: Some("psi".into()),
        }],
    }
}

/// What was measured last.
pub(super) fn last_view() -> LastCheckView {
    LastCheckView {
        sequence: 11,
        time: "2026-05-06T10:00:00.000Z".into(),
        tool: "g1".into(),
        displayed: Some("58.3 psi".into()),
        value_text: Some("4.02 bar".into()),
        check: Some("tyres.front".into()),
        title: Some("Front tyre".into()),
        answer: Some(Answer::Within),
        limits_text: Some(planned_view().limits_text),
        expanded_text: Some("0.08 bar".into()),
        cautions: vec![CheckCaution::AccuracyStandsIn],
    }
}

/// An alarm that nobody has acknowledged.
pub(super) fn alarm_view() -> CheckAlarmView {
    CheckAlarmView {
        sequence: 12,
        check: "tyres.front".into(),
        title: "Front tyre".into(),
        displayed: None,
        value_text: None,
        upper_text: "4.28 bar".into(),
    }
}

#[test]
fn a_plan_with_checks() {
    let plans = validator("plan-file.schema.json");
    let good = from_toml(PLAN);
    takes(&plans, &good);
    let first = "/stage/0/check/0";
    for (pointer, to) in [
        (format!("{first}/id"), Value::Null),
        (format!("{first}/title"), Value::Null),
        (format!("{first}/spec"), json!("70 mm")),
        (format!("{first}/spec/lower"), json!(70)),
        (format!("{first}/quantity"), json!("length")),
        (format!("{first}/readings"), json!("three")),
        (format!("{first}/readings"), json!(0)),
        (format!("{first}/readings"), json!(65)),
        (format!("{first}/formula"), json!(["a"])),
        (format!("{first}/rule"), json!("Guarded")),
        (format!("{first}/sources/0/where"), Value::Null),
    ] {
        refuses(&plans, &good, &pointer, &to);
        // the program agrees: what the schema refuses is not read
        let text = toml::to_string(&changed(&good, &pointer, &to)).unwrap();
        assert!(plan::read(&text).plan.is_none(), "{pointer} as {to}");
    }
}

#[test]
fn a_tool_that_measures_something_else() {
    let tools = validator("tool-file.schema.json");
    let text = "id = \"c1\"\ntitle = \"Calliper\"\nserial = \"SK-77\"\nquantity = \"length\"\naccuracy = \"0.03 mm\"\n[certificate]\nnumber = \"LN-2\"\ndate = \"2026-02-01\"\nexpanded = \"0.02 mm\"\n";
    Tool::read(text).unwrap();
    let good = from_toml(text);
    takes(&tools, &good);
    for (pointer, to) in [
        ("/quantity", json!("speed")),
        ("/accuracy", json!(3)),
        ("/certificate/expanded", Value::Null),
        ("/certificate/date", Value::Null),
        ("/certificate/points", json!([])),
    ] {
        refuses(&tools, &good, pointer, &to);
        let text = toml::to_string(&changed(&good, pointer, &to)).unwrap();
        assert!(Tool::read(&text).is_err(), "{pointer} as {to}");
    }
}

#[test]
fn a_record_with_checks() {
    let records = validator("record.schema.json");
    let mut log = day();
    log.finish();
    let good = sealed(&document(&log));
    takes(&records, &good);
    let check = "/credentialSubject/checks/0";
    for (pointer, to) in [
        (format!("{check}/id"), Value::Null),
        (format!("{check}/spec/limits/unit"), json!("mm")),
        (format!("{check}/spec/limits/lower"), json!(70_000.5)),
        (format!("{check}/standing"), json!("good")),
        (format!("{check}/readings/0/reading/value"), json!("70 mm")),
        (format!("{check}/readings/0/counts"), Value::Null),
        (
            "/credentialSubject/checks/3/derived/value".to_owned(),
            json!(1.5),
        ),
        (
            "/credentialSubject/check_alarms/0/upper".to_owned(),
            Value::Null,
        ),
        (
            "/credentialSubject/check_summary/checks".to_owned(),
            json!(-1),
        ),
    ] {
        refuses(&records, &good, &pointer, &to);
    }
}
