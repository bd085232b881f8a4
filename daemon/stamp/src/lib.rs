//! Time stamps of an outside authority (RFC 3161): what to ask, what was answered, and whether it holds.
//!
//! A stamp says that an authority saw a hash at a time of its own clock. Whoever trusts the authority then knows that what
//! was hashed is at least as old. What is checked here: the token is about these bytes, the signature is that of its
//! certificate (RFC 5652, 5.4), the certificate is the one that the token itself names (RFC 5035), it may stamp times and
//! nothing else (RFC 3161, 2.3), and it leads to a certificate that the reader trusts, at the time of the stamp (RFC 5280).
//! What is not: whether a certificate was revoked.

mod error;
mod message;
mod signed;

pub use error::StampError;
pub use rustls_pki_types::CertificateDer;

use chrono::{DateTime, Utc};
use der::{Decode as _, Encode as _};
use message::{Imprint, Request, Response};
use rustls_pki_types::pem::PemObject as _;
use signed::Token;

/// The longest answer that is read, in bytes.
pub const MOST_BYTES: usize = 64 * 1024;

/// What a token says. That it holds is known only after [`Stamped::trusted`].
#[derive(Debug, Clone)]
pub struct Stamped {
    /// The authority's time.
    pub time: DateTime<Utc>,
    /// By whom, as its certificate names it.
    pub authority: String,
    /// The authority's number of the stamp, in hexadecimal digits.
    pub serial: String,
    /// The number that was asked with.
    pub nonce: Option<u64>,
    token: Token,
}

/// What to send to an authority (media type `application/timestamp-query`) about some bytes. `nonce` is a number that was
/// used for nothing else.
pub fn request(data: &[u8], nonce: Option<u64>) -> Result<Vec<u8>, StampError> {
    Ok(Request::about(data, nonce)?.to_der()?)
}

/// The token in an answer (`application/timestamp-reply`), or the token alone.
pub fn token_of(answer: &[u8]) -> Result<Vec<u8>, StampError> {
    if answer.len() > MOST_BYTES {
        return Err(StampError::TooLong {
            bytes: answer.len(),
        });
    }
    if let Ok(response) = Response::from_der(answer) {
        return response.token();
    }
    match Token::read(answer) {
        Ok(_) => Ok(answer.to_vec()),
        Err(_) => Err(StampError::NoToken),
    }
}

/// Reads a token about some bytes. It is about them, and the certificate in it has signed it; whether anybody trusts that
/// certificate is another question.
pub fn read(token: &[u8], data: &[u8]) -> Result<Stamped, StampError> {
    let token = Token::read(token)?;
    let info = token.info();
    Imprint::check(&info.imprint, data)?;
    token.check_signature()?;
    Ok(Stamped {
        time: info.time()?,
        authority: token.signer().tbs_certificate.subject.to_string(),
        serial: info.serial_text(),
        nonce: info.nonce_number(),
        token,
    })
}

impl Stamped {
    /// Whether the token leads to one of the certificates that somebody trusts.
    pub fn trusted(&self, authorities: &[CertificateDer<'_>]) -> Result<(), StampError> {
        self.token.check_path(authorities, self.time)
    }
}

/// The certificates in a PEM file.
pub fn certificates(pem: &[u8]) -> Result<Vec<CertificateDer<'static>>, StampError> {
    let read: Result<Vec<_>, _> = CertificateDer::pem_slice_iter(pem).collect();
    match read {
        Ok(list) if !list.is_empty() => Ok(list),
        _ => Err(StampError::NoCertificates),
    }
}
