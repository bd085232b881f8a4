//! The messages of RFC 3161: request, answer, and what is signed.

use super::StampError;
use chrono::{DateTime, NaiveDateTime, Utc};
use cms::content_info::ContentInfo;
use der::asn1::{BitString, Int, ObjectIdentifier, OctetString, Uint, Utf8StringRef};
use der::{Any, Encode as _, Sequence, Tag, Tagged as _};
use sha2::{Digest as _, Sha256, Sha384, Sha512};
use x509_cert::ext::Extensions;
use x509_cert::spki::AlgorithmIdentifierOwned;

pub(super) const SHA_1: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.3.14.3.2.26");
pub(super) const SHA_256: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.16.840.1.101.3.4.2.1");
const SHA_384: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.16.840.1.101.3.4.2.2");
const SHA_512: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.16.840.1.101.3.4.2.3");

/// The statuses of a stamp that was made: as asked, and with changes.
const GRANTED: [u8; 2] = [0, 1];

/// A way to hash that is good enough to sign with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hash {
    Sha256,
    Sha384,
    Sha512,
}

impl Hash {
    pub(super) fn of(oid: ObjectIdentifier) -> Result<Self, StampError> {
        match oid {
            SHA_256 => Ok(Self::Sha256),
            SHA_384 => Ok(Self::Sha384),
            SHA_512 => Ok(Self::Sha512),
            other => Err(StampError::Algorithm(format!("the hash {other}"))),
        }
    }

    pub(super) fn digest(self, data: &[u8]) -> Vec<u8> {
        match self {
            Self::Sha256 => Sha256::digest(data).to_vec(),
            Self::Sha384 => Sha384::digest(data).to_vec(),
            Self::Sha512 => Sha512::digest(data).to_vec(),
        }
    }
}

/// `MessageImprint`.
#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
pub(super) struct Imprint {
    hash_algorithm: AlgorithmIdentifierOwned,
    hashed_message: OctetString,
}

impl Imprint {
    pub(super) fn check(&self, data: &[u8]) -> Result<(), StampError> {
        let hash = Hash::of(self.hash_algorithm.oid)?;
        if hash.digest(data) == self.hashed_message.as_bytes() {
            Ok(())
        } else {
            Err(StampError::OtherData)
        }
    }
}

/// `TimeStampReq`.
#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
pub(super) struct Request {
    version: u8,
    imprint: Imprint,
    #[asn1(optional = "true")]
    policy: Option<ObjectIdentifier>,
    #[asn1(optional = "true")]
    nonce: Option<Int>,
    #[asn1(default = "Default::default")]
    cert_req: bool,
}

impl Request {
    pub(super) fn about(data: &[u8], nonce: Option<u64>) -> Result<Self, StampError> {
        let nonce = nonce.map(|nonce| Uint::new(&nonce.to_be_bytes()).map(Int::from));
        Ok(Self {
            version: 1,
            imprint: Imprint {
                hash_algorithm: AlgorithmIdentifierOwned {
                    oid: SHA_256,
                    parameters: Some(Any::null()),
                },
                hashed_message: OctetString::new(Hash::Sha256.digest(data))?,
            },
            policy: None,
            nonce: nonce.transpose()?,
            cert_req: true,
        })
    }
}

/// `PKIStatusInfo`.
#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
struct Status {
    granted: u8,
    #[asn1(optional = "true")]
    said: Option<Vec<Any>>,
    #[asn1(optional = "true")]
    failure: Option<BitString>,
}

/// `TimeStampResp`.
#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
pub(super) struct Response {
    status: Status,
    #[asn1(optional = "true")]
    token: Option<ContentInfo>,
}

impl Response {
    pub(super) fn token(self) -> Result<Vec<u8>, StampError> {
        let status = self.status.granted;
        match self.token.filter(|_| GRANTED.contains(&status)) {
            Some(token) => Ok(token.to_der()?),
            None => Err(StampError::Refused {
                status,
                said: said(&self.status.said.unwrap_or_default()),
            }),
        }
    }
}

fn said(words: &[Any]) -> String {
    let words = words
        .iter()
        .filter_map(|word| word.decode_as::<Utf8StringRef<'_>>().ok())
        .map(|word| word.as_str().replace(char::is_control, " "));
    let words: Vec<String> = words.collect();
    if words.is_empty() {
        String::new()
    } else {
        format!(" ({})", words.join("; "))
    }
}

/// `TSTInfo`.
#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
pub(super) struct Info {
    version: u8,
    policy: ObjectIdentifier,
    pub(super) imprint: Imprint,
    serial: Int,
    /// A `GeneralizedTime` that may have a fraction of a second.
    gen_time: Any,
    #[asn1(optional = "true")]
    accuracy: Option<Accuracy>,
    #[asn1(default = "Default::default")]
    ordering: bool,
    #[asn1(optional = "true")]
    nonce: Option<Int>,
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT", optional = "true")]
    authority: Option<Any>,
    #[asn1(context_specific = "1", tag_mode = "IMPLICIT", optional = "true")]
    extensions: Option<Extensions>,
}

#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
struct Accuracy {
    #[asn1(optional = "true")]
    seconds: Option<u64>,
    #[asn1(context_specific = "0", tag_mode = "IMPLICIT", optional = "true")]
    millis: Option<u16>,
    #[asn1(context_specific = "1", tag_mode = "IMPLICIT", optional = "true")]
    micros: Option<u16>,
}

impl Info {
    /// Nothing in it that has to be understood and is not.
    pub(super) fn check(&self) -> Result<(), StampError> {
        if self.version != 1 {
            return Err(StampError::NotReadable(format!(
                "it is of version {}",
                self.version
            )));
        }
        let extensions = self.extensions.iter().flatten();
        let critical = extensions.into_iter().find(|known| known.critical);
        critical.map_or(Ok(()), |known| {
            Err(StampError::Algorithm(format!(
                "the extension {}",
                known.extn_id
            )))
        })
    }

    /// The time, down to the whole second before it.
    pub(super) fn time(&self) -> Result<DateTime<Utc>, StampError> {
        let wrong = || StampError::NotReadable("its time is no time in UTC".to_owned());
        if self.gen_time.tag() != Tag::GeneralizedTime {
            return Err(wrong());
        }
        let text = std::str::from_utf8(self.gen_time.value()).map_err(|_| wrong())?;
        let plain = text.strip_suffix('Z').ok_or_else(wrong)?;
        let (whole, fraction) = plain.split_once('.').unwrap_or((plain, "0"));
        let is_plain = whole.len() == 14 && whole.bytes().all(|byte| byte.is_ascii_digit());
        let has_digits = !fraction.is_empty() && fraction.bytes().all(|byte| byte.is_ascii_digit());
        if !is_plain || !has_digits {
            return Err(wrong());
        }
        NaiveDateTime::parse_from_str(whole, "%Y%m%d%H%M%S")
            .map(|time| time.and_utc())
            .map_err(|_| wrong())
    }

    pub(super) fn serial_text(&self) -> String {
        hex::encode(self.serial.as_bytes())
    }

    pub(super) fn nonce_number(&self) -> Option<u64> {
        let bytes = self.nonce.as_ref()?.as_bytes();
        let first = bytes
            .iter()
            .position(|byte| *byte != 0)
            .unwrap_or(bytes.len());
        let bytes = bytes.get(first..)?;
        if bytes.len() > 8 {
            return None;
        }
        Some(
            bytes
                .iter()
                .fold(0, |sum, byte| sum << 8 | u64::from(*byte)),
        )
    }
}
