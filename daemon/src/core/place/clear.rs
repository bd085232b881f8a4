//! Readings that wait, and become clear: by what came after them, or by an answer about another one.

use super::filter::{Filter, Label, Outcome, Seen, What};
use super::habits::Habits;
use super::{Situation, Tracker, millionths, skips_a_pass, tell, turns_against};
use pullmark_schema::build::{Build, BuildReading};
use pullmark_schema::placement::{Placement, PullKind};

impl Tracker {
    /// What becomes clear about readings that wait. One that raised an alarm waits for a person, whatever comes.
    pub(super) fn cleared(
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
        if !tell(&self.course, &mut after, reading, pull) {
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
        let is_made = self.course.specs[spec].is_made_by(held.reading.applied);
        let tests = shares
            .iter()
            .filter(|(other, _)| !is_made && other.what == What::Test);
        let tests: f64 = tests.map(|(_, share)| share).sum();
        if same_spec + tests < habits.clear || share < habits.alike {
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
            if let Some(pull) = at {
                pull
            } else {
                let only = steps.next()?;
                steps.next().is_none().then_some(only)?
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
}

/// Readings of a tool that later ones may clear up. One that raised an alarm waits for a person, whatever comes.
fn waiting<'b>(build: &'b Build, tool: &str) -> impl Iterator<Item = &'b BuildReading> {
    build.held().filter(move |held| {
        let may_clear = matches!(
            held.placement,
            Placement::Held { because, .. } if because.may_become_clear()
        );
        may_clear
            && held.reading.tool == tool
            && !build
                .alarms
                .iter()
                .any(|alarm| alarm.reading == held.sequence)
    })
}
