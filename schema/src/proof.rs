//! Signing a JSON document and checking it: W3C Data Integrity, cryptosuite `eddsa-jcs-2022` (Data
//! Integrity `EdDSA` Cryptosuites v1.0, W3C Recommendation of 15 May 2025, section 3.3), in a profile that
//! is stricter than the standard:
//!
//! - exactly one proof, and no member in it that the suite does not name;
//! - the context of the proof equals that of the document. The standard asks for a prefix only, so an
//!   entry that is appended later would not be covered by the signature;
//! - the purpose is `assertionMethod`, `created` is there and has an offset;
//! - the key is a `did:key`, and the document's issuer is that same `did:key`;
//! - whole numbers only (see [`crate::canonical`]).
//!
//! A proof that holds says that the document is as this key signed it. Whose key it is, and whether it was
//! still good then, is not known here.

use chrono::{DateTime, FixedOffset};
use ed25519_dalek::{Signer, SigningKey};
use serde_json::{Map, Value};

use crate::canonical::{self, CanonicalError};
use crate::multikey::{self, DidKey, MultikeyError};

const TYPE: &str = "DataIntegrityProof";
const SUITE: &str = "eddsa-jcs-2022";
const PURPOSE: &str = "assertionMethod";
const CONTEXT: &str = "@context";
const PROOF: &str = "proof";
const PROOF_VALUE: &str = "proofValue";
/// Longer texts are cut in messages.
const TEXT_SHOWN: usize = 120;
/// All that a proof may hold.
const MEMBERS: [&str; 7] = [
    "type",
    "cryptosuite",
    "created",
    "verificationMethod",
    "proofPurpose",
    CONTEXT,
    PROOF_VALUE,
];

/// Why a document cannot be signed, or its proof does not hold.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ProofError {
    /// The document is not an object.
    #[error("only a JSON object can be signed")]
    NotAnObject,
    /// A document that is to be signed has a proof.
    #[error("the document has a proof already; take it off before signing")]
    AlreadySigned,
    /// No proof.
    #[error("the document is not signed: it has no \"proof\"")]
    NoProof,
    /// The proof is a list or something else.
    #[error("\"proof\" is not one object; exactly one proof is read")]
    NotOneProof,
    /// A member that the proof must not have.
    #[error("the proof holds the unknown member {name:?}")]
    UnknownMember {
        /// Its name.
        name: String,
    },
    /// A member that the proof lacks, or that is not text.
    #[error("the proof has no text in \"{member}\"")]
    Missing {
        /// Its name.
        member: &'static str,
    },
    /// A member that has another value than the one that is known.
    #[error("\"{member}\" of the proof is {found:?}, only \"{expected}\" is read")]
    NotKnown {
        /// Its name.
        member: &'static str,
        /// The one value that is read.
        expected: &'static str,
        /// The value that was found.
        found: String,
    },
    /// The contexts differ.
    #[error(
        "\"@context\" of the proof is not that of the document; the document was changed after signing"
    )]
    Context,
    /// `created` is not a time.
    #[error(
        "\"created\" is {found:?}, not a time with its offset such as 2026-11-25T14:03:05+01:00 (RFC 3339)"
    )]
    Created {
        /// What was found.
        found: String,
    },
    /// The verification method is not a `did:key`.
    #[error("\"verificationMethod\" of the proof: {0}")]
    Method(#[source] MultikeyError),
    /// No issuer.
    #[error(
        "the document does not say who issues it: \"issuer\" is neither text nor an object with \"id\""
    )]
    NoIssuer,
    /// The issuer is not the key.
    #[error("the document names {found:?} as issuer, but the key is {key}")]
    Issuer {
        /// What the document says.
        found: String,
        /// The key that signs or signed.
        key: DidKey,
    },
    /// The proof value cannot be read.
    #[error("\"proofValue\" is not \"z\" and the base58 text of 64 bytes: {0}")]
    ProofValue(#[source] MultikeyError),
    /// The document cannot be hashed.
    #[error(transparent)]
    Canonical(#[from] CanonicalError),
    /// The signature does not hold.
    #[error(
        "the signature of {key} does not hold: the document was changed, or another key signed it"
    )]
    Signature {
        /// The key that the proof names.
        key: DidKey,
    },
}

/// What a proof that holds vouches for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signed {
    /// The key that signed; it is the document's issuer too.
    pub key: DidKey,
    /// When, by the signer's own word, as it is written in the proof.
    pub created: String,
    /// The same time, read.
    pub created_at: DateTime<FixedOffset>,
    /// The document without its proof.
    pub document: Value,
}

/// Signs: gives the document back with a proof. `created` is written as given (RFC 3339 with offset). The
/// issuer of the document must be the `did:key` of `key`.
pub fn sign(document: &Value, key: &SigningKey, created: &str) -> Result<Value, ProofError> {
    sign_whole(document.clone(), key, created).map(|(signed, _)| signed)
}

/// [`sign`] for a document that is not needed any more; gives the canonical form of what was signed, proof included.
pub fn sign_to_canonical(
    document: Value,
    key: &SigningKey,
    created: &str,
) -> Result<Vec<u8>, ProofError> {
    sign_whole(document, key, created).map(|(_, bytes)| bytes)
}

fn sign_whole(
    mut document: Value,
    key: &SigningKey,
    created: &str,
) -> Result<(Value, Vec<u8>), ProofError> {
    let members = document.as_object().ok_or(ProofError::NotAnObject)?;
    if members.contains_key(PROOF) {
        return Err(ProofError::AlreadySigned);
    }
    let did = DidKey::of(key);
    check_issuer(members, &did)?;
    read_created(created)?;

    let mut proof = proof_options(&document, &did, created);
    let hash = hash_data(&document, &proof)?;
    let proof_value = encode_proof_value(&key.sign(&hash).to_bytes());
    if let Value::Object(proof) = &mut proof {
        proof.insert(PROOF_VALUE.to_owned(), proof_value.into());
    }
    if let Value::Object(members) = &mut document {
        members.insert(PROOF.to_owned(), proof);
    }
    // The proof adds length, and a level above the context: what comes out must be readable again.
    let bytes = canonical::to_canonical(&document)?;
    Ok((document, bytes))
}

/// Checks a signed document that was read with [`canonical::read_strict`]. A document from elsewhere may
/// have lost a second member of the same name: use [`verify_text`] for text.
pub fn verify(secured: &Value) -> Result<Signed, ProofError> {
    let mut document = secured.as_object().ok_or(ProofError::NotAnObject)?.clone();
    let mut proof = match document.remove(PROOF) {
        None => return Err(ProofError::NoProof),
        Some(Value::Object(proof)) => proof,
        Some(_) => return Err(ProofError::NotOneProof),
    };
    check_members(&proof, &document)?;
    let key = DidKey::from_verification_method(text(&proof, "verificationMethod")?)
        .map_err(ProofError::Method)?;
    let created = text(&proof, "created")?.to_owned();
    let created_at = read_created(&created)?;
    check_issuer(&document, &key)?;
    let signature = decode_proof_value(text(&proof, PROOF_VALUE)?)?;

    proof.remove(PROOF_VALUE);
    let document = Value::Object(document);
    let hash = hash_data(&document, &Value::Object(proof))?;
    key.verify(&hash, &signature)
        .map_err(|_| ProofError::Signature { key })?;
    Ok(Signed {
        key,
        created,
        created_at,
        document,
    })
}

/// Reads a text strictly and checks its proof.
pub fn verify_text(text: &str) -> Result<Signed, ProofError> {
    verify(&canonical::read_strict(text)?)
}

/// The proof without its value, as it is hashed (section 3.3.1, steps 2 and 3).
pub fn proof_options(document: &Value, key: &DidKey, created: &str) -> Value {
    let mut options = Map::new();
    let mut put = |name: &str, value: Value| options.insert(name.to_owned(), value);
    put("type", TYPE.into());
    put("cryptosuite", SUITE.into());
    put("created", created.into());
    put("verificationMethod", key.verification_method().into());
    put("proofPurpose", PURPOSE.into());
    if let Some(context) = document.get(CONTEXT) {
        put(CONTEXT, context.clone());
    }
    Value::Object(options)
}

/// What is signed (section 3.3.4): SHA-256 of the canonical proof options, then SHA-256 of the canonical
/// document. The document must be without `proof`, the options without `proofValue`.
pub fn hash_data(document: &Value, proof_options: &Value) -> Result<[u8; 64], CanonicalError> {
    let proof_hash = canonical::sha256(&canonical::to_canonical(proof_options)?);
    let document_hash = canonical::sha256(&canonical::to_canonical(document)?);
    let mut hash = [0; 64];
    let (first, second) = hash.split_at_mut(32);
    first.copy_from_slice(&proof_hash);
    second.copy_from_slice(&document_hash);
    Ok(hash)
}

/// A signature as `proofValue`.
pub fn encode_proof_value(signature: &[u8; 64]) -> String {
    multikey::to_base58btc(signature)
}

/// Reads a `proofValue`: `z` and the base58 text of exactly 64 bytes.
pub fn decode_proof_value(text: &str) -> Result<[u8; 64], ProofError> {
    let bytes = multikey::from_base58btc(text).map_err(ProofError::ProofValue)?;
    let found = bytes.len();
    bytes
        .try_into()
        .map_err(|_| ProofError::ProofValue(MultikeyError::SignatureLength { found }))
}

fn check_members(
    proof: &Map<String, Value>,
    document: &Map<String, Value>,
) -> Result<(), ProofError> {
    if let Some(name) = proof.keys().find(|name| !MEMBERS.contains(&name.as_str())) {
        return Err(ProofError::UnknownMember { name: short(name) });
    }
    // The text of section 3.3.3 would let one wrong name pass; section 3.3.5 would not. Both must be right.
    for (member, expected) in [
        ("type", TYPE),
        ("cryptosuite", SUITE),
        ("proofPurpose", PURPOSE),
    ] {
        let found = text(proof, member)?;
        if found != expected {
            return Err(ProofError::NotKnown {
                member,
                expected,
                found: short(found),
            });
        }
    }
    if proof.get(CONTEXT) == document.get(CONTEXT) {
        Ok(())
    } else {
        Err(ProofError::Context)
    }
}

fn text<'a>(proof: &'a Map<String, Value>, member: &'static str) -> Result<&'a str, ProofError> {
    proof
        .get(member)
        .and_then(Value::as_str)
        .ok_or(ProofError::Missing { member })
}

fn check_issuer(document: &Map<String, Value>, key: &DidKey) -> Result<(), ProofError> {
    let found = match document.get("issuer") {
        Some(Value::Object(issuer)) => issuer.get("id").and_then(Value::as_str),
        Some(other) => other.as_str(),
        None => None,
    };
    match found {
        None => Err(ProofError::NoIssuer),
        Some(found) if found == key.to_string() => Ok(()),
        Some(found) => Err(ProofError::Issuer {
            found: short(found),
            key: *key,
        }),
    }
}

/// RFC 3339 in the one form that XSD dateTimeStamp has too: `T` and `Z` in capitals. The library reads
/// small letters and a blank as well.
fn read_created(text: &str) -> Result<DateTime<FixedOffset>, ProofError> {
    let one_form = text
        .bytes()
        .all(|b| b.is_ascii_digit() || b"-:.+TZ".contains(&b));
    DateTime::parse_from_rfc3339(text)
        .ok()
        .filter(|_| one_form)
        .ok_or_else(|| ProofError::Created { found: short(text) })
}

/// A text from outside, short enough for a message.
fn short(text: &str) -> String {
    text.chars().take(TEXT_SHOWN).collect()
}

#[cfg(test)]
mod tests;
