//! A plan as a table, the way a spreadsheet saves one: a row a fastener or check, columns found by their names.
//!
//! ```csv
//! # title: Fjord gravel 54
//! # edition: 2026-03
//! title;stage;target;lower;upper;unit;source
//! Seat post clamp;Saddle and seat post;5;4,5;5,5;N·m;marking on the clamp
//! ```
//!
//! A row states the figures of one place: the plan's own where `source` is empty, those of a source where it is not, those
//! of a decision where `settled_by` is filled. A further row with the same `id` states those of a further place. What
//! belongs to the plan as a whole stands in lines `# key: value` before the heading. Parts, and what is due, are not in the table.

mod read;
mod write;

pub use read::read_table;
pub use write::write_table;

use super::draft::PlanDraft;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The largest table that is read, in bytes.
pub const LARGEST_TABLE: usize = 1 << 20;

/// Every column, by its name in the heading.
pub const COLUMNS: [&str; 33] = [
    "id",
    "title",
    "stage",
    "stage_title",
    "pattern",
    "passes",
    "what",
    "kind",
    "target",
    "lower",
    "upper",
    "unit",
    "source",
    "settled_by",
    "settled_reason",
    "thread",
    "class",
    "engages",
    "engagement",
    "friction",
    "hand",
    "joint",
    "rule",
    "prep",
    "drive",
    "adapter",
    "adapter_length",
    "adapter_angle",
    "note",
    "at",
    "second_look",
    "readings",
    "formula",
];

/// What is wrong with a table, and where.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct TableFault {
    /// The line, counted from 1.
    pub line: u64,
    /// The column's name, where it is one column.
    pub column: Option<String>,
    /// What is so.
    pub what: String,
    /// What to do about it.
    pub advice: String,
}

impl std::fmt::Display for TableFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}", self.line)?;
        if let Some(column) = &self.column {
            write!(f, ", column {column}")?;
        }
        write!(f, ": {}. {}", self.what, self.advice)
    }
}

/// A table that was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TableReading {
    /// Given only where nothing is wrong with the table. It may still be no sound plan.
    pub draft: Option<PlanDraft>,
    /// Everything that is wrong with it, in the order of the file.
    pub faults: Vec<TableFault>,
}

/// An id made of a title: small letters, digits and dashes; empty where nothing of it is left.
pub(super) fn slug(title: &str) -> String {
    let mut out = String::new();
    for letter in title.chars() {
        let plain = match letter {
            'ä' | 'Ä' => "ae",
            'ö' | 'Ö' | 'ø' | 'Ø' => "oe",
            'ü' | 'Ü' => "ue",
            'ß' => "ss",
            'é' | 'è' | 'ê' | 'É' => "e",
            'å' | 'Å' | 'à' | 'á' => "a",
            _ => "",
        };
        if letter.is_ascii_alphanumeric() {
            out.push(letter.to_ascii_lowercase());
        } else if !plain.is_empty() {
            out.push_str(plain);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    out.truncate(48);
    out.trim_end_matches('-').to_owned()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
