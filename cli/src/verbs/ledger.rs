//! `pullmark ledger`: works on the data folder itself.

use super::Context;
use crate::arguments::LedgerVerb;
use crate::print;
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_daemon::edge::store::{CheckError, Lock, Reader, StoreError, check, rebuild};
use std::path::Path;

pub(crate) fn run(context: &Context, verb: &LedgerVerb) -> miette::Result<Outcome> {
    match verb {
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
    }
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
    if file.exists() {
        miette::bail!("{} is there already: name a new file", file.display());
    }
    let reader = Reader::open(&context.data).into_diagnostic()?;
    reader.backup(file).into_diagnostic()?;
    let key = context
        .data
        .join(pullmark_daemon::edge::keys::FILE)
        .display()
        .to_string();
    let file = file.display().to_string();
    if context.json {
        print::json(&serde_json::json!({ "file": file, "key_to_keep": key }));
    } else {
        print::line(&format!(
            "copied to {file}. Keep a copy of the bench's key, {key}, apart from it: without it nothing can be signed any more"
        ));
    }
    Ok(Outcome::AsAsked)
}
