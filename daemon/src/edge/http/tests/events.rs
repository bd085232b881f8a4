//! Live entries: in order, without a gap, none twice, however a listener comes back.

use super::{Site, point_at};
use axum::body::{Body, BodyDataStream};
use axum::http::{Request, StatusCode, header};
use pullmark_schema::entry::Entry;
use std::time::Duration;
use tokio_stream::StreamExt as _;
use tower::ServiceExt as _;

/// Longer than any test takes; a listener that hears nothing for so long never will.
const PATIENCE: Duration = Duration::from_secs(20);

/// A listener's stream, cut into events (WHATWG HTML, 9.2.6).
struct Listener {
    body: BodyDataStream,
    text: String,
}

impl Listener {
    async fn open(site: &Site, query: &str, last: Option<&str>) -> Self {
        let mut request = Request::get(format!("/v1/events{query}"));
        if let Some(last) = last {
            request = request.header("last-event-id", last);
        }
        let response = site
            .routes
            .clone()
            .oneshot(request.body(Body::empty()).unwrap())
            .await
            .unwrap();
        assert_eq!(response.status(), StatusCode::OK);
        assert_eq!(
            response.headers()[header::CONTENT_TYPE],
            "text/event-stream"
        );
        Self {
            body: response.into_body().into_data_stream(),
            text: String::new(),
        }
    }

    /// The next entry, after a look at whether its frame agrees with it.
    async fn next(&mut self) -> u64 {
        loop {
            if let Some(end) = self.text.find("\n\n") {
                let event: String = self.text.drain(..end + 2).collect();
                if let Some(sequence) = parsed(&event) {
                    return sequence;
                }
                continue;
            }
            let more = tokio::time::timeout(PATIENCE, self.body.next()).await;
            let Ok(Some(Ok(bytes))) = more else {
                panic!("nothing came: {more:?}")
            };
            self.text.push_str(std::str::from_utf8(&bytes).unwrap());
        }
    }

    async fn until(&mut self, last: u64) -> Vec<u64> {
        let mut heard = Vec::new();
        while heard.last().is_none_or(|heard| *heard < last) {
            heard.push(self.next().await);
        }
        heard
    }
}

/// Nothing for a comment, which keeps the line alive.
fn parsed(event: &str) -> Option<u64> {
    let field = |name: &str| {
        event
            .lines()
            .find_map(|line| line.strip_prefix(name)?.strip_prefix(": "))
    };
    let entry: Entry = serde_json::from_str(field("data")?).unwrap();
    assert_eq!(field("id"), Some(entry.sequence.to_string().as_str()));
    assert_eq!(field("event"), Some(entry.event.kind()));
    Some(entry.sequence)
}

#[tokio::test]
async fn a_listener_hears_what_comes() {
    let site = Site::open().await;
    let mut listener = Listener::open(&site, "", None).await;
    site.must(point_at("stem.1")).await;
    site.pull(5_000).await;
    assert_eq!(
        listener.until(6).await,
        [5, 6],
        "nothing of what was before"
    );
}

#[tokio::test]
async fn a_listener_resumes_where_it_was() {
    let site = Site::open().await;
    for (query, last, first) in [
        ("?after=0", None, 1),
        ("?after=2", None, 3),
        ("", Some("1"), 2),
        ("?after=0", Some("2"), 3),
        ("?after=3", Some("0"), 1),
        ("?after=1", Some("rubbish"), 2),
    ] {
        let mut listener = Listener::open(&site, query, last).await;
        assert_eq!(listener.next().await, first, "{query:?} {last:?}");
    }
    let mut listener = Listener::open(&site, "?after=3", None).await;
    site.must(point_at("stem.1")).await;
    assert_eq!(
        listener.next().await,
        4,
        "one that has heard all waits for the next"
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn nothing_is_missed_or_heard_twice_while_more_is_written() {
    let site = Site::open().await;
    for _ in 0..40 {
        site.must(point_at("stem.1")).await;
    }
    let (handle, last) = (site.running.handle.clone(), 40 + 3 + 200);
    let writer = tokio::spawn(async move {
        for _ in 0..200 {
            handle.act(point_at("crank.left")).await.unwrap().unwrap();
        }
    });
    // they come at any moment of the writing
    let mut listeners = Vec::new();
    for after in [0_u64, 1, 7, 39, 43] {
        let mut listener = Listener::open(&site, &format!("?after={after}"), None).await;
        listeners.push((after, listener.next().await, listener));
        tokio::task::yield_now().await;
    }
    for (after, first, mut listener) in listeners {
        let mut heard = vec![first];
        if first < last {
            heard.extend(listener.until(last).await);
        }
        assert_eq!(
            heard,
            (after + 1..=last).collect::<Vec<_>>(),
            "after {after}"
        );
    }
    writer.await.unwrap();
}

#[tokio::test]
async fn more_than_one_chunk_of_the_past_is_told_in_order() {
    let site = Site::open().await;
    let handle = site.running.handle.clone();
    for _ in 0..600 {
        handle.act(point_at("stem.1")).await.unwrap().unwrap();
    }
    let mut listener = Listener::open(&site, "?after=0", None).await;
    assert_eq!(listener.until(603).await, (1..=603).collect::<Vec<_>>());
}

/// What a tool shows during a pull, in µ of nothing: only the number counts here.
fn show(site: &Site, milli: i64) {
    let seen = crate::intake::seen::Seen {
        torque: Some(pullmark_schema::quantity::Torque::from_small_units(milli)),
        ..Default::default()
    };
    let live = crate::run::Message::Live(crate::testing::WRENCH.to_owned(), Some(seen));
    site.running.handle.messages.send(live).unwrap();
}

/// The numbers of the values in a text of events.
fn numbers(text: &str) -> Vec<u64> {
    let values = text
        .split("\n\n")
        .filter(|event| event.contains("event: live"));
    let data = values.filter_map(|event| {
        assert!(!event.contains("id:"), "nobody resumes after it: {event}");
        event.lines().find_map(|line| line.strip_prefix("data: "))
    });
    data.map(|data| {
        serde_json::from_str::<pullmark_schema::api::LiveValue>(data)
            .unwrap()
            .number
    })
    .collect()
}

#[tokio::test]
async fn a_slow_listener_is_shown_the_newest_values_and_every_entry_and_the_others_no_value() {
    let site = Site::open().await;
    let mut slow = Listener::open(&site, "?live=true", None).await;
    let mut other = Listener::open(&site, "", None).await;
    for n in 0..500 {
        show(&site, 1_000 + n);
    }
    site.pull(9_000).await;
    // Asked after all of them, so that all have been told.
    let last = site
        .running
        .handle
        .look(|heart| heart.head().0 - 1)
        .await
        .unwrap();
    while !(slow.text.contains(&format!("id: {last}\n"))
        && numbers(&slow.text).last() == Some(&500))
    {
        let more = tokio::time::timeout(PATIENCE, slow.body.next()).await;
        slow.text
            .push_str(std::str::from_utf8(&more.unwrap().unwrap().unwrap()).unwrap());
    }
    let told = numbers(&slow.text);
    assert!(told.len() <= 33, "{} were kept for it", told.len());
    assert!(told.windows(2).all(|pair| pair[0] < pair[1]), "{told:?}");
    other.until(last).await;
    assert!(!other.text.contains("event: live"));
    // Nobody looks any more: nothing is kept.
    drop(slow);
    assert_eq!(site.running.handle.live.receiver_count(), 0);
}
