//! What holds for the whole tree of files: no file grows without end, no leftovers, licences that go together, codes
//! and links that lead somewhere.
#![allow(clippy::unwrap_used, clippy::expect_used)]
#![expect(
    clippy::case_sensitive_file_extension_comparisons,
    reason = "names of our own files"
)]

mod golden;

use pullmark_tests::programs::workspace;
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

/// A file has fewer lines than this.
const MOST_LINES: usize = 600;

/// Files and folders that may have more, and why.
const LONG: [(&str, &str); 13] = [
    ("Cargo.lock", "made by cargo"),
    ("tests/fuzz/Cargo.lock", "made by cargo"),
    ("schema/json/", "made from the types"),
    ("tests/vectors/", "published by others"),
    ("daemon/page/words/", "one message after the other"),
    ("daemon/page/vendor/", "published by others"),
    ("tests/plans/", "whole bikes, a fastener after the other"),
    (
        "tests/tests/cli.rs",
        "one case after the other for every verb",
    ),
    (
        "daemon/src/core/acts/tests.rs",
        "one case after the other for every act",
    ),
    (
        "daemon/src/edge/http/tests.rs",
        "one case after the other for every route",
    ),
    (
        "daemon/src/testing.rs",
        "the invented shop that all tests of the crate share",
    ),
    (
        "schema/src/build/tests.rs",
        "one case after the other for every kind of entry",
    ),
    (
        "schema/src/plan/tests.rs",
        "one case after the other for every finding",
    ),
];

/// Words that speak of something else than the project. In pieces, so that this file does not hold them.
const LEFTOVERS: [&str; 12] = [
    concat!("/wo", "rk/"),
    concat!("sha", "red/"),
    concat!("TO", "DO"),
    concat!("FIX", "ME"),
    concat!("XX", "X:"),
    concat!("issue", " #"),
    concat!("this ses", "sion"),
    concat!("last ses", "sion"),
    concat!("previous ses", "sion"),
    concat!("as an A", "I"),
    concat!("language mo", "del"),
    concat!("/ho", "me/"),
];

/// Every file that belongs to the project, also those that are not committed yet.
fn files() -> Vec<String> {
    let list = Command::new("git")
        .args(["ls-files", "--cached", "--others", "--exclude-standard"])
        .current_dir(workspace())
        .output();
    let list = list.expect("git is installed");
    assert!(
        list.status.success(),
        "{}",
        String::from_utf8_lossy(&list.stderr)
    );
    let names = String::from_utf8(list.stdout).expect("the project's file names are UTF-8");
    // A file that was just removed is still in git's index.
    names
        .lines()
        .filter(|name| workspace().join(name).is_file())
        .map(str::to_owned)
        .collect()
}

/// A file's text; nothing for pictures and the like.
fn text(name: &str) -> Option<String> {
    String::from_utf8(std::fs::read(workspace().join(name)).unwrap()).ok()
}

fn sources(folder: &str) -> Vec<String> {
    let is_test = |name: &str| name.contains("/tests") || name.ends_with("/testing.rs");
    let all = files().into_iter();
    all.filter(|name| name.starts_with(folder) && name.ends_with(".rs") && !is_test(name))
        .collect()
}

fn none(what: &str, found: &[String]) {
    assert!(found.is_empty(), "{what}:\n{}", found.join("\n"));
}

#[test]
fn no_file_is_too_long() {
    let mut long = Vec::new();
    for name in files() {
        let lines = text(&name).map_or(0, |text| text.lines().count());
        let is_known = LONG
            .iter()
            .any(|(known, _)| name == *known || (known.ends_with('/') && name.starts_with(known)));
        if lines >= MOST_LINES && !is_known {
            long.push(format!("{name}: {lines} lines"));
        }
    }
    none(
        "files with too many lines: split them, or add them to the list with a reason",
        &long,
    );
}

#[test]
fn nothing_is_left_over() {
    let mut found = Vec::new();
    for name in files()
        .iter()
        .filter(|name| !name.starts_with("tests/vectors/licences/"))
    {
        let Some(text) = text(name) else { continue };
        for (number, line) in (1..).zip(text.lines()) {
            for word in LEFTOVERS.iter().filter(|word| line.contains(*word)) {
                found.push(format!("{name}:{number}: {word}"));
            }
        }
    }
    none("leftovers", &found);
}

#[test]
fn lines_end_as_they_should() {
    let mut wrong = Vec::new();
    for name in files()
        .iter()
        .filter(|name| !name.starts_with("tests/vectors/"))
    {
        let Some(text) = text(name) else { continue };
        if text.contains('\r') {
            wrong.push(format!("{name}: carriage returns"));
        }
        if !text.is_empty() && !text.ends_with('\n') {
            wrong.push(format!("{name}: the last line has no end"));
        }
    }
    none("lines", &wrong);
}

#[test]
fn every_source_says_what_it_is() {
    let folders = [
        "schema/src/",
        "daemon/src/",
        "cli/src/",
        "hardware-sim/src/",
        "tests/src/",
    ];
    let opens = |name: &String| text(name).is_some_and(|text| text.starts_with("//!"));
    let silent: Vec<_> = folders
        .iter()
        .flat_map(|folder| sources(folder))
        .filter(|name| !opens(name))
        .collect();
    none("files that do not open with //!", &silent);
}

#[test]
fn links_between_pages_lead_somewhere() {
    let mut broken = Vec::new();
    for name in files().iter().filter(|name| name.ends_with(".md")) {
        let folder = workspace().join(name).parent().unwrap().to_owned();
        for link in text(name).unwrap().split("](").skip(1) {
            let target = link.split([')', '#', ' ']).next().unwrap_or_default();
            if !target.is_empty() && !target.contains("://") && !folder.join(target).exists() {
                broken.push(format!("{name}: {target}"));
            }
        }
    }
    none("links that lead nowhere", &broken);
}

/// Whether an SPDX expression can be met with the allowed licences. `/` is what older packages write for `OR`.
fn is_allowed(expression: &str, allowed: &BTreeSet<String>) -> bool {
    let spaced = expression
        .replace('/', " OR ")
        .replace('(', " ( ")
        .replace(')', " ) ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut rest = words.as_slice();
    let holds = any_of(&mut rest, allowed);
    assert!(rest.is_empty(), "{expression:?} is no expression");
    holds
}

fn any_of(rest: &mut &[&str], allowed: &BTreeSet<String>) -> bool {
    let mut holds = all_of(rest, allowed);
    while let Some((&"OR", after)) = rest.split_first() {
        *rest = after;
        holds |= all_of(rest, allowed);
    }
    holds
}

fn all_of(rest: &mut &[&str], allowed: &BTreeSet<String>) -> bool {
    let mut holds = one(rest, allowed);
    while let Some((&"AND", after)) = rest.split_first() {
        *rest = after;
        holds &= one(rest, allowed);
    }
    holds
}

fn one(rest: &mut &[&str], allowed: &BTreeSet<String>) -> bool {
    match **rest {
        ["(", ref inside @ ..] => {
            let mut inside = inside;
            let holds = any_of(&mut inside, allowed);
            assert_eq!(inside.first(), Some(&")"), "a bracket is open");
            *rest = &inside[1..];
            holds
        }
        [name, "WITH", exception, ref after @ ..] => {
            *rest = after;
            allowed.contains(&format!("{name} WITH {exception}"))
        }
        [name, ref after @ ..] => {
            *rest = after;
            allowed.contains(name)
        }
        [] => panic!("a licence is missing"),
    }
}

fn allowed() -> BTreeSet<String> {
    let policy: toml::Value = toml::from_str(&text("deny.toml").unwrap()).unwrap();
    let list = policy["licenses"]["allow"].as_array().unwrap();
    list.iter()
        .map(|name| name.as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn licence_expressions_are_understood() {
    let allowed: BTreeSet<String> = ["MIT", "Zlib", "Apache-2.0 WITH LLVM-exception"]
        .map(str::to_owned)
        .into();
    for (expression, holds) in [
        ("MIT", true),
        ("GPL-3.0-only", false),
        ("MIT OR GPL-3.0-only", true),
        ("GPL-3.0-only/MIT", true),
        ("MIT AND GPL-3.0-only", false),
        ("(MIT OR GPL-3.0-only) AND Zlib", true),
        ("(MIT OR Zlib) AND GPL-3.0-only", false),
        ("Apache-2.0 WITH LLVM-exception OR GPL-3.0-only", true),
        ("Apache-2.0", false),
    ] {
        assert_eq!(is_allowed(expression, &allowed), holds, "{expression}");
    }
}

/// What is built on this machine. Packages for other systems are looked at by cargo-deny, which needs a network.
#[test]
fn every_dependency_may_be_used_and_comes_from_the_public_registry() {
    let host = Command::new("rustc")
        .arg("-vV")
        .output()
        .expect("rustc is installed");
    let host = String::from_utf8(host.stdout).unwrap();
    let host = host
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
        .expect("rustc says what it runs on");
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut asked = Command::new(cargo);
    asked.args([
        "metadata",
        "--format-version",
        "1",
        "--offline",
        "--locked",
        "--filter-platform",
        host,
    ]);
    let said = asked.current_dir(workspace()).output().expect("cargo runs");
    assert!(
        said.status.success(),
        "{}",
        String::from_utf8_lossy(&said.stderr)
    );
    let metadata: Value = serde_json::from_slice(&said.stdout).unwrap();
    let allowed = allowed();
    let mut wrong = Vec::new();
    let packages = metadata["packages"].as_array().unwrap();
    for package in packages {
        let name = format!(
            "{} {}",
            package["name"].as_str().unwrap(),
            package["version"].as_str().unwrap()
        );
        match package["license"].as_str() {
            Some(licence) if is_allowed(licence, &allowed) => {}
            licence => wrong.push(format!("{name}: licence {licence:?}")),
        }
        match package["source"].as_str() {
            None | Some("registry+https://github.com/rust-lang/crates.io-index") => {}
            Some(source) => wrong.push(format!("{name}: from {source}")),
        }
    }
    none("dependencies", &wrong);
    assert!(packages.len() > 100, "only {} packages", packages.len());
}

/// Words such as `build/not-known` in the programs' texts. Scripts rely on them, so a new or a lost one shows here.
#[test]
fn the_stable_codes_are_those_on_the_list() {
    let mut codes = BTreeSet::new();
    let nouns = [
        "access", "act", "alarm", "build", "daemon", "device", "due", "entry", "fastener", "http",
        "map", "part", "person", "photo", "plan", "plans", "reading", "record", "tool",
    ];
    for name in ["daemon/src/", "cli/src/", "schema/src/"]
        .iter()
        .flat_map(|folder| sources(folder))
    {
        let text = text(&name).unwrap();
        // What stands below the tests of a file is no text of the program.
        let text = text.split("#[cfg(test)]").next().unwrap();
        for word in text.split('"').skip(1).step_by(2) {
            let is_code = |rest: &str| {
                !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_lowercase() || b == b'-')
            };
            if word
                .split_once('/')
                .is_some_and(|(noun, rest)| nouns.contains(&noun) && is_code(rest))
            {
                codes.insert(word.to_owned());
            }
        }
    }
    let plan = text("schema/src/plan/finding.rs").unwrap();
    let plan = plan
        .split("let word = match self")
        .nth(1)
        .and_then(|rest| rest.split("};").next())
        .expect("the words of plan findings");
    codes.extend(
        plan.split('"')
            .skip(1)
            .step_by(2)
            .map(|word| format!("plan/{word}")),
    );
    let list: Vec<String> = codes.into_iter().collect();
    golden::compare("codes", &list.join("\n"));
}

#[test]
fn every_crate_is_under_the_project_licence_and_forbids_unsafe_code() {
    for name in ["schema", "daemon", "cli", "hardware-sim", "tests"] {
        let manifest = text(&format!("{name}/Cargo.toml")).unwrap();
        assert!(
            manifest.contains("license.workspace = true")
                && manifest.contains("[lints]\nworkspace = true"),
            "{name}"
        );
    }
    for name in ["LICENSE-MIT", "LICENSE-APACHE"] {
        assert!(Path::new(&workspace().join(name)).is_file(), "{name}");
    }
}
