//! The typesetter's own validator refuses a page that breaks a rule it can check of PDF/A-3a or PDF/UA-1, so that a page
//! came out at all says that much. Programs from elsewhere look at the pages in the tests of the workspace.

use super::*;
use pullmark_schema::sheet::{CheckRow, Fact, Item, Note, Row, Section, Tool};

fn fact(label: &str, value: &str) -> Fact {
    Fact {
        label: label.to_owned(),
        value: value.to_owned(),
    }
}

fn item(what: &str, says: &str) -> Item {
    Item {
        rows: String::new(),
        what: what.to_owned(),
        says: says.to_owned(),
    }
}

fn row(number: usize) -> Row {
    let standings = [
        "within",
        "over-kept",
        "undecided-kept",
        "deferred",
        "over",
        "open",
    ];
    let mark = standings[number % standings.len()];
    Row {
        number,
        title: format!("Faceplate bolt {number}"),
        limits: "4.5 to 5.5".to_owned(),
        torque: "5.08".to_owned(),
        torque_inch: "45.0".to_owned(),
        expanded: "0.12".to_owned(),
        mark: mark.to_owned(),
        standing: mark.replace('-', ", "),
        shown: "5.10".to_owned(),
        tool: String::new(),
        time: "10:32".to_owned(),
        notes: "a".to_owned(),
        remarks: Vec::new(),
    }
}

fn sheet(fasteners: usize) -> Sheet {
    let rows: Vec<Row> = (1..=fasteners).map(row).collect();
    let sections = rows.chunks(5).enumerate().map(|(number, rows)| Section {
        title: format!("Stage {}", number + 1),
        rows: rows.to_vec(),
    });
    Sheet {
        bike: "Harbour tourer 56".to_owned(),
        facts: vec![
            fact("Frame", "HT-56-0411"),
            fact("Plan", "Harbour tourer, edition 2026-03"),
            fact("Begun", "2026-11-26 09:00 +01:00 by Mara Lind"),
            fact("Handed over", "2026-11-27 16:00 +01:00 by Mara Lind"),
        ],
        practice: false,
        before: None,
        summary: "16 fasteners: 15 within limits, 1 deferred.".to_owned(),
        measured: "15 torques were measured by a tool; none was only attested.".to_owned(),
        common: "Where a row says nothing else: pulled with w1, on 2026-11-27.".to_owned(),
        not_done_in_full: Vec::new(),
        not_done: vec![item("Left pedal", "not tightened: washer not delivered")],
        attention: vec![item(
            "Seat clamp bolt",
            "over alarm: 6.1 N·m where the limit is 5.5 N·m; acknowledged by Mara Lind",
        )],
        sections: sections.collect(),
        checks: vec![CheckRow {
            title: "Seat post in the frame".to_owned(),
            stage: "Seat post".to_owned(),
            limits: "at least 70 mm".to_owned(),
            value: "71.37 mm".to_owned(),
            expanded: "0.021 mm".to_owned(),
            mark: "within".to_owned(),
            standing: "within".to_owned(),
            number: fasteners + 1,
            shown: "2.81 in".to_owned(),
            tool: "c1".to_owned(),
            time: "10:40".to_owned(),
            notes: String::new(),
            remarks: Vec::new(),
        }],
        notes: vec![Note {
            mark: "a".to_owned(),
            says: "grease".to_owned(),
            rows: format!("1–{fasteners}"),
        }],
        history: vec![item("Stem", "serial number ST-1")],
        tools: vec![Tool {
            tool: "Bench wrench, serial number KR-1".to_owned(),
            calibration: "no calibration certificate on file".to_owned(),
            is_good: false,
        }],
        due: vec![item("Left pedal", "when the washer is there")],
        cautions: vec!["A torque within its limits is no proof of a sound joint.".to_owned()],
        fingerprint: "ab12 cd34 ef56 7890".to_owned(),
        proof: vec![fact("SHA-256", "ab12 cd34")],
    }
}

const RECORD: &[u8] = br#"{"a":1}"#;

fn set(sheet: &Sheet, letterhead: &Letterhead) -> Vec<u8> {
    try_set(sheet, letterhead).unwrap()
}

fn try_set(sheet: &Sheet, letterhead: &Letterhead) -> Result<Vec<u8>, PaperError> {
    let map = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 10 10\"><path d=\"M1 1h8\" stroke=\"#000\"/></svg>";
    pdf(&Paper {
        sheet,
        record: RECORD,
        code: "did:key:z6Mk sha256:ab12",
        sealed: "2026-11-27T16:00:00.000+01:00",
        map: Some((map, "A bike with the numbers of its fasteners")),
        letterhead,
        customer: None,
    })
}

#[test]
fn a_page_comes_out_and_twice_the_same() {
    let sheet = sheet(16);
    let first = set(&sheet, &Letterhead::default());
    assert!(first.starts_with(b"%PDF-1.7"));
    assert_eq!(first, set(&sheet, &Letterhead::default()));
    let text = String::from_utf8_lossy(&first);
    assert!(text.contains("/AFRelationship/Data") || text.contains("/AFRelationship /Data"));
}

#[test]
fn a_logo_is_told_by_its_bytes() {
    let svg = b"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 4\"><path d=\"M0 0h4v4z\"/></svg>";
    let logo = Logo::of(svg.to_vec()).unwrap();
    assert_eq!(logo.ending, "svg");
    assert!(Logo::of(b"GIF89a".to_vec()).is_none());
    let letterhead = Letterhead {
        name: Some("Quay Street Cycles".to_owned()),
        lines: vec!["Quay Street 4".to_owned()],
        logo: Some(logo),
    };
    assert!(set(&sheet(3), &letterhead).starts_with(b"%PDF-1.7"));
}

#[test]
fn what_markup_would_be_is_only_text() {
    let mut sheet = sheet(2);
    sheet.bike = "#pagebreak() *bold* $x$ <label> [x]".to_owned();
    sheet.not_done = vec![item("#import \"@preview/x\"", "#read(\"/etc/passwd\")")];
    assert!(set(&sheet, &Letterhead::default()).starts_with(b"%PDF-1.7"));
}

#[test]
fn what_no_font_has_stops_no_page() {
    let mut sheet = sheet(6);
    sheet.bike = "⌀ 31.6 自転車 👨\u{200D}🔧 مفتاح ปุ่ม ☐ \u{1B}[0m \u{E000} \u{202E}x".to_owned();
    for row in sheet
        .sections
        .iter_mut()
        .flat_map(|section| &mut section.rows)
    {
        row.title.push_str(" ⌀\u{FE0F}\0");
    }
    let letterhead = Letterhead {
        name: Some("Кафе 自転車".to_owned()),
        lines: vec!["☎ 1".to_owned()],
        logo: None,
    };
    assert!(set(&sheet, &letterhead).starts_with(b"%PDF-1.7"));
}

#[test]
fn a_logo_that_cannot_be_drawn_is_named_in_one_line() {
    let logo = Logo::of(b"<svg nothing of the kind".to_vec());
    assert!(logo.is_some());
    let letterhead = Letterhead {
        logo,
        ..Letterhead::default()
    };
    let sheet = sheet(3);
    let error = try_set(&sheet, &letterhead).unwrap_err();
    assert!(matches!(error, PaperError::Logo(_)), "{error}");
    let said = error.to_string();
    assert!(!said.contains('\n') && said.len() < 250, "{said}");
}

#[test]
fn long_titles_are_broken_and_stay_in_their_column() {
    let mut sheet = sheet(45);
    for (number, row) in sheet
        .sections
        .iter_mut()
        .flat_map(|section| &mut section.rows)
        .enumerate()
    {
        row.title = match number % 3 {
            0 => "Bracket_of_the_left_rear_pannier_rack_lower_eyelet_that_has_no_space_in_it".to_owned(),
            1 => "The bolt of the bracket of the left rear pannier rack's lower eyelet at the seat stay, seen from behind, with its washer".to_owned(),
            _ => "W".repeat(60),
        };
    }
    sheet.sections[0].title = "Everything that has to do with the rear pannier rack".to_owned();
    let pdf = set(&sheet, &Letterhead::default());
    assert!(pdf.starts_with(b"%PDF-1.7"));
}
