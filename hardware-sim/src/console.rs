//! What a person types to be the wrench, and what is printed back.
//!
//! A line is a number (a pull, as the display shows it) or a word. It is text in and a [`Step`] out; nothing here reads
//! a terminal or touches a port.

use std::num::ParseIntError;

use thiserror::Error;

use crate::script::{Did, MOST_GARBAGE, MOST_WAIT_MS, Split, Step};
use crate::tool::display::DisplayError;
use crate::tool::unit::UnknownUnit;

/// What can be typed.
pub const HELP: &str = "\
Type a value to pull, or one of these words:
  5.08              a pull; the number is what the display shows
  split 5.08 [MS]   the same line in two pieces, MS milliseconds apart (default 50)
  burst 5.0 5.1 8   several pulls in one go
  ol                a pull over the range of the tool
  again             send the last pull once more, same counter
  half              only the first half of a line
  noise             a line with a wrong checksum
  garbage [N]       N random bytes (default 40)
  unit lbf.in       turn the display to N.m, lbf.in, lbf.ft, kgf.cm or cN.m
  battery low|good  run the battery down, or change it
  unplug            pull the plug after the program has read everything
  unplug now        pull the plug at once; what was not read is lost
  replug            plug in again under the same name
  drain             wait until the program has read everything
  wait MS           do nothing for so long
  help              this text
  quit              unplug and stop";

/// What a typed line asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Typed {
    /// An empty line, or a comment after `#`.
    Nothing,
    /// Something for the wrench.
    Step(Step),
    /// The list of words.
    Help,
    /// Stop.
    Quit,
}

/// Why a typed line is not understood.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ConsoleError {
    /// No such word.
    #[error("`{0}` is no value and no word I know. Type help for the list")]
    Unknown(String),
    /// The value of a pull.
    #[error(transparent)]
    Value(#[from] DisplayError),
    /// The unit.
    #[error(transparent)]
    Unit(#[from] UnknownUnit),
    /// A whole number was expected.
    #[error("`{text}` is no whole number: {source}")]
    Number {
        /// What was typed.
        text: String,
        /// Why not.
        source: ParseIntError,
    },
    /// A number above the limit.
    #[error("{value} is too much: at most {most}")]
    TooMuch {
        /// What was typed.
        value: u64,
        /// The limit.
        most: u64,
    },
}

/// Understands one typed line.
pub fn understand(line: &str) -> Result<Typed, ConsoleError> {
    let line = line.split('#').next().unwrap_or_default();
    let words: Vec<&str> = line.split_whitespace().collect();
    let step = match words.as_slice() {
        [] => return Ok(Typed::Nothing),
        ["help" | "?"] => return Ok(Typed::Help),
        ["quit" | "exit"] => return Ok(Typed::Quit),
        ["ol"] => Step::OverRange,
        ["again"] => Step::Resend,
        ["half"] => Step::HalfLine,
        ["noise"] => Step::NoiseLine,
        ["unplug"] => Step::Unplug,
        ["unplug", "now"] => Step::UnplugNow,
        ["replug"] => Step::Replug,
        ["drain"] => Step::Drain,
        ["garbage"] => Step::Garbage(40),
        ["garbage", count] => garbage(count)?,
        ["wait", wait] => Step::WaitMs(number(wait, MOST_WAIT_MS)?),
        ["unit", unit] => Step::Unit(unit.parse()?),
        ["battery", "low"] => Step::BatteryLow(true),
        ["battery", "good"] => Step::BatteryLow(false),
        ["split", pull] => split(pull, 50)?,
        ["split", pull, pause] => split(pull, number(pause, MOST_WAIT_MS)?)?,
        ["burst", pulls @ ..] if !pulls.is_empty() => burst(pulls)?,
        [pull] if pull.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-')) => {
            Step::Pull(pull.parse()?)
        }
        _ => {
            return Err(ConsoleError::Unknown(
                line.trim().chars().take(60).collect(),
            ));
        }
    };
    Ok(Typed::Step(step))
}

fn garbage(count: &str) -> Result<Step, ConsoleError> {
    let most = u64::try_from(MOST_GARBAGE).unwrap_or(u64::MAX);
    let count = number(count, most)?;
    Ok(Step::Garbage(
        usize::try_from(count).unwrap_or(MOST_GARBAGE),
    ))
}

fn split(pull: &str, pause_ms: u64) -> Result<Step, ConsoleError> {
    let pull = pull.parse()?;
    Ok(Step::Split(Split { pull, pause_ms }))
}

fn burst(pulls: &[&str]) -> Result<Step, ConsoleError> {
    let texts: Result<_, DisplayError> = pulls.iter().map(|pull| pull.parse()).collect();
    Ok(Step::Burst(texts?))
}

fn number(text: &str, most: u64) -> Result<u64, ConsoleError> {
    let value = text.parse().map_err(|source| ConsoleError::Number {
        text: text.chars().take(40).collect(),
        source,
    })?;
    if value > most {
        return Err(ConsoleError::TooMuch { value, most });
    }
    Ok(value)
}

/// What a step did, for a person. Bytes that do not print are shown as escapes, so every line end is seen.
pub fn describe(did: &Did) -> String {
    match did {
        Did::Sent(sent) if sent.plugged => format!("sent  {}", sent.bytes.escape_ascii()),
        Did::Sent(sent) => format!("lost, unplugged  {}", sent.bytes.escape_ascii()),
        Did::Waited(wait) => format!("waited {wait:?}"),
        Did::Set => "set".to_owned(),
        Did::Drained(true) => "the program has read everything".to_owned(),
        Did::Drained(false) => "something is still not read".to_owned(),
        Did::Unplugged(Some(true)) => "unplugged, everything was read".to_owned(),
        Did::Unplugged(Some(false)) => {
            "unplugged; nobody read what was left, and it is lost".to_owned()
        }
        Did::Unplugged(None) => "unplugged at once; what was not read is lost".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::tool::Sent;
    use proptest::prelude::*;

    fn step(line: &str) -> Step {
        match understand(line).unwrap() {
            Typed::Step(step) => step,
            other => panic!("{line}: {other:?}"),
        }
    }

    #[test]
    fn values_and_words_become_steps() {
        let text = |t: &str| t.parse().unwrap();
        assert_eq!(step("5.08"), Step::Pull(text("5.08")));
        assert_eq!(
            step("  -1.25  # left-hand thread"),
            Step::Pull(text("-1.25"))
        );
        assert_eq!(step("unplug"), Step::Unplug);
        assert_eq!(step("unplug now"), Step::UnplugNow);
        assert_eq!(step("garbage"), Step::Garbage(40));
        assert_eq!(step("garbage 7"), Step::Garbage(7));
        assert_eq!(step("burst 5 6"), Step::Burst(vec![text("5"), text("6")]));
        assert_eq!(
            step("split 5.08 20"),
            Step::Split(Split {
                pull: text("5.08"),
                pause_ms: 20
            })
        );
        assert_eq!(understand("   # only this").unwrap(), Typed::Nothing);
        assert_eq!(understand("help").unwrap(), Typed::Help);
        assert_eq!(understand("quit").unwrap(), Typed::Quit);
    }

    #[test]
    fn what_is_not_understood_says_why() {
        let reason = |line: &str| understand(line).unwrap_err().to_string();
        assert!(reason("5,08").contains("write digits and at most one point"));
        assert!(reason("pul 5").starts_with("`pul 5` is no value"));
        assert!(reason("burst").contains("Type help"));
        assert!(reason("unit Nm").contains("N.m, lbf.in"));
        assert!(reason("garbage many").contains("no whole number"));
        assert!(reason("garbage 99999999").contains("at most 1048576"));
    }

    /// The help and the code must not drift: every word that the help lists is understood.
    #[test]
    fn every_word_of_the_help_is_understood() {
        let mut seen = 0;
        for line in HELP.lines().skip(1) {
            let (typed, _) = line.trim_start().split_once("  ").unwrap();
            let typed = typed
                .replace(" [MS]", "")
                .replace(" [N]", "")
                .replace("MS", "1");
            let typed = typed.replace("low|good", "low");
            assert!(understand(&typed).is_ok(), "{typed}");
            seen += 1;
        }
        assert_eq!(seen, 17);
    }

    #[test]
    fn bytes_are_told_with_their_line_ends() {
        let sent = |plugged| {
            let bytes = b"$PULL,1\xFF\r\n".to_vec();
            describe(&Did::Sent(Sent { bytes, plugged }))
        };
        assert_eq!(sent(true), "sent  $PULL,1\\xff\\r\\n");
        assert_eq!(sent(false), "lost, unplugged  $PULL,1\\xff\\r\\n");
    }

    proptest! {
        #[test]
        fn any_typed_text_is_understood_or_refused(line in any::<String>()) {
            let _ = understand(&line);
        }
    }
}
