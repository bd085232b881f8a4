//! What can be looked at.

use super::{Answer, apart, broken, problem};
use crate::core::stats::stats;
use crate::core::{Refusal, build_view, view};
use crate::edge::store::{Group, Query as Readings, Reader, StoreError};
use crate::edge::{bluetooth, serial};
use crate::intake::trace::Drawn;
use crate::run::Handle;
use axum::Json;
use axum::extract::{Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use prometheus_client::encoding::text::encode;
use prometheus_client::metrics::gauge::Gauge;
use prometheus_client::registry::Registry;
use pullmark_schema::api::{BenchView, BuildView};
use pullmark_schema::map::FrameKind;
use serde::Serialize;

pub(super) async fn bench(State(handle): State<Handle>) -> Answer<Json<BenchView>> {
    let looked = handle.look(|heart| view(&heart.bench, &heart.name));
    Ok(Json(looked.await?))
}

pub(super) async fn build(
    State(handle): State<Handle>,
    Path(build): Path<String>,
) -> Answer<Json<BuildView>> {
    let looked = handle.look(move |heart| match heart.bench.builds.get(&build) {
        Some(known) => Ok(build_view(&heart.bench, known)),
        None => Err(Refusal::BuildNotKnown(build)),
    });
    Ok(Json(looked.await??))
}

pub(super) async fn readings(
    State(handle): State<Handle>,
    Query(query): Query<Readings>,
) -> Answer<Response> {
    let asked = handle.query(move |tables| tables.readings(&query));
    let rows = asked.await?.map_err(|error| broken(&error))?;
    Ok(Json(rows).into_response())
}

/// What process figures are asked for.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct ByGroup {
    group: Group,
}

pub(super) async fn process_figures(
    State(handle): State<Handle>,
    Query(by): Query<ByGroup>,
) -> Answer<Response> {
    let asked = handle.query(move |tables| tables.pulls(by.group));
    let pulls = asked.await?.map_err(|error| broken(&error))?;
    Ok(Json(stats(by.group.word(), &pulls)).into_response())
}

/// Opens the ledger beside its writer, off the threads that must not wait.
pub(super) async fn read<T: Send + 'static>(
    handle: &Handle,
    read: impl FnOnce(&Reader) -> Result<T, StoreError> + Send + 'static,
) -> Answer<T> {
    let folder = handle.folder.clone();
    let done = apart(move || read(&Reader::open(&folder)?)).await?;
    done.map_err(|error| broken(&error).into())
}

pub(super) async fn entry(
    State(handle): State<Handle>,
    Path(sequence): Path<u64>,
) -> Answer<Response> {
    let after = sequence.checked_sub(1);
    let bodies = read(&handle, move |reader| reader.bodies_after(after, 1)).await?;
    let found = bodies.into_iter().find(|(found, _)| *found == sequence);
    let (_, body) = found.ok_or_else(|| no_entry(sequence))?;
    Ok(([(header::CONTENT_TYPE, "application/json")], body).into_response())
}

pub(super) async fn attached(
    State(handle): State<Handle>,
    Path(sequence): Path<u64>,
) -> Answer<Response> {
    let bytes = read(&handle, move |reader| reader.attached(sequence)).await?;
    let bytes = bytes.ok_or_else(|| no_entry(sequence))?;
    Ok(([(header::CONTENT_TYPE, "application/octet-stream")], bytes).into_response())
}

/// A streamed reading, drawn with the limits that it was judged by.
pub(super) async fn trace(
    State(handle): State<Handle>,
    Path(sequence): Path<u64>,
) -> Answer<Response> {
    let bytes = read(&handle, move |reader| reader.attached(sequence)).await?;
    let Some(mut samples) = crate::intake::trace::unpack(&bytes.unwrap_or_default()) else {
        let detail = format!("the entry {sequence} is no reading whose samples were kept");
        return Err(problem(StatusCode::NOT_FOUND, "entry/not-known", detail).into());
    };
    let known = handle.look(move |heart| {
        let build = heart.bench.build_of_reading(sequence)?;
        build.readings.get(&sequence).cloned()
    });
    let known = known.await.ok().flatten();
    let limits = known
        .as_ref()
        .and_then(|known| Some(known.verdict.as_ref()?.limits));
    let lines: Vec<(&str, i64)> = limits.map_or_else(Vec::new, |limits| {
        let lower = limits.lower.map(|lower| ("lower", lower.small_units()));
        lower
            .into_iter()
            .chain([("upper", limits.upper.small_units())])
            .collect()
    });
    let reading = known.as_ref().map(|known| &known.reading);
    if let Some(applied) = reading
        .filter(|reading| reading.adapter.is_some())
        .and_then(|reading| reading.applied)
    {
        at_fastener(&mut samples, applied.small_units());
    }
    let first_peak = reading
        .and_then(|reading| reading.trace.as_ref())
        .filter(|trace| trace.clicked)
        .map(|trace| trace.reached.small_units());
    let svg = crate::intake::trace::draw(&Drawn {
        samples: &samples,
        limits: &lines,
        first_peak,
    });
    Ok(([(header::CONTENT_TYPE, "image/svg+xml")], svg).into_response())
}

/// With an adapter the fastener got another torque than the tool measured, and the limits are the fastener's.
fn at_fastener(samples: &mut [(u64, i64)], applied_milli: i64) {
    let peak = samples
        .iter()
        .map(|(_, torque)| torque.saturating_abs())
        .max();
    let Some(peak) = peak.filter(|peak| *peak > 0) else {
        return;
    };
    for (_, torque) in samples {
        let scaled = i128::from(*torque) * i128::from(applied_milli.saturating_abs()) * 1000
            / i128::from(peak);
        *torque = i64::try_from(scaled).unwrap_or(*torque);
    }
}

pub(super) fn no_entry(sequence: u64) -> Response {
    let detail = format!("the ledger has no entry {sequence}, or it names no bytes");
    problem(StatusCode::NOT_FOUND, "entry/not-known", detail)
}

/// The bike map; it stays the same as long as the program does.
pub(super) async fn map(Path(frame): Path<String>) -> Response {
    if let Some(frame) = FrameKind::named(&frame) {
        return Json(pullmark_schema::map::map(frame)).into_response();
    }
    let known = FrameKind::ALL.map(FrameKind::word).join(", ");
    let detail = format!("there is no map of the frame {frame:?}; known are: {known}");
    problem(StatusCode::NOT_FOUND, "map/not-known", detail)
}

/// What this machine offers to connect tools by.
#[derive(Debug, Serialize, schemars::JsonSchema)]
pub(super) struct Ports {
    /// Serial ports that the machine names.
    serial: Vec<String>,
    /// Bluetooth adapters.
    bluetooth: Vec<String>,
    /// Why there are none.
    bluetooth_problem: Option<String>,
}

pub(super) async fn ports() -> Response {
    let (bluetooth, bluetooth_problem) = match bluetooth::adapters().await {
        Ok(names) => (names, None),
        Err(error) => (Vec::new(), Some(error.to_string())),
    };
    let serial = tokio::task::spawn_blocking(serial::ports)
        .await
        .unwrap_or_default();
    Json(Ports {
        serial,
        bluetooth,
        bluetooth_problem,
    })
    .into_response()
}

pub(super) async fn openapi() -> Response {
    Json(super::document()).into_response()
}

/// `OpenMetrics` text; counted from the bench itself, so that it cannot disagree with it.
pub(super) async fn metrics(State(handle): State<Handle>) -> Answer<Response> {
    let counted = handle
        .look(|heart| {
            let bench = &heart.bench;
            let open = bench
                .builds
                .values()
                .filter(|build| build.finished.is_none());
            [
                ("ledger_entries", "Entries in the ledger", heart.head().0),
                (
                    "builds_open",
                    "Builds not finished",
                    open.clone().count() as u64,
                ),
                (
                    "readings_held",
                    "Readings that wait for a person",
                    open.clone().map(|b| b.held().count() as u64).sum(),
                ),
                (
                    "alarms_open",
                    "Over alarms not acknowledged",
                    open.map(|b| b.open_alarms().count() as u64).sum(),
                ),
                (
                    "tools_connected",
                    "Tools whose port is open",
                    bench
                        .tool_states
                        .values()
                        .filter(|state| state.port.is_some())
                        .count() as u64,
                ),
            ]
        })
        .await?;
    let mut registry = Registry::with_prefix("pullmark");
    for (name, help, value) in counted {
        let gauge: Gauge = Gauge::default();
        gauge.set(i64::try_from(value).unwrap_or(i64::MAX));
        registry.register(name, help, gauge);
    }
    let mut text = String::new();
    encode(&mut text, &registry).map_err(|error| broken(&error))?;
    let kind = "application/openmetrics-text; version=1.0.0; charset=utf-8";
    Ok(([(header::CONTENT_TYPE, kind)], text).into_response())
}
