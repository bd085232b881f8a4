//! Reads one line by a profile. The unit map decides; an unknown unit, a second decimal mark or a wrong checksum make
//! the line unreadable, never a guess.

use super::binary::Layout;
use super::checksum;
use super::matcher::{Group, Groups, Matcher};
use super::number::{Style, decimal};
use super::seen::Words;
pub use super::seen::{Seen, Value};
use super::settle;
use super::stream::Settings;
use pullmark_schema::check::SmallUnit;
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::{Checksum, Command, LineSettings, Meaning, Profile, Turn};
use pullmark_schema::quantity::{Kind, Rounding, Stated, Torque, Unit};
use std::borrow::Cow;
use std::sync::Arc;

/// What a line says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// A value.
    Value(Seen),
    /// Nothing about torque.
    Nothing,
    /// No reading, and why.
    Unreadable(Unreadable),
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
    /// A unit in the map that we do not know; in bytes, or where a pull is streamed, one that is no unit of torque.
    #[error(
        "profile {profile}: the unit map turns {spelling:?} into {unit:?}, which is no unit known here, or no unit of torque where only torque can be"
    )]
    Unit {
        /// Which profile.
        profile: String,
        /// The tool's spelling.
        spelling: String,
        /// What the map makes of it.
        unit: String,
    },
    /// Both or neither of lines and frames.
    #[error(
        "profile {profile}: it needs either [line] for text or [binary] for bytes, and not both"
    )]
    LineOrBinary {
        /// Which profile.
        profile: String,
    },
    /// A figure or text that cannot be.
    #[error("profile {profile}: {what} cannot be used: {why}")]
    Setting {
        /// Which profile.
        profile: String,
        /// Which setting.
        what: &'static str,
        /// What is wrong with it.
        why: String,
    },
}

/// A profile made ready to read with.
#[derive(Debug, Clone)]
pub struct Dialect(Arc<Ready>);

#[derive(Debug)]
struct Ready {
    profile: Profile,
    reader: Reader,
    stream: Option<Settings>,
    settle: Option<settle::Settings>,
    start: Vec<Vec<u8>>,
    poll: Option<Vec<u8>>,
}

/// How a piece of the stream is read.
#[derive(Debug)]
pub(super) enum Reader {
    /// As a line of text.
    Lines(Box<LineReader>),
    /// As a frame of bytes.
    Frames(Box<Layout>),
    /// By what Bluetooth LE has adopted, and what a characteristic says about itself.
    Adopted,
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
        let reader = match (&profile.line, &profile.binary) {
            (Some(line), None) => Reader::Lines(Box::new(LineReader::new(&profile, line)?)),
            (None, Some(binary)) => Reader::Frames(Box::new(Layout::new(&profile, binary)?)),
            (None, None) if is_adopted(&profile) => Reader::Adopted,
            _ => {
                return Err(ProfileError::LineOrBinary {
                    profile: profile.name.clone(),
                });
            }
        };
        let stream = profile
            .stream
            .as_ref()
            .map(|stream| Settings::new(&profile, stream))
            .transpose()?;
        let settle = profile
            .settle
            .as_ref()
            .map(|settle| settle::Settings::new(&profile, settle))
            .transpose()?;
        let start = profile
            .start
            .iter()
            .map(|command| bytes_of(&profile, "start", command))
            .collect::<Result<_, _>>()?;
        let poll = profile
            .poll
            .as_ref()
            .map(|poll| bytes_of(&profile, "poll.send", &poll.send))
            .transpose()?;
        Ok(Self(Arc::new(Ready {
            profile,
            reader,
            stream,
            settle,
            start,
            poll,
        })))
    }

    /// The profile.
    pub fn profile(&self) -> &Profile {
        &self.0.profile
    }

    pub(super) fn reader(&self) -> &Reader {
        &self.0.reader
    }

    /// How pulls are found in its samples, where it sends samples.
    pub fn stream(&self) -> Option<&Settings> {
        self.0.stream.as_ref()
    }

    /// How settled values are found, where a tool of another quantity than torque sends all the time.
    pub(super) fn settle(&self) -> Option<settle::Settings> {
        self.0.settle
    }

    /// Whether a Bluetooth tool is read without lines or a layout of its own.
    pub fn is_adopted(&self) -> bool {
        matches!(self.0.reader, Reader::Adopted)
    }

    /// Whether the tool marks values as the peak of a pull, or as where it gave way.
    pub(super) fn tells_peaks(&self) -> bool {
        let mut words = self.0.profile.flag.values();
        words.any(|word| matches!(word, Meaning::Peak | Meaning::FirstPeak))
    }

    /// What is sent to the tool once after the port was opened.
    pub fn start(&self) -> &[Vec<u8>] {
        &self.0.start
    }

    /// What the tool is asked with, where it has to be asked.
    pub fn poll(&self) -> Option<&[u8]> {
        self.0.poll.as_deref()
    }

    /// Reads one line without its terminator, or one frame.
    pub fn read(&self, raw: &[u8]) -> Line {
        match &self.0.reader {
            Reader::Lines(reader) => reader.read(self.without_echo(raw)),
            Reader::Frames(layout) => layout.read_one(raw),
            Reader::Adopted => Line::Nothing,
        }
    }

    /// Reads a line whose beginning may be missing: only a right checksum proves that it is whole.
    pub fn read_cut_off(&self, raw: &[u8]) -> Line {
        let line = self.read(raw);
        let has_sum = match &self.0.reader {
            Reader::Lines(reader) => reader.checksum.is_some(),
            Reader::Frames(layout) => layout.has_sum(),
            Reader::Adopted => true,
        };
        match line {
            Line::Value(_) if !has_sum => Line::Unreadable(Unreadable::CutOff),
            Line::Unreadable(_) => Line::Unreadable(Unreadable::CutOff),
            line => line,
        }
    }

    /// A line may begin with what the tool was asked with, or be that alone.
    fn without_echo<'l>(&self, raw: &'l [u8]) -> &'l [u8] {
        let is_echoed = self.0.profile.poll.as_ref().is_some_and(|poll| poll.echo);
        let Some(sent) = self.poll().filter(|_| is_echoed) else {
            return raw;
        };
        raw.strip_prefix(sent).unwrap_or_else(|| {
            let alone = sent.trim_ascii_end();
            if raw.trim_ascii_end() == alone {
                &[]
            } else {
                raw
            }
        })
    }
}

fn is_adopted(profile: &Profile) -> bool {
    profile
        .gatt
        .as_ref()
        .is_some_and(|gatt| gatt.service.is_none())
}

/// Bytes from hexadecimal digits; blanks between them do not count.
pub(super) fn from_hex(text: &str) -> Option<Vec<u8>> {
    let digits: String = text.split_whitespace().collect();
    hex::decode(digits).ok()
}

fn bytes_of(
    profile: &Profile,
    what: &'static str,
    command: &Command,
) -> Result<Vec<u8>, ProfileError> {
    match command {
        Command::Text(text) => Ok(text.as_bytes().to_vec()),
        Command::Hex(digits) => from_hex(digits).ok_or_else(|| ProfileError::Setting {
            profile: profile.name.clone(),
            what,
            why: format!("{digits:?} is not a row of bytes in hexadecimal digits"),
        }),
    }
}

/// The part of a profile that reads lines, made ready.
#[derive(Debug)]
pub(super) struct LineReader {
    pattern: Matcher,
    ignore: Vec<Matcher>,
    over_range: Option<Matcher>,
    units: Vec<(String, &'static Unit)>,
    words: Vec<(String, Meaning)>,
    signs: Vec<(String, Turn)>,
    separator: String,
    style: Style,
    checksum: Option<Checksum>,
}

impl LineReader {
    fn new(profile: &Profile, line: &LineSettings) -> Result<Self, ProfileError> {
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
            units: profile
                .unit
                .iter()
                .map(|(spelling, unit)| Ok((spelling.clone(), any_unit(profile, spelling, unit)?)))
                .collect::<Result<_, _>>()?,
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

    fn read(&self, raw: &[u8]) -> Line {
        let text = to_text(raw);
        if raw.is_empty() || self.ignore.iter().any(|pattern| pattern.is_match(&text)) {
            return Line::Nothing;
        }
        match self.seen(&text, raw) {
            Ok(seen) => Line::Value(seen),
            Err(why) => Line::Unreadable(why),
        }
    }

    fn seen(&self, text: &str, raw: &[u8]) -> Result<Seen, Unreadable> {
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
            return Ok(seen);
        }
        let turn = self.turn(group(Group::Sign))?;
        let stated = self.stated(number, group(Group::Unit), turn)?;
        seen.number = Some(stated);
        if let Some(unit) = SmallUnit::of(stated.unit.kind) {
            let is_sane = unit.value_of(stated, Rounding::Up).is_ok();
            is_sane.then_some(()).ok_or(Unreadable::NotSane)?;
        } else {
            let torque = Torque::of(stated, Rounding::Up).ok();
            let torque = torque.filter(|torque| torque.is_sane());
            seen.torque = Some(torque.ok_or(Unreadable::NotSane)?);
        }
        Ok(seen)
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

/// A unit by its name in a profile: of torque, or of what a check measures.
fn any_unit(profile: &Profile, spelling: &str, unit: &str) -> Result<&'static Unit, ProfileError> {
    if profile.stream.is_some() {
        // What it sends are samples of a pull.
        return known_unit(profile, spelling, unit);
    }
    Unit::find(unit).map_err(|_| ProfileError::Unit {
        profile: profile.name.clone(),
        spelling: spelling.to_owned(),
        unit: unit.to_owned(),
    })
}

/// A unit of torque by its name in a profile.
pub(super) fn known_unit(
    profile: &Profile,
    spelling: &str,
    unit: &str,
) -> Result<&'static Unit, ProfileError> {
    Unit::find(unit)
        .ok()
        .filter(|unit| unit.kind == Kind::Torque)
        .ok_or_else(|| ProfileError::Unit {
            profile: profile.name.clone(),
            spelling: spelling.to_owned(),
            unit: unit.to_owned(),
        })
}

/// UTF-8 where it is UTF-8, else Latin-1: a tool's `B7` is a middle dot.
pub(super) fn to_text(raw: &[u8]) -> Cow<'_, str> {
    std::str::from_utf8(raw).map_or_else(
        |_| Cow::Owned(raw.iter().map(|&byte| char::from(byte)).collect()),
        Cow::Borrowed,
    )
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
