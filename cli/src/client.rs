//! Speaks HTTP to the daemon over its Unix socket.

use http_body_util::{BodyExt as _, Full};
use hyper::body::{Bytes, Incoming};
use hyper::client::conn::http1;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::TokioIo;
use pullmark_schema::api::{Act, Done, Problem};
use serde::de::DeserializeOwned;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use tokio::net::UnixStream;

/// The media type of acts.
pub(crate) const JSON: &str = "application/json";

/// Why the daemon gave no answer.
#[derive(Debug, thiserror::Error)]
pub(crate) enum ClientError {
    /// Nobody listens.
    #[error("no daemon answers at {}: start it with `pullmarkd`, or name its folder with --data", path.display())]
    NoDaemon {
        /// The socket.
        path: PathBuf,
    },
    /// The daemon is another user's.
    #[error("{} is closed to you: the bench's daemon runs as another user. Ask as that user, or use the bench page", path.display())]
    NotYours {
        /// The socket.
        path: PathBuf,
    },
    /// The connection broke.
    #[error(
        "the daemon went away in the middle of an answer: {0}. What it acknowledged is on disk; ask again"
    )]
    Broken(#[from] hyper::Error),
    /// The answer is something else.
    #[error("the daemon's answer cannot be read: {0}. Are both programs of the same version?")]
    Answer(#[from] serde_json::Error),
    /// The daemon says no.
    #[error("{}", .0.detail)]
    Refused(Box<Problem>),
}

/// A way to the daemon.
#[derive(Debug, Clone)]
pub(crate) struct Client {
    socket: PathBuf,
}

impl Client {
    pub(crate) fn new(socket: &Path) -> Self {
        Self {
            socket: socket.to_owned(),
        }
    }

    async fn send(
        &self,
        method: Method,
        path: &str,
        (kind, body): (&str, Vec<u8>),
    ) -> Result<Response<Incoming>, ClientError> {
        let stream =
            UnixStream::connect(&self.socket)
                .await
                .map_err(|error| match error.kind() {
                    std::io::ErrorKind::PermissionDenied => ClientError::NotYours {
                        path: self.socket.clone(),
                    },
                    _ => ClientError::NoDaemon {
                        path: self.socket.clone(),
                    },
                })?;
        let (mut sender, connection) = http1::handshake(TokioIo::new(stream)).await?;
        tokio::spawn(connection);
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header("host", "pullmark")
            .header("content-type", kind)
            .body(Full::new(Bytes::from(body)));
        let request = request.map_err(|_| ClientError::Refused(Box::new(bad_address(path))))?;
        let response = sender.send_request(request).await?;
        if response.status().is_success() {
            return Ok(response);
        }
        let status = response.status();
        let bytes = response.into_body().collect().await?.to_bytes();
        Err(ClientError::Refused(Box::new(problem(status, &bytes))))
    }

    /// Gets bytes.
    pub(crate) async fn bytes(&self, path: &str) -> Result<Vec<u8>, ClientError> {
        let response = self.send(Method::GET, path, (JSON, Vec::new())).await?;
        Ok(response.into_body().collect().await?.to_bytes().to_vec())
    }

    /// Gets an answer.
    pub(crate) async fn get<T: DeserializeOwned>(&self, path: &str) -> Result<T, ClientError> {
        Ok(serde_json::from_slice(&self.bytes(path).await?)?)
    }

    /// Asks for an act.
    pub(crate) async fn act(&self, act: &Act) -> Result<Done, ClientError> {
        let response = self
            .send(Method::POST, "/v1/acts", (JSON, serde_json::to_vec(act)?))
            .await?;
        Ok(serde_json::from_slice(
            &response.into_body().collect().await?.to_bytes(),
        )?)
    }

    /// Asks with a body of its own.
    pub(crate) async fn post<T: DeserializeOwned>(
        &self,
        path: &str,
        body: (&str, Vec<u8>),
    ) -> Result<T, ClientError> {
        let response = self.send(Method::POST, path, body).await?;
        let bytes = response.into_body().collect().await?.to_bytes();
        Ok(serde_json::from_slice(&bytes)?)
    }

    /// Opens the stream of live entries.
    pub(crate) async fn events(&self, after: Option<u64>) -> Result<Incoming, ClientError> {
        let path = after.map_or_else(
            || "/v1/events".to_owned(),
            |after| format!("/v1/events?after={after}"),
        );
        Ok(self
            .send(Method::GET, &path, (JSON, Vec::new()))
            .await?
            .into_body())
    }
}

fn problem(status: StatusCode, bytes: &[u8]) -> Problem {
    serde_json::from_slice(bytes).unwrap_or_else(|_| Problem {
        code: "http/no-problem".to_owned(),
        status: status.as_u16(),
        detail: format!("the daemon answered {status} without saying why"),
        findings: Vec::new(),
    })
}

fn bad_address(path: &str) -> Problem {
    let detail = format!("{path:?} cannot be part of an address");
    Problem {
        code: "http/bad-address".to_owned(),
        status: 400,
        detail,
        findings: Vec::new(),
    }
}

/// A name as part of an address (RFC 3986: all but the unreserved characters are escaped).
pub(crate) fn segment(name: &str) -> String {
    name.bytes().fold(String::new(), |mut text, byte| {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_' | b'~') {
            text.push(char::from(byte));
        } else {
            // writing to a string cannot fail
            let _ = write!(text, "%{byte:02X}");
        }
        text
    })
}
