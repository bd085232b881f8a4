//! Cuts what came with each reading into lines, by the terminator that all of it has in common.

use super::{Example, NotDetermined};
use crate::intake::dialect::to_text;

/// What may end a line, the longest first.
const TERMINATORS: [&str; 5] = ["\r\n", "\n\r", "\n", "\r", "\u{3}"];
/// A pause that ends a line where nothing else does, in µs.
const SILENCE: u64 = 30_000;

/// The lines of each reading.
#[derive(Debug)]
pub(super) struct Frames {
    pub(super) terminator: &'static [u8],
    pub(super) terminator_text: &'static str,
    /// STX begins each line.
    pub(super) has_start: bool,
    /// Only a silence ends a line.
    pub(super) silence: bool,
    /// By reading.
    pub(super) lines: Vec<Vec<Line>>,
}

/// A line as bytes and as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) raw: Vec<u8>,
    pub(super) text: String,
}

impl Frames {
    /// What came with a reading, for a person.
    pub(super) fn of(&self, reading: usize) -> String {
        let lines = self.lines.get(reading).into_iter().flatten();
        let shown: Vec<String> = lines
            .take(5)
            .map(|line| format!("\"{}\"", line.raw.escape_ascii()))
            .collect();
        shown.join(", ")
    }
}

pub(super) fn frames(examples: &[Example]) -> Result<Frames, NotDetermined> {
    let joined: Vec<Vec<u8>> = examples
        .iter()
        .map(|example| {
            example
                .bytes
                .iter()
                .flat_map(|(_, bytes)| bytes.clone())
                .collect()
        })
        .collect();
    for (reading, bytes) in (1..).zip(&joined) {
        if bytes.trim_ascii().is_empty() {
            return Err(NotDetermined::NothingCame { reading });
        }
    }
    let terminator = TERMINATORS.into_iter().find(|terminator| {
        joined
            .iter()
            .all(|bytes| bytes.ends_with(terminator.as_bytes()))
    });
    let text = terminator.unwrap_or_default();
    let mut frames = Frames {
        terminator: text.as_bytes(),
        terminator_text: text,
        has_start: false,
        silence: terminator.is_none(),
        lines: Vec::new(),
    };
    let mut cut: Vec<Vec<Vec<u8>>> = match terminator {
        Some(terminator) => joined
            .iter()
            .map(|bytes| split(bytes, terminator.as_bytes()))
            .collect(),
        None => examples.iter().map(by_silence).collect(),
    };
    let mut all = cut.iter().flatten().filter(|raw| !raw.is_empty());
    if all.all(|raw| raw.first() == Some(&2)) {
        frames.has_start = true;
        cut.iter_mut().flatten().for_each(|raw| {
            if !raw.is_empty() {
                raw.remove(0);
            }
        });
    }
    for raw in cut.iter().flatten() {
        let is_text = raw.len() <= 120
            && raw
                .iter()
                .all(|byte| *byte >= 0x20 && *byte != 0x7F || *byte == b'\t');
        if !is_text {
            return Err(NotDetermined::NoText {
                bytes: hex::encode(raw.get(..16).unwrap_or(raw)),
            });
        }
    }
    let line = |raw: Vec<u8>| Line {
        text: to_text(&raw).into_owned(),
        raw,
    };
    frames.lines = cut
        .into_iter()
        .map(|lines| {
            lines
                .into_iter()
                .filter(|raw| !raw.trim_ascii().is_empty())
                .map(line)
                .collect()
        })
        .collect();
    Ok(frames)
}

fn split(bytes: &[u8], terminator: &[u8]) -> Vec<Vec<u8>> {
    let mut lines = Vec::new();
    let mut rest = bytes;
    while let Some(at) = memchr::memmem::find(rest, terminator) {
        lines.push(rest.get(..at).unwrap_or_default().to_vec());
        rest = rest.get(at + terminator.len()..).unwrap_or_default();
    }
    lines
}

fn by_silence(example: &Example) -> Vec<Vec<u8>> {
    let mut lines: Vec<Vec<u8>> = Vec::new();
    let mut last = None;
    for (at, bytes) in &example.bytes {
        let is_new = last.is_none_or(|last| at.saturating_sub(last) >= SILENCE);
        last = Some(*at);
        match lines.last_mut() {
            Some(line) if !is_new => line.extend_from_slice(bytes),
            _ => lines.push(bytes.clone()),
        }
    }
    lines
}
