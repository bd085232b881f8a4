//! Photographs, histories, and what another edition would mean, over HTTP.

use super::{Answer, Site, ask, finish_and_seal, point_at};
use crate::edge::http::{Guard, guarded};
use crate::testing::{BUILD, MARA, PLAN};
use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use pullmark_schema::api::{Act, BuildView, Done, HistoryRow, PlanDifferenceView};
use pullmark_schema::canonical::Digest32;

const JPEG: &[u8] = b"\xff\xd8\xff\xe0 not much of a picture";

fn upload(query: &str, kind: &str, bytes: &[u8]) -> Request<Body> {
    Request::post(format!("/v1/photos?{query}"))
        .header(header::CONTENT_TYPE, kind)
        .header(header::HOST, "127.0.0.1:7070")
        .body(Body::from(bytes.to_vec()))
        .unwrap()
}

fn is(answer: &Answer, status: StatusCode) {
    assert_eq!(answer.status, status, "{}", answer.text());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_photograph_is_kept_and_shown_as_what_it_is() {
    let site = Site::open().await;
    let query = format!("build={BUILD}&fastener=seat.clamp&by={MARA}&text=a%20mark");
    let answer = site.ask(upload(&query, "image/png", JPEG)).await;
    is(&answer, StatusCode::OK);
    let done: Done = answer.json();
    assert_eq!(done.entries.len(), 1);
    let view: BuildView = site.get("/v1/builds/ferry").await.json();
    let photo = view.notes[0].photo.clone().unwrap();
    assert_eq!(photo.sha256, Digest32::of(JPEG));
    let shown = site.get(&format!("/v1/photos/{}", photo.sha256)).await;
    is(&shown, StatusCode::OK);
    assert_eq!(shown.body, JPEG);
    let header = |name| shown.headers[name].to_str().unwrap().to_owned();
    assert_eq!(header("content-type"), "image/jpeg", "what its bytes say");
    assert_eq!(header("x-content-type-options"), "nosniff");
    assert_eq!(
        header("content-security-policy"),
        "default-src 'none'; sandbox"
    );
    let other = site
        .get(&format!("/v1/photos/{}", Digest32::of(b"other")))
        .await;
    is(&other, StatusCode::NOT_FOUND);
    is(&site.get("/v1/photos/..").await, StatusCode::NOT_FOUND);
    let no_picture = site.ask(upload(&query, "image/jpeg", b"<svg/>")).await;
    is(&no_picture, StatusCode::UNPROCESSABLE_ENTITY);
    let mut large = JPEG.to_vec();
    large.resize((8 << 20) + 1, 0);
    is(
        &site.ask(upload(&query, "image/jpeg", &large)).await,
        StatusCode::PAYLOAD_TOO_LARGE,
    );
    large.truncate(8 << 20);
    is(
        &site.ask(upload(&query, "image/jpeg", &large)).await,
        StatusCode::OK,
    );
    is(
        &site.ask(upload("build=ferry", "image/jpeg", JPEG)).await,
        StatusCode::BAD_REQUEST,
    );
    finish_and_seal(&site).await;
    is(
        &site.ask(upload(&query, "image/jpeg", JPEG)).await,
        StatusCode::UNPROCESSABLE_ENTITY,
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_check_has_a_history_as_a_fastener_has() {
    let plan = "title = \"Tyres\"\nedition = \"1\"\n[[stage]]\nid = \"w\"\ntitle = \"Wheels\"\n[[stage.check]]\n\
                id = \"front\"\ntitle = \"Tyre, front\"\nspec = { lower = \"2 bar\", upper = \"3 bar\" }\n";
    let site = Site::open().await;
    site.must(crate::testing::start_build("tyres", plan)).await;
    site.must(Act::PointAt {
        build: "tyres".to_owned(),
        fastener: "front".to_owned(),
        by: MARA.to_owned(),
    })
    .await;
    let rows = site.get("/v1/builds/tyres/fasteners/front/history").await;
    is(&rows, StatusCode::OK);
    let rows: Vec<HistoryRow> = rows.json();
    assert_eq!(rows.len(), 1, "{rows:?}");
    assert!(rows[0].text.contains("Tyre, front"), "{rows:?}");
    let unknown = site.get("/v1/builds/tyres/fasteners/rear/history").await;
    assert_eq!(unknown.problem(), "fastener/not-known");
}

#[tokio::test(flavor = "multi_thread")]
async fn no_page_elsewhere_sends_a_photograph() {
    let site = Site::open().await;
    let routes = guarded(site.running.handle.clone(), Guard::loopback(7070));
    let query = format!("build={BUILD}&by={MARA}");
    let mut foreign = upload(&query, "image/jpeg", JPEG);
    foreign
        .headers_mut()
        .insert(header::ORIGIN, "https://elsewhere.invalid".parse().unwrap());
    is(&ask(&routes, foreign).await, StatusCode::FORBIDDEN);
    let form = upload(&query, "text/plain", JPEG);
    is(
        &ask(&routes, form).await,
        StatusCode::UNSUPPORTED_MEDIA_TYPE,
    );
    let act = Request::post("/v1/acts")
        .header(header::CONTENT_TYPE, "image/jpeg")
        .header(header::HOST, "127.0.0.1:7070")
        .body(Body::from("{}"))
        .unwrap();
    is(&ask(&routes, act).await, StatusCode::UNSUPPORTED_MEDIA_TYPE);
    let own = upload(&query, "image/jpeg", JPEG);
    is(&ask(&routes, own).await, StatusCode::OK);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_history_tells_what_concerns_one_fastener() {
    let site = Site::open().await;
    site.pull(5_000).await;
    site.must(point_at("crank.left")).await;
    let path = "/v1/builds/ferry/fasteners/crank.left/history";
    let rows: Vec<HistoryRow> = site.get(path).await.json();
    let told: Vec<(&str, &str)> = rows
        .iter()
        .map(|row| (row.kind.as_str(), row.text.as_str()))
        .collect();
    assert_eq!(told, [("pointed-at", "Left crank arm comes next")]);
    assert!(rows[0].withdrawable);
    let rows: Vec<HistoryRow> = site.get("/v1/builds/ferry/history").await.json();
    let kinds: Vec<&str> = rows.iter().map(|row| row.kind.as_str()).collect();
    assert_eq!(kinds, ["build-started", "pulled", "pointed-at"]);
    for path in [
        "/v1/builds/other/history",
        "/v1/builds/ferry/fasteners/none/history",
    ] {
        is(&site.get(path).await, StatusCode::NOT_FOUND);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_another_edition_would_mean_is_only_said() {
    let site = Site::open().await;
    site.pull(5_000).await;
    let edition = PLAN.replace("[0.6, 1.0]", "[0.5, 1.0]");
    let body = serde_json::json!({ "plan": edition }).to_string();
    let request = Request::post("/v1/builds/ferry/plan/difference")
        .header(header::CONTENT_TYPE, "application/json")
        .body(Body::from(body))
        .unwrap();
    let answer = site.ask(request).await;
    is(&answer, StatusCode::OK);
    let view: PlanDifferenceView = answer.json();
    assert_eq!(view.differences.len(), 4, "four bolts in other passes");
    assert!(view.judged.is_empty() && view.again.is_empty());
    let build: BuildView = site.get("/v1/builds/ferry").await.json();
    assert_eq!(build.plan_changes, 0);
}
