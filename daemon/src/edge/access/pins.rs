//! PINs. What is kept of one is its argon2id hash (RFC 9106) with a salt of its own: 19 MiB of memory, two passes, one lane,
//! the least that OWASP's Password Storage Cheat Sheet recommends for argon2id. A PIN is short, so whoever has the file can
//! find it all the same; the hash keeps those out who only see the file for a moment, and the waits those who only guess.

use super::tries::{FREE_OF_DEVICE, FREE_OF_PERSON, Tries};
use super::{AccessError, FORMAT, files, locked};
use argon2::{Algorithm, Argon2, Params, Version};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Mutex;
use subtle::ConstantTimeEq as _;

/// Memory in KiB, passes and lanes.
const COST: [u32; 3] = [19 * 1_024, 2, 1];
const SALT: usize = 16;
const HASH: usize = 32;
/// How many digits a PIN has.
const DIGITS: std::ops::RangeInclusive<usize> = 4..=12;

/// What a damaged file means.
const DAMAGED: &str = "move it away and set the PINs anew with `pullmark people reset-pin`";

/// A PIN's hash.
#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Hashed {
    /// Memory in KiB, passes and lanes with which it was made.
    cost: [u32; 3],
    salt: String,
    hash: String,
}

#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    version: u32,
    pins: BTreeMap<String, Hashed>,
    persons: BTreeMap<String, Tries>,
    devices: BTreeMap<String, Tries>,
}

/// The PINs and the tries at them.
pub struct Pins {
    path: PathBuf,
    /// Held for moments only: the bench page asks how PINs are doing where entries are committed.
    kept: Mutex<Kept>,
    /// One change is made at a time, and held until it is on disk.
    changing: Mutex<()>,
    /// One PIN is looked at after the other: each takes memory and time.
    hashing: Mutex<()>,
}

impl std::fmt::Debug for Pins {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Pins")
    }
}

/// What came of a try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tried {
    /// It is the PIN.
    Right,
    /// It is not; how many in a row, and for how many seconds nobody can try again.
    Wrong {
        /// How many in a row.
        wrong: u32,
        /// The wait.
        seconds: u64,
    },
    /// It was not looked at: there are so many seconds to wait.
    Locked {
        /// The wait.
        seconds: u64,
    },
    /// There is no PIN to compare with.
    NoPin,
}

/// Why a new PIN is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BadPin {
    /// Something else than digits, too few or too many.
    #[error("a PIN has 4 to 12 digits and nothing else; six or more are better")]
    Digits,
    /// One that everybody tries first.
    #[error("this PIN is one of the first that anybody would try: no rows and no repeats, please")]
    Obvious,
}

/// Whether a new PIN is good enough.
pub fn check_new(pin: &str) -> Result<(), BadPin> {
    let digits = pin.as_bytes();
    if !DIGITS.contains(&digits.len()) || !digits.iter().all(u8::is_ascii_digit) {
        return Err(BadPin::Digits);
    }
    let steps: Vec<i16> = digits
        .windows(2)
        .map(|pair| i16::from(pair[1]) - i16::from(pair[0]))
        .collect();
    let is_row = [0, 1, -1]
        .iter()
        .any(|step| steps.iter().all(|one| one == step));
    let (first, rest) = digits.split_at(2);
    let is_pair = rest.chunks(2).all(|pair| pair == first);
    if is_row || is_pair {
        Err(BadPin::Obvious)
    } else {
        Ok(())
    }
}

fn seconds(ms: u64) -> u64 {
    ms.div_ceil(1_000)
}

impl Pins {
    /// Reads the file; it is written with the first PIN.
    pub fn open(path: PathBuf) -> Result<Self, AccessError> {
        let kept: Option<Kept> = files::read(&path, DAMAGED)?;
        let kept = kept.unwrap_or_else(|| Kept {
            version: FORMAT,
            pins: BTreeMap::new(),
            persons: BTreeMap::new(),
            devices: BTreeMap::new(),
        });
        Ok(Self {
            path,
            kept: Mutex::new(kept),
            changing: Mutex::new(()),
            hashing: Mutex::new(()),
        })
    }

    /// Whether a person has a PIN, and how many seconds it cannot be tried.
    pub fn state(&self, person: &str, now_ms: u64) -> (bool, u64) {
        let kept = locked(&self.kept);
        let tries = kept.persons.get(person);
        let waits = tries.map_or(0, |tries| tries.waits_ms(now_ms));
        (kept.pins.contains_key(person), seconds(waits))
    }

    /// Sets a PIN; the wrong tries before it are forgotten. Takes a while.
    pub fn set(&self, person: &str, pin: &str) -> Result<(), AccessError> {
        let salt = super::super::keys::random::<SALT>()
            .map_err(|error| AccessError::Secret(error.to_string()))?;
        let hash = {
            let _one = locked(&self.hashing);
            hash(pin, &salt, COST)?
        };
        let hashed = Hashed {
            cost: COST,
            salt: hex::encode(salt),
            hash: hex::encode(hash),
        };
        self.change(|kept| {
            kept.pins.insert(person.to_owned(), hashed);
            kept.persons.remove(person);
        })
    }

    /// Forgets a PIN.
    pub fn forget(&self, person: &str) -> Result<(), AccessError> {
        self.change(|kept| {
            kept.pins.remove(person);
            kept.persons.remove(person);
        })
    }

    /// Tries a PIN from a device. Takes a while, unless there is a wait.
    pub fn check(
        &self,
        person: &str,
        device: &str,
        pin: &str,
        now_ms: u64,
    ) -> Result<Tried, AccessError> {
        let (hashed, wrong, wait) = {
            let _one_at_a_time = locked(&self.changing);
            let mut next = locked(&self.kept).clone();
            let Some(hashed) = next.pins.get(person).cloned() else {
                return Ok(Tried::NoPin);
            };
            let waits = |tries: Option<&Tries>| tries.map_or(0, |tries| tries.waits_ms(now_ms));
            let wait = waits(next.persons.get(person)).max(waits(next.devices.get(device)));
            if wait > 0 {
                let seconds = seconds(wait);
                return Ok(Tried::Locked { seconds });
            }
            let of_person = next.persons.entry(person.to_owned()).or_default();
            let wait = of_person.count(now_ms, FREE_OF_PERSON);
            let wrong = of_person.wrong;
            let of_device = next.devices.entry(device.to_owned()).or_default();
            let wait = wait.max(of_device.count(now_ms, FREE_OF_DEVICE));
            self.put(next)?;
            (hashed, wrong, wait)
        };
        if !self.is_right(&hashed, pin)? {
            let seconds = seconds(wait);
            return Ok(Tried::Wrong { wrong, seconds });
        }
        self.change(|kept| {
            // Only what was wrong about this person is made good: somebody else's PIN is not guessed from here for free.
            let good = kept.persons.remove(person).map_or(1, |tries| tries.wrong);
            if let Some(tries) = kept.devices.get_mut(device) {
                tries.wrong = tries.wrong.saturating_sub(good);
                tries.until_ms = 0;
                if tries.wrong == 0 {
                    kept.devices.remove(device);
                }
            }
        })?;
        Ok(Tried::Right)
    }

    fn is_right(&self, hashed: &Hashed, pin: &str) -> Result<bool, AccessError> {
        let damaged = || AccessError::Damaged {
            path: self.path.clone(),
            what: DAMAGED,
        };
        let salt = hex::decode(&hashed.salt).map_err(|_| damaged())?;
        let wanted = hex::decode(&hashed.hash).map_err(|_| damaged())?;
        let _one = locked(&self.hashing);
        let found = hash(pin, &salt, hashed.cost)?;
        Ok(found.ct_eq(&wanted).into())
    }

    fn change(&self, change: impl FnOnce(&mut Kept)) -> Result<(), AccessError> {
        let _one_at_a_time = locked(&self.changing);
        let mut next = locked(&self.kept).clone();
        change(&mut next);
        self.put(next)
    }

    /// On disk first, then in memory. Whoever calls it holds `changing`.
    fn put(&self, next: Kept) -> Result<(), AccessError> {
        files::write(&self.path, &next)?;
        *locked(&self.kept) = next;
        Ok(())
    }
}

fn hash(
    pin: &str,
    salt: &[u8],
    [memory, passes, lanes]: [u32; 3],
) -> Result<[u8; HASH], AccessError> {
    let wrong = |error: argon2::Error| AccessError::Secret(error.to_string());
    let params = Params::new(memory, passes, lanes, Some(HASH)).map_err(wrong)?;
    let argon2 = Argon2::new(Algorithm::Argon2id, Version::V0x13, params);
    let mut out = [0; HASH];
    argon2
        .hash_password_into(pin.as_bytes(), salt, &mut out)
        .map_err(wrong)?;
    Ok(out)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
