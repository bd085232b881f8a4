use super::registers::crc;
use super::*;
use crate::intake::{Arrival, Intake, Received, What};
use proptest::prelude::*;
use pullmark_schema::profile::instrument::{Register, Table};
use pullmark_schema::profile::{Format, Order};

const GAUGE: &str = r#"
name = "gauge"
title = "a pressure gauge"
[modbus]
address = 7
every_ms = 100
timeout_ms = 300
value = { at = 0, format = "float32" }
counter = { table = "holding", at = 16, format = "uint16" }
[unit]
"" = "bar"
[plausible]
lowest = "-1 bar"
highest = "16 bar"
"#;

const TESTER: &str = r#"
name = "tester"
title = "a torque tester that holds its peak"
[modbus]
address = 7
value = { at = 0, format = "float32" }
[unit]
"" = "N.m"
[stream]
shortest_ms = 0
gap_ms = 0
"#;

fn intake(profile: &str) -> Intake {
    Intake::new(Dialect::from_toml(profile).unwrap())
}

fn framed(body: &[u8]) -> Vec<u8> {
    [body, &crc(body)].concat()
}

/// A unit that holds a float from register 0 on and a count in register 16, with what can go wrong.
#[derive(Debug, Clone, Copy)]
struct Unit {
    value: [u8; 4],
    count: u16,
}

fn float(value: f32) -> [u8; 4] {
    value.to_be_bytes()
}

impl Unit {
    fn answer(self, question: &[u8]) -> Vec<u8> {
        match question {
            [7, 4, 0, 0, 0, 2, ..] => framed(&[&[7, 4, 4], self.value.as_slice()].concat()),
            [7, 3, 0, 16, 0, 1, ..] => {
                framed(&[&[7, 3, 2], self.count.to_be_bytes().as_slice()].concat())
            }
            _ => framed(&[7, question[1] | 0x80, 2]),
        }
    }
}

/// A peak that is held.
fn held(value: f32) -> impl Fn(&[u8]) -> Option<Vec<u8>> {
    move |question| {
        let unit = Unit {
            value: float(value),
            count: 0,
        };
        Some(unit.answer(question))
    }
}

/// How often it was told that nobody knows how old a peak is.
fn told_as_old(told: &[String]) -> usize {
    let is = |told: &&String| told.contains("nobody knows how old it is");
    told.iter().filter(is).count()
}

/// Works until so many µs have gone by; whoever answers says what comes back, and how late.
struct Line {
    intake: Intake,
    at: u64,
    told: Vec<String>,
    asked: usize,
}

impl Line {
    fn new(profile: &str) -> Self {
        Self {
            intake: intake(profile),
            at: 0,
            told: Vec::new(),
            asked: 0,
        }
    }

    fn run(&mut self, micro: u64, mut answer: impl FnMut(&[u8]) -> Option<Vec<u8>>) -> Vec<String> {
        let until = self.at + micro;
        while let Some(due) = self.intake.due().filter(|due| *due < until) {
            self.at = self.at.max(due);
            let told = &mut self.told;
            let mut tell = |received: Received<'_>| {
                if !matches!(received.what, What::Rising(_)) {
                    let text = received.to_string();
                    told.push(text.split(", count").next().unwrap_or_default().to_owned());
                }
            };
            self.intake.tick(self.at, &mut tell);
            self.intake.quiet(self.at, &mut tell);
            let Some(question) = self.intake.take_send() else {
                continue;
            };
            self.asked += 1;
            self.at += 10_000;
            if let Some(bytes) = answer(&question) {
                let arrival = Arrival {
                    at_us: self.at,
                    ..Arrival::default()
                };
                self.intake.feed(&bytes, arrival, &mut tell);
            }
        }
        self.at = until;
        std::mem::take(&mut self.told)
    }
}

#[test]
fn frames_are_those_of_the_published_examples() {
    let register = |at, format| Register {
        table: Table::Input,
        at,
        format,
        order: Order::Big,
    };
    let asked = Asked::new(7, register(0, Format::Float32), 4);
    assert_eq!(asked.question, [7, 4, 0, 0, 0, 2, 0x71, 0xAD]);
    let answer = [7, 4, 4, 0x40, 0xA2, 0x8F, 0x5C, 0x4D, 0xAF];
    let Some(Answer::Data { data, .. }) = find(&asked, &answer) else {
        panic!("an answer");
    };
    assert_eq!(read(asked.field, data), Some(Raw::Float(5.08)));
    assert_eq!(
        find(&asked, &[7, 0x84, 2, 0x22, 0xC0]),
        Some(Answer::Exception {
            frame: &[7, 0x84, 2, 0x22, 0xC0],
            code: 2
        })
    );
    // An echo before it, and what a line picks up when the direction turns.
    assert!(find(&asked, &[&asked.question, answer.as_slice()].concat()).is_some());
    assert!(find(&asked, &[&[0xFF, 7], answer.as_slice()].concat()).is_some());
    for byte in 0..answer.len() {
        for bit in 0..8 {
            let mut wrong = answer;
            wrong[byte] ^= 1 << bit;
            assert_eq!(find(&asked, &wrong), None, "bit {bit} of byte {byte}");
        }
    }
}

#[test]
fn each_count_is_one_reading_and_what_was_there_before_is_none() {
    let mut line = Line::new(GAUGE);
    let mut unit = Unit {
        value: float(5.5),
        count: 41,
    };
    let told = line.run(1_000_000, |question| Some(unit.answer(question)));
    assert_eq!(told.len(), 2, "{told:?}");
    assert_eq!(told[0], "it answers");
    assert!(told[1].contains("nobody knows how old it is"), "{told:?}");
    assert!(line.asked >= 10, "it goes on asking: {}", line.asked);
    unit = Unit {
        value: float(6.25),
        count: 42,
    };
    let told = line.run(1_000_000, |question| Some(unit.answer(question)));
    assert_eq!(told, ["reading 6.25 bar"]);
    // The same value once more, measured anew.
    unit.count = 43;
    let told = line.run(1_000_000, |question| Some(unit.answer(question)));
    assert_eq!(told, ["reading 6.25 bar"]);
    unit.count = 46;
    let told = line.run(1_000_000, |question| Some(unit.answer(question)));
    assert_eq!(
        told,
        ["reading 6.25 bar"],
        "that some are missing is seen by what is stored"
    );
    // Switched off and on: it counts from nothing.
    unit.count = 0;
    let told = line.run(1_000_000, |question| Some(unit.answer(question)));
    assert_eq!(told, [""; 0]);
    // The port was gone, and one value was measured meanwhile.
    unit.count = 1;
    line.intake.reopen(line.at);
    let told = line.run(1_000_000, |question| Some(unit.answer(question)));
    assert_eq!(told, ["it answers", "reading 6.25 bar"]);
}

#[test]
fn a_value_that_changes_while_it_is_read_is_of_one_count() {
    let mut line = Line::new(GAUGE);
    let mut unit = Unit {
        value: float(1.0),
        count: 0,
    };
    line.run(500_000, |question| Some(unit.answer(question)));
    // The count goes on with each question for the value.
    let told = line.run(10_000_000, |question| {
        let answer = unit.answer(question);
        if question[1] == 4 && unit.count < 5 {
            unit.count += 1;
        } else if question[1] == 3 && unit.count == 0 {
            unit.count = 1;
        }
        Some(answer)
    });
    assert!(told.iter().any(|told| told == "reading 1 bar"), "{told:?}");
    let readings = told
        .iter()
        .filter(|told| told.starts_with("reading"))
        .count();
    assert_eq!(
        readings, 1,
        "only the last count was there long enough: {told:?}"
    );
}

#[test]
fn a_peak_that_stays_in_the_register_is_one_pull() {
    let mut line = Line::new(TESTER);
    let told = line.run(1_000_000, held(4.2));
    assert_eq!(told.len(), 2, "what is there is old: {told:?}");
    for value in [0.0, 3.0, 5.08, 5.08, 5.08, 5.08] {
        let told = line.run(500_000, held(value));
        assert_eq!(told, [""; 0]);
    }
    // Silent for two seconds in the middle, and the peak is still there.
    let told = line.run(2_500_000, |_| None);
    assert!(told[0].contains("pull 5.08"), "{told:?}");
    assert!(told[0].contains("samples lost"), "{told:?}");
    assert!(told.last().unwrap().contains("does not answer"), "{told:?}");
    let told = line.run(3_000_000, held(5.08));
    assert_eq!(told, ["it answers"], "the same peak is no second pull");
    // More than was seen is one: nobody explains it away.
    assert_eq!(line.run(500_000, held(6.5)), [""; 0]);
    let told = line.run(500_000, held(0.0));
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("pull 6.5 N·m"), "{told:?}");
    line.run(500_000, held(5.08));
    let told = line.run(500_000, held(0.0));
    assert!(
        told[0].contains("pull 5.08 N·m"),
        "and the next one counts: {told:?}"
    );
}

#[test]
fn more_than_an_old_peak_is_a_pull_and_less_after_a_silence_is_told() {
    let is_old = |told: &[String]| {
        told_as_old(told) == 1 && !told.iter().any(|told| told.starts_with("pull"))
    };
    // A peak of before is held, and somebody pulls higher without letting it go.
    let mut line = Line::new(TESTER);
    let told = line.run(500_000, held(4.2));
    assert!(is_old(&told), "{told:?}");
    assert_eq!(line.run(500_000, held(6.5)), [""; 0]);
    let told = line.run(500_000, held(0.0));
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("pull 6.5 N·m"), "{told:?}");
    // The port goes in the middle of a pull: the same peak is old, told once, and a higher one is a pull.
    line.run(500_000, held(5.0));
    line.intake.partial();
    line.intake.reopen(line.at);
    let told = line.run(500_000, held(5.0));
    assert!(is_old(&told), "{told:?}");
    assert_eq!(line.run(500_000, held(7.25)), [""; 0]);
    let told = line.run(500_000, held(0.0));
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("pull 7.25 N·m"), "{told:?}");
    // It is switched off and on, and a lower peak is there: of nobody knows when. What goes beyond that one is a pull.
    line.run(500_000, held(8.0));
    let told = line.run(2_500_000, |_| None);
    assert!(told[0].contains("pull 8.0 N·m"), "{told:?}");
    let told = line.run(2_000_000, held(3.0));
    assert!(is_old(&told), "{told:?}");
    assert_eq!(line.run(500_000, held(4.0)), [""; 0]);
    let told = line.run(500_000, held(0.0));
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("pull 4.0 N·m"), "{told:?}");
}

#[test]
fn an_old_peak_does_not_hide_a_lower_one_after_the_port_was_gone() {
    let mut line = Line::new(TESTER);
    assert_eq!(told_as_old(&line.run(500_000, held(20.0))), 1);
    line.intake.partial();
    line.intake.reopen(line.at);
    let same = line.run(500_000, held(20.0));
    assert_eq!(told_as_old(&same), 0, "{same:?}");
    line.intake.partial();
    line.intake.reopen(line.at);
    let lower = line.run(500_000, held(15.0));
    assert_eq!(told_as_old(&lower), 1, "{lower:?}");
}

#[test]
fn past_the_range_is_told_and_so_is_a_new_count_without_a_value() {
    let mut line = Line::new(GAUGE);
    let mut unit = Unit {
        value: float(5.5),
        count: 41,
    };
    line.run(1_000_000, |question| Some(unit.answer(question)));
    for (value, wanted) in [
        (f32::INFINITY, "reading past its range"),
        (f32::NEG_INFINITY, "reading past its range"),
        (f32::NAN, "no reading, its number cannot be read"),
    ] {
        unit.value = float(value);
        unit.count += 1;
        let told = line.run(1_000_000, |question| Some(unit.answer(question)));
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(told[0].starts_with(wanted), "{value}: {told:?}");
    }
    // Among samples it makes the pull one past the range.
    let mut line = Line::new(TESTER);
    for value in [0.0, 3.0, f32::INFINITY] {
        line.run(500_000, held(value));
    }
    let told = line.run(500_000, held(0.0));
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("past its range"), "{told:?}");
    // A display that stays there is one reading.
    let settling = GAUGE.replace(
        "counter = { table = \"holding\", at = 16, format = \"uint16\" }",
        "[settle]\nwithin = \"1 bar\"",
    );
    let mut line = Line::new(&settling);
    line.run(3_000_000, held(1.0));
    let told = line.run(3_000_000, held(f32::INFINITY));
    assert_eq!(told, ["reading past its range"]);
}

#[test]
fn a_wrong_order_of_bytes_is_found() {
    for order in ["big-words-swapped", "big-bytes-swapped", "little"] {
        let profile = GAUGE.replace(
            "format = \"float32\"",
            &format!("format = \"float32\", order = \"{order}\""),
        );
        let mut line = Line::new(&profile);
        let mut unit = Unit {
            value: float(5.08),
            count: 0,
        };
        let mut told = line.run(500_000, |question| Some(unit.answer(question)));
        unit.count = 1;
        told.extend(line.run(1_000_000, |question| Some(unit.answer(question))));
        assert!(
            told.iter().all(|told| !told.starts_with("reading")),
            "{order}: {told:?}"
        );
        assert!(
            told.iter()
                .any(|told| told.starts_with("no reading, it is outside")),
            "{order}: {told:?}"
        );
        // With the right one all four are the same.
        let value: [u8; 4] = match order {
            "big-words-swapped" => [0x8F, 0x5C, 0x40, 0xA2],
            "big-bytes-swapped" => [0xA2, 0x40, 0x5C, 0x8F],
            _ => [0x5C, 0x8F, 0xA2, 0x40],
        };
        let mut line = Line::new(&profile);
        let mut unit = Unit { value, count: 0 };
        line.run(500_000, |question| Some(unit.answer(question)));
        unit.count = 1;
        let told = line.run(1_000_000, |question| Some(unit.answer(question)));
        assert_eq!(told, ["reading 5.08 bar"], "{order}");
    }
}

#[test]
fn faults_are_told_in_words_and_asking_goes_on() {
    let unit = Unit {
        value: float(2.0),
        count: 3,
    };
    let mut line = Line::new(GAUGE);
    let told = line.run(5_000_000, |_| None);
    assert_eq!(told.len(), 1, "told once: {told:?}");
    assert!(told[0].contains("unit 7 does not answer"), "{told:?}");
    let told = line.run(1_000_000, |question| Some(unit.answer(question)));
    assert!(told.contains(&"it answers".to_owned()), "{told:?}");
    // Garbled: its bytes are kept once, and it is told.
    let told = line.run(5_000_000, |question| {
        let mut answer = unit.answer(question);
        *answer.last_mut().unwrap() ^= 1;
        Some(answer)
    });
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told[0].contains("checksum"), "{told:?}");
    assert!(told[1].contains("garbled"), "{told:?}");
    // One in ten is garbled: nothing is told but the first of them, later.
    let mut number = 0;
    let told = line.run(20_000_000, |question| {
        number += 1;
        let mut answer = unit.answer(question);
        if number % 10 == 0 {
            *answer.last_mut().unwrap() ^= 1;
        }
        Some(answer)
    });
    assert!(told.len() <= 3, "{told:?}");
    assert!(told.contains(&"it answers".to_owned()), "{told:?}");
    // A register that is not there.
    let mut line = Line::new(&GAUGE.replace("at = 16", "at = 17"));
    let told = line.run(2_000_000, |question| Some(unit.answer(question)));
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told[0].contains("answered with an error"), "{told:?}");
    assert!(told[1].contains("no such register"), "{told:?}");
    assert!(line.asked > 10);
}

#[test]
fn a_late_answer_is_the_answer_to_nothing() {
    let profile = GAUGE.replace(
        "{ table = \"holding\", at = 16, format = \"uint16\" }",
        "{ at = 4, format = \"uint32\" }",
    );
    let mut line = Line::new(&profile);
    // It answers each question only after the next one was due: always with the answer before.
    let mut before: Option<Vec<u8>> = None;
    let told = line.run(3_000_000, |question| {
        let answer = match question {
            [7, 4, 0, 4, ..] => framed(&[7, 4, 4, 0, 0, 0, 9]),
            _ => framed(&[7, 4, 4, 0x40, 0xA0, 0, 0]),
        };
        before.replace(answer)
    });
    // What came was the answer to the question before, which had been given up: a count of 9, or a float that looks like
    // a count. Nothing of it is a reading.
    assert!(
        told.iter().all(|told| !told.starts_with("reading")),
        "{told:?}"
    );
}

#[test]
fn a_unit_that_says_its_unit_is_read_by_the_map_alone() {
    let profile = r#"
        name = "x"
        title = "x"
        [modbus]
        address = 1
        value = { table = "holding", at = 10, format = "sint16" }
        exponent = -2
        unit = { table = "holding", at = 11, format = "uint16" }
        counter = { table = "holding", at = 12, format = "uint16" }
        [unit]
        0 = "N.m"
        1 = "[lbf_av].[in_i]"
    "#;
    for (unit, wanted) in [
        (0_u8, "reading -5.08 N·m = -5.08 N·m"),
        (1, "reading -5.08 lbf·in = -0.574 N·m"),
        (3, "no reading, its unit is not in the tool's profile"),
    ] {
        let mut line = Line::new(profile);
        let (mut count, mut told) = (0, Vec::new());
        for _ in 0..2 {
            told.extend(line.run(1_000_000, |question| {
                let value: [u8; 2] = match question[3] {
                    10 => (-508_i16).to_be_bytes(),
                    11 => [0, unit],
                    _ => [0, count],
                };
                Some(framed(&[&[1, 3, 2], value.as_slice()].concat()))
            }));
            count = 1;
        }
        assert!(told.iter().any(|told| told.starts_with(wanted)), "{told:?}");
    }
}

#[test]
fn a_profile_that_leaves_open_what_is_new_is_refused() {
    for (from, to) in [
        (
            "counter = { table = \"holding\", at = 16, format = \"uint16\" }",
            "",
        ),
        ("[unit]", "[settle]\nwithin = \"1 bar\"\n[unit]"),
        ("address = 7", "address = 0"),
        ("address = 7", "address = 248"),
        ("format = \"uint16\"", "format = \"float32\""),
        ("format = \"float32\"", "format = \"uint24\""),
        ("\"\" = \"bar\"", "\"\" = \"furlong\""),
        ("highest = \"16 bar\"", "highest = \"16 mm\""),
        ("[unit]", "[line]\npattern = '(?P<value>.)'\n[unit]"),
    ] {
        let profile = GAUGE.replace(from, to);
        assert_ne!(profile, GAUGE);
        assert!(Dialect::from_toml(&profile).is_err(), "{to}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn whatever_a_line_does_no_value_is_lost_doubled_or_made_up(
        faults in proptest::collection::vec(0_u8..12, 40..200),
        steps in proptest::collection::vec(0_u8..40, 1..12),
    ) {
        let mut line = Line::new(GAUGE);
        let mut unit = Unit { value: float(0.5), count: 100 };
        let (mut told, mut faults) = (line.run(1_000_000, |question| Some(unit.answer(question))), faults.into_iter().cycle());
        for step in &steps {
            unit.count += 1;
            unit.value = float(f32::from(*step) / 4.0);
            told.extend(line.run(1_000_000, |question| {
                let mut answer = unit.answer(question);
                match faults.next() {
                    Some(0) => None,
                    Some(1) => {
                        answer[2] ^= 0x40;
                        Some(answer)
                    }
                    Some(2) => {
                        answer.pop();
                        Some(answer)
                    }
                    Some(3) => Some([question, &answer].concat()),
                    Some(4) => Some([&[0, 7, 0x83], answer.as_slice()].concat()),
                    Some(5) => Some(framed(&[7, question[1] | 0x80, 6])),
                    _ => Some(answer),
                }
            }));
            // Sooner or later it answers.
            told.extend(line.run(3_000_000, |question| Some(unit.answer(question))));
        }
        let readings: Vec<String> = told.into_iter().filter(|told| told.starts_with("reading")).collect();
        let sent: Vec<String> = steps.iter().map(|step| {
            let quarters = f32::from(*step) / 4.0;
            format!("reading {quarters} bar")
        }).collect();
        prop_assert_eq!(readings, sent);
    }

    #[test]
    fn no_bytes_are_too_much(
        pieces in proptest::collection::vec(proptest::collection::vec(prop_oneof![any::<u8>(), Just(7), Just(4), Just(3)], 0..40), 0..40),
    ) {
        let mut line = Line::new(TESTER);
        let mut pieces = pieces.into_iter();
        line.run(20_000_000, |_| pieces.next());
        prop_assert!(line.intake.partial().is_none_or(|held| held.len() <= LONGEST));
    }
}
