//! What too much has done to a part stays done, whatever is said or planned of it later.

use super::*;

fn change(plan: &str) -> Act {
    Act::ChangePlan {
        build: BUILD.to_owned(),
        plan: plan.to_owned(),
        by: MARA.to_owned(),
        reason: "another tyre".to_owned(),
    }
}

/// A day with too much at the front tyre, acknowledged, and nothing decided.
fn too_much_at_the_front() -> (Day, u64) {
    let mut day = day();
    let (over, _) = day.shows("g1", "7.5 bar", &[]);
    day.put(over, Some("front")).unwrap();
    day.must(Act::Acknowledge {
        alarm: over,
        by: MARA.to_owned(),
    });
    (day, over)
}

/// The plan with another line for the front tyre.
fn with_front(line: &str) -> String {
    PLAN.lines()
        .map(|old| if old.contains("\"front\"") { line } else { old })
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn a_check_that_is_computed_from_now_on_keeps_what_its_part_has_had() {
    let (mut day, _) = too_much_at_the_front();
    let computed = with_front(
        r#"{ id = "front", title = "Front tyre", formula = "max(spokes)", spec = { upper = "1500 N" } },"#,
    );
    day.must(change(&computed));
    assert_eq!(day.standing("front"), CheckStanding::Over);
    assert!(day.build().check_needs_decision("front"));
}

#[test]
fn a_check_of_another_quantity_from_now_on_is_not_dropped_before_somebody_has_decided() {
    let (mut day, _) = too_much_at_the_front();
    let other = with_front(
        r#"{ id = "front", title = "Front tyre", spec = { lower = "20 mm", upper = "30 mm" } },"#,
    );
    day.must(change(&other));
    assert!(day.build().check_needs_decision("front"));
    assert!(matches!(
        day.act(change(&with_front(""))),
        Err(Refusal::DropsUndecided(_))
    ));
    day.decide("front", Decision::PartReplaced).unwrap();
    day.must(change(&with_front("")));
}

#[test]
fn where_nothing_is_expected_too_much_sounds_all_the_same() {
    let mut day = day();
    day.shows("g1", "85 psi", &[]);
    day.shows("g1", "93 psi", &[]);
    assert_eq!(day.standing("front"), CheckStanding::Within);
    assert_eq!(day.standing("rear"), CheckStanding::Within);
    // 250 psi is beyond all that can be at either.
    let (_, measured) = day.shows("g1", "250 psi", &[]);
    assert!(measured.placement.is_held(), "{}", whereto(&measured));
    assert!(measured.alarm.is_some());
}

#[test]
fn an_alarm_at_one_check_is_none_at_another() {
    let mut day = day();
    day.shows("g1", "85 psi", &[]);
    let (held, measured) = day.shows("g1", "93.0 bar", &[]);
    assert_eq!(measured.alarm.unwrap().place.check, "rear");
    let placed = day.put(held, Some("front")).unwrap();
    assert_eq!(placed.alarm.unwrap().place.check, "front");
    let placed = day.put(held, Some("front")).unwrap();
    assert!(placed.alarm.is_none(), "it sounded there before");
}

#[test]
fn a_decision_is_not_taken_back_when_it_alone_says_what_was_over() {
    let (mut day, over) = too_much_at_the_front();
    day.must(change(
        &PLAN.replace("upper = \"90 psi\"", "upper = \"120 psi\""),
    ));
    let decided = day.must(Act::Dispose {
        build: BUILD.to_owned(),
        fastener: "front".to_owned(),
        decision: Decision::InspectedAndKept,
        by: MARA.to_owned(),
        reason: "no damage found".to_owned(),
    });
    let decision = decided[0].sequence;
    day.put(over, Some("rear")).unwrap();
    let back = day.act(Act::Withdraw {
        build: BUILD.to_owned(),
        entry: decision,
        by: MARA.to_owned(),
        reason: "by mistake".to_owned(),
    });
    assert!(matches!(back, Err(Refusal::PlacedSince { .. })), "{back:?}");
}

#[test]
fn an_edition_that_allows_less_judges_what_was_let_out_again_too() {
    let mut day = day();
    let (higher, _) = day.shows("g1", "89 psi", &[]);
    let (lower, _) = day.shows("g1", "81 psi", &[]);
    if day.build().checks.readings[&lower]
        .placement
        .place()
        .map(|place| &*place.check)
        != Some("front")
    {
        day.put(lower, Some("front")).unwrap();
    }
    assert_eq!(day.standing("front"), CheckStanding::Within);
    let entries = day.must(change(
        &PLAN
            .replace(
                "target = \"85 psi\", lower = \"80 psi\"",
                "lower = \"78 psi\"",
            )
            .replace("upper = \"90 psi\"", "upper = \"86 psi\""),
    ));
    let Event::PlanChanged(changed) = &entries[0].event else {
        panic!()
    };
    let judged: Vec<(u64, bool)> = changed
        .judged_checks
        .iter()
        .map(|judged| (judged.reading, judged.alarm.is_some()))
        .collect();
    assert_eq!(judged, [(higher, true), (lower, false)]);
    assert_eq!(day.standing("front"), CheckStanding::Over);
}

#[test]
fn what_is_right_for_a_shock_is_too_much_for_the_tyre_that_is_expected() {
    let mut day = day();
    let shock = r#"  { id = "shock", title = "Shock", spec = { lower = "160 psi", upper = "180 psi" } },
]
"#;
    let end = PLAN.rfind("]\n").unwrap();
    day.must(change(&format!("{}{shock}", &PLAN[..end])));
    let (_, measured) = day.shows("g1", "170 psi", &[]);
    assert_eq!(measured.alarm.unwrap().place.check, "front");
    // With the tyres done it is right.
    let mut after = day;
    after.shows("g1", "85 psi", &[]);
    after.shows("g1", "93 psi", &[]);
    let (_, first) = after.shows("g1", "170 psi", &[]);
    assert_eq!(whereto(&first), "shock/0");
    assert!(first.alarm.is_none());
}
