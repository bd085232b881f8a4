//! Calibration certificates of torque tools: what one states, how it is read, what is refused, and the curve that
//! follows from its points.
//!
//! Not here: judging a reading, and the limits of a tool's class that stand in where no certificate reaches.
//!
//! Sources: ISO 6789-2:2017 for what such a certificate states and for the deviation, whose divisor is the reference
//! (from memory; the standard is on sale); ISO/IEC 17025:2017, 7.8.4 for as-found and as-left (number from memory); the
//! schemas of the Digital Calibration Certificate (`dcc.xsd` 3.3.0) and of the Digital System of Units (D-SI 2.2.1),
//! Physikalisch-Technische Bundesanstalt, for its XML form.
//!
//! **Nothing is inferred.** Whether the expanded uncertainty already contains the tool's resolution, its repeatability or
//! its reproducibility, in which direction and in which state the tool was calibrated: known only where somebody states it.

mod check;
mod csv_file;
mod curve;
mod dcc;
mod error;
mod figures;
mod given;
mod head;
mod imported;
mod toml_file;

pub use check::CheckFault;
pub use csv_file::read_csv;
pub use curve::{AtValue, Curve, Reach};
pub use dcc::{Choice, DccFault, read_dcc};
pub use error::{CertificateError, Fault, Place, ReadFault};
pub use given::{CertificateHead, read};
pub use head::Head;
pub use imported::{Imported, Subject};
pub use toml_file::{CertificateFile, PointFile, read_toml};

use crate::canonical::Digest32;
use crate::quantity::MicroTorque;
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// One calibration of one tool, as the ledger keeps it: whole numbers and text. The first four members alone, what a
/// certificate says on its first page, are a certificate too.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Certificate {
    /// Its number.
    pub number: String,
    /// Who calibrated.
    pub laboratory: String,
    /// The day of calibration.
    #[schemars(with = "String")]
    pub date: NaiveDate,
    /// The day after which the tool is past its calibration.
    #[schemars(with = "String")]
    pub due: NaiveDate,
    /// The tool's serial number as the certificate states it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub serial: Option<String>,
    /// Surroundings during the calibration, for example "21.3 °C, 45 % r.h.".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub conditions: Option<String>,
    /// The standard it was calibrated to, for example "ISO 6789-2:2017".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub method: Option<String>,
    /// Before or after an adjustment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub state: Option<State>,
    /// The direction in which the points were taken; their torques are sizes in any case.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub direction: Option<Direction>,
    /// The calibration points, from the lowest to the highest.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub points: Vec<Point>,
    /// What the expanded uncertainty of the points already contains, where the certificate says so.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub covers: BTreeSet<Contribution>,
    /// Relative standard deviation of a single reading of the tool.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeatability_ppm: Option<u32>,
    /// From how many readings it comes; its degrees of freedom are one fewer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeatability_readings: Option<u32>,
    /// Relative standard deviation when the tool is taken off and put on again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reproducibility_ppm: Option<u32>,
    /// By how much at most its deviation moves in a year, either way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drift_ppm_per_year: Option<u32>,
    /// The file it was read from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub file: Option<OriginalFile>,
}

/// One calibration point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Point {
    /// What the tool showed or was set to (`X_a` in ISO 6789-2:2017).
    #[serde(rename = "indicated_micronewton_metre")]
    pub indicated: MicroTorque,
    /// What the reference device measured (`X_r`).
    #[serde(rename = "reference_micronewton_metre")]
    pub reference: MicroTorque,
    /// The expanded uncertainty.
    #[serde(rename = "expanded_micronewton_metre")]
    pub expanded: MicroTorque,
    /// The coverage factor k of the expanded uncertainty, in thousandths.
    pub coverage_factor_thousandths: u32,
    /// The degrees of freedom behind it; left out where they are many or not stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub degrees_of_freedom: Option<u32>,
    /// How many readings were taken at this point.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub readings: Option<u32>,
}

/// Before or after an adjustment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// As it came in, before any adjustment.
    AsFound,
    /// As it went out, after an adjustment.
    AsLeft,
    /// It was not adjusted: it went out as it came in.
    NotAdjusted,
}

/// Which way the tool was turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// Clockwise.
    Clockwise,
    /// Anticlockwise.
    Anticlockwise,
    /// The points hold either way.
    Both,
}

/// What an expanded uncertainty may contain of the tool itself.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Contribution {
    /// The step of the tool's display or scale.
    Resolution,
    /// The scatter of readings one after the other.
    Repeatability,
    /// The scatter when the tool is taken off and put on again.
    Reproducibility,
}

/// The file that a certificate was read from. Its bytes are kept elsewhere, under their hash.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OriginalFile {
    /// Its form.
    pub format: Format,
    /// The SHA-256 of its bytes.
    pub sha256: Digest32,
    /// Whether the laboratory signed it. This program does not check that signature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signature: Option<Signature>,
}

/// The form of a certificate file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Format {
    /// Our own file, written by a person.
    Toml,
    /// A table of points.
    Csv,
    /// A Digital Calibration Certificate.
    Dcc,
}

/// What is known about a signature within the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Signature {
    /// There is one, and nobody here has checked it.
    #[serde(rename = "present, not checked")]
    PresentNotChecked,
}

impl Certificate {
    /// Whether a day is after the day it was due.
    pub fn is_past(&self, today: NaiveDate) -> bool {
        self.due < today
    }
}

impl OriginalFile {
    pub(crate) fn of(format: Format, bytes: &[u8]) -> Self {
        Self {
            format,
            sha256: Digest32::of(bytes),
            signature: None,
        }
    }
}

impl Point {
    /// The relative deviation `a_s` = (indicated − reference) / reference (ISO 6789-2:2017, from memory). The reference is the
    /// divisor: a tool that is set to 10 and delivers more than 10 has a negative one. Nothing where the reference is not
    /// above zero.
    pub fn deviation(&self) -> Option<f64> {
        let reference = self.reference.newton_metres();
        (reference > 0.0).then(|| (self.indicated.newton_metres() - reference) / reference)
    }

    /// The relative standard uncertainty: the expanded one divided by the coverage factor and by the reference.
    pub fn standard_uncertainty(&self) -> Option<f64> {
        let divisor = self.reference.newton_metres() * self.coverage_factor();
        (divisor > 0.0).then(|| self.expanded.newton_metres() / divisor)
    }

    /// The coverage factor as it is written.
    pub fn coverage_factor(&self) -> f64 {
        f64::from(self.coverage_factor_thousandths) / 1000.0
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used)]
mod tests;
