//! Bluetooth LE values that need no profile: adopted characteristics, and any characteristic with a Characteristic
//! Presentation Format descriptor (0x2904).
//!
//! Layouts and units follow the Bluetooth SIG's GATT Specification Supplement and Assigned Numbers: Industrial Measurement
//! Device Service 1.0 (0x185A, adopted 2024-10-15), Weight Scale (0x181D), Environmental Sensing (0x181A). SFLOAT and FLOAT
//! are those of IEEE 11073-20601. Not read: Cycling Power (0x1818), whose torque is a crank's and not a fastener's.

use super::number::{Raw, at_scale, number};
use super::seen::Seen;
use pullmark_schema::profile::Format;
use pullmark_schema::quantity::{Decimal, Kind, Rounding, Stated, Torque, Unit};

/// The UUID of an assigned number.
pub const fn assigned(short: u16) -> u128 {
    (short as u128) << 96 | 0x0000_1000_8000_0080_5F9B_34FB
}

/// Industrial Measurement Device Service.
pub const INDUSTRIAL_MEASUREMENT: u128 = assigned(0x185A);
/// Weight Scale Service.
pub const WEIGHT_SCALE: u128 = assigned(0x181D);
/// Environmental Sensing Service.
pub const ENVIRONMENTAL_SENSING: u128 = assigned(0x181A);
/// Battery Level, in per cent.
pub const BATTERY_LEVEL: u128 = assigned(0x2A19);
/// Serial Number String.
pub const SERIAL_NUMBER: u128 = assigned(0x2A25);
/// Manufacturer Name String.
pub const MANUFACTURER: u128 = assigned(0x2A29);
/// Model Number String.
pub const MODEL: u128 = assigned(0x2A24);
/// Firmware Revision String.
pub const FIRMWARE: u128 = assigned(0x2A26);
/// Characteristic Presentation Format.
pub const PRESENTATION_FORMAT: u128 = assigned(0x2904);

/// What a characteristic carries, and how.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carrier {
    /// 0x2C0B: sint32, 0.01 N·m, clockwise positive.
    Torque,
    /// 0x2C07: sint32, 0.001 N.
    Force,
    /// 0x2C0A: uint32, 0.1 µm.
    Length,
    /// 0x2C08: sint32, 0.1 µm.
    LinearPosition,
    /// 0x2A6E: sint16, 0.01 °C.
    Temperature,
    /// 0x2A9D: flags and uint16.
    Weight,
    /// 0x2A6D: uint32, 0.1 Pa.
    Pressure,
    /// As its descriptor says.
    Presented(Presentation),
}

/// A value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measured {
    /// Torque.
    Torque(Seen),
    /// Another quantity.
    Other(Stated),
    /// In hundredths of a degree Celsius.
    Temperature(i64),
}

/// Bytes that are no value of a characteristic.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{} bytes that are no value of this characteristic: {}", bytes.len(), hex::encode(bytes))]
pub struct NoValue {
    /// As they came.
    pub bytes: Vec<u8>,
}

impl Carrier {
    /// What a characteristic carries by adoption, in the order in which services are preferred.
    pub fn adopted(service: u128, characteristic: u128) -> Option<Self> {
        let list: [(u128, u128, Self); 8] = [
            (INDUSTRIAL_MEASUREMENT, assigned(0x2C0B), Self::Torque),
            (INDUSTRIAL_MEASUREMENT, assigned(0x2C07), Self::Force),
            (INDUSTRIAL_MEASUREMENT, assigned(0x2C0A), Self::Length),
            (
                INDUSTRIAL_MEASUREMENT,
                assigned(0x2C08),
                Self::LinearPosition,
            ),
            (INDUSTRIAL_MEASUREMENT, assigned(0x2A6E), Self::Temperature),
            (WEIGHT_SCALE, assigned(0x2A9D), Self::Weight),
            (ENVIRONMENTAL_SENSING, assigned(0x2A6D), Self::Pressure),
            (ENVIRONMENTAL_SENSING, assigned(0x2A6E), Self::Temperature),
        ];
        list.into_iter()
            .find(|(of, known, _)| *of == service && *known == characteristic)
            .map(|(_, _, carrier)| carrier)
    }

    /// Whether it can carry torque.
    pub fn is_torque(self) -> bool {
        match self {
            Self::Torque => true,
            Self::Presented(presentation) => presentation
                .unit()
                .is_some_and(|unit| unit.kind == Kind::Torque),
            _ => false,
        }
    }

    /// Whether the device says that there is more of it than it can tell.
    pub fn is_past_range(self, bytes: &[u8]) -> bool {
        let Self::Presented(presentation) = self else {
            return false;
        };
        let is_whole = Some(bytes.len()) == presentation.width();
        is_whole && presentation.unit().is_some() && presentation.raw(bytes) == Some(Raw::PastRange)
    }

    /// Reads a value; none where the device says that it does not know it. One byte too few or too many is an error.
    pub fn read(self, bytes: &[u8]) -> Result<Option<Measured>, NoValue> {
        let wrong = || NoValue {
            bytes: bytes.to_vec(),
        };
        let whole = |format, unknown, exponent, unit| {
            let raw = exact(format, bytes).ok_or_else(wrong)?;
            if raw == Raw::Whole(unknown) {
                return Ok(None);
            }
            measured(raw, exponent, unit).map(Some).ok_or_else(wrong)
        };
        match self {
            Self::Torque => whole(Format::Sint32, 0x7FFF_FFFF, -2, "N.m"),
            Self::Force => whole(Format::Sint32, 0x7FFF_FFFF, -3, "N"),
            Self::Length => whole(Format::Uint32, 0xFFFF_FFFF, -7, "m"),
            Self::LinearPosition => whole(Format::Sint32, 0x7FFF_FFFF, -7, "m"),
            Self::Pressure => whole(Format::Uint32, -1, -1, "Pa"),
            Self::Temperature => match exact(Format::Sint16, bytes).ok_or_else(wrong)? {
                Raw::Whole(-0x8000) => Ok(None),
                Raw::Whole(hundredths) => Ok(Some(Measured::Temperature(hundredths))),
                _ => Err(wrong()),
            },
            Self::Weight => weight(bytes).ok_or_else(wrong),
            Self::Presented(presentation) => presentation.read(bytes).ok_or_else(wrong),
        }
    }
}

/// Flags, then a mass in 5 g or 0.01 lb; what follows is fixed by the flags.
#[expect(clippy::option_option, reason = "no value, or none that is known")]
fn weight(bytes: &[u8]) -> Option<Option<Measured>> {
    let [flags, low, high, rest @ ..] = bytes else {
        return None;
    };
    let more = [(1_u8, 7), (2, 1), (3, 4)];
    let length: usize = more
        .into_iter()
        .filter(|(bit, _)| flags >> bit & 1 == 1)
        .map(|(_, size)| size)
        .sum();
    if rest.len() != length {
        return None;
    }
    let count = i64::from(u16::from_le_bytes([*low, *high]));
    if count == 0xFFFF {
        return Some(None);
    }
    let (raw, exponent, unit) = if flags & 1 == 0 {
        (Raw::Whole(count * 5), -3, "kg")
    } else {
        (Raw::Whole(count), -2, "lb")
    };
    measured(raw, exponent, unit).map(Some)
}

fn exact(format: Format, bytes: &[u8]) -> Option<Raw> {
    (bytes.len() == format.size()).then(|| number(format, little(bytes)))
}

fn little(bytes: &[u8]) -> u64 {
    let places = bytes.iter().take(8).rev();
    places.fold(0, |bits, byte| bits << 8 | u64::from(*byte))
}

fn measured(raw: Raw, exponent: i8, unit: &str) -> Option<Measured> {
    value_of(raw.decimal(exponent)?, Unit::find(unit).ok()?)
}

fn value_of(value: Decimal, unit: &'static Unit) -> Option<Measured> {
    let stated = Stated { value, unit };
    if unit.kind != Kind::Torque {
        return Some(Measured::Other(stated));
    }
    let torque = Torque::of(stated, Rounding::Up)
        .ok()
        .filter(|torque| torque.is_sane())?;
    Some(Measured::Torque(Seen {
        number: Some(stated),
        torque: Some(torque),
        ..Seen::default()
    }))
}

/// A Characteristic Presentation Format.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Presentation {
    format: u8,
    exponent: i8,
    unit: u16,
}

/// °C in the list of units.
const CELSIUS: u16 = 0x272F;

impl Presentation {
    /// Reads the descriptor's seven bytes: format, exponent, unit, name space, description. Nothing where it is not one, or
    /// says something that cannot be measured here.
    pub fn read_descriptor(bytes: &[u8]) -> Option<Self> {
        let [format, exponent, low, high, _, _, _] = bytes else {
            return None;
        };
        let presentation = Self {
            format: *format,
            exponent: exponent.cast_signed(),
            unit: u16::from_le_bytes([*low, *high]),
        };
        let is_known = presentation.width().is_some()
            && (presentation.unit == CELSIUS || presentation.unit().is_some());
        is_known.then_some(presentation)
    }

    fn unit(self) -> Option<&'static Unit> {
        // 0x2753 is exposure, although lists found elsewhere give it as a torque.
        let name = match self.unit {
            0x2701 => "m",
            0x2702 => "kg",
            0x2723 => "N",
            0x2724 => "Pa",
            0x2741 => "N.m",
            0x2780 => "bar",
            0x27A2 => "in",
            0x27A3 => "ft",
            0x27A5 => "psi",
            0x27B8 => "lb",
            _ => return None,
        };
        Unit::find(name).ok()
    }

    /// How many bytes a value has, of the formats that are read.
    const fn width(self) -> Option<usize> {
        Some(match self.format {
            0x04 | 0x0C => 1,
            0x06 | 0x0E | 0x16 => 2,
            0x07 | 0x0F => 3,
            0x08 | 0x10 | 0x14 | 0x17 => 4,
            0x09 | 0x11 => 6,
            0x0A | 0x12 | 0x15 => 8,
            _ => return None,
        })
    }

    #[expect(clippy::option_option, reason = "no value, or none that is known")]
    fn read(self, bytes: &[u8]) -> Option<Option<Measured>> {
        if Some(bytes.len()) != self.width() {
            return None;
        }
        let raw = self.raw(bytes)?;
        if matches!(raw, Raw::Nothing | Raw::PastRange) {
            return Some(None);
        }
        // The exponent counts for whole numbers only.
        let value = raw.decimal(self.exponent)?;
        if self.unit == CELSIUS {
            let hundredths = at_scale(value.mantissa(), i32::from(value.scale()) - 2)?;
            return Some(Some(Measured::Temperature(truncated(hundredths))));
        }
        value_of(value, self.unit()?).map(Some)
    }

    fn raw(self, bytes: &[u8]) -> Option<Raw> {
        let format = match self.format {
            0x04 => Format::Uint8,
            0x06 => Format::Uint16,
            0x07 => Format::Uint24,
            0x08 => Format::Uint32,
            0x0C => Format::Sint8,
            0x0E => Format::Sint16,
            0x0F => Format::Sint24,
            0x10 => Format::Sint32,
            0x14 => Format::Float32,
            0x15 => Format::Float64,
            0x16 => Format::Medfloat16,
            0x17 => Format::Medfloat32,
            0x09 | 0x0A => return i64::try_from(little(bytes)).ok().map(Raw::Whole),
            0x11 => {
                return Some(Raw::Whole(super::number::sign_extended(little(bytes), 48)));
            }
            0x12 => return Some(Raw::Whole(little(bytes).cast_signed())),
            _ => return None,
        };
        Some(number(format, little(bytes)))
    }
}

fn truncated(value: Decimal) -> i64 {
    value.mantissa() / 10_i64.pow(u32::from(value.scale()))
}

/// A text characteristic, as far as it is text; zeros at its end do not count.
pub fn text(bytes: &[u8]) -> Option<String> {
    let text = std::str::from_utf8(bytes).ok()?.trim_matches('\0').trim();
    let is_good =
        !text.is_empty() && text.chars().count() <= 64 && !text.chars().any(char::is_control);
    is_good.then(|| text.to_owned())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
