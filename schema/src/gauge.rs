//! What a tool's number is worth: from what a display showed to the torque at the fastener and its uncertainty.
//!
//! The way is always the same: the torque at the tool's drive, corrected by the deviation of its certificate, times the
//! leverage of the adapter that is fitted. Around it stands the budget after JCGM 100:2008: each contribution is kept as
//! a standard uncertainty, so that a reader can add it up again. Where no certificate speaks, the permissible deviation
//! of the tool's class (ISO 6789-1) stands in as a rectangular distribution, and nothing is corrected.
//!
//! Assumptions that no certificate states are constants of this file, marked where they have no source.

mod lines;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

pub use lines::{Basis, ClassBecause, Fitted, Lines, Worth, apply, to_ppm};

use crate::certificate::{Certificate, Contribution as Covers, Curve, Reach};
use crate::entry::ToolCheck;
use crate::measure::budget::{
    COVERAGE_PROBABILITY, Contribution, Line, combine, maximum_deviation, rectangular, resolution,
};
use crate::measure::decision::probabilities;
use crate::measure::drift::standard_since;
use crate::measure::{adapter, statistics};
use crate::plan::Limits;
use crate::quantity::Torque;
use crate::tool::Tool;
use crate::verdict::Outside;
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// The widest permissible deviation of any class, in percent; for a tool whose class nobody stated. From memory of
/// ISO 6789-1:2017, 5.1.5.
pub const WIDEST_CLASS_PERCENT: f64 = 6.0;
/// How far the hand may be from the marked point, in mm; half-width of a rectangular distribution. Common practice, no
/// source.
pub const HAND_HALF_WIDTH_MM: f64 = 5.0;
/// How well an adapter's length is known, in mm; half-width of a rectangular distribution. Common practice, no source.
pub const LENGTH_HALF_WIDTH_MM: f64 = 0.5;
/// How well the angle of an adapter is known, in degrees; half-width of a rectangular distribution. Common practice, no
/// source.
pub const ANGLE_HALF_WIDTH_DEGREES: f64 = 3.0;
/// What part of its class limit a tool may drift by in a year, if nothing else is known. An assumption, no source.
pub const ASSUMED_DRIFT_OF_CLASS: f64 = 0.25;
/// A display's step, as part of the class limit, where it is not known: ISO 6789-1:2017 allows a quarter of it.
const ASSUMED_STEP_OF_CLASS: f64 = 0.25;
/// Two calibrations nearer than this, in years, tell nothing about drift.
const LEAST_YEARS_FOR_DRIFT: f64 = 0.2;
const DAYS_IN_A_YEAR: f64 = 365.25;
const PPM: f64 = 1e6;

/// What was shown, or set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// The torque at the drive.
    pub torque: Torque,
    /// The step of its last digit in N·m, where it came from a display.
    pub step: Option<f64>,
}

/// What is known about the torque at a tool's drive.
#[derive(Debug, Clone, PartialEq)]
pub struct AtDrive {
    /// What it rests on.
    pub basis: Basis,
    /// The deviation to correct, in millionths.
    pub deviation_ppm: i32,
    /// The uncertainty that does not come from the tool at hand: calibration, class, drift.
    pub lines: Vec<Line>,
}

/// A tool with everything that is known about its error, ready to weigh readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    class_percent: f64,
    resolution: Option<f64>,
    calibration: Option<Calibration>,
    has_certificate: bool,
    repeatability: Option<Spread>,
    reproducibility: f64,
}

#[derive(Debug, Clone, PartialEq)]
struct Calibration {
    number: String,
    date: NaiveDate,
    curve: Curve,
    covers: BTreeSet<Covers>,
    /// Half-width of the drift in a year, relative.
    drift: f64,
}

/// A relative standard deviation and its degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Spread {
    relative: f64,
    freedom: Option<f64>,
}

impl Gauge {
    /// From a tool, the certificates before its present one, and its checks against a reference, the oldest first.
    pub fn new(tool: &Tool, earlier: &[Certificate], checks: &[ToolCheck]) -> Self {
        let highest = tool.highest.map_or(0.0, Torque::newton_metres);
        let class_percent = tool.class.map_or(WIDEST_CLASS_PERCENT, |class| {
            maximum_deviation(class, highest)
        });
        let certificate = tool.certificate.as_ref();
        let calibration = certificate.and_then(|certificate| {
            let curve = Curve::new(certificate)?;
            Some(Calibration {
                number: certificate.number.clone(),
                date: certificate.date,
                drift: drift_per_year(tool, certificate, &curve, earlier, class_percent),
                covers: certificate.covers.clone(),
                curve,
            })
        });
        let stated = certificate
            .and_then(|certificate| {
                Some(Spread {
                    relative: f64::from(certificate.repeatability_ppm?) / PPM,
                    freedom: certificate
                        .repeatability_readings
                        .map(|readings| f64::from(readings.saturating_sub(1)))
                        .filter(|&freedom| freedom > 0.0),
                })
            })
            .or_else(|| {
                Some(Spread {
                    relative: f64::from(tool.repeatability_ppm?) / PPM,
                    freedom: None,
                })
            });
        let span = certificate
            .and_then(|certificate| certificate.reproducibility_ppm)
            .or(tool.reproducibility_ppm);
        Self {
            class_percent,
            resolution: tool.resolution.map(Torque::newton_metres),
            has_certificate: certificate.is_some(),
            calibration,
            repeatability: stated.or_else(|| repeatability_of(checks)),
            reproducibility: span.map_or(0.0, |ppm| f64::from(ppm) / PPM),
        }
    }

    /// The permissible deviation of the tool's class in percent.
    pub const fn class_percent(&self) -> f64 {
        self.class_percent
    }

    /// The deviation that the certificate states at a torque, relative; nothing outside its points.
    pub fn deviation(&self, newton_metres: f64) -> Option<f64> {
        let at = self.calibration.as_ref()?.curve.at(newton_metres)?;
        (at.reach == Reach::Inside).then_some(at.deviation)
    }

    /// What the tool has to show, or to be set to, for a torque at the fastener; the other way round than weighing. In N·m.
    pub fn setting(&self, wanted: Torque, fitted: Option<&Fitted>) -> f64 {
        let at_drive = wanted.newton_metres() / fitted.map_or(1.0, Fitted::leverage);
        // The deviation is stated where the tool shows it, and hardly differs a little beside.
        let near = at_drive * (1.0 + self.deviation(at_drive).unwrap_or(0.0));
        at_drive * (1.0 + self.deviation(near).unwrap_or(0.0))
    }

    /// The torque at the fastener alone, without a budget.
    pub fn at_fastener(&self, shown: Torque, fitted: Option<&Fitted>) -> Torque {
        let deviation = self.deviation(shown.magnitude().newton_metres());
        apply(shown, deviation.map_or(0, to_ppm), fitted)
    }

    /// Weighs what was shown on a day: the torque at the fastener, and what it is worth.
    pub fn weigh(&self, shown: Shown, fitted: Option<&Fitted>, day: NaiveDate) -> (Torque, Worth) {
        let at = self.at_the_drive(shown.torque.magnitude().newton_metres(), day);
        self.weigh_as(shown, fitted, at)
    }

    /// The same with what is known about the torque at the drive from elsewhere: a recall knows it from two calibrations.
    pub fn weigh_as(&self, shown: Shown, fitted: Option<&Fitted>, at: AtDrive) -> (Torque, Worth) {
        let AtDrive {
            basis,
            deviation_ppm,
            mut lines,
        } = at;
        let x = shown.torque.magnitude().newton_metres();
        let leverage = fitted.map_or(1.0, Fitted::leverage);
        let at_drive = x / (1.0 + f64::from(deviation_ppm) / PPM);
        self.put_the_tools_own(&mut lines, &basis, shown, at_drive);
        for line in &mut lines {
            line.standard *= leverage;
        }
        if let Some(standard) = fitted.and_then(|fitted| lever_uncertainty(fitted, at_drive)) {
            lines.push(line(Contribution::Adapter, standard, None));
        }
        let combined = combine(&lines, COVERAGE_PROBABILITY);
        let worth = Worth::new(basis, deviation_ppm, &lines, &combined);
        (apply(shown.torque, deviation_ppm, fitted), worth)
    }

    fn put_the_tools_own(&self, lines: &mut Vec<Line>, basis: &Basis, shown: Shown, at_drive: f64) {
        if !self.covers(basis, Covers::Resolution) {
            let step = self.step(shown, at_drive);
            lines.push(line(Contribution::Resolution, resolution(step), None));
        }
        if let Some(spread) = self.repeatability
            && !self.covers(basis, Covers::Repeatability)
        {
            let standard = spread.relative * at_drive;
            lines.push(line(Contribution::Repeatability, standard, spread.freedom));
        }
        if self.reproducibility > 0.0 && !self.covers(basis, Covers::Reproducibility) {
            let standard = self.reproducibility * at_drive;
            lines.push(line(Contribution::Reproducibility, standard, None));
        }
    }

    /// What is known about the torque at the drive: from the certificate, else from the class.
    fn at_the_drive(&self, x: f64, day: NaiveDate) -> AtDrive {
        let mut lines = Vec::with_capacity(8);
        let at = self
            .calibration
            .as_ref()
            .and_then(|calibration| Some((calibration, calibration.curve.at(x)?)));
        let because = match at {
            Some((calibration, at)) if at.reach == Reach::Inside => {
                let ppm = to_ppm(at.deviation);
                let torque = x / (1.0 + at.deviation);
                let age = years(calibration.date, day);
                let drift = standard_since(calibration.drift, age) * torque;
                lines.push(line(
                    Contribution::Certificate,
                    at.standard_uncertainty * torque,
                    at.degrees_of_freedom.map(f64::from),
                ));
                lines.push(line(
                    Contribution::Interpolation,
                    at.interpolation * torque,
                    None,
                ));
                lines.push(line(Contribution::Drift, drift, None));
                let number = calibration.number.clone();
                return AtDrive {
                    basis: Basis::Certificate { number },
                    deviation_ppm: ppm,
                    lines,
                };
            }
            Some(_) => ClassBecause::OutsidePoints,
            None if self.has_certificate => ClassBecause::NoPoints,
            None => ClassBecause::NoCertificate,
        };
        let standard = rectangular(self.class_percent / 100.0) * x;
        lines.push(line(Contribution::ToolClass, standard, None));
        AtDrive {
            basis: Basis::Class { because },
            deviation_ppm: 0,
            lines,
        }
    }

    fn covers(&self, basis: &Basis, what: Covers) -> bool {
        matches!(basis, Basis::Certificate { .. })
            && self
                .calibration
                .as_ref()
                .is_some_and(|calibration| calibration.covers.contains(&what))
    }

    fn step(&self, shown: Shown, x: f64) -> f64 {
        // A display that rounds to more than its last digit says so in the tool's file.
        let coarsest = self
            .resolution
            .into_iter()
            .chain(shown.step)
            .reduce(f64::max);
        coarsest.unwrap_or(ASSUMED_STEP_OF_CLASS * self.class_percent / 100.0 * x)
    }
}

/// How likely the truth lies outside the limits (JCGM 106:2012, clause 7).
pub fn outside(applied: Torque, worth: &Worth, limits: &Limits) -> Outside {
    Outside::of(probabilities(
        applied.newton_metres(),
        worth.standard.newton_metres(),
        worth.freedom.map(f64::from),
        limits.lower.map(Torque::newton_metres),
        limits.upper.newton_metres(),
    ))
}

const fn line(name: Contribution, standard: f64, freedom: Option<f64>) -> Line {
    Line {
        name,
        standard,
        freedom,
    }
}

fn lever_uncertainty(fitted: &Fitted, at_drive: f64) -> Option<f64> {
    let known = adapter::Geometry {
        wrench: rectangular(HAND_HALF_WIDTH_MM),
        adapter: rectangular(LENGTH_HALF_WIDTH_MM),
        angle: rectangular(ANGLE_HALF_WIDTH_DEGREES),
    };
    Some(fitted.geometry()?.standard_uncertainty(at_drive, known))
}

#[expect(clippy::cast_precision_loss, reason = "days of a tool's life")]
fn years(from: NaiveDate, to: NaiveDate) -> f64 {
    to.signed_duration_since(from).num_days() as f64 / DAYS_IN_A_YEAR
}

/// Stated in the certificate, else with the tool, else seen between the last two certificates, else assumed.
fn drift_per_year(
    tool: &Tool,
    certificate: &Certificate,
    curve: &Curve,
    earlier: &[Certificate],
    class_percent: f64,
) -> f64 {
    let stated = certificate.drift_ppm_per_year.or(tool.drift_ppm_per_year);
    if let Some(ppm) = stated {
        return f64::from(ppm) / PPM;
    }
    let seen = earlier.last().and_then(|before| {
        let years = years(before.date, certificate.date);
        let old = Curve::new(before)?;
        let moved = certificate
            .points
            .iter()
            .filter_map(|point| {
                let x = point.indicated.newton_metres();
                let (new, old) = (curve.at(x)?, old.at(x)?);
                let is_known = new.reach == Reach::Inside && old.reach == Reach::Inside;
                is_known.then_some((new.deviation - old.deviation).abs())
            })
            .reduce(f64::max)?;
        (years >= LEAST_YEARS_FOR_DRIFT).then_some(moved / years)
    });
    seen.unwrap_or(ASSUMED_DRIFT_OF_CLASS * class_percent / 100.0)
}

/// The pooled standard deviation of all checks, relative.
fn repeatability_of(checks: &[ToolCheck]) -> Option<Spread> {
    let groups: Vec<Vec<f64>> = checks
        .iter()
        .map(ToolCheck::deviations)
        .filter(|group| group.len() > 1)
        .collect();
    let groups: Vec<&[f64]> = groups.iter().map(Vec::as_slice).collect();
    let pooled = statistics::pooled_standard_deviation(&groups)?;
    Some(Spread {
        relative: pooled.standard_deviation,
        freedom: Some(pooled.freedom),
    })
}
