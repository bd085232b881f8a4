//! How well a time and a value fit: probability densities. What is assumed about people at a bench stands in
//! [`super::habits`].

use super::course::Spec;
use super::habits::{
    AGAIN, ANY_RANGE, AT_ONCE, BREAK, GROSS_OVER, GROSS_UNDER, LEAST_SPREAD, LONGEST_BREAK,
    REPAIR_MEDIAN, REPAIR_SIGMA, REPEAT, REPEAT_MEDIAN, REPEAT_SIGMA, SPREAD, STEP_MEDIAN,
    STEP_SIGMA, TAIL, TAIL_WIDTH,
};
use pullmark_schema::quantity::Torque;

/// How well the time since the tool's last pull fits each kind of pull, per second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Times {
    pub(super) step: f64,
    pub(super) repeat: f64,
    pub(super) repair: f64,
}

impl Times {
    /// A second pull on the same fastener: a repeat click, or after that time rather one after a look.
    pub(super) fn again(&self) -> f64 {
        if self.repeat * REPEAT >= self.step * AGAIN {
            self.repeat
        } else {
            self.step
        }
    }

    /// `seconds` since the last pull; before a tool's first pull there is nothing to repeat.
    pub(super) fn after(seconds: Option<f64>) -> Self {
        seconds.map_or(
            Self {
                step: 1.0,
                repeat: 0.0,
                repair: 0.0,
            },
            |seconds| {
                let step = step(seconds);
                Self {
                    step,
                    repeat: repeat(seconds),
                    repair: 0.8 * log_normal(seconds, REPAIR_MEDIAN, REPAIR_SIGMA) + 0.2 * step,
                }
            },
        )
    }
}

fn step(seconds: f64) -> f64 {
    let after_break = if seconds <= LONGEST_BREAK {
        1.0 / LONGEST_BREAK
    } else {
        LONGEST_BREAK / (seconds * seconds)
    };
    (1.0 - BREAK) * log_normal(seconds, STEP_MEDIAN, STEP_SIGMA) + BREAK * after_break
}

fn repeat(seconds: f64) -> f64 {
    let at_once = if seconds <= 1.0 { 1.0 } else { 0.0 };
    (1.0 - AT_ONCE) * log_normal(seconds, REPEAT_MEDIAN, REPEAT_SIGMA) + AT_ONCE * at_once
}

/// How well a value fits a pull to a spec, per N·m: where the fastener was loose, and where it was tight before. Then
/// there is hardly a slip, and seldom a jerk. `deviation` is the tool's standard deviation, relative.
pub(super) fn value(torque: Option<Torque>, spec: &Spec, deviation: f64) -> (f64, f64) {
    const TIGHT: f64 = 0.1;
    let Some(torque) = spec.hand.tightening(torque) else {
        // past the tool's range: only a jerk explains it
        let over = GROSS_OVER / ANY_RANGE;
        return (over, TIGHT * over);
    };
    let x = torque.newton_metres();
    let limits = &spec.limits;
    let aim = spec.aim.newton_metres();
    let spread = spread(aim, deviation);
    let steady = (1.0 - TAIL) * normal(x, aim, spread) + TAIL * normal(x, aim, TAIL_WIDTH * spread);
    // Where only a maximum is stated, people aim at anything not too far below it.
    let steady = if limits.target.is_none() && limits.lower.is_none() {
        let most = limits.upper.newton_metres();
        0.5 * steady + 0.5 * uniform(x, most / 3.0, most)
    } else {
        steady
    };
    let gross = GROSS_UNDER * uniform(x, 0.15 * aim, 0.95 * aim)
        + GROSS_OVER * jerk(x, limits.upper.newton_metres());
    let often = GROSS_UNDER + GROSS_OVER;
    (
        (1.0 - often) * steady + gross,
        (1.0 - TIGHT * often) * steady + TIGHT * gross,
    )
}

fn spread(aim: f64, deviation: f64) -> f64 {
    let relative = SPREAD * SPREAD + deviation * deviation;
    (aim * aim * relative + LEAST_SPREAD * LEAST_SPREAD).sqrt()
}

/// How far a value is from what is right for a spec, in standard deviations.
pub(super) fn distance(newton_metres: f64, spec: &Spec, deviation: f64) -> f64 {
    let most = spec.limits.upper.newton_metres();
    let least = spec.limits.lower.map_or(most / 3.0, Torque::newton_metres);
    if (least..=most).contains(&newton_metres) {
        return 0.0;
    }
    let aim = spec.aim.newton_metres();
    (newton_metres - aim).abs() / spread(aim, deviation)
}

/// How well a value fits no fastener at all: pulled by hand, or against something hard.
pub(super) fn any_value(torque: Option<Torque>) -> f64 {
    torque.map_or(1.0 / ANY_RANGE, |torque| {
        let x = torque.newton_metres().abs();
        (0.5 * uniform(x, 0.0, 3.0) + 0.5 / (4.0 * x.max(1.0))).max(1e-6)
    })
}

/// Most jerks end not far above the limit.
fn jerk(x: f64, most: f64) -> f64 {
    let above = x - most;
    if above <= 0.0 {
        return 0.0;
    }
    let scale = 0.25 * most;
    0.9 * (-above / scale).exp() / scale + 0.1 * uniform(x, most, 4.0 * most)
}

fn normal(x: f64, mean: f64, sigma: f64) -> f64 {
    let z = (x - mean) / sigma;
    (-0.5 * z * z).exp() / (sigma * std::f64::consts::TAU.sqrt())
}

fn log_normal(x: f64, median: f64, sigma: f64) -> f64 {
    let x = x.max(1e-3);
    normal((x / median).ln(), 0.0, sigma) / x
}

fn uniform(x: f64, from: f64, to: f64) -> f64 {
    if x >= from && x <= to && to > from {
        1.0 / (to - from)
    } else {
        0.0
    }
}
