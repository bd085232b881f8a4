//! An invented bench with a fixed key: builds, their documents, and the same documents changed and signed anew.

use super::super::{Issue, KeyEntry, Record, Verified, VerifyError, compose, verify};
use crate::build::tests::log::Log;
use crate::build::{Build, Standing};
use crate::canonical::Digest32;
use crate::entry::{Bike, Decision, Event, PlanPin};
use crate::multikey::DidKey;
use crate::plan;
use crate::proof;
use crate::tool::Tool;
use crate::{SigningKey, build::tests::log};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::{AtomicUsize, Ordering};

pub(crate) const TIME: &str = "2026-03-15T18:00:00.000+01:00";

/// The key that signs, from a fixed seed.
pub(crate) fn key() -> SigningKey {
    SigningKey::from_bytes(&[7; 32])
}

pub(crate) fn tools() -> BTreeMap<String, Tool> {
    let text = "number = \"TM-4471\"\nlaboratory = \"Tarn Metrology\"\ndate = 2026-02-01\ndue = 2027-02-01\n";
    let certificate = crate::certificate::read_toml(text).unwrap().certificate;
    let tool = |id: &str| Tool {
        id: id.into(),
        title: "Bench wrench".into(),
        serial: format!("KR-{id}"),
        certificate: Some(certificate.clone()),
        ..Tool::default()
    };
    ["w1", "w2"]
        .map(tool)
        .map(|tool| (tool.id.clone(), tool))
        .into()
}

/// Those of torque, and those that measure something else.
pub(crate) fn all_tools() -> BTreeMap<String, Tool> {
    let measuring = crate::build::tests::checks::measuring_tools();
    let measuring = measuring.into_iter().map(|tool| (tool.id.clone(), tool));
    tools().into_iter().chain(measuring).collect()
}

fn compose_build(build: &Build) -> Option<Record> {
    let entry = |sequence, seed| KeyEntry {
        sequence,
        key: DidKey::of(&SigningKey::from_bytes(&[seed; 32])).multikey(),
        valid_from: format!("202{sequence}-01-01T08:00:00.000+01:00"),
    };
    let issuer = DidKey::of(&key()).to_string();
    let earlier_certificates = BTreeMap::new();
    let issue = Issue {
        earlier_certificates: &earlier_certificates,
        random: [7; 16],
        time: TIME,
        bench: "north",
        issuer: &issuer,
        key_history: vec![entry(0, 6), entry(1, 7)],
        keys: Vec::new(),
        amends: None,
        tools: &all_tools(),
        practice: false,
        ledger: (build.last_sequence + 1, Digest32::of(b"root")),
    };
    compose(build, issue)
}

/// The record of a build, if it is finished.
pub(crate) fn composed(log: &Log) -> Option<Record> {
    compose_build(&log.build)
}

/// The record as JSON, not signed.
pub(crate) fn document(log: &Log) -> Value {
    serde_json::to_value(composed(log).unwrap()).unwrap()
}

/// A document signed with the bench's key.
pub(crate) fn sealed(document: &Value) -> Value {
    proof::sign(document, &key(), TIME).unwrap()
}

/// Makes a build ready to be handed over: what is over is kept, what is open waits.
pub(crate) fn clean_up(log: &mut Log) {
    let ids: Vec<String> = log
        .build
        .plan
        .fasteners()
        .map(|(_, fastener)| fastener.id.clone())
        .collect();
    for id in ids {
        if matches!(
            log.build.standing(&id),
            Standing::Over | Standing::Undecided
        ) {
            log.dispose(&id, Decision::InspectedAndKept);
        }
        match log.build.standing(&id) {
            Standing::Within
            | Standing::OverKept
            | Standing::Over
            | Standing::UndecidedKept
            | Standing::Deferred => {}
            Standing::Undecided | Standing::Open | Standing::PartWay | Standing::Under => {
                log.defer(&id);
            }
        }
    }
}

/// A day with something of everything: over and kept, undone and tightened again, a test pull, a back order.
pub(crate) fn day() -> Log {
    let mut log = Log::new();
    log.pull("a", 0, 3_000); // 4
    log.pull("a", 1, 5_000); // 5
    log.pull("b", 0, 3_000); // 6
    let over = log.pull("b", 1, 6_000); // 7
    log.pull("b", 1, 5_000); // 8
    log.pull("c", 0, 3_000); // 9
    log.acknowledge(over);
    log.dispose("b", Decision::InspectedAndKept);
    log.loosen("c"); // 12
    log.pull("c", 0, 3_000);
    log.pull("c", 1, 5_100);
    let test = log.hold(1_234); // 15
    log.place(test, None);
    log.pull("d", 0, 3_000);
    log.pull("d", 1, 5_000);
    log.look("d", "M. Oduya");
    log.defer("pedal");
    log.pull("cap", 0, 1_500);
    for fastener in ["a", "b", "c", "d"] {
        log.prepare(fastener);
    }
    log.finish();
    log
}

/// The document of [`day`] after a change, signed anew with the same key, and checked.
pub(crate) fn edited(edit: impl FnOnce(&mut Value)) -> Result<Verified, VerifyError> {
    let mut document = document(&day());
    edit(&mut document);
    verify(&serde_json::to_vec(&sealed(&document)).unwrap())
}

/// A small document: one fastener, which waits.
pub(crate) fn small() -> Value {
    let text = "title=\"t\"\nedition=\"1\"\n[[stage]]\nid=\"s\"\ntitle=\"S\"\nfastener=[{id=\"f\",title=\"F\",spec={upper=\"6 N·m\"}}]";
    let plan = plan::read(text).plan.unwrap();
    let pin = PlanPin {
        title: plan.title.clone(),
        edition: plan.edition.clone(),
        sha256: plan.sha256,
    };
    let bike = Bike {
        frame: "FG54-0117".into(),
        label: None,
    };
    let first = Event::BuildStarted {
        build: log::BUILD.into(),
        bike,
        plan: pin,
        by: "I. Berg".into(),
        follows: None,
    };
    let first = log::entry(3, first);
    let mut log = Log {
        build: Build::begin(&first, plan).unwrap(),
        entries: vec![first],
    };
    log.defer("f");
    log.finish();
    document(&log)
}

/// Puts three other values in the place of every byte, one after the other, and sees that none of the changed texts is
/// taken for something that it is not.
pub(crate) fn every_byte_as_three_others(bytes: &[u8], is_taken: impl Fn(&[u8]) -> bool + Sync) {
    let tried = AtomicUsize::new(0);
    let try_at = |at: usize| {
        let was = bytes[at];
        // A digit, a letter, the neighbour, and two more for where one of them stands already.
        let mut others = vec![b'0', b'a', was ^ 1, b'1', b'b'];
        let mut seen = BTreeSet::from([was]);
        others.retain(|other| seen.insert(*other));
        for other in others.into_iter().take(3) {
            let mut changed = bytes.to_vec();
            changed[at] = other;
            assert!(!is_taken(&changed), "byte {at}, {was}, as {other}");
            tried.fetch_add(1, Ordering::Relaxed);
        }
    };
    // Signatures are slow without optimization: shared out over the processors there are.
    let workers = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    std::thread::scope(|scope| {
        for worker in 0..workers {
            let try_at = &try_at;
            scope.spawn(move || (worker..bytes.len()).step_by(workers).for_each(try_at));
        }
    });
    assert_eq!(tried.into_inner(), bytes.len() * 3);
}
