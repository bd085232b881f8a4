//! What the number means, seen from outside: certificates, budgets, decision rules, adapters, checks, recalls, process
//! figures, all through the commands that a mechanic types.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_tests::{Said, Shop};
use serde_json::Value;

/// A click wrench with a lever and a class.
const WRENCH: &str = "id = \"w2\"\ntitle = \"Click wrench, 2 to 25 N·m\"\nserial = \"KR-2207\"\nkind = \"setting\"\n\
    lowest = \"2 N·m\"\nhighest = \"25 N·m\"\nresolution = \"0.1 N·m\"\nclass = \"II-A\"\nlever = \"300 mm\"\n";

/// Right at its points, with an uncertainty of 1 %.
const GOOD: &str = "number = \"TM-1\"\nlaboratory = \"Tarn Metrology\"\ndate = 2026-03-02\ndue = 2027-03-02\nserial = \"KR-2207\"\n\
    drift_per_year = \"0.4 %\"\n\
    [[point]]\nindicated = \"2 N·m\"\nreference = \"2 N·m\"\nexpanded = \"1 %\"\nk = 2\n\
    [[point]]\nindicated = \"20 N·m\"\nreference = \"20 N·m\"\nexpanded = \"1 %\"\nk = 2\n";

/// The same wrench found reading low by 9 %: what it shows as 5.3 N·m was 5.8 N·m.
const FOUND: &str = "number = \"TM-2\"\nlaboratory = \"Tarn Metrology\"\ndate = {DATE}\ndue = 2099-01-01\nstate = \"as-found\"\n\
    [[point]]\nindicated = \"2 N·m\"\nreference = \"2.2 N·m\"\nexpanded = \"1 %\"\nk = 2\n\
    [[point]]\nindicated = \"20 N·m\"\nreference = \"22 N·m\"\nexpanded = \"1 %\"\nk = 2\n";

/// One carbon clamp, one metal bolt behind a crow-foot.
const PLAN: &str = r#"title = "Skerry light tourer"
edition = "2026-11"
[[stage]]
id = "seat"
title = "Seat post"
[[stage.fastener]]
id = "seat.clamp"
title = "Seat clamp bolt"
kind = "seat-clamp"
joint = "carbon"
spec = { target = "5 N·m", lower = "4.5 N·m", upper = "5.5 N·m" }
prep = ["carbon paste on the post"]
[[stage]]
id = "brake"
title = "Rear brake"
[[stage.fastener]]
id = "brake.bolt"
title = "Calliper bolt"
joint = "metal"
rule = "guarded"
spec = { target = "7 N·m", lower = "6 N·m", upper = "8 N·m" }
prep = ["dry"]
adapter = { title = "crow-foot, 5 mm", length = "50 mm", angle = 0 }
"#;

struct Bench {
    shop: Shop,
}

impl Bench {
    fn bare() -> Self {
        let shop = Shop::open();
        let file = shop.write("w2.toml", WRENCH);
        let bench = Self { shop };
        bench.say(&["tool", "add", file.to_str().unwrap()]).ok();
        bench
    }

    fn begun() -> Self {
        let bench = Self::bare();
        let file = bench.shop.write("good.toml", GOOD);
        bench
            .say(&[
                "tool",
                "certify",
                "w2",
                file.to_str().unwrap(),
                "--by",
                "Runa",
            ])
            .ok()
            .says(&["the certificate is on file"]);
        let plan = bench.shop.write("plan.toml", PLAN);
        let start = [
            "build",
            "start",
            plan.to_str().unwrap(),
            "--frame",
            "SK-04",
            "--build",
            "skerry",
            "--by",
            "Runa",
        ];
        bench.say(&start).ok();
        bench
    }

    fn say(&self, words: &[&str]) -> Said {
        self.shop.pullmark(words)
    }

    fn json(&self, words: &[&str]) -> Value {
        let words = words.iter().copied().chain(["--json"]);
        self.shop.pullmark(words).json()
    }

    fn enter(&self, value: &str, fastener: &str) {
        let words = [
            "reading",
            "enter",
            value,
            "--tool",
            "w2",
            "--fastener",
            fastener,
            "--by",
            "Runa",
        ];
        self.say(&words).ok();
    }

    fn standing(&self, fastener: &str) -> String {
        let view = self.json(&["build", "show", "skerry"]);
        let mut all = view["stages"]
            .as_array()
            .unwrap()
            .iter()
            .flat_map(|stage| stage["fasteners"].as_array().unwrap());
        let found = all.find(|found| found["id"] == fastener).unwrap();
        found["standing"].as_str().unwrap().to_owned()
    }

    fn certify(&self, name: &str, text: &str, more: &[&str]) -> Said {
        let file = self.shop.write(name, text);
        let words = [
            "tool",
            "certify",
            "w2",
            file.to_str().unwrap(),
            "--by",
            "Runa",
        ];
        self.say(&[&words[..], more].concat())
    }
}

#[test]
fn a_certificate_that_cannot_be_right_is_refused_with_the_reason() {
    let bench = Bench::bare();
    let swapped = GOOD.replace("2 N·m", "21 N·m");
    for (change, says) in [
        ((swapped.as_str(), ""), &["point"][..]),
        (
            (
                "\"20 N·m\"\nreference = \"20 N·m\"",
                "\"2 N·m\"\nreference = \"2 N·m\"",
            ),
            &["point 2"],
        ),
        (
            (
                "reference = \"20 N·m\"\nexpanded = \"1 %\"",
                "reference = \"20 N·m\"\nexpanded = \"0 %\"",
            ),
            &["uncertainty"],
        ),
        (("indicated = \"20 N·m\"", "indicated = \"20\""), &["unit"]),
        (
            (
                "date = 2026-03-02\ndue = 2027-03-02",
                "date = 2098-03-02\ndue = 2099-03-02",
            ),
            &["2098-03-02"],
        ),
        (
            ("serial = \"KR-2207\"", "serial = \"KR-9999\""),
            &["KR-9999", "KR-2207"],
        ),
        (("due = 2027-03-02", "due = 2025-03-02"), &["due"]),
    ] {
        let text = if change.1.is_empty() {
            change.0.to_owned()
        } else {
            assert!(GOOD.contains(change.0), "{}", change.0);
            GOOD.replace(change.0, change.1)
        };
        bench.certify("bad.toml", &text, &[]).status(1).says(says);
    }
    bench
        .certify(
            "points.txt",
            "indicated [N·m],reference [N·m],expanded [N·m],k\n",
            &[],
        )
        .status(2)
        .says(&["--format"]);
    bench
        .certify("image.xml", "<svg/>", &[])
        .status(1)
        .says(&["svg"]);
    let kept = bench.json(&["tool", "show", "w2"]);
    assert!(
        kept["tool"]["certificate"].is_null(),
        "nothing of it was kept"
    );
}

#[test]
fn a_certificate_comes_from_toml_from_csv_or_as_a_dcc() {
    let bench = Bench::bare();
    bench.certify("good.toml", GOOD, &[]).ok();
    let csv = "indicated [N·m],reference [N·m],expanded [N·m],k\n2,2.01,0.03,2\n20,20.1,0.2,2\n";
    let head = [
        "--number",
        "TM-3",
        "--laboratory",
        "Tarn Metrology",
        "--date",
        "2026-03-03",
        "--due",
        "2027-03-03",
    ];
    bench.certify("points.csv", csv, &head).ok();
    let shown = bench.json(&["tool", "show", "w2"]);
    let points = shown["tool"]["certificate"]["points"].as_array().unwrap();
    assert_eq!(points[1]["reference_micronewton_metre"], 20_100_000);
    bench
        .say(&["tool", "show", "w2"])
        .ok()
        .says(&["TM-3", "reference 20.1 N·m"]);

    let dcc = std::fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/vectors/dcc-torque-minimal-3.3.0.xml"
    ))
    .unwrap();
    let dcc = dcc.replace("SN-4711", "KR-2207");
    bench.certify("dcc.xml", &dcc, &[]).status(1).says(&["due"]);
    bench
        .certify("dcc.xml", &dcc, &["--due", "2027-03-02"])
        .status(1)
        .says(&["older"]);
    let newer = dcc
        .replace("2026-03-02", "2026-04-02")
        .replace("2026-03-03", "2026-04-03");
    bench
        .certify("dcc.xml", &newer, &["--due", "2027-04-02"])
        .ok();
    let shown = bench.json(&["tool", "show", "w2"]);
    let certificate = &shown["tool"]["certificate"];
    assert_eq!(certificate["number"], "TEST-TORQUE-0001");
    assert_eq!(
        certificate["points"][0]["expanded_micronewton_metre"],
        40_000
    );
    // What was read is kept as it came.
    let entries = bench.json(&["tool", "show", "w2"]);
    assert_eq!(entries["tool"]["certificate"]["file"]["format"], "dcc");
}

#[test]
fn a_budget_is_shown_line_by_line_and_adds_up() {
    let bench = Bench::begun();
    bench.enter("5.0 N·m", "seat.clamp");
    bench.say(&["reading", "list", "--budget"]).ok().says(&[
        "certificate TM-1",
        "calibration certificate",
        "resolution of the display",
        "drift since the calibration",
        "expanded, 95.45 %",
        "k = 2.0",
    ]);
    let entries = bench.json(&["reading", "list", "--budget"]);
    let worth = &entries[0]["body"]["reading"]["worth"];
    let lines = worth["standard_micronewton_metre_of"].as_object().unwrap();
    let sum: f64 = lines
        .values()
        .map(|line| line.as_f64().unwrap().powi(2))
        .sum();
    let standard = worth["standard_micronewton_metre"].as_f64().unwrap();
    assert!((sum.sqrt() - standard).abs() < 5.0, "{sum} {standard}");
    let expanded = worth["expanded_micronewton_metre"].as_f64().unwrap();
    assert!(
        (expanded - 2.0 * standard).abs() < 5.0,
        "k is 2 where all is well known"
    );
}

#[test]
fn what_may_be_over_on_carbon_waits_for_a_person() {
    let bench = Bench::begun();
    bench.enter("5.45 N·m", "seat.clamp");
    assert_eq!(bench.standing("seat.clamp"), "undecided");
    bench.enter("5.0 N·m", "seat.clamp");
    assert_eq!(
        bench.standing("seat.clamp"),
        "undecided",
        "a gentler pull explains nothing away"
    );
    bench
        .say(&["build", "finish", "skerry", "--by", "Runa"])
        .status(1)
        .says(&["Seat clamp bolt may be over"]);
    let dispose = [
        "fastener",
        "dispose",
        "skerry",
        "seat.clamp",
        "--reason",
        "looked at the post",
        "--by",
        "Runa",
        "--decision",
    ];
    bench
        .say(&[&dispose[..], &["inspected-and-kept"]].concat())
        .ok();
    assert_eq!(bench.standing("seat.clamp"), "undecided-kept");
    // Near the lower limit of a guarded joint another pull is enough.
    bench
        .say(&[
            "tool",
            "fit",
            "w2",
            "crow-foot",
            "--length",
            "50 mm",
            "--by",
            "Runa",
        ])
        .ok();
    bench.enter("5.2 N·m", "brake.bolt");
    assert_eq!(bench.standing("brake.bolt"), "undecided");
    bench.enter("6.0 N·m", "brake.bolt");
    assert_eq!(bench.standing("brake.bolt"), "within");
}

/// 7 N·m at the bolt are 7·300/(300 + 50) = 6 N·m on the wrench.
#[test]
fn an_adapter_is_reckoned_with_and_the_setting_is_said() {
    let bench = Bench::begun();
    bench.enter("5.0 N·m", "seat.clamp");
    let setting =
        |bench: &Bench| bench.json(&["build", "show", "skerry"])["next"]["settings"][0].clone();
    let bare = setting(&bench);
    assert_eq!(
        (&bare["set_millinewton_metre"], &bare["is_as_planned"]),
        (&7_000.into(), &false.into())
    );
    bench
        .say(&[
            "tool",
            "fit",
            "w2",
            "crow-foot",
            "--length",
            "50 mm",
            "--by",
            "Runa",
        ])
        .ok()
        .says(&["fitted: crow-foot: 50 mm"]);
    let with = setting(&bench);
    assert_eq!(
        (&with["set_millinewton_metre"], &with["is_as_planned"]),
        (&6_000.into(), &true.into())
    );
    bench
        .say(&["build", "show", "skerry"])
        .ok()
        .says(&["6.0 N·m on"]);
    bench.enter("6.0 N·m", "brake.bolt");
    let row = &bench.json(&["reading", "list"])[1];
    assert_eq!(
        (&row["displayed"], &row["applied_millinewton_metre"]),
        (&"6.0 N·m".into(), &7_000.into())
    );
    bench
        .say(&["tool", "fit", "w2", "--bare", "--by", "Runa"])
        .ok();
    bench
        .say(&[
            "tool", "fit", "w2", "hook", "--length", "400 mm", "--angle", "180", "--by", "Runa",
        ])
        .status(1)
        .says(&["reaches back to the hand"]);
}

#[test]
fn a_wrench_that_creeps_away_is_seen_before_its_limit() {
    let bench = Bench::begun();
    // the class of the tool allows 4 %; each check is 0.5 % farther off
    let check = |reference: &str| {
        let words = [
            "tool",
            "check",
            "w2",
            "--against",
            "bench tester BT-1, certificate TM-77",
            "--by",
            "Runa",
        ];
        let pulls = [
            "--shown",
            "10 N·m",
            "--reference",
            reference,
            "--shown",
            "10 N·m",
            "--reference",
            reference,
        ];
        let said = bench.say(&[&words[..], &pulls].concat());
        said.ok();
        said
    };
    let mut states = Vec::new();
    for tenths in 0..8 {
        check(&format!("{:.2} N·m", 10.0 - 0.05 * f64::from(tenths)));
        let shown = bench.json(&["tool", "show", "w2"]);
        states.push(shown["check_state"].as_str().unwrap().to_owned());
    }
    assert_eq!(states[0], "quiet");
    assert!(states.contains(&"warns".to_owned()), "{states:?}");
    assert!(
        !states.contains(&"beyond".to_owned()),
        "{states:?}: 3.6 % is within the class"
    );
    check("9.5 N·m").says(&["BEYOND"]);
    bench.enter("5.0 N·m", "seat.clamp");
    let last = bench.json(&["build", "show", "skerry"])["last"].clone();
    assert!(
        last["cautions"]
            .as_array()
            .unwrap()
            .contains(&"check-beyond".into()),
        "{last}"
    );
}

/// A check that somebody forgot to end takes no pull that a person names a fastener for, and no alarm with it.
#[test]
fn a_pull_for_a_named_fastener_counts_while_the_tool_is_checked() {
    let bench = Bench::begun();
    bench
        .say(&["tool", "check", "w2", "--begin", "--by", "Runa"])
        .ok();
    bench.enter("6.0 N·m", "seat.clamp");
    assert_eq!(bench.standing("seat.clamp"), "over");
    let view = bench.json(&["build", "show", "skerry"]);
    assert_eq!(view["alarms"][0]["fastener"], "seat.clamp");
    let shown = bench.json(&["tool", "show", "w2"]);
    let pulls = shown["checking"]["shown_micronewton_metre"].as_array();
    assert!(pulls.unwrap().is_empty(), "it is no pull of the check");
}

#[test]
fn a_recall_judges_again_and_changes_nothing_stored() {
    let bench = Bench::begun();
    bench.enter("5.3 N·m", "seat.clamp");
    bench
        .say(&[
            "tool",
            "fit",
            "w2",
            "crow-foot",
            "--length",
            "50 mm",
            "--by",
            "Runa",
        ])
        .ok();
    bench.enter("6.0 N·m", "brake.bolt");
    let before = bench.json(&["reading", "list"]);
    let today = before[0]["time"].as_str().unwrap()[..10].to_owned();
    let found = bench
        .shop
        .write("found.toml", &FOUND.replace("{DATE}", &today));
    let csv = bench.shop.folder().join("recall.csv");
    let recall = [
        "recall",
        "--tool",
        "KR-2207",
        "--found",
        found.to_str().unwrap(),
        "--by",
        "Runa",
        "--csv",
        csv.to_str().unwrap(),
    ];
    bench.say(&recall).status(1).says(&[
        "2 reading(s) judged again: 1 out of limits now",
        "skerry",
        "Seat clamp bolt",
        "over",
        "evenly with time",
    ]);
    let table = std::fs::read_to_string(&csv).unwrap();
    assert!(table.starts_with("build,frame,label,fastener,"), "{table}");
    assert!(
        table.lines().nth(1).unwrap().contains("seat.clamp"),
        "the highest risk first: {table}"
    );
    assert_eq!(
        bench.json(&["reading", "list"]),
        before,
        "nothing stored is changed"
    );
    let view = bench.json(&["build", "show", "skerry"]);
    assert_eq!(view["recalled"][0]["out"], 1);
    bench
        .say(&["build", "show", "skerry"])
        .ok()
        .says(&["amended"]);
    let unknown = [
        "recall",
        "--tool",
        "KR-1",
        "--found",
        found.to_str().unwrap(),
        "--by",
        "Runa",
    ];
    bench
        .say(&unknown)
        .status(1)
        .says(&["no tool has the serial number"]);
    // The worst case is at least as bad.
    let worst = [&recall[..7], &["--drift", "at-once"]].concat();
    bench
        .say(&worst)
        .status(1)
        .says(&["all at once", "1 out of limits now"]);
    bench.say(&["ledger", "check"]).ok();
}

#[test]
fn process_figures_say_so_where_there_are_too_few() {
    let bench = Bench::begun();
    bench.say(&["stats"]).ok().says(&["nothing to reckon with"]);
    bench.enter("5.0 N·m", "seat.clamp");
    bench
        .say(&["stats", "--group", "tool"])
        .ok()
        .says(&["w2", "1", "readings say nothing"]);
    let view = bench.json(&["stats"]);
    assert_eq!(view["groups"][0]["name"], "seat-clamp");
    assert_eq!(view["groups"][0]["mean_thousandths"], 500);
}
