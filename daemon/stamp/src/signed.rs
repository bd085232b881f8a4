//! The signed token: a CMS message (RFC 5652) with one signer.

use super::StampError;
use super::message::{Hash, Info, SHA_1, SHA_256};
use chrono::{DateTime, Utc};
use cms::cert::CertificateChoices;
use cms::content_info::{CmsVersion, ContentInfo};
use cms::signed_data::{SignedData, SignerIdentifier, SignerInfo};
use der::asn1::{ObjectIdentifier, OctetString, OctetStringRef, SetOfVec};
use der::{Any, Decode as _, Encode as _, Sequence};
use rustls_pki_types::{CertificateDer, SignatureVerificationAlgorithm, UnixTime};
use sha1::{Digest as _, Sha1};
use std::time::Duration;
use webpki::{EndEntityCert, KeyUsage, anchor_from_trusted_cert, ring};
use x509_cert::Certificate;
use x509_cert::attr::Attribute;
use x509_cert::ext::pkix::{ExtendedKeyUsage, SubjectKeyIdentifier};
use x509_cert::spki::AlgorithmIdentifierOwned;

const SIGNED_DATA: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.7.2");
const TST_INFO: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.1.4");
const CONTENT_TYPE: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.3");
const MESSAGE_DIGEST: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.4");
const SIGNING_CERTIFICATE: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.12");
const SIGNING_CERTIFICATE_V2: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.47");
const TIME_STAMPING: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.3.6.1.5.5.7.3.8");
const EXTENDED_KEY_USAGE: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.29.37");
const SUBJECT_KEY: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.29.14");

/// A token that was read.
#[derive(Debug, Clone)]
pub(super) struct Token {
    info: Info,
    info_der: Vec<u8>,
    signer: SignerInfo,
    certificate: Certificate,
    /// All certificates in it, the signer's too.
    certificates: Vec<Certificate>,
}

/// `ESSCertIDv2`.
#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
struct NamedV2 {
    /// SHA-256 where it is left out.
    #[asn1(optional = "true")]
    hash: Option<AlgorithmIdentifierOwned>,
    certificate: OctetString,
    #[asn1(optional = "true")]
    issuer: Option<Any>,
}

/// `SigningCertificateV2`.
#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
struct SigningV2 {
    certificates: Vec<NamedV2>,
    #[asn1(optional = "true")]
    policies: Option<Any>,
}

/// `ESSCertID`.
#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
struct Named {
    certificate: OctetString,
    #[asn1(optional = "true")]
    issuer: Option<Any>,
}

/// `SigningCertificate`.
#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
struct Signing {
    certificates: Vec<Named>,
    #[asn1(optional = "true")]
    policies: Option<Any>,
}

impl Token {
    pub(super) fn read(bytes: &[u8]) -> Result<Self, StampError> {
        if bytes.len() > super::MOST_BYTES {
            return Err(StampError::TooLong { bytes: bytes.len() });
        }
        let outer = ContentInfo::from_der(bytes)?;
        if outer.content_type != SIGNED_DATA {
            return Err(StampError::NoToken);
        }
        let data: SignedData = outer.content.decode_as()?;
        if data.encap_content_info.econtent_type != TST_INFO {
            return Err(StampError::NoToken);
        }
        let content = data
            .encap_content_info
            .econtent
            .ok_or(StampError::NoToken)?;
        let info_der = content
            .decode_as::<OctetStringRef<'_>>()?
            .as_bytes()
            .to_vec();
        let info = Info::from_der(&info_der)?;
        info.check()?;
        let signers = data.signer_infos.0;
        let [signer] = signers.as_slice() else {
            return Err(StampError::Signature("it has not exactly one signer"));
        };
        // Nothing that is not signed may say anything.
        let version = match signer.sid {
            SignerIdentifier::IssuerAndSerialNumber(_) => CmsVersion::V1,
            SignerIdentifier::SubjectKeyIdentifier(_) => CmsVersion::V3,
        };
        let is_plain = data.version == CmsVersion::V3
            && signer.version == version
            && data.digest_algorithms.iter().eq([&signer.digest_alg])
            && data.crls.is_none()
            && signer.unsigned_attrs.is_none();
        if !is_plain {
            return Err(StampError::Signature(
                "it carries more than one signature needs",
            ));
        }
        let certificates: Vec<Certificate> = data
            .certificates
            .iter()
            .flat_map(|set| set.0.iter())
            .filter_map(|choice| match choice {
                CertificateChoices::Certificate(certificate) => Some(certificate.clone()),
                CertificateChoices::Other(_) => None,
            })
            .collect();
        let certificate = certificates
            .iter()
            .find(|certificate| is_of(&signer.sid, certificate))
            .cloned()
            .ok_or(StampError::NoSigner)?;
        Ok(Self {
            info,
            info_der,
            signer: signer.clone(),
            certificate,
            certificates,
        })
    }

    pub(super) const fn info(&self) -> &Info {
        &self.info
    }

    pub(super) const fn signer(&self) -> &Certificate {
        &self.certificate
    }

    /// The certificate in the token has signed it, and may.
    pub(super) fn check_signature(&self) -> Result<(), StampError> {
        let attributes = self.signer.signed_attrs.as_ref();
        let attributes = attributes.ok_or(StampError::Signature("nothing is signed"))?;
        let kind: ObjectIdentifier = one(attributes, CONTENT_TYPE)?.decode_as()?;
        if kind != TST_INFO {
            return Err(StampError::Signature("it signs something else than a time"));
        }
        let hash = Hash::of(self.signer.digest_alg.oid)?;
        let digest = one(attributes, MESSAGE_DIGEST)?.decode_as::<OctetStringRef<'_>>()?;
        if digest.as_bytes() != hash.digest(&self.info_der) {
            return Err(StampError::Signature("what it says was changed"));
        }
        let certificate = self.certificate.to_der()?;
        check_named(attributes, &certificate)?;
        check_purpose(&self.certificate)?;
        self.check_bytes(hash, &attributes.to_der()?, &certificate)
    }

    fn check_bytes(&self, hash: Hash, signed: &[u8], certificate: &[u8]) -> Result<(), StampError> {
        let der = CertificateDer::from(certificate);
        let key = EndEntityCert::try_from(&der)
            .map_err(|error| StampError::NotReadable(format!("its certificate: {error}")))?;
        let algorithms = algorithms(&self.signer.signature_algorithm, hash)?;
        let signature = self.signer.signature.as_bytes();
        let holds = algorithms
            .iter()
            .any(|algorithm| key.verify_signature(*algorithm, signed, signature).is_ok());
        if holds {
            Ok(())
        } else {
            Err(StampError::Signature(
                "it was changed, or signed by another key",
            ))
        }
    }

    /// The certificate leads to a trusted one, at a time.
    pub(super) fn check_path(
        &self,
        trusted: &[CertificateDer<'_>],
        time: DateTime<Utc>,
    ) -> Result<(), StampError> {
        let wrong = |error: &dyn std::fmt::Display| StampError::NotTrusted(error.to_string());
        let others: Vec<CertificateDer<'static>> = self
            .certificates
            .iter()
            .map(|certificate| certificate.to_der().map(CertificateDer::from))
            .collect::<Result<_, _>>()?;
        let anchors: Vec<_> = trusted
            .iter()
            .filter_map(|certificate| anchor_from_trusted_cert(certificate).ok())
            .collect();
        let own = CertificateDer::from(self.certificate.to_der()?);
        let leaf = EndEntityCert::try_from(&own).map_err(|error| wrong(&error))?;
        let seconds = u64::try_from(time.timestamp()).map_err(|error| wrong(&error))?;
        leaf.verify_for_usage(
            webpki::ALL_VERIFICATION_ALGS,
            &anchors,
            &others,
            UnixTime::since_unix_epoch(Duration::from_secs(seconds)),
            KeyUsage::required(TIME_STAMPING.as_bytes()),
            None,
            None,
        )
        .map(|_| ())
        .map_err(|error| wrong(&error))
    }
}

fn is_of(signer: &SignerIdentifier, certificate: &Certificate) -> bool {
    let known = &certificate.tbs_certificate;
    match signer {
        SignerIdentifier::IssuerAndSerialNumber(named) => {
            known.issuer == named.issuer && known.serial_number == named.serial_number
        }
        SignerIdentifier::SubjectKeyIdentifier(key) => {
            let extensions = known.extensions.iter().flatten();
            extensions
                .filter(|known| known.extn_id == SUBJECT_KEY)
                .filter_map(|known| {
                    SubjectKeyIdentifier::from_der(known.extn_value.as_bytes()).ok()
                })
                .any(|known| known == *key)
        }
    }
}

/// The one value of an attribute.
fn one(attributes: &SetOfVec<Attribute>, kind: ObjectIdentifier) -> Result<&Any, StampError> {
    let mut of_kind = attributes.iter().filter(|known| known.oid == kind);
    match (of_kind.next(), of_kind.next()) {
        (Some(attribute), None) => match attribute.values.as_slice() {
            [value] => Ok(value),
            _ => Err(StampError::Signature(
                "a signed attribute has several values",
            )),
        },
        _ => Err(StampError::Signature(
            "a signed attribute is missing or there twice",
        )),
    }
}

/// The certificate is the one that the signed attributes name; another one of the same key and name is not.
fn check_named(attributes: &SetOfVec<Attribute>, certificate: &[u8]) -> Result<(), StampError> {
    let has = |kind| attributes.iter().any(|known| known.oid == kind);
    let is_named = if has(SIGNING_CERTIFICATE_V2) {
        let signing: SigningV2 = one(attributes, SIGNING_CERTIFICATE_V2)?.decode_as()?;
        match signing.certificates.first() {
            Some(named) => {
                let hash = named.hash.as_ref().map_or(SHA_256, |hash| hash.oid);
                hash_of(hash, certificate)? == named.certificate.as_bytes()
            }
            None => false,
        }
    } else {
        let signing: Signing = one(attributes, SIGNING_CERTIFICATE)?.decode_as()?;
        let named = signing.certificates.first();
        named.is_some_and(|named| {
            Sha1::digest(certificate).as_slice() == named.certificate.as_bytes()
        })
    };
    if is_named {
        Ok(())
    } else {
        Err(StampError::Signature("it names another certificate"))
    }
}

/// Here SHA-1 will do: it only tells apart certificates that lead to somebody trusted.
fn hash_of(hash: ObjectIdentifier, data: &[u8]) -> Result<Vec<u8>, StampError> {
    match hash {
        SHA_1 => Ok(Sha1::digest(data).to_vec()),
        other => Ok(Hash::of(other)?.digest(data)),
    }
}

/// RFC 3161, 2.3: one extended key usage, for stamping times, and critical.
fn check_purpose(certificate: &Certificate) -> Result<(), StampError> {
    let extensions = certificate.tbs_certificate.extensions.iter().flatten();
    let mut usages = extensions.filter(|known| known.extn_id == EXTENDED_KEY_USAGE);
    let (Some(usage), None) = (usages.next(), usages.next()) else {
        return Err(StampError::Purpose("it does not say so"));
    };
    let purposes = ExtendedKeyUsage::from_der(usage.extn_value.as_bytes())?.0;
    if purposes != [TIME_STAMPING] {
        return Err(StampError::Purpose("it is for something else, or for more"));
    }
    if !usage.critical {
        return Err(StampError::Purpose(
            "it does not say so with force (critical)",
        ));
    }
    Ok(())
}

type Algorithm = &'static dyn SignatureVerificationAlgorithm;

/// The ways in which a signature may have been made.
fn algorithms(
    stated: &AlgorithmIdentifierOwned,
    digest: Hash,
) -> Result<Vec<Algorithm>, StampError> {
    const RSA: &str = "1.2.840.113549.1.1.1";
    let text = stated.oid.to_string();
    Ok(match (text.as_str(), digest) {
        ("1.2.840.113549.1.1.11", _) | (RSA, Hash::Sha256) => {
            vec![ring::RSA_PKCS1_2048_8192_SHA256]
        }
        ("1.2.840.113549.1.1.12", _) | (RSA, Hash::Sha384) => {
            vec![ring::RSA_PKCS1_2048_8192_SHA384]
        }
        ("1.2.840.113549.1.1.13", _) | (RSA, Hash::Sha512) => {
            vec![ring::RSA_PKCS1_2048_8192_SHA512]
        }
        ("1.2.840.10045.4.3.2", _) => vec![ring::ECDSA_P256_SHA256, ring::ECDSA_P384_SHA256],
        ("1.2.840.10045.4.3.3", _) => vec![ring::ECDSA_P256_SHA384, ring::ECDSA_P384_SHA384],
        ("1.3.101.112", _) => vec![ring::ED25519],
        _ => return Err(StampError::Algorithm(format!("the signature {text}"))),
    })
}
