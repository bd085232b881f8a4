//! A SHA-256 value as the project writes it. One text for each value, so that texts can be compared.

use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::Error as _;
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
        f.write_str(&hex::encode(self.0))
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
        if text.bytes().any(|b| b.is_ascii_uppercase()) {
            return Err(DigestError);
        }
        let mut bytes = [0; 32];
        hex::decode_to_slice(text, &mut bytes).map_err(|_| DigestError)?;
        Ok(Self(bytes))
    }
}

impl Serialize for Digest32 {
    fn serialize<S: Serializer>(&self, target: S) -> Result<S::Ok, S::Error> {
        target.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Digest32 {
    fn deserialize<D: Deserializer<'de>>(source: D) -> Result<Self, D::Error> {
        String::deserialize(source)?
            .parse()
            .map_err(D::Error::custom)
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
