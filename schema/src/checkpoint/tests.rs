//! A signed head holds with its own key only, and nothing but a proper head is read.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use proptest::prelude::*;

const LOG: &str = "bench.example/stand-2";

fn key() -> SigningKey {
    SigningKey::from_bytes(&[7; 32])
}

fn vkey() -> VerifierKey {
    VerifierKey::new(LOG, DidKey::of(&key())).unwrap()
}

fn checkpoint() -> Checkpoint {
    Checkpoint {
        origin: LOG.to_owned(),
        size: 812,
        root: Digest32::of(b"root"),
    }
}

#[test]
fn names_and_sizes_are_checked_when_signing() {
    for bad in ["", "a b", "a+b", "a\nb", "a\u{a0}b", "a\u{1b}b"] {
        let odd = Checkpoint {
            origin: bad.to_owned(),
            ..checkpoint()
        };
        assert!(
            matches!(odd.sign(&key(), bad), Err(CheckpointError::Name { .. })),
            "{bad:?}"
        );
    }
    assert!(matches!(
        checkpoint().sign(&key(), "bench.example/other"),
        Err(CheckpointError::OtherLog { .. })
    ));
    let nothing = Checkpoint {
        size: 0,
        ..checkpoint()
    };
    assert!(matches!(
        nothing.sign(&key(), LOG),
        Err(CheckpointError::NotACheckpoint { .. })
    ));
    let empty = Checkpoint {
        size: 0,
        root: tree::empty_root(),
        ..checkpoint()
    };
    let note = empty.sign(&key(), LOG).unwrap();
    assert_eq!(Checkpoint::open(&note, &vkey()), Ok(empty));
}

#[test]
fn a_head_of_another_log_under_this_name_is_refused() {
    let other = Checkpoint {
        origin: "bench.example/other".to_owned(),
        ..checkpoint()
    };
    let note = sign_note(&other.text(), &key(), LOG).unwrap();
    let error = Checkpoint::open(&note, &vkey()).unwrap_err();
    assert!(matches!(error, CheckpointError::OtherLog { .. }), "{error}");
}

#[test]
fn only_the_one_key_text_is_read() {
    let text = vkey().to_string();
    assert_eq!(text.parse(), Ok(vkey()));
    let (name, rest) = text.split_once('+').unwrap();
    let (id, key) = rest.split_once('+').unwrap();
    let weak = STANDARD.encode([[ED25519].as_slice(), &[0; 32]].concat());
    let other_type = STANDARD.encode([[4].as_slice(), vkey().key().as_bytes()].concat());
    for bad in [
        format!("{name}+00000000+{key}"),
        format!("{name}+{}+{key}", id.to_uppercase()),
        format!("{name}x+{id}+{key}"),
        format!("{name}+{id}+{key}="),
        format!("{name}+{id}+{}", &key[..key.len() - 4]),
        format!("{name}+{id}+{weak}"),
        format!("{name}+{id}+{other_type}"),
        format!("{name}+{key}"),
        format!("+{id}+{key}"),
        format!("{text}\n"),
    ] {
        assert_ne!(bad, text);
        assert!(bad.parse::<VerifierKey>().is_err(), "{bad}");
    }
}

#[test]
fn signatures_of_others_are_passed_over_and_a_bad_own_one_is_not() {
    let note = checkpoint().sign(&key(), LOG).unwrap();
    let other = SigningKey::from_bytes(&[8; 32]);
    let line = |note: &str| note.rsplit_once("\n\n").unwrap().1.to_owned();
    let witness = line(&sign_note(&checkpoint().text(), &other, "witness.example").unwrap());
    let both = format!("{note}{witness}");
    assert_eq!(Checkpoint::open(&both, &vkey()), Ok(checkpoint()));
    let only = format!("{}\n{witness}", checkpoint().text());
    assert!(matches!(
        Checkpoint::open(&only, &vkey()),
        Err(CheckpointError::NotSigned { .. })
    ));
    // A good and a bad signature of the same key.
    let bad = line(&sign_note("other\n", &key(), LOG).unwrap());
    let mixed = format!("{note}{bad}");
    assert!(matches!(
        Checkpoint::open(&mixed, &vkey()),
        Err(CheckpointError::BadSignature { .. })
    ));
    let many = format!("{note}{}", witness.repeat(MAX_SIGNATURES));
    assert!(matches!(
        Checkpoint::open(&many, &vkey()),
        Err(CheckpointError::NotANote { .. })
    ));
    let sixteen = format!("{note}{}", witness.repeat(16));
    assert_eq!(Checkpoint::open(&sixteen, &vkey()), Ok(checkpoint()));
}

#[test]
fn properly_signed_texts_that_are_no_checkpoint_are_refused() {
    let root = STANDARD.encode([1; 32]);
    let short = STANDARD.encode([1; 31]);
    for bad in [
        format!("{LOG}\n08\n{root}\n"),
        format!("{LOG}\n+8\n{root}\n"),
        format!("{LOG}\n-8\n{root}\n"),
        format!("{LOG}\n18446744073709551616\n{root}\n"),
        format!("{LOG}\n8\n{short}\n"),
        format!("{LOG}\n8\n{}\n", root.trim_end_matches('=')),
        format!("{LOG}\n8\n"),
        format!("{LOG}\n8\n{root}\nextension\n"),
        format!("{LOG}\n\n8\n{root}\n"),
        "\n".to_owned(),
    ] {
        let note = sign_note(&bad, &key(), LOG).unwrap();
        let error = Checkpoint::open(&note, &vkey()).unwrap_err();
        assert!(
            matches!(error, CheckpointError::NotACheckpoint { .. }),
            "{bad:?}: {error}"
        );
    }
}

proptest! {
    // Signatures are slow without optimization.
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_checkpoint_goes_to_text_and_back(seed: [u8; 32], size in 1_u64.., root: [u8; 32]) {
        let key = SigningKey::from_bytes(&seed);
        let vkey = VerifierKey::new(LOG, DidKey::of(&key)).unwrap();
        prop_assert_eq!(vkey.to_string().parse(), Ok(vkey.clone()));
        let made = Checkpoint { origin: LOG.to_owned(), size, root: Digest32::new(root) };
        let note = made.sign(&key, LOG).unwrap();
        prop_assert_eq!(Checkpoint::open(&note, &vkey), Ok(made));
    }

    #[test]
    fn no_byte_of_a_note_can_be_changed(at in any::<prop::sample::Index>(), to: u8) {
        let mut note = checkpoint().sign(&key(), LOG).unwrap().into_bytes();
        let at = at.index(note.len());
        prop_assume!(note[at] != to);
        note[at] = to;
        if let Ok(note) = String::from_utf8(note) {
            prop_assert!(Checkpoint::open(&note, &vkey()).is_err());
        }
    }

    #[test]
    fn no_text_makes_it_panic(text in "(\u{2014} |[a-z+ ]|\n|\n\n|[A-Za-z0-9+/=]{4,8}|.){0,40}") {
        let _ = Checkpoint::open(&text, &vkey());
        let _ = Checkpoint::read(&text);
        let _ = text.parse::<VerifierKey>();
    }
}
