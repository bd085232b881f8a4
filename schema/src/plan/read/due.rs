//! What is looked at again after handing over: when, and which fasteners.

use super::Reader;
use crate::plan::file::DueFile;
use crate::plan::finding::PlanCode;
use crate::plan::{Due, Stage};
use std::collections::BTreeSet;
use toml::Spanned;

/// Longer than this no plan looks ahead.
const MOST_DAYS: u16 = 3_660;
const MOST_MONTHS: u16 = 120;
const MOST_KILOMETRES: u32 = 100_000;

impl Reader<'_> {
    pub(super) fn due(&mut self, all: Vec<Spanned<DueFile>>, stages: &[Stage]) -> Vec<Due> {
        let mut seen = BTreeSet::new();
        all.into_iter()
            .map(|due| {
                let span = due.span();
                let due = due.into_inner();
                self.is_an_id(&due.id);
                if !seen.insert(due.id.get_ref().clone()) {
                    let what = format!("what is due as {:?} stands twice", due.id.get_ref());
                    let advice = "give one of them another name";
                    self.error(due.id.span(), PlanCode::DuplicateId, what, advice);
                }
                let is_one = due.days.is_none() || due.months.is_none();
                let is_some = due.days.is_some() || due.months.is_some() || due.kilometres.is_some();
                let fits = due.days.is_none_or(|days| (1..=MOST_DAYS).contains(&days))
                    && due.months.is_none_or(|months| (1..=MOST_MONTHS).contains(&months))
                    && due.kilometres.is_none_or(|far| (1..=MOST_KILOMETRES).contains(&far));
                if !(is_one && is_some && fits) {
                    let says = if is_some { "it is not clear when" } else { "nothing says when" };
                    let what = format!("{says} {:?} is due", due.id.get_ref());
                    let advice = format!(
                        "state days (1 to {MOST_DAYS}) or months (1 to {MOST_MONTHS}), or kilometres (1 to {MOST_KILOMETRES}), or \
                         one of the first two and kilometres: whichever comes first"
                    );
                    self.error(span, PlanCode::NeverDue, what, advice);
                }
                Due {
                    id: due.id.into_inner(),
                    title: due.title,
                    days: due.days,
                    months: due.months,
                    kilometres: due.kilometres,
                    fasteners: self.known_fasteners(due.fasteners, stages),
                    source: due.source,
                }
            })
            .collect()
    }
}
