//! `pullmark plan`: what is wrong with a plan is said with its place and with what to do.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod golden;

use pullmark_schema::joint::{Estimate, estimate};
use pullmark_schema::plan;
use pullmark_schema::practice::{FIGURES, ORIGIN};
use pullmark_schema::quantity::Force;
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
        2,
        "the start and the first link of its keys: nothing came of any of it"
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

/// Three figures of a carbon road bike as the trade knows them: common practice, no source.
const COMMON_PRACTICE: &str = include_str!("../practice/common-practice.toml");

/// A wrench that reaches all three.
const WRENCH: &str = "id = \"w1\"\ntitle = \"Bench wrench\"\nserial = \"KR-2207\"\nlowest = \"2 N·m\"\nhighest = \"25 N·m\"\n";

fn check_text(text: &str, more: &[&str]) -> Said {
    let home = tempfile::tempdir().unwrap();
    fs::write(home.path().join("plan.toml"), text).unwrap();
    fs::write(home.path().join("w1.toml"), WRENCH).unwrap();
    Command::pullmark(home.path())
        .current_dir(home.path())
        .args(["plan", "check", "plan.toml"])
        .args(more)
        .run()
}

/// The estimate for the fastener of a kind.
fn estimate_of(text: &str, kind: &str) -> Estimate {
    let plan = plan::read(text).plan.unwrap();
    let (_, fastener) = plan
        .fasteners()
        .find(|(_, fastener)| fastener.kind.as_deref() == Some(kind))
        .unwrap();
    let aim = fastener.spec.limits.aim();
    estimate(fastener.thread.as_ref().unwrap(), &fastener.prep, aim).unwrap()
}

#[test]
fn the_figures_of_the_trade_pass_without_a_finding() {
    check_text(COMMON_PRACTICE, &[])
        .ok()
        .says(&["4 fasteners, 6 pulls; 0 warnings, 0 notes"]);
    check_text(COMMON_PRACTICE, &["--tool", "w1.toml"])
        .ok()
        .says(&["0 warnings, 0 notes"]);
    let plan = plan::read(COMMON_PRACTICE).plan.unwrap();
    for figure in FIGURES {
        let mut of_kind = plan
            .fasteners()
            .filter(|(_, fastener)| fastener.kind.as_deref() == Some(figure.kind));
        let (stage, fastener) = of_kind.next().unwrap();
        assert_eq!(fastener.spec.limits.target, Some(figure.torque));
        assert_eq!(stage.pattern, figure.pattern, "{}", figure.kind);
        assert_eq!(stage.passes.len(), usize::from(figure.passes));
        assert_eq!(fastener.spec.sources[1].place, ORIGIN);
    }
}

#[test]
fn the_figures_of_the_trade_are_sound_for_bolt_and_thread() {
    for (kind, least, most) in [
        // hundredths of a kN, worked out apart from this program: F = T / (d2/2 tan(φ + ρ′) + µ D_Km/2), M6, socket head, µ 0.16 and 0.08
        ("seat-clamp", 615, 1_099),
        ("headset-cap", 308, 549),
        ("crank-pinch", 1_000, 1_785),
    ] {
        let found = estimate_of(COMMON_PRACTICE, kind);
        let rounded = |force: Force| (force.small_units() + 5_000) / 10_000;
        assert_eq!(
            (rounded(found.least), rounded(found.most)),
            (least, most),
            "{kind}"
        );
        assert!(
            found.likely < found.proof_load.unwrap(),
            "{kind}: {found:?}"
        );
        assert!(
            found.likely < found.stripping_load.unwrap(),
            "{kind}: {found:?}"
        );
    }
}

/// A slipped point: found by what is common, and where no kind is stated by the bolt and its thread alone.
#[track_caller]
fn a_slipped_point_is_found(kind: &str, right: &str, wrong: &str) {
    let text = COMMON_PRACTICE
        .replace(
            &format!("target = \"{right} N·m\""),
            &format!("target = \"{wrong} N·m\""),
        )
        .replace(
            "lower = \"12 N·m\", upper = \"14 N·m\"",
            "lower = \"12 N·m\"",
        );
    let said = check_text(&text, &["--json"]);
    said.status(1).says(&[
        "unusual-torque",
        "common practice, no source",
        "past-proof-load",
        "cannot be right",
        "proof load, ISO 898-1",
        "thread-strips",
        "look for a slipped point",
    ]);
    let unnamed = text.replace(&format!("kind = \"{kind}\"\n"), "");
    assert_ne!(unnamed, text);
    let said = check_text(&unnamed, &[]);
    said.status(1)
        .says(&["plan/past-proof-load", "a build cannot follow it yet"]);
    assert!(!said.out.contains("plan/unusual-torque"), "{}", said.out);
    // nobody can confirm what no bolt bears
    let confirmed = text.replace(
        &format!("kind = \"{kind}\"\n"),
        &format!("kind = \"{kind}\"\nsettled = {{ by = \"Mara\", reason = \"sure\" }}\n"),
    );
    check_text(&confirmed, &[]).status(1);
}

#[test]
fn eighty_at_the_seat_clamp_cannot_be_right() {
    a_slipped_point_is_found("seat-clamp", "8", "80");
}

#[test]
fn forty_at_the_headset_cap_cannot_be_right() {
    a_slipped_point_is_found("headset-cap", "4", "40");
}

#[test]
fn a_hundred_and_thirty_at_the_crank_cannot_be_right() {
    a_slipped_point_is_found("crank-pinch", "13", "130");
}

#[test]
fn a_torque_that_is_only_unusual_can_be_confirmed() {
    let text = COMMON_PRACTICE.replace("\"4 N·m\"", "\"9 N·m\"");
    check_text(&text, &[]).status(1).says(&[
        "plan.toml:49:8",
        "plan/unusual-torque",
        "settled = {",
    ]);
    let confirmed = text.replace(
        "kind = \"headset-cap\"\n",
        "kind = \"headset-cap\"\nsettled = { by = \"Mara\", reason = \"the leaflet says so, asked by telephone\" }\n",
    );
    check_text(&confirmed, &[])
        .ok()
        .says(&["0 warnings, 1 notes", "plan/unusual-torque"]);
}

#[test]
fn a_plan_is_compared_with_the_tools_at_hand() {
    let home = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| fs::write(home.path().join(name), text).unwrap();
    write("plan.toml", COMMON_PRACTICE);
    write("w1.toml", &WRENCH.replace("25 N·m", "10 N·m"));
    write("w2.toml", &WRENCH.replace("\"2 N·m\"", "\"10 N·m\""));
    let checked = |tools: &[&str]| {
        let mut command = Command::pullmark(home.path())
            .current_dir(home.path())
            .args(["plan", "check", "plan.toml"]);
        for tool in tools {
            command = command.args(["--tool", tool]);
        }
        command.run()
    };
    let small = checked(&["w1.toml"]);
    small.status(1).says(&[
        "plan/outside-tool-range",
        "\"crank.front\" wants 13.0 N·m",
        "w1 has 2.0 N·m to 10.0 N·m",
    ]);
    let large = checked(&["w2.toml"]);
    large.status(1).says(&[
        "plan/unreachable-pass",
        "pass 1 at 50 % wants 6.5 N·m",
        "\"seat.clamp\" wants 8.0 N·m",
    ]);
    checked(&["w1.toml", "w2.toml"]).ok();
    write("bad.toml", "id = 5");
    checked(&["bad.toml"])
        .status(2)
        .says(&["bad.toml", "cannot be read"]);
    checked(&["none.toml"]).status(2).says(&["none.toml"]);
}

#[test]
fn a_plan_is_shown_with_rule_kind_adapter_and_note() {
    let home = tempfile::tempdir().unwrap();
    let plan = home.path().join("plan.toml");
    fs::write(&plan, COMMON_PRACTICE).unwrap();
    let plan = plan.to_str().unwrap();
    golden::compare(
        "plan-show-practice",
        &pullmark(home.path(), ["plan", "show", plan]).ok().out,
    );
    let shown = pullmark(home.path(), ["plan", "show", plan, "--json"])
        .ok()
        .json();
    let clamp = &shown["stages"][2]["fasteners"][0];
    assert_eq!(clamp["rule"], "guarded-upper");
    assert_eq!(clamp["kind"], "seat-clamp");
    assert_eq!(clamp["adapter"]["title"], "straight extension, 100 mm");
    assert_eq!(shown["stages"][0]["fasteners"][0]["rule"], "simple");
    assert_eq!(
        shown["stages"][0]["fasteners"][0]["thread"]["engagement_micrometre"],
        9_000
    );
}
