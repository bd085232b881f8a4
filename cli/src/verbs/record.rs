//! `pullmark record`.

use super::Context;
use crate::arguments::RecordVerb;
use crate::client::{Client, segment};
use crate::print;
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_schema::api::Act;
use pullmark_schema::record::file::{ForCustomer, RecordFile};
use std::path::{Path, PathBuf};

mod verify;

pub(crate) async fn run(context: &Context, verb: RecordVerb) -> miette::Result<Outcome> {
    match verb {
        RecordVerb::Seal { build, by } => {
            context.act(Act::Seal { build, by: by.by }, "sealed").await
        }
        RecordVerb::Amend { build, reason, by } => {
            let by = by.by;
            context
                .act(Act::Amend { build, by, reason }, "sealed anew")
                .await
        }
        RecordVerb::Export {
            build,
            out,
            redact,
            for_customer,
        } => {
            let files = if redact || for_customer.is_some() {
                export_as(&context.client, &build, &out, redact, for_customer).await?
            } else {
                export(&context.client, &build, &out).await?
            };
            if context.json {
                print::json(&serde_json::json!({ "files": files }));
            } else {
                let names: Vec<_> = files
                    .iter()
                    .filter_map(|file| Some(file.file_name()?.to_string_lossy().into_owned()))
                    .collect();
                let is_are = if names.len() == 1 { "is" } else { "are" };
                print::line(&format!(
                    "{} {is_are} in {}",
                    names.join(" and "),
                    out.display()
                ));
            }
            Ok(Outcome::AsAsked)
        }
        RecordVerb::Verify(asked) => verify::run(context, &asked),
    }
}

/// Writes a sealed record and its table to a folder.
pub(crate) async fn export(
    client: &Client,
    build: &str,
    out: &Path,
) -> miette::Result<Vec<PathBuf>> {
    export_as(client, build, out, false, None).await
}

async fn export_as(
    client: &Client,
    build: &str,
    out: &Path,
    redact: bool,
    for_customer: Option<String>,
) -> miette::Result<Vec<PathBuf>> {
    let path = format!("/v1/builds/{}", segment(build));
    let record = client
        .bytes(&format!("{path}/record-file?redact={redact}"))
        .await
        .into_diagnostic()?;
    let record = match for_customer {
        None => record,
        Some(text) => {
            let mut file = RecordFile::read(&record).into_diagnostic()?;
            file.for_customer = Some(ForCustomer {
                text,
                signed: false,
            });
            file.bytes().into_diagnostic()?
        }
    };
    let mut files = vec![(out.join("record.json"), record)];
    // The table has names in it.
    if !redact {
        let readings = client
            .bytes(&format!("{path}/readings.csv"))
            .await
            .into_diagnostic()?;
        files.push((out.join("readings.csv"), readings));
    }
    std::fs::create_dir_all(out)
        .and_then(|()| {
            files
                .iter()
                .try_for_each(|(file, bytes)| std::fs::write(file, bytes))
        })
        .into_diagnostic()
        .wrap_err_with(|| format!("the record could not be written to {}", out.display()))?;
    Ok(files.into_iter().map(|(file, _)| file).collect())
}
