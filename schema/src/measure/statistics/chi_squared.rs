//! The chi-squared distribution, for 1 to a million degrees of freedom. Fewer and more are not a number: the series
//! underneath needs more and more terms, and nobody has so many readings.

use super::{gamma, normal_quantile};

const MOST_FREEDOM: f64 = 1e6;
const MOST_STEPS: usize = 100;

/// The probability that a chi-squared value with that many degrees of freedom is at most `x`.
pub fn chi_squared_cdf(x: f64, freedom: f64) -> f64 {
    if x.is_nan() || !is_freedom(freedom) {
        return f64::NAN;
    }
    if x <= 0.0 {
        return 0.0;
    }
    if x == f64::INFINITY {
        return 1.0;
    }
    gamma::checked_gamma_lr(0.5 * freedom, 0.5 * x).unwrap_or(f64::NAN)
}

fn is_freedom(freedom: f64) -> bool {
    (1.0..=MOST_FREEDOM).contains(&freedom)
}

/// The probability that a chi-squared value is above `x`, for a positive `x`.
fn above(x: f64, freedom: f64) -> f64 {
    gamma::checked_gamma_ur(0.5 * freedom, 0.5 * x).unwrap_or(f64::NAN)
}

/// The value that a chi-squared value does not exceed with probability `p`.
pub fn chi_squared_quantile(p: f64, freedom: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) || !is_freedom(freedom) {
        return f64::NAN;
    }
    if p <= 0.0 {
        return 0.0;
    }
    if p >= 1.0 {
        return f64::INFINITY;
    }
    let mut x = first_guess(p, freedom);
    for _ in 0..MOST_STEPS {
        let next = x * step(x, p, freedom).clamp(-1.0, 1.0).exp();
        if !next.is_finite() {
            // A probability so small that the value is below every number.
            break;
        }
        let change = (next - x).abs();
        x = next;
        if change <= 1e-14 * x {
            break;
        }
    }
    x
}

/// Newton's step on the logarithms of value and probability, of whichever tail is the smaller: there they are nearly
/// straight, and no step can leave the positive numbers.
fn step(x: f64, p: f64, freedom: f64) -> f64 {
    let half = 0.5 * freedom;
    let density = (half * (0.5 * x).ln() - 0.5 * x - gamma::ln_gamma(half)).exp();
    if p < 0.5 {
        let here = chi_squared_cdf(x, freedom);
        return (p / here).ln() * here / density;
    }
    let here = above(x, freedom);
    (here / (1.0 - p)).ln() * here / density
}

/// Wilson and Hilferty's cube; near zero the first term of the series.
fn first_guess(p: f64, freedom: f64) -> f64 {
    let small = 2.0 / (9.0 * freedom);
    let cube = freedom * (1.0 - small + normal_quantile(p) * small.sqrt()).powi(3);
    if cube > 0.1 * freedom {
        return cube;
    }
    let half = 0.5 * freedom;
    let series = 2.0 * ((p.ln() + gamma::ln_gamma(half + 1.0)) / half).exp();
    series.max(f64::MIN_POSITIVE)
}
