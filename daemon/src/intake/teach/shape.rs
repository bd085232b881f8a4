//! The form of a reading's line: which field is the value, the unit, a count, a checksum, a status word.

use super::pieces::{Frames, Line};
use super::{Example, NotDetermined, Shown, same, torque_unit};
use crate::intake::checksum;
use crate::intake::number::{Style, decimal};
use pullmark_schema::profile::{ChecksumKind, Meaning};
use pullmark_schema::quantity::Unit;
use std::collections::BTreeMap;

/// Status words that are common practice on displays; no source.
const COMMON: [(&str, Meaning); 12] = [
    ("PK", Meaning::Peak),
    ("PEAK", Meaning::Peak),
    ("FP", Meaning::FirstPeak),
    ("TR", Meaning::Track),
    ("TRACK", Meaning::Track),
    ("LB", Meaning::BatteryLow),
    ("LOBAT", Meaning::BatteryLow),
    ("OK", Meaning::Nothing),
    ("HI", Meaning::Nothing),
    ("LO", Meaning::Nothing),
    ("ST", Meaning::Nothing),
    ("US", Meaning::Unstable),
];

/// A piece of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Token {
    Number,
    Word,
    Blank,
    Other,
}

/// What a field is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Field {
    Value,
    Unit,
    Counter,
    Words,
    Sum,
    /// The same each time.
    Same(String),
    /// Changes, and its meaning is not known.
    Varies(Token),
}

/// The form of a reading's line.
#[derive(Debug)]
pub(super) struct Shape {
    pub(super) fields: Vec<Field>,
    pub(super) example: String,
    pub(super) mark: Option<char>,
    pub(super) decimals: u8,
    pub(super) sign_seen: bool,
    pub(super) unit: &'static Unit,
    pub(super) unit_word: Option<String>,
    pub(super) has_counter: bool,
    pub(super) words: BTreeMap<String, Meaning>,
    pub(super) sum: Option<String>,
    pub(super) ignored: Vec<String>,
}

type Split<'a> = Vec<(Token, &'a str)>;

/// How a field of digits is the value: as it stands, or with a mark that is not sent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Fit {
    decimals: u8,
}

/// A comma may stand between fields or be the decimal mark: a point is tried first.
pub(super) fn shape(
    frames: &Frames,
    examples: &[Example],
    shown: &[Shown],
) -> Result<Shape, NotDetermined> {
    shape_with('.', frames, examples, shown)
        .or_else(|why| shape_with(',', frames, examples, shown).map_err(|_| why))
}

fn shape_with(
    mark: char,
    frames: &Frames,
    examples: &[Example],
    shown: &[Shown],
) -> Result<Shape, NotDetermined> {
    let mut lines = Vec::new();
    for (reading, (of_reading, shown)) in frames.lines.iter().zip(shown).enumerate() {
        let fitting: Vec<&Line> = of_reading
            .iter()
            .filter(|line| !places(&split(&line.text, mark), *shown).is_empty())
            .collect();
        // Of lines that are alike, the last: what was shown when the person read it.
        let line = fitting.last().ok_or_else(|| NotDetermined::NotFound {
            shown: examples
                .get(reading)
                .map(|example| example.shown.clone())
                .unwrap_or_default(),
            reading: reading + 1,
            lines: frames.of(reading),
        })?;
        lines.push(*line);
    }
    let sum = find_sum(&lines);
    let bodies: Vec<&str> = lines
        .iter()
        .map(|line| match &sum {
            Some(sum) => line
                .text
                .get(..line.text.len().saturating_sub(sum.digits))
                .unwrap_or_default(),
            None => line.text.as_str(),
        })
        .collect();
    let splits: Vec<Split<'_>> = bodies.iter().map(|text| split(text, mark)).collect();
    alike(&splits, &lines)?;
    let (value_at, fit) = value_place(&splits, shown, &lines)?;
    let mut shape = name_fields(&splits, value_at, fit, shown, &lines, examples)?;
    if let Some(sum) = sum {
        shape.fields.push(Field::Sum);
        shape.sum = Some(sum.setting);
    }
    other_lines(frames, &mut shape, (mark, value_at), &lines);
    Ok(shape)
}

/// Cuts a line into numbers, words, blanks and the rest.
fn split(text: &str, mark: char) -> Split<'_> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let (token, length) = if let Some(length) = number_length(rest, mark) {
            (Token::Number, length)
        } else if first.is_alphabetic() {
            (
                Token::Word,
                run(rest, |c| {
                    c.is_alphabetic() || matches!(c, '.' | '·' | '-' | '⋅')
                }),
            )
        } else if first.is_whitespace() {
            (Token::Blank, run(rest, char::is_whitespace))
        } else {
            (Token::Other, first.len_utf8())
        };
        let (piece, after) = rest.split_at(length);
        pieces.push((token, piece));
        rest = after;
    }
    pieces
}

fn run(text: &str, fits: impl Fn(char) -> bool) -> usize {
    text.find(|c| !fits(c)).unwrap_or(text.len())
}

/// Digits with one mark at most, and a sign before them.
fn number_length(text: &str, mark: char) -> Option<usize> {
    let sign = text
        .strip_prefix(['+', '-', '\u{2212}'])
        .map_or(0, |rest| text.len() - rest.len());
    let digits = |from: usize| run(text.get(from..).unwrap_or_default(), |c| c.is_ascii_digit());
    let whole = digits(sign);
    if whole == 0 {
        return None;
    }
    let end = sign + whole;
    let has_mark = text.get(end..).is_some_and(|rest| rest.starts_with(mark));
    let part = if has_mark { digits(end + 1) } else { 0 };
    Some(if part > 0 { end + 1 + part } else { end })
}

/// The fields that may be the value, and how.
fn places(split: &Split<'_>, shown: Shown) -> BTreeMap<usize, Fit> {
    let mut all = BTreeMap::new();
    for (at, (token, text)) in split.iter().enumerate() {
        if *token != Token::Number {
            continue;
        }
        let has_mark = text.contains(['.', ',']);
        let most = if has_mark { 0 } else { shown.value.scale() };
        for decimals in [0, most] {
            let style = Style {
                decimal_comma: text.contains(','),
                decimals,
            };
            if decimal(text, style).is_some_and(|value| same(value, shown.value)) {
                all.entry(at).or_insert(Fit { decimals });
            }
        }
    }
    all
}

fn alike(splits: &[Split<'_>], lines: &[&Line]) -> Result<(), NotDetermined> {
    // Blanks may come and go where a number is longer.
    let form =
        |split: &Split<'_>| -> Vec<Token> { split.iter().map(|(token, _)| *token).collect() };
    for (two, of) in splits.windows(2).zip(lines.windows(2)) {
        if let ([a, b], [first, second]) = (two, of)
            && form(a) != form(b)
        {
            return Err(NotDetermined::DifferentShapes {
                first: first.text.clone(),
                second: second.text.clone(),
            });
        }
    }
    Ok(())
}

fn value_place(
    splits: &[Split<'_>],
    shown: &[Shown],
    lines: &[&Line],
) -> Result<(usize, Fit), NotDetermined> {
    let mut common: Option<BTreeMap<usize, Fit>> = None;
    for (split, shown) in splits.iter().zip(shown) {
        let here = places(split, *shown);
        common = Some(match common {
            None => here,
            Some(mut before) => {
                before.retain(|at, fit| here.get(at) == Some(fit));
                before
            }
        });
    }
    let common = common.unwrap_or_default();
    let text = |at: usize| {
        lines
            .get(at)
            .map(|line| line.text.clone())
            .unwrap_or_default()
    };
    let mut fits = common.iter();
    match (fits.next(), fits.next()) {
        (Some((at, fit)), None) => Ok((*at, *fit)),
        (None, _) => Err(NotDetermined::DifferentShapes {
            first: text(0),
            second: text(1),
        }),
        _ => Err(NotDetermined::SeveralPlaces {
            places: common.len(),
            line: text(0),
        }),
    }
}

fn name_fields(
    splits: &[Split<'_>],
    value_at: usize,
    fit: Fit,
    shown: &[Shown],
    lines: &[&Line],
    examples: &[Example],
) -> Result<Shape, NotDetermined> {
    let column = |at: usize| -> Vec<&str> {
        splits
            .iter()
            .filter_map(|split| split.get(at).map(|(_, text)| *text))
            .collect()
    };
    let values = column(value_at);
    let (unit_at, unit) = unit(splits, value_at, shown, examples)?;
    let mut shape = Shape {
        fields: Vec::new(),
        example: lines
            .first()
            .map(|line| line.text.clone())
            .unwrap_or_default(),
        mark: values
            .iter()
            .find_map(|text| text.chars().find(|c| matches!(c, '.' | ','))),
        decimals: fit.decimals,
        sign_seen: values
            .iter()
            .any(|text| text.starts_with(['-', '\u{2212}'])),
        unit,
        unit_word: unit_at.and_then(|at| column(at).first().map(|word| (*word).to_owned())),
        has_counter: false,
        words: BTreeMap::new(),
        sum: None,
        ignored: Vec::new(),
    };
    let first = splits.first().map(Vec::as_slice).unwrap_or_default();
    for (at, (token, text)) in first.iter().enumerate() {
        let texts = column(at);
        let is_same = texts.iter().all(|other| other == text);
        let is_count = *token == Token::Number && counts_up(&texts);
        let is_status = *token == Token::Word
            && shape.words.is_empty()
            && (!is_same || COMMON.iter().any(|(word, _)| word == text));
        shape.fields.push(if at == value_at {
            Field::Value
        } else if Some(at) == unit_at {
            Field::Unit
        } else if is_count && !shape.has_counter {
            shape.has_counter = true;
            Field::Counter
        } else if is_status {
            shape.words = texts
                .iter()
                .map(|word| ((*word).to_owned(), meaning(word)))
                .collect();
            Field::Words
        } else if is_same && *token != Token::Blank {
            Field::Same((*text).to_owned())
        } else {
            Field::Varies(*token)
        });
    }
    Ok(shape)
}

fn meaning(word: &str) -> Meaning {
    COMMON
        .iter()
        .find(|(known, _)| *known == word)
        .map_or(Meaning::Nothing, |(_, meaning)| *meaning)
}

/// One more from reading to reading, and not the value's luck: at least three, or two with no gap.
fn counts_up(texts: &[&str]) -> bool {
    let counts: Option<Vec<u64>> = texts.iter().map(|text| text.parse().ok()).collect();
    counts.is_some_and(|counts| {
        counts
            .windows(2)
            .all(|two| matches!(two, [a, b] if a.checked_add(1) == Some(*b)))
    })
}

/// The word that is the unit, and which unit that is.
fn unit(
    splits: &[Split<'_>],
    value_at: usize,
    shown: &[Shown],
    examples: &[Example],
) -> Result<(Option<usize>, &'static Unit), NotDetermined> {
    let typed = shown.iter().find_map(|shown| shown.unit);
    let first = splits.first().map(Vec::as_slice).unwrap_or_default();
    let is_same = |at: usize| {
        let mut column = splits
            .iter()
            .map(|split| split.get(at).map(|(_, text)| *text));
        let first = column.next();
        column.all(|text| Some(text) == first)
    };
    let words = || {
        first
            .iter()
            .enumerate()
            .filter(|(at, (token, _))| *token == Token::Word && is_same(*at))
    };
    let near = |at: usize| at > value_at && at <= value_at + 2;
    let known = words()
        .filter_map(|(at, (_, text))| Some((at, *text, torque_unit(text)?)))
        .min_by_key(|(at, ..)| (!near(*at), *at));
    match (known, typed) {
        (Some((_, text, unit)), Some(typed)) if !std::ptr::eq(unit, typed) => {
            Err(NotDetermined::OtherUnit {
                line: text.to_owned(),
                typed: typed.symbol.to_owned(),
            })
        }
        (Some((at, _, unit)), _) => Ok((Some(at), unit)),
        // A spelling that nobody else uses, close behind the value.
        (None, Some(typed)) => {
            let odd = words()
                .find(|(at, (_, text))| near(*at) && !COMMON.iter().any(|(word, _)| word == text));
            Ok((odd.map(|(at, _)| at), typed))
        }
        (None, None) => Err(NotDetermined::NoUnit {
            shown: examples
                .first()
                .map(|example| example.shown.clone())
                .unwrap_or_default(),
        }),
    }
}

/// A checksum that is right in all lines.
struct Sum {
    digits: usize,
    setting: String,
}

fn find_sum(lines: &[&Line]) -> Option<Sum> {
    use ChecksumKind::{Crc16Ccitt, Crc16Modbus, Sum as Added, TwosComplement, Xor};
    for (kind, name) in [
        (Xor, "xor"),
        (Added, "sum"),
        (TwosComplement, "twos-complement"),
        (Crc16Modbus, "crc16-modbus"),
        (Crc16Ccitt, "crc16-ccitt"),
    ] {
        let digits = 2 * checksum::size(kind);
        for skips_first in [false, true] {
            for skips_last in [false, true] {
                let is_right =
                    |line: &&Line| sum_is_right(line, kind, digits, skips_first, skips_last);
                if !lines.iter().all(is_right) {
                    continue;
                }
                let edge = |skips: bool, key: &str, at: Option<char>| match at.filter(|_| skips) {
                    Some(mark) => format!(", {key} = {}", toml_text(&mark.to_string())),
                    None => String::new(),
                };
                let line = lines.first()?;
                let end = line.text.len().checked_sub(digits)?;
                let after = edge(skips_first, "after", line.text.chars().next());
                let before = edge(skips_last, "before", line.text.get(..end)?.chars().last());
                return Some(Sum {
                    digits,
                    setting: format!("{{ kind = \"{name}\"{after}{before} }}"),
                });
            }
        }
    }
    None
}

fn sum_is_right(
    line: &Line,
    kind: ChecksumKind,
    digits: usize,
    skips_first: bool,
    skips_last: bool,
) -> bool {
    let raw = &line.raw;
    let Some(end) = raw.len().checked_sub(digits).filter(|_| raw.is_ascii()) else {
        return false;
    };
    let stated = raw
        .get(end..)
        .and_then(|digits| std::str::from_utf8(digits).ok());
    let stated = stated.and_then(|digits| u16::from_str_radix(digits, 16).ok());
    let body = raw.get(usize::from(skips_first)..end.saturating_sub(usize::from(skips_last)));
    body.is_some_and(|body| body.len() >= 3 && Some(checksum::sum(kind, body)) == stated)
}

/// Lines of the readings that are none: of the same form with another status word they are samples, else they are left out.
fn other_lines(
    frames: &Frames,
    shape: &mut Shape,
    (mark, value_at): (char, usize),
    lines: &[&Line],
) {
    let words_at = shape.fields.iter().position(|field| *field == Field::Words);
    let form =
        |text: &str| -> Vec<Token> { split(text, mark).iter().map(|(token, _)| *token).collect() };
    let reading = lines
        .first()
        .map(|line| form(&line.text))
        .unwrap_or_default();
    for line in frames.lines.iter().flatten() {
        if lines.contains(&line) {
            continue;
        }
        let pieces = split(&line.text, mark);
        let is_alike = form(&line.text) == reading && value_at < pieces.len();
        match words_at.and_then(|at| pieces.get(at)).filter(|_| is_alike) {
            Some((_, word)) => {
                shape
                    .words
                    .entry((*word).to_owned())
                    .or_insert(Meaning::Track);
            }
            None if !is_alike && !shape.ignored.contains(&line.text) => {
                shape.ignored.push(line.text.clone());
            }
            None => {}
        }
    }
}

/// A text as TOML writes it.
pub(super) fn toml_text(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}
