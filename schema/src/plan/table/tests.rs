use super::{COLUMNS, TableFault, read_table, slug, write_table};
use crate::plan::testing::draft;
use crate::plan::{PlanDraft, Severity, read};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// As a spreadsheet with commas for decimals saves it.
const TABLE: &str = "\u{feff}# title: Quay tourer\r\n# edition: 2026-11\r\n# frame: flat-bar\r\n\
Title;Stage;Target;Lower;Upper;Unit;Source;Joint;Prep;Second look\r\n\
Seat clamp;Saddle and seat post;5;4,5;5,5;N·m;\"marking; on the clamp\";carbon;carbon paste on the post | dry bolt;yes\r\n\
Saddle bolt, front;Saddle and seat post;80 lbf·in;;88 lbf·in;;seat post leaflet;;grease;\r\n\
\r\n;;;;;;;;;\r\n\
Left pedal;Pedals;;35;55;N·m;crank leaflet;;grease;\r\n\
Front tyre;Pedals;;4,0;6;bar;tyre wall;;;\r\n";

#[test]
fn a_table_of_a_spreadsheet_makes_a_plan() {
    let reading = read_table(TABLE);
    assert_eq!(reading.faults, []);
    let draft = reading.draft.unwrap();
    assert_eq!(
        (draft.title.as_str(), draft.edition.as_str()),
        ("Quay tourer", "2026-11")
    );
    assert_eq!(draft.stage[0].id, "saddle-and-seat-post");
    let clamp = &draft.stage[0].fastener[0];
    assert_eq!(
        (clamp.id.as_str(), clamp.title.as_str()),
        ("seat-clamp", "Seat clamp")
    );
    assert_eq!(clamp.sources[0].place, "marking; on the clamp");
    assert_eq!(clamp.sources[0].lower.as_deref(), Some("4.5 N·m"));
    assert_eq!(clamp.prep, ["carbon paste on the post", "dry bolt"]);
    assert!(clamp.second_look && clamp.is_carbon_draft());
    assert_eq!(
        draft.stage[0].fastener[1].sources[0].target.as_deref(),
        Some("80 lbf·in")
    );
    let tyre = &draft.stage[1].check[0];
    assert_eq!(
        tyre.sources[0].lower.as_deref(),
        Some("4.0 bar"),
        "a pressure is a check"
    );
    assert!(read(&draft.to_toml()).plan.is_some());
}

#[test]
fn a_further_row_of_an_id_states_a_further_source_and_a_decision_has_its_own() {
    let text = "id,title,upper [N·m],source,settled_by,settled_reason\na,A,6,marking on the clamp,,\na,,5.5,leaflet,,\na,,5,,Mara,\"asked, by post\"\n";
    let reading = read_table(text);
    assert_eq!(reading.faults, []);
    let fastener = &reading.draft.unwrap().stage[0].fastener[0];
    assert_eq!(fastener.sources.len(), 2);
    let settled = fastener.settled.as_ref().unwrap();
    assert_eq!(
        (settled.by.as_str(), settled.reason.as_str()),
        ("Mara", "asked, by post")
    );
    assert_eq!(settled.upper.as_deref(), Some("5 N·m"));
}

fn fault(text: &str) -> TableFault {
    let reading = read_table(text);
    assert_eq!(reading.draft, None, "{text}");
    reading.faults.into_iter().next().unwrap()
}

/// A table, and the line, the column and the words of its first fault.
const WRONG: [(&str, u64, Option<&str>, &str); 26] = [
    ("", 1, None, "the table is empty"),
    ("title;target\n", 1, None, "a heading and no row"),
    (
        "target;upper\n5 N·m;6 N·m\n",
        1,
        Some("title"),
        "neither a column title nor a column id",
    ),
    (
        "title;torqe\nA;5\n",
        1,
        Some("torqe"),
        "there is no column \"torqe\"",
    ),
    (
        "title;upper;Upper\nA;5 N·m;6 N·m\n",
        1,
        Some("Upper"),
        "stands twice",
    ),
    (
        "title;upper\nA;5 N·m\nB;5\n",
        3,
        Some("upper"),
        "\"5\" has no unit",
    ),
    (
        "title;upper;unit\nA;1,100;N\n",
        2,
        Some("upper"),
        "can be read in one way only",
    ),
    (
        "title;upper;unit\nA;1.100,5;N\n",
        2,
        Some("upper"),
        "can be read in one way only",
    ),
    (
        "title;upper;unit\nA;5,5;N\nB;1.200;N\n",
        3,
        Some("upper"),
        "\"1.200\" is no figure that can be read in one way only",
    ),
    (
        "title\tupper\tunit\nA\t-1.200\tN\n",
        2,
        Some("upper"),
        "can be read in one way only",
    ),
    (
        "title,upper,lower\nA,1.200 N·m,\"0,9 N·m\"\n",
        2,
        Some("upper"),
        "can be read in one way only",
    ),
    (
        "title,upper,lower\nA,\"1,200 N·m\",0.9 N·m\n",
        2,
        Some("upper"),
        "can be read in one way only",
    ),
    (
        "title,upper\nA,1.200.000 N·m\n",
        2,
        Some("upper"),
        "can be read in one way only",
    ),
    (
        "title;upper;unit\nA;much;N·m\n",
        2,
        Some("upper"),
        "can be read in one way only",
    ),
    (
        "title;upper;joint\nA;5 N·m;wood\n",
        2,
        Some("joint"),
        "\"wood\" is not understood",
    ),
    (
        "title;upper;second_look\nA;5 N·m;perhaps\n",
        2,
        Some("second_look"),
        "neither yes nor no",
    ),
    (
        "title;upper;readings\nA;5 mm;many\n",
        2,
        Some("readings"),
        "no whole number",
    ),
    (
        "title;upper;friction\nA;5 N·m;low\n",
        2,
        Some("friction"),
        "no list of numbers",
    ),
    (
        "title;upper;what\nA;5 N·m;bolt\n",
        2,
        Some("what"),
        "neither fastener nor check",
    ),
    (
        "title;upper;prep\nA;5 mm;dry\n",
        2,
        Some("prep"),
        "the row is a check",
    ),
    (
        "title;upper\n;5 N·m\n",
        2,
        None,
        "neither an id nor a title",
    ),
    (
        "title,upper\nA,5,5 N·m\n",
        2,
        None,
        "more cells than the heading",
    ),
    (
        "id;upper\na;5 N·m\na;6 N·m\n",
        3,
        Some("source"),
        "states the same already",
    ),
    (
        "title;stage;upper;pattern\nA;S;5 N·m;cross\nB;S;5 N·m;alternate\n",
        3,
        Some("pattern"),
        "says otherwise",
    ),
    (
        "# frame: canoe\ntitle;upper\nA;5 N·m\n",
        1,
        None,
        "canoe is not understood",
    ),
    (
        "title;upper;source;settled_by\nA;5 N·m;leaflet;Mara\n",
        2,
        Some("settled_by"),
        "a source and a decision",
    ),
];

#[test]
fn what_is_wrong_is_named_with_line_and_column_and_what_to_do() {
    for (text, line, column, says) in WRONG {
        let fault = fault(text);
        assert!(fault.what.contains(says), "{says}: {fault}");
        assert_eq!(
            (fault.line, fault.column.as_deref()),
            (line, column),
            "{fault}"
        );
        assert!(!fault.advice.is_empty());
    }
}

#[test]
fn every_fault_is_told_at_once() {
    let reading = read_table("title;upper;joint\nA;5;wood\nB;;\nC;6 N·m;glass\n");
    let found: Vec<(u64, &str)> = reading
        .faults
        .iter()
        .map(|fault| (fault.line, fault.column.as_deref().unwrap_or_default()))
        .collect();
    assert_eq!(found, [(2, "upper"), (2, "joint"), (4, "joint")]);
}

#[test]
fn a_name_is_made_of_a_title() {
    assert_eq!(slug("Säddle clamp, Nº 2 "), "saeddle-clamp-n-2");
    assert_eq!(slug("– ! –"), "");
    let reading = read_table("title;upper\nBolt;5 N·m\nBolt;5 N·m\n");
    let draft = reading.draft.unwrap();
    let ids: Vec<&str> = draft.stage[0]
        .fastener
        .iter()
        .map(|fastener| fastener.id.as_str())
        .collect();
    assert_eq!(ids, ["bolt", "bolt-2"]);
}

#[test]
fn a_mark_with_three_digits_after_it_is_read_where_it_can_be_nothing_else() {
    let read = |text: &str| {
        let reading = read_table(text);
        assert_eq!(reading.faults, [], "{text}");
        let spec = reading.draft.unwrap().stage[0].fastener[0].spec.clone();
        spec.and_then(|spec| spec.upper).unwrap()
    };
    for (text, upper) in [
        ("title,upper\nA,1.200 N·m\n", "1.200 N·m"),
        ("title;upper\nA;0.125 N·m\n", "0.125 N·m"),
        ("title;upper\nA;0,125 N·m\n", "0.125 N·m"),
        ("title;upper\nA;1,1250 N·m\n", "1.1250 N·m"),
        ("title;upper\nA;1.2000 N·m\n", "1.2000 N·m"),
        ("title;upper\nA;1200.125 N·m\n", "1200.125 N·m"),
        ("title;upper\nA;1200 N·m\n", "1200 N·m"),
    ] {
        assert_eq!(read(text), upper, "{text}");
    }
}

/// The stages of a table, each with the ids of its fasteners. The plan has no id twice.
fn ids(text: &str) -> Vec<(String, Vec<String>)> {
    let reading = read_table(text);
    assert_eq!(reading.faults, [], "{text}");
    let draft = PlanDraft {
        title: "x".to_owned(),
        ..reading.draft.unwrap()
    };
    let found = read(&draft.to_toml()).findings;
    assert!(
        found
            .iter()
            .all(|finding| finding.severity != Severity::Error),
        "{found:?}"
    );
    let stages = draft.stage.into_iter();
    stages
        .map(|stage| {
            let fasteners = stage.fastener.into_iter();
            (stage.id, fasteners.map(|fastener| fastener.id).collect())
        })
        .collect()
}

#[track_caller]
fn has_ids(text: &str, wanted: &[(&str, &[&str])]) {
    let found = ids(text);
    let found: Vec<(&str, Vec<&str>)> = found
        .iter()
        .map(|(id, rows)| (id.as_str(), rows.iter().map(String::as_str).collect()))
        .collect();
    let wanted: Vec<(&str, Vec<&str>)> = wanted
        .iter()
        .map(|(id, rows)| (*id, rows.to_vec()))
        .collect();
    assert_eq!(found, wanted, "{text}");
}

#[test]
fn a_row_that_is_titled_like_a_stage_has_an_id_of_its_own() {
    has_ids(
        "title;stage;upper\nPedals;Pedals;40 N·m\n",
        &[("pedals", &["pedals-2"])],
    );
    has_ids(
        "title;stage;upper\nWheels;Frame;5 N·m\nAxle;Wheels;12 N·m\n",
        &[("frame", &["wheels-2"]), ("wheels", &["axle"])],
    );
    has_ids(
        "id;title;stage;upper\npedals;Left;Pedals;40 N·m\npedals-2;Right;pedals;40 N·m\n",
        &[("pedals-3", &["pedals", "pedals-2"])],
    );
    let long = "a".repeat(64);
    has_ids(
        &format!("id;stage;upper\n{long};{long};40 N·m\n"),
        &[(&format!("{}-2", "a".repeat(62)), &[&long])],
    );
}

#[test]
fn stages_of_other_titles_are_other_stages() {
    has_ids(
        "title;stage;upper\nA;Wheel (front);5 N·m\nB;Wheel, front;5 N·m\nC;wheel  (Front);5 N·m\nD;wheel-front-2;5 N·m\n",
        &[("wheel-front", &["a", "c"]), ("wheel-front-2", &["b", "d"])],
    );
    has_ids(
        "title;stage;upper\nA;前輪;5 N·m\nB;– ! –;5 N·m\nC;前輪;5 N·m\n",
        &[("stage", &["a", "c"]), ("stage-2", &["b"])],
    );
    has_ids(
        "title;stage;upper\nA;seat-post;5 N·m\nB;Seat post;5 N·m\nC;Seat/post;5 N·m\n",
        &[("seat-post", &["a", "b"]), ("seat-post-2", &["c"])],
    );
    has_ids(
        "title;stage;stage_title;upper\nA;s1;Saddle;5 N·m\nB;Saddle;;5 N·m\nC;S1;;5 N·m\n",
        &[("s1", &["a", "b", "c"])],
    );
}

#[test]
fn the_demo_plan_goes_through_a_table_and_back() {
    let plan = include_str!("../../../../cli/src/demo/plan.toml");
    let draft = PlanDraft::of_toml(plan).unwrap();
    let table = write_table(&draft).unwrap();
    assert!(table.starts_with("# title: Allroad 54, mossgreen\r\n# edition: demo 4\r\n"));
    assert_eq!(read_table(&table).draft, Some(draft));
}

#[test]
fn no_column_is_named_twice() {
    let once: BTreeSet<&str> = COLUMNS.into_iter().collect();
    assert_eq!(once.len(), COLUMNS.len());
}

impl crate::plan::FastenerDraft {
    fn is_carbon_draft(&self) -> bool {
        self.joint == Some(crate::plan::JointFile::Carbon)
    }
}

/// What a table can hold: every id once, nothing empty, no parts, no empty stage.
fn for_a_table(mut draft: PlanDraft) -> PlanDraft {
    let mut number = 0;
    let mut fresh = |id: &mut String| {
        number += 1;
        *id = format!("{id}{number}");
    };
    draft.part.clear();
    draft.due.clear();
    draft
        .stage
        .retain(|stage| !stage.fastener.is_empty() || !stage.check.is_empty());
    for stage in &mut draft.stage {
        fresh(&mut stage.id);
        stage
            .fastener
            .iter_mut()
            .for_each(|fastener| fresh(&mut fastener.id));
        stage
            .check
            .iter_mut()
            .for_each(|check| fresh(&mut check.id));
    }
    draft
}

proptest! {
    #[test]
    fn what_goes_into_a_table_comes_out_of_it(draft in draft()) {
        let draft = for_a_table(draft);
        prop_assume!(!draft.stage.is_empty());
        let table = write_table(&draft).unwrap();
        let reading = read_table(&table);
        prop_assert_eq!(&reading.faults, &vec![], "{}", table);
        prop_assert_eq!(reading.draft, Some(draft), "{}", table);
    }

    #[test]
    fn no_text_panics(text in "(# [a-z]{0,6}:? ?\\PC{0,4}\n)?(title|id|upper|unit|source|;|,|\t|\"|\n|5|N·m|[a-z]|\\PC){0,40}") {
        let reading = read_table(&text);
        prop_assert_eq!(reading.draft.is_none(), !reading.faults.is_empty());
    }
}
