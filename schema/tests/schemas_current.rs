//! The schemas that are kept are the ones that the types give; `UPDATE=1` writes them anew. And the page about the
//! plan file names every key and every finding that there is.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::map::{FrameKind, PLACES};
use pullmark_schema::practice::RANGES;
use pullmark_schema::quantity::Torque;
use pullmark_schema::schemas::{BASE, all};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("json")
}

#[test]
fn the_kept_schemas_are_current() {
    for (file, schema) in all() {
        let path = folder().join(file);
        let text = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        if std::env::var_os("UPDATE").is_some() {
            fs::write(&path, text).unwrap();
        } else {
            let kept = fs::read_to_string(&path).unwrap_or_default();
            assert!(
                kept == text,
                "{file} is not current: run the test once with UPDATE=1 and look at what changed"
            );
        }
    }
    let kept: BTreeSet<String> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    let expected: BTreeSet<String> = all().into_iter().map(|(file, _)| file.to_owned()).collect();
    assert_eq!(kept, expected, "nothing else lies there");
}

#[test]
fn each_is_a_schema_with_a_name_of_its_own() {
    for (file, schema) in all() {
        jsonschema::draft202012::meta::validate(&schema)
            .unwrap_or_else(|error| panic!("{file}: {error}"));
        assert_eq!(
            schema["$schema"], "https://json-schema.org/draft/2020-12/schema",
            "{file}"
        );
        assert_eq!(schema["$id"], format!("{BASE}{file}"));
        assert!(
            schema["title"]
                .as_str()
                .is_some_and(|title| !title.is_empty()),
            "{file}"
        );
        assert!(schema["description"].is_string(), "{file}");
    }
}

fn schema(name: &str) -> Value {
    all().into_iter().find(|(file, _)| *file == name).unwrap().1
}

fn page() -> String {
    fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/plan-file.md")).unwrap()
}

#[test]
fn the_page_about_the_plan_file_names_every_finding() {
    let problem = schema("problem.schema.json");
    let codes: Vec<&str> = problem["$defs"]["PlanCode"]["oneOf"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c["const"].as_str().unwrap())
        .collect();
    assert!(
        codes.contains(&"conflicting-sources") && codes.len() >= 14,
        "{codes:?}"
    );
    for code in codes {
        assert!(
            page().contains(&format!("`plan/{code}`")),
            "plan/{code} is not on the page"
        );
    }
}

#[test]
fn the_page_about_the_plan_file_names_every_kind_with_its_range() {
    let number = |torque: Torque| {
        let text = torque.to_string();
        text.trim_end_matches(" N·m")
            .trim_end_matches(".0")
            .to_owned()
    };
    for range in &RANGES {
        let (low, high) = (number(range.low), number(range.high));
        let told = if low == high {
            low
        } else {
            format!("{low} to {high}")
        };
        let cells = format!("| `{}` | {told} |", range.kind);
        assert!(page().contains(&cells), "{cells} is not on the page");
    }
}

#[test]
fn the_page_about_the_plan_file_names_every_key_and_value() {
    let plan = schema("plan-file.schema.json");
    let tables = plan["$defs"].as_object().unwrap().values().chain([&plan]);
    let mut names = BTreeSet::new();
    for table in tables {
        names.extend(
            table["properties"]
                .as_object()
                .into_iter()
                .flat_map(|keys| keys.keys().map(String::as_str)),
        );
        names.extend(
            table["oneOf"]
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(|value| value["const"].as_str()),
        );
    }
    assert!(
        names.contains("second_look") && names.contains("alternate") && names.contains("where"),
        "{names:?}"
    );
    for name in names {
        assert!(
            page().contains(&format!("`{name}`")),
            "{name} is not on the page"
        );
    }
}

#[test]
fn the_page_about_the_plan_file_names_every_place_and_the_frames_that_have_it() {
    for place in &PLACES {
        let on: Vec<String> = FrameKind::ALL
            .into_iter()
            .filter(|frame| place.on(*frame).is_some())
            .map(|frame| format!("`{frame}`"))
            .collect();
        let told = match on.len() {
            5 => "all".to_owned(),
            4 if place.on(FrameKind::FourWheel).is_none() => "all but `four-wheel`".to_owned(),
            _ => on.join(", "),
        };
        let row = format!("| `{}` | {} | {told} |", place.name, place.title);
        assert!(page().contains(&row), "{row} is not on the page");
    }
}

#[test]
fn the_examples_on_the_page_are_plans() {
    let page = page();
    let examples: Vec<&str> = page
        .split("```toml\n")
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .filter(|e| e.contains("edition"))
        .collect();
    assert!(!examples.is_empty());
    for example in examples {
        let reading = pullmark_schema::plan::read(example);
        assert!(
            reading.plan.is_some() && reading.findings.is_empty(),
            "{:?}",
            reading.findings
        );
    }
}
