//! HTTP from outside: who is let in, what is answered, and that listeners miss nothing.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::Act;
use pullmark_tests::{Answer, Http, MECHANIC, Shop, Stand, ledger, plans, stand};
use serde_json::Value;
use std::io::{Read as _, Write as _};

fn ask(http: &Http, method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Answer {
    http.request(method, path, headers, body).unwrap()
}

#[track_caller]
fn is_problem(answer: &Answer, status: u16, code: &str) {
    assert_eq!(answer.status, status, "{}", answer.text());
    assert_eq!(
        answer.header("content-type"),
        Some("application/problem+json"),
        "RFC 9457"
    );
    let problem = answer.json();
    assert_eq!(problem["type"], code);
    assert_eq!(problem["status"], status);
    assert!(
        problem["detail"]
            .as_str()
            .is_some_and(|detail| !detail.is_empty()),
        "{problem}"
    );
}

const JSON: (&str, &str) = ("Content-Type", "application/json");

#[test]
fn a_request_for_another_host_is_refused() {
    let shop = Shop::open();
    let port = shop.address().port();
    for host in [
        "example.org",
        "example.org:80",
        "bench.local",
        "127.0.0.1",
        "127.0.0.1:1",
        &format!("127.0.0.2:{port}"),
        "",
    ] {
        let answer = ask(&shop.page(), "GET", "/v1/bench", &[("Host", host)], b"");
        is_problem(&answer, 421, "http/other-host");
    }
    for host in [
        format!("localhost:{port}"),
        format!("LOCALHOST:{port}"),
        format!("127.0.0.1:{port}"),
        format!("[::1]:{port}"),
    ] {
        assert_eq!(
            ask(&shop.page(), "GET", "/v1/bench", &[("Host", &host)], b"").status,
            200,
            "{host}"
        );
    }
}

#[test]
fn a_page_of_another_origin_is_refused() {
    let shop = Shop::open();
    let port = shop.address().port();
    let act = br#"{"act":"finish","build":"x","by":"y"}"#;
    for origin in [
        "https://example.org",
        "null",
        "http://example.org",
        &format!("https://localhost:{port}"),
        "http://localhost",
        &format!("http://localhost:{port}.example.org"),
    ] {
        is_problem(
            &ask(&shop.page(), "GET", "/v1/bench", &[("Origin", origin)], b""),
            403,
            "http/other-origin",
        );
        is_problem(
            &ask(
                &shop.page(),
                "POST",
                "/v1/acts",
                &[("Origin", origin), JSON],
                act,
            ),
            403,
            "http/other-origin",
        );
    }
    let own = format!("http://localhost:{port}");
    is_problem(
        &ask(
            &shop.page(),
            "POST",
            "/v1/acts",
            &[("Origin", &own), JSON],
            act,
        ),
        404,
        "build/not-known",
    );
    assert_eq!(
        ledger::rows(&shop.data()).len(),
        2,
        "nothing came of any of it"
    );
}

/// Forms and plain text are what a page elsewhere can send without being asked first (Fetch, CORS-safelisted).
#[test]
fn an_act_that_is_not_json_is_refused() {
    let mut stand = Stand::begin(plans::SMALL);
    let next = stand.look().next.unwrap();
    stand.do_next(&next);
    let before = ledger::rows(&stand.shop.data()).len();
    let act = serde_json::to_vec(&Act::Prepare {
        build: "ferry".to_owned(),
        fastener: "seat.clamp".to_owned(),
        by: "M".to_owned(),
    });
    let act = act.unwrap();
    for kind in [
        "text/plain",
        "application/x-www-form-urlencoded",
        "multipart/form-data; boundary=x",
    ] {
        let answer = ask(
            &stand.shop.page(),
            "POST",
            "/v1/acts",
            &[("Content-Type", kind)],
            &act,
        );
        is_problem(&answer, 415, "http/not-json");
    }
    is_problem(
        &ask(&stand.shop.page(), "POST", "/v1/acts", &[], &act),
        415,
        "http/not-json",
    );
    assert_eq!(ledger::rows(&stand.shop.data()).len(), before);
    assert_eq!(
        ask(&stand.shop.page(), "POST", "/v1/acts", &[JSON], &act).status,
        200
    );
    assert_eq!(ledger::rows(&stand.shop.data()).len(), before + 1);
}

#[test]
fn acts_that_cannot_be_read_or_done_are_problems() {
    let shop = Shop::open();
    for body in [
        "",
        "{",
        "[]",
        "{}",
        "null",
        r#"{"act":"explode"}"#,
        r#"{"act":"finish","build":"x","by":"y","colour":1}"#,
        "\u{0}",
    ] {
        is_problem(
            &ask(&shop.http(), "POST", "/v1/acts", &[JSON], body.as_bytes()),
            400,
            "act/not-readable",
        );
    }
    let deep = "[".repeat(100_000);
    is_problem(
        &ask(&shop.http(), "POST", "/v1/acts", &[JSON], deep.as_bytes()),
        400,
        "act/not-readable",
    );
    is_problem(
        &ask(&shop.http(), "POST", "/v1/acts", &[JSON], &[0xff, 0xfe]),
        400,
        "act/not-readable",
    );
    for (path, code) in [
        ("/nothing", "http/not-found"),
        ("/v1/builds/none", "build/not-known"),
        ("/v1/builds/none/record", "record/not-sealed"),
        ("/v1/entries/99", "entry/not-known"),
        ("/v1/entries/0/attached", "entry/not-known"),
    ] {
        is_problem(&ask(&shop.http(), "GET", path, &[], b""), 404, code);
    }
    let long = Act::Finish {
        build: "x".repeat(3 << 20),
        by: "y".to_owned(),
        sure: None,
    };
    let body = serde_json::to_vec(&long).unwrap();
    // The daemon may close the connection before it has read what is too long.
    if let Ok(answer) = shop.http().post("/v1/acts", &body) {
        assert!(matches!(answer.status, 400 | 413), "{}", answer.status);
    }
    shop.pullmark(["build", "list"]).ok();
    assert_eq!(
        ledger::rows(&shop.data()).len(),
        2,
        "nothing came of any of it"
    );
}

#[test]
fn bytes_that_are_no_http_do_not_disturb_the_bench() {
    let shop = Shop::open();
    for bytes in [
        b"\x16\x03\x01\x02\x00\x01\x00".as_slice(),
        b"GET\r\n\r\n",
        b"\r\n\r\n\r\n",
        &[0; 4096],
        b"GET / HTTP/9.9\r\n\r\n",
    ] {
        let mut stream = std::net::TcpStream::connect(shop.address()).unwrap();
        stream
            .set_read_timeout(Some(pullmark_tests::PATIENCE))
            .unwrap();
        // The daemon may hang up at the first byte that is wrong.
        let _ = stream
            .write_all(bytes)
            .and_then(|()| stream.shutdown(std::net::Shutdown::Write));
        let mut answer = Vec::new();
        // A reset is as good an answer as a status.
        let _ = stream.read_to_end(&mut answer);
        assert!(
            answer.is_empty() || answer.starts_with(b"HTTP/1.1 4"),
            "{}",
            String::from_utf8_lossy(&answer)
        );
    }
    shop.page().get("/v1/bench");
}

#[test]
fn a_listener_resumes_over_a_restart_without_gap_or_double() {
    let mut stand = Stand::begin(plans::SMALL);
    let next = stand.look().next.unwrap();
    stand.do_next(&next);
    let heard_so_far = ledger::rows(&stand.shop.data()).len() as u64;
    let mut first = stand.shop.page().events(Some(0)).unwrap();
    let mut heard: Vec<u64> = (0..heard_so_far / 2)
        .map(|_| first.hear().unwrap().sequence)
        .collect();
    drop(first);
    assert_eq!(stand.shop.terminate(), Some(0));
    stand.shop.start();
    // A listener of the page comes back to the same port; here the port is another one, and the number is the same.
    let mut second = stand.shop.page().events(heard.last().copied()).unwrap();
    stand.shop.act(&Act::PointAt {
        build: stand.build.clone(),
        fastener: "seat.clamp".to_owned(),
        by: MECHANIC.to_owned(),
    });
    let rest = second.wait_for(|entry| entry.kind == "pointed-at");
    for entry in &rest {
        let stored = stand
            .shop
            .http()
            .get(&format!("/v1/entries/{}", entry.sequence))
            .body;
        assert_eq!(entry.body, stored, "what is heard is what is stored");
        assert_eq!(entry.entry().event.kind(), entry.kind);
    }
    heard.extend(rest.iter().map(|entry| entry.sequence));
    assert_eq!(heard, (1..=*heard.last().unwrap()).collect::<Vec<_>>());
}

#[test]
fn many_listeners_hear_the_same_and_one_that_hears_nothing_disturbs_nobody() {
    let mut stand = Stand::begin(plans::SMALL);
    let _deaf: Vec<_> = (0..20)
        .map(|_| stand.shop.page().events(Some(0)).unwrap())
        .collect();
    let mut listeners: Vec<_> = (0..5)
        .map(|_| stand.shop.page().events(Some(0)).unwrap())
        .collect();
    stand.work_to_the_end();
    stand.finish();
    let all: Vec<_> = listeners
        .iter_mut()
        .map(|events| events.wait_for(|entry| entry.kind == "head-signed"))
        .collect();
    assert!(all.windows(2).all(|pair| pair[0] == pair[1]));
    // All but the first entry, from after which they listen, and the second head after the seal.
    assert_eq!(all[0].len() + 2, ledger::rows(&stand.shop.data()).len());
}

#[test]
fn the_api_document_is_whole() {
    let shop = Shop::open();
    let document = shop.page().get("/v1/openapi.json").json();
    assert_eq!(document["openapi"], "3.1.0");
    let mut references = Vec::new();
    collect_references(&document, &mut references);
    assert!(
        references.len() > 30,
        "only {} references",
        references.len()
    );
    for reference in &references {
        let pointer = reference
            .strip_prefix('#')
            .unwrap_or_else(|| panic!("{reference} leads elsewhere"));
        assert!(
            document.pointer(pointer).is_some(),
            "{reference} leads nowhere"
        );
    }
    let paths = document["paths"].as_object().unwrap();
    for (path, methods) in paths
        .iter()
        .filter(|(_, methods)| methods.get("get").is_some())
    {
        let path = path.replace("{build}", "none").replace("{sequence}", "0");
        if path == "/v1/events" {
            continue;
        }
        let answer = ask(&shop.http(), "GET", &path, &[], b"");
        assert_ne!(
            answer.json_code(),
            Some("http/not-found".to_owned()),
            "{path} is in the document and not served"
        );
        let said = methods["get"]["responses"]["200"]["content"]
            .as_object()
            .unwrap();
        if answer.status == 200 {
            let kind = answer.header("content-type").unwrap();
            assert!(
                said.keys().any(|media| kind.starts_with(media.as_str())),
                "{path}: {kind}"
            );
        }
    }
}

/// The code of a problem, where it is one.
trait JsonCode {
    fn json_code(&self) -> Option<String>;
}

impl JsonCode for Answer {
    fn json_code(&self) -> Option<String> {
        let problem: Value = serde_json::from_slice(&self.body).ok()?;
        problem.get("type")?.as_str().map(str::to_owned)
    }
}

fn collect_references(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            for (name, member) in members {
                match (name.as_str(), member) {
                    ("$ref", Value::String(reference)) => found.push(reference.clone()),
                    _ => collect_references(member, found),
                }
            }
        }
        Value::Array(items) => items
            .iter()
            .for_each(|item| collect_references(item, found)),
        _ => {}
    }
}

#[test]
fn what_is_answered_is_as_the_document_says() {
    let mut stand = Stand::begin(plans::SMALL);
    stand.work_to_the_end();
    stand.finish();
    let document = stand.shop.page().get("/v1/openapi.json").json();
    for path in [
        "/v1/bench",
        "/v1/builds/ferry",
        "/v1/builds/ferry/record",
        "/v1/builds/ferry/record-file",
        "/v1/keys",
        "/v1/readings",
        "/v1/ports",
        "/v1/entries/3",
    ] {
        let template = path
            .replace("ferry", "{build}")
            .replace("entries/3", "entries/{sequence}");
        let content = &document["paths"][&template]["get"]["responses"]["200"]["content"];
        let said = content.as_object().unwrap().values().next().unwrap()["schema"].clone();
        let schema = serde_json::json!({ "allOf": [said], "components": document["components"] });
        let validator = jsonschema::validator_for(&schema).unwrap();
        let mut answer = stand.shop.http().get(path).json();
        if let Some(members) = answer.as_object_mut().filter(|_| path.ends_with("record")) {
            // The schema is that of the document that is signed; the proof comes on top.
            members.remove("proof").unwrap();
        }
        let wrong: Vec<String> = validator
            .iter_errors(&answer)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(wrong.is_empty(), "{path}: {wrong:?}");
    }
}

#[test]
fn the_page_comes_with_a_policy_that_lets_nothing_else_in() {
    let shop = Shop::open();
    // Everything that the page names, and everything that its scripts import.
    let mut paths = vec!["/".to_owned()];
    let mut seen = 0;
    while let Some(path) = paths.get(seen).cloned() {
        let answer = shop.page().get(&path);
        comes_with_the_policy(&path, &answer);
        for name in named_in(&answer.text()) {
            if !paths.contains(&name) {
                paths.push(name);
            }
        }
        seen += 1;
    }
    assert!(paths.iter().any(|path| path == "/page.css"), "{paths:?}");
    assert!(paths.len() > 5, "{paths:?}");
    let page = shop.page().get("/").text();
    let blocked = ["<style", "style=\"", " onclick"];
    assert!(
        !blocked.iter().any(|what| page.contains(what)),
        "the policy would block it"
    );
}

fn comes_with_the_policy(path: &str, answer: &Answer) {
    let kind = match path.rsplit_once('.') {
        Some((_, "js")) => "text/javascript",
        Some((_, "css")) => "text/css",
        _ => "text/html",
    };
    let header = |name| {
        answer
            .header(name)
            .unwrap_or_else(|| panic!("{path} has no {name}"))
    };
    assert!(header("content-type").starts_with(kind), "{path}");
    let policy = header("content-security-policy");
    assert!(policy.contains("default-src 'none'"), "{path}: {policy}");
    assert!(
        policy.contains("frame-ancestors 'none'"),
        "{path}: {policy}"
    );
    assert!(!policy.contains("unsafe"), "{path}: {policy}");
    assert_eq!(header("x-content-type-options"), "nosniff", "{path}");
    assert_eq!(header("referrer-policy"), "no-referrer", "{path}");
    let text = answer.text();
    assert!(
        !text.contains("https://"),
        "{path} asks somebody else for something"
    );
}

/// The files of the page that a file names between quotes.
fn named_in(text: &str) -> Vec<String> {
    let parts = text
        .split(['"', '\''])
        .map(|part| part.trim_start_matches("./"));
    let is_file = |part: &&str| {
        let stem = part
            .strip_suffix(".js")
            .or_else(|| part.strip_suffix(".css"));
        stem.is_some_and(|stem| {
            !stem.is_empty() && stem.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
        })
    };
    parts
        .filter(is_file)
        .map(|part| format!("/{part}"))
        .collect()
}

#[test]
fn figures_for_a_monitor_are_those_of_the_bench() {
    let mut stand = Stand::begin(plans::SMALL);
    let next = stand.look().next.unwrap();
    stand.prepare(&next);
    let over = stand.pull(4.0 * stand::aim(&next)).entry();
    let figures = stand.shop.page().get("/metrics");
    let value = |name: &str| {
        let text = figures.text();
        let line = text
            .lines()
            .find(|line| line.starts_with(&format!("pullmark_{name} ")))
            .map(str::to_owned);
        line.and_then(|line| line.rsplit(' ').next()?.parse::<u64>().ok())
            .unwrap_or_else(|| panic!("{name}: {text}"))
    };
    assert_eq!(value("ledger_entries"), over.sequence + 1);
    assert_eq!(
        (
            value("builds_open"),
            value("alarms_open"),
            value("tools_connected")
        ),
        (1, 1, 1)
    );
    assert!(
        figures.text().ends_with("# EOF\n"),
        "OpenMetrics 1.0: the last line"
    );
}

#[test]
fn only_loopback_is_listened_at() {
    let shop = Shop::open();
    assert!(shop.address().ip().is_loopback());
    let port = format!("{:04X}", shop.address().port());
    // proc(5): local address and port of every TCP socket, in hexadecimal.
    for table in ["/proc/net/tcp", "/proc/net/tcp6"] {
        let Ok(table) = std::fs::read_to_string(table) else {
            continue;
        };
        let listening = table.lines().filter_map(|line| {
            line.split_whitespace()
                .nth(1)
                .zip(line.split_whitespace().nth(3))
        });
        for (local, _) in listening
            .filter(|(local, state)| *state == "0A" && local.ends_with(&format!(":{port}")))
        {
            assert!(local.starts_with("0100007F:"), "listened at {local}");
        }
    }
}
