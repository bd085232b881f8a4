//! The budget against a simulation of the whole measurement (JCGM 101:2008; clause numbers from memory).
//!
//! The simulation draws every input from its distribution and puts it through the full model, not its linear form. It runs
//! in blocks until its own figures are stable (7.9.4): twice the standard error of each over the blocks is at most a third
//! of δ, where δ is half a unit of the second significant digit of u (7.9.2). Then the budget has to agree:
//! - the standard uncertainty within four standard errors of the simulated one (a seed in 16 000 would fail without a cause,
//!   and the seeds are fixed);
//! - the mean within δ;
//! - the ends of the interval within four standard errors and a hundredth of U. The hundredth is for what a budget leaves
//!   out: the model is a quotient of products, so its result is a little skewed (γ about 0.03, which moves both ends up by
//!   γ/2 · u, three quarters of a hundredth of U), and drift is rectangular (excess kurtosis down to −0.05, which takes a
//!   fifth of a hundredth off the width; half a hundredth is allowed there).

use super::*;
use crate::measure::adapter::{Adapter, Geometry};
use crate::measure::drift::standard_since;
use crate::measure::interpolation::{Interpolated, Point, SHARED_REFERENCE, interpolate};
use crate::measure::statistics::{count, mean, sample_standard_deviation};
use crate::measure::testing::Random;

const BLOCK: u32 = 10_000;
/// Never reached; a simulation that does not settle has to end too.
const MOST_BLOCKS: usize = 1000;

/// A reading through an adapter, corrected by a certificate between two of its points.
struct Measurement {
    shown: f64,
    step: f64,
    repeatability: f64,
    adapter: [f64; 3],
    geometry: Geometry,
    points: [Point; 2],
    between: f64,
    drift_a_year: f64,
    age: f64,
}

impl Measurement {
    fn at(angle: f64) -> Self {
        let point = |torque, error, standard| Point {
            torque,
            error,
            standard,
        };
        Self {
            shown: 34.3,
            step: 0.1,
            repeatability: 0.15,
            adapter: [300.0, 50.0, angle],
            geometry: Geometry {
                wrench: 5.0,
                adapter: 1.0,
                angle: 2.0,
            },
            points: [point(20.0, 0.9, 0.4), point(60.0, -0.5, 0.3)],
            between: 0.1,
            drift_a_year: 1.0,
            age: 0.6,
        }
    }

    fn certificate(&self) -> Interpolated {
        interpolate(&self.points, self.shown, SHARED_REFERENCE, 0.0).unwrap()
    }

    fn built(&self) -> Adapter {
        let [wrench, offset, angle] = self.adapter;
        Adapter::new(wrench, offset, angle).unwrap()
    }

    fn best(&self) -> f64 {
        self.built().applied(self.certificate().corrected)
    }

    /// Every line as it would be made for a reading, N·m at the fastener.
    fn lines(&self) -> Vec<Line> {
        let certificate = self.certificate();
        let factor = self.built().factor();
        let percent = |percent: f64| factor * certificate.newton_metres(percent);
        let drift = standard_since(self.drift_a_year, self.age);
        let adapter = self
            .built()
            .standard_uncertainty(certificate.corrected, self.geometry);
        vec![
            Line::known(Contribution::Resolution, factor * resolution(self.step)),
            Line::known(Contribution::Repeatability, factor * self.repeatability),
            Line::known(Contribution::Certificate, percent(certificate.standard)),
            Line::known(Contribution::Interpolation, percent(self.between)),
            Line::known(Contribution::Drift, percent(drift)),
            Line::known(Contribution::Adapter, adapter),
        ]
    }

    /// One torque that may have been at the fastener.
    fn draw(&self, certificate: &Interpolated, random: &mut Random) -> f64 {
        let shown =
            self.shown + random.rectangular(0.5 * self.step) + random.normal(self.repeatability);
        let error = certificate.error
            + random.normal(certificate.standard)
            + random.normal(self.between)
            + random.rectangular(self.drift_a_year * self.age);
        let [wrench, offset, angle] = self.adapter;
        let wrench = wrench + random.normal(self.geometry.wrench);
        let offset = offset + random.normal(self.geometry.adapter);
        let angle = angle + random.normal(self.geometry.angle);
        let lever = (wrench + offset * angle.to_radians().cos()) / wrench;
        shown / (1.0 + error / 100.0) * lever
    }
}

/// Mean, standard deviation and the ends of the interval with equal tails, one figure for each block.
#[derive(Default)]
struct Simulated {
    means: Vec<f64>,
    standards: Vec<f64>,
    lows: Vec<f64>,
    highs: Vec<f64>,
}

impl Simulated {
    fn run(measurement: &Measurement, seed: u64, tolerance: f64) -> Self {
        let certificate = measurement.certificate();
        let mut random = Random(seed);
        let mut all = Self::default();
        while all.means.len() < 20 || (!all.is_stable(tolerance) && all.means.len() < MOST_BLOCKS) {
            let draws = (0..BLOCK).map(|_| measurement.draw(&certificate, &mut random));
            let mut block: Vec<f64> = draws.collect();
            block.sort_unstable_by(f64::total_cmp);
            all.means.push(mean(&block).unwrap());
            all.standards
                .push(sample_standard_deviation(&block).unwrap());
            // 2.275 % are below the 228th and above the last but 227.
            all.lows.push(block[227]);
            all.highs.push(block[9772]);
        }
        all
    }

    fn is_stable(&self, tolerance: f64) -> bool {
        [&self.means, &self.standards, &self.lows, &self.highs]
            .into_iter()
            .all(|figures| 2.0 * standard_error(figures) <= tolerance)
    }
}

fn standard_error(figures: &[f64]) -> f64 {
    sample_standard_deviation(figures).unwrap() / count(figures).sqrt()
}

/// Half a unit of the second significant digit.
fn delta(standard: f64) -> f64 {
    0.5 * 10.0_f64.powf(standard.log10().floor() - 1.0)
}

fn compare(angle: f64, seed: u64) {
    let measurement = Measurement::at(angle);
    let analytic = combine(&measurement.lines(), COVERAGE_PROBABILITY);
    let best = measurement.best();
    let delta = delta(analytic.standard);
    let simulated = Simulated::run(&measurement, seed, delta / 3.0);
    assert!(
        simulated.is_stable(delta / 3.0),
        "{angle}: it does not settle"
    );
    let of = |figures: &[f64]| mean(figures).unwrap();
    let standard = of(&simulated.standards);
    let allowed = 4.0 * standard_error(&simulated.standards);
    near(analytic.standard, standard, allowed);
    near(best, of(&simulated.means), delta);
    let allowed = |ends: &[f64]| 0.01 * analytic.expanded + 4.0 * standard_error(ends);
    let (lows, highs) = (&simulated.lows, &simulated.highs);
    near(best - analytic.expanded, of(lows), allowed(lows));
    near(best + analytic.expanded, of(highs), allowed(highs));
    // The width has no skew in it.
    let width = of(highs) - of(lows);
    let noise = standard_error(lows) + standard_error(highs);
    near(2.0 * analytic.expanded, width, 0.005 * width + 4.0 * noise);
}

#[test]
fn straight_out() {
    compare(0.0, 1);
}

#[test]
fn at_a_right_angle_only_the_angle_of_the_adapter_counts() {
    compare(90.0, 2);
}

#[test]
fn folded_back() {
    compare(135.0, 3);
}

/// The simulation can tell: a budget that forgets its adapter does not agree.
#[test]
fn a_budget_with_a_line_missing_is_found_out() {
    let measurement = Measurement::at(90.0);
    let simulated = Simulated::run(&measurement, 4, 0.01);
    let standard = mean(&simulated.standards).unwrap();
    let allowed = 4.0 * standard_error(&simulated.standards);
    for missing in 0..6 {
        let mut lines = measurement.lines();
        let is_small = lines[missing].standard < 0.2 * standard;
        lines.remove(missing);
        let found = combine(&lines, COVERAGE_PROBABILITY).standard;
        let is_off = (found - standard).abs() > allowed;
        assert!(is_off || is_small, "line {missing}: {found} and {standard}");
    }
}

/// What the Welch-Satterthwaite formula is for: where a line rests on few readings, the interval k·u holds the truth as
/// often as it says. Every run estimates the line's standard deviation anew, from ν + 1 readings.
#[test]
fn few_readings_still_cover_as_often_as_stated() {
    for (few, scatter, known) in [
        (4_u32, 1.0, 0.5),
        (4, 1.0, 1.5),
        (2, 0.5, 1.0),
        (9, 1.0, 0.2),
    ] {
        let mut random = Random(u64::from(few));
        let freedom = f64::from(few);
        let runs = 40_000_u32;
        let mut covered = 0_u32;
        for _ in 0..runs {
            let squares: f64 = (0..few).map(|_| random.normal(1.0).powi(2)).sum();
            let estimate = scatter * (squares / freedom).sqrt();
            let budget = [line(estimate, freedom), line(known, None)];
            let error = random.normal(scatter) + random.normal(known);
            covered += u32::from(error.abs() <= combine(&budget, COVERAGE_PROBABILITY).expanded);
        }
        let covered = f64::from(covered) / f64::from(runs);
        // Four standard errors of a count (0.4 %), and half a percent for the formula, which is an approximation.
        near(covered, COVERAGE_PROBABILITY, 0.004 + 0.005);
    }
}
