//! The table of readings, to the byte.

use super::{defused, readings_csv};
use crate::core::seal::{Means, seal};
use crate::testing::{BUILD, Day, MARA, PLAN, WRENCH, past_its_range, wrench};
use pullmark_schema::SigningKey;
use pullmark_schema::api::Act;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::Event;
use pullmark_schema::multikey::DidKey;
use pullmark_schema::record::file::RecordFile;
use pullmark_schema::record::{self, Record};
use serde::Deserialize;

/// A bike whose plan and tool are full of what a spreadsheet takes for a formula.
fn small_record() -> Record {
    let plan = PLAN
        .replace("\"Seat post\"", "\"=1+1\"")
        .replace("\"Seat clamp bolt\"", "\"@SUM(A1), \\\"tight\\\"\"")
        .replace("\"Left pedal\"", "\"-Left\\npedal\"");
    let key = SigningKey::from_bytes(&[9; 32]);
    let mut day = Day::with(&plan);
    day.bench.key_history[0].key = DidKey::of(&key).multikey();
    let mut tool = wrench(WRENCH);
    tool.serial = "+49 30 1".to_owned();
    tool.certificate.as_mut().unwrap().number = "=HYPERLINK(\"a\",\"b\")".to_owned();
    day.must(Act::AddTool {
        by: None,
        tool: Box::new(tool),
    });
    day.pull(5_000);
    let (tool, value, by) = (
        WRENCH.to_owned(),
        "310 lbf·in".to_owned(),
        "Mara, =cmd".to_owned(),
    );
    let attested = day.must(Act::EnterReading {
        tool,
        value,
        by,
        fastener: Some("pedal.left".to_owned()),
    });
    let alarm = attested[0].sequence;
    day.must(Act::Acknowledge {
        alarm,
        by: MARA.to_owned(),
    });
    let (past, _) = day.comes(7_000, past_its_range());
    day.must(Act::Place {
        reading: past,
        fastener: None,
        pass: None,
        by: MARA.to_owned(),
        reason: None,
    });
    day.must(Act::Acknowledge {
        alarm: past,
        by: MARA.to_owned(),
    });
    let rest: Vec<String> = day
        .build()
        .plan
        .fasteners()
        .map(|(_, fastener)| fastener.id.clone())
        .collect();
    for fastener in rest
        .into_iter()
        .filter(|id| id != "seat.clamp" && id != "pedal.left")
    {
        let (build, by, reason) = (BUILD.to_owned(), MARA.to_owned(), "next week".to_owned());
        day.must(Act::Defer {
            build,
            fastener,
            by,
            reason,
            waits_for: None,
        });
    }
    day.must(Act::Finish {
        build: BUILD.to_owned(),
        by: MARA.to_owned(),
        sure: Some("counted twice".to_owned()),
    });
    let head = (day.bench.next_sequence, Digest32::of(b"head"));
    let means = Means {
        bench: "bench-1",
        key: &key,
        random: [7; 16],
        secret: [8; 32],
        head,
    };
    let sealed = seal(&day.bench, BUILD, MARA.to_owned(), None, &means, day.now()).unwrap();
    let Event::RecordSealed { names, .. } = sealed.event else {
        panic!("{:?}", sealed.event)
    };
    let file = RecordFile::of(&sealed.attached.unwrap()).unwrap();
    let bytes = RecordFile { names, ..file }.bytes().unwrap();
    record::verify(&bytes).unwrap().record
}

#[test]
fn the_table_of_a_small_record() {
    let id = "urn:uuid:07070707-0707-4707-8707-070707070707";
    let certificate = "\"'=HYPERLINK(\"\"a\"\",\"\"b\"\")\"";
    let expected = [
        "sequence,time,stage,fastener,title,pass,displayed,displayed unit,applied (N·m),lower (N·m),upper (N·m),verdict,\
         counts,origin,tool serial,certificate,record (this table is not signed),quantity,value of a check,lower of a check,upper of a check,limits from"
            .to_owned(),
        format!(
            "5,2026-11-25T08:16:47.000+01:00,'=1+1,seat.clamp,\"'@SUM(A1), \"\"tight\"\"\",1,5.000,N·m,5.000,4.500,5.500,\
             within,yes,measured,'+49 30 1,{certificate},{id},torque,,,,"
        ),
        // 310 lbf·in = 35.025 297 N·m (NIST SP 811, appendix B.8), rounded up
        format!(
            "6,2026-11-25T08:16:47.000+01:00,Cranks,pedal.left,\"'-Left\npedal\",1,310,lbf·in,35.026,31.500,38.500,within,\
             yes,\"attested by Mara, =cmd\",'+49 30 1,{certificate},{id},torque,,,,"
        ),
        format!(
            "8,2026-11-25T08:16:54.000+01:00,,,,,,,,,,,no,measured,'+49 30 1,{certificate},{id},torque,,,,"
        ),
        String::new(),
    ];
    assert_eq!(
        readings_csv(&small_record()).unwrap(),
        expected.join("\r\n")
    );
}

#[test]
fn the_table_is_read_again_by_a_reader_of_tables() {
    let text = readings_csv(&small_record()).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 3);
    assert_eq!(&rows[0][4], "'@SUM(A1), \"tight\"");
    for cell in rows.iter().flatten() {
        assert!(
            !cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']),
            "{cell:?}"
        );
    }
}

#[derive(Deserialize)]
struct Cells {
    cells: Vec<Cell>,
}

#[derive(Deserialize)]
struct Cell {
    raw: String,
    field: String,
}

/// The cases of RFC 4180, section 2, and OWASP ASVS 5.0, 1.2.10, that the project keeps.
#[test]
fn cells_of_free_text_are_written_as_in_the_vectors() {
    let text = include_str!("../../../tests/vectors/csv-cells.json");
    let vectors: Cells = serde_json::from_str(text).unwrap();
    assert!(vectors.cells.len() >= 12);
    for Cell { raw, field } in vectors.cells {
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(Vec::new());
        writer
            .write_record([defused(&raw).as_ref(), "end"])
            .unwrap();
        let line = String::from_utf8(writer.into_inner().unwrap()).unwrap();
        assert_eq!(line, format!("{field},end\r\n"), "{raw:?}");
    }
}

#[test]
fn a_record_of_a_stranger_hides_no_formula_in_its_times_and_names() {
    let mut record = small_record();
    record.id = "=1+1".to_owned();
    record.subject.fasteners[0].readings[0].time = "@now".to_owned();
    record.subject.fasteners[0].readings[0]
        .reading
        .displayed
        .as_mut()
        .unwrap()
        .unit = "=unit".to_owned();
    let text = readings_csv(&record).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let first = reader.records().next().unwrap().unwrap();
    assert_eq!(
        (&first[1], &first[7], &first[16]),
        ("'@now", "'=unit", "'=1+1")
    );
}
