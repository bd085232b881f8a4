//! Where a stream is cut does not matter.

use super::*;
use proptest::prelude::*;

/// Good lines, bad ones and noise.
fn stream() -> impl Strategy<Value = Vec<u8>> {
    let piece = prop_oneof![
        Just(b"$PULL,12,5.08,N.m*34\r\n".to_vec()),
        Just(b"$PULL,13,5.08,Nm*1A\r\n".to_vec()),
        Just(b"5.08 N\xB7m\r\n".to_vec()),
        Just(b"\r".to_vec()),
        Just(b"\r\n".to_vec()),
        Just(vec![b'x'; 130]),
        proptest::collection::vec(any::<u8>(), 0..140),
    ];
    proptest::collection::vec(piece, 0..8).prop_map(|pieces| pieces.concat())
}

fn in_pieces(dialect: &Dialect, bytes: &[u8], cuts: &[usize]) -> (Vec<Received>, Option<Vec<u8>>) {
    let mut cuts: Vec<usize> = cuts.iter().map(|cut| cut % (bytes.len() + 1)).collect();
    cuts.sort_unstable();
    cuts.push(bytes.len());
    let mut intake = Intake::new(dialect.clone());
    let (mut out, mut from) = (Vec::new(), 0);
    for to in cuts {
        feed(&mut intake, &bytes[from..to], false, &mut out);
        from = to;
    }
    (out, intake.partial())
}

#[test]
fn a_line_may_be_split_at_every_byte() {
    let bytes = b"$PULL,12,5.08,N.m*34\r\n#READY W-1\r\n$PULL,13,44.96,lbf.in*4B\r\n\r\r\n$PULL,14,OL,N.m*22\r\n$PU";
    let whole = in_pieces(&own(), bytes, &[]);
    assert_eq!(whole.0.len(), 3, "three pulls; the rest says nothing");
    for cut in 0..=bytes.len() {
        assert_eq!(in_pieces(&own(), bytes, &[cut]), whole, "cut at {cut}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(256) })]

    #[test]
    fn where_a_stream_is_split_does_not_matter(
        bytes in stream(),
        cuts in proptest::collection::vec(any::<usize>(), 0..12),
        is_own in any::<bool>(),
    ) {
        let dialect = if is_own { own() } else { plain() };
        prop_assert_eq!(in_pieces(&dialect, &bytes, &cuts), in_pieces(&dialect, &bytes, &[]));
    }

    #[test]
    fn nothing_that_comes_is_too_much(bytes in proptest::collection::vec(any::<u8>(), 0..3_000)) {
        for dialect in [own(), plain()] {
            let most = dialect.profile().frame.longest + dialect.profile().frame.terminator.len() + 1;
            let (out, partial) = in_pieces(&dialect, &bytes, &[]);
            prop_assert!(out.iter().all(|received| received.raw.len() <= most));
            prop_assert!(partial.is_none_or(|held| held.len() <= most));
        }
    }
}
