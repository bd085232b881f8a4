//! What happens to a value once it is read: samples become pulls or come to rest, what cannot be is no value, the rest is a
//! reading.

use super::dialect::{Dialect, Line};
use super::pull::Sample;
use super::seen::Seen;
use super::settle::{Came, Settler};
use super::stream::{Found, Puller};
use super::{Received, What};
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::Meaning;

#[derive(Debug)]
pub(super) struct After {
    dialect: Dialect,
    puller: Option<Puller>,
    /// Finds values of other quantities that have settled, where the tool sends all the time.
    settler: Option<Settler>,
    /// What an instrument that is asked shows when it is first heard was there before.
    is_old: bool,
    /// A tool that sends what its display shows is past its range: over and over, and that is one reading.
    is_past: bool,
    /// The tool says itself what a pull came to; its samples are for the alarm alone.
    peaks_are_told: bool,
}

impl After {
    pub(super) fn new(dialect: Dialect) -> Self {
        Self {
            puller: dialect.stream().copied().map(Puller::new),
            settler: dialect.settle().map(Settler::new),
            peaks_are_told: dialect.tells_peaks(),
            is_old: dialect.is_asked(),
            is_past: false,
            dialect,
        }
    }

    pub(super) fn reopen(&mut self) {
        self.puller = self.dialect.stream().copied().map(Puller::new);
        // What settled before the plug was out is no new value when it is in again: the settler remembers it.
        self.is_old = self.dialect.is_asked();
        // It may be past its range once more; where it is asked, that is told as old.
        self.is_past = false;
    }

    pub(super) const fn dialect(&self) -> &Dialect {
        &self.dialect
    }

    pub(super) fn newest(&self) -> Option<Seen> {
        self.puller.as_ref().and_then(Puller::newest)
    }

    pub(super) fn partial(&mut self) -> Option<Vec<Sample>> {
        self.puller.as_mut().and_then(Puller::partial)
    }

    pub(super) fn idle(&mut self, at_us: u64, out: &mut impl FnMut(Received<'_>)) {
        let is_told = self.peaks_are_told;
        if let Some(puller) = &mut self.puller {
            puller.idle(at_us, |found| give(found, &[], is_told, out));
        }
    }

    pub(super) fn pass_on(
        &mut self,
        raw: &[u8],
        mut line: Line,
        at_us: u64,
        out: &mut impl FnMut(Received<'_>),
    ) {
        self.dialect.plausible(&mut line);
        // Handed on by reference, here and below: copies of a line that was just written wait for the memory they read, and
        // a stream's samples come by the million.
        match &line {
            Line::Nothing => {}
            Line::Unreadable(why) => {
                let what = What::Unreadable(*why);
                out(Received { raw, what });
            }
            Line::Value(seen) => self.value(raw, seen, at_us, out),
        }
    }

    fn value(&mut self, raw: &[u8], seen: &Seen, at_us: u64, out: &mut impl FnMut(Received<'_>)) {
        if seen.is_other() {
            self.other(raw, seen, at_us, out);
        } else if seen.number.is_none() && self.settler.is_some() {
            self.past(raw, seen, out);
        } else {
            self.torque(raw, seen, at_us, out);
        }
    }

    fn torque(&mut self, raw: &[u8], seen: &Seen, at_us: u64, out: &mut impl FnMut(Received<'_>)) {
        let is_sample = seen.words.has(Meaning::Track) || seen.words.has(Meaning::Unstable);
        let is_told_peak = self.peaks_are_told && !is_sample;
        match &mut self.puller {
            Some(puller) if !is_told_peak => {
                let is_told = self.peaks_are_told;
                puller.push(*seen, at_us, |found| give(found, raw, is_told, out));
            }
            _ if is_sample => {}
            _ => out(Received {
                raw,
                what: What::Reading(*seen),
            }),
        }
    }

    /// Past its range, of a tool that sends all the time.
    // Made part of `value`, its copies and those of `other` would be made for every sample of a pull as well.
    #[inline(never)]
    fn past(&mut self, raw: &[u8], seen: &Seen, out: &mut impl FnMut(Received<'_>)) {
        if std::mem::replace(&mut self.is_past, true) {
            return;
        }
        let what = if std::mem::take(&mut self.is_old) {
            What::Unreadable(Unreadable::Stale)
        } else {
            What::Reading(*seen)
        };
        out(Received { raw, what });
    }

    /// A value of another quantity than torque: it is no sample of a pull.
    #[inline(never)]
    fn other(&mut self, raw: &[u8], seen: &Seen, at_us: u64, out: &mut impl FnMut(Received<'_>)) {
        let is_unstable = seen.words.has(Meaning::Unstable);
        self.is_past = false;
        let what = match &mut self.settler {
            Some(settler) => {
                let came = settler.push(seen, is_unstable, at_us);
                let was_old = self.is_old;
                self.is_old &= came == Came::Nothing && !settler.is_at_rest();
                match came {
                    Came::Nothing => return,
                    Came::Settled | Came::Unsettled if was_old => {
                        What::Unreadable(Unreadable::Stale)
                    }
                    Came::Settled => What::Reading(*seen),
                    Came::Unsettled => What::Unsettled(*seen),
                }
            }
            None if is_unstable || seen.words.has(Meaning::Track) => return,
            None => What::Reading(*seen),
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
