//! Sealed records: as they were signed, as the file that a customer gets, and as a table.

use super::views::read;
use super::{Answer, apart, broken, problem};
use crate::core::Bench;
use crate::edge::store::{Reader, StoreError};
use crate::export;
use crate::run::{Handle, Heart};
use axum::Json;
use axum::extract::{Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use pullmark_schema::entry::{Entry, Event};
use pullmark_schema::keys::KeyLink;
use pullmark_schema::record::file::{History, RecordFile};
use pullmark_schema::record::names::Disclosure;

/// So many entries after a seal are looked at for the one that names the record without any person's name.
const NEAR: u32 = 16;

/// How a record is to be written.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct How {
    /// Leave the names of people out.
    redact: bool,
}

/// What the bench knows about a build's last record.
struct Sealed {
    /// The entry of the seal.
    sequence: u64,
    /// The build's entries, the bench's tools and keys, up to and with the seal, rising.
    entries: Vec<u64>,
    /// The key history as it is now.
    keys: Vec<KeyLink>,
    /// The last signed head.
    head: Option<Head>,
    /// Those that an outside authority has stamped, the oldest first.
    stamped: Vec<Head>,
}

/// A signed head.
#[derive(Debug, Clone)]
struct Head {
    /// How many entries it covers.
    size: u64,
    /// Its text.
    checkpoint: String,
    /// The entry that keeps its time stamp.
    stamp: Option<u64>,
}

fn sealed(heart: &Heart, build: &str) -> Option<Sealed> {
    let bench = &heart.bench;
    let known = bench.builds.get(build)?;
    let sequence = known.sealed.last()?.sequence;
    let of_checks = known.checks.readings.values();
    let of_checks = of_checks.map(|known| &known.reading.tool);
    let tools = known.readings.values().map(|known| &known.reading.tool);
    let tools = tools.chain(of_checks);
    let tools: std::collections::BTreeSet<&String> = tools.collect();
    let told = tools
        .into_iter()
        .filter_map(|tool| bench.tool_states.get(tool))
        .flat_map(|state| &state.told);
    let links = bench.links.iter().map(|(sequence, _)| sequence);
    let mut entries: Vec<u64> = known
        .entries
        .iter()
        .chain(told)
        .chain(links)
        .copied()
        .filter(|entry| *entry <= sequence)
        .collect();
    entries.sort_unstable();
    entries.dedup();
    Some(Sealed {
        sequence,
        entries,
        keys: bench.links(),
        head: bench.head.as_ref().map(|head| Head {
            size: head.size,
            checkpoint: head.checkpoint.clone(),
            stamp: None,
        }),
        stamped: stamped(bench, sequence),
    })
}

/// The stamped heads that may cover a seal.
fn stamped(bench: &Bench, seal: u64) -> Vec<Head> {
    let heads = bench.heads.iter().filter(|(size, _)| *size > seal);
    heads
        .filter_map(|(size, checkpoint)| {
            Some(Head {
                size: *size,
                checkpoint: checkpoint.clone(),
                stamp: Some(*bench.stamped.get(size)?),
            })
        })
        .collect()
}

async fn last_sealed(handle: &Handle, build: String) -> Answer<Sealed> {
    let name = build.clone();
    let looked = handle.look(move |heart| sealed(heart, &build));
    looked.await?.ok_or_else(|| {
        let detail = format!("the build {name:?} has no record yet: finish it and seal its record");
        problem(StatusCode::NOT_FOUND, "record/not-sealed", detail).into()
    })
}

fn damaged(sequence: u64) -> StoreError {
    StoreError::Damaged {
        sequence,
        what: "the record that it names is missing or was changed".to_owned(),
    }
}

fn entry_of(reader: &Reader, sequence: u64) -> Result<(Entry, Vec<u8>), StoreError> {
    let body = reader.body(sequence)?.ok_or_else(|| damaged(sequence))?;
    let entry = serde_json::from_slice(&body).map_err(|_| damaged(sequence))?;
    Ok((entry, body))
}

/// The record of a seal, its names, and whether they are hashes in the record.
fn record_of(
    reader: &Reader,
    sequence: u64,
) -> Result<
    (
        Vec<u8>,
        Vec<Disclosure>,
        pullmark_schema::canonical::Digest32,
    ),
    StoreError,
> {
    let (entry, _) = entry_of(reader, sequence)?;
    let Event::RecordSealed { names, record, .. } = entry.event else {
        return Err(damaged(sequence));
    };
    let bytes = reader
        .attached(sequence)?
        .ok_or_else(|| damaged(sequence))?;
    Ok((bytes, names, record))
}

fn file_of(reader: &Reader, sealed: Sealed, redact: bool) -> Result<RecordFile, StoreError> {
    let (bytes, names, hash) = record_of(reader, sealed.sequence)?;
    let mut file = RecordFile::of(&bytes).map_err(|_| damaged(sealed.sequence))?;
    file.keys = sealed.keys;
    // A record of the first version holds names as they are, and was not made to be made again.
    let is_plain = names.is_empty();
    let wanted = if redact {
        let near = reader.bodies_after(Some(sealed.sequence), NEAR)?;
        let names_it = |(_, body): &(u64, Vec<u8>)| {
            serde_json::from_slice::<Entry>(body).is_ok_and(
                |entry| matches!(entry.event, Event::HeadSigned(head) if head.record == Some(hash)),
            )
        };
        near.into_iter().filter(names_it).take(1).collect()
    } else if is_plain {
        vec![(sealed.sequence, entry_of(reader, sealed.sequence)?.1)]
    } else {
        let plans = sealed.entries.iter();
        file.plans = plans
            .filter_map(|sequence| plan_text(reader, *sequence).transpose())
            .collect::<Result<_, StoreError>>()?;
        file.names = names;
        let all = sealed.entries.iter();
        all.map(|sequence| Ok((*sequence, entry_of(reader, *sequence)?.1)))
            .collect::<Result<_, StoreError>>()?
    };
    let Some(last) = wanted.last().map(|(sequence, _)| *sequence) else {
        return Ok(file);
    };
    // The first stamp that covers it says the earliest time; without one, the newest head.
    let mut heads = sealed.stamped.into_iter().chain(sealed.head);
    if let Some(head) = heads.find(|head| head.size > last) {
        let leaves = reader.leaves(head.size)?;
        let history = History::new(head.checkpoint, &leaves, &wanted).ok();
        let stamp = head.stamp.map(|entry| reader.attached(entry)).transpose()?;
        file.history = history.map(|history| History {
            timestamp: stamp.flatten().map(|token| STANDARD.encode(token)),
            ..history
        });
    }
    Ok(file)
}

fn plan_text(reader: &Reader, sequence: u64) -> Result<Option<String>, StoreError> {
    let (entry, _) = entry_of(reader, sequence)?;
    if entry.event.plan().is_none() {
        return Ok(None);
    }
    let bytes = reader.attached(sequence)?;
    Ok(bytes.and_then(|bytes| String::from_utf8(bytes).ok()))
}

/// A build's last record, as it was signed.
pub(super) async fn record(
    State(handle): State<Handle>,
    Path(build): Path<String>,
) -> Answer<Response> {
    let sealed = last_sealed(&handle, build).await?;
    let (bytes, ..) = read(&handle, move |reader| record_of(reader, sealed.sequence)).await?;
    Ok(([(header::CONTENT_TYPE, "application/vc")], bytes).into_response())
}

/// The same with what shows that it is in the ledger.
pub(super) async fn file(
    State(handle): State<Handle>,
    Path(build): Path<String>,
    Query(how): Query<How>,
) -> Answer<Response> {
    let sealed = last_sealed(&handle, build).await?;
    let redact = how.redact;
    let file = read(&handle, move |reader| file_of(reader, sealed, redact)).await?;
    let bytes = file.bytes().map_err(|error| broken(&error))?;
    Ok(([(header::CONTENT_TYPE, "application/json")], bytes).into_response())
}

/// Every reading of a build's last record as a table.
pub(super) async fn readings_csv(
    State(handle): State<Handle>,
    Path(build): Path<String>,
) -> Answer<Response> {
    let sealed = last_sealed(&handle, build).await?;
    let found = read(&handle, move |reader| record_of(reader, sealed.sequence));
    let (bytes, names, _) = found.await?;
    // A signature is checked, and a record may be long: no alarm waits for that.
    let text = apart(move || {
        RecordFile::of(&bytes)
            .and_then(|file| RecordFile { names, ..file }.bytes())
            .map_err(|error| error.to_string())
            .and_then(|file| {
                pullmark_schema::record::verify(&file).map_err(|error| error.to_string())
            })
            .and_then(|verified| {
                export::readings_csv(&verified.record).map_err(|error| error.to_string())
            })
    });
    let text = text.await?.map_err(|error| broken(&error))?;
    let kind = "text/csv; charset=utf-8; header=present";
    Ok(([(header::CONTENT_TYPE, kind)], text).into_response())
}

/// The bench's key history.
pub(super) async fn keys(State(handle): State<Handle>) -> Answer<Json<serde_json::Value>> {
    let links = handle.look(|heart| heart.bench.links()).await?;
    Ok(Json(serde_json::json!({ "keys": links })))
}
