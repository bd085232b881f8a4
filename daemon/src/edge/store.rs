//! The ledger on disk, and the tables that are made from it.
//!
//! `ledger.sqlite` holds the entries and the bytes they name; it only grows. `projections.sqlite` holds tables for
//! queries; it can be thrown away at any time and is made again from the ledger.

mod check;
mod checks;
mod form;
mod judged;
mod ledger;
mod projection;

pub use check::{CheckError, Checked, check};
pub use judged::Group;
pub use ledger::{Ledger, Prepared, Raw, Reader, Stored};
pub use projection::{Projections, Query, rebuild};

use std::path::{Path, PathBuf};

/// The ledger's file in the data folder.
pub const LEDGER: &str = "ledger.sqlite";
/// The projections' file in the data folder.
pub const PROJECTIONS: &str = "projections.sqlite";
/// The lock's file in the data folder.
const LOCK: &str = "lock";

/// Why the store cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The folder cannot be made or written.
    #[error("the data folder {}: {error}. Check that it exists, that it is yours, and that the disk is not full", path.display())]
    Folder {
        /// Which folder.
        path: PathBuf,
        /// What went wrong.
        error: std::io::Error,
    },
    /// Another daemon has it.
    #[error("another daemon is running on the data folder {}: stop it first, or name another folder with --data", path.display())]
    Locked {
        /// Which folder.
        path: PathBuf,
    },
    /// Made by a newer program.
    #[error("the ledger {} has format {found}, and this program knows formats up to {known}: use a newer Pullmark. Nothing was changed", path.display())]
    Newer {
        /// Which file.
        path: PathBuf,
        /// Its format.
        found: i64,
        /// The newest format known here.
        known: i64,
    },
    /// Another program's database.
    #[error("{} is not a Pullmark ledger", path.display())]
    NotALedger {
        /// Which file.
        path: PathBuf,
    },
    /// An entry is not what it was.
    #[error(
        "the ledger is damaged at entry {sequence}: {what}. Stop using it and restore a backup; `pullmark ledger check` says more"
    )]
    Damaged {
        /// Which entry.
        sequence: u64,
        /// What is wrong with it.
        what: String,
    },
    /// The database says no.
    #[error(
        "the ledger's database: {0}. Nothing that was acknowledged is lost; check the disk's space and rights"
    )]
    Database(#[from] rusqlite::Error),
    /// A migration failed.
    #[error("the ledger's database could not be prepared: {0}")]
    Migration(#[from] rusqlite_migration::Error),
}

/// Holds a data folder for one process.
#[derive(Debug)]
pub struct Lock(
    #[expect(dead_code, reason = "the lock lasts as long as the file is open")] std::fs::File,
);

impl Lock {
    /// Makes the folder if need be and takes it.
    pub fn take(folder: &Path) -> Result<Self, StoreError> {
        let wrong = |error| StoreError::Folder {
            path: folder.to_owned(),
            error,
        };
        std::fs::create_dir_all(folder).map_err(wrong)?;
        let mut options = std::fs::OpenOptions::new();
        let file = options
            .create(true)
            .truncate(false)
            .write(true)
            .open(folder.join(LOCK))
            .map_err(wrong)?;
        match file.try_lock() {
            Ok(()) => Ok(Self(file)),
            Err(std::fs::TryLockError::WouldBlock) => Err(StoreError::Locked {
                path: folder.to_owned(),
            }),
            Err(std::fs::TryLockError::Error(error)) => Err(wrong(error)),
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
