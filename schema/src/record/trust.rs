//! Judges the key that signed a record by the key history that the record carries, or a newer one.

use super::{Record, VerifyError};
use crate::canonical::Digest32;
use crate::keys::{self, KeyLink, KeyReason, Keys};
use crate::multikey::DidKey;
use crate::proof::Signed;

/// What the reader knows from elsewhere.
#[derive(Debug, Clone, Default)]
pub struct Given {
    /// The bench's key history; a newer one than the record's shows keys that were revoked since.
    pub keys: Vec<KeyLink>,
    /// The bench's identity.
    pub pin: Option<Digest32>,
}

/// How the key that signed stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum KeyStanding {
    /// It is the last one that is known.
    Present,
    /// It was revoked after the record says that it was signed.
    RevokedSince {
        /// From when on it does not count.
        from: String,
        /// Why.
        reason: KeyReason,
    },
}

/// The outcome: whose record it is and what is known of the bench's keys.
pub(super) struct Judged {
    pub(super) identity: Digest32,
    pub(super) standing: KeyStanding,
    /// Every key that is known, the first one first.
    pub(super) keys: Vec<DidKey>,
}

pub(super) fn judge(
    record: &Record,
    signed: &Signed,
    beside: &[KeyLink],
    given: &Given,
) -> Result<Judged, VerifyError> {
    let own = &record.subject.keys;
    let links = [beside, given.keys.as_slice()]
        .into_iter()
        .filter(|links| !links.is_empty())
        .try_fold(own.as_slice(), |known, more| {
            keys::longer(known, more).ok_or(VerifyError::OtherHistory)
        })?;
    let judged = if own.is_empty() {
        plain(record, signed, links)?
    } else {
        linked(own, signed, links)?
    };
    if !record.subject.key_history.is_empty() && !own.is_empty() {
        return Err(VerifyError::KeyHistory);
    }
    let (judged, history) = judged;
    match given.pin {
        Some(pin) if pin != judged.identity && history.is_none_or(|history| !history.is(&pin)) => {
            Err(VerifyError::OtherBench {
                found: judged.identity,
                pinned: pin,
            })
        }
        _ => Ok(judged),
    }
}

fn linked(
    own: &[KeyLink],
    signed: &Signed,
    links: &[KeyLink],
) -> Result<(Judged, Option<Keys>), VerifyError> {
    let carried = keys::check(own)?;
    let last = carried.spans.last().ok_or(VerifyError::KeyHistory)?;
    // Times are not compared: a clock that was set back must not make a record doubtful. The links have their order.
    if last.key != signed.key {
        return Err(VerifyError::KeyHistory);
    }
    // The longer one begins with the record's own.
    let known = if links.len() == own.len() {
        carried
    } else {
        keys::check(links)?
    };
    let judged = Judged {
        identity: known.identity,
        standing: standing(&known, signed)?,
        keys: known.spans.iter().map(|span| span.key).collect(),
    };
    Ok((judged, Some(known)))
}

/// A record from before there were links: its list is only counted. A history that says that it begins with that list may
/// be given.
fn plain(
    record: &Record,
    signed: &Signed,
    links: &[KeyLink],
) -> Result<(Judged, Option<Keys>), VerifyError> {
    let list = &record.subject.key_history;
    let is_counted = (0_u32..)
        .zip(list)
        .all(|(number, entry)| entry.sequence == number);
    if !is_counted
        || list
            .last()
            .is_none_or(|last| last.key != signed.key.multikey())
    {
        return Err(VerifyError::KeyHistory);
    }
    let identity = list
        .first()
        .and_then(super::KeyEntry::fingerprint)
        .ok_or(VerifyError::KeyHistory)?;
    let keys: Option<Vec<DidKey>> = list
        .iter()
        .map(|entry| DidKey::from_multikey(&entry.key).ok())
        .collect();
    let mut judged = Judged {
        identity,
        standing: KeyStanding::Present,
        keys: keys.ok_or(VerifyError::KeyHistory)?,
    };
    if links.is_empty() {
        return Ok((judged, None));
    }
    let known = keys::check(links)?;
    if known.earlier_identity != Some(identity) {
        return Err(VerifyError::OtherHistory);
    }
    judged.standing = standing(&known, signed)?;
    judged.keys = known.spans.iter().map(|span| span.key).collect();
    Ok((judged, Some(known)))
}

fn standing(known: &Keys, signed: &Signed) -> Result<KeyStanding, VerifyError> {
    let span = known
        .spans
        .iter()
        .find(|span| span.key == signed.key)
        .ok_or(VerifyError::KeyHistory)?;
    let Some((from, reason)) = span.revoked else {
        return Ok(KeyStanding::Present);
    };
    let text = from.to_rfc3339();
    if signed.created_at >= from {
        return Err(VerifyError::Revoked { from: text, reason });
    }
    Ok(KeyStanding::RevokedSince { from: text, reason })
}
