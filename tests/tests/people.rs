//! People with their PINs, and devices, from the bench's own side. A real daemon.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::{ByWhom, NewDevice, NewPerson, Secret};
use pullmark_schema::entry::{Confirmed, Event};
use pullmark_tests::house::{
    PIN, SECOND_PIN, Tablet, confirmed, devices, enter, events, is_refused, paired, post, seal,
    shop_on_the_network,
};
use pullmark_tests::{MECHANIC, SECOND, Shop, Stand, plans};

#[test]
fn what_is_the_benchs_own_is_refused_to_a_paired_device() {
    let shop = shop_on_the_network();
    let tablet = paired(&shop, "tablet");
    is_refused(&tablet.get("/v1/devices"), 403, "access/bench-only");
    let person = NewPerson {
        name: "Mallory".into(),
        pin: Secret(PIN.into()),
        by: Some(MECHANIC.into()),
    };
    is_refused(
        &tablet.post("/v1/people", &person),
        403,
        "access/bench-only",
    );
    let device = NewDevice {
        name: "another".into(),
        by: MECHANIC.into(),
    };
    is_refused(
        &tablet.post("/v1/devices/pairing", &device),
        403,
        "access/bench-only",
    );
    let reset = serde_json::json!({ "pin": "918273", "by": MECHANIC });
    is_refused(
        &tablet.post("/v1/people/mara-lind/pin", &reset),
        403,
        "access/prompt-only",
    );
    let by = ByWhom {
        by: MECHANIC.into(),
        reason: None,
    };
    for path in ["/v1/people/mara-lind/leave", "/v1/devices/tablet/revoke"] {
        is_refused(&tablet.post(path, &by), 403, "access/bench-only");
    }
    let own = serde_json::json!({ "pin": "918273", "before": PIN });
    let changed = tablet.post("/v1/people/mara-lind/pin", &own);
    assert_eq!(
        changed.status,
        200,
        "one's own PIN, with the one before: {}",
        changed.text()
    );
}

#[test]
fn people_act_under_their_names_and_what_signs_carries_a_pin() {
    let mut stand = Stand::begin(plans::SMALL);
    stand.work_to_the_end();
    let shop = &stand.shop;
    let pin = shop.write("pin", PIN);
    let second = shop.write("second", &format!("{SECOND_PIN}\n"));
    let say = |words: &[&str]| shop.pullmark(words.iter().copied());
    say(&["people", "list"]).ok().says(&["Nobody is entered"]);
    say(&[
        "people",
        "add",
        MECHANIC,
        "--pin-file",
        pin.to_str().unwrap(),
    ])
    .ok();
    say(&[
        "people",
        "add",
        SECOND,
        "--pin-file",
        second.to_str().unwrap(),
        "--by",
        MECHANIC,
    ])
    .ok();
    let obvious = shop.write("obvious", "1234");
    say(&[
        "people",
        "add",
        "Third",
        "--pin-file",
        obvious.to_str().unwrap(),
        "--by",
        MECHANIC,
    ])
    .status(1)
    .says(&["first that anybody would try"]);
    say(&["people", "list"])
        .ok()
        .says(&["mara-lind", MECHANIC, "has a PIN", SECOND]);

    let finish = ["build", "finish", "ferry", "--sure", "counted", "--by"];
    say(&[finish.as_slice(), &["Somebody"]].concat())
        .status(1)
        .says(&["nobody here is called", MECHANIC, SECOND]);
    say(&[finish.as_slice(), &["MARA lind"]].concat()).ok();
    let seal = ["record", "seal", "ferry", "--by", "mara-lind"];
    let no_terminal = say(&seal);
    no_terminal
        .status(2)
        .says(&["a PIN is needed", "--pin-file"]);
    let with = |file: &std::path::Path| {
        say(&[seal.as_slice(), &["--pin-file", file.to_str().unwrap()]].concat())
    };
    with(&second)
        .status(1)
        .says(&["this is not the PIN of", MECHANIC]);
    with(&pin).ok().says(&["sealed"]);

    let all = events(shop);
    let finished = all.iter().find_map(|event| match event {
        Event::BuildFinished { by, .. } => Some(by.clone()),
        _ => None,
    });
    assert_eq!(
        finished.as_deref(),
        Some(MECHANIC),
        "as it is shown, however it was written"
    );
    let sealed = all.iter().find_map(|event| match event {
        Event::RecordSealed { by, confirmed, .. } => Some((by.clone(), *confirmed)),
        _ => None,
    });
    assert_eq!(sealed, Some((MECHANIC.to_owned(), Some(Confirmed::Pin))));

    // Nothing made from a PIN is anywhere but in its file.
    let pins = std::fs::read_to_string(shop.data().join("keys/pins.json")).unwrap();
    let pins: serde_json::Value = serde_json::from_str(&pins).unwrap();
    let hash = pins["pins"]["mara-lind"]["hash"]
        .as_str()
        .unwrap()
        .to_owned();
    say(&["ledger", "check"]).ok();
    say(&[
        "ledger",
        "backup",
        shop.folder().join("copy.db").to_str().unwrap(),
    ])
    .ok();
    let copy = std::fs::read(shop.folder().join("copy.db")).unwrap();
    let bodies = [copy, stand.record(), shop.log().into_bytes()].concat();
    let text = String::from_utf8_lossy(&bodies);
    assert!(!text.contains(&hash) && !text.contains(SECOND_PIN));
}

#[test]
fn who_merely_has_an_account_on_the_benchs_machine_sets_no_pin() {
    let shop = Shop::open();
    enter(&shop, MECHANIC, PIN, None);
    enter(&shop, SECOND, SECOND_PIN, Some(MECHANIC));
    let loopback = shop.page();
    let reset = serde_json::json!({ "pin": "918273", "by": SECOND });
    let answer = post(&loopback, "/v1/people/mara-lind/pin", &reset);
    is_refused(&answer, 403, "access/prompt-only");
    let detail = answer.json()["detail"].to_string();
    assert!(detail.contains("pullmark people reset-pin"), "{detail}");
    // Sent away and taken up again with another PIN is the same by a longer way.
    let by = ByWhom {
        by: SECOND.into(),
        reason: None,
    };
    let left = post(&loopback, "/v1/people/mara-lind/leave", &by);
    assert_eq!(left.status, 200, "{}", left.text());
    let again = NewPerson {
        name: MECHANIC.into(),
        pin: Secret("918273".into()),
        by: Some(SECOND.into()),
    };
    let answer = post(&loopback, "/v1/people", &again);
    is_refused(&answer, 422, "person/returns-at-prompt");
    let pin = shop.write("pin", PIN);
    let pin = pin.to_str().unwrap();
    let add = ["people", "add", MECHANIC, "--by", SECOND, "--pin-file", pin];
    shop.pullmark(add).ok();
    let own = serde_json::json!({ "pin": "918273", "before": PIN });
    let changed = post(&loopback, "/v1/people/mara-lind/pin", &own);
    assert_eq!(changed.status, 200, "{}", changed.text());
}

#[test]
fn a_forgotten_pin_is_set_anew_at_the_bench_and_the_ledger_says_so() {
    let shop = Shop::open();
    enter(&shop, MECHANIC, PIN, None);
    let say = |words: &[&str]| shop.pullmark(words.iter().copied());
    let new = shop.write("new", "604713");
    for _ in 0..3 {
        post(
            &shop.http(),
            "/v1/acts/confirmed",
            &confirmed(seal(MECHANIC), "111111"),
        );
    }
    say(&["people", "list"]).ok().says(&["locked for"]);
    say(&[
        "people",
        "reset-pin",
        MECHANIC,
        "--pin-file",
        new.to_str().unwrap(),
    ])
    .ok()
    .says(&["set anew"]);
    let answer = post(
        &shop.http(),
        "/v1/acts/confirmed",
        &confirmed(seal(MECHANIC), PIN),
    );
    is_refused(&answer, 403, "person/wrong-pin");
    let answer = post(
        &shop.http(),
        "/v1/acts/confirmed",
        &confirmed(seal(MECHANIC), "604713"),
    );
    is_refused(&answer, 404, "build/not-known");
    let both = shop.write("both", "604713\n915064\n");
    say(&[
        "people",
        "pin",
        MECHANIC,
        "--pin-file",
        both.to_str().unwrap(),
    ])
    .ok()
    .says(&["changed"]);
    let changes: Vec<_> = events(&shop)
        .into_iter()
        .filter_map(|event| match event {
            Event::PinChanged(changed) => Some((changed.by, changed.reset)),
            _ => None,
        })
        .collect();
    assert_eq!(
        changes,
        [(MECHANIC.to_owned(), true), (MECHANIC.to_owned(), false)]
    );
    say(&["people", "leave", MECHANIC, "--by", MECHANIC]).ok();
    let answer = post(
        &shop.http(),
        "/v1/acts/confirmed",
        &confirmed(seal(MECHANIC), "915064"),
    );
    is_refused(&answer, 404, "person/not-known");
}

#[test]
fn devices_are_let_in_listed_and_shut_out_at_a_prompt() {
    let shop = shop_on_the_network();
    let say = |words: &[&str]| shop.pullmark(words.iter().copied());
    let fingerprint = devices(&shop).fingerprint.unwrap();
    say(&["devices"])
        .ok()
        .says(&["https://127.0.0.1:", &fingerprint, "No device was let in"]);
    shop.wait_for_log(&fingerprint);
    let said = say(&["device", "pair", "tablet", "--by", MECHANIC, "--json"]);
    let code = said.ok().json()["code"].as_str().unwrap().to_owned();
    let mut tablet = Tablet::at(&shop);
    tablet.pair(&code);
    say(&["device", "list"])
        .ok()
        .says(&["device-", "tablet", &format!("let in by {MECHANIC}")]);
    say(&["device", "revoke", "tablet", "--by", "Somebody"])
        .status(1)
        .says(&["nobody here is called"]);
    say(&["device", "revoke", "no such", "--by", MECHANIC])
        .status(1)
        .says(&["tablet"]);
    say(&[
        "device", "revoke", "tablet", "--reason", "sold", "--by", MECHANIC,
    ])
    .ok()
    .says(&["shut out"]);
    is_refused(&tablet.get("/v1/bench"), 401, "access/not-paired");
    say(&["device", "list"]).ok().says(&["shut out on"]);

    let alone = Shop::open();
    alone
        .pullmark(["device", "list"])
        .ok()
        .says(&["not on the network"]);
    alone
        .pullmark(["device", "pair", "tablet", "--by", MECHANIC])
        .status(1)
        .says(&["lan = "]);
}

#[test]
fn what_went_over_is_decided_and_taken_away_with_a_pin_alone() {
    let shop = Shop::open();
    let plan = "title = \"Towpath\"\nedition = \"1\"\n[[stage]]\nid = \"s\"\ntitle = \"Seat\"\n\
                fastener = [{ id = \"clamp\", title = \"Clamp\", prep = [\"dry\"], spec = { target = \"5 N·m\" } }]\n\
                check = [{ id = \"tyre\", title = \"Tyre\", spec = { lower = \"4 bar\", upper = \"6 bar\" } }]\n";
    let plan = shop.write("plan.toml", plan);
    let click = "id = \"click\"\ntitle = \"Click wrench\"\nserial = \"C-1\"\nkind = \"setting\"\nlowest = \"1 N·m\"\nhighest = \"25 N·m\"\nclass = \"II-A\"\n";
    let click = shop.write("click.toml", click);
    let gauge = "id = \"gauge\"\ntitle = \"Gauge\"\nserial = \"G-1\"\nquantity = \"pressure\"\naccuracy = \"1 %\"\n";
    let gauge = shop.write("gauge.toml", gauge);
    enter(&shop, MECHANIC, PIN, None);
    let pin = shop.write("pin", PIN);
    let pin = ["--pin-file", pin.to_str().unwrap()];
    let by = ["--by", MECHANIC];
    let say = |words: &[&str]| shop.pullmark(words.iter().copied());

    // A tool is made known by somebody too.
    let add = ["tool", "add", click.to_str().unwrap()];
    say(&add).status(1).says(&["say who of the people here"]);
    say(&[&add[..], &by].concat()).ok();
    say(&[&["tool", "add", gauge.to_str().unwrap()][..], &by].concat()).ok();
    let start = [
        "build",
        "start",
        plan.to_str().unwrap(),
        "--frame",
        "F-1",
        "--build",
        "tow",
    ];
    say(&[&start[..], &by].concat()).ok();
    say(&[&["build", "serve", "tow", "gauge"][..], &by].concat()).ok();

    let over = |tool: &str, value: &str, at: &str| -> String {
        let enter = [
            "reading",
            "enter",
            value,
            "--tool",
            tool,
            "--fastener",
            at,
            "--json",
        ];
        let said = say(&[&enter[..], &by].concat());
        said.ok().json()["entries"][0].to_string()
    };
    let (pull, pressure) = (
        over("click", "9 N·m", "clamp"),
        over("gauge", "8 bar", "tyre"),
    );
    for reading in [&pull, &pressure] {
        say(&[&["alarm", "acknowledge", reading][..], &by].concat()).ok();
        let away = ["reading", "place", reading, "--reason", "on another bike"];
        say(&[&away[..], &by].concat())
            .status(2)
            .says(&["a PIN is needed"]);
    }
    let dispose = [
        "fastener",
        "dispose",
        "tow",
        "tyre",
        "--decision",
        "inspected-and-kept",
        "--reason",
        "the rim is sound",
    ];
    say(&[&dispose[..], &by].concat())
        .status(2)
        .says(&["a PIN is needed"]);
    say(&[&dispose[..], &by, &pin].concat()).ok();
    let away = ["reading", "place", &pull, "--reason", "on another bike"];
    say(&[&away[..], &by, &pin].concat()).ok();
    say(&["build", "history", "tow"])
        .ok()
        .says(&["confirmed by PIN"]);

    let all = events(&shop);
    let who: Vec<_> = all
        .iter()
        .filter_map(|event| match event {
            Event::ToolAdded { by, .. } => Some(by.as_deref()),
            _ => None,
        })
        .collect();
    assert_eq!(who, [Some(MECHANIC), Some(MECHANIC)]);
    let confirmed = all.iter().filter(|event| match event {
        Event::Disposed { confirmed, .. } => *confirmed == Some(Confirmed::Pin),
        Event::Placed(placed) => placed.confirmed == Some(Confirmed::Pin),
        _ => false,
    });
    assert_eq!(confirmed.count(), 2);
}

#[test]
fn a_person_is_renamed_by_an_option_too() {
    let shop = Shop::open();
    enter(&shop, MECHANIC, PIN, None);
    let say = |words: &[&str]| shop.pullmark(words.iter().copied());
    let rename = ["people", "rename", MECHANIC, "--by", MECHANIC];
    say(&rename).status(2);
    say(&[&rename[..], &["--name", "Mara Ek"]].concat()).ok();
    say(&["people", "list"])
        .ok()
        .says(&["mara-lind", "Mara Ek"]);
    let back = ["people", "rename", "Mara Ek", MECHANIC, "--by", "mara-lind"];
    say(&back).ok();
    say(&["people", "list"]).ok().says(&[MECHANIC]);
}
