//! Sets a record on paper: a PDF that states PDF/A-3a and PDF/UA-1, with the signed JSON attached. Everything on it comes
//! from the record's [`Sheet`]; the template lays out and decides nothing.
//!
//! The same record gives the same bytes: the document's identifier and its date come from the record, and the typesetter
//! reaches no clock, no file system and no network.
#![forbid(unsafe_code)]

mod letters;
mod world;

use letters::Letters;
use pullmark_schema::sheet::Sheet;
use serde::Serialize;
use typst::World as _;
use typst::foundations::{Datetime, Smart};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};
use world::Desk;

/// What a shop puts on its paper beside the record.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Letterhead {
    /// The shop's name and where it is found.
    pub name: Option<String>,
    /// More lines below it: address, telephone.
    pub lines: Vec<String>,
    /// A logo as SVG, PNG or JPEG.
    pub logo: Option<Logo>,
}

/// A logo and how it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Logo {
    /// The file's bytes.
    pub bytes: Vec<u8>,
    /// `svg`, `png` or `jpg`.
    pub ending: &'static str,
}

impl Logo {
    /// From a file's bytes; nothing where they are none of the three.
    pub fn of(bytes: Vec<u8>) -> Option<Self> {
        let ending = match bytes.as_slice() {
            [0x89, b'P', b'N', b'G', ..] => "png",
            [0xFF, 0xD8, 0xFF, ..] => "jpg",
            text if std::str::from_utf8(text).is_ok_and(|text| text.contains("<svg")) => "svg",
            _ => return None,
        };
        Some(Self { bytes, ending })
    }
}

/// What is set.
#[derive(Debug, Clone, Copy)]
pub struct Paper<'a> {
    /// The record in words.
    pub sheet: &'a Sheet,
    /// The signed record, byte for byte as it was checked; it is attached.
    pub record: &'a [u8],
    /// SHA-256 of the signed record's canonical form, and of the key history's first entry: what stands in the square code.
    pub code: &'a str,
    /// When it was sealed, RFC 3339: the document's date.
    pub sealed: &'a str,
    /// The bike map as SVG, and what it shows in words.
    pub map: Option<(&'a str, &'a str)>,
    /// What the shop adds.
    pub letterhead: &'a Letterhead,
    /// For whom, where the shop says so; it is not signed.
    pub customer: Option<&'a str>,
}

/// Why no paper came out.
#[derive(Debug, thiserror::Error)]
pub enum PaperError {
    /// The square code holds too much.
    #[error("the square code could not be made: {0}")]
    Code(String),
    /// The typesetter refused; what it said.
    #[error("the page could not be set: {0}")]
    Set(String),
    /// Without the logo it would have come out; what the typesetter said.
    #[error("the shop's logo cannot be put on paper, try it as PNG ({0})")]
    Logo(String),
}

#[derive(Serialize)]
struct Data<'a> {
    sheet: &'a Sheet,
    shop: Option<&'a str>,
    shop_lines: &'a [String],
    logo: Option<String>,
    map_words: Option<&'a str>,
    customer: Option<&'a str>,
}

/// Sets a record; the PDF's bytes.
pub fn pdf(paper: &Paper<'_>) -> Result<Vec<u8>, PaperError> {
    let set = set(paper, paper.letterhead.logo.as_ref());
    match set {
        // Whose fault it is, is worth another try: the logo is the one thing on the page that others drew.
        Err(PaperError::Set(why))
            if paper.letterhead.logo.is_some() && self::set(paper, None).is_ok() =>
        {
            Err(PaperError::Logo(why))
        }
        set => set,
    }
}

fn set(paper: &Paper<'_>, logo: Option<&Logo>) -> Result<Vec<u8>, PaperError> {
    let data = Data {
        sheet: paper.sheet,
        shop: paper.letterhead.name.as_deref(),
        shop_lines: &paper.letterhead.lines,
        logo: logo.map(|logo| format!("logo.{}", logo.ending)),
        map_words: paper.map.map(|(_, words)| words),
        customer: paper.customer,
    };
    let not_set = |error: &dyn std::fmt::Display| PaperError::Set(error.to_string());
    let mut data = serde_json::to_value(&data).map_err(|error| not_set(&error))?;
    let mut desk = Desk::new();
    data["has_marks"] = Letters(desk.book()).fit(&mut data).into();
    desk.put("data.json", data.to_string().into_bytes());
    desk.put("record.json", paper.record.to_vec());
    desk.put("code.svg", code(paper.code)?.into_bytes());
    if let Some((map, _)) = paper.map {
        desk.put("map.svg", map.as_bytes().to_vec());
    }
    if let Some(logo) = logo {
        desk.put(&format!("logo.{}", logo.ending), logo.bytes.clone());
    }
    let document: PagedDocument = typst::compile(&desk)
        .output
        .map_err(|errors| not_set(&world::told(&errors)))?;
    let standards = PdfStandards::new(&[PdfStandard::A_3a, PdfStandard::Ua_1])
        .map_err(|error| not_set(&error.message()))?;
    let options = PdfOptions {
        ident: Smart::Custom(paper.code.to_owned()),
        creator: Smart::Custom(Some("Pullmark".to_owned())),
        timestamp: date(paper.sealed),
        standards,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(&document, &options).map_err(|errors| not_set(&world::told(&errors)))
}

/// Lets go of what the typesetter remembers of earlier documents. Without this the same record is set faster a second time than
/// anybody who sets it once will see.
pub fn forget() {
    typst::comemo::evict(0);
}

/// A square code (ISO/IEC 18004) as SVG, for the eye of a telephone.
fn code(text: &str) -> Result<String, PaperError> {
    let code = fast_qr::QRBuilder::new(text)
        .ecl(fast_qr::ECL::M)
        .build()
        .map_err(|error| PaperError::Code(format!("{error:?}")))?;
    Ok(fast_qr::convert::svg::SvgBuilder::default().to_str(&code))
}

fn date(time: &str) -> Option<Timestamp> {
    use chrono::{Datelike as _, Timelike as _};
    let time = chrono::DateTime::parse_from_rfc3339(time).ok()?;
    let small = |number: u32| u8::try_from(number).ok();
    let moment = Datetime::from_ymd_hms(
        time.year(),
        small(time.month())?,
        small(time.day())?,
        small(time.hour())?,
        small(time.minute())?,
        small(time.second())?,
    )?;
    Timestamp::new_local(moment, time.offset().local_minus_utc() / 60)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
