//! The handbook's data, a textbook's, and a wrench that drifts.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use super::*;
use crate::measure::testing::near;
use proptest::prelude::*;

fn handbook() -> Ewma {
    Ewma::new(EwmaSettings {
        target: 50.0,
        standard_deviation: 2.0539,
        weight: 0.3,
        width: 3.0,
    })
    .unwrap()
}

/// NIST/SEMATECH e-Handbook, 6.3.2.4: data, averages and final limits as printed; start-up limits computed.
#[test]
fn the_handbooks_moving_average() {
    let data = [
        52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8,
        51.2, 52.6, 52.4, 53.6, 52.1,
    ];
    let printed = [
        50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52,
        50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
    ];
    let mut chart = handbook();
    near(50.0 + chart.final_half_width(), 52.5884, 1e-3);
    near(50.0 + chart.final_half_width(), 52.588_43, 0.000_005);
    near(50.0 - chart.final_half_width(), 47.4115, 1e-3);
    let states: Vec<_> = data
        .iter()
        .map(|value| chart.feed(*value).unwrap())
        .collect();
    for (state, printed) in states.iter().zip(printed) {
        near(state.value, printed, 0.005);
        assert_eq!(state.signal, None);
    }
    for (number, upper) in [
        (1, 51.8485),
        (2, 52.2564),
        (3, 52.4314),
        (5, 52.5516),
        (10, 52.5874),
    ] {
        near(states[number - 1].upper, upper, 0.000_05);
        near(states[number - 1].lower, 100.0 - upper, 0.000_05);
    }
}

/// NIST/SEMATECH e-Handbook, 6.3.2.3: data and settings from memory, sums computed.
#[test]
fn the_handbooks_cusum() {
    let data = [
        324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
        324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
    ];
    let mut chart = Cusum::new(CusumSettings {
        target: 325.0,
        allowance: 0.3175,
        interval: 4.1959,
    })
    .unwrap();
    let states: Vec<_> = data
        .iter()
        .map(|value| chart.feed(*value).unwrap())
        .collect();
    let expected = [
        (5, 0.0325),
        (13, 3.0075),
        (14, 4.9400),
        (15, 7.4475),
        (16, 10.6300),
        (17, 11.9875),
        (18, 14.4450),
        (19, 16.0025),
        (20, 19.0350),
    ];
    for (number, state) in (1..).zip(&states) {
        let high = expected.iter().find(|(which, _)| *which == number);
        near(state.high, high.map_or(0.0, |(_, high)| *high), 0.000_05);
        let signal = (number >= 14).then_some(Side::High);
        assert_eq!(state.signal, signal, "{number}");
    }
    let lowest = states.iter().map(|state| state.low).fold(0.0, f64::max);
    near(lowest, 0.7150, 0.000_05);
    near(states[7].low, lowest, 0.0);
    let plain: f64 = data.iter().map(|value| value - 325.0).sum();
    near(plain, 19.075, 0.0005);
}

/// A statistics textbook's example; plain sums as printed with their signs restored, one-sided sums computed.
#[test]
fn a_textbooks_cusum() {
    let data = [
        102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4,
        97.0, 96.7, 100.3, 101.4, 97.2, 101.0,
    ];
    let printed = [
        3.0, -1.2, -1.9, -2.5, 0.5, 0.0, 0.0, -1.3, -0.3, -1.2, 1.1, 0.8, 2.9, 2.3, 0.3, -2.0,
        -0.7, 1.7, -0.1, 1.9,
    ];
    let settings = CusumSettings {
        target: 99.0,
        allowance: 1.0,
        interval: 10.0,
    };
    let mut chart = Cusum::new(settings).unwrap();
    let mut plain = 0.0;
    let (mut high, mut low) = (0.0_f64, 0.0_f64);
    for (value, printed) in data.iter().zip(printed) {
        plain += value - 99.0;
        near(plain, printed, 0.05);
        let state = chart.feed(*value).unwrap();
        assert_eq!(state.signal, None);
        high = high.max(state.high);
        low = low.max(state.low);
    }
    near(high, 2.0, 0.000_5);
    near(low, 3.2, 0.000_5);
}

#[test]
fn a_cusum_signals_on_both_sides() {
    let settings = CusumSettings {
        target: 0.0,
        allowance: 0.5,
        interval: 4.0,
    };
    let mut chart = Cusum::new(settings).unwrap();
    let signals: Vec<_> = [-2.0; 4]
        .map(|value| chart.feed(value).unwrap().signal)
        .into();
    assert_eq!(signals, [None, None, Some(Side::Low), Some(Side::Low)]);
    assert_eq!(chart.feed(100.0).unwrap().signal, Some(Side::High));
    let before = chart;
    assert_eq!(chart.feed(f64::NAN), None);
    assert_eq!(chart, before);
}

#[test]
fn charts_that_make_no_sense_are_refused() {
    let good = EwmaSettings {
        target: 0.0,
        standard_deviation: 1.0,
        weight: 0.2,
        width: 3.0,
    };
    for wrong in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
        for settings in [
            EwmaSettings {
                standard_deviation: wrong,
                ..good
            },
            EwmaSettings {
                weight: wrong,
                ..good
            },
            EwmaSettings {
                width: wrong,
                ..good
            },
        ] {
            assert!(Ewma::new(settings).is_err(), "{settings:?}");
        }
        let settings = CusumSettings {
            target: 0.0,
            allowance: 0.5,
            interval: wrong,
        };
        assert!(Cusum::new(settings).is_err());
    }
    let target = EwmaSettings {
        target: f64::NAN,
        ..good
    };
    assert!(matches!(Ewma::new(target), Err(ChartError::Target(_))));
    let weight = EwmaSettings {
        weight: 1.1,
        ..good
    };
    assert!(matches!(Ewma::new(weight), Err(ChartError::Weight(_))));
    assert_eq!(handbook().feed(f64::INFINITY), None);
}

mod watched {
    use super::*;
    use crate::measure::testing::Random;

    /// The deviation of a wrench in percent: checks scatter by half a percent, the limit is ±4 %.
    fn settings() -> EwmaSettings {
        EwmaSettings {
            target: 0.3,
            standard_deviation: 0.5,
            weight: 0.2,
            width: 3.0,
        }
    }

    /// Where a sequence of checks is first warned of and where it is first beyond.
    fn first(
        watch: &mut Watch,
        checks: impl Iterator<Item = f64>,
    ) -> (Option<usize>, Option<usize>) {
        let said: Vec<_> = checks.map(|check| watch.feed(check).unwrap().0).collect();
        let of = |wanted| said.iter().position(|said| *said == wanted);
        (of(Watched::Warning), of(Watched::Beyond))
    }

    #[test]
    fn a_sound_wrench_is_quiet() {
        let mut watch = Watch::new(settings(), 4.0).unwrap();
        // Scatter that never leaves one and a half standard deviations.
        let checks = (0..400).map(|day| 0.3 + 0.75 * f64::from(day * 37 % 11 - 5) / 5.0);
        assert_eq!(first(&mut watch, checks), (None, None));
    }

    #[test]
    fn a_jump_is_beyond_at_once_and_a_step_is_warned_of() {
        let mut watch = Watch::new(settings(), 4.0).unwrap();
        assert_eq!(watch.feed(4.31).unwrap().0, Watched::Beyond);
        let mut watch = Watch::new(settings(), 4.0).unwrap();
        let checks = std::iter::repeat_n(0.3, 20).chain(std::iter::repeat_n(1.3, 20));
        let (warned, beyond) = first(&mut watch, checks);
        // Two standard deviations: within a few checks.
        assert!((20..25).contains(&warned.unwrap()), "{warned:?}");
        assert_eq!(beyond, None);
        assert_eq!(watch.feed(f64::NAN), None);
    }

    /// With scatter: 500 wrenches whose true deviation creeps by a tenth of a standard deviation from check to check. Each
    /// is warned of before the truth is at the limit. Sound wrenches are left alone for long: one false warning in more
    /// than 300 checks.
    #[test]
    fn scatter_neither_hides_a_drift_nor_cries_wolf() {
        let settings = settings();
        let scatter = settings.standard_deviation;
        let mut random = Random(7);
        for wrench in 0..500 {
            let mut watch = Watch::new(settings, 4.0).unwrap();
            let mut truths = (0..).map(|check| 0.1 * scatter * f64::from(check));
            let told = truths.find(|truth| {
                let check = settings.target + truth + random.normal(scatter);
                watch.feed(check).unwrap().0 != Watched::Quiet
            });
            // Twenty checks and more before the limit.
            assert!(told.unwrap() < 3.0, "wrench {wrench}: {told:?}");
        }
        let mut watch = Watch::new(settings, 4.0).unwrap();
        let checks = (0..60_000).map(|_| settings.target + random.normal(scatter));
        let is_quiet: Vec<_> = checks
            .map(|check| watch.feed(check).unwrap().0 == Watched::Quiet)
            .collect();
        let begun = is_quiet.windows(2).filter(|two| two[0] && !two[1]);
        assert!(begun.count() < 60_000 / 300);
    }

    #[test]
    fn checks_that_scatter_too_much_are_refused() {
        let refused = Watch::new(settings(), 0.4).unwrap_err();
        assert!(matches!(refused, ChartError::TooCoarse { .. }));
        assert!(refused.to_string().contains("mean of several pulls"));
        assert!(Watch::new(settings(), f64::NAN).is_err());
    }

    proptest! {
        /// The promise: any drift slower than the stated one is warned of first, whichever way and from whatever day on.
        #[test]
        fn a_drift_is_warned_of_before_the_limit(
            weight in 0.05..=1.0_f64, width in 2.0..3.5_f64, scatter in 0.1..0.9_f64, share in 0.02..1.0_f64,
            quiet in 0..30_usize, up: bool,
        ) {
            let settings = EwmaSettings { weight, width, standard_deviation: scatter, ..settings() };
            let Ok(mut watch) = Watch::new(settings, 4.0) else { return Ok(()) };
            let step = watch.fastest_drift() * share * if up { 1.0 } else { -1.0 };
            prop_assume!(step != 0.0);
            let still = std::iter::repeat_n(settings.target, quiet);
            let drift = (1..100_000).map(|day| settings.target + step * f64::from(day));
            let days = drift.take_while(|check| (check - settings.target).abs() < 9.0);
            let (warned, beyond) = first(&mut watch, still.chain(days));
            prop_assert!(warned.unwrap() < beyond.unwrap(), "{warned:?} {beyond:?}");
        }

        #[test]
        fn an_average_stays_between_its_values(values in prop::collection::vec(-9.0..9.0, 1..50)) {
            let mut chart = Ewma::new(settings()).unwrap();
            let least = values.iter().copied().fold(settings().target, f64::min);
            let most = values.iter().copied().fold(settings().target, f64::max);
            let mut before = 0.0;
            for value in values {
                let state = chart.feed(value).unwrap();
                prop_assert!(state.value >= least - 1e-12 && state.value <= most + 1e-12);
                prop_assert!(state.lower < state.upper);
                // The limits only widen.
                prop_assert!(state.upper - state.lower >= before);
                before = state.upper - state.lower;
            }
            prop_assert!(before <= 2.0 * chart.final_half_width() + 1e-12);
        }

        #[test]
        fn no_value_panics(values in prop::collection::vec(any::<f64>(), 0..50)) {
            let mut watch = Watch::new(settings(), 4.0).unwrap();
            let mut sums = Cusum::new(CusumSettings { target: 0.0, allowance: 0.5, interval: 4.0 }).unwrap();
            for value in values {
                prop_assert_eq!(watch.feed(value).is_some(), value.is_finite());
                prop_assert_eq!(sums.feed(value).is_some(), value.is_finite());
            }
        }
    }
}
