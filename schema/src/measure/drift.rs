//! What may have changed since a calibration, and whether two calibrations agree.
//!
//! Eₙ after ISO 13528 and ISO/IEC 17043 (from memory). The straight line between two calibrations and the rectangular
//! bound on drift are common practice, no source.

use super::budget::rectangular;

/// One calibration at one point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calibrated {
    /// The deviation found, percent.
    pub deviation: f64,
    /// Its expanded uncertainty, percent.
    pub expanded: f64,
}

/// Eₙ: the difference of two calibrations over both expanded uncertainties. Up to 1 they agree; above, the tool has
/// changed. Two that state no uncertainty agree only if they are equal.
pub fn normalized_error(first: Calibrated, second: Calibrated) -> f64 {
    let difference = (second.deviation - first.deviation).abs();
    if difference == 0.0 {
        return 0.0;
    }
    difference / first.expanded.hypot(second.expanded)
}

/// Whether two calibrations agree. Figures that are not numbers do not.
pub fn agree(first: Calibrated, second: Calibrated) -> bool {
    normalized_error(first, second) <= 1.0
}

/// The deviation at a time between two calibrations, taken to have drifted evenly. `share` is how much of the time
/// between them had passed, 0 to 1; before the first and after the second there is no answer.
pub fn between_calibrations(first: f64, second: f64, share: f64) -> Option<f64> {
    let deviation = (1.0 - share) * first + share * second;
    (0.0..=1.0).contains(&share).then_some(deviation)
}

/// The standard uncertainty of drift since a calibration: the deviation may have moved by anything up to `rate` times `age`
/// either way. The unit is the rate's, for example percent with a rate in percent a year and an age in years. A calibration
/// that lies in the future has not drifted; a rate that is negative counts as its size.
pub fn standard_since(rate: f64, age: f64) -> f64 {
    if age <= 0.0 {
        return 0.0;
    }
    rectangular(rate.abs() * age)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

    use super::*;
    use crate::measure::testing::near;
    use proptest::prelude::*;

    fn found(deviation: f64, expanded: f64) -> Calibrated {
        Calibrated {
            deviation,
            expanded,
        }
    }

    /// Computed from the formula.
    #[test]
    fn two_calibrations_agree_or_do_not() {
        let (before, after) = (found(1.2, 1.0), found(2.9, 1.1));
        near(normalized_error(before, after), 1.143_54, 0.000_005);
        assert!(!agree(before, after));
        let (before, after) = (found(-0.5, 0.8), found(-1.1, 0.9));
        near(normalized_error(before, after), 0.498_27, 0.000_005);
        assert!(agree(before, after));
        assert!(agree(found(1.0, 0.0), found(1.0, 0.0)));
        assert!(!agree(found(1.0, 0.0), found(1.1, 0.0)));
        assert!(!agree(found(f64::NAN, 1.0), found(1.1, 1.0)));
    }

    /// Computed from the formula.
    #[test]
    fn drift_is_spread_over_the_time_between() {
        near(
            between_calibrations(1.2, 2.9, 5.0 / 12.0).unwrap(),
            1.908,
            0.0005,
        );
        assert_eq!(between_calibrations(1.2, 2.9, 0.0), Some(1.2));
        assert_eq!(between_calibrations(1.2, 2.9, 1.0), Some(2.9));
        for outside in [-0.01, 1.01, f64::NAN] {
            assert_eq!(between_calibrations(1.2, 2.9, outside), None);
        }
    }

    #[test]
    fn drift_grows_with_age() {
        near(standard_since(1.0, 0.5), 0.5 / 3.0_f64.sqrt(), 1e-15);
        near(standard_since(-1.0, 0.5), 0.5 / 3.0_f64.sqrt(), 1e-15);
        assert_eq!(standard_since(1.0, -2.0), 0.0);
        assert!(standard_since(1.0, f64::NAN).is_nan());
        assert!(standard_since(f64::NAN, 1.0).is_nan());
    }

    proptest! {
        #[test]
        fn the_order_of_calibrations_does_not_matter(a in -9.0..9.0, b in -9.0..9.0, u in 0.01..3.0, v in 0.01..3.0) {
            let (one, other) = (found(a, u), found(b, v));
            prop_assert_eq!(normalized_error(one, other), normalized_error(other, one));
            prop_assert!(normalized_error(one, found(b, v + 1.0)) <= normalized_error(one, other));
        }

        #[test]
        fn older_is_never_better_known(rate in 0.0..9.0, age in 0.0..9.0, more in 0.0..9.0) {
            prop_assert!(standard_since(rate, age + more) >= standard_since(rate, age));
        }
    }
}
