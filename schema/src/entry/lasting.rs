//! Entries that make a record last: signed heads of the tree, and a build that is taken up again.

use crate::canonical::Digest32;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The head of the tree was signed. There is no name in it, so that a record without names can still be shown to be in
/// the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HeadSigned {
    /// The signed tree head (C2SP checkpoint) over all entries before this one.
    pub checkpoint: String,
    /// The record that was sealed just before, if one was.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub record: Option<Digest32>,
}

/// A build that was handed over is taken up again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reopened {
    /// Which build.
    pub build: String,
    /// Who.
    pub by: String,
    /// Why.
    pub reason: String,
}
