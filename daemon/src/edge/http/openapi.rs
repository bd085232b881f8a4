//! The API's document (`OpenAPI` 3.1). Its types are generated from the ones that cross the wire.

mod people;
mod plans;

use super::life::OtherPlan;
use super::views::Ports;
use pullmark_schema::api::{
    Act, BenchView, BuildView, Done, DueView, HistoryRow, LiveValue, PlanDifferenceView, Problem,
    ReadingRow, StatsView,
};
use pullmark_schema::entry::Entry;
use pullmark_schema::keys::KeyHistory;
use pullmark_schema::map::BikeMap;
use pullmark_schema::record::Record;
use pullmark_schema::record::file::RecordFile;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, SchemaGenerator};
use serde_json::{Map, Value, json};

/// The document.
pub fn document() -> Value {
    let mut settings = SchemaSettings::draft2020_12();
    settings.definitions_path = "/components/schemas".into();
    let mut types = settings.into_generator();
    let mut paths = json!({
        "/v1/bench": get("The whole bench", &of::<BenchView>(&mut types), "application/json", &[]),
        "/v1/builds/{build}": get("One build", &of::<BuildView>(&mut types), "application/json", &[("build", "path")]),
        "/v1/builds/{build}/record": get("The signed record", &of::<Record>(&mut types), "application/vc", &[("build", "path")]),
        "/v1/builds/{build}/record-file": get(
            "The signed record with what shows that it is in the ledger", &of::<RecordFile>(&mut types), "application/json",
            &[("build", "path"), ("redact", "query")],
        ),
        "/v1/keys": get("The bench's key history", &of::<KeyHistory>(&mut types), "application/json", &[]),
        "/v1/builds/{build}/readings.csv": get("The record's readings as a table", &text(), "text/csv", &[("build", "path")]),
        "/v1/builds/{build}/history": get(
            "Everything that happened to a build, in words, the oldest first",
            &json!({"type": "array", "items": of::<HistoryRow>(&mut types)}), "application/json", &[("build", "path")],
        ),
        "/v1/builds/{build}/fasteners/{fastener}/history": get(
            "Everything that happened to one fastener, in words, the oldest first; what was taken back is marked",
            &json!({"type": "array", "items": of::<HistoryRow>(&mut types)}),
            "application/json",
            &[("build", "path"), ("fastener", "path")],
        ),
        "/v1/builds/{build}/plan/difference": post(
            "What another edition of the plan would mean; nothing is written",
            &json!({ "application/json": { "schema": of::<OtherPlan>(&mut types) } }),
            &of::<PlanDifferenceView>(&mut types), &[("build", "path")],
        ),
        "/v1/builds/{build}/service-plan": get(
            "A plan (TOML) for a bike that comes back: what is due by these ids, or these fasteners and checks, with commas between; the whole plan if none is named",
            &text(), "application/toml", &[("build", "path"), ("due", "query"), ("fasteners", "query")],
        ),
        "/v1/due": get(
            "What is due after handing over: what is due now first, then what waits, then what is done",
            &json!({"type": "array", "items": of::<DueView>(&mut types)}), "application/json", &[],
        ),
        "/v1/due.ics": get("The same as a calendar (RFC 5545): what has a day and is not done", &text(), "text/calendar", &[]),
        "/v1/photos": post(
            "Notes a photograph: the body is the file (JPEG, PNG or WebP, at most 8 MiB)",
            &json!({ "image/jpeg": {}, "image/png": {}, "image/webp": {} }), &of::<Done>(&mut types),
            &[("build", "query"), ("fastener", "query"), ("text", "query"), ("name", "query"), ("by", "query")],
        ),
        "/v1/photos/{sha256}": get("A photograph by its hash", &json!({}), "image/jpeg", &[("sha256", "path")]),
        "/v1/readings": get(
            "Readings, the oldest first",
            &json!({"type": "array", "items": of::<ReadingRow>(&mut types)}),
            "application/json",
            &[("build", "query"), ("tool", "query"), ("most", "query")],
        ),
        "/v1/stats": get(
            "Process figures", &of::<StatsView>(&mut types), "application/json", &[("group", "query")],
        ),
        "/v1/entries/{sequence}": get("One ledger entry", &of::<Entry>(&mut types), "application/json", &[("sequence", "path")]),
        "/v1/entries/{sequence}/attached": get(
            "The bytes that an entry names by their hash", &json!({}), "application/octet-stream", &[("sequence", "path")],
        ),
        "/v1/entries/{sequence}/trace.svg": get(
            "A streamed reading as a picture: torque over time, with its limits", &text(), "image/svg+xml", &[("sequence", "path")],
        ),
        "/v1/events": get(
            "Ledger entries as they come (server-sent events): id is the sequence number, event the kind, data the entry. \
             Resumes after the header Last-Event-ID, or the parameter. With `live=true` also what a tool shows during a pull: \
             event `live` without an id, data a LiveValue; a slow listener is told the newest ones only.",
            &text(), "text/event-stream", &[("after", "query"), ("live", "query")],
        ),
        "/v1/map/{frame}": get(
            "The bike map of a kind of frame: lines, and where its places lie", &of::<BikeMap>(&mut types), "application/json", &[("frame", "path")],
        ),
        "/v1/ports": get("What tools can be connected by", &of::<Ports>(&mut types), "application/json", &[]),
        "/v1/openapi.json": get("This document", &json!({"type": "object"}), "application/json", &[]),
        "/metrics": get("Figures for a monitor (OpenMetrics)", &text(), "application/openmetrics-text", &[]),
        "/v1/acts": { "post": {
            "summary": "Does something; the answer comes when it is on disk",
            "requestBody": { "required": true, "content": { "application/json": { "schema": of::<Act>(&mut types) } } },
            "responses": {
                "200": { "description": "Done", "content": { "application/json": { "schema": of::<Done>(&mut types) } } },
                "default": problem(&mut types),
            },
        } },
    });
    if let Some(paths) = paths.as_object_mut() {
        paths.extend(people::paths(&mut types));
        plans::add(paths, &mut types);
    }
    let _ = of::<LiveValue>(&mut types); // named in the words of the event stream
    let problem = of::<Problem>(&mut types);
    let schemas: Map<String, Value> = types.take_definitions(true).into_iter().collect();
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Pullmark", "version": env!("CARGO_PKG_VERSION"),
            "description": "What a bench knows and does. Served on loopback, on a Unix socket, and over HTTPS to paired devices.",
        },
        "paths": paths,
        "components": { "schemas": schemas, "responses": { "Problem": {
            "description": "Why it was not done", "content": { "application/problem+json": { "schema": problem } },
        } } },
    })
}

fn of<T: JsonSchema>(types: &mut SchemaGenerator) -> Value {
    types.subschema_for::<T>().to_value()
}

fn text() -> Value {
    json!({"type": "string"})
}

fn problem(types: &mut SchemaGenerator) -> Value {
    json!({ "description": "Why it was not done", "content": {
        "application/problem+json": { "schema": of::<Problem>(types) },
    } })
}

fn post(summary: &str, content: &Value, done: &Value, parameters: &[(&str, &str)]) -> Value {
    json!({ "post": {
        "summary": summary,
        "parameters": named(parameters),
        "requestBody": { "required": true, "content": content },
        "responses": {
            "200": { "description": "As asked", "content": { "application/json": { "schema": done } } },
            "default": { "$ref": "#/components/responses/Problem" },
        },
    } })
}

fn named(parameters: &[(&str, &str)]) -> Vec<Value> {
    let always = ["build", "by"];
    parameters
        .iter()
        .map(|(name, place)| {
            let is_required = *place == "path" || always.contains(name);
            json!({"name": name, "in": place, "required": is_required, "schema": {"type": "string"}})
        })
        .collect()
}

fn get(summary: &str, schema: &Value, media: &str, parameters: &[(&str, &str)]) -> Value {
    let parameters: Vec<Value> = parameters
        .iter()
        .map(|(name, place)| json!({"name": name, "in": place, "required": *place == "path", "schema": {"type": "string"}}))
        .collect();
    json!({ "get": {
        "summary": summary,
        "parameters": parameters,
        "responses": {
            "200": { "description": "As asked", "content": { media: { "schema": schema } } },
            "default": { "$ref": "#/components/responses/Problem" },
        },
    } })
}
