//! The over alarm. It comes before any question of where a reading belongs, and it may be wrong rather than late.

use super::place::Situation;
use super::place::habits::HANDS_MOVE;
use pullmark_schema::build::Build;
use pullmark_schema::entry::Alarm;
use pullmark_schema::placement::Placement;
use pullmark_schema::plan::{Limits, Step};
use pullmark_schema::quantity::Torque;
use pullmark_schema::verdict::{Answer, compare};

/// More likely than not, and not to be ruled out, in millionths.
const LIKELY: u32 = 500_000;
const POSSIBLE: u32 = 10_000;

/// Whether a reading has just come, or a person says where an earlier one belongs.
#[derive(Debug, Clone, Copy)]
pub(super) enum Moment<'a> {
    /// It has just come; this was expected.
    Now(Situation<'a>, Option<Step<'a>>),
    /// It came before.
    Later,
}

/// The alarm that a reading raises. Any of these:
/// - it is above the upper limit of the expected fastener, whatever the placement says; but not where nobody can have
///   moved the wrench since the last pull and the value is right for the fastener that the wrench is on;
/// - it is above the upper limit of where it was placed, or of the likeliest fastener while it is held;
/// - it is held, and above the upper limit of something that is worked at and that it may well have been;
/// - it is right neither for the expected fastener nor for the one that it more likely than not belongs to, and above
///   the upper limit of something that is worked at.
pub(super) fn alarm(
    build: &Build,
    torque: Option<Torque>,
    placement: &Placement,
    moment: Moment<'_>,
) -> Option<Alarm> {
    let (likeliest, is_likely) = match placement {
        Placement::Held { candidates, .. } => {
            let first = candidates
                .iter()
                .find(|candidate| candidate.place.is_some());
            let share = first.map_or(0, |first| first.probability_millionths);
            (
                first.and_then(|first| first.place.as_ref()),
                share >= LIKELY,
            )
        }
        placed => (placed.place(), true),
    };
    let likeliest = likeliest.and_then(|place| build.step(place));
    let (expected, at_hand) = match moment {
        Moment::Now(situation, expected) => (
            expected.filter(|_| !is_at_once(&situation)),
            worked_at(build, &situation, expected.as_ref()),
        ),
        Moment::Later => (None, Vec::new()),
    };
    let is_right = is_likely && likeliest.is_some_and(|step| fits(torque, &step))
        || expected.is_some_and(|step| fits(torque, &step));
    let may_be = |step: &Step<'_>| match placement {
        Placement::Held { candidates, .. } => candidates.iter().any(|candidate| {
            candidate.place.as_ref() == Some(&step.place())
                && candidate.probability_millionths >= POSSIBLE
        }),
        _ => false,
    };
    let at_hand = at_hand.into_iter().filter(|step| !is_right || may_be(step));
    expected
        .into_iter()
        .chain(likeliest)
        .chain(at_hand)
        .find(|step| is_over(torque, step))
        .map(|step| Alarm {
            place: step.place(),
            upper: step.fastener.spec.limits.upper,
        })
}

/// A second click that comes faster than hands can move, and is right for the fastener that they are at.
pub(super) fn is_at_once(situation: &Situation<'_>) -> bool {
    let step = situation.at.and_then(|place| situation.build.step(place));
    situation.gap.is_some_and(|gap| gap < HANDS_MOVE)
        && step.is_some_and(|step| fits(situation.torque, &step))
}

/// The open fasteners of the stage that is expected, and the one that the tool was at last.
fn worked_at<'b>(
    build: &'b Build,
    situation: &Situation<'b>,
    expected: Option<&Step<'b>>,
) -> Vec<Step<'b>> {
    let last = situation.last.and_then(|place| build.step(place));
    build
        .open_steps()
        .filter(|step| expected.is_some_and(|expected| std::ptr::eq(expected.stage, step.stage)))
        .chain(last)
        .collect()
}

/// Within the limits of the pull.
fn fits(torque: Option<Torque>, step: &Step<'_>) -> bool {
    let limits = step.fastener.spec.limits.of_pass(step.percent).limits;
    answer(torque, step, &limits) == Answer::Within
}

/// Above what the fastener may see.
pub(super) fn is_over(torque: Option<Torque>, step: &Step<'_>) -> bool {
    answer(torque, step, &step.fastener.spec.limits) == Answer::Over
}

fn answer(torque: Option<Torque>, step: &Step<'_>, limits: &Limits) -> Answer {
    compare(step.fastener.hand.tightening(torque), limits)
}
