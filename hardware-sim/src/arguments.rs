//! The command line: first as it was typed, then checked. The rest of the program sees only the second.

use std::path::PathBuf;
use std::time::Duration;

use clap::Parser;
use pullmark_sim::person::{Habits, Person, PersonError};
use pullmark_sim::script::{Script, ScriptError, Speed};
use pullmark_sim::tool::display::{DisplayError, Resolution};
use pullmark_sim::tool::unit::{Unit, UnknownUnit};
use pullmark_sim::tool::wrench::{Wrench, WrenchError};
use thiserror::Error;

/// A torque wrench that is not there, on a real pseudo-terminal.
///
/// Give the link as the serial port to the program that logs. Then type values here (type help), or let a script or a
/// seed do the pulling.
#[derive(Debug, Parser)]
#[command(name = "pullmark-sim", version, max_term_width = 100)]
pub(crate) struct Arguments {
    /// Name of the serial port to make; its folder must exist
    #[arg(long, value_name = "PATH")]
    link: PathBuf,
    /// Serial number of the wrench
    #[arg(long, default_value = "SIM-0001")]
    serial: String,
    /// Unit on the display: N.m, lbf.in, lbf.ft, kgf.cm or cN.m
    #[arg(long, default_value = "N.m")]
    unit: String,
    /// Step of the display, in its unit
    #[arg(long, value_name = "STEP", default_value = "0.01")]
    resolution: String,
    /// End of the range in N·m; beyond it the display shows OL
    #[arg(long, value_name = "TORQUE", default_value_t = 25.0)]
    range: f64,
    /// How often the wrench was pulled before
    #[arg(long, value_name = "PULLS", default_value_t = 0)]
    counter: u64,
    /// Play this script instead of reading what is typed
    #[arg(long, value_name = "FILE", conflicts_with = "random")]
    script: Option<PathBuf>,
    /// Pull at random around the targets instead of reading what is typed
    #[arg(long, requires = "targets")]
    random: bool,
    /// Targets in N·m, in order, such as 5,5,8
    #[arg(
        long,
        value_name = "TORQUES",
        value_delimiter = ',',
        requires = "random"
    )]
    targets: Vec<f64>,
    /// Seed of the random pulls; the same seed gives the same pulls
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Standard deviation of the random pulls, as a fraction of the target
    #[arg(long, default_value_t = 0.03)]
    sigma: f64,
    /// Probability of one more click on the same fastener
    #[arg(long, value_name = "PROBABILITY", default_value_t = 0.05)]
    repeat: f64,
    /// Pause after each random pull, in milliseconds
    #[arg(long, value_name = "MS", default_value_t = 700)]
    pause: u64,
    /// Factor for all pauses and waits; 0 for none
    #[arg(long, value_name = "FACTOR", default_value_t = 1.0)]
    speed: f64,
    /// First wait up to so many seconds until a program has opened the port and read the greeting
    #[arg(long, value_name = "SECONDS", default_value_t = 0)]
    wait_for_reader: u32,
    /// Stay plugged in afterwards and read what is typed; at the end of the input, stay until stopped
    #[arg(long)]
    stay: bool,
}

/// What was asked for, checked.
#[derive(Debug)]
pub(crate) struct Plan {
    pub(crate) link: PathBuf,
    pub(crate) wrench: Wrench,
    pub(crate) work: Work,
    pub(crate) speed: Speed,
    pub(crate) wait_for_reader: Duration,
    pub(crate) stay: bool,
}

/// Who pulls.
#[derive(Debug)]
pub(crate) enum Work {
    Typed,
    Script(Script),
    Random { person: Person, pause_ms: u64 },
}

/// What is wrong with the command line.
#[derive(Debug, Error)]
pub(crate) enum ArgumentError {
    #[error("--unit: {0}")]
    Unit(#[from] UnknownUnit),
    #[error("--resolution: {0}")]
    Resolution(#[from] DisplayError),
    #[error(transparent)]
    Wrench(#[from] WrenchError),
    #[error(transparent)]
    Script(#[from] ScriptError),
    #[error("--random: {0}")]
    Person(#[from] PersonError),
}

impl Arguments {
    pub(crate) fn checked(self) -> Result<Plan, ArgumentError> {
        let unit: Unit = self.unit.parse()?;
        let resolution: Resolution = self.resolution.parse()?;
        let wrench = Wrench::new(self.serial.clone())?
            .with_unit(unit)
            .with_resolution(resolution)
            .with_range(self.range)?
            .with_counter(self.counter);
        Ok(Plan {
            wrench,
            work: self.work()?,
            speed: Speed::new(self.speed)?,
            wait_for_reader: Duration::from_secs(self.wait_for_reader.into()),
            stay: self.stay,
            link: self.link,
        })
    }

    fn work(&self) -> Result<Work, ArgumentError> {
        if let Some(path) = &self.script {
            return Ok(Work::Script(Script::read(path)?));
        }
        if !self.random {
            return Ok(Work::Typed);
        }
        let habits = Habits {
            targets_newton_metre: self.targets.clone(),
            relative_sigma: self.sigma,
            repeat_click: self.repeat,
        };
        Ok(Work::Random {
            person: Person::new(habits, self.seed)?,
            pause_ms: self.pause,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        Arguments::command().debug_assert();
    }
}
