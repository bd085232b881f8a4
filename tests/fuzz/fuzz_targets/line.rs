//! From bytes to readings: however a stream is cut into pieces, the same comes out, and no line is longer than the
//! profile allows. The first byte chooses the profile and where the stream is cut.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pullmark_daemon::intake::profiles::Profiles;
use pullmark_daemon::intake::{Intake, Received};
use std::sync::LazyLock;

/// Made once: the patterns take far longer to make ready than a line takes to read.
static PROFILES: LazyLock<Profiles> =
    LazyLock::new(|| Profiles::built_in().expect("the profiles in the binary are sound"));

/// What the framing may keep of a line: its longest line, a terminator, and a byte that shows that it is too long.
const MOST: usize = 4_096 + 3;

fn read(profile: &str, pieces: &[&[u8]]) -> (Vec<Received>, Option<Vec<u8>>) {
    let dialect = PROFILES.find(profile).expect("it is one of them").clone();
    let mut intake = Intake::new(dialect);
    let mut all = Vec::new();
    for piece in pieces {
        intake.feed(piece, false, |received| all.push(received));
    }
    let partial = intake.partial();
    (all, partial)
}

fuzz_target!(|data: &[u8]| {
    let Some((&first, bytes)) = data.split_first() else {
        return;
    };
    let profile = if first & 1 == 0 {
        "pullmark-line"
    } else {
        "plain-line"
    };
    let whole = read(profile, &[bytes]);
    let at = usize::from(first >> 1) % (bytes.len() + 1);
    let (head, tail) = bytes.split_at(at);
    assert_eq!(read(profile, &[head, tail]), whole);
    let single: Vec<&[u8]> = bytes.chunks(1).collect();
    assert_eq!(read(profile, &single), whole);
    for received in &whole.0 {
        assert!(received.raw.len() <= MOST, "{} bytes", received.raw.len());
    }
    assert!(whole.1.is_none_or(|partial| partial.len() <= MOST));
});
