//! A program has to find what the regular expression finds, on every line and of every pattern that it is made of.

use super::*;
use crate::intake::profiles::Profiles;
use proptest::prelude::*;
use std::sync::LazyLock;

/// Patterns with what is hard: choices that begin alike, runs that have to give back, groups that take no part.
const HARD: [&str; 14] = [
    r"^(?P<value>\d+)(?P<unit>\d\d)$",
    r"^(?P<value>[0-9.]+|OL)(?P<unit>[A-Z]*)$",
    r"^(?:(?P<flags>[A-Z]{2})|(?P<sign>[A-Z]))?(?P<value>\d+)$",
    r"^(?P<value>a*)(?P<unit>a*)(?P<sum>a{2})$",
    r"^\s*(?P<value>[+-]?\d+(?:[.,]\d+)?|OL|-{3,})\s*(?P<unit>[A-Za-z][A-Za-z.·-]*)?\s*$",
    r"^(?P<value>ab|a)(?P<unit>bc|c)?$",
    r"^(?:a|(?P<sign>b)){2}(?P<value>c)",
    r"^(?P<value>[^,]*),(?P<unit>[^,]*)",
    r"^(?P<value>x{2,3})(?P<unit>x{0,2})(?P<sum>x)$",
    r"^(?i)(?P<value>nm|n\.m)$",
    r"^(?P<value>(?:a|ab)(?:c|bcd))(?P<unit>d*)$",
    r"^$|^(?P<value>a)$",
    r"^#",
    r"^(?P<value>.*)\*(?P<sum>[0-9A-F]{2})$",
];

#[test]
fn the_patterns_of_all_profiles_are_made_into_programs() {
    let profiles = Profiles::built_in().unwrap();
    for name in profiles.names() {
        let Some(line) = &profiles.find(name).unwrap().profile().line else {
            continue;
        };
        for pattern in line
            .ignore
            .iter()
            .chain([&line.pattern])
            .chain(&line.over_range)
        {
            assert!(
                Matcher::new(pattern).unwrap().is_compiled(),
                "{name}: {pattern}"
            );
        }
    }
    for pattern in HARD {
        assert!(Matcher::new(pattern).unwrap().is_compiled(), "{pattern}");
    }
    for pattern in [
        "5",
        r"^(?:ab)*$",
        r"^a+?$",
        r"^\bx",
        r"(?m)^x$",
        r"^(?:a?){9}$",
    ] {
        assert!(!Matcher::new(pattern).unwrap().is_compiled(), "{pattern}");
    }
}

#[test]
fn a_line_that_makes_it_try_too_often_goes_to_the_regular_expression() {
    let pattern = format!("^{}b$", "(?:a|a)(?:a)?".repeat(8));
    let matcher = Matcher::new(&pattern).unwrap();
    let line = "a".repeat(16);
    assert!(matcher.is_compiled());
    assert_eq!(matcher.captures(&line), matcher.by_regex(&line));
    let line = format!("{line}b");
    assert_eq!(matcher.captures(&line), matcher.by_regex(&line));
}

/// Made ready once: that takes far longer than a line.
static MATCHERS: LazyLock<Vec<Matcher>> = LazyLock::new(|| {
    let profiles = Profiles::built_in().unwrap();
    let mut all: Vec<String> = HARD.map(str::to_owned).to_vec();
    for name in profiles.names() {
        let line = profiles.find(name).unwrap().profile().line.clone();
        all.extend(line.into_iter().flat_map(|line| {
            line.ignore
                .into_iter()
                .chain([line.pattern])
                .chain(line.over_range)
        }));
    }
    all.iter()
        .map(|pattern| Matcher::new(pattern).unwrap())
        .collect()
});

/// Small patterns made of the parts that programs are made of.
fn made_up() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![
        Just("a".to_owned()),
        Just("b".to_owned()),
        Just("[ab]".to_owned()),
        Just("[^b]".to_owned()),
        Just("a*".to_owned()),
        Just("[ab]+".to_owned()),
        Just("a{1,2}".to_owned()),
        Just("$".to_owned()),
    ];
    let tree = leaf.prop_recursive(3, 16, 3, |inner| {
        prop_oneof![
            proptest::collection::vec(inner.clone(), 2..4).prop_map(|parts| parts.concat()),
            proptest::collection::vec(inner.clone(), 2..4)
                .prop_map(|parts| format!("(?:{})", parts.join("|"))),
            inner.clone().prop_map(|part| format!("(?:{part})?")),
            inner.prop_map(|part| format!("(?:{part}){{1,2}}")),
        ]
    });
    (tree.clone(), tree).prop_map(|(value, unit)| format!("^(?P<value>{value})(?P<unit>{unit})"))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(6_000) })]

    #[test]
    fn it_finds_what_the_regular_expression_finds(
        which in 0..MATCHERS.len(),
        line in prop_oneof![
            "[-+0-9.,OLNmacdx $*;:]{0,14}",
            "(PK|TR|CW|CCW|\\$PULL,1,)? ?[-+]?[0-9]{0,3}[.,]?[0-9]{0,3} ?(Nm|N.m|cNm)?(\\*[0-9A-F]{2})?",
            "[ab]{0,8}",
        ],
    ) {
        let matcher = &MATCHERS[which];
        prop_assert_eq!(matcher.captures(&line), matcher.by_regex(&line));
        prop_assert_eq!(matcher.is_match(&line), matcher.by_regex(&line).is_some());
    }

}

proptest! {
    // Each case makes a regular expression, which takes a debug build some milliseconds.
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    #[test]
    fn so_it_does_with_patterns_that_nobody_thought_of(pattern in made_up(), line in "[abc]{0,7}") {
        let matcher = Matcher::new(&pattern).unwrap();
        prop_assert_eq!(matcher.captures(&line), matcher.by_regex(&line));
    }
}
