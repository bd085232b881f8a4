//! What is assumed about people at a bench. Each number is an assumption, none is from a source.

use pullmark_schema::plan::Limits;
use pullmark_schema::quantity::Torque;

/// How often a pull is the next of the plan.
const NEXT: f64 = 0.90;
/// How often it is a repeat click on the same fastener.
const REPEAT: f64 = 0.08;
/// How often it is another open fastener of the same stage.
const NEAR: f64 = 0.010;
/// How often it is an open fastener of another stage.
const FAR: f64 = 0.003;
/// How often it is a tight fastener, pulled once more after a look.
const AGAIN: f64 = 0.004;
/// How often it is a test pull.
const TEST: f64 = 0.003;

/// A pull that is far off: too weak by a slip, too strong by a jerk.
const GROSS_UNDER: f64 = 0.01;
const GROSS_OVER: f64 = 0.004;
/// The spread of a pull about its aim, relative.
const SPREAD: f64 = 0.03;
/// No spread is narrower than this, in N·m: a display has steps.
const LEAST_SPREAD: f64 = 0.05;
/// A value that fits nothing in particular is spread over this, in N·m.
const ANY_RANGE: f64 = 60.0;

/// Seconds to the next fastener: log-normal.
const STEP_MEDIAN: f64 = 7.0;
const STEP_SIGMA: f64 = 0.5;
/// Some of them come after a break of any length up to this, in seconds.
const BREAK: f64 = 0.05;
const LONGEST_BREAK: f64 = 3600.0;
/// Seconds to a repeat click: log-normal, and some come at once.
const REPEAT_MEDIAN: f64 = 0.9;
const REPEAT_SIGMA: f64 = 0.4;
const REPEAT_AT_ONCE: f64 = 0.1;

/// Prior times the fit of the time since the tool's last pull, for each kind of pull.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weights {
    pub(super) next: f64,
    pub(super) repeat: f64,
    pub(super) near: f64,
    pub(super) far: f64,
    pub(super) again: f64,
    pub(super) test: f64,
}

impl Weights {
    /// `seconds` since the last pull; none if there was none.
    pub(super) fn after(seconds: Option<f64>) -> Self {
        let (step, repeat) = seconds.map_or((1.0, 0.0), |s| (step_time(s), repeat_time(s)));
        Self {
            next: NEXT * step,
            repeat: REPEAT * repeat,
            near: NEAR * step,
            far: FAR * step,
            again: AGAIN * step,
            test: TEST * step,
        }
    }
}

fn step_time(seconds: f64) -> f64 {
    let after_break = if seconds <= LONGEST_BREAK {
        1.0 / LONGEST_BREAK
    } else {
        LONGEST_BREAK / (seconds * seconds)
    };
    (1.0 - BREAK) * log_normal(seconds, STEP_MEDIAN, STEP_SIGMA) + BREAK * after_break
}

fn repeat_time(seconds: f64) -> f64 {
    let at_once = if seconds <= 1.0 { 1.0 } else { 0.0 };
    (1.0 - REPEAT_AT_ONCE) * log_normal(seconds, REPEAT_MEDIAN, REPEAT_SIGMA)
        + REPEAT_AT_ONCE * at_once
}

/// How well a value fits a pull with these limits.
pub(super) fn value(torque: Option<Torque>, limits: &Limits) -> f64 {
    let aim = limits.aim().newton_metres();
    let Some(torque) = torque else {
        // past the tool's range: only a jerk explains it
        return GROSS_OVER / ANY_RANGE;
    };
    let value = torque.newton_metres();
    let spread = (aim * SPREAD).max(LEAST_SPREAD);
    // Where only a maximum is stated, anything from a third of it up is as good.
    let good = if limits.target.is_none() && limits.lower.is_none() {
        uniform(
            value,
            limits.upper.newton_metres() / 3.0,
            limits.upper.newton_metres(),
        )
    } else {
        normal(value, aim, spread)
    };
    (1.0 - GROSS_UNDER - GROSS_OVER) * good
        + GROSS_UNDER * uniform(value, 0.2 * aim, aim)
        + GROSS_OVER * uniform(value, aim, 2.5 * aim)
}

/// How well a value fits nothing in particular.
pub(super) fn any_value(torque: Option<Torque>) -> f64 {
    torque.map_or(1.0 / ANY_RANGE, |torque| {
        uniform(torque.newton_metres().abs(), 0.0, ANY_RANGE).max(1e-6)
    })
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
