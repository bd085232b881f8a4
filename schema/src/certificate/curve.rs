//! From calibration points to the deviation and its uncertainty at any reading between them.
//!
//! Between two points everything is linear. The points come from one calibration and share its reference device, so
//! their uncertainties are taken as fully correlated (ρ = 1): taken as independent, a reading half-way would seem to
//! be better known than the points themselves (JCGM 100:2008, 5.2.2).
//!
//! How far the true curve leaves the straight line is a contribution of its own. With three points or more it is the
//! remainder of linear interpolation, |f\[x0, x1, x2\]|·(x − x1)·(x2 − x): the second divided difference, the larger one of
//! the two that a span belongs to, stands in for the curvature that nobody knows. With two points nothing tells how the
//! deviation bends between them; half of the difference of their deviations is taken at mid-span, falling to zero at the
//! points as a parabola. Either is a half-width, taken as rectangular (JCGM 100:2008, 4.3.7). The second rule is common
//! sense and has no source.
//!
//! **Outside the points nothing is extrapolated.**

use super::{Certificate, Point};
use crate::measure::interpolation::{self as measure, SHARED_REFERENCE, on_the_line};

/// Where a reading lies against the calibration points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// Between the lowest and the highest point, or on one of them.
    Inside,
    /// Below the lowest point.
    Below,
    /// Above the highest point.
    Above,
}

/// What a certificate says about one reading. Ratios are plain: 0.004 is 0.4 %.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtValue {
    /// The relative deviation `a_s` = (indicated − reference) / reference.
    pub deviation: f64,
    /// The relative standard uncertainty of the calibration, without interpolation.
    pub standard_uncertainty: f64,
    /// The relative standard uncertainty that interpolating adds; zero on a point and outside the points.
    pub interpolation: f64,
    /// Degrees of freedom of the calibration's uncertainty: the fewer of the two neighbours; nothing where not stated.
    pub degrees_of_freedom: Option<u32>,
    /// The coverage factor that belongs to the calibration's uncertainty.
    pub coverage_factor: f64,
    /// Outside the points the figures are those of the nearest end: they do not hold there, and the caller decides what
    /// stands in for them.
    pub reach: Reach,
}

impl AtValue {
    /// The best estimate of the torque that was applied, in the unit of `indicated`: `indicated / (1 + a_s)`.
    pub fn corrected(&self, indicated: f64) -> f64 {
        indicated / (1.0 + self.deviation)
    }
}

/// The deviation of a tool over its calibrated range.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    knots: Vec<Knot>,
    spans: Vec<Span>,
}

/// A calibration point, worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Knot {
    indicated: f64,
    deviation: f64,
    uncertainty: f64,
    coverage_factor: f64,
    degrees_of_freedom: Option<u32>,
}

/// What lies between a point and the next: the half-width of interpolation is `bend`·(x − x1)·(x2 − x).
#[derive(Debug, Clone, Copy, PartialEq)]
struct Span {
    width: f64,
    bend: f64,
}

impl Curve {
    /// Works out the curve. Nothing where the certificate states no points, or points that [`Certificate::check`] refuses:
    /// not above zero, not rising, without an uncertainty or a coverage factor.
    pub fn new(certificate: &Certificate) -> Option<Self> {
        let knots: Vec<Knot> = certificate
            .points
            .iter()
            .map(Knot::of)
            .collect::<Option<_>>()?;
        let rises = knots
            .windows(2)
            .all(|pair| matches!(pair, [a, b] if a.indicated < b.indicated));
        if knots.is_empty() || !rises {
            return None;
        }
        let spans = spans(&knots);
        Some(Self { knots, spans })
    }

    /// The lowest and the highest calibrated torque, as indicated, in N·m.
    pub fn range(&self) -> (f64, f64) {
        let end = |knot: Option<&Knot>| knot.map_or(f64::NAN, |knot| knot.indicated);
        (end(self.knots.first()), end(self.knots.last()))
    }

    /// What holds at a torque that the tool shows, in N·m. It is a size: for a pull the other way pass it without its sign.
    /// Nothing for what is no size.
    pub fn at(&self, indicated_newton_metres: f64) -> Option<AtValue> {
        let x = indicated_newton_metres;
        if !x.is_finite() || x < 0.0 {
            return None;
        }
        let next = self.knots.partition_point(|knot| knot.indicated < x);
        let above = self.knots.get(next);
        match (next.checked_sub(1), above) {
            (_, Some(knot)) if knot.indicated <= x => Some(knot.says(Reach::Inside)),
            (None, Some(knot)) => Some(knot.says(Reach::Below)),
            (Some(n), None) => self.knots.get(n).map(|knot| knot.says(Reach::Above)),
            (Some(n), Some(right)) => {
                let (left, span) = (self.knots.get(n)?, self.spans.get(n)?);
                Some(between(left, right, *span, x))
            }
            (None, None) => None,
        }
    }

    /// The best estimate of the torque that was applied, in N·m: `indicated / (1 + a_s)`. Outside the points with the figures
    /// of the nearest end.
    pub fn corrected(&self, indicated_newton_metres: f64) -> Option<f64> {
        self.at(indicated_newton_metres)
            .map(|at| at.corrected(indicated_newton_metres))
    }
}

impl Knot {
    fn of(point: &Point) -> Option<Self> {
        let indicated = point.indicated.newton_metres();
        let deviation = point.deviation()?;
        let uncertainty = point.standard_uncertainty()?;
        (indicated > 0.0 && uncertainty > 0.0).then_some(Self {
            indicated,
            deviation,
            uncertainty,
            coverage_factor: point.coverage_factor(),
            degrees_of_freedom: point.degrees_of_freedom,
        })
    }

    fn says(&self, reach: Reach) -> AtValue {
        AtValue {
            deviation: self.deviation,
            standard_uncertainty: self.uncertainty,
            interpolation: 0.0,
            degrees_of_freedom: self.degrees_of_freedom,
            coverage_factor: self.coverage_factor,
            reach,
        }
    }

    fn point(&self) -> measure::Point {
        measure::Point {
            torque: self.indicated,
            error: self.deviation,
            standard: self.uncertainty,
        }
    }

    /// The relative expanded uncertainty.
    fn expanded(&self) -> f64 {
        self.uncertainty * self.coverage_factor
    }
}

fn between(left: &Knot, right: &Knot, span: Span, x: f64) -> AtValue {
    let part = (x - left.indicated) / span.width;
    let blend = |a: f64, b: f64| (1.0 - part).mul_add(a, part * b);
    let (deviation, uncertainty) = on_the_line(&left.point(), &right.point(), x, SHARED_REFERENCE);
    let half_width = span.bend * (x - left.indicated) * (right.indicated - x);
    let fewer = match (left.degrees_of_freedom, right.degrees_of_freedom) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (one, other) => one.or(other),
    };
    AtValue {
        deviation,
        standard_uncertainty: uncertainty,
        interpolation: half_width / 3.0_f64.sqrt(),
        degrees_of_freedom: fewer,
        coverage_factor: blend(left.expanded(), right.expanded()) / uncertainty,
        reach: Reach::Inside,
    }
}

fn spans(knots: &[Knot]) -> Vec<Span> {
    let pairs = knots.windows(2).enumerate();
    let span = |(n, pair): (usize, &[Knot])| {
        let [a, b] = pair else { return None };
        let width = b.indicated - a.indicated;
        let before = n
            .checked_sub(1)
            .and_then(|n| knots.get(n..))
            .and_then(second_difference);
        let after = knots.get(n..).and_then(second_difference);
        let bend = match (before, after) {
            // Half of the difference at mid-span, where (x − x1)·(x2 − x) is width²/4.
            (None, None) => (b.deviation - a.deviation).abs() / 2.0 / (width * width / 4.0),
            (one, other) => one.unwrap_or(0.0).max(other.unwrap_or(0.0)),
        };
        Some(Span { width, bend })
    };
    pairs.filter_map(span).collect()
}

/// The size of f\[x0, x1, x2\] over the first three of some points.
fn second_difference(knots: &[Knot]) -> Option<f64> {
    let [a, b, c, ..] = knots else { return None };
    let slope =
        |from: &Knot, to: &Knot| (to.deviation - from.deviation) / (to.indicated - from.indicated);
    Some(((slope(b, c) - slope(a, b)) / (c.indicated - a.indicated)).abs())
}
