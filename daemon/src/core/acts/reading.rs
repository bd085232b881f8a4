//! What people say about readings: what a wrench without a cable was set to, where a reading belongs.

use super::{known_fastener, known_tool, measure, name, open_build, reason_text};
use crate::core::alarm::{Moment, alarm};
use crate::core::bench::Bench;
use crate::core::decide::{Decided, clear_up, pull};
use crate::core::judge::judge;
use crate::core::refusal::Refusal;
use pullmark_schema::build::{Build, BuildReading};
use pullmark_schema::check::SmallUnit;
use pullmark_schema::entry::{Alarm, Event, Now, Placed};
use pullmark_schema::placement::{Place, Placement};
use pullmark_schema::quantity::{Rounding, Stated, Torque};
use pullmark_schema::reading::{Displayed, Origin, Reading};

pub(super) fn enter(
    bench: &Bench,
    tool: String,
    value: &str,
    by: String,
    fastener: Option<String>,
    now: Now,
) -> Result<Vec<Decided>, Refusal> {
    known_tool(bench, &tool)?;
    let by = name(by)?;
    let stated = Stated::parse(value).map_err(|error| Refusal::BadValue(error.to_string()))?;
    if let Some(unit) = SmallUnit::of(stated.unit.kind) {
        return measure::enter(bench, tool, (stated, unit), by, fastener, now);
    }
    let applied =
        Torque::of(stated, Rounding::Up).map_err(|error| Refusal::BadValue(error.to_string()))?;
    if !applied.is_sane() || applied.small_units() <= 0 {
        return Err(Refusal::BadValue(format!(
            "{stated} is not a torque that a wrench can be set to"
        )));
    }
    let chosen = match fastener {
        None => None,
        Some(fastener) => {
            let build = bench
                .served_by(&tool)
                .ok_or_else(|| Refusal::BadValue(format!("{tool} serves no open build")))?;
            Some((due_place(build, fastener, None)?, by.clone()))
        }
    };
    let displayed = Some(Displayed {
        value: stated.value.to_string(),
        unit: stated.unit.ucum.to_owned(),
    });
    let origin = Origin::Attested { by };
    let reading = Reading {
        tool,
        origin,
        displayed,
        adapter: None,
        worth: None,
        applied: Some(applied),
        counter: None,
        flags: Vec::new(),
        trace: None,
    };
    Ok(pull(bench, reading, chosen, now).decided(None).collect())
}

/// The pass that is asked for, else the one that is due, else the last.
fn due_place(build: &Build, fastener: String, pass: Option<u8>) -> Result<Place, Refusal> {
    known_fastener(build, &fastener)?;
    let Some((stage, _)) = build.plan.fastener(&fastener) else {
        return Err(Refusal::FastenerNotKnown(fastener));
    };
    let passes = stage.passes.len();
    let last = u8::try_from(passes.saturating_sub(1)).unwrap_or(u8::MAX);
    match pass {
        Some(pass) if usize::from(pass) >= passes => Err(Refusal::PassNotKnown {
            fastener,
            pass,
            passes,
        }),
        Some(pass) => Ok(Place { fastener, pass }),
        None => Ok(Place {
            pass: build.passes_done(&fastener).min(last),
            fastener,
        }),
    }
}

pub(super) fn place(
    bench: &Bench,
    reading: u64,
    fastener: Option<String>,
    pass: Option<u8>,
    by: String,
    reason: Option<String>,
    now: Now,
) -> Result<Vec<Decided>, Refusal> {
    if let Some(build) = bench.build_of_check_reading(reading)
        && let Some(known) = build.checks.readings.get(&reading)
    {
        let to = (fastener, pass.map(u16::from));
        return measure::place(bench, build, known, to, by, reason.as_deref(), now);
    }
    let build = bench
        .build_of_reading(reading)
        .ok_or(Refusal::ReadingNotKnown(reading))?;
    open_build(bench, &build.id)?;
    let known = build
        .readings
        .get(&reading)
        .ok_or(Refusal::ReadingNotKnown(reading))?;
    judged_by_another_edition(build, known, fastener.as_deref())?;
    let by = name(by)?;
    let placement = match fastener {
        Some(fastener) => {
            // A reading that is there already does not make another pass due by itself.
            let same = known
                .placement
                .place()
                .filter(|place| place.fastener == fastener)
                .map(|place| place.pass);
            Placement::ByChoice {
                place: due_place(build, fastener, pass.or(same))?,
                by,
            }
        }
        None => Placement::Nowhere {
            by,
            reason: reason_text(reason.as_deref().unwrap_or("test pull"))?,
        },
    };
    let step = placement.place().and_then(|place| build.step(place));
    let verdict = step
        .as_ref()
        .map(|step| judge(bench, &known.reading, step, now.wall.date_naive()));
    // An alarm at another fastener is none here.
    let was_raised = |alarm: &Alarm| {
        let mut alarms = build.alarms.iter();
        alarms.any(|raised| {
            raised.reading == reading && raised.alarm.place.fastener == alarm.place.fastener
        })
    };
    let alarm = alarm(build, known.reading.applied, &placement, Moment::Later)
        .filter(|alarm| !was_raised(alarm));
    let tool = &known.reading.tool;
    let cleared = bench.cleared_by(build, tool, reading, &placement);
    let cleared = cleared
        .into_iter()
        .filter_map(|(other, placement)| clear_up(bench, build, other, placement, now));
    let placed = Placed {
        reading,
        build: build.id.clone(),
        placement,
        verdict,
        alarm,
        confirmed: None,
    };
    let all = std::iter::once(placed).chain(cleared);
    Ok(all
        .map(|placed| Event::Placed(Box::new(placed)).into())
        .collect())
}

/// A reading that went over where it was placed, or is to be placed now, under an edition of the plan that holds no longer, stays what it is until
/// somebody has decided: placed anew it would be judged by the present edition alone, which may allow more.
fn judged_by_another_edition(
    build: &Build,
    known: &BuildReading,
    to: Option<&str>,
) -> Result<(), Refusal> {
    let Some(changed) = build.plan_changed() else {
        return Ok(());
    };
    let is_there = |fastener: &str| {
        let mut ever = std::iter::once(&known.placement).chain(&known.earlier);
        ever.any(|placement| {
            placement
                .place()
                .is_some_and(|place| place.fastener == fastener)
        }) || to == Some(fastener)
    };
    let is_open = build.alarms.iter().any(|raised| {
        raised.reading == known.sequence
            && raised.sequence < changed
            && is_there(&raised.alarm.place.fastener)
            && !build.is_decided(&raised.alarm.place.fastener, raised.sequence)
    });
    if is_open {
        return Err(Refusal::OverBeforeEdition {
            reading: known.sequence,
            changed,
        });
    }
    Ok(())
}
