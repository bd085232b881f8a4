//! Parts: put on, and replaced by a spare.

use super::{LONGEST_NAME, name, open_build, reason_text, text};
use crate::core::bench::Bench;
use crate::core::decide::Decided;
use crate::core::refusal::Refusal;
use pullmark_schema::build::Build;
use pullmark_schema::entry::{Event, PartFitted, PartSwapped};
use pullmark_schema::plan::Part;

fn planned<'b>(build: &'b Build, part: &str) -> Result<&'b Part, Refusal> {
    build.plan.part(part).ok_or_else(|| {
        let known = build.plan.parts.iter().map(|part| part.id.clone());
        Refusal::PartNotKnown {
            part: part.to_owned(),
            known: known.collect(),
        }
    })
}

fn serial_text(serial: &str) -> Result<String, Refusal> {
    text(serial, "the part's serial number", LONGEST_NAME)
}

fn kind_text(kind: Option<String>) -> Result<Option<String>, Refusal> {
    kind.filter(|kind| !kind.trim().is_empty())
        .map(|kind| text(&kind, "what the part is", LONGEST_NAME))
        .transpose()
}

pub(super) fn fit(
    bench: &Bench,
    build: String,
    part: String,
    serial: &str,
    kind: Option<String>,
    by: String,
) -> Result<Vec<Decided>, Refusal> {
    let known = open_build(bench, &build)?;
    planned(known, &part)?;
    if let Some(fitted) = known.fitted(&part) {
        return Err(Refusal::PartFitted {
            part,
            serial: fitted.serial.clone(),
        });
    }
    Ok(vec![
        Event::PartFitted(PartFitted {
            build,
            part,
            serial: serial_text(serial)?,
            kind: kind_text(kind)?,
            by: name(by)?,
        })
        .into(),
    ])
}

/// What goes in and what goes out.
#[derive(Debug)]
pub(super) struct Spare {
    pub(super) part: String,
    pub(super) serial: String,
    pub(super) out: Option<String>,
    pub(super) kind: Option<String>,
}

pub(super) fn swap(
    bench: &Bench,
    build: String,
    spare: Spare,
    by: String,
    reason: &str,
) -> Result<Vec<Decided>, Refusal> {
    let Spare {
        part,
        serial,
        out,
        kind,
    } = spare;
    let known = open_build(bench, &build)?;
    let held_by = &planned(known, &part)?.fasteners;
    let fasteners = known.plan.fasteners().map(|(_, fastener)| &fastener.id);
    let checks = known.plan.checks().map(|(_, check)| &check.id);
    let fasteners = fasteners
        .chain(checks)
        .filter(|id| held_by.contains(id))
        .cloned()
        .collect();
    let out = out.map(|out| serial_text(&out)).transpose()?;
    let fitted = known.fitted(&part).map(|fitted| fitted.serial.clone());
    let out = match (fitted, out) {
        (Some(fitted), Some(out)) if fitted != out => {
            return Err(Refusal::OtherSerial { part, fitted, out });
        }
        (Some(fitted), _) => Some(fitted),
        (None, out) => out,
    };
    let serial = serial_text(&serial)?;
    if out.as_ref() == Some(&serial) {
        return Err(Refusal::SameSerial { part, serial });
    }
    Ok(vec![
        Event::PartSwapped(Box::new(PartSwapped {
            build,
            part,
            out,
            serial,
            kind: kind_text(kind)?,
            fasteners,
            by: name(by)?,
            reason: reason_text(reason)?,
        }))
        .into(),
    ])
}
