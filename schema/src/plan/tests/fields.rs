//! Rule, kind, note, adapter and thread of a fastener.

use super::super::*;
use super::{check, one};
use crate::map::FrameKind;
use crate::quantity::Length;

/// A fastener with these lines and nothing to be found in the rest of it.
fn with(lines: &str) -> String {
    one(&format!(
        "prep = [\"dry\"]\nspec = {{ target = \"5 N·m\" }}\n{lines}"
    ))
}

#[track_caller]
fn fastener(text: &str) -> Fastener {
    let reading = read(text);
    let plan = reading
        .plan
        .unwrap_or_else(|| panic!("{:?}", reading.findings));
    plan.fastener("f").unwrap().1.clone()
}

#[test]
fn the_rule_is_the_fasteners_then_the_plans_then_that_of_the_material() {
    let carbon = "joint = \"carbon\"\nprep = [\"paste\"]\nspec = { target = \"5 N·m\" }";
    let metal = "joint = \"metal\"\nprep = [\"dry\"]\nspec = { target = \"5 N·m\" }";
    for (plan, fastener_rule, body, expected) in [
        ("", "", carbon, Rule::GuardedUpper),
        ("", "", metal, Rule::Simple),
        ("", "guarded", metal, Rule::Guarded),
        ("", "simple", carbon, Rule::Simple),
        ("simple", "", carbon, Rule::Simple),
        ("guarded", "", carbon, Rule::Guarded),
        ("guarded", "guarded-upper", metal, Rule::GuardedUpper),
    ] {
        let line = |rule: &str| {
            if rule.is_empty() {
                String::new()
            } else {
                format!("rule = \"{rule}\"\n")
            }
        };
        let text = line(plan) + &one(&(line(fastener_rule) + body));
        assert_eq!(fastener(&text).rule, expected, "{text}");
    }
    assert_eq!(
        fastener(&with("")).rule,
        Rule::Simple,
        "without a joint too"
    );
}

#[test]
fn what_is_said_of_a_fastener_is_kept() {
    let text = with(
        "kind = \"stem-faceplate\"\nnote = \"a gap of 1 mm each side\"\n\
         adapter = { title = \"crow-foot\", length = \"1.25 in\", angle = 45 }\n\
         thread = { size = \"M5\", property_class = \"8.8\", engages = \"brass\", engagement = \"8 mm\", friction = [0.1, 0.16] }",
    );
    let found = fastener(&text);
    assert_eq!(found.kind.as_deref(), Some("stem-faceplate"));
    assert_eq!(found.note.as_deref(), Some("a gap of 1 mm each side"));
    assert_eq!(
        found.adapter,
        Some(Adapter {
            title: "crow-foot".to_owned(),
            length: Some(Length::from_small_units(31_750)),
            angle_degrees: 45
        })
    );
    assert_eq!(
        found.thread,
        Some(Thread {
            size: "M5".to_owned(),
            property_class: Some("8.8".to_owned()),
            engages: Some(Engaged::Brass),
            engagement: Some(Length::from_small_units(8_000)),
            friction: Friction::new(100, 160),
        })
    );
    let plan = read(&text).plan.unwrap();
    let json = serde_json::to_string(&plan).unwrap();
    assert_eq!(serde_json::from_str::<Plan>(&json).unwrap(), plan);
}

#[test]
fn a_straight_extension_has_no_length() {
    let adapter = fastener(&with("adapter = { title = \"extension, 100 mm\" }")).adapter;
    let adapter = adapter.unwrap();
    assert_eq!((adapter.length, adapter.angle_degrees), (None, 0));
    assert!(adapter.keeps_the_torque());
}

#[test]
fn what_cannot_be_is_told_with_its_place() {
    let long = "x".repeat(241);
    for (line, expected) in [
        ("kind = \"Seat clamp\"", "error plan/bad-kind 11:8"),
        ("kind = \"seat--clamp\"", "error plan/bad-kind 11:8"),
        ("kind = \"-\"", "error plan/bad-kind 11:8"),
        ("kind = \"\"", "error plan/bad-kind 11:8"),
        ("kind = \"6-small-bolts\"", ""),
        ("note = \" \"", "error plan/bad-note 11:8"),
        ("note = \"a\\nb\"", "error plan/bad-note 11:8"),
        (
            format!("note = \"{long}\"").as_str(),
            "error plan/bad-note 11:8",
        ),
        ("adapter = { title = \"\" }", "error plan/bad-adapter 11:11"),
        (
            "adapter = { title = \"a\", length = \"30 N\" }",
            "error plan/bad-adapter 11:11",
        ),
        (
            "adapter = { title = \"a\", length = \"0 mm\" }",
            "error plan/bad-adapter 11:11",
        ),
        (
            "adapter = { title = \"a\", length = \"-30 mm\" }",
            "error plan/bad-adapter 11:11",
        ),
        (
            "adapter = { title = \"a\", length = \"1001 mm\" }",
            "error plan/bad-adapter 11:11",
        ),
        (
            "adapter = { title = \"a\", length = \"30 mm\", angle = 181 }",
            "error plan/bad-adapter 11:11",
        ),
        (
            "adapter = { title = \"a\", angle = 45 }",
            "error plan/bad-adapter 11:11",
        ),
        (
            "adapter = { title = \"a\", length = \"30 mm\", angle = 45.5 }",
            "error plan/not-readable 11:52",
        ),
        (
            "thread = { size = \"M5\", friction = [0.2] }",
            "error plan/bad-thread 11:10",
        ),
        (
            "thread = { size = \"M5\", friction = [0.2, 0.1] }",
            "error plan/bad-thread 11:10",
        ),
        (
            "thread = { size = \"M5\", friction = [nan, inf] }",
            "error plan/bad-thread 11:10",
        ),
        (
            "thread = { size = \"M5\", engagement = \"201 mm\" }",
            "error plan/bad-thread 11:10",
        ),
        (
            "thread = { size = \"M5\", engagement = \"deep\" }",
            "error plan/bad-thread 11:10",
        ),
        ("rule = \"lenient\"", "error plan/not-readable 11:8"),
    ] {
        check(&with(line), expected);
    }
}

#[test]
fn a_place_is_looked_for_on_the_frame_that_the_plan_names() {
    let frame = |frame: &str, at: &str| {
        let body = with(&format!("at = \"{at}\""));
        format!("frame = \"{frame}\"\n{body}")
    };
    check(&with("at = \"seat-clamp\""), "");
    check(&frame("cargo", "box"), "");
    let reading = read(&frame("tandem", "sadle-stoker"));
    let finding = &reading.findings[0];
    assert_eq!(finding.code, PlanCode::UnknownPlace);
    assert_eq!(finding.severity, Severity::Warning);
    assert!(finding.what.contains("tandem"), "{}", finding.what);
    assert!(
        finding.advice.contains("saddle-stoker"),
        "{}",
        finding.advice
    );
    let plan = reading.plan.unwrap();
    assert_eq!(plan.frame, FrameKind::Tandem);
    assert_eq!(
        plan.fastener("f").unwrap().1.at.as_deref(),
        Some("sadle-stoker")
    );
    assert!(read(&with("at = \"box\"")).findings.len() == 1);
    // A build that pins its plan is told nothing new about it.
    assert!(read_pinned(&with("at = \"box\"")).findings.is_empty());
    assert!(read(&frame("unicycle", "saddle")).plan.is_none());
}
