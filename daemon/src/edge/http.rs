//! HTTP: the bench page, the API under `/v1`, live entries over SSE. The same routes are served on loopback for the
//! page and on a Unix socket for the command line.
//!
//! On the network it is served to paired devices alone, over TLS.
//!
//! On loopback only requests that name this machine as their host are answered, and acts only if they come from the
//! page itself or from no page at all: a web page elsewhere cannot reach in.

mod acts;
mod caller;
mod due;
mod events;
mod guard;
mod lan;
mod life;
mod openapi;
mod page;
mod people;
mod plans;
mod records;
mod views;

pub use caller::Caller;
pub use guard::Guard;
pub use lan::{Ends, for_network};
pub use openapi::document;

use crate::core::Refusal;
use crate::run::{Gone, Handle};
use axum::extract::rejection::JsonRejection;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use pullmark_schema::api::Problem;
use tower_http::limit::RequestBodyLimitLayer;

/// The media type of errors.
const PROBLEM: &str = "application/problem+json";
/// The longest explanation that is passed on, in bytes.
const LONGEST_DETAIL: usize = 4_096;
/// The largest body of a request: a plan file and something around it.
const LARGEST_BODY: usize = 2 << 20;
/// Where photographs are sent and shown.
const PHOTOS: &str = "/v1/photos";

/// A body in its form, or why not.
type Body<T> = Result<Json<T>, JsonRejection>;

/// An answer, or the one that ends the request early.
type Answer<T> = Result<T, Ended>;

/// The answer to a request that goes no further.
#[derive(Debug)]
struct Ended(Box<Response>);

impl IntoResponse for Ended {
    fn into_response(self) -> Response {
        *self.0
    }
}

impl From<Response> for Ended {
    fn from(response: Response) -> Self {
        Self(Box::new(response))
    }
}

impl From<Refusal> for Ended {
    fn from(refusal: Refusal) -> Self {
        refused(&refusal).into()
    }
}

impl From<Gone> for Ended {
    fn from(error: Gone) -> Self {
        gone(error).into()
    }
}

/// What a body says, or why it cannot be read.
fn body<T>(body: Body<T>) -> Answer<T> {
    let rejection = match body {
        Ok(Json(value)) => return Ok(value),
        Err(rejection) => rejection,
    };
    let (status, code) = match rejection.status() {
        StatusCode::PAYLOAD_TOO_LARGE => (StatusCode::PAYLOAD_TOO_LARGE, "http/too-large"),
        _ => (StatusCode::BAD_REQUEST, "act/not-readable"),
    };
    Err(problem(status, code, rejection.body_text()).into())
}

/// Works something out off the threads that must not wait: entries are committed on one of them.
async fn apart<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Answer<T> {
    let done = tokio::task::spawn_blocking(work).await;
    done.map_err(|error| broken(&error).into())
}

/// Everything that is served, for the socket, which only its owner can use.
pub fn router(handle: Handle) -> Router {
    routes(handle).layer(axum::Extension(Caller::Prompt))
}

/// Everything that is served. Who is served is said by a layer around it.
fn routes(handle: Handle) -> Router {
    Router::new()
        .merge(page::routes())
        .merge(people::routes())
        .merge(plans::routes())
        .route("/v1/bench", get(views::bench))
        .route("/v1/builds/{build}", get(views::build))
        .route("/v1/builds/{build}/record", get(records::record))
        .route("/v1/builds/{build}/record-file", get(records::file))
        .route(
            "/v1/builds/{build}/readings.csv",
            get(records::readings_csv),
        )
        .route("/v1/keys", get(records::keys))
        .route("/v1/builds/{build}/history", get(life::build_history))
        .route(
            "/v1/builds/{build}/fasteners/{fastener}/history",
            get(life::fastener_history),
        )
        .route("/v1/builds/{build}/plan/difference", post(life::difference))
        .route("/v1/builds/{build}/service-plan", get(due::service_plan))
        .route("/v1/due", get(due::list))
        .route("/v1/due.ics", get(due::file))
        .route("/v1/photos/{sha256}", get(life::photo))
        .route("/v1/readings", get(views::readings))
        .route("/v1/stats", get(views::process_figures))
        .route("/v1/entries/{sequence}", get(views::entry))
        .route("/v1/entries/{sequence}/attached", get(views::attached))
        .route("/v1/entries/{sequence}/trace.svg", get(views::trace))
        .route("/v1/events", get(events::events))
        .route("/v1/acts", post(acts::act))
        .route("/v1/map/{frame}", get(views::map))
        .route("/v1/ports", get(views::ports))
        .route("/v1/openapi.json", get(views::openapi))
        .route("/metrics", get(views::metrics))
        .fallback(|| async {
            problem(
                StatusCode::NOT_FOUND,
                "http/not-found",
                "there is nothing at this address; /v1/openapi.json lists what there is",
            )
        })
        .layer(RequestBodyLimitLayer::new(LARGEST_BODY))
        .merge(life::uploads())
        .layer(axum::middleware::map_response(as_problem))
        .with_state(handle)
}

/// The routes for loopback, which look at where a request comes from.
pub fn guarded(handle: Handle, guard: Guard) -> Router {
    routes(handle).layer(axum::middleware::from_fn_with_state(guard, guard::check))
}

/// Every error leaves as a problem (RFC 9457), also those that the routes' library answers by itself.
async fn as_problem(response: Response) -> Response {
    let status = response.status();
    let is_problem = response
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind == PROBLEM);
    if is_problem || !(status.is_client_error() || status.is_server_error()) {
        return response;
    }
    let code = match status {
        StatusCode::METHOD_NOT_ALLOWED => "http/method-not-allowed",
        StatusCode::PAYLOAD_TOO_LARGE => "http/too-large",
        StatusCode::BAD_REQUEST => "http/not-readable",
        _ => "http/refused",
    };
    let (parts, body) = response.into_parts();
    let text = axum::body::to_bytes(body, LONGEST_DETAIL)
        .await
        .unwrap_or_default();
    let detail = if text.is_empty() {
        status.to_string()
    } else {
        String::from_utf8_lossy(&text).into_owned()
    };
    let mut answer = problem(status, code, detail);
    if let Some(allow) = parts.headers.get(header::ALLOW) {
        answer.headers_mut().insert(header::ALLOW, allow.clone());
    }
    answer
}

fn problem(status: StatusCode, code: &str, detail: impl Into<String>) -> Response {
    let problem = Problem {
        code: code.to_owned(),
        status: status.as_u16(),
        detail: detail.into(),
        findings: Vec::new(),
    };
    problem_response(status, &problem)
}

fn problem_response(status: StatusCode, problem: &Problem) -> Response {
    let body = serde_json::to_string(problem).unwrap_or_default();
    (status, [(header::CONTENT_TYPE, PROBLEM)], body).into_response()
}

fn refused(refusal: &Refusal) -> Response {
    let status = if refusal.is_not_found() {
        StatusCode::NOT_FOUND
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    let findings = if let Refusal::BadPlan(findings) = refusal {
        findings.clone()
    } else {
        Vec::new()
    };
    let code = refusal.code().to_owned();
    tracing::info!(code, "an act was refused");
    problem_response(
        status,
        &Problem {
            code,
            status: status.as_u16(),
            detail: refusal.to_string(),
            findings,
        },
    )
}

fn gone(gone: Gone) -> Response {
    problem(
        StatusCode::SERVICE_UNAVAILABLE,
        "daemon/going-down",
        gone.to_string(),
    )
}

fn broken(error: &dyn std::fmt::Display) -> Response {
    tracing::error!(%error, "a request could not be answered");
    problem(
        StatusCode::INTERNAL_SERVER_ERROR,
        "daemon/broken",
        error.to_string(),
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
