//! Checks in a plan: limits, formulas, and every finding with its place and advice.

use super::*;
use crate::check::{CheckLimits, Formula, SmallUnit};
use crate::verdict::Rule;
use proptest::prelude::*;

/// A plan with one check whose table is `body`. The check begins on line 6, its body on line 9.
fn one(body: &str) -> String {
    format!(
        "title = \"Ford tourer\"\nedition = \"2\"\n[[stage]]\nid = \"s\"\ntitle = \"Seat\"\n[[stage.check]]\nid = \"c\"\ntitle = \"Depth\"\n{body}\n"
    )
}

fn planned(body: &str) -> crate::check::Check {
    let reading = read(&one(body));
    let plan = reading
        .plan
        .unwrap_or_else(|| panic!("{:?}", reading.findings));
    plan.checks().next().unwrap().1.clone()
}

fn limits(body: &str) -> (Option<i64>, Option<i64>, Option<i64>) {
    let CheckLimits {
        lower,
        target,
        upper,
        ..
    } = planned(body).spec.limits;
    (lower, target, upper)
}

#[test]
fn the_quantity_follows_from_the_unit_and_one_limit_is_enough() {
    for (body, unit, expected) in [
        (
            "spec = { lower = \"70 mm\" }",
            SmallUnit::Micrometre,
            (Some(70_000), None, None),
        ),
        (
            "spec = { target = \"85 psi\", lower = \"80 psi\", upper = \"90 psi\" }",
            SmallUnit::Pascal,
            // 551 580.58, 586 054.37 and 620 528.16 Pa: down, to the nearest, up
            (Some(551_580), Some(586_054), Some(620_529)),
        ),
        (
            "spec = { target = \"1000 N\" }",
            SmallUnit::Millinewton,
            (Some(900_000), Some(1_000_000), Some(1_100_000)),
        ),
        (
            "spec = { upper = \"8.2 kg\" }",
            SmallUnit::Milligram,
            (None, None, Some(8_200_000)),
        ),
        (
            "spec = { lower = \"15 °C\", upper = \"25 °C\" }",
            SmallUnit::Millikelvin,
            (Some(288_150), None, Some(298_150)),
        ),
    ] {
        assert_eq!(planned(body).unit(), unit, "{body}");
        assert_eq!(limits(body), expected, "{body}");
    }
    let check = planned("spec = { target = \"1000 N\" }");
    assert_eq!(check.spec.tolerance_percent, Some(10));
    assert_eq!((check.rule, check.readings), (Rule::Simple, 1));
}

#[test]
fn the_lowest_upper_limit_of_all_sources_wins() {
    let body = "spec = { target = \"6 bar\" }\nsources = [{ where = \"tyre wall\", upper = \"6.5 bar\", lower = \"4 bar\" }, { where = \"rim\", upper = \"90 psi\" }, { where = \"rider\", lower = \"5 bar\" }]";
    // 90 psi is 6.205 bar
    assert_eq!(limits(body), (Some(500_000), Some(600_000), Some(620_529)));
    let spec = planned(body).spec;
    assert_eq!(spec.sources.len(), 4);
    assert_eq!(spec.tolerance_percent, None, "limits are stated");
}

#[test]
fn every_finding_has_its_place_and_a_way_out() {
    for (body, expected) in [
        ("", "error plan/no-limits 7:6"),
        ("spec = {}", "error plan/no-limits 9:8"),
        ("spec = { target = \"21 °C\" }", "error plan/no-limits 9:8"),
        ("spec = { lower = \"70\" }", "error plan/not-a-value 9:8"),
        (
            "spec = { lower = \"70 furlongs\" }",
            "error plan/not-a-value 9:8",
        ),
        ("spec = { upper = \"5 N·m\" }", "error plan/not-a-value 9:8"),
        (
            "spec = { lower = \"70 mm\", upper = \"6 bar\" }",
            "error plan/mixed-quantities 9:8",
        ),
        (
            "spec = { lower = \"70 mm\" }\nsources = [{ where = \"leaflet\", upper = \"5 N·m\" }]",
            "error plan/mixed-quantities 9:8",
        ),
        (
            "spec = { lower = \"70 mm\" }\nsources = [{ where = \"mark\", upper = \"60 mm\" }]",
            "error plan/conflicting-sources 9:8",
        ),
        (
            "spec = { lower = \"-1 bar\" }",
            "error plan/out-of-range 9:8",
        ),
        (
            "spec = { upper = \"99999999999 kg\" }",
            "error plan/out-of-range 9:8",
        ),
        (
            "spec = { lower = \"70 mm\" }\nreadings = 0",
            "error plan/bad-readings 10:12",
        ),
        (
            "spec = { lower = \"70 mm\" }\nreadings = 65",
            "error plan/bad-readings 10:12",
        ),
        (
            "spec = { lower = \"70 mm\" }\nat = \"moon\"",
            "warning plan/unknown-place 10:6",
        ),
        (
            "spec = { lower = \"70 mm\" }\nnote = \" \"",
            "error plan/bad-note 10:8",
        ),
        (
            "spec = { upper = \"2 mm\" }\nformula = \"nobody\"",
            "error plan/bad-formula 10:11",
        ),
        (
            "spec = { upper = \"2 mm\" }\nformula = \"c\"",
            "error plan/bad-formula 10:11",
        ),
        (
            "spec = { upper = \"2 mm\" }\ntorque = \"5 N·m\"",
            "error plan/not-readable 10:1",
        ),
    ] {
        check(&one(body), expected);
    }
    for finding in read(&one("spec = { lower = \"70 mm\", upper = \"6 bar\" }")).findings {
        assert!(finding.what.contains("is a length") && finding.what.contains("is a pressure"));
        assert!(finding.advice.contains("two checks"));
    }
}

#[test]
fn sources_that_disagree_are_settled_by_a_person() {
    let body = "spec = { lower = \"70 mm\" }\nsources = [{ where = \"mark\", upper = \"60 mm\" }]\nsettled = { by = \"R. Aalto\", reason = \"the mark is for another frame\", lower = \"70 mm\" }";
    assert_eq!(limits(body), (Some(70_000), None, None));
    let spec = planned(body).spec;
    assert_eq!(spec.settled.unwrap().by, "R. Aalto");
    assert_eq!(spec.sources.len(), 3, "what was overruled stays listed");
}

/// Spokes of two sides, and what is computed from them.
fn wheels(formula: &str, spec: &str) -> String {
    format!(
        "title = \"t\"\nedition = \"1\"\n[[stage]]\nid = \"w\"\ntitle = \"W\"\ncheck = [\n{{ id = \"even\", title = \"Even\", formula = \"{formula}\", spec = {spec} }},\n{{ id = \"left\", title = \"Left\", readings = 2, spec = {{ target = \"900 N\" }} }},\n{{ id = \"right-side\", title = \"Right\", spec = {{ target = \"1000 N\" }} }},\n{{ id = \"width\", title = \"Width\", spec = {{ upper = \"30 mm\" }} }},\n{{ id = \"room\", title = \"Room\", spec = {{ upper = \"25 °C\" }} }},\n]\n"
    )
}

#[test]
fn a_formula_names_checks_that_may_come_later() {
    let plan = read(&wheels(
        "spread(left) - right-side",
        "{ upper = \"150 N\" }",
    ));
    let plan = plan.plan.unwrap();
    let (_, check) = plan.check("even").unwrap();
    let formula: &Formula = check.formula.as_ref().unwrap();
    assert_eq!(formula.text, "spread({left}) - {right-side}");
    assert!(check.is_derived() && !check.can_harm());
    for (formula, spec, says) in [
        (
            "left - right-side",
            "{ upper = \"150 N\" }",
            "several readings",
        ),
        ("mean(left) - width", "{ upper = \"150 N\" }", "is a length"),
        ("mean(left)", "{ upper = \"150 mm\" }", "is a force"),
        (
            "mean(left) + 5",
            "{ upper = \"150 N\" }",
            "twice the result",
        ),
        ("even", "{ upper = \"150 N\" }", "computed itself"),
        ("log(left)", "{ upper = \"150 N\" }", "no function"),
        ("spread(room)", "{ upper = \"2 °C\" }", "in degrees"),
    ] {
        let found = read(&wheels(formula, spec)).findings;
        assert_eq!(found.len(), 1, "{formula}: {found:?}");
        assert_eq!(found[0].code, PlanCode::BadFormula, "{formula}");
        assert!(found[0].what.contains(says), "{formula}: {}", found[0].what);
        assert_eq!(found[0].line, 7);
    }
    assert!(
        read(&wheels("spread(room)", "{ upper = \"2 K\" }"))
            .plan
            .is_some()
    );
    let several = one("spec = { upper = \"2 mm\" }\nreadings = 3\nformula = \"c\"");
    assert!(found(&several).contains("plan/bad-readings"));
}

#[test]
fn ids_are_unique_among_fasteners_and_checks() {
    let text = format!(
        "title = \"t\"\nedition = \"1\"\n[[stage]]\nid = \"s\"\ntitle = \"S\"\nfastener = [{}]\ncheck = [{{ id = \"f\", title = \"F\", spec = {{ upper = \"2 mm\" }} }}]\n",
        bolt("f")
    );
    check(&text, "error plan/duplicate-id 7:17");
}

#[test]
fn a_stage_may_have_checks_alone_or_fasteners_alone_or_nothing() {
    assert!(read(&one("spec = { lower = \"70 mm\" }")).plan.is_some());
    check(
        "title = \"t\"\nedition = \"1\"\n[[stage]]\nid = \"s\"\ntitle = \"S\"\n",
        "error plan/empty 3:1",
    );
}

#[test]
fn a_tool_has_to_reach_a_check_and_tell_its_limits_apart() {
    let tool = |more: &str| {
        let text = format!(
            "id = \"m\"\ntitle = \"Calliper\"\nserial = \"1\"\nquantity = \"length\"\n{more}"
        );
        crate::tool::Tool::read(&text).unwrap()
    };
    let text = one("spec = { lower = \"70 mm\", upper = \"71 mm\" }");
    let codes = |more: &str| -> Vec<PlanCode> {
        let found = super::super::check(&text, &[tool(more)]).findings;
        found.into_iter().map(|finding| finding.code).collect()
    };
    assert_eq!(codes("accuracy = \"0.03 mm\""), []);
    assert_eq!(codes("highest = \"60 mm\""), [PlanCode::OutsideToolRange]);
    assert_eq!(codes("accuracy = \"1 mm\""), [PlanCode::ToolTooCoarse]);
    assert_eq!(codes(""), [], "nothing is stated of it");
}

#[test]
fn a_plan_without_checks_is_written_as_before() {
    let plan = read(&super::one(
        "prep = [\"dry\"]\nspec = { target = \"5 N·m\" }",
    ));
    let json = serde_json::to_value(plan.plan.unwrap()).unwrap();
    assert!(json["stages"][0].get("checks").is_none());
}

proptest! {
    /// Any figures in any units: a plan whose limits hold together, or a finding; never a panic.
    #[test]
    fn any_figures_give_limits_or_a_finding(
        figures in prop::collection::vec((0_usize..3, -200_i32..20_000, 0_usize..9), 0..6),
        readings in any::<u16>(),
        formula in prop::option::of("[a-c +*()/{}-]{0,12}"),
    ) {
        let units = ["mm", "in", "bar", "psi", "N", "kg", "°C", "°F", "N·m"];
        let roles = ["target", "lower", "upper"];
        let sources: Vec<String> = figures
            .iter()
            .enumerate()
            .map(|(number, (role, value, unit))| format!(
                "{{ where = \"place {number}\", {} = \"{}.{} {}\" }}",
                roles[*role], value / 10, (value % 10).abs(), units[*unit]
            ))
            .collect();
        let formula = formula.map(|formula| format!("formula = \"{formula}\"\n")).unwrap_or_default();
        let text = one(&format!("sources = [{}]\nreadings = {readings}\n{formula}", sources.join(", ")));
        let reading = read(&text);
        if let Some(plan) = &reading.plan {
            let (_, check) = plan.check("c").unwrap();
            let limits = check.spec.limits;
            prop_assert!(limits.lower.is_some() || limits.upper.is_some());
            if let (Some(lower), Some(upper)) = (limits.lower, limits.upper) {
                prop_assert!(lower <= upper);
            }
            prop_assert!(limits.target.is_none_or(|target| limits.upper.is_none_or(|upper| target <= upper + 1)));
            let pinned = read_pinned(&text).plan;
            prop_assert_eq!(reading.plan.as_ref(), pinned.as_ref());
        } else {
            prop_assert!(reading.findings.iter().any(|finding| finding.severity == Severity::Error));
        }
    }
}
