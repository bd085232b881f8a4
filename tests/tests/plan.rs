//! `pullmark plan`: what is wrong with a plan is said with its place and with what to do.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod golden;

use pullmark_tests::{Command, Said, Shop, ledger, plans};
use std::ffi::OsStr;
use std::fs;
use std::path::Path;

fn pullmark<T: AsRef<OsStr>>(home: &Path, arguments: impl IntoIterator<Item = T>) -> Said {
    Command::pullmark(home).args(arguments).run()
}

#[test]
fn a_malformed_plan_is_refused_with_line_and_column_and_advice() {
    let shop = Shop::open();
    let start = |plan: &Path| {
        let plan = plan.to_str().unwrap();
        shop.pullmark(["build", "start", plan, "--frame", "F-1", "--by", "Mara"])
    };
    let changed = |from: &str, to: &str| plans::SMALL.replace(from, to);
    let both_limits = "lower = \"12 N·m\", upper = \"14 N·m\" }]";
    let header = "title = \"x\"\nedition = \"1\"\n";
    let no_toml = "title = \"x\"\nedition = \n".to_owned();
    for (name, text, place, says) in [
        ("no-toml.toml", no_toml, "2:11", "text needs quotes"),
        (
            "unknown.toml",
            format!("{header}colour = \"red\"\n"),
            "3:1",
            "unknown field `colour`",
        ),
        ("empty.toml", header.to_owned(), "1:9", "add a [[stage]]"),
        (
            "unit.toml",
            changed("5.5 N·m", "5.5 kPa"),
            "41:8",
            "kPa is a unit of pressure",
        ),
        (
            "zero.toml",
            changed("\"2 N·m\"", "\"0 N·m\""),
            "11:8",
            "write more than 0",
        ),
        (
            "minus.toml",
            changed("\"2 N·m\"", "\"-2 N·m\""),
            "11:8",
            "write more than 0",
        ),
        (
            "huge.toml",
            changed("\"2 N·m\"", "\"99999 N·m\""),
            "11:8",
            "at most 2000 N·m",
        ),
        (
            "power.toml",
            changed("\"2 N·m\"", "\"9e99 N·m\""),
            "11:8",
            "write a number and a unit",
        ),
        (
            "twice.toml",
            changed("crank.rear", "crank.front"),
            "28:6",
            "first on line 21",
        ),
        (
            "passes.toml",
            changed("[0.6, 1.0]", "[1.0, 0.6]"),
            "18:10",
            "passes rise",
        ),
        (
            "conflict.toml",
            changed(both_limits, "lower = \"20 N·m\" }]"),
            "23:8",
            "settle it",
        ),
    ] {
        let plan = shop.write(name, &text);
        let checked = Command::pullmark(shop.folder())
            .args(["plan", "check"])
            .arg(&plan)
            .run();
        checked
            .status(1)
            .says(&[&format!("{name}:{place}]"), says, "help:"]);
        let (line, column) = place.split_once(':').unwrap();
        let place = format!("line {line}, column {column}");
        start(&plan).status(1).says(&["the plan has", &place]);
    }
    let plan = shop.folder().join("binary.toml");
    fs::write(&plan, [0xff, 0xfe, 0x00]).unwrap();
    Command::pullmark(shop.folder())
        .args(["plan", "check"])
        .arg(&plan)
        .run()
        .status(2)
        .says(&["is not UTF-8 text"]);
    start(&plan).status(2).says(&["is not UTF-8 text"]);
    start(&shop.folder().join("none.toml"))
        .status(2)
        .says(&["none.toml cannot be read"]);
    assert_eq!(
        ledger::rows(&shop.data()).len(),
        1,
        "nothing came of any of it"
    );
}

#[test]
fn a_finding_is_shown_with_its_line() {
    let home = tempfile::tempdir().unwrap();
    let plan = plans::SMALL
        .replace("\"carbon paste on the post\"", "\"grease\"")
        .replace("id = \"crank.rear\"", "id = \"crank.front\"");
    std::fs::write(home.path().join("plan.toml"), plan).unwrap();
    let checked = Command::pullmark(home.path())
        .current_dir(home.path())
        .args(["plan", "check", "plan.toml"])
        .run();
    golden::compare("plan-findings", &checked.status(1).out);
    let told = Command::pullmark(home.path())
        .current_dir(home.path())
        .args(["plan", "check", "--json", "plan.toml"])
        .run();
    let told = told.status(1).json();
    assert_eq!(told[0]["code"], "duplicate-id");
    assert_eq!(
        (told[0]["line"].as_u64(), told[0]["column"].as_u64()),
        (Some(28), Some(6))
    );
    let shown = Command::pullmark(home.path())
        .current_dir(home.path())
        .args(["plan", "show", "--json", "plan.toml"])
        .run();
    assert_eq!(shown.status(1).json(), told);
}

#[test]
fn a_sound_plan_is_shown_in_its_order() {
    let home = tempfile::tempdir().unwrap();
    let plan = home.path().join("plan.toml");
    std::fs::write(&plan, plans::SMALL).unwrap();
    let plan = plan.to_str().unwrap();
    pullmark(home.path(), ["plan", "check", plan])
        .ok()
        .says(&["4 fasteners, 6 pulls"]);
    golden::compare(
        "plan-show",
        &pullmark(home.path(), ["plan", "show", plan]).ok().out,
    );
    let shown = pullmark(home.path(), ["plan", "show", plan, "--json"])
        .ok()
        .json();
    assert_eq!(shown["stages"][1]["passes"], serde_json::json!([60, 100]));
}
