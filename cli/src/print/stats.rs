//! Process figures as a table.

use super::padded;
use pullmark_schema::api::{IndexView, StatsGroup, StatsView};

/// A heading and a line for each group.
pub(crate) fn stats(view: &StatsView) -> Vec<String> {
    if view.groups.is_empty() {
        return vec!["No reading with two limits yet: nothing to reckon with.".to_owned()];
    }
    let head = format!(
        "{}{:>8}   {}{}where between the limits (0 … 1)",
        padded(&view.group, 22),
        "pulls",
        padded("spread (95 %)", 26),
        padded("with the mean (95 %)", 26),
    );
    std::iter::once(head)
        .chain(view.groups.iter().map(line))
        .collect()
}

fn line(group: &StatsGroup) -> String {
    let why = group.too_few.as_deref().unwrap_or_default();
    format!(
        "{}{:>8}   {}{}mean {}, s {}  {why}",
        padded(&group.name, 22),
        group.readings,
        padded(&index(group.cp.as_ref()), 26),
        padded(&index(group.cpk.as_ref()), 26),
        hundredths(group.mean_thousandths),
        hundredths(group.deviation_thousandths),
    )
}

fn index(index: Option<&IndexView>) -> String {
    index.map_or_else(
        || "–".to_owned(),
        |index| {
            format!(
                "{} {} ({} … {})",
                index.name,
                hundredths(index.value_thousandths),
                hundredths(index.from_thousandths),
                hundredths(index.to_thousandths)
            )
        },
    )
}

fn hundredths(thousandths: i32) -> String {
    format!("{:.2}", f64::from(thousandths) / 1000.0)
}
