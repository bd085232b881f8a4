//! Ed25519 signatures and keys against published cases: what must be accepted and what refused.
//!
//! Everything goes through [`DidKey`], the one door for signatures. The files are in `tests/vectors/`; each
//! names its source in its first member.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::fs;

use ed25519_dalek::{Signer, SigningKey};
use pullmark_schema::multikey::{DidKey, MultikeyError, from_base58btc, to_base58btc};
use serde_json::Value;

const VECTORS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/vectors/");

fn vectors(name: &str) -> Value {
    serde_json::from_str(&fs::read_to_string(format!("{VECTORS}{name}")).unwrap()).unwrap()
}

fn bytes(value: &Value) -> Vec<u8> {
    hex::decode(value.as_str().unwrap()).unwrap()
}

fn key(value: &Value) -> Result<DidKey, MultikeyError> {
    DidKey::from_bytes(&bytes(value).try_into().unwrap())
}

fn signing_key(seed: &Value) -> SigningKey {
    SigningKey::from_bytes(&bytes(seed).try_into().unwrap())
}

/// A key that is refused accepts nothing.
fn accepts(public: &Value, message: &[u8], signature: &[u8]) -> bool {
    key(public)
        .and_then(|key| key.verify(message, signature))
        .is_ok()
}

/// RFC 8032 section 7.1, tests 1, 2, 3 and SHA(abc).
#[test]
fn rfc_8032() {
    let vectors = vectors("ed25519-rfc8032.json");
    let tests = vectors["tests"].as_array().unwrap();
    assert_eq!(tests.len(), 4);
    for test in tests {
        let signing = signing_key(&test["seed"]);
        let (message, signature) = (bytes(&test["message"]), bytes(&test["signature"]));
        assert_eq!(
            DidKey::of(&signing).as_bytes().as_slice(),
            bytes(&test["public"])
        );
        assert_eq!(
            signing.sign(&message).to_bytes().as_slice(),
            signature,
            "{}",
            test["name"]
        );
        assert!(
            accepts(&test["public"], &message, &signature),
            "{}",
            test["name"]
        );
    }
}

/// The 12 cases of "Taming the many `EdDSAs`" (eprint 2020/1244; novifinancial/ed25519-speccheck):
/// the published row of the strict verifiers.
#[test]
fn speccheck() {
    let vectors = vectors("ed25519-speccheck.json");
    let answers: String = vectors["cases"]
        .as_array()
        .unwrap()
        .iter()
        .map(|case| {
            let accepted = accepts(
                &case["pub_key"],
                &bytes(&case["message"]),
                &bytes(&case["signature"]),
            );
            assert_eq!(
                Value::Bool(accepted),
                case["strict_accepts"],
                "{}",
                case["index"]
            );
            if accepted { 'V' } else { 'X' }
        })
        .collect();
    assert_eq!(answers, "XXXVXXXXXXXX");
}

/// C2SP CCTV ed25519: one case of each set of flags.
#[test]
fn cctv() {
    let vectors = vectors("ed25519-cctv-subset.json");
    let cases = vectors["vectors"].as_array().unwrap();
    assert_eq!(cases.len(), 66);
    let mut accepted = 0;
    for case in cases {
        let message = case["msg_utf8"].as_str().unwrap().as_bytes();
        let answer = accepts(&case["key"], message, &bytes(&case["sig"]));
        assert_eq!(
            Value::Bool(answer),
            case["strict_accepts"],
            "{}",
            case["number"]
        );
        accepted += u32::from(answer);
    }
    assert_eq!(accepted, 3);
}

/// C2SP Wycheproof ed25519: malleability, truncation, garbage, encoding.
#[test]
fn wycheproof() {
    let vectors = vectors("ed25519-wycheproof-subset.json");
    let tests = vectors["tests"].as_array().unwrap();
    assert_eq!(tests.len(), 38);
    for test in tests {
        let answer = accepts(&test["pk"], &bytes(&test["msg"]), &bytes(&test["sig"]));
        assert_eq!(answer, test["result"] == "valid", "{}", test["tcId"]);
    }
}

/// C2SP CCTV: all 14 encodings of the 8 points of small order are no keys, in no form of text either.
#[test]
fn small_order_points() {
    let vectors = vectors("ed25519-small-order-points.json");
    let mut encodings = Vec::new();
    for point in vectors["points"].as_array().unwrap() {
        encodings.push(&point["encoding"]);
        encodings.extend(point["other_encodings"].as_array().unwrap());
    }
    assert_eq!(encodings.len(), 14);
    for encoding in encodings {
        let refused = key(encoding).unwrap_err();
        assert!(
            matches!(refused, MultikeyError::Weak | MultikeyError::NotAPoint),
            "{encoding}"
        );
        let text = to_base58btc(&[[0xed, 0x01].as_slice(), &bytes(encoding)].concat());
        assert!(format!("did:key:{text}").parse::<DidKey>().is_err());
    }
}

/// github.com/w3c-ccg/did-method-key, Ed25519 test vectors; the invalid ones are written after them.
#[test]
fn did_key() {
    let vectors = vectors("did-key-ed25519.json");
    let rows = vectors["did_key"].as_array().unwrap();
    assert_eq!(rows.len(), 5);
    for row in rows {
        let did = DidKey::of(&signing_key(&row["seed"]));
        let text = row["did"].as_str().unwrap();
        let method = row["verificationMethod"].as_str().unwrap();
        assert_eq!(did.as_bytes().as_slice(), bytes(&row["public_hex"]));
        assert_eq!(
            (did.to_string().as_str(), did.verification_method().as_str()),
            (text, method)
        );
        assert_eq!(text.parse(), Ok(did));
        assert_eq!(DidKey::from_verification_method(method), Ok(did));
    }
    let invalid = vectors["invalid"].as_array().unwrap();
    assert_eq!(invalid.len(), 4);
    for row in invalid {
        assert!(
            row["did"].as_str().unwrap().parse::<DidKey>().is_err(),
            "{}",
            row["why"]
        );
    }
}

/// github.com/multiformats/multibase tests: the base58btc rows go both ways, the other bases are refused.
#[test]
fn multibase() {
    let vectors = vectors("did-key-ed25519.json");
    let mut read = 0;
    for row in vectors["multibase"].as_array().unwrap() {
        let (plain, text) = (bytes(&row["bytes_hex"]), row["multibase"].as_str().unwrap());
        if row["base"] == "base58btc" {
            read += 1;
            assert_eq!(to_base58btc(&plain), text);
            assert_eq!(from_base58btc(text), Ok(plain));
        } else {
            assert_eq!(from_base58btc(text), Err(MultikeyError::NotBase58));
        }
    }
    assert_eq!(read, 3);
}
