//! What the short way takes, the long way takes too, and says the same of it.
#![allow(clippy::unwrap_used)]

use super::grammar::{Form, Member, walk};
use super::*;
use proptest::prelude::*;
use proptest::test_runner::TestRng;
use std::fmt::Write as _;

/// Draws a text of this form: every bound, word and optional member comes up.
fn draw(form: &Form, rng: &mut TestRng, text: &mut String) {
    let mut pick = |most: usize| usize::try_from(rng.next_u64() % most as u64).unwrap();
    match form {
        Form::Text => {
            let texts = ["", "f31", "Łukasz / 5 N·m", "\u{7f}{}[],:", "🔧"];
            write!(text, "\"{}\"", texts[pick(texts.len())]).unwrap();
        }
        Form::Hash => {
            let digits: String = (0..64)
                .map(|_| char::from_digit(u32::try_from(pick(16)).unwrap(), 16).unwrap())
                .collect();
            write!(text, "\"{digits}\"").unwrap();
        }
        Form::Whole(least, most) => {
            let some = i64::try_from(pick(100_000)).unwrap().clamp(*least, *most);
            let number = [*least, *most, 0, some][pick(4)];
            text.push_str(&number.to_string());
        }
        Form::Word(words) => write!(text, "\"{}\"", words[pick(words.len())]).unwrap(),
        Form::Mark => text.push_str("true"),
        Form::Object(members) => {
            let chosen: Vec<&Member> = members
                .iter()
                .filter(|member| member.is_asked || pick(2) == 0)
                .collect();
            draw_members(&chosen, rng, text);
        }
        Form::One(members) => {
            let member = &members[pick(members.len())];
            draw_members(&[member], rng, text);
        }
        Form::List(item, may_be_empty) => {
            let count = pick(3) + usize::from(!may_be_empty);
            text.push('[');
            for number in 0..count {
                text.push_str(if number > 0 { "," } else { "" });
                draw(item, rng, text);
            }
            text.push(']');
        }
        Form::Keep(_, form) => draw(form, rng, text),
    }
}

fn draw_members(members: &[&Member], rng: &mut TestRng, text: &mut String) {
    text.push('{');
    for (number, member) in members.iter().enumerate() {
        text.push_str(if number > 0 { "," } else { "" });
        text.push_str(member.name);
        draw(member.form, rng, text);
    }
    text.push('}');
}

fn entries() -> impl Strategy<Value = String> {
    Just(()).prop_perturb(|(), mut rng| {
        let mut text = String::new();
        draw(&pulled::ENTRY, &mut rng, &mut text);
        text
    })
}

/// Bytes that make another text, or none, of a text.
const MEDDLED: &[&str] = &[
    "",
    " ",
    "0",
    "-",
    "1",
    "9",
    "\"",
    "}",
    "{",
    "]",
    "[",
    ",",
    ":",
    "\\",
    "\\n",
    "\\u0041",
    "null",
    "true",
    "false",
    "A",
    ".0",
    "e1",
    "\n",
    "\u{e4}",
    "[]",
    "{}",
    "\"a\":1,",
    ",\"a\":1",
    "99999999999999999999",
];

fn same(text: &[u8]) -> Result<(), TestCaseError> {
    match (read(text), read_any(text)) {
        (Ok(short), Ok(long)) => prop_assert_eq!(short, long),
        (Err(_), Err(_)) => {}
        (short, long) => {
            let text = String::from_utf8_lossy(text).into_owned();
            return Err(TestCaseError::fail(format!("{text}: {short:?}, {long:?}")));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn whatever_the_short_way_takes_the_long_way_takes(text in entries()) {
        let short = read_pulled(text.as_bytes());
        prop_assert!(short.is_some(), "{}", text);
        let long = read_any(text.as_bytes());
        prop_assert_eq!(short, long.ok(), "{}", text);
    }

    #[test]
    fn meddled_entries_are_judged_as_the_long_way_judges_them(
        text in entries(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), 0_usize..4, prop::sample::select(MEDDLED)), 1..3),
    ) {
        let mut bytes = text.into_bytes();
        for (at, gone, put) in changes {
            let from = at.index(bytes.len() + 1);
            let to = (from + gone).min(bytes.len());
            bytes.splice(from..to, put.bytes());
        }
        same(&bytes)?;
    }

    /// A member taken away, doubled, or moved.
    #[test]
    fn members_in_another_order_are_judged_as_the_long_way_judges_them(
        text in entries(),
        from in any::<prop::sample::Index>(), to in any::<prop::sample::Index>(), takes_away in any::<bool>(),
    ) {
        let mut parts: Vec<&str> = text.split(',').collect();
        let part = parts[from.index(parts.len())];
        if takes_away {
            parts.remove(from.index(parts.len()));
        }
        parts.insert(to.index(parts.len() + 1), part);
        same(parts.join(",").as_bytes())?;
    }
}

/// Names have to be in the order of the canonical form, or nothing would ever be found to be so.
#[test]
fn the_members_are_in_order() {
    fn look(form: &Form) {
        match form {
            Form::Object(members) | Form::One(members) => {
                assert!(members.is_sorted_by(|a, b| a.name < b.name), "{members:?}");
                members.iter().for_each(|member| look(member.form));
            }
            Form::List(form, _) | Form::Keep(_, form) => look(form),
            _ => {}
        }
    }
    look(&pulled::ENTRY);
}

/// What only the long way knows.
#[test]
fn a_text_with_an_escape_goes_the_long_way() {
    let text = r#"{"bench":"a\"b","body":{"placement":{"nowhere":{"by":"R","reason":"test"}},"reading":{"origin":{"attested":{"by":"R"}},"tool":"w"}},"kind":"pulled","previous":"0000000000000000000000000000000000000000000000000000000000000000","sequence":7,"since_boot_ms":1,"time":"t","version":1}"#;
    assert!(walk(&pulled::ENTRY, text).is_none());
    let look = read(text.as_bytes()).unwrap();
    assert!(look.is_canonical && look.sequence == 7);
    let plain = text.replace(r#"a\"b"#, "ab");
    assert!(walk(&pulled::ENTRY, &plain).is_some());
}
