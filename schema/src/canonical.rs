//! The one way in and the one way out for JSON that is hashed or signed.
//!
//! In: [`read_strict`] refuses whatever two readers could understand differently (RFC 7493, I-JSON:
//! a name twice in one object, a number that a double cannot hold), and it refuses every fraction,
//! because signed data hold whole numbers only.
//! Out: [`to_canonical`] writes RFC 8785 (JSON Canonicalization Scheme).
//!
//! This is not a general JSON reader: files that people write by hand are read elsewhere.

use std::fmt;

use serde::de::{DeserializeSeed, MapAccess, SeqAccess, Visitor};
use serde::{Deserializer, Serialize};
use serde_json::{Map, Number, Value};
use sha2::{Digest as _, Sha256};

mod digest;
mod floats;
mod plain;

pub use digest::{Digest32, DigestError};

/// The largest whole number that every JSON reader keeps exactly: 2^53 - 1 (RFC 7493 section 2.2).
pub const MAX_WHOLE: u64 = 9_007_199_254_740_991;
/// How deep objects and lists may lie in one another; the outermost counts as one.
pub const MAX_DEPTH: usize = 64;
/// The longest text that is read or written, in bytes: 16 MiB.
pub const MAX_BYTES: usize = 16 * 1024 * 1024;
/// A longer member name is cut in messages.
const NAME_SHOWN: usize = 60;

/// Why a JSON text, or a value, cannot be hashed or signed. `at` is a JSON pointer (RFC 6901).
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CanonicalError {
    /// The text is longer than [`MAX_BYTES`].
    #[error("the document is too long: {bytes} bytes, at most {MAX_BYTES} are read")]
    TooLong {
        /// Its length.
        bytes: usize,
    },
    /// The bytes are not text at all.
    #[error("the document is not UTF-8 text: byte {offset} does not fit")]
    NotUtf8 {
        /// The first byte that does not fit, counted from 0.
        offset: usize,
    },
    /// Objects and lists lie too deep in one another.
    #[error("the document is nested more than {MAX_DEPTH} deep at {at}")]
    TooDeep {
        /// Where.
        at: String,
    },
    /// An object names one member twice.
    #[error("the name at {at} is there twice; two readers could see two different values")]
    Duplicate {
        /// Where the second one is.
        at: String,
    },
    /// A number that is not a plain whole number in the safe range.
    #[error(
        "the number {found} at {at} is not a whole number from -{MAX_WHOLE} to {MAX_WHOLE} in plain digits \
         (no fraction, no exponent, no -0)"
    )]
    Number {
        /// Where.
        at: String,
        /// What was found there.
        found: String,
    },
    /// The text is not JSON.
    #[error("the document is not JSON near {at}: {what}")]
    NotJson {
        /// Where reading stopped.
        at: String,
        /// What the reader said, with line and column.
        what: String,
    },
    /// Something stands behind the end of the document.
    #[error("there is more text behind the end of the document: {what}")]
    Trailing {
        /// What the reader said, with line and column.
        what: String,
    },
    /// The value cannot be written as JSON.
    #[error("the value cannot be written as JSON: {what}")]
    Unwritable {
        /// What the writer said.
        what: String,
    },
}

/// Reads a JSON text that is to be hashed or checked. Everything that two readers could understand
/// differently is refused; the error says where.
pub fn read_strict(text: &str) -> Result<Value, CanonicalError> {
    if text.len() > MAX_BYTES {
        return Err(CanonicalError::TooLong { bytes: text.len() });
    }
    let mut state = State::default();
    let mut source = serde_json::Deserializer::from_str(text);
    let seed = Strict { state: &mut state };
    let read = seed.deserialize(&mut source);
    let value = read.map_err(|error| match state.problem.take() {
        Some(problem) => problem,
        None => CanonicalError::NotJson {
            at: state.path.show(),
            what: error.to_string(),
        },
    })?;
    source.end().map_err(|error| CanonicalError::Trailing {
        what: error.to_string(),
    })?;
    Ok(value)
}

/// [`read_strict`] for bytes as they come from a file.
pub fn read_strict_bytes(bytes: &[u8]) -> Result<Value, CanonicalError> {
    if bytes.len() > MAX_BYTES {
        return Err(CanonicalError::TooLong { bytes: bytes.len() });
    }
    let text = std::str::from_utf8(bytes).map_err(|error| CanonicalError::NotUtf8 {
        offset: error.valid_up_to(),
    })?;
    read_strict(text)
}

/// The canonical form (RFC 8785) of a value, with the number and depth checks of [`read_strict`].
pub fn to_canonical(value: &Value) -> Result<Vec<u8>, CanonicalError> {
    if let Some(bytes) = plain::sorted(value).map_err(|error| unwritable(&error))? {
        return Ok(bytes);
    }
    check(value, &mut Path::default())?;
    let bytes = to_canonical_any(value)?;
    if bytes.len() > MAX_BYTES {
        return Err(CanonicalError::TooLong { bytes: bytes.len() });
    }
    Ok(bytes)
}

/// The canonical form of anything that can be written as JSON. A float anywhere is refused, also one
/// that is whole or not a number (JSON writers turn the latter into `null` without a word), and so is a
/// member name twice, which flattened types can bring about.
pub fn to_canonical_of<T: Serialize + ?Sized>(value: &T) -> Result<Vec<u8>, CanonicalError> {
    let has_float = floats::has_float(value);
    if !has_float && let Some(bytes) = plain::sorted(value).map_err(|error| unwritable(&error))? {
        return Ok(bytes);
    }
    let text = serde_json::to_string(value).map_err(|error| unwritable(&error))?;
    let read = read_strict(&text)?;
    if has_float {
        return Err(CanonicalError::Unwritable {
            what: "it holds a float that is not a number".to_owned(),
        });
    }
    to_canonical(&read)
}

/// RFC 8785 without the stricter number rule, for checking against the published vectors; nothing
/// signed goes through it alone.
pub fn to_canonical_any<T: Serialize + ?Sized>(value: &T) -> Result<Vec<u8>, CanonicalError> {
    serde_json_canonicalizer::to_vec(&value).map_err(|error| unwritable(&error))
}

fn unwritable(error: &serde_json::Error) -> CanonicalError {
    CanonicalError::Unwritable {
        what: error.to_string(),
    }
}

/// SHA-256 (FIPS 180-4).
pub fn sha256(bytes: &[u8]) -> [u8; 32] {
    Sha256::digest(bytes).into()
}

/// One step from an object or a list to what lies in it.
#[derive(Debug)]
enum Step {
    Name(String),
    Index(usize),
}

/// Where in the document we are.
#[derive(Debug, Default)]
struct Path(Vec<Step>);

impl Path {
    fn show(&self) -> String {
        if self.0.is_empty() {
            return "the top of the document".to_owned();
        }
        self.0.iter().fold(String::new(), |mut text, step| {
            text.push('/');
            match step {
                Step::Name(name) => push_name(&mut text, name),
                Step::Index(index) => text.push_str(&index.to_string()),
            }
            text
        })
    }
}

/// A name as RFC 6901 writes it. It comes from outside and goes to a screen, so control characters are
/// shown and not sent, and long names are cut.
fn push_name(text: &mut String, name: &str) {
    for c in name.chars().take(NAME_SHOWN) {
        match c {
            '~' => text.push_str("~0"),
            '/' => text.push_str("~1"),
            c if c.is_control() => text.extend(c.escape_unicode()),
            c => text.push(c),
        }
    }
    if name.chars().nth(NAME_SHOWN).is_some() {
        text.push('…');
    }
}

/// Checks what `to_canonical` is given: it may have been built in memory and not read.
fn check(value: &Value, path: &mut Path) -> Result<(), CanonicalError> {
    match value {
        Value::Null | Value::Bool(_) | Value::String(_) => Ok(()),
        Value::Number(number) => check_number(number, path),
        Value::Array(_) | Value::Object(_) if path.0.len() >= MAX_DEPTH => {
            Err(CanonicalError::TooDeep { at: path.show() })
        }
        Value::Array(items) => items
            .iter()
            .enumerate()
            .try_for_each(|(i, item)| check_in(Step::Index(i), item, path)),
        Value::Object(members) => members
            .iter()
            .try_for_each(|(name, item)| check_in(Step::Name(name.clone()), item, path)),
    }
}

fn check_in(step: Step, value: &Value, path: &mut Path) -> Result<(), CanonicalError> {
    path.0.push(step);
    check(value, path)?;
    path.0.pop();
    Ok(())
}

fn check_number(number: &Number, path: &Path) -> Result<(), CanonicalError> {
    let size = number
        .as_u64()
        .or_else(|| number.as_i64().map(i64::unsigned_abs));
    if size.is_some_and(|size| size <= MAX_WHOLE) {
        Ok(())
    } else {
        Err(CanonicalError::Number {
            at: path.show(),
            found: number.to_string(),
        })
    }
}

/// What reading carries along. The real error is kept here, since the reader's own error is text only.
#[derive(Debug, Default)]
struct State {
    path: Path,
    problem: Option<CanonicalError>,
}

/// Reads one value, wherever it lies.
struct Strict<'a> {
    state: &'a mut State,
}

impl Strict<'_> {
    fn refuse<E: serde::de::Error>(&mut self, problem: impl FnOnce(String) -> CanonicalError) -> E {
        let problem = problem(self.state.path.show());
        let error = E::custom(&problem);
        self.state.problem = Some(problem);
        error
    }

    fn enter<E: serde::de::Error>(&mut self) -> Result<(), E> {
        if self.state.path.0.len() < MAX_DEPTH {
            return Ok(());
        }
        Err(self.refuse(|at| CanonicalError::TooDeep { at }))
    }

    fn number<E: serde::de::Error>(mut self, number: Number) -> Result<Value, E> {
        match check_number(&number, &self.state.path) {
            Ok(()) => Ok(Value::Number(number)),
            Err(problem) => Err(self.refuse(|_| problem)),
        }
    }
}

impl<'de> DeserializeSeed<'de> for Strict<'_> {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, source: D) -> Result<Value, D::Error> {
        source.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Strict<'_> {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E: serde::de::Error>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E: serde::de::Error>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_u64<E: serde::de::Error>(self, value: u64) -> Result<Value, E> {
        self.number(value.into())
    }

    fn visit_i64<E: serde::de::Error>(self, value: i64) -> Result<Value, E> {
        self.number(value.into())
    }

    // "5.0", "5e0", "-0" and whole numbers beyond 64 bits all arrive here.
    fn visit_f64<E: serde::de::Error>(mut self, value: f64) -> Result<Value, E> {
        Err(self.refuse(|at| CanonicalError::Number {
            at,
            found: format!("{value:?}"),
        }))
    }

    fn visit_str<E: serde::de::Error>(self, value: &str) -> Result<Value, E> {
        Ok(Value::String(value.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(mut self, mut source: A) -> Result<Value, A::Error> {
        self.enter()?;
        let mut items = Vec::new();
        loop {
            self.state.path.0.push(Step::Index(items.len()));
            let item = source.next_element_seed(Strict {
                state: &mut *self.state,
            })?;
            self.state.path.0.pop();
            match item {
                Some(item) => items.push(item),
                None => return Ok(Value::Array(items)),
            }
        }
    }

    fn visit_map<A: MapAccess<'de>>(mut self, mut source: A) -> Result<Value, A::Error> {
        self.enter()?;
        let mut members = Map::new();
        while let Some(name) = source.next_key::<String>()? {
            self.state.path.0.push(Step::Name(name.clone()));
            if members.contains_key(&name) {
                return Err(self.refuse(|at| CanonicalError::Duplicate { at }));
            }
            let value = source.next_value_seed(Strict {
                state: &mut *self.state,
            })?;
            self.state.path.0.pop();
            members.insert(name, value);
        }
        Ok(Value::Object(members))
    }
}

#[cfg(test)]
mod tests;
