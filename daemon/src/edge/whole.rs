//! Files that are whole on disk under their name, or not there: written beside it first, put in its place, and the folder is told
//! to remember.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::os::unix::fs::OpenOptionsExt as _;
use std::path::Path;

/// Whoever owns a secret is the only one who reads it.
pub(super) const OWNER_ONLY: u32 = 0o600;
/// As the shop's settings for new files leave it.
pub(super) const AS_USUAL: u32 = 0o666;

/// What becomes of a file that has the name already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum There {
    /// It is replaced.
    Replaced,
    /// It stays, and nothing is written: [`io::ErrorKind::AlreadyExists`].
    Kept,
}

/// Writes a file by way of `beside`, in the same folder.
pub(super) fn put(
    path: &Path,
    beside: &Path,
    bytes: &[u8],
    mode: u32,
    there: There,
) -> io::Result<()> {
    write(beside, bytes, mode)?;
    let placed = match there {
        There::Replaced => fs::rename(beside, path),
        There::Kept => fs::hard_link(beside, path).and_then(|()| fs::remove_file(beside)),
    };
    if placed.is_err() {
        // It may not be there at all.
        let _ = fs::remove_file(beside);
    }
    placed?;
    File::open(path.parent().unwrap_or(Path::new(".")))?.sync_all()
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
