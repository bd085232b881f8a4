//! What a tool's checks against a reference say about it: a control chart that warns before the limit is reached.

use super::bench::Bench;
use pullmark_schema::api::{CheckState, CheckView};

/// What a tool's checks say about it.
pub(super) fn state(bench: &Bench, tool: &str) -> CheckState {
    views(bench, tool)
        .last()
        .map_or(CheckState::Quiet, |view| view.state)
}

/// Its checks as points of the chart, the oldest first.
pub(super) fn views(_bench: &Bench, _tool: &str) -> Vec<CheckView> {
    Vec::new()
}
