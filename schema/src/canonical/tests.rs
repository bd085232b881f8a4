//! Strict reading and canonical writing: what is refused and where, and what holds for any text.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use proptest::prelude::*;
use serde_json::json;

fn at(text: &str) -> String {
    match read_strict(text).unwrap_err() {
        CanonicalError::TooDeep { at }
        | CanonicalError::Duplicate { at }
        | CanonicalError::Number { at, .. }
        | CanonicalError::NotJson { at, .. } => at,
        other => panic!("no place in {other:?}"),
    }
}

#[test]
fn a_name_twice_is_refused_with_its_place() {
    assert_eq!(at(r#"{"a":1,"a":2}"#), "/a");
    assert_eq!(at(r#"{"a":1,"\u0061":1}"#), "/a");
    assert_eq!(at(r#"{"x":[0,{"b/c":{"~":1,"~":1}}]}"#), "/x/1/b~1c/~0");
    assert!(read_strict(r#"{"x":{"a":1},"y":{"a":1}}"#).is_ok());
}

#[test]
fn only_plain_whole_numbers_pass() {
    for bad in [
        "5.0",
        "-0",
        "0.5",
        "5e0",
        "5E2",
        "1e400",
        "-0.0",
        "9007199254740992",
        "-9007199254740992",
        "18446744073709551615",
        "18446744073709551616",
        "-9223372036854775808",
        "05",
        "+5",
        "NaN",
    ] {
        let text = format!(r#"{{"n":[1,{bad}]}}"#);
        assert_eq!(at(&text), "/n/1", "{bad}");
    }
    for good in ["0", "9007199254740991", "-9007199254740991", "5"] {
        assert_eq!(
            to_canonical(&read_strict(good).unwrap()).unwrap(),
            good.as_bytes()
        );
    }
}

#[test]
fn depth_and_size_have_a_limit() {
    let nested = |n: usize| format!("{}{}", "[".repeat(n), "]".repeat(n));
    assert!(read_strict(&nested(MAX_DEPTH)).is_ok());
    let error = read_strict(&nested(MAX_DEPTH + 1)).unwrap_err();
    assert!(matches!(error, CanonicalError::TooDeep { .. }), "{error}");
    assert!(matches!(
        read_strict(&nested(100_000)),
        Err(CanonicalError::TooDeep { .. })
    ));

    let quoted = |n: usize| format!("\"{}\"", "a".repeat(n - 2));
    assert!(read_strict(&quoted(MAX_BYTES)).is_ok());
    let error = read_strict(&quoted(MAX_BYTES + 1)).unwrap_err();
    assert_eq!(
        error,
        CanonicalError::TooLong {
            bytes: MAX_BYTES + 1
        }
    );
    // a value that was never a text
    let deep = (0..MAX_DEPTH).fold(json!([]), |inner, _| json!([inner]));
    assert!(matches!(
        to_canonical(&deep),
        Err(CanonicalError::TooDeep { .. })
    ));
    // Control characters take six bytes each in the canonical form.
    let long = Value::String("\u{1}".repeat(MAX_BYTES / 6 + 1));
    assert!(matches!(
        to_canonical(&long),
        Err(CanonicalError::TooLong { .. })
    ));
}

#[test]
fn trailing_text_and_bad_bytes_are_refused() {
    for bad in ["{} x", "{}{}", "1 2", "{},"] {
        assert!(
            matches!(read_strict(bad), Err(CanonicalError::Trailing { .. })),
            "{bad}"
        );
    }
    assert!(read_strict(" {}\n").is_ok());
    assert_eq!(
        read_strict_bytes(b"\"ab\xff\""),
        Err(CanonicalError::NotUtf8 { offset: 3 })
    );
    assert_eq!(at(""), "the top of the document");
    assert_eq!(at(r#"{"a":{"b":tru}}"#), "/a/b");
}

#[test]
fn messages_do_not_carry_control_characters_or_endless_names() {
    let error = read_strict(r#"{"\u001b[2J":0.5}"#).unwrap_err().to_string();
    assert!(
        !error.contains('\u{1b}') && error.contains("\\u{1b}[2J"),
        "{error}"
    );
    let long = read_strict(&format!(r#"{{"{}":0.5}}"#, "n".repeat(5000)))
        .unwrap_err()
        .to_string();
    assert!(long.len() < 400, "{long}");
}

#[test]
fn values_built_in_memory_are_checked_too() {
    let error = to_canonical(&json!({"a": [1, 0.5]})).unwrap_err();
    assert_eq!(
        error,
        CanonicalError::Number {
            at: "/a/1".to_owned(),
            found: "0.5".to_owned()
        }
    );
    assert!(to_canonical(&json!(5.0)).is_err());
    assert!(to_canonical(&json!(u64::MAX)).is_err());
    assert_eq!(to_canonical_of(&[1, 2]).unwrap(), b"[1,2]");
    for bad in [f64::NAN, f64::INFINITY, 5.0, -0.0, 0.5] {
        assert!(to_canonical_of(&bad).is_err(), "{bad}");
        assert!(to_canonical_of(&[bad]).is_err(), "{bad}");
    }
    assert!(to_canonical_of(&u128::MAX).is_err());
}

#[derive(Serialize)]
enum Shape {
    Unit,
    New(Option<f64>),
    Tuple(u8, f32),
    Struct { a: Wrapped },
    Pair((u8, f64)),
    Map(std::collections::BTreeMap<String, f64>),
}

#[derive(Serialize)]
struct Wrapped(f64);

#[derive(Serialize)]
struct Twice {
    a: u8,
    #[serde(flatten)]
    rest: std::collections::BTreeMap<String, u8>,
}

#[test]
fn a_float_that_is_not_a_number_is_found_wherever_it_hides() {
    let map = [("a".to_owned(), f64::NAN)].into();
    for bad in [
        Shape::New(Some(f64::NAN)),
        Shape::Tuple(1, f32::NAN),
        Shape::Struct {
            a: Wrapped(f64::NEG_INFINITY),
        },
        Shape::Pair((1, f64::NAN)),
        Shape::Map(map),
    ] {
        // Neither writer says a word.
        assert!(serde_json::to_string(&bad).unwrap().contains("null"));
        assert!(to_canonical_any(&bad).is_ok());
        assert!(matches!(
            to_canonical_of(&bad),
            Err(CanonicalError::Unwritable { .. })
        ));
    }
    assert_eq!(to_canonical_of(&Shape::Unit).unwrap(), b"\"Unit\"");
    assert_eq!(
        to_canonical_of(&Shape::New(None)).unwrap(),
        b"{\"New\":null}"
    );
}

#[test]
fn a_flattened_type_cannot_write_a_name_twice() {
    let twice = |name: &str| Twice {
        a: 1,
        rest: [(name.to_owned(), 2)].into(),
    };
    assert_eq!(to_canonical_of(&twice("b")).unwrap(), b"{\"a\":1,\"b\":2}");
    assert_eq!(
        to_canonical_of(&twice("a")),
        Err(CanonicalError::Duplicate {
            at: "/a".to_owned()
        })
    );
}

#[test]
fn a_digest_is_64_lower_case_digits() {
    let digest = Digest32::of(b"");
    // SHA-256 of nothing; also the published root of the empty tree.
    let text = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
    assert_eq!(digest.to_string(), text);
    assert_eq!(text.parse(), Ok(digest));
    assert_eq!(
        serde_json::from_value::<Digest32>(json!(text)).unwrap(),
        digest
    );
    assert_eq!(serde_json::to_value(digest).unwrap(), json!(text));
    for bad in [
        &text[1..],
        &text.to_uppercase(),
        &format!("{text}0"),
        &text.replace('e', "g"),
        "",
    ] {
        assert_eq!(bad.parse::<Digest32>(), Err(DigestError), "{bad}");
    }
}

/// Any value that may be signed.
fn values() -> impl Strategy<Value = Value> {
    let limit = i64::try_from(MAX_WHOLE).unwrap();
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        (-limit..=limit).prop_map(Value::from),
        any::<String>().prop_map(Value::from),
    ];
    leaf.prop_recursive(5, 40, 6, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            prop::collection::btree_map(any::<String>(), inner, 0..6)
                .prop_map(|members| Value::Object(members.into_iter().collect())),
        ]
    })
}

proptest! {
    #[test]
    fn any_bytes_are_read_without_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        if let Ok(value) = read_strict_bytes(&bytes) {
            prop_assert!(to_canonical(&value).is_ok());
        }
    }

    #[test]
    fn anything_that_looks_like_json_is_read_without_a_panic(
        text in r#"([\[\]{}:,"\\ 0-9.eE+-]|null|true|"a"|\\u[0-9a-fd]{4}|1e9){0,60}"#
    ) {
        if let Ok(value) = read_strict(&text) {
            prop_assert!(to_canonical(&value).is_ok());
        }
    }

    #[test]
    fn what_is_written_is_read_back_and_written_the_same(value in values()) {
        let canonical = to_canonical(&value).unwrap();
        let read = read_strict_bytes(&canonical).unwrap();
        prop_assert_eq!(&read, &value);
        prop_assert_eq!(to_canonical(&read).unwrap(), canonical.clone());
        prop_assert_eq!(to_canonical_of(&value).unwrap(), canonical);
    }

    #[test]
    fn layout_does_not_change_the_canonical_form(value in values()) {
        let pretty = serde_json::to_string_pretty(&value).unwrap();
        let read = read_strict(&pretty).unwrap();
        prop_assert_eq!(to_canonical(&read).unwrap(), to_canonical(&value).unwrap());
    }
}

/// The short way and the long way have to give the same bytes; the long way is checked against the published vectors.
#[test]
fn the_short_way_gives_what_the_long_way_gives() {
    for text in [
        r#"{"b":1,"a":{"d":[true,null,"x"],"c":-5}}"#,
        "{\"z\":\"\\u0007 \\\" \\\\ / \u{7f} \u{e4} \u{1f527} \\n\\t\\b\",\"Z\":0,\"_\":9007199254740991}",
        "[]",
    ] {
        let value = read_strict(text).unwrap();
        assert_eq!(
            plain::sorted(&value).unwrap(),
            Some(to_canonical(&value).unwrap()),
            "{text}"
        );
    }
    for not_plain in [
        serde_json::json!({ "\u{e4}": 1 }),
        serde_json::json!({ "a\\b": 1 }),
        serde_json::json!(1.5),
        serde_json::json!(MAX_WHOLE + 1),
        serde_json::json!(i64::MIN),
        (0..=MAX_DEPTH).fold(serde_json::json!(1), |inner, _| serde_json::json!([inner])),
    ] {
        assert_eq!(plain::sorted(&not_plain).unwrap(), None, "{not_plain}");
    }
}

/// Members that come in the order of the fields, and whole numbers of every width.
#[test]
fn the_short_way_sorts_what_types_write() {
    #[derive(serde::Serialize)]
    struct Inner {
        z: i8,
        a: Option<u16>,
        #[serde(flatten)]
        more: std::collections::BTreeMap<String, u64>,
    }
    #[derive(serde::Serialize)]
    struct Outer {
        b: Vec<Inner>,
        #[serde(rename = "a!")]
        longer: i64,
        a: (),
        #[serde(rename = "a")]
        twice: Option<u8>,
    }
    #[derive(serde::Serialize)]
    struct Once {
        b: Vec<Inner>,
        #[serde(rename = "a!")]
        longer: i64,
        a: (),
    }
    let inner = || {
        vec![Inner {
            z: -128,
            a: Some(65_535),
            more: [("m".to_owned(), MAX_WHOLE)].into(),
        }]
    };
    let once = Once {
        b: inner(),
        longer: -7,
        a: (),
    };
    let expected = br#"{"a":null,"a!":-7,"b":[{"a":65535,"m":9007199254740991,"z":-128}]}"#;
    assert_eq!(plain::sorted(&once).unwrap(), Some(expected.to_vec()));
    let twice = Outer {
        b: inner(),
        longer: -7,
        a: (),
        twice: None,
    };
    assert_eq!(plain::sorted(&twice).unwrap(), None);
    assert!(matches!(
        to_canonical_of(&twice),
        Err(CanonicalError::Duplicate { .. })
    ));
}

proptest! {
    #[test]
    fn both_ways_agree_on_any_names_and_texts(
        members in prop::collection::btree_map("[ !#-\\[\\]-~]{0,6}", ("\\PC{0,12}|[\u{0}-\u{1f}\"\\\\]{0,4}", any::<i32>()), 0..8)
    ) {
        let value = serde_json::json!({ "members": members });
        prop_assert_eq!(plain::sorted(&value).unwrap(), Some(to_canonical(&value).unwrap()));
    }
}
