//! PINs: from a file, from standard input, or typed on a terminal that does not show them.

use crate::arguments::PinArgument;
use miette::{IntoDiagnostic as _, WrapErr as _, miette};
use pullmark_schema::api::Secret;
use rustix::termios::{LocalModes, OptionalActions, Termios, tcgetattr, tcsetattr};
use std::io::{IsTerminal as _, Read as _, Write as _};
use std::path::Path;

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ask {
    /// The PIN that holds.
    Present,
    /// A new one: typed twice on a terminal.
    New,
}

/// A PIN.
pub(crate) fn pin(from: &PinArgument, ask: Ask) -> miette::Result<Secret> {
    if let Some(path) = &from.pin_file {
        let mut lines = lines(path)?;
        let one = (lines.len() == 1).then(|| lines.remove(0));
        return one
            .ok_or_else(|| miette!("{} has to hold the PIN and nothing else", path.display()));
    }
    match ask {
        Ask::Present => typed("PIN: "),
        Ask::New => new(),
    }
}

/// The PIN before, and the new one.
pub(crate) fn change(from: &PinArgument) -> miette::Result<(Secret, Secret)> {
    if let Some(path) = &from.pin_file {
        let mut lines = lines(path)?.into_iter();
        return match (lines.next(), lines.next(), lines.next()) {
            (Some(before), Some(new), None) => Ok((before, new)),
            _ => Err(miette!(
                "{} has to hold two lines: the PIN before, and the new one",
                path.display()
            )),
        };
    }
    Ok((typed("PIN before: ")?, new()?))
}

fn new() -> miette::Result<Secret> {
    let first = typed("New PIN: ")?;
    if typed("Once more: ")? == first {
        Ok(first)
    } else {
        Err(miette!("the two PINs differ: nothing was changed"))
    }
}

fn lines(path: &Path) -> miette::Result<Vec<Secret>> {
    let text = if path == Path::new("-") {
        let mut text = String::new();
        let read = std::io::stdin().lock().read_to_string(&mut text);
        read.into_diagnostic()
            .wrap_err("no PIN came on standard input")?;
        text
    } else {
        super::read_text(path)?
    };
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    Ok(lines.map(|line| Secret(line.to_owned())).collect())
}

/// A terminal that does not show what is typed, until this is dropped.
struct Quiet(Termios);

impl Quiet {
    fn new() -> miette::Result<Self> {
        let before = tcgetattr(std::io::stdin()).into_diagnostic()?;
        let mut quiet = before.clone();
        // Without signals too: one that ended the program here would leave the terminal without an echo.
        quiet.local_modes -= LocalModes::ECHO | LocalModes::ICANON | LocalModes::ISIG;
        tcsetattr(std::io::stdin(), OptionalActions::Flush, &quiet).into_diagnostic()?;
        Ok(Self(before))
    }
}

impl Drop for Quiet {
    fn drop(&mut self) {
        // There is nothing more to be done where it fails.
        let _ = tcsetattr(std::io::stdin(), OptionalActions::Now, &self.0);
    }
}

fn typed(question: &str) -> miette::Result<Secret> {
    if !std::io::stdin().is_terminal() {
        return Err(miette!(
            "a PIN is needed and there is no terminal to type it on: give --pin-file FILE, or --pin-file - and the PIN on standard \
             input"
        ));
    }
    eprint!("{question}");
    std::io::stderr().flush().into_diagnostic()?;
    let _quiet = Quiet::new()?;
    let mut line = Vec::new();
    let outcome = loop {
        let mut byte = [0];
        if std::io::stdin().lock().read(&mut byte).into_diagnostic()? == 0 {
            break Err(miette!("no PIN was typed"));
        }
        match byte[0] {
            b'\r' | b'\n' => break Ok(()),
            3 | 4 => break Err(miette!("given up: nothing was done")),
            8 | 127 => drop(line.pop()),
            other => line.push(other),
        }
    };
    eprintln!();
    outcome?;
    let text = String::from_utf8(line).map_err(|_| miette!("a PIN has digits and nothing else"))?;
    Ok(Secret(text))
}
