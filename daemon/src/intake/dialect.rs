//! Reads one line by a profile. The unit map decides; an unknown unit, a second decimal mark or a wrong checksum make
//! the line unreadable, never a guess.

use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::{Checksum, ChecksumKind, Profile};
use pullmark_schema::quantity::{Decimal, Rounding, Stated, Torque, Unit};
use pullmark_schema::reading::{Displayed, Flag};
use regex::{Captures, Regex};

/// What a line says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Line {
    /// A value.
    Value(Value),
    /// Nothing about torque.
    Nothing,
    /// No reading, and why.
    Unreadable(Unreadable),
}

/// A value as a line gives it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Value {
    /// As displayed; none where the tool was past its range.
    pub displayed: Option<Displayed>,
    /// The torque it means, rounded up to whole mN·m.
    pub torque: Option<Torque>,
    /// The tool's own count of readings.
    pub counter: Option<u64>,
    /// What the tool said along with it.
    pub flags: Vec<Flag>,
}

/// Why a profile cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum ProfileError {
    /// Not TOML, or a name or value where the format has none.
    #[error("the profile cannot be read: {0}")]
    NotReadable(String),
    /// A pattern that is no regular expression.
    #[error("profile {profile}: the pattern in {what} is no regular expression: {error}")]
    Pattern {
        /// Which profile.
        profile: String,
        /// Which of its patterns.
        what: &'static str,
        /// What is wrong with it.
        error: Box<regex::Error>,
    },
    /// The pattern lacks its one necessary group.
    #[error("profile {profile}: the pattern needs a group (?P<{group}>…)")]
    MissingGroup {
        /// Which profile.
        profile: String,
        /// Which group.
        group: &'static str,
    },
    /// A unit in the map that we do not know, or no unit of torque.
    #[error(
        "profile {profile}: the unit map turns {spelling:?} into {unit:?}, which is no unit of torque known here"
    )]
    Unit {
        /// Which profile.
        profile: String,
        /// The tool's spelling.
        spelling: String,
        /// What the map makes of it.
        unit: String,
    },
}

/// A profile made ready to read with.
#[derive(Debug, Clone)]
pub struct Dialect {
    profile: Profile,
    pattern: Regex,
    ignore: Vec<Regex>,
    over_range: Option<Regex>,
    units: Vec<(String, &'static Unit)>,
}

impl Dialect {
    /// Reads a profile file.
    pub fn from_toml(text: &str) -> Result<Self, ProfileError> {
        let profile: Profile =
            toml::from_str(text).map_err(|error| ProfileError::NotReadable(error.to_string()))?;
        Self::new(profile)
    }

    /// Makes a profile ready.
    pub fn new(profile: Profile) -> Result<Self, ProfileError> {
        let compile = |what, text: &str| {
            Regex::new(text).map_err(|error| ProfileError::Pattern {
                profile: profile.name.clone(),
                what,
                error: Box::new(error),
            })
        };
        let pattern = compile("line.pattern", &profile.line.pattern)?;
        let ignore = profile
            .line
            .ignore
            .iter()
            .map(|text| compile("line.ignore", text))
            .collect::<Result<_, _>>()?;
        let over_range = profile
            .line
            .over_range
            .as_ref()
            .map(|text| compile("line.over_range", text))
            .transpose()?;
        let mut needed = vec!["value"];
        needed.extend(profile.line.checksum.is_some().then_some("sum"));
        for group in needed {
            if !pattern.capture_names().flatten().any(|name| name == group) {
                return Err(ProfileError::MissingGroup {
                    profile: profile.name.clone(),
                    group,
                });
            }
        }
        let units = profile
            .unit
            .iter()
            .map(|(spelling, unit)| known_unit(&profile, spelling, unit))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            profile,
            pattern,
            ignore,
            over_range,
            units,
        })
    }

    /// The profile.
    pub const fn profile(&self) -> &Profile {
        &self.profile
    }

    /// Reads one line, without its terminator.
    pub fn read(&self, raw: &[u8]) -> Line {
        let text = to_text(raw);
        if self.ignore.iter().any(|pattern| pattern.is_match(&text)) {
            return Line::Nothing;
        }
        match self.value(&text, raw) {
            Ok(value) => Line::Value(value),
            Err(why) => Line::Unreadable(why),
        }
    }

    /// Reads a line whose beginning may be missing: only a right checksum proves that it is whole.
    pub fn read_cut_off(&self, raw: &[u8]) -> Line {
        let line = self.read(raw);
        match line {
            Line::Value(_) if self.profile.line.checksum.is_none() => {
                Line::Unreadable(Unreadable::CutOff)
            }
            Line::Unreadable(_) => Line::Unreadable(Unreadable::CutOff),
            line => line,
        }
    }

    fn value(&self, text: &str, raw: &[u8]) -> Result<Value, Unreadable> {
        let captures = self.pattern.captures(text).ok_or(Unreadable::NoMatch)?;
        if let Some(checksum) = &self.profile.line.checksum {
            check_sum(raw, checksum, group(&captures, "sum"))?;
        }
        let flags = self.flags(group(&captures, "flags"))?;
        let counter = match group(&captures, "counter") {
            "" => None,
            digits => Some(digits.parse().map_err(|_| Unreadable::BadNumber)?),
        };
        let number = group(&captures, "value");
        if self
            .over_range
            .as_ref()
            .is_some_and(|pattern| pattern.is_match(number))
        {
            let flags = flags.into_iter().chain([Flag::OverRange]).collect();
            return Ok(Value {
                displayed: None,
                torque: None,
                counter,
                flags,
            });
        }
        let (displayed, torque) = self.torque(number, group(&captures, "unit"))?;
        Ok(Value {
            displayed: Some(displayed),
            torque: Some(torque),
            counter,
            flags,
        })
    }

    fn torque(&self, number: &str, spelling: &str) -> Result<(Displayed, Torque), Unreadable> {
        let unit = self
            .units
            .iter()
            .find(|(known, _)| known == spelling)
            .ok_or(Unreadable::UnknownUnit)?
            .1;
        let number = number.trim();
        let number = match (
            self.profile.line.decimal_comma,
            number.contains(','),
            number.contains('.'),
        ) {
            (_, true, true) | (false, true, _) | (true, _, true) => {
                return Err(Unreadable::BadNumber);
            }
            (true, true, false) => number.replace(',', "."),
            (_, false, _) => number.to_owned(),
        };
        let value =
            Decimal::parse(&number.replace('\u{2212}', "-")).map_err(|_| Unreadable::BadNumber)?;
        let torque = Torque::of(Stated { value, unit }, Rounding::Up)
            .ok()
            .filter(|torque| torque.is_sane())
            .ok_or(Unreadable::NotSane)?;
        Ok((
            Displayed {
                value: value.to_string(),
                unit: unit.ucum.to_owned(),
            },
            torque,
        ))
    }

    fn flags(&self, words: &str) -> Result<Vec<Flag>, Unreadable> {
        if words.is_empty() {
            return Ok(Vec::new());
        }
        words
            .split(self.profile.line.flag_separator.as_str())
            .map(|word| {
                self.profile
                    .flag
                    .get(word)
                    .copied()
                    .ok_or(Unreadable::NoMatch)
            })
            .collect()
    }
}

fn known_unit(
    profile: &Profile,
    spelling: &str,
    unit: &str,
) -> Result<(String, &'static Unit), ProfileError> {
    Unit::find(unit)
        .ok()
        .filter(|unit| unit.kind == pullmark_schema::quantity::Kind::Torque)
        .map(|unit| (spelling.to_owned(), unit))
        .ok_or_else(|| ProfileError::Unit {
            profile: profile.name.clone(),
            spelling: spelling.to_owned(),
            unit: unit.to_owned(),
        })
}

fn group<'t>(captures: &Captures<'t>, name: &str) -> &'t str {
    captures.name(name).map_or("", |found| found.as_str())
}

/// UTF-8 where it is UTF-8, else Latin-1: a tool's `B7` is a middle dot.
fn to_text(raw: &[u8]) -> String {
    std::str::from_utf8(raw).map_or_else(
        |_| raw.iter().map(|&byte| char::from(byte)).collect(),
        str::to_owned,
    )
}

/// The sum is made over the bytes as they came, not over the text that was made of them.
fn check_sum(raw: &[u8], checksum: &Checksum, stated: &str) -> Result<(), Unreadable> {
    let (after, before) = (
        to_bytes(checksum.after, raw),
        to_bytes(checksum.before, raw),
    );
    let start = raw
        .windows(after.len())
        .position(|bytes| bytes == after)
        .map(|at| at + after.len());
    let end = raw.windows(before.len()).rposition(|bytes| bytes == before);
    let body = start
        .zip(end)
        .and_then(|(start, end)| raw.get(start..end))
        .ok_or(Unreadable::Checksum)?;
    let sum = body.iter().fold(0_u8, |sum, byte| match checksum.kind {
        ChecksumKind::Xor => sum ^ byte,
        ChecksumKind::Sum => sum.wrapping_add(*byte),
    });
    if u8::from_str_radix(stated, 16) == Ok(sum) {
        Ok(())
    } else {
        Err(Unreadable::Checksum)
    }
}

/// A character as it stands in a line: see [`to_text`].
fn to_bytes(character: char, raw: &[u8]) -> Vec<u8> {
    match u8::try_from(character) {
        Ok(byte) if std::str::from_utf8(raw).is_err() => vec![byte],
        _ => character.to_string().into_bytes(),
    }
}
