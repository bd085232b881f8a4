//! Which keys sign for the bench, and what they signed last.

use super::Bench;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Entry, Event, HeadSigned};
use pullmark_schema::keys::KeyLink;
use pullmark_schema::multikey::DidKey;
use pullmark_schema::record::KeyEntry;

/// The last signed head of the tree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastHead {
    /// How many entries it covers: those before the one that keeps it.
    pub size: u64,
    /// The entry's time.
    pub time: String,
    /// As it was signed.
    pub checkpoint: String,
    /// A record that was sealed since, and that no entry without names speaks of yet.
    pub sealed_since: Option<Digest32>,
    /// It speaks of a record without names, and the head over it is still to be signed.
    pub names_record: bool,
}

impl Bench {
    /// The key history.
    pub fn links(&self) -> Vec<KeyLink> {
        self.links.iter().map(|(_, link)| link.clone()).collect()
    }

    /// The key that signs, as multibase text.
    pub fn present_key(&self) -> Option<&str> {
        let plain = self.key_history.last().map(|last| last.key.as_str());
        let linked = self.links.last().map(|(_, link)| link.key.as_str());
        linked.or(plain)
    }

    /// The first key of the bench; its log is named by it.
    pub fn first_key(&self) -> Option<DidKey> {
        let plain = self.key_history.first().map(|first| first.key.as_str());
        let linked = self.links.first().map(|(_, link)| link.key.as_str());
        linked
            .or(plain)
            .and_then(|key| DidKey::from_multikey(key).ok())
    }

    /// Takes in an entry that holds something signed.
    pub(super) fn signed(&mut self, entry: &Entry) {
        match &entry.event {
            Event::KeyLinked(link) => self.links.push((entry.sequence, (**link).clone())),
            Event::RecordSealed {
                record, checkpoint, ..
            } => self.head_is(entry, checkpoint, Some(*record), false),
            Event::HeadSigned(HeadSigned { checkpoint, record }) => {
                let since = self.head.as_ref().and_then(|head| head.sealed_since);
                self.head_is(
                    entry,
                    checkpoint,
                    since.filter(|since| *record != Some(*since)),
                    record.is_some(),
                );
            }
            Event::HeadTimestamped(stamped) => {
                let mut heads = self.heads.iter();
                if let Some((size, _)) = heads.rfind(|(_, text)| *text == stamped.checkpoint) {
                    self.stamped.entry(*size).or_insert(entry.sequence);
                }
            }
            _ => {}
        }
    }

    fn head_is(
        &mut self,
        entry: &Entry,
        checkpoint: &str,
        sealed_since: Option<Digest32>,
        names_record: bool,
    ) {
        self.heads.push((entry.sequence, checkpoint.to_owned()));
        self.head = Some(LastHead {
            size: entry.sequence,
            time: entry.time.clone(),
            checkpoint: checkpoint.to_owned(),
            sealed_since,
            names_record,
        });
    }

    pub(super) fn started(&mut self, entry: &Entry, key: &str, boot: &str, practice: bool) {
        boot.clone_into(&mut self.boot);
        self.practice |= practice;
        for state in self.tool_states.values_mut() {
            state.port = None;
        }
        if self.key_history.last().is_none_or(|last| last.key != key) {
            let sequence = u32::try_from(self.key_history.len()).unwrap_or(u32::MAX);
            self.key_history.push(KeyEntry {
                sequence,
                key: key.to_owned(),
                valid_from: entry.time.clone(),
            });
        }
    }
}
