//! Where readings go, and that no number of the model can put one where it must not be.

mod weak_spots;

use super::Situation;
use crate::testing::{
    Aim, BUILD, Day, MARA, Move, PLAN, WRENCH, aims, gaps, moves, past_its_range, plans, reading,
    shows, torque, whereto,
};
use proptest::prelude::*;
use pullmark_schema::api::Act;
use pullmark_schema::placement::{HeldBecause, Placement, PullKind};
use pullmark_schema::verdict::Answer;

fn defer(fastener: &str) -> Act {
    let (build, fastener) = (BUILD.to_owned(), fastener.to_owned());
    Act::Defer {
        build,
        fastener,
        by: MARA.to_owned(),
        reason: "the part is on its way".to_owned(),
        waits_for: None,
    }
}

fn loosen(fastener: &str) -> Act {
    let (build, fasteners) = (BUILD.to_owned(), vec![fastener.to_owned()]);
    Act::Loosen {
        build,
        fasteners,
        by: MARA.to_owned(),
        reason: "cable was caught".to_owned(),
        stage: None,
        all: false,
    }
}

/// A day in which seat and stem are done: the left crank arm, 40 N·m, comes next.
fn at_the_crank() -> Day {
    let mut day = Day::with(PLAN);
    while day
        .build()
        .next()
        .is_some_and(|step| step.stage.id != "crank")
    {
        let step = day.build().next().unwrap();
        let aim = step
            .fastener
            .spec
            .limits
            .of_pass(step.percent)
            .aim()
            .small_units();
        day.pull(aim);
    }
    day
}

#[test]
fn the_next_of_the_plan_is_placed_in_its_order() {
    let mut day = Day::with(PLAN);
    let order: Vec<String> = [
        5_000, 3_600, 3_600, 3_600, 3_600, 6_000, 6_050, 5_950, 6_000, 40_000, 35_000, 2_700,
    ]
    .map(|small| whereto(&day.pull(small).1.placement))
    .to_vec();
    let cross = ["stem.1", "stem.3", "stem.2", "stem.4"];
    let mut expected = vec!["seat.clamp/0".to_owned()];
    expected.extend((0..2).flat_map(|pass| cross.map(|id| format!("{id}/{pass}"))));
    expected.extend(["crank.left/0", "pedal.left/0", "bottle.1/0"].map(str::to_owned));
    assert_eq!(order, expected);
    assert!(day.build().next().is_none());
}

#[test]
fn a_repeat_click_counts_for_the_same_fastener() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    let (_, again) = day.comes(700, shows(5_100));
    assert_eq!(whereto(&again.placement), "seat.clamp/0");
    assert!(matches!(
        again.placement,
        Placement::ByOrder {
            kind: PullKind::Repeat,
            ..
        }
    ));
    assert_eq!(
        day.build().next().unwrap().fastener.id,
        "stem.1",
        "a repeat click never uses up the next one"
    );
}

#[test]
fn out_of_order_with_a_clearly_different_spec_is_the_best_guess() {
    // 40 N·m comes next; 35 N·m is the pedal's
    let mut day = at_the_crank();
    let (_, pulled) = day.pull(35_000);
    match &pulled.placement {
        Placement::ByOrder {
            place,
            kind: PullKind::OutOfOrder,
            ..
        } => assert_eq!(place.fastener, "pedal.left"),
        Placement::Held {
            because: HeldBecause::Unclear,
            candidates,
        } => {
            assert_eq!(candidates[0].place.as_ref().unwrap().fastener, "pedal.left");
            assert_eq!(candidates[0].kind, PullKind::OutOfOrder);
        }
        other => panic!("{other:?}"),
    }
    assert_eq!(pulled.expected.unwrap().fastener, "crank.left");
}

#[test]
fn what_fits_several_equally_is_held() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    // 6 N·m is the whole torque of all four stem bolts, and 60 % is what comes next
    let (_, pulled) = day.comes(60_000, shows(18_000));
    assert_eq!(whereto(&pulled.placement), "held: Unclear");
    let Placement::Held { candidates, .. } = &pulled.placement else {
        unreachable!()
    };
    assert!(
        (2..=5).contains(&candidates.len()),
        "the likeliest few are kept"
    );
    assert!(candidates.is_sorted_by(|a, b| a.probability_millionths >= b.probability_millionths));
}

#[test]
fn undoing_a_right_hand_thread_is_held() {
    let mut day = Day::with(PLAN);
    assert_eq!(
        whereto(&day.pull(-5_000).1.placement),
        "held: Unclear",
        "no bolt of the plan fits"
    );
    let mut day = at_the_crank();
    day.must(defer("crank.left"));
    assert_eq!(
        whereto(&day.pull(-35_000).1.placement),
        "pedal.left/0",
        "a left-hand thread turns the other way"
    );
}

#[test]
fn a_small_turn_against_the_thread_is_held() {
    // within the model's spread of a very small target, and still the wrong way
    let plan = "title = \"t\"\nedition = \"1\"\n[[stage]]\nid = \"s\"\ntitle = \"s\"\n[[stage.fastener]]\nid = \"s.1\"\n\
                title = \"Tiny\"\nspec = { target = \"0.05 N·m\" }\nprep = [\"dry\"]\n";
    let mut day = Day::with(plan);
    assert_eq!(whereto(&day.pull(-20).1.placement), "held: WrongWay");
}

/// Two clamp bolts with a range and no target, as most marks on a part state it.
fn ranged(lower: &str, upper: &str, part: &str, more: &str) -> String {
    let bolt = |id: &str| {
        format!(
            "[[stage.fastener]]\nid = \"{id}\"\ntitle = \"{id}\"\nprep = [\"dry\"]\n{more}\
             spec = {{ lower = \"{lower} N·m\", upper = \"{upper} N·m\" }}\n"
        )
    };
    let head = format!(
        "title = \"t\"\nedition = \"1\"\n[[stage]]\nid = \"s\"\ntitle = \"s\"\npasses = [{part}, 1.0]\n"
    );
    head + &bolt("c.1") + &bolt("c.2")
}

#[test]
fn an_early_pass_of_a_range_is_made_by_a_pull_at_its_aim() {
    for (lower, upper, part, aim) in [
        ("4", "8", "0.5", 3_000),
        // within the limits of the whole, and still what this pass asks for
        ("4", "8", "0.8", 4_800),
        ("4", "6", "0.6", 3_000),
        ("4", "5.5", "0.8", 3_800),
    ] {
        let mut day = Day::with(&ranged(lower, upper, part, ""));
        let next = crate::core::view::build_view(&day.bench, day.build()).next;
        assert_eq!(next.unwrap().aim_millinewton_metre, aim);
        let places = [(); 2].map(|()| whereto(&day.pull(aim).1.placement));
        assert_eq!(places, ["c.1/0", "c.2/0"], "{part} of {lower} to {upper}");
    }
}

#[test]
fn the_whole_torque_and_an_over_one_in_an_early_pass_of_a_range_are_no_early_pass() {
    let mut day = Day::with(&ranged("4", "8", "0.5", ""));
    let (_, pulled) = day.pull(6_000);
    assert_eq!(whereto(&pulled.placement), "held: PassSkipped");
    let left = "thread = { size = \"M6\", hand = \"left\" }\n";
    let mut day = Day::with(&ranged("4", "8", "0.5", left));
    let (_, pulled) = day.pull(-6_000);
    assert_eq!(whereto(&pulled.placement), "held: PassSkipped");
    let mut day = Day::with(&ranged("4", "8", "0.5", ""));
    let (_, pulled) = day.pull(8_100);
    // Wherever it belongs, nobody has to wait for the alarm.
    let answer = pulled.verdict.map(|verdict| verdict.answer);
    assert!(matches!(answer, None | Some(Answer::Over)), "{answer:?}");
    assert_eq!(day.build().open_alarms().count(), 1);
}

#[test]
fn the_whole_torque_in_an_early_pass_is_held() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    let (_, pulled) = day.pull(6_000);
    assert_eq!(whereto(&pulled.placement), "held: PassSkipped");
    let Placement::Held { candidates, .. } = &pulled.placement else {
        unreachable!()
    };
    assert_eq!(candidates[0].place.as_ref().unwrap().fastener, "stem.1");
}

#[test]
fn with_nothing_planned_what_is_clear_is_placed_once_more() {
    let mut day = Day::with(PLAN);
    day.pull_all();
    assert_eq!(
        whereto(&day.comes(700, shows(2_700)).1.placement),
        "bottle.1/0",
        "a repeat click on the last bolt"
    );
    let mut day = Day::with(PLAN);
    day.pull_all();
    let other = day.comes(3_600_000, shows(5_000)).1;
    let Placement::Held { candidates, .. } = &other.placement else {
        panic!("a look at the clamp, or a test pull? {other:?}")
    };
    assert_eq!(candidates[0].place.as_ref().unwrap().fastener, "seat.clamp");
    assert_eq!(candidates[0].kind, PullKind::Again);
    let mut day = Day::with(PLAN);
    day.pull_all();
    assert!(
        day.comes(3_600_000, shows(6_000)).1.placement.is_held(),
        "one of the four stem bolts, and which?"
    );
    // deferring everything leaves nothing to be next, nor to be repeated
    let mut day = Day::with(PLAN);
    let ids: Vec<String> = day
        .build()
        .plan
        .fasteners()
        .map(|(_, fastener)| fastener.id.clone())
        .collect();
    for id in &ids {
        day.must(defer(id));
    }
    assert_eq!(
        whereto(&day.pull(5_000).1.placement),
        "held: NothingPlanned"
    );
}

#[test]
fn what_comes_after_a_held_reading_waits_as_well() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    let (held, _) = day.pull(6_000);
    let (_, pulled) = day.pull(3_600);
    assert_eq!(whereto(&pulled.placement), "held: EarlierHeld");
    day.must(Act::Place {
        reading: held,
        fastener: None,
        pass: None,
        by: MARA.to_owned(),
        reason: None,
    });
    assert_eq!(
        whereto(&day.pull(3_600).1.placement),
        "stem.3/0",
        "the answer made the second one clear, and the work goes on"
    );
}

#[test]
fn a_deferred_fastener_is_no_candidate_even_as_a_repeat() {
    let mut day = Day::with(PLAN);
    day.pull(3_000);
    day.must(defer("seat.clamp"));
    let (_, pulled) = day.comes(900, shows(5_000));
    assert_ne!(whereto(&pulled.placement), "seat.clamp/0");
    assert!(
        names(&pulled.placement).iter().all(|id| id != "seat.clamp"),
        "{:?}",
        pulled.placement
    );
}

#[test]
fn a_pull_on_another_bike_is_nothing_to_repeat() {
    let mut day = Day::with(PLAN);
    day.pull(5_000);
    day.must(crate::testing::start_build("other", PLAN));
    day.must(Act::PointAt {
        build: "other".to_owned(),
        fastener: "crank.left".to_owned(),
        by: MARA.to_owned(),
    });
    let (_, pulled) = day.comes(900, shows(5_000));
    assert_eq!(pulled.build.as_deref(), Some("other"));
    let kinds: Vec<PullKind> = match &pulled.placement {
        Placement::ByOrder { kind, others, .. } => [*kind]
            .into_iter()
            .chain(others.iter().map(|c| c.kind))
            .collect(),
        Placement::Held { candidates, .. } => candidates.iter().map(|c| c.kind).collect(),
        other => panic!("{other:?}"),
    };
    assert!(!kinds.contains(&PullKind::Repeat), "{kinds:?}");
}

#[test]
fn past_the_range_is_placed_only_where_it_is_clear() {
    let mut day = Day::with(PLAN);
    let (_, pulled) = day.comes(7_000, past_its_range());
    assert!(pulled.alarm.is_some());
    assert!(pulled.expected.is_some());
}

#[test]
fn loosened_is_open_again() {
    let mut day = Day::with(PLAN);
    day.pull_all();
    day.must(loosen("crank.left"));
    assert_eq!(whereto(&day.pull(40_000).1.placement), "crank.left/0");
    assert!(day.build().next().is_none());
}

#[test]
fn a_practice_of_any_length_is_no_trouble_for_the_clock() {
    let day = Day::with(PLAN);
    let place_at = |seconds: f64| {
        let last = pullmark_schema::placement::Place {
            fastener: "seat.clamp".to_owned(),
            pass: 0,
        };
        let situation = Situation {
            build: day.build(),
            tool: WRENCH,
            gap: Some(seconds),
            last: Some(&last),
            at: Some(&last),
            torque: Some(torque(5_000)),
            deviation: 0.01,
            elsewhere: None,
        };
        day.bench.place(&situation).placement
    };
    for seconds in [
        0.0,
        1e-9,
        1.0,
        3_600.0,
        1e9,
        1.8e16,
        f64::MAX,
        f64::INFINITY,
    ] {
        let placement = place_at(seconds);
        assert!(
            matches!(
                placement,
                Placement::ByOrder { .. } | Placement::Held { .. }
            ),
            "{seconds} s: {placement:?}"
        );
    }
}

/// Every fastener that a placement by the program names.
fn names(placement: &Placement) -> Vec<String> {
    let (own, others) = match placement {
        Placement::ByOrder { place, others, .. } => (Some(place), others.as_slice()),
        Placement::Held { candidates, .. } => (None, candidates.as_slice()),
        _ => (None, [].as_slice()),
    };
    own.into_iter()
        .chain(others.iter().filter_map(|c| c.place.as_ref()))
        .map(|place| place.fastener.clone())
        .collect()
}

fn situations() -> impl Strategy<Value = (String, Vec<Move>, u64, Aim)> {
    (plans(), moves(25), gaps(), aims())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(192) })]

    #[test]
    fn placing_is_sound_after_any_history((plan, history, gap, aim) in situations()) {
        let mut day = Day::with(&plan);
        for step in &history {
            day.make(step);
        }
        let small = match aim {
            Aim::Value(small) => Some(small),
            Aim::PastRange => None,
            Aim::Next(percent) | Aim::Other(_, percent) => day.build().next().map(|step| {
                step.fastener.spec.limits.aim().small_units() * i64::from(percent) / 100
            }),
        };
        #[expect(clippy::cast_precision_loss, reason = "a time")]
        let gap = gap as f64 / 1000.0;
        let mut reading = reading(shows(small.unwrap_or_default()));
        reading.applied = small.map(torque);
        let known = day.bench.situation(day.build(), &reading, day.now());
        let situation = Situation { gap: Some(gap), ..known };

        let placing = day.bench.place(&situation);
        prop_assert_eq!(&placing, &day.bench.place(&situation), "the same again");
        let placement = placing.placement;
        let listed = match &placement {
            Placement::ByOrder { probability_millionths, others, .. } =>
                std::iter::once(*probability_millionths).chain(others.iter().map(|c| c.probability_millionths)).collect(),
            Placement::Held { candidates, .. } => candidates.iter().map(|c| c.probability_millionths).collect(),
            _ => Vec::new(),
        };
        let sum: u64 = listed.iter().copied().map(u64::from).sum();
        prop_assert!(sum <= 1_000_000 + listed.len() as u64, "{} candidates sum to {sum}", listed.len());
        prop_assert!(listed.is_sorted_by(|a, b| a >= b));
        for id in names(&placement) {
            let state = day.build().fastener(&id).unwrap();
            prop_assert!(state.deferred.is_none(), "{} is deferred: {:?}", id, placement);
        }
        if let Placement::ByOrder { place, probability_millionths, .. } = &placement {
            prop_assert!(day.build().step(place).is_some());
            // less than that only between pulls to the same spec
            prop_assert!(*probability_millionths >= 600_000);
        }
    }
}
