//! Instruments that are asked as IEEE 488.2 has it: `*IDN?`, a question for the value, `SYST:ERR?` (SCPI-99; all from memory).
//!
//! What is asked for is there all the time, so an answer is no reading by itself. Which of them is new, the profile says with
//! exactly one of: an item of the answer that counts (`counter`), `[stream]`, `[settle]`, or `each`, where the instrument answers
//! only when somebody has measured.

mod queries;

pub(super) use queries::Queries;

use super::QUIET_US;
use super::blocks::{Blocks, Message};
use super::dialect::{Dialect, Line};
use super::fresh::{Age, Fresh};
use super::watch::{Identity, Told, Watch};
use pullmark_schema::entry::Unreadable;
use std::sync::Arc;

/// Between an answer and the next question.
const PAUSE_US: u64 = 1_000;
/// How often the queue of errors is looked at.
const ERRORS_EVERY_US: u64 = 2_000_000;
/// Where an answer comes only when somebody has measured: an instrument that was switched off and on has forgotten the
/// question, and is asked again after this long. No answer for so long says nothing about whether it is there.
const ASK_AGAIN_US: u64 = 600_000_000;
/// A question took the place of one that was not answered (SCPI-99, from memory).
const INTERRUPTED: i64 = -410;
/// So many errors are taken out at once; a queue that never empties is no queue.
const MOST_ERRORS: u32 = 30;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    Identity,
    Value,
    Error,
}

/// Speaks with one instrument.
#[derive(Debug)]
pub(super) struct Talker {
    dialect: Dialect,
    queries: Arc<Queries>,
    blocks: Blocks,
    asked: Option<(Step, u64)>,
    next: Step,
    next_at: u64,
    cycle_at: u64,
    errors_at: u64,
    errors: u32,
    send: Option<Vec<u8>>,
    fresh: Fresh,
    watch: Watch,
    name: Option<String>,
    /// The first error that was taken out of the queue, until it is told.
    complaint: Option<String>,
    /// It was asked again before it had answered, and may complain about that.
    was_interrupted: bool,
}

impl Talker {
    pub(super) fn new(dialect: Dialect, queries: Arc<Queries>) -> Self {
        let mut talker = Self {
            dialect,
            queries,
            blocks: Blocks::default(),
            asked: None,
            next: Step::Value,
            next_at: 0,
            cycle_at: 0,
            errors_at: 0,
            errors: 0,
            send: None,
            fresh: Fresh::default(),
            watch: Watch::default(),
            name: None,
            complaint: None,
            was_interrupted: false,
        };
        talker.reopen(0);
        talker
    }

    /// The port was opened anew. The last count is remembered.
    pub(super) fn reopen(&mut self, at: u64) {
        self.blocks = Blocks::default();
        self.asked = None;
        self.send = None;
        self.next = if self.queries.identity {
            Step::Identity
        } else {
            Step::Value
        };
        // What is still under way from before is the answer to nothing.
        let begin = at.saturating_add(QUIET_US);
        (self.next_at, self.cycle_at, self.errors_at) = (begin, begin, begin);
        self.errors = 0;
        self.complaint = None;
        self.watch.reopen();
    }

    pub(super) fn due(&self) -> u64 {
        match self.asked {
            None => self.next_at,
            Some((Step::Value, since)) if self.queries.each => since.saturating_add(ASK_AGAIN_US),
            Some((_, since)) => since.saturating_add(self.queries.timeout),
        }
    }

    pub(super) const fn take_send(&mut self) -> Option<Vec<u8>> {
        self.send.take()
    }

    pub(super) fn partial(&mut self) -> Option<Vec<u8>> {
        self.blocks.partial()
    }

    pub(super) fn tick(&mut self, at: u64, mut out: impl FnMut(&[u8], Told)) {
        if let Some((step, _)) = self.asked {
            if at < self.due() {
                return;
            }
            if step == Step::Value && self.queries.each {
                self.was_interrupted = true;
            } else {
                self.unanswered(step, at, &mut out);
            }
        }
        if at < self.next_at {
            return;
        }
        let question = match self.next {
            Step::Identity => b"*IDN?\n".to_vec(),
            Step::Value => self.queries.ask.clone(),
            Step::Error => b"SYST:ERR?\n".to_vec(),
        };
        self.blocks = Blocks::default();
        self.asked = Some((self.next, at));
        self.send = Some(question);
    }

    fn who(&self) -> String {
        self.name
            .clone()
            .unwrap_or_else(|| "the instrument".to_owned())
    }

    fn unanswered(&mut self, step: Step, at: u64, out: &mut impl FnMut(&[u8], Told)) {
        self.asked = None;
        let partial = self.blocks.partial();
        if let Some(held) = partial.as_deref().filter(|_| self.watch.keeps(at)) {
            out(held, Told::Line(Line::Unreadable(Unreadable::CutOff)));
        }
        // Whatever comes late has passed by then; and an instrument that understands nothing says so in its queue.
        self.next_at = at.saturating_add(self.queries.timeout.min(2_000_000));
        self.next = match step {
            Step::Value if self.queries.errors => Step::Error,
            _ => Step::Value,
        };
        self.errors = 0;
        if self.watch.fault() {
            let why = format!(
                "{} does not answer {}: is it switched on, and are the port, its speed and the question as in the profile?",
                self.who(),
                self.queries.ask.trim_ascii_end().escape_ascii()
            );
            out(&[], Told::Gone(why));
        }
    }

    pub(super) fn feed(&mut self, bytes: &[u8], at: u64, mut out: impl FnMut(&[u8], Told)) {
        let mut blocks = std::mem::take(&mut self.blocks);
        blocks.feed(bytes, |message| self.message(message, at, &mut out));
        self.blocks = blocks;
    }

    fn message(&mut self, message: Message<'_>, at: u64, out: &mut impl FnMut(&[u8], Told)) {
        let Some((step, _)) = self.asked.take() else {
            // Nobody asked: it comes too late, and is the answer to nothing. Where each answer is somebody's pull it is kept.
            if let (true, Message::Whole(raw)) = (self.queries.each, message) {
                out(raw, Told::Line(Line::Unreadable(Unreadable::Stale)));
            }
            self.next_at = self.next_at.max(at.saturating_add(PAUSE_US));
            return;
        };
        self.next_at = at.saturating_add(PAUSE_US);
        let raw = match message {
            Message::Whole(raw) => raw,
            Message::TooLong(raw) => {
                if self.watch.keeps(at) {
                    out(raw, Told::Line(Line::Unreadable(Unreadable::TooLong)));
                }
                if self.watch.fault() {
                    let why = format!(
                        "{} sends more than an answer may hold: ask for one value",
                        self.who()
                    );
                    out(&[], Told::Gone(why));
                }
                return self.rest(at);
            }
        };
        match step {
            Step::Identity => self.identified(raw, out),
            Step::Value => self.answered(raw, at, out),
            Step::Error => self.error(raw, at, out),
        }
    }

    fn identified(&mut self, raw: &[u8], out: &mut impl FnMut(&[u8], Told)) {
        let identity = identity(raw);
        self.name.clone_from(&identity.what);
        out(raw, Told::Identity(identity));
        self.next = Step::Value;
    }

    fn answered(&mut self, raw: &[u8], at: u64, out: &mut impl FnMut(&[u8], Told)) {
        let (mut line, count) = self.queries.read(raw);
        self.dialect.plausible(&mut line);
        match (line, count) {
            (_, Some(count)) => self.counted(raw, line, count, out),
            _ if self.queries.each => self.fresh_answer(raw, line, out),
            _ => self.sample(raw, line, at, out),
        }
        // Where it answers only when somebody has measured, the next time may be long after.
        let is_time = self.queries.each || at >= self.errors_at;
        if self.queries.errors && is_time {
            self.errors = 0;
            self.next = Step::Error;
        } else {
            self.rest(at);
        }
    }

    /// One of the samples of a pull, or of a display that may settle.
    fn sample(&mut self, raw: &[u8], line: Line, at: u64, out: &mut impl FnMut(&[u8], Told)) {
        match line {
            Line::Nothing => self.good(out),
            Line::Unreadable(why) => {
                if self.watch.keeps(at) {
                    out(raw, Told::Line(line));
                }
                self.unread(why, out);
            }
            Line::Value(_) => {
                self.good(out);
                out(raw, Told::Line(line));
            }
        }
    }

    /// An answer that is new; also where it is no value it is told.
    fn fresh_answer(&mut self, raw: &[u8], line: Line, out: &mut impl FnMut(&[u8], Told)) {
        if let Line::Unreadable(why) = line {
            out(raw, Told::Line(line));
            return self.unread(why, out);
        }
        if self.watch.gives() {
            out(&[], Told::Back);
        }
        // Somebody has measured: that there is no value is told too.
        out(raw, Told::Line(line.or_unreadable()));
    }

    fn unread(&mut self, why: Unreadable, out: &mut impl FnMut(&[u8], Told)) {
        if self.watch.fault() {
            let why = format!("the answers of {} cannot be read: {why}", self.who());
            out(&[], Told::Gone(why));
        }
    }

    fn counted(&mut self, raw: &[u8], line: Line, count: u64, out: &mut impl FnMut(&[u8], Told)) {
        match self.fresh.look(count, 0) {
            Age::Same => self.good(out),
            Age::First | Age::Restarted => {
                self.good(out);
                if count > 0 && line != Line::Nothing {
                    out(raw, Told::Line(Line::Unreadable(Unreadable::Stale)));
                }
            }
            // That counts are missing is seen where all that is stored is known.
            Age::Next | Age::Missed => self.fresh_answer(raw, line, out),
        }
    }

    /// Until it is time to ask again.
    fn rest(&mut self, at: u64) {
        self.next = Step::Value;
        self.cycle_at = (self.cycle_at + self.queries.every).max(at.saturating_add(PAUSE_US));
        self.next_at = self.cycle_at;
    }

    fn good(&mut self, out: &mut impl FnMut(&[u8], Told)) {
        if self.watch.good() {
            out(&[], Told::Back);
        }
    }

    fn error(&mut self, raw: &[u8], at: u64, out: &mut impl FnMut(&[u8], Told)) {
        let text = String::from_utf8_lossy(raw);
        let code = text
            .split(',')
            .next()
            .map(str::trim)
            .and_then(|code| code.parse::<i64>().ok());
        let is_last = code == Some(0) || code.is_none() || self.errors >= MOST_ERRORS;
        let is_ours = code == Some(INTERRUPTED) && std::mem::take(&mut self.was_interrupted);
        if code != Some(0) && !is_ours {
            out(raw, Told::Line(Line::Unreadable(Unreadable::Refused)));
            self.complaint.get_or_insert_with(|| in_words(&text));
        }
        if !is_last {
            self.errors += 1;
            self.next = Step::Error;
            return;
        }
        self.was_interrupted = false;
        self.errors_at = at.saturating_add(ERRORS_EVERY_US);
        if let Some(complaint) = self.complaint.take() {
            let why = format!("{} reports an error: {complaint}", self.who());
            if self.watch.complains() {
                out(&[], Told::Gone(why));
            }
        }
        self.rest(at);
    }
}

/// An error of the queue as it stands, without what cannot be shown.
fn in_words(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_control())
        .take(120)
        .collect::<String>()
        .trim()
        .to_owned()
}

/// Maker, model, serial number, firmware; 0 where it does not know (IEEE 488.2, 10.14, from memory).
fn identity(raw: &[u8]) -> Identity {
    let text = String::from_utf8_lossy(raw);
    let fields: Vec<String> = text
        .splitn(4, ',')
        .map(|field| in_words(field).trim_matches('"').to_owned())
        .collect();
    let known = |at: usize| {
        fields
            .get(at)
            .filter(|field| !field.is_empty() && *field != "0")
    };
    let words: Vec<&str> = [0, 1, 3]
        .into_iter()
        .filter_map(known)
        .map(String::as_str)
        .collect();
    Identity {
        serial: known(2).cloned(),
        what: (!words.is_empty()).then(|| words.join(", ")),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
