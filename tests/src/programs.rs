//! Where the programs under test are, and building them once where they are missing or older than their sources.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;
use std::time::SystemTime;

/// The packages that the programs come from.
const PACKAGES: [&str; 4] = [
    "pullmark-daemon",
    "pullmark",
    "pullmark-verify",
    "pullmark-sim",
];
/// Their sources, and the one that all stand on.
const SOURCES: [&str; 4] = ["schema", "daemon", "cli", "hardware-sim"];
/// The programs.
const PROGRAMS: [&str; 4] = ["pullmarkd", "pullmark", "pullmark-verify", "pullmark-sim"];

/// The folder of the workspace.
pub fn workspace() -> PathBuf {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
    tests
        .parent()
        .expect("the tests lie in the workspace")
        .to_owned()
}

/// The folder that cargo builds into.
pub fn target() -> PathBuf {
    profile_folder()
        .parent()
        .expect("the profile's folder lies in the target folder")
        .to_owned()
}

/// The path of a program under test. `PULLMARK_PROGRAMS` names another folder to take them from, for testing programs
/// that are installed already.
pub fn program(name: &str) -> PathBuf {
    if let Some(folder) = std::env::var_os("PULLMARK_PROGRAMS") {
        return Path::new(&folder).join(name);
    }
    READY.get_or_init(build_if_needed);
    profile_folder().join(name)
}

/// Whether the programs were looked at already in this process.
static READY: OnceLock<()> = OnceLock::new();

/// `target/<profile>`: the programs lie next to the running test, or one folder up.
fn profile_folder() -> PathBuf {
    let test = std::env::current_exe().expect("a running test has a path");
    let folder = test.parent().expect("a test lies in a folder");
    if folder.ends_with("deps") {
        folder.parent().expect("deps lies in a folder").to_owned()
    } else {
        folder.to_owned()
    }
}

fn build_if_needed() {
    let newest = SOURCES
        .iter()
        .filter_map(|name| newest_below(&workspace().join(name)))
        .max();
    let oldest = PROGRAMS
        .iter()
        .map(|name| changed(&profile_folder().join(name)))
        .min()
        .flatten();
    if oldest.is_some() && oldest >= newest {
        return;
    }
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut build = Command::new(cargo);
    build
        .current_dir(workspace())
        .arg("build")
        .arg("--target-dir")
        .arg(target());
    match profile_folder().file_name().and_then(|name| name.to_str()) {
        Some("debug") | None => {}
        Some(profile) => {
            build.args(["--profile", profile]);
        }
    }
    for package in PACKAGES {
        build.args(["-p", package]);
    }
    let done = build.output().expect("cargo runs");
    assert!(
        done.status.success(),
        "the programs cannot be built:\n{}",
        String::from_utf8_lossy(&done.stderr)
    );
}

fn changed(file: &Path) -> Option<SystemTime> {
    file.metadata().and_then(|about| about.modified()).ok()
}

/// When the last file below a folder was changed. Tests have no part in the programs.
fn newest_below(folder: &Path) -> Option<SystemTime> {
    let mut newest = None;
    for item in std::fs::read_dir(folder).ok()?.flatten() {
        let path = item.path();
        let is_test = item
            .file_name()
            .to_str()
            .is_some_and(|name| name.starts_with("test"));
        if is_test {
            continue;
        }
        newest = newest.max(if path.is_dir() {
            newest_below(&path)
        } else {
            changed(&path)
        });
    }
    newest
}
