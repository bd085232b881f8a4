//! What a customer gets, looked at with other people's programs: qpdf, poppler, a reader of square codes, Python's zipfile.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::Act;
use pullmark_tests::python::python;
use pullmark_tests::{Command, MECHANIC, Said, Stand, plans};
use serde_json::Value;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// A folder with an exported record.
struct Case {
    home: tempfile::TempDir,
}

impl Case {
    /// The demo's build: something under, something over with a decision, something deferred.
    fn demo() -> Self {
        let home = tempfile::tempdir().unwrap();
        Command::pullmark(home.path())
            .args(["demo", "--fast", "--out"])
            .arg(home.path().join("out"))
            .within(Duration::from_mins(2))
            .run()
            .ok();
        Self { home }
    }

    /// What a stand's sealed build is exported as.
    fn of(stand: &Stand) -> Self {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("out");
        let export = [
            "record",
            "export",
            &stand.build,
            "--out",
            out.to_str().unwrap(),
        ];
        stand.shop.pullmark(export).ok();
        Self { home }
    }

    fn file(&self, name: &str) -> PathBuf {
        self.home.path().join("out").join(name)
    }

    fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.file(name)).unwrap()
    }

    fn record(&self) -> Value {
        let file: Value = serde_json::from_slice(&self.bytes("record.json")).unwrap();
        file.get("record").cloned().unwrap_or(file)
    }

    fn run<T: AsRef<std::ffi::OsStr>>(
        &self,
        program: &str,
        arguments: impl IntoIterator<Item = T>,
    ) -> Said {
        Command::new(program, self.home.path())
            .args(arguments)
            .current_dir(self.home.path())
            .within(Duration::from_mins(1))
            .run()
    }

    fn pages(&self) -> usize {
        let pdf = self.file("record.pdf");
        let said = self.run("pdfinfo", [pdf.as_os_str()]).ok().out.clone();
        let count = said.lines().find_map(|line| line.strip_prefix("Pages:"));
        count.and_then(|count| count.trim().parse().ok()).unwrap()
    }

    /// The text of the PDF in the order of its content, in one line. Without `-raw` pdftotext guesses columns by itself.
    fn text(&self) -> String {
        let pdf = self.file("record.pdf");
        let said = self.run(
            "pdftotext",
            ["-raw".as_ref(), pdf.as_os_str(), "-".as_ref()],
        );
        said.ok()
            .out
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    }
}

/// A build that is done and sealed.
fn sealed(plan: &str) -> Stand {
    let mut stand = Stand::begin(plan);
    stand.work_to_the_end();
    stand.finish();
    stand
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_pdf_is_sound_and_carries_the_record() {
    let case = Case::demo();
    let pdf = case.file("record.pdf");
    case.run("qpdf", ["--check".as_ref(), pdf.as_os_str()])
        .ok()
        .says(&["No syntax or stream encoding errors found"]);
    case.run(
        "pdfdetach",
        [
            "-saveall".as_ref(),
            "-o".as_ref(),
            case.home.path().as_os_str(),
            pdf.as_os_str(),
        ],
    )
    .ok();
    let attached = case.home.path().join("record.json");
    assert_eq!(std::fs::read(&attached).unwrap(), case.bytes("record.json"));
    case.run(
        pullmark_tests::programs::program("pullmark")
            .to_str()
            .unwrap(),
        ["record".as_ref(), "verify".as_ref(), attached.as_os_str()],
    )
    .ok()
    .says(&["valid"]);
    // What the writer's own validator enforced is also stated in the file.
    case.run("pdfinfo", [pdf.as_os_str()]).ok().says(&[
        "Tagged: yes",
        "PDF version: 1.7",
        "Torque record",
    ]);
    let metadata = case.run("pdfinfo", ["-meta".as_ref(), pdf.as_os_str()]);
    metadata.ok().says(&[
        "<pdfaid:part>3</pdfaid:part>",
        "<pdfaid:conformance>A</pdfaid:conformance>",
        "<pdfuaid:part>1</pdfuaid:part>",
    ]);
    let tree = case.run("pdfinfo", ["-struct-text".as_ref(), pdf.as_os_str()]);
    tree.ok().says(&["H1", "Table", "TH", "Figure"]);
}

#[test]
fn its_text_reads_in_order_and_what_was_not_done_comes_first() {
    let case = Case::demo();
    let text = case.text();
    let at = |wanted: &str| {
        text.find(&one_line(wanted))
            .unwrap_or_else(|| panic!("{wanted:?} is not in:\n{text}"))
    };
    let record = case.record();
    let subject = &record["credentialSubject"];
    let fasteners = subject["fasteners"].as_array().unwrap();
    let title = |id: &str| {
        let known = fasteners.iter().find(|fastener| fastener["id"] == *id);
        known.unwrap()["title"].as_str().unwrap().to_owned()
    };
    let open = subject["not_done"][0]["fastener"].as_str().unwrap();
    assert!(at("What was not done") < at("What was done"));
    assert!(at(&format!("{} (", title(open))) < at("What was done"));
    assert!(at("not tightened: ") < at("What was done"));
    assert!(at("Over readings and what was decided") < at("What was done"));
    assert!(at("part replaced: ") < at("What was done"));
    let stage = fasteners[0]["stage"].as_str().unwrap();
    at(&format!(
        "{stage} 1 {}",
        fasteners[0]["title"].as_str().unwrap()
    ));
    // The table goes from stage to stage, as the plan does. A title may stand higher up too: the table's is the last.
    let table = &text[at("Limits N·m")..];
    let mut before = 0;
    for fastener in fasteners {
        let name = one_line(fastener["title"].as_str().unwrap());
        let here = table[before..].find(&name);
        before += here.unwrap_or_else(|| panic!("{name:?} is out of its order in:\n{table}"));
    }
    for caution in subject["cautions"].as_array().unwrap() {
        at(caution.as_str().unwrap());
    }
    // A layman finds no word of a program in it.
    for word in ["millinewton", "null", "kebab", "undefined"] {
        assert!(!text.contains(word), "{word}");
    }
}

#[test]
fn the_square_code_names_the_record_and_the_key() {
    let case = Case::demo();
    let pdf = case.file("record.pdf");
    case.run(
        "pdftoppm",
        [
            "-r".as_ref(),
            "200".as_ref(),
            "-png".as_ref(),
            "-singlefile".as_ref(),
            pdf.as_os_str(),
            "page".as_ref(),
        ],
    )
    .ok();
    let read = case
        .run("zbarimg", ["-q", "--raw", "page.png"])
        .ok()
        .out
        .clone();
    let verified = case
        .run(
            pullmark_tests::programs::program("pullmark")
                .to_str()
                .unwrap(),
            [
                "record".as_ref(),
                "verify".as_ref(),
                "--json".as_ref(),
                case.file("record.json").as_os_str(),
            ],
        )
        .ok()
        .json();
    for member in ["sha256", "fingerprint"] {
        let wanted = verified[member].as_str().unwrap();
        assert!(read.contains(wanted), "{member} {wanted} is not in {read}");
    }
}

fn views(case: &Case, file: &Path, out: &str, more: &[&str]) -> Said {
    let mut arguments = vec!["record".into(), "views".into(), file.as_os_str().to_owned()];
    arguments.extend(["--out".into(), case.home.path().join(out).into_os_string()]);
    arguments.extend(more.iter().map(Into::into));
    case.run(
        pullmark_tests::programs::program("pullmark")
            .to_str()
            .unwrap(),
        arguments,
    )
}

#[test]
fn views_are_made_from_the_record_alone_and_are_the_same_each_time() {
    let case = Case::demo();
    let record = case.file("record.json");
    views(&case, &record, "one", &[]).ok();
    views(&case, &record, "two", &[]).ok();
    for name in [
        "record.json",
        "record.pdf",
        "record.html",
        "readings.csv",
        "record.zip",
    ] {
        let of = |folder: &str| std::fs::read(case.home.path().join(folder).join(name)).unwrap();
        assert!(of("one") == of("two"), "{name} is another one each time");
    }
    let script = "import sys, zipfile\nwith zipfile.ZipFile(sys.argv[1]) as z:\n    assert z.testzip() is None\n    print(sorted(z.namelist()))";
    let said = Command::new(python(), case.home.path())
        .args(["-c", script])
        .arg(case.home.path().join("one/record.zip"))
        .run();
    said.ok()
        .says(&["['readings.csv', 'record.html', 'record.json', 'record.pdf']"]);
    // Nothing is shown of a record that does not hold.
    let text = String::from_utf8(case.bytes("record.json")).unwrap();
    let changed = text.replacen("_millinewton_metre\":5", "_millinewton_metre\":4", 1);
    assert_ne!(changed, text);
    let other = case.home.path().join("other.json");
    std::fs::write(&other, changed).unwrap();
    views(&case, &other, "none", &[]).status(1);
    assert!(!case.home.path().join("none/record.pdf").exists());
}

#[test]
fn the_shop_puts_its_name_and_logo_on_the_paper() {
    let case = Case::demo();
    let logo = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 4\"><path d=\"M0 0h4v4z\"/></svg>";
    std::fs::write(case.home.path().join("logo.svg"), logo).unwrap();
    let file = "name = \"Quay Street Cycles\"\nlines = [\"Quay Street 4\", \"=1+1 is no sum here\"]\nlogo = \"logo.svg\"\n";
    std::fs::write(case.home.path().join("letterhead.toml"), file).unwrap();
    views(
        &case,
        &case.file("record.json"),
        "out",
        &["--letterhead", "letterhead.toml", "--replace"],
    )
    .ok();
    let text = case.text();
    assert!(text.contains("Quay Street Cycles"), "{text}");
    assert!(text.contains("=1+1 is no sum here"), "{text}");
    // A logo as wide as the page leaves the name its place: three words in one line.
    let wide = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1000 40\"><path d=\"M0 0h1000v40H0z\"/></svg>";
    std::fs::write(case.home.path().join("logo.svg"), wide).unwrap();
    let letterhead = ["--letterhead", "letterhead.toml", "--replace"];
    views(&case, &case.file("record.json"), "out", &letterhead).ok();
    let (wide, text) = (
        case.file("record.pdf"),
        case.home.path().join("laid-out.txt"),
    );
    case.run(
        "pdftotext",
        ["-layout".as_ref(), wide.as_os_str(), text.as_os_str()],
    )
    .ok();
    let text = std::fs::read_to_string(text).unwrap();
    assert!(text.contains("Quay Street Cycles"), "{text}");
    std::fs::write(
        case.home.path().join("letterhead.toml"),
        "logo = \"letterhead.toml\"\n",
    )
    .unwrap();
    views(
        &case,
        &case.file("record.json"),
        "out",
        &["--letterhead", "letterhead.toml"],
    )
    .status(2)
    .says(&["neither SVG, PNG nor JPEG"]);
}

#[test]
fn a_letter_that_no_font_has_keeps_nothing_back() {
    let plan = plans::SMALL
        .replace("Rack, left eyelet", "⌀ 6 mm eyelet 👨\u{200D}🔧 自転車")
        .replace("Seat clamp bolt", "مفتاح ☐ clamp");
    let case = Case::of(&sealed(&plan));
    let text = case.text();
    for wanted in [
        "[U+2300] 6 mm eyelet [U+1F468 U+200D U+1F527] [U+81EA U+8EE2 U+8ECA]",
        "[U+2610] clamp",
        "Some characters cannot be printed here",
    ] {
        assert!(text.contains(wanted), "{wanted:?} is not in:\n{text}");
    }
    let record = case.record();
    let title = &record["credentialSubject"]["fasteners"][0]["title"];
    assert_eq!(title, "⌀ 6 mm eyelet 👨\u{200D}🔧 自転車");
}

#[test]
fn without_a_pdf_the_other_files_are_there_and_one_sentence_says_why() {
    let case = Case::demo();
    let write = |name, text| std::fs::write(case.home.path().join(name), text).unwrap();
    write("logo.svg", "<svg nothing of the kind");
    write("letterhead.toml", "logo = \"logo.svg\"\n");
    let said = views(
        &case,
        &case.file("record.json"),
        "none",
        &["--letterhead", "letterhead.toml"],
    );
    said.status(1).says(&[
        "No PDF was made: the shop's logo cannot be put on paper",
        "The other files are whole",
    ]);
    assert_eq!(said.err.trim().lines().count(), 1, "{}", said.err);
    for name in ["record.json", "record.html", "readings.csv", "record.zip"] {
        assert!(case.home.path().join("none").join(name).exists(), "{name}");
    }
    assert!(!case.home.path().join("none/record.pdf").exists());
}

/// An ordinary bike: stages of three fasteners with titles of a usual length, all on the bike map.
fn ordinary(fasteners: usize) -> String {
    const STAGES: [(&str, &str); 5] = [
        ("Stem and handlebar", "stem-front"),
        ("Front brake", "calliper-front"),
        ("Seat post", "seat-clamp"),
        ("Cranks and pedals", "bottom-bracket"),
        ("Rear mech and cage", "bottle-cage"),
    ];
    let mut text =
        "title = \"Harbour tourer 56\"\nedition = \"2026-11\"\ntolerance = \"10 %\"\n".to_owned();
    for number in 0..fasteners {
        let (title, at) = STAGES[number / 3 % STAGES.len()];
        if number % 3 == 0 {
            let round = number / 3 / STAGES.len() + 1;
            let _ = write!(
                text,
                "\n[[stage]]\nid = \"s{number}\"\ntitle = \"{title} {round}\"\n"
            );
        }
        // Neighbours differ, so that a pull for one is never taken for a repeat of the one before.
        let (torque, prep) = [
            ("5 N·m", "carbon paste"),
            ("14 N·m", "grease on the thread"),
        ][number % 2];
        let side = ["front upper bolt", "rear lower bolt", "pinch bolt"][number % 3];
        let _ = write!(
            text,
            "\n[[stage.fastener]]\nid = \"f{number}\"\ntitle = \"{title}, {side}\"\nat = \"{at}\"\n\
             spec = {{ target = \"{torque}\" }}\nprep = [\"{prep}\"]\n"
        );
    }
    text
}

#[test]
fn an_ordinary_bike_is_one_page_and_what_repeats_is_said_once() {
    assert_eq!(Case::demo().pages(), 1);
    let case = Case::of(&sealed(&ordinary(45)));
    assert_eq!(case.pages(), 1);
    assert_eq!(case.text().matches(MECHANIC).count(), 3);

    // The same day without a confirmed prep: 45 times the same is one line.
    let mut stand = Stand::begin(&ordinary(45));
    while let Some(next) = stand.look().next {
        let entry = stand.pull(pullmark_tests::stand::aim(&next)).entry();
        stand.settle(&entry, &next.fastener);
    }
    stand.finish();
    let case = Case::of(&stand);
    assert_eq!(case.pages(), 1);
    let text = case.text();
    assert!(
        text.contains("45 fasteners (1–45): prep not confirmed"),
        "{text}"
    );
    assert_eq!(text.matches("prep not confirmed").count(), 1, "{text}");
}

#[test]
fn however_much_waits_the_first_page_says_it_first() {
    let stand = Stand::begin(&ordinary(70));
    for number in 0..70 {
        stand.shop.act(&Act::Defer {
            build: stand.build.clone(),
            fastener: format!("f{number}"),
            by: MECHANIC.to_owned(),
            reason: format!("the part for it, number {number}, was not in the box"),
            waits_for: None,
        });
    }
    stand.finish();
    let case = Case::of(&stand);
    let text = case.text();
    let at = |wanted: &str| {
        text.find(wanted)
            .unwrap_or_else(|| panic!("{wanted:?} is not in:\n{text}"))
    };
    assert!(at("70 fasteners (1–70): not tightened") < at("What was done"));
    assert!(at("What was not done, one by one") > at("What was done"));
    for number in 0..70 {
        assert_eq!(
            text.matches(&format!("number {number}, was not")).count(),
            1,
            "{number}"
        );
    }
    assert!(!text.contains("Due next"), "{text}");
    assert!(text.contains("No torque was measured."), "{text}");
}

#[test]
fn a_record_in_the_place_of_another_says_so_and_what_is_different() {
    let mut stand = sealed(plans::SMALL);
    let (build, by) = (stand.build.clone(), MECHANIC.to_owned());
    let reason = "a new rack".to_owned();
    stand.shop.act(&Act::Reopen {
        build: build.clone(),
        by: by.clone(),
        reason,
    });
    let trial = stand.pull(1.2).entry();
    stand.shop.act(&Act::Place {
        reading: trial.sequence,
        fastener: None,
        pass: None,
        by: by.clone(),
        reason: Some("test pull".to_owned()),
    });
    stand.shop.act(&Act::Loosen {
        build: build.clone(),
        fasteners: vec!["rack.left".to_owned()],
        stage: None,
        all: false,
        by: by.clone(),
        reason: "new rack".to_owned(),
    });
    stand.work_to_the_end();
    stand.shop.act(&Act::Finish {
        build: build.clone(),
        by: by.clone(),
        sure: Some("counted".to_owned()),
    });
    stand.shop.act(&Act::Amend {
        build,
        by,
        reason: "the rack was changed".to_owned(),
    });
    let case = Case::of(&stand);
    let text = case.text();
    let at = |wanted: &str| {
        text.find(wanted)
            .unwrap_or_else(|| panic!("{wanted:?} is not in:\n{text}"))
    };
    let done = at("What was done");
    for wanted in [
        "In the place of the record of 20",
        "Why: the rack was changed.",
        "Taken up again 20",
        "Rack, left eyelet (1): undone, ",
    ] {
        assert!(at(wanted) < done, "{wanted}");
    }
    at("Belongs to nothing of the plan");
    at("test pull. ");
    assert!(!text.contains("rack.left"), "{text}");
}

#[test]
fn checks_alone_leave_no_empty_table() {
    let stand = Stand::begin(plans::CHECKS);
    for check in [
        "seat.depth",
        "tyres.front",
        "tyres.rear",
        "tyres.apart",
        "wheel.mass",
    ] {
        stand.shop.act(&Act::Defer {
            build: stand.build.clone(),
            fastener: check.to_owned(),
            by: MECHANIC.to_owned(),
            reason: "no gauge".to_owned(),
            waits_for: None,
        });
    }
    stand.finish();
    let case = Case::of(&stand);
    let text = case.text();
    for wanted in [
        "The plan has no fasteners. 5 checks: 5 deferred.",
        "5 checks (1–5): not measured: no gauge",
        "computed: “Rear tyre” - “Front tyre”",
    ] {
        assert!(text.contains(wanted), "{wanted:?} is not in:\n{text}");
    }
    for empty in [
        "Torque N·m",
        "Tools and calibration",
        "0 fasteners",
        "lbf·in",
    ] {
        assert!(!text.contains(empty), "{empty:?} is in:\n{text}");
    }
}

#[test]
fn a_long_build_goes_over_pages_and_each_has_the_heads() {
    let case = Case::of(&sealed(&plans::long(26)));
    let pdf = case.file("record.pdf");
    assert!(case.pages() >= 2);
    let page = case.run(
        "pdftotext",
        [
            "-f".as_ref(),
            "2".as_ref(),
            "-l".as_ref(),
            "2".as_ref(),
            pdf.as_os_str(),
            "-".as_ref(),
        ],
    );
    page.ok().says(&["Limits N·m", "page 2 of"]);
}
