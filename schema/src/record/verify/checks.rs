//! Whether each check of a record follows from its readings and from the plan it was held to.

use super::{VerifyError, contradiction};
use crate::build::{CheckStanding, CheckSummary, Fact, Facts, answer_of, since};
use crate::check::{
    CheckPlace, CheckReading, CheckVerdict, CheckWorth, Derived, Input, decide, derive, outside,
};
use crate::record::{
    CheckReadingRecord, CheckRecord, EarlierCheckSpec, Missing, NotDone, Record, Subject,
};
use std::collections::{BTreeMap, BTreeSet};

pub(super) fn check(record: &Record) -> Result<(), VerifyError> {
    let subject = &record.subject;
    check_summary(subject)?;
    check_readings(subject)?;
    for check in &subject.checks {
        check_one(check)?;
        check_derived(subject, check)?;
        let standing = standing(check);
        if standing != check.standing {
            let what = format!(
                "it is said to be {}, and its readings say otherwise",
                check.standing
            );
            return Err(contradiction(&check.id, what));
        }
        if matches!(standing, CheckStanding::Open | CheckStanding::PartWay) {
            let what = "the build is finished, and it is neither measured nor deferred";
            return Err(contradiction(&check.id, what));
        }
    }
    for check in &subject.removed_checks {
        check_one(check)?;
        let is_there = check.readings.iter().any(|reading| reading.counts);
        let is_undecided = standing(check) == CheckStanding::Over;
        if is_there || is_undecided || check.standing != CheckStanding::Open {
            let what =
                "the plan no longer has it, and something of it counts or was not decided about";
            return Err(contradiction(&check.id, what));
        }
    }
    check_editions(subject)?;
    check_alarms(subject)
}

fn all(subject: &Subject) -> impl Iterator<Item = &CheckRecord> {
    subject.checks.iter().chain(&subject.removed_checks)
}

fn check_summary(subject: &Subject) -> Result<(), VerifyError> {
    let mut summary = CheckSummary::default();
    for check in &subject.checks {
        summary.count(check.standing);
    }
    if summary == subject.check_summary {
        return Ok(());
    }
    let what = "it does not count the checks of the record";
    Err(contradiction("check_summary", what))
}

fn check_readings(subject: &Subject) -> Result<(), VerifyError> {
    let tools: BTreeSet<&str> = subject.tools.iter().map(|tool| tool.id.as_str()).collect();
    let mut seen: BTreeSet<u64> = subject
        .all_readings()
        .map(|reading| reading.sequence)
        .collect();
    for reading in subject.all_check_readings() {
        let at = format!("reading {}", reading.sequence);
        let range = subject.ledger.first..=subject.ledger.last;
        let wrong = if !seen.insert(reading.sequence) {
            "it stands in the record twice"
        } else if !tools.contains(reading.reading.tool.as_str()) {
            "its tool is not among the tools of the record"
        } else if !range.contains(&reading.sequence) {
            "it lies outside the entries that the record covers"
        } else if !is_converted(&reading.reading) {
            "what was judged does not follow from what was displayed"
        } else {
            continue;
        };
        return Err(contradiction(&at, wrong));
    }
    for reading in &subject.checks_elsewhere {
        let hides =
            reading.placement.place().is_some() || reading.verdict.is_some() || reading.counts;
        if hides {
            let what = "it belongs to a check and is listed apart";
            return Err(contradiction(
                &format!("reading {}", reading.sequence),
                what,
            ));
        }
    }
    Ok(())
}

/// What was judged has to follow from what was displayed: in another unit, and corrected.
fn is_converted(reading: &CheckReading) -> bool {
    if reading.displayed.is_none() {
        return reading.value.is_none() && reading.worth.is_none() && reading.is_over_range();
    }
    let Some(shown) = reading.shown() else {
        return false;
    };
    match &reading.worth {
        None => reading.value == Some(shown),
        Some(worth) => {
            worth.adds_up(shown)
                && Some(worth.step) >= reading.step()
                && reading.value == Some(worth.basis.corrected(shown))
        }
    }
}

fn check_one(check: &CheckRecord) -> Result<(), VerifyError> {
    let at = &check.id;
    let is_rising = check
        .readings
        .windows(2)
        .all(|pair| pair[0].sequence < pair[1].sequence);
    if !is_rising {
        return Err(contradiction(at, "its readings are not in their order"));
    }
    let counting = counting(check);
    for reading in &check.readings {
        check_verdicts(check, reading)?;
        if reading.counts != counting.contains(&reading.sequence) {
            let at = format!("{at}, reading {}", reading.sequence);
            let what = "whether it counts disagrees with which reading is the newest at its place";
            return Err(contradiction(&at, what));
        }
    }
    Ok(())
}

fn place_of<'r>(check: &CheckRecord, reading: &'r CheckReadingRecord) -> Option<&'r CheckPlace> {
    let place = reading.placement.place();
    place.filter(|place| place.check == check.id)
}

/// The readings that count: the newest at each place since the check was last open.
fn counting(check: &CheckRecord) -> BTreeSet<u64> {
    let opened = check.opened.last().map(|act| act.sequence);
    let mut newest: BTreeMap<u16, u64> = BTreeMap::new();
    for reading in &check.readings {
        if let Some(place) = place_of(check, reading)
            && opened.is_none_or(|opened| reading.sequence > opened)
            && place.number < check.readings_wanted
            && reading.reading.unit == check.spec.limits.unit
            && check.formula.is_none()
        {
            newest.insert(place.number, reading.sequence);
        }
    }
    newest.into_values().collect()
}

/// Every verdict has to follow from its figures and from the edition of the plan that it was made under.
fn check_verdicts(check: &CheckRecord, reading: &CheckReadingRecord) -> Result<(), VerifyError> {
    let at = format!("{}, reading {}", check.id, reading.sequence);
    let (Some(verdict), Some(_)) = (&reading.verdict, place_of(check, reading)) else {
        let what = "it has no verdict, or belongs to another check";
        return Err(contradiction(&at, what));
    };
    for earlier in &reading.earlier_verdicts {
        let mut specs = check.earlier.iter();
        let spec = specs.find(|spec| spec.until == earlier.until);
        let is_so = spec.is_some_and(|spec| {
            follows(&reading.reading, &earlier.verdict)
                && is_under(&earlier.verdict, (&spec.spec.limits, spec.rule))
        });
        if !is_so {
            let what = "an earlier verdict does not follow from an earlier edition of the plan";
            return Err(contradiction(&at, what));
        }
    }
    if !follows(&reading.reading, verdict) {
        let what = format!(
            "the verdict {} does not follow from its figures",
            verdict.answer
        );
        return Err(contradiction(&at, what));
    }
    let is_now = is_under(verdict, (&check.spec.limits, check.rule));
    // What no longer counts was not judged again.
    let mut earlier = check.earlier.iter();
    let is_then = !reading.counts
        && earlier.any(|spec: &EarlierCheckSpec| is_under(verdict, (&spec.spec.limits, spec.rule)));
    if is_now || is_then {
        return Ok(());
    }
    let what = "it was judged by other limits, or another rule, than its check's";
    Err(contradiction(&at, what))
}

fn is_under(
    verdict: &CheckVerdict,
    (limits, rule): (&crate::check::CheckLimits, crate::verdict::Rule),
) -> bool {
    verdict.limits == *limits && verdict.rule == rule
}

fn follows(reading: &CheckReading, verdict: &CheckVerdict) -> bool {
    let worth = reading.worth.as_ref();
    let answer = decide(
        reading.value,
        &verdict.limits,
        verdict.rule,
        verdict.expanded,
    );
    // Another program's probabilities may differ in the last place.
    let is_likely = match (worth, reading.value) {
        (Some(worth), Some(value)) => {
            let here = outside(value, worth, &verdict.limits);
            verdict.outside.is_some_and(|stated| {
                stated.under_millionths.abs_diff(here.under_millionths) <= 2
                    && stated.over_millionths.abs_diff(here.over_millionths) <= 2
            })
        }
        _ => verdict.outside.is_none(),
    };
    answer == verdict.answer
        && is_likely
        && verdict.expanded == worth.map(CheckWorth::guard)
        && verdict.limits.unit == reading.unit
}

/// A computed check is computed again: the result within one small unit, its uncertainty within two thousandths of one.
fn check_derived(subject: &Subject, check: &CheckRecord) -> Result<(), VerifyError> {
    let again = derived(subject, check);
    let is_same = match (&check.derived, &again) {
        (None, None) => true,
        (Some(said), Some(again)) => is_near(said, again),
        _ => false,
    };
    if is_same {
        return Ok(());
    }
    let what = "what its formula comes to does not follow from the readings that count";
    Err(contradiction(&check.id, what))
}

fn is_near(said: &Derived, again: &Derived) -> bool {
    let near = |one: Option<i64>, other: Option<i64>, most: u64| match (one, other) {
        (Some(one), Some(other)) => one.abs_diff(other) <= most,
        (one, other) => one == other,
    };
    let verdict = &said.verdict;
    let answer = decide(
        Some(said.value),
        &verdict.limits,
        verdict.rule,
        verdict.expanded,
    );
    said.inputs == again.inputs
        && said.shares_a_certificate == again.shares_a_certificate
        && near(Some(said.value), Some(again.value), 1)
        && near(said.standard_thousandths, again.standard_thousandths, 2)
        && near(verdict.expanded, again.verdict.expanded, 1)
        && verdict.limits == again.verdict.limits
        && verdict.rule == again.verdict.rule
        && verdict.outside.is_none()
        && answer == verdict.answer
}

fn derived(subject: &Subject, check: &CheckRecord) -> Option<Derived> {
    let formula = check.formula.as_ref()?;
    let mut inputs: Vec<Input<'_>> = Vec::new();
    for id in &formula.inputs {
        let of = subject.checks.iter().find(|known| known.id == *id)?;
        let mut readings: Vec<&CheckReadingRecord> = of
            .readings
            .iter()
            .filter(|reading| reading.counts)
            .collect();
        if readings.len() < usize::from(of.readings_wanted) {
            return None;
        }
        readings.sort_by_key(|reading| place_of(of, reading).map(|place| place.number));
        inputs.extend(readings.into_iter().map(|known| Input {
            check: &of.id,
            sequence: known.sequence,
            reading: &known.reading,
        }));
    }
    derive(formula, &inputs, &check.spec.limits, check.rule)
}

/// How a check stands, from nothing but its readings and decisions in the record.
fn standing(check: &CheckRecord) -> CheckStanding {
    let fact = |known: &CheckReadingRecord| {
        let verdict = known.verdict.as_ref()?;
        let value = known.reading.value;
        let (since, over_since) = since(
            known.sequence,
            value,
            &known.earlier_verdicts,
            Some(verdict),
        );
        Some(Fact {
            answer: answer_of(value, verdict),
            since,
            over_since,
            counts: known.counts,
            can_harm: known.reading.unit.can_harm(),
            may_harm: known.reading.unit.can_harm() && verdict.may_be_over(value),
        })
    };
    Facts {
        wanted: usize::from(check.readings_wanted),
        readings: check.readings.iter().filter_map(fact).collect(),
        decisions: check
            .dispositions
            .iter()
            .map(|known| (known.sequence, known.decision.loosens()))
            .collect(),
        is_deferred: check.deferred.is_some(),
        is_derived: check.formula.is_some(),
        derived: check.derived.as_ref(),
        changed: check.earlier.last().map_or(0, |earlier| earlier.until),
    }
    .standing()
}

fn check_editions(subject: &Subject) -> Result<(), VerifyError> {
    let numbers: Vec<u64> = subject
        .plan_changes
        .iter()
        .map(|change| change.changed.sequence)
        .collect();
    for check in all(subject) {
        let untils: Vec<u64> = check.earlier.iter().map(|spec| spec.until).collect();
        let is_rising = untils.windows(2).all(|pair| pair[0] < pair[1]);
        if !is_rising || untils.iter().any(|until| !numbers.contains(until)) {
            let what = "an earlier edition is said to have ended where the plan was not changed";
            return Err(contradiction(&check.id, what));
        }
    }
    for check in &subject.removed_checks {
        let mut known = subject.checks.iter();
        let is_twice = known.any(|known| known.id == check.id);
        let mut opened = check.opened.iter();
        if is_twice || !opened.any(|act| numbers.contains(&act.sequence)) {
            let what = "it is said to be out of the plan, and nothing took it out";
            return Err(contradiction(&check.id, what));
        }
    }
    Ok(())
}

fn check_alarms(subject: &Subject) -> Result<(), VerifyError> {
    for reading in subject.all_check_readings() {
        let earlier = reading.earlier_verdicts.iter();
        let mut verdicts = earlier
            .map(|earlier| &earlier.verdict)
            .chain(&reading.verdict);
        let is_over = reading.reading.unit.can_harm()
            && verdicts.any(|verdict| {
                answer_of(reading.reading.value, verdict) == crate::verdict::Answer::Over
            });
        let mut alarms = subject.check_alarms.iter();
        if is_over && !alarms.any(|alarm| alarm.reading == reading.sequence) {
            let what = "it is over and raised no alarm";
            return Err(contradiction(
                &format!("reading {}", reading.sequence),
                what,
            ));
        }
    }
    for alarm in &subject.check_alarms {
        let at = format!("alarm {}", alarm.sequence);
        if !subject
            .all_check_readings()
            .any(|reading| reading.sequence == alarm.reading)
        {
            return Err(contradiction(&at, "its reading is not in the record"));
        }
        let mut against = all(subject)
            .filter(|check| check.id == alarm.place.check)
            .flat_map(|check| {
                let earlier = check.earlier.iter().map(|earlier| &earlier.spec);
                earlier.chain([&check.spec])
            });
        let is_so = against
            .any(|spec| spec.limits.upper == Some(alarm.upper) && spec.limits.unit == alarm.unit);
        if !is_so {
            let what = "it names no check of the record, or another limit than the check has";
            return Err(contradiction(&at, what));
        }
    }
    Ok(())
}

/// What is missing among the checks.
pub(super) fn missing(subject: &Subject) -> impl Iterator<Item = NotDone> {
    let open = subject
        .checks
        .iter()
        .filter(|check| !check.standing.is_done());
    open.map(|check| NotDone {
        fastener: check.id.clone(),
        what: Missing::Measurement,
        reason: check.deferred.as_ref().and_then(|act| act.reason.clone()),
        waits_for: check.waits_for.clone(),
    })
}

/// The entries of all acts on checks that hold.
pub(super) fn said(subject: &Subject) -> impl Iterator<Item = u64> {
    all(subject).flat_map(|check| {
        let dispositions = check.dispositions.iter().map(|known| known.sequence);
        let lists = check.opened.iter().chain(&check.deferred);
        dispositions.chain(lists.map(|act| act.sequence))
    })
}

/// Whether a check had to be measured again by an entry.
pub(super) fn is_opened(subject: &Subject, id: &str, by: u64) -> bool {
    let mut of = all(subject).filter(|check| check.id == id);
    of.any(|check| check.opened.iter().any(|act| act.sequence == by))
}
