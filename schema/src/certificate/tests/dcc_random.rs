//! Digital Calibration Certificates: any bytes, any change, any points.

use super::checks::{TORQUE, with_due};
use super::dcc_files::{MOOR, QUAY, TEMPERATURE, serial};
use super::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = read_dcc(&bytes, &Head::default(), None);
    }

    #[test]
    fn no_change_makes_it_panic(
        which in 0_usize..4, at in any::<prop::sample::Index>(), length in 0_usize..60,
        with in prop::sample::select(vec!["", "9", "-", "e9", "NaN", " ", "<", ">", "\"", "</dcc:list>", "<dcc:list>", "1e40", "0", "é", "\\newton\\metre"]),
    ) {
        let (base, number) = [(TORQUE, "SN-4711"), (MOOR, "ST-5"), (QUAY, "QD-12"), (TEMPERATURE, "string-manufacturer-item")][which];
        let begin = at.index(base.len());
        let end = (begin + length).min(base.len());
        let bytes = [&base.as_bytes()[..begin], with.as_bytes(), &base.as_bytes()[end..]].concat();
        for given in [Head::default(), Head { due: Some(day("2027-06-02")), ..serial(number) }] {
            if let Ok(read) = read_dcc(&bytes, &given, Some(1)) {
                let _ = (read.faults(number, day("2026-06-03")), Curve::new(&read.certificate));
            }
        }
    }

    /// Points written as a certificate read as those points: in lists or as single values.
    #[test]
    fn certificates_read_back(points in any_points(), is_list in any::<bool>()) {
        let text = if is_list { written_as_lists(&points) } else { written_as_single_values(&points) };
        let read = read_dcc(text.as_bytes(), &Head::default(), None).unwrap().certificate.points;
        let expected: Vec<_> = points.iter().map(|p| Point { degrees_of_freedom: None, readings: None, ..*p }).collect();
        prop_assert_eq!(read, expected);
    }
}

/// The certificate of the vectors around other data.
fn around(data: &str) -> String {
    let text = with_due();
    let (begin, end) = (
        text.find("<dcc:data>").unwrap(),
        text.rfind("</dcc:data>").unwrap(),
    );
    format!("{}<dcc:data>{data}{}", &text[..begin], &text[end..])
}

fn figures(point: &Point) -> [String; 5] {
    let micro = |torque: MicroTorque| torque.small_units();
    let k = point.coverage_factor_thousandths;
    [
        micro(point.reference).to_string(),
        micro(point.indicated).to_string(),
        (micro(point.indicated) - micro(point.reference)).to_string(),
        micro(point.expanded).to_string(),
        format!("{}.{:03}", k / 1000, k % 1000),
    ]
}

const UNIT: &str = "\\micro\\newton\\metre";

fn written_as_lists(points: &[Point]) -> String {
    let column = |n: usize| {
        points
            .iter()
            .map(|p| figures(p)[n].clone())
            .collect::<Vec<_>>()
            .join(" ")
    };
    let quantity = |role: &str, n: usize, more: &str| {
        format!(
            "<dcc:quantity refType=\"{role}\"><si:realListXMLList><si:valueXMLList>{}</si:valueXMLList><si:unitXMLList>{UNIT}</si:unitXMLList>{more}</si:realListXMLList></dcc:quantity>",
            column(n)
        )
    };
    let spread = format!(
        "<si:expandedUncXMLList><si:uncertaintyXMLList>{}</si:uncertaintyXMLList><si:coverageFactorXMLList>{}</si:coverageFactorXMLList></si:expandedUncXMLList>",
        column(3),
        column(4)
    );
    around(&format!(
        "<dcc:list>{}{}{}</dcc:list>",
        quantity("basic_referenceValue", 0, ""),
        quantity("basic_measuredValue", 1, ""),
        quantity("basic_measurementError", 2, &spread)
    ))
}

fn written_as_single_values(points: &[Point]) -> String {
    let quantity = |role: &str, value: &str, more: &str| {
        format!(
            "<dcc:quantity refType=\"{role}\"><si:real><si:value>{value}</si:value><si:unit>{UNIT}</si:unit>{more}</si:real></dcc:quantity>"
        )
    };
    let list = |point: &Point| {
        let [reference, indicated, error, expanded, k] = figures(point);
        let spread = format!(
            "<si:measurementUncertaintyUnivariate><si:expandedMU><si:valueExpandedMU>{expanded}</si:valueExpandedMU><si:coverageFactor>{k}</si:coverageFactor></si:expandedMU></si:measurementUncertaintyUnivariate>"
        );
        format!(
            "<dcc:list>{}{}{}</dcc:list>",
            quantity("basic_referenceValue", &reference, ""),
            quantity("basic_measuredValue", &indicated, ""),
            quantity("basic_measurementError", &error, &spread)
        )
    };
    around(&points.iter().map(list).collect::<String>())
}
