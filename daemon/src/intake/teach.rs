//! Makes a line profile from two or three readings and what the display showed with each.
//!
//! It proposes a profile only where the bytes leave no other: every field that could be the value in all readings, every
//! line that could be one, counts against it. What it proposes is then run over the same bytes and has to give exactly
//! what was typed. It says of each thing whether it was seen, or is assumed.

mod pieces;
mod shape;
mod write;

use super::Intake;
use super::dialect::Dialect;
use super::number::{Style, decimal};
use super::{Arrival, What};
use pieces::{Frames, frames};
use pullmark_schema::quantity::{Decimal, Kind, Unit};
use shape::{Shape, shape};
use std::fmt;

/// A reading that a person made while the port was listened at.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Example {
    /// What came, with its times in µs.
    pub bytes: Vec<(u64, Vec<u8>)>,
    /// What the display showed, as it was typed: `5.08`, `5,08 Nm`.
    pub shown: String,
}

/// A profile, and how sure it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taught {
    /// The profile file.
    pub file: String,
    /// What was found out, one a line.
    pub findings: Vec<Finding>,
}

/// One thing that was found out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// How sure it is.
    pub sure: Sure,
    /// What.
    pub what: String,
}

/// How sure something is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sure {
    /// The readings leave no other.
    Seen,
    /// It fits the readings and is what is usual; more readings would tell.
    Likely,
    /// The readings do not show it.
    Assumed,
}

impl fmt::Display for Sure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Seen => "seen",
            Self::Likely => "likely",
            Self::Assumed => "assumed",
        })
    }
}

/// Why no profile can be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotDetermined {
    /// One reading fits too much.
    #[error("{count} readings are too few: make at least two, with values that differ")]
    TooFew {
        /// How many there were.
        count: usize,
    },
    /// The same value each time.
    #[error(
        "all readings show {shown}: make one with another value, or a field that never changes cannot be told from it"
    )]
    AllTheSame {
        /// As it was typed.
        shown: String,
    },
    /// Nothing came.
    #[error("nothing came with reading {reading}: is the port the right one, and its speed?")]
    NothingCame {
        /// Counted from 1.
        reading: usize,
    },
    /// Not a number with or without a unit.
    #[error("{shown:?} cannot be read as what a display shows: type it as 5.08 or 5,08 Nm")]
    NotAValue {
        /// As it was typed.
        shown: String,
    },
    /// Not text.
    #[error(
        "what came is no text ({bytes}): such a tool needs a [binary] layout from its manual, or its speed or parity is set wrong"
    )]
    NoText {
        /// The first of it.
        bytes: String,
    },
    /// The typed value is in none of the lines.
    #[error(
        "{shown} does not stand in what came with reading {reading}: {lines}. Was it typed as the display showed it?"
    )]
    NotFound {
        /// As it was typed.
        shown: String,
        /// Counted from 1.
        reading: usize,
        /// What came.
        lines: String,
    },
    /// No place holds the value in all readings, or the lines are of different forms.
    #[error(
        "the value stands in other places, or in lines of another form, from reading to reading: {first:?} and {second:?}"
    )]
    DifferentShapes {
        /// A line.
        first: String,
        /// Another.
        second: String,
    },
    /// Several places fit.
    #[error(
        "{places} places in the line could be the value: {line:?}. Make one more reading with a value that is not like the others"
    )]
    SeveralPlaces {
        /// How many.
        places: usize,
        /// The line.
        line: String,
    },
    /// The unit is not known.
    #[error(
        "the line names no unit of torque that is known here: type it too, for example {shown} Nm"
    )]
    NoUnit {
        /// As it was typed.
        shown: String,
    },
    /// The line says another unit than the person.
    #[error("the line says {line:?} and the display {typed:?}: which is it?")]
    OtherUnit {
        /// In the line.
        line: String,
        /// As it was typed.
        typed: String,
    },
    /// Other lines look like readings too.
    #[error(
        "{line:?} looks like a reading too, and the display did not show it: make the readings slowly, one after the other"
    )]
    OneTooMany {
        /// The line.
        line: String,
    },
}

/// What the display showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Shown {
    value: Decimal,
    unit: Option<&'static Unit>,
}

/// Makes a profile of that name.
pub fn teach(name: &str, examples: &[Example]) -> Result<Taught, NotDetermined> {
    if examples.len() < 2 {
        return Err(NotDetermined::TooFew {
            count: examples.len(),
        });
    }
    let shown = examples.iter().map(|example| read_shown(&example.shown));
    let shown = shown.collect::<Result<Vec<_>, _>>()?;
    let first = examples
        .first()
        .map(|example| example.shown.clone())
        .unwrap_or_default();
    if shown
        .windows(2)
        .all(|two| matches!(two, [a, b] if same(a.value, b.value)))
    {
        return Err(NotDetermined::AllTheSame { shown: first });
    }
    let frames = frames(examples)?;
    let shape = shape(&frames, examples, &shown)?;
    let file = write::file(name, &frames, &shape);
    prove(&file, examples, &shown, &frames)?;
    let findings = findings(&frames, &shape, examples.len());
    Ok(Taught { file, findings })
}

/// Equal numbers, however many zeros are behind the mark.
fn same(one: Decimal, other: Decimal) -> bool {
    let scale = one.scale().max(other.scale());
    let at = |value: Decimal| {
        let more = u32::from(scale - value.scale());
        i128::from(value.mantissa()) * 10_i128.pow(more)
    };
    at(one) == at(other)
}

fn read_shown(text: &str) -> Result<Shown, NotDetermined> {
    let wrong = || NotDetermined::NotAValue {
        shown: text.to_owned(),
    };
    let trimmed = text.trim();
    let end = trimmed
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-' | '\u{2212}')))
        .unwrap_or(trimmed.len());
    let (number, unit) = trimmed.split_at(end);
    let style = Style {
        decimal_comma: number.contains(','),
        decimals: 0,
    };
    let value = decimal(number, style).ok_or_else(wrong)?;
    let unit = match unit.trim() {
        "" => None,
        unit => Some(torque_unit(unit).ok_or_else(wrong)?),
    };
    Ok(Shown { value, unit })
}

fn torque_unit(text: &str) -> Option<&'static Unit> {
    Unit::find(text)
        .ok()
        .filter(|unit| unit.kind == Kind::Torque)
}

/// Runs the profile over the same bytes.
fn prove(
    file: &str,
    examples: &[Example],
    shown: &[Shown],
    frames: &Frames,
) -> Result<(), NotDetermined> {
    let found_none = |reading: usize| NotDetermined::NotFound {
        shown: examples
            .get(reading)
            .map(|example| example.shown.clone())
            .unwrap_or_default(),
        reading: reading + 1,
        lines: frames.of(reading),
    };
    let Ok(dialect) = Dialect::from_toml(file) else {
        return Err(found_none(0));
    };
    for (reading, (example, shown)) in examples.iter().zip(shown).enumerate() {
        let mut found = Vec::new();
        for_each_reading(&dialect, example, |raw, value| {
            found.push((String::from_utf8_lossy(raw).into_owned(), value));
        });
        let right = |value: &Option<Decimal>| value.is_some_and(|value| same(value, shown.value));
        if let Some((line, _)) = found.iter().find(|(_, value)| !right(value)) {
            return Err(NotDetermined::OneTooMany { line: line.clone() });
        }
        if found.is_empty() {
            return Err(found_none(reading));
        }
    }
    Ok(())
}

fn for_each_reading(
    dialect: &Dialect,
    example: &Example,
    mut then: impl FnMut(&[u8], Option<Decimal>),
) {
    let mut intake = Intake::new(dialect.clone());
    let mut tell = |received: super::Received<'_>| {
        if let What::Reading(seen) = received.what {
            then(received.raw, seen.number.map(|stated| stated.value));
        }
    };
    let silence = intake.silence_ms().map(|ms| u64::from(ms) * 1000);
    let mut last: Option<u64> = None;
    for (at_us, bytes) in &example.bytes {
        let pause = last.map(|last| at_us.saturating_sub(last));
        if silence.is_some_and(|silence| pause.is_some_and(|pause| pause >= silence)) {
            intake.quiet(*at_us, &mut tell);
        }
        // A person waited before each reading.
        let after_silence = last.is_none() || pause.is_some_and(|pause| pause >= super::QUIET_US);
        last = Some(*at_us);
        let arrival = Arrival {
            at_us: *at_us,
            after_silence,
            since_1970: None,
        };
        intake.feed(bytes, arrival, &mut tell);
    }
    intake.quiet(last.unwrap_or_default() + 1_000_000, &mut tell);
}

fn findings(frames: &Frames, shape: &Shape, readings: usize) -> Vec<Finding> {
    let enough = if readings >= 3 {
        Sure::Seen
    } else {
        Sure::Likely
    };
    let finding = |sure, what: String| Finding { sure, what };
    let mut all = vec![
        finding(
            if frames.silence {
                Sure::Assumed
            } else {
                Sure::Seen
            },
            if frames.silence {
                "nothing ends a line: a silence of 30 ms is taken for it".to_owned()
            } else {
                format!("a line ends with {}", frames.terminator.escape_ascii())
            },
        ),
        finding(enough, format!("the value stands in {:?}", shape.example)),
        finding(
            if shape.mark.is_some() {
                Sure::Seen
            } else {
                Sure::Likely
            },
            match shape.mark {
                Some(mark) => format!("the decimal mark is {mark:?}"),
                None if shape.decimals > 0 => {
                    format!(
                        "no decimal mark is sent: {} digits stand behind it",
                        shape.decimals
                    )
                }
                None => "no decimal mark was seen: a point is taken for it".to_owned(),
            },
        ),
        finding(
            if shape.unit_word.is_some() {
                Sure::Seen
            } else {
                Sure::Likely
            },
            match &shape.unit_word {
                Some(word) => format!("the unit {word:?} is {}", shape.unit.symbol),
                None => format!("the line names no unit: it is always {}", shape.unit.symbol),
            },
        ),
    ];
    if let Some(sum) = &shape.sum {
        all.push(finding(
            Sure::Seen,
            format!("a checksum proves each line: {sum}"),
        ));
    }
    if shape.has_counter {
        all.push(finding(enough, "the tool counts its readings".to_owned()));
    }
    for (word, meaning) in &shape.words {
        let what = format!("the word {word:?} means {meaning:?}");
        all.push(finding(Sure::Assumed, what));
    }
    if !shape.sign_seen {
        let what = "no negative value was seen: a minus before the digits is taken for it";
        all.push(finding(Sure::Assumed, what.to_owned()));
    }
    let what = "what the tool sends past its range, or with an empty battery, was not seen: such a line will be \
                shown as unreadable";
    all.push(finding(Sure::Assumed, what.to_owned()));
    all
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
