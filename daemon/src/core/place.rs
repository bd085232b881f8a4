//! Which fastener a reading belongs to.
//!
//! A probability for everything that a reading may have been, by Bayes' rule: how often such a pull happens, times how
//! well the time since the last pull fits, times how well the value fits. What earlier readings left open is carried
//! along ([`filter`]). One that is clearly the best is placed; else the reading is held and a person is asked. The
//! numbers are assumptions about people at a bench ([`habits`]); the over alarm does not depend on them.

mod course;
mod filter;
mod fit;
pub mod habits;
mod units;

use course::Course;
use filter::{Filter, Label, Outcome, Seen, What};
use habits::Habits;
use pullmark_schema::build::{Build, BuildReading};
use pullmark_schema::placement::{Candidate, HeldBecause, Place, Placement, PullKind, Why};
use pullmark_schema::plan::{Hand, Step};
use pullmark_schema::quantity::Torque;
use pullmark_schema::verdict::{Answer, Rule, compare};
use units::Units;

/// How many candidates are kept with a placement.
const KEPT: usize = 5;
/// Candidates below this are not worth a line.
const WORTH_A_LINE: f64 = 1e-3;
/// A reading that waits concerns what comes after it from this probability on.
const CONCERNS: f64 = 0.01;

/// What is known when a reading comes.
#[derive(Debug, Clone, Copy)]
pub struct Situation<'a> {
    /// The build that the tool serves.
    pub build: &'a Build,
    /// The tool.
    pub tool: &'a str,
    /// Seconds since the tool's last pull, on whatever bike.
    pub gap: Option<f64>,
    /// Where the tool's last pull on this build was placed.
    pub last: Option<&'a Place>,
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
        let pointed = situation.build.pointed.as_ref().and_then(|pointed| {
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
        let expected = situation.build.next();
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

    /// What becomes clear about readings that wait. One that raised an alarm waits for a person, whatever comes.
    fn cleared(
        &self,
        situation: &Situation<'_>,
        seen: &Seen,
        outcome: &Outcome,
        habits: &Habits,
    ) -> Vec<(u64, Placement)> {
        let build = situation.build;
        let waiting: Vec<_> = waiting(build, situation.tool).collect();
        if waiting.is_empty() {
            return Vec::new();
        }
        let mut after = self.filter.clone();
        after.take_in(&self.course, seen, outcome.clone(), None);
        self.clear_all(build, waiting.into_iter(), &after, None, habits)
    }

    /// What becomes clear when a person says where a reading belongs. Nothing is changed.
    pub fn cleared_by(
        &self,
        build: &Build,
        tool: &str,
        reading: u64,
        placement: &Placement,
        habits: &Habits,
    ) -> Vec<(u64, Placement)> {
        let mut others = waiting(build, tool)
            .filter(|held| held.sequence != reading)
            .peekable();
        if others.peek().is_none() {
            return Vec::new();
        }
        let pull = placement
            .place()
            .and_then(|place| self.course.number(place));
        let mut after = self.filter.clone();
        if !self.tell(&mut after, reading, pull) {
            return Vec::new();
        }
        self.clear_all(build, others, &after, pull, habits)
    }

    fn clear_all<'b>(
        &self,
        build: &'b Build,
        waiting: impl Iterator<Item = &'b BuildReading>,
        after: &Filter,
        taken: Option<usize>,
        habits: &Habits,
    ) -> Vec<(u64, Placement)> {
        let mut taken: Vec<usize> = taken.into_iter().collect();
        let mut list = Vec::new();
        for held in waiting {
            let shares = after.waiting(held.sequence);
            if let Some((pull, placement)) = self.clear(build, held, &shares, &taken, habits) {
                taken.push(pull);
                list.push((held.sequence, placement));
            }
        }
        list
    }

    fn tell(&self, filter: &mut Filter, reading: u64, pull: Option<usize>) -> bool {
        let course = &self.course;
        filter.told(reading, |filter, label| match pull {
            Some(pull) => filter.was_at(label, course, pull),
            None => as_weight(matches!(label.what, What::Test | What::OtherBuild)),
        })
    }

    /// What a reading was, where that is clear by now.
    fn clear(
        &self,
        build: &Build,
        held: &BuildReading,
        shares: &[(Label, f64)],
        taken: &[usize],
        habits: &Habits,
    ) -> Option<(usize, Placement)> {
        let (label, _) = shares.first()?;
        // How many of a slot were made before is not the question here.
        let alike = shares.iter().filter(|(other, _)| other.what == label.what);
        let share: f64 = alike.map(|(_, share)| share).sum();
        let (slot, is_new) = match label.what {
            What::Advance(slot) => (slot, true),
            What::Again(slot) => (slot, false),
            What::Test | What::OtherBuild => return None,
        };
        let spec = self.course.slots[slot].spec;
        let of_spec = |label: &Label| match label.what {
            What::Advance(of) | What::Again(of) => self.course.slots[of].spec == spec,
            What::Test | What::OtherBuild => false,
        };
        let same_spec = shares.iter().filter(|(other, _)| of_spec(other));
        let same_spec: f64 = same_spec.map(|(_, share)| share).sum();
        if same_spec < habits.clear || share < habits.alike {
            return None;
        }
        let mut steps = self.course.slots[slot].steps.iter().copied();
        let pull = if is_new {
            steps.find(|pull| self.is_open(build, *pull) && !taken.contains(pull))?
        } else {
            // Once more the one that the tool was at, or the only one there is.
            let earlier = build.readings.range(..held.sequence).rev();
            let at = earlier
                .map(|(_, earlier)| earlier)
                .find(|earlier| earlier.reading.tool == held.reading.tool)
                .and_then(|earlier| self.course.number(earlier.placement.place()?))
                .or(taken.last().copied())
                .filter(|pull| self.course.pulls[*pull].slot == slot);
            match at {
                Some(pull) => pull,
                None => {
                    let only = steps.next()?;
                    steps.next().is_none().then_some(only)?
                }
            }
        };
        let place = self.course.pulls[pull].place.clone();
        let step = build.step(&place)?;
        let torque = held.reading.applied;
        if turns_against(torque, &step) || skips_a_pass(torque, &step) {
            return None;
        }
        let placement = Placement::ByOrder {
            place,
            kind: if is_new {
                PullKind::OutOfOrder
            } else {
                PullKind::Again
            },
            probability_millionths: millionths(share),
            why: None,
            others: Vec::new(),
        };
        Some((pull, placement))
    }

    /// Takes in a reading that has an entry now.
    pub fn pulled(&mut self, situation: &Situation<'_>, sequence: u64, placement: &Placement) {
        let expected = situation.build.next();
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
        let mut filter = self.filter.clone();
        let is_known = match placement {
            Placement::ByOrder { kind, .. } => {
                let slot = pull.map(|pull| self.course.pulls[pull].slot);
                let is_again = *kind == PullKind::Again;
                filter.told(reading, |_, label| match label.what {
                    What::Advance(of) => as_weight(Some(of) == slot && !is_again),
                    What::Again(of) => as_weight(Some(of) == slot && is_again),
                    What::Test | What::OtherBuild => 0.0,
                })
            }
            _ => self.tell(&mut filter, reading, pull),
        };
        self.filter = filter;
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
        if compare(spec.hand.tightening(torque), &spec.limits, Rule::Simple) != Answer::Under {
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
            let torque = spec.hand.tightening(known.reading.applied);
            compare(torque, &spec.limits, Rule::Simple) != Answer::Under
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

/// A deferred fastener is never a candidate.
fn waits(build: &Build, fastener: &str) -> bool {
    build
        .fastener(fastener)
        .is_some_and(|state| state.deferred.is_some())
}

/// Readings of a tool that later ones may clear up. One that raised an alarm waits for a person, whatever comes.
fn waiting<'b>(build: &'b Build, tool: &str) -> impl Iterator<Item = &'b BuildReading> {
    build.held().filter(move |held| {
        let may_clear = matches!(
            held.placement,
            Placement::Held {
                because: HeldBecause::Unclear | HeldBecause::EarlierHeld,
                ..
            }
        );
        may_clear
            && held.reading.tool == tool
            && !build
                .alarms
                .iter()
                .any(|alarm| alarm.reading == held.sequence)
    })
}

/// Where to put a reading, given how probable each thing is.
struct Choice<'a> {
    tracker: &'a Tracker,
    situation: &'a Situation<'a>,
    outcome: &'a Outcome,
    pointed: Option<usize>,
    expected: Option<Step<'a>>,
    cleared: &'a [(u64, Placement)],
    habits: &'a Habits,
}

/// A candidate and its exact probability.
type Weighed = (Candidate, f64);

impl Choice<'_> {
    fn placement(&self, units: Units) -> Placement {
        let candidates = self.candidates();
        let held = |because| Placement::Held {
            because,
            candidates: first(&candidates),
        };
        if units.is_other() {
            return held(HeldBecause::OtherUnit);
        }
        if self.expected.is_none() && self.situation.last.is_none() {
            return held(HeldBecause::NothingPlanned);
        }
        let Some((best, share)) = candidates.first() else {
            return held(HeldBecause::NothingPlanned);
        };
        let step = best
            .place
            .as_ref()
            .and_then(|place| self.situation.build.step(place));
        let (Some(place), Some(step)) = (&best.place, step) else {
            return held(HeldBecause::Unclear);
        };
        if turns_against(self.situation.torque, &step) {
            return held(HeldBecause::WrongWay);
        }
        if skips_a_pass(self.situation.torque, &step) || self.begins_with_a_later_pass(&step) {
            return held(HeldBecause::PassSkipped);
        }
        if !self.is_clear(best, *share) {
            return held(HeldBecause::Unclear);
        }
        if self.waits_for_an_answer(place) {
            return held(HeldBecause::EarlierHeld);
        }
        Placement::ByOrder {
            place: place.clone(),
            kind: best.kind,
            probability_millionths: best.probability_millionths,
            why: best.why,
            others: first(&candidates[1..]),
        }
    }

    /// Clear enough to be placed. Where the others are pulls to the same spec less will do: how many of them there were
    /// shows in what follows, and what is then still in doubt is asked for before the bike leaves.
    fn is_clear(&self, best: &Candidate, share: f64) -> bool {
        if share >= self.habits.clear {
            return true;
        }
        let course = &self.tracker.course;
        let pull = best.place.as_ref().and_then(|place| course.number(place));
        let Some(slot) = pull.map(|pull| course.pulls[pull].slot) else {
            return false;
        };
        let spec = course.slots[slot].spec;
        let shares = &self.outcome.shares;
        let alike = (0..course.slots.len()).filter(|slot| course.slots[*slot].spec == spec);
        let of_spec: f64 = alike
            .map(|slot| shares.of(What::Advance(slot)) + shares.of(What::Again(slot)))
            .sum();
        of_spec >= self.habits.clear && share >= self.habits.alike
    }

    /// A reading of this tool waits that may concern the same fasteners: which of them it was is part of the question.
    fn waits_for_an_answer(&self, place: &Place) -> bool {
        let Some(pull) = self.tracker.course.number(place) else {
            return false;
        };
        let slot = self.tracker.course.pulls[pull].slot;
        self.situation.build.held().any(|held| {
            let cleared = self
                .cleared
                .iter()
                .find(|(number, _)| *number == held.sequence);
            match cleared {
                // It becomes clear now; but where it completed a pull of the same slot, this one would be the one after it.
                Some((_, placement)) => self.completes(held, placement, slot),
                None => self
                    .tracker
                    .filter
                    .waits_about(held.sequence, slot, CONCERNS),
            }
        })
    }

    fn completes(&self, held: &BuildReading, placement: &Placement, slot: usize) -> bool {
        let course = &self.tracker.course;
        let pull = placement.place().and_then(|place| course.number(place));
        pull.is_some_and(|pull| {
            let spec = course.spec_of(slot);
            let torque = spec.hand.tightening(held.reading.applied);
            course.pulls[pull].slot == slot
                && compare(torque, &spec.limits, Rule::Simple) != Answer::Under
        })
    }

    /// A pass is begun and the one before was not made. Once that is answered, the others of the stage follow.
    fn begins_with_a_later_pass(&self, step: &Step<'_>) -> bool {
        if step.pass == 0 {
            return false;
        }
        let before = Place {
            fastener: step.fastener.id.clone(),
            pass: step.pass - 1,
        };
        let goes_on = self.situation.last.is_some_and(|last| {
            last.pass == step.pass
                && self
                    .situation
                    .build
                    .step(last)
                    .is_some_and(|last| last.stage.id == step.stage.id)
        });
        self.situation.build.is_open(&before) && !goes_on
    }

    /// Everything it may have been, the likeliest first.
    fn candidates(&self) -> Vec<Weighed> {
        let shares = &self.outcome.shares;
        let slots = 0..self.tracker.course.slots.len();
        let mut list: Vec<Weighed> = Vec::with_capacity(8);
        for slot in slots {
            self.add_slot(slot, &mut list);
        }
        let nowhere = [
            (PullKind::Test, shares.of(What::Test)),
            (PullKind::OtherBuild, shares.of(What::OtherBuild)),
        ];
        for (kind, share) in nowhere {
            if share >= WORTH_A_LINE {
                list.push(self.candidate(kind, None, share, None));
            }
        }
        list.sort_by(|a, b| b.1.total_cmp(&a.1));
        list
    }

    fn add_slot(&self, slot: usize, list: &mut Vec<Weighed>) {
        let advance = self.outcome.shares.of(What::Advance(slot));
        let mut again = self.outcome.shares.of(What::Again(slot));
        if advance + again < WORTH_A_LINE {
            return;
        }
        if let Some(pull) = self
            .pointed
            .filter(|pull| self.tracker.course.pulls[*pull].slot == slot)
        {
            // Whether it was tight before is another question.
            let kind = if self.tracker.is_open(self.situation.build, pull) {
                PullKind::Next
            } else {
                PullKind::Again
            };
            let place = self.tracker.course.pulls[pull].place.clone();
            list.push(self.candidate(kind, Some(place), advance + again, Some(slot)));
            return;
        }
        match self.open_pull(slot) {
            Some(pull) => {
                let place = self.tracker.course.pulls[pull].place.clone();
                let is_expected = self.expected.is_some_and(|step| step.place() == place);
                let kind = if is_expected {
                    PullKind::Next
                } else {
                    PullKind::OutOfOrder
                };
                if advance >= WORTH_A_LINE {
                    list.push(self.candidate(kind, Some(place), advance, Some(slot)));
                }
            }
            // The build shows all of them done, one of them perhaps by a repeat click on another.
            None => again += advance,
        }
        if again < WORTH_A_LINE {
            return;
        }
        let last = self.situation.last.filter(|last| {
            let pull = self.tracker.course.number(last);
            pull.is_some_and(|pull| self.tracker.course.pulls[pull].slot == slot)
        });
        if let Some(last) = last.filter(|last| !waits(self.situation.build, &last.fastener)) {
            let place = Some(last.clone());
            list.push(self.candidate(PullKind::Repeat, place, again, Some(slot)));
            return;
        }
        // Which of several it was does not show.
        let tight: Vec<&Place> = self.tight(slot).collect();
        for place in &tight {
            let share = again / f64::from(u32::try_from(tight.len()).unwrap_or(u32::MAX));
            if share >= WORTH_A_LINE {
                let place = Some((*place).clone());
                list.push(self.candidate(PullKind::Again, place, share, Some(slot)));
            }
        }
    }

    fn candidate(
        &self,
        kind: PullKind,
        place: Option<Place>,
        share: f64,
        slot: Option<usize>,
    ) -> Weighed {
        let fits = &self.outcome.fits;
        let course = &self.tracker.course;
        let fresh = slot.map(|slot| fits.fresh(course, slot));
        let tight = slot.map(|slot| fits.tight(course, slot));
        let (time, value) = match kind {
            PullKind::Next | PullKind::OutOfOrder => (fits.times.step, fresh),
            PullKind::Repeat => (fits.times.repeat, tight),
            PullKind::Again => (fits.times.step, tight),
            PullKind::Test => (fits.times.step, Some(fits.any)),
            PullKind::OtherBuild => (fits.times.step, self.situation.elsewhere),
        };
        let weight = share * self.outcome.total;
        let why = value
            .filter(|value| weight * time * value > 0.0)
            .map(|value| {
                let (time, value) = (time.ln(), value.ln());
                Why {
                    order: thousandths(weight.ln() - time - value),
                    time: thousandths(time),
                    value: thousandths(value),
                }
            });
        let candidate = Candidate {
            kind,
            place,
            probability_millionths: millionths(share),
            why,
        };
        (candidate, share)
    }

    /// The pull of a slot that the build shows to come next.
    fn open_pull(&self, slot: usize) -> Option<usize> {
        let course = &self.tracker.course;
        let expected = self
            .expected
            .and_then(|step| course.number(&step.place()))
            .filter(|pull| course.pulls[*pull].slot == slot);
        let last = self.situation.last.and_then(|last| course.number(last));
        let steps = &course.slots[slot].steps;
        let is_open = |pull: &&usize| self.tracker.is_open(self.situation.build, **pull);
        expected
            .or_else(|| {
                let later = |pull: &&usize| last.is_none_or(|last| **pull >= last);
                steps.iter().filter(later).find(is_open).copied()
            })
            .or_else(|| steps.iter().find(is_open).copied())
    }

    fn tight(&self, slot: usize) -> impl Iterator<Item = &Place> {
        let course = &self.tracker.course;
        course.slots[slot]
            .steps
            .iter()
            .filter(|pull| !self.tracker.is_open(self.situation.build, **pull))
            .map(|pull| &course.pulls[*pull].place)
            .filter(|place| !waits(self.situation.build, &place.fastener))
    }
}

/// A negative torque on a right-hand thread undoes it.
fn turns_against(torque: Option<Torque>, step: &Step<'_>) -> bool {
    step.fastener.hand == Hand::Right && torque.is_some_and(|torque| torque.small_units() < 0)
}

/// In an early pass, a value within the limits of the whole torque: was the early pass left out?
fn skips_a_pass(torque: Option<Torque>, step: &Step<'_>) -> bool {
    let whole = &step.fastener.spec.limits;
    !step.is_last_pass()
        && whole.lower.is_some()
        && torque.is_some()
        && compare(torque, whole, Rule::Simple) == Answer::Within
}

fn first(candidates: &[Weighed]) -> Vec<Candidate> {
    candidates
        .iter()
        .take(KEPT)
        .map(|(candidate, _)| candidate.clone())
        .collect()
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a logarithm of a double is below 1000"
)]
fn thousandths(logarithm: f64) -> i32 {
    (logarithm * 1000.0).round() as i32
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 0 and 1 000 000"
)]
pub(super) fn millionths(probability: f64) -> u32 {
    (probability.clamp(0.0, 1.0) * 1e6).round() as u32
}

/// A fastener that is shown done and may have been missed.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Which.
    pub fastener: String,
    /// How probable it is that it is done.
    pub probability: f64,
}

/// What is shown done, and may well not be: one more pull on each is asked for before the bike leaves.
pub fn doubts(build: &Build, tracker: &Tracker, habits: &Habits) -> Vec<Doubt> {
    let course = &tracker.course;
    let mut list = Vec::new();
    for (number, slot) in course.slots.iter().enumerate() {
        if slot.later.is_some() {
            continue;
        }
        let ready = slot
            .steps
            .iter()
            .map(|pull| (*pull, &course.pulls[*pull].place))
            .filter(|(_, place)| !waits(build, &place.fastener));
        let (open, done): (Vec<_>, Vec<_>) =
            ready.partition(|(pull, _)| tracker.is_open(build, *pull));
        let unknown = |(pull, _): &(usize, &Place)| tracker.filter.is_unknown(*pull);
        let open_unknown = open.iter().filter(|at| unknown(at)).count();
        let done: Vec<_> = done.into_iter().filter(unknown).collect();
        let missed = tracker.filter.missing(number);
        let all: f64 = done.iter().map(|(_, place)| suspicion(build, place)).sum();
        let all = all + as_number(open_unknown);
        for (_, place) in done {
            let probability = missed * suspicion(build, place) / all;
            if probability >= habits.doubt {
                list.push(Doubt {
                    fastener: place.fastener.clone(),
                    probability: 1.0 - probability.min(1.0),
                });
            }
        }
    }
    list
}

fn as_weight(holds: bool) -> f64 {
    if holds { 1.0 } else { 0.0 }
}

fn as_number(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

/// One that came out under may have been left so, and the next one of its slot been taken for its repair.
fn suspicion(build: &Build, place: &Place) -> f64 {
    if had_an_under(build, place) {
        20.0
    } else {
        1.0
    }
}

fn had_an_under(build: &Build, place: &Place) -> bool {
    build.counting(&place.fastener).any(|reading| {
        reading
            .verdict
            .as_ref()
            .is_some_and(|verdict| verdict.answer == Answer::Under)
    })
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
