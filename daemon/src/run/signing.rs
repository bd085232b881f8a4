//! What the bench's key signs: records, heads of the tree, and the key that follows it.

use super::{Heart, RunError, Settings};
use crate::core::seal::{Earlier, Means, head_signed, seal};
use crate::core::{Decided, Refusal};
use crate::edge::keys;
use crate::edge::store::{Reader, StoreError};
use chrono::DateTime;
use pullmark_schema::SigningKey;
use pullmark_schema::canonical::{self, Digest32};
use pullmark_schema::entry::{Entry, Event, Now, to_text};
use pullmark_schema::keys::{self as history, KeyLink, KeyReason, NewKey, hash_of};
use pullmark_schema::multikey::DidKey;
use pullmark_schema::record::{Record, names};
use std::collections::BTreeMap;

/// A head is signed when the last one is older than this and something has happened since.
const DAY_MS: i64 = 24 * 60 * 60 * 1_000;

/// How the bench's key is to change.
#[derive(Debug)]
pub struct KeyChange {
    /// Why.
    pub reason: KeyReason,
    /// From when on the key before no longer counts; now, if left out.
    pub revoked_from: Option<String>,
    /// The recovery key signs, where the key before cannot or may not.
    pub recovery: Option<Recovery>,
}

/// The recovery key as it was typed from its sheet.
pub struct Recovery(pub SigningKey);

impl std::fmt::Debug for Recovery {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Recovery")
    }
}

fn signing(error: &dyn std::fmt::Display) -> RunError {
    RunError::Signing(error.to_string())
}

impl Heart {
    /// How many entries of its build come before this one.
    pub(super) fn in_build(
        &self,
        event: &Event,
        counted: &mut BTreeMap<String, u64>,
    ) -> Option<u64> {
        let id = event.build()?;
        let known = self.bench.builds.get(id).map(|build| build.entries.len());
        let is_first = matches!(event, Event::BuildStarted { .. });
        if known.is_none() && !is_first && !counted.contains_key(id) {
            return None;
        }
        let next = counted.entry(id.to_owned()).or_insert_with(|| {
            known
                .and_then(|known| u64::try_from(known).ok())
                .unwrap_or(0)
        });
        let number = *next;
        *next += 1;
        Some(number)
    }

    /// A ledger without a key history gets the first link of one.
    pub(super) fn begin_history(&mut self, is_new: bool) -> Result<(), RunError> {
        if !self.bench.links.is_empty() {
            return Ok(());
        }
        let recovery = hash_of(&DidKey::of(&keys::recovery(&self.folder)?));
        let next = keys::make_another(&self.folder)?;
        let now = self.tick()?;
        let time = to_text(now.wall);
        let new = NewKey {
            key: DidKey::of(&self.key),
            next: hash_of(&DidKey::of(&next)),
            recovery,
            valid_from: &time,
        };
        // What customers have pinned so far goes on to be known.
        let before = self.bench.key_history.first().filter(|_| !is_new).cloned();
        let link = KeyLink::first(&new, &self.key, before).map_err(|error| signing(&error))?;
        self.commit(vec![Event::KeyLinked(Box::new(link)).into()], now)?;
        self.project()
    }

    /// After a seal the head is signed twice: the first entry covers the seal and names the record without any person's
    /// name, the second covers the first. Else once a day, where something has happened since.
    pub(super) fn sign_what_is_due(&mut self) -> Result<(), RunError> {
        let head = self.bench.head.as_ref();
        if let Some(record) = head.and_then(|head| head.sealed_since) {
            self.sign_present_head(Some(record))?;
        }
        let head = self.bench.head.as_ref();
        // Also where the power went between the two.
        if head.is_some_and(|head| head.names_record) {
            return self.sign_present_head(None);
        }
        let is_due = if let Some(head) = head {
            // The entry that keeps the last head is no news.
            self.ledger.size() > head.size + 1 && self.is_older_than_a_day(&head.time)
        } else {
            let first = self.bench.key_history.first();
            first.is_some_and(|first| self.is_older_than_a_day(&first.valid_from))
        };
        if is_due {
            self.sign_present_head(None)?;
        }
        Ok(())
    }

    pub(super) fn sign_present_head(&mut self, record: Option<Digest32>) -> Result<(), RunError> {
        let now = self.clock.now();
        let decided = head_signed(&self.bench, &self.key, self.head(), record);
        self.commit(vec![decided.map_err(|error| signing(&error))?], now)?;
        Ok(())
    }

    fn is_older_than_a_day(&self, time: &str) -> bool {
        DateTime::parse_from_rfc3339(time).is_ok_and(|time| {
            let age = self.clock.now().wall.signed_duration_since(time);
            age.num_milliseconds() > DAY_MS
        })
    }

    pub(super) fn seal(
        &self,
        build: &str,
        by: String,
        reason: Option<String>,
        now: Now,
    ) -> Result<Vec<Decided>, Refusal> {
        let not_sealed = |error: &dyn std::fmt::Display| Refusal::Seal(error.to_string());
        let random = keys::random().map_err(|error| not_sealed(&error))?;
        let secret = keys::random().map_err(|error| not_sealed(&error))?;
        let known = self.bench.builds.get(build);
        let sealed = known.and_then(|known| known.sealed.last());
        let earlier = match (sealed, reason) {
            (None, None) => None,
            (Some(sealed), Some(reason)) => {
                let earlier = earlier(&self.folder, sealed.sequence, reason);
                Some(earlier.map_err(|error| not_sealed(&error))?)
            }
            (Some(_), None) => return Err(Refusal::SealedBefore(build.to_owned())),
            (None, Some(_)) if known.is_none() => {
                return Err(Refusal::BuildNotKnown(build.to_owned()));
            }
            (None, Some(_)) => return Err(Refusal::NothingToAmend(build.to_owned())),
        };
        let means = Means {
            bench: &self.name,
            key: &self.key,
            random,
            secret,
            head: self.head(),
        };
        let decided = seal(&self.bench, build, by, earlier.as_ref(), &means, now)?;
        Ok(vec![decided])
    }
}

/// The record that an entry sealed, with its names.
fn earlier(folder: &std::path::Path, sequence: u64, reason: String) -> Result<Earlier, StoreError> {
    let damaged = || StoreError::Damaged {
        sequence,
        what: "the record that it names is missing or was changed".to_owned(),
    };
    let reader = Reader::open(folder)?;
    let body = reader.body(sequence)?.ok_or_else(damaged)?;
    let entry: Entry = serde_json::from_slice(&body).map_err(|_| damaged())?;
    let Event::RecordSealed {
        record: hash,
        names: disclosed,
        ..
    } = entry.event
    else {
        return Err(damaged());
    };
    let bytes = reader.attached(sequence)?.ok_or_else(damaged)?;
    let mut value = canonical::read_strict_bytes(&bytes).map_err(|_| damaged())?;
    if let Some(members) = value.as_object_mut() {
        members.remove("proof");
    }
    let record: Record = serde_json::from_value(value).map_err(|_| damaged())?;
    let record = names::show(&record, &disclosed).ok_or_else(damaged)?;
    Ok(Earlier {
        record,
        hash,
        reason,
    })
}

/// Gives the bench another key: the promised one, signed for by the key before, or a fresh one, signed for by the recovery
/// key. No daemon may be running. The link is on disk before any key is forgotten.
pub fn change_key(settings: Settings, change: KeyChange) -> Result<KeyLink, RunError> {
    match change.recovery {
        None => rotate(settings, change.reason, change.revoked_from.as_deref()),
        Some(Recovery(key)) => recover(
            settings,
            &key,
            change.reason,
            change.revoked_from.as_deref(),
        ),
    }
}

fn rotate(
    settings: Settings,
    reason: KeyReason,
    revoked_from: Option<&str>,
) -> Result<KeyLink, RunError> {
    let mut heart = Heart::open(settings)?;
    let last = heart.last_link()?;
    let Some((_, key)) = keys::find(&heart.folder, &last.next)? else {
        let what = "the key that was promised to follow is not in the keys folder: put your copy of it back, or change the \
                    key with the recovery key";
        return Err(RunError::Signing(what.to_owned()));
    };
    let next = keys::make_another(&heart.folder)?;
    let now = heart.tick()?;
    let time = to_text(now.wall);
    let new = NewKey {
        key: DidKey::of(&key),
        next: hash_of(&DidKey::of(&next)),
        recovery: last.recovery,
        valid_from: &time,
    };
    let from = revoked_from.unwrap_or(&time);
    let link = last.follow(&new, &heart.key, reason, from);
    heart.adopt(link.map_err(|error| signing(&error))?, key, now)
}

fn recover(
    settings: Settings,
    signer: &SigningKey,
    reason: KeyReason,
    revoked_from: Option<&str>,
) -> Result<KeyLink, RunError> {
    // The key before may be lost, so the bench is opened with the fresh one.
    let mut heart = Heart::open_with(settings, |folder, _| Ok(keys::make_another(folder)?))?;
    let last = heart.last_link()?;
    if hash_of(&DidKey::of(signer)) != last.recovery {
        let made = DidKey::of(&heart.key);
        let present = DidKey::from_multikey(&last.key).map_err(|error| signing(&error))?;
        if made != present {
            keys::forget_one(&heart.folder, &made)?;
        }
        let what = "this is not the bench's recovery key: look for the sheet that was printed last";
        return Err(RunError::Signing(what.to_owned()));
    }
    // A recovery key that was typed in is used up: another one is made and has to be printed.
    keys::forget_recovery(&heart.folder)?;
    let recovery = keys::recovery(&heart.folder)?;
    let next = keys::make_another(&heart.folder)?;
    let now = heart.tick()?;
    let time = to_text(now.wall);
    let new = NewKey {
        key: DidKey::of(&heart.key),
        next: hash_of(&DidKey::of(&next)),
        recovery: hash_of(&DidKey::of(&recovery)),
        valid_from: &time,
    };
    let from = revoked_from.unwrap_or(&time);
    let link = last.follow(&new, signer, reason, from);
    let key = heart.key.clone();
    heart.adopt(link.map_err(|error| signing(&error))?, key, now)
}

impl Heart {
    fn last_link(&self) -> Result<KeyLink, RunError> {
        let last = self.bench.links.last().map(|(_, link)| link.clone());
        last.ok_or_else(|| {
            RunError::Signing(
                "this ledger has no key history yet: start the daemon once, then print the sheets"
                    .to_owned(),
            )
        })
    }

    /// Writes the link, and only then signs with its key.
    fn adopt(mut self, link: KeyLink, key: SigningKey, now: Now) -> Result<KeyLink, RunError> {
        let mut links = self.bench.links();
        links.push(link.clone());
        history::check(&links).map_err(|error| signing(&error))?;
        self.commit(vec![Event::KeyLinked(Box::new(link.clone())).into()], now)?;
        self.key = key;
        self.say_started()?;
        let decided = head_signed(&self.bench, &self.key, self.head(), None);
        let now = self.clock.now();
        self.commit(vec![decided.map_err(|error| signing(&error))?], now)?;
        self.project()?;
        keys::forget_others(&self.folder, &DidKey::of(&self.key), &link.next)?;
        Ok(link)
    }
}
