//! Judging readings again, after a new calibration found that a tool had changed.
//!
//! Between the last good calibration and the one that found the change nobody knows the tool's deviation. What it is taken
//! to have been is stated: growing evenly with time ([`DriftModel::Linear`]), or all of it from the first day on
//! ([`DriftModel::AtOnce`]). Under the first the way from one to the other is uncertain as well: half-width
//! min(τ, 1 − τ)·|e1 − e0|, the most that a step at any moment would differ from the straight line while τ of the time had
//! gone, taken as rectangular (JCGM 100:2008, 4.3.7).
//!
//! The duty behind it: ISO 9001:2015, 7.1.5.2 and ISO/IEC 17025:2017, 7.10 (numbers from memory): find out whether earlier
//! results are affected. Nothing stored is changed by it.

use crate::certificate::{AtValue, Certificate, Curve, Reach};
use crate::entry::{AffectedReading, DriftModel};
use crate::gauge::{AtDrive, Basis, Fitted, Gauge, Shown, outside, to_ppm};
use crate::measure::budget::{Contribution, Line, rectangular};
use crate::placement::Place;
use crate::plan::{Hand, JointFile, Limits};
use crate::quantity::Torque;
use crate::verdict::{Answer, Rule, decide};
use chrono::NaiveDate;

/// A reading as it was judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The sequence number of its entry.
    pub reading: u64,
    /// The day it came.
    pub day: NaiveDate,
    /// Which build.
    pub build: String,
    /// Where it was placed.
    pub place: Place,
    /// Whether its pass is the last one of its stage.
    pub is_last_pass: bool,
    /// The torque at the tool's drive, as shown.
    pub shown: Torque,
    /// The adapter that was fitted.
    pub fitted: Option<Fitted>,
    /// The torque at the fastener, as it was judged.
    pub applied: Torque,
    /// Its expanded uncertainty then.
    pub expanded: Option<Torque>,
    /// Which way the thread turns.
    pub hand: Hand,
    /// The limits of its pass.
    pub limits: Limits,
    /// The rule.
    pub rule: Rule,
    /// The answer then.
    pub answer: Answer,
    /// What the joint is made of.
    pub joint: Option<JointFile>,
    /// Whether it still counts.
    pub counts: bool,
}

/// What a recall says about a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finding {
    /// Out of its limits now.
    Out,
    /// No longer surely within.
    Doubtful,
}

/// How a tool is taken to have been between two calibrations.
#[derive(Debug, Clone)]
pub struct Model {
    gauge: Gauge,
    good: Option<(Curve, NaiveDate)>,
    found: Curve,
    found_on: NaiveDate,
    number: String,
    drift: DriftModel,
}

impl Model {
    /// From the tool's gauge, its last good certificate and the one that found the change; nothing if the last has no points.
    pub fn new(
        gauge: Gauge,
        good: Option<&Certificate>,
        found: &Certificate,
        drift: DriftModel,
    ) -> Option<Self> {
        Some(Self {
            gauge,
            good: good.and_then(|good| Some((Curve::new(good)?, good.date))),
            found: Curve::new(found)?,
            found_on: found.date,
            number: found.number.clone(),
            drift,
        })
    }

    /// Judges a reading again: what it would be now, and the finding if there is one.
    pub fn judge(&self, was: &Judged) -> (AffectedReading, Option<Finding>) {
        let shown = Shown {
            torque: was.shown,
            step: None,
        };
        let at = self.at_the_drive(was.shown.magnitude().newton_metres(), was.day);
        let (now, worth) = self.gauge.weigh_as(shown, was.fitted.as_ref(), at);
        let tightening = was.hand.tightening(Some(now));
        let guard = Some(worth.guard());
        let answer_now = decide(tightening, &was.limits, was.rule, guard);
        let again = AffectedReading {
            reading: was.reading,
            place: was.place.clone(),
            title: String::new(),
            joint: was.joint,
            counts: was.counts,
            before: was.applied,
            answer_before: was.answer,
            now,
            expanded: worth.guard(),
            limits: was.limits,
            answer_now,
            outside: outside(tightening.unwrap_or(now), &worth, &was.limits),
        };
        let finding = finding(was, &again, tightening);
        (again, finding)
    }

    fn at_the_drive(&self, x: f64, day: NaiveDate) -> AtDrive {
        let found = self.found.at(x).unwrap_or(NOTHING);
        let part = self.part(day);
        let good = self.good.as_ref().and_then(|(curve, _)| curve.at(x));
        let class = rectangular(self.gauge.class_percent() / 100.0);
        // What no calibration says: within the class, uncorrected.
        let (e0, u0) = good.map_or((0.0, class), |at| (at.deviation, beyond(&at, class)));
        let (e1, u1) = (found.deviation, beyond(&found, class));
        let deviation = (1.0 - part).mul_add(e0, part * e1);
        let way = match self.drift {
            DriftModel::Linear => rectangular(part.min(1.0 - part) * (e1 - e0).abs()),
            DriftModel::AtOnce => 0.0,
        };
        let bend = good.map_or(0.0, |at| at.interpolation);
        let bend = (1.0 - part).mul_add(bend, part * found.interpolation);
        let torque = x / (1.0 + deviation);
        let line = |name, relative: f64, freedom| Line {
            name,
            standard: relative * torque,
            freedom,
        };
        AtDrive {
            basis: Basis::Certificate {
                number: self.number.clone(),
            },
            deviation_ppm: to_ppm(deviation),
            lines: vec![
                line(
                    Contribution::Certificate,
                    (1.0 - part).mul_add(u0, part * u1),
                    found.degrees_of_freedom.map(f64::from),
                ),
                line(Contribution::Interpolation, bend, None),
                line(Contribution::Drift, way, None),
            ],
        }
    }

    /// How much of the way from the last good calibration to the found one was gone on a day: 0 to 1.
    #[expect(clippy::cast_precision_loss, reason = "days of a tool's life")]
    fn part(&self, day: NaiveDate) -> f64 {
        let (DriftModel::Linear, Some((_, from))) = (self.drift, &self.good) else {
            return 1.0;
        };
        let whole = self.found_on.signed_duration_since(*from).num_days();
        let gone = day.signed_duration_since(*from).num_days();
        if whole <= 0 {
            return 1.0;
        }
        (gone as f64 / whole as f64).clamp(0.0, 1.0)
    }
}

const NOTHING: AtValue = AtValue {
    deviation: 0.0,
    standard_uncertainty: 0.0,
    interpolation: 0.0,
    degrees_of_freedom: None,
    coverage_factor: 2.0,
    reach: Reach::Below,
};

/// Outside its points a certificate's figures are those of the nearest end, and the class limit stands beside them.
fn beyond(at: &AtValue, class: f64) -> f64 {
    if at.reach == Reach::Inside {
        at.standard_uncertainty
    } else {
        at.standard_uncertainty.hypot(class)
    }
}

fn finding(was: &Judged, again: &AffectedReading, now: Option<Torque>) -> Option<Finding> {
    match again.answer_now {
        Answer::Over => return Some(Finding::Out),
        Answer::Under => return was.is_last_pass.then_some(Finding::Out),
        _ if !was.is_last_pass => return None,
        _ => {}
    }
    let surely =
        |torque, expanded| decide(torque, &was.limits, Rule::Guarded, expanded) == Answer::Within;
    let before = was.hand.tightening(Some(was.applied));
    let is_sure = surely(now, Some(again.expanded));
    let was_sure = surely(before, was.expanded);
    let came_nearer = nearness(now, &was.limits) > nearness(before, &was.limits);
    (!is_sure && (was_sure || came_nearer)).then_some(Finding::Doubtful)
}

/// How near a torque is to the nearer limit: greater is nearer.
fn nearness(torque: Option<Torque>, limits: &Limits) -> i64 {
    let Some(torque) = torque.map(Torque::small_units) else {
        return i64::MAX;
    };
    let to_upper = limits.upper.small_units().saturating_sub(torque);
    let to_lower = limits
        .lower
        .map_or(i64::MAX, |lower| torque.saturating_sub(lower.small_units()));
    to_upper.min(to_lower).saturating_neg()
}

/// The risk of a reading, for putting the worst first: how likely it is outside, and how bad that is. Over on a joint that
/// too much may have harmed counts four times, over elsewhere twice, under once; what was undone since counts no more. The
/// weights are an assumption, no source.
pub fn risk(reading: &AffectedReading) -> u64 {
    if !reading.counts {
        return 0;
    }
    let is_carbon = reading.joint == Some(JointFile::Carbon);
    let over = if is_carbon { 4 } else { 2 };
    let outside = reading.outside;
    u64::from(outside.over_millionths) * over + u64::from(outside.under_millionths)
}
