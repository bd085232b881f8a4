//! The bench's signing key: made at the first start, kept in a file that only its owner can read.
//!
//! Whoever has this file can sign as the bench, and a lost one cannot be made again: the docs say how to keep a copy.

use pullmark_schema::SigningKey;
use std::fs::{self, OpenOptions};
use std::io::{self, Write as _};
use std::os::unix::fs::{OpenOptionsExt as _, PermissionsExt as _};
use std::path::{Path, PathBuf};

/// The name of the key's file in the data folder.
pub const FILE: &str = "bench.key";

/// Why there is no key.
#[derive(Debug, thiserror::Error)]
pub enum KeyError {
    /// The file cannot be read or written.
    #[error("the bench's key {}: {error}", path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// What went wrong.
        error: io::Error,
    },
    /// The file holds something else.
    #[error("the bench's key {} is damaged: it should hold 64 hexadecimal digits. Put your copy of it back", path.display())]
    Damaged {
        /// Which file.
        path: PathBuf,
    },
    /// Others can read it.
    #[error("the bench's key {} can be read by others: chmod 600 it, and think about who may have copied it", path.display())]
    Open {
        /// Which file.
        path: PathBuf,
    },
    /// A ledger is there and its key is not.
    #[error("the ledger is there and the bench's key {} is not: put your copy of it back. A new key would be a new identity", path.display())]
    Missing {
        /// Which file.
        path: PathBuf,
    },
    /// The machine gives no random numbers.
    #[error("this machine gives no random numbers for a key")]
    Random,
}

/// Random bytes from the operating system.
pub fn random<const N: usize>() -> Result<[u8; N], KeyError> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|_| KeyError::Random)?;
    Ok(bytes)
}

/// Reads the key of a data folder, or makes one where the ledger is new.
pub fn open(folder: &Path, ledger_is_new: bool) -> Result<SigningKey, KeyError> {
    let path = folder.join(FILE);
    match fs::read_to_string(&path) {
        Ok(text) => read(&path, &text),
        Err(error) if error.kind() == io::ErrorKind::InvalidData => Err(KeyError::Damaged { path }),
        Err(error) if error.kind() == io::ErrorKind::NotFound && ledger_is_new => make(&path),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Err(KeyError::Missing { path }),
        Err(error) => Err(KeyError::File { path, error }),
    }
}

fn read(path: &Path, text: &str) -> Result<SigningKey, KeyError> {
    let file = |error| KeyError::File {
        path: path.to_owned(),
        error,
    };
    let mode = fs::metadata(path).map_err(file)?.permissions().mode();
    if mode & 0o077 != 0 {
        return Err(KeyError::Open {
            path: path.to_owned(),
        });
    }
    let mut seed = [0; 32];
    hex::decode_to_slice(text.trim(), &mut seed).map_err(|_| KeyError::Damaged {
        path: path.to_owned(),
    })?;
    Ok(SigningKey::from_bytes(&seed))
}

/// Makes a key. It is whole on disk under its name, or not there: it is written beside it first, and the folder is
/// told to remember the name before anything is signed.
fn make(path: &Path) -> Result<SigningKey, KeyError> {
    let seed = random::<32>()?;
    let fresh = path.with_extension("key.new");
    let file = |error| KeyError::File {
        path: path.to_owned(),
        error,
    };
    let mut options = OpenOptions::new();
    let mut out = options
        .write(true)
        .create(true)
        .truncate(true)
        .mode(0o600)
        .open(&fresh)
        .map_err(file)?;
    writeln!(out, "{}", hex::encode(seed)).map_err(file)?;
    out.sync_all().map_err(file)?;
    fs::rename(&fresh, path).map_err(file)?;
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::File::open(folder)
        .and_then(|folder| folder.sync_all())
        .map_err(file)?;
    Ok(SigningKey::from_bytes(&seed))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
