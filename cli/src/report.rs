//! What a verb came to, and the exit status that says so.

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
pub(crate) fn wrong(report: &miette::Report) -> ExitCode {
    eprintln!("{report:?}");
    ExitCode::from(2)
}
