//! What comes next: the planned pulls in their order, and where in it the work is.

use super::{Build, FastenerState, Found, Planned};
use crate::placement::{Place, Placement, PullKind};
use crate::plan::{Fastener, Stage, Step};

impl Build {
    /// A pull that completes or repairs something moves the work on; one more look at a tight fastener does not.
    pub(super) fn go_on_from(&mut self, placement: &Placement) {
        let is_excursion = matches!(
            placement,
            Placement::ByOrder {
                kind: PullKind::Again,
                ..
            }
        );
        if let Some(number) = placement.place().and_then(|place| self.number_of(place))
            && !is_excursion
        {
            self.from = self.cursor.min(number);
            self.cursor = number;
        }
    }

    /// What was undone, or taken up again, comes next.
    pub(super) fn go_back_to(&mut self, fastener: &str) {
        let place = Place {
            fastener: fastener.to_owned(),
            pass: 0,
        };
        if let Some(number) = self.number_of(&place) {
            self.from = number;
            self.cursor = number;
        }
    }

    pub(super) fn number_of(&self, place: &Place) -> Option<usize> {
        let found = self.found.get(&place.fastener)?;
        self.order
            .iter()
            .position(|planned| planned.found == *found && planned.pass == place.pass)
    }

    /// What was pointed at holds until a reading lands there and completes the pass, or is one more pull on what is done.
    pub(super) fn forget_pointed(&mut self, placement: &Placement) {
        if let (Some(pointed), Some(place)) = (&self.pointed, placement.place())
            && pointed.fastener == place.fastener
            && (self.passes_done(&pointed.fastener) > pointed.pass || self.step(pointed).is_none())
        {
            self.pointed = None;
        }
    }

    /// What was done to a fastener of the plan.
    pub fn fastener(&self, id: &str) -> Option<&FastenerState> {
        self.states.get(self.found.get(id)?.number)
    }

    /// A fastener of the plan and its stage.
    pub fn planned(&self, id: &str) -> Option<(&Stage, &Fastener)> {
        self.at(*self.found.get(id)?)
    }

    fn at(&self, found: Found) -> Option<(&Stage, &Fastener)> {
        let stage = self.plan.stages.get(found.stage)?;
        Some((stage, stage.fasteners.get(found.fastener)?))
    }

    fn step_of(&self, planned: Planned) -> Option<Step<'_>> {
        let (stage, fastener) = self.at(planned.found)?;
        Some(Step {
            stage,
            fastener,
            pass: planned.pass,
            percent: planned.percent,
        })
    }

    /// The planned pull that comes next: what was pointed at, else what was passed over with the last pull in the same
    /// stage and pass, else the first open one after it, else the first that was left open before.
    pub fn next(&self) -> Option<Step<'_>> {
        if self.finished.is_some() {
            return None;
        }
        if let Some(step) = self.pointed.as_ref().and_then(|at| self.pointed_step(at)) {
            return Some(step);
        }
        let here = *self.order.get(self.cursor)?;
        let from = (self.from + 1).min(self.cursor);
        let in_hand =
            self.order.iter().skip(from).filter(|planned| {
                planned.found.stage == here.found.stage && planned.pass == here.pass
            });
        let after = self.order.iter().skip(self.cursor);
        in_hand
            .chain(after)
            .chain(&self.order)
            .find(|planned| self.is_planned_open(planned))
            .and_then(|planned| self.step_of(*planned))
    }

    /// The open pass of a fastener that was pointed at; once more its last pass, where it is done.
    fn pointed_step(&self, pointed: &Place) -> Option<Step<'_>> {
        let mut open = self.open_steps();
        if let Some(step) = open.find(|step| step.fastener.id == pointed.fastener) {
            return Some(step);
        }
        let state = self.fastener(&pointed.fastener)?;
        let planned = self.order.iter().rev().find(|planned| {
            self.at(planned.found)
                .is_some_and(|(_, fastener)| fastener.id == pointed.fastener)
        });
        self.step_of(*planned.filter(|_| state.deferred.is_none())?)
    }

    fn is_planned_open(&self, planned: &Planned) -> bool {
        let state = self.states.get(planned.found.number);
        state.is_some_and(|state| planned.pass >= state.closed_to)
    }

    /// Whether a planned pull is still to be made.
    pub fn is_open(&self, place: &Place) -> bool {
        let state = self.fastener(&place.fastener);
        state.is_some_and(|state| place.pass >= state.closed_to)
    }

    /// The planned pulls that are still to be made, in order.
    pub fn open_steps(&self) -> impl Iterator<Item = Step<'_>> {
        self.order
            .iter()
            .filter(|planned| self.is_planned_open(planned))
            .filter_map(|planned| self.step_of(*planned))
    }

    /// The passes that are done; all of them where the fastener waits, or was over in an early pass and was kept.
    pub(super) fn passes_not_to_be_pulled(&self, id: &str) -> u8 {
        let is_deferred = self
            .fastener(id)
            .is_some_and(|state| state.deferred.is_some());
        if is_deferred || self.standing(id).is_done() {
            u8::MAX
        } else {
            self.passes_done(id)
        }
    }

    /// The planned pull at a place.
    pub fn step(&self, place: &Place) -> Option<Step<'_>> {
        let found = *self.found.get(&place.fastener)?;
        let (stage, _) = self.at(found)?;
        let percent = *stage.passes.get(usize::from(place.pass))?;
        self.step_of(Planned {
            found,
            pass: place.pass,
            percent,
        })
    }
}
