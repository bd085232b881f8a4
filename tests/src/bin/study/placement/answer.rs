//! What the mechanic answers and does: the truth, at once or when the next pull has not answered.

use super::day::Day;
use super::stand::mechanic;
use super::tally::What;
use pullmark_schema::api::Act;
use pullmark_schema::build::Standing;
use pullmark_schema::entry::{Decision, Pulled};
use pullmark_schema::placement::{self, HeldBecause, Placement};
use pullmark_schema::plan::{Fastener, Plan};
use pullmark_sim::mechanic::{Cause, Place, Pull};

/// After so many readings in another unit that were asked about or alarmed, somebody looks at the display.
const HINTS: u8 = 3;

/// The word of a reason, as it is in the ledger.
fn word(because: HeldBecause) -> String {
    serde_json::to_value(because)
        .ok()
        .and_then(|word| word.as_str().map(str::to_owned))
        .unwrap_or_default()
}

impl Day<'_> {
    /// Answers what is asked, and does what an alarm wants.
    pub(super) fn respond(&mut self, sequence: u64, pull: &Pull, pulled: &Pulled) {
        if let Placement::Held { because, .. } = pulled.placement {
            // The page asks at once where an alarm sounds or the plan's order is in question; else it lets the next
            // pull answer.
            if !self.is_held(sequence, pull.tool) {
                return;
            }
            if because.may_become_clear() && pulled.alarm.is_none() {
                self.pending.push((sequence, *pull));
                return;
            }
            self.one(What::Questions, pull);
            *self.tally.held_because.entry(word(because)).or_default() += 1;
            let about_unit = because == HeldBecause::OtherUnit || self.is_hint(pull);
            self.answer(sequence, pull, about_unit);
        } else if pulled.alarm.is_some() {
            let is_right = pull.truth.filter(|truth| truth.bike == pull.tool);
            let is_right = is_right.and_then(|truth| self.right_place(&truth)).as_ref()
                == pulled.placement.place();
            let about_unit = self.is_hint(pull);
            if about_unit || !is_right {
                self.answer(sequence, pull, about_unit);
            }
        } else {
            return;
        }
        self.acknowledge(pull.tool);
        self.settle(pull.tool);
    }

    /// Answers what the last pull has not answered.
    pub(super) fn answer_pending(&mut self) {
        for (sequence, pull) in std::mem::take(&mut self.pending) {
            if self.is_held(sequence, pull.tool) {
                self.one(What::Questions, &pull);
                let word = "unclear, after the next pull".to_owned();
                *self.tally.held_because.entry(word).or_default() += 1;
                let about_unit = self.is_hint(&pull);
                self.answer(sequence, &pull, about_unit);
                self.settle(pull.tool);
            }
        }
    }

    /// Says what a reading was, asked or not.
    pub(super) fn tell_all(&mut self, sequence: u64, pull: &Pull) {
        let right = pull.truth.filter(|truth| truth.bike == pull.tool);
        let right = right.and_then(|truth| self.right_place(&truth));
        let shown = self
            .build(pull.tool)
            .and_then(|build| build.readings.get(&sequence))
            .and_then(|reading| reading.placement.place().cloned());
        if shown != right || self.is_held(sequence, pull.tool) {
            self.answer(sequence, pull, false);
            self.settle(pull.tool);
        }
    }

    fn is_held(&self, sequence: u64, number: usize) -> bool {
        self.build(number)
            .and_then(|build| build.readings.get(&sequence))
            .is_some_and(|reading| reading.placement.is_held())
    }

    /// Whether by now somebody looks at the display.
    fn is_hint(&mut self, pull: &Pull) -> bool {
        if !pull.causes.has(Cause::OtherUnit) {
            return false;
        }
        self.hints += 1;
        self.hints >= HINTS
    }

    /// Says where a reading belongs.
    pub(super) fn answer(&mut self, sequence: u64, pull: &Pull, about_unit: bool) {
        if about_unit && pull.causes.has(Cause::OtherUnit) {
            self.unit_was_wrong(sequence, pull);
            return;
        }
        match pull.truth {
            Some(truth) if truth.bike == pull.tool => {
                let place = self.right_place(&truth);
                self.place(sequence, place, None);
            }
            Some(truth) => {
                self.place(sequence, None, Some("pulled on another bike"));
                self.mechanic.told_about_tool();
                self.pull_anew(pull, truth);
            }
            None => self.place(sequence, None, Some("test pull")),
        }
    }

    fn unit_was_wrong(&mut self, sequence: u64, pull: &Pull) {
        self.place(sequence, None, Some("display in another unit"));
        self.mechanic.told_about_unit(pull.tool);
        self.hints = 0;
        if let Some(truth) = pull.truth {
            self.pull_anew(pull, truth);
        }
    }

    /// The reading does not stand for this pull, so it is made again.
    fn pull_anew(&mut self, pull: &Pull, truth: Place) {
        if self.is_over(pull) {
            self.mechanic.undo_and_pull_again(truth);
        } else {
            self.mechanic.pull_again(truth);
        }
    }

    fn place(&mut self, reading: u64, place: Option<placement::Place>, reason: Option<&str>) {
        let (fastener, pass) = place.map_or((None, None), |place| {
            (Some(place.fastener), Some(place.pass))
        });
        self.act(Act::Place {
            reading,
            fastener,
            pass,
            by: mechanic(),
            reason: reason.map(str::to_owned),
        });
    }

    pub(super) fn act(&mut self, act: Act) -> bool {
        self.story.act(&act);
        match self.stand.act(act) {
            Ok(_) => true,
            Err(refusal) => {
                self.story.say(&format!("refused: {refusal}"));
                false
            }
        }
    }

    fn acknowledge(&mut self, number: usize) {
        let open: Vec<u64> = self
            .build(number)
            .into_iter()
            .flat_map(|build| build.open_alarms().map(|alarm| alarm.sequence))
            .collect();
        for alarm in open {
            self.act(Act::Acknowledge {
                alarm,
                by: mechanic(),
            });
        }
    }

    /// Settles whatever stands as over: readings that do not belong there go where they do, and what is really too
    /// tight is undone and pulled again.
    fn settle(&mut self, number: usize) {
        let over: Vec<&Fastener> = self
            .builds
            .get(number)
            .map(|on| on.plan)
            .into_iter()
            .flat_map(Plan::fasteners)
            .map(|(_, fastener)| fastener)
            .filter(|fastener| self.stands_over(number, &fastener.id))
            .collect();
        for fastener in over {
            self.settle_at(number, fastener);
        }
        self.acknowledge(number);
    }

    fn stands_over(&self, number: usize, fastener: &str) -> bool {
        self.build(number)
            .is_some_and(|build| build.standing(fastener) == Standing::Over)
    }

    fn settle_at(&mut self, number: usize, fastener: &Fastener) {
        let Some(here) = self.place_of(number, &fastener.id) else {
            return;
        };
        let mut really = None;
        for (sequence, pull) in self.over_readings(number, fastener) {
            let is_here = pull
                .truth
                .is_some_and(|at| Place { pass: 0, ..at } == Place { pass: 0, ..here });
            if pull.causes.has(Cause::OtherUnit) {
                self.unit_was_wrong(sequence, &pull);
            } else if is_here {
                really = pull.truth;
            } else {
                self.answer(sequence, &pull, false);
            }
        }
        let Some(really) = really.filter(|_| self.stands_over(number, &fastener.id)) else {
            return;
        };
        let Some(build) = self.builds.get(number).map(|on| on.id.clone()) else {
            return;
        };
        let is_settled = self.act(Act::Dispose {
            build,
            fastener: fastener.id.clone(),
            decision: Decision::TightenedAgain,
            by: mechanic(),
            reason: "too tight".to_owned(),
        });
        if is_settled {
            self.mechanic.undo_and_pull_again(really);
        }
    }

    /// The readings that are placed at a fastener, count, and are above its limit.
    fn over_readings(&self, number: usize, fastener: &Fastener) -> Vec<(u64, Pull)> {
        let upper = fastener.spec.limits.upper;
        self.build(number)
            .into_iter()
            .flat_map(|build| build.counting(&fastener.id))
            .filter(|reading| {
                fastener
                    .hand
                    .tightening(reading.reading.applied)
                    .is_none_or(|applied| applied > upper)
            })
            .filter_map(|reading| Some((reading.sequence, *self.truths.get(&reading.sequence)?)))
            .collect()
    }
}
