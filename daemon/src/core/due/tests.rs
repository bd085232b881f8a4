use super::*;
use crate::core::Refusal;
use crate::testing::{BUILD, Day, MARA, start_build};
use pullmark_schema::api::Act;
use pullmark_schema::due::DueStanding;
use pullmark_schema::entry::Bike;

const PLAN: &str = r#"
title = "Ferry"
edition = "1"

[[stage]]
id = "seat"
title = "Seat post"
fastener = [{ id = "clamp", title = "Seat clamp", prep = ["dry"], spec = { target = "5 N·m" } }]

[[due]]
id = "first-rides"
title = "After the first rides"
days = 30
kilometres = 150
fasteners = ["clamp"]

[[due]]
id = "season"
title = "After a season"
months = 12
"#;

fn tell(due: &str, done: bool) -> Act {
    Act::TellDue {
        build: BUILD.to_owned(),
        due: due.to_owned(),
        done,
        by: MARA.to_owned(),
        reason: Some("looked at it".to_owned()),
    }
}

fn ridden(kilometres: u32) -> Act {
    Act::TellRidden {
        build: BUILD.to_owned(),
        kilometres,
        by: MARA.to_owned(),
    }
}

/// A bike that was handed over, and the day of that.
fn handed_over() -> (Day, NaiveDate) {
    let mut day = Day::begun();
    day.must(Act::AddTool {
        tool: Box::new(crate::testing::wrench(crate::testing::WRENCH)),
        by: None,
    });
    day.must(start_build(BUILD, PLAN));
    assert!(matches!(day.act(ridden(5)), Err(Refusal::NotHandedOver(_))));
    day.must(defer(BUILD));
    day.must(finish(BUILD));
    let on = handed_over_on(day.build()).unwrap();
    (day, on)
}

fn standings(day: &Day, today: NaiveDate) -> Vec<(String, DueStanding)> {
    let list = all(&day.bench, today);
    list.into_iter()
        .map(|view| (view.id, view.standing))
        .collect()
}

#[test]
fn it_is_due_by_its_day_or_by_its_distance_and_done_when_somebody_says_so() {
    let (mut day, from) = handed_over();
    let after = |days| from + chrono::Days::new(days);
    let list = all(&day.bench, after(29));
    assert_eq!(list[0].days_left, Some(1));
    assert_eq!(list[0].fasteners[0].title, "Seat clamp");
    let (first, season) = ("first-rides".to_owned(), "season".to_owned());
    let waits = DueStanding::Waiting;
    assert_eq!(
        standings(&day, after(29)),
        [(first.clone(), waits), (season.clone(), waits)]
    );
    assert_eq!(standings(&day, after(30))[0].1, DueStanding::Due);
    day.must(ridden(160));
    assert_eq!(
        standings(&day, after(2))[0],
        (first.clone(), DueStanding::Due)
    );
    assert!(matches!(
        day.act(tell("first-rides", false)),
        Err(Refusal::DueToldBefore { .. })
    ));
    assert!(matches!(
        day.act(tell("nothing", true)),
        Err(Refusal::DueNotKnown { .. })
    ));
    day.must(tell("first-rides", true));
    assert_eq!(
        standings(&day, after(2)),
        [(season.clone(), waits), (first.clone(), DueStanding::Done)]
    );
    day.must(tell("first-rides", false));
    assert_eq!(standings(&day, after(2))[0], (first, DueStanding::Due));
}

#[test]
fn what_is_due_stays_due_over_a_reopening() {
    let (mut day, from) = handed_over();
    let after = |days| from + chrono::Days::new(days);
    let first = |day: &Day| {
        let list = all(&day.bench, after(2));
        let first = list.into_iter().find(|view| view.id == "first-rides");
        let first = first.unwrap();
        (first.standing, first.ridden, first.in_build)
    };
    let service = Some("ferry-service".to_owned());
    day.must(ridden(200));
    let frame = day.build().bike.frame.clone();
    day.must(begin_service(&frame, "first-rides"));
    let due = (DueStanding::Due, Some(200), service.clone());
    assert_eq!(first(&day), due);
    day.must(tell("season", true));
    day.must(Act::Reopen {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        reason: "the label was wrong".to_owned(),
    });
    assert_eq!(first(&day), due, "the bike has gone as far as it has");
    assert!(matches!(
        day.act(ridden(210)),
        Err(Refusal::NotHandedOver(_))
    ));
    day.must(finish(BUILD));
    assert_eq!(first(&day), due);
    let season = all(&day.bench, after(2)).into_iter();
    let season = season.filter(|view| view.standing == DueStanding::Done);
    let season: Vec<String> = season.map(|view| view.id).collect();
    assert_eq!(season, ["season"], "it was done, and stays done");
    day.must(defer("ferry-service"));
    day.must(finish("ferry-service"));
    assert_eq!(first(&day), (DueStanding::Done, Some(200), service));
}

fn begin_service(frame: &str, due: &str) -> Act {
    Act::StartBuild {
        build: Some("ferry-service".to_owned()),
        bike: Bike {
            frame: frame.to_owned(),
            label: None,
        },
        plan: PLAN.split("[[due]]").next().unwrap().to_owned(),
        by: MARA.to_owned(),
        tools: Vec::new(),
        follows: Some(BUILD.to_owned()),
        due: vec![due.to_owned()],
    }
}

fn defer(build: &str) -> Act {
    Act::Defer {
        build: build.to_owned(),
        fastener: "clamp".to_owned(),
        by: MARA.to_owned(),
        reason: "the owner sets it".to_owned(),
        waits_for: None,
    }
}

fn finish(build: &str) -> Act {
    Act::Finish {
        build: build.to_owned(),
        by: MARA.to_owned(),
        sure: None,
    }
}

#[test]
fn a_service_of_the_same_bike_does_what_is_due() {
    let (mut day, from) = handed_over();
    let service = begin_service;
    let frame = day.build().bike.frame.clone();
    assert!(matches!(
        day.act(service("another", "season")),
        Err(Refusal::OtherFrame { .. })
    ));
    assert!(matches!(
        day.act(service(&frame, "nothing")),
        Err(Refusal::DueNotKnown { .. })
    ));
    // Blanks around a serial number are none of it.
    day.must(service(&format!(" {frame} "), "season"));
    let season = |day: &Day| {
        let list = all(&day.bench, from);
        let view = list.into_iter().find(|view| view.id == "season").unwrap();
        (view.standing, view.in_build)
    };
    let in_build = Some("ferry-service".to_owned());
    assert_eq!(season(&day), (DueStanding::Waiting, in_build.clone()));
    day.must(defer("ferry-service"));
    day.must(finish("ferry-service"));
    assert_eq!(season(&day), (DueStanding::Done, in_build));
}
