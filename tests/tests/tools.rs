//! `pullmark tool` at a real port: teaching, recording and playing back, tools that speak only when asked, and listening
//! for Bluetooth tools.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::Act;
use pullmark_schema::entry::Event;
use pullmark_schema::tool::Tool;
use pullmark_sim::bluez::{Bluez, Bus, Tool as Simulated};
use pullmark_sim::pty::Pty;
use pullmark_tests::shop::Shop;
use pullmark_tests::{Command, PATIENCE, Said, plans, programs};
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::path::Path;
use std::process::{Child, ChildStdin, ChildStdout, Stdio};
use std::time::{Duration, Instant};

/// `pullmark tool teach`, with a person who types.
struct Lesson {
    child: Child,
    typed: ChildStdin,
    out: BufReader<ChildStdout>,
    port: Pty,
}

impl Lesson {
    fn begin(home: &Path) -> Self {
        let port = Pty::open(home.join("ttyTeach")).unwrap();
        let mut child = std::process::Command::new(programs::program("pullmark"))
            .args(["tool", "teach"])
            .arg(port.link())
            .args(["--name", "ours", "--baud", "19200"])
            .env("HOME", home)
            .current_dir(home)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lesson = Self {
            typed: child.stdin.take().unwrap(),
            out: BufReader::new(child.stdout.take().unwrap()),
            child,
            port,
        };
        // It asks when the port is open.
        lesson.hear("each with another value");
        lesson
    }

    fn hear(&mut self, wanted: &str) -> String {
        let mut all = String::new();
        while !all.contains(wanted) {
            let count = self.out.read_line(&mut all).unwrap();
            assert!(count > 0, "{wanted:?} is not in what it said:\n{all}");
        }
        all
    }

    fn reading(&mut self, bytes: &[u8], shown: &str) {
        self.port.write(bytes).unwrap();
        assert!(self.port.drained(PATIENCE).unwrap(), "teach reads the port");
        writeln!(self.typed, "{shown}").unwrap();
    }

    /// Ends it; the exit status and everything else that it said.
    fn end(self) -> (Option<i32>, String) {
        let Self {
            mut child,
            typed,
            mut out,
            port,
        } = self;
        drop(typed);
        let mut said = String::new();
        out.read_to_string(&mut said).unwrap();
        child
            .stderr
            .take()
            .unwrap()
            .read_to_string(&mut said)
            .unwrap();
        drop(port);
        (child.wait().unwrap().code(), said)
    }
}

#[test]
fn a_wrench_that_nobody_knows_is_taught_and_then_read() {
    let home = tempfile::tempdir().unwrap();
    let mut lesson = Lesson::begin(home.path());
    lesson.reading(b"S;0041;T=+05,08;Nm;0\r", "5,08 Nm");
    lesson.hear("One more");
    lesson.reading(b"S;0042;T=+12,70;Nm;0\r", "12,70 Nm");
    lesson.hear("That would do");
    lesson.reading(b"S;0043;T=+07,31;Nm;0\r", "7,31 Nm");
    let (status, said) = lesson.end();
    assert_eq!(status, Some(0), "{said}");
    assert!(said.contains("seen"), "how sure it is, is said: {said}");
    let profile = std::fs::read_to_string(home.path().join("ours.toml")).unwrap();
    assert!(profile.contains("baud = 19200"), "{profile}");

    // What was taught is used by the daemon as any other.
    let mut shop = Shop::closed(&[]);
    let folder = shop.folder().join("profiles");
    std::fs::create_dir(&folder).unwrap();
    std::fs::write(folder.join("ours.toml"), profile).unwrap();
    let config = shop.write(
        "pullmarkd.toml",
        &format!("profiles = {:?}\n", folder.display().to_string()),
    );
    shop.with_variable("PULLMARK_CONFIG", &config.display().to_string());
    shop.start();
    let mut events = shop.http().events(None).unwrap();
    let port = Pty::open(shop.folder().join("ttyOurs")).unwrap();
    let tool = Tool::read(&plans::wrench("w1", "OURS-1", port.link(), "ours")).unwrap();
    shop.act(&Act::AddTool {
        by: None,
        tool: Box::new(tool),
    });
    events.wait_for_kind("tool-connected");
    // What comes first after opening may be the rest of a line; a line's end comes before this one.
    port.write(b"\rS;0044;T=+04,96;Nm;0\r").unwrap();
    let Event::Pulled(pulled) = events.wait_for_kind("pulled").entry().event else {
        panic!("a reading comes")
    };
    assert_eq!(pulled.reading.applied.unwrap().small_units(), 4960);
}

#[test]
fn teaching_says_no_where_the_bytes_leave_two_answers() {
    let home = tempfile::tempdir().unwrap();
    let mut lesson = Lesson::begin(home.path());
    // Two fields carry the same number each time.
    lesson.reading(b"5.08 5.08 Nm\r\n", "5.08 Nm");
    lesson.hear("One more");
    lesson.reading(b"7.31 7.31 Nm\r\n", "7.31 Nm");
    lesson.hear("Not yet");
    lesson.reading(b"9.04 9.04 Nm\r\n", "");
    let (status, said) = lesson.end();
    assert_eq!(status, Some(1), "{said}");
    assert!(said.contains("No profile was made"), "{said}");
    assert!(said.contains("2 places in the line"), "{said}");
    assert!(!home.path().join("ours.toml").exists());
}

#[test]
fn teaching_says_no_where_the_display_never_changed() {
    let home = tempfile::tempdir().unwrap();
    let mut lesson = Lesson::begin(home.path());
    lesson.reading(b"5.08 Nm\r\n", "5.08 Nm");
    lesson.hear("One more");
    lesson.reading(b"5.08 Nm\r\n", "5.08 Nm");
    lesson.hear("Not yet");
    let (status, said) = lesson.end();
    assert_eq!(status, Some(1), "{said}");
    assert!(said.contains("all readings show 5.08"), "{said}");
}

fn record(home: &Path, port: &Pty, profile: &str, seconds: &str) -> std::process::Child {
    let mut command = std::process::Command::new(programs::program("pullmark"));
    command
        .args(["tool", "record", "take.capture", "--port"])
        .arg(port.link())
        .args(["--profile", profile, "--seconds", seconds])
        .env("HOME", home)
        .current_dir(home)
        .stdout(Stdio::null());
    command.spawn().unwrap()
}

fn replay(home: &Path) -> Said {
    Command::pullmark(home)
        .args(["tool", "replay", "take.capture", "--json"])
        .current_dir(home)
        .run()
}

#[test]
fn what_was_recorded_plays_back_as_the_same_readings() {
    let home = tempfile::tempdir().unwrap();
    let mut port = Pty::open(home.path().join("ttyTake")).unwrap();
    let mut recording = record(home.path(), &port, "plain-line", "20");
    // What comes first after opening may be the rest of a line; a line's end comes before this one.
    port.write(b"\r\n 5.08 N.m\r\n45.0 in-lb\r\n").unwrap();
    assert!(port.drained(PATIENCE).unwrap());
    port.write(b" 7.3").unwrap();
    assert!(port.drained(PATIENCE).unwrap());
    // It goes in the middle of a reading; the recording ends there.
    port.unplug().unwrap();
    assert!(recording.wait().unwrap().success());
    let said = replay(home.path());
    // The cut line is no reading, and the answer says so.
    said.status(1);
    let rows = said.json();
    let told: Vec<&str> = rows
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["what"].as_str().unwrap())
        .collect();
    assert_eq!(told.len(), 3, "{told:?}");
    assert!(told[0].contains("reading 5.08 N·m"), "{told:?}");
    assert!(told[1].contains("45.0 lbf·in"), "{told:?}");
    assert!(told[2].contains("it does not count"), "{told:?}");

    // A file that is there is not written over.
    let again = Command::pullmark(home.path())
        .args(["tool", "record", "take.capture", "--port"])
        .arg(home.path())
        .current_dir(home.path())
        .run();
    assert_ne!(again.status, Some(0));
    assert_eq!(replay(home.path()).out, said.out);
}

/// Answers each question of the profile `asked-line`, with its echo; everything that it was sent.
fn answer(port: &Pty, values: &[&str]) -> String {
    let (mut sent, mut answered) = (String::new(), 0);
    let end = Instant::now() + PATIENCE;
    while answered < values.len() && Instant::now() < end {
        let bytes = port.read(Duration::from_millis(50)).unwrap();
        for byte in bytes {
            sent.push(char::from(byte));
            if sent.ends_with("?\r")
                && let Some(value) = values.get(answered)
            {
                port.write(format!("?\r{value} Nm\r\n").as_bytes()).unwrap();
                answered += 1;
            }
        }
    }
    assert_eq!(answered, values.len(), "it asks again and again: {sent:?}");
    sent
}

#[test]
fn a_tool_that_speaks_only_when_asked_is_started_and_asked() {
    let shop = Shop::open();
    let mut events = shop.http().events(None).unwrap();
    let port = Pty::open(shop.folder().join("ttyAsked")).unwrap();
    let tool = Tool::read(&plans::wrench("w1", "ASK-1", port.link(), "asked-line")).unwrap();
    shop.act(&Act::AddTool {
        by: None,
        tool: Box::new(tool),
    });
    events.wait_for_kind("tool-connected");
    let sent = answer(
        &port,
        &[
            "0.00", "0.00", "2.10", "4.95", "5.02", "3.00", "0.00", "0.00", "0.00", "0.00",
        ],
    );
    assert!(sent.starts_with("MODE TRACK\r?\r"), "{sent:?}");
    let Event::Pulled(pulled) = events.wait_for_kind("pulled").entry().event else {
        panic!("a reading comes")
    };
    assert_eq!(
        pulled.reading.applied.unwrap().small_units(),
        5020,
        "the peak of what it showed"
    );
}

#[test]
fn listening_for_bluetooth_tools_tells_what_they_speak() {
    let home = tempfile::tempdir().unwrap();
    let bus = Bus::start(home.path()).expect("dbus-daemon is installed");
    let (name, value) = bus.variable();
    let scan = || {
        Command::pullmark(home.path())
            .args(["tool", "scan", "--seconds", "1"])
            .env(name, value)
            .run()
    };
    let said = scan();
    assert_ne!(said.status, Some(0));
    said.says(&["BlueZ"]);
    let mut bluez = Bluez::start(&bus).unwrap();
    scan().ok().says(&["No Bluetooth device was heard"]);
    bluez
        .add(Simulated::wrench("02:00:00:00:00:0A", "BT-9"))
        .unwrap();
    scan()
        .ok()
        .says(&["02:00:00:00:00:0A", "Wrench BT-9"])
        .no_panic();
}
