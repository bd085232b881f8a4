//! Checks: planned measurements that are no torque. How deep a post sits, what a tyre is pumped to, what a spoke pulls.
//!
//! A value is a whole number of one small unit, as a torque is: µm, mg, mN, Pa or mK. Readings and upper limits are
//! rounded up, lower limits down. A check states what *is*, so its newest reading counts; earlier ones stay, and no longer
//! count. A check may also be computed from others by a formula ([`Formula`]); what it comes to is then made anew from its
//! inputs by whoever looks, and is stored nowhere.

mod answer;
mod derived;
mod formula;
mod gauge;
mod plan;
mod reading;

pub use answer::{CheckAnswer, CheckCaution, CheckVerdict, compare, decide, is_fit, outside};
pub use derived::{Derived, Input, derive};
pub use formula::{Formula, FormulaError, LONGEST_FORMULA, MOST_NESTED};
pub use gauge::{
    CheckBasis, CheckCertificate, CheckCertificateFile, CheckWorth, MeasuringFigures,
    MeasuringTool, MeasuringToolError, weigh,
};
pub use plan::{Check, CheckLimits, CheckSpec, MOST_READINGS};
pub use reading::{
    CheckAlarm, CheckCandidate, CheckHeldBecause, CheckJudgedAnew, CheckMeasured, CheckPlace,
    CheckPlaced, CheckPlacement, CheckReading,
};

use crate::quantity::{Decimal, Kind, QuantityError, Rounding, Stated, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// The small unit that values of a quantity are counted in, as a UCUM code.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum SmallUnit {
    /// Length.
    #[serde(rename = "um")]
    Micrometre,
    /// Mass.
    #[serde(rename = "mg")]
    Milligram,
    /// Force.
    #[serde(rename = "mN")]
    Millinewton,
    /// Pressure.
    #[serde(rename = "Pa")]
    Pascal,
    /// Temperature.
    #[serde(rename = "mK")]
    Millikelvin,
}

impl SmallUnit {
    /// The small unit of a quantity; torque is no check.
    pub const fn of(kind: Kind) -> Option<Self> {
        match kind {
            Kind::Torque => None,
            Kind::Length => Some(Self::Micrometre),
            Kind::Mass => Some(Self::Milligram),
            Kind::Force => Some(Self::Millinewton),
            Kind::Pressure => Some(Self::Pascal),
            Kind::Temperature => Some(Self::Millikelvin),
        }
    }

    /// The quantity.
    pub const fn kind(self) -> Kind {
        match self {
            Self::Micrometre => Kind::Length,
            Self::Milligram => Kind::Mass,
            Self::Millinewton => Kind::Force,
            Self::Pascal => Kind::Pressure,
            Self::Millikelvin => Kind::Temperature,
        }
    }

    /// The small unit as a UCUM code.
    pub const fn ucum(self) -> &'static str {
        match self {
            Self::Micrometre => "um",
            Self::Milligram => "mg",
            Self::Millinewton => "mN",
            Self::Pascal => "Pa",
            Self::Millikelvin => "mK",
        }
    }

    /// Whether too much of it can hurt a part: then a value above the upper limit raises the over alarm.
    pub const fn can_harm(self) -> bool {
        matches!(self, Self::Millinewton | Self::Pascal)
    }

    /// The unit that people are shown, and how many decimals.
    const fn shown(self) -> (&'static str, usize, f64) {
        match self {
            Self::Micrometre => ("mm", 3, 1_000.0),
            Self::Milligram => ("g", 3, 1_000.0),
            Self::Millinewton => ("N", 3, 1_000.0),
            Self::Pascal => ("bar", 5, 100_000.0),
            Self::Millikelvin => ("°C", 3, 1_000.0),
        }
    }

    /// The symbol of the unit that people are shown.
    pub const fn symbol(self) -> &'static str {
        self.shown().0
    }

    /// A value as people are shown it, with its unit: "71.02 mm".
    pub fn text(self, value: i64) -> String {
        let zero = if self == Self::Millikelvin {
            273_150
        } else {
            0
        };
        self.step_text(value.saturating_sub(zero))
    }

    /// A difference, a step or an uncertainty as people are shown it, with its unit.
    pub fn step_text(self, value: i64) -> String {
        let (symbol, decimals, _) = self.shown();
        let value = match self {
            // Nobody reads a pressure to the pascal; limits are exact in the record.
            Self::Pascal => ((value + value.signum() * 50) / 100) * 100,
            _ => value,
        };
        format!("{} {symbol}", trimmed(value, decimals))
    }

    /// In the unit that people are shown, for plots and models.
    #[expect(clippy::cast_precision_loss, reason = "only shown")]
    pub fn shown_value(self, value: i64) -> f64 {
        let zero = if self == Self::Millikelvin {
            273_150
        } else {
            0
        };
        value.saturating_sub(zero) as f64 / self.shown().2
    }

    /// Whole small units of what was stated; an error if it is another quantity or does not fit.
    pub fn value_of(self, stated: Stated, rounding: Rounding) -> Result<i64, QuantityError> {
        if stated.unit.kind != self.kind() {
            return Err(QuantityError::OtherKind {
                symbol: stated.unit.symbol,
                found: stated.unit.kind,
                wanted: self.kind(),
            });
        }
        let value = stated.small_units(rounding)?;
        if value.unsigned_abs() > MOST {
            return Err(QuantityError::TooLarge {
                text: stated.to_string(),
            });
        }
        Ok(value)
    }

    /// Whole small units of a step or a difference.
    pub fn step_of(self, stated: Stated, rounding: Rounding) -> Result<i64, QuantityError> {
        // Asked for its errors: the same as of a value.
        self.value_of(stated, rounding)?;
        step(stated.unit, stated.value, rounding).ok_or_else(|| QuantityError::TooLarge {
            text: stated.to_string(),
        })
    }
}

impl fmt::Display for SmallUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.kind().fmt(f)
    }
}

/// The largest value that a workshop measures, in small units: a kilometre, a tonne, a giganewton. Sums of a thousand of
/// them still fit.
pub const MOST: u64 = 1_000_000_000_000;

fn step(unit: &Unit, value: Decimal, rounding: Rounding) -> Option<i64> {
    unit.step_to_small_units(value, rounding)
}

/// A whole number of which the last `decimals` digits stand behind the point, without zeros at the end.
fn trimmed(value: i64, decimals: usize) -> String {
    let digits = format!("{:0width$}", value.unsigned_abs(), width = decimals + 1);
    let (whole, part) = digits.split_at(digits.len() - decimals);
    let part = part.trim_end_matches('0');
    let sign = if value < 0 { "-" } else { "" };
    if part.is_empty() {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{whole}.{part}")
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
