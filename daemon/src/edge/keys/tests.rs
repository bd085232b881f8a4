//! The key's file: made once, kept from others, never guessed.

use super::{
    FILE, FOLDER, KeyError, Wanted, find, forget_others, forget_recovery, make_another, open,
    random, recovery, unprinted_recovery,
};
use pullmark_schema::keys::hash_of;
use pullmark_schema::multikey::DidKey;
use std::fs;
use std::os::unix::fs::{OpenOptionsExt as _, PermissionsExt as _};
use std::path::Path;

fn put(folder: &Path, bytes: &[u8], mode: u32) {
    use std::io::Write as _;
    let _ = fs::create_dir(folder.join(FOLDER));
    let path = folder.join(FOLDER).join(FILE);
    let _ = fs::remove_file(&path);
    let mut file = fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .mode(0o600)
        .open(&path)
        .unwrap();
    file.write_all(bytes).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(mode)).unwrap();
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "in the form in which it is asked for"
)]
fn wanted(key: &str) -> Option<Wanted<'_>> {
    Some(Wanted { key, next: None })
}

#[test]
fn a_key_is_made_once_and_only_its_owner_can_read_it() {
    let folder = tempfile::tempdir().unwrap();
    let made = open(folder.path(), None).unwrap();
    let rights = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let keys = folder.path().join(FOLDER);
    assert_eq!((rights(&keys), rights(&keys.join(FILE))), (0o700, 0o600));
    let again = open(folder.path(), wanted(&DidKey::of(&made).multikey())).unwrap();
    assert_eq!(made.to_bytes(), again.to_bytes());
    assert_eq!(
        open(folder.path(), None).unwrap().to_bytes(),
        made.to_bytes(),
        "one that is there is never replaced"
    );
    let other = tempfile::tempdir().unwrap();
    assert_ne!(
        open(other.path(), None).unwrap().to_bytes(),
        made.to_bytes()
    );
}

#[test]
fn a_ledger_without_its_key_gets_no_new_one() {
    let folder = tempfile::tempdir().unwrap();
    let error = open(folder.path(), wanted("z6Mk")).unwrap_err();
    assert!(matches!(error, KeyError::Missing { .. }));
    assert!(!folder.path().join(FOLDER).exists());
    open(folder.path(), None).unwrap();
    let error = open(folder.path(), wanted("z6Mk")).unwrap_err();
    assert!(matches!(error, KeyError::Other));
}

#[test]
fn a_damaged_key_is_refused_and_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let short = "ab".repeat(31);
    let long = "ab".repeat(33);
    for bytes in [
        b"".as_slice(),
        b"not a key",
        short.as_bytes(),
        long.as_bytes(),
        b"\xFF\xFE\x00garbage",
        &[0; 64],
    ] {
        put(folder.path(), bytes, 0o600);
        let error = open(folder.path(), None).unwrap_err();
        assert!(
            matches!(error, KeyError::Damaged { .. }),
            "{bytes:?}: {error}"
        );
        let path = folder.path().join(FOLDER).join(FILE);
        assert_eq!(fs::read(path).unwrap(), bytes);
    }
    put(
        folder.path(),
        format!("  {}\n", "AB".repeat(32)).as_bytes(),
        0o600,
    );
    assert_eq!(open(folder.path(), None).unwrap().to_bytes(), [0xAB; 32]);
}

#[test]
fn a_key_that_others_can_read_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    for mode in [0o640, 0o604, 0o660, 0o610, 0o644] {
        put(folder.path(), "ab".repeat(32).as_bytes(), mode);
        assert!(
            matches!(open(folder.path(), None), Err(KeyError::Open { .. })),
            "{mode:o}"
        );
    }
    put(folder.path(), "ab".repeat(32).as_bytes(), 0o400);
    assert!(open(folder.path(), None).is_ok());
}

#[test]
fn a_key_where_no_file_can_be_is_a_clear_error() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, "").unwrap();
    let error = open(&file, None).unwrap_err();
    assert!(matches!(error, KeyError::File { .. }));
    assert!(error.to_string().contains("bench.key"), "{error}");
}

#[test]
fn random_bytes_differ() {
    assert_ne!(random::<32>().unwrap(), random::<32>().unwrap());
}

#[test]
fn a_key_from_before_there_was_a_folder_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let made = open(folder.path(), None).unwrap();
    let old = folder.path().join(FILE);
    fs::rename(folder.path().join(FOLDER).join(FILE), &old).unwrap();
    let key = DidKey::of(&made).multikey();
    assert_eq!(
        open(folder.path(), wanted(&key)).unwrap().to_bytes(),
        made.to_bytes()
    );
}

#[test]
fn the_promised_key_is_found_by_its_hash_and_others_are_forgotten() {
    let folder = tempfile::tempdir().unwrap();
    let first = open(folder.path(), None).unwrap();
    let next = make_another(folder.path()).unwrap();
    let stray = make_another(folder.path()).unwrap();
    let hash = hash_of(&DidKey::of(&next));
    let (path, found) = find(folder.path(), &hash).unwrap().unwrap();
    assert_eq!(found.to_bytes(), next.to_bytes());
    forget_others(folder.path(), &DidKey::of(&first), &hash).unwrap();
    assert!(path.exists());
    assert!(
        find(folder.path(), &hash_of(&DidKey::of(&stray)))
            .unwrap()
            .is_none()
    );
    // once the first key is gone, the promised one is not taken for it
    fs::remove_file(folder.path().join(FOLDER).join(FILE)).unwrap();
    let key = DidKey::of(&first).multikey();
    let asked = Some(Wanted {
        key: &key,
        next: Some(hash),
    });
    assert!(matches!(
        open(folder.path(), asked),
        Err(KeyError::Missing { .. })
    ));
}

#[test]
fn the_recovery_key_is_there_until_it_is_printed() {
    let folder = tempfile::tempdir().unwrap();
    assert!(unprinted_recovery(folder.path()).unwrap().is_none());
    let made = recovery(folder.path()).unwrap();
    assert_eq!(recovery(folder.path()).unwrap().to_bytes(), made.to_bytes());
    assert!(unprinted_recovery(folder.path()).unwrap().is_some());
    forget_recovery(folder.path()).unwrap();
    assert!(unprinted_recovery(folder.path()).unwrap().is_none());
    let left: Vec<_> = fs::read_dir(folder.path().join(FOLDER)).unwrap().collect();
    assert!(left.is_empty(), "{left:?}");
}
