//! Figures and times in words.

use crate::quantity::{Torque, Unit};
use crate::record::names;

/// An RFC 3339 time to the minute, with its offset: "2026-11-27 10:32 +01:00". What is no time stays as it is.
pub fn moment(time: &str) -> String {
    written(time, "%Y-%m-%d %H:%M %:z")
}

/// The same without the offset, which the heading names.
pub(super) fn minute(time: &str) -> String {
    written(time, "%Y-%m-%d %H:%M")
}

/// The day alone.
pub(super) fn day(time: &str) -> &str {
    time.get(..10).unwrap_or(time)
}

/// The time of day alone.
pub(super) fn clock(time: &str) -> String {
    written(time, "%H:%M")
}

fn written(time: &str, form: &str) -> String {
    chrono::DateTime::parse_from_rfc3339(time)
        .map_or_else(|_| time.to_owned(), |time| time.format(form).to_string())
}

/// Who did something; where the file leaves names out, that it does.
pub(super) fn person(by: &str) -> &str {
    if names::is_hidden(by) {
        "a name left out"
    } else {
        by
    }
}

/// A torque in N·m, and in lbf·in beside it.
pub fn torque_in_both(torque: Torque) -> (String, String) {
    let inch = Unit::find("lbf·in")
        .map(|unit| unit.from_small_units(torque.small_units()))
        .map_or_else(|_| String::new(), |value| format!("{value:.1}"));
    let whole = torque.to_string();
    (whole.trim_end_matches(" N·m").to_owned(), inch)
}

/// Hexadecimal digits in groups of four, so that two people can compare them.
pub(super) fn groups(text: &str) -> String {
    let is_hex = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_hexdigit());
    if !is_hex {
        return text.to_owned();
    }
    let letters: Vec<char> = text.chars().collect();
    let pieces: Vec<String> = letters
        .chunks(4)
        .map(|piece| piece.iter().collect())
        .collect();
    pieces.join(" ")
}

/// A count with the word in its number.
pub(super) fn count(count: u64, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}
