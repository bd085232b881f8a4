//! Checks a signed record offline: its proof, its form, and that it agrees with itself.
//!
//! What this proves: the holder of the key in it said exactly this, and the verdicts follow from the figures. What it
//! cannot prove: whose key it is. For that the reader compares the fingerprint with one from another channel.

mod checks;
mod fasteners;
mod life;

use super::file::RecordFile;
use super::refold::{self, InLedger, Signer};
use super::trust::{self, Given, KeyStanding};
use super::{
    CAUTIONS, CONTEXTS, CREDENTIAL_TYPE, NotDone, PLAIN_VERSION, RECORD_VERSION, ReadingRecord,
    Record, names,
};
use crate::build::Summary;
use crate::canonical::{self, CanonicalError, Digest32};
use crate::gauge::{self, Worth};
use crate::keys::{KeyError, KeyReason};
use crate::multikey::DidKey;
use crate::proof::{self, ProofError};
use crate::verdict::Answer;
use fasteners::{check_fastener, missing_at};
use std::collections::BTreeSet;

/// A record that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verified {
    /// What it says, with the names that the file discloses.
    pub record: Record,
    /// The key that signed it.
    pub key: DidKey,
    /// When it says it was signed.
    pub created: String,
    /// The bench's identity: the hash of the first link of its key history.
    pub fingerprint: Digest32,
    /// SHA-256 of the record's canonical JSON, proof included; the ledger names the record by it.
    pub sha256: Digest32,
    /// How the key that signed stands.
    pub key_standing: KeyStanding,
    /// Every key of the bench that is known, the first one first.
    pub keys: Vec<DidKey>,
    /// What the ledger's entries show, where the file brings them.
    pub in_ledger: Option<InLedger>,
    /// How many names are left out of the file.
    pub hidden_names: usize,
    /// What the shop adds for the customer. Nobody signed it.
    pub for_customer: Option<String>,
}

/// What does not hold.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum VerifyError {
    /// The file is no JSON that may be signed.
    #[error("the file cannot be read as a record: {0}")]
    Text(#[from] CanonicalError),
    /// The signature does not hold.
    #[error("the proof does not hold: {0}")]
    Proof(#[from] ProofError),
    /// It is signed, and no record of this version.
    #[error("the document is signed and is not a record that this program knows: {0}")]
    Form(String),
    /// The key is not in the record's own key history.
    #[error("the key that signed is not the latest of the bench's key history")]
    KeyHistory,
    /// An outside authority's time stamp does not hold.
    #[error("its time stamp does not hold: {0}")]
    Timestamp(String),
    /// A link of the key history does not hold.
    #[error(transparent)]
    Keys(#[from] KeyError),
    /// The histories that are known part.
    #[error("the key history that was given is not this bench's, or one of the two was rewritten")]
    OtherHistory,
    /// The key was revoked before the record was signed.
    #[error(
        "the key that signed was revoked from {from} on ({reason}), and the record was signed after that"
    )]
    Revoked {
        /// From when on it does not count.
        from: String,
        /// Why.
        reason: KeyReason,
    },
    /// The file around the record is not what it should be.
    #[error("the file cannot be read as a record file: {0}")]
    File(String),
    /// A name beside the record is none that was signed.
    #[error("a name beside the record is none of those that were signed")]
    Names,
    /// The entries of the ledger do not show the record.
    #[error("the history beside the record does not hold: {0}")]
    History(String),
    /// It is another bench's.
    #[error("it was signed by the bench {found}, not by {pinned}")]
    OtherBench {
        /// Its fingerprint.
        found: Digest32,
        /// The one that was asked for.
        pinned: Digest32,
    },
    /// The document contradicts itself.
    #[error("{at}: {what}")]
    Contradiction {
        /// Where: a fastener's id, or a part of the record.
        at: String,
        /// What disagrees.
        what: String,
    },
}

fn contradiction(at: &str, what: impl Into<String>) -> VerifyError {
    VerifyError::Contradiction {
        at: at.to_owned(),
        what: what.into(),
    }
}

/// Checks the bytes of a record file, or of a signed record alone.
pub fn verify(bytes: &[u8]) -> Result<Verified, VerifyError> {
    verify_with(bytes, &Given::default())
}

/// The same with what the reader knows from elsewhere.
pub fn verify_with(bytes: &[u8], given: &Given) -> Result<Verified, VerifyError> {
    let file = RecordFile::read(bytes)?;
    let sha256 = Digest32::of(&canonical::to_canonical(&file.record)?);
    let signed = proof::verify(&file.record)?;
    let record: Record = serde_json::from_value(signed.document.clone())
        .map_err(|error| VerifyError::Form(error.to_string()))?;
    check_form(&record)?;
    // What counts is one moment: a proof from before a theft on a record from after it would be neither.
    if signed.created != record.valid_from {
        return Err(contradiction(
            "validFrom",
            "it is another moment than the one at which the proof was made",
        ));
    }
    let judged = trust::judge(&record, &signed, &file.keys, given)?;
    check_content(&record)?;
    let shown = names::show(&record, &file.names).ok_or(VerifyError::Names)?;
    let bench = Signer {
        keys: &judged.keys,
        sha256,
    };
    let in_ledger = file
        .history
        .as_ref()
        .map(|history| refold::check(&file, history, &shown, &bench))
        .transpose()?;
    Ok(Verified {
        hidden_names: names::count_hidden(&shown),
        record: shown,
        key: signed.key,
        created: signed.created,
        fingerprint: judged.identity,
        sha256,
        key_standing: judged.standing,
        keys: judged.keys,
        in_ledger,
        for_customer: file.for_customer.map(|words| words.text),
    })
}

/// That the record agrees with itself.
fn check_content(record: &Record) -> Result<(), VerifyError> {
    check_readings(record)?;
    check_summary(record)?;
    for fastener in &record.subject.fasteners {
        check_fastener(fastener)?;
    }
    life::check(record)?;
    checks::check(record)?;
    check_not_done(record)?;
    check_elsewhere(record)?;
    check_alarms(record)
}

fn check_form(record: &Record) -> Result<(), VerifyError> {
    let is_form = record.context == CONTEXTS
        && record.types == ["VerifiableCredential", CREDENTIAL_TYPE]
        && matches!(
            record.subject.record_version,
            PLAIN_VERSION | RECORD_VERSION
        );
    if !is_form {
        return Err(VerifyError::Form(
            "its contexts, types or version are others".to_owned(),
        ));
    }
    if record.subject.record_version == RECORD_VERSION && !names::all_hidden(record) {
        return Err(VerifyError::Form(
            "a name stands in it as it is, and records of this version hold hashes of names"
                .to_owned(),
        ));
    }
    if record.subject.cautions != CAUTIONS {
        return Err(contradiction(
            "cautions",
            "they are not the ones that every record carries",
        ));
    }
    Ok(())
}

fn check_readings(record: &Record) -> Result<(), VerifyError> {
    let tools: BTreeSet<&str> = record
        .subject
        .tools
        .iter()
        .map(|tool| tool.id.as_str())
        .collect();
    let mut seen = BTreeSet::new();
    for reading in record.subject.all_readings() {
        let at = format!("reading {}", reading.sequence);
        if !seen.insert(reading.sequence) {
            return Err(contradiction(&at, "it stands in the record twice"));
        }
        if !tools.contains(reading.reading.tool.as_str()) {
            return Err(contradiction(
                &at,
                "its tool is not among the tools of the record",
            ));
        }
        let range = record.subject.ledger.first..=record.subject.ledger.last;
        if !range.contains(&reading.sequence) {
            return Err(contradiction(
                &at,
                "it lies outside the entries that the record covers",
            ));
        }
        check_conversion(&at, reading)?;
        check_certificate(&at, record, reading)?;
    }
    Ok(())
}

/// The certificate that a reading stands on has to be in the record.
fn check_certificate(
    at: &str,
    record: &Record,
    reading: &ReadingRecord,
) -> Result<(), VerifyError> {
    let Some(number) = reading.reading.worth.as_ref().and_then(Worth::certificate) else {
        return Ok(());
    };
    let mut tools = record.subject.tools.iter();
    let tool = tools.find(|tool| tool.id == reading.reading.tool);
    let mut all = tool
        .into_iter()
        .flat_map(|tool| tool.certificate.iter().chain(&tool.earlier_certificates));
    if all.any(|certificate| certificate.number == *number) {
        return Ok(());
    }
    Err(contradiction(
        at,
        format!("the certificate {number} that it stands on is not in the record"),
    ))
}

/// What was judged has to follow from what was displayed: in another unit, corrected, with the adapter's leverage.
fn check_conversion(at: &str, reading: &ReadingRecord) -> Result<(), VerifyError> {
    let Some(displayed) = &reading.reading.displayed else {
        let is_past = reading.reading.applied.is_none() && reading.reading.is_over_range();
        return if is_past {
            Ok(())
        } else {
            Err(contradiction(
                at,
                "nothing was displayed and something was judged",
            ))
        };
    };
    let worth = reading.reading.worth.as_ref();
    if worth.is_some_and(|worth| !worth.adds_up()) {
        return Err(contradiction(
            at,
            "its uncertainty is not the sum of its lines",
        ));
    }
    let deviation = worth.map_or(0, |worth| worth.deviation_ppm);
    let adapter = reading.reading.adapter.as_ref();
    let torque = displayed
        .torque()
        .map(|shown| gauge::apply(shown, deviation, adapter));
    if torque.is_some() && torque == reading.reading.applied {
        return Ok(());
    }
    Err(contradiction(
        at,
        format!(
            "{} {} was displayed and another torque judged",
            displayed.value, displayed.unit
        ),
    ))
}

fn check_summary(record: &Record) -> Result<(), VerifyError> {
    let mut summary = Summary::default();
    for fastener in &record.subject.fasteners {
        summary.count(fastener.standing);
    }
    if summary == record.subject.summary {
        return Ok(());
    }
    Err(contradiction(
        "summary",
        "it does not count the fasteners of the record",
    ))
}

/// The list of what was not done has to be the one that the fasteners give, no shorter and no longer.
fn check_not_done(record: &Record) -> Result<(), VerifyError> {
    let expected: Vec<NotDone> = record
        .subject
        .fasteners
        .iter()
        .flat_map(|f| missing_at(record, f))
        .chain(checks::missing(&record.subject))
        .collect();
    let listed = &record.subject.not_done;
    let differs = expected.iter().find(|item| !listed.contains(item));
    match differs.or_else(|| listed.iter().find(|item| !expected.contains(item))) {
        Some(item) => Err(contradiction(
            &item.fastener,
            "its part of the list of what was not done disagrees with the rest",
        )),
        None if expected.len() != listed.len() => Err(contradiction(
            "not_done",
            "something stands twice in the list of what was not done",
        )),
        None => Ok(()),
    }
}

/// A reading that belongs to a fastener cannot hide among those that belong to none.
fn check_elsewhere(record: &Record) -> Result<(), VerifyError> {
    let hides = |reading: &&ReadingRecord| {
        reading.placement.place().is_some() || reading.verdict.is_some() || reading.counts
    };
    match record.subject.elsewhere.iter().find(hides) {
        None => Ok(()),
        Some(reading) => Err(contradiction(
            &format!("reading {}", reading.sequence),
            "it belongs to a fastener and is listed apart",
        )),
    }
}

fn check_alarms(record: &Record) -> Result<(), VerifyError> {
    for reading in record.subject.all_readings() {
        let earlier = reading.earlier_verdicts.iter();
        let mut verdicts = earlier
            .map(|earlier| &earlier.verdict)
            .chain(&reading.verdict);
        let is_over = verdicts.any(|verdict| verdict.answer == Answer::Over);
        if is_over
            && !record
                .subject
                .alarms
                .iter()
                .any(|alarm| alarm.reading == reading.sequence)
        {
            return Err(contradiction(
                &format!("reading {}", reading.sequence),
                "it is over and raised no alarm",
            ));
        }
    }
    for alarm in &record.subject.alarms {
        if !record
            .subject
            .all_readings()
            .any(|reading| reading.sequence == alarm.reading)
        {
            return Err(contradiction(
                &format!("alarm {}", alarm.sequence),
                "its reading is not in the record",
            ));
        }
        let mut against = record
            .subject
            .all_fasteners()
            .filter(|fastener| fastener.id == alarm.place.fastener)
            .flat_map(|fastener| {
                let earlier = fastener.earlier.iter().map(|earlier| &earlier.spec);
                earlier.chain([&fastener.spec])
            });
        if !against.any(|spec| spec.limits.upper == alarm.upper_millinewton_metre) {
            let what = "it names no fastener of the record, or another limit than the fastener has";
            return Err(contradiction(&format!("alarm {}", alarm.sequence), what));
        }
    }
    Ok(())
}
