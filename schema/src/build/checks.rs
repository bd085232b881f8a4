//! The checks of a build: what was measured that is no torque, and how each check stands.
//!
//! A check states what is: at each of its places the newest reading counts, and only those since it was last set right. A
//! reading above the upper limit of a pressure or a force can have hurt a part, though: it has to be decided about, also
//! when a newer reading has taken its place.

mod fold;
mod standing;

pub use standing::{CheckStanding, CheckSummary};
pub(crate) use standing::{Fact, Facts};

use super::{Act, Disposition};
use crate::check::{
    Check, CheckAlarm, CheckAnswer, CheckPlacement, CheckReading, CheckSpec, CheckVerdict, Formula,
    compare,
};
use crate::plan::Plan;
use crate::verdict::Rule;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// What an earlier edition of the plan said about a reading of a check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EarlierCheckVerdict {
    /// The entry that changed the plan.
    pub until: u64,
    /// The verdict until then.
    pub verdict: CheckVerdict,
}

/// A reading of a check, where it is placed now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BuildCheckReading {
    /// The sequence number of its entry.
    pub sequence: u64,
    /// When it came.
    pub time: String,
    /// What the tool said.
    pub reading: CheckReading,
    /// Where it is placed now.
    pub placement: CheckPlacement,
    /// The verdict there.
    pub verdict: Option<CheckVerdict>,
    /// Every place it was in before, the oldest first.
    pub earlier: Vec<CheckPlacement>,
    /// What earlier editions of the plan said about it where it is now, the oldest first.
    pub earlier_verdicts: Vec<EarlierCheckVerdict>,
}

impl BuildCheckReading {
    /// Its answer. Its figures speak too, whatever its verdict says.
    pub fn answer(&self) -> Option<CheckAnswer> {
        let verdict = self.verdict.as_ref()?;
        Some(answer_of(self.reading.value, verdict))
    }

    /// Since when its answer is what it is, and since when it is over.
    pub fn since(&self) -> (u64, Option<u64>) {
        since(
            self.sequence,
            self.reading.value,
            &self.earlier_verdicts,
            self.verdict.as_ref(),
        )
    }

    /// Whether it may be over a limit beyond which a part is hurt.
    pub fn may_harm(&self) -> bool {
        let verdict = self.verdict.as_ref();
        self.reading.unit.can_harm()
            && verdict.is_some_and(|verdict| verdict.may_be_over(self.reading.value))
    }
}

/// The answer of a verdict; above its upper limit a value is over in any case.
pub(crate) fn answer_of(value: Option<i64>, verdict: &CheckVerdict) -> CheckAnswer {
    match compare(value, &verdict.limits) {
        CheckAnswer::Over => CheckAnswer::Over,
        _ => verdict.answer,
    }
}

/// Since when a reading has its answer, and since when it is over. An edition that allows more does not take an over
/// away; one that allows less makes it over anew.
pub(crate) fn since(
    sequence: u64,
    value: Option<i64>,
    earlier: &[EarlierCheckVerdict],
    verdict: Option<&CheckVerdict>,
) -> (u64, Option<u64>) {
    let from = std::iter::once(sequence).chain(earlier.iter().map(|earlier| earlier.until));
    let verdicts = earlier
        .iter()
        .map(|earlier| &earlier.verdict)
        .chain(verdict);
    let (mut answer, mut over) = (sequence, None);
    let mut before: Option<&CheckVerdict> = None;
    for (from, verdict) in from.zip(verdicts) {
        let now = answer_of(value, verdict);
        let is_new = before.is_none_or(|before| answer_of(value, before) != now);
        let is_lower = before.is_some_and(|before| {
            let upper = |verdict: &CheckVerdict| verdict.limits.upper.unwrap_or(i64::MAX);
            upper(verdict) < upper(before)
        });
        if is_new || (is_lower && now == CheckAnswer::Undecided) {
            answer = from;
        }
        if now == CheckAnswer::Over && (is_new || is_lower) {
            over = Some(from);
        }
        before = Some(verdict);
    }
    (answer, over)
}

/// An over alarm of a check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RaisedCheckAlarm {
    /// The sequence number of the entry that raised it.
    pub sequence: u64,
    /// The reading's sequence number.
    pub reading: u64,
    /// What was passed.
    pub alarm: CheckAlarm,
    /// Who acknowledged it.
    pub acknowledged: Option<Act>,
}

/// What an earlier edition of the plan said about a check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EarlierCheck {
    /// The entry that changed it.
    pub until: u64,
    /// The limits, and who said so.
    pub spec: CheckSpec,
    /// How values were decided.
    pub rule: Rule,
    /// How many readings it wanted.
    pub readings: u16,
    /// How it was computed, where it was.
    pub formula: Option<Formula>,
}

/// Everything that was done to one check.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CheckState {
    /// The sequence numbers of the readings that are placed here now, rising.
    pub placed: BTreeSet<u64>,
    /// Each time it had to be measured again: set right, a part replaced, the plan changed.
    pub opened: Vec<Act>,
    /// What it waits for, if it does.
    pub deferred: Option<Act>,
    /// What it waits for, if that was said.
    pub waits_for: Option<String>,
    /// Decisions about it.
    pub dispositions: Vec<Disposition>,
    /// What earlier editions of the plan said; the oldest first.
    pub earlier: Vec<EarlierCheck>,
}

/// A check that an earlier edition of the plan had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RemovedCheck {
    /// Its stage's title, as it was.
    pub stage: String,
    /// The check, as it was.
    pub check: Check,
    /// What was done to it.
    pub state: CheckState,
}

/// The checks of a build.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Checks {
    /// By sequence number.
    pub readings: BTreeMap<u64, BuildCheckReading>,
    /// The oldest first.
    pub alarms: Vec<RaisedCheckAlarm>,
    /// Checks that an earlier edition had, by their ids.
    pub removed: BTreeMap<String, RemovedCheck>,
    /// The check a mechanic pointed at, and who.
    pub pointed: Option<(String, String)>,
    states: BTreeMap<String, CheckState>,
}

impl Checks {
    pub(super) fn of(plan: &Plan) -> Self {
        Self {
            states: plan
                .checks()
                .map(|(_, check)| (check.id.clone(), CheckState::default()))
                .collect(),
            ..Self::default()
        }
    }

    /// What was done to a check of the plan.
    pub fn state(&self, id: &str) -> Option<&CheckState> {
        self.states.get(id)
    }

    /// What was done to a check that this plan has, or an earlier edition had.
    pub fn ever(&self, id: &str) -> Option<&CheckState> {
        let removed = || self.removed.get(id).map(|removed| &removed.state);
        self.states.get(id).or_else(removed)
    }

    /// Readings that wait for a person, the oldest first.
    pub fn held(&self) -> impl Iterator<Item = &BuildCheckReading> {
        self.readings
            .values()
            .filter(|reading| reading.placement.is_held())
    }

    /// Alarms that nobody has acknowledged, the oldest first.
    pub fn open_alarms(&self) -> impl Iterator<Item = &RaisedCheckAlarm> {
        self.alarms
            .iter()
            .filter(|alarm| alarm.acknowledged.is_none())
    }
}
