//! A day at the bench: the mechanic pulls, the engine places, whatever it asks is answered truthfully.

use super::stand::Stand;
use super::story::Story;
use super::tally::{Tally, What};
use pullmark_daemon::core::Input;
use pullmark_daemon::intake::dialect::Value;
use pullmark_schema::build::Build;
use pullmark_schema::entry::Event;
use pullmark_schema::plan::{Fastener, Plan};
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::Displayed;
use pullmark_sim::mechanic::{Mechanic, Place, Pull};
use std::collections::BTreeMap;

/// A build on the bench.
#[derive(Debug)]
pub(super) struct OnBench<'a> {
    pub(super) id: String,
    pub(super) tool: String,
    /// The plan's number.
    pub(super) number: usize,
    pub(super) plan: &'a Plan,
}

/// The day.
#[derive(Debug)]
pub(super) struct Day<'a> {
    pub(super) stand: Stand,
    pub(super) mechanic: Mechanic,
    pub(super) builds: Vec<OnBench<'a>>,
    pub(super) tally: Tally,
    pub(super) story: Story,
    /// What each reading was, by the sequence number of its entry.
    pub(super) truths: BTreeMap<u64, Pull>,
    /// Readings that are held and may be cleared up by the next pull.
    pub(super) pending: Vec<(u64, Pull)>,
    pub(super) hints: u8,
    /// After every reading the program is told what it was, and nobody counts that as a question.
    pub(super) tells_all: bool,
    count: u64,
}

impl<'a> Day<'a> {
    pub(super) fn new(
        stand: Stand,
        mechanic: Mechanic,
        builds: Vec<OnBench<'a>>,
        story: Story,
    ) -> Self {
        Self {
            stand,
            mechanic,
            builds,
            tally: Tally::default(),
            story,
            truths: BTreeMap::new(),
            pending: Vec::new(),
            hints: 0,
            tells_all: false,
            count: 0,
        }
    }

    /// From the first pull to the hand-over of every bike.
    pub(super) fn work(&mut self) {
        self.pull_on();
        for number in 0..self.builds.len() {
            self.close(number);
        }
        for number in 0..self.builds.len() {
            self.hand_over(number);
        }
    }

    /// Pulls until the mechanic has nothing more to do.
    pub(super) fn pull_on(&mut self) {
        loop {
            while let Some(pull) = self.mechanic.next() {
                self.reading(pull);
            }
            if self.pending.is_empty() {
                return;
            }
            self.answer_pending();
        }
    }

    pub(super) fn build(&self, number: usize) -> Option<&Build> {
        self.stand.bench.builds.get(&self.builds.get(number)?.id)
    }

    /// The fastener of a place, by its build's plan.
    pub(super) fn fastener(&self, place: Place) -> Option<&'a Fastener> {
        let plan = self.builds.get(place.bike)?.plan;
        plan.stages.get(place.stage)?.fasteners.get(place.bolt)
    }

    pub(super) fn place_of(&self, bike: usize, fastener: &str) -> Option<Place> {
        let stages = self.builds.get(bike)?.plan.stages.iter().enumerate();
        stages.into_iter().find_map(|(stage, planned)| {
            let bolt = planned.fasteners.iter().position(|f| f.id == fastener)?;
            Some(Place {
                bike,
                stage,
                bolt,
                pass: planned.passes.len().saturating_sub(1),
            })
        })
    }

    pub(super) fn is_over(&self, pull: &Pull) -> bool {
        pull.truth
            .is_some_and(|place| self.mechanic.is_over(place, pull.newton_metres))
    }

    /// A reading comes in, is counted, and whatever it asks for is done. Gives out the number of its entry.
    pub(super) fn reading(&mut self, pull: Pull) -> Option<u64> {
        self.stand.pass(pull.gap_s);
        self.count += 1;
        let on = self.builds.get(pull.tool)?;
        let (number, input) = (on.number, value(&on.tool, self.count, pull.shown));
        let (entries, taken) = self.stand.input(input);
        self.tally.took(number, taken);
        let (mut came, mut cleared) = (None, Vec::new());
        for entry in entries {
            match entry.event {
                Event::Pulled(pulled) => came = Some((entry.sequence, *pulled)),
                Event::Placed(placed) => cleared.push(*placed),
                _ => {}
            }
        }
        let (sequence, pulled) = came?;
        self.truths.insert(sequence, pull);
        for placed in cleared {
            if let Some(earlier) = self.truths.get(&placed.reading).copied() {
                self.score_place(&earlier, &placed.placement);
            }
        }
        let name = pull.truth.and_then(|place| self.fastener(place));
        let name = name.map_or("", |fastener| fastener.id.as_str());
        self.story.reading(sequence, &pull, &pulled, name);
        self.score(&pull, &pulled);
        self.answer_pending();
        self.respond(sequence, &pull, &pulled);
        if self.tells_all {
            self.tell_all(sequence, &pull);
        }
        Some(sequence)
    }

    pub(super) fn one(&mut self, what: What, pull: &Pull) {
        let Some(on) = self.builds.get(pull.tool) else {
            return;
        };
        self.tally.one(what, on.number, pull.causes);
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a torque in whole thousandths"
)]
fn value(tool: &str, count: u64, shown: f64) -> Input {
    let text = format!("{shown:.2}");
    let raw = format!("$PULL,{count},{text},N.m*00").into_bytes();
    let value = Value {
        displayed: Some(Displayed {
            value: text,
            unit: "N.m".to_owned(),
        }),
        torque: Some(Torque::from_small_units((shown * 1000.0).round() as i64)),
        counter: None,
        flags: Vec::new(),
    };
    Input::Value {
        tool: tool.to_owned(),
        raw,
        value,
    }
}
