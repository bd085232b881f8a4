//! What may reach a terminal.

use super::INKS;
use std::borrow::Cow;

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
