//! The page that shows a record and checks it by itself, in one file and without a network.

use super::Beside;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use miette::IntoDiagnostic as _;
use pullmark_schema::canonical::sha256;
use pullmark_schema::map;
use pullmark_schema::practice::COMMON_PRACTICE;
use pullmark_schema::quantity::UNITS;
use pullmark_schema::record::Record;
use std::collections::BTreeMap;

const PAGE: &str = include_str!("record.html");
const STYLE: &str = include_str!("record.css");
const VERIFY: &str = include_str!("verify.js");
const SHOW: &str = include_str!("show.js");
const CHOOSE: &str = "<p><label>Record file: <input type=\"file\" id=\"choose\" accept=\".json,application/json\"></label></p>";

/// The words for cautions and standings are the English ones of the bench page; a record is English.
const WORDS: &str = include_str!("../../../daemon/page/words/en.ftl");

/// The tables that the page takes from there: their names, and what the names of their messages begin with.
const TABLES: [(&str, &str); 3] = [
    ("STANDING", "standing-"),
    ("CAUTION", "caution-"),
    ("CHECK_CAUTION", "check-caution-"),
];

/// A table of words out of the bench page's messages, which are one line each here: `caution-battery-low = battery …`.
fn words(name: &str, family: &str) -> String {
    let rows: BTreeMap<&str, &str> = WORDS
        .lines()
        .filter_map(|line| line.strip_prefix(family)?.split_once(" = "))
        .collect();
    format!(
        "const {name} = {};",
        serde_json::to_string(&rows).unwrap_or_default()
    )
}

/// How units are shown, by their UCUM code.
fn units() -> String {
    let rows: BTreeMap<&str, &str> = UNITS.iter().map(|unit| (unit.ucum, unit.symbol)).collect();
    format!(
        "const UCUM = {};",
        serde_json::to_string(&rows).unwrap_or_default()
    )
}

/// The source that a plan names where a limit is nobody's figure.
fn practice() -> String {
    format!(
        "const COMMON_PRACTICE = {};",
        serde_json::to_string(COMMON_PRACTICE).unwrap_or_default()
    )
}

/// All tables, as a script.
fn tables() -> String {
    let words = TABLES.map(|(name, family)| words(name, family));
    format!("{}\n{}\n{}", words.join("\n"), units(), practice())
}

/// One script of all modules: a page opened from disk may load no other file.
fn script() -> String {
    let verify = VERIFY.replace("\nexport ", "\n");
    let show: String = SHOW
        .lines()
        .filter(|line| !line.starts_with("import "))
        .flat_map(|line| [line, "\n"])
        .collect();
    format!("{verify}\n{}\n{show}", tables())
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
    use pullmark_schema::build::Standing;
    use pullmark_schema::check::CheckCaution;
    use pullmark_schema::quantity::Kind;
    use pullmark_schema::verdict::Caution;

    #[test]
    fn the_page_has_words_for_every_caution_and_every_unit_of_torque() {
        let script = script();
        let says = |code: &str, words: &str| {
            let row = format!("\"{code}\":\"{words}\"");
            assert!(script.contains(&row), "{row}");
        };
        says("battery-low", &Caution::BatteryLow.to_string());
        says("nothing-stated", &CheckCaution::NothingStated.to_string());
        says("over-kept", &Standing::OverKept.to_string());
        says("Cel", "°C");
        for unit in UNITS.iter().filter(|unit| unit.kind == Kind::Torque) {
            says(unit.ucum, unit.symbol);
        }
        for (name, _) in TABLES {
            let table = format!("const {name} = {{\"");
            assert_eq!(script.matches(&table).count(), 1, "{name}");
        }
        let practice = format!("const COMMON_PRACTICE = \"{COMMON_PRACTICE}\";");
        assert_eq!(script.matches(&practice).count(), 1);
        assert_eq!(script.matches(COMMON_PRACTICE).count(), 1);
        // Nothing of a message that puts something in could be shown by a table.
        assert!(!tables().contains("{ $"));
    }
}
