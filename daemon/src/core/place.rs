//! Which fastener a reading belongs to.
//!
//! A probability for everything that a reading may have been, by Bayes' rule: how often such a pull happens, times how
//! well the time since the last pull fits, times how well the value fits. What earlier readings left open is carried
//! along (`filter`). One that is clearly the best is placed; else the reading is held and a person is asked. The
//! numbers are assumptions about people at a bench ([`habits`]); the over alarm does not depend on them.

mod anew;
mod choice;
mod clear;
mod course;
mod doubts;
mod filter;
mod fit;
pub mod habits;
mod units;

use choice::Choice;
use course::Course;
use filter::{Filter, Seen, What};
use habits::Habits;
use pullmark_schema::build::Build;
use pullmark_schema::placement::{HeldBecause, Place, Placement, PullKind};
use pullmark_schema::plan::{Hand, Step};
use pullmark_schema::quantity::Torque;
use pullmark_schema::verdict::Answer;
use units::Units;

pub use doubts::{Doubt, doubts};

/// What is known when a reading comes.
#[derive(Debug, Clone, Copy)]
pub struct Situation<'a> {
    /// The build that the tool serves.
    pub build: &'a Build,
    /// The tool.
    pub tool: &'a str,
    /// Seconds since the tool's last pull, on whatever bike.
    pub gap: Option<f64>,
    /// Where the tool was placed last on this build, be it some pulls ago.
    pub last: Option<&'a Place>,
    /// Where its very last pull was placed; none while that one waits, or where it was on no fastener of this build.
    pub at: Option<&'a Place>,
    /// The torque; none where the tool was past its range.
    pub torque: Option<Torque>,
    /// The tool's standard deviation, relative.
    pub deviation: f64,
    /// How well the value fits what another bike at the bench waits for.
    pub elsewhere: Option<f64>,
}

/// What has probably been pulled at one build. It is made from the build's entries, as the build itself is.
#[derive(Debug, Clone, PartialEq)]
pub struct Tracker {
    course: Course,
    filter: Filter,
    tools: Vec<String>,
    units: Units,
}

/// Where a reading goes, and which earlier ones it clears up.
#[derive(Debug, Clone, PartialEq)]
pub struct Placing {
    /// Where it goes.
    pub placement: Placement,
    /// Readings that waited and are clear now, by their numbers.
    pub cleared: Vec<(u64, Placement)>,
}

impl Tracker {
    /// A build that has just begun.
    pub fn new(build: &Build) -> Self {
        let course = Course::of(&build.plan);
        let filter = Filter::new(&course);
        Self {
            course,
            filter,
            tools: Vec::new(),
            units: Units::default(),
        }
    }

    fn seen(&self, situation: &Situation<'_>) -> Seen {
        let known = self.tools.iter().position(|tool| tool == situation.tool);
        let number = known.unwrap_or(self.tools.len());
        let pointed = situation.build.pointed.as_ref();
        let pointed = pointed.filter(|pointed| !waits(situation.build, &pointed.fastener));
        let pointed = pointed.and_then(|pointed| {
            let pass = situation.build.passes_done(&pointed.fastener);
            let fastener = pointed.fastener.clone();
            let due = Place { fastener, pass };
            self.course
                .number(&due)
                .or_else(|| self.course.passes(&pointed.fastener).last())
        });
        Seen {
            tool: u16::try_from(number).unwrap_or(u16::MAX),
            gap: situation.gap,
            torque: situation.torque,
            deviation: situation.deviation,
            pointed,
            elsewhere: situation.elsewhere,
        }
    }

    /// Places a reading. Nothing is changed; the tracker hears of it from the entry.
    pub fn place(&self, situation: &Situation<'_>, habits: &Habits) -> Placing {
        let seen = self.seen(situation);
        let outcome = self.filter.weigh(&self.course, &seen);
        let expected = self.expected(situation.build, situation.tool);
        let units = self.units.with(&self.course, situation, expected.as_ref());
        let cleared = self.cleared(situation, &seen, &outcome, habits);
        let choice = Choice {
            tracker: self,
            situation,
            outcome: &outcome,
            pointed: seen.pointed,
            expected,
            cleared: &cleared,
            habits,
        };
        let placement = choice.placement(units);
        let cleared = if placement.is_held() {
            Vec::new()
        } else {
            cleared
        };
        Placing { placement, cleared }
    }

    /// What comes next: what the build shows, or, while a reading of the tool waits, what follows if it was what it most
    /// probably was.
    pub fn expected<'b>(&self, build: &'b Build, tool: &str) -> Option<Step<'b>> {
        let number = self.tools.iter().position(|known| known == tool);
        let is_open_question = build.held().any(|held| held.reading.tool == tool);
        let pull = number
            .filter(|_| is_open_question && build.pointed.is_none())
            .and_then(|number| u16::try_from(number).ok())
            .and_then(|number| self.filter.next(&self.course, number));
        pull.and_then(|pull| {
            let slot = self.course.pulls[pull].slot;
            let mut steps = self.course.slots[slot].steps.iter();
            let at = steps.find(|pull| self.is_open(build, **pull))?;
            build.step(&self.course.pulls[*at].place)
        })
        .or_else(|| build.next())
    }

    /// Takes in a reading that has an entry now.
    pub fn pulled(&mut self, situation: &Situation<'_>, sequence: u64, placement: &Placement) {
        let expected = self.expected(situation.build, situation.tool);
        self.units = self.units.with(&self.course, situation, expected.as_ref());
        let seen = self.seen(situation);
        if usize::from(seen.tool) == self.tools.len() {
            self.tools.push(situation.tool.to_owned());
        }
        let outcome = self.filter.weigh(&self.course, &seen);
        let is_open = !matches!(placement, Placement::ByOrder { .. });
        // Where a person pointed, it is that very fastener.
        let placed = placement
            .place()
            .and_then(|place| self.course.number(place));
        if let Some(pull) = placed.filter(|pull| seen.pointed == Some(*pull)) {
            self.name(pull, situation.torque);
        }
        self.filter
            .take_in(&self.course, &seen, outcome, is_open.then_some(sequence));
    }

    /// A person, or a later reading, said where a reading belongs. `build` has it already.
    pub fn told(&mut self, build: &Build, tool: &str, reading: u64, placement: &Placement) {
        let asked = build
            .readings
            .get(&reading)
            .and_then(|known| known.earlier.last());
        let was_unit = matches!(
            asked,
            Some(Placement::Held {
                because: HeldBecause::OtherUnit,
                ..
            })
        );
        if was_unit {
            self.units = Units::default();
        }
        let place = placement.place();
        let pull = place.and_then(|place| self.course.number(place));
        let is_known = match placement {
            Placement::ByOrder { kind, .. } => {
                let slot = pull.map(|pull| self.course.pulls[pull].slot);
                let is_again = *kind == PullKind::Again;
                self.filter.told(reading, |_, label| match label.what {
                    What::Advance(of) => as_weight(Some(of) == slot && !is_again),
                    What::Again(of) => as_weight(Some(of) == slot && is_again),
                    What::Test | What::OtherBuild => 0.0,
                })
            }
            _ => tell(&self.course, &mut self.filter, reading, pull),
        };
        if !is_known {
            self.put_right(build, reading, pull);
        }
        let number = self.tools.iter().position(|known| known == tool);
        let number = number.and_then(|number| u16::try_from(number).ok());
        if let Some(pull) = pull.filter(|_| matches!(placement, Placement::ByChoice { .. })) {
            let known = build.readings.get(&reading);
            self.name(pull, known.and_then(|known| known.reading.applied));
        }
        let mut later = build.readings.range(reading + 1..).map(|(_, later)| later);
        let is_last = later.all(|later| later.reading.tool != tool);
        if let (Some(pull), Some(number), true) = (pull, number, is_last) {
            let is_under = self.is_open(build, pull);
            self.filter.moved(&self.course, number, pull, is_under);
        }
    }

    /// A person has named the very fastener of a reading. An under makes nothing.
    fn name(&mut self, pull: usize, torque: Option<Torque>) {
        let spec = self.course.spec_of(self.course.pulls[pull].slot);
        if spec.is_made_by(torque) {
            self.filter.is_made(pull);
        }
    }

    /// No hypothesis knows of what a person says: all are put right, and what else they doubt stays.
    fn put_right(&mut self, build: &Build, reading: u64, pull: Option<usize>) {
        let Some(known) = build.readings.get(&reading) else {
            return;
        };
        let slot_of = |place: &Place| {
            let pull = self.course.number(place)?;
            Some(self.course.pulls[pull].slot)
        };
        let makes = |slot: &usize| {
            let spec = self.course.spec_of(*slot);
            spec.is_made_by(known.reading.applied)
        };
        let before = known.earlier.last().and_then(Placement::place);
        let before = before.and_then(slot_of).filter(makes);
        let is_first = |pull: &usize| {
            let place = &self.course.pulls[*pull].place;
            let made = build.counting(&place.fastener).filter(|reading| {
                let verdict = reading.verdict.as_ref();
                reading.placement.place() == Some(place)
                    && verdict.is_some_and(|verdict| verdict.answer != Answer::Under)
            });
            made.count() == 1
        };
        let after = pull
            .filter(is_first)
            .map(|pull| self.course.pulls[pull].slot);
        self.filter.put_right(reading, before, after.filter(makes));
    }

    /// A fastener is about to be undone; `build` does not have it yet.
    pub fn undone(&mut self, build: &Build, fastener: &str) {
        let passes: Vec<usize> = self.course.passes(fastener).collect();
        let Some(&first) = passes.first() else { return };
        let made: Vec<usize> = passes
            .into_iter()
            .filter(|pull| !self.is_open(build, *pull))
            .collect();
        self.filter.undone(&self.course, &made, first);
    }

    /// A fastener waits for something, or no longer. `build` has it already.
    pub fn waiting_changed(&mut self, build: &Build) {
        self.filter
            .rank(&self.course, |fastener| waits(build, fastener));
    }

    /// Whether a planned pull is still to be made, as the build shows it.
    fn is_open(&self, build: &Build, pull: usize) -> bool {
        build.is_open(&self.course.pulls[pull].place)
    }
}

/// A person says at which pull a reading was made, or that it was at none.
fn tell(course: &Course, filter: &mut Filter, reading: u64, pull: Option<usize>) -> bool {
    filter.told(reading, |filter, label| match pull {
        Some(pull) => filter.was_at(label, course, pull),
        None => as_weight(matches!(label.what, What::Test | What::OtherBuild)),
    })
}

/// A deferred fastener is never a candidate.
fn waits(build: &Build, fastener: &str) -> bool {
    build
        .fastener(fastener)
        .is_some_and(|state| state.deferred.is_some())
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 0 and 1 000 000"
)]
pub(super) fn millionths(probability: f64) -> u32 {
    (probability.clamp(0.0, 1.0) * 1e6).round() as u32
}

fn as_weight(holds: bool) -> f64 {
    if holds { 1.0 } else { 0.0 }
}

/// A negative torque on a right-hand thread undoes it.
fn turns_against(torque: Option<Torque>, step: &Step<'_>) -> bool {
    step.fastener.hand == Hand::Right && torque.is_some_and(|torque| torque.small_units() < 0)
}

/// In an early pass, the whole torque: was the early pass left out?
fn skips_a_pass(torque: Option<Torque>, step: &Step<'_>) -> bool {
    let whole = &step.fastener.spec.limits;
    let torque = step.fastener.hand.tightening(torque);
    !step.is_last_pass()
        && torque.is_some_and(|torque| whole.of_pass(step.percent).is_whole(torque, whole))
}

/// How well a value fits what a build waits for, for a reading that came from a tool of another one.
pub fn fits_next(build: &Build, tracker: &Tracker, torque: Option<Torque>, deviation: f64) -> f64 {
    let next = build
        .next()
        .and_then(|step| tracker.course.number(&step.place()));
    next.map_or(0.0, |pull| {
        let spec = tracker.course.spec_of(tracker.course.pulls[pull].slot);
        fit::value(torque, spec, deviation).0
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
