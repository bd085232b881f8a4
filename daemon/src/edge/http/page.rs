//! The bench page, kept in the binary. There is no build step: a browser gets the files as they lie in `page/`,
//! compressed where it takes them so.

use crate::run::Handle;
use axum::Router;
use axum::body::Bytes;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderName, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use flate2::Compression;
use flate2::write::GzEncoder;
use pullmark_schema::canonical::Digest32;
use std::io::Write as _;
use std::sync::LazyLock;

/// Nothing but the page's own files and its own daemon.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; \
                      form-action 'none'; base-uri 'none'; frame-ancestors 'none'";

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";
const WORDS: &str = "text/plain; charset=utf-8";

/// One file of the page as a row of the table.
macro_rules! row {
    ($path:literal, $kind:expr, $file:literal) => {
        ($path, $kind, include_str!(concat!("../../../page/", $file)))
    };
}

/// Every file of the page: its path, its kind, its text.
const FILES: [(&str, &str, &str); 57] = [
    row!("/", HTML, "index.html"),
    row!("/page.css", CSS, "page.css"),
    row!("/page.js", SCRIPT, "page.js"),
    row!("/alarm.js", SCRIPT, "alarm.js"),
    row!("/board.js", SCRIPT, "board.js"),
    row!("/charts.js", SCRIPT, "charts.js"),
    row!("/checks.js", SCRIPT, "checks.js"),
    row!("/display.js", SCRIPT, "display.js"),
    row!("/edition.js", SCRIPT, "edition.js"),
    row!("/elements.js", SCRIPT, "elements.js"),
    row!("/figures.js", SCRIPT, "figures.js"),
    row!("/forms.js", SCRIPT, "forms.js"),
    row!("/history.js", SCRIPT, "history.js"),
    row!("/kept.js", SCRIPT, "kept.js"),
    row!("/keys.js", SCRIPT, "keys.js"),
    row!("/life.js", SCRIPT, "life.js"),
    row!("/list.js", SCRIPT, "list.js"),
    row!("/live.js", SCRIPT, "live.js"),
    row!("/map.js", SCRIPT, "map.js"),
    row!("/marks.js", SCRIPT, "marks.js"),
    row!("/measures.js", SCRIPT, "measures.js"),
    row!("/notes.js", SCRIPT, "notes.js"),
    row!("/parts.js", SCRIPT, "parts.js"),
    row!("/due.js", SCRIPT, "due.js"),
    row!("/people.js", SCRIPT, "people.js"),
    row!("/pin.js", SCRIPT, "pin.js"),
    row!("/planner.css", CSS, "planner.css"),
    row!("/planner.js", SCRIPT, "planner.js"),
    row!("/planner-draft.js", SCRIPT, "planner-draft.js"),
    row!("/planner-edit.js", SCRIPT, "planner-edit.js"),
    row!("/planner-fields.js", SCRIPT, "planner-fields.js"),
    row!("/planner-forms.js", SCRIPT, "planner-forms.js"),
    row!("/planner-found.js", SCRIPT, "planner-found.js"),
    row!("/planner-new.js", SCRIPT, "planner-new.js"),
    row!("/planner-screen.js", SCRIPT, "planner-screen.js"),
    row!("/plans.js", SCRIPT, "plans.js"),
    row!("/pull.js", SCRIPT, "pull.js"),
    row!("/said.js", SCRIPT, "said.js"),
    row!("/settings.js", SCRIPT, "settings.js"),
    row!("/sheet.js", SCRIPT, "sheet.js"),
    row!("/sheets.js", SCRIPT, "sheets.js"),
    row!("/start.js", SCRIPT, "start.js"),
    row!("/state.js", SCRIPT, "state.js"),
    row!("/stats.js", SCRIPT, "stats.js"),
    row!("/story.js", SCRIPT, "story.js"),
    row!("/tongue.js", SCRIPT, "tongue.js"),
    row!("/tools.js", SCRIPT, "tools.js"),
    row!("/top.js", SCRIPT, "top.js"),
    row!("/vendor/fluent.js", SCRIPT, "vendor/fluent.js"),
    row!("/words.js", SCRIPT, "words.js"),
    row!("/words/de.ftl", WORDS, "words/de.ftl"),
    row!("/words/en.ftl", WORDS, "words/en.ftl"),
    row!("/words/fr.ftl", WORDS, "words/fr.ftl"),
    row!("/words/planner-de.ftl", WORDS, "words/planner-de.ftl"),
    row!("/words/planner-en.ftl", WORDS, "words/planner-en.ftl"),
    row!("/words/planner-fr.ftl", WORDS, "words/planner-fr.ftl"),
    row!("/work.js", SCRIPT, "work.js"),
];

/// A file as it goes out.
struct Served {
    kind: &'static str,
    plain: Bytes,
    /// Smaller, for a browser that takes it so.
    zipped: Bytes,
    /// What the entity tags of both begin with.
    hash: String,
}

impl Served {
    fn new(kind: &'static str, text: &'static str) -> Self {
        let plain = Bytes::from_static(text.as_bytes());
        let zipped = zip(text.as_bytes()).map_or_else(|_| plain.clone(), Bytes::from);
        let mut hash = Digest32::of(text.as_bytes()).to_string();
        hash.truncate(TAG_LENGTH);
        Self {
            kind,
            plain,
            zipped,
            hash,
        }
    }
}

/// How much of a hash tells one edition of a file from another.
const TAG_LENGTH: usize = 24;

/// Compressed once, when the first one asks for the routes.
static SERVED: LazyLock<Vec<Served>> = LazyLock::new(|| {
    let files = FILES.iter();
    files
        .map(|(_, kind, text)| Served::new(kind, text))
        .collect()
});

fn zip(bytes: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut into = GzEncoder::new(Vec::new(), Compression::best());
    into.write_all(bytes)?;
    into.finish()
}

/// The one module that is not kept as a file: it says what the shop has chosen.
const SHOP: &str = "/shop.js";

async fn shop(State(handle): State<Handle>) -> Response {
    let headers = [
        (header::CONTENT_TYPE, SCRIPT),
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
    ];
    (headers, handle.shop.module()).into_response()
}

pub(super) fn routes() -> Router<Handle> {
    let files = FILES.iter().zip(SERVED.iter());
    let first = Router::new().route(SHOP, get(shop));
    files.fold(first, |routes, ((path, _, _), served)| {
        routes.route(
            path,
            get(move |headers: HeaderMap| async move { file(served, &headers) }),
        )
    })
}

fn file(served: &Served, asked: &HeaderMap) -> Response {
    let is_zipped = takes_gzip(asked) && served.zipped.len() < served.plain.len();
    // Two sequences of bytes need two tags (RFC 9110, 8.8.3.3).
    let suffix = if is_zipped { "-gzip" } else { "" };
    let tag = format!("\"{}{suffix}\"", served.hash);
    let headers = [
        (header::CONTENT_TYPE, served.kind),
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-cache"),
        (header::VARY, "accept-encoding"),
    ];
    let known = is_known(asked, &tag);
    let tag = [(header::ETAG, tag)];
    if known {
        return (StatusCode::NOT_MODIFIED, headers, tag).into_response();
    }
    if is_zipped {
        let encoding = [(header::CONTENT_ENCODING, "gzip")];
        return (headers, tag, encoding, served.zipped.clone()).into_response();
    }
    (headers, tag, served.plain.clone()).into_response()
}

/// The members of a header that is a list.
fn members(asked: &HeaderMap, name: HeaderName) -> impl Iterator<Item = &str> {
    let lines = asked.get_all(name).into_iter();
    lines
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(','))
        .map(str::trim)
}

/// Whether who asks has exactly these bytes already. The tags hold no comma; a weak tag is compared like a strong one
/// (RFC 9110, 13.1.2).
fn is_known(asked: &HeaderMap, tag: &str) -> bool {
    members(asked, header::IF_NONE_MATCH)
        .any(|known| known == "*" || known.strip_prefix("W/").unwrap_or(known) == tag)
}

/// Whether who asks takes gzip (RFC 9110, 12.5.3). A weight of nothing is a no; `*` alone is not asked for it.
fn takes_gzip(asked: &HeaderMap) -> bool {
    members(asked, header::ACCEPT_ENCODING).any(|member| {
        let mut parts = member.split(';').map(str::trim);
        let coding = parts.next().unwrap_or_default();
        let weight = parts.find_map(|part| part.strip_prefix("q=").or(part.strip_prefix("Q=")));
        let weight = weight.map_or(Ok(1.0), str::parse::<f32>);
        coding.eq_ignore_ascii_case("gzip") && weight.is_ok_and(|weight| weight > 0.0)
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{FILES, SCRIPT, SHOP, Served, file as answer};
    use axum::http::{HeaderMap, StatusCode, header};
    use axum::response::Response;
    use flate2::read::GzDecoder;
    use pullmark_schema::build::{CheckStanding, Standing};
    use pullmark_schema::check::CheckCaution;
    use pullmark_schema::entry::Event;
    use pullmark_schema::verdict::Caution;
    use std::io::Read as _;

    /// What a module imports: the words between `from "./` and the next quotation mark; or, where it waits until somebody
    /// wants it, those after `import("./`.
    fn imports(text: &str) -> Vec<String> {
        let at_once = text
            .lines()
            .filter(|line| line.starts_with("import "))
            .filter_map(|line| line.split_once("from \"./"));
        let later = text
            .lines()
            .filter_map(|line| line.split_once("import(\"./"));
        at_once
            .chain(later)
            .filter_map(|(_, rest)| rest.split_once('"'))
            .map(|(name, _)| format!("/{name}"))
            .collect()
    }

    /// What is only loaded when the plans are opened does not come with the first paint.
    #[test]
    fn the_bench_page_does_not_wait_for_the_plans() {
        let mut wanted = vec!["/page.js".to_owned(), "/start.js".to_owned()];
        let mut at = 0;
        while let Some(path) = wanted.get(at).cloned() {
            let text = file(&path);
            let at_once = text.lines().filter(|line| line.starts_with("import "));
            for name in imports(&at_once.collect::<Vec<_>>().join("\n")) {
                // What the shop has chosen is made, not kept.
                if name != SHOP && !wanted.contains(&name) {
                    wanted.push(name);
                }
            }
            at += 1;
        }
        assert!(wanted.len() > 25, "{wanted:?}");
        assert!(wanted.contains(&"/plans.js".to_owned()));
        let early: Vec<&String> = wanted
            .iter()
            .filter(|path| path.starts_with("/planner"))
            .collect();
        assert!(early.is_empty(), "{early:?}");
        assert!(file("/plans.js").contains("learn(\"planner\")"));
        assert!(!file("/").contains("planner.css"));
    }

    #[test]
    fn the_page_knows_the_source_of_templates_by_its_words() {
        let words = format!("\"{}\"", pullmark_schema::practice::COMMON_PRACTICE);
        assert!(file("/words.js").contains(&words));
    }

    #[test]
    fn every_module_that_is_imported_is_served_and_every_module_is_imported() {
        let mut wanted: Vec<String> = FILES
            .iter()
            .filter(|(_, kind, _)| *kind == SCRIPT)
            .flat_map(|(_, _, text)| imports(text))
            .collect();
        wanted.push("/page.js".to_owned()); // by the page itself
        wanted.push("/start.js".to_owned()); // by page.js, when the words are there
        wanted.retain(|path| path != SHOP); // made, not kept
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
        // The page names them all, so that a browser needs not read one to ask for the next; but not what waits until it is
        // opened.
        for path in served.iter().chain([&SHOP]) {
            let link = format!("<link rel=\"modulepreload\" href=\"{}\">", &path[1..]);
            let times = usize::from(!path.starts_with("/planner"));
            assert_eq!(FILES[0].2.matches(&link).count(), times, "{link}");
        }
    }

    fn ask(asked: &[(header::HeaderName, &str)]) -> Response {
        let mut headers = HeaderMap::new();
        for (name, value) in asked {
            headers.append(name, value.parse().unwrap());
        }
        let (_, kind, text) = FILES[1];
        answer(&Served::new(kind, text), &headers)
    }

    fn header_of(response: &Response, name: header::HeaderName) -> Option<String> {
        let value = response.headers().get(name)?;
        Some(value.to_str().unwrap().to_owned())
    }

    async fn body(response: Response) -> Vec<u8> {
        let body = axum::body::to_bytes(response.into_body(), 1 << 20).await;
        body.unwrap().to_vec()
    }

    #[tokio::test]
    async fn a_file_is_compressed_where_the_browser_takes_it_so() {
        for taken in ["gzip", "br, GZIP;q=0.5", "deflate, gzip, br, zstd"] {
            let response = ask(&[(header::ACCEPT_ENCODING, taken)]);
            assert_eq!(
                header_of(&response, header::CONTENT_ENCODING).unwrap(),
                "gzip"
            );
            assert_eq!(
                header_of(&response, header::VARY).unwrap(),
                "accept-encoding"
            );
            let zipped = body(response).await;
            assert!(zipped.len() * 2 < FILES[1].2.len(), "{}", zipped.len());
            let mut text = String::new();
            GzDecoder::new(&zipped[..])
                .read_to_string(&mut text)
                .unwrap();
            assert_eq!(text, FILES[1].2);
        }
        for refused in [
            "",
            "br",
            "gzip;q=0",
            "gzip; q=0.000",
            "gzip;q=much",
            "x-gzipped",
        ] {
            let response = ask(&[(header::ACCEPT_ENCODING, refused)]);
            assert_eq!(
                header_of(&response, header::CONTENT_ENCODING),
                None,
                "{refused}"
            );
            assert_eq!(
                header_of(&response, header::VARY).unwrap(),
                "accept-encoding"
            );
            assert_eq!(body(response).await, FILES[1].2.as_bytes(), "{refused}");
        }
    }

    #[tokio::test]
    async fn a_browser_that_has_these_bytes_is_told_so() {
        let plain = header_of(&ask(&[]), header::ETAG).unwrap();
        let gzip = (header::ACCEPT_ENCODING, "gzip");
        let zipped = header_of(&ask(std::slice::from_ref(&gzip)), header::ETAG).unwrap();
        assert_ne!(plain, zipped, "other bytes, another tag");
        for known in [
            zipped.clone(),
            format!("\"other\", W/{zipped}"),
            "*".to_owned(),
        ] {
            let response = ask(&[gzip.clone(), (header::IF_NONE_MATCH, &known)]);
            assert_eq!(response.status(), StatusCode::NOT_MODIFIED, "{known}");
            assert_eq!(header_of(&response, header::ETAG).unwrap(), zipped);
            assert!(body(response).await.is_empty());
        }
        let response = ask(&[gzip, (header::IF_NONE_MATCH, &plain)]);
        assert_eq!(response.status(), StatusCode::OK, "it has the other bytes");
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

    /// Every variant of a type has a message in every language; the English one is what the type says of itself.
    fn has_words<T>(family: &str)
    where
        T: schemars::JsonSchema + serde::de::DeserializeOwned + std::fmt::Display,
    {
        let codes = variants(schemars::schema_for!(T).as_value());
        assert!(codes.len() > 7, "{family}: {codes:?}");
        for code in codes {
            let value: T = serde_json::from_value(code.clone().into()).unwrap();
            let said = format!("\n{family}-{code} = {value}\n");
            assert!(file("/words/en.ftl").contains(&said), "{said}");
            for other in ["/words/de.ftl", "/words/fr.ftl"] {
                let name = format!("\n{family}-{code} = ");
                assert!(file(other).contains(&name), "{other}: {name}");
            }
        }
    }

    #[test]
    fn the_page_has_the_words_of_every_caution_and_standing() {
        has_words::<Caution>("caution");
        has_words::<CheckCaution>("check-caution");
        has_words::<CheckStanding>("check-standing");
        has_words::<Standing>("standing");
    }

    #[test]
    fn every_place_of_the_map_has_words_in_every_language_but_the_daemons_own() {
        for place in pullmark_schema::map::PLACES {
            let name = format!("\nplace-{} = ", place.name);
            for other in ["/words/de.ftl", "/words/fr.ftl"] {
                assert!(file(other).contains(&name), "{other}: {name}");
            }
        }
    }
}
