//! Published cases, and what must hold for any reading and limits.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use super::*;
use crate::measure::testing::near;
use proptest::prelude::*;

mod guard;
mod risk;

/// JCGM 106:2012, clause 7, for a normal distribution; computed from the formula.
#[test]
fn conformance_probability_follows_the_formula() {
    for (best, standard, expected) in [
        (5.0, 0.5, 0.954_500),
        (5.8, 0.1, 0.977_250),
        (5.8355, 0.1, 0.950_015),
        (5.9, 0.1, 0.841_345),
        (5.95, 0.12, 0.661_539),
        (6.0, 0.1, 0.500_000),
        (6.1, 0.1, 0.158_655),
        // Both tails count: less than one half on the limit itself.
        (4.0, 0.5, 0.499_968),
    ] {
        let found = probabilities(best, standard, None, Some(4.0), 6.0);
        near(found.within, expected, 0.000_000_5);
        near(found.under + found.within + found.over, 1.0, 1e-15);
    }
    // One-sided, 1.4 standard uncertainties inside.
    let one_sided = probabilities(4.6, 1.0, None, None, 6.0);
    near(one_sided.within, 0.919_243, 0.000_000_5);
    assert_eq!(one_sided.under, 0.0);
}

#[test]
fn few_degrees_of_freedom_have_longer_tails() {
    // A band of 4.5 standard uncertainties leaves 5.4e-3 at four degrees of freedom and 3.4e-6 at infinitely many
    // (closed form of Student's t; the comparison is one that a public text on conformity makes).
    let few = probabilities(0.0, 1.0, Some(4.0), None, 4.5);
    let many = probabilities(0.0, 1.0, None, None, 4.5);
    near(few.over, 5.4e-3, 0.05e-3);
    near(many.over, 3.4e-6, 0.05e-6);
}

#[test]
fn without_uncertainty_a_limit_is_a_limit() {
    for (best, expected) in [
        (4.499, (1.0, 0.0, 0.0)),
        (4.5, (0.0, 1.0, 0.0)),
        (5.5, (0.0, 1.0, 0.0)),
        (5.501, (0.0, 0.0, 1.0)),
    ] {
        let found = probabilities(best, 0.0, None, Some(4.5), 5.5);
        assert_eq!((found.under, found.within, found.over), expected, "{best}");
    }
    assert_eq!(probabilities(-3.0, 0.0, None, None, 5.5).within, 1.0);
}

#[test]
fn nothing_speaks_for_within_where_nothing_is_known() {
    for (best, standard, freedom, lower, upper) in [
        (f64::NAN, 0.1, None, Some(4.0), 6.0),
        (f64::INFINITY, 0.1, None, Some(4.0), 6.0),
        (5.0, f64::INFINITY, None, Some(4.0), 6.0),
        (5.0, f64::NAN, None, None, 6.0),
        (5.0, -0.1, None, None, 6.0),
        (5.0, 0.1, Some(0.0), Some(4.0), 6.0),
        (5.0, 0.1, Some(f64::NAN), None, 6.0),
        (5.0, 0.1, None, Some(f64::NAN), 6.0),
        (5.0, 0.1, None, Some(4.0), f64::NAN),
        // Limits the wrong way round.
        (5.0, 0.1, None, Some(6.0), 4.0),
    ] {
        let found = probabilities(best, standard, freedom, lower, upper);
        assert_eq!(found.within, 0.0);
        near(found.under + found.over, 1.0, 1e-15);
        assert_eq!(lower.is_none(), found.under == 0.0);
    }
}

fn any_case() -> impl Strategy<Value = (f64, f64, Option<f64>, Option<f64>, f64)> {
    let freedom = prop::option::of(1.0..300.0);
    let lower = prop::option::of(0.0..5.0);
    (-2.0..12.0, 1e-4..5.0, freedom, lower, 5.0..10.0)
}

proptest! {
    #[test]
    fn they_sum_to_one((best, standard, freedom, lower, upper) in any_case()) {
        let found = probabilities(best, standard, freedom, lower, upper);
        prop_assert!((found.under + found.within + found.over - 1.0).abs() < 1e-12, "{found:?}");
        for one in [found.under, found.within, found.over] {
            prop_assert!((0.0..=1.0).contains(&one), "{found:?}");
        }
    }

    #[test]
    fn more_torque_is_more_over_and_less_under(
        (best, standard, freedom, lower, upper) in any_case(), more in 0.0..3.0,
    ) {
        let less = probabilities(best, standard, freedom, lower, upper);
        let more = probabilities(best + more, standard, freedom, lower, upper);
        prop_assert!(more.over >= less.over - 1e-13);
        prop_assert!(more.under <= less.under + 1e-13);
    }

    #[test]
    fn inside_a_larger_uncertainty_is_less_within(
        share in 0.0..1.0, standard in 1e-4..3.0, wider in 1.0..3.0, freedom in prop::option::of(1.0..300.0),
    ) {
        let best = 4.5 + share;
        let narrow = probabilities(best, standard, freedom, Some(4.5), 5.5);
        let wide = probabilities(best, standard * wider, freedom, Some(4.5), 5.5);
        prop_assert!(wide.within <= narrow.within + 1e-12);
    }

    #[test]
    fn wider_limits_hold_more(
        (best, standard, freedom, lower, upper) in any_case(), down in 0.0..2.0, up in 0.0..2.0,
    ) {
        let narrow = probabilities(best, standard, freedom, lower, upper);
        let wide = probabilities(best, standard, freedom, lower.map(|lower| lower - down), upper + up);
        prop_assert!(wide.within >= narrow.within - 1e-12);
    }

    #[test]
    fn it_looks_the_same_in_a_mirror((best, standard, freedom, lower, upper) in any_case()) {
        let Some(lower) = lower else { return Ok(()) };
        let found = probabilities(best, standard, freedom, Some(lower), upper);
        let mirrored = probabilities(-best, standard, freedom, Some(-upper), -lower);
        prop_assert!((found.under - mirrored.over).abs() < 1e-13);
        prop_assert!((found.within - mirrored.within).abs() < 1e-13);
    }

    #[test]
    fn no_figures_panic(best: f64, standard: f64, freedom: Option<f64>, lower: Option<f64>, upper: f64) {
        let found = probabilities(best, standard, freedom, lower, upper);
        prop_assert!((found.under + found.within + found.over - 1.0).abs() < 1e-9, "{found:?}");
    }
}
