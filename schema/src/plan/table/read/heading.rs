//! The row that names the columns.

use super::super::{COLUMNS, TableFault};
use super::cell::Cells;
use csv::StringRecord;
use std::collections::BTreeMap;

/// What stands between the cells: whatever the heading has most of, outside quotation marks.
pub(super) fn delimiter(body: &str) -> u8 {
    let line = body.lines().next().unwrap_or_default();
    let mut is_quoted = false;
    let bare: Vec<u8> = line
        .bytes()
        .filter(|&byte| {
            is_quoted ^= byte == b'"';
            !is_quoted
        })
        .collect();
    let count = |mark: u8| bare.split(|&byte| byte == mark).count();
    let marks = [b';', b'\t', b','];
    marks
        .into_iter()
        .rev()
        .max_by_key(|&mark| count(mark))
        .unwrap_or(b',')
}

/// Which column is where, and the unit that a heading states: `lower [N·m]`.
pub(super) struct Heading {
    columns: BTreeMap<&'static str, (usize, Option<String>)>,
    width: usize,
}

impl Heading {
    pub(super) fn of(row: &StringRecord, line: u64) -> Result<Self, Vec<TableFault>> {
        let (mut columns, mut faults) = (BTreeMap::new(), Vec::new());
        let mut fault = |name: &str, what: String, advice: String| {
            faults.push(TableFault {
                line,
                column: Some(name.to_owned()),
                what,
                advice,
            });
        };
        for (at, cell) in row.iter().enumerate() {
            if cell.is_empty() {
                continue;
            }
            let (name, unit) = parted(cell);
            let Some(known) = COLUMNS.iter().find(|known| **known == name) else {
                let advice = format!("the columns are {}", COLUMNS.join(", "));
                fault(cell, format!("there is no column {cell:?}"), advice);
                continue;
            };
            if columns.insert(*known, (at, unit)).is_some() {
                let what = format!("the column {cell:?} stands twice");
                fault(cell, what, "take one of them out".to_owned());
            }
        }
        let has = |name: &str| columns.contains_key(name);
        let is_named = has("title") || has("id");
        if !is_named {
            let what = "there is neither a column title nor a column id".to_owned();
            fault(
                "title",
                what,
                "name at least one of them in the first row".to_owned(),
            );
        }
        if faults.is_empty() {
            let width = row.len();
            Ok(Self { columns, width })
        } else {
            Err(faults)
        }
    }

    /// The cells of a row by the names of their columns.
    pub(super) fn cells<'a>(&'a self, row: &'a StringRecord, line: u64) -> Cells<'a> {
        let cells = self.columns.iter().filter_map(|(name, (at, unit))| {
            let text = row.get(*at).filter(|text| !text.is_empty())?;
            Some((*name, (text, unit.as_deref())))
        });
        let mut cells = Cells::new(line, cells.collect());
        if row.iter().skip(self.width).any(|text| !text.is_empty()) {
            let what = "the row has more cells than the heading";
            let advice = "put a text with a comma or semicolon in quotation marks";
            cells.fault(None, what, advice);
        }
        cells
    }
}

/// "Lower [N·m]" is the column `lower`, in N·m.
fn parted(cell: &str) -> (String, Option<String>) {
    let (name, unit) = match cell.split_once('[') {
        Some((name, rest)) => (name, Some(rest.trim_end().trim_end_matches(']').to_owned())),
        None => (cell, None),
    };
    let name = name.trim().to_lowercase().replace([' ', '-'], "_");
    (name, unit)
}
