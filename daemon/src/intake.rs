//! From bytes to readings: [`framing`] cuts a stream into lines, [`dialect`] reads a line by a profile that is data,
//! [`stream`] finds pulls in samples, `settle` values that have come to rest. `modbus` and `scpi` ask instruments, `senml`
//! and `json` read what sensors publish, [`keys`] reads tools that type. [`gatt`] reads what Bluetooth LE has adopted, [`teach`] makes a profile from examples,
//! [`capture`] keeps bytes with their times.
//!
//! Nothing here fails and nothing here does IO: rubbish comes out as rubbish, with its bytes, and is kept like
//! everything else.

mod after;
mod asker;
mod binary;
mod blocks;
pub mod capture;
mod checksum;
pub mod dialect;
pub mod framing;
mod fresh;
pub mod gatt;
mod json;
pub mod keys;
mod matcher;
mod modbus;
mod number;
pub mod profiles;
pub mod pull;
mod scpi;
pub mod seen;
mod senml;
mod settle;
pub mod stream;
pub mod teach;
pub mod trace;
mod watch;

pub use watch::Identity;

use after::After;
use asker::Asker;
use binary::Cutter;
use dialect::{Dialect, Line, Reader};
use framing::{Frame, Framer};
use fresh::{Age, Fresh};
use keys::{Typed, Typist};
use pull::Pull;
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::Meaning;
use seen::{Seen, Words};
use watch::Told;

/// When bytes arrived.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Arrival {
    /// µs on any clock that only goes forward.
    pub at_us: u64,
    /// The line was quiet before them.
    pub after_silence: bool,
    /// Seconds since 1970, where they are known: for what says itself when it was measured.
    pub since_1970: Option<i64>,
}

/// How a message comes from a broker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Delivery {
    /// As it is published.
    Fresh,
    /// It was kept for whoever comes: nobody knows how old it is.
    Retained,
    /// It was taken in before, and is delivered once more.
    Again,
    /// It is delivered once more, and nobody knows whether it was taken in before.
    Doubtful,
}

/// What came out of a stream of bytes.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A reading.
    Reading(Seen),
    /// No reading, and why.
    Unreadable(Unreadable),
    /// During a pull: the highest so far, unfiltered.
    Rising(Seen),
    /// A pull is over.
    Pull(Box<Pull>),
    /// It was too short to be one.
    Knock(Box<Pull>),
    /// A value of another quantity than torque that does not settle.
    Unsettled(Seen),
    /// An instrument that is asked answers.
    Back,
    /// It does not answer as it should, and what to do.
    Gone(String),
    /// It says who it is.
    Identity(Identity),
}

/// What came out of a stream of bytes, and the bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct Received<'a> {
    /// The bytes of the line without its terminator, or of the frame; for a pull, its trace in few bytes.
    pub raw: &'a [u8],
    /// What they say.
    pub what: What,
}

/// A pause of so many µs means that the line was quiet.
pub const QUIET_US: u64 = 50_000;

/// A port's bytes on their way to readings.
#[derive(Debug)]
pub struct Intake {
    framer: Framer,
    cutter: Cutter,
    typist: Option<Typist>,
    asker: Option<Asker>,
    frames: Frames,
}

/// Reads what is cut out of a stream, and remembers what keeps a value from being taken twice.
#[derive(Debug)]
struct Frames {
    came: senml::Came,
    fresh: Fresh,
    after: After,
}

impl Intake {
    /// A fresh intake for a port that was just opened.
    pub fn new(dialect: Dialect) -> Self {
        Self {
            framer: Framer::new(&dialect.profile().frame),
            cutter: Cutter::default(),
            typist: dialect.keyboard().cloned().map(Typist::new),
            asker: Asker::new(&dialect),
            frames: Frames {
                came: senml::Came::default(),
                fresh: Fresh::default(),
                after: After::new(dialect),
            },
        }
    }

    /// The same port was opened anew. What is remembered is what keeps a value from being taken twice.
    pub fn reopen(&mut self, at_us: u64) {
        let dialect = self.dialect().clone();
        self.framer = Framer::new(&dialect.profile().frame);
        self.cutter = Cutter::default();
        self.typist = dialect.keyboard().cloned().map(Typist::new);
        if let Some(asker) = &mut self.asker {
            asker.reopen(at_us);
        }
        self.frames.after.reopen();
    }

    /// Takes in bytes.
    pub fn feed(&mut self, bytes: &[u8], arrival: Arrival, mut out: impl FnMut(Received<'_>)) {
        self.tick(arrival.at_us, &mut out);
        let at_us = arrival.at_us;
        let Self {
            framer,
            cutter,
            typist,
            asker,
            frames,
        } = self;
        let after = &mut frames.after;
        match (asker, typist) {
            (Some(asker), _) => asker.feed(bytes, at_us, |raw, told| {
                pass(after, raw, told, at_us, &mut out);
            }),
            (_, Some(typist)) => typist.feed(bytes, |typed| {
                let (raw, line) = match typed {
                    Typed::Line(text, events) => (events, after.dialect().read(text.as_bytes())),
                    Typed::NoLine(events) => (events, Line::Unreadable(Unreadable::NoMatch)),
                };
                after.pass_on(raw, line, at_us, &mut out);
            }),
            _ => {
                let dialect = after.dialect().clone();
                match dialect.reader() {
                    Reader::Frames(layout) => cutter.feed(layout, bytes, |raw, line| {
                        after.pass_on(raw, line, at_us, &mut out);
                    }),
                    Reader::Adopted => {}
                    _ => framer.feed(bytes, arrival.after_silence, |frame| {
                        frames.read(&dialect, frame, arrival, &mut out);
                    }),
                }
            }
        }
    }

    /// Takes in what a broker delivers: one message is one line, one list or one frame.
    pub fn message(
        &mut self,
        payload: &[u8],
        delivery: Delivery,
        arrival: Arrival,
        mut out: impl FnMut(Received<'_>),
    ) {
        let raw = match self.dialect().reader() {
            // A frame may end with any byte.
            Reader::Frames(_) => payload,
            _ => without_end(payload),
        };
        let longest = self.dialect().longest_message();
        let why = match delivery {
            Delivery::Fresh | Delivery::Doubtful if raw.len() <= longest => None,
            Delivery::Fresh | Delivery::Doubtful => Some(Unreadable::TooLong),
            Delivery::Retained => Some(Unreadable::Stale),
            Delivery::Again => Some(Unreadable::AlreadyStored),
        };
        match why {
            None => {
                let is_doubtful = delivery == Delivery::Doubtful;
                self.frames.message(raw, arrival, &mut |received| {
                    out(if is_doubtful {
                        doubted(received)
                    } else {
                        received
                    });
                });
            }
            Some(why) => out(Received {
                raw: raw.get(..longest).unwrap_or(raw),
                what: What::Unreadable(why),
            }),
        }
    }

    /// Takes in what a characteristic notified that needs no profile.
    pub fn characteristic(
        &mut self,
        kind: gatt::Carrier,
        bytes: &[u8],
        at_us: u64,
        mut out: impl FnMut(Received<'_>),
    ) {
        let line = match kind.read(bytes) {
            Ok(Some(gatt::Measured::Torque(seen))) => Line::Value(seen),
            Ok(Some(gatt::Measured::Other(stated))) => Line::Value(Seen::other(stated)),
            Ok(None) if kind.is_past_range(bytes) => Line::Value(Seen {
                words: Words::default().with(Meaning::OverRange),
                ..Seen::default()
            }),
            Ok(Some(gatt::Measured::Temperature(_)) | None) => Line::Nothing,
            Err(_) => Line::Unreadable(Unreadable::NoMatch),
        };
        self.frames.after.pass_on(bytes, line, at_us, &mut out);
    }

    /// When an instrument wants to be asked, or given up: [`Self::tick`] then. Nothing where none is asked.
    pub fn due(&self) -> Option<u64> {
        self.asker.as_ref().map(Asker::due)
    }

    /// Asks, where it is time to. What is to be sent is in [`Self::take_send`].
    pub fn tick(&mut self, at_us: u64, mut out: impl FnMut(Received<'_>)) {
        let Self { asker, frames, .. } = self;
        let after = &mut frames.after;
        if let Some(asker) = asker {
            asker.tick(at_us, |raw, told| pass(after, raw, told, at_us, &mut out));
        }
    }

    /// What is to be sent to the instrument now.
    pub fn take_send(&mut self) -> Option<Vec<u8>> {
        self.asker.as_mut().and_then(Asker::take_send)
    }

    /// Nothing came for a while, up to this time: to be called after [`Self::silence_ms`] or [`QUIET_US`] of silence, and
    /// again while it lasts.
    pub fn quiet(&mut self, at_us: u64, mut out: impl FnMut(Received<'_>)) {
        let dialect = self.dialect().clone();
        let arrival = Arrival {
            at_us,
            ..Arrival::default()
        };
        let mut is_whole = true;
        let Self { framer, frames, .. } = self;
        framer.quiet(|frame| {
            // The other half of a line that paused would look like a smaller number. What follows is trusted again
            // after something that looks whole.
            is_whole &= match frame {
                Frame::CutOff(raw) | Frame::Line(raw) => {
                    !matches!(dialect.read(raw), Line::Unreadable(_))
                }
                Frame::TooLong(_) => false,
            };
            frames.read(&dialect, frame, arrival, &mut out);
        });
        if !is_whole {
            framer.distrust();
        }
        frames.after.idle(at_us, &mut out);
    }

    /// After how many milliseconds of silence [`Self::quiet`] ends a line.
    pub fn silence_ms(&self) -> Option<u32> {
        self.dialect().profile().frame.silence_ms
    }

    /// How the tool speaks.
    pub const fn dialect(&self) -> &Dialect {
        self.frames.after.dialect()
    }

    /// The newest sample of the pull that is under way, where the tool streams.
    pub fn newest(&self) -> Option<Seen> {
        self.frames.after.newest()
    }

    /// What had begun and never ended, for when the port goes: a line, or the trace of a pull. It never counts.
    pub fn partial(&mut self) -> Option<Vec<u8>> {
        let samples = self.frames.after.partial();
        let line = match (&mut self.asker, &mut self.typist) {
            (Some(asker), _) => asker.partial(),
            (_, Some(typist)) => typist.partial(),
            _ => match self.frames.after.dialect().reader() {
                Reader::Frames(_) => self.cutter.partial(),
                _ => self.framer.partial(),
            },
        };
        samples.map(|samples| trace::pack(&samples)).or(line)
    }
}

impl Frames {
    /// What a message holds: a line, a list, or any number of frames.
    fn message(&mut self, raw: &[u8], arrival: Arrival, out: &mut impl FnMut(Received<'_>)) {
        let dialect = self.after.dialect().clone();
        let Reader::Frames(layout) = dialect.reader() else {
            return self.read(&dialect, Frame::Line(raw), arrival, out);
        };
        let mut cutter = Cutter::default();
        cutter.feed(layout, raw, |raw, line| {
            self.after.pass_on(raw, line, arrival.at_us, out);
        });
        if let Some(rest) = cutter.partial() {
            let line = Line::Unreadable(Unreadable::NoMatch);
            self.after.pass_on(&rest, line, arrival.at_us, out);
        }
    }

    fn read(
        &mut self,
        dialect: &Dialect,
        frame: Frame<'_>,
        arrival: Arrival,
        out: &mut impl FnMut(Received<'_>),
    ) {
        let Self { came, fresh, after } = self;
        let (raw, is_cut_off) = match frame {
            Frame::Line(raw) => (raw, false),
            Frame::CutOff(raw) => (raw, true),
            Frame::TooLong(raw) => {
                let line = Line::Unreadable(Unreadable::TooLong);
                return after.pass_on(raw, line, arrival.at_us, out);
            }
        };
        let mut give = |line: Line| {
            let line = match line {
                Line::Unreadable(_) if is_cut_off => Line::Unreadable(Unreadable::CutOff),
                line => line,
            };
            after.pass_on(raw, line, arrival.at_us, out);
        };
        match dialect.reader() {
            Reader::Senml(_) | Reader::Json(_) if raw.trim_ascii().is_empty() => {}
            Reader::Senml(reader) => {
                #[expect(
                    clippy::cast_precision_loss,
                    reason = "seconds since 1970 are far below 2^53"
                )]
                let now = arrival.since_1970.map(|seconds| seconds as f64);
                reader.read(raw, now, came, give);
            }
            Reader::Json(reader) if reader.counts() => counted(reader.read(raw), fresh, give),
            _ if is_cut_off => give(dialect.read_cut_off(raw)),
            _ => give(dialect.read(raw)),
        }
    }
}

fn without_end(payload: &[u8]) -> &[u8] {
    let raw = payload.strip_suffix(b"\n").unwrap_or(payload);
    raw.strip_suffix(b"\r").unwrap_or(raw)
}

/// Marked as sent again: where it has a count, that tells whether it is stored already.
fn doubted(received: Received<'_>) -> Received<'_> {
    let what = match received.what {
        What::Reading(seen) => What::Reading(sent_again(seen)),
        what => what,
    };
    Received { what, ..received }
}

fn sent_again(seen: Seen) -> Seen {
    Seen {
        words: seen.words.with(Meaning::SentAgain),
        ..seen
    }
}

/// A value with a count of its own: the same count is the same value, unless what is stored of it says otherwise.
fn counted((line, count): (Line, Option<u64>), fresh: &mut Fresh, mut give: impl FnMut(Line)) {
    match count.map(|count| fresh.look(count, 0)) {
        Some(Age::Same) => give(match line {
            Line::Value(seen) => Line::Value(sent_again(seen)),
            line => line,
        }),
        _ => give(line),
    }
}

fn pass(after: &mut After, raw: &[u8], told: Told, at_us: u64, out: &mut impl FnMut(Received<'_>)) {
    let what = match told {
        Told::Line(line) => return after.pass_on(raw, line, at_us, out),
        Told::Gone(why) => What::Gone(why),
        Told::Back => What::Back,
        Told::Identity(identity) => What::Identity(identity),
    };
    out(Received { raw, what });
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
