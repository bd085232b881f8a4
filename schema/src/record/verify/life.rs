//! Whether what a record says of the life of a build agrees with the rest of it.

use super::fasteners::check_removed;
use super::{VerifyError, checks, contradiction};
use crate::record::{FastenerRecord, PartRecord, Record, Signature};
use std::collections::BTreeSet;

pub(super) fn check(record: &Record) -> Result<(), VerifyError> {
    check_editions(record)?;
    for fastener in &record.subject.removed {
        check_removed(fastener)?;
    }
    for part in &record.subject.parts {
        check_part(record, part)?;
    }
    check_withdrawn(record)
}

/// What is said of earlier editions has to name entries that changed the plan.
fn check_editions(record: &Record) -> Result<(), VerifyError> {
    let changes = &record.subject.plan_changes;
    let numbers: Vec<u64> = changes
        .iter()
        .map(|change| change.changed.sequence)
        .collect();
    let is_rising = numbers.windows(2).all(|pair| pair[0] < pair[1]);
    let is_other = changes
        .last()
        .is_none_or(|last| last.before.sha256 != record.subject.plan.sha256);
    if !is_rising || !is_other {
        let what = "the editions of the plan do not follow one another";
        return Err(contradiction("plan_changes", what));
    }
    for fastener in record.subject.all_fasteners() {
        let untils: Vec<u64> = fastener.earlier.iter().map(|spec| spec.until).collect();
        let is_rising = untils.windows(2).all(|pair| pair[0] < pair[1]);
        if !is_rising || untils.iter().any(|until| !numbers.contains(until)) {
            let what = "an earlier edition is said to have ended where the plan was not changed";
            return Err(contradiction(&fastener.id, what));
        }
    }
    for fastener in &record.subject.removed {
        let is_removed = |undone: &Signature| numbers.contains(&undone.sequence);
        let is_twice = record
            .subject
            .fasteners
            .iter()
            .any(|known| known.id == fastener.id);
        if is_twice || !fastener.loosened.iter().any(is_removed) {
            let what = "it is said to be out of the plan, and nothing took it out";
            return Err(contradiction(&fastener.id, what));
        }
    }
    Ok(())
}

/// What was undone for a part is loose from there on.
fn check_part(record: &Record, part: &PartRecord) -> Result<(), VerifyError> {
    if !has_last_serial(part) {
        let what = "its serial number is not the one that was put on last";
        return Err(contradiction(&part.id, what));
    }
    for swap in &part.swaps {
        for id in &swap.fasteners {
            let is_undone = record.subject.all_fasteners().any(|fastener| {
                let mut loosened = fastener.loosened.iter();
                fastener.id == *id
                    && loosened.any(|undone| undone.sequence == swap.swapped.sequence)
            });
            let is_opened = checks::is_opened(&record.subject, id, swap.swapped.sequence);
            if !is_undone && !is_opened {
                let what = format!("{id} was undone for it, and is not said to have been");
                return Err(contradiction(&part.id, what));
            }
        }
    }
    Ok(())
}

/// Whether the serial number is that of the last swap, where one came after the part was put on as the first. An entry may also
/// say after a swap that one was put on: then that one is the last, and what it was is said nowhere else in the record.
fn has_last_serial(part: &PartRecord) -> bool {
    let fitted = part.fitted.as_ref().map(|act| act.sequence);
    match part.swaps.last() {
        None => fitted.is_some(),
        Some(last) => fitted > Some(last.swapped.sequence) || last.serial == part.serial,
    }
}

/// What was taken back came before that, and stands nowhere else.
fn check_withdrawn(record: &Record) -> Result<(), VerifyError> {
    let said = said(record);
    for withdrawn in &record.subject.withdrawn {
        let number = withdrawn.act.sequence;
        if withdrawn.withdrawn.sequence <= number || said.contains(&number) {
            let what = "it was taken back, and counts all the same";
            return Err(contradiction(&format!("entry {number}"), what));
        }
    }
    Ok(())
}

/// The entries of all acts that hold.
fn said(record: &Record) -> BTreeSet<u64> {
    let subject = &record.subject;
    let of_fasteners = record.subject.all_fasteners().flat_map(|fastener| {
        let dispositions = fastener.dispositions.iter().map(|d| d.sequence);
        let lists = fastener
            .prepared
            .iter()
            .chain(&fastener.loosened)
            .chain(&fastener.looked)
            .chain(&fastener.deferred);
        lists.map(|act| act.sequence).chain(dispositions)
    });
    let of_parts = subject.parts.iter().flat_map(|part| {
        let swaps = part.swaps.iter().map(|swap| &swap.swapped);
        part.fitted.iter().chain(swaps)
    });
    let of_notes = subject.notes.iter().map(|note| &note.noted);
    let of_hands = subject.hands.iter().map(|hand| &hand.handed);
    let more = of_parts.chain(of_notes).chain(of_hands);
    of_fasteners
        .chain(checks::said(subject))
        .chain(more.map(|act| act.sequence))
        .collect()
}

/// In whose hands the build was at each reading of a fastener that counts.
pub(super) fn tightened_by<'a>(
    record: &'a Record,
    fastener: &'a FastenerRecord,
) -> BTreeSet<&'a str> {
    let subject = &record.subject;
    let counting = fastener.readings.iter().filter(|reading| reading.counts);
    let held = counting.map(|reading| {
        let mut hands = subject.hands.iter().rev();
        hands
            .find(|hand| hand.handed.sequence < reading.sequence)
            .map_or(subject.started.by.as_str(), |hand| &hand.to)
    });
    held.collect()
}
