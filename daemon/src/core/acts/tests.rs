//! What people ask for: every refusal, and what is done.

mod life;

use super::decide_act;
use crate::core::seal::{Means, seal};
use crate::core::{Decided, Refusal};
use crate::testing::{
    BUILD, Day, MARA, OLE, PLAN, WRENCH, shows, start_build, torque, whereto, wrench,
};
use pullmark_schema::SigningKey;
use pullmark_schema::api::Act;
use pullmark_schema::build::Standing;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Bike, Decision, Entry, Event, Pulled};
use pullmark_schema::placement::{Place, Placement, PullKind};
use pullmark_schema::reading::Origin;
use pullmark_schema::record;
use pullmark_schema::tool::ToolError;
use pullmark_schema::verdict::Caution;

fn enter(value: &str, fastener: Option<&str>) -> Act {
    let (tool, value, by) = (WRENCH.to_owned(), value.to_owned(), MARA.to_owned());
    Act::EnterReading {
        tool,
        value,
        by,
        fastener: fastener.map(str::to_owned),
    }
}

fn place(reading: u64, fastener: Option<&str>, pass: Option<u8>) -> Act {
    Act::Place {
        reading,
        fastener: fastener.map(str::to_owned),
        pass,
        by: MARA.to_owned(),
        reason: None,
    }
}

fn loosen(fasteners: &[&str], reason: &str) -> Act {
    let fasteners = fasteners.iter().map(|&id| id.to_owned()).collect();
    Act::Loosen {
        build: BUILD.to_owned(),
        fasteners,
        by: MARA.to_owned(),
        reason: reason.to_owned(),
        stage: None,
        all: false,
    }
}

fn defer(fastener: &str) -> Act {
    let (build, fastener, by) = (BUILD.to_owned(), fastener.to_owned(), MARA.to_owned());
    Act::Defer {
        build,
        fastener,
        by,
        reason: "the part comes next week".to_owned(),
        waits_for: None,
    }
}

fn take_up(fastener: &str) -> Act {
    Act::TakeUp {
        build: BUILD.to_owned(),
        fastener: fastener.to_owned(),
        by: MARA.to_owned(),
    }
}

fn prepare(fastener: &str) -> Act {
    Act::Prepare {
        build: BUILD.to_owned(),
        fastener: fastener.to_owned(),
        by: MARA.to_owned(),
    }
}

fn look(fastener: &str, by: &str) -> Act {
    Act::Look {
        build: BUILD.to_owned(),
        fastener: fastener.to_owned(),
        by: by.to_owned(),
        reason: None,
    }
}

fn point_at(build: &str, fastener: &str, by: &str) -> Act {
    Act::PointAt {
        build: build.to_owned(),
        fastener: fastener.to_owned(),
        by: by.to_owned(),
    }
}

fn dispose(fastener: &str, decision: Decision) -> Act {
    let (build, fastener, by) = (BUILD.to_owned(), fastener.to_owned(), MARA.to_owned());
    Act::Dispose {
        build,
        fastener,
        decision,
        by,
        reason: "new clamp fitted".to_owned(),
    }
}

fn acknowledge(alarm: u64) -> Act {
    Act::Acknowledge {
        alarm,
        by: MARA.to_owned(),
    }
}

fn finish() -> Act {
    Act::Finish {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        sure: Some("counted twice".to_owned()),
    }
}

fn pulled(entries: &[Entry]) -> &Pulled {
    match &entries.last().unwrap().event {
        Event::Pulled(pulled) => pulled,
        event => panic!("{event:?}"),
    }
}

/// What is refused changes nothing.
#[track_caller]
fn refused(day: &mut Day, act: Act) -> Refusal {
    let before = day.bench.clone();
    let refusal = day.act(act.clone()).unwrap_err();
    assert_eq!(
        day.bench, before,
        "{act:?} was refused and changed something"
    );
    assert!(!refusal.to_string().is_empty() && refusal.code().contains('/'));
    refusal
}

fn means(key: &SigningKey) -> Means<'_> {
    Means {
        bench: "bench-1",
        key,
        random: [7; 16],
        secret: [8; 32],
        head: (42, Digest32::of(b"head")),
    }
}

#[test]
fn what_is_not_known_is_refused() {
    let mut day = Day::with(PLAN);
    let unknown = "nobody's".to_owned();
    let build = Refusal::BuildNotKnown(unknown.clone());
    assert_eq!(
        refused(&mut day, point_at("nobody's", "seat.clamp", MARA)),
        build
    );
    assert_eq!(
        refused(
            &mut day,
            Act::AssignTool {
                by: None,
                tool: WRENCH.to_owned(),
                build: unknown.clone()
            }
        ),
        build
    );
    assert_eq!(
        refused(
            &mut day,
            Act::Finish {
                build: unknown.clone(),
                by: MARA.to_owned(),
                sure: Some("counted twice".to_owned())
            }
        ),
        build
    );
    let fastener = Refusal::FastenerNotKnown("seat.bolt".to_owned());
    for act in [
        point_at(BUILD, "seat.bolt", MARA),
        enter("5 N·m", Some("seat.bolt")),
        loosen(&["seat.clamp", "seat.bolt"], "caught cable"),
        defer("seat.bolt"),
        take_up("seat.bolt"),
        prepare("seat.bolt"),
        look("seat.bolt", OLE),
        dispose("seat.bolt", Decision::PartReplaced),
    ] {
        assert_eq!(refused(&mut day, act), fastener);
    }
    let tool = Refusal::ToolNotKnown("w9".to_owned());
    assert_eq!(
        refused(
            &mut day,
            Act::AssignTool {
                by: None,
                tool: "w9".to_owned(),
                build: BUILD.to_owned()
            }
        ),
        tool
    );
    let mut start = start_build("second", PLAN);
    if let Act::StartBuild { tools, .. } = &mut start {
        tools.push("w9".to_owned());
    }
    assert_eq!(refused(&mut day, start), tool);
    let entered = Act::EnterReading {
        tool: "w9".to_owned(),
        value: "5 N·m".to_owned(),
        by: MARA.to_owned(),
        fastener: None,
    };
    assert_eq!(refused(&mut day, entered), tool);
    assert_eq!(
        refused(&mut day, place(0, None, None)),
        Refusal::ReadingNotKnown(0)
    );
    assert_eq!(refused(&mut day, acknowledge(0)), Refusal::AlarmNotKnown(0));
    for refusal in [
        build,
        fastener,
        tool,
        Refusal::ReadingNotKnown(0),
        Refusal::AlarmNotKnown(0),
    ] {
        assert!(refusal.is_not_found(), "{refusal}");
    }
}

#[test]
fn a_tool_that_cannot_be_is_refused() {
    let mut tool = wrench("w2");
    tool.lowest = tool.highest;
    let refusal = refused(
        &mut Day::begun(),
        Act::AddTool {
            by: None,
            tool: Box::new(tool),
        },
    );
    assert!(matches!(
        &refusal,
        Refusal::BadTool(ToolError::BadRange { .. })
    ));
    assert!(!refusal.is_not_found());
}

#[test]
fn a_build_gets_a_name_from_its_bike() {
    let mut day = Day::begun();
    day.must(Act::AddTool {
        by: None,
        tool: Box::new(wrench(WRENCH)),
    });
    let mut start = |frame: &str, label: Option<&str>| {
        let bike = Bike {
            frame: frame.to_owned(),
            label: label.map(str::to_owned),
        };
        let (plan, by) = (PLAN.to_owned(), MARA.to_owned());
        let entries = day.must(Act::StartBuild {
            build: None,
            bike,
            plan,
            by,
            tools: Vec::new(),
            follows: None,
            due: Vec::new(),
        });
        entries[0].event.build().unwrap().to_owned()
    };
    assert_eq!(
        start("FC54-0193", Some(" Grüne Fähre №7 ")),
        "gr-ne-f-hre-7"
    );
    assert_eq!(start("FC54-0193", None), "fc54-0193");
    assert_eq!(start("FC54-0193", None), "fc54-0193-2");
    assert_eq!(start("FC54-0193", None), "fc54-0193-3");
    assert_eq!(start("…", None), "build");
}

#[test]
fn a_build_is_begun_with_its_plan_and_tools() {
    let mut day = Day::begun();
    day.must(Act::AddTool {
        by: None,
        tool: Box::new(wrench(WRENCH)),
    });
    let decided = decide_act(&day.bench, start_build(BUILD, PLAN), day.now()).unwrap();
    assert_eq!(
        decided.iter().map(|d| d.event.kind()).collect::<Vec<_>>(),
        ["build-started", "tool-assigned"]
    );
    assert_eq!(
        decided[0].attached.as_deref(),
        Some(PLAN.as_bytes()),
        "the plan is kept as it was given"
    );
    let Event::BuildStarted { plan, .. } = &decided[0].event else {
        unreachable!()
    };
    assert_eq!(plan.sha256, Digest32::of(PLAN.as_bytes()));
    day.write(decided);
    assert_eq!(day.bench.served_by(WRENCH).unwrap().id, BUILD);
    assert_eq!(
        refused(&mut day, start_build(BUILD, PLAN)),
        Refusal::BuildTaken(BUILD.to_owned())
    );
}

#[test]
fn a_plan_with_errors_is_refused_with_them() {
    let mut day = Day::with(PLAN);
    let refusal = refused(
        &mut day,
        start_build("second", &PLAN.replace("[0.6, 1.0]", "[0.6, 0.9]")),
    );
    let Refusal::BadPlan(findings) = &refusal else {
        panic!("{refusal:?}")
    };
    assert_eq!(findings.len(), 1);
    let line = PLAN.lines().position(|line| line.contains("0.6")).unwrap() + 1;
    assert_eq!(findings[0].line, line);
    assert!(
        refusal.to_string().contains(&format!("line {line}")),
        "{refusal}"
    );
}

#[test]
fn names_and_reasons_are_trimmed_and_bounded() {
    let mut day = Day::with(PLAN);
    let by = |name: &str| point_at(BUILD, "seat.clamp", name);
    let entries = day.must(by("  Mara \t"));
    assert!(matches!(&entries[0].event, Event::PointedAt { by, .. } if by == "Mara"));
    let bad = |what, most| Refusal::BadText { what, most };
    for name in [
        "",
        "   ",
        "Ma\nra",
        "Ma\u{7}ra",
        "Ma\u{85}ra",
        &"é".repeat(65),
    ] {
        assert_eq!(
            refused(&mut day, by(name)),
            bad("your name", 64),
            "{name:?}"
        );
    }
    day.must(by(&"é".repeat(64)));
    for reason in ["", " \t", "line\nline", &"é".repeat(501)] {
        assert_eq!(
            refused(&mut day, loosen(&["seat.clamp"], reason)),
            bad("the reason", 500),
            "{reason:?}"
        );
    }
    let entries = day.must(loosen(&["seat.clamp"], &format!("  {} ", "é".repeat(500))));
    assert!(
        matches!(&entries[0].event, Event::Loosened(on) if on.reason.as_deref() == Some(&"é".repeat(500)))
    );
    let mut start = |frame: &str, label: &str, build: &str| {
        let bike = Bike {
            frame: frame.to_owned(),
            label: Some(label.to_owned()),
        };
        let (build, plan, by) = (Some(build.to_owned()), PLAN.to_owned(), MARA.to_owned());
        refused(
            &mut day,
            Act::StartBuild {
                build,
                bike,
                plan,
                by,
                tools: Vec::new(),
                follows: None,
                due: Vec::new(),
            },
        )
    };
    assert_eq!(
        start(" ", "Ferry", "b"),
        bad("the frame's serial number", 64)
    );
    assert_eq!(start("F", "\u{0}", "b"), bad("the bike's label", 64));
    assert_eq!(
        start("F", "Ferry", &"b".repeat(65)),
        bad("the build's name", 64)
    );
}

#[test]
fn an_attested_reading_is_placed_and_says_so() {
    let mut day = Day::with(PLAN);
    let entries = day.must(enter("44 lbf·in", None));
    let first = pulled(&entries).clone();
    assert_eq!(
        first.reading.origin,
        Origin::Attested {
            by: MARA.to_owned()
        }
    );
    assert_eq!(
        first.reading.applied,
        Some(torque(4_972)),
        "44 lbf·in = 4.971 33 N·m, rounded up"
    );
    assert_eq!(first.reading.displayed.unwrap().value, "44");
    assert_eq!(whereto(&first.placement), "seat.clamp/0");
    assert!(first.verdict.unwrap().cautions.contains(&Caution::Attested));
    // a fastener that is named beats the order, and the over alarm of what was expected comes all the same
    let entries = day.must(enter("40 N·m", Some("crank.left")));
    let chosen = pulled(&entries);
    let at = Place {
        fastener: "crank.left".to_owned(),
        pass: 0,
    };
    assert_eq!(
        chosen.placement,
        Placement::ByChoice {
            place: at,
            by: MARA.to_owned()
        }
    );
    assert_eq!(chosen.alarm.as_ref().unwrap().place.fastener, "stem.1");
}

#[test]
fn what_is_no_torque_cannot_be_entered() {
    let mut day = Day::with(PLAN);
    for value in [
        "",
        "5",
        "5 parsec",
        "5 mm",
        "five N·m",
        "0 N·m",
        "-5 N·m",
        "2001 N·m",
        "5,5 N·m",
    ] {
        assert!(
            matches!(refused(&mut day, enter(value, None)), Refusal::BadValue(_)),
            "{value:?}"
        );
    }
    let mut idle = Day::begun();
    idle.must(Act::AddTool {
        by: None,
        tool: Box::new(wrench(WRENCH)),
    });
    let refusal = refused(&mut idle, enter("5 N·m", Some("seat.clamp")));
    assert!(
        matches!(&refusal, Refusal::BadValue(why) if why.contains("serves no open build")),
        "{refusal}"
    );
}

#[test]
fn a_held_reading_is_placed_by_a_person() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    let (held, _) = day.pull(6_000);
    let entries = day.must(place(held, Some("stem.1"), Some(1)));
    let Event::Placed(placed) = &entries[0].event else {
        panic!("{entries:?}")
    };
    let at = Place {
        fastener: "stem.1".to_owned(),
        pass: 1,
    };
    assert_eq!(
        placed.placement,
        Placement::ByChoice {
            place: at,
            by: MARA.to_owned()
        }
    );
    assert_eq!(
        placed.verdict.as_ref().unwrap().limits.lower,
        Some(torque(5_400))
    );
    assert_eq!(day.build().standing("stem.1"), Standing::Within);
    assert_eq!(day.build().held().count(), 0);
}

#[test]
fn a_placement_is_corrected_and_the_first_one_stays_on_file() {
    let mut day = Day::with(PLAN);
    let (reading, first) = day.pull(5_000);
    day.must(place(reading, Some("stem.3"), None));
    let known = &day.build().readings[&reading];
    assert_eq!(
        (whereto(&known.placement), &known.earlier),
        ("stem.3/0".to_owned(), &vec![first.placement])
    );
    assert_eq!(day.build().standing("seat.clamp"), Standing::Open);
    day.must(place(reading, None, None));
    let known = &day.build().readings[&reading];
    assert_eq!(
        known.placement,
        Placement::Nowhere {
            by: MARA.to_owned(),
            reason: "test pull".to_owned()
        }
    );
    assert_eq!((known.earlier.len(), known.verdict.as_ref()), (2, None));
    assert_eq!(
        day.bench.tool_states[WRENCH].last.as_ref().unwrap().place,
        None,
        "nothing is left to be repeated"
    );
}

#[test]
fn a_pass_that_the_stage_has_not_is_refused() {
    let mut day = Day::with(PLAN);
    let (reading, _) = day.pull(5_000);
    let refusal = refused(&mut day, place(reading, Some("stem.1"), Some(2)));
    assert_eq!(
        refusal,
        Refusal::PassNotKnown {
            fastener: "stem.1".to_owned(),
            pass: 2,
            passes: 2
        }
    );
    assert_eq!(
        refused(&mut day, place(reading, Some("stem.9"), None)),
        Refusal::FastenerNotKnown("stem.9".to_owned())
    );
}

#[test]
fn the_pass_that_is_due_is_taken_if_none_is_named() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    day.pull(3_600);
    let (reading, _) = day.pull(3_600);
    day.must(place(reading, Some("stem.1"), None));
    assert_eq!(
        whereto(&day.build().readings[&reading].placement),
        "stem.1/1"
    );
    // placed there already: it is not due anew because of itself
    day.must(place(reading, Some("stem.3"), None));
    day.must(place(reading, Some("stem.3"), None));
    assert_eq!(
        whereto(&day.build().readings[&reading].placement),
        "stem.3/0"
    );
}

#[test]
fn a_later_placement_raises_the_alarm_that_it_makes_due() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    // 6 N·m raises none on the stem bolt that is expected, up to 6.6 N·m
    let (reading, first) = day.pull(6_000);
    assert_eq!(first.alarm, None);
    let entries = day.must(place(reading, Some("seat.clamp"), None));
    let Event::Placed(placed) = &entries[0].event else {
        panic!("{entries:?}")
    };
    let alarm = placed.alarm.as_ref().unwrap();
    assert_eq!(
        (alarm.place.fastener.as_str(), alarm.upper),
        ("seat.clamp", torque(5_500))
    );
    let open: Vec<(u64, u64)> = day
        .build()
        .open_alarms()
        .map(|alarm| (alarm.sequence, alarm.reading))
        .collect();
    assert_eq!(open, [(entries[0].sequence, reading)]);
    // moving it away again leaves the alarm; moving it back raises no second one
    day.must(place(reading, Some("stem.1"), Some(1)));
    day.must(place(reading, Some("seat.clamp"), None));
    assert_eq!(day.build().open_alarms().count(), 1);
}

#[test]
fn an_alarm_is_acknowledged_once() {
    let mut day = Day::with(PLAN);
    let (alarm, _) = day.pull(5_600);
    day.must(acknowledge(alarm));
    assert_eq!(
        refused(&mut day, acknowledge(alarm)),
        Refusal::AlarmAcknowledged(alarm)
    );
    assert_eq!(
        day.build().standing("seat.clamp"),
        Standing::Over,
        "acknowledged is not decided"
    );
}

#[test]
fn what_follows_from_an_over_reading_is_decided() {
    let mut day = Day::with(PLAN);
    let nothing = Refusal::NothingToDecide("seat.clamp".to_owned());
    assert_eq!(
        refused(&mut day, dispose("seat.clamp", Decision::PartReplaced)),
        nothing
    );
    day.pull(5_600);
    let mut kept = day.clone();
    kept.must(dispose("seat.clamp", Decision::InspectedAndKept));
    assert_eq!(kept.build().standing("seat.clamp"), Standing::OverKept);
    assert_eq!(
        refused(&mut kept, dispose("seat.clamp", Decision::PartReplaced)),
        nothing,
        "it is decided"
    );
    day.must(dispose("seat.clamp", Decision::PartReplaced));
    assert_eq!(day.build().standing("seat.clamp"), Standing::Open);
}

#[test]
fn only_what_is_open_can_wait() {
    let mut day = Day::with(PLAN);
    assert_eq!(
        refused(&mut day, take_up("seat.clamp")),
        Refusal::NotDeferred("seat.clamp".to_owned())
    );
    let done = || Refusal::DoneAlready("seat.clamp".to_owned());
    let mut tight = day.clone();
    tight.pull(5_000);
    assert_eq!(refused(&mut tight, defer("seat.clamp")), done());
    let mut over = day.clone();
    over.pull(5_600);
    assert_eq!(
        refused(&mut over, defer("seat.clamp")),
        done(),
        "an over reading cannot be put off"
    );
    day.must(defer("seat.clamp"));
    assert_eq!(day.build().standing("seat.clamp"), Standing::Deferred);
    assert_eq!(day.build().next().unwrap().fastener.id, "stem.1");
    day.must(take_up("seat.clamp"));
    assert_eq!(day.build().next().unwrap().fastener.id, "seat.clamp");
}

#[test]
fn a_second_look_needs_a_second_person() {
    let mut day = Day::with(PLAN);
    assert_eq!(
        refused(&mut day, look("seat.clamp", MARA)),
        Refusal::SamePerson(MARA.to_owned())
    );
    assert!(matches!(
        refused(&mut day, look("seat.clamp", " Mara ")),
        Refusal::SamePerson(_)
    ));
    let entries = day.must(Act::Look {
        build: BUILD.to_owned(),
        fastener: "seat.clamp".to_owned(),
        by: OLE.to_owned(),
        reason: Some("  ".to_owned()),
    });
    assert!(
        matches!(&entries[0].event, Event::Looked(on) if on.by == OLE && on.reason.is_none()),
        "{entries:?}"
    );
    day.must(prepare("seat.clamp"));
    assert_eq!(
        day.build().fastener("seat.clamp").unwrap().prepared.len(),
        1
    );
}

#[test]
fn pointing_beats_the_order() {
    let mut day = Day::with(PLAN);
    day.must(point_at(BUILD, "crank.left", MARA));
    let (_, first) = day.pull(40_000);
    assert!(
        matches!(&first.placement, Placement::ByOrder { place, kind: PullKind::Next, .. } if place.fastener == "crank.left")
    );
    assert_eq!(first.alarm, None);
    assert_eq!(
        day.build().next().unwrap().fastener.id,
        "pedal.left",
        "then the work goes on from there"
    );
}

#[test]
fn a_build_is_finished_only_when_nothing_is_open() {
    let mut day = Day::with(PLAN);
    day.pull(5_600);
    day.pull(6_000);
    let Refusal::StillOpen(why) = refused(&mut day, finish()) else {
        panic!("another refusal")
    };
    for part in [
        "Seat clamp bolt is over and needs a decision",
        "Face plate 1 is open: tighten it, or defer it with the reason",
        "the reading of entry 5 waits to be placed",
        "the alarm of entry 4 is not acknowledged",
    ] {
        assert!(why.contains(part), "{part:?} is not in {why:?}");
    }
    day.must(acknowledge(4));
    day.must(dispose("seat.clamp", Decision::InspectedAndKept));
    day.must(place(5, None, None));
    let ids: Vec<String> = day
        .build()
        .plan
        .fasteners()
        .map(|(_, fastener)| fastener.id.clone())
        .skip(2)
        .collect();
    for id in ids {
        day.must(defer(&id));
    }
    let Refusal::StillOpen(why) = refused(&mut day, finish()) else {
        panic!("another refusal")
    };
    assert_eq!(
        why,
        "Face plate 1 is open: tighten it, or defer it with the reason"
    );
    day.must(defer("stem.1"));
    day.must(finish());
    for act in [
        finish(),
        prepare("seat.clamp"),
        loosen(&["seat.clamp"], "found loose"),
        place(5, Some("seat.clamp"), None),
    ] {
        assert_eq!(
            refused(&mut day, act),
            Refusal::BuildFinished(BUILD.to_owned())
        );
    }
    let (_, later) = day.pull(5_000);
    assert_eq!(later.build, None, "the tool serves no open build any more");
}

#[test]
fn a_record_is_sealed_after_the_build_is_finished() {
    let key = SigningKey::from_bytes(&[9; 32]);
    let mut day = Day::with(PLAN);
    // the bench's key history has to name the key that signs
    day.bench.key_history[0].key = pullmark_schema::multikey::DidKey::of(&key).multikey();
    let try_seal = |day: &Day, build: &str, by: &str| {
        seal(
            &day.bench,
            build,
            by.to_owned(),
            None,
            &means(&key),
            day.now(),
        )
    };
    assert_eq!(
        try_seal(&day, BUILD, MARA),
        Err(Refusal::BuildOpen(BUILD.to_owned()))
    );
    assert_eq!(
        try_seal(&day, "b", MARA),
        Err(Refusal::BuildNotKnown("b".to_owned()))
    );
    assert!(matches!(
        try_seal(&day, BUILD, " "),
        Err(Refusal::BadText { .. })
    ));
    assert!(matches!(
        refused(
            &mut day,
            Act::Seal {
                build: BUILD.to_owned(),
                by: MARA.to_owned()
            }
        ),
        Refusal::Seal(_)
    ));
    day.pull_all();
    day.must(finish());
    let Decided { event, attached } = try_seal(&day, BUILD, MARA).unwrap();
    let bytes = attached.unwrap();
    let Event::RecordSealed { record: hash, .. } = &event else {
        panic!("{event:?}")
    };
    assert_eq!(*hash, Digest32::of(&bytes));
    let verified = record::verify(&bytes).unwrap();
    assert_eq!(verified.record.subject.summary.within, 8);
    assert_eq!(verified.record.subject.ledger.size, 42);
    day.write(vec![event.into()]);
    assert_eq!(day.build().sealed.len(), 1);
}

#[test]
fn every_refusal_has_a_word_of_its_own() {
    let text = String::new;
    let all = [
        Refusal::BuildNotKnown(text()),
        Refusal::BuildTaken(text()),
        Refusal::BuildFinished(text()),
        Refusal::BuildOpen(text()),
        Refusal::FastenerNotKnown(text()),
        Refusal::PassNotKnown {
            fastener: text(),
            pass: 0,
            passes: 0,
        },
        Refusal::ToolNotKnown(text()),
        Refusal::BadTool(ToolError::BadName { what: "id" }),
        Refusal::ReadingNotKnown(0),
        Refusal::AlarmNotKnown(0),
        Refusal::AlarmAcknowledged(0),
        Refusal::BadPlan(Vec::new()),
        Refusal::BadText { what: "x", most: 1 },
        Refusal::BadValue(text()),
        Refusal::NothingToDecide(text()),
        Refusal::NotDeferred(text()),
        Refusal::DoneAlready(text()),
        Refusal::SamePerson(text()),
        Refusal::StillOpen(text()),
        Refusal::Seal(text()),
    ];
    let codes: std::collections::BTreeSet<&str> = all.iter().map(Refusal::code).collect();
    assert_eq!(codes.len(), all.len());
}

#[test]
fn an_empty_list_of_fasteners_is_refused() {
    let mut day = Day::with(PLAN);
    assert_eq!(
        refused(&mut day, loosen(&[], "found loose")),
        Refusal::BadScope
    );
}

#[test]
fn a_repeat_after_a_correction_follows_the_correction() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    let (reading, _) = day.pull(3_600);
    day.must(place(reading, Some("stem.2"), None));
    let (_, again) = day.comes(700, shows(3_650));
    assert_eq!(whereto(&again.placement), "stem.2/0");
}

mod records {
    //! Whatever a day brought: once nothing is open, its record can be checked by a stranger.

    use super::{
        BUILD, Day, Digest32, MARA, Means, SigningKey, acknowledge, defer, dispose, finish, place,
        record, seal,
    };
    use crate::testing::{moves, plans};
    use proptest::prelude::*;
    use pullmark_schema::build::Standing;
    use pullmark_schema::entry::Decision;
    use pullmark_schema::multikey::DidKey;

    /// Settles whatever is open.
    fn settle(day: &mut Day) {
        // One entry that changed the plan may have raised several.
        let alarms: std::collections::BTreeSet<u64> = day
            .build()
            .open_alarms()
            .map(|alarm| alarm.sequence)
            .collect();
        for alarm in alarms {
            day.must(acknowledge(alarm));
        }
        let held: Vec<u64> = day.build().held().map(|held| held.sequence).collect();
        for reading in held {
            day.must(place(reading, None, None));
        }
        let ids: Vec<String> = day
            .build()
            .plan
            .fasteners()
            .map(|(_, fastener)| fastener.id.clone())
            .collect();
        for id in ids {
            if day.build().standing(&id) == Standing::Over {
                day.must(dispose(&id, Decision::InspectedAndKept));
            }
            let standing = day.build().standing(&id);
            if !standing.is_done() && standing != Standing::Deferred {
                day.must(defer(&id));
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

        #[test]
        fn the_record_of_any_day_holds(plan in plans(), history in moves(40)) {
            let key = SigningKey::from_bytes(&[9; 32]);
            let mut day = Day::with(&plan);
            day.bench.key_history[0].key = DidKey::of(&key).multikey();
            for step in &history {
                day.make(step);
            }
            settle(&mut day);
            day.must(finish());
            let head = (day.bench.next_sequence, Digest32::of(b"head"));
            let means = Means { bench: "bench-1", key: &key, random: [7; 16], secret: [8; 32], head };
            let sealed = seal(&day.bench, BUILD, MARA.to_owned(), None, &means, day.now()).unwrap();
            let verified = record::verify(&sealed.attached.unwrap());
            prop_assert!(verified.is_ok(), "{:?}", verified.err());
            let subject = verified.unwrap().record.subject;
            prop_assert_eq!(subject.alarms.len(), day.build().alarms.len());
            prop_assert_eq!(subject.summary, day.build().summary());
        }
    }
}
