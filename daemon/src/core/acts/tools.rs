//! Acts on tools: certificates, adapters, checks against a reference.

use super::{known_tool, name, text};
use crate::core::bench::Bench;
use crate::core::decide::Decided;
use crate::core::refusal::Refusal;
use pullmark_schema::adapter::Adapter;
use pullmark_schema::certificate::{self, Certificate, CertificateHead, Format};
use pullmark_schema::entry::{CheckPull, Event, Now, ToolCheck};
use pullmark_schema::quantity::{MicroTorque, Rounding, Stated};

/// The longest certificate file that is kept, in bytes.
const LONGEST_FILE: usize = 8 << 20;
/// The most pulls of one check.
const MOST_PULLS: usize = 50;
/// The longest name of a reference device and its certificate.
const LONGEST_REFERENCE: usize = 200;

/// Reads a certificate file for a tool and refuses what cannot be right.
pub fn read_certificate(
    text: &str,
    format: Format,
    head: &CertificateHead,
    serial: &str,
    now: Now,
) -> Result<Certificate, Refusal> {
    if text.len() > LONGEST_FILE {
        return Err(Refusal::BadText {
            what: "the certificate's file",
            most: LONGEST_FILE,
        });
    }
    let imported = certificate::read(text, format, head, serial)?;
    imported.check(serial, now.wall.date_naive())?;
    Ok(imported.certificate)
}

pub(super) fn certify(
    bench: &Bench,
    tool: String,
    file: (Format, String),
    head: &CertificateHead,
    by: String,
    now: Now,
) -> Result<Vec<Decided>, Refusal> {
    let (format, text) = file;
    torque_wrench(bench, &tool)?;
    let known = bench
        .tools
        .get(&tool)
        .ok_or_else(|| Refusal::ToolNotKnown(tool.clone()))?;
    let certificate = read_certificate(&text, format, head, &known.serial, now)?;
    if let Some(present) = &known.certificate
        && present.date > certificate.date
    {
        return Err(Refusal::OlderCertificate {
            present: present.number.clone(),
            date: present.date,
        });
    }
    let event = Event::ToolCertified {
        tool,
        certificate: Box::new(certificate),
        by: name(by)?,
    };
    Ok(vec![Decided {
        event,
        attached: Some(text.into_bytes()),
    }])
}

pub(super) fn fit(
    bench: &Bench,
    tool: String,
    adapter: Option<Adapter>,
    by: String,
) -> Result<Vec<Decided>, Refusal> {
    let known = bench
        .tools
        .get(&tool)
        .ok_or_else(|| Refusal::ToolNotKnown(tool.clone()))?;
    torque_wrench(bench, &tool)?;
    if let Some(adapter) = &adapter {
        let fits = adapter.check(known.lever);
        fits.map_err(|error| Refusal::BadAdapter(error.to_string()))?;
    }
    let by = name(by)?;
    Ok(vec![Event::ToolFitted { tool, adapter, by }.into()])
}

/// What only a torque wrench has: an adapter, a check against a reference, a certificate of torques.
fn torque_wrench(bench: &Bench, tool: &str) -> Result<(), Refusal> {
    known_tool(bench, tool)?;
    match bench.tools.get(tool) {
        Some(known) if known.measures.is_some() => Err(Refusal::NotATorqueWrench(tool.to_owned())),
        _ => Ok(()),
    }
}

pub(super) fn begin_check(
    bench: &Bench,
    tool: String,
    by: String,
) -> Result<Vec<Decided>, Refusal> {
    torque_wrench(bench, &tool)?;
    if bench.checked_by(&tool).is_some() {
        return Err(Refusal::CheckUnderWay(tool));
    }
    let by = name(by)?;
    Ok(vec![Event::CheckBegun { tool, by }.into()])
}

pub(super) fn give_up_check(
    bench: &Bench,
    tool: String,
    by: String,
) -> Result<Vec<Decided>, Refusal> {
    known_tool(bench, &tool)?;
    if bench.checked_by(&tool).is_none() {
        return Err(Refusal::NoCheck(tool));
    }
    let by = name(by)?;
    Ok(vec![Event::CheckGivenUp { tool, by }.into()])
}

pub(super) fn check(
    bench: &Bench,
    tool: String,
    against: &str,
    indicated: &[String],
    reference: &[String],
    by: String,
) -> Result<Vec<Decided>, Refusal> {
    torque_wrench(bench, &tool)?;
    let shown = shown_at_check(bench, &tool, indicated)?;
    if reference.is_empty() || reference.len() > MOST_PULLS || shown.len() != reference.len() {
        return Err(Refusal::PullsDoNotMatch {
            tool,
            shown: shown.len(),
            reference: reference.len(),
            most: MOST_PULLS,
        });
    }
    let pulls = shown
        .into_iter()
        .zip(reference)
        .map(|((reading, indicated), reference)| {
            Ok(CheckPull {
                reading,
                indicated,
                reference: torque(reference)?,
            })
        })
        .collect::<Result<Vec<_>, Refusal>>()?;
    let check = ToolCheck {
        tool,
        against: text(against, "the reference", LONGEST_REFERENCE)?,
        pulls,
        by: name(by)?,
    };
    Ok(vec![Event::ToolChecked(Box::new(check)).into()])
}

/// What the tool showed at each pull: as a person says, else as it came from the tool since the check was begun.
fn shown_at_check(
    bench: &Bench,
    tool: &str,
    indicated: &[String],
) -> Result<Vec<(Option<u64>, MicroTorque)>, Refusal> {
    if !indicated.is_empty() {
        let read = indicated.iter().map(|text| Ok((None, torque(text)?)));
        return read.collect();
    }
    let checking = bench
        .tool_states
        .get(tool)
        .and_then(|state| state.checking.as_ref());
    let checking = checking.ok_or_else(|| Refusal::NoCheck(tool.to_owned()))?;
    Ok(checking
        .readings
        .iter()
        .map(|&(sequence, shown)| (Some(sequence), shown))
        .collect())
}

fn torque(text: &str) -> Result<MicroTorque, Refusal> {
    let stated = Stated::parse(text).map_err(|error| Refusal::BadValue(error.to_string()))?;
    let torque = MicroTorque::of(stated, Rounding::Nearest)
        .map_err(|error| Refusal::BadValue(error.to_string()))?;
    if torque.small_units() > 0 && torque.newton_metres() <= 2_000.0 {
        Ok(torque)
    } else {
        Err(Refusal::BadValue(format!(
            "{stated} is not a torque that a wrench is checked at"
        )))
    }
}
