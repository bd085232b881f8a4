//! What the fonts can print. One letter that no font has would stop the whole page, since a page that states PDF/A may hold no
//! empty box; and a record that is sealed can't be written anew to please a font. So what can't be printed stands on the page
//! as its code point, `[U+2300]`, where everybody sees that something is there; the attached record has it as it was written.

use serde_json::Value;
use typst::text::FontBook;
use unicode_segmentation::UnicodeSegmentation as _;

/// A word longer than this may be broken anywhere: it would run over its neighbours otherwise.
const LONG_WORD: usize = 28;
/// So many letters of it stand together.
const TOGETHER: usize = 14;
const MAY_BREAK: char = '\u{200B}';

/// The letters of the fonts.
pub(crate) struct Letters<'a>(pub(crate) &'a FontBook);

impl Letters<'_> {
    /// Makes every text of a document fit to be printed; whether something had to be put in the place of a letter. Names of
    /// members stay as they are.
    pub(crate) fn fit(&self, document: &mut Value) -> bool {
        match document {
            Value::String(text) => {
                let (fit, is_whole) = self.text(text);
                *text = broken(&fit);
                !is_whole
            }
            // No short cut: each of them has to be made fit.
            Value::Array(items) => items
                .iter_mut()
                .fold(false, |found, item| self.fit(item) | found),
            Value::Object(members) => members
                .values_mut()
                .fold(false, |found, member| self.fit(member) | found),
            _ => false,
        }
    }

    /// The text as it can be printed, and whether nothing had to be put in the place of a letter.
    fn text(&self, text: &str) -> (String, bool) {
        let mut fit = String::with_capacity(text.len());
        let mut marks: Vec<String> = Vec::new();
        let mut is_whole = true;
        for cluster in text.graphemes(true) {
            if let Some(printed) = self.cluster(cluster) {
                close(&mut fit, &mut marks);
                fit.push_str(&printed);
            } else {
                is_whole = false;
                marks.extend(cluster.chars().map(|c| format!("U+{:04X}", u32::from(c))));
            }
        }
        close(&mut fit, &mut marks);
        (fit, is_whole)
    }

    /// What a reader sees as one sign, if every part of it can be printed. The end of a line is a space: these texts stand in
    /// lines of their own. Whether a sign is to be drawn in colour is left out.
    fn cluster(&self, cluster: &str) -> Option<String> {
        if cluster.chars().all(is_space) {
            return Some(" ".to_owned());
        }
        let drawn: String = cluster.chars().filter(|c| !is_variation(*c)).collect();
        let is_printed = !drawn.is_empty() && drawn.chars().all(|c| self.has(c));
        is_printed.then_some(drawn)
    }

    fn has(&self, c: char) -> bool {
        // Private letters mean something else in every font, and the standard has no place for them; what can't be seen
        // is shown.
        matches!(c, ' '..='~')
            || !(c.is_control() || is_private(c) || is_unseen(c)) && self.is_in_a_font(c)
    }

    fn is_in_a_font(&self, c: char) -> bool {
        (0..)
            .map_while(|number| self.0.info(number))
            .any(|font| font.coverage.contains(u32::from(c)))
    }
}

fn close(fit: &mut String, marks: &mut Vec<String>) {
    if !marks.is_empty() {
        fit.push('[');
        fit.push_str(&marks.join(" "));
        fit.push(']');
        marks.clear();
    }
}

fn is_space(c: char) -> bool {
    matches!(c, '\t' | '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}')
}

fn is_variation(c: char) -> bool {
    matches!(c, '\u{FE00}'..='\u{FE0F}' | '\u{E0100}'..='\u{E01EF}')
}

fn is_private(c: char) -> bool {
    matches!(c, '\u{E000}'..='\u{F8FF}' | '\u{F0000}'..)
}

/// Takes no place, or turns the order of the letters round.
fn is_unseen(c: char) -> bool {
    matches!(
        c,
        '\u{AD}' | '\u{61C}' | '\u{180E}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}'
    )
}

/// Lets a word be broken that no line could hold.
fn broken(text: &str) -> String {
    let is_long = |word: &str| word.chars().count() > LONG_WORD;
    if !text.split(' ').any(is_long) {
        return text.to_owned();
    }
    let words = text.split(' ').map(|word| {
        if !is_long(word) {
            return word.to_owned();
        }
        let mut parts = String::new();
        for (number, cluster) in word.graphemes(true).enumerate() {
            if number > 0 && number % TOGETHER == 0 {
                parts.push(MAY_BREAK);
            }
            parts.push_str(cluster);
        }
        parts
    });
    words.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::world::Desk;
    use typst::World as _;

    fn printed(text: &str) -> String {
        Letters(Desk::new().book()).text(text).0
    }

    #[test]
    fn what_the_fonts_have_stays_as_it_is() {
        for text in [
            "Faceplate, top left: 4.5 to 5.5 N·m ± 0.12",
            "Ø 31,6 mm □ 4 → ↺ ½″ ≤ µ Ω ✓",
            "Żółć, Škoda, Gül, Þór, Ελλάδα, Шатун",
            "e\u{301}",
        ] {
            assert_eq!(
                Letters(Desk::new().book()).text(text),
                (text.to_owned(), true)
            );
        }
    }

    #[test]
    fn what_they_do_not_have_stands_as_its_code_point() {
        assert_eq!(printed("⌀ 31.6"), "[U+2300] 31.6");
        assert_eq!(printed("a 自転 b"), "a [U+81EA U+8EE2] b");
        assert_eq!(printed("esc\u{1B}[0m\0"), "esc[U+001B][0m[U+0000]");
        // The private letter of some font, a mark that turns the line round, one that can't be seen.
        assert_eq!(printed("\u{E000}"), "[U+E000]");
        assert_eq!(printed("5.5\u{202E}1"), "5.5[U+202E]1");
        assert_eq!(printed("a\u{200B}b"), "a[U+200B]b");
        assert_eq!(printed("a\u{FEFF}"), "a[U+FEFF]");
    }

    #[test]
    fn one_sign_of_several_code_points_is_one_mark() {
        assert_eq!(printed("👨\u{200D}🔧!"), "[U+1F468 U+200D U+1F527]!");
        assert_eq!(printed("☐\u{FE0F}"), "[U+2610 U+FE0F]");
        // Only how it is to be drawn is left out, and the sign is there.
        assert_eq!(printed("✓\u{FE0E} ok"), "✓ ok");
        assert_eq!(printed("\u{FE0F}"), "[U+FE0F]");
    }

    #[test]
    fn the_end_of_a_line_is_a_space() {
        assert_eq!(printed("one\r\ntwo\tthree"), "one two three");
        assert!(Letters(Desk::new().book()).text("one\ntwo").1);
    }

    #[test]
    fn every_text_of_a_document_is_made_fit() {
        let mut document =
            serde_json::json!({ "⌀": ["⌀", { "a": "☐" }], "n": 1, "long": "x".repeat(30) });
        assert!(Letters(Desk::new().book()).fit(&mut document));
        let long = format!("{0}\u{200B}{0}\u{200B}xx", "x".repeat(14));
        assert_eq!(
            document,
            serde_json::json!({ "⌀": ["[U+2300]", { "a": "[U+2610]" }], "n": 1, "long": long })
        );
        assert!(!Letters(Desk::new().book()).fit(&mut serde_json::json!(["ok"])));
    }
}
