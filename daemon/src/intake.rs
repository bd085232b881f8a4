//! From bytes to readings: [`framing`] cuts a stream into lines, [`dialect`] reads a line by a profile that is data,
//! [`stream`] finds pulls in samples. [`gatt`] reads what Bluetooth LE has adopted, [`teach`] makes a profile from examples,
//! [`capture`] keeps bytes with their times.
//!
//! Nothing here fails and nothing here does IO: rubbish comes out as rubbish, with its bytes, and is kept like
//! everything else.

mod binary;
pub mod capture;
mod checksum;
pub mod dialect;
pub mod framing;
pub mod gatt;
mod matcher;
mod number;
pub mod profiles;
pub mod pull;
pub mod seen;
mod settle;
pub mod stream;
pub mod teach;
pub mod trace;

use binary::Cutter;
use dialect::{Dialect, Line, Reader};
use framing::{Frame, Framer};
use pull::Pull;
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::Meaning;
use pullmark_schema::quantity::{Kind, Stated};
use seen::Seen;
use settle::{Came, Settler};
use stream::{Found, Puller};

/// When bytes arrived.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Arrival {
    /// µs on any clock that only goes forward.
    pub at_us: u64,
    /// The line was quiet before them.
    pub after_silence: bool,
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
    /// A value of another quantity than torque.
    Other(Stated),
    /// A value of another quantity than torque that does not settle.
    Unsettled(Seen),
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
    after: After,
}

/// What happens to a value.
#[derive(Debug)]
struct After {
    dialect: Dialect,
    puller: Option<Puller>,
    /// Finds values of other quantities that have settled, where the tool sends all the time.
    settler: Option<Settler>,
    /// The tool says itself what a pull came to; its samples are for the alarm alone.
    peaks_are_told: bool,
}

impl Intake {
    /// A fresh intake for a port that was just opened.
    pub fn new(dialect: Dialect) -> Self {
        Self {
            framer: Framer::new(&dialect.profile().frame),
            cutter: Cutter::default(),
            after: After {
                puller: dialect.stream().copied().map(Puller::new),
                settler: dialect.settle().map(Settler::new),
                peaks_are_told: dialect.tells_peaks(),
                dialect,
            },
        }
    }

    /// Takes in bytes.
    pub fn feed(&mut self, bytes: &[u8], arrival: Arrival, mut out: impl FnMut(Received<'_>)) {
        let Self {
            framer,
            cutter,
            after,
        } = self;
        let dialect = after.dialect.clone();
        match dialect.reader() {
            Reader::Lines(_) => framer.feed(bytes, arrival.after_silence, |frame| {
                let (raw, line) = read(&dialect, frame);
                after.pass_on(raw, line, arrival.at_us, &mut out);
            }),
            Reader::Frames(layout) => cutter.feed(layout, bytes, |raw, line| {
                after.pass_on(raw, line, arrival.at_us, &mut out);
            }),
            Reader::Adopted => {}
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
        match kind.read(bytes) {
            Ok(Some(gatt::Measured::Torque(seen))) => {
                self.after
                    .pass_on(bytes, Line::Value(seen), at_us, &mut out);
            }
            Ok(Some(gatt::Measured::Other(stated))) => out(Received {
                raw: bytes,
                what: What::Other(stated),
            }),
            Ok(Some(gatt::Measured::Temperature(_)) | None) => {}
            Err(_) => out(Received {
                raw: bytes,
                what: What::Unreadable(Unreadable::NoMatch),
            }),
        }
    }

    /// Nothing came for a while, up to this time: to be called after [`Self::silence_ms`] or [`QUIET_US`] of silence, and
    /// again while it lasts.
    pub fn quiet(&mut self, at_us: u64, mut out: impl FnMut(Received<'_>)) {
        let Self { framer, after, .. } = self;
        let dialect = after.dialect.clone();
        let mut is_whole = true;
        framer.quiet(|frame| {
            // The other half of a line that paused would look like a smaller number. What follows is trusted again
            // after something that looks whole.
            is_whole &= match frame {
                Frame::CutOff(raw) | Frame::Line(raw) => {
                    !matches!(dialect.read(raw), Line::Unreadable(_))
                }
                Frame::TooLong(_) => false,
            };
            let (raw, line) = read(&dialect, frame);
            after.pass_on(raw, line, at_us, &mut out);
        });
        if !is_whole {
            framer.distrust();
        }
        let is_told = after.peaks_are_told;
        if let Some(puller) = &mut after.puller {
            puller.idle(at_us, |found| give(found, &[], is_told, &mut out));
        }
    }

    /// After how many milliseconds of silence [`Self::quiet`] ends a line.
    pub fn silence_ms(&self) -> Option<u32> {
        self.after.dialect.profile().frame.silence_ms
    }

    /// How the tool speaks.
    pub const fn dialect(&self) -> &Dialect {
        &self.after.dialect
    }

    /// The newest sample of the pull that is under way, where the tool streams.
    pub fn newest(&self) -> Option<Seen> {
        self.after.puller.as_ref().and_then(Puller::newest)
    }

    /// What had begun and never ended, for when the port goes: a line, or the trace of a pull. It never counts.
    pub fn partial(&mut self) -> Option<Vec<u8>> {
        let samples = self.after.puller.as_mut().and_then(Puller::partial);
        let line = match self.after.dialect.reader() {
            Reader::Lines(_) => self.framer.partial(),
            Reader::Frames(_) => self.cutter.partial(),
            Reader::Adopted => None,
        };
        samples.map(|samples| trace::pack(&samples)).or(line)
    }
}

fn read<'f>(dialect: &Dialect, frame: Frame<'f>) -> (&'f [u8], Line) {
    match frame {
        Frame::Line(raw) => (raw, dialect.read(raw)),
        Frame::CutOff(raw) => (raw, dialect.read_cut_off(raw)),
        Frame::TooLong(raw) => (raw, Line::Unreadable(Unreadable::TooLong)),
    }
}

impl After {
    fn pass_on(&mut self, raw: &[u8], line: Line, at_us: u64, out: &mut impl FnMut(Received<'_>)) {
        let seen = match line {
            Line::Nothing => return,
            Line::Unreadable(why) => {
                let what = What::Unreadable(why);
                return out(Received { raw, what });
            }
            Line::Value(seen) => seen,
        };
        let is_sample = seen.words.has(Meaning::Track) || seen.words.has(Meaning::Unstable);
        let is_other = seen
            .number
            .is_some_and(|stated| stated.unit.kind != Kind::Torque);
        if is_other {
            return self.pass_on_other(raw, seen, at_us, out);
        }
        let is_told_peak = self.peaks_are_told && !is_sample;
        match &mut self.puller {
            Some(puller) if !is_told_peak => {
                let is_told = self.peaks_are_told;
                puller.push(seen, at_us, |found| give(found, raw, is_told, out));
            }
            _ if is_sample => {}
            _ => out(Received {
                raw,
                what: What::Reading(seen),
            }),
        }
    }
}

impl After {
    /// A value of another quantity than torque: it is no sample of a pull.
    fn pass_on_other(
        &mut self,
        raw: &[u8],
        seen: Seen,
        at_us: u64,
        out: &mut impl FnMut(Received<'_>),
    ) {
        let is_unstable = seen.words.has(Meaning::Unstable);
        let what = match &mut self.settler {
            Some(settler) => match settler.push(&seen, is_unstable, at_us) {
                Came::Nothing => return,
                Came::Settled => What::Reading(seen),
                Came::Unsettled => What::Unsettled(seen),
            },
            None if is_unstable || seen.words.has(Meaning::Track) => return,
            None => What::Reading(seen),
        };
        out(Received { raw, what });
    }
}

fn give(found: Found, raw: &[u8], is_told: bool, out: &mut impl FnMut(Received<'_>)) {
    let (pull, what): (_, fn(_) -> _) = match found {
        Found::Rising(seen) => {
            let what = What::Rising(seen);
            return out(Received { raw, what });
        }
        Found::Pull(_) | Found::Knock(_) if is_told => return,
        Found::Pull(pull) => (pull, What::Pull),
        Found::Knock(pull) => (pull, What::Knock),
    };
    out(Received {
        raw: &pull.pack(),
        what: what(pull),
    });
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
