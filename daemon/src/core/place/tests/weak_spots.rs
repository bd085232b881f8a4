//! Where the model is weak, and what catches it.

use crate::testing::{BUILD, Day, MARA, shows, torque, whereto};
use pullmark_schema::api::Act;
use pullmark_schema::build::Standing;
use pullmark_schema::placement::{Placement, PullKind};
use pullmark_schema::verdict::Answer;
use std::fmt::Write as _;

fn answer(reading: u64, fastener: Option<String>) -> Act {
    Act::Place {
        reading,
        fastener,
        pass: None,
        by: MARA.to_owned(),
        reason: None,
    }
}

fn point_at(fastener: &str) -> Act {
    Act::PointAt {
        build: BUILD.to_owned(),
        fastener: fastener.to_owned(),
        by: MARA.to_owned(),
    }
}

/// A stage: its name, more about it, and its fasteners with their torque.
type Stage<'a> = (&'a str, &'a str, &'a [(&'a str, &'a str)]);

fn plan(stages: &[Stage<'_>]) -> String {
    let mut text = "title = \"t\"\nedition = \"1\"\n".to_owned();
    for (stage, more, fasteners) in stages {
        writeln!(text, "[[stage]]\nid = {stage:?}\ntitle = {stage:?}\n{more}").unwrap();
        for (id, target) in *fasteners {
            writeln!(text, "[[stage.fastener]]\nid = {id:?}\ntitle = {id:?}").unwrap();
            writeln!(text, "prep = [\"dry\"]\nspec = {{ target = {target:?} }}").unwrap();
        }
    }
    text
}

const SCREWS: [(&str, &str); 3] = [("r1", "3 N·m"), ("r2", "3 N·m"), ("r3", "3 N·m")];
const GUIDE: [(&str, &str); 2] = [("g1", "5 N·m"), ("g2", "5 N·m")];
const AXLE: [(&str, &str); 1] = [("a1", "9 N·m")];

/// So many equal bolts, then one of another torque.
fn equal(count: usize) -> String {
    let ids: Vec<String> = (1..=count).map(|number| format!("b{number}")).collect();
    let bolts: Vec<(&str, &str)> = ids.iter().map(|id| (id.as_str(), "2 N·m")).collect();
    plan(&[("s", "", &bolts), ("e", "", &[("end", "8 N·m")])])
}

fn doubted(day: &Day) -> Vec<String> {
    let doubts = day.bench.doubts(BUILD).into_iter();
    doubts.map(|doubt| doubt.fastener).collect()
}

fn open(day: &Day) -> Vec<String> {
    let steps = day.build().open_steps();
    steps.map(|step| step.fastener.id.clone()).collect()
}

/// Pulls, and says of a held reading what it most probably was.
fn pull_and_answer(day: &mut Day, gap_ms: u64, small: i64) {
    let (sequence, pulled) = day.comes(gap_ms, shows(small));
    if let Placement::Held { candidates, .. } = &pulled.placement {
        let fastener = candidates[0].place.clone().map(|place| place.fastener);
        day.must(answer(sequence, fastener));
    }
}

#[test]
fn neighbours_with_the_same_torque_are_told_apart_by_time() {
    let mut day = Day::with(&equal(4));
    let came: Vec<String> = [
        (7_000, 2_000),
        (800, 2_010),
        (6_500, 1_990),
        (900, 2_000),
        (8_000, 2_000),
    ]
    .map(|(gap, small)| whereto(&day.comes(gap, shows(small)).1.placement))
    .to_vec();
    assert_eq!(came, ["b1/0", "b1/0", "b2/0", "b2/0", "b3/0"]);
}

#[test]
fn between_a_repeat_click_and_the_next_one_it_asks_where_neither_is_clear() {
    let mut day = Day::with(&plan(&[("s", "", &[("b1", "5 N·m"), ("b2", "5.4 N·m")])]));
    day.pull(5_000);
    // 1.75 s is as long for a repeat click as it is short for the next bolt, and 5.2 N·m is right for both
    let (_, pulled) = day.comes(1_750, shows(5_200));
    assert_eq!(whereto(&pulled.placement), "held: Unclear");
}

#[test]
fn twenty_equal_bolts_end_up_all_done_though_a_click_was_taken_for_the_next_one() {
    let mut day = Day::with(&equal(20));
    for number in 0..20 {
        pull_and_answer(&mut day, 7_000, 2_000);
        if number == 7 {
            // a late second click
            pull_and_answer(&mut day, 2_100, 2_000);
        }
    }
    pull_and_answer(&mut day, 8_000, 8_000);
    assert_eq!(open(&day), Vec::<String>::new());
    assert_eq!(
        doubted(&day),
        Vec::<String>::new(),
        "what follows shows how many there were"
    );
}

#[test]
fn one_of_several_equal_ones_that_was_left_out_is_found_before_the_bike_leaves() {
    let together: Vec<(&str, &str)> = SCREWS.into_iter().chain(GUIDE).collect();
    for plan in [
        plan(&[
            ("ring", "", &SCREWS),
            ("guide", "", &GUIDE),
            ("axle", "", &AXLE),
        ]),
        plan(&[("ring", "", &together), ("axle", "", &AXLE)]),
    ] {
        let mut day = Day::with(&plan);
        // r1, then r3: the program cannot tell, and takes it for r2
        for small in [3_000, 3_000, 5_000, 5_000, 9_000] {
            pull_and_answer(&mut day, 7_000, small);
        }
        assert_eq!(open(&day), ["r3"]);
        assert_eq!(
            doubted(&day),
            ["r1", "r2"],
            "which of the three does not show"
        );
        for id in ["r3", "r1", "r2"] {
            let doubts = doubted(&day);
            assert!(
                id == "r3" || doubts.contains(&id.to_owned()),
                "{id}: {doubts:?}"
            );
            day.must(point_at(id));
            let (_, pulled) = day.pull(3_000);
            assert_eq!(whereto(&pulled.placement), format!("{id}/0"));
            // a repeat click says nothing about the others
            assert_eq!(
                whereto(&day.comes(800, shows(3_010)).1.placement),
                format!("{id}/0")
            );
        }
        assert_eq!(doubted(&day), Vec::<String>::new());
    }
}

#[test]
fn a_bike_leaves_with_a_doubt_only_if_a_person_says_why_they_are_sure() {
    let mut day = Day::with(&equal(4));
    for small in [2_000, 2_000, 2_000, 8_000] {
        pull_and_answer(&mut day, 7_000, small);
    }
    let alarm = day.build().open_alarms().next().unwrap().sequence;
    day.must(Act::Acknowledge {
        alarm,
        by: MARA.to_owned(),
    });
    day.must(point_at("b4"));
    day.pull(2_000);
    let finish = |sure: Option<&str>| Act::Finish {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        sure: sure.map(str::to_owned),
    };
    let refused = day.act(finish(None)).unwrap_err();
    assert_eq!(refused.code(), "build/may-be-missed");
    assert!(refused.to_string().contains("b1, b2, b3"), "{refused}");
    assert_eq!(
        day.act(finish(Some(" "))).unwrap_err().code(),
        "build/may-be-missed"
    );
    day.must(finish(Some("counted them with Ida")));
    let finished = day.build().finished.as_ref().unwrap();
    assert_eq!(finished.reason.as_deref(), Some("counted them with Ida"));
}

#[test]
fn an_under_that_was_left_is_found_before_the_bike_leaves() {
    let mut day = Day::with(&equal(8));
    // b3 slips and is left so; the pull at b4 looks like its repair
    let pulls = [
        (7_000, 2_000),
        (7_000, 1_980),
        (3_600, 700),
        (9_200, 1_930),
        (7_000, 2_010),
        (7_000, 2_020),
        (7_000, 1_990),
        (7_000, 2_000),
        (9_000, 8_000),
    ];
    for (gap, small) in pulls {
        let (sequence, pulled) = day.comes(gap, shows(small));
        if small == 700 && pulled.placement.is_held() {
            day.must(answer(sequence, Some("b3".to_owned())));
        }
    }
    assert!(
        doubted(&day).contains(&"b3".to_owned()),
        "{:?}",
        doubted(&day)
    );
}

#[test]
fn a_pattern_that_is_given_up_half_way_is_followed() {
    let four = [
        ("c1", "6 N·m"),
        ("c2", "6 N·m"),
        ("c3", "6 N·m"),
        ("c4", "6 N·m"),
    ];
    let text = plan(&[
        ("clamp", "pattern = \"cross\"\npasses = [0.6, 1.0]", &four),
        ("axle", "", &AXLE),
    ]);
    let mut day = Day::with(&text);
    // two of the first pass, then straight to the whole torque on all four
    for small in [3_600, 3_600] {
        day.pull(small);
    }
    for id in ["c1", "c3"] {
        assert_eq!(whereto(&day.pull(6_000).1.placement), format!("{id}/1"));
    }
    let (sequence, pulled) = day.pull(6_000);
    assert_eq!(
        whereto(&pulled.placement),
        "held: PassSkipped",
        "it asks once"
    );
    day.must(Act::Place {
        reading: sequence,
        fastener: Some("c2".to_owned()),
        pass: Some(1),
        by: MARA.to_owned(),
        reason: None,
    });
    assert_eq!(
        whereto(&day.pull(6_000).1.placement),
        "c4/1",
        "then it follows"
    );
    assert_eq!(open(&day), ["a1"]);
}

#[test]
fn a_build_that_is_taken_up_the_next_day_goes_on_where_it_was() {
    let mut day = Day::with(&plan(&[("ring", "", &SCREWS), ("axle", "", &AXLE)]));
    day.pull(3_000);
    day.pull(3_000);
    let night = 16 * 3_600_000;
    let (_, pulled) = day.comes(night, shows(3_020));
    assert_eq!(whereto(&pulled.placement), "r3/0");
    assert_eq!(whereto(&day.comes(night, shows(9_000)).1.placement), "a1/0");
}

#[test]
fn a_slip_is_cleared_up_by_its_repair() {
    let mut day = Day::with(&plan(&[("guide", "", &GUIDE), ("ring", "", &SCREWS)]));
    day.pull(5_000);
    let (slip, pulled) = day.pull(2_800);
    assert!(
        pulled.placement.is_held(),
        "a slip, or a screw of the next stage? {:?}",
        pulled.placement
    );
    let (_, repair) = day.comes(1_800, shows(5_010));
    assert_eq!(whereto(&repair.placement), "g2/0");
    let cleared = &day.build().readings[&slip];
    assert_eq!(whereto(&cleared.placement), "g2/0");
    assert_eq!(cleared.earlier.len(), 1, "both placements stay");
    assert_eq!(cleared.verdict.as_ref().unwrap().answer, Answer::Under);
}

#[test]
fn a_slip_or_a_test_pull_makes_nothing_so_it_is_not_asked_about() {
    let mut day = Day::with(&plan(&[("guide", "", &GUIDE), ("ring", "", &SCREWS)]));
    day.pull(5_000);
    let (slip, pulled) = day.pull(2_000);
    assert_eq!(whereto(&pulled.placement), "g2/0");
    let Placement::ByOrder { others, .. } = &pulled.placement else {
        panic!("{:?}", pulled.placement);
    };
    assert!(others.iter().any(|other| other.kind == PullKind::Test));
    let verdict = day.build().readings[&slip].verdict.clone().unwrap();
    assert_eq!(verdict.answer, Answer::Under);
    assert_eq!(day.build().standing("g2"), Standing::Under);
}

#[test]
fn a_pull_too_weak_for_what_comes_next_may_have_been_too_much_for_the_last_one() {
    let mut day = Day::with(&plan(&[("guide", "", &GUIDE), ("axle", "", &AXLE)]));
    day.pull(5_000);
    day.pull(5_000);
    // a slip at the axle, or a second look at the guide with far too much
    let (_, pulled) = day.pull(6_500);
    assert_eq!(pulled.alarm.unwrap().place.fastener, "g2");
}

#[test]
fn an_over_is_never_cleared_up_by_what_comes_after_it() {
    let mut day = Day::with(&plan(&[("guide", "", &GUIDE), ("axle", "", &AXLE)]));
    day.pull(5_000);
    let (over, pulled) = day.pull(8_000);
    assert!(pulled.alarm.is_some());
    let before = day.build().readings[&over].placement.clone();
    for (gap, small) in [(1_800, 5_000), (7_000, 9_000), (7_000, 9_000)] {
        day.comes(gap, shows(small));
    }
    assert_eq!(day.build().readings[&over].placement, before);
    assert!(day.build().open_alarms().any(|alarm| alarm.reading == over));
}

#[test]
fn an_answer_clears_up_what_depended_on_it() {
    let mut day = Day::with(&plan(&[("guide", "", &GUIDE), ("ring", "", &SCREWS)]));
    day.pull(5_000);
    let (slip, _) = day.pull(700);
    let (after, pulled) = day.comes(7_000, shows(5_010));
    if pulled.placement.is_held() {
        day.must(answer(slip, Some("g2".to_owned())));
        assert_eq!(whereto(&day.build().readings[&after].placement), "g2/0");
    }
    assert!(day.build().held().all(|held| held.sequence == slip));
}

#[test]
fn numbers_that_fit_only_in_another_unit_raise_a_question_and_are_never_converted() {
    let mut day = Day::with(&plan(&[
        ("guide", "", &GUIDE),
        ("ring", "", &SCREWS),
        ("axle", "", &AXLE),
    ]));
    // 5 N·m is 44.25 lbf·in
    let (_, first) = day.pull(44_250);
    assert!(first.alarm.is_some(), "an over alarm waits for nothing");
    let (_, second) = day.pull(44_100);
    assert_eq!(whereto(&second.placement), "held: OtherUnit");
    assert_eq!(second.reading.applied, Some(torque(44_100)));
    assert!(second.alarm.is_some());
}

#[test]
fn a_few_odd_values_are_no_other_unit() {
    let mut day = Day::with(&plan(&[
        ("guide", "", &GUIDE),
        ("ring", "", &SCREWS),
        ("axle", "", &AXLE),
    ]));
    for small in [2_900, 5_000, 3_700, 5_010, 3_000] {
        let (_, pulled) = day.pull(small);
        assert_ne!(whereto(&pulled.placement), "held: OtherUnit", "{small}");
    }
}

#[test]
fn a_pull_for_the_other_bike_is_never_placed_by_itself() {
    let mut day = Day::with(&plan(&[("guide", "", &GUIDE)]));
    day.pull(5_000);
    day.must(crate::testing::start_build(
        "other",
        &plan(&[("axle", "", &AXLE)]),
    ));
    day.must(Act::AssignTool {
        by: None,
        tool: crate::testing::WRENCH.to_owned(),
        build: BUILD.to_owned(),
    });
    let (_, pulled) = day.pull(9_000);
    let Placement::Held { candidates, .. } = &pulled.placement else {
        panic!("{:?}", pulled.placement)
    };
    assert!(
        candidates
            .iter()
            .any(|candidate| candidate.kind == PullKind::OtherBuild),
        "{candidates:?}"
    );
    assert_eq!(pulled.alarm.unwrap().place.fastener, "g2");
}

#[test]
fn a_second_click_faster_than_hands_move_is_no_alarm_for_the_weaker_one_that_comes_next() {
    let mut day = Day::with(&plan(&[("axle", "", &AXLE), ("guide", "", &GUIDE)]));
    day.pull(9_000);
    let (_, again) = day.comes(800, shows(9_050));
    assert_eq!(
        (again.alarm, whereto(&again.placement)),
        (None, "a1/0".to_owned())
    );
    // too strong for the axle as well
    assert!(day.comes(800, shows(10_500)).1.alarm.is_some());
    let mut day = Day::with(&plan(&[("axle", "", &AXLE), ("guide", "", &GUIDE)]));
    day.pull(9_000);
    assert!(
        day.comes(1_600, shows(9_050)).1.alarm.is_some(),
        "hands can have moved"
    );
}

#[test]
fn a_pull_of_which_the_fastener_is_not_known_lets_no_over_reading_pass_after_it() {
    let text = plan(&[("axle", "", &AXLE), ("guide", "", &GUIDE)]);
    for is_answered in [false, true] {
        let mut day = Day::with(&text);
        day.pull(9_000);
        // against the thread
        let (between, pulled) = day.pull(-2_100);
        assert!(pulled.placement.is_held(), "{:?}", pulled.placement);
        if is_answered {
            day.must(answer(between, None));
        }
        // 9 N·m is right for the axle, but the wrench was elsewhere in between
        let (_, after) = day.comes(800, shows(9_050));
        assert_eq!(after.alarm.unwrap().place.fastener, "g1", "{is_answered}");
    }
}
