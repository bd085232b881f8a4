//! What a recall found on one bike.

use super::padded;
use pullmark_schema::entry::{Affected, AffectedReading};

/// A line for the bike and one for each reading.
pub(crate) fn affected(bike: &Affected) -> Vec<String> {
    let label = bike.bike.label.as_deref().unwrap_or("no label");
    let head = format!("{} ({label}, frame {})", bike.build, bike.bike.frame);
    std::iter::once(head)
        .chain(bike.readings.iter().map(reading))
        .collect()
}

fn reading(reading: &AffectedReading) -> String {
    let undone = if reading.counts {
        ""
    } else {
        "  (undone since)"
    };
    let outside = reading.outside;
    let likely = outside.over_millionths.max(outside.under_millionths);
    let side = if outside.over_millionths >= outside.under_millionths {
        "over"
    } else {
        "under"
    };
    format!(
        "  {} was {} {}, now {} ± {}: {}; {side} with {}.{} %{undone}",
        padded(&reading.title, 28),
        reading.before,
        reading.answer_before,
        reading.now,
        reading.expanded,
        reading.answer_now,
        likely / 10_000,
        likely % 10_000 / 1_000,
    )
}
