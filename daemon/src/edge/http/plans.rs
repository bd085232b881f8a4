//! Plans while they are written: the plan folder, drafts, templates, tables. Nothing here is an entry: a plan counts from
//! when a build is held to it.

use super::caller::Caller;
use super::{Answer, Body, Ended, apart, body, broken, problem, problem_response};
use crate::core::people::admit_name;
use crate::edge::shelf::{Shelf, ShelfError};
use crate::run::Handle;
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use axum::routing::{get, post};
use axum::{Extension, Json, Router};
use pullmark_schema::api::{
    LibraryView, PlanCheckView, PlanFileView, PlanQuestion, PlanRowView, PlanShelfView, PlanTable,
    PlanToKeep, PlanWish, Problem,
};
use pullmark_schema::plan::table::{TableReading, read_table, write_table};
use pullmark_schema::plan::template::TemplateError;
use pullmark_schema::plan::{Finding, LARGEST_FILE, PlanDraft, Severity, read};

/// The routes of this file.
pub(super) fn routes() -> Router<Handle> {
    Router::new()
        .route("/v1/plans", get(shelf))
        .route("/v1/plans/check", post(check))
        .route("/v1/plans/compose", post(compose))
        .route("/v1/plans/templates", get(templates))
        .route("/v1/plans/from-table", post(from_table))
        .route("/v1/plans/to-table", post(to_table))
        .route("/v1/plans/{name}", get(plan).put(keep))
}

fn not_given(error: &ShelfError) -> Response {
    let (status, code) = match error {
        ShelfError::BadName(_) => (StatusCode::UNPROCESSABLE_ENTITY, "plans/bad-name"),
        ShelfError::NotThere(_) => (StatusCode::NOT_FOUND, "plans/not-known"),
        ShelfError::Changed(_) => (StatusCode::CONFLICT, "plans/changed-meanwhile"),
        ShelfError::Taken(_) => (StatusCode::CONFLICT, "plans/name-taken"),
        ShelfError::NoText(_) => (StatusCode::UNPROCESSABLE_ENTITY, "plans/not-readable"),
        ShelfError::Io { .. } => {
            tracing::error!(%error, "the plan folder");
            (StatusCode::INTERNAL_SERVER_ERROR, "plans/folder")
        }
    };
    problem(status, code, error.to_string())
}

impl From<ShelfError> for Ended {
    fn from(error: ShelfError) -> Self {
        not_given(&error).into()
    }
}

impl From<TemplateError> for Ended {
    fn from(error: TemplateError) -> Self {
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        problem(status, "plans/no-template", error.to_string()).into()
    }
}

/// Looks at files, or works through a plan, off the threads that must not wait.
async fn at_the_shelf<T: Send + 'static>(
    handle: &Handle,
    ask: impl FnOnce(&Shelf) -> T + Send + 'static,
) -> Answer<T> {
    let shelf = handle.shelf.clone();
    apart(move || ask(&shelf)).await
}

async fn shelf(State(handle): State<Handle>) -> Answer<Json<PlanShelfView>> {
    let view = at_the_shelf(&handle, |shelf| {
        let listed = shelf.list()?;
        let rows = listed.plans.into_iter();
        Ok::<_, ShelfError>(PlanShelfView {
            folder: shelf.folder().display().to_string(),
            plans: rows
                .map(|(name, text)| PlanRowView::of(name, &text))
                .collect(),
            not_used: listed.not_used,
        })
    });
    Ok(Json(view.await??))
}

async fn plan(
    State(handle): State<Handle>,
    Path(name): Path<String>,
) -> Answer<Json<PlanFileView>> {
    let view = at_the_shelf(&handle, move |shelf| {
        let text = shelf.read(&name)?;
        Ok::<_, ShelfError>(PlanFileView::of(name, text))
    });
    Ok(Json(view.await??))
}

async fn check(
    State(handle): State<Handle>,
    question: Body<PlanQuestion>,
) -> Answer<Json<PlanCheckView>> {
    let question = body(question)?;
    let tools = handle.look(|heart| heart.bench.tools.values().cloned().collect::<Vec<_>>());
    let tools = tools.await?;
    let view = at_the_shelf(&handle, move |_| {
        let (text, comments_lost) = question.text();
        PlanCheckView::of(text, &tools, comments_lost)
    });
    Ok(Json(view.await?))
}

/// Why a plan is not kept.
enum NotKept {
    /// It has errors.
    Unsound(Vec<Finding>),
    Shelf(ShelfError),
}

impl From<NotKept> for Ended {
    fn from(why: NotKept) -> Self {
        let findings = match why {
            NotKept::Unsound(findings) => findings,
            NotKept::Shelf(error) => return error.into(),
        };
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        let problem = Problem {
            code: "plans/not-sound".to_owned(),
            status: status.as_u16(),
            detail: "the plan has errors, and no build can follow it; it was not kept".to_owned(),
            findings,
        };
        problem_response(status, &problem).into()
    }
}

/// Keeps a plan; one with errors is no plan and stays a draft in the browser.
async fn keep(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    Path(name): Path<String>,
    plan: Body<PlanToKeep>,
) -> Answer<Json<PlanFileView>> {
    let PlanToKeep { draft, before, by } = body(plan)?;
    let by = match by {
        Some(by) => Some(handle.look(|heart| admit_name(&heart.bench, by)).await??),
        None => None,
    };
    let plan_name = name.clone();
    let kept = at_the_shelf(&handle, move |shelf| {
        let fresh = draft.to_toml();
        let findings = read(&fresh).findings;
        if findings
            .iter()
            .any(|finding| finding.severity == Severity::Error)
        {
            return Err(NotKept::Unsound(findings));
        }
        let kept = shelf.keep(&name, before, |there| match there {
            Some(there) => draft.to_toml_over(there).text,
            None => fresh,
        });
        let text = kept.map_err(NotKept::Shelf)?;
        Ok(PlanFileView::of(name, text))
    });
    let kept = kept.await??;
    tracing::info!(
        name = plan_name,
        by = by.as_deref().unwrap_or("nobody named"),
        from = caller.named(),
        sha256 = %kept.sha256,
        "a plan was written"
    );
    Ok(Json(kept))
}

async fn templates(State(handle): State<Handle>) -> Answer<Json<LibraryView>> {
    let (library, not_used) = at_the_shelf(&handle, Shelf::library).await??;
    Ok(Json(LibraryView::of(library, not_used)))
}

async fn compose(State(handle): State<Handle>, wish: Body<PlanWish>) -> Answer<Json<PlanDraft>> {
    let wish = body(wish)?;
    let made = at_the_shelf(&handle, move |shelf| {
        let (library, _) = shelf.library()?;
        let plan = match &wish.starter {
            Some(starter) => library.start(starter)?,
            None => wish.draft.unwrap_or_default(),
        };
        library.extend(plan, &wish.templates)
    });
    Ok(Json(made.await??))
}

async fn from_table(table: Body<PlanTable>) -> Answer<Json<TableReading>> {
    let PlanTable { table } = body(table)?;
    Ok(Json(apart(move || read_table(&table)).await?))
}

async fn to_table(question: Body<PlanQuestion>) -> Answer<Response> {
    let question = body(question)?;
    let table = apart(move || {
        let text = question.text.unwrap_or_default();
        let draft = question.draft.or_else(|| PlanDraft::of_toml(&text));
        let draft = draft.filter(|_| text.len() <= LARGEST_FILE)?;
        Some(write_table(&draft))
    });
    let Some(table) = table.await? else {
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return Err(problem(status, "plans/not-readable", "this is no plan file").into());
    };
    let table = table.map_err(|error| broken(&error))?;
    let kind = "text/csv; charset=utf-8; header=present";
    Ok(([(header::CONTENT_TYPE, kind)], table).into_response())
}
