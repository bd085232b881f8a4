//! The torque units that the display of the simulated wrench can show.
//!
//! The codes are those of UCUM where it is plain (`N.m`, `cN.m`) and in the same manner for the others. Not a general
//! unit library: only what this tool prints.

use std::fmt;
use std::str::FromStr;

use serde::Deserialize;
use thiserror::Error;

/// Standard gravity, m/s² (3rd CGPM, 1901), exact.
const GRAVITY: f64 = 9.806_65;
/// The international avoirdupois pound in kilogram (1959), exact.
const POUND: f64 = 0.453_592_37;
/// The international inch in metre (1959), exact.
const INCH: f64 = 0.0254;
/// The international foot in metre (1959), exact.
const FOOT: f64 = 0.3048;

/// A unit of torque on the display.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(try_from = "String")]
pub enum Unit {
    /// `N.m`
    #[default]
    NewtonMetre,
    /// `lbf.in`
    PoundForceInch,
    /// `lbf.ft`
    PoundForceFoot,
    /// `kgf.cm`
    KilogramForceCentimetre,
    /// `cN.m`
    CentinewtonMetre,
}

/// A code that is none of the five.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("`{0}` is no unit of this wrench. It shows N.m, lbf.in, lbf.ft, kgf.cm or cN.m")]
pub struct UnknownUnit(pub String);

impl Unit {
    /// All units, in the order in which the tool offers them.
    pub const ALL: [Self; 5] = [
        Self::NewtonMetre,
        Self::PoundForceInch,
        Self::PoundForceFoot,
        Self::KilogramForceCentimetre,
        Self::CentinewtonMetre,
    ];

    /// How the unit stands in a line.
    pub fn code(self) -> &'static str {
        match self {
            Self::NewtonMetre => "N.m",
            Self::PoundForceInch => "lbf.in",
            Self::PoundForceFoot => "lbf.ft",
            Self::KilogramForceCentimetre => "kgf.cm",
            Self::CentinewtonMetre => "cN.m",
        }
    }

    /// One of this unit in newton metre.
    pub fn newton_metre(self) -> f64 {
        match self {
            Self::NewtonMetre => 1.0,
            Self::PoundForceInch => POUND * GRAVITY * INCH,
            Self::PoundForceFoot => POUND * GRAVITY * FOOT,
            Self::KilogramForceCentimetre => GRAVITY * 0.01,
            Self::CentinewtonMetre => 0.01,
        }
    }
}

impl FromStr for Unit {
    type Err = UnknownUnit;

    fn from_str(text: &str) -> Result<Self, UnknownUnit> {
        let unknown = || UnknownUnit(text.chars().take(40).collect());
        let mut all = Self::ALL.into_iter();
        all.find(|unit| unit.code() == text).ok_or_else(unknown)
    }
}

impl TryFrom<String> for Unit {
    type Error = UnknownUnit;

    fn try_from(text: String) -> Result<Self, UnknownUnit> {
        text.parse()
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str(self.code())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn the_factors_are_those_of_the_definitions() {
        // NIST SP 811 (2008), appendix B.8: lbf·in 1.129 848 E-01, lbf·ft 1.355 818 E+00, kgf·m 9.806 65 E+00 (kgf·cm is
        // a hundredth); further digits multiplied out from the exact definitions.
        let near = |unit: Unit, factor: f64| {
            assert!((unit.newton_metre() / factor - 1.0).abs() < 1e-15, "{unit}");
        };
        near(Unit::NewtonMetre, 1.0);
        near(Unit::PoundForceInch, 0.112_984_829_027_616_7);
        near(Unit::PoundForceFoot, 1.355_817_948_331_400_4);
        near(Unit::KilogramForceCentimetre, 0.098_066_5);
        near(Unit::CentinewtonMetre, 0.01);
    }

    #[test]
    fn every_code_is_read_back_and_others_are_refused() {
        for unit in Unit::ALL {
            assert_eq!(unit.code().parse::<Unit>().unwrap(), unit);
        }
        for wrong in ["", "Nm", "n.m", "N.m ", "lb", "in-lb"] {
            let error = wrong.parse::<Unit>().unwrap_err().to_string();
            assert!(error.starts_with(&format!("`{wrong}` is no unit")));
        }
    }
}
