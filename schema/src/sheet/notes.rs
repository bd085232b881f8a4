//! What many rows share is said once: the tool, the day and the person beside the tables, and every remark in one line with
//! the numbers of its rows.

use super::checks::CheckRow;
use super::ranges::ranges;
use super::rows::Section;
use super::words;
use crate::record::{Subject, names};
use serde::Serialize;
use std::collections::BTreeMap;

/// A remark and the rows it is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Note {
    /// The letter that its rows bear; none where every row bears it.
    pub mark: String,
    /// What it says.
    pub says: String,
    /// The numbers of its rows.
    pub rows: String,
}

/// What holds of every row that does not say otherwise.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Common {
    /// The tool's short name.
    pub(super) tool: Option<String>,
    /// The day.
    pub(super) day: Option<String>,
    /// Who confirmed the prep.
    pub(super) prepared_by: Option<String>,
}

impl Common {
    pub(super) fn of(subject: &Subject) -> Self {
        let readings = || subject.fasteners.iter().filter_map(super::rows::shown);
        let check_readings = subject.checks.iter().flat_map(|check| &check.readings);
        let times = readings().map(|known| known.time.as_str());
        let times = times.chain(check_readings.map(|known| known.time.as_str()));
        let prepared = subject.fasteners.iter().filter_map(|f| f.prepared.last());
        let names = prepared.map(|act| act.by.as_str());
        Self {
            tool: most(readings().map(|known| known.reading.tool.as_str())),
            day: most(times.map(words::day)),
            prepared_by: most(names).filter(|name| !names::is_hidden(name)),
        }
    }

    /// What a row says about a tool and a time.
    pub(super) fn tool_and_time(&self, tool: &str, time: &str) -> (String, String) {
        let is_same_tool = self.tool.as_deref() == Some(tool);
        let tool = if is_same_tool { "" } else { tool };
        let is_same_day = self.day.as_deref() == Some(words::day(time));
        let time = if is_same_day {
            words::clock(time)
        } else {
            words::minute(time)
        };
        (tool.to_owned(), time)
    }

    /// A confirmed prep; by whom only where it was somebody else.
    pub(super) fn prep(&self, what: &str, by: &str) -> String {
        if self.prepared_by.as_deref() == Some(by) {
            what.to_owned()
        } else {
            format!("{what}: {}", words::person(by))
        }
    }

    /// "Where a row says nothing else: pulled with w1, on 2026-11-27, prep confirmed by Ines Falk."
    pub(super) fn sentence(&self) -> String {
        let parts = [
            ("pulled with ", &self.tool),
            ("on ", &self.day),
            ("prep confirmed by ", &self.prepared_by),
        ];
        let said: Vec<String> = parts
            .into_iter()
            .filter_map(|(before, what)| Some(format!("{before}{}", what.as_ref()?)))
            .collect();
        if said.is_empty() {
            return String::new();
        }
        format!("Where a row says nothing else: {}.", said.join(", "))
    }
}

/// What more than half of them are, if more than one is.
fn most<'a>(all: impl Iterator<Item = &'a str>) -> Option<String> {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    let mut total = 0;
    for one in all {
        *counts.entry(one).or_default() += 1;
        total += 1;
    }
    let (what, count) = counts.into_iter().max_by_key(|(_, count)| *count)?;
    (count > 1 && count * 2 > total && !what.is_empty()).then(|| what.to_owned())
}

/// Takes the remarks out of the rows, says each once, and gives the rows the letters of theirs.
pub(super) fn notes(sections: &mut [Section], checks: &mut [CheckRow]) -> Vec<Note> {
    let mut rows: Vec<(usize, &[String], &mut String)> = Vec::new();
    for row in sections.iter_mut().flat_map(|section| &mut section.rows) {
        rows.push((row.number, &row.remarks, &mut row.notes));
    }
    for row in checks {
        rows.push((row.number, &row.remarks, &mut row.notes));
    }
    let mut found: Vec<(&str, Vec<usize>)> = Vec::new();
    for (number, remarks, _) in &rows {
        for remark in *remarks {
            match found.iter_mut().find(|(known, _)| known == remark) {
                Some((_, numbers)) => numbers.push(*number),
                None => found.push((remark, vec![*number])),
            }
        }
    }
    let is_of_all = |numbers: &[usize]| rows.len() > 1 && numbers.len() == rows.len();
    let mut lettered = 0;
    let mut all = Vec::new();
    for (says, numbers) in found {
        let mark = if is_of_all(&numbers) {
            String::new()
        } else {
            lettered += 1;
            letter(lettered)
        };
        all.push((
            numbers.clone(),
            Note {
                mark,
                says: says.to_owned(),
                rows: ranges(&numbers),
            },
        ));
    }
    for (number, _, notes) in &mut rows {
        let mine = all.iter().filter(|(numbers, _)| numbers.contains(number));
        let marks: Vec<&str> = mine
            .map(|(_, note)| note.mark.as_str())
            .filter(|mark| !mark.is_empty())
            .collect();
        **notes = marks.join(" ");
    }
    all.into_iter().map(|(_, note)| note).collect()
}

/// a, b, …, z, aa, ab, … as columns of a table are counted; counted from 1.
fn letter(mut number: usize) -> String {
    let mut letters = Vec::new();
    while number > 0 {
        number -= 1;
        // less than 26
        letters.push(char::from(b'a' + u8::try_from(number % 26).unwrap_or(0)));
        number /= 26;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        let of = |number| letter(number);
        assert_eq!([of(1), of(26), of(27), of(53)], ["a", "z", "aa", "ba"]);
    }

    #[test]
    fn what_most_share_is_more_than_half() {
        let most = |all: &[&str]| most(all.iter().copied());
        assert_eq!(most(&["a", "b", "a"]).as_deref(), Some("a"));
        assert_eq!(most(&["a", "b", "a", "b"]), None);
        assert_eq!(most(&["a"]), None);
        assert_eq!(most(&[]), None);
    }
}
