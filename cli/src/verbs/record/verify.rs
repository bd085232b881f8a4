//! `pullmark record verify`: offline, without a daemon.

use super::super::{Context, read_file, read_text};
use crate::arguments::VerifyArguments;
use crate::print::{self, Ink};
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_daemon::edge::clock::Clock;
use pullmark_daemon::edge::store::Reader;
use pullmark_schema::checkpoint::Checkpoint;
use pullmark_schema::keys;
use pullmark_schema::record::later::{ConsistencyFile, continues, size_of, unanswered};
use pullmark_schema::record::{
    Given, KeyStanding, Seen, Verified, VerifyError, amend, not_known, verify_with,
};
use pullmark_stamp::{CertificateDer, StampError, Stamped};
use serde_json::{Value, json};

/// A file and what became of it.
struct Looked {
    name: String,
    outcome: Result<Verified, VerifyError>,
    /// The later head that continues the record's, if one was given.
    later: Option<Checkpoint>,
    /// What an outside authority says about when it was.
    stamp: Option<Stamped>,
    /// What another of the files says about it.
    superseded_by: Option<String>,
}

pub(super) fn run(context: &Context, asked: &VerifyArguments) -> miette::Result<Outcome> {
    let keys = match &asked.keys {
        None => Vec::new(),
        Some(file) => keys::read(&read_file(file)?)
            .into_diagnostic()
            .wrap_err_with(|| format!("{} cannot be used", file.display()))?,
    };
    let given = Given {
        keys,
        pin: asked.pin,
    };
    let authorities = match &asked.authority {
        None => None,
        Some(file) => Some(
            pullmark_stamp::certificates(&read_file(file)?)
                .into_diagnostic()
                .wrap_err_with(|| file.display().to_string())?,
        ),
    };
    let seen = Seen {
        is_pinned: asked.pin.is_some(),
        is_stamp_trusted: authorities.is_some(),
        now: Some(Clock::system().now().wall),
    };
    let mut looked = Vec::new();
    for file in &asked.files {
        let mut outcome = verify_with(&read_file(file)?, &given);
        let mut later = None;
        if let (Some(checkpoint), Ok(verified)) = (&asked.checkpoint, &outcome) {
            let text = read_text(checkpoint)?;
            let hashes = hashes(context, asked, verified, &text)?;
            match continues(verified, &text, &hashes) {
                Ok(head) => later = Some(head),
                Err(error) => outcome = Err(error),
            }
        }
        let stamp = match outcome
            .as_ref()
            .map(|verified| stamp_of(verified, authorities.as_deref()))
        {
            Ok(Ok(stamp)) => stamp,
            Ok(Err(why)) => {
                outcome = Err(VerifyError::Timestamp(why));
                None
            }
            Err(_) => None,
        };
        looked.push(Looked {
            name: file.display().to_string(),
            outcome,
            later,
            stamp,
            superseded_by: None,
        });
    }
    follow_amendments(&mut looked);
    let all_hold = looked.iter().all(|one| one.outcome.is_ok());
    tell(context, &looked, seen);
    Ok(if all_hold {
        Outcome::AsAsked
    } else {
        Outcome::No
    })
}

/// The time stamp on a record's head; it has to lead to one of the authorities, where some were named.
fn stamp_of(
    verified: &Verified,
    authorities: Option<&[CertificateDer<'static>]>,
) -> Result<Option<Stamped>, String> {
    let head = verified.in_ledger.as_ref();
    let Some((head, token)) = head.and_then(|head| Some((head, head.timestamp.as_ref()?))) else {
        return match authorities {
            None => Ok(None),
            Some(_) => Err("the file carries none".to_owned()),
        };
    };
    let why = |error: StampError| error.to_string();
    let stamp = pullmark_stamp::read(token, head.checkpoint.as_bytes()).map_err(why)?;
    if let Some(authorities) = authorities {
        stamp.trusted(authorities).map_err(why)?;
    }
    Ok(Some(stamp))
}

/// The proof that the later head continues the record's.
fn hashes(
    context: &Context,
    asked: &VerifyArguments,
    verified: &Verified,
    later: &str,
) -> miette::Result<Vec<String>> {
    if let Some(file) = &asked.consistency {
        let read: ConsistencyFile = serde_json::from_slice(&read_file(file)?)
            .into_diagnostic()
            .wrap_err_with(|| format!("{} is no consistency proof", file.display()))?;
        return Ok(read.hashes);
    }
    let known = verified.in_ledger.as_ref().map_or(0, |found| found.size);
    if let Some(why) = unanswered(verified, later, asked.ledger) {
        miette::bail!(why);
    }
    let size = size_of(later).unwrap_or_default();
    if !asked.ledger || known == 0 || size == known {
        return Ok(Vec::new());
    }
    let reader = Reader::open(&context.data).into_diagnostic()?;
    super::super::ledger::consistency(&reader, known, size)
}

/// Says of each record whether another of them takes its place, and whether that one tells the difference as it is.
fn follow_amendments(looked: &mut [Looked]) {
    let records: Vec<Option<&Verified>> =
        looked.iter().map(|one| one.outcome.as_ref().ok()).collect();
    for (at, number, is_so) in amend::order(&records) {
        let Some(name) = looked.get(number).map(|later| later.name.clone()) else {
            continue;
        };
        if is_so {
            if let Some(earlier) = looked.get_mut(at) {
                earlier.superseded_by = Some(name);
            }
        } else if let Some(later) = looked.get_mut(number) {
            later.outcome = Err(VerifyError::Contradiction {
                at: "amends".to_owned(),
                what: amend::NOT_SO.to_owned(),
            });
        }
    }
}

fn tell(context: &Context, looked: &[Looked], seen: Seen) {
    if context.json {
        let all: Vec<Value> = looked.iter().map(|one| as_json(one, seen)).collect();
        match all.as_slice() {
            [one] => print::json(one),
            all => print::json(&json!({ "records": all })),
        }
        return;
    }
    let ink = Ink::for_output();
    for one in looked {
        if looked.len() > 1 {
            print::line(&ink.strong(&one.name));
        }
        match &one.outcome {
            Ok(verified) => {
                print::valid(verified, seen, one.stamp.as_ref(), ink);
                if let Some(head) = &one.later {
                    print::line(&ink.good(&format!(
                        "  later head   the ledger of {} entries only grew since",
                        head.size
                    )));
                }
                if let Some(other) = &one.superseded_by {
                    print::line(&ink.low(&format!("  superseded   {other} takes its place")));
                }
            }
            Err(error) => print::not_valid(&one.name, error, ink),
        }
    }
}

fn as_json(one: &Looked, seen: Seen) -> Value {
    let verified = match &one.outcome {
        Err(error) => {
            return json!({ "file": one.name, "valid": false, "why": error.to_string() });
        }
        Ok(verified) => verified,
    };
    let subject = &verified.record.subject;
    let revoked = match &verified.key_standing {
        KeyStanding::Present => Value::Null,
        KeyStanding::RevokedSince { from, reason } => json!({ "from": from, "reason": reason }),
    };
    let in_ledger = verified.in_ledger.as_ref().map(|found| {
        json!({
            "size": found.size, "root": found.root, "entries": found.entries,
            "refolded": found.refolded, "numbered": found.numbered,
        })
    });
    json!({
        "file": one.name, "valid": true, "key": verified.key.to_string(), "fingerprint": verified.fingerprint,
        "sha256": verified.sha256, "created": verified.created, "practice": subject.practice,
        "summary": subject.summary, "not_done": subject.not_done, "revoked": revoked, "ledger": in_ledger,
        "amends": subject.amends, "superseded_by": one.superseded_by, "hidden_names": verified.hidden_names,
        "later": one.later.as_ref().map(|head| json!({ "size": head.size, "root": head.root })),
        "time_stamp": one.stamp.as_ref().map(|stamp| json!({
            "time": stamp.time.format("%Y-%m-%dT%H:%M:%SZ").to_string(), "authority": stamp.authority,
            "serial": stamp.serial, "trusted": seen.is_stamp_trusted,
        })),
        "not_known": not_known(verified, seen),
    })
}
