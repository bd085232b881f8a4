//! Whether each fastener of a record follows from its readings and from the plan it was held to.

use super::{VerifyError, contradiction, life};
use crate::build::{Since, Standing, completes_its_pass};
use crate::gauge::{self, Worth};
use crate::plan::{Hand, Spec};
use crate::quantity::Torque;
use crate::record::{
    EarlierSpec, FastenerRecord, Missing, NotDone, ReadingRecord, Record, Signature,
};
use crate::trace;
use crate::verdict::{Rule, Verdict};

/// A fastener of the plan: its readings, and how it is said to stand.
pub(super) fn check_fastener(fastener: &FastenerRecord) -> Result<(), VerifyError> {
    check_readings_of(fastener)?;
    let standing = standing(fastener);
    if standing == Some(fastener.standing) {
        return Ok(());
    }
    Err(contradiction(
        &fastener.id,
        format!(
            "it is said to be {}, and its readings say otherwise",
            fastener.standing
        ),
    ))
}

/// A fastener that the plan no longer has: nothing of it counts, and an over reading was decided about.
pub(super) fn check_removed(fastener: &FastenerRecord) -> Result<(), VerifyError> {
    check_readings_of(fastener)?;
    let is_still_there = fastener.readings.iter().any(|reading| reading.counts);
    if is_still_there
        || fastener.standing != Standing::Open
        || standing(fastener) == Some(Standing::Over)
    {
        let what = "the plan no longer has it, and something of it counts or was not decided about";
        return Err(contradiction(&fastener.id, what));
    }
    Ok(())
}

fn check_readings_of(fastener: &FastenerRecord) -> Result<(), VerifyError> {
    let at = &fastener.id;
    let is_rising = fastener
        .readings
        .windows(2)
        .all(|pair| pair[0].sequence < pair[1].sequence);
    if !is_rising {
        return Err(contradiction(at, "its readings are not in their order"));
    }
    for reading in &fastener.readings {
        check_verdicts(fastener, reading)?;
        if reading.counts
            != fastener
                .loosened
                .iter()
                .all(|undone| undone.sequence < reading.sequence)
        {
            let at = format!("{at}, reading {}", reading.sequence);
            return Err(contradiction(
                &at,
                "whether it counts disagrees with when the fastener was undone",
            ));
        }
    }
    Ok(())
}

/// What a verdict is held against: the fastener as the plan has it, or as an earlier edition had it.
#[derive(Debug, Clone, Copy)]
struct Against<'a> {
    passes: &'a [u8],
    spec: &'a Spec,
    rule: Rule,
    hand: Hand,
}

impl<'a> Against<'a> {
    fn now(fastener: &'a FastenerRecord) -> Self {
        Self {
            passes: &fastener.passes_percent,
            spec: &fastener.spec,
            rule: fastener.rule,
            hand: fastener.hand,
        }
    }

    fn earlier(earlier: &'a EarlierSpec) -> Self {
        Self {
            passes: &earlier.passes_percent,
            spec: &earlier.spec,
            rule: earlier.rule,
            hand: earlier.hand,
        }
    }
}

/// Every verdict of a reading has to follow from its figures and from the edition of the plan that it was made under. What
/// no longer counts was not judged again.
fn check_verdicts(fastener: &FastenerRecord, reading: &ReadingRecord) -> Result<(), VerifyError> {
    let at = format!("{}, reading {}", fastener.id, reading.sequence);
    let place = reading
        .placement
        .place()
        .filter(|place| place.fastener == fastener.id);
    let (Some(verdict), Some(place)) = (&reading.verdict, place) else {
        return Err(contradiction(
            &at,
            "it has no verdict, or belongs to another fastener",
        ));
    };
    for earlier in &reading.earlier_verdicts {
        let Some(spec) = fastener
            .earlier
            .iter()
            .find(|spec| spec.until == earlier.until)
        else {
            return Err(contradiction(
                &at,
                "it names an edition of the plan that the fastener does not have",
            ));
        };
        let against = Against::earlier(spec);
        check_verdict(&at, (reading, place.pass), &earlier.verdict, against)?;
    }
    let now = check_verdict(&at, (reading, place.pass), verdict, Against::now(fastener));
    let mut earlier = fastener.earlier.iter().map(Against::earlier);
    let is_earlier = !reading.counts
        && earlier.any(|spec| check_verdict(&at, (reading, place.pass), verdict, spec).is_ok());
    if is_earlier { Ok(()) } else { now }
}

fn check_verdict(
    at: &str,
    (reading, pass): (&ReadingRecord, u8),
    verdict: &Verdict,
    against: Against<'_>,
) -> Result<(), VerifyError> {
    let Some(percent) = against.passes.get(usize::from(pass)) else {
        return Err(contradiction(
            at,
            "it has no verdict, or belongs to another fastener",
        ));
    };
    if verdict.limits != against.spec.limits.of_pass(*percent).limits {
        return Err(contradiction(
            at,
            "it was judged by other limits than those of its fastener and pass",
        ));
    }
    let applied = against.hand.tightening(reading.reading.applied);
    let expanded = verdict.expanded_uncertainty;
    if verdict.rule != against.rule {
        return Err(contradiction(
            at,
            "it was judged by another rule than its fastener's",
        ));
    }
    let worth = reading.reading.worth.as_ref();
    if expanded != worth.map(Worth::guard) {
        return Err(contradiction(
            at,
            "its verdict names another uncertainty than the reading",
        ));
    }
    if !is_likely(worth, verdict, applied) {
        return Err(contradiction(
            at,
            "how likely it lies outside does not follow from its uncertainty",
        ));
    }
    let answer = trace::answer(
        &reading.reading,
        against.hand,
        &verdict.limits,
        verdict.rule,
    );
    if answer != verdict.answer {
        return Err(contradiction(
            at,
            format!(
                "the verdict {} does not follow from its figures",
                verdict.answer
            ),
        ));
    }
    Ok(())
}

/// Whether the probabilities of a verdict are those that its figures give; another program's may differ in the last place.
fn is_likely(worth: Option<&Worth>, verdict: &Verdict, applied: Option<Torque>) -> bool {
    let (Some(worth), Some(applied)) = (worth, applied) else {
        return verdict.outside.is_none();
    };
    let here = gauge::outside(applied, worth, &verdict.limits);
    verdict.outside.is_some_and(|stated| {
        stated.under_millionths.abs_diff(here.under_millionths) <= 2
            && stated.over_millionths.abs_diff(here.over_millionths) <= 2
    })
}

/// How a fastener stands, from nothing but its readings and decisions in the record.
fn standing(fastener: &FastenerRecord) -> Option<Standing> {
    let counting = || fastener.readings.iter().filter(|reading| reading.counts);
    let is_settled = |reading: &ReadingRecord, since: u64| {
        let mut after = fastener.dispositions.iter().filter(|d| d.sequence > since);
        after.any(|d| !reading.counts || !d.decision.loosens())
    };
    let is_open = |reading: &ReadingRecord| {
        let since = since(reading).over;
        since.is_some_and(|since| !is_settled(reading, since))
    };
    if fastener.readings.iter().any(is_open) {
        return Some(Standing::Over);
    }
    if counting().any(|reading| since(reading).over.is_some()) {
        return Some(Standing::OverKept);
    }
    let may_be_over: Vec<&ReadingRecord> =
        counting().filter(|reading| may_be_over(reading)).collect();
    if may_be_over
        .iter()
        .any(|reading| !is_settled(reading, since(reading).answer))
    {
        return Some(Standing::Undecided);
    }
    if fastener.deferred.is_some() {
        return Some(Standing::Deferred);
    }
    let done = counting()
        .filter(|reading| completes_its_pass(reading.reading.applied, reading.verdict.as_ref()))
        .filter_map(|reading| reading.placement.place())
        .map(|place| usize::from(place.pass) + 1)
        .max();
    // A finished build has nothing open, part way or under.
    let is_done = done.unwrap_or(0) >= fastener.passes_percent.len();
    let standing = if may_be_over.is_empty() {
        Standing::Within
    } else {
        Standing::UndecidedKept
    };
    is_done.then_some(standing)
}

fn since(reading: &ReadingRecord) -> Since {
    let verdict = reading.verdict.as_ref();
    Since::of(reading.sequence, &reading.earlier_verdicts, verdict)
}

fn may_be_over(reading: &ReadingRecord) -> bool {
    let verdict: Option<&Verdict> = reading.verdict.as_ref();
    verdict.is_some_and(|verdict| verdict.may_be_over(reading.reading.applied))
}

/// What is missing at a fastener.
pub(super) fn missing_at(record: &Record, fastener: &FastenerRecord) -> Vec<NotDone> {
    let item = |what, reason| NotDone {
        fastener: fastener.id.clone(),
        what,
        reason,
        waits_for: None,
    };
    if !fastener.standing.is_done() {
        let deferred = fastener.deferred.as_ref();
        return vec![NotDone {
            waits_for: fastener.waits_for.clone(),
            ..item(
                Missing::Torque,
                deferred.and_then(|waits| waits.reason.clone()),
            )
        }];
    }
    let last = fastener
        .readings
        .iter()
        .filter(|reading| reading.counts)
        .map(|reading| reading.sequence)
        .max();
    let others = life::tightened_by(record, fastener);
    let is_second = |look: &Signature| {
        last.is_none_or(|last| look.sequence > last) && !others.contains(look.by.as_str())
    };
    let undone = fastener.loosened.iter().map(|undone| undone.sequence).max();
    let is_prepared = fastener
        .prepared
        .iter()
        .any(|act| undone.is_none_or(|undone| act.sequence > undone));
    let no_prep = !fastener.prep.is_empty() && !is_prepared;
    let no_look = fastener.second_look && !fastener.looked.iter().any(is_second);
    let prep = no_prep.then(|| item(Missing::Prep, None));
    prep.into_iter()
        .chain(no_look.then(|| item(Missing::SecondLook, None)))
        .collect()
}
