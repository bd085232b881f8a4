//! What a unit is asked for, and what stands in the bytes that come back.

use super::super::checksum;
use super::super::dialect::{ProfileError, units_of};
use super::super::number::{Raw, read};
use pullmark_schema::profile::instrument::{ModbusSettings, Register, Table};
use pullmark_schema::profile::{ChecksumKind, Field, Format, Profile};
use pullmark_schema::quantity::{Kind, Rounding, Stated, Torque, Unit};

/// What is asked for, made ready.
#[derive(Debug)]
pub(in crate::intake) struct Registers {
    pub(super) address: u8,
    value: Asked,
    pub(super) unit: Option<Asked>,
    pub(super) counter: Option<Asked>,
    pub(super) exponent: i8,
    pub(super) no_value: Option<i64>,
    pub(super) units: Vec<(String, &'static Unit)>,
    pub(super) every: u64,
    pub(super) timeout: u64,
    /// µN·m: below this a peak has been let go.
    pub(super) release: Option<i64>,
}

#[derive(Debug)]
pub(super) struct Asked {
    pub(super) field: Field,
    pub(super) size: usize,
    pub(super) question: Vec<u8>,
}

impl Registers {
    pub(in crate::intake) fn new(
        profile: &Profile,
        settings: &ModbusSettings,
    ) -> Result<Self, ProfileError> {
        let wrong = |what, why: &str| ProfileError::Setting {
            profile: profile.name.clone(),
            what,
            why: why.to_owned(),
        };
        if !(1..=247).contains(&settings.address) {
            return Err(wrong("modbus.address", "a unit's address is 1 to 247"));
        }
        let asked = |what, register: &Register, is_whole: bool| {
            let size = register.format.size();
            let is_number = !is_whole || is_unsigned(register.format);
            if !size.is_multiple_of(2) || !is_number {
                return Err(wrong(
                    what,
                    "it is a number of 2, 4 or 8 bytes; a count or a unit is uint16 or uint32",
                ));
            }
            Ok(Asked::new(settings.address, *register, size))
        };
        let optional = |what, register: &Option<Register>| {
            register
                .as_ref()
                .map(|register| asked(what, register, true))
                .transpose()
        };
        let counter = optional("modbus.counter", &settings.counter)?;
        let units = units_of(profile)?;
        let (stream, settle) = (profile.stream.is_some(), profile.settle.is_some());
        let ways = [counter.is_some(), stream, settle];
        if ways.into_iter().filter(|is| *is).count() != 1 {
            return Err(wrong(
                "modbus",
                "a register is always there: say with exactly one of [modbus.counter], [stream] or [settle] when its value is a new reading",
            ));
        }
        let is_torque = |unit: &(String, &'static Unit)| unit.1.kind == Kind::Torque;
        if stream && !units.iter().all(is_torque) || settle && units.iter().any(is_torque) {
            return Err(wrong(
                "unit",
                "[stream] is for torque, and [settle] for everything else",
            ));
        }
        Ok(Self {
            address: settings.address,
            value: asked("modbus.value", &settings.value, false)?,
            unit: optional("modbus.unit", &settings.unit)?,
            counter,
            exponent: settings.exponent,
            no_value: settings.no_value,
            units,
            every: u64::from(settings.every_ms.max(5)) * 1000,
            timeout: u64::from(settings.timeout_ms.clamp(20, 60_000)) * 1000,
            release: None,
        })
    }

    /// With what ends a pull.
    pub(in crate::intake) const fn with_release(mut self, release: Option<i64>) -> Self {
        self.release = release;
        self
    }

    pub(super) fn asked(&self, step: Step) -> Option<&Asked> {
        match step {
            Step::Value => Some(&self.value),
            Step::Unit => self.unit.as_ref(),
            Step::Count | Step::CountAgain => self.counter.as_ref(),
        }
    }

    pub(super) const fn first(&self) -> Step {
        if self.counter.is_some() {
            Step::Count
        } else {
            Step::Value
        }
    }

    pub(super) fn who(&self) -> String {
        format!("unit {}", self.address)
    }
}

const fn is_unsigned(format: Format) -> bool {
    matches!(format, Format::Uint16 | Format::Uint32)
}

impl Asked {
    pub(super) fn new(address: u8, register: Register, size: usize) -> Self {
        let function = match register.table {
            Table::Input => 4,
            Table::Holding => 3,
        };
        let [high, low] = register.at.to_be_bytes();
        // At most 8 bytes.
        let count = u8::try_from(size / 2).unwrap_or_default();
        let mut question = vec![address, function, high, low, 0, count];
        question.extend_from_slice(&crc(&question));
        Self {
            field: Field {
                at: 0,
                format: register.format,
                order: register.order,
            },
            size,
            question,
        }
    }

    pub(super) fn whole(&self, data: &[u8]) -> Option<u64> {
        match read(self.field, data)? {
            Raw::Whole(whole) => u64::try_from(whole).ok(),
            _ => None,
        }
    }

    /// How many counts there are before it begins anew.
    pub(super) const fn counts(&self) -> u64 {
        match self.field.format {
            Format::Uint16 => 1 << 16,
            _ => 1 << 32,
        }
    }
}

pub(super) fn crc(bytes: &[u8]) -> [u8; 2] {
    checksum::sum(ChecksumKind::Crc16Modbus, bytes).to_le_bytes()
}

/// What stands in the bytes that came.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Answer<'b> {
    Data { frame: &'b [u8], data: &'b [u8] },
    Exception { frame: &'b [u8], code: u8 },
}

/// Finds the answer to a question. What stands before it is what a line picks up when the direction turns; the question
/// itself is what some adapters send back.
pub(super) fn find<'b>(asked: &Asked, bytes: &'b [u8]) -> Option<Answer<'b>> {
    let (&address, &function) = (asked.question.first()?, asked.question.get(1)?);
    let bytes = bytes
        .strip_prefix(asked.question.as_slice())
        .unwrap_or(bytes);
    (0..bytes.len()).find_map(|at| {
        let rest = bytes.get(at..)?;
        let proved = |length: usize| {
            let frame = rest.get(..length)?;
            let (body, sum) = frame.split_at_checked(length - 2)?;
            (crc(body) == sum).then_some(frame)
        };
        match rest {
            [unit, code, count, ..]
                if *unit == address && *code == function && usize::from(*count) == asked.size =>
            {
                let frame = proved(5 + asked.size)?;
                let data = frame.get(3..3 + asked.size)?;
                Some(Answer::Data { frame, data })
            }
            [unit, code, exception, ..] if *unit == address && *code == function | 0x80 => {
                let frame = proved(5)?;
                Some(Answer::Exception {
                    frame,
                    code: *exception,
                })
            }
            _ => None,
        }
    })
}

/// What an exception code means (Modbus Application Protocol 1.1b3, 7, from memory), and what to do.
pub(super) fn in_words(code: u8) -> String {
    match code {
        1 => "it does not know that function: try the other `table` in the profile".to_owned(),
        2 => "it has no such register: check `at` and `table` in the profile".to_owned(),
        3 => "it does not give so many registers: check `format` in the profile".to_owned(),
        4 => "it reports a fault of its own (4): look at its display".to_owned(),
        5 | 6 => format!("it is busy ({code})"),
        10 | 11 => format!("the gateway does not reach it ({code})"),
        _ => format!("it answers with exception {code}"),
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
    Count,
    Value,
    Unit,
    CountAgain,
}

/// For the thresholds of a latch.
pub(in crate::intake) fn release_of(profile: &Profile) -> Option<i64> {
    let stream = profile.stream.as_ref()?;
    let stated = Stated::parse(&stream.release).ok()?;
    Torque::of(stated, Rounding::Up).ok()?;
    stated.unit.to_thousandths(stated.value, Rounding::Up)
}
