//! Modbus RTU: asks one unit for its registers over and over, and finds the new values among the answers.
//!
//! Frames and CRC as in "Modbus over Serial Line" and the "Application Protocol" of the Modbus Organization (from memory). An
//! answer is known by its address, function and length and proved by its CRC, never by the pauses between bytes: adapters
//! bring bytes in batches. An answer that comes too late is let pass before anything is asked again, so that it is never taken
//! for the answer to another question.
//!
//! A register holds its value all the time, so reading it is no reading. Which of the values is new:
//! - with a `counter`: the count has changed, and is the same before and after the value was read;
//! - with `[stream]`: a pull, from the samples; a peak that stays in the register is one pull, however long it stays;
//! - with `[settle]`: the value has come to rest after it moved.
//!
//! What is there when the unit is first heard is told as stale.

mod registers;

pub(super) use registers::{Registers, release_of};

use super::dialect::{Dialect, Line};
use super::fresh::{Age, Fresh};
use super::number::{Raw, read};
use super::seen::{Seen, Words, line_of};
use super::watch::{Told, Watch};
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::Meaning;
use pullmark_schema::quantity::Stated;
use registers::{Answer, Asked, Step, find, in_words};
use std::sync::Arc;

/// Between an answer and the next question.
const PAUSE_US: u64 = 5_000;
/// An answer is shorter than this.
const LONGEST: usize = 260;
/// Samples of a pull that stop for so long are no longer one pull.
const SILENT_US: u64 = 1_000_000;
/// A binary fraction beyond these is no value of an instrument: its bytes stand in another order.
const TINY: f64 = 1e-9;
const HUGE: f64 = 1e9;
/// One that is at least this large shows that the order is right.
const TELLING: f64 = 1e-6;

/// Asks one unit.
#[derive(Debug)]
pub(super) struct Poller {
    dialect: Dialect,
    registers: Arc<Registers>,
    /// What is under way, and since when.
    asked: Option<(Step, u64)>,
    next: Step,
    next_at: u64,
    cycle_at: u64,
    held: Vec<u8>,
    send: Option<Vec<u8>>,
    count: u64,
    /// The frame of the value, and the value.
    value: Option<(Vec<u8>, Raw)>,
    unit: Option<u64>,
    fresh: Fresh,
    is_proved: bool,
    watch: Watch,
    latch: Latch,
    last_value_at: u64,
}

/// Whether a peak that stays in the register is told already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Latch {
    /// Just opened: nobody knows how old what is there is.
    New,
    /// Let go: the next peak is a new one.
    Free,
    /// So much of it has been seen, µN·m.
    Seen(i64),
    /// So much of it was seen before the unit was silent, which ended the pull, or was told as old before: the same of it is
    /// nothing new, and less is a peak of nobody knows when.
    Silent(i64),
    /// So much of it was seen before the port went, and the pull never ended: not more than this is of nobody knows when.
    Broken(i64),
    /// Told as old. Only more than this is a pull.
    Old(i64),
}

impl Poller {
    pub(super) fn new(dialect: Dialect, registers: Arc<Registers>) -> Self {
        Self {
            next: registers.first(),
            dialect,
            registers,
            asked: None,
            next_at: 0,
            cycle_at: 0,
            held: Vec::new(),
            send: None,
            count: 0,
            value: None,
            unit: None,
            fresh: Fresh::default(),
            is_proved: false,
            watch: Watch::default(),
            latch: Latch::New,
            last_value_at: 0,
        }
    }

    fn restart(&mut self, at: u64) {
        self.asked = None;
        self.held.clear();
        self.next = self.registers.first();
        self.cycle_at = self.cycle_at.max(at);
        self.next_at = self.next_at.max(at);
    }

    /// The port was opened anew. The last count is remembered: what the unit counted meanwhile is new.
    pub(super) fn reopen(&mut self, at: u64) {
        self.restart(at);
        self.next_at = at;
        self.cycle_at = at;
        self.send = None;
        self.latch = match self.latch {
            Latch::Seen(seen) => Latch::Broken(seen),
            Latch::Old(seen) => Latch::Silent(seen),
            Latch::Free | Latch::New => Latch::New,
            latch => latch,
        };
        self.watch.reopen();
    }

    /// When it wants to be looked at.
    pub(super) fn due(&self) -> u64 {
        let timeout = self.registers.timeout;
        self.asked
            .map_or(self.next_at, |(_, since)| since.saturating_add(timeout))
    }

    pub(super) const fn take_send(&mut self) -> Option<Vec<u8>> {
        self.send.take()
    }

    pub(super) fn partial(&mut self) -> Option<Vec<u8>> {
        let held = std::mem::take(&mut self.held);
        (!held.is_empty()).then_some(held)
    }

    /// Asks, or gives up waiting.
    pub(super) fn tick(&mut self, at: u64, mut out: impl FnMut(&[u8], Told)) {
        let registers = Arc::clone(&self.registers);
        if let Some((step, since)) = self.asked {
            if at < since.saturating_add(registers.timeout) {
                return;
            }
            self.unanswered(&registers, step, at, &mut out);
        }
        if at < self.next_at {
            return;
        }
        let Some(asked) = registers.asked(self.next) else {
            return;
        };
        self.held.clear();
        self.asked = Some((self.next, at));
        self.send = Some(asked.question.clone());
    }

    fn unanswered(
        &mut self,
        registers: &Registers,
        step: Step,
        at: u64,
        out: &mut impl FnMut(&[u8], Told),
    ) {
        let held = std::mem::take(&mut self.held);
        let echo = registers.asked(step).map(|asked| asked.question.as_slice());
        let is_silent = held.is_empty() || Some(held.as_slice()) == echo;
        let who = registers.who();
        let why = if is_silent {
            format!(
                "{who} does not answer: is it switched on, are both wires right, is its address {}, and its speed and parity as in the profile?",
                registers.address
            )
        } else {
            if self.watch.keeps(at) {
                out(&held, Told::Line(Line::Unreadable(Unreadable::Checksum)));
            }
            format!(
                "{who} answers with garbled bytes: check the wires and their ends, the speed and the parity"
            )
        };
        self.failed(why, out);
        // Whatever comes late has passed by then.
        self.restart(at);
        self.next_at = at.saturating_add(registers.timeout);
    }

    fn failed(&mut self, why: String, out: &mut impl FnMut(&[u8], Told)) {
        if self.watch.fault() {
            out(&[], Told::Gone(why));
        }
    }

    /// Takes in bytes.
    pub(super) fn feed(&mut self, bytes: &[u8], at: u64, mut out: impl FnMut(&[u8], Told)) {
        let Some((step, _)) = self.asked else {
            // Nobody asked: an answer that comes too late. The line has to be quiet before the next question.
            self.next_at = self.next_at.max(at.saturating_add(PAUSE_US));
            return;
        };
        let room = LONGEST.saturating_sub(self.held.len());
        self.held
            .extend_from_slice(bytes.get(..room).unwrap_or(bytes));
        let registers = Arc::clone(&self.registers);
        let Some(asked) = registers.asked(step) else {
            return;
        };
        let held = std::mem::take(&mut self.held);
        match find(asked, &held) {
            None => self.held = held,
            Some(Answer::Exception { frame, code }) => {
                if self.watch.keeps(at) {
                    out(frame, Told::Line(Line::Unreadable(Unreadable::Refused)));
                }
                let why = format!("{} refuses to answer: {}", registers.who(), in_words(code));
                self.failed(why, &mut out);
                self.restart(at);
                self.next_at = at.saturating_add(registers.every.max(PAUSE_US));
            }
            Some(Answer::Data { frame, data }) => {
                self.asked = None;
                self.next_at = at.saturating_add(PAUSE_US);
                self.answered(&registers, asked, step, (frame, data), at, &mut out);
            }
        }
    }

    fn answered(
        &mut self,
        registers: &Registers,
        asked: &Asked,
        step: Step,
        (frame, data): (&[u8], &[u8]),
        at: u64,
        out: &mut impl FnMut(&[u8], Told),
    ) {
        match step {
            Step::Count => {
                self.count = asked.whole(data).unwrap_or_default();
                if self.fresh.is(self.count) {
                    self.good(out);
                    self.cycle_over(registers, at);
                } else {
                    self.next = Step::Value;
                }
                return;
            }
            Step::Value => {
                let raw = read(asked.field, data).unwrap_or(Raw::Nothing);
                self.value = Some((frame.to_vec(), raw));
                if registers.unit.is_some() {
                    self.next = Step::Unit;
                    return;
                }
            }
            Step::Unit => self.unit = asked.whole(data),
            Step::CountAgain => {
                if asked.whole(data) == Some(self.count) {
                    let age = self.fresh.look(self.count, asked.counts());
                    self.evaluate(registers, Some(age), at, out);
                    self.cycle_over(registers, at);
                } else {
                    // It changed while it was read: the value may be of either count.
                    self.next = Step::Count;
                }
                return;
            }
        }
        if registers.counter.is_some() {
            self.next = Step::CountAgain;
        } else {
            self.evaluate(registers, None, at, out);
            self.cycle_over(registers, at);
        }
    }

    fn good(&mut self, out: &mut impl FnMut(&[u8], Told)) {
        if self.watch.good() {
            out(&[], Told::Back);
        }
    }

    fn cycle_over(&mut self, registers: &Registers, at: u64) {
        self.next = registers.first();
        // In step, and after a pause anew.
        self.cycle_at = (self.cycle_at + registers.every).max(at.saturating_add(PAUSE_US));
        self.next_at = self.cycle_at;
    }

    fn evaluate(
        &mut self,
        registers: &Registers,
        age: Option<Age>,
        at: u64,
        out: &mut impl FnMut(&[u8], Told),
    ) {
        let Some((frame, raw)) = self.value.take() else {
            return;
        };
        let line = self.line(registers, raw, age.map(|_| self.count));
        if let Line::Unreadable(why) = line {
            // With a count it is one that is new; else it is one of many a second.
            if age.is_some() || self.watch.keeps(at) {
                out(&frame, Told::Line(line));
            }
            let who = registers.who();
            return self.failed(format!("the values of {who} cannot be: {why}"), out);
        }
        self.good(out);
        match age {
            None => self.sampled(registers, &frame, line, at, out),
            Some(Age::Same) => {}
            Some(Age::First | Age::Restarted) => self.stale(&frame, line, out),
            // That counts are missing is seen where all that is stored is known.
            Some(Age::Next | Age::Missed) => {
                if self.watch.gives() {
                    out(&[], Told::Back);
                }
                out(&frame, Told::Line(line.or_unreadable()));
            }
        }
    }

    fn stale(&self, frame: &[u8], line: Line, out: &mut impl FnMut(&[u8], Told)) {
        // A unit that has counted nothing yet holds nothing old.
        if self.count > 0 && line != Line::Nothing {
            out(frame, Told::Line(Line::Unreadable(Unreadable::Stale)));
        }
    }

    /// One of the samples of a pull, or of a display that may come to rest.
    fn sampled(
        &mut self,
        registers: &Registers,
        frame: &[u8],
        line: Line,
        at: u64,
        out: &mut impl FnMut(&[u8], Told),
    ) {
        let silent = at.saturating_sub(std::mem::replace(&mut self.last_value_at, at));
        let (Some(release), Line::Value(seen)) = (registers.release, line) else {
            return out(frame, Told::Line(line));
        };
        if let Latch::Seen(seen) | Latch::Old(seen) = self.latch
            && silent >= SILENT_US
        {
            self.latch = Latch::Silent(seen);
        }
        // Past its range is more than anything that was seen.
        let size = seen.micro().map_or(i64::MAX, i64::saturating_abs);
        if size < release {
            self.latch = Latch::Free;
        }
        match self.latch {
            Latch::Old(before) if size <= before => {}
            Latch::Silent(before) if size == before => {}
            Latch::New => self.old(frame, size, out),
            Latch::Silent(before) | Latch::Broken(before) if size <= before => {
                self.old(frame, size, out);
            }
            Latch::Free if size < release => out(frame, Told::Line(line)),
            // More than was seen of it: somebody pulls.
            Latch::Free | Latch::Silent(_) | Latch::Broken(_) | Latch::Old(_) => {
                self.latch = Latch::Seen(size);
                out(frame, Told::Line(line));
            }
            Latch::Seen(before) => {
                self.latch = Latch::Seen(before.max(size));
                out(frame, Told::Line(line));
            }
        }
    }

    /// A peak that was there before, told once.
    fn old(&mut self, frame: &[u8], size: i64, out: &mut impl FnMut(&[u8], Told)) {
        self.latch = Latch::Old(size);
        out(frame, Told::Line(Line::Unreadable(Unreadable::Stale)));
    }

    fn line(&mut self, registers: &Registers, raw: Raw, counter: Option<u64>) -> Line {
        let is_none = match raw {
            Raw::Whole(whole) => registers.no_value == Some(whole),
            Raw::Nothing => true,
            _ => false,
        };
        if is_none {
            return Line::Nothing;
        }
        let seen = Seen {
            counter,
            ..Seen::default()
        };
        if raw == Raw::PastRange {
            return Line::Value(Seen {
                words: Words::default().with(Meaning::OverRange),
                ..seen
            });
        }
        let raw = match raw {
            Raw::Float(float) if float != 0.0 => match float.abs() {
                // What a filter leaves at rest, among samples.
                size if size < TINY && self.is_proved && counter.is_none() => Raw::Float(0.0),
                size if !(TINY..HUGE).contains(&size) => {
                    return Line::Unreadable(Unreadable::Implausible);
                }
                size => {
                    self.is_proved |= size >= TELLING;
                    raw
                }
            },
            raw => raw,
        };
        let spelling = self.unit.map_or_else(String::new, |unit| unit.to_string());
        let known = registers.units.iter().find(|(known, _)| *known == spelling);
        let Some((_, unit)) = known else {
            return Line::Unreadable(Unreadable::UnknownUnit);
        };
        let Some(value) = raw.decimal(registers.exponent) else {
            return Line::Unreadable(Unreadable::BadNumber);
        };
        let mut line = line_of(Stated { value, unit }, seen);
        self.dialect.plausible(&mut line);
        line
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
