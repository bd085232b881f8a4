//! What to set or read on each tool for the next pull, and what recalls found.

use pullmark_schema::api::{NextView, RecalledView, SettingView};
use pullmark_schema::quantity::Torque;

/// A line a tool; where the tool shows what the bolt gets, there is nothing to say.
pub(crate) fn settings(next: &NextView) -> Vec<String> {
    let adapter = next.adapter.as_ref();
    let fit = adapter.map(|adapter| {
        let changes = if adapter.is_offset {
            "it changes the torque"
        } else {
            "it changes nothing"
        };
        format!("  with {}; {changes}", adapter.text)
    });
    let note = next.note.as_ref().map(|note| format!("  {note}"));
    let lines = next
        .settings
        .iter()
        .filter(|setting| !is_plain(setting, next.aim_millinewton_metre))
        .map(setting);
    note.into_iter().chain(fit).chain(lines).collect()
}

fn is_plain(setting: &SettingView, aim: i64) -> bool {
    setting.set_millinewton_metre == aim
        && setting.is_as_planned
        && setting.cautions.is_empty()
        && !setting.is_set
}

fn setting(setting: &SettingView) -> String {
    let verb = if setting.is_set { "set" } else { "read" };
    let torque = |small| super::torque(Torque::from_small_units(small));
    let fitted = setting
        .fitted
        .as_ref()
        .map(|fitted| format!(" (on it: {fitted})"))
        .unwrap_or_default();
    let not_planned = if setting.is_as_planned {
        ""
    } else {
        "; NOT the adapter that the plan asks for"
    };
    let range = match (setting.from_millinewton_metre, setting.to_millinewton_metre) {
        (Some(from), Some(to)) => format!(", {} to {} is within", torque(from), torque(to)),
        (None, Some(to)) => format!(", up to {} is within", torque(to)),
        _ => String::new(),
    };
    let cautions: Vec<String> = setting
        .cautions
        .iter()
        .map(|caution| format!("; {caution}"))
        .collect();
    let cautions = cautions.concat();
    format!(
        "  {verb} {} on {}{fitted}{range}{not_planned}{cautions}",
        torque(setting.set_millinewton_metre),
        setting.tool,
    )
}

/// What a recall found on this bike.
pub(crate) fn recalled(recalled: &RecalledView) -> String {
    format!(
        "RECALLED: {} of {}'s readings out of limits now, {} no longer surely within; the record has to be amended",
        recalled.out, recalled.tool, recalled.doubtful
    )
}
