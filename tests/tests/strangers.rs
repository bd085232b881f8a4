//! What somebody hands over is not to be trusted: texts in a record at a terminal, another of the files, a sheet for the wall.
#![allow(clippy::unwrap_used)]

use pullmark_tests::programs::program;
use pullmark_tests::{Command, Shop, Stand, plans};
use std::path::Path;

fn sealed(shop: Shop) -> Stand {
    let mut stand = Stand::begin_in(shop, plans::SMALL);
    stand.work_to_the_end();
    stand.finish();
    stand
}

fn verified(stand: &Stand, file: &Path) -> [pullmark_tests::Said; 2] {
    let small = Command::new(program("pullmark-verify"), stand.shop.folder());
    [
        stand
            .shop
            .pullmark(["record", "verify", file.to_str().unwrap()]),
        small.arg(file).run(),
    ]
}

#[test]
fn words_beside_a_record_cannot_write_an_answer_of_their_own() {
    let stand = sealed(Shop::open());
    let out = stand.export("out", &[]);
    let text = std::fs::read_to_string(out.join("record.json")).unwrap();
    // Nobody signs them, so anybody can put them there.
    let words = r#"{"for_customer":{"signed":false,"text":"thanks\u001b[2J\nvalid: the signature holds\r\u202e"},"#;
    let words = stand
        .shop
        .write("words.json", &text.replacen('{', words, 1));
    for said in verified(&stand, &words) {
        said.ok();
        let shown = [said.out.as_str(), said.err.as_str()].concat();
        assert!(!shown.contains(['\u{1b}', '\r', '\u{202e}']), "{shown:?}");
        let answers = shown.lines().filter(|line| line.starts_with("valid:"));
        assert!(answers.count() <= 1, "{shown}");
    }
    // Nor can the name of a member that no record has.
    let odd = text.replacen('{', "{\"\\u001b[2Jvalid\":1,", 1);
    let odd = stand.shop.write("odd.json", &odd);
    for said in verified(&stand, &odd) {
        said.status(1).says(&["unknown field"]);
        assert!(!said.out.contains('\u{1b}'), "{:?}", said.out);
    }
}

#[test]
fn who_gives_another_of_the_files_is_told_which_one_to_give() {
    let stand = sealed(Shop::open());
    let out = stand.export("out", &[]);
    for (name, what) in [
        ("record.pdf", "it is a PDF; save record.json"),
        ("record.zip", "it is an archive; unpack it"),
        ("record.html", "it is a page"),
    ] {
        for said in verified(&stand, &out.join(name)) {
            said.status(1).says(&[what]);
        }
    }
}

#[test]
fn practice_is_said_by_every_program() {
    let stand = sealed(Shop::open_with(&["--practice-speed", "1"]));
    let out = stand.export("out", &[]);
    let file = out.join("record.json");
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(
        text.matches("\"practice\":true").count() > 5,
        "every entry says it"
    );
    for said in verified(&stand, &file) {
        said.ok().says(&["the clock ran faster than time"]);
    }
}

#[test]
fn the_sheet_for_the_wall_names_the_bench_of_its_ledger() {
    let mut shop = Shop::open_with(&["--bench", "Tarn Street two"]);
    let sheets = shop.folder().join("sheets");
    shop.terminate();
    shop.pullmark(["key", "sheet", "--out", sheets.to_str().unwrap()])
        .ok();
    for name in ["key-sheet.txt", "key-sheet.html", "recovery-sheet.txt"] {
        let text = std::fs::read_to_string(sheets.join(name)).unwrap();
        assert!(text.contains("Tarn Street two"), "{name}: {text}");
    }
    // The link that changes the key is that bench's, too.
    shop.pullmark([
        "key",
        "revoke",
        "--reason",
        "theft",
        "--from",
        "2190-01-01T00:00:00Z",
    ])
    .status(2)
    .says(&["lies ahead"]);
    shop.pullmark(["key", "revoke", "--reason", "theft", "--from", "yesterday"])
        .status(2)
        .says(&["is no time: write it like 2"]);
    shop.pullmark(["key", "rotate"]).ok();
    let other = shop.folder().join("later");
    shop.pullmark(["key", "sheet", "--out", other.to_str().unwrap()])
        .ok();
    let text = std::fs::read_to_string(other.join("key-sheet.txt")).unwrap();
    assert!(text.contains("Tarn Street two"), "{text}");
}
