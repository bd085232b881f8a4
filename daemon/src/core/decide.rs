//! What follows from what a tool or its port did.

use super::bench::Bench;
use super::judge::judge;
use super::place::{self, Situation};
use crate::intake::dialect::Value;
use pullmark_schema::build::Build;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Alarm, Event, Now, Pulled, Unreadable};
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
    let reading = Reading {
        tool,
        origin: Origin::Measured {
            raw: Digest32::of(&raw),
        },
        displayed: value.displayed,
        applied: value.torque,
        counter: value.counter,
        flags: value.flags,
    };
    let pulled = pull(bench, reading, None, now);
    list.push(Decided {
        event: Event::Pulled(Box::new(pulled)),
        attached: Some(raw),
    });
    list
}

/// Places and judges a reading. `chosen` is the fastener that a person named along with it, and who.
pub(super) fn pull(
    bench: &Bench,
    reading: Reading,
    chosen: Option<(Place, String)>,
    now: Now,
) -> Pulled {
    let Some(build) = bench.served_by(&reading.tool) else {
        let placement = Placement::Held {
            because: HeldBecause::NoBuild,
            candidates: Vec::new(),
        };
        return Pulled {
            reading,
            build: None,
            expected: None,
            placement,
            verdict: None,
            alarm: None,
        };
    };
    let expected = build.next();
    let placement = match chosen {
        Some((place, by)) => Placement::ByChoice { place, by },
        None => place_by_itself(bench, build, &reading, now),
    };
    let step = placement.place().and_then(|place| build.step(place));
    let verdict = step.as_ref().map(|step| {
        judge(
            &reading,
            bench.tools.get(&reading.tool),
            step,
            now.wall.date_naive(),
        )
    });
    let alarm = alarm(build, &reading, expected.as_ref(), &placement);
    Pulled {
        build: Some(build.id.clone()),
        expected: expected.as_ref().map(Step::place),
        placement,
        verdict,
        alarm,
        reading,
    }
}

fn place_by_itself(bench: &Bench, build: &Build, reading: &Reading, now: Now) -> Placement {
    let last = bench
        .tool_states
        .get(&reading.tool)
        .and_then(|state| state.last.as_ref());
    // A pull on another bike is nothing to repeat on this one.
    let last = last.filter(|last| build.readings.contains_key(&last.sequence));
    let last =
        last.and_then(|last| Some((last.place.as_ref()?, seconds(last.age_ms(&bench.boot, now)))));
    let earlier_held = build.held().any(|held| held.reading.tool == reading.tool);
    place::place(&Situation {
        build,
        last,
        torque: reading.applied,
        earlier_held,
    })
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a time between pulls, for a model"
)]
fn seconds(milliseconds: u64) -> f64 {
    milliseconds as f64 / 1000.0
}

/// The over alarm: above the upper limit of the expected fastener, whatever the placement says; or of where it was
/// placed; or, while it is held, of the likeliest fastener. A test pull may be likelier, and explains nothing away.
pub(super) fn alarm(
    build: &Build,
    reading: &Reading,
    expected: Option<&Step<'_>>,
    placement: &Placement,
) -> Option<Alarm> {
    let likeliest = match placement {
        Placement::Held { candidates, .. } => candidates
            .iter()
            .find_map(|candidate| candidate.place.as_ref()),
        placed => placed.place(),
    };
    let likeliest = likeliest.and_then(|place| build.step(place));
    expected
        .into_iter()
        .chain(likeliest.as_ref())
        .find(|step| is_over(reading, step))
        .map(|step| Alarm {
            place: step.place(),
            upper: step.fastener.spec.limits.upper,
        })
}

fn is_over(reading: &Reading, step: &Step<'_>) -> bool {
    match step.fastener.hand.tightening(reading.applied) {
        Some(torque) => torque > step.fastener.spec.limits.upper,
        None => true,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
