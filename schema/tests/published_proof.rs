//! `eddsa-jcs-2022` against the published vectors: W3C Recommendation Data Integrity `EdDSA` Cryptosuites
//! v1.0, 15 May 2025, appendix B.3, every intermediate value; and 12 cases derived from that document.
//!
//! The published document names an `https` issuer, so our own [`verify`] refuses it; it is checked with
//! the functions below, and the cases are made again with a `did:key` issuer.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::fs;

use ed25519_dalek::{Signer, SigningKey};
use pullmark_schema::canonical::{Digest32, to_canonical};
use pullmark_schema::multikey::DidKey;
use pullmark_schema::proof::{
    ProofError, decode_proof_value, encode_proof_value, hash_data, proof_options, sign, verify,
};
use serde_json::Value;

const VECTORS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/vectors/");

fn vectors() -> Value {
    let text = fs::read_to_string(format!("{VECTORS}eddsa-jcs-2022.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

fn signing_key(vectors: &Value) -> SigningKey {
    let seed = hex::decode(vectors["seed_hex"].as_str().unwrap()).unwrap();
    SigningKey::from_bytes(&seed.try_into().unwrap())
}

#[test]
fn every_published_step() {
    let vectors = vectors();
    let text = |name: &str| vectors[name].as_str().unwrap();
    let key = signing_key(&vectors);
    let did = DidKey::of(&key);
    assert_eq!(hex::encode(did.as_bytes()), text("public_hex"));
    assert_eq!(did.multikey(), text("publicKeyMultibase"));
    assert_eq!(DidKey::from_multikey(text("publicKeyMultibase")), Ok(did));

    let document = &vectors["unsecuredDocument"];
    let canonical = to_canonical(document).unwrap();
    assert_eq!(canonical, text("canonicalDocument").as_bytes());
    assert_eq!(Digest32::of(&canonical).to_string(), text("documentHash"));

    let options = proof_options(document, &did, "2023-02-24T23:36:38Z");
    assert_eq!(options, vectors["proofOptions"]);
    let canonical = to_canonical(&options).unwrap();
    assert_eq!(canonical, text("canonicalProofConfig").as_bytes());
    assert_eq!(
        Digest32::of(&canonical).to_string(),
        text("proofConfigHash")
    );

    let hash = hash_data(document, &options).unwrap();
    assert_eq!(hex::encode(hash), text("hashData"));
    let signature = key.sign(&hash).to_bytes();
    assert_eq!(hex::encode(signature), text("signature_hex"));
    assert_eq!(encode_proof_value(&signature), text("proofValue"));
    assert_eq!(decode_proof_value(text("proofValue")), Ok(signature));
    assert_eq!(did.verify(&hash, &signature), Ok(()));
}

/// Verification as section 3.3 of the standard has it, without our profile: any issuer, and the context of
/// the proof need only be how the document's begins.
fn holds_by_the_standard(secured: &Value) -> bool {
    let mut document = secured.clone();
    let mut proof = document.as_object_mut().unwrap().remove("proof").unwrap();
    let value = proof.as_object_mut().unwrap().remove("proofValue").unwrap();
    if proof["type"] != "DataIntegrityProof" || proof["cryptosuite"] != "eddsa-jcs-2022" {
        return false;
    }
    let context = proof["@context"].as_array().unwrap();
    if !document["@context"]
        .as_array()
        .unwrap()
        .starts_with(context)
    {
        return false;
    }
    document["@context"] = proof["@context"].clone();
    let Ok(signature) = decode_proof_value(value.as_str().unwrap()) else {
        return false;
    };
    let hash = hash_data(&document, &proof).unwrap();
    DidKey::from_verification_method(proof["verificationMethod"].as_str().unwrap())
        .is_ok_and(|key| key.verify(&hash, &signature).is_ok())
}

#[test]
fn the_cases_by_the_standard_and_by_our_profile() {
    let vectors = vectors();
    let cases = vectors["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 12);
    for case in cases {
        let expected = case["verifies"].as_bool().unwrap();
        assert_eq!(
            holds_by_the_standard(&case["document"]),
            expected,
            "{}",
            case["name"]
        );
        // Stricter here: the issuer must be the did:key itself, and the published one is a web address.
        assert!(verify(&case["document"]).is_err(), "{}", case["name"]);
    }
    let refused = verify(&cases[0]["document"]).unwrap_err();
    assert!(matches!(refused, ProofError::Issuer { .. }), "{refused}");
}

/// The difference between a case and the published document, put into the same document with our issuer.
fn in_our_profile(case: &Value, published: &Value, ours: &Value) -> Value {
    let mut made = case["document"].clone();
    if made["issuer"] == published["issuer"] {
        made["issuer"] = ours["issuer"].clone();
    }
    // Our signature is another one; put it in where the case did not touch the published one, and break it
    // in the same way where it did.
    let theirs = published["proof"]["proofValue"].as_str().unwrap();
    let mine = ours["proof"]["proofValue"].as_str().unwrap();
    let found = made["proof"]["proofValue"].as_str().unwrap();
    made["proof"]["proofValue"] = match found {
        same if same == theirs => mine.to_owned(),
        short if theirs.starts_with(short) => mine[..mine.len() - 1].to_owned(),
        other => format!("{}{}", &other[..1], &mine[1..]),
    }
    .into();
    made
}

#[test]
fn the_same_cases_with_our_issuer() {
    let vectors = vectors();
    let key = signing_key(&vectors);
    let published = &vectors["cases"][0]["document"];
    let mut document = vectors["unsecuredDocument"].clone();
    document["issuer"] = DidKey::of(&key).to_string().into();
    let ours = sign(&document, &key, "2023-02-24T23:36:38Z").unwrap();
    let mut outcomes = Vec::new();
    for case in vectors["cases"].as_array().unwrap() {
        let name = case["name"].as_str().unwrap();
        let made = in_our_profile(case, published, &ours);
        let expected = case["verifies"].as_bool().unwrap();
        assert_eq!(holds_by_the_standard(&made), expected, "{name}");
        outcomes.push((name, verify(&made).map(|signed| signed.key)));
    }
    let of = |wanted: &str| {
        outcomes
            .iter()
            .find(|(name, _)| *name == wanted)
            .unwrap()
            .1
            .clone()
    };
    let did = DidKey::of(&key);
    for good in ["good", "reordered"] {
        assert_eq!(of(good), Ok(did));
    }
    // Stricter than the standard: it lets this one pass, although the added entry is not signed.
    assert_eq!(of("context-appended"), Err(ProofError::Context));
    assert_eq!(of("context-prepended"), Err(ProofError::Context));
    for changed in ["value-changed", "created-changed", "member-added"] {
        assert_eq!(
            of(changed),
            Err(ProofError::Signature { key: did }),
            "{changed}"
        );
    }
    assert_eq!(
        of("proof-member-added"),
        Err(ProofError::UnknownMember {
            name: "domain".to_owned()
        })
    );
    assert!(matches!(of("other-key"), Err(ProofError::Issuer { .. })));
    assert!(matches!(
        of("wrong-suite"),
        Err(ProofError::NotKnown {
            member: "cryptosuite",
            ..
        })
    ));
    assert!(matches!(
        of("wrong-multibase"),
        Err(ProofError::ProofValue(_))
    ));
    // One base58 digit less may still be 64 bytes, of another number.
    let truncated = of("truncated").unwrap_err();
    assert!(matches!(
        truncated,
        ProofError::ProofValue(_) | ProofError::Signature { .. }
    ));
    assert_eq!(outcomes.len(), 12);
}
