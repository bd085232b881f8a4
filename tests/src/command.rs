//! Runs a program to its end and keeps everything it said.

use crate::PATIENCE;
use crate::programs::program;
use std::ffi::OsStr;
use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Child, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// A program under test, or another one, with its arguments.
#[derive(Debug)]
pub struct Command {
    command: std::process::Command,
    patience: Duration,
}

/// A program that runs beside the test until it is dropped.
#[derive(Debug)]
pub struct Running {
    command: String,
    child: Child,
    lines: Receiver<String>,
}

impl Running {
    /// Waits for a line of its output; those before it come along.
    #[track_caller]
    pub fn wait_for(&self, is_wanted: impl Fn(&str) -> bool) -> Vec<String> {
        let end = Instant::now() + PATIENCE;
        let mut all = Vec::new();
        loop {
            let left = end.saturating_duration_since(Instant::now());
            let Ok(line) = self.lines.recv_timeout(left) else {
                panic!(
                    "no such line from {}; it said:\n{}",
                    self.command,
                    all.join("\n")
                );
            };
            let is_last = is_wanted(&line);
            all.push(line);
            if is_last {
                return all;
            }
        }
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// What a program said, and how it ended.
#[derive(Debug, Clone)]
pub struct Said {
    /// The command as it was given.
    pub command: String,
    /// The exit status; none if a signal ended it.
    pub status: Option<i32>,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Command {
    /// `pullmark` with a home of its own.
    pub fn pullmark(home: &Path) -> Self {
        Self::new(program("pullmark"), home)
    }

    /// Any program with a home of its own: no setting of the person who runs the tests reaches it.
    pub fn new(program: impl AsRef<OsStr>, home: &Path) -> Self {
        let mut command = std::process::Command::new(program);
        at_home(&mut command, home);
        command
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        Self {
            command,
            patience: PATIENCE,
        }
    }

    /// Adds an argument.
    #[must_use]
    pub fn arg(mut self, argument: impl AsRef<OsStr>) -> Self {
        self.command.arg(argument);
        self
    }

    /// Adds arguments.
    #[must_use]
    pub fn args<T: AsRef<OsStr>>(mut self, arguments: impl IntoIterator<Item = T>) -> Self {
        self.command.args(arguments);
        self
    }

    /// Sets a variable of the environment.
    #[must_use]
    pub fn env(mut self, name: &str, value: impl AsRef<OsStr>) -> Self {
        self.command.env(name, value);
        self
    }

    /// Lets it take longer than usual.
    #[must_use]
    pub fn within(mut self, patience: Duration) -> Self {
        self.patience = patience;
        self
    }

    /// Runs it in this folder.
    #[must_use]
    pub fn current_dir(mut self, folder: &Path) -> Self {
        self.command.current_dir(folder);
        self
    }

    /// Runs it to its end with nobody to read what it prints.
    pub fn run_unread(mut self) -> Said {
        let (reader, writer) = std::io::pipe().expect("there is a pipe");
        drop(reader);
        self.command.stdout(writer);
        self.run()
    }

    /// Runs it to its end.
    pub fn run(mut self) -> Said {
        let text = shown(&self.command);
        let mut child = self
            .command
            .spawn()
            .unwrap_or_else(|error| panic!("{text}: {error}"));
        let out = child.stdout.take().map(read_all);
        let err = read_all(child.stderr.take().expect("standard error is piped"));
        let out = out.map_or_else(String::new, |out| self.wait(&out, &mut child, &text));
        let err = self.wait(&err, &mut child, &text);
        let status = child.wait().expect("a child can be waited for").code();
        Said {
            command: text,
            status,
            out,
            err,
        }
    }

    /// Starts it and lets it run.
    pub fn start(mut self) -> Running {
        let text = shown(&self.command);
        let child = self.command.stderr(Stdio::null()).spawn();
        let mut child = child.unwrap_or_else(|error| panic!("{text}: {error}"));
        let out = child.stdout.take().expect("standard output is piped");
        let (send, lines) = channel();
        std::thread::spawn(move || {
            for line in BufReader::new(out).lines().map_while(Result::ok) {
                if send.send(line).is_err() {
                    return;
                }
            }
        });
        Running {
            child,
            lines,
            command: text,
        }
    }

    fn wait(&self, bytes: &Receiver<Vec<u8>>, child: &mut Child, text: &str) -> String {
        match bytes.recv_timeout(self.patience) {
            Ok(bytes) => String::from_utf8(bytes)
                .unwrap_or_else(|error| panic!("{text} printed no UTF-8: {error}")),
            Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => {
                // It may have ended in this moment; then there is nothing to kill.
                let _ = child.kill();
                panic!("{text} did not end within {:?}", self.patience);
            }
        }
    }
}

/// Takes away every setting of the person who runs the tests.
pub(crate) fn at_home(command: &mut std::process::Command, home: &Path) {
    for variable in [
        "PULLMARK_DATA",
        "PULLMARK_SOCKET",
        "PULLMARK_BY",
        "PULLMARK_CONFIG",
        "RUST_LOG",
        "JOURNAL_STREAM",
    ] {
        command.env_remove(variable);
    }
    for variable in [
        "NOTIFY_SOCKET",
        "WATCHDOG_USEC",
        "XDG_DATA_HOME",
        "XDG_CONFIG_HOME",
    ] {
        command.env_remove(variable);
    }
    command
        .env("HOME", home)
        .env("NO_COLOR", "1")
        .env("RUST_BACKTRACE", "0")
        .env("COLUMNS", "100");
}

fn shown(command: &std::process::Command) -> String {
    let mut words = vec![command.get_program().to_string_lossy().into_owned()];
    words.extend(
        command
            .get_args()
            .map(|word| word.to_string_lossy().into_owned()),
    );
    words.join(" ")
}

fn read_all(mut pipe: impl std::io::Read + Send + 'static) -> Receiver<Vec<u8>> {
    let (send, receive) = channel();
    std::thread::spawn(move || {
        let mut bytes = Vec::new();
        // What could be read until then is worth more than the error.
        let _ = pipe.read_to_end(&mut bytes);
        let _ = send.send(bytes);
    });
    receive
}

impl Said {
    /// It ended with this status, and without a panic.
    #[track_caller]
    pub fn status(&self, expected: i32) -> &Self {
        assert_eq!(self.status, Some(expected), "exit status of {self}");
        self.no_panic();
        self
    }

    /// It did as it was asked.
    #[track_caller]
    pub fn ok(&self) -> &Self {
        self.status(0)
    }

    /// It says all of these on standard output or standard error. Where a message was wrapped to the width of a
    /// terminal, the pieces are looked at as one line.
    #[track_caller]
    pub fn says(&self, texts: &[&str]) -> &Self {
        let all = one_line(&format!("{}\n{}", self.out, self.err));
        for text in texts {
            assert!(
                all.contains(&one_line(text)),
                "{text:?} is missing in {self}"
            );
        }
        self
    }

    /// Nothing in it looks like a program that fell over.
    #[track_caller]
    pub fn no_panic(&self) -> &Self {
        no_panic_in(&self.out);
        no_panic_in(&self.err);
        self
    }

    /// Standard output as JSON.
    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out)
            .unwrap_or_else(|error| panic!("no JSON ({error}) from {self}"))
    }
}

/// A text without line breaks and without the frame that reports draw beside them.
pub fn one_line(text: &str) -> String {
    let words = text
        .split(|c: char| c.is_whitespace() || "│╰─▶×".contains(c))
        .filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join(" ")
}

/// Fails where a text shows a panic.
#[track_caller]
pub fn no_panic_in(text: &str) {
    for sign in [
        "panicked at",
        "stack backtrace",
        "RUST_BACKTRACE",
        "a thread panicked",
    ] {
        assert!(!text.contains(sign), "a panic:\n{text}");
    }
}

impl std::fmt::Display for Said {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let status = self
            .status
            .map_or_else(|| "a signal".to_owned(), |status| status.to_string());
        write!(
            f,
            "{}\nended with {status}\n--- output\n{}--- errors\n{}---",
            self.command, self.out, self.err
        )
    }
}
