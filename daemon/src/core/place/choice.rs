//! Where to put a reading, given how probable each thing is that it may have been.

use super::filter::{Outcome, What};
use super::habits::Habits;
use super::units::Units;
use super::{Situation, Tracker, millionths, skips_a_pass, turns_against, waits};
use pullmark_schema::build::BuildReading;
use pullmark_schema::placement::{Candidate, HeldBecause, Place, Placement, PullKind, Why};
use pullmark_schema::plan::Step;

/// How many candidates are kept with a placement.
const KEPT: usize = 5;
/// Candidates below this are not worth a line.
const WORTH_A_LINE: f64 = 1e-3;
/// A reading that waits concerns what comes after it from this probability on.
const CONCERNS: f64 = 0.01;

/// Where to put a reading, given how probable each thing is.
pub(super) struct Choice<'a> {
    pub(super) tracker: &'a Tracker,
    pub(super) situation: &'a Situation<'a>,
    pub(super) outcome: &'a Outcome,
    pub(super) pointed: Option<usize>,
    pub(super) expected: Option<Step<'a>>,
    pub(super) cleared: &'a [(u64, Placement)],
    pub(super) habits: &'a Habits,
}

/// A candidate and its exact probability.
type Weighed = (Candidate, f64);

impl Choice<'_> {
    pub(super) fn placement(&self, units: Units) -> Placement {
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
    /// shows in what follows, and what is then still in doubt is asked for before the bike leaves. The same goes for a test
    /// pull where the value makes nothing: it leaves the fastener open.
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
        let is_made = course.specs[spec].is_made_by(self.situation.torque);
        let none = if is_made { 0.0 } else { shares.of(What::Test) };
        of_spec + none >= self.habits.clear && share >= self.habits.alike
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
                None => self.tracker.course.all_passes(slot).any(|slot| {
                    let filter = &self.tracker.filter;
                    filter.waits_about(held.sequence, slot, CONCERNS)
                }),
            }
        })
    }

    fn completes(&self, held: &BuildReading, placement: &Placement, slot: usize) -> bool {
        let course = &self.tracker.course;
        let pull = placement.place().and_then(|place| course.number(place));
        pull.is_some_and(|pull| {
            course.pulls[pull].slot == slot && course.spec_of(slot).is_made_by(held.reading.applied)
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
            let at = self.situation.build.step(last);
            let is_alike =
                at.is_some_and(|at| at.stage.id == step.stage.id && at.pass == step.pass);
            is_alike && !self.had_the_pass_before(last)
        });
        self.situation.build.is_open(&before) && !goes_on
    }

    fn had_the_pass_before(&self, place: &Place) -> bool {
        let mut counting = self.situation.build.counting(&place.fastener);
        counting.any(|reading| {
            let at = reading.placement.place();
            at.is_some_and(|at| at.pass + 1 == place.pass)
        })
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
        let at = self.situation.last.filter(|at| {
            let pull = self.tracker.course.number(at);
            let is_of_slot = pull.is_some_and(|pull| self.tracker.course.pulls[pull].slot == slot);
            is_of_slot && !waits(self.situation.build, &at.fastener)
        });
        if let Some(at) = at {
            list.push(self.candidate(PullKind::Repeat, Some(at.clone()), again, Some(slot)));
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
            PullKind::Repeat => (fits.times.again(), tight),
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
