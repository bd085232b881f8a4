//! An uncertainty budget as a table that can be added up by hand.

use super::padded;
use pullmark_schema::gauge::Worth;
use pullmark_schema::quantity::MicroTorque;
use pullmark_schema::reading::Reading;

/// Where the lines begin, below the reading that they explain.
const INDENT: &str = "          ";

/// What a reading is worth: what was corrected, every line of the budget, and what they come to.
pub(crate) fn budget(reading: &Reading) -> Vec<String> {
    let Some(worth) = &reading.worth else {
        return vec![format!(
            "{INDENT}no budget: nothing is known about the tool"
        )];
    };
    let mut lines = vec![head(reading, worth)];
    if let Some(fitted) = &reading.adapter {
        lines.push(format!("with {}", fitted.adapter));
    }
    for (name, standard, freedom) in worth.lines.each() {
        let freedom = freedom.map_or_else(|| "∞".to_owned(), |freedom| freedom.to_string());
        let name = padded(&name.to_string(), 34);
        lines.push(format!("{name} u = {}   ν = {freedom}", size(standard)));
    }
    let freedom = worth.freedom;
    let freedom = freedom.map_or_else(|| "∞".to_owned(), |freedom| freedom.to_string());
    let all = padded("combined", 34);
    lines.push(format!(
        "{all} u = {}   ν = {freedom}",
        size(worth.standard)
    ));
    let expanded = padded("expanded, 95.45 %", 34);
    lines.push(format!(
        "{expanded} U = {}   k = {}",
        size(worth.expanded),
        thousandths(worth.coverage_thousandths)
    ));
    lines.iter().map(|line| format!("{INDENT}{line}")).collect()
}

fn head(reading: &Reading, worth: &Worth) -> String {
    let judged = reading
        .applied
        .map_or_else(|| "past its range".to_owned(), |torque| torque.to_string());
    if worth.deviation_ppm == 0 {
        return format!("{judged} at the fastener; {}", worth.basis);
    }
    format!(
        "{judged} at the fastener; {}, deviation {} corrected",
        worth.basis,
        percent(worth.deviation_ppm)
    )
}

fn size(torque: MicroTorque) -> String {
    let micro = torque.small_units();
    format!("{}.{:06} N·m", micro / 1_000_000, micro % 1_000_000)
}

fn thousandths(value: u32) -> String {
    format!("{}.{:03}", value / 1000, value % 1000)
}

/// Millionths as a percentage with its sign.
pub(crate) fn percent(ppm: i32) -> String {
    let sign = if ppm < 0 { '−' } else { '+' };
    let size = ppm.unsigned_abs();
    format!("{sign}{}.{:02} %", size / 10_000, size % 10_000 / 100)
}
