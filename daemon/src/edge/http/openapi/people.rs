//! People, PINs and devices in the API's document.

use super::{get, of, post};
use pullmark_schema::api::{
    ByWhom, ConfirmedAct, DevicesView, Done, NewDevice, NewName, NewPerson, NewPin, PairingCode,
    PairingView, PersonPinView,
};
use schemars::{JsonSchema, SchemaGenerator};
use serde_json::{Map, Value, json};

fn asked<T: JsonSchema, A: JsonSchema>(
    types: &mut SchemaGenerator,
    summary: &str,
    parameters: &[(&str, &str)],
) -> Value {
    let body = json!({ "application/json": { "schema": of::<T>(types) } });
    post(summary, &body, &of::<A>(types), parameters)
}

pub(super) fn paths(types: &mut SchemaGenerator) -> Map<String, Value> {
    let person = &[("person", "path")][..];
    let people = json!({"type": "array", "items": of::<PersonPinView>(types)});
    let mut of_people = get(
        "Those who work here, and how their PINs are doing",
        &people,
        "application/json",
        &[],
    );
    let enter = asked::<NewPerson, Done>(
        types,
        "Enters a person; on the bench's own machine alone",
        &[],
    );
    of_people["post"] = enter["post"].clone();
    let devices = of::<DevicesView>(types);
    let rows = [
        (
            "/v1/acts/confirmed",
            asked::<ConfirmedAct, Done>(types, "Does something with the PIN of who does it", &[]),
        ),
        ("/v1/people", of_people),
        (
            "/v1/people/{person}/name",
            asked::<NewName, Done>(
                types,
                "Shows a person by another name; on the bench's own machine alone",
                person,
            ),
        ),
        (
            "/v1/people/{person}/pin",
            asked::<NewPin, Done>(
                types,
                "Changes a PIN: with the one before, or over the socket of the bench's own user without it",
                person,
            ),
        ),
        (
            "/v1/people/{person}/leave",
            asked::<ByWhom, Done>(
                types,
                "A person works here no longer; on the bench's own machine alone",
                person,
            ),
        ),
        (
            "/v1/devices",
            get(
                "How the bench is reached from the network, and what was let in; on the bench's own machine alone",
                &devices,
                "application/json",
                &[],
            ),
        ),
        (
            "/v1/devices/pairing",
            asked::<NewDevice, PairingView>(
                types,
                "Opens a code that lets one device in; on the bench's own machine alone",
                &[],
            ),
        ),
        (
            "/v1/devices/{device}/revoke",
            asked::<ByWhom, Done>(
                types,
                "Shuts a device out at once; on the bench's own machine alone",
                &[("device", "path")],
            ),
        ),
        (
            "/v1/pairing",
            asked::<PairingCode, Done>(
                types,
                "Lets a device in that types the code; over HTTPS alone. The token comes in a cookie",
                &[],
            ),
        ),
    ];
    let rows = rows.into_iter();
    rows.map(|(path, row)| (path.to_owned(), row)).collect()
}
