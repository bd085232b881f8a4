//! Published examples and interval tables.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use super::*;
use crate::measure::testing::near;
use proptest::prelude::*;

fn sample(mean: f64, standard_deviation: f64, readings: u16) -> Sample {
    Sample {
        mean,
        standard_deviation,
        readings: readings.into(),
        freedom: f64::from(readings) - 1.0,
        spread: Spread::WithinGroups,
    }
}

/// NIST/SEMATECH e-Handbook, 6.1.6, from memory: limits 8 and 20, mean 16, s 2.
#[test]
fn the_handbooks_example() {
    let sample = sample(16.0, 2.0, 50);
    let both = capability(&sample, Some(8.0), 20.0, 0.95).unwrap();
    let potential = both.potential.unwrap();
    near(potential.estimate, 1.0, 1e-15);
    near(both.actual.estimate, 0.6667, 0.000_05);
    assert_eq!((potential.name, both.actual.name), (Name::Cp, Name::Cpk));
    // The upper index is the smaller one; the lower one is what the mirrored limits give.
    let upper = capability(&sample, None, 20.0, 0.95).unwrap();
    near(upper.actual.estimate, 0.6667, 0.000_05);
    assert_eq!((upper.potential, upper.actual.name), (None, Name::Cpu));
    let mirrored = Sample {
        mean: -16.0,
        ..sample
    };
    let lower = capability(&mirrored, None, -8.0, 0.95).unwrap();
    near(lower.actual.estimate, 1.3333, 0.000_05);
    // k, the part of the width that is lost because the mean is off the middle: Cpk = (1 − k) Cp.
    let lost = 1.0 - both.actual.estimate / potential.estimate;
    near(lost, 0.3333, 0.000_05);
}

/// Computed from the formulas: readings whose Cp and Cpk are both 1.33, in limits ± 3.99 standard deviations.
#[test]
fn few_readings_have_wide_intervals() {
    for (readings, cp, cpk, spread) in [
        (5, (0.4628, 2.2199), (0.3632, 2.2968), (0.5991, 2.8736)),
        (10, (0.7285, 1.9336), (0.6818, 1.9782), (0.6878, 1.8256)),
        (30, (0.9894, 1.6700), (0.9675, 1.6925), (0.7964, 1.3443)),
        (50, (1.0673, 1.5922), (1.0509, 1.6091), (0.8353, 1.2461)),
        (100, (1.1449, 1.5148), (1.1336, 1.5264), (0.8780, 1.1617)),
    ] {
        let sample = sample(0.0, 1.0, readings);
        let found = capability(&sample, Some(-3.99), 3.99, 0.95).unwrap();
        let potential = found.potential.unwrap();
        near(potential.estimate, 1.33, 1e-12);
        near(potential.from, cp.0, 0.000_05);
        near(potential.to, cp.1, 0.000_05);
        near(found.actual.from, cpk.0, 0.000_05);
        near(found.actual.to, cpk.1, 0.000_05);
        let (least, most) = spread_interval(sample.freedom, 0.95);
        near(least, spread.0, 0.000_05);
        near(most, spread.1, 0.000_05);
    }
}

/// An exercise of a textbook on quality control; the interval computed.
#[test]
fn an_exercise() {
    let found = capability(&sample(97.0, 1.6, 30), Some(90.0), 100.0, 0.95).unwrap();
    near(found.actual.estimate, 0.625, 1e-12);
    near(found.actual.from, 0.4248, 0.000_05);
    near(found.actual.to, 0.8252, 0.000_05);
}

/// Exact by the non-central t distribution; computed.
#[test]
fn one_limit_has_an_exact_bound() {
    for (readings, bound) in [(10, 0.7773), (30, 1.0216)] {
        let sample = sample(0.0, 1.0, readings);
        near(one_sided_bound(&sample, 1.33, 0.95), bound, 0.000_05);
        // The same level is the lower end of a two-sided interval at 90 %.
        let found = capability(&sample, None, 3.99, 0.90).unwrap();
        near(found.actual.from, bound, 0.000_05);
        assert!(found.actual.to > 1.33);
    }
}

#[test]
fn the_name_says_which_standard_deviation_it_is() {
    let groups: [&[f64]; 3] = [&[4.9, 5.0, 5.1], &[5.3, 5.4, 5.5], &[4.8]];
    let within = Sample::within_groups(&groups).unwrap();
    near(within.standard_deviation, 0.1, 1e-12);
    assert_eq!((within.freedom, within.readings), (4.0, 7));
    let all = groups.concat();
    let overall = Sample::overall(&all).unwrap();
    near(overall.mean, within.mean, 1e-12);
    let name = |sample| {
        let found = capability(sample, Some(4.5), 5.5, 0.95).unwrap();
        let alone = capability(sample, None, 5.5, 0.95).unwrap();
        [found.potential.unwrap(), found.actual, alone.actual].map(|index| index.name.to_string())
    };
    assert_eq!(name(&within), ["Cp", "Cpk", "Cpu"]);
    assert_eq!(name(&overall), ["Pp", "Ppk", "Ppu"]);
}

#[test]
fn without_enough_to_go_by_there_is_a_reason_instead() {
    let four = Sample::overall(&[5.0, 5.1, 4.9, 5.0]).unwrap();
    let refused = capability(&four, Some(4.5), 5.5, 0.95).unwrap_err();
    assert_eq!(refused, NoIndex::TooFew { have: 4 });
    assert!(refused.to_string().starts_with("4 readings"));
    assert_eq!(Sample::overall(&[5.0]), Err(NoIndex::TooFew { have: 1 }));
    assert_eq!(Sample::within_groups(&[]), Err(NoIndex::TooFew { have: 0 }));
    let equal = Sample::overall(&[5.0; 9]).unwrap();
    assert_eq!(capability(&equal, None, 5.5, 0.95), Err(NoIndex::NoScatter));
    let good = sample(5.0, 0.1, 30);
    let odd = sample(f64::NAN, 0.1, 30);
    for (sample, lower, upper, confidence) in [
        (&good, Some(5.5), 4.5, 0.95),
        (&good, Some(f64::NAN), 5.5, 0.95),
        (&good, None, f64::NAN, 0.95),
        (&good, None, 5.5, 1.0),
        (&good, None, 5.5, f64::NAN),
        (&odd, None, 5.5, 0.95),
    ] {
        assert_eq!(
            capability(sample, lower, upper, confidence),
            Err(NoIndex::Unusable)
        );
    }
}

proptest! {
    // The exact bounds are slow without optimization.
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn the_estimate_lies_in_its_interval(
        mean in 4.0..6.0, scatter in 0.01..1.0, readings in 5..300_u16, lower in prop::option::of(3.0..4.0), confidence in 0.5..0.99,
    ) {
        let sample = sample(mean, scatter, readings);
        let found = capability(&sample, lower, 6.0, confidence).unwrap();
        for index in found.potential.into_iter().chain([found.actual]) {
            prop_assert!(index.from < index.to);
            // Chi-squared and the non-central t are skewed: with few readings and a low confidence the estimate may lie outside.
            if confidence > 0.7 {
                prop_assert!(index.from < index.estimate && index.estimate < index.to, "{index:?}");
            }
        }
        let wider = capability(&sample, lower, 6.0, confidence + 0.005).unwrap();
        prop_assert!(wider.actual.from <= found.actual.from && wider.actual.to >= found.actual.to);
        if let (Some(potential), actual) = (found.potential, found.actual) {
            prop_assert!(potential.estimate >= actual.estimate * (1.0 - 1e-12));
        }
    }

    #[test]
    fn no_readings_panic(readings in prop::collection::vec(any::<f64>(), 0..9), lower: Option<f64>, upper: f64, confidence: f64) {
        if let Ok(sample) = Sample::overall(&readings) {
            let _ = capability(&sample, lower, upper, confidence);
        }
    }
}
