//! The layers of the house: what decides does no IO and reads no clock, and the schema has no such dependency.

#![allow(clippy::unwrap_used)]

use std::fs;
use std::path::{Path, PathBuf};

/// What the deciding layers must not name.
const FORBIDDEN: [&str; 10] = [
    "tokio",
    "std::fs",
    "std::net",
    "SystemTime",
    "Instant::now",
    "Local::now",
    "Utc::now",
    "rusqlite",
    "serialport",
    "crate::edge",
];

fn files(path: &Path) -> Vec<PathBuf> {
    if path.is_file() {
        return vec![path.to_owned()];
    }
    let below = fs::read_dir(path)
        .unwrap()
        .flat_map(|entry| files(&entry.unwrap().path()));
    below
        .filter(|path| path.extension().is_some_and(|ending| ending == "rs"))
        .collect()
}

fn is_test(path: &Path) -> bool {
    path.components()
        .any(|part| part.as_os_str() == "tests" || part.as_os_str() == "tests.rs")
}

#[test]
fn what_decides_does_no_io() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut looked_at = 0;
    for layer in ["core.rs", "core", "intake.rs", "intake"] {
        for path in files(&source.join(layer))
            .into_iter()
            .filter(|path| !is_test(path))
        {
            let text = fs::read_to_string(&path).unwrap();
            for (number, line) in (1..).zip(text.lines()) {
                for word in FORBIDDEN {
                    assert!(
                        !line.contains(word),
                        "{}:{number} names {word}: {line}",
                        path.display()
                    );
                }
            }
            looked_at += 1;
        }
    }
    assert!(
        looked_at >= 12,
        "only {looked_at} files were looked at: have they moved?"
    );
}

#[test]
fn the_schema_depends_on_no_runtime_database_or_chance() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../schema/Cargo.toml");
    let manifest: toml::Table = toml::from_str(&fs::read_to_string(path).unwrap()).unwrap();
    let dependencies = manifest["dependencies"].as_table().unwrap();
    assert!(dependencies.contains_key("serde"));
    for name in [
        "tokio",
        "rusqlite",
        "rand",
        "getrandom",
        "axum",
        "serialport",
        "pullmark-daemon",
    ] {
        assert!(
            !dependencies.contains_key(name),
            "the schema depends on {name}"
        );
    }
}

#[test]
fn the_daemon_never_imports_the_simulator_nor_the_command_line() {
    let manifest: toml::Table = toml::from_str(include_str!("../Cargo.toml")).unwrap();
    let dependencies = manifest["dependencies"].as_table().unwrap();
    assert!(dependencies.contains_key("pullmark-schema"));
    assert!(
        !dependencies.contains_key("pullmark-sim") && !dependencies.contains_key("pullmark-cli")
    );
}
