//! From bytes to readings: [`framing`] cuts a stream into lines, [`dialect`] reads a line by a profile that is data.
//!
//! Nothing here fails and nothing here does IO: rubbish comes out as rubbish, with its bytes, and is kept like
//! everything else.

pub mod dialect;
pub mod framing;
pub mod profiles;

use dialect::{Dialect, Line};
use framing::{Frame, Framer};

/// What came out of a stream of bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Received {
    /// The bytes of the line, without its terminator.
    pub raw: Vec<u8>,
    /// What they say.
    pub line: Line,
}

/// A port's bytes on their way to readings.
#[derive(Debug)]
pub struct Intake {
    framer: Framer,
    dialect: Dialect,
}

impl Intake {
    /// A fresh intake for a port that was just opened.
    pub fn new(dialect: Dialect) -> Self {
        let framer = Framer::new(&dialect.profile().frame);
        Self { framer, dialect }
    }

    /// Takes in bytes; `after_silence` says that the line was quiet before them.
    pub fn feed(&mut self, bytes: &[u8], after_silence: bool, mut out: impl FnMut(Received)) {
        let dialect = &self.dialect;
        self.framer.feed(bytes, after_silence, |frame| {
            let (raw, line) = match frame {
                Frame::Line(raw) => {
                    let line = dialect.read(&raw);
                    (raw, line)
                }
                Frame::CutOff(raw) => {
                    let line = dialect.read_cut_off(&raw);
                    (raw, line)
                }
                Frame::TooLong(raw) => (
                    raw,
                    Line::Unreadable(pullmark_schema::entry::Unreadable::TooLong),
                ),
            };
            if line != Line::Nothing {
                out(Received { raw, line });
            }
        });
    }

    /// The beginning of a line that never ended.
    pub fn partial(&mut self) -> Option<Vec<u8>> {
        self.framer.partial()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
