//! What the ledger keeps of a budget, in whole small units.

use crate::adapter::{Adapter, millimetres};
use crate::measure::adapter as geometry;
use crate::measure::budget::{Combined, Contribution, Line, root_sum_of_squares};
use crate::quantity::{Length, MicroTorque, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// The adapter that was on the tool at a pull.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fitted {
    /// Which.
    pub adapter: Adapter,
    /// The tool's lever; without it an offset adapter's effect is not known, and nothing is converted.
    #[serde(
        rename = "lever_micrometre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub lever: Option<Length>,
}

impl Fitted {
    /// The adapter as it is reckoned with, where it changes the torque and the lever is known. Lengths in mm.
    pub fn geometry(&self) -> Option<geometry::Adapter> {
        let length = self
            .adapter
            .length
            .filter(|_| !self.adapter.keeps_the_torque())?;
        let angle = f64::from(self.adapter.angle_degrees);
        geometry::Adapter::new(millimetres(self.lever?), millimetres(length), angle).ok()
    }

    /// By what the torque at the drive is multiplied at the fastener.
    pub fn leverage(&self) -> f64 {
        self.geometry().map_or(1.0, |adapter| adapter.factor())
    }

    /// Whether it changes the torque and nobody can say by how much.
    pub fn is_unknown(&self) -> bool {
        !self.adapter.keeps_the_torque() && self.geometry().is_none()
    }
}

/// What a correction rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Basis {
    /// The points of a certificate.
    Certificate {
        /// Its number.
        number: String,
    },
    /// The permissible deviation of the tool's class; nothing is corrected.
    Class {
        /// Why no certificate speaks.
        because: ClassBecause,
    },
}

/// Why the class limit stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ClassBecause {
    /// There is no certificate.
    NoCertificate,
    /// There is one, and its points are not on file.
    NoPoints,
    /// The torque lies outside its points.
    OutsidePoints,
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Certificate { number } => write!(f, "certificate {number}"),
            Self::Class { because } => f.write_str(match because {
                ClassBecause::NoCertificate => "class limit: no certificate",
                ClassBecause::NoPoints => "class limit: the certificate has no points on file",
                ClassBecause::OutsidePoints => "class limit: outside the certificate's points",
            }),
        }
    }
}

/// The standard uncertainty at the fastener from each contribution, in µN·m. What is left out contributes nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Lines {
    /// The adapter's length and where the hand is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub adapter: Option<MicroTorque>,
    /// The certificate's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub certificate: Option<MicroTorque>,
    /// Degrees of freedom of the certificate's, where it states them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub certificate_freedom: Option<u32>,
    /// The permissible deviation of the tool's class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class: Option<MicroTorque>,
    /// Drift since the certificate.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drift: Option<MicroTorque>,
    /// Between the certificate's points.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub interpolation: Option<MicroTorque>,
    /// From pull to pull.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repeatability: Option<MicroTorque>,
    /// Degrees of freedom of the repeatability, where it was measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repeatability_freedom: Option<u32>,
    /// From setting down and taking up again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reproducibility: Option<MicroTorque>,
    /// The display's step.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub resolution: Option<MicroTorque>,
}

impl Lines {
    fn put(&mut self, line: &Line) {
        let standard = Some(micro(line.standard));
        let freedom = line.freedom.map(whole);
        match line.name {
            Contribution::Adapter => self.adapter = standard,
            Contribution::Certificate => {
                self.certificate = standard;
                self.certificate_freedom = freedom;
            }
            Contribution::ToolClass => self.class = standard,
            Contribution::Drift => self.drift = standard,
            Contribution::Interpolation => self.interpolation = standard,
            Contribution::Repeatability => {
                self.repeatability = standard;
                self.repeatability_freedom = freedom;
            }
            Contribution::Reproducibility => self.reproducibility = standard,
            Contribution::Resolution => self.resolution = standard,
        }
    }

    /// Every line that contributes: its name, its standard uncertainty, its degrees of freedom.
    pub fn each(&self) -> Vec<(Contribution, MicroTorque, Option<u32>)> {
        let all = [
            (
                Contribution::Certificate,
                self.certificate,
                self.certificate_freedom,
            ),
            (Contribution::ToolClass, self.class, None),
            (Contribution::Interpolation, self.interpolation, None),
            (Contribution::Drift, self.drift, None),
            (Contribution::Resolution, self.resolution, None),
            (
                Contribution::Repeatability,
                self.repeatability,
                self.repeatability_freedom,
            ),
            (Contribution::Reproducibility, self.reproducibility, None),
            (Contribution::Adapter, self.adapter, None),
        ];
        all.into_iter()
            .filter_map(|(name, standard, freedom)| Some((name, standard?, freedom)))
            .collect()
    }
}

/// What a displayed number is worth.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Worth {
    /// What the correction and its uncertainty rest on.
    pub basis: Basis,
    /// The deviation that was corrected, (indicated − reference) / reference, in millionths.
    pub deviation_ppm: i32,
    /// The budget.
    #[serde(rename = "standard_micronewton_metre_of")]
    pub lines: Lines,
    /// The combined standard uncertainty (JCGM 100:2008, 5.1.2).
    #[serde(rename = "standard_micronewton_metre")]
    pub standard: MicroTorque,
    /// Effective degrees of freedom (Welch–Satterthwaite); none where they are without bound.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub freedom: Option<u32>,
    /// The coverage factor in thousandths, for 95.45 %.
    pub coverage_thousandths: u32,
    /// The expanded uncertainty.
    #[serde(rename = "expanded_micronewton_metre")]
    pub expanded: MicroTorque,
}

impl Worth {
    pub(super) fn new(basis: Basis, deviation_ppm: i32, all: &[Line], combined: &Combined) -> Self {
        let mut lines = Lines::default();
        for line in all.iter().filter(|line| line.standard > 0.0) {
            lines.put(line);
        }
        Self {
            basis,
            deviation_ppm,
            lines,
            standard: micro(combined.standard),
            freedom: combined.freedom.map(whole),
            coverage_thousandths: whole(combined.coverage_factor * 1000.0),
            expanded: micro(combined.expanded),
        }
    }

    /// The number of the certificate that it rests on.
    pub fn certificate(&self) -> Option<&String> {
        match &self.basis {
            Basis::Certificate { number } => Some(number),
            Basis::Class { .. } => None,
        }
    }

    /// Whether the lines add up to the combined uncertainty, and that times the coverage factor to the expanded one, within
    /// what rounding allows.
    pub fn adds_up(&self) -> bool {
        let lines = self.lines.each();
        let sum = root_sum_of_squares(lines.iter().map(|(_, line, _)| line.newton_metres()));
        let slack = 1e-6 * (f64::from(u8::try_from(lines.len()).unwrap_or(u8::MAX)) + 2.0);
        let standard = self.standard.newton_metres();
        let factor = f64::from(self.coverage_thousandths) / 1000.0;
        let expanded = self.expanded.newton_metres();
        // The factor is cut to thousandths, so the product may be that much below.
        let least = factor * (standard - 1e-6) - 1e-6;
        let most = (factor + 0.001) * standard + 2e-6;
        (sum - standard).abs() <= slack && (least..=most).contains(&expanded)
    }

    /// The expanded uncertainty in whole mN·m, rounded up: a guard band is never too narrow.
    pub const fn guard(&self) -> Torque {
        let micro = self.expanded.small_units();
        Torque::from_small_units(micro.div_euclid(1000) + (micro.rem_euclid(1000) > 0) as i64)
    }
}

/// The torque at the fastener from the torque shown: corrected, and with the adapter's leverage. Rounded up as every
/// reading is.
pub fn apply(shown: Torque, deviation_ppm: i32, fitted: Option<&Fitted>) -> Torque {
    let leverage = fitted.map_or(1.0, Fitted::leverage);
    if deviation_ppm == 0 && (leverage - 1.0).abs() < f64::EPSILON {
        return shown;
    }
    let size =
        shown.magnitude().newton_metres() / (1.0 + f64::from(deviation_ppm) / 1e6) * leverage;
    // A value that is whole but for the last bits of the arithmetic is whole.
    let small = ceiling(size * 1000.0 - 1e-6);
    Torque::from_small_units(if shown.small_units() < 0 {
        -small
    } else {
        small
    })
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a cast of a float keeps to the range"
)]
fn ceiling(value: f64) -> i64 {
    value.ceil() as i64
}

/// A ratio in whole millionths.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a cast of a float keeps to the range"
)]
pub fn to_ppm(relative: f64) -> i32 {
    (relative * 1e6).round() as i32
}

fn micro(newton_metres: f64) -> MicroTorque {
    MicroTorque::from_small_units(ceiling(newton_metres * 1e6 - 1e-6))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cast of a float keeps to the range"
)]
fn whole(value: f64) -> u32 {
    value.floor() as u32
}
