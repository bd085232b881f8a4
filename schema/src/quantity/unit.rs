//! The unit table. A factor is the exact number of small units in one unit, as a ratio of whole numbers.
//!
//! Source of the factors: NIST SP 811 (2008), appendix B, and the exact definitions it rests on; recomputed in
//! the tests from those definitions, and compared there with another library.

use super::{Decimal, Rounding};
use serde::{Deserialize, Serialize};
use std::fmt;

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Moment of force on a fastener; counted in mN·m.
    Torque,
    /// Counted in µm.
    Length,
    /// Counted in mg.
    Mass,
    /// Counted in mN.
    Force,
    /// Counted in Pa.
    Pressure,
    /// Counted in mK.
    Temperature,
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Torque => "torque",
            Self::Length => "length",
            Self::Mass => "mass",
            Self::Force => "force",
            Self::Pressure => "pressure",
            Self::Temperature => "temperature",
        })
    }
}

/// One unit of measure.
#[derive(Debug, PartialEq, Eq)]
pub struct Unit {
    /// What it measures.
    pub kind: Kind,
    /// As we show it.
    pub symbol: &'static str,
    /// As UCUM spells it; used in ledger and record.
    pub ucum: &'static str,
    /// Other spellings that are read; upper and lower case count.
    pub spellings: &'static [&'static str],
    numerator: i128,
    denominator: i128,
    /// Where the scale does not begin at nothing (°C, °F): what zero is, in small units times the denominator.
    zero: i128,
}

/// A unit that is not in the table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{text:?} is not a unit known here: for torque write N·m, lbf·in, lbf·ft, kgf·cm or cN·m; for others mm, in, kg, g, bar, psi, N, kgf or °C"
)]
pub struct UnitError {
    /// The text as written.
    pub text: String,
}

const fn unit(
    kind: Kind,
    symbol: &'static str,
    ucum: &'static str,
    spellings: &'static [&'static str],
    (numerator, denominator): (i128, i128),
) -> Unit {
    Unit {
        kind,
        symbol,
        ucum,
        spellings,
        numerator,
        denominator,
        zero: 0,
    }
}

/// A unit whose scale begins elsewhere.
const fn from_zero(unit: &Unit, zero: i128) -> Unit {
    Unit { zero, ..*unit }
}

/// Every unit that is read.
pub static UNITS: &[Unit] = &[
    unit(
        Kind::Torque,
        "N·m",
        "N.m",
        &["Nm", "N m", "N-m", "N⋅m", "newton metre"],
        (1_000, 1),
    ),
    unit(Kind::Torque, "dN·m", "dN.m", &["dNm"], (100, 1)),
    unit(Kind::Torque, "cN·m", "cN.m", &["cNm"], (10, 1)),
    unit(Kind::Torque, "mN·m", "mN.m", &["mNm"], (1, 1)),
    unit(
        Kind::Torque,
        "lbf·in",
        "[lbf_av].[in_i]",
        &[
            "lbf.in", "lbf in", "lbf-in", "in-lb", "in.lb", "in·lb", "in lb", "in-lbf", "in·lbf",
            "lb-in", "lb·in",
        ],
        (1_129_848_290_276_167, 10_000_000_000_000),
    ),
    unit(
        Kind::Torque,
        "lbf·ft",
        "[lbf_av].[ft_i]",
        &[
            "lbf.ft", "lbf ft", "lbf-ft", "ft-lb", "ft.lb", "ft·lb", "ft lb", "ft-lbf", "ft·lbf",
            "lb-ft", "lb·ft",
        ],
        (13_558_179_483_314_004, 10_000_000_000_000),
    ),
    unit(
        Kind::Torque,
        "ozf·in",
        "[oz_av].[g].[in_i]",
        &["ozf.in", "ozf-in", "oz-in", "in-oz", "oz·in"],
        (706_155_181_422_604_375, 100_000_000_000_000_000),
    ),
    unit(
        Kind::Torque,
        "kgf·cm",
        "kgf.cm",
        &["kgf cm", "kgf-cm", "kg-cm", "kg·cm", "kgcm", "kgfcm"],
        (980_665, 10_000),
    ),
    unit(
        Kind::Torque,
        "kgf·m",
        "kgf.m",
        &["kgf m", "kgf-m", "kg-m", "kg·m", "kgm", "kgfm"],
        (980_665, 100),
    ),
    unit(Kind::Length, "mm", "mm", &[], (1_000, 1)),
    unit(Kind::Length, "µm", "um", &["μm"], (1, 1)),
    unit(Kind::Length, "cm", "cm", &[], (10_000, 1)),
    unit(Kind::Length, "m", "m", &[], (1_000_000, 1)),
    unit(Kind::Length, "in", "[in_i]", &["inch", "\""], (25_400, 1)),
    unit(Kind::Length, "ft", "[ft_i]", &[], (304_800, 1)),
    unit(Kind::Mass, "g", "g", &[], (1_000, 1)),
    unit(Kind::Mass, "kg", "kg", &[], (1_000_000, 1)),
    unit(Kind::Mass, "lb", "[lb_av]", &[], (45_359_237, 100)),
    unit(Kind::Force, "N", "N", &[], (1_000, 1)),
    unit(Kind::Force, "kgf", "kgf", &[], (980_665, 100)),
    unit(
        Kind::Force,
        "lbf",
        "[lbf_av]",
        &[],
        (44_482_216_152_605, 10_000_000_000),
    ),
    unit(Kind::Pressure, "Pa", "Pa", &[], (1, 1)),
    unit(Kind::Pressure, "hPa", "hPa", &[], (100, 1)),
    unit(Kind::Pressure, "kPa", "kPa", &[], (1_000, 1)),
    unit(Kind::Pressure, "bar", "bar", &[], (100_000, 1)),
    unit(
        Kind::Pressure,
        "psi",
        "[psi]",
        &[],
        (44_482_216_152_605, 6_451_600_000),
    ),
    unit(Kind::Temperature, "K", "K", &[], (1_000, 1)),
    // 0 °C is 273.15 K exactly; a degree is a kelvin.
    from_zero(
        &unit(Kind::Temperature, "°C", "Cel", &["degC", "C"], (1_000, 1)),
        273_150,
    ),
    // T/K = (t/°F + 459.67) · 5/9 exactly.
    from_zero(
        &unit(
            Kind::Temperature,
            "°F",
            "[degF]",
            &["degF", "F"],
            (5_000, 9),
        ),
        2_298_350,
    ),
];

impl Unit {
    /// Finds a unit by its symbol, its UCUM code or another spelling.
    pub fn find(text: &str) -> Result<&'static Self, UnitError> {
        UNITS
            .iter()
            .find(|u| u.symbol == text || u.ucum == text || u.spellings.contains(&text))
            .ok_or_else(|| UnitError {
                text: text.to_owned(),
            })
    }

    /// One of this unit in N·m, for models; nothing for a unit of another quantity.
    #[expect(
        clippy::cast_precision_loss,
        reason = "for models; what is judged stays whole"
    )]
    pub fn newton_metres_in_one(&self) -> Option<f64> {
        (self.kind == Kind::Torque)
            .then(|| self.numerator as f64 / self.denominator as f64 / 1000.0)
    }

    /// How many small units are in one of this unit, exactly: numerator and denominator.
    pub const fn small_units_in_one(&self) -> (i128, i128) {
        (self.numerator, self.denominator)
    }

    /// Where the scale begins, in small units times the denominator of [`Self::small_units_in_one`]; 0 for most.
    pub const fn zero(&self) -> i128 {
        self.zero
    }

    /// Whole small units of a value in this unit, or nothing where it does not fit.
    #[inline]
    pub fn to_small_units(&self, value: Decimal, rounding: Rounding) -> Option<i64> {
        self.to_parts(value, rounding, 1)
    }

    /// The same in whole thousandths of small units.
    pub fn to_thousandths(&self, value: Decimal, rounding: Rounding) -> Option<i64> {
        self.to_parts(value, rounding, 1_000)
    }

    #[inline]
    fn to_parts(&self, value: Decimal, rounding: Rounding, parts: i64) -> Option<i64> {
        self.to_parts_quickly(value, rounding, parts)
            .or_else(|| self.to_parts_from(value, rounding, parts, self.zero))
    }

    /// Whether the scale begins elsewhere than at nothing: a step or a difference in it is another number than a value.
    pub const fn has_a_zero(&self) -> bool {
        self.zero != 0
    }

    /// Whole small units of a step or a difference in this unit: 0.5 °C apart is 500 mK.
    pub fn step_to_small_units(&self, value: Decimal, rounding: Rounding) -> Option<i64> {
        self.to_parts_from(value, rounding, 1, 0)
    }

    fn to_parts_from(
        &self,
        value: Decimal,
        rounding: Rounding,
        parts: i64,
        zero: i128,
    ) -> Option<i64> {
        let scale = 10_i128.checked_pow(u32::from(value.scale()))?;
        let numerator = i128::from(value.mantissa())
            .checked_mul(self.numerator)?
            .checked_add(zero.checked_mul(scale)?)?
            .checked_mul(i128::from(parts))?;
        i64::try_from(divide(
            numerator,
            self.denominator.checked_mul(scale)?,
            rounding,
        ))
        .ok()
    }

    /// Most values fit 64 bits all the way; a division of 128 bits takes several times as long.
    #[inline]
    fn to_parts_quickly(&self, value: Decimal, rounding: Rounding, parts: i64) -> Option<i64> {
        if self.zero != 0 {
            return None;
        }
        if parts == 1 && self.numerator == 1_000 && self.denominator == 1 {
            // What nearly every display shows: up to three decimals of a thousand small units, exact without a division.
            if let Some(factor) = [1_000, 100, 10, 1].get(usize::from(value.scale())) {
                return value.mantissa().checked_mul(*factor);
            }
        }
        let scale = 10_i64.checked_pow(u32::from(value.scale()))?;
        let numerator = i64::try_from(self.numerator).ok()?;
        let numerator = value
            .mantissa()
            .checked_mul(numerator)?
            .checked_mul(parts)?;
        let denominator = i64::try_from(self.denominator).ok()?.checked_mul(scale)?;
        let (whole, rest) = (
            numerator.checked_div_euclid(denominator)?,
            numerator.checked_rem_euclid(denominator)?,
        );
        let up = match rounding {
            Rounding::Down => numerator < 0 && rest > 0,
            Rounding::Up => numerator > 0 && rest > 0,
            Rounding::Nearest => return None,
        };
        whole.checked_add(i64::from(up))
    }

    /// A value in small units, shown in this unit, for people and plots.
    #[expect(
        clippy::cast_precision_loss,
        reason = "only shown; what is judged stays whole"
    )]
    pub fn from_small_units(&self, small: i64) -> f64 {
        (small as f64 - self.zero as f64 / self.denominator as f64)
            * (self.denominator as f64 / self.numerator as f64)
    }
}

/// Divides by a positive number and rounds the way that is asked.
pub(crate) fn divide(numerator: i128, denominator: i128, rounding: Rounding) -> i128 {
    let floor = numerator.div_euclid(denominator);
    let rest = numerator.rem_euclid(denominator);
    let up = match rounding {
        Rounding::Down => numerator < 0 && rest > 0,
        Rounding::Up => numerator > 0 && rest > 0,
        Rounding::Nearest if numerator < 0 => rest * 2 > denominator,
        Rounding::Nearest => rest * 2 >= denominator,
    };
    floor + i128::from(up)
}
