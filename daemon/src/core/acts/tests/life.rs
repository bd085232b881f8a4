//! The acts of a build's life: what they come to, and every refusal.

use super::{acknowledge, dispose, finish, look, loosen, place, prepare, refused};
use crate::core::acts::{Picture, photo, would_change};
use crate::core::history::history;
use crate::core::{Refusal, build_view};
use crate::testing::{BUILD, Day, MARA, OLE, PLAN};
use pullmark_schema::api::Act;
use pullmark_schema::build::Standing;
use pullmark_schema::entry::{Decision, Entry, Event, MediaType};
use pullmark_schema::plan::PlanCode;

fn with_parts() -> String {
    format!(
        "{PLAN}\n[[part]]\nid = \"stem\"\ntitle = \"Stem\"\nfasteners = [\"stem.1\", \"stem.2\"]\n"
    )
}

fn loosen_scope(stage: Option<&str>, all: bool) -> Act {
    Act::Loosen {
        build: BUILD.to_owned(),
        fasteners: Vec::new(),
        stage: stage.map(str::to_owned),
        all,
        by: MARA.to_owned(),
        reason: "a dry fit".to_owned(),
    }
}

fn withdraw(entry: u64) -> Act {
    Act::Withdraw {
        build: BUILD.to_owned(),
        entry,
        by: MARA.to_owned(),
        reason: "the wrong one".to_owned(),
    }
}

fn fit(part: &str, serial: &str) -> Act {
    Act::FitPart {
        build: BUILD.to_owned(),
        part: part.to_owned(),
        serial: serial.to_owned(),
        kind: None,
        by: MARA.to_owned(),
    }
}

fn swap(part: &str, serial: &str, out: Option<&str>) -> Act {
    Act::SwapPart {
        build: BUILD.to_owned(),
        part: part.to_owned(),
        serial: serial.to_owned(),
        out: out.map(str::to_owned),
        kind: None,
        by: MARA.to_owned(),
        reason: "a scratch".to_owned(),
    }
}

fn change(plan: &str) -> Act {
    Act::ChangePlan {
        build: BUILD.to_owned(),
        plan: plan.to_owned(),
        by: MARA.to_owned(),
        reason: "the maker's new sheet".to_owned(),
    }
}

fn hand_over(from: &str, to: &str) -> Act {
    Act::HandOver {
        build: BUILD.to_owned(),
        from: from.to_owned(),
        to: to.to_owned(),
        by: None,
        note: Some("the pedal is open".to_owned()),
    }
}

fn lay_aside() -> Act {
    Act::LayAside {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        reason: "closing time".to_owned(),
    }
}

fn resume() -> Act {
    Act::Resume {
        build: BUILD.to_owned(),
        by: OLE.to_owned(),
    }
}

fn kinds(entries: &[Entry]) -> Vec<&'static str> {
    entries.iter().map(|entry| entry.event.kind()).collect()
}

#[test]
fn a_stage_or_all_of_it_is_loosened_where_something_counts() {
    let mut day = Day::with(PLAN);
    assert_eq!(
        refused(&mut day, loosen_scope(None, true)).code(),
        "fastener/nothing-to-loosen"
    );
    day.pull(5_000);
    day.pull(3_600);
    day.pull(3_600);
    assert_eq!(
        refused(&mut day, loosen_scope(Some("no such"), false)).code(),
        "fastener/stage-not-known"
    );
    assert_eq!(
        refused(&mut day, loosen_scope(Some("stem"), true)).code(),
        "fastener/bad-scope"
    );
    let entries = day.must(loosen_scope(Some("stem"), false));
    assert_eq!(kinds(&entries), ["loosened", "loosened"], "two of four");
    assert_eq!(day.build().standing("seat.clamp"), Standing::Within);
    assert_eq!(day.must(loosen_scope(None, true)).len(), 1);
    assert_eq!(day.build().standing("seat.clamp"), Standing::Open);
}

#[test]
fn what_was_done_by_mistake_is_taken_back() {
    let mut day = Day::with(PLAN);
    let (pulled, _) = day.pull(5_000);
    let loosened = day.must(loosen(&["seat.clamp"], "found loose"))[0].sequence;
    day.must(withdraw(loosened));
    assert_eq!(day.build().standing("seat.clamp"), Standing::Within);
    assert_eq!(
        refused(&mut day, withdraw(loosened)),
        Refusal::WithdrawnAlready(loosened)
    );
    let said = refused(&mut day, withdraw(pulled));
    assert_eq!(said.code(), "act/not-withdrawable");
    assert!(said.to_string().contains("pullmark reading place"));
    assert_eq!(refused(&mut day, withdraw(9_999)).code(), "act/not-known");
    let rows = history(day.build(), Some("seat.clamp"), &day.entries);
    let told: Vec<(&str, bool, bool)> = rows
        .iter()
        .map(|row| (row.kind.as_str(), row.withdrawable, row.withdrawn.is_some()))
        .collect();
    assert_eq!(
        told,
        [
            ("pulled", false, false),
            ("loosened", false, true),
            ("withdrawn", false, false)
        ]
    );
    assert_eq!(rows[1].text, "Seat clamp bolt loosened: found loose");
    // The wrench goes on where the build shows that it is.
    let (_, next) = day.pull(3_600);
    assert_eq!(crate::testing::whereto(&next.placement), "stem.1/0");
}

#[test]
fn an_over_reading_comes_back_with_what_had_put_it_away() {
    let mut day = Day::with(PLAN);
    let over = day.must(super::enter("6 N·m", Some("seat.clamp")))[0].sequence;
    day.must(super::acknowledge(over));
    let decided = day.must(dispose("seat.clamp", Decision::PartReplaced))[0].sequence;
    day.pull(5_000);
    assert_eq!(day.build().standing("seat.clamp"), Standing::Within);
    day.must(withdraw(decided));
    assert_eq!(day.build().standing("seat.clamp"), Standing::Over);
    assert_eq!(refused(&mut day, finish()).code(), "build/still-open");
}

#[test]
fn parts_are_fitted_and_swapped() {
    let mut day = Day::with(&with_parts());
    assert_eq!(
        refused(&mut day, fit("fork", "F-1")).code(),
        "part/not-known"
    );
    day.must(fit("stem", "ST-1"));
    assert_eq!(
        refused(&mut day, fit("stem", "ST-2")).code(),
        "part/fitted-already"
    );
    day.pull(5_000);
    day.pull_all();
    assert_eq!(day.build().standing("stem.1"), Standing::Within);
    assert_eq!(
        refused(&mut day, swap("stem", "ST-2", Some("ST-9"))).code(),
        "part/other-serial"
    );
    assert_eq!(
        refused(&mut day, swap("stem", "ST-1", None)).code(),
        "part/same-serial"
    );
    let entries = day.must(swap("stem", "ST-2", None));
    assert_eq!(kinds(&entries), ["part-swapped"], "one entry for all of it");
    assert_eq!(day.build().standing("stem.1"), Standing::Open);
    assert_eq!(day.build().standing("stem.3"), Standing::Within);
    let view = build_view(&day.bench, day.build());
    assert_eq!(view.parts[0].serial.as_deref(), Some("ST-2"));
    assert_eq!(view.parts[0].swaps, 1);
    let (_, next) = day.pull(3_600);
    assert_eq!(crate::testing::whereto(&next.placement), "stem.1/0");
}

#[test]
fn a_build_changes_hands_and_waits() {
    let mut day = Day::with(PLAN);
    assert_eq!(
        refused(&mut day, hand_over(OLE, MARA)).code(),
        "build/other-hands"
    );
    assert_eq!(
        refused(&mut day, hand_over(MARA, MARA)).code(),
        "build/same-hands"
    );
    day.must(hand_over(MARA, OLE));
    day.pull(5_000);
    assert_eq!(
        refused(&mut day, look("seat.clamp", " ole")).code(),
        "fastener/same-person",
        "who has it tightened it"
    );
    day.must(look("seat.clamp", MARA));
    assert!(day.build().is_looked_at("seat.clamp"));
    assert_eq!(refused(&mut day, resume()).code(), "build/not-laid-aside");
    day.must(lay_aside());
    assert_eq!(refused(&mut day, lay_aside()).code(), "build/laid-aside");
    let view = build_view(&day.bench, day.build());
    assert_eq!(view.in_hands, OLE);
    assert_eq!(
        view.laid_aside.unwrap().reason.as_deref(),
        Some("closing time")
    );
    day.pull(3_600);
    assert!(
        day.build().laid_aside().is_some(),
        "a pull counts and says nothing"
    );
    let entries = day.must(prepare("stem.2"));
    assert_eq!(
        kinds(&entries),
        ["resumed", "prepared"],
        "who works at it goes on with it"
    );
    day.must(lay_aside());
    day.must(resume());
    assert_eq!(day.build().asides.len(), 2);
}

#[test]
fn another_edition_judges_again_and_says_so_before() {
    let mut day = Day::with(PLAN);
    let (seat, _) = day.pull(5_400);
    let (stem, _) = day.pull(3_600);
    assert_eq!(refused(&mut day, change(PLAN)).code(), "plan/same-edition");
    let unknown = with_parts().replace("\"stem.2\"]", "\"stem.9\"]");
    match refused(&mut day, change(&unknown)) {
        Refusal::BadPlan(findings) => {
            assert_eq!(findings[0].code, PlanCode::UnknownFastener);
            assert!(findings[0].line > 60 && findings[0].column > 1);
        }
        other => panic!("{other}"),
    }
    let edition = PLAN.replace("upper = \"5.5 N·m\"", "upper = \"5.2 N·m\"");
    let before = day.bench.clone();
    let view = would_change(&day.bench, BUILD, &edition, day.now()).unwrap();
    assert_eq!(day.bench, before);
    let texts: Vec<&str> = view.differences.iter().map(|d| d.text.as_str()).collect();
    assert_eq!(
        texts,
        [
            "Seat clamp bolt: 4.5 N·m to 5.2 N·m, aim 5.0 N·m instead of 4.5 N·m to 5.5 N·m, aim 5.0 N·m"
        ]
    );
    assert_eq!(view.judged.len(), 1);
    assert!(view.judged[0].alarm);
    let changed = day.must(change(&edition))[0].sequence;
    assert_eq!(day.build().standing("seat.clamp"), Standing::Over);
    assert_eq!(day.build().readings[&seat].earlier_verdicts.len(), 1);
    assert!(day.build().readings[&stem].earlier_verdicts.is_empty());
    assert_eq!(day.build().open_alarms().next().unwrap().sequence, changed);
    // A new edition cannot drop what waits for a decision, and what was undone before it stays undone.
    let dropped = edition
        .split("[[stage]]")
        .filter(|part| !part.contains("\"seat\""));
    let dropped = dropped.collect::<Vec<_>>().join("[[stage]]");
    assert_eq!(
        refused(&mut day, change(&dropped)).code(),
        "plan/drops-undecided"
    );
    let undone = day.must(loosen(&["stem.1"], "found loose"))[0].sequence;
    day.must(change(&format!("{edition}\n# another file\n")));
    assert_eq!(
        refused(&mut day, withdraw(undone)).code(),
        "act/plan-changed-since"
    );
    day.must(dispose("seat.clamp", Decision::PartReplaced));
    day.must(change(&dropped));
    assert!(day.build().removed.contains_key("seat.clamp"));
    let (_, next) = day.pull(3_600);
    assert_eq!(crate::testing::whereto(&next.placement), "stem.1/0");
}

/// A higher limit of a later edition explains no over reading away, whichever way it is placed there once more.
#[test]
fn what_went_over_under_an_earlier_edition_is_decided_before_it_is_placed_anew() {
    let wide = PLAN.replace("upper = \"5.5 N·m\"", "upper = \"6.5 N·m\"");
    for is_loosened in [false, true] {
        let mut day = Day::with(PLAN);
        let (seat, pulled) = day.pull(6_000);
        assert!(pulled.alarm.is_some());
        day.must(place(seat, Some("seat.clamp"), None));
        day.must(acknowledge(seat));
        if is_loosened {
            day.must(loosen(&["seat.clamp"], "too much"));
        }
        day.must(change(&wide));
        assert_eq!(day.build().standing("seat.clamp"), Standing::Over);
        for to in [Some("seat.clamp"), Some("stem.1"), None] {
            let refusal = refused(&mut day, place(seat, to, None));
            assert_eq!(refusal.code(), "reading/over-before-edition", "{to:?}");
        }
        assert_eq!(day.build().standing("seat.clamp"), Standing::Over);
        day.must(dispose("seat.clamp", Decision::InspectedAndKept));
        day.must(place(seat, Some("seat.clamp"), None));
    }
}

#[test]
fn a_reading_moved_away_before_the_edition_does_not_come_back_as_within() {
    let mut day = Day::with(PLAN);
    let (seat, _) = day.pull(6_000);
    day.must(place(seat, None, None));
    day.must(change(
        &PLAN.replace("upper = \"5.5 N·m\"", "upper = \"6.5 N·m\""),
    ));
    let refusal = refused(&mut day, place(seat, Some("seat.clamp"), None));
    assert_eq!(refusal.code(), "reading/over-before-edition");
}

#[test]
fn other_passes_do_not_hide_that_too_much_was_pulled() {
    let mut day = Day::with(PLAN);
    day.pull(5_400);
    let narrow = PLAN.replace("upper = \"5.5 N·m\"", "upper = \"5.2 N·m\"");
    let both = narrow.replace(
        "title = \"Seat post\"\n",
        "title = \"Seat post\"\npasses = [0.5, 1.0]\n",
    );
    let refusal = refused(&mut day, change(&both));
    assert_eq!(refusal.code(), "plan/over-in-other-passes");
    assert!(refusal.to_string().contains("Seat clamp bolt"), "{refusal}");
    day.must(change(&narrow));
    assert_eq!(day.build().standing("seat.clamp"), Standing::Over);
    // What is over already stays so in other passes, until somebody decides.
    day.must(change(&both));
    assert_eq!(day.build().standing("seat.clamp"), Standing::Over);
    day.must(dispose("seat.clamp", Decision::PartReplaced));
    assert_eq!(day.build().standing("seat.clamp"), Standing::Open);
}

#[test]
fn a_photograph_is_what_its_bytes_say() {
    let day = Day::with(PLAN);
    let picture = |bytes: &[u8]| Picture {
        build: BUILD.to_owned(),
        fastener: Some("seat.clamp".to_owned()),
        text: None,
        name: Some("clamp.jpg".to_owned()),
        bytes: bytes.to_vec(),
        by: MARA.to_owned(),
    };
    let png = b"\x89PNG\r\n\x1a\n and so on";
    let decided = photo(&day.bench, picture(png)).unwrap();
    let Event::Noted(noted) = &decided[0].event else {
        panic!("{decided:?}");
    };
    let kept = noted.photo.as_ref().unwrap();
    assert_eq!((kept.media_type, kept.bytes_length), (MediaType::Png, 18));
    assert_eq!(decided[0].attached.as_deref(), Some(&png[..]));
    let refused = photo(&day.bench, picture(b"GIF89a")).unwrap_err();
    assert_eq!(refused.code(), "photo/not-a-picture");
    let mut large = b"\xff\xd8\xff".to_vec();
    large.resize((8 << 20) + 1, 0);
    let refused = photo(&day.bench, picture(&large)).unwrap_err();
    assert_eq!(refused.code(), "photo/too-large");
}
