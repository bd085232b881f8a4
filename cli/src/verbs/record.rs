//! `pullmark record`.

use super::{Context, read_file};
use crate::arguments::RecordVerb;
use crate::client::{Client, segment};
use crate::export::{self, Beside, Views};
use crate::files::{self, Over, ToWrite};
use crate::print;
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_paper::PaperError;
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
            let written = export_as(&context.client, &build, &out, asked, over).await?;
            Ok(told(context, &written, &out))
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

/// What lies in the folder now.
pub(crate) struct Written {
    files: Vec<PathBuf>,
    no_pdf: Option<String>,
}

impl Written {
    /// Says that there is no PDF and why, where there is none.
    pub(crate) fn outcome(&self) -> Outcome {
        let Some(why) = &self.no_pdf else {
            return Outcome::AsAsked;
        };
        eprintln!("{why}");
        Outcome::No
    }
}

/// Which files were written where.
fn told(context: &Context, written: &Written, out: &Path) -> Outcome {
    if context.json {
        let mut said = serde_json::json!({ "files": written.files });
        if let Some(why) = &written.no_pdf {
            said["no_pdf"] = why.as_str().into();
        }
        print::json(&said);
    } else {
        let names: Vec<_> = written
            .files
            .iter()
            .filter_map(|file| Some(file.file_name()?.to_string_lossy().into_owned()))
            .collect();
        print::line(&format!("{} are in {}", names.join(", "), out.display()));
    }
    written.outcome()
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
    let written = write(export::views(&bytes, &verified, &beside)?, out, over)?;
    Ok(told(context, &written, out))
}

/// Writes a sealed record and its views to a folder, in the place of the last ones.
pub(crate) async fn export(client: &Client, build: &str, out: &Path) -> miette::Result<Written> {
    export_as(client, build, out, Asked::default(), Over::Asked).await
}

async fn export_as(
    client: &Client,
    build: &str,
    out: &Path,
    asked: Asked,
    over: Over,
) -> miette::Result<Written> {
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

fn write(views: Views, out: &Path, over: Over) -> miette::Result<Written> {
    std::fs::create_dir_all(out)
        .into_diagnostic()
        .wrap_err_with(|| format!("the folder {} cannot be made", out.display()))?;
    let (paths, files): (Vec<_>, Vec<_>) = views
        .files
        .into_iter()
        .map(|(name, bytes)| (out.join(name), ToWrite::new(out.join(name), bytes)))
        .unzip();
    files::write(&files, over)?;
    let no_pdf = views.no_pdf.map(|why| no_pdf(&why, &out.join(export::PDF)));
    Ok(Written {
        files: paths,
        no_pdf,
    })
}

fn no_pdf(why: &PaperError, place: &Path) -> String {
    let older = if place.exists() {
        format!(
            " {} is an older one and may be of another record.",
            place.display()
        )
    } else {
        String::new()
    };
    format!(
        "No PDF was made: {why}. The other files are whole, and record.json is the one that counts.{older}"
    )
}
