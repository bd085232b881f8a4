//! What is counted at each reading: where it went, and whether the alarm was right.

use super::day::Day;
use super::tally::What;
use pullmark_schema::entry::Pulled;
use pullmark_schema::placement::{self, Placement, PullKind};
use pullmark_schema::plan::Step;
use pullmark_sim::mechanic::{Place, Pull};

/// How wrong a place is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wrong {
    Not,
    Elsewhere,
    /// A test pull was taken for the fastener that its value was right for.
    Test,
    Misplaced,
}

fn shared(candidate: &placement::Candidate) -> (PullKind, Option<&placement::Place>, u32) {
    (
        candidate.kind,
        candidate.place.as_ref(),
        candidate.probability_millionths,
    )
}

impl Day<'_> {
    pub(super) fn score(&mut self, pull: &Pull, pulled: &Pulled) {
        self.one(What::Readings, pull);
        self.note_doubt(pull, &pulled.placement);
        self.score_place(pull, &pulled.placement);
        match (self.is_over(pull), pulled.alarm.is_some()) {
            (true, false) => {
                let is_near = self.is_near_expected(pull, pulled);
                let (what, said) = if is_near {
                    (What::OverMissedExpected, "over missed at what was expected")
                } else {
                    (What::OverMissedElsewhere, "over missed elsewhere")
                };
                self.one(what, pull);
                self.story.mark(said);
            }
            (false, true) => self.one(What::FalseAlarms, pull),
            _ => {}
        }
    }

    /// How probably it is a pull to another spec than the likeliest one. A test pull is none: taken for something, it is
    /// counted apart.
    fn note_doubt(&mut self, pull: &Pull, placement: &Placement) {
        let listed: Vec<(PullKind, Option<&placement::Place>, u32)> = match placement {
            Placement::ByOrder {
                place,
                kind,
                probability_millionths,
                others,
                ..
            } => std::iter::once((*kind, Some(place), *probability_millionths))
                .chain(others.iter().map(shared))
                .collect(),
            Placement::Held { candidates, .. } => candidates.iter().map(shared).collect(),
            Placement::ByChoice { .. } | Placement::Nowhere { .. } => return,
        };
        let limits = |place: Option<&placement::Place>| {
            let step = self.build(pull.tool)?.step(place?)?;
            Some(step.fastener.spec.limits.of_pass(step.percent).limits)
        };
        let mut placed = listed.iter().filter(|(kind, ..)| *kind != PullKind::Test);
        let Some(best) = placed.next().map(|(_, place, _)| limits(*place)) else {
            self.tally.doubts.push(0);
            return;
        };
        let alike = listed
            .iter()
            .filter(|(kind, place, _)| *kind == PullKind::Test || limits(*place) == best);
        let alike: u64 = alike.map(|(.., share)| u64::from(*share)).sum();
        // What is very improbable is not listed.
        let all: u64 = listed.iter().map(|(.., share)| u64::from(*share)).sum();
        let doubt = (all - alike) * 1_000_000 / all.max(1);
        self.tally
            .doubts
            .push(u32::try_from(doubt).unwrap_or(u32::MAX));
    }

    /// Whether a reading that was placed by itself went where it belongs.
    pub(super) fn score_place(&mut self, pull: &Pull, placement: &Placement) {
        let Placement::ByOrder { place, .. } = placement else {
            return;
        };
        match self.how_wrong(pull, place) {
            Wrong::Not => {}
            Wrong::Elsewhere => self.one(What::ElsewhereSameSpec, pull),
            Wrong::Test => self.one(What::TestPlaced, pull),
            Wrong::Misplaced => {
                self.one(What::Misplaced, pull);
                self.story.mark("misplaced");
            }
        }
    }

    /// Whether the pull was at the expected fastener, or at one of its stage.
    fn is_near_expected(&self, pull: &Pull, pulled: &Pulled) -> bool {
        let (Some(truth), Some(expected)) = (pull.truth, &pulled.expected) else {
            return false;
        };
        let expected = self.place_of(pull.tool, &expected.fastener);
        expected.is_some_and(|place| (place.bike, place.stage) == (truth.bike, truth.stage))
    }

    pub(super) fn how_wrong(&self, pull: &Pull, placed: &placement::Place) -> Wrong {
        let Some(truth) = pull.truth else {
            return Wrong::Test;
        };
        let Some(build) = self.build(pull.tool) else {
            return Wrong::Misplaced;
        };
        let Some(there) = build.step(placed) else {
            return Wrong::Misplaced;
        };
        let right = self
            .right_place(&truth)
            .and_then(|place| build.step(&place));
        let Some(right) = right.filter(|_| truth.bike == pull.tool) else {
            return Wrong::Misplaced;
        };
        let limits = |step: &Step<'_>| {
            let limits = step.fastener.spec.limits.of_pass(step.percent).limits;
            (limits.lower, limits.upper)
        };
        if limits(&there) != limits(&right) {
            Wrong::Misplaced
        } else if there.stage.id == right.stage.id {
            Wrong::Not
        } else {
            Wrong::Elsewhere
        }
    }

    pub(super) fn right_place(&self, truth: &Place) -> Option<placement::Place> {
        Some(placement::Place {
            fastener: self.fastener(*truth)?.id.clone(),
            pass: u8::try_from(truth.pass).ok()?,
        })
    }
}
