//! Judging a reading at a place: the answer after the plan's decision rule, how likely the truth lies outside, and what
//! a person should know beside it.

use super::bench::Bench;
use chrono::NaiveDate;
use pullmark_schema::api::CheckState;
use pullmark_schema::gauge::{Basis, ClassBecause, Shown, Worth, outside};
use pullmark_schema::plan::Step;
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::{Displayed, Flag, Origin, Reading};
use pullmark_schema::tool::Tool;
use pullmark_schema::trace;
use pullmark_schema::verdict::{Caution, Verdict, is_fit};

/// Weighs a reading before it is placed: from what was shown to the torque at the fastener and its uncertainty.
pub fn weigh(bench: &Bench, mut reading: Reading, day: NaiveDate) -> Reading {
    let (Some(shown), Some(gauge)) = (reading.applied, bench.gauges.get(&reading.tool)) else {
        return reading;
    };
    let step = match reading.origin {
        Origin::Measured { .. } => reading.displayed.as_ref().and_then(Displayed::step),
        // "5 N·m" says nothing about the marks of the scale it was set on.
        Origin::Attested { .. } => None,
    };
    reading.adapter = bench.fitted(&reading.tool);
    let shown = Shown {
        torque: shown,
        step,
    };
    let (applied, worth) = gauge.weigh(shown, reading.adapter.as_ref(), day);
    reading.applied = Some(applied);
    reading.worth = Some(worth);
    reading
}

/// The torque at the fastener for a torque at a tool's drive, corrected and with the adapter that is fitted.
pub fn at_fastener(bench: &Bench, tool: &str, torque: Torque) -> Torque {
    let gauge = bench.gauges.get(tool);
    gauge.map_or(torque, |gauge| {
        gauge.at_fastener(torque, bench.fitted(tool).as_ref())
    })
}

/// Judges a weighed reading at a planned pull.
pub fn judge(bench: &Bench, reading: &Reading, step: &Step<'_>, today: NaiveDate) -> Verdict {
    let limits = step.fastener.spec.limits.of_pass(step.percent).limits;
    let rule = step.fastener.rule;
    let applied = step.fastener.hand.tightening(reading.applied);
    let expanded = reading.worth.as_ref().map(Worth::guard);
    let mut cautions = cautions(bench, reading, today);
    let more = [
        (limits.lower.is_none(), Caution::NoLowerLimit),
        (
            expanded.is_some() && !is_fit(&limits, rule, expanded),
            Caution::ToolNotFit,
        ),
        (
            !super::view::is_as_planned(reading.adapter.as_ref(), step.fastener.adapter.as_ref()),
            Caution::OtherAdapter,
        ),
    ];
    cautions.extend(holding(&more));
    Verdict {
        answer: trace::answer(reading, step.fastener.hand, &limits, rule),
        limits,
        rule,
        expanded_uncertainty: expanded,
        outside: applied
            .zip(reading.worth.as_ref())
            .map(|(applied, worth)| outside(applied, worth, &limits)),
        cautions,
    }
}

fn holding(list: &[(bool, Caution)]) -> impl Iterator<Item = Caution> {
    list.iter()
        .filter_map(|(holds, caution)| holds.then_some(*caution))
}

fn cautions(bench: &Bench, reading: &Reading, today: NaiveDate) -> Vec<Caution> {
    let tool = bench.tools.get(&reading.tool);
    let certificate = tool.and_then(|tool| tool.certificate.as_ref());
    let because = match reading.worth.as_ref().map(|worth| &worth.basis) {
        Some(Basis::Class { because }) => Some(*because),
        _ => None,
    };
    let check = bench.check_state(&reading.tool);
    let fitted = reading.adapter.as_ref();
    let size = shown_size(reading, tool);
    let lowest = tool.and_then(|tool| tool.lowest);
    let highest = tool.and_then(|tool| tool.highest);
    let all = [
        (certificate.is_none(), Caution::NoCertificate),
        (
            certificate.is_some_and(|certificate| certificate.is_past(today)),
            Caution::CertificatePast,
        ),
        (because == Some(ClassBecause::NoPoints), Caution::NoPoints),
        (
            because == Some(ClassBecause::OutsidePoints),
            Caution::OutsideCertificate,
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
        (
            reading.flags.contains(&Flag::FirstPeak),
            Caution::FirstPeakOnly,
        ),
        (
            fitted.is_some_and(|fitted| fitted.geometry().is_some()),
            Caution::WithAdapter,
        ),
        (
            fitted.is_some_and(pullmark_schema::gauge::Fitted::is_unknown),
            Caution::LeverNotKnown,
        ),
        (check == CheckState::Warns, Caution::CheckWarns),
        (check == CheckState::Beyond, Caution::CheckBeyond),
        (
            matches!(reading.origin, Origin::Attested { .. }),
            Caution::Attested,
        ),
    ];
    holding(&all).collect()
}

/// The torque at the tool's drive: that is what its range speaks of.
fn shown_size(reading: &Reading, tool: Option<&Tool>) -> Option<Torque> {
    tool?;
    reading.shown().map(Torque::magnitude)
}
