//! A record that takes the place of an earlier one says which, why, and what is different.

use super::{Record, Subject, Verified};
use crate::canonical::Digest32;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Members of the subject that always differ, or speak of the record and not of the bike.
const ABOUT_THE_RECORD: [&str; 6] = [
    "amends",
    "key_history",
    "keys",
    "ledger",
    "record_version",
    "fasteners",
];

/// Which record this one takes the place of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Amends {
    /// SHA-256 of the earlier record's canonical JSON.
    pub record: Digest32,
    /// Its name.
    pub id: String,
    /// When it was sealed.
    pub sealed: String,
    /// Why it is amended.
    pub reason: String,
    /// What is different, in the order of the plan.
    pub changed: Vec<Changed>,
}

/// Something that is different from the earlier record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Changed {
    /// Which fastener; none for what is said of the whole bike.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub fastener: Option<String>,
    /// The members that are different.
    pub members: Vec<String>,
}

/// What is different between two records of one build. Who did something is not looked at: a name's hash is another one
/// in every record, and an act without its name is the same act.
pub fn changed(before: &Subject, after: &Subject) -> Vec<Changed> {
    let old = members(before);
    let new = members(after);
    let mut list = Vec::new();
    let of_the_bike: Vec<String> = differing(&old, &new)
        .into_iter()
        .filter(|name| !ABOUT_THE_RECORD.contains(&name.as_str()))
        .collect();
    if !of_the_bike.is_empty() {
        list.push(Changed {
            fastener: None,
            members: of_the_bike,
        });
    }
    let old = fasteners(before);
    let new = fasteners(after);
    let mut ids: Vec<&String> = after
        .fasteners
        .iter()
        .map(|fastener| &fastener.id)
        .collect();
    ids.extend(
        before
            .fasteners
            .iter()
            .map(|fastener| &fastener.id)
            .filter(|id| !new.contains_key(*id)),
    );
    let nothing = BTreeMap::new();
    for id in ids {
        let members = differing(
            old.get(id).unwrap_or(&nothing),
            new.get(id).unwrap_or(&nothing),
        );
        if !members.is_empty() {
            list.push(Changed {
                fastener: Some(id.clone()),
                members,
            });
        }
    }
    list
}

type Members = BTreeMap<String, Value>;

fn members(what: &impl Serialize) -> Members {
    let Ok(Value::Object(members)) = serde_json::to_value(what) else {
        return Members::new();
    };
    members
        .into_iter()
        .map(|(name, mut value)| {
            forget_names(&mut value);
            (name, value)
        })
        .collect()
}

fn fasteners(subject: &Subject) -> BTreeMap<String, Members> {
    let all = subject.fasteners.iter();
    all.map(|fastener| (fastener.id.clone(), members(fastener)))
        .collect()
}

fn differing(old: &Members, new: &Members) -> Vec<String> {
    let names: BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    names
        .into_iter()
        .filter(|name| old.get(*name) != new.get(*name))
        .cloned()
        .collect()
}

fn forget_names(value: &mut Value) {
    match value {
        Value::Object(members) => {
            let is_handed = members.contains_key("handed");
            members.retain(|name, value| {
                !(value.is_string() && (name == "by" || (is_handed && name == "to")))
            });
            members.values_mut().for_each(forget_names);
        }
        Value::Array(items) => items.iter_mut().for_each(forget_names),
        _ => {}
    }
}

/// What is said of a record for which [`order`] finds that it does not tell the difference as it is.
pub const NOT_SO: &str = "what it says about the record that it amends is not so";

/// Of several records, which takes the place of which: the number of the earlier one, that of the later one, and whether the
/// later one is of the same bench and tells the difference as it is. One that only claims to come later takes nobody's place.
pub fn order(records: &[Option<&Verified>]) -> Vec<(usize, usize, bool)> {
    let known = || {
        let numbered = records.iter().enumerate();
        numbered.filter_map(|(number, record)| Some((number, (*record)?)))
    };
    known()
        .flat_map(|(later, after)| {
            known()
                .filter(move |(earlier, _)| *earlier != later)
                .filter_map(move |(earlier, before)| {
                    let is_so = follows(&after.record, &before.record, &before.sha256)?;
                    let is_so = is_so && after.fingerprint == before.fingerprint;
                    Some((earlier, later, is_so))
                })
        })
        .collect()
}

/// Whether `later` names `earlier` (with this hash) as the record that it takes the place of, and what it says about the
/// difference is so.
pub fn follows(later: &Record, earlier: &Record, hash: &Digest32) -> Option<bool> {
    let amends = later.subject.amends.as_ref()?;
    if amends.record != *hash {
        return None;
    }
    let is_so = amends.id == earlier.id
        && amends.sealed == earlier.valid_from
        && later.subject.build == earlier.subject.build
        && amends.changed == changed(&earlier.subject, &later.subject);
    Some(is_so)
}
