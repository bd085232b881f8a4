//! How a bolt really is.

use super::cause::Causes;
use super::hand::Hand;
use super::{Bike, Bolt};

/// Two torques that differ by less are the same: they come from whole steps of a display.
const SAME: f64 = 1e-9;

/// What happened to a bolt. A gentler pull after a strong one changes nothing; undoing it does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Truth {
    bolt: Bolt,
    aim: f64,
    highest: Option<f64>,
    pass: Option<usize>,
    is_through: bool,
    causes: Causes,
}

impl Truth {
    const fn new(bolt: Bolt, aim: f64) -> Self {
        Self {
            bolt,
            aim,
            highest: None,
            pass: None,
            is_through: false,
            causes: Causes::NONE,
        }
    }

    /// What it is to be tightened to.
    pub const fn bolt(&self) -> &Bolt {
        &self.bolt
    }

    /// What this mechanic aims at.
    pub const fn aim(&self) -> f64 {
        self.aim
    }

    /// The highest pull since it was last loose.
    pub const fn highest(&self) -> Option<f64> {
        self.highest
    }

    /// The pass of its last pull since it was last loose.
    pub const fn pass(&self) -> Option<usize> {
        self.pass
    }

    /// Everything that ever went wrong with it.
    pub const fn causes(&self) -> Causes {
        self.causes
    }

    /// Pulled to the last pass since it was last loose, and the highest pull is between the limits. Where only a
    /// maximum is stated, a third of it is the least (assumed, no source).
    pub fn is_in_spec(&self) -> bool {
        self.is_through
            && self
                .highest
                .is_some_and(|highest| !self.is_over(highest) && !self.is_under(highest, 1.0))
    }

    pub(super) fn is_over(&self, value: f64) -> bool {
        value > self.bolt.upper + SAME
    }

    pub(super) fn is_under(&self, value: f64, part: f64) -> bool {
        let least = self.bolt.lower.unwrap_or(self.bolt.upper / 3.0);
        value < least * part - SAME
    }

    pub(super) fn pulled(&mut self, pass: usize, is_last: bool, value: f64, causes: Causes) {
        self.highest = Some(self.highest.map_or(value, |highest| highest.max(value)));
        self.pass = Some(pass);
        self.is_through |= is_last;
        self.touched(causes);
    }

    pub(super) fn touched(&mut self, causes: Causes) {
        self.causes = self.causes.and(causes);
    }

    pub(super) fn undo(&mut self) {
        (self.highest, self.pass, self.is_through) = (None, None, false);
    }
}

pub(super) fn of_bike(bike: &Bike, hand: &mut Hand) -> Vec<Vec<Truth>> {
    bike.stages
        .iter()
        .map(|stage| {
            stage
                .bolts
                .iter()
                .map(|bolt| Truth::new(*bolt, aim(bolt, hand)))
                .collect()
        })
        .collect()
}

fn aim(bolt: &Bolt, hand: &mut Hand) -> f64 {
    match (bolt.target, bolt.lower) {
        (Some(target), _) => target,
        (None, Some(lower)) => f64::midpoint(lower, bolt.upper),
        (None, None) => bolt.upper * hand.between(hand.habits.of_a_bare_maximum),
    }
}
