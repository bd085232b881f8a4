use super::*;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use serde_json::{Value, json};

fn build(alarms: &Value) -> Value {
    json!({
        "id": "ferry", "bike": { "frame": "FC-0311", "label": "Ferry" }, "plan": "Ferry", "edition": "1", "by": "Mara",
        "started": "2026-06-01T09:00:00.000+02:00", "finished": null, "sealed": false, "tools": ["w1"],
        "summary": { "fasteners": 3, "within": 1, "over_kept": 0, "over": 0, "deferred": 0, "open": 2 },
        "next": {
            "fastener": "seat.clamp", "title": "Seat clamp bolt", "stage": "Seat post", "pass": 0, "passes": 1, "percent": 100,
            "aim_millinewton_metre": 5_000,
            "limits": { "lower_millinewton_metre": 4_500, "target_millinewton_metre": 5_000, "upper_millinewton_metre": 5_500 },
            "prep": ["carbon paste on the post"], "prepared": false, "drive": "hex 4", "joint": "carbon", "left_hand": false,
            "rule": "simple", "note": null, "adapter": null, "settings": [],
        },
        "last": {
            "sequence": 7, "time": "2026-06-01T09:01:00.000+02:00", "displayed": "6.02 N·m", "applied_millinewton_metre": 6_020,
            "fastener": "stem.left", "title": "Stem bolt", "pass": 0, "limits": null, "answer": "within", "rule": "simple",
            "expanded_millinewton_metre": null, "outside": null, "may_be_over": false, "kind": null, "cautions": [],
            "traced": false, "tool": "w1",
        },
        "held": [], "alarms": alarms, "doubts": [], "recalled": [], "stages": [], "in_hands": "Mara", "laid_aside": null,
        "parts": [], "notes": [], "plan_changes": 0, "frame": "road",
    })
}

fn bench(builds: &[Value]) -> BenchView {
    let view = json!({
        "bench": "harrow-lane", "sequence": 9, "builds": builds, "tools": [], "unclaimed": [], "cautions": [],
    });
    serde_json::from_value(view).unwrap()
}

fn drawn(screen: &Screen, width: u16, height: u16) -> String {
    let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
    terminal.draw(|frame| draw(frame, screen)).unwrap();
    terminal.backend().to_string()
}

fn screen(builds: &[Value]) -> Screen {
    let mut screen = Screen {
        bench: Some(bench(builds)),
        is_connected: true,
        ..Screen::default()
    };
    screen.say("09:01:00  ● within  6.02 N·m  Stem bolt".to_owned());
    screen
}

#[test]
fn what_comes_next_and_what_was_last_is_seen() {
    let text = drawn(&screen(&[build(&json!([]))]), 80, 24);
    for wanted in [
        "harrow-lane",
        "Ferry: 1 of 3 done",
        "Seat clamp bolt",
        "5.0 N·m   4.5 N·m to 5.5 N·m",
        "prep first: carbon paste on the post",
        "● within  6.02 N·m  Stem bolt",
        "What happened",
        "q ends",
    ] {
        assert!(text.contains(wanted), "{wanted:?} is not in\n{text}");
    }
    assert!(!text.contains("OVER"));
}

#[test]
fn an_over_alarm_covers_all_else_until_it_is_acknowledged() {
    let alarm = json!([{
        "sequence": 12, "fastener": "seat.clamp", "title": "Seat clamp bolt", "displayed": "6.10 N·m",
        "applied_millinewton_metre": 6_100, "upper_millinewton_metre": 5_500, "joint": "carbon",
    }]);
    let alarmed = screen(&[build(&alarm)]);
    assert!(alarmed.is_alarmed());
    let text = drawn(&alarmed, 80, 24);
    for wanted in [
        "OVER",
        "Ferry: Seat clamp bolt",
        "6.10 N·m; the limit is 5.5 N·m",
        "alarm acknowledge 12",
    ] {
        assert!(text.contains(wanted), "{wanted:?} is not in\n{text}");
    }
    assert!(!text.contains("What happened"), "{text}");
}

#[test]
fn too_much_pressure_covers_all_else_too() {
    let mut tyre = build(&json!([]));
    tyre["check_alarms"] = json!([{
        "sequence": 14, "check": "tyre.front", "title": "Front tyre", "displayed": "6.2 bar", "value_text": "6.2 bar",
        "upper_text": "5 bar",
    }]);
    let alarmed = screen(&[tyre]);
    assert!(alarmed.is_alarmed());
    let text = drawn(&alarmed, 80, 24);
    for wanted in [
        "OVER",
        "Ferry: Front tyre",
        "6.2 bar; the limit is 5 bar",
        "alarm acknowledge 14",
    ] {
        assert!(text.contains(wanted), "{wanted:?} is not in\n{text}");
    }
}

#[test]
fn checks_that_are_open_are_told_where_no_fastener_is() {
    let mut bike = build(&json!([]));
    bike["next"] = json!(null);
    bike["check_summary"] =
        json!({ "checks": 1, "within": 0, "kept": 0, "out": 0, "deferred": 0, "open": 1 });
    let text = drawn(&screen(&[bike]), 80, 24);
    assert!(text.contains("No fastener is open; checks are."), "{text}");
}

#[test]
fn it_fits_any_screen_and_says_when_the_daemon_is_away() {
    let mut screen = screen(&[build(&json!([])), build(&json!([]))]);
    screen.is_connected = false;
    for (width, height) in [(200, 60), (80, 24), (40, 12), (8, 3), (1, 1)] {
        let text = drawn(&screen, width, height);
        assert!(width < 80 || text.contains("the daemon is away"), "{text}");
    }
    assert!(drawn(&Screen::default(), 80, 24).contains("No build is open"));
}
