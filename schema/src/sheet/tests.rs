use super::*;
use crate::record::tests::bench::{composed, day};

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
    assert!(!sheet.due.is_empty());
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
