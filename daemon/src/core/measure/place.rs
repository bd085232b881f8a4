//! Which check a value belongs to.
//!
//! By the plan: the next check of the value's quantity that waits for a reading, if the value lies within its limits, or if
//! it can be right nowhere else. What cannot be right anywhere is held, and the question says in which unit the number
//! would fit. Whatever is not clear is held; a person's choice beats everything. The figures here are our own choices.

use pullmark_schema::build::{Build, CheckStanding};
use pullmark_schema::check::{
    Check, CheckAnswer, CheckCandidate, CheckHeldBecause, CheckLimits, CheckPlace, CheckPlacement,
    CheckReading, SmallUnit, compare,
};
use pullmark_schema::quantity::{Rounding, Stated, UNITS, Unit};
use pullmark_schema::reading::Flag;

/// A value that is beyond a limit by more than this factor cannot be right: less than any two units of one quantity are apart
/// (a pound and a kilogram are 2.2). Common practice, no source.
const BEYOND: i128 = 2;
/// The same where only a lower limit is stated: nobody says how much is too much.
const BEYOND_LOWER_ONLY: i128 = 20;
/// Temperatures are compared by their distance: 60 K.
const BEYOND_KELVIN: i128 = 60_000;
/// A second value of the same tool within so many milliseconds is the same measurement once more: nobody has moved the tool.
/// Common practice, no source.
const SAME_AGAIN_MS: u64 = 3_000;

/// A tool's last reading of a check: where, and how long ago.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::core) struct Last {
    pub(in crate::core) place: CheckPlace,
    pub(in crate::core) age_ms: u64,
}

impl Last {
    /// Whether a place is the one where the tool was a moment ago.
    pub(in crate::core) fn is_again_at(&self, place: Option<&CheckPlace>) -> bool {
        self.age_ms <= SAME_AGAIN_MS && place == Some(&self.place)
    }
}

/// A place that a reading may belong to.
struct Open<'b> {
    check: &'b Check,
    place: CheckPlace,
}

/// The checks of a quantity that are measured and do not wait for something, in the order of the plan.
fn measurable(build: &Build, unit: SmallUnit) -> impl Iterator<Item = &Check> {
    build
        .plan
        .checks()
        .map(|(_, check)| check)
        .filter(move |check| check.unit() == unit && !check.is_derived())
        .filter(|check| {
            let state = build.checks.state(&check.id);
            state.is_some_and(|state| state.deferred.is_none())
        })
}

/// The places of a check that want a reading: the first that has none, else those whose reading is not within.
fn wanted(build: &Build, check: &Check) -> Vec<CheckPlace> {
    if let Some(place) = build.check_open_place(check) {
        return vec![place];
    }
    if build.check_standing(&check.id) == CheckStanding::Kept {
        return Vec::new();
    }
    let counting = build.check_counting(&check.id);
    let bad = counting
        .into_iter()
        .filter(|known| known.answer() != Some(CheckAnswer::Within));
    bad.filter_map(|known| known.placement.place().cloned())
        .collect()
}

fn open(build: &Build, unit: SmallUnit) -> Vec<Open<'_>> {
    measurable(build, unit)
        .flat_map(|check| {
            let places = wanted(build, check).into_iter();
            places.map(move |place| Open { check, place })
        })
        .collect()
}

/// What a reading of a quantity is expected to be: where a person pointed, else the next check that waits for one.
pub(in crate::core) fn expected(build: &Build, unit: SmallUnit) -> Option<CheckPlace> {
    pointed(build, unit)
        .map(|(place, _)| place)
        .or_else(|| open(build, unit).into_iter().next().map(|open| open.place))
}

/// The check that a person pointed at, and who.
fn pointed(build: &Build, unit: SmallUnit) -> Option<(CheckPlace, String)> {
    let (id, by) = build.checks.pointed.as_ref()?;
    let mut all = measurable(build, unit);
    let check = all.find(|check| check.id == *id)?;
    let place = wanted(build, check).into_iter().next();
    let place = place.unwrap_or_else(|| CheckPlace {
        check: id.clone(),
        number: 0,
    });
    Some((place, by.clone()))
}

/// Whether a value can be right for limits at all. No value is more than the tool can tell, which can be.
pub(super) fn is_plausible(value: Option<i64>, limits: &CheckLimits) -> bool {
    let Some(value) = value.map(i128::from) else {
        return true;
    };
    let wide = |limit: Option<i64>| limit.map(i128::from);
    if limits.unit == SmallUnit::Millikelvin {
        let is_above = wide(limits.lower).is_none_or(|lower| value >= lower - BEYOND_KELVIN);
        return is_above && wide(limits.upper).is_none_or(|upper| value <= upper + BEYOND_KELVIN);
    }
    let least = match wide(limits.lower.or(limits.target)) {
        Some(lower) if lower > 0 => value * BEYOND >= lower,
        Some(lower) => value >= lower * BEYOND,
        None => true,
    };
    let most = match (wide(limits.upper.or(limits.target)), wide(limits.lower)) {
        (Some(upper), _) if upper > 0 => value <= upper * BEYOND,
        (None, Some(lower)) if lower > 0 => value <= lower * BEYOND_LOWER_ONLY,
        _ => true,
    };
    least && most
}

fn answer(reading: &CheckReading, check: &Check) -> CheckAnswer {
    compare(reading.value, &check.spec.limits)
}

/// The unit in which the number on the display would be right for limits; the nearest to the middle of them.
pub(super) fn fits_in(reading: &CheckReading, limits: &CheckLimits) -> Option<&'static str> {
    let shown = reading.displayed.as_ref()?.stated()?;
    let value_in = |unit: &'static Unit| {
        let stated = Stated {
            value: shown.value,
            unit,
        };
        limits.unit.value_of(stated, Rounding::Up).ok()
    };
    let others = UNITS
        .iter()
        .filter(|unit| unit.kind == limits.unit.kind() && **unit != *shown.unit);
    others
        .filter_map(|unit| Some((unit, value_in(unit)?)))
        .filter(|(_, value)| {
            compare(Some(*value), limits) == CheckAnswer::Within
                && is_plausible(Some(*value), limits)
        })
        .min_by_key(|(_, value)| value.abs_diff(aim(limits)))
        .map(|(unit, _)| unit.symbol)
}

fn aim(limits: &CheckLimits) -> i64 {
    match (limits.target, limits.lower, limits.upper) {
        (Some(target), ..) => target,
        (None, Some(lower), Some(upper)) => i64::midpoint(lower, upper),
        (None, one, other) => one.or(other).unwrap_or(0),
    }
}

fn candidate(reading: &CheckReading, check: &Check, place: CheckPlace) -> CheckCandidate {
    let limits = &check.spec.limits;
    let is_off = compare(reading.value, limits) != CheckAnswer::Within;
    let fits_in = fits_in(reading, limits).filter(|_| is_off);
    CheckCandidate {
        place,
        fits_in: fits_in.map(str::to_owned),
    }
}

/// Places a reading.
pub(super) fn place(build: &Build, reading: &CheckReading, last: Option<Last>) -> CheckPlacement {
    let unit = reading.unit;
    let held = |because, candidates| CheckPlacement::Held {
        because,
        candidates,
    };
    let mut planned = build.plan.checks().map(|(_, check)| check);
    if !planned.any(|check| check.unit() == unit && !check.is_derived()) {
        return held(CheckHeldBecause::NoSuchCheck, Vec::new());
    }
    let is_unsteady = reading.flags.contains(&Flag::Unsteady);
    if let Some((place, by)) = pointed(build, unit)
        && let Some((_, check)) = build.plan.check(&place.check)
    {
        let because = if is_unsteady {
            CheckHeldBecause::Unsteady
        } else if is_plausible(reading.value, &check.spec.limits) {
            return CheckPlacement::ByChoice { place, by };
        } else {
            CheckHeldBecause::Implausible
        };
        return held(because, vec![candidate(reading, check, place)]);
    }
    let open = open(build, unit);
    let listed = || listed(build, reading, &open);
    if is_unsteady {
        return held(CheckHeldBecause::Unsteady, listed());
    }
    if let Some(place) = last.and_then(|last| once_more(build, reading, last)) {
        return CheckPlacement::ByPlan { place };
    }
    let Some(first) = open.first() else {
        return match only_one(build, reading) {
            Some(place) => CheckPlacement::ByPlan { place },
            None => held(CheckHeldBecause::NothingOpen, listed()),
        };
    };
    let plausible: Vec<&Open<'_>> = open
        .iter()
        .filter(|open| is_plausible(reading.value, &open.check.spec.limits))
        .collect();
    let within = |open: &Open<'_>| answer(reading, open.check) == CheckAnswer::Within;
    let is_several = open
        .iter()
        .skip(1)
        .any(|open| open.place.check == first.place.check);
    match plausible.as_slice() {
        [] => held(CheckHeldBecause::Implausible, listed()),
        _ if is_several => held(CheckHeldBecause::Unclear, listed()),
        _ if within(first) => by_plan(first),
        // It can be right there and nowhere else, though it is out of the limits; or it is right at another alone.
        [one] if one.place == first.place || within(one) => by_plan(one),
        _ => held(CheckHeldBecause::Unclear, listed()),
    }
}

fn by_plan(open: &Open<'_>) -> CheckPlacement {
    CheckPlacement::ByPlan {
        place: open.place.clone(),
    }
}

/// The same measurement once more: the newer value counts, and the next check is not used up.
fn once_more(build: &Build, reading: &CheckReading, last: Last) -> Option<CheckPlace> {
    let mut all = measurable(build, reading.unit);
    let check = all.find(|check| check.id == last.place.check)?;
    let is_same = last.age_ms <= SAME_AGAIN_MS && check.readings == 1;
    (is_same && is_plausible(reading.value, &check.spec.limits)).then_some(last.place)
}

/// Everything is done, and there is one check that it can be.
fn only_one(build: &Build, reading: &CheckReading) -> Option<CheckPlace> {
    let mut all = measurable(build, reading.unit);
    let check = all.next().filter(|check| check.readings == 1)?;
    let is_one = all.next().is_none() && is_plausible(reading.value, &check.spec.limits);
    is_one.then(|| CheckPlace {
        check: check.id.clone(),
        number: 0,
    })
}

/// What a held reading may be: where it is within first, then where it can be right, then where it would fit in another
/// unit, each in the order of the plan; at the end what is done.
fn listed(build: &Build, reading: &CheckReading, open: &[Open<'_>]) -> Vec<CheckCandidate> {
    let rank = |check: &Check| {
        let limits = &check.spec.limits;
        match answer(reading, check) {
            CheckAnswer::Within => 0,
            _ if fits_in(reading, limits).is_some() && !is_plausible(reading.value, limits) => 1,
            _ if is_plausible(reading.value, limits) => 2,
            _ => 3,
        }
    };
    let done = measurable(build, reading.unit)
        .filter(|check| open.iter().all(|open| open.check.id != check.id))
        .filter(|check| is_plausible(reading.value, &check.spec.limits))
        .flat_map(|check| {
            (0..check.readings).map(move |number| {
                let place = CheckPlace {
                    check: check.id.clone(),
                    number,
                };
                (4, check, place)
            })
        });
    let waiting = open
        .iter()
        .map(|open| (rank(open.check), open.check, open.place.clone()));
    let mut all: Vec<(u8, &Check, CheckPlace)> = waiting.chain(done).collect();
    all.sort_by_key(|(rank, _, _)| *rank);
    all.truncate(MOST_LISTED);
    all.into_iter()
        .map(|(_, check, place)| candidate(reading, check, place))
        .collect()
}

/// How many answers a question has at most; any other check can still be named.
const MOST_LISTED: usize = 6;
