//! Titles: what is missing, and what tells nothing apart.

use super::super::*;

fn plan(title: &str, edition: &str, first: &str, second: &str, more: &str) -> String {
    let fastener = |id: &str, title: &str| {
        format!(
            "[[stage.fastener]]\nid = \"{id}\"\ntitle = \"{title}\"\nprep = [\"dry\"]\nspec = {{ target = \"5 N·m\" }}\n"
        )
    };
    format!(
        "title = \"{title}\"\nedition = \"{edition}\"\n[[stage]]\nid = \"s\"\ntitle = \"Stem\"\n{}{}{more}",
        fastener("a", first),
        fastener("b", second)
    )
}

fn found(text: &str) -> Vec<(String, Severity)> {
    let findings = read(text).findings;
    findings
        .iter()
        .map(|finding| (finding.code.to_string(), finding.severity))
        .collect()
}

#[test]
fn a_title_or_an_edition_that_is_missing_is_an_error() {
    assert_eq!(found(&plan("P", "1", "Upper", "Lower", "")), []);
    for text in [
        plan("", "1", "Upper", "Lower", ""),
        plan("P", "1", " ", "Lower", ""),
        plan(
            "P",
            "1",
            "Upper",
            "Lower",
            "[[part]]\nid = \"p\"\ntitle = \"\"\nfasteners = [\"a\"]\n",
        ),
        plan(
            "P",
            "1",
            "Upper",
            "Lower",
            "[[due]]\nid = \"d\"\ntitle = \"\"\ndays = 30\n",
        ),
    ] {
        let expected = ("plan/no-title".to_owned(), Severity::Error);
        assert_eq!(found(&text), [expected], "{text}");
    }
    let expected = ("plan/no-edition".to_owned(), Severity::Error);
    assert_eq!(found(&plan("P", " ", "Upper", "Lower", "")), [expected]);
}

#[test]
fn a_build_keeps_a_plan_whose_titles_are_missing() {
    let text = plan("", "", "", "", "");
    assert!(read(&text).plan.is_none());
    assert!(read_pinned(&text).plan.is_some());
    assert_eq!(read_pinned(&text).findings.len(), 0);
}

#[test]
fn two_with_one_title_in_a_stage_are_to_be_looked_at() {
    let text = plan("P", "1", "Clamp", "Clamp ", "");
    let expected = ("plan/same-title".to_owned(), Severity::Warning);
    assert_eq!(found(&text), [expected]);
    let elsewhere = "[[stage]]\nid = \"t\"\ntitle = \"Seat\"\n[[stage.check]]\nid = \"c\"\ntitle = \"Upper\"\nspec = { lower = \"70 mm\" }\n";
    assert_eq!(found(&plan("P", "1", "Upper", "Lower", elsewhere)), []);
}

#[test]
fn a_thread_that_is_none_is_to_be_looked_at() {
    let with = |size: &str| {
        let text = plan("P", "1", "Upper", "Lower", "");
        let line = format!("title = \"Upper\"\nthread = {{ size = \"{size}\" }}\n");
        found(&text.replacen("title = \"Upper\"\n", &line, 1))
    };
    let expected = ("plan/bad-thread".to_owned(), Severity::Warning);
    for none in ["M99x", "Mx", "M5 0.8", "M99x120", "none"] {
        assert_eq!(with(none), std::slice::from_ref(&expected), "{none}");
    }
    for thread in [
        "M5",
        "M5x0.8",
        "M24x1",
        "M6-6g",
        "1/2-20 UNF",
        "BC 1.37 in x 24",
    ] {
        assert_eq!(with(thread), [], "{thread}");
    }
}
