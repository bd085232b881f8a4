//! Builds and the bench as lists.

use super::setting::{recalled, settings};
use super::why::percent;
use super::{Ink, band, limits, line, padded, torque};
use pullmark_schema::api::{
    BenchView, BuildView, CandidateView, FastenerView, NextView, PlannedCheckView,
};
use pullmark_schema::build::{CheckStanding, Standing};
use pullmark_schema::practice::COMMON_PRACTICE;
use pullmark_schema::quantity::Torque;

/// All builds and tools.
pub(crate) fn bench(view: &BenchView, ink: Ink) {
    if view.builds.is_empty() {
        line("No build yet. Begin one: pullmark build start PLAN.toml --frame SERIAL --by NAME");
    }
    for build in &view.builds {
        let s = build.summary;
        let state = match (&build.finished, build.sealed) {
            (Some(_), true) => "sealed".to_owned(),
            (Some(_), false) => "finished, not sealed".to_owned(),
            (None, _) => progress(build),
        };
        let state = match &build.laid_aside {
            Some(aside) => format!("{state}, laid aside by {}", aside.by),
            None => state,
        };
        let mut text = format!(
            "{}  {}  {state}",
            ink.strong(&padded(&build.id, 24)),
            padded(&build.plan, 28)
        );
        let out = build.check_summary.out;
        if out > 0 && build.finished.is_none() {
            text.push_str("  ");
            text.push_str(&ink.low(&counted(out, "check out of limits", "checks out of limits")));
        }
        if s.over > 0 {
            text.push_str("  ");
            text.push_str(&ink.alarm(&format!(" {} over, undecided ", s.over)));
        }
        if s.deferred > 0 {
            text.push_str("  ");
            text.push_str(&s.deferred.to_string());
            text.push_str(" deferred");
        }
        line(&text);
    }
}

/// How far a build is: in fasteners, in checks, or in both, as its plan has them.
fn progress(build: &BuildView) -> String {
    let (s, c) = (build.summary, build.check_summary);
    let pulls = format!("{} of {} within, {} open", s.within, s.fasteners, s.open);
    // What was kept though it is not within is done too, and the page counts it so.
    let done = c.within + c.kept;
    let checks = format!("checks: {done} of {} done, {} open", c.checks, c.open);
    match (s.fasteners, c.is_empty()) {
        (_, true) => pulls,
        (0, false) => checks,
        (_, false) => format!("{pulls}; {checks}"),
    }
}

fn counted(count: u32, one: &str, more: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { more })
}

/// What is to be done where no pull comes next.
fn what_is_left(build: &BuildView) -> String {
    let checks = || build.stages.iter().flat_map(|stage| &stage.checks);
    let titles = |wanted: &dyn Fn(&PlannedCheckView) -> bool| {
        let titles = checks().filter(|check| wanted(check));
        titles.map(|check| check.title.as_str()).collect::<Vec<_>>()
    };
    let decide = titles(&|check| check.needs_decision);
    let set = titles(&|check| {
        let is_out = matches!(
            check.standing,
            CheckStanding::Under | CheckStanding::Over | CheckStanding::Undecided
        );
        is_out && !check.needs_decision
    });
    let measure =
        titles(&|check| matches!(check.standing, CheckStanding::Open | CheckStanding::PartWay));
    let parts: Vec<String> = [
        ("needs a decision", decide),
        ("is out of limits", set),
        ("is to be measured", measure),
    ]
    .into_iter()
    .filter(|(_, titles)| !titles.is_empty())
    .map(|(what, titles)| format!("{what}: {}", titles.join(", ")))
    .collect();
    if parts.is_empty() {
        return "Nothing is open.".to_owned();
    }
    let fasteners = match build.summary.fasteners {
        0 => "",
        _ => "No fastener is open. ",
    };
    format!("{fasteners}What {}.", parts.join("; what "))
}

/// Says that limits rest on no maker's figure, where they do.
pub(super) fn practice(sources: &[String]) -> &'static str {
    if sources.iter().any(|place| place == COMMON_PRACTICE) {
        COMMON_PRACTICE
    } else {
        ""
    }
}

/// One build.
pub(crate) fn build_view(build: &BuildView, ink: Ink) {
    let label = build.bike.label.as_deref().unwrap_or("bike");
    line(&ink.strong(&format!(
        "{}: {label}, frame {}",
        build.id, build.bike.frame
    )));
    line(&format!(
        "after {}, edition {}; begun by {}",
        build.plan, build.edition, build.by
    ));
    if let Some(earlier) = &build.follows {
        line(&format!("goes on from {earlier}"));
    }
    for text in super::life::about(build) {
        line(&text);
    }
    for stage in &build.stages {
        line("");
        line(&ink.strong(&stage.title));
        for fastener in &stage.fasteners {
            line(&fastener_line(fastener, ink));
        }
        for check in &stage.checks {
            line(&super::checks::check_line(check, ink));
        }
    }
    line("");
    for alarm in &build.alarms {
        line(&ink.alarm(&format!(
            " OVER  {} (entry {}), not acknowledged ",
            alarm.title, alarm.sequence
        )));
    }
    for text in super::checks::about(build, ink) {
        line(&text);
    }
    for recall in &build.recalled {
        line(&ink.alarm(&recalled(recall)));
    }
    for held in &build.held {
        let value = held.displayed.as_deref().unwrap_or("past its range");
        line(&ink.ask(&format!(
            "entry {}: {value} is held, {}",
            held.sequence, held.because
        )));
        for candidate in &held.candidates {
            line(&candidate_line(candidate));
        }
    }
    match &build.next {
        Some(next) => {
            line(&next_line(next, &sources_of(build, &next.fastener), ink));
            for text in settings(next) {
                line(&text);
            }
        }
        None => line(&what_is_left(build)),
    }
    if is_all_done(build) {
        for text in doubts(build) {
            line(&text);
        }
    }
}

fn candidate_line(candidate: &CandidateView) -> String {
    let (percent, kind) = (candidate.percent, candidate.kind);
    candidate.fastener.as_ref().map_or_else(
        || format!("      {percent:>3} %  (no fastener)  {kind}"),
        |id| format!("      {percent:>3} %  {id}  {}, {kind}", candidate.title),
    )
}

/// Nothing is left to do but what may have been missed.
fn is_all_done(build: &BuildView) -> bool {
    let summary = build.summary;
    build.finished.is_none()
        && summary.open == 0
        && summary.over == 0
        && summary.undecided == 0
        && build.held.is_empty()
        && build.held_checks.is_empty()
}

/// What is shown done and may have been missed, and the way on; nothing where there is no doubt.
pub(crate) fn doubts(build: &BuildView) -> Vec<String> {
    if build.doubts.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![
        match build.doubts.len() {
            1 => "This one is shown done and may have been missed:",
            _ => "These are shown done, and one of them may have been missed:",
        }
        .to_owned(),
    ];
    lines.extend(build.doubts.iter().map(|doubt| {
        format!(
            "  {}  {}, {}: missed with a probability of {} %",
            doubt.fastener,
            doubt.stage,
            doubt.title,
            percent(doubt.missed_millionths).trim_start()
        )
    }));
    lines.push("Let each come next and pull it once more:".to_owned());
    lines.extend(build.doubts.iter().map(|doubt| {
        format!(
            "  pullmark fastener next {} {} --by NAME",
            build.id, doubt.fastener
        )
    }));
    lines.push("Or say why nothing was missed; the reason is kept:".to_owned());
    lines.push(format!(
        "  pullmark build finish {} --sure \"REASON\" --by NAME",
        build.id
    ));
    lines
}

/// Where the figures of a fastener are written.
fn sources_of(build: &BuildView, id: &str) -> Vec<String> {
    let mut all = build.stages.iter().flat_map(|stage| &stage.fasteners);
    let found = all.find(|fastener| fastener.id == id);
    found.map(|found| found.sources.clone()).unwrap_or_default()
}

fn next_line(next: &NextView, sources: &[String], ink: Ink) -> String {
    let aim = torque(Torque::from_small_units(next.aim_millinewton_metre));
    let pass = if next.passes > 1 {
        format!(", pass {} of {}", next.pass + 1, next.passes)
    } else {
        String::new()
    };
    let prep = if next.prep.is_empty() {
        String::new()
    } else {
        format!("; {}", next.prep.join(", "))
    };
    ink.strong(&format!(
        "Next: {}{pass}: aim {aim}, {}{}{prep}",
        next.title,
        limits(&next.limits),
        in_brackets(practice(sources))
    ))
}

/// The limits of a fastener that rest on common practice, where a list shows no more of them than a picture.
fn limits_of_practice(fastener: &FastenerView) -> String {
    match practice(&fastener.sources) {
        "" => String::new(),
        practice => format!("  {} ({practice})", limits(&fastener.limits)),
    }
}

fn in_brackets(text: &str) -> String {
    if text.is_empty() {
        String::new()
    } else {
        format!(" ({text})")
    }
}

fn fastener_line(fastener: &FastenerView, ink: Ink) -> String {
    let highest = fastener
        .highest_millinewton_metre
        .map(Torque::from_small_units);
    let picture = if highest.is_some() {
        band(&fastener.limits, highest)
    } else {
        " ".repeat(17)
    };
    let word = padded(&fastener.standing.to_string(), 24);
    let word = match fastener.standing {
        Standing::Within => ink.good(&word),
        Standing::Over => ink.alarm(&word),
        Standing::Undecided => ink.ask(&word),
        Standing::Under | Standing::Deferred | Standing::OverKept | Standing::UndecidedKept => {
            ink.low(&word)
        }
        Standing::Open | Standing::PartWay => ink.faint(&word),
    };
    let reason = fastener
        .deferred
        .as_ref()
        .map(|reason| match &fastener.waits_for {
            Some(what) => format!("waits for {what} ({reason})"),
            None => format!("waits for {reason}"),
        })
        .unwrap_or_default();
    let noted = match fastener.notes {
        0 => String::new(),
        1 => "  1 note".to_owned(),
        notes => format!("  {notes} notes"),
    };
    let value = highest.map_or_else(String::new, torque);
    format!(
        "  {picture} {}  {word} {}  {}  {reason}{noted}{}",
        padded(&value, 11),
        padded(&fastener.title, 34),
        ink.faint(&fastener.id),
        limits_of_practice(fastener)
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use serde_json::json;

    fn build(doubts: &serde_json::Value, open: u32) -> BuildView {
        serde_json::from_value(json!({
            "id": "ferry",
            "bike": {"frame": "FC-0311"},
            "frame": "road",
            "plan": "Ferry commuter 54",
            "edition": "1",
            "by": "Mara",
            "started": "2026-06-01T09:00:00.000+02:00",
            "sealed": false,
            "tools": [], "recalled": [],
            "summary": {"fasteners": 4, "within": 4 - open, "over": 0, "over_kept": 0, "deferred": 0, "open": open},
            "held": [],
            "alarms": [],
            "doubts": doubts,
            "stages": [],
        }))
        .unwrap()
    }

    #[test]
    fn doubts_name_the_fasteners_and_both_ways_on() {
        let list = json!([
            {"fastener": "ring.1", "title": "Chainring bolt 1", "stage": "Chainring", "missed_millionths": 333_327},
            {"fastener": "ring.2", "title": "Chainring bolt 2", "stage": "Chainring", "missed_millionths": 2_143},
        ]);
        assert_eq!(
            doubts(&build(&list, 0)),
            [
                "These are shown done, and one of them may have been missed:",
                "  ring.1  Chainring, Chainring bolt 1: missed with a probability of 33.33 %",
                "  ring.2  Chainring, Chainring bolt 2: missed with a probability of 0.21 %",
                "Let each come next and pull it once more:",
                "  pullmark fastener next ferry ring.1 --by NAME",
                "  pullmark fastener next ferry ring.2 --by NAME",
                "Or say why nothing was missed; the reason is kept:",
                "  pullmark build finish ferry --sure \"REASON\" --by NAME",
            ]
        );
        assert_eq!(doubts(&build(&json!([]), 0)), Vec::<String>::new());
    }

    /// A plan of checks alone, with one check that stands so.
    fn of_checks(standing: &str, decision: bool, summary: &serde_json::Value) -> BuildView {
        let mut view = build(&json!([]), 0);
        view.summary.fasteners = 0;
        view.summary.within = 0;
        view.check_summary = serde_json::from_value(summary.clone()).unwrap();
        view.stages = serde_json::from_value(json!([{
            "id": "w", "title": "Wheels", "passes_percent": [100], "fasteners": [],
            "checks": [{
                "id": "front", "title": "Front tyre", "at": null, "quantity": "pressure", "standing": standing,
                "needs_decision": decision, "may_be_decided": true,
                "limits": {"unit": "Pa", "upper": 300_000}, "limits_text": "at most 3 bar", "sources": [COMMON_PRACTICE],
                "value_text": null, "expanded_text": null, "displayed": null, "readings": 1, "readings_done": 0,
                "formula": null, "rule": "simple", "cautions": [], "note": null, "pointed": false, "deferred": null,
                "waits_for": null, "notes": 0, "photos": 0,
            }],
        }]))
        .unwrap();
        view
    }

    #[test]
    fn a_plan_of_checks_alone_is_told_of_in_checks() {
        let open = json!({"checks": 1, "within": 0, "kept": 0, "out": 0, "deferred": 0, "open": 1});
        let out = json!({"checks": 1, "within": 0, "kept": 0, "out": 1, "deferred": 0, "open": 0});
        let view = of_checks("open", false, &open);
        assert_eq!(progress(&view), "checks: 0 of 1 done, 1 open");
        assert_eq!(what_is_left(&view), "What is to be measured: Front tyre.");
        let over = of_checks("over", true, &out);
        assert_eq!(what_is_left(&over), "What needs a decision: Front tyre.");
        let mut under = of_checks("under", false, &out);
        under.summary.fasteners = 4;
        under.summary.within = 4;
        assert_eq!(
            what_is_left(&under),
            "No fastener is open. What is out of limits: Front tyre."
        );
        assert_eq!(
            progress(&under),
            "4 of 4 within, 0 open; checks: 0 of 1 done, 0 open"
        );
        let line = super::super::checks::check_line(&view.stages[0].checks[0], Ink::none());
        assert!(line.contains(&format!("({COMMON_PRACTICE})")), "{line}");
    }

    #[test]
    fn limits_that_rest_on_common_practice_say_so() {
        let fastener = |sources: &[&str]| -> FastenerView {
            serde_json::from_value(json!({
                "id": "clamp", "title": "Clamp", "standing": "open", "at": null, "needs_decision": false, "passes_done": 0,
                "joint": null, "limits": {"lower_millinewton_metre": 4_000, "upper_millinewton_metre": 8_000},
                "highest_millinewton_metre": null, "prep": [], "prepared": false, "second_look": false, "looked": false,
                "deferred": null, "sources": sources,
            }))
            .unwrap()
        };
        let line = fastener_line(&fastener(&[COMMON_PRACTICE]), Ink::none());
        assert!(
            line.ends_with(&format!("N·m ({COMMON_PRACTICE})")),
            "{line}"
        );
        let line = fastener_line(&fastener(&["marking on the clamp"]), Ink::none());
        assert!(!line.contains("practice"), "{line}");
    }

    #[test]
    fn doubts_are_asked_about_when_nothing_else_is_open() {
        assert!(is_all_done(&build(&json!([]), 0)));
        assert!(!is_all_done(&build(&json!([]), 1)));
    }

    #[test]
    fn a_candidate_without_a_fastener_is_named_by_its_kind() {
        let candidate = |kind: &str, fastener: Option<&str>, title: &str| {
            let view = serde_json::from_value(json!({
                "fastener": fastener, "title": title, "pass": null, "kind": kind, "percent": 7,
            }));
            candidate_line(&view.unwrap())
        };
        assert_eq!(
            candidate("other-build", None, "test pull"),
            "        7 %  (no fastener)  another bike"
        );
        assert_eq!(
            candidate("next", Some("ring.1"), "Chainring bolt 1"),
            "        7 %  ring.1  Chainring bolt 1, next of the plan"
        );
    }
}
