//! What follows from a tool that streams: a pull that is over, a knock, and the alarm before a pull is over.

use super::{Decided, pull, unreadable};
use crate::core::alarm::is_over;
use crate::core::bench::Bench;
use crate::core::judge::at_fastener;
use crate::core::place::habits::HANDS_MOVE;
use crate::intake::pull::Pull;
use crate::intake::seen::Seen;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Alarm, Event, Now, OverNow, Unreadable};
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::{Origin, Reading};
use pullmark_schema::tool::ToolKind;
use pullmark_schema::trace::Trace;
use std::time::Duration;

/// A pull as a reading: the peak as it came is what the bolt got, and the alarm hears of nothing else.
fn reading(bench: &Bench, tool: String, raw: &[u8], found: &Pull) -> Reading {
    let value = found.highest.to_value();
    let is_click_tool = bench
        .tools
        .get(&tool)
        .is_some_and(|tool| tool.kind == ToolKind::Setting);
    let held = found.plateau.map(|(micro, _)| {
        let nearest = micro.saturating_add(500).div_euclid(1000);
        Torque::from_small_units(nearest * found.turn)
    });
    Reading {
        tool,
        origin: Origin::Measured {
            raw: Digest32::of(raw),
        },
        applied: value.torque.map(|_| found.torque()),
        displayed: value.displayed,
        adapter: None,
        worth: None,
        counter: None,
        flags: value.flags,
        trace: Some(Trace {
            samples: u64::try_from(found.length).unwrap_or(u64::MAX),
            rate_hertz: found.rate,
            duration_ms: found.duration() / 1000,
            reached: found.reached(is_click_tool),
            clicked: found.clicked,
            held,
            repeat: found.is_repeat,
            samples_lost: found.samples_lost,
        }),
    }
}

/// A pull is over.
pub(super) fn pulled(
    bench: &Bench,
    tool: String,
    raw: Vec<u8>,
    found: &Pull,
    now: Now,
) -> Vec<Decided> {
    let reading = reading(bench, tool, &raw, found);
    pull(bench, reading, None, now).decided(Some(raw)).collect()
}

/// It was too short for a pull; but a torque above the limit is never explained away.
pub(super) fn knocked(
    bench: &Bench,
    tool: String,
    raw: Vec<u8>,
    found: &Pull,
    now: Now,
) -> Vec<Decided> {
    let reading = reading(bench, tool.clone(), &raw, found);
    let came = pull(bench, reading, None, now);
    if came.pulled.alarm.is_some() {
        return came.decided(Some(raw)).collect();
    }
    vec![unreadable(tool, raw, Unreadable::Knock)]
}

/// A sample during a pull: the alarm, once a pull, at the upper limit of what is expected. Where nobody can have moved the
/// wrench since its last pull, and the torque is not above the limit of the fastener that it is on, the end of the pull decides.
pub(super) fn rose(bench: &Bench, tool: String, seen: Seen, now: Now) -> Vec<Decided> {
    let state = bench.tool_states.get(&tool);
    let is_told = state.is_some_and(|state| state.over_now.is_some());
    let is_checked = bench.checked_by(&tool).is_some();
    let Some(build) = bench.served_by(&tool).filter(|_| !is_told && !is_checked) else {
        return Vec::new();
    };
    let applied = seen.torque.map(|torque| at_fastener(bench, &tool, torque));
    let expected = bench.expected(build, &tool);
    let Some(step) = expected.filter(|step| is_over(applied, step)) else {
        return Vec::new();
    };
    // A pull on another bike says nothing about where the wrench is on this one.
    let last = state
        .and_then(|state| state.last.as_ref())
        .filter(|last| build.readings.contains_key(&last.sequence));
    let is_at_once = last.is_some_and(|last| {
        let at = last.place.as_ref().and_then(|place| build.step(place));
        let seconds = Duration::from_millis(last.age_ms(&bench.boot, now)).as_secs_f64();
        seconds < HANDS_MOVE && at.is_some_and(|at| !is_over(applied, &at))
    });
    if is_at_once {
        return Vec::new();
    }
    let over = OverNow {
        build: build.id.clone(),
        displayed: seen.to_value().displayed,
        applied,
        alarm: Alarm {
            place: step.place(),
            upper: step.fastener.spec.limits.upper,
        },
        tool,
    };
    vec![Event::OverNow(Box::new(over)).into()]
}

/// What a Bluetooth tool said about itself; only where it is something new.
pub(super) fn said(bench: &Bench, tool: String, about: About) -> Vec<Decided> {
    let known = bench
        .tool_states
        .get(&tool)
        .map(|state| &state.about)
        .cloned()
        .unwrap_or_default();
    if known == about {
        return Vec::new();
    }
    let event = Event::ToolSaid {
        tool,
        serial: about.serial,
        what: about.what,
        battery_percent: about.battery_percent,
    };
    vec![event.into()]
}

/// What a tool says about itself.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct About {
    /// The serial number that it carries.
    pub serial: Option<String>,
    /// Its maker, model and firmware.
    pub what: Option<String>,
    /// What is left in its battery.
    pub battery_percent: Option<u8>,
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
