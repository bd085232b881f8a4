//! A record as people read it: the words and figures of a page, made from the signed document and from nothing else.
//! Paper and screen lay the same sheet out; neither of them decides anything.
//!
//! What was not done stands before what was.

mod amended;
mod checks;
mod elsewhere;
mod not_done;
mod notes;
mod ranges;
mod rows;
mod words;

pub use amended::Before;
pub use checks::CheckRow;
pub use notes::Note;
pub use rows::{Row, Section};
use words::person;
pub use words::{moment, torque_in_both};

use crate::check::MeasuringTool;
use crate::due::DueRecord;
use crate::record::{Record, Subject, ToolRecord};
use serde::Serialize;

/// A record made ready for the eye.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Sheet {
    /// What the shop calls the bike, else its frame number.
    pub bike: String,
    /// The heading's facts, each with its label.
    pub facts: Vec<Fact>,
    /// Made in practice: it speaks of no real bike.
    pub practice: bool,
    /// Which record it takes the place of, and that the bike came back.
    pub before: Option<Before>,
    /// How many fasteners stand how, in one sentence.
    pub summary: String,
    /// What was measured, and what only attested, in one sentence.
    pub measured: String,
    /// What the rows share, in one sentence; empty where they share nothing.
    pub common: String,
    /// What was not done, short enough to be seen whole.
    pub not_done: Vec<Item>,
    /// What was not done one by one, where the above only sums it up.
    pub not_done_in_full: Vec<Item>,
    /// Over readings, what was decided about them, and recalls.
    pub attention: Vec<Item>,
    /// The fasteners, stage by stage.
    pub sections: Vec<Section>,
    /// The checks: what was measured that is no torque.
    pub checks: Vec<CheckRow>,
    /// What is said of rows, each once.
    pub notes: Vec<Note>,
    /// What else happened: parts, other editions, hands, notes, acts taken back.
    pub history: Vec<Item>,
    /// The tools and their calibration.
    pub tools: Vec<Tool>,
    /// What is to be done next, and who says so.
    pub due: Vec<Item>,
    /// What a reader has to keep in mind.
    pub cautions: Vec<String>,
    /// The fingerprint of the shop's key history, in groups.
    pub fingerprint: String,
    /// How the record can be checked.
    pub proof: Vec<Fact>,
}

/// A label and what it says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fact {
    /// The label.
    pub label: String,
    /// What it says.
    pub value: String,
}

/// Something that is said about a thing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Item {
    /// The numbers of the rows that are meant; empty where it is said of none.
    pub rows: String,
    /// The thing.
    pub what: String,
    /// What is said.
    pub says: String,
}

/// A tool as the record knows it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Tool {
    /// Its title and its serial number.
    pub tool: String,
    /// Its calibration; none is said as loudly as one.
    pub calibration: String,
    /// Whether it has a calibration that held when the bike was handed over.
    pub is_good: bool,
}

fn item(what: impl Into<String>, says: impl Into<String>) -> Item {
    Item {
        rows: String::new(),
        what: what.into(),
        says: says.into(),
    }
}

fn fact(label: &str, value: impl Into<String>) -> Fact {
    Fact {
        label: label.to_owned(),
        value: value.into(),
    }
}

/// Lays a record out in words. `sha256` is that of the signed document, `fingerprint` that of the key history's first
/// entry; both as the one who checked the record found them.
pub fn sheet(record: &Record, sha256: &str, fingerprint: &str) -> Sheet {
    let subject = &record.subject;
    let common = notes::Common::of(subject);
    let mut sections = rows::sections(subject, &common);
    let mut checks = checks::rows(subject, &common);
    let notes = notes::notes(&mut sections, &mut checks);
    let (not_done, not_done_in_full) = not_done::not_done(subject);
    Sheet {
        bike: subject
            .bike
            .label
            .clone()
            .unwrap_or_else(|| format!("Frame {}", subject.bike.frame)),
        facts: facts(record),
        practice: subject.practice,
        before: amended::before(subject),
        summary: summary(subject),
        measured: rows::measured(subject),
        common: common.sentence(),
        not_done,
        not_done_in_full,
        attention: attention(subject),
        sections,
        checks,
        notes,
        history: history(subject),
        tools: subject
            .tools
            .iter()
            .map(|tool| tool_line(tool, &subject.finished.time))
            .collect(),
        due: due(subject),
        cautions: subject.cautions.clone(),
        fingerprint: words::groups(fingerprint),
        proof: vec![
            fact("Record", record.id.clone()),
            fact("SHA-256", words::groups(sha256)),
            fact("Signed by", record.issuer.trim_start_matches("did:key:")),
            fact(
                "Ledger",
                format!(
                    "entries {} to {} of bench {}, {} in all",
                    subject.ledger.first, subject.ledger.last, subject.bench, subject.ledger.size
                ),
            ),
        ],
    }
}

fn facts(record: &Record) -> Vec<Fact> {
    let subject = &record.subject;
    let mut facts = vec![
        fact("Frame", subject.bike.frame.clone()),
        fact(
            "Plan",
            format!("{}, edition {}", subject.plan.title, subject.plan.edition),
        ),
        fact(
            "Begun",
            format!(
                "{} by {}",
                moment(&subject.started.time),
                person(&subject.started.by)
            ),
        ),
        fact(
            "Handed over",
            format!(
                "{} by {}",
                moment(&subject.finished.time),
                person(&subject.finished.by)
            ),
        ),
        fact("Sealed", moment(&record.valid_from)),
        fact("Bench", subject.bench.clone()),
    ];
    if let Some(follows) = &subject.follows {
        let record = follows.record.map(|record| record.to_string());
        let record = record.map_or_else(String::new, |hash| {
            format!(", record {}…", hash.get(..16).unwrap_or(&hash))
        });
        facts.push(fact("Goes on from", format!("{}{record}", follows.build)));
    }
    facts
}

fn summary(subject: &Subject) -> String {
    let s = subject.summary;
    let parts = [
        (s.within, "within limits"),
        (s.over, "over and not settled"),
        (s.over_kept, "over, inspected and kept"),
        (s.undecided, "undecided"),
        (s.undecided_kept, "undecided, inspected and kept"),
        (s.open, "not tightened"),
        (s.deferred, "deferred"),
    ];
    let said: Vec<String> = parts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, words)| format!("{count} {words}"))
        .collect();
    let fasteners = if s.fasteners == 0 {
        "The plan has no fasteners.".to_owned()
    } else {
        format!(
            "{}: {}.",
            words::count(u64::from(s.fasteners), "fastener", "fasteners"),
            said.join(", ")
        )
    };
    match checks::summary(subject) {
        Some(checks) => format!("{fasteners} {checks}"),
        None => fasteners,
    }
}

fn attention(subject: &Subject) -> Vec<Item> {
    let mut all: Vec<Item> = subject
        .alarms
        .iter()
        .map(|alarm| {
            let pulled = rows::applied_of(subject, alarm.reading);
            let by = alarm.acknowledged.as_ref().map_or_else(
                || "not acknowledged".to_owned(),
                |act| format!("acknowledged by {}", person(&act.by)),
            );
            item(
                subject.title_of(&alarm.place.fastener),
                format!(
                    "over alarm: {pulled} where the limit is {}; {by}",
                    alarm.upper_millinewton_metre
                ),
            )
        })
        .collect();
    for fastener in subject.all_fasteners() {
        for decision in &fastener.dispositions {
            all.push(item(
                fastener.title.as_str(),
                format!(
                    "{}: {}. {}, {}",
                    decision.decision,
                    decision.reason,
                    person(&decision.by),
                    moment(&decision.time)
                ),
            ));
        }
    }
    all.extend(checks::attention(subject));
    for recall in &subject.recalls {
        for reading in &recall.readings {
            all.push(item(
                reading.title.as_str(),
                format!(
                    "recall of {}: judged {} then, {} now, which is {}",
                    recall.tool, reading.before, reading.now, reading.answer_now
                ),
            ));
        }
    }
    all
}

fn history(subject: &Subject) -> Vec<Item> {
    let mut all = elsewhere::elsewhere(subject);
    for part in &subject.parts {
        all.push(item(
            part.title.as_str(),
            format!("serial number {}", part.serial),
        ));
        for swap in &part.swaps {
            let out = swap.out.as_deref().unwrap_or("not stated");
            all.push(item(
                part.title.as_str(),
                format!("{out} replaced by {}{}", swap.serial, tail(&swap.swapped)),
            ));
        }
    }
    for change in &subject.plan_changes {
        all.push(item(
            "Plan",
            format!(
                "until then {}, edition {}{}",
                change.before.title,
                change.before.edition,
                tail(&change.changed)
            ),
        ));
    }
    for hand in &subject.hands {
        all.push(item(
            "Handed to",
            format!("{}{}", person(&hand.to), tail(&hand.handed)),
        ));
    }
    for aside in &subject.laid_aside {
        let resumed = aside.resumed.as_ref().map_or(String::new(), |act| {
            format!("; resumed {} by {}", moment(&act.time), person(&act.by))
        });
        all.push(item(
            "Laid aside",
            format!("{}{resumed}", tail(&aside.laid).trim_start_matches(". ")),
        ));
    }
    for note in &subject.notes {
        let about = note
            .fastener
            .as_deref()
            .map_or("Note", |fastener| subject.title_of(fastener));
        let text = note.text.clone().unwrap_or_default();
        let photo = note.photo.as_ref().map_or(String::new(), |photo| {
            format!(" [photograph, SHA-256 {}]", photo.sha256)
        });
        all.push(item(about, format!("{text}{photo}{}", tail(&note.noted))));
    }
    for taken_back in &subject.withdrawn {
        all.push(item(
            "Taken back",
            format!(
                "{} of {}{}",
                taken_back.kind,
                moment(&taken_back.act.time),
                tail(&taken_back.withdrawn)
            ),
        ));
    }
    all
}

/// Why, who and when, after what was said.
fn tail(act: &crate::record::Signature) -> String {
    let why = act
        .reason
        .as_ref()
        .map_or(String::new(), |reason| format!(". {reason}"));
    format!("{why}. {}, {}", person(&act.by), moment(&act.time))
}

fn tool_line(tool: &ToolRecord, handed_over: &str) -> Tool {
    if let Some(measures) = &tool.measures {
        return measuring_line(tool, measures, handed_over);
    }
    let (calibration, is_good) = match &tool.certificate {
        None => {
            let class = tool.class.as_ref().map_or(
                "its class limit stands in",
                |_| "the limit of its class stands in",
            );
            (
                format!("no calibration certificate on file: {class}"),
                false,
            )
        }
        Some(certificate) => {
            let day = chrono::DateTime::parse_from_rfc3339(handed_over)
                .map(|time| time.date_naive())
                .ok();
            let is_past = day.is_some_and(|day| certificate.is_past(day));
            let past = if is_past { ", past its date" } else { "" };
            (
                format!(
                    "certificate {} of {}, {}; due {}{past}",
                    certificate.number, certificate.laboratory, certificate.date, certificate.due
                ),
                !is_past,
            )
        }
    };
    Tool {
        tool: tool_name(tool),
        calibration,
        is_good,
    }
}

/// As the rows call it, and as it says on it.
fn tool_name(tool: &ToolRecord) -> String {
    format!("{}: {}, serial number {}", tool.id, tool.title, tool.serial)
}

/// A tool that measures no torque.
fn measuring_line(tool: &ToolRecord, measures: &MeasuringTool, handed_over: &str) -> Tool {
    let day = chrono::DateTime::parse_from_rfc3339(handed_over).map(|time| time.date_naive());
    let is_past = day.is_ok_and(|day| measures.is_past(day));
    let calibration = match (&measures.certificate, measures.basis()) {
        (Some(certificate), _) => {
            let of = certificate.laboratory.as_ref();
            let of = of.map_or_else(String::new, |laboratory| format!(" of {laboratory}"));
            let due = certificate.due;
            let due = due.map_or_else(String::new, |due| format!("; due {due}"));
            let past = if is_past { ", past its date" } else { "" };
            format!(
                "certificate {}{of}, {}{due}{past}",
                certificate.number, certificate.date
            )
        }
        (None, Some(_)) => {
            "no calibration certificate on file: its stated accuracy stands in".to_owned()
        }
        (None, None) => "nothing states how good it is".to_owned(),
    };
    Tool {
        tool: tool_name(tool),
        calibration,
        is_good: measures.certificate.is_some() && !is_past,
    }
}

/// What is to be looked at again. What only waits stands under what was not done.
fn due(subject: &Subject) -> Vec<Item> {
    let due = subject.due.iter();
    due.map(|due| item(due.title.as_str(), again(subject, due)))
        .collect()
}

/// When something is looked at again, what of the bike, and who says so.
fn again(subject: &Subject, due: &DueRecord) -> String {
    let when = match (&due.on, due.kilometres) {
        (Some(on), Some(far)) => format!("on {on} or after {far} km, whichever comes first"),
        (Some(on), None) => format!("on {on}"),
        (None, Some(far)) => format!("after {far} km"),
        (None, None) => "at some time".to_owned(),
    };
    let titles: Vec<&str> = due
        .fasteners
        .iter()
        .map(|id| subject.title_of(id))
        .collect();
    let what = if titles.is_empty() {
        "the whole bike".to_owned()
    } else {
        titles.join(", ")
    };
    let source = due
        .source
        .as_ref()
        .map(|source| format!(" ({source})"))
        .unwrap_or_default();
    format!("{when}: {what}{source}")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
