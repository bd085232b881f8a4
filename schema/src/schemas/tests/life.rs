//! Samples of what is written and asked about the life of a build.

use super::{Act, BUILD, Digest32, Event, log};
use crate::api::{AsideView, NoteView, PartView};
use crate::build::tests::log::{judged, place, plan, reading};
use crate::entry::{
    HandedOver, JudgedAnew, MediaType, Noted, OnBuild, PartFitted, PartSwapped, Photo, PlanChanged,
    PlanPin, Withdrawn,
};

fn photo() -> Photo {
    Photo {
        sha256: Digest32::of(b"x"),
        media_type: MediaType::Jpeg,
        bytes_length: 71_004,
        name: Some("clamp.jpg".into()),
    }
}

fn on(reason: Option<&str>) -> OnBuild {
    OnBuild {
        build: BUILD.into(),
        by: "I. Berg".into(),
        reason: reason.map(str::to_owned),
    }
}

pub(super) fn life_entries() -> Vec<Event> {
    let (verdict, alarm) = judged(&plan(), &reading(Some(6_000)), &place("a", 1));
    let build = || BUILD.to_owned();
    let by = || "I. Berg".to_owned();
    vec![
        Event::Withdrawn(Withdrawn {
            build: build(),
            entry: 7,
            by: by(),
            reason: "wrong bolt".into(),
        }),
        Event::PartFitted(PartFitted {
            build: build(),
            part: "bar".into(),
            serial: "HB-1".into(),
            kind: Some("aluminium".into()),
            by: by(),
        }),
        Event::PartSwapped(Box::new(PartSwapped {
            build: build(),
            part: "bar".into(),
            out: Some("HB-1".into()),
            serial: "HB-2".into(),
            kind: None,
            fasteners: vec!["a".into()],
            by: by(),
            reason: "a scratch".into(),
        })),
        Event::LaidAside(on(Some("closing time"))),
        Event::Resumed(on(None)),
        Event::Noted(Box::new(Noted {
            build: build(),
            fastener: Some("a".into()),
            text: Some("a mark on the bar".into()),
            photo: Some(photo()),
            by: by(),
        })),
        Event::HandedOver(HandedOver {
            build: build(),
            from: by(),
            to: "M. Oduya".into(),
            by: Some("I. Berg".into()),
            note: Some("the pedal is open".into()),
        }),
        Event::PlanChanged(Box::new(PlanChanged {
            build: build(),
            plan: PlanPin {
                title: "Fjord gravel 54".into(),
                edition: "3".into(),
                sha256: Digest32::of(log::PLAN.as_bytes()),
            },
            by: by(),
            reason: "the maker's new sheet".into(),
            judged: vec![JudgedAnew {
                reading: 5,
                verdict: verdict.unwrap(),
                alarm,
            }],
            judged_checks: Vec::new(),
            again: vec!["b".into()],
        })),
        Event::DueTold(crate::due::DueTold {
            build: BUILD.into(),
            due: "first-rides".into(),
            done: true,
            by: "I. Berg".into(),
            reason: Some("all tight".into()),
        }),
        Event::Ridden(crate::due::Ridden {
            build: BUILD.into(),
            kilometres: 160,
            by: "I. Berg".into(),
        }),
    ]
}

pub(super) fn life_acts() -> Vec<Act> {
    let build = || BUILD.to_owned();
    let by = || "I. Berg".to_owned();
    let reason = || "closing time".to_owned();
    vec![
        Act::Withdraw {
            build: build(),
            entry: 7,
            by: by(),
            reason: reason(),
        },
        Act::FitPart {
            build: build(),
            part: "bar".into(),
            serial: "HB-1".into(),
            kind: None,
            by: by(),
        },
        Act::SwapPart {
            build: build(),
            part: "bar".into(),
            serial: "HB-2".into(),
            out: Some("HB-1".into()),
            kind: Some("carbon".into()),
            by: by(),
            reason: reason(),
        },
        Act::LayAside {
            build: build(),
            by: by(),
            reason: reason(),
        },
        Act::Resume {
            build: build(),
            by: by(),
        },
        Act::ChangePlan {
            build: build(),
            plan: log::PLAN.into(),
            by: by(),
            reason: reason(),
        },
        Act::Note {
            build: build(),
            fastener: Some("a".into()),
            text: "a mark".into(),
            by: by(),
        },
        Act::TellDue {
            build: build(),
            due: "first-rides".into(),
            done: true,
            by: by(),
            reason: Some("all tight".into()),
        },
        Act::TellRidden {
            build: build(),
            kilometres: 160,
            by: by(),
        },
        Act::HandOver {
            build: build(),
            from: by(),
            to: "M. Oduya".into(),
            by: Some(by()),
            note: Some(reason()),
        },
    ]
}

pub(super) fn aside_view() -> AsideView {
    AsideView {
        by: "I. Berg".into(),
        time: "2026-03-14T10:00:00.000+01:00".into(),
        reason: Some("closing time".into()),
    }
}

pub(super) fn part_view() -> PartView {
    PartView {
        id: "bar".into(),
        title: "Handlebar".into(),
        kind: Some("handlebar".into()),
        fasteners: vec!["a".into()],
        serial: Some("HB-1".into()),
        swaps: 0,
    }
}

pub(super) fn note_view() -> NoteView {
    NoteView {
        sequence: 8,
        time: "2026-03-14T10:00:00.000+01:00".into(),
        by: "I. Berg".into(),
        fastener: Some("a".into()),
        text: None,
        photo: Some(photo()),
    }
}
