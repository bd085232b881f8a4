//! The life of a build: taken back, swapped, held to another edition.

mod random;

use super::log::{Log, PLAN};
use super::{Standing, counting, stands};
use crate::build::{EarlierVerdict, Since};
use crate::entry::Decision::{InspectedAndKept, PartReplaced};
use crate::plan::Limits;
use crate::quantity::Torque;
use crate::verdict::{Answer, Rule, Verdict};

/// The plan with a handlebar that the four bolts of the stem hold.
fn with_parts() -> String {
    format!(
        "{PLAN}\n[[part]]\nid = \"bar\"\ntitle = \"Handlebar\"\nkind = \"handlebar\"\n\
         fasteners = [\"a\", \"b\", \"c\", \"d\"]\n"
    )
}

#[test]
fn what_was_loosened_by_mistake_counts_again() {
    let mut log = Log::new();
    let first = log.pull("cap", 0, 1_500);
    let before = log.build.clone();
    let loosened = log.loosen("cap");
    stands(&log, "cap", Standing::Open);
    log.withdraw(loosened);
    stands(&log, "cap", Standing::Within);
    assert_eq!(counting(&log, "cap"), [first]);
    assert!(log.build.fastener("cap").unwrap().loosened.is_empty());
    assert_eq!(log.build.next(), before.next());
    let withdrawn = &log.build.withdrawn[0];
    assert_eq!((withdrawn.entry, withdrawn.kind), (loosened, "loosened"));
    assert_eq!(withdrawn.withdrawn.by, "M. Oduya");
    assert!(log.build.entries.contains(&loosened), "its entry stays");
}

#[test]
fn an_over_reading_counts_again_too() {
    let mut log = Log::new();
    log.pull("a", 1, 6_000);
    let decided = log.dispose("a", PartReplaced);
    log.pull("a", 0, 3_000);
    log.pull("a", 1, 5_000);
    stands(&log, "a", Standing::Within);
    log.withdraw(decided);
    stands(&log, "a", Standing::Over);
}

#[test]
fn everything_but_a_reading_can_be_taken_back() {
    let mut log = Log::new();
    let prepared = log.prepare("a");
    let deferred = log.defer("b");
    let noted = log.note(Some("a"), "a mark");
    let pointed = log.point_at("cap");
    let handed = log.hand_over("M. Oduya");
    assert_eq!(log.build.in_hands(), "M. Oduya");
    for act in [prepared, deferred, noted, pointed, handed] {
        log.withdraw(act);
    }
    assert!(!log.build.is_prepared("a"));
    stands(&log, "b", Standing::Open);
    assert!(log.build.notes.is_empty() && log.build.pointed.is_none());
    assert_eq!(log.build.in_hands(), "I. Berg");
    assert_eq!(log.build.withdrawn.len(), 5);
    log.prepare("a");
    assert!(log.build.is_prepared("a"), "it is done again after that");
}

#[test]
fn a_swapped_part_loosens_what_holds_it() {
    let mut log = Log::after(&with_parts());
    log.fit("bar", "HB-1");
    for fastener in ["a", "d", "b", "c"] {
        log.pull(fastener, 0, 3_000);
        log.pull(fastener, 1, 5_000);
    }
    log.pull("cap", 0, 1_500);
    let swapped = log.swap("bar", "HB-2");
    for fastener in ["a", "b", "c", "d"] {
        stands(&log, fastener, Standing::Open);
    }
    stands(&log, "cap", Standing::Within);
    let fitted = log.build.fitted("bar").unwrap();
    assert_eq!(
        (fitted.out.as_deref(), fitted.serial.as_str()),
        (Some("HB-1"), "HB-2")
    );
    log.withdraw(swapped);
    stands(&log, "a", Standing::Within);
    assert_eq!(log.build.fitted("bar").unwrap().serial, "HB-1");
}

#[test]
fn a_swapped_part_settles_no_over_reading() {
    let mut log = Log::after(&with_parts());
    log.pull("a", 1, 6_000);
    log.swap("bar", "HB-2");
    stands(&log, "a", Standing::Over);
}

#[test]
fn a_build_is_laid_aside_and_gone_on_with() {
    let mut log = Log::new();
    assert!(log.build.laid_aside().is_none());
    let laid = log.lay_aside();
    assert_eq!(log.build.laid_aside().unwrap().sequence, laid);
    log.pull("a", 0, 3_000);
    stands(&log, "a", Standing::PartWay);
    log.resume();
    assert!(log.build.laid_aside().is_none());
    assert_eq!(log.build.asides.len(), 1);
}

#[test]
fn whoever_has_it_in_hands_is_not_the_other_person() {
    let mut log = Log::new();
    log.hand_over("M. Oduya");
    log.pull("d", 0, 3_000);
    log.pull("d", 1, 5_000);
    log.look("d", "M. Oduya");
    assert!(!log.build.is_looked_at("d"), "who has it pulled it");
    log.look("d", "I. Berg");
    assert!(log.build.is_looked_at("d"), "who began it did not");
    log.loosen("d");
    log.pull("d", 0, 3_000);
    log.pull("d", 1, 5_000);
    assert!(
        !log.build.is_looked_at("d"),
        "what was undone needs it anew"
    );
}

#[test]
fn what_may_be_over_is_decided_again_under_a_lower_limit() {
    let verdict = |upper: i64, answer| Verdict {
        answer,
        limits: Limits {
            lower: None,
            target: None,
            upper: Torque::from_small_units(upper),
        },
        rule: Rule::Guarded,
        expanded_uncertainty: None,
        outside: None,
        cautions: Vec::new(),
    };
    let earlier = |upper, answer| EarlierVerdict {
        until: 20,
        verdict: verdict(upper, answer),
    };
    let since = |before: (i64, Answer), now: (i64, Answer)| {
        Since::of(
            7,
            &[earlier(before.0, before.1)],
            Some(&verdict(now.0, now.1)),
        )
        .answer
    };
    let undecided = Answer::Undecided;
    assert_eq!(since((10_000, undecided), (9_950, undecided)), 20);
    assert_eq!(since((10_000, undecided), (10_050, undecided)), 7);
    assert_eq!(since((10_000, Answer::Within), (9_950, Answer::Within)), 7);
    assert_eq!(since((10_000, Answer::Within), (9_950, undecided)), 20);
}

#[test]
fn other_limits_judge_again_and_the_rest_stays() {
    let mut log = Log::new();
    let kept = log.pull("cap", 0, 1_500);
    let low = log.pull("pedal", 0, 31_000);
    let changed = log.change_plan(&PLAN.replace("lower = \"30 N·m\"", "lower = \"32 N·m\""));
    stands(&log, "cap", Standing::Within);
    stands(&log, "pedal", Standing::Under);
    assert!(log.build.readings[&kept].earlier_verdicts.is_empty());
    let judged = &log.build.readings[&low];
    assert_eq!(
        (judged.earlier_verdicts.len(), judged.since().answer),
        (1, changed)
    );
    assert_eq!(log.build.editions.len(), 1);
    log.change_plan(PLAN);
    stands(&log, "pedal", Standing::Within);
}

#[test]
fn an_edition_that_allows_more_settles_no_over_reading() {
    let mut log = Log::new();
    log.pull("pedal", 0, 41_000);
    stands(&log, "pedal", Standing::Over);
    log.change_plan(&PLAN.replace("upper = \"40 N·m\"", "upper = \"45 N·m\""));
    stands(&log, "pedal", Standing::Over);
    log.dispose("pedal", InspectedAndKept);
    stands(&log, "pedal", Standing::OverKept);
}

#[test]
fn an_edition_that_allows_less_makes_over_what_was_within() {
    let mut log = Log::new();
    let first = log.pull("pedal", 0, 41_000);
    log.dispose("pedal", InspectedAndKept);
    let second = log.pull("pedal", 0, 36_000);
    let changed = log.change_plan(&PLAN.replace("upper = \"40 N·m\"", "upper = \"36 N·m\""));
    stands(&log, "pedal", Standing::Over);
    assert_eq!(
        log.build.readings[&first].since().over,
        Some(changed),
        "the decision was for another limit"
    );
    assert_eq!(log.build.readings[&second].since().over, None);
    assert_eq!(log.build.alarms.last().unwrap().sequence, changed);
    log.dispose("pedal", InspectedAndKept);
    stands(&log, "pedal", Standing::OverKept);
}

#[test]
fn other_passes_are_pulled_again_and_what_is_gone_no_longer_counts() {
    let mut log = Log::new();
    log.pull("a", 0, 3_000);
    let stem = log.pull("a", 1, 5_000);
    let cap = log.pull("cap", 0, 1_500);
    let other = PLAN.replace("[0.6, 1.0]", "[0.4, 0.8, 1.0]");
    let cut = other
        .split("[[stage.fastener]]\nid = \"cap\"")
        .next()
        .unwrap();
    log.change_plan(cut);
    stands(&log, "a", Standing::Open);
    assert!(log.build.readings.contains_key(&stem));
    assert!(!log.build.counts(&log.build.readings[&stem]));
    assert!(log.build.removed["cap"].state.placed.contains(&cap));
    assert!(!log.build.counts(&log.build.readings[&cap]));
    assert_eq!(log.build.fastener("cap"), None);
    // The cap comes back; what was pulled before does not.
    log.change_plan(&other);
    stands(&log, "cap", Standing::Open);
    assert!(log.build.removed.is_empty());
    log.pull("cap", 0, 1_500);
    stands(&log, "cap", Standing::Within);
}

#[test]
fn another_prep_is_confirmed_anew() {
    let mut log = Log::new();
    log.prepare("pedal");
    log.prepare("cap");
    log.change_plan(&PLAN.replace("grease on the thread", "threadlocker"));
    assert!(!log.build.is_prepared("pedal"));
    assert!(log.build.is_prepared("cap"));
}
