//! What can be wrong with a stamp.

/// Why a stamp does not hold, or cannot be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StampError {
    /// Not such a structure at all.
    #[error("the time stamp cannot be read: {0}")]
    NotReadable(String),
    /// Too much of it.
    #[error("an answer of {bytes} bytes is no time stamp: at most 65,536 are read")]
    TooLong {
        /// How much.
        bytes: usize,
    },
    /// The authority refused.
    #[error("the authority made no time stamp: its answer has the status {status}{said}")]
    Refused {
        /// The status (RFC 3161, 2.4.2); 0 and 1 are granted.
        status: u8,
        /// In its words.
        said: String,
    },
    /// Something else than an answer.
    #[error("this is neither an authority's answer (RFC 3161) nor a token")]
    NoToken,
    /// About something else.
    #[error("the time stamp is about something else: the hash in it is not that of this head")]
    OtherData,
    /// A way of hashing or signing that is not known here, or no longer trusted by anybody.
    #[error("the time stamp uses {0}, which this program does not take")]
    Algorithm(String),
    /// The signature.
    #[error("the signature of the time stamp does not hold: {0}")]
    Signature(&'static str),
    /// No certificate of the signer.
    #[error("the time stamp does not hold its authority's certificate: ask with certReq")]
    NoSigner,
    /// The certificate may not do this.
    #[error("the certificate of the time stamp may not stamp times: {0}")]
    Purpose(&'static str),
    /// Nobody whom the reader trusts.
    #[error("the time stamp leads to no certificate that was given as trusted: {0}")]
    NotTrusted(String),
    /// No certificate in a file.
    #[error("there is no certificate in PEM form in this file")]
    NoCertificates,
}

impl From<der::Error> for StampError {
    fn from(error: der::Error) -> Self {
        Self::NotReadable(error.to_string())
    }
}
