//! The order of pulls: stages as listed; in a stage pass after pass, each pass along the stage's pattern.
//!
//! "Alternate" and "cross" are common practice of the trade for clamps with several bolts; no source is claimed.

use super::{Fastener, Pattern, Plan, Stage};
use crate::placement::Place;

/// One planned pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step<'a> {
    /// The stage.
    pub stage: &'a Stage,
    /// The fastener.
    pub fastener: &'a Fastener,
    /// Which pass of the stage, counted from 0.
    pub pass: u8,
    /// What part of the target, in percent.
    pub percent: u8,
}

impl Step<'_> {
    /// Where it is.
    pub fn place(&self) -> Place {
        Place {
            fastener: self.fastener.id.clone(),
            pass: self.pass,
        }
    }

    /// Whether nothing more is planned for the fastener after this.
    pub const fn is_last_pass(&self) -> bool {
        self.percent == 100
    }
}

impl Plan {
    /// Every planned pull in its order.
    pub fn steps(&self) -> impl Iterator<Item = Step<'_>> {
        self.stages.iter().flat_map(Stage::steps)
    }

    /// How many pulls are planned.
    pub fn step_count(&self) -> usize {
        self.stages
            .iter()
            .map(|stage| stage.fasteners.len() * stage.passes.len())
            .sum()
    }
}

impl Stage {
    fn steps(&self) -> impl Iterator<Item = Step<'_>> {
        let order = self.pattern.order(self.fasteners.len());
        (0_u8..)
            .zip(&self.passes)
            .flat_map(move |(pass, &percent)| {
                order
                    .clone()
                    .into_iter()
                    .filter_map(|index| self.fasteners.get(index))
                    .map(move |fastener| Step {
                        stage: self,
                        fastener,
                        pass,
                        percent,
                    })
            })
    }
}

impl Pattern {
    /// The places of a list of `count` fasteners in the order in which they are pulled.
    pub fn order(self, count: usize) -> Vec<usize> {
        match self {
            Self::InOrder => (0..count).collect(),
            Self::Alternate => (0..count)
                .map(|i| if i % 2 == 0 { i / 2 } else { count - 1 - i / 2 })
                .collect(),
            Self::Cross => {
                let half = count.div_ceil(2);
                (0..half)
                    .flat_map(|i| [i, i + half])
                    .filter(|&i| i < count)
                    .collect()
            }
        }
    }
}
