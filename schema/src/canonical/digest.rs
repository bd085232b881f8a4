//! A SHA-256 value as the project writes it. One text for each value, so that texts can be compared.

use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::Visitor;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::sha256;

/// A SHA-256 value. As text it is always 64 lower-case hex digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest32([u8; 32]);

/// Why a text is not a [`Digest32`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a SHA-256 value is exactly 64 lower-case hex digits")]
pub struct DigestError;

impl Digest32 {
    /// Takes the 32 bytes as they are.
    pub const fn new(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// The SHA-256 of some bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(sha256(bytes))
    }

    /// The 32 bytes.
    pub const fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for Digest32 {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(Text::of(&self.0).as_str())
    }
}

impl fmt::Debug for Digest32 {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Digest32({self})")
    }
}

impl FromStr for Digest32 {
    type Err = DigestError;

    fn from_str(text: &str) -> Result<Self, DigestError> {
        let (pairs, rest) = text.as_bytes().as_chunks::<2>();
        let mut bytes = [0; 32];
        if pairs.len() != bytes.len() || !rest.is_empty() {
            return Err(DigestError);
        }
        let mut wrong = 0;
        for (byte, [high, low]) in bytes.iter_mut().zip(pairs) {
            let (high, low) = (VALUES[usize::from(*high)], VALUES[usize::from(*low)]);
            wrong |= high | low;
            *byte = high << 4 | low;
        }
        if wrong > 15 {
            return Err(DigestError);
        }
        Ok(Self(bytes))
    }
}

impl Serialize for Digest32 {
    fn serialize<S: Serializer>(&self, target: S) -> Result<S::Ok, S::Error> {
        target.serialize_str(Text::of(&self.0).as_str())
    }
}

impl<'de> Deserialize<'de> for Digest32 {
    fn deserialize<D: Deserializer<'de>>(source: D) -> Result<Self, D::Error> {
        source.deserialize_str(Digits)
    }
}

/// Reads the text where it stands: a ledger has millions of them.
struct Digits;

impl Visitor<'_> for Digits {
    type Value = Digest32;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("64 lower-case hex digits")
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Digest32, E> {
        text.parse().map_err(E::custom)
    }
}

/// Sixteen and more for what is no lower-case digit.
const VALUES: [u8; 256] = {
    let mut values = [16; 256];
    let mut value = 0_u8;
    while value < 16 {
        values[DIGITS[value as usize] as usize] = value;
        value += 1;
    }
    values
};
const DIGITS: [u8; 16] = *b"0123456789abcdef";

/// 64 digits, on the stack.
struct Text([u8; 64]);

impl Text {
    fn of(bytes: &[u8; 32]) -> Self {
        let mut text = [0; 64];
        let (pairs, _) = text.as_chunks_mut::<2>();
        for (pair, byte) in pairs.iter_mut().zip(bytes) {
            *pair = [
                DIGITS[usize::from(byte >> 4)],
                DIGITS[usize::from(byte & 15)],
            ];
        }
        Self(text)
    }

    /// Digits are always text.
    fn as_str(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or_default()
    }
}

impl JsonSchema for Digest32 {
    fn schema_name() -> Cow<'static, str> {
        "Digest32".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "pattern": "^[0-9a-f]{64}$" })
    }
}
