//! An instrument that sends lines by itself: a calliper or a gauge at the press of a button, a scale all the time.

use crate::pty::{Pty, PtyError};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

/// An instrument on a serial port.
#[derive(Debug)]
pub struct Speaker {
    port: Pty,
    measured: Vec<String>,
}

impl Speaker {
    /// Plugs it in at a link.
    pub fn plug(link: impl Into<PathBuf>) -> Result<Self, PtyError> {
        Ok(Self {
            port: Pty::open(link)?,
            measured: Vec::new(),
        })
    }

    /// What a tool's connection names as its port.
    pub fn port(&self) -> &Path {
        self.port.link()
    }

    /// Somebody measures: one line, with its end.
    pub fn measure(&mut self, line: &str) -> Result<(), PtyError> {
        self.measured.push(line.trim().to_owned());
        self.port.write(line.as_bytes())
    }

    /// A line that is no reading: a sample, rubbish, or a piece of a line.
    pub fn say(&self, line: &str) -> Result<(), PtyError> {
        self.port.write(line.as_bytes())
    }

    /// A scale is loaded: a few values that have not settled, then the weight at rest so many times, and empty again.
    pub fn weigh(
        &mut self,
        kilograms: &str,
        samples: u32,
        every: Duration,
    ) -> Result<(), PtyError> {
        self.measured.push(kilograms.to_owned());
        for line in ["U 1.2 kg\r\n", "U 40.1 kg\r\n"] {
            self.say(line)?;
            thread::sleep(every);
        }
        for _ in 0..samples {
            self.say(&format!("S {kilograms} kg\r\n"))?;
            thread::sleep(every);
        }
        for _ in 0..3 {
            self.say("S 0.000 kg\r\n")?;
            thread::sleep(every);
        }
        Ok(())
    }

    /// Every line that was measured.
    pub fn tally(&self) -> &[String] {
        &self.measured
    }

    /// Waits until everything is read, and pulls the plug.
    pub fn unplug(&mut self) -> Result<(), PtyError> {
        self.port.drained(Duration::from_secs(2))?;
        self.port.unplug()
    }

    /// Plugs it in again.
    pub fn replug(&mut self) -> Result<(), PtyError> {
        self.port.replug()
    }

    /// Waits until everything is read.
    pub fn drained(&self, wait: Duration) -> Result<bool, PtyError> {
        self.port.drained(wait)
    }
}
