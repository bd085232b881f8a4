//! A day at the bench as a file: what a person and a poor cable do to one wrench, step by step.
//!
//! ```toml
//! title = "Two bolts and a loose plug"
//! steps = [
//!     { pull = "5.08" },          # the text on the display
//!     { wait_ms = 700 },
//!     { garbage = 40 },           # so many random bytes
//!     "unplug",                   # after the program has read everything
//!     "replug",
//!     { unit = "lbf.in" },
//!     { pull = "44.96" },
//!     "resend",
//! ]
//! ```
//!
//! A step without a value is a word: `unplug`, `unplug_now` (what was not read is lost), `replug`, `half_line`,
//! `noise_line`, `over_range`, `resend`, `drain` (wait until the program has read everything). A step with a value is a
//! table with one key: `pull`, `wait_ms`, `garbage`, `unit`, `battery_low`, `burst = ["5.0", "5.1"]`,
//! `split = { pull = "5.08", pause_ms = 20 }`.
//!
//! The file format is TOML 1.1 (toml.io). It has no loops and no conditions: a day has none either.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::str::FromStr;
use std::thread;
use std::time::Duration;

use serde::Deserialize;
use thiserror::Error;

use crate::tool::display::DisplayText;
use crate::tool::unit::Unit;
use crate::tool::{DRAIN_WAIT, PluggedWrench, Sent, ToolError};

/// The longest single wait in a script, in milliseconds: a day.
pub const MOST_WAIT_MS: u64 = 86_400_000;
/// The most random bytes in one step.
pub const MOST_GARBAGE: usize = 1_048_576;

/// What can go wrong with a script.
#[derive(Debug, Error)]
pub enum ScriptError {
    /// The file could not be read.
    #[error("the script {}: {source}. Is the name right?", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The text is no script. The message shows the line and points at the place.
    #[error("the script does not read as a list of steps: {0}")]
    Text(#[from] toml::de::Error),
    /// A script with nothing in it.
    #[error(
        "the script has no steps. Write at least one, such as steps = [ {{ pull = \"5.08\" }} ]"
    )]
    NoSteps,
    /// A step asks for more than is sensible.
    #[error("step {step} of the script: {problem}")]
    TooMuch {
        /// Which step, from 1.
        step: usize,
        /// What is too much, and how much is allowed.
        problem: &'static str,
    },
    /// A speed that is no factor for waits.
    #[error(
        "a speed of {0} is not possible: give a factor for all waits from 0 to 1000 (0: no waits, 1: as written)"
    )]
    Speed(f64),
    /// A step failed.
    #[error("step {step} of the script: {source}")]
    Step {
        /// Which step, from 1.
        step: usize,
        /// What happened.
        source: ToolError,
    },
}

/// A list of steps.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Script {
    /// What the day is about.
    pub title: Option<String>,
    /// What happens, in this order.
    pub steps: Vec<Step>,
}

/// One thing that happens to the wrench.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// A pull; the text is what the display shows.
    Pull(DisplayText),
    /// Nothing happens for so many milliseconds.
    WaitMs(u64),
    /// So many random bytes.
    Garbage(usize),
    /// A line in two writes.
    Split(Split),
    /// Several pulls in one write.
    Burst(Vec<DisplayText>),
    /// A pull over the range.
    OverRange,
    /// The last pull again.
    Resend,
    /// The first half of a line.
    HalfLine,
    /// A line with a wrong checksum.
    NoiseLine,
    /// Another unit on the display.
    Unit(Unit),
    /// The battery is low, or good again.
    BatteryLow(bool),
    /// Wait until the program has read everything.
    Drain,
    /// Drain, then pull the plug.
    Unplug,
    /// Pull the plug at once.
    UnplugNow,
    /// Plug in again.
    Replug,
}

/// A pull that arrives in two pieces.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Split {
    /// What the display shows.
    pub pull: DisplayText,
    /// The pause between the pieces in milliseconds.
    pub pause_ms: u64,
}

/// What a step did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Did {
    /// The tool sent something.
    Sent(Sent),
    /// Time went by.
    Waited(Duration),
    /// The tool was set to something else; nothing was sent.
    Set,
    /// Waited for the program to read; true if it read everything.
    Drained(bool),
    /// The plug was pulled. True if the program had read everything, false if something was lost, `None` if nobody
    /// looked.
    Unplugged(Option<bool>),
}

/// A factor for all waits: 0 for none, 1 as written. Checked once, so that a wait cannot fail later.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Speed(f64);

impl Speed {
    /// A factor from 0 to 1000.
    pub fn new(factor: f64) -> Result<Self, ScriptError> {
        if (0.0..=1000.0).contains(&factor) {
            return Ok(Self(factor));
        }
        Err(ScriptError::Speed(factor))
    }

    /// The wait after the factor.
    pub fn scale(self, milliseconds: u64) -> Duration {
        Duration::from_millis(milliseconds.min(MOST_WAIT_MS)).mul_f64(self.0)
    }
}

impl Script {
    /// Reads a script from a file.
    pub fn read(path: &Path) -> Result<Self, ScriptError> {
        let text = fs::read_to_string(path).map_err(|source| ScriptError::Read {
            path: path.to_owned(),
            source,
        })?;
        text.parse()
    }
}

impl FromStr for Script {
    type Err = ScriptError;

    fn from_str(text: &str) -> Result<Self, ScriptError> {
        let script: Self = toml::from_str(text)?;
        if script.steps.is_empty() {
            return Err(ScriptError::NoSteps);
        }
        for (step, number) in script.steps.iter().zip(1..) {
            if let Some(problem) = step.too_much() {
                return Err(ScriptError::TooMuch {
                    step: number,
                    problem,
                });
            }
        }
        Ok(script)
    }
}

impl Step {
    fn too_much(&self) -> Option<&'static str> {
        match self {
            Self::WaitMs(wait) | Self::Split(Split { pause_ms: wait, .. })
                if *wait > MOST_WAIT_MS =>
            {
                Some("waits at most a day, 86400000 ms")
            }
            Self::Garbage(count) if *count > MOST_GARBAGE => {
                Some("sends at most 1048576 random bytes")
            }
            _ => None,
        }
    }

    /// Does this to the wrench. `garbage_seed` is for random bytes.
    pub fn perform(
        &self,
        wrench: &mut PluggedWrench,
        speed: Speed,
        garbage_seed: u64,
    ) -> Result<Did, ToolError> {
        Ok(match self {
            Self::Pull(text) => Did::Sent(wrench.pull_text(text)?),
            Self::WaitMs(milliseconds) => pause(speed.scale(*milliseconds)),
            Self::Garbage(count) => {
                Did::Sent(wrench.garbage((*count).min(MOST_GARBAGE), garbage_seed)?)
            }
            Self::Split(split) => {
                Did::Sent(wrench.split_text(&split.pull, speed.scale(split.pause_ms))?)
            }
            Self::Burst(texts) => Did::Sent(wrench.burst_text(texts)?),
            Self::OverRange => Did::Sent(wrench.over_range()?),
            Self::Resend => Did::Sent(wrench.resend_last()?),
            Self::HalfLine => Did::Sent(wrench.half_line()?),
            Self::NoiseLine => Did::Sent(wrench.noise_line()?),
            Self::Unit(unit) => {
                wrench.wrench.set_unit(*unit);
                Did::Set
            }
            Self::BatteryLow(is_low) => {
                wrench.wrench.set_battery_low(*is_low);
                Did::Set
            }
            Self::Drain => Did::Drained(wrench.drained(DRAIN_WAIT)?),
            Self::Unplug => Did::Unplugged(Some(wrench.unplug()?)),
            Self::UnplugNow => {
                wrench.unplug_now()?;
                Did::Unplugged(None)
            }
            Self::Replug => Did::Sent(wrench.replug()?),
        })
    }
}

fn pause(wait: Duration) -> Did {
    thread::sleep(wait);
    Did::Waited(wait)
}

/// Plays a script. All waits are multiplied by `speed`; 0 means no waits.
pub fn play(script: &Script, wrench: &mut PluggedWrench, speed: f64) -> Result<(), ScriptError> {
    play_and_tell(script, wrench, Speed::new(speed)?, |_, _| {})
}

/// Plays a script and tells after each step what it did. Random bytes come from the number of the step, so a script
/// sends the same bytes every time.
pub fn play_and_tell(
    script: &Script,
    wrench: &mut PluggedWrench,
    speed: Speed,
    mut tell: impl FnMut(&Step, &Did),
) -> Result<(), ScriptError> {
    for ((step, number), seed) in script.steps.iter().zip(1..).zip(1..) {
        let did = step
            .perform(wrench, speed, seed)
            .map_err(|source| ScriptError::Step {
                step: number,
                source,
            })?;
        tell(step, &did);
    }
    Ok(())
}

#[cfg(test)]
mod tests;
