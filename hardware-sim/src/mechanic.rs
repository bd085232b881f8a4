//! A mechanic who works through the stages of one or two bikes, and errs.
//!
//! What is modelled: scatter, second clicks, bolts left out, neighbours and stages exchanged, a first pass forgotten, a
//! bolt pulled again after a look, test pulls, a wrench used on the other bike, a display in another unit, pulls far too
//! strong or too weak and mended or not, breaks. What is not: fatigue, a wrong bit, a cross-threaded bolt, a wrench out
//! of calibration, two people at one bike. The mechanic knows nothing of the program that logs the pulls, and nothing of
//! the program's own assumptions about people is used here.
//!
//! Beside each pull stands the truth: which bolt it was, to which pass, and what went wrong. So a program can be asked
//! whether it noticed. All figures are in [`Habits`]; every one is assumed, no source.

mod cause;
mod habits;
mod hand;
mod order;
mod truth;
mod work;

pub use cause::{Cause, Causes};
pub use habits::{Gap, Habits, Rates, Shape, Tail};
pub use truth::Truth;

use crate::random::Random;
use hand::Hand;
use order::{Planned, Visit};
use std::collections::VecDeque;

/// A bolt, and what it is to be tightened to, in N·m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bolt {
    /// What to aim at; the middle of the limits, or a part of the maximum, where it is not stated.
    pub target: Option<f64>,
    /// The least that holds; none where only a maximum is stated.
    pub lower: Option<f64>,
    /// The most that the joint may see.
    pub upper: f64,
}

/// Once round a stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Pass {
    /// The part of the target, above 0 and at most 1.
    pub part: f64,
    /// The bolts in the order in which they are pulled, by their number in the stage.
    pub order: Vec<usize>,
}

/// Bolts that are tightened together.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// The passes, rising.
    pub passes: Vec<Pass>,
    /// The bolts.
    pub bolts: Vec<Bolt>,
}

/// A bike.
#[derive(Debug, Clone, PartialEq)]
pub struct Bike {
    /// In the order in which they are worked.
    pub stages: Vec<Stage>,
}

/// A bolt of a bike, and one of its passes. All are counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The bike.
    pub bike: usize,
    /// The stage.
    pub stage: usize,
    /// The bolt in its stage.
    pub bolt: usize,
    /// The pass.
    pub pass: usize,
}

/// One pull, as it came about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pull {
    /// Seconds since the pull before, whatever the tool.
    pub gap_s: f64,
    /// The tool, by the bike that it serves.
    pub tool: usize,
    /// Where it belongs; none of a test pull.
    pub truth: Option<Place>,
    /// The torque, in N·m.
    pub newton_metres: f64,
    /// The number on the display. The tool always says that it is in N·m.
    pub shown: f64,
    /// What went wrong.
    pub causes: Causes,
}

/// Units that a display may be left in: how many of them are one N·m. The exact definitions are those of the pound,
/// the inch and standard gravity (NIST SP 811, appendix B).
const OTHER_UNITS: [f64; 3] = [
    1.0 / 0.112_984_829, // lbf·in
    1.0 / 0.098_066_5,   // kgf·cm
    1.0 / 1.355_817_948, // lbf·ft
];

/// The display of a tool.
#[derive(Debug, Clone, Copy)]
struct Display {
    factor: f64,
    /// From which visit on it is in the other unit; it is so for good.
    from_visit: usize,
}

/// A pull that may be repeated or mended.
#[derive(Debug, Clone, Copy)]
struct Last {
    place: Place,
    tool: usize,
    is_under: bool,
    in_a_row: u8,
}

/// A mechanic at work: an iterator over pulls, which ends after the last bolt. The seed fixes every pull.
#[derive(Debug, Clone)]
pub struct Mechanic {
    bikes: Vec<Bike>,
    hand: Hand,
    truth: Vec<Vec<Vec<Truth>>>,
    displays: Vec<Option<Display>>,
    visits: VecDeque<Visit>,
    visit: Option<Visit>,
    visited: usize,
    planned: VecDeque<Planned>,
    again: VecDeque<Planned>,
    last: Option<Last>,
    /// By bike: a bolt was just left out.
    skipped: Vec<bool>,
    has_looked_around: bool,
}

impl Mechanic {
    /// Somebody with these habits in front of these bikes.
    pub fn new(bikes: Vec<Bike>, habits: &Habits, seed: u64) -> Self {
        let random = Random::from_seed(seed);
        let mut hand = Hand {
            habits: *habits,
            random,
        };
        let visits = order::visits(&bikes, &mut hand);
        let truth = bikes
            .iter()
            .map(|bike| truth::of_bike(bike, &mut hand))
            .collect();
        let displays = bikes
            .iter()
            .map(|_| display(visits.len(), &mut hand))
            .collect();
        let skipped = vec![false; bikes.len()];
        Self {
            bikes,
            hand,
            truth,
            displays,
            visits,
            visit: None,
            visited: 0,
            planned: VecDeque::new(),
            again: VecDeque::new(),
            last: None,
            skipped,
            has_looked_around: false,
        }
    }

    /// How a bolt really is.
    pub fn truth(&self, bike: usize, stage: usize, bolt: usize) -> Option<&Truth> {
        self.truth.get(bike)?.get(stage)?.get(bolt)
    }

    /// Whether a tool's display is in another unit than it tells.
    pub fn is_in_other_unit(&self, tool: usize) -> bool {
        let display = self.displays.get(tool).copied().flatten();
        display.is_some_and(|display| self.visited > display.from_visit)
    }

    /// Somebody asks for one more pull at a bolt: to the last pass, with the right tool.
    pub fn pull_once_more(&mut self, bike: usize, stage: usize, bolt: usize) -> Option<Pull> {
        let pass = self.stage(bike, stage)?.passes.len().saturating_sub(1);
        let place = Place {
            bike,
            stage,
            bolt,
            pass,
        };
        self.last = None;
        let gap = self.hand.step();
        let causes = Causes::NONE.with(Cause::Asked);
        self.pull_at_aim(place, bike, gap, causes)
    }

    /// After an alarm: the bolt is undone, and pulled anew with the next pulls.
    pub fn undo_and_pull_again(&mut self, place: Place) {
        if let Some(truth) = self.truth_mut(place) {
            truth.undo();
        }
        let through = self.hand.chance(self.hand.habits.through_passes_again);
        let first = if through { 0 } else { place.pass };
        for pass in first..=place.pass {
            self.again(Place { pass, ..place }, Cause::Undone);
        }
    }

    /// The same pull once more, because the one before could not be used.
    pub fn pull_again(&mut self, place: Place) {
        self.again(place, Cause::Asked);
    }

    fn again(&mut self, place: Place, cause: Cause) {
        self.last = None;
        let causes = Causes::NONE.with(cause);
        self.again.push_back(Planned { place, causes });
    }

    /// Somebody asked whether the display of a tool is right: it is now.
    pub fn told_about_unit(&mut self, tool: usize) {
        if let Some(display) = self.displays.get_mut(tool) {
            *display = None;
        }
    }

    /// Somebody asked whose wrench this is: from now on it is the right one.
    pub fn told_about_tool(&mut self) {
        if let Some(visit) = &mut self.visit {
            visit.tool = visit.bike;
        }
        self.last = None;
    }

    fn stage(&self, bike: usize, stage: usize) -> Option<&Stage> {
        self.bikes.get(bike)?.stages.get(stage)
    }

    fn truth_mut(&mut self, place: Place) -> Option<&mut Truth> {
        self.truth
            .get_mut(place.bike)?
            .get_mut(place.stage)?
            .get_mut(place.bolt)
    }

    /// Whether a torque is above the upper limit of a bolt.
    pub fn is_over(&self, place: Place, value: f64) -> bool {
        self.truth(place.bike, place.stage, place.bolt)
            .is_some_and(|truth| truth.is_over(value))
    }
}

/// Half of the displays that are in another unit are so from the start, half from some stage on.
fn display(visits: usize, hand: &mut Hand) -> Option<Display> {
    if !hand.chance(hand.habits.rates.other_unit) {
        return None;
    }
    let factor = *OTHER_UNITS.get(hand.one_of(OTHER_UNITS.len()))?;
    let from_visit = if hand.chance(0.5) {
        0
    } else {
        hand.one_of(visits)
    };
    Some(Display { factor, from_visit })
}

#[cfg(test)]
mod tests;
