//! Histories, photographs, and what another edition of a plan would mean.

use super::views::read;
use super::{Answer, Body, PHOTOS, body, problem};
use crate::core::acts::{Picture, would_change};
use crate::core::history::history;
use crate::core::{Refusal, acts};
use crate::run::Handle;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use axum::routing::post;
use axum::{Json, Router};
use pullmark_schema::api::{Done, HistoryRow};
use pullmark_schema::build::Build;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Entry, LARGEST_PHOTO, MediaType};
use serde::Deserialize;
use tower_http::limit::RequestBodyLimitLayer;

/// What a picture that is opened by itself may do: nothing.
const PICTURE_POLICY: &str = "default-src 'none'; sandbox";

/// The route for photographs, which are larger than everything else.
pub(super) fn uploads() -> Router<Handle> {
    Router::new()
        .route(PHOTOS, post(upload))
        .layer(DefaultBodyLimit::disable())
        .layer(RequestBodyLimitLayer::new(LARGEST_PHOTO))
}

pub(super) async fn build_history(
    State(handle): State<Handle>,
    Path(build): Path<String>,
) -> Answer<Json<Vec<HistoryRow>>> {
    told(handle, build, None).await
}

pub(super) async fn fastener_history(
    State(handle): State<Handle>,
    Path((build, fastener)): Path<(String, String)>,
) -> Answer<Json<Vec<HistoryRow>>> {
    told(handle, build, Some(fastener)).await
}

/// Looks at a build twice: for its entries' numbers, and, when those were read, for what became of them.
async fn told(
    handle: Handle,
    build: String,
    fastener: Option<String>,
) -> Answer<Json<Vec<HistoryRow>>> {
    let (id, at) = (build.clone(), fastener.clone());
    let numbers = handle
        .look(move |heart| match heart.bench.builds.get(&id) {
            None => Err(Refusal::BuildNotKnown(id)),
            Some(known) => match at {
                Some(at) if !was_ever_there(known, &at) => Err(Refusal::FastenerNotKnown(at)),
                _ => Ok(known.entries.clone()),
            },
        })
        .await??;
    let entries: Vec<Entry> = read(&handle, move |reader| reader.some(&numbers)).await?;
    let rows = handle
        .look(move |heart| {
            let known: Option<&Build> = heart.bench.builds.get(&build);
            known.map(|known| history(known, fastener.as_deref(), &entries))
        })
        .await?;
    Ok(Json(rows.unwrap_or_default()))
}

/// Whether some edition of the plan had a fastener or a check of that id.
fn was_ever_there(build: &Build, id: &str) -> bool {
    build.ever_planned(id).is_some() || build.ever_checked(id).is_some()
}

/// The plan file that is asked about.
#[derive(Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct OtherPlan {
    /// Its text.
    plan: String,
}

pub(super) async fn difference(
    State(handle): State<Handle>,
    Path(build): Path<String>,
    other: Body<OtherPlan>,
) -> Answer<Response> {
    let other = body(other)?;
    let looked = handle
        .look(move |heart| would_change(&heart.bench, &build, &other.plan, heart.now()))
        .await??;
    Ok(Json(looked).into_response())
}

/// What comes along with a photograph, in the address.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct About {
    build: String,
    fastener: Option<String>,
    text: Option<String>,
    name: Option<String>,
    by: String,
}

async fn upload(
    State(handle): State<Handle>,
    about: Result<Query<About>, axum::extract::rejection::QueryRejection>,
    bytes: Result<Bytes, axum::extract::rejection::BytesRejection>,
) -> Answer<Json<Done>> {
    let Query(about) = match about {
        Ok(about) => about,
        Err(rejection) => {
            let status = StatusCode::BAD_REQUEST;
            return Err(problem(status, "act/not-readable", rejection.body_text()).into());
        }
    };
    let bytes = match bytes {
        Ok(bytes) => bytes,
        Err(rejection) => {
            let detail = "a photograph has at most 8 MiB: make it smaller";
            let refused = match rejection.status() {
                StatusCode::PAYLOAD_TOO_LARGE => {
                    problem(StatusCode::PAYLOAD_TOO_LARGE, "photo/too-large", detail)
                }
                status => problem(status, "http/not-readable", rejection.body_text()),
            };
            return Err(refused.into());
        }
    };
    let picture = Picture {
        build: about.build,
        fastener: about.fastener,
        text: about.text,
        name: about.name,
        bytes: bytes.to_vec(),
        by: about.by,
    };
    Ok(Json(handle.photo(picture).await??))
}

/// A photograph by its hash.
pub(super) async fn photo(
    State(handle): State<Handle>,
    Path(sha256): Path<String>,
) -> Answer<Response> {
    let unknown = || {
        let detail = "there is no photograph with this hash";
        problem(StatusCode::NOT_FOUND, "photo/not-known", detail)
    };
    let sha256 = sha256.parse::<Digest32>().map_err(|_| unknown())?;
    let found = handle.look(move |heart| acts::photographed(&heart.bench, sha256));
    let sequence = found.await?.ok_or_else(unknown)?;
    let bytes = read(&handle, move |reader| reader.attached(sequence)).await?;
    let bytes = bytes.unwrap_or_default();
    let kind = MediaType::of(&bytes).ok_or_else(unknown)?;
    let headers = [
        (header::CONTENT_TYPE, kind.as_str()),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::CONTENT_SECURITY_POLICY, PICTURE_POLICY),
        (
            header::CACHE_CONTROL,
            "private, max-age=31536000, immutable",
        ),
    ];
    Ok((headers, bytes).into_response())
}
