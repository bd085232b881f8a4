use super::*;
use crate::intake::{Arrival, Intake, Received, What};
use proptest::prelude::*;
use pullmark_schema::quantity::Decimal;

const TESTER: &str = r#"
name = "tester"
title = "a bench torque tester"
[scpi]
ask = "READ?"
each = true
[unit]
"" = "N.m"
"LBF.IN" = "[lbf_av].[in_i]"
"#;

const GAUGE: &str = r#"
name = "gauge"
title = "a force gauge that counts its readings"
[scpi]
ask = "FETC?"
every_ms = 100
item = 1
counter = 0
[unit]
"" = "N"
"#;

/// An instrument that answers by a function; what came out.
struct Bench {
    intake: Intake,
    at: u64,
    asked: Vec<String>,
}

impl Bench {
    fn new(profile: &str) -> Self {
        Self {
            intake: Intake::new(Dialect::from_toml(profile).unwrap()),
            at: 0,
            asked: Vec::new(),
        }
    }

    fn run(&mut self, micro: u64, mut answer: impl FnMut(&str) -> Option<Vec<u8>>) -> Vec<String> {
        let until = self.at + micro;
        let mut all = Vec::new();
        while let Some(due) = self.intake.due().filter(|due| *due < until) {
            self.at = self.at.max(due);
            let mut tell = |received: Received<'_>| {
                if !matches!(received.what, What::Rising(_)) {
                    let text = received.to_string();
                    all.push(text.split(", count").next().unwrap_or_default().to_owned());
                }
            };
            self.intake.tick(self.at, &mut tell);
            let Some(question) = self.intake.take_send() else {
                continue;
            };
            let question = String::from_utf8(question).unwrap();
            assert!(question.ends_with('\n'));
            self.at += 2_000;
            if let Some(bytes) = answer(question.trim()) {
                let arrival = Arrival {
                    at_us: self.at,
                    ..Arrival::default()
                };
                self.intake.feed(&bytes, arrival, &mut tell);
            }
            self.asked.push(question.trim().to_owned());
        }
        self.at = until;
        all
    }

    /// Bytes that come by themselves.
    fn comes(&mut self, bytes: &[u8]) -> Vec<String> {
        let mut all = Vec::new();
        let arrival = Arrival {
            at_us: self.at,
            ..Arrival::default()
        };
        self.intake
            .feed(bytes, arrival, |received| all.push(received.to_string()));
        all
    }
}

fn usual(question: &str) -> Option<Vec<u8>> {
    match question {
        "*IDN?" => Some(b"TARN INSTRUMENTS,BT-10,0042,1.3\n".to_vec()),
        "SYST:ERR?" => Some(b"0,\"No error\"\n".to_vec()),
        _ => None,
    }
}

#[test]
fn numbers_of_all_forms_are_read_and_markers_are_no_value() {
    let dialect = Dialect::from_toml(TESTER).unwrap();
    let queries =
        Queries::new(dialect.profile(), dialect.profile().scpi.as_ref().unwrap()).unwrap();
    let shown = |text: &str| match queries.read(text.as_bytes()).0 {
        Line::Value(seen) => seen
            .number
            .map_or("past".to_owned(), |number| number.to_string()),
        Line::Unreadable(why) => format!("{why:?}"),
        Line::Nothing => "Nothing".to_owned(),
    };
    for (text, wanted) in [
        ("+12", "12 N·m"),
        ("-3", "-3 N·m"),
        ("-1.25", "-1.25 N·m"),
        (".5", "0.5 N·m"),
        ("+5.080E+00", "5.080 N·m"),
        (" 1.2E-3 ", "0.0012 N·m"),
        ("44.96LBF.IN", "44.96 lbf·in"),
        ("44.96 LBF.IN, 3", "44.96 lbf·in"),
        ("9.9E37", "past"),
        ("+9.90000000E+37", "past"),
        ("-9.9E37", "past"),
        ("9.91E37", "Nothing"),
        ("+9.91000E+037", "Nothing"),
        ("5.08 EV", "UnknownUnit"),
        ("5.08E", "UnknownUnit"),
        ("", "BadNumber"),
        ("NAN", "UnknownUnit"),
        ("inf", "UnknownUnit"),
        ("5..08", "BadNumber"),
        ("\"5.08\"", "UnknownUnit"),
        ("1e300", "past"),
        ("3e9", "NotSane"),
    ] {
        assert_eq!(shown(text), wanted, "{text}");
    }
}

#[test]
fn blocks_are_read_in_either_order() {
    let profile = |order: &str, item: u8| {
        TESTER.replace(
            "each = true",
            &format!("each = true\nitem = {item}\nblock = {{ format = \"float32\", order = \"{order}\" }}"),
        )
    };
    for (order, item, block, wanted) in [
        (
            "big",
            1,
            b"#18\x40\xA0\x00\x00\x40\xB0\x00\x00".as_slice(),
            "5.5 N·m",
        ),
        ("big", 0, b"#18\x40\xA0\x00\x00\x40\xB0\x00\x00", "5 N·m"),
        ("little", 0, b"#14\x5C\x8F\xA2\x40", "5.08 N·m"),
        ("big", 0, b"#0\x40\xA2\x8F\x5C", "5.08 N·m"),
        ("big", 0, b"#14\x0A\x0A\x0A\x0A", "Implausible"),
        ("big", 2, b"#18\x40\xA0\x00\x00\x40\xB0\x00\x00", "NoMatch"),
        ("big", 0, b"#14\x7F\xC0\x00\x00", "Nothing"),
        ("big", 0, b"#14\x7E\x94\xF5\x6A", "past"),
        ("big", 0, b"#14\x7F\x80\x00\x00", "past"),
        ("big", 0, b"#14\xFF\x80\x00\x00", "past"),
    ] {
        let dialect = Dialect::from_toml(&profile(order, item)).unwrap();
        let queries =
            Queries::new(dialect.profile(), dialect.profile().scpi.as_ref().unwrap()).unwrap();
        let shown = match queries.read(block).0 {
            Line::Value(seen) => seen
                .number
                .map_or("past".to_owned(), |number| number.to_string()),
            Line::Unreadable(why) => format!("{why:?}"),
            Line::Nothing => "Nothing".to_owned(),
        };
        assert_eq!(shown, wanted, "{}", block.escape_ascii());
    }
}

#[test]
fn it_says_who_it_is_and_each_answer_is_a_reading() {
    let mut bench = Bench::new(TESTER);
    let told = bench.run(30_000_000, usual);
    assert_eq!(
        told,
        ["it says that it is TARN INSTRUMENTS, BT-10, 1.3, serial number 0042"],
        "it waits, and asks only once"
    );
    assert_eq!(bench.asked, ["*IDN?", "READ?"]);
    assert_eq!(bench.comes(b"+5.0"), [""; 0]);
    assert_eq!(
        bench.comes(b"80E+00\n"),
        ["it answers", "reading 5.080 N·m = 5.08 N·m"]
    );
    let told = bench.comes(b"+5.080E+00\n");
    assert!(
        told[0].contains("nobody knows how old"),
        "nobody has asked: {told:?}"
    );
    bench.run(1_000_000, usual);
    assert_eq!(bench.asked.last().unwrap(), "READ?");
    assert_eq!(bench.comes(b"+9.9E37\n"), ["reading past its range"]);
    bench.run(1_000_000, usual);
    let told = bench.comes(b"9.91E37\n");
    assert_eq!(told, ["no reading, its number cannot be read: \"9.91E37\""]);
}

#[test]
fn an_item_that_counts_tells_what_is_new() {
    let mut bench = Bench::new(GAUGE);
    let mut shown = "12,+1.10E+03";
    let told = bench.run(1_000_000, |question| {
        usual(question).or_else(|| Some(format!("{shown}\n").into_bytes()))
    });
    assert_eq!(told.len(), 3, "{told:?}");
    assert!(told[2].contains("nobody knows how old"), "{told:?}");
    assert!(bench.asked.iter().filter(|asked| *asked == "FETC?").count() > 5);
    for (next, wanted) in [
        ("13,+1.17E+03", vec!["reading 1170 N"]),
        ("13,+1.17E+03", vec![]),
        ("14,+1.17E+03", vec!["reading 1170 N"]),
        ("14,9.91E37", vec![]),
    ] {
        shown = next;
        let told = bench.run(1_000_000, |question| {
            usual(question).or_else(|| Some(format!("{shown}\n").into_bytes()))
        });
        assert_eq!(told, wanted, "{next}");
    }
}

#[test]
fn the_queue_of_errors_is_emptied_and_told() {
    let mut bench = Bench::new(GAUGE);
    let mut queue = vec!["-222,\"Data out of range\"", "-113,\"Undefined header\""];
    let told = bench.run(3_000_000, |question| match question {
        "SYST:ERR?" => Some(format!("{}\n", queue.pop().unwrap_or("0,\"No error\"")).into_bytes()),
        "FETC?" => None,
        other => usual(other),
    });
    assert!(queue.is_empty());
    let refused = told
        .iter()
        .filter(|told| told.contains("answered with an error"))
        .count();
    assert_eq!(refused, 2, "{told:?}");
    assert!(
        told.iter()
            .any(|told| told.contains("BT-10") && told.contains("-113,\"Undefined header\"")),
        "{told:?}"
    );
    // A queue that never empties does not hold up the values.
    let mut bench = Bench::new(GAUGE);
    let mut count = 0;
    bench.run(20_000_000, |question| match question {
        "SYST:ERR?" => Some(b"-350,\"Queue overflow\"\n".to_vec()),
        "FETC?" => {
            count += 1;
            Some(format!("{count},5\n").into_bytes())
        }
        other => usual(other),
    });
    assert!(count > 50, "{count}");
}

#[test]
fn a_silent_instrument_is_told_and_asked_again() {
    let mut bench = Bench::new(GAUGE);
    let told = bench.run(20_000_000, |_| None);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("does not answer FETC?"), "{told:?}");
    // A block whose length was garbled swallows nothing beyond the time that is waited for it.
    let mut number = 0;
    let told = bench.run(20_000_000, |question| {
        number += 1;
        match question {
            "FETC?" if number == 1 => Some(b"#9999999999\n".to_vec()),
            "FETC?" => Some(format!("{number},7.5\n").into_bytes()),
            other => usual(other),
        }
    });
    assert!(told.iter().any(|told| told == "reading 7.5 N"), "{told:?}");
}

#[test]
fn an_instrument_that_has_forgotten_the_question_is_asked_again() {
    let mut bench = Bench::new(TESTER);
    let told = bench.run(5_000_000, usual);
    assert!(
        !told.iter().any(|told| told.contains("does not answer")),
        "{told:?}"
    );
    let asked = |bench: &Bench| bench.asked.iter().filter(|asked| *asked == "READ?").count();
    assert_eq!(asked(&bench), 1);
    let mut bench = Bench::new(TESTER);
    // It was switched off and on. After ten minutes it is asked again, complains about that once, and answers.
    let (mut reads, mut errors) = (0, 0);
    let told = bench.run(1_300_000_000, |question| match question {
        "READ?" => {
            reads += 1;
            (reads == 2).then(|| b"6.5\n".to_vec())
        }
        "SYST:ERR?" => {
            errors += 1;
            Some(if errors == 1 {
                b"-410,\"Query INTERRUPTED\"\n".to_vec()
            } else {
                b"0,\"No error\"\n".to_vec()
            })
        }
        other => usual(other),
    });
    assert!(
        told.iter().any(|told| told.starts_with("reading 6.5 N·m")),
        "{told:?}"
    );
    assert!(
        errors > 1 && !told.iter().any(|told| told.contains("reports an error")),
        "{told:?}"
    );
}

#[test]
fn a_count_stands_also_where_the_unit_is_not_known() {
    let mut bench = Bench::new(GAUGE);
    let mut number = 0;
    let answers = ["1,5", "2,6", "3,7 EV", "4,8"];
    let told = bench.run(20_000_000, |question| match question {
        "FETC?" => {
            let text = answers[number.min(3)];
            number += 1;
            Some(format!("{text}\n").into_bytes())
        }
        other => usual(other),
    });
    let kept: Vec<&String> = told.iter().filter(|told| told.contains("unit")).collect();
    assert_eq!(kept.len(), 1, "{told:?}");
    // No count is missing, and none is taken for a new beginning.
    assert!(
        told.iter().any(|told| told == "reading 6 N")
            && told.iter().any(|told| told == "reading 8 N"),
        "{told:?}"
    );
}

#[test]
fn a_profile_that_leaves_open_what_is_new_is_refused() {
    for (from, to) in [
        ("counter = 0", ""),
        ("counter = 0", "counter = 0\neach = true"),
        ("ask = \"FETC?\"", "ask = \"FETC\""),
        ("ask = \"FETC?\"", "ask = \"FETC?\\n*RST\""),
        ("\"\" = \"N\"", "\"\" = \"N\"\n[stream]"),
    ] {
        let profile = GAUGE.replace(from, to);
        assert_ne!(profile, GAUGE);
        assert!(Dialect::from_toml(&profile).is_err(), "{to}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn no_bytes_are_too_much(
        pieces in proptest::collection::vec(proptest::collection::vec(prop_oneof![any::<u8>(), Just(b'#'), Just(b'\n'), b'0'..=b'9', Just(b',')], 0..40), 0..60),
        is_counting in any::<bool>(),
    ) {
        let mut bench = Bench::new(if is_counting { GAUGE } else { TESTER });
        let mut pieces = pieces.into_iter();
        bench.run(100_000_000, |_| pieces.next());
        prop_assert!(bench.intake.partial().is_none_or(|held| held.len() <= 4096));
    }

    #[test]
    fn any_number_is_read_as_it_is_written(mantissa in -999_999_i64..999_999, scale in 0_u8..6, exponent in -3_i32..4) {
        let dialect = Dialect::from_toml(&GAUGE.replace("item = 1\ncounter = 0", "each = true")).unwrap();
        let queries = Queries::new(dialect.profile(), dialect.profile().scpi.as_ref().unwrap()).unwrap();
        let value = Decimal::new(mantissa, scale).unwrap();
        let (Line::Value(other), _) = queries.read(format!("{value}E{exponent:+03}").as_bytes()) else {
            panic!("a value");
        };
        let read = f64::from(i32::try_from(other.number.unwrap().value.mantissa() / 10_i64.pow(other.number.unwrap().value.scale().into())).unwrap());
        let wanted = value.to_string().parse::<f64>().unwrap() * 10_f64.powi(exponent);
        prop_assert!((read - wanted.trunc()).abs() < 1.5, "{read} {wanted}");
    }
}
