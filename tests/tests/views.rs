//! What a customer gets, looked at with other people's programs: qpdf, poppler, a reader of square codes, Python's zipfile.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_tests::python::python;
use pullmark_tests::{Command, Said, Stand, plans};
use serde_json::Value;
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
    assert!(at(&format!("{}: not tightened", title(open))) < at("What was done"));
    assert!(at("Over readings and what was decided") < at("What was done"));
    assert!(at("part replaced: ") < at("What was done"));
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

#[test]
fn a_long_build_goes_over_pages_and_each_has_the_heads() {
    let case = Case::of(&sealed(&plans::long(18)));
    let pdf = case.file("record.pdf");
    let pages = case.run("pdfinfo", [pdf.as_os_str()]).ok().out.clone();
    let count: usize = pages
        .lines()
        .find_map(|line| line.strip_prefix("Pages:"))
        .and_then(|count| count.trim().parse().ok())
        .unwrap();
    assert!(count >= 2, "{pages}");
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
