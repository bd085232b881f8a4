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

/// An outside authority has stamped a signed head with its time (RFC 3161). There is no name in it either.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HeadTimestamped {
    /// The signed head, as it is in the ledger.
    pub checkpoint: String,
    /// SHA-256 of the token, which is kept in the ledger.
    pub token: Digest32,
    /// The authority's time, in UTC.
    pub time: String,
    /// The authority, as the token's certificate names it. Nobody has said yet that it is to be trusted.
    pub authority: String,
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
