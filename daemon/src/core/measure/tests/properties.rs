//! What holds of any values: none is lost, doubled or hushed up; what is within can be right.

use super::super::place::is_plausible;
use super::*;
use proptest::prelude::*;
use pullmark_schema::check::CheckLimits;

proptest! {
    /// Whatever tools show in whatever order: every value is kept once, none is placed where it cannot be right, none counts
    /// twice, and a pressure above the limit of what was expected sounds.
    #[test]
    fn no_value_is_lost_doubled_or_hushed_up(values in prop::collection::vec((0_usize..3, 1_i64..2_000, 0_u64..10_000), 0..40)) {
        let mut day = day();
        let mut sequences = Vec::new();
        for (tool, number, pause) in values {
            let (tool, shown) = match tool {
                0 => ("c1", format!("{}.{} mm", number / 10, number % 10)),
                1 => ("g1", format!("{}.{} psi", number / 10, number % 10)),
                _ => ("t1", format!("{number} N")),
            };
            day.now_ms += pause;
            let unit = SmallUnit::of(Unit::find(shown.split_once(' ').unwrap().1).unwrap().kind).unwrap();
            let expected = expected(day.build(), unit);
            let (sequence, measured) = day.shows_at_once(tool, &shown, &[]);
            sequences.push(sequence);
            if let Some(place) = measured.placement.place() {
                let (_, check) = day.build().plan.check(&place.check).unwrap();
                prop_assert!(is_plausible(measured.reading.value, &check.spec.limits));
                prop_assert_eq!(measured.verdict.map(|verdict| verdict.limits), Some(check.spec.limits));
            }
            let limit = |place: &CheckPlace| {
                let (_, check) = day.build().plan.check(&place.check).unwrap();
                check.spec.limits.upper.filter(|_| check.can_harm())
            };
            let value = measured.reading.value.unwrap();
            if let Some(upper) = expected.as_ref().and_then(limit) {
                prop_assert!(value <= upper || measured.alarm.is_some(), "{shown} was hushed up");
            }
            if let Some(upper) = measured.placement.place().and_then(limit) {
                prop_assert!(value <= upper || measured.alarm.is_some(), "{shown} was hushed up");
            }
        }
        let known: Vec<u64> = day.build().checks.readings.keys().copied().collect();
        prop_assert_eq!(&known, &sequences);
        for (_, check) in day.build().plan.checks() {
            prop_assert!(day.build().check_counting(&check.id).len() <= usize::from(check.readings));
        }
        // The same entries give the same bench.
        let mut again = crate::core::Bench::default();
        for entry in &day.entries {
            let plan = entry.event.plan().map(|_| pullmark_schema::plan::read(PLAN).plan.unwrap());
            again.apply(entry, plan.as_ref());
        }
        prop_assert_eq!(&again.builds[BUILD], day.build());
    }

    /// No limits and no value make it panic, and what is within is plausible.
    #[test]
    fn what_is_within_is_plausible(lower in prop::option::of(-1_000_000_i64..1_000_000), room in prop::option::of(0_i64..1_000_000), value in -2_000_000_i64..2_000_000) {
        let upper = room.map(|room| lower.unwrap_or(0) + room);
        let limits = CheckLimits { unit: SmallUnit::Micrometre, lower, target: None, upper };
        // Where only a lower limit is stated, nobody says how much is too much.
        let is_bounded = lower.is_none_or(|lower| upper.is_some() || value <= lower.saturating_mul(20));
        if compare(Some(value), &limits) == CheckAnswer::Within && is_bounded {
            prop_assert!(is_plausible(Some(value), &limits));
        }
    }
}
