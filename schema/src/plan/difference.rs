//! What is different between two editions of a plan, in words for a mechanic, and what follows for a build under way.

use super::{Fastener, Hand, Limits, Plan, Spec, Stage};
use crate::check::{Check, CheckLimits};
use crate::verdict::Rule;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::fmt;

/// One thing that is different.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// The new edition has a fastener more.
    Added,
    /// It no longer has the fastener.
    Removed,
    /// It is tightened to something else.
    Limits {
        /// Before.
        before: Limits,
        /// Now.
        now: Limits,
    },
    /// A check has to come to something else.
    CheckLimits {
        /// Before.
        before: CheckLimits,
        /// Now.
        now: CheckLimits,
    },
    /// A check wants another number of readings.
    Readings {
        /// Before.
        before: u16,
        /// Now.
        now: u16,
    },
    /// A check is computed in another way, or no longer, or from now on.
    Formula {
        /// Now; none where it is measured.
        now: Option<String>,
    },
    /// Readings are decided in another way.
    Rule {
        /// Before.
        before: Rule,
        /// Now.
        now: Rule,
    },
    /// The thread turns the other way.
    Hand {
        /// Now.
        now: Hand,
    },
    /// It is tightened in other passes.
    Passes {
        /// Before, in percent.
        before: Vec<u8>,
        /// Now, in percent.
        now: Vec<u8>,
    },
    /// Its stage goes another way from fastener to fastener, or lists them in another order.
    Order,
    /// It stands in another stage.
    Stage {
        /// The new stage's title.
        now: String,
    },
    /// Something else goes on first.
    Prep {
        /// Now.
        now: Vec<String>,
    },
    /// Another person has to look now.
    SecondLook,
    /// Nobody else has to look any more.
    NoSecondLook,
    /// The limits are the same; who says so is another.
    Sources,
    /// Only words, the drive, the adapter or the place on the map.
    Words,
    /// The parts or what holds them.
    Parts,
    /// What is looked at again after handing over.
    Due,
}

/// What is different, and where.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Difference {
    /// Which fastener or check; none for the plan as a whole.
    pub fastener: Option<String>,
    /// Its title.
    pub title: String,
    /// What.
    pub what: What,
}

impl Difference {
    fn at(fastener: &Fastener, what: What) -> Self {
        Self {
            fastener: Some(fastener.id.clone()),
            title: fastener.title.clone(),
            what,
        }
    }
}

fn range(limits: &Limits) -> String {
    let target = limits
        .target
        .map(|target| format!(", aim {target}"))
        .unwrap_or_default();
    match limits.lower {
        Some(lower) => format!("{lower} to {}{target}", limits.upper),
        None => format!("at most {}{target}", limits.upper),
    }
}

fn percent(passes: &[u8]) -> String {
    let all: Vec<String> = passes.iter().map(|part| format!("{part} %")).collect();
    all.join(", ")
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let title = &self.title;
        match &self.what {
            What::Added => write!(f, "{title}: new in the plan"),
            What::Removed => write!(f, "{title}: no longer in the plan"),
            What::Limits { before, now } => {
                write!(f, "{title}: {} instead of {}", range(now), range(before))
            }
            What::CheckLimits { before, now } => {
                write!(f, "{title}: {} instead of {}", now.text(), before.text())
            }
            What::Readings { before, now } => {
                write!(f, "{title}: {now} readings instead of {before}")
            }
            What::Formula { now: Some(now) } => write!(f, "{title}: computed as {now} now"),
            What::Formula { now: None } => write!(f, "{title}: measured and not computed now"),
            What::Rule { before, now } => {
                write!(f, "{title}: decided by the rule {now} instead of {before}")
            }
            What::Hand { now: Hand::Left } => write!(f, "{title}: a left-hand thread now"),
            What::Hand { now: Hand::Right } => write!(f, "{title}: a right-hand thread now"),
            What::Passes { before, now } => write!(
                f,
                "{title}: passes at {} instead of {}",
                percent(now),
                percent(before)
            ),
            What::Order => write!(f, "{title}: the order of pulls is another"),
            What::Stage { now } => write!(f, "{title}: in the stage {now} now"),
            What::Prep { now } if now.is_empty() => write!(f, "{title}: no prep any more"),
            What::Prep { now } => write!(f, "{title}: prep is {} now", now.join(", ")),
            What::SecondLook => write!(f, "{title}: another person has to look now"),
            What::NoSecondLook => write!(f, "{title}: nobody else has to look any more"),
            What::Sources => write!(f, "{title}: the same limits, from other sources"),
            What::Words => write!(f, "{title}: words, drive, adapter or place only"),
            What::Parts => write!(f, "{title}: the list of parts is another"),
            What::Due => write!(f, "{title}: what is due after handing over is another"),
        }
    }
}

/// Everything that is different, in the order of the new edition; what it no longer has comes last.
pub fn difference(before: &Plan, now: &Plan) -> Vec<Difference> {
    let mut list = Vec::new();
    for stage in &now.stages {
        if let Some(old) = before.stages.iter().find(|old| old.id == stage.id)
            && is_in_another_order(old, stage)
        {
            list.push(Difference {
                fastener: None,
                title: stage.title.clone(),
                what: What::Order,
            });
        }
        for fastener in &stage.fasteners {
            match before.fastener(&fastener.id) {
                None => list.push(Difference::at(fastener, What::Added)),
                Some(old) => {
                    let found = changes(old, (stage, fastener));
                    list.extend(found.into_iter().map(|what| Difference::at(fastener, what)));
                }
            }
        }
    }
    list.extend(of_checks(before, now));
    let whole = [
        (before.parts != now.parts, What::Parts),
        (before.due != now.due, What::Due),
    ];
    list.extend(
        whole
            .into_iter()
            .filter(|(is_other, _)| *is_other)
            .map(|(_, what)| Difference {
                fastener: None,
                title: now.title.clone(),
                what,
            }),
    );
    let gone = before
        .fasteners()
        .filter(|(_, old)| now.fastener(&old.id).is_none());
    list.extend(gone.map(|(_, old)| Difference::at(old, What::Removed)));
    list
}

/// What is different in checks, in the order of the new edition; what it no longer has comes last.
fn of_checks(before: &Plan, now: &Plan) -> Vec<Difference> {
    let at = |check: &Check, what: What| Difference {
        fastener: Some(check.id.clone()),
        title: check.title.clone(),
        what,
    };
    let mut list = Vec::new();
    for (stage, check) in now.checks() {
        let Some((old_stage, old)) = before.check(&check.id) else {
            list.push(at(check, What::Added));
            continue;
        };
        let found = check_changes((old_stage, old), (stage, check));
        list.extend(found.into_iter().map(|what| at(check, what)));
    }
    let gone = before
        .checks()
        .filter(|(_, old)| now.check(&old.id).is_none());
    list.extend(gone.map(|(_, old)| at(old, What::Removed)));
    list
}

fn check_changes((old_stage, old): (&Stage, &Check), (stage, now): (&Stage, &Check)) -> Vec<What> {
    let formula = |check: &Check| check.formula.as_ref().map(|formula| formula.text.clone());
    let (before, after) = (old.spec.limits, now.spec.limits);
    let has_other_sources = before == after && old.spec != now.spec;
    let words = |check: &Check| (check.title.clone(), check.note.clone(), check.at.clone());
    let all = [
        (before != after, What::CheckLimits { before, now: after }),
        (
            old.rule != now.rule,
            What::Rule {
                before: old.rule,
                now: now.rule,
            },
        ),
        (
            old.readings != now.readings,
            What::Readings {
                before: old.readings,
                now: now.readings,
            },
        ),
        (
            formula(old) != formula(now),
            What::Formula { now: formula(now) },
        ),
        (
            old_stage.id != stage.id,
            What::Stage {
                now: stage.title.clone(),
            },
        ),
        (has_other_sources, What::Sources),
        (words(old) != words(now), What::Words),
    ];
    all.into_iter()
        .filter_map(|(is_other, what)| is_other.then_some(what))
        .collect()
}

fn is_in_another_order(before: &Stage, now: &Stage) -> bool {
    let ids = |stage: &Stage, other: &Stage| -> Vec<String> {
        let others: BTreeSet<&str> = other.fasteners.iter().map(|f| f.id.as_str()).collect();
        let listed = stage.fasteners.iter().map(|f| f.id.clone());
        listed.filter(|id| others.contains(id.as_str())).collect()
    };
    before.pattern != now.pattern || ids(before, now) != ids(now, before)
}

fn changes((old_stage, old): (&Stage, &Fastener), (stage, now): (&Stage, &Fastener)) -> Vec<What> {
    let mut list = Vec::new();
    let mut push = |is_other: bool, what: What| {
        if is_other {
            list.push(what);
        }
    };
    push(
        old.spec.limits != now.spec.limits,
        What::Limits {
            before: old.spec.limits,
            now: now.spec.limits,
        },
    );
    push(
        old.rule != now.rule,
        What::Rule {
            before: old.rule,
            now: now.rule,
        },
    );
    push(old.hand != now.hand, What::Hand { now: now.hand });
    push(
        old_stage.passes != stage.passes,
        What::Passes {
            before: old_stage.passes.clone(),
            now: stage.passes.clone(),
        },
    );
    push(
        old_stage.id != stage.id,
        What::Stage {
            now: stage.title.clone(),
        },
    );
    push(
        old.prep != now.prep,
        What::Prep {
            now: now.prep.clone(),
        },
    );
    push(!old.second_look && now.second_look, What::SecondLook);
    push(old.second_look && !now.second_look, What::NoSecondLook);
    let has_other_sources =
        old.spec.limits == now.spec.limits && other_sources(&old.spec, &now.spec);
    push(has_other_sources, What::Sources);
    let words = |fastener: &Fastener| {
        let Fastener {
            title,
            kind,
            note,
            adapter,
            thread,
            joint,
            drive,
            at,
            ..
        } = fastener.clone();
        (title, kind, note, adapter, thread, (joint, drive, at))
    };
    push(words(old) != words(now), What::Words);
    list
}

fn other_sources(before: &Spec, now: &Spec) -> bool {
    before.sources != now.sources
        || before.settled != now.settled
        || before.tolerance_percent != now.tolerance_percent
}

/// Whether the readings of a fastener have to be judged again: limits, rule or hand are others.
pub fn is_judged_anew(before: &Plan, now: &Plan, fastener: &str) -> bool {
    let (Some((_, old)), Some((_, new))) = (before.fastener(fastener), now.fastener(fastener))
    else {
        return false;
    };
    old.spec.limits != new.spec.limits || old.rule != new.rule || old.hand != new.hand
}

/// Whether a fastener has to be pulled again: it is tightened in other passes.
pub fn is_pulled_again(before: &Plan, now: &Plan, fastener: &str) -> bool {
    let (Some((old, _)), Some((new, _))) = (before.fastener(fastener), now.fastener(fastener))
    else {
        return false;
    };
    old.passes != new.passes
}
