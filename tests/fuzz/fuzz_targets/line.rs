//! From bytes to readings, with every profile: however a stream is cut into pieces, the same comes out, and nothing is kept
//! beyond its limit. The first byte chooses the profile, the second where the stream is cut.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pullmark_daemon::intake::dialect::Dialect;
use pullmark_daemon::intake::profiles::Profiles;
use pullmark_daemon::intake::{Arrival, Intake};
use std::sync::LazyLock;

/// Made once: the patterns take far longer to make ready than a line takes to read.
static DIALECTS: LazyLock<Vec<Dialect>> = LazyLock::new(|| {
    let profiles = Profiles::built_in().expect("the profiles in the binary are sound");
    let names: Vec<String> = profiles.names().map(str::to_owned).collect();
    names.iter().filter_map(|name| profiles.find(name).cloned()).collect()
});

/// What may be kept of a line or a frame; a pull's trace is longer, and bounded by its samples.
const MOST: usize = 4_096 + 64;

fn read(dialect: &Dialect, pieces: &[&[u8]]) -> (Vec<String>, Option<Vec<u8>>) {
    let mut intake = Intake::new(dialect.clone());
    let mut all = Vec::new();
    for piece in pieces {
        intake.feed(piece, Arrival::default(), |received| all.push(received.to_string()));
    }
    let partial = intake.partial();
    (all, partial)
}

fuzz_target!(|data: &[u8]| {
    let [which, cut, bytes @ ..] = data else {
        return;
    };
    let dialect = &DIALECTS[usize::from(*which) % DIALECTS.len()];
    let whole = read(dialect, &[bytes]);
    let (head, tail) = bytes.split_at(usize::from(*cut) % (bytes.len() + 1));
    assert_eq!(read(dialect, &[head, tail]), whole);
    let single: Vec<&[u8]> = bytes.chunks(1).collect();
    assert_eq!(read(dialect, &single), whole);
    assert!(dialect.stream().is_some() || whole.1.is_none_or(|partial| partial.len() <= MOST));
});
