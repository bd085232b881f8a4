//! `pullmark record`. Checking is offline and needs no daemon.

use super::{Context, read_file};
use crate::arguments::RecordVerb;
use crate::client::{Client, segment};
use crate::print::{self, Ink};
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_schema::api::Act;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::record::{self, VerifyError};
use std::path::Path;

pub(crate) async fn run(context: &Context, verb: RecordVerb) -> miette::Result<Outcome> {
    match verb {
        RecordVerb::Seal { build, by } => {
            context.act(Act::Seal { build, by: by.by }, "sealed").await
        }
        RecordVerb::Export { build, out } => {
            export(&context.client, &build, &out).await?;
            if context.json {
                let files = ["record.json", "readings.csv"].map(|name| out.join(name));
                print::json(&serde_json::json!({ "files": files }));
            } else {
                print::line(&format!(
                    "record.json and readings.csv are in {}",
                    out.display()
                ));
            }
            Ok(Outcome::AsAsked)
        }
        RecordVerb::Verify { file, fingerprint } => verify(context, &file, fingerprint),
    }
}

/// Writes a sealed record and its views to a folder.
pub(crate) async fn export(client: &Client, build: &str, out: &Path) -> miette::Result<()> {
    let path = format!("/v1/builds/{}", segment(build));
    let record = client
        .bytes(&format!("{path}/record"))
        .await
        .into_diagnostic()?;
    let readings = client
        .bytes(&format!("{path}/readings.csv"))
        .await
        .into_diagnostic()?;
    std::fs::create_dir_all(out)
        .and_then(|()| std::fs::write(out.join("record.json"), record))
        .and_then(|()| std::fs::write(out.join("readings.csv"), readings))
        .into_diagnostic()
        .wrap_err_with(|| format!("the record could not be written to {}", out.display()))
}

fn verify(
    context: &Context,
    file: &Path,
    fingerprint: Option<Digest32>,
) -> miette::Result<Outcome> {
    let name = file.display().to_string();
    let checked = record::verify(&read_file(file)?).and_then(|verified| match fingerprint {
        Some(pinned) if pinned != verified.fingerprint => Err(VerifyError::OtherBench {
            found: verified.fingerprint,
            pinned,
        }),
        _ => Ok(verified),
    });
    let ink = Ink::for_output();
    match checked {
        Ok(verified) => {
            if context.json {
                let (key, fingerprint) = (verified.key.to_string(), verified.fingerprint);
                print::json(&serde_json::json!({
                    "valid": true, "key": key, "fingerprint": fingerprint, "sha256": verified.sha256,
                    "created": verified.created, "practice": verified.record.subject.practice,
                    "summary": verified.record.subject.summary, "not_done": verified.record.subject.not_done,
                }));
            } else {
                print::valid(&verified, fingerprint.is_some(), ink);
            }
            Ok(Outcome::AsAsked)
        }
        Err(error) => {
            if context.json {
                print::json(&serde_json::json!({ "valid": false, "why": error.to_string() }));
            } else {
                print::not_valid(&name, &error, ink);
            }
            Ok(Outcome::No)
        }
    }
}
