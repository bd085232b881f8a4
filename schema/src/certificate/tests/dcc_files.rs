//! Digital Calibration Certificates: each figure of the good ones.

use super::checks::{QUANTITY, TORQUE, with_due};
use super::*;

pub(super) const MOOR: &str = include_str!("../../../../tests/certificates/moor-st-5-percent.xml");
pub(super) const QUAY: &str =
    include_str!("../../../../tests/certificates/quay-two-tools-single-values.xml");
pub(super) const FORD: &str = include_str!("../../../../tests/certificates/ford-pound-feet.xml");
/// Published by the Physikalisch-Technische Bundesanstalt as a Good Practice example; see `tests/vectors/README.md`.
pub(super) const TEMPERATURE: &str =
    include_str!("../../../../tests/vectors/dcc-gp-temperature-simplified-1.2.xml");

pub(super) fn serial(text: &str) -> Head {
    Head {
        serial: Some(text.to_owned()),
        ..Head::default()
    }
}

pub(super) fn due(text: &str) -> Head {
    Head {
        due: Some(day(text)),
        ..Head::default()
    }
}

fn original(text: &str, signature: Option<Signature>) -> OriginalFile {
    OriginalFile {
        signature,
        ..OriginalFile::of(Format::Dcc, text.as_bytes())
    }
}

#[track_caller]
pub(super) fn refused(text: &str, given: &Head, table: Option<usize>, place: &str, part: &str) {
    let error = read_dcc(text.as_bytes(), given, table)
        .unwrap_err()
        .to_string();
    assert!(error.contains(place), "{error}\nis not about {place}");
    assert!(error.contains(part), "{error}\ndoes not say {part}");
}

/// The certificate of the vectors with one thing changed.
#[track_caller]
pub(super) fn changed(from: &str, to: &str) -> String {
    assert!(TORQUE.contains(from), "{from}");
    with_due().replacen(from, to, 1)
}

#[test]
fn reads_every_figure_of_the_torque_certificate() {
    let read = read_dcc(TORQUE.as_bytes(), &due("2027-03-01"), None).unwrap();
    let expected = Certificate {
        number: "TEST-TORQUE-0001".to_owned(),
        laboratory: "Example Laboratory, D-K-00000-00-00".to_owned(),
        date: day("2026-03-02"),
        due: day("2027-03-01"),
        serial: Some("SN-4711".to_owned()),
        method: Some("ISO 6789-2:2017".to_owned()),
        file: Some(original(TORQUE, None)),
        ..certificate(&[
            point(4_000_000, 4_020_000, 40_000, 2_000),
            point(12_000_000, 12_050_000, 80_000, 2_000),
            point(20_000_000, 20_100_000, 120_000, 2_000),
        ])
    };
    assert_eq!(read.certificate, expected);
    assert_eq!(read.check("SN-4711", day("2026-06-01")), Ok(()));
    let place = format!(
        "{QUANTITY}[3]/si:realListXMLList/si:measurementUncertaintyUnivariateXMLList/si:expandedMUXMLList/si:valueExpandedMUXMLList (value 3)"
    );
    assert_eq!(read.place(Subject::Expanded(2)), Place::Element(place));
    // SHA-256 of the file, computed with sha256sum
    let sha256 = read.certificate.file.unwrap().sha256.to_string();
    assert_eq!(
        sha256,
        "fd4e9e4a607200c6e23c711190f17c6e4a9964e5c180a3f04e6c3bf7bc3c81aa"
    );
}

#[test]
fn reads_errors_and_uncertainties_in_percent_and_as_ratios() {
    let read = |table| read_dcc(MOOR.as_bytes(), &serial("ST-5"), Some(table)).unwrap();
    let first_page = |points: &[Point]| Certificate {
        number: "MOOR-2026-5".to_owned(),
        laboratory: "Moor Calibration".to_owned(),
        date: day("2026-01-15"),
        due: day("2027-01-15"),
        serial: Some("ST-5".to_owned()),
        file: Some(original(MOOR, None)),
        ..certificate(points)
    };
    let clockwise = first_page(&[
        point(5_000_000, 5_310_000, 47_790, 2_000),
        point(10_000_000, 10_200_000, 91_800, 2_000),
        point(25_000_000, 24_200_000, 217_800, 2_000),
    ]);
    assert_eq!(read(1).certificate, clockwise);
    // a standard uncertainty is an expanded one with the coverage factor 1
    let anticlockwise = first_page(&[
        point(5_000_000, 5_100_000, 22_950, 1_000),
        point(10_000_000, 9_950_000, 39_800, 1_000),
    ]);
    assert_eq!(read(2).certificate, anticlockwise);
    for table in [1, 2] {
        assert_eq!(read(table).check("ST-5", day("2026-06-01")), Ok(()));
    }
    // the customer's own number is a number of the tool too
    assert_eq!(
        read_dcc(MOOR.as_bytes(), &serial("bench 3"), Some(1))
            .unwrap()
            .certificate
            .serial
            .unwrap(),
        "bench 3"
    );
}

#[test]
fn several_tables_have_to_be_told_apart() {
    for table in [None, Some(0), Some(3)] {
        let results = "/dcc:digitalCalibrationCertificate/dcc:measurementResults: the certificate has several tables for this tool; say which one: ";
        refused(
            MOOR,
            &serial("ST-5"),
            table,
            results,
            "1 = Torque, clockwise / As left (",
        );
        refused(
            MOOR,
            &serial("ST-5"),
            table,
            results,
            "2 = Torque, anticlockwise / As left (/dcc:digitalCalibrationCertificate/dcc:measurementResults/dcc:measurementResult[2]/dcc:results/dcc:result/dcc:data/dcc:list)",
        );
    }
    refused(
        &with_due(),
        &Head::default(),
        Some(2),
        "measurementResults",
        "say which one: 1 = Torque, clockwise",
    );
}

#[test]
fn reads_single_values_of_the_tool_that_is_asked_for() {
    let given = Head {
        due: Some(day("2027-06-02")),
        direction: Some(Direction::Clockwise),
        ..serial("QD-12")
    };
    let read = read_dcc(QUAY.as_bytes(), &given, None).unwrap();
    let expected = Certificate {
        number: "QUAY 2026/118".to_owned(),
        laboratory: "Quay Test House, Q-0000".to_owned(),
        date: day("2026-06-02"),
        due: day("2027-06-02"),
        serial: Some("QD-12".to_owned()),
        conditions: Some("Air: temperature 21.4 °C, humidity 48 %".to_owned()),
        method: Some("ISO 6789-2:2017; JCGM 100:2008".to_owned()),
        direction: Some(Direction::Clockwise),
        file: Some(original(QUAY, Some(Signature::PresentNotChecked))),
        ..certificate(&[
            point(1_000_000, 992_000, 12_000, 2_130),
            point(3_000_000, 3_018_000, 24_000, 2_000),
        ])
    };
    assert_eq!(read.certificate, expected);
    assert_eq!(read.check("QD-12", day("2026-06-03")), Ok(()));
    let path = "/dcc:digitalCalibrationCertificate/dcc:measurementResults/dcc:measurementResult[1]/dcc:results/dcc:result/dcc:data/dcc:list/dcc:list[2]/dcc:quantity[2]/si:real/si:value";
    assert_eq!(
        read.place(Subject::Reference(1)),
        Place::Element(path.to_owned())
    );

    for number in ["QD-77", "blue 2"] {
        let given = Head {
            serial: Some(number.to_owned()),
            ..given.clone()
        };
        let second = read_dcc(QUAY.as_bytes(), &given, None).unwrap().certificate;
        assert_eq!(
            second.points,
            [point(12_000_000, 11_900_000, 120_000, 2_000)]
        );
        assert_eq!(second.serial.as_deref(), Some(number));
        assert_eq!(
            (second.conditions, second.method),
            (None, None),
            "they belong to the other result"
        );
    }
}

#[test]
fn several_tools_have_to_be_told_apart() {
    let items = "/dcc:digitalCalibrationCertificate/dcc:administrativeData/dcc:items: ";
    let choices = "the certificate has: 1 = Screwdriver with display, QD-12 (/dcc:digitalCalibrationCertificate/dcc:administrativeData/dcc:items/dcc:item[1]); 2 = Wrench with display, QD-77, blue 2 (";
    refused(
        QUAY,
        &due("2027-06-02"),
        None,
        items,
        "it calibrates several items; say which serial number is meant",
    );
    refused(QUAY, &due("2027-06-02"), None, items, choices);
    refused(
        QUAY,
        &serial("QD-13"),
        None,
        items,
        "no item has the number \"QD-13\"",
    );
    refused(QUAY, &serial("QD-13"), None, items, choices);
    let twice = QUAY.replace("QD-77", "QD-12");
    refused(
        &twice,
        &serial("QD-12"),
        None,
        items,
        "several items have the number \"QD-12\"",
    );
    // a result that names no item belongs to all of them together, and to none alone
    let common = QUAY.replacen(" refId=\"first\"", "", 1);
    refused(
        &common,
        &serial("QD-12"),
        None,
        "dcc:measurementResults",
        "no list here holds reference values",
    );
    // and so it is with one that names another
    let foreign = changed("refId=\"item_1\"", "refId=\"item_2\"");
    refused(
        &foreign,
        &Head::default(),
        None,
        "dcc:measurementResults",
        "no list here holds reference values",
    );
}

#[test]
fn a_tool_without_any_number_is_the_persons_to_know() {
    let from = with_due().replace("<dcc:identification><dcc:issuer>manufacturer</dcc:issuer><dcc:value>SN-4711</dcc:value></dcc:identification>", "");
    let read = read_dcc(from.as_bytes(), &serial("SN-4711"), None).unwrap();
    assert_eq!(
        read.certificate.serial, None,
        "the certificate does not state it"
    );
}

#[test]
fn the_published_temperature_certificate_is_understood_and_is_no_torque() {
    let values = "/dcc:digitalCalibrationCertificate/dcc:measurementResults/dcc:measurementResult/dcc:results/dcc:result/dcc:data/dcc:list/dcc:quantity[2]/si:hybrid/si:realListXMLList[1]/si:valueXMLList (value 1)";
    refused(
        TEMPERATURE,
        &Head::default(),
        None,
        values,
        "\"\\\\kelvin\" is no unit of torque here",
    );
    refused(
        TEMPERATURE,
        &serial("other"),
        None,
        "dcc:identification[1]/dcc:value",
        "the tool \"string-manufacturer-item\", not of \"other\"",
    );
    // With its unit called by another name the whole of it can be read, so it is the unit alone that is refused.
    let torque = TEMPERATURE.replace("\\kelvin", "\\newton\\metre");
    let read = read_dcc(torque.as_bytes(), &serial("string-manufacturer-item"), None).unwrap();
    let page = &read.certificate;
    assert_eq!(
        (page.number.as_str(), page.laboratory.as_str()),
        ("GP_DCC_temperature_minimal_1.2", "Kalibrierfirma GmbH")
    );
    assert_eq!(
        (page.date, page.due),
        (day("1957-08-13"), day("1959-10-22"))
    );
    let conditions = "Ambient condition temperature: temperature min 293 \\newton\\metre, temperature max 299 \\newton\\metre; Ambient condition relative humidity: humidity min 0.20, humidity max 0.70";
    assert_eq!(page.conditions.as_deref(), Some(conditions));
    let figures: Vec<_> = page
        .points
        .iter()
        .map(|p| (p.indicated.small_units(), p.reference.small_units()))
        .collect();
    assert_eq!(
        figures,
        [
            (306_320_000, 306_248_000),
            (373_210_000, 373_121_000),
            (448_360_000, 448_253_000),
            (523_310_000, 523_319_000),
            (593_070_000, 593_154_000),
        ]
    );
    assert!(
        page.points
            .iter()
            .all(|p| p.expanded.small_units() == 61_000 && p.coverage_factor_thousandths == 2_000)
    );
    assert_eq!(
        read.faults("string-manufacturer-item", day("1958-01-01")),
        []
    );
}

#[test]
fn the_due_date_comes_from_the_certificate_or_from_a_person() {
    refused(
        TORQUE,
        &Head::default(),
        None,
        "the certificate file",
        "the due date is missing",
    );
    let dates = |given: &Head| {
        read_dcc(with_due().as_bytes(), given, None).map(|read| read.certificate.due)
    };
    assert_eq!(dates(&Head::default()), Ok(day("2027-03-02")));
    assert_eq!(dates(&due("2026-09-01")), Ok(day("2026-09-01")));
    refused(
        &with_due(),
        &due("2028-03-02"),
        None,
        "dcc:statement/dcc:date",
        "asks for a calibration by 2027-03-02; 2028-03-02 is later",
    );
    let twice = with_due().replace("</dcc:statements>", "<dcc:statement refType=\"x basic_recalibration\"><dcc:date>2027-04-01</dcc:date></dcc:statement></dcc:statements>");
    refused(
        &twice,
        &Head::default(),
        None,
        "dcc:statement[2]/dcc:date",
        "2027-04-01 here, and 2027-03-02 was stated elsewhere",
    );
    let no_day = with_due().replace("2027-03-02<", "spring<");
    refused(
        &no_day,
        &Head::default(),
        None,
        "dcc:statement/dcc:date",
        "\"spring\" is no date",
    );
}

#[test]
fn what_a_person_states_has_to_agree() {
    let given = Head {
        number: Some("TEST-TORQUE-0002".to_owned()),
        ..Head::default()
    };
    refused(
        &with_due(),
        &given,
        None,
        "dcc:coreData/dcc:uniqueIdentifier",
        "\"TEST-TORQUE-0002\" was stated elsewhere",
    );
    let given = Head {
        state: Some(State::AsLeft),
        covers: Some([Contribution::Resolution].into()),
        ..Head::default()
    };
    let read = read_dcc(with_due().as_bytes(), &given, None)
        .unwrap()
        .certificate;
    assert_eq!(
        (read.state, read.covers),
        (Some(State::AsLeft), [Contribution::Resolution].into())
    );
}

/// Several units in one list: each value has its own.
#[test]
fn each_value_may_have_its_own_unit() {
    let units = "4.02 12.05 20.10</si:valueXMLList><si:unitXMLList>\\newton\\metre";
    let mixed = "402 12.05 20100</si:valueXMLList><si:unitXMLList>\\centi\\newton\\metre \\newton\\metre \\milli\\newton\\metre";
    let points = |text: &str| {
        read_dcc(text.as_bytes(), &Head::default(), None)
            .unwrap()
            .certificate
            .points
    };
    assert_eq!(points(&changed(units, mixed)), points(&with_due()));
    // one uncertainty for values in several units says nothing
    let spread = "0.04 0.08 0.12";
    let errors = "-0.10</si:valueXMLList><si:unitXMLList>\\newton\\metre";
    let other = "-100</si:valueXMLList><si:unitXMLList>\\newton\\metre \\newton\\metre \\milli\\newton\\metre";
    let text = changed(errors, other).replace(spread, "0.08");
    refused(
        &text,
        &Head::default(),
        None,
        "si:expandedMUXMLList",
        "1 figures stand here, and 3 are wanted",
    );
}
