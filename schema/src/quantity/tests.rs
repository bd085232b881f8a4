use super::*;
use proptest::prelude::*;

fn torque(text: &str) -> i64 {
    Torque::of(Stated::parse(text).unwrap(), Rounding::Nearest)
        .unwrap()
        .small_units()
}

#[test]
fn reads_what_people_write() {
    for (text, expected) in [
        ("5 N·m", 5_000),
        ("5Nm", 5_000),
        ("4.75 N.m", 4_750),
        ("0.5 dN·m", 50),
        ("508 cNm", 5_080),
        ("44 lbf·in", 4_971),
        ("44 in-lb", 4_971),
        ("30 lbf·ft", 40_675),
        ("120 kgf·cm", 11_768),
        ("-1.250 kgf.cm", -123),
    ] {
        assert_eq!(torque(text), expected, "{text}");
    }
}

#[test]
fn refuses_what_is_no_torque() {
    for text in [
        "",
        "5",
        "N·m",
        "5 Mn",
        "5,5 N·m",
        "1.234.5 N·m",
        "5 mm",
        "1e3 N·m",
        "1234567890123456 N·m",
        "--5 N·m",
    ] {
        let read = Stated::parse(text).and_then(|s| Torque::of(s, Rounding::Nearest));
        assert!(read.is_err(), "{text} gave {read:?}");
    }
}

#[test]
fn rounding_never_takes_a_reading_down_to_a_limit() {
    let reading = |t| Torque::of(Stated::parse(t).unwrap(), Rounding::Up).unwrap();
    assert!(reading("5.5003 N·m") > Torque::from_small_units(5_500));
    assert!(
        reading("48.6792 lbf·in") > Torque::from_small_units(5_500),
        "5.500 011 N·m"
    );
    assert_eq!(
        reading("-5.5003 N·m").small_units(),
        -5_501,
        "on a left-hand thread its size is judged"
    );
    // the same text as reading and as upper limit is not over, in any unit
    assert_eq!(
        reading("44 lbf·in"),
        Torque::of(Stated::parse("44 lbf·in").unwrap(), Rounding::Up).unwrap()
    );
}

#[test]
fn percent_rounds_as_asked() {
    let t = Torque::from_small_units(14_001);
    assert_eq!(t.percent(60, Rounding::Down).small_units(), 8_400);
    assert_eq!(t.percent(60, Rounding::Up).small_units(), 8_401);
}

#[test]
fn shows_newton_metres() {
    for (small, text) in [
        (5_500, "5.5 N·m"),
        (5_000, "5.0 N·m"),
        (-123, "-0.123 N·m"),
        (50, "0.05 N·m"),
    ] {
        assert_eq!(Torque::from_small_units(small).to_string(), text);
    }
}

proptest! {
    #[test]
    fn a_decimal_shows_as_it_was_read(text in "-?(0|[1-9][0-9]{0,7})(\\.[0-9]{1,6})?") {
        prop_assume!(!text.starts_with("-0"));
        prop_assert_eq!(Decimal::parse(&text).unwrap().to_string(), text);
    }

    #[test]
    fn no_text_panics(text in ".{0,40}") {
        let _ = Stated::parse(&text).map(|s| (s.small_units(Rounding::Up), s.to_string()));
    }

    #[test]
    fn up_is_never_below_down(mantissa in -1_000_000_i64..1_000_000, index in 0..UNITS.len()) {
        let unit = &UNITS[index];
        let value = Decimal::parse(&format!("{}.{:03}", mantissa / 1000, (mantissa % 1000).abs())).unwrap();
        let (down, near, up) = (
            unit.to_small_units(value, Rounding::Down).unwrap(),
            unit.to_small_units(value, Rounding::Nearest).unwrap(),
            unit.to_small_units(value, Rounding::Up).unwrap(),
        );
        prop_assert!(down.abs() <= near.abs() && near.abs() <= up.abs() && (up - down).abs() <= 1);
    }
}
