//! What went wrong, or was done beside the plan, at a pull.

use std::fmt;

/// Why a pull is not simply the next of the plan, at its torque.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// A second click on the same bolt, right after the first.
    Repeat,
    /// A bolt was left out: of the bolt itself, and of the first planned pull after it.
    Skipped,
    /// Two neighbours of a stage were exchanged.
    NeighboursSwapped,
    /// Two stages that follow each other were exchanged.
    StagesSwapped,
    /// A stage of several passes was pulled straight to the last one.
    PassForgotten,
    /// An earlier bolt was pulled once more after a look.
    Look,
    /// A pull on no bolt.
    TestPull,
    /// The wrench that serves one bike was used on the other.
    OtherBike,
    /// The display is in a unit that the tool does not tell.
    OtherUnit,
    /// Far too strong.
    GrossOver,
    /// Far too weak.
    GrossUnder,
    /// Out of the limits by the scatter of the hand alone.
    Scatter,
    /// A pull that was too weak is pulled again.
    Repair,
    /// The bolt was undone and is pulled anew.
    Undone,
    /// Somebody asked for this pull.
    Asked,
}

impl Cause {
    /// All of them.
    pub const ALL: [Self; 15] = [
        Self::Repeat,
        Self::Skipped,
        Self::NeighboursSwapped,
        Self::StagesSwapped,
        Self::PassForgotten,
        Self::Look,
        Self::TestPull,
        Self::OtherBike,
        Self::OtherUnit,
        Self::GrossOver,
        Self::GrossUnder,
        Self::Scatter,
        Self::Repair,
        Self::Undone,
        Self::Asked,
    ];

    /// One word, or a few joined by lines.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Repeat => "repeat",
            Self::Skipped => "skipped",
            Self::NeighboursSwapped => "neighbours_swapped",
            Self::StagesSwapped => "stages_swapped",
            Self::PassForgotten => "pass_forgotten",
            Self::Look => "look",
            Self::TestPull => "test_pull",
            Self::OtherBike => "other_bike",
            Self::OtherUnit => "other_unit",
            Self::GrossOver => "gross_over",
            Self::GrossUnder => "gross_under",
            Self::Scatter => "scatter",
            Self::Repair => "repair",
            Self::Undone => "undone",
            Self::Asked => "asked",
        }
    }
}

/// A set of causes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Causes(u16);

impl Causes {
    /// The set of none.
    pub const NONE: Self = Self(0);

    /// The set with one more.
    #[must_use]
    pub const fn with(self, cause: Cause) -> Self {
        Self(self.0 | 1 << (cause as u16))
    }

    /// The set with one more where a condition holds.
    #[must_use]
    pub const fn with_if(self, holds: bool, cause: Cause) -> Self {
        if holds { self.with(cause) } else { self }
    }

    /// The set of all that are in either.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Whether one is in the set.
    pub const fn has(self, cause: Cause) -> bool {
        self.0 & (1 << (cause as u16)) != 0
    }

    /// Whether there is none.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Those in the set.
    pub fn iter(self) -> impl Iterator<Item = Cause> {
        Cause::ALL.into_iter().filter(move |cause| self.has(*cause))
    }
}

impl fmt::Display for Causes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (number, cause) in self.iter().enumerate() {
            let between = if number == 0 { "" } else { ", " };
            write!(f, "{between}{}", cause.word())?;
        }
        Ok(())
    }
}
