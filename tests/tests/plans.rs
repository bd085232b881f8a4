//! Plans of a shop, from outside: files, names, templates, tables, at the daemon and at the prompt.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::{PlanFileView, PlanShelfView};
use pullmark_schema::plan::{PlanDraft, read};
use pullmark_schema::practice::COMMON_PRACTICE;
use pullmark_tests::{Answer, Command, Said, Shop};
use serde_json::{Value, json};
use std::fs;
use std::path::Path;

fn put(shop: &Shop, name: &str, body: &Value) -> Answer {
    let body = serde_json::to_vec(body).unwrap();
    let path = format!("/v1/plans/{name}");
    let json = ("Content-Type", "application/json");
    shop.page().request("PUT", &path, &[json], &body).unwrap()
}

fn draft() -> Value {
    json!({ "title": "Quay <b>tourer</b>", "edition": "1", "stage": [{ "id": "s", "title": "S", "fastener": [
        { "id": "a", "title": "A", "prep": ["dry"], "sources": [{ "where": "marking", "upper": "6 N·m" }] },
    ] }] })
}

#[test]
fn a_name_that_leads_out_of_the_folder_is_refused_and_logged() {
    let shop = Shop::open();
    let outside = shop.data().join("outside.toml");
    fs::write(&outside, "title = \"secret\"").unwrap();
    let refused = |answer: &Answer, wanted: (u16, &str), name: &str| {
        let said = answer.json();
        assert_eq!(
            (answer.status, said["type"].as_str()),
            (wanted.0, Some(wanted.1)),
            "{name}"
        );
    };
    // What climbs is stopped at the door already; the rest where the file would be opened.
    let (door, shelf) = ((400, "http/bad-path"), (422, "plans/bad-name"));
    for (name, wanted) in [
        ("..%2Foutside.toml", door),
        ("%2e%2e%2foutside.toml", door),
        ("../outside.toml", door),
        ("a%5C..%5Cb.toml", door),
        ("%2Fetc%2Fpasswd", shelf),
        ("a%2Fb.toml", shelf),
        (".hidden.toml", shelf),
    ] {
        let path = format!("/v1/plans/{name}");
        let got = shop.page().request("GET", &path, &[], b"").unwrap();
        refused(&got, wanted, name);
        refused(
            &put(&shop, name, &json!({ "draft": draft() })),
            wanted,
            name,
        );
    }
    assert_eq!(fs::read_to_string(&outside).unwrap(), "title = \"secret\"");
    let log = shop.log();
    assert!(log.contains("refused a path that climbs out"), "{log}");
    assert!(
        log.contains("refused a name that cannot be that of a plan file"),
        "{log}"
    );
    assert!(log.contains("/etc/passwd"), "{log}");
}

#[test]
fn a_file_that_was_changed_meanwhile_is_not_written_over() {
    let shop = Shop::open();
    let kept = put(&shop, "quay.toml", &json!({ "draft": draft() }));
    assert_eq!(kept.status, 200, "{}", kept.text());
    let kept: PlanFileView = serde_json::from_value(kept.json()).unwrap();
    let file = shop.data().join("plans/quay.toml");
    let theirs = format!("# by hand\n{}", fs::read_to_string(&file).unwrap());
    fs::write(&file, &theirs).unwrap();
    let refused = put(
        &shop,
        "quay.toml",
        &json!({ "draft": draft(), "before": kept.sha256 }),
    );
    assert_eq!(
        (refused.status, &refused.json()["type"]),
        (409, &json!("plans/changed-meanwhile"))
    );
    assert_eq!(fs::read_to_string(&file).unwrap(), theirs);
    // Opened again it is written, and the comment stays.
    let opened: PlanFileView =
        serde_json::from_value(shop.page().get("/v1/plans/quay.toml").json()).unwrap();
    let mut changed = opened.draft.unwrap();
    changed.stage[0].fastener[0].drive = Some("hex 4".to_owned());
    let kept = put(
        &shop,
        "quay.toml",
        &json!({ "draft": changed, "before": opened.sha256 }),
    );
    assert_eq!(kept.status, 200, "{}", kept.text());
    let text = fs::read_to_string(&file).unwrap();
    assert!(
        text.starts_with("# by hand\n") && text.contains("drive = \"hex 4\""),
        "{text}"
    );
    let shelf: PlanShelfView = serde_json::from_value(shop.page().get("/v1/plans").json()).unwrap();
    assert_eq!(shelf.plans[0].title, "Quay <b>tourer</b>", "as text");
}

#[test]
fn a_page_elsewhere_keeps_no_plan() {
    let shop = Shop::open();
    let body = serde_json::to_vec(&json!({ "draft": draft() })).unwrap();
    let json = ("Content-Type", "application/json");
    let sent = [json, ("Origin", "https://example.org")];
    let answer = shop
        .page()
        .request("PUT", "/v1/plans/a.toml", &sent, &body)
        .unwrap();
    assert_eq!(answer.status, 403);
    let plain = [("Content-Type", "text/plain")];
    let answer = shop
        .page()
        .request("PUT", "/v1/plans/a.toml", &plain, &body)
        .unwrap();
    assert_eq!(answer.status, 415);
    assert!(!shop.data().join("plans").exists());
}

fn pullmark(home: &Path, arguments: &[&str]) -> Said {
    Command::pullmark(home).args(arguments).run()
}

#[test]
fn a_plan_is_made_at_the_prompt_of_templates_and_of_a_table_and_goes_out_as_one() {
    let folder = tempfile::tempdir().unwrap();
    let home = folder.path();
    let listed = pullmark(home, &["plan", "templates"]);
    listed
        .ok()
        .says(&["road-bike", "stem-faceplate", COMMON_PRACTICE]);
    let out = home.join("road.toml");
    let out = out.to_str().unwrap();
    let made = [
        "plan",
        "new",
        "--starter",
        "road-bike",
        "--template",
        "rack",
        "--title",
        "Quay racer",
        "--out",
        out,
    ];
    pullmark(home, &made).ok();
    let text = fs::read_to_string(out).unwrap();
    assert!(text.starts_with("title = \"Quay racer\"\n"));
    assert!(text.contains(&format!("where = \"{COMMON_PRACTICE}\"")));
    let plan = read(&text).plan.unwrap();
    assert!(plan.fastener("rack.upper-left").is_some());
    // The same once more is no other plan; another one is not put over it.
    pullmark(home, &made).ok();
    let (last, but) = made.split_last().unwrap();
    let other = [but, &[*last, "--edition", "another"]].concat();
    pullmark(home, &other).says(&["is there already"]);
    assert_eq!(fs::read_to_string(out).unwrap(), text);
    pullmark(home, &["plan", "check", out]).ok();
    let table = home.join("road.csv");
    let table = table.to_str().unwrap();
    pullmark(home, &["plan", "export", out, "--out", table]).ok();
    let again = home.join("again.toml");
    let again = again.to_str().unwrap();
    pullmark(home, &["plan", "import", table, "--out", again]).ok();
    let again = fs::read_to_string(again).unwrap();
    assert_eq!(PlanDraft::of_toml(&again), PlanDraft::of_toml(&text));
    pullmark(home, &["plan", "new", "--template", "nothing"]).says(&["there is no template"]);
    fs::write(table, "title;upper\nBolt;5\n").unwrap();
    let bad = pullmark(home, &["plan", "import", table]);
    bad.status(1).says(&["line 2, column upper", "has no unit"]);
}

#[test]
fn the_shops_own_templates_come_from_the_settings() {
    let folder = tempfile::tempdir().unwrap();
    let own = "[[template]]\nid = \"lamp\"\ntitle = \"Lamp\"\ngroup = \"Own\"\norder = 57\n[template.stage]\nid = \"lamp\"\ntitle = \"Lamp\"\n\
        [[template.stage.fastener]]\nid = \"lamp.bolt\"\ntitle = \"Bolt\"\nspec = { upper = \"3 N·m\" }\n";
    fs::write(folder.path().join("lamp.toml"), own).unwrap();
    let settings = folder.path().join("settings.toml");
    let plans = folder.path().join("our plans");
    let settings_text = format!("templates = {:?}\nplans = {:?}\n", folder.path(), plans);
    fs::write(&settings, settings_text).unwrap();
    let shop = Shop::open_with(&["--config", settings.to_str().unwrap()]);
    let library = shop.page().get("/v1/plans/templates").json();
    let titles: Vec<&str> = library["templates"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|known| known["title"].as_str())
        .collect();
    assert!(titles.contains(&"Lamp"), "{titles:?}");
    // The settings themselves lie in the same folder and are no file of templates.
    assert_eq!(library["not_used"][0]["name"], "settings.toml");
    assert_eq!(
        put(&shop, "a.toml", &json!({ "draft": draft() })).status,
        200
    );
    assert!(plans.join("a.toml").exists());
    let asked = pullmark(
        folder.path(),
        &[
            "plan",
            "new",
            "--own",
            folder.path().to_str().unwrap(),
            "--template",
            "lamp",
        ],
    );
    asked.no_panic().status(2).says(&["settings.toml"]);
}
