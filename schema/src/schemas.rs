//! JSON Schemas (draft 2020-12) of everything that is written or read as a file or crosses the wire.
//!
//! They are generated from the Rust types and kept in `schema/json/`, where a test compares them. A schema says what
//! form a document has. It does not say that its figures agree with each other: that is what [`crate::record::verify()`]
//! and [`crate::plan::read`] are for.

use crate::api::{Act, BenchView, Problem};
use crate::entry::Entry;
use crate::keys::KeyHistory;
use crate::plan::PlanFile;
use crate::profile::Profile;
use crate::record::Record;
use crate::record::file::RecordFile;
use crate::record::later::ConsistencyFile;
use crate::tool::ToolFile;
use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde_json::{Value, json};

/// Where the schemas say that they live; a name, not an address that anybody fetches.
pub const BASE: &str = "https://pullmark.invalid/schema/";

/// Every schema with the name of its file.
pub fn all() -> Vec<(&'static str, Value)> {
    vec![
        read::<PlanFile>("plan-file.schema.json", "Plan file"),
        read::<ToolFile>("tool-file.schema.json", "Tool file"),
        read::<Profile>("line-profile.schema.json", "Line profile of a tool"),
        written::<Entry>("ledger-entry.schema.json", "Ledger entry"),
        signed("record.schema.json", "Signed record of one bike"),
        written::<RecordFile>(
            "record-file.schema.json",
            "Record file: the signed record and what is beside it",
        ),
        written::<KeyHistory>("key-history.schema.json", "Key history of a bench"),
        written::<ConsistencyFile>(
            "consistency.schema.json",
            "Proof that one signed head continues another",
        ),
        read::<Act>("act.schema.json", "What a person asks the daemon to do"),
        written::<BenchView>("bench-view.schema.json", "The state of the bench"),
        written::<Problem>("problem.schema.json", "Refusal (RFC 9457)"),
    ]
}

/// The form of what is read: what may be left out is not asked for.
fn read<T: JsonSchema>(file: &'static str, title: &str) -> (&'static str, Value) {
    generate::<T>(
        SchemaSettings::draft2020_12().for_deserialize(),
        file,
        title,
    )
}

/// The form of what is written: what is always there is asked for.
fn written<T: JsonSchema>(file: &'static str, title: &str) -> (&'static str, Value) {
    generate::<T>(SchemaSettings::draft2020_12().for_serialize(), file, title)
}

fn generate<T: JsonSchema>(
    settings: SchemaSettings,
    file: &'static str,
    title: &str,
) -> (&'static str, Value) {
    let mut schema = settings.into_generator().into_root_schema_for::<T>();
    schema.insert("$id".to_owned(), format!("{BASE}{file}").into());
    schema.insert("title".to_owned(), title.into());
    (file, schema.to_value())
}

/// A record file is a record and its proof (W3C Data Integrity, `eddsa-jcs-2022`; see [`crate::proof`]).
fn signed(file: &'static str, title: &str) -> (&'static str, Value) {
    let (file, mut schema) = written::<Record>(file, title);
    if let Some(properties) = schema
        .pointer_mut("/properties")
        .and_then(Value::as_object_mut)
    {
        properties.insert("proof".to_owned(), proof());
    }
    if let Some(required) = schema
        .pointer_mut("/required")
        .and_then(Value::as_array_mut)
    {
        required.push("proof".into());
    }
    if let Some(schema) = schema.as_object_mut() {
        schema.insert(
            "description".to_owned(),
            "What was planned for a bike, what was done, and the proof.".into(),
        );
    }
    (file, schema)
}

fn proof() -> Value {
    json!({
        "description": "One Data Integrity proof; the key it names is the issuer.",
        "type": "object",
        "properties": {
            "@context": { "description": "Equal to the document's.", "type": "array", "items": { "type": "string" } },
            "type": { "const": "DataIntegrityProof" },
            "cryptosuite": { "const": "eddsa-jcs-2022" },
            "created": { "description": "RFC 3339 with offset.", "type": "string" },
            "proofPurpose": { "const": "assertionMethod" },
            "proofValue": { "description": "64 bytes in base58btc.", "type": "string", "pattern": "^z[1-9A-HJ-NP-Za-km-z]+$" },
            "verificationMethod": { "type": "string", "pattern": "^did:key:z[1-9A-HJ-NP-Za-km-z]+#z[1-9A-HJ-NP-Za-km-z]+$" }
        },
        "required": ["type", "cryptosuite", "created", "proofPurpose", "proofValue", "verificationMethod", "@context"],
        "additionalProperties": false
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
