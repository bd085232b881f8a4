//! What can be taught, and what has to be refused.

use super::*;
use proptest::prelude::*;

/// A reading that came in one piece.
fn example(bytes: &[u8], shown: &str) -> Example {
    Example {
        bytes: vec![(1_000_000, bytes.to_vec())],
        shown: shown.to_owned(),
    }
}

fn taught(examples: &[(&[u8], &str)]) -> Result<Taught, NotDetermined> {
    let examples: Vec<Example> = examples
        .iter()
        .map(|(bytes, shown)| example(bytes, shown))
        .collect();
    teach("mine", &examples)
}

/// The readings of a taught profile in other bytes.
fn reads(taught: &Taught, bytes: &[u8]) -> Vec<String> {
    let dialect = Dialect::from_toml(&taught.file).unwrap();
    let mut all = Vec::new();
    let mut intake = Intake::new(dialect);
    let arrival = Arrival {
        at_us: 0,
        after_silence: true,
        since_1970: None,
    };
    intake.feed(bytes, arrival, |received| {
        all.push(match received.what {
            What::Reading(seen) => seen
                .number
                .map_or("past".to_owned(), |number| number.to_string()),
            What::Unreadable(why) => format!("{why:?}"),
            other => format!("{other:?}"),
        });
    });
    all
}

fn summed(body: &str) -> Vec<u8> {
    let sum = body.bytes().fold(0, |sum, byte| sum ^ byte);
    format!("${body}*{sum:02X}\r\n").into_bytes()
}

#[test]
fn a_plain_line_is_taught_by_two_readings() {
    let taught = taught(&[(b"  5.08 N.m\r\n", "5.08"), (b" 12.40 N.m\r\n", "12.40")]).unwrap();
    assert_eq!(
        reads(&taught, b"  4.50 N.m\r\n-10.00 N.m\r\n"),
        ["4.50 N·m", "-10.00 N·m"]
    );
    assert_eq!(
        reads(&taught, b"  4.50 kPa\r\n"),
        ["NoMatch"],
        "another unit is never read as this one"
    );
    assert!(
        taught
            .findings
            .iter()
            .any(|finding| finding.what.contains("\\r\\n") && finding.sure == Sure::Seen)
    );
    assert!(
        taught
            .findings
            .iter()
            .any(|finding| finding.sure == Sure::Assumed)
    );
}

#[test]
fn decimal_comma_unit_that_is_typed_and_mark_that_is_not_sent() {
    let comma = taught(&[(b"5,08\r", "5,08 Nm"), (b"6,10\r", "6,10")]).unwrap();
    assert_eq!(reads(&comma, b"4,50\r"), ["4.50 N·m"]);
    let odd = taught(&[(b"5.08 NwM\n", "5.08 Nm"), (b"6.10 NwM\n", "6.10 Nm")]).unwrap();
    assert_eq!(reads(&odd, b"4.50 NwM\n4.50 Nm\n"), ["4.50 N·m", "NoMatch"]);
    let hidden = taught(&[(b"000508\r\n", "5.08 Nm"), (b"001240\r\n", "12.40 Nm")]).unwrap();
    assert_eq!(reads(&hidden, b"000450\r\n"), ["4.50 N·m"]);
}

#[test]
fn a_count_a_checksum_and_status_words_are_found() {
    let first = summed("PULL,12,5.08,N.m");
    let second = summed("PULL,13,44.96,N.m");
    let taught_one = taught(&[(&first, "5.08 Nm"), (&second, "44.96 Nm")]).unwrap();
    assert!(
        taught_one.file.contains("xor") && taught_one.file.contains("counter"),
        "{}",
        taught_one.file
    );
    assert_eq!(
        reads(&taught_one, &summed("PULL,14,6.00,N.m")),
        ["6.00 N·m"]
    );
    assert_eq!(
        reads(&taught_one, b"$PULL,14,6.00,N.m*00\r\n"),
        ["Checksum"]
    );
    let words = taught(&[
        (b"TR 1.20 Nm\r\nTR 4.90 Nm\r\nPK 5.08 Nm\r\n", "5.08 Nm"),
        (b"TR 3.00 Nm\r\nPK 6.10 Nm\r\n", "6.10 Nm"),
    ])
    .unwrap();
    assert_eq!(reads(&words, b"TR 4.00 Nm\r\nPK 4.50 Nm\r\n"), ["4.50 N·m"]);
    let greeted = taught(&[(b"READY\r\n5.08 Nm\r\n", "5.08"), (b"6.10 Nm\r\n", "6.10")]).unwrap();
    assert_eq!(reads(&greeted, b"READY\r\n4.50 Nm\r\n"), ["4.50 N·m"]);
    let framed = taught(&[(b"\x025.08Nm\x03", "5.08"), (b"\x026.10Nm\x03", "6.10")]).unwrap();
    assert_eq!(reads(&framed, b"noise\x024.50Nm\x03"), ["4.50 N·m"]);
}

#[test]
fn it_says_no_where_the_bytes_do_not_determine_it() {
    use NotDetermined as No;
    let no = |examples: &[(&[u8], &str)]| taught(examples).unwrap_err();
    assert!(matches!(
        no(&[(b"5.08 Nm\r\n", "5.08")]),
        No::TooFew { count: 1 }
    ));
    assert!(matches!(
        no(&[(b"5.08 Nm\r\n", "5.08"), (b"5.08 Nm\r\n", "5.080")]),
        No::AllTheSame { .. }
    ));
    assert!(matches!(
        no(&[(b"5.08 Nm\r\n", "5.08"), (b"\r\n", "6.10")]),
        No::NothingCame { reading: 2 }
    ));
    assert!(matches!(
        no(&[(b"5.08 Nm\r\n", "five"), (b"6.10 Nm\r\n", "6.10")]),
        No::NotAValue { .. }
    ));
    assert!(matches!(
        no(&[(b"5.08 Nm\r\n", "5.08 mm"), (b"6.10 Nm\r\n", "6.10")]),
        No::NotAValue { .. }
    ));
    assert!(matches!(
        no(&[(b"\x80\x01\x00\x07", "5.08"), (b"\x80\x02\x00\x07", "6.10")]),
        No::NoText { .. }
    ));
    assert!(matches!(
        no(&[(b"5.08 Nm\r\n", "5.80"), (b"6.10 Nm\r\n", "6.10")]),
        No::NotFound { reading: 1, .. }
    ));
    assert!(matches!(
        no(&[(b"5.08 Nm\r\n", "5.08"), (b"Nm 6.10\r\n", "6.10")]),
        No::DifferentShapes { .. }
    ));
    // the value and what is stored of it look the same
    assert!(matches!(
        no(&[(b"5.08 5.08 Nm\r\n", "5.08"), (b"6.10 6.10 Nm\r\n", "6.10")]),
        No::SeveralPlaces { places: 2, .. }
    ));
    assert!(matches!(
        no(&[(b"5.08\r\n", "5.08"), (b"6.10\r\n", "6.10")]),
        No::NoUnit { .. }
    ));
    assert!(matches!(
        no(&[(b"5.08 Nm\r\n", "5.08 in-lb"), (b"6.10 Nm\r\n", "6.10")]),
        No::OtherUnit { .. }
    ));
    assert!(matches!(
        no(&[
            (b"3.00 Nm\r\n5.08 Nm\r\n", "5.08"),
            (b"6.10 Nm\r\n", "6.10")
        ]),
        No::OneTooMany { .. }
    ));
    // the second field is the value in one reading and the first in the other
    assert!(matches!(
        no(&[(b"5.08 6.10 Nm\r\n", "5.08"), (b"5.08 6.10 Nm\r\n", "6.10")]),
        No::DifferentShapes { .. }
    ));
    for error in [no(&[]), no(&[(b"5.08\r\n", "5.08"), (b"6.10\r\n", "6.10")])] {
        assert!(error.to_string().len() > 20);
    }
}

#[test]
fn a_third_reading_settles_what_two_leave_open() {
    // two fields that are alike by chance
    let two: [(&[u8], &str); 2] = [(b"5.08;5.08 Nm\r\n", "5.08"), (b"6.10;6.10 Nm\r\n", "6.10")];
    assert!(matches!(
        taught(&two),
        Err(NotDetermined::SeveralPlaces { .. })
    ));
    let three: [(&[u8], &str); 3] = [two[0], two[1], (b"6.10;7.20 Nm\r\n", "7.20")];
    assert_eq!(
        reads(&taught(&three).unwrap(), b"7.20;4.50 Nm\r\n"),
        ["4.50 N·m"]
    );
}

#[test]
fn a_tool_without_a_terminator_is_taught_by_its_silences() {
    let examples = [
        Example {
            bytes: vec![(0, b"5.0".to_vec()), (4_000, b"8 Nm".to_vec())],
            shown: "5.08".to_owned(),
        },
        example(b"6.10 Nm", "6.10"),
    ];
    let taught = teach("mine", &examples).unwrap();
    assert!(taught.file.contains("silence_ms"));
    assert!(
        taught
            .findings
            .iter()
            .any(|finding| finding.sure == Sure::Assumed && finding.what.contains("silence"))
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn whatever_comes_it_gives_a_profile_that_reads_it_right_or_says_no(
        lines in proptest::collection::vec(
            ("[ A-Z$,;0-9]{0,6}", 0_i64..99_999, "[ ]{0,2}(Nm|N.m|kgf.cm|xx)?[*;,A-F0-9]{0,4}", "(\r\n|\n|\r|)"), 0..4),
        noise in proptest::collection::vec(any::<u8>(), 0..12),
    ) {
        let examples: Vec<Example> = lines.iter().map(|(before, hundredths, after, end)| {
            let value = format!("{}.{:02}", hundredths / 100, hundredths % 100);
            let mut bytes = format!("{before}{value}{after}{end}").into_bytes();
            if hundredths % 11 == 0 { bytes.extend_from_slice(&noise); }
            example(&bytes, &value)
        }).collect();
        if let Ok(taught) = teach("mine", &examples) {
            prop_assert!(Dialect::from_toml(&taught.file).is_ok());
        }
    }
}
