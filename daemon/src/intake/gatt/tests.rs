//! Values as characteristics send them. The layouts are those of the Bluetooth SIG's GATT Specification Supplement; the cases
//! were reckoned from them by a program apart from this one, but for the two of each float that are named below.

use super::*;
use proptest::prelude::*;

fn hex(text: &str) -> Vec<u8> {
    super::super::dialect::from_hex(text).unwrap()
}

/// The value with its unit; "none" where the device says that there is none, "error" where the bytes are none.
fn read(carrier: Carrier, bytes: &str) -> String {
    match carrier.read(&hex(bytes)) {
        Ok(Some(Measured::Torque(seen))) => seen.number.unwrap().to_string(),
        Ok(Some(Measured::Other(stated))) => stated.to_string(),
        Ok(Some(Measured::Temperature(hundredths))) => format!("{hundredths} c°C"),
        Ok(None) => "none".to_owned(),
        Err(error) => {
            assert!(error.to_string().contains(&hex::encode(hex(bytes))) || bytes.is_empty());
            "error".to_owned()
        }
    }
}

#[test]
fn adopted_characteristics_are_read() {
    for (carrier, bytes, expected) in [
        (Carrier::Torque, "FC 01 00 00", "5.08 N·m"),
        (Carrier::Torque, "83 FF FF FF", "-1.25 N·m"),
        (Carrier::Torque, "FF FF FF 7F", "none"),
        (Carrier::Torque, "FC 01 00", "error"),
        (Carrier::Torque, "FC 01 00 00 00", "error"),
        (Carrier::Torque, "", "error"),
        (Carrier::Force, "70 F6 11 00", "1177.200 N"),
        (Carrier::Length, "60 D2 04 00", "0.0316000 m"),
        (Carrier::Length, "FF FF FF FF", "none"),
        (Carrier::Pressure, "60 EC 53 00", "550000.0 Pa"),
        (Carrier::Temperature, "29 09", "2345 c°C"),
        (Carrier::Temperature, "00 80", "none"),
        (Carrier::Weight, "00 6F 06", "8.235 kg"),
        (Carrier::Weight, "01 17 07", "18.15 lb"),
        (Carrier::Weight, "02 6F 06", "error"),
        (Carrier::Weight, "02 6F 06 EA 07 0B 19 0C 00 00", "8.235 kg"),
    ] {
        assert_eq!(read(carrier, bytes), expected, "{carrier:?} {bytes}");
    }
}

#[test]
fn a_descriptor_says_how_a_characteristic_is_read() {
    for (descriptor, bytes, expected) in [
        ("0E FD 41 27 01 00 00", "1E FB", "-1.250 N·m"),
        ("10 FE 41 27 01 00 00", "FC 01 00 00", "5.08 N·m"),
        ("14 00 41 27 01 00 00", "5C 8F A2 40", "5.08 N·m"),
        ("16 00 41 27 01 00 00", "FC E1", "5.08 N·m"),
        ("16 00 41 27 01 00 00", "FF 07", "none"),
        ("16 00 41 27 01 00 00", "00 08", "none"),
        ("16 00 41 27 01 00 00", "FE 07", "none"),
        ("16 00 41 27 01 00 00", "02 08", "none"),
        ("17 00 41 27 01 00 00", "FC 01 00 FE", "5.08 N·m"),
        ("17 00 41 27 01 00 00", "FF FF 7F 00", "none"),
        ("06 FD 02 27 01 00 00", "2B 20", "8.235 kg"),
        // A length of 31 m is no caliper's; it is told as it came, and what is plausible is for others to say.
        ("10 FD 01 27 01 00 00", "90 7B 00 00", "31.632 m"),
        ("14 00 41 27 01 00 00", "00 00 C0 7F", "none"),
        ("10 FE 41 27 01 00 00", "FC 01", "error"),
        // the published examples: SFLOAT 0x0072 = 114, 0xB076 = 0.001 18 (transcoding white paper of the SIG);
        // FLOAT 0xFF00016C = 36.4, 0xFE000D97 = 34.79
        ("16 00 41 27 01 00 00", "72 00", "114 N·m"),
        ("16 00 41 27 01 00 00", "76 B0", "0.00118 N·m"),
        ("17 00 41 27 01 00 00", "6C 01 00 FF", "36.4 N·m"),
        ("17 00 41 27 01 00 00", "97 0D 00 FE", "34.79 N·m"),
        ("0E FE 2F 27 01 00 00", "29 09", "2345 c°C"),
    ] {
        let presentation = Presentation::read_descriptor(&hex(descriptor)).unwrap();
        assert_eq!(
            read(Carrier::Presented(presentation), bytes),
            expected,
            "{descriptor} {bytes}"
        );
    }
}

#[test]
fn an_infinity_is_past_the_range() {
    for (descriptor, bytes, wanted) in [
        ("16 00 41 27 01 00 00", "FE 07", true),
        ("16 00 41 27 01 00 00", "02 08", true),
        ("16 00 41 27 01 00 00", "FF 07", false),
        ("14 00 41 27 01 00 00", "00 00 80 FF", true),
        ("14 00 41 27 01 00 00", "00 00 C0 7F", false),
        ("14 00 41 27 01 00 00", "00 80 FF", false),
        ("14 00 2F 27 01 00 00", "00 00 80 7F", false), // a temperature
    ] {
        let presentation = Presentation::read_descriptor(&hex(descriptor)).unwrap();
        let carrier = Carrier::Presented(presentation);
        assert_eq!(
            carrier.is_past_range(&hex(bytes)),
            wanted,
            "{descriptor} {bytes}"
        );
    }
}

#[test]
fn a_descriptor_that_says_something_else_is_not_used() {
    for descriptor in [
        "0E FD 53 27 01 00 00", // exposure
        "19 00 41 27 01 00 00", // text
        "02 00 41 27 01 00 00", // two bits
        "0E FD 41 27 01 00",
        "",
        "0E FD 41 27 01 00 00 00",
    ] {
        assert_eq!(
            Presentation::read_descriptor(&hex(descriptor)),
            None,
            "{descriptor}"
        );
    }
}

#[test]
fn a_torque_characteristic_counts_in_its_own_service_only() {
    let torque = assigned(0x2C0B);
    assert_eq!(
        Carrier::adopted(INDUSTRIAL_MEASUREMENT, torque),
        Some(Carrier::Torque)
    );
    assert_eq!(Carrier::adopted(WEIGHT_SCALE, torque), None);
    assert_eq!(
        format!("{INDUSTRIAL_MEASUREMENT:032x}"),
        "0000185a00001000800000805f9b34fb"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2_000) })]

    #[test]
    fn no_bytes_are_too_much(
        descriptor in proptest::collection::vec(any::<u8>(), 7),
        format in 0_u8..0x1C,
        bytes in proptest::collection::vec(any::<u8>(), 0..20),
    ) {
        let mut descriptor = descriptor;
        descriptor[0] = format;
        descriptor[2] = 0x41;
        descriptor[3] = 0x27;
        if let Some(presentation) = Presentation::read_descriptor(&descriptor) {
            let _ = Carrier::Presented(presentation).read(&bytes);
        }
        for carrier in [Carrier::Torque, Carrier::Force, Carrier::Length, Carrier::Weight, Carrier::Pressure] {
            let _ = carrier.read(&bytes);
        }
    }
}
