//! The table of checks, and what else the sheet says of them.

use super::notes::Common;
use super::{Item, item, words};
use crate::build::CheckStanding;
use crate::check::{CheckLimits, Formula};
use crate::reading::Origin;
use crate::record::{CheckReadingRecord, CheckRecord, Subject};
use serde::Serialize;

/// One check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CheckRow {
    /// Its number: they go on from the last fastener's.
    pub number: usize,
    /// Its title.
    pub title: String,
    /// Its stage's title.
    pub stage: String,
    /// The limits, with their unit.
    pub limits: String,
    /// The value that counts, with its unit; of several the least and the most. A dash where there is none.
    pub value: String,
    /// Its expanded uncertainty, with its unit.
    pub expanded: String,
    /// How it stands, as a word of the schema.
    pub mark: String,
    /// How it stands, in words.
    pub standing: String,
    /// What the tool showed, where one reading counts.
    pub shown: String,
    /// The tool that measured it.
    pub tool: String,
    /// When: the time of day, and the day where it is another one than that of most rows.
    pub time: String,
    /// The letters of the remarks about it.
    pub notes: String,
    /// What else there is to say; paper has it in the notes.
    #[serde(skip)]
    pub remarks: Vec<String>,
}

fn all(subject: &Subject) -> impl Iterator<Item = &CheckRecord> {
    subject.checks.iter().chain(&subject.removed_checks)
}

pub(super) fn rows(subject: &Subject, common: &Common) -> Vec<CheckRow> {
    let numbered = (subject.fasteners.len() + 1..).zip(&subject.checks);
    numbered
        .map(|(number, check)| row(subject, number, check, common))
        .collect()
}

pub(super) fn limits(limits: &CheckLimits) -> String {
    CheckLimits {
        target: None,
        ..*limits
    }
    .text()
}

fn row(subject: &Subject, number: usize, check: &CheckRecord, common: &Common) -> CheckRow {
    let unit = check.spec.limits.unit;
    let counting: Vec<&CheckReadingRecord> = check
        .readings
        .iter()
        .filter(|reading| reading.counts)
        .collect();
    let newest = counting.last();
    let dash = || "–".to_owned();
    let expanded = match &check.derived {
        Some(derived) => derived.verdict.expanded,
        None => counting
            .iter()
            .filter_map(|known| known.verdict.as_ref()?.expanded)
            .max(),
    };
    let (tool, time) = newest.map_or_else(Default::default, |known| {
        common.tool_and_time(&known.reading.tool, &known.time)
    });
    let shown = match counting.as_slice() {
        [one] => one.reading.displayed.as_ref().map(ToString::to_string),
        _ => None,
    };
    let value = value(check, &counting).unwrap_or_else(dash);
    CheckRow {
        number,
        title: check.title.clone(),
        stage: check.stage.clone(),
        limits: limits(&check.spec.limits),
        shown: shown.filter(|shown| *shown != value).unwrap_or_default(),
        value,
        expanded: expanded.map_or_else(dash, |expanded| unit.step_text(expanded)),
        mark: mark(check.standing),
        standing: check.standing.to_string(),
        tool,
        time,
        notes: String::new(),
        remarks: remarks(subject, check, &counting),
    }
}

fn value(check: &CheckRecord, counting: &[&CheckReadingRecord]) -> Option<String> {
    let unit = check.spec.limits.unit;
    if let Some(derived) = &check.derived {
        return Some(text_of(check, derived.value));
    }
    if counting.iter().any(|known| known.reading.value.is_none()) {
        return Some("past the tool's range".to_owned());
    }
    let values = || counting.iter().filter_map(|known| known.reading.value);
    let (least, most) = (values().min()?, values().max()?);
    if least == most {
        return Some(unit.text(least));
    }
    let bare = unit.text(least);
    let bare = bare.trim_end_matches(unit.symbol()).trim_end();
    Some(format!("{bare} to {}", unit.text(most)))
}

/// A result of a formula: a difference of temperatures is no temperature.
fn text_of(check: &CheckRecord, value: i64) -> String {
    let unit = check.spec.limits.unit;
    if unit.kind() == crate::quantity::Kind::Temperature {
        format!(
            "{} K",
            unit.step_text(value)
                .trim_end_matches(unit.symbol())
                .trim_end()
        )
    } else {
        unit.text(value)
    }
}

fn mark(standing: CheckStanding) -> String {
    serde_json::to_value(standing)
        .ok()
        .and_then(|value| value.as_str().map(str::to_owned))
        .unwrap_or_default()
}

/// A formula with the titles of its checks, so that nobody needs the plan to read it.
fn with_titles(subject: &Subject, formula: &Formula) -> String {
    let mut text = String::new();
    let mut rest = formula.text.as_str();
    while let Some((before, after)) = rest.split_once('{') {
        let (id, more) = after.split_once('}').unwrap_or((after, ""));
        text.extend([before, "“", subject.title_of(id), "”"]);
        rest = more;
    }
    text.push_str(rest);
    text
}

fn remarks(
    subject: &Subject,
    check: &CheckRecord,
    counting: &[&CheckReadingRecord],
) -> Vec<String> {
    let mut said = Vec::new();
    let mut say = |text: String| {
        if !said.contains(&text) {
            said.push(text);
        }
    };
    if let Some(practice) = super::rows::practice(&check.spec.places()) {
        say(practice);
    }
    if let Some(formula) = &check.formula {
        say(format!("computed: {}", with_titles(subject, formula)));
    }
    if let Some(derived) = &check.derived {
        let from: Vec<String> = derived.inputs.iter().map(u64::to_string).collect();
        say(format!("from the readings of entries {}", from.join(", ")));
        if derived.shares_a_certificate {
            say("its inputs share the error of one certificate, which is reckoned with".to_owned());
        }
    }
    if check.readings_wanted > 1 {
        say(format!(
            "{} of {} readings",
            counting.len(),
            check.readings_wanted
        ));
    }
    for reading in counting {
        if let Origin::Attested { by } = &reading.reading.origin {
            say(format!("attested by {}", words::person(by)));
        }
        for caution in reading.verdict.iter().flat_map(|verdict| &verdict.cautions) {
            if !matches!(caution, crate::check::CheckCaution::Attested) {
                say(caution.to_string());
            }
        }
    }
    let early = check.readings.len() - counting.len();
    if early > 0 {
        let verb = if early == 1 { "counts" } else { "count" };
        say(format!(
            "{} no longer {verb}",
            words::count(early as u64, "reading", "readings")
        ));
    }
    said
}

/// "3 checks: 2 within limits, 1 deferred."
pub(super) fn summary(subject: &Subject) -> Option<String> {
    let s = subject.check_summary;
    if s.is_empty() {
        return None;
    }
    let parts = [
        (s.within, "within limits"),
        (s.out, "out of limits and not settled"),
        (s.kept, "out of limits, inspected and kept"),
        (s.open, "not measured"),
        (s.deferred, "deferred"),
    ];
    let said: Vec<String> = parts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, words)| format!("{count} {words}"))
        .collect();
    Some(format!(
        "{}: {}.",
        words::count(u64::from(s.checks), "check", "checks"),
        said.join(", ")
    ))
}

/// Over alarms and decisions.
pub(super) fn attention(subject: &Subject) -> Vec<Item> {
    let title = |id: &str| {
        let known = all(subject).find(|check| check.id == id);
        known.map_or_else(|| id.to_owned(), |check| check.title.clone())
    };
    let alarms = subject.check_alarms.iter().map(|alarm| {
        let mut readings = subject.all_check_readings();
        let reading = readings.find(|known| known.sequence == alarm.reading);
        let value = reading.and_then(|known| known.reading.value);
        let shown = value.map_or_else(
            || "more than the tool can show".to_owned(),
            |value| alarm.unit.text(value),
        );
        let by = alarm.acknowledged.as_ref().map_or_else(
            || "not acknowledged".to_owned(),
            |act| format!("acknowledged by {}", words::person(&act.by)),
        );
        let limit = alarm.unit.text(alarm.upper);
        item(
            title(&alarm.place.check),
            format!("over alarm: {shown} where the limit is {limit}; {by}"),
        )
    });
    let decisions = all(subject).flat_map(|check| {
        let dispositions = check.dispositions.iter();
        dispositions.map(|decision| {
            item(
                check.title.as_str(),
                format!(
                    "{}: {}. {}, {}",
                    decision.decision,
                    decision.reason,
                    words::person(&decision.by),
                    words::moment(&decision.time)
                ),
            )
        })
    });
    alarms.chain(decisions).collect()
}
