//! A reading that went over is taken away from where it stands with a PIN alone.

use super::super::{HouseAct, PinGiven, admit, confirm, decide_house};
use crate::core::Refusal;
use crate::core::acts::decide_act;
use crate::core::decide::Input;
use crate::intake::dialect::Value;
use crate::testing::{BUILD, Day, MARA, WRENCH, start_build, whereto, wrench};
use pullmark_schema::api::Act;
use pullmark_schema::entry::{Confirmed, Event};
use pullmark_schema::placement::Placement;
use pullmark_schema::reading::Displayed;
use pullmark_schema::tool::Tool;

const PLAN: &str = r#"
title = "Ford tourer 56"
edition = "1"

[[stage]]
id = "stem"
title = "Stem"
fastener = [
  { id = "face", title = "Face plate", prep = ["dry"], spec = { target = "6 N·m" } },
  { id = "crank", title = "Crank", prep = ["dry"], spec = { target = "40 N·m" } },
]

[[stage]]
id = "wheels"
title = "Wheels"
check = [
  { id = "front", title = "Front tyre", spec = { lower = "80 psi", upper = "90 psi" } },
  { id = "rear", title = "Rear tyre", spec = { lower = "88 psi", upper = "98 psi" } },
]
"#;
const GAUGE: &str =
    "id=\"g1\"\ntitle=\"Gauge\"\nserial=\"GA-3\"\nquantity=\"pressure\"\naccuracy=\"1 %\"";

fn day() -> Day {
    let mut day = Day::begun();
    for tool in [wrench(WRENCH), Tool::read(GAUGE).unwrap()] {
        day.must(Act::AddTool {
            tool: Box::new(tool),
            by: None,
        });
    }
    let mut start = start_build(BUILD, PLAN);
    if let Act::StartBuild { tools, .. } = &mut start {
        tools.push("g1".to_owned());
    }
    day.must(start);
    let act = HouseAct::AddPerson {
        name: MARA.to_owned(),
        by: None,
        may_return: false,
    };
    let added = decide_house(&day.bench, act).unwrap();
    day.write(added);
    day
}

fn place(reading: u64, fastener: Option<&str>) -> Act {
    Act::Place {
        reading,
        fastener: fastener.map(str::to_owned),
        pass: None,
        by: MARA.to_owned(),
        reason: None,
    }
}

fn given(day: &Day) -> PinGiven {
    let person = day.bench.people.find(MARA).unwrap().id.clone();
    PinGiven { person }
}

/// Does it as the bench does: let in, decided, marked as confirmed, written.
fn does(day: &mut Day, act: Act, given: Option<&PinGiven>) -> Result<Vec<Event>, Refusal> {
    let act = admit(&day.bench, act, given)?;
    let mut decided = decide_act(&day.bench, act, day.now())?;
    confirm(&mut decided, given);
    let entries = day.write(decided).into_iter();
    Ok(entries.map(|entry| entry.event).collect())
}

#[track_caller]
fn needs_pin(day: &Day, act: Act) {
    let needs = Err(Refusal::NeedsPin(MARA.to_owned()));
    assert_eq!(admit(&day.bench, act, None), needs);
}

#[test]
fn an_over_pull_is_taken_away_from_its_fastener_with_a_pin() {
    let mut day = day();
    let (over, pulled) = day.pull(9_000);
    assert!(pulled.alarm.is_some(), "{pulled:?}");
    if matches!(pulled.placement, Placement::Held { .. }) {
        // The bench asks where it belongs: the answer takes nothing away, wherever it leads.
        assert!(admit(&day.bench, place(over, None), None).is_ok());
    }
    does(&mut day, place(over, Some("face")), None).unwrap();
    for to in [None, Some("crank")] {
        needs_pin(&day, place(over, to));
    }
    assert!(admit(&day.bench, place(over, Some("face")), None).is_ok());
    let pin = given(&day);
    let events = does(&mut day, place(over, None), Some(&pin)).unwrap();
    let [Event::Placed(placed)] = events.as_slice() else {
        panic!("{events:?}")
    };
    assert_eq!(whereto(&placed.placement), "nowhere");
    assert_eq!(placed.confirmed, Some(Confirmed::Pin));
    // It stands nowhere now, and can be put back by a name.
    let back = does(&mut day, place(over, Some("face")), None).unwrap();
    assert!(matches!(&back[0], Event::Placed(placed) if placed.confirmed.is_none()));
}

#[test]
fn a_pull_that_is_within_is_placed_elsewhere_by_a_name() {
    let mut day = day();
    let (within, _) = day.pull(6_000);
    does(&mut day, place(within, Some("face")), None).unwrap();
    assert!(admit(&day.bench, place(within, None), None).is_ok());
}

#[test]
fn an_over_reading_of_a_check_is_taken_away_with_a_pin() {
    let mut day = day();
    day.now_ms += 20_000;
    let value = Value {
        displayed: Some(Displayed {
            value: "7.5".to_owned(),
            unit: "bar".to_owned(),
        }),
        torque: None,
        counter: None,
        flags: Vec::new(),
    };
    let measured = day.input(Input::Value {
        tool: "g1".to_owned(),
        raw: b"7.5 bar".to_vec(),
        value,
    });
    let over = measured[0].sequence;
    does(&mut day, place(over, Some("front")), None).unwrap();
    for to in [None, Some("rear")] {
        needs_pin(&day, place(over, to));
    }
    let pin = given(&day);
    let events = does(&mut day, place(over, Some("rear")), Some(&pin)).unwrap();
    let [Event::CheckPlaced(placed)] = events.as_slice() else {
        panic!("{events:?}")
    };
    assert_eq!(placed.confirmed, Some(Confirmed::Pin));
}
