//! Synthetic traces with known answers, reckoned from their formulas by a program apart from this one, at 200 samples a second.
//! The thresholds are met exactly, so times are compared exactly and torques to 1 µN·m.

use super::*;
use crate::intake::trace::{Drawn, draw, pack, unpack};
use proptest::prelude::*;
use pullmark_schema::quantity::{Decimal, Torque, Unit};
use std::f64::consts::PI;

fn smooth(t: f64) -> f64 {
    if (0.5..1.7).contains(&t) {
        5.08 * (PI * (t - 0.5) / 1.2).sin().powi(2)
    } else {
        0.0
    }
}

fn click_with_overshoot(t: f64) -> f64 {
    match t {
        ..0.2 => 0.0,
        ..0.70 => 10.0 * (t - 0.2),
        ..0.72 => 5.0 - 60.0 * (t - 0.70),
        ..0.84 => 3.8 + 15.0 * (t - 0.72),
        ..0.89 => 5.6,
        ..1.09 => 5.6 * (1.09 - t) / 0.2,
        _ => 0.0,
    }
}

fn knock_held_and_repeat(t: f64) -> f64 {
    match t {
        ..0.10 => 0.0,
        ..0.12 => 1.2 * (PI * (t - 0.10) / 0.02).sin(),
        ..0.4 => 0.0,
        ..0.9 => 8.0 * (t - 0.4),
        ..1.3 => 4.0 + 0.02 * (2.0 * PI * 12.5 * (t - 0.9)).sin(),
        ..1.5 => 4.0 * (1.5 - t) / 0.2,
        ..1.62 => 0.0,
        ..2.145 => 8.0 * (t - 1.62),
        ..2.345 => 4.2,
        ..2.545 => 4.2 * (2.545 - t) / 0.2,
        _ => 0.0,
    }
}

fn settings(filter: Option<f64>, rate: u32) -> Settings {
    let profile: Profile = toml::from_str("name = \"t\"\ntitle = \"t\"\n[stream]\n").unwrap();
    let mut settings = Settings::new(&profile, profile.stream.as_ref().unwrap()).unwrap();
    settings.filter = filter;
    settings.sample = Some(1_000_000 / u64::from(rate));
    settings
}

/// A sample of so many µN·m.
fn seen(micro: i64) -> Seen {
    let number = pullmark_schema::quantity::Stated {
        value: Decimal::new(micro, 6).unwrap(),
        unit: Unit::find("N.m").unwrap(),
    };
    Seen {
        number: Some(number),
        torque: Torque::of(number, Rounding::Up).ok(),
        ..Seen::default()
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a torque of a few N·m")]
fn micro(newton_metres: f64) -> i64 {
    (newton_metres * 1e6).round() as i64
}

fn sample(trace: impl Fn(f64) -> f64, seconds: f64, phase: f64, rate: u32) -> Vec<i64> {
    let count = (seconds * f64::from(rate)).round();
    let times = (0..).map(f64::from).take_while(|n| *n < count);
    times
        .map(|n| micro(trace((n + phase) / f64::from(rate))))
        .collect()
}

fn run(settings: Settings, samples: &[i64]) -> Vec<Found> {
    let mut puller = Puller::new(settings);
    let mut found = Vec::new();
    let step = settings.sample.unwrap();
    for (at, torque) in (0..).step_by(usize::try_from(step).unwrap()).zip(samples) {
        puller.push(seen(*torque), at, |what| {
            if !matches!(what, Found::Rising(_)) {
                found.push(what);
            }
        });
    }
    found
}

fn pulls(found: Vec<Found>) -> Vec<Pull> {
    found
        .into_iter()
        .filter_map(|found| match found {
            Found::Pull(pull) => Some(*pull),
            _ => None,
        })
        .collect()
}

/// Begin and end in ms, peak and when, in µN·m.
fn figures(pull: &Pull) -> (u64, u64, i64, u64) {
    let at = |index: usize| pull.samples.get(index).unwrap().at / 1000;
    (at(0), at(pull.length), pull.peak, at(pull.peak_index))
}

fn at(pull: &Pull, index: usize) -> u64 {
    pull.samples.get(index).unwrap().at / 1000
}

#[test]
fn a_smooth_pull() {
    let found = pulls(run(settings(None, 200), &sample(smooth, 2.2, 0.0, 200)));
    assert_eq!(found.len(), 1);
    let pull = &found[0];
    assert_eq!(figures(pull), (625, 1615, 5_080_000, 1_100));
    assert_eq!(pull.first_peak, Some(5_080_000));
    assert!(!pull.clicked && pull.plateau.is_none() && !pull.is_repeat && !pull.samples_lost);
    assert_eq!(pull.torque(), Torque::from_small_units(5_080));
}

#[test]
fn a_click_with_overshoot() {
    let found = pulls(run(
        settings(None, 200),
        &sample(click_with_overshoot, 1.6, 0.0, 200),
    ));
    assert_eq!(found.len(), 1);
    let pull = &found[0];
    assert_eq!(figures(pull), (250, 1085, 5_600_000, 840));
    assert_eq!(pull.first_peak, Some(5_000_000));
    assert_eq!(at(pull, pull.first_peak_index.unwrap()), 700);
    assert!(pull.clicked && pull.plateau.is_none());
    assert_eq!(pull.reached(true), Torque::from_small_units(5_000));
    assert_eq!(pull.reached(false), Torque::from_small_units(5_600));
}

#[test]
fn a_knock_a_held_pull_and_a_repeat() {
    let found = run(
        settings(None, 200),
        &sample(knock_held_and_repeat, 3.0, 0.0, 200),
    );
    let [Found::Knock(knock), Found::Pull(held), Found::Pull(repeat)] = &found[..] else {
        panic!("{found:?}")
    };
    assert_eq!(figures(knock), (105, 120, 1_200_000, 110));
    assert_eq!(figures(held), (465, 1490, 4_020_000, 920));
    let (plateau, begin) = held.plateau.unwrap();
    assert_eq!((plateau, at(held, begin)), (4_000_000, 900));
    assert!(!held.clicked && !held.is_repeat);
    assert_eq!(figures(repeat), (1685, 2535, 4_200_000, 2145));
    assert!(
        repeat.plateau.is_none() && repeat.is_repeat,
        "held for 0.2 s only"
    );
}

#[test]
fn a_filter_takes_from_the_peak_and_never_from_what_the_bolt_got() {
    for (hertz, smooth_peak, first, overshoot, held, knock) in [
        (50.0, 5_079_652, 4_986_878, 5_600_000, 4_019_420, 1_090_268),
        (20.0, 5_077_851, 4_942_822, 5_599_840, 4_017_066, 807_165),
    ] {
        let settings = settings(Some(hertz), 200);
        let near = |found: i64, expected: i64| {
            assert!((found - expected).abs() <= 1, "{found} {expected}");
        };
        let found = pulls(run(settings, &sample(smooth, 2.2, 0.0, 200)));
        near(found[0].peak, smooth_peak);
        assert_eq!(found[0].raw_peak, 5_080_000);
        let found = pulls(run(settings, &sample(click_with_overshoot, 1.6, 0.0, 200)));
        near(found[0].first_peak.unwrap(), first);
        near(found[0].peak, overshoot);
        let found = run(settings, &sample(knock_held_and_repeat, 3.0, 0.0, 200));
        let [Found::Knock(short), Found::Pull(long), Found::Pull(_)] = &found[..] else {
            panic!("{found:?}")
        };
        near(short.peak, knock);
        near(long.peak, held);
    }
}

#[test]
fn from_fifty_samples_a_second_on_a_click_is_seen_and_below_it_is_not_looked_for() {
    for rate in [50, 100, 200, 1_000] {
        let (mut lowest, mut highest) = (i64::MAX, 0);
        for phase in (0..50).map(|step| f64::from(step) / 50.0) {
            let found = pulls(run(
                settings(None, rate),
                &sample(click_with_overshoot, 1.6, phase, rate),
            ));
            assert_eq!(found.len(), 1, "{rate} {phase}");
            assert!(found[0].clicked, "{rate} {phase}");
            assert!(
                found[0].peak >= 5_599_000,
                "the hold of 50 ms shows the whole peak"
            );
            lowest = lowest.min(found[0].first_peak.unwrap());
            highest = highest.max(found[0].first_peak.unwrap());
        }
        // the cut of a corner by the time between two samples: at 50 a second down to 4.83 N·m, at 100 to 4.92
        let least = match rate {
            50 => 4_820_000,
            100 => 4_910_000,
            _ => 4_950_000,
        };
        assert!(
            lowest >= least && highest <= 5_000_000,
            "{rate}: {lowest} to {highest}"
        );
    }
    for pull in pulls(run(
        settings(None, 20),
        &sample(click_with_overshoot, 1.6, 0.0, 20),
    )) {
        assert_eq!((pull.first_peak, pull.clicked), (None, false));
    }
}

#[test]
fn counter_clockwise_is_the_same_the_other_way() {
    let back: Vec<i64> = sample(click_with_overshoot, 1.6, 0.0, 200)
        .iter()
        .map(|torque| -torque)
        .collect();
    let found = pulls(run(settings(None, 200), &back));
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].peak, found[0].clicked), (5_600_000, true));
    assert_eq!(found[0].torque(), Torque::from_small_units(-5_600));
}

#[test]
fn a_dip_does_not_end_a_pull_and_a_gap_does() {
    let hold = |low: usize| {
        [
            vec![3_000_000; 40],
            vec![0; low],
            vec![4_000_000; 40],
            vec![0; 20],
        ]
        .concat()
    };
    assert_eq!(pulls(run(settings(None, 200), &hold(9))).len(), 1);
    assert_eq!(pulls(run(settings(None, 200), &hold(12))).len(), 2);
}

#[test]
fn missing_counts_and_silences_make_the_peak_a_lower_bound() {
    let mut settings = settings(None, 200);
    let feed = |settings: Settings, step: u64, skip_at: Option<u64>| {
        let mut puller = Puller::new(settings);
        let mut lost = None;
        let samples = sample(smooth, 2.2, 0.0, 200);
        for (n, torque) in (0_u64..).zip(samples) {
            let late = if skip_at.is_some_and(|at| n >= at) {
                400_000
            } else {
                0
            };
            let counter = n + u64::from(late > 0 && step == 0) * 3;
            let seen = Seen {
                counter: (step == 0).then_some(counter),
                ..seen(torque)
            };
            puller.push(seen, n * 5_000 + late, |found| {
                if let Found::Pull(pull) = found {
                    lost = Some(pull.samples_lost);
                }
            });
        }
        lost.unwrap()
    };
    assert!(!feed(settings, 0, None));
    assert!(feed(settings, 0, Some(220)), "three counts are missing");
    assert!(!feed(settings, 1, None));
    assert!(feed(settings, 1, Some(220)), "samples came 0.4 s late");
    settings.sample = None;
    let mut puller = Puller::new(settings);
    let mut lost = false;
    for n in 0..300_u64 {
        let at = n * 5_000 + if n >= 150 { 100_000 } else { 0 };
        let torque = if (50..250).contains(&n) { 3_000_000 } else { 0 };
        puller.push(seen(torque), at, |found| {
            lost |= matches!(found, Found::Pull(pull) if pull.samples_lost);
        });
    }
    assert!(lost, "a pause of twenty times the usual one");
}

#[test]
fn a_pull_whose_samples_stop_is_over_and_one_that_never_ends_comes_in_parts() {
    let mut puller = Puller::new(settings(None, 200));
    for n in 0..100 {
        puller.push(seen(4_000_000), n * 5_000, |_| ());
    }
    let mut found = Vec::new();
    puller.idle(900_000, |what| found.push(what));
    assert!(found.is_empty());
    puller.idle(1_500_000, |what| found.push(what));
    assert!(matches!(&found[..], [Found::Pull(pull)] if pull.samples_lost && pull.length == 100));
    let long = vec![4_000_000; 250_000];
    let found = pulls(run(settings(None, 1_000), &long));
    assert_eq!(found.len(), 2, "the rest is still under way");
    assert!(found.iter().all(|pull| pull.samples.len() <= MOST_SAMPLES));
}

#[test]
fn past_the_range_is_told_at_once_and_has_no_figure() {
    let mut puller = Puller::new(settings(None, 200));
    let mut found = Vec::new();
    let past = Seen::default();
    for n in 0..100_u64 {
        let sample = match n {
            20..30 => seen(20_000_000),
            30..60 => past,
            60..70 => seen(21_000_000),
            _ => seen(0),
        };
        puller.push(sample, n * 5_000, |what| found.push(what));
    }
    assert!(
        found
            .iter()
            .any(|what| matches!(what, Found::Rising(seen) if seen.torque.is_none()))
    );
    let pull = pulls(found).pop().unwrap();
    assert_eq!(pull.highest.torque, None);
}

#[test]
fn a_trace_is_small_and_reads_back() {
    let pull = pulls(run(
        settings(None, 200),
        &sample(click_with_overshoot, 1.6, 0.0, 200),
    ))
    .pop()
    .unwrap();
    let packed = pull.pack();
    let samples: Vec<(u64, i64)> = pull
        .samples
        .iter()
        .map(|sample| (sample.at, sample.raw))
        .collect();
    assert_eq!(unpack(&packed).unwrap(), samples);
    assert!(
        packed.len() < samples.len() * 5,
        "{} bytes for {} samples",
        packed.len(),
        samples.len()
    );
    let svg = draw(&Drawn {
        samples: &samples,
        limits: &[("upper", 5_500)],
        first_peak: None,
    });
    assert!(svg.starts_with("<svg") && svg.contains("polyline") && svg.contains("class=\"upper\""));
    for cut in 0..packed.len() {
        assert_eq!(unpack(&packed[..cut]), None);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    #[test]
    fn any_trace_reads_back(samples in proptest::collection::vec((0_u64..1 << 50, -(1_i64 << 40)..1 << 40), 0..60)) {
        let samples: Vec<Sample> = samples.into_iter().map(|(at, raw)| Sample { at, raw, filtered: raw }).collect();
        let back = unpack(&pack(&samples)).unwrap();
        prop_assert_eq!(back, samples.iter().map(|sample| (sample.at, sample.raw)).collect::<Vec<_>>());
    }

    #[test]
    fn no_bytes_are_a_trace_that_is_too_much(bytes in proptest::collection::vec(any::<u8>(), 0..60)) {
        let bytes = [b"PMT1".as_slice(), &bytes].concat();
        if let Some(samples) = unpack(&bytes) {
            let _ = draw(&Drawn { samples: &samples, limits: &[("upper", 5_500)], first_peak: None });
        }
    }

    /// Whatever comes: the highest sample is told while it comes, and no pull is below what was told.
    #[test]
    fn the_highest_is_always_told(torques in proptest::collection::vec(-9_000_000_i64..9_000_000, 1..200), hertz in proptest::option::of(1_u32..400)) {
        let mut puller = Puller::new(settings(hertz.map(f64::from), 200));
        let (mut told, mut highest) = (0, 0);
        for (n, torque) in (0_u64..).zip(torques.iter().copied().chain([0; 200])) {
            highest = highest.max(torque.abs());
            puller.push(seen(torque), n * 5_000, |found| match found {
                Found::Rising(seen) => told = told.max(seen.micro().unwrap().abs()),
                Found::Pull(pull) | Found::Knock(pull) => assert!(pull.raw_peak >= pull.highest.micro().unwrap().abs()),
            });
        }
        if highest >= 500_000 && torques.iter().all(|torque| *torque >= 0) {
            prop_assert_eq!(told, highest);
        }
    }
}
