//! The routes, asked without a socket.

mod events;
mod life;
mod plans;

use super::{Guard, document, guarded, router};
use crate::testing::{BUILD, MARA, PLAN, Running, shows};
use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Request, StatusCode, header};
use pullmark_schema::api::{Act, BenchView, BuildView, Done, Problem, ReadingRow};
use pullmark_schema::entry::{Decision, Entry};
use pullmark_schema::record;
use serde_json::{Value, json};
use tempfile::TempDir;
use tower::ServiceExt as _;

struct Answer {
    status: StatusCode,
    headers: HeaderMap,
    body: Vec<u8>,
}

impl Answer {
    fn json<T: serde::de::DeserializeOwned>(&self) -> T {
        serde_json::from_slice(&self.body)
            .unwrap_or_else(|error| panic!("{error}: {}", self.text()))
    }

    fn text(&self) -> String {
        String::from_utf8(self.body.clone()).unwrap()
    }

    fn header(&self, name: &header::HeaderName) -> &str {
        self.headers
            .get(name)
            .map_or("", |value| value.to_str().unwrap())
    }

    /// A problem in its form, and its code.
    #[track_caller]
    fn problem(&self) -> String {
        assert_eq!(
            self.header(&header::CONTENT_TYPE),
            "application/problem+json",
            "{} {}",
            self.status,
            self.text()
        );
        let problem: Problem = self.json();
        assert_eq!(problem.status, self.status.as_u16());
        assert!(!problem.detail.is_empty());
        problem.code
    }
}

/// A bench that runs, with a build, and its routes.
struct Site {
    _folder: TempDir,
    running: Running,
    routes: Router,
}

impl Site {
    async fn open() -> Self {
        let made = tokio::task::spawn_blocking(|| {
            let folder = tempfile::tempdir().unwrap();
            let running = Running::with(folder.path(), PLAN);
            (folder, running)
        });
        let (folder, running) = made.await.unwrap();
        let routes = router(running.handle.clone());
        Self {
            _folder: folder,
            running,
            routes,
        }
    }

    async fn ask(&self, request: Request<Body>) -> Answer {
        ask(&self.routes, request).await
    }

    async fn get(&self, path: &str) -> Answer {
        self.ask(Request::get(path).body(Body::empty()).unwrap())
            .await
    }

    async fn act(&self, act: &Act) -> Answer {
        self.ask(post(serde_json::to_vec(act).unwrap())).await
    }

    async fn must(&self, act: Act) -> Done {
        let answer = self.act(&act).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
        answer.json()
    }

    async fn pull(&self, small: i64) {
        self.running.tool(crate::testing::from_wrench(shows(small)));
        self.running.handle.look(|_| ()).await.unwrap();
    }
}

async fn ask(routes: &Router, request: Request<Body>) -> Answer {
    let (parts, body) = routes.clone().oneshot(request).await.unwrap().into_parts();
    let body = axum::body::to_bytes(body, 16 << 20).await.unwrap().to_vec();
    Answer {
        status: parts.status,
        headers: parts.headers,
        body,
    }
}

fn post(body: impl Into<Body>) -> Request<Body> {
    Request::post("/v1/acts")
        .header(header::CONTENT_TYPE, "application/json")
        .body(body.into())
        .unwrap()
}

fn point_at(fastener: &str) -> Act {
    Act::PointAt {
        build: BUILD.to_owned(),
        fastener: fastener.to_owned(),
        by: MARA.to_owned(),
    }
}

async fn finish_and_seal(site: &Site) {
    site.pull(5_000).await;
    let view: BuildView = site.get("/v1/builds/ferry").await.json();
    let ids = view
        .stages
        .iter()
        .flat_map(|stage| &stage.fasteners)
        .map(|fastener| fastener.id.clone())
        .skip(1);
    for fastener in ids {
        let (build, by, reason) = (BUILD.to_owned(), MARA.to_owned(), "next week".to_owned());
        site.must(Act::Defer {
            build,
            fastener,
            by,
            reason,
            waits_for: None,
        })
        .await;
    }
    site.must(Act::Finish {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        sure: None,
    })
    .await;
    site.must(Act::Seal {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
    })
    .await;
}

#[tokio::test]
async fn the_bench_is_shown() {
    let site = Site::open().await;
    let answer = site.get("/v1/bench").await;
    assert_eq!(
        (answer.status, answer.header(&header::CONTENT_TYPE)),
        (StatusCode::OK, "application/json")
    );
    let bench: BenchView = answer.json();
    assert_eq!(
        (
            bench.bench.as_str(),
            bench.sequence,
            bench.builds.len(),
            bench.tools.len()
        ),
        ("bench-1", 4, 1, 1)
    );
    assert_eq!(bench.cautions.len(), record::CAUTIONS.len());
    let build: BuildView = site.get("/v1/builds/ferry").await.json();
    assert_eq!(build, bench.builds[0]);
    assert_eq!(build.next.unwrap().fastener, "seat.clamp");
}

#[tokio::test]
async fn an_over_reading_is_in_the_view_at_once() {
    let site = Site::open().await;
    site.pull(9_000).await;
    let build: BuildView = site.get("/v1/builds/ferry").await.json();
    let alarm = &build.alarms[0];
    assert_eq!((alarm.sequence, alarm.fastener.as_str()), (5, "seat.clamp"));
    assert_eq!(
        (alarm.displayed.as_deref(), alarm.upper_millinewton_metre),
        (Some("9.000 N·m"), 5_500)
    );
    let rows: Vec<ReadingRow> = site.get("/v1/readings?build=ferry&most=5").await.json();
    assert!(rows[0].alarm);
}

#[tokio::test]
async fn acts_are_done_or_refused_with_the_reason() {
    let site = Site::open().await;
    let done = site.must(point_at("crank.left")).await;
    assert_eq!(
        done,
        Done {
            entries: vec![5],
            build: Some(BUILD.to_owned()),
            said: Vec::new(),
        }
    );
    let entry: Entry = site.get("/v1/entries/5").await.json();
    assert_eq!((entry.sequence, entry.event.kind()), (5, "pointed-at"));

    let dispose = Act::Dispose {
        build: BUILD.to_owned(),
        fastener: "seat.clamp".to_owned(),
        decision: Decision::PartReplaced,
        by: MARA.to_owned(),
        reason: "x".to_owned(),
    };
    let unknown = Act::Finish {
        build: "nobody's".to_owned(),
        by: MARA.to_owned(),
        sure: None,
    };
    for (act, status, code) in [
        (point_at("seat.bolt"), 404, "fastener/not-known"),
        (unknown, 404, "build/not-known"),
        (dispose, 422, "fastener/nothing-to-decide"),
        (
            crate::testing::start_build(BUILD, PLAN),
            422,
            "build/name-taken",
        ),
        (
            Act::Seal {
                build: BUILD.to_owned(),
                by: MARA.to_owned(),
            },
            422,
            "build/not-finished",
        ),
        (
            Act::Finish {
                build: BUILD.to_owned(),
                by: MARA.to_owned(),
                sure: None,
            },
            422,
            "build/still-open",
        ),
    ] {
        let answer = site.act(&act).await;
        assert_eq!(
            (answer.status.as_u16(), answer.problem().as_str()),
            (status, code)
        );
    }
    let answer = site
        .act(&crate::testing::start_build("second", "title = 1"))
        .await;
    assert_eq!(answer.problem(), "plan/has-errors");
    assert!(
        !answer.json::<Problem>().findings.is_empty(),
        "the findings come along"
    );
    assert_eq!(
        site.running
            .handle
            .look(|heart| heart.head().0)
            .await
            .unwrap(),
        6,
        "what is refused writes nothing"
    );
}

#[tokio::test]
async fn what_is_no_act_is_refused() {
    let site = Site::open().await;
    for body in [
        "",
        "{",
        "[]",
        "null",
        r#"{"act":"explode"}"#,
        r#"{"act":"finish","build":"ferry"}"#,
    ] {
        let answer = site.ask(post(body)).await;
        assert_eq!(
            (answer.status.as_u16(), answer.problem().as_str()),
            (400, "act/not-readable"),
            "{body:?}"
        );
    }
    let unknown_field = r#"{"act":"finish","build":"ferry","by":"Mara","force":true}"#;
    assert_eq!(
        site.ask(post(unknown_field)).await.status,
        StatusCode::BAD_REQUEST
    );
}

#[tokio::test]
async fn a_body_that_is_too_large_is_refused() {
    let site = Site::open().await;
    let large = || vec![b' '; (2 << 20) + 1];
    let mut told = post(large());
    told.headers_mut()
        .insert(header::CONTENT_LENGTH, ((2 << 20) + 1).into());
    let chunks = tokio_stream::iter([Ok::<_, std::io::Error>(large())]);
    for request in [told, post(large()), post(Body::from_stream(chunks))] {
        let answer = site.ask(request).await;
        assert_eq!(
            (answer.status.as_u16(), answer.problem().as_str()),
            (413, "http/too-large")
        );
    }
    // what is just small enough is read, and is no act
    assert_eq!(
        site.ask(post(vec![b' '; 2 << 20])).await.problem(),
        "act/not-readable"
    );
}

#[tokio::test]
async fn every_error_is_a_problem() {
    let site = Site::open().await;
    for (path, status, code) in [
        ("/v1/nothing", 404, "http/not-found"),
        ("/", 200, ""),
        ("/v1/", 404, "http/not-found"),
        ("/v1/builds/nobodys", 404, "build/not-known"),
        ("/v1/builds/ferry/record", 404, "record/not-sealed"),
        ("/v1/builds/ferry/readings.csv", 404, "record/not-sealed"),
        ("/v1/entries/99", 404, "entry/not-known"),
        ("/v1/entries/18446744073709551615", 404, "entry/not-known"),
        ("/v1/entries/0/attached", 404, "entry/not-known"),
        ("/v1/entries/first", 400, "http/not-readable"),
        ("/v1/entries/-1", 400, "http/not-readable"),
        ("/v1/readings?colour=red", 400, "http/not-readable"),
        ("/v1/readings?most=many", 400, "http/not-readable"),
        ("/v1/events?after=yesterday", 400, "http/not-readable"),
        ("/v1/acts", 405, "http/method-not-allowed"),
    ] {
        let answer = site.get(path).await;
        assert_eq!(answer.status.as_u16(), status, "{path}: {}", answer.text());
        if status != 200 {
            assert_eq!(answer.problem(), code, "{path}");
        }
    }
    assert_eq!(site.get("/v1/acts").await.header(&header::ALLOW), "POST");
}

#[tokio::test]
async fn a_daemon_that_goes_down_says_so() {
    let site = Site::open().await;
    let Site {
        _folder,
        running,
        routes,
    } = site;
    tokio::task::spawn_blocking(|| running.close().unwrap())
        .await
        .unwrap();
    for request in [
        Request::get("/v1/bench").body(Body::empty()).unwrap(),
        Request::get("/metrics").body(Body::empty()).unwrap(),
        Request::get("/v1/readings").body(Body::empty()).unwrap(),
        post(serde_json::to_vec(&point_at("stem.1")).unwrap()),
    ] {
        let answer = ask(&routes, request).await;
        assert_eq!(
            (answer.status.as_u16(), answer.problem().as_str()),
            (503, "daemon/going-down")
        );
    }
}

#[tokio::test]
#[expect(clippy::too_many_lines, reason = "tables of hosts and origins")]
async fn only_this_machine_and_its_page_reach_in() {
    let site = Site::open().await;
    let routes = guarded(site.running.handle.clone(), Guard::loopback(8460));
    let request = |method: &str, host: Option<&str>, origin: Option<&str>, kind: Option<&str>| {
        let path = if method == "POST" {
            "/v1/acts"
        } else {
            "/v1/bench"
        };
        let mut request = Request::builder().method(method).uri(path);
        for (name, value) in [
            (header::HOST, host),
            (header::ORIGIN, origin),
            (header::CONTENT_TYPE, kind),
        ] {
            if let Some(value) = value {
                request = request.header(name, value);
            }
        }
        request
            .body(Body::from(serde_json::to_vec(&point_at("stem.1")).unwrap()))
            .unwrap()
    };
    let own = Some("127.0.0.1:8460");
    let json = Some("application/json");
    for host in [
        "127.0.0.1:8460",
        "localhost:8460",
        "LOCALHOST:8460",
        "[::1]:8460",
    ] {
        assert_eq!(
            ask(&routes, request("GET", Some(host), None, None))
                .await
                .status,
            200,
            "{host}"
        );
    }
    for host in [
        None,
        Some("bikes.example"),
        Some("127.0.0.1"),
        Some("127.0.0.1:80"),
        Some("127.0.0.1:8460.example"),
        Some("192.168.1.5:8460"),
        Some(""),
    ] {
        let answer = ask(&routes, request("GET", host, None, None)).await;
        assert_eq!(
            (answer.status.as_u16(), answer.problem().as_str()),
            (421, "http/other-host"),
            "{host:?}"
        );
    }
    for origin in [
        "http://127.0.0.1:8460",
        "http://localhost:8460",
        "http://[::1]:8460",
    ] {
        assert_eq!(
            ask(&routes, request("POST", own, Some(origin), json))
                .await
                .status,
            200,
            "{origin}"
        );
    }
    for origin in [
        "null",
        "",
        "https://127.0.0.1:8460",
        "http://127.0.0.1:8461",
        "http://bikes.example",
        "http://127.0.0.1:8460.example",
        "http://127.0.0.1",
    ] {
        for method in ["GET", "POST"] {
            let answer = ask(&routes, request(method, own, Some(origin), json)).await;
            assert_eq!(
                (answer.status.as_u16(), answer.problem().as_str()),
                (403, "http/other-origin"),
                "{origin:?}"
            );
        }
    }
    for kind in [
        None,
        Some("text/plain"),
        Some("application/x-www-form-urlencoded"),
        Some("multipart/form-data; boundary=x"),
    ] {
        let answer = ask(&routes, request("POST", own, None, kind)).await;
        assert_eq!(
            (answer.status.as_u16(), answer.problem().as_str()),
            (415, "http/not-json"),
            "{kind:?}"
        );
    }
    assert_eq!(
        ask(
            &routes,
            request("POST", own, None, Some("application/json; charset=utf-8"))
        )
        .await
        .status,
        200
    );
}

#[tokio::test]
async fn the_page_may_load_nothing_from_elsewhere() {
    let site = Site::open().await;
    for (path, kind) in [
        ("/", "text/html"),
        ("/page.css", "text/css"),
        ("/page.js", "text/javascript"),
    ] {
        let answer = site.get(path).await;
        assert_eq!(answer.status, StatusCode::OK, "{path}");
        assert!(
            answer.header(&header::CONTENT_TYPE).starts_with(kind),
            "{path}"
        );
        let policy = answer.header(&header::CONTENT_SECURITY_POLICY);
        for part in [
            "default-src 'none'",
            "script-src 'self'",
            "connect-src 'self'",
            "frame-ancestors 'none'",
            "base-uri 'none'",
        ] {
            assert!(
                policy.split("; ").any(|found| found == part),
                "{part} is not in {policy:?}"
            );
        }
        assert!(!policy.contains("unsafe"), "{policy}");
        assert_eq!(answer.header(&header::X_CONTENT_TYPE_OPTIONS), "nosniff");
    }
}

#[tokio::test]
async fn a_record_is_given_out_as_it_was_signed() {
    let site = Site::open().await;
    finish_and_seal(&site).await;
    let answer = site.get("/v1/builds/ferry/record").await;
    assert_eq!(answer.header(&header::CONTENT_TYPE), "application/vc");
    let verified = record::verify(&answer.body).unwrap();
    assert_eq!(verified.record.subject.build, BUILD);
    let table = site.get("/v1/builds/ferry/readings.csv").await;
    assert_eq!(
        table.header(&header::CONTENT_TYPE),
        "text/csv; charset=utf-8; header=present"
    );
    assert_eq!(
        table.text(),
        crate::export::readings_csv(&verified.record).unwrap()
    );
    let plan = site.get("/v1/entries/3/attached").await;
    assert_eq!(
        (plan.header(&header::CONTENT_TYPE), plan.text().as_str()),
        ("application/octet-stream", PLAN)
    );
}

/// Every `$ref` of a document.
fn references(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            if let Some(Value::String(reference)) = map.get("$ref") {
                found.push(reference.clone());
            }
            map.values().for_each(|value| references(value, found));
        }
        Value::Array(list) => list.iter().for_each(|value| references(value, found)),
        _ => {}
    }
}

#[tokio::test]
async fn the_api_document_names_what_there_is() {
    let site = Site::open().await;
    let answer = site.get("/v1/openapi.json").await;
    let document: Value = answer.json();
    assert_eq!(document, self::document());
    assert_eq!(document["openapi"], json!("3.1.0"));
    let paths = document["paths"].as_object().unwrap();
    assert!(paths.len() >= 12);
    for (path, methods) in paths {
        let address = path.replace("{build}", BUILD).replace("{sequence}", "0");
        for method in methods.as_object().unwrap().keys() {
            let request = if method == "post" {
                post("{}")
            } else {
                Request::get(&address).body(Body::empty()).unwrap()
            };
            let response = site.routes.clone().oneshot(request).await.unwrap();
            let status = response.status();
            assert_ne!(status, StatusCode::METHOD_NOT_ALLOWED, "{method} {path}");
            if status == StatusCode::NOT_FOUND {
                let body = axum::body::to_bytes(response.into_body(), 1 << 20)
                    .await
                    .unwrap();
                let problem: Problem = serde_json::from_slice(&body).unwrap();
                assert_ne!(problem.code, "http/not-found", "{method} {path}");
            }
            let named = path.matches('{').count();
            let parameters = methods[method]["parameters"]
                .as_array()
                .cloned()
                .unwrap_or_default();
            assert_eq!(
                parameters
                    .iter()
                    .filter(|parameter| parameter["in"] == "path")
                    .count(),
                named,
                "{path}"
            );
        }
    }
    let mut found = Vec::new();
    references(&document, &mut found);
    assert!(found.len() > 20);
    for reference in found {
        let pointer = reference
            .strip_prefix('#')
            .unwrap_or_else(|| panic!("{reference} points outside"));
        assert!(
            document.pointer(pointer).is_some(),
            "{reference} points nowhere"
        );
    }
}

#[tokio::test]
async fn ports_are_told_with_why_there_are_none() {
    let site = Site::open().await;
    let answer = site.get("/v1/ports").await;
    let ports: Value = answer.json();
    assert!(ports["serial"].is_array());
    let has_none = ports["bluetooth"].as_array().unwrap().is_empty();
    assert_eq!(ports["bluetooth_problem"].is_string(), has_none, "{ports}");
}

#[tokio::test]
async fn the_figures_for_a_monitor_agree_with_the_bench() {
    let site = Site::open().await;
    site.pull(9_000).await;
    let answer = site.get("/metrics").await;
    assert!(
        answer
            .header(&header::CONTENT_TYPE)
            .starts_with("application/openmetrics-text")
    );
    let text = answer.text();
    let mut lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.pop(), Some("# EOF"));
    let mut figures = Vec::new();
    for line in lines {
        if let Some(comment) = line.strip_prefix("# ") {
            assert!(
                comment.starts_with("HELP pullmark_") || comment.starts_with("TYPE pullmark_"),
                "{line}"
            );
            continue;
        }
        let (name, value) = line.split_once(' ').unwrap();
        figures.push((name.to_owned(), value.parse::<u64>().unwrap()));
    }
    let expected = [
        ("pullmark_ledger_entries", 6),
        ("pullmark_builds_open", 1),
        ("pullmark_readings_held", 1),
        ("pullmark_alarms_open", 1),
        ("pullmark_tools_connected", 0),
    ];
    assert_eq!(
        figures,
        expected.map(|(name, value)| (name.to_owned(), value))
    );
}
