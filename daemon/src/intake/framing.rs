//! Cuts a stream of bytes into lines. Reads may split a line anywhere or hold several; a line that does not end is
//! dropped at a limit, so that no tool can fill the memory.
//!
//! A line that lies whole in what was read is given out where it lies; only the pieces of a split one are copied.

use memchr::memchr_iter;
use pullmark_schema::profile::FrameSettings;

/// The longest line that any profile may ask for.
pub(super) const LONGEST: usize = 4096;

/// A piece of the stream.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Frame<'a> {
    /// A line without its terminator.
    Line(&'a [u8]),
    /// A line whose beginning may be missing: the first after the port was opened.
    CutOff(&'a [u8]),
    /// The beginning of a line that was longer than a line of this tool can be; the rest of it is dropped.
    TooLong(&'a [u8]),
}

/// Cuts one port's stream.
#[expect(
    clippy::struct_excessive_bools,
    reason = "they are independent of one another"
)]
#[derive(Debug)]
pub struct Framer {
    terminator: Vec<u8>,
    start: Vec<u8>,
    /// A silence ends a line, and no terminator does.
    by_silence: bool,
    longest: usize,
    /// The pieces of the line under way; of one that is dropped only the last bytes, in which the terminator may begin.
    held: Vec<u8>,
    /// The line under way may have begun before the port was opened.
    begin_unsure: bool,
    /// What came before was no line, and the line under way may be the other half of it. No silence proves it whole.
    is_doubted: bool,
    /// The line under way is too long; what follows is dropped up to its end.
    dropping: bool,
}

impl Framer {
    /// For a port that was just opened.
    pub fn new(settings: &FrameSettings) -> Self {
        let mut terminator = settings.terminator.as_bytes().to_vec();
        if terminator.is_empty() {
            terminator.push(b'\n');
        }
        Self {
            terminator,
            start: settings.start.clone().unwrap_or_default().into_bytes(),
            by_silence: settings.silence_ms.is_some(),
            longest: settings.longest.clamp(1, LONGEST),
            held: Vec::new(),
            begin_unsure: settings.distrust_first,
            is_doubted: false,
            dropping: false,
        }
    }

    /// Takes in bytes. If the line was silent before the first of them and nothing is under way, they begin a line.
    pub fn feed(&mut self, bytes: &[u8], after_silence: bool, mut out: impl FnMut(Frame<'_>)) {
        if after_silence && self.held.is_empty() && !self.dropping {
            self.begin_unsure = false;
        }
        let mut rest = bytes;
        while let Some((line, after)) = self.split(rest) {
            rest = after;
            self.end_line(line, &mut out);
        }
        self.hold(rest, &mut out);
    }

    /// The line was silent: where that ends a line, one ends.
    pub fn quiet(&mut self, mut out: impl FnMut(Frame<'_>)) {
        if !self.by_silence || self.held.is_empty() && !self.dropping {
            return;
        }
        let held = std::mem::take(&mut self.held);
        let was_dropped = std::mem::take(&mut self.dropping);
        self.is_doubted |= was_dropped;
        if !was_dropped {
            self.give(&held, &mut out);
        }
    }

    /// The next line is not to be trusted: what came before it was no line, and it may be the other half of it.
    pub const fn distrust(&mut self) {
        self.is_doubted = true;
    }

    /// Up to and with the next terminator, and what follows it.
    fn split<'b>(&self, bytes: &'b [u8]) -> Option<(&'b [u8], &'b [u8])> {
        if self.by_silence {
            return None;
        }
        let last = *self.terminator.last()?;
        memchr_iter(last, bytes)
            .map(|at| bytes.split_at(at + 1))
            .find(|(line, _)| self.ends(line))
    }

    /// Whether the line under way ends with this piece of it.
    fn ends(&self, piece: &[u8]) -> bool {
        let Some(before) = self.terminator.len().checked_sub(piece.len()) else {
            return piece.ends_with(&self.terminator);
        };
        let (first, second) = self.terminator.split_at(before);
        self.held.ends_with(first) && piece.ends_with(second)
    }

    fn end_line(&mut self, piece: &[u8], out: &mut impl FnMut(Frame<'_>)) {
        if std::mem::take(&mut self.dropping) {
            self.held.clear();
            self.begin_unsure = false;
            return;
        }
        if self.held.is_empty() {
            let end = piece.len().saturating_sub(self.terminator.len());
            self.give(piece.get(..end).unwrap_or_default(), out);
            return;
        }
        let mut line = std::mem::take(&mut self.held);
        line.extend_from_slice(piece);
        line.truncate(line.len().saturating_sub(self.terminator.len()));
        self.give(&line, out);
        // The room is kept for the next.
        line.clear();
        line.shrink_to(LONGEST);
        self.held = line;
    }

    fn give(&mut self, line: &[u8], out: &mut impl FnMut(Frame<'_>)) {
        let mut unsure =
            std::mem::take(&mut self.begin_unsure) | std::mem::take(&mut self.is_doubted);
        let mut line = line;
        if line.len() > self.longest {
            out(Frame::TooLong(line.get(..self.longest).unwrap_or_default()));
            return;
        }
        if !self.start.is_empty() {
            match memchr::memmem::rfind(line, &self.start) {
                Some(at) => {
                    line = line.get(at + self.start.len()..).unwrap_or_default();
                    unsure = false;
                }
                None => unsure = true,
            }
        }
        out(if unsure {
            Frame::CutOff(line)
        } else {
            Frame::Line(line)
        });
    }

    /// Keeps the beginning of a line; of one that is too long it gives out the beginning once, and keeps the last bytes.
    fn hold(&mut self, bytes: &[u8], out: &mut impl FnMut(Frame<'_>)) {
        let most = self.longest + self.terminator.len() - 1;
        if !self.dropping && self.held.len() + bytes.len() > most {
            let room = most.saturating_sub(self.held.len());
            self.held
                .extend_from_slice(bytes.get(..room).unwrap_or(bytes));
            out(Frame::TooLong(
                self.held.get(..self.longest).unwrap_or_default(),
            ));
            self.dropping = true;
            self.begin_unsure = false;
            let rest = bytes.get(room..).unwrap_or_default();
            self.hold(rest, out);
            return;
        }
        self.held.extend_from_slice(bytes);
        if self.dropping {
            let excess = self.held.len().saturating_sub(self.terminator.len() - 1);
            self.held.drain(..excess);
        }
    }

    /// The beginning of a line that never ended, for when the port goes.
    pub fn partial(&mut self) -> Option<Vec<u8>> {
        let line = std::mem::take(&mut self.held);
        let was_dropped = std::mem::take(&mut self.dropping);
        (!line.is_empty() && !was_dropped).then_some(line)
    }
}
