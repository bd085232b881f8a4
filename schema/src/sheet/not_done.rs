//! What was not done: it stands before what was, and however much it is, it stands there short enough to be seen whole.

use super::Item;
use super::ranges::{many, together};
use crate::record::{Missing, NotDone, Subject};

/// More lines or letters than these are summed up, and stand one by one behind the tables.
const LINES: usize = 10;
const LETTERS: usize = 1_200;

/// What stands at the top, and what stands in full further on because the top had no room for it.
pub(super) fn not_done(subject: &Subject) -> (Vec<Item>, Vec<Item>) {
    let said = subject.not_done.iter();
    let all = together(
        subject,
        said.map(|missing| (missing.fastener.clone(), says(missing)))
            .collect(),
    );
    let letters = |item: &Item| item.what.chars().count() + item.says.chars().count();
    if all.len() <= LINES && all.iter().map(letters).sum::<usize>() <= LETTERS {
        return (all, Vec::new());
    }
    let kinds = [
        Missing::Torque,
        Missing::Measurement,
        Missing::SecondLook,
        Missing::Prep,
    ];
    let summed = kinds.into_iter().filter_map(|kind| {
        let of_kind = subject.not_done.iter().filter(|known| known.what == kind);
        let ids: Vec<String> = of_kind.map(|known| known.fastener.clone()).collect();
        (!ids.is_empty()).then(|| many(subject, what(kind), &ids))
    });
    (summed.collect(), all)
}

const fn what(missing: Missing) -> &'static str {
    match missing {
        Missing::Torque => "not tightened",
        Missing::Prep => "prep not confirmed",
        Missing::SecondLook => "no second look",
        Missing::Measurement => "not measured",
    }
}

fn says(missing: &NotDone) -> String {
    let mut says = what(missing.what).to_owned();
    for (before, more) in [
        (": ", &missing.reason),
        ("; waits for ", &missing.waits_for),
    ] {
        if let Some(more) = more {
            says = format!("{says}{before}{more}");
        }
    }
    says
}
