//! `pullmark people` and `pullmark device`.

use super::Context;
use super::pin::{Ask, pin};
use crate::arguments::{DeviceVerb, PeopleVerb};
use crate::client::{ClientError, JSON, segment};
use crate::print;
use crate::report::Outcome;
use miette::IntoDiagnostic as _;
use pullmark_schema::api::{
    ByWhom, DevicesView, Done, NewDevice, NewName, NewPerson, NewPin, PairingView, PersonPinView,
};
use serde::Serialize;
use serde::de::DeserializeOwned;

pub(crate) async fn people(context: &Context, verb: PeopleVerb) -> miette::Result<Outcome> {
    let (path, body, said) = match verb {
        PeopleVerb::List => return list(context).await,
        PeopleVerb::Add {
            name,
            by,
            pin: from,
        } => {
            let pin = pin(&from, Ask::New)?;
            let body = json(&NewPerson { name, pin, by })?;
            return done(context, "/v1/people", body, "entered").await;
        }
        PeopleVerb::Rename {
            person,
            name,
            new_name,
            by,
        } => {
            // The arguments are such that one of them is there.
            let name = name.or(new_name).unwrap_or_default();
            let body = json(&NewName { name, by: by.by })?;
            (of(&person, "name"), body, "renamed")
        }
        PeopleVerb::Pin { person, pin: from } => {
            let (before, pin) = super::pin::change(&from)?;
            let body = NewPin {
                pin,
                before: Some(before),
                by: None,
            };
            (of(&person, "pin"), json(&body)?, "the PIN is changed")
        }
        PeopleVerb::ResetPin {
            person,
            by,
            pin: from,
        } => {
            let pin = pin(&from, Ask::New)?;
            let body = NewPin {
                pin,
                before: None,
                by,
            };
            (of(&person, "pin"), json(&body)?, "the PIN is set anew")
        }
        PeopleVerb::Leave { person, by } => {
            let body = ByWhom {
                by: by.by,
                reason: None,
            };
            (
                of(&person, "leave"),
                json(&body)?,
                "left; what they did stays theirs",
            )
        }
    };
    done(context, &path, body, said).await
}

fn of(person: &str, what: &str) -> String {
    format!("/v1/people/{}/{what}", segment(person))
}

fn json(body: &impl Serialize) -> miette::Result<Vec<u8>> {
    serde_json::to_vec(body).into_diagnostic()
}

async fn done(context: &Context, path: &str, body: Vec<u8>, said: &str) -> miette::Result<Outcome> {
    let answer: Result<Done, ClientError> = context.client.post(path, (JSON, body)).await;
    context.answered(answer, said)
}

/// Something that is shown, or a refusal.
fn shown<T: DeserializeOwned + Serialize>(
    context: &Context,
    answer: Result<T, ClientError>,
    show: impl FnOnce(&T),
) -> miette::Result<Outcome> {
    match answer {
        Ok(view) if context.json => print::json(&view),
        Ok(view) => show(&view),
        Err(error) => return context.answered(Err(error), ""),
    }
    Ok(Outcome::AsAsked)
}

async fn list(context: &Context) -> miette::Result<Outcome> {
    let answer: Result<Vec<PersonPinView>, _> = context.client.get("/v1/people").await;
    shown(context, answer, |people| print::people(people))
}

pub(crate) async fn device(context: &Context, verb: DeviceVerb) -> miette::Result<Outcome> {
    match verb {
        DeviceVerb::List => {
            let answer: Result<DevicesView, _> = context.client.get("/v1/devices").await;
            shown(context, answer, print::devices)
        }
        DeviceVerb::Pair { name, by } => {
            let body = json(&NewDevice { name, by: by.by })?;
            let path = "/v1/devices/pairing";
            let answer: Result<PairingView, _> = context.client.post(path, (JSON, body)).await;
            shown(context, answer, print::pairing)
        }
        DeviceVerb::Revoke { device, reason, by } => {
            let body = json(&ByWhom { by: by.by, reason })?;
            let path = format!("/v1/devices/{}/revoke", segment(&device));
            done(context, &path, body, "shut out").await
        }
    }
}
