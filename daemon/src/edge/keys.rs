//! The bench's keys: the one that signs, the one that is promised to follow it, and the recovery key until it is printed.
//!
//! They are made at the first start and kept in files that only their owner can read, in a folder that only their owner
//! can open. Which file holds which key is seen from the key itself. Whoever has the signing key can sign as the bench, and
//! a lost one cannot be made again: the docs say how to keep a copy. A key may also come as a systemd credential.

use super::whole::{self, OWNER_ONLY, There};
use pullmark_schema::SigningKey;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::keys::hash_of;
use pullmark_schema::multikey::DidKey;
use std::fs::{self, OpenOptions};
use std::io::{self, Seek as _, Write as _};
use std::os::unix::fs::{DirBuilderExt as _, PermissionsExt as _};
use std::path::{Path, PathBuf};

/// The folder of the keys in the data folder.
pub const FOLDER: &str = "keys";
/// The name of the first key's file; in a ledger from before there was the folder it lies in the data folder itself.
pub const FILE: &str = "bench.key";
/// The recovery key's file; it is there until its sheet is said to be printed.
const RECOVERY: &str = "recovery.secret";
/// The name of the key as a systemd credential.
const CREDENTIAL: &str = "pullmark-bench-key";
/// Where systemd puts credentials.
const CREDENTIALS: &str = "CREDENTIALS_DIRECTORY";
/// More key files than this are not looked for.
const MOST: u32 = 10_000;

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
    #[error(
        "the ledger is there and the bench's key {} is not: put your copy of it back. A new key would be a new identity. If \
         there is no copy, `pullmark key recover` brings a new key with the recovery key that was printed",
        path.display()
    )]
    Missing {
        /// Which file.
        path: PathBuf,
    },
    /// The keys that are there are not the ledger's.
    #[error("the key in the data folder is not the one of this ledger: put the right one back")]
    Other,
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

/// Which key is looked for.
#[derive(Debug, Clone, Copy)]
pub struct Wanted<'a> {
    /// The public key as multibase text.
    pub key: &'a str,
    /// The hash of the key that is promised to follow it: it is there too and is not meant.
    pub next: Option<Digest32>,
}

/// Reads the key that the ledger names, or makes one where the ledger is new.
pub fn open(data: &Path, wanted: Option<Wanted<'_>>) -> Result<SigningKey, KeyError> {
    let mut other = None;
    let mut problem = None;
    for path in files(data) {
        match read(&path) {
            Ok(key) => {
                let did = DidKey::of(&key);
                match wanted {
                    Some(wanted) if wanted.key == did.multikey() => return Ok(key),
                    None if is_first(&path) => return Ok(key),
                    Some(wanted) if wanted.next == Some(hash_of(&did)) => {}
                    _ => other = Some(KeyError::Other),
                }
            }
            Err(error) => problem = problem.or(Some(error)),
        }
    }
    match (problem, wanted, other) {
        (Some(error), ..) => Err(error),
        (None, Some(_), Some(other)) => Err(other),
        (None, Some(_), None) => Err(KeyError::Missing {
            path: folder(data).join(FILE),
        }),
        (None, None, _) => make(&prepare(data)?.join(FILE)),
    }
}

/// The key whose hash was promised, where its file is there.
pub fn find(data: &Path, hash: &Digest32) -> Result<Option<(PathBuf, SigningKey)>, KeyError> {
    let mut problem = None;
    for path in files(data) {
        match read(&path) {
            Ok(key) if hash_of(&DidKey::of(&key)) == *hash => return Ok(Some((path, key))),
            Ok(_) => {}
            Err(error) => problem = Some(error),
        }
    }
    problem.map_or(Ok(None), Err)
}

/// Makes one more key, under a name that is free.
pub fn make_another(data: &Path) -> Result<SigningKey, KeyError> {
    let folder = prepare(data)?;
    let free = (2..MOST)
        .map(|number| folder.join(format!("bench-{number}.key")))
        .find(|path| !path.exists());
    make(&free.unwrap_or_else(|| folder.join(FILE)))
}

/// The recovery key, made at the first call and kept until it is printed.
pub fn recovery(data: &Path) -> Result<SigningKey, KeyError> {
    let path = prepare(data)?.join(RECOVERY);
    if path.exists() {
        read(&path)
    } else {
        make(&path)
    }
}

/// The recovery key, while it waits to be printed.
pub fn unprinted_recovery(data: &Path) -> Result<Option<SigningKey>, KeyError> {
    let path = folder(data).join(RECOVERY);
    path.exists().then(|| read(&path)).transpose()
}

/// Forgets the recovery key: it is on paper now.
pub fn forget_recovery(data: &Path) -> Result<(), KeyError> {
    wipe(&folder(data).join(RECOVERY))
}

/// Forgets every key but these two: they were revoked, or never promised.
pub fn forget_others(data: &Path, present: &DidKey, next: &Digest32) -> Result<(), KeyError> {
    for path in files(data)
        .into_iter()
        .filter(|path| path.starts_with(data))
    {
        let did = DidKey::of(&read(&path)?);
        if did != *present && hash_of(&did) != *next {
            wipe(&path)?;
        }
    }
    Ok(())
}

/// Forgets one key that was made and not used.
pub fn forget_one(data: &Path, key: &DidKey) -> Result<(), KeyError> {
    file_of(data, &key.multikey()).map_or(Ok(()), |path| wipe(&path))
}

/// The file that holds a key, for telling a person what to keep a copy of.
pub fn file_of(data: &Path, key: &str) -> Option<PathBuf> {
    files(data)
        .into_iter()
        .find(|path| read(path).is_ok_and(|found| DidKey::of(&found).multikey() == key))
}

fn folder(data: &Path) -> PathBuf {
    data.join(FOLDER)
}

fn is_first(path: &Path) -> bool {
    path.file_name()
        .is_some_and(|name| name == FILE || name == CREDENTIAL)
}

/// Every file that may hold a key of the bench.
fn files(data: &Path) -> Vec<PathBuf> {
    let credential = std::env::var_os(CREDENTIALS).map(|at| PathBuf::from(at).join(CREDENTIAL));
    let mut files: Vec<PathBuf> = credential
        .into_iter()
        .chain([data.join(FILE)])
        .filter(|path| path.exists())
        .collect();
    let mut kept: Vec<PathBuf> = fs::read_dir(folder(data))
        .into_iter()
        .flatten()
        .filter_map(|found| Some(found.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|ending| ending == "key"))
        .collect();
    kept.sort();
    files.extend(kept);
    files
}

/// The folder of the keys, which only its owner can open.
pub(super) fn prepare(data: &Path) -> Result<PathBuf, KeyError> {
    let path = folder(data);
    let wrong = |error| KeyError::File {
        path: path.join(FILE),
        error,
    };
    match fs::DirBuilder::new().mode(0o700).create(&path) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => return Err(wrong(error)),
        _ => {}
    }
    let mode = fs::metadata(&path).map_err(wrong)?.permissions().mode();
    if mode & 0o077 != 0 {
        fs::set_permissions(&path, fs::Permissions::from_mode(0o700)).map_err(wrong)?;
    }
    Ok(path)
}

fn read(path: &Path) -> Result<SigningKey, KeyError> {
    let file = |error| KeyError::File {
        path: path.to_owned(),
        error,
    };
    let damaged = || KeyError::Damaged {
        path: path.to_owned(),
    };
    let bytes = fs::read(path).map_err(file)?;
    let mode = fs::metadata(path).map_err(file)?.permissions().mode();
    // systemd keeps others from a credential by the folder it lies in.
    let is_credential = path.file_name().is_some_and(|name| name == CREDENTIAL);
    if mode & 0o077 != 0 && !is_credential {
        return Err(KeyError::Open {
            path: path.to_owned(),
        });
    }
    let text = String::from_utf8(bytes).map_err(|_| damaged())?;
    let mut seed = [0; 32];
    hex::decode_to_slice(text.trim(), &mut seed).map_err(|_| damaged())?;
    Ok(SigningKey::from_bytes(&seed))
}

/// Makes a key. It is whole on disk under its name, or not there: it is written beside it first, and the folder is told to
/// remember the name before anything is signed. A file that is there is never written over.
fn make(path: &Path) -> Result<SigningKey, KeyError> {
    let seed = random::<32>()?;
    let (beside, text) = (
        path.with_extension("new"),
        format!("{}\n", hex::encode(seed)),
    );
    let made = whole::put(path, &beside, text.as_bytes(), OWNER_ONLY, There::Kept);
    made.map_err(|error| KeyError::File {
        path: path.to_owned(),
        error,
    })?;
    Ok(SigningKey::from_bytes(&seed))
}

/// Writes zeros over a key and removes it. A disk may still keep an older copy of the block; the docs say so.
fn wipe(path: &Path) -> Result<(), KeyError> {
    let file = |error| KeyError::File {
        path: path.to_owned(),
        error,
    };
    let mut options = OpenOptions::new();
    let opened = options.write(true).open(path);
    let mut out = match opened {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        opened => opened.map_err(file)?,
    };
    out.rewind().map_err(file)?;
    out.write_all(&[b'0'; 64]).map_err(file)?;
    out.sync_all().map_err(file)?;
    fs::remove_file(path).map_err(file)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
