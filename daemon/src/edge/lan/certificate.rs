//! The certificate of the bench's own, for HTTPS on the network. Nobody vouches for it: a device is shown its fingerprint, and
//! the bench shows the same one.

use crate::edge::access::{AccessError, FORMAT, files};
use chrono::{DateTime, FixedOffset, TimeDelta};
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::to_text;
use rcgen::{CertificateParams, DnType, ExtendedKeyUsagePurpose, IsCa, KeyPair, KeyUsagePurpose};
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};
use time::OffsetDateTime;

/// For how long a certificate is good: browsers mistrust any that is good for more than 398 days.
const GOOD_DAYS: i64 = 397;
/// So long before its end it is made anew.
const ANEW_DAYS: i64 = 30;

/// A certificate and its key.
#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Certificate {
    version: u32,
    /// In DER, hexadecimal.
    #[serde(rename = "certificate")]
    document: String,
    /// PKCS #8, in DER, hexadecimal.
    key: String,
    /// Until when it is good, RFC 3339.
    pub(super) good_until: String,
    /// The names and addresses that it is for.
    names: Vec<String>,
}

impl std::fmt::Debug for Certificate {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Certificate({:?})", self.names)
    }
}

/// Why a certificate was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Made {
    /// It was there.
    Kept,
    /// There was none.
    First,
    /// The one before is near its end, or was not for all of the present names and addresses.
    Anew,
}

/// The one that is kept, or a fresh one where it does not do.
pub(super) fn open(
    path: &Path,
    names: &[String],
    now: DateTime<FixedOffset>,
) -> Result<(Certificate, Made), AccessError> {
    let what = "move it away; the next start makes another one";
    let kept: Option<Certificate> = files::read(path, what)?;
    let is_first = kept.is_none();
    if let Some(kept) = kept.filter(|kept| kept.does(names, now)) {
        return Ok((kept, Made::Kept));
    }
    let fresh = make(names, now).map_err(|error| AccessError::Secret(error.to_string()))?;
    files::write(path, &fresh)?;
    Ok((fresh, if is_first { Made::First } else { Made::Anew }))
}

/// The file in the keys folder. It does not end like the keys that sign.
pub(super) fn file(keys: &Path) -> PathBuf {
    keys.join("network.tls")
}

impl Certificate {
    fn does(&self, names: &[String], now: DateTime<FixedOffset>) -> bool {
        let until = DateTime::parse_from_rfc3339(&self.good_until);
        let is_good = until.is_ok_and(|until| until - now > TimeDelta::days(ANEW_DAYS));
        is_good && names.iter().all(|name| self.names.contains(name))
    }

    /// In DER.
    pub(super) fn der(&self) -> Result<Vec<u8>, hex::FromHexError> {
        hex::decode(&self.document)
    }

    /// The key, in DER.
    pub(super) fn key_der(&self) -> Result<Vec<u8>, hex::FromHexError> {
        hex::decode(&self.key)
    }

    /// SHA-256 of it, in pairs, as browsers show it.
    pub(super) fn fingerprint(&self) -> String {
        let hash = Digest32::of(&self.der().unwrap_or_default());
        let pairs: Vec<String> = hash
            .as_bytes()
            .iter()
            .map(|byte| format!("{byte:02X}"))
            .collect();
        pairs.join(":")
    }
}

fn make(names: &[String], now: DateTime<FixedOffset>) -> Result<Certificate, rcgen::Error> {
    let key = KeyPair::generate()?;
    let mut params = CertificateParams::new(names)?;
    params.distinguished_name.remove(DnType::CommonName);
    params.distinguished_name.push(DnType::CommonName, "bench");
    params.is_ca = IsCa::ExplicitNoCa;
    params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    let until = now + TimeDelta::days(GOOD_DAYS);
    // A device's clock may be a little behind.
    params.not_before = moment(now - TimeDelta::days(1))?;
    params.not_after = moment(until)?;
    let made = params.self_signed(&key)?;
    Ok(Certificate {
        version: FORMAT,
        document: hex::encode(made.der()),
        key: hex::encode(key.serialize_der()),
        good_until: to_text(until),
        names: names.to_vec(),
    })
}

fn moment(at: DateTime<FixedOffset>) -> Result<OffsetDateTime, rcgen::Error> {
    OffsetDateTime::from_unix_timestamp(at.timestamp()).map_err(|_| rcgen::Error::Time)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Made, open};
    use chrono::{DateTime, TimeDelta};

    #[test]
    fn it_is_kept_until_it_is_near_its_end_or_the_names_change() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("network.tls");
        let now = DateTime::parse_from_rfc3339("2026-05-04T09:00:00.000+02:00").unwrap();
        let names = ["192.0.2.7".to_owned(), "bench.local".to_owned()];
        let (first, made) = open(&path, &names, now).unwrap();
        assert_eq!(made, Made::First);
        assert_eq!(first.fingerprint().len(), 95);
        let later = now + TimeDelta::days(366);
        let (kept, made) = open(&path, &names[..1], later).unwrap();
        assert_eq!(
            (kept.fingerprint(), made),
            (first.fingerprint(), Made::Kept)
        );
        let (anew, made) = open(&path, &names, later + TimeDelta::days(1)).unwrap();
        assert_eq!(made, Made::Anew);
        assert_ne!(anew.fingerprint(), first.fingerprint());
        let more = [names.as_slice(), &["192.0.2.8".to_owned()]].concat();
        assert_eq!(open(&path, &more, later).unwrap().1, Made::Anew);
    }

    #[test]
    fn a_newer_programs_file_is_neither_used_nor_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("network.tls");
        let now = DateTime::parse_from_rfc3339("2026-05-04T09:00:00.000+02:00").unwrap();
        let names = ["192.0.2.7".to_owned()];
        open(&path, &names, now).unwrap();
        let text = std::fs::read_to_string(&path).unwrap();
        let newer = text.replace("\"version\":1", "\"version\":2,\"chain\":[]");
        assert_ne!(newer, text);
        std::fs::write(&path, &newer).unwrap();
        let error = open(&path, &names, now).unwrap_err().to_string();
        assert!(error.contains("use a newer Pullmark"), "{error}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), newer);
    }
}
