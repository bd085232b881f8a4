//! What the ledger keeps.

use super::*;
use crate::canonical;

#[test]
fn the_first_page_alone_is_a_certificate() {
    let text = r#"{"number":"PL-0311","laboratory":"Tarn Metrology","date":"2026-05-04","due":"2027-05-04"}"#;
    let read: Certificate = serde_json::from_str(text).unwrap();
    assert_eq!(
        read,
        Certificate {
            serial: None,
            ..certificate(&[])
        }
    );
    // and it is written as the ledger has always had it: members in canonical order, none of the new ones
    let written = canonical::to_canonical_of(&read).unwrap();
    let expected = r#"{"date":"2026-05-04","due":"2027-05-04","laboratory":"Tarn Metrology","number":"PL-0311"}"#;
    assert_eq!(String::from_utf8(written).unwrap(), expected);
    assert!(serde_json::from_str::<Certificate>(&text.replace("number", "nummer")).is_err());
    let table: Certificate = toml::from_str("number = \"PL-0311\"\nlaboratory = \"Tarn Metrology\"\ndate = \"2026-05-04\"\ndue = \"2027-05-04\"").unwrap();
    assert_eq!(table, read);
}

#[test]
fn figures_are_whole_numbers_and_text() {
    let mut full = certificate(&[Point {
        degrees_of_freedom: Some(50),
        readings: Some(5),
        ..point(4_000_000, 4_020_000, 40_000, 2_000)
    }]);
    full.covers = [Contribution::Resolution].into();
    full.state = Some(State::NotAdjusted);
    full.direction = Some(Direction::Anticlockwise);
    full.file = Some(OriginalFile {
        signature: Some(Signature::PresentNotChecked),
        ..OriginalFile::of(Format::Dcc, b"x")
    });
    let json: serde_json::Value =
        serde_json::from_slice(&canonical::to_canonical_of(&full).unwrap()).unwrap();
    assert_eq!(
        json["points"][0],
        serde_json::json!({
            "indicated_micronewton_metre": 4_000_000, "reference_micronewton_metre": 4_020_000,
            "expanded_micronewton_metre": 40_000, "coverage_factor_thousandths": 2_000, "degrees_of_freedom": 50, "readings": 5,
        })
    );
    assert_eq!(json["covers"], serde_json::json!(["resolution"]));
    assert_eq!(
        (&json["state"], &json["direction"]),
        (&"not-adjusted".into(), &"anticlockwise".into())
    );
    // SHA-256 of "x", computed with another program
    assert_eq!(
        json["file"],
        serde_json::json!({
            "format": "dcc", "signature": "present, not checked",
            "sha256": "2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881",
        })
    );
}

proptest! {
    #[test]
    fn what_is_written_reads_back(full in any_certificate()) {
        let bytes = canonical::to_canonical_of(&full).unwrap();
        let text = std::str::from_utf8(&bytes).unwrap();
        prop_assert_eq!(serde_json::from_str::<Certificate>(text).unwrap(), full);
    }
}
