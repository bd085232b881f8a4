//! After handing over: what is due, the calendar file, and a service on top of the earlier build; read by programs of others.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::{Act, DueView};
use pullmark_schema::due::{DueStanding, day, day_of};
use pullmark_schema::plan::Due;
use pullmark_tests::python::{published, python};
use pullmark_tests::{Command, MECHANIC, Shop};
use serde_json::Value;

const PLAN: &str = r#"
title = "Ford tourer 56"
edition = "3"

[[stage]]
id = "stem"
title = "Stem"
fastener = [
  { id = "stem.1", title = "Stem, upper", prep = ["dry"], spec = { target = "5 N·m" } },
  { id = "stem.2", title = "Stem, lower", prep = ["dry"], spec = { target = "5 N·m" } },
]

[[stage]]
id = "wheels"
title = "Wheels"
fastener = [{ id = "axle", title = "Axle; front, 12 mm", prep = ["grease"], spec = { target = "12 N·m" } }]

[[due]]
id = "first-rides"
title = "After the first rides"
days = 30
kilometres = 150
fasteners = ["stem.1", "axle"]
source = "common practice, no source"

[[due]]
id = "season"
title = "After a season"
months = 12
"#;

/// A bike that was handed over, all of it deferred: what is due does not hang on how it was built.
fn handed_over() -> Shop {
    let shop = Shop::open();
    let plan = shop.write("tourer.toml", PLAN);
    shop.pullmark([
        "build",
        "start",
        plan.to_str().unwrap(),
        "--frame",
        "FC-0311",
        "--label",
        "Ferry",
        "--build",
        "ferry",
        "--by",
        MECHANIC,
    ])
    .status(0);
    defer_and_finish(&shop, "ferry", &["stem.1", "stem.2", "axle"]);
    shop
}

fn defer_and_finish(shop: &Shop, build: &str, fasteners: &[&str]) {
    for fastener in fasteners {
        shop.act(&Act::Defer {
            build: build.to_owned(),
            fastener: (*fastener).to_owned(),
            by: MECHANIC.to_owned(),
            reason: "the owner does it".to_owned(),
            waits_for: None,
        });
    }
    shop.act(&Act::Finish {
        build: build.to_owned(),
        by: MECHANIC.to_owned(),
        sure: None,
    });
}

fn due(shop: &Shop) -> Vec<DueView> {
    let answer = shop.http().get("/v1/due");
    serde_json::from_slice(&answer.body).unwrap()
}

fn calendar(shop: &Shop) -> Vec<Value> {
    let file = shop.folder().join("due.ics");
    let ask = || shop.pullmark(["due", "calendar", "--out", file.to_str().unwrap()]);
    if file.exists() {
        ask()
            .status(2)
            .says(&["is there already; nothing was written over it"]);
        std::fs::remove_file(&file).unwrap();
    }
    ask().status(0);
    let printed = shop.pullmark(["due", "calendar"]).ok().out.clone();
    let stamp = |text: &str| -> Vec<String> {
        let lines = text.split_inclusive('\n');
        lines
            .filter(|line| !line.starts_with("DTSTAMP"))
            .map(str::to_owned)
            .collect()
    };
    let written = std::fs::read_to_string(&file).unwrap();
    assert_eq!(stamp(&printed), stamp(&written), "byte for byte");
    let read = Command::new(python(), shop.folder())
        .arg(published("read_calendar.py"))
        .arg(file)
        .run();
    read.status(0);
    serde_json::from_str(&read.out).unwrap()
}

#[test]
fn what_is_due_is_listed_and_an_outside_reader_takes_the_calendar() {
    let shop = handed_over();
    let list = shop.pullmark(["due", "list"]);
    list.status(0)
        .says(&["After the first rides, Ferry"])
        .says(&["Axle; front, 12 mm"])
        .says(&["common practice, no source"]);
    let days: Vec<Option<String>> = due(&shop).into_iter().map(|view| view.on).collect();
    let events = calendar(&shop);
    assert_eq!(events.len(), 2, "{events:?}");
    for (event, on) in events.iter().zip(&days) {
        assert_eq!(event["day"].as_str(), on.as_deref());
        assert_eq!(event["errors"], serde_json::json!([]));
    }
    assert_eq!(events[0]["summary"], "After the first rides: Ferry");
    let text = events[0]["text"].as_str().unwrap();
    assert!(
        text.contains("After 150 km") && text.contains("- Axle; front, 12 mm\n"),
        "{text}"
    );
    assert_eq!(
        calendar(&shop)[0]["uid"],
        events[0]["uid"],
        "a calendar does not hold it twice"
    );
    // The bike comes by, and has gone far.
    shop.pullmark(["due", "ridden", "ferry", "162", "--by", MECHANIC])
        .status(0);
    shop.pullmark(["due", "list"])
        .status(1)
        .says(&["after 150 km, 162 so far"]);
    shop.pullmark([
        "due",
        "done",
        "ferry",
        "first-rides",
        "--found",
        "all tight",
        "--by",
        MECHANIC,
    ])
    .status(0);
    shop.pullmark(["due", "list"])
        .status(0)
        .says(&["After a season"]);
    assert_eq!(calendar(&shop).len(), 1);
    shop.pullmark(["due", "done", "ferry", "first-rides", "--by", MECHANIC])
        .status(1)
        .says(&["done already"]);
    shop.pullmark([
        "due",
        "undo",
        "ferry",
        "first-rides",
        "--reason",
        "the wrong bike",
        "--by",
        MECHANIC,
    ])
    .status(0);
    assert_eq!(due(&shop)[0].standing, DueStanding::Due);
}

#[test]
fn a_service_goes_on_from_the_earlier_record_and_the_records_say_so() {
    let shop = handed_over();
    shop.pullmark(["record", "seal", "ferry", "--by", MECHANIC])
        .status(0);
    let first = shop.folder().join("first");
    shop.pullmark([
        "record",
        "export",
        "ferry",
        "--out",
        first.to_str().unwrap(),
    ])
    .status(0);
    let record: Value =
        serde_json::from_slice(&std::fs::read(first.join("record.json")).unwrap()).unwrap();
    let subject = &record["record"]["credentialSubject"];
    assert_eq!(subject["due"][0]["kilometres"], 150, "{subject}");
    assert_eq!(subject["due"][0]["source"], "common practice, no source");
    assert_eq!(
        subject["due"][0]["on"].as_str(),
        due(&shop)[0].on.as_deref()
    );

    shop.pullmark([
        "build", "service", "ferry", "--due", "nothing", "--by", MECHANIC,
    ])
    .status(2)
    .says(&["nothing due under"]);
    shop.pullmark([
        "build",
        "service",
        "ferry",
        "--fastener",
        "nothing",
        "--by",
        MECHANIC,
    ])
    .status(2);
    shop.pullmark([
        "build",
        "service",
        "ferry",
        "--due",
        "first-rides",
        "--name",
        "ferry-again",
        "--by",
        MECHANIC,
    ])
    .status(0);
    shop.pullmark(["build", "show", "ferry-again"])
        .status(0)
        .says(&["goes on from ferry"])
        .says(&["Stem, upper"]);
    let shown = shop.pullmark(["build", "show", "ferry-again"]);
    assert!(!shown.out.contains("Stem, lower"), "{}", shown.out);
    shop.pullmark(["build", "list", "--frame", "FC-0311"])
        .status(0)
        .says(&["ferry-again"]);
    defer_and_finish(&shop, "ferry-again", &["stem.1", "axle"]);
    let state = due(&shop)
        .into_iter()
        .find(|view| view.id == "first-rides")
        .unwrap();
    assert_eq!(
        (state.standing, state.in_build.as_deref()),
        (DueStanding::Done, Some("ferry-again"))
    );

    shop.pullmark(["record", "seal", "ferry-again", "--by", MECHANIC])
        .status(0);
    let second = shop.folder().join("second");
    shop.pullmark([
        "record",
        "export",
        "ferry-again",
        "--out",
        second.to_str().unwrap(),
    ])
    .status(0);
    let file = second.join("record.json");
    let said = shop.pullmark(["record", "verify", file.to_str().unwrap()]);
    said.status(0).says(&["goes on from ferry, record "]);
    let later: Value = serde_json::from_slice(&std::fs::read(&file).unwrap()).unwrap();
    let follows = &later["record"]["credentialSubject"]["follows"];
    let sealed = shop.pullmark([
        "record",
        "verify",
        first.join("record.json").to_str().unwrap(),
        "--json",
    ]);
    assert!(
        sealed.out.contains(follows["record"].as_str().unwrap()),
        "{follows} {}",
        sealed.out
    );
}

#[test]
fn days_are_those_that_the_trades_calendar_libraries_find() {
    let asked = Command::new(python(), &std::env::temp_dir())
        .arg(published("read_calendar.py"))
        .args(["--days", "20261127"])
        .run();
    asked.status(0);
    let cases: Vec<Value> = serde_json::from_str(&asked.out).unwrap();
    assert_eq!(cases.len(), 600);
    for case in cases {
        let number = |name: &str| {
            case[name]
                .as_u64()
                .map(|number| u16::try_from(number).unwrap())
        };
        let due = Due {
            id: "x".to_owned(),
            title: "x".to_owned(),
            days: number("days"),
            months: number("months"),
            kilometres: None,
            fasteners: Vec::new(),
            source: None,
        };
        let handed_over = day_of(case["time"].as_str().unwrap()).unwrap();
        let found = day(&due, handed_over).unwrap().to_string();
        assert_eq!(found, case["due"].as_str().unwrap(), "{case}");
    }
}

#[test]
fn a_reader_that_goes_away_is_no_panic() {
    let shop = handed_over();
    let asked: [&[&str]; 3] = [
        &["due", "list"],
        &["due", "calendar"],
        &["build", "service", "ferry", "--dry-run", "--by", MECHANIC],
    ];
    for words in asked {
        let command = Command::pullmark(shop.folder()).args(words);
        let said = command.arg("--data").arg(shop.data()).run_unread();
        said.status(0);
        assert_eq!(said.err, "", "{words:?}");
    }
}
