//! A plan as the placing sees it: planned pulls in their order, and those that nobody can tell apart taken together.

use pullmark_schema::placement::Place;
use pullmark_schema::plan::{Hand, Limits, Plan, Step};
use pullmark_schema::quantity::Torque;
use pullmark_schema::verdict::{Answer, compare};
use std::collections::BTreeMap;

/// Planned pulls of one stage and pass with the same limits, hand and drive. Which of them was pulled does not show in
/// a reading, and as long as all are pulled it does not matter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Slot {
    /// Which stage of the plan.
    pub(super) stage: usize,
    /// Which pass.
    pub(super) pass: u8,
    /// The number of its spec.
    pub(super) spec: usize,
    drive: Option<String>,
    /// Its pulls, by their numbers in the plan's order.
    pub(super) steps: Vec<usize>,
    /// The slot of the same fasteners' next pass, and of the one before.
    pub(super) later: Option<usize>,
    pub(super) earlier: Option<usize>,
}

/// What a reading is compared with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Spec {
    /// The limits of the pass.
    pub(super) limits: Limits,
    /// What people aim at in the pass.
    pub(super) aim: Torque,
    /// Which way it tightens.
    pub(super) hand: Hand,
}

impl Spec {
    /// Whether a pull makes the pass: an under makes nothing.
    pub(super) fn is_made_by(&self, torque: Option<Torque>) -> bool {
        compare(self.hand.tightening(torque), &self.limits) != Answer::Under
    }
}

/// One planned pull.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Pull {
    /// Its slot.
    pub(super) slot: usize,
    /// Its stage.
    pub(super) stage: usize,
    /// Its pass.
    pub(super) pass: u8,
    /// Where it is.
    pub(super) place: Place,
}

/// The planned pulls of a plan, in their order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Course {
    pub(super) specs: Vec<Spec>,
    pub(super) slots: Vec<Slot>,
    pub(super) pulls: Vec<Pull>,
    pub(super) stages: usize,
    numbers: BTreeMap<Place, usize>,
}

impl Course {
    pub(super) fn of(plan: &Plan) -> Self {
        let mut course = Self {
            specs: Vec::new(),
            slots: Vec::new(),
            pulls: Vec::new(),
            stages: plan.stages.len(),
            numbers: BTreeMap::new(),
        };
        let stages: BTreeMap<&str, usize> = plan
            .stages
            .iter()
            .enumerate()
            .map(|(number, stage)| (stage.id.as_str(), number))
            .collect();
        for step in plan.steps() {
            let stage = stages.get(step.stage.id.as_str()).copied();
            course.add(&step, stage.unwrap_or_default());
        }
        course.join_passes();
        course
    }

    fn add(&mut self, step: &Step<'_>, stage: usize) {
        let pass = step.fastener.spec.limits.of_pass(step.percent);
        let spec = Spec {
            limits: pass.limits,
            aim: pass.aim(),
            hand: step.fastener.hand,
        };
        let known = self.specs.iter().position(|known| *known == spec);
        let spec = known.unwrap_or_else(|| {
            self.specs.push(spec);
            self.specs.len() - 1
        });
        let drive = &step.fastener.drive;
        let is_alike = |slot: &Slot| {
            slot.stage == stage
                && slot.pass == step.pass
                && slot.spec == spec
                && slot.drive == *drive
        };
        let slot = self.slots.iter().position(is_alike).unwrap_or_else(|| {
            self.slots.push(Slot {
                stage,
                pass: step.pass,
                spec,
                drive: drive.clone(),
                steps: Vec::new(),
                later: None,
                earlier: None,
            });
            self.slots.len() - 1
        });
        let number = self.pulls.len();
        self.slots[slot].steps.push(number);
        self.numbers.insert(step.place(), number);
        self.pulls.push(Pull {
            slot,
            stage,
            pass: step.pass,
            place: step.place(),
        });
    }

    fn join_passes(&mut self) {
        for slot in 0..self.slots.len() {
            let first = self.slots[slot].steps.first();
            let later = first.and_then(|&number| {
                let place = &self.pulls[number].place;
                self.number(&Place {
                    fastener: place.fastener.clone(),
                    pass: place.pass + 1,
                })
            });
            let later = later.map(|number| self.pulls[number].slot);
            self.slots[slot].later = later;
            if let Some(later) = later {
                self.slots[later].earlier = Some(slot);
            }
        }
    }

    /// What a slot's readings are compared with.
    pub(super) fn spec_of(&self, slot: usize) -> &Spec {
        &self.specs[self.slots[slot].spec]
    }

    /// The slots of all passes of the same fasteners.
    pub(super) fn all_passes(&self, slot: usize) -> impl Iterator<Item = usize> {
        let mut first = slot;
        while let Some(earlier) = self.slots[first].earlier {
            first = earlier;
        }
        std::iter::successors(Some(first), |slot| self.slots[*slot].later)
    }

    /// The number of a planned pull.
    pub(super) fn number(&self, place: &Place) -> Option<usize> {
        self.numbers.get(place).copied()
    }

    /// Every pass of a fastener.
    pub(super) fn passes(&self, fastener: &str) -> impl Iterator<Item = usize> {
        (0..=u8::MAX).map_while(move |pass| {
            self.number(&Place {
                fastener: fastener.to_owned(),
                pass,
            })
        })
    }
}
