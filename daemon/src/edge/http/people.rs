//! People, their PINs, and the devices that may reach the bench.

use super::caller::Caller;
use super::{broken, gone, problem, refused};
use crate::core::Refusal;
use crate::core::people::{HouseAct, PinGiven, by_of, decide_house, devices_view, people_view};
use crate::edge::access::AccessError;
use crate::edge::access::pairing::SECONDS;
use crate::edge::access::pins::{Tried, check_new};
use crate::run::Handle;
use axum::extract::rejection::JsonRejection;
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use axum::routing::{get, post};
use axum::{Extension, Json, Router};
use pullmark_schema::api::{
    Act, ByWhom, ConfirmedAct, DevicesView, Done, NewDevice, NewName, NewPerson, NewPin,
    PairingView, PersonPinView,
};
use pullmark_schema::entry::PinLocked;

/// An answer, or the one that ends it.
type Answer<T> = Result<T, Box<Response>>;

pub(super) fn routes() -> Router<Handle> {
    Router::new()
        .route("/v1/acts/confirmed", post(confirmed))
        .route("/v1/people", get(people).post(add))
        .route("/v1/people/{person}/name", post(rename))
        .route("/v1/people/{person}/pin", post(change_pin))
        .route("/v1/people/{person}/leave", post(leave))
        .route("/v1/devices", get(devices))
        .route("/v1/devices/pairing", post(pair))
        .route("/v1/devices/{device}/revoke", post(revoke))
}

fn either(answer: Answer<Response>) -> Response {
    answer.unwrap_or_else(|refused| *refused)
}

fn read<T>(body: Result<Json<T>, JsonRejection>) -> Answer<T> {
    body.map(|Json(value)| value).map_err(|rejection| {
        let (status, code) = match rejection.status() {
            StatusCode::PAYLOAD_TOO_LARGE => (StatusCode::PAYLOAD_TOO_LARGE, "http/too-large"),
            _ => (StatusCode::BAD_REQUEST, "act/not-readable"),
        };
        Box::new(problem(status, code, rejection.body_text()))
    })
}

/// Looks at the bench.
async fn look<T: Send + 'static>(
    handle: &Handle,
    look: impl FnOnce(&crate::run::Heart) -> T + Send + 'static,
) -> Answer<T> {
    handle
        .look(look)
        .await
        .map_err(|error| Box::new(gone(error)))
}

/// Writes an entry about people or devices.
pub(super) async fn house(handle: &Handle, act: HouseAct) -> Answer<Done> {
    match handle.house(act).await {
        Ok(Ok(done)) => Ok(done),
        Ok(Err(refusal)) => Err(Box::new(refused(&refusal))),
        Err(error) => Err(Box::new(gone(error))),
    }
}

/// Does something about secrets off the threads that must not wait.
async fn apart<T: Send + 'static>(
    handle: &Handle,
    work: impl FnOnce(&crate::edge::access::Access) -> Result<T, AccessError> + Send + 'static,
) -> Answer<T> {
    let access = handle.access.clone();
    match tokio::task::spawn_blocking(move || work(&access)).await {
        Ok(Ok(value)) => Ok(value),
        Ok(Err(error)) => Err(Box::new(broken(&error))),
        Err(error) => Err(Box::new(broken(&error))),
    }
}

fn wall_ms(handle: &Handle) -> u64 {
    let now = handle.access.now().wall.timestamp_millis();
    u64::try_from(now).unwrap_or(0)
}

/// Who is meant, as id and name.
async fn find(handle: &Handle, name: String) -> Answer<(String, String)> {
    let found = look(handle, move |heart| {
        let person = heart.bench.people.find(&name)?;
        Ok((person.id.clone(), person.name.clone()))
    });
    let found: Result<_, Refusal> = found.await?;
    found.map_err(|refusal| Box::new(refused(&refusal)))
}

/// Whether the PIN is the person's. Wrong ones are counted and logged; where they lead to a wait, an entry says so.
async fn prove(
    handle: &Handle,
    caller: &Caller,
    (person, name): (String, String),
    pin: String,
) -> Answer<PinGiven> {
    let (now, device, id) = (wall_ms(handle), caller.key().to_owned(), person.clone());
    let tried = apart(handle, move |access| {
        access.pins.check(&id, &device, &pin, now)
    });
    match tried.await? {
        Tried::Right => Ok(PinGiven { person }),
        Tried::NoPin => {
            let detail = format!(
                "{name} has no PIN yet: on the bench's own machine, `pullmark people reset-pin` sets one"
            );
            Err(Box::new(problem(
                StatusCode::FORBIDDEN,
                "person/no-pin",
                detail,
            )))
        }
        Tried::Locked { seconds } => {
            tracing::info!(
                person,
                device = caller.key(),
                seconds,
                "a PIN was not looked at: there is a wait"
            );
            Err(Box::new(locked(&name, seconds)))
        }
        Tried::Wrong { wrong, seconds } => {
            tracing::warn!(person, device = caller.key(), wrong, seconds, "a wrong PIN");
            if seconds > 0 {
                let device = caller.device();
                let lock = PinLocked {
                    person,
                    device,
                    wrong,
                    seconds,
                };
                house(handle, HouseAct::Lock(lock)).await?;
            }
            let wait = match seconds {
                0 => String::new(),
                _ => format!("; it can be tried again in {}", in_words(seconds)),
            };
            let detail = format!("this is not the PIN of {name}{wait}");
            Err(Box::new(problem(
                StatusCode::FORBIDDEN,
                "person/wrong-pin",
                detail,
            )))
        }
    }
}

fn locked(name: &str, seconds: u64) -> Response {
    let detail = format!(
        "there were too many wrong PINs: the PIN of {name} can be tried again in {}",
        in_words(seconds)
    );
    let mut response = problem(StatusCode::TOO_MANY_REQUESTS, "person/locked", detail);
    response
        .headers_mut()
        .insert(header::RETRY_AFTER, seconds.into());
    response
}

fn in_words(seconds: u64) -> String {
    match seconds {
        0..=119 => format!("{seconds} s"),
        120..=7_199 => format!("{} min", seconds.div_ceil(60)),
        _ => format!("{} h", seconds.div_ceil(3_600)),
    }
}

fn good_pin(pin: &str) -> Answer<()> {
    check_new(pin).map_err(|bad| {
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        Box::new(problem(status, "person/bad-pin", bad.to_string()))
    })
}

/// An act with the PIN of who does it.
async fn confirmed(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    body: Result<Json<ConfirmedAct>, JsonRejection>,
) -> Response {
    either(do_confirmed(&handle, &caller, body).await)
}

async fn do_confirmed(
    handle: &Handle,
    caller: &Caller,
    body: Result<Json<ConfirmedAct>, JsonRejection>,
) -> Answer<Response> {
    let ConfirmedAct { act, pin } = read(body)?;
    super::acts::note_markup(&act);
    let given = prove_for(handle, caller, &act, pin.0).await?;
    match handle.confirmed(act, given).await {
        Ok(Ok(done)) => Ok(Json(done).into_response()),
        Ok(Err(refusal)) => Ok(refused(&refusal)),
        Err(error) => Ok(gone(error)),
    }
}

async fn prove_for(handle: &Handle, caller: &Caller, act: &Act, pin: String) -> Answer<PinGiven> {
    let Some(by) = by_of(act) else {
        let detail = "this act carries no name that a PIN could belong to: send it without one";
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return Err(Box::new(problem(status, "person/not-needed", detail)));
    };
    let person = find(handle, by).await?;
    prove(handle, caller, person, pin).await
}

/// Those who work here, and how their PINs are doing.
async fn people(State(handle): State<Handle>) -> Response {
    let now = wall_ms(&handle);
    let known = match handle.look(|heart| people_view(&heart.bench)).await {
        Ok(known) => known,
        Err(error) => return gone(error),
    };
    let views = known.into_iter().map(|person| {
        let (has_pin, locked_seconds) = handle.access.pins.state(&person.person, now);
        PersonPinView {
            person: person.person,
            name: person.name,
            has_pin,
            locked_seconds,
        }
    });
    Json(views.collect::<Vec<_>>()).into_response()
}

async fn add(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    body: Result<Json<NewPerson>, JsonRejection>,
) -> Response {
    either(do_add(&handle, &caller, body).await)
}

async fn do_add(
    handle: &Handle,
    caller: &Caller,
    body: Result<Json<NewPerson>, JsonRejection>,
) -> Answer<Response> {
    caller.at_the_bench()?;
    let NewPerson { name, pin, by } = read(body)?;
    good_pin(&pin.0)?;
    let act = HouseAct::AddPerson {
        name: name.clone(),
        by,
    };
    let mut done = house(handle, act).await?;
    let (person, name) = find(handle, name).await?;
    apart(handle, move |access| access.pins.set(&person, &pin.0)).await?;
    done.said.push(format!(
        "{name} acts under this name from now on, and confirms with the PIN"
    ));
    Ok(Json(done).into_response())
}

async fn rename(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    Path(person): Path<String>,
    body: Result<Json<NewName>, JsonRejection>,
) -> Response {
    let renamed = async {
        caller.at_the_bench()?;
        let NewName { name, by } = read(body)?;
        house(&handle, HouseAct::Rename { person, name, by }).await
    };
    either(renamed.await.map(|done| Json(done).into_response()))
}

async fn change_pin(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    Path(person): Path<String>,
    body: Result<Json<NewPin>, JsonRejection>,
) -> Response {
    either(do_change_pin(&handle, &caller, person, body).await)
}

async fn do_change_pin(
    handle: &Handle,
    caller: &Caller,
    person: String,
    body: Result<Json<NewPin>, JsonRejection>,
) -> Answer<Response> {
    let NewPin { pin, before, by } = read(body)?;
    let (person, name) = find(handle, person).await?;
    let reset = before.is_none();
    if let Some(before) = before {
        prove(handle, caller, (person.clone(), name.clone()), before.0).await?;
    } else {
        caller.at_the_bench()?;
    }
    good_pin(&pin.0)?;
    let by = by.filter(|_| reset).unwrap_or(name);
    let act = HouseAct::ChangePin {
        person: person.clone(),
        by,
        reset,
    };
    let done = house(handle, act).await?;
    apart(handle, move |access| access.pins.set(&person, &pin.0)).await?;
    Ok(Json(done).into_response())
}

async fn leave(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    Path(person): Path<String>,
    body: Result<Json<ByWhom>, JsonRejection>,
) -> Response {
    let left = async {
        caller.at_the_bench()?;
        let ByWhom { by, .. } = read(body)?;
        let (person, _) = find(&handle, person).await?;
        let act = HouseAct::Leave {
            person: person.clone(),
            by,
        };
        let done = house(&handle, act).await?;
        apart(&handle, move |access| access.pins.forget(&person)).await?;
        Ok(Json(done).into_response())
    };
    either(left.await)
}

/// How the bench is reached from the network, and what was let in.
async fn devices(State(handle): State<Handle>, Extension(caller): Extension<Caller>) -> Response {
    let listed = async {
        caller.at_the_bench()?;
        let devices = look(&handle, |heart| devices_view(&heart.bench)).await?;
        let lan = handle.access.lan();
        let view = DevicesView {
            addresses: lan
                .as_ref()
                .map(|lan| lan.addresses.clone())
                .unwrap_or_default(),
            fingerprint: lan.as_ref().map(|lan| lan.fingerprint.clone()),
            good_until: lan.map(|lan| lan.good_until),
            devices,
        };
        Ok(Json(view).into_response())
    };
    either(listed.await)
}

async fn pair(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    body: Result<Json<NewDevice>, JsonRejection>,
) -> Response {
    either(do_pair(&handle, &caller, body).await)
}

async fn do_pair(
    handle: &Handle,
    caller: &Caller,
    body: Result<Json<NewDevice>, JsonRejection>,
) -> Answer<Response> {
    caller.at_the_bench()?;
    let NewDevice { name, by } = read(body)?;
    let Some(lan) = handle.access.lan() else {
        let detail = "nothing is served on the network: set `lan = \"0.0.0.0:8461\"` in the settings and start the daemon anew";
        return Err(Box::new(problem(
            StatusCode::CONFLICT,
            "device/no-network",
            detail,
        )));
    };
    // Decided without being written: what is wrong with it is better said before a code is carried to a tablet.
    let (device, named, whom) = (String::new(), name.clone(), by.clone());
    let act = HouseAct::Pair {
        device,
        name: named,
        by: whom,
    };
    let decided = look(handle, move |heart| {
        decide_house(&heart.bench, act).map(|_| ())
    })
    .await?;
    decided.map_err(|refusal| Box::new(refused(&refusal)))?;
    let now = handle.access.now().since_boot_ms;
    let code = handle.access.pairing.open(name, by, now);
    let code = code.map_err(|error| Box::new(broken(&error)))?;
    tracing::info!("a code is open that lets one device in");
    let view = PairingView {
        code,
        seconds: SECONDS,
        addresses: lan.addresses,
        fingerprint: lan.fingerprint,
    };
    Ok(Json(view).into_response())
}

async fn revoke(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    Path(device): Path<String>,
    body: Result<Json<ByWhom>, JsonRejection>,
) -> Response {
    let revoked = async {
        caller.at_the_bench()?;
        let ByWhom { by, reason } = read(body)?;
        let found = look(&handle, move |heart| {
            heart
                .bench
                .people
                .device_called(&device)
                .map(|known| known.id.clone())
        });
        let device = found
            .await?
            .map_err(|refusal| Box::new(refused(&refusal)))?;
        let act = HouseAct::Revoke {
            device: device.clone(),
            by,
            reason,
        };
        let done = house(&handle, act).await?;
        tracing::info!(device, "a device is shut out");
        apart(&handle, move |access| access.devices.remove(&device)).await?;
        Ok(Json(done).into_response())
    };
    either(revoked.await)
}
