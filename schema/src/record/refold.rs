//! Compares a record with the entries of the ledger that it was made from.
//!
//! The entries lead to a signed head, so they are those of the ledger. Each entry of a build says how many of that build
//! came before it, so none is left out. They are folded again into a build and that into a record, and what comes out has
//! to be the record that was signed: a reading that was dropped, added, doubled or moved shows, also where the holder of the
//! key signed the record anew.

use super::compose::{Issue, compose};
use super::file::{History, RecordFile};
use super::{PLAIN_VERSION, Record, VerifyError};
use crate::build::Build;
use crate::canonical::{self, Digest32};
use crate::certificate::Certificate;
use crate::checkpoint::{Checkpoint, VerifierKey, log_name, read_hash};
use crate::entry::{Entry, Event};
use crate::keys::KeyLink;
use crate::multikey::DidKey;
use crate::plan::{self, Plan};
use crate::tool::Tool;
use crate::tree::{leaf_hash, root_of_several};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde_json::Value;
use std::collections::BTreeMap;

/// What the ledger shows about a record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InLedger {
    /// How many entries the signed head covers.
    pub size: u64,
    /// Its root.
    pub root: Digest32,
    /// The head as it was signed.
    pub checkpoint: String,
    /// An outside authority's time stamp of it, a token of RFC 3161. It was not looked into.
    pub timestamp: Option<Vec<u8>>,
    /// How many entries were laid open.
    pub entries: usize,
    /// Whether the record was made again from its entries and came out the same.
    pub refolded: bool,
    /// Whether the entries count themselves, so that none can have been left out. Older ledgers did not.
    pub numbered: bool,
}

/// The longest time stamp that is carried, in bytes.
const LONGEST_TOKEN: usize = 64 * 1024;

fn token(text: &str) -> Result<Vec<u8>, VerifyError> {
    STANDARD
        .decode(text)
        .ok()
        .filter(|token| !token.is_empty() && token.len() <= LONGEST_TOKEN)
        .ok_or_else(|| wrong("what stands as the time stamp is none"))
}

/// What a record is compared by.
pub(super) struct Signer<'a> {
    /// Every key of the bench, the first one first.
    pub(super) keys: &'a [DidKey],
    /// SHA-256 of the signed record.
    pub(super) sha256: Digest32,
}

fn wrong(what: impl Into<String>) -> VerifyError {
    VerifyError::History(what.into())
}

/// `shown` is the record with its names.
pub(super) fn check(
    file: &RecordFile,
    history: &History,
    shown: &Record,
    signer: &Signer<'_>,
) -> Result<InLedger, VerifyError> {
    let head = open(&history.checkpoint, signer.keys)?;
    let entries = read_entries(&history.entries)?;
    let given: Vec<(u64, Digest32)> = entries
        .iter()
        .map(|(entry, leaf)| (entry.sequence, *leaf))
        .collect();
    let hashes: Option<Vec<Digest32>> = history.hashes.iter().map(|text| read_hash(text)).collect();
    let hashes = hashes.ok_or_else(|| wrong("a hash is not the base64 text of 32 bytes"))?;
    let root =
        root_of_several(head.size, &given, &hashes).map_err(|error| wrong(error.to_string()))?;
    if root != head.root {
        return Err(wrong("the entries do not lead to the signed root"));
    }
    let entries: Vec<Entry> = entries.into_iter().map(|(entry, _)| entry).collect();
    let mut found = InLedger {
        size: head.size,
        root: head.root,
        checkpoint: history.checkpoint.clone(),
        timestamp: history.timestamp.as_deref().map(token).transpose()?,
        entries: entries.len(),
        refolded: false,
        numbered: false,
    };
    let seal = entries.iter().find(
        |entry| matches!(&entry.event, Event::RecordSealed { record, .. } if *record == signer.sha256),
    );
    if let Some(seal) = seal {
        if shown.subject.record_version == PLAIN_VERSION {
            // Records of the first version are shown to be in the ledger, and not made again.
            check_seal(shown, seal, signer)?;
            return Ok(found);
        }
        found.numbered = refold(file, shown, &entries, seal, signer)?;
        found.refolded = true;
        return Ok(found);
    }
    let is_named = entries.iter().any(
        |entry| matches!(&entry.event, Event::HeadSigned(head) if head.record == Some(signer.sha256)),
    );
    if is_named {
        return Ok(found);
    }
    Err(wrong(
        "none of the entries says that this record was sealed",
    ))
}

/// A head that one of the bench's keys signed.
pub(super) fn open(checkpoint: &str, keys: &[DidKey]) -> Result<Checkpoint, VerifyError> {
    let first = keys.first().ok_or_else(|| wrong("no key is known"))?;
    let name = log_name(first);
    let mut last = None;
    for key in keys.iter().rev() {
        let opened =
            VerifierKey::new(&name, *key).and_then(|vkey| Checkpoint::open(checkpoint, &vkey));
        match opened {
            Ok(head) => return Ok(head),
            Err(error) => last = Some(error),
        }
    }
    Err(wrong(last.map_or_else(String::new, |error| {
        format!("the signed head: {error}")
    })))
}

fn read_entries(values: &[Value]) -> Result<Vec<(Entry, Digest32)>, VerifyError> {
    let read = values.iter().map(|value| {
        let body = canonical::to_canonical(value)?;
        let entry: Entry = serde_json::from_value(value.clone())
            .map_err(|error| wrong(format!("an entry cannot be read: {error}")))?;
        if canonical::to_canonical_of(&entry)? != body {
            return Err(wrong(format!(
                "entry {} holds what this program does not know",
                entry.sequence
            )));
        }
        Ok((entry, leaf_hash(&body)))
    });
    read.collect()
}

/// Gives back whether the entries count themselves.
fn refold(
    file: &RecordFile,
    shown: &Record,
    entries: &[Entry],
    seal: &Entry,
    signer: &Signer<'_>,
) -> Result<bool, VerifyError> {
    let subject = &shown.subject;
    check_seal(shown, seal, signer)?;
    let before: Vec<&Entry> = entries
        .iter()
        .filter(|entry| entry.sequence < seal.sequence)
        .collect();
    let of_build: Vec<&Entry> = before
        .iter()
        .copied()
        .filter(|entry| entry.event.build() == Some(&subject.build))
        .collect();
    let numbered = count(&of_build, seal)?;
    let first = of_build
        .first()
        .ok_or_else(|| wrong("the entry that began the build is missing"))?;
    let plans: Vec<Plan> = file
        .plans
        .iter()
        .filter_map(|text| plan::read_pinned(text).plan)
        .collect();
    let missing = || wrong("the plan is missing, or another than the one that was pinned");
    check_plans(file, &of_build)?;
    let plan_of = |entry: &Entry| match entry.event.plan() {
        None => Ok(None),
        Some(pin) => {
            let plan = plans.iter().find(|plan| plan.sha256 == pin.sha256);
            plan.map(Some).ok_or_else(missing)
        }
    };
    let mut build = plan_of(first)?
        .and_then(|plan| Build::begin(first, plan.clone()))
        .ok_or_else(missing)?;
    for entry in of_build.iter().skip(1) {
        build.apply_with(entry, plan_of(entry)?);
    }
    check_amends(shown, &of_build)?;
    check_practice(subject.practice, entries)?;
    check_links(shown, &before)?;
    let (tools, earlier) = tools(&before);
    let issue = Issue {
        random: [0; 16],
        time: &shown.valid_from,
        bench: &seal.bench,
        issuer: &shown.issuer,
        key_history: subject.key_history.clone(),
        keys: subject.keys.clone(),
        amends: subject.amends.clone(),
        tools: &tools,
        earlier_certificates: &earlier,
        practice: subject.practice,
        ledger: (subject.ledger.size, subject.ledger.root),
    };
    let mut again = compose(&build, issue)
        .ok_or_else(|| wrong("the entries do not end with a finished build"))?;
    again.id.clone_from(&shown.id);
    again.subject.record_version = subject.record_version;
    let again = serde_json::to_value(&again).unwrap_or_default();
    let said = serde_json::to_value(shown).unwrap_or_default();
    match difference(&said, &again, String::new()) {
        None => Ok(numbered),
        Some(at) => Err(wrong(format!(
            "the record is not what its entries give: they disagree at {at}"
        ))),
    }
}

fn check_seal(shown: &Record, seal: &Entry, signer: &Signer<'_>) -> Result<(), VerifyError> {
    let Event::RecordSealed {
        build, checkpoint, ..
    } = &seal.event
    else {
        return Err(wrong("the entry of the seal is none"));
    };
    let ledger = &shown.subject.ledger;
    let head = open(checkpoint, signer.keys)?;
    let fits = *build == shown.subject.build
        && seal.time == shown.valid_from
        && ledger.size == seal.sequence
        && (head.size, head.root) == (ledger.size, ledger.root);
    if fits {
        Ok(())
    } else {
        Err(wrong("the entry of the seal speaks of another record"))
    }
}

/// Whether the entries count themselves; an error where one is missing.
fn count(of_build: &[&Entry], seal: &Entry) -> Result<bool, VerifyError> {
    let numbered = of_build.iter().copied().chain([seal]);
    if numbered.clone().all(|entry| entry.in_build.is_none()) {
        return Ok(false);
    }
    // A build that was begun before entries counted themselves begins to count in the middle.
    let mut counting = false;
    for (number, entry) in (0_u64..).zip(numbered) {
        match entry.in_build {
            Some(said) if said == number => counting = true,
            None if !counting => {}
            _ => {
                return Err(wrong(format!(
                    "an entry of the build is missing before entry {}",
                    entry.sequence
                )));
            }
        }
    }
    Ok(of_build
        .first()
        .is_some_and(|first| first.in_build.is_some()))
}

/// A text beside the record that no entry pins was never a plan of this build.
fn check_plans(file: &RecordFile, of_build: &[&Entry]) -> Result<(), VerifyError> {
    let is_pinned = |text: &String| {
        let sha256 = Digest32::of(text.as_bytes());
        let mut pins = of_build.iter().filter_map(|entry| entry.event.plan());
        pins.any(|pin| pin.sha256 == sha256)
    };
    if file.plans.iter().all(is_pinned) {
        Ok(())
    } else {
        Err(wrong("a plan in the file is none that was pinned"))
    }
}

/// A bench that once practised says so for good, so a record may call real work practice, and never the other way round.
fn check_practice(is_said: bool, entries: &[Entry]) -> Result<(), VerifyError> {
    match entries.iter().find(|entry| entry.practice) {
        Some(entry) if !is_said => Err(wrong(format!(
            "entry {} is practice, and the record does not say so",
            entry.sequence
        ))),
        _ => Ok(()),
    }
}

/// The record that is amended has to be the last one that was sealed before.
fn check_amends(shown: &Record, of_build: &[&Entry]) -> Result<(), VerifyError> {
    let last = of_build.iter().rev().find_map(|entry| match &entry.event {
        Event::RecordSealed { record, .. } => Some(*record),
        _ => None,
    });
    let named = shown.subject.amends.as_ref().map(|amends| amends.record);
    if last == named {
        Ok(())
    } else {
        Err(wrong(
            "it does not name the record before it as the one that it amends",
        ))
    }
}

fn check_links(shown: &Record, before: &[&Entry]) -> Result<(), VerifyError> {
    let links: Vec<&KeyLink> = before
        .iter()
        .filter_map(|entry| match &entry.event {
            Event::KeyLinked(link) => Some(&**link),
            _ => None,
        })
        .collect();
    if links.into_iter().eq(&shown.subject.keys) {
        Ok(())
    } else {
        Err(wrong("the ledger has another key history than the record"))
    }
}

/// The tools as the ledger knew them, and the certificates that each had before its present one.
fn tools(before: &[&Entry]) -> (BTreeMap<String, Tool>, BTreeMap<String, Vec<Certificate>>) {
    let mut tools: BTreeMap<String, Tool> = BTreeMap::new();
    let mut earlier: BTreeMap<String, Vec<Certificate>> = BTreeMap::new();
    for entry in before {
        match &entry.event {
            Event::ToolAdded { tool, .. } => {
                let mut tool = (**tool).clone();
                let known = tools
                    .get(&tool.id)
                    .filter(|known| known.serial == tool.serial)
                    .and_then(|known| known.certificate.clone());
                match (&tool.certificate, known) {
                    (None, known) => tool.certificate = known,
                    (Some(new), Some(known)) if known != *new => {
                        earlier.entry(tool.id.clone()).or_default().push(known);
                    }
                    _ => {}
                }
                tools.insert(tool.id.clone(), tool);
            }
            Event::ToolCertified {
                tool, certificate, ..
            } => {
                if let Some(known) = tools.get_mut(tool)
                    && let Some(replaced) = known.certificate.replace((**certificate).clone())
                {
                    earlier.entry(tool.clone()).or_default().push(replaced);
                }
            }
            _ => {}
        }
    }
    (tools, earlier)
}

/// Where two documents differ first, as a JSON pointer.
fn difference(one: &Value, other: &Value, at: String) -> Option<String> {
    match (one, other) {
        (Value::Object(one), Value::Object(other)) => {
            let mut names: Vec<&String> = one.keys().chain(other.keys()).collect();
            names.sort_unstable();
            names.dedup();
            names.into_iter().find_map(|name| {
                let below = format!("{at}/{name}");
                match (one.get(name), other.get(name)) {
                    (Some(one), Some(other)) => difference(one, other, below),
                    _ => Some(below),
                }
            })
        }
        (Value::Array(one), Value::Array(other)) => {
            let differs = one
                .iter()
                .zip(other)
                .enumerate()
                .find_map(|(number, (one, other))| {
                    difference(one, other, format!("{at}/{number}"))
                });
            differs.or_else(|| {
                (one.len() != other.len()).then(|| format!("{at}/{}", one.len().min(other.len())))
            })
        }
        _ => (one != other).then_some(at),
    }
}
