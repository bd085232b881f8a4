//! The cells of one row, each asked for once.

use super::super::TableFault;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;

/// What is filled of one row.
pub(super) struct Cells<'a> {
    line: u64,
    filled: BTreeMap<&'static str, (&'a str, Option<&'a str>)>,
    pub(super) faults: Vec<TableFault>,
    /// Whether a point is a decimal mark for certain.
    has_points: bool,
}

impl<'a> Cells<'a> {
    pub(super) fn new(
        line: u64,
        filled: BTreeMap<&'static str, (&'a str, Option<&'a str>)>,
    ) -> Self {
        Self {
            line,
            filled,
            faults: Vec::new(),
            has_points: false,
        }
    }

    /// Of a table in which a point is a decimal mark for certain, or is not.
    pub(super) fn with_points(mut self, has_points: bool) -> Self {
        self.has_points = has_points;
        self
    }

    /// Whether a figure of the row has a comma that can be nothing but a decimal mark.
    pub(super) fn has_decimal_comma(&self) -> bool {
        let figures = ["target", "lower", "upper", "passes", "friction"].into_iter();
        let mut filled = figures.filter_map(|column| self.filled.get(column));
        filled.any(|(text, _)| has_decimal_comma(text))
    }

    pub(super) fn fault(&mut self, column: Option<&str>, what: &str, advice: &str) {
        self.faults.push(TableFault {
            line: self.line,
            column: column.map(str::to_owned),
            what: what.to_owned(),
            advice: advice.to_owned(),
        });
    }

    pub(super) fn has(&self, column: &str) -> bool {
        self.filled.contains_key(column)
    }

    /// A text; the apostrophe that keeps a spreadsheet from taking it for a formula comes off.
    pub(super) fn text(&mut self, column: &str) -> Option<String> {
        let (text, _) = self.filled.remove(column)?;
        let bare = text.strip_prefix('\'');
        let bare = bare.filter(|rest| rest.starts_with(['=', '+', '-', '@', '\t', '\r', '\'']));
        Some(bare.unwrap_or(text).to_owned())
    }

    /// A text that is asked for again.
    pub(super) fn peek(&self, column: &str) -> Option<String> {
        self.filled.get(column).map(|(text, _)| (*text).to_owned())
    }

    /// A word of a closed list.
    pub(super) fn of<T: DeserializeOwned>(&mut self, column: &str, known: &str) -> Option<T> {
        let text = self.text(column)?;
        let found = word(&text);
        if found.is_none() {
            let what = format!("{text:?} is not understood");
            self.fault(Some(column), &what, &format!("write {known}"));
        }
        found
    }

    /// Several texts with a stroke between them.
    pub(super) fn list(&mut self, column: &str) -> Vec<String> {
        let text = self.text(column).unwrap_or_default();
        let parts = text.split('|').map(str::trim);
        parts
            .filter(|part| !part.is_empty())
            .map(str::to_owned)
            .collect()
    }

    pub(super) fn yes(&mut self, column: &str) -> bool {
        let Some(text) = self.text(column) else {
            return false;
        };
        match text.to_lowercase().as_str() {
            "yes" | "true" | "x" | "1" => true,
            "no" | "false" | "0" => false,
            _ => {
                let what = format!("{text:?} is neither yes nor no");
                self.fault(Some(column), &what, "write yes, or leave it empty");
                false
            }
        }
    }

    pub(super) fn whole(&mut self, column: &str) -> Option<u16> {
        let text = self.text(column)?;
        let number = text.parse().ok();
        if number.is_none() {
            let what = format!("{text:?} is no whole number");
            self.fault(Some(column), &what, "write digits alone");
        }
        number
    }

    /// Numbers with a space between them.
    pub(super) fn numbers(&mut self, column: &str) -> Option<Vec<f64>> {
        let text = self.text(column)?;
        let numbers = text.split_whitespace().map(|part| {
            let part = part.trim_end_matches(['%', ';']);
            part.replace(',', ".").parse::<f64>().ok()
        });
        let numbers: Option<Vec<f64>> = numbers.collect();
        if numbers.is_none() {
            let what = format!("{text:?} is no list of numbers");
            self.fault(
                Some(column),
                &what,
                "write numbers with a space between them",
            );
        }
        numbers
    }

    /// A figure with its unit: its own, the heading's, or the one of the column `unit`.
    pub(super) fn figure(&mut self, column: &str, unit: Option<&str>) -> Option<String> {
        let of_heading = self.filled.get(column).and_then(|(_, unit)| *unit);
        let text = self.text(column)?;
        let end = text
            .find(|letter: char| !(letter.is_ascii_digit() || "+-.,'\u{a0} ".contains(letter)))
            .unwrap_or(text.len());
        let (number, own) = text.split_at(end);
        let (number, own) = (number.trim(), own.trim());
        let number = match plain(number, self.has_points) {
            Ok(number) => number,
            Err(advice) => {
                let what = format!("{text:?} is no figure that can be read in one way only");
                self.fault(Some(column), &what, advice);
                return None;
            }
        };
        let unit = Some(own)
            .filter(|own| !own.is_empty())
            .or(of_heading)
            .or(unit);
        let Some(unit) = unit else {
            let what = format!("{text:?} has no unit");
            let advice = "write it in the cell, in the column unit, or in the heading: lower [N·m]";
            self.fault(Some(column), &what, advice);
            return None;
        };
        Some(format!("{number} {unit}"))
    }

    /// Whatever is filled and was not asked for does not belong to such a row.
    pub(super) fn nothing_left_over(&mut self, what: &str) {
        let left: Vec<&str> = self.filled.keys().copied().collect();
        for column in left {
            let said = format!("this cell is filled, and the row is a {what}");
            self.fault(Some(column), &said, "leave it empty");
        }
    }
}

const ONE_MARK: &str =
    "write a number with one decimal mark and nothing between the thousands, like 5.5 or 5,5";
const THREE_DIGITS: &str = "with three digits after the mark it may be a number of thousands: write those without a mark, like 1200, \
     and a fraction with fewer digits or one more, like 1.2 or 1.2000";

/// A number with a point. A mark that may stand for thousands is not guessed at: three digits after it, and one to three before
/// it that are no nought.
fn plain(number: &str, has_points: bool) -> Result<String, &'static str> {
    let is_number = number.bytes().any(|b| b.is_ascii_digit())
        && number
            .bytes()
            .all(|b| b.is_ascii_digit() || b"+-.,".contains(&b));
    let mut parts = number.split(['.', ',']);
    let (whole, part) = (parts.next().unwrap_or_default(), parts.next());
    if !is_number || parts.next().is_some() {
        return Err(ONE_MARK);
    }
    let Some(part) = part else {
        return Ok(number.to_owned());
    };
    let bare = whole.trim_start_matches(['-', '+']);
    let may_be_thousands =
        part.len() == 3 && (1..=3).contains(&bare.len()) && !bare.starts_with('0');
    if may_be_thousands && !(has_points && number.contains('.')) {
        return Err(THREE_DIGITS);
    }
    Ok(format!("{whole}.{part}"))
}

/// Whether a figure has a comma that can be nothing but a decimal mark.
fn has_decimal_comma(figure: &str) -> bool {
    figure.split_whitespace().any(|word| {
        let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
        let parted = word.split_once(',');
        parted.is_some_and(|(whole, part)| {
            let bare = whole.trim_start_matches(['-', '+']);
            let is_number = digits(bare) == bare.len() && digits(part) > 0;
            is_number && (digits(part) != 3 || bare.starts_with('0')) && !part.contains(',')
        })
    })
}

/// A word of a closed list, as the plan file writes it.
pub(super) fn word<T: DeserializeOwned>(text: &str) -> Option<T> {
    let word = text.to_lowercase().replace([' ', '_'], "-");
    serde_json::from_value(serde_json::Value::String(word)).ok()
}
