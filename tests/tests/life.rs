//! The whole life of a build from outside: the command line against a real daemon, with a wrench on a pseudo-terminal.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::Act;
use pullmark_schema::record;
use pullmark_tests::python::{published, python};
use pullmark_tests::{MECHANIC, SECOND, Said, Stand, plans};
use serde_json::Value;

/// The plan with a crank arm that its two bolts hold.
fn with_parts() -> String {
    format!(
        "{}\n[[part]]\nid = \"arm\"\ntitle = \"Left crank arm\"\nfasteners = [\"crank.front\", \"crank.rear\"]\n",
        plans::SMALL
    )
}

struct Life {
    stand: Stand,
}

impl Life {
    /// Everything pulled once.
    fn tight() -> Self {
        let mut stand = Stand::begin(&with_parts());
        while let Some(next) = stand.look().next {
            stand.do_next(&next);
        }
        Self { stand }
    }

    fn say(&self, words: &[&str]) -> Said {
        self.stand.shop.pullmark(words)
    }

    fn json(&self, words: &[&str]) -> Value {
        let words = words.iter().copied().chain(["--json"]);
        self.stand.shop.pullmark(words).ok().json()
    }

    fn standing(&self, fastener: &str) -> String {
        let view = self.json(&["build", "show", "ferry"]);
        let stages = view["stages"].as_array().unwrap();
        let mut fasteners = stages
            .iter()
            .flat_map(|stage| stage["fasteners"].as_array().unwrap());
        let found = fasteners.find(|found| found["id"] == fastener).unwrap();
        found["standing"].as_str().unwrap().to_owned()
    }

    /// Pulls whatever is open.
    fn tighten(&mut self) {
        while let Some(next) = self.stand.look().next {
            self.stand.do_next(&next);
        }
    }

    /// Hands over, seals, exports and verifies; the subject of the record.
    fn record(&self) -> Value {
        let finish = [
            "build",
            "finish",
            "ferry",
            "--by",
            MECHANIC,
            "--sure",
            "counted twice",
        ];
        self.say(&finish).ok();
        self.say(&["record", "seal", "ferry", "--by", MECHANIC])
            .ok();
        let out = self.stand.shop.folder().join("record");
        let out = out.to_str().unwrap();
        self.say(&["record", "export", "ferry", "--out", out]).ok();
        let file = format!("{out}/record.json");
        self.say(&["record", "verify", &file]).ok().says(&["valid"]);
        let bytes = std::fs::read(&file).unwrap();
        // With the names that the file discloses.
        let verified = record::verify(&bytes).unwrap();
        serde_json::to_value(&verified.record.subject).unwrap()
    }
}

#[test]
fn a_dry_fit_is_undone_and_a_mistake_taken_back() {
    let mut life = Life::tight();
    let loosen = ["fastener", "loosen", "ferry"];
    let why = ["--reason", "a dry fit", "--by", MECHANIC];
    life.say(&[&loosen[..], &["--stage", "crank"], &why].concat())
        .ok()
        .says(&[
            "loosened",
            "Left crank, front pinch bolt: its readings no longer count",
        ]);
    assert_eq!(life.standing("crank.front"), "open");
    assert_eq!(life.standing("rack.left"), "within");
    life.say(&[&loosen[..], &["--stage", "crank"], &why].concat())
        .status(1)
        .says(&["nothing counts at any fastener of"]);
    // The rear bolt was not touched at all.
    let rows = life.json(&["fastener", "history", "ferry", "crank.rear"]);
    let rows = rows.as_array().unwrap();
    let undone = rows.iter().find(|row| row["kind"] == "loosened").unwrap();
    let entry = undone["sequence"].to_string();
    let withdraw = [
        "build",
        "withdraw",
        "ferry",
        &entry,
        "--reason",
        "not that one",
        "--by",
        MECHANIC,
    ];
    life.say(&withdraw)
        .ok()
        .says(&["taken back", "Left crank, rear pinch bolt is within"]);
    assert_eq!(life.standing("crank.rear"), "within");
    life.say(&withdraw)
        .status(1)
        .says(&["was taken back before"]);
    life.say(&["fastener", "history", "ferry", "crank.rear"])
        .ok()
        .says(&[
            &format!("[taken back by {MECHANIC} in entry"),
            "not that one",
        ]);
    // The daemon tells the same after a restart.
    life.stand.shop.kill();
    life.stand.shop.start();
    assert_eq!(life.standing("crank.rear"), "within");
    assert_eq!(life.standing("crank.front"), "open");
    life.say(&[&loosen[..], &["--all"], &why].concat()).ok();
    assert_eq!(life.standing("rack.left"), "open");
}

#[test]
fn a_spare_goes_in_and_the_record_names_both() {
    let mut life = Life::tight();
    let by = ["--by", MECHANIC];
    life.say(&[&["part", "fit", "ferry", "arm", "CA-1"], &by[..]].concat())
        .ok();
    let swap = [
        "part", "swap", "ferry", "arm", "CA-2", "--reason", "a crack",
    ];
    life.say(&[&swap[..], &by].concat()).ok().says(&[
        "swapped",
        "Left crank, front pinch bolt is loose, and has to be tightened again",
    ]);
    life.say(&["part", "list", "ferry"]).ok().says(&[
        "Left crank arm",
        "CA-2, swapped once",
        "held by crank.front, crank.rear",
    ]);
    assert_eq!(life.standing("crank.rear"), "open");
    life.tighten();
    let note = [
        "fastener",
        "note",
        "ferry",
        "crank.front",
        "--text",
        "a mark on the arm",
    ];
    let photo = life.stand.shop.folder().join("arm.png");
    let png = b"\x89PNG\r\n\x1a\n not much of a picture";
    std::fs::write(&photo, png).unwrap();
    life.say(&[&note[..], &["--photo", photo.to_str().unwrap()], &by].concat())
        .ok()
        .says(&["noted, with the photograph"]);
    std::fs::write(&photo, b"GIF89a").unwrap();
    life.say(&[&note[..], &["--photo", photo.to_str().unwrap()], &by].concat())
        .status(1)
        .says(&["no JPEG, PNG or WebP picture"]);
    let record = life.record();
    let part = &record["parts"][0];
    assert_eq!(
        (&part["serial"], &part["swaps"][0]["out"]),
        (&"CA-2".into(), &"CA-1".into())
    );
    let photo = &record["notes"][0]["photo"];
    assert_eq!(photo["media_type"], "image/png");
    assert_eq!(photo["bytes_length"], png.len());
    assert_eq!(photo["name"], "arm.png");
    life.say(&["ledger", "check"]).ok();
}

#[test]
fn another_edition_in_the_middle_of_a_build() {
    let mut life = Life::tight();
    let narrow = with_parts()
        .replace("upper = \"5.5 N·m\"", "upper = \"5.4 N·m\"")
        .replace("[0.6, 1.0]", "[0.5, 1.0]");
    let file = life.stand.shop.write("edition.toml", &narrow);
    let file = file.to_str().unwrap();
    life.say(&["build", "plan", "ferry", file, "--dry-run"]).ok().says(&[
        "Seat clamp bolt: 4.5 N·m to 5.4 N·m, aim 5.0 N·m instead of 4.5 N·m to 5.5 N·m, aim 5.0 N·m",
        "Left crank, front pinch bolt: passes at 50 %, 100 % instead of 60 %, 100 %",
        "Left crank, front pinch bolt: has to be pulled again",
    ]);
    assert_eq!(life.standing("crank.front"), "within", "it was only asked");
    let plan = [
        "build",
        "plan",
        "ferry",
        file,
        "--reason",
        "the maker's new sheet",
        "--by",
        MECHANIC,
    ];
    life.say(&plan).ok().says(&[
        "held to the new edition",
        "Left crank, rear pinch bolt has to be pulled again",
    ]);
    assert_eq!(life.standing("crank.front"), "open");
    assert_eq!(life.standing("seat.clamp"), "within");
    life.say(&plan)
        .status(1)
        .says(&["held to this very file already"]);
    life.stand.shop.kill();
    life.stand.shop.start();
    life.stand.events = life.stand.shop.http().events(None).unwrap();
    assert_eq!(life.standing("crank.front"), "open");
    let again = [
        "reading",
        "enter",
        "13 N·m",
        "--tool",
        "w1",
        "--by",
        MECHANIC,
        "--fastener",
    ];
    for (fastener, pulls) in [("crank.front", 2), ("crank.rear", 2)] {
        for _ in 0..pulls {
            life.say(&[&again[..], &[fastener]].concat()).ok();
        }
    }
    let record = life.record();
    let change = &record["plan_changes"][0];
    assert_ne!(change["before"]["sha256"], record["plan"]["sha256"]);
    assert_eq!(change["changed"]["reason"], "the maker's new sheet");
    let seat = record["fasteners"].as_array().unwrap();
    let seat = seat
        .iter()
        .find(|fastener| fastener["id"] == "seat.clamp")
        .unwrap();
    assert_eq!(
        seat["earlier"][0]["spec"]["limits"]["upper_millinewton_metre"],
        5_500
    );
    assert_eq!(
        seat["readings"][0]["earlier_verdicts"][0]["verdict"]["answer"],
        "within"
    );
}

/// What was pulled stays told: by the record, by its table, and to a program that is not ours.
#[test]
fn a_fastener_that_the_plan_no_longer_has_stays_in_the_record_with_its_readings() {
    let life = Life::tight();
    let edition: Vec<&str> = plans::SMALL
        .split("[[stage]]")
        .filter(|part| !part.contains("\"crank.front\""))
        .collect();
    let file = life
        .stand
        .shop
        .write("edition.toml", &edition.join("[[stage]]"));
    life.say(&[
        "build",
        "plan",
        "ferry",
        file.to_str().unwrap(),
        "--reason",
        "the arm is bought in",
        "--by",
        MECHANIC,
    ])
    .ok();
    let record = life.record();
    let removed = record["removed"].as_array().unwrap();
    assert_eq!(removed.len(), 2);
    assert!(!removed[0]["readings"].as_array().unwrap().is_empty());
    let folder = life.stand.shop.folder().join("record");
    let table = std::fs::read_to_string(folder.join("readings.csv")).unwrap();
    for fastener in removed {
        let title = fastener["title"].as_str().unwrap();
        assert!(table.contains(title), "{title:?} is not in\n{table}");
    }
    pullmark_tests::Command::new(python(), &folder)
        .arg(published("verify_record.py"))
        .arg(folder.join("record.json"))
        .run()
        .ok()
        .says(&["valid"]);
}

#[test]
fn two_mechanics_and_another_day() {
    let life = Life::tight();
    let by = ["--by", MECHANIC];
    let hand = [
        "build",
        "hand-over",
        "ferry",
        "--to",
        SECOND,
        "--note",
        "only the look is left",
    ];
    life.say(&[&hand[..], &by].concat()).ok();
    life.say(&[&hand[..], &by].concat())
        .status(1)
        .says(&[&format!("is in the hands of {SECOND}")]);
    let aside = ["build", "lay-aside", "ferry", "--reason", "closing time"];
    life.say(&[&aside[..], &by].concat()).ok();
    life.say(&["build", "list"]).ok().says(&["laid aside by"]);
    life.say(&["build", "show", "ferry"])
        .ok()
        .says(&[&format!("in the hands of {SECOND}"), "closing time"]);
    // Who pulled it, pulled it before the build changed hands.
    life.say(&["fastener", "look", "ferry", "seat.clamp", "--by", MECHANIC])
        .status(1)
        .says(&["another person"]);
    life.say(&["fastener", "look", "ferry", "seat.clamp", "--by", SECOND])
        .ok()
        .says(&["it was laid aside, and is gone on with"]);
    let record = life.record();
    assert_eq!(record["hands"][0]["to"], SECOND);
    assert_eq!(record["laid_aside"][0]["resumed"]["by"], SECOND);
    assert!(record["not_done"].as_array().unwrap().is_empty());
}

#[test]
fn what_waits_says_for_what() {
    let stand = Stand::begin(plans::SMALL);
    let defer = Act::Defer {
        build: "ferry".into(),
        fastener: "rack.left".into(),
        by: MECHANIC.into(),
        reason: "the thread is too short".into(),
        waits_for: Some("the longer bolt".into()),
    };
    stand.shop.act(&defer);
    stand
        .shop
        .pullmark(["build", "show", "ferry"])
        .ok()
        .says(&["waits for the longer bolt (the thread is too short)"]);
}
