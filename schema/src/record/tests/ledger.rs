//! A whole small ledger in memory with a key history, and the file of a record that was sealed in it.

use super::bench::{key, tools};
use crate::SigningKey;
use crate::build::Build;
use crate::build::tests::log::{PLAN, entry, plan};
use crate::canonical::{self, Digest32};
use crate::checkpoint::{Checkpoint, log_name};
use crate::entry::{Entry, Event, HeadSigned};
use crate::keys::KeyLink;
use crate::keys::tests::first_of;
use crate::multikey::DidKey;
use crate::proof;
use crate::record::file::{History, RecordFile};
use crate::record::names::{self, Disclosure};
use crate::record::{Amends, Issue, Record, Verified, VerifyError, compose, verify};
use crate::tree::{leaf_hash, root_of};
use serde_json::Value;
use std::collections::BTreeMap;

/// Entries, their leaves, and the keys of the bench.
#[derive(Clone)]
pub(crate) struct Ledger {
    pub(crate) key: SigningKey,
    pub(crate) entries: Vec<Entry>,
    pub(crate) leaves: Vec<Digest32>,
    pub(crate) links: Vec<KeyLink>,
    /// Whether the entries to come are practice.
    pub(crate) practice: bool,
    /// The text of the plan of the build.
    pub(crate) plan: String,
    /// The texts of the editions that it went over to.
    pub(crate) editions: Vec<String>,
}

/// What was sealed.
pub(crate) struct Seal {
    /// The entry.
    pub(crate) sequence: u64,
    /// The record as it was signed.
    pub(crate) signed: Value,
    /// With its names.
    pub(crate) shown: Record,
    pub(crate) names: Vec<Disclosure>,
    pub(crate) hash: Digest32,
}

impl Ledger {
    /// The bench comes up, has a first key, and knows two tools.
    pub(crate) fn new(key: &SigningKey) -> Self {
        let link = first_of(key);
        let mut ledger = Self {
            key: key.clone(),
            entries: Vec::new(),
            leaves: Vec::new(),
            links: vec![link.clone()],
            practice: false,
            plan: PLAN.to_owned(),
            editions: Vec::new(),
        };
        ledger.add(Event::Started {
            program: "test".into(),
            key: DidKey::of(key).multikey(),
            boot: "b".into(),
            practice_speed: None,
        });
        ledger.add(Event::KeyLinked(Box::new(link)));
        for tool in tools().into_values() {
            ledger.add(Event::ToolAdded {
                by: None,
                tool: Box::new(tool),
            });
        }
        ledger
    }

    /// A day's events of a build, as they are or after a change.
    pub(crate) fn of(key: &SigningKey, events: &[Event]) -> Self {
        Self::new(key).with(events)
    }

    /// The same with a day's events.
    pub(crate) fn with(mut self, events: &[Event]) -> Self {
        // The days of these tests begin at entry 3 and name entries by number.
        self.entries.pop();
        self.leaves.pop();
        for event in events {
            self.add(event.clone());
        }
        self
    }

    pub(crate) fn add(&mut self, event: Event) -> u64 {
        let sequence = self.entries.len() as u64;
        let mut entry = entry(sequence, event);
        entry.practice = self.practice;
        entry.in_build = entry.event.build().map(|build| {
            let before = self.entries.iter();
            before
                .filter(|entry| entry.event.build() == Some(build))
                .count() as u64
        });
        self.push(entry)
    }

    pub(crate) fn push(&mut self, entry: Entry) -> u64 {
        let sequence = entry.sequence;
        self.leaves
            .push(leaf_hash(&canonical::to_canonical_of(&entry).unwrap()));
        self.entries.push(entry);
        sequence
    }

    pub(crate) fn head(&self) -> (u64, Digest32) {
        (self.leaves.len() as u64, root_of(&self.leaves))
    }

    pub(crate) fn checkpoint(&self) -> String {
        let name = log_name(&DidKey::from_multikey(&self.links[0].key).unwrap());
        let (size, root) = self.head();
        let head = Checkpoint {
            origin: name.clone(),
            size,
            root,
        };
        head.sign(&self.key, &name).unwrap()
    }

    /// The build as the entries tell it.
    pub(crate) fn build(&self, id: &str) -> Build {
        let of_build = || {
            self.entries
                .iter()
                .filter(|entry| entry.event.build() == Some(id))
        };
        let plan = crate::plan::read_pinned(&self.plan)
            .plan
            .unwrap_or_else(plan);
        let mut build = Build::begin(of_build().next().unwrap(), plan).unwrap();
        for entry in of_build().skip(1) {
            let pin = entry.event.plan().map(|pin| pin.sha256);
            let mut plans = self
                .texts()
                .filter_map(|text| crate::plan::read_pinned(text).plan);
            build.apply_with(
                entry,
                pin.and_then(|pin| plans.find(|plan| plan.sha256 == pin))
                    .as_ref(),
            );
        }
        build
    }

    fn texts(&self) -> impl Iterator<Item = &String> {
        [&self.plan].into_iter().chain(&self.editions)
    }

    /// Seals a build's record after a change to what it says.
    pub(crate) fn seal(
        &mut self,
        id: &str,
        amends: Option<Amends>,
        edit: impl FnOnce(&mut Record),
    ) -> Seal {
        let build = self.build(id);
        let issuer = DidKey::of(&self.key).to_string();
        let sequence = self.entries.len() as u64;
        let time = entry(sequence, Event::ClockChanged { by_ms: 0 }).time;
        let earlier_certificates = BTreeMap::new();
        let tools = self
            .entries
            .iter()
            .filter_map(|entry| match &entry.event {
                Event::ToolAdded { tool, .. } => Some((tool.id.clone(), (**tool).clone())),
                _ => None,
            })
            .collect();
        let issue = Issue {
            earlier_certificates: &earlier_certificates,
            random: [9; 16],
            time: &time,
            bench: "north",
            issuer: &issuer,
            key_history: Vec::new(),
            keys: self.links.clone(),
            amends,
            tools: &tools,
            practice: false,
            ledger: self.head(),
        };
        let mut shown = compose(&build, issue).unwrap();
        edit(&mut shown);
        let (hidden, names) = names::hide(&shown, &[3; 32]).unwrap();
        shown.subject.record_version = hidden.subject.record_version;
        let document = serde_json::to_value(&hidden).unwrap();
        let signed = proof::sign(&document, &self.key, &time).unwrap();
        let hash = Digest32::of(&canonical::to_canonical(&signed).unwrap());
        let checkpoint = self.checkpoint();
        self.add(Event::RecordSealed {
            build: id.to_owned(),
            record: hash,
            by: "I. Berg".into(),
            checkpoint,
            names: names.clone(),
            confirmed: None,
        });
        for record in [Some(hash), None] {
            let checkpoint = self.checkpoint();
            self.add(Event::HeadSigned(HeadSigned { checkpoint, record }));
        }
        Seal {
            sequence,
            signed,
            shown,
            names,
            hash,
        }
    }

    /// The file of a record: everything up to the seal but what belongs to other builds.
    pub(crate) fn file(&self, seal: &Seal) -> RecordFile {
        let id = seal.shown.subject.build.as_str();
        let wanted = self.entries.iter().filter(|entry| {
            let is_told = matches!(
                entry.event,
                Event::ToolAdded { .. } | Event::ToolCertified { .. } | Event::KeyLinked(_)
            );
            (is_told || entry.event.build() == Some(id)) && entry.sequence <= seal.sequence
        });
        self.file_of(seal, wanted.map(|entry| entry.sequence).collect())
    }

    /// The same with these entries.
    pub(crate) fn file_of(&self, seal: &Seal, wanted: Vec<u64>) -> RecordFile {
        let bodies: Vec<(u64, Vec<u8>)> = wanted
            .into_iter()
            .map(|sequence| {
                let at = usize::try_from(sequence).unwrap();
                (
                    sequence,
                    canonical::to_canonical_of(&self.entries[at]).unwrap(),
                )
            })
            .collect();
        let history = History::new(self.checkpoint(), &self.leaves, &bodies).unwrap();
        RecordFile {
            format: crate::record::file::FORMAT.to_owned(),
            record: seal.signed.clone(),
            names: seal.names.clone(),
            keys: self.links.clone(),
            plans: self.texts().cloned().collect(),
            history: Some(history),
            for_customer: None,
        }
    }
}

/// The key of the bench in these tests.
pub(crate) fn bench_key() -> SigningKey {
    key()
}

/// What checking a file comes to.
pub(super) fn checked(file: &RecordFile) -> Result<Verified, VerifyError> {
    verify(&file.bytes().unwrap())
}

/// The file does not show that its record is in the ledger, and says why.
#[track_caller]
pub(super) fn not_shown(file: &RecordFile, what: &str) {
    match checked(file) {
        Err(VerifyError::History(why)) => assert!(why.contains(what), "{why}"),
        other => panic!("{what}: {other:?}"),
    }
}
