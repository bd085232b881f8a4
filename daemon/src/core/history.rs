//! What happened to a build or to one of its fasteners, entry after entry, in words.

use super::acts::can_be_withdrawn;
use super::bench::Bench;
use super::displayed;
use pullmark_schema::api::{HistoryRow, WithdrawnView};
use pullmark_schema::build::{Build, BuildCheckReading, BuildReading};
use pullmark_schema::check::{CheckPlacement, CheckVerdict};
use pullmark_schema::entry::{
    Confirmed, Entry, Event, HandedOver, Noted, PartSwapped, PlanChanged,
};
use pullmark_schema::placement::{Place, Placement};
use pullmark_schema::verdict::Verdict;

/// The entries of a build that concern a fastener, or all of them; others of `entries` are left out.
pub fn history(build: &Build, fastener: Option<&str>, entries: &[Entry]) -> Vec<HistoryRow> {
    entries
        .iter()
        .filter(|entry| entry.event.build() == Some(&build.id))
        .filter(|entry| fastener.is_none_or(|fastener| concerns(build, &entry.event, fastener)))
        .filter_map(|entry| row(build, entry))
        .collect()
}

fn is_at(placement: &Placement, fastener: &str) -> bool {
    placement
        .place()
        .is_some_and(|place| place.fastener == fastener)
}

/// Whether a reading is at a fastener, or was.
fn was_at(reading: &BuildReading, fastener: &str) -> bool {
    let earlier = reading.earlier.iter();
    earlier
        .chain([&reading.placement])
        .any(|placement| is_at(placement, fastener))
}

fn is_at_check(placement: &CheckPlacement, check: &str) -> bool {
    placement.place().is_some_and(|place| place.check == check)
}

fn was_at_check(reading: &BuildCheckReading, check: &str) -> bool {
    let earlier = reading.earlier.iter();
    earlier
        .chain([&reading.placement])
        .any(|placement| is_at_check(placement, check))
}

fn concerns(build: &Build, event: &Event, fastener: &str) -> bool {
    let reading_at = |sequence: &u64| {
        let reading = build.readings.get(sequence);
        reading.is_some_and(|reading| was_at(reading, fastener))
    };
    match event {
        Event::Pulled(pulled) => {
            let alarm = pulled.alarm.as_ref();
            is_at(&pulled.placement, fastener)
                || alarm.is_some_and(|alarm| alarm.place.fastener == fastener)
        }
        Event::CheckMeasured(measured) => {
            let alarm = measured.alarm.as_ref();
            is_at_check(&measured.placement, fastener)
                || alarm.is_some_and(|alarm| alarm.place.check == fastener)
        }
        Event::CheckPlaced(placed) => {
            let known = build.checks.readings.get(&placed.reading);
            is_at_check(&placed.placement, fastener)
                || known.is_some_and(|known| was_at_check(known, fastener))
        }
        Event::OverNow(over) => over.alarm.place.fastener == fastener,
        Event::Placed(placed) => is_at(&placed.placement, fastener) || reading_at(&placed.reading),
        Event::Acknowledged { alarm, .. } => build
            .alarms
            .iter()
            .map(|raised| (raised.sequence, &raised.alarm.place.fastener))
            .chain(
                build
                    .checks
                    .alarms
                    .iter()
                    .map(|raised| (raised.sequence, &raised.alarm.place.check)),
            )
            .any(|(sequence, at)| sequence == *alarm && at == fastener),
        Event::PointedAt { fastener: at, .. } | Event::Disposed { fastener: at, .. } => {
            at == fastener
        }
        Event::Loosened(on) | Event::TakenUp(on) | Event::Prepared(on) | Event::Looked(on) => {
            on.fastener == fastener
        }
        Event::Deferred(waits) => waits.fastener == fastener,
        Event::Noted(noted) => noted.fastener.as_deref() == Some(fastener),
        Event::PartSwapped(swapped) => swapped.fasteners.iter().any(|at| at == fastener),
        Event::PartFitted(fitted) => build
            .plan
            .part(&fitted.part)
            .is_some_and(|part| part.fasteners.iter().any(|at| at == fastener)),
        Event::Withdrawn(withdrawn) => {
            let mut known = build.withdrawn.iter();
            let of = known.find(|known| known.entry == withdrawn.entry);
            of.is_some_and(|of| of.fasteners.iter().any(|at| at == fastener))
        }
        Event::PlanChanged(_) => true,
        Event::Affected(affected) => {
            let mut readings = affected.readings.iter();
            readings.any(|reading| reading.place.fastener == fastener)
        }
        _ => false,
    }
}

fn row(build: &Build, entry: &Entry) -> Option<HistoryRow> {
    let (by, text) = words(build, &entry.event)?;
    let mut withdrawn = build.withdrawn.iter();
    let withdrawn = withdrawn.find(|known| known.entry == entry.sequence);
    let photo = match &entry.event {
        Event::Noted(noted) => noted.photo.as_ref().map(|photo| photo.sha256.to_string()),
        _ => None,
    };
    Some(HistoryRow {
        sequence: entry.sequence,
        time: entry.time.clone(),
        kind: entry.event.kind().to_owned(),
        by: by.map(str::to_owned),
        text,
        withdrawable: build.finished.is_none() && can_be_withdrawn(build, entry.sequence).is_ok(),
        withdrawn: withdrawn.map(|known| WithdrawnView {
            sequence: known.withdrawn.sequence,
            time: known.withdrawn.time.clone(),
            by: known.withdrawn.by.clone(),
            reason: known.withdrawn.reason.clone(),
        }),
        photo,
    })
}

fn title(build: &Build, fastener: &str) -> String {
    let planned = build.ever_planned(fastener);
    let check = || super::view::checks::title(build, fastener);
    planned
        .map(|(_, known)| known.title.clone())
        .or_else(check)
        .unwrap_or_else(|| fastener.to_owned())
}

fn part_title(build: &Build, part: &str) -> String {
    let planned = build.plan.part(part);
    planned.map_or_else(|| part.to_owned(), |part| part.title.clone())
}

fn because(reason: Option<&str>) -> String {
    reason
        .map(|reason| format!(": {reason}"))
        .unwrap_or_default()
}

/// How somebody showed that it is them.
fn how(confirmed: Option<Confirmed>) -> String {
    confirmed.map(|how| format!(" ({how})")).unwrap_or_default()
}

/// Who did it and what happened; nothing for what nobody needs to read.
#[expect(clippy::too_many_lines, reason = "one short arm a kind of entry")]
fn words<'e>(build: &Build, event: &'e Event) -> Option<(Option<&'e str>, String)> {
    let at = |fastener: &str| title(build, fastener);
    Some(match event {
        Event::BuildStarted {
            plan, by, follows, ..
        } => {
            let from = follows
                .as_ref()
                .map(|follows| format!(", going on from {}", follows.build));
            let from = from.unwrap_or_default();
            let text = format!("begun after {}, {}{from}", plan.title, plan.edition);
            (Some(by), text)
        }
        Event::DueTold(told) => {
            let due = build.plan.due(&told.due);
            let title = due.map_or(told.due.as_str(), |due| due.title.as_str());
            let what = if told.done {
                "done"
            } else {
                "not done after all"
            };
            let why = because(told.reason.as_deref());
            (Some(&told.by), format!("{title}: {what}{why}"))
        }
        Event::Ridden(ridden) => (
            Some(&ridden.by),
            format!("{} km since it was handed over", ridden.kilometres),
        ),
        Event::PointedAt { fastener, by, .. } => (Some(by), format!("{} comes next", at(fastener))),
        Event::Pulled(pulled) => {
            let shown = displayed(&pulled.reading).unwrap_or_else(|| "past its range".to_owned());
            let verdict = pulled.verdict.as_ref();
            let placed = placed(build, pulled.placement.place(), verdict);
            let alarm = if pulled.alarm.is_some() {
                ", over alarm"
            } else {
                ""
            };
            (None, format!("{shown}: {placed}{alarm}"))
        }
        Event::CheckMeasured(measured) => {
            let shown = measured.reading.displayed.as_ref();
            let shown = shown.map_or_else(|| "past its range".to_owned(), ToString::to_string);
            let placed = placed_check(build, &measured.placement, measured.verdict.as_ref());
            let alarm = if measured.alarm.is_some() {
                ", over alarm"
            } else {
                ""
            };
            (None, format!("{shown}: {placed}{alarm}"))
        }
        Event::CheckPlaced(moved) => {
            let by = match &moved.placement {
                CheckPlacement::ByChoice { by, .. } | CheckPlacement::Nowhere { by, .. } => {
                    Some(by.as_str())
                }
                _ => None,
            };
            let placed = placed_check(build, &moved.placement, moved.verdict.as_ref());
            (
                by,
                format!(
                    "the reading of entry {}: {placed}{}",
                    moved.reading,
                    how(moved.confirmed)
                ),
            )
        }
        Event::OverNow(over) => (
            None,
            format!("over during the pull on {}", at(&over.alarm.place.fastener)),
        ),
        Event::Placed(moved) => {
            let by = match &moved.placement {
                Placement::ByChoice { by, .. } | Placement::Nowhere { by, .. } => Some(by.as_str()),
                _ => None,
            };
            let placed = placed(build, moved.placement.place(), moved.verdict.as_ref());
            (
                by,
                format!(
                    "the reading of entry {}: {placed}{}",
                    moved.reading,
                    how(moved.confirmed)
                ),
            )
        }
        Event::Acknowledged { alarm, by, .. } => {
            (Some(by), format!("the alarm of entry {alarm} acknowledged"))
        }
        Event::Loosened(on) => (
            Some(&on.by),
            format!(
                "{} loosened{}",
                at(&on.fastener),
                because(on.reason.as_deref())
            ),
        ),
        Event::Deferred(waits) => {
            let waits_for = waits.waits_for.as_ref();
            let waits_for = waits_for.map(|what| format!(", waits for {what}"));
            let why = because(waits.reason.as_deref());
            (
                Some(&waits.by),
                format!(
                    "{} deferred{why}{}",
                    at(&waits.fastener),
                    waits_for.unwrap_or_default()
                ),
            )
        }
        Event::TakenUp(on) => (Some(&on.by), format!("{} taken up again", at(&on.fastener))),
        Event::Prepared(on) => (
            Some(&on.by),
            format!("prep of {} confirmed", at(&on.fastener)),
        ),
        Event::Looked(on) => (
            Some(&on.by),
            format!(
                "{} looked at{}",
                at(&on.fastener),
                because(on.reason.as_deref())
            ),
        ),
        Event::Disposed {
            fastener,
            decision,
            by,
            reason,
            confirmed,
            ..
        } => (
            Some(by),
            format!("{}: {decision}: {reason}{}", at(fastener), how(*confirmed)),
        ),
        Event::Withdrawn(withdrawn) => (
            Some(&withdrawn.by),
            format!("entry {} taken back: {}", withdrawn.entry, withdrawn.reason),
        ),
        Event::PartFitted(fitted) => (
            Some(&fitted.by),
            format!(
                "{} fitted, serial {}",
                part_title(build, &fitted.part),
                fitted.serial
            ),
        ),
        Event::PartSwapped(swapped) => (Some(&swapped.by), swap_words(build, swapped)),
        Event::LaidAside(on) => (
            Some(&on.by),
            format!("laid aside{}", because(on.reason.as_deref())),
        ),
        Event::Resumed(on) => (Some(&on.by), "gone on with".to_owned()),
        Event::PlanChanged(changed) => (
            Some(&changed.by),
            format!(
                "held to the plan {}, {} from here on: {}",
                changed.plan.title, changed.plan.edition, changed.reason
            ),
        ),
        Event::Noted(noted) => (Some(&noted.by), note_words(build, noted)),
        Event::HandedOver(handed) => (Some(handed.who()), hand_words(handed)),
        Event::BuildFinished { by, sure, .. } => {
            (Some(by), format!("finished{}", because(sure.as_deref())))
        }
        Event::RecordSealed { by, confirmed, .. } => {
            (Some(by), format!("record sealed{}", how(*confirmed)))
        }
        Event::Affected(affected) => (
            None,
            format!(
                "a recall of {} found {} reading(s) to look at again",
                affected.tool,
                affected.readings.len()
            ),
        ),
        _ => return None,
    })
}

fn placed(build: &Build, place: Option<&Place>, verdict: Option<&Verdict>) -> String {
    match (place, verdict) {
        (Some(place), Some(verdict)) => {
            let passes = build
                .ever_planned(&place.fastener)
                .map_or(1, |(stage, _)| stage.passes.len());
            let pass = if passes > 1 {
                format!(", pass {}", place.pass + 1)
            } else {
                String::new()
            };
            format!(
                "{} on {}{pass}",
                verdict.answer,
                title(build, &place.fastener)
            )
        }
        _ => "on no fastener yet".to_owned(),
    }
}

fn placed_check(
    build: &Build,
    placement: &CheckPlacement,
    verdict: Option<&CheckVerdict>,
) -> String {
    match (placement.place(), verdict) {
        (Some(place), Some(verdict)) => {
            let planned = build.ever_checked(&place.check);
            let readings = planned.map_or(1, |(_, check)| check.readings);
            let number = if readings > 1 {
                format!(", reading {}", place.number + 1)
            } else {
                String::new()
            };
            let at = title(build, &place.check);
            format!("{} at {at}{number}", verdict.answer)
        }
        _ => "at no check yet".to_owned(),
    }
}

fn note_words(build: &Build, noted: &Noted) -> String {
    let about = noted
        .fastener
        .as_ref()
        .map(|fastener| format!(" on {}", title(build, fastener)));
    let what = if noted.photo.is_some() {
        "photograph"
    } else {
        "note"
    };
    format!(
        "{what}{}{}",
        about.unwrap_or_default(),
        because(noted.text.as_deref())
    )
}

fn hand_words(handed: &HandedOver) -> String {
    let whose = match &handed.by {
        Some(by) if *by != handed.from => format!(", which {} had", handed.from),
        _ => String::new(),
    };
    let note = because(handed.note.as_deref());
    format!("handed to {}{whose}{note}", handed.to)
}

fn swap_words(build: &Build, swapped: &PartSwapped) -> String {
    let out = swapped
        .out
        .as_deref()
        .unwrap_or("one without a serial number on file");
    let part = part_title(build, &swapped.part);
    format!(
        "{part} swapped, {out} out, {} in: {}",
        swapped.serial, swapped.reason
    )
}

/// What follows from an entry for whoever asked for it, where that does not go without saying. The bench has it already.
pub fn said(bench: &Bench, entry: &Entry) -> Vec<String> {
    let Some(build) = entry.event.build().and_then(|id| bench.builds.get(id)) else {
        return Vec::new();
    };
    match &entry.event {
        Event::Loosened(on) => vec![format!(
            "{}: its readings no longer count",
            title(build, &on.fastener)
        )],
        Event::PartSwapped(swapped) => swapped
            .fasteners
            .iter()
            .map(|id| {
                let title = title(build, id);
                match build.plan.check(id) {
                    Some(_) => format!("{title} has to be measured again"),
                    None => format!("{title} is loose, and has to be tightened again"),
                }
            })
            .collect(),
        Event::Withdrawn(withdrawn) => {
            let mut known = build.withdrawn.iter();
            let fasteners = known.find(|known| known.entry == withdrawn.entry);
            let fasteners = fasteners
                .map(|known| known.fasteners.as_slice())
                .unwrap_or_default();
            let standing = |id: &String| {
                if build.fastener(id).is_some() {
                    return Some(build.standing(id).to_string());
                }
                build.plan.check(id)?;
                Some(build.check_standing(id).to_string())
            };
            fasteners
                .iter()
                .filter_map(|id| Some(format!("{} is {}", title(build, id), standing(id)?)))
                .collect()
        }
        Event::PlanChanged(changed) => change_words(build, changed),
        Event::Resumed(_) => vec!["it was laid aside, and is gone on with".to_owned()],
        _ => Vec::new(),
    }
}

fn change_words(build: &Build, changed: &PlanChanged) -> Vec<String> {
    let judged = changed.judged.iter().filter_map(|judged| {
        let place = build.readings.get(&judged.reading)?.placement.place()?;
        let alarm = if judged.alarm.is_some() {
            ", and raises an over alarm"
        } else {
            ""
        };
        let title = title(build, &place.fastener);
        Some(format!(
            "{title}: the reading of entry {} is {} now{alarm}",
            judged.reading, judged.verdict.answer
        ))
    });
    let checks = changed.judged_checks.iter().filter_map(|judged| {
        let known = build.checks.readings.get(&judged.reading)?;
        let place = known.placement.place()?;
        let alarm = if judged.alarm.is_some() {
            ", and raises an over alarm"
        } else {
            ""
        };
        Some(format!(
            "{}: the reading of entry {} is {} now{alarm}",
            title(build, &place.check),
            judged.reading,
            judged.verdict.answer
        ))
    });
    let again = changed.again.iter().map(|id| {
        let title = title(build, id);
        match build.plan.check(id) {
            Some(_) => format!("{title} has to be measured again"),
            None => format!("{title} has to be pulled again"),
        }
    });
    judged.chain(checks).chain(again).collect()
}
