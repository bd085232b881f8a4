//! Judging a reading at a place: the answer, and what a person should know beside it.
//!
//! The decision rule is `simple` and no uncertainty budget is made yet; both have their place in [`Verdict`].

use chrono::NaiveDate;
use pullmark_schema::plan::Step;
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::{Flag, Origin, Reading};
use pullmark_schema::tool::Tool;
use pullmark_schema::trace;
use pullmark_schema::verdict::{Caution, Rule, Verdict};

/// Judges a reading at a planned pull.
pub fn judge(reading: &Reading, tool: Option<&Tool>, step: &Step<'_>, today: NaiveDate) -> Verdict {
    let limits = step.fastener.spec.limits.of_pass(step.percent);
    Verdict {
        answer: trace::answer(reading, step.fastener.hand, &limits, Rule::Simple),
        limits,
        rule: Rule::Simple,
        expanded_uncertainty: None,
        cautions: cautions(reading, tool, limits.lower.is_none(), today),
    }
}

fn cautions(
    reading: &Reading,
    tool: Option<&Tool>,
    no_lower_limit: bool,
    today: NaiveDate,
) -> Vec<Caution> {
    let certificate = tool.and_then(|tool| tool.certificate.as_ref());
    let size = reading.applied.map(Torque::magnitude);
    let lowest = tool.and_then(|tool| tool.lowest);
    let highest = tool.and_then(|tool| tool.highest);
    let all = [
        (certificate.is_none(), Caution::NoCertificate),
        (
            certificate.is_some_and(|certificate| certificate.due < today),
            Caution::CertificatePast,
        ),
        (
            size.zip(lowest).is_some_and(|(size, lowest)| size < lowest),
            Caution::BelowToolRange,
        ),
        (
            size.zip(highest)
                .is_some_and(|(size, highest)| size > highest),
            Caution::AboveToolRange,
        ),
        (reading.is_over_range(), Caution::PastToolRange),
        (
            reading.flags.contains(&Flag::BatteryLow),
            Caution::BatteryLow,
        ),
        (no_lower_limit, Caution::NoLowerLimit),
        (
            matches!(reading.origin, Origin::Attested { .. }),
            Caution::Attested,
        ),
    ];
    all.into_iter()
        .filter_map(|(holds, caution)| holds.then_some(caution))
        .collect()
}
