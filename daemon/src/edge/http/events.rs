//! Live entries over SSE (WHATWG HTML, server-sent events). A listener resumes by sequence number; one that does not
//! keep up is dropped and comes back, so nobody holds up the bench. Who asks for it is also told what a tool shows during a
//! pull: only the newest values, so that a slow listener gets fewer and nobody waits for it.

use super::broken;
use crate::edge::store::{Reader, StoreError};
use crate::run::{Handle, LiveValues, Published};
use axum::extract::{Query, State};
use axum::http::HeaderMap;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse as _, Response};
use std::collections::VecDeque;
use std::convert::Infallible;
use std::path::Path;
use std::pin::Pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::task::{Context, Poll};
use tokio::sync::broadcast::Receiver;
use tokio_stream::wrappers::{BroadcastStream, ReceiverStream, WatchStream};
use tokio_stream::{Stream, StreamExt as _};

/// How many old entries are read at once.
const CHUNK: u32 = 500;

/// From where on a listener wants to hear.
#[derive(Debug, serde::Deserialize)]
pub(super) struct From {
    after: Option<u64>,
    /// Whether what a tool shows during a pull is wanted too.
    #[serde(default)]
    live: bool,
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
    let entries = stream(past, live);
    let keep_alive = KeepAlive::default();
    if from.live {
        let values = WatchStream::from_changes(handle.live.subscribe());
        let both = WithLive::new(entries, values);
        return Sse::new(both).keep_alive(keep_alive).into_response();
    }
    Sse::new(entries).keep_alive(keep_alive).into_response()
}

/// Entries that were written before the listener came.
struct Past {
    reader: Reader,
    after: u64,
}

impl Past {
    fn open(folder: &Path, after: u64) -> Result<Self, StoreError> {
        let reader = Reader::open(folder)?;
        // A listener from before a backup was put back knows a later number than there is: it goes on from here.
        let after = after.min(reader.last_sequence()?.unwrap_or(0));
        Ok(Self { reader, after })
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

/// How far a listener has been told. One that missed something is told no more, so that it comes back and resumes.
#[derive(Debug, Clone)]
struct Told(Arc<AtomicU64>);

impl Told {
    const MISSED: u64 = u64::MAX;

    fn up_to(&self, sequence: u64) {
        self.0.store(sequence, Ordering::Relaxed);
    }

    /// Whether an entry is still to be told; nothing where one before it was missed.
    fn lacks(&self, sequence: u64) -> Option<bool> {
        match self.0.load(Ordering::Relaxed) {
            Self::MISSED => None,
            told => Some(sequence > told),
        }
    }
}

fn stream(
    past: Option<Past>,
    live: Receiver<Arc<Published>>,
) -> impl Stream<Item = Result<Event, Infallible>> {
    let told = Told(Arc::default());
    let (sender, receiver) = tokio::sync::mpsc::channel(64);
    match past {
        Some(past) => drop(tokio::spawn(tell_past(past, told.clone(), sender))),
        None => drop(sender),
    }
    // A listener that has fallen behind ends at the error.
    let live = BroadcastStream::new(live)
        .map_while(move |entry| {
            let entry = entry.ok()?;
            Some(told.lacks(entry.sequence)?.then(|| event(&entry)))
        })
        .filter_map(|event| event);
    ReceiverStream::new(receiver).chain(live).map(Ok)
}

/// Entries, and between them what tools show. Entries come first, and it ends with them.
struct WithLive<S> {
    entries: Pin<Box<S>>,
    values: WatchStream<LiveValues>,
    /// The number of the newest value that was told.
    told: u64,
    /// Values of one look.
    waiting: VecDeque<Event>,
}

impl<S> WithLive<S> {
    fn new(entries: S, values: WatchStream<LiveValues>) -> Self {
        Self {
            entries: Box::pin(entries),
            values,
            told: 0,
            waiting: VecDeque::new(),
        }
    }

    fn take_in(&mut self, values: LiveValues) {
        for value in values {
            if value.number <= self.told {
                continue;
            }
            self.told = value.number;
            // Without an id: nobody resumes after it.
            if let Ok(event) = Event::default().event("live").json_data(&value) {
                self.waiting.push_back(event);
            }
        }
    }
}

impl<S: Stream<Item = Result<Event, Infallible>>> Stream for WithLive<S> {
    type Item = S::Item;

    fn poll_next(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Option<S::Item>> {
        if let Poll::Ready(entry) = self.entries.as_mut().poll_next(context) {
            return Poll::Ready(entry);
        }
        while self.waiting.is_empty() {
            match Pin::new(&mut self.values).poll_next(context) {
                Poll::Ready(Some(values)) => self.take_in(values),
                Poll::Ready(None) | Poll::Pending => return Poll::Pending,
            }
        }
        Poll::Ready(self.waiting.pop_front().map(Ok))
    }
}

/// Tells what was written before the listener came, in pieces.
async fn tell_past(mut past: Past, told: Told, sender: tokio::sync::mpsc::Sender<Event>) {
    told.up_to(past.after);
    loop {
        let read = tokio::task::spawn_blocking(move || {
            let chunk = past.chunk();
            (past, chunk)
        });
        let chunk = match read.await {
            Ok((back, Ok(chunk))) => {
                past = back;
                chunk
            }
            Ok((_, Err(error))) => {
                tracing::error!(%error, "a listener's past could not be read");
                return told.up_to(Told::MISSED);
            }
            Err(_) => return told.up_to(Told::MISSED),
        };
        if chunk.is_empty() {
            return;
        }
        for entry in &chunk {
            if sender.send(event(entry)).await.is_err() {
                return;
            }
            told.up_to(entry.sequence);
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
