//! What stands between a wrench and the fastener. An offset adapter changes the lever and so the torque; a straight
//! extension in line with the drive does not. What the torque becomes is not calculated here.

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
