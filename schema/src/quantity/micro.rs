//! Torque in whole µN·m: what a calibration certificate states, a thousand times finer than what a wrench shows.
//!
//! A reading is never kept in it: readings and limits are whole mN·m ([`Torque`]).

use super::{Kind, QuantityError, Rounding, Stated, Torque};
use serde::{Deserialize, Serialize};
use std::fmt;

/// Torque in whole µN·m, as calibration certificates state it.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(transparent)]
pub struct MicroTorque(i64);

impl MicroTorque {
    /// The same bound as [`Torque::SANE_MAXIMUM`].
    pub const SANE_MAXIMUM: Self = Self(Torque::SANE_MAXIMUM.small_units() * 1_000);

    /// From whole µN·m.
    pub const fn from_small_units(units: i64) -> Self {
        Self(units)
    }

    /// In whole µN·m.
    pub const fn small_units(self) -> i64 {
        self.0
    }

    /// Converts what was stated; an error if it is another quantity or does not fit.
    pub fn of(stated: Stated, rounding: Rounding) -> Result<Self, QuantityError> {
        if stated.unit.kind != Kind::Torque {
            return Err(QuantityError::OtherKind {
                symbol: stated.unit.symbol,
                found: stated.unit.kind,
                wanted: Kind::Torque,
            });
        }
        stated
            .unit
            .to_thousandths(stated.value, rounding)
            .map(Self)
            .ok_or_else(|| QuantityError::TooLarge {
                text: stated.to_string(),
            })
    }

    /// In N·m, for models and plots.
    #[expect(
        clippy::cast_precision_loss,
        reason = "whole µN·m of a hand tool are far below 2^53"
    )]
    pub fn newton_metres(self) -> f64 {
        self.0 as f64 / 1_000_000.0
    }

    /// Whether a tool of a workshop can show this at all, in either direction.
    pub const fn is_sane(self) -> bool {
        self.0.saturating_abs() <= Self::SANE_MAXIMUM.0
    }
}

/// Exact, but for torques beyond 9 GN·m, which stop there.
impl From<Torque> for MicroTorque {
    fn from(torque: Torque) -> Self {
        Self(torque.small_units().saturating_mul(1_000))
    }
}

/// Shown in N·m with as many decimals as are not zero, at least one; it reads back as the same torque.
impl fmt::Display for MicroTorque {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let size = self.0.unsigned_abs();
        let digits = format!("{:06}", size % 1_000_000);
        let digits = digits.trim_end_matches('0');
        let digits = if digits.is_empty() { "0" } else { digits };
        write!(f, "{sign}{}.{digits} N·m", size / 1_000_000)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn micro(text: &str) -> i64 {
        MicroTorque::of(Stated::parse(text).unwrap(), Rounding::Nearest)
            .unwrap()
            .small_units()
    }

    /// The factors follow from the exact definitions in NIST SP 811, appendix B.
    #[test]
    fn reads_torques_to_the_millionth() {
        for (text, expected) in [
            ("5 N·m", 5_000_000),
            ("4.0215 N·m", 4_021_500),
            ("508 cN·m", 5_080_000),
            ("44 lbf·in", 4_971_332),  // 4.971 332 477 215 134 8 N·m
            ("30 lbf·ft", 40_674_538), // 40.674 538 449 942 012 N·m
            ("120 kgf·cm", 11_767_980),
            ("100 ozf·in", 706_155), // 0.706 155 181 422 604 375 N·m
            ("-0.0000005 N·m", -1),
        ] {
            assert_eq!(micro(text), expected, "{text}");
        }
        let millimetres = Stated::parse("5 mm").unwrap();
        assert!(matches!(
            MicroTorque::of(millimetres, Rounding::Up),
            Err(QuantityError::OtherKind { .. })
        ));
        let huge = Stated::parse("999999999999999 lbf·ft").unwrap();
        assert!(matches!(
            MicroTorque::of(huge, Rounding::Up),
            Err(QuantityError::TooLarge { .. })
        ));
    }

    proptest! {
        #[test]
        fn what_is_shown_reads_back(units in -2_000_000_000_i64..=2_000_000_000) {
            prop_assert_eq!(micro(&MicroTorque::from_small_units(units).to_string()), units);
        }

        #[test]
        fn it_agrees_with_the_coarser_torque(units in -2_000_000_i64..=2_000_000) {
            let coarse = Torque::from_small_units(units);
            prop_assert_eq!(micro(&coarse.to_string()), MicroTorque::from(coarse).small_units());
        }
    }
}
