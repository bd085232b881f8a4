//! The bench page, kept in the binary. There is no build step: a browser gets the files as they lie in `page/`.

use crate::run::Handle;
use axum::Router;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;

/// Nothing but the page's own files and its own daemon.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; \
                      form-action 'none'; base-uri 'none'; frame-ancestors 'none'";

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";

/// One file of the page as a row of the table.
macro_rules! row {
    ($path:literal, $kind:expr, $file:literal) => {
        ($path, $kind, include_str!(concat!("../../../page/", $file)))
    };
}

/// Every file of the page: its path, its kind, its text.
const FILES: [(&str, &str, &str); 20] = [
    row!("/", HTML, "index.html"),
    row!("/page.css", CSS, "page.css"),
    row!("/page.js", SCRIPT, "page.js"),
    row!("/alarm.js", SCRIPT, "alarm.js"),
    row!("/charts.js", SCRIPT, "charts.js"),
    row!("/checks.js", SCRIPT, "checks.js"),
    row!("/elements.js", SCRIPT, "elements.js"),
    row!("/list.js", SCRIPT, "list.js"),
    row!("/live.js", SCRIPT, "live.js"),
    row!("/marks.js", SCRIPT, "marks.js"),
    row!("/parts.js", SCRIPT, "parts.js"),
    row!("/settings.js", SCRIPT, "settings.js"),
    row!("/sheet.js", SCRIPT, "sheet.js"),
    row!("/sheets.js", SCRIPT, "sheets.js"),
    row!("/state.js", SCRIPT, "state.js"),
    row!("/stats.js", SCRIPT, "stats.js"),
    row!("/tools.js", SCRIPT, "tools.js"),
    row!("/top.js", SCRIPT, "top.js"),
    row!("/words.js", SCRIPT, "words.js"),
    row!("/work.js", SCRIPT, "work.js"),
];

pub(super) fn routes() -> Router<Handle> {
    FILES
        .into_iter()
        .fold(Router::new(), |routes, (path, kind, text)| {
            routes.route(path, get(move || async move { file(kind, text) }))
        })
}

fn file(kind: &'static str, text: &'static str) -> Response {
    let headers = [
        (header::CONTENT_TYPE, kind),
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-cache"),
    ];
    (headers, text).into_response()
}

#[cfg(test)]
mod tests {
    use super::{FILES, SCRIPT};

    /// What a module imports: the words between `from "./` and the next quotation mark.
    fn imports(text: &str) -> Vec<String> {
        text.lines()
            .filter(|line| line.starts_with("import "))
            .filter_map(|line| line.split_once("from \"./"))
            .filter_map(|(_, rest)| rest.split_once('"'))
            .map(|(name, _)| format!("/{name}"))
            .collect()
    }

    #[test]
    fn every_module_that_is_imported_is_served_and_every_module_is_imported() {
        let mut wanted: Vec<String> = FILES
            .iter()
            .filter(|(_, kind, _)| *kind == SCRIPT)
            .flat_map(|(_, _, text)| imports(text))
            .collect();
        wanted.push("/page.js".to_owned()); // by the page itself
        wanted.sort();
        wanted.dedup();
        let mut served: Vec<&str> = FILES
            .iter()
            .filter(|(_, kind, _)| *kind == SCRIPT)
            .map(|(path, _, _)| *path)
            .collect();
        served.sort_unstable();
        assert_eq!(wanted, served);
        assert!(FILES[0].2.contains("src=\"page.js\""));
    }
}
