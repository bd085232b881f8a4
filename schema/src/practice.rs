//! Common figures of the trade, as data: what is usual at which kind of fastener. Not a source of torques.
//!
//! Every figure here is common practice and has no source, save where a standard is named beside it. The ranges say
//! what is plausible, so that a slipped point is found; they are never put in for a figure that is missing. The marking on
//! the part, or its maker's leaflet, always wins.

mod ranges;
mod steerer;

pub use ranges::{CommonRange, RANGES, range_of};
pub use steerer::{
    PLUG_FLANGE, ROOM_FOR_THE_CAP, STEERER_CUT_UNDER, STEERER_MOST_UNDER, steerer_under_line,
};

use crate::plan::Pattern;
use crate::quantity::Torque;

/// What is known of where a figure comes from.
pub const ORIGIN: &str = "common practice, no source";

/// The source that every figure of a template names. These words, and no others, stand in the plan, on the page, at the
/// prompt, in the record and in every view of it, until somebody writes down what the part or its leaflet says.
pub const COMMON_PRACTICE: &str = "common practice, check the part maker's figure";

/// A torque that is usual at a kind of fastener, and how it is reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Figure {
    /// The kind of fastener, as in a plan.
    pub kind: &'static str,
    /// For people.
    pub title: &'static str,
    /// The torque.
    pub torque: Torque,
    /// How the bolts of the joint are gone round.
    pub pattern: Pattern,
    /// In how many rising passes at the least.
    pub passes: u8,
    /// What a mechanic should know.
    pub note: &'static str,
}

/// Usual torques that a build of a carbon road bike needs. Common practice, no source.
pub const FIGURES: [Figure; 3] = [
    Figure {
        kind: "seat-clamp",
        title: "Seat post clamp on a carbon road frame",
        torque: Torque::from_small_units(8_000),
        pattern: Pattern::InOrder,
        passes: 1,
        note: "reached with a straight extension on the wrench; it changes nothing",
    },
    Figure {
        kind: "headset-cap",
        title: "Compression cap of the headset",
        torque: Torque::from_small_units(4_000),
        pattern: Pattern::InOrder,
        passes: 1,
        note: "an adjustment: no play, no binding",
    },
    Figure {
        kind: "crank-pinch",
        title: "The two pinch bolts of a crank arm",
        torque: Torque::from_small_units(13_000),
        pattern: Pattern::Alternate,
        passes: 2,
        note: "alternately and gradually: each turn loosens the other bolt",
    },
];

/// The usual figure of a kind of fastener, if there is one.
pub fn figure_of(kind: &str) -> Option<&'static Figure> {
    FIGURES.iter().find(|figure| figure.kind == kind)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
