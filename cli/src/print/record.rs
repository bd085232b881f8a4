//! What checking a record came to.

use super::{Ink, line};
use pullmark_schema::keys::in_groups;
use pullmark_schema::record::{KeyStanding, Missing, Verified, VerifyError};

/// A record that holds.
pub(crate) fn valid(verified: &Verified, is_pinned: bool, ink: Ink) {
    let subject = &verified.record.subject;
    let label = subject.bike.label.as_deref().unwrap_or("bike");
    line(&ink.good("valid: the signature holds and the verdicts follow from the figures"));
    line(&format!(
        "  bike         {label}, frame {}",
        subject.bike.frame
    ));
    line(&format!(
        "  plan         {}, edition {}",
        subject.plan.title, subject.plan.edition
    ));
    line(&format!(
        "  signed       {} for bench {}",
        verified.created, subject.bench
    ));
    line(&format!("  key          {}", verified.key));
    line(&format!("  fingerprint  {}", verified.fingerprint));
    line(&format!(
        "               {}",
        in_groups(&verified.fingerprint)
    ));
    let s = subject.summary;
    line(&format!(
        "  fasteners    {}: {} within, {} over but inspected and kept, {} undecided but inspected and kept, {} deferred",
        s.fasteners, s.within, s.over_kept, s.undecided_kept, s.deferred
    ));
    for item in &subject.not_done {
        let what = match item.what {
            Missing::Torque => "not tightened",
            Missing::Prep => "prep not confirmed",
            Missing::SecondLook => "second look missing",
        };
        let reason = item
            .reason
            .as_ref()
            .map(|reason| format!(": {reason}"))
            .unwrap_or_default();
        line(&ink.low(&format!("  not done     {}, {what}{reason}", item.fastener)));
    }
    if subject.practice {
        line(&ink.low(
            "  practice     the clock ran faster than time; this record speaks of no real bike",
        ));
    }
    in_ledger(verified, ink);
    for text in unknown(verified, is_pinned) {
        line(&format!("  not known    {text}"));
    }
}

fn in_ledger(verified: &Verified, ink: Ink) {
    if let Some(amends) = &verified.record.subject.amends {
        line(&format!(
            "  amends       the record of {}: {}",
            amends.sealed, amends.reason
        ));
        for changed in &amends.changed {
            let what = changed.fastener.as_deref().unwrap_or("the bike");
            line(&format!(
                "               {what}: {}",
                changed.members.join(", ")
            ));
        }
    }
    if let Some(found) = &verified.in_ledger {
        line(&ink.good(&format!(
            "  ledger       it is in the bench's ledger of {} entries",
            found.size
        )));
        if found.refolded {
            line(&ink.good("               its entries, folded again, give this very record"));
        }
    }
    if let Some(words) = &verified.for_customer {
        line(&format!("  from the shop, not signed: {words}"));
    }
}

/// What checking could not know.
pub(crate) fn unknown(verified: &Verified, is_pinned: bool) -> Vec<String> {
    let mut list = Vec::new();
    let mut say = |text: String| list.push(text);
    if !is_pinned {
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
    say("when it was signed: the time is the shop's claim".to_owned());
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

/// A record that does not hold.
pub(crate) fn not_valid(file: &str, error: &VerifyError, ink: Ink) {
    line(&format!("{} {file}: {error}", ink.alarm(" not valid ")));
}
