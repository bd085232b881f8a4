//! Whoever leaves leaves no build in their hands, and nothing falls to somebody who has left.

use super::super::{HouseAct, admit, decide_house};
use crate::core::Refusal;
use crate::testing::{BUILD, Day, MARA, OLE, WRENCH, start_build, wrench};
use pullmark_schema::api::Act;
use pullmark_schema::entry::Event;

const PLAN: &str = r#"
title = "Ford tourer 56"
edition = "1"

[[stage]]
id = "seat"
title = "Seat post"
fastener = [{ id = "clamp", title = "Seat clamp", prep = ["dry"], spec = { target = "5 N·m" } }]
"#;

fn house(day: &mut Day, act: HouseAct) -> Result<(), Refusal> {
    let decided = decide_house(&day.bench, act)?;
    day.write(decided);
    Ok(())
}

fn leaves(day: &mut Day, name: &str) -> Result<(), Refusal> {
    let (person, by) = (name.to_owned(), MARA.to_owned());
    house(day, HouseAct::Leave { person, by })
}

fn hand_over(from: &str, to: &str, by: Option<&str>) -> Act {
    Act::HandOver {
        build: BUILD.to_owned(),
        from: from.to_owned(),
        to: to.to_owned(),
        by: by.map(str::to_owned),
        note: None,
    }
}

/// Does an act as the daemon does it: with the people looked at first.
fn does(day: &mut Day, act: Act) -> Result<(), Refusal> {
    let act = admit(&day.bench, act, None)?;
    day.act(act).map(|_| ())
}

/// A build of Mara's in Ole's hands.
fn in_oles_hands() -> Day {
    let mut day = Day::begun();
    day.must(Act::AddTool {
        tool: Box::new(wrench(WRENCH)),
        by: None,
    });
    for (name, by) in [(MARA, None), (OLE, Some(MARA.to_owned()))] {
        let (name, may_return) = (name.to_owned(), false);
        let add = HouseAct::AddPerson {
            name,
            by,
            may_return,
        };
        house(&mut day, add).unwrap();
    }
    day.must(start_build(BUILD, PLAN));
    does(&mut day, hand_over(MARA, OLE, None)).unwrap();
    day
}

#[test]
fn nobody_leaves_with_a_build_in_their_hands() {
    let mut day = in_oles_hands();
    let refused = leaves(&mut day, OLE).unwrap_err();
    let (name, builds) = (OLE.to_owned(), vec![BUILD.to_owned()]);
    assert_eq!(refused, Refusal::HasBuilds { name, builds });
    assert!(refused.to_string().contains("build hand-over"), "{refused}");
    does(&mut day, hand_over(OLE, MARA, Some(MARA))).unwrap();
    let last = day.build().hands.last().unwrap();
    assert_eq!((last.act.by.as_str(), last.to.as_str()), (MARA, MARA));
    leaves(&mut day, OLE).unwrap();
}

#[test]
fn what_somebody_who_has_left_had_is_handed_on_by_one_who_is_here() {
    let mut day = in_oles_hands();
    // A ledger from before there was the rule.
    let left = pullmark_schema::entry::PersonLeft {
        person: day.bench.people.find(OLE).unwrap().id.clone(),
        by: MARA.to_owned(),
    };
    day.write(vec![Event::PersonLeft(left).into()]);
    for by in [None, Some(OLE)] {
        let refused = does(&mut day, hand_over(OLE, MARA, by)).unwrap_err();
        assert!(
            matches!(refused, Refusal::ByMissing | Refusal::PersonNotKnown { .. }),
            "{refused}"
        );
    }
    does(&mut day, hand_over(OLE, MARA, Some(MARA))).unwrap();
    assert_eq!(day.build().in_hands(), MARA);
}

#[test]
fn a_build_that_is_taken_up_again_is_not_in_the_hands_of_somebody_who_has_left() {
    let mut day = in_oles_hands();
    day.pull(5_000);
    let (build, sure) = (BUILD.to_owned(), None);
    let by = OLE.to_owned();
    does(&mut day, Act::Finish { build, by, sure }).unwrap();
    leaves(&mut day, OLE).unwrap();
    let reopen = Act::Reopen {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        reason: "the clamp creaks".to_owned(),
    };
    does(&mut day, reopen).unwrap();
    assert_eq!(day.build().in_hands(), MARA);
    let pulled = *day.build().readings.keys().next().unwrap();
    assert_eq!(day.build().in_hands_at(pulled), OLE, "that stays Ole's");
}
