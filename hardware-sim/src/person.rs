//! A person who pulls: random torques around given targets, the same every time for the same seed.
//!
//! What is modelled: the scatter of one hand around the target, and the second click on a fastener that is already
//! tight. What is not: a wrench set wrongly, the wrong fastener, fatigue, drift, a slow creep past the click. Add such a
//! habit as a new field of [`Habits`] with its source beside it, and apply it in [`Person::next`].
//!
//! The default figures are assumptions to exercise the program, with no published source.

use thiserror::Error;

use crate::random::Random;

/// How a person pulls.
#[derive(Debug, Clone, PartialEq)]
pub struct Habits {
    /// The fasteners in the order they are pulled, each with its target in N·m.
    pub targets_newton_metre: Vec<f64>,
    /// Standard deviation of a pull, as a fraction of the target. Default 0.03 (assumed, no source).
    pub relative_sigma: f64,
    /// Probability that a fastener is clicked once more after a click, 0 to 0.9. Each further click asks again, so the
    /// mean number of clicks a fastener is 1 / (1 - p). Default 0.05 (assumed, no source).
    pub repeat_click: f64,
}

impl Habits {
    /// The default scatter and repeats, around these targets.
    pub fn around(targets_newton_metre: &[f64]) -> Self {
        Self {
            targets_newton_metre: targets_newton_metre.to_vec(),
            relative_sigma: 0.03,
            repeat_click: 0.05,
        }
    }
}

/// Why nobody can pull like that.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PersonError {
    /// The list of targets is empty.
    #[error("no targets: give at least one, such as 5,5,8 (in N·m)")]
    NoTargets,
    /// A target that is no torque.
    #[error(
        "target {number} is {value}: a target is a torque in N·m above 0 and at most {MOST_TARGET}"
    )]
    Target {
        /// Place in the list, from 1.
        number: usize,
        /// What stood there.
        value: f64,
    },
    /// The scatter is no fraction.
    #[error(
        "a scatter of {0} is not possible: give a fraction of the target from 0 to 1, such as 0.03"
    )]
    Sigma(f64),
    /// The probability of a repeat is out of bounds.
    #[error("a repeat probability of {0} is not possible: give 0 to 0.9, such as 0.05")]
    Repeat(f64),
}

/// The largest target that is taken, in N·m.
pub const MOST_TARGET: f64 = 10_000.0;

/// One click of the wrench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Click {
    /// Which of the targets, from 0.
    pub target: usize,
    /// The target in N·m.
    pub target_newton_metre: f64,
    /// What was pulled, in N·m; never below zero.
    pub torque_newton_metre: f64,
    /// The same fastener was clicked just before.
    pub is_repeat: bool,
}

/// A person at work: an iterator over clicks, which ends after the last target.
///
/// Draws for a click, in this order: after the first click one uniform draw (repeat or not), then two for the normal
/// scatter. A repeat is drawn around the same target, independent of the click before.
#[derive(Debug, Clone)]
pub struct Person {
    habits: Habits,
    random: Random,
    at: Option<usize>,
}

impl Person {
    /// A person with these habits; the seed fixes every click.
    pub fn new(habits: Habits, seed: u64) -> Result<Self, PersonError> {
        check(&habits)?;
        Ok(Self {
            habits,
            random: Random::from_seed(seed),
            at: None,
        })
    }

    fn moves_to(&mut self) -> (usize, bool) {
        match self.at {
            None => (0, false),
            Some(at) if self.random.chance(self.habits.repeat_click) => (at, true),
            Some(at) => (at.saturating_add(1), false),
        }
    }
}

impl Iterator for Person {
    type Item = Click;

    fn next(&mut self) -> Option<Click> {
        let (target, is_repeat) = self.moves_to();
        let target_newton_metre = *self.habits.targets_newton_metre.get(target)?;
        self.at = Some(target);
        let scatter = self.habits.relative_sigma * self.random.normal();
        Some(Click {
            target,
            target_newton_metre,
            torque_newton_metre: (target_newton_metre * (1.0 + scatter)).max(0.0),
            is_repeat,
        })
    }
}

fn check(habits: &Habits) -> Result<(), PersonError> {
    if habits.targets_newton_metre.is_empty() {
        return Err(PersonError::NoTargets);
    }
    let is_torque = |value: f64| value > 0.0 && value <= MOST_TARGET;
    let mut targets = habits.targets_newton_metre.iter().zip(1..);
    if let Some((&value, number)) = targets.find(|(value, _)| !is_torque(**value)) {
        return Err(PersonError::Target { number, value });
    }
    if !(0.0..=1.0).contains(&habits.relative_sigma) {
        return Err(PersonError::Sigma(habits.relative_sigma));
    }
    if !(0.0..=0.9).contains(&habits.repeat_click) {
        return Err(PersonError::Repeat(habits.repeat_click));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::cast_precision_loss)]

    use super::*;
    use proptest::prelude::*;

    fn clicks(targets: &[f64], seed: u64) -> Vec<Click> {
        Person::new(Habits::around(targets), seed)
            .unwrap()
            .collect()
    }

    #[test]
    fn the_seed_fixes_every_click() {
        assert_eq!(clicks(&[5.0, 5.0, 8.0], 1), clicks(&[5.0, 5.0, 8.0], 1));
        assert_ne!(clicks(&[5.0, 5.0, 8.0], 1), clicks(&[5.0, 5.0, 8.0], 2));
    }

    #[test]
    fn scatter_and_repeats_are_as_asked() {
        let mut habits = Habits::around(&vec![5.0; 20_000]);
        habits.repeat_click = 0.25;
        let all: Vec<Click> = Person::new(habits, 42).unwrap().collect();
        let count = all.len() as f64;
        let relative = |click: &Click| click.torque_newton_metre / click.target_newton_metre - 1.0;
        let mean = all.iter().map(relative).sum::<f64>() / count;
        let variance = all
            .iter()
            .map(|c| (relative(c) - mean).powi(2))
            .sum::<f64>()
            / count;
        let repeats = all.iter().filter(|c| c.is_repeat).count() as f64 / count;
        assert!(mean.abs() < 0.001, "mean {mean}");
        assert!((variance.sqrt() - 0.03).abs() < 0.001, "sigma²{variance}");
        // Of all clicks a share p is a repeat.
        assert!((repeats - 0.25).abs() < 0.015, "repeats {repeats}");
    }

    #[test]
    fn impossible_habits_are_refused_with_a_reason() {
        let refused = |habits: Habits| Person::new(habits, 0).unwrap_err().to_string();
        assert!(refused(Habits::around(&[])).contains("at least one"));
        assert!(refused(Habits::around(&[5.0, -1.0])).starts_with("target 2 is -1"));
        assert!(refused(Habits::around(&[f64::NAN])).starts_with("target 1 is NaN"));
        let mut habits = Habits::around(&[5.0]);
        habits.repeat_click = 1.0;
        assert!(refused(habits.clone()).contains("0 to 0.9"));
        habits.relative_sigma = f64::INFINITY;
        assert!(refused(habits).contains("scatter of inf"));
    }

    proptest! {
        #[test]
        fn every_target_is_pulled_in_order_and_only_repeats_stay(
            targets in proptest::collection::vec(0.1..100.0, 1..20), seed: u64, repeat in 0.0..0.9
        ) {
            let mut habits = Habits::around(&targets);
            habits.repeat_click = repeat;
            let all: Vec<Click> = Person::new(habits, seed).unwrap().collect();
            let firsts: Vec<usize> = all.iter().filter(|c| !c.is_repeat).map(|c| c.target).collect();
            prop_assert_eq!(firsts, (0..targets.len()).collect::<Vec<_>>());
            for pair in all.windows(2) {
                prop_assert_eq!(pair[1].is_repeat, pair[0].target == pair[1].target);
            }
            prop_assert!(all.iter().all(|c| c.torque_newton_metre >= 0.0));
        }
    }
}
