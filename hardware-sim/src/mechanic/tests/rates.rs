//! Every rate, time and value comes out as it was asked for, within five standard errors.

use super::*;

/// One error alone, at its default rate.
fn only(set: fn(&mut Rates, Rates)) -> Habits {
    let mut habits = nothing_wrong();
    set(&mut habits.rates, Rates::default());
    habits
}

/// Every pull of many days.
fn days(bikes: &[Bike], habits: &Habits, count: u64) -> Vec<Vec<Pull>> {
    (0..count)
        .map(|seed| Mechanic::new(bikes.to_vec(), habits, seed).collect())
        .collect()
}

fn count(days: &[Vec<Pull>], cause: Cause) -> usize {
    let has = |pull: &&Pull| pull.causes.has(cause);
    days.iter().flatten().filter(has).count()
}

/// The share of a rate lies within five standard errors.
fn assert_rate(found: usize, of: usize, rate: f64, what: &str) {
    let share = found as f64 / of as f64;
    let error = (rate * (1.0 - rate) / of as f64).sqrt();
    assert!(found > 0, "{what}: never");
    assert!(
        (share - rate).abs() < 5.0 * error,
        "{what}: {share} for {rate}, standard error {error}"
    );
}

#[test]
fn repeats_come_as_often_and_as_fast_as_asked() {
    let days = days(
        &[bike(10, 4, &[1.0])],
        &only(|to, from| to.repeat = from.repeat),
        500,
    );
    let all = days.iter().map(Vec::len).sum();
    assert_rate(count(&days, Cause::Repeat), all, 0.08, "repeat");
    for pair in days.iter().flat_map(|day| day.windows(2)) {
        assert_eq!(
            pair[1].causes.has(Cause::Repeat),
            pair[0].truth == pair[1].truth
        );
    }
    let gaps = days
        .iter()
        .flatten()
        .filter(|pull| pull.causes.has(Cause::Repeat));
    let logs: Vec<f64> = gaps.map(|pull| (pull.gap_s / 0.9).ln()).collect();
    assert_mean_and_deviation(&logs, 0.0, 0.35);
}

fn assert_mean_and_deviation(sample: &[f64], mean: f64, deviation: f64) {
    let n = sample.len() as f64;
    let found = sample.iter().sum::<f64>() / n;
    let variance = sample.iter().map(|x| (x - found).powi(2)).sum::<f64>() / n;
    assert!(
        (found - mean).abs() < 5.0 * deviation / n.sqrt(),
        "mean {found}"
    );
    let error = deviation * (0.5 / n).sqrt();
    assert!(
        (variance.sqrt() - deviation).abs() < 5.0 * error,
        "deviation {}",
        variance.sqrt()
    );
}

#[test]
fn steps_scatter_and_breaks_are_as_asked() {
    let mut habits = nothing_wrong();
    habits.scatter = 0.03;
    habits.resolution = 0.0001;
    let days = days(&[bike(10, 4, &[1.0])], &habits, 500);
    let pulls: Vec<&Pull> = days.iter().flatten().collect();
    let breaks = pulls.iter().filter(|pull| pull.gap_s > 60.0).count();
    assert_rate(breaks, pulls.len(), 0.05, "break");
    assert!(pulls.iter().all(|pull| pull.gap_s < 660.0));
    let steps = pulls.iter().filter(|pull| pull.gap_s <= 60.0);
    let logs: Vec<f64> = steps.map(|pull| (pull.gap_s / 7.0).ln()).collect();
    assert_mean_and_deviation(&logs, 0.0, 0.5);
    let values: Vec<f64> = pulls
        .iter()
        .map(|pull| pull.newton_metres / 5.0 - 1.0)
        .collect();
    assert_mean_and_deviation(&values, 0.0, 0.03);
}

#[test]
fn bolts_are_left_out_as_often_as_asked() {
    let days = days(
        &[bike(10, 4, &[1.0])],
        &only(|to, from| to.skip = from.skip),
        2_000,
    );
    let planned = 2_000 * 40;
    let made: usize = days.iter().map(Vec::len).sum();
    assert_rate(planned - made, planned, 0.002, "skip");
    // The next pull is marked, unless the last bolt of the day was left out, or several in a row.
    assert!(planned - made - count(&days, Cause::Skipped) < 20);
}

#[test]
fn the_order_errs_as_often_as_asked() {
    let swapped = only(|to, from| to.neighbours_swapped = from.neighbours_swapped);
    let pairs = days(&[bike(10, 2, &[1.0])], &swapped, 1_000);
    assert_rate(
        count(&pairs, Cause::NeighboursSwapped) / 2,
        10_000,
        0.02,
        "neighbours",
    );
    let swapped = only(|to, from| to.stages_swapped = from.stages_swapped);
    let pairs = days(&[bike(2, 1, &[1.0])], &swapped, 30_000);
    assert_rate(
        count(&pairs, Cause::StagesSwapped) / 2,
        30_000,
        0.003,
        "stages",
    );
    let forgotten = only(|to, from| to.first_pass_forgotten = from.first_pass_forgotten);
    let stages = days(&[bike(10, 1, &[0.5, 1.0])], &forgotten, 2_000);
    assert_rate(
        count(&stages, Cause::PassForgotten),
        20_000,
        0.01,
        "first pass",
    );
    let single = days(&[bike(10, 1, &[1.0])], &forgotten, 2_000);
    assert_eq!(count(&single, Cause::PassForgotten), 0);
}

#[test]
fn looks_and_test_pulls_come_as_often_as_asked() {
    let looks = days(
        &[bike(10, 4, &[1.0])],
        &only(|to, from| to.look = from.look),
        1_000,
    );
    // before every planned pull but the first
    assert_rate(count(&looks, Cause::Look), 39_000, 0.005, "look");
    let tests = days(
        &[bike(10, 4, &[1.0])],
        &only(|to, from| to.test_pull = from.test_pull),
        2_000,
    );
    assert_rate(count(&tests, Cause::TestPull), 80_000, 0.003, "test pull");
    let values: Vec<f64> = tests
        .iter()
        .flatten()
        .filter(|pull| pull.truth.is_none())
        .map(|pull| pull.newton_metres)
        .collect();
    assert!(values.iter().all(|value| (0.3..=50.0).contains(value)));
    // By hand up to 3 N·m; in a vice one in eight of them is below that too.
    let weak = values.iter().filter(|value| **value <= 3.0).count();
    let share = 0.5 + 0.5 * (1.5_f64.ln() / 25.0_f64.ln());
    assert_rate(weak, values.len(), share, "weak test pulls");
}

#[test]
fn wrenches_and_units_are_mixed_up_as_often_as_asked() {
    let two = [bike(3, 1, &[1.0]), bike(3, 1, &[1.0])];
    let handed = days(
        &two,
        &only(|to, from| to.handed_over = from.handed_over),
        20_000,
    );
    // one stage of one bolt each time; both tools on one stage would be one pull
    assert_rate(
        count(&handed, Cause::OtherBike),
        40_000,
        0.002,
        "handed over",
    );
    let alone = days(
        &two[..1],
        &only(|to, from| to.handed_over = from.handed_over),
        5_000,
    );
    assert_eq!(count(&alone, Cause::OtherBike), 0);
    let units = days(
        &two[..1],
        &only(|to, from| to.other_unit = from.other_unit),
        50_000,
    );
    let is_other = |day: &&Vec<Pull>| day.iter().any(|pull| pull.causes.has(Cause::OtherUnit));
    assert_rate(
        units.iter().filter(is_other).count(),
        50_000,
        0.001,
        "other unit",
    );
    let mut shown: Vec<String> = units
        .iter()
        .flatten()
        .filter(|pull| pull.causes.has(Cause::OtherUnit))
        .map(|pull| format!("{} is {}", pull.newton_metres, pull.shown))
        .collect();
    shown.sort();
    shown.dedup();
    // 5 N·m in lbf·ft, lbf·in and kgf·cm, to the hundredth.
    assert_eq!(shown, ["5 is 3.69", "5 is 44.25", "5 is 50.99"]);
}

#[test]
fn gross_errors_and_repairs_are_as_asked() {
    let overs = days(
        &[bike(10, 4, &[1.0])],
        &only(|to, from| to.gross_over = from.gross_over),
        2_000,
    );
    assert_rate(count(&overs, Cause::GrossOver), 80_000, 0.002, "gross over");
    let over = overs
        .iter()
        .flatten()
        .filter(|pull| pull.causes.has(Cause::GrossOver));
    let beyond: Vec<f64> = over.map(|pull| pull.newton_metres / 5.5 - 1.0).collect();
    assert!(beyond.iter().all(|x| (0.02..=2.0).contains(x)));
    let far = beyond.iter().filter(|x| **x > 0.4).count();
    assert!(
        far * 12 < beyond.len(),
        "{far} of {} beyond 40 %",
        beyond.len()
    );

    let mut habits = only(|to, from| {
        to.gross_under = from.gross_under;
        to.not_repaired = from.not_repaired;
    });
    let unders = days(&[bike(10, 4, &[1.0])], &habits, 2_000);
    assert_rate(
        count(&unders, Cause::GrossUnder),
        80_000,
        0.01,
        "gross under",
    );
    habits.rates.gross_under = 0.5;
    let unders = days(&[bike(10, 4, &[1.0])], &habits, 500);
    let under = count(&unders, Cause::GrossUnder);
    assert_rate(
        under - count(&unders, Cause::Repair),
        under,
        0.05,
        "not repaired",
    );
    let repairs = unders
        .iter()
        .flatten()
        .filter(|pull| pull.causes.has(Cause::Repair));
    let logs: Vec<f64> = repairs.map(|pull| (pull.gap_s / 2.0).ln()).collect();
    assert_mean_and_deviation(&logs, 0.0, 0.5);
    let values = unders
        .iter()
        .flatten()
        .filter(|pull| pull.causes.has(Cause::GrossUnder));
    assert!(
        values
            .map(|pull| pull.newton_metres)
            .all(|value| (1.0..=4.5).contains(&value))
    );
}

#[test]
fn rates_are_scaled_and_nothing_else() {
    let rates = Rates::default();
    assert_eq!(rates.scaled(1.0), rates);
    let three = rates.scaled(3.0);
    assert!((three.repeat - 0.24).abs() < 1e-12 && (three.skip - 0.006).abs() < 1e-12);
    assert!((three.not_repaired - 0.15).abs() < 1e-12);
    let all = rates.scaled(1e6);
    assert!((all.other_unit - Rates::MOST).abs() < 1e-12, "capped");
    let habits = Habits {
        rates: three,
        ..Habits::default()
    };
    let days = days(&[bike(10, 4, &[1.0])], &habits, 100);
    let pulls: usize = days.iter().map(Vec::len).sum();
    let share = count(&days, Cause::Repeat) as f64 / pulls as f64;
    assert!((0.18..0.26).contains(&share), "{share}");
}

#[test]
fn shapes_have_names_and_differ() {
    for shape in Shape::ALL {
        assert_eq!(Shape::named(shape.name()), Some(shape));
        assert_eq!(shape.habits().rates, Rates::default());
    }
    assert_eq!(Shape::named("hasty"), None);
    let median = |shape: Shape, cause: Option<Cause>| {
        let days = days(&[bike(10, 4, &[1.0])], &shape.habits(), 100);
        let wanted = |pull: &&Pull| match cause {
            Some(cause) => pull.causes.has(cause),
            None => pull.causes.is_empty(),
        };
        let mut gaps: Vec<f64> = days
            .iter()
            .flatten()
            .filter(wanted)
            .map(|p| p.gap_s)
            .collect();
        gaps.sort_by(f64::total_cmp);
        gaps[gaps.len() / 2]
    };
    for (shape, step, repeat) in [
        (Shape::Usual, 7.0, 0.9),
        (Shape::Fast, 4.0, 0.6),
        (Shape::Slow, 12.0, 1.3),
        (Shape::Heavy, 7.0, 0.9),
    ] {
        // breaks move the median of steps up a little
        let found = median(shape, None) / step;
        assert!(
            (0.95..1.15).contains(&found),
            "{} step {found}",
            shape.name()
        );
        let found = median(shape, Some(Cause::Repeat)) / repeat;
        assert!(
            (0.85..1.15).contains(&found),
            "{} repeat {found}",
            shape.name()
        );
    }
    let far = |shape: Shape| {
        count(
            &days(&[bike(10, 4, &[1.0])], &shape.habits(), 200),
            Cause::Scatter,
        )
    };
    // 10 % is more than three deviations; with a tail it is one in thirty of the wide ones
    assert!(far(Shape::Heavy) > 5 * far(Shape::Usual));
}
