//! What only the edge knows about people and devices: PINs, as hashes; tokens, as hashes; codes, for minutes and in memory.
//! Nothing of it is in the ledger, in a record or in the log.
//!
//! The files lie beside the bench's keys, in a folder that only its owner can open, and only their owner can read them.

pub mod counts;
pub mod devices;
pub mod files;
pub mod pairing;
pub mod pins;
pub mod tries;

use crate::core::people::People;
use crate::edge::clock::Clock;
use crate::edge::keys;
use counts::Counts;
use devices::Devices;
use pairing::Pairing;
use pins::Pins;
use pullmark_schema::entry::Now;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError, RwLock};

/// The format of the files that guard the bench. Each carries it as `version`.
pub(super) const FORMAT: u32 = 1;

/// Why what guards the bench cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum AccessError {
    /// A file cannot be read or written.
    #[error("{}: {error}", path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// What went wrong.
        error: io::Error,
    },
    /// Others can read it.
    #[error("{} can be read by others: chmod 600 it, and think about who may have copied it", path.display())]
    Open {
        /// Which file.
        path: PathBuf,
    },
    /// A newer program wrote it.
    #[error("{} has format {found}, and this program knows formats up to {FORMAT}: use a newer Pullmark. Nothing was changed", path.display())]
    Newer {
        /// Which file.
        path: PathBuf,
        /// Its format.
        found: u32,
    },
    /// It holds something else.
    #[error("{} is damaged: {what}", path.display())]
    Damaged {
        /// Which file.
        path: PathBuf,
        /// What follows.
        what: &'static str,
    },
    /// The machine gives no random numbers, or has no memory left.
    #[error("this machine cannot make a secret: {0}")]
    Secret(String),
}

/// How the bench is reached from the network.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lan {
    /// Where a device has to go.
    pub addresses: Vec<String>,
    /// SHA-256 of the certificate, as a browser shows it.
    pub fingerprint: String,
    /// Until when the certificate is good, RFC 3339.
    pub good_until: String,
}

/// Everything that guards the bench.
#[derive(Debug)]
pub struct Access {
    /// The PINs.
    pub pins: Pins,
    /// The devices' tokens.
    pub devices: Devices,
    /// The code that lets the next device in.
    pub pairing: Pairing,
    /// Tries at PINs during a wait.
    pub not_looked_at: Counts,
    lan: RwLock<Option<Lan>>,
    clock: Clock,
}

impl Access {
    /// Reads what is kept. A device that the ledger does not know, or has shut out, stays out, whatever the file says.
    pub fn open(data: &Path, clock: Clock, people: &People) -> Result<Self, AccessError> {
        let folder = keys::prepare(data).map_err(|error| AccessError::Secret(error.to_string()))?;
        let devices = Devices::open(folder.join("devices.json"))?;
        devices.keep_only(|id| people.device(id).is_some());
        Ok(Self {
            pins: Pins::open(folder.join("pins.json"))?,
            devices,
            pairing: Pairing::default(),
            not_looked_at: Counts::default(),
            lan: RwLock::new(None),
            clock,
        })
    }

    /// What both clocks say.
    pub fn now(&self) -> Now {
        self.clock.now()
    }

    /// How the bench is reached from the network, where it is.
    pub fn lan(&self) -> Option<Lan> {
        let lan = self.lan.read().unwrap_or_else(PoisonError::into_inner);
        lan.clone()
    }

    /// Says how it is reached from now on.
    pub fn set_lan(&self, lan: Lan) {
        *self.lan.write().unwrap_or_else(PoisonError::into_inner) = Some(lan);
    }
}

/// What a thread that panicked has left is whole: every change is one assignment.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
