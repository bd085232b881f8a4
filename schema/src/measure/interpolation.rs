//! The error of a tool at a torque between two points of its certificate.
//!
//! Straight lines from point to point; beyond the lowest and the highest point there is no answer, since nobody measured
//! there. The points of one calibration share the reference device, so their errors are taken as fully correlated
//! ([`SHARED_REFERENCE`]). Taken as independent, the middle between two points would look better known than the points.
//! Propagation after JCGM 100:2008, 5.2.2.

use super::budget::{correlated, root_sum_of_squares, true_torque};
use thiserror::Error;

/// The correlation between points that were calibrated against one reference device.
pub const SHARED_REFERENCE: f64 = 1.0;

/// One point of a certificate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// What the tool showed or was set to, N·m.
    pub torque: f64,
    /// Its deviation from the reference, percent of the reference.
    pub error: f64,
    /// Standard uncertainty of that deviation, percent.
    pub standard: f64,
}

/// What the certificate says at one torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interpolated {
    /// Deviation, percent.
    pub error: f64,
    /// Its standard uncertainty, percent.
    pub standard: f64,
    /// The best estimate of the true torque, N·m.
    pub corrected: f64,
}

impl Interpolated {
    /// What an uncertainty of the deviation, in percent of the reference, comes to in N·m of the corrected torque. The
    /// deviation is divided by, so it is a little less than that percentage of it where the tool shows too much.
    pub fn newton_metres(&self, percent: f64) -> f64 {
        (self.corrected / (1.0 + self.error / 100.0) * percent / 100.0).abs()
    }
}

/// Why a certificate says nothing at a torque.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum InterpolationError {
    /// No points.
    #[error("the certificate has no points: enter them from its table")]
    NoPoints,
    /// Not ascending, or not a number.
    #[error(
        "the certificate's points do not rise at {0} N·m: each torque may come once, from the lowest to the highest"
    )]
    NotRising(f64),
    /// Outside.
    #[error(
        "{torque} N·m is outside of what was calibrated, {lowest} to {highest} N·m: use a tool that was calibrated there"
    )]
    Outside {
        /// The torque asked for.
        torque: f64,
        /// The lowest point.
        lowest: f64,
        /// The highest point.
        highest: f64,
    },
}

/// What the certificate says at `torque`, as shown or set. `correlation` is that of neighbouring points, `between` the
/// standard uncertainty in percent of the straight line itself; it counts fully everywhere but on a point.
pub fn interpolate(
    points: &[Point],
    torque: f64,
    correlation: f64,
    between: f64,
) -> Result<Interpolated, InterpolationError> {
    check(points)?;
    if let Some(on) = points.iter().find(|point| is_same(point.torque, torque)) {
        return Ok(at(torque, on.error, on.standard));
    }
    let pairs = points.iter().zip(points.iter().skip(1));
    let mut around = pairs.filter(|(low, high)| low.torque < torque && torque < high.torque);
    let Some((low, high)) = around.next() else {
        return Err(outside(points, torque));
    };
    let (error, from_points) = on_the_line(low, high, torque, correlation);
    let standard = root_sum_of_squares([from_points, between].into_iter());
    Ok(at(torque, error, standard))
}

/// The error and its standard uncertainty on the straight line from one point to the next, in whatever unit both points
/// state them.
pub fn on_the_line(low: &Point, high: &Point, torque: f64, correlation: f64) -> (f64, f64) {
    let share = (torque - low.torque) / (high.torque - low.torque);
    let parts = [(1.0 - share) * low.standard, share * high.standard];
    (
        (1.0 - share) * low.error + share * high.error,
        correlated(&parts, |_, _| correlation),
    )
}

fn at(torque: f64, error: f64, standard: f64) -> Interpolated {
    Interpolated {
        error,
        standard,
        corrected: true_torque(torque, error),
    }
}

fn check(points: &[Point]) -> Result<(), InterpolationError> {
    if points.is_empty() {
        return Err(InterpolationError::NoPoints);
    }
    let mut before = f64::NEG_INFINITY;
    for point in points {
        let rises = point.torque > before && point.torque.is_finite();
        if !(rises && point.error.is_finite() && point.standard >= 0.0) {
            return Err(InterpolationError::NotRising(point.torque));
        }
        before = point.torque;
    }
    Ok(())
}

/// The very same number: a point is met or it is not.
#[expect(
    clippy::float_cmp,
    reason = "a torque next to a point is between points"
)]
fn is_same(one: f64, other: f64) -> bool {
    one == other
}

fn outside(points: &[Point], torque: f64) -> InterpolationError {
    let end = |point: Option<&Point>| point.map_or(f64::NAN, |point| point.torque);
    InterpolationError::Outside {
        torque,
        lowest: end(points.first()),
        highest: end(points.last()),
    }
}

#[cfg(test)]
mod tests;
