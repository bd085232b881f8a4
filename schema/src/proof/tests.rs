//! A signed document holds, and nothing near it does.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use crate::canonical::read_strict_bytes;
use proptest::prelude::*;
use serde_json::json;

const CREATED: &str = "2026-11-25T14:03:05+01:00";

fn key() -> SigningKey {
    SigningKey::from_bytes(&[7; 32])
}

fn document() -> Value {
    json!({
        "@context": ["https://www.w3.org/ns/credentials/v2"],
        "issuer": {"id": DidKey::of(&key()).to_string(), "name": "Höhe 5 Räder"},
        "torque": 5200,
        "second": [true, null, "a / b"],
    })
}

fn signed() -> Value {
    sign(&document(), &key(), CREATED).unwrap()
}

/// The signed document with one member of the proof set (or, with null, taken off).
fn with(member: &str, value: Value) -> Value {
    let mut signed = signed();
    let proof = signed["proof"].as_object_mut().unwrap();
    if value.is_null() {
        proof.remove(member).unwrap();
    } else {
        proof.insert(member.to_owned(), value);
    }
    signed
}

#[test]
fn a_signed_document_holds_and_says_who_and_when() {
    let found = verify(&signed()).unwrap();
    assert_eq!(found.key, DidKey::of(&key()));
    assert_eq!(found.created, CREATED);
    assert_eq!(
        found.created_at,
        DateTime::parse_from_rfc3339(CREATED).unwrap()
    );
    assert_eq!(found.document, document());
    // Layout is not signed.
    let pretty = serde_json::to_string_pretty(&signed()).unwrap();
    assert_eq!(verify_text(&pretty).unwrap(), found);
    // A plain text issuer is as good, and a document may do without a context.
    let plain = json!({"issuer": DidKey::of(&key()).to_string()});
    let plain = sign(&plain, &key(), "2026-11-25T13:03:05.250Z").unwrap();
    assert!(plain["proof"].get("@context").is_none());
    assert!(verify(&plain).is_ok());
}

#[test]
fn what_cannot_be_signed_is_refused() {
    let refused = |document: &Value| sign(document, &key(), CREATED).unwrap_err();
    assert_eq!(refused(&json!([])), ProofError::NotAnObject);
    assert_eq!(refused(&signed()), ProofError::AlreadySigned);
    assert_eq!(refused(&json!({})), ProofError::NoIssuer);
    assert_eq!(
        refused(&json!({"issuer": {"name": "x"}})),
        ProofError::NoIssuer
    );
    assert_eq!(refused(&json!({"issuer": 5})), ProofError::NoIssuer);
    let other = json!({"issuer": "https://shop.example"});
    assert!(matches!(refused(&other), ProofError::Issuer { .. }));
    let mut fraction = document();
    fraction["torque"] = json!(5.2);
    assert!(matches!(
        refused(&fraction),
        ProofError::Canonical(CanonicalError::Number { .. })
    ));
    for bad in [
        "2026-11-25T14:03:05",
        "2026-11-25 14:03:05Z",
        "2026-11-25t14:03:05Z",
        "2026-11-25T14:03:05z",
        "2026-11-25",
        "",
        "2026-13-25T14:03:05Z",
        "2026-11-25T14:03:05Z ",
        "2026-11-25T14:03:05+0100",
    ] {
        let error = sign(&document(), &key(), bad).unwrap_err();
        assert_eq!(
            error,
            ProofError::Created {
                found: bad.to_owned()
            }
        );
    }
}

#[test]
fn a_document_that_could_not_be_read_back_is_not_signed() {
    let mut deep = document();
    // 63 levels and the document itself: as deep as may be. In the proof the context is one deeper.
    deep["@context"] = (1..63).fold(json!([]), |inner, _| json!([inner]));
    assert!(canonical::to_canonical(&deep).is_ok());
    let error = sign(&deep, &key(), CREATED).unwrap_err();
    assert!(matches!(
        error,
        ProofError::Canonical(CanonicalError::TooDeep { .. })
    ));
    deep["@context"] = deep["@context"][0].take();
    assert!(verify(&sign(&deep, &key(), CREATED).unwrap()).is_ok());
}

#[test]
fn only_the_one_shape_of_proof_is_read() {
    let refused = |secured: &Value| verify(secured).unwrap_err();
    assert_eq!(refused(&json!("x")), ProofError::NotAnObject);
    assert_eq!(refused(&document()), ProofError::NoProof);
    let mut list = signed();
    list["proof"] = json!([list["proof"]]);
    assert_eq!(refused(&list), ProofError::NotOneProof);
    list["proof"] = Value::Null;
    assert_eq!(refused(&list), ProofError::NotOneProof);
    for member in MEMBERS {
        let error = refused(&with(member, Value::Null));
        let expected = if member == CONTEXT {
            ProofError::Context
        } else {
            ProofError::Missing { member }
        };
        assert_eq!(error, expected);
    }
    for member in ["id", "domain", "expires", "previousProof", "Type"] {
        let expected = ProofError::UnknownMember {
            name: member.to_owned(),
        };
        assert_eq!(refused(&with(member, json!("x"))), expected);
    }
    for (member, value) in [
        ("type", "Ed25519Signature2020"),
        ("cryptosuite", "eddsa-rdfc-2022"),
        ("proofPurpose", "authentication"),
    ] {
        assert!(matches!(
            refused(&with(member, json!(value))),
            ProofError::NotKnown { .. }
        ));
    }
    assert_eq!(
        refused(&with("created", json!(5))),
        ProofError::Missing { member: "created" }
    );
}

#[test]
fn contexts_must_be_equal() {
    let context = "https://www.w3.org/ns/credentials/v2";
    let another = "https://shop.example/context";
    for changed in [
        json!([context, another]),
        json!([another, context]),
        json!(context),
        json!([]),
    ] {
        let mut document = signed();
        document["@context"] = changed;
        assert_eq!(verify(&document).unwrap_err(), ProofError::Context);
    }
    let mut none = signed();
    none.as_object_mut().unwrap().remove("@context");
    assert_eq!(verify(&none).unwrap_err(), ProofError::Context);
}

#[test]
fn another_key_is_refused_whichever_way_it_is_put_in() {
    let thief = SigningKey::from_bytes(&[9; 32]);
    let did = DidKey::of(&thief);
    // The thief names his key in the proof only, and signs properly.
    let options = proof_options(&document(), &did, CREATED);
    let hash = hash_data(&document(), &options).unwrap();
    let mut forged = document();
    forged["proof"] = options;
    forged["proof"]["proofValue"] = encode_proof_value(&thief.sign(&hash).to_bytes()).into();
    assert!(matches!(
        verify(&forged).unwrap_err(),
        ProofError::Issuer { .. }
    ));
    // He keeps the shop's key and puts his signature under it.
    forged["proof"]["verificationMethod"] = DidKey::of(&key()).verification_method().into();
    assert!(matches!(
        verify(&forged).unwrap_err(),
        ProofError::Signature { .. }
    ));
    // A method that names two keys.
    let two = format!("{}#{}", DidKey::of(&key()), did.multikey());
    let error = verify(&with("verificationMethod", json!(two))).unwrap_err();
    assert_eq!(error, ProofError::Method(MultikeyError::NotItsOwnMethod));
}

#[test]
fn a_proof_value_has_exactly_64_bytes() {
    for bytes in [63, 65, 0] {
        let value = multikey::to_base58btc(&vec![1; bytes]);
        let error = verify(&with(PROOF_VALUE, json!(value))).unwrap_err();
        let expected = MultikeyError::SignatureLength { found: bytes };
        assert_eq!(error, ProofError::ProofValue(expected));
    }
    for bad in ["", "z0OIl", "u1234", "Z2HnF"] {
        assert!(matches!(
            verify(&with(PROOF_VALUE, json!(bad))),
            Err(ProofError::ProofValue(_))
        ));
    }
}

#[test]
fn a_second_member_of_the_same_name_is_refused() {
    let text = serde_json::to_string(&signed()).unwrap();
    let twice = text.replacen("\"torque\":5200", "\"torque\":9900,\"torque\":5200", 1);
    assert_ne!(text, twice);
    // A careless reader keeps the last one and would call the document good.
    assert!(verify(&serde_json::from_str(&twice).unwrap()).is_ok());
    let at = "/torque".to_owned();
    assert_eq!(
        verify_text(&twice).unwrap_err(),
        CanonicalError::Duplicate { at }.into()
    );
}

/// Every byte of a signed document, each with three other values: either it is refused, or it was white
/// space and the same document and signature are read.
#[test]
fn no_byte_can_be_changed() {
    let original = serde_json::to_string_pretty(&signed())
        .unwrap()
        .into_bytes();
    let value = signed();
    let (mut refused, mut layout) = (0, 0);
    for at in 0..original.len() {
        let was = original[at];
        for now in [
            was ^ 0x01,
            was ^ 0x20,
            if was == b' ' { b'\n' } else { b' ' },
        ] {
            let mut text = original.clone();
            text[at] = now;
            match read_strict_bytes(&text) {
                Ok(read) if read == value => {
                    assert!(
                        was.is_ascii_whitespace() && now.is_ascii_whitespace(),
                        "{at}: {was} to {now}"
                    );
                    layout += 1;
                }
                Ok(read) => {
                    assert!(
                        verify(&read).is_err(),
                        "byte {at}: {was} to {now} was not noticed"
                    );
                    refused += 1;
                }
                Err(_) => refused += 1,
            }
        }
    }
    assert_eq!(refused + layout, original.len() * 3);
    assert!(
        refused > 2000 && layout > 50,
        "{refused} refused, {layout} layout only"
    );
}

proptest! {
    // Signatures are slow without optimization.
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_is_signed_holds(
        seed: [u8; 32],
        names in prop::collection::btree_map("[a-z\u{e4}-\u{fc}\u{1f600}]{1,8}", any::<String>(), 0..6),
        whole in 0_u64..=crate::canonical::MAX_WHOLE,
    ) {
        let key = SigningKey::from_bytes(&seed);
        let mut document = json!({ "claims": names, "whole": whole });
        document["issuer"] = DidKey::of(&key).to_string().into();
        let signed = sign(&document, &key, CREATED).unwrap();
        let text = serde_json::to_string(&signed).unwrap();
        prop_assert_eq!(verify_text(&text).unwrap().document, document.clone());
        // Ed25519 has no randomness: the same document gives the same bytes.
        prop_assert_eq!(sign(&document, &key, CREATED).unwrap(), signed.clone());

        let mut changed = signed;
        changed["whole"] = (if whole == 0 { 1 } else { whole - 1 }).into();
        let refused = matches!(verify(&changed), Err(ProofError::Signature { .. }));
        prop_assert!(refused);
    }
}
