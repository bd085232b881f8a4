//! Readings that a person said belong to nothing of the plan: test pulls, another bike's.

use super::words::{self, person};
use super::{Item, item};
use crate::check::CheckPlacement;
use crate::placement::Placement;
use crate::record::Subject;

/// So many values are named one by one.
const FEW: usize = 4;

/// One line for every reason that somebody gave.
pub(super) fn elsewhere(subject: &Subject) -> Vec<Item> {
    let torques = subject.elsewhere.iter().map(|known| {
        let value = known.reading.applied.map(|torque| torque.to_string());
        let why = match &known.placement {
            Placement::Nowhere { by, reason } => format!("{reason}. {}", person(by)),
            _ => String::new(),
        };
        (value, why)
    });
    let others = subject.checks_elsewhere.iter().map(|known| {
        let reading = &known.reading;
        let value = reading.value.map(|value| reading.unit.text(value));
        let why = match &known.placement {
            CheckPlacement::Nowhere { by, reason } => format!("{reason}. {}", person(by)),
            _ => String::new(),
        };
        (value, why)
    });
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for (value, why) in torques.chain(others) {
        let value = value.unwrap_or_else(|| "past the tool's range".to_owned());
        match groups.iter_mut().find(|(known, _)| *known == why) {
            Some((_, values)) => values.push(value),
            None => groups.push((why, vec![value])),
        }
    }
    let lines = groups.into_iter().map(|(why, values)| {
        let shown = if values.len() > FEW {
            "their values are in the attached record".to_owned()
        } else {
            values.join(", ")
        };
        let why = if why.is_empty() {
            why
        } else {
            format!(": {why}")
        };
        let count = words::count(values.len() as u64, "reading", "readings");
        item(
            "Belongs to nothing of the plan",
            format!("{count} ({shown}){why}"),
        )
    });
    lines.collect()
}
