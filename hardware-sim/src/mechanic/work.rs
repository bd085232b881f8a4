//! The work itself: from one pull to the next.

use super::cause::{Cause, Causes};
use super::order::{self, Planned};
use super::{Last, Mechanic, Place, Pull};

/// No bolt is pulled at more often in a row.
pub(super) const MOST_IN_A_ROW: u8 = 8;

impl Iterator for Mechanic {
    type Item = Pull;

    fn next(&mut self) -> Option<Pull> {
        if let Some(Planned { place, causes }) = self.again.pop_front() {
            let gap = self.hand.step();
            return self.pull_at_aim(place, place.bike, gap, causes);
        }
        if let Some(pull) = self.follow_up() {
            return Some(pull);
        }
        loop {
            self.begin_stage()?;
            if let Some(pull) = self.look_around() {
                return Some(pull);
            }
            let planned = self.planned.pop_front()?;
            self.has_looked_around = false;
            if self.hand.chance(self.hand.habits.rates.skip) {
                if let Some(skipped) = self.skipped.get_mut(planned.place.bike) {
                    *skipped = true;
                }
                if let Some(truth) = self.truth_mut(planned.place) {
                    truth.touched(planned.causes.with(Cause::Skipped));
                }
                continue;
            }
            // A number that names no bolt is passed over.
            if let Some(pull) = self.planned_pull(planned) {
                return Some(pull);
            }
        }
    }
}

impl Mechanic {
    /// Goes on to the next stage with something to pull.
    fn begin_stage(&mut self) -> Option<()> {
        while self.planned.is_empty() {
            let visit = self.visits.pop_front()?;
            self.visited += 1;
            self.visit = Some(visit);
            if let Some(stage) = self.bikes.get(visit.bike)?.stages.get(visit.stage) {
                self.planned = order::pulls(visit, stage, &mut self.hand);
            }
        }
        Some(())
    }

    /// The pull before is mended or repeated.
    fn follow_up(&mut self) -> Option<Pull> {
        let last = self.last?;
        if last.in_a_row >= MOST_IN_A_ROW {
            return None;
        }
        let rates = self.hand.habits.rates;
        let (gap, cause) = if last.is_under && !self.hand.chance(rates.not_repaired) {
            (self.hand.until_repair(), Cause::Repair)
        } else if self.hand.chance(rates.repeat) {
            (self.hand.until_repeat(), Cause::Repeat)
        } else {
            return None;
        };
        let causes = Causes::NONE.with(cause);
        self.pull_at_aim(last.place, last.tool, gap, causes)
    }

    /// Before a planned pull: a test pull, or a look at an earlier bolt.
    fn look_around(&mut self) -> Option<Pull> {
        if std::mem::replace(&mut self.has_looked_around, true) {
            return None;
        }
        let (rates, visit) = (self.hand.habits.rates, self.visit?);
        if self.hand.chance(rates.test_pull) {
            self.last = None;
            let gap = self.hand.step();
            let value = self.hand.test();
            let causes = Causes::NONE.with(Cause::TestPull);
            return Some(self.pulled(None, visit.tool, gap, value, causes));
        }
        if self.hand.chance(rates.look) {
            let place = self.earlier_bolt(visit.bike)?;
            let gap = self.hand.step();
            let causes = Causes::NONE.with(Cause::Look);
            return self.pull_at_aim(place, visit.tool, gap, causes);
        }
        None
    }

    fn earlier_bolt(&mut self, bike: usize) -> Option<Place> {
        let stages = self.truth.get(bike)?.iter().enumerate();
        let all: Vec<Place> = stages
            .flat_map(|(stage, bolts)| {
                bolts.iter().enumerate().filter_map(move |(bolt, truth)| {
                    let pass = truth.pass()?;
                    Some(Place {
                        bike,
                        stage,
                        bolt,
                        pass,
                    })
                })
            })
            .collect();
        all.get(self.hand.one_of(all.len())).copied()
    }

    fn planned_pull(&mut self, planned: Planned) -> Option<Pull> {
        let Planned { place, causes } = planned;
        let skipped = self.skipped.get_mut(place.bike).map(std::mem::take);
        let causes = causes.with_if(skipped == Some(true), Cause::Skipped);
        let (rates, tool) = (self.hand.habits.rates, self.visit?.tool);
        let gap = self.hand.step();
        let (aim, upper) = self.aim(place)?;
        if self.hand.chance(rates.gross_over) {
            let value = self.hand.far_over(upper);
            let causes = causes.with(Cause::GrossOver);
            return Some(self.pulled(Some(place), tool, gap, value, causes));
        }
        if self.hand.chance(rates.gross_under) {
            let value = self.hand.far_under(aim);
            let causes = causes.with(Cause::GrossUnder);
            return Some(self.pulled(Some(place), tool, gap, value, causes));
        }
        self.pull_at_aim(place, tool, gap, causes)
    }

    fn aim(&self, place: Place) -> Option<(f64, f64)> {
        let part = self
            .stage(place.bike, place.stage)?
            .passes
            .get(place.pass)?
            .part;
        let truth = self.truth(place.bike, place.stage, place.bolt)?;
        Some((part * truth.aim(), truth.bolt().upper))
    }

    pub(super) fn pull_at_aim(
        &mut self,
        place: Place,
        tool: usize,
        gap: f64,
        causes: Causes,
    ) -> Option<Pull> {
        let (aim, _) = self.aim(place)?;
        let value = self.hand.at(aim);
        let is_out = self.is_under(place, value) || self.is_over(place, value);
        let causes = causes.with_if(is_out, Cause::Scatter);
        Some(self.pulled(Some(place), tool, gap, value, causes))
    }

    fn is_under(&self, place: Place, value: f64) -> bool {
        let part = self
            .stage(place.bike, place.stage)
            .and_then(|stage| stage.passes.get(place.pass))
            .map_or(1.0, |pass| pass.part);
        self.truth(place.bike, place.stage, place.bolt)
            .is_some_and(|truth| truth.is_under(value, part))
    }

    /// A pull happens.
    fn pulled(
        &mut self,
        place: Option<Place>,
        tool: usize,
        gap_s: f64,
        newton_metres: f64,
        causes: Causes,
    ) -> Pull {
        let is_other_unit = self.is_in_other_unit(tool);
        let causes = causes.with_if(is_other_unit, Cause::OtherUnit).with_if(
            place.is_some_and(|place| place.bike != tool),
            Cause::OtherBike,
        );
        let display = self.displays.get(tool).copied().flatten();
        let factor = display.filter(|_| is_other_unit).map_or(1.0, |d| d.factor);
        if let Some(place) = place {
            let is_last = self
                .stage(place.bike, place.stage)
                .is_some_and(|stage| place.pass + 1 >= stage.passes.len());
            let before = self.last.filter(|last| {
                (last.place.bike, last.place.stage, last.place.bolt)
                    == (place.bike, place.stage, place.bolt)
            });
            self.last = Some(Last {
                place,
                tool,
                is_under: self.is_under(place, newton_metres),
                in_a_row: before.map_or(0, |last| last.in_a_row.saturating_add(1)),
            });
            if let Some(truth) = self.truth_mut(place) {
                truth.pulled(place.pass, is_last, newton_metres, causes);
            }
        }
        Pull {
            gap_s,
            tool,
            truth: place,
            newton_metres,
            shown: self.hand.shown(newton_metres * factor),
            causes,
        }
    }
}
