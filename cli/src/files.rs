//! Files that a command writes for a person: each is whole under its name or not there, and none is put over another one
//! unless that was asked for.

use miette::{IntoDiagnostic as _, WrapErr as _, miette};
use pullmark_daemon::edge::whole::{self, AS_USUAL, OWNER_ONLY, There};
use std::ffi::OsString;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::os::unix::fs::PermissionsExt as _;
use std::path::{Path, PathBuf};

/// What becomes of a file that is there already and holds something else.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Over {
    /// It stays, and nothing at all is written.
    Never,
    /// As never; but it could have been asked for.
    NotAsked,
    /// It is replaced.
    Asked,
}

impl Over {
    /// As `--replace` says.
    pub(crate) const fn asked(replace: bool) -> Self {
        if replace { Self::Asked } else { Self::NotAsked }
    }
}

/// A file to be.
#[derive(Debug)]
pub(crate) struct ToWrite {
    path: PathBuf,
    bytes: Vec<u8>,
    mode: u32,
}

impl ToWrite {
    pub(crate) fn new(path: impl Into<PathBuf>, bytes: impl Into<Vec<u8>>) -> Self {
        Self {
            path: path.into(),
            bytes: bytes.into(),
            mode: AS_USUAL,
        }
    }

    /// One that nobody else may read.
    pub(crate) fn secret(path: impl Into<PathBuf>, bytes: impl Into<Vec<u8>>) -> Self {
        Self {
            mode: OWNER_ONLY,
            ..Self::new(path, bytes)
        }
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Whether just this is there already; a secret that others may read is not.
    fn is_there(&self) -> bool {
        let does = |there: fs::Metadata| {
            let mode = there.permissions().mode() & 0o777;
            there.is_file() && (self.mode != OWNER_ONLY || mode == OWNER_ONLY)
        };
        fs::metadata(&self.path).is_ok_and(does)
            && fs::read(&self.path).is_ok_and(|bytes| bytes == self.bytes)
    }

    fn write(&self, over: Over) -> io::Result<()> {
        let path = match fs::metadata(&self.path) {
            // A pipe or a device takes what is written to it; something in its place would do harm.
            Ok(there) if !there.is_file() && !there.is_dir() => {
                return File::options()
                    .write(true)
                    .open(&self.path)?
                    .write_all(&self.bytes);
            }
            // Where the name leads to, and not the link.
            Ok(_) if over == Over::Asked => fs::canonicalize(&self.path)?,
            _ => self.path.clone(),
        };
        let mut hidden = OsString::from(".");
        hidden.push(path.file_name().unwrap_or_default());
        hidden.push(".new");
        let there = match over {
            Over::Never | Over::NotAsked => There::Kept,
            Over::Asked => There::Replaced,
        };
        whole::put(
            &path,
            &path.with_file_name(hidden),
            &self.bytes,
            self.mode,
            there,
        )
    }
}

/// A link to one, too. What is neither a file nor a folder (a pipe, a device) is written to, and has nothing to lose.
fn is_file(path: &Path) -> bool {
    fs::metadata(path).is_ok_and(|there| there.is_file())
}

/// Writes all of them, or, where one is in the way, none.
pub(crate) fn write(files: &[ToWrite], over: Over) -> miette::Result<()> {
    let missing: Vec<_> = files.iter().filter(|file| !file.is_there()).collect();
    let in_the_way = |file: &ToWrite| match over {
        Over::NotAsked => miette!("{}, or say --replace", in_the_way(&file.path)),
        Over::Never | Over::Asked => in_the_way(&file.path),
    };
    if over != Over::Asked
        && let Some(file) = missing.iter().find(|file| is_file(&file.path))
    {
        return Err(in_the_way(file));
    }
    for file in missing {
        file.write(over).map_err(|error| match error.kind() {
            io::ErrorKind::AlreadyExists => in_the_way(file),
            kind => miette!(
                "{} cannot be written: {}",
                file.path.display(),
                why(kind).map_or_else(|| error.to_string(), ToOwned::to_owned)
            ),
        })?;
    }
    Ok(())
}

/// What keeps a file from being written, in plain words, with a way out.
const fn why(kind: io::ErrorKind) -> Option<&'static str> {
    Some(match kind {
        io::ErrorKind::StorageFull => {
            "the disk is full. Make room or name another place; nothing half written is left"
        }
        io::ErrorKind::ReadOnlyFilesystem => "that disk cannot be written to. Name another place",
        io::ErrorKind::PermissionDenied => "you may not write there. Name a folder of yours",
        io::ErrorKind::IsADirectory => "there is a folder of that name. Name another place",
        io::ErrorKind::NotFound => "there is no such folder. Make it first, or name another place",
        _ => return None,
    })
}

/// Writes one that is never over another.
pub(crate) fn write_new(path: &Path, bytes: impl Into<Vec<u8>>) -> miette::Result<()> {
    write(&[ToWrite::new(path, bytes)], Over::Never)
}

/// Whether nothing has the name yet: asked before what cannot be taken back is done.
pub(crate) fn free(path: &Path) -> miette::Result<()> {
    if is_file(path) {
        return Err(in_the_way(path));
    }
    Ok(())
}

/// Opens one that grows, and is never over another.
pub(crate) fn open_new(path: &Path) -> miette::Result<File> {
    free(path)?;
    OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .into_diagnostic()
        .wrap_err_with(|| format!("{} cannot be written", path.display()))
}

fn in_the_way(path: &Path) -> miette::Report {
    miette!(
        "{} is there already; nothing was written over it. Name another place",
        path.display()
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::os::unix::fs::symlink;

    fn text(path: &Path) -> String {
        fs::read_to_string(path).unwrap()
    }

    #[test]
    fn where_one_is_in_the_way_none_is_written_unless_it_is_asked_for() {
        let folder = tempfile::tempdir().unwrap();
        let (one, two) = (folder.path().join("one"), folder.path().join("two"));
        fs::write(&two, "of another bike").unwrap();
        let files = [ToWrite::new(&one, "1"), ToWrite::new(&two, "2")];
        let why = write(&files, Over::Never).unwrap_err().to_string();
        assert!(why.contains("two is there already"), "{why}");
        assert!(!one.exists());
        assert_eq!(text(&two), "of another bike");
        write(&files, Over::Asked).unwrap();
        assert_eq!((text(&one), text(&two)), ("1".to_owned(), "2".to_owned()));
        // The same again is no other file.
        write(&files, Over::Never).unwrap();
        assert_eq!(
            fs::read_dir(folder.path()).unwrap().count(),
            2,
            "nothing is left beside them"
        );
    }

    #[test]
    fn a_secret_that_takes_the_place_of_a_file_is_not_as_open_as_that_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sheet");
        fs::write(&path, "new").unwrap();
        for text in ["new", "old"] {
            fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
            write(&[ToWrite::secret(&path, text)], Over::Asked).unwrap();
            let mode = fs::metadata(&path).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600);
        }
    }

    #[test]
    fn a_link_is_followed_and_a_device_is_written_to() {
        let folder = tempfile::tempdir().unwrap();
        let (file, link) = (folder.path().join("file"), folder.path().join("link"));
        fs::write(&file, "old").unwrap();
        symlink(&file, &link).unwrap();
        assert!(write_new(&link, "new").is_err());
        write(&[ToWrite::new(&link, "new")], Over::Asked).unwrap();
        assert_eq!(text(&file), "new");
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        symlink("/dev/null", folder.path().join("none")).unwrap();
        write_new(&folder.path().join("none"), "1").unwrap();
        assert!(!fs::metadata("/dev/null").unwrap().is_file());
    }

    #[test]
    fn a_folder_of_that_name_is_said() {
        let folder = tempfile::tempdir().unwrap();
        for over in [Over::Never, Over::Asked] {
            let path = folder.path().join("there");
            fs::create_dir_all(&path).unwrap();
            let why = write(&[ToWrite::new(&path, "1")], over).unwrap_err();
            assert!(why.to_string().contains("there"), "{why}");
            assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        }
    }
}
