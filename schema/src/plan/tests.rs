//! The plan reader: limits, order of pulls, and every finding with its place and advice.
//!
//! All plans here are invented.

mod checks;
mod fields;
mod plausible;
mod random;
mod reach;
mod settling;
mod titles;

use super::*;
use crate::quantity::Torque;
use PlanCode::{BadPasses, BadTolerance, NoPrep, NotATorque};

/// A plan with one fastener whose table is `body`. It begins on line 4.
fn one(body: &str) -> String {
    format!(
        "title = \"Fjord gravel 54\"\nedition = \"2\"\n[[stage]]\nid = \"s\"\ntitle = \"Seat\"\n[[stage.fastener]]\nid = \"f\"\ntitle = \"Clamp\"\n{body}\n"
    )
}

/// A sound fastener in one line, for a list of inline tables.
fn bolt(id: &str) -> String {
    format!(
        "{{ id = \"{id}\", title = \"B{id:0>3}\", prep = [\"dry\"], spec = {{ target = \"5 N·m\" }} }}"
    )
}

/// A plan with one stage of `count` sound fasteners.
fn stage(settings: &str, count: usize) -> String {
    let bolts: Vec<String> = (1..=count)
        .map(|number| bolt(&number.to_string()))
        .collect();
    format!(
        "title = \"t\"\nedition = \"1\"\n[[stage]]\nid = \"s\"\ntitle = \"S\"\n{settings}\nfastener = [{}]\n",
        bolts.join(",")
    )
}

/// The findings as `severity code line:column`, one a line.
fn found(text: &str) -> String {
    let list: Vec<String> = read(text)
        .findings
        .iter()
        .map(|f| format!("{:?} {} {}:{}", f.severity, f.code, f.line, f.column).to_lowercase())
        .collect();
    list.join("\n")
}

/// The plan text has exactly these findings, and gives a plan unless one of them is an error.
#[track_caller]
fn check(text: &str, expected: &str) {
    assert_eq!(found(text), expected, "in\n{text}");
    assert_eq!(
        read(text).plan.is_some(),
        !expected.contains("error"),
        "in\n{text}"
    );
}

/// The limits of the one fastener in mN·m, as `lower target upper`.
fn limits(body: &str) -> String {
    let reading = read(&one(&format!("prep = [\"dry\"]\n{body}")));
    let Some(plan) = reading.plan else {
        return found(&one(&format!("prep = [\"dry\"]\n{body}")));
    };
    let limits = plan.fastener("f").unwrap().1.spec.limits;
    let show =
        |torque: Option<Torque>| torque.map_or("-".to_owned(), |t| t.small_units().to_string());
    format!(
        "{} {} {}",
        show(limits.lower),
        show(limits.target),
        show(Some(limits.upper))
    )
}

#[test]
fn a_sound_plan_has_no_finding() {
    check(&one("prep = [\"dry\"]\nspec = { target = \"5 N·m\" }"), "");
    check(&stage("", 3), "");
}

#[test]
fn every_code_arises_where_it_belongs() {
    let dry = "prep = [\"dry\"]\n";
    let spec = "spec = { target = \"5 N·m\" }\n";
    for (text, expected) in [
        ("title = ".to_owned(), "error plan/not-readable 1:9"),
        (
            "title = \"t\"\nedition = \"1\"\n".to_owned(),
            "error plan/empty 1:9",
        ),
        (stage("", 0), "error plan/empty 3:1"),
        (
            one(&format!("{dry}{spec}")).replace("id = \"f\"", "id = \"s\""),
            "error plan/duplicate-id 7:6",
        ),
        (
            one(&format!("{dry}{spec}")).replace("id = \"f\"", "id = \"Seat Bolt\""),
            "error plan/bad-id 7:6",
        ),
        (
            one(&format!("{dry}{spec}")).replace("id = \"f\"", "id = \"\""),
            "error plan/bad-id 7:6",
        ),
        (
            one(&format!("{dry}spec = {{ target = \"5 mm\" }}")),
            "error plan/not-a-torque 10:8",
        ),
        (
            one(&format!("{dry}spec = {{ target = \"5,5 N·m\" }}")),
            "error plan/not-a-torque 10:8",
        ),
        (
            one(&format!("{dry}spec = {{ target = \"5\" }}")),
            "error plan/not-a-torque 10:8",
        ),
        (
            one(&format!("{dry}spec = {{ target = \"0 N·m\" }}")),
            "error plan/out-of-range 10:8",
        ),
        (
            one(&format!("{dry}spec = {{ target = \"-5 N·m\" }}")),
            "error plan/out-of-range 10:8",
        ),
        (
            one(&format!("{dry}spec = {{ target = \"2001 N·m\" }}")),
            "error plan/out-of-range 10:8",
        ),
        (one(dry), "error plan/no-limits 7:6"),
        (
            one(&format!("{dry}spec = {{ lower = \"4 N·m\" }}")),
            "error plan/no-limits 10:8",
        ),
        (
            one(&format!(
                "{dry}spec = {{ target = \"8 N·m\" }}\nsources = [{{ where = \"mark\", upper = \"6 N·m\" }}]"
            )),
            "error plan/conflicting-sources 10:8",
        ),
        (stage("passes = [0.6]", 1), "error plan/bad-passes 6:10"),
        (stage("passes = []", 1), "error plan/bad-passes 6:10"),
        (
            stage("passes = [1.0, 0.6]", 1),
            "error plan/bad-passes 6:10",
        ),
        (
            stage("passes = [0.6, 0.6, 1.0]", 1),
            "error plan/bad-passes 6:10",
        ),
        (
            stage("passes = [0.605, 1.0]", 1),
            "error plan/bad-passes 6:10",
        ),
        (
            stage("passes = [-0.5, nan, 1.0, 1.1]", 1),
            "error plan/bad-passes 6:10",
        ),
        (
            format!("tolerance = \"10\"\n{}", stage("", 1)),
            "error plan/bad-tolerance 1:13",
        ),
        (
            format!("tolerance = \"51 %\"\n{}", stage("", 1)),
            "error plan/bad-tolerance 1:13",
        ),
        (
            one(&format!("{dry}spec = {{ upper = \"6 N·m\" }}")),
            "note plan/upper-only 10:8",
        ),
        (
            one(&format!("{spec}joint = \"carbon\"\n{dry}")),
            "warning plan/carbon-without-paste 10:9",
        ),
        (one(spec), "note plan/no-prep 6:1"),
        (
            one(&format!("{spec}joint = \"carbon\"")),
            "note plan/no-prep 6:1\nwarning plan/carbon-without-paste 10:9",
        ),
    ] {
        check(&text, expected);
    }
    let large = format!("#{}\n{}", "x".repeat(LARGEST_FILE), stage("", 1));
    check(&large, "error plan/too-large 1:1");
}

#[test]
fn each_finding_says_what_to_do() {
    for (text, what, advice) in [
        (
            one("prep = [\"dry\"]\nspec = { target = \"5 lb\" }"),
            "unit of mass",
            "lbf·in, lbf·ft or kgf·cm",
        ),
        (
            one("prep = [\"dry\"]\nspec = { target = \"5\" }"),
            "has no unit",
            "\"44 lbf·in\"",
        ),
        (
            one("prep = [\"dry\"]"),
            "\"f\" has neither",
            "spec = { target",
        ),
        (stage("", 0), "\"s\" has no fastener", "[[stage.fastener]]"),
        (
            stage("passes = [0.6]", 1),
            "whole per cent to 1.0",
            "whole torque",
        ),
        (
            format!("tolerance = \"lots\"\n{}", stage("", 1)),
            "\"lots\"",
            "\"10 %\"",
        ),
        (
            stage("", 1).replace("title = \"S\"", ""),
            "missing field `title`",
            "add the line",
        ),
        (
            stage("", 1).replace("edition", "title"),
            "duplicate key",
            "take one out",
        ),
        (
            stage("", 1).replace("\"1\"", "1"),
            "expected a string",
            "quotes",
        ),
    ] {
        let finding = read(&text).findings.remove(0);
        assert!(
            finding.what.contains(what),
            "{what:?} not in {:?}",
            finding.what
        );
        assert!(
            finding.advice.contains(advice),
            "{advice:?} not in {:?}",
            finding.advice
        );
    }
}

#[test]
fn an_unknown_key_is_named_with_the_known_ones() {
    let text = one("torqe = \"5 N·m\"\nprep = [\"dry\"]\nspec = { target = \"5 N·m\" }");
    check(&text, "error plan/not-readable 9:1");
    let finding = read(&text).findings.remove(0);
    for word in ["torqe", "spec", "sources", "prep", "second_look"] {
        assert!(
            finding.what.contains(word),
            "{word} not in {}",
            finding.what
        );
    }
    assert!(finding.advice.contains("spelling"));
    check(
        &stage("patern = \"cross\"", 2),
        "error plan/not-readable 6:1",
    );
    check(
        &one("spec = { target = \"5 N·m\", max = \"6 N·m\" }"),
        "error plan/not-readable 9:28",
    );
}

#[test]
fn limits_follow_from_all_figures() {
    for (body, expected) in [
        ("spec = { target = \"5 N·m\" }", "4500 5000 5500"),
        (
            "spec = { target = \"5 N·m\", lower = \"4.75 N·m\", upper = \"5.2 N·m\" }",
            "4750 5000 5200",
        ),
        (
            "spec = { lower = \"4 N·m\", upper = \"6 N·m\" }",
            "4000 - 6000",
        ),
        ("spec = { upper = \"6 N·m\" }", "- - 6000"),
        (
            "spec = { target = \"5 N·m\", upper = \"5.2 N·m\" }",
            "4500 5000 5200",
        ),
        // the lowest upper and the highest lower win, wherever they stand
        (
            "spec = { target = \"5 N·m\", lower = \"3 N·m\", upper = \"8 N·m\" }\nsources = [{ where = \"a\", upper = \"6 N·m\" }, { where = \"b\", lower = \"4.6 N·m\", upper = \"7 N·m\" }]",
            "4600 5000 6000",
        ),
        // the plan's own target before that of a source
        (
            "spec = { target = \"5 N·m\" }\nsources = [{ where = \"a\", target = \"5.2 N·m\" }]",
            "4500 5000 5500",
        ),
        (
            "sources = [{ where = \"a\", target = \"6 N·m\" }]",
            "5400 6000 6600",
        ),
        // 44 lbf·in = 4.971 33 N·m exactly 4.9713324772151348: an upper limit is rounded up, a lower one down
        (
            "spec = { lower = \"44 lbf·in\", upper = \"44.1 lbf·in\" }",
            "4971 - 4983",
        ),
        (
            "spec = { target = \"5 N·m\", upper = \"6 N·m\" }\nsources = [{ where = \"a\", upper = \"48 lbf·in\" }]",
            "4500 5000 5424",
        ),
    ] {
        assert_eq!(limits(body), expected, "{body}");
    }
}

#[test]
fn the_tolerance_of_the_plan_stands_in_and_is_told() {
    let text = format!("tolerance = \"± 4 %\"\n{}", stage("", 1));
    let plan = read(&text).plan.unwrap();
    let spec = &plan.fastener("1").unwrap().1.spec;
    assert_eq!(
        (spec.limits.lower, spec.limits.upper.small_units()),
        (Some(Torque::from_small_units(4_800)), 5_200)
    );
    assert_eq!(spec.tolerance_percent, Some(4));
    let stated = read(&one(
        "prep = [\"dry\"]\nspec = { target = \"5 N·m\", lower = \"4 N·m\", upper = \"6 N·m\" }",
    ));
    assert_eq!(
        stated
            .plan
            .unwrap()
            .fastener("f")
            .unwrap()
            .1
            .spec
            .tolerance_percent,
        None
    );
}

#[test]
fn a_conflict_names_both_places_and_can_be_settled() {
    let body = "prep = [\"dry\"]\nspec = { target = \"8 N·m\" }\nsources = [{ where = \"mark on the clamp\", upper = \"6 N·m\" }]";
    let what = &read(&one(body)).findings[0].what;
    assert!(
        what.contains("mark on the clamp: 6 N·m") && what.contains("plan: 8 N·m"),
        "{what}"
    );

    let settled = "settled = { by = \"R. Aalto\", reason = \"mark is older\", target = \"7 N·m\", upper = \"7.5 N·m\" }";
    check(&one(&format!("{body}\n{settled}")), "");
    let plan = read(&one(&format!("{body}\n{settled}"))).plan.unwrap();
    let spec = &plan.fastener("f").unwrap().1.spec;
    assert_eq!(
        spec.settled,
        Some(Settlement {
            by: "R. Aalto".to_owned(),
            reason: "mark is older".to_owned()
        })
    );
    let places: Vec<&str> = spec
        .sources
        .iter()
        .map(|source| source.place.as_str())
        .collect();
    assert_eq!(
        places,
        ["plan", "mark on the clamp", "settled by R. Aalto"],
        "what was overruled stays listed"
    );
    assert_eq!(spec.limits.upper.small_units(), 7_500);
    assert_eq!(spec.limits.lower, Some(Torque::from_small_units(6_300)));

    for (from, to) in [("R. Aalto", " "), ("mark is older", "")] {
        let text = one(&format!("{body}\n{}", settled.replace(from, to)));
        check(&text, "error plan/conflicting-sources 7:6");
    }
    // what settles has to hold itself
    let crossed = settled.replace("7.5 N·m", "5 N·m");
    check(
        &one(&format!("{body}\n{crossed}")),
        "error plan/conflicting-sources 10:8",
    );
    check(
        &one(&format!(
            "{body}\nsettled = {{ by = \"R\", reason = \"r\" }}"
        )),
        "error plan/conflicting-sources 10:8",
    );
}

#[test]
fn a_left_hand_thread_and_all_else_is_kept() {
    let text = one(
        "thread = { size = \"M14x1.25\", hand = \"left\", engages = \"steel\" }\njoint = \"metal\"\nspec = { target = \"40 N·m\" }\nprep = [\"grease on the thread\"]\ndrive = \"hex 8\"\nat = \"pedal-left\"\nsecond_look = true",
    );
    let plan = read(&text).plan.unwrap();
    let fastener = plan.fastener("f").unwrap().1;
    assert_eq!(
        (fastener.hand, fastener.joint, fastener.second_look),
        (Hand::Left, Some(JointFile::Metal), true)
    );
    assert_eq!(
        (fastener.drive.as_deref(), fastener.at.as_deref()),
        (Some("hex 8"), Some("pedal-left"))
    );
    assert!(!fastener.is_carbon());
    assert_eq!(
        (plan.title.as_str(), plan.sha256),
        ("Fjord gravel 54", Digest32::of(text.as_bytes()))
    );
}

/// The order of pulls by fastener, a space between passes.
fn order(settings: &str, count: usize) -> String {
    let plan = read(&stage(settings, count)).plan.unwrap();
    let mut text = String::new();
    let mut pass = 0;
    for step in plan.steps() {
        if step.pass != pass {
            text.push(' ');
            pass = step.pass;
        }
        text += &step.fastener.id;
    }
    text
}

#[test]
fn pulls_follow_the_pattern() {
    for (pattern, count, expected) in [
        ("in-order", 1, "1"),
        ("in-order", 4, "1234"),
        ("in-order", 6, "123456"),
        ("alternate", 1, "1"),
        ("alternate", 2, "12"),
        ("alternate", 3, "132"),
        ("alternate", 4, "1423"),
        ("alternate", 5, "15243"),
        ("alternate", 6, "162534"),
        ("cross", 1, "1"),
        ("cross", 2, "12"),
        ("cross", 3, "132"),
        ("cross", 4, "1324"),
        ("cross", 5, "14253"),
        ("cross", 6, "142536"),
    ] {
        let pattern = format!("pattern = \"{pattern}\"");
        assert_eq!(order(&pattern, count), expected, "{pattern}, {count}");
        let twice = format!("{pattern}\npasses = [0.6, 1]");
        assert_eq!(
            order(&twice, count),
            format!("{expected} {expected}"),
            "{twice}, {count}"
        );
    }
    assert_eq!(order("", 3), "123", "in order if left out");
}

#[test]
fn passes_are_whole_per_cent_of_the_target() {
    let plan = read(&stage("passes = [0.29, 0.57, 0.58, 1.0]", 1))
        .plan
        .unwrap();
    let steps: Vec<(u8, u8, bool)> = plan
        .steps()
        .map(|s| (s.pass, s.percent, s.is_last_pass()))
        .collect();
    assert_eq!(
        steps,
        [
            (0, 29, false),
            (1, 57, false),
            (2, 58, false),
            (3, 100, true)
        ]
    );
    assert_eq!(plan.step_count(), 4);
    let limits = plan.fastener("1").unwrap().1.spec.limits.of_pass(29);
    assert_eq!(limits.aim(), Torque::from_small_units(1_450));
    let limits = limits.limits;
    assert_eq!(limits.target, Some(Torque::from_small_units(1_450)));
    assert_eq!(limits.lower, Some(Torque::from_small_units(1_305)));
    assert_eq!(
        limits.upper.small_units(),
        5_500,
        "the upper limit stays the fastener's"
    );
}

#[test]
fn an_early_pass_aims_at_a_part_of_the_whole_aim_and_is_never_the_whole_there() {
    let limits = |body: &str| {
        read(&one(body))
            .plan
            .unwrap()
            .fastener("f")
            .unwrap()
            .1
            .spec
            .limits
    };
    let range = limits("spec = { lower = \"4 N·m\", upper = \"8 N·m\" }");
    let most = limits("spec = { upper = \"6 N·m\" }");
    assert_eq!(range.of_pass(50).aim(), Torque::from_small_units(3_000));
    assert_eq!(range.of_pass(100).aim(), range.aim());
    assert_eq!(most.of_pass(50).aim(), Torque::from_small_units(2_700));
    let stated = [
        range,
        most,
        limits("spec = { target = \"5 N·m\" }"),
        limits("spec = { target = \"8 N·m\", lower = \"4 N·m\", upper = \"8 N·m\" }"),
        limits("spec = { lower = \"0.004 N·m\", upper = \"0.006 N·m\" }"),
    ];
    for whole in stated {
        for percent in 1..100 {
            let pass = whole.of_pass(percent);
            let (aim, of) = (pass.aim(), pass.limits);
            assert!(of.lower.is_none_or(|lower| lower <= aim) && aim <= of.upper);
            assert!(!pass.is_whole(aim, &whole), "{percent} % of {whole:?}");
        }
        let early = whole.of_pass(50);
        assert_eq!(early.is_whole(whole.aim(), &whole), whole.lower.is_some());
        let over = Torque::from_small_units(whole.upper.small_units() + 1);
        assert!(
            !early.is_whole(over, &whole),
            "over is over, and nothing else"
        );
    }
}

#[test]
fn the_aim_lies_within_the_limits() {
    let aim = |body: &str| {
        let plan = read(&one(body)).plan.unwrap();
        plan.fastener("f")
            .unwrap()
            .1
            .spec
            .limits
            .aim()
            .small_units()
    };
    assert_eq!(aim("spec = { target = \"5 N·m\" }"), 5_000);
    assert_eq!(
        aim("spec = { lower = \"4 N·m\", upper = \"6 N·m\" }"),
        5_000
    );
    assert_eq!(aim("spec = { upper = \"6 N·m\" }"), 5_400);
}

#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    let text = one("spec = { target = \"5 mm\" }\nprep = [\"dry\"]");
    check(&text.replace('\n', "\r\n"), "error plan/not-a-torque 9:8");
    check(&format!("\u{feff}{text}"), "error plan/not-a-torque 9:8");
    check(
        &format!(
            "\u{feff}{}",
            stage("", 1).replace("title = \"t\"", "titel = \"t\"")
        ),
        "error plan/not-readable 1:1",
    );
}

#[test]
fn columns_count_characters() {
    check(
        &one("prep = [\"härä·ä\"] # ümlaut\nspec = { target = \"5 mm\" } # ä"),
        "error plan/not-a-torque 10:8",
    );
    check(
        &stage("", 1).replace("title = \"t\"", "title = \"Ærø 🚲\" x"),
        "error plan/not-readable 1:17",
    );
    let source = "sources = [{ where = \"Ærø 🚲\", upper = \"6 N·m\" }, { where = \"b\", upper = \"6 mm\" }]";
    check(
        &one(&format!(
            "prep = [\"dry\"]\nspec = {{ target = \"5 N·m\" }}\n{source}"
        )),
        "error plan/not-a-torque 11:50",
    );
}

#[test]
fn a_third_id_of_the_same_name_points_at_the_first() {
    let text = stage("", 3)
        .replace("id = \"2\"", "id = \"1\"")
        .replace("id = \"3\"", "id = \"1\"")
        .replace("}, {", "},\n{");
    let text = text.replace("},{", "},\n{");
    let whats: Vec<String> = read(&text)
        .findings
        .into_iter()
        .map(|finding| finding.what)
        .collect();
    assert_eq!(whats.len(), 2);
    assert!(
        whats.iter().all(|what| what.contains("first on line 7")),
        "{whats:?}"
    );
}

#[test]
fn all_findings_come_at_once_in_the_order_of_the_file() {
    let text = format!(
        "tolerance = \"0 %\"\n{}",
        stage("passes = [0.5]", 2)
            .replace("\"5 N·m\"", "\"5 mm\"")
            .replace("prep = [\"dry\"], ", "")
    );
    let codes: Vec<PlanCode> = read(&text)
        .findings
        .iter()
        .map(|finding| finding.code)
        .collect();
    assert_eq!(
        codes,
        [
            BadTolerance,
            BadPasses,
            NoPrep,
            NotATorque,
            NoPrep,
            NotATorque
        ]
    );
}

#[test]
fn a_finding_prints_with_its_line() {
    let text = one("prep = [\"dry\"]\nspec = { target = \"5 mm\" }");
    let finding = read(&text).findings.remove(0);
    assert!(
        finding
            .to_string()
            .starts_with("line 10, column 8: mm is a unit of length"),
        "{finding}"
    );
    let mut shown = String::new();
    let handler = miette::NarratableReportHandler::new();
    handler
        .render_report(&mut shown, &finding.shown_in("fjord.toml", &text))
        .unwrap();
    for word in [
        "fjord.toml",
        "line 10",
        "5 mm",
        "plan/not-a-torque",
        "unit of torque",
    ] {
        assert!(shown.contains(word), "{word} not in {shown}");
    }
}

#[test]
fn depth_does_not_exhaust_the_stack() {
    for open in ["a = [", "a = {b = ", "a.", "[a."] {
        let text = open.to_owned() + &open.trim_start_matches("a = ").repeat(100_000);
        assert!(read(&text).plan.is_none());
    }
}
