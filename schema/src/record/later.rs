//! What a later signed head says about a record: that the ledger only grew since.

use super::refold::open;
use super::{Verified, VerifyError};
use crate::checkpoint::{Checkpoint, read_hash};
use crate::tree::verify_consistency;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The proof that one head continues another, as a file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConsistencyFile {
    /// How many entries the earlier head covers.
    pub from: u64,
    /// How many the later one covers.
    pub to: u64,
    /// The hashes of RFC 6962 section 2.1.2, in base64.
    pub hashes: Vec<String>,
    /// The later head as it was signed.
    pub checkpoint: String,
}

/// How many entries a head says that it covers. Its signature is not looked at.
pub fn size_of(head: &str) -> Option<u64> {
    let text = head.split("\n\n").next()?;
    Some(Checkpoint::read(&format!("{text}\n")).ok()?.size)
}

/// Why a head that was given cannot answer whether the ledger only grew: neither speaks against the record. Nothing where it can.
pub fn unanswered(verified: &Verified, later: &str, is_proof_given: bool) -> Option<String> {
    let known = verified.in_ledger.as_ref()?.size;
    let size = size_of(later)?;
    if size < known {
        return Some(format!(
            "the head that was given covers {size} entries, and the record's own covers {known}. If you had it before the record, it \
             says nothing about it; if you got it later, ask the shop why its ledger became shorter"
        ));
    }
    (size > known && !is_proof_given).then(|| format!(
        "the head that was given covers {size} entries and the record's own {known}; what is missing is the proof that the one \
         continues the other. The bench makes it: pullmark ledger consistency --from {known} --out FILE; give it with --consistency"
    ))
}

/// Checks that a later head of the bench continues the one that a record came with. `hashes` prove it; they may be empty
/// where both heads are the same.
pub fn continues(
    verified: &Verified,
    later: &str,
    hashes: &[String],
) -> Result<Checkpoint, VerifyError> {
    let wrong = |what: String| VerifyError::History(what);
    let known = verified.in_ledger.as_ref().ok_or_else(|| {
        wrong("the file brings no signed head that a later one could continue".to_owned())
    })?;
    let head = open(later, &verified.keys)?;
    if head.size < known.size {
        return Err(wrong(format!(
            "the head that was given covers {} entries, fewer than the record's {}",
            head.size, known.size
        )));
    }
    let hashes: Option<Vec<_>> = hashes.iter().map(|text| read_hash(text)).collect();
    let hashes =
        hashes.ok_or_else(|| wrong("a hash is not the base64 text of 32 bytes".to_owned()))?;
    verify_consistency(known.size, head.size, &known.root, &head.root, &hashes)
        .map_err(|error| wrong(error.to_string()))?;
    Ok(head)
}
