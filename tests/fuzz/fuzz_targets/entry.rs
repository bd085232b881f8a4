//! Any bytes as a ledger entry: what can be read is written in one canonical form, and that form reads back as the same.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pullmark_schema::canonical;
use pullmark_schema::entry::Entry;

fuzz_target!(|data: &[u8]| {
    let Ok(entry) = serde_json::from_slice::<Entry>(data) else {
        return;
    };
    // Numbers beyond 2^53 are refused when written; the bench never makes them.
    let Ok(bytes) = canonical::to_canonical_of(&entry) else {
        return;
    };
    let again: Entry = serde_json::from_slice(&bytes).expect("a canonical entry can be read");
    assert_eq!(again, entry);
    assert_eq!(
        canonical::to_canonical_of(&again).expect("and written again"),
        bytes
    );
});
