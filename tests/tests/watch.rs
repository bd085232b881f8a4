//! `pullmark watch` beside a bench at work.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_tests::{Command, Stand, plans};
use serde_json::Value;

#[test]
fn watch_tells_a_line_an_entry_and_survives_a_restart() {
    let mut stand = Stand::begin(plans::SMALL);
    let data = stand.shop.data();
    let watch = |more: &[&str]| {
        Command::pullmark(stand.shop.folder())
            .args(["watch", "--after", "0", "--data"])
            .arg(&data)
            .args(more)
            .start()
    };
    let (words, json) = (watch(&[]), watch(&["--json"]));
    words.wait_for(|line| line.contains("Mara Lind begins ferry: Ferry commuter 54"));
    let next = stand.look().next.unwrap();
    stand.do_next(&next);
    let lines =
        words.wait_for(|line| line.contains("Rack, left eyelet") && line.contains("within"));
    assert!(
        lines.iter().all(|line| !line.contains('\u{1b}')),
        "no colours where there is no terminal: {lines:?}"
    );
    stand.shop.kill();
    stand.shop.start();
    stand.events = stand.shop.http().events(Some(0)).unwrap();
    let restart = stand
        .events
        .wait_for(|heard| heard.kind == "started")
        .pop()
        .unwrap()
        .sequence;
    stand
        .events
        .wait_for(|heard| heard.kind == "tool-connected" && heard.sequence > restart);
    let next = stand.look().next.unwrap();
    let entry = stand.do_next(&next);
    words.wait_for(|line| line.contains("Left crank, front pinch bolt"));
    let sequence = |line: &str| {
        serde_json::from_str::<Value>(line).unwrap()["sequence"]
            .as_u64()
            .unwrap()
    };
    let lines = json.wait_for(|line| sequence(line) == entry.sequence);
    let told: Vec<u64> = lines.iter().map(|line| sequence(line)).collect();
    assert_eq!(
        told,
        (1..=entry.sequence).collect::<Vec<_>>(),
        "every entry once, over the restart too"
    );
}
