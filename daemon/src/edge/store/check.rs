//! Checks a whole ledger from outside: every hash, every link, every attachment, and that it tells one story.
//!
//! The ledger is taken in pieces of equal length, a power of two, so that each piece is a full subtree: all processors work
//! on pieces, and the heads of the pieces are put together in order.

use super::StoreError;
use super::form::{self, Look};
use super::ledger::{Raw, Reader};
use pullmark_schema::canonical::Digest32;
use pullmark_schema::checkpoint::{Checkpoint, VerifierKey, log_name};
use pullmark_schema::entry::{Event, HeadSigned};
use pullmark_schema::keys::{self, KeyLink};
use pullmark_schema::multikey::DidKey;
use pullmark_schema::tree::{Frontier, leaf_hash};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc;

/// How many entries a piece has; a power of two.
const PIECE: u64 = 4096;

/// What a whole ledger came to.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Checked {
    /// How many entries.
    pub entries: u64,
    /// The root of the RFC 6962 tree over them.
    pub root: Digest32,
    /// How many attachments were compared with their hash.
    pub attachments: u64,
    /// How many signed tree heads hold.
    pub checkpoints: u64,
}

/// What does not hold.
#[derive(Debug, thiserror::Error)]
pub enum CheckError {
    /// The ledger cannot be read, or an entry is not what it was.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The bytes that an entry names are missing or others.
    #[error("entry {0}: the bytes it names are missing or were changed")]
    Attachment(u64),
    /// A signed tree head does not hold.
    #[error("entry {0}: the signed tree head does not fit the entries before it")]
    Checkpoint(u64),
    /// A key does not follow on the ones before.
    #[error("entry {0}: the key in it does not follow on the keys before it")]
    Key(u64),
    /// An entry is not in canonical form.
    #[error("entry {0}: it is not in canonical form")]
    Form(u64),
}

impl CheckError {
    /// Damage to the chain is told before anything else: what stands on it says little.
    const fn is_about_the_chain(&self) -> bool {
        matches!(self, Self::Store(_))
    }
}

/// Something that only makes sense after everything before it.
enum Said {
    /// The daemon came up with this key.
    Started(String),
    /// The bench has another key.
    Linked(Box<KeyLink>),
    /// The head over the entries before was signed; the piece's tree as it was then.
    Signed(String, Frontier),
}

/// What one piece came to.
struct Piece {
    entries: u64,
    attachments: u64,
    tree: Frontier,
    /// What its first entry says is before it.
    first_previous: Option<Digest32>,
    last_leaf: Option<Digest32>,
    said: Vec<(u64, Said)>,
    wrong: Option<CheckError>,
}

/// Checks the ledger of a folder.
pub fn check(folder: &Path) -> Result<Checked, CheckError> {
    let reader = Reader::open(folder)?;
    let size = reader.last_sequence()?.map_or(0, |last| last + 1);
    let pieces = size.div_ceil(PIECE);
    let next = AtomicU64::new(0);
    let failed = AtomicBool::new(false);
    let workers = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    std::thread::scope(|scope| {
        let (send, receive) = mpsc::channel();
        for _ in 0..workers.min(usize::try_from(pieces).unwrap_or(usize::MAX)) {
            let send = send.clone();
            let (next, failed) = (&next, &failed);
            scope.spawn(move || {
                let reader = Reader::open(folder);
                while !failed.load(Ordering::Relaxed) {
                    let number = next.fetch_add(1, Ordering::Relaxed);
                    if number >= pieces {
                        return;
                    }
                    let piece = match &reader {
                        Ok(reader) => check_piece(reader, number * PIECE, size),
                        // Seldom, and told by the one that opens it again.
                        Err(_) => Reader::open(folder)
                            .and_then(|again| check_piece(&again, number * PIECE, size)),
                    };
                    // Nobody listens any more once something was found wrong.
                    if send.send((number, piece)).is_err() {
                        return;
                    }
                }
            });
        }
        drop(send);
        let outcome = put_together(&receive, size);
        failed.store(true, Ordering::Relaxed);
        outcome
    })
}

fn put_together(
    receive: &mpsc::Receiver<(u64, Result<Piece, StoreError>)>,
    size: u64,
) -> Result<Checked, CheckError> {
    let mut waiting = BTreeMap::new();
    let mut story = Story::default();
    let mut wrong = None;
    let mut number = 0;
    for (at, piece) in receive {
        waiting.insert(at, piece);
        while let Some(piece) = waiting.remove(&number) {
            number += 1;
            if let Err(error) = story.take_in(piece?) {
                if error.is_about_the_chain() {
                    return Err(error);
                }
                wrong = wrong.or(Some(error));
            }
        }
    }
    if let Some(error) = wrong {
        return Err(error);
    }
    if story.entries != size {
        return Err(damaged(story.entries, MISSING).into());
    }
    Ok(Checked {
        entries: story.entries,
        root: story.root(None),
        attachments: story.attachments,
        checkpoints: story.checkpoints,
    })
}

const MISSING: &str = "it has another sequence number, so one is missing or was moved";

fn damaged(sequence: u64, what: &str) -> StoreError {
    StoreError::Damaged {
        sequence,
        what: what.to_owned(),
    }
}

/// Everything so far.
#[derive(Default)]
struct Story {
    entries: u64,
    attachments: u64,
    checkpoints: u64,
    /// The tree of whole pieces.
    pieces: Frontier,
    /// The tree of the last piece, where it is not whole.
    rest: Frontier,
    last_leaf: Option<Digest32>,
    first_key: Option<DidKey>,
    key: Option<DidKey>,
    links: Vec<KeyLink>,
}

impl Story {
    /// The root over the whole pieces and the beginning of another.
    fn root(&self, more: Option<&Frontier>) -> Digest32 {
        let more = more.unwrap_or(&self.rest);
        let size = self.pieces.size() * PIECE + more.size();
        let tops = [self.pieces.tops(), more.tops()].concat();
        Frontier::from_parts(size, tops).map_or(Digest32::new([0; 32]), |tree| tree.root())
    }

    fn take_in(&mut self, piece: Piece) -> Result<(), CheckError> {
        let before = self.last_leaf.unwrap_or(Digest32::new([0; 32]));
        if piece
            .first_previous
            .is_some_and(|previous| previous != before)
        {
            return Err(damaged(self.entries, "it names another entry before it").into());
        }
        let mut wrong = piece.wrong;
        if let Some(error) = wrong.take_if(|error| error.is_about_the_chain()) {
            return Err(error);
        }
        for (sequence, said) in piece.said {
            if let Err(error) = self.hear(sequence, said) {
                let is_earlier = wrong.as_ref().is_none_or(|wrong| sequence < at(wrong));
                if is_earlier {
                    wrong = Some(error);
                }
                break;
            }
        }
        self.entries += piece.entries;
        self.attachments += piece.attachments;
        self.last_leaf = piece.last_leaf.or(self.last_leaf);
        if piece.tree.size() == PIECE {
            self.pieces.append(piece.tree.root());
        } else {
            self.rest = piece.tree;
        }
        wrong.map_or(Ok(()), Err)
    }

    fn hear(&mut self, sequence: u64, said: Said) -> Result<(), CheckError> {
        match said {
            Said::Started(text) => {
                let key = DidKey::from_multikey(&text).map_err(|_| CheckError::Key(sequence))?;
                if !self.links.is_empty() && self.key != Some(key) {
                    return Err(CheckError::Key(sequence));
                }
                self.key = Some(key);
                self.first_key = self.first_key.or(self.key);
            }
            Said::Linked(link) => {
                self.links.push(*link);
                let held = keys::check(&self.links).map_err(|_| CheckError::Key(sequence))?;
                // Whoever came up first has signed the first link.
                if held.first() != self.first_key.as_ref() {
                    return Err(CheckError::Key(sequence));
                }
                self.key = held.present().copied();
            }
            Said::Signed(checkpoint, tree) => {
                self.checkpoints += 1;
                if !self.holds(&checkpoint, &tree) {
                    return Err(CheckError::Checkpoint(sequence));
                }
            }
        }
        Ok(())
    }

    fn holds(&self, checkpoint: &str, tree: &Frontier) -> bool {
        let (Some(first), Some(key)) = (&self.first_key, self.key) else {
            return false;
        };
        let opened = VerifierKey::new(&log_name(first), key)
            .and_then(|vkey| Checkpoint::open(checkpoint, &vkey));
        let size = self.pieces.size() * PIECE + tree.size();
        opened.is_ok_and(|head| head.size == size && head.root == self.root(Some(tree)))
    }
}

const fn at(error: &CheckError) -> u64 {
    match error {
        CheckError::Store(_) => 0,
        CheckError::Attachment(sequence)
        | CheckError::Checkpoint(sequence)
        | CheckError::Key(sequence)
        | CheckError::Form(sequence) => *sequence,
    }
}

/// `size` is what the ledger had when the check began: a daemon that runs may be writing more.
fn check_piece(reader: &Reader, from: u64, size: u64) -> Result<Piece, StoreError> {
    let mut piece = Piece {
        entries: 0,
        attachments: 0,
        tree: Frontier::new(),
        first_previous: None,
        last_leaf: None,
        said: Vec::new(),
        wrong: None,
    };
    let count = PIECE.min(size.saturating_sub(from));
    let chain = reader.each_raw(from, count, |raw| check_row(&mut piece, from, &raw));
    match chain {
        Ok(()) => {}
        Err(error @ StoreError::Damaged { .. }) => piece.wrong = Some(error.into()),
        Err(error) => return Err(error),
    }
    Ok(piece)
}

fn check_row(piece: &mut Piece, from: u64, raw: &Raw<'_>) -> Result<(), StoreError> {
    let size = from + piece.entries;
    if leaf_hash(raw.body) != raw.leaf {
        return Err(damaged(size, "its bytes are not those that were hashed"));
    }
    let look = form::read(raw.body)
        .map_err(|error| damaged(size, &format!("it cannot be read: {error}")))?;
    if look.sequence != size {
        return Err(damaged(size, MISSING));
    }
    match piece.last_leaf {
        None => piece.first_previous = Some(look.previous),
        Some(last) if last != look.previous => {
            return Err(damaged(size, "it names another entry before it"));
        }
        Some(_) => {}
    }
    if piece.wrong.is_none() {
        piece.wrong = look_into(piece, look, size, raw);
    }
    piece.entries += 1;
    piece.tree.append(raw.leaf);
    piece.last_leaf = Some(raw.leaf);
    Ok(())
}

fn look_into(piece: &mut Piece, look: Look, sequence: u64, raw: &Raw<'_>) -> Option<CheckError> {
    if !look.is_canonical {
        return Some(CheckError::Form(sequence));
    }
    if let Some(named) = look.names {
        piece.attachments += 1;
        if raw
            .attached
            .is_none_or(|bytes| Digest32::of(bytes) != named)
        {
            return Some(CheckError::Attachment(sequence));
        }
    }
    let said = match look.event? {
        Event::Started { key, .. } => Said::Started(key),
        Event::KeyLinked(link) => Said::Linked(link),
        Event::RecordSealed { checkpoint, .. }
        | Event::HeadSigned(HeadSigned { checkpoint, .. }) => {
            Said::Signed(checkpoint, piece.tree.clone())
        }
        _ => return None,
    };
    piece.said.push((sequence, said));
    None
}
