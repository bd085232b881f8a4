//! What needs no stream: characteristics, presentation formats, traces, captures, and teaching a profile from bytes. The first
//! byte chooses.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pullmark_daemon::intake::capture::Capture;
use pullmark_daemon::intake::dialect::Dialect;
use pullmark_daemon::intake::gatt::{Carrier, Presentation};
use pullmark_daemon::intake::teach::{Example, teach};
use pullmark_daemon::intake::trace::{Drawn, draw, unpack};

fuzz_target!(|data: &[u8]| {
    let Some((which, bytes)) = data.split_first() else {
        return;
    };
    match which % 5 {
        0 => {
            for carrier in [Carrier::Torque, Carrier::Force, Carrier::Length, Carrier::LinearPosition, Carrier::Weight, Carrier::Pressure, Carrier::Temperature] {
                let _ = carrier.read(bytes);
            }
        }
        1 => {
            let (descriptor, value) = bytes.split_at(bytes.len().min(7));
            if let Some(presentation) = Presentation::read_descriptor(descriptor) {
                let _ = Carrier::Presented(presentation).read(value);
            }
        }
        2 => {
            if let Some(samples) = unpack(bytes) {
                let _ = draw(&Drawn { samples: &samples, limits: &[("upper", 5_500)], first_peak: Some(5_000) });
            }
        }
        3 => {
            if let Ok(capture) = Capture::read(&String::from_utf8_lossy(bytes)) {
                assert_eq!(Capture::read(&capture.to_string()), Ok(capture));
            }
        }
        _ => {
            let examples: Vec<Example> = bytes
                .split(|byte| *byte == 0)
                .take(6)
                .collect::<Vec<_>>()
                .chunks(2)
                .filter_map(|two| match two {
                    [came, shown] => Some(Example {
                        bytes: vec![(0, came.to_vec())],
                        shown: String::from_utf8_lossy(shown).into_owned(),
                    }),
                    _ => None,
                })
                .collect();
            if let Ok(taught) = teach("mine", &examples) {
                assert!(Dialect::from_toml(&taught.file).is_ok(), "{}", taught.file);
            }
        }
    }
});
