//! Texts from outside, made harmless for a terminal: a label may have come with a stranger's record.

use std::borrow::Cow;

/// Moves the cursor, clears the screen, begins a line that looks like ours, or turns the order of what follows.
fn is_harmful(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The text as one line, with such characters written out (`\u{1b}`, `\n`). `inks` are the escape sequences that pass: those of
/// whoever prints.
///
/// ```
/// assert_eq!(pullmark_schema::shown::shown("ferry\u{1b}[2J", &[]), r"ferry\u{1b}[2J");
/// ```
pub fn shown<'a>(text: &'a str, inks: &[&str]) -> Cow<'a, str> {
    if !text.contains(is_harmful) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some(letter) = rest.chars().next() {
        let ink = inks.iter().find(|ink| rest.starts_with(**ink));
        let length = ink.map_or(letter.len_utf8(), |ink| ink.len());
        match ink {
            Some(ink) => shown.push_str(ink),
            None if is_harmful(letter) => shown.extend(letter.escape_default()),
            None => shown.push(letter),
        }
        rest = rest.get(length..).unwrap_or_default();
    }
    Cow::Owned(shown)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_move_the_cursor_or_turn_the_text_is_written_out() {
        let text = "Ferry\u{1b}[2J\u{1b}[1;1Hvalid: all\r\nvalid \u{202e}fo\u{9b}1m";
        assert_eq!(
            shown(text, &[]),
            r"Ferry\u{1b}[2J\u{1b}[1;1Hvalid: all\r\nvalid \u{202e}fo\u{9b}1m"
        );
        assert_eq!(
            shown("Rad 🚲 größer, 5\u{a0}N·m", &[]),
            "Rad 🚲 größer, 5\u{a0}N·m"
        );
    }
}
