//! Tools that type: key events of the Linux input layer (`struct input_event` of 64-bit machines, key numbers of
//! `linux/input-event-codes.h`, from memory) become lines of text.
//!
//! A key means what the layout of the keyboard says that the tool takes itself for; it cannot be seen from the events, so the
//! profile names it. A line ends with Enter or Tab. It is none where a key is unknown, is held until it repeats, or where there
//! was a pause in it: a person may have typed, or a part of it is missing.

use super::dialect::ProfileError;
use pullmark_schema::profile::Profile;
use pullmark_schema::profile::instrument::{KeySettings, Layout};

/// The size of an event: seconds, microseconds, type, code, value.
pub const EVENT: usize = 24;
/// So many characters are the most that a line has.
const MOST_CHARACTERS: usize = 100;
/// So many bytes of events are kept of a line.
const MOST_BYTES: usize = 4096 - 4096 % EVENT;

const REPORT: u16 = 0;
/// Of a report: events were lost before it (`SYN_DROPPED`).
const LOST: u16 = 3;
const KEY: u16 = 1;
const UP: i32 = 0;
const DOWN: i32 = 1;
const ENTER: u16 = 28;
const TAB: u16 = 15;
const KEYPAD_ENTER: u16 = 96;
const LEFT_SHIFT: u16 = 42;
const RIGHT_SHIFT: u16 = 54;
const CAPS_LOCK: u16 = 58;
/// Control, Alt, Meta and the lock of the keypad say nothing here; what is typed while Control or Alt is held is no text.
const NUM_LOCK: u16 = 69;
const OTHERS: [u16; 6] = [29, 97, 56, 100, 125, 126];

/// The letters in the order of the keys from 16, 30 and 44.
const ROWS: [(u16, &str); 3] = [(16, "qwertyuiop"), (30, "asdfghjkl"), (44, "zxcvbnm")];
const GERMAN_ROWS: [(u16, &str); 3] = [(16, "qwertzuiop"), (30, "asdfghjkl"), (44, "yxcvbnm")];
/// The digits' row: plain and shifted, from key 2 on.
const DIGITS: &str = "1234567890";
const SHIFTED_DIGITS: &str = "!@#$%^&*()";
const GERMAN_SHIFTED_DIGITS: &str = "!\"§$%&/()=";
/// The other keys: plain and shifted.
const SIGNS: [(u16, char, char); 11] = [
    (12, '-', '_'),
    (13, '=', '+'),
    (26, '[', '{'),
    (27, ']', '}'),
    (39, ';', ':'),
    (40, '\'', '"'),
    (41, '`', '~'),
    (43, '\\', '|'),
    (51, ',', '<'),
    (52, '.', '>'),
    (53, '/', '?'),
];
const GERMAN_SIGNS: [(u16, char, char); 12] = [
    (12, 'ß', '?'),
    (13, '´', '`'),
    (26, 'ü', 'Ü'),
    (27, '+', '*'),
    (39, 'ö', 'Ö'),
    (40, 'ä', 'Ä'),
    (41, '^', '°'),
    (43, '#', '\''),
    (51, ',', ';'),
    (52, '.', ':'),
    (53, '-', '_'),
    (86, '<', '>'),
];
/// The keypad, which has no shift. Its decimal mark is the layout's.
const KEYPAD: [(u16, char); 15] = [
    (55, '*'),
    (71, '7'),
    (72, '8'),
    (73, '9'),
    (74, '-'),
    (75, '4'),
    (76, '5'),
    (77, '6'),
    (78, '+'),
    (79, '1'),
    (80, '2'),
    (81, '3'),
    (82, '0'),
    (98, '/'),
    (57, ' '),
];
const KEYPAD_MARK: u16 = 83;
const KEYPAD_COMMA: u16 = 121;

/// A keyboard, made ready.
#[derive(Debug, Clone)]
pub(super) struct Keyboard {
    layout: Layout,
    own: Vec<(u16, String)>,
    pause: u64,
}

impl Keyboard {
    pub(super) fn new(profile: &Profile, settings: &KeySettings) -> Result<Self, ProfileError> {
        let own = settings.key.iter().map(|(number, text)| {
            let number = number.parse().map_err(|_| ProfileError::Setting {
                profile: profile.name.clone(),
                what: "keys.key",
                why: format!("{number:?} is no number of a key"),
            })?;
            Ok((number, text.clone()))
        });
        Ok(Self {
            layout: settings.layout,
            own: own.collect::<Result<_, _>>()?,
            pause: u64::from(settings.pause_ms.unwrap_or(500)) * 1000,
        })
    }

    /// What a key types; nothing where it is not known.
    fn text(&self, code: u16, shift: bool, caps: bool) -> Option<String> {
        if let Some((_, text)) = self.own.iter().find(|(known, _)| *known == code) {
            return Some(text.clone());
        }
        let german = self.layout == Layout::De;
        if code == KEYPAD_MARK || code == KEYPAD_COMMA {
            return Some(
                if german || code == KEYPAD_COMMA {
                    ","
                } else {
                    "."
                }
                .to_owned(),
            );
        }
        if let Some((_, sign)) = KEYPAD.iter().find(|(known, _)| *known == code) {
            return Some(sign.to_string());
        }
        let rows = if german { GERMAN_ROWS } else { ROWS };
        let letter = rows
            .into_iter()
            .find_map(|(first, row)| row.chars().nth(code.checked_sub(first)?.into()));
        if let Some(letter) = letter {
            let is_raised = shift ^ caps;
            let letter = if is_raised {
                letter.to_ascii_uppercase()
            } else {
                letter
            };
            return Some(letter.to_string());
        }
        let digits = match (shift, german) {
            (false, _) => DIGITS,
            (true, false) => SHIFTED_DIGITS,
            (true, true) => GERMAN_SHIFTED_DIGITS,
        };
        if let Some(digit) = code
            .checked_sub(2)
            .and_then(|at| digits.chars().nth(at.into()))
        {
            return Some(digit.to_string());
        }
        let signs = if german {
            &GERMAN_SIGNS[..]
        } else {
            &SIGNS[..]
        };
        let (_, plain, shifted) = signs.iter().find(|(known, ..)| *known == code)?;
        // Caps Lock raises the letters with two dots too.
        let is_raised = shift ^ (caps && plain.is_alphabetic() && shifted.is_alphabetic());
        Some(if is_raised { *shifted } else { *plain }.to_string())
    }
}

/// A line that was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Typed<'a> {
    /// Its text; and the events that it is made of.
    Line(&'a str, &'a [u8]),
    /// The events of something that is no line.
    NoLine(&'a [u8]),
}

/// Follows the keys of one keyboard.
#[derive(Debug)]
pub(super) struct Typist {
    keyboard: Keyboard,
    /// The beginning of an event.
    piece: Vec<u8>,
    text: String,
    events: Vec<u8>,
    shift: u8,
    other: u8,
    caps: bool,
    is_doubted: bool,
    last: Option<u64>,
}

/// An event, read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Event {
    at: u64,
    kind: u16,
    code: u16,
    value: i32,
}

impl Event {
    fn read(bytes: &[u8]) -> Option<Self> {
        let (seconds, rest) = bytes.split_first_chunk::<8>()?;
        let (micro, rest) = rest.split_first_chunk::<8>()?;
        let (kind, rest) = rest.split_first_chunk::<2>()?;
        let (code, rest) = rest.split_first_chunk::<2>()?;
        let (value, _) = rest.split_first_chunk::<4>()?;
        let at = i64::from_ne_bytes(*seconds)
            .checked_mul(1_000_000)
            .and_then(|at| at.checked_add(i64::from_ne_bytes(*micro)))
            .and_then(|at| u64::try_from(at).ok());
        Some(Self {
            at: at.unwrap_or_default(),
            kind: u16::from_ne_bytes(*kind),
            code: u16::from_ne_bytes(*code),
            value: i32::from_ne_bytes(*value),
        })
    }
}

impl Typist {
    pub(super) const fn new(keyboard: Keyboard) -> Self {
        Self {
            keyboard,
            piece: Vec::new(),
            text: String::new(),
            events: Vec::new(),
            shift: 0,
            other: 0,
            caps: false,
            is_doubted: false,
            last: None,
        }
    }

    pub(super) fn feed(&mut self, bytes: &[u8], mut out: impl FnMut(Typed<'_>)) {
        let mut piece = std::mem::take(&mut self.piece);
        piece.extend_from_slice(bytes);
        let mut events = piece.chunks_exact(EVENT);
        for bytes in events.by_ref() {
            match Event::read(bytes) {
                Some(event) if event.kind == KEY => self.event(event, bytes, &mut out),
                Some(event) if (event.kind, event.code) == (REPORT, LOST) => self.lost(),
                _ => {}
            }
        }
        self.piece = events.remainder().to_vec();
    }

    /// Keys were pressed or let go that nobody heard of: what is being typed is no line, nor is what comes to the next end.
    const fn lost(&mut self) {
        self.is_doubted = true;
        (self.shift, self.other) = (0, 0);
    }

    fn event(&mut self, event: Event, bytes: &[u8], out: &mut impl FnMut(Typed<'_>)) {
        let pause = self
            .last
            .replace(event.at)
            .map_or(0, |last| event.at.abs_diff(last));
        if pause > self.keyboard.pause && !self.events.is_empty() && event.value != UP {
            if self.text.is_empty() {
                self.events.clear();
            } else {
                // What came before the pause is no line, and what follows may be its other half.
                self.is_doubted = true;
            }
        }
        let is_first = self.events.is_empty();
        let is_ending = matches!(event.code, ENTER | TAB | KEYPAD_ENTER);
        // The release of the key that ended the line before belongs to nothing.
        if !(is_first && event.value == UP) {
            if self.events.len() < MOST_BYTES {
                self.events.extend_from_slice(bytes);
            } else {
                self.is_doubted = true;
            }
        }
        match (event.code, event.value) {
            (LEFT_SHIFT | RIGHT_SHIFT, value) => {
                let bit = u8::from(event.code == RIGHT_SHIFT) + 1;
                self.shift = if value == UP {
                    self.shift & !bit
                } else {
                    self.shift | bit
                };
            }
            (CAPS_LOCK, DOWN) => self.caps = !self.caps,
            (CAPS_LOCK | NUM_LOCK, _) => {}
            (code, value) if OTHERS.contains(&code) => {
                let at = OTHERS
                    .iter()
                    .position(|other| *other == code)
                    .unwrap_or_default();
                let bit = 1 << at;
                self.other = if value == UP {
                    self.other & !bit
                } else {
                    self.other | bit
                };
            }
            (_, UP) => {}
            (_, DOWN) if is_ending => self.end(out),
            (code, DOWN) => self.typed(code),
            // A key that is held; a tool lets go.
            _ => self.is_doubted = true,
        }
    }

    fn typed(&mut self, code: u16) {
        match self.keyboard.text(code, self.shift != 0, self.caps) {
            Some(text) if self.other == 0 && self.text.chars().count() < MOST_CHARACTERS => {
                self.text.push_str(&text);
            }
            _ => self.is_doubted = true,
        }
    }

    fn end(&mut self, out: &mut impl FnMut(Typed<'_>)) {
        let text = std::mem::take(&mut self.text);
        let events = std::mem::take(&mut self.events);
        if std::mem::take(&mut self.is_doubted) {
            out(Typed::NoLine(&events));
        } else if !text.is_empty() {
            out(Typed::Line(&text, &events));
        }
    }

    /// What was typed and never ended.
    pub(super) fn partial(&mut self) -> Option<Vec<u8>> {
        let events = std::mem::take(&mut self.events);
        let was_text = !std::mem::take(&mut self.text).is_empty();
        *self = Self::new(self.keyboard.clone());
        (was_text && !events.is_empty()).then_some(events)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
