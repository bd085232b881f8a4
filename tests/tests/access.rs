//! Attempts from outside: other people's pages, other people's devices, other people's PINs, and files and titles that are more
//! than they seem. A real daemon, over loopback, its socket and the network. Each comes to nothing, and each is in the log.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::{Act, ByWhom};
use pullmark_schema::entry::Event;
use pullmark_tests::house::{
    JSON, PIN, SECRETS, Tablet, code, confirmed, enter, events, is_refused, leaks_nothing, network,
    paired, post, seal, shop_on_the_network,
};
use pullmark_tests::http::Answer;
use pullmark_tests::{MECHANIC, Shop, Stand, plans};
use serde_json::json;
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
    shop.wait_for_log_times("refused a request that is not JSON", 4);
}

#[test]
fn what_is_done_at_the_bench_alone_is_refused_to_a_device_and_in_the_log() {
    let shop = shop_on_the_network();
    let tablet = paired(&shop, "tablet");
    let by = json!({ "by": MECHANIC });
    let named = json!({ "name": "phone", "by": MECHANIC });
    for (path, body, what) in [
        ("/v1/devices/pairing", &named, "let a device in"),
        ("/v1/devices/tablet/revoke", &by, "shut a device out"),
        ("/v1/people/mara-ek/leave", &by, "say that somebody left"),
        ("/v1/people/mara-ek/name", &named, "rename a person"),
        (
            "/v1/people",
            &json!({ "name": "Guest", "pin": "8264", "by": MECHANIC }),
            "enter a person",
        ),
    ] {
        is_refused(&tablet.post(path, body), 403, "access/bench-only");
        shop.wait_for_log(&format!("what=\"{what}\""));
    }
    is_refused(&tablet.get("/v1/devices"), 403, "access/bench-only");
    let told = "refused what is done on the bench's own machine alone device=\"device-";
    shop.wait_for_log_times(told, 6);
    assert!(!shop.log().contains("8264"), "no PIN is in the log");
}

#[test]
fn the_log_says_who_kept_a_plan_and_from_where() {
    let shop = shop_on_the_network();
    let tablet = paired(&shop, "tablet");
    let wish = json!({ "templates": ["rack"] });
    let mut draft = tablet.post("/v1/plans/compose", &wish).json();
    draft["title"] = json!("Rack");
    draft["edition"] = json!("1");
    let keep = |name: &str, by: Option<&str>| {
        let body = json!({ "draft": draft, "by": by }).to_string();
        let path = format!("/v1/plans/{name}.toml");
        let origin = tablet.origin.clone();
        let headers = [tablet.headers(), vec![JSON, ("Origin", &origin)]].concat();
        let http = &tablet.http;
        http.request("PUT", &path, &headers, body.as_bytes())
            .unwrap()
    };
    is_refused(&keep("guest", Some("Guest")), 404, "person/not-known");
    for (name, by, told) in [
        ("mine", Some(MECHANIC), MECHANIC),
        ("nobodys", None, "nobody named"),
    ] {
        let kept = keep(name, by);
        assert_eq!(kept.status, 200, "{}", kept.text());
        shop.wait_for_log(&format!(
            "a plan was written name=\"{name}.toml\" by=\"{told}\" from=\"device-"
        ));
    }
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
    let began = Instant::now();
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
    let took = began.elapsed();
    let locks: Vec<_> = events(&shop)
        .into_iter()
        .filter_map(|event| match event {
            Event::PinLocked(lock) => Some((lock.person, lock.wrong, lock.seconds)),
            _ => None,
        })
        .collect();
    // However slow the machine: two are free, the third locks for 30 s, and one more is looked at for each lock that ended.
    let wanted: Vec<_> = (0..u32::try_from(locks.len()).unwrap())
        .map(|number| ("pia-holm".to_owned(), 3 + number, 30 << number))
        .collect();
    assert_eq!(locks, wanted);
    let ended: u64 = locks
        .iter()
        .rev()
        .skip(1)
        .map(|(.., seconds)| seconds)
        .sum();
    assert!(took >= Duration::from_secs(ended), "{took:?}: {locks:?}");
    let looked_at = 2 + locks.len();
    assert_eq!(codes["person/wrong-pin"], looked_at, "{codes:?}");
    assert_eq!(codes["person/locked"], 10_000 - looked_at, "{codes:?}");
    shop.wait_for_log_times("a wrong PIN", looked_at);
    // One line when it begins and one a minute, with how many there were; and one when a wait is over.
    let log = shop.log();
    let told: Vec<usize> = log
        .lines()
        .filter(|line| line.contains("a PIN was not looked at: there is a wait"))
        .map(|line| number(line, "tries="))
        .collect();
    let minutes = usize::try_from(took.as_secs() / 60).unwrap();
    assert!(told.len() <= 2 * locks.len() + minutes, "{told:?}");
    assert_eq!(told.first(), Some(&1));
    assert!(told.iter().sum::<usize>() <= 10_000 - looked_at, "{told:?}");
    assert!(!log.contains("pin="), "no PIN is in the log");

    // A lock that ends while the daemon starts says nothing: the next one is twice as long.
    let answer = loop {
        let answer = tries_pia(&shop, "0000");
        let Some(seconds) = answer.header("retry-after") else {
            continue;
        };
        let seconds: u64 = seconds.parse().unwrap();
        let asked = Instant::now();
        shop.kill();
        shop.start();
        let answer = tries_pia(&shop, "7391");
        if asked.elapsed() < Duration::from_secs(seconds.saturating_sub(1)) {
            break answer;
        }
        assert_ne!(answer.status, 200, "she has no build to sign");
    };
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

/// The number after a word of a line of the log.
fn number(line: &str, word: &str) -> usize {
    let (_, after) = line.split_once(word).unwrap();
    let digits: String = after.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().unwrap()
}

fn tries_pia(shop: &Shop, pin: &str) -> Answer {
    let act = confirmed(seal("Pia Holm"), pin);
    post(&shop.http(), "/v1/acts/confirmed", &act)
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
