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
    day.must(Act::Defer {
        build: BUILD.to_owned(),
        fastener: "clamp".to_owned(),
        by: MARA.to_owned(),
        reason: "the owner sets it".to_owned(),
        waits_for: None,
    });
    day.must(Act::Finish {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        sure: None,
    });
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
    // What was handed over again is due anew.
    day.must(Act::Reopen {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        reason: "service".to_owned(),
    });
    assert_eq!(all(&day.bench, from), []);
    day.must(Act::Finish {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        sure: None,
    });
    assert_eq!(
        standings(&day, after(2))[0].1,
        waits,
        "and has gone no distance since"
    );
}

#[test]
fn a_service_of_the_same_bike_does_what_is_due() {
    let (mut day, from) = handed_over();
    let service = |frame: &str, due: &str| Act::StartBuild {
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
    };
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
    for act in [
        Act::Defer {
            build: "ferry-service".to_owned(),
            fastener: "clamp".to_owned(),
            by: MARA.to_owned(),
            reason: "the owner sets it".to_owned(),
            waits_for: None,
        },
        Act::Finish {
            build: "ferry-service".to_owned(),
            by: MARA.to_owned(),
            sure: None,
        },
    ] {
        day.must(act);
    }
    assert_eq!(season(&day), (DueStanding::Done, in_build));
}
