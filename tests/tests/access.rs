//! Attempts from outside: other people's pages, other people's devices, other people's PINs, and files and titles that are more
//! than they seem. A real daemon, over loopback, its socket and the network. Each comes to nothing, and each is in the log.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::{Act, ByWhom};
use pullmark_schema::entry::Event;
use pullmark_tests::house::{
    JSON, PIN, SECRETS, Tablet, code, confirmed, enter, events, is_refused, leaks_nothing, network,
    paired, post, seal, shop_on_the_network,
};
use pullmark_tests::{MECHANIC, Shop, Stand, plans};
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::os::unix::fs::PermissionsExt as _;
use std::time::{Duration, Instant};

/// The headers of a request.
type Headers<'h> = Vec<(&'h str, &'h str)>;

#[test]
fn a_device_that_is_not_paired_sees_a_field_for_the_code_and_nothing_else() {
    let shop = shop_on_the_network();
    let tablet = Tablet::at(&shop);
    for path in ["/", "/pair.js", "/pair.css"] {
        let answer = tablet.get(path);
        assert_eq!(answer.status, 200, "{path}");
        assert_eq!(answer.header("cache-control"), Some("no-store"));
        leaks_nothing(&answer);
    }
    for path in [
        "/v1/bench",
        "/v1/people",
        "/v1/events",
        "/v1/openapi.json",
        "/v1/keys",
        "/v1/devices",
        "/metrics",
        "/page.js",
        "/index.html",
        "/v1/photos/00",
        "/v1/no-such-thing",
        "/../keys/pins.json",
        "/v1/entries/0/attached",
    ] {
        let answer = tablet.get(path);
        is_refused(&answer, 401, "access/not-paired");
        leaks_nothing(&answer);
    }
    let act = Act::Finish {
        build: "x".into(),
        by: MECHANIC.into(),
        sure: None,
    };
    for path in [
        "/v1/acts",
        "/v1/photos?build=x&by=y",
        "/v1/people",
        "/v1/devices/pairing",
        "/v1/acts/confirmed",
    ] {
        let answer = tablet.post(path, &act);
        is_refused(&answer, 401, "access/not-paired");
        leaks_nothing(&answer);
    }
    for cookie in [
        "__Host-pullmark-device=",
        "__Host-pullmark-device=0",
        "device=x",
        ";;=;",
    ] {
        let answer = tablet
            .http
            .request("GET", "/v1/bench", &[("Cookie", cookie)], b"");
        is_refused(&answer.unwrap(), 401, "access/not-paired");
    }
    shop.wait_for_log_times("refused a device that is not paired", 22);
    shop.wait_for_log("path=\"/../keys/pins.json\"");
}

#[test]
fn plain_http_to_the_port_of_the_network_is_refused_in_words() {
    let shop = shop_on_the_network();
    let (_, network) = network(&shop);
    let mut stream = TcpStream::connect(network.address).unwrap();
    stream
        .set_read_timeout(Some(Duration::from_secs(10)))
        .unwrap();
    stream
        .write_all(b"GET /v1/bench HTTP/1.1\r\nHost: x\r\n\r\n")
        .unwrap();
    let mut said = String::new();
    stream.read_to_string(&mut said).unwrap();
    assert!(
        said.starts_with("HTTP/1.1 400 ") && said.contains("https://"),
        "{said}"
    );
    for secret in SECRETS {
        assert!(
            !said.to_lowercase().contains(&secret.to_lowercase()),
            "{said}"
        );
    }
    shop.wait_for_log("without TLS");
    assert_eq!(
        Tablet::at(&shop).get("/").status,
        200,
        "it still answers others"
    );
}

#[test]
fn a_code_pairs_one_device_once_and_three_wrong_ones_make_it_void() {
    let shop = shop_on_the_network();
    let good = code(&shop, "tablet at stand 2");
    let mut tablet = Tablet::at(&shop);
    tablet.pair(&good.to_lowercase().replace('-', " "));
    assert_eq!(tablet.get("/v1/bench").status, 200);
    assert!(
        tablet.get("/").text().contains("page.js"),
        "the bench page now"
    );

    let other = Tablet::at(&shop);
    let replayed = other.types(&good);
    is_refused(&replayed, 403, "access/code-refused");
    leaks_nothing(&replayed);
    shop.wait_for_log_times("refused a code that lets no device in", 1);
    let good = code(&shop, "phone");
    for wrong in ["", "AAAA-AAAA", &good[..8]] {
        let answer = other.types(wrong);
        is_refused(&answer, 403, "access/code-refused");
        leaks_nothing(&answer);
    }
    is_refused(&other.types(&good), 403, "access/code-refused");
    let large = "A".repeat(10_000);
    is_refused(&other.types(&large), 403, "access/code-refused");
    shop.wait_for_log_times("refused a code that lets no device in", 6);

    let paired: Vec<_> = events(&shop)
        .into_iter()
        .filter_map(|event| match event {
            Event::DevicePaired(paired) => Some((paired.name, paired.by)),
            _ => None,
        })
        .collect();
    assert_eq!(
        paired,
        [("tablet at stand 2".to_owned(), MECHANIC.to_owned())]
    );
    let token = tablet.cookie.unwrap();
    let token = token.split('=').nth(1).unwrap();
    for file in ["keys/devices.json", "keys/network.tls", "keys/pins.json"] {
        let path = shop.data().join(file);
        assert_eq!(
            std::fs::metadata(&path).unwrap().permissions().mode() & 0o777,
            0o600,
            "{file}"
        );
        assert!(
            !std::fs::read_to_string(path).unwrap().contains(token),
            "{file}"
        );
    }
    assert!(!shop.log().contains(token) && !shop.log().contains(&good));
}

#[test]
fn another_host_and_another_origin_are_refused_from_the_network_too() {
    let shop = shop_on_the_network();
    let tablet = paired(&shop, "tablet");
    let port = tablet.origin.rsplit(':').next().unwrap().to_owned();
    let cookie = ("Cookie", tablet.cookie.as_deref().unwrap());
    for host in [
        "example.org",
        "example.org:443",
        "127.0.0.1",
        "",
        &format!("example.org:{port}"),
        &format!("127.0.0.2:{port}"),
        &format!("127.0.0.1.example.org:{port}"),
    ] {
        let answer = tablet
            .http
            .request("GET", "/v1/bench", &[cookie, ("Host", host)], b"");
        let answer = answer.unwrap();
        is_refused(&answer, 421, "http/other-host");
        leaks_nothing(&answer);
    }
    let body = serde_json::to_vec(&seal(MECHANIC)).unwrap();
    let own = ("Origin", tablet.origin.as_str());
    let http = format!("http://127.0.0.1:{port}");
    let cases: [(&str, Headers<'_>, u16); 7] = [
        ("none", vec![JSON], 403),
        (
            "another",
            vec![JSON, ("Origin", "https://example.org")],
            403,
        ),
        ("null", vec![JSON, ("Origin", "null")], 403),
        ("without TLS", vec![JSON, ("Origin", &http)], 403),
        (
            "foreign site",
            vec![JSON, own, ("Sec-Fetch-Site", "cross-site")],
            403,
        ),
        (
            "a form",
            vec![own, ("Content-Type", "application/x-www-form-urlencoded")],
            415,
        ),
        ("text", vec![own, ("Content-Type", "text/plain")], 415),
    ];
    for (what, headers, status) in cases {
        let headers = [headers, vec![cookie]].concat();
        for path in ["/v1/acts", "/v1/photos?build=x&by=y"] {
            let answer = tablet.http.request("POST", path, &headers, &body).unwrap();
            assert_eq!(answer.status, status, "{what} {path}: {}", answer.text());
        }
    }
    is_refused(
        &tablet.post("/v1/acts", &seal(MECHANIC)),
        422,
        "person/needs-pin",
    );
    shop.wait_for_log_times("refused a request from another origin", 10);
    shop.wait_for_log_times("refused a request for another host", 7);
    shop.wait_for_log("origin=\"https://example.org\"");
    shop.wait_for_log("host=\"example.org\"");
}

#[test]
fn another_host_and_another_origin_are_refused_on_the_benchs_own_machine_too() {
    let shop = Shop::open();
    enter(&shop, MECHANIC, PIN, None);
    let port = shop.address().port();
    let act = serde_json::to_vec(&seal(MECHANIC)).unwrap();
    // A name elsewhere that was made to point here, and a page elsewhere in this machine's browser.
    for host in ["example.org", &format!("example.org:{port}")] {
        let answer = shop
            .page()
            .request("GET", "/v1/people", &[("Host", host)], b"");
        let answer = answer.unwrap();
        is_refused(&answer, 421, "http/other-host");
        leaks_nothing(&answer);
    }
    for origin in ["https://example.org", "null"] {
        let headers = [JSON, ("Origin", origin)];
        let answer = shop.page().request("POST", "/v1/acts", &headers, &act);
        let answer = answer.unwrap();
        is_refused(&answer, 403, "http/other-origin");
        leaks_nothing(&answer);
    }
    shop.wait_for_log_times("refused a request for another host", 2);
    shop.wait_for_log_times("refused a request from another origin", 2);
}

#[test]
fn a_revoked_device_is_out_at_once_also_of_a_stream_that_is_open() {
    let mut shop = shop_on_the_network();
    let tablet = paired(&shop, "tablet");
    let kept = paired(&shop, "kept");
    let mut stream = tablet.http.events_with(Some(0), &tablet.headers()).unwrap();
    stream.wait_for_kind("device-paired");
    let by = ByWhom {
        by: MECHANIC.into(),
        reason: Some("left on the train".into()),
    };
    let began = Instant::now();
    let answer = post(&shop.page(), "/v1/devices/tablet/revoke", &by);
    assert_eq!(answer.status, 200, "{}", answer.text());
    while stream.hear().is_ok() {}
    assert!(
        began.elapsed() < Duration::from_secs(5),
        "the stream ended by itself"
    );
    is_refused(&tablet.get("/v1/bench"), 401, "access/not-paired");
    assert!(tablet.http.events_with(None, &tablet.headers()).is_err());
    assert_eq!(kept.get("/v1/bench").status, 200);
    let revoked = events(&shop).into_iter().any(|event| matches!(event, Event::DeviceRevoked(revoked) if revoked.reason.as_deref() == Some("left on the train")));
    assert!(revoked);

    // What the file says counts only as far as the ledger says so too.
    let path = shop.data().join("keys/devices.json");
    let before = std::fs::read(&path).unwrap();
    post(
        &shop.page(),
        "/v1/devices/kept/revoke",
        &ByWhom { reason: None, ..by },
    );
    shop.terminate();
    std::fs::write(&path, before).unwrap();
    shop.start();
    let (http, _) = network(&shop);
    let answer = http
        .request("GET", "/v1/bench", &kept.headers(), b"")
        .unwrap();
    is_refused(&answer, 401, "access/not-paired");
}

#[test]
fn ten_thousand_tries_at_a_pin_get_nowhere_and_the_wait_outlives_a_start() {
    let mut shop = shop_on_the_network();
    enter(&shop, "Pia Holm", "7391", Some(MECHANIC));
    let http = shop.http();
    let mut codes = std::collections::BTreeMap::new();
    for pin in 0..10_000 {
        let answer = post(
            &http,
            "/v1/acts/confirmed",
            &confirmed(seal("Pia Holm"), &format!("{pin:04}")),
        );
        *codes
            .entry(answer.json()["type"].as_str().unwrap_or("done").to_owned())
            .or_insert(0) += 1;
    }
    assert_eq!(codes.get("done"), None, "7391 was among them: {codes:?}");
    assert_eq!(codes["person/wrong-pin"], 3, "{codes:?}");
    assert_eq!(codes["person/locked"], 9_997, "{codes:?}");
    let locks: Vec<_> = events(&shop)
        .into_iter()
        .filter_map(|event| match event {
            Event::PinLocked(lock) => Some((lock.person, lock.wrong, lock.seconds)),
            _ => None,
        })
        .collect();
    assert_eq!(locks, [("pia-holm".to_owned(), 3, 30)]);
    shop.wait_for_log_times("a wrong PIN", 3);
    shop.wait_for_log_times("a PIN was not looked at: there is a wait", 9_997);
    assert!(!shop.log().contains("pin="), "no PIN is in the log");

    shop.kill();
    shop.start();
    let answer = post(
        &shop.http(),
        "/v1/acts/confirmed",
        &confirmed(seal("Pia Holm"), "7391"),
    );
    is_refused(&answer, 429, "person/locked");
    assert!(answer.header("retry-after").is_some());
    // Others go on working.
    let answer = post(
        &shop.http(),
        "/v1/acts/confirmed",
        &confirmed(seal(MECHANIC), PIN),
    );
    is_refused(&answer, 404, "build/not-known");
}

#[test]
fn a_path_that_climbs_out_is_nothing() {
    let shop = shop_on_the_network();
    let tablet = paired(&shop, "tablet");
    let paths = [
        "/../keys/pins.json",
        "/%2e%2e/keys/bench.key",
        "/..%2fkeys%2fbench.key",
        "/v1/photos/..%2f..%2fkeys",
        "/v1/builds/..%2f..%2fkeys/record",
        "/v1/map/..%2fkeys",
    ];
    for path in paths {
        for answer in [
            shop.page().request("GET", path, &[], b"").unwrap(),
            tablet.get(path),
        ] {
            is_refused(&answer, 400, "http/bad-path");
            leaks_nothing(&answer);
        }
    }
    shop.wait_for_log_times("refused a path that climbs out", 2 * paths.len());
    shop.wait_for_log("path=\"/v1/builds/..%2f..%2fkeys/record\"");
    let answer = shop.page().request("GET", "//etc/passwd", &[], b"");
    is_refused(&answer.unwrap(), 404, "http/not-found");
    let outside = shop.write("outside.toml", plans::SMALL);
    let climbing = shop.data().join("../outside.toml");
    assert!(outside.exists());
    shop.pullmark(["plan", "check", climbing.to_str().unwrap()])
        .ok();
    // A plan crosses as text: the name of a file means nothing to the daemon.
    let act = Act::StartBuild {
        build: Some("../../keys/bench".into()),
        bike: pullmark_schema::entry::Bike {
            frame: "../../etc".into(),
            label: None,
        },
        plan: "../outside.toml".into(),
        by: MECHANIC.into(),
        tools: Vec::new(),
        follows: None,
        due: Vec::new(),
    };
    let (status, body) = shop.try_act(&act).unwrap();
    let said = String::from_utf8_lossy(&body);
    assert_eq!(status, 422, "{said}");
    assert!(!said.contains("Ferry"), "nothing of the file: {said}");
    shop.wait_for_log("an act was refused code=\"plan/");
}

#[test]
fn a_title_that_is_markup_is_text_in_every_view_of_the_record() {
    let markup = "<img src=x onerror=alert(1)>";
    let plan = plans::SMALL.replacen("title = \"", &format!("title = \"{markup} #emph[x] "), 3);
    let mut stand = Stand::begin(&plan);
    stand
        .shop
        .wait_for_log("a text in an act looks like markup");
    stand.work_to_the_end();
    stand.finish();
    let out = stand.shop.folder().join("out");
    stand
        .shop
        .pullmark(["record", "export", "ferry", "--out", out.to_str().unwrap()])
        .ok();
    let html = std::fs::read_to_string(out.join("record.html")).unwrap();
    assert!(!html.contains("<img"), "no element of a title's making");
    assert!(html.contains("onerror=alert(1)"), "it stands there as text");
    assert!(
        std::fs::read(out.join("record.pdf"))
            .unwrap()
            .starts_with(b"%PDF")
    );
    let view = stand.shop.page().get("/v1/bench");
    assert_eq!(
        view.header("content-type"),
        Some("application/json"),
        "never as a page"
    );
}
