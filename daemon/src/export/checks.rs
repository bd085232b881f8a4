//! Readings of checks in the table of readings: their values stand in columns of their own, with the unit in each cell.

use super::defused;
use pullmark_schema::reading::{Displayed, Origin};
use pullmark_schema::record::{CheckReadingRecord, CheckRecord, Record};

pub(super) fn row(
    record: &Record,
    check: Option<&CheckRecord>,
    known: &CheckReadingRecord,
) -> Vec<String> {
    let reading = &known.reading;
    let unit = reading.unit;
    let free = |text: Option<&str>| defused(text.unwrap_or_default()).into_owned();
    let mut tools = record.subject.tools.iter();
    let tool = tools.find(|tool| tool.id == reading.tool);
    let displayed = reading.displayed.as_ref();
    let limits = known.verdict.as_ref().map(|verdict| verdict.limits);
    // A negative value is no formula: it is quoted like other free text all the same.
    let value = |value: Option<i64>| free(value.map(|value| unit.text(value)).as_deref());
    let number = known.placement.place().map(|place| place.number + 1);
    let certificate = reading
        .worth
        .as_ref()
        .and_then(|worth| worth.basis.number());
    vec![
        known.sequence.to_string(),
        free(Some(&known.time)),
        free(check.map(|check| check.stage.as_str())),
        free(check.map(|check| check.id.as_str())),
        free(check.map(|check| check.title.as_str())),
        number.map(|number| number.to_string()).unwrap_or_default(),
        displayed
            .map(|displayed| displayed.value.clone())
            .unwrap_or_default(),
        free(displayed.map(Displayed::unit_symbol)),
        String::new(),
        String::new(),
        String::new(),
        known
            .verdict
            .as_ref()
            .map(|verdict| verdict.answer.to_string())
            .unwrap_or_default(),
        if known.counts { "yes" } else { "no" }.to_owned(),
        match &reading.origin {
            Origin::Measured { .. } => "measured".to_owned(),
            Origin::Attested { by } => defused(&format!("attested by {by}")).into_owned(),
        },
        free(tool.map(|tool| tool.serial.as_str())),
        free(certificate),
        free(Some(&record.id)),
        unit.to_string(),
        value(reading.value),
        value(limits.and_then(|limits| limits.lower)),
        value(limits.and_then(|limits| limits.upper)),
        free(check.map(|check| check.spec.places().join("; ")).as_deref()),
    ]
}
