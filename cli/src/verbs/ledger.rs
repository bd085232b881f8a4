//! `pullmark ledger`: works on the data folder itself.

use super::Context;
use crate::arguments::LedgerVerb;
use crate::files;
use crate::print;
use crate::report::Outcome;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_daemon::edge::store::{CheckError, Lock, Reader, StoreError, check, rebuild};
use pullmark_schema::api::Act;
use pullmark_schema::record::later::ConsistencyFile;
use pullmark_schema::tree;
use std::path::Path;

pub(crate) async fn run(context: &Context, verb: &LedgerVerb) -> miette::Result<Outcome> {
    match verb {
        LedgerVerb::Timestamp { request, response } => match (request, response) {
            (_, Some(file)) => keep_stamp(context, file).await,
            (Some(file), None) => write_question(context, file),
            (None, None) => Ok(Outcome::AsAsked),
        },
        LedgerVerb::Check => check_all(context),
        LedgerVerb::Rebuild => {
            let _lock = Lock::take(&context.data).into_diagnostic()?;
            let count = rebuild(&context.data).into_diagnostic()?;
            if context.json {
                print::json(&serde_json::json!({ "entries": count }));
            } else {
                print::line(&format!("the tables were made anew from {count} entries"));
            }
            Ok(Outcome::AsAsked)
        }
        LedgerVerb::Backup { file } => backup(context, file),
        LedgerVerb::Checkpoint { out } => {
            let (reader, head) = open(context)?;
            drop(reader);
            let text = head.1.as_str();
            put(
                context,
                out.as_deref(),
                text,
                &serde_json::json!({ "size": head.0, "checkpoint": text }),
            )
        }
        LedgerVerb::Consistency { from, out } => {
            let (reader, (to, checkpoint)) = open(context)?;
            let file = ConsistencyFile {
                from: *from,
                to,
                hashes: consistency(&reader, *from, to)?,
                checkpoint,
            };
            let text = serde_json::to_string_pretty(&file).into_diagnostic()? + "\n";
            put(context, out.as_deref(), &text, &file)
        }
    }
}

fn write_question(context: &Context, file: &Path) -> miette::Result<Outcome> {
    let (_, (size, checkpoint)) = open(context)?;
    let question = pullmark_stamp::request(checkpoint.as_bytes(), None).into_diagnostic()?;
    files::write_new(file, question)?;
    if context.json {
        print::json(&serde_json::json!({ "size": size, "checkpoint": checkpoint }));
    } else {
        print::line(&format!(
            "{} asks about the head of {size} entries: send it to the authority as application/timestamp-query, and give the \
             answer to `pullmark ledger timestamp --response`",
            file.display()
        ));
    }
    Ok(Outcome::AsAsked)
}

async fn keep_stamp(context: &Context, file: &Path) -> miette::Result<Outcome> {
    let answer = STANDARD.encode(super::read_file(file)?);
    context.act(Act::Timestamp { answer }, "kept").await
}

/// The ledger and its last signed head.
fn open(context: &Context) -> miette::Result<(Reader, (u64, String))> {
    let reader = Reader::open(&context.data)
        .into_diagnostic()
        .wrap_err_with(|| format!("there is no ledger in {}", context.data.display()))?;
    let head = reader.last_head().into_diagnostic()?;
    let head = head.ok_or_else(|| {
        miette::miette!(
            "no head of this ledger is signed yet: it is at the first seal, or after a day"
        )
    })?;
    Ok((reader, head))
}

/// The hashes that show that the ledger of `to` entries continues the one of `from`.
pub(super) fn consistency(reader: &Reader, from: u64, to: u64) -> miette::Result<Vec<String>> {
    let leaves = reader.leaves(to).into_diagnostic()?;
    let hashes = tree::consistency_proof(&leaves, from).into_diagnostic()?;
    Ok(hashes.iter().map(tree::hash_text).collect())
}

fn put(
    context: &Context,
    out: Option<&Path>,
    text: &str,
    json: &impl serde::Serialize,
) -> miette::Result<Outcome> {
    match out {
        Some(out) => {
            files::write_new(out, text)?;
            if context.json {
                print::json(json);
            } else {
                print::line(&out.display().to_string());
            }
        }
        None if context.json => print::json(json),
        None => print::whole(&format!("{}\n", text.trim_end_matches('\n'))),
    }
    Ok(Outcome::AsAsked)
}

fn check_all(context: &Context) -> miette::Result<Outcome> {
    match check(&context.data) {
        Ok(checked) => {
            if context.json {
                print::json(&checked);
            } else {
                print::line(&format!(
                    "the ledger holds: {} entries, {} attachments, {} signed tree heads, root {}",
                    checked.entries, checked.attachments, checked.checkpoints, checked.root
                ));
            }
            Ok(Outcome::AsAsked)
        }
        Err(CheckError::Store(
            error @ (StoreError::Database(_) | StoreError::NotALedger { .. }),
        )) => Err(error)
            .into_diagnostic()
            .wrap_err_with(|| format!("there is no ledger to check in {}", context.data.display())),
        Err(error) => {
            if context.json {
                print::json(&serde_json::json!({ "valid": false, "why": error.to_string() }));
            } else {
                print::line(&format!("the ledger does not hold: {error}"));
            }
            Ok(Outcome::No)
        }
    }
}

fn backup(context: &Context, file: &Path) -> miette::Result<Outcome> {
    files::free(file)?;
    let reader = Reader::open(&context.data).into_diagnostic()?;
    reader.backup(file).into_diagnostic()?;
    let folder = context.data.join(pullmark_daemon::edge::keys::FOLDER);
    let old = context.data.join(pullmark_daemon::edge::keys::FILE);
    // Ledgers from before there was the folder have their key in the data folder.
    let key = if old.exists() { old } else { folder };
    let key = key.display().to_string();
    let file = file.display().to_string();
    if context.json {
        print::json(&serde_json::json!({ "file": file, "key_to_keep": key }));
    } else {
        print::line(&format!(
            "copied to {file}. Keep a copy of the bench's keys, {key}, apart from it: without it nothing can be signed any more"
        ));
    }
    Ok(Outcome::AsAsked)
}
