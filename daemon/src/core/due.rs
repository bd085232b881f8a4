//! Everything that is due after bikes were handed over, as it stands on a day.

use super::Bench;
use super::view::checks;
use chrono::NaiveDate;
use pullmark_schema::api::{DueFastenerView, DueView};
use pullmark_schema::build::Build;
use pullmark_schema::due::{day, done, handed_over_on, standing};
use pullmark_schema::plan::Due;
use std::collections::BTreeMap;

/// All of it: what is due first, then what waits, then what is done; the earliest day first.
pub fn all(bench: &Bench, today: NaiveDate) -> Vec<DueView> {
    let later = &later_builds(bench);
    let builds = bench.builds.values();
    let mut list: Vec<DueView> = builds
        .filter_map(|build| Some((build, handed_over_on(build)?)))
        .flat_map(|(build, handed_over)| {
            let due = build.plan.due.iter();
            due.map(move |due| view(later, build, due, handed_over, today))
        })
        .collect();
    list.sort_by(|one, other| {
        // What is due by distance alone has no day, and comes after what has one.
        let key = |view: &DueView| {
            (
                view.standing,
                view.on.is_none(),
                view.on.clone(),
                view.build.clone(),
            )
        };
        key(one).cmp(&key(other))
    });
    list
}

/// Of every thing that later builds do, by the earlier build and what was due there, the newest build that does it.
type Later<'b> = BTreeMap<(&'b str, &'b str), &'b Build>;

fn later_builds(bench: &Bench) -> Later<'_> {
    let mut later = Later::new();
    for build in bench.builds.values() {
        let follows = build.follows.iter();
        for key in follows.flat_map(|f| f.due.iter().map(|due| (f.build.as_str(), due.as_str()))) {
            let newest = later.entry(key).or_insert(build);
            if newest.started.sequence < build.started.sequence {
                *newest = build;
            }
        }
    }
    later
}

fn view(
    later: &Later<'_>,
    build: &Build,
    due: &Due,
    handed_over: NaiveDate,
    today: NaiveDate,
) -> DueView {
    let later = later.get(&(build.id.as_str(), due.id.as_str()));
    let told = done(build, &due.id);
    let is_done = told.is_some() || later.is_some_and(|later| later.finished.is_some());
    let ridden = build.after_rides.ridden.as_ref().map(|(gone, _)| *gone);
    let on = day(due, handed_over);
    DueView {
        build: build.id.clone(),
        bike: build.bike.clone(),
        id: due.id.clone(),
        title: due.title.clone(),
        standing: standing(due, handed_over, ridden, is_done, today),
        handed_over: handed_over.to_string(),
        on: on.map(|on| on.to_string()),
        days_left: on.map(|on| on.signed_duration_since(today).num_days()),
        kilometres: due.kilometres,
        ridden,
        fasteners: due.fasteners.iter().map(|id| fastener(build, id)).collect(),
        source: due.source.clone(),
        done_by: told.map(|act| act.by.clone()),
        done_reason: told.and_then(|act| act.reason.clone()),
        in_build: later.map(|later| later.id.clone()),
    }
}

fn fastener(build: &Build, id: &str) -> DueFastenerView {
    let planned = build
        .plan
        .fastener(id)
        .map(|(_, known)| known.title.clone());
    let title = planned.or_else(|| checks::title(build, id));
    DueFastenerView {
        id: id.to_owned(),
        title: title.unwrap_or_else(|| id.to_owned()),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
