use super::*;
use crate::record::amend::{Amends, Changed};
use crate::record::tests::bench::{composed, day};
use crate::record::{FastenerRecord, Missing, NotDone, Signature};

fn example() -> Sheet {
    let record = composed(&day()).unwrap();
    sheet(&record, &"ab12".repeat(16), &"0f".repeat(32))
}

#[test]
fn every_fastener_has_a_row_with_its_number() {
    let sheet = example();
    let rows: Vec<&Row> = sheet
        .sections
        .iter()
        .flat_map(|section| &section.rows)
        .collect();
    let record = composed(&day()).unwrap();
    assert_eq!(rows.len(), record.subject.fasteners.len());
    for (number, (row, fastener)) in (1..).zip(rows.iter().zip(&record.subject.fasteners)) {
        assert_eq!((row.number, &row.title), (number, &fastener.title));
        assert_eq!(row.standing, fastener.standing.to_string());
    }
}

#[test]
fn what_was_not_done_and_what_went_over_is_said() {
    let sheet = example();
    assert!(
        sheet
            .not_done
            .iter()
            .any(|item| item.says.starts_with("not tightened")),
        "{:?}",
        sheet.not_done
    );
    let said: Vec<&str> = sheet
        .attention
        .iter()
        .map(|item| item.says.as_str())
        .collect();
    assert!(
        said.iter().any(|says| says.starts_with("over alarm: ")),
        "{said:?}"
    );
    assert!(
        said.iter()
            .any(|says| says.starts_with("inspected and kept: ")),
        "{said:?}"
    );
    // What waits stands there and nowhere else.
    assert!(sheet.due.is_empty(), "{:?}", sheet.due);
    assert_eq!(sheet.cautions, crate::record::CAUTIONS);
}

#[test]
fn where_names_are_left_out_that_is_said_and_no_hash_stands_for_one() {
    let record = composed(&day()).unwrap();
    let (hidden, _) = crate::record::names::hide(&record, &[7; 32]).unwrap();
    let sheet = sheet(&hidden, &"ab12".repeat(16), &"0f".repeat(32));
    let all = serde_json::to_string(&sheet).unwrap();
    assert!(all.contains("by a name left out"), "{all}");
    assert!(!all.contains("sha256:"), "{all}");
}

#[test]
fn figures_are_those_of_the_record() {
    let torque = crate::quantity::Torque::from_small_units;
    // 5.5 N·m are 48.68 lbf·in: 5.5 / 0.112 984 829 (NIST SP 811, appendix B.8)
    assert_eq!(
        torque_in_both(torque(5_500)),
        ("5.5".to_owned(), "48.7".to_owned())
    );
    assert_eq!(
        moment("2026-11-27T10:32:44.120+01:00"),
        "2026-11-27 10:32 +01:00"
    );
    assert_eq!(moment("yesterday"), "yesterday");
    assert_eq!(words::groups("0123456789abcdef"), "0123 4567 89ab cdef");
    assert_eq!(words::groups("did:key:z6Mk"), "did:key:z6Mk");
}

#[test]
fn what_the_rows_share_is_said_once() {
    let record = composed(&day()).unwrap();
    let sheet = example();
    assert_eq!(
        sheet.common,
        "Where a row says nothing else: pulled with w1, on 2026-03-14, prep confirmed by I. Berg."
    );
    let rows: Vec<&Row> = sheet.sections.iter().flat_map(|s| &s.rows).collect();
    assert!(rows.iter().all(|row| row.tool.is_empty()));
    assert!(rows.iter().all(|row| row.time.len() <= 5), "{rows:?}");
    // Each remark stands once, and its rows have its letter.
    let paste = sheet.notes.iter().find(|note| note.says == "carbon paste");
    let paste = paste.unwrap();
    assert_eq!(paste.rows, "1–4");
    let has = |row: &&&Row| row.notes.split(' ').any(|mark| mark == paste.mark);
    assert_eq!(rows.iter().filter(has).count(), 4);
    for row in &rows {
        let marks = row.notes.split(' ').filter(|mark| !mark.is_empty());
        assert_eq!(marks.count(), row.remarks.len(), "{row:?}");
    }
    // Another tool and another day are said where they are.
    let mut other = record;
    let reading = &mut other.subject.fasteners[5].readings[0];
    reading.reading.tool = "w2".to_owned();
    reading.time = "2026-03-16T08:05:00.000+01:00".to_owned();
    let sheet = super::sheet(&other, "ab", "cd");
    let cap = &sheet.sections.last().unwrap().rows[1];
    assert_eq!(
        (cap.tool.as_str(), cap.time.as_str()),
        ("w2", "2026-03-16 08:05")
    );
}

fn said_not_done(sheet: &super::Sheet) -> Vec<String> {
    let items = sheet.not_done.iter();
    items
        .map(|item| format!("{} ({}): {}", item.what, item.rows, item.says))
        .collect()
}

#[test]
fn many_of_a_kind_are_one_line_with_their_numbers() {
    let mut record = composed(&day()).unwrap();
    let missing = |fastener: &str, what, reason: Option<&str>| NotDone {
        fastener: fastener.to_owned(),
        what,
        reason: reason.map(str::to_owned),
        waits_for: None,
    };
    let ids = ["a", "b", "c", "d", "cap"];
    record.subject.not_done = ids.map(|id| missing(id, Missing::Prep, None)).into();
    let pedal = missing("pedal", Missing::Torque, Some("on back order"));
    record.subject.not_done.push(pedal);
    let sheet = super::sheet(&record, "ab", "cd");
    let said = said_not_done(&sheet);
    assert_eq!(
        said,
        [
            "5 fasteners (1–4, 6): prep not confirmed",
            "Left pedal (5): not tightened: on back order"
        ]
    );
    assert!(sheet.not_done_in_full.is_empty());
    // Reasons that nobody could read at a glance go behind the tables; that it was not done does not.
    for id in ids {
        let reason = format!("{id} {}", "word ".repeat(80));
        let more = missing(id, Missing::Torque, Some(&reason));
        record.subject.not_done.push(more);
    }
    let sheet = super::sheet(&record, "ab", "cd");
    let said = said_not_done(&sheet);
    assert_eq!(
        said,
        [
            "6 fasteners (1–6): not tightened",
            "5 fasteners (1–4, 6): prep not confirmed"
        ]
    );
    assert_eq!(sheet.not_done_in_full.len(), 7);
}

#[test]
fn a_record_in_the_place_of_another_says_which_why_and_what_is_different() {
    let mut record = composed(&day()).unwrap();
    assert_eq!(example().before, None);
    let changed = |fastener: Option<&str>, members: &[&str]| Changed {
        fastener: fastener.map(str::to_owned),
        members: members.iter().map(|&name| name.to_owned()).collect(),
    };
    record.subject.reopened = vec![Signature {
        sequence: 40,
        time: "2026-03-16T08:05:00.000+01:00".to_owned(),
        by: "I. Berg".to_owned(),
        reason: Some("it creaks".to_owned()),
    }];
    let before = sheet(&record, "ab", "cd").before.unwrap();
    assert_eq!(before.heading, "Taken up again after it was handed over");
    record.subject.amends = Some(Amends {
        record: crate::canonical::Digest32::of(b"earlier"),
        id: "urn:uuid:1".to_owned(),
        sealed: "2026-03-15T18:00:00.000+01:00".to_owned(),
        reason: "the pedal came.".to_owned(),
        changed: vec![
            changed(None, &["finished", "not_done"]),
            changed(Some("pedal"), &["deferred", "readings", "standing"]),
            changed(Some("cap"), &["id", "title"]),
        ],
    });
    let before = sheet(&record, "ab", "cd").before.unwrap();
    assert_eq!(
        before.heading,
        "In the place of the record of 2026-03-15 18:00 +01:00"
    );
    assert!(
        before.says[0].starts_with("Why: the pedal came. The SHA-256"),
        "{before:?}"
    );
    assert_eq!(
        before.says[1],
        "Taken up again 2026-03-16 08:05 +01:00 by I. Berg: it creaks."
    );
    let said: Vec<String> = before
        .changed
        .iter()
        .map(|item| format!("{} {}: {}", item.what, item.rows, item.says))
        .collect();
    assert_eq!(
        said,
        [
            "The whole bike : when it was handed over, what was not done",
            "Left pedal 5: whether it is put off, readings, how it stands",
            "Top cap 6: new in this record",
        ]
    );
}

#[test]
fn whatever_can_be_different_has_a_word() {
    let members = |schema: schemars::Schema| {
        let schema = serde_json::to_value(schema).unwrap();
        let members = schema["properties"].as_object().unwrap().clone();
        members.into_iter().map(|(name, _)| name)
    };
    // These are left out of the comparison, or are said in other words.
    let apart = [
        "amends",
        "key_history",
        "keys",
        "ledger",
        "record_version",
        "id",
    ];
    let all = members(schemars::schema_for!(Subject))
        .chain(members(schemars::schema_for!(FastenerRecord)));
    let mut seen = 0;
    for name in all.filter(|name| !apart.contains(&name.as_str())) {
        assert!(amended::word(&name).is_some(), "{name}");
        seen += 1;
    }
    assert!(seen > 40, "{seen}");
}

#[test]
fn a_reading_that_belongs_elsewhere_is_said() {
    let sheet = example();
    let said = sheet
        .history
        .iter()
        .find(|item| item.what.starts_with("Belongs"));
    let says = &said.unwrap().says;
    assert!(says.starts_with("1 reading (1.234 N·m): "), "{says}");
}

#[test]
fn numbers_are_said_as_ranges() {
    let ranges = |numbers: &[usize]| ranges::ranges(numbers);
    assert_eq!(ranges(&[]), "");
    assert_eq!(ranges(&[4]), "4");
    assert_eq!(ranges(&[1, 2, 4, 6, 7, 8]), "1, 2, 4, 6–8");
}
