//! An instrument that answers whatever it is asked with these bytes, piece by piece, and the same bytes as messages of a broker:
//! asking goes on, questions stay short, nothing is kept beyond its limit. The first byte chooses the profile, the second how long
//! a piece is.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pullmark_daemon::intake::dialect::Dialect;
use pullmark_daemon::intake::profiles::Profiles;
use pullmark_daemon::intake::{Arrival, Delivery, Intake};
use std::sync::LazyLock;

static DIALECTS: LazyLock<Vec<Dialect>> = LazyLock::new(|| {
    let profiles = Profiles::built_in().expect("the profiles in the binary are sound");
    let names: Vec<String> = profiles.names().map(str::to_owned).collect();
    names.iter().filter_map(|name| profiles.find(name).cloned()).collect()
});

const MOST: usize = 4_096 + 64;

fuzz_target!(|data: &[u8]| {
    let [which, size, bytes @ ..] = data else {
        return;
    };
    let dialect = &DIALECTS[usize::from(*which) % DIALECTS.len()];
    let mut intake = Intake::new(dialect.clone());
    let mut at_us = 0;
    for piece in bytes.chunks(usize::from(*size) + 1).take(500) {
        at_us = intake.due().unwrap_or(at_us).clamp(at_us, at_us + 10_000_000) + 1_000;
        intake.tick(at_us, |_| {});
        assert!(intake.take_send().is_none_or(|question| question.len() <= 64));
        let arrival = Arrival {
            at_us,
            ..Arrival::default()
        };
        intake.feed(piece, arrival, |received| {
            assert!(dialect.stream().is_some() || received.raw.len() <= MOST);
        });
        intake.message(piece, Delivery::Fresh, arrival, |_| {});
    }
    assert!(dialect.stream().is_some() || intake.partial().is_none_or(|held| held.len() <= MOST));
});
