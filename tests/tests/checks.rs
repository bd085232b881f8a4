//! Checks that are no torque, with simulated callipers, gauges and a scale on pseudo-terminals: units of another world, slips of a
//! factor, a scale that creeps, too much pressure; the record of it, and a daemon that is killed.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::{Act, BuildView, PlannedCheckView};
use pullmark_schema::build::CheckStanding;
use pullmark_schema::check::{CheckHeldBecause, CheckMeasured, CheckPlacement};
use pullmark_schema::entry::{Bike, Event};
use pullmark_schema::tool::Tool;
use pullmark_schema::verdict::Answer;
use pullmark_sim::tool::gauge::PluggedGauge;
use pullmark_tests::plans::{CALLIPER, CHECKS, GAUGE, RULER, SCALE};
use pullmark_tests::programs::workspace;
use pullmark_tests::python::{published, python};
use pullmark_tests::{Command, Events, Heard, MECHANIC, SECOND, Said, Shop, ledger};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// A shop with tools that measure no torque, and a build under way.
struct Day {
    shop: Shop,
    events: Events,
    build: String,
    plugged: BTreeMap<&'static str, PluggedGauge>,
}

impl Day {
    fn begin() -> Self {
        Self::begin_in(Shop::open())
    }

    fn begin_in(shop: Shop) -> Self {
        let events = shop.http().events(None).unwrap();
        let done = shop.act(&Act::StartBuild {
            build: None,
            bike: Bike {
                frame: "FC-0419".to_owned(),
                label: None,
            },
            plan: CHECKS.to_owned(),
            by: MECHANIC.to_owned(),
            tools: Vec::new(),
            follows: None,
            due: Vec::new(),
        });
        Self {
            shop,
            events,
            build: done.build.unwrap(),
            plugged: BTreeMap::new(),
        }
    }

    /// Plugs a tool in, adds it and gives it to the build.
    fn with(mut self, id: &'static str, file: &str, profile: &str) -> Self {
        let link = self.shop.folder().join(format!("tty-{id}"));
        let serial = format!("SIM-{}", id.to_uppercase());
        let plugged = PluggedGauge::plug(&serial, &link).unwrap();
        let connection = format!(
            "\n[connection]\nport = {:?}\nprofile = {profile:?}\n",
            link.display().to_string()
        );
        self.add(id, &format!("{file}{connection}"));
        self.events.wait_for_kind("tool-connected");
        self.plugged.insert(id, plugged);
        self
    }

    fn add(&self, id: &str, file: &str) {
        let tool = Box::new(Tool::read(file).unwrap());
        self.shop.act(&Act::AddTool { by: None, tool });
        self.shop.act(&Act::AssignTool {
            by: None,
            tool: id.to_owned(),
            build: self.build.clone(),
        });
    }

    /// The button of a tool is pressed; what the ledger says of it.
    #[track_caller]
    fn shows(&mut self, tool: &str, value: &str, unit: &str) -> (u64, CheckMeasured) {
        self.sends(tool, value, unit);
        self.comes()
    }

    fn sends(&mut self, tool: &str, value: &str, unit: &str) {
        let gauge = self.plugged.get_mut(tool).unwrap();
        gauge.show(value, unit).unwrap();
    }

    #[track_caller]
    fn comes(&mut self) -> (u64, CheckMeasured) {
        let entry = self.events.wait_for_kind("check-measured").entry();
        let Event::CheckMeasured(measured) = entry.event else {
            panic!("{}", entry.sequence)
        };
        (entry.sequence, *measured)
    }

    fn points_at(&self, check: &str) {
        let words = ["fastener", "next", &self.build, check, "--by", MECHANIC];
        self.shop.pullmark(words).ok();
    }

    #[track_caller]
    fn place(&self, reading: u64, check: &str) {
        let reading = reading.to_string();
        let words = ["reading", "place", &reading, check, "--by", MECHANIC];
        self.shop.pullmark(words).ok();
    }

    fn finish(&self) -> Said {
        let words = ["build", "finish", &self.build, "--by", MECHANIC];
        self.shop.pullmark(words)
    }

    fn look(&self) -> BuildView {
        let answer = self.shop.http().get(&format!("/v1/builds/{}", self.build));
        serde_json::from_slice(&answer.body).unwrap()
    }

    fn check(&self, id: &str) -> PlannedCheckView {
        let stages = self.look().stages.into_iter();
        let mut all = stages.flat_map(|stage| stage.checks);
        all.find(|check| check.id == id).unwrap()
    }

    fn standing(&self, id: &str) -> CheckStanding {
        self.check(id).standing
    }

    /// Measures everything well, in units that are not those of the plan.
    fn measures_all(&mut self) {
        let (_, depth) = self.shows("c1", "3.240", "in");
        assert_eq!(at(&depth), Some("seat.depth"));
        let (_, front) = self.shows("g1", "4.02", "bar");
        assert_eq!(at(&front), Some("tyres.front"));
        self.points_at("tyres.rear");
        let (_, rear) = self.shows("g1", "4.30", "bar");
        assert_eq!(at(&rear), Some("tyres.rear"));
        self.rests(1_268.0);
    }

    /// A scale that sends ten values a second, as far apart as its clock says, until one has settled.
    fn rests(&mut self, gram: f64) {
        // The time is that at which the bytes come, so it takes as long as it does on a bench.
        let scale = self.plugged.get_mut("s1").unwrap();
        let mut sent = 0;
        let (reading, _) = loop {
            let swing = if sent % 2 == 0 { 0.2 } else { 0.0 };
            scale.show(&format!("{:.1}", gram + swing), "g").unwrap();
            sent += 1;
            std::thread::sleep(std::time::Duration::from_millis(50));
            if sent >= 24 {
                break self.comes();
            }
        };
        assert!(reading > 0);
    }
}

fn at(measured: &CheckMeasured) -> Option<&str> {
    measured.placement.place().map(|place| place.check.as_str())
}

/// Why a reading is held, and the unit in which its number would fit.
#[track_caller]
fn question(measured: &CheckMeasured) -> (CheckHeldBecause, Option<String>) {
    let CheckPlacement::Held {
        because,
        candidates,
    } = &measured.placement
    else {
        panic!("{:?}", measured.placement)
    };
    let fits = candidates.first().and_then(|one| one.fits_in.clone());
    (*because, fits)
}

#[test]
fn a_calliper_set_to_inches_and_a_gauge_in_bar_are_converted() {
    let mut day =
        Day::begin()
            .with("c1", CALLIPER, "pullmark-gauge")
            .with("g1", GAUGE, "pullmark-gauge");
    let (_, depth) = day.shows("c1", "3.240", "in");
    // 3.240 in = 82.296 mm, and the certificate decides what it is worth.
    assert_eq!(depth.reading.value, Some(82_296));
    assert_eq!(depth.reading.displayed.as_ref().unwrap().value, "3.240");
    let worth = depth.reading.worth.as_ref().unwrap();
    // A step of 0.001 in is 25.4 µm, up to 26; 26/2/√3 = 7.506, the certificate's 20/2 = 10: 12.504, twice that 25.008.
    assert_eq!((worth.step, worth.expanded_thousandths / 10), (26, 2_500));
    assert_eq!(depth.verdict.as_ref().unwrap().answer, Answer::Within);

    // 4.02 bar = 58.3 psi, between 54 and 62.
    let (_, front) = day.shows("g1", "4.02", "bar");
    assert_eq!(front.reading.value, Some(402_000));
    assert_eq!(at(&front), Some("tyres.front"));
    assert_eq!(day.standing("tyres.front"), CheckStanding::Within);
    // Pressed once more at once: the same measurement, and the other tyre is not used up.
    let (_, again) = day.shows("g1", "4.03", "bar");
    assert_eq!(at(&again), Some("tyres.front"));
    assert_eq!(day.standing("tyres.rear"), CheckStanding::Open);
    let view = day.check("tyres.front");
    assert_eq!(view.displayed.as_deref(), Some("4.03 bar"));

    let show = day.shop.pullmark(["build", "show", &day.build]);
    show.ok().says(&["Seat post in the frame", "Front tyre"]);
}

#[test]
fn a_slip_of_a_factor_is_asked_about_with_the_unit_that_would_fit() {
    let mut day = Day::begin().with("c1", CALLIPER, "pullmark-gauge");
    // Metres on a display that says millimetres.
    let (reading, slip) = day.shows("c1", "0.0823", "mm");
    assert_eq!(
        question(&slip),
        (CheckHeldBecause::Implausible, Some("m".to_owned()))
    );
    assert_eq!(day.standing("seat.depth"), CheckStanding::Open);
    let held = day.look().held_checks;
    assert_eq!(held.len(), 1);
    assert_eq!(held[0].candidates[0].fits_in.as_deref(), Some("m"));
    // The same typed in by hand.
    day.add("ruler", RULER);
    let words = ["reading", "enter", "8.23 mm", "--tool", "ruler", "--by"];
    day.shop.pullmark([&words[..], &[MECHANIC]].concat()).ok();
    let (typed, slip) = day.comes();
    assert_eq!(
        question(&slip),
        (CheckHeldBecause::Implausible, Some("cm".to_owned()))
    );
    // A person may still say that it belongs there; then it is what it says, and out of limits.
    day.place(typed, "seat.depth");
    assert_eq!(day.standing("seat.depth"), CheckStanding::Under);
    day.finish().status(1);
    // Or that it belongs nowhere.
    let reading = reading.to_string();
    let words = ["reading", "place", &reading, "--reason", "slip", "--by"];
    day.shop.pullmark([&words[..], &[MECHANIC]].concat()).ok();
    assert!(day.look().held_checks.is_empty());
    let words = ["reading", "enter", "82.5 mm", "--tool", "ruler", "--by"];
    day.shop.pullmark([&words[..], &[MECHANIC]].concat()).ok();
    assert_eq!(at(&day.comes().1), Some("seat.depth"));
    assert_eq!(day.standing("seat.depth"), CheckStanding::Within);
}

#[test]
fn a_tool_that_states_no_unit_is_asked_about_where_its_value_cannot_be_right() {
    let mut shop = Shop::closed(&[]);
    let folder = shop.folder().join("profiles");
    std::fs::create_dir(&folder).unwrap();
    let built_in = workspace().join("daemon/src/intake/profiles/pullmark-gauge.toml");
    let profile = std::fs::read_to_string(built_in)
        .unwrap()
        .replace("\"pullmark-gauge\"", "\"bare\"")
        .replace("[unit]", "[unit]\n\"\" = \"mm\"");
    std::fs::write(folder.join("bare.toml"), profile).unwrap();
    let config = format!("profiles = {:?}\n", folder.display().to_string());
    let config = shop.write("pullmarkd.toml", &config);
    shop.with_variable("PULLMARK_CONFIG", &config.display().to_string());
    shop.start();
    let mut day = Day::begin_in(shop).with("c1", CALLIPER, "bare");
    let (reading, inches) = day.shows("c1", "3.24", "");
    assert_eq!(
        question(&inches),
        (CheckHeldBecause::Implausible, Some("in".to_owned()))
    );
    let kept = inches.reading.value;
    assert_eq!(kept, Some(3_240), "nothing is converted on a guess");
    day.place(reading, "seat.depth");
    assert_eq!(day.standing("seat.depth"), CheckStanding::Under);
    assert_eq!(at(&day.shows("c1", "82.31", "").1), Some("seat.depth"));
    assert_eq!(day.standing("seat.depth"), CheckStanding::Within);
}

#[test]
fn a_scale_that_creeps_is_asked_about_and_one_that_rests_is_read() {
    let mut day = Day::begin().with("s1", SCALE, "pullmark-scale");
    // Within the limits all the time, and a gram more every 50 ms; the profile gives up after ten seconds.
    let mut gram = 1_205.0;
    for _ in 0..240 {
        day.sends("s1", &format!("{gram:.1}"), "g");
        gram += 0.7;
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    let (_, creeping) = day.comes();
    assert_eq!(question(&creeping).0, CheckHeldBecause::Unsteady);
    assert_eq!(day.standing("wheel.mass"), CheckStanding::Open);
    // Lifted off, and put on again.
    day.sends("s1", "0.2", "g");
    day.rests(1_268.0);
    assert_eq!(day.standing("wheel.mass"), CheckStanding::Within);
    let view = day.check("wheel.mass");
    assert_eq!(view.readings_done, 1);
    assert!(
        view.displayed.unwrap().starts_with("1268."),
        "the settled value"
    );
}

#[test]
fn too_much_pressure_alarms_and_stays_until_it_is_decided_about() {
    let mut day = Day::begin()
        .with("c1", CALLIPER, "pullmark-gauge")
        .with("g1", GAUGE, "pullmark-gauge")
        .with("s1", SCALE, "pullmark-scale");
    let (over, reading) = day.shows("g1", "5.20", "bar");
    let alarm = reading.alarm.as_ref().unwrap();
    assert_eq!(alarm.place.check, "tyres.front");
    let alarms = day.look().check_alarms;
    assert_eq!(
        alarms.iter().map(|one| one.sequence).collect::<Vec<_>>(),
        [over]
    );
    day.shop.act(&Act::Acknowledge {
        alarm: over,
        by: MECHANIC.to_owned(),
    });
    assert!(day.look().check_alarms.is_empty());
    // It may be either tyre's: a person says which.
    assert_eq!(question(&reading).0, CheckHeldBecause::Unclear);
    day.place(over, "tyres.front");
    // Let out. The newest counts, and what the rim has had is not gone.
    day.points_at("tyres.front");
    let (_, lower) = day.shows("g1", "4.02", "bar");
    assert_eq!(lower.verdict.unwrap().answer, Answer::Within);
    let check = day.check("tyres.front");
    assert_eq!(
        (check.standing, check.needs_decision),
        (CheckStanding::Over, true)
    );
    day.measures_all();
    day.finish().status(1).says(&["Front tyre"]);
    let words = ["fastener", "dispose", &day.build, "tyres.front"];
    let more = [
        "--decision",
        "inspected-and-kept",
        "--reason",
        "rim and tyre looked at, no mark",
        "--by",
        SECOND,
    ];
    day.shop.pullmark([&words[..], &more].concat()).ok();
    assert_eq!(day.standing("tyres.front"), CheckStanding::Within);
    day.finish().ok();
}

/// What both programs say of a record file.
struct Verdicts {
    ours: Said,
    theirs: Said,
}

fn verify(home: &Path, file: &Path) -> Verdicts {
    let ours = Command::pullmark(home).args(["record", "verify", "--json"]);
    let theirs = Command::new(python(), home).arg(published("verify_record.py"));
    Verdicts {
        ours: ours.arg(file).run(),
        theirs: theirs.arg(file).arg("--json").run(),
    }
}

fn sealed() -> (Day, PathBuf) {
    let mut day = Day::begin()
        .with("c1", CALLIPER, "pullmark-gauge")
        .with("g1", GAUGE, "pullmark-gauge")
        .with("s1", SCALE, "pullmark-scale");
    // One that no longer counts.
    day.shows("c1", "71.30", "mm");
    assert_eq!(day.standing("seat.depth"), CheckStanding::Under);
    day.measures_all();
    day.finish().ok();
    let words = ["record", "seal", &day.build, "--by", MECHANIC];
    day.shop.pullmark(words).ok();
    let out = day.shop.folder().join("out");
    let words = ["record", "export", &day.build, "--out"];
    let out_text = out.display().to_string();
    let export = day.shop.pullmark([&words[..], &[&out_text]].concat());
    export.ok();
    (day, out)
}

#[test]
fn the_record_has_every_reading_of_a_check_and_both_programs_compute_them_again() {
    let (day, out) = sealed();
    let file = out.join("record.json");
    let said = verify(day.shop.folder(), &file);
    said.ours.ok();
    let theirs = said.theirs.ok().json();
    assert_eq!(theirs["checks"], json!(5));
    let whole: Value = serde_json::from_slice(&std::fs::read(&file).unwrap()).unwrap();
    let subject = &whole["record"]["credentialSubject"];
    let depth = &subject["checks"][0];
    assert_eq!(depth["readings"].as_array().unwrap().len(), 2);
    let apart = &subject["checks"][3];
    // 4.30 - 4.02 bar. Steps of 0.01 bar: 2·(1000/2/√3)² = 2·288.68²; a stated accuracy of 1 % + 0.02 bar, (1 %·4.30 + 0.02)/√3
    // and (1 %·4.02 + 0.02)/√3: apart they add up as squares, more than their difference.
    assert_eq!(apart["derived"]["value"], json!(28_000));
    let (rear, front) = (6_300.0 / 3f64.sqrt(), 6_020.0 / 3f64.sqrt());
    let step = 1_000.0 / 2.0 / 3f64.sqrt();
    let expected = (2.0 * step * step + rear * rear + front * front).sqrt() * 1_000.0;
    let standard = apart["derived"]["standard_thousandths"].as_f64().unwrap();
    assert!(
        (standard - expected).abs() < 5.0,
        "{standard} and {expected}"
    );
    let table = std::fs::read_to_string(out.join("readings.csv")).unwrap();
    let rows = table.lines().filter(|line| line.contains("seat.depth"));
    assert_eq!(rows.count(), 2, "{table}");
}

type Edit = fn(&mut Value);

#[test]
fn a_reading_of_a_check_that_was_changed_dropped_or_moved_is_found_by_both() {
    let (day, out) = sealed();
    let whole: Value =
        serde_json::from_slice(&std::fs::read(out.join("record.json")).unwrap()).unwrap();
    let edits: [(&str, Edit); 6] = [
        ("value", |subject| {
            subject["checks"][0]["readings"][1]["reading"]["value"] = json!(95_000);
        }),
        ("display", |subject| {
            subject["checks"][0]["readings"][1]["reading"]["displayed"]["value"] = json!("3.740");
        }),
        ("drop", |subject| {
            let readings = subject["checks"][0]["readings"].as_array_mut().unwrap();
            readings.remove(0);
        }),
        ("order", |subject| {
            let readings = subject["checks"][0]["readings"].as_array_mut().unwrap();
            readings.swap(0, 1);
        }),
        ("formula", |subject| {
            subject["checks"][3]["derived"]["value"] = json!(27_000);
        }),
        ("move", |subject| {
            let readings = subject["checks"][1]["readings"].as_array_mut().unwrap();
            let moved = readings.pop().unwrap();
            let other = subject["checks"][2]["readings"].as_array_mut().unwrap();
            other.push(moved);
        }),
    ];
    for (what, edit) in edits {
        let mut changed = whole.clone();
        edit(&mut changed["record"]["credentialSubject"]);
        assert_ne!(changed, whole, "{what}");
        let file = day.shop.write("changed.json", &changed.to_string());
        let said = verify(day.shop.folder(), &file);
        said.ours.status(1);
        said.theirs.status(1);
    }
    // The same in the entries beside the record.
    let mut changed = whole;
    let entries = changed["history"]["entries"].as_array_mut().unwrap();
    let before = entries.len();
    let first = entries
        .iter()
        .position(|entry| entry["kind"] == "check-measured")
        .unwrap();
    entries.remove(first);
    assert_eq!(entries.len() + 1, before);
    let file = day.shop.write("changed.json", &changed.to_string());
    let said = verify(day.shop.folder(), &file);
    said.ours.status(1);
    said.theirs.status(1);
}

/// Whether something heard is a reading of a tool.
fn is_of(heard: &Heard, tool: &str) -> bool {
    heard.kind == "check-measured"
        && matches!(heard.entry().event, Event::CheckMeasured(measured) if measured.reading.tool == tool)
}

#[test]
fn a_daemon_that_is_killed_keeps_every_reading_of_a_check_that_it_told() {
    let mut day =
        Day::begin()
            .with("c1", CALLIPER, "pullmark-gauge")
            .with("g1", GAUGE, "pullmark-gauge");
    let mut told: BTreeMap<u64, Vec<u8>> = BTreeMap::new();
    for round in 0..8_u32 {
        let depth = format!("{:.2}", 82.0 + f64::from(round) / 100.0);
        day.sends("c1", &depth, "mm");
        // What the gauge had under way at the last kill may come before it.
        let heard = day.events.wait_for(|heard| is_of(heard, "c1"));
        let heard = heard.last().unwrap();
        told.insert(heard.sequence, heard.body.clone());
        // Another one is on its way.
        day.sends("g1", "4.02", "bar");
        let until =
            std::time::Instant::now() + std::time::Duration::from_micros(u64::from(round) * 300);
        while std::time::Instant::now() < until {
            std::hint::spin_loop();
        }
        day.shop.kill();
        let rows = ledger::rows(&day.shop.data());
        for (sequence, body) in &told {
            let row = rows
                .iter()
                .find(|row| row.sequence == *sequence)
                .expect("an entry that was told is there");
            assert_eq!(&row.body, body, "entry {sequence} after kill {round}");
        }
        let last = rows.last().unwrap().sequence;
        day.shop.start();
        day.events = day.shop.http().events(Some(last)).unwrap();
        for _ in 0..2 {
            day.events.wait_for_kind("tool-connected");
        }
    }
    let rows = ledger::rows(&day.shop.data());
    let folded = ledger::fold(&rows, &day.build);
    let kept = folded.checks.state("seat.depth").unwrap().placed.len();
    assert_eq!(kept, told.len(), "no reading of the calliper is doubled");
    assert_eq!(day.standing("seat.depth"), CheckStanding::Within);
    // The tables made anew are the same, with the checks in them.
    assert_eq!(day.shop.terminate(), Some(0));
    let before = ledger::projections(&day.shop.data());
    let cell = format!("Text({:?})", b"seat.depth");
    let rows = before.iter().filter(|row| row.contains(&cell));
    assert!(rows.count() > told.len(), "{before:?}");
    day.shop.pullmark(["ledger", "rebuild"]).ok();
    assert_eq!(before, ledger::projections(&day.shop.data()));
    day.shop.pullmark(["ledger", "check"]).ok();
}
