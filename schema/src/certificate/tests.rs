mod checks;
mod csv_files;
mod curves;
mod dcc_files;
mod dcc_random;
mod dcc_refused;
mod forms;
mod toml_files;

use super::*;
use proptest::prelude::*;

/// A point in µN·m, k in thousandths.
fn point(indicated: i64, reference: i64, expanded: i64, k: u32) -> Point {
    Point {
        indicated: MicroTorque::from_small_units(indicated),
        reference: MicroTorque::from_small_units(reference),
        expanded: MicroTorque::from_small_units(expanded),
        coverage_factor_thousandths: k,
        degrees_of_freedom: None,
        readings: None,
    }
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn certificate(points: &[Point]) -> Certificate {
    Certificate {
        number: "PL-0311".to_owned(),
        laboratory: "Tarn Metrology".to_owned(),
        date: day("2026-05-04"),
        due: day("2027-05-04"),
        serial: Some("KR-2207".to_owned()),
        conditions: None,
        method: None,
        state: None,
        direction: None,
        points: points.to_vec(),
        covers: BTreeSet::new(),
        repeatability_ppm: None,
        repeatability_readings: None,
        reproducibility_ppm: None,
        drift_ppm_per_year: None,
        file: None,
    }
}

prop_compose! {
    fn any_text()(text in "[ -~äµ·°]{1,30}") -> String { text }
}

prop_compose! {
    /// Points that rise, each with a deviation of at most 10 %.
    fn any_points()(
        steps in proptest::collection::vec((500_000_i64..20_000_000, -100_000_i64..100_000, 1_i64..5_000_000, 1_000_u32..=5_000), 1..9),
        degrees in proptest::option::of(1_u32..200),
        readings in proptest::option::of(1_u32..20),
    ) -> Vec<Point> {
        let mut indicated = 0;
        steps.into_iter().map(|(step, deviation_ppm, expanded, k)| {
            indicated += step;
            let reference = indicated - indicated * deviation_ppm / 1_000_000;
            Point { degrees_of_freedom: degrees, readings, ..point(indicated, reference, expanded, k) }
        }).collect()
    }
}

prop_compose! {
    fn any_certificate()(
        number in any_text(), laboratory in any_text(),
        serial in proptest::option::of(any_text()), conditions in proptest::option::of(any_text()),
        method in proptest::option::of(any_text()),
        state in proptest::option::of(proptest::sample::select(vec![State::AsFound, State::AsLeft, State::NotAdjusted])),
        direction in proptest::option::of(proptest::sample::select(vec![Direction::Clockwise, Direction::Anticlockwise, Direction::Both])),
        covers in proptest::collection::btree_set(proptest::sample::select(vec![Contribution::Resolution, Contribution::Repeatability, Contribution::Reproducibility]), 0..4),
        ratios in proptest::array::uniform4(proptest::option::of(2_u32..500_000)),
        points in any_points(),
    ) -> Certificate {
        let [repeatability_ppm, repeatability_readings, reproducibility_ppm, drift_ppm_per_year] = ratios;
        Certificate {
            number, laboratory, serial, conditions, method, state, direction, covers,
            repeatability_ppm, repeatability_readings, reproducibility_ppm, drift_ppm_per_year,
            ..certificate(&points)
        }
    }
}
