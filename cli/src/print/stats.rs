//! Process figures as a table.

use super::padded;
use pullmark_schema::api::{IndexView, StatsGroup, StatsView};

/// A heading and a line for each group.
pub(crate) fn stats(view: &StatsView) -> Vec<String> {
    if view.groups.is_empty() {
        return vec!["No reading with two limits yet: nothing to reckon with.".to_owned()];
    }
    let head = format!(
        "{}{:>8}   Cp (95 %)               Cpk (95 %)              where in the tolerance",
        padded(&view.group, 22),
        "pulls"
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
        padded(&index(group.cp.as_ref()), 24),
        padded(&index(group.cpk.as_ref()), 24),
        hundredths(group.mean_thousandths),
        hundredths(group.deviation_thousandths),
    )
}

fn index(index: Option<&IndexView>) -> String {
    index.map_or_else(
        || "–".to_owned(),
        |index| {
            format!(
                "{} ({} … {})",
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
