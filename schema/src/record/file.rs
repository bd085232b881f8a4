//! The file that a customer gets: the signed record, and beside it what shows that it is in the bench's ledger.
//!
//! The entry that seals a record holds the record's hash, so the proof that this entry is in the tree cannot lie inside the
//! signature. It lies beside: the build's entries themselves, the hashes that lead from them to the root (see
//! [`crate::tree::several_proof`]) and the signed head. Nothing beside the record is signed, and nothing has to be: names
//! have to give the hashes that are signed, entries have to lead to the signed root, links sign for one another.

use super::VerifyError;
use super::names::Disclosure;
use crate::canonical::{self, CanonicalError, Digest32};
use crate::keys::KeyLink;
use crate::tree::{self, TreeError};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// What the member `format` holds.
pub const FORMAT: &str = "pullmark.invalid/record-file/1";

/// The file of a record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordFile {
    /// [`FORMAT`].
    pub format: String,
    /// The signed record.
    pub record: Value,
    /// The names that the record holds as hashes; none where they are left out.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub names: Vec<Disclosure>,
    /// The bench's key history as it stood when this file was written.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub keys: Vec<KeyLink>,
    /// The texts of the plan files of all editions that held; entries pin their hashes.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub plans: Vec<String>,
    /// What shows that the record is in the ledger.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub history: Option<History>,
    /// What the shop adds for the customer.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub for_customer: Option<ForCustomer>,
}

/// Entries of the ledger and the way from them to a signed head.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct History {
    /// The signed tree head (C2SP checkpoint).
    pub checkpoint: String,
    /// Entries, rising. The canonical JSON of each is what was hashed.
    pub entries: Vec<Value>,
    /// The hashes of what is cut off the tree, from left to right, in base64.
    pub hashes: Vec<String>,
    /// An outside authority's time stamp of the signed head (a token of RFC 3161 about the bytes of `checkpoint`), in base64.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub timestamp: Option<String>,
}

/// Words of the shop for the customer. Nobody signs them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ForCustomer {
    /// The words.
    pub text: String,
    /// Always false.
    pub signed: bool,
}

impl RecordFile {
    /// A file that holds the record and nothing beside it.
    pub fn of(record: &[u8]) -> Result<Self, CanonicalError> {
        Ok(Self {
            format: FORMAT.to_owned(),
            record: canonical::read_strict_bytes(record)?,
            names: Vec::new(),
            keys: Vec::new(),
            plans: Vec::new(),
            history: None,
            for_customer: None,
        })
    }

    /// The bytes of the file: canonical JSON, which any tool may lay out anew.
    pub fn bytes(&self) -> Result<Vec<u8>, CanonicalError> {
        canonical::to_canonical_of(self)
    }

    /// Reads a record file, or a signed record alone.
    pub fn read(bytes: &[u8]) -> Result<Self, VerifyError> {
        if let Some(what) = not_json(bytes) {
            return Err(VerifyError::File(what.to_owned()));
        }
        let value = canonical::read_strict_bytes(bytes)?;
        if value.get("format").is_none() {
            return Ok(Self {
                format: FORMAT.to_owned(),
                record: value,
                names: Vec::new(),
                keys: Vec::new(),
                plans: Vec::new(),
                history: None,
                for_customer: None,
            });
        }
        let file: Self =
            serde_json::from_value(value).map_err(|error| VerifyError::File(error.to_string()))?;
        if file.format != FORMAT {
            return Err(VerifyError::File(format!(
                "its format is {:?}, and this program knows {FORMAT:?}",
                file.format
            )));
        }
        if file.for_customer.as_ref().is_some_and(|words| words.signed) {
            return Err(VerifyError::File(
                "words for the customer say that they are signed, and they are not".to_owned(),
            ));
        }
        Ok(file)
    }
}

/// What somebody gave who was handed several files and took another one of them.
fn not_json(bytes: &[u8]) -> Option<&'static str> {
    let begins = |with: &[u8]| {
        bytes
            .get(..with.len())
            .is_some_and(|begin| begin.eq_ignore_ascii_case(with))
    };
    if begins(b"%PDF-") {
        return Some("it is a PDF; save record.json, which is attached to it, and give that");
    }
    if begins(b"PK\x03\x04") {
        return Some("it is an archive; unpack it, and give the record.json in it");
    }
    if begins(b"<!doctype html") {
        return Some(
            "it is a page: opened in a browser it checks itself; here give the record.json that came with it",
        );
    }
    if begins(b"\xEF\xBB\xBF") {
        return Some(
            "it begins with a byte order mark, which an editor put there; save it as UTF-8 without one",
        );
    }
    None
}

impl History {
    /// Entries (sequence number and canonical JSON, rising) with the way to a head. `leaves` are those that the head covers.
    pub fn new(
        checkpoint: String,
        leaves: &[Digest32],
        entries: &[(u64, Vec<u8>)],
    ) -> Result<Self, TreeError> {
        let wanted: Vec<u64> = entries.iter().map(|(sequence, _)| *sequence).collect();
        let hashes = tree::several_proof(leaves, &wanted)?;
        Ok(Self {
            checkpoint,
            entries: entries
                .iter()
                .map(|(_, body)| serde_json::from_slice(body).unwrap_or_default())
                .collect(),
            hashes: hashes.iter().map(tree::hash_text).collect(),
            timestamp: None,
        })
    }
}
