//! What a verb came to, and the exit status that says so.

use crate::print;
use std::process::ExitCode;

/// What a verb came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// As asked: exit status 0.
    AsAsked,
    /// The answer is no (out of spec, not valid, findings): exit status 1.
    No,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        match outcome {
            Outcome::AsAsked => Self::SUCCESS,
            Outcome::No => Self::from(1),
        }
    }
}

/// The question was wrong, or could not be put: exit status 2.
pub(crate) fn wrong(report: miette::Report, as_json: bool) -> ExitCode {
    if as_json {
        let why: Vec<String> = report.chain().map(ToString::to_string).collect();
        print::json(&serde_json::json!({ "error": why.join(": ") }));
    } else {
        eprintln!("{:?}", harmless(report));
    }
    ExitCode::from(2)
}

/// An error may quote a file from a stranger.
fn harmless(report: miette::Report) -> miette::Report {
    let texts: Vec<String> = report.chain().map(ToString::to_string).collect();
    let mut shown = texts.iter().rev().map(|text| print::shown_lines(text));
    if texts
        .iter()
        .zip(shown.clone().rev())
        .all(|(text, shown)| *text == shown)
    {
        return report;
    }
    let last = shown.next().unwrap_or_default();
    shown.fold(miette::Report::msg(last), miette::Report::wrap_err)
}
