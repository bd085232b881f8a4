//! Distributions and the few statistics that the other modules stand on.
//!
//! Underneath is the library statrs, with its tails mended where they were measured to be too coarse: its
//! complementary error function is good to 1e-10 only, and its incomplete beta function loses figures from some hundred
//! thousand degrees of freedom on. With what is done here all of it agrees with `SciPy` to 1e-9 relative and better.
//!
//! Out of range is an answer too: a probability of 0 or 1 has the quantile ∓infinity, and everything that makes no sense
//! (a probability of 2, a negative number of degrees of freedom) is not a number.

use statrs::function::{beta::checked_beta_reg, erf, gamma};
use std::f64::consts::{PI, SQRT_2};

mod chi_squared;
mod non_central;
mod student;

pub use chi_squared::{chi_squared_cdf, chi_squared_quantile};
pub use non_central::non_central_student_cdf;
pub use student::{student_cdf, student_coverage, student_quantile, student_tail};

/// The density of the standard normal distribution.
pub fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * PI).sqrt()
}

/// The probability that a standard normal value is at most `z`.
pub fn normal_cdf(z: f64) -> f64 {
    normal_tail(-z)
}

/// The probability that a standard normal value is above `z`. Exact in the far tail, where `1 - cdf` is nothing but
/// rounding.
pub fn normal_tail(z: f64) -> f64 {
    let coarse = 0.5 * erf::erfc(z / SQRT_2);
    // statrs' inverse is good to the last figures, its forward function only to ten: one Newton step makes up for it.
    // Beyond 37 the probability is below every normal number.
    if !(-8.0..37.0).contains(&z) {
        return coarse;
    }
    let back = SQRT_2 * erf::erfc_inv(2.0 * coarse);
    coarse - (z - back) * normal_density(z)
}

/// The value that a standard normal value does not exceed with probability `p`.
pub fn normal_quantile(p: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    if p > 0.5 {
        return SQRT_2 * erf::erfc_inv(2.0 * (1.0 - p));
    }
    -SQRT_2 * erf::erfc_inv(2.0 * p)
}

/// The arithmetic mean; none without values.
pub fn mean(values: &[f64]) -> Option<f64> {
    let count = count(values);
    (count > 0.0).then(|| values.iter().sum::<f64>() / count)
}

/// The sum of squared deviations from the mean.
fn squares(values: &[f64]) -> Option<f64> {
    let mean = mean(values)?;
    Some(values.iter().map(|value| (value - mean).powi(2)).sum())
}

/// The standard deviation of a sample (divisor n − 1); none with fewer than two values.
pub fn sample_standard_deviation(values: &[f64]) -> Option<f64> {
    let freedom = count(values) - 1.0;
    (freedom >= 1.0).then_some((squares(values)? / freedom).sqrt())
}

/// A standard deviation and what it stands on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pooled {
    /// The standard deviation within the groups.
    pub standard_deviation: f64,
    /// Its degrees of freedom: values less groups.
    pub freedom: f64,
}

/// The common standard deviation within groups whose means may differ (JCGM 100:2008, H.3.6 and H.5.2.2 use it; the
/// formula is textbook). Groups of one value add nothing. None if no group has two.
pub fn pooled_standard_deviation(groups: &[&[f64]]) -> Option<Pooled> {
    let usable = groups.iter().filter(|group| group.len() > 1);
    let (sum, freedom) = usable.fold((0.0, 0.0), |(sum, freedom), group| {
        let squares = squares(group).unwrap_or_default();
        (sum + squares, freedom + count(group) - 1.0)
    });
    (freedom >= 1.0).then(|| Pooled {
        standard_deviation: (sum / freedom).sqrt(),
        freedom,
    })
}

/// How many values there are, as a number to divide by.
#[expect(
    clippy::cast_precision_loss,
    reason = "nobody holds 2^53 values in memory"
)]
pub(crate) fn count<T>(values: &[T]) -> f64 {
    values.len() as f64
}

#[cfg(test)]
mod tests;
