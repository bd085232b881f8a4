//! Which fastener a reading belongs to.
//!
//! A probability for every candidate, by Bayes' rule: how often such a pull happens, times how well the time since the
//! last pull fits, times how well the value fits. One that is clearly the best is placed; else the reading is held and
//! a person is asked. The numbers below are assumptions about people at a bench (common practice, no source); the
//! over alarm does not depend on them.

mod model;

use model::Weights;
use pullmark_schema::build::Build;
use pullmark_schema::placement::{Candidate, HeldBecause, Place, Placement, PullKind};
use pullmark_schema::plan::{Fastener, Hand, Step};
use pullmark_schema::quantity::Torque;
use pullmark_schema::verdict::{Answer, Rule, compare};

/// A best candidate is placed by itself from this probability on.
pub const CLEAR: f64 = 0.95;

/// How many candidates are kept with a placement.
const KEPT: usize = 5;

/// What is known when a reading comes.
#[derive(Debug, Clone, Copy)]
pub struct Situation<'a> {
    /// The build that the tool serves.
    pub build: &'a Build,
    /// Where the tool's last pull was placed, and how long ago that was, in seconds.
    pub last: Option<(&'a Place, f64)>,
    /// The torque; none where the tool was past its range.
    pub torque: Option<Torque>,
    /// An earlier reading of this tool waits for a person.
    pub earlier_held: bool,
}

/// Places a reading.
pub fn place(situation: &Situation<'_>) -> Placement {
    let expected = situation.build.next();
    let candidates = candidates(situation, expected.as_ref());
    let held = |because| Placement::Held {
        because,
        candidates: first(&candidates),
    };
    if situation.earlier_held {
        return held(HeldBecause::EarlierHeld);
    }
    if expected.is_none()
        && candidates
            .iter()
            .all(|(candidate, _)| candidate.kind != PullKind::Repeat)
    {
        return held(HeldBecause::NothingPlanned);
    }
    let Some((best, probability)) = candidates.first() else {
        return held(HeldBecause::NothingPlanned);
    };
    let step = best
        .place
        .as_ref()
        .and_then(|place| situation.build.step(place));
    if let Some(step) = &step {
        if turns_against(situation.torque, step) {
            return held(HeldBecause::WrongWay);
        }
        if skips_a_pass(situation.torque, step) {
            return held(HeldBecause::PassSkipped);
        }
    }
    match (&best.place, step) {
        (Some(place), Some(_)) if *probability >= CLEAR => Placement::ByOrder {
            place: place.clone(),
            kind: best.kind,
            probability_millionths: best.probability_millionths,
            others: first(&candidates[1..]),
        },
        _ => held(HeldBecause::Unclear),
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

fn first(candidates: &[(Candidate, f64)]) -> Vec<Candidate> {
    candidates
        .iter()
        .take(KEPT)
        .map(|(candidate, _)| candidate.clone())
        .collect()
}

/// Every candidate with its probability, the likeliest first.
fn candidates(situation: &Situation<'_>, next: Option<&Step<'_>>) -> Vec<(Candidate, f64)> {
    let mut weighed = weigh(situation, next);
    let total: f64 = weighed.iter().map(|(_, _, weight)| weight).sum();
    if total <= 0.0 {
        return Vec::new();
    }
    weighed.sort_by(|a, b| b.2.total_cmp(&a.2));
    weighed
        .into_iter()
        .map(|(kind, place, weight)| {
            let probability = weight / total;
            (
                Candidate {
                    kind,
                    place,
                    probability_millionths: millionths(probability),
                },
                probability,
            )
        })
        .collect()
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 0 and 1 000 000"
)]
fn millionths(probability: f64) -> u32 {
    (probability.clamp(0.0, 1.0) * 1e6).round() as u32
}

type Weighed = (PullKind, Option<Place>, f64);

fn weigh(situation: &Situation<'_>, next: Option<&Step<'_>>) -> Vec<Weighed> {
    let build = situation.build;
    let weights = Weights::after(situation.last.map(|(_, seconds)| seconds));
    let mut list = Vec::new();
    if let Some(step) = next {
        list.push(candidate(PullKind::Next, step, weights.next, situation));
    }
    let before = situation
        .last
        .and_then(|(place, _)| build.step(place))
        .filter(|step| !waits(build, step.fastener));
    if let Some(step) = &before
        && !is_same(next, step)
    {
        list.push(candidate(PullKind::Repeat, step, weights.repeat, situation));
    }
    let others: Vec<_> = others(build, next, before.as_ref()).collect();
    let (near, far) = others
        .iter()
        .fold((0_u32, 0_u32), |(near, far), (_, _, is_near)| {
            if *is_near {
                (near + 1, far)
            } else {
                (near, far + 1)
            }
        });
    for (kind, step, is_near) in &others {
        let shared = match (kind, is_near) {
            (PullKind::Again, _) => weights.again / f64::from(near + far),
            (_, true) => weights.near / f64::from(near),
            (_, false) => weights.far / f64::from(far),
        };
        list.push(candidate(*kind, step, shared, situation));
    }
    list.push((
        PullKind::Test,
        None,
        weights.test * model::any_value(situation.torque),
    ));
    list
}

fn candidate(kind: PullKind, step: &Step<'_>, weight: f64, situation: &Situation<'_>) -> Weighed {
    let limits = step.fastener.spec.limits.of_pass(step.percent);
    let torque = step.fastener.hand.tightening(situation.torque);
    (
        kind,
        Some(step.place()),
        weight * model::value(torque, &limits),
    )
}

fn is_same(a: Option<&Step<'_>>, b: &Step<'_>) -> bool {
    a.is_some_and(|a| a.fastener.id == b.fastener.id && a.pass == b.pass)
}

/// A deferred fastener is never a candidate.
fn waits(build: &Build, fastener: &Fastener) -> bool {
    build
        .fastener(&fastener.id)
        .is_some_and(|state| state.deferred.is_some())
}

/// The first open pass of every other fastener, and the last pass of every one that is done; the last value says
/// whether it is in the stage that is being worked at.
fn others<'b>(
    build: &'b Build,
    next: Option<&Step<'b>>,
    last: Option<&Step<'b>>,
) -> impl Iterator<Item = (PullKind, Step<'b>, bool)> {
    let taken: Vec<&str> = next
        .iter()
        .chain(last.iter())
        .map(|step| step.fastener.id.as_str())
        .collect();
    let stage = next.or(last).map(|step| step.stage.id.clone());
    build
        .plan
        .stages
        .iter()
        .flat_map(|stage| {
            stage
                .fasteners
                .iter()
                .map(move |fastener| (stage, fastener))
        })
        .filter_map(move |(at, fastener)| {
            if taken.contains(&fastener.id.as_str()) || waits(build, fastener) {
                return None;
            }
            let passes = u8::try_from(at.passes.len()).unwrap_or(u8::MAX);
            let done = build.passes_done(&fastener.id);
            let kind = if done >= passes {
                PullKind::Again
            } else {
                PullKind::OutOfOrder
            };
            let pass = done.min(passes.saturating_sub(1));
            let percent = *at.passes.get(usize::from(pass))?;
            Some((
                kind,
                Step {
                    stage: at,
                    fastener,
                    pass,
                    percent,
                },
                stage.as_ref() == Some(&at.id),
            ))
        })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
