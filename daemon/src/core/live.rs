//! What a tool shows during a pull, beside what is expected of it. It decides nothing and is kept nowhere: the reading, and
//! the alarm before it, come from every sample, and this from one now and then.

use super::alarm::is_over;
use super::bench::Bench;
use super::judge::at_fastener;
use crate::intake::seen::Seen;
use pullmark_schema::api::LiveValue;
use pullmark_schema::quantity::Torque;

/// The value of a sample, or that the pull is over. Its number is given where it is told.
pub fn live_value(bench: &Bench, tool: &str, seen: Option<Seen>) -> LiveValue {
    let is_checked = bench.checked_by(tool).is_some();
    let build = bench.served_by(tool).filter(|_| !is_checked);
    let expected = build.and_then(|build| bench.expected(build, tool));
    let applied = seen
        .and_then(|seen| seen.torque)
        .map(|torque| at_fastener(bench, tool, torque));
    let limits = expected
        .as_ref()
        .map(|step| step.fastener.spec.limits.of_pass(step.percent).limits);
    LiveValue {
        number: 0,
        tool: tool.to_owned(),
        build: build.map(|build| build.id.clone()),
        pulling: seen.is_some(),
        applied_millinewton_metre: applied.map(Torque::magnitude).map(Torque::small_units),
        past_range: seen.is_some_and(|seen| seen.torque.is_none()),
        over: seen.is_some() && expected.as_ref().is_some_and(|step| is_over(applied, step)),
        fastener: expected.as_ref().map(|step| step.fastener.id.clone()),
        title: expected.as_ref().map(|step| step.fastener.title.clone()),
        limits,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
