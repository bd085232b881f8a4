//! The short way to the canonical form, for what our own types write: no floats, member names in ASCII.
//!
//! For these the JSON writer already gives what RFC 8785 asks for, but for the order of members: whole numbers have one
//! spelling, strings are escaped alike, and names in ASCII sort by bytes as they sort by UTF-16 code units. Whatever is
//! not so plain goes the long way, which also says what is wrong with it.

use serde_json::Value;

use super::{MAX_BYTES, MAX_DEPTH, MAX_WHOLE};

/// Sorts the members of compact JSON text; nothing where it is not plain.
pub(super) fn sorted(text: &str) -> Option<Vec<u8>> {
    if text.len() > MAX_BYTES {
        return None;
    }
    let value: Value = serde_json::from_str(text).ok()?;
    if !is_plain(&value, 0) {
        return None;
    }
    let bytes = serde_json::to_vec(&value).ok()?;
    // Sorting changes no length. A member name that stood twice would have been dropped, and shows here.
    (bytes.len() == text.len()).then_some(bytes)
}

fn is_plain(value: &Value, depth: usize) -> bool {
    match value {
        Value::Null | Value::Bool(_) | Value::String(_) => true,
        Value::Number(number) => number
            .as_i64()
            .map(i64::unsigned_abs)
            .or(number.as_u64())
            .is_some_and(|size| size <= MAX_WHOLE),
        Value::Array(items) => {
            depth < MAX_DEPTH && items.iter().all(|item| is_plain(item, depth + 1))
        }
        Value::Object(members) => {
            depth < MAX_DEPTH
                && members
                    .iter()
                    .all(|(name, member)| name.is_ascii() && is_plain(member, depth + 1))
        }
    }
}
