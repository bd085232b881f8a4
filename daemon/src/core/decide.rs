//! What follows from what a tool or its port did.

mod streamed;

pub use streamed::About;

use super::alarm::{Moment, alarm};
use super::bench::Bench;
use super::judge::{judge, weigh};
use super::measure;
use super::place::Placing;
use crate::intake::dialect::Value;
use crate::intake::pull::Pull;
use crate::intake::seen::Seen;
use pullmark_schema::build::Build;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::check::CheckReading;
use pullmark_schema::entry::{Event, Now, Placed, Pulled, Unreadable};
use pullmark_schema::placement::{HeldBecause, Place, Placement};
use pullmark_schema::plan::Step;
use pullmark_schema::reading::{Flag, Origin, Reading};

/// What a tool or its port did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A value came.
    Value {
        /// From which tool.
        tool: String,
        /// The bytes.
        raw: Vec<u8>,
        /// What they say.
        value: Value,
    },
    /// A tool that streams: a pull is over.
    Pull {
        /// From which tool.
        tool: String,
        /// Its samples in few bytes.
        raw: Vec<u8>,
        /// What they show.
        pull: Box<Pull>,
    },
    /// A tool that streams: it was too short for a pull.
    Knock {
        /// From which tool.
        tool: String,
        /// Its samples in few bytes.
        raw: Vec<u8>,
        /// What they show.
        pull: Box<Pull>,
    },
    /// A tool that streams: the highest sample so far of a pull that is under way.
    Rising {
        /// From which tool.
        tool: String,
        /// The sample.
        seen: Seen,
    },
    /// A tool said about itself what no reading says.
    Said {
        /// Which tool.
        tool: String,
        /// What it said.
        about: About,
    },
    /// Bytes came that are no reading.
    Rubbish {
        /// From which tool.
        tool: String,
        /// The bytes.
        raw: Vec<u8>,
        /// Why they are none.
        why: Unreadable,
    },
    /// The port was opened.
    Connected {
        /// Of which tool.
        tool: String,
        /// Where.
        port: String,
    },
    /// The port went away, or cannot be opened.
    Gone {
        /// Of which tool.
        tool: String,
        /// Why.
        why: String,
        /// The beginning of a line that was being received.
        partial: Option<Vec<u8>>,
    },
}

/// An entry to be written, and the bytes that it names by their hash.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decided {
    /// What happened.
    pub event: Event,
    /// The bytes that are kept beside it.
    pub attached: Option<Vec<u8>>,
}

impl From<Event> for Decided {
    fn from(event: Event) -> Self {
        Self {
            event,
            attached: None,
        }
    }
}

/// Decides what follows. It never refuses: whatever a tool does is kept.
pub fn decide(bench: &Bench, input: Input, now: Now) -> Vec<Decided> {
    match input {
        Input::Value { tool, raw, value } => value_came(bench, tool, raw, value, now),
        Input::Pull { tool, raw, pull } => streamed::pulled(bench, tool, raw, &pull, now),
        Input::Knock { tool, raw, pull } => streamed::knocked(bench, tool, raw, &pull, now),
        Input::Rising { tool, seen } => streamed::rose(bench, tool, seen, now),
        Input::Said { tool, about } => streamed::said(bench, tool, about),
        Input::Rubbish { tool, raw, why } => vec![unreadable(tool, raw, why)],
        Input::Connected { tool, port } => vec![Event::ToolConnected { tool, port }.into()],
        Input::Gone { tool, why, partial } => {
            let event = Event::ToolGone {
                tool,
                why,
                partial: partial.as_deref().map(Digest32::of),
            };
            vec![Decided {
                event,
                attached: partial,
            }]
        }
    }
}

fn unreadable(tool: String, raw: Vec<u8>, why: Unreadable) -> Decided {
    Decided {
        event: Event::Unreadable {
            tool,
            why,
            raw: Digest32::of(&raw),
        },
        attached: Some(raw),
    }
}

fn value_came(bench: &Bench, tool: String, raw: Vec<u8>, value: Value, now: Now) -> Vec<Decided> {
    let mut list = Vec::new();
    if let (Some(counter), Some(state)) = (value.counter, bench.tool_states.get(&tool)) {
        // The same count with another value is another reading: a tool that lost its memory counts anew.
        let is_stored = state
            .counted
            .iter()
            .any(|(before, displayed)| *before == counter && *displayed == value.displayed);
        if is_stored && value.flags.contains(&Flag::SentAgain) {
            return vec![unreadable(tool, raw, Unreadable::AlreadyStored)];
        }
        if let Some((before, _)) = state.counted.back()
            && counter > before.saturating_add(1)
        {
            list.push(unreadable(tool.clone(), raw.clone(), Unreadable::CountGap));
        }
    }
    if let Some(unit) = measure::unit_of(bench, &tool, value.displayed.as_ref()) {
        let reading = CheckReading {
            tool,
            origin: Origin::Measured {
                raw: Digest32::of(&raw),
            },
            displayed: value.displayed,
            unit,
            value: None,
            worth: None,
            counter: value.counter,
            flags: value.flags,
        };
        let measured = measure::measured(bench, reading, None, now);
        list.push(Decided {
            event: Event::CheckMeasured(Box::new(measured)),
            attached: Some(raw),
        });
        return list;
    }
    let reading = Reading {
        tool,
        origin: Origin::Measured {
            raw: Digest32::of(&raw),
        },
        displayed: value.displayed,
        adapter: None,
        worth: None,
        applied: value.torque,
        counter: value.counter,
        flags: value.flags,
        trace: None,
    };
    list.extend(pull(bench, reading, None, now).decided(Some(raw)));
    list
}

/// Why a pull against a reference belongs to no fastener.
pub(super) const CHECK: &str = "check against a reference";

/// What follows from a reading.
pub(super) struct Came {
    /// Where it was placed, and its verdict.
    pub(super) pulled: Pulled,
    /// Earlier readings that it clears up.
    cleared: Vec<Placed>,
}

impl Came {
    fn without_build(reading: Reading, placement: Placement) -> Self {
        Self {
            pulled: Pulled {
                reading,
                build: None,
                expected: None,
                gap_ms: None,
                placement,
                verdict: None,
                alarm: None,
            },
            cleared: Vec::new(),
        }
    }

    /// As entries.
    pub(super) fn decided(self, attached: Option<Vec<u8>>) -> impl Iterator<Item = Decided> {
        let pulled = Decided {
            event: Event::Pulled(Box::new(self.pulled)),
            attached,
        };
        let cleared = self.cleared.into_iter().map(Box::new).map(Event::Placed);
        std::iter::once(pulled).chain(cleared.map(Decided::from))
    }
}

/// Places and judges a reading. `chosen` is the fastener that a person named along with it, and who.
pub(super) fn pull(
    bench: &Bench,
    reading: Reading,
    chosen: Option<(Place, String)>,
    now: Now,
) -> Came {
    let today = now.wall.date_naive();
    let reading = weigh(bench, reading, today);
    // Who names a fastener means it, also while the tool is being checked.
    let by = bench.checked_by(&reading.tool);
    if let Some(by) = by.filter(|_| chosen.is_none()) {
        return Came::without_build(
            reading,
            Placement::Nowhere {
                by: by.to_owned(),
                reason: CHECK.to_owned(),
            },
        );
    }
    let Some(build) = bench.served_by(&reading.tool) else {
        return Came::without_build(
            reading,
            Placement::Held {
                because: HeldBecause::NoBuild,
                candidates: Vec::new(),
            },
        );
    };
    let expected = bench.expected(build, &reading.tool);
    let situation = bench.situation(build, &reading, now);
    let placing = match chosen {
        Some((place, by)) => Placing {
            placement: Placement::ByChoice { place, by },
            cleared: Vec::new(),
        },
        None => bench.place(&situation),
    };
    let placement = placing.placement;
    let step = placement.place().and_then(|place| build.step(place));
    let verdict = step.map(|step| judge(bench, &reading, &step, today));
    let moment = Moment::Now(situation, expected);
    let alarm = alarm(build, reading.applied, &placement, moment);
    let cleared = placing
        .cleared
        .into_iter()
        .filter_map(|(earlier, placement)| clear_up(bench, build, earlier, placement, now))
        .collect();
    Came {
        pulled: Pulled {
            build: Some(build.id.clone()),
            expected: expected.as_ref().map(Step::place),
            gap_ms: situation.gap.map(milliseconds),
            placement,
            verdict,
            alarm,
            reading,
        },
        cleared,
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "it was made from whole milliseconds"
)]
fn milliseconds(seconds: f64) -> u64 {
    (seconds * 1000.0).round() as u64
}

/// A reading that waited is placed by what came after it. Nothing that would raise an alarm is placed in this way.
pub(super) fn clear_up(
    bench: &Bench,
    build: &Build,
    reading: u64,
    placement: Placement,
    now: Now,
) -> Option<Placed> {
    let known = &build.readings.get(&reading)?.reading;
    let step = placement.place().and_then(|place| build.step(place))?;
    if alarm(build, known.applied, &placement, Moment::Later).is_some() {
        return None;
    }
    let verdict = judge(bench, known, &step, now.wall.date_naive());
    Some(Placed {
        reading,
        build: build.id.clone(),
        placement,
        verdict: Some(verdict),
        alarm: None,
        confirmed: None,
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
