//! Files that only their owner can read, whole or as they were.

use super::{AccessError, FORMAT};
use crate::edge::whole::{self, OWNER_ONLY, There};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::fs;
use std::io;
use std::os::unix::fs::PermissionsExt as _;
use std::path::Path;

/// What every format of these files has, also one that is not known yet.
#[derive(Deserialize)]
struct Head {
    version: u32,
}

/// Reads a file; nothing where there is none. A newer program's file is left alone, and is not taken for a damaged one.
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
    let Head { version: found } = serde_json::from_slice(&bytes).map_err(damaged)?;
    if found > FORMAT {
        let path = path.to_owned();
        return Err(AccessError::Newer { path, found });
    }
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
