//! What a fastener is tightened to: what each source states, and the limits that follow from all of them.
//!
//! The lowest upper limit of all that are stated wins, the highest lower limit wins. Where the two cross, or a target
//! lies outside them, a person has to settle it and say why. A mark "max 6 N·m" gives an upper limit and no lower one.

use crate::quantity::{Rounding, Stated, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Stands in where a target is stated without limits and the plan names no tolerance. Common practice, no source.
pub const DEFAULT_TOLERANCE_PERCENT: u8 = 10;

/// What a reading is compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// The least that holds; none where a source states only a maximum.
    #[serde(
        rename = "lower_millinewton_metre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub lower: Option<Torque>,
    /// What to aim at.
    #[serde(
        rename = "target_millinewton_metre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub target: Option<Torque>,
    /// The most that the joint may see.
    #[serde(rename = "upper_millinewton_metre")]
    pub upper: Torque,
}

/// Where figures are written, each place once, without the plan itself: what people are shown beside the limits.
pub(crate) fn places(sources: &[Source]) -> Vec<String> {
    let mut places: Vec<String> = Vec::new();
    for source in sources.iter().filter(|source| source.place != OWN) {
        if !places.contains(&source.place) {
            places.push(source.place.clone());
        }
    }
    places
}

/// What the plan's own figures name as their place.
const OWN: &str = "plan";

impl Limits {
    /// What a pass at a part of the whole asks for. An early pass has no right to exceed what the whole joint may
    /// see, and is not asked to be exact: its upper limit stays the fastener's. That is why its aim is a part of the
    /// whole aim and not the middle of its own limits.
    #[must_use]
    pub fn of_pass(self, percent: u8) -> PassLimits {
        let part = |torque: Torque| torque.percent(percent, Rounding::Nearest);
        PassLimits {
            limits: Self {
                lower: self
                    .lower
                    .map(|lower| lower.percent(percent, Rounding::Down)),
                target: self.target.map(part),
                upper: self.upper,
            },
            aim: part(self.aim()),
        }
    }

    /// What a mechanic aims at: the target, or the middle of the limits, or somewhat below a bare maximum.
    pub fn aim(&self) -> Torque {
        self.target.unwrap_or_else(|| match self.lower {
            Some(lower) => Torque::from_small_units(i64::midpoint(
                lower.small_units(),
                self.upper.small_units(),
            )),
            None => self.upper.percent(90, Rounding::Down),
        })
    }
}

/// What one pass asks for: what its readings are compared with, and what to aim at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PassLimits {
    /// What a reading of the pass is compared with.
    pub limits: Limits,
    aim: Torque,
}

impl PassLimits {
    /// The stated part of what is aimed at in the last pass. It always lies within the limits of the pass.
    pub const fn aim(&self) -> Torque {
        self.aim
    }

    /// Whether a tightening torque is that of the whole joint, and not that of this pass: it lies within the whole's
    /// limits, and nearer to the whole's aim than to the pass's. Where the range is wide, the pass's own aim may lie
    /// within the whole's limits too.
    pub fn is_whole(&self, torque: Torque, whole: &Limits) -> bool {
        let far = |aim: Torque| (torque.small_units() - aim.small_units()).unsigned_abs();
        whole.lower.is_some_and(|lower| torque >= lower)
            && torque <= whole.upper
            && far(whole.aim()) < far(self.aim)
    }
}

/// A place where a torque is written, and what it says, as it says it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// "marking on the clamp".
    pub place: String,
    /// What it says to aim at.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub target: Option<String>,
    /// The least it allows.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub lower: Option<String>,
    /// The most it allows.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub upper: Option<String>,
}

/// Who settled sources that disagree, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Settlement {
    /// Who decided.
    pub by: String,
    /// Why.
    pub reason: String,
}

/// The effective limits of a fastener, and everything they follow from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Spec {
    /// What a reading is compared with.
    pub limits: Limits,
    /// The plan's own figures first, then every source, as stated.
    pub sources: Vec<Source>,
    /// A tolerance that stood in for limits that nobody states, in percent of the target.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub tolerance_percent: Option<u8>,
    /// Where sources disagreed.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub settled: Option<Settlement>,
}

impl Spec {
    /// Where its figures are written: "marking on the clamp". The plan's own figures name no place.
    pub fn places(&self) -> Vec<String> {
        places(&self.sources)
    }
}

/// The three figures of one place, read.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Figures {
    pub(super) target: Option<Stated>,
    pub(super) lower: Option<Stated>,
    pub(super) upper: Option<Stated>,
}

/// Why figures give no limits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Trouble {
    /// Neither target nor upper limit.
    Nothing,
    /// Two figures that cannot both hold, each with the place that states it.
    Conflict { lower: String, upper: String },
}

/// The limits that follow from all figures; where a target stands alone, the tolerance makes its limits, which is
/// said in the second value.
pub(super) fn effective(
    all: &[(String, Figures)],
    tolerance: u8,
) -> Result<(Limits, Option<u8>), Trouble> {
    let named = |pick: fn(&Figures) -> Option<Stated>, rounding| {
        all.iter().filter_map(move |(place, figures)| {
            let stated = pick(figures)?;
            Some((
                Torque::of(stated, rounding).ok()?,
                format!("{place}: {stated}"),
            ))
        })
    };
    let target = named(|f| f.target, Rounding::Nearest).next();
    let lower = named(|f| f.lower, Rounding::Down).max_by_key(|(torque, _)| *torque);
    let upper = named(|f| f.upper, Rounding::Up).min_by_key(|(torque, _)| *torque);
    let stated_range = (lower.is_some(), upper.is_some());
    let (upper, by_tolerance) = match (upper, &target) {
        (Some(upper), _) => (upper, None),
        (None, Some((torque, place))) => (
            (
                torque.percent(100 + tolerance, Rounding::Up),
                format!("{place} + {tolerance} %"),
            ),
            Some(tolerance),
        ),
        (None, None) => return Err(Trouble::Nothing),
    };
    let (lower, by_tolerance) = match (lower, &target) {
        (Some(lower), _) => (Some(lower), by_tolerance),
        (None, Some((torque, place))) => {
            let stand_in = torque.percent(100 - tolerance, Rounding::Down);
            (
                Some((stand_in, format!("{place} - {tolerance} %"))),
                Some(tolerance),
            )
        }
        (None, None) => (None, by_tolerance),
    };
    debug_assert!(stated_range != (true, true) || by_tolerance.is_none());
    if let Some((torque, place)) = &lower
        && *torque > upper.0
    {
        return Err(Trouble::Conflict {
            lower: place.clone(),
            upper: upper.1,
        });
    }
    for (torque, place) in named(|f| f.target, Rounding::Nearest) {
        if torque > upper.0 {
            return Err(Trouble::Conflict {
                lower: place,
                upper: upper.1,
            });
        }
        if let Some((least, at_least)) = &lower
            && torque < *least
        {
            return Err(Trouble::Conflict {
                lower: at_least.clone(),
                upper: place,
            });
        }
    }
    let limits = Limits {
        lower: lower.map(|(torque, _)| torque),
        target: target.map(|(torque, _)| torque),
        upper: upper.0,
    };
    Ok((limits, by_tolerance))
}
