//! Global risks (JCGM 106:2012, clause 9): what a rule lets through and turns away, given how the product varies. They need
//! a prior, which the program has not, so they are worked out here only: the zones and tails of this module are put
//! under a numeric integral and compared with published figures.

use super::*;
use crate::measure::statistics::{normal_density, normal_quantile, normal_tail};

/// Simpson's rule.
fn integral(from: f64, to: f64, density: impl Fn(f64) -> f64) -> f64 {
    const STEPS: u32 = 4000;
    let width = (to - from) / f64::from(STEPS);
    let weight = |step: u32| match step {
        0 | STEPS => 1.0,
        odd if odd % 2 == 1 => 4.0,
        _ => 2.0,
    };
    let parts = (0..=STEPS).map(|step| weight(step) * density(from + width * f64::from(step)));
    parts.sum::<f64>() * width / 3.0
}

/// A product that varies around zero, measured with `measurement`, between ± `limit`, accepted within ± `accept`.
struct Symmetric {
    process: f64,
    measurement: f64,
    limit: f64,
    accept: f64,
}

impl Symmetric {
    /// The probability of being accepted, at a true value: the instrument scatters around it.
    fn accepted(&self, truth: f64) -> f64 {
        let (accept, u) = (self.accept, self.measurement);
        probabilities(truth, u, None, Some(-accept), accept).within
    }

    fn density(&self, truth: f64) -> f64 {
        normal_density(truth / self.process) / self.process
    }

    /// Out of the limits and accepted.
    fn false_accept(&self) -> f64 {
        let far = self.accept + 12.0 * self.measurement;
        let far = far.max(self.limit + 12.0 * self.process);
        2.0 * integral(self.limit, far, |truth| {
            self.density(truth) * self.accepted(truth)
        })
    }

    /// Within the limits and turned away.
    fn false_reject(&self) -> f64 {
        integral(-self.limit, self.limit, |truth| {
            self.density(truth) * (1.0 - self.accepted(truth))
        })
    }

    fn accept_at_all(&self) -> f64 {
        let spread = self.process.hypot(self.measurement);
        1.0 - 2.0 * normal_tail(self.accept / spread)
    }
}

/// Published to two and three figures by an open uncertainty library's own tests; more figures computed.
#[test]
fn risks_of_a_normal_process() {
    let case = Symmetric {
        process: 4.0,
        measurement: 1.0,
        limit: 8.0,
        accept: 8.0,
    };
    near(case.false_accept(), 0.0079, 0.0001 + 0.000_05);
    near(case.false_accept(), 0.008_006, 0.000_000_5);
    near(case.false_reject(), 0.0148, 0.0001 + 0.000_05);
    near(case.false_reject(), 0.014_851, 0.000_000_5);
    let guarded = Symmetric {
        process: 1.0,
        measurement: 0.5,
        limit: 2.0,
        accept: 2.0 * 0.91,
    };
    near(guarded.false_accept(), 0.008, 0.0005);
    near(guarded.false_accept(), 0.008_052, 0.000_000_5);
    near(guarded.false_reject(), 0.066, 0.0005);
    near(guarded.false_reject(), 0.066_106, 0.000_000_5);
}

/// Limits ± 1, a process of which the share `p` is in tolerance, process four times as wide as the measurement. Published
/// by the same library's tests.
#[test]
fn risks_by_in_tolerance_probability() {
    for (p, unconditional, conditional) in [
        (0.6, 4.838_60, 8.260_08),
        (0.7, 3.922_34, 5.723_22),
        (0.8, 2.855_83, 3.632_27),
        (0.9, 1.599_95, 1.798_80),
        (0.95, 0.871_01, 0.923_90),
        (0.99, 0.199_92, 0.202_44),
    ] {
        let process = 1.0 / normal_quantile(0.5 * (1.0 + p));
        let case = Symmetric {
            process,
            measurement: process / 4.0,
            limit: 1.0,
            accept: 1.0,
        };
        let risk = 100.0 * case.false_accept();
        near(risk, unconditional, 0.000_01);
        near(risk / case.accept_at_all(), conditional, 0.000_02);
    }
}

/// Computed from the formula.
#[test]
fn risks_of_a_narrow_process() {
    let case = Symmetric {
        process: 0.12,
        measurement: 0.04,
        limit: 0.2,
        accept: 0.2,
    };
    let conforming = integral(-0.2, 0.2, |truth| case.density(truth));
    near(conforming, 0.904_419, 0.000_000_5);
    near(case.false_accept(), 0.018_942, 0.000_000_5);
    near(case.false_reject(), 0.037_208, 0.000_000_5);
}

/// JCGM 106:2012, 9.5.4: ball bearings whose run-out follows a gamma distribution of shape and rate 4, at most 2 µm,
/// measured with u = 0.25 µm. Published figures from an excerpt; the producer's risks computed.
#[test]
fn ball_bearings() {
    let density = |truth: f64| 4.0_f64.powi(4) / 6.0 * truth.powi(3) * (-4.0 * truth).exp();
    let accepted = |truth, limit| probabilities(truth, 0.25, None, None, limit).within;
    let consumer = |limit| integral(2.0, 12.0, |truth| density(truth) * accepted(truth, limit));
    let producer = |limit| {
        integral(0.0, 2.0, |truth| {
            density(truth) * (1.0 - accepted(truth, limit))
        })
    };
    near(integral(2.0, 12.0, density), 0.042_380, 0.000_000_5);
    near(consumer(2.0), 0.008_019, 0.000_000_5);
    near(producer(2.0), 0.017_44, 0.000_005);
    // A guard band of 0.328 17 µm brings the consumer's risk down to one in a thousand.
    let Zone::Between { upper, .. } = zone(None, 2.0, Guards::upper(0.328_17)) else {
        panic!("something is left");
    };
    near(upper, 1.671_83, 1e-9);
    near(consumer(upper), 0.001, 0.000_000_1);
    near(producer(upper), 0.0755, 0.000_05);
}
