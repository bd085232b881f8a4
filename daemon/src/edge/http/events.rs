//! Live entries over SSE (WHATWG HTML, server-sent events). A listener resumes by sequence number; one that does not
//! keep up is dropped and comes back, so nobody holds up the bench.

use super::broken;
use crate::edge::store::{Reader, StoreError};
use crate::run::{Handle, Published};
use axum::extract::{Query, State};
use axum::http::HeaderMap;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse as _, Response};
use std::convert::Infallible;
use std::path::Path;
use std::sync::Arc;
use tokio::sync::broadcast::Receiver;
use tokio_stream::{Stream, StreamExt as _};

/// How many old entries are read at once.
const CHUNK: u32 = 500;

/// From where on a listener wants to hear.
#[derive(Debug, serde::Deserialize)]
pub(super) struct From {
    after: Option<u64>,
}

pub(super) async fn events(
    State(handle): State<Handle>,
    Query(from): Query<From>,
    headers: HeaderMap,
) -> Response {
    let last = headers
        .get("last-event-id")
        .and_then(|id| id.to_str().ok())
        .and_then(|id| id.parse().ok());
    // Listening starts before the past is read, so that nothing falls in between.
    let live = handle.published.subscribe();
    let past = match last.or(from.after) {
        Some(after) => match Past::open(&handle.folder, after) {
            Ok(past) => Some(past),
            Err(error) => return broken(&error),
        },
        None => None,
    };
    Sse::new(stream(past, live))
        .keep_alive(KeepAlive::default())
        .into_response()
}

/// Entries that were written before the listener came.
struct Past {
    reader: Reader,
    after: u64,
}

impl Past {
    fn open(folder: &Path, after: u64) -> Result<Self, StoreError> {
        Ok(Self {
            reader: Reader::open(folder)?,
            after,
        })
    }

    fn chunk(&mut self) -> Result<Vec<Published>, StoreError> {
        let bodies = self.reader.bodies_after(Some(self.after), CHUNK)?;
        if let Some((last, _)) = bodies.last() {
            self.after = *last;
        }
        Ok(bodies
            .into_iter()
            .map(|(sequence, body)| Published {
                sequence,
                kind: "",
                body,
            })
            .collect())
    }
}

fn stream(
    past: Option<Past>,
    live: Receiver<Arc<Published>>,
) -> impl Stream<Item = Result<Event, Infallible>> {
    let sent = past.as_ref().map(|past| past.after);
    let (told, telling) = tokio::sync::mpsc::channel(64);
    tokio::spawn(async move {
        let Ok(sent) = tell_past(past, sent, &told).await else {
            return;
        };
        // A listener that is gone, or has fallen behind, ends here.
        let _ = tell_live(live, sent, &told).await;
    });
    tokio_stream::wrappers::ReceiverStream::new(telling).map(Ok)
}

/// The listener went away, fell behind, or the ledger cannot be read: it may come back and resume.
struct Ended;

type Told = tokio::sync::mpsc::Sender<Event>;

async fn tell_past(
    past: Option<Past>,
    mut sent: Option<u64>,
    told: &Told,
) -> Result<Option<u64>, Ended> {
    let Some(mut past) = past else {
        return Ok(None);
    };
    loop {
        let (back, chunk) = tokio::task::spawn_blocking(move || {
            let chunk = past.chunk();
            (past, chunk)
        })
        .await
        .map_err(|_| Ended)?;
        past = back;
        let chunk = chunk.map_err(|error| {
            tracing::error!(%error, "a listener's past could not be read");
            Ended
        })?;
        if chunk.is_empty() {
            return Ok(sent);
        }
        for entry in &chunk {
            told.send(event(entry)).await.map_err(|_| Ended)?;
            sent = Some(entry.sequence);
        }
    }
}

async fn tell_live(
    mut live: Receiver<Arc<Published>>,
    sent: Option<u64>,
    told: &Told,
) -> Result<(), Ended> {
    loop {
        let entry = live.recv().await.map_err(|_| Ended)?;
        if sent.is_none_or(|sent| entry.sequence > sent) {
            told.send(event(&entry)).await.map_err(|_| Ended)?;
        }
    }
}

fn event(entry: &Published) -> Event {
    let body = String::from_utf8_lossy(&entry.body);
    let kind = if entry.kind.is_empty() {
        kind_of(&body)
    } else {
        entry.kind.to_owned()
    };
    Event::default()
        .id(entry.sequence.to_string())
        .event(kind)
        .data(body)
}

fn kind_of(body: &str) -> String {
    #[derive(serde::Deserialize)]
    struct Kind {
        kind: String,
    }
    serde_json::from_str(body).map_or_else(|_| "entry".to_owned(), |kind: Kind| kind.kind)
}
