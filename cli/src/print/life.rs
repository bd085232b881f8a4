//! The life of a build in lines: histories, parts, other editions, and what the watch says of them.

use super::entry::Titles;
use super::{Ink, line, padded};
use pullmark_schema::api::{BuildView, HistoryRow, PartView, PlanDifferenceView};
use pullmark_schema::entry::Event;

/// The date and time of day of an entry, without parts of a second.
fn moment(time: &str) -> String {
    let (day, rest) = time.split_once('T').unwrap_or((time, ""));
    format!("{day} {}", rest.get(..5).unwrap_or_default())
}

/// What happened, the oldest first.
pub(crate) fn history(rows: &[HistoryRow], ink: Ink) {
    for row in rows {
        let by = row.by.as_deref().unwrap_or("tool");
        let text = format!(
            "{:>6}  {}  {}  {}",
            row.sequence,
            moment(&row.time),
            padded(by, 16),
            row.text
        );
        match &row.withdrawn {
            None => line(&text),
            Some(withdrawn) => {
                let reason = withdrawn.reason.as_deref().unwrap_or("no reason given");
                line(&ink.faint(&format!(
                    "{text}  [taken back by {} in entry {}: {reason}]",
                    withdrawn.by, withdrawn.sequence
                )));
            }
        }
    }
}

/// The parts of a plan, and what is fitted.
pub(crate) fn parts(parts: &[PartView]) {
    if parts.is_empty() {
        line("The plan has no parts: list them in a new edition, and hold the build to it.");
    }
    for part in parts {
        let serial = part.serial.as_deref().unwrap_or("nothing entered");
        let swaps = match part.swaps {
            0 => String::new(),
            1 => ", swapped once".to_owned(),
            swaps => format!(", swapped {swaps} times"),
        };
        let holds = if part.fasteners.is_empty() {
            "nothing".to_owned()
        } else {
            part.fasteners.join(", ")
        };
        line(&format!(
            "{}  {}  {serial}{swaps}  held by {holds}",
            padded(&part.id, 16),
            padded(&part.title, 24)
        ));
    }
}

/// What another edition would mean.
pub(crate) fn difference(view: &PlanDifferenceView) {
    line(&format!(
        "from {}, {} to {}, {}:",
        view.before.title, view.before.edition, view.now.title, view.now.edition
    ));
    if view.differences.is_empty() {
        line("  nothing that a build depends on is different");
    }
    for difference in &view.differences {
        line(&format!("  {}", difference.text));
    }
    for judged in &view.judged {
        let before = judged
            .before
            .map_or_else(|| "nothing".to_owned(), |a| a.to_string());
        let alarm = if judged.alarm {
            ", and raises an over alarm"
        } else {
            ""
        };
        line(&format!(
            "  {}: the reading of entry {} was {before} and would be {}{alarm}",
            judged.title, judged.reading, judged.now
        ));
    }
    for title in &view.again {
        line(&format!("  {title}: has to be pulled again"));
    }
    for title in &view.dropped {
        line(&format!("  {title}: its readings stay and no longer count"));
    }
}

/// What is said of a build beside its fasteners.
pub(super) fn about(build: &BuildView) -> Vec<String> {
    let mut lines = Vec::new();
    if !build.in_hands.is_empty() && build.in_hands != build.by {
        lines.push(format!("in the hands of {}", build.in_hands));
    }
    if let Some(aside) = &build.laid_aside {
        let reason = aside.reason.as_deref().unwrap_or("no reason given");
        let when = moment(&aside.time);
        lines.push(format!("laid aside by {} on {when}: {reason}", aside.by));
    }
    let fitted = build.parts.iter().filter_map(|part| {
        let serial = part.serial.as_ref()?;
        Some(format!("{}: serial {serial}", part.title))
    });
    lines.extend(fitted);
    let notes = build.notes.iter().filter(|note| note.fastener.is_none());
    lines.extend(notes.map(|note| {
        let text = note.text.as_deref().unwrap_or("a photograph");
        format!("noted by {}: {text}", note.by)
    }));
    lines
}

/// One line of the watch.
pub(super) fn life_line(event: &Event, titles: &Titles) -> Option<String> {
    let because = |reason: Option<&String>| {
        let reason = reason.map(|reason| format!(" ({reason})"));
        reason.unwrap_or_default()
    };
    Some(match event {
        Event::DueTold(_) | Event::Ridden(_) => super::due::due_line(event)?,
        Event::Deferred(waits) => {
            let what = waits.waits_for.as_ref();
            let what = what.map(|what| format!(", it waits for {what}"));
            let title = titles.title(&waits.build, &waits.fastener);
            let why = because(waits.reason.as_ref());
            format!(
                "{} defers {title}{why}{}",
                waits.by,
                what.unwrap_or_default()
            )
        }
        Event::Withdrawn(withdrawn) => format!(
            "{} takes entry {} back ({})",
            withdrawn.by, withdrawn.entry, withdrawn.reason
        ),
        Event::PartFitted(fitted) => {
            format!(
                "{} fits {}, serial {}",
                fitted.by, fitted.part, fitted.serial
            )
        }
        Event::PartSwapped(swapped) => {
            let out = swapped.out.as_deref().unwrap_or("what was on");
            let (by, part, serial) = (&swapped.by, &swapped.part, &swapped.serial);
            let titles: Vec<String> = swapped
                .fasteners
                .iter()
                .map(|fastener| titles.title(&swapped.build, fastener))
                .collect();
            let loose = if titles.is_empty() {
                String::new()
            } else {
                format!("; loose now: {}", titles.join(", "))
            };
            format!(
                "{by} swaps {part}: {out} out, {serial} in ({}){loose}",
                swapped.reason
            )
        }
        Event::LaidAside(on) => {
            format!(
                "{} lays {} aside{}",
                on.by,
                on.build,
                because(on.reason.as_ref())
            )
        }
        Event::Resumed(on) => format!("{} goes on with {}", on.by, on.build),
        Event::PlanChanged(changed) => format!(
            "{} holds {} to the plan {}, {} ({}): {} reading(s) judged again, {} fastener(s) to pull again",
            changed.by,
            changed.build,
            changed.plan.title,
            changed.plan.edition,
            changed.reason,
            changed.judged.len(),
            changed.again.len()
        ),
        Event::Noted(noted) => {
            let about = noted.fastener.as_ref();
            let about = about.map_or_else(
                || noted.build.clone(),
                |fastener| titles.title(&noted.build, fastener),
            );
            let what = if noted.photo.is_some() {
                " with a photograph"
            } else {
                ""
            };
            format!(
                "{} notes{what} on {about}{}",
                noted.by,
                because(noted.text.as_ref())
            )
        }
        Event::HandedOver(handed) => {
            let whose = match &handed.by {
                Some(by) if *by != handed.from => format!(", which {} had,", handed.from),
                _ => String::new(),
            };
            format!(
                "{} hands {}{whose} to {}{}",
                handed.who(),
                handed.build,
                handed.to,
                because(handed.note.as_ref())
            )
        }
        _ => return None,
    })
}
