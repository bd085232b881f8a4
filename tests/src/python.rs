//! Finds a Python that has the packages `cryptography`, `scipy` and `icalendar`, for the checks that others' programs make.

use crate::programs::{target, workspace};
use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;

/// What the programs below `tests/published` need, as `pip` knows it. `tests/run` installs the same.
const PACKAGES: [&str; 3] = ["cryptography", "scipy", "icalendar"];

/// The interpreter. One is made below the target folder if the machine has none with all packages.
pub fn python() -> PathBuf {
    static FOUND: OnceLock<PathBuf> = OnceLock::new();
    FOUND.get_or_init(|| find().unwrap_or_else(make)).clone()
}

/// A program below `tests/published`.
pub fn published(name: &str) -> PathBuf {
    workspace().join("tests/published").join(name)
}

fn own() -> PathBuf {
    target().join("python")
}

fn find() -> Option<PathBuf> {
    let named = std::env::var_os("PULLMARK_PYTHON").map(PathBuf::from);
    let usual = [
        own().join("bin/python3"),
        "python3".into(),
        "/usr/bin/python3".into(),
    ];
    named
        .into_iter()
        .chain(usual)
        .find(|python| has_packages(python))
}

fn has_packages(python: &Path) -> bool {
    let mut asked = Command::new(python);
    asked.args([
        "-c",
        "import cryptography.hazmat.primitives.asymmetric.ed25519, scipy.stats, sqlite3, icalendar",
    ]);
    asked
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    asked.status().is_ok_and(|status| status.success())
}

/// Several tests may want it at once: one makes it, the others wait for the lock.
fn make() -> PathBuf {
    let lock =
        File::create(target().join("python.lock")).expect("the target folder can be written");
    lock.lock().expect("a file can be locked");
    let python = own().join("bin/python3");
    if !has_packages(&python) {
        run(Command::new("python3").args(["-m", "venv"]).arg(own()));
        // Built packages alone: building scipy needs a Fortran compiler.
        let mut pip = Command::new(&python);
        pip.args(["-m", "pip", "install", "--quiet", "--only-binary", ":all:"]);
        run(pip.args(PACKAGES));
    }
    assert!(
        has_packages(&python),
        "no Python with the packages {PACKAGES:?}: run tests/run, or set PULLMARK_PYTHON"
    );
    python
}

fn run(command: &mut Command) {
    let done = command.output().expect("a Python is installed");
    assert!(
        done.status.success(),
        "{command:?}:\n{}",
        String::from_utf8_lossy(&done.stderr)
    );
}
