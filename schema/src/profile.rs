//! A line profile: what a tool's text lines look like, as data. A new tool dialect is a new file, not new code.
//!
//! The contract is a regular expression with named groups: `value` has to be there; `unit`, `counter`, `flags` and
//! `sum` may be. The unit map decides what a unit means, and a unit that it does not name is an error.

use crate::reading::Flag;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How a kind of tool writes its readings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Profile {
    /// Unique; a tool's connection names it.
    pub name: String,
    /// For people.
    pub title: String,
    /// The line.
    #[serde(default)]
    pub serial: SerialSettings,
    /// Where a line ends.
    pub frame: FrameSettings,
    /// What a line says.
    pub line: LineSettings,
    /// The tool's spelling of a unit, and the unit it means. A unit missing in the line is looked up as "".
    pub unit: BTreeMap<String, String>,
    /// The tool's status words, and what they mean.
    #[serde(default)]
    pub flag: BTreeMap<String, Flag>,
}

/// The serial line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct SerialSettings {
    /// Bits a second.
    pub baud: u32,
    /// 7 or 8.
    pub bits: u8,
    /// None unless said.
    pub parity: Parity,
    /// 1 or 2.
    pub stop: u8,
}

impl Default for SerialSettings {
    fn default() -> Self {
        Self {
            baud: 9600,
            bits: 8,
            parity: Parity::None,
            stop: 1,
        }
    }
}

/// The parity bit of a serial line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Parity {
    /// No parity bit.
    #[default]
    None,
    /// Even.
    Even,
    /// Odd.
    Odd,
}

/// Where a line ends.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FrameSettings {
    /// The bytes that end a line, for example "\r\n".
    pub terminator: String,
    /// A longer line is rubbish.
    #[serde(default = "longest_line")]
    pub longest: usize,
    /// Take the first line after the port was opened only if the line was quiet before it. On for lines without a
    /// checksum: the end of a line that was cut looks like a smaller number.
    #[serde(default = "yes")]
    pub distrust_first: bool,
}

const fn longest_line() -> usize {
    120
}

const fn yes() -> bool {
    true
}

/// What a line says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LineSettings {
    /// Lines that say nothing about torque.
    #[serde(default)]
    pub ignore: Vec<String>,
    /// A reading, with named groups.
    pub pattern: String,
    /// What stands in the group `value` where the tool was past its range.
    #[serde(default)]
    pub over_range: Option<String>,
    /// The decimal mark is a comma.
    #[serde(default)]
    pub decimal_comma: bool,
    /// What stands between two words of the group `flags`.
    #[serde(default = "plus")]
    pub flag_separator: String,
    /// How the group `sum` is made.
    #[serde(default)]
    pub checksum: Option<Checksum>,
}

fn plus() -> String {
    "+".to_owned()
}

/// A checksum over part of a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Checksum {
    /// How it is made.
    pub kind: ChecksumKind,
    /// It begins after the first of these.
    pub after: char,
    /// And ends before the last of these.
    pub before: char,
}

/// The sums that are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ChecksumKind {
    /// Exclusive or of all bytes, two hexadecimal digits.
    Xor,
    /// Sum of all bytes modulo 256, two hexadecimal digits.
    Sum,
}
