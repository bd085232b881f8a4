//! Numbers as tools write them: in digits (also NR1 to NR3 of IEEE 488.2, from memory), and in bytes (integers, IEEE 754,
//! SFLOAT and FLOAT of IEEE 11073-20601).

use pullmark_schema::profile::{Field, Format, Order};
use pullmark_schema::quantity::Decimal;

/// The most digits that are read.
const MOST_DIGITS: u32 = 15;

/// How a profile writes numbers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Style {
    pub(super) decimal_comma: bool,
    pub(super) decimals: u8,
}

/// Reads digits with one decimal mark at most and an optional exponent. A mark that the profile does not have, a second
/// one, or one beside digits that stand for decimals already, make it no number.
pub(super) fn decimal(text: &str, style: Style) -> Option<Decimal> {
    let text = text.trim_ascii();
    let (is_negative, body) = match text.as_bytes() {
        [b'-', rest @ ..] | [0xE2, 0x88, 0x92, rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        body => (false, body),
    };
    let body = body.trim_ascii_start();
    let mark = if style.decimal_comma { b',' } else { b'.' };
    let (mut mantissa, mut digits, mut scale) = (0_i64, 0_u32, None);
    let mut bytes = body.iter();
    let mut exponent = 0;
    while let Some(&byte) = bytes.next() {
        if byte.is_ascii_digit() {
            if digits == MOST_DIGITS {
                return None;
            }
            digits += 1;
            mantissa = mantissa * 10 + i64::from(byte - b'0');
            scale = scale.map(|scale: i32| scale + 1);
        } else if byte == mark && scale.is_none() {
            scale = Some(0);
        } else if matches!(byte, b'e' | b'E') && digits > 0 {
            exponent = exponent_of(bytes.as_slice())?;
            break;
        } else {
            return None;
        }
    }
    if digits == 0 || scale.is_some() && style.decimals > 0 {
        return None;
    }
    let scale = scale.unwrap_or_else(|| i32::from(style.decimals)) - exponent;
    at_scale(if is_negative { -mantissa } else { mantissa }, scale)
}

fn exponent_of(bytes: &[u8]) -> Option<i32> {
    let text = std::str::from_utf8(bytes).ok()?;
    let exponent: i32 = text.parse().ok()?;
    (exponent.abs() <= 99).then_some(exponent)
}

/// `mantissa / 10^scale`, also where the scale is negative or has zeros to give away.
#[inline]
pub(super) fn at_scale(mantissa: i64, scale: i32) -> Option<Decimal> {
    if mantissa == 0 {
        return Decimal::new(0, u8::try_from(scale.clamp(0, 15)).ok()?);
    }
    let (mut mantissa, mut scale) = (mantissa, scale);
    while scale < 0 {
        mantissa = mantissa.checked_mul(10)?;
        scale += 1;
    }
    while scale > 15 && mantissa % 10 == 0 {
        mantissa /= 10;
        scale -= 1;
    }
    Decimal::new(mantissa, u8::try_from(scale).ok()?)
}

/// A number in bytes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Raw {
    /// A whole number.
    Whole(i64),
    /// A decimal number with an exponent of its own.
    Scaled(i64, i32),
    /// A binary fraction.
    Float(f64),
    /// The format's way of saying that there is no value.
    Nothing,
    /// The format's way of saying that there is more of it than can be told: an infinity.
    PastRange,
}

impl Raw {
    /// As a decimal number; `exponent` is the power of ten that whole numbers count in.
    #[inline]
    pub(super) fn decimal(self, exponent: i8) -> Option<Decimal> {
        match self {
            Self::Whole(whole) => at_scale(whole, -i32::from(exponent)),
            Self::Scaled(mantissa, exponent) => at_scale(mantissa, -exponent),
            Self::Float(float) => shortest(float),
            Self::Nothing | Self::PastRange => None,
        }
    }
}

/// The shortest decimal number that means the same binary fraction.
pub(super) fn shortest(float: f64) -> Option<Decimal> {
    let style = Style {
        decimal_comma: false,
        decimals: 0,
    };
    // Digits beyond the fifteenth are dropped by the second way.
    decimal(&format!("{float}"), style).or_else(|| decimal(&format!("{float:.9}"), style))
}

/// Reads a number where a field says it stands; nothing where the bytes end before.
#[inline]
pub(super) fn read(field: Field, bytes: &[u8]) -> Option<Raw> {
    let end = field.at.checked_add(field.format.size())?;
    let bytes = bytes.get(field.at..end)?;
    let shifted = |bits: u64, byte: u8| bits << 8 | u64::from(byte);
    // The two plain orders are most of what streams: without a rule for each byte.
    let bits = match field.order {
        Order::Little => bytes.iter().rev().copied().fold(0, shifted),
        Order::Big => bytes.iter().copied().fold(0, shifted),
        Order::BigWordsSwapped | Order::BigBytesSwapped => {
            let mut little = [0_u8; 8];
            for (to, from) in little.iter_mut().zip(ordered(field.order, bytes)) {
                *to = from;
            }
            u64::from_le_bytes(little)
        }
    };
    Some(number(field.format, bits))
}

/// The bytes of a number, the least significant first.
fn ordered(order: Order, bytes: &[u8]) -> impl Iterator<Item = u8> + '_ {
    let count = bytes.len();
    (0..count).map(move |place| {
        let at = match order {
            Order::Little => place,
            // The lower word first, big-endian within it.
            Order::BigWordsSwapped if count.is_multiple_of(2) => place ^ 1,
            Order::BigBytesSwapped if count.is_multiple_of(2) => (count - 1 - place) ^ 1,
            Order::Big | Order::BigWordsSwapped | Order::BigBytesSwapped => count - 1 - place,
        };
        bytes.get(at).copied().unwrap_or_default()
    })
}

/// A number from its bits.
#[inline]
pub(super) fn number(format: Format, bits: u64) -> Raw {
    let signed = |width: u32| sign_extended(bits, width);
    match format {
        Format::Uint8 | Format::Uint16 | Format::Uint24 | Format::Uint32 => {
            Raw::Whole(i64::try_from(bits).unwrap_or(i64::MAX))
        }
        Format::Sint8 => Raw::Whole(signed(8)),
        Format::Sint16 => Raw::Whole(signed(16)),
        Format::Sint24 => Raw::Whole(signed(24)),
        Format::Sint32 => Raw::Whole(signed(32)),
        Format::Float32 => {
            u32::try_from(bits).map_or(Raw::Nothing, |bits| single(f32::from_bits(bits)))
        }
        Format::Float64 => finite(f64::from_bits(bits)),
        Format::Medfloat16 => match bits {
            0x07FE | 0x0802 => Raw::PastRange,
            0x07FF..=0x0801 => Raw::Nothing,
            _ => Raw::Scaled(signed(12), small(sign_extended(bits >> 12, 4))),
        },
        Format::Medfloat32 => match bits {
            0x007F_FFFE | 0x0080_0002 => Raw::PastRange,
            0x007F_FFFF..=0x0080_0001 => Raw::Nothing,
            _ => Raw::Scaled(signed(24), small(sign_extended(bits >> 24, 8))),
        },
    }
}

/// A binary fraction of four bytes, as the shortest decimal number that means it: 5.08, and not 5.0799999.
fn single(float: f32) -> Raw {
    if !float.is_finite() {
        return finite(float.into());
    }
    format!("{float}").parse().map_or(Raw::Nothing, Raw::Float)
}

fn finite(float: f64) -> Raw {
    if float.is_nan() {
        Raw::Nothing
    } else if float.is_infinite() {
        Raw::PastRange
    } else {
        Raw::Float(float)
    }
}

/// The lowest bits as a number in two's complement.
pub(super) const fn sign_extended(bits: u64, width: u32) -> i64 {
    let shift = 64 - width;
    (bits << shift).cast_signed() >> shift
}

fn small(exponent: i64) -> i32 {
    i32::try_from(exponent).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_infinity_is_past_the_range_and_no_number_is_nothing() {
        for (format, bits, wanted) in [
            (Format::Float32, 0x7F80_0000, Raw::PastRange),
            (Format::Float32, 0xFF80_0000, Raw::PastRange),
            (Format::Float32, 0x7FC0_0000, Raw::Nothing),
            (Format::Float64, 0x7FF0_0000_0000_0000, Raw::PastRange),
            (Format::Float64, 0xFFF0_0000_0000_0000, Raw::PastRange),
            (Format::Float64, 0x7FF8_0000_0000_0000, Raw::Nothing),
            (Format::Medfloat16, 0x07FE, Raw::PastRange),
            (Format::Medfloat16, 0x07FF, Raw::Nothing),
            (Format::Medfloat16, 0x0800, Raw::Nothing),
            (Format::Medfloat16, 0x0801, Raw::Nothing),
            (Format::Medfloat16, 0x0802, Raw::PastRange),
            (Format::Medfloat32, 0x007F_FFFE, Raw::PastRange),
            (Format::Medfloat32, 0x007F_FFFF, Raw::Nothing),
            (Format::Medfloat32, 0x0080_0002, Raw::PastRange),
        ] {
            assert_eq!(number(format, bits), wanted, "{format:?} {bits:X}");
        }
    }
}
