//! Where a value goes, what sounds, and what a person may do about it.

mod harm;
mod properties;

use super::*;
use crate::core::Refusal;
use crate::core::decide::Input;
use crate::intake::dialect::Value;
use crate::testing::{BUILD, Day, MARA, start_build};
use pullmark_schema::api::Act;
use pullmark_schema::build::CheckStanding;
use pullmark_schema::check::CheckPlaced;
use pullmark_schema::entry::{Decision, Event};
use pullmark_schema::tool::Tool;

const PLAN: &str = r#"
title = "Ford tourer 56"
edition = "1"

[[stage]]
id = "seat"
title = "Seat post"
fastener = [{ id = "clamp", title = "Seat clamp", prep = ["dry"], spec = { target = "5 N·m" } }]
check = [
  { id = "depth", title = "Post in the frame", spec = { lower = "70 mm", upper = "110 mm" } },
  { id = "stack", title = "Steerer above the stem", spec = { lower = "2 mm", upper = "4 mm" } },
]

[[stage]]
id = "wheels"
title = "Wheels"
check = [
  { id = "front", title = "Front tyre", spec = { target = "85 psi", lower = "80 psi", upper = "90 psi" } },
  { id = "rear", title = "Rear tyre", spec = { lower = "88 psi", upper = "98 psi" } },
  { id = "spokes", title = "Spokes", readings = 3, spec = { lower = "800 N", upper = "1200 N" } },
  { id = "even", title = "Spread", formula = "spread(spokes)", spec = { upper = "150 N" } },
]
"#;

const TOOLS: [&str; 4] = [
    "id=\"c1\"\ntitle=\"Calliper\"\nserial=\"SK-77\"\nquantity=\"length\"\nlowest=\"0 mm\"\nhighest=\"150 mm\"\naccuracy=\"0.03 mm\"",
    "id=\"g1\"\ntitle=\"Gauge\"\nserial=\"GA-3\"\nquantity=\"pressure\"\naccuracy=\"1 %\"\n[certificate]\nnumber=\"PN-9\"\ndate=\"2026-01-10\"\ndue=\"2026-06-10\"\nexpanded=\"0.05 bar\"",
    "id=\"t1\"\ntitle=\"Tensiometer\"\nserial=\"TE-9\"\nquantity=\"force\"\naccuracy=\"5 %\"",
    "id=\"r1\"\ntitle=\"Ruler\"\nserial=\"R-1\"\nquantity=\"length\"",
];

fn day() -> Day {
    let mut day = Day::begun();
    day.must(Act::AddTool {
        by: None,
        tool: Box::new(crate::testing::wrench("w1")),
    });
    let mut tools = vec!["w1".to_owned()];
    for text in TOOLS {
        let tool = Tool::read(text).unwrap();
        tools.push(tool.id.clone());
        day.must(Act::AddTool {
            by: None,
            tool: Box::new(tool),
        });
    }
    let Act::StartBuild {
        build,
        bike,
        plan,
        by,
        ..
    } = start_build(BUILD, PLAN)
    else {
        unreachable!()
    };
    day.must(Act::StartBuild {
        build,
        bike,
        plan,
        by,
        tools,
        follows: None,
        due: Vec::new(),
    });
    day
}

fn value(shown: &str, flags: &[Flag]) -> Value {
    let displayed = shown.split_once(' ').map(|(value, unit)| Displayed {
        value: value.to_owned(),
        unit: Unit::find(unit).unwrap().ucum.to_owned(),
    });
    Value {
        displayed,
        torque: None,
        counter: None,
        flags: flags.to_vec(),
    }
}

impl Day {
    fn shows(&mut self, tool: &str, shown: &str, flags: &[Flag]) -> (u64, CheckMeasured) {
        self.now_ms += 20_000;
        self.shows_at_once(tool, shown, flags)
    }

    fn shows_at_once(&mut self, tool: &str, shown: &str, flags: &[Flag]) -> (u64, CheckMeasured) {
        let entries = self.input(Input::Value {
            tool: tool.to_owned(),
            raw: shown.as_bytes().to_vec(),
            value: value(shown, flags),
        });
        assert_eq!(entries.len(), 1);
        match &entries[0].event {
            Event::CheckMeasured(measured) => (entries[0].sequence, (**measured).clone()),
            other => panic!("{other:?}"),
        }
    }

    fn standing(&self, id: &str) -> CheckStanding {
        self.build().check_standing(id)
    }

    fn put(&mut self, reading: u64, check: Option<&str>) -> Result<CheckPlaced, Refusal> {
        let entries = self.act(Act::Place {
            reading,
            fastener: check.map(str::to_owned),
            pass: None,
            by: MARA.to_owned(),
            reason: None,
        })?;
        match &entries[0].event {
            Event::CheckPlaced(placed) => Ok((**placed).clone()),
            other => panic!("{other:?}"),
        }
    }

    fn decide(&mut self, id: &str, decision: Decision) -> Result<(), Refusal> {
        let act = Act::Dispose {
            build: BUILD.to_owned(),
            fastener: id.to_owned(),
            decision,
            by: MARA.to_owned(),
            reason: "looked at it".to_owned(),
        };
        self.act(act).map(|_| ())
    }
}

/// `depth/0`, or why it is held and what it would fit.
fn whereto(measured: &CheckMeasured) -> String {
    match &measured.placement {
        CheckPlacement::Held {
            because,
            candidates,
        } => {
            let first = candidates.first().map(|candidate| {
                let unit = candidate.fits_in.as_deref().unwrap_or("-");
                format!("{} {unit}", candidate.place.check)
            });
            format!("held: {because:?}, {}", first.unwrap_or_default())
        }
        CheckPlacement::Nowhere { .. } => "nowhere".to_owned(),
        placed => {
            let place = placed.place().unwrap();
            format!("{}/{}", place.check, place.number)
        }
    }
}

#[test]
fn a_value_goes_to_the_next_check_that_it_is_right_for() {
    let mut day = day();
    let (_, first) = day.shows("c1", "82.31 mm", &[]);
    assert_eq!(whereto(&first), "depth/0");
    let verdict = first.verdict.unwrap();
    assert_eq!(verdict.answer, CheckAnswer::Within);
    assert_eq!(verdict.cautions, [CheckCaution::AccuracyStandsIn]);
    let (_, second) = day.shows("c1", "3.05 mm", &[]);
    assert_eq!(whereto(&second), "stack/0");
    assert!(first.alarm.is_none() && second.alarm.is_none());
}

#[test]
fn out_of_the_order_of_the_plan_a_value_that_is_right_at_one_check_alone_goes_there() {
    let (_, measured) = day().shows("c1", "3.05 mm", &[]);
    assert_eq!(whereto(&measured), "stack/0");
    // 30 mm is right nowhere, and can be right nowhere.
    let (_, measured) = day().shows("c1", "30 mm", &[]);
    assert_eq!(whereto(&measured), "held: Implausible, depth -");
    // 65 mm can be the depth, and nothing else: it is too little there.
    let (_, measured) = day().shows("c1", "65 mm", &[]);
    assert_eq!(whereto(&measured), "depth/0");
    assert_eq!(measured.verdict.unwrap().answer, CheckAnswer::Under);
}

#[test]
fn a_calliper_in_inches_is_converted_and_one_that_lies_about_its_unit_is_asked_about() {
    let (_, measured) = day().shows("c1", "3.241 in", &[]);
    assert_eq!(whereto(&measured), "depth/0");
    assert_eq!(measured.reading.value, Some(82_322), "82.3214 mm");
    // The display is in inches, and the line says millimetres: it would be too much at the steerer, and is asked about.
    let (_, measured) = self::day().shows("c1", "4.3 mm", &[]);
    assert_eq!(whereto(&measured), "held: Unclear, depth in");
    let mut day = day();
    day.shows("c1", "3 mm", &[]);
    let (_, measured) = day.shows("c1", "3.24 mm", &[]);
    assert_eq!(whereto(&measured), "held: Implausible, depth in");
    let (_, measured) = day.shows("c1", "0.082 mm", &[]);
    assert_eq!(whereto(&measured), "held: Implausible, depth m");
    let (_, measured) = day.shows("c1", "8.2 mm", &[]);
    assert_eq!(whereto(&measured), "held: Implausible, depth cm");
}

#[test]
fn a_gauge_in_bar_is_compared_with_a_plan_in_psi() {
    let mut day = day();
    // 5.86 bar is 84.99 psi
    let (_, measured) = day.shows("g1", "5.86 bar", &[]);
    assert_eq!(whereto(&measured), "front/0");
    let verdict = measured.verdict.unwrap();
    assert_eq!(verdict.answer, CheckAnswer::Within);
    assert_eq!(verdict.cautions, [CheckCaution::CertificatePast]);
    // The number is psi, the unit that the line says is bar: held, and it may have been too much: the alarm sounds.
    let (sequence, measured) = day.shows("g1", "93.0 bar", &[]);
    assert_eq!(whereto(&measured), "held: Implausible, rear psi");
    assert_eq!(measured.alarm.unwrap().place.check, "rear");
    assert_eq!(day.standing("rear"), CheckStanding::Open);
    day.put(sequence, None).unwrap();
    assert_eq!(
        day.build().checks.open_alarms().count(),
        1,
        "saying that it belongs nowhere acknowledges nothing"
    );
}

#[test]
fn what_may_belong_to_either_is_asked_about() {
    let mut day = day();
    // 89 psi is right at both: the next of the plan takes it.
    let (_, measured) = day.shows("g1", "89 psi", &[]);
    assert_eq!(whereto(&measured), "front/0");
    let mut again = self::day();
    // 95 psi is over at the front and right at the rear.
    let (sequence, measured) = again.shows("g1", "95 psi", &[]);
    assert_eq!(whereto(&measured), "held: Unclear, rear -");
    let alarm = measured.alarm.unwrap();
    assert_eq!(
        alarm.place.check, "front",
        "what was expected may have had it"
    );
    let placed = again.put(sequence, Some("rear")).unwrap();
    assert_eq!(placed.verdict.unwrap().answer, CheckAnswer::Within);
    assert!(placed.alarm.is_none());
    assert_eq!(
        again.build().checks.open_alarms().count(),
        1,
        "a person acknowledges it"
    );
    again.must(Act::Acknowledge {
        alarm: sequence,
        by: MARA.to_owned(),
    });
    assert_eq!(again.build().checks.open_alarms().count(), 0);
    assert_eq!(again.standing("rear"), CheckStanding::Within);
}

#[test]
fn a_second_press_is_the_same_measurement_and_uses_up_nothing() {
    let mut day = day();
    day.shows("g1", "89 psi", &[]);
    let (_, again) = day.shows_at_once("g1", "89 psi", &[]);
    assert_eq!(whereto(&again), "front/0");
    assert_eq!(day.standing("rear"), CheckStanding::Open);
    // Spokes are pressed one after the other.
    day.shows("t1", "900 N", &[]);
    let (_, second) = day.shows_at_once("t1", "905 N", &[]);
    assert_eq!(whereto(&second), "spokes/1");
}

#[test]
fn too_much_pressure_sounds_and_is_decided_about() {
    let mut day = day();
    let (sequence, measured) = day.shows("g1", "7.5 bar", &[]);
    assert_eq!(whereto(&measured), "held: Unclear, front -");
    assert_eq!(measured.alarm.unwrap().place.check, "front");
    let placed = day.put(sequence, Some("front")).unwrap();
    assert!(placed.alarm.is_none(), "it sounded before");
    assert_eq!(day.standing("front"), CheckStanding::Over);
    day.shows("g1", "85 psi", &[]);
    assert_eq!(
        day.standing("front"),
        CheckStanding::Over,
        "let out, and not explained away"
    );
    let wait = Act::Defer {
        build: BUILD.to_owned(),
        fastener: "front".to_owned(),
        by: MARA.to_owned(),
        reason: "later".to_owned(),
        waits_for: None,
    };
    assert!(matches!(day.act(wait), Err(Refusal::DoneAlready(_))));
    assert!(matches!(
        day.decide("front", Decision::TightenedAgain),
        Err(Refusal::NotOfACheck(_))
    ));
    day.decide("front", Decision::InspectedAndKept).unwrap();
    assert_eq!(day.standing("front"), CheckStanding::Within);
}

#[test]
fn past_the_tools_range_is_more_than_any_limit() {
    let mut day = day();
    let (_, measured) = day.shows("g1", "OL", &[Flag::OverRange]);
    assert!(measured.alarm.is_some());
    assert!(measured.placement.is_held(), "front or rear");
    let (_, measured) = day.shows("c1", "OL", &[Flag::OverRange]);
    assert!(measured.alarm.is_none(), "a length hurts nothing");
}

#[test]
fn a_value_that_had_not_settled_is_asked_about_and_a_persons_word_takes_it() {
    let mut day = day();
    let (sequence, measured) = day.shows("c1", "82.31 mm", &[Flag::Unsteady]);
    assert_eq!(whereto(&measured), "held: Unsteady, depth -");
    let placed = day.put(sequence, Some("depth")).unwrap();
    assert!(
        placed
            .verdict
            .unwrap()
            .cautions
            .contains(&CheckCaution::Unsteady)
    );
}

#[test]
fn a_person_points_and_corrects() {
    let mut day = day();
    let point = |fastener: &str| Act::PointAt {
        build: BUILD.to_owned(),
        fastener: fastener.to_owned(),
        by: MARA.to_owned(),
    };
    day.must(point("rear"));
    let next = day.build().next().map(|step| step.fastener.id.clone());
    assert_eq!(next.as_deref(), Some("clamp"), "pulls are not touched");
    let (sequence, measured) = day.shows("g1", "85 psi", &[]);
    assert_eq!(whereto(&measured), "rear/0");
    assert_eq!(measured.verdict.unwrap().answer, CheckAnswer::Under);
    let (_, measured) = day.shows("g1", "89 psi", &[]);
    assert_eq!(
        whereto(&measured),
        "front/0",
        "pointing holds for one reading"
    );
    day.put(sequence, Some("front")).unwrap();
    assert_eq!(day.standing("rear"), CheckStanding::Open);
    assert_eq!(day.build().check_counting("front").len(), 1);
    assert!(matches!(
        day.put(sequence, Some("depth")),
        Err(Refusal::OtherQuantity { .. })
    ));
    assert!(matches!(
        day.put(sequence, Some("even")),
        Err(Refusal::CheckComputed(_))
    ));
    assert!(matches!(
        day.put(sequence, Some("clamp")),
        Err(Refusal::NoCheckThere(_))
    ));
    assert!(matches!(
        day.put(sequence, Some("nobody")),
        Err(Refusal::FastenerNotKnown(_))
    ));
    // What is pointed at and cannot be right is asked about.
    day.must(point("depth"));
    let (_, measured) = day.shows("c1", "0.08 mm", &[]);
    assert_eq!(whereto(&measured), "held: Implausible, depth m");
}

#[test]
fn what_a_person_read_on_a_ruler_is_attested() {
    let mut day = day();
    let enter = |value: &str, check: Option<&str>| Act::EnterReading {
        tool: "r1".to_owned(),
        value: value.to_owned(),
        by: MARA.to_owned(),
        fastener: check.map(str::to_owned),
    };
    day.must(enter("82 mm", Some("depth")));
    let counting = day.build().check_counting("depth");
    let verdict = counting[0].verdict.as_ref().unwrap();
    assert_eq!(
        verdict.cautions,
        [CheckCaution::NothingStated, CheckCaution::Attested]
    );
    assert_eq!(verdict.answer, CheckAnswer::Within);
    day.must(enter("3 mm", None));
    assert_eq!(day.standing("stack"), CheckStanding::Within);
    assert!(matches!(
        day.act(enter("5 N·m", Some("depth"))),
        Err(Refusal::NotOfACheck(_))
    ));
    assert!(day.act(enter("5 mm", Some("clamp"))).is_err());
    assert!(day.act(enter("82", Some("depth"))).is_err());
}

#[test]
fn spokes_are_filled_one_after_the_other_and_the_bad_one_is_measured_again() {
    let mut day = day();
    for (number, shown) in ["900 N", "700 N", "950 N"].into_iter().enumerate() {
        let (_, measured) = day.shows("t1", shown, &[]);
        assert_eq!(whereto(&measured), format!("spokes/{number}"));
    }
    assert_eq!(day.standing("spokes"), CheckStanding::Under);
    assert_eq!(day.standing("even"), CheckStanding::Over);
    let (_, measured) = day.shows("t1", "940 N", &[]);
    assert_eq!(
        whereto(&measured),
        "spokes/1",
        "the one that was not within"
    );
    assert_eq!(day.standing("spokes"), CheckStanding::Within);
    assert_eq!(day.standing("even"), CheckStanding::Within);
    let (_, measured) = day.shows("t1", "940 N", &[]);
    assert_eq!(whereto(&measured), "held: NothingOpen, spokes -");
}

#[test]
fn what_belongs_to_no_check_or_no_build_is_kept() {
    let mut day = day();
    let (_, measured) = day.shows("c1", "8.2 kg", &[]);
    assert_eq!(whereto(&measured), "held: NoSuchCheck, ");
    let mut alone = Day::begun();
    alone.must(Act::AddTool {
        by: None,
        tool: Box::new(Tool::read(TOOLS[0]).unwrap()),
    });
    let (_, measured) = alone.shows("c1", "82 mm", &[]);
    assert_eq!(whereto(&measured), "held: NoBuild, ");
    assert_eq!(alone.bench.unclaimed.len(), 1);
}

#[test]
fn a_build_is_not_finished_with_a_check_open() {
    let mut day = day();
    day.pull(5_000);
    let finish = || Act::Finish {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        sure: None,
    };
    day.shows("c1", "65 mm", &[]);
    day.shows("c1", "3 mm", &[]);
    day.shows("g1", "85 psi", &[]);
    for shown in ["900 N", "950 N"] {
        day.shows("t1", shown, &[]);
    }
    let Err(Refusal::StillOpen(open)) = day.act(finish()) else {
        panic!("it was finished")
    };
    for says in [
        "Post in the frame is under: set it right and measure again, or decide about it",
        "Rear tyre is open: measure it, or defer it",
        "Spokes is part way",
        "Spread is open: the checks that it is computed from are missing",
    ] {
        assert!(open.contains(says), "{open}");
    }
    day.decide("depth", Decision::InspectedAndKept).unwrap();
    assert_eq!(day.standing("depth"), CheckStanding::Kept);
    for id in ["rear", "spokes", "even"] {
        day.must(Act::Defer {
            build: BUILD.to_owned(),
            fastener: id.to_owned(),
            by: MARA.to_owned(),
            reason: "no pump".to_owned(),
            waits_for: None,
        });
    }
    day.must(finish());
}

#[test]
fn another_edition_judges_what_counts_and_drops_nothing_undecided() {
    let mut day = day();
    let (over, _) = day.shows("g1", "7.5 bar", &[]);
    day.put(over, Some("front")).unwrap();
    day.must(Act::Acknowledge {
        alarm: over,
        by: MARA.to_owned(),
    });
    let change = |plan: &str| Act::ChangePlan {
        build: BUILD.to_owned(),
        plan: plan.to_owned(),
        by: MARA.to_owned(),
        reason: "another tyre".to_owned(),
    };
    let without: String = PLAN
        .lines()
        .filter(|line| !line.contains("\"front\""))
        .collect::<Vec<_>>()
        .join("\n");
    assert!(matches!(
        day.act(change(&without)),
        Err(Refusal::DropsUndecided(_))
    ));
    day.must(change(
        &PLAN.replace("upper = \"90 psi\"", "upper = \"120 psi\""),
    ));
    assert_eq!(day.standing("front"), CheckStanding::Over);
    assert!(matches!(
        day.put(over, Some("rear")),
        Err(Refusal::OverBeforeEdition { .. })
    ));
    day.decide("front", Decision::InspectedAndKept).unwrap();
    assert_eq!(day.standing("front"), CheckStanding::Within);
    let entries = day.must(change(
        &PLAN.replace("upper = \"90 psi\"", "upper = \"100 psi\""),
    ));
    let Event::PlanChanged(changed) = &entries[0].event else {
        panic!()
    };
    assert_eq!(changed.judged_checks.len(), 1);
    assert!(
        changed.judged_checks[0].alarm.is_some(),
        "an edition that allows less says so anew"
    );
    assert_eq!(day.standing("front"), CheckStanding::Over);
}

#[test]
fn what_only_a_torque_wrench_has_is_refused() {
    let mut day = day();
    let begin = Act::BeginCheck {
        tool: "c1".to_owned(),
        by: MARA.to_owned(),
    };
    assert!(matches!(day.act(begin), Err(Refusal::NotATorqueWrench(_))));
    let loosen = Act::Loosen {
        build: BUILD.to_owned(),
        fasteners: vec!["depth".to_owned()],
        stage: None,
        all: false,
        by: MARA.to_owned(),
        reason: "dry fit".to_owned(),
    };
    assert!(matches!(day.act(loosen), Err(Refusal::NotOfACheck(_))));
}

#[test]
fn a_tool_that_counts_sends_a_reading_again_only_once() {
    let mut day = day();
    let mut counted = value("82.31 mm", &[]);
    counted.counter = Some(7);
    let input = |value: Value| Input::Value {
        tool: "c1".to_owned(),
        raw: b"x".to_vec(),
        value,
    };
    day.input(input(counted.clone()));
    counted.flags.push(Flag::SentAgain);
    let entries = day.input(input(counted));
    assert!(matches!(entries[0].event, Event::Unreadable { .. }));
    assert_eq!(day.build().checks.readings.len(), 1);
}

#[test]
fn a_build_takes_the_idle_tools_that_measure_what_its_plan_asks_for() {
    let mut day = Day::begun();
    day.must(Act::AddTool {
        by: None,
        tool: Box::new(crate::testing::wrench("w1")),
    });
    for text in TOOLS {
        day.must(Act::AddTool {
            by: None,
            tool: Box::new(Tool::read(text).unwrap()),
        });
    }
    let mut begin = |build: &str, body: &str| {
        let head = "title = \"t\"\nedition = \"1\"\n[[stage]]\nid = \"s\"\ntitle = \"s\"\n";
        let mut start = start_build(build, &format!("{head}{body}"));
        if let Act::StartBuild { tools, .. } = &mut start {
            tools.clear();
        }
        let entries = day.must(start);
        let tools = entries.into_iter().filter_map(|entry| match entry.event {
            Event::ToolAssigned { tool, .. } => Some(tool),
            _ => None,
        });
        tools.collect::<Vec<_>>()
    };
    let tyre = "check = [{ id = \"front\", title = \"Front\", spec = { lower = \"5 bar\", upper = \"6 bar\" } }]\n";
    let bolt = "fastener = [{ id = \"b\", title = \"b\", prep = [\"dry\"], spec = { target = \"5 N·m\" } }]\n";
    assert_eq!(begin("tyres", tyre), ["g1"]);
    assert_eq!(begin("bolts", bolt), ["w1"]);
    let post = "check = [{ id = \"p\", title = \"p\", spec = { lower = \"70 mm\" } }]\n";
    assert_eq!(begin("post", post), ["c1", "r1"]);
    assert_eq!(begin("more", bolt), Vec::<String>::new());
}
