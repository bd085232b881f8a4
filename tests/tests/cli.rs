//! `pullmark` as a person or a script uses it: exit statuses, words, JSON.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod golden;

use pullmark_tests::{Command, Said, Shop, Stand, plans};
use serde_json::Value;
use std::ffi::OsStr;
use std::path::Path;

fn pullmark<T: AsRef<OsStr>>(home: &Path, arguments: impl IntoIterator<Item = T>) -> Said {
    Command::pullmark(home).args(arguments).run()
}

/// What the help of a noun or verb lists under it, as the program itself says.
fn commands_in(help: &str) -> Vec<String> {
    let mut lines = help.lines().skip_while(|line| *line != "Commands:");
    lines.next();
    let rows = lines.take_while(|line| !line.is_empty());
    // What a row goes on with on the next line stands further in.
    let rows = rows.filter_map(|row| row.strip_prefix("  ").filter(|row| !row.starts_with(' ')));
    let names = rows.filter_map(|row| row.split_whitespace().next());
    names
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect()
}

/// Every noun and verb, each with its help: those of the program's own help, and so on down.
fn walk(home: &Path, above: &[String], seen: &mut Vec<(String, String)>) {
    let help = pullmark(home, above.iter().map(String::as_str).chain(["--help"]))
        .ok()
        .out
        .clone();
    for name in commands_in(&help) {
        walk(home, &[above, &[name]].concat(), seen);
    }
    seen.push((above.join(" "), help));
}

#[test]
fn help_says_what_there_is() {
    let home = tempfile::tempdir().unwrap();
    golden::compare("help", &pullmark(home.path(), ["--help"]).ok().out);
    let mut seen = Vec::new();
    walk(home.path(), &[], &mut seen);
    for (verb, help) in &seen {
        let usage = format!("Usage: pullmark {verb}");
        for says in [usage.trim_end(), "--json", "--data <DIR>"] {
            assert!(help.contains(says), "{verb}: {says} in {help}");
        }
        // The line above the usage says what it does.
        let about = help.lines().next().unwrap_or_default();
        assert!(
            about.chars().count() > 4 && !about.starts_with("Usage"),
            "{verb}: {help}"
        );
    }
    // The walk went down: a noun alone, a verb of one, and one below that.
    let verbs: Vec<&str> = seen.iter().map(|(verb, _)| verb.as_str()).collect();
    for known in ["demo", "plan check", "ledger timestamp", "people reset-pin"] {
        assert!(verbs.contains(&known), "{known} in {verbs:?}");
    }
    pullmark(home.path(), ["--version"])
        .ok()
        .says(&["pullmark 0."]);
}

#[test]
fn a_question_that_is_wrong_is_status_2() {
    let home = tempfile::tempdir().unwrap();
    let nothing: [&str; 0] = [];
    pullmark(home.path(), nothing).status(2).says(&["Usage:"]);
    pullmark(home.path(), ["torque"])
        .status(2)
        .says(&["unrecognized subcommand", "torque"]);
    pullmark(home.path(), ["plan", "check"])
        .status(2)
        .says(&["<FILE>"]);
    pullmark(
        home.path(),
        ["reading", "place", "5", "a", "--pass", "0", "--by", "M"],
    )
    .status(2)
    .says(&["--pass"]);
    pullmark(home.path(), ["build", "start", "p.toml", "--frame", "F"])
        .status(2)
        .says(&["--by"]);
    pullmark(home.path(), ["build", "list"])
        .status(2)
        .says(&["no daemon answers at", "start it with `pullmarkd`"]);
    pullmark(home.path(), ["tool", "add", "none.toml"])
        .status(2)
        .says(&["none.toml cannot be read"]);
}

/// A shop where everything is typed.
struct Typed {
    shop: Shop,
}

impl Typed {
    fn new() -> Self {
        let typed = Self { shop: Shop::open() };
        let tool = typed.shop.write("cw1.toml", &plans::click_wrench("cw1"));
        let plan = typed.shop.write("plan.toml", plans::SMALL);
        typed
            .say(&["tool", "add", tool.to_str().unwrap()])
            .ok()
            .says(&["cw1 (Click wrench cw1) is known now"]);
        let start = [
            "build",
            "start",
            plan.to_str().unwrap(),
            "--frame",
            "FC-0311",
            "--label",
            "Ferry",
            "--by",
            "Mara",
        ];
        typed.say(&start).ok().says(&["begun [ferry]"]);
        typed
    }

    fn say(&self, words: &[&str]) -> Said {
        self.shop.pullmark(words)
    }

    fn json(&self, words: &[&str]) -> Value {
        self.shop
            .pullmark(words.iter().copied().chain(["--json"]))
            .ok()
            .json()
    }

    fn next(&self) -> (String, u64) {
        let next = self.json(&["build", "show", "ferry"])["next"].clone();
        (
            next["fastener"].as_str().unwrap_or_default().to_owned(),
            next["pass"].as_u64().unwrap_or_default(),
        )
    }

    /// Enters a value for a fastener; the sequence number of its entry.
    fn enter(&self, value: &str, fastener: &str) -> u64 {
        let done = self.json(&[
            "reading",
            "enter",
            value,
            "--tool",
            "cw1",
            "--fastener",
            fastener,
            "--by",
            "Mara",
        ]);
        done["entries"][0].as_u64().unwrap()
    }
}

#[test]
fn a_build_can_be_made_from_the_command_line_alone() {
    let typed = Typed::new();
    typed.say(&["tool", "list"]).ok().says(&[
        "cw1",
        "entered by hand",
        "serves ferry",
        "no certificate on file",
    ]);
    assert_eq!(typed.json(&["tool", "list"])[0]["serves"], "ferry");
    typed.say(&["build", "list"]).ok().says(&[
        "ferry",
        "Ferry commuter 54",
        "0 of 4 within, 4 open",
    ]);
    typed
        .say(&["build", "show", "ferry"])
        .ok()
        .says(&["Next: Rack, left eyelet: aim 2.0 N·m"]);

    typed
        .say(&["fastener", "prepare", "ferry", "rack.left", "--by", "Mara"])
        .ok()
        .says(&["prep confirmed"]);
    typed
        .say(&["reading", "enter", "2 N·m", "--tool", "cw1", "--by", "Mara"])
        .ok()
        .says(&["entered, as attested"]);
    assert_eq!(typed.next(), ("crank.front".to_owned(), 0));
    typed
        .say(&["fastener", "next", "ferry", "crank.rear", "--by", "Mara"])
        .ok()
        .says(&["it comes next"]);
    assert_eq!(typed.next(), ("crank.rear".to_owned(), 0));
    for (value, fastener) in [
        ("7.8 N·m", "crank.rear"),
        ("7.8 N·m", "crank.front"),
        ("13 N·m", "crank.front"),
        ("115 lbf·in", "crank.rear"),
    ] {
        typed.enter(value, fastener);
    }
    for fastener in ["crank.front", "crank.rear", "seat.clamp"] {
        typed
            .say(&["fastener", "prepare", "ferry", fastener, "--by", "Mara"])
            .ok();
    }
    an_over_reading_is_dealt_with(&typed);
    typed
        .say(&["fastener", "look", "ferry", "seat.clamp", "--by", "Mara"])
        .status(1)
        .says(&["needs another person than Mara"]);
    typed
        .say(&[
            "fastener",
            "look",
            "ferry",
            "seat.clamp",
            "--reason",
            "at its mark",
            "--by",
            "Ole",
        ])
        .ok()
        .says(&["second look"]);
    typed
        .say(&["build", "show", "ferry"])
        .ok()
        .says(&["Nothing is open."]);
    the_record_is_made(&typed);
}

fn an_over_reading_is_dealt_with(typed: &Typed) {
    let over = typed.enter("6.4 N·m", "seat.clamp").to_string();
    typed
        .say(&["build", "show", "ferry"])
        .ok()
        .says(&["OVER", "not acknowledged"]);
    typed
        .say(&["build", "list"])
        .ok()
        .says(&["1 over, undecided"]);
    typed
        .say(&["build", "finish", "ferry", "--by", "Mara"])
        .status(1)
        .says(&["cannot be finished yet"]);
    typed
        .say(&["alarm", "acknowledge", &over, "--by", "Mara"])
        .ok()
        .says(&["acknowledged"]);
    typed
        .say(&["alarm", "acknowledge", &over, "--by", "Mara"])
        .status(1)
        .says(&["was acknowledged before"]);
    typed
        .say(&["alarm", "acknowledge", "0", "--by", "Mara"])
        .status(1)
        .says(&["raised no over alarm"]);
    let dispose = [
        "fastener",
        "dispose",
        "ferry",
        "seat.clamp",
        "--reason",
        "new post",
        "--by",
        "Mara",
        "--decision",
    ];
    let dispose = |decision| typed.say(&[&dispose[..], &[decision]].concat());
    dispose("forget-it").status(2).says(&[
        "part-replaced",
        "inspected-and-kept",
        "tightened-again",
    ]);
    dispose("part-replaced").ok().says(&["decided"]);
    dispose("part-replaced")
        .status(1)
        .says(&["nothing that waits for a decision"]);
    typed
        .say(&["fastener", "prepare", "ferry", "seat.clamp", "--by", "Mara"])
        .ok();
    typed.enter("5 N·m", "seat.clamp");
}

fn the_record_is_made(typed: &Typed) {
    typed
        .say(&["record", "seal", "ferry", "--by", "Mara"])
        .status(1)
        .says(&["is not finished"]);
    typed
        .say(&["record", "export", "ferry", "--out", "nowhere"])
        .status(2)
        .says(&["has no record yet"]);
    typed
        .say(&["build", "finish", "ferry", "--by", "Mara"])
        .ok()
        .says(&["handed over [ferry]"]);
    typed
        .say(&["build", "finish", "ferry", "--by", "Mara"])
        .status(1)
        .says(&["is finished"]);
    let amend = [
        "record", "amend", "ferry", "--reason", "a slip", "--by", "Mara",
    ];
    typed
        .say(&amend)
        .status(1)
        .says(&["no record that could be amended"]);
    typed
        .say(&["record", "seal", "ferry", "--by", "Mara"])
        .ok()
        .says(&["sealed [ferry]"]);
    typed
        .say(&["record", "seal", "ferry", "--by", "Mara"])
        .status(1)
        .says(&["has a record already: amend it"]);
    let out = typed.shop.folder().join("out");
    let exported = typed.json(&["record", "export", "ferry", "--out", out.to_str().unwrap()]);
    assert_eq!(exported["files"].as_array().unwrap().len(), 5);
    let record = out.join("record.json");
    typed
        .say(&["record", "verify", record.to_str().unwrap()])
        .ok()
        .says(&["4 within", "frame FC-0311"]);
    let text = std::fs::read_to_string(record).unwrap();
    assert!(
        text.contains("\"attested\":{\"by\":\"Mara\"}")
            && text.contains("\"attested\":{\"by\":\"sha256:"),
        "the record says that nothing was measured"
    );
    assert!(!text.contains("\"measured\""), "{text}");
}

#[test]
fn readings_are_listed_corrected_and_explained() {
    let mut stand = Stand::begin(plans::SMALL);
    let next = stand.look().next.unwrap();
    let entry = stand.do_next(&next);
    let number = entry.sequence.to_string();
    let say = |words: &[&str]| stand.shop.pullmark(words);
    say(&["reading", "list"])
        .ok()
        .says(&["2.00 N·m", "within", "rack.left", "by order"]);
    say(&["reading", "list", "--why"]).ok().says(&[
        "%  next of the plan",
        "rack.left, pass 1",
        "order 0.",
        "x time ",
        "/s x value ",
        "/N·m",
    ]);
    say(&[
        "reading",
        "place",
        &number,
        "--reason",
        "test pull",
        "--by",
        "Mara",
    ])
    .ok()
    .says(&["placed"]);
    say(&["reading", "list", "--build", "ferry"])
        .ok()
        .says(&["nowhere"]);
    say(&[
        "reading",
        "place",
        &number,
        "rack.left",
        "--pass",
        "1",
        "--by",
        "Mara",
    ])
    .ok();
    say(&["reading", "list", "--tool", "w1"])
        .ok()
        .says(&["by choice"]);
    assert_eq!(say(&["reading", "list", "--tool", "w2"]).ok().out, "");
    say(&[
        "reading",
        "place",
        &number,
        "rack.left",
        "--pass",
        "2",
        "--by",
        "Mara",
    ])
    .status(1)
    .says(&["there is no pass"]);
    say(&["reading", "place", &number, "none", "--by", "Mara"])
        .status(1)
        .says(&["has no fastener or check \"none\""]);
    say(&["reading", "place", "0", "rack.left", "--by", "Mara"])
        .status(1)
        .says(&["entry 0 is no reading"]);
    for words in [
        ["reading", "list", "--json", "--most", "5"].as_slice(),
        &["reading", "list", "--json", "--why"],
    ] {
        assert_eq!(say(words).ok().json().as_array().unwrap().len(), 1);
    }
}

/// Three equal bolts, then one of another torque.
const THREE_EQUAL: &str = "title = \"Chainring\"\nedition = \"1\"\n\
    [[stage]]\nid = \"ring\"\ntitle = \"Ring\"\n\
    [[stage.fastener]]\nid = \"r1\"\ntitle = \"R1\"\nprep = [\"dry\"]\nspec = { target = \"3 N·m\" }\n\
    [[stage.fastener]]\nid = \"r2\"\ntitle = \"R2\"\nprep = [\"dry\"]\nspec = { target = \"3 N·m\" }\n\
    [[stage.fastener]]\nid = \"r3\"\ntitle = \"R3\"\nprep = [\"dry\"]\nspec = { target = \"3 N·m\" }\n\
    [[stage]]\nid = \"axle\"\ntitle = \"Axle\"\n\
    [[stage.fastener]]\nid = \"a1\"\ntitle = \"A1\"\nprep = [\"dry\"]\nspec = { target = \"2 N·m\" }\n";

#[test]
fn what_may_have_been_missed_is_named_with_the_way_on() {
    let shop = Shop::open_with(&["--practice-speed", "20"]);
    let mut stand = Stand::begin_in(shop, THREE_EQUAL);
    let pull = |stand: &mut Stand, torque: f64| {
        std::thread::sleep(std::time::Duration::from_millis(350)); // seven seconds of the practice clock
        stand.pull(torque);
    };
    // One bolt of the ring is left out: the last one, or another one that nobody saw.
    for torque in [3.0, 3.0, 2.0] {
        pull(&mut stand, torque);
    }
    let say = |stand: &Stand, words: &[&str]| stand.shop.pullmark(words);
    for held in &stand.look().held {
        let number = held.sequence.to_string();
        say(&stand, &["reading", "place", &number, "a1", "--by", "Mara"]).ok();
    }
    let build = stand.look().id;
    say(&stand, &["fastener", "next", &build, "r3", "--by", "Mara"]).ok();
    pull(&mut stand, 3.0);
    say(&stand, &["build", "show", &build]).ok().says(&[
        "Nothing is open.",
        "may have been missed",
        "r1",
        "r2",
    ]);
    let finish = ["build", "finish", &build, "--by", "Mara"];
    say(&stand, &finish).status(1).says(&[
        "is not handed over",
        "R1: missed with a probability of",
        &format!("pullmark fastener next {build} r1 --by NAME"),
        "--sure \"REASON\"",
    ]);
    let refused = say(&stand, &[&finish[..], &["--json"]].concat());
    assert_eq!(refused.status(1).json()["type"], "build/may-be-missed");
    say(
        &stand,
        &[&finish[..], &["--sure", "counted by two people"]].concat(),
    )
    .ok()
    .says(&["handed over"]);
}

#[test]
fn fasteners_wait_are_taken_up_and_are_undone() {
    let typed = Typed::new();
    let on = |verb: &str, more: &[&str]| {
        typed.say(
            &[
                &["fastener", verb, "ferry", "rack.left", "--by", "Mara"],
                more,
            ]
            .concat(),
        )
    };
    on("defer", &["--reason", "the rack is on back order"])
        .ok()
        .says(&["deferred"]);
    assert_eq!(typed.next().0, "crank.front");
    typed
        .say(&["build", "show", "ferry"])
        .ok()
        .says(&["waits for the rack is on back order"]);
    on("take-up", &[]).ok().says(&["taken up again"]);
    on("take-up", &[]).status(1).says(&["is not deferred"]);
    assert_eq!(typed.next().0, "rack.left");
    typed.enter("2 N·m", "rack.left");
    on("defer", &["--reason", "later"])
        .status(1)
        .says(&["is done; loosen it first"]);
    on("loosen", &["--reason", "it sat askew"])
        .ok()
        .says(&["the readings stay and no longer count"]);
    assert_eq!(typed.next().0, "rack.left");
    on("loosen", &["--reason", " "]).status(1).says(&["reason"]);
    typed
        .say(&["fastener", "next", "ferry", "none", "--by", "Mara"])
        .status(1)
        .says(&["`pullmark build show` lists them"]);
    typed
        .say(&["fastener", "next", "none", "rack.left", "--by", "Mara"])
        .status(1)
        .says(&["`pullmark build list` shows"]);
    typed
        .say(&["build", "show", "none"])
        .status(2)
        .says(&["there is no build \"none\""]);
}

#[test]
fn values_that_are_no_torque_are_refused_in_words() {
    let typed = Typed::new();
    for (value, says) in [
        ("5", "unit"),
        ("five N·m", "is not a number"),
        ("5 apples", "apples"),
        ("5 kPa", "pressure"),
        ("99999 N·m", "N·m"),
        ("1e3 N·m", "unit"),
        ("", "number"),
    ] {
        typed
            .say(&["reading", "enter", value, "--tool", "cw1", "--by", "Mara"])
            .status(1)
            .says(&[says]);
    }
    typed
        .say(&[
            "reading", "enter", "5 N·m", "--tool", "none", "--by", "Mara",
        ])
        .status(1)
        .says(&["pullmark tool add"]);
    assert_eq!(typed.say(&["reading", "list"]).ok().out, "");
}

#[test]
fn tool_files_that_are_wrong_are_refused_in_words() {
    let shop = Shop::open();
    let good = plans::wrench("w1", "SIM-1", Path::new("/dev/none"), "pullmark-line");
    for (name, text, says) in [
        (
            "typo.toml",
            good.replace("serial =", "seriel ="),
            "unknown field `seriel`",
        ),
        (
            "range.toml",
            good.replace("\"25 N·m\"", "\"1 N·m\""),
            "is not below its highest",
        ),
        (
            "unit.toml",
            good.replace("\"25 N·m\"", "\"25 mm\""),
            "highest",
        ),
        (
            "dates.toml",
            good.replace("2099-05-04", "2020-05-04"),
            "before its own date",
        ),
        (
            "name.toml",
            good.replace("\"SIM-1\"", "\"\""),
            "serial number has to have 1 to 64",
        ),
        (
            "text.toml",
            "this is a letter".to_owned(),
            "tool file cannot be read",
        ),
    ] {
        let file = shop.write(name, &text);
        shop.pullmark(["tool", "add", file.to_str().unwrap()])
            .status(2)
            .says(&[name, says]);
    }
    shop.pullmark(["tool", "list"]).ok().says(&["No tool yet"]);
    shop.pullmark(["tool", "ports"])
        .ok()
        .says(&["/dev/serial/by-id"]);
}

#[test]
fn every_answer_can_be_had_as_json() {
    let typed = Typed::new();
    let plan = typed.shop.folder().join("plan.toml");
    typed.enter("2 N·m", "rack.left");
    let backup = typed.shop.folder().join("copy.sqlite");
    for words in [
        vec!["plan", "check", plan.to_str().unwrap()],
        vec!["plan", "show", plan.to_str().unwrap()],
        vec!["build", "list"],
        vec!["build", "show", "ferry"],
        vec!["build", "serve", "ferry", "cw1"],
        vec!["reading", "list"],
        vec!["reading", "list", "--why"],
        vec!["tool", "list"],
        vec!["tool", "ports"],
        vec!["fastener", "next", "ferry", "crank.rear", "--by", "Mara"],
        vec!["ledger", "check"],
        vec!["ledger", "backup", backup.to_str().unwrap()],
    ] {
        typed.json(&words);
    }
    let refused = typed
        .say(&[
            "fastener", "next", "ferry", "none", "--by", "Mara", "--json",
        ])
        .status(1)
        .json();
    assert_eq!(
        (refused["type"].as_str(), refused["status"].as_u64()),
        (Some("fastener/not-known"), Some(404))
    );
    let mut shop = typed.shop;
    assert_eq!(shop.terminate(), Some(0));
    assert!(
        shop.pullmark(["ledger", "rebuild", "--json"]).ok().json()["entries"]
            .as_u64()
            .unwrap()
            > 4
    );
    pullmark_tests::ledger::tamper(&shop.data(), "DELETE FROM entry WHERE sequence = 2");
    assert_eq!(
        shop.pullmark(["ledger", "check", "--json"])
            .status(1)
            .json()["valid"],
        false
    );
}
