//! Guard bands and acceptance zones.

use super::*;

const NINETY_FIVE: f64 = 0.95;

fn bounds(zone: Zone) -> Option<(f64, f64)> {
    match zone {
        Zone::Between { lower, upper } => Some((lower.unwrap(), upper)),
        Zone::Empty => None,
    }
}

/// One-sided factors of the normal distribution, computed; the t value from a public text on conformity.
#[test]
fn a_risk_has_its_factor() {
    for (risk, factor) in [
        (0.05, 1.644_854),
        (0.025, 1.959_964),
        (0.02, 2.053_749),
        (0.01, 2.326_348),
        (0.001, 3.090_232),
        (0.5, 0.0),
        (0.95, -1.644_854),
    ] {
        near(coverage_for_risk(risk, None), factor, 0.000_000_5);
    }
    near(coverage_for_risk(0.01, Some(4.0)), 3.747, 0.0005);
    // Closed form: nothing is left beyond √3 standard uncertainties.
    near(rectangular_coverage_for_risk(0.0), 3.0_f64.sqrt(), 1e-15);
    near(
        rectangular_coverage_for_risk(0.05),
        0.9 * 3.0_f64.sqrt(),
        1e-15,
    );
}

/// Torques computed from the rules: guard band U = 2u (ILAC-G8:09/2019, 4.2.2), and conformance to 95 %.
#[test]
fn torques_have_these_acceptance_zones() {
    for (lower, upper, standard, by_u, by_probability) in [
        (4.5, 5.5, 0.10, (4.70, 5.30), (4.6645, 5.3355)),
        (5.5, 6.5, 0.15, (5.80, 6.20), (5.7467, 6.2533)),
        (36.0, 44.0, 0.80, (37.6, 42.4), (37.3159, 42.6841)),
    ] {
        let (from, to) = bounds(zone(Some(lower), upper, Guards::both(2.0 * standard))).unwrap();
        near(from, by_u.0, 1e-12);
        near(to, by_u.1, 1e-12);
        let one_sided = coverage_for_risk(0.05, None) * standard;
        let (from, to) = bounds(zone(Some(lower), upper, Guards::both(one_sided))).unwrap();
        near(from, by_probability.0, 0.000_05);
        near(to, by_probability.1, 0.000_05);
    }
}

#[test]
fn a_tool_that_is_too_coarse_leaves_nothing_to_accept() {
    // 5 ± 0.15 N·m with u = 0.10: 2u is more than half the tolerance, and so is 1.645u.
    for guard in [0.2, coverage_for_risk(0.05, None) * 0.1] {
        let zone = zone(Some(4.85), 5.15, Guards::both(guard));
        assert_eq!(zone, Zone::Empty);
        assert!(!zone.accepts(5.0));
    }
    assert_eq!(
        zone_for_probability(0.1, None, Some(4.85), 5.15, NINETY_FIVE),
        Zone::Empty
    );
    // A maximum alone leaves something as long as the guard band is smaller than it.
    assert!(zone(None, 6.0, Guards::upper(5.9)).accepts(0.05));
    assert_eq!(zone(None, 6.0, Guards::upper(6.1)), Zone::Empty);
    for wrong in [f64::NAN, f64::INFINITY] {
        assert_eq!(zone(Some(4.5), 5.5, Guards::both(wrong)), Zone::Empty);
        assert_eq!(
            zone_for_probability(wrong, None, Some(4.5), 5.5, NINETY_FIVE),
            Zone::Empty
        );
        assert_eq!(
            zone_for_probability(wrong, None, None, 5.5, NINETY_FIVE),
            Zone::Empty
        );
    }
}

#[test]
fn both_tails_count_where_the_uncertainty_is_large() {
    // u small beside the tolerance: the one-sided band. u = T/4.2: narrower.
    let small = zone_for_probability(0.05, None, Some(4.5), 5.5, NINETY_FIVE);
    near(bounds(small).unwrap().1, 5.5 - 1.644_854 * 0.05, 1e-6);
    let (from, to) = bounds(zone_for_probability(
        0.24,
        None,
        Some(4.5),
        5.5,
        NINETY_FIVE,
    ))
    .unwrap();
    assert!(to < 5.5 - 1.644_854 * 0.24);
    let at = |best| probabilities(best, 0.24, None, Some(4.5), 5.5).within;
    near(at(from), NINETY_FIVE, 1e-12);
    near(at(to), NINETY_FIVE, 1e-12);
    near(from + to, 10.0, 1e-12);
}

#[test]
fn only_the_upper_limit_is_guarded_when_asked() {
    let zone = zone(Some(4.5), 5.5, Guards::upper(0.2));
    assert!(zone.accepts(4.5) && zone.accepts(5.3));
    assert!(!zone.accepts(4.49) && !zone.accepts(5.31));
    assert!(!zone.accepts(f64::NAN));
}

/// ILAC-G8:09/2019, 4.2.3; limits from memory. An edge belongs to the better side.
#[test]
fn four_statements_for_two_limits() {
    for (best, expected) in [
        (5.75, Conformance::Pass),
        (5.76, Conformance::ConditionalPass),
        (6.0, Conformance::ConditionalPass),
        (6.01, Conformance::ConditionalFail),
        (6.25, Conformance::ConditionalFail),
        (6.26, Conformance::Fail),
        (3.74, Conformance::Fail),
        (3.75, Conformance::ConditionalFail),
        (4.0, Conformance::ConditionalPass),
        (4.25, Conformance::Pass),
        (f64::NAN, Conformance::Fail),
    ] {
        assert_eq!(conformance(best, Some(4.0), 6.0, 0.25), expected, "{best}");
    }
    // The guard bands meet: nothing passes without a condition.
    assert_eq!(
        conformance(5.0, Some(4.0), 6.0, 1.25),
        Conformance::ConditionalPass
    );
}

/// Common practice; computed from the formulas.
#[test]
fn guard_factors_come_from_the_ratio_they_are_defined_for() {
    for (ratio, root, linear) in [
        (2.0, 0.866_025, 0.5),
        (3.0, 0.942_809, 0.666_667),
        (4.0, 0.968_246, 0.75),
    ] {
        let tur = Tur::of_tolerance(ratio * 0.2, 0.2);
        near(tur.root_sum_of_squares().unwrap().factor, root, 0.000_000_5);
        let factor = tur.test_95().unwrap();
        near(factor.factor, linear, 0.000_000_5);
        assert_eq!(factor.tur.definition, TurDefinition::ToleranceOverExpanded);
    }
    // The torque cases above.
    near(Tur::of_tolerance(0.5, 0.2).value, 2.5, 1e-12);
    near(Tur::of_tolerance(0.5, 0.3).value, 1.667, 0.0005);
    let coarse = Tur::of_tolerance(0.15, 0.2);
    near(coarse.value, 0.75, 1e-12);
    assert_eq!(coarse.root_sum_of_squares(), None);
    assert_eq!(coarse.test_95(), None);
    let other = Tur::of_process(2.0, 0.5);
    assert_eq!(other.definition, TurDefinition::ProcessOverMeasurement);
    assert_eq!(other.test_95(), None);
}

proptest! {
    #[test]
    fn what_the_zone_accepts_conforms_with_its_probability(
        best in 3.0..7.0, standard in 1e-3..1.0, freedom in prop::option::of(1.0..100.0),
        probability in 0.55..0.999,
    ) {
        let zone = zone_for_probability(standard, freedom, Some(4.5), 5.5, probability);
        let within = probabilities(best, standard, freedom, Some(4.5), 5.5).within;
        if zone.accepts(best) {
            prop_assert!(within >= probability - 1e-9, "{zone:?} {within}");
        } else {
            prop_assert!(within <= probability + 1e-9, "{zone:?} {within}");
        }
        if let Some((_, to)) = bounds(zone) {
            let at_the_end = probabilities(to, standard, freedom, Some(4.5), 5.5).within;
            prop_assert!((at_the_end - probability).abs() <= 1e-12, "{zone:?} {at_the_end}");
        }
    }

    #[test]
    fn a_wider_guard_never_accepts_more(best in 3.0..7.0, guard in 0.0..1.0, more in 0.0..1.0) {
        let narrow = zone(Some(4.5), 5.5, Guards::both(guard + more));
        let wide = zone(Some(4.5), 5.5, Guards::both(guard));
        prop_assert!(!narrow.accepts(best) || wide.accepts(best));
    }
}
