//! What each entry does to the checks of a build.

use super::{
    BuildCheckReading, CheckState, Checks, EarlierCheck, EarlierCheckVerdict, RaisedCheckAlarm,
    RemovedCheck,
};
use crate::build::{Act, Disposition, act};
use crate::check::{CheckAlarm, CheckMeasured, CheckPlaced, CheckPlacement};
use crate::entry::{Entry, Event, PlanChanged};
use crate::plan::Plan;

impl Checks {
    pub(in crate::build) fn fold(&mut self, entry: &Entry) {
        match &entry.event {
            Event::CheckMeasured(measured) => self.measured(entry, measured),
            Event::CheckPlaced(placed) => self.placed(entry, placed),
            Event::Acknowledged { alarm, by, .. } => {
                let mut raised = self.alarms.iter_mut();
                for raised in raised.by_ref().filter(|raised| raised.sequence == *alarm) {
                    raised
                        .acknowledged
                        .get_or_insert_with(|| act(entry, by, None));
                }
            }
            Event::PointedAt { fastener, by, .. } if self.states.contains_key(fastener) => {
                self.pointed = Some((fastener.clone(), by.clone()));
            }
            Event::Deferred(waits) => {
                let act = act(entry, &waits.by, waits.reason.as_deref());
                self.change(&waits.fastener, |state| {
                    state.deferred = Some(act);
                    state.waits_for.clone_from(&waits.waits_for);
                });
            }
            Event::TakenUp(on) => self.change(&on.fastener, |state| {
                state.deferred = None;
                state.waits_for = None;
            }),
            Event::Disposed {
                fastener,
                decision,
                by,
                reason,
                ..
            } => {
                let act = act(entry, by, Some(reason));
                self.change(fastener, |state| {
                    if decision.loosens() {
                        state.opened.push(act.clone());
                    }
                    state.dispositions.push(Disposition {
                        act,
                        decision: *decision,
                    });
                });
            }
            Event::PartSwapped(swapped) => {
                let act = act(entry, &swapped.by, Some(&swapped.reason));
                for id in &swapped.fasteners {
                    self.change(id, |state| state.opened.push(act.clone()));
                }
            }
            _ => {}
        }
    }

    fn change(&mut self, id: &str, then: impl FnOnce(&mut CheckState)) {
        if let Some(state) = self.states.get_mut(id) {
            then(state);
        }
    }

    fn measured(&mut self, entry: &Entry, measured: &CheckMeasured) {
        self.raise(entry.sequence, entry.sequence, measured.alarm.as_ref());
        self.readings.insert(
            entry.sequence,
            BuildCheckReading {
                sequence: entry.sequence,
                time: entry.time.clone(),
                reading: measured.reading.clone(),
                placement: measured.placement.clone(),
                verdict: measured.verdict.clone(),
                earlier: Vec::new(),
                earlier_verdicts: Vec::new(),
            },
        );
        self.index(entry.sequence, None, &measured.placement);
    }

    fn placed(&mut self, entry: &Entry, placed: &CheckPlaced) {
        self.raise(entry.sequence, placed.reading, placed.alarm.as_ref());
        let Some(reading) = self.readings.get_mut(&placed.reading) else {
            return;
        };
        let before = std::mem::replace(&mut reading.placement, placed.placement.clone());
        reading.verdict.clone_from(&placed.verdict);
        reading.earlier_verdicts.clear();
        reading.earlier.push(before.clone());
        self.index(placed.reading, Some(&before), &placed.placement);
    }

    fn index(&mut self, reading: u64, before: Option<&CheckPlacement>, after: &CheckPlacement) {
        if let Some(place) = before.and_then(CheckPlacement::place) {
            if let Some(removed) = self.removed.get_mut(&place.check) {
                removed.state.placed.remove(&reading);
            }
            self.change(&place.check, |state| {
                state.placed.remove(&reading);
            });
        }
        if let Some(place) = after.place() {
            self.change(&place.check, |state| {
                state.placed.insert(reading);
            });
            self.pointed.take_if(|(pointed, _)| *pointed == place.check);
        }
    }

    fn raise(&mut self, sequence: u64, reading: u64, alarm: Option<&CheckAlarm>) {
        if let Some(alarm) = alarm {
            self.alarms.push(RaisedCheckAlarm {
                sequence,
                reading,
                alarm: alarm.clone(),
                acknowledged: None,
            });
        }
    }

    /// The build goes over to another edition of its plan. What the plan no longer has counts no longer, and stays.
    pub(in crate::build) fn change_plan(
        &mut self,
        entry: &Entry,
        changed: &PlanChanged,
        act: &Act,
        (before, plan): (&Plan, &Plan),
    ) {
        let mut states = std::mem::take(&mut self.states);
        for (_, check) in plan.checks() {
            let known = states
                .remove(&check.id)
                .and_then(|state| Some((state, before.check(&check.id)?.1.clone())));
            let known = known.or_else(|| {
                // It may have been in the plan before.
                let removed = self.removed.remove(&check.id)?;
                Some((removed.state, removed.check))
            });
            let state = match known {
                None => CheckState::default(),
                Some((mut state, old)) => {
                    let is_other = old.spec.limits != check.spec.limits
                        || old.rule != check.rule
                        || old.readings != check.readings
                        || old.formula != check.formula;
                    if is_other {
                        state.earlier.push(EarlierCheck {
                            until: entry.sequence,
                            spec: old.spec,
                            rule: old.rule,
                            readings: old.readings,
                            formula: old.formula,
                        });
                    }
                    state
                }
            };
            self.states.insert(check.id.clone(), state);
        }
        for (stage, check) in before.checks() {
            if let Some(mut state) = states.remove(&check.id) {
                state.opened.push(act.clone());
                let removed = RemovedCheck {
                    stage: stage.title.clone(),
                    check: check.clone(),
                    state,
                };
                self.removed.insert(check.id.clone(), removed);
            }
        }
        for judged in &changed.judged_checks {
            if let Some(reading) = self.readings.get_mut(&judged.reading)
                && let Some(before) = reading.verdict.replace(judged.verdict.clone())
            {
                reading.earlier_verdicts.push(EarlierCheckVerdict {
                    until: entry.sequence,
                    verdict: before,
                });
            }
            self.raise(entry.sequence, judged.reading, judged.alarm.as_ref());
        }
        for id in &changed.again {
            self.change(id, |state| state.opened.push(act.clone()));
        }
        let states = &self.states;
        self.pointed
            .take_if(|(pointed, _)| !states.contains_key(pointed));
    }
}
