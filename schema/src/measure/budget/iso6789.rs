//! What ISO 6789-1:2017 allows a hand torque tool, and how ISO 6789-2:2017 words its deviation.
//!
//! Both parts are for sale only: the classes, their limits and the formulas here are **from memory** and were not compared
//! with the standard. They stand in where a tool has no certificate, and a record says so.

use super::{Contribution, Line, rectangular};
use crate::measure::statistics::mean;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// The class of a hand torque tool: type I shows a torque, type II is set to one.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum ToolClass {
    /// Torsion or bending bar.
    #[serde(rename = "I-A")]
    IndicatingA,
    /// Rigid housing with scale, dial or display.
    #[serde(rename = "I-B")]
    IndicatingB,
    /// Rigid housing, electronic measurement.
    #[serde(rename = "I-C")]
    IndicatingC,
    /// Screwdriver with scale, dial or display.
    #[serde(rename = "I-D")]
    IndicatingD,
    /// Screwdriver, electronic measurement.
    #[serde(rename = "I-E")]
    IndicatingE,
    /// Adjustable, graduated.
    #[serde(rename = "II-A")]
    SettingA,
    /// Fixed torque.
    #[serde(rename = "II-B")]
    SettingB,
    /// Adjustable, not graduated.
    #[serde(rename = "II-C")]
    SettingC,
    /// Screwdriver, adjustable, graduated.
    #[serde(rename = "II-D")]
    SettingD,
    /// Screwdriver, fixed torque.
    #[serde(rename = "II-E")]
    SettingE,
    /// Screwdriver, adjustable, not graduated.
    #[serde(rename = "II-F")]
    SettingF,
    /// Bending bar, adjustable, graduated.
    #[serde(rename = "II-G")]
    SettingG,
}

impl ToolClass {
    /// All of them, in the standard's order.
    pub const ALL: [Self; 12] = [
        Self::IndicatingA,
        Self::IndicatingB,
        Self::IndicatingC,
        Self::IndicatingD,
        Self::IndicatingE,
        Self::SettingA,
        Self::SettingB,
        Self::SettingC,
        Self::SettingD,
        Self::SettingE,
        Self::SettingF,
        Self::SettingG,
    ];

    /// As people write it: type, hyphen, class.
    pub const fn name(self) -> &'static str {
        match self {
            Self::IndicatingA => "I-A",
            Self::IndicatingB => "I-B",
            Self::IndicatingC => "I-C",
            Self::IndicatingD => "I-D",
            Self::IndicatingE => "I-E",
            Self::SettingA => "II-A",
            Self::SettingB => "II-B",
            Self::SettingC => "II-C",
            Self::SettingD => "II-D",
            Self::SettingE => "II-E",
            Self::SettingF => "II-F",
            Self::SettingG => "II-G",
        }
    }
}

impl fmt::Display for ToolClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A text that names no class.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{0}\" is no tool class of ISO 6789-1: write I-A to I-E for a tool that shows the torque, II-A to II-G for one that is set to it"
)]
pub struct UnknownToolClass(pub String);

impl FromStr for ToolClass {
    type Err = UnknownToolClass;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wanted = text.trim();
        let found = Self::ALL
            .into_iter()
            .find(|class| class.name().eq_ignore_ascii_case(wanted));
        found.ok_or_else(|| UnknownToolClass(text.to_owned()))
    }
}

/// The maximum permissible deviation in percent (ISO 6789-1:2017, 5.1.5; from memory): 6, or 4 for the classes with a
/// rigid housing and the click wrenches whose **own maximum** is above 10 N·m. What counts is the tool, not the reading:
/// most small bicycle wrenches are tools of 6 %.
pub fn maximum_deviation(class: ToolClass, tool_maximum_newton_metres: f64) -> f64 {
    use ToolClass::{IndicatingB, IndicatingC, IndicatingE, SettingA, SettingB, SettingC};
    let finer = matches!(
        class,
        IndicatingB | IndicatingC | IndicatingE | SettingA | SettingB | SettingC
    );
    if finer && tool_maximum_newton_metres > 10.0 {
        4.0
    } else {
        6.0
    }
}

/// The budget line of a tool that has its class and no certificate: its deviation may be anything the class allows.
pub fn class_line(class: ToolClass, tool_maximum_newton_metres: f64, torque: f64) -> Line {
    let half_width = torque.abs() * maximum_deviation(class, tool_maximum_newton_metres) / 100.0;
    Line::known(Contribution::ToolClass, rectangular(half_width))
}

/// The deviation in percent of what a tool shows or is set to from the reference (ISO 6789-2:2017, clause 5; from memory).
/// The reference is the divisor: a tool that is set to 10 and delivers more has a negative deviation.
pub fn deviation(tool: f64, reference: f64) -> f64 {
    100.0 * (tool - reference) / reference
}

/// The best estimate of the true torque, from what the tool shows or is set to and its deviation in percent.
pub fn true_torque(tool: f64, deviation_percent: f64) -> f64 {
    tool / (1.0 + deviation_percent / 100.0)
}

/// A series at one calibration point.
#[derive(Debug, Clone, PartialEq)]
pub struct Deviations {
    /// Of each value, percent.
    pub each: Vec<f64>,
    /// Their mean, percent.
    pub mean: f64,
    /// The mean of the reference values, N·m.
    pub reference: f64,
}

impl Deviations {
    /// From what the tool showed or was set to, and what the reference device said. None without values.
    pub fn of(tool: f64, references: &[f64]) -> Option<Self> {
        let each: Vec<f64> = references
            .iter()
            .map(|reference| deviation(tool, *reference))
            .collect();
        Some(Self {
            mean: mean(&each)?,
            reference: mean(references)?,
            each,
        })
    }
}

/// The uncertainty interval of a tool whose deviation is not corrected for (ISO 6789-2:2017, from memory):
/// |mean deviation| + expanded uncertainty + |bias of the reference device|, all in percent. Take this or the expanded
/// uncertainty, never both: where the deviation is corrected for, the expanded uncertainty alone is what is left.
pub fn uncertainty_interval(mean_deviation: f64, expanded: f64, reference_bias: f64) -> f64 {
    mean_deviation.abs() + expanded + reference_bias.abs()
}
