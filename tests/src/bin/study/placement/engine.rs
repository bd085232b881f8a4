//! What the study asks of the engine beside placing, each in one small function.

use pullmark_daemon::core::Bench;
use pullmark_schema::placement::HeldBecause;

/// Readings are placed by themselves from this probability on.
pub(super) fn set_clear(bench: &mut Bench, clear: f64) {
    bench.habits.clear = clear;
}

/// The fasteners of a build that are shown as done and may have been missed.
pub(super) fn doubts_of(bench: &Bench, build: &str) -> Vec<String> {
    let doubts = bench.doubts(build).into_iter();
    doubts.map(|doubt| doubt.fastener).collect()
}

/// The word of a reason, as it is in the ledger.
pub(super) fn word(because: HeldBecause) -> String {
    serde_json::to_value(because)
        .ok()
        .and_then(|word| word.as_str().map(str::to_owned))
        .unwrap_or_default()
}

/// Whether the engine asks about the unit of the display.
pub(super) fn asks_about_unit(because: HeldBecause) -> bool {
    word(because) == "other-unit"
}
