//! The life of a build beside its pulls: parts, hands, pauses, notes, other editions of the plan, and what was taken back.

use super::{Act, Build, FastenerState, act, index_of};
use crate::entry::{Entry, Event, Photo, PlanChanged, PlanPin};
use crate::placement::Place;
use crate::plan::difference::{is_judged_anew, is_pulled_again};
use crate::plan::{Fastener, Hand, Plan, Spec, Stage};
use crate::reading::Origin;
use crate::verdict::{Answer, Rule, Verdict};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// A part that was put on, or that took another's place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartAct {
    /// Who, when, and why it was replaced.
    pub act: Act,
    /// Which part of the plan.
    pub part: String,
    /// Whether it took another's place.
    pub is_swap: bool,
    /// The serial number of the one that went out, where it is known.
    pub out: Option<String>,
    /// The serial number of the one that is on.
    pub serial: String,
    /// What it is, where that was said.
    pub kind: Option<String>,
    /// The fasteners that were undone for it.
    pub fasteners: Vec<String>,
}

/// The build went from one mechanic to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandOver {
    /// By whom, when, and what the other has to know.
    pub act: Act,
    /// To whom.
    pub to: String,
}

/// A time in which the build waited as a whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aside {
    /// Who laid it aside, when and why.
    pub laid: Act,
    /// Who went on with it.
    pub resumed: Option<Act>,
}

/// What somebody noted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// Who and when.
    pub act: Act,
    /// About which fastener; none for the whole build.
    pub fastener: Option<String>,
    /// What.
    pub text: Option<String>,
    /// What it looked like.
    pub photo: Option<Photo>,
}

/// An edition of the plan that was followed by another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edition {
    /// Who changed it to the next one, when and why.
    pub changed: Act,
    /// The edition that held until then.
    pub pin: PlanPin,
}

/// What an earlier edition of the plan said about a fastener.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Earlier {
    /// The entry that changed it.
    pub until: u64,
    /// The stage's passes.
    pub passes: Vec<u8>,
    /// The limits, and who says so.
    pub spec: Spec,
    /// How readings were decided.
    pub rule: Rule,
    /// Which way the thread turned.
    pub hand: Hand,
}

/// What an earlier edition of the plan said about a reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EarlierVerdict {
    /// The entry that changed the plan.
    pub until: u64,
    /// The verdict until then.
    pub verdict: Verdict,
}

/// Since when a reading's answer is what it is. Decisions speak of what was known when they were made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Since {
    /// The entry since which it has its answer: its own, or one that changed the plan.
    pub answer: u64,
    /// The entry since which it is over. An edition that allows more does not take this away; one that allows less
    /// makes it over anew.
    pub over: Option<u64>,
}

impl Since {
    /// From a reading's sequence number and all its verdicts.
    pub fn of(sequence: u64, earlier: &[EarlierVerdict], verdict: Option<&Verdict>) -> Self {
        let from = std::iter::once(sequence).chain(earlier.iter().map(|earlier| earlier.until));
        let verdicts = earlier
            .iter()
            .map(|earlier| &earlier.verdict)
            .chain(verdict);
        let mut since = Self {
            answer: sequence,
            over: None,
        };
        let mut before: Option<&Verdict> = None;
        for (from, verdict) in from.zip(verdicts) {
            let is_new = before.is_none_or(|before| before.answer != verdict.answer);
            let is_lower = before.is_some_and(|before| verdict.limits.upper < before.limits.upper);
            // Whoever kept what may be over did so under the limit of then.
            if is_new || (is_lower && verdict.answer == Answer::Undecided) {
                since.answer = from;
            }
            if verdict.answer == Answer::Over && (is_new || is_lower) {
                since.over = Some(from);
            }
            before = Some(verdict);
        }
        since
    }
}

/// A fastener that an earlier edition of the plan had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Removed {
    /// Its stage, as it was.
    pub stage: Stage,
    /// The fastener, as it was.
    pub fastener: Fastener,
    /// What was done to it.
    pub state: FastenerState,
}

/// An act that was taken back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Withdrawal {
    /// The sequence number of the act's entry.
    pub entry: u64,
    /// The word of its kind.
    pub kind: &'static str,
    /// The fasteners that it was about; none where it was about the whole build.
    pub fasteners: Vec<String>,
    /// Who had done it, and when.
    pub act: Act,
    /// Who took it back, when and why.
    pub withdrawn: Act,
}

/// An entry with the plan that it pins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Logged {
    entry: Entry,
    plan: Option<Plan>,
}

impl Logged {
    pub(super) fn new(entry: &Entry, plan: Option<&Plan>) -> Self {
        Self {
            entry: entry.clone(),
            plan: plan.cloned(),
        }
    }
}

/// Who did an act that can be taken back, why, and on which fasteners; nothing for what cannot be taken back.
pub fn withdrawable(event: &Event) -> Option<(&str, Option<&str>, Vec<String>)> {
    let one = |fastener: &String| vec![fastener.clone()];
    Some(match event {
        Event::PointedAt { fastener, by, .. } => (by, None, one(fastener)),
        Event::Loosened(on) | Event::TakenUp(on) | Event::Prepared(on) | Event::Looked(on) => {
            (&on.by, on.reason.as_deref(), one(&on.fastener))
        }
        Event::Deferred(waits) => (&waits.by, waits.reason.as_deref(), one(&waits.fastener)),
        Event::Disposed {
            fastener,
            by,
            reason,
            ..
        } => (by, Some(reason), one(fastener)),
        Event::PartFitted(fitted) => (&fitted.by, None, Vec::new()),
        Event::PartSwapped(swapped) => (
            &swapped.by,
            Some(&swapped.reason),
            swapped.fasteners.clone(),
        ),
        Event::Noted(noted) => (
            &noted.by,
            noted.text.as_deref(),
            noted.fastener.iter().cloned().collect(),
        ),
        Event::HandedOver(handed) => (handed.who(), handed.note.as_deref(), Vec::new()),
        _ => return None,
    })
}

impl Build {
    pub(super) fn fold_life(&mut self, entry: &Entry, plan: Option<&Plan>) {
        match &entry.event {
            Event::PartFitted(fitted) => self.parts.push(PartAct {
                act: act(entry, &fitted.by, None),
                part: fitted.part.clone(),
                is_swap: false,
                out: None,
                serial: fitted.serial.clone(),
                kind: fitted.kind.clone(),
                fasteners: Vec::new(),
            }),
            Event::PartSwapped(swapped) => {
                let act = act(entry, &swapped.by, Some(&swapped.reason));
                // The first one is where the work goes on.
                for fastener in swapped.fasteners.iter().rev() {
                    self.undo(fastener, act.clone());
                }
                self.parts.push(PartAct {
                    act,
                    part: swapped.part.clone(),
                    is_swap: true,
                    out: swapped.out.clone(),
                    serial: swapped.serial.clone(),
                    kind: swapped.kind.clone(),
                    fasteners: swapped.fasteners.clone(),
                });
            }
            Event::LaidAside(on) => self.asides.push(Aside {
                laid: act(entry, &on.by, on.reason.as_deref()),
                resumed: None,
            }),
            Event::Resumed(on) => {
                if let Some(aside) = self.asides.last_mut() {
                    aside
                        .resumed
                        .get_or_insert_with(|| act(entry, &on.by, on.reason.as_deref()));
                }
            }
            Event::Noted(noted) => self.notes.push(Note {
                act: act(entry, &noted.by, None),
                fastener: noted.fastener.clone(),
                text: noted.text.clone(),
                photo: noted.photo.clone(),
            }),
            Event::HandedOver(handed) => self.hands.push(HandOver {
                act: act(entry, handed.who(), handed.note.as_deref()),
                to: handed.to.clone(),
            }),
            Event::PlanChanged(changed) => {
                if let Some(plan) = plan.filter(|plan| plan.sha256 == changed.plan.sha256) {
                    self.change_plan(entry, changed, plan);
                }
            }
            _ => {}
        }
    }

    /// A fastener is loose from here on, and is worked at next.
    pub(super) fn undo(&mut self, fastener: &str, act: Act) {
        self.change(fastener, |state| state.loosened.push(act));
        self.go_back_to(fastener);
    }

    fn change_plan(&mut self, entry: &Entry, changed: &PlanChanged, plan: &Plan) {
        let act = act(entry, &changed.by, Some(&changed.reason));
        let before = std::mem::replace(&mut self.plan, plan.clone());
        let (found, order) = index_of(plan);
        let here = self.order.get(self.cursor).copied();
        let here = here.and_then(|planned| {
            let stage = before.stages.get(planned.found.stage)?;
            let fastener = stage.fasteners.get(planned.found.fastener)?;
            Some((fastener.id.clone(), planned.pass))
        });
        let old = std::mem::replace(&mut self.found, found);
        let mut states: BTreeMap<String, FastenerState> = old
            .into_iter()
            .filter_map(|(id, found)| Some((id, self.states.get(found.number)?.clone())))
            .collect();
        self.order = order;
        self.states = plan
            .fasteners()
            .map(|planned| {
                let known = states.remove(&planned.1.id);
                self.state_under(entry.sequence, &before, planned, known)
            })
            .collect();
        // What is left is in the plan no longer.
        for (stage, fastener) in before.fasteners() {
            if let Some(mut state) = states.remove(&fastener.id) {
                state.loosened.push(act.clone());
                let removed = Removed {
                    stage: stage.clone(),
                    fastener: fastener.clone(),
                    state,
                };
                self.removed.insert(fastener.id.clone(), removed);
            }
        }
        self.checks
            .change_plan(entry, changed, &act, (&before, plan));
        for judged in &changed.judged {
            if let Some(reading) = self.readings.get_mut(&judged.reading) {
                reading.judge_anew(entry.sequence, &judged.verdict);
            }
            self.raise(entry.sequence, judged.reading, judged.alarm.as_ref());
        }
        let pin = std::mem::replace(&mut self.pin, changed.plan.clone());
        self.pointed = self
            .pointed
            .take()
            .filter(|pointed| self.found.contains_key(&pointed.fastener));
        self.go_on_at(here);
        for fastener in &changed.again {
            self.change(fastener, |state| state.loosened.push(act.clone()));
        }
        let ids: Vec<String> = self.found.keys().cloned().collect();
        for id in ids {
            self.change(&id, |_| {});
        }
        self.editions.push(Edition { changed: act, pin });
    }

    /// The state of a fastener under a new edition.
    fn state_under(
        &mut self,
        sequence: u64,
        before: &Plan,
        (stage, fastener): (&Stage, &Fastener),
        known: Option<FastenerState>,
    ) -> FastenerState {
        let id = &fastener.id;
        let (mut kept, old_stage, old) = match (known, before.fastener(id)) {
            (Some(kept), Some((old_stage, old))) => (kept, old_stage.clone(), old.clone()),
            // It may have been in the plan before.
            _ => match self.removed.remove(id) {
                Some(removed) => (removed.state, removed.stage, removed.fastener),
                None => return FastenerState::default(),
            },
        };
        let is_other = old.spec.limits != fastener.spec.limits
            || old.rule != fastener.rule
            || old.hand != fastener.hand
            || old_stage.passes != stage.passes;
        if is_other {
            kept.earlier.push(Earlier {
                until: sequence,
                passes: old_stage.passes,
                spec: old.spec,
                rule: old.rule,
                hand: old.hand,
            });
        }
        if old.prep != fastener.prep {
            // It was another prep that was confirmed.
            kept.prepared.clear();
        }
        kept
    }

    fn go_on_at(&mut self, here: Option<(String, u8)>) {
        let number = here.and_then(|(fastener, pass)| {
            let exact = self.number_of(&Place {
                fastener: fastener.clone(),
                pass,
            });
            exact.or_else(|| self.number_of(&Place { fastener, pass: 0 }))
        });
        self.cursor = number.unwrap_or(0);
        self.from = self.cursor;
    }

    /// Folds every entry once more, without those that were taken back.
    pub(super) fn fold_anew(&mut self) {
        let log = std::mem::take(&mut self.log);
        let gone: BTreeSet<u64> = log
            .iter()
            .filter_map(|logged| match &logged.entry.event {
                Event::Withdrawn(withdrawn) => Some(withdrawn.entry),
                _ => None,
            })
            .collect();
        let mut entries = log.iter();
        let base = self.base.take();
        let begun = match &base {
            Some(base) => Some((**base).clone()),
            None => entries
                .next()
                .and_then(|first| Self::begin(&first.entry, first.plan.clone()?)),
        };
        if let Some(mut build) = begun {
            for logged in entries {
                build.fold_unless_gone(logged, &gone, &log);
            }
            *self = build;
        }
        self.base = base;
        self.log = log;
    }

    fn fold_unless_gone(&mut self, logged: &Logged, gone: &BTreeSet<u64>, log: &[Logged]) {
        let entry = &logged.entry;
        if gone.contains(&entry.sequence) {
            self.note_entry(entry);
            return;
        }
        let Event::Withdrawn(withdrawn) = &entry.event else {
            self.fold(entry, logged.plan.as_ref());
            return;
        };
        self.note_entry(entry);
        let of = log
            .iter()
            .map(|logged| &logged.entry)
            .find(|of| of.sequence == withdrawn.entry);
        if let Some(of) = of
            && let Some((by, reason, fasteners)) = withdrawable(&of.event)
        {
            self.withdrawn.push(Withdrawal {
                entry: of.sequence,
                kind: of.event.kind(),
                fasteners,
                act: act(of, by, reason),
                withdrawn: act(entry, &withdrawn.by, Some(&withdrawn.reason)),
            });
        }
    }

    /// An entry of this build while it is open.
    pub fn logged(&self, sequence: u64) -> Option<&Entry> {
        let number = self
            .log
            .binary_search_by_key(&sequence, |logged| logged.entry.sequence);
        number.ok().map(|number| &self.log[number].entry)
    }

    /// The readings that were placed after an entry, and not only by it.
    pub fn placed_after(&self, sequence: u64) -> impl Iterator<Item = u64> {
        let entries = self.log.iter().map(|logged| &logged.entry);
        entries
            .filter(move |entry| entry.sequence > sequence)
            .filter_map(|entry| match &entry.event {
                Event::Placed(placed) => Some(placed.reading),
                Event::CheckPlaced(placed) => Some(placed.reading),
                _ => None,
            })
    }

    /// The entry that changed the plan last.
    pub fn plan_changed(&self) -> Option<u64> {
        self.editions.last().map(|edition| edition.changed.sequence)
    }

    /// Whether somebody decided about a fastener after an entry; also about one that the plan no longer has.
    pub fn is_decided(&self, fastener: &str, after: u64) -> bool {
        let removed = || self.removed.get(fastener).map(|removed| &removed.state);
        let state = self.fastener(fastener).or_else(removed);
        state.is_some_and(|state| {
            let mut decided = state.dispositions.iter();
            decided.any(|disposition| disposition.act.sequence > after)
        })
    }

    /// In whose hands it is.
    pub fn in_hands(&self) -> &str {
        self.hands
            .last()
            .map_or(&self.started.by, |handed| &handed.to)
    }

    /// In whose hands it was when an entry was written.
    pub fn in_hands_at(&self, sequence: u64) -> &str {
        let before = self
            .hands
            .iter()
            .rev()
            .find(|handed| handed.act.sequence < sequence);
        before.map_or(&self.started.by, |handed| &handed.to)
    }

    /// Who laid it aside, if it waits.
    pub fn laid_aside(&self) -> Option<&Act> {
        let last = self.asides.last()?;
        last.resumed.is_none().then_some(&last.laid)
    }

    /// What is on the bike of a part of the plan.
    pub fn fitted(&self, part: &str) -> Option<&PartAct> {
        self.parts.iter().rev().find(|fitted| fitted.part == part)
    }

    /// Who tightened a fastener, as far as is known: in whose hands the build was at each reading that counts, and who
    /// says so where nothing measured it.
    pub fn tightened_by(&self, fastener: &str) -> BTreeSet<&str> {
        let readings: Vec<_> = self.counting(fastener).collect();
        if readings.is_empty() {
            return BTreeSet::from([self.in_hands()]);
        }
        let said = readings
            .iter()
            .filter_map(|known| match &known.reading.origin {
                Origin::Attested { by } => Some(by.as_str()),
                Origin::Measured { .. } => None,
            });
        let held = readings
            .iter()
            .map(|known| self.in_hands_at(known.sequence));
        said.chain(held).collect()
    }

    /// Whether another person looked at a fastener after its last pull.
    pub fn is_looked_at(&self, fastener: &str) -> bool {
        let Some(state) = self.fastener(fastener) else {
            return false;
        };
        let pulled = self.counting(fastener).next_back();
        let undone = state.loosened.last().map(|act| act.sequence);
        let last = pulled.map(|reading| reading.sequence).max(undone);
        let hands: BTreeSet<&str> = self
            .counting(fastener)
            .map(|known| self.in_hands_at(known.sequence))
            .collect();
        state.looked.iter().any(|act| {
            last.is_none_or(|last| act.sequence > last) && !hands.contains(act.by.as_str())
        })
    }

    /// A fastener that an earlier edition of the plan had, or that this one has, and its stage.
    pub fn ever_planned(&self, id: &str) -> Option<(&Stage, &Fastener)> {
        self.planned(id).or_else(|| {
            let removed = self.removed.get(id)?;
            Some((&removed.stage, &removed.fastener))
        })
    }

    /// The readings that another edition of the plan judges anew, and the fasteners that have to be pulled again.
    pub fn under(&self, plan: &Plan) -> (Vec<u64>, Vec<String>) {
        let ids = || plan.fasteners().map(|(_, fastener)| &fastener.id);
        let again: Vec<String> = ids()
            .filter(|id| is_pulled_again(&self.plan, plan, id))
            .filter(|id| self.counting(id).next().is_some())
            .cloned()
            .collect();
        let mut judged: Vec<u64> = ids()
            .filter(|id| is_judged_anew(&self.plan, plan, id) && !again.contains(id))
            .flat_map(|id| self.counting(id))
            .map(|reading| reading.sequence)
            .collect();
        judged.sort_unstable();
        (judged, again)
    }

    /// How many notes and photographs there are about a fastener; none for those about the whole build.
    pub fn noted(&self, fastener: Option<&str>) -> (usize, usize) {
        let about = || {
            self.notes
                .iter()
                .filter(|note| note.fastener.as_deref() == fastener)
        };
        let photos = about().filter(|note| note.photo.is_some()).count();
        (about().count(), photos)
    }
}
