//! The non-central t distribution: a normal value that is not centred on zero, over an estimated standard deviation.
//!
//! Worked out as the mean of a normal probability over the distribution of the estimated standard deviation, on a
//! logarithmic scale, by the trapezoidal rule: for an integrand that is smooth and dies away at both ends its error falls
//! off faster than any power of the step.

use super::{gamma, normal_cdf};

/// Natural logarithm of what is left out at either end.
const DEPTH: f64 = 40.0;
/// Steps for each width of the narrowest feature.
const FINENESS: f64 = 3.0;
/// Enough for an index of 10 with five readings or with ten thousand; beyond, the step grows.
const MOST_STEPS: f64 = 4000.0;

/// The probability that (Z + `shift`)/s is at most `t`, where Z is standard normal and ν s² is chi-squared with ν =
/// `freedom`. Not a number with fewer than one or more than a million degrees of freedom.
pub fn non_central_student_cdf(t: f64, freedom: f64, shift: f64) -> f64 {
    let is_usable = (1.0..=1e6).contains(&freedom) && t.is_finite() && shift.is_finite();
    if !is_usable {
        return f64::NAN;
    }
    // ln s: at most ±√(DEPTH/ν) where ν is large; below zero it dies away more slowly.
    let near = (DEPTH / freedom).sqrt();
    let (from, to) = (-near - DEPTH / freedom - 0.5 / freedom, near);
    let narrowest = (2.0 * freedom).sqrt().max(t.abs());
    let steps = ((to - from) * FINENESS * narrowest).ceil().min(MOST_STEPS);
    let width = (to - from) / steps;
    let half = 0.5 * freedom;
    let scale = std::f64::consts::LN_2 + half * half.ln() - gamma::ln_gamma(half);
    let density = |x: f64| (scale + freedom * x - half * (2.0 * x).exp()).exp();
    let mut sum = 0.0;
    let mut step = 0.0;
    while step <= steps {
        let x = from + step * width;
        sum += density(x) * normal_cdf(t * x.exp() - shift);
        step += 1.0;
    }
    (sum * width).clamp(0.0, 1.0)
}
