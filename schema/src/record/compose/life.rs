//! The life of a build as its record tells it.

use super::signature;
use crate::build::{Build, Earlier};
use crate::record::{
    AsideRecord, EarlierSpec, HandRecord, NoteRecord, PartRecord, PlanChangeRecord, SwapRecord,
    WithdrawnRecord,
};

pub(super) fn plan_changes(build: &Build) -> Vec<PlanChangeRecord> {
    let editions = build.editions.iter();
    editions
        .map(|edition| PlanChangeRecord {
            changed: signature(&edition.changed),
            before: edition.pin.clone(),
        })
        .collect()
}

pub(super) fn earlier(earlier: &Earlier) -> EarlierSpec {
    EarlierSpec {
        until: earlier.until,
        passes_percent: earlier.passes.clone(),
        spec: earlier.spec.clone(),
        rule: earlier.rule,
        hand: earlier.hand,
    }
}

/// Parts in the order in which they were put on.
pub(super) fn parts(build: &Build) -> Vec<PartRecord> {
    let mut list: Vec<PartRecord> = Vec::new();
    for act in &build.parts {
        let planned = build.plan.part(&act.part);
        let number = list.iter().position(|known| known.id == act.part);
        let number = number.unwrap_or_else(|| {
            list.push(PartRecord {
                id: act.part.clone(),
                title: planned.map_or_else(|| act.part.clone(), |part| part.title.clone()),
                kind: planned.and_then(|part| part.kind.clone()),
                serial: String::new(),
                fitted: None,
                swaps: Vec::new(),
            });
            list.len() - 1
        });
        let record = &mut list[number];
        record.serial.clone_from(&act.serial);
        if act.kind.is_some() {
            record.kind.clone_from(&act.kind);
        }
        if act.is_swap {
            record.swaps.push(SwapRecord {
                swapped: signature(&act.act),
                out: act.out.clone(),
                serial: act.serial.clone(),
                fasteners: act.fasteners.clone(),
            });
        } else {
            record.fitted = Some(signature(&act.act));
        }
    }
    list
}

pub(super) fn hands(build: &Build) -> Vec<HandRecord> {
    let hands = build.hands.iter();
    hands
        .map(|handed| HandRecord {
            handed: signature(&handed.act),
            to: handed.to.clone(),
        })
        .collect()
}

pub(super) fn laid_aside(build: &Build) -> Vec<AsideRecord> {
    let asides = build.asides.iter();
    asides
        .map(|aside| AsideRecord {
            laid: signature(&aside.laid),
            resumed: aside.resumed.as_ref().map(signature),
        })
        .collect()
}

pub(super) fn notes(build: &Build) -> Vec<NoteRecord> {
    let notes = build.notes.iter();
    notes
        .map(|note| NoteRecord {
            noted: signature(&note.act),
            fastener: note.fastener.clone(),
            text: note.text.clone(),
            photo: note.photo.clone(),
        })
        .collect()
}

pub(super) fn withdrawn(build: &Build) -> Vec<WithdrawnRecord> {
    let withdrawn = build.withdrawn.iter();
    withdrawn
        .map(|withdrawal| WithdrawnRecord {
            kind: withdrawal.kind.to_owned(),
            fasteners: withdrawal.fasteners.clone(),
            act: signature(&withdrawal.act),
            withdrawn: signature(&withdrawal.withdrawn),
        })
        .collect()
}
