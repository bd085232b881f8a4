//! How a fastener stands: what follows from the readings that count.
//!
//! A reading counts unless the fastener was undone after it. The verdict takes the highest pull of those that count,
//! so a second, gentler pull never talks an over reading away.

use super::{Build, BuildReading};
use crate::quantity::Torque;
use crate::verdict::{self, Answer};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// How a fastener stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Nothing counts yet.
    Open,
    /// Some of its passes are done.
    PartWay,
    /// The last pull was under and has to be repeated.
    Under,
    /// All passes done, within the limits.
    Within,
    /// A pull went over, and nobody has decided what follows.
    Over,
    /// A pull went over; a competent person inspected the part and kept it.
    OverKept,
    /// The tool's uncertainty straddles a limit: near the lower one another pull settles it, near the upper one a person.
    Undecided,
    /// The tool's uncertainty straddled the upper limit; a competent person inspected the part and kept it.
    UndecidedKept,
    /// It waits for something.
    Deferred,
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Open => "open",
            Self::PartWay => "part way",
            Self::Under => "under",
            Self::Within => "within",
            Self::Over => "over",
            Self::OverKept => "over, inspected and kept",
            Self::Undecided => "undecided",
            Self::UndecidedKept => "undecided, inspected and kept",
            Self::Deferred => "deferred",
        })
    }
}

impl Standing {
    /// Whether nothing more has to be done before the bike may leave.
    pub const fn is_done(self) -> bool {
        matches!(self, Self::Within | Self::OverKept | Self::UndecidedKept)
    }
}

/// How many fasteners stand how.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Summary {
    /// Fasteners in the plan.
    pub fasteners: u32,
    /// Within their limits.
    pub within: u32,
    /// Over, inspected and kept.
    pub over_kept: u32,
    /// Over, undecided.
    pub over: u32,
    /// Undecided at the upper limit, inspected and kept.
    #[serde(default)]
    pub undecided_kept: u32,
    /// Undecided.
    #[serde(default)]
    pub undecided: u32,
    /// Deferred.
    pub deferred: u32,
    /// Open, part way or under.
    pub open: u32,
}

impl Summary {
    /// Counts one fastener.
    pub const fn count(&mut self, standing: Standing) {
        self.fasteners += 1;
        *match standing {
            Standing::Within => &mut self.within,
            Standing::OverKept => &mut self.over_kept,
            Standing::Over => &mut self.over,
            Standing::UndecidedKept => &mut self.undecided_kept,
            Standing::Undecided => &mut self.undecided,
            Standing::Deferred => &mut self.deferred,
            Standing::Open | Standing::PartWay | Standing::Under => &mut self.open,
        } += 1;
    }
}

impl Build {
    /// The readings that count for a fastener, the oldest first.
    pub fn counting(&self, fastener: &str) -> impl DoubleEndedIterator<Item = &BuildReading> {
        let since = self.last_loosened(fastener);
        self.fastener(fastener)
            .into_iter()
            .flat_map(|state| &state.placed)
            .filter(move |&&sequence| since.is_none_or(|since| sequence > since))
            .filter_map(|sequence| self.readings.get(sequence))
    }

    /// Whether a reading counts where it is placed.
    pub fn counts(&self, reading: &BuildReading) -> bool {
        reading.placement.place().is_some_and(|place| {
            self.fastener(&place.fastener).is_some_and(|state| {
                let undone = state.loosened.last();
                undone.is_none_or(|undone| reading.sequence > undone.sequence)
            })
        })
    }

    fn last_loosened(&self, fastener: &str) -> Option<u64> {
        self.fastener(fastener)
            .and_then(|state| state.loosened.last())
            .map(|act| act.sequence)
    }

    /// Whether the prep of a fastener was confirmed since it was last undone; what was undone needs it anew.
    pub fn is_prepared(&self, fastener: &str) -> bool {
        let since = self.last_loosened(fastener);
        self.fastener(fastener).is_some_and(|done_to| {
            done_to
                .prepared
                .iter()
                .any(|act| since.is_none_or(|since| act.sequence > since))
        })
    }

    /// The highest torque that counts; nothing where none does, or where a tool was past its range.
    pub fn highest(&self, fastener: &str) -> Option<Torque> {
        let hand = self
            .planned(fastener)
            .map(|(_, fastener)| fastener.hand)
            .unwrap_or_default();
        self.counting(fastener)
            .map(|reading| hand.tightening(reading.reading.applied))
            .max_by_key(|applied| {
                // past its range is more than any value
                applied.map_or(i64::MAX, Torque::small_units)
            })?
    }

    /// How many passes of a fastener are done.
    pub fn passes_done(&self, fastener: &str) -> u8 {
        self.counting(fastener)
            .filter(|reading| reading.completes_its_pass())
            .filter_map(|reading| reading.placement.place())
            .map(|place| place.pass.saturating_add(1))
            .max()
            .unwrap_or(0)
    }

    /// How a fastener stands. `Open` for one that the plan does not have.
    pub fn standing(&self, fastener: &str) -> Standing {
        let (Some((stage, planned)), Some(done_to)) =
            (self.planned(fastener), self.fastener(fastener))
        else {
            return Standing::Open;
        };
        // An over reading that still counts is settled only by a decision to keep the part. One that no longer counts is
        // settled by any decision, and undoing the fastener is none.
        let is_settled = |reading: &BuildReading, since: u64| {
            let counts = self.counts(reading);
            let mut after = done_to
                .dispositions
                .iter()
                .filter(|d| d.act.sequence > since);
            after.any(|d| !counts || !d.decision.loosens())
        };
        let mut placed = done_to
            .placed
            .iter()
            .filter_map(|sequence| self.readings.get(sequence));
        // Its figures speak too, whatever its verdict says.
        let over_since = |reading: &BuildReading| {
            let limits = reading.verdict.as_ref().map(|verdict| verdict.limits);
            let limits = limits.unwrap_or(planned.spec.limits);
            let applied = planned.hand.tightening(reading.reading.applied);
            let since = reading.since();
            let is_above = verdict::compare(applied, &limits) == Answer::Over;
            since.over.or_else(|| is_above.then_some(since.answer))
        };
        let is_open = |reading: &BuildReading| {
            over_since(reading).is_some_and(|since| !is_settled(reading, since))
        };
        if placed.any(is_open) {
            return Standing::Over;
        }
        if self
            .counting(fastener)
            .any(|reading| over_since(reading).is_some())
        {
            return Standing::OverKept;
        }
        let may_be_over: Vec<&BuildReading> = self
            .counting(fastener)
            .filter(|reading| reading.may_be_over())
            .collect();
        if may_be_over
            .iter()
            .any(|reading| !is_settled(reading, reading.since().answer))
        {
            return Standing::Undecided;
        }
        if done_to.deferred.is_some() {
            return Standing::Deferred;
        }
        let done = usize::from(self.passes_done(fastener));
        let last = self.counting(fastener).next_back();
        let last_answer = last.and_then(|reading| Some(reading.verdict.as_ref()?.answer));
        if done >= stage.passes.len() {
            if may_be_over.is_empty() {
                Standing::Within
            } else {
                Standing::UndecidedKept
            }
        } else if last_answer == Some(Answer::Under) {
            Standing::Under
        } else if last_answer == Some(Answer::Undecided) {
            Standing::Undecided
        } else if done > 0 {
            Standing::PartWay
        } else {
            Standing::Open
        }
    }

    /// How many fasteners stand how.
    pub fn summary(&self) -> Summary {
        let mut summary = Summary::default();
        for (_, fastener) in self.plan.fasteners() {
            summary.count(self.standing(&fastener.id));
        }
        summary
    }
}
