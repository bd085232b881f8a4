//! The fold of a build's entries: what counts, how a fastener stands, what comes next.

pub(crate) mod checks;
mod life;
pub(crate) mod log;

use super::*;
use crate::entry::Decision::{InspectedAndKept, PartReplaced, TightenedAgain};
use crate::entry::{OnFastener, Placed, Pulled};
use crate::quantity::Torque;
use crate::verdict::{Answer, compare};
use Standing::{Deferred, Open, Over, OverKept, PartWay, Under, Within};
use log::{BUILD, Log, entry, judged, place, plan, reading, started};
use proptest::prelude::*;

#[track_caller]
fn stands(log: &Log, fastener: &str, standing: Standing) {
    assert_eq!(
        log.build.standing(fastener),
        standing,
        "{fastener} after {} entries",
        log.entries.len()
    );
}

fn counting(log: &Log, fastener: &str) -> Vec<u64> {
    log.build
        .counting(fastener)
        .map(|reading| reading.sequence)
        .collect()
}

#[test]
fn begins_with_its_own_plan_only() {
    let mut other = plan();
    other.sha256 = crate::canonical::Digest32::of(b"another file");
    assert!(Build::begin(&entry(0, started("x")), other).is_none());
    assert!(Build::begin(&entry(0, Event::ClockChanged { by_ms: 5 }), plan()).is_none());
    let log = Log::new();
    assert_eq!(
        (
            log.build.started.sequence,
            log.build.last_sequence,
            log.build.id.as_str()
        ),
        (3, 3, BUILD)
    );
    stands(&log, "a", Open);
    stands(&log, "no such", Open);
    assert_eq!(
        log.build.summary(),
        Summary {
            fasteners: 6,
            open: 6,
            ..Summary::default()
        }
    );
}

#[test]
fn under_then_within() {
    let mut log = Log::new();
    log.pull("pedal", 0, 25_000);
    stands(&log, "pedal", Under);
    log.pull("pedal", 0, 35_000);
    stands(&log, "pedal", Within);
    assert_eq!(
        log.build.highest("pedal"),
        Some(Torque::from_small_units(35_000))
    );
    log.pull("pedal", 0, 20_000);
    stands(&log, "pedal", Within);
    assert_eq!(
        counting(&log, "pedal"),
        [4, 5, 6],
        "a gentler pull after it takes nothing away"
    );
}

#[test]
fn over_stays_over_until_a_person_decides() {
    let mut log = Log::new();
    let over = log.pull("a", 1, 6_000);
    log.pull("a", 1, 5_000);
    stands(&log, "a", Over);
    log.defer("a");
    stands(&log, "a", Over);
    log.take_up("a");
    log.acknowledge(over);
    stands(&log, "a", Over);
    log.dispose("a", InspectedAndKept);
    stands(&log, "a", OverKept);
    log.pull("a", 1, 5_000);
    stands(&log, "a", OverKept);
    log.pull("a", 1, 5_600);
    stands(&log, "a", Over);
    log.dispose("a", InspectedAndKept);
    stands(&log, "a", OverKept);
    assert_eq!(
        log.build.summary(),
        Summary {
            fasteners: 6,
            open: 5,
            over_kept: 1,
            ..Summary::default()
        }
    );
}

#[test]
fn undoing_a_fastener_is_no_decision_about_its_over_reading() {
    let mut log = Log::new();
    log.pull("a", 1, 6_000);
    log.loosen("a");
    stands(&log, "a", Over);
    log.pull("a", 1, 5_000);
    stands(&log, "a", Over);
    log.dispose("a", InspectedAndKept);
    stands(&log, "a", Within);
}

#[test]
fn what_was_undone_needs_its_prep_anew() {
    let mut log = Log::new();
    assert!(!log.build.is_prepared("a"));
    log.prepare("a");
    assert!(log.build.is_prepared("a"));
    log.loosen("a");
    assert!(!log.build.is_prepared("a"));
    log.prepare("a");
    assert!(log.build.is_prepared("a"));
}

#[test]
fn a_decision_before_the_over_reading_does_not_cover_it() {
    let mut log = Log::new();
    log.dispose("a", InspectedAndKept);
    log.pull("a", 1, 6_000);
    stands(&log, "a", Over);
}

#[test]
fn a_replaced_or_undone_part_starts_anew() {
    for decision in [PartReplaced, TightenedAgain] {
        let mut log = Log::new();
        let over = log.pull("a", 1, 6_000);
        let decided = log.dispose("a", decision);
        stands(&log, "a", Open);
        assert!(counting(&log, "a").is_empty());
        assert_eq!(
            log.build
                .fastener("a")
                .unwrap()
                .loosened
                .last()
                .unwrap()
                .sequence,
            decided
        );
        log.pull("a", 0, 3_000);
        stands(&log, "a", PartWay);
        log.pull("a", 1, 5_000);
        stands(&log, "a", Within);
        let state = log.build.fastener("a").unwrap();
        assert!(state.placed.contains(&over), "the over reading stays");
        assert!(
            !log.build.counts(&log.build.readings[&over]),
            "and no longer counts"
        );
    }
}

#[test]
fn loosened_readings_stay_and_no_longer_count() {
    let mut log = Log::new();
    let first = log.pull("cap", 0, 1_500);
    stands(&log, "cap", Within);
    log.loosen("cap");
    stands(&log, "cap", Open);
    assert_eq!(
        (log.build.highest("cap"), log.build.passes_done("cap")),
        (None, 0)
    );
    assert!(
        log.build.readings.contains_key(&first)
            && log.build.fastener("cap").unwrap().placed.contains(&first)
    );
    let second = log.pull("cap", 0, 1_200);
    assert_eq!(counting(&log, "cap"), [second]);
    log.loosen("cap");
    assert_eq!(log.build.fastener("cap").unwrap().loosened.len(), 2);
    // a reading from before that is placed here later does not count either
    let mut log = Log::new();
    let held = log.hold(1_500);
    log.loosen("cap");
    log.place(held, Some(place("cap", 0)));
    stands(&log, "cap", Open);
}

#[test]
fn a_repeat_click_does_not_use_up_the_next() {
    let mut log = Log::new();
    assert_eq!(log.next(), "a 0");
    log.pull("a", 0, 3_000);
    assert_eq!(log.next(), "d 0");
    log.pull("a", 0, 3_050);
    assert_eq!(log.next(), "d 0");
    stands(&log, "d", Open);
    stands(&log, "a", PartWay);
}

#[test]
fn two_passes_go_from_side_to_side() {
    let mut log = Log::new();
    let mut order = Vec::new();
    for _ in 0..8 {
        let step = log.build.next().unwrap();
        let (fastener, pass, aim) = (
            step.fastener.id.clone(),
            step.pass,
            if step.pass == 0 { 3_000 } else { 5_000 },
        );
        log.pull(&fastener, pass, aim);
        order.push(format!("{fastener}{pass}"));
    }
    assert_eq!(order, ["a0", "d0", "b0", "c0", "a1", "d1", "b1", "c1"]);
    assert_eq!(log.next(), "pedal 0");
    assert_eq!(log.build.step(&place("c", 1)).unwrap().percent, 100);
    assert!(log.build.step(&place("c", 2)).is_none());
    // an under pull leaves its step open
    log.pull("pedal", 0, 10_000);
    assert_eq!(log.next(), "pedal 0");
    log.pull("pedal", 0, 35_000);
    log.pull("cap", 0, 1_000);
    assert_eq!(
        (log.next().as_str(), log.build.open_steps().count()),
        ("-", 0)
    );
}

#[test]
fn what_waits_is_passed_over_until_it_is_taken_up() {
    let mut log = Log::new();
    log.defer("a");
    stands(&log, "a", Deferred);
    assert_eq!(log.next(), "d 0");
    assert_eq!(
        log.build
            .fastener("a")
            .unwrap()
            .deferred
            .as_ref()
            .unwrap()
            .reason
            .as_deref(),
        Some("bolt is on back order")
    );
    assert_eq!(log.build.summary().deferred, 1);
    log.take_up("a");
    stands(&log, "a", Open);
    assert_eq!(log.next(), "a 0");
}

#[test]
fn what_was_pointed_at_comes_next_until_it_is_done() {
    let mut log = Log::new();
    log.point_at("cap");
    assert_eq!(log.next(), "cap 0");
    log.pull("a", 0, 3_000);
    assert_eq!(log.next(), "cap 0", "another reading does not take it away");
    log.pull("cap", 0, 1_000);
    assert_eq!(log.build.pointed, None);
    assert_eq!(
        log.next(),
        "pedal 0",
        "the work goes on from there, and comes back in the end"
    );
    log.point_at("pedal");
    log.pull("pedal", 0, 10_000);
    assert_eq!(log.next(), "pedal 0", "an under pull does not take it away");
    log.defer("pedal");
    assert_ne!(log.next(), "pedal 0", "what waits cannot be next");
    let next = log.next();
    log.point_at("no such");
    assert_eq!(log.next(), next);
    log.point_at("cap");
    assert_eq!(log.next(), "cap 0", "what is done is next once more");
    log.pull("cap", 0, 1_000);
    assert_eq!(log.build.pointed, None, "and only once");
}

#[test]
fn a_fastener_over_in_an_early_pass_and_kept_is_not_next() {
    let mut log = Log::new();
    log.pull("a", 0, 6_000);
    log.dispose("a", InspectedAndKept);
    stands(&log, "a", OverKept);
    assert!(log.build.open_steps().all(|step| step.fastener.id != "a"));
}

#[test]
fn a_later_placement_corrects_an_earlier_one() {
    let mut log = Log::new();
    let pulled = log.pull("b", 1, 5_000);
    stands(&log, "b", Within);
    log.place(pulled, Some(place("c", 1)));
    stands(&log, "b", Open);
    stands(&log, "c", Within);
    let corrected = &log.build.readings[&pulled];
    assert_eq!(corrected.earlier.len(), 1);
    assert_eq!(corrected.earlier[0].place(), Some(&place("b", 1)));
    log.place(pulled, None);
    stands(&log, "c", Open);
    assert_eq!(log.build.readings[&pulled].verdict, None);
    assert_eq!(log.build.readings[&pulled].earlier.len(), 2);
    assert!(!log.build.counts(&log.build.readings[&pulled]));
}

#[test]
fn a_held_reading_counts_once_it_is_placed() {
    let mut log = Log::new();
    let held = log.hold(6_000);
    assert_eq!(
        log.build
            .held()
            .map(|reading| reading.sequence)
            .collect::<Vec<_>>(),
        [held]
    );
    assert!(log.build.alarms.is_empty());
    let placed = log.place(held, Some(place("b", 1)));
    assert_eq!(log.build.held().count(), 0);
    stands(&log, "b", Over);
    let alarm = &log.build.alarms[0];
    assert_eq!(
        (alarm.sequence, alarm.reading),
        (placed, held),
        "the placement raised it"
    );
}

#[test]
fn an_alarm_is_open_until_it_is_acknowledged_and_stays_on_file() {
    let mut log = Log::new();
    let first = log.pull("a", 1, 6_000);
    let second = log.pull("b", 1, 6_000);
    log.acknowledge(99);
    let acknowledged = log.acknowledge(first);
    log.acknowledge(first);
    assert_eq!(
        log.build
            .open_alarms()
            .map(|alarm| alarm.sequence)
            .collect::<Vec<_>>(),
        [second]
    );
    log.place(second, Some(place("pedal", 0)));
    assert_eq!(
        log.build.open_alarms().count(),
        1,
        "a correction does not silence it"
    );
    log.acknowledge(second);
    assert_eq!(
        (log.build.alarms.len(), log.build.open_alarms().count()),
        (2, 0)
    );
    assert_eq!(
        log.build.alarms[0].acknowledged.as_ref().unwrap().sequence,
        acknowledged,
        "the first one stands"
    );
}

#[test]
fn a_left_hand_thread_is_tightened_the_other_way() {
    for (small, standing) in [
        (-35_000, Within),
        (35_000, Within),
        (-20_000, Under),
        (-41_000, Over),
        (41_000, Over),
    ] {
        let mut log = Log::new();
        log.pull("pedal", 0, small);
        stands(&log, "pedal", standing);
        assert_eq!(
            log.build.highest("pedal"),
            Some(Torque::from_small_units(small.abs()))
        );
    }
    let mut log = Log::new();
    log.pull("a", 1, -5_000);
    stands(&log, "a", Under);
}

#[test]
fn past_the_tools_range_is_over() {
    let mut log = Log::new();
    log.pull("a", 1, 5_000);
    log.pull_past_range("a", 1);
    log.pull("a", 1, 5_200);
    stands(&log, "a", Over);
    assert_eq!(log.build.highest("a"), None, "more than any value");
    assert_eq!(log.build.alarms.len(), 1);
}

#[test]
fn a_bare_maximum_is_never_under() {
    let mut log = Log::new();
    log.pull("cap", 0, 10);
    stands(&log, "cap", Within);
    log.pull("cap", 0, 2_001);
    stands(&log, "cap", Over);
}

#[test]
fn what_was_done_is_listed_with_who_and_when() {
    let mut log = Log::new();
    let prepared = log.prepare("a");
    let looked = log.look("a", "M. Oduya");
    let state = log.build.fastener("a").unwrap();
    assert_eq!(
        (state.prepared[0].sequence, state.prepared[0].by.as_str()),
        (prepared, "I. Berg")
    );
    assert_eq!(
        (state.looked[0].sequence, state.looked[0].by.as_str()),
        (looked, "M. Oduya")
    );
    let sealed = Event::RecordSealed {
        build: BUILD.into(),
        record: crate::canonical::Digest32::of(b"record"),
        by: "I. Berg".into(),
        checkpoint: String::new(),
        names: Vec::new(),
        confirmed: None,
    };
    log.finish();
    assert_eq!(log.next(), "-", "nothing comes after the end");
    let last = log.add(sealed);
    assert_eq!((log.build.sealed.len(), log.build.last_sequence), (1, last));
}

/// Anything that may come, sensible or not: unknown fasteners, passes that are not there, sequence numbers from
/// nowhere, verdicts that are wrong, another build.
fn any_event() -> impl Strategy<Value = Event> {
    let fastener = prop::sample::select(vec!["a", "b", "c", "d", "pedal", "cap", "no such"]);
    let build = prop::sample::select(vec![BUILD, BUILD, BUILD, BUILD, "another"]);
    let applied = prop_oneof![9 => (-45_000_i64..45_000).prop_map(Some), 9 => (2_000_i64..7_000).prop_map(Some), 1 => Just(None)];
    (
        0..12_u8,
        fastener,
        build,
        applied,
        0..3_u8,
        0..60_u64,
        any::<bool>(),
    )
        .prop_map(|(what, fastener, build, applied, pass, other, lies)| {
            let (by, build, fastener) = ("x".to_owned(), build.to_owned(), fastener.to_owned());
            let on = OnFastener {
                build: build.clone(),
                fastener: fastener.clone(),
                by: by.clone(),
                reason: None,
            };
            let place = Place {
                fastener: fastener.clone(),
                pass,
            };
            let reading = reading(applied);
            let (mut verdict, alarm) = judged(&plan(), &reading, &place);
            if lies && let Some(verdict) = &mut verdict {
                verdict.answer = Answer::Within;
            }
            let placement = match other % 4 {
                0 => Placement::Nowhere {
                    by: by.clone(),
                    reason: "test pull".into(),
                },
                _ => Placement::ByChoice {
                    place,
                    by: by.clone(),
                },
            };
            match what {
                0 => Event::Loosened(on),
                1 => Event::Deferred(crate::entry::Deferral {
                    build: on.build,
                    fastener: on.fastener,
                    by: on.by,
                    reason: on.reason,
                    waits_for: None,
                }),
                2 => Event::TakenUp(on),
                3 => Event::PointedAt {
                    build,
                    fastener,
                    by,
                },
                4 => Event::Acknowledged {
                    build,
                    alarm: other,
                    by,
                },
                5 => {
                    let decision =
                        [PartReplaced, InspectedAndKept, TightenedAgain][usize::from(pass)];
                    Event::Disposed {
                        build,
                        fastener,
                        decision,
                        by,
                        reason: "r".into(),
                        confirmed: None,
                    }
                }
                6 | 7 => Event::Placed(Box::new(Placed {
                    reading: other,
                    build,
                    placement,
                    verdict,
                    alarm,
                    confirmed: None,
                })),
                8 if other == 0 => Event::BuildFinished {
                    build,
                    by,
                    sure: None,
                },
                _ => {
                    let build = Some(build);
                    Event::Pulled(Box::new(Pulled {
                        reading,
                        build,
                        expected: None,
                        gap_ms: None,
                        placement,
                        verdict,
                        alarm,
                    }))
                }
            }
        })
}

/// Wherever it is and whether it counts or not, an over reading of a fastener has a decision after it.
fn every_over_is_decided(build: &Build, id: &str) -> bool {
    let (_, fastener) = build.plan.fastener(id).unwrap();
    let state = build.fastener(id).unwrap();
    state
        .placed
        .iter()
        .map(|sequence| &build.readings[sequence])
        .all(|reading| {
            let applied = fastener.hand.tightening(reading.reading.applied);
            compare(applied, &fastener.spec.limits) != Answer::Over
                || state
                    .dispositions
                    .iter()
                    .any(|d| d.act.sequence > reading.sequence)
        })
}

fn holds(build: &Build) -> Result<(), TestCaseError> {
    let next = build
        .next()
        .map(|step| (step.fastener.id.clone(), step.pass));
    for (stage, fastener) in build.plan.fasteners() {
        let (id, state, standing) = (
            &fastener.id,
            build.fastener(&fastener.id).unwrap(),
            build.standing(&fastener.id),
        );
        let loosened = state.loosened.last().map_or(0, |act| act.sequence);
        prop_assert!(
            build
                .counting(id)
                .all(|reading| reading.sequence > loosened && build.counts(reading))
        );
        let belong = build.counting(id).all(|r| {
            r.placement
                .place()
                .is_some_and(|place| place.fastener == *id)
        });
        prop_assert!(belong, "{}", id);
        let is_over = build.counting(id).any(|reading| {
            let applied = fastener.hand.tightening(reading.reading.applied);
            // What a verdict once said counts, whatever the figures say.
            compare(applied, &fastener.spec.limits) == Answer::Over
                || reading.since().over.is_some()
        });
        prop_assert!(!is_over || matches!(standing, Over | OverKept), "{}", id);
        prop_assert!(is_over || standing != OverKept, "{}", id);
        prop_assert!(
            standing == Over || every_over_is_decided(build, id),
            "{}: an over reading was forgotten",
            id
        );
        let may_be_over = build.counting(id).any(BuildReading::may_be_over);
        prop_assert!(
            !may_be_over || !matches!(standing, Within | Open | PartWay),
            "{}: what may be over was forgotten",
            id
        );
        prop_assert!(
            standing != Within || usize::from(build.passes_done(id)) >= stage.passes.len()
        );
        if let Some((named, pass)) = &next
            && named == id
        {
            prop_assert!(state.deferred.is_none());
            // What is done is next only once more, when somebody pointed at it.
            let is_pointed = build.pointed.as_ref().is_some_and(|at| at.fastener == *id);
            let is_due = !standing.is_done() && *pass >= build.passes_done(id);
            prop_assert!(is_due || is_pointed);
        }
    }
    let summary = build.summary();
    let doubtful = summary.undecided + summary.undecided_kept;
    let parts = summary.within + summary.over + summary.over_kept + summary.deferred + summary.open;
    let parts = parts + doubtful;
    prop_assert_eq!((summary.fasteners, parts), (6, 6));
    Ok(())
}

proptest! {
    #[test]
    fn any_entries_keep_the_invariants(events in prop::collection::vec(any_event(), 0..60)) {
        let mut log = Log::new();
        let mut alarms = 0;
        for event in events {
            let before = log.build.clone();
            let is_own = event.build() == Some(BUILD);
            log.add(event);
            prop_assert!(is_own || log.build == before, "another build's entry changes nothing");
            prop_assert!(log.build.alarms.len() >= alarms, "an alarm never goes away");
            prop_assert!(before.readings.keys().all(|sequence| log.build.readings.contains_key(sequence)));
            alarms = log.build.alarms.len();
            holds(&log.build)?;
        }
        // the same entries give the same build
        let mut again = Build::begin(&log.entries[0], plan()).unwrap();
        log.entries[1..].iter().for_each(|entry| again.apply(entry));
        prop_assert_eq!(again, log.build);
    }
}

#[test]
fn a_build_that_is_taken_up_again_goes_on_where_it_was() {
    let mut log = Log::new();
    log.pull("a", 0, 3_000);
    log.finish();
    assert_eq!(log.next(), "-");
    let sequence = log.add(Event::Reopened(crate::entry::Reopened {
        build: BUILD.into(),
        by: "I. Berg".into(),
        reason: "service".into(),
    }));
    assert!(log.build.finished.is_none());
    assert_eq!(log.build.reopened[0].sequence, sequence);
    assert_ne!(log.next(), "-", "the work goes on");
    assert_eq!(log.build.entries.len(), log.entries.len());
    log.finish();
    assert!(log.build.finished.is_some());
}
