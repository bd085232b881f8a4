//! Which rows are meant: what is said of many is said once, with their numbers.

use super::{Item, words};
use crate::record::Subject;

/// So few are named one by one, with their titles.
const FEW: usize = 2;

/// Numbers as ranges: "1–45", "2, 3, 7–9". They come in order.
pub(super) fn ranges(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => runs.push((*number, *number)),
        }
    }
    let said: Vec<String> = runs
        .into_iter()
        .map(|(first, last)| match last - first {
            0 => first.to_string(),
            1 => format!("{first}, {last}"),
            _ => format!("{first}–{last}"),
        })
        .collect();
    said.join(", ")
}

/// The number of a fastener's or a check's row: the checks are counted on from the last fastener. One that an earlier
/// edition had has no row.
pub(super) fn number(subject: &Subject, id: &str) -> Option<usize> {
    let fasteners = subject.fasteners.iter().map(|known| known.id.as_str());
    let checks = subject.checks.iter().map(|known| known.id.as_str());
    fasteners
        .chain(checks)
        .position(|known| known == id)
        .map(|index| index + 1)
}

/// What is said of fasteners and checks: the same thing about more than a few of them is one line with their numbers.
pub(super) fn together(subject: &Subject, said: Vec<(String, String)>) -> Vec<Item> {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for (id, says) in said {
        match groups.iter_mut().find(|(known, _)| *known == says) {
            Some((_, ids)) => ids.push(id),
            None => groups.push((says, vec![id])),
        }
    }
    groups
        .into_iter()
        .flat_map(|(says, ids)| group(subject, &says, &ids))
        .collect()
}

fn group(subject: &Subject, says: &str, ids: &[String]) -> Vec<Item> {
    if ids.len() > FEW {
        return vec![many(subject, says, ids)];
    }
    ids.iter()
        .map(|id| Item {
            rows: number(subject, id).map_or_else(String::new, |number| number.to_string()),
            what: subject.title_of(id).to_owned(),
            says: says.to_owned(),
        })
        .collect()
}

/// One line about all of them.
pub(super) fn many(subject: &Subject, says: &str, ids: &[String]) -> Item {
    let mut numbers: Vec<usize> = ids.iter().filter_map(|id| number(subject, id)).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let fasteners = subject.fasteners.len();
    let checks = numbers.iter().filter(|number| **number > fasteners).count();
    let removed = ids
        .iter()
        .filter(|id| number(subject, id).is_none())
        .count();
    let kinds = [
        (numbers.len() - checks, "fastener", "fasteners"),
        (checks, "check", "checks"),
        (removed, "of an earlier edition", "of earlier editions"),
    ];
    let counted: Vec<String> = kinds
        .into_iter()
        .filter(|(count, ..)| *count > 0)
        .map(|(count, one, more)| words::count(count as u64, one, more))
        .collect();
    Item {
        rows: ranges(&numbers),
        what: counted.join(", "),
        says: says.to_owned(),
    }
}
