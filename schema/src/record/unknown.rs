//! What checking a record cannot know; it is said beside every answer.

use super::{KeyStanding, Verified};
use chrono::{DateTime, FixedOffset};

/// What the reader brought along.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Seen {
    /// The identity of the bench, from another channel.
    pub is_pinned: bool,
    /// The time stamp leads to an authority that the reader trusts.
    pub is_stamp_trusted: bool,
    /// What the reader's clock says.
    pub now: Option<DateTime<FixedOffset>>,
}

/// What checking could not know.
pub fn not_known(verified: &Verified, seen: Seen) -> Vec<String> {
    let mut list = Vec::new();
    let mut say = |text: String| list.push(text);
    if !seen.is_pinned {
        say(
            "whose key it is: compare the fingerprint with one from another channel, such as the invoice or a sign at the \
             counter, or name it with --pin"
                .to_owned(),
        );
    }
    match &verified.key_standing {
        KeyStanding::Present => say(
            "whether the key was revoked since: a newer key history can be given with --keys"
                .to_owned(),
        ),
        KeyStanding::RevokedSince { from, reason } => say(format!(
            "whether it was signed before the key was revoked from {from} on ({reason}): that time is the signer's own word"
        )),
    }
    let stamp = verified
        .in_ledger
        .as_ref()
        .and_then(|found| found.timestamp.as_ref());
    say(if seen.is_stamp_trusted {
        "when it was signed: the time is the shop's claim; that it was before the time stamp is not"
            .to_owned()
    } else {
        "when it was signed: the time is the shop's claim".to_owned()
    });
    times(verified, seen, &mut say);
    if stamp.is_some() && !seen.is_stamp_trusted {
        say(
            "whether its time stamp is that of an authority to be trusted: `pullmark record verify --authority` compares it \
             with a certificate of yours"
                .to_owned(),
        );
    }
    match &verified.in_ledger {
        None => say("whether it is in the bench's ledger: the file brings no entries".to_owned()),
        Some(found) if !found.refolded => {
            say("whether every reading is in it: the file brings no readings' entries".to_owned());
        }
        Some(found) if !found.numbered => {
            say(
                "whether an entry was left out: they were not counted when this build was begun"
                    .to_owned(),
            );
        }
        Some(_) => {}
    }
    if verified.hidden_names > 0 {
        say(format!(
            "{} name(s): they are left out",
            verified.hidden_names
        ));
    }
    list
}

/// Clocks are set, forwards and back, so times that do not fit make no record wrong; whoever reads it has to know.
fn times(verified: &Verified, seen: Seen, say: &mut impl FnMut(String)) {
    let subject = &verified.record.subject;
    let (begun, done) = (&subject.started.time, &subject.finished.time);
    let moment = |text: &String| DateTime::parse_from_rfc3339(text).ok();
    let is_after = |one: &String, other: &String| moment(one) > moment(other);
    if is_after(begun, done) || is_after(done, &verified.created) {
        say(format!(
            "which of its times is right: begun {begun}, handed over {done}, signed {} do not follow on one another, so the \
             bench's clock was set in between, or a time is made up",
            verified.created
        ));
    }
    // A practice clock runs ahead of any other, and the record says that it is practice.
    let is_ahead = |now| moment(&verified.created).is_some_and(|created| created > now);
    if !subject.practice && seen.now.is_some_and(is_ahead) {
        say(format!(
            "when it was signed, {} lies ahead of this machine's clock: one of the two clocks is wrong",
            verified.created
        ));
    }
}
