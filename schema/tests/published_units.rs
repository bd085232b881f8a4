//! The unit table against the exact definitions it rests on, and against another library.
//!
//! Sources: NIST SP 811 (2008), appendix B, and the definitions named there: 1 in = 25.4 mm and
//! 1 lb = 0.453 592 37 kg (exact since the yard and pound agreement of 1959), standard gravity 9.806 65 m/s² (3rd CGPM,
//! 1901), 1 bar = 10⁵ Pa. The figures are recomputed here from these alone with whole numbers; the pages themselves
//! were not at hand, the definitions are from memory. UCUM codes: The Unified Code for Units of Measure.
//! The other library is the crate `uom`, which keeps some factors to seven digits only.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::quantity::{
    Decimal, Force, Kind, Length, Mass, Pressure, Rounding, Stated, Torque, UNITS, Unit,
};
use uom::si::{force, length, mass, pressure, torque};

/// A whole ratio, kept in lowest terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Ratio(i128, i128);

impl Ratio {
    fn new(numerator: i128, denominator: i128) -> Self {
        let (mut a, mut b) = (numerator.abs(), denominator.abs());
        while b != 0 {
            (a, b) = (b, a % b);
        }
        Self(numerator / a, denominator / a)
    }

    fn times(self, other: Self) -> Self {
        // crosswise first, so that nothing overflows
        let (left, right) = (Self::new(self.0, other.1), Self::new(other.0, self.1));
        Self::new(left.0 * right.0, left.1 * right.1)
    }

    fn per(self, other: Self) -> Self {
        self.times(Self(other.1, other.0))
    }
}

const ONE: Ratio = Ratio(1, 1);

/// In SI base units: metre, kilogram, newton, pascal, newton metre.
fn definition(symbol: &str) -> Ratio {
    let inch = Ratio::new(254, 10_000);
    let foot = inch.times(Ratio(12, 1));
    let pound = Ratio::new(45_359_237, 100_000_000);
    let gravity = Ratio::new(980_665, 100_000);
    let pound_force = pound.times(gravity);
    match symbol {
        "N·m" | "m" | "kg" | "N" | "Pa" | "K" => ONE,
        "dN·m" => Ratio(1, 10),
        "cN·m" | "cm" => Ratio(1, 100),
        "mN·m" | "mm" | "g" => Ratio(1, 1_000),
        "µm" => Ratio(1, 1_000_000),
        "lbf·in" => pound_force.times(inch),
        "lbf·ft" => pound_force.times(foot),
        "ozf·in" => pound_force.times(Ratio(1, 16)).times(inch),
        "kgf·cm" => gravity.times(Ratio(1, 100)),
        "kgf·m" | "kgf" => gravity,
        "in" => inch,
        "ft" => foot,
        "lb" => pound,
        "lbf" => pound_force,
        "hPa" => Ratio(100, 1),
        "kPa" => Ratio(1_000, 1),
        "bar" => Ratio(100_000, 1),
        "psi" => pound_force.per(inch.times(inch)),
        other => panic!("{other} has no definition in this test"),
    }
}

/// How many small units are in the SI unit: mN·m, µm, mg, mN, Pa.
fn small_units_of(kind: Kind) -> Ratio {
    match kind {
        Kind::Torque | Kind::Force | Kind::Temperature => Ratio(1_000, 1),
        Kind::Length | Kind::Mass => Ratio(1_000_000, 1),
        Kind::Pressure => ONE,
    }
}

/// Every unit, every way of rounding, over values that fall on, just above and just below a small unit.
#[test]
fn every_factor_is_the_exact_definition() {
    for unit in UNITS.iter().filter(|unit| !unit.has_a_zero()) {
        let factor = definition(unit.symbol).times(small_units_of(unit.kind));
        for text in [
            "1",
            "0.001",
            "5",
            "44",
            "44.0",
            "7.25",
            "120",
            "999999",
            "-1",
            "-7.25",
            "0.123456789",
            "99999999999",
        ] {
            let value = Decimal::parse(text).unwrap();
            let scale = 10_i128.pow(u32::from(value.scale()));
            let exact = Ratio::new(i128::from(value.mantissa()), scale).times(factor);
            let floor = exact.0.div_euclid(exact.1);
            let is_whole = exact.0.rem_euclid(exact.1) == 0;
            let get = |rounding| unit.to_small_units(value, rounding).map(i128::from);
            let name = format!("{text} {}", unit.symbol);
            let (down, up) = if exact.0 < 0 {
                (!is_whole, false)
            } else {
                (false, !is_whole)
            };
            assert_eq!(
                get(Rounding::Down),
                Some(floor + i128::from(down)),
                "{name}"
            );
            assert_eq!(get(Rounding::Up), Some(floor + i128::from(up)), "{name}");
            let twice = exact.0.rem_euclid(exact.1) * 2;
            let is_upper = if exact.0 < 0 {
                twice > exact.1
            } else {
                twice >= exact.1
            };
            assert_eq!(
                get(Rounding::Nearest),
                Some(floor + i128::from(is_upper)),
                "{name}"
            );
        }
    }
}

/// Figures of NIST SP 811, appendix B, and what follows from them, as whole small units.
#[test]
fn figures_that_people_can_look_up() {
    let torque = |text| {
        Torque::of(Stated::parse(text).unwrap(), Rounding::Nearest)
            .unwrap()
            .small_units()
    };
    // B.8: pound-force inch 1.129 848 E-01, pound-force foot 1.355 818 E+00, ounce-force inch 7.061 552 E-03,
    // kilogram-force meter 9.806 65 E+00; multiplied up so that the table's digits all show
    for (text, small) in [
        ("10000 lbf·in", 1_129_848),
        ("1000 lbf·ft", 1_355_818),
        ("1000000 ozf·in", 7_061_552),
        ("1000 kgf·m", 9_806_650),
        ("100000 kgf·cm", 9_806_650),
        ("44 lbf·in", 4_971),
        ("30 lbf·ft", 40_675),
        ("120 kgf·cm", 11_768),
        ("100 ozf·in", 706),
    ] {
        assert_eq!(torque(text), small, "{text}");
    }
    let of = |text| Stated::parse(text).unwrap();
    let near = Rounding::Nearest;
    // B.8: psi 6.894 757 E+03, pound 4.535 924 E-01, pound-force 4.448 222 E+00, inch 2.54 E-02, foot 3.048 E-01
    assert_eq!(
        Pressure::of(of("1000 psi"), near).unwrap().small_units(),
        6_894_757
    );
    assert_eq!(
        Pressure::of(of("6.5 bar"), near).unwrap().small_units(),
        650_000
    );
    assert_eq!(
        Mass::of(of("12 lb"), near).unwrap().small_units(),
        5_443_108
    );
    assert_eq!(
        Force::of(of("1000 lbf"), near).unwrap().small_units(),
        4_448_222
    );
    assert_eq!(Length::of(of("1 in"), near).unwrap().small_units(), 25_400);
    assert_eq!(Length::of(of("1 ft"), near).unwrap().small_units(), 304_800);
}

#[test]
fn shown_in_another_unit() {
    for (small, symbol, shown) in [
        (5_000, "lbf·in", 44.253_728_956_635_9),
        (1_000, "lbf·ft", 0.737_562_149_277_265),
        (650_000, "psi", 94.274_529_524_636),
        (27_200, "in", 1.070_866_141_732_28),
        (551_581, "bar", 5.515_81),
    ] {
        let found = Unit::find(symbol).unwrap().from_small_units(small);
        assert!(
            (found / shown - 1.0).abs() < 1e-13,
            "{small} in {symbol}: {found}"
        );
    }
}

/// The factor to the SI unit as `uom` has it, where it has the unit.
fn outside(symbol: &str) -> Option<f64> {
    use uom::si::f64::{Force, Length, Mass, Pressure, Torque};
    let torque_of = |value: Torque| value.get::<torque::newton_meter>();
    let length_of = |value: Length| value.get::<length::meter>();
    let mass_of = |value: Mass| value.get::<mass::kilogram>();
    let force_of = |value: Force| value.get::<force::newton>();
    let pressure_of = |value: Pressure| value.get::<pressure::pascal>();
    Some(match symbol {
        "N·m" => torque_of(Torque::new::<torque::newton_meter>(1.0)),
        "dN·m" => torque_of(Torque::new::<torque::decinewton_meter>(1.0)),
        "cN·m" => torque_of(Torque::new::<torque::centinewton_meter>(1.0)),
        "mN·m" => torque_of(Torque::new::<torque::millinewton_meter>(1.0)),
        "lbf·in" => torque_of(Torque::new::<torque::pound_force_inch>(1.0)),
        "lbf·ft" => torque_of(Torque::new::<torque::pound_force_foot>(1.0)),
        "ozf·in" => torque_of(Torque::new::<torque::ounce_force_inch>(1.0)),
        "kgf·m" => torque_of(Torque::new::<torque::kilogram_force_meter>(1.0)),
        "mm" => length_of(Length::new::<length::millimeter>(1.0)),
        "µm" => length_of(Length::new::<length::micrometer>(1.0)),
        "cm" => length_of(Length::new::<length::centimeter>(1.0)),
        "m" => length_of(Length::new::<length::meter>(1.0)),
        "in" => length_of(Length::new::<length::inch>(1.0)),
        "ft" => length_of(Length::new::<length::foot>(1.0)),
        "g" => mass_of(Mass::new::<mass::gram>(1.0)),
        "kg" => mass_of(Mass::new::<mass::kilogram>(1.0)),
        "lb" => mass_of(Mass::new::<mass::pound>(1.0)),
        "N" => force_of(Force::new::<force::newton>(1.0)),
        "kgf" => force_of(Force::new::<force::kilogram_force>(1.0)),
        "lbf" => force_of(Force::new::<force::pound_force>(1.0)),
        "Pa" => pressure_of(Pressure::new::<pressure::pascal>(1.0)),
        "hPa" => pressure_of(Pressure::new::<pressure::hectopascal>(1.0)),
        "kPa" => pressure_of(Pressure::new::<pressure::kilopascal>(1.0)),
        "bar" => pressure_of(Pressure::new::<pressure::bar>(1.0)),
        "psi" => pressure_of(Pressure::new::<pressure::psi>(1.0)),
        _ => return None,
    })
}

#[test]
fn another_library_has_the_same_factors() {
    // `uom` writes pounds and ounces with seven digits
    let seven_digits = ["lbf·in", "lbf·ft", "ozf·in", "lb", "lbf", "psi"];
    let mut missing = Vec::new();
    for unit in UNITS.iter().filter(|unit| !unit.has_a_zero()) {
        let Some(outside) = outside(unit.symbol) else {
            missing.push(unit.symbol);
            continue;
        };
        let small = u32::try_from(small_units_of(unit.kind).0).unwrap();
        let ours = 1.0 / unit.from_small_units(1) / f64::from(small);
        let tolerance = if seven_digits.contains(&unit.symbol) {
            3e-7
        } else {
            1e-14
        };
        assert!(
            (ours / outside - 1.0).abs() < tolerance,
            "{}: {ours} and {outside}",
            unit.symbol
        );
    }
    assert_eq!(
        missing,
        ["kgf·cm", "K"],
        "units that the other library does not have"
    );
}

#[test]
fn every_spelling_means_one_unit() {
    let mut seen = std::collections::BTreeSet::new();
    for unit in UNITS {
        let names: std::collections::BTreeSet<&str> = [unit.symbol, unit.ucum]
            .into_iter()
            .chain(unit.spellings.iter().copied())
            .collect();
        for name in names {
            assert!(seen.insert(name), "{name} stands for two units");
            assert_eq!(Unit::find(name).unwrap().symbol, unit.symbol);
        }
    }
    for unknown in ["nm", "NM", "lb/in", "Mn", "J", "°R", ""] {
        assert!(Unit::find(unknown).is_err(), "{unknown}");
    }
}

/// 0 °C is 273.15 K and 32 °F, 100 °C is 212 °F, and both scales meet at -40 (NIST SP 811, appendix B.8; fixed points of the
/// definitions).
#[test]
fn degrees_begin_elsewhere_than_at_nothing() {
    for (text, millikelvin) in [
        ("0 °C", 273_150),
        ("32 °F", 273_150),
        ("100 °C", 373_150),
        ("212 °F", 373_150),
        ("-40 °C", 233_150),
        ("-40 °F", 233_150),
        ("21.5 °C", 294_650),
        ("300 K", 300_000),
    ] {
        let stated = Stated::parse(text).unwrap();
        for rounding in [Rounding::Up, Rounding::Down, Rounding::Nearest] {
            assert_eq!(stated.small_units(rounding).unwrap(), millikelvin, "{text}");
        }
        let back = stated.unit.from_small_units(millikelvin);
        let number: f64 = stated.value.to_string().parse().unwrap();
        assert!((back - number).abs() < 1e-9, "{text}: {back}");
    }
    // A difference has no zero: 0.5 °C apart is 500 mK, 9 °F apart is 5 K.
    for (text, millikelvin) in [("0.5 °C", 500), ("9 °F", 5_000), ("0.25 K", 250)] {
        let Stated { value, unit } = Stated::parse(text).unwrap();
        assert_eq!(
            unit.step_to_small_units(value, Rounding::Up),
            Some(millikelvin)
        );
    }
}
