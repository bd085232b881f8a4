//! A reading: one value with its unit from one tool, as it was displayed and as it is judged.

use crate::canonical::Digest32;
use crate::gauge::{Fitted, Worth};
use crate::quantity::{Decimal, Rounding, Stated, Torque, Unit};
use crate::trace::Trace;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// What a tool said about itself along with a value.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Flag {
    /// The battery is nearly empty.
    BatteryLow,
    /// The tool was past its range and shows no value: more torque than it can tell.
    OverRange,
    /// The tool sends this reading again.
    SentAgain,
    /// The value is where a click tool gave way; what the pull reached after it, the tool did not say.
    FirstPeak,
    /// The value had not settled when it was taken.
    Unsteady,
}

/// Where a value comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Origin {
    /// From the tool's own electronics.
    Measured {
        /// SHA-256 of the bytes as they came; they are kept in the ledger.
        raw: Digest32,
    },
    /// A person says what the tool was set to, or showed.
    Attested {
        /// Who says so.
        by: String,
    },
}

/// A number as a display showed it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Displayed {
    /// With every digit that was shown.
    pub value: String,
    /// The unit as a UCUM code.
    pub unit: String,
}

impl Displayed {
    /// The unit as people write it.
    pub fn unit_symbol(&self) -> &str {
        Unit::find(&self.unit).map_or(self.unit.as_str(), |unit| unit.symbol)
    }
}

impl Displayed {
    /// The torque that was shown, rounded up; nothing where it is none.
    pub fn torque(&self) -> Option<Torque> {
        let (value, unit) = self.parts()?;
        Torque::of(Stated { value, unit }, Rounding::Up).ok()
    }

    /// The step of the last digit that was shown, in N·m.
    pub fn step(&self) -> Option<f64> {
        let (value, unit) = self.parts()?;
        let one = unit.newton_metres_in_one()?;
        Some(one / 10_f64.powi(i32::from(value.scale())))
    }

    /// The number with its unit; nothing where either cannot be read.
    pub fn stated(&self) -> Option<Stated> {
        let (value, unit) = self.parts()?;
        Some(Stated { value, unit })
    }

    fn parts(&self) -> Option<(Decimal, &'static Unit)> {
        Some((
            Decimal::parse(&self.value).ok()?,
            Unit::find(&self.unit).ok()?,
        ))
    }
}

/// The number with its unit as people write it.
impl fmt::Display for Displayed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value, self.unit_symbol())
    }
}

/// One value from one tool.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Which tool.
    pub tool: String,
    /// Measured or attested.
    pub origin: Origin,
    /// As displayed; none where the tool was past its range.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub displayed: Option<Displayed>,
    /// The adapter that was fitted.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub adapter: Option<Fitted>,
    /// What the number is worth: the deviation that was corrected, and the uncertainty that is left.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub worth: Option<Worth>,
    /// The torque on the fastener, as it is judged; none where the tool was past its range.
    #[serde(
        rename = "applied_millinewton_metre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub applied: Option<Torque>,
    /// The tool's own count of readings, where it has one.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub counter: Option<u64>,
    /// What the tool said along with it.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub flags: Vec<Flag>,
    /// What its samples show, where the tool streams; they are its raw bytes.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub trace: Option<Trace>,
}

impl Reading {
    /// The torque at the tool's drive, as it was shown.
    pub fn shown(&self) -> Option<Torque> {
        self.displayed.as_ref()?.torque()
    }

    /// Whether the tool was past its range.
    pub fn is_over_range(&self) -> bool {
        self.flags.contains(&Flag::OverRange)
    }
}
