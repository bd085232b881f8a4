//! What checking a record came to.

use super::{Ink, line};
use pullmark_schema::keys::in_groups;
use pullmark_schema::record::{Missing, Seen, Subject, Verified, VerifyError, not_known};
use pullmark_stamp::Stamped;

/// A record that holds.
pub(crate) fn valid(verified: &Verified, seen: Seen, stamp: Option<&Stamped>, ink: Ink) {
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
    counted(subject);
    for part in &subject.parts {
        line(&format!(
            "  part         {}, serial {}",
            part.title, part.serial
        ));
    }
    for change in &subject.plan_changes {
        let reason = change
            .changed
            .reason
            .as_deref()
            .unwrap_or("no reason given");
        line(&format!(
            "  until entry {} it was held to {}, edition {} ({reason})",
            change.changed.sequence, change.before.title, change.before.edition
        ));
    }
    for item in &subject.not_done {
        let what = match item.what {
            Missing::Torque => "not tightened",
            Missing::Prep => "prep not confirmed",
            Missing::SecondLook => "second look missing",
            Missing::Measurement => "not measured",
        };
        let reason = item
            .reason
            .as_ref()
            .map(|reason| format!(": {reason}"))
            .unwrap_or_default();
        let waits = item
            .waits_for
            .as_ref()
            .map(|what| format!(", waits for {what}"))
            .unwrap_or_default();
        line(&ink.low(&format!(
            "  not done     {}, {what}{reason}{waits}",
            subject.title_of(&item.fastener)
        )));
    }
    if subject.practice {
        line(&ink.low(
            "  practice     the clock ran faster than time; this record speaks of no real bike",
        ));
    }
    in_ledger(verified, ink);
    if let Some(stamp) = stamp {
        let text = format!(
            "  time stamp   it existed before {}, says {}",
            stamp.time.format("%Y-%m-%d %H:%M:%S UTC"),
            stamp.authority
        );
        line(&if seen.is_stamp_trusted {
            ink.good(&text)
        } else {
            text
        });
    }
    for text in not_known(verified, seen) {
        line(&format!("  not known    {text}"));
    }
}

fn counted(subject: &Subject) {
    let s = subject.summary;
    let c = &subject.check_summary;
    if s.fasteners > 0 || c.checks == 0 {
        line(&format!(
            "  fasteners    {}: {} within, {} over but inspected and kept, {} undecided but inspected and kept, {} deferred",
            s.fasteners, s.within, s.over_kept, s.undecided_kept, s.deferred
        ));
    }
    if c.checks > 0 {
        line(&format!(
            "  checks       {}: {} within, {} not within but inspected and kept, {} deferred",
            c.checks, c.within, c.kept, c.deferred
        ));
    }
}

fn in_ledger(verified: &Verified, ink: Ink) {
    if let Some(amends) = &verified.record.subject.amends {
        line(&format!(
            "  amends       the record of {}: {}",
            amends.sealed, amends.reason
        ));
        for changed in &amends.changed {
            let id = changed.fastener.as_deref();
            let what = id.map_or("the bike", |id| verified.record.subject.title_of(id));
            line(&format!(
                "               {what}: {}",
                changed.members.join(", ")
            ));
        }
    }
    if let Some(follows) = &verified.record.subject.follows {
        let record = follows.record.map(|hash| format!(", record {hash}"));
        let record = record.unwrap_or_default();
        line(&format!("  goes on from {}{record}", follows.build));
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

/// A record that does not hold.
pub(crate) fn not_valid(file: &str, error: &VerifyError, ink: Ink) {
    line(&format!("{} {file}: {error}", ink.alarm(" not valid ")));
}
