//! Has signed heads stamped by an outside authority (RFC 3161), where the shop names one. What it answers is checked before
//! it is kept. A stamp that does not come holds nothing up: it is asked for again with the next head, or after a while.

use crate::core::Bench;
use crate::run::{Gone, Handle};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use http_body_util::{BodyExt as _, Full, Limited};
use hyper::body::Bytes;
use hyper::header::{CONTENT_TYPE, HOST};
use hyper_util::rt::TokioIo;
use pullmark_schema::api::Act;
use serde::Deserialize;
use std::time::Duration;
use tokio::net::TcpStream;
use tokio::sync::broadcast::error::RecvError;
use tokio::sync::watch;

/// After a seal two heads are signed; the second one covers both.
const SETTLED: Duration = Duration::from_secs(2);
/// An authority that does not answer is not waited for.
const PATIENCE: Duration = Duration::from_secs(30);
/// After this long without a stamp it is asked again.
const AGAIN: Duration = Duration::from_mins(15);

/// Where an authority is asked.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub struct Authority {
    host: String,
    port: u16,
    path: String,
}

/// Why an authority cannot be asked like that.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AuthorityError {
    /// Another scheme, or none.
    #[error(
        "a time authority is written http://host/path; a stamp is signed, so nothing else is needed on the way. Where an \
         authority is asked by https alone, send what `pullmark ledger timestamp --request` writes with another program"
    )]
    Scheme,
    /// Not a host and a port.
    #[error("{0:?} is no host, or no port from 1 to 65535")]
    Host(String),
}

impl TryFrom<String> for Authority {
    type Error = AuthorityError;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        let rest = text.strip_prefix("http://").ok_or(AuthorityError::Scheme)?;
        let (place, path) = rest.split_once('/').unwrap_or((rest, ""));
        let (host, port) = match place.rsplit_once(':') {
            Some((host, port)) => (host, port.parse().unwrap_or(0)),
            None => (place, 80),
        };
        let is_name = |byte: u8| byte.is_ascii_alphanumeric() || b".-_".contains(&byte);
        let is_plain = path.bytes().all(|byte| byte.is_ascii_graphic());
        if host.is_empty() || !host.bytes().all(is_name) || port == 0 || !is_plain {
            return Err(AuthorityError::Host(place.to_owned()));
        }
        Ok(Self {
            host: host.to_owned(),
            port,
            path: format!("/{path}"),
        })
    }
}

/// Has the newest head stamped whenever there is one, until the daemon ends.
pub async fn stamp(
    handle: Handle,
    authority: Option<Authority>,
    mut stopped: watch::Receiver<bool>,
) {
    let Some(authority) = authority else { return };
    let mut entries = handle.followed.subscribe();
    loop {
        tokio::select! {
            () = tokio::time::sleep(SETTLED) => {}
            _ = stopped.wait_for(|stopped| *stopped) => return,
        }
        if stamp_newest(&handle, &authority).await.is_err() {
            return;
        }
        let next_head = async {
            loop {
                match entries.recv().await {
                    Ok(entry) if ["head-signed", "record-sealed"].contains(&entry.kind) => {
                        return true;
                    }
                    Ok(_) | Err(RecvError::Lagged(_)) => {}
                    Err(RecvError::Closed) => return false,
                }
            }
        };
        tokio::select! {
            goes_on = next_head => if !goes_on { return },
            () = tokio::time::sleep(AGAIN) => {}
            _ = stopped.wait_for(|stopped| *stopped) => return,
        }
    }
}

fn unstamped(bench: &Bench) -> Option<String> {
    // What is only practised is worth no stamp.
    if bench.practice {
        return None;
    }
    let (size, checkpoint) = bench.heads.last()?;
    (!bench.stamped.contains_key(size)).then(|| checkpoint.clone())
}

async fn stamp_newest(handle: &Handle, authority: &Authority) -> Result<(), Gone> {
    let Some(checkpoint) = handle.look(|heart| unstamped(&heart.bench)).await? else {
        return Ok(());
    };
    match ask(authority, checkpoint.as_bytes()).await {
        Ok(token) => {
            let answer = STANDARD.encode(token);
            if let Err(refusal) = handle.act(Act::Timestamp { answer }).await? {
                tracing::warn!(host = authority.host, "{refusal}");
            }
        }
        Err(why) => tracing::warn!(
            host = authority.host,
            "the head of the ledger is not stamped: {why}. It is asked again"
        ),
    }
    Ok(())
}

/// The token for some bytes.
async fn ask(authority: &Authority, data: &[u8]) -> Result<Vec<u8>, String> {
    let mut random = [0; 8];
    getrandom::fill(&mut random).map_err(|error| error.to_string())?;
    let nonce = u64::from_be_bytes(random);
    let query = pullmark_stamp::request(data, Some(nonce)).map_err(|error| error.to_string())?;
    let answer = tokio::time::timeout(PATIENCE, post(authority, query))
        .await
        .map_err(|_| format!("no answer for {} s", PATIENCE.as_secs()))??;
    let token = pullmark_stamp::token_of(&answer).map_err(|error| error.to_string())?;
    let stamped = pullmark_stamp::read(&token, data).map_err(|error| error.to_string())?;
    if stamped.nonce == Some(nonce) {
        Ok(token)
    } else {
        Err("it answered another question (the nonce is not the one that was sent)".to_owned())
    }
}

async fn post(authority: &Authority, query: Vec<u8>) -> Result<Vec<u8>, String> {
    let text = |error: &dyn std::error::Error| error.to_string();
    let stream = TcpStream::connect((authority.host.as_str(), authority.port))
        .await
        .map_err(|error| text(&error))?;
    let (mut sender, connection) = hyper::client::conn::http1::handshake(TokioIo::new(stream))
        .await
        .map_err(|error| text(&error))?;
    tokio::spawn(async move {
        // Whoever waits for the answer sees that there is none.
        let _ = connection.await;
    });
    let request = hyper::Request::post(&authority.path)
        .header(HOST, format!("{}:{}", authority.host, authority.port))
        .header(CONTENT_TYPE, "application/timestamp-query")
        .body(Full::new(Bytes::from(query)))
        .map_err(|error| text(&error))?;
    let response = sender
        .send_request(request)
        .await
        .map_err(|error| text(&error))?;
    if !response.status().is_success() {
        return Err(format!("its answer is HTTP {}", response.status()));
    }
    let body = Limited::new(response.into_body(), pullmark_stamp::MOST_BYTES)
        .collect()
        .await
        .map_err(|error| error.to_string())?;
    Ok(body.to_bytes().to_vec())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn where_an_authority_is_asked_is_read_or_refused() {
        let read = |text: &str| Authority::try_from(text.to_owned());
        let plain = read("http://time.example/stamp").unwrap();
        assert_eq!(
            (plain.host.as_str(), plain.port, plain.path.as_str()),
            ("time.example", 80, "/stamp")
        );
        let with_port = read("http://127.0.0.1:3180").unwrap();
        assert_eq!((with_port.port, with_port.path.as_str()), (3180, "/"));
        assert_eq!(read("https://time.example/"), Err(AuthorityError::Scheme));
        for text in [
            "http://",
            "http://a b/",
            "http://host:0/",
            "http://host:http/",
            "http://x/\r\n",
        ] {
            assert!(matches!(read(text), Err(AuthorityError::Host(_))), "{text}");
        }
    }
}
