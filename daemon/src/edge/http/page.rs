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
const FILES: [(&str, &str, &str); 25] = [
    row!("/", HTML, "index.html"),
    row!("/page.css", CSS, "page.css"),
    row!("/page.js", SCRIPT, "page.js"),
    row!("/alarm.js", SCRIPT, "alarm.js"),
    row!("/board.js", SCRIPT, "board.js"),
    row!("/charts.js", SCRIPT, "charts.js"),
    row!("/checks.js", SCRIPT, "checks.js"),
    row!("/elements.js", SCRIPT, "elements.js"),
    row!("/history.js", SCRIPT, "history.js"),
    row!("/keys.js", SCRIPT, "keys.js"),
    row!("/list.js", SCRIPT, "list.js"),
    row!("/live.js", SCRIPT, "live.js"),
    row!("/map.js", SCRIPT, "map.js"),
    row!("/marks.js", SCRIPT, "marks.js"),
    row!("/parts.js", SCRIPT, "parts.js"),
    row!("/pull.js", SCRIPT, "pull.js"),
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
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{FILES, SCRIPT};
    use pullmark_schema::build::Standing;
    use pullmark_schema::entry::Event;
    use pullmark_schema::verdict::Caution;

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

    fn file(path: &str) -> &'static str {
        FILES.iter().find(|(known, _, _)| *known == path).unwrap().2
    }

    /// The words that a type's schema lists for its variants.
    fn variants(schema: &serde_json::Value) -> Vec<String> {
        let all = schema["oneOf"].as_array().unwrap().iter();
        all.flat_map(|one| {
            let list = one["enum"].as_array().cloned().unwrap_or_default();
            let single = [&one["const"], &one["properties"]["kind"]["const"]];
            list.into_iter().chain(single.into_iter().cloned())
        })
        .filter_map(|word| Some(word.as_str()?.to_owned()))
        .collect()
    }

    #[test]
    fn the_page_listens_to_every_kind_of_entry() {
        let kinds = variants(schemars::schema_for!(Event).as_value());
        assert!(kinds.len() > 25, "{kinds:?}");
        for kind in kinds {
            let quoted = format!("\"{kind}\"");
            assert!(file("/live.js").contains(&quoted), "{kind}");
        }
    }

    #[test]
    fn the_page_has_the_words_of_every_caution_and_standing() {
        let cautions = variants(schemars::schema_for!(Caution).as_value());
        assert!(cautions.len() > 15, "{cautions:?}");
        for word in cautions {
            let caution: Caution = serde_json::from_value(word.into()).unwrap();
            let said = format!("\"{caution}\"");
            assert!(file("/words.js").contains(&said), "{said}");
        }
        for word in variants(schemars::schema_for!(Standing).as_value()) {
            let standing: Standing = serde_json::from_value(word.into()).unwrap();
            let said = format!("\"{standing}\"");
            assert!(file("/words.js").contains(&said), "{said}");
        }
    }
}
