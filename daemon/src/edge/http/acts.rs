//! What people ask for. An answer means that it is on disk.

use super::{gone, problem, refused};
use crate::run::Handle;
use axum::Json;
use axum::extract::State;
use axum::extract::rejection::JsonRejection;
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use pullmark_schema::api::Act;

pub(super) async fn act(
    State(handle): State<Handle>,
    act: Result<Json<Act>, JsonRejection>,
) -> Response {
    let Json(act) = match act {
        Ok(act) => act,
        Err(rejection) => {
            if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE {
                return problem(
                    StatusCode::PAYLOAD_TOO_LARGE,
                    "http/too-large",
                    rejection.body_text(),
                );
            }
            return problem(
                StatusCode::BAD_REQUEST,
                "act/not-readable",
                rejection.body_text(),
            );
        }
    };
    match handle.act(act).await {
        Ok(Ok(done)) => Json(done).into_response(),
        Ok(Err(refusal)) => refused(&refusal),
        Err(error) => gone(error),
    }
}
