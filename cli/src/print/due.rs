//! What is due, in words.

use super::{Ink, line};
use pullmark_schema::api::DueView;
use pullmark_schema::due::DueStanding;
use pullmark_schema::entry::Event;

pub(crate) fn due(list: &[DueView], ink: Ink) {
    if list.is_empty() {
        line("Nothing is due, and nothing waits.");
    }
    for view in list {
        line(&in_one_line(view, ink));
        let titles: Vec<&str> = view
            .fasteners
            .iter()
            .map(|one| one.title.as_str())
            .collect();
        let what = if titles.is_empty() {
            "the whole bike".to_owned()
        } else {
            titles.join(", ")
        };
        let source = view.source.as_ref();
        let source = source.map_or_else(String::new, |source| format!(" ({source})"));
        line(&format!("    {}", ink.low(&format!("{what}{source}"))));
    }
}

fn in_one_line(view: &DueView, ink: Ink) -> String {
    let bike = view.bike.label.as_ref().unwrap_or(&view.bike.frame);
    let name = format!("{} {}: {}, {bike}", view.build, view.id, view.title);
    match view.standing {
        DueStanding::Due => format!("{} {name}; {}", ink.alarm("due    "), when(view)),
        DueStanding::Waiting => format!("waiting {name}; {}", when(view)),
        DueStanding::Done => {
            let by = view.done_by.as_ref().map(|by| format!("by {by}"));
            let later = view.in_build.as_ref().map(|build| format!("in {build}"));
            let how = by.or(later).unwrap_or_default();
            ink.low(&format!("done    {name}; {how}"))
        }
    }
}

fn when(view: &DueView) -> String {
    let day = view
        .on
        .as_ref()
        .zip(view.days_left)
        .map(|(on, left)| match left {
            0 => format!("today, {on}"),
            1.. => format!("on {on}, in {left} day(s)"),
            _ => format!("on {on}, {} day(s) ago", left.unsigned_abs()),
        });
    let far = view.kilometres.map(|far| match view.ridden {
        Some(gone) => format!("after {far} km, {gone} so far"),
        None => format!("after {far} km"),
    });
    let texts: Vec<String> = day.into_iter().chain(far).collect();
    let later = match &view.in_build {
        Some(build) => format!("; {build} is doing it"),
        None => String::new(),
    };
    format!("{}{later}", texts.join(", or "))
}

/// What somebody said after handing over, in a line of the ledger.
pub(super) fn due_line(event: &Event) -> Option<String> {
    Some(match event {
        Event::DueTold(told) => format!(
            "{} says that {:?} is {}, for {}",
            told.by,
            told.due,
            if told.done {
                "done"
            } else {
                "not done after all"
            },
            told.build
        ),
        Event::Ridden(ridden) => format!(
            "{} says that {} has gone {} km",
            ridden.by, ridden.build, ridden.kilometres
        ),
        _ => return None,
    })
}
