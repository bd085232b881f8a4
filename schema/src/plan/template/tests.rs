use super::{Library, TemplateError};
use crate::plan::{Finding, PlanDraft, Severity, read};
use crate::practice::COMMON_PRACTICE;
use proptest::prelude::*;
use std::collections::BTreeSet;

fn library() -> Library {
    Library::built_in().unwrap()
}

fn grave(draft: &PlanDraft) -> Vec<Finding> {
    let findings = read(&draft.to_toml()).findings;
    findings
        .into_iter()
        .filter(|finding| finding.severity > Severity::Note)
        .collect()
}

#[test]
fn every_template_of_the_program_reads_and_every_figure_is_common_practice_and_says_so() {
    let library = library();
    assert!(library.templates.len() >= 20, "{}", library.templates.len());
    for template in &library.templates {
        let stage = &template.stage;
        let sources = stage
            .fastener
            .iter()
            .map(|fastener| (&fastener.spec, &fastener.sources));
        let sources = sources.chain(
            stage
                .check
                .iter()
                .map(|check| (&check.spec, &check.sources)),
        );
        for (spec, sources) in sources {
            assert_eq!(*spec, None, "{}", template.id);
            assert_eq!(sources.len(), 1, "{}", template.id);
            assert_eq!(sources[0].place, COMMON_PRACTICE, "{}", template.id);
        }
        for fastener in &stage.fastener {
            assert!(!fastener.prep.is_empty(), "{}", fastener.id);
            assert!(fastener.drive.is_some(), "{}", fastener.id);
        }
    }
}

#[test]
fn every_kind_of_joint_that_a_bike_has_is_there() {
    let library = library();
    for name in [
        "stem-faceplate",
        "stem-steerer",
        "top-cap",
        "seat-clamp",
        "seat-clamp-carbon",
        "saddle-clamp-pair",
        "calliper-flat",
        "calliper-post",
        "rotor-lockring",
        "rotor-six-front",
        "crank-pinch",
        "crank-bolts",
        "bottom-bracket",
        "chainring",
        "pedals",
        "mech-rear",
        "hanger",
        "shift-levers",
        "brake-levers",
        "brake-levers-carbon",
        "bottle-cage",
        "thru-axle-front",
        "thru-axle-rear",
        "rack",
        "mudguards",
        "headset-locknut",
        "cassette",
        "seat-depth",
        "tyres-road",
    ] {
        library.template(name).unwrap();
    }
    let left_handed: Vec<&str> = library
        .templates
        .iter()
        .flat_map(|template| &template.stage.fastener)
        .filter(|fastener| {
            fastener
                .thread
                .as_ref()
                .is_some_and(|of| of.hand == crate::plan::Hand::Left)
        })
        .map(|fastener| fastener.id.as_str())
        .collect();
    assert_eq!(left_handed, ["bottom-bracket.right", "pedals.left"]);
}

#[test]
fn every_starter_set_makes_a_plan_without_errors_or_warnings() {
    let library = library();
    assert!(library.starters.len() >= 4);
    for starter in &library.starters {
        let draft = library.start(&starter.id).unwrap();
        assert_eq!(grave(&draft), [], "{}", starter.id);
        let plan = read(&draft.to_toml()).plan.unwrap();
        assert!(plan.fasteners().count() >= 15, "{}", starter.id);
        let all = plan.fasteners().count() + plan.checks().count();
        assert_eq!(draft.on_common_practice(), all, "{}", starter.id);
    }
}

#[test]
fn stages_come_in_the_order_of_a_build_whatever_was_chosen_first() {
    let library = library();
    let names = [
        "pedals",
        "stem-faceplate",
        "bottom-bracket",
        "top-cap",
        "stem-steerer",
    ];
    let draft = library
        .extend(PlanDraft::default(), &names.map(str::to_owned))
        .unwrap();
    let stages: Vec<&str> = draft.stage.iter().map(|stage| stage.id.as_str()).collect();
    assert_eq!(
        stages,
        [
            "bottom-bracket",
            "headset",
            "steerer",
            "faceplate",
            "pedals"
        ]
    );
}

#[test]
fn the_same_template_twice_gets_other_ids_and_titles_that_can_be_told_apart() {
    let library = library();
    let twice = [
        "bottle-cage",
        "bottle-cage",
        "stem-faceplate",
        "stem-faceplate",
    ]
    .map(str::to_owned);
    let draft = library.extend(PlanDraft::default(), &twice).unwrap();
    let ids: Vec<&str> = draft.stage.iter().map(|stage| stage.id.as_str()).collect();
    assert_eq!(
        ids,
        ["faceplate", "faceplate-2", "cage"],
        "a pattern is a joint of its own"
    );
    let cage = &draft.stage[2].fastener;
    assert_eq!(cage[2].id, "cage.upper-2");
    assert_eq!(cage[2].title, "Bottle cage, upper bolt (2)");
}

#[test]
fn a_template_of_the_shops_own_stands_beside_the_others_or_takes_the_place_of_one() {
    let mut library = library();
    let before = library.templates.len();
    let own = r#"
[[template]]
id = "lamp"
title = "Front lamp"
group = "Our own"
order = 57
[template.stage]
id = "lamp"
title = "Lamp"
[[template.stage.fastener]]
id = "lamp.bolt"
title = "Lamp bolt"
spec = { upper = "3 N·m" }
sources = [{ where = "shop sheet 12", upper = "3 N·m" }]
[[template]]
id = "rack"
title = "Our rack"
group = "Our own"
order = 54
[template.stage]
id = "rack"
title = "Rack"
[[template.stage.fastener]]
id = "rack.bolt"
title = "Rack bolt"
spec = { target = "5 N·m" }
[[starter]]
id = "rental"
title = "Rental"
templates = ["rack", "lamp", "pedals"]
"#;
    library.add(own).unwrap();
    assert_eq!(library.templates.len(), before + 1);
    assert_eq!(library.template("rack").unwrap().title, "Our rack");
    let lamp = &library.template("lamp").unwrap().stage.fastener[0];
    assert_eq!(lamp.sources[0].place, "shop sheet 12");
    let rack = &library.template("rack").unwrap().stage.fastener[0];
    assert_eq!(
        rack.sources[0].place, COMMON_PRACTICE,
        "no source is no source"
    );
    assert_eq!(grave(&library.start("rental").unwrap()), []);
}

#[test]
fn a_bad_file_of_templates_is_refused_whole_and_says_why() {
    let head = "title = \"A\"\ngroup = \"G\"\norder = 1\n";
    let bolt = "[template.stage]\nid = \"s\"\ntitle = \"S\"\n[[template.stage.fastener]]\nid = \"s.a\"\ntitle = \"A\"\n";
    let sound = format!("[[template]]\nid = \"new\"\n{head}{bolt}spec = {{ upper = \"3 N·m\" }}\n");
    let mut library = library();
    let before = library.clone();
    for (more, says) in [
        ("colour = \"red\"".to_owned(), "unknown field `colour`"),
        (sound.clone(), "the name \"new\" stands twice"),
        (
            format!("[[template]]\nid = \"a b\"\n{head}{bolt}"),
            "the name \"a b\" cannot be used",
        ),
        (
            format!("[[template]]\nid = \"b\"\n{head}{bolt}"),
            "has neither a target nor an upper limit",
        ),
        (
            format!(
                "[[template]]\nid = \"b\"\n{head}[template.stage]\nid = \"s\"\ntitle = \"S\"\n[[template.stage.check]]\nid = \"s.c\"\ntitle = \"C\"\nspec = {{ lower = \"1 mm\" }}\nformula = \"s.a\"\n"
            ),
            "a check with a formula",
        ),
        (
            "[[starter]]\nid = \"x\"\ntitle = \"X\"\ntemplates = [\"none\"]\n".to_owned(),
            "there is no template \"none\"",
        ),
    ] {
        let error = library
            .add(&format!("{sound}\n{more}"))
            .unwrap_err()
            .to_string();
        assert!(error.contains(says), "{says}: {error}");
        assert_eq!(library, before);
    }
    let unknown = library.extend(PlanDraft::default(), &["nothing".to_owned()]);
    assert_eq!(
        unknown,
        Err(TemplateError::NoTemplate("nothing".to_owned()))
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is chosen, in whatever order and how often: the plan has no error, and no id twice.
    #[test]
    fn any_choice_makes_a_sound_plan(picks in prop::collection::vec(any::<prop::sample::Index>(), 1..20)) {
        let library = library();
        let names: Vec<String> = picks.iter().map(|pick| pick.get(&library.templates).id.clone()).collect();
        let plan = PlanDraft { title: "t".to_owned(), edition: "1".to_owned(), ..PlanDraft::default() };
        let draft = library.extend(plan, &names).unwrap();
        let reading = read(&draft.to_toml());
        prop_assert!(reading.plan.is_some(), "{names:?}: {:?}", reading.findings);
        let ids: Vec<String> = draft.stage.iter().map(|stage| stage.id.clone()).collect();
        prop_assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len());
        let wanted: usize = names.iter().map(|name| library.template(name).unwrap().stage.fastener.len()).sum();
        let made: usize = draft.stage.iter().map(|stage| stage.fastener.len()).sum();
        prop_assert_eq!(made, wanted);
    }
}
