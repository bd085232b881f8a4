//! The daily check of a wrench: is it still what it was, and how far is it from the limit?

use super::{ChartError, Ewma, EwmaSettings, EwmaState};

/// What a check says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Watched {
    /// As it was.
    Quiet,
    /// It creeps away, and is still within the limit: have it calibrated.
    Warning,
    /// The check or the average is beyond the limit: take the tool out of use.
    Beyond,
}

/// An EWMA chart beside a limit that must not be reached without a warning.
///
/// The control limits have to lie within the limit, or there could be no warning: checks that scatter too much are refused.
/// A jump past the limit cannot be announced by anything; a drift can, see [`Watch::fastest_drift`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watch {
    chart: Ewma,
    target: f64,
    weight: f64,
    limit: f64,
}

impl Watch {
    /// `limit` is how far a check may be from the target, either way.
    pub fn new(settings: EwmaSettings, limit: f64) -> Result<Self, ChartError> {
        let chart = Ewma::new(settings)?;
        let control = chart.final_half_width();
        if limit.is_nan() || control >= limit {
            return Err(ChartError::TooCoarse { control, limit });
        }
        Ok(Self {
            chart,
            target: settings.target,
            weight: settings.weight,
            limit,
        })
    }

    /// One more check. What is not a number changes nothing and gives nothing.
    pub fn feed(&mut self, value: f64) -> Option<(Watched, EwmaState)> {
        let state = self.chart.feed(value)?;
        let is_beyond = |value: f64| (value - self.target).abs() > self.limit;
        let said = if is_beyond(value) || is_beyond(state.value) {
            Watched::Beyond
        } else if state.signal.is_some() {
            Watched::Warning
        } else {
            Watched::Quiet
        };
        Some((said, state))
    }

    /// A drift of less than this from check to check is warned of before the limit is reached: the average trails a
    /// straight drift by (1 − λ)/λ steps, and warns at the control limit. It holds for the drift itself; scatter comes on
    /// top and can go either way.
    pub fn fastest_drift(&self) -> f64 {
        let room = self.limit - self.chart.final_half_width();
        // One more step, since a check comes only once in a step.
        room * self.weight
    }
}
