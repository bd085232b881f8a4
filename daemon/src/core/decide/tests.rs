//! What follows from what a tool does. Most of it is one promise: an over reading is never explained away.

use super::{Decided, Input, decide};
use crate::core::Bench;
use crate::core::alarm::is_at_once;
use crate::testing::{
    BUILD, Day, MARA, Move, PLAN, WRENCH, aims, from_wrench, moment, moves, past_its_range, plans,
    shows, torque, whereto, wrench,
};
use proptest::prelude::*;
use pullmark_schema::api::Act;
use pullmark_schema::build::{Build, Standing};
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Entry, Event, Now, Pulled, Unreadable};
use pullmark_schema::placement::{HeldBecause, Placement};
use pullmark_schema::plan::Hand;
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::{Flag, Origin};
use pullmark_schema::verdict::{Answer, Caution};

fn unreadable(event: &Event) -> Option<Unreadable> {
    if let Event::Unreadable { why, .. } = event {
        Some(*why)
    } else {
        None
    }
}

fn kinds(entries: &[Entry]) -> Vec<&'static str> {
    entries.iter().map(|entry| entry.event.kind()).collect()
}

#[test]
fn over_the_expected_limit_is_an_alarm_wherever_it_is_placed() {
    let mut day = Day::with(PLAN);
    for (small, placed) in [
        (5_501, "seat.clamp/0"),
        (8_000, "held: Unclear"),
        (40_000, "held: Unclear"),
    ] {
        let mut day = day.clone();
        if placed.starts_with("held") {
            day.pull(3_000_000 / 1_000 - 10_000);
        }
        let (_, pulled) = day.pull(small);
        let alarm = pulled
            .alarm
            .unwrap_or_else(|| panic!("{small} mN·m raised no alarm"));
        assert_eq!(
            (alarm.place.fastener.as_str(), alarm.upper),
            ("seat.clamp", torque(5_500)),
            "{small}"
        );
        assert_eq!(whereto(&pulled.placement), placed, "{small}");
    }
    assert_eq!(
        day.pull(5_500).1.alarm,
        None,
        "a limit belongs to the inside"
    );
}

#[test]
fn a_pull_that_fits_another_fastener_is_an_alarm_all_the_same() {
    let mut day = Day::with(PLAN);
    // 40 N·m is just what the crank arm wants, and the carbon clamp is what was expected
    let (_, pulled) = day.pull(40_000);
    let likeliest = match &pulled.placement {
        Placement::Held { candidates, .. } => candidates[0].place.clone(),
        placed => placed.place().cloned(),
    };
    assert_eq!(likeliest.unwrap().fastener, "crank.left", "{pulled:?}");
    assert_eq!(pulled.alarm.unwrap().place.fastener, "seat.clamp");
}

#[test]
fn past_the_range_of_the_tool_is_over() {
    let mut day = Day::with(PLAN);
    let (_, pulled) = day.comes(7_000, past_its_range());
    assert_eq!(pulled.alarm.unwrap().place.fastener, "seat.clamp");
    if let Some(verdict) = pulled.verdict {
        assert_eq!(verdict.answer, Answer::Over);
        assert!(verdict.cautions.contains(&Caution::PastToolRange));
    }
}

#[test]
fn past_the_range_of_the_tool_is_over_when_nothing_is_open() {
    for gap in [0, 700, 5_000, 3_600_000] {
        let mut day = Day::with(PLAN);
        day.pull_all();
        assert!(day.build().next().is_none());
        let (_, pulled) = day.comes(gap, past_its_range());
        assert!(
            pulled.alarm.is_some(),
            "after {gap} ms: {:?}",
            pulled.placement
        );
    }
}

#[test]
fn over_on_a_repeat_click_is_measured_against_what_was_repeated() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    // next is stem.1, up to 6.6 N·m; the repeat click is over the clamp's 5.5 N·m
    let (_, pulled) = day.comes(700, shows(5_800));
    assert_eq!(whereto(&pulled.placement), "seat.clamp/0");
    assert_eq!(pulled.alarm.unwrap().place.fastener, "seat.clamp");
    assert_eq!(day.build().standing("seat.clamp"), Standing::Over);
}

#[test]
fn a_left_hand_thread_is_judged_by_size() {
    let mut day = Day::with(PLAN);
    day.must(Act::PointAt {
        build: BUILD.to_owned(),
        fastener: "pedal.left".to_owned(),
        by: MARA.to_owned(),
    });
    for (small, is_over) in [(-38_500, false), (-38_501, true), (38_501, true)] {
        let (_, pulled) = day.clone().pull(small);
        assert_eq!(pulled.alarm.is_some(), is_over, "{small} mN·m: {pulled:?}");
    }
}

#[test]
fn the_highest_pull_stands() {
    let mut day = Day::with(PLAN);
    day.pull(5_600);
    day.comes(700, shows(5_000));
    assert_eq!(
        day.build().standing("seat.clamp"),
        Standing::Over,
        "a gentler pull talks nothing away"
    );
    assert_eq!(day.build().open_alarms().count(), 1);
}

#[test]
fn without_a_build_a_reading_is_held() {
    let mut day = Day::begun();
    day.must(Act::AddTool {
        by: None,
        tool: Box::new(wrench(WRENCH)),
    });
    let (_, pulled) = day.pull(5_000);
    assert_eq!(
        pulled.placement,
        Placement::Held {
            because: HeldBecause::NoBuild,
            candidates: Vec::new()
        }
    );
    assert_eq!(
        (pulled.build, pulled.expected, pulled.verdict),
        (None, None, None)
    );
}

#[test]
fn a_measured_reading_keeps_its_bytes() {
    let day = Day::with(PLAN);
    let input = from_wrench(shows(5_000));
    let Input::Value { raw, .. } = input.clone() else {
        unreachable!()
    };
    let decided = decide(&day.bench, input, day.now());
    let [
        Decided {
            event: Event::Pulled(pulled),
            attached,
        },
    ] = decided.as_slice()
    else {
        panic!("{decided:?}")
    };
    assert_eq!(
        pulled.reading.origin,
        Origin::Measured {
            raw: Digest32::of(&raw)
        }
    );
    assert_eq!(attached.as_ref(), Some(&raw));
}

#[test]
fn a_reading_that_is_sent_again_is_stored_once() {
    let mut day = Day::with(PLAN);
    let first = crate::intake::dialect::Value {
        counter: Some(12),
        ..shows(5_000)
    };
    day.comes(7_000, first.clone());
    let again = crate::intake::dialect::Value {
        flags: vec![Flag::SentAgain],
        ..first.clone()
    };
    let entries = day.input(from_wrench(again.clone()));
    assert_eq!(
        entries
            .iter()
            .map(|entry| unreadable(&entry.event))
            .collect::<Vec<_>>(),
        [Some(Unreadable::AlreadyStored)]
    );
    assert_eq!(day.build().readings.len(), 1);

    // another value under the same count, or the same count without the flag, is another reading
    for other in [
        crate::intake::dialect::Value {
            counter: Some(12),
            flags: vec![Flag::SentAgain],
            ..shows(5_100)
        },
        first,
    ] {
        assert_eq!(kinds(&day.clone().input(from_wrench(other))), ["pulled"]);
    }
    // one that never came is no repetition, even if the tool says so
    let lost = crate::intake::dialect::Value {
        counter: Some(13),
        ..again
    };
    assert_eq!(kinds(&day.input(from_wrench(lost))), ["pulled"]);
}

#[test]
fn past_the_range_is_stored_once_too() {
    let mut day = Day::with(PLAN);
    let over = crate::intake::dialect::Value {
        counter: Some(3),
        ..past_its_range()
    };
    day.comes(7_000, over.clone());
    let mut again = over;
    again.flags.push(Flag::SentAgain);
    assert_eq!(
        unreadable(&day.input(from_wrench(again))[0].event),
        Some(Unreadable::AlreadyStored)
    );
    assert_eq!(day.build().open_alarms().count(), 1);
}

#[test]
fn a_gap_in_the_count_is_noted_and_the_reading_counts() {
    let mut day = Day::with(PLAN);
    let counted = |counter, small| crate::intake::dialect::Value {
        counter: Some(counter),
        ..shows(small)
    };
    day.comes(7_000, counted(12, 5_000));
    let entries = {
        day.now_ms += 7_000;
        day.input(from_wrench(counted(15, 3_600)))
    };
    assert_eq!(kinds(&entries), ["unreadable", "pulled"]);
    assert_eq!(unreadable(&entries[0].event), Some(Unreadable::CountGap));
    assert_eq!(day.build().passes_done("stem.1"), 1);
    // the next in the count, and a tool that counts anew, leave no gap
    assert_eq!(
        kinds(&day.clone().input(from_wrench(counted(16, 3_600)))),
        ["pulled"]
    );
    assert_eq!(
        kinds(&day.clone().input(from_wrench(counted(1, 3_600)))),
        ["pulled"]
    );
    assert_eq!(
        kinds(&day.input(from_wrench(counted(u64::MAX, 3_600)))),
        ["unreadable", "pulled"]
    );
}

#[test]
fn what_the_port_does_is_kept() {
    let mut day = Day::with(PLAN);
    let tool = || WRENCH.to_owned();
    day.input(Input::Connected {
        tool: tool(),
        port: "/dev/ttyUSB0".to_owned(),
    });
    assert_eq!(
        day.bench.tool_states[WRENCH].port.as_deref(),
        Some("/dev/ttyUSB0")
    );
    let gone = Input::Gone {
        tool: tool(),
        why: "unplugged".to_owned(),
        partial: Some(b"$PUL".to_vec()),
    };
    let decided = decide(&day.bench, gone.clone(), day.now());
    assert_eq!(decided[0].attached.as_deref(), Some(b"$PUL".as_slice()));
    day.input(gone);
    let state = &day.bench.tool_states[WRENCH];
    assert_eq!(
        (state.port.as_deref(), state.gone.as_deref()),
        (None, Some("unplugged"))
    );
    let rubbish = Input::Rubbish {
        tool: tool(),
        raw: b"%%".to_vec(),
        why: Unreadable::Checksum,
    };
    let decided = decide(&day.bench, rubbish, day.now());
    let expected = Event::Unreadable {
        tool: tool(),
        why: Unreadable::Checksum,
        raw: Digest32::of(b"%%"),
    };
    assert_eq!(
        decided,
        [Decided {
            event: expected,
            attached: Some(b"%%".to_vec())
        }]
    );
}

#[test]
fn what_a_person_should_know_stands_beside_the_verdict() {
    let cautions = |tool, value: crate::intake::dialect::Value| {
        let mut day = Day::with(PLAN);
        day.must(Act::AddTool {
            by: None,
            tool: Box::new(tool),
        });
        day.comes(7_000, value).1.verdict.unwrap().cautions
    };
    let low = crate::intake::dialect::Value {
        flags: vec![Flag::BatteryLow],
        ..shows(5_000)
    };
    assert_eq!(cautions(wrench(WRENCH), low), [Caution::BatteryLow]);
    let gave_way = crate::intake::dialect::Value {
        flags: vec![Flag::FirstPeak],
        ..shows(5_000)
    };
    assert_eq!(cautions(wrench(WRENCH), gave_way), [Caution::FirstPeakOnly]);
    let mut bare = wrench(WRENCH);
    bare.certificate = None;
    // Another tool under the same name; a file without a certificate would change nothing about the known one.
    bare.serial = "KR-other".into();
    assert_eq!(cautions(bare, shows(5_000)), [Caution::NoCertificate]);
    let mut past = wrench(WRENCH);
    past.certificate.as_mut().unwrap().due = moment(0).wall.date_naive();
    assert_eq!(
        cautions(past.clone(), shows(5_000)),
        [],
        "it is good on the day it is due"
    );
    past.certificate.as_mut().unwrap().due = moment(0).wall.date_naive().pred_opt().unwrap();
    assert_eq!(cautions(past, shows(5_000)), [Caution::CertificatePast]);
    let mut large = wrench(WRENCH);
    large.lowest = Some(torque(10_000));
    assert_eq!(cautions(large, shows(5_000)), [Caution::BelowToolRange]);
    let mut small = wrench(WRENCH);
    small.highest = Some(torque(4_900));
    assert_eq!(cautions(small, shows(5_000)), [Caution::AboveToolRange]);
}

#[test]
fn a_time_from_before_the_machine_was_started_is_told_by_the_wall_clock() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    let last = day.bench.tool_states[WRENCH].last.clone().unwrap();
    assert_eq!(last.age_ms("boot-1", moment(day.now_ms + 900)), 900);
    let mut later = moment(day.now_ms + 900);
    later.since_boot_ms = 5;
    assert_eq!(last.age_ms("boot-2", later), 900);
    let mut before = moment(day.now_ms - 1);
    before.since_boot_ms = 5;
    assert_eq!(
        last.age_ms("boot-2", before),
        u64::MAX,
        "a clock that went back tells nothing"
    );
}

/// Whether a value is above what a fastener may see, told without the code under test.
fn is_above(build: &Build, fastener: &str, applied: Option<Torque>) -> bool {
    let (_, fastener) = build.ever_planned(fastener).unwrap();
    let Some(applied) = applied else { return true };
    let small = applied.small_units();
    let small = if fastener.hand == Hand::Left {
        small.abs()
    } else {
        small
    };
    small > fastener.spec.limits.upper.small_units()
}

/// The first promise, for one reading that came to a build in the state `before`.
fn check_alarm(bench: &Bench, now: Now, pulled: &Pulled) -> Result<(), TestCaseError> {
    let before = &bench.builds[BUILD];
    let applied = pulled.reading.applied;
    let next = bench.expected(before, &pulled.reading.tool);
    let next = next.map(|step| step.fastener.id.clone());
    prop_assert_eq!(
        pulled.expected.as_ref().map(|place| place.fastener.clone()),
        next.clone()
    );
    // Faster than hands move, the fastener that the wrench is on is the one to compare with.
    let at_once = is_at_once(&bench.situation(before, &pulled.reading, now));
    if let Some(expected) = next.filter(|id| !at_once && is_above(before, id, applied)) {
        let alarm = pulled
            .alarm
            .as_ref()
            .ok_or_else(|| TestCaseError::fail(format!("no alarm: {pulled:?}")))?;
        prop_assert_eq!(
            &alarm.place.fastener,
            &expected,
            "the expected fastener comes first"
        );
        let upper = before.plan.fastener(&expected).unwrap().1.spec.limits.upper;
        prop_assert_eq!(alarm.upper, upper);
    }
    if let Some(place) = pulled.placement.place() {
        let is_over = is_above(before, &place.fastener, applied);
        prop_assert!(
            !is_over || pulled.alarm.is_some(),
            "over where it is placed, and no alarm: {:?}",
            pulled
        );
        let answer = pulled.verdict.as_ref().map(|verdict| verdict.answer);
        prop_assert_eq!(answer == Some(Answer::Over), is_over);
    } else {
        prop_assert_eq!(&pulled.verdict, &None);
    }
    if let Some(alarm) = &pulled.alarm {
        prop_assert!(
            is_above(before, &alarm.place.fastener, applied),
            "an alarm about nothing: {:?}",
            pulled
        );
    }
    let has_fastener = match &pulled.placement {
        Placement::Held { candidates, .. } => {
            candidates.iter().any(|candidate| candidate.place.is_some())
        }
        placed => placed.place().is_some(),
    };
    let is_past = applied.is_none() && has_fastener;
    prop_assert!(
        !is_past || pulled.alarm.is_some(),
        "past the range of the tool, and no alarm: {:?}",
        pulled
    );
    Ok(())
}

/// The first promise, for the build as it stands: nothing over without an alarm, and no alarm gone by itself.
fn check_build(before: &Build, after: &Build, entries: &[Entry]) -> Result<(), TestCaseError> {
    for reading in after.readings.values() {
        if let Some(place) = reading.placement.place() {
            // What counts is judged by the edition that holds; what no longer counts by the one that held.
            let verdict = reading.verdict.as_ref();
            let is_over = if after.counts(reading) {
                is_above(after, &place.fastener, reading.reading.applied)
            } else {
                verdict.is_some_and(|verdict| verdict.answer == Answer::Over)
            };
            let has_alarm = after
                .alarms
                .iter()
                .any(|alarm| alarm.reading == reading.sequence);
            prop_assert!(
                !is_over || has_alarm,
                "reading {} is over and raised no alarm",
                reading.sequence
            );
            if is_over && after.counts(reading) {
                let standing = after.standing(&place.fastener);
                prop_assert!(
                    matches!(standing, Standing::Over | Standing::OverKept),
                    "{}: {standing}",
                    place.fastener
                );
            }
        }
    }
    // One entry that changed the plan may have raised several.
    let acknowledged = before
        .open_alarms()
        .filter(|open| {
            entries.iter().any(|entry| {
                matches!(entry.event, Event::Acknowledged { alarm, .. } if alarm == open.sequence)
            })
        })
        .count();
    prop_assert!(after.open_alarms().count() + acknowledged >= before.open_alarms().count());
    prop_assert!(after.alarms.len() >= before.alarms.len());
    prop_assert!(after.readings.len() >= before.readings.len());
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(256) })]

    #[test]
    fn an_over_reading_is_never_explained_away(plan in plans(), history in moves(40)) {
        let mut day = Day::with(&plan);
        for step in &history {
            let before = day.bench.clone();
            let entries = day.make(step);
            for entry in &entries {
                if let Event::Pulled(pulled) = &entry.event {
                    check_alarm(&before, day.now(), pulled)?;
                }
            }
            check_build(&before.builds[BUILD], day.build(), &entries)?;
        }
    }

    #[test]
    fn every_value_above_the_limit_is_an_alarm(
        plan in plans(),
        history in moves(20),
        above in prop_oneof![1_i64..50, 1_i64..2_000_000],
        gap in crate::testing::gaps(),
    ) {
        let mut day = Day::with(&plan);
        for step in &history {
            day.make(step);
        }
        let expected = day.bench.expected(day.build(), WRENCH);
        if let Some(upper) = expected.map(|step| step.fastener.spec.limits.upper.small_units()) {
            let before = day.bench.clone();
            let (sequence, pulled) = day.comes(gap, shows(upper + above));
            check_alarm(&before, day.now(), &pulled)?;
            let at_once = is_at_once(&before.situation(&before.builds[BUILD], &pulled.reading, day.now()));
            prop_assert!(at_once || pulled.alarm.is_some(), "{} mN·m over {}: {:?}", above, upper, pulled);
            if at_once {
                return Ok(());
            }
            prop_assert!(day.build().open_alarms().any(|alarm| alarm.reading == sequence));
            // whatever a person then says about where it belongs, the alarm stays until it is acknowledged
            for which in 0..3 {
                day.make(&Move::Place(which, Some(which), None));
                prop_assert!(day.build().open_alarms().any(|alarm| alarm.reading == sequence));
            }
        }
    }

    #[test]
    fn deciding_is_a_function_of_bench_and_time(plan in plans(), history in moves(15), aim in aims()) {
        let mut day = Day::with(&plan);
        for step in &history {
            day.make(step);
        }
        let pull = Move::Pull(7_000, aim, crate::testing::Count::Next);
        let (mut one, mut other) = (day.clone(), day);
        prop_assert_eq!(one.make(&pull), other.make(&pull));
        prop_assert_eq!(one.bench, other.bench);
    }
}
