//! People, their PINs, and the devices that may reach the bench.

use super::caller::Caller;
use super::{Answer, Body, Ended, apart, body, broken, problem};
use crate::core::Refusal;
use crate::core::people::{HouseAct, PinGiven, by_of, decide_house, devices_view, people_view};
use crate::edge::access::AccessError;
use crate::edge::access::pairing::SECONDS;
use crate::edge::access::pins::{Tried, check_new};
use crate::run::Handle;
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::Response;
use axum::routing::{get, post};
use axum::{Extension, Json, Router};
use pullmark_schema::api::{
    Act, ByWhom, ConfirmedAct, DevicesView, Done, NewDevice, NewName, NewPerson, NewPin,
    PairingView, PersonPinView,
};
use pullmark_schema::entry::PinLocked;

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

/// Writes an entry about people or devices.
pub(super) async fn house(handle: &Handle, act: HouseAct) -> Answer<Done> {
    Ok(handle.house(act).await??)
}

/// Does something about secrets off the threads that must not wait.
pub(super) async fn secretly<T: Send + 'static>(
    handle: &Handle,
    work: impl FnOnce(&crate::edge::access::Access) -> Result<T, AccessError> + Send + 'static,
) -> Answer<T> {
    let access = handle.access.clone();
    let done = apart(move || work(&access)).await?;
    done.map_err(|error| broken(&error).into())
}

fn wall_ms(handle: &Handle) -> u64 {
    let now = handle.access.now().wall.timestamp_millis();
    u64::try_from(now).unwrap_or(0)
}

/// Who is meant, as id and name.
async fn find(handle: &Handle, name: String) -> Answer<(String, String)> {
    let found = handle.look(move |heart| {
        let person = heart.bench.people.find(&name)?;
        Ok::<_, Refusal>((person.id.clone(), person.name.clone()))
    });
    Ok(found.await??)
}

/// Whether the PIN is the person's. Wrong ones are counted and logged; where they lead to a wait, an entry says so.
async fn prove(
    handle: &Handle,
    caller: &Caller,
    (person, name): (String, String),
    pin: String,
) -> Answer<PinGiven> {
    let (now, device, id) = (wall_ms(handle), caller.key().to_owned(), person.clone());
    let tried = secretly(handle, move |access| {
        access.pins.check(&id, &device, &pin, now)
    });
    match tried.await? {
        Tried::Right => {
            not_looked_at(handle, caller, &person, Tell::AllThatIsLeft);
            Ok(PinGiven { person })
        }
        Tried::NoPin => {
            let detail = format!(
                "{name} has no PIN yet: on the bench's own machine, `pullmark people reset-pin` sets one"
            );
            Err(problem(StatusCode::FORBIDDEN, "person/no-pin", detail).into())
        }
        Tried::Locked { seconds } => {
            not_looked_at(handle, caller, &person, Tell::OneMore { seconds });
            Err(locked(&name, seconds).into())
        }
        Tried::Wrong { wrong, seconds } => {
            not_looked_at(handle, caller, &person, Tell::AllThatIsLeft);
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
            Err(problem(StatusCode::FORBIDDEN, "person/wrong-pin", detail).into())
        }
    }
}

/// What the log has to tell of tries that were not looked at.
#[derive(Clone, Copy)]
enum Tell {
    /// There was one more, and there are so many seconds to wait.
    OneMore { seconds: u64 },
    /// The wait is over.
    AllThatIsLeft,
}

/// Tries during a wait come to nothing, and cost whoever makes them nothing: they are counted, and the log gets a line for
/// the first and then one an interval, or it could be filled from a phone.
fn not_looked_at(handle: &Handle, caller: &Caller, person: &str, tell: Tell) {
    let device = caller.key();
    let counts = &handle.access.not_looked_at;
    let (tries, seconds) = match tell {
        Tell::OneMore { seconds } => {
            let now = handle.access.now().since_boot_ms;
            (counts.one_more(person, device, now), seconds)
        }
        Tell::AllThatIsLeft => (counts.left(person, device), 0),
    };
    if let Some(tries) = tries {
        tracing::warn!(
            person,
            device,
            tries,
            seconds,
            "a PIN was not looked at: there is a wait"
        );
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
        Ended::from(problem(status, "person/bad-pin", bad.to_string()))
    })
}

/// An act with the PIN of who does it.
async fn confirmed(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    asked: Body<ConfirmedAct>,
) -> Answer<Json<Done>> {
    let ConfirmedAct { act, pin } = body(asked)?;
    super::acts::note_markup(&act);
    let given = prove_for(&handle, &caller, &act, pin.0).await?;
    Ok(Json(handle.confirmed(act, given).await??))
}

async fn prove_for(handle: &Handle, caller: &Caller, act: &Act, pin: String) -> Answer<PinGiven> {
    let Some(by) = by_of(act) else {
        let detail = "this act carries no name that a PIN could belong to: send it without one";
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return Err(problem(status, "person/not-needed", detail).into());
    };
    let person = find(handle, by).await?;
    prove(handle, caller, person, pin).await
}

/// Those who work here, and how their PINs are doing.
async fn people(State(handle): State<Handle>) -> Answer<Json<Vec<PersonPinView>>> {
    let now = wall_ms(&handle);
    let known = handle.look(|heart| people_view(&heart.bench)).await?;
    let views = known.into_iter().map(|person| {
        let (has_pin, locked_seconds) = handle.access.pins.state(&person.person, now);
        PersonPinView {
            person: person.person,
            name: person.name,
            has_pin,
            locked_seconds,
        }
    });
    Ok(Json(views.collect()))
}

async fn add(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    asked: Body<NewPerson>,
) -> Answer<Json<Done>> {
    caller.at_the_bench("enter a person")?;
    let NewPerson { name, pin, by } = body(asked)?;
    good_pin(&pin.0)?;
    let act = HouseAct::AddPerson {
        name: name.clone(),
        by,
        // It sets their PIN without the one before.
        may_return: caller.is_prompt(),
    };
    let mut done = house(&handle, act).await?;
    let (person, name) = find(&handle, name).await?;
    secretly(&handle, move |access| access.pins.set(&person, &pin.0)).await?;
    done.said.push(format!(
        "{name} acts under this name from now on, and confirms with the PIN"
    ));
    Ok(Json(done))
}

async fn rename(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    Path(person): Path<String>,
    asked: Body<NewName>,
) -> Answer<Json<Done>> {
    caller.at_the_bench("rename a person")?;
    let NewName { name, by } = body(asked)?;
    let act = HouseAct::Rename { person, name, by };
    Ok(Json(house(&handle, act).await?))
}

async fn change_pin(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    Path(person): Path<String>,
    asked: Body<NewPin>,
) -> Answer<Json<Done>> {
    let NewPin { pin, before, by } = body(asked)?;
    let (person, name) = find(&handle, person).await?;
    let reset = before.is_none();
    if let Some(before) = before {
        let whose = (person.clone(), name.clone());
        prove(&handle, &caller, whose, before.0).await?;
    } else if !caller.is_prompt() {
        tracing::warn!(
            person,
            device = caller.named(),
            "refused a PIN without the one before"
        );
        return Err(not_forgotten_here(&name).into());
    }
    good_pin(&pin.0)?;
    let by = by.filter(|_| reset).unwrap_or(name);
    let act = HouseAct::ChangePin {
        person: person.clone(),
        by,
        reset,
    };
    let done = house(&handle, act).await?;
    secretly(&handle, move |access| access.pins.set(&person, &pin.0)).await?;
    Ok(Json(done))
}

/// Whoever has an account on the machine reaches the page, and could sign as somebody else.
fn not_forgotten_here(name: &str) -> Response {
    let detail = format!(
        "the PIN of {name} is changed with the one before. Where it is forgotten, the user that the daemon runs as sets it anew, \
         at a prompt on the bench's own machine: `pullmark people reset-pin {name:?}`"
    );
    problem(StatusCode::FORBIDDEN, "access/prompt-only", detail)
}

async fn leave(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    Path(person): Path<String>,
    asked: Body<ByWhom>,
) -> Answer<Json<Done>> {
    caller.at_the_bench("say that somebody left")?;
    let ByWhom { by, .. } = body(asked)?;
    let (person, _) = find(&handle, person).await?;
    let act = HouseAct::Leave {
        person: person.clone(),
        by,
    };
    let done = house(&handle, act).await?;
    secretly(&handle, move |access| access.pins.forget(&person)).await?;
    Ok(Json(done))
}

/// How the bench is reached from the network, and what was let in.
async fn devices(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
) -> Answer<Json<DevicesView>> {
    caller.at_the_bench("see the devices")?;
    let devices = handle.look(|heart| devices_view(&heart.bench)).await?;
    let lan = handle.access.lan();
    Ok(Json(DevicesView {
        addresses: lan
            .as_ref()
            .map(|lan| lan.addresses.clone())
            .unwrap_or_default(),
        fingerprint: lan.as_ref().map(|lan| lan.fingerprint.clone()),
        good_until: lan.map(|lan| lan.good_until),
        devices,
    }))
}

async fn pair(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    asked: Body<NewDevice>,
) -> Answer<Json<PairingView>> {
    caller.at_the_bench("let a device in")?;
    let NewDevice { name, by } = body(asked)?;
    let Some(lan) = handle.access.lan() else {
        let detail = "nothing is served on the network: set `lan = \"0.0.0.0:8461\"` in the settings and start the daemon anew";
        return Err(problem(StatusCode::CONFLICT, "device/no-network", detail).into());
    };
    // Decided without being written: what is wrong with it is better said before a code is carried to a tablet.
    let (device, named, whom) = (String::new(), name.clone(), by.clone());
    let act = HouseAct::Pair {
        device,
        name: named,
        by: whom,
    };
    let decided = handle.look(move |heart| decide_house(&heart.bench, act).map(|_| ()));
    decided.await??;
    let now = handle.access.now().since_boot_ms;
    let code = handle.access.pairing.open(name, by, now);
    let code = code.map_err(|error| broken(&error))?;
    tracing::info!("a code is open that lets one device in");
    Ok(Json(PairingView {
        code,
        seconds: SECONDS,
        addresses: lan.addresses,
        fingerprint: lan.fingerprint,
    }))
}

async fn revoke(
    State(handle): State<Handle>,
    Extension(caller): Extension<Caller>,
    Path(device): Path<String>,
    asked: Body<ByWhom>,
) -> Answer<Json<Done>> {
    caller.at_the_bench("shut a device out")?;
    let ByWhom { by, reason } = body(asked)?;
    let found = handle.look(move |heart| {
        let known = heart.bench.people.device_called(&device)?;
        Ok::<_, Refusal>(known.id.clone())
    });
    let device = found.await??;
    let act = HouseAct::Revoke {
        device: device.clone(),
        by,
        reason,
    };
    let done = house(&handle, act).await?;
    tracing::info!(device, "a device is shut out");
    secretly(&handle, move |access| access.devices.remove(&device)).await?;
    Ok(Json(done))
}
