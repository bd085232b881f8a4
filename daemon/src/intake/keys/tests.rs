use super::*;
use crate::intake::dialect::Dialect;
use crate::intake::{Arrival, Intake};
use proptest::prelude::*;

const CALIPER: &str = r#"
name = "typing-caliper"
title = "a caliper that types"
[keys]
layout = "LAYOUT"
[line]
pattern = '^(?P<value>[+-]?\d+(?:[.,]\d+)?) ?(?P<unit>[A-Za-z]*)$'
decimal_comma = COMMA
[unit]
"" = "mm"
mm = "mm"
in = "[in_i]"
"#;

fn profile(layout: &str) -> String {
    let comma = if layout == "de" { "true" } else { "false" };
    CALIPER.replace("LAYOUT", layout).replace("COMMA", comma)
}

fn event(at: u64, kind: u16, code: u16, value: i32) -> Vec<u8> {
    let mut bytes = Vec::new();
    bytes.extend_from_slice(&(at / 1_000_000).to_ne_bytes());
    bytes.extend_from_slice(&(at % 1_000_000).to_ne_bytes());
    bytes.extend_from_slice(&kind.to_ne_bytes());
    bytes.extend_from_slice(&code.to_ne_bytes());
    bytes.extend_from_slice(&value.to_ne_bytes());
    assert_eq!(bytes.len(), EVENT);
    bytes
}

/// Keys pressed and let go, each with the scan code and the end of report around it that the kernel sends.
fn keys(at: &mut u64, codes: &[u16]) -> Vec<u8> {
    let mut bytes = Vec::new();
    for code in codes {
        for value in [DOWN, UP] {
            *at += 2_000;
            bytes.extend(event(*at, 4, 4, i32::from(*code)));
            bytes.extend(event(*at, KEY, *code, value));
            bytes.extend(event(*at, 0, 0, 0));
        }
    }
    bytes
}

fn read(profile: &str, pieces: &[&[u8]]) -> (Vec<String>, Option<Vec<u8>>) {
    let mut intake = Intake::new(Dialect::from_toml(profile).unwrap());
    let mut all = Vec::new();
    for piece in pieces {
        intake.feed(piece, Arrival::default(), |received| {
            let text = received.to_string();
            all.push(text.split(": \"").next().unwrap().to_owned());
        });
    }
    (all, intake.partial())
}

/// The key and whether shift is held, for a character of a layout.
fn key_of(keyboard: &Keyboard, wanted: char) -> Option<(u16, bool)> {
    let all = (0..128).flat_map(|code| [(code, false), (code, true)]);
    all.into_iter().find(|(code, shift)| {
        let is_control =
            [ENTER, TAB, KEYPAD_ENTER, LEFT_SHIFT, RIGHT_SHIFT, CAPS_LOCK].contains(code);
        !is_control && keyboard.text(*code, *shift, false) == Some(wanted.to_string())
    })
}

fn typed(keyboard: &Keyboard, at: &mut u64, text: &str) -> Vec<u8> {
    let mut bytes = Vec::new();
    for character in text.chars() {
        let (code, shift) = key_of(keyboard, character).unwrap();
        *at += 1_000;
        if shift {
            bytes.extend(event(*at, KEY, RIGHT_SHIFT, DOWN));
        }
        bytes.extend(keys(at, &[code]));
        if shift {
            bytes.extend(event(*at, KEY, RIGHT_SHIFT, UP));
        }
    }
    bytes.extend(keys(at, &[ENTER]));
    bytes
}

fn keyboard(layout: &str) -> Keyboard {
    Dialect::from_toml(&profile(layout))
        .unwrap()
        .keyboard()
        .unwrap()
        .clone()
}

#[test]
fn the_key_numbers_are_those_of_another_library() {
    // The crate has its own copy of the kernel's list.
    use evdev::KeyCode;
    let us = keyboard("us");
    for (code, text) in [
        (KeyCode::KEY_Q, "q"),
        (KeyCode::KEY_P, "p"),
        (KeyCode::KEY_A, "a"),
        (KeyCode::KEY_L, "l"),
        (KeyCode::KEY_Z, "z"),
        (KeyCode::KEY_M, "m"),
        (KeyCode::KEY_1, "1"),
        (KeyCode::KEY_9, "9"),
        (KeyCode::KEY_0, "0"),
        (KeyCode::KEY_MINUS, "-"),
        (KeyCode::KEY_EQUAL, "="),
        (KeyCode::KEY_LEFTBRACE, "["),
        (KeyCode::KEY_SEMICOLON, ";"),
        (KeyCode::KEY_APOSTROPHE, "'"),
        (KeyCode::KEY_GRAVE, "`"),
        (KeyCode::KEY_BACKSLASH, "\\"),
        (KeyCode::KEY_COMMA, ","),
        (KeyCode::KEY_DOT, "."),
        (KeyCode::KEY_SLASH, "/"),
        (KeyCode::KEY_SPACE, " "),
        (KeyCode::KEY_KP7, "7"),
        (KeyCode::KEY_KP9, "9"),
        (KeyCode::KEY_KP4, "4"),
        (KeyCode::KEY_KP6, "6"),
        (KeyCode::KEY_KP1, "1"),
        (KeyCode::KEY_KP3, "3"),
        (KeyCode::KEY_KP0, "0"),
        (KeyCode::KEY_KPDOT, "."),
        (KeyCode::KEY_KPCOMMA, ","),
        (KeyCode::KEY_KPMINUS, "-"),
        (KeyCode::KEY_KPPLUS, "+"),
        (KeyCode::KEY_KPSLASH, "/"),
        (KeyCode::KEY_KPASTERISK, "*"),
    ] {
        assert_eq!(
            us.text(code.0, false, false).as_deref(),
            Some(text),
            "{code:?}"
        );
    }
    let control = [
        (KeyCode::KEY_ENTER, ENTER),
        (KeyCode::KEY_KPENTER, KEYPAD_ENTER),
        (KeyCode::KEY_TAB, TAB),
        (KeyCode::KEY_LEFTSHIFT, LEFT_SHIFT),
        (KeyCode::KEY_RIGHTSHIFT, RIGHT_SHIFT),
        (KeyCode::KEY_CAPSLOCK, CAPS_LOCK),
        (KeyCode::KEY_NUMLOCK, NUM_LOCK),
        (KeyCode::KEY_LEFTCTRL, OTHERS[0]),
        (KeyCode::KEY_RIGHTCTRL, OTHERS[1]),
        (KeyCode::KEY_LEFTALT, OTHERS[2]),
        (KeyCode::KEY_RIGHTALT, OTHERS[3]),
        (KeyCode::KEY_LEFTMETA, OTHERS[4]),
        (KeyCode::KEY_RIGHTMETA, OTHERS[5]),
        (KeyCode::KEY_102ND, 86),
    ];
    assert!(control.iter().all(|(code, ours)| code.0 == *ours));
    assert_eq!(KEY, evdev::EventType::KEY.0);
}

#[test]
fn digits_of_both_rows_signs_and_the_comma_are_typed() {
    let (us, de) = (profile("us"), profile("de"));
    let mut at = 1_700_000_000_000_000;
    // 31.60 with the row of digits, then a minus and the keypad with Num Lock and its own Enter.
    let row = keys(&mut at, &[4, 2, 52, 7, 11, ENTER]);
    assert_eq!(read(&us, &[&row]).0, ["reading 31.60 mm"]);
    let pad = keys(&mut at, &[NUM_LOCK, 74, 79, 83, 75, KEYPAD_ENTER]);
    assert_eq!(read(&us, &[&pad]).0, ["reading -1.4 mm"]);
    // On a German one the same keys are a comma.
    let comma = keys(&mut at, &[81, 79, 83, 77, 82, TAB]);
    assert_eq!(read(&de, &[&comma]).0, ["reading 31.60 mm"]);
    // The minus stands elsewhere: a device that takes itself for another one gives rubbish, and no number.
    let minus = keys(&mut at, &[12, 4, ENTER]);
    assert_eq!(read(&us, &[&minus]).0, ["reading -3 mm"]);
    assert_eq!(
        read(&de, &[&minus]).0,
        ["no reading, it does not look like the tool's profile says"]
    );
}

#[test]
fn shift_and_caps_lock_raise_letters() {
    let keyboard = keyboard("us");
    let text = |shift, caps| {
        let mut typist = Typist::new(keyboard.clone());
        let mut at = 0;
        let mut bytes = Vec::new();
        if caps {
            bytes.extend(keys(&mut at, &[CAPS_LOCK]));
        }
        if shift {
            bytes.extend(event(at, KEY, LEFT_SHIFT, DOWN));
        }
        bytes.extend(keys(&mut at, &[50, 2]));
        if shift {
            bytes.extend(event(at, KEY, LEFT_SHIFT, UP));
        }
        bytes.extend(keys(&mut at, &[50, ENTER]));
        let mut all = Vec::new();
        typist.feed(&bytes, |typed| {
            let Typed::Line(text, _) = typed else {
                panic!("a line")
            };
            all.push(text.to_owned());
        });
        all.concat()
    };
    assert_eq!(text(false, false), "m1m");
    assert_eq!(text(true, false), "M!m");
    assert_eq!(text(false, true), "M1M");
    assert_eq!(text(true, true), "m!M");
}

#[test]
fn what_may_not_be_the_tool_alone_is_no_reading() {
    let us = profile("us");
    let no = ["no reading, it does not look like the tool's profile says"];
    // A pause in the middle, as a person makes it.
    let mut at = 0;
    let first = keys(&mut at, &[4, 2]);
    at += 600_000;
    let paused = [first, keys(&mut at, &[52, 7, ENTER])].concat();
    assert_eq!(read(&us, &[&paused]).0, no);
    // A key that is held.
    let mut held = keys(&mut at, &[4]);
    held.splice(EVENT * 3..EVENT * 3, event(at, KEY, 4, 2));
    held.extend(keys(&mut at, &[2, ENTER]));
    assert_eq!(read(&us, &[&held]).0, no);
    // Control is down, and a key that types nothing.
    let control = [
        event(at, KEY, 29, DOWN),
        keys(&mut at, &[4, ENTER]),
        event(at, KEY, 29, UP),
    ]
    .concat();
    assert_eq!(read(&us, &[&control]).0, no);
    let unknown = keys(&mut at, &[4, 110, ENTER]);
    assert_eq!(read(&us, &[&unknown]).0, no);
    let skipping = us.replace("layout = \"us\"", "layout = \"us\"\nkey = { 110 = \"\" }");
    assert_eq!(read(&skipping, &[&unknown]).0, ["reading 3 mm"]);
    // An Enter alone, and a line that never ends.
    assert_eq!(
        read(&us, &[&keys(&mut at, &[ENTER, ENTER])]),
        (vec![], None)
    );
    let (none, partial) = read(&us, &[&keys(&mut at, &[4, 2])]);
    assert!(none.is_empty());
    assert_eq!(partial.unwrap().len(), 4 * EVENT);
}

#[test]
fn a_line_may_be_cut_at_every_byte() {
    let us = profile("us");
    let mut at = 5;
    let bytes = [
        keys(&mut at, &[4, 2, 52, 7, 11, ENTER]),
        keys(&mut at, &[2, 52, 3, ENTER]),
    ]
    .concat();
    let whole = read(&us, &[&bytes]);
    assert_eq!(whole.0, ["reading 31.60 mm", "reading 1.2 mm"]);
    for cut in 0..=bytes.len() {
        let (head, tail) = bytes.split_at(cut);
        assert_eq!(read(&us, &[head, tail]), whole, "cut at {cut}");
    }
}

#[test]
fn keys_that_nobody_heard_of_make_no_number() {
    let board = keyboard("us");
    let mut at = 1_000_000;
    let lost = |at: u64| event(at, REPORT, LOST, 0);
    let whole = typed(&board, &mut at, "35.6");
    // In the middle of a line: a digit may be missing.
    let mut at = 5_000_000;
    let mut torn = keys(&mut at, &[4]);
    torn.extend(lost(at));
    torn.extend(typed(&board, &mut at, ".6"));
    // Before a line: its beginning may be missing.
    let mut tail = lost(at);
    tail.extend(typed(&board, &mut at, "5.6"));
    let after = typed(&board, &mut at, "12.25");
    let (told, rest) = read(&profile("us"), &[&whole, &torn, &tail, &after]);
    assert_eq!(told.len(), 4, "{told:?}");
    assert!(
        told[0].contains("35.6 mm") && told[3].contains("12.25 mm"),
        "{told:?}"
    );
    assert!(
        !told[1].contains("mm") && !told[2].contains("mm"),
        "{told:?}"
    );
    assert_eq!(rest, None);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(128) })]

    #[test]
    fn what_is_typed_is_read(value in 0_u32..100_000, inch in any::<bool>(), german in any::<bool>()) {
        let layout = if german { "de" } else { "us" };
        let mark = if german { "," } else { "." };
        let number = format!("{}{mark}{:02}", value / 100, value % 100);
        let unit = if inch { "in" } else { "mm" };
        let mut at = 77;
        let bytes = typed(&keyboard(layout), &mut at, &format!("{number} {unit}"));
        let wanted = format!("reading {}.{:02} {unit}", value / 100, value % 100);
        prop_assert_eq!(read(&profile(layout), &[&bytes]).0, [wanted]);
    }

    #[test]
    fn no_events_are_too_much(
        events in proptest::collection::vec((any::<u64>(), 0_u16..3, 0_u16..130, -1_i32..4), 0..600),
        rest in proptest::collection::vec(any::<u8>(), 0..60),
        cut in any::<prop::sample::Index>(),
    ) {
        let mut bytes: Vec<u8> = events.iter().flat_map(|(at, kind, code, value)| event(*at, *kind, *code, *value)).collect();
        bytes.extend(rest);
        let us = profile("us");
        let whole = read(&us, &[&bytes]);
        prop_assert!(whole.1.as_ref().is_none_or(|held| held.len() <= MOST_BYTES));
        let (head, tail) = bytes.split_at(cut.index(bytes.len() + 1));
        prop_assert_eq!(read(&us, &[head, tail]), whole);
    }
}
