//! The little of TOML 1.0 that a plan is written in: basic strings, lists and inline tables.

use std::fmt::Write as _;

/// The lines of one table.
#[derive(Debug, Default)]
pub(super) struct Line(String);

impl Line {
    pub(super) fn under(header: &str) -> Self {
        Self(format!("{header}\n"))
    }

    /// A key whose value is written already.
    pub(super) fn raw(&mut self, key: &str, value: &str) {
        // Writing to a String does not fail.
        let _ = writeln!(self.0, "{key} = {value}");
    }

    pub(super) fn text(&mut self, key: &str, text: &str) {
        self.raw(key, &quoted(text));
    }

    pub(super) fn maybe(&mut self, key: &str, text: Option<&str>) {
        if let Some(text) = text {
            self.text(key, text);
        }
    }

    pub(super) fn word(&mut self, key: &str, word: Option<&impl serde::Serialize>) {
        if let Some(word) = word {
            self.raw(key, &super::word(word));
        }
    }

    pub(super) fn done(self) -> String {
        self.0
    }
}

/// A basic string (TOML 1.0, "String").
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for letter in text.chars() {
        match letter {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            control if control.is_control() => {
                let _ = write!(out, "\\u{:04X}", u32::from(control));
            }
            other => out.push(other),
        }
    }
    out.push('"');
    out
}

pub(super) fn list(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<_>>().join(", "))
}

pub(super) fn table(members: &[(&str, String)]) -> String {
    if members.is_empty() {
        return "{}".to_owned();
    }
    let members: Vec<String> = members
        .iter()
        .map(|(name, value)| format!("{name} = {value}"))
        .collect();
    format!("{{ {} }}", members.join(", "))
}
