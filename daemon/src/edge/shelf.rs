//! The plans of the shop: a folder of plan files, and the folder of the shop's own templates.
//!
//! Only files whose names are plain are touched, and no link is followed. A file is written beside the old one and then put
//! in its place, and only while the old one is what it was when it was opened.

use super::whole::{self, AS_USUAL, There};
use pullmark_schema::api::NotUsedView;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::plan::LARGEST_FILE;
use pullmark_schema::plan::template::{Library, TemplateError};
use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{LazyLock, Mutex, MutexGuard, PoisonError};

/// The longest name of a plan file, with its ending.
const LONGEST_NAME: usize = 80;
/// The most plans that are listed.
const MOST_LISTED: usize = 500;
const ENDING: &str = ".toml";

/// The program's templates, which are read once.
static BUILT_IN: LazyLock<Result<Library, TemplateError>> = LazyLock::new(Library::built_in);

/// Where plans and templates lie.
#[derive(Debug)]
pub struct Shelf {
    plans: PathBuf,
    templates: Option<PathBuf>,
    /// One is written at a time.
    writing: Mutex<()>,
    /// What was told of in the log: names of plan files, and of templates with what is wrong with them.
    told: Mutex<BTreeSet<String>>,
}

/// Why a plan file is not given out or not written.
#[derive(Debug, thiserror::Error)]
pub enum ShelfError {
    /// A name that is none.
    #[error(
        "{0:?} cannot be the name of a plan file: use letters a to z, digits, dashes and single dots, at most 80, with the ending .toml"
    )]
    BadName(String),
    /// There is none of that name.
    #[error("there is no plan file {0:?} in the plan folder")]
    NotThere(String),
    /// It is not what it was.
    #[error(
        "{0:?} was changed by somebody else since it was opened, and was not written over; open it again, or keep yours under another name"
    )]
    Changed(String),
    /// There is one already.
    #[error("there is a plan file {0:?} already; choose another name, or open that one")]
    Taken(String),
    /// It is no text, or too large.
    #[error("{0:?} is no plan file: it is no text, or larger than 1 MiB")]
    NoText(String),
    /// The folder or the file cannot be read or written.
    #[error("{}: {error}", path.display())]
    Io {
        /// Which.
        path: PathBuf,
        /// What went wrong.
        error: io::Error,
    },
}

/// The plan files of the folder, and what is not used.
#[derive(Debug, Default)]
pub struct Listed {
    /// Name and text, by name.
    pub plans: Vec<(String, String)>,
    /// What is not used.
    pub not_used: Vec<NotUsedView>,
}

/// A name that cannot lead anywhere but into the folder, and that no program takes for something else.
fn is_plain(name: &str) -> bool {
    let Some(stem) = name.strip_suffix(ENDING) else {
        return false;
    };
    let is_legal = |b: u8| b.is_ascii_alphanumeric() || b"-_.".contains(&b);
    name.len() <= LONGEST_NAME
        && stem
            .bytes()
            .next()
            .is_some_and(|b| b.is_ascii_alphanumeric())
        && stem.bytes().all(is_legal)
        && !name.contains("..")
}

impl Shelf {
    /// Of these folders; that of the plans need not be there yet.
    pub fn new(plans: PathBuf, templates: Option<PathBuf>) -> Self {
        Self {
            plans,
            templates,
            writing: Mutex::default(),
            told: Mutex::default(),
        }
    }

    /// The folder of the plans.
    pub fn folder(&self) -> &Path {
        &self.plans
    }

    /// The path of a plan file; a name that is none is refused and stands in the log.
    fn path(&self, name: &str) -> Result<PathBuf, ShelfError> {
        if is_plain(name) {
            return Ok(self.plans.join(name));
        }
        tracing::warn!(?name, "refused a name that cannot be that of a plan file");
        Err(ShelfError::BadName(name.to_owned()))
    }

    /// Every plan file.
    pub fn list(&self) -> Result<Listed, ShelfError> {
        let mut listed = Listed::default();
        for name in names(&self.plans).map_err(|error| io_error(&self.plans, error))? {
            let told = if !is_plain(&name) {
                if locked(&self.told).insert(name.clone()) {
                    tracing::warn!(?name, "a file in the plan folder is not used: its name");
                }
                Err(ShelfError::BadName(name.clone()))
            } else if listed.plans.len() >= MOST_LISTED {
                break;
            } else {
                self.read(&name)
            };
            match told {
                Ok(text) => listed.plans.push((name, text)),
                Err(error) => listed.not_used.push(NotUsedView {
                    name,
                    why: error.to_string(),
                }),
            }
        }
        Ok(listed)
    }

    /// The text of a plan file.
    pub fn read(&self, name: &str) -> Result<String, ShelfError> {
        let path = self.path(name)?;
        match std::fs::symlink_metadata(&path) {
            Ok(about) if !about.is_file() => return Err(ShelfError::NotThere(name.to_owned())),
            Ok(about) if about.len() > LARGEST_FILE as u64 => {
                return Err(ShelfError::NoText(name.to_owned()));
            }
            Ok(_) => {}
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                return Err(ShelfError::NotThere(name.to_owned()));
            }
            Err(error) => return Err(io_error(&path, error)),
        }
        let bytes = std::fs::read(&path).map_err(|error| io_error(&path, error))?;
        String::from_utf8(bytes).map_err(|_| ShelfError::NoText(name.to_owned()))
    }

    /// Writes a plan file, if it still is what it was: `before` is the hash of what was opened, none for a new file.
    /// `text` is given what is there. It is on disk, or nothing has changed.
    pub fn keep(
        &self,
        name: &str,
        before: Option<Digest32>,
        text: impl FnOnce(Option<&str>) -> String,
    ) -> Result<String, ShelfError> {
        let path = self.path(name)?;
        let _one_at_a_time = locked(&self.writing);
        std::fs::create_dir_all(&self.plans).map_err(|error| io_error(&self.plans, error))?;
        let there = match self.read(name) {
            Ok(there) => Some(there),
            Err(ShelfError::NotThere(_)) => None,
            Err(error) => return Err(error),
        };
        let now = there.as_ref().map(|there| Digest32::of(there.as_bytes()));
        match (before, now) {
            (None, Some(_)) => return Err(ShelfError::Taken(name.to_owned())),
            (Some(_), now) if now != before => return Err(ShelfError::Changed(name.to_owned())),
            _ => {}
        }
        let text = text(there.as_deref());
        let beside = self.plans.join(format!(".{name}.new"));
        let in_place = match before {
            Some(_) => There::Replaced,
            // Whoever made a file of this name in the meantime keeps it.
            None => There::Kept,
        };
        let kept = whole::put(&path, &beside, text.as_bytes(), AS_USUAL, in_place);
        kept.map_err(|error| match error.kind() {
            io::ErrorKind::AlreadyExists => ShelfError::Taken(name.to_owned()),
            _ => io_error(&path, error),
        })?;
        Ok(text)
    }

    /// The program's templates and the shop's own. A file of those that cannot be used is told of, here and in the log.
    pub fn library(&self) -> Result<(Library, Vec<NotUsedView>), TemplateError> {
        let mut library = BUILT_IN.clone()?;
        let mut not_used = Vec::new();
        let Some(folder) = &self.templates else {
            return Ok((library, not_used));
        };
        let names = match names(folder) {
            Ok(names) => names,
            Err(error) => {
                let (name, why) = (folder.display().to_string(), error.to_string());
                if self.is_news(&name, &why) {
                    tracing::warn!(folder = name, why, "the templates cannot be read");
                }
                not_used.push(NotUsedView { name, why });
                return Ok((library, not_used));
            }
        };
        for name in names {
            let text =
                std::fs::read_to_string(folder.join(&name)).map_err(|error| error.to_string());
            let added = text.and_then(|text| library.add(&text).map_err(|error| error.to_string()));
            if let Err(why) = added {
                if self.is_news(&name, &why) {
                    tracing::warn!(name, why, "a file of templates is not used");
                }
                not_used.push(NotUsedView { name, why });
            }
        }
        Ok((library, not_used))
    }

    /// Whether this of a template was not told of yet: the templates are asked for again and again.
    fn is_news(&self, name: &str, why: &str) -> bool {
        locked(&self.told).insert(format!("{name}: {why}"))
    }
}

/// What is guarded here is whole between any two statements, whatever became of who held it.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn io_error(path: &Path, error: io::Error) -> ShelfError {
    ShelfError::Io {
        path: path.to_owned(),
        error,
    }
}

/// The names of a folder that end like a plan file, in order; none where there is no folder. A name that is no text
/// cannot be shown and is left out.
fn names(folder: &Path) -> io::Result<Vec<String>> {
    let files = match std::fs::read_dir(folder) {
        Ok(files) => files,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let mut names = Vec::new();
    for file in files {
        let name = file?.file_name();
        if let Some(name) = name.to_str().filter(|name| name.ends_with(ENDING)) {
            names.push(name.to_owned());
        }
    }
    names.sort_unstable();
    Ok(names)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
