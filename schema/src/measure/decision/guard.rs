//! Guard bands and acceptance zones.

use super::probabilities;
use crate::measure::statistics::student_coverage;

/// Less than this is nothing beside a probability.
const ROUNDING: f64 = 1e-15;
/// Ten are usual.
const MOST_STEPS: usize = 100;

/// How far each limit is moved in, N·m. A negative one moves it out.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Guards {
    /// The lower limit is moved up by so much.
    pub lower: f64,
    /// The upper limit is moved down by so much.
    pub upper: f64,
}

impl Guards {
    /// The same band on both sides (ILAC-G8:09/2019, 4.2.2).
    pub const fn both(width: f64) -> Self {
        Self {
            lower: width,
            upper: width,
        }
    }

    /// Only the upper limit is guarded.
    pub const fn upper(width: f64) -> Self {
        Self {
            lower: 0.0,
            upper: width,
        }
    }
}

/// Where a best estimate may lie to be accepted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Zone {
    /// From the lower acceptance limit, if there is one, to the upper, both included.
    Between {
        /// The lower acceptance limit.
        lower: Option<f64>,
        /// The upper acceptance limit.
        upper: f64,
    },
    /// The guard bands leave nothing: the tool is not fit for these limits. No reading of it can be accepted, and none
    /// can fail because of that.
    Empty,
}

impl Zone {
    fn of(lower: Option<f64>, upper: f64) -> Self {
        // A torque that has only a maximum starts at zero.
        if lower.unwrap_or(0.0) <= upper {
            Self::Between { lower, upper }
        } else {
            Self::Empty
        }
    }

    /// Whether a best estimate is accepted.
    pub fn accepts(&self, best: f64) -> bool {
        match *self {
            Self::Between { lower, upper } => {
                best <= upper && lower.is_none_or(|lower| best >= lower)
            }
            Self::Empty => false,
        }
    }
}

/// The acceptance zone that guard bands leave of the limits (JCGM 106:2012, 8.3). Empty too where a figure is not a number.
pub fn zone(lower: Option<f64>, upper: f64, guards: Guards) -> Zone {
    Zone::of(
        lower.map(|lower| lower + guards.lower),
        upper - guards.upper,
    )
}

/// The acceptance zone in which the conformance probability is at least `probability` (ISO 14253-1:2017, with 0.95 as its
/// default, from memory). Where the uncertainty is small beside the tolerance this is the one-sided band, k = 1.645 for
/// 95 %; where it is not, both tails count and the zone is narrower.
pub fn zone_for_probability(
    standard: f64,
    freedom: Option<f64>,
    lower: Option<f64>,
    upper: f64,
    probability: f64,
) -> Zone {
    let one_sided = upper - coverage_for_risk(1.0 - probability, freedom) * standard;
    let Some(lower) = lower else {
        return Zone::of(None, one_sided);
    };
    let middle = 0.5 * (lower + upper);
    let spare =
        |best| probabilities(best, standard, freedom, Some(lower), upper).within - probability;
    // Not a number is not enough either.
    let is_enough = spare(middle) >= 0.0 && lower <= upper;
    if !is_enough {
        return Zone::Empty;
    }
    let limit = last_enough(middle, one_sided.max(middle), spare);
    Zone::of(Some(middle - (limit - middle)), limit)
}

/// The last value from `inside` on, where there is something to spare, towards `outside`, where there is nothing or a
/// rounding. By the Illinois variant of false position: as safe as halving, and far fewer steps.
fn last_enough(mut inside: f64, mut outside: f64, spare: impl Fn(f64) -> f64) -> f64 {
    let (mut more, mut less) = (spare(inside), spare(outside));
    if less >= -ROUNDING {
        return outside;
    }
    let mut was_inside = None;
    for _ in 0..MOST_STEPS {
        let is_between = |value: f64| inside < value && value < outside;
        let straight = (outside * more - inside * less) / (more - less);
        let next = if is_between(straight) {
            straight
        } else {
            0.5 * (inside + outside)
        };
        if !is_between(next) {
            break;
        }
        let found = spare(next);
        let is_inside = found >= -ROUNDING;
        // The end that stays a second time counts half, or it would never move.
        let weight = if was_inside == Some(is_inside) {
            0.5
        } else {
            1.0
        };
        was_inside = Some(is_inside);
        if is_inside {
            (inside, more, less) = (next, found, weight * less);
        } else {
            (outside, less, more) = (next, found, weight * more);
        }
        if found.abs() <= ROUNDING {
            break;
        }
    }
    inside
}

/// How many standard uncertainties a one-sided guard band needs, so that at its edge the true value is beyond the limit
/// with probability `risk` (JCGM 106:2012, 8.3.2; t distribution where the degrees of freedom are finite).
pub fn coverage_for_risk(risk: f64, freedom: Option<f64>) -> f64 {
    let freedom = freedom.unwrap_or(f64::INFINITY);
    if risk > 0.5 {
        return -student_coverage(2.0 * risk - 1.0, freedom);
    }
    student_coverage(1.0 - 2.0 * risk, freedom)
}

/// The same where the true value may lie anywhere within its bounds (rectangular): √3 (1 − 2·risk), and no risk at all from
/// √3 on. Closed form.
pub fn rectangular_coverage_for_risk(risk: f64) -> f64 {
    3.0_f64.sqrt() * (1.0 - 2.0 * risk)
}

/// A statement of conformity that is not just yes or no (ILAC-G8:09/2019, 4.2.3; the limits from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Conformance {
    /// Within the limits by at least the guard band.
    Pass,
    /// Within the limits, inside the guard band.
    ConditionalPass,
    /// Beyond a limit, by no more than the guard band.
    ConditionalFail,
    /// Beyond a limit by more than the guard band, or not a number.
    Fail,
}

/// The statement for a best estimate. With a guard band as wide as the limits allow, nothing passes without a condition:
/// see [`Zone::Empty`].
pub fn conformance(best: f64, lower: Option<f64>, upper: f64, guard: f64) -> Conformance {
    let accepts = |guard| zone(lower, upper, Guards::both(guard)).accepts(best);
    if accepts(guard) {
        Conformance::Pass
    } else if accepts(0.0) {
        Conformance::ConditionalPass
    } else if accepts(-guard) {
        Conformance::ConditionalFail
    } else {
        Conformance::Fail
    }
}
