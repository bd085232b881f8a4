use crate::plan::testing::draft;
use crate::plan::{PlanDraft, locate, read};
use proptest::prelude::*;

/// A plan as a person writes one.
const PLAN: &str = r#"# For the shop at the ferry.
# Ask Ines before you change it.

title = "Ferry tourer"   # the green one
edition = "3"

# The seat comes first: the customer waits.
[[stage]]
id = "seat"
title = "Seat"

# Measured twice in May.
[[stage.fastener]]
id = "seat.clamp"
title = "Seat clamp"
spec = { target = "5 N·m" } # the leaflet says so
prep = [ "dry" ]

  [[stage.fastener]]
  id = "seat.rail"
  title = 'Rail "bolt"'
  prep = ["dry"]
  [stage.fastener.spec]
  upper = "8 N·m"
  # between keys

# kept for the next edition

[[stage.check]]
id = "seat.depth"
title = "Depth"
spec = { lower = "80 mm" }

# who swaps it
[[part]]
id = "post"
title = "Post"
fasteners = ["seat.clamp"]
"#;

fn plan() -> PlanDraft {
    PlanDraft::of_toml(PLAN).unwrap()
}

#[test]
fn what_nobody_touched_stays_as_it_stands() {
    let written = plan().to_toml_over(PLAN);
    assert_eq!(written.comments_lost, 0, "{}", written.text);
    let blank = |text: &str| {
        text.lines()
            .filter(|line| !line.trim().is_empty())
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(blank(&written.text), blank(PLAN));
}

#[test]
fn a_change_takes_the_comments_inside_what_changed_and_no_others() {
    let mut changed = plan();
    changed.stage[0].fastener[0].drive = Some("hex 4".to_owned());
    let written = changed.to_toml_over(PLAN);
    assert_eq!(PlanDraft::of_toml(&written.text).unwrap(), changed);
    assert_eq!(written.comments_lost, 1);
    assert!(!written.text.contains("the leaflet says so"));
    for kept in [
        "# Ask Ines",
        "# the green one",
        "# The seat comes first",
        "# Measured twice",
        "# between keys",
        "# kept for",
        "# who swaps it",
    ] {
        assert!(written.text.contains(kept), "{kept}:\n{}", written.text);
    }
    assert!(
        written
            .text
            .contains("# Measured twice in May.\n[[stage.fastener]]\nid = \"seat.clamp\"")
    );
}

#[test]
fn what_moves_takes_its_comment_along_and_what_goes_takes_it_away() {
    let mut changed = plan();
    changed.stage[0].fastener.reverse();
    changed.part.clear();
    let written = changed.to_toml_over(PLAN);
    assert_eq!(PlanDraft::of_toml(&written.text).unwrap(), changed);
    assert_eq!(written.comments_lost, 1, "{}", written.text);
    let at = |text: &str| written.text.find(text).unwrap();
    assert!(at("seat.rail") < at("# Measured twice") && at("# Measured twice") < at("seat.clamp"));
}

#[test]
fn a_text_that_is_cut_wrongly_is_written_plainly() {
    // A header inside a text: the pieces say something else than the whole.
    let tricky = "title = \"\"\"\n[[stage]]\nid = \"x\"\n\"\"\"\nedition = \"1\"\n[[stage]]\nid = \"s\"\ntitle = \"S\"\nfastener = [{ id = \"a\", title = \"A\" }]\n";
    let draft = PlanDraft::of_toml(tricky).unwrap();
    let written = draft.to_toml_over(tricky);
    assert_eq!(PlanDraft::of_toml(&written.text).unwrap(), draft);
}

#[test]
fn a_finding_leads_to_the_member_it_speaks_of() {
    let text = "title = \"t\"\nedition = \"1\"\ntolerance = \"much\"\n[[stage]]\nid = \"A\"\ntitle = \"A\"\npasses = [0.5]\n\
        [[stage.fastener]]\nid = \"a.b\"\ntitle = \"B\"\nkind = \"No\"\nnote = \"\"\njoint = \"carbon\"\nat = \"moon\"\nspec = { target = \"5 mm\" }\nsources = [{ where = \"x\", upper = \"1 N·m\" }, { where = \"y\", upper = \"9 kPa\" }]\n\
        [[stage.check]]\nid = \"c\"\ntitle = \"C\"\nspec = { lower = \"5 mm\" }\nreadings = 99\nformula = \"nothing\"\n\
        [[stage]]\nid = \"empty\"\ntitle = \"E\"\n\
        [[part]]\nid = \"p\"\ntitle = \"P\"\nfasteners = [\"a.b\", \"gone\"]\n";
    let findings = read(text).findings;
    let places = locate(text, &findings);
    let found: Vec<(String, String)> = findings
        .iter()
        .zip(&places)
        .map(|(finding, place)| (finding.code.to_string(), place.clone().unwrap()))
        .collect();
    let all = [
        ("plan/bad-tolerance", "tolerance"),
        ("plan/bad-id", "stage.0.id"),
        ("plan/bad-passes", "stage.0.passes"),
        ("plan/no-prep", "stage.0.fastener.0"),
        ("plan/bad-kind", "stage.0.fastener.0.kind"),
        ("plan/bad-note", "stage.0.fastener.0.note"),
        ("plan/carbon-without-paste", "stage.0.fastener.0.joint"),
        ("plan/unknown-place", "stage.0.fastener.0.at"),
        ("plan/not-a-torque", "stage.0.fastener.0.spec"),
        ("plan/upper-only", "stage.0.fastener.0.spec"),
        ("plan/not-a-torque", "stage.0.fastener.0.sources.1"),
        ("plan/bad-readings", "stage.0.check.0.readings"),
        ("plan/bad-formula", "stage.0.check.0.formula"),
        ("plan/empty", "stage.1"),
        ("plan/unknown-fastener", "part.0.fasteners.1"),
    ];
    let found: Vec<(&str, &str)> = found
        .iter()
        .map(|(code, at)| (code.as_str(), at.as_str()))
        .collect();
    assert_eq!(found, all);
    assert_eq!(locate("title = ", &read("title = ").findings), [None]);
}

/// A member of the plan file that a draft did not know would be lost when the plan is saved.
#[test]
fn a_draft_has_the_members_of_the_plan_file_and_no_others() {
    let members = |schema: schemars::Schema| {
        let value = schema.to_value();
        let of = |value: &serde_json::Value| {
            let members = value["properties"].as_object().cloned().unwrap_or_default();
            members.keys().cloned().collect::<Vec<String>>()
        };
        let defined = value["$defs"].as_object().unwrap().iter();
        let defined = defined.map(|(name, of_it)| (name.replace("Draft", "File"), of(of_it)));
        let defined: std::collections::BTreeMap<_, _> = defined.collect();
        (of(&value), defined)
    };
    assert_eq!(
        members(schemars::schema_for!(PlanDraft)),
        members(schemars::schema_for!(crate::plan::PlanFile))
    );
}

proptest! {
    /// Draft → text → draft is the same draft; and a plan is the same plan, but for the hash of its bytes.
    #[test]
    fn what_is_written_is_read_again(draft in draft()) {
        let text = draft.to_toml();
        let again = PlanDraft::of_toml(&text);
        prop_assert_eq!(again.as_ref(), Some(&draft), "{}", text);
        prop_assert_eq!(draft.to_toml_over(&text).text, text.clone());
        let over = draft.to_toml_over(PLAN).text;
        prop_assert_eq!(PlanDraft::of_toml(&over), Some(draft.clone()));
        if let (Some(one), Some(other)) = (read(&text).plan, read(&over).plan) {
            prop_assert_eq!(crate::plan::Plan { sha256: one.sha256, ..other }, one);
        }
    }

    #[test]
    fn every_finding_of_a_draft_has_a_place(draft in draft()) {
        let text = draft.to_toml();
        let findings = read(&text).findings;
        for (finding, place) in findings.iter().zip(locate(&text, &findings)) {
            prop_assert!(place.is_some(), "{finding}\n{text}");
        }
    }
}
