//! Writes the profile file.

use super::pieces::Frames;
use super::shape::{Field, Shape, Token, toml_text};
use std::fmt::Write as _;

/// The file of a profile.
pub(super) fn file(name: &str, frames: &Frames, shape: &Shape) -> String {
    let mut text = format!(
        "# Made from readings by `pullmark tool teach`; look it over before you share it.\nname = {}\ntitle = {}\n\n[frame]\n",
        toml_text(name),
        toml_text(&format!("Taught: {}", shape.example.trim()))
    );
    // writing to a string cannot fail
    if frames.silence {
        text.push_str("silence_ms = 30\n");
    } else {
        let _ = writeln!(text, "terminator = {}", escaped(frames.terminator_text));
    }
    if frames.has_start {
        text.push_str("start = \"\\u0002\"\n");
    }
    let _ = writeln!(text, "\n[line]\nignore = [{}]", ignore(shape).join(", "));
    let _ = writeln!(text, "pattern = {}", toml_text(&pattern(shape)));
    if shape.mark == Some(',') {
        text.push_str("decimal_comma = true\n");
    }
    if shape.decimals > 0 {
        let _ = writeln!(text, "decimals = {}", shape.decimals);
    }
    if let Some(sum) = &shape.sum {
        let _ = writeln!(text, "checksum = {sum}");
    }
    let word = shape.unit_word.as_deref().unwrap_or_default();
    let _ = writeln!(
        text,
        "\n[unit]\n{} = {}",
        toml_key(word),
        toml_text(shape.unit.ucum)
    );
    if !shape.words.is_empty() {
        text.push_str("\n[flag]\n");
        for (word, meaning) in &shape.words {
            let meaning = toml::Value::try_from(meaning)
                .map_or_else(|_| "\"nothing\"".to_owned(), |value| value.to_string());
            let _ = writeln!(text, "{} = {meaning}", toml_key(word));
        }
    }
    text
}

fn ignore(shape: &Shape) -> Vec<String> {
    let blank = std::iter::once("^\\s*$".to_owned());
    let lines = shape
        .ignored
        .iter()
        .take(20)
        .map(|line| format!("^{}$", regex::escape(line)));
    blank
        .chain(lines)
        .map(|pattern| toml_text(&pattern))
        .collect()
}

fn toml_key(text: &str) -> String {
    serde_json::to_string(text).unwrap_or_default()
}

fn escaped(text: &str) -> String {
    serde_json::to_string(text).unwrap_or_default()
}

fn pattern(shape: &Shape) -> String {
    let mut pattern = "^".to_owned();
    for (at, field) in shape.fields.iter().enumerate() {
        let is_before_value = shape.fields.get(at + 1) == Some(&Field::Value);
        match field {
            Field::Value => pattern.push_str(value(shape)),
            Field::Unit => {
                let word = shape.unit_word.as_deref().unwrap_or_default();
                let _ = write!(pattern, "(?P<unit>{})", regex::escape(word));
            }
            Field::Counter => pattern.push_str("(?P<counter>\\d{1,18})"),
            Field::Words => pattern.push_str("(?P<flags>[A-Za-z]+)"),
            Field::Sum => {
                let is_long = shape
                    .sum
                    .as_deref()
                    .is_some_and(|sum| sum.contains("crc16"));
                let digits = if is_long { 4 } else { 2 };
                let _ = write!(pattern, "(?P<sum>[0-9A-Fa-f]{{{digits}}})");
            }
            Field::Same(text) => pattern.push_str(&regex::escape(text)),
            Field::Varies(Token::Number) => pattern.push_str("[+-]?\\d+(?:[.,]\\d+)?"),
            Field::Varies(Token::Word) => pattern.push_str("[A-Za-z.]+"),
            // A longer number takes the room of blanks before it.
            Field::Varies(Token::Blank) if is_before_value => pattern.push_str("\\s*"),
            Field::Varies(Token::Blank) => pattern.push_str("\\s+"),
            Field::Varies(Token::Other) => pattern.push('.'),
        }
    }
    pattern.push('$');
    pattern
}

const fn value(shape: &Shape) -> &'static str {
    match shape.mark {
        Some(',') => "(?P<value>[+−-]?\\d+(?:,\\d+)?)",
        None if shape.decimals > 0 => "(?P<value>[+−-]?\\d+)",
        Some(_) | None => "(?P<value>[+−-]?\\d+(?:\\.\\d+)?)",
    }
}
