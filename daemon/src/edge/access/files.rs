//! Files that only their owner can read, whole or as they were.

use super::AccessError;
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::fs::{self, OpenOptions};
use std::io::{self, Write as _};
use std::os::unix::fs::{OpenOptionsExt as _, PermissionsExt as _};
use std::path::Path;

/// Reads a file; nothing where there is none.
pub fn read<T: DeserializeOwned>(
    path: &Path,
    what: &'static str,
) -> Result<Option<T>, AccessError> {
    let file = |error| AccessError::File {
        path: path.to_owned(),
        error,
    };
    let bytes = match fs::read(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        read => read.map_err(file)?,
    };
    let mode = fs::metadata(path).map_err(file)?.permissions().mode();
    if mode & 0o077 != 0 {
        return Err(AccessError::Open {
            path: path.to_owned(),
        });
    }
    let damaged = |_| AccessError::Damaged {
        path: path.to_owned(),
        what,
    };
    serde_json::from_slice(&bytes).map(Some).map_err(damaged)
}

/// Writes a file: beside it first, then in its place, and the folder is told to remember.
pub fn write<T: Serialize>(path: &Path, value: &T) -> Result<(), AccessError> {
    put(path, value).map_err(|error| AccessError::File {
        path: path.to_owned(),
        error,
    })
}

fn put<T: Serialize>(path: &Path, value: &T) -> io::Result<()> {
    let fresh = path.with_extension("new");
    match fs::remove_file(&fresh) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        _ => {}
    }
    let mut options = OpenOptions::new();
    let mut out = options
        .write(true)
        .create_new(true)
        .mode(0o600)
        .open(&fresh)?;
    out.write_all(&serde_json::to_vec(value)?)?;
    out.sync_all()?;
    fs::rename(&fresh, path)?;
    fs::File::open(path.parent().unwrap_or(Path::new(".")))?.sync_all()
}
