//! Notes and photographs. They may come at any time before the record is sealed, and change nothing else.

use super::{LONGEST_NAME, known_fastener_or_check, name, open_build, text};
use crate::core::bench::Bench;
use crate::core::decide::Decided;
use crate::core::refusal::Refusal;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Event, LARGEST_PHOTO, MediaType, Noted, Photo};

/// The longest note that is kept.
const LONGEST_NOTE: usize = 2_000;

/// A note with a photograph.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Which build.
    pub build: String,
    /// Which fastener; none for the whole build.
    pub fastener: Option<String>,
    /// What is to be seen.
    pub text: Option<String>,
    /// What the file is called.
    pub name: Option<String>,
    /// The file.
    pub bytes: Vec<u8>,
    /// Who.
    pub by: String,
}

fn note_text(note: &str) -> Result<String, Refusal> {
    text(note, "the note", LONGEST_NOTE)
}

fn noted(
    bench: &Bench,
    build: String,
    fastener: Option<String>,
    by: String,
) -> Result<Noted, Refusal> {
    let known = open_build(bench, &build)?;
    if let Some(fastener) = &fastener {
        known_fastener_or_check(known, fastener)?;
    }
    Ok(Noted {
        build,
        fastener,
        text: None,
        photo: None,
        by: name(by)?,
    })
}

pub(super) fn note(
    bench: &Bench,
    build: String,
    fastener: Option<String>,
    note: &str,
    by: String,
) -> Result<Vec<Decided>, Refusal> {
    let noted = Noted {
        text: Some(note_text(note)?),
        ..noted(bench, build, fastener, by)?
    };
    Ok(vec![Event::Noted(Box::new(noted)).into()])
}

/// The entry whose bytes are the photograph with this hash. A note that was taken back shows it no longer.
pub fn photographed(bench: &Bench, sha256: Digest32) -> Option<u64> {
    let mut notes = bench.builds.values().flat_map(|build| &build.notes);
    let found = notes.find(|note| {
        note.photo
            .as_ref()
            .is_some_and(|photo| photo.sha256 == sha256)
    });
    found.map(|note| note.act.sequence)
}

/// Decides about a note with a photograph.
pub fn photo(bench: &Bench, picture: Picture) -> Result<Vec<Decided>, Refusal> {
    let Picture {
        build,
        fastener,
        text: note,
        name,
        bytes,
        by,
    } = picture;
    if bytes.len() > LARGEST_PHOTO {
        return Err(Refusal::PhotoTooLarge(bytes.len()));
    }
    let media_type = MediaType::of(&bytes).ok_or(Refusal::NotAPicture)?;
    let note = note.filter(|note| !note.trim().is_empty());
    let name = name.filter(|name| !name.trim().is_empty());
    let photo = Photo {
        sha256: Digest32::of(&bytes),
        media_type,
        bytes_length: u64::try_from(bytes.len()).unwrap_or(u64::MAX),
        name: name
            .map(|name| text(&name, "the file's name", LONGEST_NAME))
            .transpose()?,
    };
    let noted = Noted {
        text: note.map(|note| note_text(&note)).transpose()?,
        photo: Some(photo),
        ..noted(bench, build, fastener, by)?
    };
    Ok(vec![Decided {
        event: Event::Noted(Box::new(noted)),
        attached: Some(bytes),
    }])
}
