//! A build as its entries tell it: a fold, and nothing else. The daemon decides on it, the record is made from it,
//! and whoever has the entries gets the same answer.

mod checks;
mod course;
mod life;
mod standing;

pub use checks::{
    BuildCheckReading, CheckStanding, CheckState, CheckSummary, Checks, EarlierCheck,
    EarlierCheckVerdict, RaisedCheckAlarm, RemovedCheck,
};
pub(crate) use checks::{Fact, Facts, answer_of, since};
pub use life::{
    Aside, Earlier, EarlierVerdict, Edition, HandOver, Note, PartAct, Removed, Since, Withdrawal,
    withdrawable,
};
pub use standing::{Standing, Summary};

use crate::canonical::Digest32;
use crate::due::{AfterRides, Follows};
use crate::entry::{
    Affected, Alarm, Bike, Decision, Entry, Event, OnFastener, Placed, PlanPin, Pulled,
};
use crate::placement::{Place, Placement};
use crate::plan::Plan;
use crate::quantity::Torque;
use crate::reading::Reading;
use crate::verdict::{Answer, Verdict};
use std::collections::{BTreeMap, BTreeSet};

/// Who did something, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Act {
    /// The entry's sequence number.
    pub sequence: u64,
    /// The entry's time.
    pub time: String,
    /// Who.
    pub by: String,
    /// Why, or what was seen.
    pub reason: Option<String>,
}

/// A reading of a build, where it is placed now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BuildReading {
    /// The sequence number of its entry.
    pub sequence: u64,
    /// When it came.
    pub time: String,
    /// What the tool said.
    pub reading: Reading,
    /// Where it is placed now.
    pub placement: Placement,
    /// The verdict there.
    pub verdict: Option<Verdict>,
    /// Every place it was in before, the oldest first.
    pub earlier: Vec<Placement>,
    /// What earlier editions of the plan said about it where it is now, the oldest first.
    pub earlier_verdicts: Vec<EarlierVerdict>,
}

impl BuildReading {
    /// Whether its pass need not be pulled again because of it.
    pub fn completes_its_pass(&self) -> bool {
        completes_its_pass(self.reading.applied, self.verdict.as_ref())
    }

    /// Takes a verdict as the first one where the reading is now.
    fn judge(&mut self, verdict: Option<&Verdict>) {
        self.verdict = verdict.cloned();
        self.earlier_verdicts.clear();
    }

    /// Takes the verdict of another edition of the plan.
    fn judge_anew(&mut self, sequence: u64, verdict: &Verdict) {
        if let Some(before) = self.verdict.replace(verdict.clone()) {
            self.earlier_verdicts.push(EarlierVerdict {
                until: sequence,
                verdict: before,
            });
        }
    }

    /// Since when its answer is what it is, and since when it is over.
    pub fn since(&self) -> Since {
        Since::of(self.sequence, &self.earlier_verdicts, self.verdict.as_ref())
    }

    /// Whether only a person can say that it was not over.
    pub fn may_be_over(&self) -> bool {
        let verdict = self.verdict.as_ref();
        verdict.is_some_and(|verdict| verdict.may_be_over(self.reading.applied))
    }
}

/// Whether a pass need not be pulled again because of a reading: it was not too little, and not perhaps too little.
pub(crate) fn completes_its_pass(applied: Option<Torque>, verdict: Option<&Verdict>) -> bool {
    verdict.is_some_and(|verdict| match verdict.answer {
        Answer::Within | Answer::Over => true,
        Answer::Undecided => verdict.may_be_over(applied),
        Answer::Under => false,
    })
}

/// An over alarm of a build.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RaisedAlarm {
    /// The sequence number of the entry that raised it.
    pub sequence: u64,
    /// The reading's sequence number.
    pub reading: u64,
    /// What was passed.
    pub alarm: Alarm,
    /// Who acknowledged it.
    pub acknowledged: Option<Act>,
}

/// What a recall found on this bike, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownRecall {
    /// The sequence number of its entry.
    pub sequence: u64,
    /// When.
    pub time: String,
    /// What was found.
    pub affected: Affected,
}

/// What was decided after an over reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Disposition {
    /// Who and when; the reason is always there.
    pub act: Act,
    /// What.
    pub decision: Decision,
}

/// Everything that was done to one fastener.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FastenerState {
    /// The passes before this one are not to be pulled any more: they are done, or the fastener waits or was kept.
    closed_to: u8,
    /// The sequence numbers of the readings that are placed here now, rising.
    pub placed: BTreeSet<u64>,
    /// Each time it was undone, by hand or after an over reading.
    pub loosened: Vec<Act>,
    /// What it waits for, if it does.
    pub deferred: Option<Act>,
    /// Prep that was confirmed.
    pub prepared: Vec<Act>,
    /// Second looks.
    pub looked: Vec<Act>,
    /// Decisions after over readings.
    pub dispositions: Vec<Disposition>,
    /// What it waits for, if that was said.
    pub waits_for: Option<String>,
    /// What earlier editions of the plan said, where that makes another verdict; the oldest first.
    pub earlier: Vec<Earlier>,
}

/// One bike being put together after one plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Build {
    /// Its name.
    pub id: String,
    /// The bike.
    pub bike: Bike,
    /// The edition of the plan that holds now, as pinned.
    pub pin: PlanPin,
    /// The plan itself.
    pub plan: Plan,
    /// The editions before it, the oldest first.
    pub editions: Vec<Edition>,
    /// Fasteners that an earlier edition had, by their ids.
    pub removed: BTreeMap<String, Removed>,
    /// Parts put on and replaced, the oldest first.
    pub parts: Vec<PartAct>,
    /// Each time it changed hands.
    pub hands: Vec<HandOver>,
    /// Each time it was laid aside.
    pub asides: Vec<Aside>,
    /// What people noted, the oldest first.
    pub notes: Vec<Note>,
    /// Acts that were taken back, in the order in which that was done.
    pub withdrawn: Vec<Withdrawal>,
    /// The sequence numbers of the entries that speak of this build, rising.
    pub entries: Vec<u64>,
    /// Who began it.
    pub started: Act,
    /// Who handed it over.
    pub finished: Option<Act>,
    /// Each time it was taken up again after that, the oldest first.
    pub reopened: Vec<Act>,
    /// Records sealed, the oldest first.
    pub sealed: Vec<Act>,
    /// SHA-256 of the last one.
    pub record: Option<Digest32>,
    /// The build that it goes on from.
    pub follows: Option<Follows>,
    /// What was said since it was handed over first.
    pub after_rides: AfterRides,
    /// By sequence number.
    pub readings: BTreeMap<u64, BuildReading>,
    /// The oldest first.
    pub alarms: Vec<RaisedAlarm>,
    /// What was measured that is no torque.
    pub checks: Checks,
    /// What recalls found on this bike, the oldest first.
    pub recalled: Vec<KnownRecall>,
    /// The fastener a mechanic pointed at.
    pub pointed: Option<Place>,
    /// The last entry that speaks of this build.
    pub last_sequence: u64,
    /// What was done to each fastener, in the plan's order.
    states: Vec<FastenerState>,
    /// Where a fastener is found, by its id.
    found: BTreeMap<String, Found>,
    /// Every planned pull in its order.
    order: Vec<Planned>,
    /// Where in the order work was done last; it goes on from there.
    cursor: usize,
    /// Where it was before that, if it went forward. What lies between the two may have been left for a moment only.
    from: usize,
    /// Every entry until it is finished, for what is taken back.
    log: Vec<life::Logged>,
    /// How it was when it was taken up again; the log begins after that.
    base: Option<Box<Build>>,
}

/// Where a fastener is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Found {
    /// Among the states.
    number: usize,
    /// Its stage in the plan.
    stage: usize,
    /// Its place in the stage.
    fastener: usize,
}

/// One planned pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Planned {
    found: Found,
    pass: u8,
    percent: u8,
}

fn act(entry: &Entry, by: &str, reason: Option<&str>) -> Act {
    Act {
        sequence: entry.sequence,
        time: entry.time.clone(),
        by: by.to_owned(),
        reason: reason.map(str::to_owned),
    }
}

fn index_of(plan: &Plan) -> (BTreeMap<String, Found>, Vec<Planned>) {
    let found = find_all(plan);
    let order = plan
        .steps()
        .filter_map(|step| {
            Some(Planned {
                found: *found.get(&step.fastener.id)?,
                pass: step.pass,
                percent: step.percent,
            })
        })
        .collect();
    (found, order)
}

fn find_all(plan: &Plan) -> BTreeMap<String, Found> {
    let places = plan.stages.iter().enumerate().flat_map(|(number, stage)| {
        let ids = stage.fasteners.iter().map(|fastener| fastener.id.clone());
        ids.enumerate()
            .map(move |(fastener, id)| (id, number, fastener))
    });
    places
        .enumerate()
        .map(|(number, (id, stage, fastener))| {
            let found = Found {
                number,
                stage,
                fastener,
            };
            (id, found)
        })
        .collect()
}

impl Build {
    /// A build from the entry that began it. Nothing if the entry is of another kind or names another plan.
    pub fn begin(entry: &Entry, plan: Plan) -> Option<Self> {
        let Event::BuildStarted {
            build,
            bike,
            plan: pin,
            by,
            follows,
        } = &entry.event
        else {
            return None;
        };
        if pin.sha256 != plan.sha256 {
            return None;
        }
        let (found, order) = index_of(&plan);
        let checks = Checks::of(&plan);
        let log = vec![life::Logged::new(entry, Some(&plan))];
        Some(Self {
            id: build.clone(),
            bike: bike.clone(),
            pin: pin.clone(),
            plan,
            editions: Vec::new(),
            removed: BTreeMap::new(),
            parts: Vec::new(),
            hands: Vec::new(),
            asides: Vec::new(),
            notes: Vec::new(),
            withdrawn: Vec::new(),
            entries: vec![entry.sequence],
            started: act(entry, by, None),
            finished: None,
            reopened: Vec::new(),
            sealed: Vec::new(),
            record: None,
            follows: follows.clone(),
            after_rides: AfterRides::default(),
            readings: BTreeMap::new(),
            alarms: Vec::new(),
            checks,
            recalled: Vec::new(),
            pointed: None,
            last_sequence: entry.sequence,
            states: vec![FastenerState::default(); found.len()],
            found,
            order,
            cursor: 0,
            from: 0,
            log,
            base: None,
        })
    }

    /// Takes in one entry; those of other builds change nothing.
    pub fn apply(&mut self, entry: &Entry) {
        self.apply_with(entry, None);
    }

    /// Takes in one entry, with the plan that a `plan-changed` entry pins.
    pub fn apply_with(&mut self, entry: &Entry, plan: Option<&Plan>) {
        if entry.event.build() != Some(&self.id) {
            return;
        }
        if self.finished.is_none() {
            self.log.push(life::Logged::new(entry, plan));
        }
        if matches!(entry.event, Event::Withdrawn(_)) {
            self.fold_anew();
        } else {
            self.fold(entry, plan);
        }
        if self.finished.is_some() {
            self.log = Vec::new();
            self.base = None;
        }
        if matches!(entry.event, Event::Reopened(_)) {
            // What was handed over is in a record: new acts amend it, and none of it is taken back.
            self.log = Vec::new();
            self.base = Some(Box::new(self.clone()));
        }
    }

    fn note_entry(&mut self, entry: &Entry) {
        self.last_sequence = entry.sequence;
        self.entries.push(entry.sequence);
    }

    fn fold(&mut self, entry: &Entry, plan: Option<&Plan>) {
        self.note_entry(entry);
        self.checks.fold(entry);
        match &entry.event {
            Event::Pulled(pulled) => self.pulled(entry, pulled),
            Event::Placed(placed) => self.placed(entry, placed),
            Event::Acknowledged { alarm, by, .. } => {
                for raised in self
                    .alarms
                    .iter_mut()
                    .filter(|raised| raised.sequence == *alarm)
                {
                    raised
                        .acknowledged
                        .get_or_insert_with(|| act(entry, by, None));
                }
            }
            Event::PointedAt { fastener, .. } if self.found.contains_key(fastener) => {
                let pass = self.passes_done(fastener);
                self.pointed = Some(Place {
                    fastener: fastener.clone(),
                    pass,
                });
            }
            Event::Disposed {
                fastener,
                decision,
                by,
                reason,
                ..
            } => {
                let act = act(entry, by, Some(reason));
                if decision.loosens() {
                    self.go_back_to(fastener);
                }
                self.change(fastener, |state| {
                    if decision.loosens() {
                        state.loosened.push(act.clone());
                    }
                    state.dispositions.push(Disposition {
                        act,
                        decision: *decision,
                    });
                });
            }
            Event::Affected(affected) => self.recalled.push(KnownRecall {
                sequence: entry.sequence,
                time: entry.time.clone(),
                affected: (**affected).clone(),
            }),
            Event::BuildFinished { by, sure, .. } => {
                let act = act(entry, by, sure.as_deref());
                self.after_rides.handed_over = Some(act.clone());
                self.finished = Some(act);
            }
            Event::Reopened(reopened) => {
                self.finished = None;
                let act = act(entry, &reopened.by, Some(&reopened.reason));
                self.reopened.push(act);
            }
            Event::RecordSealed { by, record, .. } => {
                self.sealed.push(act(entry, by, None));
                self.record = Some(*record);
            }
            Event::DueTold(told) => {
                let act = act(entry, &told.by, told.reason.as_deref());
                let said = (told.due.clone(), told.done, act);
                self.after_rides.told.push(said);
            }
            Event::Ridden(ridden) => {
                let act = act(entry, &ridden.by, None);
                self.after_rides.ridden = Some((ridden.kilometres, act));
            }
            Event::Loosened(on) => {
                self.undo(&on.fastener, act(entry, &on.by, on.reason.as_deref()));
            }
            Event::Deferred(waits) => {
                let act = act(entry, &waits.by, waits.reason.as_deref());
                self.change(&waits.fastener, |state| {
                    state.deferred = Some(act);
                    state.waits_for.clone_from(&waits.waits_for);
                });
            }
            Event::TakenUp(on) => {
                self.on(entry, on, |state, _| {
                    state.deferred = None;
                    state.waits_for = None;
                });
                self.go_back_to(&on.fastener);
            }
            Event::Prepared(on) => self.on(entry, on, |state, act| state.prepared.push(act)),
            Event::Looked(on) => self.on(entry, on, |state, act| state.looked.push(act)),
            _ => self.fold_life(entry, plan),
        }
    }

    fn on(&mut self, entry: &Entry, on: &OnFastener, then: impl FnOnce(&mut FastenerState, Act)) {
        let act = act(entry, &on.by, on.reason.as_deref());
        self.change(&on.fastener, |state| then(state, act));
    }

    fn change(&mut self, fastener: &str, then: impl FnOnce(&mut FastenerState)) {
        let Some(found) = self.found.get(fastener).copied() else {
            return;
        };
        if let Some(state) = self.states.get_mut(found.number) {
            then(state);
        }
        let closed_to = self.passes_not_to_be_pulled(fastener);
        if let Some(state) = self.states.get_mut(found.number) {
            state.closed_to = closed_to;
        }
    }

    fn pulled(&mut self, entry: &Entry, pulled: &Pulled) {
        self.raise(entry.sequence, entry.sequence, pulled.alarm.as_ref());
        self.readings.insert(
            entry.sequence,
            BuildReading {
                sequence: entry.sequence,
                time: entry.time.clone(),
                reading: pulled.reading.clone(),
                placement: pulled.placement.clone(),
                verdict: pulled.verdict.clone(),
                earlier: Vec::new(),
                earlier_verdicts: Vec::new(),
            },
        );
        self.index(entry.sequence, None, &pulled.placement);
        self.go_on_from(&pulled.placement);
        self.forget_pointed(&pulled.placement);
    }

    fn placed(&mut self, entry: &Entry, placed: &Placed) {
        self.raise(entry.sequence, placed.reading, placed.alarm.as_ref());
        if let Some(reading) = self.readings.get_mut(&placed.reading) {
            let before = std::mem::replace(&mut reading.placement, placed.placement.clone());
            reading.judge(placed.verdict.as_ref());
            reading.earlier.push(before.clone());
            self.index(placed.reading, Some(&before), &placed.placement);
        }
        let is_last = self.readings.keys().next_back() == Some(&placed.reading);
        if is_last {
            self.go_on_from(&placed.placement);
        }
        self.forget_pointed(&placed.placement);
    }

    fn index(&mut self, reading: u64, before: Option<&Placement>, after: &Placement) {
        if let Some(place) = before.and_then(Placement::place) {
            if let Some(removed) = self.removed.get_mut(&place.fastener) {
                removed.state.placed.remove(&reading);
            }
            self.change(&place.fastener, |state| {
                state.placed.remove(&reading);
            });
        }
        if let Some(place) = after.place() {
            self.change(&place.fastener, |state| {
                state.placed.insert(reading);
            });
        }
    }

    fn raise(&mut self, sequence: u64, reading: u64, alarm: Option<&Alarm>) {
        if let Some(alarm) = alarm {
            self.alarms.push(RaisedAlarm {
                sequence,
                reading,
                alarm: alarm.clone(),
                acknowledged: None,
            });
        }
    }

    /// Recalls that the last record does not speak of: it has to be amended.
    pub fn not_amended(&self) -> impl Iterator<Item = &KnownRecall> {
        let sealed = self.sealed.last().map_or(0, |act| act.sequence);
        self.recalled
            .iter()
            .filter(move |recall| recall.sequence > sealed)
    }

    /// Readings that wait for a person, the oldest first.
    pub fn held(&self) -> impl Iterator<Item = &BuildReading> {
        self.readings
            .values()
            .filter(|reading| reading.placement.is_held())
    }

    /// Alarms that nobody has acknowledged, the oldest first.
    pub fn open_alarms(&self) -> impl Iterator<Item = &RaisedAlarm> {
        self.alarms
            .iter()
            .filter(|alarm| alarm.acknowledged.is_none())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
pub(crate) mod tests;
