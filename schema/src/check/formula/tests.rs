use super::*;
use proptest::prelude::*;

const KNOWN: [&str; 5] = ["a", "b", "wheel.left", "post-depth", "post"];

fn read(text: &str) -> Result<Formula, FormulaError> {
    Formula::parse(text, |id| KNOWN.contains(&id))
}

fn value(text: &str, of: impl Fn(&str) -> Vec<f64>) -> Option<f64> {
    read(text).unwrap().compile().unwrap().value(of)
}

fn fixed(id: &str) -> Vec<f64> {
    match id {
        "a" => vec![7.0],
        "b" => vec![2.0],
        "wheel.left" => vec![900.0, 1_100.0, 1_000.0],
        "post-depth" => vec![80.0],
        "post" => vec![5.0],
        _ => Vec::new(),
    }
}

#[test]
fn computes_as_it_is_written() {
    for (text, result) in [
        ("a - b", 5.0),
        ("a - b - b", 3.0),
        ("a - b + b", 7.0),
        ("a / b * b", 7.0),
        ("a * b / b / 2", 3.5),
        ("-a + b", -5.0),
        ("abs(b - a)", 5.0),
        ("2 * (a + b) / 3", 6.0),
        ("spread(wheel.left)", 200.0),
        ("mean(wheel.left)", 1_000.0),
        ("max(wheel.left) - min(wheel.left)", 200.0),
        ("mean(a, b, wheel.left)", 3_009.0 / 5.0),
        ("{post-depth} - a", 73.0),
        ("post-depth - a", 73.0),
        ("post-depth-a", 73.0),
        ("post - a", -2.0),
        ("a * 0.5 + b", 5.5),
    ] {
        assert_eq!(value(text, fixed), Some(result), "{text}");
    }
    assert_eq!(
        value("a * b / (a - a)", fixed),
        None,
        "a quotient by nothing"
    );
    assert_eq!(value("a - b", |_| Vec::new()), None, "no readings");
}

#[test]
fn is_written_out_with_braces_and_reads_back() {
    let formula = read("max( wheel.left , a )-post-depth*2").unwrap();
    assert_eq!(formula.text, "max({wheel.left}, {a}) - {post-depth} * 2");
    assert_eq!(formula.inputs, ["wheel.left", "a", "post-depth"]);
    assert_eq!(read(&formula.text).unwrap(), formula);
    assert_eq!(formula.wants_one_of(), ["post-depth"]);
}

#[test]
fn refuses_what_is_none() {
    use FormulaError as E;
    let deep = format!("{}a{}", "(".repeat(40), ")".repeat(40));
    let long = format!("a{}", " + a".repeat(100));
    for (text, error) in [
        ("", E::Length),
        (long.as_str(), E::Length),
        (deep.as_str(), E::Brackets),
        ("a + c", E::UnknownCheck("c".into())),
        ("{c}", E::UnknownCheck("c".into())),
        ("sin(a)", E::UnknownFunction("sin".into())),
        ("system(a)", E::UnknownFunction("system".into())),
        ("spread(a + b)", E::NotChecks("spread".into())),
        ("mean()", E::NotChecks("mean".into())),
        ("mean(a, a)", E::NotChecks("mean".into())),
        ("a ^ b", E::Character('^')),
        ("a; b", E::Character(';')),
        ("a + é", E::Character('é')),
        ("a + 1.2.3", E::Number("1.2.3".into())),
        ("a * 1234567890123456", E::Number("1234567890123456".into())),
        ("a + .5", E::Number(".5".into())),
        ("(a", E::Brackets),
        ("a)", E::Brackets),
        ("{a", E::Brackets),
        ("a b", E::Order("{b}".into())),
        ("a +", E::Order("+".into())),
        ("a + * b", E::Order("*".into())),
        ("a + - b", E::Order("-".into())),
        ("--a", E::Order("-".into())),
        ("abs a", E::UnknownCheck("abs".into())),
        ("abs(", E::Brackets),
        ("()", E::Order(")".into())),
        ("2 a", E::Order("{a}".into())),
        ("1 + 2", E::NoCheck),
        ("a + 1", E::Dimension),
        ("a * b", E::Dimension),
        ("a / b", E::Dimension),
        ("a * a - b", E::Dimension),
        ("a / 0", E::Dimension),
        ("0 - 1 + a", E::Dimension),
    ] {
        assert_eq!(read(text), Err(error), "{text}");
    }
}

#[test]
fn what_keeps_its_quantity_is_taken() {
    for text in [
        "a * b / a",
        "a / 3",
        "(a + b) / 2 - abs(a - b)",
        "spread(a, b) * 2",
        "a * (b / a)",
    ] {
        assert!(read(text).is_ok(), "{text}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    /// Whatever is written: no panic, no endless work, and what is taken can be computed and written out.
    #[test]
    fn any_text_is_a_formula_or_a_reason(text in "[ab0-9. (){}+*/,absminmeanspread-]{0,60}|\\PC{0,80}") {
        if let Ok(formula) = read(&text) {
            prop_assert_eq!(&read(&formula.text).unwrap(), &formula);
            let _ = formula.compile().unwrap().value(fixed);
        }
    }

    /// Sums and differences agree with plain arithmetic, whatever the numbers.
    #[test]
    fn agrees_with_plain_arithmetic(a in -1e9..1e9_f64, b in -1e9..1e9_f64, list in prop::collection::vec(-1e9..1e9_f64, 1..9)) {
        let of = |id: &str| match id {
            "a" => vec![a],
            "b" => vec![b],
            _ => list.clone(),
        };
        prop_assert_eq!(value("a - b * 2", of), Some(a - b * 2.0));
        prop_assert_eq!(value("(a - b) / 4", of), Some((a - b) / 4.0));
        let most = list.iter().copied().fold(f64::MIN, f64::max);
        let least = list.iter().copied().fold(f64::MAX, f64::min);
        prop_assert_eq!(value("spread(wheel.left)", of), Some(most - least));
        prop_assert_eq!(value("max(wheel.left) - a", of), Some(most - a));
    }
}
