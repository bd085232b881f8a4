//! What is due, as a list and as a calendar, and the plan of a service.

use super::views::read;
use super::{Answer, apart, problem};
use crate::core::due::all;
use crate::core::{Bench, Refusal};
use crate::edge::calendar::calendar;
use crate::run::Handle;
use axum::Json;
use axum::extract::{Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use pullmark_schema::api::DueView;
use pullmark_schema::plan::service;
use serde::Deserialize;

pub(super) async fn list(State(handle): State<Handle>) -> Answer<Json<Vec<DueView>>> {
    let looked = handle.look(|heart| all(&heart.bench, heart.now().wall.date_naive()));
    Ok(Json(looked.await?))
}

pub(super) async fn file(State(handle): State<Handle>) -> Answer<Response> {
    let looked = handle.look(|heart| {
        let now = heart.now().wall;
        let list = all(&heart.bench, now.date_naive());
        (list, heart.name.clone(), now.to_utc())
    });
    let (list, bench, now) = looked.await?;
    let text = apart(move || calendar(&list, &bench, now)).await?;
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (
            header::CONTENT_DISPOSITION,
            "attachment; filename=\"due.ics\"",
        ),
    ];
    Ok((headers, text).into_response())
}

/// What a service is to do: what is due by these ids, these fasteners and checks; the whole plan if there are none.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Wanted {
    /// Ids of what is due, with commas between.
    due: String,
    /// Ids of fasteners and checks, with commas between.
    fasteners: String,
}

fn ids(text: &str) -> impl Iterator<Item = &str> {
    text.split(',').map(str::trim).filter(|id| !id.is_empty())
}

/// Where the plan's text is, what of it is wanted, and its title.
fn wanted(
    bench: &Bench,
    build: &str,
    wanted: &Wanted,
) -> Result<(u64, Vec<String>, String), Refusal> {
    let known = bench.builds.get(build);
    let known = known.ok_or_else(|| Refusal::BuildNotKnown(build.to_owned()))?;
    let mut all: Vec<String> = Vec::new();
    let mut is_whole = wanted.due.is_empty() && wanted.fasteners.is_empty();
    for id in ids(&wanted.due) {
        let due = known.plan.due(id).ok_or_else(|| Refusal::DueNotKnown {
            build: build.to_owned(),
            due: id.to_owned(),
        })?;
        is_whole |= due.fasteners.is_empty();
        all.extend(due.fasteners.iter().cloned());
    }
    for id in ids(&wanted.fasteners) {
        if known.plan.fastener(id).is_none() && known.plan.check(id).is_none() {
            return Err(Refusal::FastenerNotKnown(id.to_owned()));
        }
        all.push(id.to_owned());
    }
    if is_whole {
        all.clear();
    }
    let at = known.plan_changed().unwrap_or(known.started.sequence);
    Ok((at, all, format!("{}, service", known.pin.title)))
}

/// The text of a plan for a service, made from the plan that a build was held to last.
pub(super) async fn service_plan(
    State(handle): State<Handle>,
    Path(build): Path<String>,
    Query(query): Query<Wanted>,
) -> Answer<Response> {
    let looked = handle.look(move |heart| wanted(&heart.bench, &build, &query));
    let (at, wanted, title) = looked.await??;
    let bytes = read(&handle, move |reader| reader.attached(at)).await?;
    let text = String::from_utf8(bytes.unwrap_or_default()).unwrap_or_default();
    let Some(text) = apart(move || service(&text, &wanted, &title)).await? else {
        let detail = "nothing of the plan is left for a service: name fasteners or checks of it";
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return Err(problem(status, "plan/empty", detail).into());
    };
    Ok(([(header::CONTENT_TYPE, "application/toml")], text).into_response())
}
