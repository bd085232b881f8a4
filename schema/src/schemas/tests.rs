//! The schemas take what the program writes and reads, and refuse what is near it.

mod checks;
mod life;
mod measuring;
mod people;
mod views;

use super::all;
use crate::api::{
    Act, BenchView, BuildView, CheckState, CheckingView, NextView, Problem, StageView, ToolView,
};
use crate::build::tests::log::{self, BUILD, Log};
use crate::canonical::Digest32;
use crate::certificate::{CertificateHead, Format};
use crate::entry::{Decision, DriftModel, Entry, Event, Unreadable};
use crate::placement::HeldBecause;
use crate::plan;
use crate::profile::Profile;
use crate::record::tests::bench::{day, document, sealed};
use crate::tool::Tool;
use jsonschema::Validator;
use serde_json::{Value, json};
use std::collections::BTreeSet;

fn schema(name: &str) -> Value {
    all().into_iter().find(|(file, _)| *file == name).unwrap().1
}

fn validator(name: &str) -> Validator {
    jsonschema::draft202012::new(&schema(name)).unwrap()
}

#[track_caller]
fn takes(validator: &Validator, document: &Value) {
    let errors: Vec<String> = validator
        .iter_errors(document)
        .map(|e| format!("{}: {e}", e.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{errors:#?}\n{document:#}");
}

/// The document with one value (by JSON pointer) set, or taken out where it is set to null.
fn changed(document: &Value, pointer: &str, to: &Value) -> Value {
    let mut changed = document.clone();
    let (parent, name) = pointer.rsplit_once('/').unwrap();
    let parent = changed.pointer_mut(parent).unwrap();
    if to.is_null() {
        parent.as_object_mut().unwrap().remove(name).unwrap();
    } else {
        parent[name] = to.clone();
    }
    changed
}

#[track_caller]
fn refuses(validator: &Validator, document: &Value, pointer: &str, to: &Value) {
    assert!(
        !validator.is_valid(&changed(document, pointer, to)),
        "{pointer} as {to} was taken"
    );
}

fn from_toml(text: &str) -> Value {
    serde_json::to_value(toml::from_str::<toml::Table>(text).unwrap()).unwrap()
}

#[test]
fn plan_file() {
    let plans = validator("plan-file.schema.json");
    let good = from_toml(log::PLAN);
    takes(&plans, &good);
    takes(&plans, &from_toml("title = \"t\"\nedition = \"1\"\n"));
    let first = "/stage/0/fastener/0";
    for (pointer, to) in [
        ("/title".to_owned(), Value::Null),
        ("/title".to_owned(), json!(5)),
        ("/titel".to_owned(), json!("t")),
        ("/stage".to_owned(), json!({})),
        ("/stage/0/pattern".to_owned(), json!("star")),
        ("/stage/0/passes".to_owned(), json!(["60 %", "100 %"])),
        (format!("{first}/id"), Value::Null),
        (format!("{first}/joint"), json!("wood")),
        (format!("{first}/torque"), json!("5 N·m")),
        (format!("{first}/spec"), json!("5 N·m")),
        (format!("{first}/spec/target"), json!(5)),
        (format!("{first}/spec/max"), json!("6 N·m")),
        (format!("{first}/prep"), json!("grease")),
        ("/rule".to_owned(), json!("lenient")),
        (format!("{first}/rule"), json!("Guarded")),
        (format!("{first}/kind"), json!(["seat-clamp"])),
        (format!("{first}/note"), json!(5)),
        (format!("{first}/adapter"), json!("extension")),
        (format!("{first}/adapter"), json!({ "length": "30 mm" })),
        (
            format!("{first}/adapter"),
            json!({ "title": "a", "angle": -1 }),
        ),
        (
            format!("{first}/thread"),
            json!({ "size": "M5", "friction": "0.1" }),
        ),
        (
            format!("{first}/thread"),
            json!({ "size": "M5", "engages": "wood" }),
        ),
        (format!("{first}/second_look"), json!("yes")),
        (format!("{first}/settled"), json!({ "by": "R. Aalto" })),
        (
            format!("{first}/thread"),
            json!({ "size": "M5", "hand": "both" }),
        ),
        (
            "/stage/1/fastener/1/sources/0/where".to_owned(),
            Value::Null,
        ),
    ] {
        refuses(&plans, &good, &pointer, &to);
        // the program agrees: what the schema refuses is not read
        let changed = changed(&good, &pointer, &to);
        let text = toml::to_string(&changed).unwrap();
        let reading = plan::read(&text);
        assert!(
            reading
                .findings
                .iter()
                .any(|f| f.code == plan::PlanCode::NotReadable),
            "{pointer} as {to}: {reading:?}"
        );
    }
}

const TOOL: &str = r#"
id = "w1"
title = "Bench wrench"
serial = "KR-2207"
kind = "setting"
lowest = "2 N·m"
certificate = { number = "TM-4471", laboratory = "Tarn Metrology", date = "2026-02-01", due = "2027-02-01" }
connection = { port = "/dev/serial/by-id/kr", profile = "plain" }
"#;

#[test]
fn tool_file() {
    let tools = validator("tool-file.schema.json");
    let good = from_toml(TOOL);
    takes(&tools, &good);
    Tool::read(TOOL).unwrap();
    for (pointer, to) in [
        ("/serial", Value::Null),
        ("/kind", json!("hydraulic")),
        ("/lowest", json!(2)),
        ("/lowest_millinewton_metre", json!(2_000)),
        ("/certificate/due", Value::Null),
        ("/connection/profile", Value::Null),
    ] {
        refuses(&tools, &good, pointer, &to);
    }
}

#[test]
fn line_profile() {
    let profiles = validator("line-profile.schema.json");
    let text = r#"
        name = "plain"
        title = "Value and unit"
        [serial]
        baud = 4800
        parity = "even"
        [frame]
        terminator = "\r\n"
        [line]
        pattern = '^(?<value>[0-9.]+) (?<unit>\S+)\*(?<sum>..)$'
        checksum = { kind = "xor", after = "$", before = "*" }
        [unit]
        Nm = "N·m"
        [flag]
        LB = "battery-low"
    "#;
    let good = from_toml(text);
    takes(&profiles, &good);
    toml::from_str::<Profile>(text).unwrap();
    for (pointer, to) in [
        ("/frame/terminator", json!(7)),
        ("/line/pattern", Value::Null),
        ("/serial/parity", json!("mark")),
        ("/serial/baud", json!(-1)),
        ("/flag/LB", json!("battery")),
        ("/line/checksum/kind", json!("crc")),
        ("/unit", json!(["Nm"])),
    ] {
        refuses(&profiles, &good, pointer, &to);
    }
}

/// One entry of every kind.
fn entries() -> Vec<Entry> {
    let digest = Digest32::of(b"x");
    let build = || BUILD.to_owned();
    let mut log = day();
    let tool = Tool::read(TOOL).unwrap();
    let more = measuring::measuring_entries()
        .into_iter()
        .chain(life::life_entries())
        .chain(checks::check_entries())
        .chain(people::events())
        .chain([
            Event::Started {
                program: "pullmarkd 0.1.0".into(),
                key: "z6Mk".into(),
                boot: "b1".into(),
                practice_speed: Some(60),
            },
            Event::ClockChanged { by_ms: -3_600_000 },
            Event::ToolAdded {
                by: Some("I. Berg".into()),
                tool: Box::new(tool),
            },
            Event::ToolConnected {
                tool: "w1".into(),
                port: "/dev/ttyUSB0".into(),
            },
            Event::ToolSaid {
                tool: "w1".into(),
                serial: Some("KR-2207".into()),
                what: Some("simulated".into()),
                battery_percent: Some(80),
            },
            Event::OverNow(Box::new(crate::entry::OverNow {
                tool: "w1".into(),
                build: BUILD.into(),
                displayed: None,
                applied: Some(crate::quantity::Torque::from_small_units(6_100)),
                alarm: crate::entry::Alarm {
                    place: crate::placement::Place {
                        fastener: "seat.clamp".into(),
                        pass: 0,
                    },
                    upper: crate::quantity::Torque::from_small_units(5_500),
                },
            })),
            Event::ToolGone {
                tool: "w1".into(),
                why: "unplugged".into(),
                partial: Some(digest),
            },
            Event::ToolAssigned {
                by: Some("I. Berg".into()),
                tool: "w1".into(),
                build: build(),
            },
            Event::Unreadable {
                tool: "w1".into(),
                why: Unreadable::Checksum,
                raw: digest,
            },
            Event::RecordSealed {
                build: build(),
                record: digest,
                by: "I. Berg".into(),
                checkpoint: "north\n9\n".into(),
                names: vec![crate::record::names::Disclosure {
                    salt: "ab".repeat(16),
                    name: "I. Berg".into(),
                }],
                confirmed: Some(crate::entry::Confirmed::Pin),
            },
            Event::HeadSigned(crate::entry::HeadSigned {
                checkpoint: "north\n10\n".into(),
                record: Some(digest),
            }),
            Event::HeadTimestamped(crate::entry::HeadTimestamped {
                checkpoint: "north\n10\n".into(),
                token: digest,
                time: "2026-06-01T07:00:02Z".into(),
                authority: "CN=Invented time authority".into(),
            }),
            Event::KeyLinked(Box::new(crate::keys::tests::first_of(
                &crate::record::tests::bench::key(),
            ))),
            Event::Reopened(crate::entry::Reopened {
                build: build(),
                by: "I. Berg".into(),
                reason: "service".into(),
            }),
        ]);
    for event in more {
        log.add(event);
    }
    log.take_up("pedal");
    log.point_at("pedal");
    log.pull_past_range("pedal", 0);
    log.dispose("pedal", Decision::PartReplaced);
    log.entries
}

#[test]
fn ledger_entry() {
    let all = validator("ledger-entry.schema.json");
    let mut kinds = BTreeSet::new();
    for entry in entries() {
        kinds.insert(entry.event.kind());
        let good = serde_json::to_value(&entry).unwrap();
        takes(&all, &good);
        assert_eq!(
            good["kind"],
            entry.event.kind(),
            "the word under which it is stored"
        );
        assert_eq!(
            serde_json::from_value::<Entry>(good.clone()).unwrap(),
            entry
        );
        for (pointer, to) in [
            ("/kind", Value::Null),
            ("/kind", json!("explained-away")),
            ("/body", Value::Null),
            ("/sequence", json!(-1)),
            ("/sequence", json!(1.5)),
            ("/previous", json!("AA")),
            ("/bench", Value::Null),
        ] {
            refuses(&all, &good, pointer, &to);
        }
        // nothing in a body may be of another type
        for name in good["body"].as_object().unwrap().keys() {
            refuses(
                &all,
                &good,
                &format!("/body/{name}"),
                &json!([{ "x": 1.5 }]),
            );
        }
    }
    let schema = schema("ledger-entry.schema.json");
    let known: BTreeSet<&str> = schema["oneOf"]
        .as_array()
        .unwrap()
        .iter()
        .map(|kind| kind["properties"]["kind"]["const"].as_str().unwrap())
        .collect();
    assert_eq!(kinds, known, "one of every kind was tried");
}

#[test]
fn record() {
    let records = validator("record.schema.json");
    let good = sealed(&document(&day()));
    takes(&records, &good);
    let reading = "/credentialSubject/fasteners/1/readings/1";
    for (pointer, to) in [
        ("/proof".to_owned(), Value::Null),
        ("/proof/proofValue".to_owned(), json!("u1234")),
        ("/proof/cryptosuite".to_owned(), json!("another")),
        ("/proof/note".to_owned(), json!("x")),
        ("/issuer".to_owned(), Value::Null),
        ("/note".to_owned(), json!("x")),
        ("/credentialSubject/cautions".to_owned(), Value::Null),
        ("/credentialSubject/practice".to_owned(), json!("no")),
        ("/credentialSubject/summary/within".to_owned(), json!(-1)),
        (
            "/credentialSubject/not_done/0/what".to_owned(),
            json!("nothing"),
        ),
        ("/credentialSubject/ledger/root".to_owned(), json!("0")),
        (format!("{reading}/counts"), Value::Null),
        (format!("{reading}/note"), json!("x")),
        (format!("{reading}/verdict/answer"), json!("fine")),
        (
            format!("{reading}/reading/applied_millinewton_metre"),
            json!(5.5),
        ),
        (
            format!("{reading}/placement/by-order/place/pass"),
            json!("last"),
        ),
    ] {
        refuses(&records, &good, &pointer, &to);
    }
}

#[test]
#[expect(clippy::too_many_lines, reason = "one sample a kind of act")]
fn act() {
    let acts = validator("act.schema.json");
    let (build, fastener, by, reason) = (
        BUILD.to_owned(),
        "a".to_owned(),
        "I. Berg".to_owned(),
        "trial fit".to_owned(),
    );
    let start = json!({ "act": "start-build", "bike": { "frame": "FG54-0117" }, "plan": log::PLAN, "by": "I. Berg" });
    takes(&acts, &start);
    serde_json::from_value::<Act>(start.clone()).unwrap();
    for (pointer, to) in [
        ("/bike", Value::Null),
        ("/act", json!("stop")),
        ("/act", Value::Null),
        ("/customer", json!("x")),
    ] {
        refuses(&acts, &start, pointer, &to);
    }
    let known = [
        Act::AddTool {
            by: Some("I. Berg".into()),
            tool: Box::new(Tool::read(TOOL).unwrap()),
        },
        Act::CertifyTool {
            tool: "w1".into(),
            format: Format::Csv,
            text: "indicated [N·m],reference [N·m]".into(),
            head: CertificateHead::default(),
            by: "I. Berg".into(),
        },
        Act::FitAdapter {
            tool: "w1".into(),
            adapter: None,
            by: "I. Berg".into(),
        },
        Act::BeginCheck {
            tool: "w1".into(),
            by: "I. Berg".into(),
        },
        Act::GiveUpCheck {
            tool: "w1".into(),
            by: "I. Berg".into(),
        },
        Act::CheckTool {
            tool: "w1".into(),
            against: "tester".into(),
            indicated: Vec::new(),
            reference: vec!["5.01 N·m".into()],
            by: "I. Berg".into(),
        },
        Act::Recall {
            serial: "KR-2207".into(),
            format: Format::Toml,
            text: String::new(),
            head: CertificateHead::default(),
            drift: DriftModel::Linear,
            by: "I. Berg".into(),
        },
        Act::AssignTool {
            by: Some("I. Berg".into()),
            tool: "w1".into(),
            build: build.clone(),
        },
        Act::PointAt {
            build: build.clone(),
            fastener: fastener.clone(),
            by: "I. Berg".into(),
        },
        Act::EnterReading {
            tool: "w1".into(),
            value: "5 N·m".into(),
            by: "I. Berg".into(),
            fastener: None,
        },
        Act::Place {
            reading: 4,
            fastener: Some(fastener.clone()),
            pass: Some(1),
            by: "I. Berg".into(),
            reason: None,
        },
        Act::Acknowledge {
            alarm: 7,
            by: "I. Berg".into(),
        },
        Act::Loosen {
            build: build.clone(),
            fasteners: vec![fastener.clone()],
            stage: Some("stem".into()),
            all: false,
            by: "I. Berg".into(),
            reason: reason.clone(),
        },
        Act::Defer {
            build: build.clone(),
            fastener: fastener.clone(),
            by: "I. Berg".into(),
            reason: reason.clone(),
            waits_for: Some("the longer bolt".into()),
        },
        Act::TakeUp {
            build: build.clone(),
            fastener: fastener.clone(),
            by: "I. Berg".into(),
        },
        Act::Prepare {
            build: build.clone(),
            fastener: fastener.clone(),
            by: "I. Berg".into(),
        },
        Act::Look {
            build: build.clone(),
            fastener: fastener.clone(),
            by: "I. Berg".into(),
            reason: None,
        },
        Act::Dispose {
            build: build.clone(),
            fastener,
            decision: Decision::PartReplaced,
            by: "I. Berg".into(),
            reason: reason.clone(),
        },
        Act::Finish {
            build: build.clone(),
            by: "I. Berg".into(),
            sure: None,
        },
        Act::Seal {
            build: build.clone(),
            by: by.clone(),
        },
        Act::Amend {
            build: build.clone(),
            by: by.clone(),
            reason: reason.clone(),
        },
        Act::Reopen { build, by, reason },
        Act::Timestamp {
            answer: "MAMCAQI=".into(),
        },
    ];
    let known: Vec<Act> = known.into_iter().chain(life::life_acts()).collect();
    assert_eq!(
        schema("act.schema.json")["oneOf"].as_array().unwrap().len(),
        known.len() + 1,
        "one of every kind"
    );
    for act in known {
        let good = serde_json::to_value(&act).unwrap();
        takes(&acts, &good);
        refuses(&acts, &good, "/customer", &json!("x"));
        for name in good.as_object().unwrap().keys() {
            refuses(&acts, &good, &format!("/{name}"), &json!([{ "x": 1.5 }]));
        }
    }
}

#[test]
fn bench_view_and_problem() {
    let views = validator("bench-view.schema.json");
    let good = serde_json::to_value(views::bench_view()).unwrap();
    takes(&views, &good);
    for (pointer, to) in [
        ("/builds/0/next/limits/upper_millinewton_metre", Value::Null),
        ("/builds/0/summary/open", json!("many")),
        ("/builds/0/held/0/because", json!("tired")),
        ("/builds/0/finished", Value::Null),
        ("/tools/0/connected", Value::Null),
    ] {
        refuses(&views, &good, pointer, &to);
    }

    let problems = validator("problem.schema.json");
    let findings = plan::read(&log::PLAN.replace("5 N·m", "5 mm")).findings;
    assert!(!findings.is_empty());
    let problem = Problem {
        code: "plan/findings".into(),
        status: 422,
        detail: "look at the findings".into(),
        findings,
    };
    let good = serde_json::to_value(&problem).unwrap();
    takes(&problems, &good);
    for (pointer, to) in [
        ("/type", Value::Null),
        ("/status", json!("422")),
        ("/findings/0/severity", json!("fatal")),
        ("/findings/0/code", json!("not-a-code")),
        ("/findings/0/line", Value::Null),
    ] {
        refuses(&problems, &good, pointer, &to);
    }
}
