//! What may be said of a best estimate with an uncertainty, against limits.
//!
//! After JCGM 106:2012, clauses 7 to 9 (conformance probability, guard bands), ILAC-G8:09/2019, 4.2 (decision rules) and
//! ISO 14253-1:2017 (conformance to 95 %; for sale only, the figure is from memory). Clause numbers from memory.
//!
//! A limit belongs to the inside. Where the uncertainty is too large for the limits, there is nothing that could be
//! accepted: that is [`Zone::Empty`], and it speaks against the tool, never against the fastener.

use super::statistics::{normal_tail, student_tail};

mod guard;
mod tur;

pub use guard::{
    Conformance, Guards, Zone, conformance, coverage_for_risk, rectangular_coverage_for_risk, zone,
    zone_for_probability,
};
pub use tur::{GuardFactor, Tur, TurDefinition};

/// How probable it is that the true value lies where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Probabilities {
    /// Below the lower limit.
    pub under: f64,
    /// Between the limits: the conformance probability.
    pub within: f64,
    /// Above the upper limit.
    pub over: f64,
}

impl Probabilities {
    /// Nothing is known, so nothing speaks for its being within. It may be on either side that there is.
    const fn unknown(has_lower: bool) -> Self {
        let under = if has_lower { 0.5 } else { 0.0 };
        Self {
            under,
            within: 0.0,
            over: 1.0 - under,
        }
    }
}

/// The three probabilities. They are never negative and sum to one.
///
/// The true value is taken to lie around `best` as a normal distribution of standard deviation `standard` (JCGM 106:2012,
/// 7.1), or as a t distribution scaled by it where the degrees of freedom are finite (JCGM 101:2008, 6.4.9).
///
/// Without a lower limit nothing is under. With an infinite uncertainty, and with figures that make no sense, nothing is
/// known and nothing is within. A lower limit above the upper one leaves nothing within either.
pub fn probabilities(
    best: f64,
    standard: f64,
    freedom: Option<f64>,
    lower: Option<f64>,
    upper: f64,
) -> Probabilities {
    let figures = [best, standard, upper, lower.unwrap_or(upper)];
    let is_usable = figures.iter().all(|figure| !figure.is_nan()) && best.is_finite();
    if !is_usable || standard < 0.0 || standard == f64::INFINITY {
        return Probabilities::unknown(lower.is_some());
    }
    if standard == 0.0 {
        return exact(best, lower, upper);
    }
    let lower = lower.unwrap_or(f64::NEG_INFINITY);
    let sure = Sure { freedom };
    sure.between((best - lower) / standard, (upper - best) / standard)
}

/// Without uncertainty a limit is a limit.
fn exact(best: f64, lower: Option<f64>, upper: f64) -> Probabilities {
    let over = f64::from(u8::from(best > upper));
    let under = f64::from(u8::from(
        over == 0.0 && lower.is_some_and(|lower| best < lower),
    ));
    Probabilities {
        under,
        within: 1.0 - under - over,
        over,
    }
}

struct Sure {
    freedom: Option<f64>,
}

impl Sure {
    /// The probability of lying more than `distance` standard uncertainties to one side.
    fn tail(&self, distance: f64) -> f64 {
        match self.freedom {
            None => normal_tail(distance),
            Some(freedom) => student_tail(distance, freedom),
        }
    }

    /// From the distances of the best estimate to both limits, counted inwards.
    fn between(&self, above_lower: f64, below_upper: f64) -> Probabilities {
        let under = self.tail(above_lower);
        let over = self.tail(below_upper);
        if under.is_nan() || over.is_nan() {
            return Probabilities::unknown(above_lower < f64::INFINITY);
        }
        if above_lower + below_upper < 0.0 {
            let both = under + over;
            return Probabilities {
                under: under / both,
                within: 0.0,
                over: over / both,
            };
        }
        // From outside a limit the rest would be a difference of two numbers near one; the tails keep their figures.
        let within = if below_upper < 0.0 {
            self.tail(-below_upper) - under
        } else if above_lower < 0.0 {
            self.tail(-above_lower) - over
        } else {
            1.0 - under - over
        };
        Probabilities {
            under,
            within: within.max(0.0),
            over,
        }
    }
}

#[cfg(test)]
mod tests;
