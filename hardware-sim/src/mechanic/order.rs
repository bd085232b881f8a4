//! In which order the mechanic works: stages, bikes, passes and bolts, with the errors that change the order.

use super::cause::{Cause, Causes};
use super::hand::Hand;
use super::{Bike, Place, Stage};
use std::collections::VecDeque;

/// The most stages that are worked at one bike before the mechanic turns to the other.
const MOST_STAGES: usize = 3;

/// A stage that is worked next.
#[derive(Debug, Clone, Copy)]
pub(super) struct Visit {
    pub(super) bike: usize,
    pub(super) stage: usize,
    /// The bike whose wrench is in the hand.
    pub(super) tool: usize,
    pub(super) causes: Causes,
}

/// A pull that is made next, unless it is left out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Planned {
    pub(super) place: Place,
    pub(super) causes: Causes,
}

/// The stages of all bikes in the order in which they are worked.
pub(super) fn visits(bikes: &[Bike], hand: &mut Hand) -> VecDeque<Visit> {
    let mut lists: Vec<VecDeque<Visit>> = bikes
        .iter()
        .enumerate()
        .map(|(number, bike)| stages_of(number, bike, hand))
        .collect();
    if lists.len() > 1 {
        hand_over(&mut lists, hand);
    }
    let mut all = VecDeque::new();
    while lists.iter().any(|list| !list.is_empty()) {
        for list in &mut lists {
            let count = 1 + hand.one_of(MOST_STAGES);
            all.extend(list.drain(..count.min(list.len())));
        }
    }
    all
}

fn stages_of(bike: usize, stages: &Bike, hand: &mut Hand) -> VecDeque<Visit> {
    let indexes = (0..stages.stages.len()).collect();
    swapped(indexes, hand.habits.rates.stages_swapped, hand)
        .into_iter()
        .map(|(stage, is_swapped)| Visit {
            bike,
            stage,
            tool: bike,
            causes: Causes::NONE.with_if(is_swapped, Cause::StagesSwapped),
        })
        .collect()
}

/// Now and then the wrench of one bike goes to another bike for a stage.
fn hand_over(lists: &mut [VecDeque<Visit>], hand: &mut Hand) {
    for tool in 0..lists.len() {
        if !hand.chance(hand.habits.rates.handed_over) {
            continue;
        }
        let other = (tool + 1 + hand.one_of(lists.len() - 1)) % lists.len();
        if let Some(list) = lists.get_mut(other) {
            let stage = hand.one_of(list.len());
            if let Some(visit) = list.get_mut(stage) {
                visit.tool = tool;
            }
        }
    }
}

/// A list in which neighbours are exchanged now and then; none is exchanged twice. Says of each whether it was.
fn swapped(list: Vec<usize>, rate: f64, hand: &mut Hand) -> Vec<(usize, bool)> {
    let mut list: Vec<(usize, bool)> = list.into_iter().map(|index| (index, false)).collect();
    let mut at = 0;
    while let Some([a, b]) = list.get_mut(at..at + 2) {
        if hand.chance(rate) {
            std::mem::swap(a, b);
            (a.1, b.1) = (true, true);
            at += 1;
        }
        at += 1;
    }
    list
}

/// The pulls of a stage as this mechanic sets out to make them.
pub(super) fn pulls(visit: Visit, stage: &Stage, hand: &mut Hand) -> VecDeque<Planned> {
    let rates = hand.habits.rates;
    let last = stage.passes.len().saturating_sub(1);
    let is_forgotten = last > 0 && hand.chance(rates.first_pass_forgotten);
    let first = if is_forgotten { last } else { 0 };
    let mut all = VecDeque::new();
    for (pass, planned) in stage.passes.iter().enumerate().skip(first) {
        for (bolt, is_swapped) in swapped(planned.order.clone(), rates.neighbours_swapped, hand) {
            let causes = visit
                .causes
                .with_if(is_swapped, Cause::NeighboursSwapped)
                .with_if(is_forgotten, Cause::PassForgotten);
            let place = Place {
                bike: visit.bike,
                stage: visit.stage,
                bolt,
                pass,
            };
            all.push_back(Planned { place, causes });
        }
    }
    all
}
