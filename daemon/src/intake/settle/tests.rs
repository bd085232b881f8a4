use super::*;
use crate::intake::dialect::Dialect;
use proptest::prelude::*;
use pullmark_schema::quantity::Decimal;

const SCALE: &str = r#"
name = "scale"
title = "A scale that sends all the time"
[line]
pattern = '^(?P<value>-?[0-9.]+) (?P<unit>g)(?: (?P<flags>[A-Z]))?$'
[unit]
g = "g"
[flag]
U = "unstable"
[settle]
within = "2 g"
for_ms = 1000
give_up_ms = 10000
least = "5 g"
"#;

fn settler() -> Settler {
    let dialect = Dialect::from_toml(SCALE).unwrap();
    let profile = dialect.profile();
    Settler::new(Settings::new(profile, profile.settle.as_ref().unwrap()).unwrap())
}

fn grams(tenths: i64) -> Seen {
    let value = Decimal::new(tenths, 1).unwrap();
    let unit = pullmark_schema::quantity::Unit::find("g").unwrap();
    Seen {
        number: Some(Stated { value, unit }),
        ..Seen::default()
    }
}

/// What comes of values, in tenths of a gram, ten a second; with the number of the value.
fn comes(values: impl IntoIterator<Item = i64>) -> Vec<(usize, Came)> {
    let mut settler = settler();
    let mut list = Vec::new();
    for (number, value) in values.into_iter().enumerate() {
        let at = number as u64 * 100_000;
        let came = settler.push(&grams(value), false, at);
        if came != Came::Nothing {
            list.push((number, came));
        }
    }
    list
}

#[test]
fn a_value_at_rest_is_taken_once() {
    let swing = [0, 20, 400, 900, 1_100, 980, 1_010, 1_000];
    let still = std::iter::repeat_n(1_000, 60);
    // The swing ends with the sample before 1010; a second of rest follows.
    assert_eq!(comes(swing.into_iter().chain(still)), [(16, Came::Settled)]);
}

#[test]
fn what_is_taken_off_and_put_on_again_is_another_measurement() {
    let on = || std::iter::repeat_n(1_000, 20);
    let off = std::iter::repeat_n(0, 5);
    let list = comes(on().chain(off).chain(on()));
    assert_eq!(list, [(10, Came::Settled), (35, Came::Settled)]);
    // Something heavier is put beside it.
    let more = std::iter::repeat_n(2_500, 20);
    let list = comes(on().chain(more));
    assert_eq!(list, [(10, Came::Settled), (30, Came::Settled)]);
}

#[test]
fn a_scale_that_creeps_is_asked_about() {
    // 1 g a second: any second spans less than the 2 g that count as settled, and its halves are half a gram apart.
    let creeping = (0..300).map(|number| 1_000 + number * 2);
    assert_eq!(comes(creeping), [(100, Came::Unsettled)]);
    // A tenth of that is taken: it is settled to what the profile says.
    let slow = (0..300).map(|number| 1_000 + number / 10);
    assert_eq!(comes(slow).first(), Some(&(10, Came::Settled)));
}

#[test]
fn what_was_taken_and_creeps_on_is_not_taken_again() {
    let still = std::iter::repeat_n(1_000, 15);
    let creeping = (0..600).map(|number| 1_000 + number);
    assert_eq!(comes(still.chain(creeping)), [(10, Came::Settled)]);
}

#[test]
fn a_tool_that_says_that_it_is_unstable_is_believed() {
    let mut settler = settler();
    let mut list = Vec::new();
    for number in 0..150_u64 {
        let came = settler.push(&grams(1_000), number < 120, number * 100_000);
        if came != Came::Nothing {
            list.push((number, came));
        }
    }
    assert_eq!(list, [(100, Came::Unsettled)]);
}

#[test]
fn settings_that_cannot_be_are_refused() {
    for (from, to) in [
        ("within = \"2 g\"", "within = \"2 N·m\""),
        ("within = \"2 g\"", "within = \"0 g\""),
        ("within = \"2 g\"", "within = \"two\""),
        ("least = \"5 g\"", "least = \"5 mm\""),
        ("least = \"5 g\"", "least = \"-5 g\""),
        ("for_ms = 1000", "for_ms = 10"),
        ("give_up_ms = 10000", "give_up_ms = 500"),
    ] {
        let text = SCALE.replace(from, to);
        assert!(Dialect::from_toml(&text).is_err(), "{to}");
    }
}

proptest! {
    /// Whatever comes, in whatever order of times: no panic, and a settled value lies within what counts of the others of
    /// its second.
    #[test]
    fn any_values_are_watched(values in prop::collection::vec((0_u64..400_000, -2_000_i64..2_000), 0..300)) {
        let mut settler = settler();
        let mut at = 0;
        let mut seen: Vec<(u64, i64)> = Vec::new();
        for (pause, value) in values {
            at += pause;
            let came = settler.push(&grams(value), false, at);
            seen.push((at, value));
            if came == Came::Settled {
                for (when, other) in &seen {
                    if *when + 1_000_000 > at {
                        prop_assert!((other - value).abs() <= 20, "{other} and {value}");
                    }
                }
            }
        }
    }
}
