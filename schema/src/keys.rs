//! The bench's key history: which key signed when, in links that each sign for the next.
//!
//! The first link is signed by the first key. It holds that key, the hash of the key that may follow it, and the hash of
//! a recovery key that is kept on paper. A later link is signed either by the key before it, and then brings the very key
//! whose hash was promised, or by the recovery key. So whoever steals today's key cannot name a successor, and a lost
//! one can be replaced. What a customer pins is the hash of the first link: it stays the same however often keys change.
//!
//! Each link is a JSON document with an `eddsa-jcs-2022` proof (see [`crate::proof`]), and an entry of the ledger.

use crate::canonical::{self, Digest32};
use crate::multikey::DidKey;
use crate::proof::{self, ProofError};
use crate::record::KeyEntry;
use chrono::{DateTime, FixedOffset};
use ed25519_dalek::SigningKey;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

mod paper;

pub use paper::{PaperError, read_secret, secret_text};

/// The most links that are read.
const MOST: usize = 1_000;

/// Why a link was added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum KeyReason {
    /// The first key of the bench.
    First,
    /// Changed without a cause, as one does from time to time.
    Rotation,
    /// Somebody else has, or may have, the key before.
    Theft,
    /// The key before is lost.
    Loss,
}

impl std::fmt::Display for KeyReason {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::First => "first key",
            Self::Rotation => "rotation",
            Self::Theft => "theft",
            Self::Loss => "loss",
        })
    }
}

/// A key that no longer signs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RevokedKey {
    /// The key as multibase text.
    pub key: String,
    /// What it signed at or after this moment does not count. It may lie before the link, after a theft; then nothing counts
    /// either that an earlier key signed at or after it.
    pub from: String,
}

/// The proof of a link; see [`crate::proof`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LinkProof {
    /// `DataIntegrityProof`.
    #[serde(rename = "type")]
    pub kind: String,
    /// `eddsa-jcs-2022`.
    pub cryptosuite: String,
    /// Equal to `valid_from`.
    pub created: String,
    /// The key that signed this link.
    #[serde(rename = "verificationMethod")]
    pub verification_method: String,
    /// `assertionMethod`.
    #[serde(rename = "proofPurpose")]
    pub proof_purpose: String,
    /// 64 bytes in base58btc.
    #[serde(rename = "proofValue")]
    pub proof_value: String,
}

/// One link of the history.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeyLink {
    /// The did of the key that signs this link.
    pub issuer: String,
    /// Counted from 0. The hash of number 0 is the bench's identity.
    pub sequence: u32,
    /// The hash of the link before; 64 zeros in the first.
    pub previous: Digest32,
    /// The key that signs from now on, as multibase text.
    pub key: String,
    /// SHA-256 of the multibase text of the one key that the next link may bring.
    pub next: Digest32,
    /// SHA-256 of the multibase text of the recovery key.
    pub recovery: Digest32,
    /// From when the key signs, RFC 3339 with offset.
    pub valid_from: String,
    /// Why this link was added.
    pub reason: KeyReason,
    /// The key before, and from when on it no longer counts; none in the first link.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub revoked: Option<RevokedKey>,
    /// The first entry of the plain list of keys that ledgers had before there were links. Its hash was the identity then.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub before: Option<KeyEntry>,
    /// The signature.
    pub proof: LinkProof,
}

/// A key history as a file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeyHistory {
    /// The links, the first one first.
    pub keys: Vec<KeyLink>,
}

/// Why a key history does not hold.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum KeyError {
    /// There is none, or it is too long.
    #[error("the key history has {0} links; it has 1 to {MOST}")]
    Count(usize),
    /// A signature does not hold.
    #[error("link {link} of the key history: {error}")]
    Proof {
        /// Which link.
        link: usize,
        /// What is wrong with it.
        error: ProofError,
    },
    /// A link does not fit the one before.
    #[error("link {link} of the key history: {what}")]
    Link {
        /// Which link.
        link: usize,
        /// What is wrong with it.
        what: &'static str,
    },
    /// The file holds something else.
    #[error("this is no key history: {0}")]
    Form(String),
}

/// What a new link says; [`KeyLink::first`] and [`KeyLink::follow`] sign it.
#[derive(Debug, Clone)]
pub struct NewKey<'a> {
    /// The key that signs from now on.
    pub key: DidKey,
    /// The hash of the key that may follow it, from [`hash_of`].
    pub next: Digest32,
    /// The hash of the recovery key.
    pub recovery: Digest32,
    /// From when, RFC 3339 with offset.
    pub valid_from: &'a str,
}

/// By what a key is promised before it is shown: SHA-256 of its multibase text.
pub fn hash_of(key: &DidKey) -> Digest32 {
    Digest32::of(key.multikey().as_bytes())
}

/// A hash in groups of four digits, for reading it to one another.
pub fn in_groups(hash: &Digest32) -> String {
    let text = hash.to_string();
    let signs: Vec<char> = text.chars().collect();
    let groups: Vec<String> = signs
        .chunks(4)
        .map(|group| group.iter().collect())
        .collect();
    groups.join(" ")
}

impl KeyLink {
    /// The first link of a bench.
    pub fn first(
        new: &NewKey<'_>,
        signer: &SigningKey,
        before: Option<KeyEntry>,
    ) -> Result<Self, ProofError> {
        let draft = Self::draft(new, signer, None, KeyReason::First, None, before);
        draft.signed(signer)
    }

    /// A link that follows on this one. Whether the signer may do so is seen by [`check`].
    pub fn follow(
        &self,
        new: &NewKey<'_>,
        signer: &SigningKey,
        reason: KeyReason,
        revoked_from: &str,
    ) -> Result<Self, ProofError> {
        let revoked = RevokedKey {
            key: self.key.clone(),
            from: revoked_from.to_owned(),
        };
        Self::draft(new, signer, Some(self), reason, Some(revoked), None).signed(signer)
    }

    fn draft(
        new: &NewKey<'_>,
        signer: &SigningKey,
        previous: Option<&Self>,
        reason: KeyReason,
        revoked: Option<RevokedKey>,
        before: Option<KeyEntry>,
    ) -> Self {
        Self {
            issuer: DidKey::of(signer).to_string(),
            sequence: previous.map_or(0, |link| link.sequence + 1),
            previous: previous.map_or(Digest32::new([0; 32]), Self::hash),
            key: new.key.multikey(),
            next: new.next,
            recovery: new.recovery,
            valid_from: new.valid_from.to_owned(),
            reason,
            revoked,
            before,
            proof: LinkProof {
                kind: String::new(),
                cryptosuite: String::new(),
                created: String::new(),
                verification_method: String::new(),
                proof_purpose: String::new(),
                proof_value: String::new(),
            },
        }
    }

    fn signed(self, signer: &SigningKey) -> Result<Self, ProofError> {
        let mut document = self.value();
        if let Some(members) = document.as_object_mut() {
            members.remove("proof");
        }
        let document = proof::sign(&document, signer, &self.valid_from)?;
        // What was just signed has the members of this type.
        serde_json::from_value(document).map_err(|_| ProofError::NotOneProof)
    }

    fn value(&self) -> serde_json::Value {
        serde_json::to_value(self).unwrap_or_default()
    }

    /// SHA-256 of the link's canonical JSON, proof included; of the first link, the bench's identity.
    pub fn hash(&self) -> Digest32 {
        let bytes = canonical::to_canonical_of(self).unwrap_or_default();
        Digest32::of(&bytes)
    }
}

/// One key of a history that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    /// The key.
    pub key: DidKey,
    /// From when it signs.
    pub from: DateTime<FixedOffset>,
    /// From when on it no longer counts, and why; none for the present key.
    pub revoked: Option<(DateTime<FixedOffset>, KeyReason)>,
}

/// A key history that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Keys {
    /// The hash of the first link: what a customer pins.
    pub identity: Digest32,
    /// What the identity was while the ledger had a plain list of keys.
    pub earlier_identity: Option<Digest32>,
    /// The keys, the first one first; never empty.
    pub spans: Vec<Span>,
}

impl Keys {
    /// The first key; the bench's log is named by it.
    pub fn first(&self) -> Option<&DidKey> {
        self.spans.first().map(|span| &span.key)
    }

    /// The key that signs now.
    pub fn present(&self) -> Option<&DidKey> {
        self.spans.last().map(|span| &span.key)
    }

    /// Whether a pinned hash is this bench's.
    pub fn is(&self, pin: &Digest32) -> bool {
        self.identity == *pin || self.earlier_identity == Some(*pin)
    }
}

/// Reads a key history from a file: a list of links, or an object with such a list as `keys`.
pub fn read(bytes: &[u8]) -> Result<Vec<KeyLink>, KeyError> {
    let mut value =
        canonical::read_strict_bytes(bytes).map_err(|error| KeyError::Form(error.to_string()))?;
    if let Some(keys) = value.get_mut("keys") {
        value = keys.take();
    }
    serde_json::from_value(value).map_err(|error| KeyError::Form(error.to_string()))
}

/// Checks a key history from its first link to its last.
pub fn check(links: &[KeyLink]) -> Result<Keys, KeyError> {
    if links.is_empty() || links.len() > MOST {
        return Err(KeyError::Count(links.len()));
    }
    let mut spans: Vec<Span> = Vec::with_capacity(links.len());
    let mut previous: Option<&KeyLink> = None;
    for (number, link) in links.iter().enumerate() {
        let wrong = |what| KeyError::Link { link: number, what };
        let signed = proof::verify(&link.value()).map_err(|error| KeyError::Proof {
            link: number,
            error,
        })?;
        let key = DidKey::from_multikey(&link.key).map_err(|_| wrong("its key is none"))?;
        if usize::try_from(link.sequence).ok() != Some(number) {
            return Err(wrong("it has another number, so one is missing"));
        }
        if signed.created != link.valid_from {
            return Err(wrong("it was not signed when it begins to hold"));
        }
        if spans.iter().any(|span| span.key == key) {
            return Err(wrong("its key was there before"));
        }
        match previous {
            None => check_first(link, &signed.key, &key).map_err(wrong)?,
            Some(before) => {
                let from = check_next(before, link, &signed.key, &key).map_err(wrong)?;
                if from > signed.created_at {
                    return Err(wrong("it revokes the key before from a later time on"));
                }
                revoke(&mut spans, from, link.reason);
            }
        }
        spans.push(Span {
            key,
            from: signed.created_at,
            revoked: None,
        });
        previous = Some(link);
    }
    let before = links.first().and_then(|link| link.before.as_ref());
    Ok(Keys {
        identity: links.first().map_or(Digest32::new([0; 32]), KeyLink::hash),
        earlier_identity: before.and_then(KeyEntry::fingerprint),
        spans,
    })
}

/// The key before no longer counts from `from` on. After a theft or a loss no earlier one does either: a stolen key may be found
/// out after it was changed in the ordinary way.
fn revoke(spans: &mut [Span], from: DateTime<FixedOffset>, reason: KeyReason) {
    let Some((last, earlier)) = spans.split_last_mut() else {
        return;
    };
    last.revoked = Some((from, reason));
    if matches!(reason, KeyReason::Theft | KeyReason::Loss) {
        for span in earlier {
            if span.revoked.is_none_or(|(known, _)| from < known) {
                span.revoked = Some((from, reason));
            }
        }
    }
}

fn check_first(link: &KeyLink, signer: &DidKey, key: &DidKey) -> Result<(), &'static str> {
    if signer != key {
        return Err("the first key did not sign it");
    }
    if link.previous != Digest32::new([0; 32])
        || link.reason != KeyReason::First
        || link.revoked.is_some()
    {
        return Err("it is not the first of a history");
    }
    if link
        .before
        .as_ref()
        .is_some_and(|before| before.key != link.key)
    {
        return Err("the plain list before it began with another key");
    }
    Ok(())
}

fn check_next(
    before: &KeyLink,
    link: &KeyLink,
    signer: &DidKey,
    key: &DidKey,
) -> Result<DateTime<FixedOffset>, &'static str> {
    if link.previous != before.hash() {
        return Err("it follows on another link than the one before it");
    }
    if link.reason == KeyReason::First || link.before.is_some() {
        return Err("it says that it is the first");
    }
    let by_recovery = hash_of(signer) == before.recovery;
    let by_key_before = signer.multikey() == before.key;
    if !by_recovery && !by_key_before {
        return Err("neither the key before nor the recovery key signed it");
    }
    if !by_recovery && hash_of(key) != before.next {
        return Err("its key is not the one that was promised");
    }
    if !by_recovery && link.recovery != before.recovery {
        return Err("only the recovery key may name another recovery key");
    }
    let revoked = link
        .revoked
        .as_ref()
        .ok_or("it leaves the key before valid")?;
    if revoked.key != before.key {
        return Err("it revokes another key than the one before");
    }
    DateTime::parse_from_rfc3339(&revoked.from).map_err(|_| "the moment of revoking is no time")
}

/// Which of two histories of one bench knows more; nothing if they part.
pub fn longer<'a>(one: &'a [KeyLink], other: &'a [KeyLink]) -> Option<&'a [KeyLink]> {
    let (long, short) = if one.len() >= other.len() {
        (one, other)
    } else {
        (other, one)
    };
    long.starts_with(short).then_some(long)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
pub(crate) mod tests;
