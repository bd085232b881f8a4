//! The two-sided tabular CUSUM.

use super::{ChartError, Side, is_positive, side};

/// How a CUSUM is kept, in the unit of the values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CusumSettings {
    /// What is expected.
    pub target: f64,
    /// k: half the change that is to be seen; less is let pass.
    pub allowance: f64,
    /// h: the sum above which the chart signals.
    pub interval: f64,
}

/// Two sums, of what is above the target and of what is below it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cusum {
    settings: CusumSettings,
    high: f64,
    low: f64,
}

/// A CUSUM after one more value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CusumState {
    /// The sum of what is above.
    pub high: f64,
    /// The sum of what is below, as a positive number.
    pub low: f64,
    /// h.
    pub limit: f64,
    /// Which of them is above it; the larger one if both are.
    pub signal: Option<Side>,
}

impl Cusum {
    /// A chart without values.
    pub fn new(settings: CusumSettings) -> Result<Self, ChartError> {
        let CusumSettings {
            target,
            allowance,
            interval,
        } = settings;
        if !target.is_finite() {
            return Err(ChartError::Target(target));
        }
        if !(allowance >= 0.0 && allowance.is_finite() && is_positive(interval)) {
            return Err(ChartError::Interval {
                allowance,
                interval,
            });
        }
        Ok(Self {
            settings,
            high: 0.0,
            low: 0.0,
        })
    }

    /// One more value. What is not a number changes nothing and gives nothing.
    pub fn feed(&mut self, value: f64) -> Option<CusumState> {
        if !value.is_finite() {
            return None;
        }
        let CusumSettings {
            target,
            allowance,
            interval,
        } = self.settings;
        self.high = (self.high + value - target - allowance).max(0.0);
        self.low = (self.low + target - value - allowance).max(0.0);
        let is_high = self.high > interval && self.high >= self.low;
        Some(CusumState {
            high: self.high,
            low: self.low,
            limit: interval,
            signal: side(self.low > interval, is_high),
        })
    }
}
