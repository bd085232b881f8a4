//! Plans while they are written.

use super::{Answer, Site};
use crate::edge::http::caller::Caller;
use axum::body::Body;
use axum::http::{Method, Request, StatusCode, header};
use pullmark_schema::api::{PlanCheckView, PlanFileView, PlanShelfView};
use pullmark_schema::plan::PlanDraft;
use pullmark_schema::practice::COMMON_PRACTICE;
use serde_json::{Value, json};

impl Site {
    async fn send(&self, method: Method, path: &str, body: &Value) -> Answer {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::CONTENT_TYPE, "application/json")
            .extension(Caller::Bench)
            .body(Body::from(body.to_string()));
        self.ask(request.unwrap()).await
    }

    async fn made(&self) -> PlanDraft {
        let wish = json!({ "starter": "road-bike", "templates": ["rack"] });
        let answer = self.send(Method::POST, "/v1/plans/compose", &wish).await;
        answer.json()
    }
}

#[tokio::test]
async fn a_plan_is_made_of_templates_and_kept_and_listed_and_written_again() {
    let site = Site::open().await;
    let library: Value = site.get("/v1/plans/templates").await.json();
    assert_eq!(library["source"], COMMON_PRACTICE);
    assert!(library["templates"].as_array().unwrap().len() > 20);
    let mut draft = site.made().await;
    let check: PlanCheckView = site
        .send(Method::POST, "/v1/plans/check", &json!({ "draft": draft }))
        .await
        .json();
    assert!(
        check.sum.is_sound && check.sum.on_common_practice > 20,
        "{:?}",
        check.findings
    );
    let name = "/v1/plans/road.toml";
    let kept = site
        .send(Method::PUT, name, &json!({ "draft": draft }))
        .await;
    assert_eq!(kept.status, StatusCode::OK, "{}", kept.text());
    let kept: PlanFileView = kept.json();
    assert_eq!(kept.text, check.text);
    let again = site
        .send(Method::PUT, name, &json!({ "draft": draft }))
        .await;
    assert_eq!(again.problem(), "plans/name-taken");
    draft.title = "Another title".to_owned();
    let written = json!({ "draft": draft, "before": kept.sha256 });
    let written: PlanFileView = site.send(Method::PUT, name, &written).await.json();
    assert_eq!(written.draft, Some(draft.clone()));
    let late = json!({ "draft": draft, "before": kept.sha256 });
    let late = site.send(Method::PUT, name, &late).await;
    assert_eq!(
        (late.status, late.problem().as_str()),
        (StatusCode::CONFLICT, "plans/changed-meanwhile")
    );
    let opened: PlanFileView = site.get(name).await.json();
    assert_eq!(opened, written);
    let shelf: PlanShelfView = site.get("/v1/plans").await.json();
    assert_eq!(shelf.plans.len(), 1);
    assert_eq!(shelf.plans[0].title, "Another title");
}

#[tokio::test]
async fn a_plan_with_errors_is_not_kept_and_its_findings_say_where() {
    let site = Site::open().await;
    let mut draft = site.made().await;
    draft.stage[0].id = "No Id".to_owned();
    let check: PlanCheckView = site
        .send(Method::POST, "/v1/plans/check", &json!({ "draft": draft }))
        .await
        .json();
    let found = &check.findings[0];
    assert_eq!(
        (found.word.as_str(), found.at.as_deref()),
        ("plan/bad-id", Some("stage.0.id"))
    );
    let answer = site
        .send(Method::PUT, "/v1/plans/a.toml", &json!({ "draft": draft }))
        .await;
    assert_eq!(answer.problem(), "plans/not-sound");
    assert!(answer.text().contains("bad-id"), "{}", answer.text());
    let shelf: PlanShelfView = site.get("/v1/plans").await.json();
    assert!(shelf.plans.is_empty());
}

#[tokio::test]
async fn what_cannot_be_is_refused_in_the_form_of_a_problem() {
    let site = Site::open().await;
    let draft = site.made().await;
    for name in [
        "..%2Fledger.toml",
        "a%2Fb.toml",
        "..toml",
        "a",
        "%00.toml",
        "a%20b.toml",
    ] {
        let path = format!("/v1/plans/{name}");
        assert_eq!(site.get(&path).await.problem(), "plans/bad-name", "{name}");
        let kept = site
            .send(Method::PUT, &path, &json!({ "draft": draft }))
            .await;
        assert_eq!(kept.problem(), "plans/bad-name", "{name}");
    }
    assert_eq!(
        site.get("/v1/plans/none.toml").await.problem(),
        "plans/not-known"
    );
    for (path, body, code) in [
        ("compose", json!({ "starter": "none" }), "plans/no-template"),
        (
            "compose",
            json!({ "templates": ["none"] }),
            "plans/no-template",
        ),
        ("compose", json!({ "colour": 1 }), "http/refused"),
        (
            "to-table",
            json!({ "text": "title =" }),
            "plans/not-readable",
        ),
        ("check", json!("x"), "http/refused"),
    ] {
        let answer = site
            .send(Method::POST, &format!("/v1/plans/{path}"), &body)
            .await;
        let said = answer.problem();
        assert!(said == code || said == "act/not-readable", "{path}: {said}");
    }
    let twice = site.send(Method::PUT, "/v1/plans/check", &json!({})).await;
    assert_eq!(twice.status, StatusCode::METHOD_NOT_ALLOWED);
}

#[tokio::test]
async fn a_table_becomes_a_draft_or_its_faults() {
    let site = Site::open().await;
    let table = |text: &str| json!({ "table": text });
    let good = table("title;upper;unit;source\nBolt;5,5;N·m;leaflet\n");
    let read: Value = site
        .send(Method::POST, "/v1/plans/from-table", &good)
        .await
        .json();
    let bolt = &read["draft"]["stage"][0]["fastener"][0];
    assert_eq!(bolt["sources"][0]["upper"], "5.5 N·m");
    let back = site
        .send(
            Method::POST,
            "/v1/plans/to-table",
            &json!({ "draft": read["draft"] }),
        )
        .await;
    assert!(back.header(&header::CONTENT_TYPE).starts_with("text/csv"));
    assert!(
        back.text()
            .contains("bolt,Bolt,build,Build,fastener,5.5 N·m,leaflet"),
        "{}",
        back.text()
    );
    let bad: Value = site
        .send(
            Method::POST,
            "/v1/plans/from-table",
            &table("title;upper\nBolt;5\n"),
        )
        .await
        .json();
    assert_eq!(bad["draft"], Value::Null);
    assert_eq!(
        (&bad["faults"][0]["line"], &bad["faults"][0]["column"]),
        (&json!(2), &json!("upper"))
    );
}

#[tokio::test]
async fn the_tools_of_the_bench_are_asked_whether_they_can_do_it() {
    let site = Site::open().await;
    let text = "title = \"t\"\nedition = \"1\"\n[[stage]]\nid = \"s\"\ntitle = \"S\"\n[[stage.fastener]]\nid = \"a\"\ntitle = \"A\"\nspec = { target = \"900 N·m\" }\nprep = [\"dry\"]\n";
    let check: PlanCheckView = site
        .send(Method::POST, "/v1/plans/check", &json!({ "text": text }))
        .await
        .json();
    let words: Vec<&str> = check
        .findings
        .iter()
        .map(|found| found.word.as_str())
        .collect();
    assert_eq!(words, ["plan/outside-tool-range"]);
}
