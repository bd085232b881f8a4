//! The page that shows a record and checks it by itself, in one file and without a network.

use super::Beside;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use miette::IntoDiagnostic as _;
use pullmark_schema::canonical::sha256;
use pullmark_schema::map;
use pullmark_schema::record::Record;
use std::collections::BTreeMap;

const PAGE: &str = include_str!("record.html");
const STYLE: &str = include_str!("record.css");
const VERIFY: &str = include_str!("verify.js");
const SHOW: &str = include_str!("show.js");
const CHOOSE: &str = "<p><label>Record file: <input type=\"file\" id=\"choose\" accept=\".json,application/json\"></label></p>";

/// The words for cautions, standings and units are those of the bench page.
const WORDS: &str = include_str!("../../../daemon/page/words.js");

/// A table of words out of the bench page's.
fn table(name: &str) -> &'static str {
    let from = WORDS.find(&format!("const {name} = {{"));
    let rest = from.and_then(|from| WORDS.get(from..)).unwrap_or_default();
    let end = rest.find("\n};").map(|end| end + "\n};".len());
    end.and_then(|end| rest.get(..end)).unwrap_or_default()
}

/// The tables that the page takes from there.
const TABLES: [&str; 4] = ["STANDING", "CAUTION", "CHECK_CAUTION", "UCUM"];

/// One script of all modules: a page opened from disk may load no other file.
fn script() -> String {
    let verify = VERIFY.replace("\nexport ", "\n");
    let show: String = SHOW
        .lines()
        .filter(|line| !line.starts_with("import "))
        .flat_map(|line| [line, "\n"])
        .collect();
    let words = TABLES.map(table).join("\n");
    format!("{verify}\n{words}\n{show}")
}

fn hash(text: &str) -> String {
    STANDARD.encode(sha256(text.as_bytes()))
}

fn fill(choose: &str, data: &str) -> String {
    let script = script();
    // What is filled in last may hold anything, also what looks like a gap of the template.
    PAGE.replace("{{STYLE_HASH}}", &hash(STYLE))
        .replace("{{SCRIPT_HASH}}", &hash(&script))
        .replace("{{STYLE}}", STYLE)
        .replace("{{CHOOSE}}", choose)
        .replace("{{SCRIPT}}", &script)
        .replace("{{DATA}}", data)
}

/// JSON inside of a page: no `<` in it can end the element that holds it. `\u003c` means the same to whoever reads JSON.
fn embedded(id: &str, json: &str) -> String {
    let json = json.replace('<', "\\u003c");
    format!("<script type=\"application/json\" id=\"{id}\">{json}</script>")
}

/// The page of one record.
pub(super) fn page(file: &[u8], record: &Record, beside: &Beside) -> miette::Result<Vec<u8>> {
    let file = std::str::from_utf8(file).into_diagnostic()?;
    let traces: BTreeMap<String, String> = beside
        .traces
        .iter()
        .map(|(sequence, bytes)| (sequence.to_string(), STANDARD.encode(bytes)))
        .collect();
    let lying_beside = serde_json::json!({
        "map": map::map(record.subject.frame),
        "traces": traces,
    });
    let data = format!(
        "{}\n{}",
        embedded("file", file),
        embedded("beside", &lying_beside.to_string())
    );
    Ok(fill("", &data).into_bytes())
}

/// The page that checks whatever record file is chosen.
pub(crate) fn checker() -> String {
    fill(CHOOSE, "")
}

#[cfg(test)]
mod tests {
    use super::*;
    use pullmark_schema::quantity::{Kind, UNITS};

    #[test]
    fn the_page_has_words_for_every_caution_and_every_unit_of_torque() {
        for (name, word) in [
            ("CAUTION", "\"battery-low\": \"battery nearly empty\""),
            ("CHECK_CAUTION", "\"nothing-stated\": "),
            ("STANDING", "\"over-kept\": \"over, inspected and kept\""),
            ("UCUM", "Cel: \"°C\""),
        ] {
            assert!(table(name).contains(word), "{name}");
            assert_eq!(script().matches(table(name)).count(), 1, "{name}");
        }
        for unit in UNITS.iter().filter(|unit| unit.kind == Kind::Torque) {
            let pair = format!("\"{}\": \"{}\"", unit.ucum, unit.symbol);
            assert!(table("UCUM").contains(&pair), "{pair}");
        }
    }
}
