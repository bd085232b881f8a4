//! What is refused although it can be read: each fault in each of the three formats, with its place and its words.

use super::toml_files::FILE;
use super::*;

const TABLE: &str = "\
# number: PL-0311
# laboratory: Tarn Metrology
# date: 2026-05-04
# due: 2027-05-04
# serial: KR-2207
indicated [N·m],reference [N·m],expanded [N·m],k
4.00,4.02,0.04,2
12.00,12.05,0.08,2
20.00,20.10,0.12,2
";

pub(super) const TORQUE: &str =
    include_str!("../../../../tests/vectors/dcc-torque-minimal-3.3.0.xml");

const DUE: &str = "</dcc:customer>\n<dcc:statements><dcc:statement refType=\"basic_recalibration\"><dcc:date>2027-03-02</dcc:date></dcc:statement></dcc:statements>";

/// The certificate of the vectors, with a day on which it is due.
pub(super) fn with_due() -> String {
    TORQUE.replace("</dcc:customer>", DUE)
}

pub(super) const QUANTITY: &str = "/dcc:digitalCalibrationCertificate/dcc:measurementResults/dcc:measurementResult/dcc:results/dcc:result/dcc:data/dcc:list/dcc:quantity";

/// Changes every text of `changes`, each of which has to be there.
fn changed(base: &str, changes: &[(&str, &str)]) -> String {
    let mut text = base.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    text
}

fn refused(read: Result<Imported, CertificateError>, serial: &str) -> CertificateError {
    let checked = read.and_then(|read| read.check(serial, day("2026-06-01")));
    checked.unwrap_err()
}

fn toml(changes: &[(&str, &str)]) -> CertificateError {
    refused(read_toml(&changed(FILE, changes)), "KR-2207")
}

fn csv(changes: &[(&str, &str)]) -> CertificateError {
    refused(
        read_csv(&changed(TABLE, changes), &Head::default()),
        "KR-2207",
    )
}

fn dcc(changes: &[(&str, &str)]) -> CertificateError {
    let text = changed(&with_due(), changes);
    refused(read_dcc(text.as_bytes(), &Head::default(), None), "SN-4711")
}

#[track_caller]
fn says(error: &CertificateError, place: &str, fault: &str) {
    let text = error.to_string();
    assert!(text.contains(place), "{text}\nis not about {place}");
    assert!(text.contains(fault), "{text}\ndoes not say {fault}");
}

#[test]
fn the_certificates_themselves_are_sound() {
    let today = day("2026-06-01");
    assert_eq!(read_toml(FILE).unwrap().faults("KR-2207", today), []);
    assert_eq!(
        read_csv(TABLE, &Head::default())
            .unwrap()
            .faults("KR-2207", today),
        []
    );
    let read = read_dcc(with_due().as_bytes(), &Head::default(), None).unwrap();
    assert_eq!(read.faults("SN-4711", today), []);
}

#[test]
fn points_in_the_wrong_order() {
    let part = "comes after 12.0 N·m: list the points from the lowest to the highest";
    let toml = toml(&[
        ("\"4 N·m\"", "\"12 N·m\""),
        ("\"4.02 N·m\"", "\"12.05 N·m\""),
        ("\"120 lbf·in\"", "\"4 N·m\""),
        ("\"1360 cN·m\"", "\"4.02 N·m\""),
    ]);
    says(&toml, "line 25", part);
    let csv = csv(&[(
        "4.00,4.02,0.04,2\n12.00,12.05,0.08,2",
        "12.00,12.05,0.08,2\n4.00,4.02,0.04,2",
    )]);
    says(&csv, "row 2 (line 8), column indicated", part);
    let dcc = dcc(&[
        ("4.02 12.05", "12.05 4.02"),
        ("4.00 12.00", "12.00 4.00"),
        ("-0.02 -0.05", "-0.05 -0.02"),
    ]);
    says(
        &dcc,
        &format!("{QUANTITY}[2]/si:realListXMLList/si:valueXMLList (value 2)"),
        part,
    );
}

#[test]
fn references_in_the_wrong_order() {
    let part = "comes after 14.0 N·m";
    says(
        &toml(&[("1360 cN·m", "14 N·m"), ("20.1 N·m", "13.9 N·m")]),
        "line 32",
        part,
    );
    says(
        &csv(&[("12.05", "14.0"), ("20.10", "13.9")]),
        "row 3 (line 9), column reference",
        part,
    );
    let dcc = dcc(&[
        ("12.05 20.10", "14.00 13.90"),
        ("-0.05 -0.10", "-2.00 6.10"),
    ]);
    says(
        &dcc,
        &format!("{QUANTITY}[1]/si:realListXMLList/si:valueXMLList (value 3)"),
        part,
    );
}

#[test]
fn doubled_points() {
    let part = "the point 4.0 N·m is there twice; keep one of the two";
    says(&toml(&[("\"20 N·m\"", "\"4 N·m\"")]), "line 31", part);
    says(
        &csv(&[("20.00,20.10", "4.00,4.02")]),
        "row 3 (line 9), column indicated",
        part,
    );
    let dcc = dcc(&[
        ("4.02 12.05 20.10", "4.02 12.05 4.02"),
        ("4.00 12.00 20.00", "4.00 12.00 4.00"),
        ("-0.05 -0.10", "-0.05 -0.02"),
    ]);
    says(
        &dcc,
        "dcc:quantity[2]/si:realListXMLList/si:valueXMLList (value 3)",
        part,
    );
}

#[test]
fn no_uncertainty() {
    for (zero, shown) in [("0", "0.0"), ("-0.04", "-0.04")] {
        let part = format!("the expanded uncertainty {shown} N·m is not above zero");
        says(
            &toml(&[("\"0.04 N·m\"", &format!("\"{zero} N·m\""))]),
            "line 19",
            &part,
        );
        says(
            &csv(&[(",0.04,2", &format!(",{zero},2"))]),
            "row 1 (line 7), column expanded",
            &part,
        );
        let dcc = dcc(&[("0.04 0.08", &format!("{zero} 0.08"))]);
        says(&dcc, "si:valueExpandedMUXMLList (value 1)", &part);
    }
}

#[test]
fn absurd_uncertainty() {
    let part = "the expanded uncertainty 4.0 N·m is more than half of 4.02 N·m; check the units and the columns";
    says(&toml(&[("\"0.04 N·m\"", "\"4 N·m\"")]), "line 19", part);
    says(
        &csv(&[(",0.04,2", ",4,2")]),
        "row 1 (line 7), column expanded",
        part,
    );
    says(
        &dcc(&[("0.04 0.08", "4 0.08")]),
        "si:valueExpandedMUXMLList (value 1)",
        part,
    );
    // half of it and no more is let in
    let half = changed(TABLE, &[(",0.04,2", ",2.01,2")]);
    assert_eq!(
        read_csv(&half, &Head::default())
            .unwrap()
            .check("KR-2207", day("2026-06-01")),
        Ok(())
    );
}

#[test]
fn indicated_and_reference_have_nothing_to_do_with_each_other() {
    let part = "are more than half apart; check the units and the columns";
    says(&toml(&[("4.02 N·m", "4.02 cN·m")]), "line 18", part);
    says(
        &csv(&[("4.00,4.02", "4.00,9.02")]),
        "row 1 (line 7), column reference",
        part,
    );
    let dcc = dcc(&[("4.02 12.05", "9.02 12.05"), ("-0.02 -0.05", "-5.02 -0.05")]);
    says(
        &dcc,
        "dcc:quantity[1]/si:realListXMLList/si:valueXMLList (value 1)",
        part,
    );
}

#[test]
fn torques_that_are_not_above_zero() {
    let part = "is no calibration point: torques are sizes above zero";
    says(&toml(&[("\"4 N·m\"", "\"0 N·m\"")]), "line 17", part);
    says(
        &toml(&[("\"4 N·m\"", "\"-4 N·m\""), ("4.02 N·m", "-4.02 N·m")]),
        "line 17",
        part,
    );
    says(
        &csv(&[("4.00,", "-0.00,")]),
        "row 1 (line 7), column indicated",
        part,
    );
    says(
        &csv(&[("4.02,", "-4.02,")]),
        "row 1 (line 7), column reference",
        part,
    );
    says(
        &csv(&[("20.00,20.10", "2001,20.10")]),
        "row 3 (line 9), column indicated",
        part,
    );
    let dcc = dcc(&[("4.02 12.05", "0.02 12.05"), ("4.00 12.00", "0.00 12.00")]);
    says(
        &dcc,
        "dcc:quantity[2]/si:realListXMLList/si:valueXMLList (value 1)",
        part,
    );
}

#[test]
fn coverage_factors_that_nobody_uses() {
    for (k, shown) in [("0.95", "0.950"), ("5.001", "5.001"), ("20", "20.000")] {
        let part = format!("a coverage factor of {shown} is none: it is between 1 and 5, mostly 2");
        says(
            &toml(&[("coverage_factor = 2", &format!("coverage_factor = {k}"))]),
            "line 20",
            &part,
        );
        says(
            &csv(&[("0.04,2", &format!("0.04,{k}"))]),
            "row 1 (line 7), column k",
            &part,
        );
        let dcc = dcc(&[(
            "<si:coverageFactorXMLList>2<",
            &format!("<si:coverageFactorXMLList>{k}<"),
        )]);
        says(
            &dcc,
            "si:expandedMUXMLList/si:coverageFactorXMLList (value 1)",
            &part,
        );
    }
}

#[test]
fn a_day_that_has_not_come() {
    let part = "has not come yet (today is 2026-06-01)";
    says(&toml(&[("2026-05-04", "2026-06-02")]), "line 3", part);
    says(&csv(&[("2026-05-04", "2026-06-02")]), "line 3", part);
    let path = "dcc:administrativeData/dcc:coreData/dcc:endPerformanceDate";
    let later = [(
        "<dcc:endPerformanceDate>2026-03-02",
        "<dcc:endPerformanceDate>2026-06-02",
    )];
    says(&dcc(&later), path, part);
}

#[test]
fn due_before_it_was_calibrated() {
    let part = "before its own date";
    says(
        &toml(&[("due = 2027-05-04", "due = 2026-05-03")]),
        "line 4",
        part,
    );
    says(&csv(&[("2027-05-04", "2026-05-03")]), "line 4", part);
    says(
        &dcc(&[("2027-03-02", "2026-03-01")]),
        "dcc:statements/dcc:statement/dcc:date",
        part,
    );
}

#[test]
fn the_certificate_of_another_tool() {
    let part = "it is the certificate of the tool \"KR-2208\", not of \"KR-2207\"";
    says(&toml(&[("KR-2207", "KR-2208")]), "line 5", part);
    says(&csv(&[("KR-2207", "KR-2208")]), "line 5", part);
    let part = "it is the certificate of the tool \"SN-4712\", not of \"SN-4711\"";
    let path = "dcc:items/dcc:item/dcc:identifications/dcc:identification/dcc:value";
    says(&dcc(&[("SN-4711", "SN-4712")]), path, part);
    // and while it is read, if the serial number is asked for
    let asked = Head {
        serial: Some("SN-4711".to_owned()),
        ..Head::default()
    };
    let text = with_due().replace("SN-4711", "SN-4712");
    says(
        &read_dcc(text.as_bytes(), &asked, None).unwrap_err(),
        path,
        part,
    );
}

#[test]
fn missing_units() {
    says(
        &toml(&[("\"4.02 N·m\"", "\"4.02\"")]),
        "line 18",
        "has no unit: write the unit too",
    );
    let part = "the unit of the column reference is missing: write it in square brackets";
    says(&csv(&[("reference [N·m]", "reference")]), "line 6", part);
    let dcc = dcc(&[("<si:unitXMLList>\\newton\\metre</si:unitXMLList>", "")]);
    says(
        &dcc,
        &format!("{QUANTITY}[1]/si:realListXMLList"),
        "si:unitXMLList is missing",
    );
}

#[test]
fn units_of_other_quantities() {
    says(
        &toml(&[("\"4.02 N·m\"", "\"4.02 kg\"")]),
        "line 18",
        "kg is a unit of mass, and torque is wanted here",
    );
    says(
        &csv(&[("reference [N·m]", "reference [mm]")]),
        "row 1 (line 7), column reference",
        "mm is a unit of length",
    );
    let value = format!("{QUANTITY}[1]/si:realListXMLList/si:valueXMLList (value 1)");
    for unit in [
        "\\kelvin",
        "\\joule",
        "\\newton",
        "\\percent",
        "Nm",
        "\\pound\\foot",
    ] {
        let dcc = dcc(&[("\\newton\\metre", unit)]);
        says(&dcc, &value, &format!("{unit:?} is no unit of torque here"));
    }
}

#[test]
fn what_is_no_number() {
    for nan in ["NaN", "nan", "INF", "", "4,02"] {
        says(
            &toml(&[("\"4.02 N·m\"", &format!("\"{nan} N·m\""))]),
            "line 18",
            "is not a number",
        );
        let quoted = format!("\"{nan}\"");
        says(
            &csv(&[("4.02", &quoted)]),
            "row 1 (line 7), column reference",
            "is not a number",
        );
    }
    for nan in ["NaN", "INF", "4,02", "--4"] {
        let value = format!("{QUANTITY}[1]/si:realListXMLList/si:valueXMLList (value 1)");
        says(
            &dcc(&[("4.02 12.05", &format!("{nan} 12.05"))]),
            &value,
            "is no figure",
        );
    }
    says(
        &dcc(&[("0.04 0.08", "NaN 0.08")]),
        "si:valueExpandedMUXMLList (value 1)",
        "is no figure",
    );
}

#[test]
fn texts_that_nobody_can_read() {
    let part = "has to have 1 to 400 characters, all of them visible";
    says(&toml(&[("\"PL-0311\"", "\" \"")]), "line 1", part);
    says(
        &csv(&[("Tarn Metrology", &"x".repeat(401))]),
        "line 2",
        part,
    );
    says(
        &dcc(&[("TEST-TORQUE-0001", "")]),
        "dcc:coreData/dcc:uniqueIdentifier",
        part,
    );
}

#[test]
fn ratios_and_counts_out_of_their_bounds() {
    says(
        &toml(&[("\"0.15 %\"", "\"51 %\"")]),
        "line 11",
        "the repeatability in ppm of 510000 is out of its bounds",
    );
    says(
        &toml(&[("repeatability_readings = 5", "repeatability_readings = 1")]),
        "line 12",
        "of 1 is out of its bounds (2 to",
    );
    says(
        &toml(&[("degrees_of_freedom = 50", "degrees_of_freedom = 0")]),
        "line 16",
        "the degrees of freedom of 0",
    );
    let rows: Vec<String> = (1..=201).map(|n| format!("{n},{n},0.1,2")).collect();
    let rows = rows.join("\n");
    let heading = "indicated [N·m],reference [N·m],expanded [N·m],k\n";
    let many = changed(TABLE, &[(heading, &format!("{heading}{rows}\n"))]);
    let many = many.split("4.00,4.02").next().unwrap();
    says(
        &refused(read_csv(many, &Head::default()), "KR-2207"),
        "line 6",
        "the number of points of 201",
    );
}

#[test]
fn a_certificate_from_the_ledger_names_its_members() {
    let mut kept = certificate(&[
        point(4_000_000, 4_020_000, 40_000, 2_000),
        point(12_000_000, 12_050_000, 0, 2_000),
    ]);
    let error = kept.check("KR-2207", day("2026-06-01")).unwrap_err();
    says(
        &error,
        "the certificate's point 2, expanded uncertainty",
        "is not above zero",
    );
    assert_eq!(kept.check_alone(), Err(error));
    kept.points.clear();
    assert_eq!(kept.check_alone(), Ok(()));
    kept.serial = None;
    assert_eq!(
        kept.check("any", day("2026-06-01")),
        Ok(()),
        "it states no serial number"
    );
}

/// Everything that is wrong is found at once, not only the first.
#[test]
fn all_faults_are_told() {
    let text = changed(
        FILE,
        &[
            ("KR-2207", "KR-1"),
            ("2026-05-04", "2026-07-01"),
            ("\"0.04 N·m\"", "\"0 N·m\""),
        ],
    );
    let faults = read_toml(&text)
        .unwrap()
        .faults("KR-2207", day("2026-06-01"));
    let places: Vec<_> = faults.iter().map(|fault| fault.place.clone()).collect();
    assert_eq!(places, [Place::Line(3), Place::Line(5), Place::Line(19)]);
}
