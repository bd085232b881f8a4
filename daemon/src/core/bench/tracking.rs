//! What the bench's placing hears of each entry, and what it is asked.

use super::super::place::habits;
use super::super::place::{self, Doubt, Placing, Situation, Tracker};
use super::{Bench, is_measured};
use pullmark_schema::build::Build;
use pullmark_schema::entry::{Entry, Event, Now};
use pullmark_schema::placement::{HeldBecause, Placement};
use pullmark_schema::plan::Step;
use pullmark_schema::reading::Reading;

#[expect(
    clippy::cast_precision_loss,
    reason = "a time between pulls, for a model"
)]
fn seconds(milliseconds: u64) -> f64 {
    milliseconds as f64 / 1000.0
}

impl Bench {
    /// What the tracker has to hear while the build does not have the entry yet.
    pub(super) fn track_before(&mut self, entry: &Entry) {
        let Some(id) = entry.event.build() else {
            return;
        };
        let Some(mut tracker) = self.trackers.remove(id) else {
            return;
        };
        if let Some(build) = self.builds.get(id) {
            match &entry.event {
                Event::Pulled(pulled) => {
                    if let Some(now) = entry.now() {
                        let situation = self.situation(build, &pulled.reading, now);
                        tracker.pulled(&situation, entry.sequence, &pulled.placement);
                    }
                }
                Event::Loosened(on) => tracker.undone(build, &on.fastener),
                Event::Disposed {
                    fastener, decision, ..
                } if decision.loosens() => tracker.undone(build, fastener),
                Event::PartSwapped(swapped) => {
                    for fastener in swapped.fasteners.iter().rev() {
                        tracker.undone(build, fastener);
                    }
                }
                _ => {}
            }
        }
        self.trackers.insert(id.to_owned(), tracker);
    }

    /// What it has to hear when the build has it.
    pub(super) fn track_after(&mut self, entry: &Entry) {
        let Some(id) = entry.event.build() else {
            return;
        };
        if let (Event::Reopened(_), Some(build)) = (&entry.event, self.builds.get(id)) {
            let tracker = Tracker::new(build).anew(build);
            self.trackers.insert(id.to_owned(), tracker);
            return;
        }
        let (Some(build), Some(tracker)) = (self.builds.get(id), self.trackers.get_mut(id)) else {
            return;
        };
        let mut told = |sequence: u64, placement: &Placement| {
            if let Some(known) = build.readings.get(&sequence) {
                tracker.told(build, &known.reading.tool, sequence, placement);
            }
        };
        match &entry.event {
            Event::Pulled(pulled) if matches!(pulled.placement, Placement::ByChoice { .. }) => {
                told(entry.sequence, &pulled.placement);
            }
            Event::Placed(placed) => told(placed.reading, &placed.placement),
            Event::Deferred(_) | Event::TakenUp(_) => tracker.waiting_changed(build),
            // What is made and what is open has changed under it.
            Event::PlanChanged(_) | Event::Withdrawn(_) => *tracker = tracker.anew(build),
            Event::BuildFinished { .. } => {
                self.trackers.remove(id);
            }
            _ => {}
        }
    }

    /// What is known when a reading of a build's tool comes.
    pub fn situation<'a>(
        &'a self,
        build: &'a Build,
        reading: &'a Reading,
        now: Now,
    ) -> Situation<'a> {
        let tool = reading.tool.as_str();
        let state = self.tool_states.get(tool);
        let last = state.and_then(|state| state.last.as_ref());
        let deviation = habits::deviation(reading);
        // Only open builds are tracked, so this does not grow with what the shop has built.
        let elsewhere = self
            .trackers
            .iter()
            .filter(|(id, _)| **id != build.id)
            .filter_map(|(id, tracker)| Some((self.builds.get(id)?, tracker)))
            .map(|(other, tracker)| place::fits_next(other, tracker, reading.applied, deviation))
            .reduce(f64::max);
        Situation {
            build,
            tool,
            // When a reading was typed says nothing about when it was pulled.
            gap: last
                .filter(|last| last.is_measured && is_measured(reading))
                .map(|last| seconds(last.age_ms(&self.boot, now))),
            last: build
                .readings
                .values()
                .rev()
                .filter(|known| known.reading.tool == tool)
                .find_map(|known| known.placement.place()),
            at: last
                .filter(|last| build.readings.contains_key(&last.sequence))
                .and_then(|last| last.place.as_ref()),
            torque: reading.applied,
            deviation,
            elsewhere,
        }
    }

    /// What a tool is expected to pull next.
    pub fn expected<'b>(&self, build: &'b Build, tool: &str) -> Option<Step<'b>> {
        let tracker = self.trackers.get(&build.id);
        tracker.map_or_else(|| build.next(), |tracker| tracker.expected(build, tool))
    }

    /// Places a reading.
    pub fn place(&self, situation: &Situation<'_>) -> Placing {
        match self.trackers.get(&situation.build.id) {
            Some(tracker) => tracker.place(situation, &self.habits),
            None => Placing {
                placement: Placement::Held {
                    because: HeldBecause::NothingPlanned,
                    candidates: Vec::new(),
                },
                cleared: Vec::new(),
            },
        }
    }

    /// What becomes clear when a person says where a reading belongs.
    pub fn cleared_by(
        &self,
        build: &Build,
        tool: &str,
        reading: u64,
        placement: &Placement,
    ) -> Vec<(u64, Placement)> {
        self.trackers
            .get(&build.id)
            .map_or_else(Vec::new, |tracker| {
                tracker.cleared_by(build, tool, reading, placement, &self.habits)
            })
    }

    /// What a build shows done and may well have been missed.
    pub fn doubts(&self, build: &str) -> Vec<Doubt> {
        let build = self
            .builds
            .get(build)
            .filter(|build| build.finished.is_none());
        build
            .and_then(|build| Some((build, self.trackers.get(&build.id)?)))
            .map_or_else(Vec::new, |(build, tracker)| {
                place::doubts(build, tracker, &self.habits)
            })
    }
}
