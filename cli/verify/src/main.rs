//! `pullmark-verify`: checks record files offline, and does nothing else. It opens the files that it is given and no
//! other, and it knows no network.
#![forbid(unsafe_code)]

use chrono::{DateTime, FixedOffset, Utc};
use pullmark_schema::keys::{self, in_groups};
use pullmark_schema::record::later::{ConsistencyFile, continues, unanswered};
use pullmark_schema::record::{Given, Seen, Verified, VerifyError, amend, not_known, verify_with};
use pullmark_schema::shown::shown;
use std::io::Write as _;
use std::process::ExitCode;

const USAGE: &str = "pullmark-verify RECORD.json... [--pin HASH] [--keys FILE] [--checkpoint FILE --consistency FILE] [--json]

Checks records offline. Of several, it is said which takes the place of which.
  --pin HASH          the identity of the bench, from another channel
  --keys FILE         a key history of the bench; a newer one shows keys that were revoked since
  --checkpoint FILE   a later signed head of the bench's ledger
  --consistency FILE  the proof that it continues the record's
  --json              print JSON

Exit status: 0 all hold, 1 one does not, 2 the question was wrong.";

/// What was asked.
#[derive(Default)]
struct Asked {
    files: Vec<String>,
    given: Given,
    /// A later head and the hashes that lead to it.
    later: Option<(String, Vec<String>)>,
    json: bool,
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if arguments
        .iter()
        .any(|word| word == "--help" || word == "-h")
    {
        println!("{USAGE}");
        return ExitCode::SUCCESS;
    }
    match read(&arguments).and_then(|asked| check(&asked)) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(1),
        Err(why) => {
            eprintln!("{why}\n\n{USAGE}");
            ExitCode::from(2)
        }
    }
}

fn bytes_of(file: &str) -> Result<Vec<u8>, String> {
    std::fs::read(file).map_err(|error| format!("{file} cannot be read: {error}"))
}

fn read(arguments: &[String]) -> Result<Asked, String> {
    let mut asked = Asked::default();
    let mut words = arguments.iter();
    let (mut checkpoint, mut hashes) = (None, None);
    while let Some(word) = words.next() {
        let mut value = || words.next().ok_or_else(|| format!("{word} needs a value"));
        match word.as_str() {
            "--json" => asked.json = true,
            "--pin" => {
                let pin = value()?.parse();
                asked.given.pin = Some(pin.map_err(|error| format!("--pin: {error}"))?);
            }
            "--keys" => {
                let file = value()?;
                let keys = keys::read(&bytes_of(file)?);
                asked.given.keys = keys.map_err(|error| format!("{file}: {error}"))?;
            }
            "--checkpoint" => {
                let file = value()?;
                let text = String::from_utf8(bytes_of(file)?);
                checkpoint = Some(text.map_err(|_| format!("{file} is not UTF-8 text"))?);
            }
            "--consistency" => {
                let file = value()?;
                let proof: ConsistencyFile = serde_json::from_slice(&bytes_of(file)?)
                    .map_err(|error| format!("{file}: {error}"))?;
                hashes = Some(proof.hashes);
            }
            option if option.starts_with('-') => return Err(format!("{option} is not known")),
            file => asked.files.push(file.to_owned()),
        }
    }
    if hashes.is_some() && checkpoint.is_none() {
        return Err(
            "--consistency proves something of a later head: name it with --checkpoint".to_owned(),
        );
    }
    asked.later = checkpoint.map(|text| (text, hashes.unwrap_or_default()));
    if asked.files.is_empty() {
        return Err("no record file was named".to_owned());
    }
    Ok(asked)
}

type Outcome = Result<Verified, VerifyError>;

#[allow(clippy::disallowed_methods)] // this program's edge is this file
fn now() -> DateTime<FixedOffset> {
    Utc::now().fixed_offset()
}

/// Writes one line; a reader that went away is no error. A stranger's text may hold what acts on a terminal.
fn line(text: &str) {
    let _ = writeln!(std::io::stdout(), "{}", shown(text, &[]));
}

/// Whether all hold.
fn check(asked: &Asked) -> Result<bool, String> {
    let mut outcomes: Vec<(&String, Outcome)> = Vec::new();
    for file in &asked.files {
        let mut outcome = verify_with(&bytes_of(file)?, &asked.given);
        if let (Some((text, hashes)), Ok(verified)) = (&asked.later, &outcome) {
            if let Some(why) = unanswered(verified, text, !hashes.is_empty()) {
                return Err(why);
            }
            if let Err(error) = continues(verified, text, hashes) {
                outcome = Err(error);
            }
        }
        outcomes.push((file, outcome));
    }
    let records: Vec<Option<&Verified>> = outcomes
        .iter()
        .map(|(_, outcome)| outcome.as_ref().ok())
        .collect();
    let order = amend::order(&records);
    let mut all_hold = true;
    for (number, (file, outcome)) in outcomes.iter().enumerate() {
        let by = order
            .iter()
            .find(|(earlier, _, is_so)| *earlier == number && *is_so)
            .and_then(|(_, later, _)| outcomes.get(*later))
            .map(|(later, _)| *later);
        let lies = order
            .iter()
            .any(|(_, later, is_so)| *later == number && !is_so);
        all_hold &= outcome.is_ok() && !lies;
        tell(asked, file, outcome, by, lies);
    }
    Ok(all_hold)
}

fn tell(asked: &Asked, file: &str, outcome: &Outcome, by: Option<&String>, lies: bool) {
    let verified = match outcome {
        Ok(verified) if !lies => verified,
        outcome => {
            let why = outcome
                .as_ref()
                .err()
                .map_or_else(|| amend::NOT_SO.to_owned(), ToString::to_string);
            if asked.json {
                let said = serde_json::json!({ "file": file, "valid": false, "why": why });
                line(&said.to_string());
            } else {
                line(&format!("{file}: NOT VALID: {why}"));
            }
            return;
        }
    };
    let unknown = not_known(
        verified,
        Seen {
            is_pinned: asked.given.pin.is_some(),
            is_stamp_trusted: false,
            now: Some(now()),
        },
    );
    let in_ledger = verified.in_ledger.as_ref();
    if asked.json {
        let said = serde_json::json!({
            "file": file, "valid": true, "key": verified.key.to_string(), "fingerprint": verified.fingerprint,
            "sha256": verified.sha256, "created": verified.created, "superseded_by": by,
            "refolded": in_ledger.is_some_and(|found| found.refolded), "not_known": unknown,
        });
        line(&said.to_string());
        return;
    }
    let subject = &verified.record.subject;
    line(&format!("{file}: valid"));
    line(&format!(
        "  bike      frame {}, plan {}",
        subject.bike.frame, subject.plan.title
    ));
    line(&format!(
        "  signed    {} for bench {}",
        verified.created, subject.bench
    ));
    if subject.practice {
        line("  PRACTICE: the clock ran faster than time; this record speaks of no real bike");
    }
    if !subject.not_done.is_empty() {
        line(&format!(
            "  NOT DONE: {} thing(s); the record lists them",
            subject.not_done.len()
        ));
    }
    line(&format!("  identity  {}", in_groups(&verified.fingerprint)));
    if let Some(found) = in_ledger {
        let again = if found.refolded {
            "; its entries give this record"
        } else {
            ""
        };
        line(&format!(
            "  ledger    it is in the ledger of {} entries{again}",
            found.size
        ));
    }
    if let Some(by) = by {
        line(&format!("  SUPERSEDED: {by} takes its place"));
    }
    for text in unknown {
        line(&format!("  not known: {text}"));
    }
}
