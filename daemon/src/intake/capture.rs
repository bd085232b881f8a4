//! A capture: what came from a port, byte for byte, with its times, as a text file that people can read, cut and compare.
//!
//! ```text
//! # anything for people
//! profile plain-line
//! 0.000000 opened
//! 0.512000 "  5.08 N.m\r\n"
//! 1.200000 gone
//! ```
//!
//! Times are seconds since the port was opened. Bytes stand between quotes as Rust escapes them (`\r`, `\n`, `\\`, `\"`,
//! `\xB7`).

use super::dialect::Dialect;
use super::{Arrival, Intake, QUIET_US, Received, What};
use std::fmt;
use std::fmt::Write as _;

/// What came, and when.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Capture {
    /// The profile that it was made with, where one is named.
    pub profile: Option<String>,
    /// In the order in which it happened; µs since the port was opened.
    pub events: Vec<(u64, Happened)>,
}

/// What happened at a port.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Happened {
    /// It was opened.
    Opened,
    /// Bytes came.
    Bytes(Vec<u8>),
    /// It went away.
    Gone,
}

/// A line of a capture that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "line {line} of the capture cannot be read: {text:?}. It is a time in seconds and `opened`, `gone` or bytes in quotes"
)]
pub struct CaptureError {
    /// Counted from 1.
    pub line: usize,
    /// As it stands there.
    pub text: String,
}

impl Capture {
    /// Reads a capture's text.
    pub fn read(text: &str) -> Result<Self, CaptureError> {
        let mut capture = Self::default();
        for (line, text) in (1..).zip(text.lines()) {
            let trimmed = text.trim();
            if trimmed.is_empty() || trimmed.starts_with('#') {
                continue;
            }
            if let Some(name) = trimmed.strip_prefix("profile ") {
                capture.profile = Some(name.trim().to_owned());
                continue;
            }
            let event = event(trimmed).ok_or_else(|| CaptureError {
                line,
                text: text.to_owned(),
            })?;
            capture.events.push(event);
        }
        Ok(capture)
    }

    /// Reads it the way a port is read, and tells what comes out with its time.
    pub fn replay(&self, dialect: &Dialect, mut out: impl FnMut(u64, Replayed<'_>)) {
        let mut intake = Intake::new(dialect.clone());
        let mut last = 0;
        for (at_us, happened) in &self.events {
            let at_us = *at_us;
            // An instrument is asked at its own times; what it was sent is not in the capture.
            while let Some(due) = intake.due().filter(|due| *due <= at_us) {
                intake.tick(due, |received| out(due, Replayed::Received(received)));
                intake.take_send();
            }
            let silence = intake
                .silence_ms()
                .map_or(QUIET_US, |ms| u64::from(ms) * 1000);
            let after_silence = at_us.saturating_sub(last) >= silence;
            if after_silence {
                intake.quiet(at_us, |received| out(at_us, Replayed::Received(received)));
            }
            last = at_us;
            match happened {
                Happened::Opened => intake = Intake::new(dialect.clone()),
                Happened::Bytes(bytes) => {
                    let arrival = Arrival {
                        at_us,
                        after_silence,
                        since_1970: None,
                    };
                    intake.feed(bytes, arrival, |received| {
                        out(at_us, Replayed::Received(received));
                    });
                }
                Happened::Gone => {
                    let partial = intake.partial();
                    out(at_us, Replayed::Gone(partial.as_deref()));
                }
            }
        }
    }
}

/// The file as it is written.
impl fmt::Display for Capture {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(profile) = &self.profile {
            writeln!(f, "profile {profile}")?;
        }
        for (at_us, happened) in &self.events {
            writeln!(f, "{}", line(*at_us, happened))?;
        }
        Ok(())
    }
}

/// One line of a capture.
pub fn line(at_us: u64, happened: &Happened) -> String {
    let time = format!("{}.{:06}", at_us / 1_000_000, at_us % 1_000_000);
    match happened {
        Happened::Opened => format!("{time} opened"),
        Happened::Bytes(bytes) => format!("{time} \"{}\"", bytes.escape_ascii()),
        Happened::Gone => format!("{time} gone"),
    }
}

fn event(text: &str) -> Option<(u64, Happened)> {
    let (time, what) = text.split_once(' ')?;
    let (seconds, part) = time.split_once('.')?;
    let is_time = part.len() == 6 && part.bytes().all(|byte| byte.is_ascii_digit());
    let part: u64 = part.parse().ok().filter(|_| is_time)?;
    let at_us = seconds
        .parse::<u64>()
        .ok()?
        .checked_mul(1_000_000)?
        .checked_add(part)?;
    let happened = match what.trim() {
        "opened" => Happened::Opened,
        "gone" => Happened::Gone,
        quoted => Happened::Bytes(unescape(quoted.strip_prefix('"')?.strip_suffix('"')?)?),
    };
    Some((at_us, happened))
}

fn unescape(text: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte != b'\\' {
            bytes.push(byte);
            continue;
        }
        bytes.push(match rest.next()? {
            b'r' => b'\r',
            b'n' => b'\n',
            b't' => b'\t',
            b'x' => {
                let digits = [rest.next()?, rest.next()?];
                u8::from_str_radix(std::str::from_utf8(&digits).ok()?, 16).ok()?
            }
            same @ (b'\\' | b'"' | b'\'') => same,
            _ => return None,
        });
    }
    Some(bytes)
}

/// What came out of a capture.
#[derive(Debug, Clone, PartialEq)]
pub enum Replayed<'a> {
    /// Something was received.
    Received(Received<'a>),
    /// The port went, in the middle of this.
    Gone(Option<&'a [u8]>),
}

/// In one line, for people and for comparing.
impl fmt::Display for Replayed<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Received(received) => received.fmt(f),
            Self::Gone(None) => f.write_str("gone"),
            Self::Gone(Some(partial)) => {
                write!(
                    f,
                    "gone in the middle of \"{}\": it does not count",
                    shown(partial)
                )
            }
        }
    }
}

/// At most so much of bytes is shown.
fn shown(bytes: &[u8]) -> String {
    let head = bytes.get(..60).unwrap_or(bytes);
    let more = if head.len() < bytes.len() { "…" } else { "" };
    format!("{}{more}", head.escape_ascii())
}

impl fmt::Display for Received<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.what {
            What::Reading(seen) => write!(f, "reading {}", seen.in_words()),
            What::Unreadable(why) => write!(f, "no reading, {why}: \"{}\"", shown(self.raw)),
            What::Rising(seen) => write!(f, "rising {}", seen.in_words()),
            What::Pull(pull) => write!(f, "pull {}", pull.in_words()),
            What::Knock(pull) => write!(f, "knock {}", pull.in_words()),
            What::Unsettled(seen) => write!(f, "does not settle: {}", seen.in_words()),
            What::Back => f.write_str("it answers"),
            What::Gone(why) => f.write_str(why),
            What::Identity(identity) => write!(
                f,
                "it says that it is {}, serial number {}",
                identity.what.as_deref().unwrap_or("(nothing)"),
                identity.serial.as_deref().unwrap_or("(none)")
            ),
        }
    }
}

impl super::seen::Seen {
    fn in_words(&self) -> String {
        let mut text = match (self.number, self.torque) {
            (Some(number), Some(torque)) => format!("{number} = {torque}"),
            (Some(number), None) => number.to_string(),
            _ => "past its range".to_owned(),
        };
        if let Some(counter) = self.counter {
            // writing to a string cannot fail
            let _ = write!(text, ", count {counter}");
        }
        for word in self.words.names() {
            text.push_str(", ");
            text.push_str(word);
        }
        text
    }
}

impl super::pull::Pull {
    fn in_words(&self) -> String {
        let torque = |micro: i64| format!("{}.{:06}", micro / 1_000_000, micro % 1_000_000);
        let mut text = format!(
            "{}, peak {} N·m, {} ms, {} samples, {} a second",
            self.highest
                .torque
                .map_or("past its range".to_owned(), |_| self.torque().to_string()),
            torque(self.peak),
            self.duration() / 1000,
            self.length,
            self.rate
        );
        if let Some(first) = self.first_peak {
            // writing to a string cannot fail
            let _ = write!(text, ", first peak {} N·m", torque(first));
        }
        if let Some((plateau, _)) = self.plateau {
            let _ = write!(text, ", held {} N·m", torque(plateau));
        }
        for (holds, word) in [
            (self.clicked, "clicked"),
            (self.is_repeat, "repeat click"),
            (self.samples_lost, "samples lost: the peak is a lower bound"),
        ] {
            if holds {
                text.push_str(", ");
                text.push_str(word);
            }
        }
        text
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(256) })]

        #[test]
        fn a_capture_reads_back_as_it_was_written(
            pieces in proptest::collection::vec((0_u64..10_000_000, proptest::collection::vec(any::<u8>(), 0..40)), 0..8),
        ) {
            let mut events = vec![(0, Happened::Opened)];
            events.extend(pieces.into_iter().map(|(at, bytes)| (at, Happened::Bytes(bytes))));
            events.push((9, Happened::Gone));
            let capture = Capture { profile: Some("plain-line".to_owned()), events };
            prop_assert_eq!(Capture::read(&capture.to_string()).unwrap(), capture);
        }

        #[test]
        fn no_text_is_too_much(text in "[0-9. \"\\\\xrnopengd\n#]{0,60}") {
            let _ = Capture::read(&text);
        }
    }

    #[test]
    fn a_line_that_cannot_be_read_is_named() {
        let error = Capture::read("# fine\n\n0.5 \"x\"\n").unwrap_err();
        assert_eq!(error.line, 3);
        for text in [
            "0.500000 x",
            "0.500000 \"\\q\"",
            "0.500000 \"\\x1\"",
            "-1.000000 gone",
            "0.+12345 gone",
        ] {
            assert!(Capture::read(text).is_err(), "{text}");
        }
    }
}
