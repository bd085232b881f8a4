//! The key's file: made once, kept from others, never guessed.

use super::{FILE, KeyError, open, random};
use std::fs;
use std::os::unix::fs::{OpenOptionsExt as _, PermissionsExt as _};
use std::path::Path;

fn put(folder: &Path, bytes: &[u8], mode: u32) {
    use std::io::Write as _;
    let path = folder.join(FILE);
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

#[test]
fn a_key_is_made_once_and_only_its_owner_can_read_it() {
    let folder = tempfile::tempdir().unwrap();
    let made = open(folder.path(), true).unwrap();
    let rights = fs::metadata(folder.path().join(FILE))
        .unwrap()
        .permissions()
        .mode();
    assert_eq!(rights & 0o777, 0o600);
    let again = open(folder.path(), false).unwrap();
    assert_eq!(made.to_bytes(), again.to_bytes());
    assert_eq!(
        open(folder.path(), true).unwrap().to_bytes(),
        made.to_bytes(),
        "one that is there is never replaced"
    );
    let other = tempfile::tempdir().unwrap();
    assert_ne!(
        open(other.path(), true).unwrap().to_bytes(),
        made.to_bytes()
    );
}

#[test]
fn a_ledger_without_its_key_gets_no_new_one() {
    let folder = tempfile::tempdir().unwrap();
    let error = open(folder.path(), false).unwrap_err();
    assert!(matches!(error, KeyError::Missing { .. }));
    assert!(!folder.path().join(FILE).exists());
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
        let error = open(folder.path(), true).unwrap_err();
        assert!(
            matches!(error, KeyError::Damaged { .. }),
            "{bytes:?}: {error}"
        );
        assert_eq!(fs::read(folder.path().join(FILE)).unwrap(), bytes);
    }
    put(
        folder.path(),
        format!("  {}\n", "AB".repeat(32)).as_bytes(),
        0o600,
    );
    assert_eq!(open(folder.path(), false).unwrap().to_bytes(), [0xAB; 32]);
}

#[test]
fn a_key_that_others_can_read_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    for mode in [0o640, 0o604, 0o660, 0o610, 0o644] {
        put(folder.path(), "ab".repeat(32).as_bytes(), mode);
        assert!(
            matches!(open(folder.path(), false), Err(KeyError::Open { .. })),
            "{mode:o}"
        );
    }
    put(folder.path(), "ab".repeat(32).as_bytes(), 0o400);
    assert!(open(folder.path(), false).is_ok());
}

#[test]
fn a_key_where_no_file_can_be_is_a_clear_error() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, "").unwrap();
    let error = open(&file, true).unwrap_err();
    assert!(matches!(error, KeyError::File { .. }));
    assert!(error.to_string().contains("bench.key"), "{error}");
}

#[test]
fn random_bytes_differ() {
    assert_ne!(random::<32>().unwrap(), random::<32>().unwrap());
}
