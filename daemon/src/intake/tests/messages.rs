//! What a broker delivers, and which address goes with which profile.

use super::*;
use crate::intake::Delivery;
use crate::intake::checksum::sum;
use pullmark_schema::profile::ChecksumKind;

fn known(name: &str) -> Dialect {
    Profiles::built_in().unwrap().find(name).unwrap().clone()
}

fn delivered(intake: &mut Intake, payload: &[u8], delivery: Delivery) -> Vec<String> {
    let mut all = Vec::new();
    intake.message(payload, delivery, Arrival::default(), |received| {
        all.push(received.to_string());
    });
    all
}

/// A frame of ten samples, mN·m, whose last byte may be anything.
fn frame(count: u8, samples: [i16; 10]) -> Vec<u8> {
    let mut bytes = vec![0xA5, 0x5A, count];
    bytes.extend(samples.iter().flat_map(|sample| sample.to_le_bytes()));
    bytes.push(0);
    let check = sum(ChecksumKind::Crc16Ccitt, &bytes[2..]);
    bytes.extend(check.to_be_bytes());
    bytes
}

#[test]
fn a_message_of_frames_gives_every_sample_and_may_end_with_any_byte() {
    // Without the search for pulls each sample is a reading.
    let mut profile = known("trace-frames").profile().clone();
    profile.stream = None;
    profile.frame.longest = 8;
    let mut intake = Intake::new(Dialect::new(profile).unwrap());
    // One whose checksum ends with a line feed.
    let ends_so = (0..i16::MAX)
        .map(|first| frame(1, [first, 1, 2, 3, 4, 5, 6, 7, 8, 9]))
        .find(|frame| frame.ends_with(b"\n"))
        .unwrap();
    let told = delivered(&mut intake, &ends_so, Delivery::Fresh);
    assert_eq!(told.len(), 10, "{told:?}");
    assert!(told[9].contains("0.009 N·m"), "{told:?}");
    let mut two = frame(2, [5; 10]);
    two.extend(frame(3, [6; 10]));
    two.extend(b"\xA5\x5A\x04");
    let told = delivered(&mut intake, &two, Delivery::Fresh);
    assert_eq!(told.len(), 21, "{told:?}");
    assert!(told[20].starts_with("no reading"), "{told:?}");
    // What is cut off in one message has no other half in the next.
    assert_eq!(
        delivered(&mut intake, &frame(5, [7; 10]), Delivery::Fresh).len(),
        10
    );
}

#[test]
fn the_same_count_is_told_as_sent_again_with_its_value() {
    let mut intake = Intake::new(known("json-mass"));
    let text =
        |mass: &str| format!("{{\"seq\": 7, \"mass\": {{\"value\": {mass}, \"unit\": \"kg\"}}}}");
    let first = delivered(&mut intake, text("8.235").as_bytes(), Delivery::Fresh);
    assert!(
        first[0].contains("8.235 kg") && !first[0].contains("sent again"),
        "{first:?}"
    );
    // Whether it is stored already, what is stored tells: a sensor that lost its memory counts anew.
    for mass in ["8.235", "7.9"] {
        let told = delivered(&mut intake, text(mass).as_bytes(), Delivery::Fresh);
        assert!(
            told[0].contains(mass) && told[0].contains("sent again"),
            "{told:?}"
        );
    }
}

#[test]
fn a_profile_goes_with_its_kind_of_address() {
    let addresses = [
        "/dev/ttyUSB0",
        "tcp://scale:5025",
        "mqtt://b/t",
        "keys:/dev/x",
        "bluetooth:00:11",
    ];
    for (profile, fits) in [
        ("plain-line", [true, true, true, false, true]),
        ("registers-pressure", [true, true, false, false, false]),
        ("questions-torque", [true, true, false, false, false]),
        ("typed-line-us", [false, false, false, true, false]),
        ("bluetooth", [false, false, false, false, true]),
        ("senml", [true, true, true, false, true]),
    ] {
        let dialect = known(profile);
        let found = addresses.map(|address| dialect.misfit(address).is_none());
        assert_eq!(found, fits, "{profile}");
    }
}
