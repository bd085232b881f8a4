//! `pullmark-sim`: be a torque wrench on a serial port, by hand, from a script, or at random.
//!
//! It prints what it sends. Exit status: 0 as asked, 2 something was wrong. After ctrl-C the link may stay behind; the
//! next start under that name replaces it.

mod arguments;
mod session;

use std::io;
use std::process::ExitCode;

use clap::Parser;

use arguments::Arguments;
use session::{Session, SessionError};

fn main() -> ExitCode {
    let outcome = Arguments::parse()
        .checked()
        .map_err(SessionError::from)
        .and_then(|plan| Session::start(plan, io::stdout())?.run(io::stdin().lock()));
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        // Whoever read our output has gone: that is not an error of ours.
        Err(SessionError::Print(error)) if error.kind() == io::ErrorKind::BrokenPipe => {
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("pullmark-sim: {error}");
            ExitCode::from(2)
        }
    }
}
