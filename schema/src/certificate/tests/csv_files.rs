//! Tables of points.

use super::*;

const FELL: &str = include_str!("../../../../tests/certificates/fell-bx-91.csv");
const PLAIN: &str =
    "indicated [N·m],reference [N·m],expanded [N·m],k\n4.00,4.02,0.04,2\n12.00,12.05,0.08,2\n";

fn head() -> Head {
    Head {
        number: Some("PL-0311".to_owned()),
        laboratory: Some("Tarn Metrology".to_owned()),
        date: Some(day("2026-05-04")),
        due: Some(day("2027-05-04")),
        ..Head::default()
    }
}

/// 20 lbf·in = 2.259 696 580 552 334 N·m and so on (NIST SP 811, appendix B); uncertainties are rounded up.
#[test]
fn reads_every_figure() {
    let read = read_csv(FELL, &Head::default()).unwrap();
    let five = |point| Point {
        readings: Some(5),
        ..point
    };
    let expected = Certificate {
        number: "FC-778".to_owned(),
        laboratory: "Fell Calibration".to_owned(),
        date: day("2026-02-10"),
        due: day("2027-02-10"),
        serial: Some("BX-91".to_owned()),
        conditions: Some("20.8 °C, 50 % r.h.".to_owned()),
        method: Some("ISO 6789-2:2017".to_owned()),
        state: Some(State::AsFound),
        direction: Some(Direction::Both),
        covers: [Contribution::Resolution].into(),
        repeatability_ppm: Some(2_000),
        repeatability_readings: Some(5),
        file: Some(OriginalFile::of(Format::Csv, FELL.as_bytes())),
        ..certificate(&[
            five(point(2_259_697, 2_265_000, 24_915, 2_000)),
            five(point(5_649_241, 5_670_000, 51_030, 2_130)),
            five(point(11_298_483, 11_320_000, 90_560, 2_000)),
        ])
    };
    assert_eq!(read.certificate, expected);
    assert_eq!(read.check("BX-91", day("2026-06-01")), Ok(()));
}

#[test]
fn a_person_adds_what_the_file_does_not_say() {
    let read = read_csv(PLAIN, &head()).unwrap();
    let points = [
        point(4_000_000, 4_020_000, 40_000, 2_000),
        point(12_000_000, 12_050_000, 80_000, 2_000),
    ];
    let file = Some(OriginalFile::of(Format::Csv, PLAIN.as_bytes()));
    assert_eq!(
        read.certificate,
        Certificate {
            serial: None,
            file,
            ..certificate(&points)
        }
    );
    let error = read_csv(
        PLAIN,
        &Head {
            date: None,
            ..head()
        },
    )
    .unwrap_err();
    assert_eq!(
        error.to_string(),
        "the certificate file: the date is missing: the file does not say it, so state it beside the file"
    );
}

#[test]
fn line_ends_a_byte_order_mark_and_blank_lines_change_nothing() {
    let points = |text: &str| read_csv(text, &head()).unwrap().certificate.points;
    let plain = points(PLAIN);
    assert_eq!(points(&PLAIN.replace('\n', "\r\n")), plain);
    assert_eq!(
        points(&format!("\u{feff}\n# a remark\n\n{PLAIN}\n\n")),
        plain
    );
    assert_eq!(points(&PLAIN.replace("4.00,", " 4.00 , ")), plain);
    assert_eq!(points(&PLAIN.replace("4.00", "\"4.00\"")), plain);
}

/// What is changed, into what, and what is said then, about which place.
const REFUSED: &[(&str, &str, &str, &str)] = &[
    (PLAIN, "", "line 1", "the column indicated is missing"),
    (
        "indicated",
        "shown",
        "line 1",
        "is none of the columns that are read here",
    ),
    (
        "indicated [N·m]",
        "indicated [N·m",
        "line 1",
        "is none of the columns",
    ),
    (",k", ",k [1]", "line 1", "the column k has no unit"),
    (",k", "", "line 1", "the column k is missing"),
    ("reference", "indicated", "line 1", "is there twice"),
    (
        "12.05,0.08",
        "12.05,0.08,9",
        "line 3",
        "the heading names 4 columns, and this row has 5",
    ),
    (
        "12.05,0.08",
        "\"12,05\",0.08",
        "row 2 (line 3), column reference",
        "write it like 5 or 4.75, with a point",
    ),
    (
        "12.05,0.08",
        "12.05,",
        "row 2 (line 3), column expanded",
        "is not a number",
    ),
    (
        ",2\n12",
        ",two\n12",
        "row 1 (line 2), column k",
        "is no coverage factor",
    ),
    (
        "[N·m],k",
        "[Nn],k",
        "row 1 (line 2), column expanded",
        "is not a unit known here",
    ),
    (
        "indicated",
        "# colour: red\nindicated",
        "line 1",
        "\"colour\" is none of the names",
    ),
    (
        "indicated",
        "# date: 4 May\nindicated",
        "line 1",
        "is no date",
    ),
    (
        "indicated",
        "# due: 2027-01-01\n# due: 2027-01-01\nindicated",
        "line 2",
        "due is there twice",
    ),
    (
        "indicated",
        "# state: adjusted\nindicated",
        "line 1",
        "unknown variant `adjusted`",
    ),
    (
        "indicated",
        "# number: PL-9\nindicated",
        "line 1",
        "the number is \"PL-9\" here, and \"PL-0311\" was stated elsewhere",
    ),
    (
        "indicated",
        "# due: 2027-01-01\nindicated",
        "line 1",
        "the certificate asks for a calibration by 2027-01-01; 2027-05-04 is later",
    ),
    (
        "4.00,4.02,0.04,2\n12.00,12.05,0.08,2\n",
        "",
        "line 1",
        "a row with a calibration point is missing",
    ),
];

#[test]
fn refuses_what_it_does_not_understand_and_names_the_place() {
    for (from, to, place, part) in REFUSED {
        let text = PLAIN.replacen(from, to, 1);
        assert_ne!(text, PLAIN, "{from}");
        let error = read_csv(&text, &head()).unwrap_err().to_string();
        assert!(error.starts_with(place), "{error}\nis not about {place}");
        assert!(error.contains(part), "{error}\ndoes not say {part}");
    }
    let error = read_csv(&PLAIN.replace(',', ";"), &head())
        .unwrap_err()
        .to_string();
    assert!(error.contains("separated by commas"), "{error}");
    let long = "#\n".repeat(600_000);
    assert!(
        read_csv(&long, &head())
            .unwrap_err()
            .to_string()
            .contains("1200000 bytes")
    );
}

/// A shop may choose a shorter interval than the certificate.
#[test]
fn an_earlier_due_date_is_the_persons_to_choose() {
    let text = format!("# due: 2028-01-01\n{PLAIN}");
    assert_eq!(
        read_csv(&text, &head()).unwrap().certificate.due,
        day("2027-05-04")
    );
}

proptest! {
    #[test]
    fn no_text_makes_it_panic(text in "[#a-z:,;.0-9 \\[\\]%\"\n\r-]{0,200}") {
        let _ = read_csv(&text, &head());
    }

    #[test]
    fn no_change_makes_it_panic(at in 0..FELL.len(), with in ".{0,3}", length in 0_usize..40) {
        let begin = (0..=at).rev().find(|n| FELL.is_char_boundary(*n)).unwrap();
        let end = (begin + length..=FELL.len()).find(|n| FELL.is_char_boundary(*n)).unwrap_or(FELL.len());
        let text = format!("{}{with}{}", &FELL[..begin], &FELL[end..]);
        if let Ok(read) = read_csv(&text, &Head::default()) {
            let _ = (read.faults("BX-91", day("2026-06-01")), Curve::new(&read.certificate));
        }
    }

    /// A table of any points reads as those points.
    #[test]
    fn tables_read_back(points in any_points()) {
        let row = |p: &Point| {
            let count = |n: Option<u32>| n.map(|n| n.to_string()).unwrap_or_default();
            let torque = |t: MicroTorque| format!("{}", t.small_units());
            let k = p.coverage_factor_thousandths;
            [torque(p.expanded), torque(p.indicated), torque(p.reference), count(p.degrees_of_freedom),
                count(p.readings), format!("{}.{:03}", k / 1000, k % 1000)].join(",")
        };
        let rows: Vec<_> = points.iter().map(row).collect();
        let unit = "[mN·m]";
        // written in µN·m and read as mN·m: a thousand times as large
        let text = format!("expanded {unit},indicated {unit},reference {unit},degrees_of_freedom,readings,k\n{}\n", rows.join("\n"));
        let thousand = |t: MicroTorque| MicroTorque::from_small_units(t.small_units() * 1_000);
        let expected: Vec<_> = points.iter().map(|p| Point {
            indicated: thousand(p.indicated), reference: thousand(p.reference), expanded: thousand(p.expanded), ..*p
        }).collect();
        prop_assert_eq!(read_csv(&text, &head()).unwrap().certificate.points, expected);
    }
}
