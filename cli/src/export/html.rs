//! The page that shows a record and checks it by itself, in one file and without a network.

mod tables;

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
const CHOOSE: &str = include_str!("choose.html");

/// The modules of the page, each after those that it takes from.
const MODULES: [&str; 12] = [
    include_str!("read.js"),
    include_str!("signed.js"),
    include_str!("form.js"),
    include_str!("likely.js"),
    include_str!("judge.js"),
    include_str!("agree.js"),
    include_str!("checks.js"),
    include_str!("plan.js"),
    include_str!("ledger.js"),
    include_str!("verify.js"),
    include_str!("show.js"),
    include_str!("page.js"),
];

/// One script of all modules: a page opened from disk may load no other file.
fn script() -> String {
    let mut script = tables::tables();
    for module in MODULES {
        script.push('\n');
        for line in module.lines().filter(|line| !line.starts_with("import ")) {
            script.push_str(line.strip_prefix("export ").unwrap_or(line));
            script.push('\n');
        }
    }
    script
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
    use super::tables::{TABLES, tables};
    use super::*;
    use pullmark_schema::build::Standing;
    use pullmark_schema::check::CheckCaution;
    use pullmark_schema::practice::COMMON_PRACTICE;
    use pullmark_schema::quantity::{Kind, UNITS};
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
