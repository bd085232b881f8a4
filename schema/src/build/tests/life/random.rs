//! Whatever is done in whatever order: the fold is what the entries give, an over reading is settled by decisions alone, and
//! what is taken back at once leaves everything as it was.

use super::super::log::Log;
use super::{Standing, with_parts};
use crate::build::{Build, withdrawable};
use crate::entry::Decision::{InspectedAndKept, PartReplaced, TightenedAgain};
use crate::entry::{Entry, Event};
use crate::plan::{self, Plan};
use crate::record::tests::bench::{clean_up, document, sealed};
use crate::record::verify;
use crate::verdict::Answer;
use proptest::prelude::*;
use std::collections::BTreeMap;

/// What somebody does.
#[derive(Debug, Clone)]
enum Step {
    Pull(u8, u8, i64),
    Loosen(u8),
    Dispose(u8, u8),
    Prepare(u8),
    Look(u8),
    Defer(u8),
    TakeUp(u8),
    PointAt(u8),
    Note(u8),
    Fit(u8),
    Swap(u8),
    HandOver(u8),
    Aside,
    Resume,
    Plan(u8),
    Withdraw(u8),
}

const IDS: [&str; 6] = ["a", "b", "c", "d", "pedal", "cap"];

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let at = || 0_u8..6;
    let step = prop_oneof![
        8 => (at(), 0_u8..2, 500_i64..45_000).prop_map(|(at, pass, small)| Step::Pull(at, pass, small)),
        2 => at().prop_map(Step::Loosen),
        3 => (at(), 0_u8..3).prop_map(|(at, which)| Step::Dispose(at, which)),
        1 => at().prop_map(Step::Prepare),
        1 => at().prop_map(Step::Look),
        1 => at().prop_map(Step::Defer),
        1 => at().prop_map(Step::TakeUp),
        1 => at().prop_map(Step::PointAt),
        1 => at().prop_map(Step::Note),
        1 => any::<u8>().prop_map(Step::Fit),
        1 => any::<u8>().prop_map(Step::Swap),
        1 => any::<u8>().prop_map(Step::HandOver),
        1 => Just(Step::Aside),
        1 => Just(Step::Resume),
        2 => (0_u8..5).prop_map(Step::Plan),
        3 => any::<u8>().prop_map(Step::Withdraw),
    ];
    proptest::collection::vec(step, 0..40)
}

/// The plan, and editions with less and more room at the pedal, other passes, another prep.
fn editions() -> Vec<String> {
    let plan = with_parts();
    let narrow = plan
        .replace("upper = \"40 N·m\"", "upper = \"33 N·m\"")
        .replace("target = \"35 N·m\"", "target = \"32 N·m\"");
    let wide = plan.replace("upper = \"40 N·m\"", "upper = \"44 N·m\"");
    let passes = plan.replace("[0.6, 1.0]", "[0.5, 1.0]");
    let prep = plan.replace("grease on the thread", "threadlocker");
    vec![plan, narrow, wide, passes, prep]
}

fn pinned(editions: &[String], event: &Event) -> Option<Plan> {
    let pin = event.plan()?;
    let mut plans = editions.iter().filter_map(|text| plan::read(text).plan);
    plans.find(|plan| plan.sha256 == pin.sha256)
}

fn folded<'e>(editions: &[String], entries: impl IntoIterator<Item = &'e Entry>) -> Build {
    let mut entries = entries.into_iter();
    let first = entries.next().unwrap();
    let mut build = Build::begin(first, pinned(editions, &first.event).unwrap()).unwrap();
    for entry in entries {
        build.apply_with(entry, pinned(editions, &entry.event).as_ref());
    }
    build
}

/// How everything stands, beside what only grows.
fn picture(build: &Build) -> String {
    let fasteners: Vec<String> = IDS
        .iter()
        .map(|id| {
            let counting: Vec<u64> = build.counting(id).map(|known| known.sequence).collect();
            let (standing, state) = (build.standing(id), build.fastener(id));
            format!("{id}: {standing} {counting:?} {state:?}")
        })
        .collect();
    let next = build.next().map(|step| step.place());
    format!(
        "{fasteners:?} {next:?} {:?} {:?} {:?} {:?} {:?}",
        build.pointed,
        build.in_hands(),
        build.parts,
        build.notes,
        build.pin
    )
}

/// Whether the daemon lets people take it back.
fn can_be_withdrawn(log: &Log, sequence: u64) -> bool {
    let Some(entry) = log.build.logged(sequence) else {
        return false;
    };
    let changes_what_counts = matches!(
        entry.event,
        Event::Loosened(_) | Event::PartSwapped(_) | Event::Disposed { .. }
    );
    let mut withdrawn = log.build.withdrawn.iter();
    withdrawable(&entry.event).is_some()
        && withdrawn.all(|known| known.entry != sequence)
        && (!changes_what_counts || log.build.plan_changed().is_none_or(|at| at < sequence))
}

fn make(log: &mut Log, editions: &[String], step: &Step) -> Option<u64> {
    let at = |which: &u8| IDS[usize::from(*which)];
    Some(match step {
        Step::Pull(which, pass, small) if *which < 4 => log.pull(at(which), *pass, small / 7),
        Step::Pull(which, _, small) => log.pull(at(which), 0, *small),
        Step::Loosen(which) => log.loosen(at(which)),
        Step::Dispose(which, decision) => {
            let decision = [PartReplaced, InspectedAndKept, TightenedAgain][usize::from(*decision)];
            log.dispose(at(which), decision)
        }
        Step::Prepare(which) => log.prepare(at(which)),
        Step::Look(which) => log.look(at(which), "M. Oduya"),
        Step::Defer(which) => log.defer(at(which)),
        Step::TakeUp(which) => log.take_up(at(which)),
        Step::PointAt(which) => log.point_at(at(which)),
        Step::Note(which) => log.note(Some(at(which)), "a mark"),
        Step::Fit(which) => log.fit("bar", &format!("HB-{which}")),
        Step::Swap(which) => log.swap("bar", &format!("HB-{which}")),
        Step::HandOver(which) => {
            log.hand_over(["I. Berg", "M. Oduya", "S. Lind"][usize::from(*which) % 3])
        }
        Step::Aside => log.lay_aside(),
        Step::Resume => log.resume(),
        Step::Plan(which) => {
            let text = &editions[usize::from(*which)];
            if plan::read(text).plan?.sha256 == log.build.pin.sha256 {
                return None;
            }
            log.change_plan(text)
        }
        Step::Withdraw(which) => {
            let entries = log.build.entries.iter().copied();
            let all: Vec<u64> = entries
                .filter(|entry| can_be_withdrawn(log, *entry))
                .collect();
            let number = usize::from(*which).checked_rem(all.len())?;
            log.withdraw(all[number])
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn whatever_is_done_and_taken_back(steps in steps()) {
        let editions = editions();
        let mut log = Log::after(&editions[0]);
        // The readings that ever were over, and where.
        let mut over: BTreeMap<u64, String> = BTreeMap::new();
        for step in &steps {
            let before = picture(&log.build);
            let Some(made) = make(&mut log, &editions, step) else { continue };
            if can_be_withdrawn(&log, made) {
                let mut other = Log { build: log.build.clone(), entries: log.entries.clone() };
                other.withdraw(made);
                prop_assert_eq!(picture(&other.build), before, "{:?} taken back at once", step);
            }
            for reading in log.build.readings.values() {
                if reading.verdict.as_ref().is_some_and(|verdict| verdict.answer == Answer::Over) {
                    over.insert(reading.sequence, reading.placement.place().unwrap().fastener.clone());
                }
            }
            for (reading, fastener) in &over {
                let state = log.build.fastener(fastener).unwrap();
                let mut decisions = state.dispositions.iter();
                let is_decided = decisions.any(|decision| decision.act.sequence > *reading);
                prop_assert!(
                    is_decided || log.build.standing(fastener) == Standing::Over,
                    "{} on {} after {:?}", reading, fastener, step
                );
            }
        }
        let whole = folded(&editions, &log.entries);
        prop_assert_eq!(&whole, &log.build);
        let gone: Vec<u64> = log.build.withdrawn.iter().map(|known| known.entry).collect();
        let left = log.entries.iter().filter(|entry| {
            !gone.contains(&entry.sequence) && !matches!(entry.event, Event::Withdrawn(_))
        });
        prop_assert_eq!(picture(&folded(&editions, left)), picture(&log.build));
        prop_assert_eq!(log.build.entries.len(), log.entries.len());
        // A stranger finds the same in the record.
        clean_up(&mut log);
        log.finish();
        let signed = sealed(&document(&log));
        let verified = verify(&serde_json::to_vec(&signed).unwrap());
        prop_assert!(verified.is_ok(), "{:?}", verified);
    }
}
