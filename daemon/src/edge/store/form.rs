//! Reads an entry and sees whether it is in canonical form, as fast as a million of them asks for.
//!
//! Almost every entry is a reading, and its canonical form is known to the byte but for its values: see [`pulled`]. A text
//! that is so is an entry of a reading in canonical form, without making one of it. Whatever is not so, be it another kind,
//! another form, or a text with escapes, is read the long way, which says what is wrong with it.

mod grammar;
mod pulled;

use pullmark_schema::canonical::{self, Digest32};
use pullmark_schema::entry::{Entry, Event};
use pullmark_schema::reading::Origin;

/// What the check of a ledger needs of an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Look {
    /// Its number.
    pub(super) sequence: u64,
    /// What it says is before it.
    pub(super) previous: Digest32,
    /// The hash of the bytes that it names.
    pub(super) names: Option<Digest32>,
    /// What happened, where that is more than a reading.
    pub(super) event: Option<Event>,
    /// Its bytes are its canonical form.
    pub(super) is_canonical: bool,
}

/// Reads an entry, the short way if that is open.
pub(super) fn read(body: &[u8]) -> Result<Look, serde_json::Error> {
    read_pulled(body).map_or_else(|| read_any(body), Ok)
}

/// The long way.
pub(super) fn read_any(body: &[u8]) -> Result<Look, serde_json::Error> {
    let entry: Entry = serde_json::from_slice(body)?;
    let is_canonical = canonical::to_canonical_of(&entry).ok().as_deref() == Some(body);
    Ok(Look {
        sequence: entry.sequence,
        previous: entry.previous,
        names: named(&entry.event),
        event: Some(entry.event).filter(|event| !matches!(event, Event::Pulled(_))),
        is_canonical,
    })
}

/// A reading in canonical form; nothing for anything else.
fn read_pulled(body: &[u8]) -> Option<Look> {
    let kept = grammar::walk(&pulled::ENTRY, std::str::from_utf8(body).ok()?)?;
    let hash = |text: &str| text.trim_matches('"').parse().ok();
    let raw = kept[pulled::RAW];
    Some(Look {
        sequence: kept[pulled::SEQUENCE]?.parse().ok()?,
        previous: hash(kept[pulled::PREVIOUS]?)?,
        names: raw.map(|raw| hash(raw).ok_or(())).transpose().ok()?,
        event: None,
        is_canonical: true,
    })
}

/// The hash of the bytes that an event names.
fn named(event: &Event) -> Option<Digest32> {
    let raw = |origin: &Origin| match origin {
        Origin::Measured { raw } => Some(*raw),
        Origin::Attested { .. } => None,
    };
    match event {
        Event::Pulled(pulled) => raw(&pulled.reading.origin),
        Event::CheckMeasured(measured) => raw(&measured.reading.origin),
        Event::HeadTimestamped(stamped) => Some(stamped.token),
        Event::Unreadable { raw, .. } => Some(*raw),
        Event::ToolGone { partial, .. } => *partial,
        Event::Noted(noted) => noted.photo.as_ref().map(|photo| photo.sha256),
        Event::RecordSealed { record, .. } => Some(*record),
        event => event.plan().map(|plan| plan.sha256),
    }
}

#[cfg(test)]
mod tests;
