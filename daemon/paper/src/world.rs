//! What the typesetter sees: one template, two fonts, and the files that were laid on the desk. Nothing else.

use std::collections::BTreeMap;
use std::path::PathBuf;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};

const TEMPLATE: &str = include_str!("record.typ");
const FONTS: [&[u8]; 2] = [
    include_bytes!("../fonts/Inter-Regular.otf"),
    include_bytes!("../fonts/Inter-SemiBold.otf"),
];

/// The files of one page.
pub(crate) struct Desk {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
    template: Source,
    files: BTreeMap<String, Bytes>,
}

impl Desk {
    pub(crate) fn new() -> Self {
        let fonts: Vec<Font> = FONTS
            .into_iter()
            .flat_map(|bytes| Font::iter(Bytes::new(bytes)))
            .collect();
        Self {
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(FontBook::from_fonts(&fonts)),
            fonts,
            template: Source::detached(TEMPLATE),
            files: BTreeMap::new(),
        }
    }

    pub(crate) fn put(&mut self, name: &str, bytes: Vec<u8>) {
        self.files.insert(name.to_owned(), Bytes::new(bytes));
    }
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.template.id() {
            Ok(self.template.clone())
        } else {
            Err(FileError::NotSource)
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let found = self.files.iter().find(|(name, _)| {
            VirtualPath::new(name.as_str())
                .is_ok_and(|path| RootedPath::new(VirtualRoot::Project, path).intern() == id)
        });
        found.map(|(_, bytes)| bytes.clone()).ok_or_else(|| {
            FileError::NotFound(PathBuf::from("a file that was not laid on the desk"))
        })
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.get(index).cloned()
    }

    /// No clock: the same record gives the same page on any day.
    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

/// The first thing that the typesetter found fault with, short enough for one line: what else it says follows from it, or is for
/// those who write templates.
pub(crate) fn told(errors: &[SourceDiagnostic]) -> String {
    const LONGEST: usize = 120;
    let Some(first) = errors.first() else {
        return "it gave no reason".to_owned();
    };
    let said = first
        .message
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    match said.char_indices().nth(LONGEST) {
        Some((at, _)) => format!("{}…", said.get(..at).unwrap_or_default()),
        None => said,
    }
}
