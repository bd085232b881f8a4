//! Views of a record for other programs. They are made from the record and from nothing else, and are not signed.

mod checks;

use pullmark_schema::entry::{Affected, AffectedReading};
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::{Displayed, Origin};
use pullmark_schema::record::{FastenerRecord, ReadingRecord, Record};
use std::borrow::Cow;

/// The first line of the table of readings.
const HEADER: [&str; 22] = [
    "sequence",
    "time",
    "stage",
    "fastener",
    "title",
    "pass",
    "displayed",
    "displayed unit",
    "applied (N·m)",
    "lower (N·m)",
    "upper (N·m)",
    "verdict",
    "counts",
    "origin",
    "tool serial",
    "certificate",
    "record (this table is not signed)",
    "quantity",
    "value of a check",
    "lower of a check",
    "upper of a check",
    "limits from",
];

/// Every reading as a table (RFC 4180): comma, CRLF, UTF-8, units in the header. A cell of free text that a
/// spreadsheet would take for a formula gets an apostrophe in front (OWASP ASVS 5.0, 1.2.10), which has to come off
/// when the table is read again.
pub fn readings_csv(record: &Record) -> Result<String, csv::Error> {
    let checks = record.subject.checks.iter();
    let checks = checks.chain(&record.subject.removed_checks);
    let measured = checks.flat_map(|check| {
        let readings = check.readings.iter();
        readings.map(move |reading| checks::row(record, Some(check), reading))
    });
    let of_no_check = record.subject.checks_elsewhere.iter();
    let of_no_check = of_no_check.map(|reading| checks::row(record, None, reading));
    let measured = measured.chain(of_no_check);
    let placed = record.subject.all_fasteners().flat_map(|fastener| {
        let readings = fastener.readings.iter();
        readings.map(move |reading| row(record, Some(fastener), reading))
    });
    let elsewhere = record.subject.elsewhere.iter();
    let elsewhere = elsewhere.map(|reading| row(record, None, reading));
    table(HEADER, placed.chain(elsewhere).chain(measured))
}

/// What a recall found, as a table for spreadsheets: one line a reading, the bike of the highest risk first.
pub fn recall_csv(bikes: &[Affected]) -> Result<String, csv::Error> {
    let rows = bikes.iter().flat_map(|bike| {
        let readings = bike.readings.iter();
        readings.map(move |reading| recall_row(bike, reading))
    });
    table(RECALL_HEADER, rows)
}

fn table<const N: usize>(
    header: [&str; N],
    rows: impl Iterator<Item = Vec<String>>,
) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(header)?;
    for row in rows {
        writer.write_record(row)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

const RECALL_HEADER: [&str; 17] = [
    "build",
    "frame",
    "label",
    "fastener",
    "title",
    "joint",
    "reading",
    "still counts",
    "applied before (N·m)",
    "verdict before",
    "applied now (N·m)",
    "expanded uncertainty now (N·m)",
    "lower (N·m)",
    "upper (N·m)",
    "verdict now",
    "probability under",
    "probability over",
];

fn recall_row(bike: &Affected, reading: &AffectedReading) -> Vec<String> {
    let free = |text: &str| defused(text).into_owned();
    let share =
        |millionths: u32| format!("{}.{:06}", millionths / 1_000_000, millionths % 1_000_000);
    vec![
        free(&bike.build),
        free(&bike.bike.frame),
        free(bike.bike.label.as_deref().unwrap_or_default()),
        free(&reading.place.fastener),
        free(&reading.title),
        reading
            .joint
            .map(|joint| joint.to_string())
            .unwrap_or_default(),
        reading.reading.to_string(),
        reading.counts.to_string(),
        newton_metres(Some(reading.before)),
        reading.answer_before.to_string(),
        newton_metres(Some(reading.now)),
        newton_metres(Some(reading.expanded)),
        newton_metres(reading.limits.lower),
        newton_metres(Some(reading.limits.upper)),
        reading.answer_now.to_string(),
        share(reading.outside.under_millionths),
        share(reading.outside.over_millionths),
    ]
}

fn row(record: &Record, fastener: Option<&FastenerRecord>, reading: &ReadingRecord) -> Vec<String> {
    let tool = record
        .subject
        .tools
        .iter()
        .find(|tool| tool.id == reading.reading.tool);
    let limits = reading.verdict.as_ref().map(|verdict| verdict.limits);
    let displayed = reading.reading.displayed.as_ref();
    let free = |text: Option<&str>| defused(text.unwrap_or_default()).into_owned();
    vec![
        reading.sequence.to_string(),
        free(Some(&reading.time)),
        free(fastener.map(|fastener| fastener.stage.as_str())),
        free(fastener.map(|fastener| fastener.id.as_str())),
        free(fastener.map(|fastener| fastener.title.as_str())),
        reading
            .placement
            .place()
            .map(|place| (u16::from(place.pass) + 1).to_string())
            .unwrap_or_default(),
        displayed
            .map(|displayed| displayed.value.clone())
            .unwrap_or_default(),
        free(displayed.map(Displayed::unit_symbol)),
        newton_metres(reading.reading.applied),
        newton_metres(limits.and_then(|limits| limits.lower)),
        newton_metres(limits.map(|limits| limits.upper)),
        reading
            .verdict
            .as_ref()
            .map(|verdict| verdict.answer.to_string())
            .unwrap_or_default(),
        if reading.counts { "yes" } else { "no" }.to_owned(),
        match &reading.reading.origin {
            Origin::Measured { .. } => "measured".to_owned(),
            Origin::Attested { by } => defused(&format!("attested by {by}")).into_owned(),
        },
        free(tool.map(|tool| tool.serial.as_str())),
        free(
            tool.and_then(|tool| tool.certificate.as_ref())
                .map(|certificate| certificate.number.as_str()),
        ),
        free(Some(&record.id)),
        "torque".to_owned(),
        String::new(),
        String::new(),
        String::new(),
        free(
            fastener
                .map(|fastener| fastener.spec.places().join("; "))
                .as_deref(),
        ),
    ]
}

/// Three decimals always, so that the column lines up and is read as a number.
fn newton_metres(torque: Option<Torque>) -> String {
    torque.map_or_else(String::new, |torque| {
        let small = torque.small_units();
        let sign = if small < 0 { "-" } else { "" };
        format!(
            "{sign}{}.{:03}",
            small.unsigned_abs() / 1000,
            small.unsigned_abs() % 1000
        )
    })
}

/// Free text that no spreadsheet takes for a formula.
pub fn defused(text: &str) -> Cow<'_, str> {
    if text.starts_with(['=', '+', '-', '@', '\t', '\0', '\r', '\n']) {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
