//! The devices' tokens. A token is 256 random bits in a cookie of the device; here is only its SHA-256.

use super::{AccessError, files, locked};
use pullmark_schema::canonical::Digest32;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Mutex;
use subtle::ConstantTimeEq as _;
use tokio::sync::watch;

/// A token is this many bytes.
const TOKEN: usize = 32;
/// A device's id is this many.
const ID: usize = 4;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    version: u32,
    /// By device: the hash of its token.
    tokens: BTreeMap<String, Digest32>,
}

#[derive(Debug)]
struct Known {
    hash: Digest32,
    /// Told when the device is shut out.
    out: watch::Sender<bool>,
}

/// The tokens.
#[derive(Debug)]
pub struct Devices {
    path: PathBuf,
    known: Mutex<BTreeMap<String, Known>>,
}

/// A fresh token and the id of its device.
pub struct Fresh {
    /// Which device.
    pub device: String,
    /// The token, for the cookie and for nowhere else.
    pub token: String,
}

impl std::fmt::Debug for Fresh {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Fresh({})", self.device)
    }
}

fn random<const N: usize>() -> Result<String, AccessError> {
    let bytes = super::super::keys::random::<N>();
    let bytes = bytes.map_err(|error| AccessError::Secret(error.to_string()))?;
    Ok(hex::encode(bytes))
}

impl Devices {
    /// Reads the file.
    pub fn open(path: PathBuf) -> Result<Self, AccessError> {
        let what = "move it away and pair the devices again";
        let kept: Option<Kept> = files::read(&path, what)?;
        let known = kept.map(|kept| kept.tokens).unwrap_or_default();
        let known = known.into_iter().map(|(id, hash)| {
            let out = watch::Sender::new(false);
            (id, Known { hash, out })
        });
        Ok(Self {
            path,
            known: Mutex::new(known.collect()),
        })
    }

    /// Forgets those that have no business here. The file is written with the next change.
    pub fn keep_only(&self, is_in: impl Fn(&str) -> bool) {
        locked(&self.known).retain(|id, _| is_in(id));
    }

    /// A token and an id that are nobody's yet.
    pub fn fresh(&self) -> Result<Fresh, AccessError> {
        loop {
            let device = format!("device-{}", random::<ID>()?);
            if !locked(&self.known).contains_key(&device) {
                let token = random::<TOKEN>()?;
                return Ok(Fresh { device, token });
            }
        }
    }

    /// Lets a device in.
    pub fn add(&self, fresh: &Fresh) -> Result<(), AccessError> {
        let mut known = locked(&self.known);
        let one = Known {
            hash: Digest32::of(fresh.token.as_bytes()),
            out: watch::Sender::new(false),
        };
        known.insert(fresh.device.clone(), one);
        self.write(&known)
    }

    /// Shuts a device out, with everything that it has open.
    pub fn remove(&self, device: &str) -> Result<(), AccessError> {
        let mut known = locked(&self.known);
        if let Some(gone) = known.remove(device) {
            // Whoever listens is told; nobody has to.
            gone.out.send_replace(true);
        }
        self.write(&known)
    }

    fn write(&self, known: &BTreeMap<String, Known>) -> Result<(), AccessError> {
        let tokens = known.iter().map(|(id, known)| (id.clone(), known.hash));
        let kept = Kept {
            version: 1,
            tokens: tokens.collect(),
        };
        files::write(&self.path, &kept)
    }

    /// Whose token this is, and where it is heard that the device was shut out. Every hash is compared, each in the same time.
    pub fn whose(&self, token: &str) -> Option<(String, watch::Receiver<bool>)> {
        let hash = Digest32::of(token.as_bytes());
        let known = locked(&self.known);
        let mut found = None;
        for (id, one) in known.iter() {
            if bool::from(one.hash.as_bytes().ct_eq(hash.as_bytes())) {
                found = Some((id.clone(), one.out.subscribe()));
            }
        }
        found
    }
}
