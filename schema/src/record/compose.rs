//! From a build to the document of its record.

mod checks;
mod life;

use super::{
    AlarmRecord, Amends, CAUTIONS, CONTEXTS, CREDENTIAL_TYPE, DispositionRecord, FastenerRecord,
    KeyEntry, LedgerRecord, Missing, NotDone, PLAIN_VERSION, ReadingRecord, Record, Signature,
    Subject, ToolRecord,
};
use crate::build::{Act, Build, BuildReading, FastenerState, Removed, Standing};
use crate::certificate::Certificate;
use crate::due;
use crate::keys::KeyLink;
use crate::plan::{Fastener, Stage};
use crate::tool::Tool;
use std::collections::{BTreeMap, BTreeSet};

/// What a record needs beside the build.
#[derive(Debug, Clone)]
pub struct Issue<'a> {
    /// 16 random bytes: the record's name.
    pub random: [u8; 16],
    /// When it is sealed, RFC 3339 with offset.
    pub time: &'a str,
    /// The bench's name.
    pub bench: &'a str,
    /// The did of the key that will sign.
    pub issuer: &'a str,
    /// The keys of the bench as a plain list; empty where it has a key history.
    pub key_history: Vec<KeyEntry>,
    /// Its key history.
    pub keys: Vec<KeyLink>,
    /// The record that this one takes the place of.
    pub amends: Option<Amends>,
    /// The tools by their ids.
    pub tools: &'a BTreeMap<String, Tool>,
    /// The certificates that each tool had before its present one, by the tool's id.
    pub earlier_certificates: &'a BTreeMap<String, Vec<Certificate>>,
    /// The clock ran faster than time in part of this ledger: it was practice.
    pub practice: bool,
    /// The ledger's size and root; first and last come from the build.
    pub ledger: (u64, crate::canonical::Digest32),
}

/// Makes the document of a finished build, with the names of people as they are; nothing for one that is not finished.
pub fn compose(build: &Build, issue: Issue<'_>) -> Option<Record> {
    let finished = build.finished.as_ref()?;
    let tools = tools(build, &issue);
    let subject = Subject {
        record_version: PLAIN_VERSION,
        practice: issue.practice,
        bench: issue.bench.to_owned(),
        key_history: issue.key_history,
        keys: issue.keys,
        amends: issue.amends,
        bike: build.bike.clone(),
        plan: build.pin.clone(),
        frame: build.plan.frame,
        build: build.id.clone(),
        started: signature(&build.started),
        finished: signature(finished),
        reopened: signatures(&build.reopened),
        follows: build.follows.clone(),
        due: due::records(build),
        summary: build.summary(),
        not_done: not_done(build),
        fasteners: build
            .plan
            .fasteners()
            .map(|(stage, fastener)| fastener_record(build, stage, fastener))
            .collect(),
        elsewhere: build
            .readings
            .values()
            .filter(|r| r.placement.place().is_none())
            .map(|r| reading_record(build, r))
            .collect(),
        alarms: alarms(build),
        check_summary: build.check_summary(),
        checks: checks::checks(build),
        removed_checks: checks::removed(build),
        checks_elsewhere: checks::elsewhere(build),
        check_alarms: checks::alarms(build),
        recalls: build
            .recalled
            .iter()
            .map(|recall| recall.affected.clone())
            .collect(),
        plan_changes: life::plan_changes(build),
        removed: build
            .removed
            .values()
            .map(|removed| removed_record(build, removed))
            .collect(),
        parts: life::parts(build),
        hands: life::hands(build),
        laid_aside: life::laid_aside(build),
        notes: life::notes(build),
        withdrawn: life::withdrawn(build),
        tools,
        ledger: LedgerRecord {
            first: build.started.sequence,
            last: build.last_sequence,
            size: issue.ledger.0,
            root: issue.ledger.1,
        },
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
    };
    Some(Record {
        context: CONTEXTS.map(str::to_owned).to_vec(),
        id: urn_uuid(issue.random),
        types: vec![
            "VerifiableCredential".to_owned(),
            CREDENTIAL_TYPE.to_owned(),
        ],
        issuer: issue.issuer.to_owned(),
        valid_from: issue.time.to_owned(),
        subject,
    })
}

/// A version 4 UUID (RFC 9562) from random bytes.
fn urn_uuid(random: [u8; 16]) -> String {
    let mut bytes = random;
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    let h = hex::encode(bytes);
    format!(
        "urn:uuid:{}-{}-{}-{}-{}",
        &h[..8],
        &h[8..12],
        &h[12..16],
        &h[16..20],
        &h[20..]
    )
}

fn signature(act: &Act) -> Signature {
    Signature {
        sequence: act.sequence,
        time: act.time.clone(),
        by: act.by.clone(),
        reason: act.reason.clone(),
    }
}

fn signatures(acts: &[Act]) -> Vec<Signature> {
    acts.iter().map(signature).collect()
}

fn not_done(build: &Build) -> Vec<NotDone> {
    build
        .plan
        .fasteners()
        .flat_map(|(_, fastener)| missing_at(build, fastener))
        .chain(checks::not_done(build))
        .collect()
}

pub(super) fn missing_at(build: &Build, fastener: &Fastener) -> Vec<NotDone> {
    let Some(state) = build.fastener(&fastener.id) else {
        return Vec::new();
    };
    let item = |what, reason: Option<String>, waits_for: Option<String>| NotDone {
        fastener: fastener.id.clone(),
        what,
        reason,
        waits_for,
    };
    let mut list = Vec::new();
    if !build.standing(&fastener.id).is_done() {
        list.push(item(
            Missing::Torque,
            state.deferred.as_ref().and_then(|act| act.reason.clone()),
            state.waits_for.clone(),
        ));
        return list;
    }
    if !fastener.prep.is_empty() && !build.is_prepared(&fastener.id) {
        list.push(item(Missing::Prep, None, None));
    }
    if fastener.second_look && !build.is_looked_at(&fastener.id) {
        list.push(item(Missing::SecondLook, None, None));
    }
    list
}

fn fastener_record(build: &Build, stage: &Stage, fastener: &Fastener) -> FastenerRecord {
    let done_to = build.fastener(&fastener.id).cloned().unwrap_or_default();
    let standing = build.standing(&fastener.id);
    record_of(build, (stage, fastener), &done_to, standing)
}

/// A fastener that the plan no longer has. An over reading on it was decided about before the plan dropped it.
fn removed_record(build: &Build, removed: &Removed) -> FastenerRecord {
    let planned = (&removed.stage, &removed.fastener);
    record_of(build, planned, &removed.state, Standing::Open)
}

fn record_of(
    build: &Build,
    (stage, fastener): (&Stage, &Fastener),
    done_to: &FastenerState,
    standing: Standing,
) -> FastenerRecord {
    FastenerRecord {
        id: fastener.id.clone(),
        title: fastener.title.clone(),
        stage: stage.title.clone(),
        spec: fastener.spec.clone(),
        rule: fastener.rule,
        kind: fastener.kind.clone(),
        at: fastener.at.clone(),
        adapter: fastener.adapter.clone(),
        passes_percent: stage.passes.clone(),
        hand: fastener.hand,
        joint: fastener.joint,
        prep: fastener.prep.clone(),
        second_look: fastener.second_look,
        prepared: signatures(&done_to.prepared),
        standing,
        readings: done_to
            .placed
            .iter()
            .filter_map(|sequence| build.readings.get(sequence))
            .map(|reading| reading_record(build, reading))
            .collect(),
        loosened: signatures(&done_to.loosened),
        dispositions: done_to
            .dispositions
            .iter()
            .map(|d| DispositionRecord {
                sequence: d.act.sequence,
                decision: d.decision,
                time: d.act.time.clone(),
                by: d.act.by.clone(),
                reason: d.act.reason.clone().unwrap_or_default(),
            })
            .collect(),
        looked: signatures(&done_to.looked),
        deferred: done_to.deferred.as_ref().map(signature),
        waits_for: done_to.waits_for.clone(),
        earlier: done_to.earlier.iter().map(life::earlier).collect(),
    }
}

fn reading_record(build: &Build, reading: &BuildReading) -> ReadingRecord {
    ReadingRecord {
        sequence: reading.sequence,
        time: reading.time.clone(),
        reading: reading.reading.clone(),
        placement: reading.placement.clone(),
        earlier_placements: reading.earlier.clone(),
        verdict: reading.verdict.clone(),
        earlier_verdicts: reading.earlier_verdicts.clone(),
        counts: build.counts(reading),
    }
}

fn alarms(build: &Build) -> Vec<AlarmRecord> {
    build
        .alarms
        .iter()
        .map(|raised| AlarmRecord {
            sequence: raised.sequence,
            reading: raised.reading,
            place: raised.alarm.place.clone(),
            upper_millinewton_metre: raised.alarm.upper,
            acknowledged: raised.acknowledged.as_ref().map(signature),
        })
        .collect()
}

fn tools(build: &Build, issue: &Issue<'_>) -> Vec<ToolRecord> {
    let named: BTreeSet<&str> = build
        .readings
        .values()
        .map(|reading| reading.reading.tool.as_str())
        .chain(
            build
                .checks
                .readings
                .values()
                .map(|known| known.reading.tool.as_str()),
        )
        .collect();
    named
        .into_iter()
        .filter_map(|id| issue.tools.get(id))
        .map(|tool| ToolRecord {
            id: tool.id.clone(),
            title: tool.title.clone(),
            serial: tool.serial.clone(),
            class: tool.class,
            measures: tool.measures.clone(),
            certificate: tool.certificate.clone(),
            earlier_certificates: earlier_certificates(build, issue, tool),
        })
        .collect()
}

/// The certificates that readings of this bike stand on and that were followed by another.
fn earlier_certificates(build: &Build, issue: &Issue<'_>, tool: &Tool) -> Vec<Certificate> {
    let present = tool.certificate.as_ref();
    let names = |certificate: &Certificate| {
        let readings = build.readings.values().map(|known| &known.reading);
        let mut bases = readings
            .filter(|reading| reading.tool == tool.id)
            .filter_map(|reading| reading.worth.as_ref());
        bases.any(|worth| worth.certificate() == Some(&certificate.number))
    };
    let earlier = issue.earlier_certificates.get(&tool.id).into_iter();
    earlier
        .flatten()
        .filter(|certificate| present.is_none_or(|present| present.number != certificate.number))
        .filter(|certificate| names(certificate))
        .cloned()
        .collect()
}
