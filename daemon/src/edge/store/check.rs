//! Checks a whole ledger from outside: every hash, every link, every attachment, and that it tells one story.

use super::StoreError;
use super::ledger::{Reader, check_link};
use pullmark_schema::canonical::{self, Digest32};
use pullmark_schema::checkpoint::{Checkpoint, VerifierKey};
use pullmark_schema::entry::{Entry, Event};
use pullmark_schema::multikey::DidKey;
use pullmark_schema::reading::Origin;
use pullmark_schema::tree::Frontier;
use std::path::Path;

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
    /// An entry is not in canonical form.
    #[error("entry {0}: it is not in canonical form")]
    Form(u64),
}

/// Checks the ledger of a folder.
pub fn check(folder: &Path) -> Result<Checked, CheckError> {
    let reader = Reader::open(folder)?;
    let attached = Reader::open(folder)?;
    let mut frontier = Frontier::new();
    let mut previous = Digest32::new([0; 32]);
    let mut checked = Checked {
        entries: 0,
        root: frontier.root(),
        attachments: 0,
        checkpoints: 0,
    };
    let mut key: Option<DidKey> = None;
    let mut wrong = None;
    reader.each(0, |stored| {
        check_link(&stored, frontier.size(), previous)?;
        if wrong.is_none() {
            wrong = check_entry(
                &stored.entry,
                &stored.body,
                &attached,
                &frontier,
                &mut key,
                &mut checked,
            )?;
        }
        frontier.append(stored.leaf);
        previous = stored.leaf;
        Ok(())
    })?;
    checked.entries = frontier.size();
    checked.root = frontier.root();
    wrong.map_or(Ok(checked), Err)
}

fn check_entry(
    entry: &Entry,
    body: &[u8],
    attached: &Reader,
    frontier: &Frontier,
    key: &mut Option<DidKey>,
    checked: &mut Checked,
) -> Result<Option<CheckError>, StoreError> {
    let sequence = entry.sequence;
    if canonical::to_canonical_of(entry).ok().as_deref() != Some(body) {
        return Ok(Some(CheckError::Form(sequence)));
    }
    if let Some(named) = named(&entry.event) {
        checked.attachments += 1;
        if attached
            .attached(sequence)?
            .is_none_or(|bytes| Digest32::of(&bytes) != named)
        {
            return Ok(Some(CheckError::Attachment(sequence)));
        }
    }
    match &entry.event {
        Event::Started { key: multikey, .. } => *key = DidKey::from_multikey(multikey).ok(),
        Event::RecordSealed { checkpoint, .. } => {
            checked.checkpoints += 1;
            if !holds(checkpoint, key.as_ref(), frontier) {
                return Ok(Some(CheckError::Checkpoint(sequence)));
            }
        }
        _ => {}
    }
    Ok(None)
}

fn holds(checkpoint: &str, key: Option<&DidKey>, frontier: &Frontier) -> bool {
    let Some(key) = key else { return false };
    let name = crate::core::seal::log_name(key);
    let opened = VerifierKey::new(&name, *key).and_then(|vkey| Checkpoint::open(checkpoint, &vkey));
    opened.is_ok_and(|head| head.size == frontier.size() && head.root == frontier.root())
}

/// The hash of the bytes that an event names.
fn named(event: &Event) -> Option<Digest32> {
    match event {
        Event::Pulled(pulled) => match pulled.reading.origin {
            Origin::Measured { raw } => Some(raw),
            Origin::Attested { .. } => None,
        },
        Event::Unreadable { raw, .. } => Some(*raw),
        Event::ToolGone { partial, .. } => *partial,
        Event::Noted(noted) => noted.photo.as_ref().map(|photo| photo.sha256),
        Event::RecordSealed { record, .. } => Some(*record),
        event => event.plan().map(|plan| plan.sha256),
    }
}
