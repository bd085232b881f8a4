//! Figures as people write them in a certificate file: torques with a unit, ratios in percent, coverage factors, dates.

use super::ReadFault;
use crate::quantity::{Decimal, MicroTorque, Rounding, Stated, divide};
use chrono::NaiveDate;

/// A torque with its unit, to the nearest µN·m.
pub(super) fn torque(text: &str) -> Result<MicroTorque, ReadFault> {
    Ok(MicroTorque::of(Stated::parse(text)?, Rounding::Nearest)?)
}

/// An uncertainty: a torque with its unit or a share of the reference in percent. Rounded up: it is never made smaller.
pub(super) fn uncertainty(text: &str, reference: MicroTorque) -> Result<MicroTorque, ReadFault> {
    if let Some(number) = text.trim().strip_suffix('%') {
        return share(number.trim_end(), reference);
    }
    Ok(MicroTorque::of(Stated::parse(text)?, Rounding::Up)?)
}

/// So many percent of a torque, rounded up.
pub(super) fn share(percent: &str, of: MicroTorque) -> Result<MicroTorque, ReadFault> {
    let value = Decimal::parse(percent).map_err(crate::quantity::QuantityError::from)?;
    let too_large = || crate::quantity::QuantityError::TooLarge {
        text: format!("{percent} %"),
    };
    let product = i128::from(value.mantissa()).checked_mul(i128::from(of.small_units()));
    let divisor = 10_i128.checked_pow(u32::from(value.scale()) + 2);
    let (product, divisor) = product.zip(divisor).ok_or_else(too_large)?;
    let units = i64::try_from(divide(product, divisor, Rounding::Up)).map_err(|_| too_large())?;
    Ok(MicroTorque::from_small_units(units))
}

/// A ratio like "0.25 %" in ppm, rounded up.
pub(super) fn ppm(text: &str) -> Result<u32, ReadFault> {
    let parse = || {
        let number = text.trim().strip_suffix('%')?.trim_end();
        whole(number, 10_000, Rounding::Up)
    };
    parse().ok_or_else(|| ReadFault::NotA {
        what: "ratio",
        text: text.to_owned(),
        example: "\"0.25 %\"",
    })
}

/// A coverage factor like "2" or "2.13" in thousandths.
pub(super) fn coverage_factor(text: &str) -> Result<u32, ReadFault> {
    whole(text.trim(), 1_000, Rounding::Nearest).ok_or_else(|| ReadFault::NotA {
        what: "coverage factor",
        text: text.to_owned(),
        example: "2 or 2.13",
    })
}

/// A count like "5".
pub(super) fn count(text: &str) -> Result<u32, ReadFault> {
    text.trim().parse().map_err(|_| ReadFault::NotA {
        what: "count",
        text: text.to_owned(),
        example: "5",
    })
}

/// A word that stands for a variant, like "as-left".
pub(super) fn word<T: serde::de::DeserializeOwned>(text: &str) -> Result<T, ReadFault> {
    let value = serde_json::Value::String(text.trim().to_owned());
    serde_json::from_value(value).map_err(|error| ReadFault::Syntax(error.to_string()))
}

/// A day as ISO 8601 writes it.
pub(super) fn day(text: &str) -> Result<NaiveDate, ReadFault> {
    let is_plain = text.len() == 10;
    let parsed = NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
    parsed.filter(|_| is_plain).ok_or_else(|| ReadFault::NotA {
        what: "date",
        text: text.to_owned(),
        example: "2026-05-04",
    })
}

/// A number times something, as a whole number that is not negative.
fn whole(text: &str, times: i128, rounding: Rounding) -> Option<u32> {
    let value = Decimal::parse(text).ok()?;
    let numerator = i128::from(value.mantissa()).checked_mul(times)?;
    let divisor = 10_i128.checked_pow(u32::from(value.scale()))?;
    u32::try_from(divide(numerator, divisor, rounding)).ok()
}
