//! Handing a build over: only when nothing is open, nothing waits, and nothing may have been missed without a word.

use super::{known_build, maybe, measure, name, needs_a_decision, open_build, reason_text};
use crate::core::bench::Bench;
use crate::core::decide::Decided;
use crate::core::refusal::Refusal;
use pullmark_schema::build::Standing;
use pullmark_schema::entry::{Event, HandedOver, Reopened};

pub(super) fn finish(
    bench: &Bench,
    build: String,
    by: String,
    sure: Option<String>,
) -> Result<Vec<Decided>, Refusal> {
    let known = open_build(bench, &build)?;
    let title = |id: &str| {
        known
            .plan
            .fastener(id)
            .map_or_else(|| id.to_owned(), |(_, fastener)| fastener.title.clone())
    };
    let mut open: Vec<String> = known
        .plan
        .fasteners()
        .map(|(_, fastener)| (fastener, known.standing(&fastener.id)))
        .filter(|(_, standing)| !standing.is_done() && *standing != Standing::Deferred)
        .map(|(fastener, standing)| match standing {
            Standing::Undecided if needs_a_decision(known, &fastener.id) => format!(
                "{} may be over, and needs a decision or to be tightened again",
                title(&fastener.id)
            ),
            Standing::Over => format!("{} is over and needs a decision", title(&fastener.id)),
            standing => format!(
                "{} is {standing}: tighten it, or defer it with the reason",
                title(&fastener.id)
            ),
        })
        .collect();
    open.extend(
        known
            .held()
            .map(|held| format!("the reading of entry {} waits to be placed", held.sequence)),
    );
    let alarms = known.open_alarms().map(|alarm| alarm.sequence);
    let early = bench.over_now(&build).map(|(sequence, _)| *sequence);
    open.extend(
        alarms
            .chain(early)
            .map(|sequence| format!("the alarm of entry {sequence} is not acknowledged")),
    );
    open.extend(measure::still_open(known));
    if !open.is_empty() {
        return Err(Refusal::StillOpen(open.join("; ")));
    }
    let sure = maybe(sure)?;
    let doubts = bench.doubts(&build);
    if sure.is_none() && !doubts.is_empty() {
        let doubted: Vec<String> = doubts.iter().map(|doubt| title(&doubt.fastener)).collect();
        return Err(Refusal::MayBeMissed(doubted.join(", ")));
    }
    Ok(vec![
        Event::BuildFinished {
            build,
            by: name(by)?,
            sure,
        }
        .into(),
    ])
}

/// A bike comes back: what was done stays, and the work goes on.
pub(super) fn reopen(
    bench: &Bench,
    build: String,
    by: String,
    reason: &str,
) -> Result<Vec<Decided>, Refusal> {
    let known = known_build(bench, &build)?;
    if known.finished.is_none() {
        return Err(Refusal::NotFinished(build));
    }
    let holder = known.in_hands().to_owned();
    let by = name(by)?;
    // What is done from here on is not the work of somebody who has left.
    let taken_over = bench.people.has_left(&holder).then(|| {
        Event::HandedOver(HandedOver {
            build: build.clone(),
            from: holder,
            to: by.clone(),
            by: Some(by.clone()),
            note: None,
        })
    });
    let reopened = Reopened {
        build,
        by,
        reason: reason_text(reason)?,
    };
    let events = [Event::Reopened(reopened)].into_iter().chain(taken_over);
    Ok(events.map(Decided::from).collect())
}
