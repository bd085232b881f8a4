//! The common figures are plausible among themselves.

use super::*;
use crate::quantity::Length;
use proptest::prelude::*;
use std::collections::BTreeSet;

const fn millimetre(count: i64) -> Length {
    Length::from_small_units(count * 1_000)
}

#[test]
fn each_usual_figure_is_common_at_its_kind() {
    for figure in FIGURES {
        let range = range_of(figure.kind).unwrap();
        assert!(
            (range.low..=range.high).contains(&figure.torque),
            "{}",
            figure.kind
        );
        assert_eq!(figure_of(figure.kind), Some(&figure));
    }
    assert_eq!(figure_of("seat"), None);
}

#[test]
fn a_slipped_point_is_far_at_every_kind() {
    let kinds: BTreeSet<&str> = RANGES.iter().map(|range| range.kind).collect();
    assert_eq!(kinds.len(), RANGES.len(), "no kind stands twice");
    for range in &RANGES {
        assert!(range.low <= range.high, "{}", range.kind);
        for common in [range.low, range.high] {
            assert!(
                !range.is_far_below(common) && !range.is_far_above(common),
                "{}",
                range.kind
            );
            let slipped = |numerator: i64, denominator: i64| {
                Torque::from_small_units(common.small_units() * numerator / denominator)
            };
            // 1 N·m that was meant as 10 lies within a range that begins at 1: only the far end tells there
            let is_wide = range.high.small_units() >= 4 * range.low.small_units();
            assert!(
                is_wide || range.is_far_above(slipped(10, 1)),
                "{}",
                range.kind
            );
            assert!(
                is_wide || range.is_far_below(slipped(1, 10)),
                "{}",
                range.kind
            );
        }
        assert!(range.is_far_above(Torque::from_small_units(range.high.small_units() * 10)));
        assert!(range.is_far_below(Torque::from_small_units(range.low.small_units() / 10)));
    }
}

#[test]
fn a_steerer_is_cut_about_five_millimetres_under_the_line() {
    for (cut_under, flange, told) in [
        (0, 2, Some("nothing is left")),
        (0, 0, Some("nothing is left")),
        (-1, 2, Some("nothing is left")),
        (2, 2, Some("nothing is left")),
        (3, 2, Some("only 1 mm are left")),
        (4, 2, None),
        (5, 2, None),
        (5, 0, None),
        (2, 0, None),
        (1, 0, Some("before it touches the steerer")),
        (6, 2, Some("ISO 4210-2:2014, 4.7.4 allows at most 5 mm")),
        (
            7,
            2,
            Some("the steerer ends 7 mm under the top of the stem"),
        ),
        (7, 0, Some("allows at most 5 mm")),
    ] {
        let found = steerer_under_line(millimetre(cut_under), millimetre(flange));
        match (&found, told) {
            (None, None) => {}
            (Some(found), Some(told)) => assert!(found.contains(told), "{found}"),
            _ => panic!("{cut_under} mm, flange {flange} mm: {found:?}"),
        }
    }
    assert_eq!(steerer_under_line(STEERER_CUT_UNDER, PLUG_FLANGE), None);
}

proptest! {
    #[test]
    fn any_length_is_answered(cut_under in any::<i64>(), flange in any::<i64>()) {
        let found = steerer_under_line(Length::from_small_units(cut_under), Length::from_small_units(flange));
        prop_assert_eq!(found.is_none(), cut_under <= 5_000 && cut_under.saturating_sub(flange.max(0)) >= 2_000);
    }

    #[test]
    fn any_torque_is_answered(torque in any::<i64>(), at in 0..RANGES.len()) {
        let torque = Torque::from_small_units(torque);
        prop_assert!(!(RANGES[at].is_far_below(torque) && RANGES[at].is_far_above(torque)));
    }
}
