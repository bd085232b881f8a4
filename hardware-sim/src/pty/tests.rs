//! The port by itself, with plain file handles at the other end.
#![allow(clippy::unwrap_used)]

use super::*;
use std::io::{Read, Write};

fn opened(link: &Path) -> fs::File {
    fs::OpenOptions::new()
        .read(true)
        .write(true)
        .open(link)
        .unwrap()
}

#[test]
fn bytes_go_both_ways_unchanged() {
    let folder = tempfile::tempdir().unwrap();
    let pty = Pty::open(folder.path().join("w")).unwrap();
    let all: Vec<u8> = (0..=255).collect();
    pty.write(&all).unwrap();
    let mut program = opened(pty.link());
    let mut got = [0; 256];
    program.read_exact(&mut got).unwrap();
    assert_eq!(got.as_slice(), all.as_slice());
    program.write_all(&all).unwrap();
    assert_eq!(pty.read(Duration::from_secs(5)).unwrap(), all);
    assert_eq!(pty.read(Duration::ZERO).unwrap(), b"");
}

#[test]
fn drained_is_false_until_the_last_byte_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let pty = Pty::open(folder.path().join("w")).unwrap();
    assert!(pty.drained(Duration::ZERO).unwrap());
    pty.write(b"abc").unwrap();
    assert_eq!(pty.waiting().unwrap(), 3);
    assert!(!pty.drained(Duration::from_millis(5)).unwrap());
    let mut program = opened(pty.link());
    let mut two = [0; 2];
    program.read_exact(&mut two).unwrap();
    assert!(!pty.drained(Duration::ZERO).unwrap());
    program.read_exact(&mut two[..1]).unwrap();
    assert!(pty.drained(Duration::from_secs(5)).unwrap());
}

#[test]
fn a_full_buffer_is_an_error_and_not_a_wait_without_end() {
    let folder = tempfile::tempdir().unwrap();
    let pty = Pty::open(folder.path().join("w")).unwrap();
    let error = pty
        .write_within(&vec![b'x'; 1 << 20], Duration::from_millis(20))
        .unwrap_err();
    assert!(
        matches!(error, PtyError::NobodyReads { left, .. } if left > 0 && left < 1 << 20),
        "{error}"
    );
    assert!(pty.waiting().unwrap() > 0);
}

#[test]
fn only_a_link_that_was_left_behind_is_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let link = folder.path().join("w");
    // One that leads nowhere, and one that leads to a terminal of somebody else.
    let other = Pty::open(folder.path().join("other")).unwrap();
    for target in [Path::new("/dev/pts/999999"), other.device().unwrap()] {
        std::os::unix::fs::symlink(target, &link).unwrap();
        let pty = Pty::open(&link).unwrap();
        assert_eq!(fs::read_link(&link).unwrap(), pty.device().unwrap());
        drop(pty);
        assert!(!link.is_symlink());
    }
    fs::write(&link, "mine").unwrap();
    let error = Pty::open(&link).unwrap_err();
    assert!(matches!(error, PtyError::NameTaken { .. }), "{error}");
    assert_eq!(fs::read_to_string(&link).unwrap(), "mine");

    let elsewhere = folder.path().join("elsewhere");
    std::os::unix::fs::symlink(&link, &elsewhere).unwrap();
    let error = Pty::open(&elsewhere).unwrap_err();
    assert!(matches!(error, PtyError::NameTaken { .. }), "{error}");

    let error = Pty::open(folder.path().join("none/w")).unwrap_err();
    assert!(matches!(error, PtyError::Link { .. }), "{error}");
}

#[test]
fn the_name_is_held_as_long_as_the_tool_lives_plugged_in_or_not() {
    let folder = tempfile::tempdir().unwrap();
    let link = folder.path().join("w");
    let same = folder.path().join(".").join("w");
    let mut first = Pty::open(&link).unwrap();
    for _ in 0..2 {
        let error = Pty::open(&same).unwrap_err();
        assert!(matches!(error, PtyError::NameHeld { .. }), "{error}");
        let _ = first.unplug();
    }
    drop(first);
    Pty::open(&same).unwrap();
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_link_that_someone_else_made_meanwhile_stays() {
    let folder = tempfile::tempdir().unwrap();
    let link = folder.path().join("w");
    let mut pty = Pty::open(&link).unwrap();
    fs::remove_file(&link).unwrap();
    fs::write(&link, "other").unwrap();
    pty.unplug().unwrap();
    assert_eq!(fs::read_to_string(&link).unwrap(), "other");
}

#[test]
fn what_needs_a_plug_says_so_without_one() {
    let folder = tempfile::tempdir().unwrap();
    let mut pty = Pty::open(folder.path().join("w")).unwrap();
    assert!(matches!(pty.replug(), Err(PtyError::Plugged { .. })));
    pty.unplug().unwrap();
    assert!(pty.device().is_none());
    assert!(matches!(pty.write(b"x"), Err(PtyError::Unplugged { .. })));
    assert!(matches!(pty.waiting(), Err(PtyError::Unplugged { .. })));
    assert!(matches!(pty.unplug(), Err(PtyError::Unplugged { .. })));
}
