//! Files that are whole on disk under their name, or not there: written beside it first, put in its place, and the folder is told
//! to remember.

use rustix::io::Errno;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::os::unix::fs::OpenOptionsExt as _;
use std::path::Path;

/// Whoever owns a secret is the only one who reads it.
pub const OWNER_ONLY: u32 = 0o600;
/// As the shop's settings for new files leave it.
pub const AS_USUAL: u32 = 0o666;

/// What becomes of a file that has the name already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum There {
    /// It is replaced.
    Replaced,
    /// It stays, and nothing is written: [`io::ErrorKind::AlreadyExists`].
    Kept,
}

/// Writes a file by way of `beside`, in the same folder. Where it fails nothing is left there.
pub fn put(path: &Path, beside: &Path, bytes: &[u8], mode: u32, there: There) -> io::Result<()> {
    let placed = write(beside, bytes, mode).and_then(|()| match there {
        There::Replaced => fs::rename(beside, path),
        There::Kept => place_new(path, beside, |beside, path| fs::hard_link(beside, path)),
    });
    if placed.is_err() {
        // It may not be there at all.
        let _ = fs::remove_file(beside);
    }
    placed?;
    let folder = path.parent().filter(|folder| *folder != Path::new(""));
    File::open(folder.unwrap_or(Path::new(".")))?.sync_all()
}

/// A second name, which there cannot be two of. Where the file system has no second names (FAT, some network shares) the name is
/// taken with an empty file, and what was written takes its place: what a cut leaves there is empty, and never half of it.
fn place_new(
    path: &Path,
    beside: &Path,
    link: impl FnOnce(&Path, &Path) -> io::Result<()>,
) -> io::Result<()> {
    match link(beside, path) {
        Err(error) if has_no_links(&error) => {
            OpenOptions::new().write(true).create_new(true).open(path)?;
            let placed = fs::rename(beside, path);
            if placed.is_err() {
                // It is empty and ours; it may be gone already.
                let _ = fs::remove_file(path);
            }
            placed
        }
        linked => linked.and_then(|()| fs::remove_file(beside)),
    }
}

/// What link(2) says where there are no second names: Linux itself, a share, a file system in user space.
fn has_no_links(error: &io::Error) -> bool {
    let none = [Errno::PERM, Errno::OPNOTSUPP, Errno::NOSYS];
    Errno::from_io_error(error).is_some_and(|error| none.contains(&error))
}

fn write(path: &Path, bytes: &[u8], mode: u32) -> io::Result<()> {
    // What was cut off has left this behind; it was never used.
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        _ => {}
    }
    let mut options = OpenOptions::new();
    let mut file = options.write(true).create_new(true).mode(mode).open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{OWNER_ONLY, place_new, write};
    use rustix::io::Errno;
    use std::fs;
    use std::io::{self, ErrorKind};
    use std::os::unix::fs::PermissionsExt as _;

    #[test]
    fn a_new_file_is_put_in_place_where_there_are_no_links_and_none_is_written_over() {
        for says in [Errno::PERM, Errno::OPNOTSUPP, Errno::NOSYS] {
            let folder = tempfile::tempdir().unwrap();
            let (path, beside) = (folder.path().join("a"), folder.path().join(".a"));
            let put = |text: &[u8]| {
                write(&beside, text, OWNER_ONLY).unwrap();
                place_new(&path, &beside, |_, _| Err(says.into()))
            };
            put(b"one").unwrap();
            assert_eq!(fs::read(&path).unwrap(), b"one");
            let mode = fs::metadata(&path).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, OWNER_ONLY);
            assert!(!beside.exists());
            assert_eq!(put(b"two").unwrap_err().kind(), ErrorKind::AlreadyExists);
            assert_eq!(fs::read(&path).unwrap(), b"one", "it stays");
        }
    }

    #[test]
    fn any_other_fault_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let (path, beside) = (folder.path().join("a"), folder.path().join(".a"));
        write(&beside, b"one", OWNER_ONLY).unwrap();
        let full = place_new(&path, &beside, |_, _| Err(io::Error::from(Errno::NOSPC)));
        assert_eq!(full.unwrap_err().kind(), ErrorKind::StorageFull);
        assert!(!path.exists());
    }
}
