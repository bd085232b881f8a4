//! What may reach a terminal.

use std::borrow::Cow;

/// What [`Ink`](super::Ink) writes, and nothing else that begins with an escape, reaches the terminal.
const INKS: [&str; 7] = [
    "\u{1b}[0m",
    "\u{1b}[1m",
    "\u{1b}[2m",
    "\u{1b}[36m",
    "\u{1b}[33m",
    "\u{1b}[1;97;41m",
    "\u{1b}[35m",
];

/// The text as one line; nothing but our own inks begins with an escape.
pub(super) fn shown(text: &str) -> Cow<'_, str> {
    pullmark_schema::shown::shown(text, &INKS)
}

#[cfg(test)]
mod tests {
    use super::super::Ink;
    use super::*;

    #[test]
    fn every_ink_passes_and_no_other() {
        let inks = [
            Ink::strong,
            Ink::faint,
            Ink::good,
            Ink::low,
            Ink::alarm,
            Ink::ask,
        ];
        for ink in inks {
            let text = ink(Ink(true), "within");
            assert!(text.starts_with('\u{1b}'));
            assert_eq!(shown(&text), text);
        }
        assert_eq!(shown("\u{1b}[8mhidden"), r"\u{1b}[8mhidden");
    }
}
