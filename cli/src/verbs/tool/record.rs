//! `pullmark tool record`.

use super::port::{Came, Port, find_profile};
use crate::arguments::RecordArguments;
use crate::files;
use crate::print;
use crate::report::Outcome;
use miette::IntoDiagnostic as _;
use pullmark_daemon::intake::capture::{Happened, line};
use pullmark_daemon::intake::{Arrival, Intake};
use std::io::Write as _;
use std::time::{Duration, Instant};

/// Each piece is written at once, so that ctrl-C loses nothing. A file that is there already is not written over.
pub(super) fn run(arguments: &RecordArguments) -> miette::Result<Outcome> {
    let dialect = find_profile(&arguments.profile)?;
    let mut port = Port::open(&arguments.port, &dialect.profile().serial)?;
    let mut file = files::open_new(&arguments.file)?;
    let mut keep =
        |text: String| -> miette::Result<()> { writeln!(file, "{text}").into_diagnostic() };
    keep(format!("profile {}", dialect.profile().name))?;
    keep(line(0, &Happened::Opened))?;
    for command in dialect.start() {
        port.write(command)?;
    }
    let end = arguments
        .seconds
        .map(|seconds| Instant::now() + Duration::from_secs(seconds));
    let poll = dialect
        .profile()
        .poll
        .as_ref()
        .map(|poll| Duration::from_millis(poll.every_ms.into()));
    let mut asked = None;
    let mut count = 0;
    // An instrument that is asked answers only then, and what is asked next depends on its answers.
    let mut intake = Intake::new(dialect.clone());
    while end.is_none_or(|end| Instant::now() < end) {
        if let (Some(every), Some(command)) = (poll, dialect.poll())
            && asked.is_none_or(|asked: Instant| asked.elapsed() >= every)
        {
            asked = Some(Instant::now());
            port.write(command)?;
        }
        if dialect.is_asked() {
            intake.tick(port.now(), |_| {});
            if let Some(question) = intake.take_send() {
                port.write(&question)?;
            }
        }
        match port.read() {
            Came::Nothing => {}
            Came::Bytes(at, bytes) => {
                count += bytes.len();
                let arrival = Arrival {
                    at_us: at,
                    ..Arrival::default()
                };
                intake.feed(&bytes, arrival, |_| {});
                keep(line(at, &Happened::Bytes(bytes)))?;
            }
            Came::Gone(at) => {
                keep(line(at, &Happened::Gone))?;
                break;
            }
        }
    }
    print::line(&format!(
        "{count} bytes are in {}",
        arguments.file.display()
    ));
    Ok(Outcome::AsAsked)
}
