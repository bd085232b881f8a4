//! Whether a display was left in another unit: a run of readings that fits the plan only when its numbers are read in
//! another unit. It is asked about, never corrected.
//!
//! For each unit a sequential test after Wald: the sum of the logarithms of how much better each reading fits what is
//! expected when it is read in that unit. It never falls below zero, so that a run may begin anywhere.

use super::Situation;
use super::course::Course;
use super::fit;
use super::habits::OTHER_UNIT;
use pullmark_schema::plan::Step;
use pullmark_schema::quantity::Unit;

/// The units that a display is left in.
const UNITS: [&str; 3] = ["lbf·in", "lbf·ft", "kgf·cm"];
const ONE_NEWTON_METRE: i64 = 1_000;
/// No single reading says more than this: a run is wanted.
const MOST_PER_READING: f64 = 6.0;
/// A reading that fits as it is ends a run.
const FITS: f64 = 4.0;

/// The evidence for each unit so far.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Units {
    evidence: [f64; 3],
    run: u32,
}

impl Units {
    /// With one more reading.
    pub(super) fn with(
        self,
        course: &Course,
        situation: &Situation<'_>,
        expected: Option<&Step<'_>>,
    ) -> Self {
        let number = |step: &Step<'_>| course.number(&step.place());
        let next = expected.and_then(number);
        let last = situation.last.and_then(|last| course.number(last));
        let Some(torque) = situation.torque else {
            return self;
        };
        let candidates: Vec<usize> = next.into_iter().chain(last).collect();
        let deviation = situation.deviation;
        let nearest = |factor: f64| {
            let x = torque.newton_metres().abs() * factor;
            candidates
                .iter()
                .map(|pull| fit::distance(x, course.spec_of(course.pulls[*pull].slot), deviation))
                .fold(f64::INFINITY, f64::min)
        };
        let as_it_is = nearest(1.0);
        if candidates.is_empty() || as_it_is < FITS {
            return Self::default();
        }
        let mut evidence = self.evidence;
        for (sum, unit) in evidence.iter_mut().zip(UNITS) {
            // How many N·m the number 1 is in that unit.
            let other = Unit::find(unit).map_or(f64::INFINITY, |unit| {
                nearest(1.0 / unit.from_small_units(ONE_NEWTON_METRE))
            });
            let says = if other < FITS {
                // Some slips and jerks end up there too.
                MOST_PER_READING.min(as_it_is)
            } else {
                -MOST_PER_READING
            };
            *sum = (*sum + says).max(0.0);
        }
        Self {
            evidence,
            run: self.run + 1,
        }
    }

    /// Whether another unit is likelier than none by now, after at least two readings.
    pub(super) fn is_other(self) -> bool {
        let wanted = -OTHER_UNIT.ln();
        self.run >= 2 && self.evidence.iter().any(|sum| *sum > wanted)
    }
}
