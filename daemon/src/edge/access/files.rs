//! Files that only their owner can read, whole or as they were.

use super::AccessError;
use crate::edge::whole::{self, OWNER_ONLY, There};
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::fs;
use std::io;
use std::os::unix::fs::PermissionsExt as _;
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
    let put = || {
        let bytes = serde_json::to_vec(value)?;
        let beside = path.with_extension("new");
        whole::put(path, &beside, &bytes, OWNER_ONLY, There::Replaced)
    };
    put().map_err(|error| AccessError::File {
        path: path.to_owned(),
        error,
    })
}
