//! Deviation and combination after ISO 6789-2:2017, computed from formulas that are themselves from memory.

use super::*;
use std::str::FromStr;

#[test]
fn the_reference_is_the_divisor() {
    for (tool, reference, expected, is_within_four) in [
        (10.0, 9.8, 2.0408, true),
        (10.0, 10.2, -1.9608, true),
        (25.0, 24.2, 3.3058, true),
        (5.0, 5.31, -5.8380, false),
        // Divided by the tool's value this would be 4.0 and pass.
        (50.0, 48.0, 4.1667, false),
        (50.0, 48.1, 3.9501, true),
    ] {
        let found = deviation(tool, reference);
        near(found, expected, 0.000_05);
        assert_eq!(found.abs() <= 4.0, is_within_four, "{tool} {reference}");
        near(true_torque(tool, found), reference, 1e-12);
    }
}

/// A case of our own: 20 N·m on a wrench, five reference values, all seven contributions of part 2.
#[test]
fn seven_contributions_make_an_interval() {
    let references = [20.12, 20.05, 19.95, 20.08, 20.02];
    let series = Deviations::of(20.0, &references).unwrap();
    for (found, expected) in series
        .each
        .iter()
        .zip([-0.5964, -0.2494, 0.2506, -0.3984, -0.0999])
    {
        near(*found, expected, 0.000_05);
    }
    near(series.mean, -0.218_70, 0.000_005);
    near(series.reference, 20.044, 1e-12);
    let scatter = crate::measure::statistics::sample_standard_deviation(&references).unwrap();
    near(scatter, 0.064_265, 0.000_000_5);

    let percent = |newton_metres: f64| 100.0 * newton_metres / series.reference;
    let span = |width: f64| percent(rectangular(0.5 * width));
    let parts = [0.10, 0.10, 0.08, 0.06, 0.12].map(span);
    let scatter = percent(scatter / 5.0_f64.sqrt());
    let expected = [0.144_02, 0.144_02, 0.115_22, 0.086_41, 0.172_82];
    for (found, expected) in parts.iter().zip(expected) {
        near(*found, expected, 0.000_005);
    }
    near(scatter, 0.143_39, 0.000_005);
    let all = parts.into_iter().chain([scatter, 0.25]);
    let standard = root_sum_of_squares(all);
    near(standard, 0.418_51, 0.000_005);
    let expanded = 2.0 * standard;
    near(expanded, 0.837_03, 0.000_005);
    near(
        uncertainty_interval(series.mean, expanded, 0.0),
        1.055_72,
        0.000_01,
    );
    near(
        uncertainty_interval(series.mean, expanded, 0.2),
        1.255_72,
        0.000_01,
    );
    assert_eq!(Deviations::of(20.0, &[]), None);
}

#[test]
fn the_class_goes_by_the_tools_own_maximum() {
    use ToolClass::{IndicatingA, IndicatingC, IndicatingD, SettingA, SettingD, SettingG};
    for (class, maximum, percent) in [
        (IndicatingC, 10.0, 6.0),
        (IndicatingC, 10.001, 4.0),
        (IndicatingC, 25.0, 4.0),
        (IndicatingA, 100.0, 6.0),
        (IndicatingD, 12.0, 6.0),
        (SettingA, 6.0, 6.0),
        (SettingA, 60.0, 4.0),
        (SettingD, 60.0, 6.0),
        (SettingG, 60.0, 6.0),
        // What nobody knows is not the better one.
        (SettingA, f64::NAN, 6.0),
    ] {
        assert_eq!(
            maximum_deviation(class, maximum),
            percent,
            "{class} {maximum}"
        );
    }
    let line = class_line(IndicatingC, 25.0, 5.0);
    assert_eq!(line.name, Contribution::ToolClass);
    near(line.standard, 0.2 / 3.0_f64.sqrt(), 1e-15);
    assert_eq!(line.freedom, None);
}

#[test]
fn classes_are_written_as_people_write_them() {
    for class in ToolClass::ALL {
        let text = class.to_string();
        assert_eq!(ToolClass::from_str(&text), Ok(class));
        assert_eq!(
            ToolClass::from_str(&format!(" {} ", text.to_lowercase())),
            Ok(class)
        );
        assert_eq!(
            serde_json::to_string(&class).unwrap(),
            format!("\"{text}\"")
        );
    }
    assert_eq!("I-C".parse(), Ok(ToolClass::IndicatingC));
    assert_eq!("II-A".parse(), Ok(ToolClass::SettingA));
    for wrong in ["", "I", "I-F", "II-H", "III-A", "IC"] {
        let refused = ToolClass::from_str(wrong).unwrap_err().to_string();
        assert!(refused.contains("I-A to I-E"), "{refused}");
    }
}
