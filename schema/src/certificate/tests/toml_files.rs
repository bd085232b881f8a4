//! The file that a person writes.

use super::*;

pub(super) const FILE: &str = r#"number = "PL-0311"
laboratory = "Tarn Metrology"
date = "2026-05-04"
due = 2027-05-04
serial = "KR-2207"
conditions = "21.3 °C, 45 % r.h."
method = "ISO 6789-2:2017"
state = "as-left"
direction = "clockwise"
covers = ["resolution", "repeatability"]
repeatability = "0.15 %"
repeatability_readings = 5
reproducibility = "0.1 %"
drift_per_year = "0.3 %"

[[point]]
indicated = "4 N·m"
reference = "4.02 N·m"
expanded = "0.04 N·m"
coverage_factor = 2
degrees_of_freedom = 50
readings = 5

[[point]]
indicated = "120 lbf·in"
reference = "1360 cN·m"
expanded = "1 %"
k = 2.13

[[point]]
indicated = "20 N·m"
reference = "20.1 N·m"
expanded = "120 mN·m"
k = "2"
"#;

#[test]
fn reads_every_figure() {
    let read = read_toml(FILE).unwrap();
    let expected = Certificate {
        conditions: Some("21.3 °C, 45 % r.h.".to_owned()),
        method: Some("ISO 6789-2:2017".to_owned()),
        state: Some(State::AsLeft),
        direction: Some(Direction::Clockwise),
        covers: [Contribution::Resolution, Contribution::Repeatability].into(),
        repeatability_ppm: Some(1_500),
        repeatability_readings: Some(5),
        reproducibility_ppm: Some(1_000),
        drift_ppm_per_year: Some(3_000),
        file: Some(OriginalFile::of(Format::Toml, FILE.as_bytes())),
        ..certificate(&[
            Point {
                degrees_of_freedom: Some(50),
                readings: Some(5),
                ..point(4_000_000, 4_020_000, 40_000, 2_000)
            },
            // 120 lbf·in = 13.558 179 48 N·m
            point(13_558_179, 13_600_000, 136_000, 2_130),
            point(20_000_000, 20_100_000, 120_000, 2_000),
        ])
    };
    assert_eq!(read.certificate, expected);
    assert_eq!(read.check("KR-2207", day("2026-05-04")), Ok(()));
    assert_eq!(read.place(Subject::Expanded(1)), Place::Line(27));
    assert_eq!(read.place(Subject::Point(2)), Place::Line(30));
}

#[test]
fn the_first_page_alone_can_be_read() {
    let page = FILE.lines().take(4).collect::<Vec<_>>().join("\n");
    let read = read_toml(&page).unwrap();
    let file = Some(OriginalFile::of(Format::Toml, page.as_bytes()));
    assert_eq!(
        read.certificate,
        Certificate {
            serial: None,
            file,
            ..certificate(&[])
        }
    );
    assert_eq!(read.check("KR-2207", day("2026-06-01")), Ok(()));
}

#[test]
fn refuses_what_cannot_be_read_and_names_the_line() {
    for (from, to, line, part) in [
        ("number =", "nummer =", 1, "unknown field `nummer`"),
        ("\"2026-05-04\"", "\"4.5.2026\"", 3, "is no date"),
        ("2027-05-04", "2027-05-04T12:00:00Z", 4, "is no date"),
        ("2027-05-04", "\"2027-02-30\"", 4, "is no date"),
        (
            "\"as-left\"",
            "\"adjusted\"",
            8,
            "unknown variant `adjusted`",
        ),
        ("\"0.15 %\"", "\"0.15\"", 11, "is no ratio"),
        ("\"4 N·m\"", "\"4\"", 17, "has no unit"),
        ("\"4 N·m\"", "\"4,0 N·m\"", 17, "is not a number"),
        ("\"4 N·m\"", "\"NaN N·m\"", 17, "is not a number"),
        ("\"4.02 N·m\"", "\"4.02 mm\"", 18, "is a unit of length"),
        (
            "\"4.02 N·m\"",
            "\"4.02 Nn\"",
            18,
            "is not a unit known here",
        ),
        ("\"0.04 N·m\"", "\"0.04\"", 19, "has no unit"),
        ("\"0.04 N·m\"", "\"0.04 psi\"", 19, "is a unit of pressure"),
        ("\"0.04 N·m\"", "\"NaN %\"", 19, "is not a number"),
        (
            "coverage_factor = 2",
            "coverage_factor = nan",
            20,
            "is no coverage factor",
        ),
        (
            "coverage_factor = 2",
            "coverage_factor = -2",
            20,
            "is no coverage factor",
        ),
        (
            "readings = 5\n\n[[point]]\nindicated = \"120",
            "readings = -5\n\n[[point]]\nindicated = \"120",
            22,
            "invalid value",
        ),
        ("k = 2.13", "", 24, "missing field `coverage_factor`"),
        ("k = \"2\"", "k = \"2", 34, "string"),
    ] {
        let text = FILE.replacen(from, to, 1);
        assert_ne!(text, FILE, "{from}");
        let error = read_toml(&text).unwrap_err();
        assert_eq!(error.place, Place::Line(line), "{error}");
        assert!(error.to_string().contains(part), "{error}");
    }
    let long = "#".repeat(1_100_000);
    assert!(
        read_toml(&long)
            .unwrap_err()
            .to_string()
            .contains("1100000 bytes")
    );
}

proptest! {
    #[test]
    fn what_is_written_reads_back(full in any_certificate()) {
        let text = full.to_toml();
        let read = read_toml(&text).unwrap().certificate;
        prop_assert_eq!(read.file.clone(), Some(OriginalFile::of(Format::Toml, text.as_bytes())));
        prop_assert_eq!(Certificate { file: None, ..read }, full);
    }

    #[test]
    fn no_text_makes_it_panic(text in ".{0,200}") {
        let _ = read_toml(&text);
    }

    #[test]
    fn no_change_makes_it_panic(at in 0..FILE.len(), with in ".{0,3}", length in 0_usize..40) {
        let begin = (0..=at).rev().find(|n| FILE.is_char_boundary(*n)).unwrap();
        let end = (begin + length..=FILE.len()).find(|n| FILE.is_char_boundary(*n)).unwrap_or(FILE.len());
        let text = format!("{}{with}{}", &FILE[..begin], &FILE[end..]);
        if let Ok(read) = read_toml(&text) {
            let _ = (read.faults("KR-2207", day("2026-06-01")), Curve::new(&read.certificate));
        }
    }
}
