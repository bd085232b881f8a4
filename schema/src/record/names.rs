//! Names of people in a record, so that they can be left out of it later and the signature still holds.
//!
//! What is signed in the place of a name is the SHA-256 of a salt and the name. Salts and names are listed beside the
//! record, where nobody signs them; whoever gets the list can see that each name is the one that was signed, and whoever
//! does not get it sees only which acts are the same person's. One salt stands for one name in one record: the name's hash
//! in another record is another one.

use super::{RECORD_VERSION, Record};
use crate::canonical::Digest32;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;

/// What stands before the hash in the place of a name.
const HIDDEN: &str = "sha256:";
/// Every member of this name holds a person's name.
const MEMBER: &str = "by";
/// Where a build was handed to another mechanic, this one holds that mechanic's name.
const TO: &str = "to";
const HANDED: &str = "handed";
/// Bytes of a salt.
const SALT: usize = 16;

/// A name and the salt that it was hashed with.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Disclosure {
    /// 16 bytes in hexadecimal.
    pub salt: String,
    /// The name.
    pub name: String,
}

impl Disclosure {
    /// What stands in the record: `sha256:` and the hash of the salt's 16 bytes and the name in UTF-8. Nothing where the
    /// salt is none.
    pub fn hidden(&self) -> Option<String> {
        let mut bytes = hex::decode(&self.salt)
            .ok()
            .filter(|salt| salt.len() == SALT && hex::encode(salt) == self.salt)?;
        bytes.extend_from_slice(self.name.as_bytes());
        Some(format!("{HIDDEN}{}", Digest32::of(&bytes)))
    }

    fn new(name: &str, secret: &[u8; 32]) -> Self {
        let seed = [secret.as_slice(), name.as_bytes()].concat();
        let salt = Digest32::of(&seed);
        Self {
            salt: hex::encode(salt.as_bytes().get(..SALT).unwrap_or_default()),
            name: name.to_owned(),
        }
    }
}

/// Whether a text stands in the place of a name.
pub fn is_hidden(text: &str) -> bool {
    text.strip_prefix(HIDDEN)
        .is_some_and(|hash| hash.parse::<Digest32>().is_ok())
}

/// Puts a hash in the place of every name. `secret` are random bytes that nobody else ever sees.
pub fn hide(record: &Record, secret: &[u8; 32]) -> Option<(Record, Vec<Disclosure>)> {
    let (document, names) = hide_in_document(record.clone(), secret)?;
    Some((serde_json::from_value(document).ok()?, names))
}

/// [`hide`], giving the record as the document that is signed.
pub fn hide_in_document(mut record: Record, secret: &[u8; 32]) -> Option<(Value, Vec<Disclosure>)> {
    record.subject.record_version = RECORD_VERSION;
    let mut document = serde_json::to_value(record).ok()?;
    let mut known: BTreeMap<String, Disclosure> = BTreeMap::new();
    each_name(&mut document, &mut |name| {
        let disclosure = known
            .entry(name.clone())
            .or_insert_with(|| Disclosure::new(name, secret));
        if let Some(hidden) = disclosure.hidden() {
            *name = hidden;
        }
    });
    Some((document, known.into_values().collect()))
}

/// Puts the names back that are disclosed. Nothing if a disclosure is of no name in the record.
pub fn show(record: &Record, names: &[Disclosure]) -> Option<Record> {
    let mut by_hash = BTreeMap::new();
    for disclosure in names {
        by_hash.insert(disclosure.hidden()?, disclosure.name.as_str());
    }
    let mut used = std::collections::BTreeSet::new();
    let mut value = serde_json::to_value(record).ok()?;
    each_name(&mut value, &mut |name| {
        if let Some(shown) = by_hash.get(name.as_str()) {
            used.insert(name.clone());
            (*shown).clone_into(name);
        }
    });
    if used.len() != names.len() {
        return None;
    }
    serde_json::from_value(value).ok()
}

/// Whether every name in a record is hidden; the records of the first version had none hidden.
pub(super) fn all_hidden(record: &Record) -> bool {
    let Ok(mut value) = serde_json::to_value(record) else {
        return false;
    };
    let mut all = true;
    each_name(&mut value, &mut |name| all &= is_hidden(name));
    all
}

/// How many names a record still hides.
pub fn count_hidden(record: &Record) -> usize {
    let mut hidden = std::collections::BTreeSet::new();
    if let Ok(mut value) = serde_json::to_value(record) {
        each_name(&mut value, &mut |name| {
            if is_hidden(name) {
                hidden.insert(name.clone());
            }
        });
    }
    hidden.len()
}

fn each_name(value: &mut Value, then: &mut impl FnMut(&mut String)) {
    match value {
        Value::Object(members) => {
            let is_handed = members.contains_key(HANDED);
            for (name, member) in members {
                match member {
                    Value::String(text) if name == MEMBER || (is_handed && name == TO) => {
                        then(text);
                    }
                    other => each_name(other, then),
                }
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|item| each_name(item, then)),
        _ => {}
    }
}
