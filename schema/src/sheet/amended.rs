//! That a record takes the place of an earlier one, why, and what is different; and that the bike came back.

use super::Item;
use super::ranges::{many, together};
use super::words::{groups, moment, person};
use crate::record::amend::Changed;
use crate::record::{Amends, Subject};
use serde::Serialize;

/// More lines than these become one.
const LINES: usize = 6;
/// So many digits of the earlier record's hash tell it from others.
const DIGITS: usize = 16;

/// What came before this record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Before {
    /// Which record it takes the place of, or that the bike was taken up again.
    pub heading: String,
    /// Why, and when the bike was taken up again.
    pub says: Vec<String>,
    /// What is different from the earlier record.
    pub changed: Vec<Item>,
}

/// Nothing for a record that is the first, of a bike that was handed over once.
pub(super) fn before(subject: &Subject) -> Option<Before> {
    let mut says: Vec<String> = subject.amends.iter().map(why).collect();
    says.extend(subject.reopened.iter().map(|act| {
        let reason = act.reason.as_ref();
        let reason = reason.map_or_else(String::new, |reason| format!(": {reason}"));
        format!(
            "Taken up again {} by {}{}.",
            moment(&act.time),
            person(&act.by),
            reason.trim_end_matches('.')
        )
    }));
    let heading = match &subject.amends {
        Some(amends) => format!("In the place of the record of {}", moment(&amends.sealed)),
        None if says.is_empty() => return None,
        None => "Taken up again after it was handed over".to_owned(),
    };
    let changed = subject.amends.as_ref().map(|amends| &amends.changed);
    Some(Before {
        heading,
        says,
        changed: changed.map_or_else(Vec::new, |list| changes(subject, list)),
    })
}

fn why(amends: &Amends) -> String {
    let hash = amends.record.to_string();
    let hash = groups(hash.get(..DIGITS).unwrap_or(&hash));
    format!(
        "Why: {}. The SHA-256 of that record begins with {hash}.",
        amends.reason.trim_end_matches('.')
    )
}

fn changes(subject: &Subject, list: &[Changed]) -> Vec<Item> {
    let of_the_bike = list.iter().filter(|changed| changed.fastener.is_none());
    let mut all: Vec<Item> = of_the_bike
        .map(|changed| super::item("The whole bike", words(&changed.members)))
        .collect();
    let fasteners: Vec<(String, String)> = list
        .iter()
        .filter_map(|changed| {
            let id = changed.fastener.clone()?;
            let says = of_a_fastener(subject, &id, &changed.members);
            Some((id, says))
        })
        .collect();
    let lines = together(subject, fasteners.clone());
    if lines.len() <= LINES {
        all.extend(lines);
        return all;
    }
    let ids: Vec<String> = fasteners.into_iter().map(|(id, _)| id).collect();
    let of_fasteners = list.iter().filter(|changed| changed.fastener.is_some());
    let mut members: Vec<String> = Vec::new();
    for member in of_fasteners.flat_map(|changed| &changed.members) {
        if member != "id" && !members.contains(member) {
            members.push(member.clone());
        }
    }
    all.push(many(subject, &words(&members), &ids));
    all
}

/// A name that is different is of a fastener that only one of the records has.
fn of_a_fastener(subject: &Subject, id: &str, members: &[String]) -> String {
    if !members.iter().any(|member| member == "id") {
        return words(members);
    }
    let is_here = subject.fasteners.iter().any(|known| known.id == id);
    let says = if is_here {
        "new in this record"
    } else {
        "no longer in the plan"
    };
    says.to_owned()
}

fn words(members: &[String]) -> String {
    let mut said: Vec<&str> = Vec::new();
    for member in members {
        let word = word(member).unwrap_or("something that this program knows no word for");
        if !said.contains(&word) {
            said.push(word);
        }
    }
    said.join(", ")
}

/// A member of a record's subject or of a fastener, in words.
pub(super) fn word(member: &str) -> Option<&'static str> {
    Some(match member {
        "adapter" => "adapter",
        "alarms" | "check_alarms" => "over alarms",
        "at" => "place on the bike map",
        "bench" => "bench",
        "bike" => "bike",
        "build" => "name of the build",
        "cautions" => "cautions",
        "checks" => "checks",
        "deferred" => "whether it is put off",
        "dispositions" => "decisions after an over reading",
        "due" => "what is due next",
        "earlier" => "limits of earlier editions",
        "elsewhere" | "checks_elsewhere" => "readings that belong elsewhere",
        "fasteners" => "fasteners",
        "finished" => "when it was handed over",
        "follows" => "the build that it goes on from",
        "frame" => "kind of frame",
        "hand" => "which way the thread turns",
        "hands" => "whom it was handed to",
        "joint" => "what the joint is made of",
        "kind" => "kind of fastener",
        "laid_aside" => "when it was laid aside",
        "looked" => "second look",
        "loosened" => "undone",
        "not_done" => "what was not done",
        "notes" => "notes",
        "parts" => "parts",
        "passes_percent" => "passes",
        "plan" => "plan",
        "plan_changes" => "changes of the plan",
        "practice" => "whether it is practice",
        "prep" => "planned prep",
        "prepared" => "prep",
        "readings" => "readings",
        "recalls" => "recalls",
        "removed" | "removed_checks" => "what the plan no longer has",
        "reopened" => "taken up again",
        "rule" => "how limits and uncertainty make a verdict",
        "second_look" => "whether it wants a second look",
        "spec" => "limits",
        "stage" => "stage",
        "standing" => "how it stands",
        "started" => "when it was begun",
        "summary" | "check_summary" => "how many stand how",
        "title" => "title",
        "tools" => "tools and calibration",
        "waits_for" => "what it waits for",
        "withdrawn" => "what was taken back",
        // These speak of the record and not of the bike, or stand in the list as fasteners.
        _ => return None,
    })
}
