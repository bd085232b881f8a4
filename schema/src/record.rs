//! The record of one bike: what was planned, what was done, what was not, and who says so.
//!
//! It is a W3C Verifiable Credential 2.0 whose subject is made from a build's entries and from nothing else. There are
//! no fractions in it and every number is a whole count of a small unit, so that any JSON library reads the same.
//! [`compose()`] makes the document, [`crate::proof`] signs it, [`verify()`] checks a signed one offline.

pub mod amend;
mod checks;
mod compose;
pub mod file;
pub mod later;
mod life;
pub mod names;
mod refold;
mod trust;
mod unknown;
mod verify;

pub use amend::Amends;
pub use checks::{CheckAlarmRecord, CheckReadingRecord, CheckRecord, EarlierCheckSpec};
pub use compose::{Issue, compose};
pub use life::{
    AsideRecord, EarlierSpec, HandRecord, NoteRecord, PartRecord, PlanChangeRecord, SwapRecord,
    WithdrawnRecord,
};
pub use refold::InLedger;
pub use trust::{Given, KeyStanding};
pub use unknown::{Seen, not_known};
pub use verify::{Verified, VerifyError, verify, verify_with};

use crate::adapter::Adapter;
use crate::build::{CheckSummary, EarlierVerdict, Standing, Summary};
use crate::canonical::Digest32;
use crate::certificate::Certificate;
use crate::check::MeasuringTool;
use crate::due::{DueRecord, Follows};
use crate::entry::{Affected, Bike, Decision, PlanPin};
use crate::keys::KeyLink;
use crate::map::FrameKind;
use crate::measure::budget::ToolClass;
use crate::placement::{Place, Placement};
use crate::plan::{Hand, JointFile, Spec};
use crate::reading::Reading;
use crate::verdict::{Rule, Verdict};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The contexts of every record, in this order. The second gives terms of our own a place in JSON-LD; a verifier
/// of this cryptosuite never fetches either. (Names from memory of the Recommendation of 15 May 2025.)
pub const CONTEXTS: [&str; 2] = [
    "https://www.w3.org/ns/credentials/v2",
    "https://www.w3.org/ns/credentials/undefined-terms/v2",
];

/// The type of the credential beside `VerifiableCredential`.
pub const CREDENTIAL_TYPE: &str = "BikeTorqueRecord";

/// The version of a record's subject that holds the names of people as they are; records were signed so at first.
pub const PLAIN_VERSION: u32 = 1;
/// The version that this program signs: a hash in the place of every name (see [`names`]).
pub const RECORD_VERSION: u32 = 2;

/// The cautions that stand in every record.
pub const CAUTIONS: [&str; 4] = [
    "The part makers' instructions come first; this record supports a trained mechanic and does not replace them.",
    "A torque within its limits is no proof of a sound joint.",
    "After an over reading on carbon the part is not to be ridden until a competent person has looked at it.",
    "Local rules and codes apply.",
];

/// A record before it is signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// The contexts.
    #[serde(rename = "@context")]
    pub context: Vec<String>,
    /// A name of its own, `urn:uuid:…`, from random bits, so that nobody can guess a record from its hash.
    pub id: String,
    /// `VerifiableCredential` and the type of this record.
    #[serde(rename = "type")]
    pub types: Vec<String>,
    /// The did of the key that signs.
    pub issuer: String,
    /// When it was sealed.
    #[serde(rename = "validFrom")]
    pub valid_from: String,
    /// What is said.
    #[serde(rename = "credentialSubject")]
    pub subject: Subject,
}

/// What a record says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Subject {
    /// The version of this format.
    pub record_version: u32,
    /// Made in practice: the clock ran faster than time, and nothing here speaks of a bike.
    pub practice: bool,
    /// The bench that built it.
    pub bench: String,
    /// The keys that have signed for the bench, the first one first: a plain list, where the bench has no key history yet.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub key_history: Vec<KeyEntry>,
    /// The bench's key history (see [`crate::keys`]).
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub keys: Vec<KeyLink>,
    /// The record that this one takes the place of.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub amends: Option<Amends>,
    /// The bike.
    pub bike: Bike,
    /// The plan, pinned by its hash.
    pub plan: PlanPin,
    /// The kind of frame that the plan is for: which bike map is drawn.
    #[serde(skip_serializing_if = "FrameKind::is_default", default)]
    pub frame: FrameKind,
    /// The build's name.
    pub build: String,
    /// When and by whom it was begun.
    pub started: Signature,
    /// When and by whom it was handed over.
    pub finished: Signature,
    /// Each time it was taken up again after it had been handed over.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub reopened: Vec<Signature>,
    /// The build of the same bike that it goes on from, with the record of that one.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub follows: Option<Follows>,
    /// What is looked at again, and when.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub due: Vec<DueRecord>,
    /// How many fasteners stand how.
    pub summary: Summary,
    /// What was not done, in words; it stands before what was.
    pub not_done: Vec<NotDone>,
    /// Every fastener of the plan in its order.
    pub fasteners: Vec<FastenerRecord>,
    /// Readings that belong to no fastener.
    pub elsewhere: Vec<ReadingRecord>,
    /// Every over alarm.
    pub alarms: Vec<AlarmRecord>,
    /// How many checks stand how.
    #[serde(skip_serializing_if = "CheckSummary::is_empty", default)]
    pub check_summary: CheckSummary,
    /// Every check of the plan in its order: planned measurements that are no torque.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub checks: Vec<CheckRecord>,
    /// Checks that an earlier edition had, with what was measured; nothing of it counts.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub removed_checks: Vec<CheckRecord>,
    /// Readings of other quantities than torque that belong to no check.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub checks_elsewhere: Vec<CheckReadingRecord>,
    /// Every over alarm of a check.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub check_alarms: Vec<CheckAlarmRecord>,
    /// What recalls found on this bike: readings judged again after a tool turned out to have changed.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub recalls: Vec<Affected>,
    /// Each time the build went over to another edition of its plan.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub plan_changes: Vec<PlanChangeRecord>,
    /// Fasteners that an earlier edition had, with what was done to them; nothing of it counts.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub removed: Vec<FastenerRecord>,
    /// The parts of the plan that were fitted, with their serial numbers.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub parts: Vec<PartRecord>,
    /// Each time the build went from one mechanic to another.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub hands: Vec<HandRecord>,
    /// Each time it was laid aside.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub laid_aside: Vec<AsideRecord>,
    /// Notes and photographs; of a photograph the hash, not the bytes.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub notes: Vec<NoteRecord>,
    /// Acts that were taken back: they stand nowhere else in the record.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub withdrawn: Vec<WithdrawnRecord>,
    /// Every tool that a reading names.
    pub tools: Vec<ToolRecord>,
    /// Where the build's entries stand in the bench's ledger.
    pub ledger: LedgerRecord,
    /// What a reader has to keep in mind.
    pub cautions: Vec<String>,
}

impl Subject {
    /// Every fastener that the record speaks of: those of the plan, and those that an earlier edition had.
    pub fn all_fasteners(&self) -> impl Iterator<Item = &FastenerRecord> {
        self.fasteners.iter().chain(&self.removed)
    }

    /// What a fastener or check is called; its id, where the record has none of that id.
    pub fn title_of<'a>(&'a self, id: &'a str) -> &'a str {
        let fasteners = self.all_fasteners().map(|one| (&one.id, &one.title));
        let checks = self.checks.iter().chain(&self.removed_checks);
        fasteners
            .chain(checks.map(|one| (&one.id, &one.title)))
            .find_map(|(known, title)| (known == id).then_some(title.as_str()))
            .unwrap_or(id)
    }

    /// Every reading of another quantity than torque: at a check, and elsewhere.
    pub fn all_check_readings(&self) -> impl Iterator<Item = &CheckReadingRecord> {
        self.checks
            .iter()
            .chain(&self.removed_checks)
            .flat_map(|check| &check.readings)
            .chain(&self.checks_elsewhere)
    }

    /// Every reading of a torque: at a fastener, and elsewhere.
    pub fn all_readings(&self) -> impl Iterator<Item = &ReadingRecord> {
        self.all_fasteners()
            .flat_map(|fastener| &fastener.readings)
            .chain(&self.elsewhere)
    }
}

/// A key of the bench.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeyEntry {
    /// Counted from 0. The hash of number 0 is the bench's identity.
    pub sequence: u32,
    /// The public key as multibase text.
    pub key: String,
    /// From when it signs.
    pub valid_from: String,
}

impl KeyEntry {
    /// SHA-256 of the entry's canonical JSON; of number 0, what a customer pins.
    pub fn fingerprint(&self) -> Option<Digest32> {
        crate::canonical::to_canonical_of(self)
            .ok()
            .map(|bytes| Digest32::of(&bytes))
    }
}

/// Who and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Signature {
    /// The sequence number of its entry: what came before what is seen from these.
    pub sequence: u64,
    /// When.
    pub time: String,
    /// Who.
    pub by: String,
    /// Why, or what was seen.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub reason: Option<String>,
}

/// Something that the plan asks for and that was not done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NotDone {
    /// Which fastener or check.
    pub fastener: String,
    /// What is missing.
    pub what: Missing,
    /// Why, where somebody said.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub reason: Option<String>,
    /// What it waits for, where somebody said.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub waits_for: Option<String>,
}

/// What can be missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Missing {
    /// The torque: the fastener is deferred.
    Torque,
    /// Nobody confirmed the prep.
    Prep,
    /// Nobody else looked.
    SecondLook,
    /// The measurement: the check is deferred, or was not done.
    Measurement,
}

/// One fastener: what was planned, what was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FastenerRecord {
    /// Its id in the plan.
    pub id: String,
    /// Its title in the plan.
    pub title: String,
    /// Its stage's title.
    pub stage: String,
    /// What it is tightened to, and who says so.
    pub spec: Spec,
    /// How limits and uncertainty make a verdict here.
    pub rule: Rule,
    /// What kind of fastener it is.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub kind: Option<String>,
    /// Its place on the bike map.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub at: Option<String>,
    /// What the plan puts between wrench and fastener.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub adapter: Option<Adapter>,
    /// The stage's passes in percent of the target.
    pub passes_percent: Vec<u8>,
    /// Which way the thread turns.
    pub hand: Hand,
    /// What the joint is made of, where it matters.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub joint: Option<JointFile>,
    /// The prep that was planned.
    pub prep: Vec<String>,
    /// Whether the plan asks that another person looks.
    pub second_look: bool,
    /// Who confirmed the prep.
    pub prepared: Vec<Signature>,
    /// How it stands.
    pub standing: Standing,
    /// Every reading, the oldest first; also those that no longer count.
    pub readings: Vec<ReadingRecord>,
    /// Each time it was undone.
    pub loosened: Vec<Signature>,
    /// Decisions after over readings.
    pub dispositions: Vec<DispositionRecord>,
    /// Second looks.
    pub looked: Vec<Signature>,
    /// Who lets it wait, and why.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub deferred: Option<Signature>,
    /// What it waits for.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub waits_for: Option<String>,
    /// What earlier editions of the plan said, where that makes another verdict; the oldest first.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub earlier: Vec<EarlierSpec>,
}

/// One reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReadingRecord {
    /// Its entry's sequence number.
    pub sequence: u64,
    /// When it came.
    pub time: String,
    /// What the tool said.
    pub reading: Reading,
    /// Where it is placed, and how that came about.
    pub placement: Placement,
    /// Where it was placed before.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub earlier_placements: Vec<Placement>,
    /// The verdict.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub verdict: Option<Verdict>,
    /// What earlier editions of the plan said about it, the oldest first.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub earlier_verdicts: Vec<EarlierVerdict>,
    /// Whether it still counts: the fastener was not undone after it.
    pub counts: bool,
}

/// A decision after an over reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DispositionRecord {
    /// The sequence number of its entry; it speaks of readings before it.
    pub sequence: u64,
    /// What.
    pub decision: Decision,
    /// When.
    pub time: String,
    /// Who.
    pub by: String,
    /// Why.
    pub reason: String,
}

/// An over alarm.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AlarmRecord {
    /// The sequence number of the entry that raised it.
    pub sequence: u64,
    /// The reading's sequence number.
    pub reading: u64,
    /// What was passed.
    pub place: Place,
    /// The upper limit that was passed.
    pub upper_millinewton_metre: crate::quantity::Torque,
    /// Who acknowledged it.
    pub acknowledged: Option<Signature>,
}

/// A tool that a reading names.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ToolRecord {
    /// Its short name.
    pub id: String,
    /// For people.
    pub title: String,
    /// The serial number on it.
    pub serial: String,
    /// Its class after ISO 6789-1, where it is known.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub class: Option<ToolClass>,
    /// What it measures, where that is no torque, with its own certificate or stated accuracy.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub measures: Option<MeasuringTool>,
    /// The calibration it stands on; none is said as loudly as one.
    pub certificate: Option<Certificate>,
    /// Those before it that readings of this bike stand on, the oldest first.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub earlier_certificates: Vec<Certificate>,
}

/// Where the build's entries stand in the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LedgerRecord {
    /// The entry that began the build.
    pub first: u64,
    /// The last entry that speaks of it.
    pub last: u64,
    /// How many entries the ledger has.
    pub size: u64,
    /// The root of the RFC 6962 tree over them.
    pub root: Digest32,
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
pub(crate) mod tests;
