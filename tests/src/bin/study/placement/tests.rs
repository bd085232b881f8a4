//! What has to hold for the study itself: whatever it says of the engine, it counts rightly.

use super::picture::{Limits, Point, svg};
use super::*;
use crate::placement::score::Wrong;
use pullmark_schema::api::Act;
use pullmark_schema::placement::Place;
use pullmark_schema::plan::Severity;
use pullmark_sim::mechanic::{Causes, Pull};
use std::collections::BTreeSet;
use std::time::Duration;
use tally::What;

fn arguments(builds: u64) -> Arguments {
    Arguments {
        builds,
        seed: 11,
        error_scale: 1.0,
        shape: Shape::Usual,
        clear: None,
        plan: None,
        perfect_memory: false,
        show: 3,
        trade_off: None,
    }
}

#[test]
fn the_plans_are_those_in_the_folder_and_as_large_as_bikes_are() {
    let plans = plans::read(None).unwrap();
    let names: BTreeSet<String> = plans.iter().map(|plan| plan.name.to_owned()).collect();
    let folder = pullmark_tests::programs::workspace().join("tests/plans");
    let files: BTreeSet<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    assert_eq!(names, files);
    for planned in &plans {
        let file = format!("tests/plans/{}.toml", planned.name);
        let text =
            std::fs::read_to_string(pullmark_tests::programs::workspace().join(file)).unwrap();
        let findings = pullmark_schema::plan::read(&text).findings;
        let severe = findings
            .iter()
            .filter(|finding| finding.severity > Severity::Note);
        assert_eq!(severe.count(), 0, "{}", planned.name);
        let fasteners = planned.plan.fasteners().count();
        if planned.name == plans::LARGEST {
            assert_eq!(fasteners, 200);
        } else {
            assert!(
                (38..=70).contains(&fasteners),
                "{}: {fasteners}",
                planned.name
            );
        }
        let bolts: usize = planned
            .bike
            .stages
            .iter()
            .map(|stage| stage.bolts.len())
            .sum();
        assert_eq!(bolts, fasteners);
    }
    assert!(plans::read(Some("no such bike")).is_err());
}

#[test]
fn every_build_has_its_day_and_a_quarter_share_a_bench() {
    for most in [0, 1, 7, 8, 9, 800] {
        let days: Vec<Range<u64>> = (0..).map_while(|day| builds_of(day, most)).collect();
        let builds: Vec<u64> = days.iter().cloned().flatten().collect();
        assert_eq!(builds, (0..most).collect::<Vec<_>>());
        let shared = days.iter().filter(|day| day.end - day.start == 2).count();
        assert_eq!(shared as u64, most / 8);
    }
}

#[test]
fn what_it_comes_to_does_not_depend_on_the_threads() {
    let (plans, arguments) = (plans::read(None).unwrap(), arguments(24));
    let alone = study_on(&arguments, &plans, 1);
    let together = study_on(&arguments, &plans, 3);
    assert_eq!(alone.total, together.total);
    assert_eq!(alone.by_plan, together.by_plan);
    assert_eq!(alone.by_cause, together.by_cause);
    assert_eq!(alone.held_because, together.held_because);
    assert_eq!(alone.stories, together.stories);
    assert_eq!(alone.total.of(What::Builds), 24);
    let sum = |what| {
        alone
            .by_plan
            .values()
            .map(|counts| counts.of(what))
            .sum::<u64>()
    };
    for what in What::ALL {
        assert_eq!(sum(what), alone.total.of(what), "{}", what.name());
    }
    let other = study_on(
        &Arguments {
            seed: 12,
            ..arguments
        },
        &plans,
        2,
    );
    assert_ne!(alone.total, other.total);
}

#[test]
fn where_nobody_errs_every_bike_leaves_and_is_as_shown() {
    let plans = plans::read(None).unwrap();
    let tally = study(
        &Arguments {
            error_scale: 0.0,
            ..arguments(16)
        },
        &plans,
    );
    let total = &tally.total;
    for what in [
        What::FalseDone,
        What::Misplaced,
        What::NotFinished,
        What::OpenButDone,
        What::OverMissedExpected,
        What::OverMissedElsewhere,
    ] {
        assert_eq!(total.of(what), 0, "{}", what.name());
    }
    assert_eq!(total.of(What::Builds), 16);
}

#[test]
fn people_who_err_more_are_asked_more() {
    let plans = plans::read(None).unwrap();
    let questions = |error_scale| {
        let arguments = Arguments {
            error_scale,
            ..arguments(16)
        };
        study(&arguments, &plans).total.of(What::Questions)
    };
    assert!(questions(4.0) > questions(1.0));
}

#[test]
fn times_have_quantiles() {
    let mut times = clock::Times::default();
    assert_eq!(times.quantile(0.5).to_string(), "0");
    let mut slow = clock::Times::default();
    for tenths in 1..=99 {
        times.one(Duration::from_nanos(tenths * 100));
    }
    slow.one(Duration::from_micros(500));
    times.add(&slow);
    let found = [0.5, 0.99, 1.0].map(|part| times.quantile(part).to_string());
    assert_eq!(found, ["5", "9.9", "500"]);
}

/// A day on the road bike with nothing pulled yet.
fn fresh(plans: &[Planned]) -> Day<'_> {
    let planned = plans
        .iter()
        .find(|plan| plan.name == "harbour-road")
        .unwrap();
    let mut stand = Stand::begun();
    stand.begin("b0", "w0", &planned.plan);
    let on = OnBench {
        id: "b0".to_owned(),
        tool: "w0".to_owned(),
        number: 0,
        plan: &planned.plan,
    };
    let mechanic = Mechanic::new(vec![planned.bike.clone()], &Habits::default(), 1);
    Day::new(stand, mechanic, vec![on], Story::new(true))
}

fn pull(day: &Day<'_>, at: Option<(&str, usize)>, newton_metres: f64) -> Pull {
    let truth = at.map(|(fastener, pass)| pullmark_sim::mechanic::Place {
        pass,
        ..day.place_of(0, fastener).unwrap()
    });
    Pull {
        gap_s: 7.0,
        tool: 0,
        truth,
        newton_metres,
        shown: newton_metres,
        causes: Causes::NONE,
    }
}

#[test]
fn wrong_is_what_changes_the_limits() {
    let plans = plans::read(None).unwrap();
    let day = fresh(&plans);
    let wrong = |truth: Option<(&str, usize)>, placed: (&str, u8)| {
        let place = Place {
            fastener: placed.0.to_owned(),
            pass: placed.1,
        };
        day.how_wrong(&pull(&day, truth, 5.0), &place)
    };
    // the fastener itself, and another one of its stage with the same limits
    assert_eq!(
        wrong(Some(("crank.front", 0)), ("crank.front", 0)),
        Wrong::Not
    );
    assert_eq!(
        wrong(Some(("crank.front", 0)), ("crank.rear", 0)),
        Wrong::Not
    );
    // another pass has other limits, where there is a lower one
    assert_eq!(
        wrong(Some(("crank.front", 0)), ("crank.front", 1)),
        Wrong::Misplaced
    );
    // the same limits in another stage
    assert_eq!(
        wrong(Some(("fork.upper", 0)), ("rear-brake.front", 0)),
        Wrong::Elsewhere
    );
    // other limits, no fastener at all, another bike
    assert_eq!(
        wrong(Some(("seat.clamp", 0)), ("seat.saddle-front", 0)),
        Wrong::Misplaced
    );
    assert_eq!(wrong(None, ("seat.clamp", 0)), Wrong::Test);
    let mut elsewhere = pull(&day, Some(("seat.clamp", 0)), 5.0);
    elsewhere.tool = 1;
    let place = Place {
        fastener: "seat.clamp".to_owned(),
        pass: 0,
    };
    assert_eq!(day.how_wrong(&elsewhere, &place), Wrong::Misplaced);
}

#[test]
fn an_over_reading_is_acknowledged_undone_and_pulled_again() {
    let plans = plans::read(None).unwrap();
    let mut day = fresh(&plans);
    // The first fastener of the plan: 35 to 45 N·m, on a left-hand thread.
    let over = pull(&day, Some(("bb.drive", 0)), 47.0);
    day.reading(over);
    assert_eq!(day.tally.total.of(What::OverMissedExpected), 0);
    assert_eq!(day.tally.total.of(What::FalseAlarms), 0);
    let build = &day.stand.bench.builds["b0"];
    assert_eq!(build.open_alarms().count(), 0);
    assert_eq!(build.alarms.len(), 1);
    assert_eq!(build.fastener("bb.drive").unwrap().dispositions.len(), 1);
    // It is pulled again before anything else.
    let again = day.mechanic.next().unwrap();
    assert_eq!(again.truth, over.truth);
    // An alarm where nothing is over counts as false.
    let strong = pull(&day, None, 55.0);
    day.reading(strong);
    assert_eq!(day.tally.total.of(What::FalseAlarms), 1);
    assert_eq!(day.tally.total.of(What::Readings), 2);
}

#[test]
fn what_is_shown_done_and_is_not_is_found() {
    let plans = plans::read(None).unwrap();
    let mut day = fresh(&plans);
    // Readings that the page shows at a fastener, and no bolt was ever pulled.
    let planned: Vec<(String, u8, f64)> = day.builds[0]
        .plan
        .steps()
        .map(|step| {
            let aim = step.fastener.spec.limits.of_pass(step.percent).aim();
            (step.fastener.id.clone(), step.pass, aim.newton_metres())
        })
        .collect();
    let count = day.builds[0].plan.fasteners().count();
    for (fastener, pass, aim) in planned {
        let reading = day.reading(pull(&day, None, aim)).unwrap();
        let chosen = Act::Place {
            reading,
            fastener: Some(fastener),
            pass: Some(pass),
            by: "Mara Lind".to_owned(),
            reason: None,
        };
        day.stand.act(chosen).unwrap();
    }
    day.hand_over(0);
    assert_eq!(
        day.tally.total.of(What::FalseDone),
        u64::try_from(count).unwrap()
    );
    assert_eq!(day.tally.total.of(What::NotFinished), 0);
    assert!(
        day.story
            .tell("day")
            .iter()
            .any(|story| story.contains("seat.clamp is shown done"))
    );
}

#[test]
fn the_picture_holds_every_point_and_stays_in_its_frame() {
    let point = |clear, questions, silent| Point {
        clear,
        questions: (questions, questions / 2.0, questions * 2.0),
        silent: (silent, 0.0, 0.001),
    };
    let points = [
        point(0.8, 0.005, 0.002),
        point(0.95, 0.02, 0.0),
        point(0.999, 0.4, 0.00003),
    ];
    let limits = Limits {
        silent: 0.0001,
        questions: 0.02,
    };
    let picture = svg(&points, &limits, "few & <far> between");
    assert_eq!(picture.matches("<circle").count(), 3);
    assert_eq!(picture.matches("class=\"limit\"").count(), 2);
    for label in [
        ">0.8<",
        ">0.95<",
        ">0.999<",
        ">10 %<",
        ">1 in 10\u{202f}000<",
        "few &amp; &lt;far>",
    ] {
        assert!(picture.contains(label), "{label}");
    }
    for number in picture.split(&['"', ' ', 'M', 'H', 'V', 'L'][..]) {
        let Ok(number) = number.parse::<f64>() else {
            continue;
        };
        assert!((-90.0..=760.0).contains(&number), "{number}");
    }
    assert!(!picture.contains("NaN") && !picture.contains("inf"));
    // nothing at all to show is no reason to fall over
    assert!(svg(&[], &limits, "").contains("</svg>"));
}
