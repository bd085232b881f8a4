//! Plans, builds and the bench as lists.

use super::{Ink, band, limits, line, padded};
use pullmark_schema::api::{BenchView, BuildView, FastenerView, NextView};
use pullmark_schema::build::Standing;
use pullmark_schema::plan::Plan;
use pullmark_schema::quantity::Torque;

/// The stages and the order of pulls of a plan.
pub(crate) fn plan(plan: &Plan, ink: Ink) {
    line(&ink.strong(&format!("{}, edition {}", plan.title, plan.edition)));
    line(&ink.faint(&format!("SHA-256 {}", plan.sha256)));
    for (number, step) in (1..).zip(plan.steps()) {
        let range = step.fastener.spec.limits.of_pass(step.percent);
        let pass = if step.stage.passes.len() > 1 {
            format!(", pass {} at {} %", u16::from(step.pass) + 1, step.percent)
        } else {
            String::new()
        };
        let title = padded(&format!("{}{pass}", step.fastener.title), 44);
        line(&format!(
            "{number:>4}  {title}  aim {}  {}",
            range.aim(),
            ink.faint(&limits(&range))
        ));
    }
}

/// All builds and tools.
pub(crate) fn bench(view: &BenchView, ink: Ink) {
    if view.builds.is_empty() {
        line("No build yet. Begin one: pullmark build start PLAN.toml --frame SERIAL --by NAME");
    }
    for build in &view.builds {
        let s = build.summary;
        let state = match (&build.finished, build.sealed) {
            (Some(_), true) => "sealed".to_owned(),
            (Some(_), false) => "finished, not sealed".to_owned(),
            (None, _) => format!("{} of {} within, {} open", s.within, s.fasteners, s.open),
        };
        let mut text = format!(
            "{}  {}  {state}",
            ink.strong(&padded(&build.id, 24)),
            padded(&build.plan, 28)
        );
        if s.over > 0 {
            text.push_str("  ");
            text.push_str(&ink.alarm(&format!(" {} over, undecided ", s.over)));
        }
        if s.deferred > 0 {
            text.push_str("  ");
            text.push_str(&s.deferred.to_string());
            text.push_str(" deferred");
        }
        line(&text);
    }
}

/// One build.
pub(crate) fn build_view(build: &BuildView, ink: Ink) {
    let label = build.bike.label.as_deref().unwrap_or("bike");
    line(&ink.strong(&format!(
        "{}: {label}, frame {}",
        build.id, build.bike.frame
    )));
    line(&format!(
        "after {}, edition {}; begun by {}",
        build.plan, build.edition, build.by
    ));
    for stage in &build.stages {
        line("");
        line(&ink.strong(&stage.title));
        for fastener in &stage.fasteners {
            line(&fastener_line(fastener, ink));
        }
    }
    line("");
    for alarm in &build.alarms {
        line(&ink.alarm(&format!(
            " OVER  {} (entry {}), not acknowledged ",
            alarm.title, alarm.sequence
        )));
    }
    for held in &build.held {
        let value = held.displayed.as_deref().unwrap_or("past its range");
        line(&ink.ask(&format!(
            "entry {}: {value} is held, {}",
            held.sequence, held.because
        )));
        for candidate in &held.candidates {
            let id = candidate.fastener.as_deref().unwrap_or("(no fastener)");
            line(&format!(
                "      {:>3} %  {id}  {}, {}",
                candidate.percent, candidate.title, candidate.kind
            ));
        }
    }
    match &build.next {
        Some(next) => line(&next_line(next, ink)),
        None => line("Nothing is open."),
    }
}

fn next_line(next: &NextView, ink: Ink) -> String {
    let aim = Torque::from_small_units(next.aim_millinewton_metre);
    let pass = if next.passes > 1 {
        format!(", pass {} of {}", next.pass + 1, next.passes)
    } else {
        String::new()
    };
    let prep = if next.prep.is_empty() {
        String::new()
    } else {
        format!("; {}", next.prep.join(", "))
    };
    ink.strong(&format!(
        "Next: {}{pass}: aim {aim}, {}{prep}",
        next.title,
        limits(&next.limits)
    ))
}

fn fastener_line(fastener: &FastenerView, ink: Ink) -> String {
    let highest = fastener
        .highest_millinewton_metre
        .map(Torque::from_small_units);
    let picture = if highest.is_some() {
        band(&fastener.limits, highest)
    } else {
        " ".repeat(17)
    };
    let word = padded(&fastener.standing.to_string(), 24);
    let word = match fastener.standing {
        Standing::Within => ink.good(&word),
        Standing::Over => ink.alarm(&word),
        Standing::Under | Standing::Deferred | Standing::OverKept => ink.low(&word),
        Standing::Open | Standing::PartWay => ink.faint(&word),
    };
    let reason = fastener
        .deferred
        .as_ref()
        .map(|reason| format!("waits for {reason}"))
        .unwrap_or_default();
    let value = highest.map_or_else(String::new, |torque| torque.to_string());
    format!(
        "  {picture} {}  {word} {}  {}  {reason}",
        padded(&value, 11),
        padded(&fastener.title, 34),
        ink.faint(&fastener.id)
    )
}
