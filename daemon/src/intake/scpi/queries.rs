//! What an instrument is asked, and what its answers say.

use super::super::blocks::{Item, items};
use super::super::dialect::{Line, ProfileError, setting, units_of};
use super::super::number::{Raw, Style, decimal, read};
use super::super::seen::{Seen, Words, line_of};
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::instrument::{BlockSettings, ScpiSettings};
use pullmark_schema::profile::{Field, Meaning, Profile};
use pullmark_schema::quantity::{Decimal, Kind, Stated, Unit};

/// What stands for infinity begins here.
const INFINITY: f64 = 9.899_999e37;
/// A binary fraction below this is no value of an instrument.
const TINY: f64 = 1e-9;

/// What is asked, made ready.
#[derive(Debug)]
pub(in crate::intake) struct Queries {
    pub(super) ask: Vec<u8>,
    pub(super) every: u64,
    pub(super) timeout: u64,
    pub(super) identity: bool,
    pub(super) errors: bool,
    item: usize,
    counter: Option<usize>,
    block: Option<BlockSettings>,
    pub(super) each: bool,
    units: Vec<(String, &'static Unit)>,
}

impl Queries {
    pub(in crate::intake) fn new(
        profile: &Profile,
        settings: &ScpiSettings,
    ) -> Result<Self, ProfileError> {
        let wrong = |what, why: &str| setting(profile, what, why);
        let is_question = settings.ask.contains('?')
            && settings
                .ask
                .bytes()
                .all(|byte| (b' '..=b'~').contains(&byte));
        if !is_question {
            return Err(wrong(
                "scpi.ask",
                "it is one line with a question, such as \"MEAS?\"",
            ));
        }
        let ways = [
            settings.counter.is_some(),
            settings.each,
            profile.stream.is_some(),
            profile.settle.is_some(),
        ];
        if ways.into_iter().filter(|is| *is).count() != 1 {
            return Err(wrong(
                "scpi",
                "its value is always there: say with exactly one of `counter`, `each`, [stream] or [settle] when it is a new reading",
            ));
        }
        let units = units_of(profile)?;
        let is_torque = |unit: &(String, &'static Unit)| unit.1.kind == Kind::Torque;
        if profile.stream.is_some() && !units.iter().all(is_torque)
            || profile.settle.is_some() && units.iter().any(is_torque)
        {
            return Err(wrong(
                "unit",
                "[stream] is for torque, and [settle] for everything else",
            ));
        }
        Ok(Self {
            ask: format!("{}\n", settings.ask).into_bytes(),
            every: u64::from(settings.every_ms.max(5)) * 1000,
            timeout: u64::from(settings.timeout_ms.clamp(20, 3_600_000)) * 1000,
            identity: settings.identity,
            errors: settings.errors,
            item: settings.item.into(),
            counter: settings.counter.map(usize::from),
            block: settings.block,
            each: settings.each,
            units,
        })
    }

    /// What an answer says, and its count.
    pub(super) fn read(&self, raw: &[u8]) -> (Line, Option<u64>) {
        match self.value(raw) {
            Ok(found) => found,
            Err(why) => (Line::Unreadable(why), None),
        }
    }

    fn value(&self, raw: &[u8]) -> Result<(Line, Option<u64>), Unreadable> {
        let items = items(raw).ok_or(Unreadable::NoMatch)?;
        let counter = match self.counter {
            None => None,
            Some(at) => {
                let text = items
                    .get(at)
                    .and_then(Item::text)
                    .ok_or(Unreadable::NoMatch)?;
                let count = number(text).and_then(whole);
                Some(count.ok_or(Unreadable::BadNumber)?)
            }
        };
        let seen = Seen {
            counter,
            ..Seen::default()
        };
        let line = match self.number(&items) {
            Ok(Shown::Nothing) => Line::Nothing,
            Ok(Shown::PastRange) => Line::Value(Seen {
                words: Words::default().with(Meaning::OverRange),
                ..seen
            }),
            Ok(Shown::Value(stated)) => line_of(stated, seen),
            // It is counted all the same.
            Err(why) => Line::Unreadable(why),
        };
        Ok((line, counter))
    }

    fn number(&self, items: &[Item<'_>]) -> Result<Shown, Unreadable> {
        if let (Some(block), Some(Item::Block(bytes))) = (self.block, items.first()) {
            let at = self
                .item
                .checked_mul(block.format.size())
                .ok_or(Unreadable::NoMatch)?;
            let field = Field {
                at,
                format: block.format,
                order: block.order,
            };
            let raw = read(field, bytes).ok_or(Unreadable::NoMatch)?;
            let unit = self.unit("")?;
            return Ok(match raw {
                Raw::Float(float) if is_no_number(float.abs()) => Shown::Nothing,
                Raw::Float(float) if float.abs() >= INFINITY => Shown::PastRange,
                // Its bytes stand in another order.
                Raw::Float(float) if float != 0.0 && float.abs() < TINY => {
                    return Err(Unreadable::Implausible);
                }
                Raw::Nothing => Shown::Nothing,
                Raw::PastRange => Shown::PastRange,
                raw => {
                    let value = raw.decimal(0).ok_or(Unreadable::BadNumber)?;
                    Shown::Value(Stated { value, unit })
                }
            });
        }
        let text = items
            .get(self.item)
            .and_then(Item::text)
            .ok_or(Unreadable::NoMatch)?;
        // A unit may stand behind the number; an E is its exponent only where digits follow.
        let end = number_length(text);
        let (digits, spelling) = text.split_at_checked(end).ok_or(Unreadable::BadNumber)?;
        match digits.parse::<f64>().map(f64::abs) {
            Ok(size) if is_no_number(size) => return Ok(Shown::Nothing),
            Ok(INFINITY..) => return Ok(Shown::PastRange),
            _ => {}
        }
        let unit = self.unit(spelling.trim())?;
        let value = number(digits).ok_or(Unreadable::BadNumber)?;
        Ok(Shown::Value(Stated { value, unit }))
    }

    fn unit(&self, spelling: &str) -> Result<&'static Unit, Unreadable> {
        let known = self.units.iter().find(|(known, _)| known == spelling);
        known.map(|(_, unit)| *unit).ok_or(Unreadable::UnknownUnit)
    }
}

/// 9.91E37 stands for "not a number"; written in four bytes it is a little beside it.
fn is_no_number(size: f64) -> bool {
    (9.909_999e37..9.910_001e37).contains(&size)
}

enum Shown {
    Value(Stated),
    Nothing,
    PastRange,
}

/// NR1, NR2 or NR3.
fn number(text: &str) -> Option<Decimal> {
    decimal(
        text,
        Style {
            decimal_comma: false,
            decimals: 0,
        },
    )
}

/// A count may be written with an exponent too.
fn whole(value: Decimal) -> Option<u64> {
    let scale = 10_i64.checked_pow(u32::from(value.scale()))?;
    (value.mantissa() % scale == 0)
        .then(|| u64::try_from(value.mantissa() / scale).ok())
        .flatten()
}

fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |from: usize| {
        bytes
            .get(from..)
            .unwrap_or_default()
            .iter()
            .take_while(|byte| byte.is_ascii_digit() || **byte == b'.')
            .count()
    };
    let sign = |from: usize| usize::from(matches!(bytes.get(from), Some(b'+' | b'-')));
    let mantissa = sign(0) + digits(sign(0));
    if !matches!(bytes.get(mantissa), Some(b'e' | b'E')) {
        return mantissa;
    }
    let exponent = mantissa + 1 + sign(mantissa + 1);
    match digits(exponent) {
        0 => mantissa,
        count => exponent + count,
    }
}
