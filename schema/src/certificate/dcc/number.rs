//! Figures of D-SI: decimals with an optional exponent, exact.

use super::super::CertificateError;
use super::super::error::Place;
use super::DccFault;
use crate::quantity::{Rounding, divide};

/// Decimals of the whole numbers that are reckoned with: 10^-12 N·m.
const PLACES: i32 = 12;
/// The longest figure that is read.
const MOST_SIGNS: usize = 40;
/// The largest size that is reckoned with: 10^6 units.
const MOST: i128 = 1_000_000_000_000_000_000;

/// `digits · 10^exponent`, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Number {
    digits: i128,
    exponent: i32,
}

impl Number {
    pub(super) const ONE: Self = Self {
        digits: 1,
        exponent: 0,
    };

    /// Reads one; NaN and infinity are none.
    pub(super) fn parse(text: &str, place: &str) -> Result<Self, CertificateError> {
        Self::read(text).ok_or_else(|| {
            let text = text.chars().take(60).collect();
            let place = Place::Element(place.to_owned());
            CertificateError::at(place, DccFault::NotANumber { text })
        })
    }

    fn read(text: &str) -> Option<Self> {
        if text.len() > MOST_SIGNS {
            return None;
        }
        let (number, power) = text.split_once(['e', 'E']).unwrap_or((text, "0"));
        let power: i32 = power.parse().ok().filter(|power: &i32| power.abs() <= 60)?;
        let (sign, body) = match number.strip_prefix('-') {
            Some(rest) => (-1, rest),
            None => (1, number.strip_prefix('+').unwrap_or(number)),
        };
        let (whole, part) = body.split_once('.').unwrap_or((body, ""));
        let digits = [whole, part].concat();
        if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let digits: i128 = digits.parse().ok()?;
        let places = i32::try_from(part.len()).ok()?;
        Some(Self {
            digits: sign * digits,
            exponent: power - places,
        })
    }

    /// The number times a power of ten, in whole 10^-12; nothing if it is huge.
    pub(super) fn pico(self, power: i32) -> Option<i128> {
        let value = shift(self.digits, self.exponent + power + PLACES)?;
        (value.abs() <= MOST).then_some(value)
    }

    /// One unit of its last place, likewise; at least 1.
    pub(super) fn last_place(self, power: i32) -> i128 {
        shift(1, self.exponent + power + PLACES)
            .unwrap_or(MOST)
            .clamp(1, MOST)
    }
}

fn shift(digits: i128, power: i32) -> Option<i128> {
    let factor = |power: i32| 10_i128.checked_pow(power.unsigned_abs());
    if power >= 0 {
        return if digits == 0 {
            Some(0)
        } else {
            digits.checked_mul(factor(power)?)
        };
    }
    Some(factor(power).map_or(0, |factor| divide(digits, factor, Rounding::Nearest)))
}

/// A product of two figures in whole 10^-12, in whole 10^-12.
pub(super) fn product(a: i128, b: i128) -> i128 {
    // Both are at most 10^18, so the product is below 10^36.
    divide(
        a.saturating_mul(b),
        10_i128.pow(PLACES.unsigned_abs()),
        Rounding::Nearest,
    )
}

/// Whole 10^-12 as whole 10^-6 (or 10^-3 of a plain number with `places` 3).
pub(super) fn coarser(pico: i128, places: u32, rounding: Rounding) -> Option<i64> {
    let factor = 10_i128.pow(PLACES.unsigned_abs().saturating_sub(places));
    i64::try_from(divide(pico, factor, rounding)).ok()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_d_si_allows() {
        for (text, pico) in [
            ("4.02", 4_020_000_000_000),
            ("-0.02", -20_000_000_000),
            ("+.5", 500_000_000_000),
            ("402E-2", 4_020_000_000_000),
            ("4.02e+0", 4_020_000_000_000),
            ("4.0199999999999996", 4_020_000_000_000),
            ("0.000", 0),
            ("1e-60", 0),
            ("0e60", 0),
        ] {
            assert_eq!(Number::read(text).unwrap().pico(0), Some(pico), "{text}");
        }
        for text in [
            "", ".", "-", "NaN", "INF", "1,5", "1.2.3", "1e", "1e99", "0x1", "1 2", "--1", "1e1.5",
            "٣",
        ] {
            assert_eq!(Number::read(text), None, "{text}");
        }
        assert_eq!(Number::read("9e30").unwrap().pico(0), None);
        assert_eq!(Number::read("1e60").unwrap().pico(0), None);
    }

    #[test]
    fn knows_its_last_place() {
        let last = |text| Number::read(text).unwrap().last_place(0);
        assert_eq!(last("4.02"), 10_000_000_000);
        assert_eq!(last("402e-2"), 10_000_000_000);
        assert_eq!(last("4"), 1_000_000_000_000);
        assert_eq!(last("4.0199999999999996"), 1);
        assert_eq!(last("1e60"), MOST);
    }
}
