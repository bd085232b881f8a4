//! The signed head of a log: C2SP signed note (`c2sp.org/signed-note`) and checkpoint
//! (`c2sp.org/tlog-checkpoint`), with Ed25519 keys only (signature type 01).
//!
//! Narrower than the standard in two ways: the origin is the name of the key, and extension lines are
//! refused. Nothing here makes sure that two checkpoints of one log agree: that is a consistency proof
//! (see [`crate::tree`]).

use std::fmt;
use std::str::FromStr;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use ed25519_dalek::{Signer, SigningKey};

use crate::canonical::{Digest32, sha256};
use crate::multikey::{DidKey, MultikeyError};
use crate::tree;

/// Signature type of plain Ed25519 in signed notes.
const ED25519: u8 = 0x01;
/// What a signature line begins with: an em dash (U+2014) and a blank.
const DASH: &str = "\u{2014} ";
/// The longest note that is read. The standard asks for some limit.
const MAX_BYTES: usize = 256 * 1024;
/// The most signatures that are read; the standard asks for 16 at least.
const MAX_SIGNATURES: usize = 64;

/// Why a note, a checkpoint or a key text does not hold.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CheckpointError {
    /// The name of a key or log cannot be used.
    #[error(
        "the name {name:?} cannot be that of a log: it must not be empty, nor hold a blank, a control character or a plus sign"
    )]
    Name {
        /// The name.
        name: String,
    },
    /// The key text is not `name+id+key`.
    #[error("the key of a log is written name+id+key (signed note); this is not: {what}")]
    KeyText {
        /// What is wrong with it.
        what: &'static str,
    },
    /// The key cannot be used.
    #[error("the key of the log: {0}")]
    Key(#[from] MultikeyError),
    /// The note is not a signed note.
    #[error("this is not a signed note: {what}")]
    NotANote {
        /// What is wrong with it.
        what: &'static str,
    },
    /// The key did not sign.
    #[error("the note carries no signature of {name}")]
    NotSigned {
        /// The name of the key.
        name: String,
    },
    /// The key's signature does not hold.
    #[error("the signature of {name} does not hold: the note was changed after signing")]
    BadSignature {
        /// The name of the key.
        name: String,
    },
    /// The text is not a checkpoint.
    #[error("this is not a checkpoint: {what}")]
    NotACheckpoint {
        /// What is wrong with it.
        what: &'static str,
    },
    /// The checkpoint is of another log.
    #[error("the checkpoint is of the log {found:?}, not of {expected:?}")]
    OtherLog {
        /// The name of the key.
        expected: String,
        /// The origin line.
        found: String,
    },
}

/// The name of a bench's log: that of its first key, whichever key signs now.
pub fn log_name(first_key: &DidKey) -> String {
    format!("pullmark.invalid/bench/{}", first_key.multikey())
}

/// A key that checks notes, with the name it signs under. As text: `name+id+base64`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifierKey {
    name: String,
    key: DidKey,
}

impl VerifierKey {
    /// A key and its name.
    pub fn new(name: &str, key: DidKey) -> Result<Self, CheckpointError> {
        check_name(name)?;
        Ok(Self {
            name: name.to_owned(),
            key,
        })
    }

    /// The name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The key.
    pub const fn key(&self) -> &DidKey {
        &self.key
    }

    /// The short id in a signature line: the first four bytes of SHA-256 of name, newline, type and key.
    pub fn id(&self) -> [u8; 4] {
        let typed = self.typed_key();
        let [a, b, c, d, ..] = sha256(&[self.name.as_bytes(), b"\n", typed.as_slice()].concat());
        [a, b, c, d]
    }

    fn typed_key(&self) -> Vec<u8> {
        [[ED25519].as_slice(), self.key.as_bytes()].concat()
    }
}

impl fmt::Display for VerifierKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let key = STANDARD.encode(self.typed_key());
        write!(f, "{}+{}+{key}", self.name, hex::encode(self.id()))
    }
}

impl FromStr for VerifierKey {
    type Err = CheckpointError;

    fn from_str(text: &str) -> Result<Self, CheckpointError> {
        let wrong = |what| CheckpointError::KeyText { what };
        // The base64 text may hold plus signs too, so cut from the front.
        let (name, rest) = text.split_once('+').ok_or(wrong("it has no plus sign"))?;
        let (_, key) = rest
            .split_once('+')
            .ok_or(wrong("it has one plus sign only"))?;
        let bytes = STANDARD
            .decode(key)
            .map_err(|_| wrong("the last part is not base64"))?;
        let key = match bytes.split_first() {
            Some((&ED25519, key)) => key
                .try_into()
                .map_err(|_| wrong("the key has not 32 bytes"))?,
            _ => return Err(wrong("it is not an Ed25519 key (type 01)")),
        };
        let parsed = Self::new(name, DidKey::from_bytes(key)?)?;
        if parsed.to_string() == text {
            Ok(parsed)
        } else {
            Err(wrong("the id does not fit the key"))
        }
    }
}

/// Signs a text that ends in a newline, as a note with one signature. The name must fit a
/// [`VerifierKey`].
pub fn sign_note(text: &str, key: &SigningKey, name: &str) -> Result<String, CheckpointError> {
    let signer = VerifierKey::new(name, DidKey::of(key))?;
    check_text(text)?;
    if !text.ends_with('\n') {
        return Err(CheckpointError::NotANote {
            what: "the text does not end in a newline",
        });
    }
    let signature = [
        signer.id().as_slice(),
        &key.sign(text.as_bytes()).to_bytes(),
    ]
    .concat();
    Ok(format!(
        "{text}\n{DASH}{name} {}\n",
        STANDARD.encode(signature)
    ))
}

/// Checks a note and gives its text back. Signatures of other keys are passed over; one of this key that
/// fails sinks the note.
pub fn open_note<'a>(note: &'a str, vkey: &VerifierKey) -> Result<&'a str, CheckpointError> {
    check_text(note)?;
    let (text, lines) = split_note(note)?;
    let mut signed = false;
    for (count, line) in lines.split_terminator('\n').enumerate() {
        if count >= MAX_SIGNATURES {
            return Err(CheckpointError::NotANote {
                what: "it has too many signatures",
            });
        }
        let (name, bytes) = read_signature(line)?;
        let mine = bytes.strip_prefix(&vkey.id()).filter(|_| name == vkey.name);
        if let Some(signature) = mine {
            vkey.key.verify(text.as_bytes(), signature).map_err(|_| {
                CheckpointError::BadSignature {
                    name: vkey.name.clone(),
                }
            })?;
            signed = true;
        }
    }
    if signed {
        Ok(text)
    } else {
        Err(CheckpointError::NotSigned {
            name: vkey.name.clone(),
        })
    }
}

/// The text with its last newline, and the signature lines. The last empty line parts them.
fn split_note(note: &str) -> Result<(&str, &str), CheckpointError> {
    let wrong = |what| CheckpointError::NotANote { what };
    let at = note
        .rfind("\n\n")
        .ok_or(wrong("no empty line before the signatures"))?;
    let (text, lines) = note.split_at(at + 1);
    let lines = lines.strip_prefix('\n').unwrap_or(lines);
    if lines.ends_with('\n') {
        Ok((text, lines))
    } else {
        Err(wrong("it does not end with a whole signature line"))
    }
}

/// Name, and key id with signature.
fn read_signature(line: &str) -> Result<(&str, Vec<u8>), CheckpointError> {
    let wrong = |what| CheckpointError::NotANote { what };
    let rest = line
        .strip_prefix(DASH)
        .ok_or(wrong("a signature line does not begin with a dash"))?;
    let (name, signature) = rest
        .split_once(' ')
        .ok_or(wrong("a signature line has no signature"))?;
    check_name(name)?;
    let bytes = STANDARD
        .decode(signature)
        .map_err(|_| wrong("a signature is not base64"))?;
    if bytes.len() > 4 {
        Ok((name, bytes))
    } else {
        Err(wrong("a signature is too short"))
    }
}

fn check_text(text: &str) -> Result<(), CheckpointError> {
    let wrong = |what| Err(CheckpointError::NotANote { what });
    if text.len() > MAX_BYTES {
        return wrong("it is too long");
    }
    if text.bytes().any(|b| b < 0x20 && b != b'\n') {
        return wrong("it holds a control character");
    }
    Ok(())
}

fn check_name(name: &str) -> Result<(), CheckpointError> {
    let bad = |c: char| c.is_whitespace() || c.is_control() || c == '+';
    if name.is_empty() || name.contains(bad) {
        return Err(CheckpointError::Name {
            name: name.to_owned(),
        });
    }
    Ok(())
}

/// The head of a log: its name, how many entries it has, and the root over them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checkpoint {
    /// The name of the log; the key signs under the same name.
    pub origin: String,
    /// How many entries.
    pub size: u64,
    /// The root over them.
    pub root: Digest32,
}

impl Checkpoint {
    /// The text that is signed.
    pub fn text(&self) -> String {
        format!(
            "{}\n{}\n{}\n",
            self.origin,
            self.size,
            STANDARD.encode(self.root.as_bytes())
        )
    }

    /// Signs. `name` is the name of the key and must be the origin.
    pub fn sign(&self, key: &SigningKey, name: &str) -> Result<String, CheckpointError> {
        self.check(name)?;
        sign_note(&self.text(), key, name)
    }

    /// Checks a signed checkpoint with the log's key.
    pub fn open(note: &str, vkey: &VerifierKey) -> Result<Self, CheckpointError> {
        let checkpoint = Self::read(open_note(note, vkey)?)?;
        checkpoint.check(vkey.name())?;
        Ok(checkpoint)
    }

    /// Reads the text of a checkpoint; no signature is looked at. To trust one, [`open`](Self::open) it.
    pub fn read(text: &str) -> Result<Self, CheckpointError> {
        let wrong = |what| CheckpointError::NotACheckpoint { what };
        let body = text
            .strip_suffix('\n')
            .ok_or(wrong("it does not end in a newline"))?;
        let mut lines = body.split('\n');
        let (Some(origin), Some(size), Some(root), None) =
            (lines.next(), lines.next(), lines.next(), lines.next())
        else {
            return Err(wrong("it has not three lines: log, size and root"));
        };
        let size =
            read_whole(size).ok_or(wrong("the size is not a whole number in plain digits"))?;
        let root = read_hash(root).ok_or(wrong("the root is not the base64 text of 32 bytes"))?;
        check_name(origin)?;
        Ok(Self {
            origin: origin.to_owned(),
            size,
            root,
        })
    }

    fn check(&self, name: &str) -> Result<(), CheckpointError> {
        if self.origin != name {
            let (expected, found) = (name.to_owned(), self.origin.clone());
            return Err(CheckpointError::OtherLog { expected, found });
        }
        if self.size == 0 && self.root != tree::empty_root() {
            let what = "a log without entries cannot have this root";
            return Err(CheckpointError::NotACheckpoint { what });
        }
        Ok(())
    }
}

/// Plain digits without a leading zero.
pub(crate) fn read_whole(text: &str) -> Option<u64> {
    let number = text.parse::<u64>().ok()?;
    (number.to_string() == text).then_some(number)
}

/// A hash in base64.
pub(crate) fn read_hash(text: &str) -> Option<Digest32> {
    let bytes: [u8; 32] = STANDARD.decode(text).ok()?.try_into().ok()?;
    Some(Digest32::new(bytes))
}

#[cfg(test)]
mod tests;
