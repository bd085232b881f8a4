//! What the mechanic does, the same for the same seed; and every day ends.
#![allow(clippy::unwrap_used, clippy::cast_precision_loss, clippy::float_cmp)]

mod rates;

use super::*;
use proptest::prelude::*;

const FIVE: Bolt = Bolt {
    target: Some(5.0),
    lower: Some(4.5),
    upper: 5.5,
};
const BARE: Bolt = Bolt {
    target: None,
    lower: None,
    upper: 6.0,
};

fn stage(bolts: &[Bolt], parts: &[f64]) -> Stage {
    Stage {
        passes: parts
            .iter()
            .map(|&part| Pass {
                part,
                order: (0..bolts.len()).collect(),
            })
            .collect(),
        bolts: bolts.to_vec(),
    }
}

/// So many stages of so many bolts.
fn bike(stages: usize, bolts: usize, parts: &[f64]) -> Bike {
    Bike {
        stages: vec![stage(&vec![FIVE; bolts], parts); stages],
    }
}

fn nothing_wrong() -> Habits {
    Habits {
        rates: Rates::default().scaled(0.0),
        scatter: 0.0,
        ..Habits::default()
    }
}

#[test]
fn without_errors_every_bolt_is_pulled_once_a_pass_and_is_in_spec() {
    let bikes = vec![bike(3, 4, &[0.5, 1.0]), bike(2, 1, &[1.0])];
    let mut mechanic = Mechanic::new(bikes, &nothing_wrong(), 1);
    let pulls: Vec<Pull> = mechanic.by_ref().collect();
    assert_eq!(pulls.len(), 3 * 4 * 2 + 2);
    assert!(pulls.iter().all(|pull| pull.causes.is_empty()));
    assert!(
        pulls
            .iter()
            .all(|pull| pull.truth.unwrap().bike == pull.tool)
    );
    for (stage, bolt) in (0..3).flat_map(|stage| (0..4).map(move |bolt| (stage, bolt))) {
        let truth = mechanic.truth(0, stage, bolt).unwrap();
        assert!(truth.is_in_spec());
        assert_eq!((truth.highest(), truth.pass()), (Some(5.0), Some(1)));
    }
}

#[test]
fn every_cause_appears_and_has_its_own_word() {
    let bikes = vec![bike(4, 3, &[0.6, 1.0]), bike(4, 3, &[1.0])];
    let mut habits = Shape::Heavy.habits();
    habits.rates = habits.rates.scaled(10.0);
    let mut seen = Causes::NONE;
    for seed in 0..200 {
        let mut mechanic = Mechanic::new(bikes.clone(), &habits, seed);
        while let Some(pull) = mechanic.next() {
            seen = seen.and(pull.causes);
            if let Some(truth) = pull.truth.filter(|_| pull.causes.has(Cause::GrossOver)) {
                mechanic.undo_and_pull_again(truth);
            }
        }
        seen = seen.and(mechanic.pull_once_more(0, 0, 0).unwrap().causes);
    }
    assert_eq!(seen.iter().collect::<Vec<_>>(), Cause::ALL);
    let mut words = Cause::ALL.map(Cause::word);
    words.sort_unstable();
    assert!(words.windows(2).all(|pair| pair[0] != pair[1]));
    let both = Causes::NONE.with(Cause::Repeat).with(Cause::Scatter);
    assert_eq!(both.to_string(), "repeat, scatter");
}

#[test]
fn an_over_bolt_is_undone_and_pulled_again() {
    let mut mechanic = Mechanic::new(vec![bike(1, 2, &[0.5, 1.0])], &nothing_wrong(), 3);
    let place = mechanic.by_ref().last().unwrap().truth.unwrap();
    assert_eq!(place.pass, 1);
    mechanic.undo_and_pull_again(place);
    let truth = mechanic.truth(0, 0, place.bolt).unwrap();
    assert_eq!((truth.highest(), truth.is_in_spec()), (None, false));
    let pulls: Vec<Pull> = mechanic.by_ref().collect();
    assert!(pulls.iter().all(|pull| pull.causes.has(Cause::Undone)));
    assert_eq!(pulls.last().unwrap().truth, Some(place));
    assert!(mechanic.truth(0, 0, place.bolt).unwrap().is_in_spec());
    // A bare maximum is aimed at below it, and an asked pull goes to the last pass.
    let bare = Bike {
        stages: vec![stage(&[BARE], &[0.5, 1.0])],
    };
    let mut mechanic = Mechanic::new(vec![bare], &nothing_wrong(), 4);
    let pull = mechanic.pull_once_more(0, 0, 0).unwrap();
    assert_eq!(
        (pull.truth.unwrap().pass, pull.causes.has(Cause::Asked)),
        (1, true)
    );
    assert!((3.6..=5.4).contains(&pull.newton_metres));
    assert_eq!(
        mechanic.pull_once_more(0, 0, 1),
        None,
        "there is no such bolt"
    );
}

#[test]
fn whoever_was_told_does_it_right() {
    let mut habits = nothing_wrong();
    habits.rates.other_unit = 1.0;
    let mut mechanic = Mechanic::new(vec![bike(20, 1, &[1.0])], &habits, 5);
    let slipped = mechanic
        .find(|pull| pull.causes.has(Cause::OtherUnit))
        .unwrap();
    assert!(slipped.shown != slipped.newton_metres && mechanic.is_in_other_unit(0));
    mechanic.told_about_unit(0);
    mechanic.pull_again(slipped.truth.unwrap());
    assert_eq!(mechanic.next().unwrap().truth, slipped.truth);
    assert!(mechanic.all(|pull| pull.causes.is_empty() && pull.shown == pull.newton_metres));

    habits.rates.other_unit = 0.0;
    habits.rates.handed_over = 1.0;
    let two = vec![bike(2, 5, &[1.0]), bike(2, 5, &[1.0])];
    let mut mechanic = Mechanic::new(two, &habits, 6);
    let wrong = mechanic
        .find(|pull| pull.causes.has(Cause::OtherBike))
        .unwrap();
    mechanic.told_about_tool();
    let next = mechanic.next().unwrap();
    assert_eq!(next.truth.unwrap().stage, wrong.truth.unwrap().stage);
    assert_eq!(next.truth.unwrap().bike, next.tool);
}

fn bolts() -> impl Strategy<Value = Bolt> {
    (1.0..60.0_f64, 0.0..0.3_f64, any::<bool>(), any::<bool>()).prop_map(
        |(aim, room, target, lower)| Bolt {
            target: target.then_some(aim),
            lower: lower.then_some(aim * (1.0 - room)),
            upper: aim * (1.0 + room),
        },
    )
}

fn bikes() -> impl Strategy<Value = Bike> {
    let parts = prop_oneof![
        Just(vec![1.0]),
        Just(vec![0.6, 1.0]),
        Just(vec![0.3, 0.7, 1.0]),
        Just(vec![])
    ];
    let stages = (
        proptest::collection::vec(bolts(), 0..6),
        parts,
        any::<bool>(),
    );
    let stages = stages.prop_map(|(bolts, parts, names_more)| {
        let mut stage = stage(&bolts, &parts);
        if names_more {
            // an order that names a bolt that is not there
            stage
                .passes
                .iter_mut()
                .for_each(|pass| pass.order.push(bolts.len()));
        }
        stage
    });
    proptest::collection::vec(stages, 0..6).prop_map(|stages| Bike { stages })
}

proptest! {
    #[test]
    fn a_day_always_ends_and_the_seed_fixes_it(
        bikes in proptest::collection::vec(bikes(), 0..3), seed: u64, scale in 0.0..1000.0_f64, shape in 0_usize..4
    ) {
        let mut habits = Shape::ALL[shape].habits();
        habits.rates = habits.rates.scaled(scale);
        let planned: usize = bikes.iter().flat_map(|bike| &bike.stages).flat_map(|stage| &stage.passes)
            .map(|pass| pass.order.len()).sum();
        // before each planned pull at most one other, and each is repeated at most so often
        let most = planned * 2 * (1 + usize::from(work::MOST_IN_A_ROW));
        let day: Vec<Pull> = Mechanic::new(bikes.clone(), &habits, seed).take(most + 1).collect();
        prop_assert!(day.len() <= most, "{} pulls of {planned} planned", day.len());
        for pull in &day {
            prop_assert!(pull.gap_s > 0.0 && pull.gap_s.is_finite());
            prop_assert!(pull.newton_metres >= 0.0 && pull.shown.is_finite() && pull.tool < bikes.len());
            if let Some(at) = pull.truth {
                prop_assert!(bikes[at.bike].stages[at.stage].bolts.len() > at.bolt);
            }
        }
        let again: Vec<Pull> = Mechanic::new(bikes.clone(), &habits, seed).collect();
        prop_assert_eq!(&again, &day);
        let other: Vec<Pull> = Mechanic::new(bikes, &habits, seed ^ 1).collect();
        prop_assert!(day.is_empty() || other != day);
    }
}
