//! The end of a build: what is open or in doubt is pulled, the bike leaves, and what is shown is compared with what is so.

use super::day::Day;
use super::stand::mechanic;
use super::tally::What;
use pullmark_daemon::core::place::Doubt;
use pullmark_schema::api::Act;
use pullmark_sim::mechanic::{Causes, Truth};

/// Nothing is asked for more often, by fasteners of the plan.
const MOST_ROUNDS: usize = 4;

impl Day<'_> {
    /// What the page says is open is pulled, and then what it is not sure of.
    pub(super) fn close(&mut self, number: usize) {
        for _ in 0..MOST_ROUNDS {
            self.pull_open(number);
            let doubts = self
                .builds
                .get(number)
                .map_or_else(Vec::new, |on| self.stand.bench.doubts(&on.id));
            if doubts.is_empty() {
                return;
            }
            for Doubt { fastener, .. } in doubts {
                self.one_at(What::NetAsked, number, &fastener);
                if !self.is_in_spec(number, &fastener) {
                    self.one_at(What::NetCaught, number, &fastener);
                }
                self.pull_once_more(number, &fastener);
            }
        }
        self.pull_open(number);
    }

    fn pull_open(&mut self, number: usize) {
        let most = self
            .builds
            .get(number)
            .map_or(0, |on| on.plan.step_count() * MOST_ROUNDS);
        for _ in 0..most {
            let open = self
                .build(number)
                .and_then(|build| build.open_steps().next())
                .map(|step| step.fastener.id.clone());
            let Some(fastener) = open else {
                return;
            };
            self.one_at(What::OpenAsked, number, &fastener);
            if self.is_in_spec(number, &fastener) {
                self.one_at(What::OpenNeedless, number, &fastener);
            }
            self.pull_once_more(number, &fastener);
        }
    }

    fn pull_once_more(&mut self, number: usize, fastener: &str) {
        let (Some(on), Some(place)) = (self.builds.get(number), self.place_of(number, fastener))
        else {
            return;
        };
        let point = Act::PointAt {
            build: on.id.clone(),
            fastener: fastener.to_owned(),
            by: mechanic(),
        };
        self.act(point);
        let pull = self
            .mechanic
            .pull_once_more(place.bike, place.stage, place.bolt);
        if let Some(sequence) = pull.and_then(|pull| self.reading(pull)) {
            self.correct(number, sequence);
        }
        self.pull_on();
    }

    /// Whoever is asked for one fastener sees where the page puts the pull, and corrects it.
    fn correct(&mut self, number: usize, sequence: u64) {
        let Some(pull) = self.truths.get(&sequence).copied() else {
            return;
        };
        let placed = self
            .build(number)
            .and_then(|build| build.readings.get(&sequence))
            .and_then(|reading| reading.placement.place().cloned());
        let right = pull.truth.and_then(|truth| self.right_place(&truth));
        let is_wrong = placed
            .zip(right)
            .is_some_and(|(placed, right)| placed.fastener != right.fastener);
        if is_wrong {
            self.one_at(What::Corrected, number, "");
            self.answer(sequence, &pull, false);
        }
    }

    /// The bike leaves; what is shown is compared with what is so.
    pub(super) fn hand_over(&mut self, number: usize) {
        let Some(on) = self.builds.get(number) else {
            return;
        };
        let (id, plan_number, plan) = (on.id.clone(), on.number, on.plan);
        self.tally.one(What::Builds, plan_number, Causes::NONE);
        let is_finished = self.act(Act::Finish {
            build: id,
            by: mechanic(),
            sure: None,
        });
        if !is_finished {
            self.tally.one(What::NotFinished, plan_number, Causes::NONE);
            self.story.mark("not finished");
        }
        for (_, fastener) in plan.fasteners() {
            self.compare(number, &fastener.id);
        }
    }

    fn compare(&mut self, number: usize, fastener: &str) {
        let is_done = self
            .build(number)
            .is_some_and(|build| build.standing(fastener).is_done());
        match (is_done, self.is_in_spec(number, fastener)) {
            (true, false) => {
                self.one_at(What::FalseDone, number, fastener);
                if let Some(truth) = self.truth(number, fastener).copied() {
                    self.story.false_done(fastener, &truth);
                }
            }
            (false, true) => self.one_at(What::OpenButDone, number, fastener),
            _ => {}
        }
    }

    fn truth(&self, number: usize, fastener: &str) -> Option<&Truth> {
        let at = self.place_of(number, fastener)?;
        self.mechanic.truth(at.bike, at.stage, at.bolt)
    }

    fn is_in_spec(&self, number: usize, fastener: &str) -> bool {
        self.truth(number, fastener).is_some_and(Truth::is_in_spec)
    }

    /// One of something that is about a fastener, not about a reading.
    fn one_at(&mut self, what: What, number: usize, fastener: &str) {
        let causes = self
            .truth(number, fastener)
            .map_or(Causes::NONE, Truth::causes);
        if let Some(on) = self.builds.get(number) {
            self.tally.one(what, on.number, causes);
        }
    }
}
