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
use crate::gauge::{self, AtDrive, Basis, Fitted, Gauge, Shown, Worth, outside, to_ppm};
use crate::measure::budget::{Contribution, Line, rectangular};
use crate::measure::drift::between_calibrations;
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
    /// Where the tool streams, what met the lower limit, as shown at the drive; none where that is the peak.
    pub reached: Option<Torque>,
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
        let (now, worth) = self.weigh(was, was.shown);
        let tightening = was.hand.tightening(Some(now));
        let reached = was
            .reached
            .map(|reached| was.hand.tightening(Some(self.weigh(was, reached).0)));
        let guard = Some(worth.guard());
        let decided = |torque| decide(torque, &was.limits, was.rule, guard);
        // The peak meets the upper limit, what was reached the lower one: as when it was judged first.
        let answer_now = match (decided(tightening), reached.map(decided)) {
            (by_peak, Some(other)) if by_peak != Answer::Over && other != Answer::Within => other,
            (by_peak, _) => by_peak,
        };
        let mut outside = outside(tightening.unwrap_or(now), &worth, &was.limits);
        if let Some(reached) = reached.flatten() {
            outside.under_millionths =
                gauge::outside(reached, &worth, &was.limits).under_millionths;
        }
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
            outside,
        };
        let finding = finding(was, &again, tightening);
        (again, finding)
    }

    fn weigh(&self, was: &Judged, shown: Torque) -> (Torque, Worth) {
        let at = self.at_the_drive(shown.magnitude().newton_metres(), was.day);
        let shown = Shown {
            torque: shown,
            step: None,
        };
        self.gauge.weigh_as(shown, was.fitted.as_ref(), at)
    }

    fn at_the_drive(&self, x: f64, day: NaiveDate) -> AtDrive {
        let found = self.found.at(x).unwrap_or(NOTHING);
        let part = self.part(day);
        let good = self.good.as_ref().and_then(|(curve, _)| curve.at(x));
        let class = rectangular(self.gauge.class_percent() / 100.0);
        // What no calibration says: within the class, uncorrected.
        let (e0, u0) = good.map_or((0.0, class), |at| (at.deviation, beyond(&at, class)));
        let (e1, u1) = (found.deviation, beyond(&found, class));
        let deviation = between_calibrations(e0, e1, part).unwrap_or(e1);
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::certificate::read_toml;
    use crate::tool::Tool;

    fn certificate(number: &str, date: &str, percent: f64) -> Certificate {
        let point = |torque: f64| {
            let reference = torque / (1.0 + percent / 100.0);
            format!(
                "[[point]]\nindicated = \"{torque} N·m\"\nreference = \"{reference:.6} N·m\"\nexpanded = \"1 %\"\nk = 2\n"
            )
        };
        let text = format!(
            "number = \"{number}\"\nlaboratory = \"Tarn Metrology\"\ndate = {date}\ndue = 2030-01-01\n{}{}",
            point(2.0),
            point(20.0)
        );
        read_toml(&text).unwrap().certificate
    }

    fn model(drift: DriftModel) -> Model {
        let good = certificate("TM-1", "2025-01-01", 1.2);
        let found = certificate("TM-2", "2026-01-01", 2.9);
        let tool = Tool {
            resolution: Some(Torque::from_small_units(10)),
            certificate: Some(good.clone()),
            ..Tool::default()
        };
        Model::new(Gauge::new(&tool, &[], &[]), Some(&good), &found, drift).unwrap()
    }

    fn was(day: &str, shown: i64, applied: i64) -> Judged {
        Judged {
            reading: 7,
            day: day.parse().unwrap(),
            build: "b".into(),
            place: Place {
                fastener: "a".into(),
                pass: 0,
            },
            is_last_pass: true,
            shown: Torque::from_small_units(shown),
            reached: None,
            fitted: None,
            applied: Torque::from_small_units(applied),
            expanded: Some(Torque::from_small_units(60)),
            hand: Hand::Right,
            limits: Limits {
                lower: Some(Torque::from_small_units(4_500)),
                target: None,
                upper: Torque::from_small_units(5_500),
            },
            rule: Rule::Simple,
            answer: Answer::Within,
            joint: None,
            counts: true,
        }
    }

    /// +1.2 % to +2.9 % in a year: after five months, 151 of 365 days, 1.903 %; at 5/12 of the way 1.908 % (computed from
    /// the straight line).
    #[test]
    fn a_linear_drift_is_taken_at_its_day() {
        let linear = model(DriftModel::Linear);
        let at = |day: &str| {
            linear
                .at_the_drive(10.0, day.parse().unwrap())
                .deviation_ppm
        };
        assert_eq!(at("2025-01-01"), 12_000);
        assert_eq!(at("2025-06-01"), 19_033);
        assert!((at("2025-06-02") - 19_083).abs() <= 25, "5/12 of the way");
        assert_eq!(at("2026-01-01"), 29_000);
        assert_eq!(
            at("2024-06-01"),
            12_000,
            "before it nothing is reckoned back"
        );
        let at_once = model(DriftModel::AtOnce);
        let first = at_once.at_the_drive(10.0, "2025-01-02".parse().unwrap());
        assert_eq!(first.deviation_ppm, 29_000);
    }

    /// Half-way the way itself is least known: half of what the two calibrations differ by, spread evenly.
    #[test]
    fn the_way_between_two_calibrations_is_a_line_of_the_budget() {
        let at = model(DriftModel::Linear).at_the_drive(10.0, "2025-07-02".parse().unwrap());
        let way = at
            .lines
            .iter()
            .find(|line| line.name == Contribution::Drift)
            .unwrap();
        let expected = 0.5 * 0.017 / 3.0_f64.sqrt() * 10.0 / 1.0205;
        assert!((way.standard - expected).abs() < 1e-3, "{}", way.standard);
    }

    #[test]
    fn what_is_listed_is_out_or_no_longer_surely_within() {
        let linear = model(DriftModel::Linear);
        let judge = |shown, applied| linear.judge(&was("2026-01-01", shown, applied)).1;
        // a wrench that shows 2.9 % too much: 4.60 N·m shown were 4.55 N·m as judged, and are 4.47 N·m now
        assert_eq!(judge(4_600, 4_546), Some(Finding::Out));
        assert_eq!(judge(4_660, 4_605), Some(Finding::Doubtful));
        assert_eq!(judge(5_000, 4_941), None);
        // it only came nearer to the middle
        assert_eq!(judge(5_560, 5_495), None);
        let mut early = was("2026-01-01", 4_600, 4_546);
        early.is_last_pass = false;
        assert_eq!(
            linear.judge(&early).1,
            None,
            "an early pass that is under harms nothing"
        );
    }

    #[test]
    fn the_click_of_a_streamed_pull_meets_the_lower_limit_again() {
        let linear = model(DriftModel::Linear);
        let mut streamed = was("2026-01-01", 5_000, 4_941);
        streamed.reached = Some(Torque::from_small_units(4_600));
        let (again, finding) = linear.judge(&streamed);
        // it gave way at 4.60 N·m shown, 4.47 N·m as judged now: under, although the peak is within
        assert_eq!(
            (again.answer_now, finding),
            (Answer::Under, Some(Finding::Out))
        );
        streamed.reached = Some(Torque::from_small_units(4_990));
        assert_eq!(linear.judge(&streamed).1, None);
        streamed.shown = Torque::from_small_units(5_800);
        assert_eq!(
            linear.judge(&streamed).0.answer_now,
            Answer::Over,
            "the peak meets the upper limit whatever the click was"
        );
    }

    #[test]
    fn over_on_carbon_comes_first_and_what_was_undone_last() {
        let over = |joint, counts| {
            let mut reading = was("2026-01-01", 5_800, 5_400);
            (reading.joint, reading.counts) = (joint, counts);
            risk(&model(DriftModel::Linear).judge(&reading).0)
        };
        let carbon = over(Some(JointFile::Carbon), true);
        let metal = over(Some(JointFile::Metal), true);
        assert!(carbon == 2 * metal && metal > 0);
        assert_eq!(over(Some(JointFile::Carbon), false), 0);
    }
}
