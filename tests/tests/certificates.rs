//! Calibration certificates against a second reader: a Python program that was written from the schema alone, with the
//! units of `dsiUnits`, the package of the institute that keeps the Digital System of Units.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::certificate::{Head, Imported, read_csv, read_dcc, read_toml};
use pullmark_tests::Command;
use pullmark_tests::programs::{target, workspace};
use pullmark_tests::python::published;
use serde_json::{Value, json};
use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::Stdio;

/// The package and the version that the answers were looked at with.
const PACKAGE: &str = "dsiUnits==3.1.3";

/// A Python that has the package. One is made below the target folder if the machine has none.
fn python() -> PathBuf {
    let own = target().join("python-units");
    let usual = target().join("python/bin/python3");
    let named = std::env::var_os("PULLMARK_PYTHON").map(PathBuf::from);
    let python = own.join("bin/python3");
    let known = named.into_iter().chain([usual, python.clone()]);
    if let Some(found) = known.into_iter().find(|python| has_package(python)) {
        return found;
    }
    // Several tests may want it at once: one makes it, the others wait for the lock.
    let lock = File::create(target().join("python-units.lock")).unwrap();
    lock.lock().unwrap();
    if !has_package(&python) {
        run(std::process::Command::new("python3")
            .args(["-m", "venv"])
            .arg(&own));
        run(std::process::Command::new(&python).args(["-m", "pip", "install", "--quiet", PACKAGE]));
    }
    assert!(
        has_package(&python),
        "no Python with {PACKAGE}: install it, or set PULLMARK_PYTHON"
    );
    python
}

fn has_package(python: &Path) -> bool {
    let mut asked = std::process::Command::new(python);
    asked
        .args(["-c", "import dsi_unit"])
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    asked.status().is_ok_and(|status| status.success())
}

fn run(command: &mut std::process::Command) {
    let done = command.output().expect("a Python is installed");
    assert!(
        done.status.success(),
        "{command:?}:\n{}",
        String::from_utf8_lossy(&done.stderr)
    );
}

fn theirs(arguments: &[&str]) -> Value {
    let home = tempfile::tempdir().unwrap();
    let asked = Command::new(python(), home.path()).arg(published("read_dcc.py"));
    asked.args(arguments).run().ok().json()
}

fn file(name: &str) -> PathBuf {
    workspace().join("tests").join(name)
}

fn text(name: &str) -> String {
    std::fs::read_to_string(file(name)).unwrap()
}

/// What our reader says, in the form of the other.
fn ours(read: &Imported) -> Value {
    let points = read.certificate.points.iter().map(|point| {
        json!({
            "reference": point.reference.small_units(),
            "indicated": point.indicated.small_units(),
            "expanded": point.expanded.small_units(),
            "coverage_factor": point.coverage_factor_thousandths,
        })
    });
    json!({
        "number": read.certificate.number,
        "date": read.certificate.date.to_string(),
        "points": points.collect::<Vec<_>>(),
    })
}

#[test]
fn a_second_reader_finds_the_same_points() {
    for (name, serial, table) in [
        ("vectors/dcc-torque-minimal-3.3.0.xml", "SN-4711", 1),
        ("certificates/moor-st-5-percent.xml", "ST-5", 1),
        ("certificates/moor-st-5-percent.xml", "ST-5", 2),
        ("certificates/quay-two-tools-single-values.xml", "QD-12", 1),
        ("certificates/quay-two-tools-single-values.xml", "QD-77", 1),
    ] {
        let given = Head {
            serial: Some(serial.to_owned()),
            due: Some("2027-01-01".parse().unwrap()),
            ..Head::default()
        };
        let read = read_dcc(text(name).as_bytes(), &given, Some(table)).unwrap();
        let path = file(name);
        let number = table.to_string();
        let mut other = theirs(&[
            path.to_str().unwrap(),
            "--serial",
            serial,
            "--table",
            &number,
        ]);
        assert!(other.as_object_mut().unwrap().remove("tables").is_some());
        assert_eq!(ours(&read), other, "{name}, {serial}, table {table}");
    }
}

/// Each unit either means the same torque as there, or is refused here.
#[test]
fn units_mean_what_the_institutes_own_package_says() {
    let units = [
        ("\\newton\\metre", true),
        ("\\metre\\newton", true),
        ("\\kilo\\newton\\metre", true),
        ("\\deca\\newton\\metre", true),
        ("\\deci\\newton\\metre", true),
        ("\\centi\\newton\\metre", true),
        ("\\milli\\newton\\metre", true),
        ("\\micro\\newton\\metre", true),
        ("\\newton\\milli\\metre", true),
        ("\\newton\\centi\\metre", true),
        ("\\kilo\\newton\\milli\\metre", true),
        // Commensurable, and still no torque.
        ("\\joule", false),
        ("\\kelvin", false),
        ("\\percent", false),
        ("\\newton", false),
        ("\\foot\\poundforce", false),
    ];
    let names: Vec<&str> = std::iter::once("--units")
        .chain(units.iter().map(|(name, _)| *name))
        .collect();
    let known = theirs(&names);
    let base = text("vectors/dcc-torque-minimal-3.3.0.xml");
    for (unit, is_torque) in units {
        let given = Head {
            due: Some("2027-01-01".parse().unwrap()),
            ..Head::default()
        };
        let read = read_dcc(
            base.replace("\\newton\\metre", unit).as_bytes(),
            &given,
            None,
        );
        if !is_torque {
            assert!(read.is_err(), "{unit}");
            continue;
        }
        let factor = known[unit]["torque"]
            .as_str()
            .unwrap_or_else(|| panic!("{unit} is none there"));
        let (numerator, denominator) = factor.split_once('/').unwrap_or((factor, "1"));
        let [numerator, denominator]: [i64; 2] =
            [numerator, denominator].map(|n| n.parse().unwrap());
        let found = read.unwrap().certificate.points[0].reference.small_units();
        // 4.02 of the unit in µN·m, to the nearest
        let expected = (4_020_000 * numerator * 2 + denominator) / (denominator * 2);
        assert_eq!(found, expected, "{unit}");
    }
}

/// The example files are what their page says.
#[test]
fn the_example_certificates_are_sound() {
    let today = "2026-11-25".parse().unwrap();
    let tarn = read_toml(&text("certificates/tarn-kr-2207.toml")).unwrap();
    assert_eq!(tarn.check("KR-2207", today), Ok(()));
    let fell = read_csv(&text("certificates/fell-bx-91.csv"), &Head::default()).unwrap();
    assert_eq!(fell.check("BX-91", today), Ok(()));
    let moor = read_dcc(
        text("certificates/moor-st-5-percent.xml").as_bytes(),
        &Head::default(),
        Some(1),
    )
    .unwrap();
    assert_eq!(moor.check("ST-5", today), Ok(()));
    let ford = read_dcc(
        text("certificates/ford-pound-feet.xml").as_bytes(),
        &Head::default(),
        None,
    );
    assert!(
        ford.unwrap_err()
            .to_string()
            .contains("is no unit of torque here")
    );
}
