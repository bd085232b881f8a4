//! Samples of what the schemas are tried with: checks that are no torque.

use super::{changed, from_toml, refuses, takes, validator};
use crate::build::tests::checks::{PLAN, day};
use crate::check::SmallUnit;
use crate::entry::Event;
use crate::plan;
use crate::record::tests::bench::{document, sealed};
use crate::tool::Tool;
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
