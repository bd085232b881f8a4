//! Checks in the life of a build.

use super::log::{BUILD, Log};
use crate::build::{Build, CheckStanding};
use crate::canonical::Digest32;
use crate::check::{
    CheckAlarm, CheckAnswer, CheckHeldBecause, CheckJudgedAnew, CheckMeasured, CheckPlace,
    CheckPlaced, CheckPlacement, CheckReading, CheckVerdict, CheckWorth, SmallUnit, decide,
    outside, weigh,
};
use crate::entry::Decision::{InspectedAndKept, PartReplaced, SetRight};
use crate::entry::Event;
use crate::plan::Plan;
use crate::reading::{Displayed, Flag, Origin};
use crate::record::tests::bench::{composed, document, sealed};
use crate::record::verify;
use crate::tool::Tool;
use proptest::prelude::*;

/// A depth, two pressures, spokes of one side with their spread, a room's temperature.
pub(crate) const PLAN: &str = r#"
title = "Ford tourer 56"
edition = "1"

[[stage]]
id = "seat"
title = "Seat post"
fastener = [{ id = "clamp", title = "Seat clamp", prep = ["dry"], spec = { target = "5 N·m" } }]

[[stage.check]]
id = "depth"
title = "Post in the frame"
spec = { lower = "70 mm" }
sources = [{ where = "mark on the post", lower = "70 mm" }]
at = "seat-clamp"

[[stage]]
id = "wheels"
title = "Wheels"

[[stage.check]]
id = "tyre"
title = "Tyre pressure, front"
spec = { target = "6 bar", lower = "5.5 bar", upper = "6.5 bar" }

[[stage.check]]
id = "spokes"
title = "Spoke tension, right"
spec = { target = "1000 N", lower = "800 N", upper = "1200 N" }
readings = 3

[[stage.check]]
id = "even"
title = "Spread of the spokes"
spec = { upper = "200 N" }
formula = "spread(spokes)"
"#;

/// The tools that measure.
pub(crate) fn measuring_tools() -> Vec<Tool> {
    [
        "id=\"m1\"\ntitle=\"Calliper\"\nserial=\"SK-77\"\nquantity=\"length\"\naccuracy=\"0.03 mm\"",
        "id=\"m2\"\ntitle=\"Gauge\"\nserial=\"GA-3\"\nquantity=\"pressure\"\naccuracy=\"1 %\"",
        "id=\"m3\"\ntitle=\"Tensiometer\"\nserial=\"TE-9\"\nquantity=\"force\"\nresolution=\"10 N\"\n[certificate]\nnumber=\"TN-5\"\ndate=\"2026-01-10\"\nexpanded=\"20 N\"",
    ]
    .map(|text| Tool::read(text).unwrap())
    .to_vec()
}

fn reading(unit: SmallUnit, shown: &str) -> CheckReading {
    let tools = measuring_tools();
    let mut tools = tools
        .iter()
        .filter_map(|tool| Some((tool, tool.measures.as_ref()?)));
    let (tool, known) = tools.find(|(_, known)| known.unit == unit).unwrap();
    let displayed = shown.split_once(' ').map(|(value, unit)| Displayed {
        value: value.into(),
        unit: unit.into(),
    });
    let mut reading = CheckReading {
        tool: tool.id.clone(),
        origin: Origin::Measured {
            raw: Digest32::of(shown.as_bytes()),
        },
        flags: if displayed.is_none() {
            vec![Flag::OverRange]
        } else {
            Vec::new()
        },
        displayed,
        unit,
        value: None,
        worth: None,
        counter: None,
    };
    if let (Some(shown), Some(step)) = (reading.shown(), reading.step()) {
        let (value, worth) = weigh(Some(known), shown, step);
        (reading.value, reading.worth) = (Some(value), worth);
    }
    reading
}

fn judged(plan: &Plan, reading: &CheckReading, id: &str) -> (CheckVerdict, Option<CheckAlarm>) {
    let (_, check) = plan.check(id).unwrap();
    let limits = check.spec.limits;
    let worth = reading.worth.as_ref();
    let expanded = worth.map(CheckWorth::guard);
    let verdict = CheckVerdict {
        answer: decide(reading.value, &limits, check.rule, expanded),
        limits,
        rule: check.rule,
        expanded,
        outside: reading
            .value
            .zip(worth)
            .map(|(value, worth)| outside(value, worth, &limits)),
        cautions: Vec::new(),
    };
    let is_over = verdict.answer == CheckAnswer::Over && check.can_harm();
    let alarm = limits.upper.filter(|_| is_over).map(|upper| CheckAlarm {
        place: CheckPlace {
            check: id.into(),
            number: 0,
        },
        unit: limits.unit,
        upper,
    });
    (verdict, alarm)
}

/// What an edition of the plan says about readings that count.
pub(super) fn judged_anew(build: &Build, plan: &Plan, readings: &[u64]) -> Vec<CheckJudgedAnew> {
    let of = readings.iter().map(|sequence| {
        let known = &build.checks.readings[sequence];
        let place = known.placement.place().unwrap();
        let (verdict, mut alarm) = judged(plan, &known.reading, &place.check);
        if let Some(alarm) = &mut alarm {
            alarm.place = place.clone();
        }
        CheckJudgedAnew {
            reading: *sequence,
            verdict,
            alarm,
        }
    });
    of.collect()
}

impl Log {
    /// A reading in the unit that is written, at a check's place; "OL" is past the tool's range.
    pub(crate) fn measure(&mut self, id: &str, number: u16, shown: &str) -> u64 {
        let unit = self.build.plan.check(id).unwrap().1.unit();
        let reading = reading(unit, shown);
        let place = CheckPlace {
            check: id.into(),
            number,
        };
        let (verdict, alarm) = judged(&self.build.plan, &reading, id);
        self.add(Event::CheckMeasured(Box::new(CheckMeasured {
            reading,
            build: Some(BUILD.into()),
            placement: CheckPlacement::ByPlan {
                place: place.clone(),
            },
            verdict: Some(verdict),
            alarm: alarm.map(|alarm| CheckAlarm { place, ..alarm }),
        })))
    }

    /// A reading that waits.
    pub(crate) fn hold_check(&mut self, unit: SmallUnit, shown: &str) -> u64 {
        self.add(Event::CheckMeasured(Box::new(CheckMeasured {
            reading: reading(unit, shown),
            build: Some(BUILD.into()),
            placement: CheckPlacement::Held {
                because: CheckHeldBecause::Unclear,
                candidates: Vec::new(),
            },
            verdict: None,
            alarm: None,
        })))
    }

    /// Says where a reading belongs, or that it belongs nowhere.
    pub(crate) fn place_check(&mut self, reading: u64, id: Option<&str>) -> u64 {
        let by = "I. Berg".to_owned();
        let known = self.build.checks.readings[&reading].reading.clone();
        let decided = id.map(|id| judged(&self.build.plan, &known, id));
        let (verdict, alarm) =
            decided.map_or((None, None), |(verdict, alarm)| (Some(verdict), alarm));
        let was_raised = self
            .build
            .checks
            .alarms
            .iter()
            .any(|raised| raised.reading == reading);
        self.add(Event::CheckPlaced(Box::new(CheckPlaced {
            confirmed: None,
            reading,
            build: BUILD.into(),
            placement: match id {
                Some(id) => CheckPlacement::ByChoice {
                    place: CheckPlace {
                        check: id.into(),
                        number: 0,
                    },
                    by,
                },
                None => CheckPlacement::Nowhere {
                    by,
                    reason: "tried out".into(),
                },
            },
            verdict,
            alarm: alarm.filter(|_| !was_raised),
        })))
    }
}

/// A day with something of everything: a depth measured twice, a tyre too hard and decided about, spokes and their spread.
pub(crate) fn day() -> Log {
    let mut log = Log::after(PLAN);
    for tool in measuring_tools() {
        log.add(Event::ToolAdded {
            by: None,
            tool: Box::new(tool),
        });
    }
    log.pull("clamp", 0, 5_000);
    log.prepare("clamp");
    log.measure("depth", 0, "68.5 mm");
    log.measure("depth", 0, "2.81 [in_i]");
    let over = log.measure("tyre", 0, "95 [psi]");
    log.acknowledge(over);
    log.measure("tyre", 0, "6.0 bar");
    log.dispose("tyre", InspectedAndKept);
    for (number, shown) in [(0, "950 N"), (1, "1050 N"), (2, "110 kgf")] {
        log.measure("spokes", number, shown);
    }
    let tried = log.hold_check(SmallUnit::Pascal, "1.0 bar");
    log.place_check(tried, None);
    log
}

fn standings(log: &Log) -> Vec<String> {
    let checks = log.build.plan.checks();
    checks
        .map(|(_, check)| format!("{} {}", check.id, log.build.check_standing(&check.id)))
        .collect()
}

#[test]
fn the_newest_reading_counts_and_the_others_stay() {
    let log = day();
    assert_eq!(
        standings(&log),
        [
            "depth within",
            "tyre within",
            "spokes within",
            "even within"
        ]
    );
    let counting = log.build.check_counting("depth");
    assert_eq!(counting.len(), 1);
    assert_eq!(counting[0].reading.value, Some(71_374));
    assert_eq!(log.build.checks.state("depth").unwrap().placed.len(), 2);
    let (_, even) = log.build.plan.check("even").unwrap();
    let derived = log.build.derived(even).unwrap();
    // 110 kgf is 1078.7315 N, rounded up to a mN; the least is 950 N.
    assert_eq!(derived.value, 128_732);
    assert!(derived.shares_a_certificate);
    assert_eq!(derived.verdict.answer, CheckAnswer::Within);
}

#[test]
fn too_much_pressure_is_not_let_out_unseen() {
    let mut log = Log::after(PLAN);
    let over = log.measure("tyre", 0, "95 [psi]");
    assert_eq!(log.build.checks.open_alarms().count(), 1);
    log.measure("tyre", 0, "6.0 bar");
    assert_eq!(
        log.build.check_standing("tyre"),
        CheckStanding::Over,
        "a lower reading does not explain it away"
    );
    log.place_check(over, Some("tyre"));
    assert_eq!(log.build.check_standing("tyre"), CheckStanding::Over);
    log.acknowledge(over);
    assert_eq!(log.build.checks.open_alarms().count(), 0);
    log.dispose("tyre", PartReplaced);
    assert_eq!(log.build.check_standing("tyre"), CheckStanding::Open);
    log.measure("tyre", 0, "6.0 bar");
    assert_eq!(log.build.check_standing("tyre"), CheckStanding::Within);
}

#[test]
fn a_depth_out_of_limits_is_put_right_or_decided_about() {
    let mut log = Log::after(PLAN);
    log.measure("depth", 0, "68.5 mm");
    assert_eq!(log.build.check_standing("depth"), CheckStanding::Under);
    assert!(!log.build.check_needs_decision("depth"));
    assert!(log.build.check_may_be_decided("depth"));
    let kept = log.dispose("depth", InspectedAndKept);
    assert_eq!(log.build.check_standing("depth"), CheckStanding::Kept);
    log.withdraw(kept);
    assert_eq!(log.build.check_standing("depth"), CheckStanding::Under);
    log.measure("depth", 0, "71 mm");
    assert_eq!(log.build.check_standing("depth"), CheckStanding::Within);
    log.dispose("depth", SetRight);
    assert_eq!(log.build.check_standing("depth"), CheckStanding::Open);
    log.defer("depth");
    assert_eq!(log.build.check_standing("depth"), CheckStanding::Deferred);
    log.take_up("depth");
    assert_eq!(log.build.check_standing("depth"), CheckStanding::Open);
}

#[test]
fn several_readings_are_wanted_and_one_of_them_may_be_bad() {
    let mut log = Log::after(PLAN);
    log.measure("spokes", 0, "950 N");
    assert_eq!(log.build.check_standing("spokes"), CheckStanding::PartWay);
    assert_eq!(log.build.check_standing("even"), CheckStanding::Open);
    log.measure("spokes", 1, "700 N");
    log.measure("spokes", 2, "950 N");
    assert_eq!(log.build.check_standing("spokes"), CheckStanding::Under);
    assert_eq!(log.build.check_standing("even"), CheckStanding::Over);
    assert!(
        !log.build.check_needs_decision("even"),
        "its inputs may hurt, it does not"
    );
    log.measure("spokes", 1, "900 N");
    assert_eq!(log.build.check_standing("spokes"), CheckStanding::Within);
    assert_eq!(log.build.check_standing("even"), CheckStanding::Within);
}

#[test]
fn an_edition_judges_what_counts_and_explains_no_over_away() {
    let mut log = Log::after(PLAN);
    log.measure("tyre", 0, "6.4 bar");
    log.measure("depth", 0, "75 mm");
    let narrow = PLAN.replace("upper = \"6.5 bar\"", "upper = \"6.2 bar\"");
    log.change_plan(&narrow);
    assert_eq!(log.build.check_standing("tyre"), CheckStanding::Over);
    assert_eq!(log.build.checks.open_alarms().count(), 1);
    assert_eq!(log.build.check_standing("depth"), CheckStanding::Within);
    let wide = PLAN.replace("upper = \"6.5 bar\"", "upper = \"7 bar\"");
    log.change_plan(&wide);
    assert_eq!(
        log.build.check_standing("tyre"),
        CheckStanding::Over,
        "an edition that allows more settles nothing"
    );
    log.dispose("tyre", InspectedAndKept);
    assert_eq!(log.build.check_standing("tyre"), CheckStanding::Within);
    let mass = wide.replace("lower = \"70 mm\"", "lower = \"70 g\"");
    log.change_plan(&mass);
    assert_eq!(
        log.build.check_standing("depth"),
        CheckStanding::Open,
        "what measures another quantity now is measured again"
    );
}

#[test]
fn a_finished_build_has_its_checks_in_the_record() {
    let mut log = day();
    log.finish();
    let record = composed(&log).unwrap();
    let subject = &record.subject;
    assert_eq!(subject.checks.len(), 4);
    assert_eq!(subject.check_summary.within, 4);
    assert_eq!(
        (subject.check_alarms.len(), subject.checks_elsewhere.len()),
        (1, 1)
    );
    assert_eq!(subject.tools.len(), 4);
    let signed = sealed(&document(&log));
    let verified = verify(&serde_json::to_vec(&signed).unwrap()).unwrap();
    assert_eq!(verified.record, record);
}

/// What somebody does.
#[derive(Debug, Clone)]
enum Step {
    Measure(u8, u8, i64),
    Past(u8),
    Hold(i64),
    Place(u8, u8),
    Dispose(u8, u8),
    Defer(u8),
    TakeUp(u8),
    PointAt(u8),
    Plan(u8),
    Withdraw(u8),
}

const IDS: [&str; 4] = ["depth", "tyre", "spokes", "even"];

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let step = prop_oneof![
        8 => (0_u8..3, 0_u8..4, 40_i64..160).prop_map(|(at, number, share)| Step::Measure(at, number, share)),
        1 => (0_u8..3).prop_map(Step::Past),
        1 => (40_i64..160).prop_map(Step::Hold),
        2 => any::<(u8, u8)>().prop_map(|(which, at)| Step::Place(which, at)),
        3 => (0_u8..4, 0_u8..3).prop_map(|(at, which)| Step::Dispose(at, which)),
        1 => (0_u8..4).prop_map(Step::Defer),
        1 => (0_u8..4).prop_map(Step::TakeUp),
        1 => (0_u8..4).prop_map(Step::PointAt),
        2 => (0_u8..5).prop_map(Step::Plan),
        2 => any::<u8>().prop_map(Step::Withdraw),
    ];
    prop::collection::vec(step, 0..40)
}

fn editions() -> Vec<String> {
    vec![
        PLAN.to_owned(),
        PLAN.replace("upper = \"6.5 bar\"", "upper = \"6.1 bar\""),
        PLAN.replace("upper = \"6.5 bar\"", "upper = \"8 bar\""),
        PLAN.replace("readings = 3", "readings = 2"),
        PLAN.replace("spread(spokes)", "spread(spokes) * 2"),
    ]
}

fn shown(at: u8, share: i64) -> (&'static str, String) {
    match at % 3 {
        0 => ("depth", format!("{share} mm")),
        1 => ("tyre", format!("{}.{} bar", share * 6 / 100, share % 10)),
        _ => ("spokes", format!("{} N", share * 10)),
    }
}

fn run(steps: &[Step]) -> Log {
    let editions = editions();
    let mut log = Log::after(PLAN);
    log.pull("clamp", 0, 5_000);
    for step in steps {
        match step {
            Step::Measure(at, number, share) => {
                let (id, shown) = shown(*at, *share);
                let wanted = log.build.plan.check(id).unwrap().1.readings;
                log.measure(id, u16::from(*number) % wanted, &shown);
            }
            Step::Past(at) => {
                let (id, _) = shown(*at, 100);
                log.measure(id, 0, "OL");
            }
            Step::Hold(share) => {
                log.hold_check(SmallUnit::Pascal, &shown(1, *share).1);
            }
            Step::Place(which, at) => {
                let readings: Vec<u64> = log.build.checks.readings.keys().copied().collect();
                let Some(reading) = readings.get(usize::from(*which) % readings.len().max(1))
                else {
                    continue;
                };
                let known = &log.build.checks.readings[reading];
                // An over reading of before an edition is not placed anew; acts see to that.
                if known.since().1.is_some() {
                    continue;
                }
                let fits =
                    |id: &&str| log.build.plan.check(id).unwrap().1.unit() == known.reading.unit;
                let to = IDS.iter().take(3).copied().find(fits);
                log.place_check(*reading, to.filter(|_| at % 3 > 0));
            }
            Step::Dispose(at, which) => {
                let decision = [InspectedAndKept, PartReplaced, SetRight][usize::from(*which)];
                log.dispose(IDS[usize::from(*at)], decision);
            }
            Step::Defer(at) => {
                log.defer(IDS[usize::from(*at)]);
            }
            Step::TakeUp(at) => {
                log.take_up(IDS[usize::from(*at)]);
            }
            Step::PointAt(at) => {
                log.point_at(IDS[usize::from(*at)]);
            }
            Step::Plan(which) => {
                let text = &editions[usize::from(*which)];
                if Digest32::of(text.as_bytes()) != log.build.pin.sha256 {
                    log.change_plan(text);
                }
            }
            Step::Withdraw(which) => {
                let changed = log.build.plan_changed().unwrap_or(0);
                let open: Vec<u64> = log
                    .entries
                    .iter()
                    .filter(|entry| entry.sequence > changed)
                    .filter(|entry| crate::build::withdrawable(&entry.event).is_some())
                    .map(|entry| entry.sequence)
                    .filter(|of| !log.build.withdrawn.iter().any(|known| known.entry == *of))
                    .collect();
                if let Some(of) = open.get(usize::from(*which) % open.len().max(1)) {
                    log.withdraw(*of);
                }
            }
        }
    }
    log
}

/// Whether a reading above the upper limit of a check that can hurt was ever judged so, and no decision came after.
fn has_undecided_over(build: &Build, id: &str) -> bool {
    let Some(state) = build.checks.state(id) else {
        return false;
    };
    let placed = state
        .placed
        .iter()
        .map(|sequence| &build.checks.readings[sequence]);
    let mut over =
        placed.filter_map(|known| known.since().1.filter(|_| known.reading.unit.can_harm()));
    over.any(|since| {
        state
            .dispositions
            .iter()
            .all(|decision| decision.act.sequence < since)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// Whatever is done in whatever order: no reading is lost or doubled, at most one counts at a place, an over reading of
    /// a pressure stays over until somebody decides, and the record of the build holds.
    #[test]
    fn whatever_is_done_nothing_is_lost_and_the_record_holds(steps in steps()) {
        let mut log = run(&steps);
        let measured = log.entries.iter().filter(|entry| matches!(entry.event, Event::CheckMeasured(_)));
        let measured: Vec<u64> = measured.map(|entry| entry.sequence).collect();
        let known: Vec<u64> = log.build.checks.readings.keys().copied().collect();
        prop_assert_eq!(&measured, &known);
        for id in IDS {
            let state = log.build.checks.state(id).unwrap();
            for sequence in &state.placed {
                let place = log.build.checks.readings[sequence].placement.place().unwrap();
                prop_assert_eq!(&place.check, id);
            }
            let counting = log.build.check_counting(id);
            let places: std::collections::BTreeSet<_> = counting.iter().map(|known| known.placement.place()).collect();
            prop_assert_eq!(places.len(), counting.len());
            if has_undecided_over(&log.build, id) {
                prop_assert_eq!(log.build.check_standing(id), CheckStanding::Over, "{}", id);
            }
        }
        for id in IDS {
            if log.build.check_may_be_decided(id) {
                log.dispose(id, InspectedAndKept);
            }
            if !log.build.check_standing(id).is_done() {
                log.defer(id);
            }
        }
        log.finish();
        let record = composed(&log).unwrap();
        let listed: std::collections::BTreeSet<u64> = record.subject.all_check_readings().map(|known| known.sequence).collect();
        prop_assert_eq!(listed.into_iter().collect::<Vec<_>>(), known, "every reading is in the record");
        let signed = sealed(&document(&log));
        let verified = verify(&serde_json::to_vec(&signed).unwrap());
        prop_assert!(verified.is_ok(), "{}", verified.unwrap_err());
    }
}
