//! `study`: one subcommand a question. Each runs the real code and prints figures, beside the limit they are near.
#![forbid(unsafe_code)]

mod decode;
mod figures;
mod least;
mod placement;
mod recall;
mod record;
mod tools;
mod wire;

use clap::{Parser, Subcommand};
use miette::IntoDiagnostic as _;
use std::path::Path;
use std::process::ExitCode;

/// Questions about Pullmark, answered by measuring it.
#[derive(Debug, Parser)]
#[command(version)]
struct Arguments {
    #[command(subcommand)]
    question: Question,
    /// Print one JSON object instead of words
    #[arg(long, global = true)]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum Question {
    /// How fast bytes become readings, beside a bare loop that splits and parses
    Decode(decode::Arguments),
    /// How well readings are placed when people err, in simulated builds
    Placement(placement::Arguments),
    /// How long a recall takes over a large ledger, and over a small one with equally many readings of the tool
    Recall(recall::Arguments),
    /// How long sealing takes, and checking a large ledger, beside reading and hashing the same bytes
    Record(record::Arguments),
    /// Many tools at once: is anything lost or doubled
    Tools(tools::Arguments),
    /// From the last byte on the wire to a committed verdict at a client, beside a bare commit
    Wire(wire::Arguments),
}

/// A folder on the disk to be measured, below the one that was asked for or the present one.
fn folder(parent: Option<&Path>) -> miette::Result<tempfile::TempDir> {
    tempfile::Builder::new()
        .prefix(".study-")
        .tempdir_in(parent.unwrap_or_else(|| Path::new(".")))
        .into_diagnostic()
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let answer = match arguments.question {
        Question::Decode(question) => decode::run(&question),
        Question::Placement(question) => placement::run(&question),
        Question::Recall(question) => recall::run(&question),
        Question::Record(question) => record::run(&question),
        Question::Tools(question) => tools::run(&question),
        Question::Wire(question) => wire::run(&question),
    };
    match answer {
        Ok(figures) => {
            figures.print(arguments.json);
            ExitCode::SUCCESS
        }
        Err(report) => {
            eprintln!("{report:?}");
            ExitCode::from(2)
        }
    }
}
