//! An uncertainty budget: its lines, their combination, and the coverage factor.
//!
//! After JCGM 100:2008: 5.1.2 (sum of squares), 5.2.2 (correlated contributions), 6.2 (expanded uncertainty), G.3 and G.4
//! (Student's t and the Welch-Satterthwaite formula), 4.3.7 to 4.3.9 (rectangular, triangular). Clause numbers from memory.
//!
//! **The effective degrees of freedom are neither truncated nor rounded.** G.4.1 leaves the choice between truncating to
//! the next lower whole number and interpolating; here the t distribution is taken at the fraction itself, which is what
//! interpolating aims at. Truncating would let the result jump where a line changes by a hair: the standard's own example
//! comes to 18.9987, which truncates to 18 though the text takes 19.
//!
//! Two things to know. A wider line never makes `standard` smaller. It can make `expanded` smaller where the budget rests on
//! fewer than seven effective degrees of freedom, since a wide well-known line also dilutes a badly known one: that is a
//! property of the formula, not of this code. And a line that is not a number or negative makes the whole budget infinite, so
//! that nothing can pass on the strength of it.

use super::statistics::student_coverage;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

mod iso6789;

pub use iso6789::{
    Deviations, ToolClass, UnknownToolClass, class_line, deviation, maximum_deviation, true_torque,
    uncertainty_interval,
};

/// The coverage probability of every expanded uncertainty that this program states: two standard deviations of a normal
/// distribution, so that k is 2 where everything is well known (JCGM 100:2008, 6.3.3 and table G.1).
pub const COVERAGE_PROBABILITY: f64 = 0.9545;

/// What a line of a budget stands for.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Contribution {
    /// The smallest step of the display.
    Resolution,
    /// What the calibration certificate states.
    Certificate,
    /// What the tool's class allows, where there is no certificate.
    ToolClass,
    /// Readings of the same torque, one after the other.
    Repeatability,
    /// Readings of the same torque after the tool was taken off, by another person, on another day.
    Reproducibility,
    /// What may have changed since the calibration.
    Drift,
    /// Between two points of the certificate.
    Interpolation,
    /// Lengths and angle of an offset adapter.
    Adapter,
}

impl fmt::Display for Contribution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Resolution => "resolution of the display",
            Self::Certificate => "calibration certificate",
            Self::ToolClass => "limit of the tool's class",
            Self::Repeatability => "repeatability",
            Self::Reproducibility => "reproducibility",
            Self::Drift => "drift since the calibration",
            Self::Interpolation => "between points of the certificate",
            Self::Adapter => "offset adapter",
        })
    }
}

/// One line: a standard uncertainty that is already multiplied by its sensitivity coefficient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// What it stands for.
    pub name: Contribution,
    /// Standard uncertainty of the applied torque, N·m.
    pub standard: f64,
    /// Degrees of freedom; none where it counts as known exactly (an assumed distribution, a certificate with k = 2).
    pub freedom: Option<f64>,
}

impl Line {
    /// A line that counts as known exactly.
    pub const fn known(name: Contribution, standard: f64) -> Self {
        Self {
            name,
            standard,
            freedom: None,
        }
    }
}

/// A budget added up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Combined {
    /// Combined standard uncertainty, N·m.
    pub standard: f64,
    /// Effective degrees of freedom as the formula gives them; none where they are infinite.
    pub freedom: Option<f64>,
    /// k.
    pub coverage_factor: f64,
    /// Expanded uncertainty U = k·u, N·m.
    pub expanded: f64,
}

/// Adds up uncorrelated lines. No lines give no uncertainty.
///
/// A line with fewer than one degree of freedom says that nothing is known about how good it is: the budget is then
/// infinite.
pub fn combine(lines: &[Line], coverage_probability: f64) -> Combined {
    if lines.iter().any(is_unusable) {
        return Combined {
            standard: f64::INFINITY,
            freedom: None,
            coverage_factor: student_coverage(coverage_probability, f64::INFINITY),
            expanded: f64::INFINITY,
        };
    }
    let standard = root_sum_of_squares(lines.iter().map(|line| line.standard));
    let freedom = effective_freedom(lines, standard);
    let coverage_factor = coverage_factor(coverage_probability, freedom);
    Combined {
        standard,
        freedom,
        coverage_factor,
        expanded: coverage_factor * standard,
    }
}

fn is_unusable(line: &Line) -> bool {
    let known = line.freedom.is_none_or(|freedom| freedom >= 1.0);
    !(line.standard >= 0.0 && line.standard.is_finite() && known)
}

/// √(Σ uᵢ²) for uncorrelated contributions (JCGM 100:2008, 5.1.2).
pub fn root_sum_of_squares(standards: impl Iterator<Item = f64>) -> f64 {
    standards
        .map(|standard| standard * standard)
        .sum::<f64>()
        .sqrt()
}

/// The general law for correlated contributions (JCGM 100:2008, 5.2.2): √(ΣΣ uᵢ uⱼ rᵢⱼ), with `correlation(i, j)` for i < j
/// between −1 and 1. Contributions carry the sign of their sensitivity coefficient.
pub fn correlated(contributions: &[f64], correlation: impl Fn(usize, usize) -> f64) -> f64 {
    let mut sum = 0.0;
    for (j, second) in contributions.iter().enumerate() {
        sum += second * second;
        for (i, first) in contributions.iter().enumerate().take(j) {
            sum += 2.0 * first * second * correlation(i, j);
        }
    }
    // Full anticorrelation may come out a rounding below zero. Not a number stays what it is.
    if sum < 0.0 { 0.0 } else { sum.sqrt() }
}

/// The Welch-Satterthwaite formula (JCGM 100:2008, G.2b): ν = u⁴ / Σ uᵢ⁴/νᵢ. None is infinite.
pub fn effective_freedom(lines: &[Line], standard: f64) -> Option<f64> {
    let share = |line: &Line| {
        let freedom = line.freedom?;
        Some((line.standard / standard).powi(4) / freedom)
    };
    let sum: f64 = lines.iter().filter_map(share).sum();
    let freedom = 1.0 / sum;
    // The formula cannot give less than its worst line has; its rounding can.
    freedom.is_finite().then_some(freedom.max(1.0))
}

/// k for a coverage probability: Student's t, or the normal distribution where the freedom is infinite.
pub fn coverage_factor(coverage_probability: f64, freedom: Option<f64>) -> f64 {
    student_coverage(coverage_probability, freedom.unwrap_or(f64::INFINITY))
}

/// The standard uncertainty of a value that may lie anywhere within ± `half_width` (JCGM 100:2008, 4.3.7).
pub fn rectangular(half_width: f64) -> f64 {
    half_width / 3.0_f64.sqrt()
}

/// The same where the middle is likelier than the ends (JCGM 100:2008, 4.3.9).
pub fn triangular(half_width: f64) -> f64 {
    half_width / 6.0_f64.sqrt()
}

/// The same where the value swings to and fro, so that the ends are likeliest (JCGM 100:2008, H.1.3.4).
pub fn arcsine(half_width: f64) -> f64 {
    half_width / 2.0_f64.sqrt()
}

/// The standard uncertainty of a display that shows whole steps (JCGM 100:2008, F.2.2.1).
pub fn resolution(step: f64) -> f64 {
    rectangular(0.5 * step)
}

#[cfg(test)]
mod tests;
