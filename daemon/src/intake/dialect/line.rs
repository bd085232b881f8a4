//! Reads one line by the patterns of a profile.

use super::super::checksum;
use super::super::matcher::{Group, Groups, Matcher};
use super::super::number::{Style, decimal};
use super::super::seen::{Seen, Words, line_of};
use super::{Line, ProfileError, to_text, units_of};
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::{Checksum, LineSettings, Meaning, Profile, Turn};
use pullmark_schema::quantity::{Stated, Unit};

/// The part of a profile that reads lines, made ready.
#[derive(Debug)]
pub(in crate::intake) struct LineReader {
    pattern: Matcher,
    ignore: Vec<Matcher>,
    over_range: Option<Matcher>,
    units: Vec<(String, &'static Unit)>,
    words: Vec<(String, Meaning)>,
    signs: Vec<(String, Turn)>,
    separator: String,
    style: Style,
    pub(super) checksum: Option<Checksum>,
}

impl LineReader {
    pub(super) fn new(profile: &Profile, line: &LineSettings) -> Result<Self, ProfileError> {
        let compile = |what, text: &str| {
            Matcher::new(text).map_err(|error| ProfileError::Pattern {
                profile: profile.name.clone(),
                what,
                error: Box::new(error),
            })
        };
        let pattern = compile("line.pattern", &line.pattern)?;
        let needed = [
            (true, Group::Value, "value"),
            (line.checksum.is_some(), Group::Sum, "sum"),
        ];
        for (is_needed, group, name) in needed {
            if is_needed && !pattern.names(group) {
                return Err(ProfileError::MissingGroup {
                    profile: profile.name.clone(),
                    group: name,
                });
            }
        }
        Ok(Self {
            pattern,
            ignore: line
                .ignore
                .iter()
                .map(|text| compile("line.ignore", text))
                .collect::<Result<_, _>>()?,
            over_range: line
                .over_range
                .as_ref()
                .map(|text| compile("line.over_range", text))
                .transpose()?,
            units: units_of(profile)?,
            words: profile.flag.clone().into_iter().collect(),
            signs: profile.sign.clone().into_iter().collect(),
            separator: line.flag_separator.clone(),
            style: Style {
                decimal_comma: line.decimal_comma,
                decimals: line.decimals,
            },
            checksum: line.checksum.clone(),
        })
    }

    pub(super) fn read(&self, raw: &[u8]) -> Line {
        let text = to_text(raw);
        if raw.is_empty() || self.ignore.iter().any(|pattern| pattern.is_match(&text)) {
            return Line::Nothing;
        }
        self.line(&text, raw).unwrap_or_else(Line::Unreadable)
    }

    fn line(&self, text: &str, raw: &[u8]) -> Result<Line, Unreadable> {
        let groups = self.pattern.captures(text).ok_or(Unreadable::NoMatch)?;
        let group = |group| groups.text(group, text);
        if let Some(checksum) = &self.checksum {
            let has_raw_places = raw.len() == text.len();
            check_sum(raw, checksum, &groups, text, has_raw_places)?;
        }
        let words = self.words(group(Group::Flags))?;
        let (counter, time) = (whole(group(Group::Counter))?, whole(group(Group::Time))?);
        let number = group(Group::Value);
        let is_past = words.has(Meaning::OverRange)
            || self
                .over_range
                .as_ref()
                .is_some_and(|pattern| pattern.is_match(number));
        let mut seen = Seen {
            number: None,
            torque: None,
            counter,
            time,
            words,
        };
        if is_past {
            seen.words = words.with(Meaning::OverRange);
            return Ok(Line::Value(seen));
        }
        let turn = self.turn(group(Group::Sign))?;
        let stated = self.stated(number, group(Group::Unit), turn)?;
        Ok(line_of(stated, seen))
    }

    fn stated(&self, number: &str, spelling: &str, turn: Turn) -> Result<Stated, Unreadable> {
        let known = self.units.iter().find(|(known, _)| known == spelling);
        let unit = known.ok_or(Unreadable::UnknownUnit)?.1;
        let value = decimal(number, self.style).ok_or(Unreadable::BadNumber)?;
        let value = match turn {
            Turn::Clockwise => Some(value),
            Turn::CounterClockwise => {
                pullmark_schema::quantity::Decimal::new(-value.mantissa(), value.scale())
            }
        };
        let value = value.ok_or(Unreadable::BadNumber)?;
        Ok(Stated { value, unit })
    }

    fn turn(&self, sign: &str) -> Result<Turn, Unreadable> {
        match self.signs.iter().find(|(known, _)| known == sign) {
            Some((_, turn)) => Ok(*turn),
            None => match sign.trim() {
                "" | "+" => Ok(Turn::Clockwise),
                "-" | "\u{2212}" => Ok(Turn::CounterClockwise),
                _ => Err(Unreadable::NoMatch),
            },
        }
    }

    fn words(&self, said: &str) -> Result<Words, Unreadable> {
        let mut words = Words::default();
        if said.is_empty() {
            return Ok(words);
        }
        let mut add = |word: &str| {
            let known = self.words.iter().find(|(known, _)| known == word);
            words = words.with(known.ok_or(Unreadable::NoMatch)?.1);
            Ok(())
        };
        if self.separator.is_empty() {
            let mut buffer = [0; 4];
            said.chars()
                .try_for_each(|word| add(word.encode_utf8(&mut buffer)))?;
        } else {
            said.split(self.separator.as_str()).try_for_each(add)?;
        }
        Ok(words)
    }
}

fn whole(digits: &str) -> Result<Option<u64>, Unreadable> {
    match digits.trim() {
        "" => Ok(None),
        digits => digits.parse().map(Some).map_err(|_| Unreadable::BadNumber),
    }
}

/// The sum is made over the bytes as they came, not over the text that was made of them.
fn check_sum(
    raw: &[u8],
    checksum: &Checksum,
    groups: &Groups,
    text: &str,
    has_raw_places: bool,
) -> Result<(), Unreadable> {
    let wrong = Unreadable::Checksum;
    let start = match checksum.after {
        None => 0,
        Some(mark) => {
            let mark = to_bytes(mark, raw);
            memchr::memmem::find(raw, &mark).ok_or(wrong)? + mark.len()
        }
    };
    let end = match checksum.before {
        Some(mark) => memchr::memmem::rfind(raw, &to_bytes(mark, raw)).ok_or(wrong)?,
        None if has_raw_places => groups.start(Group::Sum).ok_or(wrong)?,
        // Latin-1: a character of the text is a byte of the line.
        None => {
            let at = groups.start(Group::Sum).ok_or(wrong)?;
            text.get(..at).ok_or(wrong)?.chars().count()
        }
    };
    let body = raw.get(start..end).ok_or(wrong)?;
    let stated = groups.text(Group::Sum, text);
    let is_whole = stated.len() == 2 * checksum::size(checksum.kind);
    if is_whole && u16::from_str_radix(stated, 16) == Ok(checksum::sum(checksum.kind, body)) {
        Ok(())
    } else {
        Err(wrong)
    }
}

/// A character as it stands in a line: see [`to_text`].
fn to_bytes(character: char, raw: &[u8]) -> Vec<u8> {
    match u8::try_from(character) {
        Ok(byte) if character.is_ascii() || std::str::from_utf8(raw).is_err() => vec![byte],
        _ => character.to_string().into_bytes(),
    }
}
