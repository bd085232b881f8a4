//! Tables and closed forms. The wide comparison over random inputs is with `SciPy`, in `tests/tests/statistics.rs`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use super::*;
use crate::measure::testing::near;
use proptest::prelude::*;

/// 15 digits of published tables of the normal integral; closed forms of Student's t and chi-squared beside them.
#[test]
fn closed_forms_come_out_to_the_last_figures() {
    near(normal_cdf(1.0), 0.841_344_746_068_543, 1e-15);
    near(normal_cdf(-2.0), 0.022_750_131_948_179, 1e-15);
    near(normal_quantile(0.975), 1.959_963_984_540_054, 1e-14);
    for t in [0.01, 0.5, 1.0, 3.0, 40.0] {
        let t: f64 = t;
        let one = 0.5 - t.atan() / PI;
        let two = 0.5 - 0.5 * t / (2.0 + t * t).sqrt();
        near(student_tail(t, 1.0) / one, 1.0, 1e-12);
        near(student_tail(t, 2.0) / two, 1.0, 1e-12);
        near(chi_squared_cdf(t, 2.0), -(-0.5 * t).exp_m1(), 1e-14);
    }
    for p in [1e-6, 0.1, 0.5, 0.9] {
        let p: f64 = p;
        near(
            chi_squared_quantile(p, 2.0) / (-2.0 * (-p).ln_1p()),
            1.0,
            1e-12,
        );
    }
}

/// The incomplete beta function and the expansion hand over without a step that anybody could see.
#[test]
fn both_ways_to_a_tail_meet() {
    for freedom in [100.0_f64, 500.0, 3000.0, 20_000.0] {
        for share in [0.01, 0.3, 1.0] {
            let t = (share * freedom / 6.0).sqrt();
            let both = [1.0 - 1e-14, 1.0 + 1e-14].map(|off| student_tail(t * off, freedom * off));
            if both[1] > 0.0 {
                near(both[0] / both[1], 1.0, 1e-10);
            }
        }
    }
}

/// JCGM 100:2008, table G.2, in more figures than it prints (computed).
#[test]
fn coverage_factors_are_those_of_the_guide() {
    for (freedom, k) in [
        (1.0, 12.7062),
        (2.0, 4.3027),
        (3.0, 3.1824),
        (4.0, 2.7764),
        (5.0, 2.5706),
        (9.0, 2.2622),
        (10.0, 2.2281),
        (20.0, 2.0860),
        (50.0, 2.0086),
    ] {
        near(student_coverage(0.95, freedom), k, 0.000_05);
    }
    for (freedom, k) in [(4.0, 2.8693), (10.0, 2.2837), (20.0, 2.1330)] {
        near(student_coverage(0.9545, freedom), k, 0.000_05);
    }
    // Two standard deviations hold 95.4500 %.
    near(student_coverage(0.9545, f64::INFINITY), 2.0, 5e-6);
}

/// Textbook values of a common standard deviation: two groups with s² 2.5 and 1, of 5 and 3 values.
#[test]
fn groups_are_pooled_by_their_freedom() {
    let groups: [&[f64]; 4] = [&[1.0, 2.0, 3.0, 4.0, 5.0], &[9.0, 10.0, 11.0], &[7.0], &[]];
    let pooled = pooled_standard_deviation(&groups).unwrap();
    assert_eq!(pooled.freedom, 6.0);
    near(pooled.standard_deviation, 2.0_f64.sqrt(), 1e-15);
    assert_eq!(pooled_standard_deviation(&[&[1.0], &[2.0]]), None);
    assert_eq!(mean(&[]), None);
    assert_eq!(sample_standard_deviation(&[4.0]), None);
    near(
        sample_standard_deviation(groups[0]).unwrap(),
        2.5_f64.sqrt(),
        1e-15,
    );
}

#[test]
fn out_of_range_is_no_number() {
    for freedom in [0.0, -1.0, f64::NAN] {
        assert!(student_cdf(1.0, freedom).is_nan());
        assert!(student_quantile(0.9, freedom).is_nan());
        assert!(student_coverage(0.9, freedom).is_nan());
        assert!(chi_squared_cdf(1.0, freedom).is_nan());
        assert!(chi_squared_quantile(0.9, freedom).is_nan());
    }
    for p in [-0.1, 1.1, f64::NAN] {
        assert!(normal_quantile(p).is_nan());
        assert!(student_quantile(p, 3.0).is_nan());
        assert!(student_coverage(p, 3.0).is_nan());
        assert!(chi_squared_quantile(p, 3.0).is_nan());
    }
    assert!(student_quantile(0.9, 0.99).is_nan());
    assert!(chi_squared_quantile(0.9, 1.01e6).is_nan());
    assert!(normal_cdf(f64::NAN).is_nan());
    assert!(student_cdf(f64::NAN, 3.0).is_nan());
    for freedom in [1.0, 3.5, 1000.0, f64::INFINITY] {
        assert_eq!(student_quantile(0.0, freedom), f64::NEG_INFINITY);
        assert_eq!(student_quantile(1.0, freedom), f64::INFINITY);
        assert_eq!(student_quantile(0.5, freedom), 0.0);
        assert_eq!(student_cdf(f64::INFINITY, freedom), 1.0);
        assert_eq!(student_cdf(f64::NEG_INFINITY, freedom), 0.0);
    }
}

proptest! {
    #[test]
    fn quantiles_undo_distributions(p in 1e-9..1.0_f64, inverse in 1e-7..=1.0_f64) {
        let freedom = 1.0 / inverse;
        prop_assert!((normal_cdf(normal_quantile(p)) / p - 1.0).abs() < 1e-12);
        prop_assert!((student_cdf(student_quantile(p, freedom), freedom) / p - 1.0).abs() < 1e-10);
        if freedom < 1e6 {
            let x = chi_squared_quantile(p, freedom);
            prop_assert!((chi_squared_cdf(x, freedom) / p - 1.0).abs() < 1e-9, "{}", x);
        }
    }

    #[test]
    fn more_freedom_needs_less_coverage(freedom in 1.0..500.0_f64, more in 0.0..500.0_f64, p in 0.5..0.999) {
        let few = student_coverage(p, freedom);
        let many = student_coverage(p, freedom + more);
        prop_assert!(many <= few * (1.0 + 1e-12), "{few} {many}");
        prop_assert!(many >= student_coverage(p, f64::INFINITY) * (1.0 - 1e-12));
    }

    #[test]
    fn no_input_panics(a: f64, b: f64) {
        let all = [
            normal_cdf(a), normal_quantile(a), student_cdf(a, b), student_quantile(a, b),
            student_coverage(a, b), chi_squared_cdf(a, b), chi_squared_quantile(a, b),
        ];
        prop_assert_eq!(all.len(), 7);
    }

    #[test]
    fn no_probability_panics(p in 0.0..=1.0_f64, b: f64) {
        prop_assert!(!student_quantile(p, b.abs().max(1.0)).is_nan());
        prop_assert!(!chi_squared_quantile(p, b.abs().clamp(1.0, 1e6)).is_nan());
    }
}
