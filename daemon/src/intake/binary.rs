//! Frames of bytes by a layout that is data: where a frame begins, how long it is, where the values stand.
//!
//! A frame is found by its first bytes and its length and proved by its checksum, never by time: serial adapters bring
//! bytes in batches. After a frame that is none, the search goes on one byte later.

use super::checksum;
use super::dialect::{Line, ProfileError, from_hex, known_unit};
use super::number::{Raw, read};
use super::seen::{Seen, Words, line_of};
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::{
    BinarySettings, ChecksumKind, Field, Format, FrameChecksum, Meaning, Order, Profile,
};
use pullmark_schema::quantity::{Stated, Unit};

/// The longest frame that a profile may ask for.
const LONGEST: usize = 4096;

/// A layout made ready.
#[derive(Debug)]
pub(super) struct Layout {
    sync: Vec<u8>,
    length: usize,
    value: Field,
    values: usize,
    exponent: i8,
    unit: &'static Unit,
    no_value: Option<i64>,
    counter: Option<Field>,
    status: Option<Field>,
    bits: Vec<(u32, Meaning)>,
    checksum: Option<FrameChecksum>,
}

impl Layout {
    pub(super) fn new(profile: &Profile, settings: &BinarySettings) -> Result<Self, ProfileError> {
        let wrong = |what, why: String| ProfileError::Setting {
            profile: profile.name.clone(),
            what,
            why,
        };
        let sync = from_hex(&settings.sync).ok_or_else(|| {
            wrong(
                "binary.sync",
                "it is not a row of bytes in hexadecimal digits".to_owned(),
            )
        })?;
        let length = settings.length;
        if length == 0 || length > LONGEST || sync.len() > length {
            let why = format!("a frame has {} to {LONGEST} bytes", sync.len().max(1));
            return Err(wrong("binary.length", why));
        }
        let mut bits = Vec::new();
        for (bit, meaning) in &settings.bit {
            let number = bit.parse().ok().filter(|number| *number < 32);
            let number = number.ok_or_else(|| {
                wrong(
                    "binary.bit",
                    format!("{bit:?} is no number of a bit, 0 to 31"),
                )
            })?;
            bits.push((number, *meaning));
        }
        let layout = Self {
            sync,
            length,
            value: settings.value,
            values: usize::from(settings.values.max(1)),
            exponent: settings.exponent,
            unit: known_unit(profile, "", &settings.unit)?,
            no_value: settings.no_value,
            counter: settings.counter,
            status: settings.status,
            bits,
            checksum: settings.checksum,
        };
        layout.fits().map_or(Ok(layout), |what| {
            Err(wrong(
                what,
                format!("it ends after the frame's {length} bytes"),
            ))
        })
    }

    /// What does not lie within a frame.
    fn fits(&self) -> Option<&'static str> {
        let end = |field: Field, count: usize| {
            let size = field.format.size().checked_mul(count)?;
            field.at.checked_add(size).filter(|end| *end <= self.length)
        };
        let inside = |field: Option<Field>| field.is_none_or(|field| end(field, 1).is_some());
        let sum = self
            .checksum
            .map_or(0, |sum| checksum::size(sum.kind) + sum.from);
        [
            (end(self.value, self.values).is_some(), "binary.value"),
            (inside(self.counter), "binary.counter"),
            (inside(self.status), "binary.status"),
            (sum <= self.length, "binary.checksum"),
        ]
        .into_iter()
        .find_map(|(is_right, what)| (!is_right).then_some(what))
    }

    pub(super) const fn has_sum(&self) -> bool {
        self.checksum.is_some()
    }

    pub(super) const fn length(&self) -> usize {
        self.length
    }

    /// Whether a frame is what one notification brings.
    pub(super) const fn is_whole_notification(&self) -> bool {
        self.sync.is_empty()
    }

    /// Where a frame begins at the earliest: at its first bytes, or where they may still be coming.
    #[inline]
    pub(super) fn begin(&self, bytes: &[u8]) -> usize {
        let Some(&first) = self.sync.first() else {
            return 0;
        };
        memchr::memchr_iter(first, bytes)
            .find(|at| {
                let rest = bytes.get(*at..).unwrap_or_default();
                rest.starts_with(&self.sync) || self.sync.starts_with(rest)
            })
            .unwrap_or(bytes.len())
    }

    /// Whether the checksum of a frame is right.
    #[inline]
    pub(super) fn is_proved(&self, frame: &[u8]) -> bool {
        let Some(sum) = self.checksum else {
            return true;
        };
        let size = checksum::size(sum.kind);
        let Some(at) = frame.len().checked_sub(size) else {
            return false;
        };
        let format = match sum.kind {
            ChecksumKind::Crc16Modbus | ChecksumKind::Crc16Ccitt => Format::Uint16,
            _ => Format::Uint8,
        };
        let order = if size == 1 { Order::Little } else { sum.order };
        let stated = read(Field { at, format, order }, frame);
        let made = frame
            .get(sum.from..at)
            .map(|body| Raw::Whole(checksum::sum(sum.kind, body).into()));
        made.is_some() && stated == made
    }

    /// Every value of a frame that is whole and proved.
    pub(super) fn values(&self, frame: &[u8], mut out: impl FnMut(Line)) {
        let whole = |field: Option<Field>| match read(field?, frame) {
            Some(Raw::Whole(whole)) => u64::try_from(whole).ok(),
            _ => None,
        };
        let counter = whole(self.counter);
        let words = self.words(whole(self.status).unwrap_or_default());
        let mut field = self.value;
        for _ in 0..self.values {
            out(self.value_at(field, frame, counter, words));
            field.at += field.format.size();
        }
    }

    fn words(&self, status: u64) -> Words {
        let set = self.bits.iter().filter(|(bit, _)| status >> bit & 1 == 1);
        set.fold(Words::default(), |words, (_, meaning)| words.with(*meaning))
    }

    #[inline]
    fn value_at(&self, field: Field, frame: &[u8], counter: Option<u64>, words: Words) -> Line {
        let Some(raw) = read(field, frame) else {
            return Line::Unreadable(Unreadable::NoMatch);
        };
        let is_none = match raw {
            Raw::Whole(whole) => self.no_value == Some(whole),
            Raw::Nothing => true,
            _ => false,
        };
        let seen = Seen {
            counter,
            words,
            ..Seen::default()
        };
        if raw == Raw::PastRange || words.has(Meaning::OverRange) {
            return Line::Value(Seen {
                words: words.with(Meaning::OverRange),
                ..seen
            });
        }
        if is_none {
            return Line::Nothing;
        }
        let Some(value) = raw.decimal(self.exponent) else {
            return Line::Unreadable(Unreadable::BadNumber);
        };
        let stated = Stated {
            value,
            unit: self.unit,
        };
        line_of(stated, seen)
    }

    /// A whole frame, from a notification; its first value.
    pub(super) fn read_one(&self, frame: &[u8]) -> Line {
        if frame.len() != self.length || !frame.starts_with(&self.sync) {
            return Line::Unreadable(Unreadable::NoMatch);
        }
        if !self.is_proved(frame) {
            return Line::Unreadable(Unreadable::Checksum);
        }
        let mut first = None;
        self.values(frame, |line| {
            first.get_or_insert(line);
        });
        first.unwrap_or(Line::Nothing)
    }
}

/// Cuts a port's stream into frames.
#[derive(Debug, Default)]
pub(super) struct Cutter {
    held: Vec<u8>,
    /// Bytes that belonged to no frame since the last one that did.
    stray: Vec<u8>,
}

/// So many stray bytes are given out at once.
const STRAY: usize = 64;

impl Cutter {
    /// Takes in bytes. What belongs to no frame is given out once, when the next frame or a limit is reached.
    pub(super) fn feed(&mut self, layout: &Layout, bytes: &[u8], mut out: impl FnMut(&[u8], Line)) {
        if layout.is_whole_notification() {
            Self::notification(layout, bytes, &mut out);
            return;
        }
        let mut joined = std::mem::take(&mut self.held);
        let mut rest = if joined.is_empty() {
            bytes
        } else {
            joined.extend_from_slice(bytes);
            joined.as_slice()
        };
        loop {
            let begin = layout.begin(rest);
            self.strayed(rest.get(..begin).unwrap_or_default(), &mut out);
            rest = rest.get(begin..).unwrap_or_default();
            let Some(frame) = rest.get(..layout.length()) else {
                break;
            };
            if layout.is_proved(frame) {
                self.give_stray(&mut out);
                layout.values(frame, |line| out(frame, line));
                rest = rest.get(frame.len()..).unwrap_or_default();
            } else {
                let (one, after) = rest.split_at(1);
                self.strayed(one, &mut out);
                rest = after;
            }
        }
        self.held = rest.to_vec();
    }

    fn notification(layout: &Layout, bytes: &[u8], out: &mut impl FnMut(&[u8], Line)) {
        if bytes.len() != layout.length() {
            out(bytes, Line::Unreadable(Unreadable::NoMatch));
        } else if layout.is_proved(bytes) {
            layout.values(bytes, |line| out(bytes, line));
        } else {
            out(bytes, Line::Unreadable(Unreadable::Checksum));
        }
    }

    fn strayed(&mut self, bytes: &[u8], out: &mut impl FnMut(&[u8], Line)) {
        for piece in bytes.chunks(STRAY) {
            let room = STRAY.saturating_sub(self.stray.len());
            let (now, later) = piece.split_at(room.min(piece.len()));
            self.stray.extend_from_slice(now);
            if self.stray.len() == STRAY {
                self.give_stray(out);
                self.stray.extend_from_slice(later);
            }
        }
    }

    fn give_stray(&mut self, out: &mut impl FnMut(&[u8], Line)) {
        if !self.stray.is_empty() {
            out(&self.stray, Line::Unreadable(Unreadable::NoMatch));
            self.stray.clear();
        }
    }

    /// What is under way when the port goes.
    pub(super) fn partial(&mut self) -> Option<Vec<u8>> {
        let mut bytes = std::mem::take(&mut self.stray);
        bytes.append(&mut self.held);
        (!bytes.is_empty()).then_some(bytes)
    }
}
