//! Sealing: from a finished build to a signed record, and the entry that says so.

use super::acts;
use super::bench::Bench;
use super::decide::Decided;
use super::refusal::Refusal;
use pullmark_schema::canonical::{self, Digest32};
use pullmark_schema::checkpoint::Checkpoint;
use pullmark_schema::entry::{Event, Now, to_text};
use pullmark_schema::multikey::DidKey;
use pullmark_schema::record::{self, Issue};
use pullmark_schema::{SigningKey, proof};

/// What sealing needs beside the bench.
#[derive(Debug)]
pub struct Means<'a> {
    /// The bench's name.
    pub bench: &'a str,
    /// The key that signs.
    pub key: &'a SigningKey,
    /// 16 random bytes.
    pub random: [u8; 16],
    /// The ledger's size and root.
    pub head: (u64, Digest32),
}

/// The name under which a bench's tree heads are signed.
pub fn log_name(key: &DidKey) -> String {
    let did = key.to_string();
    format!(
        "pullmark.invalid/bench/{}",
        did.trim_start_matches("did:key:")
    )
}

/// Signs the record of a finished build.
pub fn seal(
    bench: &Bench,
    build: &str,
    by: String,
    means: &Means<'_>,
    now: Now,
) -> Result<Decided, Refusal> {
    let known = acts::known_build(bench, build)?;
    let by = acts::name(by)?;
    let time = to_text(now.wall);
    let did = DidKey::of(means.key);
    let issuer = did.to_string();
    let states = bench.tool_states.iter();
    let earlier = states
        .map(|(id, state)| (id.clone(), state.earlier.clone()))
        .collect();
    let issue = Issue {
        random: means.random,
        time: &time,
        bench: means.bench,
        issuer: &issuer,
        key_history: bench.key_history.clone(),
        tools: &bench.tools,
        earlier_certificates: &earlier,
        practice: bench.practice,
        ledger: means.head,
    };
    let record =
        record::compose(known, issue).ok_or_else(|| Refusal::BuildOpen(build.to_owned()))?;
    let not_sealed = |error: &dyn std::fmt::Display| Refusal::Seal(error.to_string());
    let document = serde_json::to_value(&record).map_err(|error| not_sealed(&error))?;
    let signed = proof::sign(&document, means.key, &time).map_err(|error| not_sealed(&error))?;
    let bytes = canonical::to_canonical(&signed).map_err(|error| not_sealed(&error))?;
    let checkpoint = Checkpoint {
        origin: log_name(&did),
        size: means.head.0,
        root: means.head.1,
    };
    let checkpoint = checkpoint
        .sign(means.key, &log_name(&did))
        .map_err(|error| not_sealed(&error))?;
    let event = Event::RecordSealed {
        build: build.to_owned(),
        record: Digest32::of(&bytes),
        by,
        checkpoint,
    };
    Ok(Decided {
        event,
        attached: Some(bytes),
    })
}
