//! Lines as tools send them, and streams cut anywhere.

use super::dialect::{Dialect, Line, ProfileError, Seen};
use super::profiles::Profiles;
use super::seen::Words;
use super::{Arrival, Intake, What};
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::Meaning;
use pullmark_schema::quantity::{Decimal, Stated, Unit};
use std::sync::LazyLock;

/// What came out, with its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Received {
    raw: Vec<u8>,
    line: Line,
}

/// Feeds an intake and keeps what comes out.
fn feed(intake: &mut Intake, bytes: &[u8], after_silence: bool, out: &mut Vec<Received>) {
    let arrival = Arrival {
        at_us: 0,
        after_silence,
        since_1970: None,
    };
    intake.feed(bytes, arrival, |received| {
        let line = match received.what {
            What::Reading(seen) => Line::Value(seen),
            What::Unreadable(why) => Line::Unreadable(why),
            other => panic!("{other:?} of a tool that does not stream"),
        };
        let raw = received.raw.to_vec();
        out.push(Received { raw, line });
    });
}

fn dialect(name: &str) -> Dialect {
    // Made once: patterns take far longer to make ready than a line takes to read.
    static PROFILES: LazyLock<Profiles> = LazyLock::new(|| Profiles::built_in().unwrap());
    PROFILES.find(name).unwrap().clone()
}

fn plain() -> Dialect {
    dialect("plain-line")
}

fn own() -> Dialect {
    dialect("pullmark-line")
}

/// What a display showed and what torque it means, in mN·m.
fn value(shown: &str, unit: &str, small: i64) -> Line {
    Line::Value(Seen {
        number: Some(Stated {
            value: Decimal::parse(shown).unwrap(),
            unit: Unit::find(unit).unwrap(),
        }),
        torque: Some(crate::testing::torque(small)),
        ..Seen::default()
    })
}

fn with(line: Line, counter: u64, words: &[Meaning]) -> Line {
    let Line::Value(seen) = line else {
        panic!("{line:?} is no value")
    };
    let words = words
        .iter()
        .fold(Words::default(), |all, word| all.with(*word));
    Line::Value(Seen {
        counter: Some(counter),
        words,
        ..seen
    })
}

fn past_its_range() -> Line {
    Line::Value(Seen {
        words: Words::default().with(Meaning::OverRange),
        ..Seen::default()
    })
}

const fn no(why: Unreadable) -> Line {
    Line::Unreadable(why)
}

/// Everything that comes out of bytes that follow a silence.
fn after_silence(dialect: Dialect, bytes: &[u8]) -> Vec<Received> {
    let mut out = Vec::new();
    feed(&mut Intake::new(dialect), bytes, true, &mut out);
    out
}

fn lines(dialect: Dialect, bytes: &[u8]) -> Vec<Line> {
    after_silence(dialect, bytes)
        .into_iter()
        .map(|received| received.line)
        .collect()
}

/// A checksummed line from the text between `$` and `*`.
fn summed(body: &str) -> String {
    let sum = body.bytes().fold(0, |sum, byte| sum ^ byte);
    format!("${body}*{sum:02X}\r\n")
}

#[test]
fn plain_lines_are_read_by_their_unit() {
    let (in_lb, ft_lb) = ("[lbf_av].[in_i]", "[lbf_av].[ft_i]");
    // 1 lbf·in = 0.112 984 829… N·m, 1 lbf·ft = 1.355 817 948… N·m, 1 kgf·cm = 0.098 066 5 N·m (NIST SP 811,
    // appendix B.8); a reading is rounded away from zero to whole mN·m.
    let table: &[(&[u8], Line)] = &[
        (b"  5.08 N.m\r\n", value("5.08", "N.m", 5_080)),
        (b"45.0 in-lb\r\n", value("45.0", in_lb, 5_085)),
        (b"3.75 ft.lb\r\n", value("3.75", ft_lb, 5_085)),
        (b"-1.250 kgf.cm\r\n", value("-1.250", "kgf.cm", -123)),
        (b"+120 cNm\r\n", value("120", "cN.m", 1_200)),
        (b"5.08 N\xB7m\r\n", value("5.08", "N.m", 5_080)),
        ("5.08 N·m\r\n".as_bytes(), value("5.08", "N.m", 5_080)),
        (b"OL\r\n", past_its_range()),
        (b"-----\r\n", past_its_range()),
        (b"1.234,5 Nm\r\n", no(Unreadable::NoMatch)),
        (b"1,234 Nm\r\n", no(Unreadable::BadNumber)),
        (b"5.08 Mn\r\n", no(Unreadable::UnknownUnit)),
        (b"5.08\r\n", no(Unreadable::UnknownUnit)),
        (b"2000 Nm\r\n", value("2000", "N.m", 2_000_000)),
        (b"2000.001 Nm\r\n", no(Unreadable::NotSane)),
        (b"1234567890123456 Nm\r\n", no(Unreadable::BadNumber)),
        (b"hello\r\n", no(Unreadable::NoMatch)),
        (b"\xFF\xFE\x00\r\n", no(Unreadable::NoMatch)),
    ];
    for (bytes, expected) in table {
        let text = String::from_utf8_lossy(bytes);
        assert_eq!(
            lines(plain(), bytes),
            std::slice::from_ref(expected),
            "{text:?}"
        );
    }
    assert!(
        lines(plain(), b"\r\n   \r\n").is_empty(),
        "an empty line says nothing"
    );
}

#[test]
fn the_bytes_are_kept_without_their_terminator() {
    let out = after_silence(plain(), b"  5.08 N.m\r\nrubbish\r\n");
    let raw: Vec<&[u8]> = out.iter().map(|received| received.raw.as_slice()).collect();
    assert_eq!(raw, [b"  5.08 N.m".as_slice(), b"rubbish"]);
}

#[test]
fn own_lines_are_read_with_count_flags_and_checksum() {
    let pull = || value("5.08", "N.m", 5_080);
    let table: &[(&str, Line)] = &[
        // the check value that the line format's page states for the checksum alone
        ("$PULL,12,5.08,Nm*1A\r\n", with(pull(), 12, &[])),
        ("$PULL,12,5.08,Nm*1a\r\n", with(pull(), 12, &[])),
        ("$PULL,12,5.08,Nm*1B\r\n", no(Unreadable::Checksum)),
        ("$PULL,13,5.08,Nm*1A\r\n", no(Unreadable::Checksum)),
        ("$PULL,12,5.08,N.m*34\r\n", with(pull(), 12, &[])),
        (
            "$PULL,13,44.96,lbf.in*4B\r\n",
            with(value("44.96", "[lbf_av].[in_i]", 5_080), 13, &[]),
        ),
        (
            "$PULL,14,OL,N.m*22\r\n",
            with(past_its_range(), 14, &[Meaning::OverRange]),
        ),
        (
            "$PULL,15,5.08,N.m,LB*11\r\n",
            with(pull(), 15, &[Meaning::BatteryLow]),
        ),
        (
            "$PULL,15,5.08,N.m,LB+RP*38\r\n",
            with(pull(), 15, &[Meaning::BatteryLow, Meaning::SentAgain]),
        ),
        ("$PULL,12,5.08,Nm\r\n", no(Unreadable::NoMatch)),
    ];
    for (text, expected) in table {
        assert_eq!(
            lines(own(), text.as_bytes()),
            std::slice::from_ref(expected),
            "{text:?}"
        );
    }
    for (body, expected) in [
        (
            "PULL,16,5.08,N.m,RP",
            with(pull(), 16, &[Meaning::SentAgain]),
        ),
        (
            "PULL,17,OL,N.m,LB",
            with(
                past_its_range(),
                17,
                &[Meaning::BatteryLow, Meaning::OverRange],
            ),
        ),
        (
            "PULL,999999999999999999,5.08,N.m",
            with(pull(), 999_999_999_999_999_999, &[]),
        ),
        ("PULL,18,5.08,N.m,XX", no(Unreadable::NoMatch)),
        ("PULL,18,5.0.8,N.m", no(Unreadable::BadNumber)),
        ("PULL,18,5.08,psi", no(Unreadable::UnknownUnit)),
    ] {
        assert_eq!(
            lines(own(), summed(body).as_bytes()),
            [expected],
            "{body:?}"
        );
    }
    assert!(lines(own(), b"#READY W-0042\r\n\r\n").is_empty());
}

#[test]
fn a_cut_first_line_counts_only_with_a_checksum() {
    let feed = |dialect, bytes: &[u8]| {
        let mut out = Vec::new();
        feed(&mut Intake::new(dialect), bytes, false, &mut out);
        out.into_iter()
            .map(|received| received.line)
            .collect::<Vec<_>>()
    };
    // "45.08" whose "4" was not seen looks like a smaller number
    assert_eq!(
        feed(plain(), b"5.08 Nm\r\n6.00 Nm\r\n"),
        [no(Unreadable::CutOff), value("6.00", "N.m", 6_000)]
    );
    assert_eq!(feed(plain(), b"OL\r\n"), [no(Unreadable::CutOff)]);
    let whole = with(value("5.08", "N.m", 5_080), 12, &[]);
    assert_eq!(feed(own(), b"$PULL,12,5.08,Nm*1A\r\n"), [whole]);
    assert_eq!(
        feed(own(), b"L,12,5.08,Nm*1A\r\n"),
        [no(Unreadable::CutOff)]
    );
    assert_eq!(
        feed(own(), b"$PULL,12,5.08,Nm*1B\r\n"),
        [no(Unreadable::CutOff)],
        "the sum does not prove it whole"
    );
}

#[test]
fn silence_before_a_line_makes_it_whole() {
    assert_eq!(
        lines(plain(), b"5.08 Nm\r\n"),
        [value("5.08", "N.m", 5_080)]
    );
    // silence in the middle of a line proves nothing about its beginning
    let mut intake = Intake::new(plain());
    let mut out = Vec::new();
    feed(&mut intake, b"5.0", false, &mut out);
    feed(&mut intake, b"8 Nm\r\n", true, &mut out);
    assert_eq!(out.len(), 1);
    assert_eq!(out[0].line, no(Unreadable::CutOff));
}

#[test]
fn a_profile_can_trust_the_first_line() {
    let text = "name = \"t\"\ntitle = \"t\"\n[frame]\nterminator = \"\\n\"\ndistrust_first = false\n\
                [line]\npattern = '^(?P<value>\\S+) (?P<unit>\\S+)$'\n[unit]\nNm = \"N.m\"\n";
    let mut out = Vec::new();
    feed(
        &mut Intake::new(Dialect::from_toml(text).unwrap()),
        b"5.08 Nm\n",
        false,
        &mut out,
    );
    assert_eq!(out[0].line, value("5.08", "N.m", 5_080));
}

#[test]
fn a_stream_without_an_end_is_dropped_once() {
    let mut bytes = vec![b'7'; 4096];
    bytes.extend_from_slice(b"\r\n5.08 Nm\r\n");
    let out = after_silence(plain(), &bytes);
    let found: Vec<&Line> = out.iter().map(|received| &received.line).collect();
    assert_eq!(
        found,
        [&no(Unreadable::TooLong), &value("5.08", "N.m", 5_080)]
    );
    assert!(
        out[0].raw.len() <= 124,
        "{} bytes were kept of a line of at most 120",
        out[0].raw.len()
    );
}

#[test]
fn the_longest_line_is_read_and_one_longer_is_not() {
    let padded = |length: usize| {
        let mut line = vec![b' '; length - 7];
        line.extend_from_slice(b"5.08 Nm\r\n");
        lines(plain(), &line)
    };
    assert_eq!(padded(120), [value("5.08", "N.m", 5_080)]);
    assert_eq!(padded(121), [no(Unreadable::TooLong)]);
}

#[test]
fn the_beginning_of_a_line_is_given_out_when_the_port_goes() {
    let mut intake = Intake::new(own());
    feed(
        &mut intake,
        b"$PULL,12,5.08,Nm*1A\r\n$PULL,13,5.",
        true,
        &mut Vec::new(),
    );
    assert_eq!(intake.partial().as_deref(), Some(b"$PULL,13,5.".as_slice()));
    assert_eq!(intake.partial(), None);
}

const COMMA: &str = "
name = \"comma-line\"
title = \"Decimal comma\"
[frame]
terminator = \"\\r\"
[line]
pattern = '^(?P<value>[-−+0-9.,]+|OL)(?P<unit>[A-Za-z·]*)$'
decimal_comma = true
over_range = '^OL$'
[unit]
\"Nm\" = \"N.m\"
\"N·m\" = \"N.m\"
\"\" = \"cN.m\"
";

#[test]
fn a_decimal_comma_is_read_where_the_profile_says_so() {
    let comma = || Dialect::from_toml(COMMA).unwrap();
    for (text, expected) in [
        ("5,08Nm", value("5.08", "N.m", 5_080)),
        ("508Nm", value("508", "N.m", 508_000)),
        ("508", value("508", "cN.m", 5_080)),
        ("\u{2212}5,08N·m", value("-5.08", "N.m", -5_080)),
        ("1.234,5Nm", no(Unreadable::BadNumber)),
        ("5.08Nm", no(Unreadable::BadNumber)),
        ("5,0,8Nm", no(Unreadable::BadNumber)),
    ] {
        assert_eq!(
            lines(comma(), format!("{text}\r").as_bytes()),
            [expected],
            "{text:?}"
        );
    }
    assert_eq!(
        lines(comma(), b"5,08N\xB7m\r"),
        [value("5.08", "N.m", 5_080)],
        "Latin-1"
    );
}

#[test]
fn a_checksum_is_made_of_the_bytes_as_they_came() {
    let text = "name = \"sum\"\ntitle = \"t\"\n[frame]\nterminator = \"\\r\\n\"\n\
                [line]\npattern = '^@(?P<value>\\S+) (?P<unit>\\S+);(?P<sum>..)$'\n\
                checksum = { kind = \"sum\", after = \"@\", before = \";\" }\n[unit]\n\"N·m\" = \"N.m\"\n";
    let body = b"5.08 N\xB7m";
    let sum = body.iter().fold(0_u8, |sum, byte| sum.wrapping_add(*byte));
    let line = [b"@", body.as_slice(), format!(";{sum:02x}\r\n").as_bytes()].concat();
    assert_eq!(
        lines(Dialect::from_toml(text).unwrap(), &line),
        [value("5.08", "N.m", 5_080)]
    );
}

#[test]
fn a_profile_that_cannot_be_used_says_why() {
    let change = |from: &str, to: &str| {
        let text = include_str!("profiles/pullmark-line.toml");
        assert!(text.contains(from), "{from:?} is not in the profile");
        Dialect::from_toml(&text.replacen(from, to, 1)).unwrap_err()
    };
    assert!(
        matches!(change("name =", "nmae ="), ProfileError::NotReadable(why) if why.contains("nmae"))
    );
    assert!(matches!(
        change("kind = \"xor\"", "kind = \"parity\""),
        ProfileError::NotReadable(_)
    ));
    let pattern = change("^\\$PULL", "(\\$PULL");
    assert!(
        matches!(&pattern, ProfileError::Pattern { what: "line.pattern", profile, .. } if profile == "pullmark-line")
    );
    assert!(matches!(
        change("'^#'", "'['"),
        ProfileError::Pattern {
            what: "line.ignore",
            ..
        }
    ));
    assert!(matches!(
        change("over_range = '^OL$'", "over_range = '*'"),
        ProfileError::Pattern {
            what: "line.over_range",
            ..
        }
    ));
    assert!(matches!(
        change("?P<value>", "?P<torque>"),
        ProfileError::MissingGroup { group: "value", .. }
    ));
    assert!(matches!(
        change("?P<sum>", "?P<check>"),
        ProfileError::MissingGroup { group: "sum", .. }
    ));
    let unit = change("\"Nm\" = \"N.m\"", "\"Nm\" = \"parsec\"");
    assert!(
        matches!(&unit, ProfileError::Unit { spelling, unit, .. } if spelling == "Nm" && unit == "parsec")
    );
    let samples = include_str!("profiles/trace-line.toml");
    let lengths = samples.replace("\"N.m\"", "\"mm\"");
    assert_ne!(lengths, samples);
    assert!(
        Dialect::from_toml(&lengths).is_err(),
        "a length is no sample of a pull"
    );
    assert!(
        matches!(
            change("\"Nm\" = \"N.m\"", "\"Nm\" = \"mm\""),
            ProfileError::Mixed { .. }
        ),
        "a length is no torque"
    );
    for error in [pattern, unit] {
        assert!(error.to_string().contains("pullmark-line"), "{error}");
    }
}

#[test]
fn a_profile_of_the_same_name_replaces_the_one_in_the_program() {
    let mut profiles = Profiles::built_in().unwrap();
    let count = profiles.names().count();
    profiles
        .add(&COMMA.replace("comma-line", "plain-line"))
        .unwrap();
    assert_eq!(profiles.names().count(), count);
    assert_eq!(
        profiles.find("plain-line").unwrap().profile().title,
        "Decimal comma"
    );
    assert!(profiles.add("name = 1").is_err());
}

#[test]
fn above_what_can_be_is_past_the_range_where_too_much_can_harm() {
    for (unit, lowest, highest, shown) in [
        (
            "N.m",
            "0.5 N·m",
            "20 N·m",
            &[
                ("20", "20"),
                ("20.1", "past"),
                ("-5", "-5"),
                ("-20.1", "past"),
                ("-0.4", "none"),
            ][..],
        ),
        (
            "N.m",
            "-50 N·m",
            "20 N·m",
            &[("-40", "-40"), ("-51", "past")],
        ),
        (
            "bar",
            "-1 bar",
            "30 bar",
            &[("30", "30"), ("30.1", "past"), ("-1.5", "none")],
        ),
        ("N", "0 N", "2000 N", &[("2000.1", "past"), ("-1", "none")]),
        ("mm", "0 mm", "200 mm", &[("200", "200"), ("200.1", "none")]),
        ("kg", "0 kg", "30 kg", &[("30.1", "none")]),
    ] {
        let dialect = Dialect::from_toml(&format!(
            "name = \"t\"\ntitle = \"t\"\n[frame]\nterminator = \"\\n\"\n[line]\npattern = '^(?P<value>\\S+)$'\n\
             [unit]\n\"\" = \"{unit}\"\n[plausible]\nlowest = \"{lowest}\"\nhighest = \"{highest}\"\n"
        ))
        .unwrap();
        for (text, wanted) in shown {
            let found = match lines(dialect.clone(), format!("{text}\n").as_bytes())[..] {
                [Line::Value(seen)] => seen.number.map_or_else(
                    || {
                        assert!(seen.words.has(Meaning::OverRange));
                        "past".to_owned()
                    },
                    |number| number.value.to_string(),
                ),
                [Line::Unreadable(Unreadable::Implausible)] => "none".to_owned(),
                ref other => panic!("{other:?}"),
            };
            assert_eq!(found, *wanted, "{text} {unit}");
        }
    }
}

#[test]
fn a_display_past_its_range_is_one_reading_until_it_is_back_or_the_port_was_gone() {
    let profile = "name = \"t\"\ntitle = \"t\"\n[frame]\nterminator = \"\\n\"\n[line]\npattern = '^(?P<value>[0-9.]+|OL)$'\n\
        over_range = '^OL$'\n[unit]\n\"\" = \"bar\"\n[settle]\nwithin = \"0.05 bar\"\nfor_ms = 200\ngive_up_ms = 2000\n";
    let mut intake = Intake::new(Dialect::from_toml(profile).unwrap());
    let mut at = 0;
    let mut past = |intake: &mut Intake, text: &str| {
        let mut count = 0;
        for _ in 0..5 {
            at += 100_000;
            let arrival = Arrival {
                at_us: at,
                after_silence: true,
                since_1970: None,
            };
            intake.feed(format!("{text}\n").as_bytes(), arrival, |received| {
                count += usize::from(received.to_string().contains("past its range"));
            });
        }
        count
    };
    assert_eq!(past(&mut intake, "OL"), 1);
    assert_eq!(past(&mut intake, "OL"), 0, "it is the same one");
    assert_eq!(past(&mut intake, "5.5"), 0);
    assert_eq!(past(&mut intake, "OL"), 1);
    intake.reopen(2_000_000);
    assert_eq!(
        past(&mut intake, "OL"),
        1,
        "nobody knows what happened meanwhile"
    );
    // A pull never comes to rest: each one past the range would be one more, and be taken for the same.
    let torque = profile.replace("= \"bar\"", "= \"N.m\"");
    let refused = Dialect::from_toml(&torque).unwrap_err().to_string();
    assert!(refused.contains("everything but torque"), "{refused}");
}

mod messages;
mod split;
