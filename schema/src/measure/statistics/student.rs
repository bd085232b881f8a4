//! Student's t distribution for any number of degrees of freedom from 1 on, whole or not. Fewer are not a number.
//!
//! The tail is an incomplete beta function. With many degrees of freedom it is the normal tail of a transformed value, which
//! is faster and in the end the only one that is exact: G. W. Hill, "Algorithm 395: Student's t-distribution", CACM 13 (1970),
//! from memory; checked against `SciPy`, and both against each other.
//! The quantile starts from Hill's Algorithm 396 (same volume, from memory too) and is then refined on the tail itself, so
//! a wrong constant could only cost time.

use super::{PI, checked_beta_reg, gamma, normal_quantile, normal_tail};

/// Above this many degrees of freedom the expansion is exact to 1e-11, up to a t whose square is a sixth of them.
const MANY: f64 = 100.0;
/// Above this many it is the one to take wherever a tail is no smaller than every number.
const VERY_MANY: f64 = 20_000.0;
/// So many are as good as infinitely many: the difference is below the last figure.
const INFINITE: f64 = 1e16;
/// More than enough: the refinement triples the number of right figures each time.
const MOST_STEPS: usize = 60;

/// The probability that a t value with that many degrees of freedom is at most `t`. Infinite freedom is the normal
/// distribution.
pub fn student_cdf(t: f64, freedom: f64) -> f64 {
    student_tail(-t, freedom)
}

/// The probability that a t value is above `t`.
pub fn student_tail(t: f64, freedom: f64) -> f64 {
    if t.is_nan() || is_too_few(freedom) {
        return f64::NAN;
    }
    let beyond = if freedom > INFINITE {
        normal_tail(t.abs())
    } else {
        upper_tail(t.abs(), freedom)
    };
    if t < 0.0 { 1.0 - beyond } else { beyond }
}

/// The value that a t value does not exceed with probability `p`.
pub fn student_quantile(p: f64, freedom: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) || is_too_few(freedom) {
        return f64::NAN;
    }
    let tail = p.min(1.0 - p);
    let beyond = value_beyond(tail, freedom);
    if p < 0.5 { -beyond } else { beyond }
}

/// The coverage factor: a t value lies between −k and +k with the given probability (JCGM 100:2008, G.3.2).
pub fn student_coverage(probability: f64, freedom: f64) -> f64 {
    if !(0.0..=1.0).contains(&probability) || is_too_few(freedom) {
        return f64::NAN;
    }
    value_beyond(0.5 * (1.0 - probability), freedom)
}

/// Also if it is not a number.
fn is_too_few(freedom: f64) -> bool {
    freedom.is_nan() || freedom < 1.0
}

/// The tail above `t` for `t` from 0 on.
fn upper_tail(t: f64, freedom: f64) -> f64 {
    if t == f64::INFINITY {
        return 0.0;
    }
    let square = t * t;
    if freedom > VERY_MANY || (freedom > MANY && 6.0 * square < freedom) {
        return normal_tail(as_normal(t, freedom));
    }
    if t < 1.0 {
        // Of the two complementary forms the one whose argument is far from 1.
        let between = checked_beta_reg(0.5, 0.5 * freedom, square / (freedom + square));
        return between.map_or(f64::NAN, |between| 0.5 * (1.0 - between));
    }
    let share = 1.0 / (1.0 + square / freedom);
    checked_beta_reg(0.5 * freedom, 0.5, share).map_or(f64::NAN, |beyond| 0.5 * beyond)
}

/// The normal value with the same tail (Algorithm 395, the expansion).
fn as_normal(t: f64, freedom: f64) -> f64 {
    let a = freedom - 0.5;
    let b = 48.0 * a * a;
    let y = a * (t * t / freedom).ln_1p();
    if y > 1600.0 {
        // Forty standard deviations: the tail is below every number, and the terms would overflow.
        return f64::INFINITY;
    }
    let top = ((-0.4 * y - 3.3) * y - 24.0) * y - 85.5;
    let bottom = 0.8 * y * y + 100.0 + b;
    ((top / bottom + y + 3.0) / b + 1.0) * y.sqrt()
}

/// The density at `t`, for a tail of at most one half.
struct Density {
    scale: f64,
    freedom: f64,
}

impl Density {
    fn new(freedom: f64) -> Self {
        Self {
            scale: half_step(0.5 * freedom) / (PI * freedom).sqrt(),
            freedom,
        }
    }

    fn at(&self, t: f64) -> f64 {
        let power = -0.5 * (self.freedom + 1.0) * (t * t / self.freedom).ln_1p();
        self.scale * power.exp()
    }
}

/// Γ(a + ½) / Γ(a).
fn half_step(a: f64) -> f64 {
    if a < 25.0 {
        return gamma::gamma(a + 0.5) / gamma::gamma(a);
    }
    let small = 1.0 / a;
    let series = -1.0 / 8.0
        + small
            * (1.0 / 128.0
                + small * (5.0 / 1024.0 + small * (-21.0 / 32768.0 - small * 399.0 / 262_144.0)));
    a.sqrt() * (1.0 + small * series)
}

/// The value above which the probability `tail` lies; `tail` is at most one half.
fn value_beyond(tail: f64, freedom: f64) -> f64 {
    if tail <= 0.0 {
        return f64::INFINITY;
    }
    if tail >= 0.5 {
        return 0.0;
    }
    if freedom > INFINITE {
        return -normal_quantile(tail);
    }
    let density = Density::new(freedom);
    let mut t = first_guess(tail, freedom);
    for _ in 0..MOST_STEPS {
        let here = upper_tail(t, freedom);
        let next = refine(t, here, tail, &density);
        let change = (next - t).abs();
        t = next;
        // The next step would change it by the cube of this one: by 3e-14.
        if change <= 3e-5 * t {
            break;
        }
    }
    t
}

/// One step towards the value with tail `tail`, from `t` with tail `here`: near it Halley's, far from it Newton's on
/// logarithms, on which the tail is nearly straight and no step can leave the positive numbers.
fn refine(t: f64, here: f64, tail: f64, density: &Density) -> f64 {
    let slope = density.at(t);
    let off = (here - tail) / slope;
    if off.abs() < 0.05 * t {
        let curve = (density.freedom + 1.0) * t / (density.freedom + t * t);
        return t + off / (1.0 - 0.5 * curve * off);
    }
    let step = (here / tail).ln() * here / (t * slope);
    t * step.clamp(-2.0, 2.0).exp()
}

fn first_guess(tail: f64, freedom: f64) -> f64 {
    if freedom <= 2.0 {
        return between_closed_forms(tail, freedom);
    }
    hill(2.0 * tail, freedom)
}

/// One and two degrees of freedom have closed forms; between them the logarithm is nearly straight over 1/ν.
fn between_closed_forms(tail: f64, freedom: f64) -> f64 {
    let one = 1.0 / (PI * tail).tan();
    let two = (1.0 - 2.0 * tail) / (2.0 * tail * (1.0 - tail)).sqrt();
    two * (one / two).powf(2.0 / freedom - 1.0)
}

/// Algorithm 396: the value outside of which, on both sides together, the probability `p` lies.
#[expect(
    clippy::many_single_char_names,
    reason = "the letters are those of the paper"
)]
fn hill(p: f64, freedom: f64) -> f64 {
    let a = 1.0 / (freedom - 0.5);
    let b = 48.0 / (a * a);
    let c = ((20_700.0 * a / b - 98.0) * a - 16.0) * a + 96.36;
    let d = ((94.5 / (b + c) - 3.0) / b + 1.0) * (a * PI / 2.0).sqrt() * freedom;
    let y = (d * p).powf(2.0 / freedom);
    let square = if y > 0.05 + a {
        let x = normal_quantile(0.5 * p);
        let y = x * x;
        let c = if freedom < 5.0 {
            c + 0.3 * (freedom - 4.5) * (x + 0.6)
        } else {
            c
        };
        let c = (((0.05 * d * x - 5.0) * x - 7.0) * x - 2.0) * x + b + c;
        let y = (((((0.4 * y + 6.3) * y + 36.0) * y + 94.5) / c - y - 3.0) / b + 1.0) * x;
        (a * y * y).exp_m1()
    } else {
        let inner = ((freedom + 6.0) / (freedom * y) - 0.089 * d - 0.822) * (freedom + 2.0) * 3.0;
        ((1.0 / inner + 0.5 / (freedom + 4.0)) * y - 1.0) * (freedom + 1.0) / (freedom + 2.0)
            + 1.0 / y
    };
    (freedom * square).sqrt()
}
