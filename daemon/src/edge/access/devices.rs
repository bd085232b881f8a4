//! The devices' tokens. A token is 256 random bits in a cookie of the device; here is only its SHA-256.

use super::{AccessError, FORMAT, files, locked};
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
    /// Held for moments only: every request from the network asks whose its token is.
    known: Mutex<BTreeMap<String, Known>>,
    /// One change is made at a time, and held until it is on disk.
    changing: Mutex<()>,
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
            changing: Mutex::new(()),
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

    /// Lets a device in: on disk first, then in memory.
    pub fn add(&self, fresh: &Fresh) -> Result<(), AccessError> {
        let _one_at_a_time = locked(&self.changing);
        let hash = Digest32::of(fresh.token.as_bytes());
        let mut tokens = self.tokens();
        tokens.insert(fresh.device.clone(), hash);
        self.write(tokens)?;
        let out = watch::Sender::new(false);
        locked(&self.known).insert(fresh.device.clone(), Known { hash, out });
        Ok(())
    }

    /// Shuts a device out, with everything that it has open: at once, and then on disk.
    pub fn remove(&self, device: &str) -> Result<(), AccessError> {
        let _one_at_a_time = locked(&self.changing);
        if let Some(gone) = locked(&self.known).remove(device) {
            // Whoever listens is told; nobody has to.
            gone.out.send_replace(true);
        }
        self.write(self.tokens())
    }

    fn tokens(&self) -> BTreeMap<String, Digest32> {
        let known = locked(&self.known);
        let tokens = known.iter().map(|(id, known)| (id.clone(), known.hash));
        tokens.collect()
    }

    /// Whoever calls it holds `changing`.
    fn write(&self, tokens: BTreeMap<String, Digest32>) -> Result<(), AccessError> {
        let kept = Kept {
            version: FORMAT,
            tokens,
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Devices, locked};

    #[test]
    fn a_token_is_kept_over_a_start_and_looked_up_while_a_change_is_being_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("devices.json");
        let devices = Devices::open(path.clone()).unwrap();
        let fresh = devices.fresh().unwrap();
        devices.add(&fresh).unwrap();
        let devices = Devices::open(path.clone()).unwrap();
        let writing = locked(&devices.changing);
        let (device, out) = devices.whose(&fresh.token).unwrap();
        assert_eq!(device, fresh.device);
        drop(writing);
        devices.remove(&device).unwrap();
        assert!(*out.borrow(), "whoever listens is told");
        assert!(devices.whose(&fresh.token).is_none());
        let devices = Devices::open(path).unwrap();
        assert!(devices.whose(&fresh.token).is_none());
    }

    #[test]
    fn a_device_that_could_not_be_kept_is_not_let_in() {
        let folder = tempfile::tempdir().unwrap();
        let devices = Devices::open(folder.path().join("gone/devices.json")).unwrap();
        let fresh = devices.fresh().unwrap();
        devices.add(&fresh).unwrap_err();
        assert!(devices.whose(&fresh.token).is_none());
    }

    #[test]
    fn a_newer_programs_file_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("devices.json");
        let devices = Devices::open(path.clone()).unwrap();
        devices.add(&devices.fresh().unwrap()).unwrap();
        let text = std::fs::read_to_string(&path).unwrap();
        std::fs::write(&path, text.replace("\"version\":1", "\"version\":2")).unwrap();
        let error = Devices::open(path).unwrap_err().to_string();
        assert!(error.contains("use a newer Pullmark"), "{error}");
    }
}
