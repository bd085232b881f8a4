//! Coefficients of friction in a thread and under a head, as a range.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A range of coefficients of friction, in whole thousandths: 100 to 160 stands for 0.10 to 0.16.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Friction {
    /// The slipperiest.
    pub low_thousandths: u16,
    /// The roughest.
    pub high_thousandths: u16,
}

impl Friction {
    /// The lowest coefficient that is read.
    pub const LEAST: u16 = 10;
    /// The highest coefficient that is read.
    pub const MOST: u16 = 1_000;

    /// A range, if it is one: 0.01 to 1, not upside down.
    pub fn new(low_thousandths: u16, high_thousandths: u16) -> Option<Self> {
        let is_range = Self::LEAST <= low_thousandths
            && low_thousandths <= high_thousandths
            && high_thousandths <= Self::MOST;
        is_range.then_some(Self {
            low_thousandths,
            high_thousandths,
        })
    }

    /// From two coefficients as a person writes them, in whole thousandths.
    pub fn from_coefficients(coefficients: &[f64]) -> Option<Self> {
        let [low, high] = coefficients else {
            return None;
        };
        Self::new(thousandths(*low)?, thousandths(*high)?)
    }
}

fn thousandths(coefficient: f64) -> Option<u16> {
    (Friction::LEAST..=Friction::MOST)
        .find(|&whole| (f64::from(whole) - coefficient * 1000.0).abs() < 1e-6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_is_read_in_whole_thousandths() {
        for (text, expected) in [
            (&[0.10, 0.16][..], Friction::new(100, 160)),
            (&[0.125, 0.125], Friction::new(125, 125)),
            (&[0.01, 1.0], Friction::new(10, 1_000)),
            (&[0.16, 0.10], None),
            (&[0.1], None),
            (&[0.1, 0.12, 0.14], None),
            (&[0.1, 0.12345], None),
            (&[0.0, 0.1], None),
            (&[0.1, 1.01], None),
            (&[f64::NAN, 0.1], None),
            (&[0.1, f64::INFINITY], None),
        ] {
            assert_eq!(Friction::from_coefficients(text), expected, "{text:?}");
        }
        assert_eq!(
            Friction::new(100, 160),
            Some(Friction {
                low_thousandths: 100,
                high_thousandths: 160
            })
        );
    }
}
