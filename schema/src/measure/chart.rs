//! Control charts that are fed one value at a time: a small change that lasts is seen long before one value is out.
//!
//! EWMA after the NIST/SEMATECH e-Handbook, 6.3.2.4, with the start-up limits of textbooks; CUSUM in its tabular form after
//! 6.3.2.3. [`Watch`] puts an EWMA to the daily check of a wrench. Nothing here knows what a day is.

use thiserror::Error;

mod cusum;
mod watch;

pub use cusum::{Cusum, CusumSettings, CusumState};
pub use watch::{Watch, Watched};

/// Why a chart cannot be kept.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ChartError {
    /// The target.
    #[error("the target of the chart is {0}: state the value a sound tool shows")]
    Target(f64),
    /// The scatter.
    #[error(
        "the standard deviation of the chart is {0}: it must be above zero; take it from repeated checks"
    )]
    StandardDeviation(f64),
    /// The weight of the newest value.
    #[error(
        "the weight of the newest value is {0}: it must be above 0 and at most 1; 0.2 is usual"
    )]
    Weight(f64),
    /// The width of the limits.
    #[error("the width of the control limits is {0}: it must be above zero; 3 is usual")]
    Width(f64),
    /// CUSUM's allowance or decision interval.
    #[error(
        "the allowance is {allowance} and the decision interval {interval}: neither may be below zero, the interval not zero"
    )]
    Interval {
        /// k.
        allowance: f64,
        /// h.
        interval: f64,
    },
    /// The control limits lie outside of the limit that is to be watched.
    #[error(
        "the checks scatter too much to warn in time: control limits {control} from the target, the limit {limit}. Take the mean of several pulls as one check"
    )]
    TooCoarse {
        /// Half the distance of the control limits.
        control: f64,
        /// The limit.
        limit: f64,
    },
}

/// To which side a chart signals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Below.
    Low,
    /// Above.
    High,
}

/// How an EWMA chart is kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EwmaSettings {
    /// What is expected, and where the average starts.
    pub target: f64,
    /// Standard deviation of one value.
    pub standard_deviation: f64,
    /// λ, the weight of the newest value.
    pub weight: f64,
    /// L, the distance of the control limits in standard deviations of the average.
    pub width: f64,
}

/// An exponentially weighted moving average.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ewma {
    settings: EwmaSettings,
    value: f64,
    /// (1 − λ)^(2i): what of the start is still in the variance.
    remainder: f64,
}

/// An EWMA chart after one more value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EwmaState {
    /// The average.
    pub value: f64,
    /// The lower control limit for so many values.
    pub lower: f64,
    /// The upper control limit for so many values.
    pub upper: f64,
    /// Whether the average is beyond one of them.
    pub signal: Option<Side>,
}

impl Ewma {
    /// A chart without values.
    pub fn new(settings: EwmaSettings) -> Result<Self, ChartError> {
        let EwmaSettings {
            target,
            standard_deviation,
            weight,
            width,
        } = settings;
        if !target.is_finite() {
            return Err(ChartError::Target(target));
        }
        if !is_positive(standard_deviation) {
            return Err(ChartError::StandardDeviation(standard_deviation));
        }
        if !(is_positive(weight) && weight <= 1.0) {
            return Err(ChartError::Weight(weight));
        }
        if !is_positive(width) {
            return Err(ChartError::Width(width));
        }
        Ok(Self {
            settings,
            value: target,
            remainder: 1.0,
        })
    }

    /// One more value. What is not a number changes nothing and gives nothing.
    pub fn feed(&mut self, value: f64) -> Option<EwmaState> {
        if !value.is_finite() {
            return None;
        }
        let EwmaSettings { target, weight, .. } = self.settings;
        self.value = weight * value + (1.0 - weight) * self.value;
        self.remainder *= (1.0 - weight) * (1.0 - weight);
        let half = self.half_width(self.remainder);
        let (lower, upper) = (target - half, target + half);
        Some(EwmaState {
            value: self.value,
            lower,
            upper,
            signal: side(self.value < lower, self.value > upper),
        })
    }

    /// How far from the target the control limits come to lie after many values.
    pub fn final_half_width(&self) -> f64 {
        self.half_width(0.0)
    }

    fn half_width(&self, remainder: f64) -> f64 {
        let EwmaSettings {
            standard_deviation,
            weight,
            width,
            ..
        } = self.settings;
        width * standard_deviation * (weight / (2.0 - weight) * (1.0 - remainder)).sqrt()
    }
}

fn is_positive(figure: f64) -> bool {
    figure > 0.0 && figure.is_finite()
}

fn side(low: bool, high: bool) -> Option<Side> {
    match (low, high) {
        (_, true) => Some(Side::High),
        (true, false) => Some(Side::Low),
        (false, false) => None,
    }
}

#[cfg(test)]
mod tests;
