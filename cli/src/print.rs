//! What people read at a prompt. Every state is told by a shape and a word; colour comes on top where it is a terminal.

mod budget;
mod build;
mod checks;
mod due;
mod entry;
mod figure;
mod life;
mod people;
mod plan;
mod recall;
mod record;
mod setting;
mod shown;
mod stats;
mod tool;
mod why;

pub(crate) use budget::budget;
pub(crate) use build::{bench, build_view, doubts};
pub(crate) use due::due;
pub(crate) use entry::{LATER, Titles, entry_line};
pub(crate) use figure::{show_as, torque};
pub(crate) use life::{difference, history, parts};
pub(crate) use people::{devices, pairing, people};
pub(crate) use plan::plan;
pub(crate) use recall::affected;
pub(crate) use record::{not_valid, valid};
pub(crate) use stats::stats;
pub(crate) use tool::tool;
pub(crate) use why::why;

use pullmark_schema::plan::Limits;
use pullmark_schema::quantity::Torque;
use serde::Serialize;
use std::io::{IsTerminal as _, Write as _};

const STRONG: &str = "\u{1b}[1m";
const FAINT: &str = "\u{1b}[2m";
const GOOD: &str = "\u{1b}[36m";
const LOW: &str = "\u{1b}[33m";
const ALARM: &str = "\u{1b}[1;97;41m";
const ASK: &str = "\u{1b}[35m";
const END: &str = "\u{1b}[0m";

/// Everything that [`Ink`] writes beside the text.
const INKS: [&str; 7] = [STRONG, FAINT, GOOD, LOW, ALARM, ASK, END];

/// Colours, where there are any.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Ink(bool);

impl Ink {
    /// For standard output: colours on a terminal, unless `NO_COLOR` is set.
    pub(crate) fn for_output() -> Self {
        Self(std::io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none())
    }

    /// Plain words, whatever they are shown on.
    pub(crate) const fn none() -> Self {
        Self(false)
    }

    fn with(self, begin: &str, text: &str) -> String {
        if self.0 {
            format!("{begin}{text}{END}")
        } else {
            text.to_owned()
        }
    }

    pub(crate) fn strong(self, text: &str) -> String {
        self.with(STRONG, text)
    }

    pub(crate) fn faint(self, text: &str) -> String {
        self.with(FAINT, text)
    }

    pub(crate) fn good(self, text: &str) -> String {
        self.with(GOOD, text)
    }

    pub(crate) fn low(self, text: &str) -> String {
        self.with(LOW, text)
    }

    pub(crate) fn alarm(self, text: &str) -> String {
        self.with(ALARM, text)
    }

    pub(crate) fn ask(self, text: &str) -> String {
        self.with(ASK, text)
    }
}

/// Writes one line; a reader that went away is no error. What would do harm on a terminal is written out.
pub(crate) fn line(text: &str) {
    let _ = writeln!(std::io::stdout(), "{}", shown::shown(text));
}

/// Writes one line to where errors go; the same holds for it.
pub(crate) fn error(text: &str) {
    let _ = writeln!(std::io::stderr(), "{}", shown::shown(text));
}

/// The same for a text of several lines.
pub(crate) fn shown_lines(text: &str) -> String {
    let lines: Vec<_> = text.split('\n').map(shown::shown).collect();
    lines.join("\n")
}

/// Writes a text that has its own ends of lines; a reader that went away is no error.
pub(crate) fn whole(text: &str) {
    let mut out = std::io::stdout();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Writes a value as JSON.
pub(crate) fn json<T: Serialize>(value: &T) {
    whole(&(serde_json::to_string_pretty(value).unwrap_or_default() + "\n"));
}

/// How many cells a band has inside its limits.
const BAND: i64 = 13;

/// A picture of a torque against its limits: the mark lies inside the band, left of it, or right of it.
pub(crate) fn band(limits: &Limits, applied: Option<Torque>) -> String {
    let upper = limits.upper.small_units();
    let lower = limits.lower.map_or(0, Torque::small_units);
    let inside = |at: Option<i64>| -> String {
        (0..BAND)
            .map(|cell| if at == Some(cell) { '◆' } else { '─' })
            .collect()
    };
    let open = if limits.lower.is_some() { '┠' } else { '┄' };
    match applied.map(Torque::small_units) {
        Some(torque) if torque < lower => format!("◆{open}{}┨ ", inside(None)),
        Some(torque) if torque <= upper => {
            let width = (upper - lower).max(1);
            let cell = (torque - lower).saturating_mul(BAND - 1) / width;
            format!(" {open}{}┨ ", inside(Some(cell.clamp(0, BAND - 1))))
        }
        _ => format!(" {open}{}┨◆", inside(None)),
    }
}

/// Limits in words.
pub(crate) fn limits(limits: &Limits) -> String {
    match limits.lower {
        Some(lower) => format!("{} to {}", figure::number(lower), torque(limits.upper)),
        None => format!("at most {}", torque(limits.upper)),
    }
}

/// A text padded to a width in characters, cut where it is longer.
pub(crate) fn padded(text: &str, width: usize) -> String {
    let count = text.chars().count();
    if count > width {
        let mut cut: String = text.chars().take(width.saturating_sub(1)).collect();
        cut.push('…');
        return cut;
    }
    format!("{text}{}", " ".repeat(width - count))
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn torque(small: i64) -> Torque {
        Torque::from_small_units(small)
    }

    #[test]
    fn the_band_tells_the_state_by_its_shape() {
        let spec = Limits {
            lower: Some(torque(4_500)),
            target: None,
            upper: torque(5_500),
        };
        assert_eq!(band(&spec, Some(torque(4_400))), "◆┠─────────────┨ ");
        assert_eq!(band(&spec, Some(torque(4_500))), " ┠◆────────────┨ ");
        assert_eq!(band(&spec, Some(torque(5_000))), " ┠──────◆──────┨ ");
        assert_eq!(band(&spec, Some(torque(5_500))), " ┠────────────◆┨ ");
        assert_eq!(band(&spec, Some(torque(5_501))), " ┠─────────────┨◆");
        assert_eq!(
            band(&spec, None),
            " ┠─────────────┨◆",
            "past the tool's range"
        );
    }

    #[test]
    fn a_cut_text_says_that_it_is_cut() {
        assert_eq!(padded("Seat clamp", 12), "Seat clamp  ");
        assert_eq!(padded("Seat clamp bolt", 10), "Seat clam…");
    }
}
