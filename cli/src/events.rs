//! Reads live entries from the daemon's event stream.

use crate::client::{Client, ClientError};
use http_body_util::BodyExt as _;
use hyper::body::Incoming;
use pullmark_schema::entry::Entry;

/// Entries as they come.
pub(crate) struct Events {
    body: Incoming,
    buffer: Vec<u8>,
}

impl Events {
    /// Listens from an entry on, or from now.
    pub(crate) async fn open(client: &Client, after: Option<u64>) -> Result<Self, ClientError> {
        Ok(Self {
            body: client.events(after).await?,
            buffer: Vec::new(),
        })
    }

    /// The next entry; nothing when the stream has ended.
    pub(crate) async fn next(&mut self) -> Result<Option<Entry>, ClientError> {
        loop {
            if let Some(block) = self.take_block() {
                if let Some(entry) = read_block(&block)? {
                    return Ok(Some(entry));
                }
                continue;
            }
            match self.body.frame().await {
                None => return Ok(None),
                Some(frame) => {
                    if let Ok(data) = frame?.into_data() {
                        self.buffer.extend_from_slice(&data);
                    }
                }
            }
        }
    }

    /// The lines up to an empty one.
    fn take_block(&mut self) -> Option<String> {
        let end = self.buffer.windows(2).position(|pair| pair == b"\n\n")?;
        let block: Vec<u8> = self.buffer.drain(..end + 2).collect();
        Some(String::from_utf8_lossy(&block).into_owned())
    }
}

fn read_block(block: &str) -> Result<Option<Entry>, ClientError> {
    let data: Vec<&str> = block
        .lines()
        .filter_map(|line| line.strip_prefix("data:"))
        .map(str::trim_start)
        .collect();
    if data.is_empty() {
        return Ok(None);
    }
    Ok(Some(serde_json::from_str(&data.join("\n"))?))
}
