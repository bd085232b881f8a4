//! Metric threads M3 to M12, coarse and common fine pitches. Not BSA, Italian or pedal threads: for those there is no
//! estimate.
//!
//! ISO 68-1:1998 and ISO 724:1993 (profile and diameters), ISO 261 (pitches), ISO 965-1:1998 (tolerances), ISO 898-1:2013
//! (stress area). Formulas from memory; the tests compare with published tables.

use crate::quantity::{Length, Rounding, Stated};
use std::f64::consts::PI;
use std::fmt;

/// Nominal diameter and pitches in µm, the coarse pitch first (ISO 261).
const KNOWN: [(u32, &[u32]); 7] = [
    (3_000, &[500, 350]),
    (4_000, &[700, 500]),
    (5_000, &[800, 500]),
    (6_000, &[1_000, 750, 500]),
    (8_000, &[1_250, 1_000, 750]),
    (10_000, &[1_500, 1_250, 1_000, 750]),
    (12_000, &[1_750, 1_500, 1_250, 1_000]),
];

/// A metric thread whose geometry is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MetricThread {
    diameter_micrometre: u32,
    pitch_micrometre: u32,
}

/// Why a thread has no geometry here.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ThreadError {
    /// A thread of another system, or a metric one outside M3 to M12.
    #[error("{text:?} is none of the metric threads M3 to M12")]
    OtherThread {
        /// As written.
        text: String,
    },
    /// A size that is known with a pitch that it does not have.
    #[error("{size} has no pitch of {pitch} mm; it has {known}")]
    OtherPitch {
        /// "M6".
        size: String,
        /// As written.
        pitch: String,
        /// "1, 0.75 or 0.5 mm".
        known: String,
    },
}

impl MetricThread {
    /// Reads "M5", "M5x0.8", "M8×1", "M10 x 1.25", "M6-6g". Without a pitch it is the coarse one.
    pub fn parse(text: &str) -> Result<Self, ThreadError> {
        let other = || ThreadError::OtherThread {
            text: text.to_owned(),
        };
        // a tolerance class says nothing about the size
        let designation = text.split('-').next().unwrap_or(text).trim();
        let body = designation.strip_prefix(['M', 'm']).ok_or_else(other)?;
        let (diameter, pitch) = match body.split_once(['x', 'X', '×', '*']) {
            Some((diameter, pitch)) => (diameter, Some(pitch.trim())),
            None => (body, None),
        };
        let diameter = micrometre(diameter).ok_or_else(other)?;
        let (_, pitches) = KNOWN
            .iter()
            .find(|(known, _)| *known == diameter)
            .ok_or_else(other)?;
        let coarse = pitches.first().copied().ok_or_else(other)?;
        let pitch_micrometre = match pitch {
            None => coarse,
            Some(stated) => micrometre(stated)
                .filter(|pitch| pitches.contains(pitch))
                .ok_or_else(|| ThreadError::OtherPitch {
                    size: format!("M{}", diameter / 1000),
                    pitch: stated.to_owned(),
                    known: listed(pitches),
                })?,
        };
        Ok(Self {
            diameter_micrometre: diameter,
            pitch_micrometre,
        })
    }

    /// Every thread that is known.
    pub fn all() -> impl Iterator<Item = Self> {
        KNOWN.iter().flat_map(|&(diameter_micrometre, pitches)| {
            pitches.iter().map(move |&pitch_micrometre| Self {
                diameter_micrometre,
                pitch_micrometre,
            })
        })
    }

    /// Nominal diameter d.
    pub fn diameter(self) -> f64 {
        f64::from(self.diameter_micrometre) / 1000.0
    }

    /// Pitch P.
    pub fn pitch(self) -> f64 {
        f64::from(self.pitch_micrometre) / 1000.0
    }

    /// Height of the fundamental triangle, H = P √3 / 2 (ISO 68-1).
    pub fn triangle_height(self) -> f64 {
        self.pitch() * 3.0_f64.sqrt() / 2.0
    }

    /// Pitch diameter d2 = d − 3/4 H (ISO 724).
    pub fn pitch_diameter(self) -> f64 {
        self.diameter() - 0.75 * self.triangle_height()
    }

    /// Minor diameter of the nut thread D1 = d − 5/4 H (ISO 724).
    pub fn minor_diameter(self) -> f64 {
        self.diameter() - 1.25 * self.triangle_height()
    }

    /// Root diameter of the bolt thread d3 = d − 17/12 H (ISO 898-1:2013, 9.1.6.1).
    pub fn root_diameter(self) -> f64 {
        self.diameter() - 17.0 / 12.0 * self.triangle_height()
    }

    /// The diameter of a round bar with the stress area, d0 = (d2 + d3) / 2.
    pub fn stress_diameter(self) -> f64 {
        f64::midpoint(self.pitch_diameter(), self.root_diameter())
    }

    /// Stress area As = π/4 d0² (ISO 898-1:2013, 9.1.6.1).
    pub fn stress_area(self) -> f64 {
        PI / 4.0 * self.stress_diameter().powi(2)
    }

    /// Whether the pitch is the coarse one.
    pub fn is_coarse(self) -> bool {
        KNOWN.iter().any(|(diameter, pitches)| {
            *diameter == self.diameter_micrometre && pitches.first() == Some(&self.pitch_micrometre)
        })
    }

    /// The least major diameter of a bolt of tolerance class 6g, from the formulas of ISO 965-1:1998, clause 13 (from
    /// memory): `T_d(6) = 180·P^(2/3) − 3.15/√P` µm below `es(g) = −(15 + 11·P)` µm.
    pub(super) fn least_major_diameter(self) -> f64 {
        let pitch = self.pitch();
        let tolerance = 180.0 * pitch.powf(2.0 / 3.0) - 3.15 / pitch.sqrt();
        self.diameter() - self.allowance() - tolerance / 1000.0
    }

    /// The least pitch diameter of a bolt of class 6g: `T_d2(6) = 90·P^0.4·d^0.1` µm (as above).
    pub(super) fn least_bolt_pitch_diameter(self) -> f64 {
        self.pitch_diameter() - self.allowance() - self.pitch_diameter_tolerance()
    }

    /// The largest pitch diameter of a nut of class 6H: `T_D2(6) = 1.32·T_d2(6)` (as above).
    pub(super) fn largest_nut_pitch_diameter(self) -> f64 {
        self.pitch_diameter() + 1.32 * self.pitch_diameter_tolerance()
    }

    /// The largest minor diameter of a nut of class 6H: `T_D1(6) = 433·P − 190·P^1.22` µm below a pitch of 1 mm,
    /// else `230·P^0.7` µm (as above).
    pub(super) fn largest_nut_minor_diameter(self) -> f64 {
        let pitch = self.pitch();
        let tolerance = if pitch < 1.0 {
            433.0 * pitch - 190.0 * pitch.powf(1.22)
        } else {
            230.0 * pitch.powf(0.7)
        };
        self.minor_diameter() + tolerance / 1000.0
    }

    fn allowance(self) -> f64 {
        (15.0 + 11.0 * self.pitch()) / 1000.0
    }

    fn pitch_diameter_tolerance(self) -> f64 {
        90.0 * self.pitch().powf(0.4) * self.diameter().powf(0.1) / 1000.0
    }
}

/// "M6", and "M8x1" where the pitch is a fine one.
impl fmt::Display for MetricThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "M{}", self.diameter_micrometre / 1000)?;
        if !self.is_coarse() {
            write!(f, "x{}", self.pitch())?;
        }
        Ok(())
    }
}

fn micrometre(millimetres: &str) -> Option<u32> {
    let stated = Stated::parse(&format!("{} mm", millimetres.trim())).ok()?;
    let length = Length::of(stated, Rounding::Nearest).ok()?;
    u32::try_from(length.small_units()).ok()
}

fn listed(pitches: &[u32]) -> String {
    let list: Vec<String> = pitches
        .iter()
        .map(|&pitch| (f64::from(pitch) / 1000.0).to_string())
        .collect();
    format!("{} mm", list.join(" or "))
}
