//! `pullmark tool teach`: listens while a person makes readings and types what the display showed.

use super::Context;
use super::port::{Came, Port};
use crate::arguments::TeachArguments;
use crate::files;
use crate::print;
use crate::report::Outcome;
use pullmark_daemon::intake::teach::{Example, NotDetermined, Taught, teach};
use pullmark_schema::profile::SerialSettings;
use std::io::BufRead as _;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// More readings than this do not help.
const MOST: usize = 8;

pub(super) fn run(context: &Context, arguments: &TeachArguments) -> miette::Result<Outcome> {
    let settings = SerialSettings {
        baud: arguments.baud,
        ..SerialSettings::default()
    };
    // Said before somebody has pulled three times for it.
    files::free(&profile_path(arguments))?;
    let mut port = Port::open(&arguments.port, &settings)?;
    let typed = typed_lines();
    say(
        context,
        "Pull, then type what the display shows, with its unit (5.08 Nm), and press Enter. Two or three readings,",
    );
    say(context, "each with another value. An empty line ends it.");
    let mut examples = Vec::new();
    while examples.len() < MOST {
        match listen(&mut port, &typed)? {
            Some(example) => examples.push(example),
            None => break,
        }
        match teach(&arguments.name, &examples) {
            Ok(taught) if examples.len() >= 3 => return finish(context, arguments, &taught),
            Ok(_) => say(
                context,
                "That would do; one more makes it surer. An empty line ends it here.",
            ),
            Err(NotDetermined::TooFew { .. }) => say(context, "One more, with another value."),
            Err(no) => say(context, &format!("Not yet: {no}")),
        }
    }
    match teach(&arguments.name, &examples) {
        Ok(taught) => finish(context, arguments, &taught),
        Err(no) => {
            eprintln!("No profile was made: {no}");
            Ok(Outcome::No)
        }
    }
}

fn profile_path(arguments: &TeachArguments) -> PathBuf {
    let named = arguments.out.clone();
    named.unwrap_or_else(|| format!("{}.toml", arguments.name).into())
}

fn say(context: &Context, text: &str) {
    if !context.json {
        print::line(text);
    }
}

/// What is typed, from a thread of its own: the port has to be read meanwhile.
fn typed_lines() -> Receiver<String> {
    let (tell, typed) = channel();
    std::thread::spawn(move || {
        for line in std::io::stdin().lock().lines() {
            let Ok(line) = line else { return };
            if tell.send(line).is_err() {
                return;
            }
        }
    });
    typed
}

/// One reading; nothing at the end.
fn listen(port: &mut Port, typed: &Receiver<String>) -> miette::Result<Option<Example>> {
    let mut example = Example::default();
    loop {
        // What has come before the person typed belongs to it: look at the port first.
        match port.read() {
            Came::Bytes(at, bytes) => {
                example.bytes.push((at, bytes));
                continue;
            }
            Came::Nothing => {}
            Came::Gone(_) => {
                return Err(miette::miette!(
                    "the port is gone: plug the tool in and begin anew"
                ));
            }
        }
        match typed.try_recv() {
            Ok(shown) if shown.trim().is_empty() => return Ok(None),
            Ok(shown) => {
                example.shown = shown;
                return Ok(Some(example));
            }
            Err(TryRecvError::Empty) => {}
            Err(TryRecvError::Disconnected) => return Ok(None),
        }
    }
}

fn finish(
    context: &Context,
    arguments: &TeachArguments,
    taught: &Taught,
) -> miette::Result<Outcome> {
    let path = profile_path(arguments);
    let with_speed = taught.file.replacen(
        "[frame]",
        &format!("[serial]\nbaud = {}\n\n[frame]", arguments.baud),
        1,
    );
    files::write_new(&path, with_speed)?;
    if context.json {
        let findings: Vec<_> = taught
            .findings
            .iter()
            .map(|finding| serde_json::json!({ "sure": finding.sure.to_string(), "what": finding.what }))
            .collect();
        print::json(
            &serde_json::json!({ "file": path.display().to_string(), "findings": findings }),
        );
        return Ok(Outcome::AsAsked);
    }
    for finding in &taught.findings {
        print::line(&format!("{:<8} {}", finding.sure.to_string(), finding.what));
    }
    print::line(&format!(
        "The profile {:?} is in {}. Put it into the folder that `profiles` in pullmarkd.toml names, and name it in the tool's file.",
        arguments.name,
        path.display()
    ));
    Ok(Outcome::AsAsked)
}
