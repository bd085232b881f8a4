//! Cases computed from the formula, and what must hold for any certificate.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use super::*;
use crate::measure::testing::near;
use proptest::prelude::*;

const POINTS: [Point; 2] = [
    Point {
        torque: 4.0,
        error: 0.6,
        standard: 0.35,
    },
    Point {
        torque: 12.0,
        error: -0.4,
        standard: 0.25,
    },
];

#[test]
fn between_two_points() {
    for (torque, error, independent, shared, corrected) in [
        (4.0, 0.60, 0.350_00, 0.350, 3.976_143),
        (6.0, 0.35, 0.269_84, 0.325, 5.979_073),
        (8.0, 0.10, 0.215_06, 0.300, 7.992_008),
        (10.0, -0.15, 0.206_91, 0.275, 10.015_023),
        (12.0, -0.40, 0.250_00, 0.250, 12.048_193),
    ] {
        let found = interpolate(&POINTS, torque, SHARED_REFERENCE, 0.0).unwrap();
        near(found.error, error, 1e-12);
        near(found.standard, shared, 1e-12);
        near(found.corrected, corrected, 0.000_000_5);
        let found = interpolate(&POINTS, torque, 0.0, 0.0).unwrap();
        near(found.standard, independent, 0.000_005);
    }
}

#[test]
fn percent_become_newton_metres_by_the_slope() {
    let found = interpolate(&POINTS, 6.0, SHARED_REFERENCE, 0.0).unwrap();
    let slope =
        (true_torque(6.0, found.error + 1e-4) - true_torque(6.0, found.error - 1e-4)) / 2e-4;
    near(
        found.newton_metres(found.standard),
        -slope * found.standard,
        1e-9,
    );
}

#[test]
fn the_line_itself_has_an_uncertainty_off_the_points() {
    let on = interpolate(&POINTS, 4.0, SHARED_REFERENCE, 0.4).unwrap();
    near(on.standard, 0.35, 0.0);
    let between = interpolate(&POINTS, 8.0, SHARED_REFERENCE, 0.4).unwrap();
    near(between.standard, 0.5, 1e-12);
}

#[test]
fn nothing_is_said_beyond_the_points() {
    for outside in [3.999, 12.001, f64::NAN] {
        let refused = interpolate(&POINTS, outside, SHARED_REFERENCE, 0.0).unwrap_err();
        assert!(matches!(refused, InterpolationError::Outside { .. }));
        assert!(refused.to_string().contains("4 to 12 N·m"), "{refused}");
    }
    let one = &POINTS[..1];
    assert!(interpolate(one, 4.0, SHARED_REFERENCE, 0.0).is_ok());
    assert!(interpolate(one, 4.1, SHARED_REFERENCE, 0.0).is_err());
    assert_eq!(
        interpolate(&[], 4.0, SHARED_REFERENCE, 0.0),
        Err(InterpolationError::NoPoints)
    );
}

#[test]
fn points_have_to_rise() {
    let [low, high] = POINTS;
    let nonsense = Point {
        torque: f64::NAN,
        ..high
    };
    let unknown = Point {
        standard: f64::NAN,
        ..high
    };
    for points in [[high, low], [low, low], [low, nonsense], [low, unknown]] {
        let refused = interpolate(&points, 5.0, SHARED_REFERENCE, 0.0).unwrap_err();
        assert!(
            matches!(refused, InterpolationError::NotRising(_)),
            "{points:?}"
        );
    }
}

proptest! {
    #[test]
    fn the_answer_lies_between_its_neighbours(torque in 4.0..=12.0_f64, correlation in 0.0..=1.0_f64) {
        let found = interpolate(&POINTS, torque, correlation, 0.0).unwrap();
        prop_assert!((-0.4..=0.6).contains(&found.error));
        prop_assert!(found.standard <= 0.35 + 1e-12);
        let shared = interpolate(&POINTS, torque, SHARED_REFERENCE, 0.0).unwrap();
        prop_assert!((0.25 - 1e-12..=0.35 + 1e-12).contains(&shared.standard));
        prop_assert!(shared.standard >= found.standard - 1e-12);
    }

    #[test]
    fn no_certificate_panics(
        points in prop::collection::vec((any::<f64>(), any::<f64>(), any::<f64>()), 0..5), torque: f64, between: f64,
    ) {
        let points: Vec<_> = points
            .into_iter()
            .map(|(torque, error, standard)| Point { torque, error, standard })
            .collect();
        if let Ok(found) = interpolate(&points, torque, SHARED_REFERENCE, between) {
            prop_assert!(points.first().unwrap().torque <= torque && torque <= points.last().unwrap().torque);
            prop_assert!(found.standard.is_nan() || found.standard >= 0.0);
        }
    }
}
