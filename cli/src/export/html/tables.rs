//! The tables that the page is given: words, units, forms and what is the same in every record. They come out of the same
//! types and constants as the reference check, so that the two cannot drift apart.

use pullmark_schema::canonical::{MAX_BYTES, MAX_DEPTH};
use pullmark_schema::practice::COMMON_PRACTICE;
use pullmark_schema::quantity::UNITS;
use pullmark_schema::record::{CAUTIONS, CONTEXTS, CREDENTIAL_TYPE, file::FORMAT};
use pullmark_schema::schemas;
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// The words for cautions and standings are the English ones of the bench page; a record is English.
const WORDS: &str = include_str!("../../../../daemon/page/words/en.ftl");

/// The tables that the page takes from there: their names, and what the names of their messages begin with.
pub(super) const TABLES: [(&str, &str); 3] = [
    ("STANDING", "standing-"),
    ("CAUTION", "caution-"),
    ("CHECK_CAUTION", "check-caution-"),
];

/// The forms that the page holds documents against, and the files that they stand in.
const FORMS: [(&str, &str); 5] = [
    ("record", "record.schema.json"),
    ("file", "record-file.schema.json"),
    ("entry", "ledger-entry.schema.json"),
    ("keys", "key-history.schema.json"),
    ("consistency", "consistency.schema.json"),
];

const DEFINITIONS: &str = "$defs";
const REFERENCE: &str = "$ref";

fn constant(name: &str, value: &impl serde::Serialize) -> String {
    let text = serde_json::to_string(value).unwrap_or_default();
    // Nothing in it can end the element that holds the script.
    format!("const {name} = {};", text.replace('<', "\\u003c"))
}

/// A table of words out of the bench page's messages, which are one line each here: `caution-battery-low = battery …`.
fn words((name, family): (&str, &str)) -> String {
    let rows: BTreeMap<&str, &str> = WORDS
        .lines()
        .filter_map(|line| line.strip_prefix(family)?.split_once(" = "))
        .collect();
    constant(name, &rows)
}

/// How units are shown, by their UCUM code.
fn symbols() -> String {
    let rows: BTreeMap<&str, &str> = UNITS.iter().map(|unit| (unit.ucum, unit.symbol)).collect();
    constant("UCUM", &rows)
}

/// What a unit is in small units, exactly: under every name that is read, the quantity, numerator, denominator and zero.
fn factors() -> String {
    let rows: Vec<Value> = UNITS
        .iter()
        .map(|unit| {
            let (numerator, denominator) = unit.small_units_in_one();
            let names: Vec<&str> = [unit.ucum, unit.symbol]
                .into_iter()
                .chain(unit.spellings.iter().copied())
                .collect();
            let exact = [numerator, denominator, unit.zero()].map(|whole| whole.to_string());
            json!([names, unit.kind.to_string(), exact])
        })
        .collect();
    constant("FACTORS", &rows)
}

/// What is the same in every record, and how much of a file is read.
fn rules() -> String {
    constant(
        "RULES",
        &json!({
            "format": FORMAT, "contexts": CONTEXTS, "types": ["VerifiableCredential", CREDENTIAL_TYPE],
            "cautions": CAUTIONS, "most_bytes": MAX_BYTES, "most_depth": MAX_DEPTH,
        }),
    )
}

/// The schemas say what is written today; what has a default may be missing in what was written earlier.
fn lenient(value: &Value) -> Value {
    match value {
        Value::Object(members) => {
            let mut members: Map<String, Value> = members
                .iter()
                .map(|(name, value)| (name.clone(), lenient(value)))
                .collect();
            let properties = members.get("properties").cloned().unwrap_or_default();
            if let Some(Value::Array(required)) = members.get_mut("required") {
                required.retain(|name| {
                    let property = name.as_str().and_then(|name| properties.get(name));
                    property.is_none_or(|property| property.get("default").is_none())
                });
            }
            members.into()
        }
        Value::Array(items) => items.iter().map(lenient).collect(),
        other => other.clone(),
    }
}

/// A schema without the words for people; `properties` and `$defs` hold names and not keywords.
fn bare(value: &Value, holds_names: bool) -> Value {
    match value {
        Value::Object(members) => members
            .iter()
            .filter(|(name, _)| {
                let is_for_people = matches!(
                    name.as_str(),
                    "description" | "title" | "$id" | "$schema" | "format" | "default"
                );
                holds_names || !is_for_people
            })
            .map(|(name, value)| {
                let names = !holds_names && matches!(name.as_str(), "properties" | DEFINITIONS);
                (name.clone(), bare(value, names))
            })
            .collect::<Map<_, _>>()
            .into(),
        Value::Array(items) => items.iter().map(|item| bare(item, false)).collect(),
        other => other.clone(),
    }
}

/// References by the name alone, and another name where two forms mean different things by one.
fn rename(value: &mut Value, other: &BTreeMap<String, String>) {
    match value {
        Value::Object(members) => {
            for (name, value) in members.iter_mut() {
                if let (REFERENCE, Value::String(text)) = (name.as_str(), &mut *value) {
                    let bare = text.rsplit('/').next().unwrap_or_default().to_owned();
                    *text = other.get(&bare).cloned().unwrap_or(bare);
                } else {
                    rename(value, other);
                }
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|item| rename(item, other)),
        _ => {}
    }
}

/// The definitions that mean something else than what is shared under their name: in themselves, or by what they refer to.
fn conflicts(own: &Map<String, Value>, shared: &Map<String, Value>) -> BTreeSet<String> {
    let mut found: BTreeSet<String> = BTreeSet::new();
    loop {
        let before = found.len();
        for (key, value) in own {
            let is_other = shared.get(key).is_some_and(|known| known != value);
            if is_other || (shared.contains_key(key) && refers(value, &found)) {
                found.insert(key.clone());
            }
        }
        if found.len() == before {
            return found;
        }
    }
}

fn refers(value: &Value, to: &BTreeSet<String>) -> bool {
    match value {
        Value::Object(members) => members.iter().any(|(name, value)| match value {
            Value::String(text) if name == REFERENCE => to.contains(text),
            other => refers(other, to),
        }),
        Value::Array(items) => items.iter().any(|item| refers(item, to)),
        _ => false,
    }
}

/// The forms of everything that is read, with the definitions that they share written once.
fn forms() -> String {
    let all = schemas::all();
    let mut shared: Map<String, Value> = Map::new();
    let mut roots = Map::new();
    for (name, file) in FORMS {
        let found = all.iter().find(|(known, _)| *known == file);
        let mut root = found.map_or(Value::Null, |(_, schema)| bare(&lenient(schema), false));
        let own = root
            .as_object_mut()
            .and_then(|root| root.remove(DEFINITIONS));
        let own: Map<String, Value> = match own {
            Some(Value::Object(own)) => own,
            _ => Map::new(),
        };
        let mut plain = own.clone();
        plain
            .values_mut()
            .for_each(|known| rename(known, &BTreeMap::new()));
        let other = conflicts(&plain, &shared);
        let other: BTreeMap<String, String> = other
            .into_iter()
            .map(|key| (key.clone(), format!("{name}.{key}")))
            .collect();
        for (key, mut value) in own {
            rename(&mut value, &other);
            shared.insert(other.get(&key).cloned().unwrap_or(key), value);
        }
        rename(&mut root, &other);
        roots.insert(name.to_owned(), root);
    }
    constant("FORMS", &json!({ "roots": roots, "shared": shared }))
}

/// All tables, as a script.
pub(super) fn tables() -> String {
    let mut all = TABLES.map(words).to_vec();
    all.extend([
        symbols(),
        factors(),
        constant("COMMON_PRACTICE", &COMMON_PRACTICE),
        rules(),
        forms(),
    ]);
    all.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A definition that holds another one of two meanings would be shared under one name.
    #[test]
    fn every_reference_of_a_form_leads_to_its_own_definition() {
        let text = forms();
        let text = text
            .strip_prefix("const FORMS = ")
            .and_then(|text| text.strip_suffix(';'));
        let forms: Value = serde_json::from_str(text.unwrap_or_default()).unwrap_or_default();
        let shared = forms["shared"].as_object().cloned().unwrap_or_default();
        for (name, file) in FORMS {
            let all = schemas::all();
            let schema = all.iter().find(|(known, _)| *known == file);
            let schema = schema.map_or(Value::Null, |(_, schema)| bare(&lenient(schema), false));
            let mut seen = Vec::new();
            let root = &forms["roots"][name];
            assert!(same(root, &schema, (&shared, &schema), &mut seen), "{name}");
            // As many as a record has, so that what is compared is not nothing.
            assert!(
                name != "record" || seen.len() > 90,
                "{name}: {}",
                seen.len()
            );
        }
    }

    /// Whether two forms say the same when their references are followed.
    fn same(
        one: &Value,
        other: &Value,
        at: (&Map<String, Value>, &Value),
        seen: &mut Vec<(String, String)>,
    ) -> bool {
        match (one, other) {
            (Value::Object(one), Value::Object(other)) => other
                .iter()
                .filter(|(name, _)| *name != DEFINITIONS)
                .all(|(name, theirs)| {
                    let ours = one.get(name).unwrap_or(&Value::Null);
                    let (REFERENCE, Some(ours), Some(theirs)) =
                        (name.as_str(), ours.as_str(), theirs.as_str())
                    else {
                        return same(ours, theirs, at, seen);
                    };
                    let key = (ours.to_owned(), theirs.to_owned());
                    if seen.contains(&key) {
                        return true;
                    }
                    seen.push(key);
                    let theirs = at.1.pointer(theirs.trim_start_matches('#'));
                    let ours = at.0.get(ours);
                    ours.zip(theirs)
                        .is_some_and(|(ours, theirs)| same(ours, theirs, at, seen))
                }),
            (Value::Array(one), Value::Array(other)) => {
                let mut pairs = one.iter().zip(other);
                one.len() == other.len() && pairs.all(|(one, other)| same(one, other, at, seen))
            }
            _ => one == other,
        }
    }
}
