//! Checks: planned measurements that are no torque, as lists and as one line an entry.

use super::entry::Titles;
use super::{Ink, padded};
use pullmark_schema::api::{BuildView, HeldCheckView, PlannedCheckView};
use pullmark_schema::build::CheckStanding;
use pullmark_schema::check::{
    CheckAlarm, CheckLimits, CheckMeasured, CheckPlace, CheckPlaced, CheckPlacement, CheckReading,
    CheckVerdict,
};
use pullmark_schema::plan::Stage;
use pullmark_schema::verdict::Answer;

/// One check among the fasteners of its stage.
pub(super) fn check_line(check: &PlannedCheckView, ink: Ink) -> String {
    let word = padded(&check.standing.to_string(), 24);
    let word = match check.standing {
        CheckStanding::Within => ink.good(&word),
        CheckStanding::Over => ink.alarm(&word),
        CheckStanding::Undecided => ink.ask(&word),
        CheckStanding::Under | CheckStanding::Deferred | CheckStanding::Kept => ink.low(&word),
        CheckStanding::Open | CheckStanding::PartWay => ink.faint(&word),
    };
    let value = check.value_text.clone().unwrap_or_default();
    let reason = match (&check.deferred, &check.waits_for) {
        (Some(reason), Some(what)) => format!("  waits for {what} ({reason})"),
        (Some(reason), None) => format!("  waits for {reason}"),
        _ => String::new(),
    };
    let several = if check.readings > 1 {
        format!(", {} of {}", check.readings_done, check.readings)
    } else {
        String::new()
    };
    let practice = match super::build::practice(&check.sources) {
        "" => String::new(),
        practice => format!("  ({practice})"),
    };
    let pointed = if check.pointed { "  next" } else { "" };
    format!(
        "  {} {}  {word} {}  {}{reason}{pointed}{practice}",
        padded(&check.limits_text, 24),
        padded(&format!("{value}{several}"), 20),
        padded(&check.title, 34),
        ink.faint(&check.id)
    )
}

/// Alarms and questions about checks.
pub(super) fn about(build: &BuildView, ink: Ink) -> Vec<String> {
    let alarms = build.check_alarms.iter().map(|alarm| {
        let shown = alarm.displayed.as_deref();
        ink.alarm(&format!(
            " OVER  {}: {}, at most {} (entry {}), not acknowledged ",
            alarm.title,
            shown.unwrap_or("past its range"),
            alarm.upper_text,
            alarm.sequence
        ))
    });
    let held = build
        .held_checks
        .iter()
        .flat_map(|held| held_lines(held, ink));
    alarms.chain(held).collect()
}

fn held_lines(held: &HeldCheckView, ink: Ink) -> Vec<String> {
    let value = held.displayed.as_deref().unwrap_or("past its range");
    let mut lines = vec![ink.ask(&format!(
        "entry {}: {value} is held, {}",
        held.sequence, held.because
    ))];
    lines.extend(held.candidates.iter().map(|candidate| {
        let fits = candidate
            .fits_in
            .as_ref()
            .map(|unit| format!("; it would fit in {unit}"))
            .unwrap_or_default();
        format!(
            "      {}  {}, {}{fits}",
            candidate.check, candidate.title, candidate.limits_text
        )
    }));
    lines
}

/// The checks of a stage of a plan.
pub(super) fn planned(stage: &Stage) -> Vec<String> {
    let checks = stage.checks.iter();
    checks
        .map(|check| {
            let how = match (&check.formula, check.readings) {
                (Some(formula), _) => format!(", computed: {}", formula.text),
                (None, 1) => String::new(),
                (None, readings) => format!(", {readings} readings"),
            };
            let places = check.spec.places();
            let sources = if places.is_empty() {
                String::new()
            } else {
                format!(", from: {}", places.join("; "))
            };
            format!(
                "      check  {}  {}{how}{sources}",
                padded(&check.title, 37),
                check.spec.limits.text()
            )
        })
        .collect()
}

fn shown(reading: &CheckReading) -> String {
    reading
        .displayed
        .as_ref()
        .map_or_else(|| "past its range".to_owned(), ToString::to_string)
}

/// The value as it is judged, where that is not what was shown.
fn judged(reading: &CheckReading) -> String {
    let shown = shown(reading);
    match reading.value.map(|value| reading.unit.text(value)) {
        Some(value) if value != shown => format!("{shown} = {value}"),
        _ => shown,
    }
}

fn place(titles: &Titles, build: &str, place: &CheckPlace) -> String {
    let title = titles.title(build, &place.check);
    if titles.readings_of(build, &place.check) > 1 {
        format!("{title}, reading {}", place.number + 1)
    } else {
        title
    }
}

fn verdict(reading: &CheckReading, verdict: &CheckVerdict, place: &str, ink: Ink) -> String {
    let word = padded(&verdict.answer.to_string(), 9);
    let word = match verdict.answer {
        Answer::Within => ink.good(&word),
        Answer::Under | Answer::Undecided => ink.low(&word),
        Answer::Over => ink.alarm(&word),
    };
    let limits = CheckLimits {
        target: None,
        ..verdict.limits
    };
    format!(
        "{}  {word}  {place}  {}",
        padded(&judged(reading), 24),
        ink.faint(&limits.text())
    )
}

fn alarm(reading: &CheckReading, at: &str, alarm: &CheckAlarm, ink: Ink) -> String {
    ink.alarm(&format!(
        " OVER  {at}: {}, at most {}. Stop and look at the part. ",
        judged(reading),
        alarm.unit.text(alarm.upper)
    ))
}

pub(super) fn measured_line(measured: &CheckMeasured, titles: &Titles, ink: Ink) -> String {
    let build = measured.build.as_deref().unwrap_or_default();
    let reading = &measured.reading;
    let mut text = match (&measured.placement, &measured.verdict) {
        (CheckPlacement::Held { because, .. }, _) => format!(
            "{}  {}",
            padded(&judged(reading), 24),
            ink.ask(&format!("held: {because}; where does it belong?"))
        ),
        (placement, Some(decided)) => {
            let at = placement.place().map(|at| place(titles, build, at));
            verdict(reading, decided, &at.unwrap_or_default(), ink)
        }
        (_, None) => format!("{}  belongs to no check", padded(&judged(reading), 24)),
    };
    if let Some(raised) = &measured.alarm {
        text.push('\n');
        text.push_str(&alarm(
            reading,
            &place(titles, build, &raised.place),
            raised,
            ink,
        ));
    }
    text
}

pub(super) fn placed_line(placed: &CheckPlaced, titles: &Titles, ink: Ink) -> String {
    let number = placed.reading;
    let at = placed.placement.place();
    let at = at.map(|at| place(titles, &placed.build, at));
    let mut text = match (&at, &placed.placement) {
        (Some(at), CheckPlacement::ByChoice { by, .. }) => {
            format!("{by} says that entry {number} belongs to {at}")
        }
        (_, CheckPlacement::Nowhere { by, reason }) => {
            format!("{by} says that entry {number} belongs to no check ({reason})")
        }
        _ => format!("entry {number} was placed"),
    } + &super::people::how(placed.confirmed);
    let Some(reading) = titles.check_reading(number) else {
        return text;
    };
    if let (Some(at), Some(decided)) = (&at, &placed.verdict) {
        text.push('\n');
        text.push_str(&verdict(reading, decided, at, ink));
    }
    if let Some(raised) = &placed.alarm {
        let at = place(titles, &placed.build, &raised.place);
        text.push('\n');
        text.push_str(&alarm(reading, &at, raised, ink));
    }
    text
}
