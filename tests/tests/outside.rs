//! Promise 3, "the record can be checked by someone who trusts neither the shop nor this program": by a Python program
//! that was written from the standards alone (see `published/`), and by OpenSSL.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::proof;
use pullmark_tests::python::{published, python};
use pullmark_tests::{Command, Said, Stand, ledger, plans};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// A record, the ledger behind it, and a home for the programs.
struct Case {
    home: tempfile::TempDir,
}

impl Case {
    fn demo() -> Self {
        let home = tempfile::tempdir().unwrap();
        let demo = Command::pullmark(home.path())
            .args(["demo", "--fast", "--out"])
            .arg(home.path().join("out"));
        demo.within(Duration::from_mins(1)).run().ok();
        Self { home }
    }

    /// The file as the customer gets it.
    fn file(&self) -> PathBuf {
        self.home.path().join("out/record.json")
    }

    /// The signed record out of it, alone.
    fn record(&self) -> PathBuf {
        let alone = self.home.path().join("record-alone.json");
        let file: Value = serde_json::from_slice(&std::fs::read(self.file()).unwrap()).unwrap();
        std::fs::write(&alone, file["record"].to_string()).unwrap();
        alone
    }

    fn ours(&self, file: &Path) -> Said {
        Command::pullmark(self.home.path())
            .args(["record", "verify", "--json"])
            .arg(file)
            .run()
    }

    fn theirs(&self, file: &Path, more: &[&str]) -> Said {
        Command::new(python(), self.home.path())
            .arg(published("verify_record.py"))
            .arg(file)
            .args(more)
            .run()
    }

    /// Writes a record in another form and asks both programs about it.
    fn both(&self, bytes: &[u8]) -> (Said, Said) {
        let file = self.home.path().join("other.json");
        std::fs::write(&file, bytes).unwrap();
        (self.ours(&file), self.theirs(&file, &["--json"]))
    }
}

#[test]
fn a_program_written_from_the_standards_alone_comes_to_the_same() {
    let case = Case::demo();
    for file in [case.file(), case.record()] {
        let theirs = case.theirs(&file, &["--json"]).ok().json();
        let ours = case.ours(&file).ok().json();
        for member in [
            "valid",
            "key",
            "fingerprint",
            "sha256",
            "created",
            "hidden_names",
        ] {
            assert_eq!(theirs[member], ours[member], "{member}");
        }
        for member in ["size", "root", "entries", "numbered"] {
            assert_eq!(theirs["ledger"][member], ours["ledger"][member], "{member}");
        }
        assert_eq!(theirs["ledger"]["readings"], ours["ledger"]["refolded"]);
    }
    let ours = case.ours(&case.file()).ok().json();
    assert_eq!(ours["ledger"]["refolded"], true);
    let fingerprint = ours["fingerprint"].as_str().unwrap();
    case.theirs(&case.record(), &[])
        .ok()
        .says(&["valid", fingerprint]);
    case.theirs(&case.record(), &["--fingerprint", fingerprint])
        .ok();
    case.theirs(&case.record(), &["--fingerprint", &"0".repeat(64)])
        .status(1)
        .says(&[fingerprint]);
    case.theirs(Path::new("/no/such/record"), &[]).status(2);
}

#[test]
fn the_same_document_in_another_layout_holds_for_both() {
    let case = Case::demo();
    let record: Value = serde_json::from_slice(&std::fs::read(case.record()).unwrap()).unwrap();
    let plain = record.to_string();
    let escaped: String = plain
        .chars()
        .map(|c| {
            if c.is_ascii() {
                c.to_string()
            } else {
                escape(c)
            }
        })
        .collect();
    assert!(
        escaped.contains("\\u"),
        "the record has a sign that can be written in two ways"
    );
    for text in [
        serde_json::to_string_pretty(&record).unwrap(),
        format!(" \n\t{plain}\r\n"),
        escaped,
    ] {
        let (ours, theirs) = case.both(text.as_bytes());
        ours.ok();
        theirs.ok();
        assert_eq!(
            ours.json()["sha256"],
            theirs.json()["sha256"],
            "and they name it by the same hash"
        );
    }
}

fn escape(c: char) -> String {
    let mut units = [0; 2];
    let units = c.encode_utf16(&mut units).iter();
    units.fold(String::new(), |text, unit| format!("{text}\\u{unit:04x}"))
}

/// What is done to a record, by the name it goes under in a failure.
type Change = (&'static str, fn(&mut Value));

const CHANGES: [Change; 16] = [
    ("a torque", |r| {
        r["credentialSubject"]["fasteners"][0]["readings"][0]["reading"]["applied_millinewton_metre"] =
            json!(1);
    }),
    ("a verdict", |r| {
        r["credentialSubject"]["fasteners"][0]["readings"][0]["verdict"]["answer"] = json!("over");
    }),
    ("a reading taken out", |r| {
        drop(list(&mut r["credentialSubject"]["fasteners"][0]["readings"]).remove(0));
    }),
    ("two fasteners swapped", |r| {
        list(&mut r["credentialSubject"]["fasteners"]).swap(0, 1);
    }),
    ("what was not done", |r| {
        list(&mut r["credentialSubject"]["not_done"]).clear();
    }),
    ("a member more", |r| {
        r["credentialSubject"]["colour"] = json!("red");
    }),
    ("a member of the document more", |r| {
        r["colour"] = json!("red");
    }),
    ("a member of the proof more", |r| {
        r["proof"]["nonce"] = json!("1");
    }),
    ("a context more, in both", |r| {
        list(&mut r["@context"]).push(json!("https://example.org/v1"));
        list(&mut r["proof"]["@context"]).push(json!("https://example.org/v1"));
    }),
    ("a context more, in the document alone", |r| {
        list(&mut r["@context"]).push(json!("https://example.org/v1"));
    }),
    ("the time of signing", |r| {
        r["proof"]["created"] = json!("2026-01-01T00:00:00Z");
    }),
    ("the purpose", |r| {
        r["proof"]["proofPurpose"] = json!("authentication");
    }),
    ("the issuer", |r| {
        r["issuer"] = json!("did:key:z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2");
    }),
    ("no proof", |r| {
        drop(r.as_object_mut().unwrap().remove("proof"));
    }),
    ("two proofs", |r| {
        let proof = r["proof"].clone();
        r["proof"] = json!([proof, proof]);
    }),
    ("the signature cut", |r| {
        r["proof"]["proofValue"] = json!("z1111");
    }),
];

fn list(value: &mut Value) -> &mut Vec<Value> {
    value.as_array_mut().unwrap()
}

#[test]
fn both_refuse_every_change() {
    let case = Case::demo();
    let record: Value = serde_json::from_slice(&std::fs::read(case.record()).unwrap()).unwrap();
    for (what, change) in CHANGES {
        let mut changed = record.clone();
        change(&mut changed);
        assert_ne!(changed, record, "{what}");
        let (ours, theirs) = case.both(changed.to_string().as_bytes());
        assert_eq!(ours.status(1).json()["valid"], false, "{what}");
        assert_eq!(theirs.status(1).json()["valid"], false, "{what}");
    }
}

/// What is done to what lies beside the record.
const BESIDE: [Change; 9] = [
    ("a reading's entry", |f| {
        let entries = list(&mut f["history"]["entries"]);
        let pulled = entries
            .iter_mut()
            .find(|entry| entry["kind"] == "pulled")
            .unwrap();
        pulled["body"]["reading"]["displayed"]["value"] = json!("0.01");
    }),
    ("an entry taken out", |f| {
        drop(list(&mut f["history"]["entries"]).remove(4));
    }),
    ("an entry twice", |f| {
        let entries = list(&mut f["history"]["entries"]);
        entries.insert(5, entries[4].clone());
    }),
    ("two entries swapped", |f| {
        list(&mut f["history"]["entries"]).swap(3, 4);
    }),
    ("a hash", |f| {
        f["history"]["hashes"][0] = json!("AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=");
    }),
    ("a hash more", |f| {
        let hashes = list(&mut f["history"]["hashes"]);
        hashes.push(hashes[0].clone());
    }),
    ("a name", |f| f["names"][0]["name"] = json!("Somebody Else")),
    ("a link", |f| f["keys"][0]["next"] = json!("0".repeat(64))),
    ("the plan", |f| f["plans"] = json!(["title = 'another'"])),
];

#[test]
fn both_refuse_every_change_of_what_lies_beside_the_record() {
    let case = Case::demo();
    let file: Value = serde_json::from_slice(&std::fs::read(case.file()).unwrap()).unwrap();
    let (ours, theirs) = case.both(serde_json::to_string_pretty(&file).unwrap().as_bytes());
    ours.ok();
    theirs.ok();
    for (what, change) in BESIDE {
        let mut changed = file.clone();
        change(&mut changed);
        assert_ne!(changed, file, "{what}");
        let (ours, theirs) = case.both(changed.to_string().as_bytes());
        assert_eq!(ours.status(1).json()["valid"], false, "{what}");
        assert_eq!(theirs.status(1).json()["valid"], false, "{what}");
    }
}

/// Two readers of these texts could see two different documents, so nobody may call them valid.
#[test]
fn both_refuse_texts_that_can_be_read_in_two_ways() {
    let case = Case::demo();
    let record = std::fs::read_to_string(case.record()).unwrap();
    let twice = record.replacen(
        "\"practice\":true",
        "\"practice\":false,\"practice\":true",
        1,
    );
    let fraction = record.replacen("\"record_version\":2", "\"record_version\":2.0", 1);
    let power = record.replacen("\"record_version\":2", "\"record_version\":2e0", 1);
    let minus = record.replacen("\"sequence\":0", "\"sequence\":-0", 1);
    let surrogate = record.replacen(
        "\"practice\":true",
        "\"practice\":true,\"x\":\"\\ud800\"",
        1,
    );
    let behind = format!("{record}{{}}");
    let mark = format!("\u{feff}{record}");
    for text in [
        &twice, &fraction, &power, &minus, &surrogate, &behind, &mark,
    ] {
        assert_ne!(*text, record);
        let (ours, theirs) = case.both(text.as_bytes());
        assert_eq!(ours.status(1).json()["valid"], false);
        assert_eq!(theirs.status(1).json()["valid"], false);
    }
    let mut bytes = record.into_bytes();
    bytes[20] = 0xff;
    let (ours, theirs) = case.both(&bytes);
    ours.status(1);
    theirs.status(1);
}

/// S and S plus the order of the group are the same number to a careless verifier (RFC 8032 section 5.1.7).
#[test]
fn both_refuse_the_same_signature_written_in_a_second_way() {
    let case = Case::demo();
    let mut record: Value = serde_json::from_slice(&std::fs::read(case.record()).unwrap()).unwrap();
    let mut signature =
        proof::decode_proof_value(record["proof"]["proofValue"].as_str().unwrap()).unwrap();
    // The order of the base point, RFC 8032 section 5.1, little-endian.
    let order =
        hex::decode("edd3f55c1a631258d69cf7a2def9de1400000000000000000000000000000010").unwrap();
    let mut carry = 0_u16;
    for (digit, order) in signature[32..].iter_mut().zip(order) {
        let sum = u16::from(*digit) + u16::from(order) + carry;
        *digit = sum.to_le_bytes()[0];
        carry = sum >> 8;
    }
    assert_eq!(carry, 0);
    record["proof"]["proofValue"] = json!(proof::encode_proof_value(&signature));
    let (ours, theirs) = case.both(record.to_string().as_bytes());
    ours.status(1);
    theirs.status(1);
}

#[test]
fn openssl_says_that_the_signature_holds() {
    let case = Case::demo();
    let openssl = |arguments: &[&str]| {
        let parts = case.home.path().join("parts");
        Command::new("openssl", case.home.path())
            .current_dir(&parts)
            .args(arguments)
            .run()
    };
    let parts = case.home.path().join("parts");
    case.theirs(&case.record(), &["--parts", parts.to_str().unwrap()])
        .ok();
    let version = openssl(&["version"]);
    let major = version
        .out
        .strip_prefix("OpenSSL ")
        .and_then(|rest| rest.split('.').next())
        .and_then(|n| n.parse().ok());
    // Older ones cannot check a signature over a whole message; then the other program has to do.
    if major.unwrap_or(0) < 3 {
        println!("skipped: {}", version.out);
        return;
    }
    let verify = [
        "pkeyutl",
        "-verify",
        "-pubin",
        "-inkey",
        "key.pem",
        "-rawin",
        "-in",
        "message.bin",
        "-sigfile",
        "signature.bin",
    ];
    openssl(&verify)
        .ok()
        .says(&["Signature Verified Successfully"]);
    let mut message = std::fs::read(parts.join("message.bin")).unwrap();
    message[63] ^= 1;
    std::fs::write(parts.join("message.bin"), message).unwrap();
    openssl(&verify).status(1);
}

#[test]
fn the_ledger_holds_for_a_program_written_from_the_standards_alone() {
    let mut stand = Stand::begin(plans::SMALL);
    stand.work_to_the_end();
    stand.finish();
    let home = stand.shop.folder().to_owned();
    let check = |file: &Path| {
        let check = Command::new(python(), &home).arg(published("check_ledger.py"));
        check.arg(file).arg("--json").run()
    };
    let file = stand.shop.data().join("ledger.sqlite");
    let theirs = check(&file).ok().json();
    let ours = stand
        .shop
        .pullmark(["ledger", "check", "--json"])
        .ok()
        .json();
    assert_eq!(theirs, ours, "entries, root, attachments and signed heads");
    assert_eq!(theirs["checkpoints"], 3, "the seal's, and two after it");

    assert_eq!(stand.shop.terminate(), Some(0));
    let last = ledger::rows_of(&file).len() - 1;
    let heading = format!(
        "UPDATE entry SET body = CAST(replace(CAST(body AS TEXT), 'checkpoint', 'checkpoimt') AS BLOB) WHERE sequence = {last}"
    );
    let attached = "UPDATE entry SET attached = x'00' WHERE attached IS NOT NULL AND sequence > 4";
    for sql in [attached, &heading, "DELETE FROM entry WHERE sequence = 5"] {
        let copy = stand.shop.folder().join("data");
        let saved = std::fs::read(&file).unwrap();
        ledger::tamper(&copy, sql);
        assert_eq!(check(&file).status(1).json()["valid"], false, "{sql}");
        stand.shop.pullmark(["ledger", "check"]).status(1);
        std::fs::write(&file, saved).unwrap();
    }
    check(&file).ok();
}
