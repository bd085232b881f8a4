//! Any bytes as a record: no panic; and what counts as valid has to be signed, which random bytes are not, so whatever
//! is valid here is a forgery.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pullmark_schema::{canonical, record};

fuzz_target!(|data: &[u8]| {
    assert!(record::verify(data).is_err(), "a forged record");
    // What can be read strictly has one canonical form, and that form reads back as the same.
    if let Ok(value) = canonical::read_strict_bytes(data)
        && let Ok(bytes) = canonical::to_canonical(&value)
    {
        let again = canonical::read_strict_bytes(&bytes).expect("a canonical text can be read");
        assert_eq!(again, value);
        assert_eq!(
            canonical::to_canonical(&again).expect("and written again"),
            bytes
        );
    }
});
