//! Reads one line by a profile. The unit map decides; an unknown unit, a second decimal mark or a wrong checksum make
//! the line unreadable, never a guess.

mod line;

use super::binary::Layout;
use super::json::JsonReader;
use super::keys::Keyboard;
use super::modbus::{Registers, release_of};
use super::scpi::Queries;
pub use super::seen::{Seen, Value};
use super::senml::SenmlReader;
use super::settle;
use super::stream::Settings;
pub(super) use line::LineReader;
use pullmark_schema::check::SmallUnit;
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::{Command, Meaning, Profile};
use pullmark_schema::quantity::{Kind, Rounding, Stated, Unit};
use std::borrow::Cow;
use std::sync::Arc;

/// What a line says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// A value.
    Value(Seen),
    /// Nothing that is measured.
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
    /// A unit in the map that we do not know.
    #[error(
        "profile {profile}: the unit map turns {spelling:?} into {unit:?}, which is no unit known here"
    )]
    Unit {
        /// Which profile.
        profile: String,
        /// The tool's spelling.
        spelling: String,
        /// What the map makes of it.
        unit: String,
    },
    /// Units of torque and of other quantities in one map.
    #[error(
        "profile {profile}: the unit map turns {spelling:?} into a unit of {found}, and another one into a unit of {other}: a profile is for torque, or for what is no torque"
    )]
    Mixed {
        /// Which profile.
        profile: String,
        /// The tool's spelling.
        spelling: String,
        /// What it measures.
        found: Kind,
        /// What another one measures.
        other: Kind,
    },
    /// Several ways to read it, or none.
    #[error(
        "profile {profile}: it needs exactly one of [line] for text, [binary] for bytes, [modbus], [scpi], [senml] and [json]"
    )]
    OneWay {
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
    plausible: Option<Range>,
    keyboard: Option<Keyboard>,
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
    /// Registers that are asked for.
    Registers(Arc<Registers>),
    /// An instrument that is asked questions.
    Queries(Arc<Queries>),
    /// A list of measurements.
    Senml(SenmlReader),
    /// A value in JSON.
    Json(Box<JsonReader>),
}

/// What a tool can mean: the lowest and the highest value, in thousandths of small units.
#[derive(Debug, Clone, Copy)]
struct Range {
    kind: Kind,
    lowest: i64,
    highest: i64,
}

impl Range {
    /// What becomes of a line whose value cannot be; nothing where it can.
    fn judge(self, line: &Line) -> Option<Line> {
        let Line::Value(seen) = line else {
            return None;
        };
        let stated = seen.number.filter(|stated| stated.unit.kind == self.kind)?;
        let micro = stated.unit.to_thousandths(stated.value, Rounding::Up);
        let is_torque = self.kind == Kind::Torque;
        let size = micro.map(|micro| {
            if is_torque {
                micro.saturating_abs()
            } else {
                micro
            }
        });
        let is_within = |value: Option<i64>| {
            value.is_some_and(|value| (self.lowest..=self.highest).contains(&value))
        };
        if is_within(micro) || is_within(size) {
            return None;
        }
        let can_harm = is_torque || SmallUnit::of(self.kind).is_some_and(SmallUnit::can_harm);
        let is_above = size.is_some_and(|size| size > self.highest);
        Some(if can_harm && is_above {
            Line::Value(Seen {
                number: None,
                torque: None,
                words: seen.words.with(Meaning::OverRange),
                ..*seen
            })
        } else {
            Line::Unreadable(Unreadable::Implausible)
        })
    }
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
        let reader = reader_of(&profile)?;
        let stream = profile
            .stream
            .as_ref()
            .map(|stream| Settings::new(&profile, stream))
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
        if profile.settle.is_some() && measures_torque(&profile)? {
            let why = "it is for everything but torque: a pull never comes to rest";
            return Err(setting(&profile, "settle", why));
        }
        let settle = profile
            .settle
            .as_ref()
            .map(|settle| settle::Settings::new(&profile, settle))
            .transpose()?;
        let keyboard = profile
            .keys
            .as_ref()
            .map(|keys| Keyboard::new(&profile, keys))
            .transpose()?;
        Ok(Self(Arc::new(Ready {
            plausible: range_of(&profile)?,
            settle,
            keyboard,
            profile,
            reader,
            stream,
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

    /// How a value comes to rest, where the tool sends all that its display shows.
    pub(super) fn settle(&self) -> Option<settle::Settings> {
        self.0.settle
    }

    /// What the tool's keys mean, where it types.
    pub(super) fn keyboard(&self) -> Option<&Keyboard> {
        self.0.keyboard.as_ref()
    }

    /// Whether it is an instrument that is asked: only its answers show that it is there.
    pub fn is_asked(&self) -> bool {
        matches!(self.0.reader, Reader::Registers(_) | Reader::Queries(_))
    }

    /// Why a tool at such an address cannot be read with it, and what to do.
    pub fn misfit(&self, address: &str) -> Option<&'static str> {
        let is_typed = address.starts_with("keys:");
        let is_radio = address.starts_with("bluetooth:");
        let is_message = is_radio || address.starts_with("mqtt://");
        match self.reader() {
            _ if is_typed && self.0.keyboard.is_none() => {
                Some("its profile has no [keys]: what it types cannot be read")
            }
            _ if !is_typed && self.0.keyboard.is_some() => {
                Some("its profile is for a tool that types: its address begins with keys:")
            }
            Reader::Registers(_) | Reader::Queries(_) if is_message => Some(
                "its profile asks an instrument, over a serial port or tcp:// alone: take a profile for what it sends by itself",
            ),
            Reader::Adopted if !is_radio => Some(
                "its profile is for Bluetooth alone: take one that says how its lines or frames are made",
            ),
            _ => None,
        }
    }

    /// The longest message that a broker may deliver for it.
    pub(super) fn longest_message(&self) -> usize {
        match self.reader() {
            Reader::Frames(_) => super::framing::LONGEST,
            _ => self
                .profile()
                .frame
                .longest
                .clamp(1, super::framing::LONGEST),
        }
    }

    /// A value that cannot be is none. One above what can be is past the tool's range where too much can harm, and nobody
    /// explains it away. A torque is judged by its size: a left-hand thread shows negative ones.
    #[inline]
    pub(super) fn plausible(&self, line: &mut Line) {
        if let Some(judged) = self.0.plausible.and_then(|range| range.judge(line)) {
            *line = judged;
        }
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
            Reader::Json(reader) => reader.read(raw).0,
            Reader::Adopted | Reader::Registers(_) | Reader::Queries(_) | Reader::Senml(_) => {
                Line::Nothing
            }
        }
    }

    /// Reads a line whose beginning may be missing: only a right checksum proves that it is whole.
    pub fn read_cut_off(&self, raw: &[u8]) -> Line {
        let line = self.read(raw);
        let has_sum = match &self.0.reader {
            Reader::Lines(reader) => reader.checksum.is_some(),
            Reader::Frames(layout) => layout.has_sum(),
            // The bracket that opens it proves that a list or an object is whole; of the others there are no lines.
            Reader::Json(_)
            | Reader::Senml(_)
            | Reader::Adopted
            | Reader::Registers(_)
            | Reader::Queries(_) => true,
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

/// Whether a tool of this profile may give torques.
fn measures_torque(profile: &Profile) -> Result<bool, ProfileError> {
    let units = units_of(profile)?;
    let frame = profile
        .binary
        .as_ref()
        .map(|binary| known_unit(profile, "", &binary.unit));
    let mut all = units
        .into_iter()
        .map(|(_, unit)| unit)
        .chain(frame.transpose()?);
    Ok(all.any(|unit| unit.kind == Kind::Torque))
}

/// The one way in which a profile is read.
fn reader_of(profile: &Profile) -> Result<Reader, ProfileError> {
    let mut ways = Vec::new();
    if let Some(line) = &profile.line {
        ways.push(Reader::Lines(Box::new(LineReader::new(profile, line)?)));
    }
    if let Some(binary) = &profile.binary {
        ways.push(Reader::Frames(Box::new(Layout::new(profile, binary)?)));
    }
    if let Some(modbus) = &profile.modbus {
        let registers = Registers::new(profile, modbus)?.with_release(release_of(profile));
        ways.push(Reader::Registers(Arc::new(registers)));
    }
    if let Some(scpi) = &profile.scpi {
        ways.push(Reader::Queries(Arc::new(Queries::new(profile, scpi)?)));
    }
    if let Some(senml) = &profile.senml {
        ways.push(Reader::Senml(SenmlReader::new(senml)));
    }
    if let Some(json) = &profile.json {
        ways.push(Reader::Json(Box::new(JsonReader::new(profile, json)?)));
    }
    match (ways.pop(), ways.is_empty()) {
        (Some(Reader::Lines(line)), true) => Ok(Reader::Lines(line)),
        (Some(_), true) if profile.keys.is_some() => Err(setting(
            profile,
            "keys",
            "what is typed is text: it needs [line]",
        )),
        (Some(only), true) => Ok(only),
        (None, _) if is_adopted(profile) => Ok(Reader::Adopted),
        _ => Err(ProfileError::OneWay {
            profile: profile.name.clone(),
        }),
    }
}

/// A setting that cannot be used.
pub(super) fn setting(profile: &Profile, what: &'static str, why: &str) -> ProfileError {
    ProfileError::Setting {
        profile: profile.name.clone(),
        what,
        why: why.to_owned(),
    }
}

fn range_of(profile: &Profile) -> Result<Option<Range>, ProfileError> {
    let Some(plausible) = &profile.plausible else {
        return Ok(None);
    };
    let read = |what, text: &str| {
        let stated = Stated::parse(text).ok();
        let micro = stated.and_then(|stated| {
            let micro = stated.unit.to_thousandths(stated.value, Rounding::Up)?;
            Some((stated.unit.kind, micro))
        });
        micro.ok_or_else(|| {
            setting(
                profile,
                what,
                "it is a value with its unit, such as \"200 mm\"",
            )
        })
    };
    let (kind, lowest) = read("plausible.lowest", &plausible.lowest)?;
    let (other, highest) = read("plausible.highest", &plausible.highest)?;
    if kind != other || lowest >= highest {
        return Err(setting(
            profile,
            "plausible",
            "the lowest value has to be below the highest, in units of one quantity",
        ));
    }
    Ok(Some(Range {
        kind,
        lowest,
        highest,
    }))
}

/// The profile's spellings of units.
pub(super) fn units_of(profile: &Profile) -> Result<Vec<(String, &'static Unit)>, ProfileError> {
    let mut units: Vec<(String, &'static Unit)> = Vec::new();
    for (spelling, unit) in &profile.unit {
        let unit = known_unit(profile, spelling, unit)?;
        let is_torque = unit.kind == Kind::Torque;
        if profile.stream.is_some() && !is_torque {
            let why = "what is streamed are samples of a pull, and these are torques";
            return Err(setting(profile, "unit", why));
        }
        // A slip of the pen would turn torques into lengths.
        let first = units.first().map(|(_, first)| first.kind);
        if let Some(other) = first.filter(|first| (*first == Kind::Torque) != is_torque) {
            return Err(ProfileError::Mixed {
                profile: profile.name.clone(),
                spelling: spelling.clone(),
                found: unit.kind,
                other,
            });
        }
        units.push((spelling.clone(), unit));
    }
    Ok(units)
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

/// A unit by its name in a profile.
pub(super) fn known_unit(
    profile: &Profile,
    spelling: &str,
    unit: &str,
) -> Result<&'static Unit, ProfileError> {
    Unit::find(unit).map_err(|_| ProfileError::Unit {
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
