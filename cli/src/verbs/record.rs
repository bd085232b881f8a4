//! `pullmark record`.

use super::{Context, read_file};
use crate::arguments::RecordVerb;
use crate::client::{Client, segment};
use crate::export::{self, Beside, Named};
use crate::files::{self, Over, ToWrite};
use crate::print;
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_schema::api::Act;
use pullmark_schema::record::file::{ForCustomer, RecordFile};
use pullmark_schema::record::{self, Verified};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

mod verify;

pub(crate) async fn run(context: &Context, verb: RecordVerb) -> miette::Result<Outcome> {
    match verb {
        RecordVerb::Seal { build, by, pin } => {
            let act = Act::Seal { build, by: by.by };
            context.act_with_pin(act, "sealed", &pin).await
        }
        RecordVerb::Amend {
            build,
            reason,
            by,
            pin,
        } => {
            let by = by.by;
            let act = Act::Amend { build, by, reason };
            context.act_with_pin(act, "sealed anew", &pin).await
        }
        RecordVerb::Export {
            build,
            out,
            replace,
            redact,
            for_customer,
            letterhead,
        } => {
            let asked = Asked {
                redact,
                for_customer,
                letterhead,
            };
            let over = Over::asked(replace);
            let files = export_as(&context.client, &build, &out, asked, over).await?;
            told(context, &files, &out);
            Ok(Outcome::AsAsked)
        }
        RecordVerb::Views {
            file,
            out,
            replace,
            letterhead,
        } => {
            let over = Over::asked(replace);
            views(context, &file, &out, letterhead.as_deref(), over)
        }
        RecordVerb::Checker => {
            print::whole(&(export::checker() + "\n"));
            Ok(Outcome::AsAsked)
        }
        RecordVerb::Verify(asked) => verify::run(context, &asked),
    }
}

/// What is asked of an export beside the record.
#[derive(Debug, Default)]
struct Asked {
    redact: bool,
    for_customer: Option<String>,
    letterhead: Option<PathBuf>,
}

/// Which files were written where.
fn told(context: &Context, files: &[PathBuf], out: &Path) {
    if context.json {
        print::json(&serde_json::json!({ "files": files }));
        return;
    }
    let names: Vec<_> = files
        .iter()
        .filter_map(|file| Some(file.file_name()?.to_string_lossy().into_owned()))
        .collect();
    print::line(&format!("{} are in {}", names.join(", "), out.display()));
}

/// Views of a record file that lies there already.
fn views(
    context: &Context,
    file: &Path,
    out: &Path,
    letterhead: Option<&Path>,
    over: Over,
) -> miette::Result<Outcome> {
    let bytes = read_file(file)?;
    let verified = match record::verify(&bytes) {
        Ok(verified) => verified,
        Err(error) => {
            eprintln!(
                "No views were made: {} does not hold: {error}",
                file.display()
            );
            return Ok(Outcome::No);
        }
    };
    let beside = Beside {
        letterhead: export::letterhead(letterhead)?,
        ..Beside::default()
    };
    let files = write(export::views(&bytes, &verified, &beside)?, out, over)?;
    told(context, &files, out);
    Ok(Outcome::AsAsked)
}

/// Writes a sealed record and its views to a folder, in the place of the last ones.
pub(crate) async fn export(
    client: &Client,
    build: &str,
    out: &Path,
) -> miette::Result<Vec<PathBuf>> {
    export_as(client, build, out, Asked::default(), Over::Asked).await
}

async fn export_as(
    client: &Client,
    build: &str,
    out: &Path,
    asked: Asked,
    over: Over,
) -> miette::Result<Vec<PathBuf>> {
    let path = format!("/v1/builds/{}", segment(build));
    let record = client
        .bytes(&format!("{path}/record-file?redact={}", asked.redact))
        .await
        .into_diagnostic()?;
    let record = match asked.for_customer {
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
    let verified = record::verify(&record).into_diagnostic()?;
    let beside = Beside {
        traces: traces(client, &verified).await?,
        letterhead: export::letterhead(asked.letterhead.as_deref())?,
    };
    write(export::views(&record, &verified, &beside)?, out, over)
}

/// The samples of every streamed pull that the record speaks of.
async fn traces(client: &Client, verified: &Verified) -> miette::Result<BTreeMap<u64, Vec<u8>>> {
    let readings = verified
        .record
        .subject
        .all_readings()
        .filter(|reading| reading.reading.trace.is_some());
    let mut all = BTreeMap::new();
    for reading in readings {
        let path = format!("/v1/entries/{}/attached", reading.sequence);
        let bytes = client.bytes(&path).await.into_diagnostic()?;
        all.insert(reading.sequence, bytes);
    }
    Ok(all)
}

fn write(files: Vec<Named>, out: &Path, over: Over) -> miette::Result<Vec<PathBuf>> {
    std::fs::create_dir_all(out)
        .into_diagnostic()
        .wrap_err_with(|| format!("the folder {} cannot be made", out.display()))?;
    let (paths, files): (Vec<_>, Vec<_>) = files
        .into_iter()
        .map(|(name, bytes)| (out.join(name), ToWrite::new(out.join(name), bytes)))
        .unzip();
    files::write(&files, over)?;
    Ok(paths)
}
