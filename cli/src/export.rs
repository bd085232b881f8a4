//! What a customer gets: the signed record, and from it, never from elsewhere, a PDF, a page that checks itself, a table, and
//! all of them in one archive.

mod html;
mod letterhead;

pub(crate) use html::checker;
pub(crate) use letterhead::letterhead;

use miette::IntoDiagnostic as _;
use pullmark_paper::{Letterhead, Paper, PaperError};
use pullmark_schema::map::{self, Spot};
use pullmark_schema::record::{Record, Verified};
use pullmark_schema::sheet;
use std::collections::BTreeMap;
use std::io::{Cursor, Write as _};
use zip::write::SimpleFileOptions;

/// What lies beside a record and is not in it.
#[derive(Debug, Default)]
pub(crate) struct Beside {
    /// The samples of streamed pulls, by the sequence number of the reading. Their hashes are signed.
    pub(crate) traces: BTreeMap<u64, Vec<u8>>,
    /// The shop's name and logo.
    pub(crate) letterhead: Letterhead,
}

/// The record on paper.
pub(crate) const PDF: &str = "record.pdf";

/// A file's name and its bytes.
pub(crate) type Named = (&'static str, Vec<u8>);

/// What a record file gives.
pub(crate) struct Views {
    /// The record file itself, and what was made from it.
    pub(crate) files: Vec<Named>,
    /// Why there is no PDF among them.
    pub(crate) no_pdf: Option<PaperError>,
}

/// Every view of a record file, the file itself first. It was checked before: no view is made of a record that does not hold.
/// A PDF that can't be made keeps back none of the others: the record is sealed, and it is the record that counts.
pub(crate) fn views(file: &[u8], verified: &Verified, beside: &Beside) -> miette::Result<Views> {
    let shown = &verified.record;
    let mut files = vec![("record.json", file.to_vec())];
    let no_pdf = match pdf(file, verified, beside) {
        Ok(pdf) => {
            files.push((PDF, pdf));
            None
        }
        Err(error) => Some(error),
    };
    files.push(("record.html", html::page(file, shown, beside)?));
    files.push(("readings.csv", csv(shown)?));
    files.push(("record.zip", archive(&files, &shown.valid_from)?));
    Ok(Views { files, no_pdf })
}

fn csv(record: &Record) -> miette::Result<Vec<u8>> {
    let table = pullmark_daemon::export::readings_csv(record).into_diagnostic()?;
    Ok(table.into())
}

fn pdf(file: &[u8], verified: &Verified, beside: &Beside) -> Result<Vec<u8>, PaperError> {
    let shown = &verified.record;
    let (sha256, identity) = (
        verified.sha256.to_string(),
        verified.fingerprint.to_string(),
    );
    let sheet = sheet::sheet(shown, &sha256, &identity);
    let drawing = map::picture(shown.subject.frame, &Spot::all(&shown.subject));
    let code = format!("{} sha256:{sha256} key:{identity}", shown.id);
    pullmark_paper::pdf(&Paper {
        sheet: &sheet,
        record: file,
        code: &code,
        sealed: &shown.valid_from,
        map: drawing
            .as_ref()
            .map(|(svg, words)| (svg.as_str(), words.as_str())),
        letterhead: &beside.letterhead,
        customer: verified.for_customer.as_deref(),
    })
}

/// All files in one archive, the same bytes for the same files: its times are the record's.
fn archive(files: &[Named], sealed: &str) -> miette::Result<Vec<u8>> {
    let time = archive_time(sealed).unwrap_or_default();
    let options = SimpleFileOptions::default()
        .compression_method(zip::CompressionMethod::Deflated)
        .last_modified_time(time)
        .unix_permissions(0o644);
    let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        archive.start_file(*name, options).into_diagnostic()?;
        archive.write_all(bytes).into_diagnostic()?;
    }
    Ok(archive.finish().into_diagnostic()?.into_inner())
}

fn archive_time(time: &str) -> Option<zip::DateTime> {
    use chrono::{Datelike as _, Timelike as _};
    let time = chrono::DateTime::parse_from_rfc3339(time).ok()?;
    let small = |number: u32| u8::try_from(number).ok();
    let year = u16::try_from(time.year()).ok()?;
    let (month, day) = (small(time.month())?, small(time.day())?);
    let (hour, minute, second) = (
        small(time.hour())?,
        small(time.minute())?,
        small(time.second())?,
    );
    zip::DateTime::from_date_and_time(year, month, day, hour, minute, second).ok()
}
