//! RFC 8785 (JSON Canonicalization Scheme) against its published pairs and numbers.
//!
//! Sources: input/output pairs and the number file are from github.com/cyberphone/json-canonicalization
//! (Apache-2.0); the number samples are RFC 8785 Appendix B. Kept in `tests/vectors/`.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::fs;

use pullmark_schema::canonical::{
    CanonicalError, Digest32, read_strict, to_canonical, to_canonical_any, to_canonical_of,
};
use serde_json::Value;

const VECTORS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/vectors/");

fn vectors() -> Value {
    let text = fs::read_to_string(format!("{VECTORS}jcs-rfc8785.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

fn double(hex: &str) -> f64 {
    f64::from_bits(u64::from_str_radix(hex, 16).unwrap())
}

/// The six pairs. Two of them hold fractions: the strict reader refuses these, as it must, and the writer
/// below it is checked.
#[test]
fn the_published_pairs() {
    let vectors = vectors();
    let mut strict = 0;
    for pair in vectors["pairs"].as_array().unwrap() {
        let (name, input) = (
            pair["name"].as_str().unwrap(),
            pair["input"].as_str().unwrap(),
        );
        let expected = hex::decode(pair["output_hex"].as_str().unwrap()).unwrap();
        let lax: Value = serde_json::from_str(input).unwrap();
        assert_eq!(to_canonical_any(&lax).unwrap(), expected, "{name}");
        match read_strict(input) {
            Ok(value) => {
                strict += 1;
                assert_eq!(to_canonical(&value).unwrap(), expected, "{name}");
            }
            Err(CanonicalError::Number { .. }) => {
                assert!(["structures", "values"].contains(&name), "{name}");
            }
            Err(other) => panic!("{name}: {other}"),
        }
    }
    assert_eq!(strict, 4);
}

/// RFC 8785 Appendix B: the 24 finite rows, and the rows that must be errors.
#[test]
fn the_number_samples_of_appendix_b() {
    let vectors = vectors();
    let samples = vectors["number_samples"].as_array().unwrap();
    assert_eq!(samples.len(), 24);
    for sample in samples {
        let number = double(sample["ieee754_hex"].as_str().unwrap());
        let text = String::from_utf8(to_canonical_any(&number).unwrap()).unwrap();
        assert_eq!(text, sample["json"].as_str().unwrap());
    }
    let errors = vectors["must_be_errors"].as_array().unwrap();
    assert_eq!(errors.len(), 2);
    for sample in errors {
        let number = double(sample["ieee754_hex"].as_str().unwrap());
        assert!(to_canonical_any(&number).is_err());
        assert!(to_canonical_of(&[number]).is_err());
    }
}

/// The first 1000 lines of the published number file; its SHA-256 is published too.
#[test]
fn the_first_thousand_numbers() {
    let file = fs::read_to_string(format!("{VECTORS}jcs-es6-numbers-1000.txt")).unwrap();
    let published = vectors()["es6_file_sha256"]["1000"]
        .as_str()
        .unwrap()
        .to_owned();
    assert_eq!(Digest32::of(file.as_bytes()).to_string(), published);
    assert_eq!(file.lines().count(), 1000);
    for line in file.lines() {
        let (bits, expected) = line.split_once(',').unwrap();
        let text = String::from_utf8(to_canonical_any(&double(bits)).unwrap()).unwrap();
        assert_eq!(text, expected, "{bits}");
    }
}

/// Inputs that must not be signed (written for this set after RFC 7493 and RFC 8785).
#[test]
fn what_must_be_rejected() {
    let vectors = vectors();
    let cases = vectors["must_reject"].as_array().unwrap();
    assert_eq!(cases.len(), 10);
    for case in cases {
        let read = read_strict(case["input"].as_str().unwrap());
        assert!(read.is_err(), "{}", case["name"]);
    }
}
