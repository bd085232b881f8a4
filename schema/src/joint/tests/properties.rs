//! Whatever goes in: no panic, no NaN, and the way back leads home.

use super::super::*;
use crate::plan::{Engaged, Thread};
use crate::quantity::{Length, Torque};
use proptest::prelude::*;

fn any_thread() -> impl Strategy<Value = MetricThread> {
    prop::sample::select(MetricThread::all().collect::<Vec<_>>())
}

fn any_class() -> impl Strategy<Value = PropertyClass> {
    prop::sample::select(PropertyClass::ALL.to_vec())
}

fn any_head() -> impl Strategy<Value = Head> {
    prop::sample::select(vec![Head::Socket, Head::Hexagon])
}

fn any_material() -> impl Strategy<Value = Option<Engaged>> {
    prop::sample::select(vec![
        None,
        Some(Engaged::Steel),
        Some(Engaged::Aluminium),
        Some(Engaged::Brass),
        Some(Engaged::Titanium),
        Some(Engaged::Magnesium),
        Some(Engaged::Insert),
    ])
}

fn any_friction() -> impl Strategy<Value = Friction> {
    (
        Friction::LEAST..=Friction::MOST,
        Friction::LEAST..=Friction::MOST,
    )
        .prop_filter_map("upside down", |(low, high)| Friction::new(low, high))
}

prop_compose! {
    fn any_planned_thread()(
        size in prop_oneof!["M(3|4|5|6|8|10|12)", "M(3|4|5|6|8|10|12)[x×](0.5|0.75|1|1.25|1.5)", "\\PC{0,8}"],
        property_class in prop::option::of(prop_oneof!["(5.6|8.8|10.9|12.9|A2-70|A4-80)", "\\PC{0,6}"]),
        engages in any_material(),
        engagement in prop::option::of(1_i64..=200_000),
        friction in prop::option::of(any_friction()),
    ) -> Thread {
        Thread { size, property_class, engages, engagement: engagement.map(Length::from_small_units), friction }
    }
}

proptest! {
    #[test]
    fn torque_to_preload_and_back(
        thread in any_thread(),
        head in any_head(),
        friction in any_friction(),
        torque in 0.001_f64..2_000.0,
    ) {
        let tightening = Tightening::new(thread, head, friction.middle());
        let preload = tightening.preload(torque);
        prop_assert!(preload.is_finite() && preload > 0.0);
        prop_assert!((tightening.torque(preload) / torque - 1.0).abs() < 1e-12);
        // the two ways of the long form stay together where friction is that of a bolt
        if friction.middle() <= 0.35 {
            let part = tightening.lever_by_constants() / tightening.lever() - 1.0;
            prop_assert!(part.abs() < 0.02, "{part}");
        }
        // and the short form is the same with its own K
        let short = short_form(tightening.nut_factor(), preload, thread.diameter());
        prop_assert!((short / (tightening.lever_by_constants() * preload / 1000.0) - 1.0).abs() < 1e-12);
        prop_assert!((tightening.shares().iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn friction_that_went_in_comes_out(thread in any_thread(), head in any_head(), friction in 0.02_f64..0.35, torque in 0.1_f64..200.0) {
        let tightening = Tightening::new(thread, head, friction);
        let found = total_friction(thread, tightening.bearing_diameter, torque, tightening.preload(torque));
        prop_assert!((found / friction - 1.0).abs() < 0.03, "{found}, {friction}");
    }

    #[test]
    fn more_friction_less_preload(thread in any_thread(), head in any_head(), low in 0.01_f64..1.0, more in 0.001_f64..1.0) {
        let preload = |friction| Tightening::new(thread, head, friction).preload(5.0);
        prop_assert!(preload(low) > preload(low + more));
        let at_yield = |friction| preload_at_yield(thread, PropertyClass::Steel8_8, friction);
        prop_assert!(at_yield(low) > at_yield(low + more));
    }

    #[test]
    fn what_yields_first_is_known(thread in any_thread(), class in any_class(), friction in any_friction()) {
        let yields = preload_at_yield(thread, class, friction.middle());
        prop_assert!(yields.is_finite() && yields > 0.0);
        prop_assert!(yields < class.yield_stress() * thread.stress_area());
        prop_assert!(class.proof_load(thread) < class.ultimate_load(thread));
    }

    #[test]
    fn strength_grows_with_the_engagement(thread in any_thread(), class in any_class(), length in 0.001_f64..200.0) {
        prop_assert!(internal_shear_area(thread, length) > 0.0);
        prop_assert!(external_shear_area(thread, length) > 0.0);
        let load = |length| stripping_load(thread, length, Some(class), Engaged::Steel).unwrap();
        prop_assert!(load(length).is_finite() && load(length) < load(length * 1.5));
    }

    #[test]
    fn no_size_panics(text in "\\PC{0,12}|M[0-9x×.,-]{0,12}") {
        if let Ok(thread) = MetricThread::parse(&text) {
            prop_assert!((3.0..=12.0).contains(&thread.diameter()));
            prop_assert_eq!(MetricThread::parse(&thread.to_string()), Ok(thread));
        }
        let _ = PropertyClass::parse(&text);
        let _ = friction_of(&[text]);
    }

    #[test]
    fn an_estimate_is_in_order(thread in any_planned_thread(), prep in prop::collection::vec("\\PC{0,16}|(no )?(grease|dry|threadlock|paste)( on the thread)?", 0..3), torque in any::<i64>()) {
        let torque = Torque::from_small_units(torque);
        let Some(found) = estimate(&thread, &prep, torque) else { return Ok(()); };
        prop_assert!(found.least <= found.likely && found.likely <= found.most);
        prop_assert!(found.least.small_units() > 0 || torque.small_units() < 10);
        prop_assert!(found.proof_load.is_none_or(|load| load.small_units() > 0));
        prop_assert!(found.stripping_load.is_none_or(|load| load.small_units() > 0));
        let json = serde_json::to_string(&found).unwrap();
        prop_assert_eq!(serde_json::from_str::<Estimate>(&json).unwrap(), found);
    }

    #[test]
    fn every_usable_torque_has_an_estimate(size in "M(3|4|5|6|8|10|12)", torque in 1_i64..=2_000_000) {
        let thread = Thread { size, property_class: None, engages: None, engagement: None, friction: None };
        prop_assert!(estimate(&thread, &[], Torque::from_small_units(torque)).is_some());
    }
}
