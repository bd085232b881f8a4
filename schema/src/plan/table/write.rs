//! From a draft to a table: comma, CRLF, UTF-8 (RFC 4180), only the columns that say something.

use super::{COLUMNS, PlanDraft};
use crate::plan::draft::{CheckDraft, FastenerDraft, StageDraft};
use crate::plan::file::{Hand, Pattern, SettledFile, SourceFile, SpecFile};
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt::Write as _;

type Row = BTreeMap<&'static str, String>;

/// The draft as a table. Its parts are left out. A cell that a spreadsheet would take for a formula gets an apostrophe in
/// front (OWASP ASVS 5.0, 1.2.10), which comes off when the table is read again.
pub fn write_table(draft: &PlanDraft) -> Result<String, csv::Error> {
    let rows: Vec<Row> = draft.stage.iter().flat_map(rows_of).collect();
    let is_used = |column: &&&str| {
        let always = ["id", "title", "stage", "source"];
        always.contains(*column) || rows.iter().any(|row| row.contains_key(**column))
    };
    let columns: Vec<&str> = COLUMNS.iter().filter(is_used).copied().collect();
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(&columns)?;
    for row in &rows {
        writer.write_record(
            columns
                .iter()
                .map(|column| row.get(column).map_or_else(String::new, |cell| safe(cell))),
        )?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(head(draft) + &String::from_utf8_lossy(&bytes))
}

fn head(draft: &PlanDraft) -> String {
    let line = |text: &str| text.replace(['\n', '\r'], " ");
    let mut out = String::new();
    let rule = draft.rule.as_ref().and_then(word);
    let frame = draft.frame.as_ref().and_then(word);
    let all = [
        ("title", Some(&draft.title)),
        ("edition", Some(&draft.edition)),
        ("frame", frame.as_ref()),
        ("tolerance", draft.tolerance.as_ref()),
        ("rule", rule.as_ref()),
    ];
    for (key, value) in all {
        if let Some(value) = value {
            // Writing to a String does not fail.
            let _ = write!(out, "# {key}: {}\r\n", line(value));
        }
    }
    out
}

/// Free text that no spreadsheet takes for a formula.
fn safe(cell: &str) -> String {
    if cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\'']) {
        format!("'{cell}")
    } else {
        cell.to_owned()
    }
}

fn word(of: &impl Serialize) -> Option<String> {
    let value = serde_json::to_value(of).ok()?;
    value.as_str().map(str::to_owned)
}

fn rows_of(stage: &StageDraft) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for fastener in &stage.fastener {
        rows.extend(fastener_rows(fastener));
    }
    for check in &stage.check {
        rows.extend(check_rows(check));
    }
    for row in &mut rows {
        row.insert("stage", stage.id.clone());
    }
    if let Some(first) = rows.first_mut() {
        first.insert("stage_title", stage.title.clone());
        if stage.pattern != Pattern::InOrder {
            put(first, "pattern", word(&stage.pattern).as_ref());
        }
        if let Some(passes) = &stage.passes {
            let percent = |part: &f64| {
                let percent = (part * 100.0 * 1e6).round() / 1e6;
                format!("{percent}")
            };
            let passes: Vec<String> = passes.iter().map(percent).collect();
            first.insert("passes", passes.join(" "));
        }
    }
    rows
}

fn put(row: &mut Row, column: &'static str, text: Option<&String>) {
    if let Some(text) = text.filter(|text| !text.is_empty()) {
        row.insert(column, text.clone());
    }
}

fn fastener_rows(fastener: &FastenerDraft) -> Vec<Row> {
    let mut row = Row::from([("what", "fastener".to_owned())]);
    put(&mut row, "title", Some(&fastener.title));
    put(&mut row, "kind", fastener.kind.as_ref());
    put(
        &mut row,
        "rule",
        fastener.rule.as_ref().and_then(word).as_ref(),
    );
    put(
        &mut row,
        "joint",
        fastener.joint.as_ref().and_then(word).as_ref(),
    );
    put(&mut row, "prep", Some(&fastener.prep.join(" | ")));
    put(&mut row, "drive", fastener.drive.as_ref());
    put(&mut row, "note", fastener.note.as_ref());
    put(&mut row, "at", fastener.at.as_ref());
    if fastener.second_look {
        row.insert("second_look", "yes".to_owned());
    }
    if let Some(thread) = &fastener.thread {
        put(&mut row, "thread", Some(&thread.size));
        put(&mut row, "class", thread.property_class.as_ref());
        put(
            &mut row,
            "engages",
            thread.engages.as_ref().and_then(word).as_ref(),
        );
        put(&mut row, "engagement", thread.engagement.as_ref());
        let friction = thread.friction.iter().flatten();
        let friction: Vec<String> = friction.map(ToString::to_string).collect();
        put(&mut row, "friction", Some(&friction.join(" ")));
        if thread.hand == Hand::Left {
            row.insert("hand", "left".to_owned());
        }
    }
    if let Some(adapter) = &fastener.adapter {
        put(&mut row, "adapter", Some(&adapter.title));
        put(&mut row, "adapter_length", adapter.length.as_ref());
        if adapter.angle != 0 {
            row.insert("adapter_angle", adapter.angle.to_string());
        }
    }
    let settled = fastener.settled.as_ref();
    placed(
        row,
        &fastener.id,
        fastener.spec.as_ref(),
        &fastener.sources,
        settled,
    )
}

fn check_rows(check: &CheckDraft) -> Vec<Row> {
    let mut row = Row::from([("what", "check".to_owned())]);
    put(&mut row, "title", Some(&check.title));
    put(
        &mut row,
        "rule",
        check.rule.as_ref().and_then(word).as_ref(),
    );
    put(&mut row, "note", check.note.as_ref());
    put(&mut row, "at", check.at.as_ref());
    put(&mut row, "formula", check.formula.as_ref());
    let readings = check.readings.map(|readings| readings.to_string());
    put(&mut row, "readings", readings.as_ref());
    let settled = check.settled.as_ref();
    placed(row, &check.id, check.spec.as_ref(), &check.sources, settled)
}

/// One row for each place that states figures; the first has the rest of what there is to say.
fn placed(
    first: Row,
    id: &str,
    spec: Option<&SpecFile>,
    sources: &[SourceFile],
    settled: Option<&SettledFile>,
) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(spec) = spec {
        rows.push(figures(
            spec.target.as_ref(),
            spec.lower.as_ref(),
            spec.upper.as_ref(),
        ));
    }
    for source in sources {
        let mut row = figures(
            source.target.as_ref(),
            source.lower.as_ref(),
            source.upper.as_ref(),
        );
        put(&mut row, "source", Some(&source.place));
        rows.push(row);
    }
    if let Some(settled) = settled {
        let mut row = figures(
            settled.target.as_ref(),
            settled.lower.as_ref(),
            settled.upper.as_ref(),
        );
        put(&mut row, "settled_by", Some(&settled.by));
        put(&mut row, "settled_reason", Some(&settled.reason));
        rows.push(row);
    }
    if rows.is_empty() {
        rows.push(Row::new());
    }
    if let Some(row) = rows.first_mut() {
        row.extend(first);
    }
    for row in &mut rows {
        row.insert("id", id.to_owned());
    }
    rows
}

fn figures(target: Option<&String>, lower: Option<&String>, upper: Option<&String>) -> Row {
    let mut row = Row::new();
    put(&mut row, "target", target);
    put(&mut row, "lower", lower);
    put(&mut row, "upper", upper);
    row
}
