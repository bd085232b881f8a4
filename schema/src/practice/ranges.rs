//! Which torques are common at which kind of fastener. Common practice, no source; public tables of the trade
//! contradict each other by a factor near two, and where they do the wider range stands here.

use crate::quantity::Torque;

/// How far outside a range a torque has to be before anybody is told: above twice its end, below half its beginning.
/// A slipped point is a factor of ten, a mistaken unit between N·m and lbf·in one of nine.
const FAR: i64 = 2;

/// Which torques are common at a kind of fastener.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CommonRange {
    /// The kind of fastener, as in a plan.
    pub kind: &'static str,
    /// For people, as part of a sentence.
    pub title: &'static str,
    /// The least that is common.
    pub low: Torque,
    /// The most that is common.
    pub high: Torque,
}

const fn range(
    kind: &'static str,
    title: &'static str,
    low_decinewton_metre: i64,
    high_decinewton_metre: i64,
) -> CommonRange {
    CommonRange {
        kind,
        title,
        low: Torque::from_small_units(low_decinewton_metre * 100),
        high: Torque::from_small_units(high_decinewton_metre * 100),
    }
}

/// Every kind that is known, with its range in dN·m.
pub const RANGES: [CommonRange; 28] = [
    range("seat-clamp", "a seat clamp bolt", 40, 80),
    range("saddle-clamp-pair", "a pair of saddle clamp bolts", 50, 120),
    range("saddle-clamp", "a single saddle clamp bolt", 120, 250),
    range("stem-faceplate", "a stem faceplate bolt", 40, 60),
    range("stem-steerer", "a steerer clamp bolt of a stem", 40, 80),
    range("lever-clamp", "a lever clamp bolt", 40, 80),
    range("crank-pinch", "a crank pinch bolt", 120, 150),
    range("crank-bolt", "a single crank bolt", 380, 540),
    range("rotor-bolt", "one of six rotor bolts", 40, 62),
    range("rotor-lockring", "a rotor lockring", 400, 400),
    range("calliper-mount", "a disc calliper bolt", 60, 124),
    range("calliper-adapter", "a disc calliper adapter bolt", 68, 73),
    range("bottle-cage", "a bottle cage bolt", 20, 40),
    range("bottom-bracket-cup", "a bottom bracket cup", 339, 500),
    range("pedal", "a pedal", 350, 550),
    range("cassette-lockring", "a cassette lockring", 300, 500),
    range("chainring-bolt-steel", "a steel chainring bolt", 120, 140),
    range("chainring-bolt-alloy", "an alloy chainring bolt", 80, 90),
    range("rear-mech-mount", "a rear mech mounting bolt", 80, 100),
    range("mech-hanger-screw", "a small mech hanger screw", 10, 50),
    range("mech-hanger-bolt", "a mech hanger bolt", 80, 120),
    range("front-mech-clamp", "a front mech clamp bolt", 30, 40),
    range("front-mech-braze-on", "a front mech braze-on bolt", 50, 70),
    range("cable-clamp", "a cable clamp bolt", 50, 80),
    range("rim-brake-arm", "a rim brake arm bolt", 80, 96),
    range("rim-brake-pad", "a rim brake pad bolt", 45, 90),
    range("thru-axle", "a thru axle", 100, 150),
    // 1 to 3 N·m in public tables, 4 N·m in the workshop; an adjustment, no torque joint
    range("headset-cap", "a headset compression cap", 10, 40),
];

/// The range of a kind of fastener, if it is known.
pub fn range_of(kind: &str) -> Option<&'static CommonRange> {
    RANGES.iter().find(|range| range.kind == kind)
}

impl CommonRange {
    /// Whether a torque is so low that something is likely to be wrong.
    pub fn is_far_below(&self, torque: Torque) -> bool {
        torque.small_units().saturating_mul(FAR) < self.low.small_units()
    }

    /// Whether a torque is so high that something is likely to be wrong.
    pub fn is_far_above(&self, torque: Torque) -> bool {
        torque.small_units() > self.high.small_units().saturating_mul(FAR)
    }
}
