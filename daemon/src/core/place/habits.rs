//! What is assumed about people at a bench. Each number is an assumption: common practice, no source.

use pullmark_schema::reading::Reading;

/// What a shop sets itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habits {
    /// A reading is placed by itself from this probability on.
    pub clear: f64,
    /// The same between the next one of several equal fasteners and a repeat click on the last one.
    pub alike: f64,
    /// Before a build is finished, one more pull is asked for where a fastener that is shown done may have been missed
    /// with more than this probability.
    pub doubt: f64,
}

impl Default for Habits {
    fn default() -> Self {
        Self {
            clear: 0.97,
            alike: 0.6,
            doubt: 0.001,
        }
    }
}

/// How often a pull is the next of the plan, as seen from the last one.
pub(super) const NEXT: f64 = 0.88;
/// How often it is a repeat click on the same fastener.
pub(super) const REPEAT: f64 = 0.08;
/// Where something was left open in the same stage and pass: how often the mechanic comes back to it at once.
pub(super) const BACK_NEAR: f64 = 0.85;
/// Where something was left open further back: how often the mechanic comes back to it now.
pub(super) const BACK_FAR: f64 = 0.08;
/// How often the fastener after the next one is pulled first.
pub(super) const SWAPPED: f64 = 0.02;
/// How often it is another open one of the same stage and pass.
pub(super) const NEAR: f64 = 0.005;
/// How often the following stage is begun and this one left for later.
pub(super) const FOLLOWING_STAGE: f64 = 0.003;
/// How often the last one of a stage is left out, and how often several are.
pub(super) const LAST_LEFT_OUT: f64 = 0.002;
pub(super) const SOME_LEFT_OUT: f64 = 0.0001;
/// How often any other stage is begun.
pub(super) const OTHER_STAGE: f64 = 0.002;
/// How often it is any other open fastener.
pub(super) const FAR: f64 = 0.0005;
/// How often a stage is begun with a later pass.
pub(super) const PASS_FORGOTTEN: f64 = 0.01;
/// How often a later pass is begun while an earlier one is not done.
pub(super) const PASS_LEFT: f64 = 0.001;
/// How often it is a tight fastener, pulled once more after a look.
pub(super) const AGAIN: f64 = 0.005;
/// How often it is a test pull.
pub(super) const TEST: f64 = 0.003;
/// How often it is on another bike that is open at the bench.
pub(super) const OTHER_BUILD: f64 = 0.0005;
/// How often a pull that came out under is repaired, or one that was undone is made anew, before anything else.
pub(super) const REPAIRED: f64 = 0.93;
/// How often a pull in a slot of equal fasteners is another one than the order says.
pub(super) const OTHER_OF_SLOT: f64 = 0.03;
/// What was pointed at is pulled next this often.
pub(super) const POINTED: f64 = 0.95;

/// A pull that is far off: too weak by a slip, too strong by a jerk.
pub(super) const GROSS_UNDER: f64 = 0.01;
pub(super) const GROSS_OVER: f64 = 0.003;
/// The spread of a pull about its aim, relative.
pub(super) const SPREAD: f64 = 0.03;
/// Some pulls spread more widely.
pub(super) const TAIL: f64 = 0.02;
pub(super) const TAIL_WIDTH: f64 = 2.0;
/// No spread is narrower than this, in N·m: a display has steps.
pub(super) const LEAST_SPREAD: f64 = 0.03;
/// A tool past its range may have shown anything up to this, in N·m.
pub(super) const ANY_RANGE: f64 = 60.0;

/// Seconds to the next fastener: log-normal.
pub(super) const STEP_MEDIAN: f64 = 7.0;
pub(super) const STEP_SIGMA: f64 = 0.5;
/// Some of them come after a break of any length up to this, in seconds.
pub(super) const BREAK: f64 = 0.05;
pub(super) const LONGEST_BREAK: f64 = 3600.0;
/// Seconds to a repeat click: log-normal, and some come at once.
pub(super) const REPEAT_MEDIAN: f64 = 0.9;
pub(super) const REPEAT_SIGMA: f64 = 0.38;
pub(super) const AT_ONCE: f64 = 0.02;
/// Seconds until a pull that came out under is repaired: log-normal.
pub(super) const REPAIR_MEDIAN: f64 = 2.0;
pub(super) const REPAIR_SIGMA: f64 = 0.6;
/// Nobody has the wrench on another fastener within this time, in seconds.
pub const HANDS_MOVE: f64 = 1.5;

/// The standard deviation of a tool, relative, where nothing is known about a reading: a class of ±4 % after ISO 6789-1,
/// spread evenly.
pub(super) const TOOL_CLASS: f64 = 0.023;

/// The standard deviation that a reading's budget gives its tool, relative; in bounds, so that neither a certificate that
/// promises too much nor a value near nothing decides alone where a reading belongs.
pub fn deviation(reading: &Reading) -> f64 {
    let worth = reading.worth.as_ref().zip(reading.applied);
    worth.map_or(TOOL_CLASS, |(worth, applied)| {
        let size = applied.magnitude().newton_metres().max(0.001);
        (worth.standard.newton_metres() / size).clamp(0.003, 0.05)
    })
}

/// How often a display was left in another unit, before anything is seen.
pub(super) const OTHER_UNIT: f64 = 0.001;
