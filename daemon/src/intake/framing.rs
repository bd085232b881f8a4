//! Cuts a stream of bytes into lines. Reads may split a line anywhere or hold several; a line that does not end is
//! dropped at a limit, so that no tool can fill the memory.

use pullmark_schema::profile::FrameSettings;

/// A piece of the stream.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Frame {
    /// A line without its terminator.
    Line(Vec<u8>),
    /// The first line after the port was opened, whose beginning may be missing.
    CutOff(Vec<u8>),
    /// The beginning of a line that was longer than a line of this tool can be; the rest of it was dropped.
    TooLong(Vec<u8>),
}

/// Cuts one port's stream.
#[derive(Debug)]
pub struct Framer {
    terminator: Vec<u8>,
    longest: usize,
    line: Vec<u8>,
    /// The line under way may have begun before the port was opened.
    begin_unsure: bool,
    /// The line under way is too long; what follows is dropped up to its end.
    dropping: bool,
}

impl Framer {
    /// For a port that was just opened.
    pub fn new(settings: &FrameSettings) -> Self {
        let terminator = settings.terminator.as_bytes().to_vec();
        Self {
            terminator: if terminator.is_empty() {
                b"\n".to_vec()
            } else {
                terminator
            },
            longest: settings.longest.clamp(1, 4096),
            line: Vec::new(),
            begin_unsure: settings.distrust_first,
            dropping: false,
        }
    }

    /// Takes in bytes. If the line was silent before the first of them and nothing is under way, they begin a line.
    pub fn feed(&mut self, bytes: &[u8], after_silence: bool, mut out: impl FnMut(Frame)) {
        if after_silence && self.line.is_empty() {
            self.begin_unsure = false;
        }
        for &byte in bytes {
            self.line.push(byte);
            if self.line.ends_with(&self.terminator) {
                self.end_line(&mut out);
            } else if self.line.len() > self.longest + self.terminator.len() {
                self.cut_long_line(&mut out);
            }
        }
    }

    fn end_line(&mut self, out: &mut impl FnMut(Frame)) {
        self.line.truncate(self.line.len() - self.terminator.len());
        let line = std::mem::take(&mut self.line);
        let unsure = std::mem::take(&mut self.begin_unsure);
        if std::mem::take(&mut self.dropping) {
            return;
        }
        out(match unsure {
            _ if line.len() > self.longest => Frame::TooLong(line),
            true => Frame::CutOff(line),
            false => Frame::Line(line),
        });
    }

    /// Gives out the beginning once; keeps the last bytes, in which the terminator may have begun.
    fn cut_long_line(&mut self, out: &mut impl FnMut(Frame)) {
        let keep = self.line.len() - (self.terminator.len() - 1).min(self.line.len());
        let tail = self.line.split_off(keep);
        let head = std::mem::replace(&mut self.line, tail);
        if !std::mem::replace(&mut self.dropping, true) {
            out(Frame::TooLong(head));
        }
    }

    /// The beginning of a line that never ended, for when the port goes.
    pub fn partial(&mut self) -> Option<Vec<u8>> {
        let line = std::mem::take(&mut self.line);
        (!line.is_empty()).then_some(line)
    }
}
