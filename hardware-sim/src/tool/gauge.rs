//! A simulated gauge: a calliper, a pressure gauge, a tensiometer or a scale that sends what its display shows.
//!
//! ```text
//! $MEAS,<counter>,<value>,<unit>[,<flags>]*<hh>\r\n     one value
//! #READY <serial>\r\n                                    after power-on
//! ```
//!
//! The value is text, as the display shows it: what the gauge is set to, and whether that is what it says, is up to whoever
//! holds it. The whole format is in `LINE-FORMAT.md`.

use std::path::PathBuf;

use crate::pty::{Pty, PtyError};

/// A gauge on a port.
#[derive(Debug)]
pub struct PluggedGauge {
    serial: String,
    counter: u64,
    port: Pty,
}

impl PluggedGauge {
    /// Makes a port at `link`, plugs the gauge in and sends its greeting. The folder of the link must exist.
    pub fn plug(serial: &str, link: impl Into<PathBuf>) -> Result<Self, PtyError> {
        let port = Pty::open(link)?;
        let gauge = Self {
            serial: serial.to_owned(),
            counter: 0,
            port,
        };
        gauge.greet()?;
        Ok(gauge)
    }

    fn greet(&self) -> Result<(), PtyError> {
        let line = format!("#READY {}\r\n", self.serial);
        self.port.write(line.as_bytes())
    }

    /// The port.
    pub fn port(&self) -> &Pty {
        &self.port
    }

    /// Sends a value with its unit; an empty unit is a line that states none.
    pub fn show(&mut self, value: &str, unit: &str) -> Result<Vec<u8>, PtyError> {
        self.show_flagged(value, unit, "")
    }

    /// The same with flags.
    pub fn show_flagged(
        &mut self,
        value: &str,
        unit: &str,
        flags: &str,
    ) -> Result<Vec<u8>, PtyError> {
        self.counter += 1;
        let line = line(self.counter, value, unit, flags);
        self.send(&line)?;
        Ok(line)
    }

    /// Sends the last value again, with the same count.
    pub fn show_again(&mut self, value: &str, unit: &str) -> Result<Vec<u8>, PtyError> {
        let line = line(self.counter, value, unit, "RP");
        self.send(&line)?;
        Ok(line)
    }

    fn send(&self, line: &[u8]) -> Result<(), PtyError> {
        if self.port.is_plugged() {
            self.port.write(line)?;
        }
        Ok(())
    }

    /// Plugs the gauge in again under the same link. It greets anew, and its counter goes on.
    pub fn replug(&mut self) -> Result<(), PtyError> {
        self.port.replug()?;
        self.greet()
    }
}

/// One line of the gauge.
pub fn line(counter: u64, value: &str, unit: &str, flags: &str) -> Vec<u8> {
    let flags = if flags.is_empty() {
        String::new()
    } else {
        format!(",{flags}")
    };
    let body = format!("MEAS,{counter},{value},{unit}{flags}");
    let sum = body.bytes().fold(0_u8, |sum, byte| sum ^ byte);
    format!("${body}*{sum:02X}\r\n").into_bytes()
}

#[cfg(test)]
mod tests {
    use super::line;

    /// The sum, made by hand: the XOR of the bytes between `$` and `*`.
    #[test]
    fn a_line_ends_with_the_xor_of_its_bytes() {
        assert_eq!(line(7, "82.31", "mm", ""), b"$MEAS,7,82.31,mm*27\r\n");
        assert_eq!(line(8, "OL", "bar", "LB"), b"$MEAS,8,OL,bar,LB*5E\r\n");
    }
}
