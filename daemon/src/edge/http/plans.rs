//! Plans while they are written: the plan folder, drafts, templates, tables. Nothing here is an entry: a plan counts from
//! when a build is held to it.

use super::{broken, gone, problem, problem_response};
use crate::edge::shelf::{Shelf, ShelfError};
use crate::run::Handle;
use axum::extract::rejection::JsonRejection;
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use pullmark_schema::api::{
    LibraryView, PlanCheckView, PlanFileView, PlanQuestion, PlanRowView, PlanShelfView, PlanTable,
    PlanToKeep, PlanWish, Problem,
};
use pullmark_schema::plan::table::{read_table, write_table};
use pullmark_schema::plan::template::TemplateError;
use pullmark_schema::plan::{LARGEST_FILE, PlanDraft, Severity, read};

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

/// A body in its form, or why not.
type Body<T> = Result<Json<T>, JsonRejection>;

fn unreadable(rejection: &JsonRejection) -> Response {
    if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE {
        let status = StatusCode::PAYLOAD_TOO_LARGE;
        return problem(status, "http/too-large", rejection.body_text());
    }
    let status = StatusCode::BAD_REQUEST;
    problem(status, "act/not-readable", rejection.body_text())
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

/// Looks at files off the async threads.
async fn at_the_shelf<T: Send + 'static>(
    handle: &Handle,
    ask: impl FnOnce(&Shelf) -> T + Send + 'static,
) -> Result<T, Box<Response>> {
    let shelf = handle.shelf.clone();
    let asked = tokio::task::spawn_blocking(move || ask(&shelf)).await;
    asked.map_err(|error| Box::new(broken(&error)))
}

async fn shelf(State(handle): State<Handle>) -> Response {
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
    match view.await {
        Ok(Ok(view)) => Json(view).into_response(),
        Ok(Err(error)) => not_given(&error),
        Err(response) => *response,
    }
}

async fn plan(State(handle): State<Handle>, Path(name): Path<String>) -> Response {
    let asked = name.clone();
    match at_the_shelf(&handle, move |shelf| shelf.read(&asked)).await {
        Ok(Ok(text)) => Json(PlanFileView::of(name, text)).into_response(),
        Ok(Err(error)) => not_given(&error),
        Err(response) => *response,
    }
}

async fn check(State(handle): State<Handle>, question: Body<PlanQuestion>) -> Response {
    let Json(question) = match question {
        Ok(question) => question,
        Err(rejection) => return unreadable(&rejection),
    };
    let tools = handle.look(|heart| heart.bench.tools.values().cloned().collect::<Vec<_>>());
    let tools = match tools.await {
        Ok(tools) => tools,
        Err(error) => return gone(error),
    };
    let view = at_the_shelf(&handle, move |_| {
        let (text, comments_lost) = question.text();
        PlanCheckView::of(text, &tools, comments_lost)
    });
    match view.await {
        Ok(view) => Json(view).into_response(),
        Err(response) => *response,
    }
}

/// Keeps a plan; one with errors is no plan and stays a draft in the browser.
async fn keep(
    State(handle): State<Handle>,
    Path(name): Path<String>,
    plan: Body<PlanToKeep>,
) -> Response {
    let Json(PlanToKeep { draft, before }) = match plan {
        Ok(plan) => plan,
        Err(rejection) => return unreadable(&rejection),
    };
    let findings = read(&draft.to_toml()).findings;
    let is_grave = findings
        .iter()
        .any(|finding| finding.severity == Severity::Error);
    if is_grave {
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return problem_response(
            status,
            &Problem {
                code: "plans/not-sound".to_owned(),
                status: status.as_u16(),
                detail: "the plan has errors, and no build can follow it; it was not kept"
                    .to_owned(),
                findings,
            },
        );
    }
    let asked = name.clone();
    let kept = at_the_shelf(&handle, move |shelf| {
        shelf.keep(&asked, before, |there| match there {
            Some(there) => draft.to_toml_over(there).text,
            None => draft.to_toml(),
        })
    });
    match kept.await {
        Ok(Ok(text)) => Json(PlanFileView::of(name, text)).into_response(),
        Ok(Err(error)) => not_given(&error),
        Err(response) => *response,
    }
}

fn no_template(error: &TemplateError) -> Response {
    let status = StatusCode::UNPROCESSABLE_ENTITY;
    problem(status, "plans/no-template", error.to_string())
}

async fn templates(State(handle): State<Handle>) -> Response {
    match at_the_shelf(&handle, Shelf::library).await {
        Ok(Ok((library, not_used))) => Json(LibraryView::of(library, not_used)).into_response(),
        Ok(Err(error)) => no_template(&error),
        Err(response) => *response,
    }
}

async fn compose(State(handle): State<Handle>, wish: Body<PlanWish>) -> Response {
    let Json(wish) = match wish {
        Ok(wish) => wish,
        Err(rejection) => return unreadable(&rejection),
    };
    let made = at_the_shelf(&handle, move |shelf| {
        let (library, _) = shelf.library()?;
        let plan = match &wish.starter {
            Some(starter) => library.start(starter)?,
            None => wish.draft.unwrap_or_default(),
        };
        library.extend(plan, &wish.templates)
    });
    match made.await {
        Ok(Ok(draft)) => Json(draft).into_response(),
        Ok(Err(error)) => no_template(&error),
        Err(response) => *response,
    }
}

async fn from_table(table: Body<PlanTable>) -> Response {
    match table {
        Ok(Json(PlanTable { table })) => Json(read_table(&table)).into_response(),
        Err(rejection) => unreadable(&rejection),
    }
}

async fn to_table(question: Body<PlanQuestion>) -> Response {
    let question = match question {
        Ok(Json(question)) => question,
        Err(rejection) => return unreadable(&rejection),
    };
    let text = question.text.unwrap_or_default();
    let draft = question.draft.or_else(|| PlanDraft::of_toml(&text));
    let Some(draft) = draft.filter(|_| text.len() <= LARGEST_FILE) else {
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return problem(status, "plans/not-readable", "this is no plan file");
    };
    match write_table(&draft) {
        Ok(table) => {
            let kind = "text/csv; charset=utf-8; header=present";
            ([(header::CONTENT_TYPE, kind)], table).into_response()
        }
        Err(error) => broken(&error),
    }
}
