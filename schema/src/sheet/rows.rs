//! The table of fasteners.

use super::notes::Common;
use super::words;
use crate::build::Standing;
use crate::plan::Limits;
use crate::practice::COMMON_PRACTICE;
use crate::quantity::Torque;
use crate::reading::Origin;
use crate::record::{FastenerRecord, ReadingRecord, Subject};
use serde::Serialize;

/// A stage and its fasteners.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Section {
    /// The stage's title.
    pub title: String,
    /// Its fasteners.
    pub rows: Vec<Row>,
}

/// One fastener.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Row {
    /// Counted from 1 through the whole record; the number on the map.
    pub number: usize,
    /// Its title.
    pub title: String,
    /// The limits, in N·m.
    pub limits: String,
    /// The highest torque that counts, in N·m; a dash where there is none.
    pub torque: String,
    /// The same in lbf·in.
    pub torque_inch: String,
    /// Its expanded uncertainty, in N·m.
    pub expanded: String,
    /// How it stands, as a word of the schema: `within`, `over-kept`, …
    pub mark: String,
    /// How it stands, in words.
    pub standing: String,
    /// What the tool showed, where that is not the torque that counts; in N·m where no unit stands with it.
    pub shown: String,
    /// The tool that pulled it, where it is another one than that of most rows.
    pub tool: String,
    /// When: the time of day, and the day where it is another one than that of most rows.
    pub time: String,
    /// The letters of the remarks about it.
    pub notes: String,
    /// What else there is to say; paper has it in the notes.
    #[serde(skip)]
    pub remarks: Vec<String>,
}

/// Limits in N·m: "4.5 to 5.5", "at most 6".
pub(super) fn limits(limits: &Limits) -> String {
    let upper = bare(limits.upper);
    limits.lower.map_or_else(
        || format!("at most {upper} N·m"),
        |lower| format!("{} to {upper} N·m", bare(lower)),
    )
}

fn bare(torque: Torque) -> String {
    words::torque_in_both(torque).0
}

pub(super) fn sections(subject: &Subject, common: &Common) -> Vec<Section> {
    let mut all: Vec<Section> = Vec::new();
    for (number, fastener) in (1..).zip(&subject.fasteners) {
        let row = row(number, fastener, common);
        match all.last_mut() {
            Some(section) if section.title == fastener.stage => section.rows.push(row),
            _ => all.push(Section {
                title: fastener.stage.clone(),
                rows: vec![row],
            }),
        }
    }
    all
}

/// The reading that the row speaks of: the highest that counts.
pub(super) fn shown(fastener: &FastenerRecord) -> Option<&ReadingRecord> {
    fastener
        .readings
        .iter()
        .filter(|reading| reading.counts)
        .max_by_key(|reading| {
            // past its range is more than any value
            let size = reading.reading.applied.map(Torque::magnitude);
            size.map_or(i64::MAX, Torque::small_units)
        })
}

fn row(number: usize, fastener: &FastenerRecord, common: &Common) -> Row {
    let reading = shown(fastener);
    let applied = reading.map(|known| known.reading.applied.map(Torque::magnitude));
    let (torque, torque_inch) = match applied {
        None => ("–".to_owned(), "–".to_owned()),
        Some(None) => ("past the tool's range".to_owned(), String::new()),
        Some(Some(torque)) => words::torque_in_both(torque),
    };
    let expanded = reading
        .and_then(|known| known.verdict.as_ref()?.expanded_uncertainty)
        .map_or_else(|| "–".to_owned(), bare);
    let (tool, time) = reading.map_or_else(Default::default, |known| {
        common.tool_and_time(&known.reading.tool, &known.time)
    });
    Row {
        number,
        title: fastener.title.clone(),
        limits: limits(&fastener.spec.limits)
            .trim_end_matches(" N·m")
            .to_owned(),
        torque,
        torque_inch,
        expanded,
        mark: mark(fastener.standing),
        standing: fastener.standing.to_string(),
        shown: reading.map_or_else(String::new, as_shown),
        tool,
        time,
        notes: String::new(),
        remarks: remarks(fastener, reading, common),
    }
}

/// The standing's word in the schema.
fn mark(standing: Standing) -> String {
    serde_json::to_value(standing)
        .ok()
        .and_then(|value| value.as_str().map(str::to_owned))
        .unwrap_or_default()
}

/// What stood on the tool's display, where that is another number or another unit.
fn as_shown(known: &ReadingRecord) -> String {
    let reading = &known.reading;
    let Some(displayed) = &reading.displayed else {
        return String::new();
    };
    let is_in_nm = displayed.unit == "N.m";
    if is_in_nm && reading.shown() == reading.applied {
        return String::new();
    }
    let shown = displayed.to_string();
    if is_in_nm {
        shown.trim_end_matches(" N·m").to_owned()
    } else {
        shown
    }
}

fn remarks(
    fastener: &FastenerRecord,
    reading: Option<&ReadingRecord>,
    common: &Common,
) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(reading) = reading {
        if let Origin::Attested { by } = &reading.reading.origin {
            all.push(format!("attested by {}, not measured", words::person(by)));
        }
        let cautions = reading.verdict.iter().flat_map(|verdict| &verdict.cautions);
        all.extend(
            cautions
                .filter(|caution| !matches!(caution, crate::verdict::Caution::Attested))
                .map(ToString::to_string),
        );
    }
    all.extend(practice(&fastener.spec.places()));
    let early = fastener
        .readings
        .iter()
        .filter(|reading| !reading.counts)
        .count();
    if early > 0 {
        all.push(format!(
            "{} no longer {}",
            words::count(early as u64, "reading", "readings"),
            if early == 1 { "counts" } else { "count" }
        ));
    }
    if let Some(prepared) = fastener.prepared.last() {
        let what = if fastener.prep.is_empty() {
            "prep".to_owned()
        } else {
            fastener.prep.join(", ")
        };
        all.push(common.prep(&what, &prepared.by));
    }
    if let Some(looked) = fastener.looked.last() {
        all.push(format!("second look: {}", words::person(&looked.by)));
    }
    all
}

/// Limits that no part and no leaflet states are not shown without that word.
pub(super) fn practice(places: &[String]) -> Option<String> {
    let is_practice = places.iter().any(|place| place == COMMON_PRACTICE);
    is_practice.then(|| format!("limits: {COMMON_PRACTICE}"))
}

/// "15 torques were measured, 1 was attested by a person."
pub(super) fn measured(subject: &Subject) -> String {
    let counting = subject.fasteners.iter().filter_map(shown);
    let (mut measured, mut attested) = (0, 0);
    for reading in counting {
        match reading.reading.origin {
            Origin::Measured { .. } => measured += 1,
            Origin::Attested { .. } => attested += 1,
        }
    }
    if measured + attested == 0 {
        return if subject.fasteners.is_empty() {
            String::new()
        } else {
            "No torque was measured.".to_owned()
        };
    }
    let first = format!(
        "{} measured by a tool",
        words::count(measured, "torque was", "torques were")
    );
    if attested == 0 {
        return format!("{first}; none was only attested.");
    }
    format!(
        "{first}; {} attested by a person and not measured.",
        words::count(attested, "was", "were")
    )
}

/// What a reading of the record came to, in words.
pub(super) fn applied_of(subject: &Subject, sequence: u64) -> String {
    subject
        .all_readings()
        .find(|reading| reading.sequence == sequence)
        .map_or_else(
            || "a pull".to_owned(),
            |reading| {
                reading.reading.applied.map_or_else(
                    || "past the tool's range".to_owned(),
                    |torque| torque.to_string(),
                )
            },
        )
}
