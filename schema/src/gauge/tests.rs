use super::*;
use crate::adapter::Adapter;
use crate::certificate::read_toml;
use crate::entry::CheckPull;
use crate::quantity::{Length, MicroTorque};
use proptest::prelude::*;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn certificate(more: &str) -> Certificate {
    let text = format!(
        "number = \"TM-1\"\nlaboratory = \"Tarn Metrology\"\ndate = 2026-01-01\ndue = 2027-01-01\n{more}"
    );
    read_toml(&text).unwrap().certificate
}

/// Points at 4 N·m (+0.6 %, u 0.35 %) and 12 N·m (−0.4 %, u 0.25 %); k = 2, so expanded 0.70 % and 0.50 % of the reference.
/// Indicated values are the reference times (1 + deviation). Computed from linear interpolation, `certificate::curve` tests the curve itself.
const TWO_POINTS: &str = "[[point]]\nindicated = \"4 N·m\"\nreference = \"3.976143 N·m\"\nexpanded = \"0.7 %\"\nk = 2\n\
    [[point]]\nindicated = \"12 N·m\"\nreference = \"12.048193 N·m\"\nexpanded = \"0.5 %\"\nk = 2\n";

fn wrench(certificate: Option<Certificate>) -> Tool {
    Tool {
        id: "w1".into(),
        serial: "KR-1".into(),
        title: "Wrench".into(),
        resolution: Some(Torque::from_small_units(10)),
        certificate,
        ..Tool::default()
    }
}

fn shown(millis: i64) -> Shown {
    Shown {
        torque: Torque::from_small_units(millis),
        step: None,
    }
}

fn at_once(tool: &Tool, millis: i64) -> (Torque, Worth) {
    Gauge::new(tool, &[], &[]).weigh(shown(millis), None, day("2026-01-01"))
}

fn micro(torque: Option<MicroTorque>) -> i64 {
    torque.map_or(0, MicroTorque::small_units)
}

#[test]
fn a_certificate_corrects_and_its_uncertainty_stays() {
    let tool = wrench(Some(certificate(TWO_POINTS)));
    let (applied, worth) = at_once(&tool, 8_000);
    // 8 / (1 + 0.001) = 7.992 008, rounded up
    assert_eq!(applied.small_units(), 7_993);
    assert_eq!(worth.deviation_ppm, 1_000);
    assert_eq!(worth.certificate().map(String::as_str), Some("TM-1"));
    // u = 0.30 % of 7.992 (ρ = 1), resolution 0.01/√12, no drift on the day itself
    assert!((micro(worth.lines.certificate) - 23_976).abs() <= 2);
    assert_eq!(micro(worth.lines.resolution), 2_887);
    assert_eq!(worth.lines.drift, None);
    assert_eq!(worth.coverage_thousandths, 2_000);
    assert!(worth.adds_up());
    // a pull on a left-hand thread
    let (left, mirrored) = at_once(&tool, -8_000);
    assert_eq!((left.small_units(), mirrored), (-7_993, worth));
}

#[test]
fn outside_the_points_and_without_a_certificate_the_class_limit_stands_in() {
    let certified = wrench(Some(certificate(TWO_POINTS)));
    let bare = wrench(None);
    let no_points = wrench(Some(certificate("")));
    for (tool, millis, expected) in [
        (&certified, 3_999, ClassBecause::OutsidePoints),
        (&certified, 12_001, ClassBecause::OutsidePoints),
        (&bare, 8_000, ClassBecause::NoCertificate),
        (&no_points, 8_000, ClassBecause::NoPoints),
    ] {
        let (applied, worth) = at_once(tool, millis);
        assert_eq!(applied.small_units(), millis, "nothing is corrected");
        assert_eq!(worth.basis, Basis::Class { because: expected });
        // ±6 % spread evenly: 6 % / √3 = 3.464 %
        let class = 0.06 / 3.0_f64.sqrt() * applied.newton_metres() * 1e6;
        assert!((f64::from(i32::try_from(micro(worth.lines.class)).unwrap()) - class).abs() <= 1.0);
        assert!(worth.adds_up());
    }
}

/// ISO 6789-1:2017, 5.1.5 (from memory): ±4 % for a tool whose maximum is above 10 N·m.
#[test]
fn a_class_that_is_stated_is_taken() {
    let mut tool = wrench(None);
    tool.class = Some("I-C".parse().unwrap());
    tool.highest = Some(Torque::from_small_units(25_000));
    let (_, worth) = at_once(&tool, 10_000);
    assert_eq!(
        micro(worth.lines.class),
        230_941,
        "0.04·10/√3 N·m, rounded up"
    );
}

#[test]
fn drift_grows_with_the_time_since_the_certificate() {
    let stated = wrench(Some(certificate(&format!(
        "drift_per_year = \"1 %\"\n{TWO_POINTS}"
    ))));
    let at = |tool: &Tool, earlier: &[Certificate], text: &str| {
        let (_, worth) = Gauge::new(tool, earlier, &[]).weigh(shown(4_000), None, day(text));
        micro(worth.lines.drift)
    };
    // 1 % a year, half a year (182 days), spread evenly over ±
    let half = 0.01 * 182.0 / DAYS_IN_A_YEAR / 3.0_f64.sqrt() * 3_976_143.0;
    assert!(
        (f64::from(i32::try_from(at(&stated, &[], "2026-07-02")).unwrap()) - half).abs() < 30.0
    );
    assert_eq!(at(&stated, &[], "2025-12-01"), 0, "before it there is none");

    // seen between two calibrations a year apart: it moved by 0.6 % at 4 N·m and 0.4 % at 12 N·m
    let mut before = certificate(
        "[[point]]\nindicated = \"4 N·m\"\nreference = \"4 N·m\"\nexpanded = \"0.7 %\"\nk = 2\n\
         [[point]]\nindicated = \"12 N·m\"\nreference = \"12 N·m\"\nexpanded = \"0.7 %\"\nk = 2\n",
    );
    before.date = day("2025-01-01");
    let silent = wrench(Some(certificate(TWO_POINTS)));
    let seen = 0.006 * 365.0 / DAYS_IN_A_YEAR / 3.0_f64.sqrt() * 3_976_143.0;
    let year = f64::from(i32::try_from(at(&silent, &[before], "2027-01-01")).unwrap());
    assert!((year - seen).abs() / seen < 0.01, "{year} {seen}");

    // nothing known: a quarter of the class limit a year
    let assumed = 0.25 * 0.06 / 3.0_f64.sqrt() * 3_976_143.0;
    let year = f64::from(i32::try_from(at(&silent, &[], "2027-01-01")).unwrap());
    assert!((year - assumed).abs() / assumed < 0.01);
}

#[test]
fn what_the_certificate_covers_is_not_counted_twice() {
    let more = format!(
        "covers = [\"resolution\", \"repeatability\"]\nrepeatability = \"0.5 %\"\nreproducibility = \"0.2 %\"\n{TWO_POINTS}"
    );
    let (_, worth) = at_once(&wrench(Some(certificate(&more))), 4_000);
    assert_eq!(
        (worth.lines.resolution, worth.lines.repeatability),
        (None, None)
    );
    assert!(worth.lines.reproducibility.is_some());
    // beyond its points the certificate covers nothing
    let (_, worth) = at_once(&wrench(Some(certificate(&more))), 15_000);
    assert!(worth.lines.resolution.is_some() && worth.lines.repeatability.is_some());
}

#[test]
fn repeatability_comes_from_the_checks_where_nobody_states_it() {
    let pull = |reference| CheckPull {
        reading: None,
        indicated: MicroTorque::from_small_units(5_000_000),
        reference: MicroTorque::from_small_units(reference),
    };
    let check = ToolCheck {
        tool: "w1".into(),
        against: "tester".into(),
        pulls: vec![pull(5_000_000), pull(5_050_000), pull(4_950_000)],
        by: "Runa".into(),
    };
    let tool = wrench(Some(certificate(TWO_POINTS)));
    let gauge = Gauge::new(&tool, &[], &[check]);
    let (_, worth) = gauge.weigh(shown(5_000), None, day("2026-01-01"));
    // deviations 0, −0.990 %, +1.010 %: s = 1.0002 %
    assert!((micro(worth.lines.repeatability) - 49_770).abs() < 150);
    assert_eq!(worth.lines.repeatability_freedom, Some(2));
    assert!(worth.freedom.unwrap() < 10 && worth.coverage_thousandths > 2_000);
}

/// Effective length 300 mm, adapter 50 mm straight out: 34.2857 N·m on the wrench are 40 N·m at the bolt; square to the
/// handle they stay; folded back they become less (computed from T = S·(L + E·cos θ)/L; the straight case after FAA
/// AC 43.13-1B, 7-40(h)).
#[test]
fn an_offset_adapter_changes_the_torque_and_a_straight_one_does_not() {
    let mut tool = wrench(None);
    tool.highest = Some(Torque::from_small_units(60_000));
    let gauge = Gauge::new(&tool, &[], &[]);
    let fitted = |length, angle_degrees| Fitted {
        adapter: Adapter {
            title: "crow-foot".into(),
            length,
            angle_degrees,
        },
        lever: Some(Length::from_small_units(300_000)),
    };
    let fifty = Some(Length::from_small_units(50_000));
    for (length, angle, expected) in [
        (fifty, 0, 40_000),
        (fifty, 90, 34_285),
        (fifty, 180, 28_571),
        (None, 0, 34_285),
    ] {
        let fitted = fitted(length, angle);
        let (applied, worth) = gauge.weigh(shown(34_285), Some(&fitted), day("2026-01-01"));
        assert!(
            (applied.small_units() - expected).abs() <= 1,
            "{angle}°: {applied}"
        );
        assert_eq!(worth.lines.adapter.is_some(), expected != 34_285);
        assert!(worth.adds_up());
    }
    let mut unknown = fitted(fifty, 0);
    unknown.lever = None;
    assert!(unknown.is_unknown());
    assert_eq!(unknown.leverage().to_bits(), 1.0_f64.to_bits());
}

proptest! {
    /// Whatever is shown: the figures kept add up again, the torque follows from them, and the guard is never narrower than
    /// the expanded uncertainty.
    #[test]
    fn what_is_kept_adds_up(millis in -60_000_i64..60_000, days in 0_i64..2_000, length in proptest::option::of(1_000_i64..200_000), angle in 0_u16..=180) {
        let tool = wrench(Some(certificate(&format!("repeatability = \"0.3 %\"\nrepeatability_readings = 5\n{TWO_POINTS}"))));
        let fitted = Fitted {
            adapter: Adapter { title: "a".into(), length: length.map(Length::from_small_units), angle_degrees: angle },
            lever: Some(Length::from_small_units(250_000)),
        };
        let on = day("2026-01-01") + chrono::Days::new(days.unsigned_abs());
        let (applied, worth) = Gauge::new(&tool, &[], &[]).weigh(shown(millis), Some(&fitted), on);
        prop_assert!(worth.adds_up(), "{worth:?}");
        prop_assert_eq!(applied, apply(Torque::from_small_units(millis), worth.deviation_ppm, Some(&fitted)));
        prop_assert!(worth.guard().small_units() * 1000 >= worth.expanded.small_units());
        prop_assert_eq!(applied.small_units().signum(), millis.signum());
    }
}
