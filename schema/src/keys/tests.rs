//! A history holds as its rules say, and no other does.

use super::*;
use crate::record::KeyEntry;

const NINE: &str = "2026-03-02T09:00:00.000+01:00";
const TEN: &str = "2026-04-02T10:00:00.000+02:00";
const ELEVEN: &str = "2026-05-02T11:00:00.000+02:00";

fn key(seed: u8) -> SigningKey {
    SigningKey::from_bytes(&[seed; 32])
}

fn did(seed: u8) -> DidKey {
    DidKey::of(&key(seed))
}

fn new(seed: u8, next: u8, recovery: u8, valid_from: &str) -> NewKey<'_> {
    NewKey {
        key: did(seed),
        next: hash_of(&did(next)),
        recovery: hash_of(&did(recovery)),
        valid_from,
    }
}

/// A history of one link: key `seed`, the next one promised, recovery key 200.
pub(crate) fn first_of(signer: &SigningKey) -> KeyLink {
    let new = NewKey {
        key: DidKey::of(signer),
        next: hash_of(&did(101)),
        recovery: hash_of(&did(200)),
        valid_from: NINE,
    };
    KeyLink::first(&new, signer, None).unwrap()
}

fn first() -> KeyLink {
    KeyLink::first(&new(1, 2, 200, NINE), &key(1), None).unwrap()
}

/// One change by the key itself, then one by the recovery key.
fn three() -> Vec<KeyLink> {
    let first = first();
    let second = first
        .follow(&new(2, 3, 200, TEN), &key(1), KeyReason::Rotation, TEN)
        .unwrap();
    let third = second
        .follow(&new(4, 5, 201, ELEVEN), &key(200), KeyReason::Theft, TEN)
        .unwrap();
    vec![first, second, third]
}

#[test]
fn a_history_holds_and_says_who_signed_when() {
    let links = three();
    let keys = check(&links).unwrap();
    assert_eq!(keys.identity, links[0].hash());
    assert_eq!(keys.first(), Some(&did(1)));
    assert_eq!(keys.present(), Some(&did(4)));
    let until: Vec<_> = keys
        .spans
        .iter()
        .map(|span| {
            span.revoked
                .map(|(from, reason)| (from.to_rfc3339(), reason))
        })
        .collect();
    assert_eq!(until[0].as_ref().unwrap().1, KeyReason::Rotation);
    assert_eq!(
        until[1],
        Some(("2026-04-02T10:00:00+02:00".to_owned(), KeyReason::Theft))
    );
    assert_eq!(until[2], None);
    assert_eq!(
        check(&links[..1]).unwrap().identity,
        keys.identity,
        "what is pinned stays the same"
    );
    let text = serde_json::to_vec_pretty(&links).unwrap();
    assert_eq!(read(&text).unwrap(), links);
    let wrapped = serde_json::to_vec(&serde_json::json!({ "keys": links })).unwrap();
    assert_eq!(read(&wrapped).unwrap(), links);
}

#[test]
fn a_theft_that_is_found_late_reaches_the_keys_before() {
    let until = |reason, from| {
        let two = &three()[..2];
        let third = two[1]
            .follow(&new(4, 5, 201, ELEVEN), &key(200), reason, from)
            .unwrap();
        let keys = check(&[two, &[third]].concat()).unwrap();
        let spans = keys.spans.iter();
        spans
            .map(|span| {
                span.revoked
                    .map(|(from, reason)| (from.to_rfc3339(), reason))
            })
            .collect::<Vec<_>>()
    };
    let between = "2026-03-20T10:00:00.000+01:00";
    let at = |text: &str, reason| Some((text.to_owned(), reason));
    let (early, ten) = ("2026-03-20T10:00:00+01:00", "2026-04-02T10:00:00+02:00");
    for reason in [KeyReason::Theft, KeyReason::Loss] {
        assert_eq!(
            until(reason, between),
            [at(early, reason), at(early, reason), None]
        );
    }
    // Found after the ordinary change: the first key had ended before.
    assert_eq!(
        until(KeyReason::Theft, "2026-04-20T10:00:00.000+02:00"),
        [
            at(ten, KeyReason::Rotation),
            at("2026-04-20T10:00:00+02:00", KeyReason::Theft),
            None
        ]
    );
    // An ordinary change says nothing of the past.
    assert_eq!(
        until(KeyReason::Rotation, between)[0],
        at(ten, KeyReason::Rotation)
    );
}

#[track_caller]
fn refused(links: &[KeyLink], what: &str) {
    let error = check(links).unwrap_err().to_string();
    assert!(error.contains(what), "{error}");
}

#[test]
fn a_thief_of_the_key_cannot_name_a_successor() {
    let first = first();
    let own = first
        .follow(&new(66, 67, 200, TEN), &key(1), KeyReason::Rotation, TEN)
        .unwrap();
    refused(&[first.clone(), own], "not the one that was promised");
    let recovery = first
        .follow(&new(2, 3, 66, TEN), &key(1), KeyReason::Rotation, TEN)
        .unwrap();
    refused(&[first.clone(), recovery], "only the recovery key");
    let stranger = first
        .follow(&new(2, 3, 200, TEN), &key(66), KeyReason::Rotation, TEN)
        .unwrap();
    refused(&[first, stranger], "neither the key before");
}

#[test]
fn links_out_of_their_place_are_refused() {
    let links = three();
    refused(&[], "0 links");
    refused(&links[1..], "another number");
    refused(
        &[links[0].clone(), links[2].clone()],
        "another number, so one is missing",
    );
    let other = KeyLink::first(&new(1, 2, 200, TEN), &key(1), None).unwrap();
    refused(
        &[other, links[1].clone()],
        "follows on another link than the one before it",
    );
    let late = links[0]
        .follow(&new(2, 3, 200, TEN), &key(1), KeyReason::Rotation, ELEVEN)
        .unwrap();
    refused(&[links[0].clone(), late], "from a later time on");
    let again = links[0]
        .follow(&new(1, 3, 200, TEN), &key(200), KeyReason::Loss, TEN)
        .unwrap();
    refused(&[links[0].clone(), again], "was there before");
    let foreign = KeyLink::first(&new(1, 2, 200, NINE), &key(9), None).unwrap();
    refused(&[foreign], "the first key did not sign it");
}

#[test]
fn no_member_of_a_link_can_be_changed() {
    let links = three();
    let edits: [fn(&mut KeyLink); 7] = [
        |link| link.next = Digest32::new([1; 32]),
        |link| link.recovery = Digest32::new([1; 32]),
        |link| link.valid_from = TEN.to_owned() + "0",
        |link| link.reason = KeyReason::Loss,
        |link| link.revoked = None,
        |link| link.key = did(7).multikey(),
        |link| link.proof.created = NINE.to_owned() + "0",
    ];
    for (number, edit) in edits.into_iter().enumerate() {
        let mut changed = links.clone();
        edit(&mut changed[2]);
        assert!(check(&changed).is_err(), "{number}");
    }
}

#[test]
fn a_plain_list_from_before_keeps_its_identity() {
    let plain = KeyEntry {
        sequence: 0,
        key: did(1).multikey(),
        valid_from: NINE.to_owned(),
    };
    let pin = plain.fingerprint().unwrap();
    let link = KeyLink::first(&new(1, 2, 200, TEN), &key(1), Some(plain.clone())).unwrap();
    let keys = check(&[link]).unwrap();
    assert!(keys.is(&pin) && keys.is(&keys.identity));
    let other = KeyEntry {
        key: did(9).multikey(),
        ..plain
    };
    let link = KeyLink::first(&new(1, 2, 200, TEN), &key(1), Some(other)).unwrap();
    refused(&[link], "began with another key");
}

#[test]
fn the_longer_of_two_histories_counts_and_two_that_part_do_not() {
    let links = three();
    assert_eq!(longer(&links, &links[..2]), Some(links.as_slice()));
    assert_eq!(longer(&links[..1], &links), Some(links.as_slice()));
    let parted = links[0]
        .follow(&new(4, 5, 201, ELEVEN), &key(200), KeyReason::Loss, TEN)
        .unwrap();
    assert_eq!(longer(&links, &[links[0].clone(), parted]), None);
}

#[test]
fn a_hash_is_read_out_in_groups() {
    let text = in_groups(&Digest32::new([0xab; 32]));
    assert_eq!(text.split(' ').count(), 16);
    assert!(text.split(' ').all(|group| group == "abab"));
}
