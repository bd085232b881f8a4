//! Public keys as text: `did:key` with an Ed25519 key (multicodec `ed 01`) in multibase base58btc, after
//! the did:key method (w3c-ccg) and Multikey (W3C Controlled Identifiers 1.0). And the one door through
//! which every signature is checked.
//!
//! Only this one kind of key is known. Secret keys are never written as text here.

use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

use ed25519_dalek::{Signature, SigningKey, VerifyingKey};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// What stands before the key text.
const DID: &str = "did:key:";
/// Multicodec `ed25519-pub` (0xed) as a varint.
const ED25519_PUB: [u8; 2] = [0xed, 0x01];
/// Decoding base58 takes the square of the length, and nothing here is longer than a signature.
const MAX_TEXT: usize = 128;

/// Why a text is not a key, or a signature does not hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum MultikeyError {
    /// Not `did:key:`.
    #[error("a signer's name begins with \"did:key:\"")]
    NotDidKey,
    /// Not base58btc with its header.
    #[error(
        "the key or signature text is not \"z\" and base58 letters, or is longer than {MAX_TEXT}"
    )]
    NotBase58,
    /// Another kind of key, or the wrong length.
    #[error("the key is not an Ed25519 public key of 32 bytes")]
    NotEd25519,
    /// No point of the curve, or one written in a second way.
    #[error("the key is not a point of the curve in its one proper form")]
    NotAPoint,
    /// One of the points with which almost any signature can be made to hold.
    #[error("the key is one of the weak ones that let almost any signature pass")]
    Weak,
    /// Not `did#key` of one and the same key.
    #[error("the verification method is not the did:key, \"#\" and the same key again")]
    NotItsOwnMethod,
    /// The signature has not 64 bytes.
    #[error("a signature has 64 bytes, this one has {found}")]
    SignatureLength {
        /// How many it has.
        found: usize,
    },
    /// The signature does not hold.
    #[error("the signature does not hold: the text was changed, or another key signed it")]
    BadSignature,
}

/// A public key that may sign, known good: a proper point, not a weak one. Its text is
/// `did:key:z6Mk...`; there is exactly one text for each key.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DidKey([u8; 32]);

impl DidKey {
    /// The public key of a signing key.
    pub fn of(key: &SigningKey) -> Self {
        // A signing key's public key is never weak: its scalar is clamped (RFC 8032 section 5.1.5).
        Self(key.verifying_key().to_bytes())
    }

    /// A public key from its 32 bytes.
    pub fn from_bytes(bytes: &[u8; 32]) -> Result<Self, MultikeyError> {
        let key = VerifyingKey::from_bytes(bytes).map_err(|_| MultikeyError::NotAPoint)?;
        if key.is_weak() {
            return Err(MultikeyError::Weak);
        }
        if key.to_edwards().compress().to_bytes() != *bytes {
            return Err(MultikeyError::NotAPoint);
        }
        Ok(Self(*bytes))
    }

    /// The 32 bytes.
    pub const fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// The key without `did:key:`, `z6Mk...`.
    pub fn multikey(&self) -> String {
        to_base58btc(&[ED25519_PUB.as_slice(), self.as_bytes()].concat())
    }

    /// Reads `z6Mk...`.
    pub fn from_multikey(text: &str) -> Result<Self, MultikeyError> {
        let bytes = from_base58btc(text)?;
        let key = bytes
            .strip_prefix(&ED25519_PUB)
            .ok_or(MultikeyError::NotEd25519)?;
        Self::from_bytes(key.try_into().map_err(|_| MultikeyError::NotEd25519)?)
    }

    /// How a proof names the key: `did:key:z6Mk...#z6Mk...`.
    pub fn verification_method(&self) -> String {
        let key = self.multikey();
        format!("{DID}{key}#{key}")
    }

    /// Reads `did:key:z6Mk...#z6Mk...`; both parts must be the same key.
    pub fn from_verification_method(text: &str) -> Result<Self, MultikeyError> {
        let (did, key) = text.split_once('#').ok_or(MultikeyError::NotItsOwnMethod)?;
        let parsed: Self = did.parse()?;
        if did.strip_prefix(DID) == Some(key) {
            Ok(parsed)
        } else {
            Err(MultikeyError::NotItsOwnMethod)
        }
    }

    /// Checks an Ed25519 signature (RFC 8032) strictly: exactly 64 bytes, S reduced, no weak point. Every
    /// signature that this crate checks goes through here.
    pub fn verify(&self, message: &[u8], signature: &[u8]) -> Result<(), MultikeyError> {
        let signature =
            Signature::from_slice(signature).map_err(|_| MultikeyError::SignatureLength {
                found: signature.len(),
            })?;
        let key = VerifyingKey::from_bytes(&self.0).map_err(|_| MultikeyError::NotAPoint)?;
        key.verify_strict(message, &signature)
            .map_err(|_| MultikeyError::BadSignature)
    }
}

impl fmt::Display for DidKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{DID}{}", self.multikey())
    }
}

impl fmt::Debug for DidKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "DidKey({self})")
    }
}

impl FromStr for DidKey {
    type Err = MultikeyError;

    fn from_str(text: &str) -> Result<Self, MultikeyError> {
        Self::from_multikey(text.strip_prefix(DID).ok_or(MultikeyError::NotDidKey)?)
    }
}

impl Serialize for DidKey {
    fn serialize<S: Serializer>(&self, target: S) -> Result<S::Ok, S::Error> {
        target.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for DidKey {
    fn deserialize<D: Deserializer<'de>>(source: D) -> Result<Self, D::Error> {
        String::deserialize(source)?
            .parse()
            .map_err(D::Error::custom)
    }
}

impl JsonSchema for DidKey {
    fn schema_name() -> Cow<'static, str> {
        "DidKey".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "pattern": "^did:key:z6Mk[1-9A-HJ-NP-Za-km-z]{44}$" })
    }
}

/// Multibase base58btc: `z` and the base58 text.
pub fn to_base58btc(bytes: &[u8]) -> String {
    format!("z{}", bs58::encode(bytes).into_string())
}

/// Reads multibase base58btc. Other bases are refused, and so is anything longer than a signature.
pub fn from_base58btc(text: &str) -> Result<Vec<u8>, MultikeyError> {
    let digits = text.strip_prefix('z').ok_or(MultikeyError::NotBase58)?;
    if text.len() > MAX_TEXT {
        return Err(MultikeyError::NotBase58);
    }
    bs58::decode(digits)
        .into_vec()
        .map_err(|_| MultikeyError::NotBase58)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;
    use ed25519_dalek::Signer;
    use proptest::prelude::*;

    fn key() -> SigningKey {
        SigningKey::from_bytes(&[7; 32])
    }

    #[test]
    fn only_the_one_text_of_a_key_is_read() {
        let did = DidKey::of(&key());
        let text = did.to_string();
        assert!(text.starts_with("did:key:z6Mk") && text.len() == 56);
        assert_eq!(text.parse(), Ok(did));
        let bad = [
            text.to_uppercase(),
            format!(" {text}"),
            format!("{text} "),
            format!("{text}#"),
            format!("{text}1"),
            text.replace("did:key:z", "did:key:z1"),
            text.replace("did:key:", "did:web:"),
            text.replace("did:key:z", "did:key:u"),
            format!("did:key:z{}", "2".repeat(100_000)),
            String::new(),
        ];
        for bad in bad {
            assert!(bad.parse::<DidKey>().is_err(), "{bad}");
        }
    }

    #[test]
    fn a_method_names_one_key_twice() {
        let did = DidKey::of(&key());
        let other = DidKey::of(&SigningKey::from_bytes(&[8; 32]));
        let method = did.verification_method();
        assert_eq!(DidKey::from_verification_method(&method), Ok(did));
        for bad in [
            did.to_string(),
            format!("{did}#"),
            format!("{did}#{}", other.multikey()),
            format!("{method}#{}", did.multikey()),
            format!("{did}#key-1"),
        ] {
            assert!(DidKey::from_verification_method(&bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_second_writing_of_a_point_is_refused() {
        // y = p + k for k = 0..18 are the only second writings (RFC 8032 section 5.1.3 demands y < p).
        for k in 0_u8..19 {
            for sign in [0x7f, 0xff] {
                let mut bytes = [0xff; 32];
                bytes[0] = 0xed + k;
                bytes[31] = sign;
                assert!(DidKey::from_bytes(&bytes).is_err(), "p + {k}");
            }
        }
    }

    proptest! {
        // Signatures are slow without optimization.
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn every_key_goes_to_text_and_back(seed: [u8; 32], message: Vec<u8>, at in 0_usize..64, bit in 0_u8..8) {
            let key = SigningKey::from_bytes(&seed);
            let did = DidKey::of(&key);
            prop_assert_eq!(DidKey::from_bytes(did.as_bytes()), Ok(did));
            prop_assert_eq!(did.to_string().parse(), Ok(did));
            let json = serde_json::to_string(&did).unwrap();
            prop_assert_eq!(serde_json::from_str::<DidKey>(&json).unwrap(), did);

            let mut signature = key.sign(&message).to_bytes();
            prop_assert_eq!(did.verify(&message, &signature), Ok(()));
            signature[at] ^= 1 << bit;
            prop_assert_eq!(did.verify(&message, &signature), Err(MultikeyError::BadSignature));
        }

        #[test]
        fn no_text_makes_it_panic(text: String, tail in "[1-9A-HJ-NP-Za-km-z]{0,140}") {
            let _ = text.parse::<DidKey>();
            let _ = format!("did:key:z{tail}").parse::<DidKey>();
            let _ = DidKey::from_verification_method(&text);
        }
    }
}
