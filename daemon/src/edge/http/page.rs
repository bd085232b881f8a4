//! The bench page, kept in the binary.

use crate::run::Handle;
use axum::Router;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;

/// Nothing but the page's own files and its own daemon.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; \
                      form-action 'none'; base-uri 'none'; frame-ancestors 'none'";

pub(super) fn routes() -> Router<Handle> {
    Router::new()
        .route(
            "/",
            get(|| async {
                file(
                    "text/html; charset=utf-8",
                    include_str!("../../../page/index.html"),
                )
            }),
        )
        .route(
            "/page.css",
            get(|| async {
                file(
                    "text/css; charset=utf-8",
                    include_str!("../../../page/page.css"),
                )
            }),
        )
        .route(
            "/page.js",
            get(|| async {
                file(
                    "text/javascript; charset=utf-8",
                    include_str!("../../../page/page.js"),
                )
            }),
        )
}

fn file(kind: &'static str, text: &'static str) -> Response {
    let headers = [
        (header::CONTENT_TYPE, kind),
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-cache"),
    ];
    (headers, text).into_response()
}
