//! Published cases and the properties of the lever.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use super::*;
use crate::measure::testing::near;
use proptest::prelude::*;

fn adapter(wrench: f64, length: f64, angle: f64) -> Adapter {
    Adapter::new(wrench, length, angle).unwrap()
}

#[test]
fn manuals_come_to_the_same() {
    // US Army TM 9-254, straight adapter: 60 lbf·in shown on 12 in with 2 in gives 70.
    near(adapter(12.0, 2.0, 0.0).applied(60.0), 70.0, 1e-12);
    // US Army TM 1-1500-204-23-9: 300 lbf·in wanted, 10 in and 4 in; prints 214.
    near(adapter(10.0, 4.0, 0.0).setting(300.0), 214.0, 0.5);
    // US Army TM 5-3805-274-13P: 19 lbf·ft wanted, 22 in and 3 in; prints 17.
    near(adapter(22.0, 3.0, 0.0).setting(19.0), 17.0, 0.5);
}

#[test]
fn settings_computed_from_the_formula() {
    for (wanted, wrench, length, angle, setting, digits) in [
        (300.0, 10.0, 4.0, 0.0, 214.2857, 4),
        (30.0, 12.0, 6.0, 0.0, 20.0, 4),
        (40.0, 300.0, 50.0, 0.0, 34.285_714, 6),
        (40.0, 300.0, 50.0, 45.0, 35.782_940, 6),
        (40.0, 300.0, 50.0, 60.0, 36.923_077, 6),
        (40.0, 300.0, 50.0, 90.0, 40.0, 15),
        (40.0, 300.0, 50.0, 180.0, 48.0, 6),
        (5.0, 180.0, 30.0, 135.0, 5.667_978, 6),
        (19.0, 22.0, 3.0, 0.0, 16.72, 2),
    ] {
        let found = adapter(wrench, length, angle).setting(wanted);
        near(found, setting, 0.5 * 10.0_f64.powi(-digits));
    }
}

#[test]
fn the_lengths_add_their_uncertainty() {
    // Computed from the formula.
    let known = Geometry {
        wrench: 5.0,
        adapter: 1.0,
        angle: 0.0,
    };
    let shown = adapter(300.0, 50.0, 0.0).setting(40.0);
    let standard = adapter(300.0, 50.0, 0.0).standard_uncertainty(shown, known);
    near(standard, 0.148_77, 0.000_005);
    near(100.0 * standard / 40.0, 0.3719, 0.000_05);
    // At a right angle only the angle matters.
    let square = adapter(300.0, 50.0, 90.0);
    near(square.standard_uncertainty(40.0, known), 0.0, 0.0);
    let askew = Geometry {
        angle: 2.0,
        ..known
    };
    let expected = 40.0 * 50.0 / 300.0 * 2.0_f64.to_radians();
    near(square.standard_uncertainty(40.0, askew), expected, 1e-12);
}

#[test]
fn a_right_angle_changes_nothing_at_all() {
    for angle in [90.0, -90.0, 270.0, -270.0] {
        assert_eq!(adapter(300.0, 50.0, angle).applied(7.123), 7.123, "{angle}");
    }
}

#[test]
fn what_cannot_be_is_refused() {
    let refusal = |wrench, length, angle| Adapter::new(wrench, length, angle).unwrap_err();
    for wrong in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            refusal(wrong, 50.0, 0.0),
            AdapterError::WrenchLength(_)
        ));
        assert!(matches!(
            refusal(300.0, wrong, 0.0),
            AdapterError::AdapterLength(_)
        ));
    }
    for wrong in [361.0, f64::NAN, f64::NEG_INFINITY] {
        assert!(matches!(
            refusal(300.0, 50.0, wrong),
            AdapterError::Angle(_)
        ));
    }
    // Folded back as far as the hand, and beyond.
    for length in [300.0, 400.0] {
        let refused = refusal(300.0, length, 180.0);
        assert!(matches!(refused, AdapterError::NoEffectiveLength(_)));
        assert!(refused.to_string().contains("shorter adapter"));
    }
}

proptest! {
    #[test]
    fn setting_undoes_applied(
        wrench in 50.0..1000.0, share in 0.01..0.9, angle in -360.0..360.0, torque in 0.1..200.0,
    ) {
        let adapter = adapter(wrench, wrench * share, angle);
        let back = adapter.setting(adapter.applied(torque));
        prop_assert!((back / torque - 1.0).abs() < 1e-12, "{back} {torque}");
        let mirrored = Adapter::new(wrench, wrench * share, -angle).unwrap();
        prop_assert_eq!(adapter, Adapter { angle, ..mirrored });
        prop_assert!(adapter.factor() >= 1.0 - share - 1e-12 && adapter.factor() <= 1.0 + share + 1e-12);
    }

    #[test]
    fn knowing_less_never_narrows(
        angle in -180.0..180.0, known in prop::array::uniform3(0.0..10.0), more in prop::array::uniform3(0.0..10.0),
    ) {
        let adapter = adapter(300.0, 50.0, angle);
        let of = |[wrench, adapter, angle]: [f64; 3]| Geometry { wrench, adapter, angle };
        let narrow = adapter.standard_uncertainty(40.0, of(known));
        let wide = adapter.standard_uncertainty(40.0, of([0, 1, 2].map(|i| known[i] + more[i])));
        prop_assert!(wide >= narrow);
    }

    #[test]
    fn no_input_panics(wrench: f64, length: f64, angle: f64, shown: f64) {
        if let Ok(adapter) = Adapter::new(wrench, length, angle) {
            prop_assert!(adapter.factor() > 0.0);
            let _ = adapter.setting(adapter.applied(shown));
        }
    }
}
