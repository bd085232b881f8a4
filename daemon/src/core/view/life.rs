//! The life of a build, made ready for the eye.

use pullmark_schema::api::{AsideView, NoteView, PartView};
use pullmark_schema::build::Build;

pub(super) fn laid_aside(build: &Build) -> Option<AsideView> {
    build.laid_aside().map(|act| AsideView {
        by: act.by.clone(),
        time: act.time.clone(),
        reason: act.reason.clone(),
    })
}

pub(super) fn parts(build: &Build) -> Vec<PartView> {
    let parts = build.plan.parts.iter();
    parts
        .map(|part| {
            let fitted = build.fitted(&part.id);
            let acts = build.parts.iter().filter(|act| act.part == part.id);
            let swaps = acts.filter(|act| act.is_swap).count();
            PartView {
                id: part.id.clone(),
                title: part.title.clone(),
                kind: fitted
                    .and_then(|fitted| fitted.kind.clone())
                    .or_else(|| part.kind.clone()),
                fasteners: part.fasteners.clone(),
                serial: fitted.map(|fitted| fitted.serial.clone()),
                swaps: u32::try_from(swaps).unwrap_or(u32::MAX),
            }
        })
        .collect()
}

pub(super) fn notes(build: &Build) -> Vec<NoteView> {
    let notes = build.notes.iter();
    notes
        .map(|note| NoteView {
            sequence: note.act.sequence,
            time: note.act.time.clone(),
            by: note.act.by.clone(),
            fastener: note.fastener.clone(),
            text: note.text.clone(),
            photo: note.photo.clone(),
        })
        .collect()
}
