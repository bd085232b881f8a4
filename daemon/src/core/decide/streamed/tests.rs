//! What follows from streamed pulls, in the shop that the other tests share.

use super::*;
use crate::core::Input;
use crate::intake::pull::Sample;
use crate::testing::{Day, MARA, PLAN, WRENCH, torque, wrench};
use pullmark_schema::api::Act;
use pullmark_schema::entry::Entry;
use pullmark_schema::quantity::{Decimal, Stated, Unit};
use pullmark_schema::tool::Tool;
use pullmark_schema::verdict::Answer;

fn seen(small: i64) -> Seen {
    let number = Stated {
        value: Decimal::new(small, 3).unwrap(),
        unit: Unit::find("N.m").unwrap(),
    };
    Seen {
        number: Some(number),
        torque: Some(torque(small)),
        ..Seen::default()
    }
}

/// A pull up to a peak, with a click before it.
fn found(peak: i64, first: i64) -> Box<Pull> {
    let samples = [0, first, peak, 0].map(|small| Sample {
        at: 0,
        raw: small * 1000,
        filtered: small * 1000,
    });
    Box::new(Pull {
        samples: samples.to_vec(),
        length: 3,
        turn: 1,
        highest: seen(peak),
        raw_peak: peak * 1000,
        peak: peak * 1000,
        first_peak: Some(first * 1000),
        clicked: true,
        rate: 200,
        ..Pull::default()
    })
}

/// The upper limit of what is expected next.
fn upper(day: &Day) -> i64 {
    let expected = day.bench.expected(day.build(), WRENCH).unwrap();
    expected.fastener.spec.limits.upper.small_units()
}

fn rises(day: &mut Day, small: i64) -> Vec<Entry> {
    day.input(Input::Rising {
        tool: WRENCH.to_owned(),
        seen: seen(small),
    })
}

fn ends(day: &mut Day, peak: i64, first: i64) -> Vec<Entry> {
    let pull = found(peak, first);
    day.input(Input::Pull {
        tool: WRENCH.to_owned(),
        raw: pull.pack(),
        pull,
    })
}

fn kinds(entries: &[Entry]) -> Vec<&'static str> {
    entries.iter().map(|entry| entry.event.kind()).collect()
}

fn open_alarms(day: &Day) -> Vec<u64> {
    let view = crate::core::build_view(&day.bench, day.build());
    view.alarms.iter().map(|alarm| alarm.sequence).collect()
}

#[test]
fn the_alarm_sounds_once_before_the_pull_is_over_and_the_reading_takes_its_place() {
    let mut day = Day::with(PLAN);
    day.now_ms += 10_000;
    let upper = upper(&day);
    assert!(
        rises(&mut day, upper).is_empty(),
        "the limit belongs to the inside"
    );
    let early = rises(&mut day, upper + 1);
    assert_eq!(kinds(&early), ["over-now"]);
    assert!(rises(&mut day, upper + 500).is_empty(), "once a pull");
    assert_eq!(open_alarms(&day), [early[0].sequence]);
    let ended = ends(&mut day, upper + 700, upper - 200);
    let Event::Pulled(pulled) = &ended[0].event else {
        panic!("{ended:?}")
    };
    assert!(pulled.alarm.is_some());
    assert_eq!(
        open_alarms(&day),
        [ended[0].sequence],
        "one alarm for one pull"
    );
}

#[test]
fn an_early_alarm_whose_tool_goes_stays_until_somebody_acknowledges_it() {
    let mut day = Day::with(PLAN);
    day.now_ms += 10_000;
    let over = upper(&day) + 1;
    let early = rises(&mut day, over)[0].sequence;
    day.input(Input::Gone {
        tool: WRENCH.to_owned(),
        why: "gone".to_owned(),
        partial: Some(b"PMT1".to_vec()),
    });
    assert!(day.bench.tool_states[WRENCH].cut_off);
    assert_eq!(open_alarms(&day), [early]);
    day.must(Act::Acknowledge {
        alarm: early,
        by: MARA.to_owned(),
    });
    assert!(open_alarms(&day).is_empty());
    day.pull(1_000);
    assert!(!day.bench.tool_states[WRENCH].cut_off);
}

#[test]
fn a_knock_is_no_reading_unless_it_is_over() {
    let mut day = Day::with(PLAN);
    day.now_ms += 10_000;
    let upper = upper(&day);
    let mut knock = |peak: i64| {
        let pull = found(peak, peak);
        day.input(Input::Knock {
            tool: WRENCH.to_owned(),
            raw: pull.pack(),
            pull,
        })
    };
    assert_eq!(kinds(&knock(1_000)), ["unreadable"]);
    let over = knock(upper + 10);
    assert!(matches!(&over[0].event, Event::Pulled(pulled) if pulled.alarm.is_some()));
}

#[test]
fn a_click_tool_is_judged_by_its_click_below_and_by_its_peak_above() {
    let mut day = Day::with(PLAN);
    day.must(Act::AddTool {
        by: None,
        tool: Box::new(Tool {
            kind: ToolKind::Setting,
            ..wrench(WRENCH)
        }),
    });
    day.now_ms += 10_000;
    let limits = day
        .bench
        .expected(day.build(), WRENCH)
        .unwrap()
        .fastener
        .spec
        .limits;
    let (lower, upper) = (
        limits.lower.unwrap().small_units(),
        limits.upper.small_units(),
    );
    let entries = ends(&mut day, upper, lower - 1);
    let Event::Pulled(pulled) = &entries[0].event else {
        panic!("{entries:?}")
    };
    let trace = pulled.reading.trace.as_ref().unwrap();
    assert_eq!(trace.reached, torque(lower - 1));
    if let Some(verdict) = &pulled.verdict {
        assert_eq!(verdict.answer, Answer::Under, "it gave way too early");
    }
    assert_eq!(pulled.reading.applied, Some(torque(upper)));
}

#[test]
fn what_a_tool_says_again_is_no_entry() {
    let mut day = Day::with(PLAN);
    let mut say = |percent| {
        day.input(Input::Said {
            tool: WRENCH.to_owned(),
            about: About {
                serial: Some("KR-1".to_owned()),
                what: None,
                battery_percent: Some(percent),
            },
        })
    };
    assert_eq!(kinds(&say(80)), ["tool-said"]);
    assert!(say(80).is_empty());
    assert_eq!(kinds(&say(79)), ["tool-said"]);
}
