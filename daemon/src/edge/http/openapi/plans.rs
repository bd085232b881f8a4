//! The part of the document that speaks of plans while they are written.

use super::{get, of, post, text};
use pullmark_schema::api::{
    LibraryView, PlanCheckView, PlanFileView, PlanQuestion, PlanShelfView, PlanTable, PlanToKeep,
    PlanWish,
};
use pullmark_schema::plan::PlanDraft;
use pullmark_schema::plan::table::TableReading;
use schemars::{JsonSchema, SchemaGenerator};
use serde_json::{Map, Value, json};

/// Adds the paths.
pub(super) fn add(paths: &mut Map<String, Value>, types: &mut SchemaGenerator) {
    let all = [
        (
            "/v1/plans",
            get("The plan folder", &of::<PlanShelfView>(types), JSON, &[]),
        ),
        ("/v1/plans/{name}", plan_file(types)),
        (
            "/v1/plans/templates",
            get(
                "Joint templates and starter sets",
                &of::<LibraryView>(types),
                JSON,
                &[],
            ),
        ),
        (
            "/v1/plans/check",
            post(
                "What is found in a plan, with the tools of the bench at hand; nothing is written",
                &body::<PlanQuestion>(types),
                &of::<PlanCheckView>(types),
                &[],
            ),
        ),
        (
            "/v1/plans/compose",
            post(
                "A plan made of templates; nothing is written",
                &body::<PlanWish>(types),
                &of::<PlanDraft>(types),
                &[],
            ),
        ),
        (
            "/v1/plans/from-table",
            post(
                "A plan from a table, or what is wrong with the table",
                &body::<PlanTable>(types),
                &of::<TableReading>(types),
                &[],
            ),
        ),
        ("/v1/plans/to-table", to_table(types)),
    ];
    paths.extend(all.map(|(path, of)| (path.to_owned(), of)));
}

const JSON: &str = "application/json";

fn body<T: JsonSchema>(types: &mut SchemaGenerator) -> Value {
    json!({ JSON: { "schema": of::<T>(types) } })
}

fn plan_file(types: &mut SchemaGenerator) -> Value {
    let file = of::<PlanFileView>(types);
    let mut both = get("One plan file", &file, JSON, &[("name", "path")]);
    let summary = "Keeps a plan without errors. It is on disk when this is answered, and nothing that somebody changed \
                   meanwhile is written over: `before` is the hash of the file as it was opened, none for a new file";
    both["put"] = post(
        summary,
        &body::<PlanToKeep>(types),
        &file,
        &[("name", "path")],
    )["post"]
        .take();
    both
}

fn to_table(types: &mut SchemaGenerator) -> Value {
    let mut of = post(
        "A plan as a table",
        &body::<PlanQuestion>(types),
        &text(),
        &[],
    );
    of["post"]["responses"]["200"]["content"] = json!({ "text/csv": { "schema": text() } });
    of
}
