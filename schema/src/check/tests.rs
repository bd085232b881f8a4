use super::*;
use crate::canonical::Digest32;
use crate::reading::{Displayed, Origin};
use crate::verdict::Rule;

#[test]
fn values_are_whole_small_units_and_round_away_from_the_middle() {
    for (text, unit, up, down) in [
        ("71.02 mm", SmallUnit::Micrometre, 71_020, 71_020),
        ("2.796 in", SmallUnit::Micrometre, 71_019, 71_018), // 71.0184 mm
        ("90 psi", SmallUnit::Pascal, 620_529, 620_528),     // 620 528.156 Pa
        ("6.2 bar", SmallUnit::Pascal, 620_000, 620_000),
        ("110 kgf", SmallUnit::Millinewton, 1_078_732, 1_078_731), // 1 078 731.5 mN
        ("8.2 kg", SmallUnit::Milligram, 8_200_000, 8_200_000),
        ("18 lb", SmallUnit::Milligram, 8_164_663, 8_164_662), // 8 164 662.66 mg
        ("21.5 °C", SmallUnit::Millikelvin, 294_650, 294_650),
    ] {
        let stated = Stated::parse(text).unwrap();
        assert_eq!(unit.value_of(stated, Rounding::Up), Ok(up), "{text}");
        assert_eq!(unit.value_of(stated, Rounding::Down), Ok(down), "{text}");
    }
    let torque = Stated::parse("5 N·m").unwrap();
    assert!(SmallUnit::Pascal.value_of(torque, Rounding::Up).is_err());
    let huge = Stated::parse("2000000000 kg").unwrap();
    assert!(SmallUnit::Milligram.value_of(huge, Rounding::Up).is_err());
}

#[test]
fn people_are_shown_units_of_theirs() {
    assert_eq!(SmallUnit::Micrometre.text(71_020), "71.02 mm");
    assert_eq!(SmallUnit::Micrometre.text(-500), "-0.5 mm");
    assert_eq!(SmallUnit::Pascal.text(620_529), "6.205 bar");
    assert_eq!(SmallUnit::Pascal.text(650_000), "6.5 bar");
    assert_eq!(SmallUnit::Millikelvin.text(294_650), "21.5 °C");
    assert_eq!(SmallUnit::Millinewton.text(1_100_000), "1100 N");
    assert_eq!(SmallUnit::Milligram.text(8_200_000), "8200 g");
}

fn tool(text: &str) -> MeasuringTool {
    crate::tool::Tool::read(text).unwrap().measures.unwrap()
}

const CALLIPER: &str = r#"
    id = "c1"
    title = "Calliper"
    serial = "SK-77"
    quantity = "length"
    lowest = "0 mm"
    highest = "200 mm"
    resolution = "0.01 mm"
    accuracy = "0.03 mm"
"#;

const CERTIFIED: &str = r#"
    id = "c1"
    title = "Calliper"
    serial = "SK-77"
    quantity = "length"
    resolution = "0.01 mm"
    accuracy = "0.03 mm"
    [certificate]
    number = "LN-204"
    laboratory = "Tarn Metrology"
    date = "2026-02-01"
    due = "2027-02-01"
    expanded = "0.02 mm"
    coverage = 2
    deviation = "0.01 mm"
"#;

/// The standard uncertainties, computed by hand: 10 µm/√12 = 2.8868 µm, 30 µm/√3 = 17.3205 µm, together 17.5595 µm; with
/// the certificate 20 µm/2 = 10 µm, together 10.4084 µm.
#[test]
fn a_number_is_worth_what_its_tool_states() {
    let (value, worth) = weigh(Some(&tool(CALLIPER)), 71_020, 10);
    let worth = worth.unwrap();
    assert_eq!(value, 71_020, "a stated accuracy corrects nothing");
    assert_eq!(worth.resolution_thousandths, 2_887);
    assert_eq!(worth.tool_thousandths, 17_321);
    assert_eq!(worth.standard_thousandths, 17_560);
    assert_eq!(worth.expanded_thousandths, 35_120);
    assert_eq!(worth.guard(), 36);
    assert!(worth.adds_up(71_020));
    assert!(worth.basis.number().is_none());

    let (value, worth) = weigh(Some(&tool(CERTIFIED)), 71_020, 10);
    let worth = worth.unwrap();
    assert_eq!(value, 71_010, "it shows 0.01 mm too much");
    assert_eq!(worth.tool_thousandths, 10_000);
    assert_eq!(worth.standard_thousandths, 10_409);
    assert_eq!(worth.basis.number(), Some("LN-204"));
    let mut wrong = worth.clone();
    wrong.standard_thousandths -= 1;
    assert!(!wrong.adds_up(71_020));

    let bare = "id=\"r\"\ntitle=\"Ruler\"\nserial=\"0\"\nquantity=\"length\"";
    assert_eq!(weigh(Some(&tool(bare)), 71_000, 1_000), (71_000, None));
    assert_eq!(weigh(None, 71_000, 1_000), (71_000, None));
}

#[test]
fn an_accuracy_may_be_a_part_of_the_value() {
    let gauge = "id=\"g\"\ntitle=\"Gauge\"\nserial=\"1\"\nquantity=\"pressure\"\naccuracy=\"1 % + 0.05 bar\"";
    let gauge = tool(gauge);
    assert_eq!(
        (gauge.accuracy, gauge.accuracy_ppm),
        (Some(5_000), Some(10_000))
    );
    // (5000 + 6000) Pa / √3 = 6350.853 Pa
    let (_, worth) = weigh(Some(&gauge), 600_000, 0);
    assert_eq!(worth.unwrap().tool_thousandths, 6_350_853);
}

#[test]
fn refuses_what_is_no_such_tool() {
    let read = |from: &str, to: &str| {
        let text = CERTIFIED.replace(from, to);
        crate::tool::Tool::read(&text).unwrap_err().to_string()
    };
    for (from, to, says) in [
        ("\"0.03 mm\"", "\"0.03 bar\"", "bar is a unit of pressure"),
        ("\"0.03 mm\"", "\"0 mm\"", "accuracy cannot be"),
        ("\"0.03 mm\"", "\"99 %\"", "accuracy cannot be"),
        (
            "resolution = \"0.01 mm\"",
            "class = \"I-C\"",
            "torque wrenches only",
        ),
        ("coverage = 2", "coverage = 0.5", "coverage factor"),
        ("2027-02-01", "2026-01-01", "before it was made"),
        ("expanded = \"0.02 mm\"", "", "missing field `expanded`"),
        ("\"LN-204\"", "\" \"", "visible characters"),
        ("\"length\"", "\"torque\"", "say its quantity"),
        ("\"length\"", "\"speed\"", "unknown variant"),
    ] {
        let error = read(from, to);
        assert!(error.contains(says), "{to}: {error}");
    }
}

const LIMITS: CheckLimits = CheckLimits {
    unit: SmallUnit::Micrometre,
    lower: Some(70_000),
    target: None,
    upper: Some(110_000),
};

/// The same guard band as for torque: U = 50 µm moves the limits to 70.05 and 109.95 mm.
#[test]
fn a_limit_belongs_to_the_inside_and_a_guard_band_moves_it() {
    use CheckAnswer::{Over, Undecided, Under, Within};
    let answers = |value| {
        [Rule::Simple, Rule::GuardedUpper, Rule::Guarded]
            .map(|rule| decide(Some(value), &LIMITS, rule, Some(50)))
    };
    assert_eq!(answers(69_999), [Under; 3]);
    assert_eq!(answers(70_000), [Within, Within, Undecided]);
    assert_eq!(answers(70_050), [Within; 3]);
    assert_eq!(answers(109_950), [Within; 3]);
    assert_eq!(answers(109_951), [Within, Undecided, Undecided]);
    assert_eq!(answers(110_001), [Over; 3]);
    let lower = CheckLimits {
        upper: None,
        ..LIMITS
    };
    assert_eq!(
        decide(Some(i64::MAX), &lower, Rule::Guarded, Some(50)),
        Within
    );
    assert_eq!(decide(Some(70_000), &lower, Rule::Guarded, None), Undecided);
    let upper = CheckLimits {
        lower: None,
        ..LIMITS
    };
    assert_eq!(decide(Some(-5), &upper, Rule::Guarded, Some(50)), Within);
    assert_eq!(decide(None, &upper, Rule::Simple, None), Over);
    assert!(is_fit(&lower, Rule::Guarded, Some(1_000_000)));
    assert!(!is_fit(&LIMITS, Rule::Guarded, Some(20_001)));
}

fn reading(tool_text: &str, id: &str, shown: &str) -> CheckReading {
    let stated = Stated::parse(shown).unwrap();
    let mut reading = CheckReading {
        tool: id.into(),
        origin: Origin::Measured {
            raw: Digest32::of(b"raw"),
        },
        displayed: Some(Displayed {
            value: stated.value.to_string(),
            unit: stated.unit.ucum.into(),
        }),
        unit: SmallUnit::of(stated.unit.kind).unwrap(),
        value: None,
        worth: None,
        counter: None,
        flags: Vec::new(),
    };
    let shown = reading.shown().unwrap();
    let (value, worth) = weigh(Some(&tool(tool_text)), shown, reading.step().unwrap());
    (reading.value, reading.worth) = (Some(value), worth);
    reading
}

fn difference(first: &CheckReading, second: &CheckReading) -> Derived {
    let formula = Formula::parse("a - b", |id| ["a", "b"].contains(&id)).unwrap();
    let input = |check, sequence, reading| Input {
        check,
        sequence,
        reading,
    };
    let limits = CheckLimits {
        lower: Some(0),
        upper: Some(3_000),
        ..LIMITS
    };
    let inputs = [input("a", 8, first), input("b", 5, second)];
    derive(&formula, &inputs, &limits, Rule::Guarded).unwrap()
}

/// A difference of two heights from one calliper: the certificate's error is the same in both and cancels, so that only the
/// two display steps are left, √2 · 2.887 µm = 4.083 µm; from two callipers it is √(2 · (2.887² + 10²)) µm = 14.720 µm.
#[test]
fn what_one_certificate_states_cancels_in_a_difference() {
    let one = difference(
        &reading(CERTIFIED, "c1", "42.50 mm"),
        &reading(CERTIFIED, "c1", "40.25 mm"),
    );
    assert_eq!(one.value, 2_250);
    assert_eq!(one.inputs, [5, 8]);
    assert!(one.shares_a_certificate);
    assert_eq!(one.standard_thousandths, Some(4_083));
    assert_eq!(one.verdict.expanded, Some(9));
    assert_eq!(one.verdict.answer, CheckAnswer::Within);
    let two = difference(
        &reading(CERTIFIED, "c1", "42.50 mm"),
        &reading(CERTIFIED, "c2", "40.25 mm"),
    );
    assert!(!two.shares_a_certificate);
    assert_eq!(two.standard_thousandths, Some(14_720));
    // A stated accuracy need not be the same error twice: √(2 · (2.887² + 17.321²)) µm = 24.834 µm.
    let stated = difference(
        &reading(CALLIPER, "c1", "42.50 mm"),
        &reading(CALLIPER, "c1", "40.25 mm"),
    );
    assert!(!stated.shares_a_certificate);
    assert_eq!(stated.standard_thousandths, Some(24_834));
}

#[test]
fn what_is_not_known_of_an_input_is_not_known_of_the_result() {
    let mut first = reading(CERTIFIED, "c1", "42.50 mm");
    first.worth = None;
    let result = difference(&first, &reading(CERTIFIED, "c1", "40.25 mm"));
    assert_eq!(result.standard_thousandths, None);
    assert_eq!(result.verdict.answer, CheckAnswer::Undecided, "guarded");
}
