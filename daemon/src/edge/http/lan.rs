//! The door to the network. A device that is not paired sees one page that asks for a code, and nothing else: no name, no
//! version, not even which addresses there are. A paired one sees the bench.

use super::caller::Caller;
use super::people::{house, secretly};
use super::{Answer, Ended, problem, routes};
use crate::core::people::HouseAct;
use crate::run::Handle;
use axum::body::{Body, Bytes};
use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};
use axum::{Json, Router};
use pullmark_schema::api::PairingCode;
use std::net::{IpAddr, SocketAddr};
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use tokio::sync::watch;
use tokio_stream::Stream;

/// The cookie. Its name makes browsers insist that it came over TLS, from this very host, for all of it (RFC 6265bis).
const COOKIE: &str = "__Host-pullmark-device";
/// How long a browser keeps it, in seconds: 400 days, the longest that browsers allow.
const KEPT: u32 = 34_560_000;
/// Where the code is sent to.
const PAIRING: &str = "/v1/pairing";
/// The largest body of a request with a code.
const LARGEST_CODE: usize = 1_024;

/// The page that asks for the code.
const FILES: [(&str, &str, &str); 3] = [
    (
        "/",
        "text/html; charset=utf-8",
        include_str!("../../../page/pairing/pair.html"),
    ),
    (
        "/pair.css",
        "text/css; charset=utf-8",
        include_str!("../../../page/pairing/pair.css"),
    ),
    (
        "/pair.js",
        "text/javascript; charset=utf-8",
        include_str!("../../../page/pairing/pair.js"),
    ),
];
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; form-action 'none'; \
                      base-uri 'none'; frame-ancestors 'none'";

/// The two ends of a connection from the network.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ends {
    /// This machine's.
    pub here: SocketAddr,
    /// The device's.
    pub there: SocketAddr,
}

/// What the door knows.
#[derive(Clone)]
struct Door {
    handle: Handle,
    /// The names of this machine, in small letters.
    names: Arc<[String]>,
}

/// The routes for the network.
pub fn for_network(handle: Handle, names: &[String]) -> Router {
    let names = names.iter().map(|name| name.to_lowercase());
    let door = Door {
        handle: handle.clone(),
        names: names.collect(),
    };
    routes(handle).layer(axum::middleware::from_fn_with_state(door, check))
}

/// Lets a request of a paired device through; shows others the page for the code.
async fn check(
    State(door): State<Door>,
    ConnectInfo(ends): ConnectInfo<Ends>,
    mut request: Request,
    next: Next,
) -> Response {
    if let Some(refused) = refusal(&door, ends, &request) {
        return refused;
    }
    let paired = token(request.headers()).and_then(|token| door.handle.access.devices.whose(token));
    let Some((device, out)) = paired else {
        return not_paired(&door, ends, request).await;
    };
    if let Some(refused) = super::guard::path_refusal(&request) {
        return refused;
    }
    request.extensions_mut().insert(Caller::Device(device));
    let response = next.run(request).await;
    if *out.borrow() {
        return refuse_unpaired();
    }
    until_out(response, out)
}

fn refusal(door: &Door, ends: Ends, request: &Request) -> Option<Response> {
    let header = |name| {
        let value = request.headers().get(name)?;
        Some(value.to_str().unwrap_or("?"))
    };
    let host = header(header::HOST).unwrap_or_default();
    if !door.knows_host(host, ends.here) {
        tracing::warn!(host, from = %ends.there, "refused a request for another host");
        let detail = "nothing is served under this name";
        let status = StatusCode::MISDIRECTED_REQUEST;
        return Some(problem(status, "http/other-host", detail));
    }
    let is_read = matches!(*request.method(), Method::GET | Method::HEAD);
    let origin = header(header::ORIGIN);
    let is_own = origin.is_some_and(|origin| {
        let of = origin.strip_prefix("https://");
        of.is_some_and(|of| of.eq_ignore_ascii_case(host))
    });
    let site = header("sec-fetch-site".parse().unwrap_or(header::ORIGIN));
    let is_foreign_site = site.is_some_and(|site| site == "cross-site" || site == "same-site");
    // Whoever changes something says from which page; a browser does so by itself.
    if (origin.is_some() || !is_read) && !is_own || !is_read && is_foreign_site {
        tracing::warn!(origin, from = %ends.there, "refused a request from another origin");
        let detail = "a page of another origin may not reach this bench";
        return Some(problem(StatusCode::FORBIDDEN, "http/other-origin", detail));
    }
    super::guard::form_refusal(request)
}

impl Door {
    /// An address of ours is the one that the device is connected to; a name is one that this machine was given.
    fn knows_host(&self, host: &str, here: SocketAddr) -> bool {
        if let Ok(address) = host.parse::<SocketAddr>() {
            return address.port() == here.port() && same(address.ip(), here.ip());
        }
        let (name, port) = host.rsplit_once(':').unwrap_or((host, "443"));
        if port != here.port().to_string() {
            return false;
        }
        match name.trim_matches(['[', ']']).parse::<IpAddr>() {
            Ok(address) => same(address, here.ip()),
            Err(_) => self.names.contains(&name.to_lowercase()),
        }
    }
}

fn same(one: IpAddr, other: IpAddr) -> bool {
    one.to_canonical() == other.to_canonical()
}

/// The token in the cookie.
fn token(headers: &HeaderMap) -> Option<&str> {
    let lines = headers.get_all(header::COOKIE).into_iter();
    lines
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(name, _)| *name == COOKIE)
        .map(|(_, value)| value)
}

fn refuse_unpaired() -> Response {
    let detail = "this device is not paired with the bench: open the bench's address in its browser and type the code that \
                  the bench shows";
    problem(StatusCode::UNAUTHORIZED, "access/not-paired", detail)
}

async fn not_paired(door: &Door, ends: Ends, request: Request) -> Response {
    let path = request.uri().path();
    if request.method() == Method::POST && path == PAIRING {
        return pair(door, ends, request).await.into_response();
    }
    let file = FILES.iter().find(|(known, _, _)| *known == path);
    let is_read = matches!(*request.method(), Method::GET | Method::HEAD);
    if let Some((_, kind, text)) = file.filter(|_| is_read) {
        return page(kind, text);
    }
    tracing::info!(path, from = %ends.there, "refused a device that is not paired");
    refuse_unpaired()
}

fn page(kind: &'static str, text: &'static str) -> Response {
    let headers = [
        (header::CONTENT_TYPE, kind),
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
    ];
    (headers, text).into_response()
}

/// A code was typed: the device gets its token where it is the right one.
async fn pair(door: &Door, ends: Ends, request: Request) -> Answer<Response> {
    let refused = || {
        tracing::warn!(from = %ends.there, "refused a code that lets no device in");
        let detail = "this code does not let a device in: it was mistyped, was used, or is too old. After three wrong ones the \
                      bench has to show a new code";
        Ended::from(problem(
            StatusCode::FORBIDDEN,
            "access/code-refused",
            detail,
        ))
    };
    let Ok(body) = axum::body::to_bytes(request.into_body(), LARGEST_CODE).await else {
        return Err(refused());
    };
    let Ok(PairingCode { code }) = serde_json::from_slice(&body) else {
        return Err(refused());
    };
    let access = &door.handle.access;
    let Some(allowed) = access.pairing.take(&code.0, access.now().since_boot_ms) else {
        return Err(refused());
    };
    let fresh = secretly(&door.handle, |access| access.devices.fresh()).await?;
    let device = fresh.device.clone();
    let act = HouseAct::Pair {
        device: device.clone(),
        name: allowed.name,
        by: allowed.by,
    };
    let done = house(&door.handle, act).await?;
    let fresh = secretly(&door.handle, move |access| {
        access.devices.add(&fresh)?;
        Ok(fresh)
    });
    let fresh = fresh.await?;
    tracing::info!(device, from = %ends.there, "a device is let in");
    let cookie = format!(
        "{COOKIE}={}; Path=/; Max-Age={KEPT}; Secure; HttpOnly; SameSite=Strict",
        fresh.token
    );
    let Ok(cookie) = HeaderValue::from_str(&cookie) else {
        return Err(refused());
    };
    Ok(([(header::SET_COOKIE, cookie)], Json(done)).into_response())
}

/// An event stream ends when its device is shut out. Every other answer is over soon anyway.
fn until_out(response: Response, out: watch::Receiver<bool>) -> Response {
    let is_stream = response
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(b"text/event-stream"));
    if !is_stream {
        return response;
    }
    response.map(|body| {
        Body::from_stream(UntilOut {
            body: body.into_data_stream(),
            out: Box::pin(shut_out(out)),
        })
    })
}

async fn shut_out(mut out: watch::Receiver<bool>) {
    // The sender goes when the device is forgotten, which is the same.
    let _ = out.wait_for(|out| *out).await;
}

struct UntilOut {
    body: axum::body::BodyDataStream,
    out: Pin<Box<dyn Future<Output = ()> + Send>>,
}

impl Stream for UntilOut {
    type Item = Result<Bytes, axum::Error>;

    fn poll_next(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Option<Self::Item>> {
        if self.out.as_mut().poll(context).is_ready() {
            return Poll::Ready(None);
        }
        Pin::new(&mut self.body).poll_next(context)
    }
}
