//! The tree of RFC 6962 and the C2SP note formats against published cases.
//!
//! Sources: github.com/transparency-dev/merkle (Apache-2.0) for the tree; github.com/C2SP/C2SP for the
//! notes, with one full case made over the published tree with the published key of RFC 8032 TEST 1.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::fs;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use ed25519_dalek::SigningKey;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::checkpoint::{Checkpoint, CheckpointError, VerifierKey, open_note, sign_note};
use pullmark_schema::multikey::DidKey;
use pullmark_schema::receipt::Receipt;
use pullmark_schema::tree::{
    Frontier, consistency_proof, inclusion_proof, leaf_hash, root_of, verify_consistency,
    verify_inclusion,
};
use serde_json::Value;

const VECTORS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/vectors/");

fn vectors(name: &str) -> Value {
    serde_json::from_str(&fs::read_to_string(format!("{VECTORS}{name}")).unwrap()).unwrap()
}

fn tree() -> Value {
    vectors("merkle-rfc6962.json")
}

fn published_leaves(tree: &Value) -> Vec<Digest32> {
    let inputs = tree["leaf_inputs_hex"].as_array().unwrap();
    inputs
        .iter()
        .map(|leaf| leaf_hash(&hex::decode(leaf.as_str().unwrap()).unwrap()))
        .collect()
}

/// A hash as published; one that has not 32 bytes cannot be said in our types at all.
fn hash(text: &Value) -> Option<Digest32> {
    let bytes: [u8; 32] = STANDARD.decode(text.as_str()?).unwrap().try_into().ok()?;
    Some(Digest32::new(bytes))
}

fn proof(case: &Value) -> Option<Vec<Digest32>> {
    match &case["proof"] {
        Value::Null => Some(Vec::new()),
        hashes => hashes.as_array().unwrap().iter().map(hash).collect(),
    }
}

#[test]
fn the_nine_roots() {
    let tree = tree();
    let leaves = published_leaves(&tree);
    let hashes = tree["leaf_hashes_hex"].as_array().unwrap();
    assert_eq!(leaves.len(), 8);
    for (leaf, published) in leaves.iter().zip(hashes) {
        assert_eq!(leaf.to_string(), published.as_str().unwrap());
    }
    let roots = tree["root_by_size_hex"].as_array().unwrap();
    assert_eq!(roots.len(), 9);
    for (size, published) in roots.iter().enumerate() {
        let published: Digest32 = published.as_str().unwrap().parse().unwrap();
        assert_eq!(root_of(&leaves[..size]), published);
        assert_eq!(Frontier::from_leaves(&leaves[..size]).root(), published);
    }
}

#[test]
fn the_98_inclusion_cases() {
    let tree = tree();
    let cases = tree["inclusion"].as_array().unwrap();
    assert_eq!(cases.len(), 98);
    for case in cases {
        let number = |name: &str| case[name].as_u64().unwrap();
        let answer = match (hash(&case["leafHash"]), proof(case), hash(&case["root"])) {
            (Some(leaf), Some(proof), Some(root)) => {
                verify_inclusion(&leaf, number("leafIdx"), number("treeSize"), &proof, &root)
                    .is_ok()
            }
            _ => false,
        };
        assert_eq!(answer, case["wantErr"] == false, "{}", case["file"]);
    }
}

/// Some cases have a short text in place of a root, and one of them must hold (size 1 to 1, the "roots"
/// equal). A root always has 32 bytes here, so its SHA-256 stands in: equal stays equal.
fn any_root(text: &Value) -> Digest32 {
    hash(text).unwrap_or_else(|| Digest32::of(text.as_str().unwrap().as_bytes()))
}

#[test]
fn the_98_consistency_cases() {
    let tree = tree();
    let cases = tree["consistency"].as_array().unwrap();
    assert_eq!(cases.len(), 98);
    for case in cases {
        let number = |name: &str| case[name].as_u64().unwrap();
        let (old, new) = (any_root(&case["root1"]), any_root(&case["root2"]));
        let answer = proof(case).is_some_and(|proof| {
            verify_consistency(number("size1"), number("size2"), &old, &new, &proof).is_ok()
        });
        assert_eq!(answer, case["wantErr"] == false, "{}", case["file"]);
    }
}

/// The proofs made here are the published ones, hash for hash.
#[test]
fn proofs_made_are_those_published() {
    let tree = tree();
    let leaves = published_leaves(&tree);
    let mut compared = 0;
    for case in tree["inclusion"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|c| c["wantErr"] == false)
    {
        let size = usize::try_from(case["treeSize"].as_u64().unwrap()).unwrap();
        let made = inclusion_proof(&leaves[..size], case["leafIdx"].as_u64().unwrap()).unwrap();
        assert_eq!(Some(made), proof(case), "{}", case["file"]);
        compared += 1;
    }
    for case in tree["consistency"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|c| c["wantErr"] == false)
    {
        let size = usize::try_from(case["size2"].as_u64().unwrap()).unwrap();
        let made = consistency_proof(&leaves[..size], case["size1"].as_u64().unwrap()).unwrap();
        assert_eq!(Some(made), proof(case), "{}", case["file"]);
        compared += 1;
    }
    assert_eq!(compared, 12);
}

/// c2sp.org/signed-note: the published example holds, and its key text is the published one.
#[test]
fn the_published_note() {
    let notes = vectors("tlog-notes.json");
    let vkey: VerifierKey = notes["vkey"].as_str().unwrap().parse().unwrap();
    assert_eq!(vkey.to_string(), notes["vkey"].as_str().unwrap());
    let note = notes["signed_note"].as_str().unwrap();
    assert_eq!(
        open_note(note, &vkey).unwrap(),
        "This is an example message.\n"
    );
    let changed = note.replacen("example message", "changed message", 1);
    assert!(matches!(
        open_note(&changed, &vkey),
        Err(CheckpointError::BadSignature { .. })
    ));
}

/// c2sp.org/tlog-checkpoint: the example's key is not published, so only its text can be compared.
#[test]
fn the_published_checkpoint() {
    let notes = vectors("tlog-notes.json");
    let note = notes["checkpoint_example"].as_str().unwrap();
    let (text, _) = note.split_once("\n\n").unwrap();
    let text = format!("{text}\n");
    let read = Checkpoint::read(&text).unwrap();
    assert_eq!(
        (read.origin.as_str(), read.size),
        ("example.com/behind-the-sofa", 20_852_163)
    );
    assert_eq!(read.text(), text);
    // Another key did not sign it, and that is what is said.
    let vkey: VerifierKey = notes["vkey"].as_str().unwrap().parse().unwrap();
    assert!(matches!(
        Checkpoint::open(note, &vkey),
        Err(CheckpointError::NotSigned { .. })
    ));
}

/// The full case over the published 8 leaves with the key of RFC 8032 TEST 1: made again bit for bit.
#[test]
fn the_full_checkpoint_and_receipt() {
    let notes = vectors("tlog-notes.json");
    let text = |name: &str| notes[name].as_str().unwrap();
    let rfc = vectors("ed25519-rfc8032.json");
    let seed = hex::decode(rfc["tests"][0]["seed"].as_str().unwrap()).unwrap();
    let key = SigningKey::from_bytes(&seed.try_into().unwrap());
    let name = "bench.example/log1";
    let vkey = VerifierKey::new(name, DidKey::of(&key)).unwrap();
    assert_eq!(vkey.to_string(), text("own_vkey"));

    let leaves = published_leaves(&tree());
    let head = Checkpoint {
        origin: name.to_owned(),
        size: 8,
        root: root_of(&leaves),
    };
    assert_eq!(head.sign(&key, name).unwrap(), text("own_checkpoint"));
    assert_eq!(
        sign_note(&head.text(), &key, name).unwrap(),
        text("own_checkpoint")
    );
    assert_eq!(
        Checkpoint::open(text("own_checkpoint"), &vkey).unwrap(),
        head
    );

    let leaf: Digest32 = text("own_leaf_hash_hex").parse().unwrap();
    assert_eq!(leaf, leaves[5]);
    let made = Receipt {
        index: 5,
        proof: inclusion_proof(&leaves, 5).unwrap(),
        checkpoint: text("own_checkpoint").to_owned(),
    };
    assert_eq!(made.text(), text("own_tlog_proof"));
    let read = Receipt::read(text("own_tlog_proof")).unwrap();
    assert_eq!(read.verify(&leaf, &vkey).unwrap(), head);
    assert!(read.verify(&leaves[4], &vkey).is_err());
}

/// The full checkpoint, spoiled in four ways.
#[test]
fn spoiled_checkpoints() {
    let notes = vectors("tlog-notes.json");
    let vkey: VerifierKey = notes["own_vkey"].as_str().unwrap().parse().unwrap();
    let rejected = notes["must_reject"].as_array().unwrap();
    assert_eq!(rejected.len(), 4);
    for case in rejected {
        let opened = Checkpoint::open(case["note"].as_str().unwrap(), &vkey);
        assert!(opened.is_err(), "{}", case["name"]);
    }
}
