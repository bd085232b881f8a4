//! `pullmark`: what a person says at a prompt. Reads the arguments, calls a verb, owns the exit status.
#![forbid(unsafe_code)]
// `println!` panics where the reader has gone away; `print::line` does not.
#![deny(clippy::print_stdout)]

mod arguments;
mod client;
mod demo;
mod events;
mod export;
mod files;
mod print;
mod report;
mod verbs;

use clap::Parser as _;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = arguments::Arguments::parse();
    let as_json = arguments.common.json;
    let runtime = match tokio::runtime::Runtime::new() {
        Ok(runtime) => runtime,
        Err(error) => {
            let report = miette::miette!("the runtime could not be started: {error}");
            return report::wrong(report, as_json);
        }
    };
    match runtime.block_on(verbs::run(arguments)) {
        Ok(outcome) => outcome.into(),
        Err(report) => report::wrong(report, as_json),
    }
}
