//! How a check stands: what follows from the readings that count.

use super::{BuildCheckReading, CheckState};
use crate::build::Build;
use crate::check::{Check, CheckAnswer, CheckPlace, Derived, Input, derive};
use crate::plan::Plan;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt;

/// How a check stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CheckStanding {
    /// Nothing counts yet.
    Open,
    /// Some of its readings are there.
    PartWay,
    /// All there, and within the limits.
    Within,
    /// Below the lower limit: set it right and measure again, or decide.
    Under,
    /// Above the upper limit. Of a pressure or a force it has to be decided about; else a new reading settles it too.
    Over,
    /// The tool's uncertainty straddles a limit.
    Undecided,
    /// Not within its limits; a competent person inspected the part and kept it.
    Kept,
    /// It waits for something.
    Deferred,
}

impl fmt::Display for CheckStanding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Open => "open",
            Self::PartWay => "part way",
            Self::Within => "within",
            Self::Under => "under",
            Self::Over => "over",
            Self::Undecided => "undecided",
            Self::Kept => "out of limits, inspected and kept",
            Self::Deferred => "deferred",
        })
    }
}

impl CheckStanding {
    /// Whether nothing more has to be done before the bike may leave.
    pub const fn is_done(self) -> bool {
        matches!(self, Self::Within | Self::Kept)
    }
}

/// How many checks stand how.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckSummary {
    /// Checks in the plan.
    pub checks: u32,
    /// Within their limits.
    pub within: u32,
    /// Not within, inspected and kept.
    pub kept: u32,
    /// Under, over or undecided.
    pub out: u32,
    /// Deferred.
    pub deferred: u32,
    /// Open or part way.
    pub open: u32,
}

impl CheckSummary {
    /// Counts one check.
    pub const fn count(&mut self, standing: CheckStanding) {
        self.checks += 1;
        *match standing {
            CheckStanding::Within => &mut self.within,
            CheckStanding::Kept => &mut self.kept,
            CheckStanding::Under | CheckStanding::Over | CheckStanding::Undecided => &mut self.out,
            CheckStanding::Deferred => &mut self.deferred,
            CheckStanding::Open | CheckStanding::PartWay => &mut self.open,
        } += 1;
    }

    /// Whether something is to be measured, set right or decided.
    pub const fn wants_work(&self) -> bool {
        self.open + self.out > 0
    }

    /// Whether the plan has no check.
    pub const fn is_empty(&self) -> bool {
        self.checks == 0
    }
}

/// What a standing follows from; a build has it, and a record has it.
pub(crate) struct Facts<'a> {
    /// How many readings the check wants.
    pub(crate) wanted: usize,
    /// Every reading that is placed there: since when it has its answer, since when it is over, its answer, whether it
    /// counts, whether it can harm, whether it may be over.
    pub(crate) readings: Vec<Fact>,
    /// Decisions: the sequence number, and whether the check was open after it.
    pub(crate) decisions: Vec<(u64, bool)>,
    /// Whether it waits.
    pub(crate) is_deferred: bool,
    /// Whether it is computed.
    pub(crate) is_derived: bool,
    /// The same, once everything that it needs is there.
    pub(crate) derived: Option<&'a Derived>,
    /// The entry that changed last what the plan says of it.
    pub(crate) changed: u64,
}

/// What a standing has to know of one reading.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fact {
    pub(crate) answer: CheckAnswer,
    pub(crate) since: u64,
    pub(crate) over_since: Option<u64>,
    pub(crate) counts: bool,
    pub(crate) can_harm: bool,
    pub(crate) may_harm: bool,
}

impl Facts<'_> {
    /// A decision to keep settles what counts; what no longer counts is settled by any.
    fn is_settled(&self, counts: bool, since: u64) -> bool {
        let mut after = self.decisions.iter().filter(|(at, _)| *at > since);
        after.any(|(_, opens)| !counts || !opens)
    }

    /// What a person has to decide about, whatever the plan says of the check by now: too much can have hurt a part, or may
    /// have.
    pub(crate) fn undecided_harm(&self) -> Option<CheckStanding> {
        let is_open = |since: u64, fact: &Fact| !self.is_settled(fact.counts, since);
        let mut harms = self.readings.iter().filter(|fact| fact.can_harm);
        let is_over = |fact: &Fact| fact.over_since.is_some_and(|since| is_open(since, fact));
        if harms.clone().any(is_over) {
            return Some(CheckStanding::Over);
        }
        harms
            .any(|fact| fact.counts && fact.may_harm && is_open(fact.since, fact))
            .then_some(CheckStanding::Undecided)
    }

    pub(crate) fn standing(&self) -> CheckStanding {
        if let Some(harm) = self.undecided_harm() {
            return harm;
        }
        if self.is_derived {
            return self.of_derived(self.derived);
        }
        let is_open = |since: u64, fact: &Fact| !self.is_settled(fact.counts, since);
        if self.is_deferred {
            return CheckStanding::Deferred;
        }
        let counting: Vec<&Fact> = self.readings.iter().filter(|fact| fact.counts).collect();
        let open_with = |answer: CheckAnswer| {
            let of = counting.iter().filter(|fact| fact.answer == answer);
            of.into_iter().any(|fact| is_open(fact.since, fact))
        };
        for (answer, standing) in [
            (CheckAnswer::Over, CheckStanding::Over),
            (CheckAnswer::Under, CheckStanding::Under),
            (CheckAnswer::Undecided, CheckStanding::Undecided),
        ] {
            if open_with(answer) {
                return standing;
            }
        }
        if counting.is_empty() {
            CheckStanding::Open
        } else if counting.len() < self.wanted {
            CheckStanding::PartWay
        } else if counting
            .iter()
            .all(|fact| fact.answer == CheckAnswer::Within)
        {
            CheckStanding::Within
        } else {
            CheckStanding::Kept
        }
    }

    fn of_derived(&self, derived: Option<&Derived>) -> CheckStanding {
        if self.is_deferred {
            return CheckStanding::Deferred;
        }
        let Some(derived) = derived else {
            return CheckStanding::Open;
        };
        let newest = derived
            .inputs
            .last()
            .copied()
            .unwrap_or(0)
            .max(self.changed);
        match derived.verdict.answer {
            CheckAnswer::Within => CheckStanding::Within,
            _ if self.is_settled(true, newest) => CheckStanding::Kept,
            CheckAnswer::Under => CheckStanding::Under,
            CheckAnswer::Over => CheckStanding::Over,
            CheckAnswer::Undecided => CheckStanding::Undecided,
        }
    }
}

impl CheckState {
    /// The entry after which readings count.
    pub(crate) fn open_since(&self) -> Option<u64> {
        self.opened.last().map(|act| act.sequence)
    }
}

impl Build {
    /// The readings that count at a check, in the order of its places.
    pub fn check_counting(&self, id: &str) -> Vec<&BuildCheckReading> {
        let (Some((_, check)), Some(state)) = (self.plan.check(id), self.checks.state(id)) else {
            return Vec::new();
        };
        let since = state.open_since();
        let mut newest: BTreeMap<u16, &BuildCheckReading> = BTreeMap::new();
        let placed = state
            .placed
            .iter()
            .filter(|&&sequence| since.is_none_or(|since| sequence > since))
            .filter_map(|sequence| self.checks.readings.get(sequence));
        for reading in placed {
            if let Some(place) = reading.placement.place()
                && place.number < check.readings
                && reading.reading.unit == check.unit()
                && !check.is_derived()
            {
                newest.insert(place.number, reading);
            }
        }
        newest.into_values().collect()
    }

    /// Whether a reading of a check counts where it is placed.
    pub fn check_counts(&self, reading: &BuildCheckReading) -> bool {
        reading.placement.place().is_some_and(|place| {
            let counting = self.check_counting(&place.check);
            counting
                .iter()
                .any(|known| known.sequence == reading.sequence)
        })
    }

    /// The first place of a check that waits for a reading; nothing where all are filled.
    pub fn check_open_place(&self, check: &Check) -> Option<CheckPlace> {
        let counting = self.check_counting(&check.id);
        let filled = |number: u16| {
            let mut places = counting.iter().filter_map(|known| known.placement.place());
            places.any(|place| place.number == number)
        };
        let number = (0..check.readings).find(|number| !filled(*number))?;
        Some(CheckPlace {
            check: check.id.clone(),
            number,
        })
    }

    /// What a computed check comes to; nothing while an input is missing.
    pub fn derived(&self, check: &Check) -> Option<Derived> {
        let formula = check.formula.as_ref()?;
        let mut inputs: Vec<Input<'_>> = Vec::new();
        for id in &formula.inputs {
            let counting = self.check_counting(id);
            let wanted = self.plan.check(id)?.1.readings;
            if counting.len() < usize::from(wanted) {
                return None;
            }
            inputs.extend(counting.into_iter().map(|known| Input {
                check: id,
                sequence: known.sequence,
                reading: &known.reading,
            }));
        }
        derive(formula, &inputs, &check.spec.limits, check.rule)
    }

    /// How a check stands. `Open` for one that the plan does not have.
    #[expect(
        clippy::redundant_closure_for_method_calls,
        reason = "the method is of one lifetime, the closure of any"
    )]
    pub fn check_standing(&self, id: &str) -> CheckStanding {
        self.of_check(id, |facts| facts.standing())
            .unwrap_or(CheckStanding::Open)
    }

    /// What follows from the facts of a check; nothing for one that the plan does not have.
    fn of_check<T>(&self, id: &str, what: impl FnOnce(&Facts<'_>) -> T) -> Option<T> {
        let (_, check) = self.plan.check(id)?;
        let state = self.checks.state(id)?;
        let derived = self.derived(check);
        let counting: Vec<u64> = self
            .check_counting(id)
            .iter()
            .map(|known| known.sequence)
            .collect();
        let placed = state
            .placed
            .iter()
            .filter_map(|sequence| self.checks.readings.get(sequence));
        let facts = Facts {
            wanted: usize::from(check.readings),
            readings: placed
                .filter_map(|known| {
                    let (since, over_since) = known.since();
                    Some(Fact {
                        answer: known.answer()?,
                        since,
                        over_since,
                        counts: counting.contains(&known.sequence),
                        can_harm: known.reading.unit.can_harm(),
                        may_harm: known.may_harm(),
                    })
                })
                .collect(),
            decisions: state
                .dispositions
                .iter()
                .map(|known| (known.act.sequence, known.decision.loosens()))
                .collect(),
            is_deferred: state.deferred.is_some(),
            is_derived: check.is_derived(),
            derived: derived.as_ref(),
            changed: state.earlier.last().map_or(0, |earlier| earlier.until),
        };
        Some(what(&facts))
    }

    /// Whether a person has to decide about a check: too much can have hurt a part, or may have.
    #[expect(
        clippy::redundant_closure_for_method_calls,
        reason = "the method is of one lifetime, the closure of any"
    )]
    pub fn check_needs_decision(&self, id: &str) -> bool {
        self.of_check(id, |facts| facts.undecided_harm())
            .flatten()
            .is_some()
    }

    /// Whether a person may decide about a check: it is not within its limits.
    pub fn check_may_be_decided(&self, id: &str) -> bool {
        matches!(
            self.check_standing(id),
            CheckStanding::Under | CheckStanding::Over | CheckStanding::Undecided
        )
    }

    /// How many checks stand how.
    pub fn check_summary(&self) -> CheckSummary {
        let mut summary = CheckSummary::default();
        for (_, check) in self.plan.checks() {
            summary.count(self.check_standing(&check.id));
        }
        summary
    }

    /// A check that this plan has, or an earlier edition had, and its stage's title.
    pub fn ever_checked(&self, id: &str) -> Option<(&str, &Check)> {
        if let Some((stage, check)) = self.plan.check(id) {
            return Some((&stage.title, check));
        }
        let removed = self.checks.removed.get(id)?;
        Some((&removed.stage, &removed.check))
    }

    /// The readings of checks that another edition of the plan judges anew, and the checks that have to be measured again.
    pub fn checks_under(&self, plan: &Plan) -> (Vec<u64>, Vec<String>) {
        let (mut judged, mut again) = (Vec::new(), Vec::new());
        for (_, check) in plan.checks() {
            let Some((_, old)) = self.plan.check(&check.id) else {
                continue;
            };
            let counting = self.check_counting(&check.id);
            if old.unit() != check.unit() || old.is_derived() != check.is_derived() {
                if !counting.is_empty() {
                    again.push(check.id.clone());
                }
            } else if old.spec.limits != check.spec.limits || old.rule != check.rule {
                judged.extend(counting.iter().map(|known| known.sequence));
                if check.can_harm() {
                    judged.extend(self.had(check));
                }
            }
        }
        judged.sort_unstable();
        judged.dedup();
        (judged, again)
    }

    /// Every reading that a check has had since it was last open, also those that a newer one took the place of: what a part
    /// has had it has had.
    fn had(&self, check: &Check) -> impl Iterator<Item = u64> {
        let state = self.checks.state(&check.id);
        let since = state.and_then(CheckState::open_since);
        let unit = check.unit();
        state
            .into_iter()
            .flat_map(|state| &state.placed)
            .copied()
            .filter(move |sequence| since.is_none_or(|since| *sequence > since))
            .filter(move |sequence| {
                let known = self.checks.readings.get(sequence);
                known.is_some_and(|known| known.reading.unit == unit)
            })
    }
}
