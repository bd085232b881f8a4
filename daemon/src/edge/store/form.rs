//! Reads an entry and sees whether it is in canonical form, as fast as a million of them asks for.
//!
//! Almost every entry is a reading. In canonical form the members of an entry stand in one order, so its body can be cut
//! out and read as what it is, without looking for its kind first; what comes out is written again and has to be the same
//! bytes. Whatever does not look so is read the long way, which gives the same answer.

use pullmark_schema::canonical::{self, Digest32};
use pullmark_schema::entry::{Entry, Event, Pulled};
use serde::{Deserialize, Serialize};

/// What stands around the body of a reading.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Around {
    bench: String,
    #[serde(skip_serializing_if = "Option::is_none", default)]
    in_build: Option<u64>,
    kind: String,
    previous: Digest32,
    sequence: u64,
    since_boot_ms: u64,
    time: String,
    version: u32,
}

/// The entry, and whether its bytes are its canonical form.
pub(super) fn read(body: &[u8]) -> Result<(Entry, bool), serde_json::Error> {
    if let Some(entry) = read_pulled(body) {
        return Ok((entry, true));
    }
    let entry: Entry = serde_json::from_slice(body)?;
    let is_canonical = canonical::to_canonical_of(&entry).ok().as_deref() == Some(body);
    Ok((entry, is_canonical))
}

/// A reading in canonical form; nothing for anything else.
fn read_pulled(bytes: &[u8]) -> Option<Entry> {
    let bench = end_of_value(bytes, bytes.strip_prefix(b"{\"bench\":").map(|_| 9)?)?;
    let from = bench + b",\"body\":".len();
    if bytes.get(bench..from)? != b",\"body\":" {
        return None;
    }
    let to = end_of_value(bytes, from)?;
    let inside = bytes.get(from..to)?;
    let mut around = Vec::with_capacity(bytes.len() - inside.len());
    around.extend_from_slice(bytes.get(..bench)?);
    around.extend_from_slice(bytes.get(to..)?);
    let head: Around = serde_json::from_slice(&around).ok()?;
    if head.kind != "pulled" || canonical::to_canonical_of(&head).ok()? != around {
        return None;
    }
    let pulled: Pulled = serde_json::from_slice(inside).ok()?;
    if canonical::to_canonical_of(&pulled).ok()? != inside {
        return None;
    }
    Some(Entry {
        version: head.version,
        sequence: head.sequence,
        time: head.time,
        since_boot_ms: head.since_boot_ms,
        bench: head.bench,
        previous: head.previous,
        in_build: head.in_build,
        event: Event::Pulled(Box::new(pulled)),
    })
}

/// Where the value ends that begins here: behind its last quote or bracket.
fn end_of_value(bytes: &[u8], from: usize) -> Option<usize> {
    let mut depth = 0_usize;
    let mut at = from;
    loop {
        match bytes.get(at)? {
            b'"' => {
                at = end_of_text(bytes, at)?;
                if depth == 0 {
                    return Some(at);
                }
                continue;
            }
            b'{' | b'[' => depth += 1,
            b'}' | b']' => {
                depth = depth.checked_sub(1)?;
                if depth == 0 {
                    return Some(at + 1);
                }
            }
            _ => {}
        }
        at += 1;
    }
}

/// Behind the quote that ends the text whose first quote is here.
fn end_of_text(bytes: &[u8], from: usize) -> Option<usize> {
    let mut at = from + 1;
    loop {
        at += memchr::memchr2(b'"', b'\\', bytes.get(at..)?)?;
        if bytes.get(at) == Some(&b'"') {
            return Some(at + 1);
        }
        at += 2;
    }
}
