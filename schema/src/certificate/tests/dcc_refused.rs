//! Digital Calibration Certificates: where and why the bad ones are refused.

use super::checks::{QUANTITY, TORQUE, with_due};
use super::dcc_files::{FORD, QUAY, changed, due, refused, serial};
use super::*;

#[test]
fn units_outside_d_si_are_refused() {
    let first = format!("{QUANTITY}[2]/si:realListXMLList/si:valueXMLList (value 1)");
    refused(
        FORD,
        &serial("FD-3"),
        None,
        &first,
        "\"\\\\foot\\\\poundforce\" is no unit of torque here",
    );
    refused(
        FORD,
        &serial("FD-3"),
        None,
        &first,
        "are not converted from a DCC",
    );
}

/// "The error is measured minus reference" is checked by computing it.
#[test]
fn the_error_has_to_come_out() {
    let errors = |to: &str| changed("-0.02 -0.05 -0.10", to);
    let place = format!("{QUANTITY}[3]/si:realListXMLList/si:valueXMLList (value 2)");
    refused(
        &errors("-0.02 -0.07 -0.10"),
        &Head::default(),
        None,
        &place,
        "is not measured minus reference within rounding (12.0 N·m and 12.05 N·m)",
    );
    // rounded errors are let in, and so are more digits than the values have
    for close in [
        "-0.02 -0.05 -0.1",
        "-0.0200 -0.0501 -0.0999",
        "-2e-2 -5E-2 -1.0e-1",
        "-0.019999999999999574 -0.05000000000000071 -0.10000000000000142",
    ] {
        assert!(
            read_dcc(errors(close).as_bytes(), &Head::default(), None).is_ok(),
            "{close}"
        );
    }
    let place = format!("{QUANTITY}[3]/si:realListXMLList/si:valueXMLList (value 1)");
    refused(
        &errors("0.02 0.05 0.10"),
        &Head::default(),
        None,
        &place,
        "are reference minus measured (a correction)",
    );
    // the columns called by each other's names
    let swapped = with_due()
        .replace("basic_referenceValue", "x")
        .replace("basic_measuredValue", "basic_referenceValue")
        .replace("\"x\"", "\"basic_measuredValue\"");
    refused(
        &swapped,
        &Head::default(),
        None,
        &place,
        "are reference minus measured (a correction)",
    );
    // Written so coarsely that rounding would let both signs in, the sign still has to fit.
    let coarse = with_due()
        .replace("4.02 12.05 20.10", "4 12 20")
        .replace("4.00 12.00 20.00", "4.02 12.05 20.10");
    refused(
        &coarse,
        &Head::default(),
        None,
        &place,
        "are reference minus measured (a correction)",
    );
}

#[test]
fn uncertainties_that_are_not_those_of_the_calibration() {
    let begin = "<si:measurementUncertaintyUnivariateXMLList>";
    let end = "</si:measurementUncertaintyUnivariateXMLList>";
    let text = with_due();
    let (from, to) = (
        text.find(begin).unwrap(),
        text.find(end).unwrap() + end.len(),
    );
    let spread = &text[from..to];
    let without = text.replacen(spread, "", 1);
    refused(
        &without,
        &Head::default(),
        None,
        &format!("{QUANTITY}[3]"),
        "neither the error nor the measured value states an expanded uncertainty",
    );
    let reference =
        "4.02 12.05 20.10</si:valueXMLList><si:unitXMLList>\\newton\\metre</si:unitXMLList>";
    let on_reference = without.replacen(reference, &format!("{reference}{spread}"), 1);
    refused(
        &on_reference,
        &Head::default(),
        None,
        &format!("{QUANTITY}[1]"),
        "only the reference value has an uncertainty",
    );
    let measured =
        "4.00 12.00 20.00</si:valueXMLList><si:unitXMLList>\\newton\\metre</si:unitXMLList>";
    let on_measured = without.replacen(measured, &format!("{measured}{spread}"), 1);
    let points = |text: &str| {
        read_dcc(text.as_bytes(), &Head::default(), None)
            .unwrap()
            .certificate
            .points
    };
    assert_eq!(points(&on_measured), points(&text));

    let interval = text.replace("expandedMUXMLList", "coverageIntervalMUXMLList");
    refused(
        &interval,
        &Head::default(),
        None,
        "si:measurementUncertaintyUnivariateXMLList",
        "si:coverageIntervalMUXMLList, which is not read here",
    );
    let no_factor = text.replace("<si:coverageFactorXMLList>2</si:coverageFactorXMLList>", "");
    refused(
        &no_factor,
        &Head::default(),
        None,
        "si:expandedMUXMLList",
        "si:coverageFactorXMLList is missing",
    );
    let two = text.replace("0.04 0.08 0.12", "0.04 0.08");
    refused(
        &two,
        &Head::default(),
        None,
        "si:valueExpandedMUXMLList",
        "2 figures stand here, and 3 are wanted",
    );
    let one = points(&text.replace("0.04 0.08 0.12", "0.08"));
    assert!(
        one.iter()
            .all(|point| point.expanded.small_units() == 80_000),
        "a list of one stands for all"
    );
}

#[test]
fn relative_uncertainties_stand_beside_absolute_ones() {
    let second = "dcc:list[1]/dcc:quantity[3]/dcc:relativeUncertainty/dcc:relativeUncertaintySingle/si:value";
    refused(
        &QUAY.replace(">1.21<", ">1.31<"),
        &serial("QD-12"),
        None,
        second,
        "does not belong to the absolute one, 0.012 N·m of 0.992 N·m",
    );
    let begin = QUAY.find("<d:expandedUnc>").unwrap();
    let end = QUAY.find("</d:expandedUnc>").unwrap() + "</d:expandedUnc>".len();
    let alone = QUAY.replacen(&QUAY[begin..end], "", 1);
    refused(
        &alone,
        &serial("QD-12"),
        None,
        second,
        "stands alone here, without the absolute one",
    );
    let torque = QUAY.replace(
        "<d:value>1.21</d:value><d:unit>\\percent",
        "<d:value>1.21</d:value><d:unit>\\newton\\metre",
    );
    refused(
        &torque,
        &serial("QD-12"),
        None,
        second,
        "is neither a unit of torque nor of a ratio",
    );
    let list = "<dcc:relativeUncertainty><dcc:relativeUncertaintyXmlList><si:valueXMLList>1.0 0.66 0.6</si:valueXMLList><si:unitXMLList>\\percent</si:unitXMLList></dcc:relativeUncertaintyXmlList></dcc:relativeUncertainty>";
    let beside = with_due().replacen(
        "</si:realListXMLList>\n       </dcc:quantity>\n      </dcc:list>",
        &format!("</si:realListXMLList>{list}</dcc:quantity></dcc:list>"),
        1,
    );
    assert!(beside.contains(list));
    assert!(read_dcc(beside.as_bytes(), &Head::default(), None).is_ok());
    refused(
        &beside.replace("1.0 0.66 0.6", "1.0 0.66 0.5"),
        &Head::default(),
        None,
        "(value 3)",
        "does not belong to the absolute one",
    );
}

#[test]
fn lists_that_do_not_belong_together() {
    refused(
        &changed("4.00 12.00 20.00", "4.00 12.00"),
        &Head::default(),
        None,
        &format!("{QUANTITY}[2]"),
        "2 figures stand here, and 3 are wanted",
    );
    refused(
        &changed("-0.02 -0.05 -0.10", "-0.02 -0.05"),
        &Head::default(),
        None,
        &format!("{QUANTITY}[3]"),
        "figures stand here",
    );
    refused(
        &changed("4.02 12.05 20.10", " "),
        &Head::default(),
        None,
        "si:valueXMLList",
        "0 figures stand here, and 1 are wanted",
    );
    let units = changed("\\newton\\metre<", "\\newton\\metre \\newton\\metre<");
    refused(
        &units,
        &Head::default(),
        None,
        &format!("{QUANTITY}[1]/si:realListXMLList/si:unitXMLList"),
        "2 figures stand here, and 3 are wanted",
    );
    let list = "/dcc:digitalCalibrationCertificate/dcc:measurementResults/dcc:measurementResult/dcc:results/dcc:result/dcc:data/dcc:list: ";
    refused(
        &changed(
            "basic_measurementError",
            "basic_measurementError_correction",
        ),
        &Head::default(),
        None,
        list,
        "a quantity of refType basic_measurementError is missing",
    );
    refused(
        &changed("basic_measurementError", "basic_measuredValue"),
        &Head::default(),
        None,
        list,
        "more than one quantity of refType basic_measuredValue",
    );
    refused(
        &changed("basic_measuredValue", "basic_nominalValue"),
        &Head::default(),
        None,
        "dcc:measurementResults",
        "no list here holds reference values",
    );
    let none = with_due().replace("si:realListXMLList", "si:complexListXMLList");
    refused(
        &none,
        &Head::default(),
        None,
        &format!("{QUANTITY}[1]"),
        "si:complexListXMLList is a form of value that is not read here",
    );
    let two = changed("<si:realListXMLList>", "<si:real/><si:realListXMLList>");
    refused(
        &two,
        &Head::default(),
        None,
        &format!("{QUANTITY}[1]"),
        "more than one value here",
    );
}

fn repeated(text: impl Fn(usize) -> String) -> String {
    (0..2_000).map(text).collect::<Vec<_>>().concat()
}

#[test]
fn hostile_files() {
    let whole = "the certificate file: ";
    refused(
        &format!("<!DOCTYPE x [<!ENTITY a \"b\">]>{TORQUE}"),
        &Head::default(),
        None,
        whole,
        "document type declaration",
    );
    refused(
        &TORQUE.replacen(
            "<dcc:digital",
            "<!DOCTYPE x SYSTEM \"file:///etc/passwd\"><dcc:digital",
            1,
        ),
        &Head::default(),
        None,
        whole,
        "document type declaration",
    );
    let deep = format!("{}{}", "<a>".repeat(100_000), "</a>".repeat(100_000));
    refused(
        &deep,
        &Head::default(),
        None,
        whole,
        "more than 64 elements in one another",
    );
    let wide = format!("<a {}/>", repeated(|n| format!("a{n}=\"\" ")));
    refused(
        &wide,
        &Head::default(),
        None,
        whole,
        "more than 128 attributes in one element",
    );
    let names = format!("<a {}/>", repeated(|n| format!("xmlns:a{n}=\"{n}\" ")));
    refused(
        &names,
        &Head::default(),
        None,
        whole,
        "more than 256 namespaces",
    );
    let many = format!("<a>{}</a>", "<b/>".repeat(200_000));
    refused(
        &many,
        &Head::default(),
        None,
        whole,
        "more than 100000 elements and texts",
    );
    refused(
        &" ".repeat(8 * 1024 * 1024 + 1),
        &Head::default(),
        None,
        whole,
        "8388609 bytes, and at most 8388608",
    );
}

#[test]
fn foreign_files() {
    let whole = "the certificate file: ";
    refused(
        "<a/>",
        &Head::default(),
        None,
        whole,
        "\"a\" is not the root",
    );
    refused(
        &TORQUE.replace("https://ptb.de/dcc", "https://example.org/dcc"),
        &Head::default(),
        None,
        whole,
        "is not the root",
    );
    refused("", &Head::default(), None, "line 1", "cannot be read");
    refused(
        "%PDF-1.7",
        &Head::default(),
        None,
        "line 1",
        "cannot be read",
    );
    refused(
        &TORQUE.replace("</dcc:item>", ""),
        &Head::default(),
        None,
        "line 25",
        "cannot be read",
    );
    for version in ["4.0.0", "1.9", ""] {
        let other = TORQUE.replace("3.3.0\">", &format!("{version}\">"));
        refused(
            &other,
            &Head::default(),
            None,
            "/dcc:digitalCalibrationCertificate: ",
            "is not read here, only 2.x and 3.x",
        );
    }
    for bytes in [&b"\xff\xfe<\0a\0/\0>\0"[..], &b"\xc3\x28"[..]] {
        let error = read_dcc(bytes, &Head::default(), None).unwrap_err();
        assert_eq!(error.fault, Fault::Dcc(DccFault::NotUtf8));
    }
    // comments, literal text and instructions with signs in them are none of these
    let harmless = TORQUE.replacen(
        "<dcc:coreData>",
        "<!-- <a <b a=\"=====\"> <!DOCTYPE --><?x <y> ?><dcc:coreData>",
        1,
    );
    assert!(read_dcc(harmless.as_bytes(), &due("2027-03-01"), None).is_ok());
}

#[test]
fn a_first_page_that_says_too_little_or_too_much() {
    for (name, text) in [
        (
            "uniqueIdentifier",
            changed(
                "<dcc:uniqueIdentifier>TEST-TORQUE-0001</dcc:uniqueIdentifier>",
                "",
            ),
        ),
        (
            "endPerformanceDate",
            changed(
                "<dcc:endPerformanceDate>2026-03-02</dcc:endPerformanceDate>",
                "",
            ),
        ),
    ] {
        refused(
            &text,
            &Head::default(),
            None,
            "dcc:administrativeData/dcc:coreData: ",
            &format!("dcc:{name} is missing: the laboratory has to state it"),
        );
    }
    let twice = changed(
        "<dcc:uniqueIdentifier>",
        "<dcc:uniqueIdentifier>A</dcc:uniqueIdentifier><dcc:uniqueIdentifier>",
    );
    refused(
        &twice,
        &Head::default(),
        None,
        "dcc:coreData: ",
        "more than one dcc:uniqueIdentifier here",
    );
    let inside = changed("TEST-TORQUE-0001", "<b>TEST</b>");
    refused(
        &inside,
        &Head::default(),
        None,
        "dcc:uniqueIdentifier: ",
        "elements where plain text is wanted",
    );
    let comment = changed("TEST-TORQUE-0001", "TEST<!-- - -->-TORQUE<![CDATA[-0001]]>");
    assert_eq!(
        read_dcc(comment.as_bytes(), &Head::default(), None)
            .unwrap()
            .certificate
            .number,
        "TEST-TORQUE-0001"
    );
    let no_results = changed("<dcc:measurementResults>", "<dcc:other>")
        .replace("</dcc:measurementResults>", "</dcc:other>");
    refused(
        &no_results,
        &Head::default(),
        None,
        "/dcc:digitalCalibrationCertificate: ",
        "dcc:measurementResults is missing",
    );
    let no_item = changed("<dcc:item ", "<dcc:thing ").replace("</dcc:item>", "</dcc:thing>");
    refused(
        &no_item,
        &Head::default(),
        None,
        "dcc:items: ",
        "dcc:item is missing",
    );
}
