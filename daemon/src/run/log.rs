//! What an entry says in the log.

use pullmark_schema::entry::{Entry, Event};

pub(super) fn log(entry: &Entry) {
    let sequence = entry.sequence;
    match &entry.event {
        Event::Pulled(pulled) => {
            let answer = pulled
                .verdict
                .as_ref()
                .map(|verdict| tracing::field::display(verdict.answer));
            let fastener = pulled
                .placement
                .place()
                .map(|place| place.fastener.as_str());
            tracing::info!(
                sequence,
                build = pulled.build,
                fastener,
                answer,
                alarm = pulled.alarm.is_some(),
                "reading"
            );
        }
        Event::CheckMeasured(measured) => {
            let answer = measured
                .verdict
                .as_ref()
                .map(|verdict| tracing::field::display(verdict.answer));
            let check = measured.placement.place().map(|place| place.check.as_str());
            tracing::info!(
                sequence,
                build = measured.build,
                check,
                answer,
                alarm = measured.alarm.is_some(),
                "check"
            );
        }
        Event::ToolGone { tool, why, .. } => tracing::warn!(sequence, tool, why, "tool gone"),
        Event::Unreadable { tool, why, .. } => tracing::debug!(sequence, tool, %why, "unreadable"),
        event => tracing::info!(sequence, kind = event.kind(), "entry"),
    }
}
