//! Whether the tools at hand can do what a plan wants.

use super::super::*;
use super::{one, stage};
use crate::tool::Tool;

const CERTIFICATE: &str = "[certificate]\nnumber = \"TM-1\"\nlaboratory = \"Tarn Metrology\"\ndate = \"2026-01-01\"\ndue = \"2027-01-01\"\n";

fn tool(id: &str, range: &str, certificate: &str) -> Tool {
    Tool::read(&format!(
        "id = \"{id}\"\ntitle = \"Wrench\"\nserial = \"K-1\"\n{range}\n{certificate}"
    ))
    .unwrap()
}

fn small(certificate: &str) -> Tool {
    tool(
        "small",
        "lowest = \"2 N·m\"\nhighest = \"10 N·m\"",
        certificate,
    )
}

fn large(certificate: &str) -> Tool {
    tool(
        "large",
        "lowest = \"10 N·m\"\nhighest = \"60 N·m\"",
        certificate,
    )
}

#[track_caller]
fn found(text: &str, tools: &[Tool], expected: &str) {
    let reading = check(text, tools);
    let list: Vec<String> = reading
        .findings
        .iter()
        .map(|f| format!("{:?} {} {}:{}", f.severity, f.code, f.line, f.column).to_lowercase())
        .collect();
    assert_eq!(list.join("\n"), expected, "in\n{text}");
    assert!(
        reading.plan.is_some(),
        "none of it keeps a plan from being built"
    );
}

fn bolt(spec: &str) -> String {
    one(&format!("prep = [\"dry\"]\nspec = {{ {spec} }}"))
}

#[test]
fn a_torque_outside_every_range_is_found() {
    let tools = [small(CERTIFICATE), large(CERTIFICATE)];
    let outside = "warning plan/outside-tool-range 10:8";
    for (spec, expected) in [
        ("target = \"1.9 N·m\"", outside),
        ("target = \"2 N·m\"", ""),
        ("target = \"10 N·m\"", ""),
        ("target = \"60 N·m\"", ""),
        ("target = \"61 N·m\"", outside),
        (
            "upper = \"2 N·m\"",
            "note plan/upper-only 10:8\nwarning plan/outside-tool-range 10:8",
        ),
    ] {
        found(&bolt(spec), &tools, expected);
    }
    found(&bolt("target = \"61 N·m\""), &[], "");
    let unknown = [small(CERTIFICATE), tool("any", "", CERTIFICATE)];
    found(&bolt("target = \"61 N·m\""), &unknown, "");
    let reading = check(&bolt("target = \"61 N·m\""), &tools);
    let what = &reading.findings[0].what;
    for part in [
        "wants 61.0 N·m",
        "small has 2.0 N·m to 10.0 N·m",
        "large has 10.0 N·m to 60.0 N·m",
    ] {
        assert!(what.contains(part), "{what}");
    }
}

#[test]
fn a_pass_below_every_range_is_found() {
    let text = stage("passes = [0.3, 0.6, 1.0]", 3);
    found(
        &text,
        &[small(CERTIFICATE)],
        "warning plan/unreachable-pass 6:10",
    );
    let what = &check(&text, &[small(CERTIFICATE)]).findings[0].what;
    assert!(
        what.contains("pass 1 at 30 % wants 1.5 N·m on \"1\""),
        "{what}"
    );
    found(&stage("passes = [0.4, 1.0]", 3), &[small(CERTIFICATE)], "");
    // where the whole torque is out of reach, that is told and no more
    found(
        &stage("passes = [0.3, 1.0]", 1),
        &[large(CERTIFICATE)],
        "warning plan/outside-tool-range 7:64",
    );
    let tools = [large(CERTIFICATE), small(CERTIFICATE)];
    found(
        &stage("passes = [0.5, 1.0]", 1).replace("\"5 N·m\"", "\"12 N·m\""),
        &tools,
        "",
    );
}

#[test]
fn limits_closer_than_the_tool_can_tell_are_found() {
    let coarse = "warning plan/tool-too-coarse 10:8";
    let (none, some) = ([small("")], [small(CERTIFICATE)]);
    let close = "target = \"5 N·m\", lower = \"4.8 N·m\", upper = \"5.2 N·m\"";
    let wide = "target = \"5 N·m\", lower = \"4.6 N·m\", upper = \"5.4 N·m\"";
    found(&bolt(close), &none, coarse);
    found(&bolt(close), &some, "");
    found(&bolt(wide), &none, "");
    // a tool of the finer class, and one beside that has a certificate
    let finer = tool("f", "lowest = \"2 N·m\"\nhighest = \"20 N·m\"", "");
    found(&bolt(close), std::slice::from_ref(&finer), "");
    found(&bolt(close), &[small(""), small(CERTIFICATE)], "");
    // ISO 6789-1:2017 puts the step at a highest torque above 10 N·m, not at the reading
    let room = "target = \"5 N·m\", lower = \"4.79 N·m\", upper = \"5.21 N·m\"";
    found(&bolt(room), std::slice::from_ref(&finer), "");
    let tight = "target = \"5 N·m\", lower = \"4.81 N·m\", upper = \"5.19 N·m\"";
    found(&bolt(tight), &[finer], coarse);
    // only the guarded limit counts
    let one_sided = "target = \"5 N·m\", lower = \"4.9 N·m\", upper = \"5.5 N·m\"";
    found(&bolt(one_sided), &none, coarse);
    let guarded = bolt(one_sided) + "rule = \"guarded-upper\"\n";
    found(&guarded, &none, "");
    let what = &check(&bolt(close), &none).findings[0].what;
    assert!(
        what.contains("leaves 0.2 N·m around 5.0 N·m") && what.contains("small may be 0.3 N·m off"),
        "{what}"
    );
}
