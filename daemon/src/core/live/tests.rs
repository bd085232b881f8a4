//! What is shown during a pull, in the shop that the other tests share.

use super::*;
use crate::testing::{Day, PLAN, WRENCH, torque};

fn seen(small: i64) -> Seen {
    Seen {
        torque: Some(torque(small)),
        ..Seen::default()
    }
}

#[test]
fn a_value_stands_beside_what_is_expected_and_is_over_above_its_limit_only() {
    let day = Day::with(PLAN);
    let expected = day.bench.expected(day.build(), WRENCH).unwrap();
    let upper = expected.fastener.spec.limits.upper.small_units();
    let at = live_value(&day.bench, WRENCH, Some(seen(upper)));
    assert_eq!(at.fastener.as_ref(), Some(&expected.fastener.id));
    assert_eq!(at.build.as_ref(), Some(&day.build().id));
    assert_eq!(
        at.limits,
        Some(
            expected
                .fastener
                .spec
                .limits
                .of_pass(expected.percent)
                .limits
        )
    );
    assert_eq!(at.applied_millinewton_metre, Some(upper));
    assert!(at.pulling && !at.over && !at.past_range);
    assert!(live_value(&day.bench, WRENCH, Some(seen(upper + 1))).over);
}

#[test]
fn past_the_tools_range_is_over_and_the_end_of_a_pull_shows_nothing() {
    let day = Day::with(PLAN);
    let past = live_value(&day.bench, WRENCH, Some(Seen::default()));
    assert!(past.pulling && past.past_range && past.over);
    assert_eq!(past.applied_millinewton_metre, None);
    let end = live_value(&day.bench, WRENCH, None);
    assert!(!end.pulling && !end.over && !end.past_range);
}

#[test]
fn a_tool_that_serves_no_build_is_shown_without_limits() {
    let day = Day::with(PLAN);
    let value = live_value(&day.bench, "another", Some(seen(5_000)));
    assert_eq!((value.build, value.limits, value.over), (None, None, false));
    assert_eq!(value.applied_millinewton_metre, Some(5_000));
}
