//! Sources that disagree: which figure counts, and what a person has to settle.

use super::super::*;
use super::{check, limits, one};

#[test]
fn of_many_sources_the_closest_limits_count() {
    for (body, expected) in [
        // the lowest upper limit wherever it stands, the highest lower one likewise
        (
            "spec = { upper = \"7 N·m\" }\nsources = [{ where = \"a\", upper = \"6.5 N·m\" }, { where = \"b\", upper = \"6 N·m\" }, { where = \"c\", upper = \"6.2 N·m\" }]",
            "- - 6000",
        ),
        (
            "sources = [{ where = \"a\", lower = \"4 N·m\", upper = \"9 N·m\" }, { where = \"b\", lower = \"5 N·m\" }, { where = \"c\", lower = \"4.5 N·m\", upper = \"8 N·m\" }]",
            "5000 - 8000",
        ),
        // a mark that says only "max" is a limit of its own and takes the stand-in's place, not the lower one's
        (
            "spec = { target = \"5 N·m\" }\nsources = [{ where = \"mark\", upper = \"8 N·m\" }]",
            "4500 5000 8000",
        ),
        (
            "spec = { target = \"5 N·m\" }\nsources = [{ where = \"mark\", upper = \"5 N·m\" }]",
            "4500 5000 5000",
        ),
        // targets that both hold
        (
            "sources = [{ where = \"a\", target = \"5 N·m\" }, { where = \"b\", target = \"5.5 N·m\" }]",
            "4500 5000 5500",
        ),
        // limits that meet in one point
        (
            "sources = [{ where = \"a\", lower = \"6 N·m\" }, { where = \"b\", upper = \"6 N·m\" }]",
            "6000 - 6000",
        ),
        // the same figure in two units is the same limit
        (
            "sources = [{ where = \"a\", lower = \"48 lbf·in\" }, { where = \"b\", upper = \"48 lbf·in\" }]",
            "5423 - 5424",
        ),
    ] {
        assert_eq!(limits(body), expected, "{body}");
    }
}

#[test]
fn what_cannot_hold_together_is_an_error_and_names_both() {
    for (body, one_place, other_place) in [
        (
            "sources = [{ where = \"a\", target = \"5 N·m\" }, { where = \"b\", target = \"5.6 N·m\" }]",
            "b: 5.6 N·m",
            "a: 5 N·m + 10 %",
        ),
        (
            "sources = [{ where = \"a\", target = \"5 N·m\" }, { where = \"b\", target = \"4.4 N·m\" }]",
            "a: 5 N·m - 10 %",
            "b: 4.4 N·m",
        ),
        (
            "sources = [{ where = \"a\", lower = \"6 N·m\" }, { where = \"b\", upper = \"5.9 N·m\" }]",
            "a: 6 N·m",
            "b: 5.9 N·m",
        ),
        (
            "spec = { target = \"5 N·m\" }\nsources = [{ where = \"a\", lower = \"6 N·m\", upper = \"8 N·m\" }]",
            "a: 6 N·m",
            "plan: 5 N·m",
        ),
        (
            "spec = { target = \"8 N·m\" }\nsources = [{ where = \"a\", upper = \"7 N·m\" }, { where = \"b\", upper = \"6 N·m\" }]",
            "plan: 8 N·m",
            "b: 6 N·m",
        ),
    ] {
        let reading = read(&one(&format!("prep = [\"dry\"]\n{body}")));
        assert!(reading.plan.is_none(), "{body}");
        let [finding] = reading.findings.as_slice() else {
            panic!("{:?}", reading.findings);
        };
        assert_eq!(finding.code, PlanCode::ConflictingSources);
        for place in [one_place, other_place] {
            assert!(
                finding.what.contains(place),
                "{place} not in {}",
                finding.what
            );
        }
    }
}

#[test]
fn what_is_settled_stands_alone_even_above_a_mark() {
    let body =
        "spec = { target = \"8 N·m\" }\nsources = [{ where = \"mark\", upper = \"6 N·m\" }]\n";
    for (settled, expected) in [
        ("upper = \"6 N·m\"", "- - 6000"),
        (
            "target = \"8 N·m\", lower = \"7.5 N·m\", upper = \"8.5 N·m\"",
            "7500 8000 8500",
        ),
        ("target = \"6 N·m\", upper = \"6 N·m\"", "5400 6000 6000"),
    ] {
        let text = format!("{body}settled = {{ by = \"R\", reason = \"r\", {settled} }}");
        assert_eq!(limits(&text), expected, "{settled}");
    }
}

#[test]
fn settled_without_a_figure_confirms_and_needs_name_and_reason_all_the_same() {
    let body = "prep = [\"dry\"]\nspec = { target = \"5 N·m\" }\n";
    let confirmed = one(&format!(
        "{body}settled = {{ by = \"R. Aalto\", reason = \"asked\" }}"
    ));
    check(&confirmed, "");
    let plan = read(&confirmed).plan.unwrap();
    let spec = &plan.fastener("f").unwrap().1.spec;
    assert_eq!(spec.limits.target.unwrap().small_units(), 5_000);
    assert_eq!(spec.sources.len(), 1, "nothing was overruled");
    assert_eq!(spec.settled.as_ref().unwrap().by, "R. Aalto");
    for (by, reason) in [("", "asked"), ("R. Aalto", " ")] {
        let text = one(&format!(
            "{body}settled = {{ by = \"{by}\", reason = \"{reason}\" }}"
        ));
        check(&text, "error plan/conflicting-sources 7:6");
    }
    // a figure that cannot be read confirms nothing
    let text = one(&format!(
        "{body}settled = {{ by = \"R\", reason = \"r\", target = \"5 mm\" }}"
    ));
    check(&text, "error plan/not-a-torque 7:6");
}
