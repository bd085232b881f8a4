//! How often a mechanic errs, how long things take and how much a hand scatters.
//!
//! Every default is an assumption to exercise the program with: assumed, no source. Nobody has counted such errors at
//! bicycle stands. The other shapes are there so that nothing is tuned to the defaults.

/// How often what goes wrong. Each is a probability.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates {
    /// A pull on a bolt is followed by a second click on it. Default 8 % of pulls (assumed, no source).
    pub repeat: f64,
    /// A planned pull is left out. Default 0.2 % of planned pulls (assumed, no source).
    pub skip: f64,
    /// Two neighbours in a pass of a stage are exchanged. Default 2 % of neighbouring pairs (assumed, no source).
    pub neighbours_swapped: f64,
    /// A stage is exchanged with the one after it. Default 0.3 % of stages (assumed, no source).
    pub stages_swapped: f64,
    /// A stage of several passes is pulled straight to the last. Default 1 % of such stages (assumed, no source).
    pub first_pass_forgotten: f64,
    /// Before a planned pull, an earlier bolt is pulled once more after a look. Default 0.5 % (assumed, no source).
    pub look: f64,
    /// Before a planned pull, a pull on no bolt. Default 0.3 % (assumed, no source).
    pub test_pull: f64,
    /// The wrench of a bike is used for one stage of the other bike on the bench, and nobody says so. Default 0.2 % of
    /// the bikes that share a bench (assumed, no source).
    pub handed_over: f64,
    /// The display is in another unit than the tool tells. Default 0.1 % of bikes (assumed, no source).
    pub other_unit: f64,
    /// A planned pull is far too strong. Default 0.2 % (assumed, no source).
    pub gross_over: f64,
    /// A planned pull is far too weak. Default 1 % (assumed, no source).
    pub gross_under: f64,
    /// A pull that was too weak is not pulled again. Default 5 % of them (assumed, no source).
    pub not_repaired: f64,
}

impl Default for Rates {
    fn default() -> Self {
        Self {
            repeat: 0.08,
            skip: 0.002,
            neighbours_swapped: 0.02,
            stages_swapped: 0.003,
            first_pass_forgotten: 0.01,
            look: 0.005,
            test_pull: 0.003,
            handed_over: 0.002,
            other_unit: 0.001,
            gross_over: 0.002,
            gross_under: 0.01,
            not_repaired: 0.05,
        }
    }
}

impl Rates {
    /// No rate grows beyond this by scaling: whoever errs more often than not does not work at the plan at all.
    pub const MOST: f64 = 0.5;

    /// Every rate times a factor, none beyond [`Self::MOST`].
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        let times = |rate: f64| (rate * factor).clamp(0.0, Self::MOST);
        Self {
            repeat: times(self.repeat),
            skip: times(self.skip),
            neighbours_swapped: times(self.neighbours_swapped),
            stages_swapped: times(self.stages_swapped),
            first_pass_forgotten: times(self.first_pass_forgotten),
            look: times(self.look),
            test_pull: times(self.test_pull),
            handed_over: times(self.handed_over),
            other_unit: times(self.other_unit),
            gross_over: times(self.gross_over),
            gross_under: times(self.gross_under),
            not_repaired: times(self.not_repaired),
        }
    }
}

/// A log-normal time between two pulls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// The median in seconds.
    pub median_s: f64,
    /// The standard deviation of the logarithm.
    pub sigma: f64,
}

/// Some draws scatter much more than the rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tail {
    /// How many of them, from 0 to 1.
    pub share: f64,
    /// How many times as much.
    pub times: f64,
}

/// How a mechanic works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habits {
    /// How often what goes wrong.
    pub rates: Rates,
    /// From one bolt to the next. Default 7 s, sigma 0.5 (assumed, no source).
    pub step: Gap,
    /// From a click to the second one on the same bolt. Default 0.9 s, sigma 0.35 (assumed, no source).
    pub repeat: Gap,
    /// From a pull that was too weak to the one that mends it. Default 2 s, sigma 0.5 (assumed, no source).
    pub repair: Gap,
    /// A step has a break in it. Default one in twenty (assumed, no source).
    pub break_share: f64,
    /// The shortest and the longest break in seconds, evenly between. Default 1 to 10 minutes (assumed, no source).
    pub break_s: (f64, f64),
    /// The standard deviation of a pull as a part of its aim. Default 3 % (assumed, no source).
    pub scatter: f64,
    /// The heavy tail of values; none by default.
    pub value_tail: Option<Tail>,
    /// The heavy tail of times; none by default.
    pub gap_tail: Option<Tail>,
    /// Where only a maximum is stated, the mechanic aims at a part of it, drawn once a bolt, evenly between these.
    /// Default 60 to 90 % (assumed, no source).
    pub of_a_bare_maximum: (f64, f64),
    /// A pull that is far too strong is so much above the upper limit at the least. Default 2 % (assumed, no source).
    pub over_least: f64,
    /// And beyond that log-normally: the median, as a part of the limit, and sigma. Default 10 %, 0.65, which leaves
    /// one in fifty above 40 % (assumed, no source).
    pub over_beyond: (f64, f64),
    /// A pull that is far too weak reaches a part of its aim, evenly between these. Default 20 to 90 % (assumed, no
    /// source).
    pub under: (f64, f64),
    /// A test pull is pulled by hand, else against a vice. Default half of them (assumed, no source).
    pub test_by_hand: f64,
    /// By hand: evenly between these, in N·m. Default 0.3 to 3 (assumed, no source).
    pub by_hand: (f64, f64),
    /// Against a vice: log-evenly between these, in N·m. Default 2 to 50, what the tool can (assumed, no source).
    pub in_a_vice: (f64, f64),
    /// After a bolt was undone, it is pulled through all passes again, else straight to the one it had. Default half
    /// of the times (assumed, no source).
    pub through_passes_again: f64,
    /// The step of the tool's display, in N·m. What lies below it nobody can know. Default 0.01 (assumed, no source).
    pub resolution: f64,
}

impl Default for Habits {
    fn default() -> Self {
        Self {
            rates: Rates::default(),
            step: Gap {
                median_s: 7.0,
                sigma: 0.5,
            },
            repeat: Gap {
                median_s: 0.9,
                sigma: 0.35,
            },
            repair: Gap {
                median_s: 2.0,
                sigma: 0.5,
            },
            break_share: 0.05,
            break_s: (60.0, 600.0),
            scatter: 0.03,
            value_tail: None,
            gap_tail: None,
            of_a_bare_maximum: (0.6, 0.9),
            over_least: 0.02,
            over_beyond: (0.1, 0.65),
            under: (0.2, 0.9),
            test_by_hand: 0.5,
            by_hand: (0.3, 3.0),
            in_a_vice: (2.0, 50.0),
            through_passes_again: 0.5,
            resolution: 0.01,
        }
    }
}

/// Ways to work that can be asked for by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Shape {
    /// The defaults.
    #[default]
    Usual,
    /// A quick hand: 4 s from bolt to bolt, 0.6 s to a second click.
    Fast,
    /// A slow one: 12 s and 1.3 s.
    Slow,
    /// Every tenth time and value scatters three times as much.
    Heavy,
}

impl Shape {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Usual, Self::Fast, Self::Slow, Self::Heavy];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Usual => "usual",
            Self::Fast => "fast",
            Self::Slow => "slow",
            Self::Heavy => "heavy",
        }
    }

    /// The one of a name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|shape| shape.name() == name)
    }

    /// How whoever works like that works.
    pub fn habits(self) -> Habits {
        let mut habits = Habits::default();
        let medians = match self {
            Self::Fast => (4.0, 0.6),
            Self::Slow => (12.0, 1.3),
            Self::Usual | Self::Heavy => (habits.step.median_s, habits.repeat.median_s),
        };
        (habits.step.median_s, habits.repeat.median_s) = medians;
        if self == Self::Heavy {
            let tail = Some(Tail {
                share: 0.1,
                times: 3.0,
            });
            (habits.value_tail, habits.gap_tail) = (tail, tail);
        }
        habits
    }
}
