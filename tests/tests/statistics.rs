//! The mathematics of measuring, worked out again by `SciPy` over random figures (see `published/check_statistics.py`).
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::measure::budget::{Contribution, Line, combine};
use pullmark_schema::measure::capability::{Sample, Spread, capability};
use pullmark_schema::measure::chart::{Cusum, CusumSettings, Ewma, EwmaSettings};
use pullmark_schema::measure::decision::{Zone, probabilities, zone_for_probability};
use pullmark_schema::measure::drift::{Calibrated, between_calibrations, normalized_error};
use pullmark_schema::measure::interpolation::{Point, interpolate};
use pullmark_schema::measure::statistics::{
    chi_squared_cdf, chi_squared_quantile, normal_cdf, normal_quantile, normal_tail, student_cdf,
    student_coverage, student_quantile, student_tail,
};
use pullmark_tests::python::{published, python};
use pullmark_tests::{Command, Said};
use serde_json::{Value, json};
use std::path::Path;
use std::time::Duration;

const SEED: u64 = 0x7075_6c6c_6d61_726b;
/// Cases of each kind.
const MANY: usize = 400;
/// Of the kinds that are slow to work out again.
const FEW: usize = 25;

/// `SplitMix64` (Steele, Lea and Flood, 2014, from memory): good enough to spread test figures, the same on every machine.
struct Random(u64);

impl Random {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        let high = u32::try_from((z ^ (z >> 31)) >> 32).unwrap();
        (f64::from(high) + 0.5) / 4_294_967_296.0
    }

    fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.share()
    }

    /// Evenly on a logarithmic scale.
    fn scale(&mut self, from: f64, to: f64) -> f64 {
        self.between(from.ln(), to.ln()).exp()
    }

    /// Half of them whole numbers.
    fn freedom(&mut self, most: f64) -> f64 {
        let freedom = self.scale(1.0, most);
        if self.share() < 0.5 {
            freedom.floor()
        } else {
            freedom
        }
    }

    /// Both tails, down to a millionth of a millionth.
    fn probability(&mut self) -> f64 {
        let p = self.scale(1e-12, 0.5);
        if self.share() < 0.5 { p } else { 1.0 - p }
    }

    fn maybe(&mut self, figure: f64) -> Option<f64> {
        (self.share() < 0.6).then_some(figure)
    }

    fn values(&mut self, count: usize, from: f64, to: f64) -> Vec<f64> {
        (0..count).map(|_| self.between(from, to)).collect()
    }
}

struct Cases {
    random: Random,
    list: Vec<Value>,
}

impl Cases {
    #[expect(
        clippy::needless_pass_by_value,
        reason = "a case is written down where it is made"
    )]
    fn add(&mut self, what: &str, given: Value, found: &[f64]) {
        for figure in found {
            assert!(figure.is_finite(), "{what} {given}: {found:?}");
        }
        self.list
            .push(json!({ "what": what, "given": given, "found": found }));
    }

    fn distributions(&mut self) {
        for _ in 0..MANY {
            let z = self.random.between(-36.0, 8.0);
            self.add("normal-cdf", json!([z]), &[normal_cdf(z)]);
            self.add("normal-tail", json!([-z]), &[normal_tail(-z)]);
            let p = self.random.probability();
            self.add("normal-quantile", json!([p]), &[normal_quantile(p)]);
            let freedom = self.random.freedom(1e7);
            let t = self.random.scale(1e-4, 30.0);
            self.add(
                "student-cdf",
                json!([-t, freedom]),
                &[student_cdf(-t, freedom)],
            );
            self.add(
                "student-cdf",
                json!([t, freedom]),
                &[student_cdf(t, freedom)],
            );
            self.add(
                "student-tail",
                json!([t, freedom]),
                &[student_tail(t, freedom)],
            );
            let quantile = student_quantile(p, freedom);
            self.add("student-quantile", json!([p, freedom]), &[quantile]);
            let p = self.random.between(0.5, 0.9999);
            let k = student_coverage(p, freedom);
            self.add("student-coverage", json!([p, freedom]), &[k]);
            self.chi_squared();
        }
    }

    fn chi_squared(&mut self) {
        let freedom = self.random.freedom(1e5);
        let p = self.random.probability();
        let x = chi_squared_quantile(p, freedom);
        self.add("chi-squared-quantile", json!([p, freedom]), &[x]);
        let x = x * self.random.between(0.8, 1.25);
        let found = chi_squared_cdf(x, freedom);
        if found > 1e-290 {
            self.add("chi-squared-cdf", json!([x, freedom]), &[found]);
        }
    }

    fn decisions(&mut self) {
        for number in 0..MANY {
            let lower = self.random.between(1.0, 40.0);
            let upper = lower * self.random.between(1.01, 1.5);
            let best = self.random.between(lower * 0.8, upper * 1.2);
            let standard = (upper - lower) * self.random.scale(0.02, 3.0);
            let freedom = self.random.freedom(1e4);
            let freedom = self.random.maybe(freedom);
            let lower = self.random.maybe(lower);
            let found = probabilities(best, standard, freedom, lower, upper);
            let given = json!({ "best": best, "standard": standard, "freedom": freedom, "lower": lower, "upper": upper });
            let figures = [found.under, found.within, found.over];
            self.add("probabilities", given, &figures);
            if let (Some(lower), true) = (lower, number < MANY / 4) {
                self.zone(standard, freedom, lower, upper);
            }
        }
    }

    fn zone(&mut self, standard: f64, freedom: Option<f64>, lower: f64, upper: f64) {
        let probability = self.random.between(0.6, 0.99);
        // Wider, and there is no zone.
        let standard = standard.min((upper - lower) / 5.0);
        let zone = zone_for_probability(standard, freedom, Some(lower), upper, probability);
        if let Zone::Between { upper: end, .. } = zone {
            let given = json!([standard, freedom, lower, upper, probability]);
            self.add("zone", given, &[end]);
        }
    }

    fn budgets(&mut self) {
        for number in 0..MANY {
            let lines: Vec<(f64, Option<f64>)> = (0..=number % 7)
                .map(|_| {
                    let freedom = self.random.freedom(200.0);
                    (self.random.scale(1e-3, 1.0), self.random.maybe(freedom))
                })
                .collect();
            let probability = self.random.between(0.6, 0.999);
            let budget: Vec<Line> = lines
                .iter()
                .map(|&(standard, freedom)| Line {
                    name: Contribution::Repeatability,
                    standard,
                    freedom,
                })
                .collect();
            let all = combine(&budget, probability);
            let freedom = all.freedom.unwrap_or(0.0);
            let found = [all.standard, freedom, all.coverage_factor, all.expanded];
            let given = json!({ "lines": lines, "probability": probability });
            self.add("budget", given, &found);
        }
    }

    fn charts(&mut self) {
        for number in 0..MANY / 4 {
            let target = self.random.between(-5.0, 50.0);
            let values = self
                .random
                .values(1 + number % 60, target - 3.0, target + 3.5);
            let sigma = self.random.scale(0.1, 3.0);
            let weight = self.random.between(0.02, 1.0);
            let width = self.random.between(1.0, 4.0);
            let mut chart = Ewma::new(EwmaSettings {
                target,
                standard_deviation: sigma,
                weight,
                width,
            })
            .unwrap();
            let states = values.iter().map(|value| chart.feed(*value).unwrap());
            let found: Vec<f64> = states
                .flat_map(|state| [state.value, state.lower, state.upper])
                .collect();
            let given = json!({ "target": target, "sigma": sigma, "weight": weight, "width": width, "values": values });
            self.add("ewma", given, &found);
            let allowance = self.random.between(0.0, 1.5);
            let mut chart = Cusum::new(CusumSettings {
                target,
                allowance,
                interval: 4.0,
            })
            .unwrap();
            let states = values.iter().map(|value| chart.feed(*value).unwrap());
            let found: Vec<f64> = states.flat_map(|state| [state.high, state.low]).collect();
            let given = json!({ "target": target, "allowance": allowance, "values": values });
            self.add("cusum", given, &found);
        }
    }

    fn calibrations(&mut self) {
        for _ in 0..MANY {
            let mut torque = 0.0;
            let points: Vec<[f64; 3]> = (0..4)
                .map(|_| {
                    torque += self.random.between(1.0, 8.0);
                    [
                        torque,
                        self.random.between(-4.0, 4.0),
                        self.random.between(0.05, 1.0),
                    ]
                })
                .collect();
            let at = self.random.between(points[0][0], points[3][0]);
            let correlation = self.random.share();
            let between = self.random.between(0.0, 0.5);
            let certificate = points.iter().map(|&[torque, error, standard]| Point {
                torque,
                error,
                standard,
            });
            let certificate: Vec<Point> = certificate.collect();
            let found = interpolate(&certificate, at, correlation, between).unwrap();
            let given = json!({ "points": points, "torque": at, "correlation": correlation, "between": between });
            let figures = [found.error, found.standard, found.corrected];
            self.add("interpolation", given, &figures);
            self.two_calibrations();
        }
    }

    fn two_calibrations(&mut self) {
        let deviations = self.random.values(2, -5.0, 5.0);
        let expanded = self.random.values(2, 0.05, 2.0);
        let [first, second] = [0, 1].map(|which| Calibrated {
            deviation: deviations[which],
            expanded: expanded[which],
        });
        let given = json!([deviations[0], deviations[1], expanded[0], expanded[1]]);
        self.add(
            "normalized-error",
            given,
            &[normalized_error(first, second)],
        );
        let share = self.random.share();
        let found = between_calibrations(deviations[0], deviations[1], share).unwrap();
        let given = json!([deviations[0], deviations[1], share]);
        self.add("between-calibrations", given, &[found]);
    }

    fn capabilities(&mut self) {
        for number in 0..MANY {
            let readings = 5 + number;
            let groups = self.random.between(1.0, 3.99).floor();
            let freedom = f64::from(u16::try_from(readings).unwrap()) - groups;
            let sample = Sample {
                mean: self.random.between(4.8, 5.2),
                standard_deviation: self.random.scale(0.05, 0.4),
                readings,
                freedom,
                spread: Spread::WithinGroups,
            };
            let confidence = self.random.between(0.6, 0.99);
            let both = capability(&sample, Some(4.5), 5.5, confidence).unwrap();
            let (cp, cpk) = (both.potential.unwrap(), both.actual);
            let given = json!([cp.estimate, freedom, confidence]);
            self.add("cp", given, &[cp.from, cp.to]);
            let given = json!([cpk.estimate, readings, freedom, confidence]);
            self.add("cpk", given, &[cpk.from, cpk.to]);
            if number % (MANY / FEW) == 0 {
                let cpu = capability(&sample, None, 5.5, confidence).unwrap().actual;
                let given = json!([cpu.estimate, readings, freedom, confidence]);
                self.add("cpu", given, &[cpu.from, cpu.to]);
            }
        }
    }
}

/// All cases, always the same.
fn cases() -> Vec<Value> {
    let mut cases = Cases {
        random: Random(SEED),
        list: Vec::new(),
    };
    cases.distributions();
    cases.decisions();
    cases.budgets();
    cases.charts();
    cases.calibrations();
    cases.capabilities();
    cases.list
}

fn check(home: &Path, cases: &[Value]) -> Said {
    let file = home.join("cases.json");
    std::fs::write(&file, json!({ "cases": cases }).to_string()).unwrap();
    Command::new(python(), home)
        .arg(published("check_statistics.py"))
        .arg(&file)
        // To load SciPy on a busy machine takes a while.
        .within(Duration::from_mins(2))
        .run()
}

#[test]
fn scipy_comes_to_the_same() {
    let home = tempfile::tempdir().unwrap();
    let cases = cases();
    let said = check(home.path(), &cases);
    said.ok();
    println!("{}", said.out);
    // Every kind was looked at, and there were enough of each.
    for case in &cases {
        let what = case["what"].as_str().unwrap();
        let line = said
            .out
            .lines()
            .find(|line| line.starts_with(&format!("{what} ")));
        let count = line.and_then(|line| line.split_whitespace().nth(1)?.parse().ok());
        assert!(
            count.is_some_and(|count: usize| count >= FEW),
            "{what}: {count:?}"
        );
    }
}

/// A figure that is off by a hundred millionth is refused, of whatever kind it is, and one is enough.
#[test]
fn scipy_refuses_a_figure_that_is_off() {
    let home = tempfile::tempdir().unwrap();
    let mut kinds: Vec<Value> = Vec::new();
    for case in cases() {
        if !kinds.iter().any(|known| known["what"] == case["what"]) {
            kinds.push(case);
        }
    }
    check(home.path(), &kinds).ok();
    let mut one = kinds.clone();
    tamper(one.last_mut().unwrap());
    check(home.path(), &one).status(1).says(&["does not agree"]);
    kinds.iter_mut().for_each(tamper);
    let said = check(home.path(), &kinds);
    said.status(1);
    for kind in &kinds {
        let what = kind["what"].as_str().unwrap();
        let line = line_of(&said, what).unwrap();
        assert!(line.ends_with("does not agree"), "{line}");
    }
    check(home.path(), &[]).status(2);
}

fn tamper(case: &mut Value) {
    let figure = case["found"].as_array_mut().unwrap().last_mut().unwrap();
    *figure = json!(figure.as_f64().unwrap() * (1.0 + 1e-8) + 1e-8);
}

/// What the checker says of one kind.
fn line_of<'a>(said: &'a Said, what: &str) -> Option<&'a str> {
    let begin = format!("{what} ");
    said.out.lines().find(|line| line.starts_with(&begin))
}
