//! The guide's examples, the standard's combination, and what must hold for any budget.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use super::*;
use crate::measure::testing::near;
use proptest::prelude::*;

mod iso6789;
mod monte_carlo;

/// The name does not matter for the arithmetic.
fn line(standard: f64, freedom: impl Into<Option<f64>>) -> Line {
    Line {
        name: Contribution::Repeatability,
        standard,
        freedom: freedom.into(),
    }
}

/// JCGM 100:2008, H.1, end gauge, in nm. Inputs and budget from an excerpt; degrees of freedom, t and U99 as printed are
/// from memory; what is marked "unrounded" is computed from the formula.
mod end_gauge {
    use super::*;

    const LENGTH: f64 = 50_000_623.0;

    fn lines() -> [Line; 6] {
        let expansion_difference = rectangular(1e-6) * 0.1 * LENGTH;
        let temperature_difference = rectangular(0.05) * 11.5e-6 * LENGTH;
        [
            line(25.0, 18.0),
            line(5.8, 24.0),
            line(3.9, 5.0),
            line(6.7, 8.0),
            line(expansion_difference, 50.0),
            line(temperature_difference, 2.0),
        ]
    }

    #[test]
    fn the_lines_are_those_of_the_table() {
        let [standard, _, _, _, expansion, temperature] = lines();
        near(standard.standard, 25.0, 0.0);
        near(expansion.standard, 2.886_79, 0.000_05);
        near(temperature.standard, 16.599, 0.0005);
        // Sum of the mean difference and the standard; α_s and θ have no first-order effect.
        near(LENGTH + 215.0, 50_000_838.0, 0.0);
    }

    #[test]
    fn the_comparator_has_its_own_freedom() {
        let [_, repeatability, random, systematic, ..] = lines();
        let comparator = combine(&[repeatability, random, systematic], 0.99);
        near(comparator.standard, 9.7, 0.05);
        near(comparator.standard, 9.681_94, 0.000_005); // unrounded
        near(comparator.freedom.unwrap(), 25.4, 0.05); // unrounded; the guide prints 25.6 from 9.7
    }

    #[test]
    fn the_result_is_the_published_one() {
        let all = combine(&lines(), 0.99);
        near(all.standard, 32.0, 0.5);
        near(all.standard, 31.6639, 0.000_05); // unrounded
        let freedom = all.freedom.unwrap();
        near(freedom, 16.75, 0.05);
        // The guide truncates to 16 and rounds u to 32.
        let truncated = coverage_factor(0.99, Some(freedom.floor()));
        near(truncated, 2.9208, 0.000_05);
        near(truncated * 32.0, 93.0, 0.5);
        near(truncated * all.standard, 92.48, 0.005); // unrounded
        // Taking t at 16.75 itself is a little less.
        assert!(all.expanded < truncated * all.standard && all.expanded > 91.5);
    }

    #[test]
    fn second_order_terms_are_added_where_the_first_vanish() {
        // H.1.7: l·u(δα)·u(θ) and l·u(α)·u(δθ).
        let temperature = root_sum_of_squares([0.2, arcsine(0.5)].into_iter());
        let first = LENGTH * rectangular(1e-6) * temperature;
        let second = LENGTH * rectangular(2e-6) * rectangular(0.05);
        near(first, 11.7, 0.05); // from memory
        near(second, 1.7, 0.05); // from memory
        let all = [combine(&lines(), 0.99).standard, first, second];
        let standard = root_sum_of_squares(all.into_iter());
        near(standard, 34.0, 0.5);
        near(standard, 33.81, 0.005); // unrounded
    }
}

/// JCGM 100:2008, G.4.1; printed figures from memory, four and more digits computed from the formula.
#[test]
fn three_inputs_have_nineteen_effective_degrees_of_freedom() {
    let all = combine(&[line(0.25, 9.0), line(0.57, 4.0), line(0.82, 14.0)], 0.95);
    near(all.standard, 1.03, 0.005);
    near(all.standard, 1.029_466, 0.000_000_5);
    near(all.freedom.unwrap(), 19.0, 0.05);
    near(all.freedom.unwrap(), 18.9987, 0.000_05);
    // Truncated it would be 18 and 2.1009. The fraction itself gives what the guide has for 19.
    near(all.coverage_factor, 2.0930, 0.000_05);
    near(all.expanded, 2.2, 0.05);
    near(all.expanded, 2.155, 0.0005);
}

/// Computed from the formula.
#[test]
fn a_badly_known_line_raises_the_coverage_factor() {
    let lines = [line(0.030, 4.0), line(0.020, None), line(0.012, None)];
    let all = combine(&lines, 0.95);
    near(all.standard, 0.038, 0.000_000_5);
    near(all.freedom.unwrap(), 10.297, 0.0005);
    let truncated = coverage_factor(0.95, Some(10.0));
    near(truncated, 2.2281, 0.000_05);
    near(truncated * all.standard, 0.084_669, 0.000_000_5);
    assert!(
        all.coverage_factor < truncated && all.coverage_factor > coverage_factor(0.95, Some(11.0))
    );
}

#[test]
fn half_widths_become_standard_uncertainties() {
    near(rectangular(0.05), 0.028_867_5, 0.000_000_05);
    near(resolution(0.01), 0.002_886_75, 0.000_000_005);
    near(triangular(0.06), 0.06 / 6.0_f64.sqrt(), 1e-17);
    near(arcsine(0.5), 0.353_553, 0.000_000_5);
}

#[test]
fn well_known_lines_have_the_factor_two() {
    let all = combine(&[line(0.3, None), line(0.4, None)], COVERAGE_PROBABILITY);
    near(all.standard, 0.5, 1e-15);
    assert_eq!(all.freedom, None);
    near(all.coverage_factor, 2.0, 5e-6);
    near(all.expanded, 1.0, 5e-6);
    let none = combine(&[], COVERAGE_PROBABILITY);
    assert_eq!(
        (none.standard, none.expanded, none.freedom),
        (0.0, 0.0, None)
    );
    let zero = combine(&[line(0.0, 4.0)], COVERAGE_PROBABILITY);
    assert_eq!((zero.standard, zero.expanded), (0.0, 0.0));
}

#[test]
fn full_correlation_adds_up_and_full_anticorrelation_cancels() {
    // JCGM 100:2008, 5.2.2, note 1: with r = 1 the uncertainties add linearly.
    near(correlated(&[0.3, 0.4, 0.5], |_, _| 1.0), 1.2, 1e-15);
    near(correlated(&[0.3, 0.4], |_, _| 0.0), 0.5, 1e-15);
    near(correlated(&[0.3, 0.3], |_, _| -1.0), 0.0, 1e-15);
    near(correlated(&[0.3, -0.3], |_, _| 1.0), 0.0, 1e-15);
    assert!(correlated(&[0.3, f64::NAN], |_, _| 0.0).is_nan());
}

#[test]
fn a_line_that_makes_no_sense_makes_the_budget_boundless() {
    let good = line(0.1, 9.0);
    for bad in [
        line(f64::NAN, None),
        line(-0.1, None),
        line(f64::INFINITY, None),
        line(0.1, 0.0),
        line(0.1, 0.9),
        line(0.1, f64::NAN),
    ] {
        let all = combine(&[good, bad], COVERAGE_PROBABILITY);
        assert_eq!(all.standard, f64::INFINITY, "{bad:?}");
        assert_eq!(all.expanded, f64::INFINITY, "{bad:?}");
    }
    // The worst freedom there is gets through, whatever the rounding.
    for scale in [0.1, 0.3, 0.7, 1e-9, 1e9] {
        let one = combine(&[line(scale, 1.0)], COVERAGE_PROBABILITY);
        near(one.coverage_factor, 13.968, 0.0005);
    }
}

/// Where few readings dominate, a wide well-known line makes t smaller faster than it makes u larger. Known of the
/// Welch-Satterthwaite formula; computed from it. It is written down here so that nobody takes it for a mistake.
#[test]
fn with_few_degrees_of_freedom_a_wider_line_can_narrow_the_expanded_uncertainty() {
    let narrow = combine(&[line(0.1, 2.0), line(0.01, None)], COVERAGE_PROBABILITY);
    let wide = combine(&[line(0.1, 2.0), line(0.08, None)], COVERAGE_PROBABILITY);
    assert!(wide.standard > narrow.standard);
    assert!(wide.expanded < narrow.expanded);
}

#[test]
fn contributions_are_words() {
    let all = [
        (Contribution::Resolution, "\"resolution\""),
        (Contribution::Certificate, "\"certificate\""),
        (Contribution::ToolClass, "\"tool-class\""),
        (Contribution::Repeatability, "\"repeatability\""),
        (Contribution::Reproducibility, "\"reproducibility\""),
        (Contribution::Drift, "\"drift\""),
        (Contribution::Interpolation, "\"interpolation\""),
        (Contribution::Adapter, "\"adapter\""),
    ];
    for (contribution, text) in all {
        assert_eq!(serde_json::to_string(&contribution).unwrap(), text);
        assert_eq!(
            serde_json::from_str::<Contribution>(text).unwrap(),
            contribution
        );
        assert!(!contribution.to_string().is_empty());
    }
}

fn lines(least_freedom: f64) -> impl Strategy<Value = Vec<Line>> {
    let freedom = prop::option::of(least_freedom..200.0);
    let line = (0.0..1.0, freedom).prop_map(|(standard, freedom)| line(standard, freedom));
    prop::collection::vec(line, 1..8)
}

/// The budget with one line widened.
fn widened(lines: &[Line], which: prop::sample::Index, more: f64) -> Vec<Line> {
    let mut wider = lines.to_vec();
    let index = which.index(lines.len());
    wider[index].standard += more;
    wider
}

proptest! {
    #[test]
    fn a_wider_line_never_narrows_the_standard_uncertainty(
        lines in lines(1.0), which: prop::sample::Index, more in 0.0..1.0,
    ) {
        let narrow = combine(&lines, COVERAGE_PROBABILITY);
        let wide = combine(&widened(&lines, which, more), COVERAGE_PROBABILITY);
        prop_assert!(wide.standard >= narrow.standard);
    }

    /// From seven degrees of freedom on, as the module says.
    #[test]
    fn a_wider_line_never_narrows_the_expanded_uncertainty_of_a_well_known_budget(
        lines in lines(7.0), which: prop::sample::Index, more in 0.0..1.0,
    ) {
        let narrow = combine(&lines, COVERAGE_PROBABILITY);
        let wide = combine(&widened(&lines, which, more), COVERAGE_PROBABILITY);
        prop_assert!(wide.expanded >= narrow.expanded * (1.0 - 1e-12), "{narrow:?} {wide:?}");
    }

    #[test]
    fn the_result_lies_between_its_bounds(lines in lines(1.0)) {
        let all = combine(&lines, COVERAGE_PROBABILITY);
        let widest = lines.iter().map(|line| line.standard).fold(0.0, f64::max);
        let sum: f64 = lines.iter().map(|line| line.standard).sum();
        prop_assert!(all.standard >= widest * (1.0 - 1e-12) && all.standard <= sum * (1.0 + 1e-12));
        prop_assert!(all.coverage_factor >= 1.999);
        if let Some(freedom) = all.freedom {
            let finite = lines.iter().filter_map(|line| line.freedom);
            let least = finite.fold(f64::INFINITY, f64::min);
            prop_assert!(freedom >= least * (1.0 - 1e-12), "{freedom} {least}");
        }
    }

    #[test]
    fn the_unit_does_not_matter(lines in lines(1.0), scale in 1e-6..1e6_f64) {
        let scaled: Vec<_> = lines.iter().map(|l| Line { standard: l.standard * scale, ..*l }).collect();
        let (one, other) = (combine(&lines, 0.95), combine(&scaled, 0.95));
        let off = other.expanded - one.expanded * scale;
        prop_assert!(off.abs() <= 1e-9 * other.expanded);
    }

    #[test]
    fn no_budget_panics(lines in prop::collection::vec((any::<f64>(), any::<Option<f64>>()), 0..8), coverage: f64) {
        let lines: Vec<_> = lines.into_iter().map(|(standard, freedom)| line(standard, freedom)).collect();
        let all = combine(&lines, coverage);
        prop_assert!(all.standard >= 0.0);
    }
}
