//! What a tool of another quantity than torque is known to be, and what its numbers are worth.
//!
//! The uncertainty is combined after JCGM 100:2008, 5.1.2, as a torque's is: the step of the display as a rectangular
//! distribution (F.2.2.1), and the certificate as a normal one, U divided by k (4.3.3). Where no certificate is on file
//! the maximum permissible error that is stated for the tool stands in, as a rectangular distribution (4.3.7), and the
//! reading says so. The expanded uncertainty is twice the standard one (6.3.3). Clause numbers from memory.

use super::SmallUnit;
use crate::measure::budget::{rectangular, resolution, root_sum_of_squares};
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

mod file;

pub use file::{CheckCertificateFile, MeasuringFigures, MeasuringToolError};

/// What a certificate of calibration says about a tool that measures no torque.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckCertificate {
    /// Its number.
    pub number: String,
    /// Who calibrated.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub laboratory: Option<String>,
    /// The day of the calibration.
    #[schemars(with = "String")]
    pub date: NaiveDate,
    /// When the next one is due.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    #[schemars(with = "Option<String>")]
    pub due: Option<NaiveDate>,
    /// The expanded uncertainty U, in whole small units, rounded up.
    pub expanded: i64,
    /// Its coverage factor k, in thousandths.
    pub coverage_thousandths: u32,
    /// What the tool shows less what is, where it is corrected; in whole small units.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub deviation: Option<i64>,
}

/// What is known of a tool that measures another quantity than torque, in whole small units.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MeasuringTool {
    /// What its values are counted in; that says the quantity.
    pub unit: SmallUnit,
    /// The lowest value it is used at.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub lowest: Option<i64>,
    /// The highest value it is used at.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub highest: Option<i64>,
    /// The smallest step of its display or scale.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub resolution: Option<i64>,
    /// Its maximum permissible error, either way.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub accuracy: Option<i64>,
    /// The same as a part of the value, in millionths; where both are stated they add up.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub accuracy_ppm: Option<u32>,
    /// The calibration it stands on.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub certificate: Option<CheckCertificate>,
}

/// What the worth of a number rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum CheckBasis {
    /// This certificate.
    Certificate(CheckCertificate),
    /// The tool's stated accuracy: no certificate is on file.
    Accuracy {
        /// In whole small units.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        accuracy: Option<i64>,
        /// In millionths of the value.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        accuracy_ppm: Option<u32>,
    },
}

/// What a number is worth. Uncertainties are in whole thousandths of a small unit, rounded up.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckWorth {
    /// What it rests on.
    pub basis: CheckBasis,
    /// The step that was reckoned with, in whole small units: the tool's, or that of the last digit that was shown.
    pub step: i64,
    /// The standard uncertainty of the display's step.
    pub resolution_thousandths: i64,
    /// The standard uncertainty of the tool: by its certificate, or by its stated accuracy.
    pub tool_thousandths: i64,
    /// Both together.
    pub standard_thousandths: i64,
    /// The expanded uncertainty, k = 2.
    pub expanded_thousandths: i64,
}

impl MeasuringTool {
    /// What its numbers rest on; nothing where nothing states how good it is.
    pub fn basis(&self) -> Option<CheckBasis> {
        if let Some(certificate) = &self.certificate {
            return Some(CheckBasis::Certificate(certificate.clone()));
        }
        let is_stated = self.accuracy.is_some() || self.accuracy_ppm.is_some();
        is_stated.then_some(CheckBasis::Accuracy {
            accuracy: self.accuracy,
            accuracy_ppm: self.accuracy_ppm,
        })
    }

    /// Whether its certificate was due before a day.
    pub fn is_past(&self, today: NaiveDate) -> bool {
        let due = self.certificate.as_ref().and_then(|known| known.due);
        due.is_some_and(|due| due < today)
    }
}

impl CheckBasis {
    /// The value that is meant by one that was shown.
    pub fn corrected(&self, shown: i64) -> i64 {
        match self {
            Self::Certificate(certificate) => {
                shown.saturating_sub(certificate.deviation.unwrap_or(0))
            }
            Self::Accuracy { .. } => shown,
        }
    }

    /// The tool's standard uncertainty at a value that was shown, in small units.
    #[expect(clippy::cast_precision_loss, reason = "bounded when it was read")]
    fn standard(&self, shown: i64) -> f64 {
        match self {
            Self::Certificate(certificate) => {
                certificate.expanded as f64 * 1_000.0 / f64::from(certificate.coverage_thousandths)
            }
            Self::Accuracy {
                accuracy,
                accuracy_ppm,
            } => {
                let fixed = accuracy.unwrap_or(0) as f64;
                let part = f64::from(accuracy_ppm.unwrap_or(0)) / 1e6;
                rectangular(fixed + part * shown.unsigned_abs() as f64)
            }
        }
    }

    /// The number of the certificate, where it is one.
    pub fn number(&self) -> Option<&str> {
        match self {
            Self::Certificate(certificate) => Some(&certificate.number),
            Self::Accuracy { .. } => None,
        }
    }
}

impl CheckWorth {
    /// Of a value that was shown with a step.
    #[expect(clippy::cast_precision_loss, reason = "bounded when it was read")]
    pub fn new(basis: CheckBasis, shown: i64, step: i64) -> Self {
        let display = thousandths(resolution(step as f64) * 1_000.0);
        let tool = thousandths(basis.standard(shown) * 1_000.0);
        let standard = thousandths(root_sum_of_squares(
            [display as f64, tool as f64].into_iter(),
        ));
        Self {
            basis,
            step,
            resolution_thousandths: display,
            tool_thousandths: tool,
            standard_thousandths: standard,
            expanded_thousandths: standard.saturating_mul(2),
        }
    }

    /// The expanded uncertainty in whole small units, rounded up: a guard band is never too narrow.
    pub const fn guard(&self) -> i64 {
        whole(self.expanded_thousandths)
    }

    /// Whether it follows from what it rests on.
    pub fn adds_up(&self, shown: i64) -> bool {
        self.basis
            .clone()
            .is_usable()
            .then(|| Self::new(self.basis.clone(), shown, self.step))
            .is_some_and(|again| again == *self)
    }
}

impl CheckBasis {
    fn is_usable(&self) -> bool {
        match self {
            Self::Certificate(known) => known.coverage_thousandths > 0 && known.expanded >= 0,
            Self::Accuracy { accuracy, .. } => accuracy.is_none_or(|accuracy| accuracy >= 0),
        }
    }
}

/// Whole small units of thousandths, rounded up.
pub(super) const fn whole(thousandths: i64) -> i64 {
    thousandths.div_euclid(1_000) + (thousandths.rem_euclid(1_000) > 0) as i64
}

/// Rounded up; what is whole but for the last bits of the arithmetic is whole.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a cast of a float keeps to the range"
)]
pub(super) fn thousandths(value: f64) -> i64 {
    (value - 1e-6).ceil().max(0.0) as i64
}

/// From what was shown to what is judged, and what that is worth. `step` is that of the last digit that was shown.
pub fn weigh(tool: Option<&MeasuringTool>, shown: i64, step: i64) -> (i64, Option<CheckWorth>) {
    let Some((tool, basis)) = tool.and_then(|tool| Some((tool, tool.basis()?))) else {
        return (shown, None);
    };
    let step = step.max(tool.resolution.unwrap_or(0));
    let value = basis.corrected(shown);
    (value, Some(CheckWorth::new(basis, shown, step)))
}
