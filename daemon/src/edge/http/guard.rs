//! Looks at where a request comes from.

use super::caller::Caller;
use super::problem;
use axum::extract::{Request, State};
use axum::http::{Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::Response;

/// The names under which this daemon is reached on loopback.
#[derive(Debug, Clone)]
pub struct Guard {
    hosts: Vec<String>,
}

impl Guard {
    /// For a port on loopback.
    pub fn loopback(port: u16) -> Self {
        let hosts = ["127.0.0.1", "localhost", "[::1]"].map(|host| format!("{host}:{port}"));
        Self {
            hosts: hosts.to_vec(),
        }
    }

    fn knows_host(&self, host: Option<&str>) -> bool {
        host.is_some_and(|host| {
            self.hosts
                .iter()
                .any(|known| known.eq_ignore_ascii_case(host))
        })
    }

    fn knows_origin(&self, origin: Option<&str>) -> bool {
        let Some(origin) = origin else { return true };
        origin
            .strip_prefix("http://")
            .is_some_and(|host| self.knows_host(Some(host)))
    }
}

/// Lets a request through, or answers why not.
pub(super) async fn check(
    State(guard): State<Guard>,
    mut request: Request,
    next: Next,
) -> Response {
    request.extensions_mut().insert(Caller::Bench);
    match refusal(&guard, &request) {
        Some(refused) => refused,
        None => next.run(request).await,
    }
}

/// Refuses a foreign host, which is how a name elsewhere is made to point here, a foreign origin, and acts in a form
/// that a page elsewhere could send without being asked first.
fn refusal(guard: &Guard, request: &Request) -> Option<Response> {
    let header = |name| {
        request
            .headers()
            .get(name)
            .map(|value| value.to_str().unwrap_or("?"))
    };
    if !guard.knows_host(header(header::HOST)) {
        tracing::warn!(
            host = header(header::HOST),
            "refused a request for another host"
        );
        let detail = "this daemon answers on loopback only";
        return Some(problem(
            StatusCode::MISDIRECTED_REQUEST,
            "http/other-host",
            detail,
        ));
    }
    if !guard.knows_origin(header(header::ORIGIN)) {
        tracing::warn!(
            origin = header(header::ORIGIN),
            "refused a request from another origin"
        );
        let detail = "a page of another origin may not reach this daemon";
        return Some(problem(StatusCode::FORBIDDEN, "http/other-origin", detail));
    }
    path_refusal(request).or_else(|| form_refusal(request))
}

/// Refuses a path that climbs out of where it begins. Nothing is served from a folder, so that it would come to nothing anyway;
/// but whoever asks so is trying something, and the log has to tell.
pub(super) fn path_refusal(request: &Request) -> Option<Response> {
    let path = request.uri().path();
    if !climbs(path) {
        return None;
    }
    tracing::warn!(path, "refused a path that climbs out");
    let detail = "an address here has no `..` in it";
    Some(problem(StatusCode::BAD_REQUEST, "http/bad-path", detail))
}

/// Whether a part of a path is `..`, however it is written.
fn climbs(path: &str) -> bool {
    let plain = path.to_ascii_lowercase();
    let plain = plain.replace("%2e", ".").replace("%2f", "/");
    let plain = plain.replace("%5c", "/").replace('\\', "/");
    plain.split('/').any(|part| part == "..")
}

/// Refuses acts in a form that a page elsewhere could send without being asked first.
pub(super) fn form_refusal(request: &Request) -> Option<Response> {
    let header = |name| {
        request
            .headers()
            .get(name)
            .map(|value| value.to_str().unwrap_or("?"))
    };
    let is_read = matches!(*request.method(), Method::GET | Method::HEAD);
    let is_json =
        header(header::CONTENT_TYPE).is_some_and(|kind| kind.starts_with("application/json"));
    // A photograph is sent as what it is. No page elsewhere can send one either without being asked first.
    let is_picture = request.uri().path() == super::PHOTOS
        && header(header::CONTENT_TYPE).is_some_and(|kind| kind.starts_with("image/"));
    if !is_read && !is_json && !is_picture {
        let device = request.extensions().get::<Caller>().map(Caller::named);
        tracing::warn!(
            path = request.uri().path(),
            kind = header(header::CONTENT_TYPE),
            device,
            "refused a request that is not JSON"
        );
        return Some(problem(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "http/not-json",
            "send application/json",
        ));
    }
    None
}

#[cfg(test)]
mod tests {
    use super::climbs;

    #[test]
    fn a_path_climbs_where_a_part_of_it_is_two_dots() {
        for path in [
            "/../x",
            "/x/..",
            "/%2e%2E/x",
            "/.%2e/x",
            "/x/..%2fy",
            "/x/..\\y",
            "/..%5Cy",
        ] {
            assert!(climbs(path), "{path}");
        }
        for path in [
            "/",
            "/v1/bench",
            "/v1/builds/a..b",
            "/v1/builds/...",
            "/v1/builds/%252e%252e",
        ] {
            assert!(!climbs(path), "{path}");
        }
    }
}
