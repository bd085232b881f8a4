//! What stands on the display of the wrench: the resolution, and the number as text.
//!
//! Numbers are kept as text once they are shown, so that a line says exactly what the display said.

use std::fmt;
use std::str::FromStr;

use serde::Deserialize;
use thiserror::Error;

/// The longest number that is taken.
const MOST_CHARACTERS: usize = 16;
/// The most decimals a display has.
const MOST_DECIMALS: usize = 6;

/// Why a number or a resolution cannot stand on the display.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DisplayError {
    /// Not a decimal number.
    #[error(
        "`{0}` cannot stand on the display: write digits and at most one point, such as 5.08 or -3, \
         16 characters at most"
    )]
    Number(String),
    /// Not a resolution.
    #[error("`{0}` is no resolution: give a step such as 0.01, 0.05 or 1, with at most 6 decimals")]
    Resolution(String),
}

/// A decimal number as the display shows it: sign, digits, at most one point. Never empty, never longer than 16
/// characters. Leading zeros and every decimal are kept.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub struct DisplayText(String);

impl DisplayText {
    /// The characters.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for DisplayText {
    type Err = DisplayError;

    fn from_str(text: &str) -> Result<Self, DisplayError> {
        if is_decimal(text) {
            return Ok(Self(text.to_owned()));
        }
        Err(DisplayError::Number(text.chars().take(40).collect()))
    }
}

impl TryFrom<String> for DisplayText {
    type Error = DisplayError;

    fn try_from(text: String) -> Result<Self, DisplayError> {
        text.parse()
    }
}

impl fmt::Display for DisplayText {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str(&self.0)
    }
}

fn is_decimal(text: &str) -> bool {
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    let are_digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let is_number = match unsigned.split_once('.') {
        None => are_digits(unsigned),
        Some((whole, decimals)) => are_digits(whole) && are_digits(decimals),
    };
    is_number && text.len() <= MOST_CHARACTERS
}

/// The smallest step of the display, in the unit that is set: `0.01` shows 5.08, `0.05` shows 5.10.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resolution {
    step: f64,
    decimals: usize,
}

impl Default for Resolution {
    fn default() -> Self {
        Self {
            step: 0.01,
            decimals: 2,
        }
    }
}

impl Resolution {
    /// The step as a number.
    pub fn step(self) -> f64 {
        self.step
    }

    /// The value rounded to the step, halves away from zero. `None` if it has no place on the display.
    pub fn show(self, value: f64) -> Option<DisplayText> {
        let rounded = (value / self.step).round() * self.step;
        let text = format!("{rounded:.*}", self.decimals);
        // A torque that rounds to zero from below has no sign.
        let is_zero = text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.'));
        let text = text
            .strip_prefix('-')
            .filter(|_| is_zero)
            .unwrap_or(&text)
            .to_owned();
        text.parse().ok()
    }
}

impl FromStr for Resolution {
    type Err = DisplayError;

    fn from_str(text: &str) -> Result<Self, DisplayError> {
        let wrong = || DisplayError::Resolution(text.chars().take(40).collect());
        let decimals = text
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        let step: f64 = text.parse().map_err(|_| wrong())?;
        if !is_decimal(text) || decimals > MOST_DECIMALS || step <= 0.0 {
            return Err(wrong());
        }
        Ok(Self { step, decimals })
    }
}

impl fmt::Display for Resolution {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "{:.*}", self.decimals, self.step)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use proptest::prelude::*;

    fn shown(resolution: &str, value: f64) -> String {
        let resolution: Resolution = resolution.parse().unwrap();
        resolution
            .show(value)
            .map_or_else(|| "none".into(), |text| text.to_string())
    }

    #[test]
    fn a_value_is_rounded_to_the_step() {
        assert_eq!(shown("0.01", 5.08), "5.08");
        assert_eq!(shown("0.01", 5.084_999), "5.08");
        assert_eq!(shown("0.05", 5.08), "5.10");
        assert_eq!(shown("0.2", 5.08), "5.0");
        assert_eq!(shown("1", 44.96), "45");
        assert_eq!(shown("0.01", -0.004), "0.00");
        assert_eq!(shown("0.01", -1.25), "-1.25");
        assert_eq!(shown("0.01", f64::NAN), "none");
        assert_eq!(shown("0.01", f64::INFINITY), "none");
        assert_eq!(shown("0.01", 1e300), "none");
    }

    #[test]
    fn texts_that_are_no_number_or_no_step_are_refused() {
        for wrong in [
            "",
            "-",
            ".",
            "5.",
            ".5",
            "5,08",
            "1e3",
            "5.0.8",
            " 5",
            "5*",
            "٥",
            "12345678901234567",
        ] {
            assert!(wrong.parse::<DisplayText>().is_err(), "{wrong}");
        }
        for wrong in ["0", "0.00", "-0.01", "0.0000001", "nan", "inf", "1e-2", ""] {
            assert!(wrong.parse::<Resolution>().is_err(), "{wrong}");
        }
    }

    proptest! {
        #[test]
        fn what_is_shown_is_within_half_a_step(value in -10_000.0..10_000.0, decimals in 0_usize..=6) {
            let text = format!("{:.*}", decimals, 10_f64.powi(-i32::try_from(decimals).unwrap()));
            let resolution: Resolution = text.parse().unwrap();
            let back: f64 = resolution.show(value).unwrap().as_str().parse().unwrap();
            prop_assert!((back - value).abs() <= resolution.step() * 0.5 + 1e-9);
        }
    }
}
