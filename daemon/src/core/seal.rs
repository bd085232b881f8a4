//! Sealing: from a finished build to a signed record, and the entry that says so.

use super::acts;
use super::bench::Bench;
use super::decide::Decided;
use super::refusal::Refusal;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::checkpoint::{Checkpoint, CheckpointError, log_name};
use pullmark_schema::entry::{Event, HeadSigned, Now, to_text};
use pullmark_schema::multikey::DidKey;
use pullmark_schema::record::{self, Amends, Issue, Record, amend, names};
use pullmark_schema::{SigningKey, proof};

/// What sealing needs beside the bench.
#[derive(Debug)]
pub struct Means<'a> {
    /// The bench's name.
    pub bench: &'a str,
    /// The key that signs.
    pub key: &'a SigningKey,
    /// 16 random bytes: the record's name.
    pub random: [u8; 16],
    /// 32 random bytes that nobody else ever sees: the names of people are hidden by them.
    pub secret: [u8; 32],
    /// The ledger's size and root.
    pub head: (u64, Digest32),
}

/// The record that is amended.
#[derive(Debug, Clone)]
pub struct Earlier {
    /// What it says, with its names.
    pub record: Record,
    /// SHA-256 of its canonical JSON.
    pub hash: Digest32,
    /// Why it is amended.
    pub reason: String,
}

/// Signs the head of the bench's tree. The log keeps the name of the bench's first key, whichever key signs now.
pub fn sign_head(
    bench: &Bench,
    key: &SigningKey,
    head: (u64, Digest32),
) -> Result<String, CheckpointError> {
    let first = bench.first_key().unwrap_or_else(|| DidKey::of(key));
    let name = log_name(&first);
    let checkpoint = Checkpoint {
        origin: name.clone(),
        size: head.0,
        root: head.1,
    };
    checkpoint.sign(key, &name)
}

/// The entry that keeps a signed head.
pub fn head_signed(
    bench: &Bench,
    key: &SigningKey,
    head: (u64, Digest32),
    record: Option<Digest32>,
) -> Result<Decided, CheckpointError> {
    let checkpoint = sign_head(bench, key, head)?;
    Ok(Event::HeadSigned(HeadSigned { checkpoint, record }).into())
}

/// Signs the record of a finished build; the first one, or one that amends an earlier one.
pub fn seal(
    bench: &Bench,
    build: &str,
    by: String,
    earlier: Option<&Earlier>,
    means: &Means<'_>,
    now: Now,
) -> Result<Decided, Refusal> {
    let known = acts::known_build(bench, build)?;
    let by = acts::name(by)?;
    let time = to_text(now.wall);
    let did = DidKey::of(means.key);
    let issuer = did.to_string();
    let states = bench.tool_states.iter();
    let earlier_certificates = states
        .map(|(id, state)| (id.clone(), state.earlier.clone()))
        .collect();
    let keys = bench.links();
    let issue = Issue {
        random: means.random,
        time: &time,
        bench: means.bench,
        issuer: &issuer,
        key_history: if keys.is_empty() {
            bench.key_history.clone()
        } else {
            Vec::new()
        },
        keys,
        amends: None,
        tools: &bench.tools,
        earlier_certificates: &earlier_certificates,
        practice: bench.practice,
        ledger: means.head,
    };
    let mut record =
        record::compose(known, issue).ok_or_else(|| Refusal::BuildOpen(build.to_owned()))?;
    record.subject.amends = earlier
        .map(|earlier| amends(earlier, &record))
        .transpose()?;
    let not_sealed = |error: &dyn std::fmt::Display| Refusal::Seal(error.to_string());
    let (document, names) = names::hide_in_document(record, &means.secret)
        .ok_or_else(|| not_sealed(&"its names cannot be hidden"))?;
    let bytes =
        proof::sign_to_canonical(document, means.key, &time).map_err(|error| not_sealed(&error))?;
    let checkpoint = sign_head(bench, means.key, means.head).map_err(|error| not_sealed(&error))?;
    let event = Event::RecordSealed {
        build: build.to_owned(),
        record: Digest32::of(&bytes),
        by,
        checkpoint,
        names,
        confirmed: None,
    };
    Ok(Decided {
        event,
        attached: Some(bytes),
    })
}

fn amends(earlier: &Earlier, record: &Record) -> Result<Amends, Refusal> {
    Ok(Amends {
        record: earlier.hash,
        id: earlier.record.id.clone(),
        sealed: earlier.record.valid_from.clone(),
        reason: acts::reason_text(&earlier.reason)?,
        changed: amend::changed(&earlier.record.subject, &record.subject),
    })
}
