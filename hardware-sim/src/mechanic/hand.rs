//! The hand: draws of values and times.

use super::habits::{Gap, Habits, Tail};
use crate::random::Random;

/// No pull is stronger than so many times the upper limit: the mechanic is not that strong.
const STRONGEST: f64 = 3.0;

/// Draws after some habits.
#[derive(Debug, Clone)]
pub(super) struct Hand {
    pub(super) habits: Habits,
    pub(super) random: Random,
}

impl Hand {
    pub(super) fn chance(&mut self, probability: f64) -> bool {
        self.random.chance(probability)
    }

    /// Evenly between two numbers.
    pub(super) fn between(&mut self, (from, to): (f64, f64)) -> f64 {
        from + (to - from) * self.random.uniform()
    }

    /// One of so many, from 0; 0 of none.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a whole number below a small count"
    )]
    pub(super) fn one_of(&mut self, count: usize) -> usize {
        ((count as f64 * self.random.uniform()) as usize).min(count.saturating_sub(1))
    }

    fn normal(&mut self, tail: Option<Tail>) -> f64 {
        let drawn = self.random.normal();
        match tail {
            Some(tail) if self.random.chance(tail.share) => drawn * tail.times,
            _ => drawn,
        }
    }

    fn gap(&mut self, gap: Gap) -> f64 {
        gap.median_s * (gap.sigma * self.normal(self.habits.gap_tail)).exp()
    }

    /// To another bolt, now and then with a break.
    pub(super) fn step(&mut self) -> f64 {
        let step = self.gap(self.habits.step);
        if self.chance(self.habits.break_share) {
            return step + self.between(self.habits.break_s);
        }
        step
    }

    pub(super) fn until_repeat(&mut self) -> f64 {
        self.gap(self.habits.repeat)
    }

    pub(super) fn until_repair(&mut self) -> f64 {
        self.gap(self.habits.repair)
    }

    /// A pull at its aim.
    pub(super) fn at(&mut self, aim: f64) -> f64 {
        let drawn = self.normal(self.habits.value_tail);
        self.shown(aim * (1.0 + self.habits.scatter * drawn))
    }

    /// A pull far above an upper limit.
    pub(super) fn far_over(&mut self, upper: f64) -> f64 {
        let (median, sigma) = self.habits.over_beyond;
        let beyond = median * (sigma * self.random.normal()).exp();
        self.shown((upper * (1.0 + self.habits.over_least + beyond)).min(upper * STRONGEST))
    }

    /// A pull far below its aim.
    pub(super) fn far_under(&mut self, aim: f64) -> f64 {
        let part = self.between(self.habits.under);
        self.shown(aim * part)
    }

    /// A pull on no bolt.
    pub(super) fn test(&mut self) -> f64 {
        let value = if self.chance(self.habits.test_by_hand) {
            self.between(self.habits.by_hand)
        } else {
            let (from, to) = self.habits.in_a_vice;
            self.between((from.ln(), to.ln())).exp()
        };
        self.shown(value)
    }

    /// As the display shows it.
    pub(super) fn shown(&self, value: f64) -> f64 {
        let steps = (value.max(0.0) / self.habits.resolution).round();
        // a division by a whole number, where there is one, is exact to the last digit
        let in_one = (1.0 / self.habits.resolution).round();
        if (in_one * self.habits.resolution - 1.0).abs() < 1e-9 {
            steps / in_one
        } else {
            steps * self.habits.resolution
        }
    }
}
