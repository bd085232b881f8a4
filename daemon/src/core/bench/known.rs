//! What is kept of single things: checks, recalls, last pulls.

use pullmark_schema::entry::{Now, Recalled, ToolCheck};
use pullmark_schema::placement::Place;
use pullmark_schema::quantity::{MicroTorque, Torque};

/// A check against a reference, and when it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownCheck {
    /// Its entry.
    pub sequence: u64,
    /// When it was entered.
    pub time: String,
    /// What was found.
    pub check: ToolCheck,
}

/// A check that is under way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checking {
    /// Who began it.
    pub by: String,
    /// The readings that came since.
    pub readings: Vec<(u64, MicroTorque)>,
}

/// A recall and the bikes it speaks of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecallState {
    /// Its entry.
    pub sequence: u64,
    /// When.
    pub time: String,
    /// What it found in all.
    pub recall: Recalled,
    /// The entries that speak of one bike each.
    pub affected: Vec<u64>,
}

/// A tool's last pull.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastPull {
    /// Its entry.
    pub sequence: u64,
    /// Where it was placed.
    pub place: Option<Place>,
    /// Whether it came from the tool itself, and not from a person's hand.
    pub is_measured: bool,
    /// The torque, where there was one.
    pub applied: Option<Torque>,
    /// Which start of the machine, and when since then.
    pub boot: String,
    /// Milliseconds since the machine was started.
    pub since_boot_ms: u64,
    /// Wall clock, for when the machine was started anew in between.
    pub time: String,
}

impl LastPull {
    /// Milliseconds since this pull. Across a start of the machine the wall clock has to do.
    pub fn age_ms(&self, boot: &str, now: Now) -> u64 {
        if self.boot == boot {
            return now.since_boot_ms.saturating_sub(self.since_boot_ms);
        }
        chrono::DateTime::parse_from_rfc3339(&self.time)
            .ok()
            .and_then(|time| {
                u64::try_from(now.wall.signed_duration_since(time).num_milliseconds()).ok()
            })
            .unwrap_or(u64::MAX)
    }
}

/// A tool's last reading of a check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastMeasured {
    /// Its entry.
    pub sequence: u64,
    /// Which start of the machine, and when since then.
    pub boot: String,
    /// Milliseconds since the machine was started.
    pub since_boot_ms: u64,
}
