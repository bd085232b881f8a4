//! The binary as a process: typed lines, a script, random pulls, and a command line that is wrong.
#![allow(clippy::unwrap_used)]

use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Output, Stdio};

struct Run {
    folder: tempfile::TempDir,
}

impl Run {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        Self { folder }
    }

    fn link(&self) -> PathBuf {
        self.folder.path().join("wrench")
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pullmark-sim"));
        command.arg("--link").arg(self.link()).args(arguments);
        command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    /// Runs to the end with this input, and nobody at the port.
    fn alone(&self, arguments: &[&str], input: &str) -> Output {
        let mut child = self.command(arguments).spawn().unwrap();
        let mut stdin = child.stdin.take().unwrap();
        // A process that refuses its command line has closed its end already.
        let _ = stdin.write_all(input.as_bytes());
        drop(stdin);
        child.wait_with_output().unwrap()
    }
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// Reads what the process prints until a line starts like this.
fn until(printed: &mut BufReader<ChildStdout>, start: &str) {
    let mut line = String::new();
    while !line.starts_with(start) {
        line.clear();
        let count = printed.read_line(&mut line).unwrap();
        assert!(count > 0, "the process ended before it printed {start:?}");
    }
}

/// The port with a real serial library, and so many bytes from it.
fn read_port(link: &Path, count: usize) -> String {
    let mut port = serialport::new(link.to_str().unwrap(), 9600)
        .timeout(std::time::Duration::from_secs(30))
        .open()
        .unwrap();
    let mut bytes = vec![0; count];
    port.read_exact(&mut bytes).unwrap();
    text(&bytes)
}

struct Stopped(Child);

impl Drop for Stopped {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

#[test]
fn typed_values_arrive_at_the_port() {
    let run = Run::new();
    let mut process = Stopped(run.command(&["--serial", "W-7"]).spawn().unwrap());
    let mut printed = BufReader::new(process.0.stdout.take().unwrap());
    let mut typing = process.0.stdin.take().unwrap();
    until(&mut printed, "type a value");
    typing
        .write_all(b"5.08\nhello\nunit lbf.in\n44.96\n")
        .unwrap();
    until(&mut printed, "sent  $PULL,1,5.08,N.m*06\\r\\n");
    until(&mut printed, "not done: `hello`");
    until(&mut printed, "set");
    until(&mut printed, "sent  $PULL,2,44.96,lbf.in*7B\\r\\n");
    let expected = "#READY W-7\r\n$PULL,1,5.08,N.m*06\r\n$PULL,2,44.96,lbf.in*7B\r\n";
    assert_eq!(read_port(&run.link(), expected.len()), expected);
    typing.write_all(b"unplug\n").unwrap();
    until(&mut printed, "unplugged, everything was read");
    assert!(!run.link().is_symlink());
    typing.write_all(b"5\nreplug\nol\n").unwrap();
    until(&mut printed, "lost, unplugged  $PULL,3,5,lbf.in");
    until(&mut printed, "sent  $PULL,4,OL,lbf.in");
    let expected = "#READY W-7\r\n$PULL,4,OL,lbf.in*";
    assert_eq!(read_port(&run.link(), expected.len()), expected);
    typing.write_all(b"unplug now\nquit\n").unwrap();
    until(&mut printed, "unplugged at once");
    // One typed line was not understood, and the exit status says so.
    assert_eq!(process.0.wait().unwrap().code(), Some(2));
}

#[test]
fn a_script_is_played_and_the_link_is_gone_afterwards() {
    let run = Run::new();
    let script = run.folder.path().join("day.toml");
    let steps =
        "title = \"Short\"\nsteps = [{ pull = \"5.08\" }, { wait_ms = 60000 }, \"unplug_now\"]\n";
    std::fs::write(&script, steps).unwrap();
    let output = run.alone(
        &["--script", script.to_str().unwrap(), "--speed", "0"],
        "not read without --stay\n",
    );
    let link = run.link();
    let expected = format!(
        "wrench SIM-0001 is plugged in at {}\nsent  #READY SIM-0001\\r\\nscript: Short\n\
         sent  $PULL,1,5.08,N.m*06\\r\\nwaited 0ns\nunplugged at once; what was not read is lost\n",
        link.display()
    )
    .replace("\\r\\n", "\\r\\n\n");
    assert_eq!(text(&output.stderr), "");
    assert_eq!(text(&output.stdout), expected);
    assert_eq!(output.status.code(), Some(0));
    assert!(!link.is_symlink());
}

#[test]
fn random_pulls_are_fixed_by_the_seed_and_stay_hands_over_to_typing() {
    let arguments = |seed| {
        [
            "--random",
            "--targets",
            "5,5,8",
            "--speed",
            "0",
            "--stay",
            "--seed",
            seed,
        ]
    };
    let pulled = |seed| {
        let run = Run::new();
        let output = run.alone(&arguments(seed), "6.50\nunplug now\nquit\n");
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        let lines = text(&output.stdout);
        lines
            .lines()
            .filter(|l| l.contains("$PULL"))
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    let (first, second, other) = (pulled("1"), pulled("1"), pulled("2"));
    assert_eq!(first, second);
    assert_ne!(first, other);
    assert!(first.len() >= 4, "{first:?}");
    assert!(first[0].ends_with("(target 1: 5 N·m)"), "{first:?}");
    assert!(first.last().unwrap().contains(",6.50,N.m*"), "{first:?}");
}

#[test]
fn stay_outlives_the_end_of_the_input() {
    let run = Run::new();
    let mut process = Stopped(run.command(&["--stay"]).spawn().unwrap());
    drop(process.0.stdin.take());
    let mut printed = BufReader::new(process.0.stdout.take().unwrap());
    until(&mut printed, "staying plugged in");
    assert_eq!(read_port(&run.link(), 17), "#READY SIM-0001\r\n");
    assert!(process.0.try_wait().unwrap().is_none());
    drop(process);
    // Killed, so the link is left behind dead; the next start takes the name over.
    assert!(run.link().is_symlink());
    let output = run.alone(&[], "unplug now\nquit\n");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
}

#[test]
fn a_wrong_command_line_says_what_to_do_and_ends_with_two() {
    let run = Run::new();
    let refused = |arguments: &[&str]| {
        let output = run.alone(arguments, "");
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert_eq!(text(&output.stdout), "", "{arguments:?}");
        text(&output.stderr)
    };
    assert!(refused(&["--unit", "Nm"]).contains("--unit: `Nm` is no unit"));
    assert!(refused(&["--resolution", "0"]).contains("--resolution: `0` is no resolution"));
    assert!(refused(&["--serial", "a b"]).contains("serial number"));
    assert!(refused(&["--range", "0"]).contains("range of 0"));
    assert!(refused(&["--speed", "-1"]).contains("-1"));
    assert!(refused(&["--random", "--targets", "5,0"]).contains("target 2 is 0"));
    assert!(refused(&["--random"]).contains("--targets"));
    assert!(refused(&["--targets", "5"]).contains("--random"));
    assert!(refused(&["--script", "/nowhere/day.toml"]).contains("/nowhere/day.toml"));
    std::fs::write(run.link(), "something else").unwrap();
    assert!(refused(&[]).contains("is not a link to a pseudo-terminal"));
    assert!(!run.link().is_symlink());
}

#[test]
fn waiting_for_a_reader_that_does_not_come_ends_with_two() {
    let run = Run::new();
    let output = run.alone(&["--wait-for-reader", "1"], "5\n");
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("nobody opened"));
    assert!(!text(&output.stdout).contains("$PULL"));
}
