//! A wrench joined to a port: what a person does with it becomes bytes that another program reads.
//!
//! [`wrench`] makes the bytes, [`crate::pty`] carries them. Here the two meet, and here the bytes can be spoilt the way a
//! poor cable spoils them. Pulling while unplugged is allowed: the counter of the tool goes on and nothing arrives.

pub mod display;
pub mod gauge;
pub mod line;
pub mod unit;
pub mod wrench;

use std::path::PathBuf;
use std::thread;
use std::time::Duration;

use thiserror::Error;

use crate::pty::{Pty, PtyError};
use crate::random::Random;
use display::DisplayText;
use wrench::{Wrench, WrenchError, halves};

/// How long [`PluggedWrench::unplug`] waits for the program to read what is still in the port.
pub const DRAIN_WAIT: Duration = Duration::from_secs(2);

/// What can go wrong when a tool is used.
#[derive(Debug, Error)]
pub enum ToolError {
    /// The port.
    #[error(transparent)]
    Port(#[from] PtyError),
    /// The wrench.
    #[error(transparent)]
    Wrench(#[from] WrenchError),
}

/// What the tool sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sent {
    /// The bytes.
    pub bytes: Vec<u8>,
    /// Whether there was a port to send them to. If not, they are lost for good.
    pub plugged: bool,
}

/// A wrench on a port.
#[derive(Debug)]
pub struct PluggedWrench {
    /// The tool. Change its unit or battery here.
    pub wrench: Wrench,
    port: Pty,
}

impl PluggedWrench {
    /// Makes a port at `link`, plugs the wrench in and sends its greeting. The folder of the link must exist.
    pub fn plug(wrench: Wrench, link: impl Into<PathBuf>) -> Result<Self, ToolError> {
        let port = Pty::open(link)?;
        port.write(&wrench.frame_ready())?;
        Ok(Self { wrench, port })
    }

    /// The port.
    pub fn port(&self) -> &Pty {
        &self.port
    }

    /// A pull, in N·m.
    pub fn pull(&mut self, torque_newton_metre: f64) -> Result<Sent, ToolError> {
        let line = self.wrench.frame_pull(torque_newton_metre);
        self.send(line)
    }

    /// A pull of which the display shows just this text.
    pub fn pull_text(&mut self, text: &DisplayText) -> Result<Sent, ToolError> {
        let line = self.wrench.frame_text(text);
        self.send(line)
    }

    /// A pull over the range of the tool.
    pub fn over_range(&mut self) -> Result<Sent, ToolError> {
        let line = self.wrench.frame_over_range();
        self.send(line)
    }

    /// The last pull once more, with the same counter.
    pub fn resend_last(&mut self) -> Result<Sent, ToolError> {
        let line = self.wrench.frame_again()?;
        self.send(line)
    }

    /// Random bytes, of all values, without an end of line. What follows is glued to them.
    pub fn garbage(&mut self, count: usize, seed: u64) -> Result<Sent, ToolError> {
        self.send(Random::from_seed(seed).bytes(count))
    }

    /// A pull whose line breaks off in the middle. What follows is glued to it.
    pub fn half_line(&mut self) -> Result<Sent, ToolError> {
        let half = self.wrench.frame_half();
        self.send(half)
    }

    /// A pull whose line has a wrong checksum.
    pub fn noise_line(&mut self) -> Result<Sent, ToolError> {
        let line = self.wrench.frame_noise();
        self.send(line)
    }

    /// A pull whose line comes in two writes with a pause between them. The line is whole and right.
    pub fn split_pull(
        &mut self,
        torque_newton_metre: f64,
        pause: Duration,
    ) -> Result<Sent, ToolError> {
        let line = self.wrench.frame_pull(torque_newton_metre);
        self.send_split(line, pause)
    }

    /// The same with the text of the display.
    pub fn split_text(&mut self, text: &DisplayText, pause: Duration) -> Result<Sent, ToolError> {
        let line = self.wrench.frame_text(text);
        self.send_split(line, pause)
    }

    /// Several pulls in one write, in N·m.
    pub fn burst(&mut self, torques_newton_metre: &[f64]) -> Result<Sent, ToolError> {
        let frame = |&torque: &f64| self.wrench.frame_pull(torque);
        let lines = torques_newton_metre.iter().flat_map(frame).collect();
        self.send(lines)
    }

    /// The same with the texts of the display.
    pub fn burst_text(&mut self, texts: &[DisplayText]) -> Result<Sent, ToolError> {
        let frame = |text: &DisplayText| self.wrench.frame_text(text);
        let lines = texts.iter().flat_map(frame).collect();
        self.send(lines)
    }

    /// Waits until the program has read everything, at most `wait`. True without a port: nothing waits there.
    pub fn drained(&self, wait: Duration) -> Result<bool, ToolError> {
        Ok(!self.port.is_plugged() || self.port.drained(wait)?)
    }

    /// Lets the program read what is in the port, at most [`DRAIN_WAIT`], and pulls the plug. False if something was not
    /// read even then, and is lost.
    pub fn unplug(&mut self) -> Result<bool, ToolError> {
        let drained = self.drained(DRAIN_WAIT)?;
        self.port.unplug()?;
        Ok(drained)
    }

    /// Pulls the plug at once. What the program has not read is lost.
    pub fn unplug_now(&mut self) -> Result<(), ToolError> {
        Ok(self.port.unplug()?)
    }

    /// Plugs the tool in again under the same link. It greets anew, and its counter goes on.
    pub fn replug(&mut self) -> Result<Sent, ToolError> {
        self.port.replug()?;
        self.send(self.wrench.frame_ready())
    }

    fn send(&self, bytes: Vec<u8>) -> Result<Sent, ToolError> {
        let plugged = self.port.is_plugged();
        if plugged {
            self.port.write(&bytes)?;
        }
        Ok(Sent { bytes, plugged })
    }

    fn send_split(&self, line: Vec<u8>, pause: Duration) -> Result<Sent, ToolError> {
        let plugged = self.port.is_plugged();
        if plugged {
            let (first, second) = halves(&line);
            self.port.write(first)?;
            thread::sleep(pause);
            self.port.write(second)?;
        }
        let bytes = line;
        Ok(Sent { bytes, plugged })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use line::{Line, Shown};

    #[test]
    fn a_pull_without_a_plug_counts_and_does_not_arrive() {
        let folder = tempfile::tempdir().unwrap();
        let wrench = Wrench::new("W-1").unwrap();
        let mut wrench = PluggedWrench::plug(wrench, folder.path().join("w")).unwrap();
        assert!(wrench.pull(5.0).unwrap().plugged);
        wrench.unplug_now().unwrap();
        assert!(!wrench.pull(5.0).unwrap().plugged);
        assert!(
            !wrench
                .split_pull(5.0, Duration::from_mins(1))
                .unwrap()
                .plugged
        );
        assert!(wrench.drained(Duration::ZERO).unwrap());
        assert!(wrench.unplug().is_err());
        assert_eq!(wrench.replug().unwrap().bytes, b"#READY W-1\r\n");
        let sent = wrench.pull(5.0).unwrap();
        let Line::Pull(pull) = Line::parse(&sent.bytes).unwrap() else {
            panic!("a pull was sent");
        };
        assert_eq!(pull.counter, 4);
        assert_eq!(pull.value, Shown::Value("5.00".parse().unwrap()));
    }

    #[test]
    fn garbage_is_fixed_by_its_seed() {
        let folder = tempfile::tempdir().unwrap();
        let wrench = Wrench::new("W-1").unwrap();
        let mut wrench = PluggedWrench::plug(wrench, folder.path().join("w")).unwrap();
        let first = wrench.garbage(40, 1).unwrap();
        assert_eq!(first.bytes.len(), 40);
        assert_eq!(wrench.garbage(40, 1).unwrap(), first);
        assert_ne!(wrench.garbage(40, 2).unwrap(), first);
        assert_eq!(wrench.wrench.counter(), 0);
    }
}
