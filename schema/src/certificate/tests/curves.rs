//! Deviation, interpolation, uncertainty between the points.

use super::*;

fn close(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} is not {expected} within {tolerance}"
    );
}

fn micro(newton_metres: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "small figures of a test")]
    let units = (newton_metres * 1e6).round() as i64;
    units
}

/// The deviation after ISO 6789-2:2017 (formula from memory), percentages computed from it independently.
#[test]
fn the_reference_is_the_divisor() {
    for (indicated, reference, percent) in [
        (10.0, 9.8, 2.0408),
        (10.0, 10.2, -1.9608),
        (25.0, 24.2, 3.3058),
        (5.0, 5.31, -5.8380),
        (50.0, 48.0, 4.1667), // dividing by the indicated value gives exactly 4, which would pass a limit of 4 %
        (50.0, 48.1, 3.9501),
    ] {
        let point = point(micro(indicated), micro(reference), 10_000, 2_000);
        close(point.deviation().unwrap() * 100.0, percent, 0.000_05);
        let curve = Curve::new(&certificate(&[point])).unwrap();
        close(curve.corrected(indicated).unwrap(), reference, 1e-9);
    }
}

/// A point whose relative deviation and relative standard uncertainty are as wanted, in percent.
fn wanted(indicated: f64, deviation: f64, standard: f64) -> Point {
    let reference = indicated / (1.0 + deviation / 100.0);
    point(
        micro(indicated),
        micro(reference),
        micro(2.0 * standard / 100.0 * reference),
        2_000,
    )
}

/// Two points and the readings between them, computed independently from JCGM 100:2008, 5.2.2 with ρ = 1.
#[test]
fn between_two_points_everything_is_linear() {
    let curve = Curve::new(&certificate(&[
        wanted(4.0, 0.6, 0.35),
        wanted(12.0, -0.4, 0.25),
    ]))
    .unwrap();
    for (x, deviation, standard, corrected) in [
        (4.0, 0.60, 0.350, 3.976_143),
        (6.0, 0.35, 0.325, 5.979_073),
        (8.0, 0.10, 0.300, 7.992_008),
        (10.0, -0.15, 0.275, 10.015_023),
        (12.0, -0.40, 0.250, 12.048_193),
    ] {
        let at = curve.at(x).unwrap();
        // the points are kept to the millionth of a newton metre, that is 0.3 ppm of 4 N·m
        close(at.deviation * 100.0, deviation, 5e-5);
        close(at.standard_uncertainty * 100.0, standard, 5e-5);
        close(curve.corrected(x).unwrap(), corrected, 2e-6);
        assert_eq!(at.reach, Reach::Inside);
        close(at.coverage_factor, 2.0, 1e-12);
    }
    // half of the difference of 1.0 % at mid-span, as a rectangle
    close(
        curve.at(8.0).unwrap().interpolation * 100.0,
        0.5 / 3.0_f64.sqrt(),
        1e-4,
    );
    close(
        curve.at(6.0).unwrap().interpolation * 100.0,
        0.375 / 3.0_f64.sqrt(),
        1e-4,
    );
    close(curve.at(4.0).unwrap().interpolation, 0.0, 0.0);
    close(curve.at(12.0).unwrap().interpolation, 0.0, 0.0);
}

/// A parabola `a_s` = c·x² has the second divided difference c everywhere, so its bound is the exact remainder.
#[test]
fn the_interpolation_bound_of_a_parabola_is_its_remainder() {
    let parabola = |x: f64| 0.0002 * x * x;
    let points: Vec<Point> = [2.0, 5.0, 9.0, 20.0]
        .iter()
        .map(|x| wanted(*x, 100.0 * parabola(*x), 0.3))
        .collect();
    let curve = Curve::new(&certificate(&points)).unwrap();
    for x in [2.5, 3.5, 4.9, 6.0, 7.0, 8.8, 12.0, 14.5, 19.0] {
        let at = curve.at(x).unwrap();
        close(
            at.interpolation * 3.0_f64.sqrt(),
            (at.deviation - parabola(x)).abs(),
            2e-6,
        );
    }
}

/// The span takes the larger curvature of the two that it belongs to.
#[test]
fn a_kink_counts_on_both_sides() {
    let points = [
        wanted(1.0, 0.0, 0.3),
        wanted(2.0, 0.0, 0.3),
        wanted(3.0, 1.0, 0.3),
        wanted(4.0, 2.0, 0.3),
        wanted(5.0, 3.0, 0.3),
    ];
    let curve = Curve::new(&certificate(&points)).unwrap();
    let half_width = |x: f64| curve.at(x).unwrap().interpolation * 3.0_f64.sqrt() * 100.0;
    close(half_width(1.5), 0.125, 1e-3); // f[1, 2, 3] = 0.5 % per (N·m)²
    close(half_width(2.5), 0.125, 1e-3);
    close(half_width(3.5), 0.0, 1e-3);
}

#[test]
fn nothing_is_extrapolated() {
    let curve = Curve::new(&certificate(&[
        wanted(4.0, 0.6, 0.35),
        wanted(12.0, -0.4, 0.25),
    ]))
    .unwrap();
    let (low, high) = (curve.at(4.0).unwrap(), curve.at(12.0).unwrap());
    assert_eq!(
        curve.at(3.999),
        Some(AtValue {
            reach: Reach::Below,
            ..low
        })
    );
    assert_eq!(
        curve.at(0.0),
        Some(AtValue {
            reach: Reach::Below,
            ..low
        })
    );
    assert_eq!(
        curve.at(500.0),
        Some(AtValue {
            reach: Reach::Above,
            ..high
        })
    );
    for x in [-4.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(curve.at(x), None, "{x}");
    }
    assert_eq!(curve.range(), (4.0, 12.0));
}

#[test]
fn one_point_reaches_no_further_than_itself() {
    let curve = Curve::new(&certificate(&[wanted(5.0, 1.0, 0.3)])).unwrap();
    let reach = |x| curve.at(x).unwrap().reach;
    assert_eq!(
        (reach(4.9), reach(5.0), reach(5.1)),
        (Reach::Below, Reach::Inside, Reach::Above)
    );
}

#[test]
fn there_is_no_curve_without_sound_points() {
    let sound = point(4_000_000, 4_020_000, 40_000, 2_000);
    let higher = point(8_000_000, 8_020_000, 40_000, 2_000);
    assert!(Curve::new(&certificate(&[sound, higher])).is_some());
    for points in [
        vec![],
        vec![higher, sound],
        vec![sound, sound],
        vec![point(0, 4_020_000, 40_000, 2_000)],
        vec![point(4_000_000, 0, 40_000, 2_000)],
        vec![point(4_000_000, 4_020_000, 0, 2_000)],
        vec![point(4_000_000, 4_020_000, -5, 2_000)],
        vec![point(4_000_000, 4_020_000, 40_000, 0)],
    ] {
        assert_eq!(Curve::new(&certificate(&points)), None, "{points:?}");
    }
}

#[test]
fn degrees_of_freedom_are_the_fewer_and_the_coverage_factor_follows() {
    let points = [
        Point {
            degrees_of_freedom: Some(10),
            ..point(4_000_000, 4_000_000, 80_000, 2_280)
        },
        Point {
            degrees_of_freedom: Some(50),
            ..point(8_000_000, 8_000_000, 80_000, 2_000)
        },
        point(12_000_000, 12_000_000, 120_000, 2_000),
    ];
    let curve = Curve::new(&certificate(&points)).unwrap();
    assert_eq!(curve.at(4.0).unwrap().degrees_of_freedom, Some(10));
    assert_eq!(curve.at(6.0).unwrap().degrees_of_freedom, Some(10));
    assert_eq!(curve.at(10.0).unwrap().degrees_of_freedom, Some(50));
    assert_eq!(curve.at(12.0).unwrap().degrees_of_freedom, None);
    let at = curve.at(6.0).unwrap();
    // expanded uncertainties 2 % and 1 % of their torques: 1.5 % half-way
    close(at.coverage_factor * at.standard_uncertainty, 0.015, 1e-9);
    assert!(at.coverage_factor > 2.0 && at.coverage_factor < 2.28);
}

proptest! {
    #[test]
    fn the_curve_is_continuous_and_stays_between_its_neighbours(points in any_points(), share in 0.0_f64..=1.0) {
        let curve = Curve::new(&certificate(&points)).unwrap();
        for pair in points.windows(2) {
            let (a, b) = (pair[0].indicated.newton_metres(), pair[1].indicated.newton_metres());
            let (left, right) = (curve.at(a).unwrap(), curve.at(b).unwrap());
            let x = a + (b - a) * share;
            let at = curve.at(x).unwrap();
            prop_assert_eq!(at.reach, Reach::Inside);
            let within = |v: f64, p: f64, q: f64| v >= p.min(q) - 1e-12 && v <= p.max(q) + 1e-12;
            prop_assert!(within(at.deviation, left.deviation, right.deviation));
            prop_assert!(within(at.standard_uncertainty, left.standard_uncertainty, right.standard_uncertainty));
            prop_assert!(within(at.coverage_factor, left.coverage_factor, right.coverage_factor));
            prop_assert!(at.interpolation >= 0.0);
            // the corrected torque rises with the reading: deviations of at most 10 % cannot turn it round within a span
            let near = curve.at((x + 1e-9).min(b)).unwrap();
            prop_assert!((near.deviation - at.deviation).abs() < 1e-8);
            prop_assert!((near.standard_uncertainty - at.standard_uncertainty).abs() < 1e-6);
            prop_assert!((near.interpolation - at.interpolation).abs() < 1e-6);
        }
    }
}
