//! Quantities with units: exact decimals as a display shows them, a table of units with exact factors, and one
//! newtype a quantity that counts whole small units.
//!
//! Nothing here is a floating-point number: a reading, a limit and the record agree to the last digit, and a
//! stranger can compare integers. The factors follow from exact definitions (1 in = 25.4 mm, 1 lb = 0.453 592 37 kg,
//! standard gravity 9.806 65 m/s²; NIST SP 811, appendix B) and are kept as ratios of whole numbers.
//!
//! **Rounding has a direction.** Where a value falls between two small units, a reading is rounded up and so is an
//! upper limit; a lower limit is rounded down. So equal texts compare equal, and a reading above a limit that is
//! stated in whole mN·m is never rounded down to it.

mod decimal;
mod micro;
mod unit;

pub use decimal::{Decimal, DecimalError};
pub use micro::MicroTorque;
pub(crate) use unit::divide;
pub use unit::{Kind, UNITS, Unit, UnitError};

use serde::{Deserialize, Serialize};
use std::fmt;

/// Which way a value that falls between two small units goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearest small unit, halves away from zero.
    Nearest,
    /// Away from zero: readings and upper limits. A signed tool shows a pull on a left-hand thread as a negative number,
    /// and what is judged there is its size.
    Up,
    /// Towards zero: lower limits.
    Down,
}

/// Why a text is not a quantity.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum QuantityError {
    /// The number cannot be read.
    #[error(transparent)]
    Number(#[from] DecimalError),
    /// The unit is not in the table.
    #[error(transparent)]
    Unit(#[from] UnitError),
    /// There is a number and no unit.
    #[error("{text:?} has no unit: write the unit too, for example \"5 N·m\"")]
    NoUnit {
        /// The text as written.
        text: String,
    },
    /// The unit belongs to another quantity.
    #[error("{symbol} is a unit of {found}, and {wanted} is wanted here")]
    OtherKind {
        /// The unit as we show it.
        symbol: &'static str,
        /// What the unit measures.
        found: Kind,
        /// What was asked for.
        wanted: Kind,
    },
    /// The value does not fit.
    #[error("{text:?} is far outside anything a workshop measures")]
    TooLarge {
        /// The text as written.
        text: String,
    },
}

/// A quantity as a person or a display states it: the number as written and its unit. It keeps trailing zeros.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stated {
    /// The number, exactly as written.
    pub value: Decimal,
    /// Its unit.
    pub unit: &'static Unit,
}

impl Stated {
    /// Reads `"5 N·m"`, `"44lbf·in"`, `"80 psi"`. The decimal mark is a point.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let trimmed = text.trim();
        let split = trimmed
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '+' | '-' | ',')))
            .unwrap_or(trimmed.len());
        let (number, unit) = trimmed.split_at(split);
        let value = Decimal::parse(number)?;
        if unit.trim().is_empty() {
            return Err(QuantityError::NoUnit {
                text: text.to_owned(),
            });
        }
        Ok(Self {
            value,
            unit: Unit::find(unit.trim())?,
        })
    }

    /// Whole small units of the unit's quantity.
    pub fn small_units(self, rounding: Rounding) -> Result<i64, QuantityError> {
        self.unit
            .to_small_units(self.value, rounding)
            .ok_or_else(|| QuantityError::TooLarge {
                text: self.to_string(),
            })
    }
}

impl fmt::Display for Stated {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value, self.unit.symbol)
    }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $kind:expr, $small:literal) => {
        $(#[$doc])*
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
        )]
        #[serde(transparent)]
        pub struct $name(i64);

        impl $name {
            #[doc = concat!("From whole ", $small, ".")]
            pub const fn from_small_units(units: i64) -> Self {
                Self(units)
            }

            #[doc = concat!("In whole ", $small, ".")]
            pub const fn small_units(self) -> i64 {
                self.0
            }

            /// Converts what was stated; an error if it is another quantity or does not fit.
            #[inline]
            pub fn of(stated: Stated, rounding: Rounding) -> Result<Self, QuantityError> {
                if stated.unit.kind != $kind {
                    return Err(QuantityError::OtherKind {
                        symbol: stated.unit.symbol,
                        found: stated.unit.kind,
                        wanted: $kind,
                    });
                }
                stated.small_units(rounding).map(Self)
            }
        }
    };
}

quantity!(
    /// Torque in whole mN·m; clockwise is positive.
    Torque, Kind::Torque, "mN·m"
);
quantity!(
    /// Length in whole µm.
    Length, Kind::Length, "µm"
);
quantity!(
    /// Mass in whole mg.
    Mass, Kind::Mass, "mg"
);
quantity!(
    /// Force in whole mN.
    Force, Kind::Force, "mN"
);
quantity!(
    /// Pressure in whole Pa.
    Pressure, Kind::Pressure, "Pa"
);

impl Torque {
    /// The largest torque that any hand tool of a workshop can mean: 2000 N·m.
    pub const SANE_MAXIMUM: Self = Self(2_000_000);

    /// In N·m, for models and plots; never for judging.
    #[expect(
        clippy::cast_precision_loss,
        reason = "whole mN·m of a hand tool are far below 2^53"
    )]
    pub fn newton_metres(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// The same size, turned clockwise.
    #[must_use]
    pub const fn magnitude(self) -> Self {
        Self(self.0.saturating_abs())
    }

    /// A whole percentage of this torque, rounded the way that is asked.
    #[must_use]
    pub fn percent(self, percent: u8, rounding: Rounding) -> Self {
        let scaled = i128::from(self.0) * i128::from(percent);
        Self(i64::try_from(unit::divide(scaled, 100, rounding)).unwrap_or(i64::MAX))
    }

    /// Whether a tool of a workshop can show this at all.
    pub const fn is_sane(self) -> bool {
        self.0.saturating_abs() <= Self::SANE_MAXIMUM.0
    }
}

/// Shown in N·m with as many decimals as are not zero, at least one.
impl fmt::Display for Torque {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let (whole, rest) = (self.0.unsigned_abs() / 1000, self.0.unsigned_abs() % 1000);
        let digits = format!("{rest:03}");
        let digits = digits.trim_end_matches('0');
        let digits = if digits.is_empty() { "0" } else { digits };
        write!(f, "{sign}{whole}.{digits} N·m")
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
