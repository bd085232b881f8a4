use super::{BadPin, Pins, Tried, check_new};
use std::os::unix::fs::PermissionsExt as _;

const PIN: &str = "482916";

fn pins() -> (tempfile::TempDir, Pins) {
    let folder = tempfile::tempdir().unwrap();
    let pins = Pins::open(folder.path().join("pins.json")).unwrap();
    pins.set("mara", PIN).unwrap();
    (folder, pins)
}

#[test]
fn a_pin_is_right_or_wrong_and_only_its_hash_is_kept() {
    let (folder, pins) = pins();
    assert_eq!(pins.check("mara", "bench", PIN, 0).unwrap(), Tried::Right);
    let wrong = pins.check("mara", "bench", "482917", 0).unwrap();
    assert_eq!(
        wrong,
        Tried::Wrong {
            wrong: 1,
            seconds: 0
        }
    );
    assert_eq!(pins.check("tore", "bench", PIN, 0).unwrap(), Tried::NoPin);
    let path = folder.path().join("pins.json");
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(!text.contains(PIN), "{text}");
    assert_eq!(
        std::fs::metadata(&path).unwrap().permissions().mode() & 0o777,
        0o600
    );
    pins.set("tore", PIN).unwrap();
    let kept: serde_json::Value = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
    assert_ne!(
        kept["pins"]["mara"]["hash"], kept["pins"]["tore"]["hash"],
        "each has a salt of its own"
    );
}

#[test]
fn waits_are_kept_over_a_start_and_the_right_pin_has_to_wait_too() {
    let (folder, pins) = pins();
    for wrong in 1..=2 {
        assert_eq!(
            pins.check("mara", "bench", "0", 0).unwrap(),
            Tried::Wrong { wrong, seconds: 0 }
        );
    }
    assert_eq!(
        pins.check("mara", "bench", "0", 0).unwrap(),
        Tried::Wrong {
            wrong: 3,
            seconds: 30
        }
    );
    drop(pins);
    let pins = Pins::open(folder.path().join("pins.json")).unwrap();
    assert_eq!(
        pins.check("mara", "other", PIN, 29_001).unwrap(),
        Tried::Locked { seconds: 1 }
    );
    assert_eq!(pins.state("mara", 0), (true, 30));
    assert_eq!(
        pins.check("mara", "other", "0", 30_000).unwrap(),
        Tried::Wrong {
            wrong: 4,
            seconds: 60
        }
    );
    assert_eq!(
        pins.check("mara", "other", PIN, 90_000).unwrap(),
        Tried::Right
    );
    assert_eq!(
        pins.check("mara", "other", "0", 90_000).unwrap(),
        Tried::Wrong {
            wrong: 1,
            seconds: 0
        }
    );
    pins.set("mara", "739150").unwrap();
    assert_eq!(
        pins.check("mara", "bench", "739150", 90_000).unwrap(),
        Tried::Right
    );
}

#[test]
fn a_device_that_tries_everybody_has_to_wait_too_and_ones_own_pin_makes_nothing_good() {
    let (_folder, pins) = pins();
    for person in ["a", "b", "c", "d", "e"] {
        pins.set(person, PIN).unwrap();
    }
    for person in ["a", "b", "c", "d"] {
        for _ in 0..2 {
            pins.check(person, "tablet", "0", 0).unwrap();
        }
        assert_eq!(pins.check("mara", "tablet", PIN, 0).unwrap(), Tried::Right);
    }
    assert_eq!(
        pins.check("e", "tablet", "0", 0).unwrap(),
        Tried::Wrong {
            wrong: 1,
            seconds: 0
        }
    );
    assert_eq!(
        pins.check("e", "tablet", "0", 0).unwrap(),
        Tried::Wrong {
            wrong: 2,
            seconds: 30
        }
    );
    assert_eq!(
        pins.check("mara", "tablet", PIN, 0).unwrap(),
        Tried::Locked { seconds: 30 }
    );
    assert_eq!(
        pins.check("mara", "bench", PIN, 0).unwrap(),
        Tried::Right,
        "another device"
    );
}

#[test]
fn how_a_pin_is_doing_is_told_while_a_change_is_being_written() {
    let (_folder, pins) = pins();
    let writing = crate::edge::access::locked(&pins.changing);
    // It would wait here for ever, and with it whatever is to be committed.
    assert_eq!(pins.state("mara", 0), (true, 0));
    drop(writing);
}

#[test]
fn a_newer_programs_file_is_no_damaged_one() {
    let (folder, pins) = pins();
    drop(pins);
    let path = folder.path().join("pins.json");
    let text = std::fs::read_to_string(&path).unwrap();
    let newer = text.replace("\"version\":1", "\"version\":2,\"pepper\":true");
    std::fs::write(&path, &newer).unwrap();
    let error = Pins::open(path.clone()).unwrap_err().to_string();
    assert!(
        error.contains("has format 2") && error.contains("use a newer Pullmark"),
        "{error}"
    );
    std::fs::write(&path, newer.replace(":2", ":0")).unwrap();
    let error = Pins::open(path).unwrap_err().to_string();
    assert!(error.contains("is damaged"), "{error}");
}

#[test]
fn a_pin_that_everybody_tries_first_is_refused() {
    for pin in ["0000", "1234", "987654", "1212", "454545"] {
        assert_eq!(check_new(pin), Err(BadPin::Obvious), "{pin}");
    }
    for pin in ["", "123", "12a4", "1234567890123", "٤٥٦٧", "12 34"] {
        assert_eq!(check_new(pin), Err(BadPin::Digits), "{pin}");
    }
    assert_eq!(check_new(PIN), Ok(()));
}
