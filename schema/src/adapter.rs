//! What stands between a wrench and the fastener. An offset adapter changes the lever and so the torque; a straight
//! extension in line with the drive does not. What the torque becomes is not calculated here.

use crate::measure::adapter as geometry;
use crate::quantity::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// An adapter as a plan asks for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Adapter {
    /// For people: "crow-foot, 15 mm", "extension, 100 mm".
    pub title: String,
    /// Effective length: from the centre of the wrench's drive to the centre of the fastener. None for an extension in
    /// line with the drive, which changes nothing.
    #[serde(
        rename = "length_micrometre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub length: Option<Length>,
    /// Between the adapter and the line of the handle: 0 is straight out, 90 is square to it, 180 is folded back under
    /// the handle.
    #[serde(default)]
    pub angle_degrees: u16,
}

impl Adapter {
    /// The longest effective length that is read: 1 m.
    pub const LONGEST: Length = Length::from_small_units(1_000_000);

    /// Folded back under the handle.
    pub const LARGEST_ANGLE: u16 = 180;

    /// Whether the lever stays as it is: an extension in line with the drive, or an adapter square to the handle.
    pub const fn keeps_the_torque(&self) -> bool {
        self.length.is_none() || self.angle_degrees == 90
    }

    /// Whether another adapter changes the torque in the same way; its name does not matter.
    pub fn is_same_geometry(&self, other: &Self) -> bool {
        (self.keeps_the_torque() && other.keeps_the_torque())
            || (self.length == other.length && self.angle_degrees == other.angle_degrees)
    }

    /// Refuses what no tool with this lever can carry.
    pub fn check(&self, lever: Option<Length>) -> Result<(), AdapterError> {
        let title = self.title.trim();
        if title.is_empty() || title.chars().count() > 64 || title.chars().any(char::is_control) {
            return Err(AdapterError::BadTitle);
        }
        let is_length = self
            .length
            .is_none_or(|length| length.small_units() > 0 && length <= Self::LONGEST);
        if !is_length || self.angle_degrees > Self::LARGEST_ANGLE {
            return Err(AdapterError::BadGeometry);
        }
        let Some(length) = self.length.filter(|_| !self.keeps_the_torque()) else {
            return Ok(());
        };
        let lever = lever.ok_or_else(|| AdapterError::LeverNotKnown(self.title.clone()))?;
        let (lever, length) = (millimetres(lever), millimetres(length));
        geometry::Adapter::new(lever, length, f64::from(self.angle_degrees))?;
        Ok(())
    }
}

/// In mm, for what is reckoned from it.
#[expect(clippy::cast_precision_loss, reason = "µm of a hand tool")]
pub fn millimetres(length: Length) -> f64 {
    length.small_units() as f64 / 1000.0
}

/// Why an adapter cannot be reckoned with.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AdapterError {
    /// Its name.
    #[error("an adapter needs a title of 1 to 64 characters, for example \"crow-foot, 10 mm\"")]
    BadTitle,
    /// Its figures.
    #[error(
        "an adapter has a length from 0 to 1 m between the centres of drive and fastener, and an angle from 0° to 180°"
    )]
    BadGeometry,
    /// The tool's lever is missing.
    #[error(
        "{0} changes the torque, and the tool's file does not say how long its lever is: measure from the drive's centre to \
         the marked hand point and add lever = \"280 mm\""
    )]
    LeverNotKnown(String),
    /// They do not go together.
    #[error(transparent)]
    Geometry(#[from] geometry::AdapterError),
}

/// "crow-foot, 15 mm: 32 mm from drive to fastener, at 90°".
impl fmt::Display for Adapter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.title)?;
        let Some(length) = self.length else {
            return Ok(());
        };
        let (whole, rest) = (length.small_units() / 1000, length.small_units() % 1000);
        let millimetres = format!("{whole}.{rest:03}");
        let millimetres = millimetres.trim_end_matches('0').trim_end_matches('.');
        write!(
            f,
            ": {millimetres} mm from drive to fastener, at {}°",
            self.angle_degrees
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_adapter_is_told_with_what_changes_the_torque() {
        for (micrometre, angle_degrees, told, keeps) in [
            (None, 0, "crow-foot", true),
            (
                Some(32_000),
                90,
                "crow-foot: 32 mm from drive to fastener, at 90°",
                true,
            ),
            (
                Some(31_750),
                0,
                "crow-foot: 31.75 mm from drive to fastener, at 0°",
                false,
            ),
        ] {
            let adapter = Adapter {
                title: "crow-foot".to_owned(),
                length: micrometre.map(Length::from_small_units),
                angle_degrees,
            };
            assert_eq!(adapter.to_string(), told);
            assert_eq!(adapter.keeps_the_torque(), keeps, "{told}");
        }
    }
}
